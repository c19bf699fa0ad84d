/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-photo-far.h"

G_BEGIN_DECLS

/* A photo of a job's own board among those of its edition, as if it were one of them: what the edition has on its
 * photos is known on it, too, once it has four landmarks in common with one of them. */
typedef struct BlJobPhotoMap BlJobPhotoMap;

/* edition: not owned, not to be changed as long as the map is there. key: what the photo is called ("job:3"), none of
 * the edition's photos. side: "front", "back" or NULL. landmarks: BlLandmark, named as on the edition's photos, copied.
 * (transfer full) */
BlJobPhotoMap *bl_job_photo_map_new (const BlBoard *edition, const char *key, const char *side,
                                     const GPtrArray *landmarks);
void bl_job_photo_map_free (BlJobPhotoMap *map);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlJobPhotoMap, bl_job_photo_map_free)

/* The photo itself. (transfer none) */
const BlPhoto *bl_job_photo_map_photo (const BlJobPhotoMap *map);
/* Of the edition's photos of a side (NULL: of any) the one with the most landmarks; NULL: none has any.
 * (transfer none) */
const BlPhoto *bl_job_photo_map_of_edition (const BlJobPhotoMap *map, const char *side);
/* How the edition's photo lies on this one: residuals in pixels of this one, in mm by the edition's scale. Valid as
 * long as the map. Errors as bl_photo_join_new (). (transfer full) */
BlPhotoJoin *bl_job_photo_map_join (const BlJobPhotoMap *map, const BlPhoto *of_edition, GError **error);
/* Where a place of a photo of the edition lies on this one. FALSE: not known, or beyond the horizon. */
gboolean bl_job_photo_map_place (const BlJobPhotoMap *map, const char *photo, double x, double y, double *u,
                                 double *v);
/* All that the edition's photos have, on this one; see bl_board_far (). The ids are the edition's. (transfer full) */
GArray *bl_job_photo_map_far (const BlJobPhotoMap *map, guint kinds, double width, double height);

G_END_DECLS
