/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-practice.h"

G_BEGIN_DECLS

/* The photos of a documented board where no job is open: the one shown follows the point in hand. */
#define BL_TYPE_CASE_PHOTO (bl_case_photo_get_type ())
G_DECLARE_FINAL_TYPE (BlCasePhoto, bl_case_photo, BL, CASE_PHOTO, GtkWidget)

/* library: not owned, has the photos of copy. board: copied. */
GtkWidget *bl_case_photo_new (BlLibrary *library, BlPracticeSubject copy, const BlBoard *board);
/* offered: measurement (char *) set of those to choose from, whose points are named; NULL: none. Shown with the next
 * bl_case_photo_show (). */
void bl_case_photo_offer (BlCasePhoto *self, GHashTable *offered);
/* read: measurement (char *) to BlShape (GINT_TO_POINTER), of those that were read. in_hand: measurement, or component
 * where that is tested; NULL: none. likely: stage that is marked, with the words of its tab; NULL: none. */
void bl_case_photo_show (BlCasePhoto *self, GHashTable *read, const char *in_hand, const char *likely,
                         const char *likely_words);

G_END_DECLS
