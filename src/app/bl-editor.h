/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-edition.h"
#include "bl-slot.h"

G_BEGIN_DECLS

/* The board editor: one edition, photo left, its parts right. Every change is kept at once and can be
 * undone. Signals "closed": back to the list; "compare" (gint64 board, gboolean look): this board is to be shown beside
 * another edition, or what is to be looked at on it. */
#define BL_TYPE_EDITOR (bl_editor_get_type ())
G_DECLARE_FINAL_TYPE (BlEditor, bl_editor, BL, EDITOR, GtkWidget)

GtkWidget *bl_editor_new (BlLibrary *library);
gboolean bl_editor_open (BlEditor *self, gint64 board, GError **error);
void bl_editor_close (BlEditor *self);
/* Shows the part of the editor where ref is edited, selects it and brings it into view. */
void bl_editor_go_to (BlEditor *self, const BlRef *ref);
/* Shows what known-good boards of the edition read. */
void bl_editor_show_good (BlEditor *self);
/* NULL while none is open. (transfer none) */
BlEdition *bl_editor_get_edition (BlEditor *self);
/* A key before anybody else sees it. FALSE: not for the editor. */
gboolean bl_editor_key (BlEditor *self, guint keyval, GdkModifierType state);

/* Its keys with what they do, in two columns of a grid from this one on. */
void bl_editor_keys_list (GtkGrid *grid, int column);

/* Shows what is still missing, and what is worth a look. */
void bl_editor_show_checks (BlEditor *self);

G_END_DECLS
