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
  BlJob *job = g_new0 (BlJob, 1);

  job->state = BL_JOB_ON_THE_BENCH;
  return job;
}

void
bl_job_free (BlJob *job)
{
  if (job == NULL)
    return;
  g_free (job->uid);
  g_free (job->came_with);
  g_free (job->customer);
  g_free (job->unit);
  g_free (job->serial);
  g_free (job->complaint);
  g_free (job->board_name);
  g_free (job->cause);
  g_free (job);
}

static const char *const state_names[BL_N_JOB_STATES] = {
  [BL_JOB_WAITING] = "waiting",
  [BL_JOB_ON_THE_BENCH] = "on the bench",
  [BL_JOB_WAITING_FOR_PARTS] = "waiting for parts",
  [BL_JOB_PROVING] = "proving",
  [BL_JOB_HANDED_BACK] = "handed back",
  [BL_JOB_NOT_ECONOMICAL] = "not economical",
  [BL_JOB_RETURNED] = "returned",
};

const char *
bl_job_state_name (BlJobState state)
{
  return (guint) state < BL_N_JOB_STATES ? state_names[state] : NULL;
}

gboolean
bl_job_state_parse (const char *name, BlJobState *state)
{
  g_return_val_if_fail (state != NULL, FALSE);
  for (guint i = 0; i < BL_N_JOB_STATES; i++)
    if (g_strcmp0 (state_names[i], name) == 0)
      {
        *state = (BlJobState) i;
        return TRUE;
      }
  return FALSE;
}

gboolean
bl_job_state_is_closed (BlJobState state)
{
  return state == BL_JOB_HANDED_BACK || state == BL_JOB_NOT_ECONOMICAL || state == BL_JOB_RETURNED;
}

void
bl_job_set_state (BlJob *job, BlJobState state)
{
  g_return_if_fail (job != NULL && (guint) state < BL_N_JOB_STATES);
  job->state = state;
  job->closed = bl_job_state_is_closed (state);
  if (!job->closed)
    job->handed_back = 0;
  else if (job->handed_back == 0)
    job->handed_back = bl_library_now ();
}

#define SELECT_JOB                                                                                               \
  "SELECT job.id, number, job.board, customer, unit, serial, complaint, cause, closed, created, job.changed,"    \
  " board_number, edition, model, job.uid, job.equipment, came_with, job.state, return_of, part_of, handed_back," \
  " equipment.title FROM job LEFT JOIN board ON board.id = job.board"                                            \
  " LEFT JOIN equipment ON equipment.id = job.equipment "

char *
bl_library_edition_words (const char *number, const char *model, const char *edition)
{
  const char *name = number != NULL && number[0] != '\0' ? number : model;

  if (name == NULL || name[0] == '\0')
    name = _ ("undocumented board");
  /* Translators: board number, revision mark. */
  return edition != NULL && edition[0] != '\0'
             ? g_strdup_printf (_ ("%s, edition %s"), name, edition)
             : g_strdup (name);
}

/* ... or the equipment's title. */
static char *
board_name (BlStatement *statement)
{
  g_autofree char *number = bl_statement_dup_text (statement, 11);
  g_autofree char *edition = bl_statement_dup_text (statement, 12);
  g_autofree char *model = bl_statement_dup_text (statement, 13);
  g_autofree char *title = bl_statement_dup_text (statement, 21);

  if (bl_statement_int (statement, 15) != 0)
    return g_strdup (title != NULL && *title != '\0' ? title : _ ("equipment without a name"));
  return bl_library_edition_words (number, model, edition);
}

static BlJob *
job_from_row (BlStatement *statement)
{
  BlJob *job = bl_job_new ();
  g_autofree char *state = bl_statement_dup_text (statement, 17);

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
  job->uid = bl_statement_dup_text (statement, 14);
  job->equipment = bl_statement_int (statement, 15);
  job->came_with = bl_statement_dup_text (statement, 16);
  bl_job_state_parse (state, &job->state);
  job->return_of = bl_statement_int (statement, 18);
  job->part_of = bl_statement_int (statement, 19);
  job->handed_back = bl_statement_int (statement, 20);
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

static void
bind_id (BlStatement *statement, int n, gint64 id)
{
  if (id != 0)
    bl_statement_bind_int (statement, n, id);
}

/* Parameters 1 to 14 of both statements below. A head that only says closed, or no longer, takes the state that goes
 * with it. */
static void
bind_job (BlStatement *statement, const BlJob *job)
{
  BlJobState state = job->state;

  if (job->closed != bl_job_state_is_closed (state))
    state = job->closed ? BL_JOB_HANDED_BACK : BL_JOB_ON_THE_BENCH;
  bl_statement_bind_int (statement, 1, job->number);
  bind_id (statement, 2, job->board);
  bl_statement_bind_text (statement, 3, job->customer);
  bl_statement_bind_text (statement, 4, job->unit);
  bl_statement_bind_text (statement, 5, job->serial);
  bl_statement_bind_text (statement, 6, job->complaint);
  bl_statement_bind_text (statement, 7, job->cause);
  bl_statement_bind_int (statement, 8, job->closed ? 1 : 0);
  bind_id (statement, 9, job->equipment);
  bl_statement_bind_text (statement, 10, job->came_with);
  bl_statement_bind_text (statement, 11, bl_job_state_name (state));
  bind_id (statement, 12, job->return_of);
  bind_id (statement, 13, job->part_of);
  if (job->closed)
    bl_statement_bind_int (statement, 14, job->handed_back != 0 ? job->handed_back : bl_library_now ());
}

/* What the job is about. */
static gboolean
require_subject (BlLibrary *library, const BlJob *job, GError **error)
{
  if (job->board != 0 || job->equipment == 0)
    return bl_library_require (library, "board", _ ("board"), job->board, error);
  return bl_library_require (library, "equipment", _ ("equipment"), job->equipment, error);
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
      !require_subject (library, job, error))
    return FALSE;
  if (job->uid == NULL)
    job->uid = bl_library_new_uid ();
  statement = bl_database_prepare (library->database, _ ("adding the job"),
                                   "INSERT INTO job (number, board, customer, unit, serial, "
                                   "complaint, cause, closed, equipment, came_with, state, return_of, part_of,"
                                   " handed_back, created, changed, uid)"
                                   " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16,"
                                   " ?17)",
                                   error);
  if (statement == NULL)
    return FALSE;
  bind_job (statement, job);
  bl_statement_bind_int (statement, 15, job->created);
  bl_statement_bind_int (statement, 16, job->changed);
  bl_statement_bind_text (statement, 17, job->uid);
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
  ok = ok && bl_library_mark_returned (library, job, error);
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
                           " closed = ?8, equipment = ?9, came_with = ?10, state = ?11, return_of = ?12,"
                           " part_of = ?13, handed_back = ?14, changed = ?15 WHERE id = ?16",
                           error);

  if (statement == NULL)
    return FALSE;
  bind_job (statement, job);
  bl_statement_bind_int (statement, 15, bl_library_now ());
  bl_statement_bind_int (statement, 16, job->id);
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
       require_subject (library, job, error) &&
       update_job (library, job, error) && bl_library_mark_returned (library, job, error);
  return bl_database_end (library->database, ok, doing, error);
}
