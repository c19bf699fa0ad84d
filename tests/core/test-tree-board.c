/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fault tree derived from a board against a direct reading of the board: every state of the own
 * events, links and show events is looked at; presence is spread along the links until nothing
 * changes, then the stages are walked with the rule of the feeds as it is written. The oracle knows
 * nothing of trees. Boards and numbers are invented. */
#undef G_DISABLE_ASSERT
#include "bl-document.h"
#include "fixture-tree.h"

#include <math.h>

static BlBoard *
board_from (const char *json)
{
  g_autoptr (GError) error = NULL;
  BlBoard *board = bl_document_parse (json, -1, NULL, &error);
  g_assert_no_error (error);
  return board;
}

/* One independent event of the board. */
typedef struct
{
  enum
  {
    OWN,
    LINK,
    SHOWS
  } kind;
  guint mode, to; /* to: of a link */
  double chance;
} Event;

/* A mode of the board, or of an implied component. */
typedef struct
{
  const BlMode *mode;
  guint stage; /* of its component */
  int is;      /* of an implied one */
  double weight;
  char *id;
} Mode;

typedef struct
{
  const BlBoard *board;
  const char *state;
  Mode modes[64];
  guint n_modes;
  Event events[32];
  guint n_events;
} Oracle;

static guint
find_stage (const BlBoard *board, const char *id)
{
  for (guint i = 0; i < bl_len (board->stages); i++)
    if (strcmp (((BlStage *) bl_at (board->stages, i))->id, id) == 0)
      return i;
  g_assert_not_reached ();
}

static void
list_modes (Oracle *oracle)
{
  static const double
      share[] = { [BL_ABSENT] = .55, [BL_UNSTEADY] = .15, [BL_LOW] = .2, [BL_HIGH] = .1 };
  double sum = 0;
  for (guint i = 0; i < bl_len (oracle->board->components); i++)
    {
      const BlComponent *c = bl_at (oracle->board->components, i);
      for (guint j = 0; j < bl_len (c->modes); j++)
        {
          const BlMode *m = bl_at (c->modes, j);
          double weight = bl_board_mode_weight (oracle->board, c, m);
          oracle->modes[oracle->n_modes++] =
              (Mode){ m, find_stage (oracle->board, c->stage), -1, weight,
                      g_strdup_printf ("%s:%s", c->id, m->mode) };
          sum += weight;
        }
    }
  double w = sum > 0 ? sum : 1;
  for (guint i = 0; i < bl_len (oracle->board->stages); i++)
    for (int d = 0; d < BL_N_DEVIATIONS; d++)
      oracle->modes[oracle->n_modes++] = (Mode){ NULL, i, d,
                                                 bl_board_odds (oracle->board).other * w /
                                                     bl_len (oracle->board->stages) * share[d],
                                                 NULL };
}

static guint
find_mode (const Oracle *oracle, const BlProvokes *provokes)
{
  g_autofree char *id = g_strdup_printf ("%s:%s", provokes->component, provokes->mode);
  for (guint i = 0; i < oracle->n_modes; i++)
    if (g_strcmp0 (oracle->modes[i].id, id) == 0)
      return i;
  g_assert_not_reached ();
}

static void
add_oracle_event (Oracle *oracle, Event event)
{
  if (event.chance <= 0)
    return;
  g_assert_cmpuint (oracle->n_events, <, 20);
  oracle->events[oracle->n_events++] = event;
}

static void
oracle_init (Oracle *oracle, const BlBoard *board, const char *state)
{
  *oracle = (Oracle){ .board = board, .state = state };
  list_modes (oracle);
  double total = 0, faults = bl_board_odds (board).faults;
  for (guint i = 0; i < oracle->n_modes; i++)
    total += oracle->modes[i].weight;
  for (guint i = 0; i < oracle->n_modes; i++)
    {
      const Mode *m = &oracle->modes[i];
      add_oracle_event (oracle, (Event){ OWN, i, 0, 1 - exp (-faults * m->weight / total) });
      for (guint j = 0; m->mode != NULL && j < bl_len (m->mode->provokes); j++)
        {
          const BlProvokes *provokes = bl_at (m->mode->provokes, j);
          add_oracle_event (oracle,
                            (Event){ LINK, i, find_mode (oracle, provokes), provokes->chance });
        }
      if (m->mode != NULL && bl_mode_shows (m->mode, "") < 1)
        add_oracle_event (oracle, (Event){ SHOWS, i, 0, bl_mode_shows (m->mode, "") });
    }
}

static void
oracle_clear (Oracle *oracle)
{
  for (guint i = 0; i < oracle->n_modes; i++)
    g_free (oracle->modes[i].id);
}

static void
find_active (const Oracle *oracle, guint events, gboolean *active)
{
  gboolean present[64] = { FALSE }, shows[64];
  for (guint i = 0; i < oracle->n_modes; i++)
    shows[i] = oracle->modes[i].mode == NULL || bl_mode_shows (oracle->modes[i].mode, "") >= 1;
  for (guint i = 0; i < oracle->n_events; i++)
    if (events >> i & 1)
      {
        present[oracle->events[i].mode] |= oracle->events[i].kind == OWN;
        shows[oracle->events[i].mode] |= oracle->events[i].kind == SHOWS;
      }
  for (gboolean changed = TRUE; changed;)
    {
      changed = FALSE;
      for (guint i = 0; i < oracle->n_events; i++)
        {
          const Event *event = &oracle->events[i];
          if ((events >> i & 1) == 0 || event->kind != LINK || !present[event->mode] ||
              present[event->to])
            continue;
          changed = present[event->to] = TRUE;
        }
    }
  for (guint i = 0; i < oracle->n_modes; i++)
    active[i] = present[i] && shows[i];
}

static gboolean
effect_counts (const Oracle *oracle, const BlEffect *effect)
{
  if (oracle->state == NULL || effect->in == NULL)
    return TRUE;
  for (char **in = effect->in; *in != NULL; in++)
    if (strcmp (*in, oracle->state) == 0)
      return TRUE;
  return FALSE;
}

static guint
direct_mask (const Oracle *oracle, const Mode *mode, guint stage)
{
  guint mask = 0;
  if (mode->mode == NULL)
    return mode->stage == stage ? 1u << mode->is : 0;
  for (guint i = 0; i < bl_len (mode->mode->effects); i++)
    {
      const BlEffect *effect = bl_at (mode->mode->effects, i);
      guint on = effect->on != NULL ? find_stage (oracle->board, effect->on) : mode->stage;
      for (char **is = effect->is; on == stage && effect_counts (oracle, effect) && *is; is++)
        {
          BlDeviation d;
          g_assert_true (bl_deviation_parse (*is, &d));
          mask |= 1u << d;
        }
    }
  return mask;
}

/* The deviations of a stage, a mask; masks of the stages before it are known (document order). */
static guint
stage_mask (const Oracle *oracle, guint index, const gboolean *active, const guint *masks)
{
  const BlStage *stage = bl_at (oracle->board->stages, index);
  guint n = bl_len (stage->feeds), mask = 0, into[8] = { 0 };
  for (guint i = 0; i < oracle->n_modes; i++)
    mask |= active[i] ? direct_mask (oracle, &oracle->modes[i], index) : 0;
  for (guint i = 0; i < n; i++)
    {
      const BlFeed *feed = bl_at (stage->feeds, i);
      if (g_str_has_prefix (feed->from, "port:"))
        continue;
      for (int d = 0; d < BL_N_DEVIATIONS; d++)
        if (masks[find_stage (oracle->board, feed->from)] >> d & 1)
          {
            /* what the feed's own rule leaves open, the stage's rule for all its feeds may say */
            int to = feed->passes.to[d] != BL_PASSES_UNCHANGED ? feed->passes.to[d]
                                                               : stage->passes.to[d];
            into[i] |= 1u << (to == BL_PASSES_UNCHANGED ? d : to);
          }
    }
  guint k = stage->need == BL_NEED_ANY ? 1 : stage->need > 0 ? (guint) stage->need : n;
  for (int d = 0; n > 0 && d < BL_N_DEVIATIONS; d++)
    {
      guint n_before = 0, n_into = 0;
      for (guint i = 0; i < n; i++)
        {
          n_before += (into[i] & ((2u << d) - 1)) != 0;
          n_into += into[i] >> d & 1;
        }
      if (n_into >= 1 && n_before >= n - k + 1)
        mask |= 1u << d;
    }
  return mask;
}

/* Probability of each deviation of each stage, and of an own event together with it. */
static void
enumerate (const Oracle *oracle, double (*p)[BL_N_DEVIATIONS], double (*with)[32][BL_N_DEVIATIONS])
{
  guint n = bl_len (oracle->board->stages);
  for (guint state = 0; state < 1u << oracle->n_events; state++)
    {
      gboolean active[64];
      guint masks[8] = { 0 };
      double weight = 1;
      for (guint i = 0; i < oracle->n_events; i++)
        weight *= state >> i & 1 ? oracle->events[i].chance : 1 - oracle->events[i].chance;
      if (weight == 0)
        continue;
      find_active (oracle, state, active);
      for (guint i = 0; i < n; i++)
        {
          masks[i] = stage_mask (oracle, i, active, masks);
          for (int d = 0; d < BL_N_DEVIATIONS; d++)
            {
              p[i][d] += masks[i] >> d & 1 ? weight : 0;
              for (guint j = 0; j < oracle->n_events; j++)
                with[i][j][d] += (masks[i] >> d & 1) && (state >> j & 1) ? weight : 0;
            }
        }
    }
}

static const char *
pick (GRand *rand, const char *const *from, int n)
{
  return from[g_rand_int_range (rand, 0, n)];
}

static const char *const names[] = { "absent", "unsteady", "low", "high", "in band" };

static void
append_feeds (GString *json, GRand *rand, guint stage)
{
  static const char *const needs[] = { "\"all\"", "\"any\"", "1", "2" };
  if (stage == 0)
    return;
  guint n = 0;
  g_autoptr (GString) from = g_string_new (NULL);
  for (guint i = 0; i < stage; i++)
    if (i == stage - 1 || g_rand_boolean (rand))
      {
        g_string_append_printf (from, n++ > 0 ? ", " : "%s", "");
        if (g_rand_boolean (rand))
          g_string_append_printf (from, "\"s%u\"", i);
        else
          g_string_append_printf (
              from, "{\"stage\": \"s%u\", \"passes\": {\"%s\": \"%s\", \"low\": \"%s\"}}", i,
              pick (rand, names, 2), pick (rand, names, 5), pick (rand, names, 5));
      }
  if (g_rand_int_range (rand, 0, 4) == 0 && n++ > 0)
    g_string_append (from, ", \"port:p\"");
  g_string_append_printf (json, ", \"feeds\": {\"need\": %s, \"from\": [%s]}",
                          pick (rand, needs, n > 1 ? 4 : 3), from->str);
  if (g_rand_boolean (rand))
    g_string_append_printf (json, ", \"passes\": {\"high\": \"%s\"}", pick (rand, names, 5));
}

static void
append_mode (GString *json, GRand *rand, guint component, guint n_stages, guint n_components)
{
  g_string_append_printf (json,
                          "{\"mode\": \"m\", \"weight\": %d, \"effects\": [{\"is\": \"%s\"}, "
                          "{\"on\": \"s%d\", \"is\": [\"%s\"]%s}]",
                          g_rand_int_range (rand, 1, 9), pick (rand, names, 4),
                          g_rand_int_range (rand, 0, (int) n_stages), pick (rand, names, 4),
                          g_rand_boolean (rand) ? ", \"in\": [\"run\"]" : "");
  if (g_rand_int_range (rand, 0, 3) == 0)
    g_string_append (json, ", \"shows\": {\"\": 0.3, \"wet\": 0.9}");
  /* to the next, at times also back to the first: rings come up often */
  if (g_rand_int_range (rand, 0, 3) > 0)
    g_string_append_printf (json,
                            ", \"provokes\": [{\"component\": \"c%u\", \"mode\": \"m\", "
                            "\"chance\": 0.%d}]",
                            (component + 1) % n_components, g_rand_int_range (rand, 1, 9));
  g_string_append (json, "}");
}

static char *
random_board (GRand *rand, gboolean other)
{
  guint n_stages = other ? 2 : 4, n_components = other ? 2 : 5;
  GString *json = g_string_new ("{\"format\": \"benchlore-board\", \"version\": 1, ");
  g_string_append_printf (json, "\"odds\": {\"faults\": 0.9, \"other\": %s}, ",
                          other ? "0.3" : "0");
  g_string_append (json,
                   "\"states\": [{\"id\": \"run\"}, {\"id\": \"off\"}], "
                   "\"ports\": [{\"id\": \"p\"}], \"sections\": [{\"id\": \"x\"}], \"stages\": [");
  for (guint i = 0; i < n_stages; i++)
    {
      g_string_append_printf (json, "%s{\"id\": \"s%u\", \"section\": \"x\"", i > 0 ? ", " : "", i);
      append_feeds (json, rand, i);
      g_string_append (json, "}");
    }
  g_string_append (json, "], \"components\": [");
  for (guint i = 0; i < n_components; i++)
    {
      g_string_append_printf (json,
                              "%s{\"id\": \"c%u\", \"kind\": \"fuse\", \"stage\": \"s%d\", "
                              "\"modes\": [",
                              i > 0 ? ", " : "", i, g_rand_int_range (rand, 0, (int) n_stages));
      append_mode (json, rand, i, n_stages, n_components);
      g_string_append (json, "]}");
    }
  g_string_append (json, "]}");
  return g_string_free (json, FALSE);
}

static double
compare_stage (const Oracle *oracle,
               guint stage,
               int d,
               const double (*p)[BL_N_DEVIATIONS],
               const double (*with)[32][BL_N_DEVIATIONS])
{
  g_autoptr (GError) error = NULL;
  const BlStage *at = bl_at (oracle->board->stages, stage);
  g_autoptr (BlTree) tree =
      bl_tree_from_board (oracle->board, at->id, 1u << d, oracle->state, &error);
  g_assert_no_error (error);
  g_autoptr (BlTreeResult) result = evaluate (tree, NULL, 0);
  g_assert_true (result->coherent);
  double worst = fabs (result->probability - p[stage][d]);
  for (guint i = 0; i < oracle->n_events && p[stage][d] > 0; i++)
    {
      const Event *event = &oracle->events[i];
      const char *id = oracle->modes[event->mode].id;
      int node = event->kind == OWN && id != NULL ? bl_tree_find (tree, id) : -1;
      if (node >= 0)
        worst = MAX (
            worst, fabs (event_of (tree, result, id)->posterior - with[stage][i][d] / p[stage][d]));
    }
  return worst;
}

static void
test_against_enumeration (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (40);
  static const char *const states[] = { NULL, "run", "off" };
  for (guint round = 0; round < 120; round++)
    {
      g_autofree char *json = random_board (rand, round % 4 == 0);
      g_autoptr (BlBoard) board = board_from (json);
      Oracle oracle;
      double p[8][BL_N_DEVIATIONS] = { { 0 } };
      double with[8][32][BL_N_DEVIATIONS] = { { { 0 } } };
      oracle_init (&oracle, board, states[round % 3]);
      enumerate (&oracle, p, with);
      for (guint i = 0; i < bl_len (board->stages); i++)
        for (int d = 0; d < BL_N_DEVIATIONS; d++)
          {
            double worst = compare_stage (&oracle, i, d, (const double (*)[BL_N_DEVIATIONS]) p,
                                          (const double (*)[32][BL_N_DEVIATIONS]) with);
            if (!(worst < 1e-12))
              g_error ("stage %u, deviation %d: off by %g on\n%s", i, d, worst, json);
          }
      oracle_clear (&oracle);
    }
}

static const char small[] =
    "{\"format\": \"benchlore-board\", \"version\": 1, \"odds\": {\"other\": 0},"
    "\"states\": [{\"id\": \"run\"}], \"sections\": [{\"id\": \"x\"}],"
    "\"stages\": [{\"id\": \"bulk\", \"section\": \"x\", \"title\": \"DC link\"},"
    "  {\"id\": \"rail5\", \"section\": \"x\", \"title\": \"5 V rail\","
    "   \"feeds\": {\"from\": [{\"stage\": \"bulk\", \"passes\": {\"low\": \"in band\"}}]}}],"
    "\"components\": [{\"id\": \"F1\", \"kind\": \"fuse\", \"stage\": \"bulk\","
    "   \"modes\": [{\"mode\": \"open\", \"weight\": 1, \"effects\": [{\"is\": \"absent\"}]}]},"
    "  {\"id\": \"U2\", \"kind\": \"ic.regulator\", \"stage\": \"rail5\", \"modes\": ["
    "   {\"mode\": \"open\", \"weight\": 2, \"shows\": {\"\": 0.4}, \"effects\": [{\"is\": "
    "\"absent\"}]},"
    "   {\"mode\": \"short\", \"weight\": 1, \"effects\": [{\"on\": \"bulk\", \"is\": \"low\"}],"
    "    \"provokes\": [{\"component\": \"F1\", \"mode\": \"open\", \"chance\": 0.2}]}]}]}";

/* The comparison must see a chance changed behind the oracle's back. */
static void
test_comparison_can_fail (void)
{
  g_autoptr (BlBoard) board = board_from (small);
  Oracle oracle;
  double p[8][BL_N_DEVIATIONS] = { { 0 } };
  double with[8][32][BL_N_DEVIATIONS] = { { { 0 } } };
  oracle_init (&oracle, board, NULL);
  enumerate (&oracle, p, with);
  for (guint change = 0; change < 2; change++)
    {
      double off = compare_stage (&oracle, 1, BL_ABSENT, (const double (*)[BL_N_DEVIATIONS]) p,
                                  (const double (*)[32][BL_N_DEVIATIONS]) with);
      g_assert_true (change ? off > 1e-4 : off < 1e-14);
      BlMode *shorted = bl_component_mode (bl_board_component (board, "U2"), "short");
      ((BlProvokes *) bl_at (shorted->provokes, 0))->chance = 0.21;
    }
  oracle_clear (&oracle);
}

static void
test_names (void)
{
  g_autoptr (BlBoard) board = board_from (small);
  g_autoptr (GError) error = NULL;
  g_autoptr (BlTree) tree = bl_tree_from_board (board, "rail5", 1u << BL_ABSENT, NULL, &error);
  g_assert_no_error (error);
  const BlNode *top = node_at (tree, tree->top);
  g_assert_cmpstr (top->id, ==, "rail5:absent");
  g_assert_cmpstr (top->title, ==, "5 V rail absent");
  g_assert_cmpstr (top->stage, ==, "rail5");
  g_assert_cmpint (top->deviation, ==, BL_ABSENT);
  g_assert_cmpint (bl_tree_find (tree, "bulk:absent"), >=, 0);
  g_assert_cmpint (bl_tree_find (tree, "bulk:low"), ==, -1); /* is in band at the rail */
  g_assert_cmpfloat (node_at (tree, (guint) bl_tree_find (tree, "U2:short>F1:open"))->probability,
                     ==, 0.2);
  g_assert_cmpfloat (node_at (tree, (guint) bl_tree_find (tree, "U2:open~shows"))->probability, ==,
                     0.4);
  const BlNode *own = node_at (tree, (guint) bl_tree_find (tree, "U2:open"));
  g_assert_cmpstr (own->component, ==, "U2");
  g_assert_cmpstr (own->mode, ==, "open");
  g_assert_cmpfloat_with_epsilon (own->probability, 1 - exp (-0.2 * 2 / 4), 1e-16);

  g_autoptr (BlTreeResult) result = evaluate (tree, NULL, 3);
  double f1 = 1 - exp (-0.05), open = 1 - exp (-0.1), shorted = 1 - exp (-0.05);
  g_assert_cmpfloat_with_epsilon (result->probability,
                                  1 - (1 - 0.4 * open) * (1 - f1) * (1 - 0.2 * shorted), 1e-15);
  g_assert_cmpstr (result->cut_set_count, ==, "3");

  g_autoptr (BlTree) several =
      bl_tree_from_board (board, "bulk", 1u << BL_ABSENT | 1u << BL_LOW, "run", &error);
  g_assert_no_error (error);
  g_assert_cmpstr (node_at (several, several->top)->title, ==, "DC link deviates");
  g_autoptr (BlTree) never = bl_tree_from_board (board, "rail5", 1u << BL_HIGH, NULL, &error);
  g_assert_no_error (error);
  g_autoptr (BlTreeResult) nothing = evaluate (never, NULL, 1);
  g_assert_cmpfloat (nothing->probability, ==, 0);
}

static void
test_refused (void)
{
  g_autoptr (BlBoard) board = board_from (small);
  g_autoptr (GError) error = NULL;
  g_assert_null (bl_tree_from_board (board, "rail9", 1, NULL, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN);
  g_clear_error (&error);
  BlFeed *feed = bl_feed_new ();
  feed->from = g_strdup ("rail5");
  bl_append (&bl_board_stage (board, "bulk")->feeds, feed, (GDestroyNotify) bl_feed_free);
  g_assert_null (bl_tree_from_board (board, "rail5", 1, NULL, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  g_assert_cmpstr (error->message, ==, "loop of feeds: rail5 -> bulk -> rail5");
  g_clear_error (&error);
  g_free (feed->from);
  feed->from = g_strdup ("nowhere");
  g_assert_null (bl_tree_from_board (board, "rail5", 1, NULL, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/tree-board/against-enumeration", test_against_enumeration);
  g_test_add_func ("/core/tree-board/comparison-can-fail", test_comparison_can_fail);
  g_test_add_func ("/core/tree-board/names", test_names);
  g_test_add_func ("/core/tree-board/refused", test_refused);
  return g_test_run ();
}
