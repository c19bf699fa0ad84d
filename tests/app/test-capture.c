/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A live meter on the bench, as far as it needs no meter: its value in the panel gives way to typed text, the
 * foot switch's key, what is remembered. The whole way, with a meter, is in run-capture.py. */
#include "config.h"

#include "fixture.h"

#include "bl-focus-panel.h"
#include "bl-live-meter.h"

static GtkWidget *
find_label (GtkWidget *widget, const char *words)
{
  if (!gtk_widget_get_visible (widget))
    return NULL;
  if (GTK_IS_LABEL (widget) && strstr (gtk_label_get_label (GTK_LABEL (widget)), words) != NULL)
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find_label (child, words);
      if (found != NULL)
        return found;
    }
  return NULL;
}

static GtkWidget *
find_entry (GtkWidget *widget)
{
  if (GTK_IS_TEXT (widget))
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find_entry (child);
      if (found != NULL)
        return found;
    }
  return NULL;
}

static void
count_preview (GtkWidget *panel, gpointer reading, gpointer verdict, guint *n)
{
  *n += reading != NULL && verdict != NULL;
}

static void
test_panel (AppFixture *fixture, gconstpointer unused)
{
  GtkWidget *panel = g_object_ref_sink (bl_focus_panel_new ());
  BlLive live = { .shown = "4.980 V", .has_reading = TRUE, .words = "Hold still." };
  g_autoptr (BlVerdict) verdict = NULL;
  guint previews = 0;

  bl_focus_panel_set_bench (BL_FOCUS_PANEL (panel), fixture->bench);
  bl_bench_select (fixture->bench, bl_bench_find (fixture->bench, "M5"));
  g_signal_connect (panel, "preview", G_CALLBACK (count_preview), &previews);
  g_assert_true (bl_bench_preview (fixture->bench, "4.980", &live.reading, &verdict));
  live.verdict = verdict;
  bl_focus_panel_set_live (BL_FOCUS_PANEL (panel), &live);
  g_assert_nonnull (find_label (panel, "4.980 V"));
  g_assert_nonnull (find_label (panel, "in band so far"));
  g_assert_nonnull (find_label (panel, "Hold still."));
  g_assert_cmpuint (previews, ==, 1);
  /* Typed text wins, and the meter comes back when it is gone. */
  GtkWidget *entry = find_entry (panel);
  gtk_editable_set_text (GTK_EDITABLE (entry), "0,1");
  bl_focus_panel_set_live (BL_FOCUS_PANEL (panel), &live);
  g_assert_null (find_label (panel, "4.980 V"));
  g_assert_null (find_label (panel, "Hold still."));
  g_assert_nonnull (find_label (panel, "absent so far"));
  gtk_editable_set_text (GTK_EDITABLE (entry), "");
  g_assert_nonnull (find_label (panel, "4.980 V"));
  /* What is said of an entry stands before what the meter says. */
  bl_focus_panel_say (BL_FOCUS_PANEL (panel), "no such point", TRUE);
  bl_focus_panel_set_live (BL_FOCUS_PANEL (panel), &live);
  g_assert_nonnull (find_label (panel, "Not kept: no such point"));
  bl_focus_panel_say (BL_FOCUS_PANEL (panel), NULL, FALSE);
  g_assert_nonnull (find_label (panel, "Hold still."));
  bl_focus_panel_set_live (BL_FOCUS_PANEL (panel), NULL);
  g_assert_null (find_label (panel, "4.980 V"));
  bl_focus_panel_set_bench (BL_FOCUS_PANEL (panel), NULL);
  g_object_unref (panel);
}

static void
test_foot_key (void)
{
  g_autofree char *usual = bl_foot_key_words (""), *learned = bl_foot_key_words ("<Control>F9");

  g_assert_cmpstr (usual, ==, "Space");
  g_assert_cmpstr (learned, ==, "Ctrl+F9");
  g_assert_true (bl_foot_key_matches ("", GDK_KEY_space, 0, TRUE));
  g_assert_true (bl_foot_key_matches ("", GDK_KEY_Page_Down, 0, TRUE));
  g_assert_false (bl_foot_key_matches ("", GDK_KEY_space, 0, FALSE));
  g_assert_false (bl_foot_key_matches ("", GDK_KEY_space, GDK_CONTROL_MASK, TRUE));
  g_assert_true (bl_foot_key_matches ("<Control>F9", GDK_KEY_F9, GDK_CONTROL_MASK, FALSE));
  g_assert_false (bl_foot_key_matches ("<Control>F9", GDK_KEY_F9, 0, FALSE));
  g_assert_false (bl_foot_key_matches ("<Control>F9", GDK_KEY_space, 0, TRUE));
  g_assert_true (bl_foot_key_matches ("b", GDK_KEY_B, 0, FALSE));
}

static void
test_meter (AppFixture *fixture, gconstpointer unused)
{
  g_autoptr (BlShopMeter) plain = bl_shop_meter_new ("plain"), first = bl_shop_meter_new ("first");
  g_autoptr (BlShopMeter) second = bl_shop_meter_new ("second"), found = NULL;
  char *connection, *serialcomm;

  g_assert_null (bl_live_meter (fixture->library));
  first->driver = g_strdup ("one");
  second->driver = g_strdup ("two");
  g_assert_true (bl_library_put_meter (fixture->library, plain, NULL));
  g_assert_null (bl_live_meter (fixture->library));
  g_assert_true (bl_library_put_meter (fixture->library, first, NULL));
  g_assert_true (bl_library_put_meter (fixture->library, second, NULL));
  found = bl_live_meter (fixture->library);
  g_assert_cmpstr (found->name, ==, "first");
  bl_shop_meter_free (g_steal_pointer (&found));
  g_assert_true (bl_library_set_usual_meter (fixture->library, second->id, NULL));
  found = bl_live_meter (fixture->library);
  g_assert_cmpstr (found->driver, ==, "two");

  bl_live_connection ("  /dev/ttyUSB0  9600/8n1 ", &connection, &serialcomm);
  g_assert_cmpstr (connection, ==, "/dev/ttyUSB0");
  g_assert_cmpstr (serialcomm, ==, "9600/8n1");
  g_free (connection);
  g_free (serialcomm);
  bl_live_connection ("", &connection, &serialcomm);
  g_assert_null (connection);
  g_assert_null (serialcomm);
}

int
main (int argc, char **argv)
{
  app_test_init (&argc, &argv);
  g_test_add ("/app/capture/panel", AppFixture, NULL, app_fixture_set_up, test_panel, app_fixture_tear_down);
  g_test_add_func ("/app/capture/foot-key", test_foot_key);
  g_test_add ("/app/capture/meter", AppFixture, NULL, app_fixture_set_up, test_meter, app_fixture_tear_down);
  return g_test_run ();
}
