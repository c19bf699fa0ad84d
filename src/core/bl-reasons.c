/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reasons, for people: the weight of every piece of evidence for any suspect, and what would turn the
 * verdict. The engine's own "why" knows the leading component only; here the board is diagnosed again
 * without each piece, which gives the weight for every component, stage and elsewhere alike, and says
 * who would be first then. Readings keep the verdict they had: what is left out is what a reading says
 * of the faults, not what a limit that follows it was judged by.
 *
 * Weights are in decibans, tenths of the decimal logarithm of a ratio of odds (I. J. Good, Probability
 * and the Weighing of Evidence, 1950; from memory).
 *
 * A job has some forty readings and a diagnosis takes about a millisecond on most boards, so this is
 * for a worker and not for the thread that draws. Nothing is kept between calls but the engine's own. */
#include "config.h"

#include "bl-reasons.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#include "bl-engine-private.h"
#include "bl-response.h"

/* Probabilities carry 40 bits; nearer to 0 or 1 than this their odds have too few digits left. */
#define NEAR 1e-9
/* A class less likely than this is no turn worth a thought. */
#define LEAST_CHANCE 0.005

static void
reason_free (BlReason *reason)
{
  g_free (reason->subject);
  g_free (reason->said);
  g_free (reason->first_without);
  g_free (reason->stage_without);
  g_free (reason);
}

static void
turn_free (BlTurn *turn)
{
  g_free (turn->measurement);
  g_free (turn->class_name);
  g_free (turn->first);
  g_free (turn->stage);
  g_free (turn);
}

void
bl_reasons_free (BlReasons *reasons)
{
  if (reasons == NULL)
    return;
  g_free (reasons->suspect);
  g_free (reasons->mode);
  g_free (reasons->stage);
  g_free (reasons->first);
  g_free (reasons->likely_stage);
  g_clear_pointer (&reasons->reasons, g_ptr_array_unref);
  g_clear_pointer (&reasons->turns, g_ptr_array_unref);
  g_free (reasons);
}

static gpointer
copy_reason (gconstpointer source, gpointer data)
{
  const BlReason *reason = source;
  BlReason *copy = g_memdup2 (reason, sizeof *reason);

  copy->subject = g_strdup (reason->subject);
  copy->said = g_strdup (reason->said);
  copy->first_without = g_strdup (reason->first_without);
  copy->stage_without = g_strdup (reason->stage_without);
  return copy;
}

BlReasons *
bl_reasons_copy (const BlReasons *reasons)
{
  g_return_val_if_fail (reasons != NULL, NULL);
  BlReasons *copy = g_memdup2 (reasons, sizeof *reasons);

  copy->suspect = g_strdup (reasons->suspect);
  copy->mode = g_strdup (reasons->mode);
  copy->stage = g_strdup (reasons->stage);
  copy->first = g_strdup (reasons->first);
  copy->likely_stage = g_strdup (reasons->likely_stage);
  copy->reasons = g_ptr_array_copy (reasons->reasons, copy_reason, NULL);
  g_ptr_array_set_free_func (copy->reasons, (GDestroyNotify) reason_free);
  copy->turns = NULL;
  copy->tried = copy->open = 0;
  return copy;
}

/* --- entries --- */

static gboolean
begins_round (const BlEntry *entry)
{
  return entry->kind == BL_ENTRY_REPLACED || entry->kind == BL_ENTRY_ROUND;
}

/* Copies in which every reading carries its verdict. NULL: it cannot be judged. */
static GPtrArray *
judged_copies (const BlBoard *board, GPtrArray *entries, GError **error)
{
  g_autoptr (GPtrArray) judged = bl_evidence_judge (board, entries, error);
  g_autoptr (GPtrArray) copies = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_entry_free);
  guint next = 0;
  if (judged == NULL)
    return NULL;
  for (guint i = 0; i < bl_len (entries); i++)
    {
      BlEntry *copy = bl_entry_copy (bl_at (entries, i));
      g_ptr_array_add (copies, copy);
      if (copy->kind != BL_ENTRY_READING)
        continue;
      g_clear_pointer (&copy->judged, bl_verdict_free);
      copy->judged = bl_verdict_copy (((BlJudged *) bl_at (judged, next++))->verdict);
    }
  return g_steal_pointer (&copies);
}

static BlReasonKind
kind_of (const BlEntry *entry)
{
  return entry->kind == BL_ENTRY_READING   ? BL_REASON_READING
         : entry->kind == BL_ENTRY_SYMPTOM ? BL_REASON_SYMPTOM
                                           : BL_REASON_PART;
}

/* The entries without those that a reason is about; without any evidence where reason is NULL. */
static GPtrArray *
entries_without (GPtrArray *entries, const BlReason *reason)
{
  GPtrArray *left = g_ptr_array_new ();
  guint round = 1;
  for (guint i = 0; i < entries->len; i++)
    {
      const BlEntry *entry = bl_at (entries, i);
      gboolean about = FALSE;
      round += begins_round (entry);
      if (!begins_round (entry))
        about = reason == NULL
                || (kind_of (entry) == reason->kind && g_strcmp0 (entry->subject, reason->subject) == 0
                    && (reason->kind != BL_REASON_READING || round == reason->round));
      if (!about)
        g_ptr_array_add (left, (gpointer) entry);
    }
  return left;
}

/* --- odds --- */

/* Probability of a component, of a stage, of elsewhere (id NULL); NAN: there is none. */
static double
probability_of (const BlDiagnosis *diagnosis, const char *id, gboolean is_stage)
{
  const BlOdd *odd;
  if (id == NULL)
    return diagnosis->elsewhere;
  odd = bl_diagnosis_find (is_stage ? diagnosis->stages : diagnosis->components, id);
  return odd != NULL ? odd->probability : NAN;
}

static double
decibans (double with, double without)
{
  if (!(with > 0 && without > 0 && with < 1 - NEAR && without < 1 - NEAR))
    return NAN;
  return 10 * (log10 (with / (1 - with)) - log10 (without / (1 - without)));
}

static const BlOdd *
first_of (const BlDiagnosis *diagnosis)
{
  return bl_len (diagnosis->components) > 0 ? bl_at (diagnosis->components, 0) : NULL;
}

static const char *
likeliest_mode (const BlOdd *component)
{
  const BlOdd *best = NULL;
  for (guint i = 0; component != NULL && i < bl_len (component->modes); i++)
    {
      const BlOdd *mode = bl_at (component->modes, i);
      if (best == NULL || mode->probability > best->probability)
        best = mode;
    }
  return best != NULL ? best->id : NULL;
}

/* --- the list --- */

static BlReason *
find_reason (GPtrArray *reasons, BlReasonKind kind, const char *subject, guint round)
{
  for (guint i = 0; i < reasons->len; i++)
    {
      BlReason *reason = bl_at (reasons, i);
      if (reason->kind == kind && reason->round == round && g_strcmp0 (reason->subject, subject) == 0)
        return reason;
    }
  return NULL;
}

/* One for each subject (a reading: and round); what was said last stands. */
static void
collect (GPtrArray *reasons, GPtrArray *entries)
{
  guint round = 1;
  for (guint i = 0; i < entries->len; i++)
    {
      const BlEntry *entry = bl_at (entries, i);
      gboolean reading = entry->kind == BL_ENTRY_READING;
      const char *said = reading ? bl_verdict_label (entry->judged) : entry->text;
      round += begins_round (entry);
      if (begins_round (entry) || (reading && !entry->judged->evidence))
        continue;
      BlReason *reason = find_reason (reasons, kind_of (entry), entry->subject, reading ? round : 0);
      if (reason == NULL)
        {
          reason = g_new0 (BlReason, 1);
          reason->kind = kind_of (entry);
          reason->subject = g_strdup (entry->subject);
          reason->round = reading ? round : 0;
          reason->decibans = reason->stage_decibans = NAN;
          g_ptr_array_add (reasons, reason);
        }
      g_free (reason->said);
      reason->said = g_strdup (said);
    }
}

static gboolean
weigh (BlReasons *self, BlReason *reason, BlEngine *engine, GPtrArray *entries, const int *cancel, GError **error)
{
  g_autoptr (GPtrArray) left = entries_without (entries, reason);
  g_autoptr (BlDiagnosis) diagnosis = bl_engine_diagnose (engine, left, BL_DIAGNOSE_ODDS, cancel, error);
  const BlOdd *first;
  if (diagnosis == NULL)
    return FALSE;
  first = first_of (diagnosis);
  reason->decibans = decibans (self->probability, probability_of (diagnosis, self->suspect, self->is_stage));
  if (self->stage != NULL)
    reason->stage_decibans = decibans (self->stage_probability, probability_of (diagnosis, self->stage, TRUE));
  if (first != NULL && g_strcmp0 (first->id, self->first) != 0)
    {
      reason->first_without = g_strdup (first->id);
      reason->first_odds = first->probability;
    }
  if (g_strcmp0 (diagnosis->likely_stage, self->likely_stage) != 0)
    reason->stage_without = g_strdup (diagnosis->likely_stage);
  return TRUE;
}

static int
compare_reasons (gconstpointer a, gconstpointer b)
{
  const BlReason *x = *(BlReason *const *) a, *y = *(BlReason *const *) b;
  double p = isnan (x->decibans) ? INFINITY : fabs (x->decibans);
  double q = isnan (y->decibans) ? INFINITY : fabs (y->decibans);
  return p > q ? -1 : p < q;
}

/* The stage that a suspect belongs to, and whether it is one. FALSE: the board has no such thing. */
static gboolean
place_suspect (BlReasons *self, const BlDiagnosis *diagnosis, const BlBoard *board)
{
  const BlComponent *component = self->suspect != NULL ? bl_board_component (board, self->suspect) : NULL;
  if (self->suspect == NULL)
    return TRUE;
  if (component != NULL)
    self->stage = g_strdup (component->stage);
  else if (bl_diagnosis_find (diagnosis->components, self->suspect) != NULL)
    self->stage = g_strndup (self->suspect, strlen (self->suspect) - strlen ("/other"));
  else
    self->is_stage = bl_diagnosis_find (diagnosis->stages, self->suspect) != NULL;
  if (self->is_stage)
    self->stage = g_strdup (self->suspect);
  return self->stage != NULL;
}

static gboolean
set_out (BlReasons *self, BlEngine *engine, GPtrArray *entries, const int *cancel, GError **error)
{
  g_autoptr (GPtrArray) none = entries_without (entries, NULL);
  g_autoptr (BlDiagnosis) before = bl_engine_diagnose (engine, none, BL_DIAGNOSE_ODDS, cancel, error);
  g_autoptr (BlDiagnosis) now = before != NULL
                                  ? bl_engine_diagnose (engine, entries, BL_DIAGNOSE_ODDS, cancel, error)
                                  : NULL;
  if (now == NULL)
    return FALSE;
  if (!place_suspect (self, now, engine->board))
    return g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _("there is no part or stage “%s”"),
                        self->suspect), FALSE;
  if (!self->is_stage && self->suspect != NULL)
    self->mode = g_strdup (likeliest_mode (bl_diagnosis_find (now->components, self->suspect)));
  self->first = first_of (now) != NULL ? g_strdup (first_of (now)->id) : NULL;
  self->likely_stage = g_strdup (now->likely_stage);
  self->prior = probability_of (before, self->suspect, self->is_stage);
  self->probability = probability_of (now, self->suspect, self->is_stage);
  self->stage_prior = self->stage != NULL ? probability_of (before, self->stage, TRUE) : NAN;
  self->stage_probability = self->stage != NULL ? probability_of (now, self->stage, TRUE) : NAN;
  return TRUE;
}

BlReasons *
bl_reasons_new (BlEngine *engine, GPtrArray *entries, const char *suspect, const int *cancel, GError **error)
{
  g_return_val_if_fail (engine != NULL, NULL);
  g_autoptr (BlReasons) self = g_new0 (BlReasons, 1);
  g_autoptr (GPtrArray) judged = judged_copies (engine->board, entries, error);
  if (judged == NULL)
    return NULL;
  self->suspect = g_strdup (suspect);
  self->reasons = g_ptr_array_new_with_free_func ((GDestroyNotify) reason_free);
  if (!set_out (self, engine, judged, cancel, error))
    return NULL;
  collect (self->reasons, judged);
  for (guint i = 0; i < self->reasons->len; i++)
    if (!weigh (self, bl_at (self->reasons, i), engine, judged, cancel, error))
      return NULL;
  g_ptr_array_sort (self->reasons, compare_reasons);
  return g_steal_pointer (&self);
}

/* --- what would turn it --- */

/* A reading that shows this class and leaves no doubt. What it was in figures does not matter, so it is
 * written as not reached, which nothing can follow. */
static BlEntry *
reading_of_class (const BlMeasurement *measurement, const BlBand *band, guint class_index)
{
  BlEntry *entry = bl_entry_new (BL_ENTRY_READING, measurement->id, "-");
  entry->reading.kind = BL_READING_NOT_REACHED;
  entry->judged = g_new0 (BlVerdict, 1);
  entry->judged->n = band->n_classes;
  entry->judged->weights = g_new0 (double, band->n_classes + 1);
  entry->judged->classes = g_strdupv (band->classes);
  entry->judged->weights[class_index] = 1;
  entry->judged->best = entry->judged->second = class_index;
  entry->judged->certain = entry->judged->evidence = TRUE;
  entry->judged->value = NAN;
  return entry;
}

/* entries with this reading at the end. */
static gboolean
try_class (BlReasons *self, BlEngine *engine, GPtrArray *entries, BlEntry *reading, double log_evidence,
           const int *cancel, GError **error)
{
  g_autoptr (GError) problem = NULL;
  g_ptr_array_add (entries, reading);
  g_autoptr (BlDiagnosis) diagnosis = bl_engine_diagnose (engine, entries, BL_DIAGNOSE_ODDS, cancel, &problem);
  g_ptr_array_set_size (entries, (gint) entries->len - 1);
  if (g_error_matches (problem, BL_CORE_ERROR, BL_CORE_ERROR_IMPOSSIBLE))
    return TRUE;
  if (diagnosis == NULL)
    return g_propagate_error (error, g_steal_pointer (&problem)), FALSE;
  const BlOdd *first = first_of (diagnosis);
  double chance = exp (diagnosis->log_evidence - log_evidence);
  if (first == NULL || chance < LEAST_CHANCE || g_strcmp0 (first->id, self->first) == 0)
    return TRUE;
  BlTurn *turn = g_new0 (BlTurn, 1);
  turn->measurement = g_strdup (reading->subject);
  turn->class_name = g_strdup (reading->judged->classes[reading->judged->best]);
  turn->chance = chance;
  turn->first = g_strdup (first->id);
  turn->first_odds = first->probability;
  turn->stage = g_strdup (diagnosis->likely_stage);
  g_ptr_array_add (self->turns, turn);
  return TRUE;
}

static int
compare_turns (gconstpointer a, gconstpointer b)
{
  const BlTurn *x = *(BlTurn *const *) a, *y = *(BlTurn *const *) b;
  return x->chance > y->chance ? -1 : x->chance < y->chance;
}

static guint
measurement_index (const BlBoard *board, const char *id)
{
  guint index = 0;
  while (g_strcmp0 (((BlMeasurement *) bl_at (board->measurements, index))->id, id) != 0)
    index++;
  return index;
}

static gboolean
try_measurement (BlReasons *self, BlEngine *engine, const BlResponse *response, GPtrArray *entries, const char *id,
                 double log_evidence, const int *cancel, GError **error)
{
  guint index = measurement_index (engine->board, id);
  const BlBand *band = bl_response_band (response, index);
  for (guint c = 0; c < band->n_classes; c++)
    {
      g_autoptr (BlEntry) reading = reading_of_class (bl_at (engine->board->measurements, index), band, c);
      if (!try_class (self, engine, entries, reading, log_evidence, cancel, error))
        return FALSE;
    }
  return TRUE;
}

gboolean
bl_reasons_find_turns (BlReasons *reasons, BlEngine *engine, GPtrArray *entries, guint most, const int *cancel,
                       GError **error)
{
  g_return_val_if_fail (reasons != NULL && engine != NULL, FALSE);
  g_autoptr (GPtrArray) judged = judged_copies (engine->board, entries, error);
  g_autoptr (BlResponse) response = judged != NULL ? bl_response_new (engine->board, error) : NULL;
  g_autoptr (BlDiagnosis) now = response != NULL
                                  ? bl_engine_diagnose (engine, judged, BL_DIAGNOSE_NEXT, cancel, error)
                                  : NULL;
  /* Lends the entries out: what is tried is put at the end and taken away again. */
  g_autoptr (GPtrArray) with = g_ptr_array_new ();
  if (now == NULL)
    return FALSE;
  g_clear_pointer (&reasons->turns, g_ptr_array_unref);
  reasons->turns = g_ptr_array_new_with_free_func ((GDestroyNotify) turn_free);
  reasons->open = now->next->len;
  reasons->tried = most == 0 ? now->next->len : MIN (most, now->next->len);
  for (guint i = 0; i < judged->len; i++)
    g_ptr_array_add (with, bl_at (judged, i));
  for (guint i = 0; i < reasons->tried; i++)
    if (!try_measurement (reasons, engine, response, with, ((BlNext *) bl_at (now->next, i))->measurement,
                          now->log_evidence, cancel, error))
      return FALSE;
  g_ptr_array_sort (reasons->turns, compare_turns);
  return TRUE;
}
