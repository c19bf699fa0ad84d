/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-intake.h"

G_BEGIN_DECLS

/* A file of which the library has something already: what either says, and what is to be done with each.
 *
 * Signal "closed" (const char *words, gint64 board): words say what was done, NULL: nothing was; board: the one that
 * was merged, 0: none or several. */
#define BL_TYPE_IMPORT_PAGE (bl_import_page_get_type ())
G_DECLARE_FINAL_TYPE (BlImportPage, bl_import_page, BL, IMPORT_PAGE, GtkWidget)

GtkWidget *bl_import_page_new (void);
/* Takes intake. file: its name, for the head. */
void bl_import_page_show (BlImportPage *self, BlIntake *intake, const char *file);
/* A key before anybody else sees it. FALSE: not for the page. */
gboolean bl_import_page_key (BlImportPage *self, guint keyval, GdkModifierType state);

G_END_DECLS
