/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The camera: a pinhole above the bench. Each picture element follows three rays down into the
 * height field until one meets a surface, so tall parts lean outwards and hide what is behind
 * them, as in a hand-held photograph. Points of the board are projected by the same matrix, which
 * is why the test points sit on their pads exactly.
 *
 * The lens darkens towards the corners and blurs a little, the sensor adds noise. No distortion:
 * straight board edges stay straight. */
#include "config.h"

#include "draw-camera.h"

#include <math.h>

enum
{
  TILE = 8,
  LEVELS = 2,
  COARSER = 8,
  WALL_STEP = 2,
  SAMPLES = 3
};

void
draw_camera_aim (DrawCamera *self,
                 int w,
                 int h,
                 double x,
                 double y,
                 double height,
                 double px_per_mm,
                 double roll,
                 double pitch,
                 double yaw)
{
  double cr = cos (roll), sr = sin (roll), cp = cos (pitch), sp = sin (pitch);
  double cy = cos (yaw), sy = sin (yaw);
  double m[3][3] = { { cr * cy, cr * sy * sp - sr * cp, cr * sy * cp + sr * sp },
                     { sr * cy, sr * sy * sp + cr * cp, sr * sy * cp - cr * sp },
                     { -sy, cy * sp, cy * cp } };

  self->w = w;
  self->h = h;
  self->focal = px_per_mm * height;
  for (int i = 0; i < 3; i++)
    for (int j = 0; j < 3; j++)
      self->turn[i][j] = m[i][j];
  /* The lens stands back along the optical axis from the point aimed at. */
  self->at[0] = x + m[2][0] * height;
  self->at[1] = y + m[2][1] * height;
  self->at[2] = m[2][2] * height;
}

void
draw_camera_project (const DrawCamera *self, double x, double y, double z, double *px, double *py)
{
  double d[3] = { x - self->at[0], y - self->at[1], z - self->at[2] };
  double c[3];

  for (int i = 0; i < 3; i++)
    c[i] = self->turn[i][0] * d[0] + self->turn[i][1] * d[1] + self->turn[i][2] * d[2];
  *px = self->w / 2.0 + self->focal * c[0] / -c[2];
  *py = self->h / 2.0 + self->focal * c[1] / -c[2];
}

/* Direction of the ray through a picture element, scaled so that it sinks 1 mm per unit. */
static void
ray (const DrawCamera *self, double px, double py, double *dx, double *dy)
{
  double c[3] = { (px - self->w / 2.0) / self->focal, (py - self->h / 2.0) / self->focal, -1 };
  double d[3];

  for (int j = 0; j < 3; j++)
    d[j] = self->turn[0][j] * c[0] + self->turn[1][j] * c[1] + self->turn[2][j] * c[2];
  *dx = d[0] / -d[2];
  *dy = d[1] / -d[2];
}

typedef struct
{
  const DrawCamera *camera;
  const DrawField *field;
  const DrawLit *lit;
  struct
  {
    int size, w, h; /* cells a side, tiles */
    float *tall;    /* highest cell of each tile */
  } level[LEVELS];
  float highest;
  guint seed;
  float value[256]; /* linear light of each code */
  float *light;     /* linear rgb per picture element */
  int row0, row1;
} Shot;

static void
find_tall (Shot *shot)
{
  const DrawField *f = shot->field;

  shot->highest = -100;
  for (int k = 0, size = TILE; k < LEVELS; k++, size *= COARSER)
    {
      int w = f->w / size + 1, h = f->h / size + 1;
      float *tall = g_new (float, (gsize) w *h);

      for (int t = 0; t < w * h; t++)
        tall[t] = -100;
      for (int j = 0; j < f->h; j++)
        for (int i = 0; i < f->w; i++)
          {
            float *t = &tall[(gsize) (j / size) * w + i / size];

            *t = MAX (*t, f->z[(gsize) j * f->w + i]);
            shot->highest = MAX (shot->highest, *t);
          }
      shot->level[k].size = size;
      shot->level[k].w = w;
      shot->level[k].h = h;
      shot->level[k].tall = tall;
    }
}

/* The wall of a part, met `below` mm under its top: its own colour in the light of its side. */
static void
wall_light (const Shot *shot, int i, int j, double below, double rgb[3])
{
  const DrawField *f = shot->field;
  const DrawSkin *s = &f->skin[(gsize) j * f->w + i];
  int r = WALL_STEP;
  double sx =
      f->z[(gsize) j * f->w + MIN (i + r, f->w - 1)] - f->z[(gsize) j * f->w + MAX (i - r, 0)];
  double sy =
      f->z[(gsize) MIN (j + r, f->h - 1) * f->w + i] - f->z[(gsize) MAX (j - r, 0) * f->w + i];
  double len = hypot (sx, sy) + 1e-6;
  double lit = 0.16 + 0.34 * MAX (0, (sx + sy) / len * 0.7) + 0.10 * MAX (0, -sx / len);
  double deep = MAX (0.35, 1 - below * 0.055);

  lit *= deep;
  rgb[0] = draw_srgb_to_linear (s->r) * lit + 0.006;
  rgb[1] = draw_srgb_to_linear (s->g) * lit + 0.006;
  rgb[2] = draw_srgb_to_linear (s->b) * lit + 0.007;
}

/* How far along the ray, in units of depth, until it leaves the tile it is in. */
static double
to_border (double at, int cell, int size, double slope)
{
  double border = (cell / size + (slope > 0)) * size;

  return fabs (slope) < 1e-9 ? G_MAXDOUBLE : (border - at) / slope;
}

static void
arrive (const Shot *shot, int i, int j, double below, double step, double rgb[3])
{
  const DrawLit *l = &shot->lit[(gsize) j * shot->field->w + i];

  if (below > 2.2 * step && below > 0.12)
    {
      wall_light (shot, i, j, below, rgb);
      return;
    }
  rgb[0] = shot->value[l->r];
  rgb[1] = shot->value[l->g];
  rgb[2] = shot->value[l->b];
}

/* Follows one ray down: from tile to tile while it is above everything in them, cell by cell in a
 * tile that something rises out of. Positions are in cells, depth in mm below the lens. */
static void
trace (const Shot *shot, double px, double py, double rgb[3])
{
  const DrawCamera *c = shot->camera;
  const DrawField *f = shot->field;
  double dx, dy, step, depth = c->at[2] - shot->highest;
  double x0 = (c->at[0] + f->margin) * f->scale, y0 = (c->at[1] + f->margin) * f->scale;
  int k = LEVELS - 1;

  ray (c, px, py, &dx, &dy);
  dx *= f->scale, dy *= f->scale;
  step = 0.9 / MAX (hypot (dx, dy), 0.35);
  for (;;)
    {
      double x = x0 + dx * depth, y = y0 + dy * depth, z = c->at[2] - depth;
      int i = CLAMP ((int) x, 0, f->w - 1), j = CLAMP ((int) y, 0, f->h - 1);
      double top;

      if (i != (int) x || j != (int) y)
        {
          arrive (shot, i, j, 0, step, rgb); /* beyond the bench: its edge goes on */
          return;
        }
      while (k >= 0)
        {
          int size = shot->level[k].size;

          top = shot->level[k].tall[(gsize) (j / size) * shot->level[k].w + i / size];
          if (z > top)
            {
              double out = MIN (to_border (x, i, size, dx), to_border (y, j, size, dy));

              depth += MIN (z - top, MAX (out, 0)) + 0.004;
              break;
            }
          k--;
        }
      if (k >= 0)
        {
          k = MIN (k + 1, LEVELS - 1);
          continue;
        }
      top = f->z[(gsize) j * f->w + i];
      if (z <= top)
        {
          arrive (shot, i, j, top - z, step, rgb);
          return;
        }
      depth += MIN (step, z - top + 0.01);
      k = 0;
    }
}

static gpointer
shoot_rows (gpointer data)
{
  Shot *shot = data;
  int w = shot->camera->w;

  for (int y = shot->row0; y < shot->row1; y++)
    for (int x = 0; x < w; x++)
      {
        static const double spot[SAMPLES][2] = { { 0.18, 0.36 }, { 0.72, 0.20 }, { 0.52, 0.82 } };
        float *out = shot->light + 3 * ((gsize) y * w + x);

        out[0] = out[1] = out[2] = 0;
        for (int k = 0; k < SAMPLES; k++)
          {
            double rgb[3];

            trace (shot, x + spot[k][0], y + spot[k][1], rgb);
            for (int ch = 0; ch < 3; ch++)
              out[ch] += (float) rgb[ch] / SAMPLES;
          }
      }
  return NULL;
}

/* Film curve: linear light to an 8-bit sRGB value, highlights roll off instead of clipping. */
static double
develop (double v)
{
  v *= 1.22;
  v = v < 0.55 ? v : 0.55 + 0.45 * (1 - exp (-(v - 0.55) / 0.45));
  v = v <= 0.0031308 ? 12.92 * v : 1.055 * pow (v, 1 / 2.4) - 0.055;
  v = v + 0.025 * sin ((v - 0.5) * 2 * G_PI);
  return CLAMP (v, 0, 1) * 255;
}

static double
blurred (const float *light, int w, int h, int x, int y, int ch)
{
  const float *here = light + 3 * ((gsize) y * w + x) + ch;
  gsize row = 3 * (gsize) w;

  if (x == 0 || y == 0 || x == w - 1 || y == h - 1)
    return *here;
  return 0.436 * here[0] + 0.112 * (here[-3] + here[3] + *(here - row) + here[row]) +
         0.029 * (*(here - row - 3) + *(here - row + 3) + here[row - 3] + here[row + 3]);
}

static void
expose (const Shot *shot, GdkPixbuf *pixbuf)
{
  int w = shot->camera->w, h = shot->camera->h, stride = gdk_pixbuf_get_rowstride (pixbuf);
  guint8 *out = gdk_pixbuf_get_pixels (pixbuf);
  g_autofree guint8 *curve = g_new (guint8, 4096 * 4);

  for (int i = 0; i < 4096 * 4; i++)
    curve[i] = (guint8) (develop (i / 8192.0) + 0.5);
  for (int y = 0; y < h; y++)
    for (int x = 0; x < w; x++)
      {
        double u = (x - w / 2.0) / (w / 2.0), v = (y - h / 2.0) / (w / 2.0);
        double r2 = u * u + v * v, lens = 1 - 0.20 * r2 - 0.06 * r2 * r2;
        double grain = (draw_hash (x, y, shot->seed) + draw_hash (x, y, shot->seed + 1) - 1) * 3.0 +
                       (draw_noise (x * 0.4, y * 0.4, shot->seed + 2) - 0.5) * 2.6;

        double rgb[3], grey;

        for (int ch = 0; ch < 3; ch++)
          rgb[ch] = blurred (shot->light, w, h, x, y, ch) * lens + 0.004; /* flare lifts black */
        grey = 0.3 * rgb[0] + 0.6 * rgb[1] + 0.1 * rgb[2];
        for (int ch = 0; ch < 3; ch++)
          {
            double value = (rgb[ch] * 0.86 + grey * 0.14) * 8192;
            double noise = grain + (draw_hash (x / 2, y / 2, shot->seed + 3 + ch) - 0.5) * 2.2;

            value = curve[(int) CLAMP (value, 0, 4096 * 4 - 1)] + noise;
            out[(gsize) y * stride + 3 * x + ch] = (guint8) CLAMP (value + 0.5, 0, 255);
          }
      }
}

GdkPixbuf *
draw_camera_shoot (const DrawCamera *self, const DrawField *field, const DrawLit *lit, guint seed)
{
  Shot shot = { .camera = self, .field = field, .lit = lit, .seed = seed };
  GdkPixbuf *pixbuf = gdk_pixbuf_new (GDK_COLORSPACE_RGB, FALSE, 8, self->w, self->h);

  find_tall (&shot);
  for (int k = 0; k < 256; k++)
    shot.value[k] = (float) draw_lit_value ((guint8) k);
  shot.light = g_new (float, (gsize) self->w * self->h * 3);
  shot.row1 = self->h;
  shoot_rows (&shot);
  expose (&shot, pixbuf);
  g_free (shot.light);
  for (int k = 0; k < LEVELS; k++)
    g_free (shot.level[k].tall);
  return pixbuf;
}
