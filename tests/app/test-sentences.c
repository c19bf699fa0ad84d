/* SPDX-License-Identifier: GPL-3.0-or-later
 * Failure modes written as sentences in the editor: what is typed is previewed before it is kept, Enter keeps it on
 * disk as one step, what cannot be read stays with its reason, points on the photo wear what they would read. Needs
 * a display. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include <adwaita.h>
#include <glib/gstdio.h>
#include <string.h>

#include "bl-document.h"
#include "bl-editor-modes.h"
#include "bl-sentence-field.h"
#include "bl-style.h"

/* A fuse, a rail of 12 V behind it, a regulator behind that. */
static const char document[]
  = "{\"format\": \"benchlore-board\", \"version\": 1, \"states\": [{\"id\": \"off\", \"live\": false}, {\"id\": \"run\"}],"
    " \"photos\": [{\"id\": \"front\", \"side\": \"front\", \"file\": \"photos/front.jpg\"}],"
    " \"sections\": [{\"id\": \"s\"}],"
    " \"stages\": [{\"id\": \"in\", \"section\": \"s\"},"
    "  {\"id\": \"rail12\", \"section\": \"s\", \"title\": \"12 V rail\", \"feeds\": {\"from\": [\"in\"]}},"
    "  {\"id\": \"rail5\", \"section\": \"s\", \"title\": \"5 V rail\", \"feeds\": {\"from\": [\"rail12\"]}}],"
    " \"components\": [{\"id\": \"F1\", \"kind\": \"fuse\", \"stage\": \"in\", \"modes\": ["
    "   {\"mode\": \"open\", \"effects\": [{\"is\": \"absent\"}]}]},"
    "  {\"id\": \"U2\", \"kind\": \"ic.regulator\", \"stage\": \"rail5\", \"modes\": ["
    "   {\"mode\": \"open\", \"effects\": [{\"is\": \"absent\"}]}]}],"
    " \"test_points\": [{\"id\": \"TP12\", \"photo\": \"front\", \"x\": 10, \"y\": 10},"
    "  {\"id\": \"TP5\", \"photo\": \"front\", \"x\": 20, \"y\": 10}],"
    " \"measurements\": ["
    "  {\"id\": \"M12\", \"at\": \"TP12\", \"measures\": \"V DC\", \"state\": \"run\", \"reads\": \"rail12\","
    "   \"expected\": {\"nominal\": 12, \"low\": 11.4, \"high\": 12.6}},"
    "  {\"id\": \"M5\", \"at\": \"TP5\", \"measures\": \"V DC\", \"state\": \"run\", \"reads\": \"rail5\","
    "   \"expected\": {\"nominal\": 5, \"low\": 4.8, \"high\": 5.2}}]}";

typedef struct
{
  char *folder, *path;
  BlLibrary *library;
  gint64 id;
  GtkWidget *window;
  BlEditor *editor;
} Fixture;

static void
settle (void)
{
  for (int i = 0; i < 20; i++)
    while (g_main_context_iteration (NULL, FALSE))
      ;
}

static void
set_up (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = bl_document_parse (document, -1, NULL, &error);
  BlRef ref = bl_ref (BL_ELEMENT_COMPONENT, "U2");

  g_assert_no_error (error);
  fixture->folder = g_dir_make_tmp ("sentences-XXXXXX", &error);
  g_assert_no_error (error);
  fixture->path = g_build_filename (fixture->folder, "s.benchlore-library", NULL);
  fixture->library = bl_library_open (fixture->path, TRUE, &error);
  g_assert_no_error (error);
  fixture->id = bl_library_add_board (fixture->library, board, FALSE, &error);
  g_assert_no_error (error);
  fixture->window = gtk_window_new ();
  bl_style_dress (fixture->window);
  fixture->editor = BL_EDITOR (bl_editor_new (fixture->library));
  gtk_window_set_child (GTK_WINDOW (fixture->window), GTK_WIDGET (fixture->editor));
  gtk_window_set_default_size (GTK_WINDOW (fixture->window), 1280, 740);
  gtk_window_present (GTK_WINDOW (fixture->window));
  g_assert_true (bl_editor_open (fixture->editor, fixture->id, &error));
  bl_editor_set_part (fixture->editor, BL_EDITOR_STRUCTURE);
  bl_editor_select (fixture->editor, &ref);
  settle ();
}

static void
tear_down (Fixture *fixture, gconstpointer unused)
{
  GtkWidget *editor = g_object_ref (GTK_WIDGET (fixture->editor));

  gtk_window_destroy (GTK_WINDOW (fixture->window));
  settle ();
  g_assert_finalize_object (editor);
  bl_library_close (fixture->library);
  g_unlink (fixture->path);
  g_rmdir (fixture->folder);
  g_free (fixture->path);
  g_free (fixture->folder);
}

static GtkWidget *
find (GtkWidget *widget, GType type, int *skip)
{
  if (G_TYPE_CHECK_INSTANCE_TYPE (widget, type) && (*skip)-- == 0)
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find (child, type, skip);
      if (found != NULL)
        return found;
    }
  return NULL;
}

/* The index-th sentence; the last one is that of a new mode. */
static BlSentenceField *
sentence (Fixture *fixture, int index)
{
  GtkWidget *field = find (fixture->editor->hand, BL_TYPE_SENTENCE_FIELD, &index);

  return field != NULL ? BL_SENTENCE_FIELD (field) : NULL;
}

static GtkWidget *
view_of (BlSentenceField *field)
{
  int skip = 0;

  return find (GTK_WIDGET (field), GTK_TYPE_TEXT_VIEW, &skip);
}

static void
write_text (BlSentenceField *field, const char *text)
{
  gtk_widget_grab_focus (GTK_WIDGET (field));
  settle ();
  gtk_text_buffer_set_text (gtk_text_view_get_buffer (GTK_TEXT_VIEW (view_of (field))), text, -1);
  settle ();
}

static char *
text_of (BlSentenceField *field)
{
  GtkTextBuffer *buffer = gtk_text_view_get_buffer (GTK_TEXT_VIEW (view_of (field)));
  GtkTextIter start, end;

  gtk_text_buffer_get_bounds (buffer, &start, &end);
  return gtk_text_buffer_get_text (buffer, &start, &end, FALSE);
}

static void
press (BlSentenceField *field, guint keyval)
{
  g_autoptr (GListModel) controllers = gtk_widget_observe_controllers (view_of (field));
  gboolean handled = FALSE;

  for (guint i = 0; i < g_list_model_get_n_items (controllers) && !handled; i++)
    {
      g_autoptr (GtkEventController) controller = g_list_model_get_item (controllers, i);
      if (GTK_IS_EVENT_CONTROLLER_KEY (controller)
          && gtk_event_controller_get_propagation_phase (controller) == GTK_PHASE_CAPTURE)
        g_signal_emit_by_name (controller, "key-pressed", keyval, 0, 0, &handled);
    }
  settle ();
}

static const BlPreview *
wait_for_preview (Fixture *fixture)
{
  for (int i = 0; i < 20000; i++)
    {
      const BlEditorModes *modes = bl_editor_modes (fixture->editor);
      if (modes != NULL && modes->preview != NULL && modes->cancellable == NULL)
        return modes->preview;
      g_main_context_iteration (NULL, FALSE);
      g_usleep (1000);
    }
  g_assert_not_reached ();
}

static const char *
class_at (const BlPreview *preview, guint measurement)
{
  return ((BlPreviewRow *) bl_at (preview->rows, measurement))->class_name;
}

static const BlComponent *
on_disk (Fixture *fixture, BlBoard **board)
{
  *board = bl_library_load_board (fixture->library, fixture->id, NULL);
  return bl_board_component (*board, "U2");
}

static void
test_write (Fixture *fixture, gconstpointer unused)
{
  const char *typed = "short -> 12 V rail low, and may blow F1 (20 %)";
  g_autoptr (BlBoard) board = NULL, after = NULL;
  const BlPreview *preview;

  g_assert_nonnull (sentence (fixture, 1));
  g_assert_null (sentence (fixture, 2));
  write_text (sentence (fixture, 1), typed);
  /* Seen before it is kept; the fuse blows in fewer than half the cases. */
  preview = wait_for_preview (fixture);
  g_assert_cmpstr (class_at (preview, 0), ==, "low");
  g_assert_cmpstr (class_at (preview, 1), ==, "low");
  g_assert_false (((BlPreviewAlong *) bl_at (preview->along, 0))->there);
  g_assert_null (bl_component_mode (on_disk (fixture, &board), "short"));
  press (sentence (fixture, 1), GDK_KEY_Return);
  const BlMode *mode = bl_component_mode (on_disk (fixture, &after), "short");
  g_assert_nonnull (mode);
  g_assert_cmpstr (((BlEffect *) bl_at (mode->effects, 0))->on, ==, "rail12");
  g_assert_cmpfloat (((BlProvokes *) bl_at (mode->provokes, 0))->chance, ==, 0.2);
  g_assert_nonnull (strstr (bl_edition_get_undo_label (fixture->editor->edition), "U2 short"));
  /* A sentence of its own now, an empty one for the next; the preview stays. */
  g_assert_nonnull (sentence (fixture, 2));
  g_autofree char *said = text_of (sentence (fixture, 1)), *next = text_of (sentence (fixture, 2));
  g_assert_cmpstr (said, ==, "short → 12 V rail low, and may blow F1 (20 %)");
  g_assert_cmpstr (next, ==, "");
  g_assert_cmpstr (bl_editor_modes (fixture->editor)->mode, ==, "short");
  /* With the fuse blown nothing comes in. */
  BlRef fuse = bl_ref_mode (BL_ELEMENT_MODE, "F1", "open", 0);
  wait_for_preview (fixture);
  bl_editor_act (fixture->editor, "mode-along", &fuse);
  preview = wait_for_preview (fixture);
  g_assert_cmpstr (class_at (preview, 0), ==, "absent");
  g_assert_cmpstr (bl_at (preview->alike, 0), ==, "F1:open");
  /* One step. */
  g_assert_true (bl_edition_undo (fixture->editor->edition, NULL));
  settle ();
  g_assert_null (sentence (fixture, 2));
  g_assert_null (bl_editor_modes (fixture->editor));
}

static void
test_refused (Fixture *fixture, gconstpointer unused)
{
  g_autofree char *before = bl_document_write (bl_edition_get_board (fixture->editor->edition));

  write_text (sentence (fixture, 0), "open -> 5 V rial absent");
  press (sentence (fixture, 0), GDK_KEY_Return);
  g_autofree char *kept = text_of (sentence (fixture, 0)), *now = bl_document_write (bl_edition_get_board (fixture->editor->edition));
  g_assert_cmpstr (kept, ==, "open -> 5 V rial absent");
  g_assert_cmpstr (now, ==, before);
  g_assert_true (gtk_widget_has_css_class (view_of (sentence (fixture, 0)), "refused"));
  g_assert_true (bl_editor_modes (fixture->editor)->unreadable);
  press (sentence (fixture, 0), GDK_KEY_Escape);
  g_autofree char *back = text_of (sentence (fixture, 0));
  g_assert_cmpstr (back, ==, "open → 5 V rail absent");
  g_assert_false (gtk_widget_has_css_class (view_of (sentence (fixture, 0)), "refused"));
}

static void
test_complete (Fixture *fixture, gconstpointer unused)
{
  write_text (sentence (fixture, 0), "open -> 12 v");
  press (sentence (fixture, 0), GDK_KEY_Tab);
  press (sentence (fixture, 0), GDK_KEY_Down);
  press (sentence (fixture, 0), GDK_KEY_Tab);
  g_autofree char *text = text_of (sentence (fixture, 0));
  g_assert_cmpstr (text, ==, "open -> rail12 unsteady");
  press (sentence (fixture, 0), GDK_KEY_Return);
  g_autofree char *said = text_of (sentence (fixture, 0));
  g_assert_cmpstr (said, ==, "open → 12 V rail unsteady");
}

static int
shape_at (Fixture *fixture, const char *point)
{
  g_autoptr (GPtrArray) items = bl_editor_photo_items (fixture->editor);

  bl_editor_preview_points (fixture->editor, items);
  for (guint i = 0; i < items->len; i++)
    if (g_strcmp0 (((BlPhotoItem *) bl_at (items, i))->id, point) == 0)
      return ((BlPhotoItem *) bl_at (items, i))->shape;
  return -2;
}

static void
test_photo (Fixture *fixture, gconstpointer unused)
{
  g_assert_cmpint (shape_at (fixture, "TP5"), ==, -2);
  gtk_widget_grab_focus (GTK_WIDGET (sentence (fixture, 0)));
  settle ();
  wait_for_preview (fixture);
  g_assert_cmpint (shape_at (fixture, "TP5"), ==, BL_SHAPE_ABSENT);
  g_assert_cmpint (shape_at (fixture, "TP12"), ==, -2);
  bl_editor_act (fixture->editor, "mode-leave", NULL);
  settle ();
  g_assert_cmpint (shape_at (fixture, "TP5"), ==, -2);
}

/* Until the new preview is there the old one is shown, and must find its measurements. */
static void
test_measurement_gone (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  BlEdition *edition = bl_editor_get_edition (fixture->editor);

  gtk_widget_grab_focus (GTK_WIDGET (sentence (fixture, 0)));
  guint before = wait_for_preview (fixture)->rows->len;
  BlBoard *board = bl_edition_begin (edition, "Remove measurement", NULL);
  g_ptr_array_remove_index (board->measurements, board->measurements->len - 1);
  g_assert_true (bl_edition_commit (edition, &error));
  g_assert_no_error (error);
  const BlEditorModes *modes = bl_editor_modes (fixture->editor);
  for (guint i = 0; i < modes->preview->rows->len; i++)
    g_assert_cmpuint (((BlPreviewRow *) bl_at (modes->preview->rows, i))->measurement, <, modes->board->measurements->len);
  settle ();
  g_assert_cmpuint (wait_for_preview (fixture)->rows->len, ==, before - 1);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  if (!gtk_init_check ())
    {
      g_print ("1..0 # SKIP no display\n");
      return 0;
    }
  adw_init ();
  bl_style_install ();
  g_object_set (gtk_settings_get_default (), "gtk-enable-animations", FALSE, NULL);
#define ADD(path, function) g_test_add (path, Fixture, NULL, set_up, function, tear_down)
  ADD ("/app/sentences/write", test_write);
  ADD ("/app/sentences/refused", test_refused);
  ADD ("/app/sentences/complete", test_complete);
  ADD ("/app/sentences/photo", test_photo);
  ADD ("/app/sentences/measurement-gone", test_measurement_gone);
  return g_test_run ();
}
