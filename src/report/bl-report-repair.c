/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was done to the board: parts tested and replaced with old, new and why, and the tests after the repair with their
 * limits. Struck lines are in the log alone. */
#include "config.h"

#include "bl-report-parts.h"

#include "bl-page-table.h"
#include "bl-report-choice.h"
#include "bl-report.h"
#include "bl-shape-draw.h"

#include <glib/gi18n-lib.h>
#include <string.h>

/* --- parts --- */

static gboolean
has_kind (const BlJobReport *report, BlReportKind kind)
{
  for (guint i = 0; i < bl_len (report->lines); i++)
    {
      const BlReportLine *line = bl_at (report->lines, i);
      if (line->kind == kind && !line->struck)
        return TRUE;
    }
  return FALSE;
}

static char *
part_name (const BlJobReport *report, const BlReportLine *line)
{
  const char *subject = line->subject != NULL ? line->subject : "";
  const BlComponent *component = report->board != NULL ? bl_board_component (report->board, subject) : NULL;
  const char *plain = component != NULL ? bl_report_plain_kind (component->kind) : NULL;

  if (report->audience == BL_REPORT_FOR_SHOP || plain == NULL)
    return bl_report_component_name (report->board, subject);
  return g_strdup_printf (_ ("%s: %s"), bl_report_short_id (subject), plain);
}

static void
draw_replaced (BlPage *page)
{
  const BlJobReport *report = page->report;
  const BlTableColumn columns[] = { { _ ("part"), 0.34, PANGO_ALIGN_LEFT },
                                    { _ ("taken out"), 0.17, PANGO_ALIGN_LEFT },
                                    { _ ("put in"), 0.17, PANGO_ALIGN_LEFT },
                                    { _ ("why"), 0.32, PANGO_ALIGN_LEFT } };

  bl_table_begin (page, columns, G_N_ELEMENTS (columns), 18);
  for (guint i = 0; i < report->lines->len; i++)
    {
      const BlReportLine *line = bl_at (report->lines, i);
      const BlComponent *component;
      g_autofree char *name = NULL;
      if (line->kind != BL_REPORT_REPLACED || line->struck)
        continue;
      component = report->board != NULL && line->subject != NULL ? bl_board_component (report->board, line->subject) : NULL;
      name = part_name (report, line);
      const BlTableCell cells[] = {
        { name, PANGO_WEIGHT_BOLD, NULL, FALSE },
        { line->old != NULL ? line->old : component != NULL ? component->value : NULL, 0, NULL, FALSE },
        { line->text != NULL && line->text[0] != '\0' ? line->text : _ ("the same kind"), 0, NULL, FALSE },
        { line->why, 0, NULL, FALSE },
      };
      bl_table_row (page, cells, NULL, NULL);
    }
  bl_table_end (page);
}

static void
draw_tested_parts (BlPage *page)
{
  const BlJobReport *report = page->report;
  const BlPageText text = { .size = 9.5 };

  for (guint i = 0; i < report->lines->len; i++)
    {
      const BlReportLine *line = bl_at (report->lines, i);
      g_autofree char *time = NULL, *name = NULL, *row = NULL, *mode = NULL;
      if (line->struck || line->kind != BL_REPORT_PART_TEST)
        continue;
      time = bl_report_time (line->time);
      name = bl_report_component_name (report->board, line->subject != NULL ? line->subject : "");
      mode = bl_report_isolate (line->text);
      row = g_strdup_printf (_ ("%s   %s: tested %s"), time, name, mode);
      bl_page_paragraph (page, 0, &text, row);
    }
}

void
bl_report_draw_parts (BlPage *page)
{
  const BlJobReport *report = page->report;
  gboolean replaced = has_kind (report, BL_REPORT_REPLACED), tested = has_kind (report, BL_REPORT_PART_TEST);

  if (!replaced && !tested)
    return;
  bl_page_heading (page, _ ("Parts tested and replaced"), 36);
  if (replaced)
    draw_replaced (page);
  bl_page_space (page, 4);
  if (tested)
    draw_tested_parts (page);
}

void
bl_report_draw_done (BlPage *page)
{
  const BlPageText text = { .size = 9.5 };

  bl_page_heading (page, _ ("What was done"), 36);
  if (has_kind (page->report, BL_REPORT_REPLACED))
    draw_replaced (page);
  else
    bl_page_paragraph (page, 0, &text,
                       page->report->gone_on != NULL ? _ ("In this job no part was replaced.") : _ ("No part was replaced."));
}

/* --- tests --- */

/* Tests that the bench knows by name; others are the shop's own words. */
static const struct
{
  const char *subject, *words;
} test_words[] = {
  { "safety:class", N_ ("class of protection") },
  { "safety:contact current", N_ ("current when touched") },
  { "safety:cord", N_ ("length of the cord, m") },
  { "safety:heater", N_ ("heating elements") },
  { "safety:insulation", N_ ("insulation resistance") },
  { "safety:protective conductor", N_ ("resistance of the protective conductor") },
  { "safety:protective conductor current", N_ ("current in the protective conductor") },
  { "safety:visual", N_ ("cord, plug and housing whole and closed") },
  { "soak", N_ ("run for some time (soak)") },
};

/* (transfer full) */
static char *
test_name (const BlReportLine *line)
{
  const char *colon = strchr (line->subject, ':');

  for (guint i = 0; i < G_N_ELEMENTS (test_words); i++)
    if (g_str_equal (test_words[i].subject, line->subject))
      return g_strdup (_ (test_words[i].words));
  return g_strdup (colon != NULL && colon[1] != '\0' ? colon + 1 : line->subject);
}

/* What was found in a soak, which the log keeps as "begin 30 min" and "end 31 min; words". (transfer full) */
static char *
soak_found (const BlReportLine *line)
{
  const char *text = line->text != NULL ? line->text : "", *more = strstr (text, "; ");
  gboolean begun = g_str_has_prefix (text, "begin ");
  guint minutes = (guint) MIN (g_ascii_strtoull (text + (begun ? strlen ("begin ") : strlen ("end ")), NULL, 10), G_MAXINT);

  if (begun)
    return g_strdup_printf (ngettext ("begun for %u minute, not ended", "begun for %u minutes, not ended", minutes), minutes);
  if (!g_str_has_prefix (text, "end "))
    return g_strdup (text);
  if (more == NULL)
    return g_strdup_printf (ngettext ("%u minute", "%u minutes", minutes), minutes);
  /* Translators: how long a soak lasted, and what was seen */
  return g_strdup_printf (ngettext ("%u minute; %s", "%u minutes; %s", minutes), minutes, more + strlen ("; "));
}

static char *
found_words (const BlReportLine *line)
{
  if (g_str_equal (line->subject, "soak"))
    return soak_found (line);
  return bl_report_reading (line);
}

static void
paint_shape (BlPage *page, double y, double h, gpointer data)
{
  const BlReportLine *line = data;
  double x, w;

  bl_table_place (page, 3, &x, &w);
  if (line->verdict != NULL)
    bl_shape_draw (page->cr, bl_shape_for_verdict (line->verdict, line->band), x - 9, y + MIN (h, 18) / 2, 11, page->palette,
                   FALSE);
}

static void
draw_test (BlPage *page, const BlReportLine *line)
{
  gboolean check = line->band != NULL && line->band->measures == BL_MEASURES_CHECK;
  g_autofree char *name = test_name (line), *limit = check ? g_strdup ("") : bl_report_expected (line);
  g_autofree char *read = found_words (line);
  g_autofree char *word = line->verdict != NULL ? bl_report_verdict_word (line->band, line->verdict) : g_strdup ("");
  g_autofree char *with_source = line->from != NULL && line->from[0] != '\0'
                                     ? g_strdup_printf ("%s\n%s", limit, line->from)
                                     : g_strdup (limit);
  BlShape shape = bl_shape_for_verdict (line->verdict, line->band);
  gboolean deviates = line->verdict != NULL && shape != BL_SHAPE_IN_BAND;
  const BlTableCell cells[] = {
    { name, 0, NULL, FALSE },
    { with_source, 0, NULL, FALSE },
    { read, deviates ? PANGO_WEIGHT_BOLD : 0, NULL, FALSE },
    { word, deviates ? PANGO_WEIGHT_BOLD : 0, line->verdict != NULL ? bl_shape_colour (shape, page->palette) : NULL,
      FALSE },
  };

  bl_table_row (page, cells, paint_shape, (gpointer) line);
}

/* A fault that was shown before the repair, and whether it still is. */
static void
draw_symptom (BlPage *page, const BlReportLine *line)
{
  const BlSymptom *symptom = bl_board_symptom (page->report->board, line->subject);
  gboolean yes = bl_report_said_yes (line);
  BlShape shape = yes ? BL_SHAPE_HIGH : BL_SHAPE_IN_BAND;
  g_autofree char *name = g_strdup_printf (_ ("fault shown before: %s"), symptom->title != NULL ? symptom->title : symptom->id);
  const BlTableCell cells[] = {
    { name, 0, NULL, FALSE },
    { NULL, 0, NULL, FALSE },
    { yes ? _ ("it still shows") : _ ("it no longer shows"), yes ? PANGO_WEIGHT_BOLD : 0, NULL, FALSE },
    { bl_report_class_word (yes ? "deviates" : "as expected"), yes ? PANGO_WEIGHT_BOLD : 0,
      bl_shape_colour (shape, page->palette), FALSE },
  };

  bl_table_row (page, cells, NULL, NULL);
}

void
bl_report_draw_tests (BlPage *page)
{
  g_autoptr (GPtrArray) tests = bl_report_tests (page->report, NULL);
  g_autoptr (GPtrArray) symptoms = bl_report_symptoms_after (page->report);
  const BlTableColumn columns[] = { { _ ("test"), 0.29, PANGO_ALIGN_LEFT },
                                    { _ ("limit, and where it is from"), 0.33, PANGO_ALIGN_LEFT },
                                    { _ ("found"), 0.22, PANGO_ALIGN_LEFT },
                                    { _ ("verdict"), 0.16, PANGO_ALIGN_LEFT } };

  if (tests->len + symptoms->len == 0)
    return;
  bl_page_heading (page, _ ("Tested after the repair"), 40);
  bl_table_begin (page, columns, G_N_ELEMENTS (columns), 18);
  for (guint i = 0; i < symptoms->len; i++)
    draw_symptom (page, bl_at (symptoms, i));
  for (guint i = 0; i < tests->len; i++)
    draw_test (page, bl_at (tests, i));
  bl_table_end (page);
}
