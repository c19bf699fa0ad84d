/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bands from component limits and along formulas, as changes of the open document. What is written into the document
 * is the band and where it is from; the row or formula itself is not kept, for the document must be readable without
 * this program. */
#include "config.h"

#include "bl-edition-band.h"

#include <glib/gi18n-lib.h>
#include <stdlib.h>

#include "bl-slot-private.h"
#include "bl-verdict.h"

#define FIRST_WIDTH 0.05

static BlMeasurement *
begin (BlEdition *self, const char *measurement, const char *label, const char *key, GError **error)
{
  BlBoard *board = bl_edition_begin (self, label, key);
  BlMeasurement *found = bl_board_measurement (board, measurement);

  if (found == NULL)
    {
      bl_edition_cancel (self);
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("there is no measurement “%s”"), measurement);
    }
  return found;
}

gboolean
bl_edition_take_limit (BlEdition *self, const char *measurement, const BlLimit *limit, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self) && measurement != NULL && limit != NULL, FALSE);
  g_autofree char *label = g_strdup_printf (_ ("band of %s from component limits"), measurement);
  BlMeasurement *found = begin (self, measurement, label, NULL, error);

  if (found == NULL)
    return FALSE;
  found->has_expected = TRUE;
  bl_limit_apply (limit, &found->expected);
  return bl_edition_commit (self, error);
}

static void
set_text (char **place, char *text)
{
  g_free (*place);
  *place = text;
}

gboolean
bl_edition_follow (BlEdition *self, const char *measurement, const char *other, const BlPreset *preset, double from,
                   double to, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self) && measurement != NULL && other != NULL && preset != NULL, FALSE);
  g_autoptr (GArray) points = bl_preset_points (preset, from, to, error);
  g_autofree char *label = g_strdup_printf (_ ("%s follows %s"), measurement, other);

  if (points == NULL)
    return FALSE;
  BlMeasurement *found = begin (self, measurement, label, NULL, error);
  if (found == NULL)
    return FALSE;
  if (found->reads != NULL && from > 0)
    {
      double level[] = { 0, g_array_index (points, double, 1) };
      g_array_prepend_vals (points, level, 2);
    }
  found->has_expected = TRUE;
  if (found->expected.follows == NULL)
    {
      found->expected.follows = bl_follows_new ();
      found->expected.follows->tolerance = FIRST_WIDTH;
    }
  set_text (&found->expected.follows->measurement, g_strdup (other));
  g_clear_pointer (&found->expected.follows->points, g_array_unref);
  found->expected.follows->points = g_steal_pointer (&points);
  set_text (&found->expected.source, bl_preset_words (preset, other));
  return bl_edition_commit (self, error);
}

static int
by_x (gconstpointer a, gconstpointer b)
{
  double x = *(const double *) a, y = *(const double *) b;
  return (x > y) - (x < y);
}

gboolean
bl_edition_set_line (BlEdition *self, const char *measurement, const GArray *points, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self) && measurement != NULL && points != NULL, FALSE);
  g_autofree char *label = g_strdup_printf (_ ("line that %s follows"), measurement);
  g_autofree char *key = g_strdup_printf ("line %s", measurement);
  BlMeasurement *found = begin (self, measurement, label, key, error);

  if (found == NULL)
    return FALSE;
  if (found->expected.follows == NULL)
    {
      bl_edition_cancel (self);
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("choose the measurement it follows first"));
      return FALSE;
    }
  GArray *copy = g_array_new (FALSE, FALSE, sizeof (double));
  g_array_append_vals (copy, points->data, points->len);
  qsort (copy->data, copy->len / 2, 2 * sizeof (double), by_x);
  g_clear_pointer (&found->expected.follows->points, g_array_unref);
  found->expected.follows->points = copy;
  bl_follows_by_hand (&found->expected);
  return bl_edition_commit (self, error);
}

double
bl_measurement_typical (const BlMeasurement *measurement)
{
  g_return_val_if_fail (measurement != NULL, NAN);
  const BlExpected *expected = &measurement->expected;

  if (measurement->measures == BL_MEASURES_DEGC && !bl_quantity_is_set (&expected->nominal))
    return 25;
  return expected->nominal.value;
}

void
bl_measurement_range (const BlMeasurement *measurement, double *from, double *to)
{
  g_return_if_fail (measurement != NULL && from != NULL && to != NULL);
  double nominal = bl_measurement_typical (measurement), low = measurement->expected.low.value,
         high = measurement->expected.high.value, below, above;

  if (isnan (low) && isnan (high) && measurement->expected.tolerance != NULL && isfinite (nominal)
      && bl_tolerance_parse (measurement->expected.tolerance, &below, &above, NULL))
    {
      low = nominal - below * fabs (nominal);
      high = nominal + above * fabs (nominal);
    }
  if (measurement->measures == BL_MEASURES_DEGC && (isnan (low) || isnan (high)))
    {
      low = -20;
      high = 80;
    }
  else if (isnan (low) || isnan (high) || !(low < high))
    {
      double about = isfinite (nominal) ? nominal : isfinite (high) ? high : isfinite (low) ? low : 0.5;
      low = about > 0 ? about * 0.8 : about * 1.2;
      high = about > 0 ? about * 1.2 : about * 0.8;
    }
  if (!(low < high))
    {
      low = 0;
      high = 1;
    }
  /* A little beyond what is expected, for it is there that following matters; sensors' ranges are as they are. */
  double beyond = measurement->measures == BL_MEASURES_DEGC ? 0 : 0.2 * (high - low);
  *from = low >= 0 ? MAX (0, low - beyond) : low - beyond;
  *to = high + beyond;
}

gboolean
bl_preset_fits (BlPresetKind kind, BlMeasures from, BlMeasures to)
{
  gboolean volts = from == BL_MEASURES_V_DC || from == BL_MEASURES_V_AC;

  switch (kind)
    {
    case BL_PRESET_FULL_WAVE:
    case BL_PRESET_HALF_WAVE:
      return from == BL_MEASURES_V_AC && to == BL_MEASURES_V_DC;
    case BL_PRESET_DIVIDER:
      return volts && from == to;
    case BL_PRESET_BETA:
    case BL_PRESET_TYPE_1:
    case BL_PRESET_PLATINUM:
      return from == BL_MEASURES_DEGC && to == BL_MEASURES_OHM;
    case BL_PRESET_RATIO:
      return from < BL_MEASURES_SWING && to < BL_MEASURES_SWING;
    case BL_N_PRESETS:
    default:
      return FALSE;
    }
}
