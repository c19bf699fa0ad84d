/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Draws the photographs of the demo boards and writes where everything is on them.
 *
 *   draw-boards --layout FILE --parts FILE.csv --name NAME --out DIR [--scorch X,Y,RADIUS]
 *
 * makes NAME-front.jpg, NAME-back.jpg and layout-NAME.json in DIR (with --scorch only
 * NAME-scorched.jpg, with --places only the layout). The same input gives the same pictures.
 * Invented boards, no one's product. */
#include "config.h"

#include "draw-scene.h"

#include <jansson.h>
#include <math.h>
#include <string.h>

static const double picture_ratio = 1.5; /* width to height */
static const int picture_width = 3240;   /* px */

typedef struct
{
  const DrawLayout *layout;
  DrawCamera camera[2]; /* front, back */
  double px_per_mm;
} Studio;

static void
set_up (Studio *s, const DrawLayout *layout)
{
  double need_w = layout->w + 17 + layout->margin_right, need_h = layout->h + 13;
  int w = picture_width, h = (int) (picture_width / picture_ratio);

  s->layout = layout;
  s->px_per_mm = MIN (w / need_w, h / need_h) * 0.97;
  for (int side = 0; side < 2; side++)
    {
      int sign = side ? -1 : 1;

      draw_camera_aim (&s->camera[side], w, h,
                       layout->w / 2 + (side ? -1.5 : 1.0 + layout->margin_right / 2),
                       layout->h / 2 + 0.8, DRAW_LENS_HEIGHT, s->px_per_mm,
                       sign * layout->roll * G_PI / 180 * (side ? 0.7 : 1),
                       layout->pitch * G_PI / 180, sign * layout->yaw * G_PI / 180);
    }
}

/* Picture coordinates of a place given in board mm seen from the front. */
static void
project (const Studio *s, gboolean back, double x, double y, double z, double *px, double *py)
{
  draw_camera_project (&s->camera[back], back ? s->layout->w - x : x, y, z, px, py);
}

static double
tenth (double v)
{
  return floor (v * 10 + 0.5) / 10;
}

static json_t *
spot (const Studio *s, gboolean back, double x, double y, double z)
{
  double px, py;

  project (s, back, x, y, z, &px, &py);
  return json_pack ("{s:s, s:f, s:f}", "photo", back ? "back" : "front", "x", tenth (px), "y",
                    tenth (py));
}

/* The picture's rectangle around a part, its top leaning away from the lens included. */
static json_t *
rectangle (const Studio *s, const DrawPart *part)
{
  double box[4], l = G_MAXDOUBLE, t = G_MAXDOUBLE, r = 0, b = 0;

  draw_part_box (part, 0.2, box);
  for (int k = 0; k < 8; k++)
    {
      double px, py;

      project (s, part->back, box[k & 1 ? 2 : 0], box[k & 2 ? 3 : 1],
               k & 4 ? part->package->top : 0, &px, &py);
      l = MIN (l, px), t = MIN (t, py), r = MAX (r, px), b = MAX (b, py);
    }
  return json_pack ("{s:s, s:f, s:f, s:f, s:f}", "photo", part->back ? "back" : "front", "x",
                    tenth (l), "y", tenth (t), "w", tenth (r - l), "h", tenth (b - t));
}

static json_t *
land_spot (const Studio *s, const DrawLandAt *l, gboolean back)
{
  if (back)
    return spot (s, TRUE, l->x, l->y, l->pad.through ? 0.8 : 0.3);
  return spot (s, FALSE, l->probe_x, l->probe_y, l->pad.probe_z);
}

static json_t *
describe_parts (const Studio *s)
{
  json_t *parts = json_object ();

  for (guint i = 0; i < s->layout->parts->len; i++)
    {
      const DrawPart *p = s->layout->parts->pdata[i];

      json_object_set_new (parts, p->id, rectangle (s, p));
    }
  return parts;
}

static json_t *
describe_pads (const Studio *s)
{
  json_t *pads = json_object ();

  for (guint i = 0; i < s->layout->lands->len; i++)
    {
      const DrawLandAt *l = &g_array_index (s->layout->lands, DrawLandAt, i);
      g_autofree char *name = g_strdup_printf ("%s.%s", l->part->id, l->pad.name);

      json_object_set_new (pads, name, land_spot (s, l, l->back));
    }
  return pads;
}

static json_t *
describe_points (const Studio *s)
{
  json_t *points = json_object ();

  for (guint i = 0; i < s->layout->points->len; i++)
    {
      const DrawTestPoint *p = s->layout->points->pdata[i];

      json_object_set_new (points, p->id,
                           land_spot (s, draw_layout_land (s->layout, p->pin), p->back));
    }
  return points;
}

/* Twice the area of a, b, c; positive when they turn clockwise on the picture. */
static double
turning (DrawPoint a, DrawPoint b, DrawPoint c)
{
  return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

static int
left_first (gconstpointer a, gconstpointer b)
{
  const DrawPoint *p = a, *q = b;

  return p->x != q->x ? (p->x > q->x) - (p->x < q->x) : (p->y > q->y) - (p->y < q->y);
}

/* Convex hull by monotone chain (Andrew 1979); sorts `points`. */
static GArray *
hull (GArray *points)
{
  GArray *out = g_array_new (FALSE, FALSE, sizeof (DrawPoint));
  guint n = points->len, least;

  g_array_sort (points, left_first);
  for (guint pass = 0; pass < 2; pass++)
    {
      least = out->len + 1;
      for (guint i = 0; i < n; i++)
        {
          DrawPoint p = g_array_index (points, DrawPoint, pass ? n - 1 - i : i);

          while (out->len > least && turning (g_array_index (out, DrawPoint, out->len - 2),
                                              g_array_index (out, DrawPoint, out->len - 1), p) <= 0)
            g_array_set_size (out, out->len - 1);
          g_array_append_val (out, p);
        }
      g_array_set_size (out, out->len - 1); /* the next chain begins with it */
    }
  return out;
}

static json_t *
outline_of (const Studio *s, const GArray *points, gboolean back)
{
  json_t *list = json_array ();

  for (guint k = 0; k < points->len; k++)
    {
      DrawPoint p = g_array_index (points, DrawPoint, k);
      double px, py;

      project (s, back, p.x, p.y, 0, &px, &py);
      json_array_append_new (list, json_pack ("[f, f]", tenth (px), tenth (py)));
    }
  return json_pack ("{s:s, s:o}", "photo", back ? "back" : "front", "points", list);
}

/* Outline on one side around the parts whose group is `name`; NULL when none is there. */
static json_t *
around_parts (const Studio *s, GHashTable *group_of, const char *name, gboolean back)
{
  g_autoptr (GArray) corners = g_array_new (FALSE, FALSE, sizeof (DrawPoint));
  g_autoptr (GArray) shell = NULL;

  for (guint i = 0; i < s->layout->parts->len; i++)
    {
      const DrawPart *p = s->layout->parts->pdata[i];
      double box[4];

      if (p->back != back || g_strcmp0 (g_hash_table_lookup (group_of, p->id), name) != 0)
        continue;
      draw_part_box (p, 1.2, box);
      for (int k = 0; k < 4; k++)
        {
          DrawPoint c = { CLAMP (box[k & 1 ? 2 : 0], 0, s->layout->w),
                          CLAMP (box[k & 2 ? 3 : 1], 0, s->layout->h) };

          g_array_append_val (corners, c);
        }
    }
  if (corners->len == 0)
    return NULL;
  shell = hull (corners);
  return outline_of (s, shell, back);
}

/* The outline drawn in the layout, or else one around the parts, for each side. */
static json_t *
describe_group (const Studio *s, GHashTable *group_of, const char *name, gboolean drawn)
{
  json_t *outlines = json_array ();

  for (int back = 0; back < 2; back++)
    {
      json_t *one = NULL;

      for (guint i = 0; i < s->layout->sections->len && drawn; i++)
        {
          const DrawShape *shape = s->layout->sections->pdata[i];

          if (shape->back == back && g_str_equal (shape->text, name))
            json_array_append_new (outlines, one = outline_of (s, shape->points, back));
        }
      if (!one && (one = around_parts (s, group_of, name, back)))
        json_array_append_new (outlines, one);
    }
  return outlines;
}

static json_t *
describe_groups (const Studio *s, GHashTable *group_of, gboolean drawn)
{
  json_t *groups = json_object ();

  for (guint i = 0; i < s->layout->parts->len; i++)
    {
      const DrawPart *p = s->layout->parts->pdata[i];
      const char *name = g_hash_table_lookup (group_of, p->id);

      if (name && *name && !json_object_get (groups, name))
        json_object_set_new (groups, name, describe_group (s, group_of, name, drawn));
    }
  return groups;
}

/* What both sides show at the same place of the board: screw holes, and two corners. */
static json_t *
describe_landmarks (const Studio *s, gboolean back)
{
  const DrawLayout *layout = s->layout;
  guint holes = layout->holes->len;
  json_t *landmarks = json_array ();

  for (guint i = 0; i < holes + 2; i++)
    {
      const DrawPoint *hole = (const DrawPoint *) (gpointer) layout->holes->data + 2 * i;
      double x = i < holes ? hole->x : i == holes ? 0 : layout->w;
      double y = i < holes ? hole->y : i == holes ? 0 : layout->h;
      g_autofree char *id = g_strdup_printf ("L%u", i + 1);
      double px, py;

      project (s, back, x, y, 0, &px, &py);
      json_array_append_new (landmarks,
                             json_pack ("{s:s, s:f, s:f, s:s}", "id", id, "x", tenth (px), "y", tenth (py), "notes",
                                        i < holes ? "screw hole" : "corner of the board"));
    }
  return landmarks;
}

static gboolean
describe (const Studio *s, const char *path, GError **error)
{
  const DrawCamera *c = s->camera;
  json_t *root = json_pack ("{s:{s:[i,i], s:[i,i]}, s:f, s:{s:o, s:o}, s:o, s:o, s:o, s:o, s:o}", "image",
                            "front", c[0].w, c[0].h, "back", c[1].w, c[1].h, "mm_per_px",
                            floor (1e5 / s->px_per_mm + 0.5) / 1e5, "landmarks", "front",
                            describe_landmarks (s, FALSE), "back", describe_landmarks (s, TRUE), "parts", describe_parts (s),
                            "pads", describe_pads (s), "test_points", describe_points (s),
                            "sections", describe_groups (s, s->layout->section_of, TRUE), "stages",
                            describe_groups (s, s->layout->stage_of, FALSE));
  g_autofree char *text = json_dumps (root, JSON_INDENT (1) | JSON_REAL_PRECISION (6));

  json_decref (root);
  return g_file_set_contents (path, text, -1, error);
}

typedef struct
{
  const Studio *studio;
  const DrawRoute *route;
  gboolean back;
  DrawScorch scorch;
  char *path;
  GError *error;
} Shooting;

static gpointer
shoot (gpointer data)
{
  Shooting *s = data;
  const Studio *studio = s->studio;
  const DrawLayout *layout = studio->layout;
  double right = s->back ? 0 : layout->margin_right;
  double seen_w = studio->camera[s->back].w / studio->px_per_mm - layout->w - right;
  double seen_h = studio->camera[s->back].h / studio->px_per_mm - layout->h;
  g_autoptr (DrawField) field = draw_scene (layout, s->route, s->back, MAX (seen_w, seen_h) / 2 + 6,
                                            studio->px_per_mm * 1.06, &s->scorch);
  g_autofree DrawLit *lit = draw_light (field, 300 + s->back);
  g_autoptr (GdkPixbuf) picture =
      draw_camera_shoot (&studio->camera[s->back], field, lit, 900 + s->back);

  gdk_pixbuf_save (picture, s->path, "jpeg", &s->error, "quality", "88", NULL);
  return NULL;
}

/* Front and back at once, each in a thread of its own. */
static gboolean
shoot_all (Shooting *shots, int n, GError **error)
{
  GThread *threads[2] = { NULL, NULL };
  gboolean good = TRUE;

  for (int k = 0; k < n; k++)
    threads[k] = g_thread_new ("shoot", shoot, &shots[k]);
  for (int k = 0; k < n; k++)
    {
      g_thread_join (threads[k]);
      if (!shots[k].error)
        continue;
      if (good)
        g_propagate_error (error, shots[k].error);
      else
        g_error_free (shots[k].error);
      good = FALSE;
    }
  return good;
}

static gboolean
run (const char *layout_path,
     const char *parts_path,
     const char *name,
     const char *out,
     const DrawScorch *scorch,
     gboolean places_only,
     GError **error)
{
  g_autoptr (DrawLayout) layout = draw_layout_load (layout_path, parts_path, error);
  g_autoptr (DrawRoute) route = NULL;
  g_autofree char *front =
      g_strdup_printf ("%s/%s-%s.jpg", out, name, scorch->radius > 0 ? "scorched" : "front");
  g_autofree char *back = g_strdup_printf ("%s/%s-back.jpg", out, name);
  g_autofree char *json = g_strdup_printf ("%s/layout-%s.json", out, name);
  Studio studio = { 0 };

  if (!layout)
    return FALSE;
  if (draw_layout_check (layout) > 0)
    {
      g_set_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_DATA, "%s: parts overlap", layout_path);
      return FALSE;
    }
  set_up (&studio, layout);
  if (scorch->radius <= 0 && !describe (&studio, json, error))
    return FALSE;
  if (places_only)
    return TRUE;
  route = draw_route (layout);
  {
    Shooting shots[2] = { { &studio, route, FALSE, *scorch, front, NULL },
                          { &studio, route, TRUE, { 0 }, back, NULL } };

    return shoot_all (shots, scorch->radius > 0 ? 1 : 2, error);
  }
}

int
main (int argc, char **argv)
{
  g_autofree char *layout = NULL, *parts = NULL, *name = NULL, *out = NULL, *scorch = NULL;
  gboolean places = FALSE;
  GOptionEntry entries[] = {
    { "layout", 0, 0, G_OPTION_ARG_FILENAME, &layout, "places and nets", "FILE" },
    { "parts", 0, 0, G_OPTION_ARG_FILENAME, &parts, "parts and test points", "FILE" },
    { "name", 0, 0, G_OPTION_ARG_STRING, &name, "start of the file names", "NAME" },
    { "out", 0, 0, G_OPTION_ARG_FILENAME, &out, "folder to write to", "DIR" },
    { "scorch", 0, 0, G_OPTION_ARG_STRING, &scorch, "front only, with a burnt spot", "X,Y,RADIUS" },
    { "places", 0, 0, G_OPTION_ARG_NONE, &places, "write the places, draw nothing", NULL },
    { NULL }
  };
  g_autoptr (GOptionContext) context = g_option_context_new (NULL);
  g_autoptr (GError) error = NULL;
  DrawScorch burnt = { 0 };

  g_option_context_add_main_entries (context, entries, NULL);
  if (!g_option_context_parse (context, &argc, &argv, &error) || !layout || !parts || !name || !out)
    {
      g_printerr ("%s\n",
                  error ? error->message : "--layout, --parts, --name and --out are needed");
      return 2;
    }
  if (scorch)
    {
      g_auto (GStrv) v = g_strsplit (scorch, ",", 3);

      if (g_strv_length (v) != 3)
        {
          g_printerr ("--scorch wants X,Y,RADIUS in mm\n");
          return 2;
        }
      burnt = (DrawScorch){ g_ascii_strtod (v[0], NULL), g_ascii_strtod (v[1], NULL),
                            g_ascii_strtod (v[2], NULL) };
    }
  if (!run (layout, parts, name, out, &burnt, places, &error))
    {
      g_printerr ("draw-boards: %s\n", error->message);
      return 1;
    }
  return 0;
}
