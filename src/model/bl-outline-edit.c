/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Corners of an outline on a photo: a rectangle is refined by corners in its edges, thinned again, moved as
 * a whole. Crossing edges are allowed, as a hand may draw them; inside is then what the even-odd rule says.
 */
#include "config.h"

#include "bl-outline-edit.h"

#include <math.h>

#define X(points, i) g_array_index (points, double, 2 * (i))
#define Y(points, i) g_array_index (points, double, 2 * (i) + 1)

guint
bl_outline_add_corner (GArray *points, guint edge, double x, double y)
{
  g_return_val_if_fail (points != NULL && edge < points->len / 2, 0);
  const double corner[] = { x, y };

  g_array_insert_vals (points, 2 * (edge + 1), corner, 2);
  return edge + 1;
}

gboolean
bl_outline_remove_corner (GArray *points, guint corner)
{
  g_return_val_if_fail (points != NULL && corner < points->len / 2, FALSE);

  if (points->len / 2 <= 3)
    return FALSE;
  g_array_remove_range (points, 2 * corner, 2);
  return TRUE;
}

void
bl_outline_move (GArray *points, double dx, double dy, double width, double height)
{
  g_return_if_fail (points != NULL);
  double x0 = INFINITY, y0 = INFINITY, x1 = -INFINITY, y1 = -INFINITY;

  for (guint i = 0; i < points->len / 2; i++)
    {
      x0 = fmin (x0, X (points, i));
      x1 = fmax (x1, X (points, i));
      y0 = fmin (y0, Y (points, i));
      y1 = fmax (y1, Y (points, i));
    }
  /* One that is beyond the photo already may come back, not go farther. */
  dx = CLAMP (dx, fmin (-x0, 0), fmax (width - x1, 0));
  dy = CLAMP (dy, fmin (-y0, 0), fmax (height - y1, 0));
  for (guint i = 0; i < points->len / 2; i++)
    {
      X (points, i) += dx;
      Y (points, i) += dy;
    }
}

int
bl_outline_nearest_edge (const GArray *points, double x, double y, double *distance)
{
  g_return_val_if_fail (points != NULL, -1);
  guint n = points->len / 2;
  double least = INFINITY;
  int found = -1;

  for (guint i = 0; i < n; i++)
    {
      guint j = (i + 1) % n;
      double dx = X (points, j) - X (points, i), dy = Y (points, j) - Y (points, i), l2 = dx * dx + dy * dy;
      double t = l2 > 0 ? CLAMP (((x - X (points, i)) * dx + (y - Y (points, i)) * dy) / l2, 0, 1) : 0;
      double away = hypot (X (points, i) + t * dx - x, Y (points, i) + t * dy - y);
      if (away >= least)
        continue;
      least = away;
      found = (int) i;
    }
  if (distance != NULL)
    *distance = least;
  return found;
}

gboolean
bl_outline_contains (const GArray *points, double x, double y)
{
  g_return_val_if_fail (points != NULL, FALSE);
  guint n = points->len / 2;
  gboolean inside = FALSE;

  for (guint i = 0, j = n - 1; i < n; j = i++)
    if ((Y (points, i) > y) != (Y (points, j) > y)
        && x < (X (points, j) - X (points, i)) * (y - Y (points, i)) / (Y (points, j) - Y (points, i)) + X (points, i))
      inside = !inside;
  return inside;
}

double
bl_outline_area (const GArray *points)
{
  g_return_val_if_fail (points != NULL, 0);
  guint n = points->len / 2;
  double twice = 0;

  for (guint i = 0; i < n; i++)
    {
      guint j = (i + 1) % n;
      twice += X (points, i) * Y (points, j) - X (points, j) * Y (points, i);
    }
  return fabs (twice) / 2;
}
