/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How long a diagnosis takes and how much memory it holds, against the size of the board. The boards
 * are generated: cascades of any size (bench-board.h), sections with several feeds each (bench-coupled.h), and
 * some sizes of boards that are documented densely (bench-styles.h), each with a limit of time; "bench-diagnosis
 * coupled" and "dense" (or "dense STYLE", by number) measure those alone, "joined FILE" an equipment document.
 * The wanted times are 16 ms after an entry and 60 ms for the ranking at 480 modes, 100 ms and 500 ms at 1,920. */
#include "config.h"

#include "bl-diagnosis.h"
#include "bl-document.h"
#include "bl-equipment.h"

#include "bench-board.h"
#include "bench-coupled.h"
#include "bench-styles.h"
#include "bl-simulate.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <time.h>
#undef G_DISABLE_ASSERT

enum
{
  TIMES = 5,
  LIMIT = 8,         /* seconds of processor time for a dense board */
  BOARDS = 2         /* of each style and size, of larger ones 1 */
};

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

/* --- densely documented boards --- */

typedef struct
{
  gint done, cancel;
} Watch;

static double
process_ms (void)
{
  struct timespec now;
  clock_gettime (CLOCK_PROCESS_CPUTIME_ID, &now);
  return (double) now.tv_sec * 1e3 + (double) now.tv_nsec * 1e-6;
}

/* Ends a diagnosis that has used up its time. */
static gpointer
watch_time (gpointer data)
{
  Watch *watch = data;
  double end = process_ms () + LIMIT * 1e3;
  while (!g_atomic_int_get (&watch->done))
    {
      if (process_ms () > end)
        g_atomic_int_set (&watch->cancel, 1);
      g_usleep (5000);
    }
  return NULL;
}

/* A fault in the middle of the board, and read of its readings. */
static GPtrArray *
simulated_entries (const BlBoard *board, GRand *rand, guint32 seed, guint read)
{
  g_autoptr (GError) error = NULL;
  const BlComponent *part = g_ptr_array_index (board->components, board->components->len / 2);
  const BlMode *mode = g_ptr_array_index (part->modes, 0);
  g_autofree char *fault = g_strdup_printf ("%s:%s", part->id, mode->mode);
  const char *faults[] = { fault, NULL };
  GPtrArray *entries = bl_simulate (board, faults, seed, "", &error);
  g_assert_no_error (error);
  while (entries->len > read)
    g_ptr_array_remove_index_fast (entries, (guint) g_rand_int_range (rand, 0, (gint32) entries->len));
  return entries;
}

/* Ends what is asked when its time is over. Returns: the milliseconds, or NAN; why then in error. */
static double
within_limit (BlEngine *engine, GPtrArray *entries, BlDiagnoseFlags flags, GError **error)
{
  Watch watch = { 0, 0 };
  GThread *thread = g_thread_new ("watch", watch_time, &watch);
  double begin = cpu_ms ();
  g_autoptr (BlDiagnosis) diagnosis = bl_engine_diagnose (engine, entries, flags, &watch.cancel, error);
  double ms = cpu_ms () - begin;
  g_atomic_int_set (&watch.done, 1);
  g_thread_join (thread);
  return diagnosis != NULL ? ms : NAN;
}

static int
compare_times (gconstpointer a, gconstpointer b)
{
  const double *x = a, *y = b;
  return *x < *y ? -1 : *x > *y;
}

static double
median (double *times, guint n)
{
  qsort (times, n, sizeof *times, compare_times);
  return times[n / 2];
}

/* One line: the first odds, whatever is compiled for them in it; then one reading after the other is taken, and
 * the medians are told of odds, why and fit after an entry and of the ranking after that. */
static void
measure_board (const char *name, const BlBoard *board, GRand *rand, guint modes, guint32 seed, guint n_read)
{
  enum { ENTRIES = 5 };
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) entries = simulated_entries (board, rand, seed, n_read);
  g_autoptr (GPtrArray) read = g_ptr_array_new ();
  g_autoptr (BlEngine) engine = bl_engine_new (board, &error);
  double entry[ENTRIES], next[ENTRIES];
  guint n = 0;
  for (guint i = 0; i < entries->len - ENTRIES; i++)
    g_ptr_array_add (read, g_ptr_array_index (entries, i));
  double first = within_limit (engine, read, BL_DIAGNOSE_ODDS, &error);
  for (; n < ENTRIES && error == NULL; n++)
    {
      g_ptr_array_add (read, g_ptr_array_index (entries, read->len));
      entry[n] = within_limit (engine, read, BL_DIAGNOSE_WHY | BL_DIAGNOSE_FIT, &error);
      next[n] = error != NULL ? NAN : within_limit (engine, read, BL_DIAGNOSE_NEXT, &error);
    }
  printf ("%6u  %-38s ", modes, name);
  if (error == NULL)
    printf ("%9.0f %12.1f %9.1f\n", first, median (entry, n), median (next, n));
  else if (g_error_matches (error, BL_CORE_ERROR, BL_CORE_ERROR_CANCELLED))
    printf ("not finished in %d s, after %u of %u entries\n", LIMIT, n, ENTRIES);
  else
    printf ("refused: %s\n", error->message);
  fflush (stdout);
}

static void
measure_entries (const char *name, const char *text, GRand *rand, guint modes, guint32 seed, guint n_read)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = bl_document_parse (text, -1, NULL, &error);
  g_assert_no_error (error);
  measure_board (name, board, rand, modes, seed, n_read);
}

static void
measure_styled (const char *name, Style style, guint modes, guint32 seed)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (seed);
  char *text = make_styled_board (rand, style, modes);
  measure_entries (name, text, rand, modes, seed, STYLED_READ);
  free (text);
}

/* Sections with up to three feeding sections each; 40 measurements whatever the size, or 5 of every section. */
static void
measure_coupled (guint sections, guint measures, guint32 seed)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (seed);
  g_autofree char *name = g_strdup_printf ("coupled sections, %u of %u read", measures * 3 / 4, measures);
  char *text = make_coupled_board (rand, sections, measures);
  measure_entries (name, text, rand, sections * COUPLED_STAGES * COUPLED_PARTS * 2, seed, measures * 3 / 4);
  free (text);
}

static void
print_head (const char *what)
{
  printf ("\n%s, processor ms: the first odds, then medians over five entries.\n"
          " modes  %-38s     first odds+why+fit   ranking\n", what, "");
}

static void
measure_all_coupled (void)
{
  print_head ("Coupled sections");
  for (guint32 seed = 1; seed <= BOARDS; seed++)
    for (guint sections = 8; sections <= 32; sections *= 2)
      {
        measure_coupled (sections, 40, seed);
        if (sections > 8)
          measure_coupled (sections, 5 * sections, seed);
      }
}

/* only: number of a style; -1: all. */
static void
measure_styles (int only)
{
  static const char *const names[] = { "crosswise provokes, local effects", "state-limited effects",
                                       "both, and shorts that pull down feeds" };
  print_head ("Densely documented boards");
  for (guint style = 0; style < G_N_ELEMENTS (names); style++)
    for (guint modes = 240; modes <= 1920 && (only < 0 || style == (guint) only); modes *= 2)
      for (guint32 seed = 1; seed <= (modes > 480 ? 1 : BOARDS); seed++)
        measure_styled (names[style], (Style) style, modes, seed);
}

/* --- joined boards --- */

static char *
load_beside (const char *path, gsize *length, gpointer data, GError **error)
{
  g_autofree char *folder = g_path_get_dirname (data), *file = g_build_filename (folder, path, NULL);
  char *text = NULL;
  return g_file_get_contents (file, &text, length, error) ? text : NULL;
}

/* An equipment document, with readings scattered over its states. */
static void
measure_joined (char *file)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *text = NULL;
  gsize length = 0;
  g_assert_true (g_file_get_contents (file, &text, &length, &error));
  g_autoptr (BlBoard) board = bl_equipment_parse (text, length, load_beside, file, NULL, &error);
  g_assert_no_error (error);
  guint modes = 0;
  for (guint i = 0; i < board->components->len; i++)
    modes += bl_len (((const BlComponent *) g_ptr_array_index (board->components, i))->modes);
  print_head ("Joined boards");
  for (guint n = 10; n <= 50; n += 10)
    for (guint32 seed = 1; seed <= BOARDS; seed++)
      {
        g_autoptr (GRand) rand = g_rand_new_with_seed (seed);
        g_autofree char *name = g_strdup_printf ("%u of %u read", n, board->measurements->len);
        measure_board (name, board, rand, modes, seed, n);
      }
}

int
main (int argc, char **argv)
{
  if (argc > 1 && strcmp (argv[1], "dense") == 0)
    {
      measure_styles (argc > 2 ? atoi (argv[2]) : -1);
      return 0;
    }
  if (argc > 2 && strcmp (argv[1], "joined") == 0)
    {
      measure_joined (argv[2]);
      return 0;
    }
  if (argc > 1 && strcmp (argv[1], "coupled") == 0)
    {
      measure_all_coupled ();
      return 0;
    }
  printf ("Best of %d, processor ms. Memory is the largest the process had so far.\n", TIMES);
  printf (" modes  cross   compiled     odds odds+why+fit   ranking   MB\n");
  for (guint cross = 0; cross <= 4; cross += 4)
    for (guint sections = 4; sections <= 64; sections *= 2)
      measure_size (sections, cross);
  measure_all_coupled ();
  measure_styles (-1);
  return 0;
}
