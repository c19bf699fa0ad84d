/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-find.h"

G_BEGIN_DECLS

/* A small search over the photo: a designator or words of a title, what matches below, Enter goes there. In
 * nobody's way: Esc, or going somewhere, closes it.
 *
 * Signals: "chosen" (gpointer BlRef): after it has closed; "closed": without a choice. */
#define BL_TYPE_FINDER (bl_finder_get_type ())
G_DECLARE_FINAL_TYPE (BlFinder, bl_finder, BL, FINDER, GtkWidget)

/* The board that is searched, asked for anew with each letter; may answer NULL. (transfer none) */
typedef const BlBoard *(*BlFinderBoard) (gpointer data);

GtkWidget *bl_finder_new (BlFinderBoard board, gpointer data);
void bl_finder_open (BlFinder *self);
void bl_finder_close (BlFinder *self);
gboolean bl_finder_is_open (BlFinder *self);
/* A key while the focus is in it. FALSE: it is text. */
gboolean bl_finder_key (BlFinder *self, guint keyval, GdkModifierType state);

G_END_DECLS
