/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"
#include "bl-verdict.h"

G_BEGIN_DECLS

/* What each measurement of a board would read with these failure modes on it, and which other mode reads the
 * same everywhere: so that whoever documents a fault sees whether it can be told apart. */

/* One measurement. */
typedef struct
{
  guint measurement;     /* index into the board's measurements */
  char *class_name;
  gboolean good;         /* as expected on a sound board */
  BlBand *band;          /* what it is judged by */
  BlReadingKind kind;    /* VALUE, RANGE (unsteady, a swing), OVER or ANSWER */
  gboolean answer;       /* of a check */
  double low, high;      /* between which values it reads on the boards drawn, SI base units, sign as read; a band
                          * that follows another reading is another one on each board: then of one board, with the
                          * band of that board */
} BlPreviewRow;

/* A mode that those asked for bring about, at any remove. */
typedef struct
{
  char *component, *mode;
  double chance;  /* of the likeliest way to it */
  gboolean there; /* counted as happened: more likely than not, and not excluded */
} BlPreviewAlong;

/* Another documented mode that reads differently at one measurement only. */
typedef struct
{
  char *fault; /* "COMPONENT:MODE" */
  guint measurement;
  char *class_name; /* what that one shows with the other mode */
} BlPreviewNear;

typedef struct
{
  GPtrArray *rows;  /* BlPreviewRow, document order, all measurements */
  GPtrArray *along; /* BlPreviewAlong */
  GPtrArray *alike; /* "COMPONENT:MODE", with what each most likely brings about; the one asked for left
                      * out, but of several asked for each is compared alone */
  GPtrArray *near;  /* BlPreviewNear */
  guint n_changed;  /* rows that are not good */
  gboolean at_times; /* an asked mode shows itself only in some rounds; the rows are of one in which it does */
} BlPreview;
void bl_preview_free (BlPreview *preview);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlPreview, bl_preview_free)

/* faults: "COMPONENT:MODE", NULL-terminated, at least one: there and showing itself. What they bring about with a
 * chance of one half or more is counted as there too, except those named in without (NULL: none). Values are the
 * extremes on 12 boards drawn by bl_simulate_active (), coherent along the feeds. (transfer full) */
BlPreview *bl_preview_new (const BlBoard *board, const char *const *faults, const char *const *without, GError **error);

G_END_DECLS
