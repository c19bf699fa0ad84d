/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The PDF report: it has the pages it says, its text can be read out again, odds and struck lines
 * are there, and it claims nothing that no measurement can show. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-document.h"
#include "bl-report.h"

#include <gdk-pixbuf/gdk-pixbuf.h>
#include <glib/gstdio.h>
#include <pango/pangocairo.h>
#include <string.h>

#define DOCUMENT                                                                                   \
  "{ \"format\": \"benchlore-board\", \"version\": 1, \"maker\": \"Hollin\", \"model\": \"HR "     \
  "240\","                                                                                         \
  "  \"board_number\": \"RB-17\", \"edition\": \"C\","                                             \
  "  \"states\": [{\"id\": \"off\", \"title\": \"Unpowered\", \"live\": false},"                   \
  "               {\"id\": \"run\", \"title\": \"Running\", \"live\": true, \"volts\": 325}],"     \
  "  \"photos\": [{\"id\": \"front\", \"side\": \"front\"}],"                                      \
  "  \"sections\": [{\"id\": \"supply\", \"kind\": \"supply\", \"title\": \"Supply\","             \
  "                  \"outlines\": [{\"photo\": \"front\", \"points\": "                           \
  "[[10,10],[300,10],[300,200],[10,200]]}]}],"                                                     \
  "  \"stages\": [{\"id\": \"rail12\", \"section\": \"supply\", \"title\": \"12 V rail\"},"        \
  "               {\"id\": \"rail5\", \"section\": \"supply\", \"title\": \"5 V rail\","           \
  "                \"feeds\": {\"from\": [\"rail12\"]}}],"                                         \
  "  \"components\": [{\"id\": \"U2\", \"kind\": \"ic.regulator\", \"value\": \"7805\", "          \
  "\"stage\": \"rail5\","                                                                          \
  "                    \"modes\": [{\"mode\": \"open\", \"effects\": [{\"is\": \"absent\"}]}]}],"  \
  "  \"test_points\": [{\"id\": \"TP5\", \"photo\": \"front\", \"x\": 100, \"y\": 100},"           \
  "                    {\"id\": \"TP12\", \"photo\": \"front\", \"x\": 200, \"y\": 60}],"          \
  "  \"measurements\": [{\"id\": \"M12\", \"title\": \"12 V\", \"at\": \"TP12\", \"measures\": "   \
  "\"V DC\","                                                                                      \
  "                      \"state\": \"run\", \"reads\": \"rail12\", \"expected\": {\"nominal\": "  \
  "12, \"tolerance\": \"5 %\"}},"                                                                  \
  "                     {\"id\": \"M5\", \"title\": \"5 V\", \"at\": \"TP5\", \"measures\": \"V "  \
  "DC\","                                                                                          \
  "                      \"state\": \"run\", \"reads\": \"rail5\","                                \
  "                      \"expected\": {\"nominal\": 5, \"low\": 4.8, \"high\": 5.2}}],"           \
  "  \"symptoms\": [{\"id\": \"E1\", \"title\": \"no lamp lit\", \"when\": [{\"on\": \"rail5\", "  \
  "\"is\": \"absent\"}]}] }"

static GBytes *
photo_new (void)
{
  g_autoptr (GdkPixbuf) pixbuf = gdk_pixbuf_new (GDK_COLORSPACE_RGB, FALSE, 8, 320, 220);
  g_autoptr (GError) error = NULL;
  char *data = NULL;
  gsize length = 0;

  gdk_pixbuf_fill (pixbuf, 0x2f6b4fff);
  g_assert_true (gdk_pixbuf_save_to_buffer (pixbuf, &data, &length, "png", &error, NULL));
  g_assert_no_error (error);
  return g_bytes_new_take (data, length);
}

static BlReportLine *
add_line (BlJobReport *report, BlReportKind kind, const char *subject, const char *text)
{
  BlReportLine *line = bl_report_line_new (kind, subject, text);

  line->time =
      G_GINT64_CONSTANT (1772442000000000) + (gint64) report->lines->len * 60 * G_USEC_PER_SEC;
  g_ptr_array_add (report->lines, line);
  return line;
}

static BlReportLine *
add_reading (BlJobReport *report, const char *measurement, const char *text)
{
  BlReportLine *line = add_line (report, BL_REPORT_READING, measurement, text);
  BlReading reading;

  line->state = g_strdup ("run");
  line->meter = g_strdup ("0.5%+2@0.01");
  line->expected = g_strdup ("as documented");
  line->band = bl_band_resolve (bl_board_measurement (report->board, measurement), NAN, NAN, NULL);
  g_assert_true (bl_reading_parse (text, line->band->measures, &reading, NULL));
  line->verdict = bl_judge (line->band, &reading, NULL, NAN, 0);
  return line;
}

static BlJobReport *
report_new (void)
{
  BlJobReport *report = bl_job_report_new ();
  g_autoptr (GError) error = NULL;

  report->number = 412;
  report->customer = g_strdup ("Ellery bakery");
  report->unit = g_strdup ("roof unit");
  report->serial = g_strdup ("S-0815");
  report->complaint = g_strdup ("roof unit mute");
  report->created = report->printed = G_GINT64_CONSTANT (1772442000000000);
  report->board = bl_document_parse (DOCUMENT, -1, NULL, &error);
  g_assert_no_error (error);
  g_hash_table_insert (report->photos, g_strdup ("front"), photo_new ());
  return report;
}

/* Odds by the real engine, for what stands in the report. */
static void
diagnose (BlJobReport *report)
{
  g_autoptr (GPtrArray) entries = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_entry_free);
  g_autoptr (BlEngine) engine = NULL;
  g_autoptr (GError) error = NULL;

  for (guint i = 0; i < report->lines->len; i++)
    {
      const BlReportLine *line = g_ptr_array_index (report->lines, i);
      BlEntry *entry;
      if (line->kind != BL_REPORT_READING || line->struck)
        continue;
      entry = bl_entry_new (BL_ENTRY_READING, line->subject, line->text);
      g_assert_true (bl_reading_parse (line->text, line->band->measures, &entry->reading, NULL));
      g_ptr_array_add (entries, entry);
    }
  engine = bl_engine_new (report->board, &error);
  g_assert_no_error (error);
  report->diagnosis = bl_engine_diagnose (engine, entries, BL_DIAGNOSE_FIT, NULL, &error);
  g_assert_no_error (error);
}

/* The PDF's text by pdftotext; NULL where that program is not installed. */
static char *
text_of (const BlJobReport *report, guint *n_pages)
{
  g_autofree char *program = g_find_program_in_path ("pdftotext"), *folder = NULL, *path = NULL;
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) bytes = bl_report_to_pdf (report, n_pages, &error);
  char *text = NULL;

  g_assert_no_error (error);
  g_assert_cmpuint (g_bytes_get_size (bytes), >, 1000);
  g_assert_cmpint (memcmp (g_bytes_get_data (bytes, NULL), "%PDF-", 5), ==, 0);
  if (program == NULL)
    return NULL;
  folder = g_dir_make_tmp ("benchlore-test-XXXXXX", NULL);
  path = g_build_filename (folder, "report.pdf", NULL);
  g_assert_true (bl_report_write_pdf (report, path, &error));
  g_assert_no_error (error);
  {
    const char *const arguments[] = { program, "-layout", path, "-", NULL };
    g_assert_true (g_spawn_sync (NULL, (char **) arguments, NULL, G_SPAWN_DEFAULT, NULL, NULL,
                                 &text, NULL, NULL, &error));
    g_assert_no_error (error);
  }
  g_unlink (path);
  g_rmdir (folder);
  return text;
}

static guint
count (const char *text, const char *word)
{
  guint n = 0;

  for (const char *at = text; (at = strstr (at, word)) != NULL; at += strlen (word))
    n++;
  return n;
}

#define assert_says(text, word)                                                                    \
  G_STMT_START                                                                                     \
  if (strstr (text, word) == NULL)                                                                 \
    g_error ("not in the report: %s\n%s", word, text);                                             \
  G_STMT_END

/* No report says more than was measured. */
static void
assert_claims_nothing (const char *text)
{
  static const char *const never[] = { "safe",    "Safe",    "SAFE",          "healthy",
                                       "Healthy", "is dead", "no fault found" };

  for (guint i = 0; i < G_N_ELEMENTS (never); i++)
    g_assert_null (strstr (text, never[i]));
}

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
  assert_says (text, "struck: wrong point");
  assert_says (text, "without proof of dead");
  assert_says (text, "soldered anew");
  assert_says (text, "U2 7805 confirmed as a cause: open");
  assert_says (text, "something else in 5 V rail was not the cause");
  assert_says (text, "325 V");
  assert_says (text, "Local codes and licensed practice come first");
  assert_says (text, "0.5%+2@0.01");
  g_assert_cmpuint (count (text, "page "), ==, pages);
  g_assert_cmpuint (count (text, "4.9 V"), ==,
                    0); /* struck: in the log as typed, not in the table */
  assert_claims_nothing (text);
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

  g_assert_false (bl_report_write_pdf (report, "/nonexistent/folder/report.pdf", &error));
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
