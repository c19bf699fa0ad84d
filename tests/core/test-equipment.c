/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Joining boards: ids with roles, conductors and cables, states, shares, and what must be refused.
 * The two boards are as small as the example of the format needs. */
#include "config.h"

#include "bl-document.h"

#include <string.h>

static const char inside[] =
    "{'format': 'benchlore-board', 'version': 1,"
    " 'states': [{'id': 'off', 'enter_s': 90, 'dead_proof': ['M0']},"
    "            {'id': 'run', 'live': true, 'volts': 230, 'lasts_s': 180}],"
    " 'photos': [{'id': 'front', 'file': 'photos/front.jpg'}],"
    " 'sections': [{'id': 'link', 'outlines': [{'photo': 'front', 'points': "
    "[[0,0],[9,0],[9,9]]}]}],"
    " 'ports': [{'id': 'S'}, {'id': 'T'}],"
    " 'stages': [{'id': 'rx', 'section': 'link', 'feeds': {'from': ["
    "     {'stage': 'port:S', 'passes': {'high': 'in band'}}, 'port:T']}}],"
    " 'components': [{'id': 'R1', 'kind': 'thing', 'stage': 'rx', 'photo': 'front', 'modes': ["
    "     {'mode': 'open', 'weight': 3, 'effects': [{'is': 'absent', 'in': ['run']},"
    "      {'on': 'MS', 'is': 'low'}], 'provokes': [{'component': 'R1', 'mode': 'drift'}]},"
    "     {'mode': 'drift', 'weight': 1, 'effects': [{'is': 'low'}]}]}],"
    " 'test_points': [{'id': 'TP1', 'photo': 'front'}],"
    " 'measurements': [{'id': 'M0', 'measures': 'V DC', 'state': 'off'},"
    "     {'id': 'MS', 'measures': 'V DC', 'state': 'run', 'reads': 'rx', 'at': 'TP1', 'black': "
    "'TP1',"
    "      'expected': {'low': 1, 'high': 2, 'follows': {'measurement': 'M0',"
    "                   'points': [[0, 1], [1, 2]]}}}],"
    " 'symptoms': [{'id': 'E1', 'when': [{'on': 'rx', 'is': 'absent', 'state': 'run'}]}],"
    " 'indications': [{'symptom': 'E1'}]}";

static const char outside[] =
    "{'format': 'benchlore-board', 'version': 1,"
    " 'states': [{'id': 'run', 'title': 'Running', 'volts': 325, 'lasts_s': 60},"
    "            {'id': 'standby'}],"
    " 'sections': [{'id': 'link'}],"
    " 'stages': [{'id': 'link_out', 'section': 'link'}],"
    " 'components': [{'id': 'PC2', 'kind': 'thing', 'weight': 8, 'stage': 'link_out', 'modes': ["
    "     {'mode': 'LED open', 'effects': [{'is': 'absent'}]}, {'mode': 'weak'}]}]}";

static const char equipment[] =
    "{'format': 'benchlore-equipment', 'version': 1, 'title': 'Pair', 'odds': {'faults': 0.3},"
    " 'states': [{'id': 'standby', 'title': 'Own', 'enter_s': 5}, {'id': 'lifted'}],"
    " 'test_points': [{'id': 'TPW'}],"
    " 'boards': [{'role': 'inside', 'board': 'inside.json'},"
    "            {'role': 'outside', 'board': 'sub/outside.json'}],"
    " 'conductors': [{'id': 'W3', 'title': 'signal', 'from': 'outside/link_out', 'to': 'inside/S',"
    "     'modes': [{'mode': 'open', 'weight': 1, 'effects': [{'is': 'absent'}]},"
    "               {'mode': 'poor', 'weight': 2, 'effects': [{'is': 'unsteady'}]}]}],"
    " 'cables': [{'id': 'CB1', 'conductors': ['W3'], 'modes': [{'mode': 'leak', 'weight': 3,"
    "     'effects': [{'on': 'W3', 'is': 'low'}]}]}],"
    " 'effects': [{'of': 'outside/PC2', 'mode': 'LED open', 'on': 'inside/MS', 'is': 'high'}],"
    " 'shares': {'inside': 0.5, 'outside': 0.2, 'conductors': 0.3},"
    " 'measurements': [{'id': 'C3', 'measures': 'continuity', 'state': 'lifted', 'at': 'TPW'}],"
    " 'symptoms': [{'id': 'E9', 'when': [{'on': 'W3', 'is': 'absent'}]}],"
    " 'indications': [{'symptom': 'inside/E1'}]}";

/* The documents above with the quotation marks of JSON. */
static char *
quoted (const char *text)
{
  return g_strdelimit (g_strdup (text), "'", '"');
}

static char *
load (const char *path, gsize *length, gpointer data, GError **error)
{
  GHashTable *others = data;
  const char *text = others != NULL ? g_hash_table_lookup (others, path) : NULL;
  if (text == NULL && g_str_equal (path, "inside.json"))
    text = inside;
  if (text == NULL && g_str_equal (path, "sub/outside.json"))
    text = outside;
  if (text == NULL)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, "%s is not there", path);
      return NULL;
    }
  char *json = quoted (text);
  *length = strlen (json);
  return json;
}

static GPtrArray *
new_problems (void)
{
  return g_ptr_array_new_with_free_func ((GDestroyNotify) bl_problem_free);
}

static BlBoard *
join (void)
{
  g_autofree char *text = quoted (equipment);
  g_autoptr (GPtrArray) problems = new_problems ();
  g_autoptr (GError) error = NULL;
  BlBoard *board = bl_equipment_parse (text, -1, load, NULL, problems, &error);
  g_assert_no_error (error);
  for (guint i = 0; i < problems->len; i++)
    g_assert_true (((BlProblem *) bl_at (problems, i))->warning);
  return board;
}

static void
test_ids (void)
{
  g_autoptr (BlBoard) board = join ();
  const BlStage *rx = bl_board_stage (board, "inside/rx");
  const BlComponent *r1 = bl_board_component (board, "inside/R1");
  const BlMeasurement *ms = bl_board_measurement (board, "inside/MS");
  const BlMode *open = bl_component_mode (r1, "open");
  g_assert_cmpstr (board->model, ==, "Pair");
  g_assert_cmpstr (rx->section, ==, "inside/link");
  g_assert_nonnull (bl_board_section (board, "outside/link"));
  g_assert_cmpstr (r1->stage, ==, "inside/rx");
  g_assert_cmpstr (r1->photo, ==, "inside/front");
  g_assert_cmpstr (((BlEffect *) bl_at (open->effects, 1))->on, ==, "inside/MS");
  g_assert_cmpstr (((BlEffect *) bl_at (open->effects, 0))->in[0], ==, "run");
  g_assert_cmpstr (((BlProvokes *) bl_at (open->provokes, 0))->component, ==, "inside/R1");
  g_assert_cmpstr (ms->at, ==, "inside/TP1");
  g_assert_cmpstr (ms->black, ==, "inside/TP1");
  g_assert_cmpstr (ms->state, ==, "run");
  g_assert_cmpstr (ms->expected.follows->measurement, ==, "inside/M0");
  g_assert_cmpstr (bl_board_test_point (board, "inside/TP1")->photo, ==, "inside/front");
  const BlSection *link = bl_board_section (board, "inside/link");
  g_assert_cmpstr (((BlOutline *) bl_at (link->outlines, 0))->photo, ==, "inside/front");
  const BlSymptom *e1 = bl_board_symptom (board, "inside/E1");
  g_assert_cmpstr (((BlWhen *) bl_at (e1->when, 0))->on, ==, "inside/rx");
  g_assert_cmpstr (((BlIndication *) bl_at (board->indications, 0))->symptom, ==, "inside/E1");
  g_assert_nonnull (bl_board_symptom (board, "E9"));
  g_assert_cmpstr (((BlSymptom *) bl_at (board->symptoms, 0))->id, ==, "E9"); /* before those of the boards */
}

static void
test_conductors (void)
{
  g_autoptr (BlBoard) board = join ();
  const BlStage *w3 = bl_board_stage (board, "W3"), *rx = bl_board_stage (board, "inside/rx");
  const BlFeed *first = bl_at (rx->feeds, 0), *second = bl_at (rx->feeds, 1);
  g_assert_null (w3->section);
  g_assert_cmpstr (((BlFeed *) bl_at (w3->feeds, 0))->from, ==, "outside/link_out");
  g_assert_cmpstr (bl_board_component (board, "W3")->stage, ==, "W3");
  g_assert_cmpstr (first->from, ==, "W3");
  g_assert_cmpint (first->passes.to[BL_HIGH], ==, BL_IN_BAND);
  g_assert_cmpstr (second->from, ==, "port:inside/T");
  g_assert_null (bl_board_port (board, "inside/S"));
  g_assert_nonnull (bl_board_port (board, "inside/T"));
  g_assert_null (bl_board_component (board, "CB1")->stage);
  const BlMode *led = bl_component_mode (bl_board_component (board, "outside/PC2"), "LED open");
  g_assert_cmpuint (led->effects->len, ==, 2);
  g_assert_cmpstr (((BlEffect *) bl_at (led->effects, 1))->on, ==, "inside/MS");
  g_assert_cmpstr (((BlEffect *) bl_at (led->effects, 1))->is[0], ==, "high");
}

static void
test_states (void)
{
  g_autoptr (BlBoard) board = join ();
  const BlState *run = bl_board_state (board, "run"), *standby = bl_board_state (board, "standby");
  const char *const order[] = { "off", "run", "standby", "lifted" };
  g_assert_cmpuint (board->states->len, ==, G_N_ELEMENTS (order));
  for (guint i = 0; i < G_N_ELEMENTS (order); i++)
    g_assert_cmpstr (((BlState *) bl_at (board->states, i))->id, ==, order[i]);
  g_assert_cmpint (run->live, ==, 1);
  g_assert_cmpfloat (run->volts, ==, 325);
  g_assert_cmpfloat (run->lasts_s, ==, 60);
  g_assert_true (isnan (run->enter_s));
  g_assert_cmpstr (run->title, ==, "Running");
  g_assert_cmpstr (standby->title, ==, "Own");
  g_assert_cmpfloat (standby->enter_s, ==, 5);
  g_assert_cmpstr (bl_board_state (board, "off")->dead_proof[0], ==, "inside/M0");
  g_assert_cmpfloat (bl_board_odds (board).faults, ==, 0.3);
  g_assert_cmpfloat (bl_board_odds (board).setup, ==, 0.01);
}

static double
weight (const BlBoard *board, const char *component, const char *mode)
{
  const BlComponent *of = bl_board_component (board, component);
  return bl_board_mode_weight (board, of, bl_component_mode (of, mode));
}

static void
test_shares (void)
{
  g_autoptr (BlBoard) board = join ();
  g_assert_cmpfloat_with_epsilon (weight (board, "inside/R1", "open"), 0.5 * 3 / 4, 1e-15);
  g_assert_cmpfloat_with_epsilon (weight (board, "inside/R1", "drift"), 0.5 / 4, 1e-15);
  g_assert_cmpfloat_with_epsilon (weight (board, "outside/PC2", "weak"), 0.1, 1e-15);
  g_assert_cmpfloat_with_epsilon (weight (board, "W3", "open"), 0.3 / 6, 1e-15);
  g_assert_cmpfloat_with_epsilon (weight (board, "W3", "poor"), 0.6 / 6, 1e-15);
  g_assert_cmpfloat_with_epsilon (weight (board, "CB1", "leak"), 0.9 / 6, 1e-15);
}

/* Without shares each keeps what it has; a conductor's kind is in no table. */
static void
test_no_shares (void)
{
  g_autofree char *text =
      quoted ("{'format': 'benchlore-equipment', 'version': 1,"
              " 'boards': [{'role': 'inside', 'board': './inside.json'}],"
              " 'conductors': [{'id': 'W', 'modes': [{'mode': 'open'}, {'mode': 'short'}]}]}");
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = bl_equipment_parse (text, -1, load, NULL, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpfloat (weight (board, "inside/R1", "open"), ==, 3);
  g_assert_cmpfloat (weight (board, "W", "open"), ==, 0.01);
}

static const struct
{
  const char *from, *to, *path, *message;
} wrongs[] = {
  { "'title'", "'name'", "$.name", "unknown key" },
  { "'inside.json'", "'../inside.json'", "$.boards[0].board", "inside the folder" },
  { "'inside.json'", "'/inside.json'", "$.boards[0].board", "inside the folder" },
  { "'inside.json'", "'missing.json'", "$.boards[0].board", "missing.json is not there" },
  { "'role': 'outside'", "'role': 'inside'", "$.boards[1].role", "already" },
  { "'role': 'outside'", "'role': 'conductors'", "$.boards[1].role", "no role" },
  { "'outside/link_out'", "'outside/nothing'", "$.conductors[0].from", "no stage" },
  { "'outside/link_out'", "'inside/rx'", "$.conductors",
    "loop of feeds: inside/rx -> W3 -> inside/rx" },
  { "'to': 'inside/S'", "'to': 'S'", "$.conductors[0].to", "no port" },
  { "'cables'", "'cables': [], 'cables'", "$", "duplicate" },
  { "'conductors': [{", "'conductors': [{'id': 'W4', 'to': 'inside/S'}, {", "$.conductors[1].to",
    "joined to “W4”" },
  { "'id': 'CB1'", "'id': 'W3'", "$.cables[0].id", "conductor" },
  { "['W3']", "['W8']", "$.cables[0].conductors[0]", "W8" },
  { "{'on': 'W3', 'is': 'low'}", "{'is': 'low'}", "$.cables[0].modes[0].effects[0].on",
    "required" },
  { "[{'is': 'unsteady'}]", "[{'is': 'in band'}]", "$.conductors[0].modes[1].effects[0].is",
    "in band" },
  { "'of': 'outside/PC2'", "'of': 'PC2'", "$.effects[0].of", "no component" },
  { "'mode': 'LED open'", "'mode': 'x'", "$.effects[0].mode", "no mode" },
  { "'on': 'inside/MS'", "'on': 'MS'", "$.effects[0].on", "MS" },
  { "'is': 'high'", "'is': 'open'", "$.effects[0].is", "no class" },
  { "'outside': 0.2, ", "", "$.shares.outside", "required" },
  { "'inside': 0.5", "'inside': -1", "$.shares.inside", "at least 0" },
  { "'inside': 0.5", "'inside': 0.5, 'attic': 1", "$.shares.attic", "no role" },
  { "'state': 'lifted'", "'state': 'lowered'", "$.measurements[0].state", "lowered" },
  { "'id': 'C3'", "'id': 'W3'", "$.measurements[0].id", "stage" },
  { "'faults': 0.3", "'faults': 3", "$.odds.faults", "0 to 1" },
  { "'symptom': 'inside/E1'", "'symptom': 'E1'", "$.indications[0].symptom", "E1" },
};

static char *
replace_first (const char *text, const char *from, const char *to)
{
  const char *at = strstr (text, from);
  g_assert_nonnull (at);
  g_autofree char *head = g_strndup (text, (gsize) (at - text));
  return g_strconcat (head, to, at + strlen (from), NULL);
}

static void
assert_problem (const char *text, GHashTable *others, const char *path, const char *message)
{
  g_autofree char *json = quoted (text);
  g_autoptr (GPtrArray) problems = new_problems ();
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = bl_equipment_parse (json, -1, load, others, problems, &error);
  g_assert_null (board);
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  gboolean found = FALSE;
  for (guint i = 0; i < problems->len; i++)
    {
      const BlProblem *problem = bl_at (problems, i);
      g_test_message ("%s: %s", problem->path, problem->message);
      found = found || (!problem->warning && g_str_equal (problem->path, path) &&
                        strstr (problem->message, message) != NULL);
    }
  g_assert_true (found);
}

static void
test_refused (void)
{
  for (guint i = 0; i < G_N_ELEMENTS (wrongs); i++)
    {
      g_autofree char *wrong = replace_first (equipment, wrongs[i].from, wrongs[i].to);
      assert_problem (wrong, NULL, wrongs[i].path, wrongs[i].message);
    }
}

/* A problem of a board is told with the board's path, and nothing else is made of it. */
static void
test_wrong_board (void)
{
  g_autoptr (GHashTable) others = g_hash_table_new (g_str_hash, g_str_equal);
  g_autofree char *wrong = replace_first (outside, "'section': 'link'", "'section': 'knil'");
  g_hash_table_insert (others, (gpointer) "sub/outside.json", wrong);
  assert_problem (equipment, others, "sub/outside.json: $.stages[0].section", "knil");
  g_hash_table_insert (others, (gpointer) "sub/outside.json", (gpointer) "{");
  assert_problem (equipment, others, "sub/outside.json: $", "line 1");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/equipment/ids", test_ids);
  g_test_add_func ("/equipment/conductors", test_conductors);
  g_test_add_func ("/equipment/states", test_states);
  g_test_add_func ("/equipment/shares", test_shares);
  g_test_add_func ("/equipment/no-shares", test_no_shares);
  g_test_add_func ("/equipment/refused", test_refused);
  g_test_add_func ("/equipment/wrong-board", test_wrong_board);
  return g_test_run ();
}
