/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-network.h"

G_BEGIN_DECLS

/* Roots made true and let through a network, one set of them after another: only what they change is
 * computed, and taken back afterwards. */
typedef struct
{
  BlNetwork *network;
  guint *value;           /* of each node as things stand */
  guint *plain;           /* of each node with no root true */
  guint *first_out, *out; /* nodes that node i feeds: out[first_out[i]] up to out[first_out[i + 1]] */
  guint64 *dirty, *noted; /* bit sets of nodes to compute, and of those in changed */
  guint *changed;         /* nodes whose value was changed */
  guint n_words, n_changed;
} BlNetPlay;

/* network must outlive it and get no more nodes; it need not be finished. */
void bl_net_play_init (BlNetPlay *self, BlNetwork *network);
void bl_net_play_clear (BlNetPlay *self);

/* Makes a root true; nothing hears of it before bl_net_play_run (). */
void bl_net_play_fire (BlNetPlay *self, guint root);
/* Computes whatever may change. number_of: of each node a number or G_MAXUINT; the numbers of the nodes
 * that hear of something are added to the bit set met. Both may be NULL. */
void bl_net_play_run (BlNetPlay *self, const guint *number_of, guint64 *met);
/* All roots false again. */
void bl_net_play_rewind (BlNetPlay *self);

G_END_DECLS
