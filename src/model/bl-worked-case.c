/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Worked cases: where they come from, and what is left out of a job that becomes one.
 *
 * What is taken is listed, not what is left out: readings with a value, part tests, symptoms, and the confirmed cause.
 * Free text of any kind (notes, the reason why a point was not reached, by what a part was replaced, who told a reading)
 * never comes along, nor head, dates, photos or the meter's name. A case ends where the first part is replaced or the
 * first round begins: what follows proves the repair. The steps are computed in bl-worked-steps.c. */
#include "config.h"

#include "bl-worked-private.h"

#include "bl-library-equipment.h"
#include "bl-practice-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#define FEWEST_READINGS 2
#define SHOWN_FIRST 2  /* cases of a family whose reasons are all shown; one or two, then drill: own choice within that */
#define ASKED_AFTER 4  /* from then on reasons come after the answer */

enum
{
  READY,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlWorkedCase, bl_worked_case, G_TYPE_OBJECT)

/* --- of a job --- */

/* What was said last of each component, struck lines left out. (transfer full) "COMPONENT:MODE" or "COMPONENT" */
static char **
causes_of (GPtrArray *records)
{
  g_autoptr (GPtrArray) last = g_ptr_array_new ();
  g_autoptr (GStrvBuilder) causes = g_strv_builder_new ();

  for (guint i = 0; i < records->len; i++)
    {
      BlRecord *record = g_ptr_array_index (records, i);
      if (record->struck || (record->kind != BL_RECORD_CAUSE && record->kind != BL_RECORD_NO_CAUSE))
        continue;
      for (guint k = last->len; k > 0; k--)
        if (g_strcmp0 (((BlRecord *) g_ptr_array_index (last, k - 1))->subject, record->subject) == 0)
          g_ptr_array_remove_index (last, k - 1);
      g_ptr_array_add (last, record);
    }
  for (guint i = 0; i < last->len; i++)
    {
      const BlRecord *record = g_ptr_array_index (last, i);
      g_autofree char *cause = record->text != NULL ? g_strdup_printf ("%s:%s", record->subject, record->text)
                                                    : g_strdup (record->subject);
      if (record->kind == BL_RECORD_CAUSE)
        g_strv_builder_add (causes, cause);
    }
  return g_strv_builder_end (causes);
}

static gboolean
is_taken (const BlEntry *entry)
{
  return entry->kind == BL_ENTRY_PART_TEST || entry->kind == BL_ENTRY_SYMPTOM
         || (entry->kind == BL_ENTRY_READING && entry->reading.kind != BL_READING_NOT_REACHED);
}

/* Symptoms first, then readings and part tests up to the first part replaced. Sets *n_known to the number of symptoms. */
static GPtrArray *
entries_of (const BlBoard *board, GPtrArray *records, guint *n_known)
{
  g_autoptr (GPtrArray) all = bl_records_to_entries (records);
  GPtrArray *kept = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_entry_free);

  *n_known = 0;
  bl_evidence_keep_known (board, all);
  for (guint i = 0; i < all->len; i++)
    {
      const BlEntry *entry = g_ptr_array_index (all, i);
      if (entry->kind == BL_ENTRY_REPLACED || entry->kind == BL_ENTRY_ROUND)
        break;
      if (!is_taken (entry))
        continue;
      g_ptr_array_insert (kept, entry->kind == BL_ENTRY_SYMPTOM ? (int) (*n_known)++ : -1, bl_entry_copy (entry));
    }
  return kept;
}

static guint
count_readings (GPtrArray *entries)
{
  guint n = 0;

  for (guint i = 0; i < entries->len; i++)
    n += ((const BlEntry *) g_ptr_array_index (entries, i))->kind == BL_ENTRY_READING;
  return n;
}

static void
fill_topic (const BlBoard *board, const char *const *causes, char **section, char **family)
{
  g_autofree char *fault = NULL;

  if (causes == NULL || causes[0] == NULL)
    return;
  fault = strchr (causes[0], ':') != NULL ? g_strdup (causes[0]) : g_strconcat (causes[0], ":", NULL);
  *section = g_strdup (bl_practice_section_of (board, fault));
  *family = strchr (causes[0], ':') != NULL ? bl_practice_family_of (board, fault) : NULL;
}

static void
fill_symptom (BlWorkedCase *self)
{
  for (guint i = 0; i < self->n_known && self->symptom == NULL; i++)
    {
      const BlEntry *entry = g_ptr_array_index (self->entries, i);
      const BlSymptom *symptom = bl_board_symptom (self->board, entry->subject);
      if (symptom != NULL && g_strcmp0 (entry->text, "yes") == 0)
        self->symptom = g_strdup (symptom->title != NULL ? symptom->title : symptom->id);
    }
}

static gboolean
fill_from_job (BlWorkedCase *self, const BlJob *job, GError **error)
{
  BlLibrary *shop = bl_practice_get_shop (self->practice);
  BlPracticeSubject subject = { job->board, job->equipment };
  g_autoptr (GPtrArray) records = bl_library_records (shop, job->id, error);

  if (records == NULL || !bl_practice_copy (self->practice, &subject, &self->copy, &self->uid, error))
    return FALSE;
  self->board = bl_practice_load_copy (self->practice, self->copy.board, self->copy.equipment, error);
  if (self->board == NULL)
    return FALSE;
  self->causes = causes_of (records);
  self->entries = entries_of (self->board, records, &self->n_known);
  if (self->causes[0] != NULL && count_readings (self->entries) >= FEWEST_READINGS && bl_len (self->board->stages) > 0)
    return TRUE;
  g_set_error_literal (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID,
                       _ ("A worked case needs a confirmed cause and two readings before the first part was replaced."));
  return FALSE;
}

BlWorkedCase *
bl_worked_case_from_job (BlPractice *practice, gint64 job, GError **error)
{
  g_return_val_if_fail (BL_IS_PRACTICE (practice), NULL);
  g_autoptr (BlJob) head = bl_library_load_job (bl_practice_get_shop (practice), job, error);
  g_autoptr (BlWorkedCase) self = g_object_new (BL_TYPE_WORKED_CASE, NULL);

  if (head == NULL)
    return NULL;
  self->practice = g_object_ref (practice);
  if (!fill_from_job (self, head, error))
    return NULL;
  self->key = g_compute_checksum_for_string (G_CHECKSUM_SHA256, head->uid, -1);
  fill_topic (self->board, (const char *const *) self->causes, &self->section, &self->family);
  fill_symptom (self);
  return g_steal_pointer (&self);
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
  self->causes = g_strdupv ((char **) bl_drill_faults (self->drill));
  self->key = g_strdup_printf ("%s %s %u", self->uid, bl_drill_kind_name (order->kind), order->seed);
  self->entries = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_entry_free);
  if (bl_drill_symptom (self->drill) != NULL)
    g_ptr_array_add (self->entries, bl_entry_new (BL_ENTRY_SYMPTOM, bl_drill_symptom (self->drill), "yes"));
  self->n_known = self->entries->len;
  fill_topic (self->board, (const char *const *) self->causes, &self->section, &self->family);
  fill_symptom (self);
  return g_steal_pointer (&self);
}

/* --- which jobs there are --- */

void
bl_worked_source_free (BlWorkedSource *source)
{
  if (source == NULL)
    return;
  g_free (source->title);
  g_free (source->section);
  g_free (source->family);
  g_free (source);
}

/* NULL without an error: it is none. boards: those read already, by "board" or "equipment" and id. */
static BlWorkedSource *
source_of (BlLibrary *shop, const BlJob *job, GHashTable *boards, GError **error)
{
  g_autofree char *name = job->equipment != 0 ? g_strdup_printf ("equipment %" G_GINT64_FORMAT, job->equipment)
                                              : g_strdup_printf ("board %" G_GINT64_FORMAT, job->board);
  const BlBoard *board = g_hash_table_lookup (boards, name);
  g_autoptr (GPtrArray) records = bl_library_records (shop, job->id, error), entries = NULL;
  g_auto (GStrv) causes = NULL;
  guint n_known;

  if (records == NULL)
    return NULL;
  if (board == NULL)
    {
      BlBoard *loaded = job->equipment != 0 ? bl_library_join_equipment (shop, job->equipment, NULL, NULL)
                                            : bl_library_load_board (shop, job->board, NULL);
      if (loaded == NULL)
        return NULL; /* a document that does not hold together now is nothing to learn from */
      g_hash_table_insert (boards, g_steal_pointer (&name), loaded);
      board = loaded;
    }
  causes = causes_of (records);
  entries = entries_of (board, records, &n_known);
  if (causes[0] == NULL || count_readings (entries) < FEWEST_READINGS || bl_len (board->stages) == 0)
    return NULL;
  BlWorkedSource *source = g_new0 (BlWorkedSource, 1);
  source->job = job->id;
  source->title = g_strdup (job->board_name);
  source->n_readings = count_readings (entries);
  fill_topic (board, (const char *const *) causes, &source->section, &source->family);
  return source;
}

GPtrArray *
bl_worked_sources (BlPractice *practice, guint most, GError **error)
{
  g_return_val_if_fail (BL_IS_PRACTICE (practice), NULL);
  BlLibrary *shop = bl_practice_get_shop (practice);
  g_autoptr (GPtrArray) jobs = bl_library_jobs (shop, error);
  g_autoptr (GPtrArray) sources = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_worked_source_free);
  g_autoptr (GHashTable) boards
    = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify) bl_board_free);

  for (guint i = 0; jobs != NULL && i < jobs->len && sources->len < most; i++)
    {
      const BlJob *job = g_ptr_array_index (jobs, i);
      g_autoptr (GError) reason = NULL;
      BlWorkedSource *source = job->closed && job->cause != NULL ? source_of (shop, job, boards, &reason) : NULL;
      if (reason != NULL)
        {
          g_propagate_error (error, g_steal_pointer (&reason));
          return NULL;
        }
      if (source != NULL)
        g_ptr_array_add (sources, source);
    }
  return jobs != NULL ? g_steal_pointer (&sources) : NULL;
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

const char *
bl_worked_case_get_trouble (BlWorkedCase *self)
{
  g_return_val_if_fail (BL_IS_WORKED_CASE (self), NULL);
  return self->trouble;
}

/* --- the worker --- */

static void
work_cb (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  const BlWorkedCase *self = data; /* kept alive and unchanged till it is told */
  g_autoptr (GError) error = NULL;
  GPtrArray *steps = bl_worked_steps_new (self->board, self->entries, self->n_known, self->drill, self->key,
                                          &self->cancel, &error);

  if (steps != NULL)
    g_task_return_pointer (task, steps, (GDestroyNotify) g_ptr_array_unref);
  else
    g_task_return_error (task, g_steal_pointer (&error));
}

static void
ready_cb (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (BlWorkedCase) self = data;
  g_autoptr (GError) error = NULL;
  GPtrArray *steps = g_task_propagate_pointer (G_TASK (result), &error);

  self->busy = FALSE;
  self->steps = steps;
  if (g_atomic_int_get (&self->cancel) != 0)
    return;
  if (error != NULL)
    self->trouble = g_strdup (error->message);
  g_signal_emit (self, signals[READY], 0);
}

void
bl_worked_case_begin (BlWorkedCase *self)
{
  g_return_if_fail (BL_IS_WORKED_CASE (self));
  if (self->busy || self->steps != NULL)
    return;
  bl_practice_note_met (self->practice, self->uid, (const char *const *) self->causes);
  /* Not the task's own: its last owner may be the thread, which must not end the case. */
  g_autoptr (GTask) task = g_task_new (NULL, NULL, ready_cb, g_object_ref (self));
  g_task_set_task_data (task, self, NULL);
  self->busy = TRUE;
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
  g_return_val_if_fail (self->steps != NULL && step < self->steps->len, NULL);
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
  signals[READY] = g_signal_new ("ready", BL_TYPE_WORKED_CASE, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
bl_worked_case_init (BlWorkedCase *self)
{
}
