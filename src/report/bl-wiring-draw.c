/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Boxes, conductors, cables and terminals of an equipment drawn with cairo and pango, with the verdict of each field
 * check at its place: the same on screen and on paper.
 *
 * Lines and words are ink; colour is a verdict or the likely failed place, as everywhere. A conductor that feeds is
 * thick and has an arrow where it arrives. A cable is a dashed frame round its conductors, as connection drawings have
 * it (common practice, no source). Where things stand is bl-wiring-layout.c's. */
#include "config.h"

#include "bl-wiring-draw.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-shape-draw.h"

#define THIN 1.3
#define WIRE 1.5
#define FEED 2.8
#define ARROW 10.0

typedef struct
{
  cairo_t *cr;
  const BlWiring *wiring;
  const BlWiringLayout *layout;
  const BlWiringLook *look;
} Draw;

/* --- text --- */

static PangoLayout *
text_layout (PangoContext *context, const char *text, double px, gboolean bold)
{
  PangoLayout *layout = pango_layout_new (context);
  PangoFontDescription *font = pango_font_description_copy (pango_context_get_font_description (context));
  PangoAttrList *attributes = pango_attr_list_new ();

  pango_font_description_set_absolute_size (font, px * PANGO_SCALE);
  pango_font_description_set_weight (font, bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_layout_set_font_description (layout, font);
  pango_font_description_free (font);
  pango_attr_list_insert (attributes, pango_attr_font_features_new ("tnum=1"));
  pango_layout_set_attributes (layout, attributes);
  pango_attr_list_unref (attributes);
  pango_layout_set_single_paragraph_mode (layout, TRUE);
  pango_layout_set_text (layout, text, -1);
  return layout;
}

double
bl_wiring_measure (const char *text, double px, gboolean bold, gpointer data)
{
  g_autoptr (PangoLayout) layout = text_layout (data, text, px, bold);
  int width;

  pango_layout_get_size (layout, &width, NULL);
  return (double) width / PANGO_SCALE;
}

char *
bl_wiring_supply_words (const BlWiring *wiring, int feeds, int fed)
{
  g_return_val_if_fail (wiring != NULL, NULL);
  if (feeds < 0 || fed < 0)
    return NULL;
  /* Translators: of two boxes by their roles: the first supplies the second with power */
  return g_strdup_printf (_ ("%s feeds %s"), ((const BlWireBox *) bl_at (wiring->boxes, feeds))->role,
                          ((const BlWireBox *) bl_at (wiring->boxes, fed))->role);
}

static const BlColour *
ground_of (const Draw *draw)
{
  return draw->look->ground != NULL ? draw->look->ground : &draw->look->palette->page;
}

/* Text in its box, wrapped where that has the height for lines, cut with an ellipsis. ground: painted behind it; NULL: nothing. */
static void
draw_text (const Draw *draw, const BlLabelBox *box, const char *text, double px, gboolean bold, const BlColour *colour,
           const BlColour *ground)
{
  if (box->w <= 0)
    return;
  g_autoptr (PangoLayout) layout = text_layout (draw->look->context, text, px, bold);
  int height;

  pango_layout_set_width (layout, (int) ceil (box->w * PANGO_SCALE));
  pango_layout_set_ellipsize (layout, PANGO_ELLIPSIZE_END);
  if (box->h > 2 * px)
    pango_layout_set_height (layout, (int) ceil ((box->h + 1) * PANGO_SCALE));
  pango_layout_get_size (layout, NULL, &height);
  if (ground != NULL)
    {
      bl_set_source (draw->cr, ground);
      cairo_rectangle (draw->cr, box->x - 3, box->y, box->w + 6, box->h);
      cairo_fill (draw->cr);
    }
  bl_set_source (draw->cr, colour);
  cairo_move_to (draw->cr, box->x, box->y + (box->h - (double) height / PANGO_SCALE) / 2);
  pango_cairo_show_layout (draw->cr, layout);
}

/* --- boxes, cables, conductors --- */

static void
draw_box (const Draw *draw, guint index)
{
  const BlLabelBox *box = &draw->layout->boxes[index].outline;
  const BlPalette *palette = draw->look->palette;

  if (box->w <= 0)
    return;
  cairo_rectangle (draw->cr, box->x, box->y, box->w, box->h);
  bl_set_source (draw->cr, &palette->raised);
  cairo_fill_preserve (draw->cr);
  bl_set_source (draw->cr, &palette->ink);
  cairo_set_line_width (draw->cr, THIN);
  cairo_stroke (draw->cr);
}

static void
draw_cable (const Draw *draw, guint index)
{
  static const double dashes[] = { 6, 4 };
  const BlLabelBox *box = &draw->layout->cables[index].outline;

  if (box->w <= 0 || box->h <= 0)
    return;
  cairo_rectangle (draw->cr, box->x, box->y, box->w, box->h);
  bl_set_source (draw->cr, &draw->look->palette->edge);
  cairo_set_line_width (draw->cr, THIN);
  cairo_set_dash (draw->cr, dashes, 2, 0);
  cairo_stroke (draw->cr);
  cairo_set_dash (draw->cr, NULL, 0, 0);
}

/* At the end of the line, short of the terminal. */
static void
draw_arrow (const Draw *draw, const BlWireLine *line)
{
  double x = line->x[line->n_points - 1], y = line->y[line->n_points - 1];
  double way = line->x[line->n_points - 2] < x ? 1 : -1, tip = x - way * (BL_WIRE_CIRCLE + 2);

  cairo_move_to (draw->cr, tip, y);
  cairo_line_to (draw->cr, tip - way * ARROW, y - ARROW * 0.55);
  cairo_line_to (draw->cr, tip - way * ARROW, y + ARROW * 0.55);
  cairo_close_path (draw->cr);
  cairo_fill (draw->cr);
}

static void
draw_line (const Draw *draw, guint index)
{
  const BlWireConductor *conductor = bl_at (draw->wiring->conductors, index);
  const BlWireLine *line = &draw->layout->lines[index];

  for (guint i = 0; i < line->n_points; i++)
    cairo_line_to (draw->cr, line->x[i], line->y[i]);
  bl_set_source (draw->cr, &draw->look->palette->ink);
  cairo_set_line_width (draw->cr, conductor->supplies ? FEED : WIRE);
  cairo_set_line_join (draw->cr, CAIRO_LINE_JOIN_MITER);
  cairo_stroke (draw->cr);
  if (conductor->supplies && line->n_points >= 2)
    draw_arrow (draw, line);
}

static void
draw_terminal (const Draw *draw, const BlWireEnd *end, gboolean used)
{
  cairo_new_sub_path (draw->cr);
  cairo_arc (draw->cr, end->x, end->y, used ? BL_WIRE_CIRCLE : BL_WIRE_CIRCLE - 1.5, 0, 2 * G_PI);
  bl_set_source (draw->cr, &draw->look->palette->raised);
  cairo_fill_preserve (draw->cr);
  bl_set_source (draw->cr, &draw->look->palette->ink);
  cairo_set_line_width (draw->cr, WIRE);
  cairo_stroke (draw->cr);
}

static void
draw_terminals (const Draw *draw)
{
  for (guint i = 0; i < draw->wiring->conductors->len; i++)
    for (int end = 0; end < 2; end++)
      draw_terminal (draw, &draw->layout->lines[i].end[end], FALSE);
  for (guint i = 0; i < draw->wiring->terminals->len; i++)
    {
      const BlWireTerminal *terminal = bl_at (draw->wiring->terminals, i);
      const BlWireEnd *end = &draw->layout->terminals[i];
      draw_terminal (draw, end, TRUE);
      draw_text (draw, &end->label, terminal->name, BL_WIRE_NAME_PX, TRUE, &draw->look->palette->ink, NULL);
    }
}

/* --- the likely failed place --- */

static gboolean
is_likely (const Draw *draw, BlWirePlace place, guint index)
{
  return draw->look->likely == place && place != BL_WIRE_ANYWHERE && draw->look->likely_index == index;
}

static void
draw_likely (const Draw *draw)
{
  const BlWiringLook *look = draw->look;
  const BlWiringLayout *layout = draw->layout;
  const BlLabelBox *box = look->likely == BL_WIRE_BOX         ? &layout->boxes[look->likely_index].outline
                          : look->likely == BL_WIRE_CABLE     ? &layout->cables[look->likely_index].outline
                          : look->likely == BL_WIRE_CONDUCTOR ? &layout->lines[look->likely_index].row
                                                              : NULL;

  if (box == NULL || box->w <= 0)
    return;
  for (int pass = 0; pass < 2; pass++)
    {
      cairo_rectangle (draw->cr, box->x, box->y + 1, box->w, MAX (box->h - 2, 1));
      cairo_set_line_join (draw->cr, CAIRO_LINE_JOIN_MITER);
      cairo_set_line_width (draw->cr, pass == 0 ? 7 : 3.5);
      bl_set_source (draw->cr, pass == 0 ? &look->palette->chip : &look->palette->likely);
      cairo_stroke (draw->cr);
    }
}

/* The tab stands where the name of the place would, as wide as its words. */
static void
draw_tab (const Draw *draw, const BlLabelBox *room, double px)
{
  const char *text = draw->look->likely_words;
  BlLabelBox box = *room;

  box.w = MIN (box.w, bl_wiring_measure (text, px, TRUE, draw->look->context) + 1);
  if (box.w <= 0)
    return;
  cairo_rectangle (draw->cr, box.x - 5, box.y, box.w + 10, box.h);
  bl_set_source (draw->cr, &draw->look->palette->likely);
  cairo_fill_preserve (draw->cr);
  bl_set_source (draw->cr, &draw->look->palette->chip);
  cairo_set_line_width (draw->cr, 1.5);
  cairo_stroke (draw->cr);
  draw_text (draw, &box, text, px, TRUE, &draw->look->palette->likely_ink, NULL);
}

static void
draw_name (const Draw *draw, BlWirePlace place, guint index, const BlLabelBox *label, const char *text, double px,
           gboolean bold, const BlColour *colour, const BlColour *ground)
{
  if (is_likely (draw, place, index) && draw->look->likely_words != NULL)
    draw_tab (draw, label, MIN (px, BL_WIRE_TITLE_PX));
  else
    draw_text (draw, label, text, px, bold, colour, ground);
}

/* Whether the title interrupts its line rather than standing above it. */
static gboolean
is_in_line (const Draw *draw, guint conductor)
{
  const BlWireLine *line = &draw->layout->lines[conductor];
  double y = line->y[line->n_points - 1];

  return line->label.y < y && line->label.y + line->label.h > y;
}

static void
draw_names (const Draw *draw)
{
  const BlPalette *palette = draw->look->palette;
  const BlWiring *wiring = draw->wiring;
  g_autofree char *supply = bl_wiring_supply_words (wiring, draw->layout->feeds, draw->layout->fed);

  for (guint i = 0; i < wiring->boxes->len; i++)
    draw_name (draw, BL_WIRE_BOX, i, &draw->layout->boxes[i].label, ((const BlWireBox *) bl_at (wiring->boxes, i))->role,
               BL_WIRE_ROLE_PX, TRUE, &palette->ink, NULL);
  for (guint i = 0; i < wiring->cables->len; i++)
    draw_name (draw, BL_WIRE_CABLE, i, &draw->layout->cables[i].label,
               ((const BlWireCable *) bl_at (wiring->cables, i))->title, BL_WIRE_CHECK_PX, FALSE, &palette->muted, NULL);
  for (guint i = 0; i < wiring->conductors->len; i++)
    draw_name (draw, BL_WIRE_CONDUCTOR, i, &draw->layout->lines[i].label,
               ((const BlWireConductor *) bl_at (wiring->conductors, i))->title, BL_WIRE_TITLE_PX, FALSE, &palette->ink,
               is_in_line (draw, i) ? ground_of (draw) : NULL);
  if (supply != NULL)
    draw_text (draw, &draw->layout->supply, supply, BL_WIRE_CHECK_PX, TRUE, &palette->ink, NULL);
}

/* --- checks --- */

/* Four square brackets round what is in hand. */
static void
draw_brackets (const Draw *draw, double x, double y, double r)
{
  double arm = r / 2;

  for (int corner = 0; corner < 4; corner++)
    {
      double sx = corner & 1 ? 1 : -1, sy = corner & 2 ? 1 : -1;
      cairo_move_to (draw->cr, x + sx * (r - arm), y + sy * r);
      cairo_line_to (draw->cr, x + sx * r, y + sy * r);
      cairo_line_to (draw->cr, x + sx * r, y + sy * (r - arm));
    }
  bl_set_source (draw->cr, &draw->look->palette->ink);
  cairo_set_line_width (draw->cr, 2.5);
  cairo_stroke (draw->cr);
}

static void
draw_black_lead (const Draw *draw, const BlWireEnd *end)
{
  double r = BL_WIRE_CIRCLE + 1.5;

  cairo_rectangle (draw->cr, end->x - r, end->y - r, 2 * r, 2 * r);
  bl_set_source (draw->cr, &draw->look->palette->ink);
  cairo_fill_preserve (draw->cr);
  bl_set_source (draw->cr, &draw->look->palette->raised);
  cairo_set_line_width (draw->cr, 1.5);
  cairo_stroke (draw->cr);
}

static const BlColour *
ground_at (const Draw *draw, const BlWireCheck *check)
{
  gboolean in_box = check->place == BL_WIRE_BOX
                    || (check->place == BL_WIRE_TERMINAL
                        && ((const BlWireTerminal *) bl_at (draw->wiring->terminals, check->index))->box >= 0);

  return in_box ? &draw->look->palette->raised : ground_of (draw);
}

/* Clears the line behind a shape, so that the shape is seen and not a crossing. */
static void
draw_shape (const Draw *draw, const BlWireMark *mark, int shape, const BlColour *ground)
{
  const BlPalette *palette = draw->look->palette;

  cairo_new_sub_path (draw->cr);
  cairo_arc (draw->cr, mark->x, mark->y, shape >= 0 ? mark->size / 2 + 2.5 : 6, 0, 2 * G_PI);
  bl_set_source (draw->cr, ground);
  cairo_fill (draw->cr);
  if (shape >= 0)
    {
      bl_shape_draw (draw->cr, (BlShape) shape, mark->x, mark->y, mark->size, palette, FALSE);
      return;
    }
  cairo_new_sub_path (draw->cr);
  cairo_arc (draw->cr, mark->x, mark->y, 3, 0, 2 * G_PI);
  bl_set_source (draw->cr, &palette->muted);
  cairo_fill (draw->cr);
}

static void
draw_check (const Draw *draw, guint index)
{
  const BlWireCheck *check = bl_at (draw->wiring->checks, index);
  const BlWireMark *mark = &draw->layout->marks[index];
  const BlPalette *palette = draw->look->palette;
  gboolean in_hand = draw->look->current == (int) index;
  const BlColour *ground = ground_at (draw, check);

  if (mark->label.w > 0)
    {
      bl_set_source (draw->cr, ground);
      cairo_rectangle (draw->cr, mark->x, mark->y - 2, mark->label.x - mark->x, 4);
      cairo_fill (draw->cr);
    }
  if (mark->size > 0)
    draw_shape (draw, mark, draw->look->shapes != NULL ? draw->look->shapes[index] : -1, ground);
  draw_text (draw, &mark->label, mark->titled ? check->title : check->id, BL_WIRE_CHECK_PX, !mark->titled || in_hand,
             in_hand ? ground : &palette->ink, in_hand ? &palette->ink : ground);
  if (in_hand && (check->at < 0 || (mark->label.w <= 0 && mark->size > 0)))
    draw_brackets (draw, mark->x, mark->y, MIN (mark->size / 2 + 4, MAX (mark->room, 7)));
  if (draw->look->focus != (int) index)
    return;
  double x0 = mark->x - mark->size / 2 - 4, x1 = MAX (mark->x + mark->size / 2 + 4, mark->label.x + mark->label.w + 5);
  cairo_rectangle (draw->cr, x0, mark->y - MIN (11, mark->room), x1 - x0, 2 * MIN (11, mark->room));
  bl_set_source (draw->cr, &palette->ink);
  cairo_set_line_width (draw->cr, 1.5);
  cairo_stroke (draw->cr);
}

/* Where the leads of the check in hand go. */
static void
draw_leads (const Draw *draw)
{
  if (draw->look->current < 0)
    return;
  const BlWireCheck *check = bl_at (draw->wiring->checks, draw->look->current);
  if (check->at >= 0)
    draw_brackets (draw, draw->layout->terminals[check->at].x, draw->layout->terminals[check->at].y,
                   BL_WIRE_CIRCLE + 5);
  if (check->black >= 0)
    draw_black_lead (draw, &draw->layout->terminals[check->black]);
}

void
bl_wiring_draw (cairo_t *cr, const BlWiring *wiring, const BlWiringLayout *layout, const BlWiringLook *look)
{
  g_return_if_fail (cr != NULL && wiring != NULL && layout != NULL && look != NULL && look->context != NULL);
  const Draw draw = { cr, wiring, layout, look };

  cairo_save (cr);
  cairo_new_path (cr);
  for (guint i = 0; i < wiring->boxes->len; i++)
    draw_box (&draw, i);
  for (guint i = 0; i < wiring->cables->len; i++)
    draw_cable (&draw, i);
  for (guint i = 0; i < wiring->conductors->len; i++)
    draw_line (&draw, i);
  draw_likely (&draw);
  draw_terminals (&draw);
  draw_names (&draw);
  for (guint i = 0; i < wiring->checks->len; i++)
    draw_check (&draw, i);
  draw_leads (&draw);
  cairo_restore (cr);
}
