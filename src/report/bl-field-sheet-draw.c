/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet of field checks on paper: head to be filled in, the drawing, then every check in order with a field to write
 * in, so that somebody without the program can do them and read them out afterwards.
 *
 * The sheet is a list of things one below the other. Each is measured, things are given pages greedily, and a heading
 * never ends a page; the same list drawn for one page leaves out the others, so the count of pages cannot disagree with
 * what is there. Letters are large enough to be read on a ladder; black and white copies lose nothing. */
#include "config.h"

#include "bl-field-sheet-draw.h"

#include <cairo-pdf.h>
#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-safe-limits.h"

#include "bl-report-page.h"
#include "bl-shape-draw.h"
#include "bl-wiring-draw.h"

#define MARGIN 34.0
#define FOOT 16.0
#define ANSWER_W 176.0 /* right column: expected, field, tick */
#define FIELD_H 19.0
#define TICK 9.5
#define NUMBER_W 22.0
#define WIRING_SCALE 0.86

typedef enum
{
  THING_HEAD,
  THING_CAUTION,
  THING_WIRING,
  THING_GROUP,
  THING_STATE,
  THING_ROW,
  THING_END
} ThingKind;

typedef struct
{
  ThingKind kind;
  const BlFieldGroup *group;
  const BlFieldRow *row;
  const BlFieldState *state;
  gboolean how; /* STATE: with how it is entered */
  double h;
  guint page;
} Thing;

typedef struct
{
  const BlFieldSheet *sheet;
  BlPage page;
  GArray *things; /* Thing */
  guint n_pages;
} Sheet;

/* Draws a thing at (x, y) and returns its height; draw FALSE: only that. */
typedef double (*ThingDraw) (Sheet *self, const Thing *thing, double y, gboolean draw);

static double
put_text (Sheet *self, double x, double y, double width, double size, gboolean bold, const BlColour *colour,
          const char *text, gboolean draw)
{
  const BlPageText style
      = { .size = size, .weight = bold ? PANGO_WEIGHT_BOLD : 0, .colour = colour, .width = MAX (width, 1) };
  double height;

  if (draw)
    return bl_page_text_at (&self->page, x, y, &style, text);
  bl_page_measure (&self->page, &style, text, NULL, &height);
  return height;
}

static void
draw_rule (Sheet *self, double x0, double x1, double y, const BlColour *colour, double thickness)
{
  bl_set_source (self->page.cr, colour);
  cairo_set_line_width (self->page.cr, thickness);
  cairo_move_to (self->page.cr, x0, y);
  cairo_line_to (self->page.cr, x1, y);
  cairo_stroke (self->page.cr);
}

static void
draw_frame (Sheet *self, double x, double y, double w, double h)
{
  cairo_rectangle (self->page.cr, x, y, w, h);
  bl_set_source (self->page.cr, &self->page.palette->ink);
  cairo_set_line_width (self->page.cr, 0.8);
  cairo_stroke (self->page.cr);
}

/* --- head --- */

/* A caption and what is known, or a line to write on. Returns its height. */
static double
put_blank (Sheet *self, double x, double y, double w, const char *caption, const char *known, gboolean draw)
{
  const BlPalette *palette = self->page.palette;
  double height = put_text (self, x, y, w, 7, FALSE, &palette->muted, caption, draw);

  if (known != NULL && *known != '\0')
    {
      double text = put_text (self, x, y + height, w, 9.5, TRUE, NULL, known, draw);
      height += MAX (15, text);
    }
  else
    height += 15;
  if (draw)
    draw_rule (self, x, x + w, y + height, &palette->edge, 0.6);
  return height + 5;
}

static double
put_head (Sheet *self, const Thing *thing, double y, gboolean draw)
{
  const BlFieldSheet *sheet = self->sheet;
  double x = self->page.x, w = self->page.w, third = (w - 24) / 3, top = y;
  g_autofree char *job = sheet->job > 0 ? g_strdup_printf ("%d", sheet->job) : NULL;

  y += put_text (self, x, y, w * 0.3, 16, TRUE, NULL, _ ("Field checks"), draw);
  double title = put_text (self, x + w * 0.3, top + 4, w * 0.7, 11, TRUE, NULL, sheet->equipment, draw);
  y = MAX (y, top + 4 + title) + 3;
  if (draw)
    draw_rule (self, x, x + w, y, &self->page.palette->edge, 0.8);
  y += 5;
  double first = put_blank (self, x, y, third, _ ("date"), NULL, draw);
  put_blank (self, x + third + 12, y, third, _ ("checks done by (name)"), NULL, draw);
  put_blank (self, x + 2 * third + 24, y, third, _ ("job"), job, draw);
  y += first;
  double second = put_blank (self, x, y, third, _ ("customer, place"), sheet->customer, draw);
  double unit = put_blank (self, x + third + 12, y, third, _ ("unit"), sheet->unit, draw);
  double serial = put_blank (self, x + 2 * third + 24, y, third, _ ("serial numbers"), sheet->serial, draw);
  y += MAX (second, MAX (unit, serial));
  y += put_blank (self, x, y, w, _ ("what is wrong, and what the lamps show"), sheet->complaint, draw);
  return y - top;
}

/* --- cautions --- */

static double
put_caution (Sheet *self, const Thing *thing, double y, gboolean draw)
{
  double volts = self->sheet->volts, x = self->page.x, pad = 5;
  g_autofree char *level
      = volts <= 0                 ? NULL
        : isfinite (volts)         ? g_strdup_printf (_ ("Up to %.0f V when live."), volts)
                                   : g_strdup (_ ("There may be mains when live."));
  g_autofree char *words = g_strdup_printf (
      "%s%s%s", level != NULL ? level : "", level != NULL ? " " : "",
      bl_safe_volts_shock (volts, self->sheet->volts_ac, &self->sheet->limits)
          ? _ ("Local codes and licensed practice come first: what they forbid is not done, and ticked as not done. Mains "
               "and the capacitors behind it can kill, also minutes after switch-off. Isolate and lock off both boxes, "
               "discharge, prove dead with a tester checked on a known source before and after; before any wire is "
               "lifted, and again after every change. Leads and tester rated for the installation. Not alone.")
          : _ ("Local codes and licensed practice come first: what they forbid is not done, and ticked as not done."));
  double height = put_text (self, x + 13, y + pad, self->page.w - 20, 8.5, TRUE, NULL, words, FALSE) + 2 * pad;

  if (draw)
    {
      draw_frame (self, x, y, self->page.w, height);
      bl_set_source (self->page.cr, &self->page.palette->high);
      cairo_rectangle (self->page.cr, x, y, 6, height);
      cairo_fill (self->page.cr);
      put_text (self, x + 13, y + pad, self->page.w - 20, 8.5, TRUE, NULL, words, TRUE);
    }
  return height + 6;
}

/* --- the drawing --- */

static int
shape_of (const BlFieldRow *row)
{
  return row != NULL && row->verdict != NULL ? (int) bl_shape_for_verdict (row->verdict, row->band) : -1;
}

static double
wiring_height (const BlWiring *wiring)
{
  guint rows = 0;

  for (guint i = 0; i < wiring->checks->len; i++)
    rows += ((const BlWireCheck *) bl_at (wiring->checks, i))->place == BL_WIRE_BOX;
  return CLAMP (70 + 52.0 * wiring->conductors->len + 22.0 * rows, 150, 330);
}

static double
put_wiring (Sheet *self, const Thing *thing, double y, gboolean draw)
{
  const BlWiring *wiring = self->sheet->wiring;
  double height = wiring_height (wiring);
  g_autofree int *shapes = NULL;

  if (!draw)
    return height + 6;
  shapes = g_new (int, wiring->checks->len + 1);
  for (guint i = 0; i < wiring->checks->len; i++)
    shapes[i] = shape_of (bl_field_sheet_row (self->sheet, ((const BlWireCheck *) bl_at (wiring->checks, i))->id));
  PangoFontDescription *font = pango_font_description_from_string ("Cantarell, Noto Sans, DejaVu Sans, Sans");
  pango_context_set_font_description (self->page.context, font);
  pango_font_description_free (font);
  g_autoptr (BlWiringLayout) layout
      = bl_wiring_layout_new (wiring, self->page.w / WIRING_SCALE, height / WIRING_SCALE, BL_WIRE_ANYWHERE, 0,
                              bl_wiring_measure, self->page.context);
  const BlWiringLook look = { .palette = self->page.palette, .ground = &self->page.palette->raised,
                              .context = self->page.context, .shapes = shapes, .current = -1, .focus = -1,
                              .likely = BL_WIRE_ANYWHERE };
  cairo_save (self->page.cr);
  cairo_translate (self->page.cr, self->page.x, y);
  cairo_scale (self->page.cr, WIRING_SCALE, WIRING_SCALE);
  bl_wiring_draw (self->page.cr, wiring, layout, &look);
  cairo_restore (self->page.cr);
  return height + 6;
}

/* --- checks --- */

static double
put_group (Sheet *self, const Thing *thing, double y, gboolean draw)
{
  double x = self->page.x, top = y;

  y += 8;
  if (draw)
    draw_rule (self, x, x + self->page.w, y, &self->page.palette->ink, 1.2);
  y += 3;
  y += put_text (self, x, y, self->page.w, 11.5, TRUE, NULL, thing->group->heading, draw) + 1;
  y += put_text (self, x, y, self->page.w, 8, FALSE, NULL, thing->group->caution, draw) + 4;
  return y - top;
}

/* "LIVE 325 V · Running". (transfer full) */
static char *
state_words (const BlFieldState *state)
{
  g_autofree char *level = NULL;

  if (!state->live)
    return g_strdup (state->title);
  level = isfinite (state->volts) ? g_strdup_printf (_ ("LIVE %.0f V"), state->volts) : g_strdup (_ ("LIVE"));
  return g_strdup_printf ("%s · %s", level, state->title);
}

/* The bar above what is done in it; how it is entered the first time only. */
static double
put_state (Sheet *self, const Thing *thing, double y, gboolean draw)
{
  const BlFieldState *state = thing->state;
  const BlPalette *palette = self->page.palette;
  gboolean shock = state->live && bl_safe_volts_shock (state->volts, state->volts_ac, &self->sheet->limits);
  g_autofree char *words = state_words (state);
  double x = self->page.x, w = self->page.w, top = y;
  double text = put_text (self, x + 6, y + 4, w - 12, 8.5, TRUE, NULL, words, FALSE);

  if (draw)
    {
      bl_set_source (self->page.cr, shock ? &palette->banner_live : &palette->track);
      cairo_rectangle (self->page.cr, x, y + 2, w, text + 4);
      cairo_fill (self->page.cr);
      put_text (self, x + 6, y + 4, w - 12, 8.5, TRUE, shock ? &palette->banner_live_ink : NULL, words, TRUE);
    }
  y += text + 8;
  if (thing->how && state->how != NULL)
    y += put_text (self, x + 6, y, w - 12, 7.5, FALSE, &palette->muted, state->how, draw) + 2;
  return y - top;
}

/* A square to tick with its word. Returns where it ends. */
static double
draw_tick (Sheet *self, double x, double y, const char *word, const BlColour *colour)
{
  const BlPageText style = { .size = 8, .colour = colour };
  double width;

  draw_frame (self, x, y, TICK, TICK);
  bl_page_measure (&self->page, &style, word, &width, NULL);
  bl_page_text_at (&self->page, x + TICK + 3, y - 0.5, &style, word);
  return x + TICK + 3 + width + 9;
}

/* What it should be, a field, or yes and no to tick, and "not done". Returns its height. */
static double
put_answer (Sheet *self, const BlFieldRow *row, double x, double y, gboolean draw)
{
  const BlPalette *palette = self->page.palette;
  double top = y;
  g_autofree char *expected = row->expected[0] != '\0' ? g_strdup_printf (_ ("when well: %s"), row->expected) : NULL;
  g_autofree char *known
      = row->reading != NULL ? g_strdup_printf (_ ("read already: %s"), row->reading) : NULL;

  if (expected != NULL)
    y += put_text (self, x, y, ANSWER_W, 8.5, FALSE, NULL, expected, draw) + 2;
  if (known != NULL)
    y += put_text (self, x, y, ANSWER_W, 8, TRUE, NULL, known, draw) + 2;
  if (draw && row->question)
    {
      double at = draw_tick (self, x, y + 4, _ ("yes"), NULL);
      draw_tick (self, at, y + 4, _ ("no"), NULL);
    }
  else if (draw)
    {
      const BlPageText style = { .size = 8, .colour = &palette->muted };
      draw_frame (self, x, y, ANSWER_W - 74, FIELD_H);
      double width, height;
      bl_page_measure (&self->page, &style, row->unit, &width, &height);
      bl_page_text_at (&self->page, x + ANSWER_W - 77 - width, y + (FIELD_H - height) / 2, &style, row->unit);
    }
  if (draw)
    draw_tick (self, x + ANSWER_W - 62, y + 4, _ ("not done"), NULL);
  return y + FIELD_H - top;
}

static double
put_row (Sheet *self, const Thing *thing, double y, gboolean draw)
{
  const BlFieldRow *row = thing->row;
  const BlPalette *palette = self->page.palette;
  double x = self->page.x, w = self->page.w - ANSWER_W - 12 - NUMBER_W, top = y, left = y + 4;
  g_autofree char *number = g_strdup_printf ("%u", row->number);
  g_autofree char *name = g_strdup_printf ("%s  %s", row->id, row->title);

  put_text (self, x, left, NUMBER_W, 10, TRUE, NULL, number, draw);
  left += put_text (self, x + NUMBER_W, left, w, 9.5, TRUE, NULL, name, draw);
  if (row->probes[0] != '\0')
    left += put_text (self, x + NUMBER_W, left, w, 8.5, FALSE, NULL, row->probes, draw);
  if (row->notes[0] != '\0')
    left += put_text (self, x + NUMBER_W, left, w, 7.5, FALSE, &palette->muted, row->notes, draw);
  double right = y + 4 + put_answer (self, row, self->page.x + self->page.w - ANSWER_W, y + 4, draw);
  y = MAX (left, right) + 4;
  if (draw)
    draw_rule (self, x, x + self->page.w, y, &palette->hairline, 0.5);
  return y - top;
}

static double
put_end (Sheet *self, const Thing *thing, double y, gboolean draw)
{
  double top = y;

  y += 8;
  for (guint i = 0; i < 3; i++)
    y += put_blank (self, self->page.x, y, self->page.w,
                    i == 0 ? _ ("what else was seen: weather, heat, smell, water, animals, joints, other work done") : " ",
                    NULL, draw);
  return y - top;
}

static double
put_thing (Sheet *self, const Thing *thing, double y, gboolean draw)
{
  static const ThingDraw draws[] = {
    [THING_HEAD] = put_head,   [THING_CAUTION] = put_caution, [THING_WIRING] = put_wiring, [THING_GROUP] = put_group,
    [THING_STATE] = put_state, [THING_ROW] = put_row,         [THING_END] = put_end,
  };

  return draws[thing->kind](self, thing, y, draw);
}

/* --- pages --- */

static void
add_thing (Sheet *self, Thing thing)
{
  g_array_append_val (self->things, thing);
}

static void
gather (Sheet *self)
{
  const BlFieldSheet *sheet = self->sheet;
  g_autoptr (GHashTable) told = g_hash_table_new (NULL, NULL);

  add_thing (self, (Thing){ .kind = THING_HEAD });
  add_thing (self, (Thing){ .kind = THING_CAUTION });
  add_thing (self, (Thing){ .kind = THING_WIRING });
  for (guint i = 0; i < sheet->groups->len; i++)
    {
      const BlFieldGroup *group = bl_at (sheet->groups, i);
      const BlFieldState *before = NULL;
      add_thing (self, (Thing){ .kind = THING_GROUP, .group = group });
      for (guint j = 0; j < group->rows->len; j++)
        {
          const BlFieldRow *row = bl_at (group->rows, j);
          BlFieldState *state = bl_field_sheet_state (sheet, row->state);
          if (state != NULL && state != before)
            add_thing (self, (Thing){ .kind = THING_STATE, .state = state, .how = g_hash_table_add (told, state) });
          before = state;
          add_thing (self, (Thing){ .kind = THING_ROW, .row = row });
        }
    }
  add_thing (self, (Thing){ .kind = THING_END });
}

static gboolean
stays_with_next (const Thing *thing)
{
  return thing->kind == THING_GROUP || thing->kind == THING_STATE;
}

/* Height of a thing with all that must not be parted from it. */
static double
height_together (Sheet *self, guint index)
{
  double height = 0;

  for (guint i = index; i < self->things->len; i++)
    {
      height += g_array_index (self->things, Thing, i).h;
      if (!stays_with_next (&g_array_index (self->things, Thing, i)))
        break;
    }
  return height;
}

static void
paginate (Sheet *self)
{
  double y = self->page.y;
  guint page = 0;

  for (guint i = 0; i < self->things->len; i++)
    g_array_index (self->things, Thing, i).h = put_thing (self, &g_array_index (self->things, Thing, i), 0, FALSE);
  for (guint i = 0; i < self->things->len; i++)
    {
      Thing *thing = &g_array_index (self->things, Thing, i);
      gboolean led = i > 0 && stays_with_next (&g_array_index (self->things, Thing, i - 1));
      if (!led && y > self->page.y && y + height_together (self, i) > self->page.bottom)
        {
          page++;
          y = self->page.y;
        }
      thing->page = page;
      y += thing->h;
    }
  self->n_pages = page + 1;
}

static void
sheet_open (Sheet *self, const BlFieldSheet *sheet, cairo_t *cr, double width, double height)
{
  *self = (Sheet){ .sheet = sheet,
                   .page = { .cr = cr, .palette = bl_palette_get (FALSE), .x = MARGIN, .y = MARGIN,
                             .w = width - 2 * MARGIN, .bottom = height - MARGIN - FOOT } };
  self->page.context = bl_page_context_new (cr);
  self->things = g_array_new (FALSE, TRUE, sizeof (Thing));
  gather (self);
  paginate (self);
}

static void
sheet_close (Sheet *self)
{
  g_clear_object (&self->page.context);
  g_clear_pointer (&self->page.surfaces, g_hash_table_unref);
  g_array_unref (self->things);
}

guint
bl_field_sheet_n_pages (const BlFieldSheet *sheet, double width, double height)
{
  g_return_val_if_fail (sheet != NULL && width > 4 * MARGIN && height > 4 * MARGIN, 1);
  cairo_surface_t *surface = cairo_recording_surface_create (CAIRO_CONTENT_COLOR, NULL);
  cairo_t *cr = cairo_create (surface);
  Sheet self;

  sheet_open (&self, sheet, cr, width, height);
  guint n = self.n_pages;
  sheet_close (&self);
  cairo_destroy (cr);
  cairo_surface_destroy (surface);
  return n;
}

static void
draw_foot (Sheet *self, guint page)
{
  const BlFieldSheet *sheet = self->sheet;
  BlPageText style = { .size = 7.5, .colour = &self->page.palette->muted, .width = self->page.w };
  double y = self->page.bottom + 5;
  g_autofree char *left
      = sheet->job > 0 ? g_strdup_printf (_ ("job %d · printed %s"), sheet->job, sheet->printed)
                       : g_strdup_printf (_ ("printed %s"), sheet->printed);
  g_autofree char *right = g_strdup_printf (_ ("page %u of %u"), page + 1, self->n_pages);

  draw_rule (self, self->page.x, self->page.x + self->page.w, y - 2, &self->page.palette->hairline, 0.6);
  bl_page_text_at (&self->page, self->page.x, y, &style, left);
  style.align = PANGO_ALIGN_CENTER;
  bl_page_text_at (&self->page, self->page.x, y, &style, _ ("Local codes and licensed practice come first."));
  style.align = PANGO_ALIGN_RIGHT;
  bl_page_text_at (&self->page, self->page.x, y, &style, right);
}

void
bl_field_sheet_draw (const BlFieldSheet *sheet, guint page, cairo_t *cr, double width, double height)
{
  g_return_if_fail (sheet != NULL && cr != NULL && width > 4 * MARGIN && height > 4 * MARGIN);
  Sheet self;

  sheet_open (&self, sheet, cr, width, height);
  double y = self.page.y;
  for (guint i = 0; i < self.things->len; i++)
    {
      const Thing *thing = &g_array_index (self.things, Thing, i);
      if (thing->page == page)
        y += put_thing (&self, thing, y, TRUE);
    }
  draw_foot (&self, page);
  sheet_close (&self);
}

/* --- PDF --- */

static cairo_status_t
take_bytes (void *closure, const unsigned char *data, unsigned int length)
{
  g_byte_array_append (closure, data, length);
  return CAIRO_STATUS_SUCCESS;
}

GBytes *
bl_field_sheet_to_pdf (const BlFieldSheet *sheet, gboolean letter, GError **error)
{
  g_return_val_if_fail (sheet != NULL, NULL);
  double width = letter ? BL_LETTER_WIDTH : BL_PAGE_WIDTH, height = letter ? BL_LETTER_HEIGHT : BL_PAGE_HEIGHT;
  g_autoptr (GByteArray) out = g_byte_array_new ();
  cairo_surface_t *surface = cairo_pdf_surface_create_for_stream (take_bytes, out, width, height);
  cairo_t *cr = cairo_create (surface);
  guint n = bl_field_sheet_n_pages (sheet, width, height);

  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_TITLE, sheet->equipment);
  cairo_pdf_surface_set_metadata (surface, CAIRO_PDF_METADATA_CREATOR, "Benchlore " BL_VERSION);
  for (guint i = 0; i < n; i++)
    {
      bl_field_sheet_draw (sheet, i, cr, width, height);
      cairo_show_page (cr);
    }
  cairo_status_t status = cairo_status (cr);
  cairo_destroy (cr);
  cairo_surface_finish (surface);
  status = status == CAIRO_STATUS_SUCCESS ? cairo_surface_status (surface) : status;
  cairo_surface_destroy (surface);
  if (status == CAIRO_STATUS_SUCCESS)
    return g_byte_array_free_to_bytes (g_steal_pointer (&out));
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("the sheet cannot be drawn: %s"),
               cairo_status_to_string (status));
  return NULL;
}

gboolean
bl_field_sheet_write_pdf (const BlFieldSheet *sheet, gboolean letter, const char *path, GError **error)
{
  g_return_val_if_fail (path != NULL, FALSE);
  g_autoptr (GBytes) bytes = bl_field_sheet_to_pdf (sheet, letter, error);
  gsize size = 0;
  const char *data;

  if (bytes == NULL)
    return FALSE;
  data = g_bytes_get_data (bytes, &size);
  return g_file_set_contents_full (path, data, (gssize) size,
                                   G_FILE_SET_CONTENTS_CONSISTENT | G_FILE_SET_CONTENTS_DURABLE, 0644, error);
}
