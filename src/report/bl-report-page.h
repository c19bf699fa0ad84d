/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-palette.h"
#include "bl-report.h"

#include <pango/pangocairo.h>

G_BEGIN_DECLS

/* A4 in points of 1/72 inch. */
#define BL_PAGE_WIDTH 595.276
#define BL_PAGE_HEIGHT 841.890
#define BL_PAGE_MARGIN 48.0

/* The sheet being filled, top down; private to the report. */
typedef struct BlPage BlPage;
struct BlPage
{
  const BlJobReport *report;
  cairo_t *cr;
  PangoContext *context;
  const BlPalette *palette;
  GHashTable *surfaces; /* GBytes of a picture -> cairo_surface_t, decoded once for both passes */
  double x, w;          /* left edge and width of the text */
  double y, bottom;     /* where the next thing goes; where the text ends */
  guint number, total;  /* this page from 1, and how many there are (0: not known yet) */
  double paper_w, paper_h; /* of the sheet; 0: A4 */
  double top;              /* where its text begins */
  /* Drawn again at the top of a page as long as it is set: the heads of the table that goes on there. */
  void (*table_head) (BlPage *page);
  const struct _BlTableColumn *columns; /* of the table that is being drawn */
  guint n_columns;
  void (*next_sheet) (BlPage *page); /* ends this sheet and makes cr draw on another; NULL: cairo's next page */
  gpointer next_sheet_data;
  GHashTable *missing; /* a set of gunichar that no font here has; NULL: nobody asks */
};

/* How a text looks. size in points; width 0: as wide as it is. */
typedef struct
{
  double size;
  PangoWeight weight;
  const BlColour *colour; /* NULL: ink */
  PangoAlignment align;
  gboolean struck;
  double width;
  gboolean one_line; /* cut with an ellipsis where it is wider than width */
} BlPageText;

/* For text in points whose letters stand where the font wants them, whatever the size. (transfer full) */
PangoContext *bl_page_context_new (cairo_t *cr);
void bl_page_begin (BlPage *page);
void bl_page_break (BlPage *page);
/* Breaks the page unless height points are left on it. TRUE when it did. */
gboolean bl_page_need (BlPage *page, double height);
void bl_page_space (BlPage *page, double height);

/* A text laid out, to be drawn or cut. (transfer full) */
PangoLayout *bl_page_layout (BlPage *page, const BlPageText *style, const char *text);
/* Draws text with its top left corner at (x, y). Returns its height. */
double
bl_page_text_at (BlPage *page, double x, double y, const BlPageText *style, const char *text);
/* Its size without drawing it. */
void bl_page_measure (BlPage *page,
                      const BlPageText *style,
                      const char *text,
                      double *width,
                      double *height);
/* Draws a paragraph at page->y and moves on, over as many pages as it takes; no line of it stands alone where it has
 * three. indent from the left edge. */
void bl_page_paragraph (BlPage *page, double indent, const BlPageText *style, const char *text);
/* How much of it has to stand on the first page: all of it, or its first two lines. */
double bl_page_first_lines (BlPage *page, double indent, const BlPageText *style, const char *text);
/* A heading with a hairline, kept together with below points of what follows. */
void bl_page_heading (BlPage *page, const char *text, double below);
void bl_page_line (BlPage *page, double y, const BlColour *colour, double thickness);

/* The picture decoded, upright, at most about 1600 px wide; NULL: not a picture that can be read.
 * (transfer none) */
cairo_surface_t *bl_page_picture (BlPage *page, GBytes *image, int *width, int *height);

G_END_DECLS
