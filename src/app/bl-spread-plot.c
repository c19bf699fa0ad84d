/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The strip of dots as a widget: drawn by the report layer, here it gets the values of its limits below, the
 * proposed ones bold, and the word at a hollow dot. Dots are kept by value, so that Left and Right walk along them. */
#include "config.h"

#include "bl-spread-plot.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-known-good-words.h"
#include "bl-spread-draw.h"
#include "bl-style.h"

#define FIGURES 11.5
#define LABEL_ROW 17
#define INSET 6 /* px at each side: dots and limits at the very ends are not cut */

typedef struct
{
  double value;
  char *text;
  gboolean strong;
} Limit;

struct _BlSpreadPlot
{
  GtkWidget parent_instance;

  gboolean raised;
  BlSpread spread;
  GArray *dots;     /* BlSpreadDot, by value */
  GPtrArray *words; /* char *, of each dot */
  GArray *limits;   /* Limit */
  int marked;       /* -1: none */
};

enum
{
  MARKED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlSpreadPlot, bl_spread_plot, GTK_TYPE_WIDGET)

static void
limit_clear (gpointer data)
{
  g_free (((Limit *) data)->text);
}

/* --- drawing --- */

static double
strip_width (BlSpreadPlot *self)
{
  return gtk_widget_get_width (GTK_WIDGET (self)) - 2.0 * INSET;
}

/* The proposed limits first, so that the documented ones give way where there is no room. */
static void
draw_limits (BlSpreadPlot *self, cairo_t *cr, double width)
{
  const BlPalette *palette = bl_style_palette ();
  g_autoptr (GArray) taken = g_array_new (FALSE, FALSE, sizeof (double));

  for (guint i = 0; i < self->limits->len; i++)
    {
      const Limit *limit = &g_array_index (self->limits, Limit, i);
      double at = INSET + bl_spread_across (&self->spread, width, limit->value);
      g_autoptr (PangoLayout) layout
        = bl_style_layout (GTK_WIDGET (self), limit->text, FIGURES, limit->strong ? 700 : 400);
      gboolean room = TRUE;
      int w;
      pango_layout_get_pixel_size (layout, &w, NULL);
      double left = CLAMP (at - w / 2.0, 0, MAX (0, width + 2 * INSET - w)), right = left + w;
      for (guint k = 0; k < taken->len; k += 2)
        if (left < g_array_index (taken, double, k + 1) + 6 && right > g_array_index (taken, double, k) - 6)
          room = FALSE;
      if (!room)
        continue;
      g_array_append_val (taken, left);
      g_array_append_val (taken, right);
      bl_style_show (cr, layout, limit->strong ? &palette->ink : &palette->in_band, left,
                     BL_SPREAD_HEIGHT + LABEL_ROW / 2.0 + 1, 0);
    }
}

/* The word stands at the side where there is more room. */
static void
draw_words (BlSpreadPlot *self, cairo_t *cr, double width)
{
  const BlPalette *palette = bl_style_palette ();
  g_autoptr (GArray) places = bl_spread_places (&self->spread, width);

  for (guint i = 0; i < self->dots->len; i++)
    {
      const BlSpreadDot *dot = &g_array_index (self->dots, BlSpreadDot, i);
      double x = INSET + g_array_index (places, double, 2 * i), y = g_array_index (places, double, 2 * i + 1);
      gboolean left = x > width / 2;
      int w, h;
      if (dot->kind == BL_SPREAD_COUNTS)
        continue;
      g_autoptr (PangoLayout) layout = bl_style_layout (
        GTK_WIDGET (self), dot->kind == BL_SPREAD_OUT ? _ ("left out") : _ ("outlier"), FIGURES, 400);
      pango_layout_get_pixel_size (layout, &w, &h);
      x += left ? -9 - w : 9;
      cairo_rectangle (cr, x - 2, y - h / 2.0, w + 4, h);
      bl_set_source_alpha (cr, self->raised ? &palette->raised : &palette->page, 0.85);
      cairo_fill (cr);
      bl_style_show (cr, layout, &palette->ink, x, y, 0);
    }
}

static void
bl_spread_plot_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  BlSpreadPlot *self = BL_SPREAD_PLOT (widget);
  double width = strip_width (self), height = gtk_widget_get_height (widget);
  const BlPalette *palette = bl_style_palette ();
  cairo_t *cr;

  if (width <= 0)
    return;
  cr = gtk_snapshot_append_cairo (snapshot,
                                  &GRAPHENE_RECT_INIT (0, -2, (float) width + 2 * INSET, (float) height + 4));
  bl_spread_draw (cr, &self->spread, self->marked, self->raised, INSET, 0, width, palette);
  draw_words (self, cr, width);
  draw_limits (self, cr, width);
  if (gtk_widget_has_visible_focus (widget))
    {
      cairo_rectangle (cr, 0.75, -1, width + 2 * INSET - 1.5, BL_SPREAD_HEIGHT + 2);
      bl_set_source (cr, &palette->ink);
      cairo_set_line_width (cr, 1.5);
      cairo_stroke (cr);
    }
  cairo_destroy (cr);
}

static void
bl_spread_plot_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                        int *minimum_baseline, int *natural_baseline)
{
  *minimum = *natural = BL_SPREAD_HEIGHT + LABEL_ROW + 2;
  if (orientation == GTK_ORIENTATION_HORIZONTAL)
    {
      *minimum = 160;
      *natural = 400;
    }
}

/* --- the board in hand --- */

static void
mark (BlSpreadPlot *self, int dot)
{
  if (dot == self->marked)
    return;
  self->marked = dot;
  gtk_widget_queue_draw (GTK_WIDGET (self));
  g_signal_emit (self, signals[MARKED], 0, dot >= 0 ? bl_at (self->words, (guint) dot) : NULL);
}

static gboolean
key_pressed (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state, BlSpreadPlot *self)
{
  int n = (int) self->dots->len, step = keyval == GDK_KEY_Left ? -1 : keyval == GDK_KEY_Right ? 1 : 0;

  if (step == 0 || n == 0 || (state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) != 0)
    return GDK_EVENT_PROPAGATE;
  mark (self, self->marked < 0 ? (step > 0 ? 0 : n - 1) : CLAMP (self->marked + step, 0, n - 1));
  return GDK_EVENT_STOP;
}

static void
focus_changed (BlSpreadPlot *self)
{
  if (!gtk_widget_has_focus (GTK_WIDGET (self)))
    mark (self, -1);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
moved (GtkEventControllerMotion *motion, double x, double y, BlSpreadPlot *self)
{
  mark (self, bl_spread_dot_at (&self->spread, strip_width (self), x - INSET, y));
}

static void
left (GtkEventControllerMotion *motion, BlSpreadPlot *self)
{
  mark (self, -1);
}

static gboolean
bl_spread_plot_query_tooltip (GtkWidget *widget, int x, int y, gboolean keyboard, GtkTooltip *tooltip)
{
  BlSpreadPlot *self = BL_SPREAD_PLOT (widget);
  int dot = keyboard ? self->marked : bl_spread_dot_at (&self->spread, strip_width (self), x - INSET, y);

  if (dot < 0)
    return FALSE;
  gtk_tooltip_set_text (tooltip, bl_at (self->words, (guint) dot));
  return TRUE;
}

/* --- what is shown --- */

static int
by_value (gconstpointer a, gconstpointer b)
{
  const BlGoodBoard *one = *(const BlGoodBoard *const *) a, *other = *(const BlGoodBoard *const *) b;
  return one->value < other->value ? -1 : one->value > other->value ? 1 : one->number - other->number;
}

static void
take_dots (BlSpreadPlot *self, const BlGoodProposal *proposal)
{
  g_autoptr (GPtrArray) boards = g_ptr_array_new ();

  for (guint i = 0; i < proposal->boards->len; i++)
    if (isfinite (((BlGoodBoard *) bl_at (proposal->boards, i))->value))
      g_ptr_array_add (boards, bl_at (proposal->boards, i));
  g_ptr_array_sort (boards, by_value);
  for (guint i = 0; i < boards->len; i++)
    {
      const BlGoodBoard *board = bl_at (boards, i);
      BlSpreadDot dot = { board->value, board->use == BL_GOOD_LEFT_OUT ? BL_SPREAD_OUT
                                        : board->outlier               ? BL_SPREAD_OUTLIER
                                                                       : BL_SPREAD_COUNTS };
      g_array_append_val (self->dots, dot);
      g_ptr_array_add (self->words, bl_good_board_words (proposal, board));
    }
}

static void
add_limit (BlSpreadPlot *self, const BlGoodProposal *proposal, double value, gboolean strong)
{
  Limit limit = { value, NULL, strong };

  if (!isfinite (value))
    return;
  limit.text = bl_good_value_words (proposal, value);
  g_array_append_val (self->limits, limit);
}

void
bl_spread_plot_show (BlSpreadPlot *self, const BlGoodProposal *proposal)
{
  g_return_if_fail (BL_IS_SPREAD_PLOT (self) && proposal != NULL);
  gboolean proposed = !isnan (proposal->with.k), other = proposal->n_outliers > 0 && !isnan (proposal->without.k);

  g_array_set_size (self->dots, 0);
  g_array_set_size (self->limits, 0);
  g_ptr_array_set_size (self->words, 0);
  self->marked = -1;
  take_dots (self, proposal);
  self->spread = (BlSpread){ (const BlSpreadDot *) (gconstpointer) self->dots->data, self->dots->len,
                             proposal->documented_low, proposal->documented_high,
                             isfinite (proposal->documented_low) || isfinite (proposal->documented_high),
                             proposed ? proposal->with.low : NAN, proposed ? proposal->with.high : NAN,
                             other ? proposal->without.low : NAN, other ? proposal->without.high : NAN };
  add_limit (self, proposal, self->spread.proposed_low, TRUE);
  add_limit (self, proposal, self->spread.proposed_high, TRUE);
  add_limit (self, proposal, proposal->documented_low, FALSE);
  add_limit (self, proposal, proposal->documented_high, FALSE);
  g_autofree char *count = bl_good_count_words (proposal), *band = bl_good_interval_words (proposal, &proposal->with);
  g_autofree char *documented = bl_good_documented_words (proposal);
  g_autofree char *name = *band != '\0'
                            ? g_strdup_printf (_ ("%s; proposed %s, documented %s"), count, band, documented)
                            : g_strdup_printf (_ ("%s; documented %s"), count, documented);
  bl_widget_name (GTK_WIDGET (self), name);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

guint
bl_spread_plot_n_dots (BlSpreadPlot *self, guint *n_hollow)
{
  g_return_val_if_fail (BL_IS_SPREAD_PLOT (self), 0);
  guint hollow = 0;

  for (guint i = 0; i < self->dots->len; i++)
    hollow += g_array_index (self->dots, BlSpreadDot, i).kind != BL_SPREAD_COUNTS;
  if (n_hollow != NULL)
    *n_hollow = hollow;
  return self->dots->len;
}

/* --- object --- */

static void
bl_spread_plot_finalize (GObject *object)
{
  BlSpreadPlot *self = BL_SPREAD_PLOT (object);

  g_array_unref (self->dots);
  g_array_unref (self->limits);
  g_ptr_array_unref (self->words);
  G_OBJECT_CLASS (bl_spread_plot_parent_class)->finalize (object);
}

static void
bl_spread_plot_class_init (BlSpreadPlotClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->finalize = bl_spread_plot_finalize;
  widget_class->snapshot = bl_spread_plot_snapshot;
  widget_class->measure = bl_spread_plot_measure;
  widget_class->query_tooltip = bl_spread_plot_query_tooltip;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
  signals[MARKED] = g_signal_new ("marked", BL_TYPE_SPREAD_PLOT, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                                  G_TYPE_STRING);
}

static void
bl_spread_plot_init (BlSpreadPlot *self)
{
  GtkEventController *motion = gtk_event_controller_motion_new (), *keys = gtk_event_controller_key_new ();

  self->marked = -1;
  self->dots = g_array_new (FALSE, FALSE, sizeof (BlSpreadDot));
  self->limits = g_array_new (FALSE, FALSE, sizeof (Limit));
  g_array_set_clear_func (self->limits, limit_clear);
  self->words = g_ptr_array_new_with_free_func (g_free);
  g_signal_connect (motion, "motion", G_CALLBACK (moved), self);
  g_signal_connect (motion, "leave", G_CALLBACK (left), self);
  gtk_widget_add_controller (GTK_WIDGET (self), motion);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
  g_signal_connect (self, "notify::has-focus", G_CALLBACK (focus_changed), NULL);
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
  gtk_widget_set_has_tooltip (GTK_WIDGET (self), TRUE);
  gtk_widget_set_hexpand (GTK_WIDGET (self), TRUE);
  bl_style_watch (GTK_WIDGET (self));
}

GtkWidget *
bl_spread_plot_new (gboolean raised)
{
  BlSpreadPlot *self = g_object_new (BL_TYPE_SPREAD_PLOT, NULL);

  self->raised = raised;
  return GTK_WIDGET (self);
}
