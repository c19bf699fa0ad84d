/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Spaced repetition day by day on a clock of its own, and the weights of weak topics. */
#include "config.h"

#include "bl-spacing.h"

#define DAY1 739000u

static void
test_doubling (void)
{
  static const guint32 gaps[] = { 1, 2, 4, 8, 16, 32, 64, 64, 64 };
  BlSpacing spacing = { 0 };
  guint answered = 0;
  guint32 last = DAY1;

  g_assert_cmpuint (spacing.due, ==, 0);
  bl_spacing_answer (&spacing, TRUE, DAY1);
  for (guint32 day = DAY1; answered < G_N_ELEMENTS (gaps); day++)
    if (spacing.due <= day)
      {
        g_assert_cmpuint (day - last, ==, gaps[answered]);
        answered++;
        last = day;
        bl_spacing_answer (&spacing, TRUE, day);
        g_assert_cmpuint (spacing.due, >, day);
        g_assert_cmpuint (spacing.streak, ==, answered + 1);
      }
}

static void
test_wrong (void)
{
  BlSpacing spacing = { 0 };

  bl_spacing_answer (&spacing, TRUE, DAY1);
  bl_spacing_answer (&spacing, TRUE, DAY1 + 1);
  bl_spacing_answer (&spacing, TRUE, DAY1 + 3);
  g_assert_cmpuint (spacing.due, ==, DAY1 + 7);
  bl_spacing_answer (&spacing, FALSE, DAY1 + 7);
  g_assert_cmpuint (spacing.due, ==, DAY1 + 7);
  g_assert_cmpuint (spacing.streak, ==, 0);
  bl_spacing_answer (&spacing, FALSE, DAY1 + 7);
  g_assert_cmpuint (spacing.due, ==, DAY1 + 7);
  bl_spacing_answer (&spacing, TRUE, DAY1 + 7);
  g_assert_cmpuint (spacing.due, ==, DAY1 + 8);
  bl_spacing_answer (&spacing, TRUE, DAY1 + 8);
  g_assert_cmpuint (spacing.due, ==, DAY1 + 10);
}

/* Crowding answers into a day gets nobody further; coming late is not punished. */
static void
test_early_and_late (void)
{
  BlSpacing spacing = { 0 };

  for (guint i = 0; i < 5; i++)
    bl_spacing_answer (&spacing, TRUE, DAY1);
  g_assert_cmpuint (spacing.due, ==, DAY1 + 1);
  bl_spacing_answer (&spacing, TRUE, DAY1 + 100);
  g_assert_cmpuint (spacing.due, ==, DAY1 + 102);
}

static void
test_weak (void)
{
  const double weights[] = { 0, 1, 0, 3 };

  g_assert_cmpfloat (bl_weak_share (0, 0), ==, 2.5);
  g_assert_cmpfloat (bl_weak_share (8, 0), <, bl_weak_share (8, 1));
  g_assert_cmpfloat (bl_weak_share (0, 8), >, bl_weak_share (1, 8));
  g_assert_cmpfloat (bl_weak_share (100000, 0), <, 1.001);
  g_assert_cmpfloat (bl_weak_share (0, 100000), >, 3.999);
  g_assert_cmpuint (bl_weak_draw (weights, 4, 0), ==, 1);
  g_assert_cmpuint (bl_weak_draw (weights, 4, 0.2499), ==, 1);
  g_assert_cmpuint (bl_weak_draw (weights, 4, 0.2501), ==, 3);
  g_assert_cmpuint (bl_weak_draw (weights, 4, 0.9999999), ==, 3);
  g_assert_cmpuint (bl_weak_draw (weights, 1, 0.5), ==, G_MAXUINT);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/spacing/doubling", test_doubling);
  g_test_add_func ("/spacing/wrong", test_wrong);
  g_test_add_func ("/spacing/early-and-late", test_early_and_late);
  g_test_add_func ("/spacing/weak", test_weak);
  return g_test_run ();
}
