/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Text of any script and any length in the report: where a paragraph that runs from right to left stands, what is
 * isolated in a sentence, letters without a font, words longer than a line, notes longer than a page, hundreds of
 * readings, table heads on every page. Which way text runs: UAX #9, rules P2, P3 and the isolates X5c. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "report-fixture.h"

#include "bl-page-table.h"
#include "bl-report-words.h"

#include <locale.h>

#define HEBREW "\xd7\xa9\xd7\x9c\xd7\x95\xd7\x9d \xd7\xa2\xd7\x95\xd7\x9c\xd7\x9d"          /* shalom olam */
#define ARABIC "\xd9\x85\xd8\xb1\xd8\xad\xd8\xa8\xd8\xa7 \xd8\xa8\xd9\x83\xd9\x85"          /* marhaban bikum */
#define JAPANESE "\xe4\xbf\xae\xe7\x90\x86\xe5\xa0\xb1\xe5\x91\x8a"                         /* shuri hokoku */

typedef struct
{
  BlPage page;
  cairo_surface_t *surface;
} Sheet;

static void
sheet_init (Sheet *sheet, const BlJobReport *report)
{
  const cairo_rectangle_t extents = { 0, 0, 600, 850 };

  sheet->surface = cairo_recording_surface_create (CAIRO_CONTENT_COLOR_ALPHA, &extents);
  sheet->page = (BlPage){ .report = report, .palette = bl_palette_get (FALSE), .missing = g_hash_table_new (NULL, NULL) };
  bl_report_paper_size (BL_REPORT_A4, &sheet->page.paper_w, &sheet->page.paper_h);
  sheet->page.cr = cairo_create (sheet->surface);
  sheet->page.context = bl_page_context_new (sheet->page.cr);
  sheet->page.number = 1;
  bl_page_begin (&sheet->page);
}

static void
sheet_clear (Sheet *sheet)
{
  g_object_unref (sheet->page.context);
  cairo_destroy (sheet->page.cr);
  cairo_surface_destroy (sheet->surface);
  g_hash_table_unref (sheet->page.missing);
}

/* Left edge and width of the first line of text laid out w wide. */
static void
first_line (BlPage *page, const char *text, double w, double *x, double *width)
{
  const BlPageText style = { .size = 10, .width = w };
  g_autoptr (PangoLayout) layout = bl_page_layout (page, &style, text);
  PangoLayoutIter *iter = pango_layout_get_iter (layout);
  PangoRectangle logical;

  pango_layout_iter_get_line_extents (iter, NULL, &logical);
  *x = (double) logical.x / PANGO_SCALE;
  *width = (double) logical.width / PANGO_SCALE;
  pango_layout_iter_free (iter);
}

static void
test_direction (void)
{
  g_autoptr (BlJobReport) report = report_new ();
  const char *const from_right[] = { HEBREW, ARABIC, HEBREW " R12 0.47", "12 " ARABIC };
  const char *const from_left[] = { "plain words", "R12 " HEBREW, JAPANESE, "" };
  Sheet sheet;
  double x, width;

  sheet_init (&sheet, report);
  for (guint i = 0; i < G_N_ELEMENTS (from_right); i++)
    {
      first_line (&sheet.page, from_right[i], 300, &x, &width);
      g_assert_cmpfloat_with_epsilon (x + width, 300, 0.5);
    }
  for (guint i = 0; i < G_N_ELEMENTS (from_left); i++)
    {
      first_line (&sheet.page, from_left[i], 300, &x, &width);
      g_assert_cmpfloat_with_epsilon (x, 0, 0.5);
    }
  sheet_clear (&sheet);
}

/* Where a letter stands from the left. */
static double
place_of (PangoLayout *layout, const char *text, const char *what)
{
  PangoRectangle at;
  const char *found = strstr (text, what);

  g_assert_nonnull (found);
  pango_layout_index_to_pos (layout, (int) (found - text), &at);
  return (double) MIN (at.x, at.x + at.width) / PANGO_SCALE;
}

/* Two names from right to left with a number between them: without isolates the number would be drawn into the second
 * and the names exchanged; with them the sentence keeps its order. */
static void
test_isolates (void)
{
  g_autoptr (BlJobReport) report = report_new ();
  g_autofree char *first = bl_report_isolate ("\xd7\xa9\xd7\x9c\xd7\x95\xd7\x9d"), *second = bl_report_isolate (ARABIC);
  g_autofree char *plain = bl_report_isolate ("7805");
  g_autofree char *bare = g_strdup_printf ("K1: %s 12, %s", "\xd7\xa9\xd7\x9c\xd7\x95\xd7\x9d", ARABIC);
  g_autofree char *kept = g_strdup_printf ("K1: %s 12, %s", first, second);
  const BlPageText style = { .size = 10, .width = 400 };
  g_autoptr (PangoLayout) turned = NULL, right = NULL;
  Sheet sheet;

  g_assert_cmpstr (plain, ==, "7805");
  sheet_init (&sheet, report);
  turned = bl_page_layout (&sheet.page, &style, bare);
  right = bl_page_layout (&sheet.page, &style, kept);
  g_assert_cmpfloat (place_of (turned, bare, "\xd7\xa9"), >, place_of (turned, bare, "12"));
  g_assert_cmpfloat (place_of (right, kept, "\xd7\xa9"), <, place_of (right, kept, "12"));
  g_assert_cmpfloat (place_of (right, kept, "12"), <, place_of (right, kept, "\xd9\x85"));
  sheet_clear (&sheet);
}

static void
test_scripts (void)
{
  g_autoptr (BlJobReport) report = report_new ();
  g_autofree char *text = NULL, *missing = NULL;
  g_autoptr (GBytes) bytes = NULL;

  g_free (report->customer);
  report->customer = g_strdup (JAPANESE " / Zażółć gęślą jaźń / Ωμέγα / Привет");
  report->shop_name = g_strdup (ARABIC);
  add_line (report, BL_REPORT_NOTE, NULL, HEBREW);
  text = text_of (report, NULL);
  bytes = bl_report_to_pdf (report, NULL, &missing, NULL);
  if (text == NULL)
    {
      g_test_skip ("pdftotext is not installed");
      return;
    }
  assert_says (text, "Zażółć gęślą jaźń");
  assert_says (text, "Ωμέγα");
  assert_says (text, "Привет");
  if (missing == NULL)
    assert_says (text, JAPANESE);
}

/* A letter that no font has: U+10FFFD is for private use, where nothing is defined. */
static void
test_missing (void)
{
  g_autoptr (BlJobReport) report = report_new ();
  g_autoptr (GBytes) bytes = NULL, plain = NULL;
  g_autofree char *missing = NULL, *none = NULL;

  plain = bl_report_to_pdf (report, NULL, &none, NULL);
  g_assert_nonnull (plain);
  g_assert_null (none);
  add_line (report, BL_REPORT_NOTE, NULL, "a \xf4\x8f\xbf\xbd b");
  bytes = bl_report_to_pdf (report, NULL, &missing, NULL);
  g_assert_nonnull (bytes);
  g_assert_nonnull (missing);
  g_assert_nonnull (strstr (missing, "\xf4\x8f\xbf\xbd"));
}

/* Nothing is wider than the text, whatever is typed. */
static void
test_long_words (void)
{
  g_autoptr (BlJobReport) report = report_new ();
  g_autofree char *word = g_strnfill (400, 'W');
  Sheet sheet;
  double x, width;

  sheet_init (&sheet, report);
  first_line (&sheet.page, word, 200, &x, &width);
  g_assert_cmpfloat (x, >=, 0);
  g_assert_cmpfloat (x + width, <=, 200.5);
  sheet_clear (&sheet);
}

/* A note of many pages is on the paper whole, not cut off at the foot of one. */
static void
test_long_note (void)
{
  g_autoptr (BlJobReport) report = report_new ();
  g_autoptr (GString) note = g_string_new (NULL);
  g_autofree char *text = NULL;
  guint pages = 0;

  for (int i = 0; i < 1500; i++)
    g_string_append_printf (note, "seen%04d and put down ", i);
  add_line (report, BL_REPORT_NOTE, NULL, note->str);
  report->complaint = (g_free (report->complaint), g_strdup (note->str));
  text = text_of (report, &pages);
  g_assert_cmpuint (pages, >, 6);
  if (text == NULL)
    return;
  for (int i = 0; i < 1500; i += 13)
    {
      g_autofree char *word = g_strdup_printf ("seen%04d", i);
      g_assert_cmpuint (count (text, word), ==, 2); /* complaint and log */
    }
}

/* 300 readings: all there, the heads of the table on each page that it goes on to, no page without anything, no heading
 * at the foot of one. */
static void
test_many_readings (void)
{
  g_autoptr (BlJobReport) report = report_new ();
  g_autofree char *text = NULL;
  g_auto (GStrv) sheets = NULL;
  guint pages = 0;

  for (int i = 0; i < 300; i++)
    {
      g_autofree char *value = g_strdup_printf ("%.3f", 4.8 + i * 0.001);
      add_reading (report, "M5", value);
    }
  text = text_of (report, &pages);
  if (text == NULL)
    {
      g_test_skip ("pdftotext is not installed");
      return;
    }
  sheets = g_strsplit (text, "\f", -1);
  g_assert_cmpuint (g_strv_length (sheets), ==, pages + 1);
  for (int i = 0; i < 300; i++)
    {
      g_autofree char *value = g_strdup_printf ("%.3f V", 4.8 + i * 0.001);
      g_assert_cmpuint (count (text, value), ==, 1);
    }
  for (guint i = 0; i < pages; i++)
    {
      const char *reading = strstr (sheets[i], "in band"), *head = strstr (sheets[i], "band ruler");
      g_auto (GStrv) lines = g_strsplit (g_strstrip (sheets[i]), "\n", -1);
      guint n = g_strv_length (lines), last = n - 1;
      g_assert_cmpuint (n, >, 3);
      if (i > 0 && reading != NULL)
        if (!((head != NULL && head < reading) || strstr (sheets[i], "what was done") != NULL))
          g_error ("page %u has no heads\n%s", i + 1, sheets[i]);
      /* The foot, then what stands above it: no heading. */
      while (last > 0 && (strstr (lines[last], "page ") != NULL || g_strstrip (lines[last])[0] == '\0'))
        last--;
      g_assert_cmpstr (g_strstrip (lines[last]), !=, "Readings");
      g_assert_cmpstr (g_strstrip (lines[last]), !=, "Bench log");
    }
}

/* Typed with a point, shown with the sign of the locale, where that locale is installed. */
static void
test_comma (void)
{
  g_autofree char *point = bl_report_typed ("11.8 V"), *comma = NULL, *not_number = NULL;
  const char *old = g_strdup (setlocale (LC_NUMERIC, NULL));

  g_assert_cmpstr (point, ==, "11.8 V");
  if (setlocale (LC_NUMERIC, "de_DE.UTF-8") == NULL)
    {
      g_free ((char *) old);
      g_test_skip ("no German locale is installed");
      return;
    }
  comma = bl_report_typed ("11.8 V");
  not_number = bl_report_typed ("see fig. 3. R1.2");
  setlocale (LC_NUMERIC, old);
  g_free ((char *) old);
  g_assert_cmpstr (comma, ==, "11,8 V");
  g_assert_cmpstr (not_number, ==, "see fig. 3. R1,2");
}

int
main (int argc, char **argv)
{
  int status;

  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/report/script/direction", test_direction);
  g_test_add_func ("/report/script/isolates", test_isolates);
  g_test_add_func ("/report/script/scripts", test_scripts);
  g_test_add_func ("/report/script/missing", test_missing);
  g_test_add_func ("/report/script/long-words", test_long_words);
  g_test_add_func ("/report/script/long-note", test_long_note);
  g_test_add_func ("/report/script/many-readings", test_many_readings);
  g_test_add_func ("/report/script/comma", test_comma);
  status = g_test_run ();
  pango_cairo_font_map_set_default (NULL);
  cairo_debug_reset_static_data ();
  return status;
}
