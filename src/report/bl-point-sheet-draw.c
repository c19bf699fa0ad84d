/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet of test points for the wall above the bench: photo with numbers, what each point reads, cautions.
 *
 * A page holds a photo and everything on it, so the letters are as large as that allows: the table is tried
 * from large to small until all rows have a place. Everything is laid out on a sheet of the area of A4 and
 * scaled to the paper, so A3 shows the same, larger. Shape as well as colour tells a point on the mains side,
 * since sheets are copied in black and white. */
#include "config.h"

#include "bl-point-sheet-draw.h"

#include <cairo-pdf.h>
#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-safe-limits.h"

#include "bl-label-place.h"
#include "bl-report-page.h"

#define MARGIN 26.0
#define LARGEST 10.0 /* letters of the table, points */
#define SMALLEST 3.5
#define STEP 0.25
#define COLUMN 28.0 /* least width of a column, in letter sizes */
#define GUTTER 12.0
#define UPRIGHT_PHOTO 0.5 /* of the height, at most */
#define WIDE_PHOTO 0.56   /* of the width */
#define MARK 2.6          /* half size of a mark on the photo */
#define NUMBER 7.0        /* letters of the numbers on the photo */

typedef struct
{
  double x, y, w, h;
} Box;

/* --- marks on the photo --- */

static void
trace_mark (cairo_t *cr, const BlPointMark *mark, double x, double y)
{
  cairo_new_path (cr);
  if (mark->hot)
    {
      cairo_move_to (cr, x, y - MARK * 1.4);
      cairo_line_to (cr, x + MARK * 1.3, y + MARK);
      cairo_line_to (cr, x - MARK * 1.3, y + MARK);
      cairo_close_path (cr);
    }
  else if (mark->lead)
    cairo_rectangle (cr, x - MARK, y - MARK, 2 * MARK, 2 * MARK);
  else
    cairo_arc (cr, x, y, MARK, 0, 2 * G_PI);
}

static void
draw_mark (BlPage *page, const BlPointMark *mark, double x, double y)
{
  trace_mark (page->cr, mark, x, y);
  bl_set_source (page->cr, &page->palette->chip);
  cairo_set_line_width (page->cr, 2.2);
  cairo_stroke_preserve (page->cr);
  bl_set_source (page->cr, mark->hot ? &page->palette->likely : &page->palette->chip_ink);
  cairo_set_line_width (page->cr, 0.9);
  cairo_stroke (page->cr);
}

static void
draw_number (BlPage *page, const BlLabel *label, guint number)
{
  const BlPageText style = { .size = NUMBER, .weight = PANGO_WEIGHT_BOLD, .colour = &page->palette->chip_ink };
  g_autofree char *text = g_strdup_printf ("%u", number);
  double width, height, x, y;

  if (label->led)
    {
      bl_label_nearest (&label->box, label->x, label->y, &x, &y);
      cairo_move_to (page->cr, label->x, label->y);
      cairo_line_to (page->cr, x, y);
      bl_set_source (page->cr, &page->palette->chip);
      cairo_set_line_width (page->cr, 1.8);
      cairo_stroke_preserve (page->cr);
      bl_set_source (page->cr, &page->palette->chip_ink);
      cairo_set_line_width (page->cr, 0.6);
      cairo_stroke (page->cr);
    }
  bl_set_source (page->cr, &page->palette->chip);
  cairo_rectangle (page->cr, label->box.x, label->box.y, label->box.w, label->box.h);
  cairo_fill (page->cr);
  bl_page_measure (page, &style, text, &width, &height);
  bl_page_text_at (page, label->box.x + (label->box.w - width) / 2, label->box.y + (label->box.h - height) / 2, &style,
                   text);
}

/* Numbers beside their points, none over another or over a mark. box: the photo on the sheet. */
static void
draw_marks (BlPage *page, const BlPointPhoto *photo, const Box *box, double scale)
{
  guint n = photo->marks->len;
  g_autofree BlLabel *labels = g_new0 (BlLabel, n);

  for (guint i = 0; i < n; i++)
    {
      const BlPointMark *mark = g_ptr_array_index (photo->marks, i);
      double digits = mark->number > 99 ? 3 : mark->number > 9 ? 2 : 1;
      labels[i] = (BlLabel){ .x = mark->x * scale,
                             .y = mark->y * scale,
                             .r = MARK + 1,
                             .w = digits * NUMBER * 0.62 + 3,
                             .h = NUMBER + 2,
                             .gap = MARK + 2.5,
                             .needed = TRUE };
    }
  cairo_save (page->cr);
  cairo_translate (page->cr, box->x, box->y);
  bl_labels_place (labels, n, NULL, 0, box->w, box->h);
  for (guint i = 0; i < n; i++)
    draw_mark (page, g_ptr_array_index (photo->marks, i), labels[i].x, labels[i].y);
  for (guint i = 0; i < n; i++)
    draw_number (page, &labels[i], ((const BlPointMark *) g_ptr_array_index (photo->marks, i))->number);
  cairo_restore (page->cr);
}

/* Puts the photo into the box, which shrinks to it. */
static gboolean
draw_photo (BlPage *page, const BlPointPhoto *photo, Box *box)
{
  int width = 0, height = 0;
  cairo_surface_t *surface = bl_page_picture (page, photo->image, &width, &height);

  if (surface == NULL || width <= 0 || height <= 0)
    return FALSE;
  double scale = MIN (box->w / width, box->h / height);
  box->x += (box->w - width * scale) / 2;
  box->w = width * scale;
  box->h = height * scale;
  cairo_save (page->cr);
  cairo_translate (page->cr, box->x, box->y);
  cairo_scale (page->cr, box->w / cairo_image_surface_get_width (surface),
               box->h / cairo_image_surface_get_height (surface));
  cairo_set_source_surface (page->cr, surface, 0, 0);
  cairo_paint (page->cr);
  cairo_restore (page->cr);
  draw_marks (page, photo, box, scale);
  return TRUE;
}

/* --- the table --- */

typedef struct
{
  double size, row; /* letters, and height of a row */
  double column;             /* width of a column */
  guint columns;
  const BlSafeLimits *limits; /* from where on a state is marked */
} Grid;

static Grid
grid_of (double size, double width)
{
  guint columns = (guint) MAX (1, floor ((width + GUTTER) / (COLUMN * size + GUTTER)));

  return (Grid){ size, size * 1.5, (width + GUTTER) / columns - GUTTER, columns };
}

/* "LIVE 325 V · Running". (transfer full) */
static char *
heading_words (const BlPointGroup *group)
{
  g_autofree char *level = NULL;

  if (!group->live)
    return g_strdup (group->heading);
  level = isfinite (group->volts) ? g_strdup_printf (_ ("LIVE %.0f V"), group->volts) : g_strdup (_ ("LIVE"));
  return g_strdup_printf ("%s · %s", level, group->heading);
}

static BlPageText
heading_style (const Grid *grid)
{
  return (BlPageText){ .size = grid->size * 0.92,
                       .weight = PANGO_WEIGHT_BOLD,
                       .width = grid->column - grid->size * 0.8 };
}

static double
heading_height (BlPage *page, const BlPointGroup *group, const Grid *grid)
{
  g_autofree char *text = heading_words (group);
  BlPageText style = heading_style (grid);
  double height;

  bl_page_measure (page, &style, text, NULL, &height);
  return height + grid->size * 0.8;
}

/* Draws a row, or the heading of its group when row is NULL. */
typedef void (*RowDrawer) (BlPage *page, const BlPointGroup *group, const BlPointRow *row, const Grid *grid, double x,
                           double y);

/* Runs over the table: where each row goes. drawer NULL: only to see whether all have a place. Returns the
 * number of rows without one. */
static guint
flow (BlPage *page, const BlPointPhoto *photo, const Grid *grid, const Box *box, RowDrawer drawer)
{
  double y = box->y;
  guint column = 0, left = 0;

  for (guint g = 0; g < photo->groups->len; g++)
    {
      const BlPointGroup *group = g_ptr_array_index (photo->groups, g);
      double heading = heading_height (page, group, grid);
      gboolean headed = FALSE;
      for (guint r = 0; r < group->rows->len; r++)
        {
          if (y + grid->row + (headed ? 0 : heading) > box->y + box->h)
            {
              column++;
              y = box->y;
              headed = FALSE; /* said again at the head of the next column */
            }
          left += column >= grid->columns;
          double x = box->x + column * (grid->column + GUTTER);
          if (!headed && column < grid->columns && drawer != NULL)
            drawer (page, group, NULL, grid, x, y);
          y += headed ? 0 : heading;
          headed = TRUE;
          if (column < grid->columns && drawer != NULL)
            drawer (page, group, g_ptr_array_index (group->rows, r), grid, x, y);
          y += grid->row;
        }
    }
  return left;
}

static void
draw_cut (BlPage *page, const BlPageText *style, double x, double y, double width, const char *text)
{
  g_autoptr (PangoLayout) layout = bl_page_layout (page, style, text);

  pango_layout_set_width (layout, (int) (MAX (width, 1) * PANGO_SCALE));
  pango_layout_set_ellipsize (layout, PANGO_ELLIPSIZE_END);
  pango_layout_set_single_paragraph_mode (layout, TRUE);
  bl_set_source (page->cr, style->colour != NULL ? style->colour : &page->palette->ink);
  cairo_move_to (page->cr, x, y);
  pango_cairo_show_layout (page->cr, layout);
}

static void
draw_heading (BlPage *page, const BlPointGroup *group, const Grid *grid, double x, double y)
{
  gboolean shock = group->live && bl_safe_volts_shock (group->volts, group->volts_ac, grid->limits);
  double height = heading_height (page, group, grid);
  g_autofree char *text = heading_words (group);
  BlPageText style = heading_style (grid);

  bl_set_source (page->cr, shock ? &page->palette->banner_live : &page->palette->track);
  cairo_rectangle (page->cr, x, y + grid->size * 0.3, grid->column, height - grid->size * 0.45);
  cairo_fill (page->cr);
  if (shock)
    style.colour = &page->palette->banner_live_ink;
  bl_page_text_at (page, x + grid->size * 0.4, y + grid->size * 0.38, &style, text);
}

/* A number or a name in a box: dark for the probe, outlined for the black one. Returns its width. */
static double
draw_chip (BlPage *page, const char *text, gboolean black, const Grid *grid, double x, double y)
{
  const BlPageText style = { .size = grid->size * 0.85,
                             .weight = PANGO_WEIGHT_BOLD,
                             .colour = black ? &page->palette->ink : &page->palette->chip_ink };
  double width, height, box;

  bl_page_measure (page, &style, text, &width, &height);
  box = MAX (width + grid->size * 0.5, grid->size * 1.6);
  cairo_rectangle (page->cr, x, y + grid->size * 0.1, box, grid->row - grid->size * 0.25);
  bl_set_source (page->cr, black ? &page->palette->ink : &page->palette->chip);
  cairo_set_line_width (page->cr, 0.5);
  if (black)
    cairo_stroke (page->cr);
  else
    cairo_fill (page->cr);
  bl_page_text_at (page, x + (box - width) / 2, y + (grid->row - height) / 2 - grid->size * 0.02, &style, text);
  return box;
}

static void
draw_row (BlPage *page, const BlPointGroup *group, const BlPointRow *row, const Grid *grid, double x, double y)
{
  const BlPageText strong = { .size = grid->size, .weight = PANGO_WEIGHT_BOLD }, plain = { .size = grid->size };
  double end = x + grid->column, at = x + grid->size * 1.9, width;

  if (row == NULL)
    {
      draw_heading (page, group, grid, x, y);
      return;
    }
  if (row->number > 0)
    {
      g_autofree char *number = g_strdup_printf ("%u", row->number);
      draw_chip (page, number, FALSE, grid, x, y);
    }
  if (row->black[0] != '\0')
    at += draw_chip (page, row->black, TRUE, grid, at, y);
  at += grid->size * 0.4;
  bl_page_measure (page, &strong, row->point, &width, NULL);
  bl_page_text_at (page, at, y, &strong, row->point);
  at += width + grid->size * 0.5;
  bl_page_measure (page, &strong, row->expected, &width, NULL);
  width = MIN (width + 1, end - at);
  draw_cut (page, &strong, end - width, y, width, row->expected);
  draw_cut (page, &plain, at, y, end - width - grid->size * 0.5 - at, row->title);
  bl_set_source (page->cr, &page->palette->hairline);
  cairo_set_line_width (page->cr, 0.4);
  cairo_move_to (page->cr, x, y + grid->row - grid->size * 0.05);
  cairo_line_to (page->cr, end, y + grid->row - grid->size * 0.05);
  cairo_stroke (page->cr);
}

static void
draw_table (BlPage *page, const BlPointPhoto *photo, const BlSafeLimits *limits, const Box *box)
{
  double size = LARGEST;
  Grid grid = grid_of (size, box->w);

  while (size > SMALLEST && flow (page, photo, &grid, box, NULL) > 0)
    {
      size -= STEP;
      grid = grid_of (size, box->w);
    }
  grid.limits = limits;
  guint left = flow (page, photo, &grid, box, draw_row);
  if (left == 0)
    return;
  const BlPageText style = { .size = 6, .weight = PANGO_WEIGHT_BOLD, .colour = &page->palette->high };
  g_autofree char *text = g_strdup_printf (
      ngettext ("%u measurement more has no place on this page", "%u measurements more have no place on this page",
                left),
      left);
  bl_page_text_at (page, box->x, box->y + box->h + 1, &style, text);
}

/* --- head and foot --- */

static void
draw_head (BlPage *page, const BlPointSheet *sheet, const BlPointPhoto *photo)
{
  const BlPageText title = { .size = 15, .weight = PANGO_WEIGHT_BOLD };
  const BlPageText side = { .size = 9, .colour = &page->palette->muted, .align = PANGO_ALIGN_RIGHT, .width = page->w };
  g_autofree char *right = g_strdup_printf ("%s · %s", photo->title, sheet->date);

  bl_page_text_at (page, page->x, page->y + 5, &side, right);
  page->y += bl_page_text_at (page, page->x, page->y, &title, sheet->board) + 3;
  bl_page_line (page, page->y, &page->palette->edge, 0.8);
  page->y += 6;
}

/* What the marks mean, on one line at y. */
static void
draw_key (BlPage *page, double y)
{
  static const BlPointMark kinds[] = { { 0, 0, 0, FALSE, FALSE }, { 0, 0, 0, TRUE, FALSE }, { 0, 0, 0, FALSE, TRUE } };
  const char *const words[]
      = { _ ("test point"), _ ("test point on the mains side"), _ ("for the black probe only") };
  const BlPageText style = { .size = 7, .colour = &page->palette->muted };
  double x = page->x + 4, width;

  for (guint i = 0; i < G_N_ELEMENTS (kinds); i++)
    {
      draw_mark (page, &kinds[i], x, y + 5);
      bl_page_text_at (page, x + 8, y, &style, words[i]);
      bl_page_measure (page, &style, words[i], &width, NULL);
      x += width + 24;
    }
  const Grid grid = { .size = 7, .row = 10.5 };
  x += draw_chip (page, "1", FALSE, &grid, x, y) + 2;
  x += draw_chip (page, "2", TRUE, &grid, x, y) + 4;
  bl_page_text_at (page, x, y, &style, _ ("probe on 1, black probe on 2"));
}

static char *
cautions_of (const BlPointSheet *sheet)
{
  g_autofree char *level = NULL;

  if (!bl_safe_volts_shock (sheet->volts, sheet->volts_ac, &sheet->limits))
    return g_strdup (_ ("Local codes and licensed practice come first. Values hold for this edition only."));
  level = isfinite (sheet->volts) ? g_strdup_printf (_ ("This board carries up to %.0f V when live."), sheet->volts)
                                  : g_strdup (_ ("This board may carry mains when live."));
  return g_strdup_printf (
      "%s %s", level,
      _ ("Mains and the bulk capacitor can kill, the capacitor also minutes after switch-off: isolate, discharge "
         "through a resistor, prove dead on a known source, at the point, and on the known source again. Where point "
         "and black probe have different grounds, board and meter are at risk. Local codes and licensed practice come "
         "first. Values hold for this edition only."));
}

/* From the bottom of the sheet upwards. Returns where it begins. */
static double
draw_foot (BlPage *page, const BlPointSheet *sheet)
{
  const BlPageText style = { .size = 7.5, .weight = PANGO_WEIGHT_SEMIBOLD, .width = page->w - 12 };
  g_autofree char *words = cautions_of (sheet);
  double height;

  bl_page_measure (page, &style, words, NULL, &height);
  double y = page->bottom - height;
  bl_set_source (page->cr, &page->palette->high);
  cairo_rectangle (page->cr, page->x, y + 1, 5, height - 2);
  cairo_fill (page->cr);
  bl_page_text_at (page, page->x + 12, y, &style, words);
  draw_key (page, y - 14);
  return y - 16;
}

/* --- pages --- */

static gboolean
draw_page (BlPage *page, const BlPointSheet *sheet, const BlPointPhoto *photo, gboolean wide)
{
  draw_head (page, sheet, photo);
  double end = draw_foot (page, sheet), height = end - page->y;
  Box box = { page->x, page->y, wide ? page->w * WIDE_PHOTO : page->w, wide ? height : height * UPRIGHT_PHOTO };
  Box table;

  if (!draw_photo (page, photo, &box))
    return FALSE;
  if (wide)
    table = (Box){ page->x + page->w * WIDE_PHOTO + GUTTER, page->y, page->w * (1 - WIDE_PHOTO) - GUTTER, height };
  else
    table = (Box){ page->x, box.y + box.h + 6, page->w, end - box.y - box.h - 12 };
  draw_table (page, photo, &sheet->limits, &table);
  return TRUE;
}

gboolean
bl_point_sheet_draw (const BlPointSheet *sheet, guint number, cairo_t *cr, double width, double height, GError **error)
{
  g_return_val_if_fail (sheet != NULL && number < sheet->photos->len && cr != NULL, FALSE);
  g_return_val_if_fail (width > 2 * MARGIN && height > 2 * MARGIN, FALSE);
  const BlPointPhoto *photo = g_ptr_array_index (sheet->photos, number);
  double scale = sqrt (width * height / (BL_PAGE_WIDTH * BL_PAGE_HEIGHT));
  BlPage page = { .cr = cr, .palette = bl_palette_get (FALSE), .x = MARGIN, .y = MARGIN,
                  .w = width / scale - 2 * MARGIN, .bottom = height / scale - MARGIN };

  page.context = bl_page_context_new (cr);
  cairo_save (cr);
  cairo_scale (cr, scale, scale);
  gboolean drawn = draw_page (&page, sheet, photo, width > height);
  cairo_restore (cr);
  g_clear_object (&page.context);
  g_clear_pointer (&page.surfaces, g_hash_table_unref);
  if (!drawn)
    g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("%s, %s: the photo is no picture that can be read"),
                 sheet->board, photo->title);
  return drawn;
}

static cairo_status_t
take_bytes (void *closure, const unsigned char *data, unsigned int length)
{
  g_byte_array_append (closure, data, length);
  return CAIRO_STATUS_SUCCESS;
}

GBytes *
bl_point_sheet_to_pdf (const BlPointSheet *sheet, GError **error)
{
  g_return_val_if_fail (sheet != NULL, NULL);
  g_autoptr (GByteArray) out = g_byte_array_new ();
  cairo_surface_t *surface = cairo_pdf_surface_create_for_stream (take_bytes, out, BL_PAGE_WIDTH, BL_PAGE_HEIGHT);
  cairo_t *cr = cairo_create (surface);
  gboolean drawn = TRUE;

  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_TITLE, sheet->board);
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_CREATOR, "Benchlore " BL_VERSION);
  for (guint i = 0; drawn && i < sheet->photos->len; i++)
    {
      drawn = bl_point_sheet_draw (sheet, i, cr, BL_PAGE_WIDTH, BL_PAGE_HEIGHT, error);
      cairo_show_page (cr);
    }
  cairo_status_t status = cairo_status (cr);
  cairo_destroy (cr);
  cairo_surface_finish (surface);
  status = status == CAIRO_STATUS_SUCCESS ? cairo_surface_status (surface) : status;
  cairo_surface_destroy (surface);
  if (drawn && status == CAIRO_STATUS_SUCCESS)
    return g_byte_array_free_to_bytes (g_steal_pointer (&out));
  if (drawn)
    g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("the sheet cannot be drawn: %s"),
                 cairo_status_to_string (status));
  return NULL;
}

gboolean
bl_point_sheet_write_pdf (const BlPointSheet *sheet, const char *path, GError **error)
{
  g_return_val_if_fail (path != NULL, FALSE);
  g_autoptr (GBytes) bytes = bl_point_sheet_to_pdf (sheet, error);
  gsize size = 0;
  const char *data;

  if (bytes == NULL)
    return FALSE;
  data = g_bytes_get_data (bytes, &size);
  return g_file_set_contents_full (path, data, (gssize) size,
                                   G_FILE_SET_CONTENTS_CONSISTENT | G_FILE_SET_CONTENTS_DURABLE, 0644, error);
}
