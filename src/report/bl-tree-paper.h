/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-tree-chart.h"

G_BEGIN_DECLS

typedef enum
{
  BL_PAPER_OF_LOCALE, /* what the locale prints on; A4 where it does not say */
  BL_PAPER_A4,
  BL_PAPER_LETTER
} BlPaper;

/* A fault tree to be printed. Nothing is owned; text may be NULL. */
typedef struct
{
  const BlTree *tree;
  const BlChartFact *facts; /* as bl_tree_chart_new (); NULL: none */
  int leading;              /* the same */
  const char *title;        /* what the tree is of */
  const BlBoard *board;     /* named in the head; NULL: no board */
  const char *given;        /* what the odds stand on, a sentence */
  gint64 time;              /* of printing, UTC, microseconds; 0: now */
  gboolean priors;          /* beside the odds */
  BlPaper paper;
} BlTreeSheet;

/* The whole tree, unfolded, as PDF in landscape: scaled, but no text below 7 points; what does not fit a
 * page goes on with a part of its own on another. n_pages may be NULL. Errors as bl_report_to_pdf ().
 * (transfer full) */
GBytes *bl_tree_sheet_to_pdf (const BlTreeSheet *sheet, guint *n_pages, GError **error);
/* The same in one piece as SVG; letters are drawn as outlines, so that no font is needed to see them. */
GBytes *bl_tree_sheet_to_svg (const BlTreeSheet *sheet, GError **error);
/* One of them into a file, by the ending of its name (".svg", else PDF), whole or not at all. */
gboolean bl_tree_sheet_write (const BlTreeSheet *sheet, const char *path, GError **error);

G_END_DECLS
