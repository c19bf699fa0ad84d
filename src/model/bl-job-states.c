/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The states of a job, between the door and the door. What is done on the bench moves a job on by itself, so that nobody
 * has to keep a list beside the work; it never ends one: that is said. */
#include "config.h"

#include "bl-job-states.h"

#include <glib/gi18n-lib.h>

#include "bl-bench-private.h"
#include "bl-format.h"
#include "bl-library-steps.h"

#define DAY ((gint64) 24 * 3600 * G_USEC_PER_SEC)

const char *
bl_job_state_word (BlJobState state)
{
  static const char *const words[BL_N_JOB_STATES] = {
    [BL_JOB_WAITING] = N_ ("waiting"),
    [BL_JOB_ON_THE_BENCH] = N_ ("on the bench"),
    [BL_JOB_WAITING_FOR_PARTS] = N_ ("waiting for parts"),
    [BL_JOB_PROVING] = N_ ("proving"),
    [BL_JOB_HANDED_BACK] = N_ ("handed back"),
    [BL_JOB_NOT_ECONOMICAL] = N_ ("not economical"),
    [BL_JOB_RETURNED] = N_ ("returned"),
  };

  g_return_val_if_fail ((guint) state < BL_N_JOB_STATES, "");
  return _ (words[state]);
}

int
bl_days_between (gint64 from, gint64 to)
{
  return to > from ? (int) ((to - from) / DAY) : 0;
}

char *
bl_job_since_words (const BlJob *job, gint64 since, gint64 now)
{
  const char *word = bl_job_state_word (job->state);
  int days = bl_days_between (since, now);

  if (job->closed)
    {
      g_autofree char *date = bl_format_day (job->handed_back != 0 ? job->handed_back : since, now);
      /* Translators: state of a job, day. */
      return g_strdup_printf (_ ("%s, %s"), word, date);
    }
  if (days == 0)
    return g_strdup_printf (_ ("%s since today"), word);
  return g_strdup_printf (ngettext ("%s for %d day", "%s for %d days", (gulong) days), word, days);
}

/* --- what leads where --- */

static gboolean
is_work (BlRecordKind kind)
{
  return kind == BL_RECORD_READING || kind == BL_RECORD_PART_TEST || kind == BL_RECORD_REPLACED
         || kind == BL_RECORD_ROUND || kind == BL_RECORD_STATE || kind == BL_RECORD_PROOF;
}

BlJobState
bl_job_state_after (BlJobState state, BlRecordKind kind)
{
  if (bl_job_state_is_closed (state))
    return state;
  if (kind == BL_RECORD_TEST)
    return BL_JOB_PROVING;
  if (kind == BL_RECORD_REPLACED || (is_work (kind) && state != BL_JOB_PROVING))
    return BL_JOB_ON_THE_BENCH;
  return state;
}

gboolean
bl_bench_move_on (BlBench *self, BlRecordKind kind, GError **error)
{
  BlJobState state = bl_job_state_after (self->job->state, kind);

  return state == self->job->state
         || (bl_library_set_job_state (self->library, self->job->id, state, error) && bl_bench_load_head (self, error));
}

/* --- saying it --- */

gboolean
bl_jobs_set_state (BlLibrary *library, gint64 job, BlJobState state, GError **error)
{
  g_return_val_if_fail (library != NULL, FALSE);
  g_autoptr (BlJob) head = bl_library_load_job (library, job, error);

  if (head == NULL)
    return FALSE;
  g_autofree char *label = g_strdup_printf (_ ("job %d: %s"), head->number, bl_job_state_word (state));
  return bl_library_begin_step (library, BL_STEPS_JOBS, 0, label, error)
         && bl_library_end_step (library, bl_library_set_job_state (library, job, state, error), NULL, error);
}

gint64
bl_jobs_take_back (BlLibrary *library, gint64 job, const char *complaint, GError **error)
{
  g_return_val_if_fail (library != NULL, 0);
  g_autoptr (BlJob) head = bl_library_load_job (library, job, error);

  if (head == NULL)
    return 0;
  g_autofree char *label = g_strdup_printf (_ ("job %d came back"), head->number);
  if (!bl_library_begin_step (library, BL_STEPS_JOBS, 0, label, error))
    return 0;
  gint64 id = bl_library_add_return (library, job, complaint, error);
  return bl_library_end_step (library, id != 0, NULL, error) ? id : 0;
}

gboolean
bl_bench_set_job_state (BlBench *self, BlJobState state, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && (guint) state < BL_N_JOB_STATES, FALSE);
  gboolean ends = bl_job_state_is_closed (state), ended = self->job->closed;
  g_autofree char *label = ends == ended ? g_strdup_printf (_ ("state: %s"), bl_job_state_word (state))
                           : ends        ? g_strdup (_ ("end of the job"))
                                         : g_strdup (_ ("job taken up again"));

  if (!bl_bench_begin_step (self, label, error)
      || !bl_library_end_step (self->library, bl_library_set_job_state (self->library, self->job->id, state, error),
                               NULL, error))
    return FALSE;
  return bl_bench_load_head (self, error) && bl_bench_reload (self, error);
}
