/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What was the cause, and what the causes found in other jobs of the edition do to the odds of this one.
 *
 * A replaced part is not yet a cause: only what the technician confirms counts, and it counts for other
 * jobs, never for the one it was found in, since a job must not speak for itself. Odds are those of
 * today's history, of an old job, too; its readings stay judged by what held when they were taken. What was found in
 * jobs on an equipment counts for its other jobs, and for the board it was found on; but jobs on a board say nothing of
 * how often the fault is on another one or between them, so they leave an equipment's weights alone.
 * Where nothing was found the document is handed to the odds as it is.
 */
#include "config.h"

#include "bl-bench-private.h"
#include "bl-drill.h"
#include "bl-format.h"
#include "bl-job-states.h"
#include "bl-library-equipment-jobs.h"
#include "bl-why-words.h"

#include <glib/gi18n-lib.h>
#include <string.h>

struct BlBenchLearning
{
  double usual;         /* strength where nobody said otherwise for this edition */
  double own;           /* said for this edition; NAN: nobody did */
  GPtrArray *causes;    /* BlFoundCause of the other jobs */
  BlLearned *learned;
  BlBoard *weighed;     /* with learned weights, or with the odds of a drill; NULL: the document as it is */
  guint generation;     /* of the document it was made from */
  guint serial;         /* rises whenever the weights may be others */
};

BlBenchLearning *
bl_bench_learning_new (void)
{
  BlBenchLearning *self = g_new0 (BlBenchLearning, 1);

  self->usual = BL_LEARN_STRENGTH;
  self->own = NAN;
  self->causes = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_found_cause_free);
  return self;
}

void
bl_bench_learning_free (BlBenchLearning *self)
{
  g_ptr_array_unref (self->causes);
  g_clear_pointer (&self->learned, bl_learned_free);
  g_clear_pointer (&self->weighed, bl_board_free);
  g_free (self);
}

/* --- weights --- */

void
bl_bench_weigh (BlBench *self)
{
  BlBenchLearning *learning = self->learning;
  const BlBoard *board = bl_bench_get_board (self);
  double strength = isnan (learning->own) ? learning->usual : learning->own;

  g_clear_pointer (&learning->learned, bl_learned_free);
  g_clear_pointer (&learning->weighed, bl_board_free);
  learning->learned = bl_learned_new (board, learning->causes, strength);
  if (self->drilled)
    {
      learning->weighed = bl_board_copy (board);
      bl_drill_set_odds (learning->weighed, self->planted);
    }
  else if (bl_learned_differs (learning->learned))
    {
      learning->weighed = bl_board_copy (board);
      bl_learned_apply (learning->learned, learning->weighed);
    }
  learning->generation = bl_edition_get_generation (self->edition);
  learning->serial++;
}

gboolean
bl_bench_learn (BlBench *self, GError **error)
{
  BlBenchLearning *learning = self->learning;
  gint64 board = bl_edition_get_id (self->edition), equipment = self->job->equipment;
  GPtrArray *causes = equipment != 0 ? bl_library_equipment_causes (self->library, equipment, self->job->id, error)
                                     : bl_library_causes (self->library, board, self->job->id, error);

  if (causes == NULL)
    return FALSE;
  g_ptr_array_unref (learning->causes);
  learning->causes = causes;
  if (equipment == 0 && !bl_library_get_strength (self->library, board, &learning->own, error))
    return FALSE;
  bl_bench_weigh (self);
  return TRUE;
}

const BlBoard *
bl_bench_weighed_board (BlBench *self, guint *generation)
{
  BlBenchLearning *learning = self->learning;

  if (learning->learned == NULL || learning->generation != bl_edition_get_generation (self->edition))
    bl_bench_weigh (self);
  *generation = learning->serial;
  return learning->weighed != NULL ? learning->weighed : bl_bench_get_board (self);
}

const BlLearned *
bl_bench_get_learned (BlBench *self)
{
  guint generation;

  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  bl_bench_weighed_board (self, &generation);
  return self->learning->learned;
}

GPtrArray *
bl_bench_get_found (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  return self->learning->causes;
}

void
bl_bench_set_usual_strength (BlBench *self, double strength)
{
  g_return_if_fail (BL_IS_BENCH (self) && strength > 0);

  if (self->learning->usual == strength)
    return;
  self->learning->usual = strength;
  bl_bench_weigh (self);
  bl_bench_ask_odds (self);
}

static gboolean
set_strength (BlEdition *edition, gpointer data, GError **error)
{
  return bl_library_set_strength (bl_edition_get_library (edition), bl_edition_get_id (edition), *(double *) data, error);
}

gboolean
bl_bench_set_strength (BlBench *self, double strength, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);

  if (!bl_edition_aside (self->edition, _ ("how much the handbook counts"), set_strength, &strength, error)
      || !bl_bench_learn (self, error))
    return FALSE;
  bl_bench_ask_odds (self);
  return TRUE;
}

double
bl_bench_get_strength (BlBench *self, gboolean *own)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NAN);
  const BlBenchLearning *learning = self->learning;

  if (own != NULL)
    *own = !isnan (learning->own);
  return isnan (learning->own) ? learning->usual : learning->own;
}

/* --- words --- */

char *
bl_cause_words (const BlBoard *board, const char *component, const char *mode)
{
  g_return_val_if_fail (board != NULL && component != NULL, NULL);

  if (bl_board_component (board, component) == NULL && g_str_has_suffix (component, "/other"))
    return bl_why_part (board, component);
  return mode != NULL && *mode != '\0' ? g_strdup_printf ("%s: %s", component, mode) : g_strdup (component);
}

char *
bl_found_words (GPtrArray *causes, guint most)
{
  guint n_repairs = 0;
  g_autoptr (GPtrArray) counts = bl_found_causes_count (causes, &n_repairs);
  g_autoptr (GString) text = g_string_new (NULL);

  if (n_repairs == 0)
    return NULL;
  for (guint i = 0; i < counts->len && i < most; i++)
    {
      const BlCauseCount *count = bl_at (counts, i);
      g_string_append_printf (text, "%s%s %u", i > 0 ? ", " : "", count->component, count->n);
    }
  if (counts->len > most)
    g_string_append (text, ", …");
  /* Translators: causes found so far, as counts: "K1 4, C12 2, of 7 repairs" */
  return g_strdup_printf (ngettext ("%s, of %u repair", "%s, of %u repairs", n_repairs), text->str, n_repairs);
}

/* A share as the trade says it: "1 in 40". */
static char *
share_words (double share)
{
  if (!(share > 0))
    return g_strdup (_ ("none"));
  if (share > 2. / 3)
    return g_strdup_printf (_ ("%.0f in 10"), MIN (10 * share, 10));
  return g_strdup_printf (_ ("1 in %.0f"), 1 / share);
}

/* "handbook 1 in 40", or "documented 1 in 40" where the document has figures of its own. */
static char *
before_words (const BlBoard *board, const char *component, double share)
{
  const BlComponent *found = bl_board_component (board, component);
  g_autofree char *words = share_words (share);
  gboolean own = found != NULL && !isnan (found->weight);

  for (guint i = 0; found != NULL && i < bl_len (found->modes); i++)
    own = own || !isnan (((BlMode *) bl_at (found->modes, i))->weight);
  return own ? g_strdup_printf (_ ("documented %s"), words) : g_strdup_printf (_ ("handbook %s"), words);
}

char *
bl_bench_history_words (BlBench *self, const char *component)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && component != NULL, NULL);
  const BlLearned *learned = bl_bench_get_learned (self);
  guint n_repairs = 0, n = 0;
  g_autoptr (GPtrArray) counts = bl_found_causes_count (self->learning->causes, &n_repairs);
  double handbook, count, share;

  if (n_repairs == 0)
    return NULL;
  for (guint i = 0; i < counts->len; i++)
    if (g_str_equal (((BlCauseCount *) bl_at (counts, i))->component, component))
      n = ((BlCauseCount *) bl_at (counts, i))->n;
  g_autofree char *shop
    = g_strdup_printf (ngettext ("this shop %u of %u repair", "this shop %u of %u repairs", n_repairs), n, n_repairs);
  if (g_str_has_suffix (component, "/other"))
    return g_steal_pointer (&shop);
  bl_learned_component (learned, component, &handbook, &count, &share);
  g_autofree char *words = before_words (bl_bench_get_board (self), component, handbook);
  return g_strdup_printf ("%s; %s", words, shop);
}

char *
bl_bench_handbook_words (BlBench *self, const char *component)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && component != NULL, NULL);
  double handbook, count, share;

  if (bl_board_component (bl_bench_get_board (self), component) == NULL)
    return NULL;
  bl_learned_component (bl_bench_get_learned (self), component, &handbook, &count, &share);
  g_autofree char *before = before_words (bl_bench_get_board (self), component, handbook);
  g_autofree char *after = share_words (share);
  return g_strdup_printf (_ ("%s, with this history %s"), before, after);
}

guint
bl_bench_history_count (BlBench *self, const char *component, guint *n_repairs)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && component != NULL, 0);
  g_autoptr (GPtrArray) counts = bl_found_causes_count (self->learning->causes, n_repairs);

  for (guint i = 0; i < counts->len; i++)
    if (g_str_equal (((BlCauseCount *) bl_at (counts, i))->component, component))
      return ((BlCauseCount *) bl_at (counts, i))->n;
  return 0;
}

/* --- this job --- */

BlCauseSaid
bl_bench_cause_said (BlBench *self, const char *component, const char **mode)
{
  g_return_val_if_fail (BL_IS_BENCH (self), BL_CAUSE_NOT_SAID);

  for (guint i = self->records->len; i > 0; i--)
    {
      const BlRecord *record = bl_at (self->records, i - 1);
      if (record->struck || g_strcmp0 (record->subject, component) != 0
          || (record->kind != BL_RECORD_CAUSE && record->kind != BL_RECORD_NO_CAUSE))
        continue;
      if (mode != NULL)
        *mode = record->text;
      return record->kind == BL_RECORD_CAUSE ? BL_CAUSE_CONFIRMED : BL_CAUSE_REFUSED;
    }
  return BL_CAUSE_NOT_SAID;
}

/* The confirmed causes of this job, in the order in which they were said. NULL: the log says nothing about
 * causes at all, and what stands on the head was written there by other means. */
static char *
causes_of_job (BlBench *self)
{
  const BlBoard *board = bl_bench_get_board (self);
  g_autoptr (GString) text = g_string_new (NULL);
  g_autoptr (GHashTable) said = g_hash_table_new (g_str_hash, g_str_equal);
  gboolean any = FALSE;

  for (guint i = 0; i < self->records->len; i++)
    {
      const BlRecord *record = bl_at (self->records, i);
      const char *mode = NULL;
      if ((record->kind != BL_RECORD_CAUSE && record->kind != BL_RECORD_NO_CAUSE) || record->subject == NULL)
        continue;
      any = TRUE;
      if (!g_hash_table_add (said, record->subject)
          || bl_bench_cause_said (self, record->subject, &mode) != BL_CAUSE_CONFIRMED)
        continue;
      g_autofree char *words = bl_cause_words (board, record->subject, mode);
      g_string_append_printf (text, "%s%s", text->len > 0 ? "; " : "", words);
    }
  return any ? g_string_free (g_steal_pointer (&text), FALSE) : NULL;
}

gboolean
bl_bench_follow_causes (BlBench *self, GError **error)
{
  g_autofree char *words = causes_of_job (self);
  const char *now = self->job->cause != NULL ? self->job->cause : "";

  if (words == NULL || g_str_equal (words, now) || bl_library_is_read_only (self->library))
    return TRUE;
  char *before = self->job->cause;
  self->job->cause = words;
  if (bl_library_save_job (self->library, self->job, error))
    {
      words = before;
      return TRUE;
    }
  self->job->cause = before; /* what is not on disk is not shown, and tried again with the next line */
  return FALSE;
}

/* Says a cause. The line is kept and shown even where the head cannot follow; then that is said. */
static gboolean
append_cause (BlBench *self, BlRecord *record, GError **error)
{
  return bl_bench_append (self, record, error) && bl_bench_follow_causes (self, error);
}

static gboolean
check_component (BlBench *self, const char *component, GError **error)
{
  const BlBoard *board = bl_bench_get_board (self);

  if (bl_board_component (board, component) != NULL)
    return TRUE;
  if (g_str_has_suffix (component, "/other"))
    {
      g_autofree char *stage = g_strndup (component, strlen (component) - strlen ("/other"));
      if (bl_board_stage (board, stage) != NULL)
        return TRUE;
    }
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("There is no component “%s”"), component);
  return FALSE;
}

gboolean
bl_bench_confirm_cause (BlBench *self, const char *component, const char *mode, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && component != NULL, FALSE);
  const BlComponent *found = bl_board_component (bl_bench_get_board (self), component);
  gboolean named = mode != NULL && *mode != '\0';

  if (!check_component (self, component, error))
    return FALSE;
  if (named && (found == NULL || bl_component_mode (found, mode) == NULL))
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("%s has no failure mode “%s”"), component, mode);
      return FALSE;
    }
  g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_CAUSE, component, named ? mode : NULL);
  return append_cause (self, record, error);
}

gboolean
bl_bench_refuse_cause (BlBench *self, const char *component, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && component != NULL, FALSE);

  if (!check_component (self, component, error))
    return FALSE;
  g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_NO_CAUSE, component, NULL);
  return append_cause (self, record, error);
}

gboolean
bl_bench_end_job (BlBench *self, gboolean ended, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);

  if (ended == self->job->closed)
    return TRUE;
  return bl_bench_set_job_state (self, ended ? BL_JOB_HANDED_BACK : BL_JOB_ON_THE_BENCH, error);
}
