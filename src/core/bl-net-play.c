/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Events played through a network, for the fit and for the hypotheses of a plan: both try some
 * thousand sets of events on networks of some thousand nodes, and a set touches some dozen of them. A
 * node's inputs have smaller numbers than it, so one walk over the numbers is enough. */
#include "config.h"

#include "bl-net-play.h"

static guint
compute (const BlNetPlay *self, guint index)
{
  const BlNetNode *node = bl_net_node (self->network, index);
  guint64 state = 0;
  for (guint i = 0; i < node->in->len; i++)
    {
      const BlNetEdge *edge = &g_array_index (node->in, BlNetEdge, i);
      state = bl_net_join (node, state, edge->add[self->value[edge->from]]);
    }
  return bl_net_close (node, state);
}

/* What each node feeds: the inputs, sorted by where they come from. */
static void
turn_round (BlNetPlay *self)
{
  guint n = self->network->nodes->len;
  self->first_out = g_new0 (guint, n + 2);
  for (guint i = 0; i < n; i++)
    {
      const GArray *in = bl_net_node (self->network, i)->in;
      for (guint j = 0; in != NULL && j < in->len; j++)
        self->first_out[g_array_index (in, BlNetEdge, j).from + 2]++;
    }
  for (guint i = 0; i < n; i++)
    self->first_out[i + 2] += self->first_out[i + 1];
  self->out = g_new (guint, self->first_out[n + 1] + 1);
  /* first_out[i + 1] is where those of i begin, and moves to where they end. */
  for (guint i = 0; i < n; i++)
    {
      const GArray *in = bl_net_node (self->network, i)->in;
      for (guint j = 0; in != NULL && j < in->len; j++)
        self->out[self->first_out[g_array_index (in, BlNetEdge, j).from + 1]++] = i;
    }
}

void
bl_net_play_init (BlNetPlay *self, BlNetwork *network)
{
  guint n = network->nodes->len;
  *self = (BlNetPlay){ .network = network, .n_words = (n + 63) / 64 };
  self->value = g_new0 (guint, n + 1);
  self->changed = g_new (guint, n + 1);
  self->dirty = g_new0 (guint64, self->n_words + 1);
  self->noted = g_new0 (guint64, self->n_words + 1);
  turn_round (self);
  for (guint i = 0; i < n; i++)
    if (bl_net_node (network, i)->in != NULL)
      self->value[i] = compute (self, i);
  self->plain = g_memdup2 (self->value, (n + 1) * sizeof *self->plain);
}

void
bl_net_play_clear (BlNetPlay *self)
{
  g_free (self->value);
  g_free (self->plain);
  g_free (self->first_out);
  g_free (self->out);
  g_free (self->dirty);
  g_free (self->noted);
  g_free (self->changed);
}

static void
change (BlNetPlay *self, guint node, guint value)
{
  if (self->value[node] == value)
    return;
  if (!(self->noted[node / 64] >> (node % 64) & 1))
    self->changed[self->n_changed++] = node;
  self->noted[node / 64] |= G_GUINT64_CONSTANT (1) << (node % 64);
  self->value[node] = value;
  for (guint i = self->first_out[node]; i < self->first_out[node + 1]; i++)
    self->dirty[self->out[i] / 64] |= G_GUINT64_CONSTANT (1) << (self->out[i] % 64);
}

void
bl_net_play_fire (BlNetPlay *self, guint root)
{
  change (self, root, 1);
}

void
bl_net_play_run (BlNetPlay *self, const guint *number_of, guint64 *met)
{
  for (guint w = 0; w < self->n_words; w++)
    while (self->dirty[w] != 0)
      {
        guint node = w * 64 + (guint) __builtin_ctzll (self->dirty[w]);
        self->dirty[w] &= self->dirty[w] - 1;
        if (met != NULL && number_of[node] != G_MAXUINT)
          met[number_of[node] / 64] |= G_GUINT64_CONSTANT (1) << (number_of[node] % 64);
        change (self, node, compute (self, node));
      }
}

void
bl_net_play_rewind (BlNetPlay *self)
{
  while (self->n_changed > 0)
    {
      guint node = self->changed[--self->n_changed];
      self->value[node] = self->plain[node];
      self->noted[node / 64] &= ~(G_GUINT64_CONSTANT (1) << (node % 64));
    }
}
