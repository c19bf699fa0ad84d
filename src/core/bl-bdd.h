/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-diagram.h"
#include "bl-node-table.h"

G_BEGIN_DECLS

/* A reduced ordered decision diagram with complement edges, while it is being built.
 * An edge is node << 1 | complemented; the only terminal is node 0, true. An operation beyond a
 * cap gives BL_BDD_FAILED, and an operation on BL_BDD_FAILED gives it again. */
typedef guint32 BlEdge;
#define BL_BDD_TRUE 0u
#define BL_BDD_FALSE 1u
#define BL_BDD_FAILED BL_TABLE_FAILED

typedef struct
{
  BlNodeTable table;
  guint depth;
} BlBdd;

/* limit: bytes of all tables; max_nodes: cap on nodes made, intermediate ones included. */
BlBdd *bl_bdd_new (gsize limit, guint32 max_nodes);
/* Starts anew under other caps, with the memory it has. */
void bl_bdd_reset (BlBdd *bdd, gsize limit, guint32 max_nodes);
void bl_bdd_free (BlBdd *bdd);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlBdd, bl_bdd_free)

BlEdge bl_bdd_variable (BlBdd *bdd, guint32 level);
BlEdge bl_bdd_and (BlBdd *bdd, BlEdge f, BlEdge g);
BlEdge bl_bdd_or (BlBdd *bdd, BlEdge f, BlEdge g);
BlEdge bl_bdd_xor (BlBdd *bdd, BlEdge f, BlEdge g);
/* At least k of the n functions. */
BlEdge bl_bdd_at_least (BlBdd *bdd, guint k, const BlEdge *functions, guint n);

static inline BlEdge
bl_bdd_not (BlEdge f)
{
  return f == BL_BDD_FAILED ? f : f ^ 1;
}

static inline guint32
bl_bdd_level (const BlBdd *bdd, BlEdge f)
{
  return bdd->table.nodes[f >> 1].level;
}

/* Copies what the n_roots functions reach. n_levels: number of variables. (transfer full) */
BlDiagram *bl_bdd_extract (const BlBdd *bdd, const BlEdge *roots, guint n_roots, guint n_levels);

G_END_DECLS
