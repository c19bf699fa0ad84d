/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench.h"
#include "bl-job-photo-map.h"

G_BEGIN_DECLS

/* Photos of the job's own board, laid under the edition by landmarks. photo: the number of the job's photo. */

/* As it is in the library now. NULL with the reason where it cannot be read. (transfer full) */
BlJobPhotoMap *bl_bench_map_photo (BlBench *self, gint64 photo, GError **error);
/* Sets or moves a landmark, one step of undo; side: of the photo, "front" or "back", NULL: leave it. */
gboolean bl_bench_set_photo_landmark (BlBench *self, gint64 photo, const char *landmark, double x, double y,
                                      const char *side, GError **error);
/* side: "front", "back"; one step of undo. */
gboolean bl_bench_set_photo_side (BlBench *self, gint64 photo, const char *side, GError **error);
/* Takes one away, one step of undo. */
gboolean bl_bench_remove_photo_landmark (BlBench *self, gint64 photo, const char *landmark, GError **error);

G_END_DECLS
