/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reasons and quarrels in words, on the example board; and that an open job gets them from a thread. */
#include "config.h"

#include "bl-bench-why.h"
#include "bl-why-words.h"

#include <math.h>
#include <string.h>

#include "bl-bundle.h"
#include "example.h"
#include "scratch.h"

static void
assert_text (char *text, const char *expected)
{
  g_assert_cmpstr (text, ==, expected);
  g_free (text);
}

static void
test_chance (void)
{
  assert_text (bl_why_chance (.025), "1 in 40");
  assert_text (bl_why_chance (.4), "1 in 2.5");
  assert_text (bl_why_chance (.2), "1 in 5");
  assert_text (bl_why_chance (1 / 1234.0), "1 in 1200");
  assert_text (bl_why_chance (.62), "62 %");
  assert_text (bl_why_chance (0), "not possible");
}

/* 10 decibans are ten times (I. J. Good's unit, from memory), 3.01 twice, 13.8 twenty-four times. */
static void
test_weight (void)
{
  g_autoptr (BlBoard) board = example_board ();
  BlReasons u2 = { .suspect = (char *) "U2", .stage = (char *) "rail5" };
  BlReasons rail = { .suspect = (char *) "rail5", .is_stage = TRUE, .stage = (char *) "rail5" };
  BlReasons elsewhere = { .suspect = NULL };

  assert_text (bl_why_times (board, &u2, 13.8), "24 times as likely if U2 has failed");
  assert_text (bl_why_times (board, &u2, -3.01), "2.0 times as likely if U2 has not failed");
  assert_text (bl_why_times (board, &u2, .5), "about as likely either way");
  assert_text (bl_why_times (board, &u2, 45), "more than 1000 times as likely if U2 has failed");
  assert_text (bl_why_times (board, &rail, 10), "10 times as likely if the fault is in 5 V rail");
  assert_text (bl_why_times (board, &elsewhere, -10), "10 times as likely if the fault is here");
  assert_text (bl_why_weight (13.8, "U2"), "speaks strongly for U2");
  assert_text (bl_why_weight (3, "U2"), "speaks for U2");
  assert_text (bl_why_weight (-.4, "U2"), "says little about U2");
  assert_text (bl_why_weight (-3, "U2"), "speaks against U2");
  assert_text (bl_why_weight (-12, "U2"), "speaks strongly against U2");
  assert_text (bl_why_weight (NAN, "U2"), "decides about U2");
}

static void
test_found (void)
{
  g_autoptr (BlBoard) board = example_board ();
  BlReason reading = { .kind = BL_REASON_READING, .subject = (char *) "M5", .round = 1, .said = (char *) "absent",
                       .decibans = 13.8, .stage_decibans = 12.14, .first_without = (char *) "F1", .first_odds = .61 };
  BlReason test = { .kind = BL_REASON_PART, .subject = (char *) "F1", .said = (char *) "good" };
  BlReason symptom = { .kind = BL_REASON_SYMPTOM, .subject = (char *) "E1", .said = (char *) "yes" };
  BlReasons u2 = { .suspect = (char *) "U2", .mode = (char *) "open", .stage = (char *) "rail5", .prior = .025,
                   .first = (char *) "U2" };
  BlReasons other = { .suspect = (char *) "rail5/other", .mode = (char *) "low", .stage = (char *) "rail5" };

  assert_text (bl_why_found (board, &reading), "TP5 5 V absent");
  assert_text (bl_why_found (board, &test), "F1 tested good");
  assert_text (bl_why_found (board, &symptom), "shown: Link fault shown");
  assert_text (bl_why_suspect (board, &u2), "U2 open");
  assert_text (bl_why_suspect (board, &other), "something else in 5 V rail");
  assert_text (bl_why_prior (&u2, FALSE), "before any reading: 1 in 40, by kind of part and handbook");
  assert_text (bl_why_decibans (board, &u2, &reading), "+13.8 decibans; 5 V rail +12.1");
  reading.decibans = -3.14;
  reading.stage_decibans = NAN;
  assert_text (bl_why_decibans (board, &u2, &reading), "−3.1 decibans");
  assert_text (bl_why_without (board, &reading), "If “TP5 5 V absent” is a mistake, F1 comes first (61 %).");
  g_assert_null (bl_why_without (board, &test));
  test.decibans = .3;
  u2.reasons = g_ptr_array_new ();
  g_ptr_array_add (u2.reasons, &reading);
  g_assert_null (bl_why_little (board, &u2));
  g_ptr_array_add (u2.reasons, &test);
  assert_text (bl_why_little (board, &u2), "says little about U2: F1 tested good");
  g_ptr_array_unref (u2.reasons);
  BlTurn turn = { .measurement = (char *) "M5", .class_name = (char *) "low", .chance = .12,
                  .first = (char *) "rail5/other", .first_odds = .7 };
  assert_text (bl_why_turn (board, &u2, &turn),
               "If TP5 5 V reads low (chance 12 %), U2 falls behind something else in 5 V rail (70 %).");
}

static BlReadingRef *
ref_to (const char *measurement)
{
  BlReadingRef *ref = g_new0 (BlReadingRef, 1);
  ref->measurement = g_strdup (measurement);
  return ref;
}

static void
test_quarrel (void)
{
  g_autoptr (BlBoard) board = example_board ();
  const BlMeasurement *m5 = bl_board_measurement (board, "M5"), *v1 = bl_board_measurement (board, "V1");
  g_autoptr (GPtrArray) set = g_ptr_array_new ();
  BlReadingRef *one = ref_to ("M5"), *two = ref_to ("M9");

  assert_text (bl_quarrel_check (board, m5, BL_QUARREL_POINT),
               "Probe: on TP5, 5 V at U2 pin 3, and through lacquer and flux down to metal?");
  assert_text (bl_quarrel_check (board, m5, BL_QUARREL_BLACK),
               "Black lead: on TP0, 0 V at U2 tab, and does it hold there?");
  assert_text (bl_quarrel_check (board, m5, BL_QUARREL_MODE), "Meter: set to V DC, leads in the sockets for it?");
  assert_text (bl_quarrel_check (board, m5, BL_QUARREL_STATE),
               "Board state: was it really “Running, partner board joined”? It ends by itself after 180 s.");
  /* Eyes have neither leads nor a battery. */
  g_assert_null (bl_quarrel_check (board, v1, BL_QUARREL_BLACK));
  g_assert_null (bl_quarrel_check (board, v1, BL_QUARREL_METER));
  g_ptr_array_add (set, one);
  assert_text (bl_quarrel_set (board, set), "TP5 5 V");
  g_ptr_array_add (set, two);
  assert_text (bl_quarrel_set (board, set), "TP5 5 V and L-N resistance, all of them");
  g_free (one->measurement);
  g_free (one);
  g_free (two->measurement);
  g_free (two);
}

static void
test_not_visible (void)
{
  g_autoptr (GPtrArray) names = g_ptr_array_new ();

  g_assert_null (bl_why_not_visible (NULL, 2));
  g_ptr_array_add (names, (gpointer) "D7:open");
  g_ptr_array_add (names, (gpointer) "C3:leaky");
  assert_text (bl_why_not_visible (names, 2),
               "Not visible with these measurements, and not cleared by good readings: D7 open, C3 leaky.");
  g_ptr_array_add (names, (gpointer) "R1:open");
  assert_text (bl_why_not_visible (names, 2),
               "Not visible with these measurements, and not cleared by good readings: D7 open, C3 leaky, and 1 more.");
}

/* --- an open job --- */

typedef struct
{
  BlReasons *reasons;
  gboolean complete;
  guint answers;
} Got;

static void
got (BlReasons *reasons, const char *trouble, gboolean complete, gpointer data)
{
  Got *self = data;

  g_assert_null (trouble);
  g_clear_pointer (&self->reasons, bl_reasons_free);
  self->reasons = reasons;
  self->complete = complete;
  self->answers++;
}

static void
test_job (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = example_board ();
  g_autofree char *folder = scratch_new ();
  g_autofree char *path = scratch_file (folder, "test.benchlore-library");
  BlLibrary *library = bl_library_open (path, TRUE, &error);
  g_assert_no_error (error);
  gint64 id = bl_library_add_board (library, board, FALSE, &error);
  gint64 job = bl_bench_start (library, id, NULL, NULL, &error);
  g_assert_no_error (error);
  g_autoptr (BlBench) bench = bl_bench_new (library, job, &error);
  Got answer = { NULL, FALSE, 0 }, none = { NULL, FALSE, 0 };

  g_assert_true (bl_bench_enter (bench, "TP5 0.02", &error));
  bl_bench_settle (bench);
  const BlOdd *leader = bl_at (bl_bench_get_diagnosis (bench)->components, 0);
  BlWhyAsk *dropped = bl_bench_ask_why (bench, leader->id, got, &none);
  bl_why_ask_free (dropped);
  BlWhyAsk *ask = bl_bench_ask_why (bench, leader->id, got, &answer);
  while (!answer.complete)
    g_main_context_iteration (NULL, TRUE);
  g_assert_cmpuint (answer.answers, ==, 2);
  g_assert_cmpuint (none.answers, ==, 0);
  g_assert_cmpuint (answer.reasons->reasons->len, ==, 1);
  g_assert_cmpfloat_with_epsilon (answer.reasons->probability, leader->probability, 1e-12);
  g_assert_nonnull (answer.reasons->turns);
  bl_why_ask_free (ask);
  bl_reasons_free (answer.reasons);
  g_clear_object (&bench);
  g_clear_pointer (&library, bl_library_close);
  scratch_free (g_steal_pointer (&folder));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/why-words/chance", test_chance);
  g_test_add_func ("/why-words/weight", test_weight);
  g_test_add_func ("/why-words/found", test_found);
  g_test_add_func ("/why-words/quarrel", test_quarrel);
  g_test_add_func ("/why-words/not-visible", test_not_visible);
  g_test_add_func ("/why-words/job", test_job);
  return g_test_run ();
}
