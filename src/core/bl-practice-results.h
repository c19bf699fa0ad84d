/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* What somebody has practised and how it went, as screen, paper and files show it. Right or wrong and time given away,
 * never how fast. */

#define BL_RESULTS_WEEKS 12 /* that a row tells one by one; the last is the week that goes on */

typedef struct
{
  char *name;                        /* kind of section, or fault family, as the document has it */
  char *title;                       /* in words */
  guint32 week;                      /* of a week: its Monday, as g_date_get_julian () counts; otherwise 0 */
  guint way_tried, way_right;        /* questions where something is */
  guint reads_tried, reads_right;    /* questions what a measurement should read */
  guint worked_tried, worked_right;  /* choices in worked cases that were asked for */
  guint drills_tried, drills_right;  /* drills ended; right: stage, part and no unsafe act */
  guint n_failed;                    /* of the drills those with an unsafe act */
  double regret_s, effort_s;         /* of the drills: time given away, and what they took together */
  double regret_share;               /* the one over the other; NAN: there were none */
  guint tried_in[BL_RESULTS_WEEKS], right_in[BL_RESULTS_WEEKS]; /* everything together, oldest first */
} BlResultsRow;
guint bl_results_row_tried (const BlResultsRow *row);
guint bl_results_row_right (const BlResultsRow *row);

typedef struct
{
  char *what;          /* "Fault drill: relay" */
  guint32 due;         /* day, as above; 0: never practised */
} BlResultsDue;

typedef struct
{
  gint64 ended;        /* UTC, microseconds since 1970 */
  char *board, *fault; /* "RB-17, edition C"; "K1 contact does not make" */
  char *named;         /* "12 V rail, K1"; NULL: nothing */
  gboolean right, failed;
  guint n_measured, n_right, n_told_nothing, n_unsafe;
  double regret_s, effort_s;
} BlResultsDrill;

typedef struct
{
  char *person;
  guint32 from, to;    /* days of the first and the last thing practised; 0: nothing */
  guint32 today;
  BlResultsRow all;    /* everything together; no name */
  GPtrArray *sections; /* BlResultsRow by kind of section, the most tried first */
  GPtrArray *families; /* BlResultsRow by fault family; drills and worked cases */
  GPtrArray *weeks;    /* BlResultsRow, oldest first, without gaps from the first to this week */
  GPtrArray *due;      /* BlResultsDue, due today or before */
  GPtrArray *drills;   /* BlResultsDrill, newest first */
} BlPracticeResults;
BlPracticeResults *bl_practice_results_new (const char *person, guint32 today);
void bl_practice_results_free (BlPracticeResults *results);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlPracticeResults, bl_practice_results_free)
BlResultsRow *bl_results_row_new (const char *name, const char *title);
void bl_results_drill_free (BlResultsDrill *drill);
void bl_results_due_free (BlResultsDue *due);

/* What was practised, told row by row. */
typedef enum
{
  BL_PRACTISED_WAY,
  BL_PRACTISED_READS,
  BL_PRACTISED_WORKED,
  BL_PRACTISED_DRILL
} BlPractisedKind;
typedef struct
{
  BlPractisedKind kind;
  guint32 day;                  /* as above */
  const char *section, *family; /* NULL: of none */
  gboolean right, failed;
  double regret_s, effort_s;    /* of a drill */
} BlPractised;
/* Adds it to all, its section, its family and its week. title: the words for a name (transfer full); NULL: the name
 * itself. The lists are in order after bl_practice_results_finish (). */
typedef char *(*BlResultsTitle) (const char *name, gboolean family);
void bl_practice_results_add (BlPracticeResults *results, const BlPractised *practised, BlResultsTitle title);
void bl_practice_results_finish (BlPracticeResults *results);

G_END_DECLS
