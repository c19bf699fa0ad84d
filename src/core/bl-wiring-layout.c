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
 * ten conductors, thirty checks; nothing is measured or drawn here but by the caller's function. Longer than a file should
 * be, because the heights of slots and what is put into them know the same measures. */
#include "config.h"

#include "bl-wiring-layout.h"

#include <math.h>
#include <string.h>

#define MARGIN 8.0
#define INSET 8.0      /* from the edge of a box to its words */
#define TAIL 22.0      /* free line at each end of a conductor, for the arrow and the cable's end */
#define ABOVE 18.0     /* of a conductor's slot, for a title above its line */
#define LEAST_ABOVE 36.0
#define GAP 10.0       /* between things in a row */
#define BESIDE 8.0     /* between a shape and its name, so that brackets have room */
#define LINE 1.35      /* height of a line of text, in its size */
#define LEAST_SHAPE 11.0
#define ROW 18.0       /* of checks below each other */

typedef enum
{
  SLOT_HEAD,
  SLOT_CABLE,
  SLOT_CONDUCTOR,
  SLOT_EXTRA
} SlotKind;

typedef struct
{
  SlotKind kind;
  double y, h, want, least;
  int box;       /* at the right, whose slot it is; -1: below them all */
  int index;     /* of the cable or conductor */
  guint rows;    /* of checks, at least one */
  gboolean goes_on; /* the second slot of a conductor that turns corners */
  int extra[3];  /* left, between, right: index into extras; -1: none */
} Slot;

/* What has a row of its own: a loose terminal, or a check of a box. */
typedef struct
{
  int terminal, check;
} Extra;

typedef struct
{
  const BlWiring *wiring;
  BlWiringLayout *out;
  BlWireMeasure measure;
  gpointer data;
  BlWirePlace likely;
  guint likely_index;
  int left; /* box at the left; -1: none */
  GArray *slots;  /* Slot */
  GArray *extras; /* Extra */
  double xl, xr;  /* inner edges of the boxes */
  double end[2];  /* outer edges of the right boxes */
} Work;

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

/* --- things in a row --- */

static double
text_height (double px)
{
  return px * LINE;
}

static BlLabelBox
label_at (double x, double middle, double w, double px)
{
  return (BlLabelBox){ x, middle - text_height (px) / 2, w, text_height (px) };
}

static double
shape_for (double h)
{
  double size = MIN (BL_WIRE_SHAPE, h - 2);

  return size >= LEAST_SHAPE ? size : 0;
}

static double
check_width (const Work *work, guint check)
{
  return work->measure (((const BlWireCheck *) bl_at (work->wiring->checks, check))->id, BL_WIRE_CHECK_PX, TRUE,
                        work->data)
         + 1;
}

/* Width of a check with or without its name. */
static double
item_width (const Work *work, guint check, double size, gboolean names)
{
  return size + (names ? BESIDE + check_width (work, check) : 0);
}

/* How many of the checks from the first one on stand beside each other in this width, at least one; *used: what
 * they take of it. */
static guint
count_in_row (const Work *work, const GArray *checks, guint first, double room, double size, gboolean names,
              double *used)
{
  double gap = names ? GAP : GAP * 0.6;
  guint n = 0;

  *used = 0;
  for (guint i = first; i < checks->len; i++)
    {
      double w = item_width (work, g_array_index (checks, guint, i), size, names) + (n > 0 ? gap : 0);
      if (n > 0 && *used + w > room)
        break;
      *used += w;
      n++;
    }
  return n;
}

/* Rows that the checks take in this width; *fits: none of them is wider than that. */
static guint
count_rows (const Work *work, const GArray *checks, double room, double size, gboolean names, gboolean *fits)
{
  guint rows = 0;

  *fits = TRUE;
  for (guint first = 0; first < checks->len; rows++)
    {
      double used;
      first += count_in_row (work, checks, first, room, size, names, &used);
      *fits = *fits && used <= room;
    }
  return rows;
}

static void
put_row (Work *work, const GArray *checks, guint first, guint n, double x, double end, double y, double h, double size,
         gboolean names)
{
  for (guint i = first; i < first + n; i++)
    {
      guint check = g_array_index (checks, guint, i);
      BlWireMark *mark = &work->out->marks[check];
      *mark = (BlWireMark){ .x = x + size / 2, .y = y, .size = x + size <= end + 0.01 ? size : 0, .room = h / 2 };
      if (names)
        mark->label = label_at (x + size + BESIDE, y, check_width (work, check), BL_WIRE_CHECK_PX);
      x += item_width (work, check, size, names) + (names ? GAP : GAP * 0.6);
    }
}

/* Puts checks beside and below each other from x0 to x1. y, h: the middle and height of the first row; below: room for
 * more rows under it. Names are left out where they have no room, then shapes. align: -1 left, 0 middle, 1 right. */
static void
put_marks (Work *work, const GArray *checks, double x0, double x1, double y, double h, double below, int align)
{
  double size = shape_for (MIN (h, ROW)), room = x1 - x0;
  guint most = 1 + (guint) (MAX (below, 0) / ROW), n_rows;
  gboolean names = size > 0 && h >= text_height (BL_WIRE_CHECK_PX), fits;

  if (checks->len == 0)
    return;
  n_rows = count_rows (work, checks, room, size, names, &fits);
  if (names && (!fits || n_rows > most))
    {
      names = FALSE;
      n_rows = count_rows (work, checks, room, size, FALSE, &fits);
    }
  if (size <= 0 || !fits || n_rows > most)
    { /* what they stand at stands for them */
      for (guint i = 0; i < checks->len; i++)
        work->out->marks[g_array_index (checks, guint, i)]
            = (BlWireMark){ .x = CLAMP ((x0 + x1) / 2, 0, work->out->width), .y = y, .room = h / 2 };
      return;
    }
  for (guint first = 0, row = 0; first < checks->len; row++)
    {
      double used;
      guint n = count_in_row (work, checks, first, room, size, names, &used);
      double x = align < 0 ? x0 : align > 0 ? x1 - used : (x0 + x1 - used) / 2;
      put_row (work, checks, first, n, x, x1, y + row * ROW, n_rows > 1 ? ROW : h, size, names);
      first += n;
    }
}

static GArray *
checks_at (const Work *work, BlWirePlace place, guint index)
{
  GArray *checks = g_array_new (FALSE, FALSE, sizeof (guint));

  for (guint i = 0; i < work->wiring->checks->len; i++)
    {
      const BlWireCheck *check = bl_at (work->wiring->checks, i);
      if (check->place == place && (place == BL_WIRE_ANYWHERE || check->index == index))
        g_array_append_val (checks, i);
    }
  return checks;
}

/* Rows that the checks of a conductor ask for. */
static guint
rows_of_conductor (const Work *work, guint index)
{
  g_autoptr (GArray) checks = checks_at (work, BL_WIRE_CONDUCTOR, index);
  gboolean fits;

  return MAX (1, count_rows (work, checks, MAX (work->xr - work->xl - 2 * TAIL, 0), BL_WIRE_SHAPE, TRUE, &fits));
}

/* --- slots --- */

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

static gboolean
turns_corners (const Work *work, const BlWireConductor *conductor)
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
      gboolean second = turns_corners (work, conductor) && conductor->box[0] == box;
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

static void
make_slots (Work *work)
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

/* Lines that a text takes in this width, wrapped; three at most. */
static guint
count_lines (const Work *work, const char *text, gboolean bold, double room)
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

/* Room of a cable's title beside the checks about it. */
static double
cable_room (const Work *work, guint checks, double size)
{
  return work->xr - work->xl - 2 * TAIL - checks * (size + GAP * 0.6) - (checks > 0 ? GAP : 0);
}

static guint
lines_of_slot (const Work *work, const Slot *slot)
{
  guint lines = 1;

  if (slot->kind == SLOT_CABLE)
    {
      g_autoptr (GArray) checks = checks_at (work, BL_WIRE_CABLE, (guint) slot->index);
      return count_lines (work, ((const BlWireCable *) bl_at (work->wiring->cables, slot->index))->title, FALSE,
                          cable_room (work, checks->len, BL_WIRE_SHAPE));
    }
  for (int side = 0; slot->kind == SLOT_EXTRA && side < 3; side += 2)
    {
      int check = slot->extra[side] >= 0 ? g_array_index (work->extras, Extra, slot->extra[side]).check : -1;
      if (check >= 0)
        lines = MAX (lines, count_lines (work, ((const BlWireCheck *) bl_at (work->wiring->checks, check))->title, TRUE,
                                         check_room (work, side == 0 ? work->left : slot->box)));
    }
  return lines;
}

/* Titles that are longer than their line get more of them where the drawing has height to spare. */
static void
wrap_titles (Work *work, double height)
{
  double least = 0;

  for (guint i = 0; i < work->slots->len; i++)
    least += g_array_index (work->slots, Slot, i).least;
  for (guint i = 0; i < work->slots->len; i++)
    {
      Slot *slot = &g_array_index (work->slots, Slot, i);
      double more = lines_of_slot (work, slot) * text_height (BL_WIRE_CHECK_PX) + 5 - slot->least;
      if (lines_of_slot (work, slot) < 2 || least + more > height * 0.75)
        continue;
      slot->least += more;
      slot->want = MAX (slot->want, slot->least + 6);
      least += more;
    }
}

/* Heights between what is wanted and what is least, all alike; below that all alike again. */
static void
stretch_slots (Work *work, double height)
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

/* --- boxes --- */

static void
box_edges (const Work *work, int box, double *outer, double *inner)
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
  guint rows = count_rows (work, checks, room, BL_WIRE_SHAPE, TRUE, &fits);

  return rows > 1 && rows * ROW <= h ? (rows - 1) * ROW : 0;
}

/* The end of a conductor at a box's edge with its name inside and what is read there farther in. */
static void
put_end (Work *work, int box, int terminal, BlWireEnd *end, double y, double h)
{
  double outer, inner;

  box_edges (work, box, &outer, &inner);
  double inward = outer < inner ? -1 : 1;
  end->x = inner;
  end->y = y;
  if (terminal < 0)
    return;
  const BlWireTerminal *point = bl_at (work->wiring->terminals, terminal);
  g_autoptr (GArray) checks = checks_at (work, BL_WIRE_TERMINAL, (guint) terminal);
  double near = inner + inward * (BL_WIRE_CIRCLE + 8), far = outer - inward * INSET, room = fabs (far - near);
  double w = work->measure (point->name, BL_WIRE_NAME_PX, TRUE, work->data) + 1;
  double shapes = checks->len * (shape_for (h) + GAP * 0.6);
  w = MIN (w, room - shapes);
  if (w >= 14 && h >= text_height (BL_WIRE_NAME_PX))
    {
      end->label = label_at (inward < 0 ? near - w : near, y, w, BL_WIRE_NAME_PX);
      near += inward * (w + GAP);
    }
  double first = y - centre_rows (work, checks, fabs (far - near), h) / 2;
  if (inward < 0)
    put_marks (work, checks, far, near, first, h - 2 * (y - first), 2 * (y - first), 1);
  else
    put_marks (work, checks, near, far, first, h - 2 * (y - first), 2 * (y - first), -1);
  work->out->terminals[terminal] = *end;
}

/* As many lines as the text takes and the height has. */
static BlLabelBox
wrapped_at (const Work *work, const char *text, gboolean bold, double x, double middle, double w, double h)
{
  double line = text_height (BL_WIRE_CHECK_PX);
  guint lines = MIN (count_lines (work, text, bold, w), (guint) MAX (1, h / line));

  return (BlLabelBox){ x, middle - lines * line / 2, w, lines * line };
}

/* A check of the box itself: shape, then its title as far as there is room. */
static void
put_box_check (Work *work, int box, guint check, double y, double h)
{
  BlWireMark *mark = &work->out->marks[check];
  const BlWireCheck *asked = bl_at (work->wiring->checks, check);
  double outer, inner;

  box_edges (work, box, &outer, &inner);
  double x0 = MIN (outer, inner) + INSET, x1 = MAX (outer, inner) - INSET - BL_WIRE_CIRCLE, size = shape_for (h);
  *mark = (BlWireMark){ .x = x0 + size / 2, .y = y, .size = size, .room = h / 2, .titled = TRUE };
  double w = MIN (work->measure (asked->title, BL_WIRE_CHECK_PX, TRUE, work->data) + 1, x1 - x0 - size - BESIDE);
  if (size > 0 && w >= 20 && h >= text_height (BL_WIRE_CHECK_PX))
    mark->label = wrapped_at (work, asked->title, TRUE, x0 + size + BESIDE, y, w, h);
}

/* A terminal that belongs to no box: between them, its name at its right. */
static void
put_between (Work *work, guint terminal, double y, double h)
{
  BlWireEnd *end = &work->out->terminals[terminal];
  const BlWireTerminal *point = bl_at (work->wiring->terminals, terminal);
  g_autoptr (GArray) checks = checks_at (work, BL_WIRE_TERMINAL, terminal);
  double x = work->xl + TAIL, end_x = work->xr - TAIL;
  double w = work->measure (point->name, BL_WIRE_NAME_PX, TRUE, work->data) + 1;

  *end = (BlWireEnd){ .x = x, .y = y };
  x += BL_WIRE_CIRCLE + 8;
  w = MIN (w, end_x - x - checks->len * (shape_for (h) + GAP * 0.6));
  if (w >= 14 && h >= text_height (BL_WIRE_NAME_PX))
    {
      end->label = label_at (x, y, w, BL_WIRE_NAME_PX);
      x += w + GAP;
    }
  put_marks (work, checks, x, end_x, y, h, 0, -1);
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
    n += turns_corners (work, bl_at (work->wiring->conductors, i));
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
  g_autoptr (GArray) checks = checks_at (work, BL_WIRE_CONDUCTOR, (guint) index);
  gboolean above = slot->h >= LEAST_ABOVE;
  gboolean likely = work->likely == BL_WIRE_CONDUCTOR && work->likely_index == (guint) index;
  double h, below, y = line_of (work, slot, &h, &below), room = MAX (x1 - x0, 0);
  double shapes = checks->len * (shape_for (h) + GAP * 0.6);
  double w = work->measure (conductor->title, BL_WIRE_TITLE_PX, FALSE, work->data) + 1;

  w = likely ? room : MIN (w, room);
  if (above)
    line->label = (BlLabelBox){ x0, slot->y + 2, w, ABOVE - 3 };
  else if (slot->h >= text_height (BL_WIRE_TITLE_PX))
    {
      w = MIN (w, room - shapes - (checks->len > 0 ? GAP : 0));
      if (w >= 20)
        line->label = label_at (x0, y, w, BL_WIRE_TITLE_PX);
      x0 += w >= 20 ? w + GAP : 0;
    }
  put_marks (work, checks, x0, x1, y, h, below, above ? 0 : 1);
}

static void
put_conductor (Work *work, const Slot *slot)
{
  const BlWireConductor *conductor = bl_at (work->wiring->conductors, slot->index);
  BlWireLine *line = &work->out->lines[slot->index];
  gboolean corners = turns_corners (work, conductor);
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
  g_autoptr (GArray) checks = checks_at (work, BL_WIRE_CABLE, (guint) slot->index);
  gboolean likely = work->likely == BL_WIRE_CABLE && work->likely_index == (guint) slot->index;
  double x0 = work->xl + TAIL, x1 = work->xr - TAIL, y = slot->y + slot->h / 2 - 2;
  double w = work->measure (cable->title, BL_WIRE_CHECK_PX, FALSE, work->data) + 1;
  double room = cable_room (work, checks->len, shape_for (slot->h));

  if (frame->outline.w > 0) /* in the slots of another box already */
    return;
  w = likely ? room : MIN (w, room);
  if (w >= 20 && slot->h >= text_height (BL_WIRE_CHECK_PX))
    {
      frame->label = likely ? label_at (x0, y, w, BL_WIRE_CHECK_PX)
                            : wrapped_at (work, cable->title, FALSE, x0, y, w, slot->h - 2);
      x0 += w + GAP;
    }
  put_marks (work, checks, x0, x1, y, slot->h - 4, 0, 1);
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
  g_autoptr (GArray) checks = checks_at (work, BL_WIRE_ANYWHERE, 0);
  double x0 = work->xl + TAIL, x1 = work->xr - TAIL, y = slot->y + slot->h / 2, w = 0;
  double shapes = checks->len * (shape_for (slot->h) + GAP * 0.6);

  if (out->feeds >= 0)
    w = work->measure (((const BlWireBox *) bl_at (work->wiring->boxes, out->feeds))->role, BL_WIRE_CHECK_PX, TRUE,
                       work->data)
        + work->measure (((const BlWireBox *) bl_at (work->wiring->boxes, out->fed))->role, BL_WIRE_CHECK_PX, TRUE,
                         work->data)
        + 6 * BL_WIRE_CHECK_PX;
  w = MIN (w, x1 - x0 - shapes - (checks->len > 0 ? GAP : 0));
  if (w >= 24 && slot->h >= text_height (BL_WIRE_CHECK_PX))
    {
      out->supply = label_at (x0, y, w, BL_WIRE_CHECK_PX);
      x0 += w + GAP;
    }
  put_marks (work, checks, x0, x1, y, slot->h, 0, 1);
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
      g_autoptr (GArray) checks = checks_at (work, BL_WIRE_TERMINAL, i);
      double w = 2 * INSET + BL_WIRE_CIRCLE + 12 + work->measure (terminal->name, BL_WIRE_NAME_PX, TRUE, work->data);
      for (guint j = 0; j < checks->len; j++)
        w += BL_WIRE_SHAPE + BESIDE + GAP + check_width (work, g_array_index (checks, guint, j));
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

  box_edges (work, box, &outer, &inner);
  frame->outline = (BlLabelBox){ MIN (outer, inner), y, fabs (outer - inner), h };
  double room = frame->outline.w - 2 * INSET;
  double w = work->measure (((const BlWireBox *) bl_at (work->wiring->boxes, box))->role, BL_WIRE_ROLE_PX, TRUE,
                            work->data)
             + 1;
  if (room >= 14 && head >= text_height (BL_WIRE_CHECK_PX))
    frame->label = label_at (frame->outline.x + INSET, y + head / 2, likely ? room : MIN (w, room),
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

static void
put_slots (Work *work)
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
  make_slots (&work);
  wrap_titles (&work, self->height - 2 * MARGIN - 2);
  stretch_slots (&work, self->height - 2 * MARGIN - 2);
  put_frames (&work);
  put_slots (&work);
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
