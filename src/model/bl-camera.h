/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gio/gio.h>

G_BEGIN_DECLS

/* A camera that looks for codes: pictures to show, and the text of each code that comes into view. It never makes the
 * caller wait: opening, waiting and closing are done in a thread of its own, whatever the camera does.
 *
 * Signals, in the thread that began it: "frame": there is a newer picture; "code" (const char *text): a code, said again
 * only after another one or some seconds; "trouble" (const char *message): why there is no picture, or none any more.
 * After that it has ended. */
#define BL_TYPE_CAMERA (bl_camera_get_type ())
G_DECLARE_FINAL_TYPE (BlCamera, bl_camera, BL, CAMERA, GObject)

/* source: description of the element that gives the pictures, in the notation of GStreamer; NULL: the first camera of the
 * computer that works. */
BlCamera *bl_camera_new (const char *source);
void bl_camera_start (BlCamera *self);
/* Ends it; no signal comes after that. */
void bl_camera_stop (BlCamera *self);
/* For tests: whether it has neither been stopped nor ended. */
gboolean bl_camera_is_running (BlCamera *self);
/* The newest picture: 4 bytes a pixel, blue first, the fourth unused. NULL: none yet. (transfer full) */
GBytes *bl_camera_get_frame (BlCamera *self, int *width, int *height, int *stride);
/* For tests: how long to wait for the first picture before it is called trouble, s; 8 by itself. */
void bl_camera_set_patience (BlCamera *self, guint seconds);

G_END_DECLS
