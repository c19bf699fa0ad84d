/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Checks beside each other in the drawing of an equipment, in as many rows as they take; names, then shapes, are given up
 * where there is no room. Up to ten checks at a time. Which checks stand where is asked for by bl-wiring-put.c. */
#include "config.h"

#include "bl-wiring-layout-private.h"

#include <math.h>

double
bl_wire_text_height (double px)
{
  return px * LINE;
}

BlLabelBox
bl_wire_label_at (double x, double middle, double w, double px)
{
  return (BlLabelBox){ x, middle - bl_wire_text_height (px) / 2, w, bl_wire_text_height (px) };
}

double
bl_wire_shape_for (double h)
{
  double size = MIN (BL_WIRE_SHAPE, h - 2);

  return size >= LEAST_SHAPE ? size : 0;
}

double
bl_wire_check_width (const Work *work, guint check)
{
  return work->measure (((const BlWireCheck *) bl_at (work->wiring->checks, check))->id, BL_WIRE_CHECK_PX, TRUE,
                        work->data)
         + 1;
}

/* Width of a check with or without its name. */
static double
item_width (const Work *work, guint check, double size, gboolean names)
{
  return size + (names ? BESIDE + bl_wire_check_width (work, check) : 0);
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

guint
bl_wire_count_rows (const Work *work, const GArray *checks, double room, double size, gboolean names, gboolean *fits)
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
        mark->label = bl_wire_label_at (x + size + BESIDE, y, bl_wire_check_width (work, check), BL_WIRE_CHECK_PX);
      x += item_width (work, check, size, names) + (names ? GAP : GAP * 0.6);
    }
}

void
bl_wire_put_marks (Work *work, const GArray *checks, double x0, double x1, double y, double h, double below, int align)
{
  double size = bl_wire_shape_for (MIN (h, ROW)), room = x1 - x0;
  guint most = 1 + (guint) (MAX (below, 0) / ROW), n_rows;
  gboolean names = size > 0 && h >= bl_wire_text_height (BL_WIRE_CHECK_PX), fits;

  if (checks->len == 0)
    return;
  n_rows = bl_wire_count_rows (work, checks, room, size, names, &fits);
  if (names && (!fits || n_rows > most))
    {
      names = FALSE;
      n_rows = bl_wire_count_rows (work, checks, room, size, FALSE, &fits);
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

GArray *
bl_wire_checks_at (const Work *work, BlWirePlace place, guint index)
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
