/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the odds of a job are asked of: the own events, and the presence, of the modes of each
 * component, stage and section, each as a path in the circuit; and the tables that lie above them.
 * Made once a circuit; bl-odds.c evaluates them. */
#include "config.h"

#include "bl-engine-private.h"

void
bl_group_free (BlGroup *group)
{
  if (group == NULL)
    return;
  g_clear_pointer (&group->path, bl_circuit_path_free);
  g_free (group->with);
  g_free (group);
}

BlGroup *
bl_group_new (const BlJobCircuit *compiled, const GArray *nodes)
{
  BlGroup *group = g_new0 (BlGroup, 1);
  g_autoptr (GArray) leaves = g_array_new (FALSE, FALSE, sizeof (guint));
  for (guint i = 0; i < nodes->len; i++)
    {
      guint node = g_array_index (nodes, guint, i);
      int leaf = node == BL_NET_NONE ? -1 : compiled->circuit->leaf[node];
      if (leaf >= 0)
        g_array_append_val (leaves, leaf);
    }
  if (leaves->len == 0)
    return group;
  group->path = bl_circuit_path_new (compiled->circuit, (const guint *) (void *) leaves->data,
                                     leaves->len, FALSE);
  group->laned = bl_circuit_table (compiled->circuit, group->path->top)->laned;
  return group;
}

/* The group of modes selected by a key of their parts: own events, or presence where a mode of them
 * is provoked (NULL otherwise: the same). */
static void
add_groups (BlJobCircuit *compiled, const BlCauses *causes, GPtrArray *groups, GPtrArray *present,
            GArray **members, guint n)
{
  for (guint g = 0; g < n; g++)
    {
      g_autoptr (GArray) own = g_array_new (FALSE, FALSE, sizeof (guint));
      g_autoptr (GArray) there = g_array_new (FALSE, FALSE, sizeof (guint));
      gboolean provoked = FALSE;
      for (guint i = 0; i < members[g]->len; i++)
        {
          guint m = g_array_index (members[g], guint, i);
          provoked |= bl_cause_mode (causes, m)->provoked;
          g_array_append_val (own, compiled->own[m]);
          g_array_append_val (there, compiled->present[m]);
        }
      g_ptr_array_add (groups, bl_group_new (compiled, own));
      g_ptr_array_add (present, provoked ? bl_group_new (compiled, there) : NULL);
    }
}

static GArray **
member_lists (guint n)
{
  GArray **lists = g_new0 (GArray *, n + 1);
  for (guint i = 0; i < n; i++)
    lists[i] = g_array_new (FALSE, FALSE, sizeof (guint));
  return lists;
}

static void
member_lists_free (GArray **lists, guint n)
{
  for (guint i = 0; i < n; i++)
    g_array_unref (lists[i]);
  g_free (lists);
}

typedef enum
{
  BY_PART,
  BY_STAGE,
  BY_SECTION
} By;

static int
place_of (const BlCauses *causes, guint part, By by)
{
  const BlCausePart *source = bl_cause_part (causes, part);
  return by == BY_PART ? (int) part : by == BY_STAGE ? source->stage : source->section;
}

static void
make_groups_by (BlJobCircuit *compiled, const BlCauses *causes, By by, guint n, GPtrArray **groups,
                GPtrArray **present)
{
  GArray **members = member_lists (n);
  for (guint m = 0; m < causes->modes->len; m++)
    {
      int place = place_of (causes, bl_cause_mode (causes, m)->part, by);
      if (place >= 0)
        g_array_append_val (members[place], m);
    }
  *groups = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_group_free);
  *present = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_group_free);
  add_groups (compiled, causes, *groups, *present, members, n);
  member_lists_free (members, n);
}

static void
make_needed (BlJobCircuit *compiled)
{
  g_autoptr (GArray) tops = g_array_new (FALSE, FALSE, sizeof (guint));
  g_autoptr (GArray) leaves = g_array_new (FALSE, FALSE, sizeof (guint));
  for (guint i = 0; i < compiled->parts->len; i++)
    {
      const BlGroup *group = bl_at (compiled->parts, i);
      if (group->path != NULL)
        g_array_append_val (tops, group->path->top);
    }
  for (guint i = 0; i < compiled->slots->len; i++)
    g_array_append_val (leaves, bl_slot (compiled, i)->leaf);
  compiled->needed_parts = bl_circuit_needed (compiled->circuit, (guint *) (void *) tops->data,
                                              tops->len);
  for (guint i = 0; i < tops->len; i++)
    compiled->needed_parts[g_array_index (tops, guint, i)] = 2;
  compiled->needed_slots = bl_circuit_needed (compiled->circuit, (guint *) (void *) leaves->data,
                                              leaves->len);
}

void
bl_job_make_groups (BlJobCircuit *compiled, const BlCauses *causes)
{
  make_groups_by (compiled, causes, BY_PART, causes->parts->len, &compiled->parts,
                  &compiled->parts_present);
  make_groups_by (compiled, causes, BY_STAGE, causes->stages->len, &compiled->stages,
                  &compiled->stages_present);
  make_groups_by (compiled, causes, BY_SECTION, bl_len (causes->board->sections),
                  &compiled->sections, &compiled->sections_present);
  g_autoptr (GArray) all = g_array_new (FALSE, FALSE, sizeof (guint));
  g_array_append_vals (all, compiled->own, causes->modes->len);
  compiled->all = bl_group_new (compiled, all);
  make_needed (compiled);
}
