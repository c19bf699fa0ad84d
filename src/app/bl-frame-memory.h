/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BL_FRAME_MEMORY_H
#define BL_FRAME_MEMORY_H

#include <gtk/gtk.h>

/* Keeps the memory of @window's frames mapped between two frames, from when it is realized until the program ends. Does
 * nothing where the display is not X11. */
void bl_frame_memory_keep (GtkWidget *window);

#endif
