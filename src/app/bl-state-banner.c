/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The state banner.
 *
 * The first word is the state; colour, hatch and word agree. It never says that a board is dead or
 * safe, only what was declared and what was proved. A state that ends by itself shows the time left,
 * stepping once a second. Where the point in hand stands on dangerous ground, or the two leads stand
 * on different grounds, that is said here, because here it is never folded away. */
#include "config.h"

#include "bl-state-banner.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-bench-safe.h"
#include "bl-style.h"

#define LEAST_WORDS 90 /* px below which words say nothing */

struct _BlStateBanner
{
  GtkWidget parent_instance;

  BlBench *bench;
  GtkWidget *word, *warning, *where, *state, *left, *change, *cap;
  int height;
  BlHazard hazard;
  BlOhmsProof ohms; /* as it was shown: it changes with the time */
  double share;   /* of the time left, 0 to 1; NAN: the state does not end by itself */
  guint tick;
};

G_DEFINE_FINAL_TYPE (BlStateBanner, bl_state_banner, GTK_TYPE_WIDGET)

/* --- words --- */

static char *
clock_text (gint64 time)
{
  g_autoptr (GDateTime) utc = g_date_time_new_from_unix_utc (time / G_USEC_PER_SEC);
  g_autoptr (GDateTime) local = g_date_time_to_local (utc);
  return g_date_time_format (local, "%H:%M");
}

static char *
word_text (BlStateBanner *self, const BlState *state)
{
  switch (self->hazard)
    {
    case BL_HAZARD_HIGH:
    case BL_HAZARD_LOW:
      if (state != NULL && isfinite (state->volts))
        return g_strdup_printf (_ ("LIVE %g V"), state->volts);
      return g_strdup (_ ("LIVE, voltage unknown"));
    case BL_HAZARD_UNPROVEN:
    case BL_HAZARD_PROVEN:
      return g_strdup (_ ("Declared unpowered"));
    case BL_HAZARD_UNKNOWN:
    default:
      return g_strdup (state != NULL ? _ ("Live or not: not said") : _ ("State not set"));
    }
}

static const BlTestPoint *
point_of (BlBench *bench, const char *id)
{
  return id != NULL ? bl_board_test_point (bl_bench_get_board (bench), id) : NULL;
}

/* A warning about the point in hand, or NULL. (transfer full) */
static char *
point_warning (BlBench *bench)
{
  BlMeasurementItem *item = bl_bench_get_current (bench);
  const BlMeasurement *measurement = item != NULL ? bl_measurement_item_get_measurement (item) : NULL;
  const BlTestPoint *at = measurement != NULL ? point_of (bench, measurement->at) : NULL;
  char *grounds = item != NULL ? bl_bench_grounds_words (bench, item) : NULL;

  if (grounds != NULL || at == NULL || at->ground == NULL)
    return grounds;
  if (g_str_equal (at->ground, "hot") || g_str_equal (at->ground, "mains"))
    return g_strdup_printf (_ ("%s stands at mains potential"), at->id);
  return NULL;
}

static char *
where_text (BlStateBanner *self)
{
  g_autofree char *time = NULL;
  gint64 proof = bl_bench_get_proof_time (self->bench);
  BlSafeCharge charge;

  switch (self->hazard)
    {
    case BL_HAZARD_UNPROVEN:
      if (bl_bench_get_charge (self->bench, &charge))
        return g_strdup (isinf (charge.part.r) ? _ ("no proof of dead: Ctrl D; nothing bleeds the capacitor")
                                               : _ ("no proof of dead: Ctrl D; a failed bleeder bleeds nothing"));
      return g_strdup (_ ("no proof of dead: Ctrl D; readings are kept and flagged"));
    case BL_HAZARD_PROVEN:
      time = clock_text (proof);
      if (self->ohms == BL_OHMS_OLD || self->ohms == BL_OHMS_NOT_BELOW)
        return g_strdup_printf (_ ("proof of dead taken %s; for ohms prove it below %g V again: Ctrl D"), time,
                                bl_bench_get_limits (self->bench)->ohms_below);
      return g_strdup_printf (_ ("proof of dead taken %s; void after any live state"), time);
    case BL_HAZARD_UNKNOWN:
      return g_strdup (bl_bench_get_state (self->bench) != NULL
                         ? _ ("the document does not say whether this state is live; take it for live")
                         : _ ("say what state the board is in; until then take it for live"));
    case BL_HAZARD_LOW:
      return g_strdup_printf (_ ("up to %g V"), bl_bench_get_limits (self->bench)->shock_dc);
    case BL_HAZARD_HIGH:
    default:
      return g_strdup (_ ("mains and DC link kill, also after switch-off"));
    }
}

/* The time a state lasts. (transfer full) */
static char *
lasting_text (BlStateBanner *self, double left)
{
  g_autofree char *time = bl_clock_words (fabs (left));

  self->share = CLAMP (left / bl_bench_get_state (self->bench)->lasts_s, 0, 1);
  if (left > 0)
    return g_strdup_printf (_ ("drops out in %s"), time);
  return g_strdup_printf (_ ("ran out %s ago: state again"), time);
}

/* The time a charge stays, by the values of the parts alone. (transfer full) */
static char *
charge_text (BlStateBanner *self, const BlSafeCharge *charge)
{
  const BlSafeLimits *limits = bl_bench_get_limits (self->bench);
  g_autofree char *shock = bl_clock_words (charge->to_shock_s - charge->gone_s);
  g_autofree char *ohms = bl_clock_words (charge->to_ohms_s - charge->gone_s);

  if (isinf (charge->part.r))
    return g_strdup_printf (_ ("%s may hold %.0f V"), charge->part.capacitor->id, charge->from);
  self->share = CLAMP (1 - charge->gone_s / charge->to_ohms_s, 0, 1);
  if (charge->gone_s < charge->to_shock_s)
    return g_strdup_printf (_ ("%g V in %s, %g V in %s"), limits->shock_dc, shock, limits->ohms_below, ohms);
  if (charge->gone_s < charge->to_ohms_s)
    return g_strdup_printf (_ ("%g V in %s"), limits->ohms_below, ohms);
  return g_strdup_printf (_ ("below %g V if %s bleeds"), limits->ohms_below, charge->part.bleeder->id);
}

static void
update_time (BlStateBanner *self)
{
  double left = self->bench != NULL ? bl_bench_left_s (self->bench) : NAN;
  BlSafeCharge charge;
  g_autofree char *text = NULL, *tip = NULL;

  self->share = NAN;
  if (!isnan (left))
    text = lasting_text (self, left);
  else if (self->bench != NULL && self->hazard == BL_HAZARD_UNPROVEN && bl_bench_get_charge (self->bench, &charge))
    {
      g_autofree char *words = bl_charge_words (&charge, bl_bench_get_limits (self->bench));
      tip = g_strdup_printf ("%s %s", words, bl_charge_caution (&charge));
      text = charge_text (self, &charge);
    }
  gtk_label_set_label (GTK_LABEL (self->left), text != NULL ? text : "");
  gtk_widget_set_tooltip_text (self->left, tip);
  gtk_widget_set_visible (self->left, text != NULL);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
update (BlStateBanner *self)
{
  static const char *const classes[] = { "hz-unknown", "hz-unproven", "hz-proven", "hz-low", "hz-high" };
  const BlState *state;
  g_autofree char *word = NULL, *warning = NULL, *where = NULL, *words = NULL, *name = NULL;

  if (self->bench == NULL)
    return;
  state = bl_bench_get_state (self->bench);
  self->hazard = bl_bench_get_hazard (self->bench);
  self->ohms = bl_bench_ohms_proof (self->bench);
  for (guint i = 0; i < G_N_ELEMENTS (classes); i++)
    gtk_widget_remove_css_class (GTK_WIDGET (self), classes[i]);
  gtk_widget_add_css_class (GTK_WIDGET (self), classes[self->hazard]);
  word = word_text (self, state);
  warning = point_warning (self->bench);
  where = where_text (self);
  words = state != NULL ? g_strdup_printf (_ ("state: %s"), state->title != NULL ? state->title : state->id)
                        : g_strdup ("");
  gtk_label_set_label (GTK_LABEL (self->word), word);
  gtk_label_set_label (GTK_LABEL (self->warning), warning != NULL ? warning : "");
  gtk_widget_set_visible (self->warning, warning != NULL);
  gtk_label_set_label (GTK_LABEL (self->where), where);
  gtk_label_set_label (GTK_LABEL (self->state), words);
  name = warning != NULL ? g_strdup_printf ("%s. %s. %s. %s", word, warning, where, words)
                         : g_strdup_printf ("%s. %s. %s", word, where, words);
  bl_widget_name (GTK_WIDGET (self), name);
  update_time (self);
}

static gboolean
each_second (gpointer data)
{
  BlStateBanner *self = data;

  /* With the time a proof gets old. */
  if (self->bench != NULL && bl_bench_ohms_proof (self->bench) != self->ohms)
    update (self);
  else
    update_time (self);
  return G_SOURCE_CONTINUE;
}

/* --- drawing --- */

static void
draw_hatch (cairo_t *cr, double w, double h, const BlColour *light, const BlColour *dark_colour)
{
  double step = h / 2.25;

  cairo_save (cr);
  cairo_rectangle (cr, 0, 0, w, h);
  bl_set_source (cr, light);
  cairo_fill_preserve (cr);
  cairo_clip (cr);
  cairo_set_line_width (cr, step / 2);
  bl_set_source (cr, dark_colour);
  for (double x = -h; x < w + h; x += step)
    {
      cairo_move_to (cr, x, h + 4);
      cairo_line_to (cr, x + h + 8, -4);
    }
  cairo_stroke (cr);
  cairo_restore (cr);
}

/* The bolt in a triangle. */
static void
draw_bolt (cairo_t *cr, double cx, double cy, double size, const BlColour *light, const BlColour *dark_colour)
{
  double r = size / 2;

  cairo_move_to (cr, cx, cy - r);
  cairo_line_to (cr, cx + r * 1.1, cy + r * 0.85);
  cairo_line_to (cr, cx - r * 1.1, cy + r * 0.85);
  cairo_close_path (cr);
  cairo_set_line_join (cr, CAIRO_LINE_JOIN_ROUND);
  bl_set_source (cr, light);
  cairo_fill_preserve (cr);
  bl_set_source (cr, dark_colour);
  cairo_set_line_width (cr, size * 0.09);
  cairo_stroke (cr);
  cairo_move_to (cr, cx + r * 0.12, cy - r * 0.5);
  cairo_line_to (cr, cx - r * 0.3, cy + r * 0.2);
  cairo_line_to (cr, cx - r * 0.02, cy + r * 0.2);
  cairo_line_to (cr, cx - r * 0.14, cy + r * 0.72);
  cairo_line_to (cr, cx + r * 0.32, cy - r * 0.05);
  cairo_line_to (cr, cx + r * 0.03, cy - r * 0.05);
  cairo_close_path (cr);
  cairo_fill (cr);
}

/* An open contact: two terminals and a lifted blade. */
static void
draw_open_contact (cairo_t *cr, double cx, double cy, double size, const BlColour *ink)
{
  double r = size / 2;

  bl_set_source (cr, ink);
  cairo_set_line_width (cr, size * 0.09);
  cairo_arc (cr, cx - r * 0.55, cy + r * 0.2, r * 0.17, 0, 2 * G_PI);
  cairo_stroke (cr);
  cairo_arc (cr, cx + r * 0.55, cy + r * 0.2, r * 0.17, 0, 2 * G_PI);
  cairo_stroke (cr);
  cairo_move_to (cr, cx - r * 0.45, cy + r * 0.08);
  cairo_line_to (cr, cx + r * 0.4, cy - r * 0.5);
  cairo_move_to (cr, cx - r, cy + r * 0.2);
  cairo_line_to (cr, cx - r * 0.72, cy + r * 0.2);
  cairo_move_to (cr, cx + r * 0.72, cy + r * 0.2);
  cairo_line_to (cr, cx + r, cy + r * 0.2);
  cairo_stroke (cr);
}

static void
draw_block (BlStateBanner *self, cairo_t *cr, double h)
{
  const BlPalette *palette = bl_style_palette ();
  const BlColour black = { 0.09, 0.094, 0.1 }, grey = { 0.72, 0.71, 0.69 }, light_grey = { 0.87, 0.86, 0.83 };
  double w = 1.25 * h;

  switch (self->hazard)
    {
    case BL_HAZARD_HIGH:
    case BL_HAZARD_UNPROVEN:
      draw_hatch (cr, w, h, &palette->likely, &black);
      draw_bolt (cr, w / 2, h / 2, h * 0.82, &palette->likely, &black);
      break;
    case BL_HAZARD_LOW:
      draw_hatch (cr, w, h, &palette->banner_limited, &black);
      break;
    case BL_HAZARD_PROVEN:
      cairo_rectangle (cr, 0, 0, w, h);
      bl_set_source (cr, &black);
      cairo_fill (cr);
      draw_open_contact (cr, w / 2, h / 2, h * 0.7, &palette->chip_ink);
      break;
    case BL_HAZARD_UNKNOWN:
    default:
      draw_hatch (cr, w, h, &light_grey, &grey);
      bl_style_text (GTK_WIDGET (self), cr, "?", h * 0.6, 800, &black, w / 2, h / 2, 0.5, 0);
      break;
    }
}

/* The bar under the time left. */
static void
draw_bar (BlStateBanner *self, cairo_t *cr)
{
  graphene_rect_t box;
  const BlPalette *palette = bl_style_palette ();
  const BlColour *ink = self->hazard == BL_HAZARD_HIGH ? &palette->banner_live_ink : &palette->likely_ink;

  if (isnan (self->share) || !gtk_widget_compute_bounds (self->left, GTK_WIDGET (self), &box))
    return;
  double y = MIN (box.origin.y + box.size.height / 2 + self->height * 0.26, self->height - 6);
  cairo_rectangle (cr, box.origin.x, y, box.size.width, self->height / 10.0);
  bl_set_source_alpha (cr, ink, 0.35);
  cairo_fill (cr);
  cairo_rectangle (cr, box.origin.x, y, box.size.width * self->share, self->height / 10.0);
  bl_set_source (cr, ink);
  cairo_fill (cr);
}

static void
bl_state_banner_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  BlStateBanner *self = BL_STATE_BANNER (widget);
  int width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (0, 0, (float) width, (float) height));

  draw_block (self, cr, height);
  draw_bar (self, cr);
  cairo_destroy (cr);
  GTK_WIDGET_CLASS (bl_state_banner_parent_class)->snapshot (widget, snapshot);
}

/* --- layout: block, word, warning, where, then from the right: cap, change, time left, state --- */

static void
bl_state_banner_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                         int *minimum_baseline, int *natural_baseline)
{
  BlStateBanner *self = BL_STATE_BANNER (widget);

  *minimum = orientation == GTK_ORIENTATION_HORIZONTAL ? 320 : self->height;
  *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? 1280 : self->height;
}

static int
natural_width (GtkWidget *child)
{
  int natural = 0;

  if (gtk_widget_get_visible (child))
    gtk_widget_measure (child, GTK_ORIENTATION_HORIZONTAL, -1, NULL, &natural, NULL, NULL);
  return natural;
}

static void
place (GtkWidget *child, int x, int width, int height)
{
  int natural, minimum;

  gtk_widget_measure (child, GTK_ORIENTATION_HORIZONTAL, -1, &minimum, NULL, NULL, NULL);
  gtk_widget_set_child_visible (child, width >= minimum);
  width = MAX (width, minimum);
  gtk_widget_measure (child, GTK_ORIENTATION_VERTICAL, width, NULL, &natural, NULL, NULL);
  natural = MIN (natural, height);
  gtk_widget_size_allocate (child, &(GtkAllocation){ x, (height - natural) / 2, width, natural }, -1);
}

/* Not at all where less than some words would be read. */
static void
place_if (GtkWidget *child, int x, int width, int height)
{
  gboolean fits = width >= MIN (natural_width (child), LEAST_WORDS);

  place (child, x, width, height);
  gtk_widget_set_child_visible (child, fits && width > 0);
}

static int
least_width (GtkWidget *child)
{
  int minimum;

  gtk_widget_measure (child, GTK_ORIENTATION_HORIZONTAL, -1, &minimum, NULL, NULL, NULL);
  return minimum;
}

static void
bl_state_banner_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  BlStateBanner *self = BL_STATE_BANNER (widget);
  int left = (int) (1.25 * height) + 12, right = width - 12, w;

  w = natural_width (self->cap);
  place (self->cap, right - w, w, height);
  right -= w + 8;
  w = natural_width (self->change);
  place (self->change, right - w, w, height);
  right -= w + 20;
  if (gtk_widget_get_visible (self->left))
    {
      w = natural_width (self->left);
      place (self->left, right - w, w, height - height / 5);
      right -= w + 24;
    }
  w = MIN (natural_width (self->word), MAX (80, right - left));
  place (self->word, left, w, height);
  left += w + 14;
  if (gtk_widget_get_visible (self->warning))
    {
      /* Never cut: where it is too long for its line it takes two, and all the rest gives way. */
      w = MIN (natural_width (self->warning), MAX (least_width (self->warning), right - left));
      place (self->warning, left, w, height);
      left += w + 16;
    }
  w = natural_width (self->where);
  if (w > right - left)
    w = MAX (0, right - left);
  place_if (self->where, left, w, height);
  left += w + 16;
  w = MIN (natural_width (self->state), MAX (0, right - left));
  place_if (self->state, right - w, w, height);
}

static void
bl_state_banner_dispose (GObject *object)
{
  BlStateBanner *self = BL_STATE_BANNER (object);
  GtkWidget *child;

  g_clear_handle_id (&self->tick, g_source_remove);
  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_clear_object (&self->bench);
  while ((child = gtk_widget_get_first_child (GTK_WIDGET (object))) != NULL)
    gtk_widget_unparent (child);
  G_OBJECT_CLASS (bl_state_banner_parent_class)->dispose (object);
}

static void
bl_state_banner_class_init (BlStateBannerClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_state_banner_dispose;
  widget_class->snapshot = bl_state_banner_snapshot;
  widget_class->measure = bl_state_banner_measure;
  widget_class->size_allocate = bl_state_banner_size_allocate;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
  gtk_widget_class_set_css_name (widget_class, "statebanner");
}

static GtkWidget *
add_label (BlStateBanner *self, const char *text, const char *classes)
{
  GtkWidget *label = bl_label (text, classes, 0);

  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_widget_set_parent (label, GTK_WIDGET (self));
  return label;
}

/* The whole banner leads where F2 does. */
static void
pressed (GtkWidget *self)
{
  gtk_widget_activate_action (self, "bench.state", NULL);
}

static void
bl_state_banner_init (BlStateBanner *self)
{
  GtkGesture *click = gtk_gesture_click_new ();

  g_signal_connect_object (click, "released", G_CALLBACK (pressed), self, G_CONNECT_SWAPPED);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (click));
  self->height = 36;
  self->share = NAN;
  gtk_widget_add_css_class (GTK_WIDGET (self), "banner");
  gtk_widget_set_overflow (GTK_WIDGET (self), GTK_OVERFLOW_HIDDEN);
  self->word = add_label (self, "", "banner-word");
  self->warning = add_label (self, "", "banner-where");
  gtk_label_set_ellipsize (GTK_LABEL (self->warning), PANGO_ELLIPSIZE_NONE);
  gtk_label_set_wrap (GTK_LABEL (self->warning), TRUE);
  self->where = add_label (self, "", "banner-where");
  self->state = add_label (self, "", NULL);
  self->left = add_label (self, "", "banner-where");
  self->change = add_label (self, _ ("change state"), NULL);
  gtk_label_set_ellipsize (GTK_LABEL (self->change), PANGO_ELLIPSIZE_NONE);
  gtk_label_set_ellipsize (GTK_LABEL (self->left), PANGO_ELLIPSIZE_NONE);
  self->cap = bl_key_cap ("F2");
  gtk_widget_set_parent (self->cap, GTK_WIDGET (self));
  self->tick = g_timeout_add_seconds (1, each_second, self);
  bl_style_watch (GTK_WIDGET (self));
}

GtkWidget *
bl_state_banner_new (void)
{
  return g_object_new (BL_TYPE_STATE_BANNER, NULL);
}

void
bl_state_banner_set_bench (BlStateBanner *self, BlBench *bench)
{
  g_return_if_fail (BL_IS_STATE_BANNER (self));
  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_set_object (&self->bench, bench);
  if (bench == NULL)
    return;
  g_signal_connect_object (bench, "changed", G_CALLBACK (update), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (bench, "notify::current", G_CALLBACK (update), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (bench, "notify::state", G_CALLBACK (update), self, G_CONNECT_SWAPPED);
  update (self);
}

void
bl_state_banner_set_height (BlStateBanner *self, int height)
{
  g_return_if_fail (BL_IS_STATE_BANNER (self) && height > 0);
  self->height = height;
  if (height > 50)
    gtk_widget_add_css_class (GTK_WIDGET (self), "tall");
  else
    gtk_widget_remove_css_class (GTK_WIDGET (self), "tall");
  gtk_widget_queue_resize (GTK_WIDGET (self));
}
