/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What lamps do beside indication tables. That a code goes by board edition, role of the lamp, count and cadence, and the
 * state of a second lamp, never by colour: common practice, no source. */
#include "config.h"

#include "fixture-demo.h"

#include "bl-indication-match.h"

#include <math.h>

static void
see (GPtrArray *seen, const char *lamp, double blinks, double rate_hz, int steady)
{
  BlLampPattern *pattern = bl_lamp_pattern_new ();

  pattern->lamp = g_strdup (lamp);
  pattern->blinks = blinks;
  pattern->rate_hz = rate_hz;
  pattern->steady = steady;
  g_ptr_array_add (seen, pattern);
}

static GPtrArray *
nothing_seen (void)
{
  return g_ptr_array_new_with_free_func ((GDestroyNotify) bl_lamp_pattern_free);
}

static void
assert_match (GPtrArray *matches, guint i, const char *symptom, const char *edition, BlIndicationFit fit)
{
  g_assert_cmpuint (matches->len, >, i);
  const BlIndicationMatch *match = matches->pdata[i];
  g_assert_cmpstr (match->indication->symptom, ==, symptom);
  g_assert_cmpstr (match->edition, ==, edition);
  g_assert_cmpint (match->fit, ==, fit);
}

/* Two editions, one pattern, two meanings: edition C shows five flashes and a steady economy lamp for the link, edition B
 * four flashes and a timer lamp at 2 Hz. */
static void
test_editions (void)
{
  g_autoptr (BlBoard) wall = demo_board ("wall-board.json");
  const BlBoard *boards[] = { wall };
  g_autoptr (GPtrArray) seen = nothing_seen ();

  see (seen, "Operation ", 5, NAN, -1);
  g_autoptr (GPtrArray) begun = bl_indication_matches (boards, 1, seen, wall, "C");
  assert_match (begun, 0, "LINK", "C", BL_INDICATION_SO_FAR);
  const BlIndicationMatch *first = begun->pdata[0];
  g_assert_true (first->own);
  g_assert_cmpuint (first->unseen->len, ==, 1);
  g_assert_cmpstr (first->unseen->pdata[0], ==, "economy");
  assert_match (begun, 1, "DAMPER", "C", BL_INDICATION_NEAR); /* six */
  assert_match (begun, 2, "LINK", "B", BL_INDICATION_NEAR);   /* four, of another edition */

  see (seen, "economy", NAN, NAN, 1);
  g_autoptr (GPtrArray) whole = bl_indication_matches (boards, 1, seen, wall, "C");
  assert_match (whole, 0, "LINK", "C", BL_INDICATION_WHOLE);

  g_autoptr (GPtrArray) unknown = bl_indication_matches (boards, 1, seen, NULL, NULL);
  for (guint i = 0; i < unknown->len; i++)
    g_assert_false (((BlIndicationMatch *) unknown->pdata[i])->own);
}

/* The same pattern, another meaning on the other edition. */
static void
test_other_meaning (void)
{
  g_autoptr (BlBoard) mine = demo_board ("wall-board.json"), next = bl_board_copy (mine);
  g_autoptr (GPtrArray) seen = nothing_seen ();
  const BlBoard *boards[2] = { next, mine };

  g_free (next->edition);
  next->edition = g_strdup ("D");
  for (guint i = 0; i < next->indications->len; i++)
    {
      BlIndication *indication = bl_at (next->indications, i);
      g_free (indication->edition);
      indication->edition = NULL;
      if (g_str_equal (indication->symptom, "SENS-A"))
        {
          g_free (indication->symptom);
          indication->symptom = g_strdup ("DAMPER");
        }
    }
  see (seen, "operation", 2, NAN, -1);
  see (seen, "timer", NAN, NAN, 1);
  g_autoptr (GPtrArray) matches = bl_indication_matches (boards, 2, seen, mine, "C");
  assert_match (matches, 0, "SENS-A", "C", BL_INDICATION_WHOLE);
  assert_match (matches, 1, "DAMPER", "D", BL_INDICATION_WHOLE);
  g_assert_false (((BlIndicationMatch *) matches->pdata[0])->other_meaning);
  g_assert_true (((BlIndicationMatch *) matches->pdata[1])->other_meaning);
}

static void
test_rates (void)
{
  static const struct { double seen_blinks, seen_rate, blinks, rate; int fit; /* -1: none */ } rows[] = {
    { NAN, 2, NAN, 2, BL_INDICATION_WHOLE },   { NAN, 1.7, NAN, 2, BL_INDICATION_WHOLE },
    { NAN, 1, NAN, 2, BL_INDICATION_NEAR },    { NAN, .5, NAN, 2, -1 },
    { 1, NAN, NAN, .4, BL_INDICATION_WHOLE },  { NAN, .33, 1, NAN, BL_INDICATION_WHOLE },
    { NAN, 2, 1, NAN, -1 },                    { 5, NAN, NAN, 2, -1 },
    { 5, 1, 5, 1, BL_INDICATION_WHOLE },       { 5, 2, 5, 1, BL_INDICATION_NEAR },
    { 5, 4, 5, 1, -1 },                        { 5, NAN, 5, 1, BL_INDICATION_WHOLE },
    { 4, NAN, 5, NAN, BL_INDICATION_NEAR },    { 3, NAN, 5, NAN, -1 },
  };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (BlBoard) board = bl_board_new ();
      g_autoptr (GPtrArray) seen = nothing_seen (), pattern = nothing_seen ();
      BlIndication *indication = bl_indication_new ();
      see (pattern, "power", rows[i].blinks, rows[i].rate, -1);
      see (seen, "power", rows[i].seen_blinks, rows[i].seen_rate, -1);
      indication->symptom = g_strdup ("E1");
      indication->pattern = g_steal_pointer (&pattern);
      bl_append (&board->indications, indication, (GDestroyNotify) bl_indication_free);
      g_autoptr (GPtrArray) matches = bl_indication_matches ((const BlBoard *const *) &board, 1, seen, board, "A");
      g_test_message ("row %u", i);
      g_assert_cmpint (matches->len > 0 ? (int) ((BlIndicationMatch *) matches->pdata[0])->fit : -1, ==, rows[i].fit);
    }
}

/* A lamp that is out is not one that flashes; nothing seen fits nothing. */
static void
test_dark (void)
{
  g_autoptr (BlBoard) wall = demo_board ("wall-board.json");
  const BlBoard *boards[] = { wall };
  g_autoptr (GPtrArray) seen = nothing_seen (), none = bl_indication_matches (boards, 1, seen, wall, "C");

  g_assert_cmpuint (none->len, ==, 0);
  see (seen, "operation", NAN, NAN, 0);
  g_autoptr (GPtrArray) dark = bl_indication_matches (boards, 1, seen, wall, "C");
  assert_match (dark, 0, "DEAD", "C", BL_INDICATION_WHOLE);
  g_assert_cmpuint (dark->len, ==, 1);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/indication-match/editions", test_editions);
  g_test_add_func ("/indication-match/other-meaning", test_other_meaning);
  g_test_add_func ("/indication-match/rates", test_rates);
  g_test_add_func ("/indication-match/dark", test_dark);
  return g_test_run ();
}
