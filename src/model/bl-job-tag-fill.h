/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-job-tag.h"
#include "bl-library.h"

G_BEGIN_DECLS

/* The label of a job in the library. (transfer full), NULL with error */
BlJobTag *bl_job_tag_fill (BlLibrary *library, gint64 job, GError **error);

G_END_DECLS
