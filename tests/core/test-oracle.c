/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The engine against brute force on random small models and jobs: every figure that is printed is
 * compared. The models are nonsense as boards; they are drawn so that every rule meets every other.
 * BENCHLORE_ORACLE_MODELS sets how many are tried, BENCHLORE_ORACLE_SEED where the seeds begin. */
#include "config.h"

#include "bl-diagnosis.h"
#include "bl-document.h"
#include "bl-engine-private.h"
#include "compare.h"
#include "oracle.h"

#include <math.h>
#include <string.h>
#undef G_DISABLE_ASSERT

enum { MODELS = 400, MAX_EVENTS = 11, MAX_SETUPS = 5 };

/* --- random models --- */

typedef struct
{
  GRand *rand;
  json_t *doc;
  int n_stages, n_comps, n_modes[8], n_measures, n_states, n_points, n_symptoms;
} Gen;

static int
pick (Gen *gen, int n)
{
  return g_rand_int_range (gen->rand, 0, n);
}

static gboolean
chance (Gen *gen, double p)
{
  return g_rand_double (gen->rand) < p;
}

static json_t *
name (const char *prefix, int i)
{
  return json_sprintf ("%s%d", prefix, i);
}

static const char *const deviations[] = { "absent", "unsteady", "low", "high" };
static const char *const passes_to[] = { "absent", "unsteady", "low", "high", "in band" };
static const char *const kinds[] = { "V DC", "ohm", "swing", "check" };

static json_t *
some_passes (Gen *gen)
{
  json_t *passes = json_object ();
  for (int d = 0; d < 4; d++)
    if (chance (gen, .4))
      json_object_set_new (passes, deviations[d], json_string (passes_to[pick (gen, 5)]));
  return passes;
}

static void
add_stage (Gen *gen, json_t *stages, int i, int n_sections)
{
  json_t *stage = json_pack ("{s:o, s:o}", "id", name ("S", i), "section",
                             name ("sec", pick (gen, n_sections)));
  json_t *from = json_array ();
  for (int f = 0; f < i; f++)
    if (chance (gen, .6))
      json_array_append_new (from, chance (gen, .4)
                                     ? json_pack ("{s:o, s:o}", "stage", name ("S", f), "passes",
                                                  some_passes (gen))
                                     : name ("S", f));
  if (chance (gen, .2))
    json_array_append_new (from, json_string ("port:P"));
  size_t n = json_array_size (from);
  if (n > 0)
    {
      json_t *feeds = json_pack ("{s:O}", "from", from);
      if (chance (gen, .6))
        json_object_set_new (feeds, "need", chance (gen, .3) ? json_string ("any")
                                            : chance (gen, .5)
                                              ? json_integer (1 + pick (gen, (int) n))
                                              : json_string ("all"));
      json_object_set_new (stage, "feeds", feeds);
      if (chance (gen, .25))
        json_object_set_new (stage, "passes", some_passes (gen));
    }
  json_decref (from);
  json_array_append_new (stages, stage);
}

static json_t *
expected_of (Gen *gen, int kind)
{
  json_t *expected;
  if (kind == 0 && chance (gen, .2))
    return json_pack ("{s:i, s:f, s:f}", "nominal", -5, "low", -5.2, "high", -4.8);
  if (kind == 0)
    {
      expected = json_pack ("{s:i, s:f, s:f}", "nominal", 5, "low", 4.8, "high", 5.2);
      if (chance (gen, .4))
        json_object_set_new (expected, "marks",
                             json_pack ("[{s:s, s:i, s:i}]", "id", "half", "low", 2, "high", 3));
      return expected;
    }
  if (kind == 1)
    return json_pack ("{s:i, s:i, s:i}", "nominal", 100, "low", 90, "high", 110);
  if (kind == 2)
    return json_pack ("{s:[ii], s:[ii], s:f}", "min", 0, 1, "max", 4, 5, "span_below", .5);
  return json_pack ("{s:b}", "answer", chance (gen, .7));
}

static void
add_measurement (Gen *gen, json_t *list, int i)
{
  int kind = chance (gen, .5) ? 0 : pick (gen, 4);
  json_t *m = json_pack ("{s:o, s:s, s:o, s:o}", "id", name ("M", i), "measures", kinds[kind], "state",
                         name ("st", pick (gen, gen->n_states)), "expected", expected_of (gen, kind));
  if (kind != 1 && chance (gen, .75))
    json_object_set_new (m, "reads", name ("S", pick (gen, gen->n_stages)));
  if (gen->n_points > 0 && chance (gen, .6))
    json_object_set_new (m, "black", name ("TP", pick (gen, gen->n_points)));
  if (chance (gen, .4))
    json_object_set_new (m, "misread", json_real (.01 + .3 * g_rand_double (gen->rand)));
  if (chance (gen, .5))
    json_object_set_new (m, "effort_s", json_integer (5 + pick (gen, 60)));
  if (kind == 1 && chance (gen, .5))
    json_object_set_new (m, "series", json_true ());
  json_array_append_new (list, m);
}

static const char *
bad_class (Gen *gen, json_t *measurement)
{
  static const char *const of_volts[] = { "absent", "low", "high", "unsteady" };
  static const char *const of_ohm[] = { "shorted", "low", "high", "open", "unsteady" };
  static const char *const of_swing[]
    = { "still low", "still middle", "still high", "low", "high", "beyond" };
  const char *kind = json_string_value (json_object_get (measurement, "measures"));
  if (strcmp (kind, "check") == 0)
    return "deviates";
  if (strcmp (kind, "swing") == 0)
    return of_swing[pick (gen, 6)];
  if (strcmp (kind, "ohm") == 0)
    return of_ohm[pick (gen, 5)];
  if (json_object_get (json_object_get (measurement, "expected"), "marks") != NULL && chance (gen, .4))
    return "half";
  return of_volts[pick (gen, 4)];
}

static json_t *
some_effect (Gen *gen)
{
  json_t *effect = json_object ();
  json_t *measurements = json_object_get (gen->doc, "measurements");
  if (chance (gen, .35))
    {
      int m = pick (gen, gen->n_measures);
      json_object_set_new (effect, "on", name ("M", m));
      json_object_set_new (effect, "is", json_string (bad_class (gen, json_array_get (measurements, m))));
    }
  else
    {
      const char *is = deviations[pick (gen, 4)], *also = deviations[pick (gen, 4)];
      if (chance (gen, .4))
        json_object_set_new (effect, "on", name ("S", pick (gen, gen->n_stages)));
      json_object_set_new (effect, "is", strcmp (is, also) != 0 && chance (gen, .3)
                                           ? json_pack ("[ss]", is, also) : json_string (is));
    }
  if (chance (gen, .3))
    json_object_set_new (effect, "in", json_pack ("[o]", name ("st", pick (gen, gen->n_states))));
  return effect;
}

static json_t *
some_shows (Gen *gen)
{
  double p = .1 + .8 * g_rand_double (gen->rand), q = .1 + .8 * g_rand_double (gen->rand);
  return chance (gen, .5) ? json_pack ("{s:f, s:f}", "", p, "wet", q) : json_pack ("{s:f}", "wet", q);
}

static void
add_component (Gen *gen, json_t *list, int i)
{
  json_t *modes = json_array ();
  for (int m = 0; m < gen->n_modes[i]; m++)
    {
      json_t *effects = json_array ();
      for (int e = 0, n = pick (gen, 4); e < n; e++)
        json_array_append_new (effects, some_effect (gen));
      json_t *mode = json_pack ("{s:o, s:f, s:o}", "mode", name ("m", m), "weight",
                                .01 + g_rand_double (gen->rand), "effects", effects);
      if (chance (gen, .3))
        json_object_set_new (mode, "shows", some_shows (gen));
      json_array_append_new (modes, mode);
    }
  json_array_append_new (list, json_pack ("{s:o, s:s, s:o, s:o}", "id", name ("C", i), "kind", "part",
                                          "stage", name ("S", pick (gen, gen->n_stages)), "modes", modes));
}

static json_t *
mode_at (Gen *gen, int comp, int mode)
{
  json_t *modes = json_object_get (json_array_get (json_object_get (gen->doc, "components"), comp), "modes");
  return json_array_get (modes, mode);
}

/* Links drawn at random: rings appear by themselves. */
static void
add_links (Gen *gen)
{
  g_autoptr (GHashTable) seen = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  for (int n = pick (gen, 5); n > 0; n--)
    {
      int a = pick (gen, gen->n_comps), b = pick (gen, gen->n_comps);
      int x = pick (gen, gen->n_modes[a]), y = pick (gen, gen->n_modes[b]);
      if ((a == b && x == y) || !g_hash_table_add (seen, g_strdup_printf ("%d:%d %d:%d", a, x, b, y)))
        continue;
      json_t *mode = mode_at (gen, a, x), *links = json_object_get (mode, "provokes");
      if (links == NULL)
        {
          json_object_set_new (mode, "provokes", json_array ());
          links = json_object_get (mode, "provokes");
        }
      json_t *link = json_pack ("{s:o, s:o}", "component", name ("C", b), "mode", name ("m", y));
      if (chance (gen, .8))
        json_object_set_new (link, "chance", json_real (.05 + .9 * g_rand_double (gen->rand)));
      json_array_append_new (links, link);
    }
}

static void
add_symptom (Gen *gen, json_t *list, int i)
{
  json_t *when = json_array ();
  for (int n = 1 + pick (gen, 2); n > 0; n--)
    {
      json_t *entry;
      if (chance (gen, .25))
        {
          int m = pick (gen, gen->n_measures);
          entry = json_pack ("{s:o, s:s}", "on", name ("M", m), "is",
                             bad_class (gen, json_array_get (json_object_get (gen->doc, "measurements"), m)));
        }
      else
        entry = json_pack ("{s:o, s:s}", "on", name ("S", pick (gen, gen->n_stages)), "is",
                           deviations[pick (gen, 4)]);
      if (chance (gen, .3))
        json_object_set_new (entry, "state", name ("st", pick (gen, gen->n_states)));
      json_array_append_new (when, entry);
    }
  json_array_append_new (list, json_pack ("{s:o, s:o}", "id", name ("E", i), "when", when));
}

static void
add_odds (Gen *gen)
{
  json_t *odds = json_object ();
  json_object_set_new (odds, "other", json_real (gen->n_stages > 2 || chance (gen, .5) ? 0 : .1));
  if (chance (gen, .8))
    json_object_set_new (odds, "faults", json_real (.1 + .9 * g_rand_double (gen->rand)));
  if (chance (gen, .3))
    json_object_set_new (odds, "elsewhere", json_real (chance (gen, .5) ? 0 : .3));
  if (chance (gen, .4))
    json_object_set_new (odds, "setup", json_real (chance (gen, .3) ? 0 : .1));
  if (chance (gen, .3))
    json_object_set_new (odds, "misreport", json_real (.2));
  json_object_set_new (gen->doc, "odds", odds);
}

static json_t *
new_list (Gen *gen, const char *key)
{
  json_object_set_new (gen->doc, key, json_array ());
  return json_object_get (gen->doc, key);
}

static void
generate (Gen *gen)
{
  int n_sections = 1 + pick (gen, 2);
  json_t *list;
  gen->doc = json_pack ("{s:s, s:i, s:[{s:s}]}", "format", "benchlore-board", "version", 1, "ports",
                        "id", "P");
  gen->n_stages = 1 + pick (gen, 4);
  gen->n_comps = 1 + pick (gen, 4);
  gen->n_measures = 1 + pick (gen, 5);
  gen->n_states = 1 + pick (gen, 2);
  gen->n_points = pick (gen, 3);
  gen->n_symptoms = pick (gen, 3);
  list = new_list (gen, "states");
  for (int i = 0; i < gen->n_states; i++)
    json_array_append_new (list, json_pack ("{s:o, s:b, s:i}", "id", name ("st", i), "live", i == 1,
                                            "enter_s", 30 + 20 * i));
  list = new_list (gen, "sections");
  for (int i = 0; i < n_sections; i++)
    json_array_append_new (list, json_pack ("{s:o, s:s}", "id", name ("sec", i), "kind", "supply"));
  list = new_list (gen, "stages");
  for (int i = 0; i < gen->n_stages; i++)
    add_stage (gen, list, i, n_sections);
  list = new_list (gen, "test_points");
  for (int i = 0; i < gen->n_points; i++)
    json_array_append_new (list, json_pack ("{s:o}", "id", name ("TP", i)));
  list = new_list (gen, "measurements");
  for (int i = 0; i < gen->n_measures; i++)
    add_measurement (gen, list, i);
  list = new_list (gen, "components");
  for (int i = 0; i < gen->n_comps; i++)
    {
      gen->n_modes[i] = 1 + pick (gen, 2);
      add_component (gen, list, i);
    }
  add_links (gen);
  list = new_list (gen, "symptoms");
  for (int i = 0; i < gen->n_symptoms; i++)
    add_symptom (gen, list, i);
  add_odds (gen);
}

/* --- random jobs --- */

static void
add_reading (Gen *gen, GString *table)
{
  static const char *const volts[]
    = { "0.1", "2.5", "4", "5", "5", "5.15", "6", "3..5", "-", "-5", "4.81" };
  static const char *const ohms[] = { "1", "50", "100", "100", "500", "5000", "OL", "-", "91" };
  static const char *const swings[] = { "0.1..0.2", "0.5..4.5", "0.5..4.5", "2.4..2.6", "4.6..4.7",
                                        "0..3", "2..5", "-1..6", "-" };
  static const char *const answers[] = { "yes", "no", "-" };
  int m = pick (gen, gen->n_measures);
  json_t *source = json_array_get (json_object_get (gen->doc, "measurements"), m);
  const char *kind = json_string_value (json_object_get (source, "measures")), *text, *meter = "";
  if (strcmp (kind, "V DC") == 0)
    text = volts[pick (gen, G_N_ELEMENTS (volts))];
  else if (strcmp (kind, "ohm") == 0)
    text = ohms[pick (gen, G_N_ELEMENTS (ohms))];
  else if (strcmp (kind, "swing") == 0)
    text = swings[pick (gen, G_N_ELEMENTS (swings))];
  else
    text = answers[pick (gen, 3)];
  if ((strcmp (kind, "V DC") == 0 || strcmp (kind, "ohm") == 0) && chance (gen, .4))
    meter = "2%";
  g_string_append_printf (table, "M%d,%s,%s\n", m, text, meter);
}

static void
add_line (Gen *gen, GString *table)
{
  int comp = pick (gen, gen->n_comps);
  double dice = g_rand_double (gen->rand);
  if (dice < .72)
    add_reading (gen, table);
  else if (dice < .78)
    g_string_append_printf (table, "part:C%d,replaced,\n", comp);
  else if (dice < .82)
    g_string_append_printf (table, "round,%s,\n", chance (gen, .7) ? "wet" : "hot");
  else if (dice < .86)
    g_string_append_printf (table, "part:C%d,good,\n", comp);
  else if (dice < .9)
    g_string_append_printf (table, "part:C%d,m%d,\n", comp, pick (gen, gen->n_modes[comp]));
  else if (dice < .92)
    g_string_append_printf (table, "part:S%d/other,%s,\n", pick (gen, gen->n_stages),
                            chance (gen, .5) ? "good" : "low");
  else if (gen->n_symptoms > 0)
    g_string_append_printf (table, "symptom:E%d,%s,\n", pick (gen, gen->n_symptoms),
                            chance (gen, .6) ? "yes" : "no");
}

static char *
make_table (Gen *gen)
{
  GString *table = g_string_new ("measurement,reading,meter\n");
  for (int n = 1 + pick (gen, 8); n > 0; n--)
    add_line (gen, table);
  return g_string_free (table, FALSE);
}

/* A model and a job small enough for brute force, drawn from this seed. */
static void
draw (guint seed, char **document, char **table)
{
  Gen gen = { .rand = g_rand_new_with_seed (seed) };
  for (;;)
    {
      guint setups;
      generate (&gen);
      *document = json_dumps (gen.doc, JSON_INDENT (1) | JSON_PRESERVE_ORDER);
      *table = make_table (&gen);
      json_decref (gen.doc);
      if (oracle_size (*document, *table, &setups) <= MAX_EVENTS && setups <= MAX_SETUPS)
        break;
      free (*document);
      g_free (*table);
    }
  g_rand_free (gen.rand);
}

/* --- comparing --- */

/* Ours, by the engine; NULL when it says that the evidence is impossible. sharp: with a circuit for
 * this evidence only, as on boards too densely connected for one that serves any. */
static json_t *
engine_diagnose (const char *document, const char *table, gboolean sharp)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = bl_document_parse (document, -1, NULL, &error);
  g_assert_no_error (error);
  g_autoptr (GPtrArray) entries = bl_evidence_parse_csv (board, table, -1, &error);
  g_assert_no_error (error);
  g_autoptr (BlEngine) engine = bl_engine_new (board, &error);
  g_assert_no_error (error);
  engine->dense = sharp;
  g_autoptr (BlDiagnosis) diagnosis
    = bl_engine_diagnose (engine, entries, BL_DIAGNOSE_ALL, NULL, &error);
  if (g_error_matches (error, BL_CORE_ERROR, BL_CORE_ERROR_IMPOSSIBLE))
    return NULL;
  g_assert_no_error (error);
  g_autofree char *text = bl_diagnosis_to_json (diagnosis, -1);
  json_t *out = json_loads (text, 0, NULL);
  g_assert_nonnull (out);
  return out;
}

/* What differs; "" when nothing does. (transfer full) */
static char *
difference (guint seed, double spoil, gboolean sharp, guint *compared)
{
  char *report = NULL;
  char *document;
  g_autofree char *table = NULL;
  draw (seed, &document, &table);
  json_t *ours = engine_diagnose (document, table, sharp), *theirs = oracle_diagnose (document, table, spoil);
  if ((ours == NULL) != (theirs == NULL))
    report = g_strdup ("only one says that it is impossible\n");
  else
    report = ours != NULL ? compare_diagnoses (ours, theirs, compared) : g_strdup ("");
  if (*report != '\0' && spoil == 1)
    g_test_message ("seed %u\n%s\n%s\n%s", seed, document, table, report);
  json_decref (ours);
  json_decref (theirs);
  free (document);
  return report;
}

static guint
setting (const char *variable, guint otherwise)
{
  const char *text = g_getenv (variable);
  return text != NULL ? (guint) g_ascii_strtoull (text, NULL, 10) : otherwise;
}

static void
agrees (gboolean sharp)
{
  guint n = setting ("BENCHLORE_ORACLE_MODELS", MODELS), first = setting ("BENCHLORE_ORACLE_SEED", 1);
  guint compared = 0, wrong = 0;
  for (guint i = 0; i < n; i++)
    {
      g_autofree char *report = difference (first + i, 1, sharp, &compared);
      wrong += report[0] != '\0';
    }
  g_test_message ("%u models, %u figures compared, %u models differ", n, compared, wrong);
  g_assert_cmpuint (wrong, ==, 0);
  g_assert_cmpuint (compared, >, 20 * n);
}

static void
test_agrees (void)
{
  agrees (FALSE);
}

static void
test_agrees_sharply (void)
{
  agrees (TRUE);
}

/* --- any of several own events --- */

/* Sets of one to all modes, drawn at random. (transfer full) */
static GPtrArray *
draw_sets (GRand *rand, const BlCauses *causes)
{
  GPtrArray *sets = g_ptr_array_new_with_free_func ((GDestroyNotify) g_strfreev);
  for (guint i = 0; i + 1 < ORACLE_UNIONS; i++)
    {
      g_autoptr (GStrvBuilder) set = g_strv_builder_new ();
      double share = g_rand_double (rand);
      for (guint m = 0; m < causes->modes->len; m++)
        {
          const BlCauseMode *mode = bl_cause_mode (causes, m);
          g_autofree char *event = g_strdup_printf ("%s:%s", bl_cause_part (causes, mode->part)->id, mode->name);
          if (i == 0 || g_rand_double (rand) < share)
            g_strv_builder_add (set, event);
        }
      g_ptr_array_add (sets, g_strv_builder_end (set));
    }
  return sets;
}

static guint
compare_unions (guint seed, gboolean sharp, double *worst)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GRand) rand = g_rand_new_with_seed (seed);
  char *document;
  g_autofree char *table = NULL;
  draw (seed, &document, &table);
  g_autoptr (BlBoard) board = bl_document_parse (document, -1, NULL, &error);
  g_autoptr (GPtrArray) entries = bl_evidence_parse_csv (board, table, -1, &error);
  g_autoptr (BlEngine) engine = bl_engine_new (board, &error);
  g_assert_no_error (error);
  engine->dense = sharp;
  g_autoptr (GPtrArray) sets = draw_sets (rand, engine->causes);
  double ours[ORACLE_UNIONS], theirs[ORACLE_UNIONS];
  gboolean possible = bl_engine_unions (engine, entries, sets, ours, NULL, &error);
  g_ptr_array_add (sets, NULL);
  g_assert_cmpint (possible, ==, oracle_unions (document, table, (char ***) sets->pdata, theirs));
  for (guint i = 0; possible && i + 1 < sets->len; i++)
    *worst = MAX (*worst, fabs (ours[i] - theirs[i]));
  free (document);
  return possible ? sets->len - 1 : 0;
}

static void
test_unions (void)
{
  guint n = setting ("BENCHLORE_ORACLE_MODELS", MODELS) / 2, first = setting ("BENCHLORE_ORACLE_SEED", 1);
  guint compared = 0;
  double worst = 0;
  for (guint i = 0; i < n; i++)
    compared += compare_unions (first + i, i % 2, &worst);
  g_test_message ("%u sets compared, largest difference %g", compared, worst);
  g_assert_cmpfloat (worst, <=, 1e-9);
  g_assert_cmpuint (compared, >, 5 * n);
}

/* The comparison is worth something: one event weighed wrong by a thousandth is noticed nearly
 * always (not where evidence makes the event certain or nothing else is possible). */
static void
test_can_fail (void)
{
  guint noticed = 0, compared = 0;
  for (guint seed = 1; seed <= 20; seed++)
    {
      g_autofree char *report = difference (seed, 1.001, FALSE, &compared);
      noticed += report[0] != '\0';
    }
  g_assert_cmpuint (noticed, >=, 15);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/oracle/agrees", test_agrees);
  g_test_add_func ("/core/oracle/agrees-sharply", test_agrees_sharply);
  g_test_add_func ("/core/oracle/unions", test_unions);
  g_test_add_func ("/core/oracle/can-fail", test_can_fail);
  return g_test_run ();
}
