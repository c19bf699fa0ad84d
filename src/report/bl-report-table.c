/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The tables of the report: readings with what each was judged by, parts tested and replaced, and
 * the bench log with its struck lines.
 *
 * The table of readings shows, per round, the last reading of each measurement, which is the one
 * that counts; earlier ones are in the log. So a repair shows as the same measurement in two
 * rounds. */
#include "config.h"

#include "bl-report-page.h"
#include "bl-ruler-draw.h"
#include "bl-shape-draw.h"

#include <glib/gi18n-lib.h>
#include <string.h>

/* Columns of the readings, points from the left edge. */
#define AT_TITLE 44.0
#define AT_EXPECTED_END 248.0
#define AT_RULER 258.0
#define RULER_WIDTH 116.0
#define AT_READING_END 424.0
#define AT_SHAPE 436.0
#define AT_WORD 445.0
#define TITLE_WIDTH 134.0
#define EXPECTED_WIDTH 70.0
#define READING_WIDTH 50.0
#define ROW 23.0 /* the least height of a row */

static void
draw_column_heads (BlPage *page)
{
  BlPageText style = { .size = 8, .colour = &page->palette->muted };

  bl_page_text_at (page, page->x, page->y, &style, _ ("point"));
  bl_page_text_at (page, page->x + AT_TITLE, page->y, &style, _ ("measurement, board state"));
  bl_page_text_at (page, page->x + AT_RULER, page->y, &style, _ ("band ruler"));
  bl_page_text_at (page, page->x + AT_WORD, page->y, &style, _ ("verdict"));
  style.align = PANGO_ALIGN_RIGHT;
  style.width = 90;
  bl_page_text_at (page, page->x + AT_EXPECTED_END - 90, page->y, &style, _ ("expected"));
  style.width = 50;
  bl_page_text_at (page, page->x + AT_READING_END - 50, page->y, &style, _ ("reading"));
  page->y += 13;
  bl_page_line (page, page->y, &page->palette->hairline, 0.6);
}

/* What was typed, with the unit where it was typed without. (transfer full) */
static char *
reading_text (const BlReportLine *line)
{
  const char *text = line->text != NULL ? line->text : "", *unit;
  gsize length = strlen (text);

  if (line->band == NULL || length == 0 || !g_ascii_isdigit (text[length - 1]))
    return g_strdup (text);
  unit = bl_measures_unit (line->band->measures);
  if (unit == NULL)
    return g_strdup (text);
  return g_strdup_printf ("%s %s", text,
                          g_str_equal (unit, "ohm")    ? "Ω"
                          : g_str_equal (unit, "degC") ? "°C"
                                                       : unit);
}

static void
draw_ruler (BlPage *page, const BlReportLine *line, double height)
{
  BlReading reading;
  gboolean readable = line->band != NULL && line->text != NULL &&
                      bl_reading_parse (line->text, line->band->measures, &reading, NULL);

  bl_ruler_draw (page->cr, line->band, NULL, NULL, BL_RULER_LANE_ONLY, page->x + AT_RULER, page->y,
                 RULER_WIDTH, height, page->palette);
  bl_ruler_draw (page->cr, line->band, readable ? &reading : NULL, line->verdict, BL_RULER_RAISED,
                 page->x + AT_RULER, page->y + (height - ROW) / 2 + 3, RULER_WIDTH, ROW - 6,
                 page->palette);
}

static const char *
point_of (const BlMeasurement *measurement, const BlReportLine *line)
{
  return measurement != NULL && measurement->at != NULL ? measurement->at : line->subject;
}

/* What stands in a row, worked out before it is drawn since it says how high the row is. */
typedef struct
{
  const BlReportLine *line;
  BlShape shape;
  gboolean deviates;
  const char *point;
  char *title, *below, *reading, *word;
  BlPageText title_style, below_style, word_style;
  double title_height, below_height, word_height, height;
} Row;

static void
row_clear (Row *row)
{
  g_free (row->title);
  g_free (row->below);
  g_free (row->reading);
  g_free (row->word);
}

static char *
row_title (const BlMeasurement *measurement, const BlReportLine *line)
{
  return g_strdup (measurement != NULL && measurement->title != NULL ? measurement->title
                                                                     : line->subject);
}

static char *
row_below (const BlBoard *board, const BlReportLine *line)
{
  const BlState *state =
      board != NULL && line->state != NULL ? bl_board_state (board, line->state) : NULL;
  const char *name = state != NULL && state->title != NULL ? state->title : line->state;

  /* Where the band comes from, after the state it was read in. */
  return g_strdup_printf ("%s%s%s%s", name != NULL ? name : "", line->unproven ? _ (" †") : "",
                          name != NULL && line->from != NULL ? " · " : "", line->from != NULL ? line->from : "");
}

static void
row_init (Row *row, BlPage *page, const BlReportLine *line)
{
  const BlBoard *board = page->report->board;
  const BlMeasurement *measurement =
      board != NULL ? bl_board_measurement (board, line->subject) : NULL;
  const BlPalette *palette = page->palette;

  *row = (Row){ .line = line, .shape = bl_shape_for_verdict (line->verdict, line->band) };
  row->deviates = row->shape != BL_SHAPE_IN_BAND && row->shape != BL_SHAPE_NOT_REACHED;
  row->point = point_of (measurement, line);
  row->title = row_title (measurement, line);
  row->below = row_below (board, line);
  row->reading = reading_text (line);
  row->word = bl_report_verdict_word (line->band, line->verdict);
  row->title_style = (BlPageText){ .size = 9, .width = TITLE_WIDTH };
  row->below_style = (BlPageText){ .size = 7.5, .width = TITLE_WIDTH, .colour = &palette->muted };
  row->word_style =
      (BlPageText){ .size = 9,
                    .width = page->w - AT_WORD,
                    .colour = bl_shape_colour (row->shape, palette),
                    .weight = row->deviates ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL };
  bl_page_measure (page, &row->title_style, row->title, NULL, &row->title_height);
  bl_page_measure (page, &row->below_style, row->below, NULL, &row->below_height);
  bl_page_measure (page, &row->word_style, row->word, NULL, &row->word_height);
  if (row->below[0] == '\0')
    row->below_height = 0;
  row->height = MAX (ROW, MAX (row->title_height + row->below_height, row->word_height) + 3);
}

static void
draw_row (BlPage *page, const Row *row)
{
  const BlReportLine *line = row->line;
  const BlPageText bold = { .size = 9, .weight = PANGO_WEIGHT_BOLD, .width = AT_TITLE - 3 };
  BlPageText right = { .size = 9.5, .align = PANGO_ALIGN_RIGHT, .width = EXPECTED_WIDTH };
  double middle = page->y + row->height / 2,
         top = middle - (row->title_height + row->below_height) / 2;

  draw_ruler (page, line, row->height);
  bl_page_text_at (page, page->x, top, &bold, row->point);
  bl_page_text_at (page, page->x + AT_TITLE, top, &row->title_style, row->title);
  bl_page_text_at (page, page->x + AT_TITLE, top + row->title_height, &row->below_style,
                   row->below);
  bl_page_text_at (page, page->x + AT_EXPECTED_END - right.width, middle - 6.5, &right,
                   line->expected);
  right.width = READING_WIDTH;
  right.weight = row->word_style.weight;
  bl_page_text_at (page, page->x + AT_READING_END - right.width, middle - 6.5, &right,
                   row->reading);
  if (line->band != NULL || row->shape == BL_SHAPE_NOT_REACHED)
    bl_shape_draw (page->cr, row->shape, page->x + AT_SHAPE, middle, 11, page->palette, FALSE);
  bl_page_text_at (page, page->x + AT_WORD, middle - row->word_height / 2, &row->word_style,
                   row->word);
  page->y += row->height;
}

/* A heading of a group of rows; the columns are named again on a new page. */
static void
need_row (BlPage *page, double height)
{
  if (bl_page_need (page, height))
    draw_column_heads (page);
}

/* Lines of READING that count, by round: the last of each measurement. (transfer container) */
static GPtrArray *
readings_of_round (const BlJobReport *report, guint from, guint to)
{
  GPtrArray *rows = g_ptr_array_new ();

  for (guint i = from; i < to; i++)
    {
      BlReportLine *line = bl_at (report->lines, i);
      if (line->kind != BL_REPORT_READING || line->struck || line->subject == NULL)
        continue;
      for (guint j = 0; j < rows->len; j++)
        if (g_str_equal (((BlReportLine *) bl_at (rows, j))->subject, line->subject))
          g_ptr_array_remove_index (rows, j--);
      g_ptr_array_add (rows, line);
    }
  return rows;
}

static int
place_in_document (const BlBoard *board, const char *id)
{
  for (guint i = 0; board != NULL && i < bl_len (board->measurements); i++)
    if (g_strcmp0 (((BlMeasurement *) bl_at (board->measurements, i))->id, id) == 0)
      return (int) i;
  return G_MAXINT;
}

static int
compare_rows (gconstpointer a, gconstpointer b, gpointer board)
{
  const BlReportLine *one = *(const BlReportLine *const *) a,
                     *two = *(const BlReportLine *const *) b;
  int x = place_in_document (board, one->subject), y = place_in_document (board, two->subject);

  return (x > y) - (x < y);
}

static void
draw_round (BlPage *page, guint round, const char *why, GPtrArray *rows)
{
  const BlPageText style = { .size = 9.5, .weight = PANGO_WEIGHT_BOLD };
  g_autofree char *title = why != NULL ? g_strdup_printf (_ ("Round %u: %s"), round, why)
                                       : g_strdup_printf (_ ("Round %u"), round);

  if (round > 1)
    {
      page->y += 6;
      need_row (page, 14 + ROW);
      page->y += bl_page_text_at (page, page->x, page->y, &style, title) + 2;
    }
  g_ptr_array_sort_with_data (rows, compare_rows, page->report->board);
  for (guint i = 0; i < rows->len; i++)
    {
      Row row;
      row_init (&row, page, bl_at (rows, i));
      need_row (page, row.height);
      draw_row (page, &row);
      row_clear (&row);
      bl_page_line (page, page->y, &page->palette->hairline, 0.3);
    }
}

/* What began a round, in words. (transfer full) */
static char *
round_reason (const BlReportLine *line)
{
  if (line->kind == BL_REPORT_ROUND)
    return g_strdup (line->text);
  return g_strdup_printf (_ ("%s replaced"), line->subject);
}

static gboolean
begins_round (const BlReportLine *line)
{
  return !line->struck && (line->kind == BL_REPORT_ROUND || line->kind == BL_REPORT_REPLACED);
}

static void
draw_notes_below (BlPage *page)
{
  const BlPageText small = { .size = 8, .colour = &page->palette->muted };
  g_autoptr (GHashTable) meters = g_hash_table_new (g_str_hash, g_str_equal);
  gboolean unproven = FALSE;

  page->y += 3;
  for (guint i = 0; i < bl_len (page->report->lines); i++)
    {
      const BlReportLine *line = bl_at (page->report->lines, i);
      if (line->kind != BL_REPORT_READING || line->struck)
        continue;
      unproven = unproven || line->unproven;
      if (line->meter != NULL && line->meter[0] != '\0' && g_hash_table_add (meters, line->meter))
        {
          g_autofree char *text = g_strdup_printf (
              _ ("Meter accuracy: %s (percent of reading + counts @ one count)."), line->meter);
          bl_page_paragraph (page, 0, &small, text);
        }
    }
  if (unproven)
    bl_page_paragraph (page, 0, &small, _ ("† taken in an unpowered state without proof of dead"));
}

void
bl_report_draw_readings (BlPage *page)
{
  const BlJobReport *report = page->report;
  const BlPageText text = { .size = 9.5 };
  g_autofree char *why = NULL;
  guint round = 1, from = 0, n = bl_len (report->lines), drawn = 0;

  bl_page_heading (page, _ ("Readings"), 13 + 2 * ROW);
  draw_column_heads (page);
  for (guint i = 0; i <= n; i++)
    {
      const BlReportLine *line = i < n ? bl_at (report->lines, i) : NULL;
      g_autoptr (GPtrArray) rows = NULL;
      if (line != NULL && !begins_round (line))
        continue;
      rows = readings_of_round (report, from, i);
      if (rows->len > 0)
        draw_round (page, round, why, rows);
      drawn += rows->len;
      from = i + 1;
      round++;
      g_clear_pointer (&why, g_free);
      why = line != NULL ? round_reason (line) : NULL;
    }
  if (drawn == 0)
    bl_page_paragraph (page, 0, &text, _ ("Nothing was measured yet."));
  else
    draw_notes_below (page);
}

/* --- parts --- */

void
bl_report_draw_parts (BlPage *page)
{
  const BlJobReport *report = page->report;
  const BlPageText text = { .size = 9.5 };
  gboolean headed = FALSE;

  for (guint i = 0; i < bl_len (report->lines); i++)
    {
      const BlReportLine *line = bl_at (report->lines, i);
      g_autofree char *time = NULL, *name = NULL, *row = NULL;
      if (line->struck || (line->kind != BL_REPORT_PART_TEST && line->kind != BL_REPORT_REPLACED))
        continue;
      if (!headed)
        bl_page_heading (page, _ ("Parts tested and replaced"), 16);
      headed = TRUE;
      time = bl_report_time (line->time);
      name = bl_report_component_name (report->board, line->subject != NULL ? line->subject : "");
      if (line->kind == BL_REPORT_PART_TEST)
        row = g_strdup_printf (_ ("%s   %s: tested %s"), time, name,
                               line->text != NULL ? line->text : "");
      else if (line->text != NULL && line->text[0] != '\0')
        row = g_strdup_printf (_ ("%s   %s: replaced by %s"), time, name, line->text);
      else
        row = g_strdup_printf (_ ("%s   %s: replaced"), time, name);
      bl_page_paragraph (page, 0, &text, row);
    }
}

/* --- log --- */

/* The cause may be what no part of the document is: "something else in 5 V rail". */
static char *
cause_words (const BlBoard *board, BlReportKind kind, const char *component, const char *mode)
{
  g_autofree char *name = bl_report_component_name (board, component);

  if (kind == BL_REPORT_NO_CAUSE)
    return g_strdup_printf (_ ("%s was not the cause"), name);
  return mode[0] != '\0' ? g_strdup_printf (_ ("%s confirmed as a cause: %s"), name, mode)
                         : g_strdup_printf (_ ("%s confirmed as a cause"), name);
}

static char *
line_words (const BlJobReport *report, const BlReportLine *line)
{
  const char *subject = line->subject != NULL ? line->subject : "",
             *text = line->text != NULL ? line->text : "";
  g_autofree char *more = NULL;
  const BlState *state;
  const BlSymptom *symptom;

  switch (line->kind)
    {
    case BL_REPORT_READING:
      more = bl_report_verdict_word (line->band, line->verdict);
      return g_strdup_printf (_ ("%s  %s  %s%s"), subject, text, more,
                              line->unproven ? _ (", taken without proof of dead") : "");
    case BL_REPORT_PART_TEST:
      return g_strdup_printf (_ ("%s tested %s"), subject, text);
    case BL_REPORT_REPLACED:
      return text[0] != '\0' ? g_strdup_printf (_ ("%s replaced by %s"), subject, text)
                             : g_strdup_printf (_ ("%s replaced"), subject);
    case BL_REPORT_ROUND:
      return g_strdup_printf (_ ("new round: %s"), text);
    case BL_REPORT_SYMPTOM:
      symptom = report->board != NULL ? bl_board_symptom (report->board, subject) : NULL;
      return g_strdup_printf (_ ("fault shown: %s: %s"),
                              symptom != NULL && symptom->title != NULL ? symptom->title : subject,
                              text);
    case BL_REPORT_STATE:
      state = report->board != NULL ? bl_board_state (report->board, subject) : NULL;
      return g_strdup_printf (_ ("state: %s"),
                              state != NULL && state->title != NULL ? state->title : subject);
    case BL_REPORT_PROOF:
      return g_strdup_printf (_ ("proof of dead taken %s"), text);
    case BL_REPORT_METER:
      return g_strdup_printf (_ ("meter: %s"), text);
    case BL_REPORT_MARK:
      return g_strdup_printf (_ ("mark on the photo: %s"), text);
    case BL_REPORT_CAUSE:
    case BL_REPORT_NO_CAUSE:
      return cause_words (report->board, line->kind, subject, text);
    case BL_REPORT_NOTE:
    default:
      return g_strdup (text);
    }
}

void
bl_report_draw_log (BlPage *page)
{
  const BlJobReport *report = page->report;
  const BlPageText small = { .size = 8.5, .colour = &page->palette->muted };

  if (bl_len (report->lines) == 0)
    return;
  bl_page_heading (page, _ ("Bench log"), 16);
  for (guint i = 0; i < bl_len (report->lines); i++)
    {
      const BlReportLine *line = bl_at (report->lines, i);
      const BlPageText text = { .size = 9, .struck = line->struck };
      g_autofree char *time = bl_report_time (line->time), *words = line_words (report, line);
      g_autofree char *reason =
          line->struck && line->struck_reason != NULL && line->struck_reason[0] != '\0'
              ? g_strdup_printf (_ ("struck: %s"), line->struck_reason)
              : g_strdup (line->struck ? _ ("struck") : NULL);
      bl_page_need (page, 13);
      bl_page_text_at (page, page->x, page->y + 0.4, &small, time);
      bl_page_paragraph (page, 86, &text, words);
      if (reason != NULL)
        bl_page_paragraph (page, 86, &small, reason);
    }
}
