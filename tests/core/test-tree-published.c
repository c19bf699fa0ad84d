/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Published networks and circuits written as fault trees: chances that depend on a cause become
 * independent events, one for each state of the causes, so posteriors of a network are posteriors of
 * a tree.
 *
 * Sources: Lauritzen and Spiegelhalter 1988 (chest clinic; tables and the printed values as in the
 * data of two open network libraries); burglary and sprinkler networks of the well-known AI textbook
 * (the first one's P(B | j, m) is a published test constant, values of the second from memory);
 * circuit c17 of the ISCAS-85 benchmarks (Brglez and Fujiwara 1985). Digits beyond the printed ones
 * and the diagnoses of c17 are of an enumeration by another program. */
#undef G_DISABLE_ASSERT
#include "fixture-tree.h"

#include <math.h>

static const char clinic[] =
    "top dysp\n"
    "event asia .01\nevent smoke .5\ngate no_asia not 0 asia\ngate no_smoke not 0 smoke\n"
    "event t1 .05\nevent t0 .01\ngate ta and 0 asia t1\ngate tb and 0 no_asia t0\ngate tub or 0 ta tb\n"
    "event l1 .1\nevent l0 .01\ngate la and 0 smoke l1\ngate lb and 0 no_smoke l0\ngate lung or 0 la lb\n"
    "event b1 .6\nevent b0 .3\ngate ba and 0 smoke b1\ngate bb and 0 no_smoke b0\ngate bronc or 0 ba bb\n"
    "gate either or 0 tub lung\ngate no_either not 0 either\ngate no_bronc not 0 bronc\n"
    "event x1 .98\nevent x0 .05\ngate xa and 0 either x1\ngate xb and 0 no_either x0\ngate xray or 0 xa xb\n"
    "event d11 .9\nevent d10 .8\nevent d01 .7\nevent d00 .1\n"
    "gate da and 0 bronc either d11\ngate db and 0 bronc no_either d10\n"
    "gate dc and 0 no_bronc either d01\ngate dd and 0 no_bronc no_either d00\n"
    "gate dysp or 0 da db dc dd\n";

static double
probability_of (const BlTree *tree, const BlTreeResult *result, const char *id)
{
  return g_array_index (result->node_probability, double, bl_tree_find (tree, id));
}

/* Adds "asia !xray": names given true, or false with the mark. */
static void
give_all (GArray *givens, const BlTree *tree, const char *names)
{
  g_auto (GStrv) words = g_strsplit (names, " ", -1);

  for (char **at = words; *at != NULL && **at != '\0'; at++)
    give (givens, tree, **at == '!' ? *at + 1 : *at, **at != '!');
}

static void
test_chest_clinic (void)
{
  static const struct
  {
    const char *given;
    double tub, smoke, lung, bronc, either; /* printed to six digits; the first row's to four */
  } rows[] = {
    { "", .0104, .5, .055, .45, .064828 },
    { "asia dysp", .087751, .625920, .099525, .811402, .182300 },
    { "dysp", .018845, .633997, .102759, .833967, .120536 },
    { "xray", .092411, .687754, .488711, .506326, .576040 },
    { "xray dysp", .113933, .785610, .621253, .681869, .728725 },
    { "asia dysp xray", .391712, .702025, .444271, .628822, .813769 },
    { "asia dysp !xray", .002249, .604512, .002550, .862761, .004672 },
    { "asia dysp xray smoke", .289581, 1, .579163, .700920, .839786 },
    { "!smoke xray dysp", .255625, 0, .245793, .565205, .498862 },
  };
  g_autoptr (BlTree) tree = tree_from (clinic);

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (GArray) givens = g_array_new (FALSE, FALSE, sizeof (BlGiven));
      give_all (givens, tree, rows[i].given);
      g_autoptr (BlTreeResult) result = evaluate (tree, givens, 0);

      g_assert_true (bl_tree_weigh_nodes (tree, givens, 0, result, NULL));
      g_assert_cmpfloat_with_epsilon (probability_of (tree, result, "tub"), rows[i].tub, 6e-7);
      g_assert_cmpfloat_with_epsilon (probability_of (tree, result, "smoke"), rows[i].smoke, 6e-7);
      g_assert_cmpfloat_with_epsilon (probability_of (tree, result, "lung"), rows[i].lung, 6e-7);
      g_assert_cmpfloat_with_epsilon (probability_of (tree, result, "bronc"), rows[i].bronc, 6e-7);
      g_assert_cmpfloat_with_epsilon (probability_of (tree, result, "either"), rows[i].either, 6e-7);
    }
}

/* The printed probability of the evidence, and what follows when that is the top. */
static void
test_chest_clinic_evidence (void)
{
  g_autofree char *text = g_strconcat (clinic, "gate seen and 0 asia dysp\n", NULL);
  g_autoptr (BlTree) tree = tree_from (text);
  tree->top = (guint) bl_tree_find (tree, "seen");
  g_autoptr (BlTreeResult) result = evaluate (tree, NULL, 0);

  g_assert_cmpfloat_with_epsilon (result->probability, .004501375, 1e-15);
  g_assert_true (bl_tree_weigh_nodes (tree, NULL, 0, result, NULL));
  g_assert_cmpfloat_with_epsilon (
      g_array_index (result->node_posterior, double, bl_tree_find (tree, "lung")), .0995251, 5e-8);
  g_assert_cmpfloat_with_epsilon (
      g_array_index (result->node_posterior, double, bl_tree_find (tree, "bronc")), .8114021, 5e-8);
}

static void
test_burglary (void)
{
  g_autoptr (BlTree) tree = tree_from (
      "top called\ngate called and 0 john mary\n"
      "event burglary .001\nevent earthquake .002\n"
      "gate nb not 0 burglary\ngate ne not 0 earthquake\n"
      "event a11 .95\nevent a10 .94\nevent a01 .29\nevent a00 .001\n"
      "gate w and 0 burglary earthquake a11\ngate x and 0 burglary ne a10\n"
      "gate y and 0 nb earthquake a01\ngate z and 0 nb ne a00\ngate alarm or 0 w x y z\n"
      "gate quiet not 0 alarm\nevent j1 .9\nevent j0 .05\nevent m1 .7\nevent m0 .01\n"
      "gate ja and 0 alarm j1\ngate jb and 0 quiet j0\ngate john or 0 ja jb\n"
      "gate ma and 0 alarm m1\ngate mb and 0 quiet m0\ngate mary or 0 ma mb\n");
  g_autoptr (BlTreeResult) result = evaluate (tree, NULL, 0);

  g_assert_cmpfloat_with_epsilon (event_of (tree, result, "burglary")->posterior, .2841718353643929, 1e-14);
  g_assert_cmpfloat_with_epsilon (event_of (tree, result, "earthquake")->posterior, .176066838, 5e-10);
  g_assert_cmpfloat_with_epsilon (result->probability, .002084100239, 5e-13);
  g_assert_true (bl_tree_weigh_nodes (tree, NULL, 0, result, NULL));
  g_assert_cmpfloat_with_epsilon (
      g_array_index (result->node_posterior, double, bl_tree_find (tree, "alarm")), .760692039, 5e-10);
  g_assert_cmpfloat_with_epsilon (probability_of (tree, result, "john"), .0521389757, 5e-11);
}

/* Wet grass: a second cause explains the first away. */
static void
test_sprinkler (void)
{
  g_autoptr (BlTree) tree = tree_from (
      "top wet\nevent cloudy .5\ngate clear not 0 cloudy\nevent s1 .1\nevent s0 .5\nevent r1 .8\nevent r0 .2\n"
      "gate sa and 0 cloudy s1\ngate sb and 0 clear s0\ngate sprinkler or 0 sa sb\n"
      "gate ra and 0 cloudy r1\ngate rb and 0 clear r0\ngate rain or 0 ra rb\n"
      "gate ns not 0 sprinkler\ngate nr not 0 rain\nevent w11 .99\nevent w10 .9\nevent w01 .9\n"
      "gate wa and 0 sprinkler rain w11\ngate wb and 0 sprinkler nr w10\ngate wc and 0 ns rain w01\n"
      "gate wet or 0 wa wb wc\n");
  g_autoptr (GArray) givens = g_array_new (FALSE, FALSE, sizeof (BlGiven));
  give_all (givens, tree, "wet");
  g_autoptr (BlTreeResult) wet = evaluate (tree, givens, 0), prior = evaluate (tree, NULL, 0);

  g_assert_cmpfloat_with_epsilon (prior->probability, .6471, 1e-14);
  g_assert_true (bl_tree_weigh_nodes (tree, givens, 0, wet, NULL));
  g_assert_cmpfloat_with_epsilon (probability_of (tree, wet, "sprinkler"), .429764, 5e-7);
  g_assert_cmpfloat_with_epsilon (probability_of (tree, wet, "rain"), .707928, 5e-7);
  give_all (givens, tree, "rain");
  g_assert_true (bl_tree_weigh_nodes (tree, givens, 0, wet, NULL));
  g_assert_cmpfloat_with_epsilon (probability_of (tree, wet, "sprinkler"), .194499, 5e-7);
}

/* Six NAND gates; a faulty one gives anything: its output is that of an event of one half. */
static char *
c17 (void)
{
  static const struct
  {
    int gate, a, b;
  } gates[] = { { 10, 1, 3 }, { 11, 3, 6 }, { 16, 2, 11 }, { 19, 11, 7 }, { 22, 10, 16 }, { 23, 16, 19 } };
  GString *text = g_string_new ("top n22\n");

  for (int i = 1; i <= 7; i++)
    if (i != 4 && i != 5)
      g_string_append_printf (text, "event n%d .5\n", i);
  for (gsize i = 0; i < G_N_ELEMENTS (gates); i++)
    {
      int n = gates[i].gate;
      g_string_append_printf (text,
                              "event f%d .01\nevent any%d .5\ngate sound%d not 0 f%d\n"
                              "gate right%d nand 0 n%d n%d\ngate a%d and 0 sound%d right%d\n"
                              "gate b%d and 0 f%d any%d\ngate n%d or 0 a%d b%d\n",
                              n, n, n, n, n, gates[i].a, gates[i].b, n, n, n, n, n, n, n, n, n);
    }
  return g_string_free (text, FALSE);
}

/* Whether these gates alone can be the faulty ones when both outputs are wrong at inputs 1, 1, 0, 1,
 * 1 (of lines 1, 2, 3, 6, 7). faulty: a bit for each gate in its order. */
static gboolean
can_be (const BlTree *tree, guint faulty)
{
  static const char *const faults[] = { "f10", "f11", "f16", "f19", "f22", "f23" };
  g_autoptr (GArray) givens = g_array_new (FALSE, FALSE, sizeof (BlGiven));
  g_autoptr (GError) error = NULL;
  g_autoptr (BlTreeResult) result = NULL;

  give_all (givens, tree, "n1 n2 !n3 n6 n7 !n22 !n23");
  for (guint i = 0; i < G_N_ELEMENTS (faults); i++)
    give (givens, tree, faults[i], (faulty >> i & 1) != 0);
  result = bl_tree_evaluate (tree, givens, 0, 0, &error);
  if (result == NULL)
    g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_IMPOSSIBLE);
  return result != NULL;
}

static void
test_c17 (void)
{
  static const guint minimal[] = { 1u << 1, 1u << 2 | 1u << 3, 1u << 2 | 1u << 5, 1u << 4 | 1u << 5 };
  g_autofree char *text = c17 ();
  g_autoptr (BlTree) tree = tree_from (text);
  g_autoptr (GArray) givens = g_array_new (FALSE, FALSE, sizeof (BlGiven));

  /* sound, the outputs are 1 and 1 */
  give_all (givens, tree, "n1 n2 !n3 n6 n7 !f10 !f11 !f16 !f19 !f22 !f23");
  g_autoptr (BlTreeResult) sound = evaluate (tree, givens, 0);
  g_assert_true (bl_tree_weigh_nodes (tree, givens, 0, sound, NULL));
  g_assert_cmpfloat (probability_of (tree, sound, "n22"), ==, 1);
  g_assert_cmpfloat (probability_of (tree, sound, "n23"), ==, 1);
  /* both 0: exactly the sets that hold {11}, {16, 19}, {16, 23} or {22, 23} explain it */
  for (guint faulty = 0; faulty < 64; faulty++)
    {
      gboolean expected = FALSE;
      for (gsize i = 0; i < G_N_ELEMENTS (minimal); i++)
        expected = expected || (faulty & minimal[i]) == minimal[i];
      g_assert_cmpint (can_be (tree, faulty), ==, expected);
    }
}

/* Three multipliers and two adders: F = A1 (M1, M2), G = A2 (M2, M3), after J. de Kleer and B. Williams,
 * Diagnosing Multiple Faults, Artificial Intelligence 32 (1987) 97-130. Each conflict is an OR of the
 * parts that cannot all be good; what has to be explained is all of them together, so its minimal cut
 * sets are the minimal diagnoses. Conflicts and diagnoses as in lecture notes that use the example (B.
 * Williams, MIT 16.412J; M. Rovatsos, University of Edinburgh 2005); those of F = G = 10 and the
 * probabilities, with 0.01 a part, are of an enumeration by another program. */
static void
check_conflicts (const char *conflicts, const char *diagnoses)
{
  g_auto (GStrv) each = g_strsplit (conflicts, ", ", -1), wanted = g_strsplit (diagnoses, ", ", -1);
  g_autoptr (GString) text = g_string_new ("event A1 .01\nevent A2 .01\nevent M1 .01\nevent M2 .01\nevent M3 .01\n");
  g_autoptr (GString) top = g_string_new ("gate all and 0");

  for (guint i = 0; each[i] != NULL; i++)
    {
      g_string_append_printf (text, "gate c%u or 0 %s\n", i, each[i]);
      g_string_append_printf (top, " c%u", i);
    }
  g_string_append_printf (text, "%s\ntop all\n", top->str);
  g_autoptr (BlTree) tree = tree_from (text->str);
  g_autoptr (BlTreeResult) result = evaluate (tree, NULL, 5);
  g_assert_cmpuint (result->cut_sets->len, ==, g_strv_length (wanted));
  for (guint i = 0; i < result->cut_sets->len; i++)
    {
      const GArray *set = bl_at (result->cut_sets, i);
      g_autoptr (GString) name = g_string_new (NULL);
      for (guint j = 0; j < set->len; j++)
        g_string_append_printf (name, "%s%s", j > 0 ? " " : "",
                                ((BlNode *) bl_at (tree->nodes, g_array_index (set, guint, j)))->id);
      g_assert_true (g_strv_contains ((const char *const *) wanted, name->str));
    }
}

static void
test_conflicts (void)
{
  check_conflicts ("A1 M1 M2", "A1, M1, M2");                                       /* F = 10, G not seen */
  check_conflicts ("A1 M1 M2, A1 A2 M1 M3", "A1, M1, A2 M2, M2 M3");                /* F = 10, G = 12 */
  check_conflicts ("A1 M1 M2, A1 A2 M1 M3, M1", "M1");                              /* and X = 4 */
  check_conflicts ("A1 M1 M2, A1 A2 M1 M3, A1 M2, A1 A2 M3", "A1, M2 M3, A2 M2");   /* and X = 6 */
  check_conflicts ("M1, A1 M2, A1 A2 M3", "A1 M1, M1 M2 M3, A2 M1 M2");             /* and X is another */
  check_conflicts ("A1 M1 M2, A2 M2 M3", "M2, M1 M3, A2 M1, A1 M3, A1 A2");         /* F = 10, G = 10 */
}

static void
test_conflict_odds (void)
{
  static const struct
  {
    const char *part;
    double probability;
  } parts[] = { { "A1", .49764 }, { "M1", .49764 }, { "M2", .01961 }, { "M3", .01478 }, { "A2", .01478 } };
  g_autoptr (BlTree) tree
    = tree_from ("event A1 .01\nevent A2 .01\nevent M1 .01\nevent M2 .01\nevent M3 .01\n"
                 "gate f or 0 A1 M1 M2\ngate g or 0 A1 A2 M1 M3\ngate all and 0 f g\ntop all\n");
  g_autoptr (BlTreeResult) result = evaluate (tree, NULL, BL_TREE_NO_CUT_SETS);

  for (gsize i = 0; i < G_N_ELEMENTS (parts); i++)
    g_assert_cmpfloat_with_epsilon (event_of (tree, result, parts[i].part)->posterior, parts[i].probability, 5e-6);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/tree-published/chest-clinic", test_chest_clinic);
  g_test_add_func ("/core/tree-published/chest-clinic-evidence", test_chest_clinic_evidence);
  g_test_add_func ("/core/tree-published/burglary", test_burglary);
  g_test_add_func ("/core/tree-published/sprinkler", test_sprinkler);
  g_test_add_func ("/core/tree-published/c17", test_c17);
  g_test_add_func ("/core/tree-published/conflicts", test_conflicts);
  g_test_add_func ("/core/tree-published/conflict-odds", test_conflict_odds);
  return g_test_run ();
}
