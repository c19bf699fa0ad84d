/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Puts what a slot of the drawing of an equipment has where it stands: ends of conductors and checks inside the boxes,
 * lines, cables and the supply between them. The heights are decided by then, in bl-wiring-slots.c. */
#include "config.h"

#include "bl-wiring-layout-private.h"

#include <math.h>

/* --- boxes --- */

void
bl_wire_box_edges (const Work *work, int box, double *outer, double *inner)
{
  gboolean left = box == work->left;

  *outer = left ? MARGIN : work->out->width - MARGIN;
  *inner = left ? work->xl : work->xr;
}

/* How far the last row of checks stands below the first where they have this much room. */
static double
centre_rows (const Work *work, const GArray *checks, double room, double h)
{
  gboolean fits;
  guint rows = bl_wire_count_rows (work, checks, room, BL_WIRE_SHAPE, TRUE, &fits);

  return rows > 1 && rows * ROW <= h ? (rows - 1) * ROW : 0;
}

/* The end of a conductor at a box's edge with its name inside and what is read there farther in. */
static void
put_end (Work *work, int box, int terminal, BlWireEnd *end, double y, double h)
{
  double outer, inner;

  bl_wire_box_edges (work, box, &outer, &inner);
  double inward = outer < inner ? -1 : 1;
  end->x = inner;
  end->y = y;
  if (terminal < 0)
    return;
  const BlWireTerminal *point = bl_at (work->wiring->terminals, terminal);
  g_autoptr (GArray) checks = bl_wire_checks_at (work, BL_WIRE_TERMINAL, (guint) terminal);
  double near = inner + inward * (BL_WIRE_CIRCLE + 8), far = outer - inward * INSET, room = fabs (far - near);
  double w = work->measure (point->name, BL_WIRE_NAME_PX, TRUE, work->data) + 1;
  double shapes = checks->len * (bl_wire_shape_for (h) + GAP * 0.6);
  w = MIN (w, room - shapes);
  if (w >= 14 && h >= bl_wire_text_height (BL_WIRE_NAME_PX))
    {
      end->label = bl_wire_label_at (inward < 0 ? near - w : near, y, w, BL_WIRE_NAME_PX);
      near += inward * (w + GAP);
    }
  double first = y - centre_rows (work, checks, fabs (far - near), h) / 2;
  if (inward < 0)
    bl_wire_put_marks (work, checks, far, near, first, h - 2 * (y - first), 2 * (y - first), 1);
  else
    bl_wire_put_marks (work, checks, near, far, first, h - 2 * (y - first), 2 * (y - first), -1);
  work->out->terminals[terminal] = *end;
}

/* As many lines as the text takes and the height has. */
static BlLabelBox
wrapped_at (const Work *work, const char *text, gboolean bold, double x, double middle, double w, double h)
{
  double line = bl_wire_text_height (BL_WIRE_CHECK_PX);
  guint lines = MIN (bl_wire_count_lines (work, text, bold, w), (guint) MAX (1, h / line));

  return (BlLabelBox){ x, middle - lines * line / 2, w, lines * line };
}

/* A check of the box itself: shape, then its title as far as there is room. */
static void
put_box_check (Work *work, int box, guint check, double y, double h)
{
  BlWireMark *mark = &work->out->marks[check];
  const BlWireCheck *asked = bl_at (work->wiring->checks, check);
  double outer, inner;

  bl_wire_box_edges (work, box, &outer, &inner);
  double x0 = MIN (outer, inner) + INSET, x1 = MAX (outer, inner) - INSET - BL_WIRE_CIRCLE, size = bl_wire_shape_for (h);
  *mark = (BlWireMark){ .x = x0 + size / 2, .y = y, .size = size, .room = h / 2, .titled = TRUE };
  double w = MIN (work->measure (asked->title, BL_WIRE_CHECK_PX, TRUE, work->data) + 1, x1 - x0 - size - BESIDE);
  if (size > 0 && w >= 20 && h >= bl_wire_text_height (BL_WIRE_CHECK_PX))
    mark->label = wrapped_at (work, asked->title, TRUE, x0 + size + BESIDE, y, w, h);
}

/* A terminal that belongs to no box: between them, its name at its right. */
static void
put_between (Work *work, guint terminal, double y, double h)
{
  BlWireEnd *end = &work->out->terminals[terminal];
  const BlWireTerminal *point = bl_at (work->wiring->terminals, terminal);
  g_autoptr (GArray) checks = bl_wire_checks_at (work, BL_WIRE_TERMINAL, terminal);
  double x = work->xl + TAIL, end_x = work->xr - TAIL;
  double w = work->measure (point->name, BL_WIRE_NAME_PX, TRUE, work->data) + 1;

  *end = (BlWireEnd){ .x = x, .y = y };
  x += BL_WIRE_CIRCLE + 8;
  w = MIN (w, end_x - x - checks->len * (bl_wire_shape_for (h) + GAP * 0.6));
  if (w >= 14 && h >= bl_wire_text_height (BL_WIRE_NAME_PX))
    {
      end->label = bl_wire_label_at (x, y, w, BL_WIRE_NAME_PX);
      x += w + GAP;
    }
  bl_wire_put_marks (work, checks, x, end_x, y, h, 0, -1);
}

static void
put_extras (Work *work, const Slot *slot)
{
  double y = slot->y + slot->h / 2;

  for (int side = 0; side < 3; side++)
    {
      if (slot->extra[side] < 0)
        continue;
      Extra extra = g_array_index (work->extras, Extra, slot->extra[side]);
      int box = side == 0 ? work->left : slot->box;
      if (extra.check >= 0)
        put_box_check (work, box, (guint) extra.check, y, slot->h);
      else if (side == 1)
        put_between (work, (guint) extra.terminal, y, slot->h);
      else
        put_end (work, box, extra.terminal, &work->out->terminals[extra.terminal], y, slot->h);
    }
}

/* --- between the boxes --- */

static double
lane_of (const Work *work, int conductor)
{
  int n = 0;

  for (int i = 0; i < conductor; i++)
    n += bl_wire_turns_corners (work, bl_at (work->wiring->conductors, i));
  return work->xl + MAX (TAIL, (work->xr - work->xl) * 0.18) + 10 * n;
}

/* The middle of a conductor's line in its slot; *h: what its first row has, *below: what is left under that. */
static double
line_of (const Work *work, const Slot *slot, double *h, double *below)
{
  gboolean above = slot->h >= LEAST_ABOVE && !slot->goes_on;
  double top = above ? ABOVE : 0, all = slot->h - top, under = MIN ((slot->rows - 1) * ROW, all - ROW);

  *below = above && slot->rows > 1 ? MAX (under, 0) : 0;
  *h = all - *below;
  return slot->y + top + *h / 2;
}

/* Title above the line, or in it where the slot is low; checks in the line, and below it. */
static void
put_on_line (Work *work, int index, const Slot *slot, double x0, double x1)
{
  const BlWireConductor *conductor = bl_at (work->wiring->conductors, index);
  BlWireLine *line = &work->out->lines[index];
  g_autoptr (GArray) checks = bl_wire_checks_at (work, BL_WIRE_CONDUCTOR, (guint) index);
  gboolean above = slot->h >= LEAST_ABOVE;
  gboolean likely = work->likely == BL_WIRE_CONDUCTOR && work->likely_index == (guint) index;
  double h, below, y = line_of (work, slot, &h, &below), room = MAX (x1 - x0, 0);
  double shapes = checks->len * (bl_wire_shape_for (h) + GAP * 0.6);
  double w = work->measure (conductor->title, BL_WIRE_TITLE_PX, FALSE, work->data) + 1;

  w = likely ? room : MIN (w, room);
  if (above)
    line->label = (BlLabelBox){ x0, slot->y + 2, w, ABOVE - 3 };
  else if (slot->h >= bl_wire_text_height (BL_WIRE_TITLE_PX))
    {
      w = MIN (w, room - shapes - (checks->len > 0 ? GAP : 0));
      if (w >= 20)
        line->label = bl_wire_label_at (x0, y, w, BL_WIRE_TITLE_PX);
      x0 += w >= 20 ? w + GAP : 0;
    }
  bl_wire_put_marks (work, checks, x0, x1, y, h, below, above ? 0 : 1);
}

static void
put_conductor (Work *work, const Slot *slot)
{
  const BlWireConductor *conductor = bl_at (work->wiring->conductors, slot->index);
  BlWireLine *line = &work->out->lines[slot->index];
  gboolean corners = bl_wire_turns_corners (work, conductor);
  double h, below, y = line_of (work, slot, &h, &below), middle = (work->xl + work->xr) / 2;

  h = 2 * MIN (y - slot->y, slot->y + slot->h - y);

  for (int end = 0; end < 2; end++)
    {
      int box = conductor->box[end];
      if (corners && end != (slot->goes_on ? 0 : 1))
        continue;
      if (box >= 0 && (end == 0 || box != conductor->box[0]))
        put_end (work, box, conductor->terminal[end], &line->end[end], y, h);
      else
        line->end[end] = (BlWireEnd){ .x = middle, .y = y };
      if (!corners)
        {
          line->x[end] = line->end[end].x;
          line->y[end] = y;
        }
    }
  line->n_points = corners ? 4 : 2;
  if (corners)
    {
      double lane = lane_of (work, slot->index);
      int at = slot->goes_on ? 0 : 3, turn = slot->goes_on ? 1 : 2;
      line->x[at] = work->xr;
      line->x[turn] = lane;
      line->y[at] = line->y[turn] = y;
    }
  if (slot->goes_on)
    return;
  double x0 = corners ? lane_of (work, slot->index) + 8 : work->xl + TAIL;
  line->row = (BlLabelBox){ work->xl + 10, slot->y, MAX (work->xr - work->xl - 20, 0), slot->h };
  put_on_line (work, slot->index, slot, x0, work->xr - TAIL);
}

/* Its title, and the checks that are about it alone. */
static void
put_cable (Work *work, const Slot *slot)
{
  const BlWireCable *cable = bl_at (work->wiring->cables, slot->index);
  BlWireFrame *frame = &work->out->cables[slot->index];
  g_autoptr (GArray) checks = bl_wire_checks_at (work, BL_WIRE_CABLE, (guint) slot->index);
  gboolean likely = work->likely == BL_WIRE_CABLE && work->likely_index == (guint) slot->index;
  double x0 = work->xl + TAIL, x1 = work->xr - TAIL, y = slot->y + slot->h / 2 - 2;
  double w = work->measure (cable->title, BL_WIRE_CHECK_PX, FALSE, work->data) + 1;
  double room = bl_wire_cable_room (work, checks->len, bl_wire_shape_for (slot->h));

  if (frame->outline.w > 0) /* in the slots of another box already */
    return;
  w = likely ? room : MIN (w, room);
  if (w >= 20 && slot->h >= bl_wire_text_height (BL_WIRE_CHECK_PX))
    {
      frame->label = likely ? bl_wire_label_at (x0, y, w, BL_WIRE_CHECK_PX)
                            : wrapped_at (work, cable->title, FALSE, x0, y, w, slot->h - 2);
      x0 += w + GAP;
    }
  bl_wire_put_marks (work, checks, x0, x1, y, slot->h - 4, 0, 1);
  frame->outline = (BlLabelBox){ work->xl + 14, slot->y + slot->h, MAX (work->xr - work->xl - 28, 1), 0 };
}

/* Round the conductors of a cable, which lie in slots one after the other. */
static void
grow_cable (Work *work, const Slot *slot)
{
  const BlWireConductor *conductor = bl_at (work->wiring->conductors, slot->index);

  if (conductor->cable < 0 || slot->goes_on)
    return;
  BlLabelBox *outline = &work->out->cables[conductor->cable].outline;
  double end = slot->y + slot->h;
  outline->h = MAX (outline->h, end - outline->y);
}

/* Above the lines: which box feeds which, and the checks of the equipment as a whole. */
static void
put_supply (Work *work, const Slot *slot)
{
  BlWiringLayout *out = work->out;
  g_autoptr (GArray) checks = bl_wire_checks_at (work, BL_WIRE_ANYWHERE, 0);
  double x0 = work->xl + TAIL, x1 = work->xr - TAIL, y = slot->y + slot->h / 2, w = 0;
  double shapes = checks->len * (bl_wire_shape_for (slot->h) + GAP * 0.6);

  if (out->feeds >= 0)
    w = work->measure (((const BlWireBox *) bl_at (work->wiring->boxes, out->feeds))->role, BL_WIRE_CHECK_PX, TRUE,
                       work->data)
        + work->measure (((const BlWireBox *) bl_at (work->wiring->boxes, out->fed))->role, BL_WIRE_CHECK_PX, TRUE,
                         work->data)
        + 6 * BL_WIRE_CHECK_PX;
  w = MIN (w, x1 - x0 - shapes - (checks->len > 0 ? GAP : 0));
  if (w >= 24 && slot->h >= bl_wire_text_height (BL_WIRE_CHECK_PX))
    {
      out->supply = bl_wire_label_at (x0, y, w, BL_WIRE_CHECK_PX);
      x0 += w + GAP;
    }
  bl_wire_put_marks (work, checks, x0, x1, y, slot->h, 0, 1);
}

void
bl_wire_put_slots (Work *work)
{
  for (guint i = 0; i < work->slots->len; i++)
    {
      const Slot *slot = &g_array_index (work->slots, Slot, i);
      switch (slot->kind)
        {
        case SLOT_HEAD:
          if (i == 0)
            put_supply (work, slot);
          break;
        case SLOT_CABLE:
          put_cable (work, slot);
          break;
        case SLOT_CONDUCTOR:
          put_conductor (work, slot);
          grow_cable (work, slot);
          break;
        case SLOT_EXTRA:
          put_extras (work, slot);
          break;
        }
    }
}
