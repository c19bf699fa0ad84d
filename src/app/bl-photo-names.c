/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names on the photo: of sections, of the likely failed stage, of points, leads, suspects and
 * marks.
 *
 * Where they go is found once for a view and what stands on it, not in every frame: outlines' names
 * on the edge of their outline where they cover least, then the items' by bl-label-place.c. What
 * the technician looks for (the point in hand, the black lead, what was read) is never left out; a
 * quiet name, or one there is no room for, shows near the pointer. Up to some 200 items. */
#include "config.h"

#include "bl-photo-paint.h"

#include <math.h>

#include "bl-style.h"

#define NEAR_POINTER 48.0 /* view px */
#define MOST_NAME 24.0    /* width of a name in its own size */

static const BlColour white = { 1, 1, 1 };

static PangoLayout *
cached_layout (const BlPhotoPaint *paint, const char *text, double px, int weight)
{
  g_autofree char *key = g_strdup_printf ("%g %d %s", px, weight, text);
  PangoLayout *layout = g_hash_table_lookup (paint->layouts, key);

  if (layout == NULL)
    {
      int width;
      layout = bl_style_layout (paint->widget, text, px, weight);
      pango_layout_get_pixel_size (layout, &width, NULL);
      if (width > MOST_NAME * px)
        {
          pango_layout_set_ellipsize (layout, PANGO_ELLIPSIZE_MIDDLE);
          pango_layout_set_width (layout, (int) (MOST_NAME * px * PANGO_SCALE));
        }
      g_hash_table_insert (paint->layouts, g_steal_pointer (&key), layout);
    }
  return layout;
}

/* Size of a chip with this text. */
static void
chip_size (const BlPhotoPaint *paint, const char *text, double px, double *width, double *height)
{
  int w, h;

  pango_layout_get_pixel_size (cached_layout (paint, text, px, 700), &w, &h);
  *width = w + 8 * paint->scale;
  *height = MAX (h, 15 * paint->scale);
}

static void
draw_chip (const BlPhotoPaint *paint,
           cairo_t *cr,
           const char *text,
           double px,
           const graphene_rect_t *box,
           const BlColour *ground,
           const BlColour *ink)
{
  bl_set_source (cr, ground);
  cairo_rectangle (cr, box->origin.x, box->origin.y, box->size.width, box->size.height);
  cairo_fill (cr);
  bl_style_show (cr, cached_layout (paint, text, px, 700), ink, box->origin.x + box->size.width / 2,
                 box->origin.y + box->size.height / 2, 0.5);
}

static void
view_bounds (const BlPhotoPaint *paint, GArray *points, graphene_rect_t *box)
{
  double x0 = INFINITY, y0 = INFINITY, x1 = -INFINITY, y1 = -INFINITY;

  for (guint i = 0; i + 1 < points->len; i += 2)
    {
      double x, y;
      bl_viewport_to_view (paint->viewport, g_array_index (points, double, i),
                           g_array_index (points, double, i + 1), &x, &y);
      x0 = MIN (x0, x);
      y0 = MIN (y0, y);
      x1 = MAX (x1, x);
      y1 = MAX (y1, y);
    }
  graphene_rect_init (box, (float) x0, (float) y0, (float) (x1 - x0), (float) (y1 - y0));
}

/* --- finding room --- */

static guint
n_outlines (const BlPhotoPaint *paint)
{
  return paint->outlines != NULL ? paint->outlines->len : 0;
}

const BlLabel *
bl_photo_names_item (const BlPhotoPaint *paint, guint item)
{
  return &g_array_index (paint->labels, BlLabel, n_outlines (paint) + item);
}

static double
name_px (const BlPhotoPaint *paint, const BlPhotoItem *item)
{
  return (item->in_hand ? 13 : item->far != BL_PHOTO_HERE ? 11 : 11.5) * paint->scale;
}

/* The higher the sooner it is placed. */
static int
rank_of (const BlPhotoItem *item)
{
  if (item->in_hand)
    return 5;
  if (item->far != BL_PHOTO_HERE)
    return -1;
  switch (item->kind)
    {
    case BL_PHOTO_LANDMARK:
    case BL_PHOTO_BLACK:
      return 4;
    case BL_PHOTO_MARK:
      return 2;
    case BL_PHOTO_DIFFERENCE:
      return 3;
    case BL_PHOTO_COMPONENT:
      return 1;
    case BL_PHOTO_POINT:
    default:
      return item->shape >= 0 ? 3 : 0;
    }
}

static BlLabel
label_of (const BlPhotoPaint *paint, const BlPhotoItem *item)
{
  BlLabel label = { .r = (item->in_hand      ? 17
                          : item->kind == BL_PHOTO_LANDMARK ? 13
                          : item->shape >= 0 ? 9
                                             : 6) *
                         paint->scale,
                    .rank = rank_of (item) };
  double margin = 40 * paint->scale;

  bl_viewport_to_view (paint->viewport, item->x, item->y, &label.x, &label.y);
  if (label.x < -margin || label.y < -margin || label.x > paint->viewport->view_w + margin ||
      label.y > paint->viewport->view_h + margin)
    label.x = NAN;
  label.gap = (item->in_hand ? 24 : item->kind == BL_PHOTO_LANDMARK ? 16 : 12) * paint->scale;
  label.below = item->in_hand;
  label.needed = label.rank >= 3;
  if (item->name != NULL && (!item->quiet || item->in_hand))
    chip_size (paint, item->name, name_px (paint, item), &label.w, &label.h);
  return label;
}

/* Area of marks and of names placed so far that a box would cover. */
static double
covered (const BlLabelBox *box, GArray *labels, guint placed, guint first_item)
{
  double area = 0;

  for (guint i = 0; i < placed; i++)
    area += bl_label_overlap (box, &g_array_index (labels, BlLabel, i).box);
  for (guint i = first_item; i < labels->len; i++)
    {
      const BlLabel *mark = &g_array_index (labels, BlLabel, i);
      const BlLabelBox around = { mark->x - mark->r, mark->y - mark->r, 2 * mark->r, 2 * mark->r };
      if (!isnan (mark->x))
        area += bl_label_overlap (box, &around);
    }
  return area;
}

/* Along the edges of the outline: the tab of the likely stage stands on them, a section's name in
 * them. */
static void
place_outline (const BlPhotoPaint *paint,
               const BlPhotoOutline *outline,
               GArray *labels,
               guint index)
{
  BlLabel *label = &g_array_index (labels, BlLabel, index);
  gboolean likely = outline->kind == BL_PHOTO_LIKELY;
  double least = INFINITY, w, h, reach;
  graphene_rect_t b;

  if (outline->name == NULL || outline->points == NULL || outline->points->len < 6)
    return;
  view_bounds (paint, outline->points, &b);
  if (b.origin.x >= paint->viewport->view_w || b.origin.y >= paint->viewport->view_h ||
      b.origin.x + b.size.width <= 0 || b.origin.y + b.size.height <= 0)
    return;
  chip_size (paint, outline->name, (likely ? 13 : 12) * paint->scale, &w, &h);
  w += likely ? 6 * paint->scale : 0;
  h += likely ? 6 * paint->scale : 0;
  reach = b.size.width - w;
  for (guint i = 0; i < 15 && least > 0; i++)
    {
      /* Top edge, bottom edge, then inside below the top: from the middle (a tab: from the left).
       */
      static const double along[2][5] = { { 0.5, 0.25, 0.75, 0.02, 0.98 },
                                          { 0, 0.25, 0.5, 0.75, 1 } };
      double x = b.origin.x + along[likely][i % 5] * reach;
      double top = b.origin.y - (likely ? h - 1 : h / 2);
      double bottom = b.origin.y + b.size.height - (likely ? 1 : h / 2);
      double y = i < 5 ? top : i < 10 ? bottom : b.origin.y + h / 2 + 2;
      const BlLabelBox box = { round (CLAMP (x, 2, MAX (2, paint->viewport->view_w - w - 2))),
                               round (CLAMP (y, 2, MAX (2, paint->viewport->view_h - h - 2))), w,
                               h };
      double area = covered (&box, labels, n_outlines (paint), n_outlines (paint)) +
                    bl_label_overlap (&box, &paint->reserved);
      if (area >= least)
        continue;
      least = area;
      label->box = box;
    }
}

GArray *
bl_photo_names_place (const BlPhotoPaint *paint)
{
  guint outlines = n_outlines (paint), items = paint->items != NULL ? paint->items->len : 0;
  GArray *labels = g_array_sized_new (FALSE, TRUE, sizeof (BlLabel), outlines + items);
  g_autoptr (GArray) fixed = g_array_new (FALSE, FALSE, sizeof (BlLabelBox));

  g_array_set_size (labels, outlines);
  for (guint i = 0; i < items; i++)
    {
      BlLabel label = label_of (paint, g_ptr_array_index (paint->items, i));
      g_array_append_val (labels, label);
    }
  for (int likely = 1; likely >= 0; likely--)
    for (guint i = 0; i < outlines; i++)
      {
        const BlPhotoOutline *outline = g_ptr_array_index (paint->outlines, i);
        if ((outline->kind == BL_PHOTO_LIKELY) == likely)
          place_outline (paint, outline, labels, i);
      }
  for (guint i = 0; i < outlines; i++)
    {
      BlLabelBox box = g_array_index (labels, BlLabel, i).box;
      if (box.w > 0) /* with the tab's casing */
        box = (BlLabelBox){ box.x - 2, box.y - 2, box.w + 4, box.h + 4 };
      g_array_append_val (fixed, box);
    }
  g_array_append_val (fixed, paint->reserved);
  if (items > 0)
    bl_labels_place (&g_array_index (labels, BlLabel, outlines), items,
                     (const BlLabelBox *) (gpointer) fixed->data, fixed->len,
                     paint->viewport->view_w, paint->viewport->view_h);
  return labels;
}

void
bl_photo_names_follow (const BlPhotoPaint *paint, GArray *labels)
{
  guint outlines = n_outlines (paint);

  for (guint i = 0; i < outlines; i++)
    {
      g_array_index (labels, BlLabel, i) = (BlLabel){ 0 };
      place_outline (paint, g_ptr_array_index (paint->outlines, i), labels, i);
    }
  for (guint i = outlines; i < labels->len; i++)
    {
      BlLabel *label = &g_array_index (labels, BlLabel, i);
      BlLabel now = label_of (paint, g_ptr_array_index (paint->items, i - outlines));
      label->box.x = round (label->box.x + now.x - label->x);
      label->box.y = round (label->box.y + now.y - label->y);
      if (isnan (label->box.x))
        label->box = (BlLabelBox){ 0 };
      label->x = now.x;
      label->y = now.y;
    }
}

gboolean
bl_photo_names_outline_box (const BlPhotoPaint *paint, guint outline, graphene_rect_t *box)
{
  const BlLabelBox *at = &g_array_index (paint->labels, BlLabel, outline).box;

  graphene_rect_init (box, (float) at->x, (float) at->y, (float) at->w, (float) at->h);
  return at->w > 0;
}

/* --- drawing --- */

void
bl_photo_names_draw_outlines (const BlPhotoPaint *paint, cairo_t *cr)
{
  const BlPalette *dark = bl_palette_get (TRUE);

  for (guint i = 0; i < n_outlines (paint); i++)
    {
      const BlPhotoOutline *outline = g_ptr_array_index (paint->outlines, i);
      graphene_rect_t box;
      if (!bl_photo_names_outline_box (paint, i, &box))
        continue;
      if (outline->kind != BL_PHOTO_LIKELY)
        {
          draw_chip (paint, cr, outline->name, 12 * paint->scale, &box,
                     outline->far != BL_PHOTO_HERE ? &dark->hairline : &dark->chip,
                     outline->far != BL_PHOTO_HERE ? &dark->muted : &dark->chip_ink);
          continue;
        }
      bl_set_source (cr, &dark->chip);
      cairo_rectangle (cr, box.origin.x - 2, box.origin.y - 2, box.size.width + 4,
                       box.size.height + 2);
      cairo_fill (cr);
      draw_chip (paint, cr, outline->name, 13 * paint->scale, &box, &dark->likely,
                 &dark->likely_ink);
    }
}

/* From the edge of the mark to the nearest edge of its name. */
static void
draw_leader (const BlPhotoPaint *paint, cairo_t *cr, const BlLabel *label)
{
  double x, y, length;

  bl_label_nearest (&label->box, label->x, label->y, &x, &y);
  length = hypot (x - label->x, y - label->y);
  if (length <= label->r)
    return;
  for (int pass = 0; pass < 2; pass++)
    {
      cairo_move_to (cr, label->x + (x - label->x) * label->r / length,
                     label->y + (y - label->y) * label->r / length);
      cairo_line_to (cr, x, y);
      cairo_set_line_width (cr, (pass == 0 ? 3.5 : 1.5) * paint->scale);
      bl_set_source (cr, pass == 0 ? &bl_palette_get (TRUE)->chip : &white);
      cairo_stroke (cr);
    }
}

/* A name that has no place finds one while the pointer is near. FALSE: it is not. */
static gboolean
place_at_pointer (const BlPhotoPaint *paint, const BlPhotoItem *item, BlLabel *label)
{
  g_autoptr (GArray) fixed = g_array_new (FALSE, FALSE, sizeof (BlLabelBox));

  if (!(hypot (label->x - paint->pointer_x, label->y - paint->pointer_y) < NEAR_POINTER))
    return FALSE;
  for (guint i = 0; i < paint->labels->len; i++)
    {
      const BlLabel *other = &g_array_index (paint->labels, BlLabel, i);
      const BlLabelBox mark = { other->x - other->r, other->y - other->r, 2 * other->r, 2 * other->r };
      g_array_append_val (fixed, other->box);
      if (i >= n_outlines (paint) && !isnan (other->x))
        g_array_append_val (fixed, mark);
    }
  chip_size (paint, item->name, name_px (paint, item), &label->w, &label->h);
  label->needed = TRUE;
  bl_labels_place (label, 1, (const BlLabelBox *) (gpointer) fixed->data, fixed->len,
                   paint->viewport->view_w, paint->viewport->view_h);
  return TRUE;
}

void
bl_photo_names_draw_items (const BlPhotoPaint *paint, cairo_t *cr)
{
  const BlPalette *dark = bl_palette_get (TRUE);

  /* Leaders first, so that none runs over a name. */
  for (int pass = 0; pass < 2; pass++)
    for (guint i = 0; paint->items != NULL && i < paint->items->len; i++)
      {
        const BlPhotoItem *item = g_ptr_array_index (paint->items, i);
        BlLabel label = *bl_photo_names_item (paint, i);
        const BlLabelBox *at = &label.box;
        graphene_rect_t box;
        if (item->name == NULL || isnan (label.x))
          continue;
        if (at->w <= 0 && (!place_at_pointer (paint, item, &label) || at->w <= 0))
          continue;
        graphene_rect_init (&box, (float) at->x, (float) at->y, (float) at->w, (float) at->h);
        if (pass == 0 && label.led)
          draw_leader (paint, cr, &label);
        else if (pass == 1)
          draw_chip (paint, cr, item->name, name_px (paint, item), &box,
                     item->in_hand ? &white : item->far != BL_PHOTO_HERE ? &dark->hairline : &dark->chip,
                     item->in_hand ? &dark->chip : item->far != BL_PHOTO_HERE ? &dark->muted : &dark->chip_ink);
      }
}
