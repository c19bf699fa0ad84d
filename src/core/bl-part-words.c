/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A value of a component for a reader, and in the trade's notation. */
#include "config.h"

#include "bl-part-private.h"

#include <stdlib.h>
#include <string.h>

#include <glib/gi18n-lib.h>

#include "bl-quantity.h"

/* A share as a per cent figure, in the reader's locale where words is TRUE. Returns: (transfer full). */
static char *
percent (double share, gboolean words)
{
  double figure = share * 100;
  char buffer[G_ASCII_DTOSTR_BUF_SIZE];

  if (words)
    return g_strdup_printf ("%.4g", figure);
  return g_strdup (g_ascii_formatd (buffer, sizeof buffer, "%.4g", figure));
}

static void
append_tolerance (GString *words, const BlPartMeaning *meaning)
{
  g_autofree char *below = NULL, *above = NULL;

  if (isnan (meaning->below))
    return;
  if (meaning->absolute)
    {
      above = bl_quantity_format (meaning->above, meaning->unit, 3);
      g_string_append_printf (words, " ±%s", above);
      return;
    }
  above = percent (meaning->above, TRUE);
  below = percent (meaning->below, TRUE);
  if (meaning->below == meaning->above)
    g_string_append_printf (words, " ±%s %%", above);
  else
    g_string_append_printf (words, " +%s/−%s %%", above, below);
}

char *
bl_part_meaning_words (const BlPartMeaning *meaning)
{
  g_autoptr (GString) words = NULL;
  g_autofree char *value = NULL;

  g_return_val_if_fail (meaning != NULL, NULL);
  if (meaning->value == 0)
    return g_strdup (_("0 Ω, a jumper"));
  value = bl_quantity_format (meaning->value, meaning->unit, 6);
  words = g_string_new (NULL);
  if (meaning->times > 1)
    g_string_append_printf (words, "%u × ", meaning->times);
  g_string_append (words, value);
  append_tolerance (words, meaning);
  if (!isnan (meaning->ppm))
    g_string_append_printf (words, " %g ppm/K", meaning->ppm);
  return g_string_free (g_steal_pointer (&words), FALSE);
}

/* --- series --- */

/* Parts of 2 % and finer are made in E96 beside E24. */
static BlESeries
nearest_series (const BlPartMeaning *meaning, double *nearest)
{
  double coarse = bl_e_series_nearest (BL_E24, meaning->value), fine = bl_e_series_nearest (BL_E96, meaning->value);
  gboolean exact = !isnan (meaning->above) && !meaning->absolute && meaning->above <= 0.02;

  if (exact && fabs (log (fine / meaning->value)) < fabs (log (coarse / meaning->value)))
    {
      *nearest = fine;
      return BL_E96;
    }
  *nearest = coarse;
  return BL_E24;
}

char *
bl_part_series_words (const BlPartMeaning *meaning)
{
  g_autofree char *value = NULL;
  BlESeries series;
  double nearest;

  g_return_val_if_fail (meaning != NULL, NULL);
  if (!meaning->in_series)
    return NULL;
  if (meaning->series == BL_E24 || meaning->series == BL_E96 || meaning->series == BL_E192)
    return g_strdup_printf (_("E%d value"), meaning->series);
  if (meaning->series != BL_E_NONE)
    return g_strdup_printf (_("E%d value, in E%d too"), meaning->series < BL_E24 ? BL_E24 : BL_E96, meaning->series);
  series = nearest_series (meaning, &nearest);
  if (isnan (nearest))
    return NULL;
  value = bl_quantity_format (nearest, meaning->unit, 4);
  return g_strdup_printf (_("not a standard value; nearest %s (E%d)"), value, series);
}

/* --- the trade's notation --- */

/* Letters by exponent of a unit, largest first. */
typedef struct
{
  int exponent;
  char letter;
} Scale;

static const Scale ohm_scales[] = { { 12, 'T' }, { 9, 'G' }, { 6, 'M' }, { 3, 'K' }, { 0, 'R' } };
static const Scale farad_scales[] = { { -6, 'u' }, { -9, 'n' }, { -12, 'p' } };
static const Scale henry_scales[] = { { -3, 'm' }, { -6, 'u' }, { -9, 'n' } };
static const Scale volt_scales[] = { { 0, 'V' } };

static const Scale *
scale_of (const char *unit, int exponent)
{
  const Scale *scales = ohm_scales;
  gsize n = G_N_ELEMENTS (ohm_scales), i = 0;

  if (strcmp (unit, "F") == 0)
    {
      scales = farad_scales;
      n = G_N_ELEMENTS (farad_scales);
    }
  else if (strcmp (unit, "H") == 0)
    {
      scales = henry_scales;
      n = G_N_ELEMENTS (henry_scales);
    }
  else if (strcmp (unit, "V") == 0)
    {
      scales = volt_scales;
      n = G_N_ELEMENTS (volt_scales);
    }
  while (i + 1 < n && exponent < scales[i].exponent)
    i++;
  return &scales[i];
}

/* The digits of value, without the noughts behind them, and the exponent of the first. */
static void
split_digits (double value, char digits[8], int *exponent)
{
  char scientific[32];
  gsize n = 0;

  g_ascii_formatd (scientific, sizeof scientific, "%.5e", value);
  *exponent = atoi (strchr (scientific, 'e') + 1);
  for (const char *at = scientific; *at != 'e'; at++)
    if (g_ascii_isdigit (*at))
      digits[n++] = *at;
  while (n > 1 && digits[n - 1] == '0')
    n--;
  digits[n] = '\0';
}

/* "4K7", "R047", "100n". A resistor of two figures and R is written "10R0": "10R" has two readings. */
static void
append_letters (GString *code, double value, const char *unit)
{
  char digits[8];
  int exponent, whole;
  const Scale *scale;
  gsize n;

  split_digits (value, digits, &exponent);
  n = strlen (digits);
  scale = scale_of (unit, exponent);
  whole = exponent - scale->exponent + 1;
  for (int i = 0; i < whole; i++)
    g_string_append_c (code, i < (int) n ? digits[i] : '0');
  g_string_append_c (code, scale->letter);
  for (int i = whole; i < 0; i++)
    g_string_append_c (code, '0');
  if ((int) n > whole)
    g_string_append (code, digits + MAX (whole, 0));
  else if (whole == 2 && scale->letter == 'R')
    g_string_append_c (code, '0');
}

char *
bl_part_meaning_code (const BlPartMeaning *meaning)
{
  g_autoptr (GString) code = g_string_new (NULL);

  g_return_val_if_fail (meaning != NULL, NULL);
  if (meaning->value == 0)
    return g_strdup ("0R");
  if (meaning->times > 1)
    g_string_append_printf (code, "%u x ", meaning->times);
  append_letters (code, meaning->value, meaning->unit);
  if (!isnan (meaning->below) && meaning->absolute)
    {
      g_autofree char *pf = percent (meaning->above * 1e10, FALSE);
      g_string_append_printf (code, " ±%spF", pf);
    }
  else if (!isnan (meaning->below))
    {
      g_autofree char *above = percent (meaning->above, FALSE), *below = percent (meaning->below, FALSE);
      if (meaning->below == meaning->above)
        g_string_append_printf (code, " %s%%", above);
      else
        g_string_append_printf (code, " +%s/-%s%%", above, below);
    }
  if (!isnan (meaning->ppm))
    g_string_append_printf (code, " %dppm", (int) lround (meaning->ppm));
  if (meaning->left != NULL)
    g_string_append_printf (code, " %s", meaning->left);
  return g_string_free (g_steal_pointer (&code), FALSE);
}
