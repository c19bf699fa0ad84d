/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the fault tree of the open job says at each node.
 *
 * The odds are those of the diagnosis, the same figures as in the list of suspects, all of them exact: of an
 * event the probability, given everything in the job, that it is a root cause (its own event happened, to the
 * part as it is now); of a gate that a root cause lies below it, which is the probability that at least one of
 * the own events below it happened, whatever kind of gate it is. So a gate is never less likely than what it
 * gathers, and never more than the sum of that. It doesn't say that the gate itself is true: below an AND one
 * cause may have happened and the other not, and a cause may not have come through. Gates of a whole component,
 * stage or section are in the diagnosis already, the others are asked for (bl_bench_union ()) and come a moment
 * later. Conditions between causes have no odds of their own.
 * What was there before any reading is the probability of the node in the tree itself. */
#include "config.h"

#include "bl-tree-scene.h"

#include <math.h>
#include <string.h>

#include "bl-shape-draw.h"

#define MEMORY (64u << 20) /* bytes for probabilities and cut sets: a board's tree needs far less */

/* --- readings --- */

/* Adds a verdict to the badge: a deviation goes before what is in band. */
static void
add_shape (BlChartFact *fact, int shape)
{
  fact->n_readings++;
  if (fact->shape < 0 || fact->shape == BL_SHAPE_IN_BAND)
    fact->shape = shape;
}

static gboolean
bears_on (const BlMeasurement *measurement, const BlBoard *board, const BlNode *node)
{
  const BlComponent *component = node->component != NULL ? bl_board_component (board, node->component) : NULL;
  const BlMode *mode = component != NULL && node->mode != NULL ? bl_component_mode (component, node->mode) : NULL;

  if (node->stage != NULL)
    return g_strcmp0 (measurement->reads, node->stage) == 0;
  for (guint i = 0; mode != NULL && i < bl_len (mode->effects); i++)
    if (g_strcmp0 (((BlEffect *) bl_at (mode->effects, i))->on, measurement->id) == 0)
      return TRUE;
  return FALSE;
}

static void
add_readings (BlTreeScene *scene, BlBench *bench)
{
  GListModel *model = bl_bench_get_measurements (bench);
  GPtrArray *records = bl_bench_get_records (bench), *nodes = scene->tree->nodes;

  for (guint i = 0; i < g_list_model_get_n_items (model); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (model, i);
      const BlVerdict *verdict = bl_measurement_item_get_verdict (item);
      if (verdict == NULL || !verdict->evidence)
        continue;
      int shape = (int) bl_shape_for_verdict (verdict, bl_measurement_item_get_band (item));
      for (guint n = 0; n < nodes->len; n++)
        if (bears_on (bl_measurement_item_get_measurement (item), bl_bench_get_board (bench), bl_at (nodes, n)))
          add_shape (&scene->facts[n], shape);
    }
  for (guint i = 0; i < bl_len (records); i++)
    {
      const BlRecord *record = bl_at (records, i);
      if (record->struck || record->kind != BL_RECORD_PART_TEST)
        continue;
      for (guint n = 0; n < nodes->len; n++)
        if (g_strcmp0 (((BlNode *) bl_at (nodes, n))->component, record->subject) == 0)
          add_shape (&scene->facts[n], g_strcmp0 (record->text, "good") == 0 ? BL_SHAPE_IN_BAND : BL_SHAPE_HIGH);
    }
}

/* --- odds --- */

static double
probability_of (const BlOdd *odd)
{
  return odd != NULL ? odd->probability : NAN;
}

static double
event_odds (const BlDiagnosis *diagnosis, const BlNode *node)
{
  const BlOdd *component = node->component != NULL ? bl_diagnosis_find (diagnosis->components, node->component) : NULL;

  return component != NULL && component->modes != NULL && node->mode != NULL
           ? probability_of (bl_diagnosis_find (component->modes, node->mode))
           : NAN;
}

/* In the tree of the whole board each gate is something the diagnosis knows. */
static double
exact_odds (const BlTreeScene *scene, const BlDiagnosis *diagnosis, const BlNode *node)
{
  if (scene->stage != NULL)
    return NAN;
  if (node->component != NULL)
    return probability_of (bl_diagnosis_find (diagnosis->components, node->component));
  if (node->stage != NULL)
    return probability_of (bl_diagnosis_find (diagnosis->stages, node->stage));
  if (g_str_has_prefix (node->id, "section:"))
    return probability_of (bl_diagnosis_find (diagnosis->sections, node->id + strlen ("section:")));
  return NAN;
}

static void
add_odds (BlTreeScene *scene, BlBench *bench, const BlDiagnosis *diagnosis)
{
  for (guint i = 0; i < scene->tree->nodes->len; i++)
    {
      const BlNode *node = bl_at (scene->tree->nodes, i);
      double *odds = &scene->facts[i].odds;
      *odds = node->kind == BL_NODE_EVENT ? event_odds (diagnosis, node) : exact_odds (scene, diagnosis, node);
      if (isnan (*odds) && scene->below[i] != NULL)
        *odds = bl_bench_union (bench, (const char *const *) scene->below[i]);
    }
}

/* The likeliest mode of the first suspect that this tree has: the order is that of the list. */
static int
find_leading (const BlTreeScene *scene, const BlDiagnosis *diagnosis)
{
  for (guint c = 0; c < bl_len (diagnosis->components); c++)
    {
      const BlOdd *suspect = bl_at (diagnosis->components, c);
      int best = -1;
      for (guint i = 0; i < scene->tree->nodes->len; i++)
        {
          const BlNode *node = bl_at (scene->tree->nodes, i);
          if (node->kind == BL_NODE_EVENT && g_strcmp0 (node->component, suspect->id) == 0
              && scene->facts[i].odds > (best < 0 ? 0 : scene->facts[best].odds))
            best = (int) i;
        }
      if (best >= 0)
        return best;
    }
  return -1;
}

void
bl_tree_scene_refresh (BlTreeScene *scene, BlBench *bench)
{
  g_return_if_fail (scene != NULL && bench != NULL);
  const BlDiagnosis *diagnosis = bl_bench_get_diagnosis (bench);

  for (guint i = 0; i < scene->tree->nodes->len; i++)
    {
      double prior = scene->result != NULL && scene->result->node_probability != NULL
                       ? g_array_index (scene->result->node_probability, double, i)
                       : NAN;
      scene->facts[i] = (BlChartFact){ NAN, prior, -1, 0 };
    }
  scene->leading = -1;
  add_readings (scene, bench);
  if (diagnosis == NULL)
    return;
  add_odds (scene, bench, diagnosis);
  /* While it is likelier that the fault is not on this board, nobody leads. */
  if (diagnosis->likely_stage != NULL)
    scene->leading = find_leading (scene, diagnosis);
}

BlTree *
bl_tree_scene_derive (const BlBoard *board, const char *stage, GError **error)
{
  const guint all = (1u << BL_ABSENT) | (1u << BL_UNSTEADY) | (1u << BL_LOW) | (1u << BL_HIGH);

  g_return_val_if_fail (board != NULL, NULL);
  return stage != NULL ? bl_tree_from_board (board, stage, all, NULL, error) : bl_tree_of_whole_board (board, error);
}

BlTreeScene *
bl_tree_scene_new (BlBench *bench, const char *stage, GError **error)
{
  g_return_val_if_fail (bench != NULL, NULL);
  g_autoptr (BlTree) tree = bl_tree_scene_derive (bl_bench_get_board (bench), stage, error);

  if (tree == NULL)
    return NULL;
  BlTreeScene *scene = g_new0 (BlTreeScene, 1);
  scene->stage = g_strdup (stage);
  scene->facts = g_new0 (BlChartFact, tree->nodes->len);
  scene->below = g_new0 (char **, tree->nodes->len + 1);
  for (guint i = 0; i < tree->nodes->len; i++)
    if (((BlNode *) bl_at (tree->nodes, i))->kind != BL_NODE_EVENT)
      scene->below[i] = bl_tree_own_events (tree, i);
  /* On the whole board every set is one event: nothing that is not in the list of suspects. */
  scene->result = bl_tree_evaluate (tree, NULL, stage != NULL ? 2 : BL_TREE_NO_CUT_SETS, MEMORY, NULL);
  if (scene->result == NULL)
    scene->result = bl_tree_evaluate (tree, NULL, BL_TREE_NO_CUT_SETS, MEMORY, NULL);
  if (scene->result != NULL)
    {
      bl_tree_weigh_nodes (tree, NULL, MEMORY, scene->result, NULL);
      scene->ways = bl_tree_ways (tree, scene->result);
    }
  scene->tree = g_steal_pointer (&tree);
  bl_tree_scene_refresh (scene, bench);
  return scene;
}

void
bl_tree_scene_free (BlTreeScene *scene)
{
  if (scene == NULL)
    return;
  for (guint i = 0; i < scene->tree->nodes->len; i++)
    g_strfreev (scene->below[i]);
  g_free (scene->below);
  bl_tree_free (scene->tree);
  g_free (scene->stage);
  g_free (scene->facts);
  g_clear_pointer (&scene->result, bl_tree_result_free);
  g_clear_pointer (&scene->ways, g_ptr_array_unref);
  g_free (scene);
}
