/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* Where the names of marks on a photo go so that no name covers another name or a mark. */
typedef struct
{
  double x, y, w, h; /* top left corner and size, px of the pane; w 0: nothing */
} BlLabelBox;

typedef struct
{
  double x, y;     /* middle of what it names, px of the pane; NAN: out of the pane */
  double r;        /* half side of the mark there, which no name may cover */
  double w, h;     /* size of the name; w 0: a mark without a name */
  double gap;      /* from the middle of the mark to the near edge of its name */
  int rank;        /* the higher chooses first */
  gboolean needed; /* left out only where the pane is too small to stand beside the mark: without room it covers
                    * as little as possible, and never its own mark */
  gboolean below;  /* begins below the mark instead of at its right */

  BlLabelBox box; /* out: where the name goes; w 0: left out */
  gboolean led;   /* out: so far away that a line should lead to the mark */
} BlLabel;

/* Finds room for all names: close to the mark first (eight places), then farther off with a leader.
 * fixed: boxes that are taken already. Deterministic; n up to some 300, about n² small steps. */
void bl_labels_place (BlLabel *labels,
                      guint n,
                      const BlLabelBox *fixed,
                      guint n_fixed,
                      double view_w,
                      double view_h);

/* Area that two boxes share, px². */
double bl_label_overlap (const BlLabelBox *a, const BlLabelBox *b);

/* The point of the box nearest to (x, y): where a leader ends. */
void bl_label_nearest (const BlLabelBox *box, double x, double y, double *at_x, double *at_y);

G_END_DECLS
