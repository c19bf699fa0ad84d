/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where in an equipment the fault lies: who belongs where, and odds against the engine's unions. */
#undef G_DISABLE_ASSERT
#include "bl-equipment.h"
#include "fixture-demo.h"

#include <math.h>
#include <string.h>

static GPtrArray *
entries_of (const BlBoard *board, const char *csv)
{
  g_autoptr (GError) error = NULL;
  GPtrArray *entries = bl_evidence_parse_csv (board, csv, -1, &error);

  g_assert_no_error (error);
  return entries;
}

static BlDiagnosis *
diagnose (const BlBoard *board, BlEngine *engine, const char *csv)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) entries = entries_of (board, csv);
  BlDiagnosis *diagnosis = bl_engine_diagnose (engine, entries, BL_DIAGNOSE_ODDS, NULL, &error);

  g_assert_no_error (error);
  return diagnosis;
}

static void
test_belonging (void)
{
  g_autoptr (BlBoard) joined = demo_board ("pair.json"), alone = demo_board ("wall-board.json");
  g_autoptr (BlPlaces) places = bl_places_new (joined);
  guint events = 0, modes = 0;

  g_assert_null (bl_places_new (alone));
  g_assert_cmpstr (demo_place_of (places, "roof/K2"), ==, "roof");
  g_assert_cmpstr (demo_place_of (places, "roof/rail5/other"), ==, "roof");
  g_assert_cmpstr (demo_place_of (places, "W3"), ==, "W3");
  g_assert_cmpstr (demo_place_of (places, "W3/other"), ==, "W3");
  g_assert_cmpstr (demo_place_of (places, "CB1"), ==, "CB1");
  g_assert_cmpstr (bl_place_strip ("roof/K2", "roof"), ==, "K2");
  g_assert_null (bl_place_strip ("roof2/K2", "roof"));
  g_assert_null (bl_place_strip ("K2", "roof"));
  g_assert_cmpuint (places->places->len, ==, 3);
  g_assert_cmpuint (places->parts->len, ==, 5); /* W1, W2, W3, PE, CB1 */
  g_assert_cmpint (bl_places_find (places, BL_SHARE_OF_PARTS)->kind, ==, BL_PLACE_PARTS);
  g_assert_cmpint (bl_places_find (places, "W2")->kind, ==, BL_PLACE_PART);
  g_assert_null (bl_places_find (places, "W9"));
  g_assert_true (isnan (bl_places_find (places, "wall")->probability));
  for (guint i = 0; i < places->places->len; i++)
    events += g_strv_length (((BlFaultPlace *) bl_at (places->places, i))->events);
  for (guint i = 0; i < joined->components->len; i++)
    modes += bl_len (((BlComponent *) bl_at (joined->components, i))->modes);
  g_assert_cmpuint (events, ==, modes + BL_N_DEVIATIONS * joined->stages->len); /* every one in one place */
}

/* Each place is what the union of its events is, and none what is left of all. */
static void
test_unions (void)
{
  g_autoptr (BlBoard) joined = demo_board ("pair.json");
  g_autoptr (GError) error = NULL;
  g_autoptr (BlEngine) engine = bl_engine_new (joined, &error);
  const char *csv = "measurement,reading,meter\nsymptom:LINK,yes\nLN-WALL,229\nwall/S-MK,22.4\n";
  g_autoptr (BlDiagnosis) diagnosis = diagnose (joined, engine, csv);
  g_autoptr (GPtrArray) entries = entries_of (joined, csv), sets = g_ptr_array_new ();
  const GPtrArray *lists[] = { diagnosis->places->places, diagnosis->places->parts };
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();
  g_auto (GStrv) all = NULL;
  g_autofree double *odds = NULL;
  double sum = 0;

  for (guint l = 0; l < 2; l++)
    for (guint i = 0; i < lists[l]->len; i++)
      {
        BlFaultPlace *place = bl_at (lists[l], i);
        g_ptr_array_add (sets, place->events);
        if (l == 0)
          g_strv_builder_addv (builder, (const char **) place->events);
      }
  all = g_strv_builder_end (builder);
  g_ptr_array_add (sets, all);
  odds = g_new0 (double, sets->len);
  g_assert_true (bl_engine_unions (engine, entries, sets, odds, NULL, &error));
  for (guint l = 0, n = 0; l < 2; l++)
    for (guint i = 0; i < lists[l]->len; i++, n++)
      g_assert_cmpfloat (fabs (((BlFaultPlace *) bl_at (lists[l], i))->probability - odds[n]), <, 1e-9);
  g_assert_cmpfloat (fabs (1 - diagnosis->places->none - odds[sets->len - 1]), <, 1e-9);
  for (guint i = 0; i < lists[0]->len; i++)
    sum += ((BlFaultPlace *) bl_at (lists[0], i))->probability;
  g_assert_cmpfloat (sum, >=, odds[sets->len - 1]); /* two may have failed */
}

/* By hand: two boards of one stage each and the conductor between them, one event each of prior q, a third of the 0.2
 * faults expected; elsewhere, other causes and wrong set-ups off. One output is read good, the other absent. Over the
 * seven states with something wrong: the events' chances times those of both readings (misread 0.02, five classes). */
static const char one_board[] =
    "{\"format\": \"benchlore-board\", \"version\": 1, \"states\": [{\"id\": \"on\"}],"
    " \"sections\": [{\"id\": \"s\"}], \"ports\": [{\"id\": \"in\"}],"
    " \"stages\": [{\"id\": \"a\", \"section\": \"s\", \"feeds\": {\"from\": [\"port:in\"]}}],"
    " \"components\": [{\"id\": \"X\", \"kind\": \"k\", \"stage\": \"a\","
    "   \"modes\": [{\"mode\": \"open\", \"weight\": 1, \"effects\": [{\"is\": \"absent\"}]}]}],"
    " \"test_points\": [],"
    " \"measurements\": [{\"id\": \"M\", \"measures\": \"V DC\", \"state\": \"on\", \"reads\": \"a\", \"misread\": 0.02,"
    "   \"expected\": {\"nominal\": 5, \"low\": 4.8, \"high\": 5.2}}]}";
static const char two_joined[] =
    "{\"format\": \"benchlore-equipment\", \"version\": 1,"
    " \"odds\": {\"elsewhere\": 0, \"other\": 0, \"setup\": 0},"
    " \"boards\": [{\"role\": \"near\", \"board\": \"b\"}, {\"role\": \"far\", \"board\": \"b\"}],"
    " \"conductors\": [{\"id\": \"W\", \"from\": \"near/a\", \"to\": \"far/in\","
    "   \"modes\": [{\"mode\": \"open\", \"weight\": 1, \"effects\": [{\"is\": \"absent\"}]}]}],"
    " \"shares\": {\"near\": 1, \"far\": 1, \"conductors\": 1}}";

static char *
load_one (const char *path, gsize *length, gpointer data, GError **error)
{
  *length = strlen (one_board);
  return g_strdup (one_board);
}

static void
test_by_hand (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) joined = bl_equipment_parse (two_joined, -1, load_one, NULL, NULL, &error);
  g_autoptr (BlEngine) engine = joined != NULL ? bl_engine_new (joined, &error) : NULL;
  g_autoptr (BlDiagnosis) diagnosis = NULL;
  const BlPlaces *places;
  double q = -expm1 (-0.2 / 3), of[3] = { 0 }, total = 0;

  g_assert_no_error (error);
  diagnosis = diagnose (joined, engine, "measurement,reading,meter\nnear/M,5\nfar/M,0.1\n");
  places = diagnosis->places;
  for (guint state = 1; state < 8; state++) /* bits: near, far, W */
    {
      double weight = 1;
      for (guint i = 0; i < 3; i++)
        weight *= state >> i & 1 ? q : 1 - q;
      /* read good: good when nothing is wrong there, e where it is absent; read absent the other way round */
      weight *= state & 1 ? 0.02 : 1 - 0.02 / 4;
      weight *= state != 0 ? 1 - 0.02 - 0.1 : 0.02 / 4;
      total += weight;
      for (guint i = 0; i < 3; i++)
        of[i] += state >> i & 1 ? weight : 0;
    }
  g_assert_cmpfloat (fabs (bl_places_find (places, "near")->probability - of[0] / total), <, 1e-9);
  g_assert_cmpfloat (fabs (bl_places_find (places, "far")->probability - of[1] / total), <, 1e-9);
  g_assert_cmpfloat (fabs (bl_places_find (places, "conductors")->probability - of[2] / total), <, 1e-9);
  g_assert_cmpfloat (fabs (bl_places_find (places, "W")->probability - of[2] / total), <, 1e-9);
  g_assert_cmpfloat (places->none, <, 1e-9);
  g_assert_cmpint (places->verdict, ==, BL_PLACES_BETWEEN);
  g_assert_cmpstr (places->first->id, ==, "far"); /* ties in the document's order */
  g_assert_cmpstr (places->second->id, ==, "conductors");
  g_assert_cmpfloat (places->pair, >, 0.95);
}

static void
assert_verdict (const char *csv, BlPlacesVerdict verdict, const char *first, const char *words)
{
  g_autoptr (BlBoard) joined = demo_board ("pair.json");
  g_autoptr (GError) error = NULL;
  g_autoptr (BlEngine) engine = bl_engine_new (joined, &error);
  g_autoptr (BlDiagnosis) diagnosis = diagnose (joined, engine, csv);
  g_autofree char *said = bl_places_words (diagnosis->places);

  g_test_message ("%s", said);
  g_assert_cmpint (diagnosis->places->verdict, ==, verdict);
  if (first != NULL)
    g_assert_cmpstr (diagnosis->places->first->id, ==, first);
  g_assert_nonnull (strstr (said, words));
}

static void
test_verdicts (void)
{
  assert_verdict ("measurement,reading,meter\nsymptom:LINK,yes\n", BL_PLACES_OPEN, NULL, "Not isolated");
  assert_verdict ("measurement,reading,meter\nX-LEAD,yes\nI-SN,20M\nC-S,no\n", BL_PLACES_ISOLATED, "conductors",
                  "Isolated: conductors");
  assert_verdict ("measurement,reading,meter\npart:W3,open\npart:roof/F1,open\nroof/R-F1,OL\nR-S,OL\n", BL_PLACES_SEVERAL,
                  NULL, "More than one");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/places/belonging", test_belonging);
  g_test_add_func ("/places/unions", test_unions);
  g_test_add_func ("/places/by-hand", test_by_hand);
  g_test_add_func ("/places/verdicts", test_verdicts);
  return g_test_run ();
}
