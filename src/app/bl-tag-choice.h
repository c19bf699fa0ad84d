/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-job-tag-draw.h"
#include "bl-library.h"

G_BEGIN_DECLS

/* What a label is printed on and what stands on it beside number, board, serial number and code. */
typedef struct
{
  BlTagSize size;
  gboolean customer, complaint;
} BlTagChoice;

/* As chosen last. */
BlTagChoice bl_tag_choice (void);
void bl_tag_choose (const BlTagChoice *choice);
/* "Label 62 × 29 mm" */
const char *bl_tag_size_words (BlTagSize size);
/* The label of a job with what was chosen to stand on it. (transfer full); NULL with error. */
BlJobTag *bl_tag_choice_fill (const BlTagChoice *choice, BlLibrary *library, gint64 job, GError **error);

/* The label as it will be printed, with what was chosen last; of a sheet its upper part. Width in px. */
#define BL_TYPE_TAG_PREVIEW (bl_tag_preview_get_type ())
G_DECLARE_FINAL_TYPE (BlTagPreview, bl_tag_preview, BL, TAG_PREVIEW, GtkWidget)

GtkWidget *bl_tag_preview_new (int width);
/* The label of a job with what is chosen now; job 0: none. */
void bl_tag_preview_show (BlTagPreview *self, BlLibrary *library, gint64 job);

G_END_DECLS
