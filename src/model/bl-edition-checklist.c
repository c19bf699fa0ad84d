/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What an edition still lacks. Each check looks at every element it is about and adds a thing for each that fails;
 * the things are ordered by the share of the board's faults, by weight, that they stand between, times a factor of
 * their kind (own choice, in the table): a stage without a measurement hides all its faults, a band without a source
 * none. A hundred elements, a few milliseconds at most; what measurements tell apart is computed elsewhere and
 * given. Over 600 lines, for the checks are one table and a short function each.
 */
#include "config.h"

#include "bl-edition-checklist.h"

#include "bl-library-equipment.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

/* factor: how much of the faults concerned the thing costs; those above 1 come before all others, in this order. */
static const struct
{
  const char *name; /* in the key, never translated */
  double factor;
  const char *words; /* after the element's name; NULL: a whole sentence of its own */
  const char *why;
} kinds[BL_N_THINGS] = {
  [BL_THING_PHOTO] = { "photo", 90, N_ ("There is no photo"), N_ ("Without a photo nobody finds the points.") },
  [BL_THING_LIVE_STATE]
  = { "live-state", 80, N_ ("There is no powered board state"),
      N_ ("A reading means something only with the state it is taken in, and says which hazard is there.") },
  [BL_THING_STAGES] = { "stages", 70, N_ ("There is no stage"),
                        N_ ("Readings are judged, but no stage is found to have failed.") },
  [BL_THING_MEASUREMENTS]
  = { "measurements", 60, N_ ("There is no measurement"), N_ ("Nothing can be compared.") },
  [BL_THING_COMPONENTS]
  = { "components", 50, N_ ("There is no component"), N_ ("A stage is found, but no suspect in it.") },
  [BL_THING_PROOF] = { "proof", 40, N_ ("no measurement proves it dead"),
                       N_ ("Charge stays after power is off: before touching it has to be measured.") },
  [BL_THING_DEAD_STATE] = { "dead-state", 0.3, N_ ("There is no unpowered board state"),
                            N_ ("Ohms, diodes and parts are tested without power.") },
  [BL_THING_STAGE_UNMEASURED] = { "stage-unmeasured", 1, N_ ("nothing is measured in it"),
                                  N_ ("Its faults show only where they reach another stage.") },
  [BL_THING_EXPECTED] = { "expected", 0.9, N_ ("no expected value"), N_ ("What is read there is not judged.") },
  [BL_THING_LIMITS] = { "limits", 0.5, N_ ("no limits"), N_ ("Near and far from the value cannot be told apart.") },
  [BL_THING_READS_NOTHING] = { "reads", 0.8, N_ ("belongs to no stage and no failure mode acts on it"),
                               N_ ("Its reading leads to no stage and to no component.") },
  [BL_THING_BLACK] = { "black", 0.4, N_ ("no point for the black lead"),
                       N_ ("Against another reference the same point reads something else.") },
  [BL_THING_PLACE] = { "place", 0.4, N_ ("waits for its place on the photo"), N_ ("It is not found with the probe.") },
  [BL_THING_POINT_UNUSED]
  = { "point-unused", 0.1, N_ ("nothing is measured there"), N_ ("A point is there and tells nothing yet.") },
  [BL_THING_MODES] = { "modes", 0.8, N_ ("no failure mode"), N_ ("It can never become a suspect.") },
  [BL_THING_EFFECT] = { "effect", 0.9, N_ ("no effect"), N_ ("No reading speaks for it or against it.") },
  [BL_THING_INVISIBLE] = { "invisible", 0.7, N_ ("no measurement shows it"),
                           N_ ("Good readings never clear it, bad ones never point to it.") },
  [BL_THING_GROUP] = { "group", 0.5, NULL, N_ ("They stay suspects together whatever is read.") },
  [BL_THING_WEIGHTS] = { "weights", 0.2, N_ ("All failure modes weigh the same"),
                         N_ ("What fails often should be suspected before what hardly ever fails.") },
  [BL_THING_SECTION_EMPTY]
  = { "section-empty", 0.1, N_ ("no stage in it"), N_ ("A section without a stage finds nothing.") },
  [BL_THING_SYMPTOMS] = { "symptoms", 0.15, N_ ("There is no symptom"),
                          N_ ("What the customer tells narrows the faults before the first reading.") },
  [BL_THING_INDICATIONS] = { "indications", 0.05, N_ ("No lamp says what it shows"),
                             N_ ("What the board blinks is a reading for nothing.") },
  [BL_THING_SOURCE]
  = { "source", 0.02, N_ ("nobody said where its values are from"), N_ ("The next one has to know how far to trust it.") },
  [BL_THING_STAGE_OUTLINE]
  = { "outline", 0.03, N_ ("no outline on the photo"), N_ ("The failed stage is shown on the photo by its outline.") },
  [BL_THING_SCALE] = { "scale", 0.01, N_ ("no scale"), N_ ("Distances on the photo cannot be told in mm.") },
  [BL_THING_NAME] = { "name", 0.04, NULL, N_ ("The next technician finds the board by it, and no other edition.") },
};

typedef struct
{
  const BlBoard *board;
  const BlCoverage *coverage;
  GHashTable *aside, *outside, *weights; /* stage id -> double * */
  double total;                /* of all failure modes */
  BlChecklist *list;
  gboolean concerned[BL_N_THINGS], open[BL_N_THINGS];
} Check;

/* --- things --- */

static void
thing_free (gpointer data)
{
  BlThing *thing = data;

  g_free (thing->key);
  g_free (thing->words);
  g_free (thing);
}

/* Takes words. subject: what tells it from others of its kind. */
static void
add (Check *check, BlThingKind kind, const char *subject, char *words, BlRef ref, double share)
{
  BlThing *thing = g_new0 (BlThing, 1);
  gboolean aside;

  thing->kind = kind;
  thing->key = g_strdup_printf ("%s\t%s", kinds[kind].name, subject);
  thing->words = words;
  thing->why = _ (kinds[kind].why);
  thing->ref = ref;
  thing->share = kinds[kind].factor > 1 ? kinds[kind].factor : kinds[kind].factor * CLAMP (share, 0, 1);
  aside = check->aside != NULL && g_hash_table_contains (check->aside, thing->key);
  check->open[kind] = check->open[kind] || !aside;
  g_ptr_array_add (aside ? check->list->aside : check->list->open, thing);
}

/* "M5, 5 V rail: no limits" */
static void
add_about (Check *check, BlThingKind kind, BlRef ref, double share)
{
  g_autofree char *name = bl_ref_words (check->board, &ref), *key = bl_ref_key (&ref);

  add (check, kind, key, g_strdup_printf ("%s: %s", name, _ (kinds[kind].words)), ref, share);
}

static void
add_whole (Check *check, BlThingKind kind, BlElement element)
{
  add (check, kind, "", g_strdup (_ (kinds[kind].words)), bl_ref (element, NULL), 1);
}

static gboolean
is_empty (const char *text)
{
  return text == NULL || *text == '\0';
}

/* --- weights --- */

static double
weight_of (const Check *check, const BlComponent *component)
{
  double sum = 0;

  for (guint i = 0; i < bl_len (component->modes); i++)
    {
      double weight = bl_board_mode_weight (check->board, component, bl_at (component->modes, i));
      sum += isfinite (weight) ? weight : 0;
    }
  return sum;
}

static void
weigh (Check *check)
{
  for (guint i = 0; i < bl_len (check->board->components); i++)
    {
      const BlComponent *component = bl_at (check->board->components, i);
      double weight = weight_of (check, component), *sum;
      check->total += weight;
      if (component->stage == NULL)
        continue;
      sum = g_hash_table_lookup (check->weights, component->stage);
      if (sum == NULL)
        {
          sum = g_new0 (double, 1);
          g_hash_table_insert (check->weights, component->stage, sum);
        }
      *sum += weight;
    }
}

/* Share of the faults in a stage; where nothing has a weight yet, stages are alike. */
static double
stage_share (const Check *check, const char *stage)
{
  const double *weight = stage != NULL ? g_hash_table_lookup (check->weights, stage) : NULL;

  if (!(check->total > 0))
    return 1. / MAX (bl_len (check->board->stages), 1);
  return weight != NULL ? *weight / check->total : 0;
}

/* Of one component without modes: as heavy as the average. */
static double
component_share (const Check *check)
{
  return 1. / MAX (bl_len (check->board->components), 1);
}

static double
mode_share (const Check *check, const char *component, const char *mode)
{
  const BlComponent *found = bl_board_component (check->board, component);
  const BlMode *of = found != NULL ? bl_component_mode (found, mode) : NULL;
  double weight = of != NULL ? bl_board_mode_weight (check->board, found, of) : 0;

  return check->total > 0 && isfinite (weight) ? weight / check->total : 0;
}

/* --- checks --- */

static void
check_names (Check *check)
{
  const BlBoard *board = check->board;
  BlRef root = bl_ref (BL_ELEMENT_BOARD, NULL);

  check->concerned[BL_THING_NAME] = TRUE;
  if (is_empty (board->board_number))
    add (check, BL_THING_NAME, "number", g_strdup (_ ("The board number is not said")), root, 1);
  if (is_empty (board->edition))
    add (check, BL_THING_NAME, "edition", g_strdup (_ ("The edition mark is not said")), root, 0.9);
  if (is_empty (board->maker))
    add (check, BL_THING_NAME, "maker", g_strdup (_ ("The maker is not said")), root, 0.5);
}

static void
check_photos (Check *check)
{
  const GPtrArray *photos = check->board->photos;

  check->concerned[BL_THING_PHOTO] = TRUE;
  if (bl_len (photos) == 0)
    add_whole (check, BL_THING_PHOTO, BL_ELEMENT_PHOTO);
  for (guint i = 0; i < bl_len (photos); i++)
    {
      const BlPhoto *photo = bl_at (photos, i);
      check->concerned[BL_THING_SCALE] = TRUE;
      if (isnan (photo->mm_per_px))
        add_about (check, BL_THING_SCALE, bl_ref (BL_ELEMENT_PHOTO, photo->id), 1);
    }
}

static void
check_states (Check *check)
{
  gboolean live = FALSE, dead = FALSE;

  for (guint i = 0; i < bl_len (check->board->states); i++)
    {
      const BlState *state = bl_at (check->board->states, i);
      live = live || state->live == 1;
      dead = dead || state->live == 0;
    }
  check->concerned[BL_THING_LIVE_STATE] = check->concerned[BL_THING_DEAD_STATE] = TRUE;
  if (!live)
    add_whole (check, BL_THING_LIVE_STATE, BL_ELEMENT_STATE);
  if (!dead)
    add_whole (check, BL_THING_DEAD_STATE, BL_ELEMENT_STATE);
  for (guint i = 0; live && i < bl_len (check->board->states); i++)
    {
      const BlState *state = bl_at (check->board->states, i);
      if (state->live != 0)
        continue;
      check->concerned[BL_THING_PROOF] = TRUE;
      if (state->dead_proof == NULL || state->dead_proof[0] == NULL)
        add_about (check, BL_THING_PROOF, bl_ref (BL_ELEMENT_STATE, state->id), 1);
    }
}

static gboolean
acts_on_any (const BlBoard *board, const BlComponent *component)
{
  for (guint i = 0; i < bl_len (board->measurements); i++)
    if (bl_component_acts_on (component, ((BlMeasurement *) bl_at (board->measurements, i))->id))
      return TRUE;
  return FALSE;
}

/* In a closed loop no measurement reads one stage: there a stage is measured where its faults are seen by themselves. */
static gboolean
is_measured (const BlBoard *board, const char *stage)
{
  for (guint i = 0; i < bl_len (board->measurements); i++)
    if (g_strcmp0 (((BlMeasurement *) bl_at (board->measurements, i))->reads, stage) == 0)
      return TRUE;
  for (guint i = 0; i < bl_len (board->components); i++)
    {
      const BlComponent *component = bl_at (board->components, i);
      if (g_strcmp0 (component->stage, stage) == 0 && acts_on_any (board, component))
        return TRUE;
    }
  return FALSE;
}

static void
check_stages (Check *check)
{
  const BlBoard *board = check->board;

  check->concerned[BL_THING_STAGES] = TRUE;
  if (bl_len (board->stages) == 0)
    add_whole (check, BL_THING_STAGES, BL_ELEMENT_STAGE);
  for (guint i = 0; i < bl_len (board->stages); i++)
    {
      const BlStage *stage = bl_at (board->stages, i);
      BlRef ref = bl_ref (BL_ELEMENT_STAGE, stage->id);
      check->concerned[BL_THING_STAGE_UNMEASURED] = check->concerned[BL_THING_STAGE_OUTLINE] = TRUE;
      if (!is_measured (board, stage->id))
        add_about (check, BL_THING_STAGE_UNMEASURED, ref, stage_share (check, stage->id));
      if (bl_len (stage->outlines) == 0 && bl_len (board->photos) > 0)
        add_about (check, BL_THING_STAGE_OUTLINE, ref, stage_share (check, stage->id));
    }
  for (guint i = 0; i < bl_len (board->sections); i++)
    {
      const BlSection *section = bl_at (board->sections, i);
      gboolean any = FALSE;
      for (guint s = 0; s < bl_len (board->stages); s++)
        any = any || g_strcmp0 (((BlStage *) bl_at (board->stages, s))->section, section->id) == 0;
      check->concerned[BL_THING_SECTION_EMPTY] = TRUE;
      if (!any)
        add_about (check, BL_THING_SECTION_EMPTY, bl_ref (BL_ELEMENT_SECTION, section->id), 1);
    }
}

/* Whether a mode of any component, or a fault outside the board, acts on it by name. */
static gboolean
acted_on (const Check *check, const char *measurement)
{
  const BlBoard *board = check->board;

  if (check->outside != NULL && g_hash_table_contains (check->outside, measurement))
    return TRUE;
  for (guint i = 0; i < bl_len (board->components); i++)
    if (bl_component_acts_on (bl_at (board->components, i), measurement))
      return TRUE;
  return FALSE;
}

static gboolean
is_proof (const BlBoard *board, const char *measurement)
{
  for (guint i = 0; i < bl_len (board->states); i++)
    {
      const BlState *state = bl_at (board->states, i);
      if (state->dead_proof != NULL && g_strv_contains ((const char *const *) state->dead_proof, measurement))
        return TRUE;
    }
  return FALSE;
}

static gboolean
has_limits (const BlExpected *expected)
{
  return !is_empty (expected->tolerance) || !isnan (expected->low.value) || !isnan (expected->high.value)
         || expected->follows != NULL || expected->has_min || expected->has_max;
}

/* A check's answer needs no limits, and is its own source. */
static void
check_expected (Check *check, const BlMeasurement *measurement, double share)
{
  BlRef ref = bl_ref (BL_ELEMENT_MEASUREMENT, measurement->id);
  gboolean number = measurement->measures != BL_MEASURES_CHECK && measurement->measures != BL_MEASURES_CONTINUITY;

  check->concerned[BL_THING_EXPECTED] = TRUE;
  if (!measurement->has_expected)
    {
      /* A check is expected to be true where nothing is said. */
      if (measurement->measures != BL_MEASURES_CHECK)
        add_about (check, BL_THING_EXPECTED, ref, share);
      return;
    }
  if (!number)
    return;
  check->concerned[BL_THING_LIMITS] = check->concerned[BL_THING_SOURCE] = TRUE;
  if (!has_limits (&measurement->expected))
    add_about (check, BL_THING_LIMITS, ref, share);
  if (is_empty (measurement->expected.source))
    add_about (check, BL_THING_SOURCE, ref, MAX (share, 0.01));
}

static gboolean
needs_black (const BlMeasurement *measurement)
{
  return measurement->at != NULL && measurement->measures <= BL_MEASURES_V_PP;
}

static void
check_measurements (Check *check)
{
  const BlBoard *board = check->board;

  check->concerned[BL_THING_MEASUREMENTS] = TRUE;
  if (bl_len (board->measurements) == 0)
    add_whole (check, BL_THING_MEASUREMENTS, BL_ELEMENT_MEASUREMENT);
  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (board->measurements, i);
      BlRef ref = bl_ref (BL_ELEMENT_MEASUREMENT, measurement->id);
      double share = measurement->reads != NULL ? MAX (stage_share (check, measurement->reads), 0.02) : 0.05;
      check_expected (check, measurement, share);
      if (bl_len (board->stages) > 0)
        {
          check->concerned[BL_THING_READS_NOTHING] = TRUE;
          if (measurement->reads == NULL && !acted_on (check, measurement->id) && !is_proof (board, measurement->id))
            add_about (check, BL_THING_READS_NOTHING, ref, 0.05);
        }
      if (!needs_black (measurement))
        continue;
      check->concerned[BL_THING_BLACK] = TRUE;
      if (is_empty (measurement->black))
        add_about (check, BL_THING_BLACK, ref, share);
    }
}

static gboolean
is_used (const BlBoard *board, const char *point)
{
  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (board->measurements, i);
      if (g_strcmp0 (measurement->at, point) == 0 || g_strcmp0 (measurement->black, point) == 0)
        return TRUE;
    }
  return FALSE;
}

static void
check_points (Check *check)
{
  const BlBoard *board = check->board;

  for (guint i = 0; i < bl_len (board->test_points); i++)
    {
      const BlTestPoint *point = bl_at (board->test_points, i);
      BlRef ref = bl_ref (BL_ELEMENT_TEST_POINT, point->id);
      check->concerned[BL_THING_PLACE] = check->concerned[BL_THING_POINT_UNUSED] = TRUE;
      if (point->photo == NULL && bl_len (board->photos) > 0)
        add_about (check, BL_THING_PLACE, ref, 0.2);
      if (!is_used (board, point->id))
        add_about (check, BL_THING_POINT_UNUSED, ref, 0.2);
    }
}

static gboolean
all_weigh_the_same (const BlBoard *board)
{
  double first = NAN;
  guint n = 0;

  for (guint c = 0; c < bl_len (board->components); c++)
    {
      const BlComponent *component = bl_at (board->components, c);
      for (guint m = 0; m < bl_len (component->modes); m++)
        {
          double weight = bl_board_mode_weight (board, component, bl_at (component->modes, m));
          if (n++ == 0)
            first = weight;
          else if (weight != first)
            return FALSE;
        }
    }
  return n > 2;
}

static void
check_modes (Check *check, const BlComponent *component)
{
  check->concerned[BL_THING_MODES] = TRUE;
  if (bl_len (component->modes) == 0)
    add_about (check, BL_THING_MODES, bl_ref (BL_ELEMENT_COMPONENT, component->id), component_share (check));
  for (guint m = 0; m < bl_len (component->modes); m++)
    {
      const BlMode *mode = bl_at (component->modes, m);
      check->concerned[BL_THING_EFFECT] = TRUE;
      if (bl_len (mode->effects) == 0 && bl_len (mode->provokes) == 0)
        add_about (check, BL_THING_EFFECT, bl_ref_mode (BL_ELEMENT_MODE, component->id, mode->mode, 0),
                   mode_share (check, component->id, mode->mode));
    }
}

static void
check_components (Check *check)
{
  const BlBoard *board = check->board;

  check->concerned[BL_THING_COMPONENTS] = TRUE;
  if (bl_len (board->components) == 0)
    add_whole (check, BL_THING_COMPONENTS, BL_ELEMENT_COMPONENT);
  for (guint i = 0; i < bl_len (board->components); i++)
    check_modes (check, bl_at (board->components, i));
  check->concerned[BL_THING_WEIGHTS] = bl_len (board->components) > 1;
  if (all_weigh_the_same (board))
    add_whole (check, BL_THING_WEIGHTS, BL_ELEMENT_COMPONENT);
}

static void
check_symptoms (Check *check)
{
  check->concerned[BL_THING_SYMPTOMS] = check->concerned[BL_THING_INDICATIONS] = TRUE;
  if (bl_len (check->board->symptoms) == 0)
    add_whole (check, BL_THING_SYMPTOMS, BL_ELEMENT_SYMPTOM);
  if (bl_len (check->board->indications) == 0)
    add_whole (check, BL_THING_INDICATIONS, BL_ELEMENT_INDICATION);
}

/* --- what measurements tell --- */

static void
check_invisible (Check *check)
{
  for (guint i = 0; i < bl_len (check->coverage->invisible); i++)
    {
      g_auto (GStrv) halves = g_strsplit (bl_at (check->coverage->invisible, i), ":", 2);
      const BlComponent *component = halves[0] != NULL ? bl_board_component (check->board, halves[0]) : NULL;
      const BlMode *mode = component != NULL && halves[1] != NULL ? bl_component_mode (component, halves[1]) : NULL;
      /* One without an effect is told as that. */
      if (mode == NULL || bl_len (mode->effects) + bl_len (mode->provokes) == 0)
        continue;
      add_about (check, BL_THING_INVISIBLE, bl_ref_mode (BL_ELEMENT_MODE, halves[0], halves[1], 0),
                 mode_share (check, halves[0], halves[1]));
    }
}

/* The measurement that would gain most, where it lies in the stage of one of these components. */
static char *
help_for (const Check *check, const BlCoverageGroup *group)
{
  for (guint i = 0; i < bl_len (check->coverage->one_more); i++)
    {
      const BlOneMore *more = bl_at (check->coverage->one_more, i);
      for (guint c = 0; c < bl_len (group->components); c++)
        {
          const BlComponent *component = bl_board_component (check->board, bl_at (group->components, c));
          if (component == NULL)
            continue;
          if (more->stage != NULL && g_strcmp0 (component->stage, more->stage) == 0)
            {
              BlRef ref = bl_ref (BL_ELEMENT_STAGE, more->stage);
              g_autofree char *stage = bl_ref_words (check->board, &ref);
              return more->point != NULL ? g_strdup_printf (_ ("%s would part them, at %s"), stage, more->point)
                                         : g_strdup_printf (_ ("a measurement of %s would part them"), stage);
            }
          if (more->stage == NULL && g_strcmp0 (more->component, component->id) == 0)
            return g_strdup_printf (_ ("a test of %s by itself would part them"), component->id);
        }
    }
  return NULL;
}

static void
check_groups (Check *check)
{
  for (guint i = 0; i < bl_len (check->coverage->groups); i++)
    {
      const BlCoverageGroup *group = bl_at (check->coverage->groups, i);
      guint n = bl_len (group->components);
      g_autoptr (GString) names = g_string_new (NULL);
      g_autofree char *help = NULL;
      if (n < 2)
        continue;
      for (guint c = 0; c < n; c++)
        g_string_append_printf (names, "%s%s", c > 0 ? ", " : "", (char *) bl_at (group->components, c));
      help = help_for (check, group);
      add (check, BL_THING_GROUP, names->str,
           help != NULL ? g_strdup_printf (_ ("%s cannot be told apart; %s"), names->str, help)
                        : g_strdup_printf (_ ("%s cannot be told apart"), names->str),
           bl_ref (BL_ELEMENT_COMPONENT, bl_at (group->components, 0)),
           check->total > 0 ? group->weight / check->total * (n - 1) / n : 0);
    }
}

/* --- the list --- */

static int
by_share (gconstpointer a, gconstpointer b)
{
  const BlThing *one = *(BlThing *const *) a, *two = *(BlThing *const *) b;

  if (one->share != two->share)
    return one->share > two->share ? -1 : 1;
  if (one->kind != two->kind)
    return one->kind < two->kind ? -1 : 1;
  return strcmp (one->key, two->key);
}

gboolean
bl_checklist_needs_coverage (const BlBoard *board)
{
  g_return_val_if_fail (board != NULL, FALSE);
  return bl_len (board->stages) > 0 && bl_len (board->components) > 0;
}

static void
run_checks (Check *check)
{
  weigh (check);
  check_photos (check);
  check_states (check);
  check_stages (check);
  check_measurements (check);
  check_points (check);
  check_components (check);
  check_symptoms (check);
  check_names (check);
  if (!bl_checklist_needs_coverage (check->board))
    return;
  check->concerned[BL_THING_INVISIBLE] = check->concerned[BL_THING_GROUP] = TRUE;
  if (check->coverage == NULL)
    {
      check->open[BL_THING_INVISIBLE] = check->open[BL_THING_GROUP] = TRUE;
      return;
    }
  check_invisible (check);
  check_groups (check);
}

BlChecklist *
bl_checklist_new (const BlBoard *board, const BlCoverage *coverage, const BlChecklistBeside *beside)
{
  g_return_val_if_fail (board != NULL, NULL);
  Check check = { .board = board, .coverage = coverage };
  g_autoptr (GHashTable) weights = g_hash_table_new_full (g_str_hash, g_str_equal, NULL, g_free);
  BlChecklist *self = g_new0 (BlChecklist, 1);

  self->open = g_ptr_array_new_with_free_func (thing_free);
  self->aside = g_ptr_array_new_with_free_func (thing_free);
  check.list = self;
  check.weights = weights;
  if (beside != NULL)
    {
      check.aside = beside->aside;
      check.outside = beside->outside;
    }
  run_checks (&check);
  g_ptr_array_sort (self->open, by_share);
  g_ptr_array_sort (self->aside, by_share);
  self->usable = TRUE;
  for (guint kind = 0; kind < BL_N_THINGS; kind++)
    {
      self->n_checks += check.concerned[kind];
      self->n_done += check.concerned[kind] && !check.open[kind];
      if (kind <= BL_THING_PROOF && check.open[kind])
        self->usable = FALSE;
    }
  return self;
}

void
bl_checklist_free (BlChecklist *self)
{
  if (self == NULL)
    return;
  g_ptr_array_unref (self->open);
  g_ptr_array_unref (self->aside);
  g_free (self);
}

const BlThing *
bl_checklist_next (const BlChecklist *self, const char *key)
{
  g_return_val_if_fail (self != NULL, NULL);

  for (guint i = 0; key != NULL && i < self->open->len; i++)
    if (g_str_equal (((BlThing *) bl_at (self->open, i))->key, key))
      return bl_at (self->open, (i + 1) % self->open->len);
  return self->open->len > 0 ? bl_at (self->open, 0) : NULL;
}

const BlThing *
bl_checklist_find (const BlChecklist *self, const char *key)
{
  g_return_val_if_fail (self != NULL, NULL);

  for (guint i = 0; key != NULL && i < self->open->len; i++)
    if (g_str_equal (((BlThing *) bl_at (self->open, i))->key, key))
      return bl_at (self->open, i);
  for (guint i = 0; key != NULL && i < self->aside->len; i++)
    if (g_str_equal (((BlThing *) bl_at (self->aside, i))->key, key))
      return bl_at (self->aside, i);
  return NULL;
}

char *
bl_checklist_progress (const BlChecklist *self)
{
  g_return_val_if_fail (self != NULL, NULL);
  /* Translators: checks that are done, checks in all, what that means */
  return g_strdup_printf (_ ("%u of %u · %s"), self->n_done, self->n_checks,
                          self->usable ? _ ("usable for diagnosis") : _ ("not usable for diagnosis yet"));
}

char *
bl_checklist_summary (const BlChecklist *self)
{
  g_return_val_if_fail (self != NULL, NULL);
  g_autofree char *progress = bl_checklist_progress (self);

  return self->open->len == 0
           ? g_steal_pointer (&progress)
           : g_strdup_printf (ngettext ("%s · %u thing missing", "%s · %u things missing", self->open->len), progress,
                              self->open->len);
}

/* --- beside the document --- */

void
bl_checklist_beside_read (BlChecklistBeside *self, BlLibrary *library, gint64 board)
{
  g_return_if_fail (self != NULL && library != NULL);

  g_clear_pointer (&self->aside, g_hash_table_unref);
  self->aside = bl_library_things_aside (library, board, NULL);
  if (self->outside == NULL)
    self->outside = bl_library_acted_on_from_outside (library, board, NULL);
}

void
bl_checklist_beside_clear (BlChecklistBeside *self)
{
  g_clear_pointer (&self->aside, g_hash_table_unref);
  g_clear_pointer (&self->outside, g_hash_table_unref);
}

/* --- not to be done --- */

typedef struct
{
  const char *key;
  gboolean aside;
} Setting;

static gboolean
keep_aside (BlEdition *edition, gpointer data, GError **error)
{
  const Setting *setting = data;

  return bl_library_set_aside (bl_edition_get_library (edition), bl_edition_get_id (edition), setting->key,
                               setting->aside, error);
}

gboolean
bl_edition_set_aside (BlEdition *edition, const BlThing *thing, gboolean aside, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (edition) && thing != NULL, FALSE);
  g_autofree char *key = g_strdup (thing->key);
  g_autofree char *label = g_strdup_printf (aside ? _ ("set aside: %s") : _ ("on the list again: %s"), thing->words);
  Setting setting = { key, aside };

  return bl_edition_aside (edition, label, keep_aside, &setting, error);
}
