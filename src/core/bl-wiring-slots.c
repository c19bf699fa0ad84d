/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The slots of a drawing of an equipment, from top to bottom: which there are, how high each wants to be and how high it
 * becomes. Some dozen of them. What stands in them is put there by bl-wiring-put.c. */
#include "config.h"

#include "bl-wiring-layout-private.h"

#include <math.h>

/* Rows that the checks of a conductor ask for. */
static guint
rows_of_conductor (const Work *work, guint index)
{
  g_autoptr (GArray) checks = bl_wire_checks_at (work, BL_WIRE_CONDUCTOR, index);
  gboolean fits;

  return MAX (1, bl_wire_count_rows (work, checks, MAX (work->xr - work->xl - 2 * TAIL, 0), BL_WIRE_SHAPE, TRUE, &fits));
}

static void
add_slot (Work *work, SlotKind kind, int box, int index, double least, double want)
{
  Slot slot = { .kind = kind, .box = box, .index = index, .least = least, .want = want, .extra = { -1, -1, -1 } };

  g_array_append_val (work->slots, slot);
}

/* The right box in whose slots a conductor has its row; -1: in none of them. */
static int
right_box (const Work *work, const BlWireConductor *conductor)
{
  for (int end = 1; end >= 0; end--)
    if (conductor->box[end] >= 0 && conductor->box[end] != work->left)
      return conductor->box[end];
  return -1;
}

gboolean
bl_wire_turns_corners (const Work *work, const BlWireConductor *conductor)
{
  return conductor->box[0] >= 0 && conductor->box[1] >= 0 && conductor->box[0] != work->left
         && conductor->box[1] != work->left && conductor->box[0] != conductor->box[1];
}

static void
add_conductor_slots (Work *work, int box)
{
  int cable = -1;

  for (guint i = 0; i < work->wiring->conductors->len; i++)
    {
      const BlWireConductor *conductor = bl_at (work->wiring->conductors, i);
      gboolean second = bl_wire_turns_corners (work, conductor) && conductor->box[0] == box;
      if (right_box (work, conductor) != box && !second)
        continue;
      if (!second && conductor->cable >= 0 && conductor->cable != cable)
        add_slot (work, SLOT_CABLE, box, conductor->cable, 15, 22);
      cable = second ? cable : conductor->cable;
      guint rows = second ? 1 : rows_of_conductor (work, i);
      add_slot (work, SLOT_CONDUCTOR, box, (int) i, second ? 12 : 24, second ? 24 : 78 + rows * ROW);
      Slot *slot = &g_array_index (work->slots, Slot, work->slots->len - 1);
      slot->goes_on = second;
      slot->rows = rows;
    }
}

/* Gives what needs a row of its own the rows that the right box has for such, then new ones. side: 0 left, 1 between,
 * 2 right. */
static void
take_row (Work *work, int side, int box, Extra extra)
{
  int index = (int) work->extras->len;

  g_array_append_val (work->extras, extra);
  for (guint i = 0; i < work->slots->len; i++)
    {
      Slot *slot = &g_array_index (work->slots, Slot, i);
      if (slot->kind != SLOT_EXTRA || slot->extra[side] >= 0 || (side == 2 && slot->box != box))
        continue;
      slot->extra[side] = index;
      return;
    }
  add_slot (work, SLOT_EXTRA, side == 2 ? box : -1, -1, 15, 32);
  g_array_index (work->slots, Slot, work->slots->len - 1).extra[side] = index;
}

static void
add_extras (Work *work, int side, int box)
{
  const BlWiring *wiring = work->wiring;

  for (guint i = 0; i < wiring->terminals->len; i++)
    {
      const BlWireTerminal *terminal = bl_at (wiring->terminals, i);
      if (terminal->conductor < 0 && terminal->box == box)
        take_row (work, side, box, (Extra){ (int) i, -1 });
    }
  for (guint i = 0; box >= 0 && i < wiring->checks->len; i++)
    {
      const BlWireCheck *check = bl_at (wiring->checks, i);
      if (check->place == BL_WIRE_BOX && check->index == (guint) box)
        take_row (work, side, box, (Extra){ -1, (int) i });
    }
}

void
bl_wire_make_slots (Work *work)
{
  const BlWiring *wiring = work->wiring;
  gboolean first = TRUE;

  for (guint box = 0; box < wiring->boxes->len; box++)
    {
      if ((int) box == work->left)
        continue;
      add_slot (work, SLOT_HEAD, (int) box, (int) box, first ? 20 : 26, first ? 28 : 40);
      add_conductor_slots (work, (int) box);
      add_extras (work, 2, (int) box);
      first = FALSE;
    }
  if (first)
    add_slot (work, SLOT_HEAD, -1, -1, 20, 28);
  add_conductor_slots (work, -1);
  add_extras (work, 0, work->left);
  add_extras (work, 1, -1);
}

guint
bl_wire_count_lines (const Work *work, const char *text, gboolean bold, double room)
{
  double w = work->measure (text, BL_WIRE_CHECK_PX, bold, work->data);

  /* Lines end at words, so each but one lacks some of its width. */
  return w <= room || room < 20 ? 1 : (guint) CLAMP (ceil (w * 1.15 / room), 2, 3);
}

static double
check_room (const Work *work, int box)
{
  double w = box == work->left ? work->xl - MARGIN : work->out->width - MARGIN - work->xr;

  return w - 2 * INSET - BL_WIRE_CIRCLE - BL_WIRE_SHAPE - BESIDE;
}

double
bl_wire_cable_room (const Work *work, guint checks, double size)
{
  return work->xr - work->xl - 2 * TAIL - checks * (size + GAP * 0.6) - (checks > 0 ? GAP : 0);
}

static guint
lines_of_slot (const Work *work, const Slot *slot)
{
  guint lines = 1;

  if (slot->kind == SLOT_CABLE)
    {
      g_autoptr (GArray) checks = bl_wire_checks_at (work, BL_WIRE_CABLE, (guint) slot->index);
      return bl_wire_count_lines (work, ((const BlWireCable *) bl_at (work->wiring->cables, slot->index))->title, FALSE,
                          bl_wire_cable_room (work, checks->len, BL_WIRE_SHAPE));
    }
  for (int side = 0; slot->kind == SLOT_EXTRA && side < 3; side += 2)
    {
      int check = slot->extra[side] >= 0 ? g_array_index (work->extras, Extra, slot->extra[side]).check : -1;
      if (check >= 0)
        lines = MAX (lines, bl_wire_count_lines (work, ((const BlWireCheck *) bl_at (work->wiring->checks, check))->title, TRUE,
                                         check_room (work, side == 0 ? work->left : slot->box)));
    }
  return lines;
}

void
bl_wire_wrap_titles (Work *work, double height)
{
  double least = 0;

  for (guint i = 0; i < work->slots->len; i++)
    least += g_array_index (work->slots, Slot, i).least;
  for (guint i = 0; i < work->slots->len; i++)
    {
      Slot *slot = &g_array_index (work->slots, Slot, i);
      double more = lines_of_slot (work, slot) * bl_wire_text_height (BL_WIRE_CHECK_PX) + 5 - slot->least;
      if (lines_of_slot (work, slot) < 2 || least + more > height * 0.75)
        continue;
      slot->least += more;
      slot->want = MAX (slot->want, slot->least + 6);
      least += more;
    }
}

void
bl_wire_stretch_slots (Work *work, double height)
{
  double want = 0, least = 0, y = MARGIN;

  for (guint i = 0; i < work->slots->len; i++)
    {
      want += g_array_index (work->slots, Slot, i).want;
      least += g_array_index (work->slots, Slot, i).least;
    }
  double t = want > least ? CLAMP ((height - least) / (want - least), 0, 1) : 1;
  double scale = height < least ? MAX (height, 0) / least : 1;
  for (guint i = 0; i < work->slots->len; i++)
    {
      Slot *slot = &g_array_index (work->slots, Slot, i);
      slot->y = y;
      slot->h = (slot->least + t * (slot->want - slot->least)) * scale;
      y += slot->h;
    }
}
