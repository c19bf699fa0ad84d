/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The scene of a board picture as a height field: every part is stamped as a solid of revolution,
 * a block or a rod, the higher one wins. Light, shadow and the camera's parallax are then computed
 * from the heights alone (draw-light.c, draw-camera.c), so a tall can throws its shadow over its
 * neighbours without being told about them.
 *
 * Some ten million cells of eight bytes. What a height field cannot show are undercuts: a resistor
 * above the board stands on a wall of its own width. From straight above nobody sees it. */
#include "config.h"

#include "draw-field.h"

#include <math.h>

DrawField *
draw_field_new (double board_w, double board_h, double margin, double right, double scale)
{
  DrawField *self = g_new0 (DrawField, 1);

  self->board_w = board_w;
  self->board_h = board_h;
  self->margin = margin;
  self->scale = scale;
  self->w = (int) ((board_w + 2 * margin + right) * scale);
  self->h = (int) ((board_h + 2 * margin) * scale);
  self->z = g_new0 (float, (gsize) self->w * self->h);
  self->skin = g_new0 (DrawSkin, (gsize) self->w * self->h);
  return self;
}

void
draw_field_free (DrawField *self)
{
  g_free (self->z);
  g_free (self->skin);
  g_free (self);
}

DrawFrame
draw_frame (double x, double y, double degrees, gboolean mirror)
{
  double a = degrees * G_PI / 180;

  return (DrawFrame){ x, y, cos (a), sin (a), mirror };
}

/* A frame inside a frame. */
DrawFrame
draw_frame_at (const DrawFrame *self, double u, double v, double degrees)
{
  double a = atan2 (self->s, self->c) + (self->mirror ? -1 : 1) * degrees * G_PI / 180;
  double x, y;

  draw_frame_map (self, u, v, &x, &y);
  return (DrawFrame){ x, y, cos (a), sin (a), self->mirror };
}

void
draw_frame_map (const DrawFrame *self, double u, double v, double *x, double *y)
{
  if (self->mirror)
    u = -u;
  *x = self->x + u * self->c - v * self->s;
  *y = self->y + u * self->s + v * self->c;
}

DrawSkin
draw_skin (guint32 rgb, DrawMaterial material)
{
  return (DrawSkin){ rgb >> 16 & 255, rgb >> 8 & 255, rgb & 255, material };
}

/* The same number from 0 to 1 for the same place, on every machine and in every thread. */
double
draw_hash (int x, int y, guint seed)
{
  guint32 n = (guint32) x * 374761393u + (guint32) y * 668265263u + seed * 2246822519u;

  n = (n ^ (n >> 13)) * 1274126177u;
  n = (n ^ (n >> 16)) * 2654435761u;
  return (n >> 8) / 16777216.0;
}

/* Smooth value noise from 0 to 1 with one lattice point per unit. */
double
draw_noise (double x, double y, guint seed)
{
  int i = (int) floor (x), j = (int) floor (y);
  double fx = x - i, fy = y - j;
  double a, b;

  fx = fx * fx * (3 - 2 * fx);
  fy = fy * fy * (3 - 2 * fy);
  a = draw_hash (i, j, seed) * (1 - fx) + draw_hash (i + 1, j, seed) * fx;
  b = draw_hash (i, j + 1, seed) * (1 - fx) + draw_hash (i + 1, j + 1, seed) * fx;
  return a * (1 - fy) + b * fy;
}

/* Stamps a solid that lies inside the box u0, v0, u1, v1 of the frame. */
void
draw_stamp (DrawField *self,
            const DrawFrame *frame,
            double u0,
            double v0,
            double u1,
            double v1,
            DrawSolid solid,
            gconstpointer data)
{
  double left = G_MAXDOUBLE, top = G_MAXDOUBLE, right = -G_MAXDOUBLE, bottom = -G_MAXDOUBLE;
  int i0, i1, j0, j1;

  for (int k = 0; k < 4; k++)
    {
      double x, y;

      draw_frame_map (frame, k & 1 ? u1 : u0, k & 2 ? v1 : v0, &x, &y);
      left = MIN (left, x), right = MAX (right, x);
      top = MIN (top, y), bottom = MAX (bottom, y);
    }
  i0 = MAX (0, (int) ((left + self->margin) * self->scale));
  i1 = MIN (self->w - 1, (int) ((right + self->margin) * self->scale) + 1);
  j0 = MAX (0, (int) ((top + self->margin) * self->scale));
  j1 = MIN (self->h - 1, (int) ((bottom + self->margin) * self->scale) + 1);

  for (int j = j0; j <= j1; j++)
    for (int i = i0; i <= i1; i++)
      {
        double dx = (i + 0.5) / self->scale - self->margin - frame->x;
        double dy = (j + 0.5) / self->scale - self->margin - frame->y;
        double u = dx * frame->c + dy * frame->s;
        double v = dy * frame->c - dx * frame->s;
        gsize at = (gsize) j * self->w + i;
        DrawSkin skin = { 0 };
        double z = solid (frame->mirror ? -u : u, v, data, &skin);

        if (z > self->z[at])
          {
            self->z[at] = (float) z;
            self->skin[at] = skin;
          }
      }
}

typedef struct
{
  double u, v, w, h, corner, top, bevel;
  DrawSkin skin;
} Block;

/* Distance inside a rounded rectangle, negative outside. */
static double
depth_in (const Block *b, double u, double v)
{
  double du = fabs (u - b->u) - b->w / 2 + b->corner;
  double dv = fabs (v - b->v) - b->h / 2 + b->corner;

  if (du > 0 && dv > 0)
    return b->corner - hypot (du, dv);
  return b->corner - MAX (du, dv);
}

static double
block_solid (double u, double v, gconstpointer data, DrawSkin *skin)
{
  const Block *b = data;
  double d = depth_in (b, u, v);
  double fall;

  if (d < 0)
    return -G_MAXFLOAT;
  *skin = b->skin;
  if (d >= b->bevel)
    return b->top;
  fall = b->bevel - d;
  return b->top - b->bevel + sqrt (b->bevel * b->bevel - fall * fall);
}

void
draw_block (DrawField *self,
            const DrawFrame *frame,
            double u,
            double v,
            double w,
            double h,
            double corner,
            double top,
            double bevel,
            DrawSkin skin)
{
  Block b = { u, v, w, h, corner, top, bevel, skin };

  draw_stamp (self, frame, u - w / 2, v - h / 2, u + w / 2, v + h / 2, block_solid, &b);
}

void
draw_disc (DrawField *self,
           const DrawFrame *frame,
           double u,
           double v,
           double radius,
           double top,
           double bevel,
           DrawSkin skin)
{
  draw_block (self, frame, u, v, 2 * radius, 2 * radius, radius, top, bevel, skin);
}

static double
ball_solid (double u, double v, gconstpointer data, DrawSkin *skin)
{
  const Block *b = data;
  double q = hypot (u - b->u, v - b->v) / b->w;

  if (q >= 1)
    return -G_MAXFLOAT;
  *skin = b->skin;
  return b->top + b->bevel * sqrt (1 - q * q);
}

/* A dome of the given rise on a base. */
void
draw_ball (DrawField *self,
           const DrawFrame *frame,
           double u,
           double v,
           double radius,
           double base,
           double rise,
           DrawSkin skin)
{
  Block b = { u, v, radius, 0, 0, base, rise, skin };

  draw_stamp (self, frame, u - radius, v - radius, u + radius, v + radius, ball_solid, &b);
}

typedef struct
{
  double u0, v0, u1, v1, radius, axis;
  DrawSkin skin;
} Rod;

static double
rod_solid (double u, double v, gconstpointer data, DrawSkin *skin)
{
  const Rod *r = data;
  double du = r->u1 - r->u0, dv = r->v1 - r->v0;
  double len = du * du + dv * dv;
  double t = len > 0 ? ((u - r->u0) * du + (v - r->v0) * dv) / len : 0;
  double d;

  t = CLAMP (t, 0, 1);
  d = hypot (u - r->u0 - t * du, v - r->v0 - t * dv) / r->radius;
  if (d >= 1)
    return -G_MAXFLOAT;
  *skin = r->skin;
  return r->axis + r->radius * sqrt (1 - d * d);
}

/* A round bar or wire lying flat, with round ends. */
void
draw_rod (DrawField *self,
          const DrawFrame *frame,
          double u0,
          double v0,
          double u1,
          double v1,
          double radius,
          double axis,
          DrawSkin skin)
{
  Rod r = { u0, v0, u1, v1, radius, axis, skin };

  draw_stamp (self, frame, MIN (u0, u1) - radius, MIN (v0, v1) - radius, MAX (u0, u1) + radius,
              MAX (v0, v1) + radius, rod_solid, &r);
}

typedef struct
{
  double u, v, pad, rise, lead;
  guint seed;
} Joint;

static double
joint_solid (double u, double v, gconstpointer data, DrawSkin *skin)
{
  const Joint *p = data;
  double angle = atan2 (v - p->v, u - p->u);
  double edge = p->pad * (0.95 + 0.1 * draw_noise (angle * 1.3 + 9, p->seed, p->seed));
  double q = hypot (u - p->u, v - p->v) / edge;

  if (q >= 1)
    return -G_MAXFLOAT;
  *skin = draw_skin (0xc9cbc8, DRAW_TIN);
  if (q * edge < p->lead)
    {
      *skin = draw_skin (0xd6d4ce, DRAW_TIN);
      return 0.06 + p->rise * 1.12 - 0.25 * q * q;
    }
  return 0.06 + p->rise * pow (1 - q, 1.45) * (1 + 0.5 * q);
}

/* A solder joint: a hollow cone from the pad's edge up to the clipped lead. */
void
draw_joint (DrawField *self,
            const DrawFrame *frame,
            double u,
            double v,
            double pad,
            double rise,
            double lead,
            guint seed)
{
  Joint p = { u, v, pad, rise, lead, seed };

  draw_stamp (self, frame, u - pad * 1.1, v - pad * 1.1, u + pad * 1.1, v + pad * 1.1, joint_solid,
              &p);
}
