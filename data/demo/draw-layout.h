/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "draw-package.h"

typedef struct
{
  double x, y;
} DrawPoint;

/* A stroke, an area or a piece of text named in the layout; what it is depends on the list. */
typedef struct
{
  gboolean back;
  gboolean hatched, routed; /* pours; routed: tracks join the net's lands as well */
  int net;
  double width;   /* mm; text: cap height; labels: width */
  double height;  /* mm, labels only */
  double turn;    /* degrees, text only */
  char *text;     /* text, or id of a section */
  GArray *points; /* DrawPoint, board mm seen from the front */
} DrawShape;

typedef struct
{
  char *name;
  double width;    /* mm wished for */
  GPtrArray *pins; /* "U2.3" */
} DrawNet;

/* A land on the board. */
typedef struct
{
  const DrawPart *part;
  DrawPad pad;
  double x, y, turn; /* from the front */
  double probe_x, probe_y;
  gboolean back;   /* side of a land without a lead */
  gboolean probed; /* a test point sits on it */
  int net;         /* 1-based, 0 none */
} DrawLandAt;

typedef struct
{
  char *id, *pin;
  gboolean back;
} DrawTestPoint;

typedef struct
{
  double w, h;
  guint32 mask, mask_copper, bench;
  double roll, pitch, yaw; /* degrees: how the camera was held */
  double margin_right;     /* mm of bench wanted at the right for leads */
  GPtrArray *parts;        /* DrawPart */
  GPtrArray *nets;         /* DrawNet */
  GPtrArray *pours, *gaps, *slots, *texts, *lines, *labels, *sections; /* DrawShape */
  GArray *holes, *fiducials;                                           /* DrawPoint */
  GArray *lands;                                                       /* DrawLandAt */
  GPtrArray *points;                                                   /* DrawTestPoint */
  GHashTable *section_of, *stage_of;                                   /* part id to name */
} DrawLayout;

DrawLayout *draw_layout_load (const char *layout_path, const char *parts_path, GError **error);
void draw_layout_free (DrawLayout *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (DrawLayout, draw_layout_free)

const DrawPart *draw_layout_part (const DrawLayout *self, const char *id);
DrawLandAt *draw_layout_land (const DrawLayout *self, const char *pin);
void draw_part_box (const DrawPart *part, double grow, double box[4]);
guint draw_layout_check (const DrawLayout *self);
