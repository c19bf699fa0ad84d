/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The customer's report: on a page or two, in words without the bench's terms, with what was done, how it read before and
 * after, what was tested with its limit and what was not; nothing of it that only the shop needs. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "report-fixture.h"

/* The limit of 0.3 ohm is the one of VDE 0701-0702:2008 for a cord of up to 5 m (read in a shop's table, second-hand). */
static void
add_safety (BlJobReport *report, const char *text)
{
  BlReportLine *line = add_line (report, BL_REPORT_TEST, "safety:protective conductor", text);
  g_autofree BlMeasurement *measurement = g_new0 (BlMeasurement, 1);
  BlReading reading;

  measurement->measures = BL_MEASURES_OHM;
  measurement->expected.answer = -1;
  BlQuantity *const unset[] = { &measurement->expected.nominal,       &measurement->expected.low,
                                &measurement->expected.absent_below,  &measurement->expected.shorted_below,
                                &measurement->expected.open_above,    &measurement->expected.span_below };
  for (guint i = 0; i < G_N_ELEMENTS (unset); i++)
    unset[i]->value = NAN;
  measurement->expected.high.value = 0.3;
  measurement->expected.nominal.value = NAN;
  line->band = bl_band_resolve (measurement, NAN, NAN, NULL);
  g_assert_true (bl_reading_parse (text, BL_MEASURES_OHM, &reading, NULL));
  line->verdict = bl_judge (line->band, &reading, NULL, NAN, 0);
  line->expected = g_strdup ("≤ 0.3 Ω (VDE 0701-0702:2008)");
}

static BlJobReport *
repaired (void)
{
  BlJobReport *report = report_new ();
  BlReportLine *line;

  report->audience = BL_REPORT_FOR_CUSTOMER;
  report->shop_name = g_strdup ("Tide Lane Repairs");
  report->shop_address = g_strdup ("Tide Lane 4\nHarbour End");
  report->shop_foot = g_strdup ("open on weekdays from 8 to 16");
  report->shop_warranty = g_strdup ("Six months on the part replaced.");
  report->came_with = g_strdup ("remote, screws in a bag");
  add_line (report, BL_REPORT_SYMPTOM, "E1", "yes");
  add_reading (report, "M12", "12.1");
  add_reading (report, "M5", "0.1");
  line = add_line (report, BL_REPORT_REPLACED, "U2", "7805 T");
  line->old = g_strdup ("7805");
  line->why = g_strdup ("no output, input good");
  add_reading (report, "M5", "5.03");
  add_line (report, BL_REPORT_CAUSE, "U2", "open");
  diagnose (report);
  return report;
}

static void
test_contents (void)
{
  g_autoptr (BlJobReport) report = repaired ();
  g_autofree char *text = NULL;
  guint pages = 0;

  add_line (report, BL_REPORT_SYMPTOM, "E1", "no");
  add_line (report, BL_REPORT_TEST, "soak", "begin 60 min");
  add_line (report, BL_REPORT_TEST, "soak", "end 61 min; no errors");
  add_line (report, BL_REPORT_TEST, "functional:every relay clicks", "yes");
  add_safety (report, "0.12");
  text = text_of (report, &pages);
  if (text == NULL)
    {
      g_test_skip ("pdftotext is not installed");
      return;
    }
  g_assert_cmpuint (pages, <=, 2);
  assert_says (text, "Tide Lane Repairs");
  assert_says (text, "Harbour End");
  assert_says (text, "Repair report, job 412");
  assert_says (text, "“roof unit mute”");
  assert_says (text, "remote, screws in a bag");
  assert_says (text, "Seen on the unit: no lamp lit.");
  assert_says (text, "The fault was in a chip that holds a voltage steady (U2).");
  assert_says (text, "What is wrong: it is broken inside and no longer conducts.");
  assert_says (text, "“5 V rail”");
  assert_says (text, "makes the voltages that the board works with");
  assert_says (text, "7805 T");
  assert_says (text, "no output, input good");
  assert_says (text, "0.1 V");
  assert_says (text, "5.03 V");
  g_assert_null (strstr (text, "12.1 V")); /* in band, and not read after: no part of the story */
  assert_says (text, "it no longer shows");
  assert_says (text, "61 minutes; no errors");
  assert_says (text, "every relay clicks");
  g_assert_null (strstr (text, "no soak is noted"));
  g_assert_null (strstr (text, "no functional test is noted"));
  assert_says (text, "0.12 Ω");
  assert_says (text, "VDE 0701-0702:2008");
  assert_says (text, "Six months on the part replaced.");
  assert_says (text, "received: place, date, signature");
  assert_says (text, "Local codes and licensed practice come first");
  assert_says (text, "Do not open the unit");
  g_assert_cmpuint (count (text, "open on weekdays from 8 to 16"), ==, pages);
  /* What only the shop needs. */
  g_assert_null (strstr (text, "Bench log"));
  g_assert_null (strstr (text, "Odds"));
  g_assert_null (strstr (text, "0.5%+2@0.01"));
  assert_claims_nothing (text);
}

/* What was not done is said; what was done is not among it. */
static void
test_untested (void)
{
  g_autoptr (BlJobReport) report = repaired (), more = repaired ();
  g_autofree char *text = text_of (report, NULL), *other = NULL;

  if (text == NULL)
    {
      g_test_skip ("pdftotext is not installed");
      return;
    }
  assert_says (text, "no functional test is noted");
  assert_says (text, "no soak is noted");
  assert_says (text, "no test with limits is noted");
  assert_says (text, "Everything outside this board");
  add_safety (more, "0.12");
  other = text_of (more, NULL);
  g_assert_null (strstr (other, "no test with limits is noted"));
  assert_says (other, "no soak is noted");
}

/* A test before the last part was replaced proves nothing of it. */
static void
test_before_repair (void)
{
  g_autoptr (BlJobReport) report = repaired ();
  g_autofree char *text = NULL;

  add_safety (report, "0.12");
  add_line (report, BL_REPORT_REPLACED, "U2", NULL);
  text = text_of (report, NULL);
  if (text == NULL)
    {
      g_test_skip ("pdftotext is not installed");
      return;
    }
  assert_says (text, "no test with limits is noted");
  g_assert_null (strstr (text, "0.12 Ω"));
  assert_says (text, "or not in the same condition: 5 V");
}

/* Nothing confirmed is called no cause. */
static void
test_unconfirmed (void)
{
  g_autoptr (BlJobReport) report = report_new ();
  g_autofree char *text = NULL;

  report->audience = BL_REPORT_FOR_CUSTOMER;
  add_reading (report, "M12", "12.1");
  add_reading (report, "M5", "0.1");
  diagnose (report);
  text = text_of (report, NULL);
  if (text == NULL)
    {
      g_test_skip ("pdftotext is not installed");
      return;
    }
  assert_says (text, "points to “5 V rail”; that is likely, not proven");
  assert_says (text, "No part was replaced.");
  g_assert_null (strstr (text, "The fault was in"));
  assert_claims_nothing (text);
}

/* Work gone on with in a job on one board is not denied by the report of the whole. */
static void
test_gone_on (void)
{
  g_autoptr (BlJobReport) report = report_new ();
  g_autofree char *text = NULL;

  report->audience = BL_REPORT_FOR_CUSTOMER;
  report->gone_on = g_strdup ("413");
  add_reading (report, "M5", "0.1");
  diagnose (report);
  text = text_of (report, NULL);
  if (text == NULL)
    {
      g_test_skip ("pdftotext is not installed");
      return;
    }
  assert_says (text, "is in the report of job 413");
  assert_says (text, "In this job no part was replaced.");
  g_assert_null (strstr (text, "No cause was confirmed"));
}

/* Bands of the ruler are drawn where the bench draws them; here only that both papers hold the same words. */
static void
test_paper (void)
{
  const double sizes[2][2] = { { 595.276, 841.890 }, { 612, 792 } }; /* ISO 216 A4; ANSI/ASME Y14.1 A */

  for (int paper = 0; paper < 2; paper++)
    {
      g_autoptr (BlJobReport) report = repaired ();
      g_autoptr (GPtrArray) sheets = NULL;
      g_autofree char *text = NULL;
      guint pages = 0;
      double w, h;

      report->paper = (BlReportPaper) paper;
      bl_report_paper_size (report->paper, &w, &h);
      g_assert_cmpfloat_with_epsilon (w, sizes[paper][0], 0.01);
      g_assert_cmpfloat_with_epsilon (h, sizes[paper][1], 0.01);
      text = text_of (report, &pages);
      sheets = bl_report_sheets (report, NULL);
      g_assert_cmpuint (sheets->len, ==, pages);
      if (text == NULL)
        continue;
      g_assert_cmpuint (pages, <=, 2);
      assert_says (text, "7805 T");
      assert_says (text, "received: place, date, signature");
    }
}

int
main (int argc, char **argv)
{
  int status;

  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/report/customer/contents", test_contents);
  g_test_add_func ("/report/customer/untested", test_untested);
  g_test_add_func ("/report/customer/before-repair", test_before_repair);
  g_test_add_func ("/report/customer/unconfirmed", test_unconfirmed);
  g_test_add_func ("/report/customer/gone-on", test_gone_on);
  g_test_add_func ("/report/customer/paper", test_paper);
  status = g_test_run ();
  pango_cairo_font_map_set_default (NULL);
  cairo_debug_reset_static_data ();
  return status;
}
