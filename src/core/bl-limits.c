/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of component limits, made from data/limits.csv at build time: a hundred lines, searched from the
 * start. Which rows fit is a matter of names, kind and value of a component; a row is only ever offered, and
 * what was taken from it says where it is from. No limit is worked out here. */
#include "config.h"

#include "bl-limits.h"

#include <string.h>

static const BlLimit table[] = {
#include "bl-limits-table.inc"
};

guint
bl_limits_count (void)
{
  return G_N_ELEMENTS (table);
}

const BlLimit *
bl_limits_at (guint index)
{
  g_return_val_if_fail (index < G_N_ELEMENTS (table), NULL);
  return &table[index];
}

/* "diode" has "diode.bridge" below it. */
static gboolean
is_of_kind (const char *kind, const char *names)
{
  g_auto (GStrv) list = g_strsplit (names, "|", -1);

  for (guint i = 0; kind != NULL && list[i] != NULL; i++)
    {
      gsize length = strlen (list[i]);
      if (length > 0 && strncmp (kind, list[i], length) == 0 && (kind[length] == '\0' || kind[length] == '.'))
        return TRUE;
    }
  return FALSE;
}

/* As a word of its own, "12 V 1 A" is not like "2 V"; but a type number has letters around it, "L7805CV". */
static gboolean
has_words (const char *text, const char *words)
{
  gsize length = strlen (words);
  gboolean number = length > 2 && strspn (words, "0123456789") == length;

  for (const char *at = strstr (text, words); at != NULL && length > 0; at = strstr (at + 1, words))
    if (number
        || ((at == text || !(g_ascii_isalnum (at[-1]) || at[-1] == '.')) && !g_ascii_isalnum (at[length])))
      return TRUE;
  return FALSE;
}

static gboolean
is_like (const char *value, const char *words)
{
  g_auto (GStrv) list = g_strsplit (words, "|", -1);

  for (guint i = 0; value != NULL && list[i] != NULL; i++)
    if (has_words (value, list[i]))
      return TRUE;
  return FALSE;
}

gboolean
bl_limit_fit (const BlLimit *limit, const BlBoard *board, const BlMeasurement *measurement, BlLimitFit *fit,
              const BlComponent **component)
{
  const BlComponent *found = NULL;
  BlLimitFit best = BL_LIMIT_OF_MEASURES;

  g_return_val_if_fail (limit != NULL && board != NULL && measurement != NULL && fit != NULL, FALSE);
  if (measurement->measures >= BL_N_MEASURES
      || !g_str_equal (limit->measures, bl_measures_name (measurement->measures)))
    return FALSE;
  for (guint i = 0; i < bl_len (board->components) && best < BL_LIMIT_OF_VALUE; i++)
    {
      const BlComponent *here = bl_at (board->components, i);
      gboolean of_stage = measurement->reads != NULL && g_strcmp0 (here->stage, measurement->reads) == 0;

      if (!is_of_kind (here->kind, limit->kinds) || !(of_stage || bl_component_acts_on (here, measurement->id)))
        continue;
      if (is_like (here->value, limit->like))
        best = BL_LIMIT_OF_VALUE;
      else if (best == BL_LIMIT_OF_MEASURES)
        best = BL_LIMIT_OF_KIND;
      else
        continue;
      found = here;
    }
  *fit = best;
  if (component != NULL)
    *component = found;
  return TRUE;
}

GPtrArray *
bl_limits_for (const BlBoard *board, const BlMeasurement *measurement, guint *n_fitting)
{
  GPtrArray *rows;
  guint n = 0;

  g_return_val_if_fail (board != NULL && measurement != NULL, NULL);
  rows = g_ptr_array_new ();
  for (int wanted = BL_LIMIT_OF_VALUE; wanted >= BL_LIMIT_OF_MEASURES; wanted--)
    for (guint i = 0; i < G_N_ELEMENTS (table); i++)
      {
        BlLimitFit fit;
        if (!bl_limit_fit (&table[i], board, measurement, &fit, NULL) || (int) fit != wanted)
          continue;
        g_ptr_array_add (rows, (gpointer) &table[i]);
        n += fit > BL_LIMIT_OF_MEASURES;
      }
  if (n_fitting != NULL)
    *n_fitting = n;
  return rows;
}

char *
bl_limit_source (const BlLimit *limit)
{
  g_return_val_if_fail (limit != NULL, NULL);
  return g_strdup_printf ("%s, %s (%s, %s)", limit->what, limit->conditions, limit->source, limit->status);
}

static void
set_quantity (BlQuantity *quantity, double value, const char *unit)
{
  bl_quantity_clear (quantity);
  quantity->value = value;
  if (!isnan (value))
    {
      quantity->text = bl_quantity_to_text (value, unit, 9);
      /* The text is what counts: the value is what it says. */
      if (!bl_quantity_parse (quantity->text, unit, &quantity->value, NULL))
        g_clear_pointer (&quantity->text, g_free);
    }
}

/* A limit of another class that the new band would run into. */
static void
drop_misfit (BlQuantity *quantity, double edge, gboolean below)
{
  if (isfinite (edge) && (below ? quantity->value > edge : quantity->value < edge))
    bl_quantity_clear (quantity);
}

void
bl_limit_apply (const BlLimit *limit, BlExpected *expected)
{
  BlMeasures measures;

  g_return_if_fail (limit != NULL && expected != NULL);
  if (!bl_measures_parse (limit->measures, &measures))
    return;
  const char *unit = bl_measures_unit (measures);
  set_quantity (&expected->nominal, limit->nominal, unit);
  set_quantity (&expected->low, limit->low, unit);
  set_quantity (&expected->high, limit->high, unit);
  drop_misfit (&expected->absent_below, isfinite (limit->low) ? limit->low : limit->high, TRUE);
  drop_misfit (&expected->shorted_below, isfinite (limit->low) ? limit->low : limit->high, TRUE);
  drop_misfit (&expected->open_above, isfinite (limit->high) ? limit->high : limit->low, FALSE);
  g_clear_pointer (&expected->tolerance, g_free);
  g_clear_pointer (&expected->follows, bl_follows_free);
  g_free (expected->source);
  expected->source = bl_limit_source (limit);
}
