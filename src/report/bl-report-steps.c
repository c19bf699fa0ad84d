/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How the odds went, entry by entry: a chart of the suspects that led at any time, then a row for each entry with what was
 * advised before it and who led after it. Some hundred steps; what was left out to save time is said. */
#include "config.h"

#include "bl-report-parts.h"

#include "bl-page-table.h"
#include "bl-report.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#define CHART 110.0
#define LINES 4
#define LABEL 150.0 /* room for the legend at the right */

/* --- chart --- */

/* The highest odds that a component, or elsewhere (G_MAXUINT), had after any step. */
static double
peak (const BlJobReport *report, guint component)
{
  double most = 0;

  for (guint i = 0; i < report->steps->len; i++)
    {
      const BlReportStep *step = bl_at (report->steps, i);
      most = MAX (most, component == G_MAXUINT ? step->elsewhere : step->odds[component]);
    }
  return most;
}

/* The components that led most at any time, at least 5 %; returns how many. */
static guint
leaders (const BlJobReport *report, guint *which)
{
  double peaks[LINES + 1];
  guint n = 0;

  for (guint i = 0; report->step_names[i] != NULL; i++)
    {
      double most = peak (report, i);
      guint at = n;
      if (!(most >= 0.05))
        continue;
      while (at > 0 && most > peaks[at - 1])
        at--;
      if (at >= LINES)
        continue;
      for (guint j = MIN (n, LINES - 1); j > at; j--)
        {
          which[j] = which[j - 1];
          peaks[j] = peaks[j - 1];
        }
      which[at] = i;
      peaks[at] = most;
      n = MIN (n + 1, LINES);
    }
  return n;
}

static double
odds_at (const BlJobReport *report, guint step, guint line, const guint *which, guint n)
{
  const BlReportStep *at = bl_at (report->steps, step);

  return CLAMP (line < n ? at->odds[which[line]] : at->elsewhere, 0, 1);
}

static void
draw_axes (BlPage *page, double w)
{
  BlPageText small = { .size = 7.5, .colour = &page->palette->muted };

  for (int i = 0; i <= 2; i++)
    {
      double y = page->y + CHART * i / 2;
      g_autofree char *words = g_strdup_printf (_ ("%d %%"), 100 - 50 * i);
      bl_set_source (page->cr, &page->palette->hairline);
      cairo_set_line_width (page->cr, 0.5);
      cairo_move_to (page->cr, page->x + 26, y);
      cairo_line_to (page->cr, page->x + 26 + w, y);
      cairo_stroke (page->cr);
      bl_page_text_at (page, page->x, y - 5, &small, words);
    }
}

/* A round begins where a part was replaced or a condition changed. */
static void
draw_rounds (BlPage *page, double w)
{
  const BlJobReport *report = page->report;
  const BlPageText small = { .size = 7.5, .colour = &page->palette->muted };
  guint round = 1;

  for (guint i = 0; i < report->steps->len; i++)
    {
      const BlReportStep *step = bl_at (report->steps, i);
      double x = page->x + 26 + w * (i + 0.5) / report->steps->len;
      g_autofree char *words = g_strdup_printf (_ ("round %u"), step->round);
      if (step->round == round)
        continue;
      round = step->round;
      bl_set_source (page->cr, &page->palette->edge);
      cairo_set_line_width (page->cr, 0.6);
      cairo_move_to (page->cr, x, page->y);
      cairo_line_to (page->cr, x, page->y + CHART);
      cairo_stroke (page->cr);
      bl_page_text_at (page, x + 2, page->y + CHART + 1, &small, words);
    }
}

static void
set_stroke (BlPage *page, guint line, gboolean elsewhere)
{
  static const double dashes[LINES + 1][4] = { { 0 }, { 6, 2 }, { 2, 2 }, { 8, 2, 2, 2 }, { 1, 3 } };
  static const int n_dashes[LINES + 1] = { 0, 2, 2, 4, 2 };
  guint which = elsewhere ? LINES : line;

  bl_set_source (page->cr, elsewhere ? &page->palette->muted : &page->palette->ink);
  cairo_set_line_width (page->cr, line == 0 && !elsewhere ? 1.8 : 1);
  cairo_set_dash (page->cr, dashes[which], n_dashes[which], 0);
}

/* What a line is, beside the chart: its stroke, its name, its highest odds and the last. */
static void
draw_legend (BlPage *page, double x, guint line, const char *name, double most, double last, gboolean elsewhere)
{
  const BlPageText style = { .size = 8, .width = LABEL - 34, .one_line = TRUE };
  const BlPageText small = { .size = 7.5, .colour = &page->palette->muted, .width = LABEL - 34, .one_line = TRUE };
  double y = page->y + line * 21;
  g_autofree char *peak_words = bl_report_odds (most), *last_words = bl_report_odds (last);
  g_autofree char *words = g_strdup_printf (_ ("at most %s, at the end %s"), peak_words, last_words);

  cairo_new_path (page->cr);
  cairo_move_to (page->cr, x, y + 5);
  cairo_line_to (page->cr, x + 24, y + 5);
  set_stroke (page, line, elsewhere);
  cairo_stroke (page->cr);
  cairo_set_dash (page->cr, NULL, 0, 0);
  bl_page_text_at (page, x + 30, y, &style, name);
  bl_page_text_at (page, x + 30, y + 9.5, &small, words);
}

static void
draw_chart (BlPage *page)
{
  const BlJobReport *report = page->report;
  const double w = page->w - 26 - LABEL;
  guint which[LINES], n = leaders (report, which), last = report->steps->len - 1;

  bl_page_need (page, CHART + 18);
  page->y += 6;
  draw_axes (page, w);
  draw_rounds (page, w);
  for (guint line = 0; line <= n; line++)
    {
      gboolean elsewhere = line == n;
      g_autofree char *name = elsewhere ? g_strdup (_ ("elsewhere"))
                                        : bl_report_component_name (report->board, report->step_names[which[line]]);
      cairo_new_path (page->cr);
      for (guint i = 0; i <= last; i++)
        cairo_line_to (page->cr, page->x + 26 + w * (i + 0.5) / report->steps->len,
                       page->y + CHART * (1 - odds_at (report, i, line, which, n)));
      set_stroke (page, line, elsewhere);
      cairo_stroke (page->cr);
      cairo_set_dash (page->cr, NULL, 0, 0);
      draw_legend (page, page->x + 26 + w + 10, line, name, peak (report, elsewhere ? G_MAXUINT : which[line]),
                   odds_at (report, last, line, which, n), elsewhere);
    }
  page->y += CHART + 16;
}

/* --- table --- */

static char *
entry_words (const BlJobReport *report, const BlEntry *entry)
{
  const char *text = entry->text != NULL ? entry->text : "", *subject = entry->subject != NULL ? entry->subject : "";
  g_autofree char *typed = bl_report_typed (text);
  const BlSymptom *symptom;

  switch (entry->kind)
    {
    case BL_ENTRY_READING:
      return g_strdup_printf ("%s  %s", subject, typed);
    case BL_ENTRY_PART_TEST:
      return g_strdup_printf (_ ("%s tested %s"), subject, text);
    case BL_ENTRY_REPLACED:
      return g_strdup_printf (_ ("%s replaced"), subject);
    case BL_ENTRY_SYMPTOM:
      symptom = bl_board_symptom (report->board, subject);
      return g_strdup_printf ("%s: %s", symptom != NULL && symptom->title != NULL ? symptom->title : subject,
                              g_str_equal (text, "no") ? _ ("no") : _ ("yes"));
    case BL_ENTRY_ROUND:
    default:
      return g_strdup_printf (_ ("new round: %s"), text);
    }
}

static char *
advice_words (const BlReportStep *step)
{
  if (step->advised == NULL)
    return g_strdup ("");
  if (step->rank == 1)
    return g_strdup (_ ("taken"));
  if (step->rank == 0)
    return g_strdup_printf ("%s", step->advised);
  return g_strdup_printf (_ ("%s (%u.)"), step->advised, step->rank);
}

static void
draw_step (BlPage *page, guint i)
{
  const BlJobReport *report = page->report;
  const BlReportStep *step = bl_at (report->steps, i);
  g_autofree char *number = g_strdup_printf ("%u", i + 1), *entry = entry_words (report, bl_at (report->entries, step->entry));
  g_autofree char *advice = advice_words (step), *elsewhere = bl_report_odds (step->elsewhere);
  g_autofree char *remaining = bl_report_odds (step->remaining);
  g_autoptr (GString) lead = g_string_new (NULL);
  double below = INFINITY;
  guint last = G_MAXUINT;

  for (guint n = 0; n < 2; n++)
    {
      guint best = G_MAXUINT;
      for (guint j = 0; report->step_names[j] != NULL; j++)
        if (j != last && step->odds[j] <= below && (best == G_MAXUINT || step->odds[j] > step->odds[best]))
          best = j;
      if (best == G_MAXUINT || step->odds[best] < 0.01)
        break;
      g_autofree char *odds = bl_report_odds (step->odds[best]);
      g_string_append_printf (lead, "%s%s %s", n > 0 ? ",  " : "", report->step_names[best], odds);
      below = step->odds[best];
      last = best;
    }
  const BlTableCell cells[] = { { number, 0, &page->palette->muted, FALSE }, { entry, 0, NULL, FALSE },
                                { advice, 0, &page->palette->muted, FALSE }, { lead->str, 0, NULL, FALSE },
                                { elsewhere, 0, NULL, FALSE },               { remaining, 0, NULL, FALSE } };
  bl_table_row (page, cells, NULL, NULL);
}

/* How often the advice was taken, and how often something else was more telling. */
static void
draw_way (BlPage *page)
{
  const BlJobReport *report = page->report;
  const BlPageText text = { .size = 9.5 }, small = { .size = 8.5, .colour = &page->palette->muted };
  guint advised = 0, taken = 0;
  g_autofree char *words = NULL;

  for (guint i = 0; i < report->steps->len; i++)
    {
      const BlReportStep *step = bl_at (report->steps, i);
      advised += step->advised != NULL;
      taken += step->rank == 1;
    }
  words = g_strdup_printf (ngettext ("Of %u reading before which something was advised, %u took the advice.",
                                     "Of %u readings before which something was advised, %u took the advice.", advised),
                           advised, taken);
  if (advised > 0)
    {
      bl_page_paragraph (page, 0, &text, words);
      bl_page_paragraph (page, 0, &small, _ ("In brackets: the place that the reading taken had in the advice. Another order may have "
                                            "its reasons; the advice knows nothing of a lead that is clipped on already."));
    }
  if (report->advice_left_out > 0)
    {
      g_autofree char *without
        = g_strdup_printf (ngettext ("Before %u reading no advice was worked out: after so many others that takes too long.",
                                     "Before %u readings no advice was worked out: after so many others that takes too long.",
                                     report->advice_left_out),
                           report->advice_left_out);
      bl_page_paragraph (page, 0, &text, without);
    }
  if (report->steps_left_out > 0)
    {
      g_autofree char *left = g_strdup_printf (ngettext ("%u entry at the end is left out here, to save time.",
                                                         "%u entries at the end are left out here, to save time.",
                                                         report->steps_left_out),
                                               report->steps_left_out);
      bl_page_paragraph (page, 0, &text, left);
    }
}

void
bl_report_draw_steps (BlPage *page)
{
  const BlJobReport *report = page->report;
  const BlTableColumn columns[] = { { "", 0.05, PANGO_ALIGN_RIGHT },
                                    { _ ("entry"), 0.27, PANGO_ALIGN_LEFT },
                                    { _ ("advised before it"), 0.2, PANGO_ALIGN_LEFT },
                                    { _ ("leading after it"), 0.28, PANGO_ALIGN_LEFT },
                                    { _ ("elsewhere"), 0.1, PANGO_ALIGN_RIGHT },
                                    { _ ("still wrong"), 0.1, PANGO_ALIGN_RIGHT } };
  gboolean chart = report->steps->len > 1; /* of one step there is no course to see */

  if (report->steps->len == 0)
    return;
  bl_page_heading (page, _ ("Odds at each step"), chart ? CHART + 30 : 36);
  if (chart)
    draw_chart (page);
  draw_way (page);
  page->y += 4;
  bl_table_begin (page, columns, G_N_ELEMENTS (columns), 18);
  for (guint i = 0; i < report->steps->len; i++)
    draw_step (page, i);
  bl_table_end (page);
}
