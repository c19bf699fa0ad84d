/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of component limits: that each row can be used and says where it is from, some of them against their
 * sources, and which rows a demo board's measurements are offered. */
#include "config.h"

#include "bl-limits.h"

#include "bl-verdict.h"
#include "fixture-demo.h"

#include <string.h>

static const BlLimit *
find (const char *what)
{
  for (guint i = 0; i < bl_limits_count (); i++)
    if (g_str_equal (bl_limits_at (i)->what, what))
      return bl_limits_at (i);
  g_error ("no row “%s”", what);
}

/* Each row makes a band of its kind, is within its own limits, and names its source and status. */
static void
test_rows (void)
{
  static const char *const status[]
    = { "source named", "quoted second-hand", "from memory", "computed", "common practice, no source", NULL };

  g_assert_cmpuint (bl_limits_count (), >, 80);
  for (guint i = 0; i < bl_limits_count (); i++)
    {
      const BlLimit *row = bl_limits_at (i);
      g_autoptr (BlMeasurement) m = bl_measurement_new ();
      g_autoptr (GError) error = NULL;
      g_autoptr (BlBand) band = NULL;

      m->id = g_strdup ("M");
      g_assert_true (bl_measures_parse (row->measures, &m->measures));
      g_assert_true (isfinite (row->low) || isfinite (row->high));
      if (isfinite (row->low) && isfinite (row->high))
        g_assert_cmpfloat (row->low, <=, row->high);
      if (isfinite (row->low) && isfinite (row->nominal))
        g_assert_cmpfloat (row->low, <=, row->nominal);
      if (isfinite (row->high) && isfinite (row->nominal))
        g_assert_cmpfloat (row->nominal, <=, row->high);
      g_assert_true (g_strv_contains (status, row->status));
      g_assert_cmpuint (strlen (row->source), >, 5);
      g_assert_cmpuint (strlen (row->what), >, 5);
      g_assert_cmpuint (strlen (row->kinds), >, 0);
      m->has_expected = TRUE;
      bl_limit_apply (row, &m->expected);
      band = bl_band_resolve (m, NAN, 0, &error);
      g_assert_no_error (error);
      if (isfinite (row->low))
        g_assert_cmpfloat_with_epsilon (band->low, row->low, 1e-9 * fabs (row->low));
      if (isfinite (row->high))
        g_assert_cmpfloat_with_epsilon (band->high, row->high, 1e-9 * fabs (row->high));
      g_assert_nonnull (strstr (band->source, row->status));
    }
}

static void
assert_row (const char *what, double low, double nominal, double high)
{
  const BlLimit *row = find (what);

  const double wanted[] = { low, nominal, high }, got[] = { row->low, row->nominal, row->high };

  for (int i = 0; i < 3; i++)
    g_assert_true (isnan (wanted[i]) ? isnan (got[i]) : fabs (got[i] - wanted[i]) < 5e-4 * fabs (wanted[i]));
}

static void
test_sources (void)
{
  /* data sheets of the generic types, read */
  assert_row ("7805 class: output", 4.75, 5, 5.25);
  assert_row ("7812 class: output", 11.4, 12, 12.6);
  assert_row ("TL431 class: reference input", 2.44, 2.495, 2.55);
  assert_row ("2003 class array: output on, 350 mA", NAN, 1.3, 1.6);
  assert_row ("12 V relay of 400 mW: coil", 324, 360, 396);
  assert_row ("12 V relay of 400 mW: coil driven", 9, 12, 20.4);
  /* IEC 60038 and ANSI C84.1 range A, quoted second-hand; the volts are products */
  assert_row ("230 V mains ±10 %", 207, 230, 253);
  assert_row ("120 V mains, range A", 114, 120, 126);
  /* IEC 60751: 138.51 ohm at 100 degC; class B 0.8 K there, from memory, is 0.30 ohm */
  assert_row ("Pt100 at 100 °C, class B", 138.21, 138.51, 138.81);
  /* NAMUR NE 43: 3.8 to 20.5 mA are valid */
  assert_row ("4-20 mA loop: valid signal", 3.8e-3, NAN, 20.5e-3);
  /* computed: peak of the mains limits */
  assert_row ("DC link from 230 V ±10 %, no load", 292.7, 325.3, 357.8);
}

static gboolean
is_offered (const BlBoard *board, const char *measurement, const char *what, guint most)
{
  guint n;
  g_autoptr (GPtrArray) rows = bl_limits_for (board, bl_board_measurement (board, measurement), &n);

  g_assert_cmpuint (n, <=, rows->len);
  for (guint i = 0; i < MIN (n, most); i++)
    if (g_str_equal (((BlLimit *) rows->pdata[i])->what, what))
      return TRUE;
  return FALSE;
}

static void
test_offered (void)
{
  g_autoptr (BlBoard) wall = demo_board ("wall-board.json"), roof = demo_board ("roof-board.json");
  const BlComponent *component = NULL;
  BlLimitFit fit;

  /* Among the first of those that fit, though other parts of the stage have rows too. */
  g_assert_true (is_offered (wall, "V5", "7805 class: output", 3));
  g_assert_true (is_offered (wall, "V12", "7812 class: output", 3));
  g_assert_true (is_offered (wall, "R-K1", "12 V relay of 400 mW: coil", 4));
  g_assert_true (is_offered (wall, "LN", "230 V mains ±10 %", 3));
  g_assert_true (is_offered (roof, "BUS", "DC link from 230 V ±10 %, no load", 5));
  g_assert_true (is_offered (roof, "RF", "TL431 class: reference input", 4));
  g_assert_false (is_offered (wall, "V5", "TL431 class: reference input", 99));
  g_assert_true (bl_limit_fit (find ("7805 class: output"), wall, bl_board_measurement (wall, "V5"), &fit, &component));
  g_assert_cmpint (fit, ==, BL_LIMIT_OF_VALUE);
  g_assert_cmpstr (component->id, ==, "U2");
  g_assert_false (
    bl_limit_fit (find ("7805 class: output"), wall, bl_board_measurement (wall, "R-K1"), &fit, &component));
}

/* A limit of another class stays unless the new band runs into it. */
static void
test_apply (void)
{
  g_autoptr (BlMeasurement) m = bl_measurement_new ();

  m->measures = BL_MEASURES_V_AC;
  m->expected.absent_below = (BlQuantity){ 100, NULL };
  m->expected.tolerance = g_strdup ("5 %");
  bl_limit_apply (find ("230 V mains ±10 %"), &m->expected);
  g_assert_cmpfloat (m->expected.absent_below.value, ==, 100);
  g_assert_null (m->expected.tolerance);
  bl_limit_apply (find ("24 V AC winding at rated load, mains ±10 %"), &m->expected);
  g_assert_false (bl_quantity_is_set (&m->expected.absent_below));
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/limits/rows", test_rows);
  g_test_add_func ("/limits/sources", test_sources);
  g_test_add_func ("/limits/offered", test_offered);
  g_test_add_func ("/limits/apply", test_apply);
  return g_test_run ();
}
