/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fault tree of a whole board by where the fault sits: sections, their stages, the components in
 * them, the modes of these. It says nothing of effects; the tree of a stage does (bl-tree-board.c). The
 * events are the same, with the same ids and probabilities. Some thousand modes at most. */
#include "config.h"

#include "bl-causes.h"
#include "bl-tree-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

typedef struct
{
  const BlCauses *causes;
  BlTree *tree;
} Whole;

static guint
add (Whole *whole, BlNodeKind kind, const char *id, const char *title)
{
  bl_tree_add (whole->tree, kind, id, title);
  return whole->tree->nodes->len - 1;
}

static const char *
named (const char *title, const char *id)
{
  return title != NULL && *title != '\0' ? title : id;
}

static void
add_event (Whole *whole, const BlCausePart *part, const BlCauseMode *mode, guint parent)
{
  g_autofree char *id = g_strdup_printf ("%s:%s", part->id, mode->name);
  const BlStage *stage = part->stage >= 0 ? bl_at (whole->causes->board->stages, part->stage) : NULL;
  g_autofree char *title = mode->mode != NULL || stage == NULL
                             ? g_strdup_printf ("%s %s", part->id, mode->name)
                             : g_strdup_printf (_ ("something else makes it %s"), mode->name);
  guint index = add (whole, BL_NODE_EVENT, id, title);
  BlNode *event = bl_tree_node (whole->tree, index);

  event->probability = mode->prior;
  event->component = g_strdup (part->id);
  event->mode = g_strdup (mode->name);
  bl_node_add_child (bl_tree_node (whole->tree, parent), index);
}

static void
add_part (Whole *whole, guint p, guint parent)
{
  const BlCausePart *part = bl_at (whole->causes->parts, p);
  const BlComponent *component = bl_board_component (whole->causes->board, part->id);
  const char *more = component == NULL ? NULL : component->title != NULL ? component->title : component->value;
  guint gate = parent;

  if (part->n > 1)
    {
      g_autofree char *id = g_strconcat (part->id, "~fails", NULL);
      g_autofree char *title = component == NULL ? g_strdup (_ ("something else in it"))
                               : more != NULL    ? g_strdup_printf ("%s %s", part->id, more)
                                                 : g_strdup (part->id);
      gate = add (whole, BL_NODE_OR, id, title);
      bl_tree_node (whole->tree, gate)->component = g_strdup (part->id);
      bl_node_add_child (bl_tree_node (whole->tree, parent), gate);
    }
  for (guint i = 0; i < part->n; i++)
    add_event (whole, part, bl_at (whole->causes->modes, part->first + i), gate);
}

static void
add_stage (Whole *whole, int s, guint parent)
{
  const BlStage *stage = s >= 0 ? bl_at (whole->causes->board->stages, s) : NULL;
  guint gate = G_MAXUINT;

  for (guint p = 0; p < whole->causes->parts->len; p++)
    {
      const BlCausePart *part = bl_at (whole->causes->parts, p);
      if (part->stage != s || part->n == 0)
        continue;
      if (gate == G_MAXUINT && stage != NULL)
        {
          g_autofree char *title = g_strdup_printf (_ ("fault in %s"), named (stage->title, stage->id));
          gate = add (whole, BL_NODE_OR, stage->id, title);
          bl_tree_node (whole->tree, gate)->stage = g_strdup (stage->id);
          bl_node_add_child (bl_tree_node (whole->tree, parent), gate);
        }
      add_part (whole, p, stage != NULL ? gate : parent);
    }
}

static void
add_section (Whole *whole, int s)
{
  const BlSection *section = s >= 0 ? bl_at (whole->causes->board->sections, s) : NULL;
  guint parent = whole->tree->top;

  if (section != NULL)
    {
      g_autofree char *id = g_strconcat ("section:", section->id, NULL);
      g_autofree char *title = g_strdup_printf (_ ("fault in section %s"), named (section->title, section->id));
      parent = add (whole, BL_NODE_OR, id, title);
    }
  for (guint i = 0; i < whole->causes->stages->len; i++)
    if (((BlCauseStage *) bl_at (whole->causes->stages, i))->section == s)
      add_stage (whole, (int) i, parent);
  if (section != NULL && bl_node_n_children (bl_tree_node (whole->tree, parent)) > 0)
    bl_node_add_child (bl_tree_node (whole->tree, whole->tree->top), parent);
}

BlTree *
bl_tree_of_whole_board (const BlBoard *board, GError **error)
{
  g_return_val_if_fail (board != NULL, NULL);
  g_autoptr (BlCauses) causes = bl_causes_new (board, error);
  Whole whole = { causes, NULL };

  if (causes == NULL)
    return NULL;
  if (causes->modes->len == 0)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("the board has no stages and no components"));
      return NULL;
    }
  whole.tree = bl_tree_new ();
  whole.tree->top = add (&whole, BL_NODE_OR, "board", _ ("fault on this board"));
  for (guint i = 0; i < bl_len (board->sections); i++)
    add_section (&whole, (int) i);
  add_section (&whole, -1);
  add_stage (&whole, -1, whole.tree->top);
  return whole.tree;
}
