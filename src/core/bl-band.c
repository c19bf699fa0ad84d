/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The limits a reading is judged by, resolved from what the document expects: tolerances turned into
 * limits, limits left out filled in, the sign of a negative rail reversed, a line followed.
 *
 * A negative rail (nominal below 0) is judged by its magnitude: reading, limits and marks have their
 * sign reversed first, so "low" always means too little of it. People write the limits of -12 V
 * either way round (-12.6 .. -11.4 or -11.4 .. -12.6); both give the same band.
 *
 * A limit that was left out stays infinite (low, high) or absent (NAN: absent_below and its kin).
 * Small objects, made anew for every reading. */
#include "config.h"

#include "bl-verdict.h"

#include <string.h>

#include <glib/gi18n-lib.h>

/* absent_below and shorted_below are nominal / 10 when left out (a division, so that a tenth of 12 is
 * the 1.2 that a person would type), open_above is nominal x 10. */
#define DEFAULT_FACTOR 10

void
bl_band_free (BlBand *band)
{
  if (band == NULL)
    return;
  g_strfreev (band->classes);
  g_clear_pointer (&band->marks, g_array_unref);
  g_free (band->followed);
  g_free (band->source);
  g_free (band);
}

BlBand *
bl_band_copy (const BlBand *band)
{
  BlBand *copy;

  g_return_val_if_fail (band != NULL, NULL);
  copy = g_memdup2 (band, sizeof *band);
  copy->classes = g_strdupv (band->classes);
  copy->marks = g_array_copy (band->marks);
  copy->followed = g_strdup (band->followed);
  copy->source = g_strdup (band->source);
  return copy;
}

int
bl_band_class (const BlBand *band, const char *name)
{
  g_return_val_if_fail (band != NULL && name != NULL, -1);
  for (guint i = 0; i < band->n_classes; i++)
    if (strcmp (band->classes[i], name) == 0)
      return (int) i;
  return -1;
}

static gboolean
invalid (GError **error, const char *format, ...) G_GNUC_PRINTF (2, 3);
static gboolean
invalid (GError **error, const char *format, ...)
{
  g_autofree char *message = NULL;
  va_list arguments;

  va_start (arguments, format);
  message = g_strdup_vprintf (format, arguments);
  va_end (arguments);
  g_set_error_literal (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, message);
  return FALSE;
}

/* --- Classes ---------------------------------------------------------------------------------- */

/* Fills the names: those of the row, then the marks. */
static gboolean
set_classes (BlBand *band, const BlExpected *expected, GError **error)
{
  const char *const *row = bl_measures_classes (band->measures, &band->good);
  g_autoptr (GPtrArray) names = g_ptr_array_new_with_free_func (g_free);

  for (guint i = 0; row[i] != NULL; i++)
    g_ptr_array_add (names, g_strdup (row[i]));
  for (guint i = 0; i < bl_len (expected->marks); i++)
    {
      const BlMark *mark = bl_at (expected->marks, i);
      const char *id = mark->id != NULL ? mark->id : "";

      if (g_ptr_array_find_with_equal_func (names, id, g_str_equal, NULL))
        return invalid (error, _("marks: “%s” is the name of another class"), id);
      g_ptr_array_add (names, g_strdup (id));
    }
  band->n_classes = names->len;
  g_ptr_array_add (names, NULL);
  band->classes = (char **) g_ptr_array_free (g_steal_pointer (&names), FALSE);
  return TRUE;
}

int
bl_band_rank (const BlBand *band, guint class_index, gboolean series)
{
  static const char *const first[] = { "absent", "shorted", "open", "unsteady" };
  static const char *const later[] = { "still low", "still high", "still middle", "low",
                                       "high",      "beyond",     "deviates" };
  const int n_first = G_N_ELEMENTS (first);
  const char *name;
  guint row = 0;

  g_return_val_if_fail (band != NULL && class_index < band->n_classes, G_MAXINT);
  row = band->n_classes - band->marks->len;
  name = band->classes[class_index];
  if (class_index >= row)
    return n_first + (int) (class_index - row);
  for (int i = 0; i < n_first; i++)
    if (strcmp (name, first[i]) == 0)
      return !series || i == 0 || i == 3 ? i : 3 - i;
  for (int i = 0; i < (int) G_N_ELEMENTS (later); i++)
    if (strcmp (name, later[i]) == 0)
      return n_first + (int) band->marks->len + i;
  return G_MAXINT; /* the good one shows only when nothing else does */
}

/* --- Limits ----------------------------------------------------------------------------------- */

/* Reads one share of a tolerance, "4 %". */
static gboolean
parse_percent (const char *text, double *share)
{
  g_autofree char *number = g_strstrip (g_strdup (text));
  gsize length = strlen (number);

  if (length == 0 || number[length - 1] != '%')
    return FALSE;
  number[length - 1] = '\0';
  if (g_ascii_isalpha (length > 1 ? number[length - 2] : ' ') ||
      !bl_quantity_parse (number, NULL, share, NULL))
    return FALSE;
  *share /= 100;
  return TRUE;
}

gboolean
bl_tolerance_parse (const char *text, double *below, double *above, GError **error)
{
  g_auto (GStrv) parts = NULL;
  g_autofree char *shown = NULL;
  double one, two;
  const char *start = text;

  g_return_val_if_fail (text != NULL && below != NULL && above != NULL, FALSE);
  if (g_str_has_prefix (start, "±"))
    start += strlen ("±");
  parts = g_strsplit (start, "/", 3);
  if (g_strv_length (parts) == 1 && parse_percent (parts[0], &one) && one >= 0)
    {
      *below = *above = one;
      return TRUE;
    }
  if (g_strv_length (parts) == 2 && parse_percent (parts[0], &one) &&
      parse_percent (parts[1], &two) && MAX (one, two) >= 0 && MIN (one, two) <= 0)
    {
      *above = MAX (one, two);
      *below = -MIN (one, two);
      return TRUE;
    }
  shown = g_utf8_make_valid (text, (gssize) MIN (strlen (text), 64));
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE,
               _("“%s” is not a tolerance: expected a form like “4 %%” or “+5 %%/-10 %%”"), shown);
  return FALSE;
}

/* The line through points at x: between two points straight, beyond the ends along the end pieces. */
static void
line_at (const GArray *points, double x, double *y, double *slope)
{
  const double *p = (const double *) (gconstpointer) points->data;
  guint n = points->len / 2, piece = 0;

  *slope = 0;
  *y = p[1];
  if (n < 2)
    return;
  while (piece + 2 < n && x >= p[2 * piece + 2])
    piece++;
  p += (gsize) 2 * piece;
  *slope = (p[3] - p[1]) / (p[2] - p[0]);
  *y = p[1] + *slope * (x - p[0]);
}

/* Takes nominal and limits from the document. */
static gboolean
set_given (BlBand *band, const BlExpected *expected, GError **error)
{
  double below, above, size;

  band->nominal = expected->nominal.value;
  if (expected->tolerance != NULL)
    {
      if (!bl_tolerance_parse (expected->tolerance, &below, &above, error))
        return FALSE;
      if (isnan (band->nominal))
        return invalid (error, _("a tolerance needs a nominal value"));
      size = fabs (band->nominal);
      band->low = band->nominal - (band->nominal < 0 ? above : below) * size;
      band->high = band->nominal + (band->nominal < 0 ? below : above) * size;
    }
  if (bl_quantity_is_set (&expected->low))
    band->low = expected->low.value;
  if (bl_quantity_is_set (&expected->high))
    band->high = expected->high.value;
  return TRUE;
}

/* Takes nominal and limits from the line followed. */
static void
set_followed (BlBand *band, const BlFollows *follows, double x)
{
  double share = isnan (follows->tolerance) ? 0 : follows->tolerance;
  double within = bl_quantity_is_set (&follows->within) ? follows->within.value : 0, half;

  line_at (follows->points, x, &band->nominal, &band->slope);
  half = share * fabs (band->nominal) + within;
  band->low = band->nominal - half;
  band->high = band->nominal + half;
  band->follows = TRUE;
}

/* A followed band may come to lie where the document has a limit of another class: behind a supply that
 * is not there nothing is expected, and absent_below of the usual supply is above that. The limit gives
 * way, or a reading of another measurement could make this one impossible to judge. */
static void
give_way (BlBand *band)
{
  if (!band->follows)
    return;
  if (band->absent_below > band->low)
    band->absent_below = band->low;
  if (band->shorted_below > band->low)
    band->shorted_below = band->low;
  if (band->open_above < band->high)
    band->open_above = band->high;
}

/* Reverses an interval; an end left out (infinite) stays at the side of the magnitude it was
 * written for, unless it lies on the wrong side of nominal. */
static void
reverse (double *low, double *high)
{
  double one = isinf (*low) ? -INFINITY : -*low, two = isinf (*high) ? INFINITY : -*high;

  *low = MIN (one, two);
  *high = MAX (one, two);
}

static void
reverse_signs (BlBand *band)
{
  band->negative = TRUE;
  band->nominal = -band->nominal;
  reverse (&band->low, &band->high);
  if (isinf (band->high) && isfinite (band->low) && band->low > band->nominal)
    {
      band->high = band->low;
      band->low = -INFINITY;
    }
  else if (isinf (band->low) && isfinite (band->high) && band->high < band->nominal)
    {
      band->low = band->high;
      band->high = INFINITY;
    }
  if (band->absent_below < 0)
    band->absent_below = -band->absent_below;
}

/* Fills in the limits of the row's own classes that the document left out. */
static void
set_defaults (BlBand *band)
{
  gboolean nominal = !isnan (band->nominal) && band->nominal != 0;
  gboolean electric = band->measures <= BL_MEASURES_A_AC; /* the V and A kinds come first */

  if (bl_measures_is_resistive (band->measures))
    {
      band->absent_below = NAN;
      if (isnan (band->shorted_below) && nominal)
        band->shorted_below = band->nominal / DEFAULT_FACTOR;
      if (isnan (band->open_above) && nominal)
        band->open_above = band->nominal * DEFAULT_FACTOR;
      return;
    }
  band->shorted_below = band->open_above = NAN;
  if (isnan (band->absent_below) && electric && nominal && band->low > 0 && isfinite (band->low))
    band->absent_below = band->nominal / DEFAULT_FACTOR;
}

static gboolean
check_limits (const BlBand *band, const BlExpected *expected, GError **error)
{
  gboolean resistive = bl_measures_is_resistive (band->measures);
  double below = resistive ? band->shorted_below : band->absent_below;
  const char *name = resistive ? "shorted_below" : "absent_below";
  const BlQuantity *written = resistive ? &expected->shorted_below : &expected->absent_below;
  const char *origin = bl_quantity_is_set (written) ? "" : _(" (10 % of nominal when left out)");
  const char *open_origin =
    bl_quantity_is_set (&expected->open_above) ? "" : _(" (10 x nominal when left out)");

  if (band->low > band->high)
    return invalid (error, _("low (%g) is above high (%g)"), band->low, band->high);
  if (!isnan (below) && isfinite (band->low) && below > band->low)
    return invalid (error, _("%s (%g)%s is above low (%g)"), name, below, origin, band->low);
  if (!isnan (below) && below > band->high)
    return invalid (error, _("%s (%g)%s is above high (%g)"), name, below, origin, band->high);
  if (isnan (band->open_above))
    return TRUE;
  if (isfinite (band->high) && band->open_above < band->high)
    return invalid (error, _("open_above (%g)%s is below high (%g)"), band->open_above, open_origin,
                    band->high);
  if (band->open_above < band->low || band->open_above < below)
    return invalid (error, _("open_above (%g)%s is below low (%g)"), band->open_above, open_origin,
                    fmax (band->low, below));
  return TRUE;
}

/* The same for marks: what the band takes of one is no longer the mark's. One that is all inside is left
 * a single value beside the band, for the classes of a band do not change. */
static void
cut_mark (const BlBand *band, BlBandMark *mark, double low, double high)
{
  if (!band->follows || mark->high <= low || mark->low >= high)
    return;
  if (mark->high > high && mark->high - high >= low - mark->low)
    mark->low = nextafter (high, INFINITY);
  else if (mark->low < low)
    mark->high = nextafter (low, -INFINITY);
  else
    mark->low = mark->high = nextafter (isfinite (high) ? high : low, isfinite (high) ? INFINITY : -INFINITY);
}

static gboolean
set_marks (BlBand *band, const BlExpected *expected, GError **error)
{
  guint row = band->n_classes - bl_len (expected->marks);
  double low, high;

  bl_band_edges (band, &low, &high);
  for (guint i = 0; i < bl_len (expected->marks); i++)
    {
      const BlMark *from = bl_at (expected->marks, i);
      BlBandMark mark = { row + i, isnan (from->low.value) ? -INFINITY : from->low.value,
                          isnan (from->high.value) ? INFINITY : from->high.value };

      if (band->negative)
        reverse (&mark.low, &mark.high);
      if (mark.low > mark.high)
        return invalid (error, _("mark “%s”: low is above high"), from->id);
      cut_mark (band, &mark, low, high);
      if (mark.high > low && mark.low < high)
        return invalid (error, _("mark “%s” overlaps the band"), from->id);
      for (guint j = 0; j < i; j++)
        {
          const BlBandMark *other = &g_array_index (band->marks, BlBandMark, j);

          if (mark.high > other->low && mark.low < other->high)
            return invalid (error, _("mark “%s” overlaps “%s”"), from->id,
                            band->classes[other->class_index]);
        }
      g_array_append_val (band->marks, mark);
    }
  return TRUE;
}

static gboolean
set_swing (BlBand *band, const BlExpected *expected, GError **error)
{
  for (int i = 0; i < 2; i++)
    {
      band->min[i] = expected->has_min ? expected->min[i].value : NAN;
      band->max[i] = expected->has_max ? expected->max[i].value : NAN;
    }
  if (bl_quantity_is_set (&expected->span_below))
    band->span_below = expected->span_below.value;
  if (isnan (band->min[0]) || isnan (band->min[1]) || isnan (band->max[0]) || isnan (band->max[1]))
    return invalid (error, _("a swing needs min and max, two values each"));
  if (band->min[0] > band->min[1] || band->max[0] > band->max[1] || band->min[1] > band->max[0])
    return invalid (error, _("a swing needs min and max in rising order"));
  if (band->span_below < 0)
    return invalid (error, _("span_below is below 0"));
  return TRUE;
}

static gboolean
has_limits (const BlExpected *expected)
{
  return bl_quantity_is_set (&expected->low) || bl_quantity_is_set (&expected->high) ||
         expected->tolerance != NULL;
}

/* The kinds with a value and limits. */
static gboolean
set_value_limits (BlBand *band, const BlMeasurement *measurement, double x, GError **error)
{
  const BlExpected *expected = &measurement->expected;
  const BlFollows *follows = expected->follows;

  band->absent_below = expected->absent_below.value;
  band->shorted_below = expected->shorted_below.value;
  band->open_above = expected->open_above.value;
  if (follows != NULL && isfinite (x) && follows->points != NULL && follows->points->len >= 2)
    set_followed (band, follows, x);
  else if (follows != NULL && !has_limits (expected))
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN,
                   _("%s follows %s, which was not read"), measurement->id, follows->measurement);
      return FALSE;
    }
  else if (!set_given (band, expected, error))
    return FALSE;
  if (band->nominal < 0)
    reverse_signs (band);
  set_defaults (band);
  give_way (band);
  return check_limits (band, expected, error) && set_marks (band, expected, error);
}

void
bl_band_edges (const BlBand *band, double *low, double *high)
{
  double below;

  g_return_if_fail (band != NULL && low != NULL && high != NULL);
  below = bl_measures_is_resistive (band->measures) ? band->shorted_below : band->absent_below;
  *low = isnan (below) ? band->low : MAX (band->low, below);
  *high = isnan (band->open_above) ? band->high : MIN (band->high, band->open_above);
}

BlBand *
bl_band_resolve (const BlMeasurement *measurement, double followed_value, double followed_u, GError **error)
{
  g_autoptr (BlBand) band = NULL;
  const BlExpected *expected;

  g_return_val_if_fail (measurement != NULL, NULL);
  expected = &measurement->expected;
  band = g_new0 (BlBand, 1);
  band->measures = measurement->measures;
  band->low = -INFINITY;
  band->high = INFINITY;
  band->nominal = band->absent_below = band->shorted_below = band->open_above = NAN;
  band->answer = expected->answer != 0;
  band->marks = g_array_new (FALSE, FALSE, sizeof (BlBandMark));
  band->source = g_strdup (expected->source);
  if (expected->follows != NULL)
    band->followed = g_strdup (expected->follows->measurement);
  if (!set_classes (band, expected, error))
    return NULL;
  if (band->measures == BL_MEASURES_SWING || band->measures == BL_MEASURES_CHECK)
    {
      if (bl_len (expected->marks) > 0)
        {
          invalid (error, _("marks are for measurements of a value"));
          return NULL;
        }
      if (band->measures == BL_MEASURES_SWING && !set_swing (band, expected, error))
        return NULL;
      return g_steal_pointer (&band);
    }
  if (!set_value_limits (band, measurement, followed_value, error))
    return NULL;
  return g_steal_pointer (&band);
}

static gboolean
proves_dead (const BlBoard *board, const char *measurement)
{
  for (guint i = 0; measurement != NULL && i < bl_len (board->states); i++)
    {
      const BlState *state = bl_at (board->states, i);
      if (state->dead_proof != NULL && g_strv_contains ((const char *const *) state->dead_proof, measurement))
        return TRUE;
    }
  return FALSE;
}

BlBand *
bl_band_resolve_on (const BlBoard *board, const BlMeasurement *measurement, double followed_value, double followed_u,
                    GError **error)
{
  g_return_val_if_fail (board != NULL, NULL);
  BlBand *band = bl_band_resolve (measurement, followed_value, followed_u, error);

  if (band != NULL)
    band->magnitude = band->measures == BL_MEASURES_V_DC && !isfinite (band->low) && band->high > 0
                      && isfinite (band->high) && proves_dead (board, measurement->id);
  return band;
}
