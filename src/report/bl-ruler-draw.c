/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The band ruler on a cairo context: the one drawing that recurs on the bench, in reports and in
 * practice. A track with the band as a lane, absent, shorted, open and marked values shaded, the
 * reading as a needle with its uncertainty as a whisker.
 *
 * Lines are laid by size class: rows (h below 30) and large rulers. No text: labels are placed by
 * the caller from bl_ruler_labels (). The scale is bl-ruler-scale.c's. */
#include "config.h"

#include "bl-ruler-draw.h"

#include "bl-ruler-scale.h"
#include "bl-shape-draw.h"

#define LARGE_FROM 30.0

typedef struct
{
  cairo_t *cr;
  const BlBand *band;
  const BlPalette *palette;
  BlRulerFlags flags;
  BlRulerScale scale;
  double x, y, w, h;
  gboolean large;
} Ruler;

static double
across (const Ruler *ruler, double at)
{
  return ruler->x + ruler->w * at;
}

static void
box (const Ruler *ruler, double from, double to, double share)
{
  cairo_rectangle (ruler->cr, across (ruler, from), ruler->y + ruler->h * (1 - share) / 2,
                   ruler->w * (to - from), ruler->h * share);
}

static const BlColour *
ground (const Ruler *ruler)
{
  return ruler->flags & BL_RULER_RAISED ? &ruler->palette->raised : &ruler->palette->page;
}

/* Diagonal strokes inside the zone from..to, clipped to it. */
static void
draw_hatched (const Ruler *ruler, double from, double to)
{
  cairo_t *cr = ruler->cr;
  double step = ruler->large ? 6 : 4, height = ruler->h * 0.6;

  cairo_save (cr);
  box (ruler, from, to, 0.6);
  bl_set_source (cr, &ruler->palette->track);
  cairo_fill_preserve (cr);
  cairo_clip (cr);
  bl_set_source (cr, &ruler->palette->hatch);
  cairo_set_line_width (cr, ruler->large ? 1.8 : 1.3);
  for (double left = across (ruler, from) - height; left < across (ruler, to); left += step)
    {
      cairo_move_to (cr, left, ruler->y + ruler->h * 0.8);
      cairo_line_to (cr, left + height, ruler->y + ruler->h * 0.2);
    }
  cairo_stroke (cr);
  cairo_restore (cr);
}

/* Two slanted strokes that say: from here on not to scale. */
static void
draw_break (const Ruler *ruler)
{
  cairo_t *cr = ruler->cr;
  double half = ruler->h * 0.23, lean = half * 0.27, gap = ruler->large ? 3.5 : 2;
  double cx = across (ruler, BL_RULER_HIGH_END), cy = ruler->y + ruler->h / 2;

  cairo_move_to (cr, cx - gap + lean, cy - half);
  cairo_line_to (cr, cx + gap + lean, cy - half);
  cairo_line_to (cr, cx + gap - lean, cy + half);
  cairo_line_to (cr, cx - gap - lean, cy + half);
  cairo_close_path (cr);
  bl_set_source (cr, ground (ruler));
  cairo_fill (cr);
  for (int side = -1; side <= 1; side += 2)
    {
      cairo_move_to (cr, cx + side * gap + lean, cy - half);
      cairo_line_to (cr, cx + side * gap - lean, cy + half);
    }
  bl_set_source (cr, &ruler->palette->edge);
  cairo_set_line_width (cr, ruler->large ? 1.6 : 1);
  cairo_stroke (cr);
}

static void
draw_track (const Ruler *ruler)
{
  gboolean open = ruler->band != NULL && ruler->scale.has_open;

  box (ruler, 0, 1, 0.3);
  bl_set_source (ruler->cr, &ruler->palette->track);
  cairo_fill (ruler->cr);
  if (ruler->band == NULL)
    return;
  if (ruler->scale.has_start)
    draw_hatched (ruler, 0, BL_RULER_ABSENT_END);
  if (open)
    draw_hatched (ruler, BL_RULER_HIGH_END, 1);
  else if (ruler->band->measures != BL_MEASURES_CHECK && ruler->scale.has_high)
    draw_break (ruler);
}

static void
vertical (const Ruler *ruler, double at, double from, double to)
{
  cairo_move_to (ruler->cr, across (ruler, at), ruler->y + ruler->h * from);
  cairo_line_to (ruler->cr, across (ruler, at), ruler->y + ruler->h * to);
}

static void
draw_lane (const Ruler *ruler)
{
  cairo_t *cr = ruler->cr;
  const double dashes[] = { ruler->large ? 5 : 3, ruler->large ? 3 : 2 };
  gboolean check = ruler->band->measures == BL_MEASURES_CHECK;

  cairo_save (cr);
  box (ruler, BL_RULER_LANE_START, BL_RULER_LANE_END, 1);
  bl_set_source (cr, &ruler->palette->lane);
  cairo_fill (cr);
  bl_set_source (cr, &ruler->palette->lane_limit);
  cairo_set_line_width (cr, ruler->large ? 2.5 : 1.5);
  if (ruler->band->follows)
    cairo_set_dash (cr, dashes, 2, 0);
  if (ruler->scale.has_low || check)
    vertical (ruler, BL_RULER_LANE_START, 0, 1);
  if (ruler->scale.has_high || check)
    vertical (ruler, BL_RULER_LANE_END, 0, 1);
  cairo_stroke (cr);
  cairo_restore (cr);
}

/* Inside the lane: where the nominal value is, and the inner limits of a swing. */
static void
draw_notches (const Ruler *ruler)
{
  const BlBand *band = ruler->band;

  bl_set_source (ruler->cr, &ruler->palette->lane_limit);
  cairo_set_line_width (ruler->cr, ruler->large ? 2.5 : 1.5);
  if (band->measures == BL_MEASURES_SWING)
    {
      vertical (ruler, bl_ruler_scale_at (&ruler->scale, band->min[1]), 0.7, 1);
      vertical (ruler, bl_ruler_scale_at (&ruler->scale, band->max[0]), 0.7, 1);
    }
  else if (!isnan (band->nominal) && band->measures != BL_MEASURES_CHECK)
    vertical (ruler, bl_ruler_scale_at (&ruler->scale, fabs (band->nominal)), 0.83, 1);
  cairo_stroke (ruler->cr);
}

/* Two links of a chain left of the lane: the limits follow another reading. */
static void
draw_link_sign (const Ruler *ruler)
{
  cairo_t *cr = ruler->cr;
  double r = ruler->h * 0.16, cx = across (ruler, BL_RULER_LANE_START) - r * 4,
         cy = ruler->y + ruler->h / 2;

  for (int pass = 0; pass < 2; pass++)
    {
      for (int side = -1; side <= 1; side += 2)
        {
          cairo_save (cr);
          cairo_translate (cr, cx + side * r * 1.05, cy);
          cairo_scale (cr, 1.5, 1);
          cairo_new_sub_path (cr);
          cairo_arc (cr, 0, 0, r, 0, 2 * G_PI);
          cairo_restore (cr);
        }
      bl_set_source (cr, pass == 0 ? ground (ruler) : &ruler->palette->ink);
      cairo_set_line_width (cr, (ruler->large ? 2 : 1.3) + (pass == 0 ? 2 : 0));
      cairo_stroke (cr);
    }
}

static void
draw_mark (const Ruler *ruler, const BlBandMark *mark)
{
  cairo_t *cr = ruler->cr;
  double from = bl_ruler_scale_at (&ruler->scale, mark->low),
         to = bl_ruler_scale_at (&ruler->scale, mark->high);
  double least = (ruler->large ? ruler->h * 0.09 * 3 : 10) / ruler->w;

  if (from >= BL_RULER_PAST_BREAK)
    from = 0.90, to = 1;
  if (to - from < least)
    {
      double middle = CLAMP ((from + to) / 2, least / 2, 1 - least / 2);
      from = middle - least / 2;
      to = middle + least / 2;
    }
  box (ruler, from, to, 0.72);
  bl_set_source (cr, &ruler->palette->mark);
  cairo_fill_preserve (cr);
  bl_set_source (cr, &ruler->palette->mark_ink);
  cairo_set_line_width (cr, ruler->large ? 1.5 : 1);
  cairo_stroke (cr);
}

static double
needle_width (const Ruler *ruler)
{
  return ruler->large ? ruler->h * 0.09 : 3;
}

static void
draw_needle (const Ruler *ruler, double at, double width, double share, const BlColour *colour)
{
  cairo_t *cr = ruler->cr;
  double left = CLAMP (across (ruler, at) - width / 2, ruler->x, ruler->x + ruler->w - width);
  double top = ruler->y + ruler->h * (1 - share) / 2, height = ruler->h * share;

  cairo_rectangle (cr, left - 1.5, top, width + 3, height);
  bl_set_source (cr, ground (ruler));
  cairo_fill (cr);
  if (ruler->flags & BL_RULER_TYPING)
    {
      double line = ruler->large ? 1.6 : 1.2, wider = ruler->large ? 2 : 1;
      cairo_rectangle (cr, left - wider / 2 + line / 2, top + line / 2, width + wider - line,
                       height - line);
      cairo_set_line_width (cr, line);
      bl_set_source (cr, colour);
      cairo_stroke (cr);
      return;
    }
  cairo_rectangle (cr, left, top, width, height);
  bl_set_source (cr, colour);
  cairo_fill (cr);
}

/* The stretch between two needles; a wave in it says that the reading moved about. */
static void
draw_stretch (const Ruler *ruler, double from, double to, gboolean waves, const BlColour *colour)
{
  cairo_t *cr = ruler->cr;
  double x0 = across (ruler, from), length = across (ruler, to) - x0, cy = ruler->y + ruler->h / 2;

  box (ruler, from, to, 0.37);
  bl_set_source_alpha (cr, colour, 0.32);
  cairo_fill (cr);
  if (!waves)
    return;
  cairo_move_to (cr, x0, cy);
  for (int i = 0; i < 3; i++)
    {
      double dy = ruler->h * (i % 2 == 0 ? 0.24 : -0.24);
      cairo_curve_to (cr, x0 + length * (i + 0.33) / 3, cy + dy, x0 + length * (i + 0.67) / 3,
                      cy + dy, x0 + length * (i + 1) / 3, cy);
    }
  bl_set_source (cr, colour);
  cairo_set_line_width (cr, ruler->large ? 3 : 1.8);
  cairo_stroke (cr);
}

static void
draw_over_arrow (const Ruler *ruler, const BlColour *colour)
{
  cairo_t *cr = ruler->cr;
  double reach = ruler->h * 0.2, tip = ruler->x + ruler->w - 0.5, cy = ruler->y + ruler->h / 2;

  cairo_move_to (cr, tip - reach * 0.9, cy - reach);
  cairo_line_to (cr, tip, cy);
  cairo_line_to (cr, tip - reach * 0.9, cy + reach);
  bl_set_source (cr, colour);
  cairo_set_line_width (cr, ruler->large ? 3 : 1.8);
  cairo_stroke (cr);
}

static gboolean
reaches_limit (const Ruler *ruler, double from, double to)
{
  const BlRulerScale *scale = &ruler->scale;
  const double limits[] = { scale->has_start ? scale->start : NAN,
                            scale->has_low ? scale->low : NAN, scale->has_high ? scale->high : NAN,
                            scale->has_open ? scale->end : NAN };

  for (guint i = 0; i < G_N_ELEMENTS (limits); i++)
    if (from <= limits[i] && limits[i] <= to)
      return TRUE;
  return FALSE;
}

static void
draw_whisker (const Ruler *ruler, double value, double u)
{
  cairo_t *cr = ruler->cr;
  double from = bl_ruler_scale_at (&ruler->scale, value - 2 * u);
  double to = bl_ruler_scale_at (&ruler->scale, value + 2 * u), cy = ruler->y + ruler->h / 2;

  if (!(u > 0) || (!ruler->large && !reaches_limit (ruler, value - 2 * u, value + 2 * u)))
    return;
  cairo_move_to (cr, across (ruler, from), cy);
  cairo_line_to (cr, across (ruler, to), cy);
  vertical (ruler, from, 0.3, 0.7);
  vertical (ruler, to, 0.3, 0.7);
  bl_set_source (cr, &ruler->palette->ink);
  cairo_set_line_width (cr, ruler->large ? 2 : 1.3);
  cairo_stroke (cr);
}

static void
draw_range (const Ruler *ruler,
            const BlReading *reading,
            const BlVerdict *verdict,
            const BlColour *colour)
{
  double low = bl_ruler_scale_turn (ruler->band, reading->value);
  double high = bl_ruler_scale_turn (ruler->band, reading->high);
  double from = bl_ruler_scale_at (&ruler->scale, MIN (low, high));
  double to = bl_ruler_scale_at (&ruler->scale, MAX (low, high));
  gboolean waves = ruler->band->measures != BL_MEASURES_SWING;

  draw_stretch (ruler, from, to, waves, colour);
  draw_needle (ruler, from, needle_width (ruler), 0.84, colour);
  draw_needle (ruler, to, needle_width (ruler), 0.84, colour);
}

static void
draw_reading (const Ruler *ruler, const BlReading *reading, const BlVerdict *verdict)
{
  const BlColour *colour =
      verdict == NULL
          ? &ruler->palette->ink
          : bl_shape_colour (bl_shape_for_verdict (verdict, ruler->band), ruler->palette);
  double value = reading->value, width = needle_width (ruler);

  switch (reading->kind)
    {
    case BL_READING_VALUE:
      if (verdict != NULL && isfinite (verdict->value))
        value = verdict->value;
      value = bl_ruler_scale_turn (ruler->band, value);
      draw_needle (ruler, bl_ruler_scale_at (&ruler->scale, value), width, 1, colour);
      if (verdict != NULL)
        draw_whisker (ruler, value, verdict->u);
      break;
    case BL_READING_OVER:
      draw_needle (ruler, BL_RULER_PAST_BREAK, width, 1, colour);
      draw_over_arrow (ruler, colour);
      break;
    case BL_READING_RANGE:
      draw_range (ruler, reading, verdict, colour);
      break;
    case BL_READING_ANSWER:
      draw_needle (ruler, reading->answer == ruler->band->answer ? 0.5 : BL_RULER_LANE_START - 0.12,
                   2 * width, 1, colour);
      break;
    case BL_READING_NOT_REACHED:
    default:
      break;
    }
}

void
bl_ruler_draw (cairo_t *cr,
               const BlBand *band,
               const BlReading *reading,
               const BlVerdict *verdict,
               BlRulerFlags flags,
               double x,
               double y,
               double w,
               double h,
               const BlPalette *palette)
{
  Ruler ruler = { cr, band, palette, flags, { 0 }, x, y, w, h, h >= LARGE_FROM };

  g_return_if_fail (cr != NULL && palette != NULL);
  if (!(w > 0 && h > 0))
    return;
  cairo_save (cr);
  if (band != NULL)
    bl_ruler_scale_init (&ruler.scale, band);
  if (!(flags & BL_RULER_LANE_ONLY))
    draw_track (&ruler);
  if (band != NULL)
    draw_lane (&ruler);
  if (band != NULL && !(flags & BL_RULER_LANE_ONLY))
    {
      draw_notches (&ruler);
      if (band->follows)
        draw_link_sign (&ruler);
      for (guint i = 0; band->marks != NULL && i < band->marks->len; i++)
        draw_mark (&ruler, &g_array_index (band->marks, BlBandMark, i));
      if (reading != NULL)
        draw_reading (&ruler, reading, verdict);
    }
  cairo_restore (cr);
}
