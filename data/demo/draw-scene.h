/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "draw-camera.h"
#include "draw-copper.h"

/* A burnt spot on the front, board mm; radius 0 for none. */
typedef struct
{
  double x, y, radius;
} DrawScorch;

DrawField *draw_scene (const DrawLayout *layout,
                       const DrawRoute *route,
                       gboolean back,
                       double bench,
                       double scale,
                       const DrawScorch *scorch);
