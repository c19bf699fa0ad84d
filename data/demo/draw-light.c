/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bench light on a height field: a soft key light from the upper left, a window from the right and
 * the grey of the room. Shadows come from one sweep over the field per sample of the key light: a
 * row inherits the shadow line of the row nearer to the light, sunk by the light's slope, so the
 * cost does not grow with the height of the parts. Corners darken where the neighbourhood is
 * higher than the cell. Metal shows the room, everything else its own colour under a clear coat.
 *
 * It is no light transport: nothing shines on anything else. */
#include "config.h"

#include "draw-light.h"

#include <math.h>
#include <string.h>

typedef struct
{
  double coat;    /* reflection of the clear coat seen straight on */
  double spread;  /* 0 mirror .. 1 dull */
  double metal;   /* share that is metal */
  double grain;   /* slope of the micro structure */
  double pitch;   /* mm between its bumps */
  double speckle; /* share of colour noise */
} Finish;

static const Finish finishes[DRAW_N_MATERIALS] = {
  [DRAW_MAT] = { 0.012, 1.0, 0, 0.16, 0.45, 0.10 },
  [DRAW_MASK] = { 0.050, 0.55, 0, 0.020, 0.50, 0.03 },
  [DRAW_LAMINATE] = { 0.020, 0.9, 0, 0.10, 0.12, 0.10 },
  [DRAW_INK] = { 0.020, 0.9, 0, 0.03, 0.15, 0.05 },
  [DRAW_TIN] = { 0.0, 0.36, 0.90, 0.07, 0.40, 0.03 },
  [DRAW_METAL] = { 0.0, 0.55, 0.80, 0.007, 1.30, 0.03 },
  [DRAW_COPPER] = { 0.0, 0.35, 0.70, 0.04, 0.25, 0.04 },
  [DRAW_PLASTIC] = { 0.030, 0.80, 0, 0.05, 0.10, 0.04 },
  [DRAW_GLOSSY] = { 0.050, 0.25, 0, 0.018, 0.80, 0.02 },
  [DRAW_GLASS] = { 0.090, 0.05, 0, 0.004, 1.00, 0.01 },
  [DRAW_CERAMIC] = { 0.030, 0.60, 0, 0.05, 0.20, 0.05 },
  [DRAW_SOOT] = { 0.006, 1.0, 0, 0.12, 0.10, 0.25 },
};

/* Key light: away from the cell, unit length. */
static const double key[3] = { -0.46, -0.44, 0.77 };
static const double window[3] = { 0.62, 0.10, 0.78 };

enum
{
  LAMP_SAMPLES = 7
};

double
draw_srgb_to_linear (guint8 code)
{
  double v = code / 255.0;

  return v <= 0.04045 ? v / 12.92 : pow ((v + 0.055) / 1.055, 2.4);
}

double
draw_lit_value (guint8 code)
{
  double v = code / 255.0;

  return 2 * v * v;
}

static guint8
lit_code (double v)
{
  return (guint8) CLAMP (sqrt (MAX (0, v) / 2) * 255 + 0.5, 0, 255);
}

/* Adds one lamp sample's light to `light`: 1/LAMP_SAMPLES where the cell sees it. */
static void
sweep (const DrawField *field, double azimuth, double elevation, float *light)
{
  double lx = -cos (azimuth), ly = sin (azimuth), slope = tan (elevation);
  double shift = -lx / ly; /* cells towards the light per row up */
  float sink = (float) (slope / ly / field->scale);
  g_autofree float *above = g_new0 (float, field->w);
  g_autofree float *line = g_new0 (float, field->w);

  for (int i = 0; i < field->w; i++)
    above[i] = -100;
  for (int j = 0; j < field->h; j++)
    {
      const float *z = field->z + (gsize) j * field->w;

      for (int i = 0; i < field->w; i++)
        {
          double from = i - shift;
          int a = (int) floor (from);
          float t = (float) (from - a);
          float edge = -100, gap;

          if (a >= 0 && a + 1 < field->w)
            edge = above[a] * (1 - t) + above[a + 1] * t - sink;
          gap = edge - z[i];
          line[i] = MAX (edge, z[i]);
          if (gap < 0.02f)
            light[(gsize) j * field->w + i] += 1.0f / LAMP_SAMPLES;
          else if (gap < 0.12f)
            light[(gsize) j * field->w + i] += (0.12f - gap) * 10 / LAMP_SAMPLES;
        }
      memcpy (above, line, field->w * sizeof *above);
    }
}

/* A lamp panel seen from the bench: a patch of directions around the key. */
static float *
key_shadow (const DrawField *field)
{
  static const double spot[LAMP_SAMPLES][2] = { { 0, 0 },     { 1, 0.2 },     { -1, -0.2 },
                                                { 0.5, 0.9 }, { -0.5, -0.9 }, { 0.6, -0.8 },
                                                { -0.6, 0.8 } };
  float *light = g_new0 (float, (gsize) field->w * field->h);
  double azimuth = atan2 (-key[1], -key[0]), elevation = asin (key[2]);

  for (int k = 0; k < LAMP_SAMPLES; k++)
    sweep (field, azimuth + 0.055 * spot[k][0], elevation + 0.045 * spot[k][1], light);
  return light;
}

enum
{
  COARSE = 8
};

/* Box blur of one coarse row or column, edges repeated. */
static void
blur_line (float *v, gsize stride, int n, int radius, float *spare)
{
  double sum = 0;

  for (int i = 0; i < n; i++)
    spare[i] = v[i * stride];
  for (int i = -radius; i <= radius; i++)
    sum += spare[CLAMP (i, 0, n - 1)];
  for (int i = 0; i < n; i++)
    {
      v[i * stride] = (float) (sum / (2 * radius + 1));
      sum += spare[MIN (i + radius + 1, n - 1)] - spare[MAX (i - radius, 0)];
    }
}

static void
blur (float *v, int w, int h, int radius)
{
  g_autofree float *spare = g_new (float, MAX (w, h));

  for (int pass = 0; pass < 2; pass++)
    {
      for (int j = 0; j < h; j++)
        blur_line (v + (gsize) j * w, 1, w, radius, spare);
      for (int i = 0; i < w; i++)
        blur_line (v + i, w, h, radius, spare);
    }
}

/* Mean height of the surroundings, one value per COARSE x COARSE cells. */
static float *
surroundings (const DrawField *field, double reach, int *cw, int *ch)
{
  float *mean;

  *cw = field->w / COARSE + 1;
  *ch = field->h / COARSE + 1;
  mean = g_new0 (float, (gsize) *cw **ch);
  for (int j = 0; j < *ch; j++)
    for (int i = 0; i < *cw; i++)
      {
        int x = MIN (i * COARSE + COARSE / 2, field->w - 1);
        int y = MIN (j * COARSE + COARSE / 2, field->h - 1);

        mean[(gsize) j * *cw + i] = MIN (field->z[(gsize) y * field->w + x], 12);
      }
  blur (mean, *cw, *ch, MAX (1, (int) (reach * field->scale / COARSE)));
  return mean;
}

static double
coarse_at (const float *v, int cw, int ch, int i, int j)
{
  double x = MAX (0, (i - COARSE / 2.0) / COARSE), y = MAX (0, (j - COARSE / 2.0) / COARSE);
  int a = MIN ((int) x, cw - 2), b = MIN ((int) y, ch - 2);
  double t = x - a, s = y - b;

  return (v[(gsize) b * cw + a] * (1 - t) + v[(gsize) b * cw + a + 1] * t) * (1 - s) +
         (v[(gsize) (b + 1) * cw + a] * (1 - t) + v[(gsize) (b + 1) * cw + a + 1] * t) * s;
}

static double
ramp (double from, double to, double v)
{
  double t = CLAMP ((v - from) / (to - from), 0, 1);

  return t * t * (3 - 2 * t);
}

/* The room as a mirror sees it in direction r: lamp panel, window, ceiling, dark walls. `spread`
 * widens the bright patches and takes their peak. */
static double
room (const double r[3], double spread, double lamp_seen)
{
  double lamp = r[0] * key[0] + r[1] * key[1] + r[2] * key[2];
  double pane = r[0] * window[0] + r[1] * window[1] + r[2] * window[2];
  double wide = 0.02 + 0.30 * spread;
  double v = 0.16 + 0.34 * ramp (-0.1, 1, r[2]);

  v += lamp_seen * (2.6 - 1.9 * spread) * ramp (0.985 - wide - 0.05, 0.99 - 0.3 * wide, lamp);
  v += (0.9 - 0.5 * spread) * ramp (0.93 - wide, 0.97, pane);
  return v;
}

typedef struct
{
  const DrawField *field;
  const float *sun, *near, *far;
  int cw, ch;
  guint seed;
  double linear[256]; /* of an sRGB code */
  DrawLit *lit;
} Job;

static void
slope_at (const Job *job, int i, int j, const Finish *f, double *sx, double *sy)
{
  const DrawField *field = job->field;
  int w = field->w;
  const float *z = field->z + (gsize) j * w;
  double half = field->scale / 2;
  double x = i / field->scale / f->pitch, y = j / field->scale / f->pitch;
  double dx = (z[MIN (i + 1, w - 1)] - z[MAX (i - 1, 0)]) * half;
  double dy =
      (z[MIN (j + 1, field->h - 1) * w - j * w + i] - z[MAX (j - 1, 0) * w - j * w + i]) * half;

  *sx = CLAMP (dx, -2.2, 2.2) + f->grain * 2 * (draw_noise (x, y, job->seed + 1) - 0.5);
  *sy = CLAMP (dy, -2.2, 2.2) + f->grain * 2 * (draw_noise (x, y, job->seed + 2) - 0.5);
}

static void
light_cell (const Job *job, int i, int j)
{
  const DrawField *field = job->field;
  gsize at = (gsize) j * field->w + i;
  DrawSkin skin = field->skin[at];
  const Finish *f = &finishes[skin.material];
  double z = field->z[at], sun = MIN (job->sun[at], 1);
  double closed = MAX (0, coarse_at (job->near, job->cw, job->ch, i, j) - z) +
                  0.7 * MAX (0, coarse_at (job->far, job->cw, job->ch, i, j) - z);
  double open = 1 / (1 + 0.16 * closed);
  double sx, sy, n[3], len, eye[3], facing, r[3], dot, diffuse, sky, graze, coat, gloss, tint;
  double px = (double) i / field->w - 0.5, py = (double) j / field->h - 0.5;
  double fade = 1.06 - 0.22 * px - 0.20 * py; /* the lamp is near: upper left is brighter */
  double colour[3];

  slope_at (job, i, j, f, &sx, &sy);
  len = sqrt (sx * sx + sy * sy + 1);
  n[0] = -sx / len, n[1] = -sy / len, n[2] = 1 / len;
  len = sqrt (px * px * 0.12 + py * py * 0.08 + 1);
  eye[0] = -px * 0.35 / len, eye[1] = -py * 0.28 / len, eye[2] = 1 / len;
  facing = n[0] * eye[0] + n[1] * eye[1] + n[2] * eye[2];
  for (int k = 0; k < 3; k++)
    r[k] = 2 * facing * n[k] - eye[k];
  dot = MAX (0, n[0] * key[0] + n[1] * key[1] + n[2] * key[2]);
  diffuse = 0.94 * dot * sun * fade;
  sky = (0.26 + 0.17 * n[2] + 0.06 * MAX (0, n[0])) * open;
  graze = (1 - CLAMP (facing, 0, 1)) * (1 - CLAMP (facing, 0, 1));
  coat = f->coat + (1 - f->coat) * 0.35 * f->coat * 10 * graze * graze;
  gloss = room (r, f->spread, sun * fade) * (0.35 + 0.65 * open);
  tint = 1 + f->speckle * (draw_hash (i, j, job->seed + 3) +
                           draw_noise (i * 0.23, j * 0.23, job->seed + 4) - 1);
  colour[0] = job->linear[skin.r];
  colour[1] = job->linear[skin.g];
  colour[2] = job->linear[skin.b];
  for (int k = 0; k < 3; k++)
    {
      static const double warm[3] = { 1.03, 1.0, 0.93 }, cool[3] = { 0.94, 1.0, 1.09 };
      double body = colour[k] * tint * (diffuse * warm[k] + sky * cool[k]);
      double metal = colour[k] * tint * gloss * (0.76 + 0.34 * sun);

      colour[k] = body * (1 - f->metal) + metal * f->metal + coat * gloss * (1 - f->metal);
    }
  job->lit[at] = (DrawLit){ lit_code (colour[0]), lit_code (colour[1]), lit_code (colour[2]),
                            (guint8) (sun * 255) };
}

/* The lit field, to be freed with g_free(). */
DrawLit *
draw_light (const DrawField *field, guint seed)
{
  Job job = { .field = field, .seed = seed };
  g_autofree float *sun = key_shadow (field);
  g_autofree float *near = surroundings (field, 1.6, &job.cw, &job.ch);
  g_autofree float *far = surroundings (field, 5.0, &job.cw, &job.ch);

  job.sun = sun;
  job.near = near;
  job.far = far;
  for (int k = 0; k < 256; k++)
    job.linear[k] = draw_srgb_to_linear ((guint8) k);
  job.lit = g_new (DrawLit, (gsize) field->w * field->h);
  for (int j = 0; j < field->h; j++)
    for (int i = 0; i < field->w; i++)
      light_cell (&job, i, j);
  return job.lit;
}
