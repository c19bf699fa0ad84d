/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `compare`, run as its users run it. */
#undef G_DISABLE_ASSERT
#include <glib.h>
#include <glib/gstdio.h>
#include <jansson.h>
#include <string.h>
#include <sys/wait.h>

static char *
run (int *code, const char *first, const char *second, const char *third)
{
  const char *argv[] = { g_getenv ("BENCHLORE_CLI"), "compare", first, second, third, NULL };
  char *out = NULL;
  int status;
  g_assert_true (g_spawn_sync (NULL, (char **) argv, NULL, G_SPAWN_STDERR_TO_DEV_NULL, NULL, NULL, &out, NULL, &status, NULL));
  g_assert_true (WIFEXITED (status));
  *code = WEXITSTATUS (status);
  return out;
}

/* The example with another low limit, another edition mark and without a symptom's indication. */
static char *
changed (const char *example, const char *folder)
{
  json_t *board = json_load_file (example, 0, NULL);
  json_t *m5 = json_array_get (json_object_get (board, "measurements"), 1);
  json_object_set_new (board, "edition", json_string ("D"));
  json_object_set_new (json_object_get (m5, "expected"), "low", json_real (4.75));
  json_array_clear (json_object_get (board, "indications"));
  char *path = g_build_filename (folder, "changed.json", NULL);
  g_assert_cmpint (json_dump_file (board, path, 0), ==, 0);
  json_decref (board);
  return path;
}

static void
test_compare (void)
{
  g_autofree char *folder = g_dir_make_tmp ("compare-XXXXXX", NULL);
  g_autofree char *example = g_test_build_filename (G_TEST_DIST, "fixtures", "example-board.json", NULL);
  g_autofree char *other = changed (example, folder);
  int code;
  g_autofree char *text = run (&code, example, other, NULL);
  g_assert_cmpint (code, ==, 0);
  g_assert_nonnull (strstr (text, "edition: C → D"));
  g_assert_nonnull (strstr (text, "measurements (1)\n  changed: M5  5 V\n      expected, low: 4.8 V → 4.75 V\n"));
  g_assert_nonnull (strstr (text, "gone: E1  Link fault shown"));

  g_autofree char *json = run (&code, example, other, "--json");
  g_assert_cmpint (code, ==, 0);
  json_t *object = json_loads (json, 0, NULL);
  json_t *list = json_object_get (object, "differences"), *second = json_array_get (list, 1);
  g_assert_cmpuint (json_array_size (list), ==, 3);
  g_assert_cmpstr (json_string_value (json_object_get (second, "list")), ==, "measurements");
  json_t *field = json_array_get (json_object_get (second, "fields"), 0);
  g_assert_cmpstr (json_string_value (json_object_get (field, "path")), ==, "expected.low");
  g_assert_cmpfloat (json_number_value (json_object_get (field, "mine")), ==, 4.8);
  g_assert_cmpfloat (json_number_value (json_object_get (field, "theirs")), ==, 4.75);
  json_decref (object);

  g_autofree char *same = run (&code, example, example, NULL);
  g_assert_cmpstr (same, ==, "Both documents say the same.\n");
  g_autofree char *none = run (&code, example, "no-such-file", NULL);
  g_assert_cmpint (code, ==, 1);
  g_assert_cmpstr (none, ==, "");
  g_autofree char *alone = run (&code, example, NULL, NULL);
  g_assert_cmpint (code, ==, 2);
  g_remove (other);
  g_rmdir (folder);
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/cli/compare", test_compare);
  return g_test_run ();
}
