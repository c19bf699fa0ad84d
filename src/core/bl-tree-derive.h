/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-tree-private.h"

G_BEGIN_DECLS

/* The board's part in deriving a fault tree: its modes and when they are there. Private to
 * bl-tree-board.c and bl-tree-board-modes.c. */

/* A mode of the board, documented or implied. */
typedef struct
{
  char *component; /* its id */
  const char *name;
  const BlMode *mode; /* NULL: of an implied component */
  const BlStage *stage;
  BlDeviation is; /* of an implied mode */
  double weight;
  GArray *causes; /* BlCause */
  guint ring, ring_size; /* modes that provoke each other, directly or not */
  int own, present, active; /* nodes, -1: not made yet */
} BlDerivedMode;

typedef struct
{
  guint mode;
  double chance;
  int link; /* node, -1: not made yet */
} BlCause;

typedef struct
{
  const BlBoard *board;
  const char *state; /* NULL: all effects */
  BlTree *tree;
  GPtrArray *modes;       /* BlDerivedMode */
  GHashTable *mode_index; /* "COMPONENT:MODE" -> index + 1 */
  GHashTable *presences;  /* id of a gate that says a mode is present -> its index + 1 */
  double faults_per_weight;
  int (*deviations)[BL_N_DEVIATIONS]; /* node of each stage's deviation, -1: not made yet */
} BlDeriver;

void bl_deriver_init (BlDeriver *deriver, const BlBoard *board, const char *state);
void bl_deriver_clear (BlDeriver *deriver);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (BlDeriver, bl_deriver_clear)

/* Lists the board's modes with their weights and causes. */
gboolean bl_derive_modes (BlDeriver *deriver, GError **error);

/* The node that says the mode is present and shows; made when there is none yet. */
guint bl_derive_active (BlDeriver *deriver, guint mode);

/* A gate without children yet; its index. */
guint bl_derive_gate (BlDeriver *deriver, BlNodeKind kind, const char *id, const char *title);

/* "FIRST:SECOND". Returns: (transfer full). */
char *bl_derive_id (const char *first, const char *second);

static inline BlDerivedMode *
bl_derived_mode (const BlDeriver *deriver, guint i)
{
  return g_ptr_array_index (deriver->modes, i);
}

static inline void
bl_derive_child (BlDeriver *deriver, guint gate, guint child)
{
  bl_node_add_child (bl_tree_node (deriver->tree, gate), child);
}

G_END_DECLS
