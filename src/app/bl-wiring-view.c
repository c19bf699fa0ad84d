/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The drawing of boxes, conductors and terminals as a widget: the verdicts of field checks where they are taken, what is
 * in hand, what failed most likely; a press takes a check.
 *
 * What is painted is invisible to assistive technology, so each check has a child that paints nothing, lies where the
 * check is and carries its words; the keyboard focus is on one of them at a time. Some thirty checks. Where things
 * stand is bl-wiring-layout.c's, how they look bl-wiring-draw.c's: paper shows the same. */
#include "config.h"

#include "bl-wiring-view.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-bench.h"
#include "bl-style.h"
#include "bl-wiring-draw.h"

struct _BlWiringView
{
  GtkWidget parent_instance;

  BlWiring *wiring; /* NULL: nothing */
  BlWiringLayout *layout; /* NULL: to be made */
  GListModel *items;
  GPtrArray *places; /* children, by check */
  GArray *shapes;    /* int, by check */
  int current, focus;
  BlWirePlace likely;
  guint likely_index;
  char *likely_words;
};

enum
{
  ACTIVATED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlWiringView, bl_wiring_view, GTK_TYPE_WIDGET)

/* --- the children that are read aloud --- */

#define BL_TYPE_WIRING_PLACE (bl_wiring_place_get_type ())
G_DECLARE_FINAL_TYPE (BlWiringPlace, bl_wiring_place, BL, WIRING_PLACE, GtkWidget)
struct _BlWiringPlace
{
  GtkWidget parent_instance;
};
G_DEFINE_FINAL_TYPE (BlWiringPlace, bl_wiring_place, GTK_TYPE_WIDGET)

static void
bl_wiring_place_class_init (BlWiringPlaceClass *klass)
{
  gtk_widget_class_set_accessible_role (GTK_WIDGET_CLASS (klass), GTK_ACCESSIBLE_ROLE_LIST_ITEM);
}

static void
bl_wiring_place_init (BlWiringPlace *self)
{
  gtk_widget_set_can_target (GTK_WIDGET (self), FALSE);
}

static const BlWireCheck *
check_at (BlWiringView *self, guint index)
{
  return bl_at (self->wiring->checks, index);
}

static guint
n_checks (BlWiringView *self)
{
  return self->wiring != NULL ? self->wiring->checks->len : 0;
}

/* (transfer full); NULL: not among the job's. */
static BlMeasurementItem *
item_of (BlWiringView *self, const char *id)
{
  for (guint i = 0; self->items != NULL && i < g_list_model_get_n_items (self->items); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (self->items, i);
      if (g_strcmp0 (bl_measurement_item_get_id (item), id) == 0)
        return g_steal_pointer (&item);
    }
  return NULL;
}

static void
tell (BlWiringView *self, guint index)
{
  const BlWireCheck *check = check_at (self, index);
  g_autoptr (BlMeasurementItem) item = item_of (self, check->id);
  const char *word = item != NULL ? bl_measurement_item_get_word (item) : "";
  g_autofree char *name = g_strdup_printf ("%s %s: %s", check->id, check->title, *word != '\0' ? word : _ ("unread"));
  GtkWidget *place = g_ptr_array_index (self->places, index);

  bl_widget_name (place, name);
  gtk_widget_set_focusable (place, (int) index == self->focus);
  gtk_accessible_update_state (GTK_ACCESSIBLE (place), GTK_ACCESSIBLE_STATE_SELECTED, (int) index == self->current, -1);
}

static void
drop_place (gpointer widget)
{
  gtk_widget_unparent (widget);
}

static void
make_places (BlWiringView *self)
{
  g_ptr_array_set_size (self->places, 0);
  self->focus = n_checks (self) > 0 ? 0 : -1;
  for (guint i = 0; i < n_checks (self); i++)
    {
      GtkWidget *place = g_object_new (BL_TYPE_WIRING_PLACE, NULL);
      gtk_widget_set_parent (place, GTK_WIDGET (self));
      g_ptr_array_add (self->places, place);
    }
}

static void
tell_all (BlWiringView *self)
{
  for (guint i = 0; i < n_checks (self); i++)
    tell (self, i);
}

/* --- what is shown --- */

/* As on the photo: what was read in an earlier round only is unread. */
static int
shape_of (BlMeasurementItem *item)
{
  if (item == NULL || bl_measurement_item_get_record (item) == NULL || bl_measurement_item_is_old (item))
    return -1;
  return (int) bl_shape_for_verdict (bl_measurement_item_get_verdict (item), bl_measurement_item_get_band (item));
}

static void
read_items (BlWiringView *self)
{
  g_array_set_size (self->shapes, 0);
  for (guint i = 0; i < n_checks (self); i++)
    {
      g_autoptr (BlMeasurementItem) item = item_of (self, check_at (self, i)->id);
      int shape = shape_of (item);
      g_array_append_val (self->shapes, shape);
    }
  tell_all (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
lay_out_anew (BlWiringView *self)
{
  g_clear_pointer (&self->layout, bl_wiring_layout_free);
  gtk_widget_queue_allocate (GTK_WIDGET (self));
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
ensure_layout (BlWiringView *self, int width, int height)
{
  if (self->wiring == NULL || (self->layout != NULL && self->layout->width == width && self->layout->height == height))
    return;
  g_clear_pointer (&self->layout, bl_wiring_layout_free);
  self->layout = bl_wiring_layout_new (self->wiring, width, height, self->likely, self->likely_index,
                                       bl_wiring_measure, gtk_widget_get_pango_context (GTK_WIDGET (self)));
}

static void
bl_wiring_view_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                        int *minimum_baseline, int *natural_baseline)
{
  *minimum = orientation == GTK_ORIENTATION_HORIZONTAL ? 240 : 120;
  *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? 604 : 360;
}

static void
bl_wiring_view_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  BlWiringView *self = BL_WIRING_VIEW (widget);

  ensure_layout (self, width, height);
  for (guint i = 0; self->layout != NULL && i < n_checks (self); i++)
    {
      const BlWireMark *mark = &self->layout->marks[i];
      GtkWidget *place = g_ptr_array_index (self->places, i);
      double end = MAX (mark->x + 8, mark->label.x + mark->label.w);
      GtkAllocation at = { (int) mark->x - 8, (int) mark->y - 8, (int) ceil (end - mark->x) + 8, 16 };
      gtk_widget_measure (place, GTK_ORIENTATION_HORIZONTAL, -1, NULL, NULL, NULL, NULL);
      gtk_widget_size_allocate (place, &at, -1);
    }
}

static void
bl_wiring_view_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  BlWiringView *self = BL_WIRING_VIEW (widget);
  int width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  GtkWidget *place = self->focus >= 0 ? g_ptr_array_index (self->places, self->focus) : NULL;

  ensure_layout (self, width, height);
  if (self->wiring == NULL)
    return;
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (0, 0, (float) width, (float) height));
  const BlWiringLook look = {
    .palette = bl_style_palette (),
    .context = gtk_widget_get_pango_context (widget),
    .shapes = (const int *) (gpointer) self->shapes->data,
    .current = self->current,
    .focus = place != NULL && gtk_widget_has_focus (place) ? self->focus : -1,
    .likely = self->likely,
    .likely_index = self->likely_index,
    .likely_words = self->likely_words,
  };
  bl_wiring_draw (cr, self->wiring, self->layout, &look);
  cairo_destroy (cr);
}

/* --- choosing --- */

static void
move_focus (BlWiringView *self, int index)
{
  int before = self->focus;

  if (index < 0 || index >= (int) n_checks (self))
    return;
  self->focus = index;
  if (before >= 0)
    tell (self, (guint) before);
  tell (self, (guint) index);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
activate (BlWiringView *self, int index)
{
  g_autofree char *id = g_strdup (check_at (self, (guint) index)->id);

  move_focus (self, index);
  g_signal_emit (self, signals[ACTIVATED], 0, id);
}

/* Whether a check has to do with the place: it is taken there, or a lead goes there. */
static gboolean
belongs (BlWiringView *self, const BlWireCheck *check, BlWirePlace place, guint index)
{
  if (check->place == place)
    return place == BL_WIRE_ANYWHERE || check->index == index;
  if (place == BL_WIRE_TERMINAL)
    return check->at == (int) index || check->black == (int) index;
  if (place != BL_WIRE_BOX || check->place != BL_WIRE_TERMINAL)
    return FALSE;
  return ((const BlWireTerminal *) bl_at (self->wiring->terminals, check->index))->box == (int) index;
}

/* The first unread one after what is in hand, else the next one; -1: none is taken there. */
static int
check_of_place (BlWiringView *self, BlWirePlace place, guint index)
{
  int n = (int) n_checks (self), next = -1;

  for (int i = 1; i <= n; i++)
    {
      int at = (MAX (self->current, -1) + i + n) % n;
      if (!belongs (self, check_at (self, (guint) at), place, index))
        continue;
      if (g_array_index (self->shapes, int, at) < 0 && at != self->current)
        return at;
      next = next < 0 ? at : next;
    }
  return next;
}

static void
pressed (GtkGestureClick *gesture, int n_press, double x, double y, BlWiringView *self)
{
  BlWirePlace place;
  guint index;
  int check;

  if (self->layout == NULL || !bl_wiring_layout_pick (self->layout, self->wiring, x, y, &check, &place, &index))
    return;
  if (check < 0)
    check = check_of_place (self, place, index);
  if (check >= 0)
    activate (self, check);
}

/* The nearest check in this direction, by where they stand. */
static int
neighbour (BlWiringView *self, int dx, int dy)
{
  const BlWireMark *from = &self->layout->marks[self->focus];
  int best = -1;
  double least = INFINITY;

  for (guint i = 0; i < n_checks (self); i++)
    {
      const BlWireMark *to = &self->layout->marks[i];
      double along = (to->x - from->x) * dx + (to->y - from->y) * dy;
      double aside = fabs ((to->x - from->x) * dy) + fabs ((to->y - from->y) * dx);
      if (along < 1 || along + 2.5 * aside >= least)
        continue;
      least = along + 2.5 * aside;
      best = (int) i;
    }
  return best;
}

static gboolean
key_pressed (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType modifiers,
             BlWiringView *self)
{
  int dx = keyval == GDK_KEY_Right ? 1 : keyval == GDK_KEY_Left ? -1 : 0;
  int dy = keyval == GDK_KEY_Down ? 1 : keyval == GDK_KEY_Up ? -1 : 0;

  if (self->focus < 0 || self->layout == NULL || (modifiers & (GDK_CONTROL_MASK | GDK_ALT_MASK)) != 0)
    return FALSE;
  if (keyval == GDK_KEY_Return || keyval == GDK_KEY_KP_Enter || keyval == GDK_KEY_space)
    {
      activate (self, self->focus);
      return TRUE;
    }
  if (dx == 0 && dy == 0)
    return FALSE;
  move_focus (self, neighbour (self, dx, dy));
  gtk_widget_grab_focus (g_ptr_array_index (self->places, self->focus));
  return TRUE;
}

static gboolean
query_tooltip (GtkWidget *widget, int x, int y, gboolean keyboard, GtkTooltip *tooltip, gpointer data)
{
  BlWiringView *self = BL_WIRING_VIEW (widget);
  BlWirePlace place;
  guint index;
  int check;

  if (keyboard || self->layout == NULL
      || !bl_wiring_layout_pick (self->layout, self->wiring, x, y, &check, &place, &index))
    return FALSE;
  if (check >= 0)
    {
      g_autofree char *words
          = g_strdup_printf ("%s  %s", check_at (self, (guint) check)->id, check_at (self, (guint) check)->title);
      gtk_tooltip_set_text (tooltip, words);
      return TRUE;
    }
  const char *title = place == BL_WIRE_TERMINAL    ? ((BlWireTerminal *) bl_at (self->wiring->terminals, index))->title
                      : place == BL_WIRE_CONDUCTOR ? ((BlWireConductor *) bl_at (self->wiring->conductors, index))->title
                                                   : NULL;
  gtk_tooltip_set_text (tooltip, title);
  return title != NULL;
}

/* --- life --- */

static void
bl_wiring_view_dispose (GObject *object)
{
  BlWiringView *self = BL_WIRING_VIEW (object);

  g_clear_pointer (&self->places, g_ptr_array_unref);
  g_clear_object (&self->items);
  g_clear_pointer (&self->layout, bl_wiring_layout_free);
  g_clear_pointer (&self->wiring, bl_wiring_free);
  g_clear_pointer (&self->shapes, g_array_unref);
  g_clear_pointer (&self->likely_words, g_free);
  G_OBJECT_CLASS (bl_wiring_view_parent_class)->dispose (object);
}

static void
bl_wiring_view_class_init (BlWiringViewClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->dispose = bl_wiring_view_dispose;
  widget_class->measure = bl_wiring_view_measure;
  widget_class->size_allocate = bl_wiring_view_size_allocate;
  widget_class->snapshot = bl_wiring_view_snapshot;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_LIST);
  gtk_widget_class_set_css_name (widget_class, "wiring");
  signals[ACTIVATED] = g_signal_new ("activated", BL_TYPE_WIRING_VIEW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                     G_TYPE_NONE, 1, G_TYPE_STRING);
}

static void
bl_wiring_view_init (BlWiringView *self)
{
  GtkGesture *click = gtk_gesture_click_new ();
  GtkEventController *key = gtk_event_controller_key_new ();

  self->places = g_ptr_array_new_with_free_func (drop_place);
  self->shapes = g_array_new (FALSE, FALSE, sizeof (int));
  self->current = self->focus = -1;
  self->likely = BL_WIRE_ANYWHERE;
  g_signal_connect (click, "pressed", G_CALLBACK (pressed), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (click));
  g_signal_connect (key, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (GTK_WIDGET (self), key);
  gtk_widget_set_has_tooltip (GTK_WIDGET (self), TRUE);
  g_signal_connect (self, "query-tooltip", G_CALLBACK (query_tooltip), NULL);
  gtk_widget_set_overflow (GTK_WIDGET (self), GTK_OVERFLOW_HIDDEN);
  bl_style_watch (GTK_WIDGET (self));
  bl_widget_name (GTK_WIDGET (self), _ ("Boxes and conductors of the equipment"));
}

GtkWidget *
bl_wiring_view_new (void)
{
  return g_object_new (BL_TYPE_WIRING_VIEW, NULL);
}

void
bl_wiring_view_set_board (BlWiringView *self, const BlBoard *joined, const BlEquipment *equipment)
{
  g_return_if_fail (BL_IS_WIRING_VIEW (self));
  g_clear_pointer (&self->layout, bl_wiring_layout_free);
  g_clear_pointer (&self->wiring, bl_wiring_free);
  g_clear_pointer (&self->likely_words, g_free);
  self->likely = BL_WIRE_ANYWHERE;
  self->current = -1;
  if (joined != NULL)
    self->wiring = bl_wiring_new (joined, equipment);
  make_places (self);
  read_items (self);
  lay_out_anew (self);
}

void
bl_wiring_view_set_items (BlWiringView *self, GListModel *items)
{
  g_return_if_fail (BL_IS_WIRING_VIEW (self));
  g_return_if_fail (items == NULL || G_IS_LIST_MODEL (items));
  g_set_object (&self->items, items);
  read_items (self);
}

void
bl_wiring_view_set_current (BlWiringView *self, const char *measurement)
{
  g_return_if_fail (BL_IS_WIRING_VIEW (self));
  int current = -1;

  for (guint i = 0; measurement != NULL && i < n_checks (self); i++)
    if (g_str_equal (check_at (self, i)->id, measurement))
      current = (int) i;
  if (current == self->current)
    return;
  self->current = current;
  if (current >= 0)
    move_focus (self, current);
  tell_all (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
bl_wiring_view_set_likely (BlWiringView *self, const char *place, const char *words)
{
  g_return_if_fail (BL_IS_WIRING_VIEW (self));
  BlWirePlace likely = BL_WIRE_ANYWHERE;
  guint index = 0;

  if (place == NULL || words == NULL || self->wiring == NULL
      || !bl_wiring_place (self->wiring, place, &likely, &index))
    {
      likely = BL_WIRE_ANYWHERE;
      index = 0;
      words = NULL;
    }
  if (likely == self->likely && index == self->likely_index && g_strcmp0 (words, self->likely_words) == 0)
    return;
  self->likely = likely;
  self->likely_index = index;
  g_free (self->likely_words);
  self->likely_words = g_strdup (words);
  lay_out_anew (self);
}
