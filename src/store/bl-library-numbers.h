/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-library.h"

G_BEGIN_DECLS

/* The shop's own figures: what was taken in and handed back, what came back, what failed, how soon it was found, which
 * parts went. Everything is a count of jobs unless it says otherwise; whoever shows a share shows the counts with it.
 *
 * "Ended" is handed back, returned later or not economical; "handed back" leaves the last out. Results are of the jobs
 * that ended in the period, parts those replaced in it, the jobs not yet ended are all there are now. Struck lines count
 * nowhere, and the jobs of known-good boards that were only read are none. */

/* Jobs below which no share is told and no chart drawn: own choice, common practice, no source. */
#define BL_NUMBERS_FEW 20

/* A pause between two lines of a log that counts as work, at most; longer ones are breaks or the night. Own choice,
 * common practice, no source. */
#define BL_NUMBERS_PAUSE (30 * 60 * G_TIME_SPAN_SECOND)

typedef struct
{
  gint64 board;    /* id of an edition; 0: all */
  gint64 from, to; /* the period, UTC microseconds: from inclusive, to exclusive; 0: the beginning, now */
  double months;   /* for how long parts are stocked, months */
  double enough;   /* with which chance they are to be enough, 0 to 1 exclusive */
} BlNumbersAsk;
/* All editions and all times; parts for three months, enough in 90 of 100. */
#define BL_NUMBERS_ASK_INIT { 0, 0, 0, 3, 0.9 }

/* Some counted things of one part. */
typedef struct
{
  gint64 board; /* that it is on, also where the job was on an equipment; 0: between boards */
  char *board_name, *component, *stage, *value; /* stage: its title; it and value may be NULL */
  guint n;
  double expected; /* parts: used in the months asked for, on average; NAN: too little is known */
  guint stock;     /* parts: enough with the chance asked for; G_MAXUINT: too little is known */
} BlNumbersPart;

typedef struct
{
  int year, month; /* local; month 1 to 12 */
  guint received, ended, came_back; /* came_back: received as the return of another job */
} BlNumbersMonth;

/* Of some jobs a figure is known. */
typedef struct
{
  guint n;
  double mean, median; /* NAN where n is 0 */
} BlNumbersSpread;

enum { BL_NUMBERS_N_SPANS = 3 };
/* 30, 90 and 180 days. */
extern const int bl_numbers_spans[BL_NUMBERS_N_SPANS];

/* Of all editions, a job that is part of another is none of its own: its causes, parts and time are the other one's. */
typedef struct
{
  BlNumbersAsk ask;
  guint jobs; /* that there are, ended or not */
  guint received; /* in the period */
  guint states[BL_N_JOB_STATES]; /* of the jobs there are, as they stand now */
  guint ended, not_economical, handed_back;
  guint with_cause;     /* ended with a confirmed cause */
  guint no_fault_found; /* handed back with no confirmed cause and no part replaced */
  guint repairs;        /* handed back with a cause confirmed and a part replaced ... */
  guint first_fix_of;   /* ... 90 days ago or longer, or back already */
  guint first_fix;      /* of those: no part was replaced in vain, and it did not come back within 90 days */
  guint out[BL_NUMBERS_N_SPANS];  /* handed back so many days ago or longer */
  guint back[BL_NUMBERS_N_SPANS]; /* of those: came back within so many days */
  guint returns; /* of the jobs handed back, so far ... */
  guint returns_same, returns_other, returns_no_fault; /* ... by the same part, another one, no fault found */
  BlNumbersSpread readings; /* taken until a cause was found */
  BlNumbersSpread minutes;  /* from the first reading until then, without pauses beyond BL_NUMBERS_PAUSE */
  BlNumbersSpread spent;    /* minutes that the log says were spent, whole jobs */
  GPtrArray *causes; /* BlNumbersPart: jobs ended with this part as a confirmed cause; most first */
  GPtrArray *parts;  /* BlNumbersPart: how many were replaced; most first */
  GArray *months;    /* BlNumbersMonth: every month of the period that has jobs before or in it */
  double months_known; /* length of the period as far as there were jobs, months of 30.44 days */
} BlNumbers;

/* (transfer full); NULL with error. */
BlNumbers *bl_library_numbers (BlLibrary *library, const BlNumbersAsk *ask, GError **error);
void bl_numbers_free (BlNumbers *numbers);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlNumbers, bl_numbers_free)

/* Editions that have jobs, id and name, most jobs first. (transfer full) GPtrArray of
 * BlNumbersPart, n: jobs that are repairs. */
GPtrArray *bl_library_numbers_editions (BlLibrary *library, GError **error);

void bl_numbers_part_free (BlNumbersPart *part);

G_END_DECLS
