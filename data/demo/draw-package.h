/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "draw-field.h"

#include <cairo.h>

typedef struct _DrawPackage DrawPackage;

/* One land of a package in the package's own mm; pin 1 first. */
typedef struct
{
  char name[8];
  double u, v;
  double w, h;                      /* land */
  gboolean through;                 /* has a lead through the board */
  double probe_u, probe_v, probe_z; /* where a probe tip gets at it */
} DrawPad;

enum
{
  DRAW_MAX_PADS = 64
};

typedef struct
{
  char *id;
  const DrawPackage *package;
  double x, y, turn; /* mm, degrees; as seen from the front */
  gboolean back;
  char *mark;              /* value or print on the body */
  double label_u, label_v; /* offset of the designator from the part's middle, board mm */
  gboolean label_set;
} DrawPart;

/* What a package is painted into. */
typedef struct
{
  DrawField *field;
  cairo_t *print; /* print on the bodies, board mm */
  const DrawPackage *package;
  const char *mark;
  const char *id;
  DrawFrame frame;
} DrawBody;

typedef enum
{
  LANDS_NONE,
  LANDS_TWO,
  LANDS_ROW,
  LANDS_DUAL,
  LANDS_QUAD,
  LANDS_LIST
} DrawLands;

struct _DrawPackage
{
  const char *name;
  double w, h; /* body from above, mm */
  double top;  /* mm above the board */
  DrawLands lands;
  int n;             /* lands */
  double pitch, row; /* mm */
  double land_w, land_h;
  gboolean through;
  void (*paint) (const DrawBody *body);
  guint32 colour;
  double extra;       /* body length, lead width: see the painter */
  const double *list; /* u, v of each land for LANDS_LIST */
  gboolean round;     /* the outline is a circle */
};

const DrawPackage *draw_package_find (const char *name);
int draw_package_pads (const DrawPackage *self, DrawPad *pads);
DrawFrame draw_part_frame (const DrawPart *part, double board_w, gboolean from_back);

void draw_print (const DrawBody *body,
                 double u,
                 double v,
                 double size,
                 guint32 rgb,
                 double degrees,
                 const char *text);

/* Painters: draw-leaded.c */
void draw_resistor (const DrawBody *body);
void draw_diode (const DrawBody *body);
void draw_glass_diode (const DrawBody *body);
void draw_can (const DrawBody *body);
void draw_disc_part (const DrawBody *body);
void draw_dip (const DrawBody *body);
void draw_to92 (const DrawBody *body);
void draw_led (const DrawBody *body);
void draw_resonator (const DrawBody *body);
void draw_round_bridge (const DrawBody *body);

/* Painters: draw-power.c */
void draw_terminal (const DrawBody *body);
void draw_fuse (const DrawBody *body);
void draw_box_capacitor (const DrawBody *body);
void draw_choke (const DrawBody *body);
void draw_relay (const DrawBody *body);
void draw_heatsink (const DrawBody *body);
void draw_flat_bridge (const DrawBody *body);
void draw_flyback (const DrawBody *body);
void draw_mains_transformer (const DrawBody *body);
void draw_to220 (const DrawBody *body);
void draw_plug (const DrawBody *body);
void draw_switch (const DrawBody *body);

/* Painters: draw-chips.c */
void draw_chip_resistor (const DrawBody *body);
void draw_chip_capacitor (const DrawBody *body);
void draw_gull (const DrawBody *body);
void draw_quad (const DrawBody *body);
void draw_module (const DrawBody *body);
void draw_lead_sensor (const DrawBody *body);
