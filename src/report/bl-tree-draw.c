/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A fault tree drawn with cairo and pango, for the screen and for paper alike.
 *
 * Gates are boxes with the signs of IEC 60617-12, basic events circles, conditions ovals, and a gate that
 * is drawn elsewhere a triangle, as fault trees have it (IEC 61025; all from memory). A gate says in words
 * what is wrong there. The way to the leading suspect is thick on yellow ground; what is improbable now is
 * pale but readable. Only what lies in the visible part is drawn: trees of some thousand items. */
#include "config.h"

#include "bl-tree-draw.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-report.h"
#include "bl-shape-draw.h"

#define SIGN_W 28.0
#define SIGN_H 34.0
#define CARD_X 38.0 /* from the left edge of the item */
#define ODDS_W 54.0
#define PRIOR_W 66.0
#define CLEARED 0.01
#define THIN 1.3
#define THICK 2.5

typedef struct
{
  cairo_t *cr;
  const BlTreeChart *chart;
  const BlTreeLook *look;
  guint drawn;
} Draw;

/* --- text --- */

static PangoLayout *
text_layout (const BlTreeLook *look, const char *text, double px, gboolean bold, double width, int lines)
{
  PangoLayout *layout = pango_layout_new (look->context);
  PangoFontDescription *font = pango_font_description_copy (pango_context_get_font_description (look->context));
  PangoAttrList *attributes = pango_attr_list_new ();

  pango_font_description_set_absolute_size (font, px * PANGO_SCALE);
  pango_font_description_set_weight (font, bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_layout_set_font_description (layout, font);
  pango_font_description_free (font);
  pango_attr_list_insert (attributes, pango_attr_font_features_new ("tnum=1"));
  pango_layout_set_attributes (layout, attributes);
  pango_attr_list_unref (attributes);
  if (width > 0)
    {
      pango_layout_set_width (layout, (int) (width * PANGO_SCALE));
      pango_layout_set_wrap (layout, PANGO_WRAP_WORD_CHAR);
      pango_layout_set_ellipsize (layout, PANGO_ELLIPSIZE_END);
      pango_layout_set_height (layout, -lines);
    }
  pango_layout_set_text (layout, text, -1);
  return layout;
}

/* Its middle at y; x is its left edge, or its right one, or its middle (align 0, 1, 0.5). */
static double
put (cairo_t *cr, PangoLayout *layout, const BlColour *colour, double x, double y, double align)
{
  int width, height;

  pango_layout_get_pixel_size (layout, &width, &height);
  if (pango_layout_get_width (layout) > 0)
    align = 0;
  bl_set_source (cr, colour);
  cairo_move_to (cr, x - align * width, y - height / 2.0);
  pango_cairo_show_layout (cr, layout);
  return width;
}

static double
write_text (const Draw *draw, const char *text, double px, gboolean bold, const BlColour *colour, double x, double y,
            double align)
{
  if (draw->look->plain)
    return 0;
  g_autoptr (PangoLayout) layout = text_layout (draw->look, text, px, bold, 0, 1);
  return put (draw->cr, layout, colour, x, y, align);
}

char *
bl_chart_prior (double probability)
{
  if (!(probability > 0))
    return g_strdup (_ ("0 %"));
  if (probability < 1e-7)
    return g_strdup_printf (_ ("%.0e %%"), probability * 100);
  double percent = probability * 100;
  int decimals = percent >= 9.95 ? 0 : (int) CLAMP (1 - floor (log10 (percent)), 0, 8);
  return g_strdup_printf (_ ("%.*f %%"), decimals, percent);
}

/* --- parts of an item --- */

static const BlNode *
node_of (const Draw *draw, const BlChartItem *item)
{
  return g_ptr_array_index (draw->chart->tree->nodes, item->node);
}

static gboolean
marked (const Draw *draw, const BlChartItem *item)
{
  return draw->look->marked != NULL && g_hash_table_contains (draw->look->marked, GUINT_TO_POINTER (item->node + 1));
}

static gboolean
cleared (const Draw *draw, const BlChartItem *item)
{
  double odds = draw->chart->facts[item->node].odds;
  return !item->likely && !marked (draw, item) && !isnan (odds) && odds < CLEARED;
}

static void
set_pen (const Draw *draw, const BlChartItem *item)
{
  bl_set_source (draw->cr, cleared (draw, item) ? &draw->look->palette->edge : &draw->look->palette->ink);
  cairo_set_line_width (draw->cr, item->likely || marked (draw, item) ? THICK : THIN);
}

/* Odds at the right edge; what they were before under them, or where there is one line left of them.
 * Returns where the room for words ends. */
static double
draw_odds (const Draw *draw, const BlChartItem *item, double right, double y, double below)
{
  const BlPalette *palette = draw->look->palette;
  const BlChartFact *fact = &draw->chart->facts[item->node];
  gboolean both = draw->look->priors && !isnan (fact->prior), aside = both && isnan (below);

  if (both && !aside)
    y -= below / 2;
  if (!isnan (fact->odds))
    {
      g_autofree char *odds = bl_report_odds (fact->odds);
      write_text (draw, odds, BL_CHART_TEXT, item->likely, cleared (draw, item) ? &palette->muted : &palette->ink,
                  right, y, 1);
    }
  if (both)
    {
      g_autofree char *prior = bl_chart_prior (fact->prior);
      write_text (draw, prior, BL_CHART_LEAST, FALSE, &palette->muted, right - (aside ? ODDS_W : 0),
                  y + (aside ? 0 : below), 1);
    }
  return right - ODDS_W - (aside ? PRIOR_W - 10 : 0);
}

static void
draw_badge (const Draw *draw, const BlChartItem *item, double right, double y)
{
  const BlChartFact *fact = &draw->chart->facts[item->node];

  if (fact->shape < 0)
    return;
  bl_shape_draw (draw->cr, (BlShape) fact->shape, right - 6, y, 12, draw->look->palette, FALSE);
  if (fact->n_readings > 1)
    {
      g_autofree char *number = g_strdup_printf ("%u", fact->n_readings);
      write_text (draw, number, BL_CHART_LEAST, FALSE, &draw->look->palette->muted, right - 16, y, 1);
    }
}

/* What is selected stands in four brackets, as the point in hand does on the photo. */
static void
draw_brackets (const Draw *draw, const BlChartItem *item)
{
  double x0 = item->x - 4.5, y0 = item->y - 1.5, x1 = item->x + item->w + 4.5, y1 = item->y + item->h + 1.5, l = 8;

  bl_set_source (draw->cr, &draw->look->palette->ink);
  cairo_set_line_width (draw->cr, 3);
  for (int i = 0; i < 4; i++)
    {
      double x = i % 2 == 0 ? x0 : x1, y = i < 2 ? y0 : y1;
      cairo_move_to (draw->cr, x + (i % 2 == 0 ? l : -l), y);
      cairo_line_to (draw->cr, x, y);
      cairo_line_to (draw->cr, x, y + (i < 2 ? l : -l));
    }
  cairo_stroke (draw->cr);
}

/* --- gates --- */

static void
draw_sign (const Draw *draw, const BlChartItem *item)
{
  const BlPalette *palette = draw->look->palette;
  const BlNode *node = node_of (draw, item);
  double x = round (item->x) + 0.5, y = round (item->y) + 1.5;

  if (item->target >= 0)
    {
      cairo_move_to (draw->cr, x, y + 3);
      cairo_line_to (draw->cr, x + SIGN_W, y + SIGN_H / 2);
      cairo_line_to (draw->cr, x, y + SIGN_H - 3);
      cairo_close_path (draw->cr);
    }
  else
    cairo_rectangle (draw->cr, x, y, SIGN_W, SIGN_H);
  bl_set_source (draw->cr, item->likely ? &palette->likely_row : &palette->raised);
  cairo_fill_preserve (draw->cr);
  set_pen (draw, item);
  cairo_stroke (draw->cr);
  if (node->kind == BL_NODE_NAND || node->kind == BL_NODE_NOR || node->kind == BL_NODE_NOT)
    {
      cairo_arc (draw->cr, x + SIGN_W + 3.5, y + SIGN_H / 2, 3.5, 0, 2 * G_PI);
      cairo_stroke (draw->cr);
    }
  if (item->target >= 0)
    return;
  g_autofree char *sign = bl_chart_sign (node);
  write_text (draw, sign, 14, TRUE, cleared (draw, item) ? &palette->muted : &palette->ink, x + SIGN_W / 2,
              y + SIGN_H / 2, 0.5);
}

/* Under the sign: how much is folded away, or where it is drawn. */
static void
draw_foot (const Draw *draw, const BlChartItem *item)
{
  const guint *pages = draw->look->pages;
  guint index = item->target >= 0 ? (guint) item->target : (guint) draw->chart->item_of[item->node];
  g_autofree char *text = NULL;

  if (pages != NULL && pages[index] > 0 && (item->target >= 0 || !item->open))
    text = g_strdup_printf (_ ("p. %u"), pages[index]);
  else if (item->target < 0 && !item->open)
    text = g_strdup_printf ("+%u", item->n_events);
  if (text == NULL)
    return;
  write_text (draw, text, BL_CHART_LEAST, FALSE, &draw->look->palette->muted, item->x + SIGN_W / 2,
              item->y + item->h - 7, 0.5);
}

static void
draw_gate (const Draw *draw, const BlChartItem *item)
{
  static const double dashes[] = { 3, 3 };
  const BlPalette *palette = draw->look->palette;
  double x = round (item->x + CARD_X) + 0.5, y = round (item->y) + 1.5, w = item->w - CARD_X - 1, h = item->h - 4;
  double middle = y + SIGN_H / 2, right;

  set_pen (draw, item);
  cairo_move_to (draw->cr, item->x + SIGN_W, middle);
  cairo_line_to (draw->cr, x, middle);
  cairo_stroke (draw->cr);
  cairo_rectangle (draw->cr, x, y, w, h);
  bl_set_source (draw->cr, item->likely ? &palette->likely_row : &palette->raised);
  cairo_fill_preserve (draw->cr);
  set_pen (draw, item);
  if (item->target >= 0)
    cairo_set_dash (draw->cr, dashes, 2, 0);
  cairo_stroke (draw->cr);
  cairo_set_dash (draw->cr, NULL, 0, 0);
  draw_sign (draw, item);
  draw_foot (draw, item);
  right = draw_odds (draw, item, x + w - 8, y + h / 2, 16);
  if (draw->chart->facts[item->node].shape >= 0)
    {
      draw_badge (draw, item, right + 6, y + h / 2);
      right -= 26;
    }
  if (draw->look->plain)
    return;
  g_autoptr (PangoLayout) words = text_layout (draw->look, bl_chart_name (node_of (draw, item)), BL_CHART_TEXT,
                                               item->likely, right - x - 8, 2);
  put (draw->cr, words, cleared (draw, item) ? &palette->muted : &palette->ink, x + 8, y + h / 2, 0);
}

/* --- events --- */

static void
event_outline (const Draw *draw, const BlChartItem *item, double x, double y)
{
  const BlNode *node = node_of (draw, item);
  gboolean condition = node->component == NULL && draw->chart->facts[item->node].shape < 0
                       && isnan (draw->chart->facts[item->node].odds);

  cairo_new_sub_path (draw->cr);
  if (node->kind == BL_NODE_CONST)
    cairo_rectangle (draw->cr, x - 6, y - 6, 12, 12);
  else if (condition)
    {
      cairo_save (draw->cr);
      cairo_translate (draw->cr, x, y);
      cairo_scale (draw->cr, 1.4, 0.8);
      cairo_arc (draw->cr, 0, 0, 6.5, 0, 2 * G_PI);
      cairo_restore (draw->cr);
    }
  else
    cairo_arc (draw->cr, x, y, 6.5, 0, 2 * G_PI);
}

static void
draw_leaf (const Draw *draw, const BlChartItem *item)
{
  const BlPalette *palette = draw->look->palette;
  double y = item->y + item->h / 2, x = item->x + 13, right;
  gboolean tall = item->h > BL_CHART_LEAF_H;

  if (item->likely)
    {
      bl_set_source (draw->cr, &palette->likely_row);
      cairo_rectangle (draw->cr, item->x, item->y + 1, item->w, item->h - 2);
      cairo_fill (draw->cr);
      bl_set_source (draw->cr, &palette->likely);
      cairo_rectangle (draw->cr, item->x - 4, item->y + 1, 4, item->h - 2);
      cairo_fill (draw->cr);
    }
  event_outline (draw, item, x, y);
  set_pen (draw, item);
  if (marked (draw, item))
    cairo_fill_preserve (draw->cr);
  cairo_stroke (draw->cr);
  right = draw_odds (draw, item, item->x + item->w - 8, y, tall ? 15 : NAN);
  if (draw->chart->facts[item->node].shape >= 0)
    {
      draw_badge (draw, item, right, y);
      right -= 28;
    }
  if (draw->look->plain)
    return;
  g_autoptr (PangoLayout) words = text_layout (draw->look, bl_chart_name (node_of (draw, item)), BL_CHART_TEXT,
                                               item->likely || marked (draw, item), right - item->x - 28,
                                               tall ? 2 : 1);
  put (draw->cr, words, cleared (draw, item) ? &palette->muted : &palette->ink, item->x + 26, y, 0);
}

/* --- lines --- */

/* Right-angled, bending before the gate it enters; children enter spread over its height. */
static void
draw_line (const Draw *draw, const BlChartItem *item, const BlChartItem *parent)
{
  double x0 = item->x + item->w, y0 = round (item->y + item->h / 2) + 0.5, x1 = parent->x;
  double centre = parent->y + 1.5 + SIGN_H / 2, bend = round (x1 - 14) + 0.5;
  double y1 = round (centre + CLAMP ((y0 - centre) / 6, -12, 12)) + 0.5;

  if (MAX (x0, x1) < draw->look->x0 || MIN (x0, x1) > draw->look->x1 || MAX (y0, y1) < draw->look->y0
      || MIN (y0, y1) > draw->look->y1)
    return;
  set_pen (draw, item);
  cairo_move_to (draw->cr, x0, y0);
  cairo_line_to (draw->cr, bend, y0);
  cairo_line_to (draw->cr, bend, y1);
  cairo_line_to (draw->cr, x1, y1);
  cairo_stroke (draw->cr);
}

static void
draw_lines (const Draw *draw, gboolean thick)
{
  for (guint i = 1; i < draw->chart->items->len; i++)
    {
      const BlChartItem *item = bl_chart_item (draw->chart, i), *parent;
      if (!item->shown || item->parent < 0 || (item->likely || marked (draw, item)) != thick)
        continue;
      parent = bl_chart_item (draw->chart, item->parent);
      if (parent->shown && parent->open)
        draw_line (draw, item, parent);
    }
}

guint
bl_tree_chart_draw (cairo_t *cr, const BlTreeChart *chart, const BlTreeLook *look)
{
  g_return_val_if_fail (cr != NULL && chart != NULL && look != NULL, 0);
  Draw draw = { cr, chart, look, 0 };

  cairo_save (cr);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_MITER);
  draw_lines (&draw, FALSE);
  draw_lines (&draw, TRUE);
  for (guint i = 0; i < chart->items->len; i++)
    {
      const BlChartItem *item = bl_chart_item (chart, i);
      if (!item->shown || item->x > look->x1 || item->x + item->w < look->x0 || item->y > look->y1
          || item->y + item->h < look->y0)
        continue;
      draw.drawn++;
      if (item->children->len > 0 || item->target >= 0)
        draw_gate (&draw, item);
      else
        draw_leaf (&draw, item);
      if ((int) i == look->selected)
        draw_brackets (&draw, item);
    }
  cairo_restore (cr);
  return draw.drawn;
}
