/* SPDX-License-Identifier: GPL-3.0-or-later
 * The band form of the editor as widgets: rows of component limits are offered and taken, a followed line is drawn and
 * changed by keys, and what the document has is what is shown. Needs a display. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include <adwaita.h>
#include <glib/gstdio.h>
#include <string.h>

#include "bl-document.h"
#include "bl-edition-band.h"
#include "bl-edition-parts.h"
#include "bl-follows-form.h"
#include "bl-follows-plot.h"
#include "bl-limits-list.h"
#include "bl-style.h"

typedef struct
{
  char *folder, *path;
  BlLibrary *library;
  BlEdition *edition;
  GtkWidget *window;
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
  fixture->folder = g_dir_make_tmp ("band-form-XXXXXX", &error);
  fixture->path = g_build_filename (fixture->folder, "form.benchlore-library", NULL);
  fixture->library = bl_library_open (fixture->path, TRUE, &error);
  g_assert_no_error (error);
  fixture->edition = bl_edition_new (fixture->library, bl_library_add_board (fixture->library, board, FALSE, NULL), &error);
  g_assert_no_error (error);
  fixture->window = gtk_window_new ();
  bl_style_dress (fixture->window);
  gtk_window_set_default_size (GTK_WINDOW (fixture->window), 640, 480);
}

static void
tear_down (Fixture *fixture, gconstpointer unused)
{
  gtk_window_destroy (GTK_WINDOW (fixture->window));
  settle ();
  g_assert_finalize_object (fixture->edition);
  bl_library_close (fixture->library);
  g_unlink (fixture->path);
  g_rmdir (fixture->folder);
  g_free (fixture->path);
  g_free (fixture->folder);
}

static void
show (Fixture *fixture, GtkWidget *widget)
{
  gtk_window_set_child (GTK_WINDOW (fixture->window), widget);
  gtk_window_present (GTK_WINDOW (fixture->window));
  settle ();
}

/* Depth first, the first of this type (n counts down). */
static GtkWidget *
find (GtkWidget *widget, GType type, guint *n)
{
  if (g_type_is_a (G_OBJECT_TYPE (widget), type) && (*n)-- == 0)
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL; child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find (child, type, n);
      if (found != NULL)
        return found;
    }
  return NULL;
}

static GtkWidget *
nth (GtkWidget *widget, GType type, guint n)
{
  return find (widget, type, &n);
}

static const BlExpected *
expected (Fixture *fixture, const char *id)
{
  return &bl_board_measurement (bl_edition_get_board (fixture->edition), id)->expected;
}

static void
test_limits (Fixture *fixture, gconstpointer unused)
{
  GtkWidget *list = bl_limits_list_new (fixture->edition, "M5");

  show (fixture, list);
  GtkWidget *toggle = nth (list, GTK_TYPE_TOGGLE_BUTTON, 0);
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (toggle), TRUE);
  settle ();
  /* The second button is the first row: the toggle is one too. */
  GtkWidget *row = nth (list, GTK_TYPE_BUTTON, 1);
  g_assert_nonnull (row);
  g_signal_emit_by_name (row, "clicked");
  settle ();
  g_assert_cmpfloat (expected (fixture, "M5")->low.value, ==, 4.75);
  g_assert_nonnull (strstr (expected (fixture, "M5")->source, "7805 class"));
  g_assert_false (gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (toggle)));
  /* What is typed searches rows of other parts as well. */
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (toggle), TRUE);
  gtk_editable_set_text (GTK_EDITABLE (nth (list, GTK_TYPE_ENTRY, 0)), "431 grade b");
  settle ();
  row = nth (list, GTK_TYPE_BUTTON, 1);
  g_assert_nonnull (strstr (gtk_widget_get_tooltip_text (row), "B grade"));
}

static void
emit_key (GtkWidget *widget, guint keyval, GdkModifierType state)
{
  g_autoptr (GListModel) controllers = gtk_widget_observe_controllers (widget);

  for (guint i = 0; i < g_list_model_get_n_items (controllers); i++)
    {
      g_autoptr (GtkEventController) one = g_list_model_get_item (controllers, i);
      gboolean handled = FALSE;
      if (GTK_IS_EVENT_CONTROLLER_KEY (one))
        g_signal_emit_by_name (one, "key-pressed", keyval, 0, state, &handled);
    }
  settle ();
}

static void
test_plot (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  BlPreset preset = bl_preset_usual (BL_PRESET_RATIO);
  GtkWidget *form = bl_follows_form_new (fixture->edition, "M5");
  double x, y, moved_x, moved_y;

  show (fixture, form);
  GtkWidget *plot = nth (form, BL_TYPE_FOLLOWS_PLOT, 0);
  g_assert_false (gtk_widget_get_mapped (plot));
  g_assert_true (bl_edition_follow (fixture->edition, "M5", "M0", &preset, 1, 9, &error));
  g_assert_no_error (error);
  settle ();
  g_assert_true (gtk_widget_get_mapped (plot));
  /* M5 reads a stage: a level piece, then the line. */
  g_assert_cmpuint (expected (fixture, "M5")->follows->points->len, ==, 6);
  g_assert_true (bl_follows_plot_place (BL_FOLLOWS_PLOT (plot), 2, &x, &y));
  g_assert_false (bl_follows_plot_place (BL_FOLLOWS_PLOT (plot), 3, &moved_x, &moved_y));
  g_assert_cmpfloat (x, <, gtk_widget_get_width (plot));

  emit_key (plot, GDK_KEY_Right, 0);
  emit_key (plot, GDK_KEY_Right, 0);
  emit_key (plot, GDK_KEY_Right, 0);
  double before = g_array_index (expected (fixture, "M5")->follows->points, double, 5);
  emit_key (plot, GDK_KEY_Up, 0);
  g_assert_cmpfloat (g_array_index (expected (fixture, "M5")->follows->points, double, 5), >, before);
  emit_key (plot, GDK_KEY_plus, 0);
  g_assert_cmpuint (expected (fixture, "M5")->follows->points->len, ==, 8);
  emit_key (plot, GDK_KEY_Delete, 0);
  emit_key (plot, GDK_KEY_Left, 0);
  emit_key (plot, GDK_KEY_Delete, 0);
  g_assert_cmpuint (expected (fixture, "M5")->follows->points->len, ==, 4);
  /* A line keeps two points. */
  emit_key (plot, GDK_KEY_Left, 0);
  emit_key (plot, GDK_KEY_Delete, 0);
  g_assert_cmpuint (expected (fixture, "M5")->follows->points->len, ==, 4);
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
  g_test_add ("/app/band-form/limits", Fixture, NULL, set_up, test_limits, tear_down);
  g_test_add ("/app/band-form/plot", Fixture, NULL, set_up, test_plot, tear_down);
  return g_test_run ();
}
