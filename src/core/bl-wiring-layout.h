/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-label-place.h"
#include "bl-wiring.h"

G_BEGIN_DECLS

/* Sizes of text in the drawing, px. */
#define BL_WIRE_ROLE_PX 14.0
#define BL_WIRE_TITLE_PX 12.5
#define BL_WIRE_NAME_PX 12.0
#define BL_WIRE_CHECK_PX 11.0
#define BL_WIRE_SHAPE 16.0     /* verdict shapes, where there is room */
#define BL_WIRE_CIRCLE 4.5     /* radius of a terminal */

/* Width of a text in the drawing's font, px. */
typedef double (*BlWireMeasure) (const char *text, double px, gboolean bold, gpointer data);

/* Where a check stands. */
typedef struct
{
  double x, y;      /* the middle of its shape */
  double size;      /* of the shape; 0: there is no room, its place stands for it */
  double room;      /* half the height that is its own */
  BlLabelBox label; /* its id, or its title where titled; w 0: left out */
  gboolean titled;
} BlWireMark;

/* A terminal, or the end of a conductor that no check uses. */
typedef struct
{
  double x, y;
  BlLabelBox label;
} BlWireEnd;

typedef struct
{
  double x[4], y[4]; /* right-angled, from where it comes to where it goes */
  guint n_points;
  BlLabelBox label; /* its title, or the tab when it is the likely failed one */
  BlLabelBox row;   /* what is its own between the boxes */
  BlWireEnd end[2];
} BlWireLine;

typedef struct
{
  BlLabelBox outline; /* w 0: nothing to draw */
  BlLabelBox label;
} BlWireFrame;

typedef struct
{
  double width, height;
  BlWireFrame *boxes;   /* by index of the wiring's lists, as all of them */
  BlWireFrame *cables;
  BlWireLine *lines;    /* of conductors */
  BlWireEnd *terminals;
  BlWireMark *marks;    /* of checks */
  BlLabelBox supply;    /* words on which box feeds which */
  int feeds, fed;       /* boxes; -1: not known, or not the same for all conductors that feed */
} BlWiringLayout;

/* Lays the wiring out in width x height px; the boxes of the feeding side at the left. likely: the place that the tab
 * is about, BL_WIRE_ANYWHERE: none. Everything has a place at any size; words are left out, and then shapes, where
 * there is no room. No label covers another one or a shape. (transfer full) */
BlWiringLayout *bl_wiring_layout_new (const BlWiring *wiring, double width, double height, BlWirePlace likely,
                                      guint likely_index, BlWireMeasure measure, gpointer data);
void bl_wiring_layout_free (BlWiringLayout *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlWiringLayout, bl_wiring_layout_free)

/* What is at (x, y): a check, else the terminal, conductor, cable or box. FALSE: nothing. */
gboolean bl_wiring_layout_pick (const BlWiringLayout *self, const BlWiring *wiring, double x, double y, int *check,
                                BlWirePlace *place, guint *index);

G_END_DECLS
