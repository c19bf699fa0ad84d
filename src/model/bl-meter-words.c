/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Words about meters: loading, waves that an averaging meter reads wrong, ghost voltages, calibration.
 *
 * Nothing here changes a reading or a verdict: the correction for loading is bl_reading_corrected ()'s and
 * is only told, the error on a wave is told and left to the technician. */
#include "config.h"

#include "bl-meter-words.h"

#include "bl-format.h"
#include "bl-waveform.h"

#include <glib/gi18n-lib.h>

/* From this source resistance on a meter of 10 megohm reads 1 % low: then its input matters. */
#define HIGH_SOURCE 100e3
/* A meter of at least this input shows what leaks over an open contact (common practice, no source). */
#define HIGH_INPUT 1e6
/* An AC voltage of this nominal value or more is a switched mains conductor. */
#define SWITCHED_V 80
/* Errors on a wave below this are not spoken of. */
#define SMALL_ERROR 0.005

double
bl_measurement_source_ohm (const BlBoard *board, const BlMeasurement *measurement)
{
  const BlTestPoint *point;

  g_return_val_if_fail (board != NULL && measurement != NULL, NAN);
  point = measurement->at != NULL ? bl_board_test_point (board, measurement->at) : NULL;
  return point != NULL ? point->source_ohm.value : NAN;
}

/* --- waves --- */

/* "a square wave", "a pulse". */
static const char *
wave_with_article (BlWave wave)
{
  static const char *const words[BL_N_WAVES] = {
    [BL_WAVE_SINE] = N_ ("a sine"),
    [BL_WAVE_FULL_WAVE] = N_ ("a full-wave rectified sine"),
    [BL_WAVE_HALF_WAVE] = N_ ("a half-wave rectified sine"),
    [BL_WAVE_SQUARE] = N_ ("a square wave"),
    [BL_WAVE_TRIANGLE] = N_ ("a triangle"),
    [BL_WAVE_PULSE] = N_ ("this pulse"),
  };
  return _ (words[wave]);
}

char *
bl_meter_wave_words (const BlMeasurement *measurement)
{
  BlWaveFigures figures;
  BlWave wave;

  g_return_val_if_fail (measurement != NULL, NULL);
  if (!bl_measurement_wave (measurement, &wave, &figures) || fabs (figures.error) < SMALL_ERROR)
    return NULL;
  /* Translators: per cent, wave: "11 % high on a square wave" */
  return g_strdup_printf (figures.error > 0 ? _ ("reads %.2g %% high on %s") : _ ("reads %.2g %% low on %s"),
                          100 * fabs (figures.error), wave_with_article (wave));
}

/* "expect 5.55 V on it" after the words about the wave. */
static char *
averaging_words (const BlMeasurement *measurement, const BlBand *band)
{
  g_autofree char *wave = bl_meter_wave_words (measurement);
  BlWaveFigures figures;

  if (wave == NULL)
    return NULL;
  if (band == NULL || !isfinite (band->nominal) || !bl_measurement_wave (measurement, NULL, &figures))
    return g_strdup_printf (_ ("averaging meter: %s"), wave);
  g_autofree char *shown = bl_quantity_format (band->nominal * (1 + figures.error),
                                               bl_measures_unit (measurement->measures), 3);
  return g_strdup_printf (_ ("averaging meter: %s; it shows the expected value as %s"), wave, shown);
}

static char *
crest_words (const BlShopMeter *meter, const BlMeasurement *measurement)
{
  BlWaveFigures figures;

  if (!(meter->crest_factor > 0) || !bl_measurement_wave (measurement, NULL, &figures)
      || figures.crest_factor <= meter->crest_factor)
    return NULL;
  return g_strdup_printf (_ ("crest factor %.2g here, the meter’s figures hold up to %.2g"), figures.crest_factor,
                          meter->crest_factor);
}

/* --- loading --- */

static char *
unknown_input_words (const BlBoard *board, const BlMeasurement *measurement, const char *spec)
{
  double source = bl_measurement_source_ohm (board, measurement);
  BlMeter accuracy = { 0, 0, 0, NAN };

  if (measurement->measures > BL_MEASURES_V_PP || !(source >= HIGH_SOURCE))
    return NULL;
  if (spec != NULL && bl_meter_parse (spec, &accuracy, NULL) && accuracy.input_ohm > 0)
    return NULL;
  g_autofree char *shown = bl_quantity_format (source, "ohm", 3);
  return g_strdup_printf (_ ("source of %s: a meter of unknown input resistance reads low here, nothing is corrected"),
                          shown);
}

char *
bl_meter_loading_words (const BlReading *reading, const BlMeasurement *measurement, const char *spec, double source_ohm)
{
  BlMeter accuracy;
  double value, u;

  g_return_val_if_fail (reading != NULL && measurement != NULL, NULL);
  if (spec == NULL || reading->kind != BL_READING_VALUE || reading->value == 0
      || measurement->measures > BL_MEASURES_V_PP || !(source_ohm > 0) || !bl_meter_parse (spec, &accuracy, NULL) || !(accuracy.input_ohm > 0))
    return NULL;
  bl_reading_corrected (reading, measurement->measures, &accuracy, source_ohm, &value, &u);
  /* A correction that no digit shows is not spoken of. */
  if (fabs (value / reading->value - 1) < 0.0005)
    return NULL;
  g_autofree char *from = bl_quantity_format (reading->value, bl_measures_unit (measurement->measures), 4);
  g_autofree char *to = bl_quantity_format (value, bl_measures_unit (measurement->measures), 4);
  g_autofree char *input = bl_quantity_format (accuracy.input_ohm, "ohm", 3);
  g_autofree char *source = bl_quantity_format (source_ohm, "ohm", 3);
  /* Translators: value counted, value read, input resistance, source resistance. */
  return g_strdup_printf (_ ("counts as %s: corrected from %s for a %s meter on %s"), to, from, input, source);
}

char *
bl_meter_ghost_words (const BlReading *reading, const BlMeasurement *measurement, const BlBand *band, const char *spec)
{
  BlMeter accuracy;

  g_return_val_if_fail (reading != NULL && measurement != NULL, NULL);
  if (spec == NULL || band == NULL || reading->kind != BL_READING_VALUE || measurement->measures != BL_MEASURES_V_AC
      || !(fabs (band->nominal) >= SWITCHED_V) || !bl_meter_parse (spec, &accuracy, NULL)
      || !(accuracy.input_ohm >= HIGH_INPUT))
    return NULL;
  /* Some tenth to two thirds of the voltage: what leaks over an open contact, not a loaded line. */
  if (fabs (reading->value) < 0.02 * fabs (band->nominal) || fabs (reading->value) > 0.67 * fabs (band->nominal))
    return NULL;
  g_autofree char *input = bl_quantity_format (accuracy.input_ohm, "ohm", 3);
  return g_strdup_printf (_ ("a %s meter reads such a voltage on an open contact, too: load the line, or use a "
                             "range of low resistance"),
                          input);
}

char *
bl_meter_error_words (const BlReading *reading, const BlMeasurement *measurement, const char *spec, double source_ohm)
{
  BlMeter accuracy;
  double value, u;

  g_return_val_if_fail (reading != NULL && measurement != NULL, NULL);
  if (spec == NULL || *spec == '\0' || !bl_meter_parse (spec, &accuracy, NULL))
    return NULL;
  bl_reading_corrected (reading, measurement->measures, &accuracy, source_ohm, &value, &u);
  if (!(u > 0))
    return NULL;
  g_autofree char *shown = bl_quantity_format (u * sqrt (3), bl_measures_unit (measurement->measures), 2);
  return g_strdup_printf ("±%s", shown);
}

/* --- at a measurement --- */

char *
bl_meter_warning (const BlShopMeter *meter,
                  const char *spec,
                  const BlBoard *board,
                  const BlMeasurement *measurement,
                  const BlBand *band)
{
  g_autoptr (GPtrArray) words = g_ptr_array_new_with_free_func (g_free);
  char *one;

  g_return_val_if_fail (board != NULL && measurement != NULL, NULL);
  if (measurement->measures >= BL_MEASURES_CHECK)
    return NULL;
  if (meter != NULL && bl_shop_meter_largest (meter, measurement->measures) == NULL)
    {
      g_autofree char *unit = bl_format_unit (measurement->measures);
      return g_strdup_printf (_ ("“%s” has no range for this (%s): a reading is taken as exact"), meter->name,
                              *unit != '\0' ? unit : bl_measures_name (measurement->measures));
    }
  if (meter != NULL && !meter->true_rms && (one = averaging_words (measurement, band)) != NULL)
    g_ptr_array_add (words, one);
  if (meter != NULL && (one = crest_words (meter, measurement)) != NULL)
    g_ptr_array_add (words, one);
  if ((one = unknown_input_words (board, measurement, spec)) != NULL)
    g_ptr_array_add (words, one);
  if (words->len == 0)
    return NULL;
  g_ptr_array_add (words, NULL);
  return g_strjoinv ("; ", (char **) words->pdata);
}

/* --- calibration --- */

static char *
day_words (gint64 time)
{
  g_autoptr (GDateTime) day = g_date_time_new_from_unix_utc (time / G_USEC_PER_SEC);

  /* Translators: a day, as in 1 March 2026 */
  return day != NULL ? g_date_time_format (day, _ ("%-e %B %Y")) : g_strdup ("?");
}

char *
bl_meter_calibration_words (const BlShopMeter *meter, gint64 now)
{
  BlCalibration state;
  gint64 due;

  g_return_val_if_fail (meter != NULL, NULL);
  state = bl_shop_meter_calibration (meter, now, &due);
  if (state != BL_CALIBRATION_SOON && state != BL_CALIBRATION_PAST)
    return NULL;
  g_autofree char *day = day_words (due);
  return g_strdup_printf (state == BL_CALIBRATION_PAST ? _ ("%s: calibration was due on %s")
                                                       : _ ("%s: calibration due on %s"),
                          meter->name, day);
}

char *
bl_meter_calibration_state (const BlShopMeter *meter, gint64 now)
{
  BlCalibration state;
  gint64 due;

  g_return_val_if_fail (meter != NULL, NULL);
  if (meter->calibrated == 0)
    return g_strdup (_ ("calibration not noted"));
  state = bl_shop_meter_calibration (meter, now, &due);
  g_autofree char *last = day_words (meter->calibrated), *next = day_words (due);
  if (state == BL_CALIBRATION_UNKNOWN)
    return g_strdup_printf (_ ("calibrated %s"), last);
  return g_strdup_printf (state == BL_CALIBRATION_PAST ? _ ("calibration was due on %s")
                                                       : _ ("calibration due on %s"),
                          next);
}
