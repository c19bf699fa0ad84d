/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-tree-canvas.h"

G_BEGIN_DECLS

/* Shared by bl-tree-canvas.c (what is shown) and bl-tree-input.c (pointer and keys). */
struct _BlTreeCanvas
{
  GtkWidget parent_instance;

  BlTreeChart *chart;
  char *words;
  GPtrArray *names; /* of each item a BlTreeName, or NULL while it is not shown */
  int selected;
  GHashTable *marked;
  gboolean priors, fitted, begun;
  double zoom, x, y; /* view px per chart px; chart point at the top left corner */
  guint drawn;

  double pointer_x, pointer_y, drag_x, drag_y; /* view px */
  gboolean dragged;
  guint glide;
  gint64 glide_start;
  double from_x, from_y, to_x, to_y;
};

/* bl-tree-canvas.c */
void bl_tree_canvas_stop_glide (BlTreeCanvas *self);
/* Puts this point of the chart at the top left corner, as far as the tree stays in the pane. */
void bl_tree_canvas_place (BlTreeCanvas *self, double x, double y);
void bl_tree_canvas_zoom_at (BlTreeCanvas *self, double factor, double vx, double vy);
void bl_tree_canvas_select (BlTreeCanvas *self, int item, gboolean focus);

/* bl-tree-input.c */
void bl_tree_canvas_add_controllers (BlTreeCanvas *self);

G_END_DECLS
