/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* The label of a job, for the board or its box: number, whose it is, what it is, and a QR code with the job's
 * address. (In the code it is a tag, since labels are what stands on photos.) */

typedef struct
{
  int number;
  char *customer, *unit, *board, *serial, *complaint; /* NULL or "": left out */
  char *date;                                         /* as it is printed */
  char *link;                                         /* what the code says */
} BlJobTag;
BlJobTag *bl_job_tag_new (void);
void bl_job_tag_free (BlJobTag *tag);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlJobTag, bl_job_tag_free)

G_END_DECLS
