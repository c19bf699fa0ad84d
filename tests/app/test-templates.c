/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every template builds and every page of the window shows without a warning; a warning ends the test. */
#include "config.h"

#include "fixture.h"

#include "bl-focus-panel.h"
#include "bl-preferences.h"
#include "bl-window.h"

static void
settle (GtkWidget *widget)
{
  for (int i = 0; i < 3; i++)
    {
      gtk_widget_queue_draw (widget);
      gtk_test_widget_wait_for_draw (widget);
    }
}

static void
test_panel (void)
{
  GtkWidget *panel = g_object_ref_sink (bl_focus_panel_new ());

  g_assert_finalize_object (panel);
}

static void
test_window (AppFixture *fixture, gconstpointer unused)
{
  GtkWidget *window = bl_window_new (NULL, fixture->library, NULL);

  gtk_window_present (GTK_WINDOW (window));
  settle (window);
  bl_window_show_place (BL_WINDOW (window), "boards");
  settle (window);
  bl_window_show_place (BL_WINDOW (window), "jobs");
  settle (window);
  bl_shell_open_job (BL_SHELL (window), fixture->job);
  settle (window);
  bl_preferences_present (GTK_WINDOW (window), NULL, NULL);
  bl_window_take_in (BL_WINDOW (window), NULL);
  settle (window);
  gtk_window_destroy (GTK_WINDOW (window));
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

static void
test_trouble (void)
{
  g_autoptr (GError) error = g_error_new (BL_STORE_ERROR, BL_STORE_ERROR_NEWER, "made by version 99");
  GtkWidget *window = bl_window_new (NULL, NULL, error);

  gtk_window_present (GTK_WINDOW (window));
  settle (window);
  gtk_window_destroy (GTK_WINDOW (window));
}

int
main (int argc, char **argv)
{
  app_test_init (&argc, &argv);
  g_test_add_func ("/app/templates/panel", test_panel);
  g_test_add ("/app/templates/window", AppFixture, NULL, app_fixture_set_up, test_window, app_fixture_tear_down);
  g_test_add_func ("/app/templates/trouble", test_trouble);
  return g_test_run ();
}
