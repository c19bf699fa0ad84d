/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lamp flashes tapped along. Groups of 0.5 s on and 0.5 s off with 2.5 s dark between them: a published service
 * manual's table of lamp codes. Spread of a tapping finger, 20 to 60 ms at intervals of half a second to one second:
 * from memory, after B. Repp, Sensorimotor synchronization (Psychonomic Bulletin & Review 12, 2005). */
#include "config.h"

#include "bl-taps.h"

#include <math.h>

/* Taps of groups of count flashes (0: without a pause), from flash first on. */
typedef struct
{
  guint count, first, n;
  double period, pause, spread, missed;
} Tapper;

static double
normal (GRand *rand)
{
  return sqrt (-2 * log (1 - g_rand_double (rand))) * cos (2 * G_PI * g_rand_double (rand));
}

static guint
tap (const Tapper *tapper, GRand *rand, double *times)
{
  guint n = 0;
  double at = 0;

  for (guint i = tapper->first; n < tapper->n; i++)
    {
      if (g_rand_double (rand) >= tapper->missed)
        times[n++] = at + tapper->spread * normal (rand);
      at += tapper->count > 0 && i % tapper->count == tapper->count - 1 ? tapper->pause : tapper->period;
    }
  return n;
}

static BlTaps
read_even (guint count, guint first, guint n, double period, double pause, double quiet)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (1);
  double times[100];
  BlTaps taps;

  tap (&(Tapper) { count, first, n, period, pause, 0, 0 }, rand, times);
  bl_taps_read (times, n, quiet, &taps);
  return taps;
}

static void
test_even (void)
{
  for (guint count = 2; count <= 12; count++)
    {
      BlTaps taps = read_even (count, 0, 2 * count, 1, 3, 3);
      g_assert_cmpint (taps.kind, ==, BL_TAPS_COUNT);
      g_assert_cmpuint (taps.count, ==, count);
      g_assert_cmpfloat_with_epsilon (taps.rate_hz, 1, 1e-9);
      g_assert_cmpfloat_with_epsilon (taps.pause_s, 3, 1e-9);
    }
  BlTaps taps = read_even (0, 0, 10, .5, 0, 0);
  g_assert_cmpint (taps.kind, ==, BL_TAPS_RATE);
  g_assert_cmpfloat_with_epsilon (taps.rate_hz, 2, 1e-9);
}

/* Begun in the midst of a group, ended in the midst of another. */
static void
test_cut_short (void)
{
  BlTaps taps = read_even (6, 4, 2 + 6 + 6 + 3, 1, 3, 0);

  g_assert_cmpint (taps.kind, ==, BL_TAPS_COUNT);
  g_assert_cmpuint (taps.count, ==, 6);
}

/* One group alone may be the beginning of flashes without a pause: it is not decided, and both are named. */
static void
test_too_few (void)
{
  BlTaps taps = read_even (5, 0, 1, 1, 3, 0);

  g_assert_cmpint (taps.kind, ==, BL_TAPS_UNDECIDED);
  taps = read_even (5, 0, 5, 1, 3, 3);
  g_assert_cmpint (taps.kind, ==, BL_TAPS_UNDECIDED);
  g_assert_cmpfloat (taps.share + taps.other_share, >, .9);
  bl_taps_read (NULL, 0, 0, &taps);
  g_assert_cmpint (taps.kind, ==, BL_TAPS_UNDECIDED);
  g_assert_true (isnan (taps.rate_hz));
}

/* People at the lamp: three whole groups, one flash in fifty missed. */
static void
test_people (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (7);
  guint right = 0, wrong = 0, tried = 0;
  double times[100];
  BlTaps taps;

  for (guint count = 2; count <= 9; count++)
    for (guint i = 0; i < 60; i++, tried++)
      {
        guint first = g_rand_int_range (rand, 0, (gint32) count);
        guint n = tap (&(Tapper) { count, first, 4 * count - first, g_rand_double_range (rand, .4, 1.2),
                                   g_rand_double_range (rand, 2.2, 3.5), .05, .02 }, rand, times);
        bl_taps_read (times, n, 4, &taps);
        right += taps.kind == BL_TAPS_COUNT && taps.count == count;
        wrong += taps.kind == BL_TAPS_RATE || (taps.kind == BL_TAPS_COUNT && taps.count != count);
      }
  g_test_message ("groups: %u of %u right, %u wrong, the rest undecided", right, tried, wrong);
  g_assert_cmpuint (right, >, tried * 95 / 100);
  g_assert_cmpuint (wrong, <, tried * 2 / 100);
}

/* The longer somebody taps, the surer it is that no pause comes. */
static void
people_rate (guint n_taps, guint least_right)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (8);
  guint right = 0, wrong = 0;
  double times[100];
  BlTaps taps;

  for (guint i = 0; i < 300; i++)
    {
      double period = g_rand_double_range (rand, .3, 1.2);
      guint n = tap (&(Tapper) { 0, 0, n_taps, period, 0, .04, .02 }, rand, times);
      bl_taps_read (times, n, 0, &taps);
      right += taps.kind == BL_TAPS_RATE && fabs (taps.rate_hz * period - 1) < .1;
      wrong += taps.kind == BL_TAPS_COUNT;
    }
  g_test_message ("without a pause, %u taps: %u of 300 right, %u wrong", n_taps, right, wrong);
  g_assert_cmpuint (right, >, least_right);
  g_assert_cmpuint (wrong, <, 9);
}

static void
test_people_rate (void)
{
  people_rate (12, 235);
  people_rate (20, 255);
}

/* Nothing that is pressed makes it fail: bursts, one instant, backwards. */
static void
test_any (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (9);
  double times[400];
  BlTaps taps;

  for (guint i = 0; i < 300; i++)
    {
      guint n = (guint) g_rand_int_range (rand, 0, 400);
      for (guint j = 0; j < n; j++)
        times[j] = i % 3 == 0 ? g_rand_double (rand) : (j == 0 ? 0 : times[j - 1]) + exp (g_rand_double_range (rand, -9, 3));
      bl_taps_read (times, n, g_rand_double (rand), &taps);
      g_assert_true (taps.share >= 0 && taps.share <= 1 && taps.count <= BL_TAPS_MOST);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/taps/even", test_even);
  g_test_add_func ("/taps/cut-short", test_cut_short);
  g_test_add_func ("/taps/too-few", test_too_few);
  g_test_add_func ("/taps/people", test_people);
  g_test_add_func ("/taps/people-rate", test_people_rate);
  g_test_add_func ("/taps/any", test_any);
  return g_test_run ();
}
