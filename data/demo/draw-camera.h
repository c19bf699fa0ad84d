/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "draw-light.h"

#include <gdk-pixbuf/gdk-pixbuf.h>

/* How high the lens stands, mm: decides how far tall parts lean outwards. */
enum
{
  DRAW_LENS_HEIGHT = 820
};

/* A pinhole camera held above the bench, all in mm and radians; the board's corner is 0, 0. */
typedef struct
{
  int w, h;          /* picture, px */
  double at[3];      /* the lens */
  double turn[3][3]; /* bench to camera */
  double focal;      /* px */
} DrawCamera;

void draw_camera_aim (DrawCamera *self,
                      int w,
                      int h,
                      double x,
                      double y,
                      double height,
                      double px_per_mm,
                      double roll,
                      double pitch,
                      double yaw);
void
draw_camera_project (const DrawCamera *self, double x, double y, double z, double *px, double *py);
GdkPixbuf *
draw_camera_shoot (const DrawCamera *self, const DrawField *field, const DrawLit *lit, guint seed);
