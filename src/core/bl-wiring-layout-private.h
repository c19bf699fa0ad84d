/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-wiring-layout.h"

G_BEGIN_DECLS

/* Shared by the files that lay out the drawing of an equipment: bl-wiring-layout.c, and those named below. */

#define MARGIN 8.0
#define INSET 8.0      /* from the edge of a box to its words */
#define TAIL 22.0      /* free line at each end of a conductor, for the arrow and the cable's end */
#define ABOVE 18.0     /* of a conductor's slot, for a title above its line */
#define LEAST_ABOVE 36.0
#define GAP 10.0       /* between things in a row */
#define BESIDE 8.0     /* between a shape and its name, so that brackets have room */
#define LINE 1.35      /* height of a line of text, in its size */
#define LEAST_SHAPE 11.0
#define ROW 18.0       /* of checks below each other */

typedef enum
{
  SLOT_HEAD,
  SLOT_CABLE,
  SLOT_CONDUCTOR,
  SLOT_EXTRA
} SlotKind;

typedef struct
{
  SlotKind kind;
  double y, h, want, least;
  int box;       /* at the right, whose slot it is; -1: below them all */
  int index;     /* of the cable or conductor */
  guint rows;    /* of checks, at least one */
  gboolean goes_on; /* the second slot of a conductor that turns corners */
  int extra[3];  /* left, between, right: index into extras; -1: none */
} Slot;

/* What has a row of its own: a loose terminal, or a check of a box. */
typedef struct
{
  int terminal, check;
} Extra;

typedef struct
{
  const BlWiring *wiring;
  BlWiringLayout *out;
  BlWireMeasure measure;
  gpointer data;
  BlWirePlace likely;
  guint likely_index;
  int left; /* box at the left; -1: none */
  GArray *slots;  /* Slot */
  GArray *extras; /* Extra */
  double xl, xr;  /* inner edges of the boxes */
  double end[2];  /* outer edges of the right boxes */
} Work;

/* bl-wiring-rows.c */
/* Of a line of text of this size. */
double bl_wire_text_height (double px);
/* One line of text, w wide, that begins at x. */
BlLabelBox bl_wire_label_at (double x, double middle, double w, double px);
/* Size of a check's shape in a row of this height; 0: there is no room for one. */
double bl_wire_shape_for (double h);
/* Of the name of a check. */
double bl_wire_check_width (const Work *work, guint check);
/* Rows that the checks take in this width; *fits: none of them is wider than that. */
guint bl_wire_count_rows (const Work *work, const GArray *checks, double room, double size, gboolean names, gboolean *fits);
/* Puts checks beside and below each other from x0 to x1. y, h: the middle and height of the first row; below: room for
 * more rows under it. Names are left out where they have no room, then shapes. align: -1 left, 0 middle, 1 right. */
void bl_wire_put_marks (Work *work, const GArray *checks, double x0, double x1, double y, double h, double below, int align);
/* Indices (guint) of the checks taken there, in their order. (transfer full) */
GArray *bl_wire_checks_at (const Work *work, BlWirePlace place, guint index);

/* bl-wiring-slots.c */
/* Whether it joins two boxes that both stand at the right. */
gboolean bl_wire_turns_corners (const Work *work, const BlWireConductor *conductor);
/* What there is from top to bottom, without heights yet. */
void bl_wire_make_slots (Work *work);
/* Lines that a text takes in this width, wrapped; three at most. */
guint bl_wire_count_lines (const Work *work, const char *text, gboolean bold, double room);
/* Room of a cable's title beside the checks about it. */
double bl_wire_cable_room (const Work *work, guint checks, double size);
/* Titles that are longer than their line get more of them where the drawing has height to spare. */
void bl_wire_wrap_titles (Work *work, double height);
/* Heights between what is wanted and what is least, all alike; below that all alike again. */
void bl_wire_stretch_slots (Work *work, double height);

/* bl-wiring-put.c */
/* Where a box ends towards the margin, and towards the other side. */
void bl_wire_box_edges (const Work *work, int box, double *outer, double *inner);
/* Puts what each slot has where it stands. Slots have their heights, boxes their frames. */
void bl_wire_put_slots (Work *work);

G_END_DECLS
