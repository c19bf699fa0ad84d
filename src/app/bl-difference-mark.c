/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The marks of differences. They are none of the verdict shapes and have no colour: a difference is no verdict. Drawn in
 * a grid of 16 units around the centre. */
#include "config.h"

#include "bl-difference-mark.h"

#include "bl-style.h"

BlDifferenceMark
bl_difference_mark_of (BlDifferenceKind kind)
{
  switch (kind)
    {
    case BL_DIFFERENCE_ADDED:
      return BL_MARK_GONE;
    case BL_DIFFERENCE_REMOVED:
      return BL_MARK_ADDED;
    case BL_DIFFERENCE_RENAMED:
      return BL_MARK_RENAMED;
    case BL_DIFFERENCE_CHANGED:
    case BL_N_DIFFERENCES:
    default:
      return BL_MARK_CHANGED;
    }
}

BlDifferenceKind
bl_difference_mark_kind (BlDifferenceMark mark)
{
  static const BlDifferenceKind kinds[BL_N_MARKS] = { [BL_MARK_ADDED] = BL_DIFFERENCE_REMOVED,
                                                      [BL_MARK_GONE] = BL_DIFFERENCE_ADDED,
                                                      [BL_MARK_CHANGED] = BL_DIFFERENCE_CHANGED,
                                                      [BL_MARK_RENAMED] = BL_DIFFERENCE_RENAMED };

  g_return_val_if_fail (mark < BL_N_MARKS, BL_DIFFERENCE_CHANGED);
  return kinds[mark];
}

static void
bar (cairo_t *cr, double x0, double y0, double x1, double y1)
{
  cairo_move_to (cr, x0, y0);
  cairo_line_to (cr, x1, y1);
}

static void
draw_added (cairo_t *cr, const BlColour *ink, const BlColour *paper)
{
  cairo_rectangle (cr, -6.5, -6.5, 13, 13);
  bl_set_source (cr, ink);
  cairo_fill (cr);
  bar (cr, -4, 0, 4, 0);
  bar (cr, 0, -4, 0, 4);
  cairo_set_line_width (cr, 2.4);
  bl_set_source (cr, paper);
  cairo_stroke (cr);
}

static void
draw_gone (cairo_t *cr, const BlColour *ink, const BlColour *paper)
{
  static const double dashes[] = { 3.6, 2.4 };

  cairo_rectangle (cr, -5.8, -5.8, 11.6, 11.6);
  bl_set_source (cr, paper);
  cairo_fill_preserve (cr);
  bl_set_source (cr, ink);
  cairo_set_line_width (cr, 1.7);
  cairo_set_dash (cr, dashes, 2, 1.8);
  cairo_stroke (cr);
  cairo_set_dash (cr, NULL, 0, 0);
  bar (cr, -3.2, 0, 3.2, 0);
  cairo_set_line_width (cr, 2.4);
  cairo_stroke (cr);
}

static void
draw_changed (cairo_t *cr, const BlColour *ink)
{
  for (int side = -1; side <= 1; side += 2)
    {
      cairo_move_to (cr, 0.6 * side, 0);
      cairo_line_to (cr, 7 * side, -6);
      cairo_line_to (cr, 7 * side, 6);
      cairo_close_path (cr);
    }
  bl_set_source (cr, ink);
  cairo_fill (cr);
}

static void
draw_renamed (cairo_t *cr, const BlColour *ink, const BlColour *paper)
{
  cairo_move_to (cr, -7, 0);
  cairo_line_to (cr, -2.5, -5);
  cairo_line_to (cr, 7, -5);
  cairo_line_to (cr, 7, 5);
  cairo_line_to (cr, -2.5, 5);
  cairo_close_path (cr);
  bl_set_source (cr, paper);
  cairo_fill_preserve (cr);
  bl_set_source (cr, ink);
  cairo_set_line_width (cr, 1.8);
  cairo_stroke (cr);
  bar (cr, 0, 0, 5, 0);
  cairo_stroke (cr);
}

void
bl_difference_mark_draw (cairo_t *cr, BlDifferenceMark mark, double x, double y, double size, const BlColour *ink,
                         const BlColour *paper)
{
  g_return_if_fail (mark < BL_N_MARKS);
  cairo_save (cr);
  cairo_translate (cr, x, y);
  cairo_scale (cr, size / 16, size / 16);
  cairo_new_path (cr);
  if (mark == BL_MARK_ADDED)
    draw_added (cr, ink, paper);
  else if (mark == BL_MARK_GONE)
    draw_gone (cr, ink, paper);
  else if (mark == BL_MARK_CHANGED)
    draw_changed (cr, ink);
  else
    draw_renamed (cr, ink, paper);
  cairo_restore (cr);
}

/* --- Beside a word ---------------------------------------------------------------------------- */

enum { ICON_SIZE = 14 }; /* px */

struct _BlDifferenceIcon
{
  GtkWidget parent_instance;

  BlDifferenceMark mark;
};

G_DEFINE_FINAL_TYPE (BlDifferenceIcon, bl_difference_icon, GTK_TYPE_WIDGET)

static void
bl_difference_icon_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                            int *minimum_baseline, int *natural_baseline)
{
  *minimum = *natural = ICON_SIZE;
}

static void
bl_difference_icon_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  int width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  const BlPalette *palette = bl_style_palette ();
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (0, 0, width, height));
  GdkRGBA colour;

  gtk_style_context_get_color (gtk_widget_get_style_context (widget), &colour);
  BlColour ink = { colour.red, colour.green, colour.blue };
  gboolean is_light = 0.3 * ink.red + 0.59 * ink.green + 0.11 * ink.blue > 0.5;
  /* On a pressed button ink and paper have changed places. */
  gboolean is_usual = is_light == (palette->ink.red > 0.5);
  bl_difference_mark_draw (cr, BL_DIFFERENCE_ICON (widget)->mark, width / 2.0, height / 2.0, ICON_SIZE, &ink,
                           is_usual ? &palette->page : &palette->ink);
  cairo_destroy (cr);
}

static void
bl_difference_icon_class_init (BlDifferenceIconClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  widget_class->measure = bl_difference_icon_measure;
  widget_class->snapshot = bl_difference_icon_snapshot;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_PRESENTATION);
}

static void
bl_difference_icon_init (BlDifferenceIcon *self)
{
  gtk_widget_set_valign (GTK_WIDGET (self), GTK_ALIGN_CENTER);
  bl_style_watch (GTK_WIDGET (self));
}

GtkWidget *
bl_difference_icon_new (BlDifferenceMark mark)
{
  BlDifferenceIcon *self = g_object_new (BL_TYPE_DIFFERENCE_ICON, NULL);

  self->mark = mark;
  return GTK_WIDGET (self);
}
