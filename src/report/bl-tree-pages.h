/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-tree-chart.h"

G_BEGIN_DECLS

/* A piece of the tree as it stands on a page: what is below root, its children from first on. */
typedef struct
{
  guint root, first, count;
  guint page;      /* from 1 */
  double y, w, h;  /* on the page, chart px */
  guint8 *open;    /* of each item */
} BlTreePiece;

/* Splits chart into pieces that fit pages of this size (chart px); nothing is lost and nothing but roots
 * is drawn twice. pages: of each item the page where its causes are (an event: where it is), 1 and up;
 * filled in. A page too small for a single child is exceeded. (transfer full) BlTreePiece, by page. */
GPtrArray *bl_tree_pages (BlTreeChart *chart, double width, double height, guint *pages);
/* Makes chart show this piece. */
void bl_tree_piece_show (const BlTreePiece *piece, BlTreeChart *chart);

G_END_DECLS
