/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The band ruler's scale: which value stands where.
 *
 * The zones have fixed places and each has its own linear scale; so a limit never moves from row to
 * row, and a technician reads "left of the lane" without figures. Where the document leaves a limit
 * out, the lane's end is made up from what is known, and no limit line is drawn there. No drawing
 * here. */
#include "config.h"

#include "bl-ruler-scale.h"

#include "bl-ruler-draw.h"

double
bl_ruler_scale_turn (const BlBand *band, double value)
{
  return band->magnitude ? fabs (value) : band->negative ? -value : value;
}

/* The lane's ends where one or both limits were left out. */
static void
make_up_limits (BlRulerScale *scale, const BlBand *band)
{
  double nominal = isnan (band->nominal) ? NAN : fabs (band->nominal);

  if (!scale->has_low)
    {
      if (scale->has_start)
        scale->low = scale->start;
      else if (scale->has_high)
        scale->low = scale->high > 0 ? 0 : scale->high - MAX (fabs (scale->high), 1);
      else
        scale->low = 0;
    }
  if (!scale->has_high)
    {
      if (scale->has_open)
        scale->high = band->open_above;
      else if (nominal > scale->low)
        scale->high = scale->low + 2 * (nominal - scale->low);
      else
        scale->high = scale->low + MAX (fabs (scale->low), 1);
    }
}

void
bl_ruler_scale_init (BlRulerScale *scale, const BlBand *band)
{
  gboolean swing = band->measures == BL_MEASURES_SWING;
  double low = swing ? band->min[0] : band->low;
  double high = swing ? band->max[1] : band->high;
  double start = !isnan (band->shorted_below) ? band->shorted_below : band->absent_below;
  double width;

  *scale = (BlRulerScale){ .low = low, .high = high, .start = start };
  scale->has_low = isfinite (low);
  scale->has_high = isfinite (high);
  scale->has_start = !swing && isfinite (start);
  scale->has_open = !swing && isfinite (band->open_above);
  make_up_limits (scale, band);
  width = scale->high - scale->low;
  if (!(width > 0))
    width = MAX (fabs (scale->high), 1) * 0.1;
  scale->floor = scale->low - 2 * width;
  scale->end = scale->has_open && band->open_above > scale->high ? band->open_above
                                                                 : scale->high + 2 * width;
}

static double
between (double value, double from, double to, double at_from, double at_to)
{
  if (!(to > from))
    return (at_from + at_to) / 2;
  return at_from + (at_to - at_from) * CLAMP ((value - from) / (to - from), 0, 1);
}

double
bl_ruler_scale_at (const BlRulerScale *scale, double value)
{
  if (isnan (value))
    return 0.5;
  if (scale->has_start && value < scale->start)
    return between (value, MIN (0, scale->start), scale->start, 0, BL_RULER_ABSENT_END);
  if (scale->has_low && value < scale->low)
    return between (value, scale->has_start ? scale->start : scale->floor, scale->low,
                    BL_RULER_ABSENT_END, BL_RULER_LANE_START);
  if (value <= scale->high || (!scale->has_high && !scale->has_open))
    return between (value, scale->low, scale->high, BL_RULER_LANE_START, BL_RULER_LANE_END);
  if (value <= scale->end)
    return between (value, scale->high, scale->end, BL_RULER_LANE_END, BL_RULER_HIGH_END);
  return BL_RULER_PAST_BREAK;
}

double
bl_ruler_position (const BlBand *band, double value)
{
  BlRulerScale scale;

  g_return_val_if_fail (band != NULL, 0.5);
  bl_ruler_scale_init (&scale, band);
  return bl_ruler_scale_at (&scale, bl_ruler_scale_turn (band, value));
}

static void
add_label (GArray *labels, const BlBand *band, double at, double value, gboolean limit)
{
  BlRulerLabel label = { at, bl_ruler_scale_turn (band, value) + 0.0, limit };

  g_array_append_val (labels, label);
}

GArray *
bl_ruler_labels (const BlBand *band)
{
  GArray *labels = g_array_new (FALSE, FALSE, sizeof (BlRulerLabel));
  BlRulerScale scale;

  g_return_val_if_fail (band != NULL, labels);
  if (band->measures == BL_MEASURES_CHECK)
    return labels;
  bl_ruler_scale_init (&scale, band);
  if (scale.has_start)
    {
      if (scale.start > 0)
        add_label (labels, band, 0, 0, FALSE);
      add_label (labels, band, BL_RULER_ABSENT_END, scale.start, FALSE);
    }
  if (scale.has_low)
    add_label (labels, band, BL_RULER_LANE_START, scale.low, TRUE);
  if (band->measures == BL_MEASURES_SWING)
    {
      add_label (labels, band, bl_ruler_scale_at (&scale, band->min[1]), band->min[1], FALSE);
      add_label (labels, band, bl_ruler_scale_at (&scale, band->max[0]), band->max[0], FALSE);
    }
  if (scale.has_high)
    {
      add_label (labels, band, BL_RULER_LANE_END, scale.high, TRUE);
      add_label (labels, band, BL_RULER_HIGH_END, scale.end, FALSE);
    }
  else if (scale.has_open)
    add_label (labels, band, BL_RULER_LANE_END, scale.high, FALSE);
  return labels;
}

static void
add_zone (GArray *zones, const BlBand *band, double at, const char *name)
{
  for (guint i = 0; i < band->n_classes; i++)
    if (g_str_equal (band->classes[i], name))
      {
        BlRulerZone zone = { at, band->classes[i] };
        g_array_append_val (zones, zone);
        return;
      }
}

GArray *
bl_ruler_zones (const BlBand *band)
{
  GArray *zones = g_array_new (FALSE, FALSE, sizeof (BlRulerZone));
  BlRulerScale scale;

  g_return_val_if_fail (band != NULL, zones);
  if (band->measures == BL_MEASURES_CHECK)
    return zones;
  bl_ruler_scale_init (&scale, band);
  if (scale.has_start)
    {
      add_zone (zones, band, BL_RULER_ABSENT_END / 2, "absent");
      add_zone (zones, band, BL_RULER_ABSENT_END / 2, "shorted");
    }
  if (scale.has_low)
    add_zone (zones, band, (BL_RULER_ABSENT_END + BL_RULER_LANE_START) / 2, "low");
  add_zone (zones, band, 0.5, "in band");
  if (scale.has_high)
    add_zone (zones, band, (BL_RULER_LANE_END + BL_RULER_HIGH_END) / 2, "high");
  if (scale.has_open)
    add_zone (zones, band, (BL_RULER_HIGH_END + 1) / 2, "open");
  return zones;
}
