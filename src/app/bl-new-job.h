/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library.h"

G_BEGIN_DECLS

/* Asks for what is known at the door and begins a job: from a documented board and the symptom it
 * shows, or from a photo alone. */
#define BL_TYPE_NEW_JOB (bl_new_job_get_type ())
G_DECLARE_FINAL_TYPE (BlNewJob, bl_new_job, BL, NEW_JOB, GtkWindow)

/* Opens the window; the job it begins is opened in parent (a BlWindow). */
void bl_new_job_present (GtkWindow *parent, BlLibrary *library);
/* The same with the photo already chosen. */
void bl_new_job_present_photo (GtkWindow *parent, BlLibrary *library, const char *path);

G_END_DECLS
