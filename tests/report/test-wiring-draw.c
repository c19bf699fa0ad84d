/* SPDX-License-Identifier: GPL-3.0-or-later
 * The drawing of boxes and conductors: verdicts in their colours at their places, what is in hand, the likely failed
 * place, on light, dark and paper. Looked at as pixels, since the drawing is what is promised. */
#include "config.h"

#include "bl-wiring-draw.h"

#include "../core/fixture-wiring.h"
#include "bl-shape-draw.h"

#define WIDTH 604
#define HEIGHT 466

typedef struct
{
  Joined joined;
  BlWiringLayout *layout;
  cairo_surface_t *surface;
  cairo_t *cr;
  PangoContext *context;
  BlWiringLook look;
  int shapes[16];
} Scene;

static void
scene_open (Scene *scene, gboolean dark, BlWirePlace likely, guint index, const char *words)
{
  PangoFontDescription *font = pango_font_description_from_string ("Cantarell, Sans");

  *scene = (Scene){ .joined = wiring_join (wiring_pair) };
  scene->surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, WIDTH, HEIGHT);
  scene->cr = cairo_create (scene->surface);
  scene->context = pango_cairo_create_context (scene->cr);
  pango_context_set_font_description (scene->context, font);
  pango_font_description_free (font);
  scene->layout = bl_wiring_layout_new (scene->joined.wiring, WIDTH, HEIGHT, likely, index, bl_wiring_measure,
                                        scene->context);
  for (guint i = 0; i < G_N_ELEMENTS (scene->shapes); i++)
    scene->shapes[i] = -1;
  scene->look = (BlWiringLook){ .palette = bl_palette_get (dark),
                                .context = scene->context,
                                .shapes = scene->shapes,
                                .current = -1,
                                .focus = -1,
                                .likely = likely,
                                .likely_index = index,
                                .likely_words = words };
}

static void
scene_draw (Scene *scene)
{
  bl_set_source (scene->cr, &scene->look.palette->page);
  cairo_paint (scene->cr);
  bl_wiring_draw (scene->cr, scene->joined.wiring, scene->layout, &scene->look);
  g_assert_cmpint (cairo_status (scene->cr), ==, CAIRO_STATUS_SUCCESS);
  cairo_surface_flush (scene->surface);
}

static void
scene_close (Scene *scene)
{
  g_object_unref (scene->context);
  cairo_destroy (scene->cr);
  cairo_surface_destroy (scene->surface);
  bl_wiring_layout_free (scene->layout);
  wiring_leave (&scene->joined);
}

/* Pixels of exactly this colour in a box. */
static guint
count (const Scene *scene, const BlColour *colour, double x, double y, double w, double h)
{
  const guint8 *data = cairo_image_surface_get_data (scene->surface);
  int stride = cairo_image_surface_get_stride (scene->surface);
  int red = (int) (colour->red * 255 + 0.5), green = (int) (colour->green * 255 + 0.5),
      blue = (int) (colour->blue * 255 + 0.5);
  guint n = 0;

  for (int py = MAX ((int) y, 0); py < MIN ((int) (y + h), HEIGHT); py++)
    for (int px = MAX ((int) x, 0); px < MIN ((int) (x + w), WIDTH); px++)
      {
        const guint8 *at = data + py * stride + px * 4;
        n += ABS (at[2] - red) <= 1 && ABS (at[1] - green) <= 1 && ABS (at[0] - blue) <= 1;
      }
  return n;
}

static guint
index_of (const Scene *scene, const char *id)
{
  for (guint i = 0; i < scene->joined.wiring->checks->len; i++)
    if (bl_at (scene->joined.wiring->checks, i) == wiring_check (scene->joined.wiring, id))
      return i;
  g_assert_not_reached ();
}

static void
test_verdicts (gconstpointer dark)
{
  Scene scene;

  scene_open (&scene, GPOINTER_TO_INT (dark), BL_WIRE_ANYWHERE, 0, NULL);
  guint far = index_of (&scene, "FAR"), read = index_of (&scene, "R-S");
  const BlWireMark *mark = &scene.layout->marks[far], *other = &scene.layout->marks[read];
  scene.shapes[far] = BL_SHAPE_LOW;
  scene.shapes[read] = BL_SHAPE_IN_BAND;
  scene_draw (&scene);
  g_assert_cmpuint (count (&scene, &scene.look.palette->low, mark->x - 8, mark->y - 8, 16, 16), >, 20);
  g_assert_cmpuint (count (&scene, &scene.look.palette->in_band, other->x - 8, other->y - 8, 16, 16), >, 40);
  /* Nowhere else: colour is a verdict. */
  g_assert_cmpuint (count (&scene, &scene.look.palette->low, 0, 0, WIDTH, HEIGHT), ==,
                    count (&scene, &scene.look.palette->low, mark->x - 9, mark->y - 9, 18, 18));
  g_assert_cmpuint (count (&scene, &scene.look.palette->likely, 0, 0, WIDTH, HEIGHT), ==, 0);
  scene_close (&scene);
}

static void
test_likely (gconstpointer dark)
{
  static const BlWirePlace places[] = { BL_WIRE_BOX, BL_WIRE_CONDUCTOR, BL_WIRE_CABLE };

  for (guint i = 0; i < G_N_ELEMENTS (places); i++)
    {
      Scene scene;
      scene_open (&scene, GPOINTER_TO_INT (dark), places[i], 0, "likely failed: it 62 %");
      const BlLabelBox *box = places[i] == BL_WIRE_BOX         ? &scene.layout->boxes[0].outline
                              : places[i] == BL_WIRE_CONDUCTOR ? &scene.layout->lines[0].row
                                                               : &scene.layout->cables[0].outline;
      scene_draw (&scene);
      const BlColour *yellow = &scene.look.palette->likely;
      g_assert_cmpuint (count (&scene, yellow, box->x - 4, box->y, 9, box->h), >, box->h);
      g_assert_cmpuint (count (&scene, yellow, box->x + box->w - 4, box->y, 9, box->h), >, box->h);
      /* The tab: most of its ground. */
      const BlLabelBox *tab = places[i] == BL_WIRE_BOX         ? &scene.layout->boxes[0].label
                              : places[i] == BL_WIRE_CONDUCTOR ? &scene.layout->lines[0].label
                                                               : &scene.layout->cables[0].label;
      g_assert_cmpuint (count (&scene, yellow, tab->x - 5, tab->y, tab->w + 10, tab->h), >, 400);
      scene_close (&scene);
    }
}

/* What is in hand has ink brackets at its terminal, the black lead is a square of ink at its own. */
static void
test_in_hand (gconstpointer dark)
{
  Scene scene;

  scene_open (&scene, GPOINTER_TO_INT (dark), BL_WIRE_ANYWHERE, 0, NULL);
  guint index = index_of (&scene, "S-N");
  const BlWireCheck *check = bl_at (scene.joined.wiring->checks, index);
  const BlWireEnd *at = &scene.layout->terminals[check->at], *black = &scene.layout->terminals[check->black];
  const BlColour *ink = &scene.look.palette->ink;
  scene_draw (&scene);
  guint name = count (&scene, ink, scene.layout->marks[index].label.x, scene.layout->marks[index].label.y,
                      scene.layout->marks[index].label.w, scene.layout->marks[index].label.h);
  guint before = count (&scene, ink, at->x - 12, at->y - 12, 24, 24);
  g_assert_cmpuint (count (&scene, ink, black->x - 4, black->y - 4, 8, 8), <, 40);
  scene.look.current = (int) index;
  scene_draw (&scene);
  g_assert_cmpuint (count (&scene, ink, at->x - 12, at->y - 12, 24, 24), >, before + 30);
  g_assert_cmpuint (count (&scene, ink, black->x - 4, black->y - 4, 8, 8), >, 56);
  g_assert_cmpuint (count (&scene, ink, scene.layout->marks[index].label.x, scene.layout->marks[index].label.y,
                           scene.layout->marks[index].label.w, scene.layout->marks[index].label.h),
                    >, name + 50);
  scene_close (&scene);
}

/* An arrow where a conductor that feeds arrives, none on the signal conductor. */
static void
test_arrow (void)
{
  Scene scene;

  scene_open (&scene, FALSE, BL_WIRE_ANYWHERE, 0, NULL);
  scene_draw (&scene);
  for (guint i = 0; i < scene.joined.wiring->conductors->len; i++)
    {
      const BlWireConductor *conductor = bl_at (scene.joined.wiring->conductors, i);
      const BlWireLine *line = &scene.layout->lines[i];
      double x = line->x[1] - BL_WIRE_CIRCLE - 11;
      guint ink = count (&scene, &scene.look.palette->ink, x, line->y[1] - 6, 8, 12);
      if (conductor->supplies)
        g_assert_cmpuint (ink, >, 32);
      else
        g_assert_cmpuint (ink, <, 20);
    }
  g_autofree char *words = bl_wiring_supply_words (scene.joined.wiring, scene.layout->feeds, scene.layout->fed);
  g_assert_cmpstr (words, ==, "wall feeds roof");
  scene_close (&scene);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  for (int dark = 0; dark <= 1; dark++)
    {
      gconstpointer data = GINT_TO_POINTER (dark);
      g_test_add_data_func (dark ? "/wiring-draw/verdicts/dark" : "/wiring-draw/verdicts/light", data, test_verdicts);
      g_test_add_data_func (dark ? "/wiring-draw/likely/dark" : "/wiring-draw/likely/light", data, test_likely);
      g_test_add_data_func (dark ? "/wiring-draw/in-hand/dark" : "/wiring-draw/in-hand/light", data, test_in_hand);
    }
  g_test_add_func ("/wiring-draw/arrow", test_arrow);
  return g_test_run ();
}
