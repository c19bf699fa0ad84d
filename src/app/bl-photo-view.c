/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The photo of a board as a widget: shows, zooms, pans, finds what was pressed; for the bench, the
 * probe view and the editor alike.
 *
 * Geometry is BlViewport's, drawing bl-photo-paint.c's. One drag gesture does all pointer work, so
 * that press, pan and moving a point cannot compete: what it does is decided at the press and begins
 * after four pixels. Hits are looked for in reverse drawing order, with a reach larger than the drawn
 * shape because hands hold probes. It knows no board; items and outlines are handed in. */
#include "config.h"

#include "bl-photo-view.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-photo-paint.h"
#include "bl-style.h"

#define REACH 14.0        /* view px from a point that still hit it */
#define THRESHOLD 4.0     /* view px before a press becomes a drag */
#define GLIDE_US 150000.0 /* time of a glide */

typedef enum
{
  ACT_NONE,
  ACT_PAN,
  ACT_ITEM,
  ACT_CORNER,
  ACT_DRAW
} Act;

struct _BlPhotoView
{
  GtkWidget parent_instance;

  BlViewport viewport;
  BlPhotoSurface *surface;
  char *message;
  GPtrArray *items, *outlines;
  GHashTable *layouts;
  double mark_scale;
  gboolean editable;
  BlPhotoTool tool;
  GArray *draft; /* corners so far, photo px */

  double pointer_x, pointer_y; /* view px, NAN: outside */
  Act act;
  gboolean moving;
  guint hit;                  /* item or outline of the act */
  guint corner;
  double start_x, start_y;    /* view px */
  double last_dx, last_dy;    /* pan so far */
  gint64 last_press;          /* for a double press while drawing */

  guint glide;
  gint64 glide_start;
  BlViewport glide_from, glide_to;
};

enum
{
  POINT_ACTIVATED,
  OUTLINE_ACTIVATED,
  CLICKED,
  POINT_DRAGGED,
  OUTLINE_DRAWN,
  OUTLINE_CHANGED,
  TOOL_CHANGED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

enum
{
  PROP_EDITABLE = 1,
  N_PROPS
};
static GParamSpec *props[N_PROPS];

G_DEFINE_FINAL_TYPE (BlPhotoView, bl_photo_view, GTK_TYPE_WIDGET)

BlPhotoItem *
bl_photo_item_new (BlPhotoItemKind kind, const char *id, const char *name, double x, double y)
{
  BlPhotoItem *item = g_new0 (BlPhotoItem, 1);

  item->kind = kind;
  item->id = g_strdup (id);
  item->name = g_strdup (name);
  item->x = x;
  item->y = y;
  item->shape = -1;
  return item;
}

void
bl_photo_item_free (BlPhotoItem *item)
{
  g_free (item->id);
  g_free (item->name);
  g_free (item);
}

BlPhotoOutline *
bl_photo_outline_new (BlPhotoOutlineKind kind, const char *id, const char *name, GArray *points)
{
  BlPhotoOutline *outline = g_new0 (BlPhotoOutline, 1);

  outline->kind = kind;
  outline->id = g_strdup (id);
  outline->name = g_strdup (name);
  outline->points = g_array_copy (points);
  return outline;
}

void
bl_photo_outline_free (BlPhotoOutline *outline)
{
  g_free (outline->id);
  g_free (outline->name);
  g_array_unref (outline->points);
  g_free (outline);
}

/* --- glide --- */

static void
stop_glide (BlPhotoView *self)
{
  if (self->glide != 0)
    gtk_widget_remove_tick_callback (GTK_WIDGET (self), self->glide);
  self->glide = 0;
}

static gboolean
glide_tick (GtkWidget *widget, GdkFrameClock *clock, gpointer data)
{
  BlPhotoView *self = BL_PHOTO_VIEW (widget);
  double t = (gdk_frame_clock_get_frame_time (clock) - self->glide_start) / GLIDE_US;
  double ease = 1 - pow (1 - CLAMP (t, 0, 1), 3);

  self->viewport.x = self->glide_from.x + ease * (self->glide_to.x - self->glide_from.x);
  self->viewport.y = self->glide_from.y + ease * (self->glide_to.y - self->glide_from.y);
  self->viewport.zoom = self->glide_from.zoom * pow (self->glide_to.zoom / self->glide_from.zoom, ease);
  gtk_widget_queue_draw (widget);
  if (t < 1)
    return G_SOURCE_CONTINUE;
  self->viewport = self->glide_to;
  self->glide = 0;
  return G_SOURCE_REMOVE;
}

static void
glide_to (BlPhotoView *self, const BlViewport *to)
{
  gboolean animations = FALSE;

  stop_glide (self);
  g_object_get (gtk_settings_get_default (), "gtk-enable-animations", &animations, NULL);
  if (animations && gtk_widget_get_mapped (GTK_WIDGET (self)))
    {
      self->glide_from = self->viewport;
      self->glide_to = *to;
      self->glide_start = gdk_frame_clock_get_frame_time (gtk_widget_get_frame_clock (GTK_WIDGET (self)));
      self->glide = gtk_widget_add_tick_callback (GTK_WIDGET (self), glide_tick, NULL, NULL);
    }
  else
    self->viewport = *to;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

/* --- drawing --- */

static void
fill_paint (BlPhotoView *self, BlPhotoPaint *paint)
{
  *paint = (BlPhotoPaint){
    .widget = GTK_WIDGET (self),
    .viewport = &self->viewport,
    .items = self->items,
    .outlines = self->outlines,
    .layouts = self->layouts,
    .scale = self->mark_scale,
    .pointer_x = self->pointer_x,
    .pointer_y = self->pointer_y,
    .draft = self->draft,
  };
}

static void
draw_message (BlPhotoView *self, cairo_t *cr)
{
  g_autoptr (PangoLayout) layout = bl_style_layout (GTK_WIDGET (self), self->message, 14, 400);

  pango_layout_set_alignment (layout, PANGO_ALIGN_CENTER);
  pango_layout_set_width (layout, (int) ((self->viewport.view_w - 40) * PANGO_SCALE));
  pango_layout_set_wrap (layout, PANGO_WRAP_WORD_CHAR);
  bl_style_show (cr, layout, &bl_style_palette ()->muted, 20, self->viewport.view_h / 2, 0);
}

static void
bl_photo_view_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  BlPhotoView *self = BL_PHOTO_VIEW (widget);
  int width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  graphene_rect_t bounds = GRAPHENE_RECT_INIT (0, 0, width, height);
  BlPhotoPaint paint;

  if (width <= 0 || height <= 0)
    return;
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &bounds);
  bl_set_source (cr, &bl_style_palette ()->track);
  cairo_paint (cr);
  cairo_rectangle (cr, 0, 0, width, height);
  cairo_clip (cr);
  if (self->surface != NULL)
    {
      bl_photo_surface_paint (self->surface, cr, self->viewport.x, self->viewport.y, self->viewport.zoom,
                              width, height);
      fill_paint (self, &paint);
      bl_photo_paint (&paint, cr);
    }
  else if (self->message != NULL)
    draw_message (self, cr);
  cairo_destroy (cr);
}

static void
bl_photo_view_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum,
                       int *natural, int *minimum_baseline, int *natural_baseline)
{
  *minimum = 120;
  *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? 604 : 466;
}

static void
bl_photo_view_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  BlPhotoView *self = BL_PHOTO_VIEW (widget);

  stop_glide (self);
  bl_viewport_set_view (&self->viewport, width, height);
}

/* --- finding what was pressed --- */

static double
view_distance (BlPhotoView *self, double ix, double iy, double x, double y)
{
  double vx, vy;

  bl_viewport_to_view (&self->viewport, ix, iy, &vx, &vy);
  return hypot (vx - x, vy - y);
}

/* Index of the item nearest to the view point within reach, later ones first; -1: none. */
static int
hit_item (BlPhotoView *self, double x, double y)
{
  double nearest = REACH * self->mark_scale;
  int found = -1;

  for (int i = (self->items != NULL ? (int) self->items->len : 0) - 1; i >= 0; i--)
    {
      const BlPhotoItem *item = g_ptr_array_index (self->items, i);
      double distance = view_distance (self, item->x, item->y, x, y);
      if (distance < nearest)
        {
          nearest = distance;
          found = i;
        }
    }
  return found;
}

static gboolean
hit_corner (BlPhotoView *self, double x, double y, guint *outline, guint *corner)
{
  for (int i = (self->outlines != NULL ? (int) self->outlines->len : 0) - 1; i >= 0; i--)
    {
      const BlPhotoOutline *o = g_ptr_array_index (self->outlines, i);
      for (guint k = 0; o->selected && k + 1 < o->points->len; k += 2)
        if (view_distance (self, g_array_index (o->points, double, k),
                           g_array_index (o->points, double, k + 1), x, y) < 10)
          {
            *outline = (guint) i;
            *corner = k / 2;
            return TRUE;
          }
    }
  return FALSE;
}

/* Distance of (x, y) to the segment from a to b, all in view px. */
static double
segment_distance (double ax, double ay, double bx, double by, double x, double y)
{
  double dx = bx - ax, dy = by - ay, l2 = dx * dx + dy * dy;
  double t = l2 > 0 ? CLAMP (((x - ax) * dx + (y - ay) * dy) / l2, 0, 1) : 0;

  return hypot (ax + t * dx - x, ay + t * dy - y);
}

static gboolean
on_line (BlPhotoView *self, GArray *points, double x, double y)
{
  guint n = points->len / 2;

  for (guint i = 0; i < n; i++)
    {
      guint j = (i + 1) % n;
      double ax, ay, bx, by;
      bl_viewport_to_view (&self->viewport, g_array_index (points, double, 2 * i),
                           g_array_index (points, double, 2 * i + 1), &ax, &ay);
      bl_viewport_to_view (&self->viewport, g_array_index (points, double, 2 * j),
                           g_array_index (points, double, 2 * j + 1), &bx, &by);
      if (segment_distance (ax, ay, bx, by, x, y) < 5)
        return TRUE;
    }
  return FALSE;
}

static int
hit_outline (BlPhotoView *self, double x, double y)
{
  BlPhotoPaint paint;

  fill_paint (self, &paint);
  for (int i = (self->outlines != NULL ? (int) self->outlines->len : 0) - 1; i >= 0; i--)
    {
      const BlPhotoOutline *outline = g_ptr_array_index (self->outlines, i);
      graphene_rect_t box;
      if (bl_photo_paint_name_box (&paint, outline, &box)
          && graphene_rect_contains_point (&box, &GRAPHENE_POINT_INIT ((float) x, (float) y)))
        return i;
      if (on_line (self, outline->points, x, y))
        return i;
    }
  return -1;
}

/* --- drawing outlines --- */

static void
drop_draft (BlPhotoView *self)
{
  g_clear_pointer (&self->draft, g_array_unref);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
finish_draft (BlPhotoView *self)
{
  g_autoptr (GArray) points = g_steal_pointer (&self->draft);

  self->tool = BL_PHOTO_TOOL_NONE;
  if (points != NULL && points->len >= 6)
    g_signal_emit (self, signals[OUTLINE_DRAWN], 0, points);
  g_signal_emit (self, signals[TOOL_CHANGED], 0);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
add_draft_corner (BlPhotoView *self, double x, double y)
{
  gint64 now = g_get_monotonic_time ();
  double ix, iy;

  if (self->draft == NULL)
    self->draft = g_array_new (FALSE, FALSE, sizeof (double));
  if (self->draft->len >= 6
      && (now - self->last_press < 300000
          || view_distance (self, g_array_index (self->draft, double, 0),
                            g_array_index (self->draft, double, 1), x, y) < 10))
    {
      finish_draft (self);
      return;
    }
  self->last_press = now;
  bl_viewport_to_image (&self->viewport, x, y, &ix, &iy);
  ix = CLAMP (ix, 0, self->viewport.image_w);
  iy = CLAMP (iy, 0, self->viewport.image_h);
  g_array_append_val (self->draft, ix);
  g_array_append_val (self->draft, iy);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
draft_rectangle (BlPhotoView *self, double x0, double y0, double x1, double y1)
{
  double ax, ay, bx, by;

  bl_viewport_to_image (&self->viewport, x0, y0, &ax, &ay);
  bl_viewport_to_image (&self->viewport, x1, y1, &bx, &by);
  ax = CLAMP (ax, 0, self->viewport.image_w);
  bx = CLAMP (bx, 0, self->viewport.image_w);
  ay = CLAMP (ay, 0, self->viewport.image_h);
  by = CLAMP (by, 0, self->viewport.image_h);
  const double corners[] = { ax, ay, bx, ay, bx, by, ax, by };
  g_clear_pointer (&self->draft, g_array_unref);
  self->draft = g_array_new (FALSE, FALSE, sizeof (double));
  g_array_append_vals (self->draft, corners, G_N_ELEMENTS (corners));
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

/* --- pointer --- */

static void
drag_begin (GtkGestureDrag *gesture, double x, double y, BlPhotoView *self)
{
  guint button = gtk_gesture_single_get_current_button (GTK_GESTURE_SINGLE (gesture));
  int item = hit_item (self, x, y);

  stop_glide (self);
  gtk_widget_grab_focus (GTK_WIDGET (self));
  self->moving = FALSE;
  self->start_x = x;
  self->start_y = y;
  self->last_dx = self->last_dy = 0;
  self->act = self->surface != NULL ? ACT_PAN : ACT_NONE;
  if (button != GDK_BUTTON_PRIMARY || self->surface == NULL)
    return;
  if (self->tool == BL_PHOTO_TOOL_RECTANGLE || self->tool == BL_PHOTO_TOOL_POLYGON)
    self->act = ACT_DRAW;
  else if (self->editable && hit_corner (self, x, y, &self->hit, &self->corner))
    self->act = ACT_CORNER;
  else if (self->editable && item >= 0)
    {
      self->act = ACT_ITEM;
      self->hit = (guint) item;
    }
}

static void
move_item (BlPhotoView *self, double x, double y, gboolean finished)
{
  /* The handler may replace the items: keep what the signal needs. */
  g_return_if_fail (self->items != NULL && self->hit < self->items->len);
  BlPhotoItem *item = g_ptr_array_index (self->items, self->hit);
  g_autofree char *id = g_strdup (item->id);
  double ix, iy;

  bl_viewport_to_image (&self->viewport, x, y, &ix, &iy);
  item->x = CLAMP (ix, 0, self->viewport.image_w);
  item->y = CLAMP (iy, 0, self->viewport.image_h);
  g_signal_emit (self, signals[POINT_DRAGGED], 0, item->kind, id, item->x, item->y, finished);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
move_corner (BlPhotoView *self, double x, double y, gboolean finished)
{
  g_return_if_fail (self->outlines != NULL && self->hit < self->outlines->len);
  BlPhotoOutline *outline = g_ptr_array_index (self->outlines, self->hit);
  g_return_if_fail (2 * self->corner + 1 < outline->points->len);
  g_autofree char *id = g_strdup (outline->id);
  double ix, iy;

  bl_viewport_to_image (&self->viewport, x, y, &ix, &iy);
  g_array_index (outline->points, double, 2 * self->corner) = CLAMP (ix, 0, self->viewport.image_w);
  g_array_index (outline->points, double, 2 * self->corner + 1) = CLAMP (iy, 0, self->viewport.image_h);
  g_autoptr (GArray) points = g_array_copy (outline->points);
  g_signal_emit (self, signals[OUTLINE_CHANGED], 0, outline->kind, id, points, finished);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
drag_update (GtkGestureDrag *gesture, double dx, double dy, BlPhotoView *self)
{
  double x = self->start_x + dx, y = self->start_y + dy;

  if (!self->moving && hypot (dx, dy) < THRESHOLD)
    return;
  self->moving = TRUE;
  switch (self->act)
    {
    case ACT_PAN:
      bl_viewport_pan (&self->viewport, dx - self->last_dx, dy - self->last_dy);
      self->last_dx = dx;
      self->last_dy = dy;
      gtk_widget_queue_draw (GTK_WIDGET (self));
      break;
    case ACT_ITEM:
      move_item (self, x, y, FALSE);
      break;
    case ACT_CORNER:
      move_corner (self, x, y, FALSE);
      break;
    case ACT_DRAW:
      if (self->tool == BL_PHOTO_TOOL_RECTANGLE)
        draft_rectangle (self, self->start_x, self->start_y, x, y);
      break;
    case ACT_NONE:
    default:
      break;
    }
}

/* A press that did not become a drag. */
static void
press (BlPhotoView *self, double x, double y)
{
  int item = hit_item (self, x, y), outline;
  double ix, iy;

  if (item >= 0)
    {
      BlPhotoItem *hit = g_ptr_array_index (self->items, item);
      g_autofree char *id = g_strdup (hit->id);
      g_signal_emit (self, signals[POINT_ACTIVATED], 0, hit->kind, id);
      return;
    }
  outline = self->tool != BL_PHOTO_TOOL_PLACE ? hit_outline (self, x, y) : -1;
  if (outline >= 0)
    {
      BlPhotoOutline *hit = g_ptr_array_index (self->outlines, outline);
      g_autofree char *id = g_strdup (hit->id);
      g_signal_emit (self, signals[OUTLINE_ACTIVATED], 0, hit->kind, id);
      return;
    }
  bl_viewport_to_image (&self->viewport, x, y, &ix, &iy);
  if (ix >= 0 && iy >= 0 && ix <= self->viewport.image_w && iy <= self->viewport.image_h)
    g_signal_emit (self, signals[CLICKED], 0, ix, iy);
}

static void
drag_end (GtkGestureDrag *gesture, double dx, double dy, BlPhotoView *self)
{
  double x = self->start_x + dx, y = self->start_y + dy;
  guint button = gtk_gesture_single_get_current_button (GTK_GESTURE_SINGLE (gesture));
  Act act = self->act;

  self->act = ACT_NONE;
  if (act == ACT_DRAW && self->tool == BL_PHOTO_TOOL_POLYGON)
    add_draft_corner (self, x, y);
  else if (act == ACT_DRAW && self->moving)
    finish_draft (self);
  else if (act == ACT_ITEM && self->moving)
    move_item (self, x, y, TRUE);
  else if (act == ACT_CORNER && self->moving)
    move_corner (self, x, y, TRUE);
  else if (!self->moving && act != ACT_NONE && button == GDK_BUTTON_PRIMARY)
    press (self, x, y);
}

static gboolean
scrolled (GtkEventControllerScroll *controller, double dx, double dy, BlPhotoView *self)
{
  double x = isnan (self->pointer_x) ? self->viewport.view_w / 2 : self->pointer_x;
  double y = isnan (self->pointer_y) ? self->viewport.view_h / 2 : self->pointer_y;

  stop_glide (self);
  bl_viewport_zoom_at (&self->viewport, pow (1.2, -dy), x, y);
  gtk_widget_queue_draw (GTK_WIDGET (self));
  return GDK_EVENT_STOP;
}

static void
pointer_moved (GtkEventControllerMotion *controller, double x, double y, BlPhotoView *self)
{
  self->pointer_x = x;
  self->pointer_y = y;
  /* Names that had no room appear near the pointer. */
  if (self->items != NULL && self->items->len > 12)
    gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
pointer_left (GtkEventControllerMotion *controller, BlPhotoView *self)
{
  self->pointer_x = self->pointer_y = NAN;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static gboolean
key_pressed (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType modifiers,
             BlPhotoView *self)
{
  const double step = 60;

  if (modifiers & (GDK_CONTROL_MASK | GDK_ALT_MASK))
    return GDK_EVENT_PROPAGATE;
  switch (keyval)
    {
    case GDK_KEY_Left:
      bl_photo_view_pan (self, step, 0);
      return GDK_EVENT_STOP;
    case GDK_KEY_Right:
      bl_photo_view_pan (self, -step, 0);
      return GDK_EVENT_STOP;
    case GDK_KEY_Up:
      bl_photo_view_pan (self, 0, step);
      return GDK_EVENT_STOP;
    case GDK_KEY_Down:
      bl_photo_view_pan (self, 0, -step);
      return GDK_EVENT_STOP;
    case GDK_KEY_plus:
    case GDK_KEY_equal:
    case GDK_KEY_KP_Add:
      bl_photo_view_zoom (self, 1.25);
      return GDK_EVENT_STOP;
    case GDK_KEY_minus:
    case GDK_KEY_KP_Subtract:
      bl_photo_view_zoom (self, 0.8);
      return GDK_EVENT_STOP;
    case GDK_KEY_z:
    case GDK_KEY_Z:
      bl_photo_view_fit (self);
      return GDK_EVENT_STOP;
    case GDK_KEY_Return:
    case GDK_KEY_KP_Enter:
      if (self->tool != BL_PHOTO_TOOL_POLYGON || self->draft == NULL)
        return GDK_EVENT_PROPAGATE;
      finish_draft (self);
      return GDK_EVENT_STOP;
    case GDK_KEY_Escape:
      if (self->tool == BL_PHOTO_TOOL_NONE)
        return GDK_EVENT_PROPAGATE;
      drop_draft (self);
      finish_draft (self);
      return GDK_EVENT_STOP;
    default:
      return GDK_EVENT_PROPAGATE;
    }
}

/* --- object --- */

static void
forget_layouts (GtkWidget *widget)
{
  g_hash_table_remove_all (BL_PHOTO_VIEW (widget)->layouts);
}

static void
bl_photo_view_css_changed (GtkWidget *widget, GtkCssStyleChange *change)
{
  GTK_WIDGET_CLASS (bl_photo_view_parent_class)->css_changed (widget, change);
  forget_layouts (widget);
}

static void
bl_photo_view_dispose (GObject *object)
{
  BlPhotoView *self = BL_PHOTO_VIEW (object);

  stop_glide (self);
  g_clear_pointer (&self->surface, bl_photo_surface_unref);
  g_clear_pointer (&self->items, g_ptr_array_unref);
  g_clear_pointer (&self->outlines, g_ptr_array_unref);
  g_clear_pointer (&self->draft, g_array_unref);
  G_OBJECT_CLASS (bl_photo_view_parent_class)->dispose (object);
}

static void
bl_photo_view_finalize (GObject *object)
{
  BlPhotoView *self = BL_PHOTO_VIEW (object);

  g_hash_table_unref (self->layouts);
  g_free (self->message);
  G_OBJECT_CLASS (bl_photo_view_parent_class)->finalize (object);
}

static void
bl_photo_view_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  if (id == PROP_EDITABLE)
    g_value_set_boolean (value, BL_PHOTO_VIEW (object)->editable);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
bl_photo_view_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  if (id == PROP_EDITABLE)
    bl_photo_view_set_editable (BL_PHOTO_VIEW (object), g_value_get_boolean (value));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
add_signals (GType type)
{
  signals[POINT_ACTIVATED] = g_signal_new ("point-activated", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                           G_TYPE_NONE, 2, G_TYPE_INT, G_TYPE_STRING);
  signals[OUTLINE_ACTIVATED] = g_signal_new ("outline-activated", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                                             NULL, G_TYPE_NONE, 2, G_TYPE_INT, G_TYPE_STRING);
  signals[CLICKED] = g_signal_new ("clicked", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 2,
                                   G_TYPE_DOUBLE, G_TYPE_DOUBLE);
  signals[POINT_DRAGGED] = g_signal_new ("point-dragged", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                         G_TYPE_NONE, 5, G_TYPE_INT, G_TYPE_STRING, G_TYPE_DOUBLE,
                                         G_TYPE_DOUBLE, G_TYPE_BOOLEAN);
  signals[OUTLINE_DRAWN] = g_signal_new ("outline-drawn", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                         G_TYPE_NONE, 1, G_TYPE_ARRAY);
  signals[OUTLINE_CHANGED] = g_signal_new ("outline-changed", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                           G_TYPE_NONE, 4, G_TYPE_INT, G_TYPE_STRING, G_TYPE_ARRAY,
                                           G_TYPE_BOOLEAN);
  signals[TOOL_CHANGED] = g_signal_new ("tool-changed", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                        G_TYPE_NONE, 0);
}

static void
bl_photo_view_class_init (BlPhotoViewClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->dispose = bl_photo_view_dispose;
  object_class->finalize = bl_photo_view_finalize;
  object_class->get_property = bl_photo_view_get_property;
  object_class->set_property = bl_photo_view_set_property;
  widget_class->snapshot = bl_photo_view_snapshot;
  widget_class->measure = bl_photo_view_measure;
  widget_class->size_allocate = bl_photo_view_size_allocate;
  widget_class->css_changed = bl_photo_view_css_changed;
  props[PROP_EDITABLE] = g_param_spec_boolean ("editable", NULL, NULL, FALSE,
                                               G_PARAM_READWRITE | G_PARAM_EXPLICIT_NOTIFY
                                                 | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);
  add_signals (G_TYPE_FROM_CLASS (klass));
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
  gtk_widget_class_set_css_name (widget_class, "photo");
}

static void
bl_photo_view_init (BlPhotoView *self)
{
  GtkWidget *widget = GTK_WIDGET (self);
  GtkGesture *drag = gtk_gesture_drag_new ();
  GtkEventController *scroll = gtk_event_controller_scroll_new (GTK_EVENT_CONTROLLER_SCROLL_VERTICAL);
  GtkEventController *motion = gtk_event_controller_motion_new ();
  GtkEventController *key = gtk_event_controller_key_new ();

  bl_viewport_init (&self->viewport);
  self->mark_scale = 1;
  self->pointer_x = self->pointer_y = NAN;
  self->layouts = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_object_unref);
  gtk_gesture_single_set_button (GTK_GESTURE_SINGLE (drag), 0);
  g_signal_connect (drag, "drag-begin", G_CALLBACK (drag_begin), self);
  g_signal_connect (drag, "drag-update", G_CALLBACK (drag_update), self);
  g_signal_connect (drag, "drag-end", G_CALLBACK (drag_end), self);
  gtk_widget_add_controller (widget, GTK_EVENT_CONTROLLER (drag));
  g_signal_connect (scroll, "scroll", G_CALLBACK (scrolled), self);
  gtk_widget_add_controller (widget, scroll);
  g_signal_connect (motion, "motion", G_CALLBACK (pointer_moved), self);
  g_signal_connect (motion, "leave", G_CALLBACK (pointer_left), self);
  gtk_widget_add_controller (widget, motion);
  g_signal_connect (key, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (widget, key);
  gtk_widget_set_focusable (widget, TRUE);
  gtk_widget_set_overflow (widget, GTK_OVERFLOW_HIDDEN);
  gtk_widget_add_css_class (widget, "photo");
  bl_widget_name (widget, _ ("Photo"));
  bl_style_watch (widget);
}

GtkWidget *
bl_photo_view_new (void)
{
  return g_object_new (BL_TYPE_PHOTO_VIEW, NULL);
}

void
bl_photo_view_set_surface (BlPhotoView *self, BlPhotoSurface *surface, const char *message)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  gboolean same = surface != NULL && surface == self->surface;

  g_free (self->message);
  self->message = g_strdup (message);
  if (!same)
    {
      stop_glide (self);
      drop_draft (self);
      g_clear_pointer (&self->surface, bl_photo_surface_unref);
      self->surface = surface != NULL ? bl_photo_surface_ref (surface) : NULL;
      bl_viewport_set_image (&self->viewport, surface != NULL ? bl_photo_surface_width (surface) : 0,
                             surface != NULL ? bl_photo_surface_height (surface) : 0);
    }
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

BlPhotoSurface *
bl_photo_view_get_surface (BlPhotoView *self)
{
  g_return_val_if_fail (BL_IS_PHOTO_VIEW (self), NULL);
  return self->surface;
}

void
bl_photo_view_set_items (BlPhotoView *self, GPtrArray *items)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  if (self->act == ACT_ITEM && (items == NULL || self->hit >= items->len))
    self->act = ACT_NONE;
  g_clear_pointer (&self->items, g_ptr_array_unref);
  self->items = items;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
bl_photo_view_set_outlines (BlPhotoView *self, GPtrArray *outlines)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  if (self->act == ACT_CORNER && (outlines == NULL || self->hit >= outlines->len))
    self->act = ACT_NONE;
  g_clear_pointer (&self->outlines, g_ptr_array_unref);
  self->outlines = outlines;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
bl_photo_view_reveal (BlPhotoView *self, double x, double y)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  BlViewport to = self->glide != 0 ? self->glide_to : self->viewport;

  if (self->surface == NULL || bl_viewport_shows (&to, x, y, 30))
    return;
  bl_viewport_centre_on (&to, x, y, &to.x, &to.y);
  glide_to (self, &to);
}

void
bl_photo_view_close_up (BlPhotoView *self, double x, double y, double zoom)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  BlViewport to = self->viewport;

  if (self->surface == NULL)
    return;
  if (to.zoom > 0 && to.zoom < zoom)
    bl_viewport_zoom_at (&to, zoom / to.zoom, to.view_w / 2, to.view_h / 2);
  bl_viewport_centre_on (&to, x, y, &to.x, &to.y);
  glide_to (self, &to);
}

void
bl_photo_view_fit (BlPhotoView *self)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  stop_glide (self);
  bl_viewport_fit (&self->viewport);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
bl_photo_view_frame (BlPhotoView *self, double x0, double y0, double x1, double y1)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  BlViewport to = self->viewport;
  double zoom = MIN (to.view_w / (x1 - x0), to.view_h / (y1 - y0)) * 0.94;

  if (self->surface == NULL || x1 <= x0 || y1 <= y0 || to.view_w <= 0)
    return;
  stop_glide (self);
  bl_viewport_fit (&to);
  if (zoom > to.zoom)
    bl_viewport_zoom_at (&to, zoom / to.zoom, to.view_w / 2, to.view_h / 2);
  bl_viewport_centre_on (&to, (x0 + x1) / 2, (y0 + y1) / 2, &to.x, &to.y);
  self->viewport = to;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
bl_photo_view_zoom (BlPhotoView *self, double factor)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  stop_glide (self);
  bl_viewport_zoom_at (&self->viewport, factor, self->viewport.view_w / 2, self->viewport.view_h / 2);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
bl_photo_view_pan (BlPhotoView *self, double dx, double dy)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  stop_glide (self);
  bl_viewport_pan (&self->viewport, dx, dy);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
bl_photo_view_set_tool (BlPhotoView *self, BlPhotoTool tool)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  if (self->tool == tool)
    return;
  drop_draft (self);
  self->tool = tool;
  gtk_widget_set_cursor_from_name (GTK_WIDGET (self), tool == BL_PHOTO_TOOL_NONE ? NULL : "crosshair");
  g_signal_emit (self, signals[TOOL_CHANGED], 0);
}

BlPhotoTool
bl_photo_view_get_tool (BlPhotoView *self)
{
  g_return_val_if_fail (BL_IS_PHOTO_VIEW (self), BL_PHOTO_TOOL_NONE);
  return self->tool;
}

void
bl_photo_view_set_editable (BlPhotoView *self, gboolean editable)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  if (self->editable == editable)
    return;
  self->editable = editable;
  g_object_notify_by_pspec (G_OBJECT (self), props[PROP_EDITABLE]);
}

void
bl_photo_view_set_mark_scale (BlPhotoView *self, double scale)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self) && scale > 0);
  self->mark_scale = scale;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
bl_photo_view_describe (BlPhotoView *self, const char *label)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  bl_widget_name (GTK_WIDGET (self), label);
}

const BlViewport *
bl_photo_view_get_viewport (BlPhotoView *self)
{
  g_return_val_if_fail (BL_IS_PHOTO_VIEW (self), NULL);
  return &self->viewport;
}
