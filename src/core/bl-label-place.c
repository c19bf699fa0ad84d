/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Places names on a photo. Greedy by rank, because what the technician looks for (the point in
 * hand, the black lead, what was read) must be where it is expected, and a name that jumps about
 * because of less important ones would be worse than one left out. Rules and sizes only: no text,
 * no drawing.
 */
#include "config.h"

#include "bl-label-place.h"

#include <math.h>

#define NEAR 8   /* places close to the mark */
#define ROUND 12 /* directions of those farther off */
#define RINGS 3

double
bl_label_overlap (const BlLabelBox *a, const BlLabelBox *b)
{
  g_return_val_if_fail (a != NULL && b != NULL, 0);
  double w = MIN (a->x + a->w, b->x + b->w) - MAX (a->x, b->x);
  double h = MIN (a->y + a->h, b->y + b->h) - MAX (a->y, b->y);

  return a->w > 0 && b->w > 0 && w > 0 && h > 0 ? w * h : 0;
}

void
bl_label_nearest (const BlLabelBox *box, double x, double y, double *at_x, double *at_y)
{
  g_return_if_fail (box != NULL && at_x != NULL && at_y != NULL);
  *at_x = CLAMP (x, box->x, box->x + box->w);
  *at_y = CLAMP (y, box->y, box->y + box->h);
}

/* The i-th place of a name; the first NEAR are beside the mark. */
static BlLabelBox
candidate (const BlLabel *label, guint i)
{
  double x = label->x, y = label->y, w = label->w, h = label->h, gap = label->gap;
  const double near[NEAR][2] = {
    { x + gap, y - h / 2 },
    { x - gap - w, y - h / 2 },
    { x - w / 2, y + gap },
    { x - w / 2, y - gap - h },
    { x + gap * 0.7, y + gap / 2 },
    { x + gap * 0.7, y - h - gap / 2 },
    { x - gap * 0.7 - w, y + gap / 2 },
    { x - gap * 0.7 - w, y - h - gap / 2 },
  };
  static const int order[2][NEAR] = { { 0, 1, 2, 3, 4, 5, 6, 7 }, { 2, 0, 1, 3, 4, 5, 6, 7 } };

  if (i < NEAR)
    {
      const double *at = near[order[label->below][i]];
      return (BlLabelBox){ round (at[0]), round (at[1]), w, h };
    }
  double angle = (i - NEAR) % ROUND * 2 * G_PI / ROUND, ring = 1 + (i - NEAR) / ROUND;
  double reach = gap + ring * 1.4 * h;
  /* The near edge of the box, not its middle, lies at the reach. */
  return (BlLabelBox){ round (x + cos (angle) * (reach + w / 2) - w / 2),
                       round (y + sin (angle) * (reach + h / 2) - h / 2), w, h };
}

/* Area a box would cover of everything that is taken: marks, fixed boxes, names placed so far. */
static double
covered (const BlLabelBox *box,
         const BlLabel *labels,
         guint n,
         const BlLabelBox *fixed,
         guint n_fixed)
{
  double area = 0;

  for (guint i = 0; i < n_fixed; i++)
    area += bl_label_overlap (box, &fixed[i]);
  for (guint i = 0; i < n; i++)
    {
      const BlLabel *other = &labels[i];
      const BlLabelBox mark = { other->x - other->r, other->y - other->r, 2 * other->r,
                                2 * other->r };
      if (isnan (other->x))
        continue;
      area += bl_label_overlap (box, &mark) + bl_label_overlap (box, &other->box);
    }
  return area;
}

static void
place (BlLabel *label,
       const BlLabel *labels,
       guint n,
       const BlLabelBox *fixed,
       guint n_fixed,
       double view_w,
       double view_h)
{
  const BlLabelBox own = { label->x - label->r, label->y - label->r, 2 * label->r, 2 * label->r };
  double least = INFINITY;
  BlLabelBox best = { 0 };
  guint at = 0;

  /* Within the pane; where no place is, a needed one is pushed in from beyond its edge. What it names it
   * never covers: it would hide what it is there to show. */
  for (int pushed = 0; pushed < 2 && isinf (least) && (pushed == 0 || label->needed); pushed++)
    for (guint i = 0; i < NEAR + RINGS * ROUND && least > 0; i++)
      {
        BlLabelBox box = candidate (label, i), inside = box;
        inside.x = CLAMP (box.x, 1, MAX (1, view_w - box.w - 1));
        inside.y = CLAMP (box.y, 1, MAX (1, view_h - box.h - 1));
        if ((pushed == 0 && (inside.x != box.x || inside.y != box.y)) || bl_label_overlap (&inside, &own) > 0)
          continue;
        double area = covered (&inside, labels, n, fixed, n_fixed);
        if (area < least)
          {
            least = area;
            best = inside;
            at = i;
          }
      }
  if (isinf (least) || (least > 0 && !label->needed))
    return;
  label->box = best;
  label->led = at >= NEAR;
}

static int
by_rank (gconstpointer a, gconstpointer b)
{
  const BlLabel *first = *(const BlLabel *const *) a, *second = *(const BlLabel *const *) b;

  if (first->rank != second->rank)
    return first->rank > second->rank ? -1 : 1;
  return first < second ? -1 : first > second;
}

void
bl_labels_place (BlLabel *labels,
                 guint n,
                 const BlLabelBox *fixed,
                 guint n_fixed,
                 double view_w,
                 double view_h)
{
  g_return_if_fail (labels != NULL || n == 0);
  g_return_if_fail (fixed != NULL || n_fixed == 0);
  g_autoptr (GPtrArray) order = g_ptr_array_new ();

  for (guint i = 0; i < n; i++)
    {
      labels[i].box = (BlLabelBox){ 0 };
      labels[i].led = FALSE;
      if (labels[i].w > 0 && !isnan (labels[i].x))
        g_ptr_array_add (order, &labels[i]);
    }
  g_ptr_array_sort (order, by_rank);
  for (guint i = 0; i < order->len; i++)
    place (g_ptr_array_index (order, i), labels, n, fixed, n_fixed, view_w, view_h);
}
