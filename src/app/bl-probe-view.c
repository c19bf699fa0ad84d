/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The probe view.
 *
 * Both hands hold probes and the screen is at arm's length or more, so everything is folded but the
 * point: photo close-up left, then point, expected value, ruler, reading, verdict, and one line below
 * with what comes next. After Enter it stays on the verdict until the next value is begun. At 96 dpi
 * the figures of 46 px are 8.4 mm high; the user may scale them. */
#include "config.h"

#include "bl-probe-view.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-focus-panel.h"
#include "bl-format.h"
#include "bl-measurement-row.h"
#include "bl-ruler-draw.h"
#include "bl-style.h"

struct _BlProbeView
{
  GtkWidget parent_instance;

  BlBench *bench;
  BlMeasurementItem *held;
  double scale;
  GtkWidget *photo, *entry;
  char *said; /* why the text is not kept; NULL: nothing is said */
  GtkCssProvider *provider; /* size of the entry */
  double unit;              /* px a design pixel takes here */
  gboolean is_live; /* a meter is read: live holds what it shows */
  BlLive live;
  char *live_shown, *live_words, *meter;
  BlVerdict *live_verdict;
  gboolean meter_trouble;
};

enum
{
  ENTERED,
  SHOWN,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlProbeView, bl_probe_view, GTK_TYPE_WIDGET)

/* The drawing is laid out for a pane of 720 x 736; other sizes scale it. */
#define PANE_W 720.0
#define PANE_H 672.0
#define FOOT 64

static double
photo_width (int width)
{
  return round (width * 0.4375);
}

BlMeasurementItem *
bl_probe_view_get_shown (BlProbeView *self)
{
  g_return_val_if_fail (BL_IS_PROBE_VIEW (self), NULL);
  return self->held != NULL ? self->held : self->bench != NULL ? bl_bench_get_current (self->bench) : NULL;
}

static const char *
typed (BlProbeView *self)
{
  return gtk_editable_get_text (GTK_EDITABLE (self->entry));
}

/* --- drawing; x and y in design pixels of the pane --- */

typedef struct
{
  BlProbeView *self;
  cairo_t *cr;
  double u;     /* px per design px */
  double text;  /* factor of text sizes */
  double right; /* design px */
  BlMeasurementItem *item;
  const BlBand *band;
  BlReading reading;
  gboolean has_reading, typing, live; /* live: a meter's value stands in the place of the reading */
  BlVerdict *preview; /* owned by the caller */
  const BlVerdict *verdict;
} Probe;

static double
say (Probe *p, const char *text, double px, int weight, const BlColour *colour, double x, double y, double align,
     double most)
{
  return bl_style_text (GTK_WIDGET (p->self), p->cr, text, px * p->u * p->text, weight, colour, x * p->u, y * p->u,
                        align, most * p->u)
         / p->u;
}

static void
draw_heading (Probe *p)
{
  const BlPalette *palette = bl_style_palette ();
  const BlMeasurement *measurement = bl_measurement_item_get_measurement (p->item);
  const BlTestPoint *black
    = measurement->black != NULL ? bl_board_test_point (bl_bench_get_board (p->self->bench), measurement->black) : NULL;
  g_autofree char *how
    = black != NULL ? g_strdup_printf (_ ("%s, black on %s"), bl_measurement_item_get_unit (p->item), black->id)
                    : g_strdup (bl_measurement_item_get_unit (p->item));
  double x = 36;

  x += say (p, bl_measurement_item_get_point (p->item), 60, 800, &palette->ink, x, 52, 0, p->right - 36) + 30;
  say (p, bl_measurement_item_get_title (p->item), 38, 700, &palette->ink, x, 60, 0, MAX (20, p->right - x));
  /* Where the band comes from, or what to read first, after how it is read. */
  const char *from = bl_measurement_item_get_from (p->item);
  g_autofree char *words = from != NULL && *from != '\0' ? g_strdup_printf ("%s · %s", how, from) : g_strdup (how);
  x = say (p, words, 24, 400, &palette->muted, 36, 112, 0,
           (p->right - 36) * (p->self->meter != NULL ? 0.6 : 1)) + 60;
  if (p->self->meter != NULL)
    say (p, p->self->meter, 24, p->self->meter_trouble ? 700 : 400,
         p->self->meter_trouble ? &palette->high : &palette->muted, p->right, 112, 1, MAX (20, p->right - x));
  bl_set_source (p->cr, &palette->hairline);
  cairo_rectangle (p->cr, 36 * p->u, 140 * p->u, (p->right - 36) * p->u, 1);
  cairo_fill (p->cr);
}

static void
draw_expected (Probe *p)
{
  const BlPalette *palette = bl_style_palette ();
  gboolean nominal = p->band != NULL && isfinite (p->band->nominal) && p->band->measures != BL_MEASURES_CHECK;
  const char *expected = bl_measurement_item_get_expected (p->item);
  double x = 36;

  x += say (p, _ ("expected"), 24, 400, &palette->muted, x, 190, 0, 200) + 26;
  if (nominal)
    {
      g_autofree char *value = bl_format_value (p->band->measures,
                                                p->band->negative ? -fabs (p->band->nominal) : p->band->nominal);
      x += say (p, value, 58, 700, &palette->ink, x, 180, 0, 260) + 10;
      x += say (p, bl_measurement_item_get_unit (p->item), 30, 400, &palette->ink, x, 190, 0, 120) + 16;
      say (p, expected, 46, 700, &palette->ink, p->right, 183, 1, MAX (60, p->right - x));
    }
  else
    {
      x += say (p, *expected != '\0' ? expected : "–", 58, 700, &palette->ink, x, 180, 0, p->right - x - 100) + 10;
      say (p, bl_measurement_item_get_unit (p->item), 30, 400, &palette->ink, x, 190, 0, 120);
    }
}

static void
draw_limits (Probe *p)
{
  const BlPalette *palette = bl_style_palette ();
  g_autoptr (GArray) labels = bl_ruler_labels (p->band);
  double width = p->right - 36, end = -20;

  for (guint i = 0; i < labels->len; i++)
    {
      const BlRulerLabel *label = &g_array_index (labels, BlRulerLabel, i);
      g_autofree char *text = bl_format_value (p->band->measures, label->value);
      double at = 36 + label->at * width;
      if (!label->limit || at - 36 < end)
        continue;
      end = at - 36 + say (p, text, 28, 700, &palette->ink, at, 342, 0.5, 0);
    }
}

static void
draw_ruler (Probe *p)
{
  bl_ruler_draw (p->cr, p->band, p->has_reading ? &p->reading : NULL, p->verdict,
                 p->typing ? BL_RULER_TYPING : BL_RULER_DEFAULT, 36 * p->u, 228 * p->u, (p->right - 36) * p->u,
                 88 * p->u, bl_style_palette ());
  if (p->band != NULL)
    draw_limits (p);
}

/* Words in the place of the verdict, in as many lines as they need. */
static void
draw_words (Probe *p, const char *text, const BlColour *bar)
{
  g_autoptr (PangoLayout) layout = bl_style_layout (GTK_WIDGET (p->self), text, 28 * p->u * p->text, 700);
  double x = 36 + (bar != NULL ? 20 : 0);
  int height;

  pango_layout_set_width (layout, (int) ((p->right - x) * p->u * PANGO_SCALE));
  pango_layout_set_wrap (layout, PANGO_WRAP_WORD_CHAR);
  pango_layout_get_pixel_size (layout, NULL, &height);
  double top = 604 * p->u - height / 2.0;
  if (bar != NULL)
    {
      bl_set_source (p->cr, bar);
      cairo_rectangle (p->cr, 36 * p->u, top, 8 * p->u, height);
      cairo_fill (p->cr);
    }
  bl_set_source (p->cr, &bl_style_palette ()->ink);
  cairo_move_to (p->cr, x * p->u, top);
  pango_cairo_show_layout (p->cr, layout);
}

static void
draw_reading (Probe *p)
{
  const BlPalette *palette = bl_style_palette ();
  BlShape shape;
  const char *word;
  double x = 36;

  if (p->live && p->self->live.shown != NULL)
    {
      glong length = g_utf8_strlen (p->self->live.shown, -1);
      say (p, p->self->live.shown, length > 6 ? 178 * 6.0 / (double) length : 178, 400, &palette->ink, 36, 448, 0, 0);
      say (p, C_ ("meter", "live"), 24, 400, &palette->muted, p->right, 366, 1, 0);
    }
  else if (p->has_reading && !p->typing)
    {
      g_autofree char *text
        = bl_format_reading (bl_measurement_item_get_measurement (p->item)->measures, &p->reading);
      double size = g_utf8_strlen (text, -1) > 5 ? 178 * 5.0 / g_utf8_strlen (text, -1) : 178;
      x += say (p, text, size, 800, &palette->ink, 36, 448, 0, 0) + 16;
      say (p, bl_measurement_item_get_unit (p->item), 40, 400, &palette->ink, x, 496, 0, MAX (10, p->right - x));
    }
  if (p->self->said != NULL)
    {
      draw_words (p, p->self->said, &palette->high);
      return;
    }
  if (p->live && p->self->live.words != NULL && (p->self->live.urgent || !p->has_reading))
    {
      draw_words (p, p->self->live.words, p->self->live.loud ? &palette->high : NULL);
      return;
    }
  if (p->verdict == NULL && !(p->has_reading && p->reading.kind == BL_READING_NOT_REACHED))
    {
      g_autofree char *hint = p->has_reading ? NULL : bl_state_hint (p->self->bench, p->item);
      if (hint != NULL)
        draw_words (p, hint, NULL);
      return;
    }
  shape = bl_shape_for_verdict (p->verdict, p->band);
  word = p->verdict != NULL ? bl_class_word (bl_verdict_label (p->verdict)) : _ ("not reached");
  bl_shape_draw (p->cr, shape, (36 + 42) * p->u, 606 * p->u, 84 * p->u * MIN (1, p->text), palette, FALSE);
  x = 36 + 100;
  x += say (p, word, 74, 800, bl_shape_colour (shape, palette), x, 604, 0, p->right - x) + 20;
  if (p->typing)
    say (p, _ ("so far"), 30, 400, &palette->muted, x, 616, 0, MAX (10, p->right - x));
}

static void
draw_foot (BlProbeView *self, cairo_t *cr, int width, int height)
{
  const BlPalette *palette = bl_style_palette ();
  BlMeasurementItem *next = self->bench != NULL ? bl_bench_get_current (self->bench) : NULL;
  double y = height - FOOT / 2.0, x = 20;
  g_autofree char *words = NULL;

  bl_set_source (cr, &palette->raised);
  cairo_rectangle (cr, 0, height - FOOT, width, FOOT);
  cairo_fill (cr);
  if (next != NULL && next != bl_probe_view_get_shown (self))
    {
      x += bl_style_text (GTK_WIDGET (self), cr, _ ("next"), 24, 400, &palette->muted, x, y, 0, 0) + 14;
      words = g_strdup_printf ("%s   %s", bl_measurement_item_get_point (next), bl_measurement_item_get_title (next));
      bl_style_text (GTK_WIDGET (self), cr, words, 28, 700, &palette->ink, x, y, 0, width * 0.5 - x);
    }
  bl_style_text (GTK_WIDGET (self), cr,
                 self->held != NULL ? _ ("Enter go on     – not reached     Ctrl Z undo     Esc bench")
                                    : _ ("Enter keep     – not reached     Ctrl Z undo     Esc bench"),
                 20, 400, &palette->muted, width - 20, y, 1, width * 0.5 - 20);
}

static void
fill (BlProbeView *self, Probe *p)
{
  const char *text = typed (self);

  p->band = bl_measurement_shown_band (p->item);
  if (self->held == NULL && *text != '\0')
    {
      p->typing = TRUE;
      p->has_reading = bl_bench_preview (self->bench, text, &p->reading, &p->preview);
      p->verdict = p->has_reading ? p->preview : NULL;
      return;
    }
  if (self->held == NULL && self->is_live)
    {
      p->live = p->typing = TRUE;
      p->has_reading = self->live.has_reading;
      p->reading = self->live.reading;
      p->verdict = self->live_verdict;
      return;
    }
  if (bl_measurement_item_is_old (p->item))
    return; /* of an earlier round: nothing was read yet in this one */
  p->has_reading = bl_measurement_item_get_reading (p->item, &p->reading);
  p->verdict = bl_measurement_item_get_verdict (p->item);
}

static void
bl_probe_view_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  BlProbeView *self = BL_PROBE_VIEW (widget);
  int width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (0, 0, (float) width, (float) height));
  Probe p = { .self = self, .cr = cr, .u = self->unit, .text = self->scale, .item = bl_probe_view_get_shown (self) };

  p.right = (width - photo_width (width)) / self->unit - 32;
  if (p.item != NULL)
    {
      fill (self, &p);
      cairo_save (cr);
      cairo_translate (cr, photo_width (width), 0);
      draw_heading (&p);
      draw_expected (&p);
      draw_ruler (&p);
      draw_reading (&p);
      cairo_restore (cr);
      g_clear_pointer (&p.preview, bl_verdict_free);
    }
  draw_foot (self, cr, width, height);
  cairo_destroy (cr);
  GTK_WIDGET_CLASS (bl_probe_view_parent_class)->snapshot (widget, snapshot);
}

/* --- layout --- */

static void
bl_probe_view_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                       int *minimum_baseline, int *natural_baseline)
{
  *minimum = orientation == GTK_ORIENTATION_HORIZONTAL ? 640 : 300;
  *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? 1280 : 736;
}

static void
size_entry (BlProbeView *self)
{
  g_autofree char *css = g_strdup_printf ("text { font-size: %.0fpx; font-weight: 800; }",
                                          130 * self->unit * self->scale);
  gtk_css_provider_load_from_data (self->provider, css, -1);
}

static void
bl_probe_view_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  BlProbeView *self = BL_PROBE_VIEW (widget);
  int photo = (int) photo_width (width), min_w, min_h;
  double unit = MIN ((width - photo) / PANE_W, (height - FOOT) / PANE_H);

  if (fabs (unit - self->unit) > 1e-6)
    {
      self->unit = unit;
      size_entry (self);
    }
  gtk_widget_measure (self->photo, GTK_ORIENTATION_HORIZONTAL, -1, &min_w, NULL, NULL, NULL);
  gtk_widget_size_allocate (self->photo, &(GtkAllocation){ 0, 0, MAX (photo, min_w), MAX (1, height - FOOT) }, -1);
  gtk_widget_measure (self->entry, GTK_ORIENTATION_HORIZONTAL, -1, &min_w, NULL, NULL, NULL);
  gtk_widget_measure (self->entry, GTK_ORIENTATION_VERTICAL, -1, &min_h, NULL, NULL, NULL);
  gtk_widget_size_allocate (self->entry,
                            &(GtkAllocation){ photo + (int) (36 * unit), (int) (448 * unit) - min_h / 2,
                                              MAX (min_w, (int) (width - photo - 68 * unit)), min_h },
                            -1);
}

static void
describe (BlProbeView *self)
{
  BlMeasurementItem *item = bl_probe_view_get_shown (self);
  g_autofree char *name = item != NULL ? bl_measurement_describe (item) : g_strdup (_ ("Probe view"));

  bl_widget_name (GTK_WIDGET (self), name);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
entry_changed (BlProbeView *self)
{
  gboolean empty = *typed (self) == '\0';

  bl_probe_view_say (self, NULL);
  if (!empty)
    bl_probe_view_hold (self, NULL);
  if (empty)
    gtk_widget_add_css_class (self->entry, "quiet");
  else
    gtk_widget_remove_css_class (self->entry, "quiet");
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
entry_activated (BlProbeView *self)
{
  g_autofree char *text = g_strdup (typed (self));

  if (*text == '\0')
    bl_probe_view_hold (self, NULL);
  else
    g_signal_emit (self, signals[ENTERED], 0, text);
}

/* --- object --- */

static void
bl_probe_view_dispose (GObject *object)
{
  BlProbeView *self = BL_PROBE_VIEW (object);

  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_clear_object (&self->bench);
  g_clear_object (&self->held);
  g_clear_pointer (&self->said, g_free);
  g_clear_pointer (&self->live_shown, g_free);
  g_clear_pointer (&self->live_words, g_free);
  g_clear_pointer (&self->live_verdict, bl_verdict_free);
  g_clear_pointer (&self->meter, g_free);
  g_clear_object (&self->provider);
  g_clear_pointer (&self->photo, gtk_widget_unparent);
  g_clear_pointer (&self->entry, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_probe_view_parent_class)->dispose (object);
}

static void
bl_probe_view_class_init (BlProbeViewClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_probe_view_dispose;
  widget_class->snapshot = bl_probe_view_snapshot;
  widget_class->measure = bl_probe_view_measure;
  widget_class->size_allocate = bl_probe_view_size_allocate;
  signals[ENTERED] = g_signal_new ("entered", BL_TYPE_PROBE_VIEW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE,
                                   1, G_TYPE_STRING);
  signals[SHOWN] = g_signal_new ("shown", BL_TYPE_PROBE_VIEW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
bl_probe_view_init (BlProbeView *self)
{
  self->scale = 1;
  self->unit = 1;
  self->photo = bl_photo_view_new ();
  bl_photo_view_set_mark_scale (BL_PHOTO_VIEW (self->photo), 1.7);
  gtk_widget_set_parent (self->photo, GTK_WIDGET (self));
  self->entry = gtk_text_new ();
  self->provider = gtk_css_provider_new ();
  gtk_style_context_add_provider (gtk_widget_get_style_context (self->entry), GTK_STYLE_PROVIDER (self->provider),
                                  GTK_STYLE_PROVIDER_PRIORITY_APPLICATION + 2);
  size_entry (self);
  gtk_widget_add_css_class (self->entry, "quiet");
  bl_widget_name (self->entry, _ ("Reading"));
  g_signal_connect_swapped (self->entry, "changed", G_CALLBACK (entry_changed), self);
  g_signal_connect_swapped (self->entry, "activate", G_CALLBACK (entry_activated), self);
  gtk_widget_set_parent (self->entry, GTK_WIDGET (self));
  gtk_widget_set_overflow (GTK_WIDGET (self), GTK_OVERFLOW_HIDDEN);
  gtk_widget_add_css_class (GTK_WIDGET (self), "probe");
  bl_style_watch (GTK_WIDGET (self));
}

GtkWidget *
bl_probe_view_new (void)
{
  return g_object_new (BL_TYPE_PROBE_VIEW, NULL);
}

/* A half-typed value belongs to the point it was typed for. */
static void
current_changed (BlProbeView *self)
{
  gtk_editable_set_text (GTK_EDITABLE (self->entry), "");
  g_clear_pointer (&self->said, g_free);
  describe (self);
}

void
bl_probe_view_set_bench (BlProbeView *self, BlBench *bench)
{
  g_return_if_fail (BL_IS_PROBE_VIEW (self));
  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_clear_object (&self->held);
  g_set_object (&self->bench, bench);
  if (bench == NULL)
    return;
  g_signal_connect_object (bench, "changed", G_CALLBACK (describe), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (bench, "notify::current", G_CALLBACK (current_changed), self, G_CONNECT_SWAPPED);
  describe (self);
}

void
bl_probe_view_set_scale (BlProbeView *self, double scale)
{
  g_return_if_fail (BL_IS_PROBE_VIEW (self) && scale > 0);
  self->scale = scale;
  size_entry (self);
  gtk_widget_queue_resize (GTK_WIDGET (self));
}

BlPhotoView *
bl_probe_view_get_photo (BlProbeView *self)
{
  g_return_val_if_fail (BL_IS_PROBE_VIEW (self), NULL);
  return BL_PHOTO_VIEW (self->photo);
}

void
bl_probe_view_focus (BlProbeView *self)
{
  g_return_if_fail (BL_IS_PROBE_VIEW (self));
  gtk_text_grab_focus_without_selecting (GTK_TEXT (self->entry));
}

void
bl_probe_view_hold (BlProbeView *self, BlMeasurementItem *item)
{
  g_return_if_fail (BL_IS_PROBE_VIEW (self));
  if (!g_set_object (&self->held, item))
    return;
  if (item != NULL)
    gtk_editable_set_text (GTK_EDITABLE (self->entry), "");
  describe (self);
  g_signal_emit (self, signals[SHOWN], 0);
}

void
bl_probe_view_say (BlProbeView *self, const char *text)
{
  g_return_if_fail (BL_IS_PROBE_VIEW (self));
  if (g_strcmp0 (self->said, text) == 0)
    return;
  g_free (self->said);
  self->said = g_strdup (text);
  if (text != NULL)
    bl_widget_name (GTK_WIDGET (self), text);
  else
    describe (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

gboolean
bl_probe_view_is_holding (BlProbeView *self)
{
  g_return_val_if_fail (BL_IS_PROBE_VIEW (self), FALSE);
  return self->held != NULL;
}

void
bl_probe_view_set_live (BlProbeView *self, const BlLive *live)
{
  g_return_if_fail (BL_IS_PROBE_VIEW (self));
  if (live == NULL && !self->is_live)
    return;
  g_free (self->live_shown);
  g_free (self->live_words);
  g_clear_pointer (&self->live_verdict, bl_verdict_free);
  self->is_live = live != NULL;
  self->live = live != NULL ? *live : (BlLive){ 0 };
  self->live.shown = self->live_shown = g_strdup (self->live.shown);
  self->live.words = self->live_words = g_strdup (self->live.words);
  self->live_verdict = self->live.verdict != NULL ? bl_verdict_copy (self->live.verdict) : NULL;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
bl_probe_view_set_meter (BlProbeView *self, const char *words, gboolean trouble)
{
  g_return_if_fail (BL_IS_PROBE_VIEW (self));
  g_free (self->meter);
  self->meter = g_strdup (words);
  self->meter_trouble = trouble;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}
