/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The store of the nodes of one decision diagram.
 *
 * An arena without reference counts: a diagram is built once, its result copied out and the whole
 * table dropped, so nothing is ever collected. Nodes are made after the nodes they point to, hence
 * the order of the arena is a topological order and every later pass is a plain loop.
 * Expected sizes: from a few nodes (most modules of a tree) to some ten million. All tables start
 * small and grow with the work; growth that would pass the limit makes the table fail for good
 * instead, which the caller reports. It knows nothing of what the nodes mean.
 */
#include "config.h"

#include "bl-node-table.h"

#include <stdlib.h>
#include <string.h>

enum
{
  FIRST_NODES = 64,
  FIRST_SLOTS = 128,
  FIRST_COMPUTED = 64,
  NO_PAIR = -1
};

static gsize
bytes_used (gsize nodes, gsize slots, gsize computed)
{
  return nodes * sizeof (BlTableNode) + slots * sizeof (guint32) + computed * sizeof (BlComputed);
}

static void
forget_all (BlComputed *computed, gsize n)
{
  for (gsize i = 0; i < n; i++)
    computed[i] = (BlComputed){ (guint32) NO_PAIR, (guint32) NO_PAIR, BL_TABLE_FAILED };
}

void
bl_node_table_init (BlNodeTable *table, guint n_terminals, gsize limit, guint32 max_nodes)
{
  *table = (BlNodeTable){
    .nodes = g_new0 (BlTableNode, FIRST_NODES),
    .n_allocated = FIRST_NODES,
    .slots = g_new0 (guint32, FIRST_SLOTS),
    .slot_mask = FIRST_SLOTS - 1,
    .computed = g_new (BlComputed, FIRST_COMPUTED),
    .computed_mask = FIRST_COMPUTED - 1,
    .limit = limit,
    .max_nodes = MIN (max_nodes, G_MAXINT32 - 1),
    .max_steps = G_MAXUINT64,
  };
  forget_all (table->computed, FIRST_COMPUTED);
  for (guint i = 0; i < n_terminals; i++)
    table->nodes[table->n_nodes++] = (BlTableNode){ BL_TERMINAL_LEVEL, i, i };
}

void
bl_node_table_clear (BlNodeTable *table)
{
  g_clear_pointer (&table->nodes, free);
  g_clear_pointer (&table->slots, free);
  g_clear_pointer (&table->computed, free);
}

static gboolean
grow_nodes (BlNodeTable *table)
{
  gsize wanted = (gsize) table->n_allocated + table->n_allocated / 2;
  if (bytes_used (wanted, (gsize) table->slot_mask + 1, (gsize) table->computed_mask + 1) >
      table->limit)
    return FALSE;
  BlTableNode *nodes = realloc (table->nodes, wanted * sizeof *nodes);
  if (nodes == NULL)
    return FALSE;
  table->nodes = nodes;
  table->n_allocated = (guint32) wanted;
  return TRUE;
}

static void
place (BlNodeTable *table, guint32 index)
{
  const BlTableNode *node = &table->nodes[index];
  guint32 slot = bl_table_hash (node->level, node->hi, node->lo) & table->slot_mask;
  while (table->slots[slot] != 0)
    slot = (slot + 1) & table->slot_mask;
  table->slots[slot] = index;
}

static gboolean
grow_slots (BlNodeTable *table)
{
  gsize wanted = ((gsize) table->slot_mask + 1) * 2;
  if (wanted > G_MAXUINT32 || bytes_used (table->n_allocated, wanted * 3 / 2,
                                          (gsize) table->computed_mask + 1) > table->limit)
    return FALSE;
  guint32 *slots = calloc (wanted, sizeof *slots);
  if (slots == NULL)
    return FALSE;
  free (table->slots);
  table->slots = slots;
  table->slot_mask = (guint32) (wanted - 1);
  for (guint32 i = 0; i < table->n_nodes; i++)
    if (table->nodes[i].level != BL_TERMINAL_LEVEL)
      place (table, i);
  return TRUE;
}

/* A table of results that stays smaller than the diagram only costs time, so a limit reached here
 * is no failure. */
static void
grow_computed (BlNodeTable *table)
{
  gsize old_size = (gsize) table->computed_mask + 1, wanted = old_size * 2;
  if (wanted > G_MAXINT32 || bytes_used (table->n_allocated, (gsize) table->slot_mask + 1,
                                         wanted * 3 / 2) > table->limit / 2)
    return;
  BlComputed *old = table->computed;
  BlComputed *computed = malloc (wanted * sizeof *computed);
  if (computed == NULL)
    return;
  forget_all (computed, wanted);
  table->computed = computed;
  table->computed_mask = (guint32) (wanted - 1);
  for (gsize i = 0; i < old_size; i++)
    if (old[i].result != BL_TABLE_FAILED)
      computed[bl_table_hash (old[i].f, old[i].g, 0) & table->computed_mask] = old[i];
  free (old);
}

static gboolean
make_room (BlNodeTable *table)
{
  if (table->n_nodes >= table->max_nodes)
    return FALSE;
  if (table->n_nodes == table->n_allocated && !grow_nodes (table))
    return FALSE;
  if (table->n_nodes > table->slot_mask / 4 * 3 && !grow_slots (table))
    return FALSE;
  if (table->n_nodes > table->computed_mask)
    grow_computed (table);
  return TRUE;
}

guint32
bl_node_table_get (BlNodeTable *table, guint32 level, guint32 hi, guint32 lo)
{
  if (table->failed)
    return BL_TABLE_FAILED;
  guint32 hash = bl_table_hash (level, hi, lo);
  for (guint32 slot = hash & table->slot_mask; table->slots[slot] != 0;
       slot = (slot + 1) & table->slot_mask)
    {
      const BlTableNode *node = &table->nodes[table->slots[slot]];
      if (node->hi == hi && node->lo == lo && node->level == level)
        return table->slots[slot];
    }
  if (!make_room (table))
    {
      table->failed = TRUE;
      return BL_TABLE_FAILED;
    }
  guint32 index = table->n_nodes++;
  table->nodes[index] = (BlTableNode){ level, hi, lo };
  place (table, index);
  return index;
}
