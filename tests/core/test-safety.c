/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Limits of the electrical safety test against what is printed of VDE 0701-0702:2008-06. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-safety.h"

static double
limit (BlSafetyClass safety_class, double cord_m, double heater_w, BlSafetyTest test)
{
  const BlSafetyUnit unit = { safety_class, cord_m, heater_w };
  BlSafetyLimits limits;

  bl_safety_limits_usual (&limits);
  return bl_safety_limit (&limits, &unit, test);
}

static void
near (double found, double printed)
{
  g_assert_cmpfloat_with_epsilon (found, printed, 1e-9 * printed);
}

/* VDE 0701-0702:2008-06, table of limits in the operating manual of a tester for it (read in a stored copy,
 * second-hand): protective conductor up to 16 A and 5 m of cord 0.3 ohm, 0.1 ohm more per further 7.5 m, 1 ohm at
 * most. */
static void
test_conductor (void)
{
  static const struct
  {
    double cord_m, ohm;
  } rows[] = { { 0, 0.3 }, { 1.5, 0.3 }, { 5, 0.3 }, { 12.5, 0.4 }, { 20, 0.5 }, { 57.5, 1 }, { 65, 1 }, { 200, 1 } };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    near (limit (BL_SAFETY_CLASS_1, rows[i].cord_m, 0, BL_SAFETY_CONDUCTOR), rows[i].ohm);
  /* Own choice between two readings of the words: what is begun does not count. */
  near (limit (BL_SAFETY_CLASS_1, 12.4, 0, BL_SAFETY_CONDUCTOR), 0.3);
  g_assert_true (isnan (limit (BL_SAFETY_CLASS_2, 5, 0, BL_SAFETY_CONDUCTOR)));
  g_assert_true (isnan (limit (BL_SAFETY_CLASS_3, 5, 0, BL_SAFETY_CONDUCTOR)));
}

/* The same table: class I 1 Mohm, with heating elements 0.3; class II 2; class III 0.25. */
static void
test_insulation (void)
{
  near (limit (BL_SAFETY_CLASS_1, 0, 0, BL_SAFETY_INSULATION), 1e6);
  near (limit (BL_SAFETY_CLASS_1, 0, 2000, BL_SAFETY_INSULATION), 0.3e6);
  near (limit (BL_SAFETY_CLASS_2, 0, 2000, BL_SAFETY_INSULATION), 2e6);
  near (limit (BL_SAFETY_CLASS_3, 0, 0, BL_SAFETY_INSULATION), 0.25e6);
}

/* The same table: protective conductor 3.5 mA, heating elements above 3.5 kW 1 mA/kW up to 10 mA; contact 0.5 mA. */
static void
test_currents (void)
{
  near (limit (BL_SAFETY_CLASS_1, 0, 0, BL_SAFETY_CONDUCTOR_CURRENT), 3.5e-3);
  near (limit (BL_SAFETY_CLASS_1, 0, 3500, BL_SAFETY_CONDUCTOR_CURRENT), 3.5e-3);
  near (limit (BL_SAFETY_CLASS_1, 0, 6000, BL_SAFETY_CONDUCTOR_CURRENT), 6e-3);
  near (limit (BL_SAFETY_CLASS_1, 0, 24000, BL_SAFETY_CONDUCTOR_CURRENT), 10e-3);
  g_assert_true (isnan (limit (BL_SAFETY_CLASS_2, 0, 0, BL_SAFETY_CONDUCTOR_CURRENT)));
  near (limit (BL_SAFETY_CLASS_1, 0, 0, BL_SAFETY_CONTACT_CURRENT), 0.5e-3);
  near (limit (BL_SAFETY_CLASS_2, 0, 0, BL_SAFETY_CONTACT_CURRENT), 0.5e-3);
  g_assert_true (isnan (limit (BL_SAFETY_CLASS_3, 0, 0, BL_SAFETY_CONTACT_CURRENT)));
}

static void
judged (BlSafetyClass safety_class, BlSafetyTest test, const char *typed, const char *word)
{
  const BlSafetyUnit unit = { safety_class, 5, 0 };
  g_autoptr (GError) error = NULL;
  BlSafetyLimits limits;
  BlReading reading;

  bl_safety_limits_usual (&limits);
  g_autoptr (BlBand) band = bl_safety_band (&limits, &unit, test, BL_SAFETY_LIMITS_SOURCE);
  g_assert_nonnull (band);
  g_assert_cmpstr (band->source, ==, "VDE 0701-0702:2008");
  g_assert_true (bl_reading_parse (typed, bl_safety_measures (test), &reading, &error));
  g_assert_no_error (error);
  g_autoptr (BlVerdict) verdict = bl_judge (band, &reading, NULL, NAN, 0);
  g_test_message ("%s %s", bl_safety_test_name (test), typed);
  g_assert_cmpstr (bl_verdict_label (verdict), ==, word);
}

/* The limit itself is within; an insulation beyond the tester's range is more than enough. */
static void
test_verdicts (void)
{
  judged (BL_SAFETY_CLASS_1, BL_SAFETY_CONDUCTOR, "0.3", "in band");
  judged (BL_SAFETY_CLASS_1, BL_SAFETY_CONDUCTOR, "0,31", "high");
  judged (BL_SAFETY_CLASS_1, BL_SAFETY_CONDUCTOR, "OL", "high");
  judged (BL_SAFETY_CLASS_1, BL_SAFETY_INSULATION, "OL", "in band");
  judged (BL_SAFETY_CLASS_1, BL_SAFETY_INSULATION, "1M", "in band");
  judged (BL_SAFETY_CLASS_1, BL_SAFETY_INSULATION, "990k", "low");
  judged (BL_SAFETY_CLASS_2, BL_SAFETY_INSULATION, "1.9 MΩ", "low");
  judged (BL_SAFETY_CLASS_1, BL_SAFETY_CONDUCTOR_CURRENT, "3.6 mA", "high");
  judged (BL_SAFETY_CLASS_2, BL_SAFETY_CONTACT_CURRENT, "0.2mA", "in band");
  judged (BL_SAFETY_CLASS_2, BL_SAFETY_CONTACT_CURRENT, "-", "not reached");
}

static void
test_names (void)
{
  for (guint i = 0; i < BL_N_SAFETY_TESTS; i++)
    {
      BlSafetyTest test;
      g_assert_true (bl_safety_test_parse (bl_safety_test_name ((BlSafetyTest) i), &test));
      g_assert_cmpuint (test, ==, i);
    }
  for (guint i = 0; i < BL_N_SAFETY_CLASSES; i++)
    {
      BlSafetyClass found;
      g_assert_true (bl_safety_class_parse (bl_safety_class_name ((BlSafetyClass) i), &found));
      g_assert_cmpuint (found, ==, i);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/safety/protective-conductor", test_conductor);
  g_test_add_func ("/safety/insulation", test_insulation);
  g_test_add_func ("/safety/currents", test_currents);
  g_test_add_func ("/safety/verdicts", test_verdicts);
  g_test_add_func ("/safety/names", test_names);
  return g_test_run ();
}
