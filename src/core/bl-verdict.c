/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading to verdict: the probability of each class given what the meter showed and how well it can.
 *
 * The meter's limits of error become a standard uncertainty u (a rectangle of half-width a has
 * a / sqrt 3: GUM, JCGM 100:2008, 4.3.7), and a class has the probability that a normal
 * distribution about the reading puts between its limits (JCGM 106:2012, clause 7). Near a limit
 * two classes share the weight and the label becomes 'too close to call'; the weights, not the
 * label, are what the diagnosis uses.
 *
 * A verdict holds a dozen numbers at most. It doesn't know about jobs or earlier readings
 * (bl-evidence.c). */
#include "config.h"

#include "bl-verdict.h"

#include <string.h>

#include <glib/gi18n-lib.h>

/* A class is announced from this probability on. */
#define CERTAIN 0.95

/* --- Meter ------------------------------------------------------------------------------------ */

static gboolean
bad_meter (GError **error, const char *spec)
{
  g_autofree char *shown = g_utf8_make_valid (spec, MIN (strlen (spec), 64));

  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE,
               _("“%s” is not a meter's accuracy: expected a form like “0.5%%+3@0.01 in 10M”"),
               shown);
  return FALSE;
}

/* Reads a number that is not negative, without a unit when unit is "". */
static gboolean
parse_positive (const char *text, const char *unit, double *value)
{
  g_autofree char *trimmed = g_strstrip (g_strdup (text));

  if (unit != NULL && *unit == '\0')
    {
      gsize length = strlen (trimmed);

      if (length == 0 || !(g_ascii_isdigit (trimmed[length - 1]) || trimmed[length - 1] == '.'))
        return FALSE;
      unit = NULL;
    }
  return bl_quantity_parse (trimmed, unit, value, NULL) && *value >= 0 && trimmed[0] != '-';
}

/* Reads "N@D". */
static gboolean
parse_counts (const char *text, BlMeter *meter)
{
  g_auto (GStrv) parts = g_strsplit (text, "@", 3);

  return g_strv_length (parts) == 2 && parse_positive (parts[0], "", &meter->counts) &&
         parse_positive (parts[1], NULL, &meter->count);
}

/* Reads "P%", "P%+N@D", "N@D" or nothing. */
static gboolean
parse_accuracy (const char *text, BlMeter *meter)
{
  g_autofree char *trimmed = g_strstrip (g_strdup (text));
  const char *at = trimmed;
  char *percent;

  if (g_str_has_prefix (at, "±"))
    at += strlen ("±");
  if (*at == '\0')
    return at == trimmed;
  percent = strchr (at, '%');
  if (percent == NULL)
    return parse_counts (at, meter);
  *percent = '\0';
  if (!parse_positive (at, "", &meter->percent))
    return FALSE;
  at = percent + 1;
  while (g_ascii_isspace (*at))
    at++;
  if (*at == '\0')
    return TRUE;
  return *at == '+' && parse_counts (at + 1, meter);
}

gboolean
bl_meter_parse (const char *spec, BlMeter *meter, GError **error)
{
  BlMeter result = { 0, 0, 0, NAN };
  g_autofree char *accuracy = NULL;
  const char *input;

  g_return_val_if_fail (spec != NULL && meter != NULL, FALSE);
  if (g_str_has_prefix (spec, "in "))
    input = spec;
  else if ((input = strstr (spec, " in ")) != NULL)
    input++;
  accuracy = input != NULL ? g_strndup (spec, (gsize) (input - spec)) : g_strdup (spec);
  if (!parse_accuracy (accuracy, &result))
    return bad_meter (error, spec);
  if (input != NULL &&
      (!parse_positive (input + strlen ("in "), "ohm", &result.input_ohm) || result.input_ohm <= 0))
    return bad_meter (error, spec);
  *meter = result;
  return TRUE;
}

/* --- Verdict ---------------------------------------------------------------------------------- */

void
bl_verdict_free (BlVerdict *verdict)
{
  if (verdict == NULL)
    return;
  g_free (verdict->weights);
  g_strfreev (verdict->classes);
  g_free (verdict);
}

BlVerdict *
bl_verdict_copy (const BlVerdict *verdict)
{
  BlVerdict *copy;

  g_return_val_if_fail (verdict != NULL, NULL);
  copy = g_memdup2 (verdict, sizeof *verdict);
  copy->weights = g_memdup2 (verdict->weights, verdict->n * sizeof *verdict->weights);
  copy->classes = g_strdupv (verdict->classes);
  return copy;
}

const char *
bl_verdict_label (const BlVerdict *verdict)
{
  g_return_val_if_fail (verdict != NULL, NULL);
  if (verdict->not_reached)
    return "not reached";
  if (verdict->reversed)
    return "reversed";
  if (!verdict->evidence)
    return "not judged";
  return verdict->certain ? verdict->classes[verdict->best] : "too close to call";
}

void
bl_reading_corrected (const BlReading *reading,
                      BlMeasures measures,
                      const BlMeter *meter,
                      double source_ohm,
                      double *value,
                      double *u)
{
  double factor = 1;

  g_return_if_fail (reading != NULL && value != NULL && u != NULL);
  *value = NAN;
  *u = 0;
  if (reading->kind != BL_READING_VALUE || measures == BL_MEASURES_SWING)
    return;
  *value = reading->value;
  if (meter == NULL)
    return;
  if (measures <= BL_MEASURES_V_PP && source_ohm > 0 && meter->input_ohm > 0)
    factor += source_ohm / meter->input_ohm;
  *u = (meter->percent * fabs (*value) / 100 + meter->counts * meter->count) / sqrt (3) * factor;
  *value *= factor;
}

/* Probability that a normal deviate of mean v and standard deviation u > 0 is between low and high.
 * Taken on the side where the tail is short, so that small probabilities keep their digits. */
static double
between (double v, double u, double low, double high)
{
  double a = (low - v) / (u * M_SQRT2), b = (high - v) / (u * M_SQRT2);

  if (!(a < b))
    return 0;
  if (a > 0)
    return 0.5 * (erfc (a) - erfc (b));
  if (b < 0)
    return 0.5 * (erfc (-b) - erfc (-a));
  return 1 - 0.5 * (erfc (-a) + erfc (b));
}

/* An interval of the value and the class that owns it. */
typedef struct
{
  guint class_index;
  double low, high;
} Piece;

/* The row's classes as pieces without gaps, from below; marks not taken out yet. Returns how many. */
static guint
row_pieces (const BlBand *band, Piece pieces[5])
{
  gboolean resistive = bl_measures_is_resistive (band->measures);
  double below = resistive ? band->shorted_below : band->absent_below, low, high;
  double first = isnan (below) ? -INFINITY : below;
  double last = isnan (band->open_above) ? INFINITY : band->open_above;
  guint n = 0;

  bl_band_edges (band, &low, &high);
  pieces[n++] = (Piece){ 0, -INFINITY, first };
  pieces[n++] = (Piece){ 1, first, low };
  pieces[n++] = (Piece){ 2, low, high };
  pieces[n++] = (Piece){ 3, high, last };
  if (resistive)
    pieces[n++] = (Piece){ 4, last, INFINITY };
  return n;
}

/* The class of an exact value. The ends of the band and of the marks belong to them. */
static guint
class_of_value (const BlBand *band, double v)
{
  gboolean resistive = bl_measures_is_resistive (band->measures);
  double below = resistive ? band->shorted_below : band->absent_below, low, high;

  bl_band_edges (band, &low, &high);
  if (low <= v && v <= high)
    return 2;
  for (guint i = 0; i < band->marks->len; i++)
    {
      const BlBandMark *mark = &g_array_index (band->marks, BlBandMark, i);

      if (mark->low <= v && v <= mark->high)
        return mark->class_index;
    }
  if (v < below)
    return 0;
  if (v > band->open_above)
    return 4;
  return v < low ? 1 : 3;
}

/* Weights of a value with uncertainty: each piece less the marks in it. */
static void
weigh_value (const BlBand *band, double v, double u, double *weights)
{
  Piece pieces[5];
  guint n = row_pieces (band, pieces);

  for (guint i = 0; i < n; i++)
    {
      const Piece *piece = &pieces[i];
      double weight = between (v, u, piece->low, piece->high);

      for (guint j = 0; j < band->marks->len && piece->class_index != band->good; j++)
        {
          const BlBandMark *mark = &g_array_index (band->marks, BlBandMark, j);
          double part = between (v, u, MAX (mark->low, piece->low), MIN (mark->high, piece->high));

          weights[mark->class_index] += part;
          weight -= part;
        }
      weights[piece->class_index] = MAX (weight, 0);
    }
}

static guint
class_of_swing (const BlBand *band, double low, double high)
{
  double centre = low == high ? low : (low + high) / 2;

  if (high - low < band->span_below)
    return centre <= band->min[1] ? 0 : centre >= band->max[0] ? 2 : 1;
  if (high < band->max[0])
    return 3;
  if (low > band->min[1])
    return 4;
  return low < band->min[0] || high > band->max[1] ? 5 : 6;
}

static gboolean
is_reversed (const BlBand *band, double v)
{
  return (band->measures == BL_MEASURES_V_DC || band->measures == BL_MEASURES_A_DC) &&
         band->absent_below > 0 && v <= -band->absent_below;
}

/* Weights of a reading of a kind with a value and limits. */
static void
judge_value (BlVerdict *verdict, const BlBand *band, const BlReading *reading, double u_followed)
{
  double v = verdict->value;

  if (reading->kind == BL_READING_RANGE)
    {
      verdict->weights[band->n_classes - band->marks->len - 1] = 1; /* unsteady ends the row */
      return;
    }
  if (reading->kind == BL_READING_OVER)
    {
      verdict->weights[class_of_value (band, INFINITY)] = 1;
      return;
    }
  if (band->negative)
    v = -v;
  if (band->magnitude)
    v = fabs (v);
  if (is_reversed (band, v))
    {
      verdict->reversed = TRUE;
      verdict->evidence = FALSE;
      return;
    }
  verdict->u = hypot (verdict->u, u_followed);
  if (verdict->u > 0)
    weigh_value (band, v, verdict->u, verdict->weights);
  else
    verdict->weights[class_of_value (band, v)] = 1;
}

static void
judge_swing (BlVerdict *verdict, const BlBand *band, const BlReading *reading)
{
  double low = reading->kind == BL_READING_OVER ? INFINITY : reading->value;
  double high = reading->kind == BL_READING_RANGE ? reading->high : low;

  if (reading->kind == BL_READING_OVER)
    verdict->weights[2] = 1; /* it stays above what the meter can show */
  else
    verdict->weights[class_of_swing (band, low, high)] = 1;
}

/* Lets what was read with the leads exchanged have its say: each way shows a class by itself; what shows is
 * shorted if either is, low if the reverse one is, else the forward class. class 0 is shorted, 1 low. */
static void
judge_reverse (BlVerdict *verdict, const BlBand *band, const BlReading *reading, const BlMeter *meter)
{
  BlReading back = { BL_READING_VALUE, reading->reverse, NAN, FALSE, FALSE, NAN };
  double below = isnan (band->shorted_below) ? -INFINITY : band->shorted_below;
  double v, u, low, high, shorted, is_low, rest, *w = verdict->weights;

  bl_reading_corrected (&back, band->measures, meter, NAN, &v, &u);
  bl_band_edges (band, &low, &high);
  shorted = u > 0 ? between (v, u, -INFINITY, below) : v < below;
  is_low = u > 0 ? between (v, u, below, low) : v >= below && v < low;
  rest = 1 - shorted - is_low;
  is_low *= 1 - w[0];
  shorted *= 1 - w[0];
  for (guint i = 1; i < verdict->n; i++)
    w[i] *= rest;
  w[0] += shorted;
  w[1] += is_low;
}

/* Scales the weights to a sum of 1 and finds the likeliest two. */
static void
rank_weights (BlVerdict *verdict)
{
  double sum = 0;

  for (guint i = 0; i < verdict->n; i++)
    sum += verdict->weights[i];
  if (!(sum > 0))
    return;
  for (guint i = 0; i < verdict->n; i++)
    {
      verdict->weights[i] /= sum;
      if (verdict->weights[i] > verdict->weights[verdict->best])
        verdict->best = i;
    }
  verdict->second = verdict->best;
  for (guint i = 0; i < verdict->n; i++)
    if (i != verdict->best && verdict->weights[i] > 0 &&
        (verdict->second == verdict->best ||
         verdict->weights[i] > verdict->weights[verdict->second]))
      verdict->second = i;
  verdict->certain = verdict->weights[verdict->best] >= CERTAIN;
}

/* TRUE when a reading of this kind says something on a measurement of this kind. */
static gboolean
fits_kind (const BlBand *band, const BlReading *reading)
{
  if (reading->kind == BL_READING_NOT_REACHED)
    return FALSE;
  return (band->measures == BL_MEASURES_CHECK) == (reading->kind == BL_READING_ANSWER);
}

BlVerdict *
bl_judge (const BlBand *band, const BlReading *reading, const BlMeter *meter, double source_ohm, double u_followed)
{
  BlVerdict *verdict = g_new0 (BlVerdict, 1);

  g_return_val_if_fail (reading != NULL, verdict);
  verdict->not_reached = reading->kind == BL_READING_NOT_REACHED;
  verdict->value = NAN;
  verdict->n = band != NULL ? band->n_classes : 0;
  verdict->weights = g_new0 (double, verdict->n + 1);
  verdict->classes = band != NULL ? g_strdupv (band->classes) : g_new0 (char *, 1);
  if (band == NULL || !fits_kind (band, reading))
    return verdict;
  verdict->evidence = TRUE;
  bl_reading_corrected (reading, band->measures, meter, source_ohm, &verdict->value, &verdict->u);
  if (band->measures == BL_MEASURES_CHECK)
    verdict->weights[reading->answer == band->answer ? 0 : 1] = 1;
  else if (band->measures == BL_MEASURES_SWING)
    judge_swing (verdict, band, reading);
  else
    judge_value (verdict, band, reading, u_followed);
  if (reading->both_ways && band->measures == BL_MEASURES_DIODE && isfinite (reading->reverse))
    judge_reverse (verdict, band, reading, meter);
  rank_weights (verdict);
  return verdict;
}
