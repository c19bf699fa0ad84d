/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-photo-join.h"

G_BEGIN_DECLS

/* What stands on other photos of the board, at its place on this one: through the board for a photo of the other
 * side. */
typedef enum
{
  BL_FAR_TEST_POINT,
  BL_FAR_COMPONENT,
  BL_FAR_SECTION,
  BL_FAR_STAGE
} BlFarKind;

typedef struct
{
  BlFarKind kind;
  const char *id;    /* not owned, as photo: valid as long as the board */
  const char *photo; /* the one it is on */
  gboolean opposite; /* on the other side of the board */
  double x, y;       /* of a point or component, px of this photo */
  GArray *corners;   /* of an outline: double pairs x, y */
  guint index;       /* of an outline: among those of its owner on its photo */
} BlFar;

/* Of the kinds in the set (bits 1 << BlFarKind). width, height: of this photo, px, 0: not known; what lies beyond
 * its edge is left out. Outlines of a section or stage that has one on this photo are left out, too.
 * GArray of BlFar, (transfer full). */
GArray *bl_board_far (const BlBoard *board, const char *photo, guint kinds, double width, double height);

/* Whether two photos show opposite sides: what they are said to be of, else what the map says. */
gboolean bl_photos_are_opposite (const BlPhoto *a, const BlPhoto *b, const BlHomography *map);

G_END_DECLS
