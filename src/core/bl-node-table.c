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
  return nodes * sizeof (BlTableNode) + slots * sizeof (BlTableSlot) +
         computed * sizeof (BlComputed);
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
    .slots = g_new0 (BlTableSlot, FIRST_SLOTS),
    .slots_allocated = FIRST_SLOTS,
    .computed = g_new (BlComputed, FIRST_COMPUTED),
    .computed_allocated = FIRST_COMPUTED,
  };
  bl_node_table_reset (table, n_terminals, limit, max_nodes);
}

/* A power of two of places to start with: of the memory there is, as much as the cap may need, so
 * that a table that was large before need not grow through all sizes again. */
static guint32
first_size (gsize first, gsize allocated, guint32 max_nodes)
{
  gsize size = first;
  while (size * 2 <= allocated && size < max_nodes)
    size *= 2;
  return (guint32) size;
}

void
bl_node_table_reset (BlNodeTable *table, guint n_terminals, gsize limit, guint32 max_nodes)
{
  table->limit = limit;
  table->max_nodes = MIN (max_nodes, G_MAXINT32 - 1);
  table->steps = 0;
  table->max_steps = G_MAXUINT64;
  table->failed = FALSE;
  table->slot_mask = first_size (FIRST_SLOTS, table->slots_allocated, max_nodes) - 1;
  memset (table->slots, 0, ((gsize) table->slot_mask + 1) * sizeof *table->slots);
  table->computed_mask = first_size (FIRST_COMPUTED, table->computed_allocated, max_nodes) - 1;
  forget_all (table->computed, (gsize) table->computed_mask + 1);
  table->n_nodes = 0;
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
  if (bytes_used (wanted, table->slots_allocated, table->computed_allocated) > table->limit)
    return FALSE;
  BlTableNode *nodes = realloc (table->nodes, wanted * sizeof *nodes);
  if (nodes == NULL)
    return FALSE;
  table->nodes = nodes;
  table->n_allocated = (guint32) wanted;
  return TRUE;
}

static void
place (BlNodeTable *table, BlTableSlot entry)
{
  guint32 slot = entry.hash & table->slot_mask;
  while (table->slots[slot].node != 0)
    slot = (slot + 1) & table->slot_mask;
  table->slots[slot] = entry;
}

/* Makes *memory hold wanted elements; what it holds now is kept. */
static gboolean
widen (gpointer *memory, gsize *allocated, gsize wanted, gsize size, gsize bytes_after, gsize limit)
{
  if (*allocated >= wanted)
    return TRUE;
  gpointer wider = bytes_after <= limit ? realloc (*memory, wanted * size) : NULL;
  if (wider == NULL)
    return FALSE;
  *memory = wider;
  *allocated = wanted;
  return TRUE;
}

static gboolean
grow_slots (BlNodeTable *table)
{
  gsize wanted = ((gsize) table->slot_mask + 1) * 2;
  gpointer memory = table->slots;
  if (wanted > G_MAXUINT32 ||
      !widen (&memory, &table->slots_allocated, wanted, sizeof (BlTableSlot),
              bytes_used (table->n_allocated, wanted, table->computed_allocated), table->limit))
    return FALSE;
  table->slots = memory;
  table->slot_mask = (guint32) (wanted - 1);
  memset (table->slots, 0, wanted * sizeof *table->slots);
  for (guint32 i = 0; i < table->n_nodes; i++)
    {
      const BlTableNode *node = &table->nodes[i];
      if (node->level != BL_TERMINAL_LEVEL)
        place (table, (BlTableSlot){ i, bl_table_hash (node->level, node->hi, node->lo) });
    }
  return TRUE;
}

/* A table of results that stays smaller than the diagram only costs time, so a limit reached here
 * is no failure. Doubling leaves an entry where it is or moves it up by the old size. */
static void
grow_computed (BlNodeTable *table)
{
  gsize old_size = (gsize) table->computed_mask + 1, wanted = old_size * 2;
  gpointer memory = table->computed;
  if (wanted > G_MAXINT32 ||
      !widen (&memory, &table->computed_allocated, wanted, sizeof (BlComputed),
              bytes_used (table->n_allocated, table->slots_allocated, wanted), table->limit / 2))
    return;
  table->computed = memory;
  table->computed_mask = (guint32) (wanted - 1);
  forget_all (table->computed + old_size, old_size);
  for (gsize i = 0; i < old_size; i++)
    {
      BlComputed entry = table->computed[i];
      guint32 at = bl_table_hash (entry.f, entry.g, 0) & table->computed_mask;
      if (entry.result == BL_TABLE_FAILED || at == i)
        continue;
      table->computed[at] = entry;
      forget_all (table->computed + i, 1);
    }
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
  for (guint32 slot = hash & table->slot_mask; table->slots[slot].node != 0;
       slot = (slot + 1) & table->slot_mask)
    {
      if (table->slots[slot].hash != hash)
        continue;
      const BlTableNode *node = &table->nodes[table->slots[slot].node];
      if (node->hi == hi && node->lo == lo && node->level == level)
        return table->slots[slot].node;
    }
  if (!make_room (table))
    {
      table->failed = TRUE;
      return BL_TABLE_FAILED;
    }
  guint32 index = table->n_nodes++;
  table->nodes[index] = (BlTableNode){ level, hi, lo };
  place (table, (BlTableSlot){ index, hash });
  return index;
}
