/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reads a hand-made board layout and the list of parts that goes with it.
 *
 * The layout is a text file, one fact a line, words as in a shell, `#` starts a comment:
 *   board W H | mask RGB RGB | bench RGB | camera ROLL PITCH YAW | right MM
 *   part ID PACKAGE X Y TURN front|back [MARK [LABEL_DX LABEL_DY]]
 *   net NAME WIDTH PIN...             copper to be routed, WIDTH in mm
 *   pour front|back solid|hatch|patch NET X,Y ...   a patch is solid and routed all the same
 *   gap WIDTH X,Y ...                 no copper: creepage
 *   slot WIDTH X,Y ...                milled through
 *   text front|back SIZE X Y TURN TEXT | line front|back WIDTH X,Y ...
 *   label front|back W H X Y TURN TEXT  a sticker: first line bars, the rest print
 *   hole X Y DIAMETER | fiducial X Y | section ID front|back X,Y ...
 * mm from the upper left corner seen from the front. A mark left out is the part's value. */
#include "config.h"

#include "draw-layout.h"

#include <gio/gio.h>
#include <math.h>
#include <string.h>

static void
shape_free (gpointer data)
{
  DrawShape *s = data;

  g_free (s->text);
  g_clear_pointer (&s->points, g_array_unref);
  g_free (s);
}

static void
part_free (gpointer data)
{
  DrawPart *p = data;

  g_free (p->id);
  g_free (p->mark);
  g_free (p);
}

static void
net_free (gpointer data)
{
  DrawNet *n = data;

  g_free (n->name);
  g_ptr_array_unref (n->pins);
  g_free (n);
}

static void
point_free (gpointer data)
{
  DrawTestPoint *p = data;

  g_free (p->id);
  g_free (p->pin);
  g_free (p);
}

static DrawLayout *
layout_new (void)
{
  DrawLayout *self = g_new0 (DrawLayout, 1);

  self->parts = g_ptr_array_new_with_free_func (part_free);
  self->nets = g_ptr_array_new_with_free_func (net_free);
  self->pours = g_ptr_array_new_with_free_func (shape_free);
  self->gaps = g_ptr_array_new_with_free_func (shape_free);
  self->slots = g_ptr_array_new_with_free_func (shape_free);
  self->texts = g_ptr_array_new_with_free_func (shape_free);
  self->lines = g_ptr_array_new_with_free_func (shape_free);
  self->labels = g_ptr_array_new_with_free_func (shape_free);
  self->sections = g_ptr_array_new_with_free_func (shape_free);
  self->holes = g_array_new (FALSE, FALSE, sizeof (DrawPoint) * 2);
  self->fiducials = g_array_new (FALSE, FALSE, sizeof (DrawPoint));
  self->lands = g_array_new (FALSE, FALSE, sizeof (DrawLandAt));
  self->points = g_ptr_array_new_with_free_func (point_free);
  self->section_of = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  self->stage_of = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  return self;
}

void
draw_layout_free (DrawLayout *self)
{
  GPtrArray *lists[] = { self->parts, self->nets,  self->pours,  self->gaps,     self->slots,
                         self->texts, self->lines, self->labels, self->sections, self->points };

  for (gsize i = 0; i < G_N_ELEMENTS (lists); i++)
    g_ptr_array_unref (lists[i]);
  g_array_unref (self->holes);
  g_array_unref (self->fiducials);
  g_array_unref (self->lands);
  g_hash_table_unref (self->section_of);
  g_hash_table_unref (self->stage_of);
  g_free (self);
}

static double
number (const char *word)
{
  return g_ascii_strtod (word, NULL);
}

static DrawShape *
shape_new (char **words, int from)
{
  DrawShape *s = g_new0 (DrawShape, 1);

  s->points = g_array_new (FALSE, FALSE, sizeof (DrawPoint));
  for (int i = from; words[i]; i++)
    {
      char *comma = strchr (words[i], ',');
      DrawPoint p = { number (words[i]), comma ? number (comma + 1) : 0 };

      g_array_append_val (s->points, p);
    }
  return s;
}

static gboolean
read_part (DrawLayout *self, char **w, int n, GError **error)
{
  DrawPart *p;

  if (n < 7 || !draw_package_find (w[2]))
    {
      g_set_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_DATA, "part %s: package %s is not known",
                   w[1], n > 2 ? w[2] : "");
      return FALSE;
    }
  p = g_new0 (DrawPart, 1);
  p->id = g_strdup (w[1]);
  p->package = draw_package_find (w[2]);
  p->x = number (w[3]);
  p->y = number (w[4]);
  p->turn = number (w[5]);
  p->back = g_str_equal (w[6], "back");
  p->mark = n > 7 && !g_str_equal (w[7], "-") ? g_strcompress (w[7]) : NULL;
  p->label_set = n > 9;
  if (p->label_set)
    p->label_u = number (w[8]), p->label_v = number (w[9]);
  g_ptr_array_add (self->parts, p);
  return TRUE;
}

static void
read_net (DrawLayout *self, char **w, int n)
{
  DrawNet *net = g_new0 (DrawNet, 1);

  net->name = g_strdup (w[1]);
  net->width = number (w[2]);
  net->pins = g_ptr_array_new_with_free_func (g_free);
  for (int i = 3; i < n; i++)
    g_ptr_array_add (net->pins, g_strdup (w[i]));
  g_ptr_array_add (self->nets, net);
}

static int
net_number (const DrawLayout *self, const char *name)
{
  for (guint i = 0; i < self->nets->len; i++)
    if (g_str_equal (((DrawNet *) self->nets->pdata[i])->name, name))
      return (int) i + 1;
  return 0;
}

static gboolean
read_shape (DrawLayout *self, char **w, int n)
{
  DrawShape *s;

  if (g_str_equal (w[0], "pour") && n > 6)
    {
      s = shape_new (w, 4);
      s->back = g_str_equal (w[1], "back");
      s->hatched = g_str_equal (w[2], "hatch");
      s->routed = g_str_equal (w[2], "patch");
      s->net = net_number (self, w[3]);
      g_ptr_array_add (self->pours, s);
    }
  else if ((g_str_equal (w[0], "gap") || g_str_equal (w[0], "slot")) && n > 3)
    {
      s = shape_new (w, 2);
      s->width = number (w[1]);
      g_ptr_array_add (w[0][0] == 'g' ? self->gaps : self->slots, s);
    }
  else if (g_str_equal (w[0], "text") && n > 6)
    {
      DrawPoint at = { number (w[3]), number (w[4]) };

      s = shape_new (w, n);
      s->back = g_str_equal (w[1], "back");
      s->width = number (w[2]);
      g_array_append_val (s->points, at);
      s->turn = number (w[5]);
      s->text = g_strcompress (w[6]);
      g_ptr_array_add (self->texts, s);
    }
  else if (g_str_equal (w[0], "label") && n > 7)
    {
      DrawPoint at = { number (w[4]), number (w[5]) };

      s = shape_new (w, n);
      s->back = g_str_equal (w[1], "back");
      s->width = number (w[2]);
      s->height = number (w[3]);
      g_array_append_val (s->points, at);
      s->turn = number (w[6]);
      s->text = g_strcompress (w[7]);
      g_ptr_array_add (self->labels, s);
    }
  else if (g_str_equal (w[0], "line") && n > 4)
    {
      s = shape_new (w, 3);
      s->back = g_str_equal (w[1], "back");
      s->width = number (w[2]);
      g_ptr_array_add (self->lines, s);
    }
  else if (g_str_equal (w[0], "section") && n > 5)
    {
      s = shape_new (w, 3);
      s->text = g_strdup (w[1]);
      s->back = g_str_equal (w[2], "back");
      g_ptr_array_add (self->sections, s);
    }
  else
    return FALSE;
  return TRUE;
}

static gboolean
read_fact (DrawLayout *self, char **w, int n, GError **error)
{
  if (g_str_equal (w[0], "board") && n == 3)
    self->w = number (w[1]), self->h = number (w[2]);
  else if (g_str_equal (w[0], "mask") && n == 3)
    {
      self->mask = (guint32) g_ascii_strtoull (w[1], NULL, 16);
      self->mask_copper = (guint32) g_ascii_strtoull (w[2], NULL, 16);
    }
  else if (g_str_equal (w[0], "bench") && n == 2)
    self->bench = (guint32) g_ascii_strtoull (w[1], NULL, 16);
  else if (g_str_equal (w[0], "camera") && n == 4)
    self->roll = number (w[1]), self->pitch = number (w[2]), self->yaw = number (w[3]);
  else if (g_str_equal (w[0], "right") && n == 2)
    self->margin_right = number (w[1]);
  else if (g_str_equal (w[0], "hole") && n == 4)
    {
      DrawPoint hole[2] = { { number (w[1]), number (w[2]) }, { number (w[3]), 0 } };

      g_array_append_vals (self->holes, hole, 1);
    }
  else if (g_str_equal (w[0], "fiducial") && n == 3)
    {
      DrawPoint at = { number (w[1]), number (w[2]) };

      g_array_append_val (self->fiducials, at);
    }
  else if (g_str_equal (w[0], "part"))
    return read_part (self, w, n, error);
  else if (g_str_equal (w[0], "net") && n > 3)
    read_net (self, w, n);
  else if (!read_shape (self, w, n))
    {
      g_set_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_DATA, "“%s” is not understood", w[0]);
      return FALSE;
    }
  return TRUE;
}

static gboolean
read_layout (DrawLayout *self, const char *path, GError **error)
{
  g_autofree char *text = NULL;
  g_auto (GStrv) lines = NULL;

  if (!g_file_get_contents (path, &text, NULL, error))
    return FALSE;
  lines = g_strsplit (text, "\n", -1);
  for (int i = 0; lines[i]; i++)
    {
      g_auto (GStrv) words = NULL;
      g_autoptr (GError) empty = NULL;
      int n = 0;

      if (!g_shell_parse_argv (lines[i], &n, &words, &empty))
        {
          if (g_error_matches (empty, G_SHELL_ERROR, G_SHELL_ERROR_EMPTY_STRING))
            continue;
          g_propagate_prefixed_error (error, g_steal_pointer (&empty), "%s:%d: ", path, i + 1);
          return FALSE;
        }
      if (!read_fact (self, words, n, error))
        {
          g_prefix_error (error, "%s:%d: ", path, i + 1);
          return FALSE;
        }
    }
  return TRUE;
}

/* One CSV record with double quotes, as RFC 4180 has them; no line breaks inside a field. */
static char **
split_record (const char *line)
{
  GPtrArray *fields = g_ptr_array_new ();
  GString *field = g_string_new (NULL);
  gboolean quoted = FALSE;

  for (const char *c = line; *c && *c != '\r'; c++)
    if (*c == '"' && quoted && c[1] == '"')
      g_string_append_c (field, *c++);
    else if (*c == '"')
      quoted = !quoted;
    else if (*c == ',' && !quoted)
      {
        g_ptr_array_add (fields, g_string_free (field, FALSE));
        field = g_string_new (NULL);
      }
    else
      g_string_append_c (field, *c);
  g_ptr_array_add (fields, g_string_free (field, FALSE));
  g_ptr_array_add (fields, NULL);
  return (char **) g_ptr_array_free (fields, FALSE);
}

enum
{
  COL_ROW,
  COL_ID,
  COL_TEXT,
  COL_VALUE,
  COL_SECTION,
  COL_STAGE,
  COL_PAD,
  COL_SIDE,
  N_COLS
};

static gboolean
read_parts (DrawLayout *self, const char *path, GError **error)
{
  g_autofree char *text = NULL;
  g_auto (GStrv) lines = NULL;

  if (!g_file_get_contents (path, &text, NULL, error))
    return FALSE;
  lines = g_strsplit (text, "\n", -1);
  for (int i = 1; lines[i]; i++)
    {
      g_auto (GStrv) col = split_record (lines[i]);
      DrawPart *part;

      if (g_strv_length (col) < N_COLS)
        continue;
      if (g_str_equal (col[COL_ROW], "point"))
        {
          DrawTestPoint *p = g_new0 (DrawTestPoint, 1);

          p->id = g_strdup (col[COL_ID]);
          p->pin = g_strdup (col[COL_PAD]);
          p->back = g_str_equal (col[COL_SIDE], "back");
          g_ptr_array_add (self->points, p);
          continue;
        }
      part = (DrawPart *) draw_layout_part (self, col[COL_ID]);
      if (!part)
        {
          g_set_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_DATA, "%s is in %s and has no place",
                       col[COL_ID], path);
          return FALSE;
        }
      if (!part->mark)
        part->mark = g_strdup (col[COL_VALUE]);
      g_hash_table_insert (self->section_of, g_strdup (part->id), g_strdup (col[COL_SECTION]));
      g_hash_table_insert (self->stage_of, g_strdup (part->id), g_strdup (col[COL_STAGE]));
    }
  return TRUE;
}

const DrawPart *
draw_layout_part (const DrawLayout *self, const char *id)
{
  for (guint i = 0; i < self->parts->len; i++)
    if (g_str_equal (((DrawPart *) self->parts->pdata[i])->id, id))
      return self->parts->pdata[i];
  return NULL;
}

/* The land named "U2.3"; "D2.A" and "D2.K" are a diode's first and second. */
DrawLandAt *
draw_layout_land (const DrawLayout *self, const char *pin)
{
  const char *dot = strchr (pin, '.');

  if (!dot)
    return NULL;
  for (guint i = 0; i < self->lands->len; i++)
    {
      DrawLandAt *l = &g_array_index (self->lands, DrawLandAt, i);
      const char *name = dot + 1;

      if (strlen (l->part->id) != (gsize) (dot - pin) ||
          strncmp (l->part->id, pin, (gsize) (dot - pin)) != 0)
        continue;
      name = g_str_equal (name, "A") ? "1" : g_str_equal (name, "K") ? "2" : name;
      if (g_str_equal (l->pad.name, name))
        return l;
    }
  return NULL;
}

static void
place_lands (DrawLayout *self)
{
  for (guint i = 0; i < self->parts->len; i++)
    {
      const DrawPart *part = self->parts->pdata[i];
      DrawFrame frame = draw_part_frame (part, self->w, FALSE);
      DrawPad pads[DRAW_MAX_PADS];
      int n = draw_package_pads (part->package, pads);

      for (int k = 0; k < n; k++)
        {
          DrawLandAt land = { .part = part,
                              .pad = pads[k],
                              .turn = part->turn,
                              .back = part->back };

          draw_frame_map (&frame, pads[k].u, pads[k].v, &land.x, &land.y);
          draw_frame_map (&frame, pads[k].probe_u, pads[k].probe_v, &land.probe_x, &land.probe_y);
          g_array_append_val (self->lands, land);
        }
    }
}

static gboolean
join_lands (DrawLayout *self, GError **error)
{
  for (guint i = 0; i < self->nets->len; i++)
    {
      DrawNet *net = self->nets->pdata[i];

      for (guint k = 0; k < net->pins->len; k++)
        {
          DrawLandAt *land = draw_layout_land (self, net->pins->pdata[k]);

          if (!land || land->net)
            {
              g_set_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_DATA, "net %s: %s %s", net->name,
                           (char *) net->pins->pdata[k],
                           land ? "is in two nets" : "does not exist");
              return FALSE;
            }
          land->net = (int) i + 1;
        }
    }
  for (guint i = 0; i < self->points->len; i++)
    {
      DrawTestPoint *p = self->points->pdata[i];
      DrawLandAt *land = draw_layout_land (self, p->pin);

      if (!land)
        {
          g_set_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_DATA, "test point %s: no pad %s",
                       p->id, p->pin);
          return FALSE;
        }
      land->probed = TRUE;
    }
  return TRUE;
}

DrawLayout *
draw_layout_load (const char *layout_path, const char *parts_path, GError **error)
{
  g_autoptr (DrawLayout) self = layout_new ();

  if (!read_layout (self, layout_path, error) || !read_parts (self, parts_path, error))
    return NULL;
  for (guint i = 0; i < self->parts->len; i++)
    {
      DrawPart *p = self->parts->pdata[i];

      if (!p->mark)
        p->mark = g_strdup ("");
    }
  place_lands (self);
  if (!join_lands (self, error))
    return NULL;
  return g_steal_pointer (&self);
}

/* Left, top, right, bottom of a part's body and lands, seen from the front, grown by `grow` mm. */
void
draw_part_box (const DrawPart *part, double grow, double box[4])
{
  const DrawPackage *p = part->package;
  DrawFrame frame = draw_part_frame (part, 0, FALSE);
  DrawPad pads[DRAW_MAX_PADS];
  int n = draw_package_pads (p, pads);
  double w = p->w / 2, h = p->h / 2;

  for (int k = 0; k < n; k++)
    {
      w = MAX (w, fabs (pads[k].u) + pads[k].w / 2);
      h = MAX (h, fabs (pads[k].v) + pads[k].h / 2);
    }
  box[0] = box[1] = G_MAXDOUBLE;
  box[2] = box[3] = -G_MAXDOUBLE;
  for (int k = 0; k < 4; k++)
    {
      double x, y;

      draw_frame_map (&frame, k & 1 ? w : -w, k & 2 ? h : -h, &x, &y);
      box[0] = MIN (box[0], x - grow), box[1] = MIN (box[1], y - grow);
      box[2] = MAX (box[2], x + grow), box[3] = MAX (box[3], y + grow);
    }
}

/* Says on stderr which parts overlap or leave the board; returns how many do. */
guint
draw_layout_check (const DrawLayout *self)
{
  guint wrong = 0;

  for (guint i = 0; i < self->parts->len; i++)
    {
      const DrawPart *a = self->parts->pdata[i];
      double p[4], q[4];

      draw_part_box (a, 0, p);
      for (guint k = i + 1; k < self->parts->len; k++)
        {
          const DrawPart *b = self->parts->pdata[k];

          draw_part_box (b, 0, q);
          if (a->back == b->back && p[0] < q[2] && q[0] < p[2] && p[1] < q[3] && q[1] < p[3])
            {
              g_printerr ("%s overlaps %s\n", a->id, b->id);
              wrong++;
            }
        }
      for (guint k = 0; k < self->lands->len; k++)
        {
          const DrawLandAt *l = &g_array_index (self->lands, DrawLandAt, k);
          double r = 0.9;

          if (l->part == a || (!l->pad.through && l->back != a->back))
            continue;
          if (a->back != l->part->back && l->pad.through && p[0] < l->x + l->pad.w / 2 &&
              l->x - l->pad.w / 2 < p[2] && p[1] < l->y + l->pad.h / 2 &&
              l->y - l->pad.h / 2 < p[3])
            {
              g_printerr ("%s lies on land %s.%s\n", a->id, l->part->id, l->pad.name);
              wrong++;
            }
          if (l->probed && l->pad.probe_z < 1 && !a->back && p[0] < l->probe_x + r &&
              l->probe_x - r < p[2] && p[1] < l->probe_y + r && l->probe_y - r < p[3])
            {
              g_printerr ("%s hides the probe spot of %s.%s\n", a->id, l->part->id, l->pad.name);
              wrong++;
            }
        }
    }
  return wrong;
}
