/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the symbols of a drawn fault tree mean, for paper: the symbols of bl-tree-draw.c again, smaller. */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-shape-draw.h"
#include "bl-tree-draw.h"

#define ROW 17.0
#define SYMBOL 26.0
#define SPACE 16.0

typedef enum
{
  GATE,
  CIRCLE,
  OVAL,
  TRIANGLE,
  WAY,
  READING
} Symbol;

typedef struct
{
  Symbol symbol;
  const char *sign; /* of a gate; otherwise NULL */
  const char *words;
} Entry;

static const Entry entries[] = {
  { GATE, "≥1", N_ ("any of the causes on its left") },
  { GATE, "&", N_ ("all of them together") },
  { GATE, "≥k", N_ ("at least k of them") },
  { CIRCLE, NULL, N_ ("basic event: a part fails by itself") },
  { OVAL, NULL, N_ ("condition: it matters only then") },
  { TRIANGLE, NULL, N_ ("drawn in full elsewhere") },
  { WAY, NULL, N_ ("way to the leading suspect") },
  { READING, NULL, N_ ("what was read there, and how often") },
};

static PangoLayout *
words_layout (const BlTreeLook *look, const char *text, gboolean bold)
{
  PangoLayout *layout = pango_layout_new (look->context);
  PangoFontDescription *font = pango_font_description_copy (pango_context_get_font_description (look->context));

  pango_font_description_set_absolute_size (font, BL_CHART_LEAST * PANGO_SCALE);
  pango_font_description_set_weight (font, bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_layout_set_font_description (layout, font);
  pango_font_description_free (font);
  pango_layout_set_text (layout, text, -1);
  return layout;
}

static void
draw_words (cairo_t *cr, PangoLayout *layout, double x, double y)
{
  int height;

  pango_layout_get_pixel_size (layout, NULL, &height);
  cairo_move_to (cr, x, y - height / 2.0);
  pango_cairo_show_layout (cr, layout);
}

/* In a place 22 wide with its middle at (x + 11, y). */
static void
draw_symbol (cairo_t *cr, const BlTreeLook *look, const Entry *entry, double x, double y)
{
  const BlPalette *palette = look->palette;

  bl_set_source (cr, &palette->ink);
  cairo_set_line_width (cr, 1.1);
  cairo_new_path (cr);
  switch (entry->symbol)
    {
    case GATE:
      {
        g_autoptr (PangoLayout) sign = words_layout (look, entry->sign, TRUE);
        int width;
        pango_layout_get_pixel_size (sign, &width, NULL);
        cairo_rectangle (cr, x, y - 7, 22, 14);
        cairo_stroke (cr);
        draw_words (cr, sign, x + 11 - width / 2.0, y);
        break;
      }
    case CIRCLE:
      cairo_arc (cr, x + 11, y, 5.5, 0, 2 * G_PI);
      cairo_stroke (cr);
      break;
    case OVAL:
      cairo_save (cr);
      cairo_translate (cr, x + 11, y);
      cairo_scale (cr, 1.6, 0.8);
      cairo_arc (cr, 0, 0, 5.5, 0, 2 * G_PI);
      cairo_restore (cr);
      cairo_stroke (cr);
      break;
    case TRIANGLE:
      cairo_move_to (cr, x + 4, y - 6);
      cairo_line_to (cr, x + 18, y);
      cairo_line_to (cr, x + 4, y + 6);
      cairo_close_path (cr);
      cairo_stroke (cr);
      break;
    case WAY:
      bl_set_source (cr, &palette->likely_row);
      cairo_rectangle (cr, x, y - 6, 22, 12);
      cairo_fill (cr);
      bl_set_source (cr, &palette->ink);
      cairo_set_line_width (cr, 2.5);
      cairo_move_to (cr, x, y);
      cairo_line_to (cr, x + 22, y);
      cairo_stroke (cr);
      break;
    case READING:
    default:
      bl_shape_draw (cr, BL_SHAPE_LOW, x + 5, y, 11, palette, FALSE);
      bl_shape_draw (cr, BL_SHAPE_IN_BAND, x + 18, y, 11, palette, FALSE);
      break;
    }
}

double
bl_tree_legend_draw (cairo_t *cr, const BlTreeLook *look, double x, double y, double width)
{
  g_return_val_if_fail (look != NULL && width > 0, 0);
  double at = 0, line = 0;

  for (guint i = 0; i < G_N_ELEMENTS (entries); i++)
    {
      g_autoptr (PangoLayout) words = words_layout (look, _ (entries[i].words), FALSE);
      int wide;
      pango_layout_get_pixel_size (words, &wide, NULL);
      if (at > 0 && at + SYMBOL + wide > width)
        {
          at = 0;
          line++;
        }
      if (cr != NULL)
        {
          double middle = y + line * ROW + ROW / 2;
          draw_symbol (cr, look, &entries[i], x + at, middle);
          bl_set_source (cr, &look->palette->muted);
          draw_words (cr, words, x + at + SYMBOL, middle);
        }
      at += SYMBOL + wide + SPACE;
    }
  return (line + 1) * ROW;
}
