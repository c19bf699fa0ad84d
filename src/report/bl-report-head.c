/* SPDX-License-Identifier: GPL-3.0-or-later */
/* First things of the report: whose job it is, what was found, and the cautions for whoever opens
 * the equipment next. Odds are said to be odds; nothing here calls a board good. */
#include "config.h"

#include "bl-report-page.h"
#include "bl-shape-draw.h"

#include <glib/gi18n-lib.h>

#define LABEL_WIDTH 92.0
#define SUSPECTS 6
/* DC; a usual limit of extra-low voltage (common practice, no source) */
#define SHOCK_LIMIT_V 60.0

static void
draw_field (BlPage *page, const char *label, const char *value)
{
  const BlPageText small = { .size = 9, .colour = &page->palette->muted };
  const BlPageText text = { .size = 10, .width = page->w - LABEL_WIDTH };
  double height;

  if (value == NULL || value[0] == '\0')
    return;
  bl_page_measure (page, &text, value, NULL, &height);
  bl_page_need (page, height);
  bl_page_text_at (page, page->x, page->y + 0.8, &small, label);
  page->y += bl_page_text_at (page, page->x + LABEL_WIDTH, page->y, &text, value) + 1.5;
}

static char *
board_title (const BlBoard *board)
{
  const char *parts[] = { board->maker, board->model, board->board_number };
  GString *title = g_string_new (NULL);

  for (guint i = 0; i < G_N_ELEMENTS (parts); i++)
    if (parts[i] != NULL && parts[i][0] != '\0')
      g_string_append_printf (title, "%s%s", title->len > 0 ? ", " : "", parts[i]);
  return g_string_free (title, FALSE);
}

void
bl_report_draw_head (BlPage *page)
{
  const BlJobReport *report = page->report;
  BlPageText style = { .size = 22, .weight = PANGO_WEIGHT_HEAVY, .width = page->w };
  g_autofree char *title = g_strdup_printf (_ ("Job %d"), report->number);
  g_autofree char *created = bl_report_time (report->created);
  g_autofree char *printed =
      bl_report_time (report->printed != 0 ? report->printed : g_get_real_time ());
  g_autofree char *printed_text = g_strdup_printf (_ ("printed %s"), printed);
  g_autofree char *board = report->board != NULL ? board_title (report->board) : NULL;
  double height = bl_page_text_at (page, page->x, page->y, &style, title);

  style = (BlPageText){ .size = 9,
                        .colour = &page->palette->muted,
                        .align = PANGO_ALIGN_RIGHT,
                        .width = page->w };
  bl_page_text_at (page, page->x, page->y + height - 15, &style, printed_text);
  page->y += height + 4;
  draw_field (page, _ ("Customer"), report->customer);
  draw_field (page, _ ("Unit"), report->unit);
  draw_field (page, _ ("Board"), board);
  if (report->board != NULL)
    draw_field (page, _ ("Edition"), report->board->edition);
  draw_field (page, _ ("Serial"), report->serial);
  draw_field (page, _ ("Complaint"), report->complaint);
  draw_field (page, _ ("Received"), report->created != 0 ? created : NULL);
  draw_field (page, _ ("State of the job"), report->closed ? _ ("closed") : _ ("open"));
  draw_field (page, _ ("Cause found"), report->cause);
}

/* --- findings --- */

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
  const BlPageText text = { .size = 10, .weight = PANGO_WEIGHT_BOLD }, small = { .size = 9 };
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
  bl_page_text_at (page, page->x, page->y, &text, name);
  bl_page_measure (page, &text, name, &width, NULL);
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
  g_autofree char *line = g_strdup_printf (_ ("not on this board at all: %s"), elsewhere);

  for (guint i = 0; i < bl_len (diagnosis->components) && i < SUSPECTS; i++)
    {
      const BlOdd *odd = bl_at (diagnosis->components, i);
      if (odd->probability >= 0.01)
        draw_suspect (page, odd);
    }
  bl_page_paragraph (page, 0, &text, line);
  if (diagnosis->fitted && !diagnosis->explained)
    bl_page_paragraph (
        page, 0, &text,
        _ ("The readings do not agree with any one or two faults of this board: one of them may be "
           "wrong, or the board has a fault that is not documented."));
}

void
bl_report_draw_findings (BlPage *page)
{
  const BlJobReport *report = page->report;
  const BlDiagnosis *diagnosis = report->diagnosis;
  const BlPageText text = { .size = 9.5 }, small = { .size = 8.5, .colour = &page->palette->muted };

  bl_page_heading (page, _ ("What was found"), 40);
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
  if (diagnosis->likely_stage != NULL)
    draw_likely (page, diagnosis);
  else
    bl_page_paragraph (page, 0, &text,
                       _ ("More likely than any stage of this board: a fault elsewhere."));
  draw_suspects (page, diagnosis);
  if (report->repairs > 0)
    {
      g_autofree char *history = g_strdup_printf (
          ngettext ("How often parts fail takes %u other repair of this edition into account, as known when "
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

/* --- cautions --- */

/* Highest voltage of any live state; INFINITY when a live state does not say. */
static double
highest_voltage (const BlBoard *board)
{
  double volts = 0;

  for (guint i = 0; board != NULL && i < bl_len (board->states); i++)
    {
      const BlState *state = bl_at (board->states, i);
      if (state->live != 0) /* not said: taken for live */
        volts = MAX (volts, isnan (state->volts) ? INFINITY : state->volts);
    }
  return board != NULL && bl_len (board->states) > 0 ? volts : INFINITY;
}

static void
draw_caution (BlPage *page, const char *text)
{
  const BlPageText style = { .size = 9 };
  double y = page->y;

  bl_page_need (page, 24);
  y = page->y;
  bl_set_source (page->cr, &page->palette->high);
  cairo_rectangle (page->cr, page->x, y + 3, 6, 6);
  cairo_fill (page->cr);
  bl_page_paragraph (page, 14, &style, text);
  page->y += 2;
}

void
bl_report_draw_cautions (BlPage *page)
{
  double volts = highest_voltage (page->report->board);

  bl_page_heading (page, _ ("Cautions"), 30);
  if (volts > SHOCK_LIMIT_V)
    {
      g_autofree char *level =
          isfinite (volts)
              ? g_strdup_printf (_ ("This board carries up to %.0f V when live."), volts)
              : g_strdup (_ ("This board may carry mains when live."));
      g_autofree char *first = g_strdup_printf ("%s %s", level,
                                                _ ("Mains and the bulk capacitor can kill, the "
                                                   "capacitor also minutes after switch-off."));
      draw_caution (page, first);
      draw_caution (page, _ ("Before it is touched: isolate, discharge the bulk capacitor through "
                             "a resistor, prove dead on a "
                             "known source, at the point, and on the known source again."));
      draw_caution (page, _ ("Before power is applied again after a repair on the mains side: "
                             "resistance of the DC bus, "
                             "current-limited supply, discharge."));
    }
  draw_caution (page, _ ("Local codes and licensed practice come first. Work on mains is for "
                         "qualified people. This "
                         "report replaces none of the tests they ask for."));
}
