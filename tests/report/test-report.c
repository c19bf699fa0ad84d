/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The PDF report: it has the pages it says, its text can be read out again, odds and struck lines
 * are there, and it claims nothing that no measurement can show. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "report-fixture.h"

static void
test_contents (void)
{
  g_autoptr (BlJobReport) report = report_new ();
  g_autofree char *text = NULL;
  BlReportLine *line;
  guint pages = 0;

  add_line (report, BL_REPORT_SYMPTOM, "E1", "yes");
  add_reading (report, "M12", "12.1");
  line = add_reading (report, "M5", "4.9");
  line->struck = TRUE;
  line->struck_reason = g_strdup ("wrong point");
  line = add_reading (report, "M5", "0.1");
  line->unproven = TRUE;
  add_line (report, BL_REPORT_PART_TEST, "U2", "open");
  diagnose (report);
  add_line (report, BL_REPORT_REPLACED, "U2", "7805");
  add_reading (report, "M5", "5.03");
  add_line (report, BL_REPORT_NOTE, NULL, "soldered anew");
  add_line (report, BL_REPORT_CAUSE, "U2", "open");
  add_line (report, BL_REPORT_NO_CAUSE, "rail5/other", NULL);
  text = text_of (report, &pages);
  if (text == NULL)
    {
      g_test_skip ("pdftotext is not installed");
      return;
    }
  assert_says (text, "Job 412");
  assert_says (text, "Ellery bakery");
  assert_says (text, "S-0815");
  assert_says (text, "roof unit mute");
  assert_says (text, "likely failed stage: 5 V rail");
  assert_says (text, "U2 7805");
  assert_says (text, "12.1 V");
  assert_says (text, "absent");
  assert_says (text, "Round 2: U2 replaced");
  assert_says (text, "5.03 V");
  assert_says (text, "replaced by 7805");
  assert_says (text, "tested open");
  assert_says (text, "no lamp lit");
  g_assert_cmpuint (count (text, "struck:"), ==, 2); /* in the table and in the log */
  assert_says (text, "without proof of dead");
  assert_says (text, "soldered anew");
  assert_says (text, "U2 7805 confirmed as a cause: open");
  assert_says (text, "something else in 5 V rail was not the cause");
  assert_says (text, "325 V");
  assert_says (text, "Local codes and licensed practice come first");
  assert_says (text, "0.5%+2@0.01");
  g_assert_cmpuint (count (text, "page "), ==, pages);
  g_assert_cmpuint (count (text, "4.9 V"), ==, 1); /* struck: in the table, marked so */
  assert_claims_nothing (text);
}

/* What is dangerous goes by the limits of the shop, not by where one begins. */
static void
test_limits (void)
{
  g_autoptr (BlJobReport) report = report_new ();
  g_autofree char *usual = NULL, *lax = NULL;

  add_reading (report, "M12", "12.1");
  diagnose (report);
  usual = text_of (report, NULL);
  if (usual == NULL)
    {
      g_test_skip ("pdftotext is not installed");
      return;
    }
  assert_says (usual, "can kill");
  report->limits.shock_dc = 400;
  lax = text_of (report, NULL);
  g_assert_null (strstr (lax, "can kill"));
  assert_says (lax, "Local codes and licensed practice come first");
}

/* Advice that was not worked out is not passed over in silence. */
static void
test_left_out (void)
{
  g_autoptr (BlJobReport) report = report_new ();
  g_autofree char *whole = NULL, *cut = NULL;

  for (guint i = 0; i < 2; i++)
    {
      const BlReportLine *line = add_reading (report, i == 0 ? "M12" : "M5", i == 0 ? "12.1" : "5.01");
      BlEntry *entry = bl_entry_new (BL_ENTRY_READING, line->subject, line->text);
      g_assert_true (bl_reading_parse (line->text, line->band->measures, &entry->reading, NULL));
      g_ptr_array_add (report->entries, entry);
    }
  diagnose (report);
  bl_job_report_steps (report, NULL);
  whole = text_of (report, NULL);
  if (whole == NULL)
    {
      g_test_skip ("pdftotext is not installed");
      return;
    }
  g_assert_null (strstr (whole, "no advice was worked out"));
  report->advice_left_out = 3;
  cut = text_of (report, NULL);
  assert_says (cut, "Before 3 readings no advice was worked out");
}

static void
test_all_in_band (void)
{
  g_autoptr (BlJobReport) report = report_new ();
  g_autofree char *text = NULL;

  add_reading (report, "M12", "12.1");
  add_reading (report, "M5", "5.01");
  diagnose (report);
  text = text_of (report, NULL);
  if (text == NULL)
    {
      g_test_skip ("pdftotext is not installed");
      return;
    }
  assert_says (text, "no proof of a board without fault");
  assert_claims_nothing (text);
}

/* Nothing known at all still makes a sheet. */
static void
test_empty (void)
{
  g_autoptr (BlJobReport) report = bl_job_report_new ();
  g_autofree char *text = NULL;
  guint pages = 0;

  report->number = 7;
  text = text_of (report, &pages);
  g_assert_cmpuint (pages, ==, 1);
  if (text != NULL)
    {
      assert_says (text, "Job 7");
      assert_says (text, "Nothing was measured yet");
      assert_says (text, "page 1 of 1");
      assert_claims_nothing (text);
    }
}

static void
test_pages (void)
{
  g_autoptr (BlJobReport) report = report_new ();
  g_autofree char *text = NULL, *last = NULL;
  guint pages = 0;

  for (int i = 0; i < 200; i++)
    {
      g_autofree char *note = g_strdup_printf ("note %d, long enough to be told from others", i);
      add_line (report, BL_REPORT_NOTE, NULL, note);
    }
  text = text_of (report, &pages);
  g_assert_cmpuint (pages, >, 3);
  if (text == NULL)
    return;
  last = g_strdup_printf ("page %u of %u", pages, pages);
  assert_says (text, last);
  assert_says (text, "note 0,");
  assert_says (text, "note 199,");
  g_assert_cmpuint (count (text, "\f"), ==, pages); /* pdftotext ends each page with one */
}

/* A picture that is none is left out, and the rest of the report is there. */
static void
test_bad_picture (void)
{
  g_autoptr (BlJobReport) report = report_new ();
  g_autofree char *text = NULL;

  g_hash_table_insert (report->photos, g_strdup ("front"),
                       g_bytes_new_static ("\xff\xd8\xff no more", 11));
  add_reading (report, "M12", "12.1");
  text = text_of (report, NULL);
  if (text != NULL)
    assert_says (text, "12.1 V");
}

static void
test_write_error (void)
{
  g_autoptr (BlJobReport) report = bl_job_report_new ();
  g_autoptr (GError) error = NULL;

  g_assert_false (bl_report_write_pdf (report, "/nonexistent/folder/report.pdf", NULL, &error));
  g_assert_nonnull (error);
}

static void
test_words (void)
{
  const struct
  {
    double odds;
    const char *text;
  } cases[] = { { 0, "<1 %" },     { 0.004, "<1 %" },  { 0.0051, "1 %" },
                { 0.954, "95 %" }, { 0.996, ">99 %" }, { NAN, "<1 %" } };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *text = bl_report_odds (cases[i].odds);
      g_assert_cmpstr (text, ==, cases[i].text);
    }
}

int
main (int argc, char **argv)
{
  int status;

  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/report/report/contents", test_contents);
  g_test_add_func ("/report/report/limits", test_limits);
  g_test_add_func ("/report/report/left-out", test_left_out);
  g_test_add_func ("/report/report/all-in-band", test_all_in_band);
  g_test_add_func ("/report/report/empty", test_empty);
  g_test_add_func ("/report/report/pages", test_pages);
  g_test_add_func ("/report/report/bad-picture", test_bad_picture);
  g_test_add_func ("/report/report/write-error", test_write_error);
  g_test_add_func ("/report/report/words", test_words);
  status = g_test_run ();
  /* Fonts that pango keeps for the next text would look like leaks. */
  pango_cairo_font_map_set_default (NULL);
  cairo_debug_reset_static_data ();
  return status;
}
