/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From what healthy boards of an edition read to the band a healthy board reads in: a tolerance interval of the
 * normal distribution, mean -+ k s, that holds the wished share of all boards with the wished confidence. It is
 * two-sided, or one-sided where the documented band has one limit. Each board counts once, with its last reading,
 * corrected for the load of the meter as a verdict is.
 *
 * Outliers count until the technician agrees to leave them out, and both bands are shown. A proof of dead has a
 * threshold that no board says anything about. What of a reading is compared is said in bl-known-good-boards.c.
 * The limits are rounded outward to the step of the coarsest meter, or to two figures of s where that is coarser.
 * Some tens of boards and a hundred measurements; one is worked out when it is asked for.
 */
#include "config.h"

#include "bl-known-good-private.h"

#include "bl-summary.h"
#include "bl-tolerance-interval.h"

#include <glib/gi18n-lib.h>
#include <math.h>

static void
interval_clear (BlGoodInterval *interval)
{
  g_clear_pointer (&interval->band, bl_band_free);
  g_clear_pointer (&interval->trouble, g_free);
}

static void
proposal_free (gpointer data)
{
  BlGoodProposal *proposal = data;

  g_ptr_array_unref (proposal->boards);
  interval_clear (&proposal->with);
  interval_clear (&proposal->without);
  g_free (proposal);
}

void
bl_known_good_free (BlKnownGood *self)
{
  if (self == NULL)
    return;
  g_clear_object (&self->edition);
  g_clear_pointer (&self->readings, g_ptr_array_unref);
  g_clear_pointer (&self->left_out, g_hash_table_unref);
  g_clear_pointer (&self->answers, g_hash_table_unref);
  g_clear_pointer (&self->proposals, g_hash_table_unref);
  g_clear_pointer (&self->factors, g_hash_table_unref);
  g_free (self);
}

BlKnownGood *
bl_known_good_new (BlEdition *edition, double coverage, double confidence, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (edition), NULL);
  BlLibrary *library = bl_edition_get_library (edition);
  gint64 board = bl_edition_get_id (edition);
  g_autoptr (BlKnownGood) self = g_new0 (BlKnownGood, 1);
  g_autoptr (GHashTable) jobs = g_hash_table_new (g_int64_hash, g_int64_equal);

  self->edition = g_object_ref (edition);
  self->coverage = CLAMP (coverage, BL_COVERAGE_LEAST, BL_COVERAGE_MOST);
  self->confidence = CLAMP (confidence, BL_COVERAGE_LEAST, BL_COVERAGE_MOST);
  self->proposals = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, proposal_free);
  self->factors = g_hash_table_new_full (NULL, NULL, NULL, g_free);
  self->readings = bl_library_known_good (library, board, NULL, error);
  self->left_out = self->readings != NULL ? bl_library_left_out (library, board, error) : NULL;
  self->answers = self->left_out != NULL ? bl_library_band_answers (library, board, error) : NULL;
  if (self->answers == NULL)
    return NULL;
  for (guint i = 0; i < self->readings->len; i++)
    g_hash_table_add (jobs, &((BlGoodReading *) bl_at (self->readings, i))->job);
  self->n_boards = g_hash_table_size (jobs);
  return g_steal_pointer (&self);
}

guint
bl_known_good_n_boards (BlKnownGood *self)
{
  g_return_val_if_fail (self != NULL, 0);
  return self->n_boards;
}

double
bl_known_good_coverage (BlKnownGood *self)
{
  g_return_val_if_fail (self != NULL, NAN);
  return self->coverage;
}

double
bl_known_good_confidence (BlKnownGood *self)
{
  g_return_val_if_fail (self != NULL, NAN);
  return self->confidence;
}

/* --- statistics --- */

static double
factor (BlKnownGood *self, guint n, gboolean two_sided)
{
  gpointer key = GUINT_TO_POINTER (2 * n + two_sided);
  double *known = g_hash_table_lookup (self->factors, key);

  if (known == NULL)
    {
      known = g_new (double, 1);
      *known = two_sided ? bl_tolerance_two_sided (n, self->coverage, self->confidence)
                         : bl_tolerance_one_sided (n, self->coverage, self->confidence);
      g_hash_table_insert (self->factors, key, known);
    }
  return *known;
}

/* What the limits are rounded to: the count of the coarsest meter, or the second figure of s. */
static double
step_of (BlKnownGood *self, const BlGoodProposal *proposal, double s)
{
  double step = pow (10, floor (log10 (s)) - 1);

  for (guint i = 0; !proposal->ratio && i < proposal->boards->len; i++)
    {
      const BlGoodBoard *board = bl_at (proposal->boards, i);
      const BlGoodReading *reading = bl_good_reading_of (self, proposal->measurement, board->job);
      BlMeter meter;
      if (board->use == BL_GOOD_COUNTS && reading != NULL && bl_good_meter_of (reading, &meter) && meter.count > step)
        step = meter.count;
    }
  return step;
}

static double
round_out (double value, double step, gboolean up)
{
  double steps = value / step, parts = round (1 / step);

  /* What is a whole number of steps but for the last bit stays one. */
  steps = up ? ceil (steps - 1e-9) : floor (steps + 1e-9);
  /* Over a whole number of parts 4.98 is the double nearest to it; a count of 0.3 has no such number. */
  return step < 1 && fabs (parts * step - 1) < 1e-9 ? steps / parts : steps * step;
}

/* The measurement as it would be with these limits: what can stand in the document. */
static void
set_limits (BlMeasurement *measurement, const BlGoodProposal *proposal, const BlGoodInterval *interval)
{
  BlExpected *expected = &measurement->expected;
  const char *unit = bl_measures_unit (measurement->measures);
  BlQuantity *ends[] = { &expected->low, &expected->high };
  const double values[] = { interval->low, interval->high };

  measurement->has_expected = TRUE;
  if (proposal->ratio)
    {
      /* One width, as a share of whole thousandths: what was allowed besides is in it. */
      expected->follows->tolerance = round (1000 * (interval->high - 1)) / 1000;
      bl_quantity_clear (&expected->follows->within);
      expected->follows->within = BL_QUANTITY_NONE;
      return;
    }
  g_clear_pointer (&expected->tolerance, g_free);
  for (guint i = 0; i < 2; i++)
    {
      bl_quantity_clear (ends[i]);
      if (!isfinite (values[i]))
        continue;
      ends[i]->text = bl_quantity_to_text (values[i], unit, 9);
      if (!bl_quantity_parse (ends[i]->text, unit, &ends[i]->value, NULL))
        ends[i]->value = values[i];
    }
  /* A nominal value outside its own band would be nonsense; the mean takes its place. */
  if (bl_quantity_is_set (&expected->nominal)
      && (expected->nominal.value < interval->low || expected->nominal.value > interval->high))
    {
      g_autofree char *mean = bl_quantity_to_text (interval->mean, unit, 4);
      bl_quantity_clear (&expected->nominal);
      if (bl_quantity_parse (mean, unit, &expected->nominal.value, NULL))
        expected->nominal.text = g_steal_pointer (&mean);
    }
}

/* A band so wide that absent or shorted would pass as in band is none, even where the document would take it: its
 * own limit for them may only follow from the low one. */
static char *
reaches_absent (const BlMeasurement *measurement, const BlBand *band)
{
  g_autoptr (BlBand) now = measurement->has_expected ? bl_band_resolve (measurement, NAN, NAN, NULL) : NULL;
  double below = now == NULL ? NAN : bl_measures_is_resistive (now->measures) ? now->shorted_below : now->absent_below;

  if (isnan (below) || isinf (band->low) || band->low >= below)
    return NULL;
  g_autofree char *limit = bl_quantity_format (below, bl_measures_unit (measurement->measures), 4);
  return bl_measures_is_resistive (measurement->measures)
           ? g_strdup_printf (_ ("below %s it counts as shorted"), limit)
           : g_strdup_printf (_ ("below %s it counts as absent"), limit);
}

static void
check_document (const BlMeasurement *measurement, const BlGoodProposal *proposal, BlGoodInterval *interval)
{
  g_autoptr (BlMeasurement) draft = bl_measurement_copy (measurement);
  g_autoptr (GError) error = NULL;

  set_limits (draft, proposal, interval);
  interval->band = bl_band_resolve (draft, NAN, NAN, &error);
  if (interval->band == NULL && !(proposal->ratio && g_error_matches (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN)))
    interval->trouble = g_strdup (error->message);
  else if (!proposal->ratio)
    interval->trouble = reaches_absent (measurement, interval->band);
}

static gboolean
proves_dead (const BlBoard *board, const char *measurement)
{
  for (guint i = 0; i < bl_len (board->states); i++)
    {
      const BlState *state = bl_at (board->states, i);
      if (state->dead_proof != NULL && g_strv_contains ((const char *const *) state->dead_proof, measurement))
        return TRUE;
    }
  return FALSE;
}

/* skip: the named outliers do not count either. */
static BlSummary
summarize (const BlGoodProposal *proposal, gboolean skip)
{
  g_autoptr (GArray) values = g_array_new (FALSE, FALSE, sizeof (double));

  for (guint i = 0; i < proposal->boards->len; i++)
    {
      const BlGoodBoard *board = bl_at (proposal->boards, i);
      if (board->use == BL_GOOD_COUNTS && !(skip && board->outlier))
        g_array_append_val (values, board->value);
    }
  return bl_summarize ((const double *) (gconstpointer) values->data, NULL, values->len);
}

static void
compute (BlKnownGood *self, const BlMeasurement *measurement, const BlGoodProposal *proposal, BlGoodInterval *interval,
         gboolean skip)
{
  BlSummary summary = summarize (proposal, skip);
  gboolean two_sided = proposal->has_low && proposal->has_high;
  double step;

  interval->n = summary.n;
  interval->mean = summary.mean;
  interval->s = summary.s;
  interval->k = NAN;
  interval->low = interval->exact_low = -INFINITY;
  interval->high = interval->exact_high = INFINITY;
  if (summary.n < BL_GOOD_BOARDS_LEAST || summary.n > BL_SAMPLE_MOST || !(summary.s > 0)
      || proves_dead (bl_edition_get_board (self->edition), proposal->measurement))
    return;
  interval->k = factor (self, summary.n, two_sided);
  step = step_of (self, proposal, summary.s);
  if (proposal->ratio)
    {
      /* A width about the line is the same on both sides. */
      double width = fmax (fabs (summary.mean - interval->k * summary.s - 1),
                           fabs (summary.mean + interval->k * summary.s - 1));
      interval->exact_low = 1 - width;
      interval->exact_high = 1 + width;
      width = round_out (width, 0.001, TRUE);
      interval->low = 1 - width;
      interval->high = 1 + width;
    }
  else
    {
      if (proposal->has_low)
        interval->exact_low = summary.mean - interval->k * summary.s;
      if (proposal->has_high)
        interval->exact_high = summary.mean + interval->k * summary.s;
      if (proposal->has_low)
        interval->low = round_out (interval->exact_low, step, FALSE);
      if (proposal->has_high)
        interval->high = round_out (interval->exact_high, step, TRUE);
    }
  check_document (measurement, proposal, interval);
}

/* --- what it comes to --- */

/* The documented limits as they are read. */
static void
take_documented (const BlMeasurement *measurement, BlGoodProposal *proposal)
{
  const BlExpected *expected = &measurement->expected;
  g_autoptr (BlBand) band = NULL;

  proposal->documented_low = -INFINITY;
  proposal->documented_high = INFINITY;
  proposal->ratio = expected->follows != NULL;
  if (proposal->ratio)
    {
      double width = isnan (expected->follows->tolerance) ? 0 : expected->follows->tolerance;
      proposal->documented_low = 1 - width;
      proposal->documented_high = 1 + width;
    }
  else if (measurement->has_expected && (band = bl_band_resolve (measurement, NAN, NAN, NULL)) != NULL
           && band->measures != BL_MEASURES_SWING && band->measures != BL_MEASURES_CHECK)
    {
      proposal->documented_low = band->negative ? -band->high : band->low;
      proposal->documented_high = band->negative ? -band->low : band->high;
    }
  proposal->has_low = isfinite (proposal->documented_low);
  proposal->has_high = isfinite (proposal->documented_high);
  if (!proposal->has_low && !proposal->has_high)
    proposal->has_low = proposal->has_high = TRUE;
}

/* Ids of the boards that count, in order: "3,7,12". (transfer full) */
static char *
jobs_of (const BlGoodProposal *proposal)
{
  g_autoptr (GString) jobs = g_string_new (NULL);

  for (guint i = 0; i < proposal->boards->len; i++)
    {
      const BlGoodBoard *board = bl_at (proposal->boards, i);
      if (board->use != BL_GOOD_NO_VALUE)
        g_string_append_printf (jobs, "%s%" G_GINT64_FORMAT, jobs->len > 0 ? "," : "", board->job);
    }
  return g_string_free (g_steal_pointer (&jobs), FALSE);
}

/* Refused, and every board that counts now was there then. */
static gboolean
stays_refused (const BlBandAnswer *answer, const BlGoodProposal *proposal)
{
  g_auto (GStrv) then = NULL;

  if (answer == NULL || answer->accepted)
    return FALSE;
  then = g_strsplit (answer->jobs, ",", -1);
  for (guint i = 0; i < proposal->boards->len; i++)
    {
      const BlGoodBoard *board = bl_at (proposal->boards, i);
      g_autofree char *job = g_strdup_printf ("%" G_GINT64_FORMAT, board->job);
      if (board->use != BL_GOOD_NO_VALUE && !g_strv_contains ((const char *const *) then, job))
        return FALSE;
    }
  return TRUE;
}

static gboolean
same_limit (double one, double other, double size)
{
  return (isinf (one) && isinf (other)) || fabs (one - other) <= 1e-6 * size;
}

static gboolean
same_limits (const BlGoodProposal *proposal, const BlGoodInterval *interval)
{
  double size = interval->k * interval->s;

  return same_limit (interval->low, proposal->documented_low, size)
         && same_limit (interval->high, proposal->documented_high, size);
}

static BlGoodState
state_of (BlKnownGood *self, const BlGoodProposal *proposal)
{
  if (proposal->measures == BL_MEASURES_CHECK || proposal->measures == BL_MEASURES_SWING)
    return BL_GOOD_NO_NUMBER;
  if (proves_dead (bl_edition_get_board (self->edition), proposal->measurement))
    return BL_GOOD_NO_BAND;
  if (proposal->with.n < BL_GOOD_BOARDS_LEAST || proposal->with.n > BL_SAMPLE_MOST)
    return BL_GOOD_TOO_FEW;
  if (!(proposal->with.s > 0))
    return BL_GOOD_ALIKE;
  if (same_limits (proposal, &proposal->with))
    return BL_GOOD_AS_DOCUMENTED;
  if (proposal->with.trouble != NULL && (proposal->n_outliers == 0 || proposal->without.trouble != NULL))
    return BL_GOOD_IMPOSSIBLE;
  if (stays_refused (g_hash_table_lookup (self->answers, proposal->measurement), proposal))
    return BL_GOOD_REFUSED;
  return BL_GOOD_PROPOSED;
}

/* What a followed band allows besides its share, as a share of the lines of these boards on the average. */
static void
widen_documented (const BlMeasurement *measurement, BlGoodProposal *proposal)
{
  double within = proposal->ratio ? measurement->expected.follows->within.value : NAN, sum = 0;
  guint n = 0;

  for (guint i = 0; i < proposal->boards->len; i++)
    {
      const BlGoodBoard *board = bl_at (proposal->boards, i);
      if (!isfinite (board->line))
        continue;
      sum += fabs (board->line);
      n++;
    }
  if (isnan (within) || n == 0)
    return;
  proposal->documented_low -= within / (sum / n);
  proposal->documented_high += within / (sum / n);
}

static void
take_dates (BlGoodProposal *proposal)
{
  for (guint i = 0; i < proposal->boards->len; i++)
    {
      const BlGoodBoard *board = bl_at (proposal->boards, i);
      if (board->use != BL_GOOD_COUNTS)
        continue;
      if (proposal->from == 0 || board->time < proposal->from)
        proposal->from = board->time;
      proposal->to = MAX (proposal->to, board->time);
    }
}

static BlGoodProposal *
work_out (BlKnownGood *self, const BlMeasurement *measurement)
{
  BlGoodProposal *proposal = g_new0 (BlGoodProposal, 1);

  proposal->measurement = g_intern_string (measurement->id);
  proposal->measures = measurement->measures;
  proposal->boards = g_ptr_array_new_with_free_func (bl_good_board_free);
  take_documented (measurement, proposal);
  for (guint i = 0; i < self->readings->len; i++)
    {
      const BlGoodReading *reading = bl_at (self->readings, i);
      if (g_str_equal (reading->measurement, measurement->id))
        g_ptr_array_add (proposal->boards, bl_good_board_take (self, measurement, reading));
    }
  widen_documented (measurement, proposal);
  take_dates (proposal);
  if (proposal->measures != BL_MEASURES_CHECK && proposal->measures != BL_MEASURES_SWING)
    {
      bl_good_find_outliers (proposal);
      compute (self, measurement, proposal, &proposal->with, FALSE);
      if (proposal->n_outliers > 0)
        compute (self, measurement, proposal, &proposal->without, TRUE);
    }
  proposal->state = state_of (self, proposal);
  return proposal;
}

const BlGoodProposal *
bl_known_good_find (BlKnownGood *self, const char *measurement)
{
  g_return_val_if_fail (self != NULL && measurement != NULL, NULL);
  const BlMeasurement *found = bl_board_measurement (bl_edition_get_board (self->edition), measurement);
  BlGoodProposal *proposal = g_hash_table_lookup (self->proposals, measurement);

  if (proposal == NULL && found != NULL && found->measures < BL_N_MEASURES)
    {
      proposal = work_out (self, found);
      g_hash_table_insert (self->proposals, g_strdup (measurement), proposal);
    }
  return proposal != NULL && proposal->boards->len > 0 ? proposal : NULL;
}

/* --- answers --- */

char *
bl_known_good_source (BlKnownGood *self, const BlGoodProposal *proposal, guint n)
{
  g_return_val_if_fail (self != NULL && proposal != NULL, NULL);
  g_autoptr (GDateTime) from = g_date_time_new_from_unix_utc (proposal->from / G_USEC_PER_SEC);
  g_autoptr (GDateTime) to = g_date_time_new_from_unix_utc (proposal->to / G_USEC_PER_SEC);
  g_autofree char *first = g_date_time_format (from, "%Y-%m"), *last = g_date_time_format (to, "%Y-%m");
  g_autofree char *boards = g_strdup_printf (ngettext ("%u known-good board", "%u known-good boards", n), n);
  /* Translators: months, "2026-03 to 2026-11" */
  g_autofree char *months
    = g_str_equal (first, last) ? g_strdup (first) : g_strdup_printf (_ ("%s to %s"), first, last);

  return g_strdup_printf ("%s, %s, %g/%g", boards, months, 100 * self->coverage, 100 * self->confidence);
}

static gboolean
refuse_unknown (const char *measurement, GError **error)
{
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("No band is proposed for %s"), measurement);
  return FALSE;
}

static gboolean
keep_answer (BlKnownGood *self, const BlGoodProposal *proposal, const BlGoodInterval *interval, gboolean accepted,
             GError **error)
{
  g_autofree char *jobs = jobs_of (proposal), *id = g_strdup (proposal->measurement);
  BlBandAnswer answer = { id, accepted, interval->low, interval->high, jobs, 0 };

  return bl_library_answer_band (bl_edition_get_library (self->edition), bl_edition_get_id (self->edition), &answer,
                                 error);
}

/* What is said about a proposal, as one step with what it does to the document. */
typedef struct
{
  BlKnownGood *good;
  const BlGoodProposal *proposal;
  const BlGoodInterval *interval;
  gboolean accepted, leave_out;
} Saying;

static gboolean
leave_out (BlKnownGood *self, const char *measurement, gint64 job, gboolean out, GError **error)
{
  return bl_library_leave_out (bl_edition_get_library (self->edition), bl_edition_get_id (self->edition), measurement,
                               job, out, error);
}

static gboolean
keep_saying (BlEdition *edition, gpointer data, GError **error)
{
  const Saying *saying = data;

  if (!keep_answer (saying->good, saying->proposal, saying->interval, saying->accepted, error))
    return FALSE;
  for (guint i = 0; saying->leave_out && i < saying->proposal->boards->len; i++)
    {
      const BlGoodBoard *board = bl_at (saying->proposal->boards, i);
      if (board->outlier && !leave_out (saying->good, saying->proposal->measurement, board->job, TRUE, error))
        return FALSE;
    }
  return TRUE;
}

gboolean
bl_known_good_accept (BlKnownGood *self, const char *measurement, gboolean without, GError **error)
{
  const BlGoodProposal *proposal = bl_known_good_find (self, measurement);
  const BlGoodInterval *interval;
  g_autofree char *label = g_strdup_printf (_ ("Band of %s from known-good boards"), measurement);
  BlMeasurement *draft;

  g_return_val_if_fail (self != NULL && measurement != NULL, FALSE);
  if (proposal == NULL || (without && proposal->n_outliers == 0))
    return refuse_unknown (measurement, error);
  interval = without ? &proposal->without : &proposal->with;
  if (isnan (interval->k) || interval->trouble != NULL || proposal->state < BL_GOOD_IMPOSSIBLE)
    return refuse_unknown (measurement, error);
  draft = bl_board_measurement (bl_edition_begin (self->edition, label, NULL), measurement);
  set_limits (draft, proposal, interval);
  g_free (draft->expected.source);
  draft->expected.source = bl_known_good_source (self, proposal, interval->n);
  Saying saying = { self, proposal, interval, TRUE, without };
  return bl_edition_commit_with (self->edition, keep_saying, &saying, error);
}

gboolean
bl_known_good_refuse (BlKnownGood *self, const char *measurement, GError **error)
{
  const BlGoodProposal *proposal = bl_known_good_find (self, measurement);

  g_return_val_if_fail (self != NULL && measurement != NULL, FALSE);
  if (proposal == NULL || proposal->state < BL_GOOD_IMPOSSIBLE)
    return refuse_unknown (measurement, error);
  g_autofree char *label = g_strdup_printf (_ ("Refuse the band of %s"), measurement);
  Saying saying = { self, proposal, &proposal->with, FALSE, FALSE };
  return bl_edition_aside (self->edition, label, keep_saying, &saying, error);
}

typedef struct
{
  BlKnownGood *good;
  const char *measurement;
  gint64 job;
  gboolean out;
} Leaving;

static gboolean
keep_offer (BlEdition *edition, gpointer data, GError **error)
{
  const Leaving *leaving = data;
  char *id = (char *) leaving->measurement, none[] = "";
  BlBandAnswer answer = { id, FALSE, NAN, NAN, none, 0 };

  /* Refused on no board at all: every one is new. */
  return bl_library_answer_band (bl_edition_get_library (edition), bl_edition_get_id (edition), &answer, error);
}

static gboolean
keep_leaving (BlEdition *edition, gpointer data, GError **error)
{
  const Leaving *leaving = data;

  return leave_out (leaving->good, leaving->measurement, leaving->job, leaving->out, error);
}

gboolean
bl_known_good_offer (BlKnownGood *self, const char *measurement, GError **error)
{
  g_return_val_if_fail (self != NULL && measurement != NULL, FALSE);
  g_autofree char *id = g_strdup (measurement), *label = g_strdup_printf (_ ("Offer the band of %s again"), id);
  Leaving leaving = { self, id, 0, FALSE };

  return bl_edition_aside (self->edition, label, keep_offer, &leaving, error);
}

gboolean
bl_known_good_leave_out (BlKnownGood *self, const char *measurement, gint64 job, gboolean out, GError **error)
{
  g_return_val_if_fail (self != NULL && measurement != NULL, FALSE);
  g_autofree char *id = g_strdup (measurement);
  g_autofree char *label = g_strdup_printf (out ? _ ("Leave a reading of %s out") : _ ("Let a reading of %s count"), id);
  Leaving leaving = { self, id, job, out };

  return bl_edition_aside (self->edition, label, keep_leaving, &leaving, error);
}
