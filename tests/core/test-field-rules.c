/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rules of the trade about faults between two units, held against the odds of the demo's equipments. Each rule: common
 * practice, no source. Nothing here tells the diagnosis what to find: it has the documents and the readings. */
#undef G_DISABLE_ASSERT
#include "bl-equipment.h"
#include "bl-indication-match.h"
#include "fixture-demo.h"

#include <math.h>
#include <string.h>

typedef struct
{
  BlBoard *board;
  BlEngine *engine;
} Fixture;

static void
set_up (Fixture *f, gconstpointer name)
{
  g_autoptr (GError) error = NULL;

  f->board = demo_board (name);
  f->engine = bl_engine_new (f->board, &error);
  g_assert_no_error (error);
}

static void
tear_down (Fixture *f, gconstpointer unused)
{
  bl_engine_free (f->engine);
  bl_board_free (f->board);
}

#define HEAD "measurement,reading,meter\n"

static BlDiagnosis *
diagnose (Fixture *f, const char *csv, BlDiagnoseFlags flags)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) entries = bl_evidence_parse_csv (f->board, csv, -1, &error);
  BlDiagnosis *diagnosis;

  g_assert_no_error (error);
  diagnosis = bl_engine_diagnose (f->engine, entries, flags, NULL, &error);
  g_assert_no_error (error);
  return diagnosis;
}

static double
of_place (const BlDiagnosis *diagnosis, const char *id)
{
  return bl_places_find (diagnosis->places, id)->probability;
}

static double
of_mode (const BlDiagnosis *diagnosis, const char *component, const char *mode)
{
  const BlOdd *odd = bl_diagnosis_find (diagnosis->components, component);

  g_assert_nonnull (odd);
  odd = bl_diagnosis_find (odd->modes, mode);
  g_assert_nonnull (odd);
  return odd->probability;
}

/* A click and no output: the contact, not the coil or what drives it. */
static void
test_click_without_output (Fixture *f, gconstpointer unused)
{
  g_autoptr (BlDiagnosis) said = diagnose (f, HEAD "symptom:ROOFDEAD,yes\nwall/K1K,yes\nPASS,no\n", BL_DIAGNOSE_ODDS);
  g_autoptr (BlDiagnosis) silent = diagnose (f, HEAD "symptom:ROOFDEAD,yes\nwall/K1K,no\nPASS,no\n", BL_DIAGNOSE_ODDS);
  const BlOdd *first = bl_at (said->components, 0);
  double contact = of_mode (said, "wall/K1", "contact does not close") + of_mode (said, "wall/K1", "contact film");

  g_assert_cmpstr (first->id, ==, "wall/K1");
  g_assert_cmpfloat (contact, >, 0.5);
  g_assert_cmpfloat (of_mode (said, "wall/K1", "coil open"), <, 0.1 * contact);
  g_assert_cmpstr (said->places->first->id, ==, "wall");
  /* Without the click it is the other way round. */
  g_assert_cmpfloat (of_mode (silent, "wall/K1", "coil open"), >,
                     3 * of_mode (silent, "wall/K1", "contact does not close"));
}

/* Mains at the contact's input and not at its output, with the click: isolated to the board, before it is opened
 * further. */
static void
test_contact_in_and_out (Fixture *f, gconstpointer unused)
{
  g_autoptr (BlDiagnosis) d = diagnose (f, HEAD "symptom:ROOFDEAD,yes\nwall/K1K,yes\nwall/K1I,229\nwall/K1O,0.3\n",
                                        BL_DIAGNOSE_ODDS);

  g_assert_cmpint (d->places->verdict, ==, BL_PLACES_ISOLATED);
  g_assert_cmpstr (d->places->first->id, ==, "wall");
  g_assert_cmpuint (demo_rank (d->components, "wall/K1"), ==, 0);
}

static void
add_part (GStrvBuilder *events, const BlBoard *board, const BlComponent *component)
{
  for (guint i = 0; i < bl_len (component->modes); i++)
    {
      g_autofree char *event = g_strconcat (component->id, ":", ((BlMode *) bl_at (component->modes, i))->mode, NULL);
      g_strv_builder_add (events, event);
    }
}

/* Exact odds that a root cause is among the parts of some kind. */
static double
of_parts (Fixture *f, const char *csv, gboolean (*wanted) (const BlBoard *board, const BlComponent *component))
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) entries = bl_evidence_parse_csv (f->board, csv, -1, &error), sets = g_ptr_array_new ();
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();
  g_auto (GStrv) set = NULL;
  double odds = NAN;

  for (guint i = 0; i < f->board->components->len; i++)
    if (wanted (f->board, bl_at (f->board->components, i)))
      add_part (builder, f->board, bl_at (f->board->components, i));
  set = g_strv_builder_end (builder);
  g_ptr_array_add (sets, set);
  g_assert_true (bl_engine_unions (f->engine, entries, sets, &odds, NULL, &error));
  g_assert_no_error (error);
  return odds;
}

static gboolean
in_section (const BlBoard *board, const BlComponent *component, const char *kind)
{
  const BlStage *stage = component->stage != NULL ? bl_board_stage (board, component->stage) : NULL;
  const BlSection *section = stage != NULL && stage->section != NULL ? bl_board_section (board, stage->section) : NULL;

  return section != NULL && g_strcmp0 (section->kind, kind) == 0;
}

static gboolean
of_link (const BlBoard *board, const BlComponent *component)
{
  return in_section (board, component, "communication") || g_str_equal (component->id, "W3")
         || g_str_equal (component->id, "CB1");
}

static gboolean
of_feed (const BlBoard *board, const BlComponent *component)
{
  return g_str_equal (component->id, "W1") || g_str_equal (component->id, "W2")
         || (g_str_has_prefix (component->id, "wall/") && in_section (board, component, "relay"));
}

/* Mains at both ends under load, both units alive, and the link silent: the link or its conductor. */
static void
test_mains_at_both_ends (Fixture *f, gconstpointer unused)
{
  const char *before = HEAD "symptom:LINK,yes\n";
  const char *csv = HEAD "symptom:LINK,yes\nLN-WALL,229\nLN-ROOF,228.5\nwall/LAMP,yes\nroof/LAMP,yes\n";
  g_autoptr (BlDiagnosis) d = diagnose (f, csv, BL_DIAGNOSE_ODDS);
  double link = of_parts (f, csv, of_link), feed = of_parts (f, csv, of_feed), had = of_parts (f, before, of_feed);
  double supply_and_link = link + feed;

  g_test_message ("link or its conductor %.3f, feeding relay, L and N %.3f (before %.3f), none %.3f", link, feed, had,
                  d->places->none);
  g_assert_cmpfloat (link, >, 5 * feed);
  g_assert_cmpfloat (link / supply_and_link, >, 0.9);
  g_assert_cmpfloat (link, >, d->places->none);
  g_assert_cmpfloat (feed, <, 0.5 * had);
  g_assert_true (of_link (f->board, bl_board_component (f->board, ((BlOdd *) bl_at (d->components, 0))->id)));
}

/* A beep from end to end clears a break and nothing else: films, broken strands, what parts when warm stay. The drop
 * at the loop's own current does clear them. */
static void
test_continuity (Fixture *f, gconstpointer unused)
{
  const char *base = HEAD "symptom:LINK,yes\nLN-WALL,229\nLN-ROOF,228\n";
  g_autofree char *beeps = g_strconcat (base, "C-S,yes\n", NULL), *drops = g_strconcat (base, "S-DROP,0.002\n", NULL);
  g_autoptr (BlDiagnosis) before = diagnose (f, base, BL_DIAGNOSE_ODDS), beep = diagnose (f, beeps, BL_DIAGNOSE_ODDS),
                          drop = diagnose (f, drops, BL_DIAGNOSE_ODDS);
  const char *film = "film or broken strand, passes the beeper", *warm = "parts when warm or moved";

  g_test_message ("W3 %.3f, after the beep %.3f, after the drop %.3f; conductors %.3f, %.3f, %.3f", of_place (before, "W3"),
                  of_place (beep, "W3"), of_place (drop, "W3"), of_place (before, "conductors"),
                  of_place (beep, "conductors"), of_place (drop, "conductors"));
  g_assert_cmpfloat (of_mode (beep, "W3", "open"), <, 0.1 * of_mode (before, "W3", "open"));
  g_assert_cmpfloat (of_mode (beep, "W3", film), >=, of_mode (before, "W3", film));
  g_assert_cmpfloat (of_mode (beep, "W3", warm), >=, 0.5 * of_mode (before, "W3", warm));
  g_assert_cmpfloat (of_place (beep, "conductors"), >, 0.5 * of_place (before, "conductors"));
  g_assert_cmpfloat (of_mode (drop, "W3", film), <, 0.1 * of_mode (before, "W3", film));
}

/* The fault gone with another conductor in the place of S: it was the conductor or its joints. Still there: it was
 * not, and a board is left. */
static void
test_exchange (Fixture *f, gconstpointer unused)
{
  static const char *const tests[] = { "X-LEAD", "X-SPARE", "X-SWAP" };
  gboolean wall_feeds = bl_board_measurement (f->board, "PASS") != NULL;
  const char *base = wall_feeds ? HEAD "symptom:LINK,yes\nLN-WALL,229\nLN-ROOF,228\n"
                                : HEAD "symptom:LINK,yes\nLN-ROOF,229\nLN-WALL,228\n";
  g_autoptr (BlDiagnosis) before = diagnose (f, base, BL_DIAGNOSE_ODDS);

  for (guint i = 0; i < G_N_ELEMENTS (tests); i++)
    {
      g_autofree char *back = g_strconcat (base, tests[i], ",yes\n", NULL);
      g_autofree char *away = g_strconcat (base, tests[i], ",no\n", NULL);
      g_autoptr (BlDiagnosis) gone = diagnose (f, back, BL_DIAGNOSE_ODDS);
      g_autoptr (BlDiagnosis) there = diagnose (f, away, BL_DIAGNOSE_ODDS);

      g_test_message ("%s: link back, conductors %.3f; not back, W3 %.3f of %.3f", tests[i], of_place (gone, "conductors"),
                      of_place (there, "W3"), of_place (before, "W3"));
      g_assert_cmpint (gone->places->verdict, ==, BL_PLACES_ISOLATED);
      g_assert_cmpstr (gone->places->first->id, ==, "conductors");
      g_assert_cmpfloat (of_place (there, "W3"), <, 0.15 * of_place (before, "W3"));
    }
}

static guint
advised (const BlDiagnosis *diagnosis, const char *measurement)
{
  for (guint i = 0; i < diagnosis->next->len; i++)
    if (g_str_equal (((BlNext *) bl_at (diagnosis->next, i))->measurement, measurement))
      return i;
  g_assert_not_reached ();
}

/* Temporary lead first, spare core second, exchange last: advised in this order, and said with its cautions. */
static void
test_order_and_cautions (Fixture *f, gconstpointer unused)
{
  static const char *const cautions[] = { "not at all where leakage", "Never the protective earth", "Mark", "local codes",
                                          "restore", "replace the cable" };
  g_autoptr (BlDiagnosis) d = diagnose (f, HEAD "symptom:LINK,yes\nLN-WALL,229\nLN-ROOF,228\n", BL_DIAGNOSE_NEXT);
  const BlMeasurement *swap = bl_board_measurement (f->board, "X-SWAP");

  g_assert_cmpuint (advised (d, "X-LEAD"), <, advised (d, "X-SPARE"));
  g_assert_cmpuint (advised (d, "X-SPARE"), <, advised (d, "X-SWAP"));
  for (guint i = 0; i < G_N_ELEMENTS (cautions); i++)
    g_assert_nonnull (strstr (swap->notes, cautions[i]));
  g_assert_cmpint (bl_board_state (f->board, swap->state)->live, ==, 1);
  g_assert_nonnull (strstr (bl_board_state (f->board, swap->state)->how, "Never use the protective earth"));
}

/* Leakage that shows only in the wet, the link runs when it is dry: good insulation on a dry day clears little, bad insulation in the wet finds the
 * cable. In the wet too the exchange would tell nothing of it: no effect ties a leaking cable to it. */
static void
test_leakage_in_the_wet (Fixture *f, gconstpointer unused)
{
  const char *base = HEAD, *leak = "S leaks to N, 47k, wet";
  g_autofree char *dry = g_strconcat (base, "symptom:LINK,no\nI-SN,20M\n", NULL);
  g_autofree char *wet = g_strconcat (dry, "round,wet\nsymptom:LINK,yes\nroof/S-SR,21.1\nI-SN,47k\n", NULL);
  g_autoptr (BlDiagnosis) before = diagnose (f, base, BL_DIAGNOSE_ODDS), fine = diagnose (f, dry, BL_DIAGNOSE_ODDS),
                          found = diagnose (f, wet, BL_DIAGNOSE_ODDS);
  const BlComponent *cable = bl_board_component (f->board, "CB1");

  g_test_message ("leak of 47k %.4f, after a dry test %.4f, after a wet one %.4f; short to N %.4f, dry %.4f",
                  of_mode (before, "CB1", leak), of_mode (fine, "CB1", leak), of_mode (found, "CB1", leak),
                  of_mode (before, "CB1", "S shorted to N"), of_mode (fine, "CB1", "S shorted to N"));
  g_assert_cmpfloat (of_mode (fine, "CB1", leak), >, 0.9 * of_mode (before, "CB1", leak));
  g_assert_cmpfloat (of_mode (fine, "CB1", "S shorted to N"), <, 0.1 * of_mode (before, "CB1", "S shorted to N"));
  g_assert_cmpint (found->places->verdict, ==, BL_PLACES_ISOLATED);
  g_assert_cmpstr (found->places->first->id, ==, "conductors");
  g_assert_cmpuint (demo_rank (found->components, "CB1"), ==, 0);
  for (guint i = 0; i < cable->modes->len; i++)
    for (guint j = 0; j < ((BlMode *) bl_at (cable->modes, i))->effects->len; j++)
      g_assert_cmpstr (((BlEffect *) bl_at (((BlMode *) bl_at (cable->modes, i))->effects, j))->on, !=, "X-SWAP");
}

/* Which box feeds which is asked first: no supply at the far unit is another fault in the other direction. */
static void
test_supply_direction (void)
{
  Fixture wall, roof;
  g_autoptr (BlDiagnosis) from_wall = NULL, from_roof = NULL;

  set_up (&wall, "pair.json");
  set_up (&roof, "pair-roof-feeds.json");
  from_wall = diagnose (&wall, HEAD "symptom:ROOFDEAD,yes\nLN-WALL,0.2\nLN-ROOF,0.1\nwall/LAMP,yes\n", BL_DIAGNOSE_ODDS);
  from_roof = diagnose (&roof, HEAD "symptom:WALLDEAD,yes\nLN-ROOF,229\nLN-WALL,0.1\nL-DROP,229\n", BL_DIAGNOSE_ODDS);
  g_assert_cmpstr (from_wall->places->first->id, ==, "wall");
  g_assert_cmpint (from_wall->places->verdict, ==, BL_PLACES_ISOLATED);
  g_assert_cmpuint (demo_rank (from_wall->components, "wall/K1"), ==, 0);
  g_assert_cmpstr (from_roof->places->first->id, ==, "conductors");
  g_assert_cmpint (from_roof->places->verdict, ==, BL_PLACES_ISOLATED);
  g_assert_cmpuint (demo_rank (from_roof->components, "wall/K1"), >, 3);
  tear_down (&wall, NULL);
  tear_down (&roof, NULL);
}

static void
see (GPtrArray *seen, const char *lamp, double blinks, int steady)
{
  BlLampPattern *pattern = bl_lamp_pattern_new ();

  pattern->lamp = g_strdup (lamp);
  pattern->blinks = blinks;
  pattern->steady = steady;
  g_ptr_array_add (seen, pattern);
}

static const BlIndicationMatch *
match_of (GPtrArray *matches, const char *symptom)
{
  for (guint i = 0; i < matches->len; i++)
    if (g_str_equal (((BlIndicationMatch *) bl_at (matches, i))->indication->symptom, symptom))
      return bl_at (matches, i);
  return NULL;
}

/* Two editions, one lamp pattern, two meanings: which edition is on the wall decides, and both are told. */
static void
test_one_pattern_two_meanings (Fixture *f, gconstpointer unused)
{
  const BlBoard *boards[] = { f->board };
  g_autoptr (GPtrArray) seen = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_lamp_pattern_free);
  g_autoptr (GPtrArray) on_c = NULL, on_b = NULL, nowhere = NULL;

  see (seen, "operation", 5, -1);
  see (seen, "economy", NAN, 1);
  on_c = bl_indication_matches (boards, 1, seen, f->board, "C");
  on_b = bl_indication_matches (boards, 1, seen, f->board, "B");
  nowhere = bl_indication_matches (boards, 1, seen, f->board, NULL);
  g_assert_true (match_of (on_c, "LINK")->own);
  g_assert_false (match_of (on_c, "ROOFDEAD")->own);
  g_assert_true (match_of (on_c, "ROOFDEAD")->other_meaning);
  g_assert_true (match_of (on_b, "ROOFDEAD")->own);
  g_assert_true (match_of (on_b, "LINK")->other_meaning);
  g_assert_false (match_of (nowhere, "LINK")->own);
  g_assert_false (match_of (nowhere, "ROOFDEAD")->own);
}

#define ADD(path, document, test) g_test_add ("/field-rules/" path, Fixture, document, set_up, test, tear_down)

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  ADD ("click-without-output", "pair.json", test_click_without_output);
  ADD ("contact-in-and-out", "pair.json", test_contact_in_and_out);
  ADD ("mains-at-both-ends", "pair.json", test_mains_at_both_ends);
  ADD ("continuity", "pair.json", test_continuity);
  ADD ("continuity/roof-feeds", "pair-roof-feeds.json", test_continuity);
  ADD ("exchange", "pair.json", test_exchange);
  ADD ("exchange/roof-feeds", "pair-roof-feeds.json", test_exchange);
  ADD ("order-and-cautions", "pair.json", test_order_and_cautions);
  ADD ("leakage-in-the-wet", "pair.json", test_leakage_in_the_wet);
  g_test_add_func ("/field-rules/supply-direction", test_supply_direction);
  ADD ("one-pattern-two-meanings", "pair.json", test_one_pattern_two_meanings);
  return g_test_run ();
}
