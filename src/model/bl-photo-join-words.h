/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-photo-join.h"

G_BEGIN_DECLS

/* What the screens say about photos and how they lie over each other. All return (transfer full). */

/* Its title, else "Front", "Front 2", "Back". */
char *bl_photo_name (const BlBoard *board, const BlPhoto *photo);
/* "6 landmarks agree to 1.2 px, 0.08 mm; seen through the board". With four it says that nothing is left over to
 * judge by. */
char *bl_photo_join_words (const BlPhotoJoin *join);
/* Which landmark does not agree and what would be left without it; NULL: none is named. */
char *bl_photo_join_suspect_words (const BlPhotoJoin *join);
/* What is wrong with the sides; NULL: nothing. */
char *bl_photo_join_sides_words (const BlPhotoJoin *join);
/* "1.2 px, 0.08 mm"; without mm where NAN. */
char *bl_photo_off_words (double px, double mm);
/* "0.068 mm a pixel", "0.068 mm a pixel, by Front" where it is mapped, "no scale known". */
char *bl_photo_scale_words (const BlBoard *board, const BlPhoto *photo);

G_END_DECLS
