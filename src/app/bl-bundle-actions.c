/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is done with a whole board: new from a photo, import, export, start a job. */
#include "config.h"

#include "bl-bundle-actions.h"

#include <glib/gi18n-lib.h>

#include "bl-bench-equipment.h"
#include "bl-bundle.h"
#include "bl-edition.h"
#include "bl-image-check.h"
#include "bl-photo-surface.h"
#include "bl-shell.h"

/* --- asking for a file --- */

typedef struct
{
  GtkWidget *widget; /* weak */
  BlLibrary *library; /* of the application; NULL when not needed */
  gint64 board;
  BlFileChosen chosen;
  BlBoardMade made;
  BlIntakeMet met;
  gint64 equipment;
  gpointer data;
  GtkFileChooserNative *dialog;
} Ask;

static void
ask_free (Ask *ask)
{
  g_clear_weak_pointer (&ask->widget);
  g_clear_object (&ask->dialog);
  g_free (ask);
}

typedef void (*Answer) (Ask *ask, const char *path);

static void
responded (GtkNativeDialog *dialog, int response, Ask *ask)
{
  g_autoptr (GFile) file = gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog));
  g_autofree char *path = file != NULL ? g_file_get_path (file) : NULL;
  Answer answer = (Answer) g_object_get_data (G_OBJECT (dialog), "answer");

  if (response == GTK_RESPONSE_ACCEPT && ask->widget != NULL && path != NULL)
    answer (ask, path);
  ask_free (ask);
}

/* Takes ask. */
static void
ask_for_file (Ask *ask, const char *title, GtkFileChooserAction action, const char *name, GtkFileFilter *filter,
              Answer answer)
{
  GtkRoot *root = gtk_widget_get_root (ask->widget);

  ask->dialog =
      gtk_file_chooser_native_new (title, GTK_IS_WINDOW (root) ? GTK_WINDOW (root) : NULL, action, NULL, NULL);
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (ask->dialog), TRUE);
  if (filter != NULL)
    gtk_file_chooser_add_filter (GTK_FILE_CHOOSER (ask->dialog), filter);
  if (name != NULL)
    gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (ask->dialog), name);
  g_object_set_data (G_OBJECT (ask->dialog), "answer", (gpointer) answer);
  g_signal_connect (ask->dialog, "response", G_CALLBACK (responded), ask);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (ask->dialog));
}

static Ask *
ask_new (GtkWidget *widget, BlLibrary *library)
{
  Ask *ask = g_new0 (Ask, 1);

  g_set_weak_pointer (&ask->widget, widget);
  ask->library = library;
  return ask;
}

/* --- photos --- */

gboolean
bl_photo_file_read (const char *path, GBytes **image, char **mime, GBytes **thumbnail, GError **error)
{
  g_autofree char *data = NULL;
  gsize size;

  if (!g_file_get_contents (path, &data, &size, error))
    return FALSE;
  g_autoptr (GBytes) bytes = g_bytes_new_take (g_steal_pointer (&data), size);
  g_autofree char *name = g_filename_display_basename (path);
  if (!bl_image_check (bytes, name, error))
    return FALSE;
  *thumbnail = bl_photo_thumbnail (bytes, error);
  if (*thumbnail == NULL)
    return FALSE;
  *mime = g_strdup (bl_image_mime (bytes));
  *image = g_steal_pointer (&bytes);
  return TRUE;
}

static GtkFileFilter *
photo_filter (void)
{
  GtkFileFilter *filter = gtk_file_filter_new ();

  gtk_file_filter_set_name (filter, _ ("Photos"));
  gtk_file_filter_add_mime_type (filter, "image/jpeg");
  gtk_file_filter_add_mime_type (filter, "image/png");
  gtk_file_filter_add_mime_type (filter, "image/webp");
  return filter;
}

static void
photo_chosen (Ask *ask, const char *path)
{
  ask->chosen (path, ask->data);
}

void
bl_photo_file_choose (GtkWidget *widget, const char *title, BlFileChosen chosen, gpointer data)
{
  g_return_if_fail (GTK_IS_WIDGET (widget) && chosen != NULL);
  g_autoptr (GtkFileFilter) filter = photo_filter ();
  Ask *ask = ask_new (widget, NULL);

  ask->chosen = chosen;
  ask->data = data;
  ask_for_file (ask, title, GTK_FILE_CHOOSER_ACTION_OPEN, NULL, filter, photo_chosen);
}

static void
board_photo_chosen (Ask *ask, const char *path)
{
  g_autoptr (GBytes) image = NULL, thumbnail = NULL;
  g_autofree char *mime = NULL;
  GError *error = NULL;
  gint64 board = 0;

  if (bl_photo_file_read (path, &image, &mime, &thumbnail, &error))
    board = bl_edition_create (ask->library, FALSE, mime, image, thumbnail, &error);
  if (board == 0)
    bl_widget_report (ask->widget, _ ("No board was made"), error);
  else
    ask->made (board, ask->data);
}

void
bl_board_new_from_photo (GtkWidget *widget, BlLibrary *library, BlBoardMade made, gpointer data)
{
  g_return_if_fail (GTK_IS_WIDGET (widget) && library != NULL && made != NULL);
  g_autoptr (GtkFileFilter) filter = photo_filter ();
  Ask *ask = ask_new (widget, library);

  ask->made = made;
  ask->data = data;
  ask_for_file (ask, _ ("Photo of the board"), GTK_FILE_CHOOSER_ACTION_OPEN, NULL, filter, board_photo_chosen);
}

/* --- bundles --- */

/* Takes intake. */
static void
meet (Ask *ask, BlIntake *intake, const char *path)
{
  g_autoptr (BlIntake) own = intake;
  g_autofree char *name = g_filename_display_basename (path);
  GError *error = NULL;

  switch (bl_intake_finding (own))
    {
    case BL_INTAKE_SAME:
      {
        g_autofree char *words = g_strdup_printf (_ ("The library has all of “%s” already; nothing was imported."), name);
        if (bl_shell_of (ask->widget) != NULL)
          bl_shell_notify (bl_shell_of (ask->widget), words, TRUE); /* an answer: time to read it */
        break;
      }
    case BL_INTAKE_DIFFERENT:
      ask->met (g_steal_pointer (&own), name, ask->data);
      break;
    case BL_INTAKE_NEW:
    default:
      if (bl_intake_run (own, &error))
        ask->made (((BlIntakeBoard *) bl_at (own->boards, 0))->result, ask->data);
      else
        bl_widget_report (ask->widget, _ ("Nothing was imported"), error);
      break;
    }
}

static void
bundle_chosen (Ask *ask, const char *path)
{
  GError *error = NULL;
  BlDelivery *delivery = bl_delivery_read (path, NULL, &error);
  BlIntake *intake = delivery != NULL ? bl_intake_new (ask->library, delivery, &error) : NULL;

  if (intake == NULL)
    bl_widget_report (ask->widget, _ ("Nothing was imported"), error);
  else
    meet (ask, intake, path);
}

void
bl_board_import (GtkWidget *widget, BlLibrary *library, BlBoardMade made, BlIntakeMet met, gpointer data)
{
  g_return_if_fail (GTK_IS_WIDGET (widget) && library != NULL && made != NULL && met != NULL);
  g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();
  Ask *ask = ask_new (widget, library);

  gtk_file_filter_set_name (filter, _ ("Boards and equipment"));
  gtk_file_filter_add_pattern (filter, "*.benchlore");
  gtk_file_filter_add_pattern (filter, "*.json");
  ask->made = made;
  ask->met = met;
  ask->data = data;
  ask_for_file (ask, _ ("Import a board"), GTK_FILE_CHOOSER_ACTION_OPEN, NULL, filter, bundle_chosen);
}

/* Writes the board, or the equipment, that ask is about. */
static gboolean
write_target (Ask *ask, const char *path, GError **error)
{
  g_autoptr (BlDelivery) delivery = NULL;
  g_autoptr (BlBundle) bundle = NULL;

  if (ask->equipment != 0)
    {
      delivery = bl_library_export_equipment (ask->library, ask->equipment, error);
      return delivery != NULL && bl_delivery_write (delivery, path, error);
    }
  bundle = bl_library_export (ask->library, ask->board, error);
  return bundle != NULL && bl_bundle_write (bundle, path, error);
}

static void
target_chosen (Ask *ask, const char *path)
{
  g_autofree char *full = g_str_has_suffix (path, ".benchlore") ? g_strdup (path)
                                                                : g_strconcat (path, ".benchlore", NULL);
  GError *error = NULL;

  if (!write_target (ask, full, &error))
    {
      bl_widget_report (ask->widget, _ ("Nothing was exported"), error);
      return;
    }
  g_autofree char *name = g_filename_display_basename (full);
  g_autofree char *words = g_strdup_printf (_ ("Exported as %s"), name);
  bl_widget_notify (ask->widget, words);
}

void
bl_board_export (GtkWidget *widget, BlLibrary *library, gint64 board)
{
  g_return_if_fail (GTK_IS_WIDGET (widget) && library != NULL);
  g_autoptr (BlBoard) loaded = bl_library_load_board (library, board, NULL);
  const char *number = loaded != NULL && loaded->board_number != NULL ? loaded->board_number : _ ("board");
  const char *edition = loaded != NULL && loaded->edition != NULL ? loaded->edition : "";
  g_autofree char *name = g_strdup_printf ("%s%s%s.benchlore", number, *edition != '\0' ? "-" : "", edition);
  Ask *ask = ask_new (widget, library);

  ask->board = board;
  ask_for_file (ask, _ ("Export the board"), GTK_FILE_CHOOSER_ACTION_SAVE, g_strdelimit (name, "/\\", '-'), NULL,
                target_chosen);
}

void
bl_equipment_export (GtkWidget *widget, BlLibrary *library, gint64 equipment)
{
  g_return_if_fail (GTK_IS_WIDGET (widget) && library != NULL);
  g_autoptr (BlEquipment) loaded = bl_library_get_equipment (library, equipment, NULL);
  g_autofree char *title = g_strdup (loaded != NULL && loaded->title != NULL ? loaded->title : _ ("equipment"));
  g_autofree char *name = g_strconcat (g_strdelimit (title, "/\\:", '-'), ".benchlore", NULL);
  Ask *ask = ask_new (widget, library);

  ask->equipment = equipment;
  ask_for_file (ask, _ ("Export the equipment"), GTK_FILE_CHOOSER_ACTION_SAVE, name, NULL, target_chosen);
}

/* --- jobs --- */

/* Takes error. */
static void
open_started (GtkWidget *widget, gint64 job, GError *error)
{
  BlShell *shell = bl_shell_of (widget);

  if (job == 0)
    bl_widget_report (widget, _ ("The job was not begun"), error);
  else if (shell != NULL)
    bl_shell_open_job (shell, job);
}

void
bl_board_start_job (GtkWidget *widget, BlLibrary *library, gint64 board)
{
  g_return_if_fail (GTK_IS_WIDGET (widget) && library != NULL);
  GError *error = NULL;
  gint64 job = bl_bench_start (library, board, NULL, NULL, &error);

  open_started (widget, job, error);
}

void
bl_equipment_start_job (GtkWidget *widget, BlLibrary *library, gint64 equipment)
{
  g_return_if_fail (GTK_IS_WIDGET (widget) && library != NULL);
  GError *error = NULL;
  gint64 job = bl_bench_start_equipment (library, equipment, NULL, &error);

  open_started (widget, job, error);
}
