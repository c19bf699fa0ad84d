/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The network of a job: independent events at its roots; present and active modes, stages, readings
 * and symptoms as gates above them. A gate is described by how contributions of its inputs join, so
 * that it can be filled input by input in any order (causal independence: N. Zhang and D. Poole,
 * Exploiting causal independence in Bayesian network inference, 1996; from memory).
 *
 * Gates are shared by content: a stage seen in two states or two rounds with the same inputs behind
 * it is one node. A ring of modes that provoke each other is unrolled: the least fixed point of a
 * ring of n modes is reached after n - 1 steps, and each step is a gate of its own, so the network
 * has no cycle. Only what the caller asks for is built: a few nodes per mode and stage.
 *
 * A stage that goes on with some of its feeds counts them in a COUNT gate, whose value is one more input of
 * the stage: what its own modes do is joined to that value, not to every count (a sixth of the terms on boards
 * with many such stages). What it gathers, in one word: bits 4-7 deviations some feed passes into, from bit 8
 * one byte per deviation: how many feeds pass into it or into one before it, up to the threshold. Where nothing
 * behind the stage sees more than its first deviation the counts will do: the first deviation by which enough
 * feeds fail is one that some feed passes into.
 *
 * It computes no probability; bl-eliminate.c turns it into a circuit. One long file: every kind of gate
 * is made through the one table of shared nodes, and the kinds call each other. */
#include "config.h"

#include "bl-network.h"

#include <string.h>

typedef struct
{
  guint word[6];
} Key;

enum
{
  KEY_PRESENT = 16,
  KEY_STAGE,
  KEY_SYMPTOM
};

static guint
hash_words (const void *data, gsize n_words)
{
  const guint *word = data;
  guint hash = 2166136261u;
  for (gsize i = 0; i < n_words; i++)
    hash = (hash ^ word[i]) * 16777619u ^ (hash >> 15);
  return hash;
}

static guint
key_hash (gconstpointer key)
{
  return hash_words (key, sizeof (Key) / sizeof (guint));
}

static gboolean
key_equal (gconstpointer a, gconstpointer b)
{
  return memcmp (a, b, sizeof (Key)) == 0;
}

static void
node_free (BlNetNode *node)
{
  g_clear_pointer (&node->in, g_array_unref);
  g_clear_pointer (&node->out, g_array_unref);
  g_clear_pointer (&node->states, g_array_unref);
  g_clear_pointer (&node->values, g_array_unref);
  g_free (node);
}

static guint
gate_hash (gconstpointer key)
{
  const BlNetNode *node = key;
  guint hash = (guint) node->kind * 31 + node->threshold;
  return hash ^ hash_words (node->in->data, node->in->len * sizeof (BlNetEdge) / sizeof (guint));
}

static gboolean
gate_equal (gconstpointer a, gconstpointer b)
{
  const BlNetNode *x = a, *y = b;
  return x->kind == y->kind && x->threshold == y->threshold && x->stage == y->stage
         && x->in->len == y->in->len
         && memcmp (x->in->data, y->in->data, x->in->len * sizeof (BlNetEdge)) == 0;
}

static GPtrArray *
pair_lists (guint n)
{
  GPtrArray *lists = g_ptr_array_new_with_free_func ((GDestroyNotify) g_array_unref);
  for (guint i = 0; i < n; i++)
    g_ptr_array_add (lists, g_array_new (FALSE, FALSE, sizeof (guint)));
  return lists;
}

BlNetwork *
bl_network_new (const BlCauses *causes, const BlRounds *rounds, gboolean every_show)
{
  BlNetwork *network = g_new0 (BlNetwork, 1);
  network->causes = causes;
  network->rounds = rounds;
  network->every_show = every_show;
  network->nodes = g_ptr_array_new_with_free_func ((GDestroyNotify) node_free);
  network->memo = g_hash_table_new_full (key_hash, key_equal, g_free, NULL);
  network->gates = g_hash_table_new (gate_hash, gate_equal);
  network->on_stage = pair_lists (causes->stages->len);
  network->on_measure = pair_lists (causes->measures->len);
  for (guint m = 0; m < causes->modes->len; m++)
    {
      GArray *effects = bl_cause_mode (causes, m)->effects;
      for (guint e = 0; e < effects->len; e++)
        {
          const BlCauseEffect *effect = &g_array_index (effects, BlCauseEffect, e);
          guint pair[2] = { m, e };
          g_array_append_vals (effect->stage >= 0 ? bl_at (network->on_stage, effect->stage)
                                                  : bl_at (network->on_measure, effect->measurement),
                               pair, 2);
        }
    }
  return network;
}

void
bl_network_free (BlNetwork *network)
{
  if (network == NULL)
    return;
  g_clear_pointer (&network->gates, g_hash_table_unref);
  g_clear_pointer (&network->memo, g_hash_table_unref);
  g_clear_pointer (&network->nodes, g_ptr_array_unref);
  g_clear_pointer (&network->on_stage, g_ptr_array_unref);
  g_clear_pointer (&network->on_measure, g_ptr_array_unref);
  g_free (network);
}

static gboolean
recall (BlNetwork *network, const Key *key, guint *node)
{
  gpointer value;
  if (!g_hash_table_lookup_extended (network->memo, key, NULL, &value))
    return FALSE;
  *node = GPOINTER_TO_UINT (value);
  return TRUE;
}

static guint
remember (BlNetwork *network, const Key *key, guint node)
{
  g_hash_table_insert (network->memo, g_memdup2 (key, sizeof *key), GUINT_TO_POINTER (node));
  return node;
}

/* --- making nodes --- */

static BlNetNode *
gate_new (BlNetKind kind)
{
  BlNetNode *node = g_new0 (BlNetNode, 1);
  node->kind = kind;
  node->in = g_array_new (FALSE, TRUE, sizeof (BlNetEdge));
  return node;
}

static guint
append (BlNetwork *network, BlNetNode *node)
{
  for (guint i = 0; i < BL_NET_VALUES; i++)
    node->canon[i] = (guint8) i;
  node->out = g_array_new (FALSE, FALSE, sizeof (guint));
  g_ptr_array_add (network->nodes, node);
  return network->nodes->len - 1;
}

/* The edge from a node, made when there is none; several effects of one input share an edge. */
static guint64 *
edge_from (BlNetNode *gate, guint from)
{
  for (guint i = 0; i < gate->in->len; i++)
    {
      BlNetEdge *edge = &g_array_index (gate->in, BlNetEdge, i);
      if (edge->from == from)
        return edge->add;
    }
  BlNetEdge edge = { .from = from };
  g_array_append_val (gate->in, edge);
  return g_array_index (gate->in, BlNetEdge, gate->in->len - 1).add;
}

static int
compare_edges (gconstpointer a, gconstpointer b)
{
  const BlNetEdge *x = a, *y = b;
  return x->from < y->from ? -1 : x->from > y->from;
}

/* Finds a gate of the same content or keeps this one (takes it). */
static guint
intern (BlNetwork *network, BlNetNode *gate)
{
  gpointer value;
  g_array_sort (gate->in, compare_edges);
  if (gate->in->len == 0)
    return node_free (gate), BL_NET_NONE;
  if (g_hash_table_lookup_extended (network->gates, gate, NULL, &value))
    return node_free (gate), GPOINTER_TO_UINT (value);
  guint index = append (network, gate);
  g_hash_table_insert (network->gates, gate, GUINT_TO_POINTER (index));
  return index;
}

guint
bl_network_find_root (BlNetwork *network, BlRootKind kind, guint a, guint b, guint c, guint d)
{
  Key key = { { kind, a, b, c, d } };
  guint node;
  return recall (network, &key, &node) ? node : BL_NET_NONE;
}

guint
bl_network_root (BlNetwork *network, BlRootKind kind, guint a, guint b, guint c, guint d, double p)
{
  Key key = { { kind, a, b, c, d } };
  guint index;
  if (recall (network, &key, &index))
    return index;
  if (!(p > 0))
    return BL_NET_NONE;
  BlNetNode *node = g_new0 (BlNetNode, 1);
  node->kind = BL_NET_ROOT;
  node->p = MIN (p, 1);
  return remember (network, &key, append (network, node));
}

guint
bl_network_own (BlNetwork *network, guint mode, guint version)
{
  double prior = bl_cause_mode (network->causes, mode)->prior;
  return bl_network_root (network, BL_ROOT_OWN, mode, version, 0, 0,
                          version == 0 ? prior : prior / 10);
}

static void
or_input (BlNetNode *gate, guint from)
{
  if (from == BL_NET_NONE)
    return;
  guint64 *add = edge_from (gate, from);
  for (guint v = 1; v < BL_NET_VALUES; v++)
    add[v] |= 1;
}

/* An or of one bit; a single two-valued input stands for itself. */
static guint
or_gate (BlNetwork *network, BlNetNode *gate)
{
  if (gate->in->len == 1)
    {
      guint from = g_array_index (gate->in, BlNetEdge, 0).from;
      node_free (gate);
      return from;
    }
  return intern (network, gate);
}

static guint
and_gate (BlNetwork *network, guint a, guint b)
{
  if (a == BL_NET_NONE || b == BL_NET_NONE)
    return BL_NET_NONE;
  BlNetNode *gate = gate_new (BL_NET_AND);
  edge_from (gate, a)[0] = 1;
  edge_from (gate, b)[0] = 1;
  return intern (network, gate);
}

guint
bl_network_any (BlNetwork *network, const guint *nodes, guint n)
{
  BlNetNode *gate = gate_new (BL_NET_OR);
  for (guint i = 0; i < n; i++)
    or_input (gate, nodes[i]);
  return append (network, gate);
}

/* --- present and active modes --- */

/* "The cause is present and its link to the mode fires." */
static guint
provoked_by (BlNetwork *network, guint cause, guint link_index, guint cause_present, guint round)
{
  const BlCauseMode *mode = bl_cause_mode (network->causes, cause);
  const BlCauseLink *link = &g_array_index (mode->links, BlCauseLink, link_index);
  guint effect_part = bl_cause_mode (network->causes, link->mode)->part;
  if (link->chance >= 1)
    return cause_present;
  guint root = bl_network_root (network, BL_ROOT_LINK, cause, link_index,
                                bl_rounds_version (network->rounds, round, mode->part),
                                bl_rounds_version (network->rounds, round, effect_part),
                                link->chance);
  return and_gate (network, cause_present, root);
}

/* An or over a mode's own event and what its causes inside (at their values of the last step) or
 * outside its ring provoke. */
static guint
present_step (BlNetwork *network, guint mode, guint round, const guint *last)
{
  const BlCauses *causes = network->causes;
  const BlCauseMode *self = bl_cause_mode (causes, mode);
  GArray *provokers = bl_at (causes->provokers, mode);
  GArray *ring = bl_at (causes->rings, self->ring);
  BlNetNode *gate = gate_new (BL_NET_OR);
  or_input (gate, bl_network_own (network, mode,
                                  bl_rounds_version (network->rounds, round, self->part)));
  for (guint i = 0; i < provokers->len; i += 2)
    {
      guint cause = g_array_index (provokers, guint, i), before = BL_NET_NONE;
      if (bl_cause_mode (causes, cause)->ring != self->ring)
        before = bl_network_present (network, cause, round);
      else if (last != NULL)
        for (guint j = 0; j < ring->len; j++)
          if (g_array_index (ring, guint, j) == cause)
            before = last[j];
      if (before != BL_NET_NONE)
        or_input (gate, provoked_by (network, cause, g_array_index (provokers, guint, i + 1), before,
                                     round));
    }
  return or_gate (network, gate);
}

static void
present_ring (BlNetwork *network, const GArray *ring, guint round)
{
  g_autofree guint *last = g_new (guint, ring->len), *next = g_new (guint, ring->len);
  for (guint i = 0; i < ring->len; i++)
    last[i] = present_step (network, g_array_index (ring, guint, i), round, NULL);
  for (guint step = 1; step < ring->len; step++)
    {
      for (guint i = 0; i < ring->len; i++)
        next[i] = present_step (network, g_array_index (ring, guint, i), round, last);
      memcpy (last, next, ring->len * sizeof *last);
    }
  for (guint i = 0; i < ring->len; i++)
    {
      Key key = { { KEY_PRESENT, g_array_index (ring, guint, i), round } };
      remember (network, &key, last[i]);
    }
}

guint
bl_network_present (BlNetwork *network, guint mode, guint round)
{
  Key key = { { KEY_PRESENT, mode, round } };
  guint node = BL_NET_NONE;
  if (!recall (network, &key, &node))
    {
      present_ring (network, bl_at (network->causes->rings, bl_cause_mode (network->causes, mode)->ring),
                    round);
      recall (network, &key, &node);
    }
  return node;
}

static guint
active (BlNetwork *network, guint mode, guint round)
{
  double chance = network->every_show
                    ? 1
                    : bl_causes_shows (network->causes, mode, network->rounds->conditions[round]);
  if (!(chance > 0))
    return BL_NET_NONE;
  guint present = bl_network_present (network, mode, round);
  if (chance >= 1 || present == BL_NET_NONE)
    return present;
  return and_gate (network, present,
                   bl_network_root (network, BL_ROOT_SHOW, mode, round, 0, 0, chance));
}

/* --- stages, readings, symptoms --- */

static guint
passed (const BlCauseFeed *feed, guint mask)
{
  guint result = 0;
  for (int d = 0; d < BL_N_DEVIATIONS; d++)
    if (mask >> d & 1)
      result |= feed->passes[d];
  return result;
}

static void
feed_input (BlNetNode *gate, guint from, const BlCauseFeed *feed)
{
  guint64 *add = edge_from (gate, from);
  for (guint v = 0; v < BL_NET_VALUES; v++)
    {
      guint mask = passed (feed, v);
      guint64 counted = (guint64) mask << 4;
      if (gate->kind == BL_NET_COUNT)
        {
          for (int d = 0; d < BL_N_DEVIATIONS; d++)
            if (mask & ((2u << d) - 1))
              counted |= G_GUINT64_CONSTANT (1) << (8 + 8 * d);
          add[v] = bl_net_join (gate, add[v], counted);
        }
      else
        add[v] |= mask;
    }
}

static void
effect_inputs (BlNetwork *network, BlNetNode *gate, const GArray *pairs, int state, guint round)
{
  guint64 bit = state < 0 ? G_MAXUINT64 : G_GUINT64_CONSTANT (1) << state;
  for (guint i = 0; i < pairs->len; i += 2)
    {
      guint mode = g_array_index (pairs, guint, i);
      const BlCauseEffect *effect = &g_array_index (bl_cause_mode (network->causes, mode)->effects,
                                                    BlCauseEffect, g_array_index (pairs, guint, i + 1));
      guint from = (effect->states & bit) ? active (network, mode, round) : BL_NET_NONE;
      if (from == BL_NET_NONE)
        continue;
      guint64 *add = edge_from (gate, from);
      for (guint v = 1; v < BL_NET_VALUES; v++)
        add[v] = effect->stage >= 0 ? add[v] | effect->mask : MAX (add[v], effect->code);
    }
}

/* A stage that goes on with some of its feeds counts them in a gate of its own, so that what its own parts do is
 * joined to one value instead of to every count. Returns: that gate, or the one given where there is no need. */
static BlNetNode *
counting_gate (const BlCauseStage *source, BlNetNode *gate)
{
  if (source->threshold <= 1)
    return gate;
  BlNetNode *count = gate_new (BL_NET_COUNT);
  count->stage = TRUE;
  count->threshold = MIN (source->threshold, 255);
  return count;
}

guint
bl_network_stage (BlNetwork *network, guint stage, int state, guint round)
{
  Key key = { { KEY_STAGE, stage, (guint) state, round } };
  guint known;
  if (recall (network, &key, &known))
    return known;
  const BlCauseStage *source = bl_cause_stage (network->causes, stage);
  BlNetNode *gate = gate_new (BL_NET_OR), *feeds = counting_gate (source, gate);
  gate->stage = TRUE;
  effect_inputs (network, gate, bl_at (network->on_stage, stage), state, round);
  for (guint i = 0; i < source->feeds->len; i++)
    {
      const BlCauseFeed *feed = &g_array_index (source->feeds, BlCauseFeed, i);
      guint from = feed->stage < 0 ? BL_NET_NONE
                                   : bl_network_stage (network, (guint) feed->stage, state, round);
      if (from != BL_NET_NONE)
        feed_input (feeds, from, feed);
    }
  guint count = feeds == gate ? BL_NET_NONE : intern (network, feeds);
  for (guint v = 0; count != BL_NET_NONE && v < BL_NET_VALUES; v++)
    edge_from (gate, count)[v] = v;
  return remember (network, &key, intern (network, gate));
}

guint
bl_network_measure (BlNetwork *network, guint measure, int state, guint round, const guint *wrong,
                    guint n_wrong)
{
  const BlCauseMeasure *source = bl_cause_measure (network->causes, measure);
  BlNetNode *gate = gate_new (BL_NET_FIRST);
  effect_inputs (network, gate, bl_at (network->on_measure, measure), state, round);
  guint stage = source->reads < 0 ? BL_NET_NONE
                                  : bl_network_stage (network, (guint) source->reads, state, round);
  if (stage != BL_NET_NONE)
    {
      guint64 *add = edge_from (gate, stage);
      for (guint v = 0; v < BL_NET_VALUES; v++)
        for (int d = 0; d < BL_N_DEVIATIONS; d++)
          if (v >> d & 1)
            add[v] = MAX (add[v], source->reads_code[d]);
    }
  for (guint i = 0; i < n_wrong; i++)
    edge_from (gate, wrong[i])[1] = BL_CAUSE_WRONG;
  return append (network, gate);
}

/* A symptom tied to classes of a measurement: any of them true, whatever shows before it. */
static void
symptom_measure_input (BlNetwork *network, BlNetNode *gate, guint index, const BlWhen *when, int state,
                       guint round)
{
  const BlCauseMeasure *measure = bl_cause_measure (network->causes, index);
  const GArray *pairs = bl_at (network->on_measure, index);
  guint64 bit = state < 0 ? G_MAXUINT64 : G_GUINT64_CONSTANT (1) << state, classes = 0;
  for (guint c = 0; c < MIN (measure->n, 64); c++)
    if (c != measure->good && when->is != NULL
        && g_strv_contains ((const char *const *) when->is, measure->classes[c]))
      classes |= G_GUINT64_CONSTANT (1) << c;
  for (guint i = 0; i < pairs->len; i += 2)
    {
      guint mode = g_array_index (pairs, guint, i);
      const BlCauseEffect *effect = &g_array_index (bl_cause_mode (network->causes, mode)->effects,
                                                    BlCauseEffect, g_array_index (pairs, guint, i + 1));
      if ((effect->states & bit) && (effect->classes & classes))
        or_input (gate, active (network, mode, round));
    }
  guint from = measure->reads < 0 ? BL_NET_NONE
                                  : bl_network_stage (network, (guint) measure->reads, state, round);
  if (from == BL_NET_NONE)
    return;
  guint64 *add = edge_from (gate, from);
  for (guint v = 0; v < BL_NET_VALUES; v++)
    for (int d = 0; d < BL_N_DEVIATIONS; d++)
      if ((v >> d & 1) && measure->reads_code[d] != 0)
        add[v] |= classes >> MIN (measure->class_of[measure->reads_code[d]], 63) & 1;
}

static void
symptom_input (BlNetwork *network, BlNetNode *gate, const BlWhen *when, int state, guint round)
{
  const BlCauses *causes = network->causes;
  int stage = bl_causes_find (causes->stage_index, when->on);
  int measure = stage >= 0 ? -1 : bl_causes_find (causes->measure_index, when->on);
  guint mask = 0, from;
  if (when->state != NULL)
    state = bl_causes_find (causes->state_index, when->state);
  if (measure >= 0)
    symptom_measure_input (network, gate, (guint) measure, when, state, round);
  for (char **is = when->is; is != NULL && *is != NULL; is++)
    {
      BlDeviation d;
      if (bl_deviation_parse (*is, &d) && d < BL_N_DEVIATIONS)
        mask |= 1u << d;
    }
  if (stage < 0 || (from = bl_network_stage (network, (guint) stage, state, round)) == BL_NET_NONE)
    return;
  guint64 *add = edge_from (gate, from);
  for (guint v = 0; v < BL_NET_VALUES; v++)
    add[v] |= (v & mask) != 0;
}

guint
bl_network_symptom (BlNetwork *network, guint symptom, int state, guint round)
{
  const BlSymptom *source = bl_at (network->causes->board->symptoms, symptom);
  BlNetNode *gate = gate_new (BL_NET_OR);
  for (guint i = 0; i < bl_len (source->when); i++)
    symptom_input (network, gate, bl_at (source->when, i), state, round);
  return intern (network, gate);
}

/* --- joins --- */

static guint64
lowest_bit (guint64 mask)
{
  return mask & -mask;
}

guint64
bl_net_join (const BlNetNode *node, guint64 a, guint64 b)
{
  if (node->kind == BL_NET_FIRST)
    return MAX (a, b);
  if (node->kind == BL_NET_OR && node->stage)
    return node->canon[a | b];
  if (node->kind != BL_NET_COUNT)
    return a | b;
  guint64 result = node->first_only ? 0 : (a | b) & 0xf0;
  for (int shift = 8; shift < 40; shift += 8)
    {
      guint64 sum = (a >> shift & 0xff) + (b >> shift & 0xff);
      result |= MIN (sum, node->threshold) << shift;
    }
  return result;
}

guint
bl_net_close (const BlNetNode *node, guint64 state)
{
  if (node->kind == BL_NET_AND)
    return state == 0;
  if (node->kind != BL_NET_COUNT)
    return (guint) state;
  guint mask = 0;
  for (int d = 0; d < BL_N_DEVIATIONS; d++)
    if ((state >> (8 + 8 * d) & 0xff) >= node->threshold
        && (node->first_only || (state >> (4 + d) & 1)))
      mask |= 1u << d;
  return node->canon[node->first_only ? lowest_bit (mask) : mask];
}

/* --- finishing --- */

static const guint64 *
edge_to (BlNetwork *network, guint from, guint to)
{
  GArray *in = bl_net_node (network, to)->in;
  for (guint i = 0; i < in->len; i++)
    if (g_array_index (in, BlNetEdge, i).from == from)
      return g_array_index (in, BlNetEdge, i).add;
  g_assert_not_reached ();
}

/* Two masks are told apart when some consumer's contribution differs. */
static void
classify_values (BlNetwork *network, guint index, guint8 *class_of)
{
  const BlNetNode *node = bl_net_node (network, index);
  g_autofree const guint64 **adds = g_new (const guint64 *, node->out->len + 1);
  for (guint i = 0; i < node->out->len; i++)
    adds[i] = edge_to (network, index, g_array_index (node->out, guint, i));
  for (guint v = 0; v < BL_NET_VALUES; v++)
    {
      class_of[v] = (guint8) v;
      for (guint w = 0; w < v && class_of[v] == v; w++)
        {
          guint i = 0;
          while (i < node->out->len && adds[i][v] == adds[i][w])
            i++;
          if (i == node->out->len)
            class_of[v] = class_of[w];
        }
    }
}

/* The coarsest merging of a stage's masks that no consumer notices, now or after further
 * contributions have joined: with unchanged passes and readings of one kind, only the deviation
 * that shows remains of sixteen masks. Consumers come before what feeds them, so their own merging
 * is already part of the edges. */
static void
merge_masks (BlNetwork *network, guint index)
{
  BlNetNode *node = bl_net_node (network, index);
  guint8 class_of[BL_NET_VALUES];
  classify_values (network, index, class_of);
  for (guint s = 0; s < BL_NET_VALUES; s++)
    for (guint t = 0; t <= s; t++)
      {
        guint x = 0;
        if (node->kind == BL_NET_OR)
          while (x < BL_NET_VALUES && class_of[s | x] == class_of[t | x])
            x++;
        else if (class_of[s] == class_of[t])
          x = BL_NET_VALUES;
        if (x == BL_NET_VALUES)
          {
            node->canon[s] = (guint8) t;
            break;
          }
      }
  if (node->kind == BL_NET_COUNT)
    {
      node->first_only = TRUE;
      for (guint v = 1; v < BL_NET_VALUES; v++)
        node->first_only &= class_of[v] == class_of[lowest_bit (v)];
    }
  for (guint i = 0; i < node->in->len; i++)
    for (guint v = 0; v < BL_NET_VALUES; v++)
      {
        guint64 *add = g_array_index (node->in, BlNetEdge, i).add;
        add[v] = node->kind == BL_NET_OR ? node->canon[add[v]] : bl_net_join (node, add[v], 0);
      }
}

static gboolean
contains (const GArray *array, guint64 state)
{
  for (guint i = 0; i < array->len; i++)
    if (g_array_index (array, guint64, i) == state)
      return TRUE;
  return FALSE;
}

/* States that can be gathered, found input by input. The number only guides the order of
 * elimination and the values' upper bound, so a COUNT gate with very many is cut short and taken to
 * have every value. */
static void
reach_states (BlNetwork *network, BlNetNode *node)
{
  enum { ENOUGH = 512 };
  for (guint i = 0; i < node->in->len && node->states->len < ENOUGH; i++)
    {
      const BlNetEdge *edge = &g_array_index (node->in, BlNetEdge, i);
      const GArray *values = bl_net_node (network, edge->from)->values;
      guint before = node->states->len;
      for (guint s = 0; s < before; s++)
        for (guint v = 0; v < values->len; v++)
          {
            guint64 state = bl_net_join (node, g_array_index (node->states, guint64, s),
                                         edge->add[g_array_index (values, guint, v)]);
            if (!contains (node->states, state))
              g_array_append_val (node->states, state);
          }
    }
}

static void
reach_values (BlNetwork *network, BlNetNode *node)
{
  guint64 seen[4] = { 0 };
  node->states = g_array_new (FALSE, FALSE, sizeof (guint64));
  node->values = g_array_new (FALSE, FALSE, sizeof (guint));
  if (node->kind == BL_NET_ROOT)
    {
      for (guint v = 0; v < 2; v++)
        g_array_append_val (node->values, v);
      return;
    }
  guint64 none = 0;
  g_array_append_val (node->states, none);
  reach_states (network, node);
  gboolean every = node->kind == BL_NET_COUNT && node->states->len >= 512;
  for (guint i = 0; i < (every ? BL_NET_VALUES : node->states->len); i++)
    {
      guint v = every ? node->canon[i] : bl_net_close (node, g_array_index (node->states, guint64, i));
      if (!(seen[v / 64] >> (v % 64) & 1))
        g_array_append_val (node->values, v);
      seen[v / 64] |= G_GUINT64_CONSTANT (1) << (v % 64);
    }
}

void
bl_network_finish (BlNetwork *network)
{
  for (guint i = 0; i < network->nodes->len; i++)
    {
      GArray *in = bl_net_node (network, i)->in;
      for (guint j = 0; in != NULL && j < in->len; j++)
        g_array_append_val (bl_net_node (network, g_array_index (in, BlNetEdge, j).from)->out, i);
    }
  g_hash_table_remove_all (network->gates); /* contents are about to change */
  for (guint i = network->nodes->len; i-- > 0;)
    if (bl_net_node (network, i)->stage)
      merge_masks (network, i);
  for (guint i = 0; i < network->nodes->len; i++)
    reach_values (network, bl_net_node (network, i));
}
