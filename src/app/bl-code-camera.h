/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* What a camera sees, while it looks for a barcode or QR code; out of sight when it is off. What is wrong with the camera
 * stands in its place.
 *
 * Signal: "code" (const char *text): it was read, and the camera is off again. */
#define BL_TYPE_CODE_CAMERA (bl_code_camera_get_type ())
G_DECLARE_FINAL_TYPE (BlCodeCamera, bl_code_camera, BL, CODE_CAMERA, GtkWidget)

GtkWidget *bl_code_camera_new (void);
void bl_code_camera_open (BlCodeCamera *self);
void bl_code_camera_close (BlCodeCamera *self);
gboolean bl_code_camera_is_open (BlCodeCamera *self);

G_END_DECLS
