/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-library-private.h"
#include "bl-numbers-private.h"

G_BEGIN_DECLS

/* While jobs are counted: between bl-library-numbers.c, which reads them and counts, and bl-numbers-causes.c, which says
 * what became of one. */

/* What the log of a job says about one part. */
typedef struct
{
  gint64 board;    /* that it is on; 0: on none, of an equipment */
  char *component; /* as it is called there */
  guint replaced;  /* times */
  gint64 found;    /* when it was first replaced or tested bad; 0: never */
  gint64 said;     /* since when it is said to be the cause, or not; 0: never */
  gboolean cause;  /* what is said */
} Part;

/* A job and what is needed of its log. */
typedef struct
{
  const BlJob *head;
  GPtrArray *parts; /* Part */
  gint64 back;      /* when it first came back; 0: it did not */
  double spent;     /* minutes */
  gboolean cause_in_part, replaced_in_part; /* in a job that is part of this one */
  GPtrArray *part_works; /* Work of those jobs; NULL: none, or not asked for */
} Work;

typedef struct
{
  BlLibrary *library;
  BlNumbers *numbers;
  GPtrArray *heads; /* BlJob, all */
  GHashTable *works; /* id of the job -> Work */
  GHashTable *struck; /* ids of lines */
  GHashTable *good;  /* jobs of known-good boards */
  GHashTable *equipments; /* id -> their boards, for bl_numbers_place_part () */
  GHashTable *names; /* id of the board -> its name, of heads */
  GHashTable *used;  /* "BOARD\tCOMPONENT" -> BlNumbersPart, of parts */
  GHashTable *found; /* the same, of causes */
  GArray *readings, *minutes, *spent; /* double */
  gint64 now, to;
} Count;

/* bl-library-numbers.c */
/* Whether a time is in the period that is asked for; one that is not known never is. */
gboolean bl_numbers_in_period (const Count *count, gint64 time);
/* Of all editions a job that is part of another is counted with that one. A known-good board that was only read is no
 * repair; one that is good since its repair is. */
gboolean bl_numbers_is_asked (const Count *count, const BlJob *job);
/* Whether it is this one, of this board. */
gboolean bl_numbers_is_part (const Part *part, gint64 board, const char *component);
/* Adds a job to what is counted of a part: one more in list, found there by table. */
void bl_numbers_add_part (Count *count, GHashTable *table, GPtrArray *list, const Work *work, const Part *found);

/* bl-numbers-causes.c */
/* When a part that was a cause was first replaced, tested bad or confirmed; 0: no cause. */
gint64 bl_numbers_found_time (const Work *work);
/* Of all editions, what was found and done in a job that is part of another was found and done in that one. */
void bl_numbers_follow_parts (Count *count);
/* Counts a job that has ended in the period: its causes, whether it was repaired, whether it came back. */
void bl_numbers_count_ended (Count *count, const Work *work);
/* Counts the causes alone, of a job that is part of another: parts of an equipment's job may have been found in it. */
void bl_numbers_count_causes (Count *count, const Work *work);
/* What the return of a job that counts was about, once it has ended. */
void bl_numbers_count_return (Count *count, const Work *back);

G_END_DECLS
