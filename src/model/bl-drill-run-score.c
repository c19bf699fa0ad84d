/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The score of a drill, computed beside it: a measurement takes some tenths of a second, so each is scored while the next
 * is being thought about, and at the end little is left to wait for. The way of whoever follows the plan, for the replay,
 * is looked for when nothing is to be scored, and once the drill has ended the score does not wait for it. Each is a task
 * of its own, which has copies and the drill, which nobody changes; it keeps the run alive. */
#include "config.h"

#include "bl-drill-run-private.h"

#include "bl-practice-private.h"
#include "bl-trainee.h"

#include <glib/gi18n-lib.h>

#define BEST_MOST 60 /* measurements of the best way at most; boards that need a tenth of it are usual */

typedef struct
{
  const BlDrill *drill;
  const int *cancel;
  GPtrArray *steps;    /* BlDrillStep */
  BlSafeLimits limits;
  gboolean ended;
  BlDrillScore *score; /* filled in, or */
  GPtrArray *best;     /* that */
} Work;

static void
work_free (gpointer data)
{
  Work *work = data;

  g_clear_pointer (&work->steps, g_ptr_array_unref);
  g_clear_pointer (&work->score, bl_drill_score_free);
  g_clear_pointer (&work->best, g_ptr_array_unref);
  g_free (work);
}

static GPtrArray *
copy_steps (GPtrArray *steps)
{
  GPtrArray *copies = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_drill_step_free);

  for (guint i = 0; i < bl_len (steps); i++)
    g_ptr_array_add (copies, bl_drill_step_copy (g_ptr_array_index (steps, i)));
  return copies;
}

static gboolean
is_same (const BlDrillStep *one, const BlDrillStep *other)
{
  return one->kind == other->kind && g_strcmp0 (one->subject, other->subject) == 0
         && g_strcmp0 (one->text, other->text) == 0 && one->struck == other->struck;
}

/* The steps of the run, those that were scored as they were. */
static GPtrArray *
steps_to_score (BlDrillRun *self)
{
  GPtrArray *steps = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_drill_step_free);
  gboolean known = TRUE;

  for (guint i = 0; i < self->steps->len; i++)
    {
      const BlDrillStep *step = g_ptr_array_index (self->steps, i);
      known = known && i < bl_len (self->scored) && is_same (step, g_ptr_array_index (self->scored, i));
      g_ptr_array_add (steps, bl_drill_step_copy (known ? g_ptr_array_index (self->scored, i) : step));
    }
  return steps;
}

/* The same with the states it is measured in, which taking a measurement implies: whoever follows it has to set them, before
 * they prove that nothing is left there. */
static GPtrArray *
with_states (const BlDrill *drill, GPtrArray *steps)
{
  GPtrArray *all = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_drill_step_free);
  const char *state = NULL;

  for (guint i = 0; i < steps->len; i++)
    {
      const BlDrillStep *step = g_ptr_array_index (steps, i);
      const BlMeasurement *measurement
        = step->kind == BL_STEP_MEASURE ? bl_board_measurement (bl_drill_board (drill), step->subject) : NULL;
      guint proofs = 0;
      if (measurement != NULL && measurement->state != NULL && g_strcmp0 (measurement->state, state) != 0)
        {
          state = measurement->state;
          while (proofs < all->len
                 && ((BlDrillStep *) g_ptr_array_index (all, all->len - 1 - proofs))->kind == BL_STEP_PROOF)
            proofs++;
          g_ptr_array_insert (all, (int) (all->len - proofs), bl_drill_step_new (BL_STEP_STATE, state, NULL));
        }
      g_ptr_array_add (all, bl_drill_step_copy (step));
    }
  return all;
}

/* A task that is over, told at once. */
static void
end_work (GTask *task, GError *error)
{
  if (error != NULL)
    g_task_return_error (task, error);
  else
    g_task_return_boolean (task, TRUE);
}

static void
best_cb (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Work *work = data;
  GError *error = NULL;
  g_autoptr (GPtrArray) steps = bl_trainee_work (work->drill, BL_TRAINEE_ADVICE, 0, BEST_MOST, work->cancel, &error);
  g_autoptr (BlDrillScore) score
    = steps != NULL ? bl_drill_score_by (work->drill, steps, &work->limits, work->cancel, &error) : NULL;

  work->best = score != NULL ? with_states (work->drill, score->steps) : NULL;
  end_work (task, error);
}

static void
work_cb (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Work *work = data;
  GError *error = NULL;

  work->score = bl_drill_score_by (work->drill, work->steps, &work->limits, work->cancel, &error);
  end_work (task, error);
}

/* --- keeping it --- */

static void
fill_row (BlDrillRun *self)
{
  BlDrillRow *row = self->row;
  const BlDrillScore *score = self->score;
  const BlBoard *board = bl_drill_board (self->drill);
  const char *fault = bl_drill_faults (self->drill)[0];

  g_free (row->section_kind);
  row->section_kind = g_strdup (bl_practice_section_of (board, fault));
  g_free (row->family);
  row->family = bl_practice_family_of (board, fault);
  row->stage_right = score->stage_right;
  row->component_right = score->component_right;
  row->failed = score->failed;
  row->regret_s = score->regret_s;
  row->effort_s = score->effort_s;
  row->n_measured = score->n_measured;
  row->n_right = score->n_right;
  row->n_told_nothing = score->n_told_nothing;
  row->n_unsafe = score->n_unsafe;
}

static gboolean
keep_all (BlDrillRun *self, GError **error)
{
  const BlDrillRow *row = self->row;
  gboolean right = bl_drill_row_is_right (row);

  return bl_library_score_drill (bl_practice_get_library (self->practice), row, error)
         && (row->section_kind == NULL
             || bl_practice_move_topic (self->practice, row->person, BL_TOPIC_SECTION, row->section_kind, right, error))
         && (row->family == NULL
             || bl_practice_move_topic (self->practice, row->person, BL_TOPIC_FAMILY, row->family, right, error));
}

/* Once: a drill that is looked at again, or was scored in another window meanwhile, is due when it was. */
static gboolean
keep_score (BlDrillRun *self, GError **error)
{
  const char *doing = _ ("keeping the score");
  BlLibrary *library = bl_practice_get_library (self->practice);
  g_autoptr (BlDrillRow) now = NULL;

  if (!bl_library_begin (library, doing, error))
    return FALSE;
  now = bl_library_load_drill (library, self->row->id, error);
  gboolean ok = now != NULL && (now->scored || keep_all (self, error));
  if (!bl_library_end (library, ok, doing, error))
    return FALSE;
  self->row->scored = TRUE;
  return bl_practice_reload (self->practice, error);
}

static void
finish (BlDrillRun *self, BlDrillScore *score)
{
  g_autoptr (GError) error = NULL;

  g_clear_pointer (&self->score, bl_drill_score_free);
  g_clear_pointer (&self->trouble, g_free);
  self->score = score;
  if (!self->row->scored)
    {
      fill_row (self);
      if (!keep_score (self, &error))
        self->trouble = g_strdup (error->message);
    }
  bl_drill_run_announce_score (self);
}

static void
fail (BlDrillRun *self, const GError *error)
{
  g_free (self->trouble);
  self->trouble = g_strdup (error->message);
  bl_drill_run_announce_score (self);
}

/* Kept alive until it is told here, not by the task: its last owner may be the thread, which must not end the run. */
static void
start (BlDrillRun *self, Work *work, GTaskThreadFunc run, GAsyncReadyCallback ready)
{
  g_autoptr (GTask) task = g_task_new (NULL, NULL, ready, g_object_ref (self));

  work->drill = self->drill;
  work->limits = self->limits;
  g_task_set_task_data (task, work, work_free);
  g_task_run_in_thread (task, run);
}

static void seek_best (BlDrillRun *self);

/* One that stood back for the score is looked for again when that is there. */
static void
best_ready_cb (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (BlDrillRun) self = data;
  Work *work = g_task_get_task_data (G_TASK (result));
  gboolean ok = g_task_propagate_boolean (G_TASK (result), NULL), stood_back = g_atomic_int_get (&self->no_best) != 0;

  self->seeking = FALSE;
  if (g_atomic_int_get (&self->cancel) != 0)
    return;
  if (!ok && stood_back)
    {
      seek_best (self);
      return;
    }
  self->best = g_steal_pointer (&work->best);
  self->lost = !ok;
  if (self->score != NULL)
    bl_drill_run_announce_best (self);
}

static void
seek_best (BlDrillRun *self)
{
  if (self->busy || self->seeking || !bl_drill_run_is_best_awaited (self))
    return;
  Work *work = g_new0 (Work, 1);
  g_atomic_int_set (&self->no_best, 0);
  work->cancel = &self->no_best;
  self->seeking = TRUE;
  start (self, work, best_cb, best_ready_cb);
}

static void
ready_cb (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (BlDrillRun) self = data;
  Work *work = g_task_get_task_data (G_TASK (result));
  g_autoptr (GError) error = NULL;
  gboolean ok = g_task_propagate_boolean (G_TASK (result), &error), again = self->again;

  self->busy = self->again = FALSE;
  if (g_atomic_int_get (&self->cancel) != 0)
    return;
  if (ok)
    {
      g_clear_pointer (&self->scored, g_ptr_array_unref);
      self->scored = copy_steps (work->score->steps);
    }
  if (ok && work->ended)
    finish (self, g_steal_pointer (&work->score));
  else if (again)
    bl_drill_run_ask_score (self);
  else if (!ok)
    fail (self, error);
  seek_best (self);
}

void
bl_drill_run_ask_score (BlDrillRun *self)
{
  gboolean ended = bl_drill_run_is_ended (self);

  if (g_atomic_int_get (&self->cancel) != 0)
    return;
  if (ended) /* somebody waits for the score */
    g_atomic_int_set (&self->no_best, 1);
  if (self->busy)
    {
      self->again = TRUE;
      return;
    }
  Work *work = g_new0 (Work, 1);
  work->cancel = &self->cancel;
  work->steps = steps_to_score (self);
  work->ended = ended;
  self->busy = TRUE;
  start (self, work, work_cb, ready_cb);
}

void
bl_drill_run_stop (BlDrillRun *self)
{
  g_return_if_fail (BL_IS_DRILL_RUN (self));
  g_atomic_int_set (&self->cancel, 1);
  g_atomic_int_set (&self->no_best, 1);
}

void
bl_drill_run_settle (BlDrillRun *self)
{
  g_return_if_fail (BL_IS_DRILL_RUN (self));
  while (self->busy || self->seeking)
    g_main_context_iteration (NULL, TRUE);
}
