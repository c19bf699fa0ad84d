/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-edition-checklist.h"

G_BEGIN_DECLS

/* One line that says how far a board is documented and what is best done next. Signal "act" (const char *): a button
 * was pressed: "check-go", "check-aside", "check-next" or "check-list". */
#define BL_TYPE_CHECKLIST_BAR (bl_checklist_bar_get_type ())
G_DECLARE_FINAL_TYPE (BlChecklistBar, bl_checklist_bar, BL, CHECKLIST_BAR, GtkWidget)

GtkWidget *bl_checklist_bar_new (void);
/* thing: the one in hand, NULL: nothing is left. */
void bl_checklist_bar_show (BlChecklistBar *self, const BlChecklist *list, const BlThing *thing);

G_END_DECLS
