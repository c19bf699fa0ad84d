/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What stands on the label of a job. */
#include "config.h"

#include "bl-job-tag.h"

BlJobTag *
bl_job_tag_new (void)
{
  return g_new0 (BlJobTag, 1);
}

void
bl_job_tag_free (BlJobTag *tag)
{
  if (tag == NULL)
    return;
  g_free (tag->customer);
  g_free (tag->unit);
  g_free (tag->board);
  g_free (tag->serial);
  g_free (tag->complaint);
  g_free (tag->date);
  g_free (tag->link);
  g_free (tag);
}
