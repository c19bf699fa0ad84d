/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A weight drawn to both sides of a line. Ink only, since colour means a verdict: for is full, against
 * is an outline, so that the side is not the only difference. The words beside it say the same. */
#include "config.h"

#include "bl-why-bar.h"

#include <math.h>

#include "bl-style.h"

#define WIDTH 132
#define HEIGHT 12

struct _BlWhyBar
{
  GtkWidget parent_instance;

  double decibans, most;
};

G_DEFINE_FINAL_TYPE (BlWhyBar, bl_why_bar, GTK_TYPE_WIDGET)

static void
bl_why_bar_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                    int *minimum_baseline, int *natural_baseline)
{
  *minimum = *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? WIDTH : HEIGHT;
}

static void
draw_bar (const BlWhyBar *self, cairo_t *cr, const BlPalette *palette, double middle, double height)
{
  double share = isnan (self->decibans) ? 1 : MIN (1, fabs (self->decibans) / self->most);
  double length = MAX (1, round (share * (middle - 2)));

  bl_set_source (cr, &palette->ink);
  if (isnan (self->decibans))
    {
      cairo_set_line_width (cr, 2);
      cairo_move_to (cr, middle - length, height / 2);
      cairo_line_to (cr, middle + length, height / 2);
      cairo_stroke (cr);
    }
  else if (self->decibans >= 0)
    {
      cairo_rectangle (cr, middle + 1, 2, length, height - 4);
      cairo_fill (cr);
    }
  else
    {
      cairo_set_line_width (cr, 1.5);
      cairo_rectangle (cr, middle - 1 - length + .75, 2.75, MAX (.5, length - 1.5), height - 5.5);
      cairo_stroke (cr);
    }
}

static void
bl_why_bar_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  BlWhyBar *self = BL_WHY_BAR (widget);
  const BlPalette *palette = bl_style_palette ();
  double width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget), middle = floor (width / 2);
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (0, 0, (float) width, (float) height));

  bl_set_source (cr, &palette->hairline);
  cairo_rectangle (cr, 1, floor (height / 2), width - 2, 1);
  cairo_fill (cr);
  bl_set_source (cr, &palette->edge);
  cairo_rectangle (cr, middle, 0, 1, height);
  cairo_fill (cr);
  draw_bar (self, cr, palette, middle, height);
  cairo_destroy (cr);
}

static void
bl_why_bar_class_init (BlWhyBarClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  widget_class->measure = bl_why_bar_measure;
  widget_class->snapshot = bl_why_bar_snapshot;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_PRESENTATION);
}

static void
bl_why_bar_init (BlWhyBar *self)
{
  gtk_widget_set_valign (GTK_WIDGET (self), GTK_ALIGN_CENTER);
  bl_style_watch (GTK_WIDGET (self));
}

GtkWidget *
bl_why_bar_new (double decibans, double most)
{
  BlWhyBar *self = g_object_new (BL_TYPE_WHY_BAR, NULL);

  self->decibans = decibans;
  self->most = MAX (most, 1);
  return GTK_WIDGET (self);
}
