/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows of an elimination that can never come true, and rows that are alike.
 *
 * Where a gate is closed before one of its inputs, its factor has a row for each value the input may turn
 * out to have: the value is foretold. The same factor often holds what was gathered for that input
 * already, and values of gates before it. Most of these combinations can never come true: what was
 * gathered is more severe than the value, or an input forces more. Of the others many differ only in what
 * no longer matters: where the most severe deviation decides, all that matters is whether what was
 * gathered comes up to the value already. Of five states and five values that leaves nine combinations of
 * twenty-five, and with five such gates in one factor 9^5 of 25^5.
 *
 * Two states are alike for a value when the same further contributions lead to it. That follows from the
 * gate's join alone, for any weights of the leaves, so nothing is approximate here. Only for gates that
 * gather by or: their join is idempotent, so that a contribution may be taken into account before it is
 * handed over. A stage that needs some of its feeds counts them and is left as it is; readings are never
 * foretold.
 *
 * Expected: tables of 256 bytes for some hundred gates, a handful of gates a factor. It eliminates
 * nothing; bl-eliminate.c does. */
#include "config.h"

#include "bl-foretold.h"

#include <math.h>
#include <string.h>

enum
{
  MAX_KNOWN = 32, /* inputs looked at; more would only strike out more */
  IMPOSSIBLE = 255
};

struct BlForetelling
{
  const BlNetwork *network;
  guint8 **same; /* of each node, [state * BL_NET_VALUES + value]: the state that stands for it; NULL: unknown */
  double *pairs;
};

typedef struct
{
  const BlNetNode *gate;
  const guint8 *same;
  guint value, gathered;  /* its fields of the row; gathered G_MAXUINT: none */
  guint n, at[MAX_KNOWN]; /* inputs whose values are in the row as well */
  const guint64 *add[MAX_KNOWN];
} One;

struct BlForetold
{
  guint n;
  One one[];
};

static gboolean
is_known_kind (const BlNetNode *node)
{
  if (node->kind != BL_NET_OR && node->kind != BL_NET_AND)
    return FALSE;
  for (guint i = 0; i < node->states->len; i++)
    if (g_array_index (node->states, guint64, i) >= BL_NET_VALUES)
      return FALSE;
  for (guint i = 0; i < node->values->len; i++)
    if (g_array_index (node->values, guint, i) >= BL_NET_VALUES)
      return FALSE;
  return TRUE;
}

/* Fills the column of a value. Returns: how many states stay apart. */
static guint
compare_states (const BlNetNode *node, guint value, guint8 *same)
{
  guint leads[BL_NET_VALUES] = { 0 }, apart = 0; /* of each state, a bit for each further one that leads to value */
  for (guint i = 0; i < node->states->len; i++)
    {
      guint64 state = g_array_index (node->states, guint64, i);
      for (guint x = 0; x < node->states->len; x++)
        if (bl_net_close (node, bl_net_join (node, state, g_array_index (node->states, guint64, x))) == value)
          leads[state] |= 1u << x;
    }
  for (guint state = 0; state < BL_NET_VALUES; state++)
    {
      guint first = 0;
      while (leads[first] != leads[state])
        first++;
      same[state * BL_NET_VALUES + value] = leads[state] == 0 ? IMPOSSIBLE : (guint8) first;
      apart += leads[state] != 0 && first == state;
    }
  return apart;
}

BlForetelling *
bl_foretelling_new (const BlNetwork *network)
{
  BlForetelling *self = g_new0 (BlForetelling, 1);
  guint n = network->nodes->len;
  self->network = network;
  self->same = g_new0 (guint8 *, n + 1);
  self->pairs = g_new (double, n + 1);
  for (guint i = 0; i < n; i++)
    {
      const BlNetNode *node = bl_net_node (network, i);
      guint apart = 0;
      self->pairs[i] = NAN;
      if (!is_known_kind (node))
        continue;
      self->same[i] = g_malloc (BL_NET_VALUES * BL_NET_VALUES);
      memset (self->same[i], IMPOSSIBLE, BL_NET_VALUES * BL_NET_VALUES);
      for (guint v = 0; v < node->values->len; v++)
        apart += compare_states (node, g_array_index (node->values, guint, v), self->same[i]);
      self->pairs[i] = log2 (MAX (apart, 1));
    }
  return self;
}

void
bl_foretelling_free (BlForetelling *self)
{
  if (self == NULL)
    return;
  for (guint i = 0; i < self->network->nodes->len; i++)
    g_free (self->same[i]);
  g_free (self->same);
  g_free (self->pairs);
  g_free (self);
}

double
bl_foretelling_pairs (const BlForetelling *self, guint node)
{
  return self->pairs[node];
}

static guint
place_of (const guint *fields, guint n, guint field)
{
  for (guint i = 0; i < n; i++)
    if (fields[i] == field)
      return i;
  return G_MAXUINT;
}

static void
find_known (One *one, const gboolean *gone, const guint *fields, guint n)
{
  const GArray *in = one->gate->in;
  for (guint i = 0; i < in->len && one->n < MAX_KNOWN; i++)
    {
      const BlNetEdge *edge = &g_array_index (in, BlNetEdge, i);
      guint at = gone[edge->from] ? G_MAXUINT : place_of (fields, n, BL_FIELD_VALUE (edge->from));
      if (at == G_MAXUINT)
        continue;
      one->at[one->n] = at;
      one->add[one->n++] = edge->add;
    }
}

BlForetold *
bl_foretold_new (const BlForetelling *self, const gboolean *gone, const guint *fields, guint n, guint except)
{
  BlForetold *all = NULL;
  for (guint f = 0; f < n; f++)
    {
      guint node = BL_FIELD_NODE (fields[f]);
      if (!BL_FIELD_IS_VALUE (fields[f]) || node == except || self->same[node] == NULL)
        continue;
      One one = { .gate = bl_net_node (self->network, node), .same = self->same[node], .value = f,
                  .gathered = f > 0 && fields[f - 1] == BL_FIELD_GATHERED (node) ? f - 1 : G_MAXUINT };
      find_known (&one, gone, fields, n);
      if (one.gathered == G_MAXUINT && one.n == 0)
        continue;
      if (all == NULL)
        all = g_malloc0 (sizeof *all + n * sizeof *all->one);
      all->one[all->n++] = one;
    }
  return all;
}

void
bl_foretold_free (BlForetold *all)
{
  g_free (all);
}

gboolean
bl_foretold_settle (const BlForetold *all, guint64 *key)
{
  for (guint i = 0; all != NULL && i < all->n; i++)
    {
      const One *one = &all->one[i];
      guint64 state = one->gathered != G_MAXUINT ? key[one->gathered] : 0;
      for (guint k = 0; k < one->n; k++)
        state = bl_net_join (one->gate, state, one->add[k][key[one->at[k]]]);
      guint8 same = one->same[state * BL_NET_VALUES + key[one->value]];
      if (same == IMPOSSIBLE)
        return FALSE;
      if (one->gathered != G_MAXUINT)
        key[one->gathered] = same;
    }
  return TRUE;
}
