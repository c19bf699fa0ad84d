/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* The keys of Practice, as two columns of the list of all keys from this one on. */
void bl_practice_keys_list (GtkGrid *grid, int column);

G_END_DECLS
