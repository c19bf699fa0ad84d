/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A library after years: 5,000 jobs with 200,000 readings. How long it takes to open, to list the jobs, to read one job's
 * log, to find jobs by words of their logs and to count the shop's numbers. Wanted: a search below 100 ms. With a path as
 * argument the library is made there and kept, all its jobs ended: the start of the program is measured with it. */
#include "config.h"

#include "bl-library-numbers.h"
#include "bl-library-states.h"

#include "big-library.h"
#include "scratch.h"

static void
count (BlLibrary *library, gint64 board, gint64 from, const char *words)
{
  BlNumbersAsk ask = BL_NUMBERS_ASK_INIT;
  gint64 began = g_get_monotonic_time ();
  double cpu = cpu_ms ();

  ask.board = board;
  ask.from = from;
  g_autoptr (BlNumbers) numbers = bl_library_numbers (library, &ask, NULL);
  g_print ("numbers, %s: %u ended, %u with a cause, in %.1f ms (processor %.1f ms)\n", words,
           numbers->ended, numbers->with_cause, since_ms (began), cpu_ms () - cpu);
}

static void
look (const char *path)
{
  gint64 began = g_get_monotonic_time ();
  g_autoptr (BlLibrary) library = bl_library_open (path, FALSE, NULL);
  double opened = since_ms (began);
  g_autoptr (GPtrArray) jobs = bl_library_jobs (library, NULL);

  g_print ("opened in %.1f ms, jobs listed in %.1f ms\n", opened, since_ms (began) - opened);
  g_assert_cmpuint (jobs->len, ==, JOBS);
  began = g_get_monotonic_time ();
  g_autoptr (GPtrArray) records = bl_library_records (library, ((BlJob *) bl_at (jobs, JOBS / 2))->id, NULL);
  g_print ("log of one job, %u lines, in %.2f ms\n", records->len, since_ms (began));
  for (guint i = 0; i < G_N_ELEMENTS (big_words); i++)
    {
      double cpu = cpu_ms ();
      began = g_get_monotonic_time ();
      g_autoptr (GHashTable) found = bl_library_find_in_logs (library, big_words[i], NULL);
      g_print ("\"%s\": %u jobs in %.1f ms (processor %.1f ms)\n", big_words[i], g_hash_table_size (found), since_ms (began),
               cpu_ms () - cpu);
    }
  began = g_get_monotonic_time ();
  g_autoptr (GHashTable) all = bl_library_find_in_logs (library, "n", NULL);
  g_print ("one letter: %u jobs in %.1f ms\n", g_hash_table_size (all), since_ms (began));
  double cpu = cpu_ms ();
  began = g_get_monotonic_time ();
  g_autoptr (GHashTable) since = bl_library_states_since (library, NULL);
  g_print ("states of %u jobs since when, in %.1f ms (processor %.1f ms)\n", g_hash_table_size (since), since_ms (began),
           cpu_ms () - cpu);
  count (library, 0, 0, "all");
  count (library, ((BlJob *) bl_at (jobs, 0))->board, 0, "one edition");
  count (library, 0, g_get_real_time () - 365 * BIG_DAY, "a year");
}

int
main (int argc, char **argv)
{
  if (argc > 1)
    {
      big_make (argv[1], TRUE);
      return 0;
    }
  char *folder = scratch_new ();
  g_autofree char *path = scratch_file (folder, "bench.benchlore-library");

  big_make (path, FALSE);
  look (path);
  scratch_free (folder);
  return 0;
}
