/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fault tree of a stage, derived from the board.
 *
 * Basic events are: that a mode happened by itself; that one mode's presence makes another present
 * (a link); that a present mode shows (bl-tree-board-modes.c). A stage deviates when an active mode
 * says so, or when enough of its feeds do. Only what the stage asked for depends on is derived,
 * each node once. A port is good and stays out of the tree.
 * Ids: "STAGE:DEVIATION", "COMPONENT:MODE" (the own event), "CAUSE>EFFECT" (a link), and with what
 * is meant behind a tilde: "...~present", "...~shows", "...~active", "...~feeds".
 * Boards have some thousand modes at most; the stages behind one another are walked by recursion.
 */
#include "config.h"

#include "bl-tree-derive.h"

#include <glib/gi18n-lib.h>
#include <string.h>

static gboolean
effect_holds (const BlDeriver *deriver, const BlEffect *effect)
{
  return deriver->state == NULL || effect->in == NULL ||
         g_strv_contains ((const char *const *) effect->in, deriver->state);
}

/* TRUE when the active mode makes stage deviate so. */
static gboolean
makes (const BlDeriver *deriver,
       const BlDerivedMode *mode,
       const BlStage *stage,
       BlDeviation deviation)
{
  if (mode->mode == NULL)
    return mode->stage == stage && mode->is == deviation;
  for (guint i = 0; i < bl_len (mode->mode->effects); i++)
    {
      const BlEffect *effect = bl_at (mode->mode->effects, i);
      gboolean here =
          effect->on == NULL ? mode->stage == stage : strcmp (effect->on, stage->id) == 0;
      if (here && effect->is != NULL && effect_holds (deriver, effect) &&
          g_strv_contains ((const char *const *) effect->is, bl_deviation_name (deviation)))
        return TRUE;
    }
  return FALSE;
}

/* What a deviation of a feed becomes at the stage: the feed's own rule, else the stage's. */
static int
passes_into (const BlStage *stage, const BlFeed *feed, int deviation)
{
  const BlPasses *rules[] = { &feed->passes, &stage->feeds_passes, &stage->passes };
  for (gsize i = 0; i < G_N_ELEMENTS (rules); i++)
    if (rules[i]->set && rules[i]->to[deviation] != BL_PASSES_UNCHANGED)
      return rules[i]->to[deviation];
  return deviation;
}

static char *
deviation_title (const BlStage *stage, BlDeviation deviation)
{
  const char *title = stage->title != NULL ? stage->title : stage->id;
  switch (deviation)
    {
    case BL_ABSENT:
      return g_strdup_printf (_ ("%s absent"), title);
    case BL_UNSTEADY:
      return g_strdup_printf (_ ("%s unsteady"), title);
    case BL_LOW:
      return g_strdup_printf (_ ("%s low"), title);
    case BL_HIGH:
    case BL_IN_BAND:
    default:
      return g_strdup_printf (_ ("%s high"), title);
    }
}

static guint
stage_index (const BlDeriver *deriver, const BlStage *stage)
{
  guint index = 0;
  gboolean found = g_ptr_array_find (deriver->board->stages, stage, &index);
  g_assert (found);
  return index;
}

static int deviation_node (BlDeriver *deriver, const BlStage *stage, BlDeviation deviation);

/* Nodes of the feed's deviations that pass into one of the deviations of mask. (transfer full) */
static GArray *
feed_nodes (BlDeriver *deriver, const BlStage *stage, const BlFeed *feed, guint mask)
{
  GArray *nodes = g_array_new (FALSE, FALSE, sizeof (guint));
  const BlStage *from = bl_board_stage (deriver->board, feed->from);
  for (int d = 0; from != NULL && d < BL_N_DEVIATIONS; d++)
    {
      int becomes = passes_into (stage, feed, d);
      if (becomes >= BL_N_DEVIATIONS || (mask & (1u << becomes)) == 0)
        continue;
      int node = deviation_node (deriver, from, (BlDeviation) d);
      guint index = (guint) node;
      if (node >= 0)
        g_array_append_val (nodes, index);
    }
  return nodes;
}

/* The one node that says the feed passes into mask; -1: it never does. */
static int
feed_node (BlDeriver *deriver,
           const BlStage *stage,
           const BlFeed *feed,
           guint mask,
           const char *gate)
{
  g_autoptr (GArray) nodes = feed_nodes (deriver, stage, feed, mask);
  if (nodes->len == 0)
    return -1;
  if (nodes->len == 1)
    return (int) g_array_index (nodes, guint, 0);
  g_autofree char *id = g_strdup_printf ("%s~%s", gate, feed->from);
  const BlStage *from = bl_board_stage (deriver->board, feed->from);
  g_autofree char *title =
      g_strdup_printf (_ ("%s fails to feed"), from->title != NULL ? from->title : from->id);
  guint either = bl_derive_gate (deriver, BL_NODE_OR, id, title);
  for (guint i = 0; i < nodes->len; i++)
    bl_derive_child (deriver, either, g_array_index (nodes, guint, i));
  return (int) either;
}

/* A gate over the feeds that pass into mask; -1 when fewer than k ever do. */
static int
feeds_gate (BlDeriver *deriver,
            const BlStage *stage,
            guint mask,
            guint k,
            const char *id,
            const char *title)
{
  g_autoptr (GArray) nodes = g_array_new (FALSE, FALSE, sizeof (guint));
  for (guint i = 0; i < bl_len (stage->feeds); i++)
    {
      int node = feed_node (deriver, stage, bl_at (stage->feeds, i), mask, id);
      guint index = (guint) node;
      if (node >= 0)
        g_array_append_val (nodes, index);
    }
  if (nodes->len < k || nodes->len == 0)
    return -1;
  if (nodes->len == 1)
    return (int) g_array_index (nodes, guint, 0);
  BlNodeKind kind = k == 1 ? BL_NODE_OR : k == nodes->len ? BL_NODE_AND : BL_NODE_ATLEAST;
  guint gate = bl_derive_gate (deriver, kind, id, title);
  bl_tree_node (deriver->tree, gate)->k = kind == BL_NODE_ATLEAST ? k : 0;
  for (guint i = 0; i < nodes->len; i++)
    bl_derive_child (deriver, gate, g_array_index (nodes, guint, i));
  return (int) gate;
}

/* Through the feeds: at least n - k + 1 pass into the deviation or one before it, and at least one
 * into it. -1: never. */
static int
through_feeds (BlDeriver *deriver, const BlStage *stage, BlDeviation deviation, const char *id)
{
  guint n = bl_len (stage->feeds);
  guint need = stage->need == BL_NEED_ANY ? 1 : stage->need >= 1 ? (guint) stage->need : n;
  guint failing = n + 1 - MIN (need, n);
  if (n == 0)
    return -1;
  g_autofree char *title =
      g_strdup_printf (_ ("feeds of %s"), stage->title != NULL ? stage->title : stage->id);
  g_autofree char *one_id = g_strconcat (id, failing > 1 ? "~one feed" : "~feeds", NULL);
  int one = feeds_gate (deriver, stage, 1u << deviation, 1, one_id, title);
  if (one < 0 || failing == 1)
    return one;
  g_autofree char *enough_id = g_strconcat (id, "~enough feeds", NULL);
  int enough = feeds_gate (deriver, stage, (2u << deviation) - 1, failing, enough_id, title);
  /* For the deviation first in precedence the second condition says it all. */
  if (enough < 0 || deviation == 0)
    return enough;
  g_autofree char *both_id = g_strconcat (id, "~feeds", NULL);
  guint both = bl_derive_gate (deriver, BL_NODE_AND, both_id, title);
  bl_derive_child (deriver, both, (guint) enough);
  bl_derive_child (deriver, both, (guint) one);
  return (int) both;
}

/* The gate of a stage's deviation; -1 when nothing on the board brings it about. */
static int
deviation_node (BlDeriver *deriver, const BlStage *stage, BlDeviation deviation)
{
  enum
  {
    NEVER = -2,
    NOT_YET = -1
  };
  int *node = &deriver->deviations[stage_index (deriver, stage)][deviation];
  if (*node != NOT_YET)
    return *node == NEVER ? -1 : *node;
  g_autofree char *id = bl_derive_id (stage->id, bl_deviation_name (deviation));
  g_autofree char *title = deviation_title (stage, deviation);
  g_autoptr (GArray) children = g_array_new (FALSE, FALSE, sizeof (guint));
  for (guint i = 0; i < deriver->modes->len; i++)
    {
      if (!makes (deriver, bl_derived_mode (deriver, i), stage, deviation))
        continue;
      guint active = bl_derive_active (deriver, i);
      g_array_append_val (children, active);
    }
  int feeds = through_feeds (deriver, stage, deviation, id);
  guint feeds_index = (guint) feeds;
  if (feeds >= 0)
    g_array_append_val (children, feeds_index);
  if (children->len == 0)
    {
      *node = NEVER;
      return -1;
    }
  guint gate = bl_derive_gate (deriver, BL_NODE_OR, id, title);
  bl_tree_node (deriver->tree, gate)->stage = g_strdup (stage->id);
  bl_tree_node (deriver->tree, gate)->deviation = (int) deviation;
  for (guint i = 0; i < children->len; i++)
    bl_derive_child (deriver, gate, g_array_index (children, guint, i));
  *node = (int) gate;
  return *node;
}

static void
set_feed_loop_error (const BlDeriver *deriver, const GArray *path, guint back_to, GError **error)
{
  g_autoptr (GString) names = g_string_new (NULL);
  gboolean inside = FALSE;
  for (guint i = 0; i < path->len; i++)
    {
      guint at = g_array_index (path, guint, i);
      inside = inside || at == back_to;
      if (inside)
        g_string_append_printf (names, "%s -> ",
                                ((BlStage *) bl_at (deriver->board->stages, at))->id);
    }
  g_string_append (names, ((BlStage *) bl_at (deriver->board->stages, back_to))->id);
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("loop of feeds: %s"), names->str);
}

/* Walks the feeds back from stage. state: 0 new, 1 on the path, 2 done. */
static gboolean
check_feeds (const BlDeriver *deriver, guint index, guint8 *state, GArray *path, GError **error)
{
  const BlStage *stage = bl_at (deriver->board->stages, index);
  if (state[index] == 1)
    {
      set_feed_loop_error (deriver, path, index, error);
      return FALSE;
    }
  if (state[index] == 2)
    return TRUE;
  state[index] = 1;
  g_array_append_val (path, index);
  for (guint i = 0; i < bl_len (stage->feeds); i++)
    {
      const BlFeed *feed = bl_at (stage->feeds, i);
      const BlStage *from = bl_board_stage (deriver->board, feed->from);
      if (from == NULL && !g_str_has_prefix (feed->from, "port:"))
        {
          g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN,
                       _ ("stage %s is fed from %s, which the board does not have"), stage->id,
                       feed->from);
          return FALSE;
        }
      if (from != NULL && !check_feeds (deriver, stage_index (deriver, from), state, path, error))
        return FALSE;
    }
  g_array_set_size (path, path->len - 1);
  state[index] = 2;
  return TRUE;
}

static gboolean
prepare (BlDeriver *deriver, const BlStage *stage, GError **error)
{
  guint n = bl_len (deriver->board->stages);
  g_autofree guint8 *state = g_new0 (guint8, n);
  g_autoptr (GArray) path = g_array_new (FALSE, FALSE, sizeof (guint));
  deriver->deviations = g_malloc_n (n, sizeof *deriver->deviations);
  memset (deriver->deviations, -1, n * sizeof *deriver->deviations);
  return check_feeds (deriver, stage_index (deriver, stage), state, path, error) &&
         bl_derive_modes (deriver, error);
}

/* The top: the deviation asked for, or any of several. */
static void
derive_top (BlDeriver *deriver, const BlStage *stage, guint deviations)
{
  g_autoptr (GArray) nodes = g_array_new (FALSE, FALSE, sizeof (guint));
  for (int d = 0; d < BL_N_DEVIATIONS; d++)
    {
      int node =
          (deviations & (1u << d)) != 0 ? deviation_node (deriver, stage, (BlDeviation) d) : -1;
      guint index = (guint) node;
      if (node >= 0)
        g_array_append_val (nodes, index);
    }
  if (nodes->len == 1)
    {
      deriver->tree->top = g_array_index (nodes, guint, 0);
      return;
    }
  g_autofree char *title =
      g_strdup_printf (_ ("%s deviates"), stage->title != NULL ? stage->title : stage->id);
  deriver->tree->top =
      bl_derive_gate (deriver, nodes->len > 0 ? BL_NODE_OR : BL_NODE_CONST, stage->id, title);
  BlNode *top = bl_tree_node (deriver->tree, deriver->tree->top);
  top->stage = g_strdup (stage->id);
  for (guint i = 0; i < nodes->len; i++)
    bl_node_add_child (top, g_array_index (nodes, guint, i));
}

BlTree *
bl_tree_from_board (const BlBoard *board,
                    const char *stage,
                    guint deviations,
                    const char *state,
                    GError **error)
{
  g_return_val_if_fail (board != NULL && stage != NULL, NULL);
  const BlStage *source = bl_board_stage (board, stage);
  if (source == NULL)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("the board has no stage %s"),
                   stage);
      return NULL;
    }
  g_auto (BlDeriver) deriver = { 0 };
  bl_deriver_init (&deriver, board, state);
  if (!prepare (&deriver, source, error))
    return NULL;
  derive_top (&deriver, source, deviations);
  return g_steal_pointer (&deriver.tree);
}
