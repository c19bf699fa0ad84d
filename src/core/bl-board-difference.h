/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"

G_BEGIN_DECLS

/* What two board documents say differently, and a document made of one with chosen things of the
 * other. "mine" is the document that stays, "theirs" the one that is looked at. */

typedef enum
{
  BL_DIFFERENCE_ADDED,   /* theirs alone has it */
  BL_DIFFERENCE_REMOVED, /* mine alone has it */
  BL_DIFFERENCE_CHANGED,
  BL_DIFFERENCE_RENAMED, /* theirs has it under another id, and may say something else of it too */
  BL_N_DIFFERENCES
} BlDifferenceKind;

/* Where something is on a photo of its document; photo NULL, x and y NAN: nowhere. */
typedef struct
{
  char *photo;
  double x, y;
} BlDifferencePlace;

/* One value within an element. Where photo, x and y stand together they are one field, "place". */
typedef struct
{
  char *words;         /* which, in words: "expected, low" */
  char *path;          /* which, as keys: "expected.low", "modes[open].weight" */
  char *mine, *theirs; /* for a reader, with unit, numbers by the locale; NULL: left out */
  char *mine_json, *theirs_json; /* the same as JSON; NULL: left out */
  GPtrArray *steps;    /* private to core: how bl_board_merge () gets there */
  gboolean take;       /* set by the caller: bl_board_merge () takes this field of theirs */
  GArray *needs;       /* private to core: as those of the difference, for this field alone */
} BlDifferenceField;

/* One element of a list, or one value of the document's head, that they have differently. */
typedef struct
{
  BlDifferenceKind kind;
  const char *list;   /* the document's key: "test_points", "components" ...; "": the head */
  char *id;           /* that of theirs, or of mine where theirs has none; of the head its key;
                         of an indication its symptom and, from the second on, number */
  char *old_id;       /* RENAMED: that of mine; otherwise NULL */
  char *title;        /* NULL: none */
  BlDifferencePlace mine, theirs; /* in either document */
  GPtrArray *fields;  /* BlDifferenceField: what is otherwise; of what is added or removed all it says */
  gboolean take;      /* set by the caller: bl_board_merge () makes it as theirs has it */
  GArray *needs;      /* private to core: guint, differences that must be taken with this one */
} BlDifference;

void bl_difference_free (BlDifference *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlDifference, bl_difference_free)

/* Everything that theirs has otherwise than mine, in the order of the document's keys, none with
 * "take" set. Elements are matched by id; the order of a list does not count, nor whether an empty
 * list is written. Something is called renamed only where no other of either document could be it:
 * the same but for its id, or at the same place, or of the same title and kind; a photo only where its
 * landmarks lie at the same pixels. The uid, which says which document it is, is not compared.
 * Returns: (transfer full), of BlDifference. */
GPtrArray *bl_board_differences (const BlBoard *mine, const BlBoard *theirs);

/* How many there are of a kind (BL_N_DIFFERENCES: any) in a list (NULL: any). */
guint bl_differences_count (const GPtrArray *differences, BlDifferenceKind kind, const char *list);

/* Sets "take" wherever a difference that is taken refers to one that is not: a measurement takes its
 * point along, a removed stage the components that leave it. Returns: how many were set. */
guint bl_differences_take_along (GPtrArray *differences);

/* The other way: clears "take" wherever a difference that is taken refers to one that is not, after one was
 * put back. Returns: how many were cleared. */
guint bl_differences_leave_along (GPtrArray *differences);

/* A copy of mine in which everything marked "take" is as in theirs; differences are those of the same two
 * documents. Ids that theirs changed and whose renaming is not taken are read as mine calls them. New elements
 * stand where theirs has them. What breaks the document's rules is refused with BL_CORE_ERROR_INVALID and the
 * reason: call bl_differences_take_along () first. The uid stays. Returns: (transfer full), NULL with error. */
BlBoard *bl_board_merge (const BlBoard *mine, const BlBoard *theirs, const GPtrArray *differences,
                         GError **error);

/* All of it as lines of text, grouped by list, for printing or pasting elsewhere. Returns: (transfer full). */
char *bl_differences_to_text (const GPtrArray *differences);

/* The list in words, plural: "test points", "indications"; of "" "head of the document". (transfer none) */
const char *bl_difference_list_words (const char *list);
/* "added", "gone", "changed", "renamed". (transfer none) */
const char *bl_difference_kind_words (BlDifferenceKind kind);

G_END_DECLS
