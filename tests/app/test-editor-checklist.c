/* SPDX-License-Identifier: GPL-3.0-or-later
 * The checklist in the editor: walked by key, moving on when a thing is put right, things set aside and brought back.
 * Needs a display. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include <adwaita.h>
#include <glib/gstdio.h>
#include <string.h>

#include "bl-document.h"
#include "bl-edition-checklist.h"
#include "bl-editor-private.h"
#include "bl-missing-button.h"
#include "bl-style.h"

typedef struct
{
  char *folder, *path;
  BlLibrary *library;
  GtkWidget *window;
  BlEditor *editor;
} Fixture;

static void
settle (void)
{
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

static void
set_up (Fixture *f, gconstpointer unused)
{
  g_autofree char *file = g_test_build_filename (G_TEST_DIST, "fixtures", "example-board.json", NULL);
  g_autofree char *text = NULL;
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = NULL;

  g_file_get_contents (file, &text, NULL, &error);
  g_assert_no_error (error);
  board = bl_document_parse (text, -1, NULL, &error);
  g_assert_no_error (error);
  f->folder = g_dir_make_tmp ("checklist-XXXXXX", &error);
  f->path = g_build_filename (f->folder, "x.benchlore-library", NULL);
  f->library = bl_library_open (f->path, TRUE, &error);
  g_assert_no_error (error);
  gint64 id = bl_library_add_board (f->library, board, FALSE, &error);
  f->window = gtk_window_new ();
  bl_style_dress (f->window);
  f->editor = BL_EDITOR (bl_editor_new (f->library));
  gtk_window_set_child (GTK_WINDOW (f->window), GTK_WIDGET (f->editor));
  gtk_window_set_default_size (GTK_WINDOW (f->window), 1280, 740);
  gtk_window_present (GTK_WINDOW (f->window));
  g_assert_true (bl_editor_open (f->editor, id, &error));
  settle ();
}

static void
tear_down (Fixture *f, gconstpointer unused)
{
  gtk_window_destroy (GTK_WINDOW (f->window));
  settle ();
  bl_library_close (f->library);
  g_unlink (f->path);
  g_rmdir (f->folder);
  g_free (f->path);
  g_free (f->folder);
}

static guint
n_open (Fixture *f)
{
  BlEdition *edition = bl_editor_get_edition (f->editor);
  g_auto (BlChecklistBeside) beside = { NULL, NULL };
  g_autoptr (BlChecklist) list = NULL;

  bl_checklist_beside_read (&beside, f->library, bl_edition_get_id (edition));
  list = bl_checklist_new (bl_edition_get_board (edition), f->editor->coverage, &beside);

  return list->open->len;
}

static gboolean
is_open (Fixture *f, const char *key)
{
  BlEdition *edition = bl_editor_get_edition (f->editor);
  g_auto (BlChecklistBeside) beside = { NULL, NULL };
  g_autoptr (BlChecklist) list = NULL;

  bl_checklist_beside_read (&beside, f->library, bl_edition_get_id (edition));
  list = bl_checklist_new (bl_edition_get_board (edition), f->editor->coverage, &beside);

  for (guint i = 0; i < list->open->len; i++)
    if (g_str_equal (((BlThing *) bl_at (list->open, i))->key, key))
      return TRUE;
  return FALSE;
}

static void
press (Fixture *f, guint key, GdkModifierType state)
{
  g_assert_true (bl_editor_key (f->editor, key, state));
  settle ();
}

/* A measurement is added that lacks everything; the walk goes there, and on when it is put right. */
static void
test_walk (Fixture *f, gconstpointer unused)
{
  BlEdition *edition = bl_editor_get_edition (f->editor);
  g_autofree char *id = bl_edition_add_measurement (edition, NULL, BL_MEASURES_V_DC, "run", NULL, NULL);
  g_autofree char *before = NULL;
  guint rounds = 0;

  settle ();
  g_assert_nonnull (bl_editor_checklist_key (f->editor));
  do
    {
      press (f, GDK_KEY_F9, 0);
      g_assert_cmpuint (rounds++, <, 200);
    }
  while (!g_str_has_prefix (bl_editor_checklist_key (f->editor), "expected")
         || strstr (bl_editor_checklist_key (f->editor), id) == NULL);
  g_assert_cmpint (f->editor->part, ==, BL_EDITOR_POINTS);
  g_assert_true (f->editor->has_selected);
  g_assert_cmpstr (f->editor->selected.id, ==, id);
  before = g_strdup (bl_editor_checklist_key (f->editor));
  g_assert_true (bl_edition_set_expected (edition, id, "5 V ±4 %", NULL));
  settle ();
  g_assert_cmpstr (bl_editor_checklist_key (f->editor), !=, before);
  g_assert_false (is_open (f, before));
  /* Undone, it is missing again. */
  press (f, GDK_KEY_z, GDK_CONTROL_MASK);
  g_assert_true (is_open (f, before));
}

static void
test_aside (Fixture *f, gconstpointer unused)
{
  guint n = n_open (f);
  g_autofree char *first = g_strdup (bl_editor_checklist_key (f->editor));

  g_assert_cmpuint (n, >, 1);
  press (f, GDK_KEY_F9, 0);
  g_assert_cmpstr (bl_editor_checklist_key (f->editor), ==, first);
  press (f, GDK_KEY_F9, GDK_SHIFT_MASK);
  g_assert_cmpuint (n_open (f), ==, n - 1);
  g_assert_cmpstr (bl_editor_checklist_key (f->editor), !=, first);
  g_autofree char *back = g_strdup_printf ("check-back %s", first);
  bl_editor_show_checks (f->editor);
  settle ();
  bl_editor_act (f->editor, back, NULL);
  settle ();
  g_assert_cmpuint (n_open (f), ==, n);
  /* All that applies to nothing: the line says so and asks no more. */
  for (guint i = 0; n_open (f) > 0; i++)
    {
      g_assert_cmpuint (i, <, 200);
      press (f, GDK_KEY_F9, GDK_SHIFT_MASK);
    }
  g_assert_null (bl_editor_checklist_key (f->editor));
  press (f, GDK_KEY_F9, 0);
}

/* The row of the boards says what the editor says, as soon as it is known what the measurements tell. */
static void
test_row (Fixture *f, gconstpointer unused)
{
  BlEdition *edition = bl_editor_get_edition (f->editor);
  GtkWidget *button = g_object_ref_sink (
    bl_missing_button_new (f->library, bl_edition_get_id (edition), bl_edition_get_board (edition), "the board"));
  g_auto (BlChecklistBeside) beside = { NULL, NULL };
  g_autoptr (BlChecklist) list = NULL;
  g_autofree char *words = NULL;
  gint64 end = g_get_monotonic_time () + 60 * G_USEC_PER_SEC;

  while (f->editor->coverage == NULL && g_get_monotonic_time () < end)
    g_main_context_iteration (NULL, TRUE);
  g_assert_nonnull (f->editor->coverage);
  bl_checklist_beside_read (&beside, f->library, bl_edition_get_id (edition));
  list = bl_checklist_new (bl_edition_get_board (edition), f->editor->coverage, &beside);
  words = bl_checklist_summary (list);
  while (g_strcmp0 (gtk_button_get_label (GTK_BUTTON (button)), words) != 0 && g_get_monotonic_time () < end)
    g_main_context_iteration (NULL, FALSE);
  g_assert_cmpstr (gtk_button_get_label (GTK_BUTTON (button)), ==, words);
  g_object_unref (button);
}

int
main (int argc, char *argv[])
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
#define ADD(name, function) g_test_add ("/app/editor-checklist/" name, Fixture, NULL, set_up, function, tear_down)
  ADD ("walk", test_walk);
  ADD ("aside", test_aside);
  ADD ("row", test_row);
  return g_test_run ();
}
