/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <adwaita.h>

#include "bl-bench.h"
#include "bl-palette.h"

G_BEGIN_DECLS

/* Without a display the whole program is skipped (exit 77). Otherwise GTK is ready, animations are
 * off, and the style sheets are loaded. */
void app_test_init (int *argc, char ***argv);

/* A library with the example board, a drawn photo of 640 x 480 px with TP5 at (400, 300) and an outline
 * round the 5 V rail from (300, 200) to (500, 400), and an open job. */
typedef struct
{
  char *path;
  BlLibrary *library;
  gint64 board, job;
  BlBench *bench;
} AppFixture;
void app_fixture_set_up (AppFixture *fixture, gconstpointer unused);
void app_fixture_tear_down (AppFixture *fixture, gconstpointer unused);
/* A PNG of one grey, width x height px. (transfer full) */
GBytes *app_grey_png (int width, int height);

/* Shows widget in a window of this size and renders it. Keeps a picture beside the build.
 * The window is destroyed, the widget with it. Returns RGB24 pixels, stride 4 * width. */
guint32 *app_render (GtkWidget *widget, int width, int height, const char *name);
/* Runs the main loop until done (data) is TRUE or ten seconds are over; returns done (data). */
gboolean app_wait (gboolean (*done) (gpointer data), gpointer data);
/* TRUE when the pixel is this colour within 3 of 255. */
gboolean app_is_colour (guint32 pixel, const BlColour *colour);

G_END_DECLS
