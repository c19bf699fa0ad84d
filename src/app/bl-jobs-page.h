/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-library.h"

G_BEGIN_DECLS

/* All jobs, with search. Pressing one opens it on the bench. */
#define BL_TYPE_JOBS_PAGE (bl_jobs_page_get_type ())
G_DECLARE_FINAL_TYPE (BlJobsPage, bl_jobs_page, BL, JOBS_PAGE, GtkWidget)

GtkWidget *bl_jobs_page_new (BlLibrary *library);
/* Reads the library anew; called whenever the place is shown. */
void bl_jobs_page_refresh (BlJobsPage *self);
/* Puts the focus on the newest job. */
void bl_jobs_page_focus (BlJobsPage *self);

G_END_DECLS
