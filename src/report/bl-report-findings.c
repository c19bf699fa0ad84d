/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was found, for the shop: causes confirmed, the likely failed stage, suspects with their odds. Odds are said to be
 * odds; nothing here calls a board good. */
#include "config.h"

#include "bl-report-parts.h"

#include "bl-places.h"
#include "bl-report-choice.h"
#include "bl-report.h"
#include "bl-shape-draw.h"

#include <glib/gi18n-lib.h>

#define SUSPECTS 6


/* TRUE when there is a reading and every one that counts is in band. */
static gboolean
all_in_band (const BlJobReport *report)
{
  guint n = 0;

  for (guint i = 0; i < bl_len (report->lines); i++)
    {
      const BlReportLine *line = bl_at (report->lines, i);
      if (line->kind != BL_REPORT_READING || line->struck || line->verdict == NULL ||
          !line->verdict->evidence)
        continue;
      if (bl_shape_for_verdict (line->verdict, line->band) != BL_SHAPE_IN_BAND)
        return FALSE;
      n++;
    }
  return n > 0;
}

static void
draw_suspect (BlPage *page, const BlOdd *odd)
{
  const BlJobReport *report = page->report;
  BlPageText text = { .size = 10, .weight = PANGO_WEIGHT_BOLD, .one_line = TRUE }, small = { .size = 9, .one_line = TRUE };
  const BlPageText right = { .size = 10,
                             .weight = PANGO_WEIGHT_BOLD,
                             .align = PANGO_ALIGN_RIGHT,
                             .width = 44 };
  g_autofree char *name = bl_report_component_name (report->board, odd->id);
  g_autofree char *odds = bl_report_odds (odd->probability);
  const BlOdd *mode = bl_len (odd->modes) > 0 ? bl_at (odd->modes, 0) : NULL;
  const double bar_x = page->x + page->w - 150, bar_w = 100;
  double width;

  for (guint i = 1; i < bl_len (odd->modes); i++)
    if (((const BlOdd *) bl_at (odd->modes, i))->probability > mode->probability)
      mode = bl_at (odd->modes, i);
  bl_page_need (page, 15);
  bl_page_measure (page, &text, name, &width, NULL);
  width = text.width = MIN (width + 1, (bar_x - page->x) * 0.7);
  small.width = bar_x - page->x - width - 16;
  bl_page_text_at (page, page->x, page->y, &text, name);
  if (mode != NULL)
    bl_page_text_at (page, page->x + width + 8, page->y + 0.8, &small,
                     bl_report_class_word (mode->id));
  bl_set_source (page->cr, &page->palette->track);
  cairo_rectangle (page->cr, bar_x, page->y + 3.5, bar_w, 6);
  cairo_fill (page->cr);
  bl_set_source (page->cr, &page->palette->ink);
  cairo_rectangle (page->cr, bar_x, page->y + 3.5, bar_w * CLAMP (odd->probability, 0, 1), 6);
  cairo_fill (page->cr);
  bl_page_text_at (page, page->x + page->w - 44, page->y, &right, odds);
  page->y += 15;
}

static void
draw_likely (BlPage *page, const BlDiagnosis *diagnosis)
{
  const BlJobReport *report = page->report;
  const BlOdd *stage = bl_diagnosis_find (diagnosis->stages, diagnosis->likely_stage);
  g_autofree char *name = bl_report_stage_name (report->board, diagnosis->likely_stage);
  g_autofree char *odds = bl_report_odds (stage != NULL ? stage->probability : NAN);
  g_autofree char *text = g_strdup_printf (diagnosis->unproven ? _ ("not read since the repair; if it is not cured: %s, %s")
                                                               : _ ("likely failed stage: %s, %s"),
                                           name, odds);
  const BlPageText style = { .size = 12,
                             .weight = PANGO_WEIGHT_BOLD,
                             .colour = &page->palette->likely_ink };
  double width, height;

  bl_page_measure (page, &style, text, &width, &height);
  bl_page_need (page, height + 8);
  bl_set_source (page->cr, &page->palette->likely);
  cairo_rectangle (page->cr, page->x, page->y, MIN (width + 16, page->w), height + 6);
  cairo_fill (page->cr);
  bl_page_text_at (page, page->x + 8, page->y + 3, &style, text);
  page->y += height + 12;
}

static void
draw_suspects (BlPage *page, const BlDiagnosis *diagnosis)
{
  const BlPageText text = { .size = 9.5 };
  g_autofree char *elsewhere = bl_report_odds (diagnosis->elsewhere);
  g_autofree char *line = g_strdup_printf (page->report->equipment != NULL ? _ ("not in this equipment at all: %s")
                                                                           : _ ("not on this board at all: %s"),
                                           elsewhere);
  g_autofree char *remaining = bl_report_odds (diagnosis->remaining);
  g_autofree char *left = g_strdup_printf (_ ("something is still wrong: %s"), remaining);

  for (guint i = 0; i < bl_len (diagnosis->components) && i < SUSPECTS; i++)
    {
      const BlOdd *odd = bl_at (diagnosis->components, i);
      if (odd->probability >= 0.01)
        draw_suspect (page, odd);
    }
  bl_page_paragraph (page, 0, &text, line);
  bl_page_paragraph (page, 0, &text, left);
  if (diagnosis->fitted && !diagnosis->explained)
    bl_page_paragraph (
        page, 0, &text,
        _ ("The readings do not agree with any one or two faults of this board: one of them may be "
           "wrong, or the board has a fault that is not documented."));
}

/* On which board of an equipment, or between which. */
static void
draw_places (BlPage *page, const BlPlaces *places)
{
  const BlPageText text = { .size = 9.5, .weight = PANGO_WEIGHT_BOLD }, row = { .size = 9.5 };
  g_autofree char *words = bl_places_words (places);
  g_autoptr (GString) list = g_string_new (NULL);

  bl_page_paragraph (page, 0, &text, words);
  for (guint i = 0; i < places->places->len; i++)
    {
      const BlFaultPlace *place = bl_at (places->places, i);
      g_autofree char *name = bl_place_words (place), *odds = bl_report_odds (place->probability);
      g_string_append_printf (list, "%s%s %s", i > 0 ? ",  " : "", name, odds);
    }
  bl_page_paragraph (page, 0, &row, list->str);
}

static void
draw_causes (BlPage *page)
{
  g_autoptr (GPtrArray) causes = bl_report_causes (page->report);
  const BlPageText text = { .size = 10, .weight = PANGO_WEIGHT_BOLD };

  for (guint i = 0; i < causes->len; i++)
    {
      const BlReportLine *cause = bl_at (causes, i);
      g_autofree char *name = bl_report_component_name (page->report->board, cause->subject);
      g_autofree char *words = cause->text != NULL && cause->text[0] != '\0'
                                   ? g_strdup_printf (_ ("Confirmed cause: %s, %s"), name, cause->text)
                                   : g_strdup_printf (_ ("Confirmed cause: %s"), name);
      bl_page_paragraph (page, 0, &text, words);
    }
}

void
bl_report_draw_findings (BlPage *page)
{
  const BlJobReport *report = page->report;
  const BlDiagnosis *diagnosis = report->diagnosis;
  const BlPageText text = { .size = 9.5 }, small = { .size = 8.5, .colour = &page->palette->muted };

  bl_page_heading (page, _ ("What was found"), 40);
  draw_causes (page);
  if (all_in_band (report))
    bl_page_paragraph (
        page, 0, &text,
        _ ("Every reading taken is in band. That is no proof of a board without fault: a fault may "
           "leave "
           "no trace on what was read, come only when wet, hot or shaken, or lie elsewhere."));
  if (diagnosis == NULL)
    {
      bl_page_paragraph (page, 0, &text, _ ("There are no odds for this job."));
      if (report->trouble != NULL)
        bl_page_paragraph (page, 0, &small, report->trouble);
      return;
    }
  if (diagnosis->places != NULL)
    draw_places (page, diagnosis->places);
  if (diagnosis->likely_stage != NULL)
    draw_likely (page, diagnosis);
  else
    bl_page_paragraph (page, 0, &text,
                       _ ("More likely than any stage of this board: a fault elsewhere."));
  draw_suspects (page, diagnosis);
  if (report->repairs > 0)
    {
      g_autofree char *history = g_strdup_printf (
          report->equipment != NULL
              ? ngettext ("How often parts fail takes %u other repair of this equipment into account, as known when "
                          "this was printed; the readings stand as they were judged when taken.",
                          "How often parts fail takes %u other repairs of this equipment into account, as known when "
                          "this was printed; the readings stand as they were judged when taken.",
                          report->repairs)
              : ngettext ("How often parts fail takes %u other repair of this edition into account, as known when "
                          "this was printed; the readings stand as they were judged when taken.",
                          "How often parts fail takes %u other repairs of this edition into account, as known when "
                          "this was printed; the readings stand as they were judged when taken.",
                          report->repairs),
          report->repairs);
      bl_page_paragraph (page, 0, &small, history);
    }
  bl_page_paragraph (page, 0, &small,
                     _ ("Odds are computed from the readings and from how often parts fail. They "
                        "are no proof; the part "
                        "is tested before it is blamed."));
}
