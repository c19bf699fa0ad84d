/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-edition.h"
#include "bl-slot.h"

G_BEGIN_DECLS

/* One edition beside another: the photo of either with what differs marked on it, and a list from which the other's
 * values can be taken over. Of an edition that was copied also the list of what is to be looked at on a real board.
 *
 * Signals: "closed": back to where it was opened from;
 *   "edit" (const BlRef *ref): the open edition is to be edited there. */
#define BL_TYPE_COMPARE_VIEW (bl_compare_view_get_type ())
G_DECLARE_FINAL_TYPE (BlCompareView, bl_compare_view, BL, COMPARE_VIEW, GtkWidget)

GtkWidget *bl_compare_view_new (BlLibrary *library);
/* Opens a board beside the one it was copied from, else beside another edition of it. look: begin with what is to be
 * looked at, where there is such a list. */
gboolean bl_compare_view_open (BlCompareView *self, gint64 board, gboolean look, GError **error);
void bl_compare_view_close (BlCompareView *self);
/* 0 while none is open. */
gint64 bl_compare_view_get_board (BlCompareView *self);
/* Compares with this one instead. */
void bl_compare_view_set_other (BlCompareView *self, gint64 other);
/* A key before anybody else sees it. FALSE: not for it. */
gboolean bl_compare_view_key (BlCompareView *self, guint keyval, GdkModifierType state);

/* Its keys in two columns of a grid from this row on. Returns: the row after. */
int bl_compare_keys_list (GtkGrid *grid, int column, int row);

G_END_DECLS
