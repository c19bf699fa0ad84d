/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* One thing that the library and a file say differently: what it is, what either says, and which of the two is
 * chosen. A press on a side, or Left and Right while the row has the focus, chooses it.
 *
 * Signal "chosen" (gboolean theirs): by the technician, not by bl_import_row_set (). */
#define BL_TYPE_IMPORT_ROW (bl_import_row_get_type ())
G_DECLARE_FINAL_TYPE (BlImportRow, bl_import_row, BL, IMPORT_ROW, GtkListBoxRow)

/* name: of the element, "" where it is that of the row above; what: "place", or its title. */
GtkWidget *bl_import_row_new (const char *name, const char *what, const char *here, const char *theirs);
/* The same with pictures; NULL: none there. */
GtkWidget *bl_import_row_new_pictures (const char *name, const char *what, GBytes *here, GBytes *theirs);
void bl_import_row_set (BlImportRow *self, gboolean theirs);
/* Handles Left and Right. */
gboolean bl_import_row_key (BlImportRow *self, guint keyval);

G_END_DECLS
