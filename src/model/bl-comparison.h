/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board-difference.h"
#include "bl-edition.h"

G_BEGIN_DECLS

/* The open edition beside another one of the library: what is otherwise, and taking things over from the other one,
 * each as one labelled step of undo of the open edition.
 *
 * "mine" is the open edition. What mine alone has is called added, what the other alone has gone: words are about the
 * open edition. Where a photo's picture is another one, places on it are not compared and not taken over: they are
 * pixels of that picture.
 *
 * Signal "changed": everything is to be read anew, all pointers into it are stale. */
#define BL_TYPE_COMPARISON (bl_comparison_get_type ())
G_DECLARE_FINAL_TYPE (BlComparison, bl_comparison, BL, COMPARISON, GObject)

typedef enum
{
  BL_COMPARES_POINTS,
  BL_COMPARES_MEASUREMENTS,
  BL_COMPARES_COMPONENTS,
  BL_COMPARES_STRUCTURE,   /* sections, stages, ports */
  BL_COMPARES_INDICATIONS, /* symptoms and lamp patterns */
  BL_COMPARES_STATES,
  BL_COMPARES_HEAD,        /* number, mains, odds ... and what the document says of its photos */
  BL_N_COMPARES
} BlComparesGroup;

/* edition: the open one, kept. NULL with error when the other one cannot be read. */
BlComparison *bl_comparison_new (BlEdition *edition, gint64 other, GError **error);
gint64 bl_comparison_get_other_id (BlComparison *self);
const BlBoard *bl_comparison_get_other (BlComparison *self);

/* BlDifference, in the document's order. (transfer none) */
const GPtrArray *bl_comparison_get_differences (BlComparison *self);
/* Photos of both whose pictures are not the same; "" when there is none, else "front, back". (transfer none) */
const char *bl_comparison_get_other_pictures (BlComparison *self);

/* FALSE: nothing is left to show of it but places on other pictures, or whose edition a lamp pattern is. */
gboolean bl_comparison_shows (const BlDifference *difference);
BlComparesGroup bl_comparison_group (const BlDifference *difference);
const char *bl_comparison_group_words (BlComparesGroup group);
/* "added", "gone", "changed", "renamed", about the open edition. */
const char *bl_comparison_kind_words (BlDifferenceKind kind);
/* Contains text, whatever its case, in id, title or a field; "" and NULL: everything does. */
gboolean bl_comparison_matches (const BlDifference *difference, const char *text);

/* Makes the open edition say what the other one says there: of one field, or (field NULL) of all of them. What that
 * refers to comes along: n_along (may be NULL) is how many other differences that were. Refused with the reason where
 * the document's rules would be broken. */
gboolean bl_comparison_take (BlComparison *self, const BlDifference *difference, const BlDifferenceField *field,
                             guint *n_along, GError **error);

/* What the open edition has otherwise than the other, as lines of text. (transfer full) */
char *bl_comparison_to_text (BlComparison *self);

G_END_DECLS
