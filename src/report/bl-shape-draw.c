/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The nine verdict shapes on a cairo context, drawn in a grid of 16 units around the centre.
 *
 * They differ in outline, not only in colour, so that they can be told apart in grey, on a photo
 * and with any colour vision. Drawn as paths, never as glyphs: fonts differ. The word beside them
 * is the caller's. */
#include "config.h"

#include "bl-shape-draw.h"

#include <glib/gi18n-lib.h>

static BlShape
shape_for_mark (const BlBand *band, guint class_index)
{
  for (guint i = 0; band->marks != NULL && i < band->marks->len; i++)
    {
      const BlBandMark *mark = &g_array_index (band->marks, BlBandMark, i);
      if (mark->class_index != class_index)
        continue;
      if (!isnan (band->shorted_below) && mark->high <= band->shorted_below)
        return BL_SHAPE_SHORTED;
      if (!isnan (band->absent_below) && mark->high <= band->absent_below)
        return BL_SHAPE_ABSENT;
      if (!isnan (band->open_above) && mark->low >= band->open_above)
        return BL_SHAPE_OPEN;
      return mark->low >= band->high ? BL_SHAPE_HIGH : BL_SHAPE_LOW;
    }
  return BL_SHAPE_TOO_CLOSE;
}

BlShape
bl_shape_for_class (const char *class_name, const BlBand *band)
{
  static const struct
  {
    const char *name;
    BlShape shape;
  } names[] = {
    { "in band", BL_SHAPE_IN_BAND },
    { "as expected", BL_SHAPE_IN_BAND },
    { "low", BL_SHAPE_LOW },
    { "high", BL_SHAPE_HIGH },
    { "beyond", BL_SHAPE_HIGH },
    { "absent", BL_SHAPE_ABSENT },
    { "still low", BL_SHAPE_ABSENT }, /* what is absent is the swing */
    { "still middle", BL_SHAPE_ABSENT },
    { "still high", BL_SHAPE_ABSENT },
    { "unsteady", BL_SHAPE_UNSTEADY },
    { "shorted", BL_SHAPE_SHORTED },
    { "open", BL_SHAPE_OPEN },
    { "too close to call", BL_SHAPE_TOO_CLOSE },
    { "reversed", BL_SHAPE_TOO_CLOSE }, /* no verdict until it is confirmed */
    { "not reached", BL_SHAPE_NOT_REACHED },
  };

  g_return_val_if_fail (class_name != NULL, BL_SHAPE_NOT_REACHED);
  for (guint i = 0; i < G_N_ELEMENTS (names); i++)
    if (g_str_equal (class_name, names[i].name))
      return names[i].shape;
  /* What was expected is not there, or something is there that should not be. */
  if (g_str_equal (class_name, "deviates"))
    return band != NULL && !band->answer ? BL_SHAPE_HIGH : BL_SHAPE_ABSENT;
  for (guint i = 0; band != NULL && i < band->n_classes; i++)
    if (g_strcmp0 (band->classes[i], class_name) == 0)
      return shape_for_mark (band, i);
  return BL_SHAPE_TOO_CLOSE;
}

BlShape
bl_shape_for_verdict (const BlVerdict *verdict, const BlBand *band)
{
  if (verdict == NULL || verdict->not_reached)
    return BL_SHAPE_NOT_REACHED;
  if (verdict->reversed || !verdict->evidence || !verdict->certain || verdict->best >= verdict->n)
    return BL_SHAPE_TOO_CLOSE;
  return bl_shape_for_class (verdict->classes[verdict->best], band);
}

const BlColour *
bl_shape_colour (BlShape shape, const BlPalette *palette)
{
  switch (shape)
    {
    case BL_SHAPE_IN_BAND:
      return &palette->in_band;
    case BL_SHAPE_LOW:
      return &palette->low;
    case BL_SHAPE_HIGH:
      return &palette->high;
    case BL_SHAPE_ABSENT:
      return &palette->ink;
    case BL_SHAPE_UNSTEADY:
      return &palette->unsteady;
    case BL_SHAPE_SHORTED:
    case BL_SHAPE_OPEN:
      return &palette->shorted;
    case BL_SHAPE_TOO_CLOSE:
      return &palette->too_close;
    case BL_SHAPE_NOT_REACHED:
    case BL_N_SHAPES:
    default:
      return &palette->not_reached;
    }
}

const char *
bl_shape_word (BlShape shape)
{
  switch (shape)
    {
    case BL_SHAPE_IN_BAND:
      return _ ("in band");
    case BL_SHAPE_LOW:
      return _ ("low");
    case BL_SHAPE_HIGH:
      return _ ("high");
    case BL_SHAPE_ABSENT:
      return _ ("absent");
    case BL_SHAPE_UNSTEADY:
      return _ ("unsteady");
    case BL_SHAPE_SHORTED:
      return _ ("shorted");
    case BL_SHAPE_OPEN:
      return _ ("open");
    case BL_SHAPE_TOO_CLOSE:
      return _ ("too close to call");
    case BL_SHAPE_NOT_REACHED:
    case BL_N_SHAPES:
    default:
      return _ ("not reached");
    }
}

static void
wedge (cairo_t *cr, double direction)
{
  cairo_move_to (cr, -6.6, -5.4 * direction);
  cairo_line_to (cr, 6.6, -5.4 * direction);
  cairo_line_to (cr, 0, 6.4 * direction);
  cairo_close_path (cr);
}

/* A bar 14 x 4.4 with end posts 2 x 11, gap wide in its middle. As one or two closed outlines, so
 * that a casing does not run through it. */
static void
bar (cairo_t *cr, double gap)
{
  for (int side = -1; side <= 1; side += 2)
    {
      cairo_move_to (cr, side * gap / 2, -2.2);
      cairo_line_to (cr, side * 5.0, -2.2);
      cairo_line_to (cr, side * 5.0, -5.5);
      cairo_line_to (cr, side * 7.0, -5.5);
      cairo_line_to (cr, side * 7.0, 5.5);
      cairo_line_to (cr, side * 5.0, 5.5);
      cairo_line_to (cr, side * 5.0, 2.2);
      cairo_line_to (cr, side * gap / 2, 2.2);
      if (gap > 0)
        cairo_close_path (cr);
    }
}

static void
wave (cairo_t *cr)
{
  cairo_move_to (cr, -7, 0.8);
  cairo_curve_to (cr, -4.4, -8.6, -2.6, -7.0, 0, 0);
  cairo_curve_to (cr, 2.6, 7.0, 4.4, 8.6, 7, -0.8);
}

/* Lays the shape's filled outline (TRUE) or its line of the returned width (FALSE) on cr. */
static gboolean
shape_path (cairo_t *cr, BlShape shape, double *line)
{
  cairo_new_path (cr);
  *line = 0;
  switch (shape)
    {
    case BL_SHAPE_IN_BAND:
      cairo_arc (cr, 0, 0, 6, 0, 2 * G_PI);
      return TRUE;
    case BL_SHAPE_LOW:
      wedge (cr, 1);
      return TRUE;
    case BL_SHAPE_HIGH:
      wedge (cr, -1);
      return TRUE;
    case BL_SHAPE_ABSENT:
      cairo_arc (cr, 0, 0, 5, 0, 2 * G_PI);
      *line = 2.6;
      return FALSE;
    case BL_SHAPE_UNSTEADY:
      wave (cr);
      *line = 2.8;
      return FALSE;
    case BL_SHAPE_SHORTED:
      bar (cr, 0);
      return TRUE;
    case BL_SHAPE_OPEN:
      bar (cr, 5.2);
      return TRUE;
    case BL_SHAPE_TOO_CLOSE:
      cairo_arc (cr, 0, 0, 6, G_PI / 2, 3 * G_PI / 2);
      cairo_close_path (cr);
      return TRUE;
    case BL_SHAPE_NOT_REACHED:
    case BL_N_SHAPES:
    default:
      cairo_rectangle (cr, -5, -1.5, 10, 3);
      return TRUE;
    }
}

static void
draw_casing (cairo_t *cr, BlShape shape, double casing)
{
  double line = 0;

  gboolean filled = shape_path (cr, shape, &line);
  if (shape == BL_SHAPE_TOO_CLOSE)
    {
      cairo_new_path (cr);
      cairo_arc (cr, 0, 0, 6, 0, 2 * G_PI);
    }
  cairo_set_line_width (cr, line + 2 * casing);
  if (filled)
    cairo_fill_preserve (cr);
  cairo_stroke (cr);
}

void
bl_shape_draw (cairo_t *cr,
               BlShape shape,
               double cx,
               double cy,
               double size,
               const BlPalette *palette,
               gboolean casing)
{
  double line = 0;

  g_return_if_fail (cr != NULL && palette != NULL);
  if (size < BL_SHAPE_LEAST)
    return;
  cairo_save (cr);
  cairo_translate (cr, cx, cy);
  cairo_scale (cr, size / 16, size / 16);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  cairo_set_line_cap (cr, CAIRO_LINE_CAP_BUTT);
  if (casing)
    {
      bl_set_source (cr, &palette->chip);
      draw_casing (cr, shape, MAX (1.6, size / 8) * 16 / size);
    }
  bl_set_source (cr, bl_shape_colour (shape, palette));
  if (shape_path (cr, shape, &line))
    cairo_fill (cr);
  else
    {
      cairo_set_line_width (cr, line);
      cairo_stroke (cr);
    }
  if (shape == BL_SHAPE_TOO_CLOSE)
    {
      cairo_arc (cr, 0, 0, 5.4, -G_PI / 2, G_PI / 2);
      cairo_set_line_width (cr, 1.2);
      cairo_stroke (cr);
    }
  cairo_restore (cr);
}
