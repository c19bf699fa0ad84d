/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Routes the copper of a layout so that the traces in the pictures lead where the nets say, with
 * room around them: a shortest-path search on a half-millimetre grid of two layers, eight
 * directions, bends and vias cost extra. Wide nets are tried wide, then narrower. Lands no net
 * names are joined to a near neighbour, for a board has no lands that lead nowhere.
 *
 * A picture needs traces that look right, not a board that can be made: a connection without a way
 * is left out and counted. 140 connections on 94 000 grid cells take well under a second. */
#include "config.h"

#include "draw-route.h"

#include <math.h>
#include <string.h>

static const double grid = 0.5;       /* mm */
static const double clearance = 0.35; /* mm */

enum
{
  STEP = 10,
  DIAGONAL = 14,
  BEND = 7,
  SHARP = 30,
  VIA = 90,
  BUCKETS = 256
};
enum
{
  FREE = 0,
  BLOCKED = -1
};

static const int dir_x[8] = { 1, 1, 0, -1, -1, -1, 0, 1 };
static const int dir_y[8] = { 0, 1, 1, 1, 0, -1, -1, -1 };

typedef struct
{
  const DrawLayout *layout;
  DrawRoute *route;
  int w, h, cells;
  gint16 *owner; /* layer, row, column: FREE, BLOCKED or a net */
  int *cost;
  gint8 *came; /* direction, 8 for a via, -1 start */
  GArray *bucket[BUCKETS];
} Router;

static int
cell_at (const Router *r, double x, double y, int layer)
{
  int i = CLAMP ((int) (x / grid + 0.5), 0, r->w - 1);
  int j = CLAMP ((int) (y / grid + 0.5), 0, r->h - 1);

  return layer * r->cells + j * r->w + i;
}

static void
claim (Router *r, int cell, int net, gboolean core)
{
  gint16 *o = &r->owner[cell];

  if (core || *o == FREE)
    *o = (gint16) net;
  else if (*o != net)
    *o = BLOCKED;
}

/* Marks everything within `radius` mm of a stroke. */
static void
claim_stroke (Router *r,
              double x0,
              double y0,
              double x1,
              double y1,
              double radius,
              int layer,
              int net,
              gboolean core)
{
  int i0 = MAX (0, (int) ((MIN (x0, x1) - radius) / grid));
  int i1 = MIN (r->w - 1, (int) ((MAX (x0, x1) + radius) / grid) + 1);
  int j0 = MAX (0, (int) ((MIN (y0, y1) - radius) / grid));
  int j1 = MIN (r->h - 1, (int) ((MAX (y0, y1) + radius) / grid) + 1);
  double dx = x1 - x0, dy = y1 - y0, len = dx * dx + dy * dy;

  for (int j = j0; j <= j1; j++)
    for (int i = i0; i <= i1; i++)
      {
        double px = i * grid - x0, py = j * grid - y0;
        double t = len > 0 ? CLAMP ((px * dx + py * dy) / len, 0, 1) : 0;

        if (hypot (px - t * dx, py - t * dy) <= radius)
          claim (r, layer * r->cells + j * r->w + i, net, core);
      }
}

static void
claim_land (Router *r, const DrawLandAt *l, double grow, gboolean core)
{
  double a = l->turn * G_PI / 180, w = l->pad.w / 2, h = l->pad.h / 2;
  double thin = MIN (w, h), u = MAX (0, w - thin), v = MAX (0, h - thin);
  double x = u * cos (a) - v * sin (a), y = u * sin (a) + v * cos (a);
  int net = l->net ? l->net : BLOCKED;

  if (grow > 0 && thin < 0.25) /* fine pitch: leave a way out between the neighbours */
    grow = 0.1;
  for (int layer = 0; layer < 2; layer++)
    {
      if (!l->pad.through && layer != (l->back ? 1 : 0))
        continue;
      claim_stroke (r, l->x - x, l->y - y, l->x + x, l->y + y, thin + grow, layer, net, core);
      if (l->probed && layer == 0 && l->pad.probe_z < 1)
        claim_stroke (r, l->x, l->y, l->probe_x, l->probe_y, 0.85 + grow, layer, net, core);
    }
}

static void
block_shapes (Router *r, const GPtrArray *shapes)
{
  for (guint i = 0; i < shapes->len; i++)
    {
      const DrawShape *s = shapes->pdata[i];

      for (guint k = 1; k < s->points->len; k++)
        {
          DrawPoint a = g_array_index (s->points, DrawPoint, k - 1);
          DrawPoint b = g_array_index (s->points, DrawPoint, k);

          for (int layer = 0; layer < 2; layer++)
            claim_stroke (r, a.x, a.y, b.x, b.y, s->width / 2, layer, BLOCKED, TRUE);
        }
    }
}

static void
block_board (Router *r)
{
  const DrawLayout *l = r->layout;
  double corner[5][2] = { { 0, 0 }, { l->w, 0 }, { l->w, l->h }, { 0, l->h }, { 0, 0 } };

  block_shapes (r, l->gaps);
  block_shapes (r, l->slots);
  for (int layer = 0; layer < 2; layer++)
    {
      for (int k = 0; k < 4; k++)
        claim_stroke (r, corner[k][0], corner[k][1], corner[k + 1][0], corner[k + 1][1], 1.5, layer,
                      BLOCKED, TRUE);
      for (guint k = 0; k < l->holes->len; k++)
        {
          const DrawPoint *hole = (const DrawPoint *) (gpointer) l->holes->data + 2 * k;

          claim_stroke (r, hole[0].x, hole[0].y, hole[0].x, hole[0].y, hole[1].x / 2 + 2, layer,
                        BLOCKED, TRUE);
        }
    }
}

/* Room for a track of this half width at the cell? */
static gboolean
fits (const Router *r, int cell, int net, double half)
{
  int reach = (int) (half / grid), layer = cell / r->cells, at = cell % r->cells;
  int i = at % r->w, j = at / r->w;

  for (int b = -reach; b <= reach; b++)
    for (int a = -reach; a <= reach; a++)
      {
        gint16 o;

        if (a * a + b * b > half * half / grid / grid + 0.01)
          continue;
        if (i + a < 0 || j + b < 0 || i + a >= r->w || j + b >= r->h)
          return FALSE;
        o = r->owner[layer * r->cells + (j + b) * r->w + i + a];
        if (o != FREE && o != net)
          return FALSE;
      }
  return TRUE;
}

static void
push (Router *r, int cell, int cost, int came, int now)
{
  if (cost >= r->cost[cell] || cost - now >= BUCKETS)
    return;
  r->cost[cell] = cost;
  r->came[cell] = (gint8) came;
  g_array_append_val (r->bucket[cost % BUCKETS], cell);
}

static void
spread (Router *r, int cell, int cost, int net, double half)
{
  int at = cell % r->cells, layer = cell / r->cells;
  int came = r->came[cell], i = at % r->w, j = at / r->w;

  for (int d = 0; d < 8; d++)
    {
      int x = i + dir_x[d], y = j + dir_y[d], next = layer * r->cells + y * r->w + x;
      int turn = came < 0 || came > 7 ? 0 : MIN (abs (d - came), 8 - abs (d - came));

      if (x < 0 || y < 0 || x >= r->w || y >= r->h || turn > 2)
        continue;
      if (r->owner[next] == net || fits (r, next, net, half))
        push (r, next, cost + (d & 1 ? DIAGONAL : STEP) + (turn > 1 ? SHARP : turn * BEND), d,
              cost);
    }
  cell = (1 - layer) * r->cells + at;
  if (half < 0.9 && fits (r, at, net, 0.9) && fits (r, r->cells + at, net, 0.9))
    push (r, cell, cost + VIA, 8, cost);
}

static void
reset (Router *r)
{
  for (int k = 0; k < 2 * r->cells; k++)
    r->cost[k] = G_MAXINT / 2;
  for (int k = 0; k < BUCKETS; k++)
    g_array_set_size (r->bucket[k], 0);
}

/* Cheapest way from `from` to any cell flagged in `goal`; the cell reached, or -1. */
static int
search (Router *r, const DrawLandAt *from, const guint8 *goal, int net, double half)
{
  reset (r);
  for (int layer = 0; layer < 2; layer++)
    if (from->pad.through || layer == (from->back ? 1 : 0))
      push (r, cell_at (r, from->x, from->y, layer), 0, -1, 0);
  for (int cost = 0, idle = 0; idle < BUCKETS; cost++)
    {
      GArray *b = r->bucket[cost % BUCKETS];

      idle = b->len ? 0 : idle + 1;
      for (guint k = 0; k < b->len; k++)
        {
          int cell = g_array_index (b, int, k);

          if (r->cost[cell] != cost)
            continue;
          if (goal[cell])
            return cell;
          spread (r, cell, cost, net, half);
        }
      g_array_set_size (b, 0);
    }
  return -1;
}

static void
add_track (Router *r, GArray *points, int layer, int net, double width)
{
  DrawTrack *t = g_new0 (DrawTrack, 1);

  t->back = layer == 1;
  t->net = net;
  t->width = width;
  t->points = points;
  g_ptr_array_add (r->route->tracks, t);
  for (guint k = 1; k < points->len; k++)
    {
      DrawPoint a = g_array_index (points, DrawPoint, k - 1);
      DrawPoint b = g_array_index (points, DrawPoint, k);

      claim_stroke (r, a.x, a.y, b.x, b.y, width / 2 + clearance, layer, net, FALSE);
    }
}

/* Walks back from the goal, one track per stretch on a layer; flags the cells as part of the net.
 */
static void
lay (Router *r, int cell, guint8 *goal, int net, double width)
{
  GArray *points = g_array_new (FALSE, FALSE, sizeof (DrawPoint));
  int last = -2;

  for (;;)
    {
      int at = cell % r->cells, came = r->came[cell], layer = cell / r->cells;
      DrawPoint p = { at % r->w * grid, at / r->w * grid };

      goal[cell] = 1;
      if (came == last && came < 8 && points->len > 1)
        g_array_index (points, DrawPoint, points->len - 1) = p;
      else
        g_array_append_val (points, p);
      last = came;
      if (came < 0)
        {
          add_track (r, points, layer, net, width);
          return;
        }
      if (came == 8)
        {
          g_array_append_val (r->route->vias, p);
          for (int k = 0; k < 2; k++)
            claim_stroke (r, p.x, p.y, p.x, p.y, 0.55 + clearance, k, net, FALSE);
          add_track (r, points, layer, net, width);
          points = g_array_new (FALSE, FALSE, sizeof (DrawPoint));
          g_array_append_val (points, p);
          cell = (1 - layer) * r->cells + at;
          continue;
        }
      cell -= dir_y[came] * r->w + dir_x[came];
    }
}

static void
flag_land (const Router *r, const DrawLandAt *l, guint8 *goal)
{
  for (int layer = 0; layer < 2; layer++)
    if (l->pad.through || layer == (l->back ? 1 : 0))
      goal[cell_at (r, l->x, l->y, layer)] = 1;
}

static void
join (Router *r, const DrawLandAt *land, guint8 *goal, int net, double width)
{
  static const double share[] = { 1, 0.6, 0.35, 0 };

  for (gsize k = 0; k < G_N_ELEMENTS (share); k++)
    {
      double w = MAX (0.4, width * share[k]);
      int reached = search (r, land, goal, net, w / 2);

      if (reached >= 0)
        {
          lay (r, reached, goal, net, w);
          flag_land (r, land, goal);
          return;
        }
    }
  r->route->missed++;
}

static void
route_net (Router *r, int net, const GPtrArray *lands, double width)
{
  g_autofree guint8 *goal = g_new0 (guint8, 2 * (gsize) r->cells);

  flag_land (r, lands->pdata[0], goal);
  for (guint k = 1; k < lands->len; k++)
    join (r, lands->pdata[k], goal, net, width);
}

static gboolean
poured (const DrawLayout *l, int net)
{
  for (guint i = 0; i < l->pours->len; i++)
    {
      const DrawShape *s = l->pours->pdata[i];

      if (s->net == net && !s->routed)
        return TRUE;
    }
  return FALSE;
}

/* Nets by number, then pairs of nameless lands that lie near each other. */
static void
route_named (Router *r)
{
  const DrawLayout *l = r->layout;

  for (guint i = 0; i < l->nets->len; i++)
    {
      const DrawNet *net = l->nets->pdata[i];
      g_autoptr (GPtrArray) lands = g_ptr_array_new ();

      if (poured (l, (int) i + 1))
        continue;
      for (guint k = 0; k < net->pins->len; k++)
        g_ptr_array_add (lands, draw_layout_land (l, net->pins->pdata[k]));
      route_net (r, (int) i + 1, lands, net->width);
    }
}

static DrawLandAt *
nearest_nameless (const DrawLayout *l, const DrawLandAt *from)
{
  DrawLandAt *best = NULL;
  double shortest = 35;

  for (guint i = 0; i < l->lands->len; i++)
    {
      DrawLandAt *to = &g_array_index (l->lands, DrawLandAt, i);
      double d = hypot (to->x - from->x, to->y - from->y);

      if (to->net || to->part == from->part || d >= shortest)
        continue;
      shortest = d;
      best = to;
    }
  return best;
}

static void
route_nameless (Router *r)
{
  const DrawLayout *l = r->layout;
  int net = (int) l->nets->len;

  for (guint i = 0; i < l->lands->len; i++)
    {
      DrawLandAt *from = &g_array_index (l->lands, DrawLandAt, i);
      DrawLandAt *to = from->net ? NULL : nearest_nameless (l, from);
      g_autoptr (GPtrArray) pair = g_ptr_array_new ();

      if (!to)
        continue;
      from->net = to->net = ++net;
      claim_land (r, from, 0, TRUE);
      claim_land (r, to, 0, TRUE);
      g_ptr_array_add (pair, from);
      g_ptr_array_add (pair, to);
      route_net (r, net, pair, 0.4);
    }
}

static void
track_free (gpointer data)
{
  DrawTrack *t = data;

  g_array_unref (t->points);
  g_free (t);
}

DrawRoute *
draw_route (const DrawLayout *layout)
{
  Router r = { .layout = layout,
               .w = (int) (layout->w / grid) + 1,
               .h = (int) (layout->h / grid) + 1 };

  r.route = g_new0 (DrawRoute, 1);
  r.route->tracks = g_ptr_array_new_with_free_func (track_free);
  r.route->vias = g_array_new (FALSE, FALSE, sizeof (DrawPoint));
  r.cells = r.w * r.h;
  r.owner = g_new0 (gint16, 2 * (gsize) r.cells);
  r.cost = g_new (int, 2 * (gsize) r.cells);
  r.came = g_new (gint8, 2 * (gsize) r.cells);
  for (int k = 0; k < BUCKETS; k++)
    r.bucket[k] = g_array_new (FALSE, FALSE, sizeof (int));

  block_board (&r);
  for (guint i = 0; i < layout->lands->len; i++)
    claim_land (&r, &g_array_index (layout->lands, DrawLandAt, i), clearance, FALSE);
  for (guint i = 0; i < layout->lands->len; i++)
    claim_land (&r, &g_array_index (layout->lands, DrawLandAt, i), 0, TRUE);
  route_named (&r);
  route_nameless (&r);

  for (int k = 0; k < BUCKETS; k++)
    g_array_unref (r.bucket[k]);
  g_free (r.owner);
  g_free (r.cost);
  g_free (r.came);
  return r.route;
}

void
draw_route_free (DrawRoute *self)
{
  g_ptr_array_unref (self->tracks);
  g_array_unref (self->vias);
  g_free (self);
}
