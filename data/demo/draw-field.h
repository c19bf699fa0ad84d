/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

/* What a surface is made of: decides gloss, grain and reflection when it is lit. */
typedef enum
{
  DRAW_MAT,      /* bench mat */
  DRAW_MASK,     /* solder mask */
  DRAW_LAMINATE, /* bare board edge, holes */
  DRAW_INK,      /* silk screen */
  DRAW_TIN,      /* solder, tinned leads and pads */
  DRAW_METAL,    /* aluminium, steel, screws */
  DRAW_COPPER,   /* bare or enamelled wire */
  DRAW_PLASTIC,  /* moulded, satin */
  DRAW_GLOSSY,   /* lacquer, epoxy, sleeve */
  DRAW_GLASS,    /* fuse tube, lens */
  DRAW_CERAMIC,  /* chip capacitors, ferrite */
  DRAW_SOOT,     /* burnt spot */
  DRAW_N_MATERIALS
} DrawMaterial;

typedef struct
{
  guint8 r, g, b; /* sRGB */
  guint8 material;
} DrawSkin;

/* A scene seen from straight above: one height and one skin per cell. */
typedef struct
{
  int w, h;                /* cells */
  double scale;            /* cells per mm */
  double margin;           /* mm of bench around the board; the board's corner is 0, 0 */
  double board_w, board_h; /* mm */
  float *z;                /* mm above the board's surface */
  DrawSkin *skin;
} DrawField;

/* Place and turn of a thing on the field; u and v are its own mm. */
typedef struct
{
  double x, y, c, s;
  gboolean mirror; /* u runs the other way: a leaded part seen from behind */
} DrawFrame;

/* A solid: height at u, v in mm and its skin, or -G_MAXFLOAT outside. */
typedef double (*DrawSolid) (double u, double v, gconstpointer data, DrawSkin *skin);

DrawField *
draw_field_new (double board_w, double board_h, double margin, double right, double scale);
void draw_field_free (DrawField *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (DrawField, draw_field_free)

DrawFrame draw_frame (double x, double y, double degrees, gboolean mirror);
DrawFrame draw_frame_at (const DrawFrame *self, double u, double v, double degrees);
void draw_frame_map (const DrawFrame *self, double u, double v, double *x, double *y);

DrawSkin draw_skin (guint32 rgb, DrawMaterial material);
double draw_hash (int x, int y, guint seed);
double draw_noise (double x, double y, guint seed);

void draw_stamp (DrawField *self,
                 const DrawFrame *frame,
                 double u0,
                 double v0,
                 double u1,
                 double v1,
                 DrawSolid solid,
                 gconstpointer data);

/* The usual solids. Heights are above the board in mm. */
void draw_block (DrawField *self,
                 const DrawFrame *frame,
                 double u,
                 double v,
                 double w,
                 double h,
                 double corner,
                 double top,
                 double bevel,
                 DrawSkin skin);
void draw_disc (DrawField *self,
                const DrawFrame *frame,
                double u,
                double v,
                double radius,
                double top,
                double bevel,
                DrawSkin skin);
void draw_ball (DrawField *self,
                const DrawFrame *frame,
                double u,
                double v,
                double radius,
                double base,
                double rise,
                DrawSkin skin);
void draw_rod (DrawField *self,
               const DrawFrame *frame,
               double u0,
               double v0,
               double u1,
               double v1,
               double radius,
               double axis,
               DrawSkin skin);
void draw_joint (DrawField *self,
                 const DrawFrame *frame,
                 double u,
                 double v,
                 double pad,
                 double rise,
                 double lead,
                 guint seed);
