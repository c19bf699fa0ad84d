/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Unsafe acts among the steps of a drill.
 *
 * The same rules as on the bench (what the log says of states and proofs, by the shop's limits). A measurement is taken
 * in its own state, which the board is in for it; where a state was declared by itself, that one holds until another is.
 * A proof is void after any live state and after a voltage that was read without power and is not below the limit for
 * ohms. The first proof holds for the shop's time, in which a capacitor recovers; one that is taken after that time holds
 * until the board is live again. A proof may be a step of its own, or the measurements that the document says prove the
 * state dead, each read as expected. None of this makes anything safe: it finds what is plainly not. */
#include "config.h"

#include "bl-drill-score.h"

#include "bl-proof-text.h"
#include "bl-safe-limits.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n-lib.h>

static const char *const names[BL_N_UNSAFE] = {
  N_ ("ohms on a live board"),
  N_ ("ohms on a board not proved dead"),
  N_ ("live without reading the cautions"),
  N_ ("primary side read live without an isolating supply"),
  N_ ("point and black lead on different grounds"),
};

const char *
bl_unsafe_name (BlUnsafe act)
{
  for (guint i = 0; i < BL_N_UNSAFE; i++)
    if (act == 1u << i)
      return names[i];
  g_return_val_if_reached (NULL);
}

const char *
bl_unsafe_words (BlUnsafe act)
{
  const char *name = bl_unsafe_name (act);

  return name != NULL ? _ (name) : NULL;
}

char *
bl_unsafe_list_words (guint unsafe)
{
  GString *words = g_string_new ("");

  for (guint i = 0; i < BL_N_UNSAFE; i++)
    if (unsafe & (1u << i))
      g_string_append_printf (words, "%s%s", words->len > 0 ? "; " : "", bl_unsafe_words ((BlUnsafe) (1u << i)));
  if (words->len > 0)
    return g_string_free (words, FALSE);
  g_string_free (words, TRUE);
  return NULL;
}

/* --- following the steps ---------------------------------------------------------------------- */

typedef struct
{
  const BlBoard *board;
  const BlSafeLimits *limits;
  const char *declared; /* state; NULL: none was */
  gboolean may_be_live; /* some state of the board may */
  gboolean cautions, isolated, proved, was_live;
  double first_s, last_s; /* the first and the last proof of those that hold together, as steps have it; NAN: not known */
  GPtrArray *points;    /* ids of proving measurements read as expected since it was last live */
} Following;

static void
void_proof (Following *self)
{
  self->proved = FALSE;
  self->first_s = self->last_s = NAN;
  g_ptr_array_set_size (self->points, 0);
}

static void
take_proof (Following *self, double at_s)
{
  if (!self->proved)
    self->first_s = at_s;
  self->last_s = at_s;
  self->proved = TRUE;
}

/* Whether the proof is one for ohms at this time. */
static gboolean
is_proved (const Following *self, double at_s)
{
  if (!self->proved || isnan (self->first_s) || isnan (at_s))
    return self->proved;
  return at_s - self->first_s < self->limits->again_s || self->last_s - self->first_s >= self->limits->again_s;
}

/* Into a live state, for the first time perhaps. */
static guint
enter_live (Following *self)
{
  gboolean unwarned = !self->was_live && !self->cautions;

  self->was_live = TRUE;
  void_proof (self);
  return unwarned ? BL_UNSAFE_NO_CAUTIONS : 0;
}

/* Whether a measurement is one that proves this state dead (NULL: some unpowered state). A state that names none may be
 * proved anywhere. */
static gboolean
proves (const BlBoard *board, const char *state, const char *measurement)
{
  gboolean names_some = FALSE;

  for (guint i = 0; i < bl_len (board->states); i++)
    {
      const BlState *one = bl_at (board->states, i);
      if (one->live != 0 || (state != NULL && !g_str_equal (one->id, state)))
        continue;
      for (char **id = one->dead_proof; id != NULL && *id != NULL; id++)
        {
          names_some = TRUE;
          if (measurement == NULL || g_str_equal (*id, measurement))
            return TRUE;
        }
    }
  return !names_some;
}

/* A measurement of a proof, read as expected: all of its state make one. */
static void
follow_proving (Following *self, const BlMeasurement *measurement, const BlVerdict *verdict, const BlBand *band, double at_s)
{
  const BlState *state = bl_board_state (self->board, measurement->state);
  gboolean all = TRUE;

  if (state == NULL || state->dead_proof == NULL
      || !g_strv_contains ((const char *const *) state->dead_proof, measurement->id))
    return;
  if (!verdict->evidence || verdict->best != band->good)
    {
      void_proof (self);
      return;
    }
  g_ptr_array_add (self->points, measurement->id);
  for (char **id = state->dead_proof; *id != NULL; id++)
    all = all && g_ptr_array_find_with_equal_func (self->points, *id, g_str_equal, NULL);
  if (!all)
    return;
  take_proof (self, at_s);
  g_ptr_array_set_size (self->points, 0); /* to be proved again they are all read again */
}

static void
follow_reading (Following *self, const BlMeasurement *measurement, const BlDrillStep *step)
{
  gboolean ac = measurement->measures == BL_MEASURES_V_AC;
  BlReading reading;

  if (step->text == NULL || !bl_reading_parse (step->text, measurement->measures, &reading, NULL))
    return;
  if (ac || measurement->measures == BL_MEASURES_V_DC)
    {
      double most = reading.kind == BL_READING_OVER    ? INFINITY
                    : reading.kind == BL_READING_RANGE ? fmax (fabs (reading.value), fabs (reading.high))
                    : reading.kind == BL_READING_VALUE ? fabs (reading.value)
                                                       : 0;
      if (most > (ac ? self->limits->shock_ac : self->limits->shock_dc) || most >= self->limits->ohms_below)
        void_proof (self);
    }
  g_autoptr (BlBand) band = bl_band_resolve_on (self->board, measurement, NAN, 0, NULL);
  if (band == NULL)
    return;
  g_autoptr (BlVerdict) verdict = bl_judge (band, &reading, NULL, NAN, 0);
  follow_proving (self, measurement, verdict, band, step->at_s);
}

/* The measurement as it was taken: with the lead and in the state that the step says. */
static guint
follow_taken (Following *self, const BlMeasurement *taken, const BlDrillStep *step)
{
  const BlBoard *board = self->board;
  gboolean own = bl_board_state_may_be_live (board, taken->state);
  gboolean live = own || bl_board_state_may_be_live (board, self->declared);
  const BlTestPoint *at, *black;
  guint unsafe = 0;

  if (bl_measures_drives_current (taken->measures))
    unsafe |= live ? BL_UNSAFE_OHMS_LIVE : self->may_be_live && !is_proved (self, step->at_s) ? BL_UNSAFE_UNPROVEN : 0;
  if (own)
    unsafe |= enter_live (self);
  if (live && !self->isolated && (bl_point_is_hot (board, taken->at) || bl_point_is_hot (board, taken->black))
      && bl_safe_state_shocks (board, bl_board_state (board, own ? taken->state : self->declared), self->limits))
    unsafe |= BL_UNSAFE_NOT_ISOLATED;
  if (live && bl_safe_grounds (board, taken, &at, &black))
    unsafe |= BL_UNSAFE_GROUNDS;
  if (!live)
    follow_reading (self, taken, step);
  return unsafe;
}

static guint
follow_measure (Following *self, const BlDrillStep *step)
{
  const BlMeasurement *measurement = bl_board_measurement (self->board, step->subject);
  BlMeasurement taken;

  if (measurement == NULL)
    return 0;
  taken = *measurement;
  if (step->state != NULL)
    taken.state = step->state;
  if (step->black != NULL)
    taken.black = step->black;
  return follow_taken (self, &taken, step);
}

/* Where figures were typed, they have to be below the limit for ohms. */
static void
follow_proof (Following *self, const BlDrillStep *step)
{
  BlProofText proof = bl_proof_read (step->text);
  gboolean below = step->text == NULL || fmax (proof.dc, proof.ac) < self->limits->ohms_below;

  if (bl_board_state_may_be_live (self->board, self->declared))
    return;
  if (below && proves (self->board, self->declared, step->subject))
    take_proof (self, step->at_s);
  else
    void_proof (self);
}

static guint
follow_step (Following *self, const BlDrillStep *step)
{
  switch (step->kind)
    {
    case BL_STEP_MEASURE:
      return follow_measure (self, step);
    case BL_STEP_STATE:
      self->declared = step->subject;
      return bl_board_state_may_be_live (self->board, step->subject) ? enter_live (self) : 0;
    case BL_STEP_PROOF:
      follow_proof (self, step);
      return 0;
    case BL_STEP_SUPPLY:
      self->isolated = step->text != NULL && strstr (step->text, "isolated") != NULL;
      return 0;
    case BL_STEP_CAUTIONS:
      self->cautions = TRUE;
      return 0;
    case BL_STEP_PART:
    case BL_STEP_STAGE:
    case BL_STEP_COMPONENT:
    default:
      return 0;
    }
}

void
bl_drill_find_unsafe (const BlBoard *board, GPtrArray *steps, const BlSafeLimits *limits)
{
  g_return_if_fail (board != NULL && steps != NULL && limits != NULL);
  g_autoptr (GPtrArray) points = g_ptr_array_new ();
  Following self = { .board = board, .limits = limits, .may_be_live = bl_board_may_be_live (board), .points = points,
                     .first_s = NAN, .last_s = NAN };

  for (guint i = 0; i < steps->len; i++)
    {
      BlDrillStep *step = bl_at (steps, i);
      step->unsafe = follow_step (&self, step);
    }
}
