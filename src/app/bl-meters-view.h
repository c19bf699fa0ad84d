/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library.h"

G_BEGIN_DECLS

/* The shop's meters: a list, and the one taken with its ranges, edited in place and kept at once. Signal
 * "changed": something was kept. */
#define BL_TYPE_METERS_VIEW (bl_meters_view_get_type ())
G_DECLARE_FINAL_TYPE (BlMetersView, bl_meters_view, BL, METERS_VIEW, GtkWidget)

GtkWidget *bl_meters_view_new (BlLibrary *library);

G_END_DECLS
