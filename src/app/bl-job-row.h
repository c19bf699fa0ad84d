/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library.h"

G_BEGIN_DECLS

/* One job of the list, and the row that shows it. */
#define BL_TYPE_JOB_ITEM (bl_job_item_get_type ())
G_DECLARE_FINAL_TYPE (BlJobItem, bl_job_item, BL, JOB_ITEM, GObject)

/* Which job is at this place of the list. A row that shows it is filled anew; nothing happens where all is as before.
 * job outlives the item, or another is set; since: when it came into its state, UTC microseconds; good: a known-good
 * board; line: of its log, with what is looked for, NULL: that stands on its head. */
void bl_job_item_set (BlJobItem *self, const BlJob *job, gint64 since, gboolean good, const char *line);
const BlJob *bl_job_item_get_job (BlJobItem *self);

/* Makes rows of a list of BlJobItem; those in view are filled before they are drawn. list owns what is made. (transfer full) */
GtkListItemFactory *bl_job_row_factory_new (GtkWidget *list);

G_END_DECLS
