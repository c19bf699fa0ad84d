/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench-photos.h"
#include "bl-twin.h"

G_BEGIN_DECLS

/* Shared by bl-bench-photos.c (which photos there are) and bl-bench-photos-marks.c (what stands on them). */
struct _BlBenchPhotos
{
  GObject parent_instance;

  BlLibrary *library; /* of the application */
  BlBench *bench;
  GPtrArray *photos;     /* BlBenchPhoto */
  GHashTable *surfaces;  /* key -> BlPhotoSurface */
  GHashTable *messages;  /* key -> why there is none */
  GHashTable *loading;   /* set of keys */
  BlTwin *twin;          /* the board beside, NULL: none */
  gboolean compares;     /* it is not known to be of another kind */
  GCancellable *cancellable;
};

G_END_DECLS
