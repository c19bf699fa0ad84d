/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cases a technician would argue about, published nets that a board can express, and how the engine
 * behaves as a part: errors, reuse, order. Exactness in general is test-oracle.c's job. A list of short
 * cases, long because they are many. */
#include "config.h"

#include "bl-diagnosis.h"
#include "bl-document.h"

#include <jansson.h>
#include <math.h>
#include <string.h>
#undef G_DISABLE_ASSERT

/* --- help --- */

static BlBoard *
board_of (const char *body)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *text = g_strdup_printf ("{\"format\": \"benchlore-board\", \"version\": 1, %s}", body);
  for (char *c = text; *c != '\0'; c++)
    if (*c == '\'')
      *c = '"';
  BlBoard *board = bl_document_parse (text, -1, NULL, &error);
  g_assert_no_error (error);
  return board;
}

static GPtrArray *
entries_of (const BlBoard *board, const char *lines)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *text = g_strconcat ("measurement,reading,meter\n", lines, NULL);
  GPtrArray *entries = bl_evidence_parse_csv (board, text, -1, &error);
  g_assert_no_error (error);
  return entries;
}

static BlDiagnosis *
diagnose (const BlBoard *board, const char *lines)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlEngine) engine = bl_engine_new (board, &error);
  g_assert_no_error (error);
  g_autoptr (GPtrArray) entries = entries_of (board, lines);
  BlDiagnosis *diagnosis = bl_engine_diagnose (engine, entries, BL_DIAGNOSE_ALL, NULL, &error);
  g_assert_no_error (error);
  return diagnosis;
}

static const BlOdd *
component (const BlDiagnosis *diagnosis, const char *id)
{
  const BlOdd *odd = bl_diagnosis_find (diagnosis->components, id);
  g_assert_nonnull (odd);
  return odd;
}

static double
stage (const BlDiagnosis *diagnosis, const char *id)
{
  return bl_diagnosis_find (diagnosis->stages, id)->probability;
}

static void
assert_near (double value, double expected, double tolerance)
{
  if (!(fabs (value - expected) <= tolerance))
    g_error ("%.15g is not %.15g within %g", value, expected, tolerance);
}

/* --- cases (common practice, no source; numbers by hand where given) --- */

/* A dead 5 V rail of reliable parts beside a section of parts twenty times as likely to fail that
 * nobody has measured: the rail's own stage stays suspect, and measuring it again makes it firmer. */
static void
test_dead_rail (void)
{
  g_autoptr (BlBoard) board = board_of (
    "'states': [{'id': 'run'}], 'sections': [{'id': 'a', 'kind': 'supply'}, {'id': 'b', 'kind': 'drive'}],"
    "'stages': [{'id': 'rail5', 'section': 'a'}, {'id': 'fan', 'section': 'b'}],"
    "'components': [{'id': 'U2', 'kind': 'x', 'stage': 'rail5', 'modes': [{'mode': 'open', 'weight': 0.01,"
    " 'effects': [{'is': 'absent'}]}]},"
    " {'id': 'Q1', 'kind': 'x', 'stage': 'fan', 'modes': [{'mode': 'short', 'weight': 0.2, 'effects':"
    " [{'is': 'absent'}]}]}],"
    "'measurements': [{'id': 'M5', 'measures': 'V DC', 'state': 'run', 'reads': 'rail5', 'expected':"
    " {'nominal': 5, 'low': 4.8, 'high': 5.2}}]");
  g_autoptr (BlDiagnosis) before = diagnose (board, ""), once = diagnose (board, "M5,0.02,\n");
  g_autoptr (BlDiagnosis) twice = diagnose (board, "M5,0.02,\nM5,0.03,\n");
  g_assert_cmpfloat (stage (before, "fan"), >, stage (before, "rail5"));
  g_assert_cmpstr (once->likely_stage, ==, "rail5");
  g_assert_cmpstr (twice->likely_stage, ==, "rail5");
  g_assert_cmpfloat (stage (once, "rail5"), >, .8);
  g_assert_cmpfloat (stage (twice, "rail5"), >, stage (once, "rail5"));
  g_assert_true (once->explained);
  const BlWhy *why = g_ptr_array_index (once->why, 0);
  g_assert_cmpfloat (why->decibans, >, 10);
}

/* The short's documented effect is "low": a rail pulled to 0.9 V points at it, not at the open
 * regulator, which leaves nothing. */
static void
test_pulled_down (void)
{
  g_autoptr (BlBoard) board = board_of (
    "'states': [{'id': 'run'}], 'sections': [{'id': 'a', 'kind': 'supply'}], 'stages': [{'id': 'r',"
    " 'section': 'a'}], 'components': [{'id': 'U2', 'kind': 'x', 'stage': 'r', 'modes': [{'mode': 'open',"
    " 'weight': 0.05, 'effects': [{'is': 'absent'}]}]}, {'id': 'C4', 'kind': 'x', 'stage': 'r', 'modes':"
    " [{'mode': 'short', 'weight': 0.01, 'effects': [{'is': 'low'}]}]}], 'measurements': [{'id': 'M',"
    " 'measures': 'V DC', 'state': 'run', 'reads': 'r', 'expected': {'nominal': 5, 'low': 4.8, 'high': 5.2}}]");
  g_autoptr (BlDiagnosis) diagnosis = diagnose (board, "M,0.9,0.5%\n");
  const BlOdd *first = g_ptr_array_index (diagnosis->components, 0);
  g_assert_cmpstr (first->id, ==, "C4");
  g_assert_cmpfloat (component (diagnosis, "U2")->probability, <, first->probability / 2);
}

/* A joint that makes contact seven times in ten reads good once. By hand, with 5 classes, e = 0.02,
 * setup off, the symptom left out: likelihood of "good" is 0.7 (1 - e/4) + 0.3 (1 - e)/2 = 0.8435 for
 * the joint and e = 0.02 for the open part of the same weight; so their odds are 42.175 to 1. */
static void
test_intermittent (void)
{
  g_autoptr (BlBoard) board = board_of (
    "'odds': {'setup': 0, 'other': 0, 'elsewhere': 0, 'faults': 0.0001}, 'states': [{'id': 'run'}],"
    "'sections': [{'id': 'a', 'kind': 'supply'}], 'stages': [{'id': 'r', 'section': 'a'}],"
    "'components': [{'id': 'X3', 'kind': 'x', 'stage': 'r', 'modes': [{'mode': 'poor contact', 'weight':"
    " 0.1, 'shows': {'': 0.3, 'wet': 0.9}, 'effects': [{'is': 'unsteady'}]}]},"
    " {'id': 'R1', 'kind': 'x', 'stage': 'r', 'modes': [{'mode': 'open', 'weight': 0.1, 'effects': [{'is':"
    " 'absent'}]}]}], 'measurements': [{'id': 'M', 'measures': 'V DC', 'state': 'run', 'reads': 'r',"
    " 'expected': {'nominal': 5, 'low': 4.8, 'high': 5.2}}]");
  g_autoptr (BlDiagnosis) dry = diagnose (board, "M,5,\n");
  g_autoptr (BlDiagnosis) wet = diagnose (board, "M,5,\nround,wet,\nM,4.9..2,\n");
  double joint = component (dry, "X3")->probability, open = component (dry, "R1")->probability;
  assert_near (joint / open, .8435 / .02, .01);
  g_assert_true (dry->explained);
  g_assert_true (wet->explained);
  g_assert_cmpfloat (component (wet, "X3")->probability, >, .99);
}

static const char two_rails[]
  = "'states': [{'id': 'run'}], 'sections': [{'id': 'a', 'kind': 'supply'}], 'stages': [{'id': 'bulk',"
    " 'section': 'a'}, {'id': 'r12', 'section': 'a', 'feeds': {'from': ['bulk']}}, {'id': 'r5', 'section':"
    " 'a', 'feeds': {'from': ['bulk']}}], 'components': [{'id': 'F1', 'kind': 'x', 'stage': 'bulk', 'modes':"
    " [{'mode': 'open', 'weight': 0.1, 'effects': [{'is': 'absent'}]}]}, {'id': 'U1', 'kind': 'x', 'stage':"
    " 'r12', 'modes': [{'mode': 'open', 'weight': 0.1, 'effects': [{'is': 'absent'}]}]}, {'id': 'U2',"
    " 'kind': 'x', 'stage': 'r5', 'modes': [{'mode': 'open', 'weight': 0.1, 'effects': [{'is': 'absent'}]}]}],"
    "'measurements': [{'id': 'MB', 'measures': 'check', 'state': 'run', 'reads': 'bulk'}, {'id': 'M12',"
    " 'measures': 'check', 'state': 'run', 'reads': 'r12'}, {'id': 'M5', 'measures': 'check', 'state': 'run',"
    " 'reads': 'r5'}]";

/* Two dead rails: one common cause while the common stage is unmeasured; two failures, still
 * explained, once it is known to be good (asked twice); with a third wrong thing a quarrel. */
static void
test_two_rails (void)
{
  g_autoptr (BlBoard) board = board_of (two_rails);
  g_autoptr (BlDiagnosis) common = diagnose (board, "M12,no,\nM5,no,\n");
  g_autoptr (BlDiagnosis) twice = diagnose (board, "M12,no,\nM5,no,\nMB,yes,\nMB,yes,\nMB,yes,\n");
  g_assert_cmpstr (common->likely_stage, ==, "bulk");
  g_assert_cmpfloat (stage (common, "bulk"), >, .9);
  g_assert_cmpfloat (stage (twice, "bulk"), <, .5);
  g_assert_cmpfloat (stage (twice, "r12"), >, .5);
  g_assert_true (twice->explained);
  g_assert_cmpuint (twice->quarrel->len, ==, 0);
  const BlNext *next = g_ptr_array_index (common->next, 0);
  g_assert_cmpstr (next->measurement, ==, "MB");
}

static void
test_quarrel (void)
{
  g_autoptr (BlBoard) board = board_of (two_rails);
  /* bulk dead and a rail alive can't both be: either of the two must go */
  g_autoptr (BlDiagnosis) diagnosis = diagnose (board, "MB,no,\nM12,yes,\n");
  g_assert_false (diagnosis->explained);
  g_assert_cmpuint (diagnosis->quarrel->len, ==, 2);
  for (guint i = 0; i < 2; i++)
    {
      const GPtrArray *set = g_ptr_array_index (diagnosis->quarrel, i);
      g_assert_cmpuint (set->len, ==, 1);
    }
}

/* A replaced part starts with a tenth of the prior; what was read before speaks of the old one. */
static void
test_replaced (void)
{
  g_autoptr (BlBoard) board = board_of (two_rails);
  g_autoptr (BlDiagnosis) before = diagnose (board, "M5,no,\nM12,yes,\n");
  g_autoptr (BlDiagnosis) after = diagnose (board, "M5,no,\nM12,yes,\npart:U2,replaced,\nM5,yes,\n");
  g_assert_cmpfloat (component (before, "U2")->probability, >, .8);
  g_assert_cmpfloat (component (after, "U2")->probability, <, .01);
  g_assert_cmpfloat (after->remaining, <, .1);
  /* Until something is read again nothing says whether it was cured. */
  g_autoptr (BlDiagnosis) between = diagnose (board, "M5,no,\nM12,yes,\npart:U2,replaced,\n");
  g_assert_true (between->unproven);
  g_assert_false (before->unproven || after->unproven);
}

/* --- published nets --- */

/* Makes prior p of every mode out of its weight, whatever the sum: weight = -ln (1 - p), and faults
 * is the sum of weights. Elsewhere certain: then "at least one" conditions nothing. */
static void
set_priors (BlBoard *board)
{
  double sum = 0;
  for (guint c = 0; c < board->components->len; c++)
    {
      BlComponent *part = g_ptr_array_index (board->components, c);
      for (guint m = 0; m < part->modes->len; m++)
        {
          BlMode *mode = g_ptr_array_index (part->modes, m);
          mode->weight = -log1p (-mode->weight);
          sum += mode->weight;
        }
    }
  board->has_odds = TRUE;
  board->odds = (BlOdds){ .faults = sum, .elsewhere = 1, .other = 0, .setup = 0, .misreport = 0 };
}

/* A component of one mode: its prior, its stage, and more members of the mode. */
static void
add_event (GString *body, const char *id, double p, const char *stage_id, const char *more)
{
  g_autofree char *number = g_malloc (G_ASCII_DTOSTR_BUF_SIZE);
  g_ascii_dtostr (number, G_ASCII_DTOSTR_BUF_SIZE, p);
  g_string_append_printf (body, "%s{'id': '%s', 'kind': 'x', 'stage': '%s', 'modes': [{'mode': 'on', "
                                "'weight': %s%s}]}",
                          g_str_has_suffix (body->str, "}") ? ", " : "", id, stage_id, number, more);
}

#define ABSENT ", 'effects': [{'is': 'absent'}]"
#define TOP_CHECK                                                                                  \
  "'states': [{'id': 's'}], 'sections': [{'id': 'a', 'kind': 'x'}], 'measurements': [{'id': 'M',"   \
  " 'measures': 'check', 'state': 's', 'reads': 'top', 'misread': 0}], "

/* The diagnosis after the top stage was seen to fail, without doubt. */
static BlDiagnosis *
given_top (const char *stages, GString *components)
{
  g_autofree char *body = g_strdup_printf (TOP_CHECK "'stages': [%s], 'components': [%s]", stages,
                                           components->str);
  g_autoptr (BlBoard) board = board_of (body);
  g_string_free (components, TRUE);
  set_priors (board);
  return diagnose (board, "M,no,\n");
}

/* NUREG-0492 Fault Tree Handbook (1981), chapter VIII, pressure tank: structure and probabilities
 * from Table VIII-1; the top event is printed as 3.4e-5. Long digits recomputed by enumeration. */
static void
test_pressure_tank (void)
{
  GString *parts = g_string_new (NULL);
  add_event (parts, "T", 5e-6, "top", ABSENT);
  add_event (parts, "K2", 3e-5, "top", ABSENT);
  add_event (parts, "S", 1e-4, "switch", ABSENT);
  add_event (parts, "K1", 3e-5, "timer", ABSENT);
  add_event (parts, "R", 1e-4, "timer", ABSENT);
  add_event (parts, "S1", 3e-5, "timer", ABSENT);
  g_autoptr (BlDiagnosis) d = given_top (
    "{'id': 'switch', 'section': 'a'}, {'id': 'timer', 'section': 'a'}, {'id': 'top', 'section': 'a',"
    " 'feeds': {'need': 'any', 'from': ['switch', 'timer']}}", parts);
  assert_near (exp (d->log_evidence), 3.501584875003554e-5, 1e-17);
  assert_near (component (d, "K2")->probability, .856755, 5e-7);
  assert_near (component (d, "T")->probability, .142792, 5e-7);
  assert_near (component (d, "S")->probability, 5.56855e-4, 5e-10);
  assert_near (component (d, "R")->probability, 3.85529e-4, 5e-10);
  assert_near (component (d, "K1")->probability, 1.15659e-4, 5e-10);
  assert_near (component (d, "S1")->probability, 1.15659e-4, 5e-10);
}

/* NUREG-0492 Fig. VII-10, repeated events: minimal cut sets {C}, {A, B} (page VII-17). With A = .1,
 * B = .2, C = .3 exactly 0.314; posteriors recomputed. A and B act on two stages of which one good
 * one is enough, C on the top. */
static void
test_repeated_events (void)
{
  GString *parts = g_string_new (NULL);
  add_event (parts, "A", .1, "a1", ABSENT);
  add_event (parts, "B", .2, "b1", ABSENT);
  add_event (parts, "C", .3, "top", ABSENT);
  g_autoptr (BlDiagnosis) d = given_top (
    "{'id': 'a1', 'section': 'a'}, {'id': 'b1', 'section': 'a'}, {'id': 'top', 'section': 'a', 'feeds':"
    " {'need': 1, 'from': ['a1', 'b1']}}", parts);
  assert_near (exp (d->log_evidence), .314, 1e-14);
  assert_near (component (d, "A")->probability, .140127, 5e-7);
  assert_near (component (d, "B")->probability, .235669, 5e-7);
  assert_near (component (d, "C")->probability, .955414, 5e-7);
}

/* Two trains, (V1 + P1)(V2 + P2) with P1 .6, P2 .7, V1 .4, V2 .5: published exact top .646 and
 * diagnostic importance, which is the posterior. The source is the importance table in the risk
 * analysis tests of an open fault-tree engine. */
static void
test_two_trains (void)
{
  GString *parts = g_string_new (NULL);
  add_event (parts, "P1", .6, "one", ABSENT);
  add_event (parts, "V1", .4, "one", ABSENT);
  add_event (parts, "P2", .7, "two", ABSENT);
  add_event (parts, "V2", .5, "two", ABSENT);
  g_autoptr (BlDiagnosis) d = given_top (
    "{'id': 'one', 'section': 'a'}, {'id': 'two', 'section': 'a'}, {'id': 'top', 'section': 'a', 'feeds':"
    " {'need': 'any', 'from': ['one', 'two']}}", parts);
  assert_near (exp (d->log_evidence), .646, 1e-13);
  assert_near (component (d, "P1")->probability, .7895, 5e-5);
  assert_near (component (d, "P2")->probability, .8235, 5e-5);
  assert_near (component (d, "V1")->probability, .5263, 5e-5);
  assert_near (component (d, "V2")->probability, .5882, 5e-5);
}

/* Bobbio, Portinale, Minichino and Ciancamerla, Reliability Engineering and System Safety 71 (2001),
 * multiprocessor with mirrored disks and shared memory. Priors from rates at 5000 h (from memory);
 * posteriors recomputed by enumeration. Its lesson: rank before (D, P, M, N) and after (D, P, N, M). */
static void
test_multiprocessor (void)
{
  GString *parts = g_string_new (NULL);
  double disk = -expm1 (-.4), processor = -expm1 (-.0025), memory = -expm1 (-1.5e-4);
  add_event (parts, "N", -expm1 (-1e-5), "top", ABSENT);
  add_event (parts, "D11", disk, "d11", ABSENT);
  add_event (parts, "D12", disk, "d12", ABSENT);
  add_event (parts, "D21", disk, "d21", ABSENT);
  add_event (parts, "D22", disk, "d22", ABSENT);
  add_event (parts, "P1", processor, "cm1", ABSENT);
  add_event (parts, "P2", processor, "cm2", ABSENT);
  add_event (parts, "M1", memory, "m1", ABSENT);
  add_event (parts, "M2", memory, "m2", ABSENT);
  add_event (parts, "M3", memory, "m3", ABSENT);
  g_autoptr (BlDiagnosis) d = given_top (
    "{'id': 'd11', 'section': 'a'}, {'id': 'd12', 'section': 'a'}, {'id': 'd21', 'section': 'a'},"
    "{'id': 'd22', 'section': 'a'}, {'id': 'm1', 'section': 'a'}, {'id': 'm2', 'section': 'a'},"
    "{'id': 'm3', 'section': 'a'}, {'id': 'disks1', 'section': 'a', 'feeds': {'need': 'any', 'from': ['d11',"
    " 'd12']}}, {'id': 'disks2', 'section': 'a', 'feeds': {'need': 'any', 'from': ['d21', 'd22']}},"
    "{'id': 'mem1', 'section': 'a', 'feeds': {'need': 'any', 'from': ['m1', 'm3']}}, {'id': 'mem2',"
    " 'section': 'a', 'feeds': {'need': 'any', 'from': ['m2', 'm3']}}, {'id': 'cm1', 'section': 'a', 'feeds':"
    " {'from': ['disks1', 'mem1']}}, {'id': 'cm2', 'section': 'a', 'feeds': {'from': ['disks2', 'mem2']}},"
    "{'id': 'top', 'section': 'a', 'feeds': {'need': 'any', 'from': ['cm1', 'cm2']}}", parts);
  assert_near (exp (d->log_evidence), .012311878, 5e-10);
  assert_near (component (d, "D11")->probability, .984378, 5e-7);
  assert_near (component (d, "P2")->probability, .0224955, 5e-8);
  assert_near (component (d, "M1")->probability, 1.50169e-4, 5e-10);
  assert_near (component (d, "M3")->probability, 1.50349e-4, 5e-10);
  assert_near (component (d, "N")->probability, 8.12220e-4, 5e-10);
}

/* Lauritzen and Spiegelhalter (1988), the part of the chest clinic net that provokes can express:
 * a visit and smoking provoke tuberculosis and cancer, either of them shows on the X-ray. A chance of
 * q with a base of p is a link of 1 - (1 - q)/(1 - p). Tables as in the gRain and pgmpy copies of the
 * net; P(X-ray) .11029004 and posteriors given the X-ray recomputed by enumeration. */
static void
test_chest_clinic (void)
{
  GString *parts = g_string_new (NULL);
  add_event (parts, "visit", .01, "hidden",
             ", 'provokes': [{'component': 'tub', 'mode': 'on', 'chance': 0.040404040404040404}]");
  add_event (parts, "smoke", .5, "hidden",
             ", 'provokes': [{'component': 'lung', 'mode': 'on', 'chance': 0.09090909090909091}]");
  add_event (parts, "tub", .01, "hidden", ", 'provokes': [{'component': 'either', 'mode': 'on'}]");
  add_event (parts, "lung", .01, "hidden", ", 'provokes': [{'component': 'either', 'mode': 'on'}]");
  add_event (parts, "either", 0, "hidden",
             ", 'provokes': [{'component': 'xray', 'mode': 'on', 'chance': 0.9789473684210527}]");
  add_event (parts, "xray", .05, "top", ABSENT);
  g_autoptr (BlDiagnosis) d
    = given_top ("{'id': 'hidden', 'section': 'a'}, {'id': 'top', 'section': 'a'}", parts);
  assert_near (exp (d->log_evidence), .11029004, 1e-12);
  assert_near (component (d, "smoke")->probability, .687754, 5e-7);
  assert_near (component (d, "tub")->present, .092411, 5e-7);
  assert_near (component (d, "lung")->present, .488711, 5e-7);
  assert_near (component (d, "either")->present, .576040, 5e-7);
  assert_near (component (d, "either")->probability, 0, 0);
  assert_near (component (d, "xray")->present, 1, 1e-12);
}

/* --- the engine as a part --- */

/* --- fit of an event that provokes much --- */

/* A surge that may take any of LINKS parts with it, each on a stage of its own, and two stages more
 * that it cannot reach. two_feeds: every other stage is fed by two of those before, any of which will
 * do, so that what happens to the parts meets again. */
#define LINKS 24

static BlBoard *
surge_board (gboolean two_feeds)
{
  g_autoptr (GString) text = g_string_new ("'states': [{'id': 'run'}], 'sections': [{'id': 'a', 'kind': 'supply'}],");
  g_string_append (
      text, "'stages': [{'id': 's', 'section': 'a'}, {'id': 't1', 'section': 'a'}, {'id': 't2', 'section': 'a'}");
  for (int i = 0; i < LINKS; i++)
    {
      g_string_append_printf (text, ", {'id': 's%d', 'section': 'a'", i);
      if (two_feeds && i > 1 && i % 2 == 0)
        g_string_append_printf (text, ", 'feeds': {'need': 'any', 'from': ['s%d', 's%d']}", i - 2, i - 1);
      g_string_append_c (text, '}');
    }
  g_string_append (
      text, "], 'components': [{'id': 'S', 'kind': 'x', 'stage': 's', 'modes': [{'mode': 'surge', 'provokes': [");
  for (int i = 0; i < LINKS; i++)
    g_string_append_printf (text, "%s{'component': 'P%d', 'mode': 'open', 'chance': 0.3}", i > 0 ? ", " : "", i);
  g_string_append (text, "]}]}");
  for (int i = 0; i < LINKS; i++)
    g_string_append_printf (text, ", {'id': 'P%d', 'kind': 'x', 'stage': 's%d', 'modes': [{'mode': 'open', 'effects':"
                                  " [{'is': 'absent'}]}]}", i, i);
  g_string_append (text, "], 'measurements': [");
  for (int i = -2; i < LINKS; i++)
    g_string_append_printf (text, "%s{'id': 'M%d', 'measures': 'V DC', 'state': 'run', 'reads': '%c%d', 'expected':"
                                  " {'nominal': 5, 'low': 4.8, 'high': 5.2}}",
                            i > -2 ? ", " : "", i + 2, i < 0 ? 't' : 's', i < 0 ? i + 3 : i);
  g_string_append (text, "]");
  return board_of (text->str);
}

/* M0 and M1 are of the stages that no link reaches; the parts' stages read absent where odd. */
static BlDiagnosis *
after_surge (gboolean two_feeds, const char *first, const char *second)
{
  g_autoptr (BlBoard) board = surge_board (two_feeds);
  g_autoptr (GString) lines = g_string_new (NULL);
  g_string_append_printf (lines, "M0,%s,\nM1,%s,\n", first, second);
  for (int i = 0; i < LINKS; i++)
    g_string_append_printf (lines, "M%d,%s,\n", i + 2, i % 2 == 1 ? "0" : "5");
  g_autoptr (BlEngine) engine = bl_engine_new (board, NULL);
  g_autoptr (GPtrArray) entries = entries_of (board, lines->str);
  g_autoptr (GError) error = NULL;
  BlDiagnosis *diagnosis = bl_engine_diagnose (engine, entries, BL_DIAGNOSE_FIT, NULL, &error);
  g_assert_no_error (error);
  g_assert_true (diagnosis->fitted);
  return diagnosis;
}

static void
check_surge (gboolean two_feeds)
{
  g_autoptr (BlDiagnosis) alone = after_surge (two_feeds, "5", "5");
  g_autoptr (BlDiagnosis) one_more = after_surge (two_feeds, "0", "5");
  g_autoptr (BlDiagnosis) two_more = after_surge (two_feeds, "0", "0");
  g_assert_true (alone->explained);
  g_assert_true (one_more->explained);
  g_assert_false (two_more->explained);
  /* Either of the two has to go, nothing else helps. */
  g_assert_cmpuint (two_more->quarrel->len, ==, 2);
  for (guint i = 0; i < 2; i++)
    {
      GPtrArray *set = g_ptr_array_index (two_more->quarrel, i);
      g_assert_cmpuint (set->len, ==, 1);
      g_assert_cmpstr (((BlReadingRef *) g_ptr_array_index (set, 0))->measurement, ==, i == 0 ? "M0" : "M1");
    }
}

static void
test_many_links (void)
{
  check_surge (FALSE);
}

/* What is too much to be told leaves the odds as they are, and no fit is claimed. */
static void
test_links_that_meet (void)
{
  g_autoptr (BlBoard) board = surge_board (TRUE);
  g_autoptr (BlEngine) engine = bl_engine_new (board, NULL);
  g_autoptr (GPtrArray) entries = entries_of (board, "M0,0,\nM1,0,\nM24,0,\nM25,0,\n");
  g_autoptr (GError) error = NULL;
  g_autoptr (BlDiagnosis) diagnosis = bl_engine_diagnose (engine, entries, BL_DIAGNOSE_FIT, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (diagnosis->components->len, >, LINKS);
  g_assert_true (!diagnosis->fitted || !diagnosis->explained);
}

/* --- the engine as a part --- */

/* What a diagnosis says outlives what it was made from. */
static void
test_outlives (void)
{
  BlBoard *board = surge_board (FALSE);
  BlEngine *engine = bl_engine_new (board, NULL);
  GPtrArray *entries = entries_of (board, "M0,0.1,\nM3,4.9,\n");
  g_autoptr (BlDiagnosis) diagnosis = bl_engine_diagnose (engine, entries, BL_DIAGNOSE_ALL, NULL, NULL);
  g_ptr_array_unref (entries);
  bl_engine_free (engine);
  bl_board_free (board);
  const BlJudged *first = g_ptr_array_index (diagnosis->readings, 0),
                 *second = g_ptr_array_index (diagnosis->readings, 1);
  g_assert_cmpstr (first->measurement->id, ==, "M0");
  g_assert_cmpstr (first->entry->text, ==, "0.1");
  g_assert_cmpstr (second->measurement->reads, ==, "s1");
  g_autofree char *text = bl_diagnosis_to_json (diagnosis, -1);
  g_assert_nonnull (strstr (text, "\"measurement\": \"M3\""));
}

static void
test_impossible (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = board_of (
    "'odds': {'setup': 0, 'elsewhere': 0, 'other': 0}, 'states': [{'id': 's'}], 'sections': [{'id': 'a',"
    " 'kind': 'x'}], 'stages': [{'id': 'r', 'section': 'a'}], 'components': [{'id': 'R', 'kind': 'x',"
    " 'stage': 'r', 'modes': [{'mode': 'open', 'effects': [{'is': 'absent'}]}]}], 'measurements': [{'id': 'M',"
    " 'measures': 'check', 'state': 's', 'reads': 'r', 'misread': 0}]");
  g_autoptr (BlEngine) engine = bl_engine_new (board, NULL);
  g_autoptr (GPtrArray) entries = entries_of (board, "M,yes,\n");
  g_assert_null (bl_engine_diagnose (engine, entries, BL_DIAGNOSE_ALL, NULL, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_IMPOSSIBLE);
}

static void
test_cancelled (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = board_of (two_rails);
  g_autoptr (BlEngine) engine = bl_engine_new (board, NULL);
  g_autoptr (GPtrArray) entries = entries_of (board, "M12,no,\n");
  int cancel = 1;
  g_assert_null (bl_engine_diagnose (engine, entries, BL_DIAGNOSE_ALL, &cancel, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_CANCELLED);
  g_clear_error (&error);
  g_autoptr (BlDiagnosis) again = bl_engine_diagnose (engine, entries, BL_DIAGNOSE_ALL, NULL, &error);
  g_assert_no_error (error);
  g_assert_nonnull (again);
}

/* An engine that went through a job entry by entry says what a fresh one says, to the last digit. */
static void
test_reuse (void)
{
  static const char *const lines[]
    = { "M12,no,\n", "M5,no,\n", "MB,yes,\n", "MB,yes,\n", "part:F1,good,\n", "part:U1,replaced,\n",
        "M12,yes,\n", "round,wet,\n", "M5,no,\n", "M12,-,\n" };
  g_autoptr (BlBoard) board = board_of (two_rails);
  g_autoptr (BlEngine) engine = bl_engine_new (board, NULL);
  g_autoptr (GString) text = g_string_new (NULL);
  for (guint i = 0; i < G_N_ELEMENTS (lines); i++)
    {
      g_string_append (text, lines[i]);
      g_autoptr (GPtrArray) entries = entries_of (board, text->str);
      g_autoptr (BlDiagnosis) kept = bl_engine_diagnose (engine, entries, BL_DIAGNOSE_ALL, NULL, NULL);
      g_autoptr (BlDiagnosis) fresh = diagnose (board, text->str);
      g_autofree char *a = bl_diagnosis_to_json (kept, -1), *b = bl_diagnosis_to_json (fresh, -1);
      g_assert_cmpstr (a, ==, b);
    }
}

/* Forty rounds of contradiction: far below the smallest double, yet the odds stay numbers. */
static void
test_underflow (void)
{
  g_autoptr (BlBoard) board = board_of (two_rails);
  g_autoptr (GString) text = g_string_new (NULL);
  for (guint round = 0; round < 40; round++)
    {
      for (guint i = 0; i < 8; i++)
        g_string_append (text, "MB,no,\nM12,yes,\nM5,yes,\n");
      g_string_append (text, "round,,\n");
    }
  g_autoptr (BlDiagnosis) d = diagnose (board, text->str);
  g_assert_cmpfloat (d->log_evidence, <, -200);
  g_assert_true (isfinite (d->log_evidence));
  double sum = 0;
  for (guint i = 0; i < d->components->len; i++)
    sum += ((const BlOdd *) g_ptr_array_index (d->components, i))->probability;
  g_assert_true (isfinite (sum));
}

/* What is equal by symmetry is listed in the order of the document. */
static void
test_order (void)
{
  g_autoptr (BlBoard) board = board_of (two_rails);
  g_autoptr (BlDiagnosis) d = diagnose (board, "M12,no,\nM5,no,\n");
  const BlOdd *before = NULL;
  for (guint i = 0; i < d->components->len; i++)
    {
      const BlOdd *odd = g_ptr_array_index (d->components, i);
      if (before != NULL && before->probability == odd->probability)
        g_assert_cmpuint (before->index, <, odd->index);
      before = odd;
    }
  g_assert_cmpfloat (component (d, "U1")->probability, ==, component (d, "U2")->probability);
}

static void
test_signature (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = board_of (two_rails);
  g_autoptr (BlEngine) engine = bl_engine_new (board, NULL);
  const char *fuse[] = { "F1:open", NULL }, *both[] = { "U2:open", "r12/other:high", NULL };
  const char *wrong[] = { "U9:open", NULL };
  g_autoptr (GPtrArray) none = bl_engine_signature (engine, NULL, &error);
  g_autoptr (GPtrArray) one = bl_engine_signature (engine, fuse, &error);
  g_autoptr (GPtrArray) two = bl_engine_signature (engine, both, &error);
  g_assert_no_error (error);
  for (guint i = 0; i < 3; i++)
    {
      g_assert_cmpstr (g_ptr_array_index (none, i), ==, "as expected");
      g_assert_cmpstr (g_ptr_array_index (one, i), ==, "deviates");
    }
  g_assert_cmpstr (g_ptr_array_index (two, 0), ==, "as expected");
  g_assert_cmpstr (g_ptr_array_index (two, 1), ==, "deviates");
  g_assert_cmpstr (g_ptr_array_index (two, 2), ==, "deviates");
  g_assert_null (bl_engine_signature (engine, wrong, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/engine/dead-rail", test_dead_rail);
  g_test_add_func ("/core/engine/pulled-down", test_pulled_down);
  g_test_add_func ("/core/engine/intermittent", test_intermittent);
  g_test_add_func ("/core/engine/two-rails", test_two_rails);
  g_test_add_func ("/core/engine/quarrel", test_quarrel);
  g_test_add_func ("/core/engine/replaced", test_replaced);
  g_test_add_func ("/core/engine/pressure-tank", test_pressure_tank);
  g_test_add_func ("/core/engine/repeated-events", test_repeated_events);
  g_test_add_func ("/core/engine/two-trains", test_two_trains);
  g_test_add_func ("/core/engine/multiprocessor", test_multiprocessor);
  g_test_add_func ("/core/engine/chest-clinic", test_chest_clinic);
  g_test_add_func ("/core/engine/many-links", test_many_links);
  g_test_add_func ("/core/engine/links-that-meet", test_links_that_meet);
  g_test_add_func ("/core/engine/outlives", test_outlives);
  g_test_add_func ("/core/engine/impossible", test_impossible);
  g_test_add_func ("/core/engine/cancelled", test_cancelled);
  g_test_add_func ("/core/engine/reuse", test_reuse);
  g_test_add_func ("/core/engine/underflow", test_underflow);
  g_test_add_func ("/core/engine/order", test_order);
  g_test_add_func ("/core/engine/signature", test_signature);
  return g_test_run ();
}
