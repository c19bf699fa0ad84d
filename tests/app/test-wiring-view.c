/* SPDX-License-Identifier: GPL-3.0-or-later
 * The drawing as a widget: keys and presses take a check, what is in hand and likely failed shows, light and dark. Needs a
 * display. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-wiring-view.h"

#include "../core/fixture-wiring.h"
#include "fixture.h"

static void
activated (BlWiringView *view, const char *measurement, char **taken)
{
  g_free (*taken);
  *taken = g_strdup (measurement);
}

static GtkEventController *
controller_of (GtkWidget *widget, GType type)
{
  g_autoptr (GListModel) all = gtk_widget_observe_controllers (widget);

  for (guint i = 0; i < g_list_model_get_n_items (all); i++)
    {
      g_autoptr (GtkEventController) controller = g_list_model_get_item (all, i);
      if (G_TYPE_CHECK_INSTANCE_TYPE (controller, type))
        return controller; /* kept by the widget */
    }
  g_assert_not_reached ();
}

static gboolean
press_key (GtkWidget *view, guint keyval)
{
  gboolean handled = FALSE;

  g_signal_emit_by_name (controller_of (view, GTK_TYPE_EVENT_CONTROLLER_KEY), "key-pressed", keyval, 0, 0, &handled);
  return handled;
}

static void
press (GtkWidget *view, double x, double y)
{
  g_signal_emit_by_name (controller_of (view, GTK_TYPE_GESTURE_CLICK), "pressed", 1, x, y);
}

static gboolean
is_allocated (gpointer widget)
{
  return gtk_widget_get_width (widget) > 0;
}

static void
test_taking (void)
{
  g_auto (Joined) joined = wiring_join (wiring_pair);
  GtkWidget *window = gtk_window_new (), *view = bl_wiring_view_new ();
  g_autofree char *taken = NULL;

  bl_wiring_view_set_board (BL_WIRING_VIEW (view), joined.board, joined.equipment);
  bl_wiring_view_set_items (BL_WIRING_VIEW (view), NULL);
  g_signal_connect (view, "activated", G_CALLBACK (activated), &taken);
  gtk_window_set_child (GTK_WINDOW (window), view);
  gtk_window_set_default_size (GTK_WINDOW (window), 604, 466);
  gtk_window_present (GTK_WINDOW (window));
  g_assert_true (app_wait (is_allocated, view));
  /* The keyboard begins at the first check, and goes where the arrow points. */
  g_assert_true (press_key (view, GDK_KEY_Return));
  g_assert_cmpstr (taken, ==, "DIR");
  g_assert_true (press_key (view, GDK_KEY_Down));
  g_assert_true (press_key (view, GDK_KEY_Return));
  g_assert_cmpstr (taken, !=, "DIR");
  g_assert_false (press_key (view, GDK_KEY_x));
  /* What is in hand is where the keyboard goes on from. */
  bl_wiring_view_set_current (BL_WIRING_VIEW (view), "R-S");
  g_assert_true (press_key (view, GDK_KEY_Return));
  g_assert_cmpstr (taken, ==, "R-S");
  bl_wiring_view_set_current (BL_WIRING_VIEW (view), "wall/no-such");
  /* Pressing the title of the left box takes a check of it; the empty ground below takes nothing. */
  press (view, 40, 20);
  g_assert_true (g_str_equal (taken, "wall/TICK") || g_str_equal (taken, "IN") || g_str_equal (taken, "NEAR")
                 || g_str_equal (taken, "CLICK") || g_str_equal (taken, "PASS"));
  g_clear_pointer (&taken, g_free);
  press (view, 302, gtk_widget_get_height (view) - 2);
  g_assert_null (taken);
  gtk_window_destroy (GTK_WINDOW (window));
}

static guint
count (const guint32 *pixels, guint n, const BlColour *colour)
{
  guint found = 0;

  for (guint i = 0; i < n; i++)
    found += app_is_colour (pixels[i], colour);
  return found;
}

static void
test_look (void)
{
  g_auto (Joined) joined = wiring_join (wiring_pair);
  GtkWidget *view = bl_wiring_view_new ();

  bl_wiring_view_set_board (BL_WIRING_VIEW (view), joined.board, joined.equipment);
  bl_wiring_view_set_likely (BL_WIRING_VIEW (view), "W3", "likely failed: S 62 %");
  bl_wiring_view_set_current (BL_WIRING_VIEW (view), "S-N");
  g_autofree guint32 *pixels = app_render (view, 604, 466, "wiring-view");
  const BlPalette *light = bl_palette_get (FALSE);
  g_assert_cmpuint (count (pixels, 604 * 466, &light->likely), >, 2000);
  g_assert_cmpuint (count (pixels, 604 * 466, &light->ink), >, 2000);
  /* Nothing likely: no yellow. */
  view = bl_wiring_view_new ();
  bl_wiring_view_set_board (BL_WIRING_VIEW (view), joined.board, joined.equipment);
  bl_wiring_view_set_likely (BL_WIRING_VIEW (view), "cellar", "likely failed: cellar");
  g_autofree guint32 *plain = app_render (view, 604, 466, "wiring-view-plain");
  g_assert_cmpuint (count (plain, 604 * 466, &light->likely), ==, 0);
}

int
main (int argc, char **argv)
{
  app_test_init (&argc, &argv);
  g_test_add_func ("/wiring-view/taking", test_taking);
  g_test_add_func ("/wiring-view/look", test_look);
  return g_test_run ();
}
