/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-library.h"

#include "sample.h"

#include <sys/resource.h>

/* A library after years, for benchmarks: 5,000 jobs over ten years with 200,000 readings, each with a band and verdict as
 * the bench writes them; four in five with a cause found after some of them, every twentieth a return. */
#define JOBS 5000
#define READINGS 40
#define BIG_DAY ((gint64) 24 * 3600 * G_USEC_PER_SEC)

static const char *const big_words[] = { "relay", "resoldered", "corroded terminal", "customer waits", "water below C12",
                                         "replaced", "cracked joint", "ants", "burnt", "nothing found" };

static inline BlRecord *
big_reading (const BlBoard *board, guint i)
{
  const BlMeasurement *measurement = bl_at (board->measurements, 0);
  BlRecord *record = bl_record_new (BL_RECORD_READING, "M5", i % 7 == 0 ? "- coated" : "4.98");
  BlReading reading;

  record->band = bl_band_resolve (measurement, NAN, 0, NULL);
  record->state = g_strdup ("run");
  record->expected = g_strdup ("4.8 – 5.2");
  if (record->band != NULL && bl_reading_parse (record->text, measurement->measures, &reading, NULL))
    record->verdict = bl_judge (record->band, &reading, NULL, NAN, 0);
  return record;
}

/* closed: all of them, or all but the last twenty. */
static inline void
big_add_job (BlLibrary *library, const BlBoard *board, gint64 id_of_board, guint number, gboolean all_closed, gint64 *first)
{
  BlRecord *records[READINGS + 3];
  guint n = 0;
  g_autoptr (GError) error = NULL;
  g_autoptr (BlJob) job = bl_job_new ();
  const char *part = number % 3 == 0 ? "U2" : "C12";
  gint64 created = g_get_real_time () - (gint64) (JOBS - number) * 3650 * BIG_DAY / JOBS;

  job->board = id_of_board;
  job->created = created;
  job->customer = g_strdup_printf ("customer %u", number % 700);
  job->complaint = g_strdup (big_words[number % G_N_ELEMENTS (big_words)]);
  if (all_closed || number + 20 < JOBS)
    bl_job_set_state (job, BL_JOB_HANDED_BACK);
  if (job->closed)
    job->handed_back = created + BIG_DAY / 2;
  if (number % 20 == 19)
    job->return_of = *first;
  gint64 id = bl_library_add_job (library, job, &error);
  g_assert_no_error (error);
  *first = id;
  for (guint i = 0; i < READINGS; i++)
    records[n++] = big_reading (board, i);
  records[n++] = bl_record_new (BL_RECORD_NOTE, NULL, big_words[(number * 7) % G_N_ELEMENTS (big_words)]);
  records[n++] = bl_record_new (BL_RECORD_REPLACED, part, "new part");
  if (number % 5 != 0)
    records[n++] = bl_record_new (BL_RECORD_CAUSE, part, NULL);
  for (guint i = 0; i < n; i++)
    {
      records[i]->job = id;
      records[i]->time = created + (gint64) i * 60 * G_USEC_PER_SEC;
    }
  bl_library_append_all (library, records, n, &error);
  g_assert_no_error (error);
  for (guint i = 0; i < n; i++)
    bl_record_free (records[i]);
}

/* Processor time of this program, ms: what a machine that does nothing else would need. */
static inline double
cpu_ms (void)
{
  struct rusage usage;

  getrusage (RUSAGE_SELF, &usage);
  return (double) (usage.ru_utime.tv_sec + usage.ru_stime.tv_sec) * 1e3
         + (double) (usage.ru_utime.tv_usec + usage.ru_stime.tv_usec) / 1e3;
}

static inline double
since_ms (gint64 began)
{
  return (double) (g_get_monotonic_time () - began) / 1e3;
}

static inline void
big_make (const char *path, gboolean all_closed)
{
  g_autoptr (BlBoard) board = sample_board ();
  g_autoptr (BlLibrary) library = bl_library_open (path, TRUE, NULL);
  gint64 id = bl_library_add_board (library, board, FALSE, NULL), began = g_get_monotonic_time (), first = 0;

  g_assert_true (bl_library_begin (library, "making a big library", NULL));
  for (guint i = 0; i < JOBS; i++)
    big_add_job (library, board, id, i, all_closed, &first);
  g_assert_true (bl_library_end (library, TRUE, "making a big library", NULL));
  g_print ("%d jobs with %d readings written in %.1f s\n", JOBS, JOBS * READINGS, since_ms (began) / 1e3);
}
