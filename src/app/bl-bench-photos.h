/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench-places.h"
#include "bl-bench.h"
#include "bl-photo-view.h"

G_BEGIN_DECLS

/* The photos of a job: those of its edition, of the job itself, and twins; decoded in the background
 * and kept. Signal "loaded" (const char *key): a photo is there, or its message. */
#define BL_TYPE_BENCH_PHOTOS (bl_bench_photos_get_type ())
G_DECLARE_FINAL_TYPE (BlBenchPhotos, bl_bench_photos, BL, BENCH_PHOTOS, GObject)

typedef struct
{
  char *key;   /* photo id of the board, "job:ID", or "board:ID:PHOTO" of another board */
  char *title; /* "Front", "photo 10:21" */
  gboolean own; /* of this board */
} BlBenchPhoto;

/* Key of what stands among the photos of an equipment: its drawing. */
#define BL_BENCH_DRAWING "drawing:"

BlBenchPhotos *bl_bench_photos_new (BlLibrary *library, BlBench *bench);
/* BlBenchPhoto; reads the list anew. (transfer none) */
GPtrArray *bl_bench_photos_list (BlBenchPhotos *self);
/* Photos of other boards that may serve as a good twin, BlBenchPhoto. (transfer full) */
GPtrArray *bl_bench_photos_twins (BlBenchPhotos *self);
/* Which photo stands beside, NULL: none. When it is of another board its readings are compared with those
 * of this one, unless both have numbers and not the same: points that read otherwise stand out on both. */
void bl_bench_photos_set_twin (BlBenchPhotos *self, const char *key);
/* NULL while it is being decoded, or when it cannot be; then message (transfer none) says so. */
BlPhotoSurface *bl_bench_photos_surface (BlBenchPhotos *self, const char *key, const char **message);
/* It was tried, and cannot be opened. */
gboolean bl_bench_photos_is_broken (BlBenchPhotos *self, const char *key);
/* What stands on the photo now, in_hand (may be NULL) with its brackets and its black lead, for bl_photo_view_set_items
 * () and _outlines (). (transfer full) */
GPtrArray *bl_bench_photos_items (BlBenchPhotos *self, const char *key, BlMeasurementItem *in_hand);
GPtrArray *bl_bench_photos_outlines (BlBenchPhotos *self, const char *key);
/* Where things of the edition are on the photo. (transfer full) */
BlBenchPlaces *bl_bench_photos_places (BlBenchPhotos *self, const char *key);

G_END_DECLS
