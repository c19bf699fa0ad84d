/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Photos in the report. For the shop: sections outlined, the likely failed stage in yellow, each test point that was read
 * with the shape of its verdict, marks of the job. For the customer: where the fault was, and little pictures of the job.
 * Outlines and shapes keep their size whatever the photo's. */
#include "config.h"

#include "bl-report-parts.h"

#include "bl-places.h"
#include "bl-report-choice.h"
#include "bl-report.h"
#include "bl-shape-draw.h"

#include <glib/gi18n-lib.h>

#define PHOTO_MAX_HEIGHT 380.0
#define PHOTO_MIN_HEIGHT 230.0 /* rather a smaller photo than half a page left empty */

typedef struct
{
  BlPage *page;
  const char *photo;  /* its id */
  double x, y, scale; /* of photo pixels to points */
  double w, h;        /* in points */
} Frame;

static void
trace (const Frame *frame, const BlOutline *outline)
{
  cairo_new_path (frame->page->cr);
  for (guint i = 0; outline->points != NULL && i + 1 < outline->points->len; i += 2)
    cairo_line_to (frame->page->cr,
                   frame->x + g_array_index (outline->points, double, i) * frame->scale,
                   frame->y + g_array_index (outline->points, double, i + 1) * frame->scale);
  cairo_close_path (frame->page->cr);
}

/* A name on a dark chip, its left edge at x, centred at y; kept inside the photo. */
static void
draw_chip (const Frame *frame,
           double x,
           double y,
           const char *text,
           const BlColour *ground,
           const BlColour *ink,
           double size)
{
  BlPage *page = frame->page;
  const BlPageText style = { .size = size, .weight = PANGO_WEIGHT_BOLD, .colour = ink };
  double width, height;

  bl_page_measure (page, &style, text, &width, &height);
  x = CLAMP (x, frame->x, MAX (frame->x, frame->x + frame->w - width - 4));
  y = CLAMP (y, frame->y + height / 2 + 1, MAX (frame->y + height / 2 + 1, frame->y + frame->h - height / 2 - 1));
  bl_set_source (page->cr, ground);
  cairo_rectangle (page->cr, x, y - height / 2 - 0.5, width + 4, height + 1);
  cairo_fill (page->cr);
  bl_page_text_at (page, x + 2, y - height / 2, &style, text);
}

static void
draw_section (const Frame *frame, const BlSection *section)
{
  cairo_t *cr = frame->page->cr;
  const double dashes[] = { 5, 3 };

  for (guint i = 0; i < bl_len (section->outlines); i++)
    {
      const BlOutline *outline = bl_at (section->outlines, i);
      if (g_strcmp0 (outline->photo, frame->photo) != 0 || outline->points == NULL ||
          outline->points->len < 6)
        continue;
      trace (frame, outline);
      bl_set_source (cr, &frame->page->palette->chip);
      cairo_set_line_width (cr, 2.4);
      cairo_stroke_preserve (cr);
      bl_set_source (cr, &frame->page->palette->chip_ink);
      cairo_set_line_width (cr, 1);
      cairo_set_dash (cr, dashes, 2, 0);
      cairo_stroke (cr);
      cairo_set_dash (cr, NULL, 0, 0);
      draw_chip (frame, frame->x + g_array_index (outline->points, double, 0) * frame->scale + 4,
                 frame->y + g_array_index (outline->points, double, 1) * frame->scale,
                 section->title != NULL ? section->title : section->id, &frame->page->palette->chip,
                 &frame->page->palette->chip_ink, 7);
    }
}

/* The outlines of the likely stage, or of its section where the stage has none of its own. */
static GPtrArray *
likely_outlines (const BlJobReport *report, const char *stage)
{
  const BlStage *found = bl_board_stage (report->board, stage);
  const BlSection *section;

  if (found == NULL || bl_len (found->outlines) > 0)
    return found != NULL ? found->outlines : NULL;
  section = found->section != NULL ? bl_board_section (report->board, found->section) : NULL;
  return section != NULL ? section->outlines : NULL;
}

static void
draw_likely (const Frame *frame)
{
  BlPage *page = frame->page;
  const BlJobReport *report = page->report;
  const char *stage = report->diagnosis != NULL ? report->diagnosis->likely_stage : NULL;
  const BlOdd *odd = stage != NULL ? bl_diagnosis_find (report->diagnosis->stages, stage) : NULL;
  GPtrArray *outlines = stage != NULL ? likely_outlines (report, stage) : NULL;
  g_autofree char *name = stage != NULL ? bl_report_stage_name (report->board, stage) : NULL;
  g_autofree char *odds = odd != NULL ? bl_report_odds (odd->probability) : NULL;
  gboolean unproven = report->diagnosis != NULL && report->diagnosis->unproven;
  g_autofree char *tab = g_strdup_printf (unproven ? _ ("if not cured: %s %s") : _ ("likely failed: %s %s"), name != NULL ? name : "",
                                          odds != NULL ? odds : "");

  for (guint i = 0; i < bl_len (outlines); i++)
    {
      const BlOutline *outline = bl_at (outlines, i);
      double top = INFINITY, left = INFINITY;
      if (g_strcmp0 (outline->photo, frame->photo) != 0 || outline->points == NULL ||
          outline->points->len < 6)
        continue;
      for (guint p = 0; p + 1 < outline->points->len; p += 2)
        {
          left = MIN (left, g_array_index (outline->points, double, p));
          top = MIN (top, g_array_index (outline->points, double, p + 1));
        }
      trace (frame, outline);
      bl_set_source (page->cr, &page->palette->chip);
      cairo_set_line_width (page->cr, 5);
      cairo_stroke_preserve (page->cr);
      bl_set_source (page->cr, &page->palette->likely);
      cairo_set_line_width (page->cr, 2.5);
      cairo_stroke (page->cr);
      draw_chip (frame, frame->x + left * frame->scale, frame->y + top * frame->scale - 6, tab,
                 &page->palette->likely, &page->palette->likely_ink, 8);
    }
}

/* The reading that a test point shows: the last that deviates, else the last. NULL: unread. */
static const BlReportLine *
line_of_point (const BlJobReport *report, const char *point)
{
  const BlReportLine *found = NULL;

  for (guint i = 0; i < bl_len (report->lines); i++)
    {
      const BlReportLine *line = bl_at (report->lines, i);
      const BlMeasurement *measurement =
          line->kind == BL_REPORT_READING && !line->struck && line->subject != NULL
              ? bl_board_measurement (report->board, line->subject)
              : NULL;
      if (measurement == NULL || g_strcmp0 (measurement->at, point) != 0)
        continue;
      if (found == NULL || g_strcmp0 (found->subject, line->subject) == 0 ||
          bl_shape_for_verdict (found->verdict, found->band) == BL_SHAPE_IN_BAND)
        found = line;
    }
  return found;
}

static void
draw_points (const Frame *frame)
{
  BlPage *page = frame->page;
  const BlBoard *board = page->report->board;

  for (guint i = 0; i < bl_len (board->test_points); i++)
    {
      const BlTestPoint *point = bl_at (board->test_points, i);
      double x = frame->x + point->x * frame->scale, y = frame->y + point->y * frame->scale;
      const BlReportLine *line;
      if (g_strcmp0 (point->photo, frame->photo) != 0 || !isfinite (x) || !isfinite (y))
        continue;
      line = line_of_point (page->report, point->id);
      if (line == NULL)
        continue; /* a documented board has more points than names find room */
      bl_shape_draw (page->cr, bl_shape_for_verdict (line->verdict, line->band), x, y, 11,
                     bl_palette_get (TRUE), TRUE);
      draw_chip (frame, x + 7, y, bl_report_short_id (point->id), &page->palette->chip, &page->palette->chip_ink, 6.5);
    }
}

/* Marks of this job: burns, corrosion and the like, numbered as in the log. */
static void
draw_marks (const Frame *frame)
{
  BlPage *page = frame->page;

  for (guint i = 0; i < bl_len (page->report->lines); i++)
    {
      const BlReportLine *line = bl_at (page->report->lines, i);
      if (line->kind == BL_REPORT_MARK && !line->struck &&
          g_strcmp0 (line->photo, frame->photo) == 0 && isfinite (line->x) &&
          isfinite (line->y))
        draw_chip (frame, frame->x + line->x * frame->scale, frame->y + line->y * frame->scale,
                   line->text != NULL ? line->text : "", &page->palette->banner_limited,
                   &page->palette->banner_limited_ink, 7);
    }
}

/* The picture fitted into max_w by max_h at (x, page->y), which stays. frame is filled in. FALSE: it cannot be read. */
static gboolean
draw_picture (BlPage *page, GBytes *image, double x, double max_w, double max_h, Frame *frame)
{
  int width = 0, height = 0;
  cairo_surface_t *surface = bl_page_picture (page, image, &width, &height);

  if (surface == NULL || width == 0 || height == 0)
    return FALSE;
  frame->page = page;
  frame->x = x;
  frame->y = page->y;
  frame->scale = MIN (max_w / width, max_h / height);
  frame->w = width * frame->scale;
  frame->h = height * frame->scale;
  cairo_save (page->cr);
  cairo_translate (page->cr, x, page->y);
  cairo_scale (page->cr, frame->w / cairo_image_surface_get_width (surface),
               frame->h / cairo_image_surface_get_height (surface));
  cairo_set_source_surface (page->cr, surface, 0, 0);
  cairo_paint (page->cr);
  cairo_restore (page->cr);
  return TRUE;
}

/* How high it will be; 0: it cannot be read. */
static double
picture_height (BlPage *page, GBytes *image, double max_w, double max_h)
{
  int width = 0, height = 0;

  if (bl_page_picture (page, image, &width, &height) == NULL || width == 0 || height == 0)
    return 0;
  return height * MIN (max_w / width, max_h / height);
}

static const BlComponent *
cause_on (const BlJobReport *report, guint i, GPtrArray *causes, const char *photo)
{
  const BlReportLine *cause = bl_at (causes, i);
  const BlComponent *component = report->board != NULL ? bl_board_component (report->board, cause->subject) : NULL;

  return component != NULL && g_strcmp0 (component->photo, photo) == 0 && isfinite (component->x)
                 && isfinite (component->y)
             ? component
             : NULL;
}

/* A ring around each component that was confirmed as a cause, with its name. */
static gboolean
draw_causes (const Frame *frame)
{
  BlPage *page = frame->page;
  g_autoptr (GPtrArray) causes = bl_report_causes (page->report);
  gboolean any = FALSE;

  for (guint i = 0; i < causes->len; i++)
    {
      const BlComponent *component = cause_on (page->report, i, causes, frame->photo);
      double x, y;
      if (component == NULL)
        continue;
      x = frame->x + component->x * frame->scale;
      y = frame->y + component->y * frame->scale;
      cairo_new_path (page->cr);
      cairo_arc (page->cr, x, y, 12, 0, 2 * G_PI);
      bl_set_source (page->cr, &page->palette->chip);
      cairo_set_line_width (page->cr, 5);
      cairo_stroke_preserve (page->cr);
      bl_set_source (page->cr, &page->palette->likely);
      cairo_set_line_width (page->cr, 2.5);
      cairo_stroke (page->cr);
      draw_chip (frame, x + 15, y, bl_report_short_id (component->id), &page->palette->likely, &page->palette->likely_ink,
                 8);
      any = TRUE;
    }
  return any;
}

gboolean
bl_report_photo_has_fault (const BlJobReport *report, const BlPhoto *photo)
{
  g_autoptr (GPtrArray) causes = bl_report_causes (report);
  const char *stage = report->diagnosis != NULL && causes->len == 0 ? report->diagnosis->likely_stage : NULL;
  GPtrArray *outlines = stage != NULL ? likely_outlines (report, stage) : NULL;

  for (guint i = 0; i < causes->len; i++)
    if (cause_on (report, i, causes, photo->id) != NULL)
      return TRUE;
  for (guint i = 0; i < bl_len (outlines); i++)
    if (g_strcmp0 (((const BlOutline *) bl_at (outlines, i))->photo, photo->id) == 0)
      return TRUE;
  return FALSE;
}

/* With the board it is of, in an equipment. (transfer full) */
static char *
photo_title (const BlJobReport *report, const BlPhoto *photo)
{
  const char *title = photo->title != NULL ? photo->title : photo->side != NULL ? photo->side : bl_report_short_id (photo->id);
  g_autofree char *role = report->equipment != NULL ? bl_place_role (photo->id) : NULL;

  return role != NULL ? g_strdup_printf (_ ("board %s: %s"), role, title) : g_strdup (title);
}

double
bl_report_draw_board_photo (BlPage *page, const BlPhoto *photo, GBytes *image, double max_w, double max_h, gboolean all)
{
  const BlBoard *board = page->report->board;
  Frame frame = { .photo = photo->id };

  if (!draw_picture (page, image, page->x, max_w, max_h, &frame))
    return 0;
  cairo_save (page->cr);
  cairo_rectangle (page->cr, frame.x, frame.y, frame.w, frame.h);
  cairo_clip (page->cr);
  for (guint i = 0; all && i < bl_len (board->sections); i++)
    draw_section (&frame, bl_at (board->sections, i));
  if (all)
    {
      draw_likely (&frame);
      draw_causes (&frame);
      draw_points (&frame);
      draw_marks (&frame);
    }
  else if (!draw_causes (&frame))
    draw_likely (&frame);
  cairo_restore (page->cr);
  return frame.h;
}

/* TRUE when something of the board or the job is to be seen on this photo. */
static gboolean
says_something (const BlJobReport *report, const BlPhoto *photo)
{
  const BlBoard *board = report->board;

  for (guint i = 0; i < bl_len (board->test_points); i++)
    {
      const BlTestPoint *point = bl_at (board->test_points, i);
      if (g_strcmp0 (point->photo, photo->id) == 0 && isfinite (point->x) && isfinite (point->y))
        return TRUE;
    }
  for (guint i = 0; i < bl_len (board->sections); i++)
    {
      const BlSection *section = bl_at (board->sections, i);
      for (guint j = 0; j < bl_len (section->outlines); j++)
        if (g_strcmp0 (((const BlOutline *) bl_at (section->outlines, j))->photo, photo->id) == 0)
          return TRUE;
    }
  for (guint i = 0; i < bl_len (report->lines); i++)
    {
      const BlReportLine *line = bl_at (report->lines, i);
      if (line->kind == BL_REPORT_MARK && !line->struck && g_strcmp0 (line->photo, photo->id) == 0)
        return TRUE;
    }
  return FALSE;
}

/* --- for the shop --- */

static void
draw_board_photos (BlPage *page)
{
  const BlJobReport *report = page->report;
  const BlPageText caption = { .size = 8.5, .colour = &page->palette->muted };
  gboolean headed = FALSE;

  for (guint i = 0; report->board != NULL && i < bl_len (report->board->photos); i++)
    {
      const BlPhoto *photo = bl_at (report->board->photos, i);
      GBytes *image = g_hash_table_lookup (report->photos, photo->id);
      g_autofree char *title = photo_title (report, photo);
      double max_h, height;
      if (image == NULL || (headed && !says_something (report, photo)))
        continue;
      if (!headed)
        bl_page_heading (page, report->equipment != NULL ? _ ("Boards") : _ ("Board"), PHOTO_MIN_HEIGHT + 16);
      headed = TRUE;
      max_h = CLAMP (page->bottom - page->y - 18, PHOTO_MIN_HEIGHT, PHOTO_MAX_HEIGHT);
      height = picture_height (page, image, page->w, max_h);
      bl_page_need (page, height + 16);
      page->y += bl_report_draw_board_photo (page, photo, image, page->w, max_h, TRUE) + 2;
      bl_page_paragraph (page, 0, &caption, title);
      bl_page_space (page, 8);
    }
}

/* Two side by side, each with its title and the marks on it. Returns how much of them was drawn. */
static void
draw_row_of_pictures (BlPage *page, guint first, guint n, double max_h)
{
  const BlJobReport *report = page->report;
  BlPageText caption = { .size = 8.5, .colour = &page->palette->muted };
  double w = (page->w - 12) / 2, most = 0, text_h = 0;

  for (guint i = first; i < first + n; i++)
    {
      const BlReportPicture *picture = bl_at (report->pictures, i);
      double height = picture_height (page, picture->image, w, max_h), title_h;
      caption.width = w;
      bl_page_measure (page, &caption, picture->title, NULL, &title_h);
      most = MAX (most, height);
      text_h = MAX (text_h, title_h);
    }
  bl_page_need (page, most + text_h + 4);
  for (guint i = first; i < first + n; i++)
    {
      const BlReportPicture *picture = bl_at (report->pictures, i);
      Frame frame = { .photo = picture->id };
      double x = page->x + (i - first) * (w + 12);
      if (!draw_picture (page, picture->image, x, w, max_h, &frame))
        continue;
      if (report->audience == BL_REPORT_FOR_SHOP && picture->id != NULL)
        draw_marks (&frame);
      bl_page_text_at (page, x, page->y + frame.h + 2, &caption, picture->title);
    }
  page->y += most + text_h + 4;
  bl_page_space (page, 6);
}

void
bl_report_draw_photos (BlPage *page)
{
  const BlJobReport *report = page->report;

  draw_board_photos (page);
  for (guint i = 0; i < report->pictures->len; i += 2)
    {
      if (i == 0)
        bl_page_heading (page, _ ("Photos of this job"), 190);
      draw_row_of_pictures (page, i, MIN (2, report->pictures->len - i), 190);
    }
}

/* --- for the customer --- */

#define FEW 4
#define LITTLE 130.0

void
bl_report_draw_few_photos (BlPage *page)
{
  const BlJobReport *report = page->report;
  const BlPageText caption = { .size = 8.5, .colour = &page->palette->muted };
  gboolean headed = FALSE;

  for (guint i = 0; report->board != NULL && i < bl_len (report->board->photos) && !headed; i++)
    {
      const BlPhoto *photo = bl_at (report->board->photos, i);
      GBytes *image = g_hash_table_lookup (report->photos, photo->id);
      double height;
      if (image == NULL || !bl_report_photo_has_fault (report, photo))
        continue;
      bl_page_heading (page, _ ("Photos"), LITTLE * 1.4 + 16);
      headed = TRUE;
      height = bl_report_draw_board_photo (page, photo, image, page->w, LITTLE * 1.4, FALSE);
      page->y += height + 2;
      bl_page_paragraph (page, 0, &caption,
                         _ ("A board of this kind. The yellow mark shows where the fault was, or where the readings point."));
      bl_page_space (page, 6);
    }
  for (guint i = 0; i < MIN (report->pictures->len, FEW); i += 2)
    {
      if (!headed)
        bl_page_heading (page, _ ("Photos"), LITTLE + 16);
      headed = TRUE;
      draw_row_of_pictures (page, i, MIN (2, MIN (report->pictures->len, FEW) - i), LITTLE);
    }
}
