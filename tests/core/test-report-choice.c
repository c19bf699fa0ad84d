/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the report chooses: pairs of readings around a repair, causes and tests that count, what was left out; and the odds
 * of each step against an engine that was asked for that step alone. The board is invented. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-document.h"
#include "bl-report-choice.h"

#define M(id, stage, more) "{\"id\": \"" id "\", \"measures\": \"V DC\", \"state\": \"run\", \"reads\": \"" stage "\", " more "}"
#define FIVE "\"expected\": {\"nominal\": 5, \"low\": 4.8, \"high\": 5.2}"
#define TWELVE "\"expected\": {\"nominal\": 12, \"low\": 11, \"high\": 13}"

static const char DOCUMENT[]
  = "{ \"format\": \"benchlore-board\", \"version\": 1,"
    "  \"states\": [{\"id\": \"run\", \"live\": true}],"
    "  \"sections\": [{\"id\": \"supply\", \"kind\": \"supply\"}, {\"id\": \"link\", \"kind\": \"communication\"}],"
    "  \"stages\": [{\"id\": \"r12\", \"section\": \"supply\"},"
    "               {\"id\": \"r5\", \"section\": \"supply\", \"feeds\": {\"from\": [\"r12\"]}},"
    "               {\"id\": \"rx\", \"section\": \"link\", \"feeds\": {\"from\": [\"r5\"]}}],"
    "  \"components\": [{\"id\": \"U1\", \"kind\": \"ic\", \"stage\": \"r12\","
    "                    \"modes\": [{\"mode\": \"open\", \"effects\": [{\"is\": \"absent\"}]}]},"
    "                   {\"id\": \"U2\", \"kind\": \"ic\", \"stage\": \"r5\","
    "                    \"modes\": [{\"mode\": \"open\", \"effects\": [{\"is\": \"absent\"}]}]}],"
    "  \"measurements\": [" M ("A12", "r12", TWELVE) ", " M ("A5", "r5", FIVE) ", " M ("B5", "r5", FIVE) ", "
    M ("L5", "rx", FIVE) "],"
    "  \"symptoms\": [{\"id\": \"E1\", \"when\": [{\"on\": \"rx\", \"is\": \"absent\"}]}] }";

static BlJobReport *
report_new (void)
{
  BlJobReport *report = bl_job_report_new ();
  g_autoptr (GError) error = NULL;

  report->board = bl_document_parse (DOCUMENT, -1, NULL, &error);
  g_assert_no_error (error);
  return report;
}

static BlReportLine *
add (BlJobReport *report, BlReportKind kind, const char *subject, const char *text)
{
  BlReportLine *line = bl_report_line_new (kind, subject, text);

  g_ptr_array_add (report->lines, line);
  return line;
}

/* A line and the entry that goes with it. */
static BlReportLine *
read_value (BlJobReport *report, const char *measurement, const char *text)
{
  BlReportLine *line = add (report, BL_REPORT_READING, measurement, text);
  BlEntry *entry = bl_entry_new (BL_ENTRY_READING, measurement, text);

  line->band = bl_band_resolve (bl_board_measurement (report->board, measurement), NAN, NAN, NULL);
  g_assert_true (bl_reading_parse (text, line->band->measures, &entry->reading, NULL));
  line->verdict = bl_judge (line->band, &entry->reading, NULL, NAN, 0);
  g_ptr_array_add (report->entries, entry);
  return line;
}

static void
replace (BlJobReport *report, const char *component)
{
  add (report, BL_REPORT_REPLACED, component, NULL);
  g_ptr_array_add (report->entries, bl_entry_new (BL_ENTRY_REPLACED, component, NULL));
}

static void
test_pairs (void)
{
  g_autoptr (BlJobReport) report = report_new ();
  g_autoptr (GPtrArray) pairs = NULL, unproven = NULL, few = NULL;
  const BlReportPair *pair;
  const BlReportLine *struck, *l5;

  read_value (report, "A12", "12.1");
  read_value (report, "A5", "0.1");
  struck = read_value (report, "A5", "4.9");
  ((BlReportLine *) struck)->struck = TRUE;
  l5 = read_value (report, "L5", "0.2");
  replace (report, "U2");
  read_value (report, "A5", "5.4");
  replace (report, "U2");
  read_value (report, "A5", "5.0");
  add (report, BL_REPORT_CAUSE, "U2", "open");
  pairs = bl_report_pairs (report, 6);
  g_assert_cmpuint (pairs->len, ==, 2); /* A12 was in band, B5 not read */
  pair = g_ptr_array_index (pairs, 0);
  g_assert_cmpstr (pair->before->subject, ==, "A5"); /* reads the cause's stage, and on both sides */
  g_assert_cmpstr (pair->before->text, ==, "0.1");   /* not the struck one, not the one between the repairs */
  g_assert_cmpstr (pair->after->text, ==, "5.0");
  pair = g_ptr_array_index (pairs, 1);
  g_assert_true (pair->before == l5 && pair->after == NULL);
  unproven = bl_report_unproven (report);
  g_assert_cmpuint (unproven->len, ==, 1);
  g_assert_true (g_ptr_array_index (unproven, 0) == l5);
  few = bl_report_pairs (report, 1);
  g_assert_cmpuint (few->len, ==, 1);
}

/* What deviated when wet is not proved by reading it dry. */
static void
test_pairs_condition (void)
{
  g_autoptr (BlJobReport) report = report_new ();
  g_autoptr (GPtrArray) dry = NULL, unproven = NULL, wet = NULL, proven = NULL;
  const BlReportPair *pair;

  add (report, BL_REPORT_ROUND, NULL, "wet");
  read_value (report, "A5", "0.1");
  add (report, BL_REPORT_ROUND, NULL, "");
  read_value (report, "A5", "5.0");
  replace (report, "U2");
  read_value (report, "A5", "5.1");
  dry = bl_report_pairs (report, 6);
  pair = g_ptr_array_index (dry, 0);
  g_assert_cmpstr (pair->before->text, ==, "0.1");
  g_assert_true (pair->other_condition);
  unproven = bl_report_unproven (report);
  g_assert_cmpuint (unproven->len, ==, 1);
  add (report, BL_REPORT_ROUND, NULL, "wet");
  read_value (report, "A5", "4.9");
  add (report, BL_REPORT_ROUND, NULL, "");
  read_value (report, "A5", "5.1");
  wet = bl_report_pairs (report, 6);
  pair = g_ptr_array_index (wet, 0);
  g_assert_cmpstr (pair->after->text, ==, "4.9");
  g_assert_false (pair->other_condition);
  proven = bl_report_unproven (report);
  g_assert_cmpuint (proven->len, ==, 0);
}

/* Nothing deviated: what was read on both sides tells at least that. Without a repair there is no after. */
static void
test_pairs_in_band (void)
{
  g_autoptr (BlJobReport) report = report_new ();
  g_autoptr (GPtrArray) none = NULL, pairs = NULL;

  read_value (report, "A12", "12.1");
  read_value (report, "A5", "5.0");
  none = bl_report_pairs (report, 6);
  g_assert_cmpuint (none->len, ==, 0);
  replace (report, "U2");
  read_value (report, "A5", "5.1");
  pairs = bl_report_pairs (report, 6);
  g_assert_cmpuint (pairs->len, ==, 1);
  g_assert_cmpstr (((const BlReportPair *) g_ptr_array_index (pairs, 0))->after->text, ==, "5.1");
}

static void
test_causes (void)
{
  g_autoptr (BlJobReport) report = report_new ();
  g_autoptr (GPtrArray) causes = NULL;

  add (report, BL_REPORT_CAUSE, "U1", "open");
  add (report, BL_REPORT_CAUSE, "U2", "open");
  add (report, BL_REPORT_NO_CAUSE, "U1", NULL);
  add (report, BL_REPORT_CAUSE, "r5/other", NULL)->struck = TRUE;
  causes = bl_report_causes (report);
  g_assert_cmpuint (causes->len, ==, 1);
  g_assert_cmpstr (((const BlReportLine *) g_ptr_array_index (causes, 0))->subject, ==, "U2");
}

static void
test_left_out (void)
{
  g_autoptr (BlJobReport) report = report_new ();
  g_autoptr (GPtrArray) sections = NULL, tests = NULL, safety = NULL, symptoms = NULL;

  add (report, BL_REPORT_SYMPTOM, "E1", "yes");
  read_value (report, "A5", "0.1");
  read_value (report, "L5", "-"); /* not reached is not read */
  add (report, BL_REPORT_TEST, "safety:insulation", "5 M");
  replace (report, "U2");
  add (report, BL_REPORT_TEST, "soak", "begin 30 min");
  add (report, BL_REPORT_TEST, "soak", "end 30 min");
  add (report, BL_REPORT_SYMPTOM, "E1", "no");
  add (report, BL_REPORT_TIME, "repair", "12.5");
  add (report, BL_REPORT_TIME, NULL, "30");
  add (report, BL_REPORT_TIME, NULL, "1000")->struck = TRUE;
  sections = bl_report_unread_sections (report);
  g_assert_cmpuint (sections->len, ==, 1);
  g_assert_cmpstr (((const BlSection *) g_ptr_array_index (sections, 0))->id, ==, "link");
  tests = bl_report_tests (report, NULL);
  g_assert_cmpuint (tests->len, ==, 1);
  g_assert_cmpstr (((const BlReportLine *) g_ptr_array_index (tests, 0))->text, ==, "end 30 min");
  safety = bl_report_tests (report, "safety");
  g_assert_cmpuint (safety->len, ==, 0);
  symptoms = bl_report_symptoms_after (report);
  g_assert_cmpuint (symptoms->len, ==, 1);
  g_assert_false (bl_report_said_yes (g_ptr_array_index (symptoms, 0)));
  g_assert_cmpfloat (bl_report_minutes (report), ==, 42.5);
}

/* Each step against an engine of its own that was given the entries up to there. */
static void
test_steps (void)
{
  g_autoptr (BlJobReport) report = report_new ();
  g_autoptr (GPtrArray) entries = g_ptr_array_new ();
  g_autoptr (BlDiagnosis) before = NULL;
  const char *taken = NULL;

  read_value (report, "A12", "12.1");
  read_value (report, "A5", "0.1");
  replace (report, "U2");
  read_value (report, "A5", "5.0");
  bl_job_report_steps (report, NULL);
  g_assert_cmpuint (report->steps->len, ==, 4);
  g_assert_cmpuint (report->steps_left_out, ==, 0);
  g_assert_cmpuint (report->advice_left_out, ==, 0);
  for (guint i = 0; i < 4; i++)
    {
      const BlReportStep *step = g_ptr_array_index (report->steps, i);
      const BlEntry *entry = g_ptr_array_index (report->entries, i);
      g_autoptr (BlEngine) engine = bl_engine_new (report->board, NULL);
      BlDiagnosis *alone;
      g_ptr_array_add (entries, (gpointer) entry);
      alone = bl_engine_diagnose (engine, entries, BL_DIAGNOSE_NEXT, NULL, NULL);
      for (guint c = 0; report->step_names[c] != NULL; c++)
        g_assert_cmpfloat_with_epsilon (step->odds[c],
                                        bl_diagnosis_find (alone->components, report->step_names[c])->probability, 1e-12);
      g_assert_cmpfloat_with_epsilon (step->elsewhere, alone->elsewhere, 1e-12);
      g_assert_cmpfloat_with_epsilon (step->remaining, alone->remaining, 1e-12);
      g_assert_cmpuint (step->round, ==, i < 2 ? 1 : 2);
      taken = before != NULL && entry->kind == BL_ENTRY_READING
                  ? ((const BlNext *) g_ptr_array_index (before->next, 0))->measurement
                  : NULL;
      g_assert_cmpstr (step->advised, ==, taken);
      g_assert_cmpint (step->rank == 1, ==, taken != NULL && g_str_equal (taken, entry->subject));
      g_clear_pointer (&before, bl_diagnosis_free);
      before = alone;
    }
}

static void
test_paper (void)
{
  BlReportAudience audience;
  BlReportPaper paper;

  g_assert_true (bl_report_audience_parse ("Customer", &audience) && audience == BL_REPORT_FOR_CUSTOMER);
  g_assert_true (bl_report_audience_parse ("shop", &audience) && audience == BL_REPORT_FOR_SHOP);
  g_assert_false (bl_report_audience_parse ("", &audience));
  g_assert_true (bl_report_paper_parse ("LETTER", &paper) && paper == BL_REPORT_LETTER);
  g_assert_true (bl_report_paper_parse ("a4", &paper) && paper == BL_REPORT_A4);
  g_assert_false (bl_report_paper_parse ("a5", &paper));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/report-choice/pairs", test_pairs);
  g_test_add_func ("/core/report-choice/pairs-in-band", test_pairs_in_band);
  g_test_add_func ("/core/report-choice/pairs-condition", test_pairs_condition);
  g_test_add_func ("/core/report-choice/causes", test_causes);
  g_test_add_func ("/core/report-choice/left-out", test_left_out);
  g_test_add_func ("/core/report-choice/steps", test_steps);
  g_test_add_func ("/core/report-choice/paper", test_paper);
  return g_test_run ();
}
