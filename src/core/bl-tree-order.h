/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-tree-graph.h"

G_BEGIN_DECLS

/* Ways to order the variables of a module. No single one wins, so they are tried in turn. */
typedef enum
{
  BL_ORDER_WEIGHT,      /* the heaviest variable by weight handed down, again and again */
  BL_ORDER_LARGE_FIRST, /* depth first, the child that depends on most variables first */
  BL_ORDER_DEPTH_FIRST, /* depth first, children as listed */
  BL_ORDER_SMALL_FIRST, /* depth first, the child that depends on fewest variables first */
  BL_ORDER_SHARED_FIRST, /* depth first, the child with most parents first */
  BL_N_ORDERS
} BlOrder;

/* The leaves of module in the given order: guint32 graph nodes. (transfer full) */
GArray *bl_order_leaves (const BlGraph *graph, const BlModule *module, BlOrder order);

G_END_DECLS
