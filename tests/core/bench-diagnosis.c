/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How long a diagnosis takes and how much memory it holds, against the size of the board. The boards
 * are generated (bench-board.h). The wanted times, 16 ms after an entry and 60 ms for the ranking, are for 480
 * modes. */
#include "config.h"

#include "bl-diagnosis.h"
#include "bl-document.h"

#include "bench-board.h"

#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <time.h>
#undef G_DISABLE_ASSERT

enum { TIMES = 5 };

/* Processor time, so that other work on the machine matters little. */
static double
cpu_ms (void)
{
  struct timespec now;
  clock_gettime (CLOCK_THREAD_CPUTIME_ID, &now);
  return (double) now.tv_sec * 1e3 + (double) now.tv_nsec * 1e-6;
}

static double
run (BlEngine *engine, GPtrArray *entries, BlDiagnoseFlags flags)
{
  g_autoptr (GError) error = NULL;
  double begin = cpu_ms ();
  g_autoptr (BlDiagnosis) diagnosis = bl_engine_diagnose (engine, entries, flags, NULL, &error);
  double ms = cpu_ms () - begin;
  g_assert_no_error (error);
  return ms;
}

static double
best_of (BlEngine *engine, GPtrArray *entries, BlDiagnoseFlags flags)
{
  double best = G_MAXDOUBLE;
  for (guint i = 0; i < TIMES; i++)
    best = MIN (best, run (engine, entries, flags));
  return best;
}

static void
measure_size (guint sections, guint cross)
{
  Shape shape = { g_rand_new_with_seed (7), sections, cross };
  g_autoptr (GError) error = NULL;
  char *text = make_board (&shape);
  g_autofree char *table = make_table (&shape);
  g_autoptr (BlBoard) board = bl_document_parse (text, -1, NULL, &error);
  g_assert_no_error (error);
  g_autoptr (GPtrArray) entries = bl_evidence_parse_csv (board, table, -1, &error);
  g_assert_no_error (error);
  g_autoptr (BlEngine) engine = bl_engine_new (board, &error);
  double first = run (engine, entries, BL_DIAGNOSE_ODDS);
  double odds = best_of (engine, entries, BL_DIAGNOSE_ODDS);
  double entry = best_of (engine, entries, BL_DIAGNOSE_WHY | BL_DIAGNOSE_FIT);
  double next = best_of (engine, entries, BL_DIAGNOSE_NEXT) - odds;
  struct rusage usage;
  getrusage (RUSAGE_SELF, &usage);
  printf ("%6u %6u  %9.1f %8.2f %12.2f %9.1f %8.0f\n", sections * STAGES * PARTS * 2, cross, first, odds,
          entry, next, (double) usage.ru_maxrss / 1024);
  fflush (stdout);
  free (text);
  g_rand_free (shape.rand);
}

int
main (int argc, char **argv)
{
  printf ("Best of %d, processor ms. Memory is the largest the process had so far.\n", TIMES);
  printf (" modes  cross   compiled     odds odds+why+fit   ranking   MB\n");
  for (guint cross = 0; cross <= 4; cross += 4)
    for (guint sections = 4; sections <= 64; sections *= 2)
      measure_size (sections, cross);
  return 0;
}
