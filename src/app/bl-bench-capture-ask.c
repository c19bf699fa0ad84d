/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is asked of the meter at the measurement in hand, and which one comes after a reading taken by itself. */
#include "config.h"

#include "bl-bench-capture-private.h"

#include <glib/gi18n-lib.h>

void
bl_capture_set_words (BlBenchCapture *self, const char *words, gboolean urgent, gboolean loud)
{
  char *copy = g_strdup (words);

  g_free (self->words);
  self->words = copy;
  self->urgent = urgent || loud;
  self->loud = loud;
}

const BlMeasurement *
bl_capture_in_hand (BlBenchCapture *self)
{
  BlMeasurementItem *item = self->bench != NULL ? bl_bench_get_current (self->bench) : NULL;
  return item != NULL ? bl_measurement_item_get_measurement (item) : NULL;
}

static gboolean
proves_dead (const BlBoard *board, const BlMeasurement *measurement)
{
  for (guint i = 0; i < bl_len (board->states); i++)
    {
      const BlState *state = bl_at (board->states, i);
      for (guint k = 0; state->dead_proof != NULL && state->dead_proof[k] != NULL; k++)
        if (g_str_equal (state->dead_proof[k], measurement->id))
          return TRUE;
    }
  return FALSE;
}

gboolean
bl_capture_board_is_live (BlBenchCapture *self)
{
  const BlState *state = bl_bench_get_state (self->bench);
  return state != NULL && state->live != 0;
}

gboolean
bl_capture_drives_current (BlMeterMode mode)
{
  return mode >= BL_METER_OHM && mode <= BL_METER_F;
}

void
bl_capture_forget (BlBenchCapture *self)
{
  g_clear_pointer (&self->asked, g_free);
  self->waits = FALSE;
}

void
bl_capture_ask (BlBenchCapture *self)
{
  const BlMeasurement *measurement = bl_capture_in_hand (self);
  BlMeterMode mode = measurement != NULL ? bl_meter_mode_for (measurement->measures) : BL_METER_OTHER;
  BlCaptureExpect expected;

  bl_capture_forget (self);
  self->kind = BL_CAPTURE_NOTHING;
  if (mode == BL_METER_OTHER)
    {
      bl_capture_expect (self->core, NULL);
      bl_capture_set_words (self, measurement != NULL ? _ ("This one is typed; the meter does not tell it.") : NULL, FALSE, FALSE);
      return;
    }
  expected = bl_capture_expect_for (measurement->measures,
                                    bl_measurement_item_get_band (bl_bench_get_current (self->bench)));
  expected.live = bl_capture_board_is_live (self);
  expected.dead_proof = proves_dead (bl_bench_get_board (self->bench), measurement);
  expected.both_ways = measurement->measures == BL_MEASURES_DIODE;
  bl_capture_expect (self->core, &expected);
  bl_capture_set_words (self, NULL, FALSE, FALSE);
  if (!bl_capture_drives_current (mode) || bl_bench_get_hazard (self->bench) == BL_HAZARD_UNPROVEN
      || bl_bench_get_hazard (self->bench) == BL_HAZARD_PROVEN)
    bl_meter_link_set_mode (self->link, mode);
}

char *
bl_capture_state_doubt (BlBenchCapture *self)
{
  BlMeasurementItem *item = bl_bench_get_current (self->bench);
  return item != NULL ? bl_state_hint (self->bench, item) : NULL;
}

/* --- what comes next --- */

static gboolean
can_follow (BlBenchCapture *self, BlMeasurementItem *item)
{
  const BlMeasurement *measurement = bl_measurement_item_get_measurement (item);
  const BlState *state = bl_bench_get_state (self->bench);
  gboolean read = bl_measurement_item_get_record (item) != NULL && !bl_measurement_item_is_old (item);

  return !read && bl_meter_mode_for (measurement->measures) != BL_METER_OTHER
         && (measurement->state == NULL || g_strcmp0 (measurement->state, state != NULL ? state->id : NULL) == 0);
}

void
bl_capture_go_on (BlBenchCapture *self)
{
  GListModel *model = bl_bench_get_measurements (self->bench);
  BlMeasurementItem *current = bl_bench_get_current (self->bench);
  guint n = g_list_model_get_n_items (model), from = 0;

  if (current == NULL || can_follow (self, current))
    return;
  for (guint i = 0; i < n; i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (model, i);
      if (item == current)
        from = i;
    }
  for (guint i = 1; i < n; i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (model, (from + i) % n);
      if (can_follow (self, item))
        {
          bl_bench_select (self->bench, item);
          return;
        }
    }
}
