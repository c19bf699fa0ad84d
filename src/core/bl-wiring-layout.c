/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where the boxes, conductors and checks of an equipment stand in a drawing of a given size.
 *
 * One table of slots from top to bottom decides it: a slot has something at the left box, something between the boxes
 * and something at the right one, so whatever stands in a slot of its own cannot cover what stands in another, and
 * inside a slot things are put beside each other until the room ends. A conductor is one slot and therefore a straight
 * line; only one between two boxes of the right side turns corners. The box that feeds stands at the left, all others
 * at the right below each other.
 *
 * Room is given up in this order: space between lines, titles above their lines, names of checks, shapes. Some boxes,
 * ten conductors, thirty checks; nothing is measured or drawn here but by the caller's function. Here are
 * widths, frames and what a press is about; bl-wiring-slots.c makes the slots, bl-wiring-put.c fills them. */
#include "config.h"

#include "bl-wiring-layout-private.h"

#include <math.h>
#include <string.h>

/* --- which box is where --- */

static int
choose_left (const BlWiring *wiring)
{
  int best = wiring->boxes->len > 0 ? 0 : -1;
  guint most = 0;

  for (guint box = 0; box < wiring->boxes->len; box++)
    {
      guint n = 0;
      for (guint i = 0; i < wiring->conductors->len; i++)
        {
          const BlWireConductor *conductor = bl_at (wiring->conductors, i);
          n += conductor->box[0] == (int) box ? (conductor->supplies ? 100 : 1) : 0;
        }
      if (n > most)
        {
          most = n;
          best = (int) box;
        }
    }
  return best;
}

static void
find_feeder (const BlWiring *wiring, BlWiringLayout *out)
{
  out->feeds = out->fed = -1;
  for (guint i = 0; i < wiring->conductors->len; i++)
    {
      const BlWireConductor *conductor = bl_at (wiring->conductors, i);
      if (!conductor->supplies || conductor->box[0] < 0 || conductor->box[1] < 0)
        continue;
      if (out->feeds >= 0 && (out->feeds != conductor->box[0] || out->fed != conductor->box[1]))
        {
          out->feeds = out->fed = -1;
          return;
        }
      out->feeds = conductor->box[0];
      out->fed = conductor->box[1];
    }
}

/* --- all of it --- */

/* Width that the widest row of a box asks for. */
static double
box_want (const Work *work, int box)
{
  const BlWiring *wiring = work->wiring;
  double want = work->measure (((const BlWireBox *) bl_at (wiring->boxes, box))->role, BL_WIRE_ROLE_PX, TRUE,
                               work->data)
                + 2 * INSET;

  for (guint i = 0; i < wiring->terminals->len; i++)
    {
      const BlWireTerminal *terminal = bl_at (wiring->terminals, i);
      if (terminal->box != box)
        continue;
      g_autoptr (GArray) checks = bl_wire_checks_at (work, BL_WIRE_TERMINAL, i);
      double w = 2 * INSET + BL_WIRE_CIRCLE + 12 + work->measure (terminal->name, BL_WIRE_NAME_PX, TRUE, work->data);
      for (guint j = 0; j < checks->len; j++)
        w += BL_WIRE_SHAPE + BESIDE + GAP + bl_wire_check_width (work, g_array_index (checks, guint, j));
      want = MAX (want, w);
    }
  for (guint i = 0; i < wiring->checks->len; i++)
    {
      const BlWireCheck *check = bl_at (wiring->checks, i);
      if (check->place == BL_WIRE_BOX && check->index == (guint) box)
        want = MAX (want, BL_WIRE_SHAPE + 8 + 3 * INSET
                            + work->measure (check->title, BL_WIRE_CHECK_PX, TRUE, work->data));
    }
  return want;
}

static void
choose_widths (Work *work, double width)
{
  double left = 0, right = 0, most = MAX (width * 0.32, 1);
  double least = CLAMP (width * 0.28, 1, 180);

  for (guint box = 0; box < work->wiring->boxes->len; box++)
    {
      double *side = (int) box == work->left ? &left : &right;
      *side = MAX (*side, box_want (work, (int) box));
    }
  work->xl = MARGIN + (left > 0 ? CLAMP (left, least, most) : 0);
  work->xr = MAX (work->xl + 1, width - MARGIN - (right > 0 ? CLAMP (right, least, most) : 0));
}

static void
put_frame (Work *work, int box, double y, double h, double head)
{
  BlWireFrame *frame = &work->out->boxes[box];
  gboolean likely = work->likely == BL_WIRE_BOX && work->likely_index == (guint) box;
  double outer, inner;

  bl_wire_box_edges (work, box, &outer, &inner);
  frame->outline = (BlLabelBox){ MIN (outer, inner), y, fabs (outer - inner), h };
  double room = frame->outline.w - 2 * INSET;
  double w = work->measure (((const BlWireBox *) bl_at (work->wiring->boxes, box))->role, BL_WIRE_ROLE_PX, TRUE,
                            work->data)
             + 1;
  if (room >= 14 && head >= bl_wire_text_height (BL_WIRE_CHECK_PX))
    frame->label = bl_wire_label_at (frame->outline.x + INSET, y + head / 2, likely ? room : MIN (w, room),
                             MIN (BL_WIRE_ROLE_PX, head / LINE));
}

/* Every right box from its head to the next one's; the left one over the whole height. */
static void
put_frames (Work *work)
{
  const Slot *last = &g_array_index (work->slots, Slot, work->slots->len - 1);
  double bottom = last->y + last->h + 2;

  for (guint i = 0; i < work->slots->len; i++)
    {
      const Slot *slot = &g_array_index (work->slots, Slot, i);
      if (slot->kind != SLOT_HEAD)
        continue;
      double gap = i == 0 ? 0 : MIN (12, slot->h / 3), end = bottom;
      for (guint j = work->slots->len; j-- > i + 1;)
        if (g_array_index (work->slots, Slot, j).kind == SLOT_HEAD)
          end = g_array_index (work->slots, Slot, j).y;
      if (i == 0 && work->left >= 0)
        put_frame (work, work->left, slot->y, bottom - slot->y, slot->h);
      if (slot->box >= 0)
        put_frame (work, slot->box, slot->y + gap, end - slot->y - gap, slot->h - gap);
    }
}

BlWiringLayout *
bl_wiring_layout_new (const BlWiring *wiring, double width, double height, BlWirePlace likely, guint likely_index,
                      BlWireMeasure measure, gpointer data)
{
  g_return_val_if_fail (wiring != NULL && measure != NULL, NULL);
  BlWiringLayout *self = g_new0 (BlWiringLayout, 1);
  Work work = { .wiring = wiring, .out = self, .measure = measure, .data = data, .likely = likely,
                .likely_index = likely_index };

  self->width = MAX (width, 1);
  self->height = MAX (height, 1);
  self->boxes = g_new0 (BlWireFrame, wiring->boxes->len + 1);
  self->cables = g_new0 (BlWireFrame, wiring->cables->len + 1);
  self->lines = g_new0 (BlWireLine, wiring->conductors->len + 1);
  self->terminals = g_new0 (BlWireEnd, wiring->terminals->len + 1);
  self->marks = g_new0 (BlWireMark, wiring->checks->len + 1);
  work.left = choose_left (wiring);
  find_feeder (wiring, self);
  g_autoptr (GArray) slots = g_array_new (FALSE, FALSE, sizeof (Slot));
  g_autoptr (GArray) extras = g_array_new (FALSE, FALSE, sizeof (Extra));
  work.slots = slots;
  work.extras = extras;
  choose_widths (&work, self->width);
  bl_wire_make_slots (&work);
  bl_wire_wrap_titles (&work, self->height - 2 * MARGIN - 2);
  bl_wire_stretch_slots (&work, self->height - 2 * MARGIN - 2);
  put_frames (&work);
  bl_wire_put_slots (&work);
  return self;
}

void
bl_wiring_layout_free (BlWiringLayout *self)
{
  if (self == NULL)
    return;
  g_free (self->boxes);
  g_free (self->cables);
  g_free (self->lines);
  g_free (self->terminals);
  g_free (self->marks);
  g_free (self);
}

/* --- what is where --- */

static gboolean
is_in (const BlLabelBox *box, double x, double y, double more)
{
  return box->w > 0 && x >= box->x - more && x <= box->x + box->w + more && y >= box->y - more
         && y <= box->y + box->h + more;
}

static int
pick_mark (const BlWiringLayout *self, const BlWiring *wiring, double x, double y)
{
  int best = -1;
  double nearest = INFINITY;

  for (guint i = 0; i < wiring->checks->len; i++)
    {
      const BlWireMark *mark = &self->marks[i];
      double r = MIN (12, MAX (mark->room, 8)), away = hypot (x - mark->x, y - mark->y);
      if (mark->size <= 0)
        continue;
      if (is_in (&mark->label, x, y, 1))
        return (int) i;
      if (fabs (x - mark->x) > r || fabs (y - mark->y) > r || away >= nearest)
        continue;
      nearest = away;
      best = (int) i;
    }
  return best;
}

gboolean
bl_wiring_layout_pick (const BlWiringLayout *self, const BlWiring *wiring, double x, double y, int *check,
                       BlWirePlace *place, guint *index)
{
  g_return_val_if_fail (self != NULL && wiring != NULL, FALSE);
  *check = pick_mark (self, wiring, x, y);
  *place = BL_WIRE_ANYWHERE;
  *index = 0;
  if (*check >= 0)
    return TRUE;
  for (*index = 0; *index < wiring->terminals->len; (*index)++)
    {
      const BlWireEnd *end = &self->terminals[*index];
      *place = BL_WIRE_TERMINAL;
      if (hypot (x - end->x, y - end->y) <= 12 || is_in (&end->label, x, y, 2))
        return TRUE;
    }
  for (*index = 0; *index < wiring->conductors->len; (*index)++)
    {
      const BlWireLine *line = &self->lines[*index];
      *place = BL_WIRE_CONDUCTOR;
      if (is_in (&line->row, x, y, 0))
        return TRUE;
    }
  for (*index = 0; *index < wiring->cables->len; (*index)++)
    {
      *place = BL_WIRE_CABLE;
      if (is_in (&self->cables[*index].label, x, y, 2))
        return TRUE;
    }
  for (*index = 0; *index < wiring->boxes->len; (*index)++)
    {
      *place = BL_WIRE_BOX;
      if (is_in (&self->boxes[*index].outline, x, y, 0))
        return TRUE;
    }
  return FALSE;
}
