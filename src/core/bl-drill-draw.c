/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which fault a drill has: drawn from the board's own odds among those that can be found.
 *
 * A mode is drawn in proportion to its prior, to the chance that it shows, and to the chance that what it provokes
 * happens (or does not) as the kind of drill has it. What no measurement shows is left out, and so is what shows no
 * symptom while something else would. Two hundred modes are tried in a few milliseconds. Implied components are not
 * drawn: nobody could name them. */
#include "config.h"

#include "bl-drill-private.h"

#include "bl-engine-private.h"
#include "bl-places.h"
#include "bl-simulate-private.h"
#include "bl-spacing.h"

#include <string.h>

#include <glib/gi18n-lib.h>

enum
{
  TRIES = 400,     /* of what cannot be found by looking at single modes */
  INFORMATIVE = 6  /* measurements one of which is misread */
};

/* --- symptoms --------------------------------------------------------------------------------- */

static gboolean
has_name (char **list, const char *name)
{
  return list != NULL && g_strv_contains ((const char *const *) list, name);
}

/* A class of a measurement: any that is true of it, whatever shows before. */
static gboolean
measure_says (const BlDrill *drill, guint index, const BlWhen *when, int state, const guint8 *active,
              const guint8 *stages)
{
  const BlCauseMeasure *measure = bl_cause_measure (drill->causes, index);
  guint64 bit = state < 0 ? G_MAXUINT64 : G_GUINT64_CONSTANT (1) << state;

  for (guint i = 0; i < drill->causes->modes->len; i++)
    for (guint j = 0; active[i] && j < bl_cause_mode (drill->causes, i)->effects->len; j++)
      {
        const BlCauseEffect *effect = &g_array_index (bl_cause_mode (drill->causes, i)->effects, BlCauseEffect, j);
        for (guint c = 0; effect->measurement == (int) index && (effect->states & bit) && c < MIN (measure->n, 64); c++)
          if ((effect->classes >> c & 1) && c != measure->good && has_name (when->is, measure->classes[c]))
            return TRUE;
      }
  for (int d = 0; measure->reads >= 0 && d < BL_N_DEVIATIONS; d++)
    if ((stages[measure->reads] >> d & 1) && measure->reads_code[d] != 0
        && has_name (when->is, measure->classes[measure->class_of[measure->reads_code[d]]]))
      return TRUE;
  return FALSE;
}

static gboolean
when_holds (const BlDrill *drill, const BlWhen *when, const guint8 *active)
{
  int stage = bl_causes_find (drill->causes->stage_index, when->on);
  int measure = stage >= 0 ? -1 : bl_causes_find (drill->causes->measure_index, when->on);
  int state = when->state != NULL ? bl_causes_find (drill->causes->state_index, when->state) : -1;
  g_autofree guint8 *stages = g_new0 (guint8, bl_len (drill->board->stages) + 1);

  bl_response_stages (drill->response, active, state, stages);
  if (measure >= 0)
    return measure_says (drill, (guint) measure, when, state, active, stages);
  for (int d = 0; stage >= 0 && d < BL_N_DEVIATIONS; d++)
    if ((stages[stage] >> d & 1) && has_name (when->is, bl_deviation_name ((BlDeviation) d)))
      return TRUE;
  return FALSE;
}

const char *
bl_drill_symptom_of (const BlDrill *drill, const guint8 *active)
{
  for (guint i = 0; i < bl_len (drill->board->symptoms); i++)
    {
      const BlSymptom *symptom = bl_at (drill->board->symptoms, i);
      for (guint j = 0; j < bl_len (symptom->when); j++)
        if (when_holds (drill, bl_at (symptom->when, j), active))
          return symptom->id;
    }
  return NULL;
}

/* --- what may be drawn ------------------------------------------------------------------------ */

typedef struct
{
  BlDrill *drill;
  const BlDrillOrder *order;
  guint n_modes, n_measures;
  guint8 *sound, *classes; /* of each measurement */
  guint8 *fired;           /* of each link */
  double *weights;         /* of each mode as a root cause */
} Drawing;

static gboolean
may_fail (const Drawing *self, guint mode)
{
  const BlCausePart *part = bl_cause_part (self->drill->causes, bl_cause_mode (self->drill->causes, mode)->part);
  const char *const *sections = self->order->sections;
  const BlSection *section
    = part->section >= 0 ? bl_at (self->drill->board->sections, (guint) part->section) : NULL;

  if (bl_cause_mode (self->drill->causes, mode)->mode == NULL)
    return FALSE;
  if (self->order->kind == BL_DRILL_CONDUCTOR)
    return strchr (part->id, '/') == NULL;
  return sections == NULL || *sections == NULL || (section != NULL && g_strv_contains (sections, section->id));
}

/* The chance that nothing is provoked by this mode itself. */
static double
alone (const Drawing *self, guint mode)
{
  const GArray *links = bl_cause_mode (self->drill->causes, mode)->links;
  double chance = 1;

  for (guint i = 0; links != NULL && i < links->len; i++)
    chance *= 1 - g_array_index (links, BlCauseLink, i).chance;
  return chance;
}

static gboolean
is_seen (const Drawing *self, const guint8 *active)
{
  bl_response_evaluate (self->drill->response, active, self->classes);
  return memcmp (self->classes, self->sound, self->n_measures) != 0;
}

static double
weight_of (const Drawing *self, guint mode)
{
  double lonely = alone (self, mode);

  if (!may_fail (self, mode))
    return 0;
  return bl_cause_mode (self->drill->causes, mode)->prior * bl_response_chance (self->drill->response, mode, "")
         * (self->order->kind == BL_DRILL_PROVOKED ? 1 - lonely : lonely);
}

/* Weights of the modes that can be seen by themselves; where some have a symptom, of those only. */
static void
fill_weights (Drawing *self)
{
  g_autofree guint8 *one = g_new0 (guint8, self->n_modes + 1), *shown = g_new0 (guint8, self->n_modes + 1);
  gboolean any = FALSE;

  for (guint i = 0; i < self->n_modes; i++)
    {
      self->weights[i] = weight_of (self, i);
      one[i] = 1;
      if (self->weights[i] > 0 && !is_seen (self, one) && self->order->kind != BL_DRILL_PROVOKED)
        self->weights[i] = 0;
      shown[i] = self->weights[i] > 0 && bl_drill_symptom_of (self->drill, one) != NULL;
      any = any || shown[i];
      one[i] = 0;
    }
  /* Of two one symptom is enough, and a victim may show it: those are looked at together. */
  for (guint i = 0; any && i < self->n_modes; i++)
    if (!shown[i] && self->order->kind != BL_DRILL_TWO && self->order->kind != BL_DRILL_PROVOKED)
      self->weights[i] = 0;
}

/* --- drawing ---------------------------------------------------------------------------------- */

static guint
draw_mode (const Drawing *self, const double *weights, GRand *random)
{
  return bl_weak_draw (weights, self->n_modes, g_rand_double (random));
}

/* A second mode, of another component, that neither provokes the first nor is provoked by it. */
static guint
draw_second (const Drawing *self, guint first, GRand *random)
{
  const BlCauses *causes = self->drill->causes;
  const GArray *links = bl_response_links (self->drill->response);
  g_autofree double *weights = g_memdup2 (self->weights, (self->n_modes + 1) * sizeof *weights);

  for (guint i = 0; i < self->n_modes; i++)
    if (bl_cause_mode (causes, i)->part == bl_cause_mode (causes, first)->part)
      weights[i] = 0;
  for (guint i = 0; i < links->len; i++)
    {
      const BlResponseLink *link = &g_array_index (links, BlResponseLink, i);
      if (link->from == first || link->to == first)
        weights[link->from == first ? link->to : link->from] = 0;
    }
  return draw_mode (self, weights, random);
}

/* What a root cause provokes, at least one thing. FALSE: nothing happened to be. */
static gboolean
draw_victims (Drawing *self, guint cause, GRand *random)
{
  const GArray *links = bl_response_links (self->drill->response);
  gboolean some = FALSE;

  for (guint i = 0; i < links->len; i++)
    {
      const BlResponseLink *link = &g_array_index (links, BlResponseLink, i);
      self->fired[i] = g_rand_double (random) < link->chance;
      some = some || (self->fired[i] && link->from == cause && !self->drill->own[link->to]);
    }
  if (some)
    bl_response_spread (self->drill->response, self->drill->own, self->fired, self->drill->active);
  return some;
}

/* Two faults: each has to show beside the other. */
static gboolean
both_are_seen (const Drawing *self)
{
  g_autofree guint8 *one = g_memdup2 (self->drill->own, self->n_modes + 1);
  g_autofree guint8 *both = g_new0 (guint8, self->n_measures + 1);

  bl_response_evaluate (self->drill->response, self->drill->own, both);
  for (guint i = 0; i < self->n_modes; i++)
    if (self->drill->own[i])
      {
        one[i] = 0;
        bl_response_evaluate (self->drill->response, one, self->classes);
        one[i] = 1;
        if (memcmp (both, self->classes, self->n_measures) == 0)
          return FALSE;
      }
  return TRUE;
}

/* One try: own and active of the drill are filled in. FALSE: it is of no use. */
static gboolean
draw_once (Drawing *self, GRand *random)
{
  BlDrill *drill = self->drill;
  guint first = draw_mode (self, self->weights, random), second;

  memset (drill->own, 0, self->n_modes);
  memset (drill->active, 0, self->n_modes);
  if (first == G_MAXUINT)
    return FALSE;
  drill->own[first] = drill->active[first] = 1;
  switch (self->order->kind)
    {
    case BL_DRILL_TWO:
      second = draw_second (self, first, random);
      if (second == G_MAXUINT)
        return FALSE;
      drill->own[second] = drill->active[second] = 1;
      return both_are_seen (self);
    case BL_DRILL_PROVOKED:
      return draw_victims (self, first, random) && is_seen (self, drill->active);
    case BL_DRILL_SINGLE:
    case BL_DRILL_MISREAD:
    case BL_DRILL_CONDUCTOR:
    case BL_N_DRILL_KINDS:
    default:
      return TRUE;
    }
}

/* The first try with a symptom, else the first that can be seen at all. */
static gboolean
draw (Drawing *self, GRand *random)
{
  BlDrill *drill = self->drill;
  g_autofree guint8 *own = NULL, *active = NULL;

  for (guint i = 0; i < TRIES; i++)
    {
      if (!draw_once (self, random))
        continue;
      if (bl_len (drill->board->symptoms) == 0 || bl_drill_symptom_of (drill, drill->active) != NULL)
        return TRUE;
      if (own == NULL)
        {
          own = g_memdup2 (drill->own, self->n_modes + 1);
          active = g_memdup2 (drill->active, self->n_modes + 1);
        }
      if (self->order->kind != BL_DRILL_TWO && self->order->kind != BL_DRILL_PROVOKED)
        break; /* no other would have one */
    }
  if (own == NULL)
    return FALSE;
  memcpy (drill->own, own, self->n_modes);
  memcpy (drill->active, active, self->n_modes);
  return TRUE;
}

static gboolean
check_order (const BlDrill *drill, const BlDrillOrder *order, GError **error)
{
  for (guint i = 0; order->sections != NULL && order->sections[i] != NULL; i++)
    if (bl_board_section (drill->board, order->sections[i]) == NULL)
      {
        g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("there is no section “%s”"), order->sections[i]);
        return FALSE;
      }
  if (order->kind == BL_DRILL_CONDUCTOR && !bl_board_is_joined (drill->board))
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_IMPOSSIBLE,
                   _ ("a fault in a conductor needs an equipment, not a board alone"));
      return FALSE;
    }
  return TRUE;
}

static void
say_impossible (const BlDrillOrder *order, GError **error)
{
  static const char *const words[BL_N_DRILL_KINDS] = {
    [BL_DRILL_SINGLE] = N_ ("there is no documented fault here that a measurement would show"),
    [BL_DRILL_PROVOKED] = N_ ("no documented fault here damages another part in a way that a measurement would show"),
    [BL_DRILL_TWO] = N_ ("there are no two documented faults here that measurements would show side by side"),
    [BL_DRILL_MISREAD] = N_ ("there is no documented fault here that a measurement would show"),
    [BL_DRILL_CONDUCTOR] = N_ ("there is no documented fault of a conductor or cable that a measurement would show"),
  };

  g_set_error_literal (error, BL_CORE_ERROR, BL_CORE_ERROR_IMPOSSIBLE, _ (words[order->kind]));
}

gboolean
bl_drill_draw (BlDrill *drill, const BlDrillOrder *order, GRand *random, GError **error)
{
  guint n = bl_response_n_modes (drill->response), m = bl_len (drill->board->measurements);
  g_autofree guint8 *sound = g_new0 (guint8, m + 1), *classes = g_new0 (guint8, m + 1);
  g_autofree guint8 *fired = g_new0 (guint8, bl_response_links (drill->response)->len + 1);
  g_autofree double *weights = g_new0 (double, n + 1);
  Drawing self = { drill, order, n, m, sound, classes, fired, weights };

  if (!check_order (drill, order, error))
    return FALSE;
  bl_response_evaluate (drill->response, drill->own, sound);
  fill_weights (&self);
  if (draw (&self, random))
    return TRUE;
  say_impossible (order, error);
  return FALSE;
}

/* --- a misread probe -------------------------------------------------------------------------- */

typedef struct
{
  guint index;
  double bits;
} Telling;

static int
compare_telling (gconstpointer a, gconstpointer b)
{
  const Telling *x = a, *y = b;

  if (x->bits != y->bits)
    return x->bits > y->bits ? -1 : 1;
  return x->index < y->index ? -1 : x->index > y->index;
}

/* Adds to shares, [measurement * 256 + class], the prior of every mode with this symptom. */
static void
add_shares (const BlDrill *drill, double *shares, guint n_measures)
{
  guint n_modes = bl_response_n_modes (drill->response);
  g_autofree guint8 *one = g_new0 (guint8, n_modes + 1), *classes = g_new0 (guint8, n_measures + 1);

  for (guint i = 0; i < n_modes; i++)
    {
      one[i] = 1;
      if (g_strcmp0 (bl_drill_symptom_of (drill, one), drill->symptom) == 0)
        {
          bl_response_evaluate (drill->response, one, classes);
          for (guint m = 0; m < n_measures; m++)
            shares[m * 256 + classes[m]] += bl_cause_mode (drill->causes, i)->prior;
        }
      one[i] = 0;
    }
}

/* Measurements by how much their class would tell among single faults with this symptom. */
static GArray *
rank_telling (const BlDrill *drill)
{
  guint n = bl_len (drill->board->measurements);
  g_autofree double *shares = g_new0 (double, n * 256 + 1);
  GArray *list = g_array_new (FALSE, FALSE, sizeof (Telling));

  add_shares (drill, shares, n);
  for (guint m = 0; m < n; m++)
    {
      Telling telling = { m, 0 };
      double total = 0;
      for (guint c = 0; c < 256; c++)
        total += shares[m * 256 + c];
      for (guint c = 0; c < 256; c++)
        if (shares[m * 256 + c] > 0)
          telling.bits -= shares[m * 256 + c] / total * log2 (shares[m * 256 + c] / total);
      telling.bits = bl_settle (telling.bits);
      if (telling.bits > 0)
        g_array_append_val (list, telling);
    }
  g_array_sort (list, compare_telling);
  return list;
}

/* A reading of a wrong class, as likely as misreading has it. NULL: no value shows as another class. */
static char *
draw_wrong (const BlDrill *drill, guint index, GRand *random)
{
  const BlCauseMeasure *measure = bl_cause_measure (drill->causes, index);
  const BlMeasurement *source = bl_at (drill->board->measurements, index);
  const BlBand *band = bl_response_band (drill->response, index);
  g_autofree double *weights = g_new0 (double, band->n_classes + 1);
  guint right = drill->classes[index];

  if (source->expected.follows != NULL)
    return NULL; /* its band moves with another reading */
  for (guint c = 0; c < band->n_classes; c++)
    weights[c] = c == right ? 0 : bl_confusion (measure, measure->misread, right, c);
  for (guint c; (c = bl_weak_draw (weights, band->n_classes, g_rand_double (random))) != G_MAXUINT; weights[c] = 0)
    {
      g_autofree char *text = bl_simulate_reading (band, c, NAN, random);
      g_autoptr (BlVerdict) verdict = NULL;
      BlReading reading;

      if (!bl_reading_parse (text, source->measures, &reading, NULL))
        continue;
      verdict = bl_judge (band, &reading, NULL, NAN, 0);
      if (verdict->evidence && verdict->certain && verdict->best == c)
        return g_steal_pointer (&text);
    }
  return NULL;
}

gboolean
bl_drill_draw_misread (BlDrill *drill, GRand *random, GError **error)
{
  g_autoptr (GArray) list = rank_telling (drill);
  guint n = MIN (list->len, (guint) INFORMATIVE), from = n > 0 ? (guint) g_rand_int_range (random, 0, (gint32) n) : 0;

  for (guint i = 0; i < list->len && drill->wrong == NULL; i++)
    {
      /* One of the first few, else whichever of the others can be misread. */
      guint index = g_array_index (list, Telling, i < n ? (from + i) % n : i).index;
      drill->wrong = draw_wrong (drill, index, random);
      drill->misread = (int) index;
    }
  if (drill->wrong != NULL)
    return TRUE;
  drill->misread = -1;
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_IMPOSSIBLE, _ ("there is no measurement here that could be misread"));
  return FALSE;
}
