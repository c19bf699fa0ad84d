/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plot of a followed band. It holds a copy of what it draws and changes nothing itself: what is dragged goes out
 * as a signal, and comes back through the document. While a point is held the scales stand still, or it would run
 * away from under the pointer. Some tens of points. */
#include "config.h"

#include "bl-follows-plot.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-edition-band.h"
#include "bl-format.h"
#include "bl-style.h"

#define LEFT 58.0
#define RIGHT 14.0
#define TOP 10.0
#define BOTTOM 34.0
#define HIT 9.0 /* px around a point that are the point's */
#define CASING 1.5

struct _BlFollowsPlot
{
  GtkWidget parent_instance;

  GArray *points; /* double pairs */
  double share, within, typical;
  char *x_name, *tells; /* tells: all of it as a sentence */
  BlMeasures x_measures, y_measures;
  double x0, x1, y0, y1; /* of the scales */
  int chosen, held;      /* indices; -1: none */
  double from_x, from_y; /* of the held point, before */
};

enum
{
  MOVED,
  ADDED,
  REMOVED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlFollowsPlot, bl_follows_plot, GTK_TYPE_WIDGET)

static guint
n_points (BlFollowsPlot *self)
{
  return self->points->len / 2;
}

static double
x_of (BlFollowsPlot *self, guint i)
{
  return g_array_index (self->points, double, 2 * i);
}

static double
y_of (BlFollowsPlot *self, guint i)
{
  return g_array_index (self->points, double, 2 * i + 1);
}

/* --- scales --- */

static double
to_px_x (BlFollowsPlot *self, double x)
{
  double width = gtk_widget_get_width (GTK_WIDGET (self)) - LEFT - RIGHT;
  return LEFT + (x - self->x0) / (self->x1 - self->x0) * width;
}

static double
to_px_y (BlFollowsPlot *self, double y)
{
  double height = gtk_widget_get_height (GTK_WIDGET (self)) - TOP - BOTTOM;
  return TOP + height - (y - self->y0) / (self->y1 - self->y0) * height;
}

static double
from_px_x (BlFollowsPlot *self, double px)
{
  return self->x0 + (px - LEFT) / (gtk_widget_get_width (GTK_WIDGET (self)) - LEFT - RIGHT) * (self->x1 - self->x0);
}

static double
from_px_y (BlFollowsPlot *self, double px)
{
  double height = gtk_widget_get_height (GTK_WIDGET (self)) - TOP - BOTTOM;
  return self->y0 + (TOP + height - px) / height * (self->y1 - self->y0);
}

static double
half_at (BlFollowsPlot *self, double y)
{
  return self->share * fabs (y) + self->within;
}

/* Around points and lane, a tenth more on all sides. */
static void
fit_scales (BlFollowsPlot *self)
{
  double x0 = INFINITY, x1 = -INFINITY, y0 = INFINITY, y1 = -INFINITY;

  for (guint i = 0; i < n_points (self); i++)
    {
      double y = y_of (self, i);
      x0 = fmin (x0, x_of (self, i));
      x1 = fmax (x1, x_of (self, i));
      y0 = fmin (y0, y - half_at (self, y));
      y1 = fmax (y1, y + half_at (self, y));
    }
  if (isfinite (self->typical))
    {
      x0 = fmin (x0, self->typical);
      x1 = fmax (x1, self->typical);
    }
  if (!(x0 < x1))
    {
      x0 = isfinite (x0) ? x0 - 1 : 0;
      x1 = x0 + 2;
    }
  if (!(y0 < y1))
    {
      y0 = isfinite (y0) ? y0 - 1 : 0;
      y1 = y0 + 2;
    }
  self->x0 = x0 - 0.04 * (x1 - x0);
  self->x1 = x1 + 0.04 * (x1 - x0);
  self->y0 = y0 - 0.08 * (y1 - y0);
  self->y1 = y1 + 0.08 * (y1 - y0);
}

/* Along the pieces, beyond the ends along the end pieces, as bands are resolved. */
static double
line_at (BlFollowsPlot *self, double x)
{
  guint n = n_points (self), piece = 0;

  if (n < 2)
    return n == 1 ? y_of (self, 0) : NAN;
  while (piece + 2 < n && x >= x_of (self, piece + 1))
    piece++;
  double slope = (y_of (self, piece + 1) - y_of (self, piece)) / (x_of (self, piece + 1) - x_of (self, piece));
  return y_of (self, piece) + slope * (x - x_of (self, piece));
}

/* --- drawing --- */

static void
say (BlFollowsPlot *self, cairo_t *cr, const char *text, const BlColour *colour, double x, double y, double align)
{
  bl_style_text (GTK_WIDGET (self), cr, text, 11, 400, colour, x, y, align, 0);
}

static void
say_value (BlFollowsPlot *self, cairo_t *cr, BlMeasures measures, double value, double x, double y, double align)
{
  g_autofree char *text = bl_format_value (measures, value);
  say (self, cr, text, &bl_style_palette ()->muted, x, y, align);
}

/* Round steps of the scale: 1, 2 or 5 times a power of ten, some five of them. */
static double
step_of (double from, double to)
{
  double raw = (to - from) / 4, power = pow (10, floor (log10 (raw))), lead = raw / power;
  return power * (lead < 1.5 ? 1 : lead < 3.5 ? 2 : lead < 7.5 ? 5 : 10);
}

static void
draw_axes (BlFollowsPlot *self, cairo_t *cr, double width, double height)
{
  const BlPalette *palette = bl_style_palette ();
  double bottom = height - BOTTOM, right = width - RIGHT;
  double x_step = step_of (self->x0, self->x1), y_step = step_of (self->y0, self->y1);

  cairo_set_line_width (cr, 1);
  bl_set_source (cr, &palette->hairline);
  for (double y = ceil (self->y0 / y_step) * y_step; y <= self->y1; y += y_step)
    {
      double at = round (to_px_y (self, y)) + 0.5;
      cairo_move_to (cr, LEFT, at);
      cairo_line_to (cr, right, at);
      cairo_stroke (cr);
      say_value (self, cr, self->y_measures, fabs (y) < 1e-9 * y_step ? 0 : y, LEFT - 6, at, 1);
      bl_set_source (cr, &palette->hairline);
    }
  for (double x = ceil (self->x0 / x_step) * x_step; x <= self->x1; x += x_step)
    {
      double at = round (to_px_x (self, x)) + 0.5;
      cairo_move_to (cr, at, TOP);
      cairo_line_to (cr, at, bottom);
      cairo_stroke (cr);
      say_value (self, cr, self->x_measures, fabs (x) < 1e-9 * x_step ? 0 : x, at, bottom + 9, 0.5);
      bl_set_source (cr, &palette->hairline);
    }
  bl_set_source (cr, &palette->edge);
  cairo_rectangle (cr, LEFT + 0.5, TOP + 0.5, right - LEFT, bottom - TOP);
  cairo_stroke (cr);
  say (self, cr, self->x_name, &palette->ink, (LEFT + right) / 2, height - 8, 0.5);
}

static void
draw_lane (BlFollowsPlot *self, cairo_t *cr, double width)
{
  const BlPalette *palette = bl_style_palette ();
  const int n = 96;

  for (int i = 0; i <= 2 * n + 1; i++)
    {
      int step = i <= n ? i : 2 * n + 1 - i;
      double x = self->x0 + (self->x1 - self->x0) * step / n, y = line_at (self, x);
      double edge = y + (i <= n ? 1 : -1) * half_at (self, y);
      cairo_line_to (cr, to_px_x (self, x), to_px_y (self, edge));
    }
  cairo_close_path (cr);
  bl_set_source (cr, &palette->lane);
  cairo_fill_preserve (cr);
  bl_set_source_alpha (cr, &palette->lane_limit, 0.6);
  cairo_set_line_width (cr, 1);
  cairo_stroke (cr);
  bl_set_source (cr, &palette->lane_limit);
  cairo_set_line_width (cr, 2);
  for (int i = 0; i <= n; i++)
    {
      double x = self->x0 + (self->x1 - self->x0) * i / n;
      cairo_line_to (cr, to_px_x (self, x), to_px_y (self, line_at (self, x)));
    }
  cairo_stroke (cr);
}

/* What is expected at the other's nominal value, with the limits. */
static void
draw_typical (BlFollowsPlot *self, cairo_t *cr, double width, double height)
{
  static const double dashes[] = { 4, 3 };
  const BlPalette *palette = bl_style_palette ();
  double y = line_at (self, self->typical), x = to_px_x (self, self->typical);

  if (!isfinite (self->typical) || !isfinite (y))
    return;
  cairo_save (cr);
  cairo_set_dash (cr, dashes, 2, 0);
  cairo_set_line_width (cr, 1.2);
  bl_set_source (cr, &palette->ink);
  cairo_move_to (cr, x, height - BOTTOM);
  cairo_line_to (cr, x, to_px_y (self, y));
  cairo_line_to (cr, LEFT, to_px_y (self, y));
  cairo_stroke (cr);
  cairo_restore (cr);
}

static void
draw_points (BlFollowsPlot *self, cairo_t *cr)
{
  const BlPalette *palette = bl_style_palette ();
  gboolean focus = gtk_widget_has_focus (GTK_WIDGET (self));

  for (guint i = 0; i < n_points (self); i++)
    {
      double x = to_px_x (self, x_of (self, i)), y = to_px_y (self, y_of (self, i));
      double half = (int) i == self->chosen ? 5.5 : n_points (self) > 16 ? 2.5 : 4;
      cairo_rectangle (cr, x - half - CASING, y - half - CASING, 2 * (half + CASING), 2 * (half + CASING));
      bl_set_source (cr, &palette->raised);
      cairo_fill (cr);
      cairo_rectangle (cr, x - half, y - half, 2 * half, 2 * half);
      bl_set_source (cr, &palette->ink);
      cairo_fill (cr);
      if ((int) i == self->chosen && focus)
        {
          cairo_rectangle (cr, x - 9.5, y - 9.5, 19, 19);
          cairo_set_line_width (cr, 1.5);
          cairo_stroke (cr);
        }
    }
}

static void
bl_follows_plot_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  BlFollowsPlot *self = BL_FOLLOWS_PLOT (widget);
  double width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (0, 0, (float) width, (float) height));

  if (n_points (self) >= 2 && width > LEFT + RIGHT + 20 && height > TOP + BOTTOM + 20)
    {
      draw_axes (self, cr, width, height);
      cairo_save (cr);
      cairo_rectangle (cr, LEFT + 1, TOP + 1, width - LEFT - RIGHT - 1, height - TOP - BOTTOM - 1);
      cairo_clip (cr);
      draw_lane (self, cr, width);
      draw_typical (self, cr, width, height);
      cairo_restore (cr);
      draw_points (self, cr);
    }
  cairo_destroy (cr);
}

/* --- pointer --- */

static int
point_near (BlFollowsPlot *self, double x, double y)
{
  int found = -1;
  double best = HIT;

  for (guint i = 0; i < n_points (self); i++)
    {
      double away = fmax (fabs (to_px_x (self, x_of (self, i)) - x), fabs (to_px_y (self, y_of (self, i)) - y));
      if (away <= best)
        {
          best = away;
          found = (int) i;
        }
    }
  return found;
}

/* Three figures more than the scale shows are never meant. */
static double
tidy (double value, double range)
{
  double step = pow (10, floor (log10 (range / 500)));
  return round (value / step) * step;
}

/* A point stays between its neighbours. */
static void
send_moved (BlFollowsPlot *self, guint i, double x, double y, gboolean finished)
{
  double least = (self->x1 - self->x0) * 1e-3;

  x = tidy (x, self->x1 - self->x0);
  if (i > 0)
    x = fmax (x, x_of (self, i - 1) + least);
  if (i + 1 < n_points (self))
    x = fmin (x, x_of (self, i + 1) - least);
  g_signal_emit (self, signals[MOVED], 0, i, x, tidy (y, self->y1 - self->y0), finished);
}

static void
drag_begun (GtkGestureDrag *drag, double x, double y, BlFollowsPlot *self)
{
  self->held = point_near (self, x, y);
  gtk_widget_grab_focus (GTK_WIDGET (self));
  if (self->held < 0)
    return;
  self->chosen = self->held;
  self->from_x = x_of (self, (guint) self->held);
  self->from_y = y_of (self, (guint) self->held);
  gtk_gesture_set_state (GTK_GESTURE (drag), GTK_EVENT_SEQUENCE_CLAIMED);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
drag_to (BlFollowsPlot *self, double dx, double dy, gboolean finished)
{
  if (self->held < 0 || (guint) self->held >= n_points (self))
    return;
  send_moved (self, (guint) self->held, from_px_x (self, to_px_x (self, self->from_x) + dx),
              from_px_y (self, to_px_y (self, self->from_y) + dy), finished);
}

static void
drag_updated (GtkGestureDrag *drag, double dx, double dy, BlFollowsPlot *self)
{
  drag_to (self, dx, dy, FALSE);
}

static void
drag_ended (GtkGestureDrag *drag, double dx, double dy, BlFollowsPlot *self)
{
  if (dx != 0 || dy != 0)
    drag_to (self, dx, dy, TRUE);
  self->held = -1;
  fit_scales (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
pressed (GtkGestureClick *click, int n, double x, double y, BlFollowsPlot *self)
{
  guint button = gtk_gesture_single_get_current_button (GTK_GESTURE_SINGLE (click));
  int near = point_near (self, x, y);

  if (button == GDK_BUTTON_SECONDARY && near >= 0)
    g_signal_emit (self, signals[REMOVED], 0, (guint) near);
  else if (button == GDK_BUTTON_PRIMARY && n == 2 && near < 0)
    g_signal_emit (self, signals[ADDED], 0, tidy (from_px_x (self, x), self->x1 - self->x0),
                   tidy (from_px_y (self, y), self->y1 - self->y0));
}

/* --- keys --- */

static void
add_after (BlFollowsPlot *self)
{
  guint n = n_points (self), i = (guint) CLAMP (self->chosen, 0, (int) n - 2);

  if (n < 2)
    return;
  double x = (x_of (self, i) + x_of (self, i + 1)) / 2, y = line_at (self, x);
  g_signal_emit (self, signals[ADDED], 0, x, y);
}

static gboolean
move_by_key (BlFollowsPlot *self, guint keyval, GdkModifierType state)
{
  double part = (state & GDK_SHIFT_MASK) != 0 ? 0.002 : 0.02;
  double dx = (self->x1 - self->x0) * part, dy = (self->y1 - self->y0) * part;
  gboolean aside = (state & GDK_CONTROL_MASK) != 0;

  if (self->chosen < 0 || (guint) self->chosen >= n_points (self))
    return FALSE;
  dx *= !aside ? 0 : keyval == GDK_KEY_Right ? 1 : keyval == GDK_KEY_Left ? -1 : 0;
  dy *= keyval == GDK_KEY_Up ? 1 : keyval == GDK_KEY_Down ? -1 : 0;
  if (dx == 0 && dy == 0)
    return FALSE;
  send_moved (self, (guint) self->chosen, x_of (self, (guint) self->chosen) + dx,
              y_of (self, (guint) self->chosen) + dy, FALSE);
  return TRUE;
}

static gboolean
key_pressed (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state, BlFollowsPlot *self)
{
  int n = (int) n_points (self);

  if (n < 2)
    return GDK_EVENT_PROPAGATE;
  if (move_by_key (self, keyval, state))
    return GDK_EVENT_STOP;
  if (keyval == GDK_KEY_Left || keyval == GDK_KEY_Right)
    self->chosen = self->chosen < 0 ? 0 : CLAMP (self->chosen + (keyval == GDK_KEY_Right ? 1 : -1), 0, n - 1);
  else if (keyval == GDK_KEY_plus || keyval == GDK_KEY_KP_Add)
    add_after (self);
  else if ((keyval == GDK_KEY_Delete || keyval == GDK_KEY_BackSpace) && self->chosen >= 0)
    g_signal_emit (self, signals[REMOVED], 0, (guint) self->chosen);
  else
    return GDK_EVENT_PROPAGATE;
  gtk_widget_queue_draw (GTK_WIDGET (self));
  return GDK_EVENT_STOP;
}

static void
focus_left (BlFollowsPlot *self)
{
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

/* --- object --- */

static void
bl_follows_plot_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                         int *minimum_baseline, int *natural_baseline)
{
  *minimum = orientation == GTK_ORIENTATION_HORIZONTAL ? 260 : 170;
  *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? 420 : 190;
}

static void
bl_follows_plot_finalize (GObject *object)
{
  BlFollowsPlot *self = BL_FOLLOWS_PLOT (object);

  g_array_unref (self->points);
  g_free (self->x_name);
  g_free (self->tells);
  G_OBJECT_CLASS (bl_follows_plot_parent_class)->finalize (object);
}

static void
bl_follows_plot_class_init (BlFollowsPlotClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);
  GType type = BL_TYPE_FOLLOWS_PLOT;

  G_OBJECT_CLASS (klass)->finalize = bl_follows_plot_finalize;
  widget_class->snapshot = bl_follows_plot_snapshot;
  widget_class->measure = bl_follows_plot_measure;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
  signals[MOVED] = g_signal_new ("moved", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 4, G_TYPE_UINT,
                                 G_TYPE_DOUBLE, G_TYPE_DOUBLE, G_TYPE_BOOLEAN);
  signals[ADDED] = g_signal_new ("added", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 2, G_TYPE_DOUBLE,
                                 G_TYPE_DOUBLE);
  signals[REMOVED] = g_signal_new ("removed", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                                   G_TYPE_UINT);
}

static void
bl_follows_plot_init (BlFollowsPlot *self)
{
  GtkGesture *drag = gtk_gesture_drag_new (), *click = gtk_gesture_click_new ();
  GtkEventController *keys = gtk_event_controller_key_new (), *focus = gtk_event_controller_focus_new ();

  self->points = g_array_new (FALSE, FALSE, sizeof (double));
  self->chosen = self->held = -1;
  self->typical = NAN;
  self->x1 = self->y1 = 1;
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
  gtk_widget_set_hexpand (GTK_WIDGET (self), TRUE);
  g_signal_connect (drag, "drag-begin", G_CALLBACK (drag_begun), self);
  g_signal_connect (drag, "drag-update", G_CALLBACK (drag_updated), self);
  g_signal_connect (drag, "drag-end", G_CALLBACK (drag_ended), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (drag));
  gtk_gesture_single_set_button (GTK_GESTURE_SINGLE (click), 0);
  g_signal_connect (click, "pressed", G_CALLBACK (pressed), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (click));
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
  g_signal_connect_swapped (focus, "enter", G_CALLBACK (focus_left), self);
  g_signal_connect_swapped (focus, "leave", G_CALLBACK (focus_left), self);
  gtk_widget_add_controller (GTK_WIDGET (self), focus);
  bl_style_watch (GTK_WIDGET (self));
}

GtkWidget *
bl_follows_plot_new (void)
{
  return g_object_new (BL_TYPE_FOLLOWS_PLOT, NULL);
}

/* "at 230 V AC of LN 310.6 – 336.4 V DC are expected" (transfer full) */
static char *
tell (BlFollowsPlot *self, const BlMeasurement *measurement, const char *other)
{
  double y = line_at (self, self->typical);
  g_autofree char *unit = bl_format_unit (self->y_measures), *other_unit = bl_format_unit (self->x_measures);

  if (!isfinite (y))
    return g_strdup_printf (_ ("%s follows %s along %u points"), measurement->id, other, n_points (self));
  g_autofree char *x = bl_format_value (self->x_measures, self->typical);
  g_autofree char *low = bl_format_value (self->y_measures, y - half_at (self, y));
  g_autofree char *high = bl_format_value (self->y_measures, y + half_at (self, y));
  return g_strdup_printf (_ ("%s follows %s along %u points: at %s %s it is expected from %s to %s %s"),
                          measurement->id, other, n_points (self), x, other_unit, low, high, unit);
}

void
bl_follows_plot_show (BlFollowsPlot *self, const BlMeasurement *measurement, const BlMeasurement *followed)
{
  g_return_if_fail (BL_IS_FOLLOWS_PLOT (self) && measurement != NULL && measurement->expected.follows != NULL);
  const BlFollows *follows = measurement->expected.follows;

  g_array_set_size (self->points, 0);
  if (follows->points != NULL)
    g_array_append_vals (self->points, follows->points->data, follows->points->len / 2 * 2);
  self->share = isnan (follows->tolerance) ? 0 : follows->tolerance;
  self->within = isnan (follows->within.value) ? 0 : follows->within.value;
  self->y_measures = measurement->measures;
  self->x_measures = followed != NULL ? followed->measures : measurement->measures;
  self->typical = followed != NULL ? bl_measurement_typical (followed) : NAN;
  if (self->chosen >= (int) n_points (self))
    self->chosen = -1;
  g_autofree char *unit = bl_format_unit (self->y_measures), *other_unit = bl_format_unit (self->x_measures);
  g_free (self->x_name);
  /* Translators: what is drawn, as in "BUS in V DC over the reading of LN in V AC" */
  self->x_name = g_strdup_printf (_ ("%s in %s over the reading of %s in %s"), measurement->id, unit,
                                  follows->measurement, other_unit);
  g_free (self->tells);
  self->tells = tell (self, measurement, follows->measurement);
  bl_widget_name (GTK_WIDGET (self), self->tells);
  gtk_widget_set_tooltip_text (GTK_WIDGET (self),
                               _ ("Drag a point; double click adds one, the right button removes it"));
  if (self->held < 0)
    fit_scales (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

gboolean
bl_follows_plot_place (BlFollowsPlot *self, guint index, double *x, double *y)
{
  g_return_val_if_fail (BL_IS_FOLLOWS_PLOT (self) && x != NULL && y != NULL, FALSE);
  if (index >= n_points (self))
    return FALSE;
  *x = to_px_x (self, x_of (self, index));
  *y = to_px_y (self, y_of (self, index));
  return TRUE;
}
