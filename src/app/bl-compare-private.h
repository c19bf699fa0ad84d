/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-compare-view.h"
#include "bl-comparison.h"
#include "bl-difference-mark.h"
#include "bl-next-edition.h"
#include "bl-photo-loader.h"
#include "bl-photo-view.h"

G_BEGIN_DECLS

/* Shared by the files of the comparison. Rows and marks are named by list and id: "components/R12". */

struct _BlCompareView
{
  GtkWidget parent_instance;

  BlLibrary *library; /* of the application */
  BlEdition *edition; /* NULL: none is open */
  BlComparison *comparison; /* NULL: nothing to compare with */
  BlOrigin *origin;         /* NULL: it was not copied */
  GArray *others;           /* gint64, in the order of the drop-down, which has one word before them */
  char *selected;           /* row in hand; NULL: none */
  gboolean changed;         /* since it was shown */
  gboolean fresh;           /* just opened: the first row is taken in hand */
  gboolean filling;         /* the lists are being made: nothing is being selected */
  guint refresh_idle;

  GtkWidget *box, *title, *other, *undo, *copy_text;
  GtkWidget *segments, *whose[2], *photo;
  GtkWidget *tabs[2], *stack;
  GtkWidget *filter, *search, *kinds[BL_N_MARKS], *remark, *columns[2], *list, *list_scroll;
  GtkWidget *look_words, *look_rest, *look, *look_scroll;
  GtkWidget *keys;

  gboolean theirs_shown;
  char *photo_id;       /* shown; NULL: none */
  BlPhotoLoader *loader; /* "mine/front" */
};

#define BL_COMPARE_WORDS_WIDTH 150 /* of the column that says which field, px */

enum
{
  BL_COMPARE_DIFFERENCES,
  BL_COMPARE_LOOK
};

/* bl-compare-view.c */
void bl_compare_queue_refresh (BlCompareView *self);
/* Takes a row in hand and shows it on the photo; NULL: none. */
void bl_compare_select (BlCompareView *self, const char *key);
void bl_compare_edit (BlCompareView *self);
int bl_compare_tab (BlCompareView *self);
/* What the other edition is called on buttons: "C". (transfer none) */
const char *bl_compare_other_mark (BlCompareView *self);
char *bl_compare_key_of (const BlDifference *difference);
const BlDifference *bl_compare_find (BlCompareView *self, const char *key);

/* bl-compare-layout.c */
GtkWidget *bl_compare_build (BlCompareView *self);

/* bl-compare-list.c */
void bl_compare_list_fill (BlCompareView *self);
/* Whether the filter lets it through. */
gboolean bl_compare_list_has (BlCompareView *self, const BlDifference *difference);
void bl_compare_take (BlCompareView *self, const BlDifference *difference, const BlDifferenceField *field);
/* Selects the row of this key in a list box and scrolls to it. FALSE: there is none. */
gboolean bl_compare_list_select (GtkWidget *list, const char *key, gboolean focus);

/* bl-compare-look.c */
void bl_compare_look_fill (BlCompareView *self);
/* Notes that the part in hand was looked at, or takes that back, and goes to the next. */
void bl_compare_look_tick (BlCompareView *self);

/* bl-compare-photo.c */
void bl_compare_photo_refresh (BlCompareView *self);
void bl_compare_photo_forget (BlCompareView *self);
void bl_compare_photo_show (BlCompareView *self, gboolean theirs, const char *photo);
void bl_compare_photo_side (BlCompareView *self);
void bl_compare_photo_reveal (BlCompareView *self, const char *key, gboolean close);
void bl_compare_photo_connect (BlCompareView *self);

/* bl-compare-keys.c */
void bl_compare_keys_show (BlCompareView *self);

G_END_DECLS
