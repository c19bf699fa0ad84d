/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A worked case: made up, or of a job (bl-worked-source.c has what is taken of it); what it holds, the worker that computes
 * its steps (bl-worked-steps.c), and how much of the reasons is shown before the answer. */
#include "config.h"

#include "bl-worked-private.h"

#include "bl-practice-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#define SHOWN_FIRST 2  /* cases of a family whose reasons are all shown; one or two, then drill: own choice within that */
#define ASKED_AFTER 4  /* from then on reasons come after the answer */

enum
{
  STEP,
  READY,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlWorkedCase, bl_worked_case, G_TYPE_OBJECT)

void
bl_worked_fill_topic (const BlBoard *board, const char *const *causes, char **section, char **family)
{
  g_autofree char *fault = NULL;

  if (causes == NULL || causes[0] == NULL)
    return;
  fault = strchr (causes[0], ':') != NULL ? g_strdup (causes[0]) : g_strconcat (causes[0], ":", NULL);
  *section = g_strdup (bl_practice_section_of (board, fault));
  *family = strchr (causes[0], ':') != NULL ? bl_practice_family_of (board, fault) : NULL;
}

void
bl_worked_fill_symptom (BlWorkedCase *self)
{
  for (guint i = 0; i < self->n_known && self->symptom == NULL; i++)
    {
      const BlEntry *entry = g_ptr_array_index (self->entries, i);
      const BlSymptom *symptom = bl_board_symptom (self->board, entry->subject);
      if (symptom != NULL && g_strcmp0 (entry->text, "yes") == 0)
        self->symptom = g_strdup (symptom->title != NULL ? symptom->title : symptom->id);
    }
}

/* --- made up --- */

BlWorkedCase *
bl_worked_case_simulated (BlPractice *practice, const BlPracticeSubject *subject, const BlDrillOrder *order, GError **error)
{
  g_return_val_if_fail (BL_IS_PRACTICE (practice) && subject != NULL && order != NULL, NULL);
  g_autoptr (BlWorkedCase) self = g_object_new (BL_TYPE_WORKED_CASE, NULL);

  self->practice = g_object_ref (practice);
  if (!bl_practice_copy (practice, subject, &self->copy, &self->uid, error))
    return NULL;
  self->board = bl_practice_load_copy (practice, self->copy.board, self->copy.equipment, error);
  self->drill = self->board != NULL ? bl_drill_new (self->board, order, error) : NULL;
  if (self->drill == NULL)
    return NULL;
  bl_drill_set_odds (self->board, FALSE);
  self->causes = g_strdupv ((char **) bl_drill_faults (self->drill));
  self->key = g_strdup_printf ("%s %s %u", self->uid, bl_drill_kind_name (order->kind), order->seed);
  self->entries = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_entry_free);
  if (bl_drill_symptom (self->drill) != NULL)
    g_ptr_array_add (self->entries, bl_entry_new (BL_ENTRY_SYMPTOM, bl_drill_symptom (self->drill), "yes"));
  self->n_known = self->entries->len;
  bl_worked_fill_topic (self->board, (const char *const *) self->causes, &self->section, &self->family);
  bl_worked_fill_symptom (self);
  return g_steal_pointer (&self);
}

/* --- what it holds --- */

const BlBoard *
bl_worked_case_get_board (BlWorkedCase *self)
{
  g_return_val_if_fail (BL_IS_WORKED_CASE (self), NULL);
  return self->board;
}

BlPracticeSubject
bl_worked_case_get_copy (BlWorkedCase *self)
{
  g_return_val_if_fail (BL_IS_WORKED_CASE (self), ((BlPracticeSubject){ 0, 0 }));
  return self->copy;
}

const char *
bl_worked_case_get_symptom (BlWorkedCase *self)
{
  g_return_val_if_fail (BL_IS_WORKED_CASE (self), NULL);
  return self->symptom;
}

const char *const *
bl_worked_case_get_causes (BlWorkedCase *self)
{
  g_return_val_if_fail (BL_IS_WORKED_CASE (self), NULL);
  return (const char *const *) self->causes;
}

GPtrArray *
bl_worked_case_get_steps (BlWorkedCase *self)
{
  g_return_val_if_fail (BL_IS_WORKED_CASE (self), NULL);
  return self->steps;
}

gboolean
bl_worked_case_is_whole (BlWorkedCase *self)
{
  g_return_val_if_fail (BL_IS_WORKED_CASE (self), FALSE);
  return self->begun && !self->busy && self->trouble == NULL;
}

const char *
bl_worked_case_get_trouble (BlWorkedCase *self)
{
  g_return_val_if_fail (BL_IS_WORKED_CASE (self), NULL);
  return self->trouble;
}

/* --- the worker --- */

/* A step on its way to the thread of the case, which it keeps alive. */
typedef struct
{
  BlWorkedCase *worked;
  BlWorkedStep *step;
} Arrival;

static void
arrival_free (gpointer data)
{
  Arrival *arrival = data;

  g_clear_pointer (&arrival->step, bl_worked_step_free);
  g_object_unref (arrival->worked);
  g_free (arrival);
}

static gboolean
step_arrived (gpointer data)
{
  Arrival *arrival = data;
  BlWorkedCase *self = arrival->worked;

  g_ptr_array_add (self->steps, g_steal_pointer (&arrival->step));
  if (g_atomic_int_get (&self->cancel) == 0)
    g_signal_emit (self, signals[STEP], 0);
  return G_SOURCE_REMOVE;
}

/* In the worker. A source, and not an invocation: that could run in this thread. Of the task's priority, so that the last
 * step comes before the task's end. */
static void
send_step (BlWorkedStep *step, gpointer data)
{
  GTask *task = data;
  g_autoptr (GSource) source = g_idle_source_new ();
  Arrival *arrival = g_new0 (Arrival, 1);

  arrival->worked = g_object_ref (g_task_get_task_data (task));
  arrival->step = step;
  g_source_set_priority (source, g_task_get_priority (task));
  g_source_set_callback (source, step_arrived, arrival, arrival_free);
  g_source_attach (source, g_task_get_context (task));
}

static void
work_cb (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  const BlWorkedCase *self = data; /* kept alive till it is told; what is read here does not change */
  GError *error = NULL;

  if (bl_worked_steps_work (self->board, self->entries, self->n_known, self->drill, self->key, send_step, task,
                            &self->cancel, &error))
    g_task_return_boolean (task, TRUE);
  else
    g_task_return_error (task, error);
}

static void
ready_cb (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (BlWorkedCase) self = data;
  g_autoptr (GError) error = NULL;

  g_task_propagate_boolean (G_TASK (result), &error);
  self->busy = FALSE;
  if (error != NULL)
    self->trouble = g_strdup (error->message);
  if (g_atomic_int_get (&self->cancel) == 0)
    g_signal_emit (self, signals[READY], 0);
}

void
bl_worked_case_begin (BlWorkedCase *self)
{
  g_return_if_fail (BL_IS_WORKED_CASE (self));
  if (self->begun)
    return;
  bl_practice_note_met (self->practice, self->uid, (const char *const *) self->causes);
  /* Not the task's own: its last owner may be the thread, which must not end the case. */
  g_autoptr (GTask) task = g_task_new (NULL, NULL, ready_cb, g_object_ref (self));
  g_task_set_task_data (task, self, NULL);
  self->begun = self->busy = TRUE;
  g_task_run_in_thread (task, work_cb);
}

void
bl_worked_case_stop (BlWorkedCase *self)
{
  g_return_if_fail (BL_IS_WORKED_CASE (self));
  g_atomic_int_set (&self->cancel, 1);
}

void
bl_worked_case_settle (BlWorkedCase *self)
{
  g_return_if_fail (BL_IS_WORKED_CASE (self));
  while (self->busy)
    g_main_context_iteration (NULL, TRUE);
}

/* --- shown first, then asked for --- */

/* Cases of this family that somebody has gone through to the end. */
static guint
count_seen (BlPractice *practice, gint64 person, const char *family)
{
  g_autoptr (GPtrArray) answers = bl_library_answers (bl_practice_get_library (practice), person, NULL);
  guint n = 0;

  for (guint i = 0; answers != NULL && i < answers->len; i++)
    {
      const BlAnswer *answer = g_ptr_array_index (answers, i);
      n += answer->kind == BL_ANSWER_WORKED && !answer->asked && g_strcmp0 (answer->family, family) == 0;
    }
  return n;
}

BlWorkedHelp
bl_worked_case_help (BlWorkedCase *self)
{
  g_return_val_if_fail (BL_IS_WORKED_CASE (self), BL_WORKED_SHOWN);
  const BlPerson *person = bl_practice_get_person (self->practice);
  guint n = person != NULL ? count_seen (self->practice, person->id, self->family) : 0;

  return n < SHOWN_FIRST ? BL_WORKED_SHOWN : n < ASKED_AFTER ? BL_WORKED_ASKED_NEXT : BL_WORKED_ASKED;
}

static gboolean
keep (BlWorkedCase *self, const char *what, gboolean right, gboolean asked, GError **error)
{
  const BlPerson *person = bl_practice_get_person (self->practice);

  if (person == NULL)
    {
      g_set_error_literal (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID, _ ("Nobody practises: say who does first."));
      return FALSE;
    }
  BlAnswer answer = { .person = person->id, .kind = BL_ANSWER_WORKED, .subject = self->uid,
                      .topic = self->section != NULL ? self->section : (char *) "", .family = self->family,
                      .what = (char *) what, .right = right, .asked = asked };
  return bl_library_add_answer (bl_practice_get_library (self->practice), &answer, error)
         && bl_practice_reload (self->practice, error);
}

const BlWorkedChoice *
bl_worked_case_choose (BlWorkedCase *self, guint step, const char *measurement, GError **error)
{
  g_return_val_if_fail (BL_IS_WORKED_CASE (self) && measurement != NULL, NULL);
  g_return_val_if_fail (step < self->steps->len, NULL);
  const BlWorkedStep *at = g_ptr_array_index (self->steps, step);

  for (guint i = 0; i < bl_len (at->choices); i++)
    {
      const BlWorkedChoice *choice = g_ptr_array_index (at->choices, i);
      if (g_str_equal (choice->measurement, measurement))
        return keep (self, measurement, choice->right, TRUE, error) ? choice : NULL;
    }
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("“%s” is none of the choices."), measurement);
  return NULL;
}

gboolean
bl_worked_case_end (BlWorkedCase *self, GError **error)
{
  g_return_val_if_fail (BL_IS_WORKED_CASE (self), FALSE);
  g_autofree char *causes = g_strjoinv (BL_PRACTICE_AND, self->causes);

  return keep (self, causes, TRUE, FALSE, error);
}

/* --- the object --- */

static void
bl_worked_case_finalize (GObject *object)
{
  BlWorkedCase *self = BL_WORKED_CASE (object);

  g_clear_pointer (&self->drill, bl_drill_free);
  g_clear_pointer (&self->board, bl_board_free);
  g_free (self->uid);
  g_free (self->key);
  g_free (self->symptom);
  g_strfreev (self->causes);
  g_free (self->section);
  g_free (self->family);
  g_clear_pointer (&self->entries, g_ptr_array_unref);
  g_clear_pointer (&self->steps, g_ptr_array_unref);
  g_free (self->trouble);
  g_clear_object (&self->practice);
  G_OBJECT_CLASS (bl_worked_case_parent_class)->finalize (object);
}

static void
bl_worked_case_class_init (BlWorkedCaseClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = bl_worked_case_finalize;
  signals[STEP] = g_signal_new ("step", BL_TYPE_WORKED_CASE, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[READY] = g_signal_new ("ready", BL_TYPE_WORKED_CASE, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
bl_worked_case_init (BlWorkedCase *self)
{
  self->steps = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_worked_step_free);
}
