/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The page of somebody's practice: figures of everything, the weeks as columns, by kind of section and by fault family,
 * what is due, and the latest drills as far down as the paper goes. Counts and not per cent, for most of them are small;
 * black and white copies lose nothing. One page whatever there is: lists have a most, and say how many more there are. */
#include "config.h"

#include "bl-practice-paper.h"

#include <cairo-pdf.h>
#include <gio/gio.h>
#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-field-sheet-draw.h"
#include "bl-report-page.h"

#define MARGIN 42.0
#define FOOT 40.0
#define LINE 13.5
#define MOST_ROWS 8 /* of a table; more kinds and families than that are not known */
#define MOST_DUE 6
#define WEEKS 26
#define CHART_H 46.0
#define COLUMNS 7

typedef struct
{
  const BlPracticeResults *results;
  BlPage page;
} Paper;

static double
put (Paper *self, double x, double y, double width, double size, gboolean bold, const BlColour *colour, PangoAlignment align,
     const char *text)
{
  const BlPageText style = { .size = size, .weight = bold ? PANGO_WEIGHT_BOLD : 0, .colour = colour, .width = width,
                             .align = align, .one_line = TRUE };

  return bl_page_text_at (&self->page, x, y, &style, text);
}

static void
put_line (Paper *self, double size, gboolean bold, const BlColour *colour, const char *text)
{
  self->page.y += put (self, self->page.x, self->page.y, self->page.w, size, bold, colour, PANGO_ALIGN_LEFT, text);
}

static void
put_heading (Paper *self, const char *text)
{
  self->page.y += 11;
  bl_page_line (&self->page, self->page.y, &self->page.palette->edge, 0.8);
  self->page.y += 4;
  put_line (self, 11, TRUE, NULL, text);
  self->page.y += 2;
}

/* Lines that fit above the foot. */
static guint
lines_left (const Paper *self)
{
  return (guint) MAX (0, floor ((self->page.bottom - self->page.y) / LINE));
}

static void
put_more (Paper *self, guint n)
{
  g_autofree char *text = g_strdup_printf (ngettext ("and %u more", "and %u more", n), n);

  put_line (self, 8.5, FALSE, &self->page.palette->muted, text);
}

/* --- words --- */

static char *
day_words (guint32 day)
{
  char text[64];
  GDate date;

  g_date_clear (&date, 1);
  g_date_set_julian (&date, day);
  g_date_strftime (text, sizeof text, "%x", &date);
  return g_strdup (text);
}

static char *
of_words (guint right, guint tried)
{
  /* Translators: so many right of so many tried. */
  return tried > 0 ? g_strdup_printf (_ ("%u of %u"), right, tried) : g_strdup ("–");
}

static char *
share_words (double share)
{
  return isnan (share) ? g_strdup ("–") : g_strdup_printf (_ ("%.0f %%"), share * 100);
}

/* --- parts of the page --- */

static void
draw_head (Paper *self)
{
  const BlPracticeResults *results = self->results;
  g_autofree char *title = g_strdup_printf (_ ("Practice: %s"), results->person != NULL ? results->person : "");
  g_autofree char *from = results->from != 0 ? day_words (results->from) : NULL;
  g_autofree char *to = results->to != 0 ? day_words (results->to) : NULL;
  g_autofree char *printed = day_words (results->today);
  g_autofree char *dates = from != NULL ? g_strdup_printf (_ ("%s to %s   printed %s"), from, to, printed)
                                        : g_strdup_printf (_ ("nothing practised yet   printed %s"), printed);

  put_line (self, 18, TRUE, NULL, title);
  put_line (self, 9, FALSE, &self->page.palette->muted, dates);
  self->page.y += 6;
}

static void
draw_figure (Paper *self, guint column, const char *words, const char *figure)
{
  double w = self->page.w / 5, x = self->page.x + column * w;

  double h = put (self, x, self->page.y, w - 8, 15, TRUE, NULL, PANGO_ALIGN_LEFT, figure);
  put (self, x, self->page.y + h, w - 8, 8.5, FALSE, &self->page.palette->muted, PANGO_ALIGN_LEFT, words);
}

static void
draw_figures (Paper *self)
{
  const BlResultsRow *all = &self->results->all;
  g_autofree char *drills = of_words (all->drills_right, all->drills_tried), *share = share_words (all->regret_share);
  g_autofree char *way = of_words (all->way_right, all->way_tried), *reads = of_words (all->reads_right, all->reads_tried);
  g_autofree char *failed = g_strdup_printf ("%u", all->n_failed);

  draw_figure (self, 0, _ ("drills right"), drills);
  draw_figure (self, 1, _ ("drills failed: unsafe"), failed);
  draw_figure (self, 2, _ ("time given away"), share);
  draw_figure (self, 3, _ ("found their way"), way);
  draw_figure (self, 4, _ ("knew what it reads"), reads);
  self->page.y += 34;
}

static void
draw_week (Paper *self, const BlResultsRow *row, double x, double w, double most)
{
  cairo_t *cr = self->page.cr;
  double tried = CHART_H * bl_results_row_tried (row) / most, right = CHART_H * bl_results_row_right (row) / most;
  double base = self->page.y + CHART_H;

  bl_set_source (cr, &self->page.palette->ink);
  cairo_set_line_width (cr, 0.7);
  cairo_rectangle (cr, x + 0.35, base - tried, w - 0.7, tried);
  cairo_stroke (cr);
  bl_set_source (cr, &self->page.palette->in_band);
  cairo_rectangle (cr, x, base - right, w, right);
  cairo_fill (cr);
}

static void
draw_weeks (Paper *self)
{
  GPtrArray *weeks = self->results->weeks;
  guint first = weeks->len > WEEKS ? weeks->len - WEEKS : 0;
  double most = 1, step = self->page.w / WEEKS;

  put_heading (self, _ ("Week by week: tried (outline), right (filled)"));
  for (guint i = first; i < weeks->len; i++)
    most = MAX (most, bl_results_row_tried (g_ptr_array_index (weeks, i)));
  for (guint i = first; i < weeks->len; i++)
    {
      const BlResultsRow *row = g_ptr_array_index (weeks, i);
      if (bl_results_row_tried (row) > 0)
        draw_week (self, row, self->page.x + (i - first) * step, step - 3, most);
    }
  self->page.y += CHART_H;
  bl_page_line (&self->page, self->page.y, &self->page.palette->ink, 0.8);
  self->page.y += 2;
  if (weeks->len == 0)
    return;
  g_autofree char *day = day_words (((BlResultsRow *) g_ptr_array_index (weeks, first))->week);
  g_autofree char *scale = g_strdup_printf (_ ("highest: %.0f in a week"), most);
  put (self, self->page.x, self->page.y, self->page.w, 8, FALSE, &self->page.palette->muted, PANGO_ALIGN_RIGHT, scale);
  put_line (self, 8, FALSE, &self->page.palette->muted, day);
}

/* One line of a table: the first cell wide, the others at the right edge of their columns. */
static void
draw_cells (Paper *self, const char *const *cells, guint n, gboolean head)
{
  double first = self->page.w * 0.34, w = (self->page.w - first) / (n - 1);
  const BlColour *colour = head ? &self->page.palette->muted : NULL;
  double size = head ? 8.5 : 9.5;

  put (self, self->page.x, self->page.y, first - 6, size, FALSE, colour, PANGO_ALIGN_LEFT, cells[0]);
  for (guint i = 1; i < n; i++)
    put (self, self->page.x + first + (i - 1) * w, self->page.y, w - 4, size, FALSE, colour, PANGO_ALIGN_RIGHT, cells[i]);
  self->page.y += LINE;
}

static void
draw_row (Paper *self, const BlResultsRow *row, gboolean family)
{
  g_autofree char *way = of_words (row->way_right, row->way_tried), *reads = of_words (row->reads_right, row->reads_tried);
  g_autofree char *worked = of_words (row->worked_right, row->worked_tried);
  g_autofree char *drills = of_words (row->drills_right, row->drills_tried), *share = share_words (row->regret_share);
  g_autofree char *failed = row->n_failed > 0 ? g_strdup_printf ("%u", row->n_failed) : g_strdup ("–");
  const char *const of_section[] = { row->title, way, reads, worked, drills, failed, share };
  const char *const of_family[] = { row->title, worked, drills, failed, share };

  if (family)
    draw_cells (self, of_family, G_N_ELEMENTS (of_family), FALSE);
  else
    draw_cells (self, of_section, G_N_ELEMENTS (of_section), FALSE);
}

static void
draw_table (Paper *self, const char *heading, GPtrArray *rows, gboolean family)
{
  const char *const of_section[] = { _ ("right of tried"), _ ("way"),    _ ("reads"),          _ ("cases"),
                                     _ ("drills"),         _ ("unsafe"), _ ("given away") };
  const char *const of_family[] = { _ ("right of tried"), _ ("cases"), _ ("drills"), _ ("unsafe"), _ ("given away") };

  if (rows->len == 0)
    return;
  put_heading (self, heading);
  if (family)
    draw_cells (self, of_family, G_N_ELEMENTS (of_family), TRUE);
  else
    draw_cells (self, of_section, G_N_ELEMENTS (of_section), TRUE);
  for (guint i = 0; i < rows->len && i < MOST_ROWS; i++)
    draw_row (self, g_ptr_array_index (rows, i), family);
  if (rows->len > MOST_ROWS)
    put_more (self, rows->len - MOST_ROWS);
}

static void
draw_due (Paper *self)
{
  GPtrArray *due = self->results->due;

  if (due->len == 0)
    return;
  put_heading (self, _ ("Due to be practised again"));
  for (guint i = 0; i < due->len && i < MOST_DUE; i++)
    {
      const BlResultsDue *one = g_ptr_array_index (due, i);
      g_autofree char *day = day_words (one->due), *since = g_strdup_printf (_ ("since %s"), day);
      put (self, self->page.x, self->page.y, self->page.w, 9.5, FALSE, &self->page.palette->muted, PANGO_ALIGN_RIGHT, since);
      put (self, self->page.x, self->page.y, self->page.w * 0.75, 9.5, FALSE, NULL, PANGO_ALIGN_LEFT, one->what);
      self->page.y += LINE;
    }
  if (due->len > MOST_DUE)
    put_more (self, due->len - MOST_DUE);
}

/* --- the latest drills --- */

/* Draws a row of cells, or only says how high it is. Words that are long take a second line. */
static double
drill_cells (Paper *self, const char *const cells[COLUMNS], gboolean head, gboolean draw)
{
  static const double shares[COLUMNS] = { 0.11, 0.2, 0.23, 0.18, 0.1, 0.09, 0.09 };
  double x = self->page.x, height = LINE;

  for (guint i = 0; i < COLUMNS; i++)
    {
      double w = shares[i] * self->page.w, h;
      const BlPageText style = { .size = head ? 8 : 8.5, .colour = head ? &self->page.palette->muted : NULL, .width = w - 10,
                                 .align = i < 5 ? PANGO_ALIGN_LEFT : PANGO_ALIGN_RIGHT, .one_line = head };
      if (draw)
        bl_page_text_at (&self->page, x, self->page.y, &style, cells[i]);
      bl_page_measure (&self->page, &style, cells[i], NULL, &h);
      height = MAX (height, h + 3);
      x += w;
    }
  return height;
}

/* How high it is; draw: it is also drawn. */
static double
drill_line (Paper *self, const BlResultsDrill *drill, gboolean draw)
{
  g_autoptr (GDateTime) time = g_date_time_new_from_unix_local (drill->ended / G_USEC_PER_SEC);
  g_autofree char *day = g_date_time_format (time, "%x"), *measured = of_words (drill->n_right, drill->n_measured);
  g_autofree char *share = share_words (drill->effort_s > 0 ? drill->regret_s / drill->effort_s : NAN);
  const char *how = drill->failed ? _ ("unsafe") : drill->right ? _ ("right") : _ ("not found");
  const char *const cells[COLUMNS] = { day,      drill->board, drill->fault, drill->named != NULL ? drill->named : "–",
                                       how,      measured,     share };

  return drill_cells (self, cells, FALSE, draw);
}

static void
draw_drills (Paper *self)
{
  GPtrArray *drills = self->results->drills;
  const char *const heads[COLUMNS] = { _ ("day"), _ ("board"), _ ("fault"), _ ("named"), "", _ ("measured"), _ ("given away") };

  if (drills->len == 0 || lines_left (self) < 5)
    return;
  put_heading (self, _ ("Latest fault drills"));
  self->page.y += drill_cells (self, heads, TRUE, TRUE);
  for (guint i = 0; i < drills->len; i++)
    {
      const BlResultsDrill *drill = g_ptr_array_index (drills, i);
      double more = i + 1 < drills->len ? LINE : 0; /* to say how many there are besides */
      if (self->page.y + drill_line (self, drill, FALSE) + more > self->page.bottom)
        {
          put_more (self, drills->len - i);
          return;
        }
      self->page.y += drill_line (self, drill, TRUE);
    }
}

static void
draw_foot (Paper *self)
{
  const BlPageText style = { .size = 7.5, .colour = &self->page.palette->muted, .width = self->page.w };

  bl_page_line (&self->page, self->page.bottom + 4, &self->page.palette->hairline, 0.6);
  bl_page_text_at (&self->page, self->page.x, self->page.bottom + 8, &style,
                   _ ("A drill is right when stage and part were named and nothing unsafe was done; an unsafe act fails it. Time "
                      "given away: what better choices of what to measure would have saved, on average, of what the "
                      "measurements took. How fast somebody is is not counted. Local codes and licensed practice come "
                      "first."));
}

void
bl_practice_paper_draw (const BlPracticeResults *results, cairo_t *cr, double width, double height)
{
  g_return_if_fail (results != NULL && cr != NULL && width > 4 * MARGIN && height > 4 * MARGIN);
  Paper self = { .results = results };

  self.page.cr = cr;
  self.page.context = bl_page_context_new (cr);
  self.page.palette = bl_palette_get (FALSE);
  self.page.x = MARGIN;
  self.page.w = width - 2 * MARGIN;
  self.page.y = MARGIN;
  self.page.bottom = height - MARGIN - FOOT + 12;
  draw_head (&self);
  draw_figures (&self);
  draw_weeks (&self);
  draw_table (&self, _ ("By kind of section"), results->sections, FALSE);
  draw_table (&self, _ ("By fault family"), results->families, TRUE);
  draw_due (&self);
  draw_drills (&self);
  draw_foot (&self);
  g_object_unref (self.page.context);
}

/* --- PDF --- */

static cairo_status_t
take_bytes (void *closure, const unsigned char *data, unsigned int length)
{
  g_byte_array_append (closure, data, length);
  return CAIRO_STATUS_SUCCESS;
}

GBytes *
bl_practice_paper_to_pdf (const BlPracticeResults *results, gboolean letter, GError **error)
{
  g_return_val_if_fail (results != NULL, NULL);
  double width = letter ? BL_LETTER_WIDTH : BL_PAGE_WIDTH, height = letter ? BL_LETTER_HEIGHT : BL_PAGE_HEIGHT;
  g_autoptr (GByteArray) out = g_byte_array_new ();
  cairo_surface_t *surface = cairo_pdf_surface_create_for_stream (take_bytes, out, width, height);
  cairo_t *cr = cairo_create (surface);

  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_TITLE, _ ("Practice"));
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_CREATOR, "Benchlore " BL_VERSION);
  bl_practice_paper_draw (results, cr, width, height);
  cairo_show_page (cr);
  cairo_status_t status = cairo_status (cr);
  cairo_destroy (cr);
  cairo_surface_finish (surface);
  status = status == CAIRO_STATUS_SUCCESS ? cairo_surface_status (surface) : status;
  cairo_surface_destroy (surface);
  if (status == CAIRO_STATUS_SUCCESS)
    return g_byte_array_free_to_bytes (g_steal_pointer (&out));
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("the page cannot be drawn: %s"),
               cairo_status_to_string (status));
  return NULL;
}

gboolean
bl_practice_paper_write_pdf (const BlPracticeResults *results, gboolean letter, const char *path, GError **error)
{
  g_return_val_if_fail (path != NULL, FALSE);
  g_autoptr (GBytes) bytes = bl_practice_paper_to_pdf (results, letter, error);
  gsize size = 0;

  if (bytes == NULL)
    return FALSE;
  const char *data = g_bytes_get_data (bytes, &size);
  return g_file_set_contents_full (path, data, (gssize) size,
                                   G_FILE_SET_CONTENTS_CONSISTENT | G_FILE_SET_CONTENTS_DURABLE, 0644, error);
}
