/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-editor-private.h"
#include "bl-preview.h"

G_BEGIN_DECLS

/* The failure mode in hand: of the component in hand the one whose sentence is written in, and what the board would
 * read with it. */
typedef struct BlEditorModes
{
  char *component, *mode; /* mode NULL: none is in hand */
  char *typed;            /* its sentence as it is being typed, NULL: as in the document */
  gboolean is_new;        /* it is not in the document yet */
  GPtrArray *without;     /* "F1:open": not brought about although it is likely */
  GPtrArray *also;        /* the same: there at the same time */
  BlBoard *board;         /* what the preview below is of */
  BlPreview *preview;     /* NULL: not known yet */
  BlBoard *asked;         /* what the preview being worked out is of */
  char *trouble;          /* why there is none */
  gboolean unreadable;    /* what is typed cannot be read yet: the preview is of what stood there before */
  GCancellable *cancellable;
  double scrolled;        /* where the structure stood */
} BlEditorModes;

/* NULL: no mode is in hand. */
BlEditorModes *bl_editor_modes (BlEditor *self);
/* Works the preview out anew. */
void bl_editor_modes_ask (BlEditor *self);

G_END_DECLS
