/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The panel "why" on the example board: opened by key and by pressing a suspect, it names the readings
 * and leaves the entry free; readings that do not fit lead to what is to be done about them. */
#include "config.h"

#include "fixture.h"

#include "bl-bench-page.h"
#include "bl-why-bar.h"
#include "bl-why-panel.h"

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

/* The innermost visible label that contains these words. */
static GtkWidget *
find_words (GtkWidget *widget, const char *words)
{
  if (!gtk_widget_get_visible (widget))
    return NULL;
  if (GTK_IS_LABEL (widget) && strstr (gtk_label_get_label (GTK_LABEL (widget)), words) != NULL)
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = find_words (child, words);
      if (found != NULL)
        return found;
    }
  return NULL;
}

static void
press (GtkWidget *widget, const char *words)
{
  GtkWidget *label = find_words (widget, words);

  g_test_message ("press: %s", words);
  g_assert_nonnull (label);
  g_signal_emit_by_name (gtk_widget_get_ancestor (label, GTK_TYPE_BUTTON), "clicked");
}

typedef struct
{
  GtkWidget *window, *page, *panel;
  BlBench *bench;
} Shown;

static Shown
show (AppFixture *fixture)
{
  Shown shown = { gtk_window_new (), bl_bench_page_new (fixture->library), NULL, fixture->bench };

  gtk_window_set_child (GTK_WINDOW (shown.window), shown.page);
  gtk_window_set_default_size (GTK_WINDOW (shown.window), 1280, 800);
  bl_bench_page_set_bench (BL_BENCH_PAGE (shown.page), fixture->bench);
  gtk_window_present (GTK_WINDOW (shown.window));
  gtk_test_widget_wait_for_draw (shown.page);
  bl_bench_settle (fixture->bench);
  shown.panel = find_child (shown.page, BL_TYPE_WHY_PANEL);
  g_assert_nonnull (shown.panel);
  return shown;
}

static void
act (const Shown *shown, const char *name)
{
  g_action_group_activate_action (bl_bench_page_get_actions (BL_BENCH_PAGE (shown->page)), name, NULL);
}

static gboolean
is_complete (gpointer data)
{
  const Shown *shown = data;
  return !bl_bench_is_busy (shown->bench) && bl_why_panel_is_complete (BL_WHY_PANEL (shown->panel));
}

static void
test_reasons (AppFixture *fixture, gconstpointer unused)
{
  bl_bench_enter (fixture->bench, "M5 0.1", NULL);
  Shown shown = show (fixture);

  g_assert_false (bl_why_panel_is_open (BL_WHY_PANEL (shown.panel)));
  act (&shown, "why");
  g_assert_true (bl_why_panel_is_open (BL_WHY_PANEL (shown.panel)));
  g_assert_true (app_wait (is_complete, &shown));
  g_assert_nonnull (find_words (shown.panel, "before any reading: 1 in "));
  g_assert_nonnull (find_words (shown.panel, "TP5 5 V absent"));
  g_assert_nonnull (find_words (shown.panel, " times as likely if "));
  g_assert_nonnull (find_words (shown.panel, "What would change it"));
  g_assert_nonnull (find_child (shown.panel, BL_TYPE_WHY_BAR));
  /* The figures are folded until they are asked for. */
  g_assert_null (find_words (shown.panel, " decibans"));
  g_assert_true (bl_why_panel_key (BL_WHY_PANEL (shown.panel), GDK_KEY_d, GDK_ALT_MASK));
  g_assert_nonnull (find_words (shown.panel, " decibans"));
  /* A value typed while it is open goes to the entry, and the reasons follow. */
  g_assert_true (GTK_IS_EDITABLE (gtk_window_get_focus (GTK_WINDOW (shown.window))));
  g_assert_false (bl_bench_page_key (BL_BENCH_PAGE (shown.page), GDK_KEY_4, 0));
  g_assert_true (bl_bench_page_enter (BL_BENCH_PAGE (shown.page), "V1 no"));
  bl_bench_settle (fixture->bench);
  g_assert_true (app_wait (is_complete, &shown));
  g_assert_nonnull (find_words (shown.panel, "supply LED lit deviates"));
  press (shown.panel, "TP5 5 V absent");
  g_assert_true (bl_bench_get_current (fixture->bench) == bl_bench_find (fixture->bench, "M5"));
  act (&shown, "escape"); /* passes by what is asked before the first live reading */
  act (&shown, "escape");
  g_assert_false (bl_why_panel_is_open (BL_WHY_PANEL (shown.panel)));
  gtk_window_destroy (GTK_WINDOW (shown.window));
}

/* Any suspect is asked about, the stage and elsewhere too. */
static void
test_suspects (AppFixture *fixture, gconstpointer unused)
{
  bl_bench_enter (fixture->bench, "M5 0.1", NULL);
  Shown shown = show (fixture);
  GtkWidget *suspects = find_child (shown.page, g_type_from_name ("BlSuspectsView"));

  press (suspects, "5 V rail");
  g_assert_true (app_wait (is_complete, &shown));
  g_assert_nonnull (find_words (shown.panel, "Why 5 V rail?"));
  g_assert_nonnull (find_words (shown.panel, "if the fault is in 5 V rail"));
  press (suspects, "not on this board");
  g_assert_true (app_wait (is_complete, &shown));
  g_assert_nonnull (find_words (shown.panel, "Why a fault elsewhere?"));
  gtk_window_destroy (GTK_WINDOW (shown.window));
}

/* The rail is absent, its lamp is lit: one of the two is wrong. */
static void
test_quarrel (AppFixture *fixture, gconstpointer unused)
{
  bl_bench_enter (fixture->bench, "M5 0.1", NULL);
  bl_bench_enter (fixture->bench, "V1 yes", NULL);
  Shown shown = show (fixture);
  BlWhyPanel *panel = BL_WHY_PANEL (shown.panel);
  GtkWidget *choice = find_child (shown.page, g_type_from_name ("BlChoicePanel"));

  press (find_child (shown.page, g_type_from_name ("BlSuspectsView")), "These do not fit together");
  g_assert_true (app_wait (is_complete, &shown));
  g_assert_nonnull (find_words (shown.panel, "Two faults would explain everything but TP5 5 V."));
  g_assert_nonnull (find_words (shown.panel, "Or everything but supply LED lit."));
  g_assert_nonnull (find_words (shown.panel, "1  Probe: on TP5"));
  g_assert_nonnull (find_words (shown.panel, "2  Black lead: on TP0"));
  g_assert_true (bl_why_panel_key (panel, GDK_KEY_n, GDK_ALT_MASK));
  g_assert_nonnull (find_words (shown.panel, "1  Look again"));
  g_assert_null (find_words (shown.panel, "Probe: on TP5"));
  g_assert_true (bl_why_panel_key (panel, GDK_KEY_n, GDK_ALT_MASK));
  g_assert_true (bl_why_panel_key (panel, GDK_KEY_s, GDK_ALT_MASK));
  g_assert_nonnull (find_words (choice, "Why is it struck?"));
  act (&shown, "escape");
  g_assert_true (bl_why_panel_key (panel, GDK_KEY_x, GDK_ALT_MASK));
  g_assert_nonnull (find_words (choice, "What is expected at this point?"));
  act (&shown, "escape");
  bl_bench_select (fixture->bench, bl_bench_find (fixture->bench, "V1"));
  g_assert_true (bl_why_panel_key (panel, GDK_KEY_m, GDK_ALT_MASK));
  g_assert_true (bl_bench_get_current (fixture->bench) == bl_bench_find (fixture->bench, "M5"));
  g_assert_false (bl_why_panel_is_open (panel));
  g_assert_false (bl_why_panel_key (panel, GDK_KEY_m, GDK_ALT_MASK));
  gtk_window_destroy (GTK_WINDOW (shown.window));
}

int
main (int argc, char **argv)
{
  app_test_init (&argc, &argv);
#define ADD(name) \
  g_test_add ("/app/why-panel/" #name, AppFixture, NULL, app_fixture_set_up, test_##name, app_fixture_tear_down)
  ADD (reasons);
  ADD (suspects);
  ADD (quarrel);
  return g_test_run ();
}
