/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The jobs of a library: what stands on the job's head. What happened in it is in the bench log
 * (bl-library-log.c). A job is never deleted, only taken out
 * of the list: what was read stays. */
#include "config.h"

#include "bl-library-private.h"
#include "bl-library-steps.h"

#include <glib/gi18n-lib.h>

BlJob *
bl_job_new (void)
{
  return g_new0 (BlJob, 1);
}

void
bl_job_free (BlJob *job)
{
  if (job == NULL)
    return;
  g_free (job->customer);
  g_free (job->unit);
  g_free (job->serial);
  g_free (job->complaint);
  g_free (job->board_name);
  g_free (job->cause);
  g_free (job);
}

#define SELECT_JOB                                                                                 \
  "SELECT job.id, number, job.board, customer, unit, serial, complaint, cause, closed, created, "  \
  "job.changed,"                                                                                   \
  " board_number, edition, model FROM job JOIN board ON board.id = job.board "

/* "Board number, edition", whatever of it there is. */
static char *
board_name (BlStatement *statement)
{
  g_autofree char *number = bl_statement_dup_text (statement, 11);
  g_autofree char *edition = bl_statement_dup_text (statement, 12);
  g_autofree char *model = bl_statement_dup_text (statement, 13);
  const char *name = number != NULL && number[0] != '\0' ? number : model;

  if (name == NULL || name[0] == '\0')
    name = _ ("undocumented board");
  /* Translators: board number, revision mark. */
  return edition != NULL && edition[0] != '\0'
             ? g_strdup_printf (_ ("%s, edition %s"), name, edition)
             : g_strdup (name);
}

static BlJob *
job_from_row (BlStatement *statement)
{
  BlJob *job = bl_job_new ();

  job->id = bl_statement_int (statement, 0);
  job->number = (int) bl_statement_int (statement, 1);
  job->board = bl_statement_int (statement, 2);
  job->customer = bl_statement_dup_text (statement, 3);
  job->unit = bl_statement_dup_text (statement, 4);
  job->serial = bl_statement_dup_text (statement, 5);
  job->complaint = bl_statement_dup_text (statement, 6);
  job->cause = bl_statement_dup_text (statement, 7);
  job->closed = bl_statement_int (statement, 8) != 0;
  job->created = bl_statement_int (statement, 9);
  job->changed = bl_statement_int (statement, 10);
  job->board_name = board_name (statement);
  return job;
}

GPtrArray *
bl_library_jobs (BlLibrary *library, GError **error)
{
  g_autoptr (GPtrArray) jobs = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_job_free);
  g_autoptr (BlStatement) statement = NULL;
  BlStep step;

  g_return_val_if_fail (library != NULL, NULL);
  statement = bl_database_prepare (library->database, _ ("listing the jobs"),
                                   SELECT_JOB "WHERE NOT job.removed ORDER BY number DESC", error);
  if (statement == NULL)
    return NULL;
  while ((step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    g_ptr_array_add (jobs, job_from_row (statement));
  return step == BL_STEP_DONE ? g_steal_pointer (&jobs) : NULL;
}

BlJob *
bl_library_load_job (BlLibrary *library, gint64 id, GError **error)
{
  g_autoptr (BlStatement) statement = NULL;
  BlStep step;

  g_return_val_if_fail (library != NULL, NULL);
  statement = bl_database_prepare (library->database, _ ("reading the job"),
                                   SELECT_JOB "WHERE job.id = ?1", error);
  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, id);
  step = bl_statement_step (statement, error);
  if (step == BL_STEP_DONE)
    bl_library_not_found (library, _ ("job"), id, error);
  return step == BL_STEP_ROW ? job_from_row (statement) : NULL;
}

/* Parameters 1 to 9 of both statements below. */
static void
bind_job (BlStatement *statement, const BlJob *job)
{
  bl_statement_bind_int (statement, 1, job->number);
  bl_statement_bind_int (statement, 2, job->board);
  bl_statement_bind_text (statement, 3, job->customer);
  bl_statement_bind_text (statement, 4, job->unit);
  bl_statement_bind_text (statement, 5, job->serial);
  bl_statement_bind_text (statement, 6, job->complaint);
  bl_statement_bind_text (statement, 7, job->cause);
  bl_statement_bind_int (statement, 8, job->closed ? 1 : 0);
}

/* Refuses a number below 1 and one that another job than job->id has. */
static gboolean
check_number (BlLibrary *library, const BlJob *job, GError **error)
{
  g_autoptr (BlStatement) statement =
      bl_database_prepare (library->database, _ ("saving the job"),
                           "SELECT 1 FROM job WHERE number = ?1 AND id <> ?2", error);
  BlStep step;

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, job->number);
  bl_statement_bind_int (statement, 2, job->id);
  step = bl_statement_step (statement, error);
  if (step == BL_STEP_ROW)
    g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID, _ ("%s: there is a job %d already"),
                 bl_database_path (library->database), job->number);
  else if (step == BL_STEP_DONE && job->number < 1)
    g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID,
                 _ ("%s: a job's number is 1 or more, not %d"),
                 bl_database_path (library->database), job->number);
  return step == BL_STEP_DONE && job->number >= 1;
}

static gboolean
insert_job (BlLibrary *library, BlJob *job, GError **error)
{
  g_autoptr (BlStatement) statement = NULL;
  gint64 next = job->number, now = bl_library_now ();

  if (job->number == 0 &&
      !bl_database_get_number (library->database, _ ("adding the job"),
                               "SELECT coalesce (max (number), 0) + 1 FROM job", &next, error))
    return FALSE;
  job->id = 0;
  job->number = (int) next;
  job->created = job->created != 0 ? job->created : now;
  job->changed = MAX (job->created, job->changed);
  if (!check_number (library, job, error) ||
      !bl_library_require (library, "board", _ ("board"), job->board, error))
    return FALSE;
  statement = bl_database_prepare (library->database, _ ("adding the job"),
                                   "INSERT INTO job (number, board, customer, unit, serial, "
                                   "complaint, cause, closed, created, changed)"
                                   " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
                                   error);
  if (statement == NULL)
    return FALSE;
  bind_job (statement, job);
  bl_statement_bind_int (statement, 9, job->created);
  bl_statement_bind_int (statement, 10, job->changed);
  return bl_statement_run (statement, error);
}

static gboolean
set_removed (BlLibrary *library, gint64 id, gboolean removed, GError **error)
{
  g_autoptr (BlStatement) statement = bl_database_prepare (library->database, _ ("removing the job"),
                                                           "UPDATE job SET removed = ?1 WHERE id = ?2", error);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, removed ? 1 : 0);
  bl_statement_bind_int (statement, 2, id);
  return bl_statement_run (statement, error);
}

gboolean
bl_library_remove_job (BlLibrary *library, gint64 id, GError **error)
{
  g_return_val_if_fail (library != NULL, FALSE);
  return bl_library_require (library, "job", _ ("job"), id, error) && bl_step_touch_id (library, "job", id, error)
         && set_removed (library, id, TRUE, error);
}

gint64
bl_library_add_job (BlLibrary *library, BlJob *job, GError **error)
{
  const char *doing = _ ("adding the job");
  int number_before;
  gint64 id;
  gboolean ok;

  g_return_val_if_fail (library != NULL && job != NULL, 0);
  number_before = job->number;
  if (!bl_database_begin (library->database, doing, error))
    return 0;
  ok = insert_job (library, job, error);
  id = bl_database_last_id (library->database);
  /* For a step of undo a new job is one that was not in the list before. */
  if (ok && bl_step_is_open (library))
    ok = set_removed (library, id, TRUE, error) && bl_step_touch_id (library, "job", id, error)
         && set_removed (library, id, FALSE, error);
  if (bl_database_end (library->database, ok, doing, error))
    return job->id = id;
  job->number = number_before;
  return 0;
}

static gboolean
update_job (BlLibrary *library, const BlJob *job, GError **error)
{
  g_autoptr (BlStatement) statement =
      bl_database_prepare (library->database, _ ("saving the job"),
                           "UPDATE job SET number = ?1, board = ?2, customer = ?3, unit = ?4, "
                           "serial = ?5, complaint = ?6, cause = ?7,"
                           " closed = ?8, changed = ?9 WHERE id = ?10",
                           error);

  if (statement == NULL)
    return FALSE;
  bind_job (statement, job);
  bl_statement_bind_int (statement, 9, bl_library_now ());
  bl_statement_bind_int (statement, 10, job->id);
  return bl_statement_run (statement, error);
}

gboolean
bl_library_save_job (BlLibrary *library, const BlJob *job, GError **error)
{
  const char *doing = _ ("saving the job");
  gboolean ok;

  g_return_val_if_fail (library != NULL && job != NULL, FALSE);
  if (!bl_database_begin (library->database, doing, error))
    return FALSE;
  ok = bl_library_require (library, "job", _ ("job"), job->id, error) &&
       bl_step_touch_id (library, "job", job->id, error) && check_number (library, job, error) &&
       bl_library_require (library, "board", _ ("board"), job->board, error) &&
       update_job (library, job, error);
  return bl_database_end (library->database, ok, doing, error);
}
