/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The end of the customer's report: what was not tested, what the shop says of warranty and returns, and where the two
 * sides sign. */
#include "config.h"

#include "bl-report-parts.h"

#include "bl-places.h"
#include "bl-report-choice.h"

#include <glib/gi18n-lib.h>
#include <string.h>

/* --- not tested --- */

static const char *
title_of (const BlBoard *board, const BlReportLine *line)
{
  const BlMeasurement *measurement = bl_board_measurement (board, line->subject);

  return measurement != NULL && measurement->title != NULL ? measurement->title : line->subject;
}

static void
add_name (GString *list, const char *name)
{
  g_autofree char *isolated = bl_report_isolate (name);

  g_string_append_printf (list, "%s%s", list->len > 0 ? ", " : "", isolated);
}

static void
draw_unread (BlPage *page)
{
  const BlJobReport *report = page->report;
  g_autoptr (GPtrArray) sections = bl_report_unread_sections (report), unproven = bl_report_unproven (report);
  g_autoptr (GString) list = g_string_new (NULL);
  g_autofree char *words = NULL, *again = NULL;

  for (guint i = 0; i < sections->len; i++)
    {
      const BlSection *section = bl_at (sections, i);
      g_autofree char *role = report->equipment != NULL ? bl_place_role (section->id) : NULL;
      const char *title = section->title != NULL ? section->title : bl_report_short_id (section->id);
      g_autofree char *name = role != NULL ? g_strdup_printf (_ ("%s of the board “%s”"), title, role) : g_strdup (title);
      add_name (list, name);
    }
  words = g_strdup_printf (_ ("Nothing was measured in: %s."), list->str);
  if (sections->len > 0)
    bl_report_draw_point (page, &page->palette->muted, words);
  g_string_truncate (list, 0);
  for (guint i = 0; i < unproven->len; i++)
    add_name (list, title_of (report->board, bl_at (unproven, i)));
  again = g_strdup_printf (_ ("Not measured again after the repair, or not in the same condition: %s."), list->str);
  if (unproven->len > 0)
    bl_report_draw_point (page, &page->palette->high, again);
}

static gboolean
was_done (const BlJobReport *report, const char *what)
{
  g_autoptr (GPtrArray) tests = bl_report_tests (report, what);
  guint n = 0;

  for (guint i = 0; i < tests->len; i++)
    {
      const BlReportLine *line = bl_at (tests, i);
      gboolean begun = line->text != NULL && g_str_has_prefix (line->text, "begin ");
      n += g_str_equal (what, "safety") ? line->verdict != NULL && line->verdict->evidence
                                              && !g_str_equal (line->subject, "safety:visual")
                                        : !begun; /* a soak that was not ended tells nothing */
    }
  return n > 0;
}

void
bl_report_draw_untested (BlPage *page)
{
  const BlJobReport *report = page->report;
  const struct
  {
    const char *what, *words;
  } tests[] = {
    { "functional", _ ("Whether the unit does all that it should: no functional test is noted.") },
    { "soak", _ ("How it runs for a longer time: no soak is noted.") },
    { "safety", _ ("Electrical safety: no test with limits is noted. Whoever installs it has to make one where the local code "
                   "asks for it.") },
  };

  bl_page_heading (page, _ ("What was not tested"), 28);
  if (report->board != NULL)
    draw_unread (page);
  for (guint i = 0; i < G_N_ELEMENTS (tests); i++)
    if (!was_done (report, tests[i].what))
      bl_report_draw_point (page, &page->palette->muted, tests[i].words);
  bl_report_draw_point (page, &page->palette->muted,
                        report->equipment != NULL
                            ? _ ("Everything outside this equipment: the supply of the building, its wiring, what is connected.")
                            : _ ("Everything outside this board: the rest of the unit, the wiring, the supply of the building."));
}

/* --- the end --- */

static void
draw_signatures (BlPage *page)
{
  const BlPageText small = { .size = 8.5, .colour = &page->palette->muted };
  const char *const words[] = { _ ("for the workshop: place, date, signature"), _ ("received: place, date, signature") };
  double w = (page->w - 28) / 2;

  bl_page_space (page, 8);
  bl_page_need (page, 52);
  page->y += 34;
  for (guint i = 0; i < G_N_ELEMENTS (words); i++)
    {
      double x = page->x + i * (w + 28);
      bl_set_source (page->cr, &page->palette->ink);
      cairo_set_line_width (page->cr, 0.6);
      cairo_move_to (page->cr, x, page->y);
      cairo_line_to (page->cr, x + w, page->y);
      cairo_stroke (page->cr);
      bl_page_text_at (page, x, page->y + 2, &small, words[i]);
    }
  page->y += 16;
}

void
bl_report_draw_end (BlPage *page)
{
  const BlPageText text = { .size = 9 };

  if (page->report->shop_warranty != NULL)
    {
      bl_page_heading (page, _ ("Warranty and returns"), bl_page_first_lines (page, 0, &text, page->report->shop_warranty));
      bl_page_paragraph (page, 0, &text, page->report->shop_warranty);
    }
  draw_signatures (page);
}
