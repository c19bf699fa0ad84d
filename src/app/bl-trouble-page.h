/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* Why the library was not opened, as the store says it, and what to do. (transfer floating) */
GtkWidget *bl_trouble_page_new (const GError *trouble);

G_END_DECLS
