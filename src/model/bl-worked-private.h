/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-worked-case.h"

#include "bl-evidence.h"

G_BEGIN_DECLS

struct _BlWorkedCase
{
  GObject parent_instance;

  BlPractice *practice;
  BlBoard *board;
  BlPracticeSubject copy;
  char *uid;            /* of what was copied */
  char *key;            /* tells one case from another, and nothing of whose it was */
  char *symptom;        /* its title; NULL: none */
  char **causes;
  char *section, *family;
  GPtrArray *entries;   /* BlEntry: what is known at the start; of a job its steps after that */
  guint n_known;        /* so many are known at the start */
  BlDrill *drill;       /* of a made-up case, whose steps are found by the worker; NULL: of a job */

  GPtrArray *steps;     /* BlWorkedStep, those worked out so far */
  char *trouble;
  gboolean begun, busy;
  int cancel;
};

/* What the first cause is about, as the document has it (transfer full); left as they were where it does not say. */
void bl_worked_fill_topic (const BlBoard *board, const char *const *causes, char **section, char **family);
/* The first symptom that is known and shown. */
void bl_worked_fill_symptom (BlWorkedCase *self);
/* Takes a step that was worked out. */
typedef void (*BlWorkedStepFunc) (BlWorkedStep *step, gpointer data);
/* Works the case through and gives each step to func, in this thread. From any thread, as long as the case lives. FALSE
 * with error: something went wrong after the steps given. */
gboolean bl_worked_steps_work (const BlBoard *board, GPtrArray *entries, guint n_known, const BlDrill *drill,
                               const char *key, BlWorkedStepFunc func, gpointer data, const int *cancel,
                               GError **error);
void bl_worked_step_free (BlWorkedStep *step);

G_END_DECLS
