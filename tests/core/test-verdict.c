/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Verdicts against published values.
 *
 * Conformance probabilities: the worked examples of JCGM 106:2012 (= ISO/IEC Guide 98-4). Their
 * inputs and printed results are from memory, except the inputs of the 1500 ohm resistors, which
 * public scripts citing equation 21 of the guide repeat; the digits beyond the printed ones are the
 * normal distribution function computed by another program (Python, statistics.NormalDist).
 * Meter limits: worked examples of published instrument notes, named beside each row.
 * u = a / sqrt 3: GUM (JCGM 100:2008) 4.3.7. */
#undef G_DISABLE_ASSERT
#include "fixture-board.h"

#include <string.h>

static BlVerdict *
judge (const BlMeasurement *m, const char *text, const char *meter, double source)
{
  g_autoptr (BlBand) band = band_of (m);
  BlReading reading;
  BlMeter accuracy;
  g_autoptr (GError) error = NULL;

  bl_reading_parse (text, m->measures, &reading, &error);
  g_assert_no_error (error);
  bl_meter_parse (meter, &accuracy, &error);
  g_assert_no_error (error);
  return bl_judge (band, &reading, &accuracy, source, 0);
}

static double
weight (const BlVerdict *verdict, const char *name)
{
  for (guint i = 0; i < verdict->n; i++)
    if (strcmp (verdict->classes[i], name) == 0)
      return verdict->weights[i];
  g_assert_not_reached ();
}

/* Checks the label, and that the weights are what certainty means. */
static void
assert_label (const BlMeasurement *m, const char *text, const char *label)
{
  g_autoptr (BlVerdict) verdict = judge (m, text, "", NAN);

  if (strcmp (bl_verdict_label (verdict), label) != 0)
    g_error ("%s: %s instead of %s", text, bl_verdict_label (verdict), label);
  if (verdict->evidence)
    g_assert_cmpfloat (weight (verdict, label), ==, 1);
}

static void
test_jcgm_106 (void)
{
  static const struct
  {
    const char *what;
    double low, high;
    const char *reading;
    double u, printed, printed_to, computed;
  } rows[] = {
    { "J1 breakdown voltage of a Zener diode", NAN, -5.40, "-5.47", 0.05, 0.92, 0.005, 0.919243 },
    { "J2 bursting strength", 490, NAN, "509.7", 8.6, 0.99, 0.005, 0.989010 },
    /* 0.658940 with z rounded to 1.5 and -0.6, which also prints as 0.66 */
    { "J3 viscosity of an oil", 12.5, 16.3, "13.6", 1.8, 0.66, 0.005, 0.662630 },
    { "J4 resistors of 1500 ohm", 1499.8, 1500.2, "1500", 0.12, 0.90, 0.005, 0.904419 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (BlMeasurement) m =
        measurement ("M", BL_MEASURES_DEGC, NAN, rows[i].low, rows[i].high);
      g_autofree char *meter = g_strdup_printf ("1@%.17g", rows[i].u * sqrt (3));
      g_autoptr (BlVerdict) verdict = judge (m, rows[i].reading, meter, NAN);

      g_assert_cmpfloat_with_epsilon (verdict->u, rows[i].u, 1e-12);
      g_assert_cmpfloat_with_epsilon (weight (verdict, "in band"), rows[i].printed,
                                      rows[i].printed_to);
      g_assert_cmpfloat_with_epsilon (weight (verdict, "in band"), rows[i].computed, 2e-6);
    }
}

static void
test_meter_limits (void)
{
  static const struct
  {
    const char *meter, *reading;
    double limit; /* a of a/sqrt 3, as published */
  } rows[] = {
    /* Kwantlen Polytechnic University, "Digital Multimeter Uncertainties" */
    { "2.5%+3@0.01", "32.00", 0.83 },
    { "2.5%+3@0.01", "0.09", 0.03225 },
    /* a contractors' forum's example: 118.96 to 121.04 V */
    { "0.7%+2@0.1", "120.0", 1.04 },
    /* an instrument shop's "introduction to digital multimeter accuracy": 98.8 to 101.2 V,
     * 99.0 to 101.0 V without counts */
    { "1%+2@0.1", "100.0", 1.2 },
    { "1%", "100.0", 1.0 },
    /* the same, "multimeter error": 1.987 to 2.013 V */
    { "0.5%+3@0.001", "2", 0.013 },
    /* an instrument maker's note: 1.9964 to 2.0036 V */
    { "0.08% + 2@1mV", "2.000", 0.0036 },
    /* a college's physics pages: 0.1 % + 4 counts at 166.51 mV; the sum computed */
    { "0.1%+4@10uV", "166.51 mV", 0.20651e-3 },
    { "3@0.01", "5", 0.03 },
    { "", "5", 0 },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (BlMeasurement) m = measurement ("M", BL_MEASURES_V_DC, NAN, NAN, NAN);
      g_autoptr (BlVerdict) verdict = judge (m, rows[i].reading, rows[i].meter, NAN);

      g_assert_cmpfloat_with_epsilon (verdict->u * sqrt (3), rows[i].limit, 1e-12);
    }
}

static void
test_meter_refused (void)
{
  static const char *const bad[] = { "x", "5", "%", "-1%", "1%+", "1%+3", "1%+3@", "@0.01", "3@",
                                     "1% in", "1% in 0", "1% in 10 V", "1%%", "1%-3@0.01",
                                     "0.5k%", "1%+3k@0.01", "1%+3@-0.01", "±" };
  BlMeter meter;

  for (gsize i = 0; i < G_N_ELEMENTS (bad); i++)
    {
      g_autoptr (GError) error = NULL;

      if (bl_meter_parse (bad[i], &meter, &error))
        g_error ("“%s” was taken", bad[i]);
      g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE);
    }
  g_assert_true (bl_meter_parse (" ±0,5 % + 3 @ 0,01 V in 10M ", &meter, NULL));
  g_assert_cmpfloat (meter.percent, ==, 0.5);
  g_assert_cmpfloat (meter.counts, ==, 3);
  g_assert_cmpfloat (meter.count, ==, 0.01);
  g_assert_cmpfloat (meter.input_ohm, ==, 10e6);
  g_assert_true (bl_meter_parse ("in 1M", &meter, NULL));
  g_assert_cmpfloat (meter.input_ohm, ==, 1e6);
}

/* A 10 Mohm meter at a source of 1 Mohm reads 10/11 of the voltage (divider of two resistors). */
static void
test_loading (void)
{
  g_autoptr (BlMeasurement) volts = measurement ("M", BL_MEASURES_V_DC, 5, 4.8, 5.2);
  g_autoptr (BlMeasurement) ohms = measurement ("M", BL_MEASURES_OHM, 5, 4.8, 5.2);
  g_autoptr (BlVerdict) corrected = judge (volts, "4.545454545454545", "1%+2@0.01 in 10M", 1e6);
  g_autoptr (BlVerdict) unknown = judge (volts, "4.545454545454545", "1%+2@0.01", 1e6);
  g_autoptr (BlVerdict) resistance = judge (ohms, "4.545454545454545", "1% in 10M", 1e6);

  g_assert_cmpfloat_with_epsilon (corrected->value, 5, 1e-12);
  g_assert_cmpfloat_with_epsilon (corrected->u, (0.05 + 0.022) / sqrt (3), 1e-12);
  g_assert_cmpfloat_with_epsilon (unknown->value, 4.545454545454545, 1e-12);
  g_assert_cmpfloat_with_epsilon (resistance->value, 4.545454545454545, 1e-12);
}

static void
test_exact (void)
{
  g_autoptr (BlMeasurement) m = measurement ("M", BL_MEASURES_V_DC, 5, 4.8, 5.2);
  static const struct
  {
    const char *text, *label;
  } rows[] = {
    { "5", "in band" },     { "4.8", "in band" },     { "5.2", "in band" },
    { "4.79999", "low" },   { "5.20001", "high" },    { "0.5", "low" },
    { "0.49", "absent" },   { "0", "absent" },        { "-0.49", "absent" },
    { "-0.5", "reversed" }, { "-5", "reversed" },     { "OL", "high" },
    { "-", "not reached" }, { "4.9..5.1", "unsteady" }, { "2", "half" },
    { "3", "half" },        { "2.5", "half" },        { "1.99", "low" },
    { "3.01", "low" },
  };

  add_mark (m, "half", 2, 3);
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    assert_label (m, rows[i].text, rows[i].label);
}

static void
test_resistive (void)
{
  g_autoptr (BlMeasurement) m = measurement ("M", BL_MEASURES_OHM, 980e3, 900e3, 1.1e6);
  g_autoptr (BlMeasurement) insulation = measurement ("M", BL_MEASURES_INSULATION, NAN, 1e6, NAN);
  static const struct
  {
    const char *text, *label;
  } rows[] = {
    { "980k", "in band" }, { "97k", "shorted" }, { "98k", "low" },  { "0", "shorted" },
    { "1M2", "high" },     { "9M8", "high" },    { "9M9", "open" }, { "OL", "open" },
    { "1M..1M1", "unsteady" }, { "-1", "shorted" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    assert_label (m, rows[i].text, rows[i].label);
  assert_label (insulation, "OL", "in band");
  assert_label (insulation, "900k", "low");
}

/* A diode read both ways: the forward verdict, unless it conducts in reverse where it must not (that a
 * good one shows OL in reverse is common practice, no source; the rule itself is the program's own). */
static void
test_both_ways (void)
{
  g_autoptr (BlMeasurement) d = measurement ("D", BL_MEASURES_DIODE, 0.55, 0.5, 0.6);
  g_autoptr (BlMeasurement) no_limits = measurement ("D", BL_MEASURES_DIODE, NAN, NAN, NAN);
  static const struct
  {
    const char *text, *label;
  } rows[] = {
    { "0.52/OL", "in band" },        { "OL/OL", "open" },           { "0.52/0.001", "shorted" },
    { "0.002/0.002", "shorted" },    { "0.002/OL", "shorted" },     { "0.52/0.3", "low" },
    { "OL/0.001", "shorted" },       { "OL/0.3", "low" },           { "0.002/0.3", "shorted" },
    { "0.3/0.001", "shorted" },      { "0.7/OL", "high" },          { "0.52/1.8", "in band" },
    { "0.52/0.52", "in band" },      { "OL/0.52", "open" },         { "0.52/9", "in band" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    assert_label (d, rows[i].text, rows[i].label);
  assert_label (no_limits, "0.52/0.001", "in band"); /* nothing says what is low */
}

/* Reverse at the very limit of shorted, 55 mV, with an uncertainty: half shorted, half low; and forward at
 * the lower limit as well, half low and half in band, which then adds nothing to in band. */
static void
test_both_ways_weights (void)
{
  g_autoptr (BlMeasurement) d = measurement ("D", BL_MEASURES_DIODE, 0.55, 0.5, 0.6);
  g_autoptr (BlVerdict) half = judge (d, "0.55/0.055", "1@0.001", NAN);
  g_autoptr (BlVerdict) edge = judge (d, "0.55/0.5", "1@0.001", NAN);
  g_autoptr (BlVerdict) shorted = judge (d, "0.055/0.3", "1@0.001", NAN);

  g_assert_cmpfloat_with_epsilon (weight (half, "shorted"), 0.5, 1e-9);
  g_assert_cmpfloat_with_epsilon (weight (half, "low"), 0.5, 1e-9);
  g_assert_cmpfloat_with_epsilon (weight (edge, "low"), 0.5, 1e-9);
  g_assert_cmpfloat_with_epsilon (weight (edge, "in band"), 0.5, 1e-9);
  g_assert_cmpfloat_with_epsilon (weight (shorted, "shorted"), 0.5, 1e-9);
  g_assert_cmpfloat_with_epsilon (weight (shorted, "low"), 0.5, 1e-9);
}

static void
test_negative (void)
{
  g_autoptr (BlMeasurement) m = measurement ("M", BL_MEASURES_V_DC, -12, -12.6, -11.4);
  g_autoptr (BlVerdict) near = NULL, mirror = NULL;
  g_autoptr (BlMeasurement) positive = measurement ("M", BL_MEASURES_V_DC, 12, 11.4, 12.6);

  assert_label (m, "-12", "in band");
  assert_label (m, "-11", "low");
  assert_label (m, "-13", "high");
  assert_label (m, "-1", "absent");
  assert_label (m, "1.1", "absent");
  assert_label (m, "1.2", "reversed");
  near = judge (m, "-11.38", "0.5%+3@0.01", NAN);
  mirror = judge (positive, "11.38", "0.5%+3@0.01", NAN);
  for (guint i = 0; i < near->n; i++)
    g_assert_cmpfloat (near->weights[i], ==, mirror->weights[i]);
}

/* The cases of a wiper or signal that swings between 0..1 and 10..12. */
static void
test_swing (void)
{
  g_autoptr (BlMeasurement) m = measurement ("M", BL_MEASURES_SWING, NAN, NAN, NAN);
  static const struct
  {
    const char *text, *label;
  } rows[] = {
    { "0.5..11", "in band" },     { "0..12", "in band" },     { "1..10", "in band" },
    { "0.4..0.6", "still low" },  { "11..11.2", "still high" }, { "5..5.5", "still middle" },
    { "5", "still middle" },      { "0.2..9", "low" },        { "2..11", "high" },
    { "-1..11", "beyond" },       { "0..13", "beyond" },      { "2..9", "low" },
    { "0.5..2.5", "low" },        { "OL", "still high" },     { "-", "not reached" },
  };

  m->expected.has_min = m->expected.has_max = TRUE;
  m->expected.min[0] = quantity (0);
  m->expected.min[1] = quantity (1);
  m->expected.max[0] = quantity (10);
  m->expected.max[1] = quantity (12);
  m->expected.span_below = quantity (1);
  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    assert_label (m, rows[i].text, rows[i].label);
  m->expected.span_below = quantity (NAN);
  assert_label (m, "11..11", "high"); /* without span_below nothing is still */
}

static void
test_check (void)
{
  g_autoptr (BlMeasurement) m = measurement ("M", BL_MEASURES_CHECK, NAN, NAN, NAN);

  assert_label (m, "yes", "as expected");
  assert_label (m, "no", "deviates");
  m->expected.answer = 0;
  assert_label (m, "yes", "deviates");
  assert_label (m, "no", "as expected");
}

/* At a limit the weights are a half each: too close to call, whatever the meter. */
static void
test_too_close (void)
{
  g_autoptr (BlMeasurement) m = measurement ("M", BL_MEASURES_V_DC, 5, 4.8, 5.2);
  g_autoptr (BlVerdict) at_limit = judge (m, "4.8", "0.1%", NAN);
  g_autoptr (BlVerdict) clear = judge (m, "4.85", "0.1%", NAN);

  g_assert_cmpstr (bl_verdict_label (at_limit), ==, "too close to call");
  g_assert_cmpfloat_with_epsilon (weight (at_limit, "in band"), 0.5, 1e-12);
  g_assert_cmpfloat_with_epsilon (weight (at_limit, "low"), 0.5, 1e-12);
  g_assert_true (at_limit->best != at_limit->second && at_limit->best + at_limit->second == 3);
  g_assert_cmpstr (bl_verdict_label (clear), ==, "in band");
}

/* Announced from 0.95 on: the one-sided normal quantile of 0.95 is 1.6449 (any table). */
static void
test_announced_at (void)
{
  g_autoptr (BlMeasurement) m = measurement ("M", BL_MEASURES_V_DC, NAN, 0, NAN);
  g_autofree char *meter = g_strdup_printf ("1@%.17g", sqrt (3));
  g_autoptr (BlVerdict) below = judge (m, "1.6448", meter, NAN);
  g_autoptr (BlVerdict) above = judge (m, "1.6449", meter, NAN);

  g_assert_false (below->certain);
  g_assert_true (above->certain);
}

/* Marks take their part out of low, high and absent; the weights of a random band and reading
 * sum to 1 and agree with an integration of the density by Simpson's rule. */
static double
integrate (double v, double u, double low, double high)
{
  enum { STEPS = 2000 };
  double from = MAX (low, v - 12 * u), to = MIN (high, v + 12 * u), sum = 0;

  if (!(from < to))
    return 0;
  for (int i = 0; i <= STEPS; i++)
    {
      double z = (from + (to - from) * i / STEPS - v) / u;

      sum += exp (-z * z / 2) * (i == 0 || i == STEPS ? 1 : i % 2 ? 4 : 2);
    }
  return sum * (to - from) / STEPS / 3 / (u * sqrt (2 * G_PI));
}

static void
test_marks_integrated (void)
{
  g_autoptr (BlMeasurement) m = measurement ("M", BL_MEASURES_V_DC, 5, 4.8, 5.2);
  struct
  {
    const char *name;
    double low, high, less_low, less_high;
  } parts[] = {
    { "absent", -INFINITY, 0.5, 0.3, 0.5 },  { "low", 0.5, 4.8, 0.5, 1 },
    { "in band", 4.8, 5.2, 0, 0 },           { "high", 5.2, INFINITY, 6, 7 },
    { "little", 0.3, 1, 0, 0 },              { "much", 6, 7, 0, 0 },
  };
  g_autoptr (GRand) rand = g_rand_new_with_seed (1);

  add_mark (m, "little", 0.3, 1);
  add_mark (m, "much", 6, 7);
  for (int i = 0; i < 200; i++)
    {
      double v = g_rand_double_range (rand, -0.4, 8), u = g_rand_double_range (rand, 0.01, 2), sum = 0;
      g_autofree char *meter = g_strdup_printf ("1@%.17g", u * sqrt (3));
      g_autofree char *text = g_strdup_printf ("%.17g", v);
      g_autoptr (BlVerdict) verdict = judge (m, text, meter, NAN);

      for (gsize j = 0; j < G_N_ELEMENTS (parts); j++)
        {
          double expected = integrate (v, u, parts[j].low, parts[j].high) -
                            integrate (v, u, parts[j].less_low, parts[j].less_high);

          g_assert_cmpfloat_with_epsilon (weight (verdict, parts[j].name), expected, 1e-8);
          sum += weight (verdict, parts[j].name);
        }
      g_assert_cmpfloat_with_epsilon (sum, 1, 1e-12);
    }
}

/* The far tail keeps its digits: 1 - Phi(10) is 7.6199e-24 (Abramowitz and Stegun, table 26.2, from
 * memory; erfc gives the same). */
static void
test_tail (void)
{
  g_autoptr (BlMeasurement) m = measurement ("M", BL_MEASURES_V_DC, NAN, NAN, 10);
  g_autofree char *meter = g_strdup_printf ("1@%.17g", sqrt (3));
  g_autoptr (BlVerdict) verdict = judge (m, "0", meter, NAN);

  g_assert_cmpfloat_with_epsilon (weight (verdict, "high") / 7.6199e-24, 1, 1e-4);
}

static void
test_followed_uncertainty (void)
{
  g_autoptr (BlMeasurement) m = measurement ("M", BL_MEASURES_V_DC, 5, 4.8, 5.2);
  g_autoptr (BlBand) band = band_of (m);
  BlReading reading = { BL_READING_VALUE, 5, NAN, FALSE };
  BlMeter meter = { 0, 1, 0.03 * sqrt (3), NAN };
  g_autoptr (BlVerdict) verdict = bl_judge (band, &reading, &meter, NAN, 0.04);
  g_autoptr (BlVerdict) none = bl_judge (NULL, &reading, &meter, NAN, 0);
  g_autoptr (BlVerdict) copy = bl_verdict_copy (verdict);

  g_assert_cmpfloat_with_epsilon (verdict->u, 0.05, 1e-12);
  g_assert_false (none->evidence);
  g_assert_cmpfloat (copy->weights[2], ==, verdict->weights[2]);
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/verdict/jcgm-106", test_jcgm_106);
  g_test_add_func ("/core/verdict/meter-limits", test_meter_limits);
  g_test_add_func ("/core/verdict/meter-refused", test_meter_refused);
  g_test_add_func ("/core/verdict/loading", test_loading);
  g_test_add_func ("/core/verdict/exact", test_exact);
  g_test_add_func ("/core/verdict/resistive", test_resistive);
  g_test_add_func ("/core/verdict/both-ways", test_both_ways);
  g_test_add_func ("/core/verdict/both-ways-weights", test_both_ways_weights);
  g_test_add_func ("/core/verdict/negative", test_negative);
  g_test_add_func ("/core/verdict/swing", test_swing);
  g_test_add_func ("/core/verdict/check", test_check);
  g_test_add_func ("/core/verdict/too-close", test_too_close);
  g_test_add_func ("/core/verdict/announced-at", test_announced_at);
  g_test_add_func ("/core/verdict/marks-integrated", test_marks_integrated);
  g_test_add_func ("/core/verdict/tail", test_tail);
  g_test_add_func ("/core/verdict/followed-uncertainty", test_followed_uncertainty);
  return g_test_run ();
}
