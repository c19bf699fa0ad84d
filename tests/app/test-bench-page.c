/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bench on the example board: what is entered reaches list, photo and suspects; the lane runs
 * through the list without a gap; keys find their actions. */
#include "config.h"

#include "fixture.h"

#include "bl-bench-keys.h"
#include "bl-bench-page-private.h"
#include "bl-choice-panel.h"
#include "bl-measurement-list.h"
#include "bl-measurement-row.h"
#include "bl-ruler-draw.h"
#include "bl-suspects-view.h"

#define END (18 + 4 * 23 + 2 * 22 - 6)

static void
test_lane (AppFixture *fixture, gconstpointer unused)
{
  GtkWidget *list = g_object_ref_sink (bl_measurement_list_new ());
  const BlPalette *light = bl_palette_get (FALSE);
  int column = -1;

  bl_bench_enter (fixture->bench, "M5 4.98", NULL);
  bl_measurement_list_set_bench (BL_MEASUREMENT_LIST (list), fixture->bench);
  g_autofree guint32 *pixels = app_render (list, 636, 150, "lane");
  /* Four rows and two heads below the head line: in one column the ground never shows through. */
  for (int x = 300; x < 500 && column < 0; x++)
    {
      int y = 20;
      while (y < END && !app_is_colour (pixels[y * 636 + x], &light->page)
             && !app_is_colour (pixels[y * 636 + x], &light->raised)
             && !app_is_colour (pixels[y * 636 + x], &light->track))
        y++;
      if (y == END && app_is_colour (pixels[30 * 636 + x], &light->lane))
        column = x;
    }
  g_assert_cmpint (column, >, 0);
  bl_measurement_list_set_bench (BL_MEASUREMENT_LIST (list), NULL);
  g_object_unref (list);
}

static GtkWidget *
find_child (GtkWidget *widget, GType type)
{
  if (G_TYPE_CHECK_INSTANCE_TYPE (widget, type))
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find_child (child, type);
      if (found != NULL)
        return found;
    }
  return NULL;
}

/* TRUE when a visible label below widget begins with these words. */
static gboolean
says (GtkWidget *widget, const char *words)
{
  if (!gtk_widget_get_visible (widget))
    return FALSE;
  if (GTK_IS_LABEL (widget) && g_str_has_prefix (gtk_label_get_label (GTK_LABEL (widget)), words))
    return TRUE;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    if (says (child, words))
      return TRUE;
  return FALSE;
}

static void
test_entry (AppFixture *fixture, gconstpointer unused)
{
  GtkWidget *window = gtk_window_new (), *page = bl_bench_page_new (fixture->library);
  BlMeasurementItem *item = bl_bench_find (fixture->bench, "M5");

  gtk_window_set_child (GTK_WINDOW (window), page);
  gtk_window_set_default_size (GTK_WINDOW (window), 1280, 800);
  bl_bench_page_set_bench (BL_BENCH_PAGE (page), fixture->bench);
  gtk_window_present (GTK_WINDOW (window));
  gtk_test_widget_wait_for_draw (page);
  bl_bench_select (fixture->bench, item);
  GtkWidget *entry = find_child (find_child (page, g_type_from_name ("BlFocusPanel")), GTK_TYPE_TEXT);
  g_assert_nonnull (entry);
  gtk_editable_set_text (GTK_EDITABLE (entry), "0,1");
  g_assert_null (bl_measurement_item_get_record (item));
  g_signal_emit_by_name (entry, "activate");
  g_assert_nonnull (bl_measurement_item_get_record (item));
  g_assert_cmpstr (bl_measurement_item_get_word (item), ==, "absent");
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (entry)), ==, "");
  g_assert_true (bl_bench_get_current (fixture->bench) != item);
  g_autofree char *words = bl_measurement_describe (item);
  g_assert_cmpstr (words, ==, "TP5 5 V, expected 4.8 – 5.2 V DC, reading 0.1, absent");
  /* What cannot be read is refused, and stays to be mended. */
  gtk_editable_set_text (GTK_EDITABLE (entry), "M5 twelve");
  g_signal_emit_by_name (entry, "activate");
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (entry)), ==, "M5 twelve");
  /* Why stands in the panel of the entry, and goes with the next key. */
  GtkWidget *panel = find_child (page, g_type_from_name ("BlFocusPanel"));
  g_assert_true (says (panel, "Not kept: “twelve”"));
  gtk_editable_set_text (GTK_EDITABLE (entry), "M5 12");
  g_assert_false (says (panel, "Not kept"));
  /* What lies far beyond all that can be there is asked about once. */
  gtk_editable_set_text (GTK_EDITABLE (entry), "M5 4700");
  g_signal_emit_by_name (entry, "activate");
  g_assert_true (says (panel, "TP5: 4700 V at a 5 V point?"));
  g_assert_cmpstr (bl_measurement_item_get_record (item)->text, ==, "0,1");
  g_signal_emit_by_name (entry, "activate");
  g_assert_cmpstr (bl_measurement_item_get_record (item)->text, ==, "4700");
  g_action_group_activate_action (bl_bench_page_get_actions (BL_BENCH_PAGE (page)), "undo", NULL);
  gtk_editable_set_text (GTK_EDITABLE (entry), "M5 twelve");
  g_assert_true (bl_bench_can_undo (fixture->bench));
  /* Undo drops what is half typed before it takes back what was kept. */
  g_action_group_activate_action (bl_bench_page_get_actions (BL_BENCH_PAGE (page)), "undo", NULL);
  g_assert_cmpstr (gtk_editable_get_text (GTK_EDITABLE (entry)), ==, "");
  g_assert_nonnull (bl_measurement_item_get_record (item));
  g_action_group_activate_action (bl_bench_page_get_actions (BL_BENCH_PAGE (page)), "undo", NULL);
  g_assert_null (bl_measurement_item_get_record (item));
  gtk_window_destroy (GTK_WINDOW (window));
}

/* Enter alone confirms the mode that the readings speak for, not the first of the document, and none where none stands out. */
static void
test_likeliest_cause (AppFixture *fixture, gconstpointer unused)
{
  GtkWidget *window = gtk_window_new (), *page = bl_bench_page_new (fixture->library);
  const char *mode = "";

  gtk_window_set_child (GTK_WINDOW (window), page);
  bl_bench_page_set_bench (BL_BENCH_PAGE (page), fixture->bench);
  gtk_window_present (GTK_WINDOW (window));
  gtk_test_widget_wait_for_draw (page);
  GActionGroup *actions = bl_bench_page_get_actions (BL_BENCH_PAGE (page));
  BlChoicePanel *panel = BL_CHOICE_PANEL (find_child (page, BL_TYPE_CHOICE_PANEL));
  bl_bench_enter (fixture->bench, "U2 replaced", NULL);
  bl_bench_settle (fixture->bench);
  const BlOdd *part = NULL, *most = NULL;
  GPtrArray *components = bl_bench_get_diagnosis (fixture->bench)->components;
  for (guint i = 0; i < components->len; i++)
    if (g_str_equal (((BlOdd *) bl_at (components, i))->id, "U2"))
      part = bl_at (components, i);
  for (guint i = 0; i < part->modes->len; i++)
    {
      const BlOdd *odd = bl_at (part->modes, i);
      g_test_message ("%s %.4f of %.4f", odd->id, odd->probability, part->probability);
      if (odd->probability > part->probability * 2 / 3)
        most = odd;
    }
  g_action_group_activate_action (actions, "cause", NULL);
  g_assert_true (bl_choice_panel_key (panel, GDK_KEY_1, 0));
  g_assert_true (bl_choice_panel_key (panel, GDK_KEY_Return, 0));
  g_assert_cmpint (bl_bench_cause_said (fixture->bench, "U2", &mode), ==, BL_CAUSE_CONFIRMED);
  g_assert_cmpstr (mode, ==, most != NULL ? most->id : NULL);
  gtk_window_destroy (GTK_WINDOW (window));
}

/* Keys alone: part, replaced, then whether it was the cause; later by its own key, where the job ends. */
static void
test_cause (AppFixture *fixture, gconstpointer unused)
{
  GtkWidget *window = gtk_window_new (), *page = bl_bench_page_new (fixture->library);
  const char *mode = NULL;

  gtk_window_set_child (GTK_WINDOW (window), page);
  bl_bench_page_set_bench (BL_BENCH_PAGE (page), fixture->bench);
  gtk_window_present (GTK_WINDOW (window));
  gtk_test_widget_wait_for_draw (page);
  GActionGroup *actions = bl_bench_page_get_actions (BL_BENCH_PAGE (page));
  BlChoicePanel *panel = BL_CHOICE_PANEL (find_child (page, BL_TYPE_CHOICE_PANEL));
  bl_bench_enter (fixture->bench, "U2 replaced", NULL);
  g_action_group_activate_action (actions, "cause", NULL);
  g_assert_cmpstr (bl_choice_panel_get_tag (panel), ==, "cause");
  g_assert_true (bl_choice_panel_key (panel, GDK_KEY_1, 0)); /* what was replaced stands first */
  g_assert_cmpstr (bl_choice_panel_get_tag (panel), ==, "cause-of");
  g_assert_true (says (GTK_WIDGET (panel), "Was U2 the cause?"));
  g_assert_true (bl_choice_panel_key (panel, GDK_KEY_2, 0));
  g_assert_cmpint (bl_bench_cause_said (fixture->bench, "U2", &mode), ==, BL_CAUSE_CONFIRMED);
  g_assert_cmpstr (mode, ==, "short");
  g_action_group_activate_action (actions, "cause", NULL);
  g_assert_true (says (GTK_WIDGET (panel), "confirmed: short"));
  g_assert_true (bl_choice_panel_key (panel, GDK_KEY_e, 0));
  g_assert_true (bl_bench_get_job (fixture->bench)->closed);
  /* No other job of the edition: its own cause is no history of this job. */
  g_action_group_activate_action (actions, "history", NULL);
  g_assert_true (says (GTK_WIDGET (panel), "No other job of this edition has a confirmed cause yet"));
  g_assert_true (bl_choice_panel_key (panel, GDK_KEY_s, 0));
  g_signal_emit_by_name (panel, "chosen", "strength", "=25");
  g_assert_cmpfloat (bl_bench_get_strength (fixture->bench, NULL), ==, 25);
  g_signal_emit_by_name (panel, "chosen", "strength", "=0");
  g_assert_cmpfloat (bl_bench_get_strength (fixture->bench, NULL), ==, 25);
  gtk_window_destroy (GTK_WINDOW (window));
}

static gboolean
is_diagnosed (gpointer bench)
{
  const BlDiagnosis *diagnosis = bl_bench_get_diagnosis (bench);
  return diagnosis != NULL && bl_len (diagnosis->readings) > 0;
}

static void
test_likely (AppFixture *fixture, gconstpointer unused)
{
  bl_bench_enter (fixture->bench, "M5 0.1", NULL);
  g_assert_true (app_wait (is_diagnosed, fixture->bench));
  g_autofree char *words = bl_likely_words (fixture->bench);
  g_assert_nonnull (words);
  g_assert_true (g_str_has_suffix (words, "%"));
  g_test_message ("likely: %s", words);
}

/* No key stands twice in the table, and each plain letter gives way to typing. */
static gboolean
is_broken (gpointer data)
{
  BlBenchPage *page = data;

  return page->photos != NULL && bl_bench_photos_is_broken (page->photos, "front");
}

/* What was found on a photo that cannot be opened is not flown to when some photo comes later. */
static void
test_find_on_broken_photo (AppFixture *fixture, gconstpointer unused)
{
  g_autoptr (GBytes) image = g_bytes_new_static ("\xff\xd8\xff\xe0 nothing", 12);
  GtkWidget *window = gtk_window_new ();
  BlBenchPage *page = BL_BENCH_PAGE (bl_bench_page_new (fixture->library));
  BlRef found = bl_ref (BL_ELEMENT_TEST_POINT, "TP5");

  g_assert_true (bl_library_put_board_photo (fixture->library, fixture->board, "front", "image/jpeg", image, NULL, NULL));
  gtk_window_set_child (GTK_WINDOW (window), GTK_WIDGET (page));
  bl_bench_page_set_bench (page, fixture->bench);
  gtk_window_present (GTK_WINDOW (window));
  g_signal_emit_by_name (page->finder, "chosen", &found);
  g_assert_true (app_wait (is_broken, page));
  g_assert_null (page->fly_key);
  g_signal_emit_by_name (page->finder, "chosen", &found);
  g_assert_null (page->fly_key);
  gtk_window_destroy (GTK_WINDOW (window));
}

static void
test_keys (void)
{
  guint n;
  const BlKey *keys = bl_keys_get (&n);

  for (guint i = 0; i < n; i++)
    for (guint k = 0; k < i; k++)
      if (keys[i].action != NULL && keys[k].action != NULL)
        g_assert_false (keys[i].keyval == keys[k].keyval && keys[i].modifiers == keys[k].modifiers);
  g_assert_cmpstr (bl_keys_find (GDK_KEY_F5, 0, TRUE, TRUE)->action, ==, "bench.probe");
  g_assert_cmpstr (bl_keys_find (GDK_KEY_Z, GDK_CONTROL_MASK | GDK_SHIFT_MASK, TRUE, TRUE)->action, ==, "bench.redo");
  g_assert_cmpstr (bl_keys_find (GDK_KEY_z, 0, FALSE, TRUE)->action, ==, "bench.fit");
  g_assert_null (bl_keys_find (GDK_KEY_z, 0, TRUE, TRUE));
  g_assert_null (bl_keys_find (GDK_KEY_slash, 0, TRUE, TRUE));
}

int
main (int argc, char **argv)
{
  app_test_init (&argc, &argv);
  g_test_add ("/app/bench-page/lane", AppFixture, NULL, app_fixture_set_up, test_lane, app_fixture_tear_down);
  g_test_add ("/app/bench-page/entry", AppFixture, NULL, app_fixture_set_up, test_entry, app_fixture_tear_down);
  g_test_add ("/app/bench-page/likely", AppFixture, NULL, app_fixture_set_up, test_likely, app_fixture_tear_down);
  g_test_add ("/app/bench-page/cause", AppFixture, NULL, app_fixture_set_up, test_cause, app_fixture_tear_down);
  g_test_add ("/app/bench-page/likeliest-cause", AppFixture, NULL, app_fixture_set_up, test_likeliest_cause, app_fixture_tear_down);
  g_test_add ("/app/bench-page/find-on-broken-photo", AppFixture, NULL, app_fixture_set_up, test_find_on_broken_photo,
              app_fixture_tear_down);
  g_test_add_func ("/app/bench-page/keys", test_keys);
  return g_test_run ();
}
