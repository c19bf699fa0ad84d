/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The open job for somebody who practises on it. Blind: whoever is to find the fault alone must not see what the program
 * makes of the readings, and the surest way is that it makes nothing of them. Another log: a path is gone through again
 * on the same screens, at each step as it looked then; the library keeps what it has.
 */
#include "config.h"

#include "bl-bench-practice.h"

#include "bl-bench-private.h"

#include <glib/gi18n-lib.h>

void
bl_bench_set_blind (BlBench *self, gboolean blind)
{
  g_return_if_fail (BL_IS_BENCH (self));
  if (self->blind == blind)
    return;
  self->blind = blind;
  bl_bench_ask_odds (self);
}

gboolean
bl_bench_is_blind (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  return self->blind;
}

void
bl_bench_set_drilled (BlBench *self, gboolean planted)
{
  g_return_if_fail (BL_IS_BENCH (self));
  self->drilled = TRUE;
  self->planted = planted;
  bl_bench_weigh (self);
  bl_bench_ask_odds (self);
}

gboolean
bl_bench_may_write (BlBench *self, GError **error)
{
  if (!self->other_log)
    return TRUE;
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("this is a look back: nothing is entered here"));
  return FALSE;
}

gboolean
bl_bench_show_log (BlBench *self, GPtrArray *records, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  self->other_log = records != NULL;
  if (records == NULL)
    return bl_bench_reload (self, error);
  g_autoptr (BlDiagnosis) before = g_steal_pointer (&self->diagnosis); /* views may look into it until they are told */
  bl_bench_take_records (self, records);
  if (before != NULL)
    {
      /* Suspects of another step must not stand beside this one while its own are being worked out. */
      bl_bench_unions_begin (self);
      g_signal_emit_by_name (self, "diagnosed");
    }
  return TRUE;
}

gboolean
bl_bench_show_first (BlBench *self, guint n, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  GPtrArray *records = bl_library_records (self->library, self->job->id, error);

  if (records == NULL)
    return FALSE;
  if (n < records->len)
    g_ptr_array_set_size (records, (int) n);
  return bl_bench_show_log (self, records, error);
}

gboolean
bl_bench_judge_log (BlBench *self, GPtrArray *records, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && records != NULL, FALSE);
  g_autoptr (GPtrArray) entries = bl_records_to_entries (records);
  g_autoptr (GPtrArray) judged = bl_evidence_judge (bl_bench_get_board (self), entries, error);
  guint n = 0;

  if (judged == NULL)
    return FALSE;
  for (guint i = 0; i < records->len; i++)
    {
      BlRecord *record = g_ptr_array_index (records, i);
      BlJudged *one = n < judged->len ? g_ptr_array_index (judged, n) : NULL;
      /* What cannot be read any more is no evidence, and was left out. */
      if (one == NULL || record->kind != BL_RECORD_READING || record->struck
          || g_strcmp0 (record->subject, one->entry->subject) != 0)
        continue;
      n++;
      if (record->verdict != NULL)
        continue;
      record->verdict = g_steal_pointer (&one->verdict);
      record->band = g_steal_pointer (&one->band);
    }
  return TRUE;
}

BlMeasurementItem *
bl_bench_typed_reading (BlBench *self, const char *text)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && text != NULL, NULL);
  BlTyped typed = { 0 };
  BlMeasurementItem *item = NULL;

  if (bl_bench_read_typed (self, text, &typed, NULL) && typed.kind == BL_TYPED_READING)
    item = typed.item;
  bl_typed_clear (&typed);
  return item;
}

const char *
bl_bench_typed_part (BlBench *self, const char *text)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && text != NULL, NULL);
  BlTyped typed = { 0 };
  const char *component = NULL;

  /* Its name alone is refused as an entry, but says which one is meant. */
  bl_bench_read_typed (self, text, &typed, NULL);
  if (typed.kind == BL_TYPED_PART)
    component = typed.component;
  bl_typed_clear (&typed);
  return component;
}
