/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The page of somebody's practice: one page on either paper however much there is, nothing beyond its margins, and what
 * does not fit is told. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-practice-paper.h"

#include "bl-field-sheet-draw.h"
#include "bl-report-page.h"

#include <cairo.h>
#include <glib/gstdio.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define TODAY 739950 /* a day of the year 2026 */

static void
add (BlPracticeResults *results, BlPractisedKind kind, guint days_ago, const char *section, const char *family,
     gboolean right)
{
  BlPractised practised = { kind, TODAY - days_ago, section, family, right, !right && days_ago % 3 == 0, 12, 100 };

  bl_practice_results_add (results, &practised, NULL);
}

static void
add_drill (BlPracticeResults *results, guint i)
{
  BlResultsDrill *drill = g_new0 (BlResultsDrill, 1);

  drill->ended = G_GINT64_CONSTANT (1772442000000000) - i * G_GINT64_CONSTANT (86400000000);
  drill->board = g_strdup ("RB-17, edition C");
  drill->fault = g_strdup_printf ("K%u contact does not close", i);
  drill->named = i % 4 == 0 ? NULL : g_strdup ("K1, inrush thermistor and bypass relay");
  drill->right = i % 2 == 0;
  drill->failed = i % 5 == 1;
  drill->n_measured = 5;
  drill->n_right = 4;
  drill->regret_s = 12;
  drill->effort_s = 100;
  g_ptr_array_add (results->drills, drill);
}

/* n: about so much of everything. */
static BlPracticeResults *
make_results (guint n)
{
  BlPracticeResults *results = bl_practice_results_new ("ab", TODAY);

  for (guint i = 0; i < n; i++)
    {
      g_autofree char *section = g_strdup_printf ("section kind %u", i % 20), *family = g_strdup_printf ("family %u", i % 15);
      add (results, BL_PRACTISED_WAY, i % 300, section, NULL, i % 3 != 0);
      add (results, BL_PRACTISED_READS, i % 200, section, NULL, i % 2 == 0);
      add (results, BL_PRACTISED_DRILL, i % 250, section, family, i % 4 != 0);
      add_drill (results, i);
      BlResultsDue *due = g_new0 (BlResultsDue, 1);
      due->what = g_strdup_printf ("Find your way: section kind %u", i);
      due->due = TODAY - i;
      g_ptr_array_add (results->due, due);
    }
  bl_practice_results_finish (results);
  return results;
}

/* (transfer full); NULL: there is no program that reads it. */
static char *
text_of (GBytes *pdf)
{
  g_autofree char *program = g_find_program_in_path ("pdftotext"), *name = NULL;
  g_autoptr (GError) error = NULL;
  char *text = NULL;
  gsize size;
  const char *data = g_bytes_get_data (pdf, &size);

  if (program == NULL)
    return NULL;
  int fd = g_file_open_tmp ("practice-XXXXXX.pdf", &name, &error);
  g_assert_no_error (error);
  g_close (fd, NULL);
  g_file_set_contents (name, data, (gssize) size, &error);
  g_assert_no_error (error);
  const char *argv[] = { program, "-layout", name, "-", NULL };
  g_spawn_sync (NULL, (char **) argv, NULL, G_SPAWN_DEFAULT, NULL, NULL, &text, NULL, NULL, &error);
  g_assert_no_error (error);
  remove (name);
  return text;
}

static guint
count (const char *text, const char *word)
{
  guint n = 0;

  for (const char *at = strstr (text, word); at != NULL; at = strstr (at + 1, word))
    n++;
  return n;
}

static void
test_one_page (void)
{
  static const guint sizes[] = { 0, 1, 12, 400 };

  for (guint i = 0; i < G_N_ELEMENTS (sizes); i++)
    for (int letter = 0; letter < 2; letter++)
      {
        g_autoptr (BlPracticeResults) results = make_results (sizes[i]);
        double width = letter ? BL_LETTER_WIDTH : BL_PAGE_WIDTH, height = letter ? BL_LETTER_HEIGHT : BL_PAGE_HEIGHT;
        double x, y, w, h;
        cairo_surface_t *surface = cairo_recording_surface_create (CAIRO_CONTENT_COLOR_ALPHA, NULL);
        cairo_t *cr = cairo_create (surface);
        bl_practice_paper_draw (results, cr, width, height);
        cairo_recording_surface_ink_extents (surface, &x, &y, &w, &h);
        g_test_message ("%u: %g %g, %g %g of %g %g", sizes[i], x, y, w, h, width, height);
        g_assert_cmpfloat (x, >=, 36);
        g_assert_cmpfloat (y, >=, 36);
        g_assert_cmpfloat (x + w, <=, width - 36);
        g_assert_cmpfloat (y + h, <=, height - 18);
        cairo_destroy (cr);
        cairo_surface_destroy (surface);
      }
}

static void
test_text (gconstpointer letter)
{
  g_autoptr (BlPracticeResults) results = make_results (400);
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) pdf = bl_practice_paper_to_pdf (results, GPOINTER_TO_INT (letter), &error);

  g_assert_no_error (error);
  g_autofree char *text = text_of (pdf);
  if (text == NULL)
    {
      g_test_skip ("pdftotext is not installed");
      return;
    }
  g_assert_cmpuint (count (text, "\f"), ==, 1); /* ends every page */
  g_assert_nonnull (strstr (text, "Practice: ab"));
  g_assert_nonnull (strstr (text, "300 of 400")); /* drills right: every fourth was not */
  g_assert_nonnull (strstr (text, "12 %"));
  g_assert_nonnull (strstr (text, "and 12 more"));  /* kinds of sections: 20 less 8 */
  g_assert_nonnull (strstr (text, "and 394 more")); /* due: 400 less 6 */
  g_assert_nonnull (strstr (text, "How fast somebody is is not counted"));
  g_assert_cmpuint (count (text, "contact does"), >=, 1);
  g_assert_nonnull (strstr (text, "cases"));
  /* Where there is room for more than one drill: the part first, the rest of what is long on lines below. */
  g_autoptr (BlPracticeResults) few = make_results (5);
  g_autoptr (GBytes) sheet = bl_practice_paper_to_pdf (few, GPOINTER_TO_INT (letter), &error);
  g_assert_no_error (error);
  g_autofree char *wrapped = text_of (sheet);
  g_assert_nonnull (strstr (wrapped, "K1, inrush"));
  g_assert_cmpuint (count (wrapped, "bypass"), >=, 3);
}

static void
test_file (void)
{
  g_autoptr (BlPracticeResults) results = make_results (12);
  g_autofree char *folder = g_dir_make_tmp ("practice-XXXXXX", NULL), *path = g_build_filename (folder, "ab.pdf", NULL);
  g_autofree char *nowhere = g_build_filename (folder, "no", "ab.pdf", NULL), *content = NULL;
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_practice_paper_write_pdf (results, FALSE, path, &error));
  g_assert_no_error (error);
  g_assert_true (g_file_get_contents (path, &content, NULL, NULL));
  g_assert_true (g_str_has_prefix (content, "%PDF-"));
  g_assert_false (bl_practice_paper_write_pdf (results, FALSE, nowhere, &error));
  g_assert_nonnull (error);
  g_remove (path);
  g_rmdir (folder);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/report/practice-paper/one-page", test_one_page);
  g_test_add_data_func ("/report/practice-paper/text-a4", GINT_TO_POINTER (0), test_text);
  g_test_add_data_func ("/report/practice-paper/text-letter", GINT_TO_POINTER (1), test_text);
  g_test_add_func ("/report/practice-paper/file", test_file);
  return g_test_run ();
}
