/* SPDX-License-Identifier: GPL-3.0-or-later
 * Discharge of a capacitor against published figures, what a document says of it, and the shop's limits. */
#include "config.h"

#include "bl-discharge.h"
#include "bl-document.h"
#include "bl-safe-limits.h"

/* Universal time constant chart of the NEETS (Navy Electricity and Electronics Training Series), module 2, RC
 * discharge: per cent of the voltage after 1 to 5 time constants (from memory). */
static void
test_chart (void)
{
  static const double left[] = { 36.8, 13.5, 5.0, 1.8, 0.7 };

  for (guint n = 1; n <= G_N_ELEMENTS (left); n++)
    { /* the chart's last figure is rounded */
      g_assert_cmpfloat (bl_discharge_time (100, left[n - 1] + 0.051, 1e6, 1e-6), <, n);
      g_assert_cmpfloat (bl_discharge_time (100, left[n - 1] - 0.051, 1e6, 1e-6), >, n);
    }
}

/* IEC 60950-1, 2.1.1.7 (from memory): uF times Mohm is the time constant in s, in which the voltage falls to 37 %. A
 * line filter of 0.47 uF and 1 Mohm: 0.47 s. IEC 60335-1, 22.5: not more than 34 V at the plug after 1 s (from
 * memory): 230 V r.m.s. at its peak is 325 V, and just under a second for 0.44 uF and 1 Mohm. */
static void
test_standards (void)
{
  g_assert_cmpfloat_with_epsilon (bl_discharge_time (325, 0.3679 * 325, 1e6, 0.47e-6), 0.47, 0.001);
  g_assert_cmpfloat (bl_discharge_time (325, 34, 1e6, 0.44e-6), <, 1);
  g_assert_cmpfloat (bl_discharge_time (325, 34, 1e6, 0.47e-6), >, 1);
}

/* Common practice, no source: a bulk capacitor of 330 uF at 340 V takes 126 s to 60 V by its own 220 kohm, and is under
 * 10 V in 2.6 s through 2.2 kohm; 1360 uF take 519 s and 10.6 s. */
static void
test_bulk (void)
{
  g_assert_cmpfloat_with_epsilon (bl_discharge_time (340, 60, 220e3, 330e-6), 126, 0.5);
  g_assert_cmpfloat_with_epsilon (bl_discharge_time (340, 60, 220e3, 1360e-6), 519, 0.5);
  g_assert_cmpfloat_with_epsilon (bl_discharge_time (340, 10, 2200, 330e-6), 2.6, 0.05);
  g_assert_cmpfloat_with_epsilon (bl_discharge_time (340, 10, 2200, 1360e-6), 10.6, 0.05);
}

static void
test_edges (void)
{
  g_assert_cmpfloat (bl_discharge_time (50, 60, 220e3, 330e-6), ==, 0);
  g_assert_true (isinf (bl_discharge_time (340, 60, INFINITY, 330e-6)));
  g_assert_true (isinf (bl_discharge_time (340, 0, 220e3, 330e-6)));
  g_assert_true (isnan (bl_discharge_time (NAN, 60, 220e3, 330e-6)));
}

#define HEAD "{'format': 'benchlore-board', 'version': 1, 'mains': {'voltage': 230, 'frequency': 50}, "
#define PARTS                                                                                                         \
  "'sections': [{'id': 'supply'}], 'stages': [{'id': 'bulk', 'section': 'supply'}], 'components': ["                  \
  "{'id': 'C1', 'kind': 'capacitor.electrolytic', 'value': '330 uF 450 V', 'stage': 'bulk'},"                         \
  "{'id': 'R2', 'kind': 'resistor', 'value': '220k 2 W', 'stage': 'bulk'},"                                           \
  "{'id': 'R3', 'kind': 'resistor', 'value': '100k 1%', 'stage': 'bulk'},"                                            \
  "{'id': 'K1', 'kind': 'relay', 'stage': 'bulk'}],"
#define AC                                                                                                            \
  "'measurements': [{'id': 'A', 'measures': 'V AC', 'state': 'ac', 'expected': {'nominal': 48}},"                     \
  "{'id': 'B', 'measures': 'V AC', 'state': 'ac24', 'expected': {'nominal': 24}}],"

static BlBoard *
board_of (const char *states, GError **error)
{
  g_autoptr (GString) text = g_string_new (HEAD PARTS AC);

  g_string_append_printf (text, "'states': [{'id': 'ac', 'live': true, 'volts': 48},"
                                " {'id': 'ac24', 'live': true, 'volts': 24}, %s]}", states);
  g_string_replace (text, "'", "\"", 0);
  return bl_document_parse (text->str, -1, NULL, error);
}

static void
test_document (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = board_of ("{'id': 'off', 'live': false, 'capacitor': 'C1', 'bleeder': 'R2'},"
                                        "{'id': 'exact', 'live': false, 'capacitor': 'C1', 'bleeder': 'R3'},"
                                        "{'id': 'none', 'live': false, 'capacitor': 'C1'},"
                                        "{'id': 'unread', 'live': false, 'capacitor': 'C1', 'bleeder': 'K1'},"
                                        "{'id': 'run', 'live': true, 'volts': 360}", &error);
  BlDischarge discharge;

  g_assert_no_error (error);
  g_assert_true (bl_discharge_of (board, bl_board_state (board, "off"), &discharge));
  g_assert_cmpstr (discharge.capacitor->id, ==, "C1");
  g_assert_cmpstr (discharge.bleeder->id, ==, "R2");
  g_assert_cmpfloat_with_epsilon (discharge.c, 330e-6, 1e-12);
  g_assert_cmpfloat_with_epsilon (discharge.r, 220e3, 1e-6);
  /* No tolerance is said: the usual ones. */
  g_assert_cmpfloat_with_epsilon (discharge.c_most, 396e-6, 1e-12);
  g_assert_cmpfloat_with_epsilon (discharge.r_most, 231e3, 1e-6);
  g_assert_true (bl_discharge_of (board, bl_board_state (board, "exact"), &discharge));
  g_assert_cmpfloat_with_epsilon (discharge.r_most, 101e3, 1e-6);
  /* Nothing bleeds it: it keeps its charge for ever as far as anybody knows. */
  g_assert_true (bl_discharge_of (board, bl_board_state (board, "none"), &discharge));
  g_assert_null (discharge.bleeder);
  g_assert_true (isinf (bl_discharge_time (360, 60, discharge.r_most, discharge.c_most)));
  g_assert_false (bl_discharge_of (board, bl_board_state (board, "unread"), &discharge));
  g_assert_false (bl_discharge_of (board, bl_board_state (board, "run"), &discharge));
  g_assert_cmpfloat (bl_discharge_from (board, bl_board_state (board, "run")), ==, 360);
  /* Peak of 230 V plus 10 %. */
  g_assert_cmpfloat_with_epsilon (bl_discharge_from (board, NULL), 357.8, 0.1);
}

static void
test_refused (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = board_of ("{'id': 'off', 'live': false, 'capacitor': 'C9'}", &error);

  g_assert_null (board);
  g_assert_nonnull (strstr (error->message, "capacitor"));
}

static void
test_limits (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = board_of ("{'id': 'off', 'live': false}, {'id': 'low', 'live': true, 'volts': 60},"
                                        "{'id': 'high', 'live': true, 'volts': 60.1}, {'id': 'untold', 'live': true},"
                                        "{'id': 'unsaid'}", &error);
  BlSafeLimits limits = BL_SAFE_LIMITS;
  static const struct
  {
    const char *state;
    gboolean shocks;
  } rows[] = { { "off", FALSE },  { "low", FALSE }, { "high", TRUE }, { "untold", TRUE },
               { "unsaid", TRUE }, { "ac", TRUE },   { "ac24", FALSE }, { "gone", TRUE } };

  g_assert_no_error (error);
  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_test_message ("%s", rows[i].state);
      g_assert_cmpint (bl_safe_state_shocks (board, bl_board_state (board, rows[i].state), &limits), ==,
                       rows[i].shocks);
    }
  /* A shop with stricter limits. */
  limits.shock_dc = 50;
  limits.shock_ac = 20;
  g_assert_true (bl_safe_state_shocks (board, bl_board_state (board, "low"), &limits));
  g_assert_true (bl_safe_state_shocks (board, bl_board_state (board, "ac24"), &limits));
  limits = (BlSafeLimits){ -1, NAN, 0, 30 };
  g_assert_true (bl_safe_limits_mend (&limits));
  g_assert_cmpfloat (limits.shock_dc, ==, 60);
  g_assert_cmpfloat (limits.shock_ac, ==, 30);
  g_assert_cmpfloat (limits.ohms_below, ==, 10);
  g_assert_cmpfloat (limits.again_s, ==, 30);
  g_assert_false (bl_safe_limits_mend (&limits));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/discharge/chart", test_chart);
  g_test_add_func ("/core/discharge/standards", test_standards);
  g_test_add_func ("/core/discharge/bulk", test_bulk);
  g_test_add_func ("/core/discharge/edges", test_edges);
  g_test_add_func ("/core/discharge/document", test_document);
  g_test_add_func ("/core/discharge/refused", test_refused);
  g_test_add_func ("/core/discharge/limits", test_limits);
  return g_test_run ();
}
