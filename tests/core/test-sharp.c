/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The engine's two ways against each other on boards of 60 to 120 modes, too large to enumerate: the
 * circuit that serves any readings, and the one compiled for the readings at hand, which leaves out
 * rows of negligible weight. Every figure that is printed must agree. The boards have cascades, double
 * feeds, a closed loop whose modes act on several measurements, links, modes that show at times, and
 * jobs with rounds, part tests and readings near a limit.
 * The seeds are such that both ways take well under a second: some of these boards are of the kind
 * that makes either take minutes. */
#include "config.h"

#include "bl-diagnosis.h"
#include "bl-document.h"
#include "bl-engine-private.h"
#include "compare.h"

#include "bench-coupled.h"
#include "bench-styles.h"
#include "bl-simulate.h"

#include <string.h>
#undef G_DISABLE_ASSERT

enum { LOOP = 3 };

typedef struct
{
  GRand *rand;
  int n_stages, n_parts; /* parts a stage, two modes each */
} Shape;

static int
pick (const Shape *shape, int n)
{
  return g_rand_int_range (shape->rand, 0, n);
}

static json_t *
stage_of (const Shape *shape, int i)
{
  json_t *from = json_array ();
  if (i > 0)
    json_array_append_new (from, json_sprintf ("s%d", i - 1));
  if (i > 2 && pick (shape, 6) == 0)
    json_array_append_new (from, json_sprintf ("s%d", i - 2 - pick (shape, 2)));
  return json_pack ("{s:o, s:s, s:{s:s, s:o}}", "id", json_sprintf ("s%d", i), "section", "a", "feeds", "need",
                    json_array_size (from) > 1 && pick (shape, 2) ? "any" : "all", "from", from);
}

static json_t *
mode_of (const Shape *shape, int stage, int part, int mode)
{
  static const char *const is[] = { "absent", "low", "high", "unsteady" };
  json_t *effects = json_array (), *self;
  if (stage < LOOP) /* in the loop: some direct effects and none on a stage */
    for (int m = 0; m < LOOP; m++)
      {
        if (pick (shape, 3) > 0)
          json_array_append_new (effects,
                                 json_pack ("{s:o, s:s}", "on", json_sprintf ("L%d", m), "is", is[pick (shape, 4)]));
      }
  else
    json_array_append_new (effects, json_pack ("{s:s}", "is", is[pick (shape, 4)]));
  if (mode == 1 && stage > LOOP)
    json_array_append_new (effects, json_pack ("{s:o, s:s}", "on", json_sprintf ("s%d", stage - 1), "is", "low"));
  self = json_pack ("{s:o, s:f, s:o}", "mode", json_sprintf ("m%d", mode), "weight",
                    .02 + g_rand_double (shape->rand), "effects", effects);
  if (pick (shape, 6) == 0)
    json_object_set_new (self, "shows", json_pack ("{s:f, s:f}", "", .4, "wet", .9));
  if (mode == 1 && part == 0 && stage > 0 && pick (shape, 3) == 0)
    json_object_set_new (
        self, "provokes",
        json_pack ("[{s:o, s:s, s:f}]", "component", json_sprintf ("C%d.0", stage - 1), "mode", "m0", "chance", .25));
  return self;
}

static json_t *
measure_of (const char *id, int state, int black, const char *reads)
{
  json_t *self = json_pack ("{s:s, s:s, s:o, s:o, s:{s:i, s:f, s:f}}", "id", id, "measures", "V DC", "state",
                            json_sprintf ("st%d", state), "black", json_sprintf ("TP%d", black), "expected",
                            "nominal", 5, "low", 4.8, "high", 5.2);
  if (reads != NULL)
    json_object_set_new (self, "reads", json_string (reads));
  return self;
}

static char *
make_board (const Shape *shape)
{
  json_t *stages = json_array (), *parts = json_array (), *measures = json_array ();
  for (int s = 0; s < shape->n_stages; s++)
    {
      g_autofree char *id = g_strdup_printf ("M%d", s), *reads = g_strdup_printf ("s%d", s);
      json_array_append_new (stages, stage_of (shape, s));
      for (int p = 0; p < shape->n_parts; p++)
        json_array_append_new (parts, json_pack ("{s:o, s:s, s:o, s:[o, o]}", "id", json_sprintf ("C%d.%d", s, p),
                                                 "kind", "part", "stage", json_sprintf ("s%d", s), "modes",
                                                 mode_of (shape, s, p, 0), mode_of (shape, s, p, 1)));
      if (pick (shape, 3) > 0 || s == shape->n_stages - 1)
        json_array_append_new (measures, measure_of (id, pick (shape, 2), pick (shape, 2), reads));
    }
  for (int m = 0; m < LOOP; m++)
    {
      g_autofree char *id = g_strdup_printf ("L%d", m);
      json_array_append_new (measures, measure_of (id, pick (shape, 2), pick (shape, 2), NULL));
    }
  json_t *doc = json_pack (
      "{s:s, s:i, s:[{s:s},{s:s}], s:[{s:s,s:s}], s:[{s:s},{s:s}], s:o, s:o, s:o, s:[{s:s, s:[{s:s, s:s}]}]}", "format",
      "benchlore-board", "version", 1, "states", "id", "st0", "id", "st1", "sections", "id", "a", "kind", "supply",
      "test_points", "id", "TP0", "id", "TP1", "stages", stages, "components", parts, "measurements", measures,
      "symptoms", "id", "E1", "when", "on", "s5", "is", "absent");
  char *text = json_dumps (doc, 0);
  json_decref (doc);
  return text;
}

static void
add_readings (const Shape *shape, const BlBoard *board, GString *table)
{
  static const char *const readings[] = { "5", "5", "5", "0.1", "4.79", "5.6", "3.1", "4..6", "-" };
  for (guint i = 0; i < board->measurements->len; i++)
    if (pick (shape, 3) > 0)
      g_string_append_printf (table, "%s,%s,1%%\n", ((const BlMeasurement *) bl_at (board->measurements, i))->id,
                              readings[pick (shape, G_N_ELEMENTS (readings))]);
}

static char *
make_table (const Shape *shape, const BlBoard *board)
{
  GString *table = g_string_new ("measurement,reading,meter\n");
  if (pick (shape, 2))
    g_string_append (table, "symptom:E1,yes,\n");
  add_readings (shape, board, table);
  if (pick (shape, 2))
    g_string_append (table, "part:C6.0,good,\n");
  if (pick (shape, 2))
    {
      g_string_append (table, pick (shape, 2) ? "round,wet,\n" : "part:C5.0,replaced,\n");
      add_readings (shape, board, table);
    }
  return g_string_free (table, FALSE);
}

/* NULL: impossible, or not this way. */
static json_t *
diagnose (const BlBoard *board, GPtrArray *entries, gboolean sharp, gboolean *done)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlEngine) engine = bl_engine_new (board, &error);
  g_assert_no_error (error);
  engine->dense = sharp;
  g_autoptr (BlDiagnosis) diagnosis = bl_engine_diagnose (engine, entries, BL_DIAGNOSE_ALL, NULL, &error);
  *done = engine->dense == sharp;
  if (g_error_matches (error, BL_CORE_ERROR, BL_CORE_ERROR_IMPOSSIBLE))
    return NULL;
  g_assert_no_error (error);
  g_autofree char *text = bl_diagnosis_to_json (diagnosis, -1);
  return json_loads (text, 0, NULL);
}

/* TRUE when both ways could go; then nothing differs. */
static gboolean
agrees (guint seed, guint *compared)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (seed);
  Shape shape = { rand, 15 + g_rand_int_range (rand, 0, 6), 2 + g_rand_int_range (rand, 0, 2) };
  g_autoptr (GError) error = NULL;
  char *document = make_board (&shape);
  g_autoptr (BlBoard) board = bl_document_parse (document, -1, NULL, &error);
  g_assert_no_error (error);
  g_autofree char *table = make_table (&shape, board);
  g_autoptr (GPtrArray) entries = bl_evidence_parse_csv (board, table, -1, &error);
  g_assert_no_error (error);
  gboolean full_done, sharp_done;
  json_t *full = diagnose (board, entries, FALSE, &full_done), *sharp = diagnose (board, entries, TRUE, &sharp_done);
  g_assert_cmpint (full == NULL, ==, sharp == NULL);
  g_autofree char *report = full != NULL ? compare_diagnoses (sharp, full, compared) : g_strdup ("");
  if (*report != '\0')
    g_error ("seed %u\n%s\n%s\n%s", seed, document, table, report);
  free (document);
  json_decref (full);
  json_decref (sharp);
  return full_done && sharp_done;
}

static void
test_agrees (void)
{
  static const guint seeds[] = { 1,  2,  5,  8,  9,  10, 11, 13, 14, 15, 17, 18, 19, 22, 23, 24,
                                 25, 29, 30, 31, 32, 34, 41, 43, 45, 47, 48, 49, 50, 54, 55, 56 };
  guint n = G_N_ELEMENTS (seeds), compared = 0, both = 0;
  for (guint i = 0; i < n; i++)
    both += (guint) agrees (seeds[i], &compared);
  g_test_message ("%u boards, %u of them both ways, %u figures compared", n, both, compared);
  g_assert_cmpuint (both, ==, n);
  g_assert_cmpuint (compared, >, 200 * n);
}

/* --- larger boards, whose circuit for any readings is made in another order --- */

static void
assert_both_ways (const char *document, GRand *rand, guint n_read)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = bl_document_parse (document, -1, NULL, &error);
  g_assert_no_error (error);
  const BlComponent *part = bl_at (board->components, board->components->len / 2);
  g_autofree char *fault = g_strdup_printf ("%s:%s", part->id, ((const BlMode *) bl_at (part->modes, 0))->mode);
  const char *faults[] = { fault, NULL };
  g_autoptr (GPtrArray) entries = bl_simulate (board, faults, 1, "", &error);
  g_assert_no_error (error);
  while (entries->len > n_read)
    g_ptr_array_remove_index_fast (entries, (guint) g_rand_int_range (rand, 0, (gint32) entries->len));
  gboolean full_done, sharp_done;
  guint compared = 0;
  json_t *full = diagnose (board, entries, FALSE, &full_done), *sharp = diagnose (board, entries, TRUE, &sharp_done);
  g_assert_true (full_done && sharp_done && full != NULL && sharp != NULL);
  g_autofree char *report = compare_diagnoses (sharp, full, &compared);
  g_assert_cmpstr (report, ==, "");
  g_assert_cmpuint (compared, >, 500);
  json_decref (full);
  json_decref (sharp);
}

static void
test_large (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (1);
  char *document = make_styled_board (rand, STYLE_CROSSWISE, 240);
  assert_both_ways (document, rand, 36);
  free (document);
  document = make_coupled_board (rand, 6, 30);
  assert_both_ways (document, rand, 24);
  free (document);
}

static json_t *
json_of (const BlDiagnosis *diagnosis)
{
  g_autofree char *text = bl_diagnosis_to_json (diagnosis, -1);
  return json_loads (text, 0, NULL);
}

/* One answer of an engine that has answered before and of one for any readings. Returns: whether the first found its
 * circuit ready. */
static gboolean
compare_next (BlEngine *engine, BlEngine *full, GPtrArray *entries, guint *compared)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GArray) before = engine->compiled != NULL ? g_array_ref (engine->compiled->circuit->to) : NULL;
  g_autoptr (BlDiagnosis) one = bl_engine_diagnose (engine, entries, BL_DIAGNOSE_ALL, NULL, &error);
  g_assert_no_error (error);
  g_autoptr (BlDiagnosis) other = bl_engine_diagnose (full, entries, BL_DIAGNOSE_ALL, NULL, &error);
  g_assert_no_error (error);
  json_t *ours = json_of (one), *theirs = json_of (other);
  g_autofree char *report = compare_diagnoses (ours, theirs, compared);
  g_assert_cmpstr (report, ==, "");
  json_decref (ours);
  json_decref (theirs);
  return engine->compiled->circuit->to == before;
}

/* Reading after reading is taken and then taken back again, the first of them first; whether the circuit was kept or
 * made anew, all figures are those of a circuit for any readings. dense: it is made for the readings at hand,
 * otherwise it is what is left of one for any. */
static void
test_goes_on (gconstpointer dense)
{
  enum { BOARDS = 4, STEP = 3 };
  guint compared = 0, kept = 0, made = 0;
  for (guint seed = 1; seed <= BOARDS; seed++)
    {
      g_autoptr (GRand) rand = g_rand_new_with_seed (seed);
      g_autoptr (GError) error = NULL;
      Shape shape = { rand, 15, 2 };
      char *document = make_board (&shape);
      g_autoptr (BlBoard) board = bl_document_parse (document, -1, NULL, &error);
      static const char *const faults[] = { "C5.0:m0", NULL };
      g_autoptr (GPtrArray) all = bl_simulate (board, faults, seed, "", &error);
      g_assert_no_error (error);
      g_autoptr (BlEngine) engine = bl_engine_new (board, &error), full = bl_engine_new (board, &error);
      g_autoptr (GPtrArray) entries = g_ptr_array_new ();
      engine->dense = GPOINTER_TO_INT (dense);
      engine->large = 0;
      full->large = G_MAXSIZE;
      for (guint n = STEP; n < 2 * all->len; n += STEP)
        {
          g_ptr_array_set_size (entries, 0);
          for (guint i = n > all->len ? n - all->len : 0; i < MIN (n, all->len); i++)
            g_ptr_array_add (entries, bl_at (all, i));
          *(compare_next (engine, full, entries, &compared) ? &kept : &made) += 1;
          g_assert_true (engine->dense == (dense != NULL) && !full->dense);
          g_assert_null (full->compiled->whole);
        }
      free (document);
    }
  g_test_message ("kept %u times, made %u times, %u figures compared", kept, made, compared);
  g_assert_cmpuint (kept, >, 2 * BOARDS);
  g_assert_cmpuint (made, >, BOARDS);
  g_assert_cmpuint (compared, >, 1000);
}

/* A circuit for readings at hand serves them again. */
static void
test_again (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (5);
  Shape shape = { rand, 15, 2 };
  g_autoptr (GError) error = NULL;
  char *document = make_board (&shape);
  g_autoptr (BlBoard) board = bl_document_parse (document, -1, NULL, &error);
  g_autoptr (BlEngine) engine = bl_engine_new (board, &error);
  engine->dense = TRUE;
  static const char *const tables[] = { "L0,5,1%\nL1,0.1,1%\n", "L0,5,1%\nL1,0.1,1%\n", "L0,5,1%\nL1,4.79,1%\n",
                                        "L0,5,1%\nL1,4.795,1%\n", "L0,5,1%\nL1,0.1,1%\npart:C5.0,good,\n" };
  for (guint i = 0; i < G_N_ELEMENTS (tables); i++)
    {
      g_autofree char *table = g_strconcat ("measurement,reading,meter\n", tables[i], NULL);
      g_autoptr (GPtrArray) entries = bl_evidence_parse_csv (board, table, -1, &error);
      g_autoptr (BlEngine) fresh = bl_engine_new (board, &error);
      fresh->dense = TRUE;
      const BlCircuit *before = engine->compiled != NULL ? engine->compiled->circuit : NULL;
      g_autoptr (BlDiagnosis) one = bl_engine_diagnose (engine, entries, BL_DIAGNOSE_ALL, NULL, &error);
      g_autoptr (BlDiagnosis) other = bl_engine_diagnose (fresh, entries, BL_DIAGNOSE_ALL, NULL, &error);
      g_assert_no_error (error);
      g_autofree char *text = bl_diagnosis_to_json (one, -1), *wanted = bl_diagnosis_to_json (other, -1);
      g_assert_cmpstr (text, ==, wanted);
      g_assert_true (i != 1 || engine->compiled->circuit == before);
    }
  free (document);
}

static char *
load_demo (const char *name)
{
  g_autofree char *path = g_test_build_filename (G_TEST_DIST, "..", "data", "demo", name, NULL);
  g_autoptr (GError) error = NULL;
  char *text = NULL;
  g_file_get_contents (path, &text, NULL, &error);
  g_assert_no_error (error);
  return text;
}

/* A circuit that was made within a limit of terms holds all of the probability. These eight together
 * come to the limit in the middle of a product most of whose rows are then left out. */
static void
test_limit (void)
{
  static const char *const ask[] = { "V3I", "V3", "G3", "HOT5", "K1P", "K1P0", "K1B", "K1V" };
  g_autoptr (GError) error = NULL;
  g_autofree char *document = load_demo ("wall-board.json"), *table = load_demo ("jobs/1041.csv");
  g_autoptr (BlBoard) board = bl_document_parse (document, -1, NULL, &error);
  g_autoptr (GPtrArray) entries = bl_evidence_parse_csv (board, table, -1, &error);
  g_autoptr (BlEngine) engine = bl_engine_new (board, &error);
  g_autoptr (BlDiagnosis) diagnosis = bl_engine_diagnose (engine, entries, 0, NULL, &error);
  g_autoptr (GPtrArray) judged = bl_evidence_judge (board, entries, &error);
  g_assert_no_error (error);
  g_autofree guint8 *unread = g_malloc0 (board->measurements->len + 1);
  for (guint i = 0; i < G_N_ELEMENTS (ask); i++)
    unread[bl_causes_find (engine->causes->measure_index, ask[i])] = 1;
  BlJobCircuit *main = engine->compiled, *own;
  for (gsize terms = 100 * 1000; terms <= 900 * 1000; terms *= 3)
    {
      g_autoptr (GError) problem = NULL;
      own = bl_job_compile_sharp (engine->causes, entries, judged, unread, main->least * 1e8, terms, NULL, NULL, NULL,
                                  &problem);
      if (own == NULL)
        {
          g_assert_error (problem, BL_CORE_ERROR, BL_CORE_ERROR_TOO_HARD);
          continue;
        }
      engine->compiled = own;
      g_assert_true (bl_evaluate_up (engine, &error));
      g_assert_cmpfloat_with_epsilon (own->total / main->total, 1, 1e-6);
      engine->compiled = main;
      bl_job_circuit_free (own);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/sharp/large", test_large);
  g_test_add_func ("/core/sharp/agrees", test_agrees);
  g_test_add_func ("/core/sharp/again", test_again);
  g_test_add_data_func ("/core/sharp/goes-on", GINT_TO_POINTER (TRUE), test_goes_on);
  g_test_add_data_func ("/core/sharp/goes-on-trimmed", NULL, test_goes_on);
  g_test_add_func ("/core/sharp/limit", test_limit);
  return g_test_run ();
}
