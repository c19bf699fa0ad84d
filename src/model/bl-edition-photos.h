/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-edition.h"

G_BEGIN_DECLS

/* Changes to the photos of an open document that a landmark or a map of landmarks makes; each one step of undo. */

/* Sets a landmark of a photo, a new one where it has none of this name. Steps of one drag merge until
 * bl_edition_settle (). */
gboolean bl_edition_set_landmark (BlEdition *self, const char *photo, const char *id, double x, double y,
                                  GError **error);
gboolean bl_edition_remove_landmark (BlEdition *self, const char *photo, const char *id, GError **error);

/* What a map carried from one photo to another. */
typedef struct
{
  guint points, components, outlines;
  guint left; /* what lies beyond the edge of the other photo and stayed, or lost its place */
} BlCarried;

/* Test points and components of the photo `from` get their place on the photo `to`; outlines are drawn there, too,
 * every corner mapped, where their section or stage has none there yet, and stay where they are. Both photos must
 * be of one side and joined. width, height: of the photo `to`, px, 0: not known. carried may be NULL. */
gboolean bl_edition_carry_over (BlEdition *self, const char *from, const char *to, double width, double height,
                                BlCarried *carried, GError **error);
/* The same, and the photo `to` takes the place of the other, which goes: with its title, its scale and the
 * landmarks it has not itself, so that other photos stay joined. */
gboolean bl_edition_replace_photo (BlEdition *self, const char *from, const char *to, double width, double height,
                                   BlCarried *carried, GError **error);

G_END_DECLS
