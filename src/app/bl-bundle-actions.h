/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-intake.h"

G_BEGIN_DECLS

/* What is done with a whole board, from the list and from the editor alike. Each says what it did, or
 * why not, in the window's line of messages. */

/* Asks where to, then writes a bundle. */
void bl_board_export (GtkWidget *widget, BlLibrary *library, gint64 board);
/* Begins a job on the board and opens it on the bench. */
void bl_board_start_job (GtkWidget *widget, BlLibrary *library, gint64 board);

/* The same on an equipment; the bench asks which box feeds which. */
void bl_equipment_start_job (GtkWidget *widget, BlLibrary *library, gint64 equipment);

typedef void (*BlBoardMade) (gint64 board, gpointer data);
/* Asks for a photo and makes a board from it; made is called with its id. */
void bl_board_new_from_photo (GtkWidget *widget, BlLibrary *library, BlBoardMade made, gpointer data);
/* The same for an equipment, with its boards. */
void bl_equipment_export (GtkWidget *widget, BlLibrary *library, gint64 equipment);

/* What was asked to be imported is (partly) there already, and otherwise: the technician has to say. Takes intake;
 * file: its name. */
typedef void (*BlIntakeMet) (BlIntake *intake, const char *file, gpointer data);
/* Asks for a bundle or document and imports it: made is called when all of it was new, with the id of a board, met
 * when something is there otherwise; when nothing is new that is said. */
void bl_board_import (GtkWidget *widget, BlLibrary *library, BlBoardMade made, BlIntakeMet met, gpointer data);

/* A file of a photo, looked into: image, kind and a small picture. FALSE when it is no image that can
 * be shown. (transfer full, all) */
gboolean bl_photo_file_read (const char *path, GBytes **image, char **mime, GBytes **thumbnail, GError **error);

typedef void (*BlFileChosen) (const char *path, gpointer data);
/* Asks for a photo file. chosen is not called when none was chosen, nor after widget is gone. */
void bl_photo_file_choose (GtkWidget *widget, const char *title, BlFileChosen chosen, gpointer data);

G_END_DECLS
