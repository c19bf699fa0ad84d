/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where the jobs stand: changing it, since when, and returns. The head has the state, the log how it came about; both are
 * written together. What leads from one state to the next by itself is bl-job-states.c's. */
#include "config.h"

#include "bl-library-states.h"

#include "bl-library-private.h"
#include "bl-library-steps.h"

#include <glib/gi18n-lib.h>

/* Undo strikes the line again. */
static gboolean
append_line (BlLibrary *library, const BlJob *job, BlJobState before, GError **error)
{
  g_autoptr (BlRecord) record =
      bl_record_new (BL_RECORD_JOB, bl_job_state_name (before), bl_job_state_name (job->state));

  record->job = job->id;
  return bl_library_append (library, record, error)
         && (!bl_step_is_open (library) || bl_library_step_record (library, record->id, error));
}

static gboolean
set_state (BlLibrary *library, gint64 id, BlJobState state, GError **error)
{
  g_autoptr (BlJob) job = bl_library_load_job (library, id, error);

  if (job == NULL)
    return FALSE;
  BlJobState before = job->state;
  if (before == state)
    return TRUE;
  bl_job_set_state (job, state);
  return bl_library_save_job (library, job, error) && append_line (library, job, before, error);
}

gboolean
bl_library_set_job_state (BlLibrary *library, gint64 job, BlJobState state, GError **error)
{
  const char *doing = _ ("changing the state of the job");

  g_return_val_if_fail (library != NULL && (guint) state < BL_N_JOB_STATES, FALSE);
  return bl_database_begin (library->database, doing, error)
         && bl_database_end (library->database, set_state (library, job, state, error), doing, error);
}

GHashTable *
bl_library_states_since (BlLibrary *library, GError **error)
{
  g_return_val_if_fail (library != NULL, NULL);
  g_autoptr (GHashTable) since = g_hash_table_new_full (g_int64_hash, g_int64_equal, g_free, g_free);
  /* The list of kinds is that of the index record_found, word for word. */
  g_autoptr (BlStatement) statement = bl_database_prepare (
      library->database, _ ("listing the jobs"),
      "SELECT job, max (time) FROM record r"
      " WHERE kind IN ('part test', 'replaced', 'cause', 'no cause', 'time', 'job') AND kind = 'job'"
      "   AND coalesce ((SELECT struck FROM strike WHERE record = r.id"
      "                  ORDER BY strike.time DESC, strike.id DESC LIMIT 1), 0) = 0"
      " GROUP BY job", error);
  BlStep step = BL_STEP_ERROR;

  while (statement != NULL && (step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    {
      gint64 job = bl_statement_int (statement, 0), time = bl_statement_int (statement, 1);
      g_hash_table_insert (since, g_memdup2 (&job, sizeof job), g_memdup2 (&time, sizeof time));
    }
  return step == BL_STEP_DONE ? g_steal_pointer (&since) : NULL;
}

/* --- returns --- */

static gint64
add_return (BlLibrary *library, gint64 id, const char *complaint, GError **error)
{
  g_autoptr (BlJob) first = bl_library_load_job (library, id, error), job = bl_job_new ();

  if (first == NULL)
    return 0;
  if (!first->closed)
    {
      g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID,
                   _ ("job %d has not been handed back: it cannot come back yet"), first->number);
      return 0;
    }
  job->board = first->board;
  job->equipment = first->equipment;
  job->customer = g_strdup (first->customer);
  job->unit = g_strdup (first->unit);
  job->serial = g_strdup (first->serial);
  job->complaint = g_strdup (complaint);
  job->return_of = first->id;
  job->state = BL_JOB_WAITING;
  return bl_library_add_job (library, job, error);
}

gint64
bl_library_add_return (BlLibrary *library, gint64 job, const char *complaint, GError **error)
{
  const char *doing = _ ("adding the job");

  g_return_val_if_fail (library != NULL, 0);
  if (!bl_database_begin (library->database, doing, error))
    return 0;
  gint64 id = add_return (library, job, complaint, error);
  return bl_database_end (library->database, id != 0, doing, error) ? id : 0;
}

gboolean
bl_library_mark_returned (BlLibrary *library, const BlJob *job, GError **error)
{
  g_autoptr (BlJob) first = job->return_of != 0 ? bl_library_load_job (library, job->return_of, error) : NULL;

  if (job->return_of == 0)
    return TRUE;
  if (first == NULL)
    return FALSE;
  return first->state != BL_JOB_HANDED_BACK || set_state (library, first->id, BL_JOB_RETURNED, error);
}
