/* SPDX-License-Identifier: GPL-3.0-or-later
 * Where a band comes from, in few words and in all. */
#include "config.h"

#include "bl-band-words.h"

#include <string.h>

#include "example.h"

static void
assert_short (const char *source, const char *wanted)
{
  g_autoptr (BlMeasurement) m = bl_measurement_new ();
  m->has_expected = TRUE;
  m->expected.source = g_strdup (source);
  g_autofree char *words = bl_band_from_short (m, NULL, NAN);

  g_assert_cmpstr (words, ==, wanted);
}

static void
test_short (void)
{
  assert_short (NULL, "source not said");
  assert_short ("", "source not said");
  assert_short ("datasheet", "datasheet");
  assert_short ("IEC 60038 230 V ±10 %", "IEC 60038 230 V ±10 %");
  assert_short ("threshold of the proof, common practice, no source", "common practice, no source");
  assert_short ("one board, read in job 12, provisional", "provisional: one board read once");
  assert_short ("7805 class: output, 5 mA to 1 A (data sheet of the 78xx series, source named)", "7805 class: output");
  assert_short ("computed with a circuit simulator on our own generic netlist, limits from part tolerances",
                "computed with a circuit …");
  /* One word too long: cut, but at a character. */
  assert_short ("übermäßiglangesquellenwortohnejedeleerstelle", "übermäßiglangesquellenwortohne …");
}

static void
test_follows (void)
{
  g_autoptr (BlBoard) board = example_board ();
  BlMeasurement *m = bl_board_measurement (board, "M5"), *other = bl_board_measurement (board, "M0");
  static const double points[] = { 0, 0, 10, 5 };

  m->expected.follows = bl_follows_new ();
  m->expected.follows->measurement = g_strdup (other->id);
  m->expected.follows->tolerance = 0.1;
  m->expected.follows->points = g_array_new (FALSE, FALSE, sizeof (double));
  g_array_append_vals (m->expected.follows->points, points, 4);
  g_autoptr (BlBand) unread = bl_band_resolve (m, NAN, 0, NULL), read = bl_band_resolve (m, 9.5, 0, NULL);

  g_autofree char *first = bl_band_from_short (m, unread, NAN), *then = bl_band_from_short (m, read, 9.5);
  g_assert_cmpstr (first, ==, "read M0 first");
  g_assert_cmpstr (then, ==, "follows M0 (9.5)");
  g_autofree char *long_first = bl_band_from_long (board, m, unread, NAN);
  g_autofree char *long_then = bl_band_from_long (board, m, read, 9.5);
  g_assert_nonnull (strstr (long_first, "which was not read"));
  g_assert_nonnull (strstr (long_first, "4.8 – 5.2"));
  g_assert_nonnull (strstr (long_then, "follows M0 (bulk capacitor, 9.5 V DC)"));
  g_assert_nonnull (strstr (long_then, "datasheet"));
  g_autofree char *kept = bl_band_from_kept (read), *none = bl_band_from_kept (NULL);
  g_assert_cmpstr (kept, ==, "follows M0, datasheet");
  g_assert_cmpstr (none, ==, "");
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/band-words/short", test_short);
  g_test_add_func ("/model/band-words/follows", test_follows);
  return g_test_run ();
}
