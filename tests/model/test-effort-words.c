/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Time in words: exact below ten minutes, so that a part of it can be compared with the whole. */
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
  g_test_add_func ("/model/effort-words/no-time", test_no_time);
  return g_test_run ();
}
