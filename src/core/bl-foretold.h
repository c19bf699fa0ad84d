/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-network.h"

G_BEGIN_DECLS

/* Fields of a row in which combinations are kept: what was gathered for a node, and its value. */
#define BL_FIELD_GATHERED(node) (2 * (node))
#define BL_FIELD_VALUE(node) (2 * (node) + 1)
#define BL_FIELD_IS_VALUE(field) ((field) & 1)
#define BL_FIELD_NODE(field) ((field) / 2)

/* What gates of a network may still come to; see bl-foretold.c. */
typedef struct BlForetelling BlForetelling;
/* network must be finished and outlive it. */
BlForetelling *bl_foretelling_new (const BlNetwork *network);
void bl_foretelling_free (BlForetelling *self);

/* Logarithm to the base 2 of how many of a node's gathered states and values stay apart where a row has both.
 * NAN: nothing is known of this node. */
double bl_foretelling_pairs (const BlForetelling *self, guint node);

/* The gates whose values are among these fields (rising; node < the network's, but for a last one that is no
 * node) while they are not eliminated. gone: the nodes that are. except: a gate to pass over. NULL: none. */
typedef struct BlForetold BlForetold;
BlForetold *bl_foretold_new (const BlForetelling *self, const gboolean *gone, const guint *fields, guint n,
                             guint except);
void bl_foretold_free (BlForetold *all); /* NULL is nothing */

/* Brings a row to the form that stands for all like it. Returns: whether it can come true at all. */
gboolean bl_foretold_settle (const BlForetold *all, guint64 *key);

G_END_DECLS
