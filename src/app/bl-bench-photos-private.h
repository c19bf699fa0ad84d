/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench-photos.h"
#include "bl-photo-loader.h"
#include "bl-twin.h"

G_BEGIN_DECLS

/* Shared by bl-bench-photos.c (which photos there are) and bl-bench-photos-marks.c (what stands on them). */
struct _BlBenchPhotos
{
  GObject parent_instance;

  BlLibrary *library; /* of the application */
  BlBench *bench;
  GPtrArray *photos;     /* BlBenchPhoto */
  BlPhotoLoader *loader; /* by key */
  BlTwin *twin;          /* the board beside, NULL: none */
  gboolean compares;     /* it is not known to be of another kind */
};

G_END_DECLS
