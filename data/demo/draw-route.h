/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "draw-layout.h"

typedef struct
{
  gboolean back;
  int net;
  double width;   /* mm */
  GArray *points; /* DrawPoint */
} DrawTrack;

typedef struct
{
  GPtrArray *tracks; /* DrawTrack */
  GArray *vias;      /* DrawPoint */
  guint missed;      /* connections that found no way */
} DrawRoute;

DrawRoute *draw_route (const DrawLayout *layout);
void draw_route_free (DrawRoute *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (DrawRoute, draw_route_free)
