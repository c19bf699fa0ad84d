/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A row of the preview. On its ruler the values are a stretch with a hollow needle at either end: nothing was
 * read, so no needle is filled. */
#include "config.h"

#include "bl-preview-row.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#include "bl-bench.h"
#include "bl-format.h"
#include "bl-ruler-draw.h"
#include "bl-shape-icon.h"
#include "bl-style.h"

/* --- words --- */

const char *
bl_preview_row_word (const BlPreviewRow *row)
{
  return bl_class_word (row->class_name);
}

/* Three figures are enough of what nobody has read. */
static char *
rough (BlMeasures measures, double value)
{
  double scale = value != 0 ? pow (10, 2 - floor (log10 (fabs (value)))) : 1;

  return bl_format_value (measures, round (value * scale) / scale);
}

char *
bl_preview_row_values (const BlMeasurement *measurement, const BlPreviewRow *row)
{
  g_return_val_if_fail (measurement != NULL && row != NULL, NULL);
  const char *plain = bl_measures_unit (measurement->measures);
  g_autofree char *unit = bl_measures_is_steady (measurement->measures) && plain != NULL && strlen (plain) == 1
                            ? g_strdup (plain) : bl_format_unit (measurement->measures);

  if (row->kind == BL_READING_OVER)
    return g_strdup ("OL");
  if (row->kind == BL_READING_ANSWER)
    return g_strdup (row->answer ? _ ("yes") : _ ("no"));
  if (isnan (row->low))
    return g_strdup ("");
  g_autofree char *low = rough (measurement->measures, row->low);
  g_autofree char *high = rough (measurement->measures, row->high);
  if (g_strcmp0 (low, high) == 0)
    return g_strstrip (g_strdup_printf ("%s %s", low, unit));
  return g_strstrip (g_strdup_printf (row->kind == BL_READING_RANGE ? "%s … %s %s" : "%s – %s %s", low, high, unit));
}

/* --- ruler --- */

#define BL_TYPE_PREVIEW_LANE (bl_preview_lane_get_type ())
G_DECLARE_FINAL_TYPE (BlPreviewLane, bl_preview_lane, BL, PREVIEW_LANE, GtkWidget)

struct _BlPreviewLane
{
  GtkWidget parent_instance;

  BlBand *band;
  BlReadingKind kind;
  BlShape shape;
  gboolean answer;
  double low, high;
};

G_DEFINE_FINAL_TYPE (BlPreviewLane, bl_preview_lane, GTK_TYPE_WIDGET)

#define WIDTH 152
#define LANE 17

static void
draw_stretch (BlPreviewLane *self, cairo_t *cr, double width, double y)
{
  const BlPalette *palette = bl_style_palette ();
  double from = bl_ruler_position (self->band, self->low) * width;
  double to = bl_ruler_position (self->band, self->high) * width;
  BlColour colour = *bl_shape_colour (self->shape, palette);

  if (from > to)
    {
      double swap = from;
      from = to;
      to = swap;
    }
  from = CLAMP (from, 2, width - 2);
  to = CLAMP (to, 2, width - 2);
  cairo_rectangle (cr, from, y + LANE * 0.3, MAX (to - from, 1), LANE * 0.4);
  bl_set_source_alpha (cr, &colour, 0.4);
  cairo_fill (cr);
  for (int end = 0; end < (to - from < 4 ? 1 : 2); end++)
    {
      cairo_rectangle (cr, (end == 0 ? from : to) - 1.5, y + 1, 3, LANE - 2);
      bl_set_source (cr, &palette->page);
      cairo_fill_preserve (cr);
      bl_set_source (cr, &colour);
      cairo_set_line_width (cr, 1.3);
      cairo_stroke (cr);
    }
}

static void
bl_preview_lane_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  BlPreviewLane *self = BL_PREVIEW_LANE (widget);
  double width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget), y = (height - LANE) / 2;
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (0, 0, (float) width, (float) height));
  BlReading reading = { .kind = self->kind, .answer = self->answer };
  gboolean at_once = self->kind == BL_READING_OVER || self->kind == BL_READING_ANSWER;

  cairo_rectangle (cr, 0, 0, width, height);
  cairo_clip (cr);
  bl_ruler_draw (cr, self->band, NULL, NULL, BL_RULER_LANE_ONLY, 0, 0, width, height, bl_style_palette ());
  bl_ruler_draw (cr, self->band, at_once ? &reading : NULL, NULL, BL_RULER_TYPING, 0, y, width, LANE,
                 bl_style_palette ());
  if (!at_once && !isnan (self->low))
    draw_stretch (self, cr, width, y);
  cairo_destroy (cr);
}

static void
bl_preview_lane_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                         int *minimum_baseline, int *natural_baseline)
{
  *minimum = orientation == GTK_ORIENTATION_HORIZONTAL ? 120 : LANE + 4;
  *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? WIDTH : LANE + 4;
}

static void
bl_preview_lane_finalize (GObject *object)
{
  bl_band_free (BL_PREVIEW_LANE (object)->band);
  G_OBJECT_CLASS (bl_preview_lane_parent_class)->finalize (object);
}

static void
bl_preview_lane_class_init (BlPreviewLaneClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->finalize = bl_preview_lane_finalize;
  widget_class->snapshot = bl_preview_lane_snapshot;
  widget_class->measure = bl_preview_lane_measure;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_PRESENTATION);
}

static void
bl_preview_lane_init (BlPreviewLane *self)
{
  bl_style_watch (GTK_WIDGET (self));
}

static GtkWidget *
make_lane (const BlPreviewRow *row)
{
  BlPreviewLane *lane = g_object_new (BL_TYPE_PREVIEW_LANE, NULL);

  lane->band = bl_band_copy (row->band);
  lane->kind = row->kind;
  lane->shape = bl_shape_for_class (row->class_name, row->band);
  lane->answer = row->answer;
  lane->low = row->low;
  lane->high = row->high;
  return GTK_WIDGET (lane);
}

/* --- row --- */

static GtkWidget *
make_title (const BlBoard *board, const BlMeasurement *measurement)
{
  const BlState *state = measurement->state != NULL ? bl_board_state (board, measurement->state) : NULL;
  const char *state_title = state == NULL ? "" : state->title != NULL && *state->title != '\0' ? state->title : state->id;
  gboolean titled = measurement->title != NULL && *measurement->title != '\0';
  g_autofree char *words = g_strdup_printf ("%s · %s", titled ? measurement->title : measurement->id, state_title);
  GtkWidget *label = bl_label (words, NULL, 0);

  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_widget_set_tooltip_text (label, words);
  return label;
}

GtkWidget *
bl_preview_row_new (const BlBoard *board, const BlPreviewRow *row)
{
  g_return_val_if_fail (board != NULL && row != NULL, NULL);
  const BlMeasurement *measurement = bl_at (board->measurements, row->measurement);
  BlShape shape = bl_shape_for_class (row->class_name, row->band);
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *word;
  g_autofree char *values = bl_preview_row_values (measurement, row);
  GtkWidget *figures = bl_label (values, "figures", 1);
  g_autofree char *name = g_strdup_printf (_ ("%s would read %s, %s"), measurement->id, values, bl_preview_row_word (row));

  gtk_widget_set_hexpand (box, TRUE);
  gtk_box_append (GTK_BOX (box), make_title (board, measurement));
  gtk_box_append (GTK_BOX (box), figures);
  gtk_box_append (GTK_BOX (box), make_lane (row));
  gtk_box_append (GTK_BOX (box), bl_shape_icon_new ((int) shape, 14));
  word = bl_label (bl_preview_row_word (row), bl_shape_css (shape), 0);
  gtk_widget_add_css_class (word, "preview-word");
  gtk_label_set_ellipsize (GTK_LABEL (word), PANGO_ELLIPSIZE_END);
  gtk_label_set_width_chars (GTK_LABEL (word), 12);
  gtk_label_set_max_width_chars (GTK_LABEL (word), 12);
  gtk_widget_set_tooltip_text (word, bl_preview_row_word (row));
  gtk_box_append (GTK_BOX (box), word);
  bl_widget_name (box, name);
  return box;
}
