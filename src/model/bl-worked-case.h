/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-practice.h"

G_BEGIN_DECLS

/* A case worked step by step, from what is shown to the part: of the shop's own jobs, with nothing left of whose board it
 * was, or made up. Of a job only readings, part tests, the symptom and the confirmed cause are taken; no name, number,
 * date, note, photo or meter.
 *
 * Signals: "step" (one more was worked out), "ready" (all were, or bl_worked_case_get_trouble () says why not). */
#define BL_TYPE_WORKED_CASE (bl_worked_case_get_type ())
G_DECLARE_FINAL_TYPE (BlWorkedCase, bl_worked_case, BL, WORKED_CASE, GObject)

/* A job that can be shown as a case. */
typedef struct
{
  gint64 job;             /* for bl_worked_case_from_job (), not to be shown */
  char *title;            /* board number and edition, or the equipment's title */
  guint n_readings;
  char **causes;          /* "COMPONENT:MODE", "COMPONENT" where the mode is not known; NULL-terminated, one or more */
  char *section, *family; /* kind of section and fault family of the first, as the document has it; NULL: of none */
} BlWorkedSource;
void bl_worked_source_free (BlWorkedSource *source);
/* Jobs of the shop that have ended with a confirmed cause and two readings or more before the first part was replaced;
 * the newest first, at most so many. subject: of this board or equipment only; NULL: of all. sections: ids, with the cause
 * in one of these; NULL or none: anywhere. (transfer full) GPtrArray of BlWorkedSource */
GPtrArray *bl_worked_sources (BlPractice *practice, const BlPracticeSubject *subject, const char *const *sections,
                              guint most, GError **error);

/* BL_STORE_ERROR_INVALID where the job is none of these. (transfer full) */
BlWorkedCase *bl_worked_case_from_job (BlPractice *practice, gint64 job, GError **error);
/* Made up as a drill would be, and worked by whoever follows the plan. (transfer full) */
BlWorkedCase *bl_worked_case_simulated (BlPractice *practice, const BlPracticeSubject *subject, const BlDrillOrder *order,
                                        GError **error);
/* What comes next for a person on a subject: of the shop's jobs and of made-up cases in turn, a job first, and none with
 * a fault that was just met. order: what a made-up one is like; its sections hold for jobs too, and its seed (not 0) chooses
 * among them. (transfer full) */
BlWorkedCase *bl_worked_case_next (BlPractice *practice, gint64 person, const BlPracticeSubject *subject,
                                   const BlDrillOrder *order, GError **error);

const BlBoard *bl_worked_case_get_board (BlWorkedCase *self);
/* The copy of the board, or equipment, in the library of practice, for its photos. */
BlPracticeSubject bl_worked_case_get_copy (BlWorkedCase *self);
/* What is shown: "Link fault shown"; NULL: nothing was said. (transfer none) */
const char *bl_worked_case_get_symptom (BlWorkedCase *self);
/* What it was: "COMPONENT:MODE", "COMPONENT" where the mode is not known; NULL-terminated. (transfer none) */
const char *const *bl_worked_case_get_causes (BlWorkedCase *self);

/* --- steps --- */

typedef struct
{
  char *id;           /* of a stage or component; NULL: elsewhere, not on this board */
  char *title;
  double probability;
} BlWorkedOdd;

/* Something that could be measured next. */
typedef struct
{
  char *measurement, *title; /* "TP5 12 V rail" */
  double regret_s;           /* expected time given away by it */
  gboolean right;            /* the best, or at most a fifth longer */
  gboolean tells_nothing;
} BlWorkedChoice;

typedef struct
{
  gboolean is_part;      /* a part tested by itself; otherwise a reading */
  char *subject;         /* measurement or component */
  char *title;           /* "TP5 12 V rail" */
  char *text;            /* the reading as typed, "good" or a mode */
  char *state;           /* board state it was read in; NULL: the document's */
  char *black, *meter;   /* lead and accuracy, likewise */
  BlVerdict *verdict;    /* of a reading; NULL: nothing to judge by */
  GPtrArray *stages_before, *stages_after; /* BlWorkedOdd, the likeliest first */
  GPtrArray *parts_after;
  char *could;           /* "What could cause it, of 100 boards that read like this: 12 V rail 41; ..." */
  char *why;             /* why this was measured, or what would have been quicker */
  char *says;            /* "12 V rail absent speaks strongly for U1: 24 times as likely if U1 has failed" */
  GPtrArray *choices;    /* BlWorkedChoice, in an order that tells nothing; NULL: nothing to choose from */
  double regret_s, best_s; /* of what was done; NAN: of a part test */
} BlWorkedStep;

/* Computes the steps in a thread, one after the other; some tenths of a second to some seconds each. */
void bl_worked_case_begin (BlWorkedCase *self);
void bl_worked_case_stop (BlWorkedCase *self);
/* BlWorkedStep, those that were worked out so far. (transfer none) */
GPtrArray *bl_worked_case_get_steps (BlWorkedCase *self);
/* The last step is there. */
gboolean bl_worked_case_is_whole (BlWorkedCase *self);
const char *bl_worked_case_get_trouble (BlWorkedCase *self);
/* Blocks until it is ready; for tests. */
void bl_worked_case_settle (BlWorkedCase *self);
/* "41 of 100". (transfer full) */
char *bl_worked_frequency_words (double probability);

/* --- shown first, then asked for --- */

typedef enum
{
  BL_WORKED_SHOWN,      /* the first two of a family: every reason is shown, nothing is asked */
  BL_WORKED_ASKED_NEXT, /* the next two: what could cause it is shown; what to measure is asked */
  BL_WORKED_ASKED       /* from then on: reasons come after the answer */
} BlWorkedHelp;
/* Of whoever practises; SHOWN where nobody does. */
BlWorkedHelp bl_worked_case_help (BlWorkedCase *self);
/* Keeps what was chosen at a step. Returns the choice, judged; NULL with error. (transfer none) */
const BlWorkedChoice *bl_worked_case_choose (BlWorkedCase *self, guint step, const char *measurement, GError **error);
/* The case was gone through to its end. */
gboolean bl_worked_case_end (BlWorkedCase *self, GError **error);

G_END_DECLS
