/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The rules of measurements: what they refer to, and whether what they expect makes a band. The
 * limits themselves are tried by making the band a reading would be judged by, so a document is
 * refused exactly when its readings could not be judged. */
#include "config.h"

#include "bl-check.h"

#include <glib/gi18n-lib.h>

#include "bl-verdict.h"
#include "bl-waveform.h"

/* A quantity must still be what its text says, in the unit of its measurement. */
static void
check_quantity (BlCheck *check,
                const BlQuantity *quantity,
                const char *unit,
                const BlPath *path,
                const char *key)
{
  g_autoptr (GError) error = NULL;
  BlPath at = BL_PATH_KEY (path, key);
  double value;
  if (quantity->text != NULL && !bl_quantity_parse (quantity->text, unit, &value, &error))
    bl_report_error (check->report, &at, "%s", error->message);
  else if (quantity->text != NULL && value != quantity->value)
    bl_report_error (check->report, &at, _("“%s” is not %g"), quantity->text, quantity->value);
  else if (isinf (quantity->value))
    bl_report_error (check->report, &at, _("must be finite"));
}

/* Which kinds a key of "expected" is for, by what they have: limits of a steady value, of a
 * resistance, a swing, an answer. */
static void
check_applies (BlCheck *check,
               gboolean given,
               gboolean applies,
               BlMeasures measures,
               const BlPath *path,
               const char *key)
{
  BlPath at = BL_PATH_KEY (path, key);
  if (given && !applies)
    bl_report_error (check->report, &at, _("has no meaning for %s"), bl_measures_name (measures));
}

static void
check_keys (BlCheck *check, const BlExpected *expected, BlMeasures measures, const BlPath *path)
{
  gboolean steady = bl_measures_is_steady (measures);
  gboolean resistive = bl_measures_is_resistive (measures);
  gboolean swing = measures == BL_MEASURES_SWING;
  const struct
  {
    const char *key;
    const BlQuantity *quantity;
    gboolean applies;
  } quantities[] = {
    { "nominal", &expected->nominal, steady || resistive },
    { "low", &expected->low, steady || resistive },
    { "high", &expected->high, steady || resistive },
    { "absent_below", &expected->absent_below, steady },
    { "shorted_below", &expected->shorted_below, resistive },
    { "open_above", &expected->open_above, resistive },
    { "span_below", &expected->span_below, swing },
  };
  for (guint i = 0; i < G_N_ELEMENTS (quantities); i++)
    {
      const BlQuantity *quantity = quantities[i].quantity;
      check_applies (check, bl_quantity_is_set (quantity), quantities[i].applies, measures, path,
                     quantities[i].key);
      if (bl_quantity_is_set (quantity) && quantities[i].applies)
        check_quantity (check, quantity, bl_measures_unit (measures), path, quantities[i].key);
    }
  check_applies (check, expected->tolerance != NULL, steady || resistive, measures, path,
                 "tolerance");
  check_applies (check, bl_len (expected->marks) > 0, steady || resistive, measures, path, "marks");
  check_applies (check, expected->follows != NULL, steady || resistive, measures, path, "follows");
  check_applies (check, expected->has_min, swing, measures, path, "min");
  check_applies (check, expected->has_max, swing, measures, path, "max");
  check_applies (check, expected->answer >= 0, measures == BL_MEASURES_CHECK, measures, path,
                 "answer");
}

static void
check_pairs (BlCheck *check, const BlExpected *expected, const char *unit, const BlPath *path)
{
  BlPath min = BL_PATH_KEY (path, "min"), max = BL_PATH_KEY (path, "max");
  for (guint i = 0; i < 2; i++)
    {
      const char *index = i == 0 ? "first" : "second";
      if (expected->has_min)
        check_quantity (check, &expected->min[i], unit, &min, index);
      if (expected->has_max)
        check_quantity (check, &expected->max[i], unit, &max, index);
    }
}

static void
check_marks (BlCheck *check, const BlExpected *expected, BlMeasures measures, const BlPath *path)
{
  const char *const *classes = bl_measures_classes (measures, NULL);
  BlPath list = BL_PATH_KEY (path, "marks");
  g_autoptr (GHashTable) seen = g_hash_table_new (g_str_hash, g_str_equal);
  for (guint i = 0; i < bl_len (expected->marks); i++)
    {
      const BlMark *mark = bl_at (expected->marks, i);
      BlPath at = BL_PATH_INDEX (&list, i), id = BL_PATH_KEY (&at, "id");
      /* A mark is a class: its id may have blanks as "in band" has, but must not be taken. */
      if (mark->id == NULL || mark->id[0] == '\0')
        bl_report_error (check->report, &id, _("required, but left out"));
      else if (g_strv_contains (classes, mark->id) || !g_hash_table_add (seen, mark->id))
        bl_report_error (check->report, &id, _("“%s” is the name of another class"), mark->id);
      if (!bl_quantity_is_set (&mark->low) && !bl_quantity_is_set (&mark->high))
        bl_report_error (check->report, &at, _("expected low, high or both"));
      check_quantity (check, &mark->low, bl_measures_unit (measures), &at, "low");
      check_quantity (check, &mark->high, bl_measures_unit (measures), &at, "high");
    }
}

static void
check_follows (BlCheck *check, const BlFollows *follows, const char *unit, const BlPath *path)
{
  BlPath points = BL_PATH_KEY (path, "points"), at = BL_PATH_KEY (path, "measurement");
  guint n = follows->points != NULL ? follows->points->len / 2 : 0;
  bl_check_reference (check, check->measurements, follows->measurement, TRUE, _("measurement"),
                      path, "measurement");
  bl_check_range (check, follows->tolerance, 0, INFINITY, FALSE, path, "tolerance");
  check_quantity (check, &follows->within, unit, path, "within");
  bl_check_range (check, follows->within.value, 0, INFINITY, FALSE, path, "within");
  const BlMeasurement *followed =
      follows->measurement != NULL ? g_hash_table_lookup (check->measurements, follows->measurement)
                                   : NULL;
  if (followed != NULL &&
      (followed->measures == BL_MEASURES_SWING || followed->measures == BL_MEASURES_CHECK))
    bl_report_error (check->report, &at, _("%s has no single value to follow"), followed->id);
  if (n < 2)
    bl_report_error (check->report, &points, _("a line needs at least two points"));
  for (guint i = 0; i < n; i++)
    {
      BlPath point = BL_PATH_INDEX (&points, i);
      double x = g_array_index (follows->points, double, 2 * i);
      if (!isfinite (x) || !isfinite (g_array_index (follows->points, double, 2 * i + 1)))
        bl_report_error (check->report, &point, _("must be finite"));
      else if (i > 0 && !(x > g_array_index (follows->points, double, 2 * i - 2)))
        bl_report_error (check->report, &point, _("x must rise from point to point"));
    }
}

static void
warn_of_missing_limits (BlCheck *check, const BlExpected *expected, const BlPath *path)
{
  if (bl_quantity_is_set (&expected->nominal) && !bl_quantity_is_set (&expected->low) &&
      !bl_quantity_is_set (&expected->high) && expected->tolerance == NULL &&
      expected->follows == NULL)
    bl_report_warning (check->report, path,
                       _("nominal without limits: every value is in band that is not absent, "
                          "shorted or open"));
}

/* The order of the limits, and marks outside the band. */
static void
check_band (BlCheck *check, const BlMeasurement *measurement, const BlPath *path)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBand) band = bl_band_resolve (measurement, NAN, 0, &error);
  /* The limits of one that follows are known only when the other was read. */
  if (band == NULL && !g_error_matches (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN))
    bl_report_error (check->report, path, "%s", error->message);
}

static void
check_expected (BlCheck *check, const BlMeasurement *measurement, const BlPath *path)
{
  const BlExpected *expected = &measurement->expected;
  BlMeasures measures = measurement->measures;
  guint errors = check->report->errors;
  check_keys (check, expected, measures, path);
  check_pairs (check, expected, bl_measures_unit (measures), path);
  check_marks (check, expected, measures, path);
  if (expected->follows != NULL)
    check_follows (check, expected->follows, bl_measures_unit (measures), &BL_PATH_KEY (path, "follows"));
  /* What is wrong in itself is not told a second time as a band that cannot be. */
  if (errors == check->report->errors &&
      (measures != BL_MEASURES_SWING || measurement->has_expected || expected->has_min ||
       expected->has_max))
    check_band (check, measurement, path);
  warn_of_missing_limits (check, expected, path);
}

static void
warn_of_grounds (BlCheck *check, const BlMeasurement *measurement, const BlPath *path)
{
  BlPath black = BL_PATH_KEY (path, "black");
  const BlTestPoint *at =
      measurement->at != NULL ? g_hash_table_lookup (check->test_points, measurement->at) : NULL;
  const BlTestPoint *lead = measurement->black != NULL
                                ? g_hash_table_lookup (check->test_points, measurement->black)
                                : NULL;
  if (at != NULL && lead != NULL && at->ground != NULL && lead->ground != NULL &&
      !g_str_equal (at->ground, lead->ground))
    bl_report_warning (check->report, &black, _("%s is on ground %s, the black lead on %s"),
                       at->id, at->ground, lead->ground);
}

/* What wave is at the point is said of voltages and currents. */
static void
check_wave (BlCheck *check, const BlMeasurement *measurement, const BlPath *path)
{
  BlPath waveform = BL_PATH_KEY (path, "waveform"), duty = BL_PATH_KEY (path, "duty");
  BlWave wave;

  if (!bl_wave_parse (measurement->waveform, &wave))
    {
      g_autoptr (GString) names = g_string_new (NULL);
      for (int i = 0; i < BL_N_WAVES; i++)
        g_string_append_printf (names, "%s%s", i > 0 ? ", " : "", bl_wave_name ((BlWave) i));
      bl_report_error (check->report, &waveform, _ ("expected one of: %s"), names->str);
      return;
    }
  if (measurement->waveform != NULL && measurement->measures > BL_MEASURES_A_AC
      && measurement->measures < BL_N_MEASURES)
    bl_report_error (check->report, &waveform, _ ("%s has no waveform: it belongs to a voltage or a current"),
                     bl_measures_name (measurement->measures));
  if (!isnan (measurement->duty) && wave != BL_WAVE_PULSE)
    bl_report_error (check->report, &duty, _ ("only a pulse has it"));
  else if (!isnan (measurement->duty) && !(measurement->duty > 0 && measurement->duty < 1))
    bl_report_error (check->report, &duty, _ ("expected a share above 0 and below 1"));
  else if (isnan (measurement->duty) && wave == BL_WAVE_PULSE)
    bl_report_warning (check->report, &waveform, _ ("without “duty” nothing can be told of a pulse"));
}

static void
check_measurement (BlCheck *check, const BlMeasurement *measurement, const BlPath *path)
{
  BlPath id = BL_PATH_KEY (path, "id"), measures = BL_PATH_KEY (path, "measures"),
         reads = BL_PATH_KEY (path, "reads");
  if (measurement->id != NULL && g_hash_table_contains (check->stages, measurement->id))
    bl_report_error (check->report, &id, _("“%s” is the id of a stage"), measurement->id);
  if (g_strcmp0 (measurement->id, "round") == 0)
    bl_report_error (check->report, &id, _("“round” begins a new round in a table of readings"));
  bl_check_reference (check, check->test_points, measurement->at, FALSE, _("test point"), path,
                      "at");
  bl_check_reference (check, check->test_points, measurement->black, FALSE, _("test point"), path,
                      "black");
  bl_check_reference (check, check->states, measurement->state, TRUE, _("state"), path, "state");
  bl_check_reference (check, check->stages, measurement->reads, FALSE, _("stage"), path, "reads");
  bl_check_range (check, measurement->effort_s, 0, INFINITY, TRUE, path, "effort_s");
  bl_check_range (check, measurement->misread, 0, 1, FALSE, path, "misread");
  warn_of_grounds (check, measurement, path);
  check_wave (check, measurement, path);
  if (measurement->measures >= BL_N_MEASURES)
    {
      bl_report_error (check->report, &measures, _("required, but left out"));
      return;
    }
  if (measurement->reads != NULL && bl_measures_is_resistive (measurement->measures))
    bl_report_error (check->report, &reads,
                     _("%s does not read the output of a stage: list direct effects"),
                     bl_measures_name (measurement->measures));
  check_expected (check, measurement, &BL_PATH_KEY (path, "expected"));
}

static const BlMeasurement *
followed_by (BlCheck *check, const BlMeasurement *measurement)
{
  const BlFollows *follows = measurement->expected.follows;
  return follows != NULL && follows->measurement != NULL
             ? g_hash_table_lookup (check->measurements, follows->measurement)
             : NULL;
}

/* Each follows at most one other: a loop is found by walking. It is reported at its first in the
 * document; done is where a walk has been before. */
static void
check_follow_loop (BlCheck *check, const BlMeasurement *start, GHashTable *done, const BlPath *path)
{
  g_autoptr (GHashTable) walk = g_hash_table_new (NULL, NULL);
  const BlMeasurement *at = start;
  for (; at != NULL && g_hash_table_add (done, (gpointer) at); at = followed_by (check, at))
    g_hash_table_add (walk, (gpointer) at);
  if (at == NULL || !g_hash_table_contains (walk, at))
    return;
  g_autoptr (GString) names = g_string_new (at->id);
  const BlMeasurement *next = at;
  do
    {
      next = followed_by (check, next);
      g_string_append_printf (names, " -> %s", next->id);
    }
  while (next != at);
  BlPath expected = BL_PATH_KEY (path, "expected"), follows = BL_PATH_KEY (&expected, "follows");
  bl_report_error (check->report, &follows, _("loop of followed measurements: %s"), names->str);
}

void
bl_check_measurements (BlCheck *check, const GPtrArray *measurements, const BlPath *path)
{
  g_autoptr (GHashTable) done = g_hash_table_new (NULL, NULL);
  bl_check_ids (check, measurements, "id", path);
  for (guint i = 0; i < bl_len (measurements); i++)
    {
      BlPath at = BL_PATH_INDEX (path, i);
      check_measurement (check, bl_at (measurements, i), &at);
      check_follow_loop (check, bl_at (measurements, i), done, &at);
    }
}
