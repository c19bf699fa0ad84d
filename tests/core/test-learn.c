/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Learning from confirmed repairs, against published and textbook figures, and what it does to the
 * weights of a board. */
#include "config.h"

#include "bl-diagnosis.h"
#include "bl-document.h"
#include "bl-learn.h"

#include <string.h>

/* INL, RADS, "Distributions" (rads.inl.gov): Beta (5.2, 160.1) has the mean .0315 and the standard
 * deviation .0135 as printed there. */
static void
test_beta_published (void)
{
  BlBeta beta = { 5.2, 160.1 };
  g_assert_cmpfloat_with_epsilon (bl_beta_mean (beta), .0315, .00005);
  g_assert_cmpfloat_with_epsilon (bl_beta_sd (beta), .0135, .00005);
  /* The same, computed to more digits by hand. */
  g_assert_cmpfloat_with_epsilon (bl_beta_mean (beta), .0314580, 1e-7);
  g_assert_cmpfloat_with_epsilon (bl_beta_sd (beta), .0135356, 1e-7);
}

/* Jeffreys' prior Beta (1/2, 1/2) (the same page) and the uniform one, 1 failure in 75: (x + 1/2) /
 * (n + 1) and Laplace's (x + 1) / (n + 2), computed by hand. */
static void
test_beta_update (void)
{
  g_assert_cmpfloat_with_epsilon (bl_beta_mean (bl_beta_update ((BlBeta){ .5, .5 }, 1, 75)),
                                  .0197368, 5e-8);
  g_assert_cmpfloat_with_epsilon (bl_beta_mean (bl_beta_update ((BlBeta){ 1, 1 }, 1, 75)), .0259740,
                                  5e-8);
}

/* Computed by hand: alpha 2, 1, 1, 1/2, 1/2 with counts 6, 1, 2, 0, 1. */
static void
test_dirichlet (void)
{
  const double alpha[] = { 2, 1, 1, .5, .5 }, counts[] = { 6, 1, 2, 0, 1 };
  const double before[] = { .4, .2, .2, .1, .1 };
  const double after[] = { 8. / 15, 2. / 15, 3. / 15, .5 / 15, 1.5 / 15 };
  double mean[5];
  bl_dirichlet_mean (alpha, NULL, 5, mean);
  for (int i = 0; i < 5; i++)
    g_assert_cmpfloat_with_epsilon (mean[i], before[i], 1e-15);
  bl_dirichlet_mean (alpha, counts, 5, mean);
  for (int i = 0; i < 5; i++)
    g_assert_cmpfloat_with_epsilon (mean[i], after[i], 1e-15);
  g_assert_cmpfloat_with_epsilon (mean[0], .533333, 1e-6);
  /* One share against the rest of a Dirichlet is a Beta: the two must agree. */
  g_assert_cmpfloat_with_epsilon (bl_beta_mean (bl_beta_update ((BlBeta){ 2, 3 }, 6, 10)), mean[0],
                                  1e-15);
  const double nothing[] = { 0, 0 };
  bl_dirichlet_mean (nothing, NULL, 2, mean);
  g_assert_cmpfloat (mean[1], ==, 0);
}

static const char board_text[]
  = "{\"format\": \"benchlore-board\", \"version\": 1, \"states\": [{\"id\": \"run\"}],"
    " \"sections\": [{\"id\": \"s\"}], \"stages\": [{\"id\": \"a\", \"section\": \"s\"}],"
    " \"components\": ["
    "  {\"id\": \"K1\", \"kind\": \"relay\", \"stage\": \"a\", \"modes\": ["
    "   {\"mode\": \"open\", \"weight\": 2, \"effects\": [{\"is\": \"absent\"}]},"
    "   {\"mode\": \"short\", \"weight\": 1, \"effects\": [{\"is\": \"high\"}]}]},"
    "  {\"id\": \"C1\", \"kind\": \"capacitor\", \"stage\": \"a\", \"weight\": 2, \"modes\": ["
    "   {\"mode\": \"short\", \"weight\": 1, \"effects\": [{\"is\": \"absent\"}]},"
    "   {\"mode\": \"open\", \"weight\": 1, \"effects\": [{\"is\": \"unsteady\"}]}]}],"
    " \"measurements\": [{\"id\": \"M\", \"measures\": \"V DC\", \"state\": \"run\", \"reads\": \"a\","
    "   \"expected\": {\"nominal\": 5, \"low\": 4, \"high\": 6}}]}";

static BlBoard *
read_board (void)
{
  g_autoptr (GError) error = NULL;
  BlBoard *board = bl_document_parse (board_text, -1, NULL, &error);
  g_assert_no_error (error);
  return board;
}

static GPtrArray *
causes_new (void)
{
  return g_ptr_array_new_with_free_func ((GDestroyNotify) bl_found_cause_free);
}

static void
found (GPtrArray *causes, gint64 job, const char *component, const char *mode)
{
  g_ptr_array_add (causes, bl_found_cause_new (job, component, mode));
}

static double
weight_of (const BlBoard *board, const char *id, const char *mode)
{
  const BlComponent *component = bl_board_component (board, id);
  return bl_board_mode_weight (board, component, bl_component_mode (component, mode));
}

/* Document: 2, 1, 1, 1 of 5, so .4 .2 .2 .2; strength 5 makes alpha 2, 1, 1, 1. */
static void
test_shares (void)
{
  g_autoptr (BlBoard) board = read_board ();
  g_autoptr (GPtrArray) causes = causes_new ();
  found (causes, 1, "K1", "open");
  found (causes, 2, "K1", "open");
  found (causes, 3, "C1", "open");
  found (causes, 3, "K1", "short");
  found (causes, 4, "K1", NULL); /* parted 2 : 1 */
  found (causes, 4, "K1", NULL); /* said twice in one repair: once */
  g_autoptr (BlLearned) learned = bl_learned_new (board, causes, 5);
  const double expected[] = { 2 + 2 + 2. / 3, 1 + 1 + 1. / 3, 1, 1 + 1 };
  double handbook, count, share, sum = 0;
  g_assert_cmpuint (learned->repairs, ==, 4);
  for (guint i = 0; i < 4; i++)
    {
      const BlLearnedMode *mode = bl_at (learned->modes, i);
      g_assert_cmpfloat_with_epsilon (mode->learned, expected[i] / 10, 1e-14);
      sum += mode->learned;
    }
  g_assert_cmpfloat_with_epsilon (sum, 1, 1e-14);
  bl_learned_component (learned, "K1", &handbook, &count, &share);
  g_assert_cmpfloat_with_epsilon (handbook, .6, 1e-14);
  g_assert_cmpfloat_with_epsilon (count, 4, 1e-14);
  g_assert_cmpfloat_with_epsilon (share, .7, 1e-14);
  /* The sum of the weights stays. */
  bl_learned_apply (learned, board);
  g_assert_cmpfloat_with_epsilon (weight_of (board, "K1", "open"), 5 * expected[0] / 10, 1e-14);
  g_assert_cmpfloat_with_epsilon (weight_of (board, "C1", "open"), 1, 1e-14);
}

/* A factor is part of the document's share, and is not applied twice. */
static void
test_factor (void)
{
  g_autoptr (BlBoard) board = read_board ();
  g_autoptr (GPtrArray) causes = causes_new ();
  bl_board_component (board, "K1")->factor = 2; /* 4, 2, 1, 1 of 8 */
  found (causes, 1, "C1", "open");
  g_autoptr (BlLearned) learned = bl_learned_new (board, causes, 3);
  g_assert_cmpfloat_with_epsilon (((BlLearnedMode *) bl_at (learned->modes, 0))->handbook, .5, 1e-15);
  bl_learned_apply (learned, board);
  g_assert_cmpfloat_with_epsilon (weight_of (board, "K1", "open"), 8 * 1.5 / 4, 1e-14);
  g_assert_cmpfloat_with_epsilon (weight_of (board, "C1", "open"), 8 * (3. / 8 + 1) / 4, 1e-14);
}

/* What the document does not have changes no share; nothing found leaves the board to the bit. */
static void
test_unplaced (void)
{
  g_autoptr (BlBoard) board = read_board ();
  g_autoptr (GPtrArray) causes = causes_new ();
  g_autofree char *before = bl_document_write (board);
  found (causes, 1, "a/other", NULL);
  found (causes, 2, "R99", "open");
  g_autoptr (BlLearned) learned = bl_learned_new (board, causes, 5);
  g_assert_cmpuint (learned->unplaced, ==, 2);
  g_assert_cmpuint (learned->repairs, ==, 2);
  g_assert_false (bl_learned_differs (learned));
  bl_learned_apply (learned, board);
  g_autofree char *after = bl_document_write (board);
  g_assert_cmpstr (before, ==, after);
  /* A mode that was renamed since is one that is not known. */
  found (causes, 3, "C1", "leaks");
  g_autoptr (BlLearned) renamed = bl_learned_new (board, causes, 5);
  g_assert_cmpfloat_with_epsilon (((BlLearnedMode *) bl_at (renamed->modes, 2))->count, .5, 1e-15);
}

static void
test_counts (void)
{
  g_autoptr (GPtrArray) causes = causes_new ();
  guint n = 99;
  g_autoptr (GPtrArray) none = bl_found_causes_count (NULL, &n);
  g_assert_cmpuint (none->len, ==, 0);
  g_assert_cmpuint (n, ==, 0);
  found (causes, 1, "C12", "short");
  for (int job = 2; job <= 5; job++)
    found (causes, job, "K1", NULL);
  found (causes, 5, "C12", NULL);
  found (causes, 6, "A1", NULL);
  found (causes, 7, "B1", NULL);
  g_autoptr (GPtrArray) counts = bl_found_causes_count (causes, &n);
  g_assert_cmpuint (n, ==, 7);
  const BlCauseCount *first = bl_at (counts, 0), *second = bl_at (counts, 1), *third = bl_at (counts, 2);
  g_assert_cmpstr (first->component, ==, "K1");
  g_assert_cmpuint (first->n, ==, 4);
  g_assert_cmpstr (second->component, ==, "C12");
  g_assert_cmpuint (second->n, ==, 2);
  g_assert_cmpstr (third->component, ==, "A1");
}

static double
odds_of (const BlBoard *board, const char *component)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) entries
    = bl_evidence_parse_csv (board, "measurement,reading,meter\nM,0.01,\n", -1, &error);
  g_autoptr (BlEngine) engine = bl_engine_new (board, &error);
  g_autoptr (BlDiagnosis) diagnosis
    = bl_engine_diagnose (engine, entries, BL_DIAGNOSE_ODDS, NULL, &error);
  g_assert_no_error (error);
  return bl_diagnosis_find (diagnosis->components, component)->probability;
}

/* Four modes explain 0 V, or a misreading of it; as the number of faults expected is small, the odds
 * go as weight times likelihood. With e = 0.02 and five classes a true absent reads absent with .88, a
 * true high with .1 / 3 and a true unsteady with .02 / 3. */
static void
test_odds (void)
{
  const double absent = .88, high = .1 / 3, unsteady = .02 / 3;
  g_autoptr (BlBoard) board = read_board ();
  g_autoptr (GPtrArray) causes = causes_new ();
  board->odds.faults = 1e-7;
  board->odds.other = board->odds.elsewhere = board->odds.setup = 0;
  g_assert_cmpfloat_with_epsilon (odds_of (board, "K1") / odds_of (board, "C1"),
                                  (2 * absent + high) / (absent + unsteady), 1e-5);
  for (int job = 1; job <= 5; job++)
    found (causes, job, "C1", "short");
  g_autoptr (BlLearned) learned = bl_learned_new (board, causes, 5);
  bl_learned_apply (learned, board);
  g_assert_cmpfloat_with_epsilon (odds_of (board, "K1") / odds_of (board, "C1"),
                                  (2 * absent + high) / (6 * absent + unsteady), 1e-5);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/learn/beta-published", test_beta_published);
  g_test_add_func ("/learn/beta-update", test_beta_update);
  g_test_add_func ("/learn/dirichlet", test_dirichlet);
  g_test_add_func ("/learn/shares", test_shares);
  g_test_add_func ("/learn/factor", test_factor);
  g_test_add_func ("/learn/unplaced", test_unplaced);
  g_test_add_func ("/learn/counts", test_counts);
  g_test_add_func ("/learn/odds", test_odds);
  return g_test_run ();
}
