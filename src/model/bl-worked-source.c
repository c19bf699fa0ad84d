/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Worked cases of the shop's own jobs: which there are, what is left out of a job that becomes one, and which comes next.
 *
 * What is taken is listed, not what is left out: readings with a value, part tests, symptoms, and the confirmed cause as the
 * document names it. Free text of any kind (notes, the reason why a point was not reached, by what a part was replaced, who
 * told a reading, a mode the document does not have) never comes along, nor head, dates, photos or the meter's name. A case
 * ends where the first part is replaced or the first round begins: what follows proves the repair. A shop has some thousand
 * jobs; of each that has ended the log is read, until enough are found. */
#include "config.h"

#include "bl-worked-private.h"

#include "bl-library-equipment.h"
#include "bl-practice-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#define FEWEST_READINGS 2
#define MOST_SOURCES 50 /* jobs from which the next case is taken; own choice */

/* --- of a job --- */

/* The cause as the document names it, "COMPONENT:MODE" or "COMPONENT"; NULL: it has no such component. (transfer full) */
static char *
cause_name (const BlBoard *board, const BlRecord *record)
{
  const BlComponent *component = record->subject != NULL ? bl_board_component (board, record->subject) : NULL;

  if (component == NULL)
    return NULL;
  if (record->text == NULL || bl_component_mode (component, record->text) == NULL)
    return g_strdup (component->id);
  return g_strdup_printf ("%s:%s", component->id, record->text);
}

/* What was said last of each component, struck lines left out. (transfer full) */
static char **
causes_of (const BlBoard *board, GPtrArray *records)
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
      g_autofree char *cause = record->kind == BL_RECORD_CAUSE ? cause_name (board, record) : NULL;
      if (cause != NULL)
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
  self->causes = causes_of (self->board, records);
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
  bl_worked_fill_topic (self->board, (const char *const *) self->causes, &self->section, &self->family);
  bl_worked_fill_symptom (self);
  return g_steal_pointer (&self);
}

/* --- which jobs there are --- */

void
bl_worked_source_free (BlWorkedSource *source)
{
  if (source == NULL)
    return;
  g_free (source->title);
  g_strfreev (source->causes);
  g_free (source->section);
  g_free (source->family);
  g_free (source);
}

typedef struct
{
  BlLibrary *shop;
  const BlPracticeSubject *subject;
  const char *const *sections;
  GHashTable *boards; /* BlBoard read already, by "board" or "equipment" and id */
} Looking;

/* NULL: the document cannot be read, or does not hold together now. */
static const BlBoard *
board_of (const Looking *self, const BlJob *job)
{
  g_autofree char *name = job->equipment != 0 ? g_strdup_printf ("equipment %" G_GINT64_FORMAT, job->equipment)
                                              : g_strdup_printf ("board %" G_GINT64_FORMAT, job->board);
  BlBoard *board = g_hash_table_lookup (self->boards, name);

  if (board != NULL)
    return board;
  board = job->equipment != 0 ? bl_library_join_equipment (self->shop, job->equipment, NULL, NULL)
                              : bl_library_load_board (self->shop, job->board, NULL);
  if (board != NULL)
    g_hash_table_insert (self->boards, g_steal_pointer (&name), board);
  return board;
}

static gboolean
is_asked_for (const Looking *self, const BlJob *job)
{
  if (!job->closed || job->cause == NULL)
    return FALSE;
  if (self->subject == NULL)
    return TRUE;
  return self->subject->equipment != 0 ? job->equipment == self->subject->equipment
                                       : job->equipment == 0 && job->board == self->subject->board;
}

/* TRUE where the part of the first cause lies in one of the sections; none given: anywhere. */
static gboolean
lies_in (const BlBoard *board, const char *cause, const char *const *sections)
{
  g_auto (GStrv) parts = g_strsplit (cause, ":", 2);
  const BlComponent *component = bl_board_component (board, parts[0]);
  const BlStage *stage = component != NULL && component->stage != NULL ? bl_board_stage (board, component->stage) : NULL;

  return sections == NULL || *sections == NULL
         || (stage != NULL && stage->section != NULL && g_strv_contains (sections, stage->section));
}

/* NULL without an error: it is none. */
static BlWorkedSource *
source_of (const Looking *self, const BlJob *job, GError **error)
{
  const BlBoard *board = board_of (self, job);
  g_autoptr (GPtrArray) records = board != NULL ? bl_library_records (self->shop, job->id, error) : NULL;

  if (records == NULL)
    return NULL;
  guint n_known;
  g_auto (GStrv) causes = causes_of (board, records);
  g_autoptr (GPtrArray) entries = entries_of (board, records, &n_known);
  if (causes[0] == NULL || count_readings (entries) < FEWEST_READINGS || bl_len (board->stages) == 0
      || !lies_in (board, causes[0], self->sections))
    return NULL;
  BlWorkedSource *source = g_new0 (BlWorkedSource, 1);
  source->job = job->id;
  source->title = g_strdup (job->board_name);
  source->n_readings = count_readings (entries);
  bl_worked_fill_topic (board, (const char *const *) causes, &source->section, &source->family);
  source->causes = g_steal_pointer (&causes);
  return source;
}

GPtrArray *
bl_worked_sources (BlPractice *practice, const BlPracticeSubject *subject, const char *const *sections, guint most,
                   GError **error)
{
  g_return_val_if_fail (BL_IS_PRACTICE (practice), NULL);
  BlLibrary *shop = bl_practice_get_shop (practice);
  g_autoptr (GPtrArray) jobs = bl_library_jobs (shop, error);
  g_autoptr (GPtrArray) sources = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_worked_source_free);
  g_autoptr (GHashTable) boards
    = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify) bl_board_free);
  Looking looking = { shop, subject, sections, boards };

  for (guint i = 0; jobs != NULL && i < jobs->len && sources->len < most; i++)
    {
      const BlJob *job = g_ptr_array_index (jobs, i);
      g_autoptr (GError) reason = NULL;
      BlWorkedSource *source = is_asked_for (&looking, job) ? source_of (&looking, job, &reason) : NULL;
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

/* --- the next one --- */

/* Whether a job's turn it is: of the cases that somebody went through every other one is a job, and the first is. */
static gboolean
is_turn_of_a_job (BlPractice *practice, gint64 person, gboolean *is, GError **error)
{
  g_autoptr (GPtrArray) answers = bl_library_answers (bl_practice_get_library (practice), person, error);
  guint n = 0;

  for (guint i = 0; i < bl_len (answers); i++)
    {
      const BlAnswer *answer = g_ptr_array_index (answers, i);
      n += answer->kind == BL_ANSWER_WORKED && !answer->asked;
    }
  *is = n % 2 == 0;
  return answers != NULL;
}

/* One by the seed whose fault was not met lately. *job is 0 where there is none. */
static gboolean
choose_job (BlPractice *practice, gint64 person, const BlPracticeSubject *subject, const BlDrillOrder *order, gint64 *job,
            GError **error)
{
  g_autoptr (GPtrArray) sources = bl_worked_sources (practice, subject, order->sections, MOST_SOURCES, error);
  g_autofree char *uid = sources != NULL ? bl_practice_subject_uid (practice, subject, error) : NULL;
  g_auto (GStrv) met = uid != NULL ? bl_practice_met (practice, person, uid, error) : NULL;

  *job = 0;
  if (met == NULL)
    return FALSE;
  for (guint i = sources->len; i > 0; i--)
    {
      const BlWorkedSource *source = g_ptr_array_index (sources, i - 1);
      if (bl_practice_met_ago (met, (const char *const *) source->causes) != G_MAXUINT)
        g_ptr_array_remove_index (sources, i - 1);
    }
  if (sources->len > 0)
    *job = ((BlWorkedSource *) g_ptr_array_index (sources, order->seed % sources->len))->job;
  return TRUE;
}

BlWorkedCase *
bl_worked_case_next (BlPractice *practice, gint64 person, const BlPracticeSubject *subject, const BlDrillOrder *order,
                     GError **error)
{
  g_return_val_if_fail (BL_IS_PRACTICE (practice) && subject != NULL && order != NULL && order->seed != 0, NULL);
  BlDrillOrder fresh = *order;
  gboolean of_a_job = FALSE;
  gint64 job = 0;

  if (!is_turn_of_a_job (practice, person, &of_a_job, error)
      || (of_a_job && !choose_job (practice, person, subject, order, &job, error)))
    return NULL;
  if (job != 0)
    return bl_worked_case_from_job (practice, job, error);
  fresh.seed = bl_practice_fresh_seed (practice, person, subject, order, error);
  return fresh.seed != 0 ? bl_worked_case_simulated (practice, subject, &fresh, error) : NULL;
}
