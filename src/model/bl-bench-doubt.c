/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is asked or told before an entry is kept: a reading that looks like a slip in typing, the
 * board state an entry would declare, and names near one that does not exist. Nothing is kept here.
 */
#include "config.h"

#include "bl-bench-private.h"
#include "bl-bench-safe.h"
#include "bl-far-reading.h"
#include "bl-format.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#define NEAREST 3 /* names offered */

/* Volts that can be at the measurement: its state's, or where that says none (unpowered, and not
 * proved so) the most there can be on the board. NAN: the document does not say. */
static double
volts_at (const BlBoard *board, const BlMeasurement *measurement)
{
  const BlState *own = bl_board_state (board, measurement->state);
  double most = NAN;

  if (own != NULL && own->live == TRUE && isfinite (own->volts))
    return own->volts;
  for (guint i = 0; i < bl_len (board->states); i++)
    {
      const BlState *state = bl_at (board->states, i);
      if (isfinite (state->volts))
        most = isnan (most) ? state->volts : MAX (most, state->volts);
    }
  return most;
}

/* "4700 V" of "4700": the unit where none was typed. */
static char *
with_unit (const char *text, BlMeasures measures)
{
  gsize length = strlen (text);

  if (length == 0 || !g_ascii_isdigit (text[length - 1]))
    return g_strdup (text);
  return g_strdup_printf ("%s %s", text, bl_measures_unit (measures));
}

static char *
question (BlMeasurementItem *item, const char *text)
{
  const BlBand *band = bl_measurement_item_get_band (item);
  const char *expected = bl_measurement_item_get_expected (item);
  BlMeasures measures = bl_measurement_item_get_measurement (item)->measures;
  g_autofree char *typed = with_unit (text, measures);

  if (band != NULL && isfinite (band->nominal))
    {
      g_autofree char *value = bl_format_value (measures, fabs (band->nominal));
      g_autofree char *nominal = with_unit (value, measures);
      return g_strdup_printf (_ ("%s at a %s point? Enter again keeps it."), typed, nominal);
    }
  if (*expected != '\0')
    return g_strdup_printf (_ ("%s where %s is expected? Enter again keeps it."), typed, expected);
  return g_strdup_printf (_ ("%s, more than this board can have? Enter again keeps it."), typed);
}

char *
bl_bench_doubt (BlBench *self, const char *text)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && text != NULL, NULL);
  char *doubt = NULL;
  BlReading reading;
  BlTyped typed;

  if (bl_bench_read_typed (self, text, &typed, NULL) && typed.kind == BL_TYPED_READING)
    {
      const BlMeasurement *measurement = bl_measurement_item_get_measurement (typed.item);
      g_autofree char *asks = NULL, *meter = NULL, *over = NULL;
      if (bl_reading_parse (typed.rest, measurement->measures, &reading, NULL) &&
          bl_reading_is_far (measurement->measures, bl_measurement_item_get_band (typed.item),
                             volts_at (bl_bench_get_board (self), measurement), &reading))
        asks = question (typed.item, typed.rest);
      else if ((meter = bl_bench_meter_doubt (self, measurement, typed.rest)) != NULL)
        asks = g_strdup_printf (_ ("%s. Enter again keeps it."), meter);
      else if ((over = bl_bench_over_words (self, typed.item)) != NULL)
        asks = g_strdup_printf (_ ("%s Enter again keeps it."), over);
      if (asks != NULL)
        {
          /* Meant for a point that is not in hand: which. */
          doubt = typed.item != bl_bench_get_current (self)
                      ? g_strdup_printf ("%s: %s", bl_measurement_item_get_point (typed.item), asks)
                      : g_steal_pointer (&asks);
        }
    }
  bl_typed_clear (&typed);
  return doubt;
}

const BlState *
bl_bench_would_declare (BlBench *self, BlMeasurementItem *item)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && BL_IS_MEASUREMENT_ITEM (item), NULL);
  const BlMeasurement *measurement = bl_measurement_item_get_measurement (item);

  return bl_bench_declares_state (self, measurement)
             ? bl_board_state (bl_bench_get_board (self), measurement->state)
             : NULL;
}

/* --- names near one that does not exist --- */

/* Letters to change, add or leave out to make b of a (Levenshtein's distance), without case; at
 * most some 30 letters each. */
static guint
distance (const char *a, const char *b)
{
  g_autofree char *first = g_ascii_strdown (a, -1), *second = g_ascii_strdown (b, -1);
  gsize n = strlen (second);
  g_autofree guint *row = g_new (guint, n + 1);

  for (gsize k = 0; k <= n; k++)
    row[k] = (guint) k;
  for (gsize i = 0; first[i] != '\0'; i++)
    {
      guint diagonal = row[0];
      row[0] = (guint) i + 1;
      for (gsize k = 1; k <= n; k++)
        {
          guint changed = diagonal + (first[i] != second[k - 1]);
          diagonal = row[k];
          row[k] = MIN (changed, 1 + MIN (row[k - 1], diagonal));
        }
    }
  return row[n];
}

static void
add_near (GPtrArray *near, const char *name, const char *id, guint most)
{
  if (near->len < NEAREST && id != NULL && distance (name, id) == most &&
      !g_ptr_array_find_with_equal_func (near, id, g_str_equal, NULL))
    g_ptr_array_add (near, (gpointer) id);
}

char *
bl_bench_near_names (BlBench *self, const char *name)
{
  const BlBoard *board = bl_bench_get_board (self);
  g_autoptr (GPtrArray) near = g_ptr_array_new ();
  gsize length = strlen (name);

  /* One letter in a short name, two in a longer one: more is another name. */
  for (guint most = 1; most <= (length > 3 ? 2u : 1u) && length < 30; most++)
    {
      for (guint i = 0; i < bl_len (board->test_points); i++)
        add_near (near, name, ((BlTestPoint *) bl_at (board->test_points, i))->id, most);
      for (guint i = 0; i < bl_len (board->measurements); i++)
        add_near (near, name, ((BlMeasurement *) bl_at (board->measurements, i))->id, most);
      for (guint i = 0; i < bl_len (board->components); i++)
        add_near (near, name, ((BlComponent *) bl_at (board->components, i))->id, most);
    }
  if (near->len == 0)
    return NULL;
  g_ptr_array_add (near, NULL);
  return g_strjoinv (", ", (char **) near->pdata);
}
