/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-verdict.h"

/* Small pieces of a board for the tests of bands, verdicts and evidence. */

static inline BlQuantity
quantity (double value)
{
  return (BlQuantity){ value, NULL };
}

/* A measurement with these limits; NAN leaves one out. */
static inline BlMeasurement *
measurement (const char *id, BlMeasures measures, double nominal, double low, double high)
{
  BlMeasurement *self = bl_measurement_new ();

  self->id = g_strdup (id);
  self->measures = measures;
  self->has_expected = TRUE;
  self->expected.nominal = quantity (nominal);
  self->expected.low = quantity (low);
  self->expected.high = quantity (high);
  return self;
}

static inline void
add_mark (BlMeasurement *self, const char *id, double low, double high)
{
  BlMark *mark = bl_mark_new ();

  mark->id = g_strdup (id);
  mark->low = quantity (low);
  mark->high = quantity (high);
  bl_append (&self->expected.marks, mark, (GDestroyNotify) bl_mark_free);
}

static inline void
follow (BlMeasurement *self, const char *other, const double *points, guint n, double tolerance)
{
  BlFollows *follows = bl_follows_new ();

  follows->measurement = g_strdup (other);
  if (follows->points == NULL)
    follows->points = g_array_new (FALSE, FALSE, sizeof (double));
  g_array_append_vals (follows->points, points, n);
  follows->tolerance = tolerance;
  self->expected.follows = follows;
}

static inline BlBand *
band_of (const BlMeasurement *self)
{
  g_autoptr (GError) error = NULL;
  BlBand *band = bl_band_resolve (self, NAN, 0, &error);

  g_assert_no_error (error);
  return band;
}
