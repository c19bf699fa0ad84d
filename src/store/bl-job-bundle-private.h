/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-job-bundle.h"

G_BEGIN_DECLS

/* Private to store. */

BlBundleJob *bl_bundle_job_new (void);
void bl_bundle_job_free (BlBundleJob *job);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlBundleJob, bl_bundle_job_free)
BlJobBundle *bl_job_bundle_new (void);

/* The jobs as text, without their pictures. (transfer full) */
char *bl_jobs_to_json (GPtrArray *jobs);
/* The other way; BlBundleJob. NULL with error, which says where. (transfer full) */
GPtrArray *bl_jobs_from_json (const char *text, gsize length, GError **error);

G_END_DECLS
