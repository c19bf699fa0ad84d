/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `drill`, run as its users run it: a drill is shown without its fault, steps are scored, errors name the line. */
#undef G_DISABLE_ASSERT
#include <glib.h>
#include <glib/gstdio.h>
#include <jansson.h>
#include <string.h>
#include <sys/wait.h>

typedef struct
{
  int code;
  char *out, *err;
} Run;

static void
clear_run (Run *run)
{
  g_free (run->out);
  g_free (run->err);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Run, clear_run)

/* Arguments behind "drill --board BOARD", parted by blanks; "STEPS" is a file with these lines. */
static Run
drill (const char *board, const char *arguments, const char *lines)
{
  g_autofree char *folder = g_dir_make_tmp ("drill-XXXXXX", NULL), *steps = g_build_filename (folder, "steps.csv", NULL);
  g_auto (GStrv) words = g_strsplit (arguments, " ", -1);
  g_autoptr (GPtrArray) argv = g_ptr_array_new ();
  Run run = { 0 };
  int status;

  g_assert_true (g_file_set_contents (steps, lines != NULL ? lines : "", -1, NULL));
  g_ptr_array_add (argv, (char *) g_getenv ("BENCHLORE_CLI"));
  g_ptr_array_add (argv, (char *) "drill");
  g_ptr_array_add (argv, (char *) "--board");
  g_ptr_array_add (argv, (char *) board);
  for (char **word = words; *word != NULL; word++)
    g_ptr_array_add (argv, g_str_equal (*word, "STEPS") ? steps : *word);
  g_ptr_array_add (argv, NULL);
  g_assert_true (
    g_spawn_sync (NULL, (char **) argv->pdata, NULL, G_SPAWN_DEFAULT, NULL, NULL, &run.out, &run.err, &status, NULL));
  g_assert_true (WIFEXITED (status));
  run.code = WEXITSTATUS (status);
  g_remove (steps);
  g_rmdir (folder);
  return run;
}

static char *
wall (void)
{
  return g_test_build_filename (G_TEST_DIST, "..", "data", "demo", "wall-board.json", NULL);
}

static json_t *
object_of (const Run *run)
{
  json_t *object = json_loads (run->out, 0, NULL);

  g_assert_cmpstr (run->err, ==, "");
  g_assert_cmpint (run->code, ==, 0);
  g_assert_nonnull (object);
  return object;
}

static json_t *
step (json_t *object, guint i, const char *key)
{
  return json_object_get (json_array_get (json_object_get (object, "steps"), i), key);
}

static void
test_show (void)
{
  g_autofree char *board = wall ();
  g_auto (Run) text = drill (board, "--seed 5", NULL), same = drill (board, "--seed 5", NULL);
  g_auto (Run) json = drill (board, "--seed 5 --json", NULL);
  json_t *object = object_of (&json);

  g_assert_cmpint (text.code, ==, 0);
  g_assert_cmpstr (text.out, ==, same.out);
  g_assert_nonnull (strstr (text.out, json_string_value (json_object_get (object, "symptom"))));
  g_assert_cmpuint (json_array_size (json_object_get (object, "measurements")), ==, 117);
  g_assert_null (json_object_get (object, "fault"));
  json_decref (object);
}

/* The same steps twice: the same figures. Named right when what the first run gave away is named in the second. */
static void
test_score (void)
{
  g_autofree char *board = wall (), *lines = NULL;
  g_auto (Run) first = drill (board, "--seed 5 --steps STEPS --json", "measurement\nLAMP\nR-F1\n");
  json_t *object = object_of (&first);
  g_auto (GStrv) fault = g_strsplit (json_string_value (json_array_get (json_object_get (object, "fault"), 0)), ":", 2);

  g_assert_cmpstr (json_string_value (step (object, 0, "measurement")), ==, "LAMP");
  g_assert_true (json_is_true (step (object, 0, "unsafe"))); /* live, and nobody read the cautions */
  g_assert_cmpstr (json_string_value (json_array_get (step (object, 0, "acts"), 0)), ==, "live without reading the cautions");
  g_assert_true (json_is_true (step (object, 1, "unsafe")));
  g_assert_cmpstr (json_string_value (json_array_get (step (object, 1, "acts"), 0)), ==, "ohms on a board not proved dead");
  g_assert_true (json_is_true (json_object_get (object, "failed")));
  g_assert_true (json_is_false (json_object_get (object, "component_right")));

  lines = g_strdup_printf ("measurement,reading\r\ncautions:,\r\nLAMP,\r\nproof:P-LN\r\nR-F1\r\ncomponent:%s\r\n", fault[0]);
  g_auto (Run) second = drill (board, "--seed 5 --steps STEPS --json", lines);
  json_t *again = object_of (&second);
  g_assert_true (json_is_false (json_object_get (again, "failed")));
  g_assert_true (json_is_true (json_object_get (again, "component_right")));
  g_assert_true (json_is_true (json_object_get (again, "stage_right")));
  g_assert_cmpfloat (json_number_value (step (again, 1, "regret_s")), ==, json_number_value (step (object, 0, "regret_s")));
  g_assert_cmpstr (json_string_value (step (again, 1, "reading")), ==, json_string_value (step (object, 0, "reading")));
  json_decref (object);
  json_decref (again);
}

/* Of a planted fault the readings are those of the real board. */
static void
test_planted (void)
{
  g_autofree char *board = wall ();
  g_auto (Run) run = drill (board, "--fault U2:open --steps STEPS --json", "measurement,reading\nV-F1,no\npart:U2,good\n");
  json_t *object = object_of (&run);

  g_assert_cmpstr (json_string_value (step (object, 0, "reading")), ==, "no");
  g_assert_cmpstr (json_string_value (step (object, 1, "reading")), ==, "good");
  json_decref (object);
}

static void
test_errors (void)
{
  static const struct
  {
    const char *arguments, *lines;
    int code;
    const char *says;
  } cases[] = {
    { "--steps STEPS", "measurement\nLAMP\nnone\n", 1, "line 3" },
    { "--steps STEPS", "reading\n", 1, "line 1" },
    { "--steps STEPS", "", 1, "line 1" },
    { "--steps STEPS", "measurement,reading\nLAMP,yes\n", 1, "line 2" },
    { "--steps STEPS", "measurement\nsupply:battery\n", 1, "line 2" },
    { "--steps STEPS", "measurement\nstate:gone\n", 1, "line 2" },
    { "--steps STEPS", "measurement\n\npart:X99\n", 1, "line 3" },
    { "--fault U2:open --steps STEPS", "measurement,reading\nV5,five\n", 1, "line 2" },
    { "--fault U2:melted", NULL, 1, "U2:melted" },
    { "--section attic", NULL, 1, "attic" },
    { "--kind conductor", NULL, 1, "equipment" },
    { "--kind triple", NULL, 2, "triple" },
    { "--seed -3", NULL, 2, "seed" },
    { "--fault U2:open --seed 3", NULL, 2, "--fault" },
  };
  g_autofree char *board = wall ();

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_auto (Run) run = drill (board, cases[i].arguments, cases[i].lines);
      g_assert_cmpint (run.code, ==, cases[i].code);
      g_assert_cmpstr (run.out, ==, "");
      if (strstr (run.err, cases[i].says) == NULL)
        g_error ("“%s” is not in: %s", cases[i].says, run.err);
    }
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/cli/drill/show", test_show);
  g_test_add_func ("/cli/drill/score", test_score);
  g_test_add_func ("/cli/drill/planted", test_planted);
  g_test_add_func ("/cli/drill/errors", test_errors);
  return g_test_run ();
}
