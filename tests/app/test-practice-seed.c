/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Seeds of what is practised: the same ones at each start where the environment says so, else others each time. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-practice-seed.h"

#include "bl-practice.h"

#include <string.h>

#define N 12

/* Told in a process of its own, as they are drawn once for each. */
static void
tell (void)
{
  for (guint i = 0; i < N; i++)
    {
      guint32 seed = bl_practice_new_seed ();
      g_assert_cmpuint (seed, >=, 1);
      g_assert_cmpuint (seed, <=, BL_PRACTICE_MOST_SEED);
      g_print ("%u ", seed);
    }
}

/* What another start with this in the environment draws. (transfer full) */
static char *
told (const char *wish)
{
  char *self = g_file_read_link ("/proc/self/exe", NULL);
  char *command[] = { self, (char *) "tell", NULL };
  g_auto (GStrv) environment = g_get_environ ();
  g_autoptr (GError) error = NULL;
  char *words = NULL;
  int status = 0;

  environment = wish != NULL ? g_environ_setenv (environment, "BENCHLORE_SEED", wish, TRUE)
                             : g_environ_unsetenv (environment, "BENCHLORE_SEED");
  g_spawn_sync (NULL, command, environment, G_SPAWN_DEFAULT, NULL, NULL, &words, NULL, &status, &error);
  g_assert_no_error (error);
  g_assert_cmpint (status, ==, 0);
  g_free (self);
  return words;
}

static void
test_seeds (void)
{
  g_autofree char *one = told ("7"), *again = told ("7"), *other = told ("8");
  g_autofree char *any = told (NULL), *another = told (NULL), *wrong = told ("seven"), *empty = told ("");
  g_auto (GStrv) seeds = g_strsplit (one, " ", -1);

  g_assert_cmpuint (g_strv_length (seeds), ==, N + 1);
  g_assert_cmpstr (seeds[0], !=, seeds[1]);
  g_assert_cmpstr (one, ==, again);
  g_assert_cmpstr (one, !=, other);
  g_assert_cmpstr (any, !=, another);
  g_assert_cmpstr (wrong, !=, empty);
}

int
main (int argc, char **argv)
{
  if (argc == 2 && strcmp (argv[1], "tell") == 0)
    {
      tell ();
      return 0;
    }
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/app/practice-seed/seeds", test_seeds);
  return g_test_run ();
}
