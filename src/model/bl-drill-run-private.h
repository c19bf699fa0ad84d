/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-drill-run.h"

G_BEGIN_DECLS

struct _BlDrillRun
{
  GObject parent_instance;

  BlPractice *practice;
  BlDrillRow *row;
  BlDrill *drill;
  BlBench *bench;
  GPtrArray *steps;    /* BlDrillStep: the log, and what was named */
  GArray *places;      /* guint of each step: its line of the log; G_MAXUINT: none */
  guint unsafe;        /* BlUnsafe of all of them */
  BlSafeLimits limits; /* what it is judged by: the bench's, which are the shop's; of one that has ended those kept with it */

  /* the worker, bl-drill-run-score.c */
  GPtrArray *scored;   /* BlDrillStep: the first steps, scored */
  BlDrillScore *score; /* of everything; NULL: not yet */
  GPtrArray *best;     /* BlDrillStep, scored; NULL: not yet */
  char *trouble;
  gboolean busy, again;
  int cancel;          /* set once, for good */
  gboolean seeking;    /* the best way is being looked for */
  gboolean lost;       /* it cannot be found */
  int no_best;         /* set: it stands back until the score is there */
};

/* Scores what is not scored yet, and the best way, in a thread; keeps the result when the drill has ended. */
void bl_drill_run_ask_score (BlDrillRun *self);
/* Emits "scored". */
void bl_drill_run_announce_score (BlDrillRun *self);
/* Emits "best". */
void bl_drill_run_announce_best (BlDrillRun *self);

G_END_DECLS
