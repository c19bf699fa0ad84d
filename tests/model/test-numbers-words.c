/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Figures in words and as comma-separated values: no per cent of few jobs, and a table that RFC 4180 allows, whatever the
 * names in it and whatever the locale. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-csv.h"
#include "bl-numbers-words.h"

#include "sample.h"

#include <locale.h>
#include <string.h>

static BlLibrary *
make_shop (guint n_jobs)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = sample_board ();
  BlLibrary *library = bl_library_open (":memory:", TRUE, &error);

  g_assert_no_error (error);
  g_free (board->edition);
  board->edition = g_strdup ("C \"late\", red");
  gint64 id = bl_library_add_board (library, board, FALSE, &error);
  for (guint i = 0; i < n_jobs; i++)
    {
      g_autoptr (BlJob) job = bl_job_new ();
      job->board = id;
      job->created = g_get_real_time () - (gint64) 100 * 86400 * G_USEC_PER_SEC;
      bl_job_set_state (job, BL_JOB_HANDED_BACK);
      gint64 number = bl_library_add_job (library, job, &error);
      g_autoptr (BlRecord) reading = bl_record_new (BL_RECORD_READING, "M5", "1"),
                           cause = bl_record_new (BL_RECORD_CAUSE, i % 4 == 0 ? "U2" : "K1", NULL),
                           part = bl_record_new (BL_RECORD_REPLACED, i % 4 == 0 ? "U2" : "K1", "new");
      BlRecord *lines[] = { reading, cause, part };
      for (guint j = 0; j < G_N_ELEMENTS (lines); j++)
        lines[j]->job = number;
      g_assert_true (bl_library_append_all (library, lines, G_N_ELEMENTS (lines), &error));
      g_assert_no_error (error);
    }
  return library;
}

static void
test_few (void)
{
  g_autofree char *none = bl_numbers_of_words (0, 0), *few = bl_numbers_of_words (5, 12),
                  *below = bl_numbers_of_words (19, 19), *enough = bl_numbers_of_words (5, 20);

  g_assert_cmpstr (none, ==, "–");
  g_assert_cmpstr (few, ==, "5 of 12");
  g_assert_null (strchr (below, '%'));
  g_assert_cmpstr (enough, ==, "5 of 20, 25 %");
}

static void
test_chart (void)
{
  for (guint n = 19; n <= 20; n++)
    {
      BlNumbersAsk ask = BL_NUMBERS_ASK_INIT;
      BlLibrary *library = make_shop (n);
      g_autoptr (BlNumbers) numbers = bl_library_numbers (library, &ask, NULL);
      g_autofree char *why = bl_numbers_no_chart_words (numbers);
      g_autoptr (GPtrArray) lines = bl_numbers_lines (numbers);
      g_assert_true ((why == NULL) == (n == 20));
      for (guint i = 0; i < lines->len; i++)
        if (n < 20)
          g_assert_null (strchr (((BlNumbersLine *) bl_at (lines, i))->value, '%'));
      bl_library_close (library);
    }
}

/* The record with this figure and item, of this edition. */
static const char *const *
find (GPtrArray *records, const char *figure, const char *edition, const char *item)
{
  for (guint i = 0; i < records->len; i++)
    {
      char **fields = ((BlCsvRecord *) bl_at (records, i))->fields;
      if (g_str_equal (fields[0], figure) && g_str_equal (fields[1], edition) && g_str_equal (fields[2], item))
        return (const char *const *) fields;
    }
  g_error ("no %s of “%s”, “%s”", figure, edition, item);
}

static void
test_table (void)
{
  BlNumbersAsk ask = BL_NUMBERS_ASK_INIT;
  BlLibrary *library = make_shop (8);
  g_autoptr (GError) error = NULL;
  const char *edition = "RB-17, edition C \"late\", red";
  g_autofree char *text = bl_numbers_csv (library, &ask, &error);

  g_assert_no_error (error);
  /* RFC 4180, section 2: lines end with CR LF, the last one too here; quotes in a field are doubled. */
  for (const char *at = text; (at = strchr (at, '\n')) != NULL; at++)
    g_assert_true (at > text && at[-1] == '\r');
  g_assert_true (g_str_has_suffix (text, "\r\n"));
  g_assert_nonnull (strstr (text, "\"RB-17, edition C \"\"late\"\", red\""));
  g_autoptr (GPtrArray) records = bl_csv_parse (text, -1, &error);
  g_assert_no_error (error);
  for (guint i = 0; i < records->len; i++)
    g_assert_cmpuint (g_strv_length (((BlCsvRecord *) bl_at (records, i))->fields), ==, 7);
  g_assert_cmpstr (((BlCsvRecord *) bl_at (records, 0))->fields[0], ==, "figure");
  g_assert_cmpstr (find (records, "ended", "", "")[3], ==, "8");
  g_assert_cmpstr (find (records, "ended", edition, "")[3], ==, "8");
  g_assert_cmpstr (find (records, "cause", edition, "K1")[3], ==, "6");
  g_assert_cmpstr (find (records, "cause", edition, "K1")[4], ==, "8");
  g_assert_cmpstr (find (records, "readings_to_cause", "", "mean")[5], ==, "1");
  /* 6 in 100 days: 6 x 3 x 30.44 / 100 = 5.479; Poisson's 90 % is 9 (up to 6.221; 8 up to 5.432). */
  const char *expected = find (records, "part_expected", edition, "K1")[5];
  g_assert_true (g_str_has_prefix (expected, "5.47"));
  g_assert_cmpstr (find (records, "part_to_keep", edition, "K1")[3], ==, "9");
  bl_library_close (library);
}

int
main (int argc, char **argv)
{
  /* One with a decimal comma where it is installed. */
  if (setlocale (LC_NUMERIC, "de_DE.UTF-8") == NULL)
    setlocale (LC_NUMERIC, "C");
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/numbers-words/few", test_few);
  g_test_add_func ("/model/numbers-words/chart", test_chart);
  g_test_add_func ("/model/numbers-words/table", test_table);
  return g_test_run ();
}
