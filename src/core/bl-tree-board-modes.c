/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The modes of a board as parts of a fault tree: their own events, links and shows.
 *
 * A mode is present when it happened by itself or a present mode provoked it. Where modes provoke
 * each other in a ring the least fixed point is meant, and it is unrolled in as many steps as the
 * ring has modes, since a chain of causes that begins with an own event never needs to pass a mode
 * twice. An own event's probability is 1 - exp (-faults w / T), w the mode's weight, T the sum of
 * all. Up to some thousand modes; rings of more than a handful are not expected.
 */
#include "config.h"

#include "bl-tree-derive.h"

#include <glib/gi18n-lib.h>
#include <string.h>

static void
mode_free (gpointer data)
{
  BlDerivedMode *mode = data;
  g_free (mode->component);
  g_array_unref (mode->causes);
  g_free (mode);
}

void
bl_deriver_init (BlDeriver *deriver, const BlBoard *board, const char *state)
{
  *deriver = (BlDeriver){ .board = board, .state = state, .tree = bl_tree_new () };
  deriver->modes = g_ptr_array_new_with_free_func (mode_free);
  deriver->mode_index = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  deriver->presences = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
}

void
bl_deriver_clear (BlDeriver *deriver)
{
  g_clear_pointer (&deriver->tree, bl_tree_free);
  g_clear_pointer (&deriver->modes, g_ptr_array_unref);
  g_clear_pointer (&deriver->mode_index, g_hash_table_unref);
  g_clear_pointer (&deriver->presences, g_hash_table_unref);
  g_clear_pointer (&deriver->deviations, g_free);
}
char *
bl_derive_id (const char *component, const char *mode)
{
  return g_strdup_printf ("%s:%s", component, mode);
}

static BlDerivedMode *
add_mode (BlDeriver *deriver, char *component, const char *name, double weight)
{
  BlDerivedMode *mode = g_new0 (BlDerivedMode, 1);
  mode->component = component;
  mode->name = name;
  mode->weight = weight;
  mode->causes = g_array_new (FALSE, FALSE, sizeof (BlCause));
  mode->own = mode->present = mode->active = -1;
  g_ptr_array_add (deriver->modes, mode);
  g_hash_table_insert (deriver->mode_index, bl_derive_id (component, name),
                       GUINT_TO_POINTER (deriver->modes->len));
  return mode;
}

static double
add_documented (BlDeriver *deriver)
{
  double sum = 0;
  for (guint i = 0; i < bl_len (deriver->board->components); i++)
    {
      const BlComponent *component = bl_at (deriver->board->components, i);
      for (guint j = 0; j < bl_len (component->modes); j++)
        {
          const BlMode *source = bl_at (component->modes, j);
          double weight = bl_board_mode_weight (deriver->board, component, source);
          BlDerivedMode *mode = add_mode (deriver, g_strdup (component->id), source->mode, weight);
          mode->mode = source;
          mode->stage = bl_board_stage (deriver->board, component->stage);
          sum += weight;
        }
    }
  return sum;
}

/* "Something else in this stage": what no documented component accounts for. */
static void
add_implied (BlDeriver *deriver, double documented)
{
  static const struct
  {
    BlDeviation is;
    double share;
  } rows[] = { { BL_ABSENT, 0.55 }, { BL_LOW, 0.2 }, { BL_UNSTEADY, 0.15 }, { BL_HIGH, 0.1 } };
  guint n = bl_len (deriver->board->stages);
  double each = bl_board_odds (deriver->board).other * documented / MAX (n, 1);
  for (guint i = 0; each > 0 && i < n; i++)
    for (gsize j = 0; j < G_N_ELEMENTS (rows); j++)
      {
        const BlStage *stage = bl_at (deriver->board->stages, i);
        BlDerivedMode *mode = add_mode (deriver, bl_stage_other_id (stage->id),
                                        bl_deviation_name (rows[j].is), each * rows[j].share);
        mode->stage = stage;
        mode->is = rows[j].is;
      }
}

static gboolean
add_causes (BlDeriver *deriver, GError **error)
{
  for (guint i = 0; i < deriver->modes->len; i++)
    {
      const BlDerivedMode *cause = bl_derived_mode (deriver, i);
      for (guint j = 0; cause->mode != NULL && j < bl_len (cause->mode->provokes); j++)
        {
          const BlProvokes *provokes = bl_at (cause->mode->provokes, j);
          g_autofree char *id = bl_derive_id (provokes->component, provokes->mode);
          guint to = GPOINTER_TO_UINT (g_hash_table_lookup (deriver->mode_index, id));
          if (to == 0)
            {
              g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN,
                           _ ("%s:%s provokes %s, which the board does not have"), cause->component,
                           cause->name, id);
              return FALSE;
            }
          BlCause entry = { i, isnan (provokes->chance) ? 1 : provokes->chance, -1 };
          g_array_append_val (bl_derived_mode (deriver, to - 1)->causes, entry);
        }
    }
  return TRUE;
}

/* Which modes lead to mode through causes. (transfer full) */
static guint8 *
find_leading (const BlDeriver *deriver, guint mode)
{
  guint8 *leads = g_new0 (guint8, deriver->modes->len);
  g_autoptr (GArray) list = g_array_new (FALSE, FALSE, sizeof (guint));
  g_array_append_val (list, mode);
  while (list->len > 0)
    {
      guint at = g_array_index (list, guint, list->len - 1);
      g_array_set_size (list, list->len - 1);
      const GArray *causes = bl_derived_mode (deriver, at)->causes;
      for (guint i = 0; i < causes->len; i++)
        {
          guint cause = g_array_index (causes, BlCause, i).mode;
          if (leads[cause])
            continue;
          leads[cause] = 1;
          g_array_append_val (list, cause);
        }
    }
  return leads;
}

/* Rings: two modes are in one when each leads to the other. Few modes have causes at all. */
static void
find_rings (BlDeriver *deriver)
{
  guint n = deriver->modes->len, ring = 0;
  g_autofree guint8 **leading = g_new0 (guint8 *, n + 1);
  for (guint i = 0; i < n; i++)
    if (bl_derived_mode (deriver, i)->causes->len > 0)
      leading[i] = find_leading (deriver, i);
  for (guint i = 0; i < n; i++)
    {
      BlDerivedMode *mode = bl_derived_mode (deriver, i);
      if (leading[i] == NULL || !leading[i][i] || mode->ring != 0)
        continue;
      ring++;
      guint size = 0;
      for (guint j = i; j < n; j++)
        if (leading[i][j] && leading[j] != NULL && leading[j][i])
          {
            bl_derived_mode (deriver, j)->ring = ring;
            size++;
          }
      for (guint j = i; j < n; j++)
        if (bl_derived_mode (deriver, j)->ring == ring)
          bl_derived_mode (deriver, j)->ring_size = size;
    }
  for (guint i = 0; i < n; i++)
    g_free (leading[i]);
}

gboolean
bl_derive_modes (BlDeriver *deriver, GError **error)
{
  double documented = add_documented (deriver), total = 0;
  add_implied (deriver, documented > 0 ? documented : 1);
  for (guint i = 0; i < deriver->modes->len; i++)
    total += bl_derived_mode (deriver, i)->weight;
  deriver->faults_per_weight = total > 0 ? bl_board_odds (deriver->board).faults / total : 0;
  if (!add_causes (deriver, error))
    return FALSE;
  find_rings (deriver);
  return TRUE;
}

static guint
add_event (BlDeriver *deriver, const char *id, const char *title, double probability)
{
  bl_tree_add (deriver->tree, BL_NODE_EVENT, id, title)->probability = probability;
  return deriver->tree->nodes->len - 1;
}

guint
bl_derive_gate (BlDeriver *deriver, BlNodeKind kind, const char *id, const char *title)
{
  bl_tree_add (deriver->tree, kind, id, title);
  return deriver->tree->nodes->len - 1;
}

static char *
mode_title (const BlDerivedMode *mode)
{
  if (mode->mode != NULL)
    return g_strdup_printf ("%s %s", mode->component, mode->name);
  const char *stage = mode->stage->title != NULL ? mode->stage->title : mode->stage->id;
  switch (mode->is)
    {
    case BL_ABSENT:
      return g_strdup_printf (_ ("something else makes %s absent"), stage);
    case BL_UNSTEADY:
      return g_strdup_printf (_ ("something else makes %s unsteady"), stage);
    case BL_LOW:
      return g_strdup_printf (_ ("something else makes %s low"), stage);
    case BL_HIGH:
    case BL_IN_BAND:
    default:
      return g_strdup_printf (_ ("something else makes %s high"), stage);
    }
}

static guint
own_event (BlDeriver *deriver, guint index)
{
  BlDerivedMode *mode = bl_derived_mode (deriver, index);
  if (mode->own >= 0)
    return (guint) mode->own;
  g_autofree char *id = bl_derive_id (mode->component, mode->name);
  g_autofree char *title = mode_title (mode);
  mode->own =
      (int) add_event (deriver, id, title, -expm1 (-deriver->faults_per_weight * mode->weight));
  BlNode *node = bl_tree_node (deriver->tree, (guint) mode->own);
  node->component = g_strdup (mode->component);
  node->mode = g_strdup (mode->name);
  return (guint) mode->own;
}

static guint
link_event (BlDeriver *deriver, guint index, guint cause_index)
{
  const BlDerivedMode *mode = bl_derived_mode (deriver, index);
  BlCause *entry = &g_array_index (mode->causes, BlCause, cause_index);
  if (entry->link >= 0)
    return (guint) entry->link;
  const BlDerivedMode *cause = bl_derived_mode (deriver, entry->mode);
  g_autofree char *id =
      g_strdup_printf ("%s:%s>%s:%s", cause->component, cause->name, mode->component, mode->name);
  g_autofree char *title = g_strdup_printf (_ ("%s %s leads to %s %s"), cause->component,
                                            cause->name, mode->component, mode->name);
  entry->link = (int) add_event (deriver, id, title, entry->chance);
  return (guint) entry->link;
}

static guint present_node (BlDeriver *deriver, guint index);

/* Present within so many steps of its ring; of a mode outside of rings, present. */
static guint
present_within (BlDeriver *deriver, guint index, guint steps)
{
  const BlDerivedMode *mode = bl_derived_mode (deriver, index);
  guint own = own_event (deriver, index);
  gboolean final = steps + 1 == mode->ring_size || mode->ring == 0;
  g_autofree char *id =
      final ? g_strdup_printf ("%s:%s~present", mode->component, mode->name)
            : g_strdup_printf ("%s:%s~present~%u", mode->component, mode->name, steps);
  guint before = GPOINTER_TO_UINT (g_hash_table_lookup (deriver->presences, id));
  if (before != 0)
    return before - 1;
  g_autofree char *title = g_strdup_printf (_ ("%s %s is present"), mode->component, mode->name);
  guint gate = bl_derive_gate (deriver, BL_NODE_OR, id, title);
  g_hash_table_insert (deriver->presences, g_strdup (id), GUINT_TO_POINTER (gate + 1));
  bl_derive_child (deriver, gate, own);
  for (guint i = 0; i < mode->causes->len; i++)
    {
      guint from = g_array_index (mode->causes, BlCause, i).mode;
      const BlDerivedMode *cause = bl_derived_mode (deriver, from);
      gboolean inside = mode->ring != 0 && cause->ring == mode->ring;
      if (inside && steps == 0)
        continue;
      guint present =
          inside ? present_within (deriver, from, steps - 1) : present_node (deriver, from);
      g_autofree char *and_id = g_strdup_printf ("%s&%s:%s", id, cause->component, cause->name);
      g_autofree char *and_title =
          g_strdup_printf (_ ("%s %s brought about by %s %s"), mode->component, mode->name,
                           cause->component, cause->name);
      guint link = link_event (deriver, index, i);
      guint both = bl_derive_gate (deriver, BL_NODE_AND, and_id, and_title);
      bl_derive_child (deriver, both, present);
      bl_derive_child (deriver, both, link);
      bl_derive_child (deriver, gate, both);
    }
  return gate;
}

static guint
present_node (BlDeriver *deriver, guint index)
{
  BlDerivedMode *mode = bl_derived_mode (deriver, index);
  if (mode->present >= 0)
    return (guint) mode->present;
  if (mode->causes->len == 0)
    mode->present = (int) own_event (deriver, index);
  else
    {
      guint steps = mode->ring != 0 ? mode->ring_size - 1 : 0;
      mode->present = (int) present_within (deriver, index, steps);
    }
  return (guint) mode->present;
}

guint
bl_derive_active (BlDeriver *deriver, guint index)
{
  BlDerivedMode *mode = bl_derived_mode (deriver, index);
  double shows = mode->mode != NULL ? bl_mode_shows (mode->mode, "") : 1;
  if (mode->active >= 0)
    return (guint) mode->active;
  guint present = present_node (deriver, index);
  if (shows >= 1)
    {
      mode->active = (int) present;
      return present;
    }
  g_autofree char *id = g_strdup_printf ("%s:%s~active", mode->component, mode->name);
  g_autofree char *title =
      g_strdup_printf (_ ("%s %s is present and shows"), mode->component, mode->name);
  g_autofree char *event_id = g_strdup_printf ("%s:%s~shows", mode->component, mode->name);
  g_autofree char *event_title = g_strdup_printf (_ ("%s %s shows"), mode->component, mode->name);
  guint gate = bl_derive_gate (deriver, BL_NODE_AND, id, title);
  guint event = add_event (deriver, event_id, event_title, shows);
  bl_derive_child (deriver, gate, present);
  bl_derive_child (deriver, gate, event);
  mode->active = (int) gate;
  return gate;
}
