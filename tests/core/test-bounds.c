/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What rows of an elimination are left out for: the two bounds on what a row can still add, against every
 * assignment of the events that are not part of it. Networks of small random boards; factors as an elimination may
 * hold them: some events and gates are gone, values of gates before those are foretold, one gate may just have been
 * closed. The bounds may be too large, never too small, and must say something. */
#include "config.h"

#include "bl-document.h"
#include "bl-forecast.h"
#include "bl-foretold.h"
#include "bl-outlook.h"

#include <jansson.h>
#include <string.h>
#undef G_DISABLE_ASSERT

enum { SCENES = 2000, MAX_NODES = 64, MAX_ROOTS = 13, LANES = 2, STAGES = 6 };

typedef struct
{
  GRand *rand;
  const BlNetwork *network;
  guint n;
  gboolean own[MAX_NODES];      /* roots of the row */
  gboolean gone[MAX_NODES];     /* they, and gates closed in it */
  gboolean foretold[MAX_NODES]; /* their values are in the row */
  guint closed;
  guint values[MAX_NODES];      /* of the world the row is from */
  guint64 gathered[MAX_NODES];
  guint fields[2 * MAX_NODES], n_fields;
  guint64 key[2 * MAX_NODES];
} Scene;

static gboolean
chance (GRand *rand, double p)
{
  return g_rand_double (rand) < p;
}

/* --- boards --- */

static json_t *
some_effect (GRand *rand, int stage)
{
  static const char *const is[] = { "absent", "low", "high", "unsteady" };
  json_t *effect = json_pack ("{s:s}", "is", is[g_rand_int_range (rand, 0, 4)]);
  if (chance (rand, .3) && stage > 0)
    json_object_set_new (effect, "on", json_sprintf ("s%d", g_rand_int_range (rand, 0, stage)));
  if (chance (rand, .4))
    json_object_set_new (effect, "in", json_pack ("[o]", json_sprintf ("st%d", g_rand_int_range (rand, 0, 2))));
  return effect;
}

static json_t *
some_part (GRand *rand, int i)
{
  json_t *effects = json_array (), *mode;
  for (int n = g_rand_int_range (rand, 1, 3); n > 0; n--)
    json_array_append_new (effects, some_effect (rand, i % STAGES));
  mode = json_pack ("{s:s, s:f, s:o}", "mode", "m", "weight", .02 + g_rand_double (rand), "effects", effects);
  if (chance (rand, .3))
    json_object_set_new (mode, "shows", json_pack ("{s:f}", "", .4));
  if (i > 0 && chance (rand, .4))
    json_object_set_new (mode, "provokes", json_pack ("[{s:o, s:s, s:f}]", "component", json_sprintf ("C%d", i - 1),
                                                      "mode", "m", "chance", .25));
  return json_pack ("{s:o, s:s, s:o, s:[o]}", "id", json_sprintf ("C%d", i), "kind", "part", "stage",
                    json_sprintf ("s%d", i % STAGES), "modes", mode);
}

static json_t *
some_stage (GRand *rand, int i)
{
  json_t *from = json_array ();
  for (int s = 0; s < i; s++)
    if (chance (rand, .5))
      json_array_append_new (from, json_sprintf ("s%d", s));
  return json_pack ("{s:o, s:s, s:{s:s, s:o}}", "id", json_sprintf ("s%d", i), "section", "a", "feeds", "need",
                    json_array_size (from) > 1 && chance (rand, .25) ? "any" : "all", "from", from);
}

static BlBoard *
some_board (GRand *rand)
{
  g_autoptr (GError) error = NULL;
  json_t *stages = json_array (), *parts = json_array (), *measures = json_array ();
  for (int i = 0; i < STAGES; i++)
    {
      json_array_append_new (stages, some_stage (rand, i));
      json_array_append_new (parts, some_part (rand, i));
      json_array_append_new (measures, json_pack ("{s:o, s:s, s:o, s:o, s:{s:i, s:f, s:f}}", "id",
                                                  json_sprintf ("M%d", i), "measures", "V DC", "state",
                                                  json_sprintf ("st%d", i % 2), "reads", json_sprintf ("s%d", i),
                                                  "expected", "nominal", 5, "low", 4.8, "high", 5.2));
    }
  json_t *doc = json_pack ("{s:s, s:i, s:{s:f}, s:[{s:s},{s:s}], s:[{s:s,s:s}], s:o, s:o, s:o}", "format", "benchlore-board",
                           "version", 1, "odds", "other", 0.0, "states", "id", "st0", "id", "st1", "sections", "id", "a", "kind",
                           "supply",
                           "stages", stages, "components", parts, "measurements", measures);
  char *text = json_dumps (doc, 0);
  BlBoard *board = bl_document_parse (text, -1, NULL, &error);
  g_assert_no_error (error);
  json_decref (doc);
  free (text);
  return board;
}

/* --- worlds --- */

static guint
value_in (const Scene *scene, guint index, const guint *values)
{
  const BlNetNode *node = bl_net_node (scene->network, index);
  guint64 state = 0;
  for (guint i = 0; i < node->in->len; i++)
    {
      const BlNetEdge *edge = &g_array_index (node->in, BlNetEdge, i);
      state = bl_net_join (node, state, edge->add[values[edge->from]]);
    }
  return bl_net_close (node, state);
}

static void
play (const Scene *scene, guint *values)
{
  for (guint i = 0; i < scene->n; i++)
    if (bl_net_node (scene->network, i)->kind != BL_NET_ROOT)
      values[i] = value_in (scene, i, values);
}

/* --- scenes --- */

static gboolean
is_root (const Scene *scene, guint node)
{
  return bl_net_node (scene->network, node)->kind == BL_NET_ROOT;
}

/* A gate that goes before its inputs needs their values; roots among them are in the row or kept as values. */
static void
foretell_inputs (Scene *scene, guint index)
{
  const GArray *in = bl_net_node (scene->network, index)->in;
  for (guint i = 0; i < in->len; i++)
    {
      guint from = g_array_index (in, BlNetEdge, i).from;
      scene->foretold[from] |= !scene->gone[from];
    }
}

static void
close_one (Scene *scene)
{
  guint index = (guint) g_rand_int_range (scene->rand, 0, (gint32) scene->n);
  const BlNetNode *node = bl_net_node (scene->network, index);
  if (node->kind != BL_NET_OR || !node->stage || scene->gone[index])
    return;
  for (guint i = 0; i < node->in->len; i++)
    {
      guint from = g_array_index (node->in, BlNetEdge, i).from;
      if (is_root (scene, from))
        scene->own[from] = scene->gone[from] = TRUE;
    }
  scene->closed = index;
  scene->foretold[index] = TRUE;
}

static void
choose (Scene *scene)
{
  for (guint i = 0; i < scene->n; i++)
    {
      gboolean root = is_root (scene, i), reading = bl_net_node (scene->network, i)->kind == BL_NET_FIRST;
      scene->own[i] = root && chance (scene->rand, .4);
      scene->gone[i] = scene->own[i] || (!root && !reading && chance (scene->rand, .2));
    }
  if (chance (scene->rand, .4))
    close_one (scene);
  for (guint i = 0; i < scene->n; i++)
    if (!is_root (scene, i) && (scene->gone[i] || i == scene->closed))
      foretell_inputs (scene, i);
    else if (!is_root (scene, i) && bl_net_node (scene->network, i)->stage && chance (scene->rand, .4))
      scene->foretold[i] = TRUE;
  for (guint i = 0; i < scene->n; i++)
    scene->foretold[i] &= !scene->gone[i];
}

/* What the row has gathered for each gate that is left: from its own events and from gates closed in it. */
static void
gather (Scene *scene)
{
  for (guint i = 0; i < scene->n; i++)
    {
      const BlNetNode *node = bl_net_node (scene->network, i);
      for (guint j = 0; node->in != NULL && j < node->in->len; j++)
        {
          const BlNetEdge *edge = &g_array_index (node->in, BlNetEdge, j);
          if (scene->gone[edge->from])
            scene->gathered[i] = bl_net_join (node, scene->gathered[i], edge->add[scene->values[edge->from]]);
        }
    }
}

static void
add_field (Scene *scene, guint field, guint64 value)
{
  scene->fields[scene->n_fields] = field;
  scene->key[scene->n_fields++] = value;
}

/* As an elimination keeps it: one state for all that lead to a foretold value alike. */
static void
settle (Scene *scene)
{
  BlForetelling *foretelling = bl_foretelling_new (scene->network);
  BlForetold *foretold = bl_foretold_new (foretelling, scene->gone, scene->fields, scene->n_fields, scene->closed);
  g_assert_true (bl_foretold_settle (foretold, scene->key));
  bl_foretold_free (foretold);
  bl_foretelling_free (foretelling);
}

static void
make_row (Scene *scene)
{
  for (guint i = 0; i < scene->n; i++)
    scene->values[i] = is_root (scene, i) && chance (scene->rand, .3);
  play (scene, scene->values);
  gather (scene);
  for (guint i = 0; i < scene->n; i++)
    {
      if (!scene->gone[i] && !is_root (scene, i) && i != scene->closed)
        add_field (scene, BL_FIELD_GATHERED (i), scene->gathered[i]);
      if (scene->foretold[i])
        add_field (scene, BL_FIELD_VALUE (i), scene->values[i]);
    }
  if (chance (scene->rand, .7))
    settle (scene);
}

/* --- the exact figures --- */

/* Probability that the events beside the row's make its values come true, and of each lane together with the
 * readings. */
static double
exact (const Scene *scene, double *const *value, double *lanes)
{
  guint others[MAX_ROOTS], n = 0, values[MAX_NODES];
  double sum = 0;
  memcpy (values, scene->values, sizeof values);
  for (guint i = 0; i < scene->n; i++)
    if (is_root (scene, i) && !scene->own[i])
      others[n++] = i;
  for (guint world = 0; world < 1u << n; world++)
    {
      double p = 1, likely[LANES] = { 1, 1 };
      gboolean agrees = TRUE;
      for (guint i = 0; i < n; i++)
        {
          values[others[i]] = world >> i & 1;
          p *= values[others[i]] ? bl_net_node (scene->network, others[i])->p : 1 - bl_net_node (scene->network, others[i])->p;
        }
      play (scene, values);
      for (guint i = 0; i < scene->n; i++)
        agrees &= !scene->foretold[i] || values[i] == scene->values[i];
      if (!agrees)
        continue;
      sum += p;
      for (guint i = 0; i < scene->n; i++)
        for (guint l = 0; l < LANES && value[i] != NULL; l++)
          {
            const GArray *codes = bl_net_node (scene->network, i)->values;
            for (guint r = 0; r < codes->len; r++)
              if (g_array_index (codes, guint, r) == values[i])
                likely[l] *= value[i][r * LANES + l];
          }
      for (guint l = 0; l < LANES; l++)
        lanes[l] += p * likely[l];
    }
  return sum;
}

/* --- checks --- */

static void
check (Scene *scene, BlForecast *forecast, guint *foretells, guint *close)
{
  static const double ones[LANES] = { 1, 1 };
  gboolean reading[MAX_NODES] = { FALSE };
  double *value[MAX_NODES] = { NULL }, lanes[LANES] = { 0 };
  BlEvidenceNodes evidence = { .reading = reading, .value = value, .lanes = LANES, .lane_weights = ones };
  guint64 seen[1] = { 0 };
  gboolean lazy[MAX_NODES];
  for (guint i = 0; i < scene->n; i++)
    {
      const BlNetNode *node = bl_net_node (scene->network, i);
      lazy[i] = node->kind == BL_NET_ROOT && scene->foretold[i];
      reading[i] = node->kind == BL_NET_FIRST;
      if (!reading[i])
        continue;
      value[i] = g_new (double, node->values->len * LANES);
      for (guint j = 0; j < node->values->len * LANES; j++)
        value[i][j] = chance (scene->rand, .5) ? 1 : .02;
    }
  double all = exact (scene, value, lanes), most = 1;
  evidence.least = MAX (lanes[0], lanes[1]) * (1 - 1e-9);
  BlForecastView *ahead
    = forecast == NULL ? NULL : bl_forecast_view (forecast, scene->gone, scene->fields, scene->n_fields, scene->closed);
  if (ahead != NULL)
    most = bl_forecast_most (ahead, scene->key);
  g_assert_cmpfloat (all, <=, most * (1 + 1e-9));
  *foretells += most < 1;
  *close += most < 1 && most < 4 * all;
  BlOutlook *outlook = bl_outlook_new (scene->network, &evidence, lazy);
  BlOutlookView *view = bl_outlook_view (outlook, scene->gone, scene->fields, scene->n_fields, seen);
  g_assert_true (bl_outlook_matters (view, scene->key, ones, LANES, most));
  evidence.least = most * 1.0001;
  g_assert_false (bl_outlook_matters (view, scene->key, ones, LANES, most));
  bl_outlook_view_free (view);
  bl_outlook_free (outlook);
  bl_forecast_view_free (ahead);
  for (guint i = 0; i < scene->n; i++)
    g_free (value[i]);
}

static BlNetwork *
network_of (const BlCauses *causes, const BlRounds *rounds)
{
  BlNetwork *network = bl_network_new (causes, rounds, FALSE);
  for (guint m = 0; m < causes->modes->len; m++)
    bl_network_present (network, m, 0);
  for (guint m = 0; m < causes->measures->len; m++)
    bl_network_measure (network, m, bl_cause_measure (causes, m)->state, 0, NULL, 0);
  bl_network_finish (network);
  return network;
}

static guint
count_roots (const BlNetwork *network)
{
  guint n = 0;
  for (guint i = 0; i < network->nodes->len; i++)
    n += bl_net_node (network, i)->kind == BL_NET_ROOT;
  return n;
}

static void
test_bounds (void)
{
  guint done = 0, foretells = 0, close = 0;
  for (guint32 seed = 1; done < SCENES && seed < SCENES; seed++)
    {
      g_autoptr (GRand) rand = g_rand_new_with_seed (seed);
      g_autoptr (GError) error = NULL;
      g_autoptr (BlBoard) board = some_board (rand);
      BlCauses *causes = bl_causes_new (board, &error);
      g_assert_no_error (error);
      char *none[] = { (char *) "", NULL };
      g_autofree guint *versions = g_new0 (guint, causes->parts->len + 1);
      BlRounds rounds = { 1, none, versions, causes->parts->len };
      g_autoptr (BlNetwork) network = network_of (causes, &rounds);
      BlForecast *forecast = bl_forecast_new (network);
      for (guint i = 0; i < 10 && count_roots (network) <= MAX_ROOTS && network->nodes->len <= MAX_NODES; i++, done++)
        {
          Scene scene = { .rand = rand, .network = network, .n = network->nodes->len, .closed = BL_NET_NONE };
          choose (&scene);
          make_row (&scene);
          check (&scene, forecast, &foretells, &close);
        }
      bl_forecast_free (forecast);
      bl_causes_free (causes);
    }
  g_test_message ("%u rows, %u with a forecast, %u of them close", done, foretells, close);
  g_assert_cmpuint (foretells, >, SCENES / 8);
  g_assert_cmpuint (close, >, SCENES / 20);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/bounds/hold", test_bounds);
  return g_test_run ();
}
