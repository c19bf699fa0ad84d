/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From a diagnosis to a plan and to acts on parts. */
#include "config.h"

#include "bl-diagnosis.h"
#include "bl-document.h"
#include "bl-plan.h"

#include <math.h>
#include <string.h>
#undef G_DISABLE_ASSERT

/* --- help --- */

static BlBoard *
board_of (const char *body)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *text = g_strdup_printf ("{\"format\": \"benchlore-board\", \"version\": 1, %s}", body);
  g_strdelimit (text, "'", '"');
  BlBoard *board = bl_document_parse (text, -1, NULL, &error);
  g_assert_no_error (error);
  return board;
}

static BlDiagnosis *
diagnose_as (const BlBoard *board, const char *lines, BlDiagnoseFlags flags)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *text = g_strconcat ("measurement,reading,meter\n", lines, NULL);
  g_autoptr (GPtrArray) entries = bl_evidence_parse_csv (board, text, -1, &error);
  g_assert_no_error (error);
  g_autoptr (BlEngine) engine = bl_engine_new (board, &error);
  BlDiagnosis *diagnosis = bl_engine_diagnose (engine, entries, flags, NULL, &error);
  g_assert_no_error (error);
  return diagnosis;
}

static BlDiagnosis *
diagnose (const BlBoard *board, const char *lines)
{
  return diagnose_as (board, lines, BL_DIAGNOSE_ALL | BL_DIAGNOSE_PLAN);
}

/* A bridge that may blow the fuse, a contact that is bad by times, a diode that nothing shows. */
static BlBoard *
small_board (void)
{
  return board_of (
      "'states': [{'id': 'off', 'live': false, 'enter_s': 90}, {'id': 'run', 'live': true, 'volts': 325, 'enter_s': 60}],"
      "'sections': [{'id': 'all', 'kind': 'supply'}],"
      "'stages': [{'id': 'in', 'section': 'all'},"
      "           {'id': 'mid', 'section': 'all', 'feeds': {'from': ['in']}},"
      "           {'id': 'out', 'section': 'all', 'feeds': {'from': ['mid']}}],"
      "'components': ["
      "  {'id': 'F1', 'kind': 'fuse', 'stage': 'in', 'modes': [{'mode': 'open', 'weight': 0.02,"
      "     'effects': [{'is': 'absent'}, {'on': 'MF', 'is': 'open'}]}]},"
      "  {'id': 'BR', 'kind': 'diode', 'stage': 'in', 'modes': [{'mode': 'short', 'weight': 0.05,"
      "     'effects': [{'is': 'absent'}, {'on': 'MB', 'is': 'shorted'}],"
      "     'provokes': [{'component': 'F1', 'mode': 'open', 'chance': 0.8}]}]},"
      "  {'id': 'U1', 'kind': 'ic', 'stage': 'mid', 'modes': [{'mode': 'open', 'weight': 0.04, 'effects': [{'is': 'absent'}]},"
      "     {'mode': 'drift', 'weight': 0.02, 'effects': [{'is': 'low'}]}]},"
      "  {'id': 'X1', 'kind': 'connector', 'stage': 'out', 'test_s': 30, 'replace_s': 200, 'modes': [{'mode': 'poor contact',"
      "     'weight': 0.06, 'shows': {'': 0.4, 'wet': 0.9}, 'effects': [{'is': 'unsteady'}]}]},"
      "  {'id': 'D7', 'kind': 'diode', 'stage': 'out', 'modes': [{'mode': 'open', 'weight': 0.01, 'effects': []}]}],"
      "'test_points': [{'id': 'G'}, {'id': 'H'}],"
      "'measurements': ["
      "  {'id': 'MF', 'measures': 'ohm', 'state': 'off', 'expected': {'nominal': 1, 'low': 0.5, 'high': 2}},"
      "  {'id': 'MB', 'measures': 'ohm', 'state': 'off', 'expected': {'nominal': 1000, 'low': 800, 'high': 1200}},"
      "  {'id': 'M1', 'measures': 'V DC', 'state': 'run', 'reads': 'in', 'black': 'H', 'expected': {'nominal': 325, 'low': 300, 'high': 350}},"
      "  {'id': 'M2', 'measures': 'V DC', 'state': 'run', 'reads': 'mid', 'black': 'G', 'expected': {'nominal': 12, 'low': 11, 'high': 13}},"
      "  {'id': 'M3', 'measures': 'V DC', 'state': 'run', 'reads': 'out', 'black': 'G', 'expected': {'nominal': 12, 'low': 11, 'high': 13}}],"
      "'symptoms': [{'id': 'E1', 'when': [{'on': 'out', 'is': ['absent', 'unsteady']}]}]");
}

/* --- hypotheses --- */

/* The share of hypotheses with a component must be its probability, as exact as what is left out. */
static void
assert_shares (const BlBoard *board, const char *lines, double covered)
{
  g_autoptr (BlDiagnosis) diagnosis = diagnose (board, lines);
  const BlPlan *plan = diagnosis->plan;
  const BlPlanTable *table = plan->table;
  double out = 1 - plan->covered, sum = 0;
  g_assert_cmpfloat (plan->covered, >, covered);
  for (guint h = 0; h < table->n_hypotheses; h++)
    sum += table->prior[h];
  g_assert_cmpfloat_with_epsilon (sum, plan->covered, 1e-9);
  for (guint g = 0; plan->groups[g] != NULL && g < plan->nothing; g++)
    {
      const BlOdd *odd = bl_diagnosis_find (diagnosis->components, plan->groups[g]);
      double exact = g == plan->elsewhere ? diagnosis->elsewhere : odd->probability, share = 0;
      for (guint h = 0; h < table->n_hypotheses; h++)
        if (table->group[h] == (int) g || table->also[h] == (int) g)
          share += table->prior[h];
      g_assert_cmpfloat (share, <, exact + 1e-9);
      /* of three faults two are counted */
      g_assert_cmpfloat (share, >, exact - out - .02);
    }
}

static void
test_shares (void)
{
  g_autoptr (BlBoard) board = small_board ();
  assert_shares (board, "", .97);
  assert_shares (board, "symptom:E1,yes,\n", .97);
  assert_shares (board, "MF,OL,\nsymptom:E1,yes,\n", .97);
  assert_shares (board, "M1,325,\nM2,0.1,1%\nM3,0.0,\npart:U1,open,\n", .97);
  assert_shares (board, "M3,5..12,\nround,wet,\nM3,12,\nM2,12,\n", .97);
  assert_shares (board, "M1,0,\nMF,OL,\npart:F1,replaced,\nM1,0,\nMF,OL,\n", .9);
}

/* Each reading with a lead of its own, more of them than any board has: none is forgotten. */
static void
test_many_leads (void)
{
  enum { N = 40 };
  g_autoptr (GString) body = g_string_new (NULL), lines = g_string_new (NULL);
  g_string_append (body, "'sections': [{'id': 'all', 'kind': 'supply'}], 'states': [{'id': 'run', 'live': true}],"
                         "'stages': [{'id': 'one', 'section': 'all'}, {'id': 'two', 'section': 'all'}],"
                         "'odds': {'setup': 0.2}, 'test_points': [");
  for (guint i = 0; i < N; i++)
    g_string_append_printf (body, "%s{'id': 'G%u'}", i > 0 ? "," : "", i);
  g_string_append (body, "], 'measurements': [{'id': 'MX', 'measures': 'check', 'state': 'run', 'reads': 'two'}");
  for (guint i = 0; i < N; i++)
    {
      g_string_append_printf (body,
                              ",{'id': 'M%u', 'measures': 'V DC', 'state': 'run', 'reads': '%s', 'black': 'G%u',"
                              " 'expected': {'nominal': 5, 'low': 4.8, 'high': 5.2}}",
                              i, i % 2 ? "one" : "two", i);
      g_string_append_printf (lines, "M%u,%s,\n", i, i % 2 && i % 7 ? "0" : "5");
    }
  g_string_append (body, "]");
  g_autoptr (BlBoard) board = board_of (body->str);
  assert_shares (board, lines->str, .97);
}

/* Replaced and good since: nothing is left, and the plan says so. */
static void
test_nothing_left (void)
{
  g_autoptr (BlBoard) board = small_board ();
  g_autoptr (BlDiagnosis) diagnosis
    = diagnose (board, "M1,325,\nM2,0,\nM2,0,\nM3,0,\npart:U1,open,\npart:U1,replaced,\nM1,325,\nM2,12,\nM3,12,\n"
                       "MF,1,\nMB,1000,\n");
  const BlPlan *plan = diagnosis->plan;
  g_assert_cmpint (plan->tree->first->test, ==, -1);
  g_assert_cmpint (plan->tree->first->group, ==, (int) plan->nothing);
}

/* --- the plan --- */

static double
regret_of (const BlPlan *plan, guint test)
{
  return bl_plan_regret_against (plan->table, plan->tree, test, BL_PLAN_REGRET_BUDGET, NULL, NULL);
}

static void
test_plan (void)
{
  g_autoptr (BlBoard) board = small_board ();
  g_autoptr (BlDiagnosis) diagnosis = diagnose (board, "symptom:E1,yes,\n");
  const BlPlan *plan = diagnosis->plan;
  const BlPlanStep *first = plan->tree->first;
  double chance = 0;
  g_assert_cmpint (first->test, >=, 0);
  g_assert_cmpfloat (first->effort, >, 0);
  g_assert_cmpfloat (first->effort, <=, plan->tree->greedy_effort + 1e-9);
  for (guint c = 0; c < first->n_classes; c++)
    chance += first->after[c] != NULL ? first->after[c]->reached : 0;
  g_assert_cmpfloat (chance, >, .9);
  g_assert_cmpfloat (chance, <, 1 + 1e-9);
  g_assert_cmpfloat_with_epsilon (regret_of (plan, (guint) first->test), 0, 1e-6);
  for (guint t = 0; plan->measurements[t] != NULL; t++)
    g_assert_cmpfloat (regret_of (plan, t), >=, 0);
}

/* What has been read is not planned again; nothing is asked for unless it is wished. */
static void
test_asked (void)
{
  g_autoptr (BlBoard) board = small_board ();
  g_autoptr (BlDiagnosis) diagnosis = diagnose (board, "M2,12,\nMB,-,\n");
  g_autoptr (BlDiagnosis) plain = diagnose_as (board, "M2,12,\n", BL_DIAGNOSE_ALL);
  g_autofree char *without = bl_diagnosis_to_json (plain, -1), *with = bl_diagnosis_to_json (diagnosis, -1);
  g_assert_false (g_strv_contains ((const char *const *) diagnosis->plan->measurements, "M2"));
  g_assert_false (g_strv_contains ((const char *const *) diagnosis->plan->measurements, "MB"));
  g_assert_cmpuint (g_strv_length (diagnosis->plan->measurements), ==, 3);
  g_assert_null (plain->plan);
  g_assert_null (plain->acts);
  g_assert_null (strstr (without, "\"plan\""));
  g_assert_nonnull (strstr (with, "\"plan\""));
  g_assert_nonnull (strstr (with, "\"acts\""));
}

/* Which stage is a coarser question than which part: it costs no more. */
static void
test_to_stage (void)
{
  g_autoptr (BlBoard) board = small_board ();
  g_autoptr (BlDiagnosis) part = diagnose (board, "symptom:E1,yes,\n");
  g_autoptr (BlDiagnosis) stage
    = diagnose_as (board, "symptom:E1,yes,\n", BL_DIAGNOSE_PLAN | BL_DIAGNOSE_TO_STAGE);
  g_assert_true (stage->plan->to_stage);
  g_assert_cmpstr (stage->plan->groups[0], ==, "in");
  g_assert_cmpstr (stage->plan->groups[stage->plan->elsewhere], ==, "elsewhere");
  g_assert_cmpfloat (stage->plan->tree->first->effort, <=, part->plan->tree->first->effort + 1e-9);
}

/* A measurement of more classes than the plan can take is left out of it; the diagnosis goes on. */
static void
test_many_classes (void)
{
  g_autoptr (GString) body = g_string_new (
    "'states': [{'id': 'run', 'live': true}], 'sections': [{'id': 'all', 'kind': 'supply'}],"
    "'stages': [{'id': 'one', 'section': 'all'}], 'measurements': ["
    "{'id': 'N', 'measures': 'V DC', 'state': 'run', 'reads': 'one', 'expected': {'nominal': 5, 'low': 4, 'high': 6}},"
    "{'id': 'M', 'measures': 'V DC', 'state': 'run', 'reads': 'one', 'expected': {'nominal': 5, 'low': 4, 'high': 6,"
    " 'marks': [");
  for (guint i = 0; i < 70; i++)
    g_string_append_printf (body, "%s{'id': 'm%u', 'low': %u, 'high': %u}", i > 0 ? "," : "", i, 100 + 2 * i,
                            101 + 2 * i);
  g_string_append (body, "]}}]");
  g_autoptr (BlBoard) board = board_of (body->str);
  g_autoptr (BlDiagnosis) plain = diagnose_as (board, "N,0,\n", BL_DIAGNOSE_ALL);
  g_autoptr (BlDiagnosis) planned = diagnose (board, "N,0,\n");
  g_assert_cmpstr (planned->likely_stage, ==, "one");
  g_assert_cmpfloat (((BlOdd *) bl_at (planned->stages, 0))->probability, ==,
                     ((BlOdd *) bl_at (plain->stages, 0))->probability);
  g_assert_nonnull (planned->plan);
  g_assert_null (planned->plan->measurements[0]);
  g_assert_false (planned->plan->whole || bl_plan_is_least (planned->plan));
  g_autoptr (BlDiagnosis) read = diagnose (board, "N,0,\nM,0,\n");
  g_assert_true (read->plan->whole);
  g_assert_null (planned->not_visible);
}

/* --- acts --- */

/* F. Jensen and T. Nielsen, Bayesian Networks and Decision Graphs, example 9.2: a computer
 * does not start. Data as published; expected costs computed. */
static void
test_start_problem (void)
{
  static const double prior[] = { .80, .15, .05 }; /* program, virus, hardware */
  static const double reboot[] = { 1, 0, 0 }, tool[] = { 0, .95, 0 }, install[] = { .99, .99, 0 }, new[] = { 1, 1, 1 };
  const BlActOption acts[] = { { 500, 0, new }, { 25, 0, install }, { 2, 0, tool }, { 1, 0, reboot } };
  guint order[4];
  g_assert_cmpfloat_with_epsilon (bl_acts_order (3, prior, 4, acts, order), 27.875, 1e-9);
  g_assert_cmpuint (order[0], ==, 3);
  g_assert_cmpuint (order[1], ==, 2);
  g_assert_cmpuint (order[2], ==, 1);
  g_assert_cmpuint (order[3], ==, 0);
}

/* Look at each in turn, repair the one that is bad: probability over the cost of looking is best,
 * whatever repairing costs (D. Heckerman, J. Breese and K. Rommelse, Decision-theoretic
 * troubleshooting, CACM 38(3), 1995; from memory). Own figures: capacitor, driver, relay, regulator,
 * diode; the least, 17.025, by enumeration of all orders. */
static void
test_observe_then_repair (void)
{
  static const double prior[] = { .40, .25, .20, .10, .05 };
  static const double look[] = { 4, 2, 6, 1, .5 }, repair[] = { 10, 8, 15, 12, 3 };
  double fixes[5][5] = { { 0 } };
  BlActOption acts[20];
  guint order[20];
  for (guint i = 0; i < 5; i++)
    {
      fixes[i][i] = 1;
      acts[i] = (BlActOption){ look[i], repair[i], fixes[i] };
    }
  g_assert_cmpfloat_with_epsilon (bl_acts_order (5, prior, 5, acts, order), 17.025, 1e-9);
  g_assert_cmpuint (order[0], ==, 1);
  g_assert_cmpuint (order[4], ==, 2);
}

/* Beyond what is tried in every order, the ratio is followed: with faults of their own no worse. */
static void
test_many_acts (void)
{
  enum { N = 14 };
  double prior[N], fixes[N][N] = { { 0 } }, expected = 0, left = 1;
  BlActOption acts[N];
  guint order[N];
  for (guint i = 0; i < N; i++)
    {
      prior[i] = 1.0 / N;
      fixes[i][i] = 1;
      acts[i] = (BlActOption){ N - i, 0, fixes[i] };
    }
  for (guint i = 0; i < N; i++, left -= 1.0 / N)
    expected += (i + 1) * left;
  g_assert_cmpfloat_with_epsilon (bl_acts_order (N, prior, N, acts, order), expected, 1e-9);
  g_assert_cmpuint (order[0], ==, N - 1);
}

static const BlAct *
act_on (const BlDiagnosis *diagnosis, const char *id)
{
  for (guint i = 0; i < diagnosis->acts->list->len; i++)
    if (strcmp (((BlAct *) bl_at (diagnosis->acts->list, i))->component, id) == 0)
      return bl_at (diagnosis->acts->list, i);
  return NULL;
}

/* A blown fuse is not to be replaced while the bridge that may have blown it is untested. */
static void
test_causes_first (void)
{
  g_autoptr (BlBoard) board = small_board ();
  g_autoptr (BlDiagnosis) before = diagnose (board, "M1,0,\nMF,OL,\nMF,OL,\npart:F1,open,\n");
  g_autoptr (BlDiagnosis) after = diagnose (board, "M1,0,\nMF,OL,\nMF,OL,\npart:F1,open,\npart:BR,good,\nMB,1000,\n");
  const BlAct *fuse = act_on (before, "F1");
  g_assert_nonnull (fuse);
  g_assert_false (fuse->replace);
  g_assert_nonnull (fuse->causes);
  g_assert_cmpstr (fuse->causes[0], ==, "BR");
  g_assert_cmpstr (act_on (before, "BR")->measurement, ==, "MB");
  fuse = act_on (after, "F1");
  g_assert_true (fuse->replace);
  g_assert_null (fuse->causes);
  g_assert_null (act_on (after, "BR"));
  g_assert_cmpstr (after->acts->stage, ==, "in");
}

/* A measurement in a state that may be live is no test of a part without power: the document must say
 * that it is not. */
static void
test_not_said_live (void)
{
  g_autoptr (BlBoard) board = small_board ();
  bl_board_state (board, "off")->live = -1;
  g_autoptr (BlDiagnosis) diagnosis = diagnose (board, "M1,0,\nMF,OL,\nMF,OL,\npart:F1,open,\n");
  g_assert_null (act_on (diagnosis, "BR")->measurement);
  g_assert_cmpfloat (act_on (diagnosis, "BR")->cost_s, ==, BL_ACT_TEST_S);
}

/* The document's own figures count; a nearly certain part is replaced at once. */
static void
test_costs (void)
{
  g_autoptr (BlBoard) board = small_board ();
  g_autoptr (BlDiagnosis) diagnosis = diagnose (board, "symptom:E1,yes,\n");
  g_autoptr (BlDiagnosis) certain = diagnose (board, "M1,325,\nM2,12,\nM3,5..12,\nM3,5..12,\npart:X1,poor contact,\n");
  g_assert_cmpfloat (act_on (diagnosis, "X1")->cost_s, ==, 30);
  g_assert_cmpfloat (act_on (diagnosis, "X1")->replace_s, ==, 200);
  g_assert_cmpfloat (act_on (diagnosis, "U1")->cost_s, ==, BL_ACT_TEST_S);
  g_assert_true (act_on (certain, "X1")->replace);
  g_assert_cmpfloat (act_on (certain, "X1")->cost_s, ==, 200);
}

/* --- what nothing shows --- */

static gboolean
is_listed (const GPtrArray *list, const char *name)
{
  return g_ptr_array_find_with_equal_func ((GPtrArray *) list, name, g_str_equal, NULL);
}

static void
test_not_visible (void)
{
  g_autoptr (BlBoard) board = small_board ();
  g_autoptr (BlDiagnosis) good = diagnose (board, "M1,325,\nM2,12,\nM3,12,\nMF,1,\nMB,1000,\n");
  g_autoptr (BlDiagnosis) cut_off = diagnose (board, "M3,-,\n");
  g_assert_cmpuint (good->not_visible->len, ==, 1);
  g_assert_true (is_listed (good->not_visible, "D7:open"));
  g_assert_true (is_listed (cut_off->not_visible, "X1:poor contact"));
  /* and good readings leave it as it was, beside the others */
  g_autoptr (BlDiagnosis) none = diagnose (board, "");
  double before = bl_diagnosis_find (none->components, "D7")->probability
                  / bl_diagnosis_find (none->components, "U1")->probability;
  double after = bl_diagnosis_find (good->components, "D7")->probability
                 / bl_diagnosis_find (good->components, "U1")->probability;
  g_assert_cmpfloat (after, >, before);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/plan-board/shares", test_shares);
  g_test_add_func ("/plan-board/many-leads", test_many_leads);
  g_test_add_func ("/plan-board/many-classes", test_many_classes);
  g_test_add_func ("/plan-board/nothing-left", test_nothing_left);
  g_test_add_func ("/plan-board/plan", test_plan);
  g_test_add_func ("/plan-board/asked", test_asked);
  g_test_add_func ("/plan-board/to-stage", test_to_stage);
  g_test_add_func ("/acts/start-problem", test_start_problem);
  g_test_add_func ("/acts/observe-then-repair", test_observe_then_repair);
  g_test_add_func ("/acts/many", test_many_acts);
  g_test_add_func ("/acts/causes-first", test_causes_first);
  g_test_add_func ("/acts/not-said-live", test_not_said_live);
  g_test_add_func ("/acts/costs", test_costs);
  g_test_add_func ("/plan-board/not-visible", test_not_visible);
  return g_test_run ();
}
