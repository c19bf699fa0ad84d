/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The strip of dots on a cairo context. The documented band is the lane of the band ruler, with its limit lines; the
 * proposed one a frame of ink inside it, the one without the outliers a dashed frame. Everything is to one scale that
 * holds all dots and all limits; a band without a limit runs to the end of the strip. A dot is a board: filled when it
 * counts, a ring when it is named as an outlier, a crossed ring when it is left out.
 *
 * Some tens of dots. No text: labels are the caller's. */
#include "config.h"

#include "bl-spread-draw.h"

#include <math.h>

#define RADIUS 3.6
#define MARGIN 0.05 /* of the range, to each side */
#define FRAME_TOP 4.0
#define LINE 1.5

typedef struct
{
  double from, to;
} Range;

static void
reach (Range *range, double value)
{
  if (!isfinite (value))
    return;
  range->from = fmin (range->from, value);
  range->to = fmax (range->to, value);
}

static Range
range_of (const BlSpread *spread)
{
  Range range = { INFINITY, -INFINITY };
  double margin;

  for (guint i = 0; i < spread->n_dots; i++)
    reach (&range, spread->dots[i].value);
  if (spread->documented)
    {
      reach (&range, spread->documented_low);
      reach (&range, spread->documented_high);
    }
  reach (&range, spread->proposed_low);
  reach (&range, spread->proposed_high);
  reach (&range, spread->other_low);
  reach (&range, spread->other_high);
  if (!(range.to >= range.from))
    return (Range){ 0, 1 };
  margin = range.to > range.from ? MARGIN * (range.to - range.from) : fmax (fabs (range.to) * MARGIN, 1e-12);
  return (Range){ range.from - margin, range.to + margin };
}

static double
across (const Range *range, double width, double value)
{
  if (isinf (value))
    return value < 0 ? 0 : width;
  return (value - range->from) / (range->to - range->from) * width;
}

double
bl_spread_across (const BlSpread *spread, double width, double value)
{
  g_return_val_if_fail (spread != NULL, NAN);
  Range range = range_of (spread);

  return across (&range, width, value);
}

/* --- dots --- */

/* Heights tried in turn: the middle, then above and below it. */
static double
height_of (guint level)
{
  double step = 2 * RADIUS - 1, middle = BL_SPREAD_HEIGHT / 2.0;
  double offset = (double) ((level + 1) / 2) * step * (level % 2 == 0 ? -1 : 1);

  return CLAMP (middle + offset, FRAME_TOP + RADIUS + 1, BL_SPREAD_HEIGHT - FRAME_TOP - RADIUS - 1);
}

GArray *
bl_spread_places (const BlSpread *spread, double width)
{
  GArray *places = g_array_sized_new (FALSE, FALSE, sizeof (double), 2 * MAX (1, spread->n_dots));
  Range range = range_of (spread);

  for (guint i = 0; i < spread->n_dots; i++)
    {
      double x = across (&range, width, spread->dots[i].value), y = height_of (0);
      for (guint level = 0; level < 3; level++)
        {
          gboolean room = TRUE;
          y = height_of (level);
          for (guint k = 0; k < i && room; k++)
            room = hypot (x - g_array_index (places, double, 2 * k), y - g_array_index (places, double, 2 * k + 1))
                   > 2 * RADIUS - 1.5;
          if (room)
            break;
        }
      g_array_append_val (places, x);
      g_array_append_val (places, y);
    }
  return places;
}

int
bl_spread_dot_at (const BlSpread *spread, double width, double x, double y)
{
  g_return_val_if_fail (spread != NULL, -1);
  g_autoptr (GArray) places = bl_spread_places (spread, width);
  double nearest = 2 * RADIUS;
  int found = -1;

  for (guint i = 0; i < spread->n_dots; i++)
    {
      double away = hypot (x - g_array_index (places, double, 2 * i), y - g_array_index (places, double, 2 * i + 1));
      if (away > nearest)
        continue;
      nearest = away;
      found = (int) i;
    }
  return found;
}

static void
draw_dot (cairo_t *cr, BlSpreadKind kind, gboolean marked, double x, double y, const BlColour *ground,
          const BlPalette *palette)
{
  double radius = RADIUS + (marked ? 1.6 : 0);

  cairo_new_sub_path (cr);
  cairo_arc (cr, x, y, radius + 1.2, 0, 2 * G_PI);
  bl_set_source (cr, ground);
  cairo_fill (cr);
  cairo_new_sub_path (cr);
  cairo_arc (cr, x, y, kind == BL_SPREAD_COUNTS ? radius : radius - 0.4, 0, 2 * G_PI);
  bl_set_source (cr, &palette->ink);
  if (kind == BL_SPREAD_COUNTS)
    {
      cairo_fill (cr);
      return;
    }
  cairo_set_line_width (cr, 1.8);
  cairo_stroke (cr);
  if (kind != BL_SPREAD_OUT)
    return;
  cairo_move_to (cr, x - radius - 1.5, y + radius + 1.5);
  cairo_line_to (cr, x + radius + 1.5, y - radius - 1.5);
  cairo_stroke (cr);
}

/* --- lanes --- */

static void
draw_documented (cairo_t *cr, const BlSpread *spread, const Range *range, double w, const BlPalette *palette)
{
  double low = across (range, w, spread->documented_low), high = across (range, w, spread->documented_high);

  cairo_rectangle (cr, low, 0, high - low, BL_SPREAD_HEIGHT);
  bl_set_source (cr, &palette->lane);
  cairo_fill (cr);
  bl_set_source (cr, &palette->lane_limit);
  cairo_set_line_width (cr, LINE);
  if (isfinite (spread->documented_low))
    {
      cairo_move_to (cr, low, 0);
      cairo_line_to (cr, low, BL_SPREAD_HEIGHT);
    }
  if (isfinite (spread->documented_high))
    {
      cairo_move_to (cr, high, 0);
      cairo_line_to (cr, high, BL_SPREAD_HEIGHT);
    }
  cairo_stroke (cr);
}

/* A frame, open where there is no limit. */
static void
draw_frame (cairo_t *cr, const Range *range, double low, double high, gboolean dashed, double w,
            const BlPalette *palette)
{
  const double dashes[] = { 4, 3 };
  double left = across (range, w, low), right = across (range, w, high);
  double inset = dashed ? FRAME_TOP + 3 : FRAME_TOP, top = inset, bottom = BL_SPREAD_HEIGHT - inset;

  if (isnan (low) || isnan (high))
    return;
  cairo_save (cr);
  bl_set_source (cr, &palette->ink);
  cairo_set_line_width (cr, dashed ? 1.2 : 2);
  if (dashed)
    cairo_set_dash (cr, dashes, 2, 0);
  cairo_move_to (cr, left, top);
  cairo_line_to (cr, right, top);
  cairo_move_to (cr, left, bottom);
  cairo_line_to (cr, right, bottom);
  if (isfinite (low))
    {
      cairo_move_to (cr, left, top);
      cairo_line_to (cr, left, bottom);
    }
  if (isfinite (high))
    {
      cairo_move_to (cr, right, top);
      cairo_line_to (cr, right, bottom);
    }
  cairo_stroke (cr);
  cairo_restore (cr);
}

void
bl_spread_draw (cairo_t *cr, const BlSpread *spread, int marked, gboolean raised, double x, double y, double w,
                const BlPalette *palette)
{
  g_return_if_fail (cr != NULL && spread != NULL && palette != NULL);
  const BlColour *ground = raised ? &palette->raised : &palette->page;
  g_autoptr (GArray) places = bl_spread_places (spread, w);
  Range range = range_of (spread);

  if (!(w > 0))
    return;
  cairo_save (cr);
  cairo_translate (cr, x, y);
  cairo_rectangle (cr, 0, BL_SPREAD_HEIGHT * 0.35, w, BL_SPREAD_HEIGHT * 0.3);
  bl_set_source (cr, &palette->track);
  cairo_fill (cr);
  if (spread->documented)
    draw_documented (cr, spread, &range, w, palette);
  draw_frame (cr, &range, spread->proposed_low, spread->proposed_high, FALSE, w, palette);
  draw_frame (cr, &range, spread->other_low, spread->other_high, TRUE, w, palette);
  for (guint i = 0; i < spread->n_dots; i++)
    draw_dot (cr, spread->dots[i].kind, (int) i == marked, g_array_index (places, double, 2 * i),
              g_array_index (places, double, 2 * i + 1), ground, palette);
  cairo_restore (cr);
}
