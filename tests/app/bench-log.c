/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A bench log of 1,000 lines: how long until it stands on the screen, until an entry stands in it, and what a step of
 * scrolling takes; in the column beside the fault tree and over the whole width. Wanted: an entry below 100 ms. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "fixture.h"

#include <time.h>

#include "bl-log-view.h"

#define LINES 1000
#define STEPS 50

static double
cpu_ms (void)
{
  return (double) clock () * 1000.0 / CLOCKS_PER_SEC;
}

static void
painted (GdkFrameClock *clock, gboolean *done)
{
  *done = TRUE;
}

/* Until a frame with all that changed was drawn. */
static void
show (GtkWidget *window)
{
  GdkFrameClock *clock = gtk_widget_get_frame_clock (window);
  gboolean done = FALSE;
  gulong handler = g_signal_connect (clock, "after-paint", G_CALLBACK (painted), &done);

  gdk_frame_clock_request_phase (clock, GDK_FRAME_CLOCK_PHASE_PAINT);
  while (!done)
    g_main_context_iteration (NULL, TRUE);
  g_signal_handler_disconnect (clock, handler);
}

typedef struct
{
  gint64 wall;
  double cpu;
} Watch;

static Watch
watch_start (void)
{
  return (Watch) { g_get_monotonic_time (), cpu_ms () };
}

static void
watch_tell (const Watch *watch, const char *what, guint n)
{
  g_print ("%s %.1f ms (processor %.1f ms)", what, (double) (g_get_monotonic_time () - watch->wall) / 1000 / n,
           (cpu_ms () - watch->cpu) / n);
}

static GtkAdjustment *
adjustment_of (GtkWidget *widget)
{
  if (GTK_IS_SCROLLED_WINDOW (widget))
    return gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (widget));
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL; child = gtk_widget_get_next_sibling (child))
    {
      GtkAdjustment *found = adjustment_of (child);
      if (found != NULL)
        return found;
    }
  return NULL;
}

static void
run (BlBench *bench, int width, int height)
{
  GtkWidget *window = gtk_window_new (), *view = bl_log_view_new ();
  Watch watch = watch_start ();

  gtk_window_set_default_size (GTK_WINDOW (window), width, height);
  gtk_window_set_child (GTK_WINDOW (window), view);
  gtk_window_present (GTK_WINDOW (window));
  bl_log_view_set_bench (BL_LOG_VIEW (view), bench);
  show (window);
  show (window);
  g_print ("%d x %d: ", width, height);
  watch_tell (&watch, "opened in", 1);
  watch = watch_start ();
  g_assert_true (bl_bench_enter (bench, "TP5 4.97", NULL));
  watch_tell (&watch, ", entry kept in", 1);
  show (window);
  watch_tell (&watch, ", shown after", 1);
  GtkAdjustment *adjustment = adjustment_of (view);
  watch = watch_start ();
  for (guint i = 1; i <= STEPS; i++)
    {
      gtk_adjustment_set_value (adjustment, i * 40.0);
      show (window);
    }
  watch_tell (&watch, ", a step of scrolling", STEPS);
  g_print ("\n");
  gtk_window_destroy (GTK_WINDOW (window));
}

int
main (int argc, char **argv)
{
  AppFixture fixture = { 0 };

  app_test_init (&argc, &argv);
  app_fixture_set_up (&fixture, NULL);
  BlRecord *records[LINES];
  for (guint i = 0; i < LINES; i++)
    records[i] = i % 3 == 0 ? bl_record_new (BL_RECORD_NOTE, NULL, "waits for a part, water stood below the connector")
                            : bl_record_new (BL_RECORD_READING, "M5", "4.98");
  for (guint i = 0; i < LINES; i++)
    records[i]->job = fixture.job;
  g_assert_true (bl_library_append_all (fixture.library, records, LINES, NULL));
  for (guint i = 0; i < LINES; i++)
    bl_record_free (records[i]);
  g_autoptr (BlBench) bench = bl_bench_new (fixture.library, fixture.job, NULL);
  g_assert_cmpuint (bl_bench_get_records (bench)->len, >=, LINES);
  run (bench, 240, 190);
  run (bench, 900, 700);
  g_clear_object (&bench);
  app_fixture_tear_down (&fixture, NULL);
  return 0;
}
