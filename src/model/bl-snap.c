/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Snapping while outlines are drawn on a photo. Plain geometry without a display, so that the order of
 * what catches and the reach can be stated and tested. Sections and stages meet along edges and run along
 * rows of parts, and a hand on a mouse cannot hit the same pixel twice.
 *
 * A photo has up to some 100 outlines and 300 places: all are looked at for every movement. Edges are cut
 * with each other only where both are within reach.
 */
#include "config.h"

#include "bl-snap.h"

#include <math.h>

typedef struct
{
  const char *name; /* interned */
  double x, y;
} Spot;

typedef struct
{
  const char *name; /* interned */
  double ax, ay, bx, by;
} Edge;

struct BlSnapField
{
  GArray *places;  /* Spot */
  GArray *corners; /* Spot */
  GArray *edges;   /* Edge */
  GArray *lines;   /* Spot */
};

BlSnapField *
bl_snap_field_new (void)
{
  BlSnapField *field = g_new0 (BlSnapField, 1);

  field->places = g_array_new (FALSE, FALSE, sizeof (Spot));
  field->corners = g_array_new (FALSE, FALSE, sizeof (Spot));
  field->edges = g_array_new (FALSE, FALSE, sizeof (Edge));
  field->lines = g_array_new (FALSE, FALSE, sizeof (Spot));
  return field;
}

void
bl_snap_field_free (BlSnapField *field)
{
  if (field == NULL)
    return;
  g_array_unref (field->places);
  g_array_unref (field->corners);
  g_array_unref (field->edges);
  g_array_unref (field->lines);
  g_free (field);
}

static void
add_spot (GArray *spots, const char *name, double x, double y)
{
  const Spot spot = { g_intern_string (name), x, y };

  if (isfinite (x) && isfinite (y))
    g_array_append_val (spots, spot);
}

void
bl_snap_field_add_outline (BlSnapField *field, const char *name, const double *points, guint n_corners)
{
  g_return_if_fail (field != NULL && (points != NULL || n_corners == 0));

  for (guint i = 0; i < n_corners; i++)
    {
      guint j = (i + 1) % n_corners;
      const Edge edge = { g_intern_string (name), points[2 * i], points[2 * i + 1], points[2 * j], points[2 * j + 1] };
      add_spot (field->corners, name, edge.ax, edge.ay);
      if (n_corners > 1)
        g_array_append_val (field->edges, edge);
    }
}

void
bl_snap_field_add_place (BlSnapField *field, const char *name, double x, double y)
{
  g_return_if_fail (field != NULL);
  add_spot (field->places, name, x, y);
}

void
bl_snap_field_add_line (BlSnapField *field, double x, double y)
{
  g_return_if_fail (field != NULL);
  add_spot (field->lines, NULL, x, y);
}

void
bl_snap_field_clear_lines (BlSnapField *field)
{
  g_return_if_fail (field != NULL);
  g_array_set_size (field->lines, 0);
}

/* --- one corner --- */

/* The nearest spot within *reach, which becomes its distance; NULL: none. */
static const Spot *
nearest_spot (const GArray *spots, double x, double y, double *reach)
{
  const Spot *found = NULL;

  for (guint i = 0; i < spots->len; i++)
    {
      const Spot *spot = &g_array_index (spots, Spot, i);
      double distance = hypot (spot->x - x, spot->y - y);
      if (distance > *reach || (distance == *reach && found != NULL))
        continue;
      *reach = distance;
      found = spot;
    }
  return found;
}

static gboolean
catch_spot (const BlSnapField *field, double x, double y, double reach, BlSnap *snap)
{
  const Spot *corner = nearest_spot (field->corners, x, y, &reach);
  /* Parts stand inside outlines, not on their corners: a place must be the nearer one. */
  const Spot *place = nearest_spot (field->places, x, y, &reach), *spot = place != NULL ? place : corner;

  if (spot == NULL)
    return FALSE;
  snap->kind = place != NULL ? BL_SNAP_PLACE : BL_SNAP_CORNER;
  snap->name = spot->name;
  snap->x = spot->x;
  snap->y = spot->y;
  return TRUE;
}

/* The point of the edge that is nearest to (x, y); returns its distance. */
static double
foot_on (const Edge *edge, double x, double y, double *at_x, double *at_y)
{
  double dx = edge->bx - edge->ax, dy = edge->by - edge->ay, l2 = dx * dx + dy * dy;
  double t = l2 > 0 ? CLAMP (((x - edge->ax) * dx + (y - edge->ay) * dy) / l2, 0, 1) : 0;

  *at_x = edge->ax + t * dx;
  *at_y = edge->ay + t * dy;
  return hypot (*at_x - x, *at_y - y);
}

/* Where two edges cross, both as far as they are drawn. */
static gboolean
crossing (const Edge *a, const Edge *b, double *x, double *y)
{
  double ux = a->bx - a->ax, uy = a->by - a->ay, vx = b->bx - b->ax, vy = b->by - b->ay;
  double area = ux * vy - uy * vx;

  /* Nearly parallel ones cross nowhere that a hand could mean: below half a degree. */
  if (fabs (area) < 0.009 * hypot (ux, uy) * hypot (vx, vy) || area == 0)
    return FALSE;
  double s = ((b->ax - a->ax) * vy - (b->ay - a->ay) * vx) / area;
  double t = ((b->ax - a->ax) * uy - (b->ay - a->ay) * ux) / area;
  *x = a->ax + s * ux;
  *y = a->ay + s * uy;
  return s >= 0 && s <= 1 && t >= 0 && t <= 1;
}

/* The corner whose x (or y) is nearest; -1: none within reach. */
static int
in_line (const GArray *lines, gboolean by_x, double at, double reach)
{
  int found = -1;

  for (guint i = 0; i < lines->len; i++)
    {
      const Spot *line = &g_array_index (lines, Spot, i);
      double distance = fabs ((by_x ? line->x : line->y) - at);
      if (distance > reach || (found >= 0 && distance >= reach))
        continue;
      reach = distance;
      found = (int) i;
    }
  return found;
}

static void
align (const BlSnapField *field, double x, double y, double reach, BlSnap *snap)
{
  int above = in_line (field->lines, TRUE, x, reach), beside = in_line (field->lines, FALSE, y, reach);

  snap->x = x;
  snap->y = y;
  if (above >= 0)
    {
      snap->above = TRUE;
      snap->above_x = snap->x = g_array_index (field->lines, Spot, above).x;
      snap->above_y = g_array_index (field->lines, Spot, above).y;
    }
  if (beside >= 0)
    {
      snap->beside = TRUE;
      snap->beside_x = g_array_index (field->lines, Spot, beside).x;
      snap->beside_y = snap->y = g_array_index (field->lines, Spot, beside).y;
    }
  if (snap->above || snap->beside)
    snap->kind = BL_SNAP_ALIGN;
}

static void
take_edge (BlSnap *snap, const Edge *edge, double x, double y)
{
  snap->kind = BL_SNAP_EDGE;
  snap->name = edge->name;
  snap->x = x;
  snap->y = y;
  snap->ax = edge->ax;
  snap->ay = edge->ay;
  snap->bx = edge->bx;
  snap->by = edge->by;
}

/* The edge, with a line of alignment where it crosses that within reach. */
static void
cross_lines (const Edge *edge, double x, double y, double reach, BlSnap *snap)
{
  const BlSnap aligned = *snap;
  double at_x, at_y, least = reach;
  gboolean above = FALSE, beside = FALSE;

  take_edge (snap, edge, x, y);
  foot_on (edge, x, y, &snap->x, &snap->y);
  if (aligned.above
      && crossing (edge, &(Edge){ NULL, aligned.above_x, y - reach, aligned.above_x, y + reach }, &at_x, &at_y)
      && hypot (at_x - x, at_y - y) <= least)
    {
      least = hypot (at_x - x, at_y - y);
      above = TRUE;
      snap->x = at_x;
      snap->y = at_y;
    }
  if (aligned.beside
      && crossing (edge, &(Edge){ NULL, x - reach, aligned.beside_y, x + reach, aligned.beside_y }, &at_x, &at_y)
      && hypot (at_x - x, at_y - y) < least)
    {
      above = FALSE;
      beside = TRUE;
      snap->x = at_x;
      snap->y = at_y;
    }
  /* Along an edge that itself runs straight, the other line may hold as well. */
  snap->above = above || (aligned.above && fabs (snap->x - aligned.above_x) < 1e-6);
  snap->beside = beside || (aligned.beside && fabs (snap->y - aligned.beside_y) < 1e-6);
}

static gboolean
catch_edge (const BlSnapField *field, double x, double y, double reach, BlSnap *snap)
{
  g_autoptr (GArray) near = g_array_new (FALSE, FALSE, sizeof (const Edge *));
  const Edge *nearest = NULL;
  double least = reach, cross = reach, at_x, at_y;
  gboolean crossed = FALSE;

  for (guint i = 0; i < field->edges->len; i++)
    {
      const Edge *edge = &g_array_index (field->edges, Edge, i);
      double distance = foot_on (edge, x, y, &at_x, &at_y);
      if (distance > reach)
        continue;
      if (nearest == NULL || distance < least)
        {
          least = distance;
          nearest = edge;
        }
      for (guint k = 0; k < near->len; k++)
        if (crossing (edge, g_array_index (near, const Edge *, k), &at_x, &at_y)
            && hypot (at_x - x, at_y - y) <= cross)
          {
            cross = hypot (at_x - x, at_y - y);
            crossed = TRUE;
            take_edge (snap, edge, at_x, at_y);
          }
      g_array_append_val (near, edge);
    }
  if (crossed)
    snap->above = snap->beside = FALSE;
  else if (nearest != NULL)
    cross_lines (nearest, x, y, reach, snap);
  return nearest != NULL;
}

BlSnap
bl_snap (const BlSnapField *field, double x, double y, double reach)
{
  BlSnap snap = { .kind = BL_SNAP_NONE, .x = x, .y = y };

  g_return_val_if_fail (field != NULL && reach >= 0, snap);
  if (catch_spot (field, x, y, reach, &snap))
    return snap;
  align (field, x, y, reach, &snap);
  catch_edge (field, x, y, reach, &snap);
  return snap;
}

/* --- a whole outline --- */

/* The smaller the better: spots before edges, then the nearer. */
static double
worth (const BlSnap *snap, double distance, double reach)
{
  return snap->kind == BL_SNAP_EDGE ? reach + distance : distance;
}

BlSnap
bl_snap_outline (const BlSnapField *field, const double *points, guint n_corners, double *dx, double *dy, double reach)
{
  BlSnap best = { .kind = BL_SNAP_NONE, .x = NAN, .y = NAN };
  double least = INFINITY, by_x = 0, by_y = 0;

  g_return_val_if_fail (field != NULL && points != NULL && dx != NULL && dy != NULL && reach >= 0, best);
  for (guint i = 0; i < n_corners; i++)
    {
      double x = points[2 * i] + *dx, y = points[2 * i + 1] + *dy;
      BlSnap snap = { .kind = BL_SNAP_NONE, .x = x, .y = y };
      if (!catch_spot (field, x, y, reach, &snap) && !catch_edge (field, x, y, reach, &snap))
        continue;
      double now = worth (&snap, hypot (snap.x - x, snap.y - y), reach);
      if (now >= least)
        continue;
      least = now;
      best = snap;
      by_x = snap.x - x;
      by_y = snap.y - y;
    }
  *dx += by_x;
  *dy += by_y;
  return best;
}
