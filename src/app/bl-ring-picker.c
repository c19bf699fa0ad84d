/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bands of colour, to be read off a component one by one. The colour itself never stands alone: its name is
 * below it, with what it says at that place. It knows nothing of the value: whoever listens reads it. */
#include "config.h"

#include "bl-ring-picker.h"

#include <glib/gi18n-lib.h>

#include "bl-chooser.h"
#include "bl-style.h"

struct _BlRingPicker
{
  GtkWidget parent_instance;

  GtkWidget *box, *counts[BL_MAX_RINGS + 1], *drawing, *columns;
  GtkWidget *choosers[BL_MAX_RINGS], *places[BL_MAX_RINGS];
  BlRing rings[BL_MAX_RINGS];
  guint n;
  gboolean setting; /* the count is being shown, not chosen */
};

enum
{
  CHANGED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlRingPicker, bl_ring_picker, GTK_TYPE_WIDGET)

#define DRAWING_HEIGHT 34

/* As the bands look on a body of enamel; not to be measured. */
static const BlColour paints[BL_N_RINGS] = {
  [BL_RING_BLACK] = { 0.09, 0.09, 0.10 },  [BL_RING_BROWN] = { 0.45, 0.26, 0.11 },
  [BL_RING_RED] = { 0.80, 0.09, 0.13 },    [BL_RING_ORANGE] = { 0.96, 0.51, 0.05 },
  [BL_RING_YELLOW] = { 0.98, 0.85, 0.10 }, [BL_RING_GREEN] = { 0.09, 0.53, 0.24 },
  [BL_RING_BLUE] = { 0.11, 0.36, 0.76 },   [BL_RING_VIOLET] = { 0.49, 0.24, 0.64 },
  [BL_RING_GREY] = { 0.54, 0.54, 0.55 },   [BL_RING_WHITE] = { 0.98, 0.98, 0.97 },
  [BL_RING_GOLD] = { 0.74, 0.58, 0.16 },   [BL_RING_SILVER] = { 0.75, 0.77, 0.79 },
  [BL_RING_PINK] = { 0.96, 0.62, 0.70 },
};
static const BlColour enamel = { 0.90, 0.84, 0.71 }, outline = { 0.28, 0.25, 0.20 }, shine = { 1, 1, 1 };

/* --- drawing --- */

/* Metal shows by strokes across it: gold and silver are told from yellow and grey without their hue. */
static void
draw_metal (cairo_t *cr, double x, double y, double width, double height)
{
  cairo_save (cr);
  cairo_rectangle (cr, x, y, width, height);
  cairo_clip (cr);
  bl_set_source_alpha (cr, &shine, 0.7);
  cairo_set_line_width (cr, 1.5);
  for (double at = -height; at < width; at += 6)
    {
      cairo_move_to (cr, x + at, y + height);
      cairo_line_to (cr, x + at + height, y);
    }
  cairo_stroke (cr);
  cairo_restore (cr);
}

static void
draw_band (cairo_t *cr, BlRing ring, double x, double y, double width, double height)
{
  bl_set_source (cr, &paints[ring]);
  cairo_rectangle (cr, x, y, width, height);
  cairo_fill (cr);
  if (ring == BL_RING_GOLD || ring == BL_RING_SILVER)
    draw_metal (cr, x, y, width, height);
  bl_set_source (cr, &outline);
  cairo_set_line_width (cr, 1);
  cairo_rectangle (cr, x + 0.5, y + 0.5, width - 1, height - 1);
  cairo_stroke (cr);
}

/* The component on its wire; each band in the middle of its column. */
static void
draw (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  BlRingPicker *self = data;
  double column = (double) width / self->n, middle = height / 2.0;

  bl_set_source (cr, &bl_style_palette ()->edge);
  cairo_rectangle (cr, 0, middle - 1.5, width, 3);
  cairo_fill (cr);
  bl_set_source (cr, &enamel);
  cairo_rectangle (cr, column * 0.2, 1, width - column * 0.4, height - 2);
  cairo_fill_preserve (cr);
  bl_set_source (cr, &outline);
  cairo_set_line_width (cr, 1);
  cairo_stroke (cr);
  for (guint i = 0; i < self->n; i++)
    draw_band (cr, self->rings[i], floor (column * (i + 0.5) - 11), 1, 22, height - 2);
}

/* --- words --- */

static const char *
place_words (guint n, guint i)
{
  static const char *const digits[] = { N_ ("1st digit"), N_ ("2nd digit"), N_ ("3rd digit") };

  switch (bl_ring_place (n, i))
    {
    case BL_RING_DIGIT:
      return _ (digits[MIN (i, 2)]);
    case BL_RING_MULTIPLIER:
      return _ ("times");
    case BL_RING_TOLERANCE:
      return _ ("tolerance");
    case BL_RING_DRIFT:
    default:
      return _ ("ppm/K");
    }
}

/* "yellow 4", "red ×100", "gold ±5 %"; the name alone where the colour says nothing. (transfer full) */
static char *
ring_words (BlRing ring, BlRingPlace place)
{
  double says = bl_ring_says (ring, place, FALSE, NULL);
  g_autofree char *times = place == BL_RING_MULTIPLIER ? bl_ring_multiplier ((int) says) : NULL;

  if (isnan (says))
    return g_strdup_printf (_ ("%s –"), bl_ring_name (ring));
  switch (place)
    {
    case BL_RING_MULTIPLIER:
      return g_strdup_printf ("%s ×%s", bl_ring_name (ring), times);
    case BL_RING_TOLERANCE:
      return g_strdup_printf ("%s ±%g %%", bl_ring_name (ring), says * 100);
    case BL_RING_DIGIT:
    case BL_RING_DRIFT:
    default:
      return g_strdup_printf ("%s %g", bl_ring_name (ring), says);
    }
}

static void
show (BlRingPicker *self)
{
  self->setting = TRUE;
  for (guint i = BL_MIN_RINGS; i <= BL_MAX_RINGS; i++)
    gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->counts[i]), i == self->n);
  self->setting = FALSE;
  for (guint i = 0; i < BL_MAX_RINGS; i++)
    {
      GtkWidget *column = gtk_widget_get_parent (self->choosers[i]);
      gtk_widget_set_visible (column, i < self->n);
      if (i >= self->n)
        continue;
      g_autofree char *words = ring_words (self->rings[i], bl_ring_place (self->n, i));
      gtk_label_set_label (GTK_LABEL (self->places[i]), place_words (self->n, i));
      bl_chooser_show (BL_CHOOSER (self->choosers[i]), bl_ring_letters (self->rings[i]), words, FALSE);
    }
  gtk_widget_queue_draw (self->drawing);
}

/* --- choosing --- */

static guint
index_of (BlRingPicker *self, GtkWidget *chooser)
{
  for (guint i = 0; i < BL_MAX_RINGS; i++)
    if (self->choosers[i] == chooser)
      return i;
  g_assert_not_reached ();
}

static void
set_ring (BlRingPicker *self, guint i, BlRing ring)
{
  if (self->rings[i] == ring)
    return;
  self->rings[i] = ring;
  show (self);
  g_signal_emit (self, signals[CHANGED], 0);
}

static void
fill (BlChooser *chooser, BlRingPicker *self)
{
  BlRingPlace place = bl_ring_place (self->n, index_of (self, GTK_WIDGET (chooser)));

  for (BlRing ring = 0; ring < BL_N_RINGS; ring++)
    {
      g_autofree char *words = ring_words (ring, place);
      /* A component held the wrong way round has any colour anywhere. */
      bl_chooser_add (chooser, bl_ring_letters (ring), words);
    }
}

static void
chosen (BlChooser *chooser, const char *value, BlRingPicker *self)
{
  for (BlRing ring = 0; ring < BL_N_RINGS; ring++)
    if (g_strcmp0 (bl_ring_letters (ring), value) == 0)
      set_ring (self, index_of (self, GTK_WIDGET (chooser)), ring);
}

static void
count_toggled (GtkToggleButton *button, BlRingPicker *self)
{
  guint n = GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (button), "count"));

  if (self->setting)
    return;
  if (n == self->n || !gtk_toggle_button_get_active (button))
    {
      show (self);
      return;
    }
  /* A digit comes or goes before the multiplier, the rest behind it. */
  if (self->n < 5 && n >= 5)
    {
      for (guint i = BL_MAX_RINGS - 1; i > 2; i--)
        self->rings[i] = self->rings[i - 1];
      self->rings[2] = BL_RING_BLACK;
    }
  else if (self->n >= 5 && n < 5)
    for (guint i = 2; i + 1 < BL_MAX_RINGS; i++)
      self->rings[i] = self->rings[i + 1];
  self->n = n;
  show (self);
  g_signal_emit (self, signals[CHANGED], 0);
}

/* --- keys and the mouse --- */

/* The band that has the focus, and not its open list; -1: none. */
static int
focused (BlRingPicker *self)
{
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  GtkWidget *focus = root != NULL ? gtk_root_get_focus (root) : NULL;

  if (focus == NULL || gtk_widget_get_ancestor (focus, GTK_TYPE_POPOVER) != NULL)
    return -1;
  for (guint i = 0; i < self->n; i++)
    if (focus == self->choosers[i] || gtk_widget_is_ancestor (focus, self->choosers[i]))
      return (int) i;
  return -1;
}

static gboolean
ring_of_key (guint keyval, BlRing *ring)
{
  gunichar c = g_unichar_tolower (gdk_keyval_to_unicode (keyval));

  if (c >= '0' && c <= '9')
    *ring = (BlRing) (c - '0');
  else if (c == 'g')
    *ring = BL_RING_GOLD;
  else if (c == 's')
    *ring = BL_RING_SILVER;
  else if (c == 'p')
    *ring = BL_RING_PINK;
  else
    return FALSE;
  return TRUE;
}

static gboolean
key_pressed (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state, BlRingPicker *self)
{
  int i = focused (self);
  guint next = i < 0 ? 0 : MIN ((guint) i + 1, self->n - 1);
  BlRing ring;

  if (i < 0 || (state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) != 0)
    return GDK_EVENT_PROPAGATE;
  if (keyval == GDK_KEY_Left || keyval == GDK_KEY_KP_Left)
    gtk_widget_grab_focus (self->choosers[MAX (i, 1) - 1]);
  else if (keyval == GDK_KEY_Right || keyval == GDK_KEY_KP_Right)
    gtk_widget_grab_focus (self->choosers[next]);
  else if (ring_of_key (keyval, &ring))
    {
      set_ring (self, (guint) i, ring);
      gtk_widget_grab_focus (self->choosers[next]);
    }
  else
    return GDK_EVENT_PROPAGATE;
  return GDK_EVENT_STOP;
}

static void
drawing_pressed (GtkGestureClick *gesture, int n_press, double x, double y, BlRingPicker *self)
{
  double column = (double) gtk_widget_get_width (self->drawing) / self->n;
  guint i = MIN ((guint) MAX (x / column, 0), self->n - 1);

  gtk_widget_grab_focus (self->choosers[i]);
}

/* --- object --- */

static GtkWidget *
make_counts (BlRingPicker *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *group = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);
  GtkWidget *keys = bl_label (_ ("on a band: 0–9, g gold, s silver, p pink, ← →"), "muted small stretch", 0);

  for (guint i = BL_MIN_RINGS; i <= BL_MAX_RINGS; i++)
    {
      g_autofree char *digit = g_strdup_printf ("%u", i);
      g_autofree char *name = g_strdup_printf (_ ("%u bands"), i);
      self->counts[i] = gtk_toggle_button_new_with_label (digit);
      gtk_widget_add_css_class (self->counts[i], "segment");
      bl_widget_name (self->counts[i], name);
      g_object_set_data (G_OBJECT (self->counts[i]), "count", GUINT_TO_POINTER (i));
      g_signal_connect (self->counts[i], "toggled", G_CALLBACK (count_toggled), self);
      gtk_box_append (GTK_BOX (group), self->counts[i]);
    }
  gtk_widget_set_valign (group, GTK_ALIGN_CENTER);
  gtk_box_append (GTK_BOX (box), group);
  gtk_box_append (GTK_BOX (box), bl_label (_ ("bands"), "muted", 0));
  gtk_label_set_ellipsize (GTK_LABEL (keys), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (keys, TRUE);
  gtk_widget_set_halign (keys, GTK_ALIGN_END);
  gtk_box_append (GTK_BOX (box), keys);
  return box;
}

static GtkWidget *
make_column (BlRingPicker *self, guint i)
{
  GtkWidget *column = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  g_autofree char *name = g_strdup_printf (_ ("band %u"), i + 1);

  self->places[i] = bl_label ("", "muted small", 0.5f);
  self->choosers[i] = bl_chooser_new (name, FALSE);
  gtk_widget_set_halign (self->choosers[i], GTK_ALIGN_CENTER);
  g_signal_connect (self->choosers[i], "fill", G_CALLBACK (fill), self);
  g_signal_connect (self->choosers[i], "chosen", G_CALLBACK (chosen), self);
  gtk_box_append (GTK_BOX (column), self->choosers[i]);
  gtk_box_append (GTK_BOX (column), self->places[i]);
  return column;
}

static void
bl_ring_picker_dispose (GObject *object)
{
  g_clear_pointer (&BL_RING_PICKER (object)->box, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_ring_picker_parent_class)->dispose (object);
}

static gboolean
bl_ring_picker_grab_focus (GtkWidget *widget)
{
  return gtk_widget_grab_focus (BL_RING_PICKER (widget)->choosers[0]);
}

static void
bl_ring_picker_class_init (BlRingPickerClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_ring_picker_dispose;
  widget_class->grab_focus = bl_ring_picker_grab_focus;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
  signals[CHANGED]
    = g_signal_new ("changed", BL_TYPE_RING_PICKER, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
bl_ring_picker_init (BlRingPicker *self)
{
  static const BlRing usual[] = { BL_RING_BROWN, BL_RING_BLACK, BL_RING_RED, BL_RING_GOLD };
  GtkEventController *keys = gtk_event_controller_key_new ();
  GtkGesture *click = gtk_gesture_click_new ();

  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  gtk_box_append (GTK_BOX (self->box), make_counts (self));
  self->drawing = gtk_drawing_area_new ();
  gtk_drawing_area_set_content_height (GTK_DRAWING_AREA (self->drawing), DRAWING_HEIGHT);
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (self->drawing), draw, self, NULL);
  g_signal_connect (click, "pressed", G_CALLBACK (drawing_pressed), self);
  gtk_widget_add_controller (self->drawing, GTK_EVENT_CONTROLLER (click));
  bl_style_watch (self->drawing);
  gtk_box_append (GTK_BOX (self->box), self->drawing);
  self->columns = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);
  gtk_box_set_homogeneous (GTK_BOX (self->columns), TRUE);
  for (guint i = 0; i < BL_MAX_RINGS; i++)
    gtk_box_append (GTK_BOX (self->columns), make_column (self, i));
  gtk_box_append (GTK_BOX (self->box), self->columns);
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
  bl_widget_name (GTK_WIDGET (self), _ ("Bands of colour"));
  bl_ring_picker_set (self, usual, G_N_ELEMENTS (usual));
}

GtkWidget *
bl_ring_picker_new (void)
{
  return g_object_new (BL_TYPE_RING_PICKER, NULL);
}

gboolean
bl_ring_picker_has (GtkWidget *focus)
{
  return focus != NULL && gtk_widget_get_ancestor (focus, BL_TYPE_RING_PICKER) != NULL;
}

void
bl_ring_picker_set (BlRingPicker *self, const BlRing *rings, guint n)
{
  g_return_if_fail (BL_IS_RING_PICKER (self) && rings != NULL && n >= BL_MIN_RINGS && n <= BL_MAX_RINGS);
  for (guint i = 0; i < n; i++)
    self->rings[i] = rings[i];
  for (guint i = n; i < BL_MAX_RINGS; i++)
    self->rings[i] = BL_RING_BROWN;
  self->n = n;
  show (self);
}

const BlRing *
bl_ring_picker_get (BlRingPicker *self, guint *n)
{
  g_return_val_if_fail (BL_IS_RING_PICKER (self) && n != NULL, NULL);
  *n = self->n;
  return self->rings;
}
