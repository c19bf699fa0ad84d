/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gio/gio.h>

#include "bl-library.h"

G_BEGIN_DECLS

/* A list of BlJobItem, made when one is asked for. */
#define BL_TYPE_JOBS_MODEL (bl_jobs_model_get_type ())
G_DECLARE_FINAL_TYPE (BlJobsModel, bl_jobs_model, BL, JOBS_MODEL, GObject)

/* What is known of one job of the list: see bl_job_item_set (). */
typedef struct
{
  const BlJob *job;
  gint64 since;
  gboolean good;
  const char *line;
} BlJobEntry;

BlJobsModel *bl_jobs_model_new (void);
/* Which jobs the list has from now on. entries (transfer full): GArray of BlJobEntry; what they point to outlives the
 * model, or others are set. */
void bl_jobs_model_set (BlJobsModel *self, GArray *entries);
guint bl_jobs_model_n (BlJobsModel *self);
const BlJob *bl_jobs_model_job (BlJobsModel *self, guint place);

G_END_DECLS
