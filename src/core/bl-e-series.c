/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Preferred values of resistors and capacitors, IEC 60063.
 *
 * E48, E96 and E192 are the rounded powers of ten they are meant to be, with one exception in E192
 * (9.20 where rounding gives 9.19). E24 and what it contains are older than the rule: eight of its
 * values differ from it, so they are a table. Every second value of E24 is E12, and so on down to E3.
 *
 * A value is written as its digits and an exponent and converted once: 4.7e3 is the double nearest to
 * 4700, and no product that misses it. It knows nothing about tolerances. */
#include "config.h"

#include "bl-e-series.h"

/* Tenths of the first value of the decade. */
static const guint8 e24[] = { 10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30,
                              33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91 };

guint
bl_e_series_step (BlESeries series, guint i)
{
  if (i >= (guint) series)
    return 0;
  if (series <= BL_E24)
    return 10 * (guint) e24[i * (BL_E24 / (guint) series)];
  if (series == BL_E192 && i == 185)
    return 920;
  return (guint) lround (100 * pow (10, (double) i / series));
}

/* The decade of value: value is 1 to 10 times 10^decade, but for rounding. FALSE when it has none. */
static gboolean
find_decade (double value, int *decade)
{
  if (!(value >= 1e-30) || !(value <= 1e30))
    return FALSE;
  *decade = (int) floor (log10 (value));
  return TRUE;
}

/* Value i of the series in a decade; i may be -1 or one too many. */
static double
value_at (BlESeries series, int i, int decade)
{
  char text[32];

  if (i < 0)
    return value_at (series, i + (int) series, decade - 1);
  if (i >= (int) series)
    return value_at (series, i - (int) series, decade + 1);
  g_snprintf (text, sizeof text, "%ue%d", bl_e_series_step (series, (guint) i), decade - 2);
  return g_ascii_strtod (text, NULL);
}

static gboolean
same (double one, double two)
{
  return fabs (one - two) <= 1e-6 * two;
}

/* Index of the last value of the decade that is not above value; -1 when all are. */
static int
index_below (BlESeries series, double value, int decade)
{
  int i = 0;

  while (i <= (int) series && (value_at (series, i, decade) <= value || same (value, value_at (series, i, decade))))
    i++;
  return i - 1;
}

gboolean
bl_e_series_neighbours (BlESeries series, double value, double *below, double *above)
{
  double low = NAN, high = NAN;
  int decade = 0;
  gboolean found = series != BL_E_NONE && find_decade (value, &decade);

  if (found)
    {
      int i = index_below (series, value, decade);
      low = value_at (series, same (value, value_at (series, i, decade)) ? i - 1 : i, decade);
      high = value_at (series, i + 1, decade);
    }
  if (below != NULL)
    *below = low;
  if (above != NULL)
    *above = high;
  return found;
}

double
bl_e_series_nearest (BlESeries series, double value)
{
  double low, high;
  int decade, i;

  if (series == BL_E_NONE || !find_decade (value, &decade))
    return NAN;
  i = index_below (series, value, decade);
  low = value_at (series, i, decade);
  high = value_at (series, i + 1, decade);
  return high / value < value / low ? high : low;
}

gboolean
bl_e_series_has (BlESeries series, double value)
{
  double nearest = bl_e_series_nearest (series, value);

  return !isnan (nearest) && same (value, nearest);
}

BlESeries
bl_e_series_of (double value)
{
  static const BlESeries all[] = { BL_E3, BL_E6, BL_E12, BL_E24, BL_E48, BL_E96, BL_E192 };

  for (gsize i = 0; i < G_N_ELEMENTS (all); i++)
    if (bl_e_series_has (all[i], value))
      return all[i];
  return BL_E_NONE;
}
