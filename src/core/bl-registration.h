/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-quantity.h"

G_BEGIN_DECLS

/* A plane seen in one photo laid over the same plane seen in another: (u, v) = (h0 x + h1 y + h2,
 * h3 x + h4 y + h5) / (h6 x + h7 y + h8). */
typedef struct
{
  double h[9]; /* h[8] > 0 over the landmarks */
} BlHomography;

/* Where a point of the first photo lies in the second one; NAN beyond the horizon. */
void bl_homography_apply (const BlHomography *map, double x, double y, double *u, double *v);
/* FALSE when there is no way back (a map that flattens the plane). */
gboolean bl_homography_invert (const BlHomography *map, BlHomography *inverse);

/* The same landmark in both photos, pixels. */
typedef struct
{
  const char *name; /* for messages */
  double x, y;      /* in the photo the points are known of */
  double u, v;      /* in the photo to lay them on */
} BlLandmarkPair;

typedef struct
{
  BlHomography map;
  guint n;
  double *residuals; /* distance of each landmark from where it should be, pixels of the second photo */
  double rms;        /* root mean square of them */
  gboolean mirrored; /* seen from the other side of the board */
  /* A landmark that does not agree with the rest: its index, else -1. The map takes it in all the same;
   * rms_without is what would be left if it were set right or dropped. */
  int suspect;
  double rms_without;
} BlRegistration;

/* Lays one photo over another by at least four landmarks: least squares of the distances in the second
 * photo. click: how far off a landmark set by hand may be, pixels of the second photo (standard
 * deviation, above 0). BL_CORE_ERROR_INVALID when there are too few landmarks, when no four of them
 * span the plane (on one line, at one place), or when the map would fold the board.
 * Source of the method: R. Hartley and A. Zisserman, Multiple View Geometry in Computer Vision, 2nd ed.,
 * algorithm 4.2 (normalised linear solution) and section 4.5 (refined by distance in one image); from
 * memory. (transfer full) */
BlRegistration *bl_registration_new (const BlLandmarkPair *pairs, guint n, double click, GError **error);
void bl_registration_free (BlRegistration *registration);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlRegistration, bl_registration_free)

G_END_DECLS
