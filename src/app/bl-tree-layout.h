/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-tree.h"

G_BEGIN_DECLS

/* Where the boxes of a drawn fault tree stand: causes left, effect right. No display needed. */
typedef struct
{
  guint node;        /* of the tree */
  int parent;        /* index of the box it leads to, -1: the top */
  gboolean leaf;     /* a basic event, or a gate shown folded */
  guint folded;      /* how many basic events are folded into it; 0: none */
  gboolean likely;   /* on the path of the likeliest event */
  gboolean cleared;  /* all below it is improbable now */
  double odds;       /* leaf: of the event; NAN where nothing is said, and for those folded */
  char **events;     /* of those folded the own events, "COMPONENT:MODE" in the tree's order; NULL: none folded */
  double x, y, w, h; /* px, centre of a gate is (x + w / 2, y + h / 2) */
} BlTreeBox;

typedef struct
{
  GArray *boxes;      /* BlTreeBox, parents before children */
  double effect_x, effect_y, effect_w, effect_h; /* the effect, right of the top */
  guint n_events;     /* in the tree, shown or folded */
} BlTreeLayout;

/* odds: of each node of the tree, NAN for gates (NULL: all NAN). row: height of a leaf, px; leaf_w and
 * effect_w: widths of the outer columns, px. What does not fit is folded, the improbable first. */
BlTreeLayout *bl_tree_layout_new (const BlTree *tree, const double *odds, double width, double height, double row,
                                  double leaf_w, double effect_w);
void bl_tree_layout_free (BlTreeLayout *layout);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlTreeLayout, bl_tree_layout_free)

G_END_DECLS
