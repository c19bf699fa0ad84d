/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drawn drills: repeatable, of the kind that was ordered, what is read is possible together and shows the fault. */
#include "config.h"

#include "bl-drill.h"

#include "bl-engine-private.h"
#include "fixture-demo.h"

#include <string.h>

/* A rail of 12 V that feeds one of 5 V, which feeds a lamp; own numbers. */
static const char chain_text[]
  = "{ \"format\": \"benchlore-board\", \"version\": 1,"
    "  \"states\": [{\"id\": \"off\", \"live\": false, \"dead_proof\": [\"P\"]},"
    "             {\"id\": \"run\", \"live\": true, \"volts\": 325}],"
    "  \"sections\": [{\"id\": \"supply\", \"kind\": \"supply\"}, {\"id\": \"lamps\", \"kind\": \"indicator\"}],"
    "  \"stages\": [{\"id\": \"rail12\", \"section\": \"supply\"},"
    "             {\"id\": \"rail5\", \"section\": \"supply\", \"feeds\": {\"from\": [\"rail12\"]}},"
    "             {\"id\": \"lamp\", \"section\": \"lamps\", \"feeds\": {\"from\": [\"rail5\"]}}],"
    "  \"components\": ["
    "    {\"id\": \"T1\", \"kind\": \"transformer\", \"stage\": \"rail12\", \"modes\": ["
    "      {\"mode\": \"shorted turns\", \"weight\": 1, \"effects\": [{\"is\": \"low\"}],"
    "       \"provokes\": [{\"component\": \"F1\", \"mode\": \"open\", \"chance\": 0.5}]}]},"
    "    {\"id\": \"F1\", \"kind\": \"fuse\", \"stage\": \"rail12\", \"modes\": ["
    "      {\"mode\": \"open\", \"weight\": 1, \"effects\": [{\"is\": \"absent\"}, {\"on\": \"R1\", \"is\": \"open\"}]}]},"
    "    {\"id\": \"U5\", \"kind\": \"ic\", \"stage\": \"rail5\", \"modes\": ["
    "      {\"mode\": \"no output\", \"weight\": 1, \"effects\": [{\"is\": \"absent\"}]},"
    "      {\"mode\": \"unseen\", \"weight\": 50}]},"
    "    {\"id\": \"H1\", \"kind\": \"led\", \"stage\": \"lamp\", \"modes\": ["
    "      {\"mode\": \"open\", \"weight\": 1, \"effects\": [{\"is\": \"absent\"}]},"
    "      {\"mode\": \"dim\", \"weight\": 5, \"effects\": [{\"on\": \"L\", \"is\": \"low\"}]}]}],"
    "  \"measurements\": ["
    "    {\"id\": \"P\", \"measures\": \"V DC\", \"state\": \"off\", \"expected\": {\"high\": 10}},"
    "    {\"id\": \"R1\", \"measures\": \"ohm\", \"state\": \"off\", \"expected\": {\"nominal\": 1, \"low\": 0.5, \"high\": 2}},"
    "    {\"id\": \"V12\", \"measures\": \"V DC\", \"state\": \"run\", \"reads\": \"rail12\","
    "     \"expected\": {\"nominal\": 12, \"low\": 11.5, \"high\": 12.5}},"
    "    {\"id\": \"V12B\", \"measures\": \"V DC\", \"state\": \"run\", \"reads\": \"rail12\","
    "     \"expected\": {\"nominal\": 12, \"low\": 11.4, \"high\": 12.6}},"
    "    {\"id\": \"V5\", \"measures\": \"V DC\", \"state\": \"run\", \"reads\": \"rail5\","
    "     \"expected\": {\"nominal\": 5, \"low\": 4.8, \"high\": 5.2}},"
    "    {\"id\": \"L\", \"measures\": \"V DC\", \"state\": \"run\", \"reads\": \"lamp\","
    "     \"expected\": {\"nominal\": 2, \"low\": 1.8, \"high\": 2.2}}],"
    "  \"symptoms\": [{\"id\": \"DARK\", \"when\": [{\"on\": \"lamp\", \"is\": [\"absent\", \"low\"]}]}] }";

static BlBoard *
chain (void)
{
  g_autoptr (GError) error = NULL;
  BlBoard *board = bl_document_parse (chain_text, -1, NULL, &error);

  g_assert_no_error (error);
  return board;
}

static BlDrill *
drill_of (const BlBoard *board, BlDrillKind kind, guint32 seed)
{
  g_autoptr (GError) error = NULL;
  BlDrillOrder order = { kind, NULL, seed };
  BlDrill *drill = bl_drill_new (board, &order, &error);

  g_assert_no_error (error);
  return drill;
}

static char *
read_of (const BlDrill *drill, const char *measurement, guint time)
{
  g_autoptr (GError) error = NULL;
  char *text = bl_drill_read (drill, measurement, time, &error);

  g_assert_no_error (error);
  return text;
}

static double
value_of (const BlDrill *drill, const char *measurement, guint time)
{
  g_autofree char *text = read_of (drill, measurement, time);

  return g_ascii_strtod (text, NULL);
}

/* The readings of the first time as entries, judged with the drill's meter. */
static GPtrArray *
entries_of (const BlDrill *drill, guint time)
{
  const BlBoard *board = bl_drill_board (drill);
  GPtrArray *entries = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_entry_free);

  for (guint i = 0; i < board->measurements->len; i++)
    {
      const BlMeasurement *measurement = bl_at (board->measurements, i);
      g_autofree char *text = read_of (drill, measurement->id, time);
      BlEntry *entry = bl_entry_new (BL_ENTRY_READING, measurement->id, text);
      g_assert_true (bl_reading_parse (text, measurement->measures, &entry->reading, NULL));
      g_ptr_array_add (entries, entry);
    }
  return entries;
}

/* Names of all drills over some seeds, in one text. */
static char *
drawn (const BlBoard *board, BlDrillKind kind, guint seeds)
{
  g_autoptr (GString) all = g_string_new (" ");

  for (guint seed = 0; seed < seeds; seed++)
    {
      g_autoptr (BlDrill) drill = drill_of (board, kind, seed);
      g_autofree char *faults = g_strjoinv (" ", (char **) bl_drill_faults (drill));
      g_string_append_printf (all, "%s ", faults);
    }
  return g_string_free (g_steal_pointer (&all), FALSE);
}

static void
test_single (void)
{
  g_autoptr (BlBoard) board = chain ();
  g_autofree char *all = drawn (board, BL_DRILL_SINGLE, 60);

  /* The two likeliest: one that nothing shows, one without a symptom. Neither is ever drawn. */
  g_assert_null (strstr (all, "unseen"));
  g_assert_null (strstr (all, "dim"));
  g_assert_nonnull (strstr (all, " T1:shorted turns "));
  g_assert_nonnull (strstr (all, " F1:open "));
  g_assert_nonnull (strstr (all, " U5:no output "));
  g_assert_nonnull (strstr (all, " H1:open "));
}

/* A rail at a share of its value feeds nothing at full value, and two points of one rail agree. */
static void
test_possible_together (void)
{
  g_autoptr (BlBoard) board = chain ();
  guint n = 0;

  for (guint seed = 0; seed < 60; seed++)
    {
      g_autoptr (BlDrill) drill = drill_of (board, BL_DRILL_SINGLE, seed);
      double share = value_of (drill, "V12", 0) / 12;

      g_assert_cmpstr (bl_drill_symptom (drill), ==, "DARK");
      if (!g_str_equal (bl_drill_faults (drill)[0], "T1:shorted turns"))
        continue;
      n++;
      g_assert_cmpfloat (share, <, 11.5 / 12);
      g_assert_cmpfloat (value_of (drill, "V5", 0) / 5, <=, share * 1.01);
      g_assert_cmpfloat (value_of (drill, "L", 0) / 2, <=, value_of (drill, "V5", 0) / 5 * 1.01);
      g_assert_cmpfloat_with_epsilon (value_of (drill, "V12B", 0) / 12, share, 0.01);
    }
  g_assert_cmpuint (n, >, 5);
}

static void
test_provoked (void)
{
  g_autoptr (BlBoard) board = chain ();
  g_autoptr (BlDrill) drill = drill_of (board, BL_DRILL_PROVOKED, 3);
  g_autofree char *fuse = bl_drill_test_part (drill, "F1", NULL), *sound = bl_drill_test_part (drill, "U5", NULL);

  g_assert_cmpstr (bl_drill_faults (drill)[0], ==, "T1:shorted turns");
  g_assert_null (bl_drill_faults (drill)[1]);
  g_assert_cmpstr (bl_drill_victims (drill)[0], ==, "F1:open");
  g_assert_true (bl_drill_is_component (drill, "T1"));
  g_assert_false (bl_drill_is_component (drill, "F1"));
  g_assert_true (bl_drill_is_victim (drill, "F1"));
  g_assert_true (bl_drill_is_stage (drill, "rail12"));
  g_assert_false (bl_drill_is_stage (drill, "rail5"));
  g_assert_cmpstr (fuse, ==, "open");
  g_assert_cmpstr (sound, ==, "good");
}

static void
test_two (void)
{
  g_autoptr (BlBoard) board = chain ();

  for (guint seed = 0; seed < 20; seed++)
    {
      g_autoptr (BlDrill) drill = drill_of (board, BL_DRILL_TWO, seed);
      const char *const *faults = bl_drill_faults (drill);

      g_assert_cmpuint (g_strv_length ((char **) faults), ==, 2);
      g_assert_cmpint (faults[0][0] == faults[1][0], ==, 0); /* parts of two components */
      g_assert_cmpuint (g_strv_length ((char **) bl_drill_victims (drill)), ==, 0);
      for (guint i = 0; i < 2; i++)
        g_assert_false (g_str_has_suffix (faults[i], "unseen"));
    }
}

/* One first reading is of a class that the board does not show; the second of it is right, and so are all others. */
static void
test_misread (void)
{
  g_autoptr (BlBoard) board = chain ();

  for (guint seed = 0; seed < 20; seed++)
    {
      g_autoptr (BlDrill) drill = drill_of (board, BL_DRILL_MISREAD, seed);
      g_autoptr (GPtrArray) first = entries_of (drill, 0), second = entries_of (drill, 1);
      g_autoptr (GPtrArray) one = bl_evidence_judge (board, first, NULL), two = bl_evidence_judge (board, second, NULL);
      guint wrong = 0;

      for (guint i = 0; i < one->len; i++)
        {
          const BlJudged *a = bl_at (one, i), *b = bl_at (two, i);
          gboolean differs = a->verdict->best != b->verdict->best;
          g_assert_cmpint (differs, ==, g_str_equal (a->measurement->id, bl_drill_misread (drill)));
          wrong += differs ? 1 : 0;
        }
      g_assert_cmpuint (wrong, ==, 1);
    }
}

static void
test_sections (void)
{
  const char *lamps[] = { "lamps", NULL }, *none[] = { "attic", NULL };
  g_autoptr (BlBoard) board = chain ();
  g_autoptr (GError) error = NULL, alone = NULL;
  BlDrillOrder order = { BL_DRILL_SINGLE, lamps, 0 }, lost = { BL_DRILL_SINGLE, none, 0 };
  BlDrillOrder conductor = { BL_DRILL_CONDUCTOR, NULL, 0 };

  for (order.seed = 0; order.seed < 20; order.seed++)
    {
      g_autoptr (BlDrill) drill = bl_drill_new (board, &order, NULL);
      g_assert_cmpstr (bl_drill_faults (drill)[0], ==, "H1:open");
    }
  g_assert_null (bl_drill_new (board, &lost, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN);
  g_assert_null (bl_drill_new (board, &conductor, &alone));
  g_assert_error (alone, BL_CORE_ERROR, BL_CORE_ERROR_IMPOSSIBLE);
}

static void
test_planted (void)
{
  static const char *const faults[] = { "T1:shorted turns", NULL }, *const none[] = { "T1:gone", NULL };
  g_autoptr (BlBoard) board = chain ();
  g_autoptr (GError) error = NULL, unknown = NULL;
  g_autoptr (BlDrill) drill = bl_drill_planted (board, faults, &error);

  g_assert_no_error (error);
  g_assert_cmpuint (g_strv_length ((char **) bl_drill_victims (drill)), ==, 0);
  g_assert_cmpstr (bl_drill_symptom (drill), ==, "DARK");
  g_assert_null (bl_drill_meter (drill));
  g_assert_null (bl_drill_planted (board, none, &unknown));
  g_assert_error (unknown, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN);
}

/* --- the demo --------------------------------------------------------------------------------- */

/* What is read is what the model shows for exactly these faults: class by class, and each class is one that the fault
 * can be read as. */
static void
check_classes (const BlBoard *board, BlEngine *engine, const BlDrill *drill)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();

  g_strv_builder_addv (builder, (const char **) bl_drill_faults (drill));
  g_strv_builder_addv (builder, (const char **) bl_drill_victims (drill));
  g_auto (GStrv) all = g_strv_builder_end (builder);
  g_autoptr (GPtrArray) entries = entries_of (drill, 0);
  g_autoptr (GPtrArray) shows = bl_engine_signature (engine, (const char *const *) all, &error);
  g_assert_no_error (error);
  g_autoptr (GPtrArray) judged = bl_evidence_judge (board, entries, &error);
  g_assert_no_error (error);
  for (guint i = 0; i < judged->len; i++)
    {
      const BlJudged *one = bl_at (judged, i);
      const BlCauseMeasure *measure = bl_cause_measure (engine->causes, i);
      guint k = 0, j = 0;
      while (!g_str_equal (measure->classes[k], (char *) bl_at (shows, i)))
        k++;
      while (!g_str_equal (measure->classes[j], one->verdict->classes[one->verdict->best]))
        j++;
      g_assert_cmpfloat (bl_confusion (measure, measure->misread, k, j), >, 0);
      if (g_strcmp0 (one->measurement->id, bl_drill_misread (drill)) == 0)
        g_assert_cmpuint (k, !=, j);
      else
        g_assert_cmpuint (k, ==, j);
    }
}

static void
test_demo (gconstpointer name)
{
  g_autoptr (BlBoard) board = demo_board (name);
  g_autoptr (BlEngine) engine = bl_engine_new (board, NULL);
  gboolean joined = g_str_equal (name, "pair.json");
  guint seeds = joined ? 1 : 3;

  for (guint kind = 0; kind < BL_N_DRILL_KINDS; kind++)
    for (guint seed = 0; seed < seeds && (joined || kind != BL_DRILL_CONDUCTOR); seed++)
      {
        g_autoptr (BlDrill) drill = drill_of (board, kind, seed), same = drill_of (board, kind, seed);

        check_classes (board, engine, drill);
        g_assert_nonnull (bl_drill_symptom (drill));
        g_assert_cmpint (kind == BL_DRILL_PROVOKED, ==, bl_drill_victims (drill)[0] != NULL);
        g_assert_cmpuint (g_strv_length ((char **) bl_drill_faults (drill)), ==, kind == BL_DRILL_TWO ? 2 : 1);
        if (kind == BL_DRILL_CONDUCTOR)
          g_assert_null (strchr (bl_drill_faults (drill)[0], '/'));
        g_assert_true (g_strv_equal (bl_drill_faults (drill), bl_drill_faults (same)));
        for (guint i = 0; i < board->measurements->len; i++)
          {
            const char *id = ((const BlMeasurement *) bl_at (board->measurements, i))->id;
            for (guint time = 0; time < 2; time++)
              {
                g_autofree char *one = read_of (drill, id, time), *two = read_of (same, id, time);
                g_assert_cmpstr (one, ==, two);
              }
          }
      }
}

static double
bits_of (const BlBoard *board, const char *first, const char *second)
{
  g_autoptr (GError) error = NULL;
  const char *const faults[] = { first, second, NULL };
  g_autoptr (BlDrill) drill = bl_drill_planted (board, faults, &error);

  g_assert_no_error (error);
  return bl_drill_bits (drill);
}

/* By hand: four modes of the weight 1 make the lamp dark, a fault among these has two bits; of 50 + 5 that show nothing the
 * one of 5 has log2 (11), but for a little: of a mode that often happens the prior is less than its weight has it. */
static void
test_bits (void)
{
  g_autoptr (BlBoard) board = chain ();

  g_assert_cmpfloat_with_epsilon (bits_of (board, "F1:open", NULL), 2, 1e-9);
  g_assert_cmpfloat_with_epsilon (bits_of (board, "H1:dim", NULL), log2 (11), 0.2);
  /* Of two each, and one that would show nothing by itself is counted with the four. */
  g_assert_cmpfloat_with_epsilon (bits_of (board, "F1:open", "H1:open"), 4, 1e-9);
  g_assert_cmpfloat_with_epsilon (bits_of (board, "F1:open", "H1:dim"), log2 (9) + log2 (9.0 / 5), 0.2);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/drill/single", test_single);
  g_test_add_func ("/drill/possible-together", test_possible_together);
  g_test_add_func ("/drill/provoked", test_provoked);
  g_test_add_func ("/drill/two", test_two);
  g_test_add_func ("/drill/misread", test_misread);
  g_test_add_func ("/drill/sections", test_sections);
  g_test_add_func ("/drill/planted", test_planted);
  g_test_add_func ("/drill/bits", test_bits);
  g_test_add_data_func ("/drill/demo/wall", "wall-board.json", test_demo);
  g_test_add_data_func ("/drill/demo/roof", "roof-board.json", test_demo);
  g_test_add_data_func ("/drill/demo/pair", "pair.json", test_demo);
  return g_test_run ();
}
