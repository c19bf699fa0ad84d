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
#define HEAD_HEIGHT 22
#define RULER_HEIGHT 17

struct _BlMeasurementRow
{
  GtkWidget parent_instance;

  BlMeasurementItem *item; /* NULL: a head */
  const BlColumns *columns; /* of the list */
  char *title, *words;     /* of a head */
  gboolean danger, current, hover, has_preview;
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
    *minimum = *natural = self->item != NULL ? ROW_HEIGHT : HEAD_HEIGHT;
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
    return g_strdup (_ ("typing"));
  return reading != NULL ? bl_format_reading (measurement->measures, reading) : g_strdup ("");
}

static void
draw_verdict (BlMeasurementRow *self, cairo_t *cr, double y, const BlVerdict *verdict)
{
  const BlPalette *palette = bl_style_palette ();
  const BlColumns *c = self->columns;
  BlShape shape = bl_shape_for_verdict (verdict, bl_measurement_item_get_band (self->item));
  gboolean old = bl_measurement_item_is_old (self->item) && !self->has_preview;
  const char *word = self->has_preview && verdict != NULL ? bl_class_word (bl_verdict_label (verdict))
                                       : bl_measurement_item_get_word (self->item);
  const BlColour *colour = old ? &palette->muted : bl_shape_colour (shape, palette);
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

static void
draw_item (BlMeasurementRow *self, cairo_t *cr, double height)
{
  const BlPalette *palette = bl_style_palette ();
  const BlColumns *c = self->columns;
  GtkWidget *widget = GTK_WIDGET (self);
  double y = height / 2, shift = self->current ? 4 : 0, title_end;
  BlReading reading;
  gboolean read = bl_measurement_item_get_reading (self->item, &reading);
  const BlReading *shown = self->has_preview ? &self->preview : read ? &reading : NULL;
  const BlVerdict *verdict = self->has_preview ? self->preview_verdict : bl_measurement_item_get_verdict (self->item);
  const BlRecord *record = bl_measurement_item_get_record (self->item);
  g_autofree char *text = reading_text (self, shown);
  gboolean deviates = verdict != NULL && bl_shape_for_verdict (verdict, NULL) != BL_SHAPE_IN_BAND;

  draw_ground (self, cr, height);
  draw_lane (self, cr, height);
  bl_style_text (widget, cr, bl_measurement_item_get_point (self->item), 13, 700, &palette->ink, c->id + shift, y, 0,
                 c->title - c->id - 4);
  /* The title takes what its own expected values leave. */
  title_end = c->expected_end - 10
              - bl_style_text (widget, cr, bl_measurement_item_get_expected (self->item), 13, 400, &palette->muted,
                               c->expected_end, y, 1, c->expected_end - c->title_end - 4);
  bl_style_text (widget, cr, bl_measurement_item_get_title (self->item), 13, self->current ? 700 : 400, &palette->ink,
                 c->title + shift, y, 0, MAX (20, title_end - c->title - shift));
  draw_ruler (self, cr, height, shown, verdict);
  bl_style_text (widget, cr, text, self->has_preview ? 12 : 13.5, deviates && !self->has_preview ? 700 : 400,
                 bl_measurement_item_is_old (self->item) ? &palette->muted : &palette->ink, c->reading_end, y, 1,
                 c->reading_end - c->ruler_end - 4);
  if (record != NULL && record->unproven && !self->has_preview)
    {
      bl_set_source (cr, &palette->banner_no_proof);
      cairo_rectangle (cr, c->reading_end + 3, y - 6, 3, 12);
      cairo_fill (cr);
    }
  if (self->has_preview || record != NULL)
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

char *
bl_measurement_describe (BlMeasurementItem *item)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ITEM (item), NULL);
  g_autoptr (GString) text = g_string_new (bl_measurement_item_get_point (item));
  const char *expected = bl_measurement_item_get_expected (item), *unit = bl_measurement_item_get_unit (item);
  const BlRecord *record = bl_measurement_item_get_record (item);
  BlReading reading;

  g_string_append_printf (text, " %s", bl_measurement_item_get_title (item));
  if (*expected != '\0')
    g_string_append_printf (text, _ (", expected %s%s%s"), expected, *unit != '\0' ? " " : "", unit);
  if (bl_measurement_item_get_reading (item, &reading))
    {
      g_autofree char *value
        = bl_format_reading (bl_measurement_item_get_measurement (item)->measures, &reading);
      g_string_append_printf (text, _ (", reading %s, %s"), value, bl_measurement_item_get_word (item));
    }
  else
    g_string_append (text, _ (", not read"));
  if (bl_measurement_item_is_old (item))
    g_string_append (text, _ (", of an earlier round"));
  if (record != NULL && record->unproven)
    g_string_append (text, _ (", taken without proof of dead"));
  return g_string_free (g_steal_pointer (&text), FALSE);
}

void
bl_measurement_row_update (BlMeasurementRow *self)
{
  g_return_if_fail (BL_IS_MEASUREMENT_ROW (self) && self->item != NULL);
  g_autofree char *name = bl_measurement_describe (self->item);

  bl_widget_name (GTK_WIDGET (self), name);
  gtk_widget_queue_draw (GTK_WIDGET (self));
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
