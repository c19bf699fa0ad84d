/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The slots of a band that follows the reading of another measurement: which one, the line through some
 * points, and how wide. A line is typed as "0:0 12:11.5": where the other reads 0 this is expected to
 * read 0, at 12 it is 11.5. Whether the line makes sense is for the rules of the document to say.
 */
#include "config.h"

#include "bl-slot-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

/* A band that begins to follow: the same value as the other, within the usual width of a level. */
#define FIRST_WIDTH 0.05

static BlFollows *
make_follows (const char *measurement)
{
  static const double same[] = { 0, 0, 1, 1 };
  BlFollows *follows = bl_follows_new ();

  follows->measurement = g_strdup (measurement);
  follows->tolerance = FIRST_WIDTH;
  if (follows->points == NULL)
    follows->points = g_array_new (FALSE, FALSE, sizeof (double));
  g_array_append_vals (follows->points, same, G_N_ELEMENTS (same));
  return follows;
}

/* "4 %", "5 V" or "4 % + 5 V". (transfer full) */
static char *
width_text (const BlFollows *follows, const char *unit)
{
  g_autofree char *share = isnan (follows->tolerance) ? g_strdup ("")
                                                      : g_strdup_printf ("%.9g %%", 100 * follows->tolerance);
  g_autofree char *within = !bl_quantity_is_set (&follows->within) ? g_strdup ("")
                            : follows->within.text != NULL         ? g_strdup (follows->within.text)
                                                           : bl_quantity_to_text (follows->within.value, unit, 9);

  return g_strdup_printf ("%s%s%s", share, *share != '\0' && *within != '\0' ? " + " : "", within);
}

char *
bl_follows_text (const BlMeasurement *measurement, BlSlot slot)
{
  const BlFollows *follows = measurement->expected.follows;
  g_autoptr (GString) text = g_string_new (NULL);

  if (follows == NULL)
    return g_strdup ("");
  if (slot == BL_SLOT_FOLLOWS)
    return g_strdup (follows->measurement);
  if (slot == BL_SLOT_LINE_WIDTH)
    return width_text (follows, bl_measures_unit (measurement->measures));
  for (guint i = 0; follows->points != NULL && i + 1 < follows->points->len; i += 2)
    g_string_append_printf (text, "%s%.9g:%.9g", i > 0 ? " " : "", g_array_index (follows->points, double, i),
                            g_array_index (follows->points, double, i + 1));
  return g_string_free (g_steal_pointer (&text), FALSE);
}

static gboolean
take_point (GArray *points, const char *text, const char *other_unit, const char *unit, GError **error)
{
  g_auto (GStrv) halves = g_strsplit (text, ":", 2);
  double values[2];

  if (g_strv_length (halves) != 2)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE,
                   _ ("“%s”: a point is written as the other's reading, a colon and what is expected here, as 12:11.5"),
                   text);
      return FALSE;
    }
  if (!bl_quantity_parse (halves[0], other_unit, &values[0], error)
      || !bl_quantity_parse (halves[1], unit, &values[1], error))
    return FALSE;
  g_array_append_vals (points, values, 2);
  return TRUE;
}

static gboolean
set_line (const BlBoard *board, BlMeasurement *measurement, const char *text, GError **error)
{
  BlFollows *follows = measurement->expected.follows;
  const BlMeasurement *other = bl_board_measurement (board, follows->measurement);
  const char *other_unit = bl_measures_unit (other != NULL ? other->measures : measurement->measures);
  g_auto (GStrv) words = g_strsplit_set (text, " ;\t", -1);
  g_autoptr (GArray) points = g_array_new (FALSE, FALSE, sizeof (double));

  for (guint i = 0; words[i] != NULL; i++)
    if (*words[i] != '\0'
        && !take_point (points, words[i], other_unit, bl_measures_unit (measurement->measures), error))
      return FALSE;
  g_clear_pointer (&follows->points, g_array_unref);
  follows->points = g_steal_pointer (&points);
  bl_follows_by_hand (&measurement->expected);
  return TRUE;
}

/* One part of a width: a share in per cent, or a quantity of the measurement's unit. */
static gboolean
take_width (const char *text, const char *unit, double *share, BlQuantity *within, GError **error)
{
  g_autofree char *part = g_strstrip (g_strdup (text));
  double value;

  if (g_str_has_suffix (part, "%"))
    {
      part[strlen (part) - 1] = '\0';
      if (!bl_quantity_parse (g_strstrip (part), "", &value, error))
        return FALSE;
      *share = value / 100;
      return TRUE;
    }
  if (!bl_quantity_parse (part, unit, &value, error))
    return FALSE;
  bl_quantity_clear (within);
  within->value = value;
  within->text = bl_quantity_with_point (part);
  return TRUE;
}

/* "4 %", "5 V", or both with a plus between. */
static gboolean
set_width (BlFollows *follows, const char *unit, const char *text, GError **error)
{
  g_auto (GStrv) parts = g_strsplit (text, "+", -1);
  BlQuantity within = BL_QUANTITY_NONE;
  double share = NAN;

  for (guint i = 0; *text != '\0' && parts[i] != NULL; i++)
    if (!take_width (parts[i], unit, &share, &within, error))
      {
        bl_quantity_clear (&within);
        return FALSE;
      }
  follows->tolerance = share;
  bl_quantity_clear (&follows->within);
  follows->within = within;
  return TRUE;
}

void
bl_follows_by_hand (BlExpected *expected)
{
  const char *words = _ ("line changed by hand");

  if (expected->source == NULL || *expected->source == '\0' || g_str_has_suffix (expected->source, words))
    return;
  char *source = g_strdup_printf ("%s, %s", expected->source, words);
  g_free (expected->source);
  expected->source = source;
}

gboolean
bl_follows_set (const BlBoard *board, BlMeasurement *measurement, BlSlot slot, const char *text, GError **error)
{
  BlExpected *expected = &measurement->expected;

  if (slot == BL_SLOT_FOLLOWS && *text == '\0')
    g_clear_pointer (&expected->follows, bl_follows_free);
  else if (slot == BL_SLOT_FOLLOWS && expected->follows == NULL)
    expected->follows = make_follows (text);
  else if (slot == BL_SLOT_FOLLOWS)
    {
      g_free (expected->follows->measurement);
      expected->follows->measurement = g_strdup (text);
      bl_follows_by_hand (expected);
    }
  else if (expected->follows != NULL)
    return slot == BL_SLOT_LINE ? set_line (board, measurement, text, error)
                                : set_width (expected->follows, bl_measures_unit (measurement->measures), text, error);
  else if (*text != '\0')
    {
      g_set_error_literal (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("choose the measurement it follows first"));
      return FALSE;
    }
  return TRUE;
}
