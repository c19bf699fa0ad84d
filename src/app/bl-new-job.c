/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The window that begins a job. Most boards arrive undocumented, so 'from a photo alone' stands in the
 * same list as the documented ones. Nothing but the board or the photo is required. */
#include "config.h"

#include "bl-new-job.h"

#include <glib/gi18n-lib.h>

#include "bl-bench.h"
#include "bl-library-known-good.h"
#include "bl-photo-surface.h"
#include "bl-style.h"
#include "bl-window.h"

struct _BlNewJob
{
  GtkWindow parent_instance;

  BlLibrary *library; /* of the application */
  GtkDropDown *board, *symptom;
  GtkWidget *symptom_label, *photo_label, *photo, *begin;
  GtkEditable *complaint, *customer, *unit, *serial;
  GtkLabel *problem;
  GtkCheckButton *good;
  GPtrArray *boards;   /* BlBoardRow; the photo alone comes after them */
  GPtrArray *symptoms; /* char *, ids, of the board chosen */
  char *photo_path;
  GtkFileChooserNative *chooser;
};

G_DEFINE_FINAL_TYPE (BlNewJob, bl_new_job, GTK_TYPE_WINDOW)

static gboolean
from_photo (BlNewJob *self)
{
  return gtk_drop_down_get_selected (self->board) >= bl_len (self->boards);
}

static void
say_problem (BlNewJob *self, const char *text)
{
  gtk_label_set_label (self->problem, text != NULL ? text : "");
  gtk_widget_set_visible (GTK_WIDGET (self->problem), text != NULL);
}

static void
fill_symptoms (BlNewJob *self)
{
  g_autoptr (GtkStringList) names = gtk_string_list_new (NULL);
  const BlBoardRow *row = bl_at (self->boards, gtk_drop_down_get_selected (self->board));
  g_autoptr (BlBoard) board = bl_library_load_board (self->library, row->id, NULL);

  g_ptr_array_set_size (self->symptoms, 0);
  gtk_string_list_append (names, _ ("not said"));
  for (guint i = 0; board != NULL && i < bl_len (board->symptoms); i++)
    {
      const BlSymptom *symptom = bl_at (board->symptoms, i);
      g_ptr_array_add (self->symptoms, g_strdup (symptom->id));
      gtk_string_list_append (names, symptom->title != NULL ? symptom->title : symptom->id);
    }
  gtk_drop_down_set_model (self->symptom, G_LIST_MODEL (names));
}

static void
board_changed (BlNewJob *self)
{
  gboolean photo = from_photo (self);

  if (self->boards == NULL)
    return;
  gtk_widget_set_visible (self->photo, photo);
  gtk_widget_set_visible (self->photo_label, photo);
  gtk_widget_set_visible (GTK_WIDGET (self->symptom), !photo);
  gtk_widget_set_visible (self->symptom_label, !photo);
  /* Without an edition there is nothing to compare with. */
  gtk_widget_set_visible (GTK_WIDGET (self->good), !photo);
  if (!photo)
    fill_symptoms (self);
  say_problem (self, NULL);
}

static void
set_photo (BlNewJob *self, const char *path)
{
  g_autofree char *name = g_filename_display_basename (path);

  g_free (self->photo_path);
  self->photo_path = g_strdup (path);
  gtk_button_set_label (GTK_BUTTON (self->photo), name);
  gtk_drop_down_set_selected (self->board, bl_len (self->boards));
  say_problem (self, NULL);
}

static void
photo_chosen (GtkNativeDialog *dialog, int response, BlNewJob *self)
{
  g_autoptr (GFile) file = gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog));
  g_autofree char *path = file != NULL ? g_file_get_path (file) : NULL;

  if (response == GTK_RESPONSE_ACCEPT && path != NULL)
    set_photo (self, path);
  g_clear_object (&self->chooser);
}

static void
choose_photo (BlNewJob *self)
{
  g_autoptr (GtkFileFilter) images = gtk_file_filter_new ();

  if (self->chooser != NULL)
    return;
  gtk_file_filter_set_name (images, _ ("Photos"));
  gtk_file_filter_add_mime_type (images, "image/*");
  self->chooser = gtk_file_chooser_native_new (_ ("Photo of the board"), GTK_WINDOW (self),
                                               GTK_FILE_CHOOSER_ACTION_OPEN, NULL, NULL);
  gtk_file_chooser_add_filter (GTK_FILE_CHOOSER (self->chooser), images);
  g_signal_connect (self->chooser, "response", G_CALLBACK (photo_chosen), self);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}

/* A provisional board from the photo. Returns its id, 0 on error. */
static gint64
board_from_photo (BlNewJob *self, GError **error)
{
  g_autofree char *data = NULL;
  gsize size;

  if (self->photo_path == NULL)
    {
      g_set_error (error, G_IO_ERROR, G_IO_ERROR_NOT_FOUND, _ ("choose a photo first"));
      return 0;
    }
  if (!g_file_get_contents (self->photo_path, &data, &size, error))
    return 0;
  g_autoptr (GBytes) image = g_bytes_new_take (g_steal_pointer (&data), size);
  g_autoptr (GBytes) thumbnail = bl_photo_thumbnail (image, error);
  g_autofree char *mime = bl_photo_mime (image);
  if (thumbnail == NULL)
    return 0;
  return bl_edition_create (self->library, TRUE, mime != NULL ? mime : "image/jpeg", image, thumbnail, error);
}

static void
begin_job (BlNewJob *self)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlJob) head = bl_job_new ();
  guint symptom = gtk_drop_down_get_selected (self->symptom);
  gboolean photo = from_photo (self);
  gint64 board = photo ? board_from_photo (self, &error)
                       : ((BlBoardRow *) bl_at (self->boards, gtk_drop_down_get_selected (self->board)))->id;
  gint64 job = 0;

  head->complaint = g_strdup (gtk_editable_get_text (self->complaint));
  head->customer = g_strdup (gtk_editable_get_text (self->customer));
  head->unit = g_strdup (gtk_editable_get_text (self->unit));
  head->serial = g_strdup (gtk_editable_get_text (self->serial));
  if (board != 0)
    job = bl_bench_start (self->library, board, head,
                          !photo && symptom > 0 && symptom <= self->symptoms->len
                            ? g_ptr_array_index (self->symptoms, symptom - 1)
                            : NULL,
                          &error);
  if (job != 0 && !photo && gtk_check_button_get_active (self->good)
      && !bl_library_mark_known_good (self->library, job, BL_KNOWN_GOOD_YES, &error))
    bl_widget_report (GTK_WIDGET (gtk_window_get_transient_for (GTK_WINDOW (self))),
                      _ ("The board was not marked known good"), g_steal_pointer (&error));
  if (job == 0)
    {
      g_autofree char *text = g_strdup_printf (_ ("The job was not begun: %s"), error->message);
      say_problem (self, text);
      return;
    }
  bl_window_open_job (BL_WINDOW (gtk_window_get_transient_for (GTK_WINDOW (self))), job);
  gtk_window_destroy (GTK_WINDOW (self));
}

static void
fill_boards (BlNewJob *self)
{
  g_autoptr (GtkStringList) names = gtk_string_list_new (NULL);

  self->boards = bl_library_boards (self->library, FALSE, NULL);
  if (self->boards == NULL)
    self->boards = g_ptr_array_new ();
  for (guint i = 0; i < self->boards->len; i++)
    {
      const BlBoardRow *row = bl_at (self->boards, i);
      g_autofree char *name = g_strdup_printf (_ ("%s %s, edition %s"), row->maker != NULL ? row->maker : "",
                                               row->board_number != NULL ? row->board_number : "",
                                               row->edition != NULL ? row->edition : "");
      gtk_string_list_append (names, g_strstrip (name));
    }
  gtk_string_list_append (names, _ ("not documented: from a photo alone"));
  gtk_drop_down_set_model (self->board, G_LIST_MODEL (names));
  board_changed (self);
}

static void
bl_new_job_dispose (GObject *object)
{
  BlNewJob *self = BL_NEW_JOB (object);

  g_clear_object (&self->chooser);
  gtk_widget_dispose_template (GTK_WIDGET (object), BL_TYPE_NEW_JOB);
  G_OBJECT_CLASS (bl_new_job_parent_class)->dispose (object);
}

static void
bl_new_job_finalize (GObject *object)
{
  BlNewJob *self = BL_NEW_JOB (object);

  g_clear_pointer (&self->boards, g_ptr_array_unref);
  g_ptr_array_unref (self->symptoms);
  g_free (self->photo_path);
  G_OBJECT_CLASS (bl_new_job_parent_class)->finalize (object);
}

static void
bl_new_job_class_init (BlNewJobClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_new_job_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_new_job_finalize;
  gtk_widget_class_set_template_from_resource (widget_class, "/org/benchlore/Benchlore/bl-new-job.ui");
  gtk_widget_class_bind_template_child (widget_class, BlNewJob, board);
  gtk_widget_class_bind_template_child (widget_class, BlNewJob, symptom);
  gtk_widget_class_bind_template_child (widget_class, BlNewJob, symptom_label);
  gtk_widget_class_bind_template_child (widget_class, BlNewJob, photo_label);
  gtk_widget_class_bind_template_child (widget_class, BlNewJob, photo);
  gtk_widget_class_bind_template_child (widget_class, BlNewJob, begin);
  gtk_widget_class_bind_template_child (widget_class, BlNewJob, complaint);
  gtk_widget_class_bind_template_child (widget_class, BlNewJob, customer);
  gtk_widget_class_bind_template_child (widget_class, BlNewJob, unit);
  gtk_widget_class_bind_template_child (widget_class, BlNewJob, serial);
  gtk_widget_class_bind_template_child (widget_class, BlNewJob, problem);
  gtk_widget_class_bind_template_child (widget_class, BlNewJob, good);
  gtk_widget_class_bind_template_callback (widget_class, board_changed);
  gtk_widget_class_bind_template_callback (widget_class, choose_photo);
  gtk_widget_class_bind_template_callback (widget_class, begin_job);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "window.close", NULL);
}

static void
bl_new_job_init (BlNewJob *self)
{
  self->symptoms = g_ptr_array_new_with_free_func (g_free);
  gtk_widget_init_template (GTK_WIDGET (self));
  bl_style_dress (GTK_WIDGET (self));
}

static BlNewJob *
new_job_window (GtkWindow *parent, BlLibrary *library)
{
  BlNewJob *self = g_object_new (BL_TYPE_NEW_JOB, "transient-for", parent, "destroy-with-parent", TRUE, NULL);

  self->library = library;
  fill_boards (self);
  return self;
}

void
bl_new_job_present (GtkWindow *parent, BlLibrary *library)
{
  g_return_if_fail (BL_IS_WINDOW (parent) && library != NULL);
  gtk_window_present (GTK_WINDOW (new_job_window (parent, library)));
}

void
bl_new_job_present_photo (GtkWindow *parent, BlLibrary *library, const char *path)
{
  g_return_if_fail (BL_IS_WINDOW (parent) && library != NULL && path != NULL);
  BlNewJob *self = new_job_window (parent, library);

  set_photo (self, path);
  gtk_window_present (GTK_WINDOW (self));
}
