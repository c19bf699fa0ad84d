/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The ruler of an expected value, for the rows of the editor. */
#include "config.h"

#include "bl-band-lane.h"

#include "bl-ruler-draw.h"
#include "bl-style.h"

struct _BlBandLane
{
  GtkWidget parent_instance;

  BlBand *band; /* NULL: nothing expected */
  gboolean joined, raised;
};

G_DEFINE_FINAL_TYPE (BlBandLane, bl_band_lane, GTK_TYPE_WIDGET)

#define WIDTH 152
#define LANE 17

static void
bl_band_lane_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  BlBandLane *self = BL_BAND_LANE (widget);
  double width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  BlRulerFlags ground = self->raised ? BL_RULER_RAISED : BL_RULER_DEFAULT;
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (0, 0, (float) width, (float) height));

  cairo_rectangle (cr, 0, 0, width, height);
  cairo_clip (cr);
  if (self->joined && self->band != NULL)
    bl_ruler_draw (cr, self->band, NULL, NULL, BL_RULER_LANE_ONLY | ground, 0, 0, width, height, bl_style_palette ());
  bl_ruler_draw (cr, self->band, NULL, NULL, ground, 0, (height - LANE) / 2, width, LANE, bl_style_palette ());
  cairo_destroy (cr);
}

static void
bl_band_lane_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                      int *minimum_baseline, int *natural_baseline)
{
  *minimum = orientation == GTK_ORIENTATION_HORIZONTAL ? 120 : LANE + 4;
  *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? WIDTH : LANE + 4;
}

static void
bl_band_lane_finalize (GObject *object)
{
  g_clear_pointer (&BL_BAND_LANE (object)->band, bl_band_free);
  G_OBJECT_CLASS (bl_band_lane_parent_class)->finalize (object);
}

static void
bl_band_lane_class_init (BlBandLaneClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->finalize = bl_band_lane_finalize;
  widget_class->snapshot = bl_band_lane_snapshot;
  widget_class->measure = bl_band_lane_measure;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_PRESENTATION);
}

static void
bl_band_lane_init (BlBandLane *self)
{
  bl_style_watch (GTK_WIDGET (self));
}

GtkWidget *
bl_band_lane_new (gboolean joined, gboolean raised)
{
  BlBandLane *self = g_object_new (BL_TYPE_BAND_LANE, NULL);

  self->joined = joined;
  self->raised = raised;
  return GTK_WIDGET (self);
}

void
bl_band_lane_show (BlBandLane *self, const BlMeasurement *measurement)
{
  g_return_if_fail (BL_IS_BAND_LANE (self));
  g_clear_pointer (&self->band, bl_band_free);
  if (measurement != NULL && measurement->has_expected && measurement->measures < BL_N_MEASURES)
    self->band = bl_band_resolve (measurement, NAN, NAN, NULL);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}
