/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* The sheet of cautions, to be read, printed, or saved as PDF. */
void bl_cautions_show (GtkWindow *parent);

G_END_DECLS
