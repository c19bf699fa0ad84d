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
    return isnan (follows->tolerance) ? g_strdup ("") : g_strdup_printf ("%.9g %%", 100 * follows->tolerance);
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
  return TRUE;
}

static gboolean
set_width (BlFollows *follows, const char *text, GError **error)
{
  g_autofree char *number = g_strdup (text);
  gboolean per_cent = g_str_has_suffix (number, "%");
  double width = NAN;

  if (per_cent)
    number[strlen (number) - 1] = '\0';
  if (*text != '\0' && !bl_quantity_parse (g_strstrip (number), "", &width, error))
    return FALSE;
  follows->tolerance = per_cent ? width / 100 : width;
  return TRUE;
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
    }
  else if (expected->follows != NULL)
    return slot == BL_SLOT_LINE ? set_line (board, measurement, text, error)
                                : set_width (expected->follows, text, error);
  else if (*text != '\0')
    {
      g_set_error_literal (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("choose the measurement it follows first"));
      return FALSE;
    }
  return TRUE;
}
