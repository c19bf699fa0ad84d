/* SPDX-License-Identifier: GPL-3.0-or-later */
/* RMS and rectified mean of the waves that are found on boards, in closed form for 1 V peak.
 *
 * A meter that is not true RMS measures the mean of the rectified value and shows it times
 * pi / (2 sqrt 2), the ratio of RMS to that mean for a sine. On other waves it is wrong by a factor that
 * depends on the shape alone. With the mean m taken out first (AC coupling) the rectified mean is that of
 * |x - m|: twice the area above m, over the period.
 *
 * Harmonics are not cut at a meter's highest frequency, and a pulse is ideal. */
#include "config.h"

#include "bl-waveform.h"

#include <glib/gi18n-lib.h>

static const char *const names[BL_N_WAVES] = {
  [BL_WAVE_SINE] = N_ ("sine"),
  [BL_WAVE_FULL_WAVE] = N_ ("full-wave rectified"),
  [BL_WAVE_HALF_WAVE] = N_ ("half-wave rectified"),
  [BL_WAVE_SQUARE] = N_ ("square"),
  [BL_WAVE_TRIANGLE] = N_ ("triangle"),
  [BL_WAVE_PULSE] = N_ ("pulse"),
};

const char *
bl_wave_name (BlWave wave)
{
  g_return_val_if_fail ((guint) wave < BL_N_WAVES, NULL);
  return names[wave];
}

gboolean
bl_wave_parse (const char *name, BlWave *wave)
{
  g_return_val_if_fail (wave != NULL, FALSE);
  *wave = BL_WAVE_SINE;
  if (name == NULL)
    return TRUE;
  for (guint i = 0; i < BL_N_WAVES; i++)
    if (g_str_equal (names[i], name))
      {
        *wave = (BlWave) i;
        return TRUE;
      }
  return FALSE;
}

/* Mean, mean square and the mean of |x - level| of a wave of 1 V peak; level: 0, or its own mean. */
static void
integrals (BlWave wave, double duty, gboolean ac_coupled, double *mean, double *square, double *rectified)
{
  double m, a;

  switch (wave)
    {
    case BL_WAVE_FULL_WAVE:
      *mean = m = 2 / G_PI;
      *square = 0.5;
      /* The area above m between a and pi - a, a = asin m, of a period of pi, twice. */
      a = asin (m);
      *rectified = ac_coupled ? 2 / G_PI * (2 * cos (a) - m * (G_PI - 2 * a)) : m;
      break;
    case BL_WAVE_HALF_WAVE:
      *mean = m = 1 / G_PI;
      *square = 0.25;
      a = asin (m);
      *rectified = ac_coupled ? 1 / G_PI * (2 * cos (a) - m * (G_PI - 2 * a)) : m;
      break;
    case BL_WAVE_SQUARE:
      *mean = 0;
      *square = *rectified = 1;
      break;
    case BL_WAVE_TRIANGLE:
      *mean = 0;
      *square = 1.0 / 3;
      *rectified = 0.5;
      break;
    case BL_WAVE_PULSE:
      *mean = *square = duty;
      *rectified = ac_coupled ? 2 * duty * (1 - duty) : duty;
      break;
    case BL_WAVE_SINE:
    default:
      *mean = 0;
      *square = 0.5;
      *rectified = 2 / G_PI;
      break;
    }
}

void
bl_wave_figures (BlWave wave, double duty, gboolean ac_coupled, BlWaveFigures *figures)
{
  double square, rectified, peak = 1;

  g_return_if_fail (figures != NULL && (guint) wave < BL_N_WAVES);
  g_return_if_fail (wave != BL_WAVE_PULSE || (duty > 0 && duty < 1));
  integrals (wave, duty, ac_coupled, &figures->mean, &square, &rectified);
  if (ac_coupled)
    {
      square -= figures->mean * figures->mean;
      peak = MAX (1 - figures->mean, figures->mean);
    }
  figures->rms = sqrt (square);
  figures->average = rectified * G_PI / (2 * G_SQRT2);
  figures->crest_factor = peak / figures->rms;
  figures->error = figures->average / figures->rms - 1;
}

gboolean
bl_measurement_wave (const BlMeasurement *measurement, BlWave *wave, BlWaveFigures *figures)
{
  BlWave found;

  g_return_val_if_fail (measurement != NULL && figures != NULL, FALSE);
  if ((measurement->measures != BL_MEASURES_V_AC && measurement->measures != BL_MEASURES_A_AC)
      || !bl_wave_parse (measurement->waveform, &found) || found == BL_WAVE_SINE
      || (found == BL_WAVE_PULSE && !(measurement->duty > 0 && measurement->duty < 1)))
    return FALSE;
  bl_wave_figures (found, measurement->duty, TRUE, figures);
  if (wave != NULL)
    *wave = found;
  return TRUE;
}
