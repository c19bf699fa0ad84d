/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading, writing and validating board documents: the example of the format, every optional field
 * left out or given (documents made at random), and what must be refused, with its path. */
#include "config.h"

#include "bl-document.h"

#include <string.h>

#include <jansson.h>

#include "document-maker.h"

static char *
example (void)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *path =
      g_test_build_filename (G_TEST_DIST, "fixtures", "example-board.json", NULL);
  char *text = NULL;
  g_file_get_contents (path, &text, NULL, &error);
  g_assert_no_error (error);
  return text;
}

static GPtrArray *
new_problems (void)
{
  return g_ptr_array_new_with_free_func ((GDestroyNotify) bl_problem_free);
}

static json_t *
load (const char *text)
{
  json_error_t error;
  json_t *json = json_loads (text, JSON_DECODE_INT_AS_REAL, &error);
  if (json == NULL)
    g_error ("%d:%d %s in %s", error.line, error.column, error.text, text);
  return json;
}

static void
assert_round_trip (const char *text)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = bl_document_parse (text, -1, NULL, &error);
  g_assert_no_error (error);
  g_autofree char *written = bl_document_write (board);
  json_t *before = load (text), *after = load (written);
  if (!json_equal (before, after))
    g_error ("read\n%s\nbut wrote\n%s", text, written);
  json_decref (before);
  json_decref (after);
  g_autoptr (BlBoard) copy = bl_board_copy (board);
  g_clear_pointer (&board, bl_board_free);
  g_autofree char *of_copy = bl_document_write (copy);
  g_assert_cmpstr (of_copy, ==, written);
}

static void
test_example (void)
{
  g_autofree char *text = example ();
  g_autoptr (GPtrArray) problems = new_problems ();
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = bl_document_parse (text, -1, problems, &error);
  g_assert_no_error (error);
  /* rx is read by nothing. */
  g_assert_cmpuint (problems->len, ==, 1);
  g_assert_cmpstr (((BlProblem *) bl_at (problems, 0))->path, ==, "$.stages[3]");
  g_assert_cmpstr (board->edition, ==, "C");
  g_assert_cmpfloat (board->mains_voltage, ==, 230);
  g_assert_cmpfloat (bl_board_measurement (board, "M9")->expected.nominal.value, ==, 980e3);
  g_assert_cmpfloat (bl_board_measurement (board, "M9")->expected.high.value, ==, 1.1e6);
  const BlStage *rail5 = bl_board_stage (board, "rail5");
  const BlFeed *feed = bl_at (rail5->feeds, 0);
  g_assert_cmpint (rail5->need, ==, BL_NEED_ALL);
  g_assert_cmpint (feed->passes.to[BL_HIGH], ==, BL_IN_BAND);
  g_assert_cmpint (feed->passes.to[BL_LOW], ==, BL_PASSES_UNCHANGED);
  g_assert_cmpint (bl_board_stage (board, "bulk")->need, ==, BL_NEED_LEFT_OUT);
  g_assert_true (bl_board_validate (board, problems));
  assert_round_trip (text);
}

/* Documents made at random from a seed: each optional field given or left out by a coin. */
static void
test_round_trips (void)
{
  for (guint seed = 0; seed < 200; seed++)
    {
      g_autoptr (GRand) rand = g_rand_new_with_seed (seed);
      g_autofree char *text = make_document (rand);
      assert_round_trip (text);
    }
}

/* Leaves out the members of json one by one, at any depth, and reads and writes what is left. */
static guint
drop_each (json_t *root, json_t *json)
{
  guint accepted = 0;
  json_t *value;
  if (json_is_object (json))
    {
      g_autoptr (GPtrArray) keys = g_ptr_array_new_with_free_func (g_free);
      const char *key;
      json_object_foreach (json, key, value) g_ptr_array_add (keys, g_strdup (key));
      for (guint i = 0; i < keys->len; i++)
        {
          value = json_incref (json_object_get (json, bl_at (keys, i)));
          json_object_del (json, bl_at (keys, i));
          char *text = json_dumps (root, 0);
          g_autoptr (BlBoard) board = bl_document_parse (text, -1, NULL, NULL);
          if (board != NULL)
            assert_round_trip (text);
          accepted += board != NULL;
          free (text);
          json_object_set_new (json, bl_at (keys, i), value);
          accepted += drop_each (root, value);
        }
    }
  size_t index;
  if (json_is_array (json))
    json_array_foreach (json, index, value) accepted += drop_each (root, value);
  return accepted;
}

static void
test_left_out (void)
{
  g_autofree char *text = example ();
  json_t *root = load (text);
  /* Refused without: what is required, ids, lists that others refer to. */
  g_assert_cmpuint (drop_each (root, root), >, 80);
  json_decref (root);
}

static gboolean
parses (json_t *root)
{
  char *text = json_dumps (root, 0);
  g_autoptr (BlBoard) board = bl_document_parse (text, -1, NULL, NULL);
  if (board != NULL)
    assert_round_trip (text);
  free (text);
  return board != NULL;
}

static guint replace_each (json_t *root, json_t *json, json_t *other);

/* Puts other in the place of member, and then of what is in it. */
static guint
replace_member (json_t *root,
                json_t *json,
                const char *key,
                size_t index,
                json_t *member,
                json_t *other)
{
  guint accepted = 0;
  json_incref (member);
  if (key != NULL)
    json_object_set (json, key, other);
  else
    json_array_set (json, index, other);
  accepted += parses (root);
  if (key != NULL)
    json_object_set (json, key, member);
  else
    json_array_set (json, index, member);
  accepted += replace_each (root, member, other);
  json_decref (member);
  return accepted;
}

static guint
replace_each (json_t *root, json_t *json, json_t *other)
{
  guint accepted = 0;
  if (json_is_object (json))
    for (void *at = json_object_iter (json); at != NULL; at = json_object_iter_next (json, at))
      accepted += replace_member (root, json, json_object_iter_key (at), 0,
                                  json_object_iter_value (at), other);
  for (size_t i = 0; i < json_array_size (json); i++)
    accepted += replace_member (root, json, NULL, i, json_array_get (json, i), other);
  return accepted;
}

/* Any value in any place is refused, or read and written as it was. */
static void
test_any_value (void)
{
  static const char *const values[] = { "null", "-1", "\"x\"", "[]", "[{}]" };
  g_autofree char *text = example ();
  guint accepted = 0;
  for (guint i = 0; i < G_N_ELEMENTS (values); i++)
    {
      json_t *root = load (text);
      json_t *other = json_loads (values[i], JSON_DECODE_ANY | JSON_DECODE_INT_AS_REAL, NULL);
      accepted += replace_each (root, root, other);
      json_decref (other);
      json_decref (root);
    }
  g_assert_cmpuint (accepted, >, 0);
  g_test_message ("%u accepted", accepted);
}

/* What is wrong, by the edit to the example that makes it so. */
static const struct
{
  const char *from, *to; /* the first from in the text becomes to */
  const char *path;      /* of the problem */
  const char *message;   /* part of it */
} wrongs[] = {
  { "\"benchlore-board\"", "\"other\"", "$.format", "benchlore-board" },
  { "\"version\": 1", "\"version\": 2", "$.version", "expected 1" },
  { "\"maker\"", "\"vendor\"", "$.vendor", "unknown key" },
  { "\"elsewhere\": 0.15", "\"elsewhere\": 1.5", "$.odds.elsewhere", "0 to 1" },
  { "\"misreport\"", "\"mis report\"", "$.odds[\"mis report\"]", "unknown key" },
  { "\"live\": false", "\"live\": \"no\"", "$.states[0].live", "true or false" },
  { "[\"M0\"]", "[\"M77\"]", "$.states[0].dead_proof[0]", "M77" },
  { "\"id\": \"run\"", "\"id\": \"off\"", "$.states[1].id", "$.states[0]" },
  { "\"photos/front.jpg\"", "\"../front.jpg\"", "$.photos[0].file", "inside" },
  { "\"front\", \"file\"", "\"top\", \"file\"", "$.photos[0].side", "front or back" },
  { "[9,9]", "[9]", "$.sections[0].outlines[0].points[2]", "two numbers" },
  { "\"id\": \"bulk\"", "\"id\": \"bu lk\"", "$.stages[0].id", "blank" },
  { "\"id\": \"bulk\"", "\"id\": \"a/b\"", "$.stages[0].id", "/" },
  { "\"section\": \"supply\", \"title\": \"DC link\"", "\"title\": \"DC link\"",
    "$.stages[0].section", "required" },
  { "\"section\": \"supply\"", "\"section\": \"x\"", "$.stages[0].section", "section" },
  { "\"need\": \"all\"", "\"need\": 2", "$.stages[2].feeds.need", "2 of 1" },
  { "\"need\": \"all\"", "\"need\": 0", "$.stages[2].feeds.need", "whole number" },
  { "\"port:S\"", "\"port:T\"", "$.stages[3].feeds.from[1]", "T" },
  { "{\"from\": [\"bulk\"]}", "{\"from\": [\"rx\"]}", "$.stages[1].feeds",
    "loop of feeds: rail12 -> rail5 -> rx -> rail12" },
  { "{\"from\": [\"bulk\"]}", "{\"from\": [\"rail12\"]}", "$.stages[1].feeds", "rail12 -> rail12" },
  { "\"in band\"", "\"fine\"", "$.stages[2].feeds.from[0].passes.high", "expected" },
  { "\"kind\": \"fuse\", ", "", "$.components[0].kind", "required" },
  { "\"stage\": \"bulk\"", "\"stage\": \"b\"", "$.components[0].stage", "no stage" },
  { "\"on\": \"M9\"", "\"on\": \"M8\"", "$.components[0].modes[0].effects[1].on", "M8" },
  { "\"M9\", \"is\": \"open\"", "\"M9\", \"is\": \"absent\"",
    "$.components[0].modes[0].effects[1].is", "no class" },
  { "\"M9\", \"is\": \"open\"", "\"M9\", \"is\": [\"open\", \"in band\"]",
    "$.components[0].modes[0].effects[1].is[1]", "good" },
  { "\"rail12\", \"is\": \"low\"", "\"rail12\", \"is\": \"in band\"",
    "$.components[1].modes[1].effects[1].is", "no deviation" },
  { "\"is\": \"low\"}", "\"is\": \"low\", \"in\": [\"walk\"]}",
    "$.components[1].modes[1].effects[1].in[0]", "walk" },
  { "\"weight\": 0.01", "\"weight\": -1", "$.components[1].modes[1].weight", "at least 0" },
  { "\"chance\": 0.2", "\"chance\": 2", "$.components[1].modes[1].provokes[0].chance", "0 to 1" },
  { "{\"component\": \"F1\", \"mode\": \"open\", \"chance\": 0.2}",
    "{\"component\": \"U2\", \"mode\": \"short\"}", "$.components[1].modes[1].provokes[0]",
    "itself" },
  { "{\"component\": \"F1\", \"mode\": \"open\", \"chance\": 0.2}",
    "{\"component\": \"F1\", \"mode\": \"open\"}, {\"component\": \"F1\", \"mode\": \"open\"}",
    "$.components[1].modes[1].provokes[1]", "twice" },
  { "\"mode\": \"open\", \"chance\"", "\"mode\": \"melted\", \"chance\"",
    "$.components[1].modes[1].provokes[0].mode", "melted" },
  { "\"wet\": 0.9", "\"wet\": 9", "$.components[2].modes[0].shows.wet", "0 to 1" },
  { "\"mode\": \"short\"", "\"mode\": \"open\"", "$.components[1].modes[1].mode", "already" },
  { "\"isolated\"", "\"green\"", "$.test_points[0].ground", "isolated" },
  { "\"source_ohm\": 0", "\"source_ohm\": \"5 V\"", "$.test_points[1].source_ohm", "ohm" },
  { "\"id\": \"M0\"", "\"id\": \"round\"", "$.measurements[0].id", "new round" },
  { "\"id\": \"M0\"", "\"id\": \"rail5\"", "$.measurements[0].id", "stage" },
  { "\"measures\": \"V DC\"", "\"measures\": \"VDC\"", "$.measurements[0].measures", "V AC" },
  { "\"measures\": \"ohm\", \"state\": \"off\"", "\"measures\": \"ohm\"", "$.measurements[2].state",
    "required" },
  { "\"measures\": \"ohm\", ", "", "$.measurements[2].measures", "required" },
  { "\"at\": \"TP5\"", "\"at\": \"TP6\"", "$.measurements[1].at", "TP6" },
  { "\"series\": true", "\"reads\": \"bulk\"", "$.measurements[2].reads", "direct effects" },
  { "\"effort_s\": 20", "\"effort_s\": 0", "$.measurements[1].effort_s", "more than 0" },
  { "\"nominal\": 5", "\"nominal\": \"5 ohm\"", "$.measurements[1].expected.nominal", "V" },
  { "\"nominal\": 5", "\"shorted_below\": 5", "$.measurements[1].expected.shorted_below", "V DC" },
  { "\"id\": \"about half\"", "\"id\": \"low\"", "$.measurements[1].expected.marks[0].id",
    "another" },
  { "\"low\": 4.8", "\"low\": 5.3", "$.measurements[1].expected", "above high" },
  { "\"absent_below\": 0.5", "\"absent_below\": 4.9", "$.measurements[1].expected",
    "absent_below" },
  { "\"low\": \"900k\"", "\"low\": \"90k\"", "$.measurements[2].expected", "shorted_below" },
  { "\"high\": \"1M1\"", "\"high\": \"11M\"", "$.measurements[2].expected", "open_above" },
  { "\"high\": 3}", "\"high\": 4.9}", "$.measurements[1].expected", "overlaps the band" },
  { "\"high\": 3}", "\"high\": 3}, {\"id\": \"b\", \"low\": 2.5, \"high\": 4}",
    "$.measurements[1].expected", "overlaps" },
  { "\"nominal\": 5, ", "\"tolerance\": \"4 %\", ", "$.measurements[1].expected", "nominal" },
  { "\"nominal\": 5, ", "\"nominal\": 5, \"tolerance\": \"some\", ", "$.measurements[1].expected",
    "tolerance" },
  { "\"expected\": {\"high\": 10}",
    "\"expected\": {\"follows\": {\"measurement\": \"M5\", \"points\": [[2, 0], [1, 1]]}}",
    "$.measurements[0].expected.follows.points[1]", "rise" },
  { "\"expected\": {\"high\": 10}",
    "\"expected\": {\"follows\": {\"measurement\": \"V1\", \"points\": [[0, 0], [1, 1]]}}",
    "$.measurements[0].expected.follows.measurement", "no single value" },
  { "\"expected\": {\"high\": 10}",
    "\"expected\": {\"follows\": {\"measurement\": \"M5\", \"points\": [[0, 0], [1, 1]], \"within\": \"-1 V\"}}",
    "$.measurements[0].expected.follows.within", "" },
  { "\"expected\": {\"high\": 10}",
    "\"expected\": {\"follows\": {\"measurement\": \"M5\", \"points\": [[0, 0], [1, 1]], \"within\": \"1 ohm\"}}",
    "$.measurements[0].expected.follows.within", "ohm" },
  { "\"expected\": {\"high\": 10}",
    "\"expected\": {\"follows\": {\"measurement\": \"M0\", \"points\": [[0, 0], [1, 1]]}}",
    "$.measurements[0].expected.follows", "M0 -> M0" },
  { "\"answer\": true", "\"answer\": true, \"nominal\": 5", "$.measurements[3].expected.nominal",
    "check" },
  { "\"on\": \"rx\"", "\"on\": \"tx\"", "$.symptoms[0].when[0].on", "tx" },
  { "\"symptom\": \"E1\"", "\"symptom\": \"E2\"", "$.indications[0].symptom", "E2" },
  { "\"blinks\": 1", "\"blinks\": null", "$.indications[0].pattern[0].blinks", "a number" },
};

static char *
replace_first (const char *text, const char *from, const char *to)
{
  const char *at = strstr (text, from);
  g_assert_nonnull (at);
  g_autofree char *head = g_strndup (text, (gsize) (at - text));
  return g_strconcat (head, to, at + strlen (from), NULL);
}

static const BlProblem *
find_problem (const GPtrArray *problems, const char *path)
{
  for (guint i = 0; i < problems->len; i++)
    if (g_str_equal (((BlProblem *) bl_at (problems, i))->path, path))
      return bl_at (problems, i);
  return NULL;
}

static void
test_refused (gconstpointer data)
{
  guint i = GPOINTER_TO_UINT (data);
  g_autofree char *text = example ();
  g_autofree char *wrong = replace_first (text, wrongs[i].from, wrongs[i].to);
  g_autoptr (GPtrArray) problems = new_problems ();
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = bl_document_parse (wrong, -1, problems, &error);
  g_assert_null (board);
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  const BlProblem *problem = find_problem (problems, wrongs[i].path);
  for (guint j = 0; problem == NULL && j < problems->len; j++)
    g_test_message ("%s: %s", ((BlProblem *) bl_at (problems, j))->path,
                    ((BlProblem *) bl_at (problems, j))->message);
  g_assert_nonnull (problem);
  g_assert_false (problem->warning);
  g_test_message ("%s: %s", problem->path, problem->message);
  g_assert_nonnull (strstr (problem->message, wrongs[i].message));
}

static guint
count_errors (const GPtrArray *problems)
{
  guint n = 0;
  for (guint i = 0; i < problems->len; i++)
    n += !((BlProblem *) bl_at (problems, i))->warning;
  return n;
}

/* Every problem is told at once, and the error names the first and counts the others. */
static void
test_all_at_once (void)
{
  g_autofree char *text = example ();
  g_autofree char *one = replace_first (text, "\"maker\"", "\"vendor\"");
  g_autofree char *two = replace_first (one, "\"at\": \"TP5\"", "\"at\": \"TP6\"");
  g_autofree char *three = replace_first (two, "\"weight\": 0.01", "\"weight\": -1");
  g_autoptr (GPtrArray) problems = new_problems ();
  g_autoptr (GError) error = NULL;
  g_assert_null (bl_document_parse (three, -1, problems, &error));
  g_assert_cmpuint (count_errors (problems), ==, 3);
  g_assert_true (g_str_has_prefix (error->message, "$.vendor: "));
  g_assert_nonnull (strstr (error->message, "2 more"));
}

/* A value of the wrong type is told once, not again as one that is missing. */
static void
test_told_once (void)
{
  g_autofree char *text = example ();
  g_autofree char *wrong = replace_first (text, "\"id\": \"E1\"", "\"id\": 1");
  g_autofree char *other = replace_first (wrong, "\"symptom\": \"E1\"", "\"symptom\": []");
  g_autoptr (GPtrArray) problems = new_problems ();
  g_assert_null (bl_document_parse (other, -1, problems, NULL));
  g_assert_cmpuint (count_errors (problems), ==, 2);
}

static void
assert_syntax (const char *text, gssize length, const char *message)
{
  g_autoptr (GPtrArray) problems = new_problems ();
  g_assert_null (bl_document_parse (text, length, problems, NULL));
  g_assert_cmpuint (problems->len, ==, 1);
  const BlProblem *problem = bl_at (problems, 0);
  g_assert_cmpstr (problem->path, ==, "$");
  g_test_message ("%s", problem->message);
  g_assert_nonnull (strstr (problem->message, message));
}

static void
test_syntax (void)
{
  assert_syntax ("{\n  \"format\": ,\n}", -1, "line 2, column 13");
  assert_syntax ("", -1, "line 1");
  assert_syntax ("{\"maker\": \"a\", \"maker\": \"b\"}", -1, "duplicate");
  assert_syntax ("{\"maker\": \"\xff\"}", -1, "0xff");
  assert_syntax ("{\"maker\": \"a\\u0000b\"}", -1, "\\u0000");
  assert_syntax ("{}{}", -1, "end of file");
  assert_syntax ("{\"uid\": 1e999}", -1, "overflow");
  assert_syntax ("[]", -1, "expected an object");
  g_autofree char *deep = g_strnfill (100000, '[');
  assert_syntax (deep, -1, "depth");
}

static void
test_mark_and_length (void)
{
  g_autofree char *text = example ();
  g_autofree char *marked = g_strconcat ("\xef\xbb\xbf", text, "}}}", NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board =
      bl_document_parse (marked, (gssize) strlen (marked) - 3, NULL, &error);
  g_assert_no_error (error);
  g_assert_false (bl_document_is_equipment (text, -1));
  g_assert_true (bl_document_is_equipment ("{\"format\": \"benchlore-equipment\"}", -1));
  g_assert_true (bl_document_is_equipment ("{\"format\": \"benchlore-equipment\"", -1));
  g_assert_false (bl_document_is_equipment ("[1]", -1));
}

static void
assert_warning (const char *from, const char *to, const char *path, const char *message)
{
  g_autofree char *text = example ();
  g_autofree char *changed = replace_first (text, from, to);
  g_autoptr (GPtrArray) problems = new_problems ();
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = bl_document_parse (changed, -1, problems, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (problems->len, ==, 2); /* and the one the example has */
  const BlProblem *problem = find_problem (problems, path);
  g_assert_nonnull (problem);
  g_assert_true (problem->warning);
  g_assert_nonnull (strstr (problem->message, message));
}

static void
test_warnings (void)
{
  assert_warning ("\"low\": 4.8, \"high\": 5.2, \"absent_below\": 0.5, \"source\": \"datasheet\", "
                  "\"marks\": [{\"id\": \"about half\", \"low\": 2, \"high\": 3}]",
                  "\"source\": \"datasheet\"", "$.measurements[1].expected",
                  "nominal without limits");
  assert_warning ("\"y\": 5, \"ground\": \"isolated\"", "\"y\": 5, \"ground\": \"mains\"",
                  "$.measurements[1].black", "mains");
}

/* A mode that blocks what would be read downstream leaves a stage unseen; a direct effect shows it.
 */
static void
test_unseen (void)
{
  g_autofree char *text = example ();
  g_autoptr (BlBoard) board = bl_document_parse (text, -1, NULL, NULL);
  BlStage *rail5 = bl_board_stage (board, "rail5");
  BlFeed *feed = bl_at (rail5->feeds, 0);
  g_autoptr (GPtrArray) before = bl_board_unseen_stages (board);
  /* rx is read by nothing; its connector has no effect but on it. */
  g_assert_cmpuint (before->len, ==, 1);
  g_assert_cmpstr (bl_at (before, 0), ==, "rx");
  for (guint d = 0; d < BL_N_DEVIATIONS; d++)
    feed->passes.to[d] = BL_IN_BAND;
  g_autoptr (GPtrArray) after = bl_board_unseen_stages (board);
  g_assert_cmpuint (after->len, ==, 2);
  g_assert_cmpstr (bl_at (after, 0), ==, "rail12");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/document/example", test_example);
  g_test_add_func ("/document/round-trips", test_round_trips);
  g_test_add_func ("/document/left-out", test_left_out);
  g_test_add_func ("/document/any-value", test_any_value);
  for (guint i = 0; i < G_N_ELEMENTS (wrongs); i++)
    {
      g_autofree char *name = g_strdup_printf ("/document/refused/%u", i);
      g_test_add_data_func (name, GUINT_TO_POINTER (i), test_refused);
    }
  g_test_add_func ("/document/all-at-once", test_all_at_once);
  g_test_add_func ("/document/told-once", test_told_once);
  g_test_add_func ("/document/syntax", test_syntax);
  g_test_add_func ("/document/mark-and-length", test_mark_and_length);
  g_test_add_func ("/document/warnings", test_warnings);
  g_test_add_func ("/document/unseen", test_unseen);
  return g_test_run ();
}
