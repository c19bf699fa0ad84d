/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Limits of the electrical safety test and which of them holds for a class of protection.
 *
 * A limit becomes a band like any other, so that a value typed there has the same verdicts, shapes and
 * ruler as a reading. The tester's own error is not taken into account: the figures are compared as typed.
 * Four tests, three classes; no instrument is driven from here. */
#include "config.h"

#include "bl-safety.h"


static const char *const class_names[] = { "I", "II", "III" };
static const char *const test_names[]
  = { "protective conductor", "insulation", "protective conductor current", "contact current" };

const char *
bl_safety_class_name (BlSafetyClass safety_class)
{
  g_return_val_if_fail (safety_class < BL_N_SAFETY_CLASSES, NULL);
  return class_names[safety_class];
}

gboolean
bl_safety_class_parse (const char *name, BlSafetyClass *safety_class)
{
  for (guint i = 0; i < G_N_ELEMENTS (class_names); i++)
    if (g_strcmp0 (name, class_names[i]) == 0)
      {
        *safety_class = (BlSafetyClass) i;
        return TRUE;
      }
  return FALSE;
}

const char *
bl_safety_test_name (BlSafetyTest test)
{
  g_return_val_if_fail (test < BL_N_SAFETY_TESTS, NULL);
  return test_names[test];
}

gboolean
bl_safety_test_parse (const char *name, BlSafetyTest *test)
{
  for (guint i = 0; i < G_N_ELEMENTS (test_names); i++)
    if (g_strcmp0 (name, test_names[i]) == 0)
      {
        *test = (BlSafetyTest) i;
        return TRUE;
      }
  return FALSE;
}

void
bl_safety_limits_usual (BlSafetyLimits *limits)
{
  g_return_if_fail (limits != NULL);
  *limits = (BlSafetyLimits){
    .conductor_ohm = 0.3, .conductor_to_m = 5, .more_ohm = 0.1, .more_m = 7.5, .conductor_most_ohm = 1,
    .insulation_ohm = { 1e6, 2e6, 0.25e6 }, .insulation_heater_ohm = 0.3e6,
    .conductor_a = 3.5e-3, .heater_from_w = 3500, .heater_a_per_w = 1e-6, .heater_most_a = 10e-3,
    .contact_a = 0.5e-3,
  };
}

static double
conductor_limit (const BlSafetyLimits *limits, double cord_m)
{
  double further = cord_m - limits->conductor_to_m, steps = 0;

  /* A length typed as 12.5 must not fall short by its last bit. */
  if (further > 0 && limits->more_m > 0)
    steps = floor (further / limits->more_m + 1e-9);
  return MIN (limits->conductor_ohm + steps * limits->more_ohm,
              MAX (limits->conductor_most_ohm, limits->conductor_ohm));
}

static double
current_limit (const BlSafetyLimits *limits, double heater_w)
{
  if (!(heater_w > limits->heater_from_w))
    return limits->conductor_a;
  return MAX (limits->conductor_a, MIN (heater_w * limits->heater_a_per_w, limits->heater_most_a));
}

double
bl_safety_limit (const BlSafetyLimits *limits, const BlSafetyUnit *unit, BlSafetyTest test)
{
  g_return_val_if_fail (limits != NULL && unit != NULL, NAN);
  gboolean earthed = unit->safety_class == BL_SAFETY_CLASS_1;

  switch (test)
    {
    case BL_SAFETY_CONDUCTOR:
      return earthed ? conductor_limit (limits, unit->cord_m) : NAN;
    case BL_SAFETY_INSULATION:
      return earthed && unit->heater_w > 0 ? limits->insulation_heater_ohm
                                           : limits->insulation_ohm[unit->safety_class];
    case BL_SAFETY_CONDUCTOR_CURRENT:
      return earthed ? current_limit (limits, unit->heater_w) : NAN;
    case BL_SAFETY_CONTACT_CURRENT:
      return unit->safety_class == BL_SAFETY_CLASS_3 ? NAN : limits->contact_a;
    case BL_N_SAFETY_TESTS:
    default:
      return NAN;
    }
}

BlMeasures
bl_safety_measures (BlSafetyTest test)
{
  switch (test)
    {
    case BL_SAFETY_CONDUCTOR:
      return BL_MEASURES_OHM;
    case BL_SAFETY_INSULATION:
      return BL_MEASURES_INSULATION;
    case BL_SAFETY_CONDUCTOR_CURRENT:
    case BL_SAFETY_CONTACT_CURRENT:
    case BL_N_SAFETY_TESTS:
    default:
      return BL_MEASURES_A_AC;
    }
}

BlBand *
bl_safety_band (const BlSafetyLimits *limits, const BlSafetyUnit *unit, BlSafetyTest test, const char *source)
{
  g_return_val_if_fail (limits != NULL && unit != NULL && test < BL_N_SAFETY_TESTS, NULL);
  double limit = bl_safety_limit (limits, unit, test);
  BlMeasurement measurement = { .measures = bl_safety_measures (test) };
  BlExpected *expected = &measurement.expected;
  BlQuantity *const unset[] = { &expected->nominal,      &expected->low,           &expected->high,
                                &expected->absent_below, &expected->shorted_below, &expected->open_above };

  if (isnan (limit))
    return NULL;
  for (guint i = 0; i < G_N_ELEMENTS (unset); i++)
    unset[i]->value = NAN;
  if (test == BL_SAFETY_INSULATION)
    expected->low.value = limit;
  else
    expected->high.value = limit;
  expected->answer = -1;
  expected->source = (char *) source; /* copied */
  return bl_band_resolve (&measurement, NAN, 0, NULL);
}
