/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The checks of what an edition still lacks: each looks at every element it is about and adds a thing for each that
 * fails. A hundred elements, a few milliseconds at most. The kinds, their words and the list are in
 * bl-edition-checklist.c; what measurements tell apart is computed elsewhere and given. */
#include "config.h"

#include "bl-edition-checklist-private.h"

#include <glib/gi18n-lib.h>
#include <math.h>

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
    bl_checklist_add (check, BL_THING_NAME, "number", g_strdup (_ ("The board number is not said")), root, 1);
  if (is_empty (board->edition))
    bl_checklist_add (check, BL_THING_NAME, "edition", g_strdup (_ ("The edition mark is not said")), root, 0.9);
  if (is_empty (board->maker))
    bl_checklist_add (check, BL_THING_NAME, "maker", g_strdup (_ ("The maker is not said")), root, 0.5);
}

static void
check_photos (Check *check)
{
  const GPtrArray *photos = check->board->photos;

  check->concerned[BL_THING_PHOTO] = TRUE;
  if (bl_len (photos) == 0)
    bl_checklist_add_whole (check, BL_THING_PHOTO, BL_ELEMENT_PHOTO);
  for (guint i = 0; i < bl_len (photos); i++)
    {
      const BlPhoto *photo = bl_at (photos, i);
      check->concerned[BL_THING_SCALE] = TRUE;
      if (isnan (photo->mm_per_px))
        bl_checklist_add_about (check, BL_THING_SCALE, bl_ref (BL_ELEMENT_PHOTO, photo->id), 1);
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
    bl_checklist_add_whole (check, BL_THING_LIVE_STATE, BL_ELEMENT_STATE);
  if (!dead)
    bl_checklist_add_whole (check, BL_THING_DEAD_STATE, BL_ELEMENT_STATE);
  for (guint i = 0; live && i < bl_len (check->board->states); i++)
    {
      const BlState *state = bl_at (check->board->states, i);
      if (state->live != 0)
        continue;
      check->concerned[BL_THING_PROOF] = TRUE;
      if (state->dead_proof == NULL || state->dead_proof[0] == NULL)
        bl_checklist_add_about (check, BL_THING_PROOF, bl_ref (BL_ELEMENT_STATE, state->id), 1);
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
    bl_checklist_add_whole (check, BL_THING_STAGES, BL_ELEMENT_STAGE);
  for (guint i = 0; i < bl_len (board->stages); i++)
    {
      const BlStage *stage = bl_at (board->stages, i);
      BlRef ref = bl_ref (BL_ELEMENT_STAGE, stage->id);
      check->concerned[BL_THING_STAGE_UNMEASURED] = check->concerned[BL_THING_STAGE_OUTLINE] = TRUE;
      if (!is_measured (board, stage->id))
        bl_checklist_add_about (check, BL_THING_STAGE_UNMEASURED, ref, stage_share (check, stage->id));
      if (bl_len (stage->outlines) == 0 && bl_len (board->photos) > 0)
        bl_checklist_add_about (check, BL_THING_STAGE_OUTLINE, ref, stage_share (check, stage->id));
    }
  for (guint i = 0; i < bl_len (board->sections); i++)
    {
      const BlSection *section = bl_at (board->sections, i);
      gboolean any = FALSE;
      for (guint s = 0; s < bl_len (board->stages); s++)
        any = any || g_strcmp0 (((BlStage *) bl_at (board->stages, s))->section, section->id) == 0;
      check->concerned[BL_THING_SECTION_EMPTY] = TRUE;
      if (!any)
        bl_checklist_add_about (check, BL_THING_SECTION_EMPTY, bl_ref (BL_ELEMENT_SECTION, section->id), 1);
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
        bl_checklist_add_about (check, BL_THING_EXPECTED, ref, share);
      return;
    }
  if (!number)
    return;
  check->concerned[BL_THING_LIMITS] = check->concerned[BL_THING_SOURCE] = TRUE;
  if (!has_limits (&measurement->expected))
    bl_checklist_add_about (check, BL_THING_LIMITS, ref, share);
  if (is_empty (measurement->expected.source))
    bl_checklist_add_about (check, BL_THING_SOURCE, ref, MAX (share, 0.01));
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
    bl_checklist_add_whole (check, BL_THING_MEASUREMENTS, BL_ELEMENT_MEASUREMENT);
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
            bl_checklist_add_about (check, BL_THING_READS_NOTHING, ref, 0.05);
        }
      if (!needs_black (measurement))
        continue;
      check->concerned[BL_THING_BLACK] = TRUE;
      if (is_empty (measurement->black))
        bl_checklist_add_about (check, BL_THING_BLACK, ref, share);
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
        bl_checklist_add_about (check, BL_THING_PLACE, ref, 0.2);
      if (!is_used (board, point->id))
        bl_checklist_add_about (check, BL_THING_POINT_UNUSED, ref, 0.2);
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
    bl_checklist_add_about (check, BL_THING_MODES, bl_ref (BL_ELEMENT_COMPONENT, component->id), component_share (check));
  for (guint m = 0; m < bl_len (component->modes); m++)
    {
      const BlMode *mode = bl_at (component->modes, m);
      check->concerned[BL_THING_EFFECT] = TRUE;
      if (bl_len (mode->effects) == 0 && bl_len (mode->provokes) == 0)
        bl_checklist_add_about (check, BL_THING_EFFECT, bl_ref_mode (BL_ELEMENT_MODE, component->id, mode->mode, 0),
                   mode_share (check, component->id, mode->mode));
    }
}

static void
check_components (Check *check)
{
  const BlBoard *board = check->board;

  check->concerned[BL_THING_COMPONENTS] = TRUE;
  if (bl_len (board->components) == 0)
    bl_checklist_add_whole (check, BL_THING_COMPONENTS, BL_ELEMENT_COMPONENT);
  for (guint i = 0; i < bl_len (board->components); i++)
    check_modes (check, bl_at (board->components, i));
  check->concerned[BL_THING_WEIGHTS] = bl_len (board->components) > 1;
  if (all_weigh_the_same (board))
    bl_checklist_add_whole (check, BL_THING_WEIGHTS, BL_ELEMENT_COMPONENT);
}

static void
check_symptoms (Check *check)
{
  check->concerned[BL_THING_SYMPTOMS] = check->concerned[BL_THING_INDICATIONS] = TRUE;
  if (bl_len (check->board->symptoms) == 0)
    bl_checklist_add_whole (check, BL_THING_SYMPTOMS, BL_ELEMENT_SYMPTOM);
  if (bl_len (check->board->indications) == 0)
    bl_checklist_add_whole (check, BL_THING_INDICATIONS, BL_ELEMENT_INDICATION);
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
      bl_checklist_add_about (check, BL_THING_INVISIBLE, bl_ref_mode (BL_ELEMENT_MODE, halves[0], halves[1], 0),
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
      bl_checklist_add (check, BL_THING_GROUP, names->str,
           help != NULL ? g_strdup_printf (_ ("%s cannot be told apart; %s"), names->str, help)
                        : g_strdup_printf (_ ("%s cannot be told apart"), names->str),
           bl_ref (BL_ELEMENT_COMPONENT, bl_at (group->components, 0)),
           check->total > 0 ? group->weight / check->total * (n - 1) / n : 0);
    }
}

void
bl_checklist_run (Check *check)
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
