/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of readings with what each was judged by: every one, struck ones marked so, by place in an equipment, then in
 * the document's order, then in order of time. A round begins a new part of the table, so a repair shows as the same
 * measurement in two of them. Rows have the ruler of the bench, all lanes in one stripe. Some hundred rows. */
#include "config.h"

#include "bl-report-parts.h"

#include "bl-page-table.h"
#include "bl-places.h"
#include "bl-report.h"
#include "bl-ruler-draw.h"
#include "bl-shape-draw.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#define ROW 23.0    /* the least height of a row */
#define RULER 15.0  /* height of the ruler in it */

enum
{
  POINT,
  TITLE,
  EXPECTED,
  RULERS,
  READING,
  SHAPE,
  VERDICT,
  N_COLUMNS
};

/* --- a row --- */

static void
paint (BlPage *page, double y, double h, gpointer data)
{
  const BlReportLine *line = data;
  BlShape shape = bl_shape_for_verdict (line->verdict, line->band);
  BlReading reading;
  gboolean readable = !line->struck && line->band != NULL && line->text != NULL
                      && bl_reading_parse (line->text, line->band->measures, &reading, NULL);
  double x, w;

  bl_table_place (page, RULERS, &x, &w);
  bl_ruler_draw (page->cr, line->band, NULL, NULL, BL_RULER_LANE_ONLY, x, y, w, h, page->palette);
  bl_ruler_draw (page->cr, line->band, readable ? &reading : NULL, line->struck ? NULL : line->verdict, BL_RULER_RAISED, x,
                 y + (ROW - RULER) / 2 - 2, w, RULER, page->palette);
  bl_table_place (page, SHAPE, &x, &w);
  if (!line->struck && (line->band != NULL || shape == BL_SHAPE_NOT_REACHED))
    bl_shape_draw (page->cr, shape, x + 5.5, y + 9, 11, page->palette, FALSE);
}

/* State, and where the band comes from. (transfer full) */
static char *
below_title (const BlJobReport *report, const BlReportLine *line)
{
  g_autofree char *state = bl_report_state_name (report->board, line->state), *told = bl_report_isolate (line->told_by);
  g_autoptr (GString) words = g_string_new (state);

  if (line->unproven)
    g_string_append (words, _ (" †"));
  if (line->from != NULL)
    g_string_append_printf (words, "%s%s", words->len > 0 ? " · " : "", line->from);
  if (line->told_by != NULL)
    {
      g_string_append (words, words->len > 0 ? " · " : "");
      g_string_append_printf (words, _ ("told by %s"), told);
    }
  return g_string_free (g_steal_pointer (&words), FALSE);
}

static char *
verdict_words (const BlReportLine *line)
{
  g_autofree char *reason = NULL;

  if (!line->struck)
    return bl_report_verdict_word (line->band, line->verdict);
  reason = bl_report_isolate (line->struck_reason);
  return reason[0] != '\0' ? g_strdup_printf (_ ("struck: %s"), reason) : g_strdup (_ ("struck"));
}

static void
draw_row (BlPage *page, const BlReportLine *line)
{
  const BlJobReport *report = page->report;
  const BlMeasurement *measurement = report->board != NULL ? bl_board_measurement (report->board, line->subject) : NULL;
  const char *point = measurement != NULL && measurement->at != NULL ? measurement->at : line->subject;
  BlShape shape = bl_shape_for_verdict (line->verdict, line->band);
  gboolean deviates = !line->struck && shape != BL_SHAPE_IN_BAND && shape != BL_SHAPE_NOT_REACHED;
  PangoWeight weight = deviates ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL;
  const BlColour *ink = line->struck ? &page->palette->muted : NULL;
  g_autofree char *below = below_title (report, line), *expected = bl_report_expected (line);
  g_autofree char *reading = bl_report_reading (line), *word = verdict_words (line);
  const BlTableCell cells[N_COLUMNS] = {
    [POINT] = { report->equipment != NULL ? bl_report_short_id (point) : point, PANGO_WEIGHT_BOLD, ink, FALSE },
    [TITLE] = { measurement != NULL && measurement->title != NULL ? measurement->title : line->subject, 0, ink, FALSE,
                below },
    [EXPECTED] = { expected, 0, ink, FALSE },
    [READING] = { reading, weight, ink, line->struck },
    [VERDICT] = { word, weight, line->struck ? ink : bl_shape_colour (shape, page->palette), FALSE },
  };

  bl_table_row (page, cells, paint, (gpointer) line);
}

/* --- rounds and places --- */

static int
place_in_document (const BlBoard *board, const char *id)
{
  for (guint i = 0; board != NULL && i < bl_len (board->measurements); i++)
    if (g_strcmp0 (((BlMeasurement *) bl_at (board->measurements, i))->id, id) == 0)
      return (int) i;
  return G_MAXINT;
}

static int
compare_lines (gconstpointer a, gconstpointer b, gpointer report)
{
  const BlReportLine *one = *(const BlReportLine *const *) a, *two = *(const BlReportLine *const *) b;
  const BlBoard *board = ((const BlJobReport *) report)->board;
  int x = place_in_document (board, one->subject), y = place_in_document (board, two->subject);

  if (((const BlJobReport *) report)->equipment != NULL)
    {
      g_autofree char *from = bl_place_role (one->subject), *to = bl_place_role (two->subject);
      int order = g_strcmp0 (from, to);
      if (order != 0)
        return order;
    }
  return (x > y) - (x < y);
}

static void
draw_title (BlPage *page, const char *words, double size)
{
  const BlPageText style = { .size = size, .weight = PANGO_WEIGHT_BOLD };
  double height = bl_page_first_lines (page, 0, &style, words);

  bl_page_space (page, 5);
  bl_page_need (page, height + ROW + 8);
  bl_page_paragraph (page, 0, &style, words);
  page->y += 2;
}

static void
draw_place (BlPage *page, const char *subject, char **shown)
{
  g_autofree char *role = bl_place_role (subject);
  const char *key = role != NULL ? role : "";
  g_autofree char *words = role != NULL ? g_strdup_printf (_ ("Board %s"), role) : g_strdup (_ ("Between the boards"));

  if (g_strcmp0 (*shown, key) == 0)
    return;
  g_free (*shown);
  *shown = g_strdup (key);
  draw_title (page, words, 9);
}

static void
draw_round (BlPage *page, guint round, const char *why, GPtrArray *lines)
{
  g_autofree char *title = why != NULL ? g_strdup_printf (_ ("Round %u: %s"), round, why)
                                       : g_strdup_printf (_ ("Round %u"), round);
  g_autofree char *shown = NULL;

  if (round > 1)
    draw_title (page, title, 10);
  g_ptr_array_sort_with_data (lines, compare_lines, (gpointer) page->report);
  for (guint i = 0; i < lines->len; i++)
    {
      const BlReportLine *line = bl_at (lines, i);
      if (page->report->equipment != NULL)
        draw_place (page, line->subject, &shown);
      draw_row (page, line);
    }
}

/* What began a round, in words. (transfer full) */
static char *
round_reason (const BlReportLine *line)
{
  g_autofree char *condition = NULL;

  if (line->kind == BL_REPORT_REPLACED)
    return g_strdup_printf (_ ("%s replaced"), line->subject != NULL ? line->subject : "");
  condition = bl_report_isolate (line->text);
  return g_steal_pointer (&condition);
}

static gboolean
begins_round (const BlReportLine *line)
{
  return !line->struck && (line->kind == BL_REPORT_ROUND || line->kind == BL_REPORT_REPLACED);
}

static GPtrArray *
readings_between (const BlJobReport *report, guint from, guint to)
{
  GPtrArray *lines = g_ptr_array_new ();

  for (guint i = from; i < to; i++)
    {
      BlReportLine *line = bl_at (report->lines, i);
      if (line->kind == BL_REPORT_READING && line->subject != NULL)
        g_ptr_array_add (lines, line);
    }
  return lines;
}

static void
draw_note_below (BlPage *page)
{
  const BlPageText small = { .size = 8, .colour = &page->palette->muted };

  for (guint i = 0; i < page->report->lines->len; i++)
    {
      const BlReportLine *line = bl_at (page->report->lines, i);
      if (line->kind != BL_REPORT_READING || !line->unproven || line->struck)
        continue;
      page->y += 3;
      bl_page_paragraph (page, 0, &small, _ ("† taken in an unpowered state without proof of dead"));
      return;
    }
}

static gboolean
has_readings (const BlJobReport *report)
{
  for (guint i = 0; i < report->lines->len; i++)
    if (((const BlReportLine *) bl_at (report->lines, i))->kind == BL_REPORT_READING)
      return TRUE;
  return FALSE;
}

void
bl_report_draw_readings (BlPage *page)
{
  const BlJobReport *report = page->report;
  const BlPageText text = { .size = 9.5 };
  const BlTableColumn columns[N_COLUMNS] = {
    [POINT] = { _ ("point"), 0.10, PANGO_ALIGN_LEFT },       [TITLE] = { _ ("measurement, board state"), 0.27, PANGO_ALIGN_LEFT },
    [EXPECTED] = { _ ("expected"), 0.14, PANGO_ALIGN_RIGHT }, [RULERS] = { _ ("band ruler"), 0.21, PANGO_ALIGN_LEFT },
    [READING] = { _ ("reading"), 0.11, PANGO_ALIGN_RIGHT },   [SHAPE] = { "", 0.035, PANGO_ALIGN_LEFT },
    [VERDICT] = { _ ("verdict"), 0.135, PANGO_ALIGN_LEFT },
  };
  g_autofree char *why = NULL;
  guint round = 1, from = 0, n = bl_len (report->lines);

  bl_page_heading (page, _ ("Readings"), 14 + 2 * ROW);
  if (!has_readings (report))
    {
      bl_page_paragraph (page, 0, &text, _ ("Nothing was measured yet."));
      return;
    }
  bl_table_begin (page, columns, N_COLUMNS, ROW);
  for (guint i = 0; i <= n; i++)
    {
      const BlReportLine *line = i < n ? bl_at (report->lines, i) : NULL;
      g_autoptr (GPtrArray) lines = NULL;
      if (line != NULL && !begins_round (line))
        continue;
      lines = readings_between (report, from, i);
      if (lines->len > 0)
        draw_round (page, round, why, lines);
      from = i + 1;
      round++;
      g_clear_pointer (&why, g_free);
      why = line != NULL ? round_reason (line) : NULL;
    }
  bl_table_end (page);
  draw_note_below (page);
}
