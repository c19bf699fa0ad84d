/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands on a job's label, from the library. The day is written out, since a label is read years later. */
#include "config.h"

#include "bl-job-tag-fill.h"

#include <glib/gi18n-lib.h>

#include "bl-job-link.h"

BlJobTag *
bl_job_tag_fill (BlLibrary *library, gint64 id, GError **error)
{
  g_return_val_if_fail (library != NULL, NULL);
  g_autoptr (BlJob) job = bl_library_load_job (library, id, error);

  if (job == NULL)
    return NULL;
  g_autoptr (GDateTime) utc = g_date_time_new_from_unix_utc (job->created / G_USEC_PER_SEC);
  g_autoptr (GDateTime) local = g_date_time_to_local (utc);
  BlJobTag *tag = bl_job_tag_new ();
  tag->number = job->number;
  tag->customer = g_strdup (job->customer);
  tag->unit = g_strdup (job->unit);
  tag->board = g_strdup (job->board_name);
  tag->serial = job->serial != NULL && *job->serial != '\0' ? g_strdup_printf (_ ("S/N %s"), job->serial) : NULL;
  tag->complaint = g_strdup (job->complaint);
  /* Translators: a day on a printed label. */
  tag->date = g_date_time_format (local, _ ("%-d %b %Y"));
  tag->link = bl_job_link (job->uid);
  return tag;
}
