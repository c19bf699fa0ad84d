/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The demo documents judged from outside: readings of faulty circuits, computed with a circuit
 * simulator (ngspice 39; netlists, readings and origin in tests/fixtures/circuits), are put through
 * the diagnosis measurement by measurement. In which stage each fault sits was written down from the
 * circuits beforehand. Two sets: faults on nominal parts, and faults put again into boards whose parts,
 * mains and meter differ within their tolerances. Some 160 faults of ten circuits, up to 36 readings each. Faults that
 * leave no trace on any reading are counted apart: nothing can find them from these readings. */
#undef G_DISABLE_ASSERT
#include "fixture-demo.h"

#include <string.h>

#define FIRST 0.85 /* share of the faults whose stage must come first, over all circuits */
#define TWO 0.97   /* ... and be among the first two */

typedef struct
{
  guint first, two, traced, traceless;
} Score;

typedef struct
{
  char *name; /* of the document */
  BlBoard *board;
  BlEngine *engine;
} Document;

static void
document_free (Document *self)
{
  bl_engine_free (self->engine);
  bl_board_free (self->board);
  g_free (self->name);
  g_free (self);
}

static GPtrArray *
read_table (const char *name)
{
  g_autofree char *file = g_test_build_filename (G_TEST_DIST, "fixtures", "circuits", name, NULL);
  g_autofree char *text = NULL;
  g_autoptr (GError) error = NULL;
  GPtrArray *table;
  gsize length;

  g_file_get_contents (file, &text, &length, &error);
  g_assert_no_error (error);
  table = bl_csv_parse (text, length, &error);
  g_assert_no_error (error);
  g_ptr_array_remove_index (table, 0);
  return table;
}

static char **
fields (GPtrArray *table, guint i)
{
  return ((BlCsvRecord *) table->pdata[i])->fields;
}

/* "STATE\tFAULT\tPOINT" -> reading, of the circuit's file in a set ("" or "spread/"); a variant,
 * "i_ntc/a", shares the file. */
static GHashTable *
read_circuit (const char *set, const char *circuit)
{
  g_auto (GStrv) parts = g_strsplit (circuit, "/", 2);
  g_autofree char *name = g_strconcat (set, parts[0], ".csv", NULL);
  g_autoptr (GPtrArray) table = read_table (name);
  GHashTable *readings = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);

  for (guint i = 0; i < table->len; i++)
    {
      char **f = fields (table, i);

      g_assert_cmpuint (g_strv_length (f), ==, 5);
      g_hash_table_insert (readings, g_strdup_printf ("%s\t%s\t%s", f[0], f[1], f[3]),
                           g_strdup (f[4]));
    }
  return readings;
}

/* The readings of one fault as entries: what the map knows a measurement for. */
static GPtrArray *
entries_of (const BlBoard *board, GPtrArray *map, const char *circuit, const char *fault,
            GHashTable *readings)
{
  GString *csv = g_string_new ("measurement,reading,meter\n");
  g_autoptr (GError) error = NULL;
  GPtrArray *entries;

  for (guint i = 0; i < map->len; i++)
    {
      char **f = fields (map, i);
      g_autofree char *key = g_strdup_printf ("%s\t%s\t%s", f[2], fault, f[3]);
      const char *reading = g_hash_table_lookup (readings, key);

      if (g_str_equal (f[1], circuit) && reading != NULL)
        g_string_append_printf (csv, "%s,%s,\n", f[4], reading);
    }
  entries = bl_evidence_parse_csv (board, csv->str, csv->len, &error);
  g_assert_no_error (error);
  g_string_free (csv, TRUE);
  return entries;
}

/* Faults between conductors belong to no stage of a board: the cable stands in its own right. */
static guint
rank_of_place (const BlDiagnosis *diagnosis, const char *place)
{
  guint rank = demo_rank (diagnosis->stages, place);
  const BlOdd *cable = bl_diagnosis_find (diagnosis->components, place);

  if (rank != G_MAXUINT || cable == NULL)
    return rank;
  rank = 0;
  for (guint i = 0; i < diagnosis->stages->len; i++)
    rank += ((const BlOdd *) diagnosis->stages->pdata[i])->probability > cable->probability;
  return rank;
}

static guint
best_rank (const BlDiagnosis *diagnosis, const char *truth)
{
  g_auto (GStrv) places = g_strsplit (truth, "|", -1);
  guint best = G_MAXUINT;

  for (char **p = places; *p != NULL; p++)
    best = MIN (best, rank_of_place (diagnosis, *p));
  return best;
}

static void
say_missed (const BlDiagnosis *diagnosis, const char *circuit, const char *fault, const char *truth)
{
  const BlOdd *a = diagnosis->stages->pdata[0], *b = diagnosis->stages->pdata[1];

  g_test_message ("%s %s: sits in %s, named %s %.2f, then %s %.2f", circuit, fault, truth, a->id,
                  a->probability, b->id, b->probability);
}

static void
try_fault (Document *document, GPtrArray *map, const char *circuit, const char *fault,
           const char *truth, GHashTable *readings, Score *score)
{
  g_autoptr (GPtrArray) entries = entries_of (document->board, map, circuit, fault, readings);
  g_autoptr (BlDiagnosis) diagnosis = NULL;
  g_autoptr (GError) error = NULL;
  guint rank;

  if (entries->len == 0) /* a fault this set has not */
    return;
  g_assert_cmpuint (entries->len, >=, 2);
  if (!demo_leaves_trace (document->board, entries))
    {
      g_test_message ("%s %s leaves no trace on these %u readings", circuit, fault, entries->len);
      score->traceless++;
      return;
    }
  diagnosis = bl_engine_diagnose (document->engine, entries, BL_DIAGNOSE_ODDS, NULL, &error);
  g_assert_no_error (error);
  rank = best_rank (diagnosis, truth);
  score->traced++;
  score->first += rank == 0;
  score->two += rank <= 1;
  if (rank > 0)
    say_missed (diagnosis, circuit, fault, truth);
}

static Document *
document_of (GPtrArray *documents, GPtrArray *map, const char *circuit)
{
  const char *name = NULL;
  g_autoptr (GError) error = NULL;
  Document *document;

  for (guint i = 0; i < map->len && name == NULL; i++)
    if (g_str_equal (fields (map, i)[1], circuit))
      name = fields (map, i)[0];
  g_assert_nonnull (name);
  for (guint i = 0; i < documents->len; i++)
    if (g_str_equal (((Document *) documents->pdata[i])->name, name))
      return documents->pdata[i];
  document = g_new0 (Document, 1);
  document->name = g_strdup (name);
  document->board = demo_board (name);
  document->board->odds.setup = 0; /* leads and states are known to be right; a third of the time */
  document->engine = bl_engine_new (document->board, &error);
  g_assert_no_error (error);
  g_ptr_array_add (documents, document);
  return document;
}

static void
add_score (Score *sum, const Score *score)
{
  sum->first += score->first;
  sum->two += score->two;
  sum->traced += score->traced;
  sum->traceless += score->traceless;
}

static void
say_score (const char *name, const Score *score)
{
  g_test_message ("%-12s right stage first %u of %u, within two %u, without trace %u", name,
                  score->first, score->traced, score->two, score->traceless);
}

static void
test_circuits (gconstpointer set)
{
  g_autoptr (GPtrArray) map = read_table ("map.csv"), truth = read_table ("truth.csv");
  g_autoptr (GPtrArray) documents = g_ptr_array_new_with_free_func ((GDestroyNotify) document_free);
  Score all = { 0 }, score = { 0 };
  g_autoptr (GHashTable) readings = NULL;

  for (guint i = 0; i < truth->len; i++)
    {
      char **f = fields (truth, i);
      Document *document = document_of (documents, map, f[0]);

      if (readings == NULL)
        readings = read_circuit (set, f[0]);
      try_fault (document, map, f[0], f[1], f[2], readings, &score);
      if (i + 1 == truth->len || !g_str_equal (fields (truth, i + 1)[0], f[0]))
        {
          say_score (f[0], &score);
          add_score (&all, &score);
          score = (Score){ 0 };
          g_clear_pointer (&readings, g_hash_table_unref);
        }
    }
  say_score ("all", &all);
  g_assert_cmpuint (all.traced, >=, 150);
  g_assert_cmpfloat (all.first, >=, FIRST * all.traced);
  g_assert_cmpfloat (all.two, >=, TWO * all.traced);
}

/* The healthy circuits: every reading in band, or the documents' limits are wrong. */
static void
test_healthy (gconstpointer set)
{
  g_autoptr (GPtrArray) map = read_table ("map.csv");
  g_autoptr (GPtrArray) documents = g_ptr_array_new_with_free_func ((GDestroyNotify) document_free);

  for (guint i = 0; i < map->len; i++)
    {
      const char *circuit = fields (map, i)[1];

      if (i > 0 && g_str_equal (fields (map, i - 1)[1], circuit))
        continue;
      g_autoptr (GHashTable) readings = read_circuit (set, circuit);
      Document *document = document_of (documents, map, circuit);
      g_autoptr (GPtrArray) entries = entries_of (document->board, map, circuit, "OK", readings);

      g_assert_cmpuint (entries->len, >=, 2);
      g_assert_false (demo_leaves_trace (document->board, entries));
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_data_func ("/demo-circuits/nominal/healthy", "", test_healthy);
  g_test_add_data_func ("/demo-circuits/nominal/faults", "", test_circuits);
  g_test_add_data_func ("/demo-circuits/spread/healthy", "spread/", test_healthy);
  g_test_add_data_func ("/demo-circuits/spread/faults", "spread/", test_circuits);
  return g_test_run ();
}
