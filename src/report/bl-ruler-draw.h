/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-palette.h"
#include "bl-verdict.h"

G_BEGIN_DECLS

/* Where the zones of the ruler end, in parts of its width; the same on every ruler, so that the
 * lanes of a list join into one stripe. Zones: absent or shorted, low, band, high, beyond. */
#define BL_RULER_ABSENT_END 0.12
#define BL_RULER_LANE_START 0.36
#define BL_RULER_LANE_END 0.64
#define BL_RULER_HIGH_END 0.86
#define BL_RULER_PAST_BREAK 0.95 /* where a value past the break, or an over range, stands */

typedef enum
{
  BL_RULER_DEFAULT = 0,
  BL_RULER_TYPING = 1 << 0,    /* hollow needle: not entered yet */
  BL_RULER_LANE_ONLY = 1 << 1, /* lane and limits alone, over the full height, to join list rows */
  BL_RULER_RAISED = 1 << 2     /* stands on the raised ground (panel, paper), not on the page */
} BlRulerFlags;

/* Draws the ruler into the box (x, y, w, h); h is the lane's height: 17 in a row, 40 in a panel, 88
 * in the probe view. From h = 30 on, lines are thicker and the whisker always shows; below, only
 * where it reaches a limit. reading NULL: no needle. verdict NULL: needle in ink, without whisker.
 * band NULL: an empty track. */
void bl_ruler_draw (cairo_t *cr,
                    const BlBand *band,
                    const BlReading *reading,
                    const BlVerdict *verdict,
                    BlRulerFlags flags,
                    double x,
                    double y,
                    double w,
                    double h,
                    const BlPalette *palette);

/* Where value (SI base units, sign as read) stands, 0 to 1 of the width. */
double bl_ruler_position (const BlBand *band, double value);

/* The limits of the ruler for the caller to label, left to right. */
typedef struct
{
  double at;      /* 0 to 1 of the width */
  double value;   /* SI base units, sign as read */
  gboolean limit; /* a limit of the band itself, to be shown stronger */
} BlRulerLabel;
/* Returns: (transfer full) GArray of BlRulerLabel. */
GArray *bl_ruler_labels (const BlBand *band);

/* The names of the zones that this band has, left to right. */
typedef struct
{
  double at;        /* centre of the zone */
  const char *name; /* class name, owned by the band */
} BlRulerZone;
/* Returns: (transfer full) GArray of BlRulerZone. */
GArray *bl_ruler_zones (const BlBand *band);

G_END_DECLS
