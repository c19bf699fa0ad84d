/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A long bench log: every line can be reached, an entry comes first, a struck line is shown so. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "fixture.h"

#include "bl-log-view.h"

#include <string.h>

#define LINES 300

typedef struct
{
  GtkWidget *widget;
  const char *words;
} Shown;

static gboolean
shows (GtkWidget *widget, const char *words)
{
  if (GTK_IS_LABEL (widget) && strstr (gtk_label_get_label (GTK_LABEL (widget)), words) != NULL)
    return TRUE;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL; child = gtk_widget_get_next_sibling (child))
    if (shows (child, words))
      return TRUE;
  return FALSE;
}

static gboolean
is_shown (gpointer data)
{
  const Shown *shown = data;
  return shows (shown->widget, shown->words);
}

static GtkWidget *
list_in (GtkWidget *widget)
{
  if (GTK_IS_LIST_VIEW (widget))
    return widget;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL; child = gtk_widget_get_next_sibling (child))
    {
      GtkWidget *found = list_in (child);
      if (found != NULL)
        return found;
    }
  return NULL;
}

static void
append_notes (AppFixture *fixture)
{
  BlRecord *records[LINES];

  for (guint i = 0; i < LINES; i++)
    {
      g_autofree char *words = g_strdup_printf ("note number %u", i);
      records[i] = bl_record_new (BL_RECORD_NOTE, NULL, words);
      records[i]->job = fixture->job;
    }
  g_assert_true (bl_library_append_all (fixture->library, records, LINES, NULL));
  for (guint i = 0; i < LINES; i++)
    bl_record_free (records[i]);
}

static void
test_long (AppFixture *fixture, gconstpointer unused)
{
  append_notes (fixture);
  g_autoptr (BlBench) bench = bl_bench_new (fixture->library, fixture->job, NULL);
  GtkWidget *window = gtk_window_new (), *view = bl_log_view_new (), *list = list_in (view);
  g_autofree char *newest = g_strdup_printf ("note number %u", LINES - 1);

  gtk_window_set_default_size (GTK_WINDOW (window), 800, 300);
  gtk_window_set_child (GTK_WINDOW (window), view);
  gtk_window_present (GTK_WINDOW (window));
  bl_log_view_set_bench (BL_LOG_VIEW (view), bench);
  g_assert_true (app_wait (is_shown, &(Shown){ gtk_widget_get_first_child (list), newest }));
  g_assert_true (bl_bench_enter (bench, "TP5 4.97", NULL));
  g_assert_true (app_wait (is_shown, &(Shown){ gtk_widget_get_first_child (list), "TP5  4.97" }));
  g_assert_false (shows (list, "number 0"));
  gtk_widget_activate_action (list, "list.scroll-to-item", "u", bl_bench_get_records (bench)->len - 1);
  g_assert_true (app_wait (is_shown, &(Shown){ list, "number 0" }));
  gtk_widget_activate_action (list, "list.scroll-to-item", "u", 0u);
  g_assert_true (bl_bench_undo (bench, NULL));
  g_assert_true (app_wait (is_shown, &(Shown){ list, "struck" }));
  gtk_window_destroy (GTK_WINDOW (window));
}

int
main (int argc, char **argv)
{
  app_test_init (&argc, &argv);
  g_test_add ("/app/log-view/long", AppFixture, NULL, app_fixture_set_up, test_long, app_fixture_tear_down);
  return g_test_run ();
}
