/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What goes along from an equipment's job to a board's, on the demo's documents. */
#undef G_DISABLE_ASSERT
#include "bl-carry.h"
#include "fixture-demo.h"

#include <string.h>

typedef struct
{
  BlBoard *joined, *roof;
  GPtrArray *entries;
} Fixture;

static void
set_up (Fixture *f, gconstpointer csv)
{
  g_autoptr (GError) error = NULL;

  f->joined = demo_board ("pair.json");
  f->roof = demo_board ("roof-board.json");
  f->entries = bl_evidence_parse_csv (f->joined, csv, -1, &error);
  g_assert_no_error (error);
}

static void
tear_down (Fixture *f, gconstpointer unused)
{
  g_ptr_array_unref (f->entries);
  bl_board_free (f->roof);
  bl_board_free (f->joined);
}

static const char whole[] = "measurement,reading,meter\n"
                            "symptom:LINK,yes\n"
                            "LN-ROOF,227\n"
                            "roof/V5,0.02,0.5%+3@0.01\n"
                            "wall/K1K,yes\n"
                            "round,wet\n"
                            "part:W3,replaced\n"
                            "part:roof/U3,good\n"
                            "part:W3/other,good\n"
                            "symptom:ROOFDEAD,no\n"
                            "part:roof/U3,replaced\n"
                            "roof/V5,5.01\n";

/* In order: the symptom of that name, V5, the wet round, a round for W3, the part test, U3, V5 again. */
static void
test_names (Fixture *f, gconstpointer unused)
{
  g_autoptr (BlCarried) carried = bl_carry (f->entries, f->joined, f->roof, "roof");
  static const struct { BlEntryKind kind; const char *subject, *text; guint from; } expected[]
    = { { BL_ENTRY_SYMPTOM, "LINK", "yes", 0 },   { BL_ENTRY_READING, "V5", "0.02", 2 },
        { BL_ENTRY_ROUND, NULL, "wet", 4 },       { BL_ENTRY_ROUND, NULL, NULL, 5 },
        { BL_ENTRY_PART_TEST, "U3", "good", 6 },  { BL_ENTRY_REPLACED, "U3", NULL, 9 },
        { BL_ENTRY_READING, "V5", "5.01", 10 } };

  g_assert_cmpuint (carried->entries->len, ==, G_N_ELEMENTS (expected));
  for (guint i = 0; i < G_N_ELEMENTS (expected); i++)
    {
      const BlEntry *entry = bl_at (carried->entries, i);
      g_assert_cmpint (entry->kind, ==, expected[i].kind);
      g_assert_cmpstr (entry->subject, ==, expected[i].subject);
      if (entry->kind == BL_ENTRY_READING || entry->kind == BL_ENTRY_ROUND)
        g_assert_cmpstr (entry->text, ==, expected[i].text);
      g_assert_cmpuint (g_array_index (carried->from, guint, i), ==, expected[i].from);
    }
  g_assert_cmpstr (((BlEntry *) bl_at (carried->entries, 1))->meter, ==, "0.5%+3@0.01");
}

static void
test_left (Fixture *f, gconstpointer unused)
{
  g_autoptr (BlCarried) carried = bl_carry (f->entries, f->joined, f->roof, "roof");
  g_autofree char *words = bl_carried_words (carried);
  static const BlLeft expected[] = { { 1, BL_LEFT_EQUIPMENT }, { 3, BL_LEFT_OTHER_BOARD }, { 5, BL_LEFT_EQUIPMENT },
                                     { 7, BL_LEFT_EQUIPMENT }, { 8, BL_LEFT_EQUIPMENT } };

  g_assert_cmpuint (carried->left->len, ==, G_N_ELEMENTS (expected));
  for (guint i = 0; i < G_N_ELEMENTS (expected); i++)
    {
      g_assert_cmpuint (g_array_index (carried->left, BlLeft, i).index, ==, expected[i].index);
      g_assert_cmpint (g_array_index (carried->left, BlLeft, i).reason, ==, expected[i].reason);
    }
  g_assert_nonnull (strstr (words, "5 entries"));
  g_assert_nonnull (strstr (words, "4 field checks"));
  g_assert_nonnull (strstr (words, "1 entry is about another board"));
}

static const char dead_rail[] = "measurement,reading,meter\nsymptom:LINK,yes\nroof/V12,12.06\nwall/V5,5\nroof/V5,0.02\n";

/* What came along is evidence that the board's own engine takes, and it finds the part. */
static void
test_diagnosed (Fixture *f, gconstpointer unused)
{
  g_autoptr (BlCarried) carried = bl_carry (f->entries, f->joined, f->roof, "roof");
  g_autoptr (GError) error = NULL;
  g_autoptr (BlEngine) engine = bl_engine_new (f->roof, &error);
  g_autoptr (BlDiagnosis) diagnosis = bl_engine_diagnose (engine, carried->entries, BL_DIAGNOSE_ODDS, NULL, &error);

  g_assert_no_error (error);
  g_assert_cmpstr (diagnosis->likely_stage, ==, "rail5");
}

static const char states[] = "measurement,reading,meter\nroof/V5,0.02\nroof/V12,12\nroof/V5,0.03\nroof/V5,0.04\n";

/* Of a state that only the equipment has, and against a point of the other board. */
static void
test_states_and_leads (Fixture *f, gconstpointer unused)
{
  BlEntry *e[] = { bl_at (f->entries, 0), bl_at (f->entries, 1), bl_at (f->entries, 2), bl_at (f->entries, 3) };
  g_autoptr (BlCarried) carried = NULL;

  e[0]->state = g_strdup ("joined");
  e[1]->state = g_strdup ("run");
  e[2]->black = g_strdup ("wall/TP0");
  e[3]->black = g_strdup ("roof/TP0");
  carried = bl_carry (f->entries, f->joined, f->roof, "roof");
  g_assert_cmpuint (carried->entries->len, ==, 2);
  g_assert_cmpstr (((BlEntry *) bl_at (carried->entries, 0))->state, ==, "run");
  g_assert_cmpstr (((BlEntry *) bl_at (carried->entries, 1))->black, ==, "TP0");
  g_assert_cmpint (g_array_index (carried->left, BlLeft, 0).reason, ==, BL_LEFT_LEADS);
  g_assert_cmpint (g_array_index (carried->left, BlLeft, 1).reason, ==, BL_LEFT_LEADS);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add ("/carry/names", Fixture, whole, set_up, test_names, tear_down);
  g_test_add ("/carry/left", Fixture, whole, set_up, test_left, tear_down);
  g_test_add ("/carry/diagnosed", Fixture, dead_rail, set_up, test_diagnosed, tear_down);
  g_test_add ("/carry/states-and-leads", Fixture, states, set_up, test_states_and_leads, tear_down);
  return g_test_run ();
}
