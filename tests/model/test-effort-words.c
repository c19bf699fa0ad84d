/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Time in words: exact below ten minutes, so that a part of it can be compared with the whole. Estimates rounded. */
#include "config.h"

#include "bl-effort-words.h"

#include <math.h>

static void
assert_words (double seconds, const char *expected)
{
  g_autofree char *words = bl_effort_words (seconds);

  g_assert_cmpstr (words, ==, expected);
}

static void
test_words (void)
{
  assert_words (0, "0 s");
  assert_words (-3, "0 s");
  assert_words (23.4, "23 s");
  assert_words (59.4, "59 s");
  assert_words (59.6, "1 min"); /* not 60 s */
  assert_words (90, "1 min 30 s");
  assert_words (125, "2 min 5 s");
  assert_words (180, "3 min");
  assert_words (599.4, "9 min 59 s");
  assert_words (599.6, "10 min");
  assert_words (629, "10 min"); /* to the nearest, not up */
  assert_words (631, "11 min");
  assert_words (3569, "59 min");
  assert_words (3571, "1 h");
  assert_words (3900, "1 h 5 min");
}

static void
assert_about (double seconds, const char *expected)
{
  g_autofree char *words = bl_effort_words_about (seconds);

  g_assert_cmpstr (words, ==, expected);
}

static void
test_about (void)
{
  assert_about (0, "0 s");
  assert_about (-3, "0 s");
  assert_about (1, "5 s"); /* not none */
  assert_about (23.4, "25 s");
  assert_about (57.4, "55 s");
  assert_about (57.6, "1 min");
  assert_about (74, "1 min");
  assert_about (99, "1 min 30 s");
  assert_about (110, "2 min");
  assert_about (584, "9 min 30 s");
  assert_about (586, "10 min");
  assert_about (631, "11 min");
  assert_about (3900, "1 h 5 min");
  assert_about (NAN, "–");
  assert_about (INFINITY, "–");
}

static void
test_no_time (void)
{
  assert_words (NAN, "–");
  assert_words (INFINITY, "–");
  assert_words (1e12, "–");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/effort-words/words", test_words);
  g_test_add_func ("/model/effort-words/about", test_about);
  g_test_add_func ("/model/effort-words/no-time", test_no_time);
  return g_test_run ();
}
