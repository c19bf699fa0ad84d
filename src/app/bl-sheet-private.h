/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the files of the sheet share; bl-sheet.h is for everybody else. */
#pragma once

#include "bl-sheet.h"

G_BEGIN_DECLS

typedef enum
{
  BL_PIECE_WORDS,
  BL_PIECE_NAME,
  BL_PIECE_SLOT,
  BL_PIECE_BUTTON,
  BL_PIECE_LANE,
  BL_PIECE_WIDGET
} BlPieceKind;

typedef struct
{
  BlPieceKind kind;
  char *words, *css, *cap, *tip, *act;
  BlRef ref;
  BlSlot slot;
  int chars;
  gboolean named, joined;
  GtkWidget *widget; /* of a BL_PIECE_WIDGET until it is used; owned */
} BlPiece;

typedef struct
{
  char *css, *label;
  int indent;
  gboolean has_about;
  BlRef about;
  GPtrArray *pieces;
  GString *signature; /* equal for lines that need not be made anew */
  GtkWidget *widget;  /* shown; owned by the box */
} BlLine;

struct _BlSheet
{
  GtkWidget parent_instance;

  GtkWidget *box;
  BlEdition *edition;
  GPtrArray *lines, *next; /* BlLine: shown, being described */
  gboolean raised, has_focus_wish, has_mark;
  BlRef focus_ref, mark;
  BlSlot focus_slot;
  BlRef reveal_ref;  /* brought into view when `reveal` ends */
  guint reveal;      /* tick callback, 0: none */
  int reveal_frames; /* still to wait */
};

/* The widget of a piece of the given line. Slots and lanes leave "lane" with the line; a line has a label
 * "trouble" for what is wrong with its slots. The piece keeps nothing but its words. */
GtkWidget *bl_sheet_make_piece (BlSheet *self, BlPiece *piece, GtkWidget *line);

G_END_DECLS
