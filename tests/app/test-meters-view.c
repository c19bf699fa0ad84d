/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shop's meters on the screen: what is typed in a cell is in the library, what is no accuracy is not, and
 * undo takes each step back. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "fixture.h"

#include "bl-meters-view.h"

typedef struct
{
  BlLibrary *library;
  GtkWidget *window, *view;
  guint changes;
} Fixture;

static void
count (Fixture *f)
{
  f->changes++;
}

static void
set_up (Fixture *f, gconstpointer unused)
{
  g_autoptr (BlShopMeter) meter = bl_shop_meter_example (0);

  f->library = bl_library_open (":memory:", TRUE, NULL);
  g_assert_true (bl_library_put_meter (f->library, meter, NULL));
  f->window = gtk_window_new ();
  f->view = bl_meters_view_new (f->library);
  g_signal_connect_swapped (f->view, "changed", G_CALLBACK (count), f);
  gtk_window_set_child (GTK_WINDOW (f->window), f->view);
  gtk_window_present (GTK_WINDOW (f->window));
}

static void
tear_down (Fixture *f, gconstpointer unused)
{
  gtk_window_destroy (GTK_WINDOW (f->window));
  while (g_main_context_iteration (NULL, FALSE))
    ;
  g_clear_pointer (&f->library, bl_library_close);
}

/* The nth widget of this type below widget, in order, that shows text; text NULL: whatever it shows. */
static GtkWidget *
find (GtkWidget *widget, GType type, const char *text, guint *n)
{
  const char *shown = GTK_IS_EDITABLE (widget) ? gtk_editable_get_text (GTK_EDITABLE (widget))
                      : GTK_IS_BUTTON (widget) ? gtk_button_get_label (GTK_BUTTON (widget)) : NULL;

  if (G_TYPE_CHECK_INSTANCE_TYPE (widget, type) && (text == NULL || g_strcmp0 (shown, text) == 0) && (*n)-- == 0)
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find (child, type, text, n);
      if (found != NULL)
        return found;
    }
  return NULL;
}

static void
take_back (Fixture *f)
{
  g_assert_true (gtk_widget_activate_action (f->view, "meters.undo", NULL));
}

/* The entry whose words for "empty" begin so. */
static GtkWidget *
placeholder (GtkWidget *widget, const char *words)
{
  const char *own = GTK_IS_ENTRY (widget) ? gtk_entry_get_placeholder_text (GTK_ENTRY (widget)) : NULL;
  GtkWidget *found = own != NULL && g_str_has_prefix (own, words) ? widget : NULL;

  for (GtkWidget *child = gtk_widget_get_first_child (widget); found == NULL && child != NULL;
       child = gtk_widget_get_next_sibling (child))
    found = placeholder (child, words);
  return found;
}

static GtkWidget *
entry_showing (Fixture *f, const char *text, guint n)
{
  GtkWidget *found = find (f->view, GTK_TYPE_ENTRY, text, &n);

  g_assert_nonnull (found);
  return found;
}

static void
type (GtkWidget *entry, const char *text)
{
  gtk_editable_set_text (GTK_EDITABLE (entry), text);
  g_signal_emit_by_name (entry, "activate");
}

static void
press (Fixture *f, const char *label)
{
  guint n = 0;
  GtkWidget *button = find (f->view, GTK_TYPE_BUTTON, label, &n);

  g_assert_nonnull (button);
  g_signal_emit_by_name (button, "clicked");
}

static BlShopMeter *
kept (Fixture *f, gint64 id)
{
  BlShopMeter *meter = bl_library_load_meter (f->library, id, NULL, NULL);

  g_assert_nonnull (meter);
  return meter;
}

static double
percent_of_first (Fixture *f)
{
  g_autoptr (BlShopMeter) meter = kept (f, 1);
  return ((BlMeterRange *) bl_at (meter->ranges, 0))->percent;
}

static void
test_cell (Fixture *f, gconstpointer unused)
{
  GtkWidget *cell = entry_showing (f, "0.8 % + 5", 0);

  type (cell, "0.9%+6");
  g_assert_cmpfloat (percent_of_first (f), ==, 0.9);
  g_assert_cmpuint (f->changes, ==, 1);
  /* The same entry, so that the keyboard is still there. */
  g_assert_true (entry_showing (f, "0.9 % + 6", 0) == cell);
  type (cell, "about 1");
  g_assert_true (gtk_widget_has_css_class (cell, "refused"));
  g_assert_cmpfloat (percent_of_first (f), ==, 0.9);
  take_back (f);
  g_assert_cmpfloat (percent_of_first (f), ==, 0.8);
  g_assert_false (gtk_widget_has_css_class (cell, "refused"));
}

static void
test_line (Fixture *f, gconstpointer unused)
{
  g_autoptr (BlShopMeter) before = kept (f, 1), after = NULL, undone = NULL;
  GtkWidget *line = placeholder (f->view, "4000 counts");

  g_assert_nonnull (line);
  type (line, "2.000 V 0.1%+1");
  after = kept (f, 1);
  g_assert_cmpuint (after->ranges->len, ==, before->ranges->len + 1);
  type (line, "2.000 V 0.1%+1"); /* twice the same is refused */
  g_assert_true (gtk_widget_has_css_class (line, "refused"));
  take_back (f);
  undone = kept (f, 1);
  g_assert_cmpuint (undone->ranges->len, ==, before->ranges->len);
}

static void
test_duplicate_and_remove (Fixture *f, gconstpointer unused)
{
  g_autoptr (GPtrArray) two = NULL, one = NULL, again = NULL, first = NULL;
  g_autofree char *name = NULL;

  press (f, "_Duplicate");
  two = bl_library_meters (f->library, NULL);
  g_assert_cmpuint (two->len, ==, 2);
  name = g_strdup (((BlShopMeter *) bl_at (two, 1))->name);
  type (entry_showing (f, name, 0), "Other bench");
  press (f, "_Remove");
  one = bl_library_meters (f->library, NULL);
  g_assert_cmpuint (one->len, ==, 1);
  take_back (f); /* the removal */
  again = bl_library_meters (f->library, NULL);
  g_assert_cmpuint (again->len, ==, 2);
  g_assert_cmpstr (((BlShopMeter *) bl_at (again, 1))->name, ==, "Other bench");
  take_back (f); /* the name */
  take_back (f); /* the copy */
  first = bl_library_meters (f->library, NULL);
  g_assert_cmpuint (first->len, ==, 1);
}

/* How it is read live is set in another part of the preferences; what is typed here must not undo that. */
static void
test_changed_elsewhere (Fixture *f, gconstpointer unused)
{
  g_autoptr (BlShopMeter) other = kept (f, 1), after = NULL;

  other->driver = g_strdup ("scpi-dmm");
  g_assert_true (bl_library_put_meter (f->library, other, NULL));
  gtk_widget_set_visible (f->view, FALSE);
  gtk_widget_set_visible (f->view, TRUE);
  g_assert_true (gtk_widget_get_mapped (f->view));
  type (entry_showing (f, other->name, 0), "Renamed");
  after = kept (f, 1);
  g_assert_cmpstr (after->name, ==, "Renamed");
  g_assert_cmpstr (after->driver, ==, "scpi-dmm");
}

int
main (int argc, char **argv)
{
  app_test_init (&argc, &argv);
#define ADD(name, function) g_test_add ("/app/meters-view/" name, Fixture, NULL, set_up, function, tear_down)
  ADD ("cell", test_cell);
  ADD ("line", test_line);
  ADD ("duplicate-and-remove", test_duplicate_and_remove);
  ADD ("changed-elsewhere", test_changed_elsewhere);
  return g_test_run ();
}
