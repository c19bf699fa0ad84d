/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is asked about a replacement: it is kept however the questions end. The proving panel shows what was read
 * before and follows what is read after. */
#include "config.h"

#include "fixture.h"

#include "bl-bench-page-private.h"
#include "bl-proving-panel.h"

typedef struct
{
  AppFixture app;
  GtkWidget *window, *page;
} Fixture;

static BlBenchPage *
page_of (Fixture *f)
{
  return BL_BENCH_PAGE (f->page);
}

static void
set_up (Fixture *f, gconstpointer unused)
{
  app_fixture_set_up (&f->app, NULL);
  f->window = gtk_window_new ();
  f->page = bl_bench_page_new (f->app.library);
  gtk_window_set_child (GTK_WINDOW (f->window), f->page);
  bl_bench_page_set_bench (page_of (f), f->app.bench);
  gtk_window_present (GTK_WINDOW (f->window));
  gtk_test_widget_wait_for_draw (f->page);
}

static void
tear_down (Fixture *f, gconstpointer unused)
{
  if (f->window != NULL)
    gtk_window_destroy (GTK_WINDOW (f->window));
  app_fixture_tear_down (&f->app, NULL);
}

static BlChoicePanel *
choice (Fixture *f)
{
  return BL_CHOICE_PANEL (page_of (f)->choice);
}

static void
act (Fixture *f, const char *action)
{
  g_action_group_activate_action (bl_bench_page_get_actions (page_of (f)), action, NULL);
}

/* The replacements in the log; the newest in *last. */
static guint
replacements (Fixture *f, const BlRecord **last)
{
  GPtrArray *records = bl_bench_get_records (f->app.bench);
  guint n = 0;

  for (guint i = 0; i < records->len; i++)
    {
      const BlRecord *record = bl_at (records, i);
      if (record->kind != BL_RECORD_REPLACED)
        continue;
      *last = record;
      n++;
    }
  return n;
}

static void
say (Fixture *f, const char *tag, const char *words)
{
  g_autofree char *text = g_strdup_printf ("=%s", words);

  g_assert_cmpstr (bl_choice_panel_get_tag (choice (f)), ==, tag);
  g_assert_true (bl_choice_panel_is_open (choice (f)));
  gtk_widget_set_visible (GTK_WIDGET (choice (f)), FALSE);
  g_signal_emit_by_name (choice (f), "chosen", tag, text);
}

static void
begin (Fixture *f)
{
  bl_bench_choices_part (page_of (f), "U2");
  g_assert_true (bl_choice_panel_key (choice (f), GDK_KEY_r, 0));
  g_assert_cmpstr (bl_choice_panel_get_tag (choice (f)), ==, "replaced-old");
}

static void
test_questions (Fixture *f, gconstpointer unused)
{
  const BlRecord *last = NULL;

  begin (f);
  say (f, "replaced-old", "7805");
  say (f, "replaced-new", "");
  say (f, "replaced-why", "tab cracked");
  g_assert_cmpuint (replacements (f, &last), ==, 1);
  g_assert_cmpstr (last->old, ==, "7805");
  g_assert_null (last->text);
  g_assert_cmpstr (last->why, ==, "tab cracked");
  g_assert_cmpstr (bl_choice_panel_get_tag (choice (f)), ==, "cause-of");
}

/* Typed, it asks the same; what is typed with it is not asked. */
static void
test_typed (Fixture *f, gconstpointer unused)
{
  const BlRecord *last = NULL;

  g_assert_true (bl_bench_page_enter (page_of (f), "U2 replaced"));
  g_assert_cmpuint (replacements (f, &last), ==, 0);
  say (f, "replaced-old", "7805");
  say (f, "replaced-new", "7805 T");
  say (f, "replaced-why", "tab cracked");
  g_assert_cmpuint (replacements (f, &last), ==, 1);
  g_assert_cmpstr (last->subject, ==, "U2");
  g_assert_cmpstr (last->why, ==, "tab cracked");
  bl_choice_panel_close (choice (f));
  g_assert_true (bl_bench_page_enter (page_of (f), "U2 replaced by 7805 because it whistled"));
  g_assert_cmpuint (replacements (f, &last), ==, 2);
  g_assert_cmpstr (last->why, ==, "it whistled");
}

static void
test_left (Fixture *f, gconstpointer unused)
{
  const BlRecord *last = NULL;

  begin (f);
  say (f, "replaced-old", "7805");
  g_assert_true (bl_choice_panel_key (choice (f), GDK_KEY_Escape, 0));
  g_assert_cmpuint (replacements (f, &last), ==, 1);
  g_assert_cmpstr (last->old, ==, "7805");
  begin (f);
  act (f, "round"); /* another question */
  g_assert_cmpstr (bl_choice_panel_get_tag (choice (f)), ==, "round");
  g_assert_cmpuint (replacements (f, &last), ==, 2);
  bl_choice_panel_close (choice (f));
  g_assert_cmpuint (replacements (f, &last), ==, 2);
  begin (f);
  bl_bench_page_set_bench (page_of (f), f->app.bench); /* another job */
  g_assert_cmpuint (replacements (f, &last), ==, 3);
  begin (f);
  gtk_window_destroy (GTK_WINDOW (f->window)); /* the end */
  f->window = NULL;
  g_assert_cmpuint (replacements (f, &last), ==, 4);
}

/* TRUE when a label below widget holds these words. */
static gboolean
has (GtkWidget *widget, const char *words)
{
  if (GTK_IS_LABEL (widget) && strstr (gtk_label_get_label (GTK_LABEL (widget)), words) != NULL)
    return TRUE;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    if (has (child, words))
      return TRUE;
  return FALSE;
}

static void
test_panel (Fixture *f, gconstpointer unused)
{
  BlProvingPanel *panel = BL_PROVING_PANEL (page_of (f)->proving);

  act (f, "proving");
  g_assert_true (bl_proving_panel_is_open (panel));
  g_assert_true (has (page_of (f)->proving, "No repair is in the log yet"));
  g_assert_cmpint (bl_bench_get_job (f->app.bench)->state, ==, BL_JOB_ON_THE_BENCH);
  act (f, "proving");
  bl_bench_enter (f->app.bench, "M5 0.1", NULL);
  bl_bench_enter (f->app.bench, "U2 replaced", NULL);
  act (f, "proving");
  g_assert_cmpint (bl_bench_get_job (f->app.bench)->state, ==, BL_JOB_PROVING);
  g_assert_true (has (page_of (f)->proving, "0 of 1 read again"));
  g_assert_true (has (page_of (f)->proving, "not read again"));
  gtk_test_widget_wait_for_draw (f->page); /* it has its place then, and its keys */
  bl_bench_select (f->app.bench, bl_bench_find (f->app.bench, "M9"));
  g_assert_true (bl_proving_panel_key (panel, GDK_KEY_g, GDK_ALT_MASK));
  g_assert_cmpstr (bl_measurement_item_get_id (bl_bench_get_current (f->app.bench)), ==, "M5");
  bl_bench_enter (f->app.bench, "M5 5.0", NULL);
  g_assert_true (has (page_of (f)->proving, "1 of 1 read again"));
  g_assert_false (has (page_of (f)->proving, "not read again"));
  /* Nothing is answered by passing it. */
  g_assert_true (bl_proving_panel_key (panel, GDK_KEY_c, GDK_ALT_MASK));
  g_assert_true (bl_choice_panel_key (choice (f), GDK_KEY_Return, 0));
  g_assert_true (has (page_of (f)->proving, "not said yet"));
  g_assert_true (bl_choice_panel_key (choice (f), GDK_KEY_y, 0));
  g_assert_true (has (page_of (f)->proving, "1 of "));
  /* It lies over what else lies there. */
  act (f, "why");
  g_assert_false (bl_proving_panel_is_open (panel));
}

int
main (int argc, char **argv)
{
  app_test_init (&argc, &argv);
#define ADD(name, function) g_test_add ("/repair/" name, Fixture, NULL, set_up, function, tear_down)
  ADD ("questions", test_questions);
  ADD ("typed", test_typed);
  ADD ("left", test_left);
  ADD ("panel", test_panel);
  return g_test_run ();
}
