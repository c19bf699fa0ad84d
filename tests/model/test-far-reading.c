/* SPDX-License-Identifier: GPL-3.0-or-later
 * Slips in typing are told from faults: only what is ten times beyond all that is known is asked
 * about. */
#include "config.h"

#include "bl-far-reading.h"

#include <math.h>

static BlBand *
rail (double low, double high)
{
  g_autoptr (BlMeasurement) measurement = bl_measurement_new ();
  g_autoptr (GError) error = NULL;

  measurement->measures = BL_MEASURES_V_DC;
  measurement->has_expected = TRUE;
  measurement->expected.low.value = low;
  measurement->expected.high.value = high;
  BlBand *band = bl_band_resolve (measurement, NAN, NAN, &error);
  g_assert_no_error (error);
  return band;
}

static gboolean
far (const char *text, BlMeasures measures, const BlBand *band, double volts)
{
  BlReading reading;

  g_assert_true (bl_reading_parse (text, measures, &reading, NULL));
  return bl_reading_is_far (measures, band, volts, &reading);
}

static void
test_volts (void)
{
  g_autoptr (BlBand) band = rail (11.4, 12.6);

  g_assert_true (far ("4700", BL_MEASURES_V_DC, band, 325));
  g_assert_true (far ("-4700", BL_MEASURES_V_DC, band, 325));
  g_assert_true (far ("12..4700", BL_MEASURES_V_DC, band, 325));
  /* The state's volts may stand where they should not. */
  g_assert_false (far ("325", BL_MEASURES_V_DC, band, 325));
  g_assert_false (far ("0.001", BL_MEASURES_V_DC, band, 325));
  /* On a bench supply 12 V is all there is; exactly ten times is not beyond it. */
  g_assert_true (far ("127", BL_MEASURES_V_DC, band, 12));
  g_assert_false (far ("126", BL_MEASURES_V_DC, band, 12));
  g_assert_true (far ("127", BL_MEASURES_V_DC, band, NAN));
  g_assert_false (far ("OL", BL_MEASURES_V_DC, band, 12));
  g_assert_false (far ("- coated", BL_MEASURES_V_DC, band, 12));
}

static void
test_unknown (void)
{
  g_assert_false (far ("4700", BL_MEASURES_V_DC, NULL, NAN));
  g_assert_true (far ("4700", BL_MEASURES_V_DC, NULL, 325));
  /* Volts say nothing of hertz. */
  g_assert_false (far ("4700", BL_MEASURES_HZ, NULL, 325));
  /* An open part reads as much as the meter shows. */
  g_autoptr (BlBand) band = rail (90, 110);
  g_assert_false (far ("22M", BL_MEASURES_OHM, band, NAN));
}

static void
test_marks (void)
{
  g_autoptr (BlBand) band = rail (4.8, 5.2);
  const BlBandMark mark = { 0, 30, 35 };

  g_assert_true (far ("300", BL_MEASURES_V_DC, band, NAN));
  if (band->marks == NULL)
    band->marks = g_array_new (FALSE, FALSE, sizeof (BlBandMark));
  g_array_append_val (band->marks, mark);
  g_assert_false (far ("300", BL_MEASURES_V_DC, band, NAN));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/far-reading/volts", test_volts);
  g_test_add_func ("/model/far-reading/unknown", test_unknown);
  g_test_add_func ("/model/far-reading/marks", test_marks);
  return g_test_run ();
}
