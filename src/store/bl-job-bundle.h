/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-delivery.h"
#include "bl-library.h"

G_BEGIN_DECLS

/* Jobs on their way from one bench to another: a bundle (.benchlore, a zip) of jobs.json, the photos of the jobs, and a
 * bundle of its own for each board or equipment they are about. Jobs, lines of the log and boards keep their uids, so two
 * benches can exchange the same jobs as often as they like. */

typedef struct
{
  gint64 time;
  gboolean struck; /* FALSE: restored */
  char *reason;
} BlBundleStrike;

typedef struct
{
  BlRecord *record;   /* with its uid; photos are called "job:FILE" */
  GPtrArray *strikes; /* BlBundleStrike, in order of time */
} BlBundleLine;

typedef struct
{
  char *file; /* in the bundle: "photos/12-1.jpg" */
  char *title, *side, *mime;
  gint64 time;
  GBytes *image;
  GPtrArray *landmarks; /* BlLandmark */
} BlBundlePhoto;

typedef struct
{
  BlJob *head;             /* with its uid; the ids of the library it comes from are no part of it */
  char *about;             /* uid of the board, or of the equipment */
  gboolean equipment, provisional; /* which of them it is; the board was made for one job from a photo */
  char *part;              /* name of the bundle of it: "parts/1.benchlore" */
  char *return_of, *part_of; /* uids; NULL: none */
  GPtrArray *photos;       /* BlBundlePhoto */
  GPtrArray *lines;        /* BlBundleLine, in order of time */
} BlBundleJob;

typedef struct
{
  GPtrArray *jobs;   /* BlBundleJob */
  GHashTable *parts; /* name -> BlDelivery */
} BlJobBundle;
void bl_job_bundle_free (BlJobBundle *bundle);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlJobBundle, bl_job_bundle_free)

/* The jobs with these ids, with all they need. (transfer full) */
BlJobBundle *bl_library_export_jobs (BlLibrary *library, const gint64 *jobs, guint n, GError **error);
/* Writes it whole or not at all. */
gboolean bl_job_bundle_write (const BlJobBundle *bundle, const char *path, GError **error);

/* Whether path is a bundle of jobs: FALSE for anything else, one that cannot be read too. */
gboolean bl_job_bundle_is (const char *path);
/* Reads one wholly, checked; hostile or broken input is refused with the reason. problems (may be NULL) as in
 * bl_delivery_read (). (transfer full) */
BlJobBundle *bl_job_bundle_read (const char *path, GPtrArray *problems, GError **error);

typedef struct
{
  gint64 job;          /* its id in this library */
  gboolean added;      /* FALSE: it was there */
  int number, old_number; /* here, and in the file */
  guint lines, strikes, photos; /* that were not there yet */
  char *otherwise;     /* what both heads say otherwise, in words: "customer, complaint"; NULL: nothing. The newer stays */
} BlJobMerged;
void bl_job_merged_clear (BlJobMerged *merged);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (BlJobMerged, bl_job_merged_clear)

/* Merges a job: adds it when its uid is not there, under its own number or, where that is taken, the next free one; and
 * whatever lines, strikes and photos are not there yet. about: id of the board, or equipment, in this library. Merging it
 * again changes nothing. */
gboolean bl_library_merge_job (BlLibrary *library, const BlBundleJob *job, gint64 about, BlJobMerged *merged,
                               GError **error);
/* Says of which job it is the return, and of which a part, once all are there. BL_STORE_ERROR_INVALID: the file says that
 * it is its own. */
gboolean bl_library_link_job (BlLibrary *library, const BlBundleJob *job, GError **error);

G_END_DECLS
