/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <math.h>

G_BEGIN_DECLS

/* The series of preferred values of IEC 60063; the number is how many values a decade has. */
typedef enum
{
  BL_E_NONE = 0,
  BL_E3 = 3,
  BL_E6 = 6,
  BL_E12 = 12,
  BL_E24 = 24,
  BL_E48 = 48,
  BL_E96 = 96,
  BL_E192 = 192
} BlESeries;

/* Value i (0 .. series - 1) of a decade in hundredths of its first value: 100 to 988; 0 when i is
 * beyond the series. */
guint bl_e_series_step (BlESeries series, guint i);

/* TRUE when value (above 0) is in the series, whatever its decade, to one part in a million. */
gboolean bl_e_series_has (BlESeries series, double value);

/* The coarsest series that has value; BL_E_NONE when none has it. E3, E6, E12 and E24 contain each
 * other, and so do E48, E96 and E192; a value may be in one family only. */
BlESeries bl_e_series_of (double value);

/* The value of the series nearest by ratio; the lower of two that are as near. NAN when value is not
 * above 0 or is beyond 1e-30 .. 1e30. */
double bl_e_series_nearest (BlESeries series, double value);

/* The values of the series next below and above value, which is neither even where it is in the series
 * itself. Either may be NULL. FALSE, and NAN in both, where bl_e_series_nearest () gives NAN. */
gboolean bl_e_series_neighbours (BlESeries series, double value, double *below, double *above);

G_END_DECLS
