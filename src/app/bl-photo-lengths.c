/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lengths told on the photo while something is drawn or moved, and a ruler between two places. What a length is in
 * words is its user's business: the view knows pixels only. A press near a thing takes that thing's place and name. */
#include "config.h"

#include "bl-photo-view-private.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#include "bl-style.h"

struct BlPhotoLengths
{
  BlPhotoLengthFunc words;
  gpointer data;
  guint n;           /* ends of the ruler, 2 at most */
  double at[4];      /* x, y, x, y, photo px */
  char *name[2];     /* of the thing that stands there, NULL: none */
};

void
bl_photo_view_set_length_func (BlPhotoView *self, BlPhotoLengthFunc words, gpointer data)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  if (self->lengths == NULL)
    self->lengths = g_new0 (BlPhotoLengths, 1);
  self->lengths->words = words;
  self->lengths->data = data;
}

static void
forget_ruler (BlPhotoLengths *lengths)
{
  lengths->n = 0;
  g_clear_pointer (&lengths->name[0], g_free);
  g_clear_pointer (&lengths->name[1], g_free);
}

void
bl_photo_lengths_free (BlPhotoLengths *lengths)
{
  if (lengths == NULL)
    return;
  forget_ruler (lengths);
  g_free (lengths);
}

gboolean
bl_photo_lengths_press (BlPhotoView *self, const BlPhotoItem *item, double x, double y)
{
  BlPhotoLengths *lengths = self->lengths;

  if (lengths == NULL || self->tool != BL_PHOTO_TOOL_RULER)
    return FALSE;
  if (lengths->n == 2)
    forget_ruler (lengths);
  double *at = &lengths->at[2 * lengths->n];
  if (item != NULL)
    {
      at[0] = item->x;
      at[1] = item->y;
      lengths->name[lengths->n] = g_strdup (item->name != NULL ? item->name : item->id);
    }
  else
    bl_viewport_to_image (&self->viewport, x, y, &at[0], &at[1]);
  lengths->n++;
  gtk_widget_queue_draw (GTK_WIDGET (self));
  return TRUE;
}

/* --- drawing --- */

/* A chip with its middle at the view point, kept inside the pane. */
static void
draw_chip (BlPhotoView *self, cairo_t *cr, const char *text, double x, double y)
{
  const BlPalette *dark = bl_palette_get (TRUE);
  g_autoptr (PangoLayout) layout = bl_style_layout (GTK_WIDGET (self), text, 13, 700);
  int width, height;

  pango_layout_get_pixel_size (layout, &width, &height);
  x = CLAMP (x, width / 2 + 6, MAX (width / 2 + 6, self->viewport.view_w - width / 2 - 6));
  y = CLAMP (y, height / 2 + 3, MAX (height / 2 + 3, self->viewport.view_h - height / 2 - 3));
  cairo_rectangle (cr, round (x - width / 2.0 - 5), round (y - height / 2.0 - 2), width + 10, height + 4);
  bl_set_source (cr, &dark->chip_ink);
  cairo_fill (cr);
  bl_style_show (cr, layout, &dark->chip, x, y, 0.5);
}

static char *
length_words (BlPhotoView *self, double x0, double y0, double x1, double y1)
{
  return self->lengths->words (x0, y0, x1, y1, self->lengths->data);
}

/* The length between two places of the photo, beside the middle of the line. */
static void
draw_length (BlPhotoView *self, cairo_t *cr, double x0, double y0, double x1, double y1)
{
  g_autofree char *words = length_words (self, x0, y0, x1, y1);
  double ax, ay, bx, by;

  bl_viewport_to_view (&self->viewport, x0, y0, &ax, &ay);
  bl_viewport_to_view (&self->viewport, x1, y1, &bx, &by);
  if (hypot (bx - ax, by - ay) > 24)
    draw_chip (self, cr, words, (ax + bx) / 2, (ay + by) / 2 - 16);
}

static void
draw_ruler (BlPhotoView *self, cairo_t *cr)
{
  static const BlColour white = { 1, 1, 1 };
  const BlPhotoLengths *lengths = self->lengths;
  g_autofree char *words = NULL, *said = NULL;
  double end[2] = { lengths->at[2], lengths->at[3] }, ax, ay, bx, by, dx, dy, length;

  if (lengths->n == 0 || (lengths->n == 1 && isnan (self->pointer_x)))
    return;
  if (lengths->n == 1)
    bl_viewport_to_image (&self->viewport, self->pointer_x, self->pointer_y, &end[0], &end[1]);
  bl_viewport_to_view (&self->viewport, lengths->at[0], lengths->at[1], &ax, &ay);
  bl_viewport_to_view (&self->viewport, end[0], end[1], &bx, &by);
  length = hypot (bx - ax, by - ay);
  dx = length > 0 ? -(by - ay) / length * 7 : 0;
  dy = length > 0 ? (bx - ax) / length * 7 : 7;
  for (int pass = 0; pass < 2; pass++)
    {
      cairo_move_to (cr, ax, ay);
      cairo_line_to (cr, bx, by);
      cairo_move_to (cr, ax - dx, ay - dy);
      cairo_line_to (cr, ax + dx, ay + dy);
      cairo_move_to (cr, bx - dx, by - dy);
      cairo_line_to (cr, bx + dx, by + dy);
      cairo_set_line_width (cr, pass == 0 ? 4.5 : 2);
      bl_set_source (cr, pass == 0 ? &bl_palette_get (TRUE)->chip : &white);
      cairo_stroke (cr);
    }
  words = length_words (self, lengths->at[0], lengths->at[1], end[0], end[1]);
  if (lengths->n == 2 && lengths->name[0] != NULL && lengths->name[1] != NULL)
    said = g_strdup_printf (_ ("%s to %s: %s"), lengths->name[0], lengths->name[1], words);
  draw_chip (self, cr, said != NULL ? said : words, (ax + bx) / 2, (ay + by) / 2 - 18);
}

/* Width and height of a rectangle, the newest edge of a polygon and the one to the pointer. */
static void
draw_draft (BlPhotoView *self, cairo_t *cr)
{
  const double *at = (const double *) (gpointer) self->draft->data;
  guint n = self->draft->len / 2;
  double x, y;

  if (self->tool == BL_PHOTO_TOOL_RECTANGLE && n == 4)
    {
      g_autofree char *across = length_words (self, at[0], at[1], at[2], at[3]);
      g_autofree char *down = length_words (self, at[2], at[3], at[4], at[5]);
      g_autofree char *words = g_strdup_printf ("%s × %s", across, down);
      bl_viewport_to_view (&self->viewport, (at[0] + at[4]) / 2, (at[1] + at[5]) / 2, &x, &y);
      draw_chip (self, cr, words, x, y);
      return;
    }
  if (n > 1)
    draw_length (self, cr, at[2 * n - 4], at[2 * n - 3], at[2 * n - 2], at[2 * n - 1]);
  if (n > 0 && !isnan (self->pointer_x))
    {
      bl_viewport_to_image (&self->viewport, self->pointer_x, self->pointer_y, &x, &y);
      draw_length (self, cr, at[2 * n - 2], at[2 * n - 1], x, y);
    }
}

/* How far what is dragged is from where it was. */
static void
draw_moved (BlPhotoView *self, cairo_t *cr)
{
  double x0, y0, x1, y1;
  g_autofree char *words = NULL;

  if (self->act != ACT_ITEM || !self->moving || isnan (self->pointer_x))
    return;
  bl_viewport_to_image (&self->viewport, self->start_x, self->start_y, &x0, &y0);
  bl_viewport_to_image (&self->viewport, self->pointer_x, self->pointer_y, &x1, &y1);
  words = length_words (self, x0, y0, x1, y1);
  g_autofree char *said = g_strdup_printf (_ ("moved %s"), words);
  draw_chip (self, cr, said, self->pointer_x, self->pointer_y - 34);
}

void
bl_photo_lengths_draw (BlPhotoView *self, cairo_t *cr)
{
  if (self->lengths == NULL || self->lengths->words == NULL)
    return;
  if (self->tool == BL_PHOTO_TOOL_RULER)
    draw_ruler (self, cr);
  else if (self->lengths->n > 0)
    forget_ruler (self->lengths);
  if (self->draft != NULL)
    draw_draft (self, cr);
  draw_moved (self, cr);
}
