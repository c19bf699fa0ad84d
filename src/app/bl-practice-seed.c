/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The one place that draws seeds: what is practised differs each time, but a test that fails can be repeated. */
#include "config.h"

#include "bl-practice-seed.h"

#include "bl-practice.h"

static GRand *
new_random (void)
{
  const char *wish = g_getenv ("BENCHLORE_SEED");
  guint64 seed;

  return wish != NULL && g_ascii_string_to_unsigned (wish, 10, 0, G_MAXUINT32, &seed, NULL)
           ? g_rand_new_with_seed ((guint32) seed) : g_rand_new ();
}

guint32
bl_practice_new_seed (void)
{
  static GRand *random; /* for as long as the program runs */

  if (random == NULL)
    random = new_random ();
  return (guint32) g_rand_int_range (random, 1, BL_PRACTICE_MOST_SEED + 1);
}
