/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How the odds went from entry to entry, for the shop's report.
 *
 * The engine is asked anew with the first one, two, three ... entries; what it computed for the board stays, so a
 * step costs milliseconds on a usual board. The advice before each entry costs more. Neither may keep the report
 * waiting for ever: beyond a minute the advice, then the steps themselves are left out, and the report says so. */
#include "config.h"

#include "bl-job-report.h"

#define ADVICE_S 60.0
#define STEPS_S 90.0

static char **
names_of (const BlDiagnosis *diagnosis)
{
  char **names = g_new0 (char *, bl_len (diagnosis->components) + 1);

  for (guint i = 0; i < bl_len (diagnosis->components); i++)
    {
      const BlOdd *odd = bl_at (diagnosis->components, i);
      g_assert (odd->index < diagnosis->components->len && names[odd->index] == NULL);
      names[odd->index] = g_strdup (odd->id);
    }
  return names;
}

static void
take_advice (BlReportStep *step, const BlDiagnosis *before, const BlEntry *entry)
{
  const BlNext *first = before != NULL && bl_len (before->next) > 0 ? bl_at (before->next, 0) : NULL;

  if (first == NULL || entry->kind != BL_ENTRY_READING)
    return;
  step->advised = g_strdup (first->measurement);
  for (guint i = 0; i < before->next->len && step->rank == 0; i++)
    if (g_strcmp0 (((const BlNext *) bl_at (before->next, i))->measurement, entry->subject) == 0)
      step->rank = i + 1;
}

static BlReportStep *
step_new (BlJobReport *self, guint entry, guint round, const BlDiagnosis *before, const BlDiagnosis *after)
{
  BlReportStep *step = g_new0 (BlReportStep, 1);

  step->entry = entry;
  step->round = round;
  step->elsewhere = after->elsewhere;
  step->remaining = after->remaining;
  step->odds = g_new0 (double, after->components->len + 1);
  for (guint i = 0; i < after->components->len; i++)
    {
      const BlOdd *odd = bl_at (after->components, i);
      step->odds[odd->index] = odd->probability;
    }
  take_advice (step, before, bl_at (self->entries, entry));
  return step;
}

void
bl_job_report_steps (BlJobReport *self, const int *cancel)
{
  g_return_if_fail (self != NULL && self->board != NULL);
  g_autoptr (BlEngine) engine = NULL;
  g_autoptr (BlDiagnosis) before = NULL;
  g_autoptr (GPtrArray) entries = g_ptr_array_new ();
  gint64 begun = g_get_monotonic_time ();
  BlDiagnoseFlags before_flags = BL_DIAGNOSE_NEXT; /* that before was asked with */
  guint round = 1;

  g_ptr_array_set_size (self->steps, 0);
  g_clear_pointer (&self->step_names, g_strfreev);
  self->steps_left_out = 0;
  self->advice_left_out = 0;
  if (self->entries->len == 0 || bl_len (self->board->stages) == 0)
    return;
  engine = bl_engine_new (self->weighed != NULL ? self->weighed : self->board, NULL);
  for (guint i = 0; engine != NULL && i < self->entries->len; i++)
    {
      const BlEntry *entry = bl_at (self->entries, i);
      double taken = (double) (g_get_monotonic_time () - begun) / G_USEC_PER_SEC;
      BlDiagnoseFlags flags = taken < ADVICE_S ? BL_DIAGNOSE_NEXT : BL_DIAGNOSE_ODDS;
      BlDiagnosis *after;
      if (taken > STEPS_S)
        break;
      g_ptr_array_add (entries, (gpointer) entry);
      round += entry->kind == BL_ENTRY_ROUND || entry->kind == BL_ENTRY_REPLACED;
      after = bl_engine_diagnose (engine, entries, flags, cancel, NULL);
      if (after == NULL)
        break;
      if (self->step_names == NULL)
        self->step_names = names_of (after);
      self->advice_left_out
        += before != NULL && !(before_flags & BL_DIAGNOSE_NEXT) && entry->kind == BL_ENTRY_READING;
      before_flags = flags;
      g_ptr_array_add (self->steps, step_new (self, i, round, before, after));
      g_clear_pointer (&before, bl_diagnosis_free);
      before = after;
    }
  self->steps_left_out = self->entries->len - self->steps->len;
}
