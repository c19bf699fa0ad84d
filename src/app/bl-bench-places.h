/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench.h"
#include "bl-photo-far.h"
#include "bl-photo-view.h"

G_BEGIN_DECLS

/* Where on one photo of the bench things of the edition are: on the edition's own photos where its document says, on
 * a photo of the job where its landmarks say. */
typedef struct BlBenchPlaces BlBenchPlaces;

/* key: a photo of the list, may be NULL. width, height: of the photo, px, 0: not known; what lies beyond the edge of
 * a photo of the job is not there. (transfer full) */
BlBenchPlaces *bl_bench_places_new (BlBench *bench, const char *key, double width, double height);
void bl_bench_places_free (BlBenchPlaces *places);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlBenchPlaces, bl_bench_places_free)

/* Puts a point or component that is at x, y of a photo of the edition on this one. FALSE: it is not on it. far (may be
 * NULL): behind, when it is on the other side of the board. */
gboolean bl_bench_places_find (const BlBenchPlaces *places, BlFarKind kind, const char *id, const char *photo, double x,
                               double y, double at[2], BlPhotoFar *far);
/* Adds the outlines of a section or stage (kind, id; from: its outlines) that are on this photo. FALSE: it has none. */
gboolean bl_bench_places_add_outlines (const BlBenchPlaces *places, GPtrArray *outlines, BlFarKind kind, const char *id,
                                       const GPtrArray *from, BlPhotoOutlineKind as, const char *name);

G_END_DECLS
