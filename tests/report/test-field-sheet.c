/* SPDX-License-Identifier: GPL-3.0-or-later
 * The sheet of field checks as PDF: every check on it once, in order, with its state; A4 and Letter. */
#include "config.h"

#include "bl-field-sheet-draw.h"

#include <glib/gstdio.h>
#include <string.h>

#include "../core/fixture-wiring.h"
#include "bl-report-page.h"

static BlFieldRow *
add_row (BlFieldGroup *group, guint number, const char *id, const char *title, const char *state)
{
  BlFieldRow *row = bl_field_group_add_row (group);

  row->number = number;
  row->id = g_strdup (id);
  row->title = g_strdup (title);
  row->probes = g_strdup ("red here; black there");
  row->expected = g_strdup ("1 – 2 V AC");
  row->unit = g_strdup ("V AC");
  row->notes = g_strdup ("mind the dog");
  row->state = g_strdup (state);
  return row;
}

static void
add_state (BlFieldSheet *sheet, const char *id, const char *title, gboolean live)
{
  BlFieldState *state = bl_field_sheet_add_state (sheet, id);

  state->title = g_strdup (title);
  state->how = g_strdup_printf ("how to enter %s", id);
  state->live = live;
  state->volts = live ? 325 : NAN;
}

/* n checks in two states, a question every third. */
static BlFieldSheet *
make_sheet (guint n)
{
  g_auto (Joined) joined = wiring_join (wiring_pair);
  BlFieldSheet *sheet = bl_field_sheet_new ();
  BlFieldGroup *group = NULL;

  sheet->equipment = g_strdup ("Two boxes");
  sheet->job = 412;
  sheet->customer = g_strdup ("Farm on the hill");
  sheet->printed = g_strdup ("2026-01-02");
  sheet->volts = 325;
  sheet->wiring = g_steal_pointer (&joined.wiring);
  add_state (sheet, "dark", "Isolated", FALSE);
  add_state (sheet, "bright", "Running", TRUE);
  for (guint i = 0; i < n; i++)
    {
      g_autofree char *id = g_strdup_printf ("CHK%03u", i + 1), *title = g_strdup_printf ("about thing %u", i + 1);
      if (i % 10 == 0)
        {
          group = bl_field_sheet_add_group (sheet, BL_SITE_CONDUCTOR);
          group->heading = g_strdup_printf ("Heading %u", i / 10);
          group->caution = g_strdup ("general caution");
        }
      BlFieldRow *row = add_row (group, i + 1, id, title, i % 5 < 2 ? "dark" : "bright");
      row->question = i % 3 == 0;
    }
  return sheet;
}

/* (transfer full); NULL: there is no program that reads it. */
static char *
text_of (GBytes *pdf, const char *page)
{
  g_autofree char *program = g_find_program_in_path ("pdftotext"), *name = NULL;
  g_autoptr (GError) error = NULL;
  char *text = NULL;
  gsize size;
  const char *data = g_bytes_get_data (pdf, &size);

  if (program == NULL)
    return NULL;
  int fd = g_file_open_tmp ("sheet-XXXXXX.pdf", &name, &error);
  g_assert_no_error (error);
  g_close (fd, NULL);
  g_file_set_contents (name, data, (gssize) size, &error);
  g_assert_no_error (error);
  const char *argv[] = { program, "-layout", "-f", page, "-l", page[0] == '1' ? "1" : "999", name, "-", NULL };
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
test_pages (void)
{
  static const guint sizes[] = { 1, 8, 70 };
  guint before = 0;

  for (guint i = 0; i < G_N_ELEMENTS (sizes); i++)
    {
      g_autoptr (BlFieldSheet) sheet = make_sheet (sizes[i]);
      guint a4 = bl_field_sheet_n_pages (sheet, BL_PAGE_WIDTH, BL_PAGE_HEIGHT);
      guint letter = bl_field_sheet_n_pages (sheet, BL_LETTER_WIDTH, BL_LETTER_HEIGHT);
      g_assert_cmpuint (a4, >=, MAX (before, 1));
      g_assert_cmpuint (letter, >=, a4);
      before = a4;
    }
  g_assert_cmpuint (before, >=, 5);
}

static void
test_text (gconstpointer letter)
{
  g_autoptr (BlFieldSheet) sheet = make_sheet (40);
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) pdf = bl_field_sheet_to_pdf (sheet, GPOINTER_TO_INT (letter), &error);
  const char *last = NULL;

  g_assert_no_error (error);
  g_autofree char *first = text_of (pdf, "1"), *rest = text_of (pdf, "2");
  if (first == NULL)
    {
      g_test_skip ("pdftotext is not installed");
      return;
    }
  g_autofree char *text = g_strconcat (first, rest, NULL);
  for (guint i = 0; i < 40; i++)
    {
      g_autofree char *id = g_strdup_printf ("CHK%03u", i + 1);
      const char *at = strstr (text, id);
      g_assert_cmpuint (count (text, id), ==, 1);
      g_assert_true (last == NULL || at > last);
      last = at;
    }
  g_assert_cmpuint (count (text, "not done"), >=, 40);
  /* Where the job is not known there is a line to write on; what is known stands there. */
  g_assert_nonnull (strstr (first, "Farm on the hill"));
  g_assert_nonnull (strstr (first, "checks done by"));
  g_assert_nonnull (strstr (first, "412"));
  g_assert_nonnull (strstr (first, "Up to 325 V when live."));
  g_assert_nonnull (strstr (first, "Local codes and licensed practice come first"));
  g_assert_nonnull (strstr (rest, "Local codes and licensed practice come first"));
  /* How a state is entered is said once, that one is in it again and again. */
  g_assert_cmpuint (count (text, "how to enter bright"), ==, 1);
  g_assert_cmpuint (count (text, "LIVE 325 V · Running"), >=, 8);
  /* The drawing is on the first page. */
  g_assert_nonnull (strstr (first, "wall feeds roof"));
}

/* What is dangerous goes by the limits of the shop, not by where one begins. */
static void
test_limits (void)
{
  g_autoptr (BlFieldSheet) sheet = make_sheet (4);
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) usual = bl_field_sheet_to_pdf (sheet, FALSE, &error), lax = NULL;
  g_autofree char *text = text_of (usual, "1"), *other = NULL;

  g_assert_no_error (error);
  if (text == NULL)
    {
      g_test_skip ("pdftotext is not installed");
      return;
    }
  g_assert_nonnull (strstr (text, "prove dead"));
  sheet->limits.shock_dc = 400;
  lax = bl_field_sheet_to_pdf (sheet, FALSE, &error);
  g_assert_no_error (error);
  other = text_of (lax, "1");
  g_assert_null (strstr (other, "prove dead"));
}

static double
page_height (GBytes *pdf)
{
  gsize size;
  const char *data = g_bytes_get_data (pdf, &size);
  const char *at = memmem (data, size, "/MediaBox [", strlen ("/MediaBox ["));
  double box[4] = { 0 };

  g_assert_nonnull (at);
  at += strlen ("/MediaBox [");
  for (guint i = 0; i < 4; i++)
    {
      char *end;
      box[i] = g_ascii_strtod (at, &end);
      at = end;
    }
  return box[3];
}

/* ISO 216 A4 is 210 x 297 mm; ANSI/ASME Y14.1 size A is 8.5 x 11 in (both from memory). */
static void
test_paper (void)
{
  g_autoptr (BlFieldSheet) sheet = make_sheet (3);
  g_autoptr (GBytes) a4 = bl_field_sheet_to_pdf (sheet, FALSE, NULL), letter = bl_field_sheet_to_pdf (sheet, TRUE, NULL);

  g_assert_cmpfloat_with_epsilon (page_height (a4), 297 / 25.4 * 72, 0.05);
  g_assert_cmpfloat_with_epsilon (page_height (letter), 11 * 72, 0.05);
}

/* A heading, and the bar of a state, never end a page: there is a check below them. */
static void
test_headings (void)
{
  for (guint n = 5; n < 50; n += 15)
    {
      g_autoptr (BlFieldSheet) sheet = make_sheet (n);
      g_autoptr (GBytes) pdf = bl_field_sheet_to_pdf (sheet, FALSE, NULL);
      g_autofree char *first = text_of (pdf, "1");
      if (first == NULL)
        {
          g_test_skip ("pdftotext is not installed");
          return;
        }
      const char *heading = g_strrstr (first, "Heading"), *check = g_strrstr (first, "CHK"),
                 *bar = g_strrstr (first, "Running");
      g_assert_true (heading == NULL || (check != NULL && check > heading));
      g_assert_true (bar == NULL || (check != NULL && check > bar));
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/field-sheet/pages", test_pages);
  g_test_add_func ("/field-sheet/limits", test_limits);
  g_test_add_data_func ("/field-sheet/text/a4", GINT_TO_POINTER (FALSE), test_text);
  g_test_add_data_func ("/field-sheet/text/letter", GINT_TO_POINTER (TRUE), test_text);
  g_test_add_func ("/field-sheet/paper", test_paper);
  g_test_add_func ("/field-sheet/headings", test_headings);
  return g_test_run ();
}
