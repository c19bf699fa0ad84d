/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The few readings that tell the story, before the repair and after it, each on the ruler that the bench has. */
#include "config.h"

#include "bl-report-parts.h"

#include "bl-page-table.h"
#include "bl-report-choice.h"
#include "bl-report.h"
#include "bl-ruler-draw.h"
#include "bl-shape-draw.h"

#include <glib/gi18n-lib.h>

#define MOST 6
#define RULER 13.0
#define ROW 37.0

static void
draw_side (BlPage *page, guint column, double y, const BlReportLine *line)
{
  const BlPageText small = { .size = 8.5, .colour = &page->palette->muted };
  BlPageText text = { .size = 9 };
  g_autofree char *read = NULL, *word = NULL;
  BlReading reading;
  gboolean readable;
  BlShape shape;
  double x, w, read_w;

  bl_table_place (page, column, &x, &w);
  if (line == NULL)
    {
      bl_page_text_at (page, x, y + RULER + 7, &small, _ ("not read"));
      return;
    }
  readable = line->band != NULL && line->text != NULL
             && bl_reading_parse (line->text, line->band->measures, &reading, NULL);
  bl_ruler_draw (page->cr, line->band, readable ? &reading : NULL, line->verdict, BL_RULER_RAISED, x, y + 5, w, RULER,
                 page->palette);
  read = bl_report_reading (line);
  word = bl_report_verdict_word (line->band, line->verdict);
  shape = bl_shape_for_verdict (line->verdict, line->band);
  text.weight = bl_report_deviates (line) ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL;
  text.one_line = TRUE;
  text.width = w * 0.45;
  bl_page_measure (page, &text, read, &read_w, NULL);
  bl_page_text_at (page, x, y + RULER + 8, &text, read);
  read_w = MIN (read_w, w * 0.45);
  bl_shape_draw (page->cr, shape, x + read_w + 13, y + RULER + 14, 11, page->palette, FALSE);
  text.colour = bl_shape_colour (shape, page->palette);
  text.width = w - read_w - 22;
  bl_page_text_at (page, x + read_w + 22, y + RULER + 8, &text, word);
}

static void
draw_pair (BlPage *page, const BlReportPair *pair, gboolean repaired)
{
  const BlReportLine *any = pair->before != NULL ? pair->before : pair->after;
  const BlBoard *board = page->report->board;
  const BlMeasurement *measurement = bl_board_measurement (board, any->subject);
  const char *title = measurement != NULL && measurement->title != NULL ? measurement->title : any->subject;
  g_autofree char *should = bl_report_expected (any);
  BlPageText style = { .size = 9.5 };
  double x, title_h, height;

  bl_table_place (page, 0, &x, &style.width);
  bl_page_measure (page, &style, title, NULL, &title_h);
  height = MAX (ROW, title_h + 6);
  bl_page_need (page, height);
  bl_page_text_at (page, x, page->y + 4, &style, title);
  bl_table_place (page, 1, &x, &style.width);
  bl_page_text_at (page, x, page->y + 4, &style, should);
  draw_side (page, 2, page->y, pair->before);
  if (repaired)
    draw_side (page, 3, page->y, pair->after);
  page->y += height;
  bl_page_line (page, page->y, &page->palette->hairline, 0.3);
}

void
bl_report_draw_pairs (BlPage *page)
{
  g_autoptr (GPtrArray) pairs = bl_report_pairs (page->report, MOST);
  const BlPageText small = { .size = 8.5, .colour = &page->palette->muted };
  gboolean repaired = FALSE;
  BlTableColumn columns[] = { { _ ("measured"), 0.26, PANGO_ALIGN_LEFT },
                              { _ ("should be"), 0.16, PANGO_ALIGN_LEFT },
                              { _ ("before the repair"), 0.29, PANGO_ALIGN_LEFT },
                              { _ ("after the repair"), 0.29, PANGO_ALIGN_LEFT } };

  if (pairs->len == 0)
    return;
  for (guint i = 0; i < pairs->len; i++)
    repaired = repaired || ((const BlReportPair *) bl_at (pairs, i))->repair != G_MAXUINT;
  if (!repaired)
    {
      columns[2].head = _ ("as it was read");
      columns[3].head = "";
    }
  bl_page_heading (page, repaired ? _ ("Before and after") : _ ("What was measured"), 14 + ROW);
  bl_table_begin (page, columns, G_N_ELEMENTS (columns), ROW);
  for (guint i = 0; i < pairs->len; i++)
    draw_pair (page, bl_at (pairs, i), repaired);
  bl_table_end (page);
  page->y += 3;
  bl_page_paragraph (page, 0, &small,
                     _ ("The needle is what was read, the light strip is where it should be. A few of the readings; the "
                        "workshop keeps all."));
}
