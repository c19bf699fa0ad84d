/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The band ruler as a widget: the drawing comes from the report layer, so that screen and paper are
 * the same; here it gets the values of its limits written below, limits bold, and the names of the
 * zones. The list draws its rulers itself, many in one lane. */
#include "config.h"

#include "bl-ruler.h"

#include <glib/gi18n-lib.h>

#include "bl-bench.h"
#include "bl-format.h"
#include "bl-style.h"

struct _BlRuler
{
  GtkWidget parent_instance;

  int lane, figures, width; /* px */
  gboolean zones, raised, typing, has_reading;
  BlBand *band;
  BlReading reading;
  BlVerdict *verdict;
};

G_DEFINE_FINAL_TYPE (BlRuler, bl_ruler, GTK_TYPE_WIDGET)

static double
row_height (BlRuler *self)
{
  return self->figures * 1.35;
}

static void
bl_ruler_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                  int *minimum_baseline, int *natural_baseline)
{
  BlRuler *self = BL_RULER (widget);

  if (orientation == GTK_ORIENTATION_HORIZONTAL)
    {
      *minimum = self->width > 0 ? self->width : 120;
      *natural = self->width > 0 ? self->width : 264;
    }
  else
    *minimum = *natural = self->lane + (int) (row_height (self) * (self->zones ? 1.9 : 1));
}

/* Limits of the band first, so that the others give way where there is no room. */
static void
draw_labels (BlRuler *self, cairo_t *cr, double width, double y)
{
  const BlPalette *palette = bl_style_palette ();
  g_autoptr (GArray) labels = bl_ruler_labels (self->band);
  g_autoptr (GArray) taken = g_array_new (FALSE, FALSE, sizeof (double));

  for (int pass = 0; pass < 2; pass++)
    for (guint i = 0; i < labels->len; i++)
      {
        const BlRulerLabel *label = &g_array_index (labels, BlRulerLabel, i);
        g_autofree char *text = bl_format_value (self->band->measures, label->value);
        int w;
        gboolean room = TRUE;
        if (label->limit != (pass == 0))
          continue;
        g_autoptr (PangoLayout) layout = bl_style_layout (GTK_WIDGET (self), text, self->figures,
                                                          label->limit ? 700 : 400);
        pango_layout_get_pixel_size (layout, &w, NULL);
        double left = CLAMP (label->at * width - w / 2.0, 0, MAX (0, width - w)), right = left + w;
        for (guint k = 0; k < taken->len; k += 2)
          if (left < g_array_index (taken, double, k + 1) + 5 && right > g_array_index (taken, double, k) - 5)
            room = FALSE;
        if (!room)
          continue;
        g_array_append_val (taken, left);
        g_array_append_val (taken, right);
        bl_style_show (cr, layout, label->limit ? &palette->ink : &palette->muted, left, y, 0);
      }
}

static void
draw_zones (BlRuler *self, cairo_t *cr, double width, double y)
{
  const BlPalette *palette = bl_style_palette ();
  g_autoptr (GArray) zones = bl_ruler_zones (self->band);
  double end = -10;

  for (guint i = 0; i < zones->len; i++)
    {
      const BlRulerZone *zone = &g_array_index (zones, BlRulerZone, i);
      g_autoptr (PangoLayout) layout
        = bl_style_layout (GTK_WIDGET (self), bl_class_word (zone->name), self->figures * 0.9, 400);
      int w;
      pango_layout_get_pixel_size (layout, &w, NULL);
      double left = CLAMP (zone->at * width - w / 2.0, 0, MAX (0, width - w));
      if (left < end + 4)
        continue;
      bl_style_show (cr, layout, &palette->muted, left, y, 0);
      end = left + w;
    }
}

static void
bl_ruler_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  BlRuler *self = BL_RULER (widget);
  double width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  BlRulerFlags flags = (self->typing ? BL_RULER_TYPING : 0) | (self->raised ? BL_RULER_RAISED : 0);
  cairo_t *cr;

  if (width <= 0)
    return;
  cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (-4, -4, (float) width + 8, (float) height + 8));
  bl_ruler_draw (cr, self->band, self->has_reading ? &self->reading : NULL, self->verdict, flags, 0, 0, width,
                 self->lane, bl_style_palette ());
  if (self->band != NULL)
    {
      draw_labels (self, cr, width, self->lane + row_height (self) * 0.6);
      if (self->zones)
        draw_zones (self, cr, width, self->lane + row_height (self) * 1.45);
    }
  cairo_destroy (cr);
}

static void
bl_ruler_finalize (GObject *object)
{
  BlRuler *self = BL_RULER (object);

  g_clear_pointer (&self->band, bl_band_free);
  g_clear_pointer (&self->verdict, bl_verdict_free);
  G_OBJECT_CLASS (bl_ruler_parent_class)->finalize (object);
}

static void
bl_ruler_class_init (BlRulerClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->finalize = bl_ruler_finalize;
  widget_class->measure = bl_ruler_measure;
  widget_class->snapshot = bl_ruler_snapshot;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
}

static void
bl_ruler_init (BlRuler *self)
{
  self->lane = 40;
  self->figures = 12;
  self->zones = TRUE;
  self->raised = TRUE;
  bl_widget_name (GTK_WIDGET (self), _ ("Band ruler"));
  bl_style_watch (GTK_WIDGET (self));
}

GtkWidget *
bl_ruler_new (void)
{
  return g_object_new (BL_TYPE_RULER, NULL);
}

void
bl_ruler_set_sizes (BlRuler *self, int lane, int figures, gboolean zones, gboolean raised)
{
  g_return_if_fail (BL_IS_RULER (self));
  self->lane = lane;
  self->figures = figures;
  self->zones = zones;
  self->raised = raised;
  gtk_widget_queue_resize (GTK_WIDGET (self));
}

void
bl_ruler_set_width (BlRuler *self, int width)
{
  g_return_if_fail (BL_IS_RULER (self));
  self->width = width;
  gtk_widget_queue_resize (GTK_WIDGET (self));
}

void
bl_ruler_show (BlRuler *self, const BlBand *band, const BlReading *reading, const BlVerdict *verdict,
               gboolean typing)
{
  g_return_if_fail (BL_IS_RULER (self));
  g_clear_pointer (&self->band, bl_band_free);
  g_clear_pointer (&self->verdict, bl_verdict_free);
  self->band = band != NULL ? bl_band_copy (band) : NULL;
  self->verdict = verdict != NULL ? bl_verdict_copy (verdict) : NULL;
  self->has_reading = reading != NULL;
  if (reading != NULL)
    self->reading = *reading;
  self->typing = typing;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}
