/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What of a known-good board's reading is compared with those of the others, and which boards stand apart.
 *
 * A reading whose band follows another one is compared as its share of the line at the other reading of the same
 * board: what is proposed is then the width about the line. Yes, no, ranges and what is beyond a range are shown and
 * not computed with. Grubbs' test names outliers; what becomes of them is the technician's.
 */
#include "config.h"

#include "bl-known-good-private.h"

#include "bl-format.h"
#include "bl-grubbs.h"

#include <glib/gi18n-lib.h>
#include <math.h>

void
bl_good_board_free (gpointer data)
{
  BlGoodBoard *board = data;

  g_free (board->serial);
  g_free (board->words);
  g_free (board->why);
  g_free (board);
}

const BlGoodReading *
bl_good_reading_of (BlKnownGood *self, const char *measurement, gint64 job)
{
  for (guint i = 0; i < self->readings->len; i++)
    {
      const BlGoodReading *reading = bl_at (self->readings, i);
      if (reading->job == job && g_str_equal (reading->measurement, measurement))
        return reading;
    }
  return NULL;
}

gboolean
bl_good_meter_of (const BlGoodReading *reading, BlMeter *meter)
{
  return reading->meter != NULL && bl_meter_parse (reading->meter, meter, NULL);
}

/* The value as a verdict would take it; NAN: there is none. */
static double
corrected_value (const BlBoard *board, const BlMeasurement *measurement, const BlGoodReading *reading,
                 const BlReading *parsed)
{
  const BlTestPoint *point = measurement->at != NULL ? bl_board_test_point (board, measurement->at) : NULL;
  BlMeter meter;
  gboolean known = bl_good_meter_of (reading, &meter);
  double value = NAN, u;

  bl_reading_corrected (parsed, measurement->measures, known ? &meter : NULL,
                        point != NULL ? point->source_ohm.value : NAN, &value, &u);
  return value;
}

static const char *
why_no_value (const BlReading *reading)
{
  switch (reading->kind)
    {
    case BL_READING_OVER:
      return _ ("over range");
    case BL_READING_RANGE:
      return _ ("a range");
    case BL_READING_ANSWER:
      return _ ("an answer, no number");
    case BL_READING_NOT_REACHED:
      return _ ("not reached");
    case BL_READING_VALUE:
    default:
      return _ ("no number");
    }
}

/* The share of the line that the other reading of the same board asks for. */
static double
share_of_line (BlKnownGood *self, const BlMeasurement *measurement, BlGoodBoard *good, const char **why)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  const char *followed = measurement->expected.follows->measurement;
  const BlMeasurement *other = followed != NULL ? bl_board_measurement (board, followed) : NULL;
  const BlGoodReading *reading = other != NULL ? bl_good_reading_of (self, followed, good->job) : NULL;
  g_autoptr (BlBand) band = NULL;
  BlReading parsed;
  double x = NAN, line;

  if (reading != NULL && !reading->struck && bl_reading_parse (reading->text, other->measures, &parsed, NULL))
    x = corrected_value (board, other, reading, &parsed);
  if (!isfinite (x))
    {
      *why = _ ("what it follows was not read on this board");
      return NAN;
    }
  band = bl_band_resolve (measurement, x, 0, NULL);
  line = band == NULL ? NAN : band->negative ? -band->nominal : band->nominal;
  if (isfinite (line) && line != 0)
    {
      good->line = line;
      return good->value / line;
    }
  *why = _ ("the line followed has no share here");
  return NAN;
}

BlGoodBoard *
bl_good_board_take (BlKnownGood *self, const BlMeasurement *measurement, const BlGoodReading *reading)
{
  BlGoodBoard *board = g_new0 (BlGoodBoard, 1);
  g_autofree char *key = g_strdup_printf ("%s\t%" G_GINT64_FORMAT, reading->measurement, reading->job);
  const char *why = NULL;

  board->job = reading->job;
  board->time = reading->time;
  board->number = reading->number;
  board->serial = g_strdup (reading->serial);
  board->value = board->line = board->g = board->critical = board->p = NAN;
  board->use = g_hash_table_contains (self->left_out, key) ? BL_GOOD_LEFT_OUT : BL_GOOD_COUNTS;
  if (!bl_reading_parse (reading->text, measurement->measures, &board->reading, NULL))
    {
      board->reading.kind = BL_READING_NOT_REACHED;
      board->words = g_strdup (reading->text);
      why = _ ("no reading of this kind");
    }
  else
    {
      board->words = bl_format_reading (measurement->measures, &board->reading);
      if (board->reading.kind == BL_READING_VALUE)
        board->value = corrected_value (bl_edition_get_board (self->edition), measurement, reading, &board->reading);
      else
        why = why_no_value (&board->reading);
      if (why == NULL && measurement->expected.follows != NULL)
        board->value = share_of_line (self, measurement, board, &why);
    }
  if (reading->struck)
    why = _ ("struck");
  if (why == NULL && isfinite (board->value))
    return board;
  board->use = BL_GOOD_NO_VALUE;
  board->value = NAN;
  board->why = g_strdup (why != NULL ? why : _ ("no number"));
  return board;
}

void
bl_good_find_outliers (BlGoodProposal *proposal)
{
  g_autoptr (GPtrArray) counted = g_ptr_array_new ();
  g_autoptr (GArray) values = g_array_new (FALSE, FALSE, sizeof (double));

  for (guint i = 0; i < proposal->boards->len; i++)
    {
      BlGoodBoard *board = bl_at (proposal->boards, i);
      if (board->use != BL_GOOD_COUNTS)
        continue;
      g_ptr_array_add (counted, board);
      g_array_append_val (values, board->value);
    }
  if (counted->len < BL_GOOD_OUTLIERS_FROM)
    return;
  g_autoptr (GArray) found
    = bl_grubbs_sweep ((const double *) (gconstpointer) values->data, values->len, BL_GOOD_OUTLIER_LEVEL,
                       BL_GRUBBS_BOTH, MAX (1, counted->len / BL_GOOD_OUTLIERS_MOST));
  for (guint i = 0; i < found->len; i++)
    {
      const BlGrubbs *test = &g_array_index (found, BlGrubbs, i);
      BlGoodBoard *board = bl_at (counted, test->index);
      board->outlier = TRUE;
      board->g = test->g;
      board->critical = test->critical;
      board->p = test->p;
      proposal->n_outliers++;
    }
}
