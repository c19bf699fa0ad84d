/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A value inside a class, and how a meter would show it.
 *
 * Every class of a band is a set of spans on the number line; classes without an end are cut where a
 * board could no longer get (twice the limit, ten times a resistance). A value is pulled to where
 * its stage's level wants it and then pushed into the nearest span, a little off its ends, so that
 * rounding to a meter's digits leaves it in its class. The text is judged again before it is handed
 * out; a digit is added where rounding did cross a limit. */
#include "config.h"

#include "bl-simulate-private.h"

#include <string.h>

/* Share of a span kept free at its ends. */
#define MARGIN 0.04

double
bl_simulate_reference (const BlBand *band)
{
  if (band->nominal > 0)
    return band->nominal;
  if (isfinite (band->low) && isfinite (band->high) && band->low + band->high > 0)
    return (band->low + band->high) / 2;
  if (isfinite (band->high) && band->high > 0)
    return band->high;
  if (isfinite (band->low) && band->low > 0)
    return band->low;
  return 1;
}

/* A value well above limit, for a class without an end. */
static double
far_above (const BlBand *band, double limit)
{
  double factor = bl_measures_is_resistive (band->measures) ? 10 : 2;

  return limit > 0 ? limit * factor : limit + bl_simulate_reference (band);
}

/* A value well below limit: 0 for what cannot be negative. */
static double
far_below (const BlBand *band, double limit)
{
  return limit > 0 ? 0 : limit - bl_simulate_reference (band);
}

/* The class's span without regard to marks; empty (low > high) when no value shows as it. */
static BlSpan
whole_span (const BlBand *band, guint class_index)
{
  gboolean resistive = bl_measures_is_resistive (band->measures);
  double below = resistive ? band->shorted_below : band->absent_below;
  double low, high;

  bl_band_edges (band, &low, &high);
  switch (class_index)
    {
    case 0:
      return (BlSpan){ 0, isnan (below) ? -1 : below };
    case 1:
      return isfinite (low) ? (BlSpan){ isnan (below) ? far_below (band, low) : below, low }
                            : (BlSpan){ 1, 0 };
    case 2:
      if (isinf (low))
        low = isfinite (high) ? far_below (band, high) : 0;
      return (BlSpan){ low, isfinite (high) ? high : far_above (band, low) };
    case 3:
      if (isinf (high))
        return (BlSpan){ 1, 0 };
      return (BlSpan){ high, isnan (band->open_above) ? far_above (band, high) : band->open_above };
    case 4:
      if (resistive && isfinite (band->open_above))
        return (BlSpan){ band->open_above, far_above (band, band->open_above) };
      return (BlSpan){ 1, 0 };
    default:
      return (BlSpan){ 1, 0 };
    }
}

static BlSpan
mark_span (const BlBand *band, guint class_index)
{
  for (guint i = 0; i < band->marks->len; i++)
    {
      const BlBandMark *mark = &g_array_index (band->marks, BlBandMark, i);

      if (mark->class_index == class_index)
        return (BlSpan){ isfinite (mark->low) ? mark->low : far_below (band, mark->high),
                         isfinite (mark->high) ? mark->high : far_above (band, mark->low) };
    }
  return (BlSpan){ 1, 0 };
}

/* Takes a mark out of the spans. */
static GArray *
cut_out (GArray *spans, double low, double high)
{
  GArray *result = g_array_new (FALSE, FALSE, sizeof (BlSpan));

  for (guint i = 0; i < spans->len; i++)
    {
      BlSpan span = g_array_index (spans, BlSpan, i);
      BlSpan left = { span.low, MIN (span.high, low) }, right = { MAX (span.low, high), span.high };

      if (left.low < left.high)
        g_array_append_val (result, left);
      if (right.low < right.high)
        g_array_append_val (result, right);
    }
  g_array_unref (spans);
  return result;
}

GArray *
bl_simulate_spans (const BlBand *band, guint class_index)
{
  GArray *spans = g_array_new (FALSE, FALSE, sizeof (BlSpan));
  guint row = band->n_classes - band->marks->len;
  BlSpan whole = class_index < row ? whole_span (band, class_index) : mark_span (band, class_index);

  if (whole.low <= whole.high)
    g_array_append_val (spans, whole);
  for (guint i = 0; i < band->marks->len && class_index < row && class_index != band->good; i++)
    {
      const BlBandMark *mark = &g_array_index (band->marks, BlBandMark, i);

      spans = cut_out (spans, mark->low, mark->high);
    }
  return spans;
}

/* --- Drawing ---------------------------------------------------------------------------------- */

static double
draw_in (BlSpan span, GRand *random)
{
  double share = g_rand_double_range (random, MARGIN, 1 - MARGIN);

  if (span.low > 0 && span.high > 5 * span.low)
    return span.low * pow (span.high / span.low, share);
  return span.low + share * (span.high - span.low);
}

/* The span a target lies in or is nearest to; without a target one by chance, wider ones oftener. */
static BlSpan
choose_span (const GArray *spans, double target, GRand *random)
{
  BlSpan best = g_array_index (spans, BlSpan, 0);
  double nearest = INFINITY, total = 0;

  for (guint i = 0; i < spans->len; i++)
    {
      BlSpan span = g_array_index (spans, BlSpan, i);
      double distance = MAX (span.low - target, target - span.high);

      total += span.high - span.low;
      if (isnan (target) ? g_rand_double (random) * total < span.high - span.low
                         : distance < nearest)
        {
          best = span;
          nearest = distance;
        }
    }
  return best;
}

static double
draw_value (const BlBand *band, const GArray *spans, double level, GRand *random)
{
  double noise = 1 + g_rand_double_range (random, -0.002, 0.002);
  double target = band->nominal > 0 ? band->nominal * level * noise : NAN;
  BlSpan span = choose_span (spans, target, random);
  double margin = MARGIN * (span.high - span.low), inside = draw_in (span, random);

  if (isnan (target))
    return inside;
  /* A value at rest near zero may stay there; the lower end of such a span is no limit. */
  return CLAMP (target, span.low <= 0 ? span.low : span.low + margin, span.high - margin);
}

/* --- Text ------------------------------------------------------------------------------------- */

/* value with the resolution of a meter on the range of reference; extra: digits beyond that. */
static char *
meter_text (const BlBand *band, double value, int extra)
{
  double reference = bl_simulate_reference (band);
  gboolean prefixed = bl_measures_is_resistive (band->measures) && band->measures != BL_MEASURES_DIODE;
  char buffer[G_ASCII_DTOSTR_BUF_SIZE], format[8];
  int decimals;

  if (band->negative)
    value = -value;
  if (band->measures != BL_MEASURES_DEGC &&
      (prefixed || band->measures == BL_MEASURES_F || reference < 0.1 || reference >= 10000))
    return bl_quantity_to_text (value, NULL, 3 + extra);
  decimals = CLAMP (3 - (int) floor (log10 (reference)), 0, 4) + extra;
  g_snprintf (format, sizeof format, "%%.%df", decimals);
  g_ascii_formatd (buffer, sizeof buffer, format, value);
  if (strspn (buffer, "-0.") == strlen (buffer) && buffer[0] == '-')
    return g_strdup (buffer + 1); /* no minus before a zero */
  return g_strdup (buffer);
}

static gboolean
shows_as (const BlBand *band, const char *text, guint class_index)
{
  BlReading reading;
  g_autoptr (BlVerdict) verdict = NULL;

  if (!bl_reading_parse (text, band->measures, &reading, NULL))
    return FALSE;
  verdict = bl_judge (band, &reading, NULL, NAN, 0);
  return verdict->evidence && verdict->best == class_index && verdict->certain;
}

static char *
range_text (const BlBand *band, double low, double high, int extra)
{
  g_autofree char *one = meter_text (band, band->negative ? high : low, extra);
  g_autofree char *two = meter_text (band, band->negative ? low : high, extra);

  return g_strconcat (one, "..", two, NULL);
}

/* Adds digits until the text shows as the class; the last try stands. */
static char *
write_value (const BlBand *band, double low, double high, guint class_index)
{
  char *text = NULL;

  for (int extra = 0; extra < 8; extra++)
    {
      g_free (text);
      text = low == high ? meter_text (band, low, extra) : range_text (band, low, high, extra);
      if (shows_as (band, text, class_index))
        break;
    }
  return text;
}

/* --- Kinds ------------------------------------------------------------------------------------ */

/* Low and high ends of a swing that shows as the class (the rules of the model in reverse). */
static void
draw_swing (const BlBand *band, guint class_index, GRand *random, double *low, double *high)
{
  double a = band->min[0], b = band->min[1], c = band->max[0], d = band->max[1];
  double still = band->span_below * g_rand_double_range (random, 0.1, 0.6);
  BlSpan bottom = { a, b }, top = { c, d };

  *low = draw_in (bottom, random);
  *high = draw_in (top, random);
  switch (class_index)
    {
    case 0:
      *high = *low + MIN (still, 2 * (b - *low));
      break;
    case 1:
      *low = draw_in ((BlSpan){ b, c }, random) - still / 2;
      *high = *low + still;
      break;
    case 2:
      *low = *high - MIN (still, 2 * (*high - c));
      break;
    case 3:
      *high = draw_in ((BlSpan){ MIN (*low + band->span_below, c), c }, random);
      break;
    case 4:
      *low = draw_in ((BlSpan){ b, MAX (*high - band->span_below, b) }, random);
      break;
    case 5:
      *high = d + (d - a) * g_rand_double_range (random, 0.1, 0.4);
      break;
    default:
      break;
    }
}

/* The two ends an unsteady reading wanders between. */
static void
draw_unsteady (const BlBand *band, double level, GRand *random, double *low, double *high)
{
  double reference = bl_simulate_reference (band);
  double share = isnan (level) ? g_rand_double_range (random, 0.3, 0.8) : level;

  *low = reference * share;
  *high = reference * (share + (1 - share) * g_rand_double_range (random, 0.6, 0.95));
}

char *
bl_simulate_reading (const BlBand *band, guint class_index, double level, GRand *random)
{
  g_autoptr (GArray) spans = NULL;
  guint row = band->n_classes - band->marks->len;
  double low, high;

  if (band->measures == BL_MEASURES_CHECK)
    return g_strdup (band->answer == (class_index == band->good) ? "yes" : "no");
  if (band->measures == BL_MEASURES_SWING)
    {
      draw_swing (band, class_index, random, &low, &high);
      return write_value (band, low, high, class_index);
    }
  if (class_index == row - 1)
    {
      draw_unsteady (band, level, random, &low, &high);
      return write_value (band, low, high, class_index);
    }
  if (bl_measures_is_resistive (band->measures) && class_index == 4)
    return g_strdup ("OL");
  spans = bl_simulate_spans (band, class_index);
  if (spans->len == 0)
    return write_value (band, 0, 0, class_index);
  if (isnan (level) && class_index == 0)
    level = g_rand_double_range (random, 0, 0.03); /* nothing there, or a dead short */
  low = draw_value (band, spans, level, random);
  return write_value (band, low, low, class_index);
}

char *
bl_simulate_again (const BlBand *band, guint class_index, const BlReading *reading, double factor)
{
  double sign = band->negative ? -factor : factor, low = reading->value * sign, high = reading->high * sign;
  g_autofree char *text = NULL;

  if (reading->kind == BL_READING_RANGE)
    text = write_value (band, MIN (low, high), MAX (low, high), class_index);
  else if (reading->kind == BL_READING_VALUE)
    text = write_value (band, low, low, class_index);
  return text != NULL && shows_as (band, text, class_index) ? g_steal_pointer (&text) : NULL;
}
