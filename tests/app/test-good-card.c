/* SPDX-License-Identifier: GPL-3.0-or-later
 * Known-good boards in the editor: dots and buttons for what is known, and what an answer does. Needs a display. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include <string.h>

#include "bl-document.h"
#include "bl-editor-private.h"
#include "bl-good-card.h"
#include "bl-spread-plot.h"
#include "bl-style.h"

typedef struct
{
  BlLibrary *library;
  gint64 board, jobs[11];
  GtkWidget *window, *editor;
} Fixture;

static void
settle (void)
{
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

static void
read_at (Fixture *f, guint job, const char *text)
{
  g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_READING, "M5", text);

  record->job = f->jobs[job];
  g_assert_true (bl_library_append (f->library, record, NULL));
}

/* Ten boards of 4.9 and 5.1 V, and one apart. */
static void
set_up (Fixture *f, gconstpointer unused)
{
  g_autofree char *file = g_test_build_filename (G_TEST_DIST, "fixtures", "example-board.json", NULL);
  g_autofree char *text = NULL;
  g_autoptr (GError) error = NULL;

  g_file_get_contents (file, &text, NULL, &error);
  g_assert_no_error (error);
  g_autoptr (BlBoard) board = bl_document_parse (text, -1, NULL, &error);
  g_assert_no_error (error);
  f->library = bl_library_open (":memory:", TRUE, &error);
  g_assert_no_error (error);
  f->board = bl_library_add_board (f->library, board, FALSE, &error);
  g_assert_no_error (error);
  for (guint i = 0; i < G_N_ELEMENTS (f->jobs); i++)
    {
      g_autoptr (BlJob) job = bl_job_new ();
      job->board = f->board;
      f->jobs[i] = bl_library_add_job (f->library, job, NULL);
      read_at (f, i, i == 10 ? "6.5" : i % 2 == 0 ? "4.9" : "5.1");
      g_assert_true (bl_library_mark_known_good (f->library, f->jobs[i], BL_KNOWN_GOOD_YES, NULL));
    }
  f->window = gtk_window_new ();
  bl_style_dress (f->window);
  f->editor = bl_editor_new (f->library);
  gtk_window_set_child (GTK_WINDOW (f->window), f->editor);
  gtk_window_set_default_size (GTK_WINDOW (f->window), 1280, 740);
  gtk_window_present (GTK_WINDOW (f->window));
  g_assert_true (bl_editor_open (BL_EDITOR (f->editor), f->board, &error));
  bl_editor_show_good (BL_EDITOR (f->editor));
  settle ();
}

static void
tear_down (Fixture *f, gconstpointer unused)
{
  GtkWidget *editor = g_object_ref (f->editor);

  gtk_window_destroy (GTK_WINDOW (f->window));
  settle ();
  g_assert_finalize_object (editor);
  bl_library_close (f->library);
}

static GtkWidget *
find_type (GtkWidget *widget, GType type)
{
  if (G_TYPE_CHECK_INSTANCE_TYPE (widget, type))
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find_type (child, type);
      if (found != NULL)
        return found;
    }
  return NULL;
}

/* A button that is shown; NULL: none of that label. */
static GtkWidget *
find_button (GtkWidget *widget, const char *label)
{
  if (GTK_IS_BUTTON (widget) && g_strcmp0 (gtk_button_get_label (GTK_BUTTON (widget)), label) == 0)
    return gtk_widget_get_visible (widget) ? widget : NULL;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find_button (child, label);
      if (found != NULL)
        return found;
    }
  return NULL;
}

static void
press (Fixture *f, const char *label)
{
  GtkWidget *button = find_button (find_type (f->editor, BL_TYPE_GOOD_CARD), label);

  g_assert_nonnull (button);
  g_signal_emit_by_name (button, "clicked");
  settle ();
}

static const BlExpected *
expected (Fixture *f)
{
  BlEdition *edition = bl_editor_get_edition (BL_EDITOR (f->editor));
  return &bl_board_measurement (bl_edition_get_board (edition), "M5")->expected;
}

static guint
dots (Fixture *f, guint *n_hollow)
{
  return bl_spread_plot_n_dots (BL_SPREAD_PLOT (find_type (f->editor, BL_TYPE_SPREAD_PLOT)), n_hollow);
}

static void
test_accept_without_outlier (Fixture *f, gconstpointer unused)
{
  guint hollow;

  g_assert_cmpuint (dots (f, &hollow), ==, 11);
  g_assert_cmpuint (hollow, ==, 1);
  press (f, "accept without outlier");
  g_assert_cmpfloat (expected (f)->low.value, ==, 4.64);
  g_assert_true (g_str_has_prefix (expected (f)->source, "10 known-good boards, "));
  g_assert_null (find_button (find_type (f->editor, BL_TYPE_GOOD_CARD), "accept"));
  /* Undo brings the band back, and with it the offer and the outlier that was left out in the same step. */
  bl_editor_act (BL_EDITOR (f->editor), "undo", NULL);
  settle ();
  g_assert_cmpfloat (expected (f)->low.value, !=, 4.64);
  g_assert_nonnull (find_button (find_type (f->editor, BL_TYPE_GOOD_CARD), "accept with all"));
}

static void
test_refuse (Fixture *f, gconstpointer unused)
{
  press (f, "refuse");
  g_assert_null (find_button (find_type (f->editor, BL_TYPE_GOOD_CARD), "refuse"));
  press (f, "offer again");
  g_assert_nonnull (find_button (find_type (f->editor, BL_TYPE_GOOD_CARD), "refuse"));
}

/* In hand, below the band; and nothing where no board was read. */
static void
test_in_hand (Fixture *f, gconstpointer unused)
{
  BlEditor *editor = BL_EDITOR (f->editor);
  BlRef read = bl_ref (BL_ELEMENT_MEASUREMENT, "M5"), other = bl_ref (BL_ELEMENT_MEASUREMENT, "M0");

  bl_editor_set_part (editor, BL_EDITOR_POINTS);
  bl_editor_select (editor, &read);
  settle ();
  g_assert_nonnull (find_type (editor->hand, BL_TYPE_GOOD_CARD));
  bl_editor_select (editor, &other);
  settle ();
  g_assert_null (find_type (editor->hand, BL_TYPE_GOOD_CARD));
}

#define ADD(name, func) g_test_add ("/app/good-card/" name, Fixture, NULL, set_up, func, tear_down)

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
  ADD ("accept-without-outlier", test_accept_without_outlier);
  ADD ("refuse", test_refuse);
  ADD ("in-hand", test_in_hand);
  return g_test_run ();
}
