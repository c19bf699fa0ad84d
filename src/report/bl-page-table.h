/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-report-page.h"

G_BEGIN_DECLS

/* A table on the sheets of a report. Its heads stand again on every page that it goes on to; a row stays together where
 * a page holds it, and goes on line by line where none does. */

typedef struct _BlTableColumn
{
  const char *head; /* translated */
  double share;     /* of the width */
  PangoAlignment align;
} BlTableColumn;

typedef struct
{
  const char *text;
  PangoWeight weight;
  const BlColour *colour; /* NULL: ink */
  gboolean struck;
  const char *below; /* more under it, small and muted; NULL or "": nothing */
} BlTableCell;

#define BL_TABLE_SIZE 9.0
#define BL_TABLE_GAP 8.0 /* between columns */

/* columns stays until the end. below: at least so much has to fit under the heads. */
void bl_table_begin (BlPage *page, const BlTableColumn *columns, guint n, double below);
/* One cell for each column. paint (may be NULL) is called for what is no text, with the top and the height of the row on
 * the page that it begins on. */
void bl_table_row (BlPage *page, const BlTableCell *cells, void (*paint) (BlPage *page, double y, double h, gpointer data),
                   gpointer data);
void bl_table_end (BlPage *page);
/* Left edge and width of a column. */
void bl_table_place (const BlPage *page, guint column, double *x, double *w);

G_END_DECLS
