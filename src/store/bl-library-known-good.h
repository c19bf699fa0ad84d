/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-library.h"

G_BEGIN_DECLS

/* Known-good boards: jobs whose board was healthy, so that what was read in them says what a healthy board
 * reads. One job is one board. All of it is the shop's own: no bundle carries it. */

typedef enum
{
  BL_KNOWN_GOOD_NO,           /* not marked */
  BL_KNOWN_GOOD_YES,          /* marked; counts as long as no fault was found in the job */
  BL_KNOWN_GOOD_DESPITE_FAULT /* counts although a part was replaced or a cause confirmed: good since then */
} BlKnownGoodMark;

/* Marks a job, or takes its mark back. BL_STORE_ERROR_NOT_FOUND when there is no such job. */
gboolean bl_library_mark_known_good (BlLibrary *library, gint64 job, BlKnownGoodMark mark, GError **error);
/* How a job is marked, and whether a fault was found in it: a part replaced, a cause confirmed, or a cause on
 * the job's head. fault may be NULL. */
gboolean bl_library_get_known_good (BlLibrary *library,
                                    gint64 job,
                                    BlKnownGoodMark *mark,
                                    gboolean *fault,
                                    GError **error);
/* TRUE when a board marked so counts as a known-good one. */
gboolean bl_known_good_counts (BlKnownGoodMark mark, gboolean fault);
/* The marked jobs: id -> BlKnownGoodMark, as pointers; a job that does not count because of a fault is not
 * in it. (transfer full) */
GHashTable *bl_library_known_good_jobs (BlLibrary *library, GError **error);

/* A reading of a known-good board. */
typedef struct
{
  gint64 record, job, time; /* time: UTC, microseconds */
  int number;               /* of the job */
  char *serial;             /* of the board or unit; may be NULL */
  char *measurement;
  char *text, *meter; /* as typed; accuracy of the meter, may be NULL */
  gboolean struck;    /* shown, and does not count */
} BlGoodReading;
void bl_good_reading_free (BlGoodReading *reading);

/* Of each job marked known-good of this board that counts, the last reading of the measurement (NULL: of every
 * one) that is not struck; where all were struck, the last of those. Readings of a round with a condition (wet,
 * hot ...) and those told by others are left out. By measurement, then job number.
 * (transfer full) GPtrArray of BlGoodReading */
GPtrArray *bl_library_known_good (BlLibrary *library, gint64 board, const char *measurement, GError **error);
/* How many known-good boards of each board there are: board id (gint64 *) -> number as a pointer, none where
 * there is none. (transfer full) */
GHashTable *bl_library_known_good_counts (BlLibrary *library, GError **error);

/* A board's reading of one measurement that the technician agreed to leave out as an outlier. */
gboolean bl_library_leave_out (BlLibrary *library,
                               gint64 board,
                               const char *measurement,
                               gint64 job,
                               gboolean out,
                               GError **error);
/* "MEASUREMENT\tJOB" of each, as a set. (transfer full) */
GHashTable *bl_library_left_out (BlLibrary *library, gint64 board, GError **error);

/* What the technician said about a proposed band, and the boards it stood on. */
typedef struct
{
  char *measurement;
  gboolean accepted; /* FALSE: refused */
  double low, high;  /* as proposed; NAN: no limit on this side */
  char *jobs;        /* ids of the jobs it stood on, rising: "3,7,12" */
  gint64 time;
} BlBandAnswer;
void bl_band_answer_free (BlBandAnswer *answer);
/* Keeps an answer in place of the one before; its time is set to now where 0. */
gboolean bl_library_answer_band (BlLibrary *library, gint64 board, const BlBandAnswer *answer, GError **error);
/* measurement -> BlBandAnswer. (transfer full) */
GHashTable *bl_library_band_answers (BlLibrary *library, gint64 board, GError **error);

G_END_DECLS
