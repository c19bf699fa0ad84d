/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Preferred values: the tables of IEC 60063 as published, and answers that others have published. */
#undef G_DISABLE_ASSERT
#include "bl-e-series.h"

#include <stdlib.h>

/* IEC 60063, E6, E12, E24 and E96 as three public tables give them, checked against each other
 * (gist.github.com/cibomahto, pastebin.com/sJzhzBnP, iec60063.m of github.com/leastrobino/matlab-functions);
 * seen in the source. E3 is every second value of E6, from memory. */
static const guint e3[] = { 10, 22, 47 };
static const guint e6[] = { 10, 15, 22, 33, 47, 68 };
static const guint e12[] = { 10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82 };
static const guint e24[] = { 10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30,
                             33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91 };
static const guint e96[] = {
  100, 102, 105, 107, 110, 113, 115, 118, 121, 124, 127, 130, 133, 137, 140, 143, 147, 150, 154, 158, 162, 165, 169, 174,
  178, 182, 187, 191, 196, 200, 205, 210, 215, 221, 226, 232, 237, 243, 249, 255, 261, 267, 274, 280, 287, 294, 301, 309,
  316, 324, 332, 340, 348, 357, 365, 374, 383, 392, 402, 412, 422, 432, 442, 453, 464, 475, 487, 499, 511, 523, 536, 549,
  562, 576, 590, 604, 619, 634, 649, 665, 681, 698, 715, 732, 750, 768, 787, 806, 825, 845, 866, 887, 909, 931, 953, 976
};

static void
check_table (BlESeries series, const guint *values, guint n, guint factor)
{
  g_assert_cmpuint (n, ==, series);
  for (guint i = 0; i < n; i++)
    g_assert_cmpuint (bl_e_series_step (series, i), ==, values[i] * factor);
  g_assert_cmpuint (bl_e_series_step (series, n), ==, 0);
}

static void
test_tables (void)
{
  check_table (BL_E3, e3, G_N_ELEMENTS (e3), 10);
  check_table (BL_E6, e6, G_N_ELEMENTS (e6), 10);
  check_table (BL_E12, e12, G_N_ELEMENTS (e12), 10);
  check_table (BL_E24, e24, G_N_ELEMENTS (e24), 10);
  check_table (BL_E96, e96, G_N_ELEMENTS (e96), 1);
}

/* E48 is every second value of E96, which is every second of E192 (from memory). 9.20 is in E192 where
 * the rule gives 9.19: the rule's figure computed, 9.20 from memory. */
static void
test_fine_series (void)
{
  guint exceptions = 0;

  for (guint i = 0; i < 48; i++)
    g_assert_cmpuint (bl_e_series_step (BL_E48, i), ==, e96[2 * i]);
  for (guint i = 0; i < 96; i++)
    g_assert_cmpuint (bl_e_series_step (BL_E192, 2 * i), ==, e96[i]);
  for (guint i = 0; i < 192; i++)
    if (bl_e_series_step (BL_E192, i) != (guint) lround (100 * pow (10, i / 192.0)))
      {
        exceptions++;
        g_assert_cmpuint (bl_e_series_step (BL_E192, i), ==, 920);
        g_assert_cmpint (lround (100 * pow (10, i / 192.0)), ==, 919);
      }
  g_assert_cmpuint (exceptions, ==, 1);
}

static const struct
{
  BlESeries series;
  double value, nearest;
} published[] = {
  /* Documentation of a program for schematics, help text of its resistor calculator: seen in the source. */
  { BL_E96, 16834.2, 16900 },
  /* Documentation of the Python package eseries: seen in the source. */
  { BL_E24, 319, 330 },
  /* Examples of round63, file 48840 of the MATLAB file exchange: seen in the source. There "nearest" by
   * geometric mean is nearest by ratio. */
  { BL_E12, 500, 470 },
  { BL_E12, 5, 4.7 },
  { BL_E12, 42, 39 },
  { BL_E12, 18, 18 },
  { BL_E12, 100, 100 },
  { BL_E6, 5, 4.7 },
  { BL_E6, 42, 47 },
  { BL_E6, 100, 100 },
};

static void
test_nearest (void)
{
  for (gsize i = 0; i < G_N_ELEMENTS (published); i++)
    g_assert_cmpfloat (bl_e_series_nearest (published[i].series, published[i].value), ==, published[i].nearest);
  /* By ratio and not by difference, computed: 18/15 = 1.200 against 22/18 = 1.222. */
  g_assert_cmpfloat (bl_e_series_nearest (BL_E6, 18), ==, 15);
  /* Over the end of a decade, computed: 98/91 against 100/98. */
  g_assert_cmpfloat (bl_e_series_nearest (BL_E24, 98e3), ==, 100e3);
  g_assert_cmpfloat (bl_e_series_nearest (BL_E3, 0.99), ==, 1);
  g_assert_cmpfloat (bl_e_series_nearest (BL_E96, 4.7e-9), ==, 4.75e-9);
}

/* Documentation of the Python package eseries: next E96 value from 184 up is 187, and the E24 values
 * about 5000 are 4700, 5100 and 5600 (seen in the source). */
static void
test_neighbours (void)
{
  double below, above;

  g_assert_true (bl_e_series_neighbours (BL_E96, 184, NULL, &above));
  g_assert_cmpfloat (above, ==, 187);
  g_assert_true (bl_e_series_neighbours (BL_E24, 5000, &below, &above));
  g_assert_cmpfloat (below, ==, 4700);
  g_assert_cmpfloat (above, ==, 5100);
  g_assert_true (bl_e_series_neighbours (BL_E24, 5100, &below, &above));
  g_assert_cmpfloat (below, ==, 4700);
  g_assert_cmpfloat (above, ==, 5600);
  g_assert_true (bl_e_series_neighbours (BL_E24, 10e-6, &below, &above));
  g_assert_cmpfloat (below, ==, 9.1e-6);
  g_assert_cmpfloat (above, ==, 11e-6);
}

static void
test_membership (void)
{
  g_assert_cmpint (bl_e_series_of (4700), ==, BL_E3);
  g_assert_cmpint (bl_e_series_of (3.3e-6), ==, BL_E6);
  g_assert_cmpint (bl_e_series_of (0.82), ==, BL_E12);
  g_assert_cmpint (bl_e_series_of (5100), ==, BL_E24);
  g_assert_cmpint (bl_e_series_of (48.7e3), ==, BL_E48);
  g_assert_cmpint (bl_e_series_of (4990), ==, BL_E96);
  g_assert_cmpint (bl_e_series_of (1.05e3), ==, BL_E48);
  g_assert_cmpint (bl_e_series_of (9200), ==, BL_E192);
  g_assert_cmpint (bl_e_series_of (9190), ==, BL_E_NONE);
  g_assert_cmpint (bl_e_series_of (5000), ==, BL_E_NONE);
  g_assert_false (bl_e_series_has (BL_E96, 4700));
  g_assert_true (bl_e_series_has (BL_E192, 1e-12));
}

/* Every value of every series over thirty decades is in it, is its own nearest and lies between its
 * neighbours; one that is off by a part in ten thousand is in no series. */
static void
test_decades (void)
{
  static const BlESeries all[] = { BL_E3, BL_E6, BL_E12, BL_E24, BL_E48, BL_E96, BL_E192 };

  for (gsize s = 0; s < G_N_ELEMENTS (all); s++)
    for (int decade = -15; decade <= 15; decade += 3)
      for (guint i = 0; i < (guint) all[s]; i++)
        {
          g_autofree char *text = g_strdup_printf ("%ue%d", bl_e_series_step (all[s], i), decade);
          double value = strtod (text, NULL), below, above;

          g_assert_true (bl_e_series_has (all[s], value));
          g_assert_cmpfloat (bl_e_series_nearest (all[s], value), ==, value);
          g_assert_cmpfloat (bl_e_series_nearest (all[s], value * 1.0001), ==, value);
          g_assert_false (bl_e_series_has (all[s], value * 1.0001));
          g_assert_true (bl_e_series_neighbours (all[s], value, &below, &above));
          g_assert_cmpfloat (below, <, value);
          g_assert_cmpfloat (above, >, value);
          g_assert_true (bl_e_series_has (all[s], below) && bl_e_series_has (all[s], above));
        }
}

static void
test_no_value (void)
{
  static const double none[] = { 0, -1, NAN, INFINITY, -INFINITY, 1e-40, 1e40 };
  double below, above;

  for (gsize i = 0; i < G_N_ELEMENTS (none); i++)
    {
      g_assert_true (isnan (bl_e_series_nearest (BL_E24, none[i])));
      g_assert_cmpint (bl_e_series_of (none[i]), ==, BL_E_NONE);
      g_assert_false (bl_e_series_neighbours (BL_E24, none[i], &below, &above));
      g_assert_true (isnan (below) && isnan (above));
    }
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/e-series/tables", test_tables);
  g_test_add_func ("/core/e-series/fine-series", test_fine_series);
  g_test_add_func ("/core/e-series/nearest", test_nearest);
  g_test_add_func ("/core/e-series/neighbours", test_neighbours);
  g_test_add_func ("/core/e-series/membership", test_membership);
  g_test_add_func ("/core/e-series/decades", test_decades);
  g_test_add_func ("/core/e-series/no-value", test_no_value);
  return g_test_run ();
}
