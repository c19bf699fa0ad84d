/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Keeping a job that began from a photo alone as a documented edition: the points stay, and what was
 * read becomes the expected value where none was given. One board says little, so these bands are
 * wide, name their origin and call themselves provisional.
 */
#include "config.h"

#include "bl-bench-private.h"

#include <glib/gi18n-lib.h>

static void
expect_reading (BlMeasurement *measurement, double value, int job)
{
  BlExpected *expected = &measurement->expected;
  int share = bl_measures_is_resistive (measurement->measures) ? BL_SHARE_RESISTANCE : BL_SHARE_LEVEL;

  measurement->has_expected = TRUE;
  bl_quantity_clear (&expected->nominal);
  expected->nominal.value = value;
  if (value != 0)
    expected->tolerance = g_strdup_printf ("%d %%", share);
  g_free (expected->source);
  expected->source = g_strdup_printf (_ ("one board, read in job %d, provisional"), job);
}

static void
expect_readings (BlBench *self, BlBoard *board)
{
  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      BlMeasurement *measurement = bl_at (board->measurements, i);
      BlMeasurementItem *item = bl_bench_find (self, measurement->id);
      BlReading reading;

      if (measurement->has_expected || item == NULL || !bl_measurement_item_get_reading (item, &reading))
        continue;
      if (reading.kind == BL_READING_VALUE)
        expect_reading (measurement, reading.value, bl_bench_get_job (self)->number);
      else if (reading.kind == BL_READING_ANSWER)
        {
          measurement->has_expected = TRUE;
          measurement->expected.answer = reading.answer;
        }
    }
}

static gboolean
keep (BlEdition *edition, gpointer data, GError **error)
{
  return bl_library_set_provisional (bl_edition_get_library (edition), bl_edition_get_id (edition), FALSE, error);
}

gboolean
bl_bench_keep_as_edition (BlBench *self, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  BlBoard *board = bl_edition_begin (self->edition, _ ("Keep as edition"), NULL);

  expect_readings (self, board);
  return bl_edition_commit_with (self->edition, keep, NULL, error);
}
