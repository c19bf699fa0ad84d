/* SPDX-License-Identifier: GPL-3.0-or-later
 * The boards and their editor as widgets: every part is built for a real document, follows changes,
 * and nothing is left behind. Needs a display. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include <adwaita.h>
#include <glib/gstdio.h>
#include <string.h>

#include "bl-boards-page.h"
#include "bl-document.h"
#include "bl-editor-private.h"
#include "bl-slot-field.h"
#include "bl-style.h"

typedef struct
{
  char *folder, *path;
  BlLibrary *library;
  gint64 board;
  GtkWidget *window, *editor;
} Fixture;

static void
settle (void)
{
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

static void
set_up (Fixture *fixture, gconstpointer unused)
{
  g_autofree char *file = g_test_build_filename (G_TEST_DIST, "fixtures", "example-board.json", NULL);
  g_autofree char *text = NULL;
  g_autoptr (GError) error = NULL;

  g_file_get_contents (file, &text, NULL, &error);
  g_assert_no_error (error);
  g_autoptr (BlBoard) board = bl_document_parse (text, -1, NULL, &error);
  g_assert_no_error (error);
  fixture->folder = g_dir_make_tmp ("editor-XXXXXX", &error);
  g_assert_no_error (error);
  fixture->path = g_build_filename (fixture->folder, "editor.benchlore-library", NULL);
  fixture->library = bl_library_open (fixture->path, TRUE, &error);
  g_assert_no_error (error);
  fixture->board = bl_library_add_board (fixture->library, board, FALSE, &error);
  g_assert_no_error (error);
  fixture->window = gtk_window_new ();
  bl_style_dress (fixture->window);
  fixture->editor = bl_editor_new (fixture->library);
  gtk_window_set_child (GTK_WINDOW (fixture->window), fixture->editor);
  gtk_window_set_default_size (GTK_WINDOW (fixture->window), 1280, 740);
  gtk_window_present (GTK_WINDOW (fixture->window));
  g_assert_true (bl_editor_open (BL_EDITOR (fixture->editor), fixture->board, &error));
  settle ();
}

static void
tear_down (Fixture *fixture, gconstpointer unused)
{
  GtkWidget *editor = g_object_ref (fixture->editor);

  gtk_window_destroy (GTK_WINDOW (fixture->window));
  settle ();
  g_assert_finalize_object (editor);
  bl_library_close (fixture->library);
  g_unlink (fixture->path);
  g_rmdir (fixture->folder);
  g_free (fixture->path);
  g_free (fixture->folder);
}

static BlEdition *
edition (Fixture *fixture)
{
  return bl_editor_get_edition (BL_EDITOR (fixture->editor));
}

static GtkWidget *
find_slot (GtkWidget *widget, const BlRef *ref, BlSlot slot)
{
  if (BL_IS_SLOT_FIELD (widget))
    return bl_slot_field_get_slot (BL_SLOT_FIELD (widget)) == slot
               && bl_ref_equal (bl_slot_field_get_ref (BL_SLOT_FIELD (widget)), ref)
             ? widget
             : NULL;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find_slot (child, ref, slot);
      if (found != NULL)
        return found;
    }
  return NULL;
}

/* The entry of a slot that must be on the screen. */
static GtkEditable *
entry_of (Fixture *fixture, const BlRef *ref, BlSlot slot)
{
  GtkWidget *field = find_slot (fixture->editor, ref, slot);

  g_assert_nonnull (field);
  return GTK_EDITABLE (gtk_widget_get_first_child (gtk_widget_get_first_child (field)));
}

static void
enter (GtkEditable *entry, const char *text)
{
  gtk_editable_set_text (entry, text);
  g_signal_emit_by_name (gtk_editable_get_delegate (entry), "activate");
  settle ();
}

static void
test_parts (Fixture *fixture, gconstpointer unused)
{
  const BlRef chosen[] = { bl_ref (BL_ELEMENT_MEASUREMENT, "M5"), bl_ref (BL_ELEMENT_TEST_POINT, "TP0"),
                           bl_ref (BL_ELEMENT_SECTION, "link"),   bl_ref (BL_ELEMENT_STAGE, "rx"),
                           bl_ref (BL_ELEMENT_COMPONENT, "U2"),   bl_ref (BL_ELEMENT_PORT, "S") };

  for (guint part = 0; part < BL_N_EDITOR_PARTS; part++)
    {
      bl_editor_set_part (BL_EDITOR (fixture->editor), part);
      settle ();
    }
  for (guint i = 0; i < G_N_ELEMENTS (chosen); i++)
    {
      bl_editor_go_to (BL_EDITOR (fixture->editor), &chosen[i]);
      settle ();
      BlSlot slot = chosen[i].element == BL_ELEMENT_MEASUREMENT ? BL_SLOT_EXPECTED : BL_SLOT_TITLE;
      g_assert_nonnull (find_slot (BL_EDITOR (fixture->editor)->hand, &chosen[i], slot));
    }
}

/* The panel opens where it does something. */
static void
test_layers (Fixture *fixture, gconstpointer unused)
{
  BlEditor *editor = BL_EDITOR (fixture->editor);

  for (guint part = 0; part < BL_N_EDITOR_PARTS; part++)
    {
      gboolean has = part != BL_EDITOR_BOARD && part != BL_EDITOR_PHOTOS;
      bl_editor_set_part (editor, part);
      settle ();
      g_assert_cmpint (gtk_widget_get_visible (editor->tool_layers), ==, has);
      g_assert_cmpstr (bl_editor_keys_find (part, GDK_KEY_l, 0, FALSE), ==, has ? "layers" : NULL);
      g_assert_false (bl_layers_panel_is_open (BL_LAYERS_PANEL (editor->layers)));
      bl_editor_act (editor, "layers", NULL);
      g_assert_cmpint (bl_layers_panel_is_open (BL_LAYERS_PANEL (editor->layers)), ==, has);
      bl_layers_panel_close (BL_LAYERS_PANEL (editor->layers));
    }
  bl_editor_set_part (editor, BL_EDITOR_POINTS);
  bl_editor_act (editor, "layers", NULL);
  bl_editor_set_part (editor, BL_EDITOR_PHOTOS);
  g_assert_false (bl_layers_panel_is_open (BL_LAYERS_PANEL (editor->layers)));
}

static void
test_entry (Fixture *fixture, gconstpointer unused)
{
  BlRef m5 = bl_ref (BL_ELEMENT_MEASUREMENT, "M5");
  GtkEditable *entry = entry_of (fixture, &m5, BL_SLOT_EXPECTED);

  enter (entry, "3,3 V ±2 %");
  g_assert_cmpfloat (bl_board_measurement (bl_edition_get_board (edition (fixture)), "M5")->expected.nominal.value, ==,
                     3.3);
  /* Not a voltage: the text stays for mending, the document has the old value. */
  enter (entry, "3.3 A");
  g_assert_cmpstr (gtk_editable_get_text (entry), ==, "3.3 A");
  g_assert_true (gtk_widget_has_css_class (GTK_WIDGET (entry), "refused"));
  g_assert_cmpfloat (bl_board_measurement (bl_edition_get_board (edition (fixture)), "M5")->expected.nominal.value, ==,
                     3.3);
  /* The same line lives through changes elsewhere. */
  BlRef run = bl_ref (BL_ELEMENT_STATE, "run");
  g_assert_true (bl_edition_set_slot (edition (fixture), &run, BL_SLOT_VOLTS, "24 V", NULL));
  settle ();
  g_assert_true (entry == entry_of (fixture, &m5, BL_SLOT_EXPECTED));
  g_assert_cmpstr (gtk_editable_get_text (entry), ==, "3.3 A");
  enter (entry, "3.4 V ±1 %");
  g_assert_false (gtk_widget_has_css_class (GTK_WIDGET (entry), "refused"));
}

static void
test_rename (Fixture *fixture, gconstpointer unused)
{
  BlRef point = bl_ref (BL_ELEMENT_TEST_POINT, "TP5"), renamed = bl_ref (BL_ELEMENT_TEST_POINT, "TP9");

  bl_editor_go_to (BL_EDITOR (fixture->editor), &point);
  settle ();
  enter (entry_of (fixture, &point, BL_SLOT_ID), "TP0");
  g_assert_nonnull (bl_board_test_point (bl_edition_get_board (edition (fixture)), "TP5"));
  enter (entry_of (fixture, &point, BL_SLOT_ID), "TP9");
  g_assert_true (bl_ref_equal (&BL_EDITOR (fixture->editor)->selected, &renamed));
  g_assert_nonnull (find_slot (BL_EDITOR (fixture->editor)->hand, &renamed, BL_SLOT_ID));
}

static void
test_undo (Fixture *fixture, gconstpointer unused)
{
  BlRef stage = bl_ref (BL_ELEMENT_STAGE, "rx");

  bl_editor_act (BL_EDITOR (fixture->editor), "remove", &stage);
  settle ();
  g_assert_null (bl_board_stage (bl_edition_get_board (edition (fixture)), "rx"));
  bl_editor_act (BL_EDITOR (fixture->editor), "undo", NULL);
  settle ();
  g_assert_nonnull (bl_board_stage (bl_edition_get_board (edition (fixture)), "rx"));
}

static void
test_list (Fixture *fixture, gconstpointer unused)
{
  GtkWidget *page = bl_boards_page_new (fixture->library), *window = gtk_window_new ();

  g_object_ref_sink (page);
  gtk_window_set_child (GTK_WINDOW (window), page);
  bl_boards_page_refresh (BL_BOARDS_PAGE (page));
  gtk_window_present (GTK_WINDOW (window));
  settle ();
  gtk_window_destroy (GTK_WINDOW (window));
  settle ();
  g_assert_finalize_object (page);
}

/* A visible label below widget that contains these words. */
static gboolean
says (GtkWidget *widget, const char *words)
{
  if (!gtk_widget_get_visible (widget))
    return FALSE;
  if (GTK_IS_LABEL (widget) && strstr (gtk_label_get_label (GTK_LABEL (widget)), words) != NULL)
    return TRUE;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    if (says (child, words))
      return TRUE;
  return FALSE;
}

static gboolean
wait_for_words (GtkWidget *widget, const char *words)
{
  for (gint64 end = g_get_monotonic_time () + 30 * G_USEC_PER_SEC; g_get_monotonic_time () < end;)
    {
      if (says (widget, words))
        return TRUE;
      if (!g_main_context_iteration (NULL, FALSE))
        g_usleep (2000);
    }
  return FALSE;
}

/* What the measurements tell comes from a thread, and anew after a change; a row of the boards has it too. */
static void
test_coverage (Fixture *fixture, gconstpointer unused)
{
  BlEditor *editor = BL_EDITOR (fixture->editor);
  GtkWidget *window = gtk_window_new (), *page = bl_boards_page_new (fixture->library);
  g_autoptr (GError) error = NULL;

  bl_editor_set_part (editor, BL_EDITOR_CHECKS);
  g_assert_true (wait_for_words (editor->list, "lead to one component"));
  g_assert_true (says (editor->list, "One more measurement"));
  g_assert_true (says (editor->list, "Faults not visible with these measurements"));
  BlCoverage *before = editor->coverage;
  bl_coverage_ref (before);
  BlBoard *board = bl_edition_begin (editor->edition, "reads nothing", NULL);
  g_clear_pointer (&bl_board_measurement (board, "M5")->reads, g_free);
  g_assert_true (bl_edition_commit (editor->edition, &error));
  g_assert_no_error (error);
  settle (); /* the list is built anew, and asks */
  g_assert_true (wait_for_words (editor->list, "lead to one component"));
  g_assert_nonnull (editor->coverage);
  g_assert_true (editor->coverage != before);
  bl_coverage_free (before);
  gtk_window_set_child (GTK_WINDOW (window), page);
  bl_boards_page_refresh (BL_BOARDS_PAGE (page));
  gtk_window_present (GTK_WINDOW (window));
  g_assert_true (wait_for_words (page, "of faults · "));
  /* Gone while its rows may still be waiting for theirs. */
  bl_boards_page_refresh (BL_BOARDS_PAGE (page));
  gtk_window_destroy (GTK_WINDOW (window));
  settle ();
}

static GtkWidget *
find_entry (GtkWidget *widget)
{
  GtkWidget *found = GTK_IS_ENTRY (widget) ? widget : NULL;

  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL && found == NULL;
       child = gtk_widget_get_next_sibling (child))
    found = find_entry (child);
  return found;
}

/* A line typed for the point in hand, begun on the photo; what it says stays said for the next. */
static void
test_quick_entry (Fixture *fixture, gconstpointer unused)
{
  BlEditor *editor = BL_EDITOR (fixture->editor);
  BlRef tp5 = bl_ref (BL_ELEMENT_TEST_POINT, "TP5");
  guint n = bl_len (bl_edition_get_board (edition (fixture))->measurements);

  bl_editor_go_to (editor, &tp5);
  settle ();
  gtk_widget_grab_focus (editor->photo);
  g_assert_true (bl_editor_key (editor, GDK_KEY_4, 0));
  GtkEditable *entry = GTK_EDITABLE (find_entry (editor->entry));
  g_assert_cmpstr (gtk_editable_get_text (entry), ==, "4");
  enter (entry, "4.8..5,2 V run black TP0 reads rail5");
  const BlBoard *board = bl_edition_get_board (edition (fixture));
  g_assert_cmpuint (bl_len (board->measurements), ==, n + 1);
  const BlMeasurement *added = bl_at (board->measurements, n);
  g_assert_cmpstr (added->at, ==, "TP5");
  g_assert_cmpstr (added->black, ==, "TP0");
  g_assert_cmpstr (added->state, ==, "run");
  g_assert_cmpstr (added->reads, ==, "rail5");
  g_assert_cmpfloat (added->expected.high.value, ==, 5.2);
  /* Ohms go to the unpowered state, the lead stays. */
  enter (entry, "45..80 ohm");
  added = bl_at (bl_edition_get_board (edition (fixture))->measurements, n + 1);
  g_assert_cmpint (added->measures, ==, BL_MEASURES_OHM);
  g_assert_cmpstr (added->state, ==, "off");
  g_assert_cmpstr (added->black, ==, "TP0");
  /* What is wrong stays for mending. */
  enter (entry, "12 V ±0.5");
  g_assert_cmpuint (bl_len (bl_edition_get_board (edition (fixture))->measurements), ==, n + 2);
  g_assert_cmpstr (gtk_editable_get_text (entry), ==, "12 V ±0.5");
  bl_editor_act (editor, "undo", NULL);
  settle ();
  g_assert_cmpuint (bl_len (bl_edition_get_board (edition (fixture))->measurements), ==, n + 1);
}

/* Looking at another point takes nothing from a line that is half typed. */
static void
test_typed_line_waits (Fixture *fixture, gconstpointer unused)
{
  BlEditor *editor = BL_EDITOR (fixture->editor);
  BlRef tp5 = bl_ref (BL_ELEMENT_TEST_POINT, "TP5"), tp0 = bl_ref (BL_ELEMENT_TEST_POINT, "TP0");

  bl_editor_go_to (editor, &tp5);
  settle ();
  GtkEditable *entry = GTK_EDITABLE (find_entry (editor->entry));
  gtk_editable_set_text (entry, "12 V");
  bl_editor_go_to (editor, &tp0);
  settle ();
  g_assert_cmpstr (gtk_editable_get_text (entry), ==, "");
  gtk_editable_set_text (entry, "0 V");
  bl_editor_go_to (editor, &tp5);
  settle ();
  g_assert_cmpstr (gtk_editable_get_text (entry), ==, "12 V");
  enter (entry, "12 V ±5 % run");
  bl_editor_go_to (editor, &tp0);
  settle ();
  g_assert_cmpstr (gtk_editable_get_text (entry), ==, "0 V");
  bl_editor_go_to (editor, &tp5);
  settle ();
  g_assert_cmpstr (gtk_editable_get_text (entry), ==, "");
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
#define ADD(name, function) g_test_add (name, Fixture, NULL, set_up, function, tear_down)
  ADD ("/app/editor/parts", test_parts);
  ADD ("/app/editor/layers", test_layers);
  ADD ("/app/editor/entry", test_entry);
  ADD ("/app/editor/quick-entry", test_quick_entry);
  ADD ("/app/editor/typed-line-waits", test_typed_line_waits);
  ADD ("/app/editor/rename", test_rename);
  ADD ("/app/editor/undo", test_undo);
  ADD ("/app/editor/list", test_list);
  ADD ("/app/editor/coverage", test_coverage);
  return g_test_run ();
}
