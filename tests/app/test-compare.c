/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two editions on the screen: rows and marks, taking over and undoing by keys, ticks of what was looked at; and the
 * marks, which must be told apart without colour. */
#include "config.h"

#include "fixture.h"

#include "bl-compare-view.h"
#include "bl-difference-mark.h"
#include "bl-next-edition.h"

typedef struct
{
  AppFixture app;
  gint64 next;
  GtkWidget *window, *view;
} Fixture;

/* Edition D of the example, with U2 otherwise and a point more. */
static void
set_up (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;

  app_fixture_set_up (&f->app, NULL);
  f->next = bl_next_edition_make (f->app.library, f->app.board, "D", &error);
  g_assert_no_error (error);
  g_autoptr (BlBoard) board = bl_library_load_board (f->app.library, f->next, &error);
  BlComponent *u2 = bl_board_component (board, "U2");
  BlTestPoint *point = bl_test_point_new ();
  g_free (u2->value);
  u2->value = g_strdup ("7805 in a small case");
  point->id = g_strdup ("TP77");
  point->photo = g_strdup (((BlPhoto *) bl_at (board->photos, 0))->id);
  point->x = point->y = 100;
  g_ptr_array_add (board->test_points, point);
  g_assert_true (bl_library_save_board (f->app.library, f->next, board, &error));
  f->view = bl_compare_view_new (f->app.library);
  f->window = gtk_window_new ();
  gtk_window_set_default_size (GTK_WINDOW (f->window), 1280, 760);
  gtk_window_set_child (GTK_WINDOW (f->window), f->view);
  gtk_window_present (GTK_WINDOW (f->window));
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  gtk_window_destroy (GTK_WINDOW (f->window));
  while (g_main_context_iteration (NULL, FALSE))
    ;
  app_fixture_tear_down (&f->app, NULL);
}

/* The list that is shown. */
static GtkWidget *
find_list (GtkWidget *widget)
{
  if (GTK_IS_LIST_BOX (widget) && gtk_widget_has_css_class (widget, "compare-list") && gtk_widget_get_mapped (widget))
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find_list (child);
      if (found != NULL)
        return found;
    }
  return NULL;
}

static GtkListBoxRow *
find_row (Fixture *f, const char *key)
{
  GtkWidget *list = find_list (f->view);

  for (GtkWidget *row = list != NULL ? gtk_widget_get_first_child (list) : NULL; row != NULL;
       row = gtk_widget_get_next_sibling (row))
    if (g_strcmp0 (g_object_get_data (G_OBJECT (row), "key"), key) == 0)
      return GTK_LIST_BOX_ROW (row);
  return NULL;
}

typedef struct
{
  Fixture *f;
  const char *key;
  gboolean there;
} Wanted;

static gboolean
is_so (gpointer data)
{
  Wanted *wanted = data;
  GtkWidget *list = find_list (wanted->f->view);

  return list != NULL && gtk_list_box_get_selected_row (GTK_LIST_BOX (list)) != NULL
         && (find_row (wanted->f, wanted->key) != NULL) == wanted->there;
}

static void
wait_for (Fixture *f, const char *key, gboolean there)
{
  Wanted wanted = { f, key, there };

  g_assert_true (app_wait (is_so, &wanted));
}

static void
press (Fixture *f, guint keyval, GdkModifierType state)
{
  g_assert_true (bl_compare_view_key (BL_COMPARE_VIEW (f->view), keyval, state));
}

static char *
value_of (Fixture *f, gint64 board)
{
  g_autoptr (BlBoard) loaded = bl_library_load_board (f->app.library, board, NULL);
  return g_strdup (bl_board_component (loaded, "U2")->value);
}

static void
test_take (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_compare_view_open (BL_COMPARE_VIEW (f->view), f->next, FALSE, &error));
  wait_for (f, "components/U2", TRUE);
  g_assert_nonnull (find_row (f, "test_points/TP77"));
  g_assert_null (find_row (f, "components/F1"));

  gtk_list_box_select_row (GTK_LIST_BOX (find_list (f->view)), find_row (f, "components/U2"));
  press (f, GDK_KEY_t, 0);
  wait_for (f, "components/U2", FALSE);
  g_autofree char *taken = value_of (f, f->next), *old = value_of (f, f->app.board);
  g_assert_cmpstr (taken, ==, old);
  press (f, GDK_KEY_z, GDK_CONTROL_MASK);
  wait_for (f, "components/U2", TRUE);
  g_autofree char *again = value_of (f, f->next);
  g_assert_cmpstr (again, ==, "7805 in a small case");
}

static void
test_filter (Fixture *f, gconstpointer data)
{
  g_assert_true (bl_compare_view_open (BL_COMPARE_VIEW (f->view), f->next, FALSE, NULL));
  wait_for (f, "components/U2", TRUE);
  press (f, GDK_KEY_slash, 0);
  GtkWidget *focus = gtk_window_get_focus (GTK_WINDOW (f->window));
  g_assert_true (GTK_IS_TEXT (focus));
  gtk_editable_set_text (GTK_EDITABLE (focus), "small case");
  while (find_row (f, "test_points/TP77") != NULL)
    g_main_context_iteration (NULL, TRUE);
  g_assert_nonnull (find_row (f, "components/U2"));
  /* Letters are typed, not acts, and what is typed has its own undo. */
  g_assert_false (bl_compare_view_key (BL_COMPARE_VIEW (f->view), GDK_KEY_t, 0));
  g_assert_false (bl_compare_view_key (BL_COMPARE_VIEW (f->view), GDK_KEY_z, GDK_CONTROL_MASK));
  g_assert_false (bl_compare_view_key (BL_COMPARE_VIEW (f->view), GDK_KEY_z, GDK_CONTROL_MASK | GDK_SHIFT_MASK));
  press (f, GDK_KEY_Escape, 0);
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (focus)), ==, "");
}

static gboolean
has_ticks (gpointer data)
{
  Fixture *f = data;
  g_autoptr (GHashTable) seen = bl_library_looked_at (f->app.library, f->next, NULL);
  return g_hash_table_size (seen) == 2;
}

static void
test_look (Fixture *f, gconstpointer data)
{
  g_assert_true (bl_compare_view_open (BL_COMPARE_VIEW (f->view), f->next, TRUE, NULL));
  wait_for (f, "components/U2", TRUE);
  press (f, GDK_KEY_space, 0);
  press (f, GDK_KEY_space, 0);
  g_assert_true (app_wait (has_ticks, f));
  /* An edition that was not copied has no such list. */
  g_assert_true (bl_compare_view_open (BL_COMPARE_VIEW (f->view), f->app.board, TRUE, NULL));
  wait_for (f, "test_points/TP77", TRUE);
  g_assert_null (find_row (f, "components/F1"));
}

/* Each pair of marks differs in at least a sixth of what either draws, in one colour and at the size of a row. */
static void
test_marks (void)
{
  enum { SIZE = 14 };
  static const BlColour ink = { 1, 1, 1 }, paper = { 0, 0, 0 };
  guchar drawn[BL_N_MARKS][SIZE * SIZE];
  guint inked[BL_N_MARKS] = { 0 };

  for (guint m = 0; m < BL_N_MARKS; m++)
    {
      cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, SIZE, SIZE);
      cairo_t *cr = cairo_create (surface);
      bl_difference_mark_draw (cr, m, SIZE / 2.0, SIZE / 2.0, SIZE, &ink, &paper);
      cairo_destroy (cr);
      cairo_surface_flush (surface);
      for (guint y = 0; y < SIZE; y++)
        for (guint x = 0; x < SIZE; x++)
          {
            const guchar *line = cairo_image_surface_get_data (surface) + y * (guint) cairo_image_surface_get_stride (surface);
            drawn[m][y * SIZE + x] = line[4 * x] > 127;
            inked[m] += drawn[m][y * SIZE + x];
          }
      cairo_surface_destroy (surface);
      g_assert_cmpuint (inked[m], >, 25);
    }
  for (guint a = 0; a < BL_N_MARKS; a++)
    for (guint b = 0; b < a; b++)
      {
        guint otherwise = 0;
        for (guint i = 0; i < SIZE * SIZE; i++)
          otherwise += drawn[a][i] != drawn[b][i];
        g_assert_cmpuint (6 * otherwise, >, MAX (inked[a], inked[b]));
      }
}

int
main (int argc, char **argv)
{
  app_test_init (&argc, &argv);
  g_test_add ("/app/compare/take", Fixture, NULL, set_up, test_take, tear_down);
  g_test_add ("/app/compare/filter", Fixture, NULL, set_up, test_filter, tear_down);
  g_test_add ("/app/compare/look", Fixture, NULL, set_up, test_look, tear_down);
  g_test_add_func ("/app/compare/marks", test_marks);
  return g_test_run ();
}
