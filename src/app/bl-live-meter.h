/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library.h"

G_BEGIN_DECLS

/* The key of the foot switch as set ("" for the usual ones: Space and Page Down), in words. (transfer full) */
char *bl_foot_key_words (const char *accelerator);
/* Whether this key is it. in_entry: the entry has the focus and is empty, where alone the usual ones count. */
gboolean bl_foot_key_matches (const char *accelerator, guint keyval, GdkModifierType state, gboolean in_entry);

/* The meter read live: the one new jobs begin with where it can be, else the first that can; NULL: none.
 * (transfer full) */
BlShopMeter *bl_live_meter (BlLibrary *library);
/* Parts "PORT 9600/8n1" into what the driver wants; both may become NULL. (transfer full) */
void bl_live_connection (const char *text, char **connection, char **serialcomm);

G_END_DECLS
