/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A library after years: 5,000 jobs with 200,000 readings. How long it takes to open, to list the jobs, to read one job's
 * log and to find jobs by words of their logs. Wanted: start below 2 s, a search below 100 ms. */
#include "config.h"

#include "bl-library.h"

#include "sample.h"
#include "scratch.h"

#define JOBS 5000
#define READINGS 40

static const char *const words[] = { "relay", "resoldered", "corroded terminal", "customer waits", "water below C12",
                                     "replaced", "cracked joint", "ants", "burnt", "nothing found" };

static void
add_job (BlLibrary *library, gint64 board, guint number)
{
  BlRecord *records[READINGS + 2];
  g_autoptr (GError) error = NULL;
  g_autoptr (BlJob) job = bl_job_new ();

  job->board = board;
  job->customer = g_strdup_printf ("customer %u", number % 700);
  job->complaint = g_strdup (words[number % G_N_ELEMENTS (words)]);
  job->closed = number + 20 < JOBS;
  gint64 id = bl_library_add_job (library, job, &error);
  g_assert_no_error (error);
  for (guint i = 0; i < READINGS; i++)
    records[i] = bl_record_new (BL_RECORD_READING, "M5", "4.98");
  records[READINGS] = bl_record_new (BL_RECORD_NOTE, NULL, words[(number * 7) % G_N_ELEMENTS (words)]);
  records[READINGS + 1] = bl_record_new (BL_RECORD_REPLACED, number % 3 == 0 ? "K1" : "C12", "new part");
  for (guint i = 0; i < G_N_ELEMENTS (records); i++)
    records[i]->job = id;
  bl_library_append_all (library, records, G_N_ELEMENTS (records), &error);
  g_assert_no_error (error);
  for (guint i = 0; i < G_N_ELEMENTS (records); i++)
    bl_record_free (records[i]);
}

static double
since_ms (gint64 began)
{
  return (double) (g_get_monotonic_time () - began) / 1e3;
}

static void
make (const char *path)
{
  g_autoptr (BlBoard) board = sample_board ();
  g_autoptr (BlLibrary) library = bl_library_open (path, TRUE, NULL);
  gint64 id = bl_library_add_board (library, board, FALSE, NULL), began = g_get_monotonic_time ();

  for (guint i = 0; i < JOBS; i++)
    add_job (library, id, i);
  g_print ("%d jobs with %d readings written in %.1f s\n", JOBS, JOBS * READINGS, since_ms (began) / 1e3);
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
  for (guint i = 0; i < G_N_ELEMENTS (words); i++)
    {
      began = g_get_monotonic_time ();
      g_autoptr (GHashTable) found = bl_library_find_in_logs (library, words[i], NULL);
      g_print ("\"%s\": %u jobs in %.1f ms\n", words[i], g_hash_table_size (found), since_ms (began));
    }
  began = g_get_monotonic_time ();
  g_autoptr (GHashTable) all = bl_library_find_in_logs (library, "n", NULL);
  g_print ("one letter: %u jobs in %.1f ms\n", g_hash_table_size (all), since_ms (began));
}

int
main (void)
{
  char *folder = scratch_new ();
  g_autofree char *path = scratch_file (folder, "bench.benchlore-library");

  make (path);
  look (path);
  scratch_free (folder);
  return 0;
}
