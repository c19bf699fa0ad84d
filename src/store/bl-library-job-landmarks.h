/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-library.h"

G_BEGIN_DECLS

/* Landmarks of a photo of a job's own board: the names are those of the edition's photo of the same side, which it is
 * laid under by them. Each call is noted in the step of undo that is open, if one is. */

/* Sets a landmark, or moves it; x, y: px of the photo, finite. BL_STORE_ERROR_NOT_FOUND: there is no such photo. */
gboolean bl_library_set_job_landmark (BlLibrary *library, gint64 photo, const char *landmark, double x, double y,
                                      GError **error);
/* One that is not there is no error. */
gboolean bl_library_remove_job_landmark (BlLibrary *library, gint64 photo, const char *landmark, GError **error);
/* BlLandmark, by name: L2 before L10. (transfer full) */
GPtrArray *bl_library_job_landmarks (BlLibrary *library, gint64 photo, GError **error);

/* side: "front", "back" or NULL: not said. */
gboolean bl_library_set_job_photo_side (BlLibrary *library, gint64 photo, const char *side, GError **error);
/* BL_STORE_ERROR_NOT_FOUND: there is none. (transfer full) */
BlJobPhoto *bl_library_load_job_photo (BlLibrary *library, gint64 photo, GError **error);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlJobPhoto, bl_job_photo_free)

G_END_DECLS
