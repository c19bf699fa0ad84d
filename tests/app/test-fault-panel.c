/* SPDX-License-Identifier: GPL-3.0-or-later
 * The fault shown, by keys alone: a lamp counted, another tapped along, the entry taken. Needs a display. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-fault-panel.h"
#include "fixture.h"

typedef struct
{
  char *symptom, *seen;
  gboolean closed;
} Told;

static void
taken (BlFaultPanel *panel, const char *symptom, const char *seen, Told *told)
{
  told->symptom = g_strdup (symptom);
  told->seen = g_strdup (seen);
}

static void
closed (BlFaultPanel *panel, Told *told)
{
  told->closed = TRUE;
}

static BlFaultPanel *
open_panel (AppFixture *fixture, GtkWidget **window, Told *told)
{
  g_autoptr (GError) error = NULL;
  GtkWidget *panel = bl_fault_panel_new ();
  BlFaultShown *shown
    = bl_fault_shown_new (fixture->library, fixture->board, bl_bench_get_board (fixture->bench), &error);

  g_assert_no_error (error);
  *window = gtk_window_new ();
  gtk_window_set_child (GTK_WINDOW (*window), panel);
  gtk_window_present (GTK_WINDOW (*window));
  g_signal_connect (panel, "taken", G_CALLBACK (taken), told);
  g_signal_connect (panel, "closed", G_CALLBACK (closed), told);
  bl_fault_panel_open (BL_FAULT_PANEL (panel), shown, fixture->job);
  return BL_FAULT_PANEL (panel);
}

static void
press (BlFaultPanel *panel, guint keyval)
{
  g_assert_true (bl_fault_panel_key (panel, keyval, 0));
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

/* The example: operation flashes once, economy at 2 Hz. */
static void
test_keys (AppFixture *fixture, gconstpointer unused)
{
  Told told = { 0 };
  GtkWidget *window;
  BlFaultPanel *panel = open_panel (fixture, &window, &told);

  press (panel, GDK_KEY_Return); /* nothing was seen: nothing to take */
  g_assert_null (told.symptom);
  press (panel, GDK_KEY_1);
  press (panel, GDK_KEY_Down);
  for (guint i = 0; i < 12; i++) /* even taps without a pause */
    {
      press (panel, GDK_KEY_space);
      g_usleep (100 * 1000);
    }
  g_assert_false (bl_fault_panel_key (panel, GDK_KEY_x, 0)); /* not its own: goes on to the bench */
  press (panel, GDK_KEY_BackSpace); /* tapped too fast for the table: taken back */
  press (panel, GDK_KEY_Return);
  g_assert_true (told.closed);
  g_assert_cmpstr (told.symptom, ==, "E1");
  g_assert_cmpstr (told.seen, ==, "operation: flashes 1 time");
  g_assert_false (bl_fault_panel_is_open (panel));
  gtk_window_destroy (GTK_WINDOW (window));
  g_free (told.symptom);
  g_free (told.seen);
}

/* What was taken is a symptom of the job, with what was seen before it. */
static void
test_log (AppFixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_bench_fault_shown (fixture->bench, "E1", "operation: flashes 1 time", &error));
  g_assert_no_error (error);
  GPtrArray *records = bl_bench_get_records (fixture->bench);
  const BlRecord *note = bl_at (records, records->len - 2), *symptom = bl_at (records, records->len - 1);
  g_assert_cmpint (note->kind, ==, BL_RECORD_NOTE);
  g_assert_cmpstr (note->text, ==, "shown: operation: flashes 1 time");
  g_assert_cmpint (symptom->kind, ==, BL_RECORD_SYMPTOM);
  g_assert_cmpstr (symptom->subject, ==, "E1");
  g_assert_cmpstr (symptom->text, ==, "yes");
}

int
main (int argc, char **argv)
{
  app_test_init (&argc, &argv);
  g_test_add ("/fault-panel/keys", AppFixture, NULL, app_fixture_set_up, test_keys, app_fixture_tear_down);
  g_test_add ("/fault-panel/log", AppFixture, NULL, app_fixture_set_up, test_log, app_fixture_tear_down);
  return g_test_run ();
}
