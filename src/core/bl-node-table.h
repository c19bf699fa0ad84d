/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* The store of the nodes of one decision diagram: an arena that only grows, a unique table over it
 * and a lossy table of computed results. See bl-node-table.c. */
#define BL_TABLE_FAILED G_MAXUINT32
#define BL_TERMINAL_LEVEL G_MAXUINT32

typedef struct
{
  guint32 level, hi, lo; /* hi and lo mean what the kind of diagram makes of them */
} BlTableNode;

/* A place of the unique table. The hash is kept so that most look-ups need not touch the node. */
typedef struct
{
  guint32 node, hash; /* node 0: free */
} BlTableSlot;

typedef struct
{
  guint32 f, g, result;
} BlComputed;

typedef struct
{
  BlTableNode *nodes;
  guint32 n_nodes, n_allocated;
  BlTableSlot *slots;
  gsize slots_allocated;
  guint32 slot_mask;
  BlComputed *computed;
  gsize computed_allocated;
  guint32 computed_mask;
  gsize limit;       /* bytes of all tables together */
  guint32 max_nodes; /* cap on nodes */
  guint64 steps, max_steps; /* results computed and their cap */
  gboolean failed;   /* a cap was reached: every further result is BL_TABLE_FAILED */
} BlNodeTable;

/* Starts with n_terminals nodes of BL_TERMINAL_LEVEL, small tables that grow with the work. */
void bl_node_table_init (BlNodeTable *table, guint n_terminals, gsize limit, guint32 max_nodes);
void bl_node_table_clear (BlNodeTable *table);
/* Empties the table for another diagram under other caps; the memory it has is kept for it. */
void bl_node_table_reset (BlNodeTable *table, guint n_terminals, gsize limit, guint32 max_nodes);

/* Index of the node (level, hi, lo), made if there is none; BL_TABLE_FAILED beyond a cap. */
guint32 bl_node_table_get (BlNodeTable *table, guint32 level, guint32 hi, guint32 lo);

static inline guint32
bl_table_hash (guint32 a, guint32 b, guint32 c)
{
  guint64 h = ((guint64) a << 32 | b) * G_GUINT64_CONSTANT (0x9E3779B97F4A7C15);
  h = (h ^ (h >> 29) ^ c) * G_GUINT64_CONSTANT (0xBF58476D1CE4E5B9);
  return (guint32) (h >> 32);
}

/* A result computed before for the pair (f, g), or BL_TABLE_FAILED when it is not remembered. */
static inline guint32
bl_node_table_recall (const BlNodeTable *table, guint32 f, guint32 g)
{
  const BlComputed *entry = &table->computed[bl_table_hash (f, g, 0) & table->computed_mask];
  return entry->f == f && entry->g == g ? entry->result : BL_TABLE_FAILED;
}

static inline void
bl_node_table_remember (BlNodeTable *table, guint32 f, guint32 g, guint32 result)
{
  BlComputed *entry = &table->computed[bl_table_hash (f, g, 0) & table->computed_mask];
  *entry = (BlComputed){ f, g, result };
  if (++table->steps > table->max_steps)
    table->failed = TRUE;
}

G_END_DECLS
