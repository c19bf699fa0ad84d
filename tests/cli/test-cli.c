/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The built program, run as its users run it: what it returns, what it says on standard error, and
 * that it writes nothing to standard output when it fails. */
#undef G_DISABLE_ASSERT
#include <glib.h>
#include <glib/gstdio.h>
#include <jansson.h>
#include <math.h>
#include <string.h>
#include <sys/wait.h>

typedef struct
{
  char *folder;
} Fixture;

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

/* Runs the program with these arguments (up to a NULL). */
static Run
run_vector (const char *const *arguments)
{
  g_autoptr (GPtrArray) argv = g_ptr_array_new ();
  g_autoptr (GError) error = NULL;
  Run run = { 0 };
  int status;

  g_ptr_array_add (argv, (gpointer) g_getenv ("BENCHLORE_CLI"));
  for (; *arguments != NULL; arguments++)
    g_ptr_array_add (argv, (gpointer) *arguments);
  g_ptr_array_add (argv, NULL);
  g_spawn_sync (NULL, (char **) argv->pdata, NULL, G_SPAWN_DEFAULT, NULL, NULL, &run.out, &run.err,
                &status, &error);
  g_assert_no_error (error);
  g_assert_true (WIFEXITED (status));
  run.code = WEXITSTATUS (status);
  if (run.code != 0)
    g_assert_cmpstr (run.out, ==, "");
  return run;
}
#define RUN(...) run_vector ((const char *const[]){ __VA_ARGS__, NULL })

/* A failure: its code and what standard error must say. */
static void
assert_fails (const char *const *arguments, int code, const char *says)
{
  g_auto (Run) run = run_vector (arguments);

  if (run.code != code || strstr (run.err, says) == NULL)
    g_error ("%s: code %d, “%s” instead of %d, “%s”", arguments[0], run.code, run.err, code, says);
}
#define FAILS(code, says, ...) assert_fails ((const char *const[]){ __VA_ARGS__, NULL }, code, says)

static json_t *
json_of (const Run *run)
{
  json_t *object;

  if (run->code != 0)
    g_error ("code %d: %s", run->code, run->err);
  object = json_loads (run->out, JSON_REJECT_DUPLICATES, NULL);
  g_assert_nonnull (object);
  return object;
}

static double
real_at (json_t *object, const char *one, const char *two)
{
  json_t *value = json_object_get (object, one);

  if (two != NULL)
    value = json_object_get (value, two);
  g_assert_true (json_is_number (value));
  return json_number_value (value);
}

static const char *
text_at (json_t *object, const char *key)
{
  return json_string_value (json_object_get (object, key));
}

static void
set_up (Fixture *self, gconstpointer unused)
{
  self->folder = g_dir_make_tmp ("benchlore-cli-XXXXXX", NULL);
  g_assert_nonnull (self->folder);
}

static void
tear_down (Fixture *self, gconstpointer unused)
{
  GDir *folder = g_dir_open (self->folder, 0, NULL);
  const char *name;

  while ((name = g_dir_read_name (folder)) != NULL)
    {
      g_autofree char *path = g_build_filename (self->folder, name, NULL);

      g_unlink (path);
    }
  g_dir_close (folder);
  g_rmdir (self->folder);
  g_free (self->folder);
}

static char *
write_file (const Fixture *self, const char *name, const char *text)
{
  char *path = g_build_filename (self->folder, name, NULL);
  g_autoptr (GError) error = NULL;

  g_file_set_contents (path, text, -1, &error);
  g_assert_no_error (error);
  return path;
}

static char *
example_board (void)
{
  return g_test_build_filename (G_TEST_DIST, "fixtures", "example-board.json", NULL);
}

/* --- Command line ----------------------------------------------------------------------------- */

static void
test_usage (Fixture *self, gconstpointer unused)
{
  g_auto (Run) help = RUN ("--help");
  g_auto (Run) of_command = RUN ("judge", "--help");

  g_assert_cmpint (help.code, ==, 0);
  g_assert_nonnull (strstr (help.out, "check-board"));
  g_assert_nonnull (strstr (help.out, "diagnose"));
  g_assert_cmpint (of_command.code, ==, 0);
  g_assert_nonnull (strstr (of_command.out, "--absent-below"));
  FAILS (2, "no command", "bogus");
  FAILS (2, "--bogus", "judge", "--bogus");
  FAILS (2, "needed", "judge", "--measures", "V DC");
  FAILS (2, "no kind of measurement", "judge", "--measures", "V", "--reading", "1");
  FAILS (2, "--reading", "judge", "--measures", "V DC", "--reading");
  FAILS (2, "argument is missing", "check-board");
  FAILS (2, "more arguments", "check-board", "a", "b");
  FAILS (2, "needed", "coverage");
  FAILS (2, "needed", "simulate", "--board", "x");
  FAILS (2, "seed", "simulate", "--board", "x", "--fault", "a:b", "--seed", "-1");
  FAILS (2, "seed", "simulate", "--board", "x", "--fault", "a:b", "--seed", "x");
  FAILS (2, "needed", "diagnose", "--board", "x");
  FAILS (2, "--next", "diagnose", "--board", "x", "--readings", "y", "--next", "-1");
  FAILS (2, "argument is missing", "tree");
}

/* --- judge ------------------------------------------------------------------------------------ */

/* A value below zero as an option's value, trade notation, and the 5 mV resolution case worked out
 * by hand: u = (0.5 % of 11.38 V + 3 x 0.01 V) / sqrt 3. */
static void
test_judge (Fixture *self, gconstpointer unused)
{
  g_auto (Run) run = RUN ("judge", "--measures", "V DC", "--nominal", "-12 V", "--low", "-12,6",
                          "--high", "-11.4", "--reading", "-11.38", "--meter", "0.5%+3@0.01", "--json");
  g_auto (Run) ohm = RUN ("judge", "--measures", "ohm", "--nominal", "4K7", "--low", "4k3", "--high",
                          "5k1", "--reading", "OL", "--json");
  g_auto (Run) dash = RUN ("judge", "--measures", "check", "--reading", "-", "--json");
  g_auto (Run) text = RUN ("judge", "--measures", "V DC", "--nominal", "5", "--low", "4.8", "--reading", "5");
  json_t *object = json_of (&run), *open = json_of (&ohm), *none = json_of (&dash);
  double u = (0.005 * 11.38 + 0.03) / sqrt (3);

  g_assert_cmpstr (text_at (object, "verdict"), ==, "too close to call");
  g_assert_cmpfloat_with_epsilon (real_at (object, "u", NULL), u, 1e-15);
  g_assert_cmpfloat_with_epsilon (real_at (object, "classes", "low"), 0.5 * erfc (-0.02 / u / sqrt (2)),
                                  1e-12);
  g_assert_cmpuint (json_object_size (json_object_get (object, "classes")), ==, 5);
  g_assert_cmpstr (text_at (open, "verdict"), ==, "open");
  g_assert_cmpfloat (real_at (open, "classes", "open"), ==, 1);
  g_assert_cmpstr (text_at (none, "verdict"), ==, "not reached");
  g_assert_cmpint (text.code, ==, 0);
  g_assert_true (g_str_has_prefix (text.out, "in band\n"));
  json_decref (object);
  json_decref (open);
  json_decref (none);
}

static void
test_judge_refused (Fixture *self, gconstpointer unused)
{
  FAILS (1, "--low", "judge", "--measures", "V DC", "--low", "5 A", "--reading", "5");
  FAILS (1, "--reading", "judge", "--measures", "V DC", "--reading", "abc");
  FAILS (1, "--meter", "judge", "--measures", "V DC", "--reading", "5", "--meter", "good");
  FAILS (1, "above high", "judge", "--measures", "V DC", "--low", "5", "--high", "4", "--reading", "5");
}

/* --- check-board ------------------------------------------------------------------------------ */

static void
test_check_board (Fixture *self, gconstpointer unused)
{
  g_autofree char *board = example_board ();
  g_auto (Run) clean = RUN ("check-board", board);
  g_autofree char *bad = write_file (
    self, "bad.json",
    "{\"format\":\"benchlore-board\",\"version\":1,\"sections\":[{\"id\":\"s\",\"kind\":\"supply\"}],"
    "\"stages\":[{\"id\":\"a\",\"section\":\"nowhere\"},{\"id\":\"b\",\"section\":\"s\",\"colour\":1}]}");
  g_autofree char *broken = write_file (self, "broken.json", "{\"format\": ");
  g_autofree char *zip = write_file (self, "broken.benchlore", "PK\003\004 and no more");

  g_assert_cmpint (clean.code, ==, 0);
  g_assert_nonnull (strstr (clean.out, "found in the document"));
  FAILS (1, "$.stages[0].section", "check-board", bad);
  FAILS (1, "$.stages[1].colour", "check-board", bad);
  FAILS (1, "broken.json", "check-board", broken);
  FAILS (1, "broken.benchlore", "check-board", zip);
  FAILS (1, "/nowhere/at-all.json", "check-board", "/nowhere/at-all.json");
  FAILS (1, "-no.json: ", "check-board", "--", "-no.json");
}

/* An equipment's member boards are found beside it, and nowhere else. */
static void
test_check_equipment (Fixture *self, gconstpointer unused)
{
  static const char *const paths[] = { "/etc/hostname", "../up.json", "a/../../up.json" };
  g_autofree char *demo =
    g_test_build_filename (G_TEST_DIST, "..", "data", "demo", "pair.json", NULL);
  g_auto (Run) clean = RUN ("check-board", demo);

  g_assert_cmpint (clean.code, ==, 0);
  for (gsize i = 0; i < G_N_ELEMENTS (paths); i++)
    {
      g_autofree char *text = g_strdup_printf ("{\"format\":\"benchlore-equipment\",\"version\":1,"
                                               "\"boards\":[{\"role\":\"a\",\"board\":\"%s\"}]}",
                                               paths[i]);
      g_autofree char *path = write_file (self, "pair.json", text);

      FAILS (1, "$.boards[0].board", "check-board", path);
    }
}

/* --- diagnose --------------------------------------------------------------------------------- */

static void
test_diagnose (Fixture *self, gconstpointer unused)
{
  g_autofree char *board = example_board ();
  g_autofree char *readings = write_file (self, "r.csv",
                                          "\xef\xbb\xbfmeasurement;reading;meter\r\n"
                                          "M5;0,02 V;0.5%+3@0.01 in 10M\r\n\r\nM9;1M\r\nV1;no\r\n");
  g_auto (Run) run = RUN ("diagnose", "--board", board, "--readings", readings, "--symptom", "E1",
                          "--next", "1", "--json");
  g_auto (Run) text = RUN ("diagnose", "--board", board, "--readings", readings);
  json_t *object = json_of (&run), *first;

  g_assert_cmpstr (text_at (object, "likely_stage"), ==, "rail5");
  g_assert_cmpuint (json_array_size (json_object_get (object, "readings")), ==, 3);
  first = json_array_get (json_object_get (object, "readings"), 0);
  g_assert_cmpstr (text_at (first, "verdict"), ==, "absent");
  first = json_array_get (json_object_get (object, "components"), 0);
  g_assert_cmpstr (text_at (first, "id"), ==, "U2");
  g_assert_cmpuint (json_array_size (json_object_get (object, "components")), ==, 7);
  g_assert_cmpuint (json_array_size (json_object_get (object, "next")), ==, 1);
  g_assert_true (json_is_true (json_object_get (json_object_get (object, "fit"), "explained")));
  g_assert_true (json_is_object (json_object_get (json_object_get (object, "plan"), "first")));
  g_assert_true (json_is_array (json_object_get (json_object_get (object, "acts"), "parts")));
  g_assert_true (json_is_array (json_object_get (object, "not_visible")));
  g_assert_cmpint (text.code, ==, 0);
  g_assert_nonnull (strstr (text.out, "rail5, 5 V rail"));
  g_assert_nonnull (strstr (text.out, "\nPlan: "));
  json_decref (object);
}

/* Of an equipment also where the fault lies: on which board, or between them. A board alone has no such key. */
static void
test_diagnose_equipment (Fixture *self, gconstpointer name)
{
  g_autofree char *demo = g_test_build_filename (G_TEST_DIST, "..", "data", "demo", name, NULL);
  g_autofree char *alone = g_test_build_filename (G_TEST_DIST, "..", "data", "demo", "wall-board.json", NULL);
  g_autofree char *readings = write_file (self, "r.csv", "measurement,reading,meter\nX-LEAD,yes\nS-DROP,7.1\nC-S,no\n");
  g_autofree char *none = write_file (self, "none.csv", "measurement,reading,meter\nV5,5\n");
  g_auto (Run) run = RUN ("diagnose", "--board", demo, "--readings", readings, "--next", "0", "--json");
  g_auto (Run) text = RUN ("diagnose", "--board", demo, "--readings", readings, "--next", "0");
  g_auto (Run) board = RUN ("diagnose", "--board", alone, "--readings", none, "--next", "0", "--json");
  json_t *object = json_of (&run), *single = json_of (&board), *places = json_object_get (object, "places"), *first;

  g_assert_cmpstr (text_at (places, "verdict"), ==, "isolated");
  g_assert_cmpstr (text_at (places, "first"), ==, "conductors");
  first = json_array_get (json_object_get (places, "list"), 0);
  g_assert_cmpstr (text_at (first, "kind"), ==, "conductors");
  g_assert_cmpfloat (json_number_value (json_object_get (first, "probability")), >, 0.95);
  g_assert_cmpuint (json_array_size (json_object_get (places, "list")), ==, 3);
  first = json_array_get (json_object_get (places, "parts"), 0);
  g_assert_cmpstr (text_at (first, "id"), ==, "W3");
  g_assert_cmpfloat (json_number_value (json_object_get (places, "none")), <, 0.05);
  g_assert_nonnull (strstr (text.out, "Isolated: conductors."));
  g_assert_null (json_object_get (single, "places"));
  json_decref (object);
  json_decref (single);
}

static void
test_diagnose_refused (Fixture *self, gconstpointer unused)
{
  g_autofree char *board = example_board ();
  g_autofree char *good = write_file (self, "good.csv", "measurement,reading,meter\nM5,5\n");
  g_autofree char *name = write_file (self, "name.csv", "measurement,reading,meter\n\nM5,5\nM6,5\n");
  g_autofree char *value = write_file (self, "value.csv", "measurement,reading,meter\nM5,5 A\n");

  FAILS (1, "name.csv: line 4:", "diagnose", "--board", board, "--readings", name);
  FAILS (1, "value.csv: line 2:", "diagnose", "--board", board, "--readings", value, "--json");
  FAILS (1, "no symptom", "diagnose", "--board", board, "--readings", good, "--symptom", "E7");
  FAILS (1, "gone.csv", "diagnose", "--board", board, "--readings", "gone.csv");
  FAILS (1, "gone.json", "diagnose", "--board", "gone.json", "--readings", good);
}

/* --- simulate, coverage ----------------------------------------------------------------------- */

/* What is simulated can be read back, and the fault is found among the first. */
static void
test_simulate (Fixture *self, gconstpointer unused)
{
  g_autofree char *board = example_board (), *readings = NULL;
  g_auto (Run) drawn = RUN ("simulate", "--board", board, "--fault", "U2:open", "--seed", "4");
  g_auto (Run) again = RUN ("simulate", "--board", board, "--fault", "U2:open", "--seed", "4");
  g_auto (Run) wet = RUN ("simulate", "--board", board, "--fault", "X3:poor contact", "--condition", "wet");
  g_auto (Run) run = { 0 };
  json_t *object;

  g_assert_cmpint (drawn.code, ==, 0);
  g_assert_cmpstr (drawn.out, ==, again.out);
  g_assert_true (g_str_has_prefix (drawn.out, "measurement,reading,meter\nM0,"));
  g_assert_nonnull (strstr (wet.out, "\nround,wet,\n"));
  readings = write_file (self, "drawn.csv", drawn.out);
  run = RUN ("diagnose", "--board", board, "--readings", readings, "--json");
  object = json_of (&run);
  g_assert_cmpstr (text_at (json_array_get (json_object_get (object, "components"), 0), "id"), ==, "U2");
  json_decref (object);
  FAILS (1, "no failure mode", "simulate", "--board", board, "--fault", "U2:molten");
}

static void
test_coverage (Fixture *self, gconstpointer unused)
{
  g_autofree char *board = example_board ();
  g_auto (Run) run = RUN ("coverage", "--board", board, "--json");
  g_auto (Run) text = RUN ("coverage", "--board", board);
  json_t *object = json_of (&run);

  g_assert_cmpuint (json_array_size (json_object_get (object, "groups")), ==, 2);
  g_assert_cmpstr (json_string_value (json_array_get (json_object_get (object, "invisible"), 0)), ==,
                   "X3:poor contact");
  g_assert_cmpfloat (real_at (object, "isolated", "1"), ==, 1);
  g_assert_cmpstr (
    json_string_value (json_array_get (json_object_get (object, "unmeasured_stages"), 0)), ==, "rx");
  g_assert_nonnull (strstr (text.out, "invisible"));
  json_decref (object);
}

/* --- tree ------------------------------------------------------------------------------------- */

/* Two pumps, both needed to fail, or their common supply: 1 - (1 - 0.1 x 0.2)(1 - 0.05). */
static void
test_tree (Fixture *self, gconstpointer unused)
{
  g_autofree char *path = write_file (self, "t.txt",
                                      "top t\ngate t or 0 both s\ngate both and 0 a b\n"
                                      "event a 0.1\nevent b 0.2\nevent s 0.05\n");
  g_autofree char *bad = write_file (self, "bad.txt", "top t\ngate t or 0 a\nevent a much\n");
  g_auto (Run) run = RUN ("tree", path, "--cut-sets", "2", "--json");
  g_auto (Run) given = RUN ("tree", path, "--given", "s=false", "--json");
  g_auto (Run) text = RUN ("tree", path, "--cut-sets", "1");
  json_t *object = json_of (&run), *other = json_of (&given);

  g_assert_cmpfloat_with_epsilon (real_at (object, "probability", NULL), 1 - 0.98 * 0.95, 1e-15);
  g_assert_cmpuint (json_array_size (json_object_get (object, "cut_sets")), ==, 2);
  g_assert_cmpfloat_with_epsilon (real_at (other, "probability", NULL), 0.02, 1e-15);
  g_assert_nonnull (strstr (text.out, "minimal cut sets: 2"));
  json_decref (object);
  json_decref (other);
  FAILS (1, "bad.txt", "tree", bad);
  FAILS (1, "no event or gate", "tree", path, "--given", "z=true");
  FAILS (2, "expected NAME=true", "tree", path, "--given", "s=maybe");
  FAILS (2, "expected NAME=true", "tree", path, "--given", "s");
}

/* Written in either form, the tree reads back to the same top probability; a board's stage likewise. */
static void
test_tree_export (Fixture *self, gconstpointer unused)
{
  static const char *const forms[] = { "mef", "text" };
  g_autofree char *path = write_file (self, "e.txt",
                                      "top t\ngate t or 0 both s\ngate both and 0 a b\n"
                                      "event a 0.1\nevent b 0.2\nevent s 0.05\n");
  g_autofree char *board = example_board ();
  g_auto (Run) of_board = RUN ("board-tree", board, "--stage", "rail5", "--deviation", "absent", "--json");
  g_auto (Run) words = RUN ("board-tree", board, "--stage", "rail5", "--cut-sets", "1");
  json_t *object = json_of (&of_board);
  double expected = real_at (object, "probability", NULL);

  g_assert_cmpfloat (expected, >, 0);
  g_assert_nonnull (strstr (words.out, "U2 open, alone"));
  for (gsize i = 0; i < G_N_ELEMENTS (forms); i++)
    {
      g_auto (Run) tree = RUN ("tree", path, "--export", forms[i]);
      g_auto (Run) stage = RUN ("board-tree", board, "--stage", "rail5", "--deviation", "absent", "--export", forms[i]);
      g_autofree char *tree_path = write_file (self, "t", tree.out);
      g_autofree char *stage_path = write_file (self, "s", stage.out);
      g_auto (Run) tree_back = RUN ("tree", tree_path, "--json");
      g_auto (Run) stage_back = RUN ("tree", stage_path, "--json");
      json_t *one = json_of (&tree_back), *two = json_of (&stage_back);

      g_assert_cmpfloat_with_epsilon (real_at (one, "probability", NULL), 1 - 0.98 * 0.95, 1e-15);
      g_assert_cmpfloat_with_epsilon (real_at (two, "probability", NULL), expected, 1e-15);
      json_decref (one);
      json_decref (two);
    }
  json_decref (object);
  g_auto (Run) inner = RUN ("tree", path, "--top", "both", "--json");
  object = json_of (&inner);
  g_assert_cmpfloat_with_epsilon (real_at (object, "probability", NULL), 0.02, 1e-15);
  json_decref (object);
  /* b, or c while a does not happen; with a gate given they alone do not say it all. */
  g_autofree char *negated = write_file (self, "n.txt", "top t\ngate t or 0 u b\ngate u and 0 v c\ngate v not 0 a\n"
                                                        "event a 0.25\nevent b 0.1\nevent c 0.1\n");
  g_auto (Run) counted = RUN ("tree", negated, "--cut-sets", "2", "--json");
  g_auto (Run) unsaid = RUN ("tree", negated, "--given", "u=true", "--cut-sets", "2");
  g_auto (Run) unsaid_json = RUN ("tree", negated, "--given", "u=true", "--cut-sets", "2", "--json");
  g_assert_nonnull (strstr (counted.out, "\"cut_sets\": [[\"b\"], [\"c\"]], \"cut_set_count\": 2"));
  g_assert_nonnull (strstr (unsaid.out, "minimal cut sets: none told"));
  g_assert_nonnull (strstr (unsaid_json.out, "\"cut_sets\": null, \"cut_set_count\": null"));
  FAILS (1, "no event or gate", "tree", path, "--top", "z");
  g_autofree char *pdf = g_build_filename (self->folder, "t.pdf", NULL),
                  *svg = g_build_filename (self->folder, "t.svg", NULL);
  g_auto (Run) drawn = RUN ("board-tree", board, "--stage", "rail5", "--draw", pdf, "--paper", "letter");
  g_auto (Run) whole = RUN ("board-tree", board, "--draw", svg);
  g_auto (Run) plain = RUN ("tree", path, "--draw", svg);
  g_assert_cmpint (drawn.code + whole.code + plain.code, ==, 0);
  g_assert_true (g_file_test (pdf, G_FILE_TEST_IS_REGULAR) && g_file_test (svg, G_FILE_TEST_IS_REGULAR));
  FAILS (2, "a4 or letter", "board-tree", board, "--draw", pdf, "--paper", "foolscap");
  FAILS (2, ".pdf or .svg", "tree", path, "--draw", "t.png");
  FAILS (1, "No such file", "tree", path, "--draw", "/nonexistent/folder/t.pdf");
  FAILS (2, "mef or text", "tree", path, "--export", "pdf");
  FAILS (2, "--stage", "board-tree", board);
  FAILS (2, "--deviation is", "board-tree", board, "--stage", "rail5", "--deviation", "gone");
  FAILS (1, "no stage", "board-tree", board, "--stage", "nowhere");
  FAILS (1, "no state", "board-tree", board, "--stage", "rail5", "--state", "flying");
}

#define ADD(path, test) g_test_add ("/cli/" path, Fixture, NULL, set_up, test, tear_down)

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  if (g_getenv ("BENCHLORE_CLI") == NULL)
    g_error ("BENCHLORE_CLI must name the program to test");
  ADD ("usage", test_usage);
  ADD ("judge", test_judge);
  ADD ("judge-refused", test_judge_refused);
  ADD ("check-board", test_check_board);
  ADD ("check-equipment", test_check_equipment);
  ADD ("diagnose", test_diagnose);
  g_test_add ("/cli/diagnose-equipment", Fixture, "pair.json", set_up, test_diagnose_equipment, tear_down);
  g_test_add ("/cli/diagnose-equipment/roof-feeds", Fixture, "pair-roof-feeds.json", set_up, test_diagnose_equipment,
              tear_down);
  ADD ("diagnose-refused", test_diagnose_refused);
  ADD ("simulate", test_simulate);
  ADD ("coverage", test_coverage);
  ADD ("tree", test_tree);
  ADD ("tree-export", test_tree_export);
  return g_test_run ();
}
