/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-jobs-page.h"

#include "bl-choice-panel.h"
#include "bl-jobs-filter.h"
#include "bl-jobs-model.h"

G_BEGIN_DECLS

/* Private to the files of the page. */

struct _BlJobsPage
{
  GtkWidget parent_instance;

  BlLibrary *library; /* of the application */
  GtkStack *stack;    /* the list; the numbers once they were asked for */
  GtkOverlay *overlay;
  GtkListView *list;
  GtkLabel *count;
  GtkEditable *search;
  GtkBox *acts, *keys;
  BlJobsFilter *filter;
  GHashTable *good;  /* ids of the jobs that count as known-good boards; may be NULL */
  GHashTable *since; /* since when a job is in its state; may be NULL */
  GPtrArray *jobs;   /* BlJob, as read last; outlives the items */
  GPtrArray *folded; /* what is searched of each: NULL until it is */
  guint folding, n_folded; /* a source that does so ahead, and how far it came */
  GPtrArray *terms;  /* what was searched last */
  BlJobsModel *items; /* those that match */
  GtkSingleSelection *selection;
  GtkWidget *steps, *numbers, *choice;
  gint64 asked; /* the job that the choice is about */
  GtkFileChooserNative *dialog;
};

/* The job in hand; NULL: none. (transfer none) */
const BlJob *bl_jobs_page_selected (BlJobsPage *self);
/* Those in the list, as it is narrowed now. (transfer container) GPtrArray of BlJob */
GPtrArray *bl_jobs_page_shown (BlJobsPage *self);
void bl_jobs_page_show_numbers (BlJobsPage *self);

/* The jobs shown to a file, and jobs from one: bl-jobs-exchange.c. */
void bl_jobs_page_export (BlJobsPage *self);
void bl_jobs_page_import (BlJobsPage *self);
/* Keys, buttons and what they do: bl-jobs-acts.c. */
void bl_jobs_acts_add (BlJobsPage *self);

G_END_DECLS
