/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A repair is proved: what was read before is read again, in the same condition; tests from before the repair do not
 * count; a soak goes on while the program does not run; parts with what came out and why. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-bench-repair.h"
#include "bl-bundle.h"
#include "bl-library-steps.h"
#include "bl-proving.h"
#include "bl-work-clock.h"

#include "scratch.h"

#include <string.h>

#define MINUTE ((gint64) 60 * G_USEC_PER_SEC)

static gint64 clock_now;

static gint64
test_clock (void)
{
  return clock_now;
}

typedef struct
{
  char *folder, *path;
  BlLibrary *library;
  gint64 job;
  BlBench *bench;
  BlSafetyLimits limits;
} Fixture;

static void
open_job (Fixture *f)
{
  g_autoptr (GError) error = NULL;

  f->library = bl_library_open (f->path, TRUE, &error);
  g_assert_no_error (error);
  if (f->job == 0)
    {
      g_autofree char *document = g_test_build_filename (G_TEST_DIST, "fixtures", "example-board.json", NULL);
      g_autoptr (BlBoard) board = bl_board_load_file (document, NULL, &error);
      g_assert_no_error (error);
      gint64 id = bl_library_add_board (f->library, board, FALSE, &error);
      g_assert_no_error (error);
      f->job = bl_bench_start (f->library, id, NULL, NULL, &error);
      g_assert_no_error (error);
    }
  f->bench = bl_bench_new (f->library, f->job, &error);
  g_assert_no_error (error);
}

static void
close_job (Fixture *f)
{
  g_clear_object (&f->bench);
  g_clear_pointer (&f->library, bl_library_close);
}

static void
set_up (Fixture *f, gconstpointer unused)
{
  clock_now = G_GINT64_CONSTANT (1700000000) * G_USEC_PER_SEC;
  bl_library_set_clock (test_clock);
  f->folder = scratch_new ();
  f->path = scratch_file (f->folder, "test.benchlore-library");
  bl_safety_limits_usual (&f->limits);
  open_job (f);
}

static void
tear_down (Fixture *f, gconstpointer unused)
{
  close_job (f);
  g_free (f->path);
  scratch_free (f->folder);
  bl_library_set_clock (NULL);
}

static void
enter (Fixture *f, const char *text)
{
  g_autoptr (GError) error = NULL;

  clock_now += MINUTE;
  g_test_message ("typed: %s", text);
  bl_bench_enter (f->bench, text, &error);
  g_assert_no_error (error);
}

static void
begin_round (Fixture *f, const char *condition)
{
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_bench_begin_round (f->bench, condition, &error));
  g_assert_no_error (error);
}

/* --- before and after --- */

static BlPair *
pair_of (GPtrArray *pairs, const char *measurement)
{
  for (guint i = 0; i < pairs->len; i++)
    if (g_str_equal (bl_measurement_item_get_id (((BlPair *) bl_at (pairs, i))->item), measurement))
      return bl_at (pairs, i);
  return NULL;
}

static void
test_before_after (Fixture *f, gconstpointer unused)
{
  enter (f, "M9 OL");
  enter (f, "M5 0.1");
  {
    g_autoptr (GPtrArray) none = bl_proving_pairs (f->bench);
    g_assert_cmpuint (none->len, ==, 0);
  }
  enter (f, "U2 replaced");
  g_autoptr (GPtrArray) fresh = bl_proving_pairs (f->bench);
  g_assert_cmpuint (fresh->len, ==, 2);
  g_assert_cmpint (pair_of (fresh, "M5")->state, ==, BL_PAIR_UNREAD);
  g_assert_cmpstr (pair_of (fresh, "M5")->before->text, ==, "0.1");
  enter (f, "M5 4.99");
  enter (f, "M9 OL");
  g_autoptr (GPtrArray) pairs = bl_proving_pairs (f->bench);
  g_assert_cmpint (pair_of (pairs, "M5")->state, ==, BL_PAIR_IN_BAND);
  g_assert_cmpint (pair_of (pairs, "M9")->state, ==, BL_PAIR_DEVIATES);
  /* What was fine before the second repair is asked for again after it. */
  enter (f, "F1 replaced");
  g_autoptr (GPtrArray) again = bl_proving_pairs (f->bench);
  g_assert_cmpint (pair_of (again, "M5")->state, ==, BL_PAIR_UNREAD);
  /* ... and a struck repair begins nothing. */
  const BlRecord *repair = bl_proving_repair (f->bench);
  g_assert_cmpstr (repair->subject, ==, "F1");
  g_autoptr (GError) error = NULL;
  g_assert_true (bl_bench_strike (f->bench, repair->id, "slip", &error));
  g_assert_cmpstr (bl_proving_repair (f->bench)->subject, ==, "U2");
}

/* A fault that shows in the wet only: dry it reads well before and after, which proves nothing. Common practice, no
 * source. */
static void
test_condition (Fixture *f, gconstpointer unused)
{
  enter (f, "M5 5.0");
  begin_round (f, "wet");
  enter (f, "M5 3.9");
  begin_round (f, "");
  enter (f, "M5 5.0"); /* dry again */
  enter (f, "X3 replaced");
  enter (f, "M5 5.0");
  {
    g_autoptr (GPtrArray) pairs = bl_proving_pairs (f->bench);
    BlPair *pair = pair_of (pairs, "M5");
    g_assert_cmpstr (pair->before->text, ==, "3.9");
    g_assert_cmpstr (pair->before_condition, ==, "wet");
    g_assert_cmpint (pair->state, ==, BL_PAIR_OTHER_CONDITION);
  }
  begin_round (f, "wet");
  enter (f, "M5 5.0");
  begin_round (f, "");
  g_autoptr (GPtrArray) pairs = bl_proving_pairs (f->bench);
  g_assert_cmpint (pair_of (pairs, "M5")->state, ==, BL_PAIR_IN_BAND);
  g_assert_cmpstr (pair_of (pairs, "M5")->after_condition, ==, "wet");
}

/* The odds that something is still wrong follow the readings after the repair. */
static void
test_remaining (Fixture *f, gconstpointer unused)
{
  double before, replaced, proved;

  enter (f, "M5 0.1");
  bl_bench_settle (f->bench);
  before = bl_bench_get_diagnosis (f->bench)->remaining;
  enter (f, "U2 replaced");
  bl_bench_settle (f->bench);
  replaced = bl_bench_get_diagnosis (f->bench)->remaining;
  enter (f, "M5 5.0");
  enter (f, "V1 yes");
  bl_bench_settle (f->bench);
  proved = bl_bench_get_diagnosis (f->bench)->remaining;
  g_assert_cmpfloat (replaced, <, before);
  g_assert_cmpfloat (proved, <, replaced);
  g_assert_cmpfloat (proved, >, 0);
}

/* A fuse seldom dies alone: while the regulator that may have blown it is untested, that is said. */
static void
test_killers (Fixture *f, gconstpointer unused)
{
  enter (f, "M5 0.1");
  enter (f, "M9 OL");
  bl_bench_settle (f->bench);
  g_auto (GStrv) before = bl_proving_untested_killers (f->bench, "F1");
  g_assert_cmpuint (g_strv_length (before), ==, 1);
  g_assert_cmpstr (before[0], ==, "U2");
  g_auto (GStrv) none = bl_proving_untested_killers (f->bench, "U2");
  g_assert_cmpuint (g_strv_length (none), ==, 0);
  enter (f, "U2 good");
  bl_bench_settle (f->bench);
  g_auto (GStrv) after = bl_proving_untested_killers (f->bench, "F1");
  g_assert_cmpuint (g_strv_length (after), ==, 0);
}

/* --- parts --- */

static const BlRecord *
newest (Fixture *f)
{
  GPtrArray *records = bl_bench_get_records (f->bench);
  guint last = records->len - 1;

  /* What was done may have moved the job on, which is a line of its own. */
  while (((BlRecord *) bl_at (records, last))->kind == BL_RECORD_JOB)
    last--;
  return bl_at (records, last);
}

static void
replaced (Fixture *f, const char *typed, const char *old, const char *new, const char *why)
{
  enter (f, typed);
  g_assert_cmpint (newest (f)->kind, ==, BL_RECORD_REPLACED);
  g_assert_cmpstr (newest (f)->old, ==, old);
  g_assert_cmpstr (newest (f)->text, ==, new);
  g_assert_cmpstr (newest (f)->why, ==, why);
}

static void
test_parts (Fixture *f, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;

  replaced (f, "F1 replaced", NULL, NULL, NULL);
  replaced (f, "F1 replaced by 3.15 A slow", NULL, "3.15 A slow", NULL);
  replaced (f, "F1 replaced 5 A by 3.15 A because Blown black", "5 A", "3.15 A", "Blown black");
  replaced (f, "U2 replaced because cracked", NULL, NULL, "cracked");
  g_assert_true (bl_bench_replaced_with (f->bench, "U2", " 7805 ", "", NULL, &error));
  g_assert_cmpstr (newest (f)->old, ==, "7805");
  g_assert_null (newest (f)->text);
  /* All of it is found again. */
  for (const char *const *word = (const char *const[]){ "black", "slow", "cracked", "7805", NULL }; *word != NULL; word++)
    {
      g_autoptr (GHashTable) jobs = bl_library_find_in_logs (f->library, *word, &error);
      g_assert_no_error (error);
      g_assert_cmpuint (g_hash_table_size (jobs), ==, 1);
    }
}

/* --- checks --- */

static BlCheck *
check_of (GPtrArray *checks, const char *id)
{
  for (guint i = 0; i < checks->len; i++)
    if (g_str_equal (((BlCheck *) bl_at (checks, i))->id, id))
      return bl_at (checks, i);
  return NULL;
}

static void
answer (Fixture *f, const char *const *shop, const char *id, gboolean yes)
{
  g_autoptr (GPtrArray) checks = bl_proving_checks (f->bench, shop);
  g_autoptr (GError) error = NULL;

  clock_now += MINUTE;
  g_assert_true (bl_proving_answer (f->bench, check_of (checks, id), yes, &error));
  g_assert_no_error (error);
}

static void
test_checks (Fixture *f, gconstpointer unused)
{
  const char *const shop[] = { "Heats?", "Cools?", NULL };
  g_autoptr (GError) error = NULL;
  BlProvingCount count;

  bl_bench_symptom (f->bench, "E1", TRUE, &error);
  enter (f, "V1 no");
  enter (f, "U2 replaced");
  {
    g_autoptr (GPtrArray) checks = bl_proving_checks (f->bench, shop);
    g_assert_cmpuint (checks->len, ==, 5); /* E1, V1, two of the shop, looked at */
    g_assert_null (check_of (checks, "V1")->answer);
    /* It is no reading to be taken again as well. */
    g_autoptr (GPtrArray) pairs = bl_proving_pairs (f->bench);
    g_assert_null (pair_of (pairs, "V1"));
  }
  answer (f, shop, "E1", FALSE);
  answer (f, shop, "V1", TRUE);
  answer (f, shop, "Heats?", TRUE);
  answer (f, shop, "Cools?", FALSE);
  g_autoptr (GPtrArray) checks = bl_proving_checks (f->bench, shop);
  g_assert_true (check_of (checks, "E1")->passed);
  g_assert_true (check_of (checks, "V1")->passed);
  g_assert_true (check_of (checks, "Heats?")->passed);
  g_assert_nonnull (check_of (checks, "Cools?")->answer);
  g_assert_false (check_of (checks, "Cools?")->passed);
  g_assert_cmpstr (bl_verdict_label (check_of (checks, "Cools?")->answer->verdict), ==, "deviates");
  bl_proving_count (f->bench, &f->limits, shop, &count);
  g_assert_cmpuint (count.open_checks, ==, 1);
  g_assert_cmpuint (count.failed_checks, ==, 1);
  /* The next repair asks all of it again. */
  enter (f, "F1 replaced");
  bl_proving_count (f->bench, &f->limits, shop, &count);
  g_assert_cmpuint (count.open_checks, ==, count.checks);
}

/* --- soak --- */

static void
soak_is (Fixture *f, BlSoakState state)
{
  BlSoak soak;

  bl_proving_soak (f->bench, clock_now, &soak);
  g_assert_cmpint (soak.state, ==, state);
}

static void
test_soak (Fixture *f, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  BlSoak soak;

  enter (f, "U2 replaced");
  soak_is (f, BL_SOAK_NONE);
  g_assert_false (bl_proving_soak_end (f->bench, TRUE, NULL, clock_now, &error));
  g_clear_error (&error);
  g_assert_true (bl_proving_soak_begin (f->bench, 30, &error));
  bl_proving_soak (f->bench, clock_now, &soak);
  gint64 ends = soak.ends;
  clock_now += 10 * MINUTE;
  /* Closed and opened again: it went on. */
  close_job (f);
  open_job (f);
  bl_proving_soak (f->bench, clock_now, &soak);
  g_assert_cmpint (soak.state, ==, BL_SOAK_RUNNING);
  g_assert_cmpint (soak.ends, ==, ends);
  clock_now += 10 * MINUTE;
  g_assert_true (bl_proving_soak_end (f->bench, TRUE, NULL, clock_now, &error));
  soak_is (f, BL_SOAK_SHORT);
  g_assert_true (bl_proving_soak_begin (f->bench, 30, &error));
  clock_now += 31 * MINUTE;
  soak_is (f, BL_SOAK_OVER);
  g_assert_true (bl_proving_soak_end (f->bench, TRUE, "K1 switched 60 times", clock_now, &error));
  soak_is (f, BL_SOAK_PASSED);
  g_autofree char *rest = NULL;
  g_autofree char *word = bl_proving_record_words (newest (f), &rest);
  g_assert_nonnull (strstr (rest, "60 times"));
  g_assert_nonnull (strstr (rest, "31"));
  g_assert_true (bl_proving_soak_begin (f->bench, 120, &error));
  clock_now += 40 * MINUTE;
  g_assert_true (bl_proving_soak_end (f->bench, FALSE, "link lost", clock_now, &error));
  soak_is (f, BL_SOAK_FAILED);
  enter (f, "X3 replaced");
  soak_is (f, BL_SOAK_NONE);
}

/* --- electrical safety --- */

static gboolean
safety (Fixture *f, BlSafetyTest test, const char *text, const char *word)
{
  g_autoptr (GError) error = NULL;
  gboolean ok = bl_proving_safety (f->bench, &f->limits, BL_SAFETY_LIMITS_SOURCE, test, text, &error);

  g_assert_true (ok == (error == NULL));
  if (ok)
    g_assert_cmpstr (bl_verdict_label (bl_proving_safety_record (f->bench, test)->verdict), ==, word);
  return ok;
}

static void
test_safety (Fixture *f, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  BlProvingCount count;
  BlSafetyUnit unit;
  gboolean has_class;

  enter (f, "U2 replaced");
  g_assert_false (safety (f, BL_SAFETY_INSULATION, "5", NULL)); /* of which class? */
  bl_proving_count (f->bench, &f->limits, NULL, &count);
  g_assert_cmpuint (count.open_tests, ==, 1);
  g_assert_true (bl_proving_set_class (f->bench, BL_SAFETY_CLASS_1, &error));
  g_assert_true (bl_proving_set_unit (f->bench, "12,5 m; 2 kW", &error));
  g_assert_no_error (error);
  bl_proving_unit (f->bench, &unit, &has_class);
  g_assert_true (has_class);
  g_assert_cmpfloat (unit.cord_m, ==, 12.5);
  g_assert_cmpfloat (unit.heater_w, ==, 2000);
  g_assert_true (safety (f, BL_SAFETY_CONDUCTOR, "0.38", "in band")); /* 0.4 with that cord */
  g_assert_true (safety (f, BL_SAFETY_CONDUCTOR, "0.42", "high"));
  g_assert_true (safety (f, BL_SAFETY_INSULATION, "0.35", "in band")); /* Mohm; heating elements */
  g_assert_true (safety (f, BL_SAFETY_CONDUCTOR_CURRENT, "1.2", "in band")); /* mA */
  g_assert_false (safety (f, BL_SAFETY_CONTACT_CURRENT, "-0.2", NULL));
  g_assert_true (safety (f, BL_SAFETY_CONTACT_CURRENT, "0.6", "high"));
  g_assert_nonnull (strstr (newest (f)->expected, "VDE 0701-0702:2008"));
  bl_proving_count (f->bench, &f->limits, NULL, &count);
  g_assert_cmpuint (count.tests, ==, 4);
  g_assert_cmpuint (count.failed_tests, ==, 2);
  g_assert_cmpuint (count.open_tests, ==, 0);
  /* A limit that the shop changes leaves what was judged as it was. */
  f->limits.contact_a = 1e-3;
  bl_proving_count (f->bench, &f->limits, NULL, &count);
  g_assert_cmpuint (count.failed_tests, ==, 2);
  g_assert_true (bl_proving_set_class (f->bench, BL_SAFETY_CLASS_3, &error));
  bl_proving_count (f->bench, &f->limits, NULL, &count);
  g_assert_cmpuint (count.tests, ==, 1);
  g_assert_false (bl_proving_set_unit (f->bench, "5 km", &error));
}

/* --- state, time, photos --- */

static void
test_state (Fixture *f, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_proving_begin (f->bench, &error));
  g_assert_cmpint (bl_bench_get_job (f->bench)->state, ==, BL_JOB_ON_THE_BENCH);
  enter (f, "U2 replaced");
  g_assert_true (bl_proving_begin (f->bench, &error));
  g_assert_cmpint (bl_bench_get_job (f->bench)->state, ==, BL_JOB_PROVING);
  GPtrArray *records = bl_bench_get_records (f->bench);
  g_assert_cmpstr (((BlRecord *) bl_at (records, records->len - 1))->text, ==, "proving");
  g_assert_true (bl_bench_undo (f->bench, &error));
  g_assert_no_error (error);
  g_assert_cmpint (bl_bench_get_job (f->bench)->state, ==, BL_JOB_ON_THE_BENCH);
}

static void
time_typed (Fixture *f, const char *text, double minutes, const char *what)
{
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_bench_enter_time (f->bench, text, &error));
  g_assert_no_error (error);
  g_assert_cmpfloat (g_ascii_strtod (newest (f)->text, NULL), ==, minutes);
  g_assert_cmpstr (newest (f)->subject, ==, what);
}

static void
test_time (Fixture *f, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *words = NULL;

  time_typed (f, "25", 25, NULL);
  time_typed (f, "10 min cleaning the board", 10, "cleaning the board");
  time_typed (f, "1 h 30", 90, NULL);
  time_typed (f, "1,5h soldering", 90, "soldering");
  g_assert_false (bl_bench_enter_time (f->bench, "soldering", &error));
  g_clear_error (&error);
  g_assert_false (bl_bench_enter_time (f->bench, "2000", &error));
  g_clear_error (&error);
  g_assert_cmpfloat (bl_bench_time_spent (f->bench), ==, 215);
  g_assert_true (bl_bench_strike (f->bench, newest (f)->id, NULL, &error));
  g_assert_cmpfloat (bl_bench_time_spent (f->bench), ==, 125);
  for (guint i = 0; i < 2; i++)
    {
      /* What the time was for is found again; that it was counted is not. */
      g_autoptr (GHashTable) jobs = bl_library_find_in_logs (f->library, i == 0 ? "cleaning" : "counted", &error);
      g_assert_no_error (error);
      g_assert_cmpuint (g_hash_table_size (jobs), ==, 1 - i);
    }
  enter (f, "#note");
  /* What was counted is not what undo takes back. */
  g_assert_true (bl_bench_count_time (f->bench, 7, &error));
  g_assert_cmpfloat (bl_bench_time_spent (f->bench), ==, 132);
  g_assert_true (bl_bench_undo (f->bench, &error));
  g_assert_cmpfloat (bl_bench_time_spent (f->bench), ==, 132);
  words = bl_minutes_words (132);
  g_assert_cmpstr (words, ==, "2 h 12 min");
}

static void
test_photo (Fixture *f, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) image = g_bytes_new_static ("\xff\xd8\xff", 3);
  gint64 id = bl_bench_add_photo (f->bench, "burnt track", "image/jpeg", image, &error);
  g_autofree char *subject = g_strdup_printf ("job:%" G_GINT64_FORMAT, id);

  g_assert_no_error (error);
  g_assert_cmpint (newest (f)->kind, ==, BL_RECORD_PHOTO);
  g_assert_cmpstr (newest (f)->subject, ==, subject);
  g_autoptr (GPtrArray) photos = bl_library_job_photos (f->library, f->job, &error);
  g_assert_cmpuint (photos->len, ==, 1);
  g_autoptr (GHashTable) jobs = bl_library_find_in_logs (f->library, "track", &error);
  g_assert_cmpuint (g_hash_table_size (jobs), ==, 1);
}

/* Gaps up to so long count, longer ones do not at all. */
static void
test_clock_counts (void)
{
  BlWorkClock clock = { 0 };
  const gint64 idle = 5 * MINUTE;
  gint64 now = 1000 * MINUTE;

  g_assert_false (bl_work_clock_touch (&clock, now, idle));
  g_assert_false (bl_work_clock_touch (&clock, now += 4 * MINUTE, idle));
  g_assert_false (bl_work_clock_touch (&clock, now += 5 * MINUTE, idle));
  g_assert_cmpint (bl_work_clock_counted (&clock), ==, 9 * MINUTE);
  g_assert_true (bl_work_clock_touch (&clock, now += 45 * MINUTE, idle)); /* lunch */
  g_assert_cmpint (bl_work_clock_counted (&clock), ==, 9 * MINUTE);
  g_assert_false (bl_work_clock_touch (&clock, now += MINUTE / 2, idle));
  g_assert_cmpuint (bl_work_clock_take (&clock), ==, 9);
  g_assert_cmpint (bl_work_clock_counted (&clock), ==, MINUTE / 2); /* carried on */
  g_assert_false (bl_work_clock_touch (&clock, now -= 10 * MINUTE, idle)); /* set back */
  g_assert_cmpint (bl_work_clock_counted (&clock), ==, MINUTE / 2);
  bl_work_clock_pause (&clock, TRUE);
  bl_work_clock_touch (&clock, now += MINUTE, idle);
  bl_work_clock_touch (&clock, now += MINUTE, idle);
  bl_work_clock_pause (&clock, FALSE);
  bl_work_clock_touch (&clock, now += MINUTE, idle);
  g_assert_cmpint (bl_work_clock_counted (&clock), ==, MINUTE / 2);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define ADD(name, function) g_test_add ("/proving/" name, Fixture, NULL, set_up, function, tear_down)
  ADD ("before-after", test_before_after);
  ADD ("condition", test_condition);
  ADD ("remaining", test_remaining);
  ADD ("killers", test_killers);
  ADD ("parts", test_parts);
  ADD ("checks", test_checks);
  ADD ("soak", test_soak);
  ADD ("safety", test_safety);
  ADD ("state", test_state);
  ADD ("time", test_time);
  ADD ("photo", test_photo);
  g_test_add_func ("/proving/clock", test_clock_counts);
  return g_test_run ();
}
