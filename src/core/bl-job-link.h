/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* The address of a job, printed on its label: "benchlore:job/UID" with the job's uid, which stays the same on
 * every bench that the job is moved to. */

/* (transfer full) */
char *bl_job_link (const char *uid);
/* The uid in an address, or in one that came through a scanner acting as a keyboard; NULL: it is none.
 * (transfer full) */
char *bl_job_link_parse (const char *text);

G_END_DECLS
