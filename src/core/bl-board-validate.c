/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The rules of a board document, on the structs: so the editor is held to the same as a file, with
 * the same paths. What measurements expect is in bl-measurement-validate.c, ids, references and
 * loops of feeds in bl-check.c.
 *
 * Strict where silence would give wrong odds or a broken screen (an effect on nothing, an outline
 * of no photo), silent where the format leaves things open (a value, a kind, a lamp without a
 * name). */
#include "config.h"

#include "bl-check.h"

#include <string.h>

#include <glib/gi18n-lib.h>

/* --- Places ----------------------------------------------------------------------------------- */

static void
check_points (BlCheck *check, const GArray *points, guint at_least, const BlPath *path)
{
  BlPath at = BL_PATH_KEY (path, "points");
  guint n = points != NULL ? points->len / 2 : 0;
  if (n < at_least)
    bl_report_error (check->report, &at, _("expected at least %u points"), at_least);
  for (guint i = 0; i < 2 * n; i++)
    if (!isfinite (g_array_index (points, double, i)))
      {
        BlPath point = BL_PATH_INDEX (&at, i / 2);
        bl_report_error (check->report, &point, _("must be finite"));
      }
}

static void
check_outlines (BlCheck *check, const GPtrArray *outlines, const BlPath *path)
{
  BlPath list = BL_PATH_KEY (path, "outlines");
  for (guint i = 0; i < bl_len (outlines); i++)
    {
      const BlOutline *outline = bl_at (outlines, i);
      BlPath at = BL_PATH_INDEX (&list, i);
      bl_check_reference (check, check->photos, outline->photo, TRUE, _("photo"), &at, "photo");
      check_points (check, outline->points, 3, &at);
    }
}

static void
check_place (BlCheck *check, const char *photo, double x, double y, const BlPath *path)
{
  bl_check_reference (check, check->photos, photo, FALSE, _("photo"), path, "photo");
  bl_check_range (check, x, -G_MAXDOUBLE, G_MAXDOUBLE, FALSE, path, "x");
  bl_check_range (check, y, -G_MAXDOUBLE, G_MAXDOUBLE, FALSE, path, "y");
}

gboolean
bl_check_is_inside (const char *file)
{
  g_auto (GStrv) parts = g_strsplit (file, "/", -1);
  if (parts[0] == NULL || strchr (file, '\\') != NULL || strchr (file, ':') != NULL)
    return FALSE;
  for (guint i = 0; parts[i] != NULL; i++)
    if (parts[i][0] == '\0' || g_str_equal (parts[i], ".") || g_str_equal (parts[i], ".."))
      return FALSE;
  return TRUE;
}

void
bl_check_photos (BlCheck *check, const GPtrArray *photos, const BlPath *path)
{
  bl_check_ids (check, photos, "id", path);
  for (guint i = 0; i < bl_len (photos); i++)
    {
      const BlPhoto *photo = bl_at (photos, i);
      BlPath at = BL_PATH_INDEX (path, i), side = BL_PATH_KEY (&at, "side"),
             file = BL_PATH_KEY (&at, "file"), landmarks = BL_PATH_KEY (&at, "landmarks");
      if (photo->side != NULL && !g_str_equal (photo->side, "front") &&
          !g_str_equal (photo->side, "back"))
        bl_report_error (check->report, &side, _("expected front or back"));
      if (photo->file != NULL && !bl_check_is_inside (photo->file))
        bl_report_error (check->report, &file,
                         _("“%s”: expected a path inside the bundle, as “photos/front.jpg”"),
                         photo->file);
      bl_check_range (check, photo->mm_per_px, 0, INFINITY, TRUE, &at, "mm_per_px");
      bl_check_ids (check, photo->landmarks, "id", &landmarks);
      for (guint j = 0; j < bl_len (photo->landmarks); j++)
        {
          const BlLandmark *landmark = bl_at (photo->landmarks, j);
          check_place (check, NULL, landmark->x, landmark->y, &BL_PATH_INDEX (&landmarks, j));
        }
    }
}

void
bl_check_test_points (BlCheck *check, const GPtrArray *test_points, const BlPath *path)
{
  static const char *const grounds[] = { "hot", "isolated", "mains", "earth", NULL };
  bl_check_ids (check, test_points, "id", path);
  for (guint i = 0; i < bl_len (test_points); i++)
    {
      const BlTestPoint *point = bl_at (test_points, i);
      BlPath at = BL_PATH_INDEX (path, i), ground = BL_PATH_KEY (&at, "ground");
      check_place (check, point->photo, point->x, point->y, &at);
      if (point->ground != NULL && !g_strv_contains (grounds, point->ground))
        bl_report_error (check->report, &ground, _("expected hot, isolated, mains or earth"));
      bl_check_range (check, point->source_ohm.value, 0, INFINITY, FALSE, &at, "source_ohm");
    }
}

/* --- States, odds, symptoms ------------------------------------------------------------------- */

static void
check_references (BlCheck *check,
                  GHashTable *table,
                  char *const *ids,
                  const char *what,
                  const BlPath *path,
                  const char *key)
{
  BlPath list = BL_PATH_KEY (path, key);
  for (guint i = 0; ids != NULL && ids[i] != NULL; i++)
    {
      BlPath at = BL_PATH_INDEX (&list, i);
      if (!g_hash_table_contains (table, ids[i]))
        bl_report_error (check->report, &at, _("there is no %s “%s”"), what, ids[i]);
    }
}

void
bl_check_states (BlCheck *check, const GPtrArray *states, const BlPath *path)
{
  bl_check_ids (check, states, "id", path);
  for (guint i = 0; i < bl_len (states); i++)
    {
      const BlState *state = bl_at (states, i);
      BlPath at = BL_PATH_INDEX (path, i);
      bl_check_range (check, state->volts, 0, INFINITY, FALSE, &at, "volts");
      bl_check_range (check, state->enter_s, 0, INFINITY, FALSE, &at, "enter_s");
      bl_check_range (check, state->lasts_s, 0, INFINITY, TRUE, &at, "lasts_s");
      check_references (check, check->measurements, state->dead_proof, _("measurement"), &at,
                        "dead_proof");
      bl_check_reference (check, check->components, state->capacitor, FALSE, _("component"), &at, "capacitor");
      bl_check_reference (check, check->components, state->bleeder, FALSE, _("component"), &at, "bleeder");
    }
}

void
bl_check_odds (BlCheck *check, const BlOdds *odds, const BlPath *path)
{
  bl_check_range (check, odds->faults, 0, 1, FALSE, path, "faults");
  bl_check_range (check, odds->elsewhere, 0, 1, FALSE, path, "elsewhere");
  bl_check_range (check, odds->other, 0, 1, FALSE, path, "other");
  bl_check_range (check, odds->setup, 0, 1, FALSE, path, "setup");
  bl_check_range (check, odds->misreport, 0, 1, FALSE, path, "misreport");
}

/* One of is: a deviation of the stage, or a class of the measurement that is not the good one. */
static void
check_class (BlCheck *check, const char *name, const BlMeasurement *measurement, const BlPath *path)
{
  BlDeviation deviation;
  guint good = 0;
  if (measurement == NULL)
    {
      if (!bl_deviation_parse (name, &deviation) || deviation == BL_IN_BAND)
        bl_report_error (
            check->report, path,
            _("“%s” is no deviation of a stage: expected absent, unsteady, low or high"), name);
      return;
    }
  if (measurement->measures >= BL_N_MEASURES)
    return;
  const char *const *classes = bl_measures_classes (measurement->measures, &good);
  for (guint i = 0; i < bl_len (measurement->expected.marks); i++)
    if (g_strcmp0 (((BlMark *) bl_at (measurement->expected.marks, i))->id, name) == 0)
      return;
  if (g_str_equal (name, classes[good]))
    bl_report_error (check->report, path, _("“%s” is the good class of %s, no effect"), name,
                     measurement->id);
  else if (!g_strv_contains (classes, name))
    bl_report_error (check->report, path, _("“%s” is no class of %s (%s)"), name, measurement->id,
                     bl_measures_name (measurement->measures));
}

static void
check_classes (BlCheck *check,
               char *const *is,
               gboolean is_list,
               const char *on,
               const BlPath *path)
{
  BlPath at = BL_PATH_KEY (path, "is");
  if (is == NULL || is[0] == NULL)
    {
      bl_report_error (check->report, &at, _("required, but left out: what it is then"));
      return;
    }
  const BlMeasurement *measurement =
      on != NULL ? g_hash_table_lookup (check->measurements, on) : NULL;
  gboolean known = measurement != NULL || on == NULL || g_hash_table_contains (check->stages, on);
  for (guint i = 0; known && is[i] != NULL; i++)
    check_class (check, is[i], measurement, is_list ? &BL_PATH_INDEX (&at, i) : &at);
}

/* What an effect or a symptom is on. */
static void
check_on (BlCheck *check, const char *on, const BlPath *path)
{
  BlPath at = BL_PATH_KEY (path, "on");
  if (on != NULL && !g_hash_table_contains (check->stages, on) &&
      !g_hash_table_contains (check->measurements, on))
    bl_report_error (check->report, &at, _("there is no stage or measurement “%s”"), on);
}

void
bl_check_symptoms (BlCheck *check, const GPtrArray *symptoms, const BlPath *path)
{
  bl_check_ids (check, symptoms, "id", path);
  for (guint i = 0; i < bl_len (symptoms); i++)
    {
      const BlSymptom *symptom = bl_at (symptoms, i);
      BlPath at = BL_PATH_INDEX (path, i), list = BL_PATH_KEY (&at, "when");
      for (guint j = 0; j < bl_len (symptom->when); j++)
        {
          const BlWhen *when = bl_at (symptom->when, j);
          BlPath entry = BL_PATH_INDEX (&list, j), on = BL_PATH_KEY (&entry, "on");
          if (when->on == NULL)
            bl_report_error (check->report, &on, _("required, but left out: the id of a stage"));
          check_on (check, when->on, &entry);
          check_classes (check, when->is, when->is_list, when->on, &entry);
          bl_check_reference (check, check->states, when->state, FALSE, _("state"), &entry,
                              "state");
        }
    }
}

void
bl_check_indications (BlCheck *check, const GPtrArray *indications, const BlPath *path)
{
  for (guint i = 0; i < bl_len (indications); i++)
    {
      const BlIndication *indication = bl_at (indications, i);
      BlPath at = BL_PATH_INDEX (path, i), list = BL_PATH_KEY (&at, "pattern");
      bl_check_reference (check, check->symptoms, indication->symptom, TRUE, _("symptom"), &at,
                          "symptom");
      for (guint j = 0; j < bl_len (indication->pattern); j++)
        {
          const BlLampPattern *lamp = bl_at (indication->pattern, j);
          BlPath entry = BL_PATH_INDEX (&list, j);
          bl_check_range (check, lamp->blinks, 0, INFINITY, FALSE, &entry, "blinks");
          bl_check_range (check, lamp->rate_hz, 0, INFINITY, TRUE, &entry, "rate_hz");
        }
    }
}

/* --- Stages ----------------------------------------------------------------------------------- */

static void
check_feed (BlCheck *check, const BlFeed *feed, const BlPath *path)
{
  const char *from = feed->from;
  /* Written as a text alone, the text is the whole feed. */
  BlPath key = BL_PATH_KEY (path, "stage");
  const BlPath *at = feed->object ? &key : path;
  if (from == NULL)
    bl_report_error (check->report, at,
                     _("required, but left out: a stage, or “port:” and a port"));
  else if (g_str_has_prefix (from, "port:"))
    {
      if (!g_hash_table_contains (check->ports, from + strlen ("port:")))
        bl_report_error (check->report, at, _("there is no port “%s”"), from + strlen ("port:"));
    }
  else if (!g_hash_table_contains (check->stages, from))
    bl_report_error (check->report, at, _("there is no stage “%s”"), from);
}

static void
check_stages (BlCheck *check, const BlPath *path)
{
  const GPtrArray *stages = check->board->stages;
  bl_check_ids (check, stages, "id", path);
  for (guint i = 0; i < bl_len (stages); i++)
    {
      const BlStage *stage = bl_at (stages, i);
      BlPath at = BL_PATH_INDEX (path, i), feeds = BL_PATH_KEY (&at, "feeds"),
             need = BL_PATH_KEY (&feeds, "need"), from = BL_PATH_KEY (&feeds, "from");
      bl_check_reference (check, check->sections, stage->section, TRUE, _("section"), &at,
                          "section");
      check_outlines (check, stage->outlines, &at);
      guint n = bl_len (stage->feeds);
      for (guint j = 0; j < n; j++)
        check_feed (check, bl_at (stage->feeds, j), &BL_PATH_INDEX (&from, j));
      if (stage->need > 0 && (guint) stage->need > n)
        bl_report_error (check->report, &need, _("%d of %u feeds cannot be needed"), stage->need,
                         n);
      else if (stage->need == BL_NEED_ANY && n == 0)
        bl_report_error (check->report, &need, _("any of no feeds cannot be good"));
    }
  bl_check_feed_loops (check, path, NULL);
}

/* --- Components ------------------------------------------------------------------------------- */

void
bl_check_effect (BlCheck *check, const BlEffect *effect, const char *stage, const BlPath *path)
{
  check_on (check, effect->on, path);
  check_classes (check, effect->is, effect->is_list, effect->on != NULL ? effect->on : stage, path);
  check_references (check, check->states, effect->in, _("state"), path, "in");
}

static void
check_provoked (BlCheck *check,
                const BlComponent *component,
                const BlMode *mode,
                const BlProvokes *provokes,
                const BlPath *path)
{
  BlPath at = BL_PATH_KEY (path, "mode");
  bl_check_reference (check, check->components, provokes->component, TRUE, _("component"), path,
                      "component");
  bl_check_range (check, provokes->chance, 0, 1, FALSE, path, "chance");
  const BlComponent *target = provokes->component != NULL
                                  ? g_hash_table_lookup (check->components, provokes->component)
                                  : NULL;
  if (provokes->mode == NULL)
    bl_report_error (check->report, &at, _("required, but left out: the mode provoked"));
  else if (target != NULL && bl_component_mode (target, provokes->mode) == NULL)
    bl_report_error (check->report, &at, _("%s has no mode “%s”"), target->id, provokes->mode);
  else if (g_strcmp0 (component->id, provokes->component) == 0 &&
           g_strcmp0 (mode->mode, provokes->mode) == 0)
    bl_report_error (check->report, path, _("a mode cannot provoke itself"));
}

static void
check_provokes (BlCheck *check,
                const BlComponent *component,
                const BlMode *mode,
                const BlPath *path)
{
  g_autoptr (GHashTable) seen = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  BlPath list = BL_PATH_KEY (path, "provokes");
  for (guint i = 0; i < bl_len (mode->provokes); i++)
    {
      const BlProvokes *provokes = bl_at (mode->provokes, i);
      BlPath at = BL_PATH_INDEX (&list, i);
      check_provoked (check, component, mode, provokes, &at);
      if (provokes->component != NULL && provokes->mode != NULL &&
          !g_hash_table_add (seen, g_strdup_printf ("%s:%s", provokes->component, provokes->mode)))
        bl_report_error (check->report, &at, _("provokes %s:%s twice"), provokes->component,
                         provokes->mode);
    }
}

static void
check_mode (BlCheck *check, const BlComponent *component, const BlMode *mode, const BlPath *path)
{
  BlPath shows = BL_PATH_KEY (path, "shows"), effects = BL_PATH_KEY (path, "effects"),
         name = BL_PATH_KEY (path, "mode");
  /* What a part test may be read as besides the modes. */
  if (g_strcmp0 (mode->mode, "good") == 0 || g_strcmp0 (mode->mode, "replaced") == 0)
    bl_report_error (check->report, &name, _("“%s” is what a test of a part says, no mode"),
                     mode->mode);
  bl_check_range (check, mode->weight, 0, INFINITY, FALSE, path, "weight");
  for (guint i = 0; mode->shows != NULL && i < mode->shows->len; i++)
    {
      const BlShows *item = &g_array_index (mode->shows, BlShows, i);
      bl_check_range (check, item->chance, 0, 1, FALSE, &shows, item->condition);
    }
  for (guint i = 0; i < bl_len (mode->effects); i++)
    bl_check_effect (check, bl_at (mode->effects, i), component->stage,
                     &BL_PATH_INDEX (&effects, i));
  check_provokes (check, component, mode, path);
}

void
bl_check_modes (BlCheck *check, const BlComponent *component, const BlPath *path)
{
  BlPath list = BL_PATH_KEY (path, "modes");
  bl_check_ids (check, component->modes, "mode", &list);
  for (guint i = 0; i < bl_len (component->modes); i++)
    check_mode (check, component, bl_at (component->modes, i), &BL_PATH_INDEX (&list, i));
}

static void
check_components (BlCheck *check, const BlPath *path)
{
  const GPtrArray *components = check->board->components;
  bl_check_ids (check, components, "id", path);
  for (guint i = 0; i < bl_len (components); i++)
    {
      const BlComponent *component = bl_at (components, i);
      BlPath at = BL_PATH_INDEX (path, i), kind = BL_PATH_KEY (&at, "kind");
      if (component->kind == NULL)
        bl_report_error (check->report, &kind, _("required, but left out"));
      bl_check_reference (check, check->stages, component->stage, TRUE, _("stage"), &at, "stage");
      check_place (check, component->photo, component->x, component->y, &at);
      bl_check_range (check, component->weight, 0, INFINITY, FALSE, &at, "weight");
      bl_check_range (check, component->test_s, 0, INFINITY, FALSE, &at, "test_s");
      bl_check_range (check, component->replace_s, 0, INFINITY, FALSE, &at, "replace_s");
      bl_check_range (check, component->factor, 0, INFINITY, FALSE, &at, "factor");
      bl_check_modes (check, component, &at);
    }
}

/* --- Warnings --------------------------------------------------------------------------------- */

static void
warn_of_equal_weights (BlCheck *check, const BlPath *path)
{
  const BlBoard *board = check->board;
  double first = NAN;
  guint n = 0;
  for (guint i = 0; i < bl_len (board->components); i++)
    {
      const BlComponent *component = bl_at (board->components, i);
      for (guint j = 0; j < bl_len (component->modes); j++, n++)
        {
          double weight = bl_board_mode_weight (board, component, bl_at (component->modes, j));
          if (n > 0 && weight != first)
            return;
          first = weight;
        }
    }
  if (n > 1)
    bl_report_warning (
        check->report, path,
        _("all modes have the same weight: nothing is likelier than anything else"));
}

/* Which deviations of a stage can be seen, bit 1 << BlDeviation; by id. */
static guint
seen_deviations (GHashTable *seen, const char *stage)
{
  return stage != NULL ? GPOINTER_TO_UINT (g_hash_table_lookup (seen, stage)) : 0;
}

/* What a deviation becomes: as the feed says, else its "feeds", else the stage, else unchanged. */
static guint
passed (const BlStage *stage, const BlFeed *feed, guint deviation)
{
  const BlPasses *layers[] = { &feed->passes, &stage->feeds_passes, &stage->passes };
  for (guint i = 0; i < G_N_ELEMENTS (layers); i++)
    if (layers[i]->to[deviation] != BL_PASSES_UNCHANGED)
      return (guint) layers[i]->to[deviation];
  return deviation;
}

/* Marks what of the feeds of stage can be seen at it. TRUE when something is new. */
static gboolean
see_feeds (GHashTable *seen, const BlStage *stage)
{
  guint mask = seen_deviations (seen, stage->id);
  gboolean changed = FALSE;
  for (guint i = 0; i < bl_len (stage->feeds); i++)
    {
      const BlFeed *feed = bl_at (stage->feeds, i);
      guint before = seen_deviations (seen, feed->from), after = before;
      for (guint d = 0; d < BL_N_DEVIATIONS; d++)
        if (mask & (1u << passed (stage, feed, d)))
          after |= 1u << d;
      if (feed->from == NULL || after == before)
        continue;
      g_hash_table_insert (seen, feed->from, GUINT_TO_POINTER (after));
      changed = TRUE;
    }
  return changed;
}

/* TRUE when a mode of component has an effect that can be seen. */
static gboolean
shows_itself (const BlBoard *board, GHashTable *seen, const BlComponent *component)
{
  for (guint i = 0; i < bl_len (component->modes); i++)
    {
      const BlMode *mode = bl_at (component->modes, i);
      for (guint j = 0; j < bl_len (mode->effects); j++)
        {
          const BlEffect *effect = bl_at (mode->effects, j);
          if (effect->on != NULL && (seen_deviations (seen, effect->on) != 0 ||
                                     bl_board_measurement (board, effect->on) != NULL))
            return TRUE;
        }
    }
  return FALSE;
}

GPtrArray *
bl_board_unseen_stages (const BlBoard *board)
{
  g_return_val_if_fail (board != NULL, NULL);
  g_autoptr (GHashTable) seen = g_hash_table_new (g_str_hash, g_str_equal);
  GPtrArray *unseen = g_ptr_array_new ();
  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (board->measurements, i);
      if (measurement->reads != NULL)
        g_hash_table_insert (seen, measurement->reads,
                             GUINT_TO_POINTER ((1u << BL_N_DEVIATIONS) - 1));
    }
  /* Masks only grow, so this ends, even in the loop of a board that is not valid. */
  for (gboolean changed = TRUE; changed;)
    {
      changed = FALSE;
      for (guint i = bl_len (board->stages); i-- > 0;)
        changed = see_feeds (seen, bl_at (board->stages, i)) || changed;
    }
  g_autoptr (GHashTable) shown = g_hash_table_new (g_str_hash, g_str_equal);
  for (guint i = 0; i < bl_len (board->components); i++)
    {
      const BlComponent *component = bl_at (board->components, i);
      if (component->stage != NULL && shows_itself (board, seen, component))
        g_hash_table_add (shown, component->stage);
    }
  for (guint i = 0; i < bl_len (board->stages); i++)
    {
      const BlStage *stage = bl_at (board->stages, i);
      if (stage->id != NULL && seen_deviations (seen, stage->id) == 0 &&
          !g_hash_table_contains (shown, stage->id))
        g_ptr_array_add (unseen, stage->id);
    }
  return unseen;
}

/* Whoever touches the board must know; until it is said, such a state is taken for live. */
static void
warn_of_unknown_live (BlCheck *check, const BlPath *path)
{
  for (guint i = 0; i < bl_len (check->board->states); i++)
    {
      const BlState *state = bl_at (check->board->states, i);
      BlPath at = BL_PATH_INDEX (path, i);
      if (state->live < 0)
        bl_report_warning (check->report, &BL_PATH_KEY (&at, "live"),
                           _("it is not said whether state “%s” is live; it is taken for live"),
                           state->id != NULL ? state->id : "");
    }
}

static void
warn_of_unseen_stages (BlCheck *check, const BlPath *path)
{
  g_autoptr (GPtrArray) unseen = bl_board_unseen_stages (check->board);
  for (guint i = 0, next = 0; i < bl_len (check->board->stages) && next < unseen->len; i++)
    {
      const BlStage *stage = bl_at (check->board->stages, i);
      if (stage->id != bl_at (unseen, next))
        continue;
      next++;
      bl_report_warning (check->report, &BL_PATH_INDEX (path, i),
                         _("no measurement sees stage “%s”"), stage->id);
    }
}

/* --- The board -------------------------------------------------------------------------------- */

static void
check_sections (BlCheck *check, const BlPath *path)
{
  const GPtrArray *sections = check->board->sections;
  bl_check_ids (check, sections, "id", path);
  for (guint i = 0; i < bl_len (sections); i++)
    check_outlines (check, ((BlSection *) bl_at (sections, i))->outlines, &BL_PATH_INDEX (path, i));
}

void
bl_check_board (const BlBoard *board, gboolean alone, BlReport *report, const BlPath *root)
{
  g_auto (BlCheck) check;
  BlPath mains = BL_PATH_KEY (root, "mains"), stages = BL_PATH_KEY (root, "stages"),
         components = BL_PATH_KEY (root, "components"), ports = BL_PATH_KEY (root, "ports");
  bl_check_init (&check, board, report);
  bl_check_range (&check, board->mains_voltage, 0, INFINITY, FALSE, &mains, "voltage");
  bl_check_range (&check, board->mains_frequency, 0, INFINITY, FALSE, &mains, "frequency");
  bl_check_odds (&check, &board->odds, &BL_PATH_KEY (root, "odds"));
  bl_check_states (&check, board->states, &BL_PATH_KEY (root, "states"));
  bl_check_photos (&check, board->photos, &BL_PATH_KEY (root, "photos"));
  check_sections (&check, &BL_PATH_KEY (root, "sections"));
  bl_check_ids (&check, board->ports, "id", &ports);
  check_stages (&check, &stages);
  check_components (&check, &components);
  bl_check_test_points (&check, board->test_points, &BL_PATH_KEY (root, "test_points"));
  bl_check_measurements (&check, board->measurements, &BL_PATH_KEY (root, "measurements"));
  bl_check_symptoms (&check, board->symptoms, &BL_PATH_KEY (root, "symptoms"));
  bl_check_indications (&check, board->indications, &BL_PATH_KEY (root, "indications"));
  warn_of_equal_weights (&check, &components);
  warn_of_unknown_live (&check, &BL_PATH_KEY (root, "states"));
  if (alone)
    warn_of_unseen_stages (&check, &stages);
}

gboolean
bl_board_validate (const BlBoard *board, GPtrArray *problems)
{
  g_return_val_if_fail (board != NULL && problems != NULL, FALSE);
  g_auto (BlReport) report;
  bl_report_init (&report, problems);
  bl_check_board (board, TRUE, &report, &BL_PATH_ROOT);
  return report.errors == 0;
}
