/* SPDX-License-Identifier: GPL-3.0-or-later
 * Taking down what somebody else read: the name once, then field by field; each entry on disk at once; closed, one is at
 * the bench again. Needs a display. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-bench-told.h"
#include "bl-told-panel.h"
#include "fixture.h"

static void
find_entries (GtkWidget *widget, GPtrArray *entries)
{
  if (GTK_IS_ENTRY (widget))
    g_ptr_array_add (entries, widget);
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL; child = gtk_widget_get_next_sibling (child))
    find_entries (child, entries);
}

static void
type (GtkWidget *entry, const char *text)
{
  gtk_editable_set_text (GTK_EDITABLE (entry), text);
  g_signal_emit_by_name (entry, "activate");
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

/* The field of a measurement, by its place in the list. */
static GtkWidget *
field_of (BlBench *bench, GPtrArray *entries, const char *id)
{
  GListModel *items = bl_bench_get_measurements (bench);

  for (guint i = 0; i < g_list_model_get_n_items (items); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (items, i);
      if (g_str_equal (bl_measurement_item_get_id (item), id))
        return g_ptr_array_index (entries, i + 1); /* after the name */
    }
  g_assert_not_reached ();
}

static guint
n_told (BlBench *bench)
{
  GPtrArray *records = bl_bench_get_records (bench);
  guint n = 0;

  for (guint i = 0; i < records->len; i++)
    n += ((BlRecord *) bl_at (records, i))->told_by != NULL;
  return n;
}

static void
test_entries (AppFixture *fixture, gconstpointer unused)
{
  GtkWidget *window = gtk_window_new (), *panel = bl_told_panel_new ();
  g_autoptr (GPtrArray) entries = g_ptr_array_new ();
  g_autoptr (GError) error = NULL;
  BlBench *bench = fixture->bench;

  gtk_window_set_child (GTK_WINDOW (window), panel);
  gtk_window_present (GTK_WINDOW (window));
  bl_told_panel_open (BL_TOLD_PANEL (panel), bench);
  g_assert_true (bl_told_panel_is_open (BL_TOLD_PANEL (panel)));
  find_entries (panel, entries);
  g_assert_cmpuint (entries->len, ==, 1 + g_list_model_get_n_items (bl_bench_get_measurements (bench)));
  GtkWidget *name = g_ptr_array_index (entries, 0), *field = field_of (bench, entries, "M5");
  /* Without a name nothing is kept. */
  type (field, "4.98");
  g_assert_cmpuint (n_told (bench), ==, 0);
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (field)), ==, "4.98");
  type (name, "Kim");
  g_assert_cmpstr (bl_bench_get_told_by (bench), ==, "Kim");
  type (field, "4.98");
  g_assert_cmpuint (n_told (bench), ==, 1);
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (field)), ==, "");
  /* What is no reading stays to be mended; an empty field is skipped. */
  type (field, "rather high");
  g_assert_cmpuint (n_told (bench), ==, 1);
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (field)), ==, "rather high");
  type (field, "");
  g_assert_cmpuint (n_told (bench), ==, 1);
  /* Typed on the bench it is told too, until the panel is closed. */
  bl_bench_enter (bench, "M5 4.97", &error);
  g_assert_no_error (error);
  g_assert_cmpuint (n_told (bench), ==, 2);
  bl_told_panel_close (BL_TOLD_PANEL (panel));
  g_assert_null (bl_bench_get_told_by (bench));
  bl_bench_enter (bench, "M5 4.96", &error);
  g_assert_cmpuint (n_told (bench), ==, 2);
  /* On disk, and the name is offered the next time. */
  g_autoptr (BlBench) again = bl_bench_new (fixture->library, fixture->job, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (n_told (again), ==, 2);
  bl_told_panel_open (BL_TOLD_PANEL (panel), again);
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (name)), ==, "Kim");
  bl_told_panel_close (BL_TOLD_PANEL (panel));
  gtk_window_destroy (GTK_WINDOW (window));
}

int
main (int argc, char **argv)
{
  app_test_init (&argc, &argv);
  g_test_add ("/told-panel/entries", AppFixture, NULL, app_fixture_set_up, test_entries, app_fixture_tear_down);
  return g_test_run ();
}
