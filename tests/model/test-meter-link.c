/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A meter read live, through the real library: its demo device, and an instrument simulated on a loopback port
 * (instrument.py) that can fall silent, hang up and talk nonsense. The capture's time runs six times as fast, or
 * ten readings would take a quarter of a minute. */
#undef G_DISABLE_ASSERT
#include "bl-meter-link.h"

#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define SPEED 6
/* No single wait of these tests is longer; a busy machine needs the most of it. */
#define PATIENCE 30

static GSubprocess *instrument;
static GDataInputStream *instrument_lines; /* kept: it would write to a closed pipe */
static char *address;

/* --- The simulated instrument ----------------------------------------------------------------- */

static char *
meter_program (void)
{
  return g_test_build_filename (G_TEST_BUILT, "..", "src", "cli", "benchlore-meter", NULL);
}

static void
start_instrument (void)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *script = g_test_build_filename (G_TEST_DIST, "model", "instrument.py", NULL);
  g_autofree char *program = meter_program (), *line = NULL;

  instrument = g_subprocess_new (G_SUBPROCESS_FLAGS_STDIN_PIPE | G_SUBPROCESS_FLAGS_STDOUT_PIPE, &error, "python3", script,
                                 program, NULL);
  g_assert_no_error (error);
  instrument_lines = g_data_input_stream_new (g_subprocess_get_stdout_pipe (instrument));
  line = g_data_input_stream_read_line (instrument_lines, NULL, NULL, NULL);
  g_assert_nonnull (line);
  g_assert_true (g_str_has_prefix (line, "port "));
  address = g_strdup_printf ("tcp-raw/127.0.0.1/%s", line + strlen ("port "));
}

static void
tell (const char *command)
{
  g_autofree char *line = g_strconcat (command, "\n", NULL);
  GOutputStream *input = g_subprocess_get_stdin_pipe (instrument);

  g_assert_true (g_output_stream_write_all (input, line, strlen (line), NULL, NULL, NULL));
}

/* --- The link, and the bench that listens ----------------------------------------------------- */

typedef struct
{
  BlMeterLink *link;
  BlCapture *capture;
  BlCaptureKind kind;
  GString *states, *taken;
  BlSample last;
  guint samples, troubles;
  GPtrArray *found;
  GError *error;
  gboolean done;
} Bench;

static void
on_sample (BlMeterLink *link, const BlSample *sample, gpointer data)
{
  Bench *bench = data;
  BlSample faster = *sample;
  const BlCaptureEvent *event;

  g_assert_cmpint (bl_meter_link_get_state (link), ==, BL_METER_CONNECTED);
  bench->samples++;
  bench->last = *sample;
  faster.time_us *= SPEED;
  event = bl_capture_feed (bench->capture, &faster);
  bench->kind = event->kind;
  if (event->kind == BL_CAPTURE_TAKEN)
    g_string_append_printf (bench->taken, "%s ", event->reading);
}

static void
on_state (BlMeterLink *link, int state, const char *words, gpointer data)
{
  static const char *const names[] = { "closed", "searching", "connected", "lost" };
  Bench *bench = data;

  g_assert_nonnull (words);
  g_assert_cmpint (*words, !=, '\0');
  g_string_append_printf (bench->states, "%s ", names[state]);
}

static void
on_trouble (BlMeterLink *link, const char *words, gpointer data)
{
  Bench *bench = data;

  g_assert_nonnull (words);
  bench->troubles++;
}

static void
set_up (Bench *bench, gconstpointer unused)
{
  bench->link = bl_meter_link_new ();
  bench->capture = bl_capture_new ();
  bench->states = g_string_new (NULL);
  bench->taken = g_string_new (NULL);
  g_signal_connect (bench->link, "sample", G_CALLBACK (on_sample), bench);
  g_signal_connect (bench->link, "state", G_CALLBACK (on_state), bench);
  g_signal_connect (bench->link, "trouble", G_CALLBACK (on_trouble), bench);
}

static void
tear_down (Bench *bench, gconstpointer unused)
{
  g_assert_finalize_object (bench->link);
  bl_capture_free (bench->capture);
  g_string_free (bench->states, TRUE);
  g_string_free (bench->taken, TRUE);
  g_clear_pointer (&bench->found, g_ptr_array_unref);
  g_clear_error (&bench->error);
  /* What still comes back of processes that were ended. */
  while (g_main_context_iteration (NULL, FALSE))
    ;
}

static gboolean
wake (gpointer data)
{
  return G_SOURCE_CONTINUE;
}

/* Runs the main loop until it is so. */
static void
wait_until (Bench *bench, gboolean (*is_so) (Bench *bench, guint value), guint value)
{
  gint64 end = g_get_monotonic_time () + PATIENCE * (gint64) G_USEC_PER_SEC;
  guint timer = g_timeout_add (50, wake, NULL);

  while (!is_so (bench, value))
    {
      if (g_get_monotonic_time () > end)
        g_error ("waited in vain; states: %s, words: %s", bench->states->str, bl_meter_link_get_words (bench->link));
      g_main_context_iteration (NULL, TRUE);
    }
  g_source_remove (timer);
}

static gboolean
has_samples (Bench *bench, guint n)
{
  return bench->samples >= n;
}

static gboolean
has_state (Bench *bench, guint state)
{
  return bl_meter_link_get_state (bench->link) == state;
}

static gboolean
is_done (Bench *bench, guint unused)
{
  return bench->done;
}

static gboolean
shows_lifted (Bench *bench, guint unused)
{
  return bench->last.over || bench->last.value == 0;
}

static gboolean
shows_value (Bench *bench, guint unused)
{
  return !shows_lifted (bench, 0);
}

static gboolean
has_taken_or_stuck (Bench *bench, guint length)
{
  return bench->taken->len > length || bench->kind == BL_CAPTURE_NEEDS_KEY;
}

/* --- Finding ---------------------------------------------------------------------------------- */

static void
on_drivers (GObject *source, GAsyncResult *result, gpointer data)
{
  Bench *bench = data;

  bench->found = bl_meter_link_drivers_finish (result, &bench->error);
  bench->done = TRUE;
}

static const BlMeterDriver *
driver_named (Bench *bench, const char *name)
{
  for (guint i = 0; i < bench->found->len; i++)
    if (strcmp (((BlMeterDriver *) bench->found->pdata[i])->name, name) == 0)
      return bench->found->pdata[i];
  return NULL;
}

static void
test_drivers (Bench *bench, gconstpointer unused)
{
  bl_meter_link_drivers_async (NULL, on_drivers, bench);
  wait_until (bench, is_done, 0);
  g_assert_no_error (bench->error);
  g_assert_nonnull (driver_named (bench, "demo"));
  g_assert_false (driver_named (bench, "demo")->takes_connection);
  g_assert_nonnull (driver_named (bench, "scpi-dmm"));
  g_assert_true (driver_named (bench, "scpi-dmm")->takes_connection);
  /* Logic analysers read no meter. */
  g_assert_null (driver_named (bench, "fx2lafw"));
}

static void
on_scanned (GObject *source, GAsyncResult *result, gpointer data)
{
  Bench *bench = data;

  g_clear_pointer (&bench->found, g_ptr_array_unref);
  g_clear_error (&bench->error);
  bench->found = bl_meter_link_scan_finish (result, &bench->error);
  g_assert_true ((bench->found == NULL) == (bench->error != NULL));
  bench->done = TRUE;
}

static void
scan (Bench *bench, const char *driver, const char *connection)
{
  bench->done = FALSE;
  bl_meter_link_scan_async (driver, connection, NULL, NULL, on_scanned, bench);
  wait_until (bench, is_done, 0);
}

static void
test_scan (Bench *bench, gconstpointer unused)
{
  scan (bench, "demo", NULL);
  g_assert_no_error (bench->error);
  g_assert_cmpuint (bench->found->len, ==, 1);
  scan (bench, "scpi-dmm", address);
  g_assert_no_error (bench->error);
  g_assert_cmpuint (bench->found->len, ==, 1);
  scan (bench, "no-such-driver", NULL);
  g_assert_nonnull (bench->error);
  /* Port 1 of the loopback address: nobody listens. */
  scan (bench, "scpi-dmm", "tcp-raw/127.0.0.1/1");
  g_assert_nonnull (bench->error);
}

static gboolean
cancel (gpointer cancellable)
{
  g_cancellable_cancel (cancellable);
  return G_SOURCE_REMOVE;
}

static void
test_scan_cancelled (Bench *bench, gconstpointer unused)
{
  g_autoptr (GCancellable) cancellable = g_cancellable_new ();

  tell ("silent");
  bl_meter_link_scan_async ("scpi-dmm", address, NULL, cancellable, on_scanned, bench);
  g_timeout_add (300, cancel, cancellable);
  wait_until (bench, is_done, 0);
  g_assert_nonnull (bench->error);
  tell ("answer");
}

/* --- Reading ---------------------------------------------------------------------------------- */

static void
test_demo (Bench *bench, gconstpointer unused)
{
  bl_meter_link_open (bench->link, "demo", NULL, NULL);
  wait_until (bench, has_samples, 3);
  g_assert_cmpint (bench->last.mode, ==, BL_METER_V_DC);
  g_assert_cmpfloat (fabs (bench->last.value), <=, 10);
  g_assert_nonnull (bl_meter_link_get_name (bench->link));
  g_assert_false (bl_meter_link_can_set_mode (bench->link, BL_METER_OHM));
  bl_meter_link_close (bench->link);
  g_assert_cmpstr (bench->states->str, ==, "searching connected closed ");
}

static void
test_no_driver (Bench *bench, gconstpointer unused)
{
  bl_meter_link_open (bench->link, "no-such-driver", NULL, NULL);
  wait_until (bench, has_state, BL_METER_LOST);
  g_assert_cmpstr (bench->states->str, ==, "searching lost ");
}

static void
expect (Bench *bench, BlMeasures measures)
{
  BlCaptureExpect expect = bl_capture_expect_for (measures, NULL);

  bl_capture_expect (bench->capture, &expect);
}

/* Lifts the leads, then puts them on the value, until it is taken: where the machine is so busy that values come
 * seconds apart, the lift has to be shown again. */
static void
measure (Bench *bench, const char *lifted, const char *value)
{
  gsize before = bench->taken->len;
  g_autofree char *command = g_strconcat ("value ", value, NULL);

  while (bench->taken->len == before)
    {
      tell (lifted);
      wait_until (bench, shows_lifted, 0);
      wait_until (bench, has_samples, bench->samples + 2);
      tell (command);
      wait_until (bench, shows_value, 0);
      bench->kind = BL_CAPTURE_NOTHING;
      wait_until (bench, has_taken_or_stuck, (guint) before);
    }
}

static gboolean
shows_mode (Bench *bench, guint mode)
{
  return bench->last.mode == mode;
}

static void
set_mode (Bench *bench, BlMeterMode mode)
{
  g_assert_true (bl_meter_link_can_set_mode (bench->link, mode));
  bl_meter_link_set_mode (bench->link, mode);
  wait_until (bench, shows_mode, mode);
}

static void
test_ten_readings (Bench *bench, gconstpointer unused)
{
  static const char *const volts[] = { "4.980", "11.98", "-5.02", "3.301" }, *const ohms[] = { "470.2", "22.4", "4700" };
  static const char *const drops[] = { "0.520", "0.611", "1.812" };

  tell ("slow 0.004");
  tell ("value 0.000");
  bl_meter_link_open (bench->link, "scpi-dmm", address, NULL);
  wait_until (bench, has_samples, 1);
  expect (bench, BL_MEASURES_V_DC);
  for (guint i = 0; i < G_N_ELEMENTS (volts); i++)
    measure (bench, "value 0.000", volts[i]);
  set_mode (bench, BL_METER_OHM);
  expect (bench, BL_MEASURES_OHM);
  for (guint i = 0; i < G_N_ELEMENTS (ohms); i++)
    measure (bench, "over", ohms[i]);
  set_mode (bench, BL_METER_DIODE);
  expect (bench, BL_MEASURES_DIODE);
  for (guint i = 0; i < G_N_ELEMENTS (drops); i++)
    measure (bench, "over", drops[i]);
  g_assert_cmpstr (bench->taken->str, ==, "4.980 11.98 -5.02 3.301 470.2 22.4 4.700k 0.520 0.611 1.812 ");
  g_assert_cmpuint (bench->troubles, ==, 0);
  g_assert_cmpstr (bench->states->str, ==, "searching connected ");
  tell ("function VOLT");
}

/* --- Faults ----------------------------------------------------------------------------------- */

static void
connect_to_instrument (Bench *bench, guint silence)
{
  tell ("answer");
  bl_meter_link_set_times (bench->link, 10000, silence, 300);
  bl_meter_link_open (bench->link, "scpi-dmm", address, NULL);
  wait_until (bench, has_samples, 2);
}

/* data: what the instrument does. The link is lost in bounded time, says why, and comes back by itself. */
static void
test_fault (Bench *bench, gconstpointer data)
{
  gint64 start;

  connect_to_instrument (bench, 1000);
  start = g_get_monotonic_time ();
  tell (data);
  wait_until (bench, has_state, BL_METER_LOST);
  g_assert_cmpint (g_get_monotonic_time () - start, <, 6 * G_USEC_PER_SEC);
  g_test_message ("%s", bl_meter_link_get_words (bench->link));
  g_assert_cmpstr (bench->states->str, ==, "searching connected lost ");
  tell ("answer");
  wait_until (bench, has_state, BL_METER_CONNECTED);
}

static void
test_silent_from_the_start (Bench *bench, gconstpointer unused)
{
  gint64 start = g_get_monotonic_time ();

  tell ("silent");
  bl_meter_link_set_times (bench->link, 700, 0, 0);
  bl_meter_link_open (bench->link, "scpi-dmm", address, NULL);
  wait_until (bench, has_state, BL_METER_LOST);
  g_assert_cmpint (g_get_monotonic_time () - start, <, 5 * G_USEC_PER_SEC);
  g_assert_cmpstr (bench->states->str, ==, "searching lost ");
  tell ("answer");
}

/* The processes this one started, but for the instrument. */
static pid_t
helper (void)
{
  g_autofree char *path = g_strdup_printf ("/proc/self/task/%d/children", (int) getpid ()), *text = NULL;
  g_auto (GStrv) pids = NULL;

  g_assert_true (g_file_get_contents (path, &text, NULL, NULL));
  pids = g_strsplit (g_strchomp (text), " ", -1);
  for (guint i = 0; pids[i] != NULL; i++)
    if (g_strcmp0 (pids[i], g_subprocess_get_identifier (instrument)) != 0)
      return (pid_t) atoi (pids[i]);
  return 0;
}

/* A driver that crashes takes its own process with it and nothing else. */
static void
test_crash (Bench *bench, gconstpointer unused)
{
  pid_t pid;

  bl_meter_link_set_times (bench->link, 10000, 5000, 100);
  bl_meter_link_open (bench->link, "demo", NULL, NULL);
  wait_until (bench, has_samples, 2);
  pid = helper ();
  g_assert_cmpint (pid, >, 0);
  g_assert_cmpint (kill (pid, SIGKILL), ==, 0);
  wait_until (bench, has_state, BL_METER_LOST);
  g_assert_nonnull (strstr (bl_meter_link_get_words (bench->link), "signal 9"));
  wait_until (bench, has_state, BL_METER_CONNECTED);
}

/* Closing and opening in the middle of anything leaves nothing behind. */
static void
test_reopened (Bench *bench, gconstpointer unused)
{
  for (guint i = 0; i < 3; i++)
    {
      bl_meter_link_open (bench->link, "demo", NULL, NULL);
      bl_meter_link_open (bench->link, "scpi-dmm", address, NULL);
    }
  bl_meter_link_close (bench->link);
  g_assert_cmpint (bl_meter_link_get_state (bench->link), ==, BL_METER_CLOSED);
  bl_meter_link_open (bench->link, "demo", NULL, NULL);
  wait_until (bench, has_samples, 1);
}

int
main (int argc, char **argv)
{
  int status;

  g_test_init (&argc, &argv, NULL);
  start_instrument ();
#define ADD(path, data, function) g_test_add (path, Bench, data, set_up, function, tear_down)
  ADD ("/meter-link/drivers", NULL, test_drivers);
  ADD ("/meter-link/scan", NULL, test_scan);
  ADD ("/meter-link/scan-cancelled", NULL, test_scan_cancelled);
  ADD ("/meter-link/demo", NULL, test_demo);
  ADD ("/meter-link/no-driver", NULL, test_no_driver);
  ADD ("/meter-link/ten-readings", NULL, test_ten_readings);
  ADD ("/meter-link/silence", "silent", test_fault);
  ADD ("/meter-link/hang-up", "disconnect", test_fault);
  ADD ("/meter-link/nonsense", "garbage", test_fault);
  ADD ("/meter-link/silent-from-the-start", NULL, test_silent_from_the_start);
  ADD ("/meter-link/crash", NULL, test_crash);
  ADD ("/meter-link/reopened", NULL, test_reopened);
  status = g_test_run ();
  g_subprocess_force_exit (instrument);
  g_subprocess_wait (instrument, NULL, NULL);
  g_object_unref (instrument_lines);
  g_object_unref (instrument);
  g_free (address);
  return status;
}
