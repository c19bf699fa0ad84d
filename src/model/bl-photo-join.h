/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"
#include "bl-registration.h"

G_BEGIN_DECLS

/* How one photo lies over another of the same kind of board, by the landmarks both have (same id). Lengths in
 * pixels are those of the photo `to`; in mm they are NAN where no scale is known. */
typedef struct
{
  const BlPhoto *from, *to; /* not owned: valid as long as the board */
  BlHomography map;         /* from -> to */
  guint n;                  /* landmarks both have, 4 at least */
  char **names;             /* of them; NULL-terminated, in the order of `to` */
  double *residuals;        /* px */
  double *residuals_mm;
  double rms, rms_mm;
  gboolean mirrored; /* seen through the board */
  int suspect;       /* the landmark that does not agree with the rest; -1: none */
  double rms_without, rms_without_mm; /* what would be left without it */
} BlPhotoJoin;

/* scale_of: the board whose scales tell mm, NULL: none. BL_CORE_ERROR_INVALID with the reason: fewer than four
 * common landmarks, on one line, not the same places. (transfer full) */
BlPhotoJoin *bl_photo_join_new (const BlPhoto *from, const BlPhoto *to, const BlBoard *scale_of, GError **error);
void bl_photo_join_free (BlPhotoJoin *join);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlPhotoJoin, bl_photo_join_free)
/* How many landmarks have a place on both photos. */
guint bl_photo_join_common (const BlPhoto *a, const BlPhoto *b);

/* Whether what the landmarks say about the sides goes with what the photos are said to be of. */
typedef enum
{
  BL_SIDES_AGREE,
  BL_SIDES_NOT_SAID,       /* of one of them at least */
  BL_SIDES_MIRRORED,       /* the same side, but one photo is a mirror image of the other */
  BL_SIDES_NOT_MIRRORED    /* opposite sides, but the landmarks do not lie mirrored */
} BlSides;
BlSides bl_photo_join_sides (const BlPhotoJoin *join);

/* Landmark of a photo by its name; NULL: none. (transfer none) */
BlLandmark *bl_photo_landmark (const BlPhoto *photo, const char *id);
/* The first landmark of `other` that photo has not: what is to be pressed next. NULL: it has all.
 * skipped: names not to be asked for, NULL-terminated, or NULL. (transfer none) */
const BlLandmark *bl_photo_next_landmark (const BlPhoto *photo, const BlPhoto *other, const char *const *skipped);
/* L1, L2 ...: the first that no photo of the board has. (transfer full) */
char *bl_board_free_landmark (const BlBoard *board);

/* The map from one photo of the board to another, by way of others where the two have too few landmarks in
 * common; steps (may be NULL): joins passed, 1: the two themselves, 0: the same photo. FALSE: none. */
gboolean bl_board_map_photo (const BlBoard *board, const char *from, const char *to, BlHomography *map, guint *steps);

/* How lengths on a photo become mm: by its own scale, or by that of the nearest photo it is joined with. */
typedef struct
{
  double mm_per_px;     /* of the photo that has it */
  const char *photo;    /* that one's id */
  gboolean mapped;      /* another one */
  BlHomography map;     /* from the photo asked about to that one, where mapped */
} BlPhotoScale;
/* FALSE: no scale is known. photo: id. */
gboolean bl_photo_scale_find (const BlBoard *board, const char *photo, BlPhotoScale *scale);
/* Distance between two places of the photo, mm. */
double bl_photo_scale_length (const BlPhotoScale *scale, double x0, double y0, double x1, double y1);
/* mm of one pixel around a place (of the photo asked about): root of the area a pixel has. */
double bl_photo_scale_at (const BlPhotoScale *scale, double x, double y);

/* "3.25 mm", "62.4 mm": the digits a photo is good for; "410 px" where scale is NULL. (transfer full) */
char *bl_photo_length_words (const BlPhotoScale *scale, double x0, double y0, double x1, double y1);

G_END_DECLS
