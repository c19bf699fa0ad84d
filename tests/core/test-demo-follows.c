/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The demo boards at other mains than 230 V. What follows the mains must not be called low or high because the mains
 * are; and must be called low where limits wide enough for any mains would let it pass. Peak of a sine: sqrt 2 times the
 * effective value. How much the diodes, the thermistor and the load take is from the simulated circuits (fixtures,
 * state standby_10W and run, healthy): 0.989 of the peak at standby, 1.3145 times the mains under load. */
#undef G_DISABLE_ASSERT
#include "fixture-demo.h"

#include <string.h>

/* The verdict on each measurement of text, "LN,218 BUS,305". */
static void
assert_verdicts (const BlBoard *board, const char *readings, const char *verdicts)
{
  g_auto (GStrv) lines = g_strsplit (readings, " ", -1);
  g_auto (GStrv) wanted = g_strsplit (verdicts, " ", -1);
  g_autofree char *rows = g_strjoinv (",\n", lines);
  g_autofree char *csv = g_strdup_printf ("measurement,reading,meter\n%s,\n", rows);
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) entries = bl_evidence_parse_csv (board, csv, strlen (csv), &error);
  g_assert_no_error (error);
  g_autoptr (GPtrArray) judged = bl_evidence_judge (board, entries, &error);
  g_assert_no_error (error);

  g_assert_cmpuint (judged->len, ==, g_strv_length (wanted));
  for (guint i = 0; i < judged->len; i++)
    {
      const char *label = bl_verdict_label (((BlJudged *) judged->pdata[i])->verdict);
      if (strcmp (label, g_str_equal (wanted[i], "good") ? "in band" : wanted[i]) != 0)
        g_error ("%s: %s is %s instead of %s", readings, lines[i], label, wanted[i]);
    }
}

static void
test_roof (void)
{
  g_autoptr (BlBoard) board = demo_board ("roof-board.json");

  for (double mains = 209; mains <= 253; mains += 2)
    {
      double bus = G_SQRT2 * mains * 0.989;
      g_autofree char *readings = g_strdup_printf ("LN,%.1f FO,%.1f CO,%.1f LS,%.1f BUS,%.1f SF,%.1f DR,%.1f LNR,%.1f "
                                                   "LSR,%.1f BUSR,%.1f",
                                                   mains, mains, mains, mains - 0.2, bus, bus - 0.1, bus - 0.1,
                                                   mains * 0.989, mains * 0.979, mains * 0.989 * 1.3145);
      assert_verdicts (board, readings, "good good good good good good good good good good");
    }
}

static void
test_roof_teeth (void)
{
  g_autoptr (BlBoard) board = demo_board ("roof-board.json");

  /* 290 V is a good bus at 209 V and a low one at 241 V; limits for any mains pass both. */
  assert_verdicts (board, "LN,209 BUS,290", "good good");
  assert_verdicts (board, "LN,241 BUS,290", "good low");
  assert_verdicts (board, "BUS,290", "good");
  /* A bypass that does not close: 0.87 of the mains, 209 V at 241 V, which is a supply within 10 %. */
  assert_verdicts (board, "LNR,241 LSR,209", "good low");
  /* What the mains do not feed is absent, not as expected. */
  assert_verdicts (board, "LN,0 FO,0 BUS,0", "absent absent absent");
  assert_verdicts (board, "LN,218 FO,0 BUS,0", "good absent absent");
  /* The last reading counts, whatever was read before. */
  assert_verdicts (board, "LN,230 BUS,322 LN,209", "good high good");
}

static void
test_wall (void)
{
  g_autoptr (BlBoard) board = demo_board ("wall-board.json");

  for (double mains = 209; mains <= 253; mains += 2)
    {
      double ac = 15.5 * mains / 230, rec = G_SQRT2 * ac - 1.9;
      g_autofree char *readings = g_strdup_printf ("LN,%.1f FO,%.1f AC,%.2f REC,%.2f", mains, mains, ac, rec);
      assert_verdicts (board, readings, "good good good good");
    }
  /* 17.3 V at the secondary: of 253 V, but not of 218 V. */
  assert_verdicts (board, "LN,253 AC,17.3", "good good");
  assert_verdicts (board, "LN,218 AC,17.3", "good high");
  assert_verdicts (board, "AC,15.5 REC,17", "good low");
}

/* At 218 and 241 V nothing is suspected more than before anything was read. */
static void
test_odds (void)
{
  static const double mains[] = { 218, 241 };
  g_autoptr (BlBoard) board = demo_board ("roof-board.json");

  for (guint i = 0; i < G_N_ELEMENTS (mains); i++)
    {
      double bus = G_SQRT2 * mains[i] * 0.989;
      g_autofree char *csv = g_strdup_printf ("measurement,reading,meter\nLN,%g,\nFO,%g,\nLS,%g,\nBUS,%.1f,\nSF,%.1f,\n",
                                              mains[i], mains[i], mains[i], bus, bus);
      g_autoptr (GError) error = NULL;
      g_autoptr (BlEngine) engine = bl_engine_new (board, &error);
      g_autoptr (GPtrArray) entries = bl_evidence_parse_csv (board, csv, strlen (csv), &error);
      g_assert_no_error (error);
      g_autoptr (BlDiagnosis) diagnosis = bl_engine_diagnose (engine, entries, 0, NULL, &error);
      g_assert_no_error (error);
      g_assert_cmpfloat (bl_diagnosis_find (diagnosis->stages, "bulk")->probability, <, 0.05);
      g_assert_cmpfloat (bl_diagnosis_find (diagnosis->stages, "inrush")->probability, <, 0.05);
    }
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/demo/follows/roof", test_roof);
  g_test_add_func ("/demo/follows/roof-teeth", test_roof_teeth);
  g_test_add_func ("/demo/follows/wall", test_wall);
  g_test_add_func ("/demo/follows/odds", test_odds);
  return g_test_run ();
}
