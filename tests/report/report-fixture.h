/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A report of an invented job, odds by the real engine, and its text read out of the PDF again. Included by the test
 * programs of the report. */
#pragma once

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

G_GNUC_UNUSED static GBytes *
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

G_GNUC_UNUSED static BlReportLine *
add_line (BlJobReport *report, BlReportKind kind, const char *subject, const char *text)
{
  BlReportLine *line = bl_report_line_new (kind, subject, text);

  line->time =
      G_GINT64_CONSTANT (1772442000000000) + (gint64) report->lines->len * 60 * G_USEC_PER_SEC;
  g_ptr_array_add (report->lines, line);
  return line;
}

G_GNUC_UNUSED static BlReportLine *
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

G_GNUC_UNUSED static BlJobReport *
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
G_GNUC_UNUSED static void
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
G_GNUC_UNUSED static char *
text_of (const BlJobReport *report, guint *n_pages)
{
  g_autofree char *program = g_find_program_in_path ("pdftotext"), *folder = NULL, *path = NULL;
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) bytes = bl_report_to_pdf (report, n_pages, NULL, &error);
  char *text = NULL;

  g_assert_no_error (error);
  g_assert_cmpuint (g_bytes_get_size (bytes), >, 1000);
  g_assert_cmpint (memcmp (g_bytes_get_data (bytes, NULL), "%PDF-", 5), ==, 0);
  if (program == NULL)
    return NULL;
  folder = g_dir_make_tmp ("benchlore-test-XXXXXX", NULL);
  path = g_build_filename (folder, "report.pdf", NULL);
  g_assert_true (bl_report_write_pdf (report, path, NULL, &error));
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

G_GNUC_UNUSED static guint
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
G_GNUC_UNUSED static void
assert_claims_nothing (const char *text)
{
  static const char *const never[] = { "healthy", "Healthy", "is dead", "no fault found" };
  g_autofree char *lower = g_ascii_strdown (text, -1);

  for (guint i = 0; i < G_N_ELEMENTS (never); i++)
    g_assert_null (strstr (text, never[i]));
  /* An electrical safety test is one; nothing is called safe. */
  for (const char *at = lower; (at = strstr (at, "safe")) != NULL; at += 4)
    g_assert_true (g_str_has_prefix (at, "safety"));
}
