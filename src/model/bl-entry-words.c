/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Says back what was understood of a typed measurement, and what is doubtful about it: shown below the line while
 * it is typed, so that a wrong guess is seen before Enter.
 */
#include "config.h"

#include "bl-entry-line.h"

#include <glib/gi18n-lib.h>

#include "bl-verdict.h"

/* A quantity of measurement for a reader; five figures are what a meter of the bench shows. */
static char *
quantity (const BlMeasurement *measurement, double value)
{
  return bl_quantity_format (value, bl_measures_unit (measurement->measures), 5);
}

static void
add_level (GString *words, const BlMeasurement *measurement)
{
  g_autoptr (BlBand) band = bl_band_resolve (measurement, NAN, NAN, NULL);
  g_autofree char *nominal = NULL, *low = NULL, *high = NULL;

  if (band == NULL)
    return;
  if (!isnan (band->nominal))
    {
      nominal = quantity (measurement, band->nominal);
      g_string_append_printf (words, "%s, ", nominal);
    }
  low = quantity (measurement, band->low);
  high = quantity (measurement, band->high);
  if (isfinite (band->low) && isfinite (band->high))
    g_string_append_printf (words, _ ("%s to %s"), low, high);
  else if (isfinite (band->high))
    g_string_append_printf (words, _ ("at most %s"), high);
  else if (isfinite (band->low))
    g_string_append_printf (words, _ ("at least %s"), low);
  else
    g_string_append (words, _ ("no limits"));
}

static void
add_swing (GString *words, const BlMeasurement *measurement)
{
  const BlExpected *expected = &measurement->expected;
  g_autofree char *a = quantity (measurement, expected->min[0].value), *b = quantity (measurement, expected->min[1].value);
  g_autofree char *c = quantity (measurement, expected->max[0].value), *d = quantity (measurement, expected->max[1].value);

  g_string_append_printf (words, _ ("from %s..%s up to %s..%s"), a, b, c, d);
}

static void
add_value (GString *words, const BlEntryLine *self)
{
  const BlMeasurement *measurement = self->measurement;
  const BlExpected *expected = &measurement->expected;

  g_string_append_printf (words, "%s  ", _ (bl_measures_name (measurement->measures)));
  if (measurement->measures == BL_MEASURES_CHECK)
    g_string_append (words, expected->answer == 0 ? _ ("no") : _ ("yes"));
  else if (measurement->measures == BL_MEASURES_SWING && expected->has_min && expected->has_max)
    add_swing (words, measurement);
  else if (!bl_quantity_is_set (&expected->nominal) && !bl_quantity_is_set (&expected->low)
           && !bl_quantity_is_set (&expected->high))
    g_string_append (words, _ ("not known yet"));
  else
    add_level (words, measurement);
}

static const char *
title_of (const char *title, const char *id)
{
  return title != NULL && *title != '\0' ? title : id;
}

/* A state's title may tell how the load is made up: too long for a line with everything else. */
static const char *
short_title (const BlState *state)
{
  return state->title != NULL && *state->title != '\0' && g_utf8_strlen (state->title, -1) <= 32 ? state->title : state->id;
}

static void
add_reads (GString *words, const BlBoard *board, const BlEntryLine *self)
{
  const BlMeasurement *measurement = self->measurement;
  const BlStage *stage = measurement->reads != NULL ? bl_board_stage (board, measurement->reads) : NULL;

  if (stage == NULL)
    {
      if (!bl_measures_is_resistive (measurement->measures))
        g_string_append (words, _ (" · reads no stage"));
      return;
    }
  g_string_append_printf (words, _ (" · reads %s"), title_of (stage->title, stage->id));
  if (self->reads_why == BL_READS_OUTLINE)
    g_string_append (words, _ (" (it lies there)"));
  else if (self->reads_why == BL_READS_SAME_POINT)
    g_string_append (words, _ (" (as here before)"));
  else if (self->reads_why == BL_READS_NAME)
    g_string_append (words, _ (" (by its name)"));
}

char *
bl_entry_line_words (const BlBoard *board, const BlEntryLine *self)
{
  g_return_val_if_fail (board != NULL && self != NULL, NULL);
  GString *words = g_string_new (NULL);
  const BlMeasurement *measurement = self->measurement;
  const BlState *state = measurement->state != NULL ? bl_board_state (board, measurement->state) : NULL;

  if (self->title != NULL)
    g_string_append_printf (words, "%s · ", self->title);
  add_value (words, self);
  if (state != NULL)
    g_string_append_printf (words, _ (" · in %s"), short_title (state));
  if (measurement->black != NULL)
    g_string_append_printf (words, _ (" · black %s"), measurement->black);
  if (self->ground != NULL)
    g_string_append_printf (words, _ (" · ground %s as there"), _ (self->ground));
  add_reads (words, board, self);
  return g_string_free (words, FALSE);
}

/* --- doubts --- */

static gboolean
expects_power (const BlMeasurement *measurement)
{
  const BlExpected *expected = &measurement->expected;

  return measurement->measures <= BL_MEASURES_HZ
         && ((bl_quantity_is_set (&expected->nominal) && expected->nominal.value != 0)
             || (bl_quantity_is_set (&expected->low) && expected->low.value > 0));
}

char *
bl_entry_line_doubt (const BlBoard *board, const BlEntryLine *self)
{
  g_return_val_if_fail (board != NULL && self != NULL, NULL);
  const BlMeasurement *measurement = self->measurement;
  const BlState *state = measurement->state != NULL ? bl_board_state (board, measurement->state) : NULL;
  const BlTestPoint *at = measurement->at != NULL ? bl_board_test_point (board, measurement->at) : NULL;
  const BlTestPoint *black = measurement->black != NULL ? bl_board_test_point (board, measurement->black) : NULL;

  if (at != NULL && black != NULL && at->ground != NULL && black->ground != NULL
      && !g_str_equal (at->ground, black->ground))
    return g_strdup_printf (_ ("%s is on %s ground and %s on %s: a lead between them can kill the meter and the board"),
                            at->id, _ (at->ground), black->id, _ (black->ground));
  if (state != NULL && state->live == 0 && expects_power (measurement))
    return g_strdup_printf (_ ("%s has no power"), short_title (state));
  if (state != NULL && state->live != 0
      && (bl_measures_is_resistive (measurement->measures) || measurement->measures == BL_MEASURES_F))
    return g_strdup_printf (_ ("%s is read without power, and %s is live"), _ (bl_measures_name (measurement->measures)),
                            short_title (state));
  if (bl_quantity_is_set (&measurement->expected.nominal) && measurement->expected.tolerance == NULL
      && !bl_quantity_is_set (&measurement->expected.low) && !bl_quantity_is_set (&measurement->expected.high))
    return g_strdup (_ ("without limits a reading cannot be judged: add ±5 % or low..high"));
  return NULL;
}
