/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands beside the fields of the counter: photos, what was read from codes and where it went, the camera, and the
 * earlier jobs of the serial number. A code never writes over what was typed; where its parts go can be changed for
 * each. A photo is looked through for codes in a thread as soon as it is added. */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "bl-chooser.h"
#include "bl-code-camera.h"
#include "bl-code-reader.h"
#include "bl-image-check.h"
#include "bl-library-take-in.h"
#include "bl-photo-surface.h"
#include "bl-style.h"
#include "bl-take-in-private.h"
#include "bl-wrap-box.h"

#define EARLIER_SHOWN 2
#define THUMBNAIL 104

static const char *const field_words[] = {
  [BL_CODE_OTHER] = N_ ("nothing"),       [BL_CODE_SERIAL] = N_ ("serial number"),
  [BL_CODE_BOARD_NUMBER] = N_ ("board"),  [BL_CODE_EDITION] = N_ ("edition"),
  [BL_CODE_UNIT] = N_ ("unit"),           [BL_CODE_CUSTOMER] = N_ ("customer"),
  [BL_FIELD_CAME_WITH] = N_ ("came with"),
};

/* --- earlier jobs --- */

static void show_earlier (BlTakeInPage *self);

static void
return_pressed (GtkWidget *button, BlTakeInPage *self)
{
  gint64 *job = g_object_get_data (G_OBJECT (button), "job");

  self->return_of = self->return_of == *job ? 0 : *job;
  show_earlier (self);
}

static void
add_earlier (BlTakeInPage *self, const BlJob *job, gboolean first)
{
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *button;
  g_autofree char *words = bl_earlier_words (job, g_get_real_time ());
  gboolean it = self->return_of == job->id;
  g_autofree char *act = it ? g_strdup_printf (_ ("returned from job %d"), job->number) : g_strdup (_ ("comes back from it"));
  GtkWidget *label = bl_label (words, it ? "strong" : NULL, 0);

  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_widget_set_tooltip_text (label, words);
  gtk_widget_set_hexpand (label, TRUE);
  button = bl_act_button (it ? "firm" : "plain", act, first ? "Alt R" : NULL, FALSE);
  g_object_set_data_full (G_OBJECT (button), "job", g_memdup2 (&job->id, sizeof job->id), g_free);
  g_signal_connect (button, "clicked", G_CALLBACK (return_pressed), self);
  gtk_box_append (GTK_BOX (line), label);
  gtk_box_append (GTK_BOX (line), button);
  gtk_box_append (GTK_BOX (self->earlier_box), line);
}

static void
show_earlier (BlTakeInPage *self)
{
  guint n = bl_len (self->earlier);

  bl_widget_clear (self->earlier_box);
  for (guint i = 0; i < n && i < EARLIER_SHOWN; i++)
    add_earlier (self, bl_at (self->earlier, i), i == 0);
  if (n > EARLIER_SHOWN)
    {
      g_autofree char *more = g_strdup_printf (ngettext ("and %u more", "and %u more", n - EARLIER_SHOWN),
                                               n - EARLIER_SHOWN);
      gtk_box_append (GTK_BOX (self->earlier_box), bl_label (more, "muted small", 0));
    }
  gtk_widget_set_visible (self->earlier_box, n > 0);
}

void
bl_take_in_look_for_earlier (BlTakeInPage *self)
{
  gboolean still = FALSE;

  g_clear_pointer (&self->earlier, g_ptr_array_unref);
  self->earlier = bl_library_jobs_of_serial (self->library, bl_take_in_form_get (self, BL_CODE_SERIAL), NULL);
  for (guint i = 0; i < bl_len (self->earlier); i++)
    still = still || ((const BlJob *) bl_at (self->earlier, i))->id == self->return_of;
  if (!still)
    self->return_of = 0;
  show_earlier (self);
}

void
bl_take_in_toggle_return (BlTakeInPage *self)
{
  if (bl_len (self->earlier) == 0)
    return;
  const BlJob *job = bl_at (self->earlier, 0);
  self->return_of = self->return_of == job->id ? 0 : job->id;
  show_earlier (self);
}

/* --- codes --- */

/* Where a part went, so that it can be taken out of there again. */
static void
put_part (BlTakeInPage *self, const BlCodePart *part, guint from, guint to)
{
  if (from != BL_CODE_OTHER && g_str_equal (bl_take_in_form_get (self, from), part->value))
    bl_take_in_form_set (self, from, "");
  bl_take_in_form_set (self, to, part->value);
}

static void
fill_targets (BlChooser *chooser, gpointer data)
{
  for (guint i = 0; i < G_N_ELEMENTS (field_words); i++)
    {
      g_autofree char *value = g_strdup_printf ("%u", i);
      bl_chooser_add (chooser, value, _ (field_words[i]));
    }
}

static void
show_target (BlChooser *chooser, guint field)
{
  g_autofree char *value = g_strdup_printf ("%u", field);
  bl_chooser_show (chooser, value, _ (field_words[field]), field == BL_CODE_OTHER);
}

static void
target_chosen (BlChooser *chooser, const char *value, BlTakeInPage *self)
{
  guint part = GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (chooser), "part"));
  guint from = (guint) g_ascii_strtoull (bl_chooser_get_value (chooser), NULL, 10);
  guint to = (guint) g_ascii_strtoull (value, NULL, 10);

  if (self->code == NULL || part >= self->code->parts->len || to >= G_N_ELEMENTS (field_words))
    return;
  put_part (self, bl_at (self->code->parts, part), from, to);
  show_target (chooser, to);
}

static GtkWidget *
part_line (BlTakeInPage *self, guint place, guint went)
{
  const BlCodePart *part = bl_at (self->code->parts, place);
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *chooser = bl_chooser_new (_ ("Goes to"), FALSE);
  GtkWidget *label = bl_label (part->label, "muted small", 0), *value = bl_label (part->value, "strong", 0);

  gtk_widget_set_size_request (label, 96, -1);
  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_label_set_ellipsize (GTK_LABEL (value), PANGO_ELLIPSIZE_END);
  gtk_widget_set_tooltip_text (value, part->value);
  gtk_widget_set_hexpand (value, TRUE);
  g_object_set_data (G_OBJECT (chooser), "part", GUINT_TO_POINTER (place));
  g_signal_connect (chooser, "fill", G_CALLBACK (fill_targets), NULL);
  g_signal_connect (chooser, "chosen", G_CALLBACK (target_chosen), self);
  show_target (BL_CHOOSER (chooser), went);
  gtk_box_append (GTK_BOX (line), label);
  gtk_box_append (GTK_BOX (line), value);
  gtk_box_append (GTK_BOX (line), bl_label ("→", "muted", 0));
  gtk_box_append (GTK_BOX (line), chooser);
  return line;
}

/* Fills what is empty, and shows every part with where it went. */
static void
show_parts (BlTakeInPage *self)
{
  bl_widget_clear (self->code_box);
  gtk_box_append (GTK_BOX (self->code_box), bl_label (_ ("Read from the code"), "heading", 0));
  for (guint i = 0; i < self->code->parts->len; i++)
    {
      const BlCodePart *part = bl_at (self->code->parts, i);
      const char *there = bl_take_in_form_get (self, part->field);
      gboolean goes = part->field != BL_CODE_OTHER && (*there == '\0' || g_str_equal (there, part->value));
      if (goes)
        bl_take_in_form_set (self, part->field, part->value);
      gtk_box_append (GTK_BOX (self->code_box), part_line (self, i, goes ? part->field : BL_CODE_OTHER));
    }
  if (self->code->trouble != NULL)
    {
      GtkWidget *trouble = bl_label (self->code->trouble, "muted small", 0);
      gtk_label_set_wrap (GTK_LABEL (trouble), TRUE);
      gtk_box_append (GTK_BOX (self->code_box), trouble);
    }
  gtk_widget_set_visible (self->code_box, TRUE);
}

/* The label of an earlier job: the customer brought it back, so what is known of it is filled in. */
static void
use_job (BlTakeInPage *self, const char *uid)
{
  g_autoptr (GError) error = NULL;
  gint64 id = bl_library_find_job (self->library, uid, &error);
  g_autoptr (BlJob) job = id != 0 ? bl_library_load_job (self->library, id, &error) : NULL;

  if (job == NULL)
    {
      bl_take_in_form_say (self, error != NULL ? error->message : _ ("The job of this label is not in this library."));
      return;
    }
  bl_take_in_form_choose_board (self, job->board, job->equipment);
  bl_take_in_form_set (self, BL_CODE_SERIAL, job->serial);
  if (*bl_take_in_form_get (self, BL_CODE_CUSTOMER) == '\0')
    bl_take_in_form_set (self, BL_CODE_CUSTOMER, job->customer);
  if (*bl_take_in_form_get (self, BL_CODE_UNIT) == '\0')
    bl_take_in_form_set (self, BL_CODE_UNIT, job->unit);
  /* A job without a serial number is not among those found by it. */
  gboolean found = FALSE;
  for (guint i = 0; i < bl_len (self->earlier); i++)
    found = found || ((const BlJob *) bl_at (self->earlier, i))->id == id;
  if (!found)
    {
      if (self->earlier == NULL)
        self->earlier = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_job_free);
      g_ptr_array_insert (self->earlier, 0, g_steal_pointer (&job));
    }
  self->return_of = id;
  show_earlier (self);
}

gboolean
bl_take_in_use_code (BlTakeInPage *self, const char *text)
{
  BlCodeText *code = bl_code_text_read (text);

  if (code == NULL)
    return FALSE;
  g_clear_pointer (&self->code, bl_code_text_free);
  self->code = code;
  if (code->job != NULL)
    use_job (self, code->job);
  else
    show_parts (self);
  return TRUE;
}

void
bl_take_in_toggle_camera (BlTakeInPage *self)
{
  BlCodeCamera *camera = BL_CODE_CAMERA (self->camera);

  if (bl_code_camera_is_open (camera))
    bl_code_camera_close (camera);
  else
    bl_code_camera_open (camera);
}

static void
camera_read (BlCodeCamera *camera, const char *text, BlTakeInPage *self)
{
  bl_take_in_use_code (self, text);
  gtk_widget_grab_focus (GTK_WIDGET (self->fields[BL_CODE_CUSTOMER]));
}

/* --- photos --- */

static void
codes_read (GObject *source, GAsyncResult *result, gpointer data)
{
  g_autoptr (BlTakeInPage) self = data;
  g_autoptr (GPtrArray) codes = bl_codes_read_image_finish (result, NULL);

  for (guint i = 0; i < bl_len (codes) && gtk_widget_get_root (GTK_WIDGET (self)) != NULL; i++)
    bl_take_in_use_code (self, ((const BlCode *) bl_at (codes, i))->text);
}

static void show_photos (BlTakeInPage *self);

static void
remove_photo (GtkWidget *button, BlTakeInPage *self)
{
  g_ptr_array_remove (self->photos, g_object_get_data (G_OBJECT (button), "photo"));
  show_photos (self);
}

static GtkWidget *
photo_new (BlTakeInPage *self, BlTakenPhoto *photo)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2), *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 4);
  g_autoptr (GdkTexture) texture = gdk_texture_new_from_bytes (photo->thumbnail, NULL);
  GtkWidget *picture = gtk_picture_new_for_paintable (GDK_PAINTABLE (texture)), *remove = gtk_button_new_with_label ("×");
  GtkWidget *title = bl_label (photo->title, "small", 0);
  g_autofree char *name = g_strdup_printf (_ ("take out %s"), photo->title);

  gtk_widget_set_size_request (picture, THUMBNAIL, 78);
  gtk_widget_add_css_class (picture, "thumbnail");
  gtk_label_set_ellipsize (GTK_LABEL (title), PANGO_ELLIPSIZE_MIDDLE);
  gtk_label_set_max_width_chars (GTK_LABEL (title), 10);
  gtk_widget_set_hexpand (title, TRUE);
  gtk_widget_add_css_class (remove, "bare");
  bl_widget_name (remove, name);
  gtk_widget_set_tooltip_text (remove, name);
  g_object_set_data (G_OBJECT (remove), "photo", photo);
  g_signal_connect (remove, "clicked", G_CALLBACK (remove_photo), self);
  gtk_box_append (GTK_BOX (line), title);
  gtk_box_append (GTK_BOX (line), remove);
  gtk_box_append (GTK_BOX (box), picture);
  gtk_box_append (GTK_BOX (box), line);
  return box;
}

static void
show_photos (BlTakeInPage *self)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (self->photo_box)) != NULL)
    gtk_widget_unparent (child);
  for (guint i = 0; i < self->photos->len; i++)
    bl_wrap_box_append (BL_WRAP_BOX (self->photo_box), photo_new (self, bl_at (self->photos, i)));
  gtk_widget_set_visible (self->no_photo, self->photos->len == 0);
}

void
bl_take_in_page_add_photo (BlTakeInPage *self, GFile *file)
{
  g_return_if_fail (BL_IS_TAKE_IN_PAGE (self) && G_IS_FILE (file));
  g_autofree char *base = g_file_get_basename (file), *name = g_filename_display_name (base), *data = NULL;
  g_autoptr (GError) error = NULL;
  gsize size;

  if (!g_file_load_contents (file, NULL, &data, &size, NULL, &error))
    {
      bl_take_in_form_say (self, error->message);
      return;
    }
  g_autoptr (GBytes) image = g_bytes_new_take (g_steal_pointer (&data), size);
  g_autofree char *mime = bl_photo_mime (image);
  g_autoptr (GBytes) thumbnail = bl_image_check (image, name, &error) ? bl_photo_thumbnail (image, &error) : NULL;
  if (thumbnail == NULL)
    {
      bl_take_in_form_say (self, error->message);
      return;
    }
  g_ptr_array_add (self->photos, bl_taken_photo_new (name, mime != NULL ? mime : "image/jpeg", image, thumbnail));
  bl_take_in_form_choose_photo (self);
  show_photos (self);
  bl_codes_read_image_async (image, self->reading, codes_read, g_object_ref (self));
}

static void
photos_chosen (GtkNativeDialog *dialog, int response, BlTakeInPage *self)
{
  g_autoptr (GListModel) files = gtk_file_chooser_get_files (GTK_FILE_CHOOSER (dialog));

  for (guint i = 0; response == GTK_RESPONSE_ACCEPT && i < g_list_model_get_n_items (files); i++)
    {
      g_autoptr (GFile) file = g_list_model_get_item (files, i);
      bl_take_in_page_add_photo (self, file);
    }
  g_clear_object (&self->chooser);
}

void
bl_take_in_choose_photos (BlTakeInPage *self)
{
  g_autoptr (GtkFileFilter) images = gtk_file_filter_new ();
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));

  if (self->chooser != NULL)
    return;
  gtk_file_filter_set_name (images, _ ("Photos"));
  gtk_file_filter_add_mime_type (images, "image/*");
  self->chooser = gtk_file_chooser_native_new (_ ("Photos of what came in"), GTK_IS_WINDOW (root) ? GTK_WINDOW (root) : NULL,
                                               GTK_FILE_CHOOSER_ACTION_OPEN, NULL, NULL);
  gtk_file_chooser_set_select_multiple (GTK_FILE_CHOOSER (self->chooser), TRUE);
  gtk_file_chooser_add_filter (GTK_FILE_CHOOSER (self->chooser), images);
  g_signal_connect (self->chooser, "response", G_CALLBACK (photos_chosen), self);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->chooser));
}

static gboolean
dropped (GtkDropTarget *target, const GValue *value, double x, double y, BlTakeInPage *self)
{
  for (GSList *files = g_value_get_boxed (value); files != NULL; files = files->next)
    bl_take_in_page_add_photo (self, files->data);
  return TRUE;
}

/* --- the column --- */

void
bl_take_in_beside_clear (BlTakeInPage *self)
{
  g_cancellable_cancel (self->reading);
  g_clear_object (&self->reading);
  self->reading = g_cancellable_new ();
  g_ptr_array_set_size (self->photos, 0);
  g_clear_pointer (&self->code, bl_code_text_free);
  self->return_of = 0;
  bl_widget_clear (self->code_box);
  gtk_widget_set_visible (self->code_box, FALSE);
  bl_code_camera_close (BL_CODE_CAMERA (self->camera));
  show_photos (self);
  bl_take_in_look_for_earlier (self);
}

GtkWidget *
bl_take_in_beside_new (BlTakeInPage *self)
{
  GtkWidget *column = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8), *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  GtkWidget *add = bl_act_button ("act", _ ("add"), "Ctrl I", FALSE), *scrolled = gtk_scrolled_window_new ();
  GtkWidget *all = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8);
  GtkDropTarget *drop = gtk_drop_target_new (GDK_TYPE_FILE_LIST, GDK_ACTION_COPY);

  self->photos = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_taken_photo_free);
  self->reading = g_cancellable_new ();
  gtk_box_append (GTK_BOX (line), bl_label (_ ("Photos"), "heading", 0));
  gtk_box_append (GTK_BOX (line), add);
  g_signal_connect_swapped (add, "clicked", G_CALLBACK (bl_take_in_choose_photos), self);
  self->no_photo = bl_label (_ ("Board, its label, what came with it: drop the pictures here. A barcode or QR code on "
                                "them is read."), "muted drop-here", 0);
  gtk_label_set_wrap (GTK_LABEL (self->no_photo), TRUE);
  self->photo_box = bl_wrap_box_new (10, 8);
  self->code_box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  self->camera = bl_code_camera_new ();
  gtk_widget_set_halign (self->camera, GTK_ALIGN_START);
  g_signal_connect (self->camera, "code", G_CALLBACK (camera_read), self);
  gtk_box_append (GTK_BOX (all), self->camera);
  gtk_box_append (GTK_BOX (all), self->code_box);
  gtk_box_append (GTK_BOX (all), line);
  gtk_box_append (GTK_BOX (all), self->no_photo);
  gtk_box_append (GTK_BOX (all), self->photo_box);
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scrolled), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scrolled), all);
  gtk_widget_set_vexpand (scrolled, TRUE);
  gtk_box_append (GTK_BOX (column), scrolled);
  g_signal_connect (drop, "drop", G_CALLBACK (dropped), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (drop));
  gtk_widget_set_visible (self->code_box, FALSE);
  return column;
}
