/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One row of the measurement list.
 *
 * Rows are drawn by hand because the lane must run through all of them at the same place without a
 * gap, section heads included, and because columns are shared. The whole row reads as one sentence
 * to assistive technology. It holds no values of its own but what is being typed. */
#include "config.h"

#include "bl-measurement-row.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-format.h"
#include "bl-ruler-draw.h"
#include "bl-style.h"

#define ROW_HEIGHT 23
#define TALL_HEIGHT 35 /* with the title in two lines */
#define HEAD_HEIGHT 22
#define LEAST_READING 11 /* px: a reading of two figures in one line */
#define TWO_READINGS 10.5 /* px: in two */
#define HALF_LINE 5.5
#define RULER_HEIGHT 17

struct _BlMeasurementRow
{
  GtkWidget parent_instance;

  BlMeasurementItem *item; /* NULL: a head */
  const BlColumns *columns; /* of the list */
  char *title, *words;     /* of a head */
  gboolean danger, current, hover, has_preview, tall;
  char *fitted;  /* title and expected values whose widths these are */
  double title_width, expected_width;
  GArray *folded;
  BlReading preview;
  BlVerdict *preview_verdict;
};

G_DEFINE_FINAL_TYPE (BlMeasurementRow, bl_measurement_row, GTK_TYPE_WIDGET)

static void
bl_measurement_row_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                            int *minimum_baseline, int *natural_baseline)
{
  BlMeasurementRow *self = BL_MEASUREMENT_ROW (widget);

  if (orientation == GTK_ORIENTATION_HORIZONTAL)
    *minimum = *natural = 400;
  else
    *minimum = *natural = self->item == NULL ? HEAD_HEIGHT : self->tall ? TALL_HEIGHT : ROW_HEIGHT;
}

/* The part of the lane that joins this row to its neighbours. */
static void
draw_lane (BlMeasurementRow *self, cairo_t *cr, double height)
{
  const BlColumns *c = self->columns;
  const BlPalette *palette = bl_style_palette ();
  double left = c->ruler + (c->ruler_end - c->ruler) * BL_RULER_LANE_START;
  double right = c->ruler + (c->ruler_end - c->ruler) * BL_RULER_LANE_END;

  cairo_rectangle (cr, left, 0, right - left, height);
  bl_set_source (cr, &palette->lane);
  cairo_fill (cr);
  cairo_set_line_width (cr, 1.5);
  bl_set_source_alpha (cr, &palette->lane_limit, 0.55);
  cairo_move_to (cr, left, 0);
  cairo_line_to (cr, left, height);
  cairo_move_to (cr, right, 0);
  cairo_line_to (cr, right, height);
  cairo_stroke (cr);
}

static void
draw_head (BlMeasurementRow *self, cairo_t *cr, double height)
{
  const BlPalette *palette = bl_style_palette ();
  const BlColumns *c = self->columns;
  GtkWidget *widget = GTK_WIDGET (self);
  double y = height / 2, x = c->id;

  draw_lane (self, cr, height);
  bl_set_source (cr, &palette->hairline);
  cairo_rectangle (cr, 0, 0, c->width, 1);
  cairo_fill (cr);
  x += bl_style_text (widget, cr, self->title, 13, 700, &palette->ink, x, y, 0, 200) + 14;
  for (guint i = 0; self->folded != NULL && i < self->folded->len && x < c->expected_end - 100; i++, x += 15)
    bl_shape_draw (cr, (BlShape) g_array_index (self->folded, int, i), x + 4, y, 13, palette, FALSE);
  if (self->folded != NULL && self->folded->len > 0)
    x += 6;
  if (self->words != NULL)
    bl_style_text (widget, cr, self->words, 12.5, self->danger ? 700 : 400,
                   self->danger ? &palette->high : &palette->muted, x, y, 0, MAX (20, c->expected_end + 60 - x));
}

/* Why it was not reached, as typed after the dash. */
static const char *
not_reached_reason (BlMeasurementItem *item)
{
  const BlRecord *record = bl_measurement_item_get_record (item);
  const char *text = record != NULL && record->text != NULL ? record->text : "";

  while (*text == '-' || g_ascii_isspace (*text))
    text++;
  return text;
}

/* Where the reading of an earlier round stood: faint, so that it cannot pass for one of now. */
static void
draw_needle_before (BlMeasurementRow *self, cairo_t *cr, const BlBand *band, double height)
{
  const BlColumns *c = self->columns;
  BlReading reading;

  if (!bl_measurement_item_get_before_reading (self->item, &reading) || reading.kind == BL_READING_NOT_REACHED)
    return;
  cairo_push_group (cr);
  bl_ruler_draw (cr, band, &reading, NULL, BL_RULER_TYPING | (self->current ? BL_RULER_RAISED : 0), c->ruler,
                 (height - RULER_HEIGHT) / 2, c->ruler_end - c->ruler, RULER_HEIGHT, bl_style_palette ());
  cairo_pop_group_to_source (cr);
  cairo_paint_with_alpha (cr, 0.4);
}

static void
draw_ruler (BlMeasurementRow *self, cairo_t *cr, double height, const BlReading *reading, const BlVerdict *verdict)
{
  const BlColumns *c = self->columns;
  const BlBand *band = bl_measurement_shown_band (self->item);
  BlRulerFlags flags = self->has_preview ? BL_RULER_TYPING : BL_RULER_DEFAULT;

  if (self->current)
    flags |= BL_RULER_RAISED;
  if (band != NULL)
    bl_ruler_draw (cr, band, NULL, NULL, BL_RULER_LANE_ONLY | (flags & BL_RULER_RAISED), c->ruler, 0,
                   c->ruler_end - c->ruler, height, bl_style_palette ());
  bl_ruler_draw (cr, band, reading, verdict, flags, c->ruler, (height - RULER_HEIGHT) / 2, c->ruler_end - c->ruler,
                 RULER_HEIGHT, bl_style_palette ());
  if (reading == NULL)
    draw_needle_before (self, cr, band, height);
  if (reading != NULL && reading->kind == BL_READING_NOT_REACHED)
    bl_style_text (GTK_WIDGET (self), cr, not_reached_reason (self->item), 11.5, 400, &bl_style_palette ()->ink,
                   (c->ruler + c->ruler_end) / 2, height / 2, 0.5, c->ruler_end - c->ruler);
}

/* The reading as typed on the meter's scale, in a form that fits its column. */
static char *
reading_text (BlMeasurementRow *self, const BlReading *reading)
{
  const BlMeasurement *measurement = bl_measurement_item_get_measurement (self->item);

  if (self->has_preview)
    return g_strdup (_ ("so far"));
  return reading != NULL ? bl_format_reading (measurement->measures, reading) : g_strdup ("");
}

static void
draw_verdict (BlMeasurementRow *self, cairo_t *cr, double y, const BlVerdict *verdict)
{
  const BlPalette *palette = bl_style_palette ();
  const BlColumns *c = self->columns;
  BlShape shape = bl_shape_for_verdict (verdict, bl_measurement_item_get_band (self->item));
  const char *word = self->has_preview && verdict != NULL ? bl_class_word (bl_verdict_label (verdict))
                                       : bl_measurement_item_get_word (self->item);
  const BlColour *colour = bl_shape_colour (shape, palette);
  gboolean plain = shape == BL_SHAPE_IN_BAND || shape == BL_SHAPE_NOT_REACHED || self->has_preview;

  if (verdict == NULL)
    {
      bl_style_text (GTK_WIDGET (self), cr, word, 13, 400, &palette->muted, c->word, y, 0, c->width - c->word - 2);
      return;
    }
  bl_shape_draw (cr, shape, c->shape, y, 14, palette, FALSE);
  bl_style_text (GTK_WIDGET (self), cr, word, 13, plain ? 400 : 700,
                 self->has_preview ? &palette->ink : colour, c->word, y, 0, c->width - c->word - 2);
}

static void
draw_ground (BlMeasurementRow *self, cairo_t *cr, double height)
{
  const BlPalette *palette = bl_style_palette ();

  if (self->current)
    {
      bl_set_source (cr, &palette->raised);
      cairo_rectangle (cr, 0, 0, self->columns->width, height);
      cairo_fill (cr);
    }
  else if (self->hover)
    {
      bl_set_source_alpha (cr, &palette->ink, 0.05);
      cairo_rectangle (cr, 0, 0, self->columns->width, height);
      cairo_fill (cr);
    }
}

static void
draw_frame (BlMeasurementRow *self, cairo_t *cr, double height)
{
  bl_set_source (cr, &bl_style_palette ()->ink);
  cairo_rectangle (cr, 0, 0, self->columns->width, 1.5);
  cairo_rectangle (cr, 0, height - 1.5, self->columns->width, 1.5);
  cairo_rectangle (cr, 0, 0, 4, height);
  cairo_fill (cr);
}

static double
text_width (BlMeasurementRow *self, const char *text, double px, int weight)
{
  g_autoptr (PangoLayout) layout = bl_style_layout (GTK_WIDGET (self), text, px, weight);
  int width;

  pango_layout_get_pixel_size (layout, &width, NULL);
  return width;
}

/* An unsteady reading, or one both ways, is two figures: smaller where they do not fit, at last one below the other. Never
 * cut: half of it would be another reading. Returns the width it took. */
static double
draw_reading (BlMeasurementRow *self, cairo_t *cr, const char *text, double px, int weight, const BlColour *colour,
              double end, double y, double room)
{
  const char *between = strstr (text, "…");
  const char *second = between != NULL ? between + strlen ("…") : strchr (text, '/');

  if (second == NULL || text_width (self, text, px, weight) <= room)
    return bl_style_text (GTK_WIDGET (self), cr, text, px, weight, colour, end, y, 1, room);
  if (text_width (self, text, LEAST_READING, weight) <= room)
    return bl_style_text (GTK_WIDGET (self), cr, text, LEAST_READING, weight, colour, end, y, 1, room);
  g_autofree char *above = g_strndup (text, (gsize) (second - text));
  g_autofree char *below = g_strdup (second + strspn (second, " "));
  double first = bl_style_text (GTK_WIDGET (self), cr, above, TWO_READINGS, weight, colour, end, y - HALF_LINE, 1, 0);
  return MAX (first, bl_style_text (GTK_WIDGET (self), cr, below, TWO_READINGS, weight, colour, end, y + HALF_LINE, 1, 0));
}

/* The reading of an earlier round in its own column, with the shape of its verdict. */
static void
draw_before (BlMeasurementRow *self, cairo_t *cr, double y)
{
  const BlPalette *palette = bl_style_palette ();
  const BlColumns *c = self->columns;
  const BlRecord *before = bl_measurement_item_get_before (self->item);
  BlReading reading;

  if (c->before_end <= 0 || !bl_measurement_item_get_before_reading (self->item, &reading))
    return;
  g_autofree char *text
    = bl_format_reading (bl_measurement_item_get_measurement (self->item)->measures, &reading);
  double width = draw_reading (self, cr, text, 12, 400, &palette->muted, c->before_end, y,
                               c->before_end - c->ruler_end - 16);
  if (before->verdict == NULL)
    return;
  bl_shape_draw (cr, bl_shape_for_verdict (before->verdict, before->band), c->before_end - width - 9, y,
                 BL_SHAPE_LEAST, palette, FALSE);
}

/* In one line, or in two where it is long. */
static void
draw_title (BlMeasurementRow *self, cairo_t *cr, double x, double y, double width)
{
  const char *title = bl_measurement_item_get_title (self->item);
  /* Bold in hand, unless that would cut it. */
  gboolean bold = self->current && (self->tall || text_width (self, title, 13, 700) <= width);
  g_autoptr (PangoLayout) layout
    = bl_style_layout (GTK_WIDGET (self), title, self->tall ? 12.5 : 13, bold ? 700 : 400);
  int height;

  pango_layout_set_width (layout, (int) (width * PANGO_SCALE));
  pango_layout_set_height (layout, self->tall ? -2 : -1);
  pango_layout_set_wrap (layout, PANGO_WRAP_WORD_CHAR);
  pango_layout_set_ellipsize (layout, PANGO_ELLIPSIZE_END);
  pango_layout_set_line_spacing (layout, 0.84f);
  pango_layout_get_pixel_size (layout, NULL, &height);
  bl_set_source (cr, &bl_style_palette ()->ink);
  cairo_move_to (cr, x, y - height / 2.0);
  pango_cairo_show_layout (cr, layout);
}

/* The title takes what its own expected values leave. */
static double
title_room (BlMeasurementRow *self)
{
  const BlColumns *c = self->columns;
  double expected = MIN (self->expected_width, c->expected_end - c->title_end - 4);

  return MAX (20, c->expected_end - 10 - expected - c->title - 4);
}

static void
draw_item (BlMeasurementRow *self, cairo_t *cr, double height)
{
  const BlPalette *palette = bl_style_palette ();
  const BlColumns *c = self->columns;
  GtkWidget *widget = GTK_WIDGET (self);
  double y = height / 2, shift = self->current ? 4 : 0;
  BlReading reading;
  gboolean read = !bl_measurement_item_is_old (self->item)
                  && bl_measurement_item_get_reading (self->item, &reading);
  const BlReading *shown = self->has_preview ? &self->preview : read ? &reading : NULL;
  const BlVerdict *verdict = self->has_preview ? self->preview_verdict
                             : read              ? bl_measurement_item_get_verdict (self->item)
                                                 : NULL;
  const BlRecord *record = bl_measurement_item_get_record (self->item);
  g_autofree char *text = reading_text (self, shown);
  gboolean deviates = verdict != NULL && bl_shape_for_verdict (verdict, NULL) != BL_SHAPE_IN_BAND;

  draw_ground (self, cr, height);
  draw_lane (self, cr, height);
  bl_style_text (widget, cr, bl_measurement_item_get_name (self->item), 13, 700, &palette->ink, c->id + shift, y, 0,
                 c->title - c->id - 4);
  bl_style_text (widget, cr, bl_measurement_item_get_expected (self->item), 13, 400, &palette->muted,
                 c->expected_end, y, 1, c->expected_end - c->title_end - 4);
  draw_title (self, cr, c->title + shift, y, title_room (self));
  draw_ruler (self, cr, height, shown, verdict);
  draw_before (self, cr, y);
  draw_reading (self, cr, text, self->has_preview ? 12 : 13.5, deviates && !self->has_preview ? 700 : 400, &palette->ink,
                c->reading_end, y, c->reading_end - MAX (c->ruler_end, c->before_end) - 4);
  if (read && record->unproven && !self->has_preview)
    {
      bl_set_source (cr, &palette->banner_no_proof);
      cairo_rectangle (cr, c->reading_end + 3, y - 6, 3, 12);
      cairo_fill (cr);
    }
  if (self->has_preview || read)
    draw_verdict (self, cr, y, verdict);
  if (self->current)
    draw_frame (self, cr, height);
}

static void
bl_measurement_row_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  BlMeasurementRow *self = BL_MEASUREMENT_ROW (widget);
  int width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (0, 0, (float) width, (float) height));

  cairo_rectangle (cr, 0, 0, width, height);
  cairo_clip (cr);
  if (self->item != NULL)
    draw_item (self, cr, height);
  else
    draw_head (self, cr, height);
  cairo_destroy (cr);
}

static void
entered (GtkEventControllerMotion *controller, double x, double y, BlMeasurementRow *self)
{
  self->hover = self->item != NULL;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
left (GtkEventControllerMotion *controller, BlMeasurementRow *self)
{
  self->hover = FALSE;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
bl_measurement_row_finalize (GObject *object)
{
  BlMeasurementRow *self = BL_MEASUREMENT_ROW (object);

  g_clear_object (&self->item);
  g_free (self->title);
  g_free (self->words);
  g_free (self->fitted);
  g_clear_pointer (&self->folded, g_array_unref);
  g_clear_pointer (&self->preview_verdict, bl_verdict_free);
  G_OBJECT_CLASS (bl_measurement_row_parent_class)->finalize (object);
}

static void
bl_measurement_row_class_init (BlMeasurementRowClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->finalize = bl_measurement_row_finalize;
  widget_class->measure = bl_measurement_row_measure;
  widget_class->snapshot = bl_measurement_row_snapshot;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_LIST_ITEM);
}

static void
bl_measurement_row_init (BlMeasurementRow *self)
{
  GtkEventController *motion = gtk_event_controller_motion_new ();

  g_signal_connect (motion, "enter", G_CALLBACK (entered), self);
  g_signal_connect (motion, "leave", G_CALLBACK (left), self);
  gtk_widget_add_controller (GTK_WIDGET (self), motion);
  bl_style_watch (GTK_WIDGET (self));
}

GtkWidget *
bl_measurement_row_new (BlMeasurementItem *item, const BlColumns *columns)
{
  BlMeasurementRow *self = g_object_new (BL_TYPE_MEASUREMENT_ROW, NULL);

  self->item = g_object_ref (item);
  self->columns = columns;
  bl_measurement_row_update (self);
  return GTK_WIDGET (self);
}

GtkWidget *
bl_measurement_row_new_head (const char *title, const BlColumns *columns)
{
  BlMeasurementRow *self = g_object_new (BL_TYPE_MEASUREMENT_ROW, NULL);

  self->title = g_strdup (title);
  self->columns = columns;
  bl_widget_name (GTK_WIDGET (self), title);
  return GTK_WIDGET (self);
}

BlMeasurementItem *
bl_measurement_row_get_item (BlMeasurementRow *self)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ROW (self), NULL);
  return self->item;
}

const char *
bl_measurement_row_get_title (BlMeasurementRow *self)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ROW (self), NULL);
  return self->title;
}

void
bl_measurement_row_set_head (BlMeasurementRow *self, const char *words, gboolean danger, GArray *folded)
{
  g_return_if_fail (BL_IS_MEASUREMENT_ROW (self));
  g_autofree char *name = g_strdup_printf ("%s %s", self->title, words != NULL ? words : "");

  g_free (self->words);
  self->words = g_strdup (words);
  self->danger = danger;
  g_clear_pointer (&self->folded, g_array_unref);
  self->folded = folded != NULL ? g_array_ref (folded) : NULL;
  bl_widget_name (GTK_WIDGET (self), g_strchomp (name));
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

const BlBand *
bl_measurement_shown_band (BlMeasurementItem *item)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ITEM (item), NULL);
  const BlBand *band = bl_measurement_item_get_band (item);

  if (band == NULL || band->measures == BL_MEASURES_CHECK || band->measures == BL_MEASURES_SWING)
    return band;
  if (!isfinite (band->low) && !isfinite (band->high) && isnan (band->absent_below) && isnan (band->shorted_below)
      && isnan (band->open_above) && (band->marks == NULL || band->marks->len == 0))
    return NULL;
  return band;
}

/* "expected 4.8 – 5.2 V DC", or nothing. (transfer full) */
static char *
expected_words (BlMeasurementItem *item)
{
  const char *expected = bl_measurement_item_get_expected (item), *unit = bl_measurement_item_get_unit (item);

  if (*expected == '\0')
    return g_strdup ("");
  if (*unit == '\0')
    return g_strdup_printf (_ ("expected %s"), expected);
  /* Translators: limits and unit, as in "expected 4.8 – 5.2 V DC" */
  return g_strdup_printf (_ ("expected %s %s"), expected, unit);
}

/* What was read now, and what before the board was changed. (transfer full) */
static char *
reading_words (BlMeasurementItem *item)
{
  BlMeasures measures = bl_measurement_item_get_measurement (item)->measures;
  gboolean old = bl_measurement_item_is_old (item);
  g_autofree char *now = NULL, *then = NULL;
  BlReading reading;

  if (bl_measurement_item_get_before_reading (item, &reading))
    then = bl_format_reading (measures, &reading);
  if (!old && bl_measurement_item_get_reading (item, &reading))
    now = bl_format_reading (measures, &reading);
  if (now != NULL && then != NULL)
    return g_strdup_printf (_ ("reading %s, %s, before %s"), now, bl_measurement_item_get_word (item), then);
  if (now != NULL)
    return g_strdup_printf (_ ("reading %s, %s"), now, bl_measurement_item_get_word (item));
  if (then != NULL)
    return g_strdup_printf (_ ("not read in this round, before %s, %s"), then, bl_measurement_item_get_word (item));
  return g_strdup (_ ("not read"));
}

char *
bl_measurement_describe (BlMeasurementItem *item)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ITEM (item), NULL);
  const BlRecord *record = bl_measurement_item_get_record (item);
  g_autofree char *name = g_strdup_printf ("%s %s", bl_measurement_item_get_point (item),
                                           bl_measurement_item_get_title (item));
  g_autofree char *expected = expected_words (item);
  g_autofree char *read = reading_words (item);
  g_autofree char *all = *expected != '\0' ? g_strdup_printf (_ ("%s, %s, %s"), name, expected, read)
                                           : g_strdup_printf (_ ("%s, %s"), name, read);

  if (record == NULL || !record->unproven)
    return g_steal_pointer (&all);
  return g_strdup_printf (_ ("%s, taken without proof of dead"), all);
}

void
bl_measurement_row_update (BlMeasurementRow *self)
{
  g_return_if_fail (BL_IS_MEASUREMENT_ROW (self) && self->item != NULL);
  g_autofree char *name = bl_measurement_describe (self->item);

  bl_widget_name (GTK_WIDGET (self), name);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

/* Where the expected value comes from, after the title where that is cut. */
static void
show_tooltip (BlMeasurementRow *self, const char *title)
{
  const char *from = bl_measurement_item_get_from_long (self->item);
  g_autofree char *words = NULL;

  if (title != NULL && from != NULL && *from != '\0')
    words = g_strdup_printf ("%s\n%s", title, from);
  else
    words = g_strdup (title != NULL ? title : from);
  gtk_widget_set_tooltip_text (GTK_WIDGET (self), words != NULL && *words != '\0' ? words : NULL);
}

void
bl_measurement_row_fit (BlMeasurementRow *self)
{
  g_return_if_fail (BL_IS_MEASUREMENT_ROW (self) && self->item != NULL);
  const char *title = bl_measurement_item_get_title (self->item);
  const char *expected = bl_measurement_item_get_expected (self->item);
  g_autofree char *texts = g_strdup_printf ("%s\n%s", title, expected);
  gboolean tall;

  if (g_strcmp0 (texts, self->fitted) != 0)
    {
      g_free (self->fitted);
      self->fitted = g_steal_pointer (&texts);
      /* As it is read in the list: a row keeps its height when it comes in hand. */
      self->title_width = text_width (self, title, 13, 400);
      self->expected_width = text_width (self, expected, 13, 400);
    }
  tall = self->title_width > title_room (self);
  show_tooltip (self, tall ? title : NULL);
  if (tall != self->tall)
    {
      self->tall = tall;
      gtk_widget_queue_resize (GTK_WIDGET (self));
    }
}

void
bl_measurement_row_set_current (BlMeasurementRow *self, gboolean current)
{
  g_return_if_fail (BL_IS_MEASUREMENT_ROW (self));
  if (self->current == current)
    return;
  self->current = current;
  gtk_accessible_update_state (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_STATE_SELECTED, current, -1);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
bl_measurement_row_set_preview (BlMeasurementRow *self, const BlReading *reading, const BlVerdict *verdict)
{
  g_return_if_fail (BL_IS_MEASUREMENT_ROW (self));
  if (reading == NULL && !self->has_preview)
    return;
  g_clear_pointer (&self->preview_verdict, bl_verdict_free);
  self->has_preview = reading != NULL && verdict != NULL;
  if (self->has_preview)
    {
      self->preview = *reading;
      self->preview_verdict = bl_verdict_copy (verdict);
    }
  gtk_widget_queue_draw (GTK_WIDGET (self));
}
