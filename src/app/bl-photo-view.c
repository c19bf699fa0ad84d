/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The photo of a board as a widget: shows, zooms, glides; for the bench, the probe view and the editor
 * alike.
 *
 * Geometry is BlViewport's, drawing bl-photo-paint.c's, pointer and keys bl-photo-input.c's. It knows no
 * board; items and outlines are handed in. */
#include "config.h"

#include "bl-photo-view.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-photo-view-private.h"
#include "bl-style.h"

#define GLIDE_US 150000.0 /* time of a glide */
#define DIM 0.6           /* share of the light that a dimmed photo loses */
#define FLY_ZOOM 3.0      /* times the fit, to see one place and what is round it */

enum
{
  POINT_ACTIVATED,
  POINT_PRESSED_OTHER,
  OUTLINE_ACTIVATED,
  CLICKED,
  POINT_DRAGGED,
  OUTLINE_DRAWN,
  OUTLINE_CHANGED,
  POINTED,
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

void
bl_photo_view_stop_glide (BlPhotoView *self)
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

  bl_photo_view_stop_glide (self);
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

void
bl_photo_view_begin_paint (BlPhotoView *self, BlPhotoPaint *paint)
{
  const BlViewport *v = &self->viewport;

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
    .reserved = { v->view_w - self->reserved.w, v->view_h - self->reserved.h, self->reserved.w, self->reserved.h },
  };
}

void
bl_photo_view_fill_paint (BlPhotoView *self, BlPhotoPaint *paint)
{
  const BlViewport *v = &self->viewport;

  bl_photo_view_begin_paint (self, paint);
  if (self->labels == NULL || self->placed_scale != self->mark_scale || !bl_viewport_same (&self->placed, v))
    {
      g_clear_pointer (&self->labels, g_array_unref);
      self->labels = bl_photo_names_place (paint);
      self->placed = *v;
      self->placed_scale = self->mark_scale;
    }
  paint->labels = self->labels;
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

/* TRUE when nothing is seen beside the photo. */
static gboolean
covers_pane (BlPhotoView *self)
{
  const BlViewport *v = &self->viewport;

  return v->x >= 0 && v->y >= 0 && v->x + v->view_w / v->zoom <= v->image_w
         && v->y + v->view_h / v->zoom <= v->image_h;
}

static void
bl_photo_view_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  BlPhotoView *self = BL_PHOTO_VIEW (widget);
  int width = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  graphene_rect_t bounds = GRAPHENE_RECT_INIT (0, 0, width, height);

  if (width <= 0 || height <= 0)
    return;
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &bounds);
  if (self->surface == NULL || !covers_pane (self))
    {
      bl_set_source (cr, &bl_style_palette ()->track);
      cairo_paint (cr);
    }
  cairo_rectangle (cr, 0, 0, width, height);
  cairo_clip (cr);
  if (self->surface != NULL)
    {
      bl_photo_surface_paint (self->surface, cr, self->viewport.x, self->viewport.y, self->viewport.zoom,
                              width, height);
      if (self->dimmed)
        {
          cairo_set_source_rgba (cr, 0, 0, 0, DIM);
          cairo_paint (cr);
        }
      bl_photo_view_draw_marks (self, cr);
      bl_photo_lengths_draw (self, cr);
      bl_photo_aim_draw (self, cr);
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

  bl_photo_view_stop_glide (self);
  bl_viewport_set_view (&self->viewport, width, height);
}

/* --- object --- */

static void
forget_layouts (GtkWidget *widget)
{
  g_hash_table_remove_all (BL_PHOTO_VIEW (widget)->layouts);
  g_clear_pointer (&BL_PHOTO_VIEW (widget)->labels, g_array_unref);
  g_clear_pointer (&BL_PHOTO_VIEW (widget)->layer, bl_photo_layer_free);
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

  bl_photo_view_stop_glide (self);
  g_clear_handle_id (&self->settle, g_source_remove);
  g_clear_pointer (&self->layer, bl_photo_layer_free);
  g_clear_pointer (&self->surface, bl_photo_surface_unref);
  g_clear_pointer (&self->items, g_ptr_array_unref);
  g_clear_pointer (&self->outlines, g_ptr_array_unref);
  g_clear_pointer (&self->later, g_ptr_array_unref);
  g_clear_pointer (&self->draft, g_array_unref);
  g_clear_pointer (&self->labels, g_array_unref);
  g_clear_pointer (&self->before, g_array_unref);
  g_clear_pointer (&self->snap_field, bl_snap_field_free);
  g_clear_pointer (&self->spot, g_array_unref);
  G_OBJECT_CLASS (bl_photo_view_parent_class)->dispose (object);
}

static void
bl_photo_view_finalize (GObject *object)
{
  BlPhotoView *self = BL_PHOTO_VIEW (object);

  g_hash_table_unref (self->layouts);
  bl_photo_lengths_free (self->lengths);
  g_free (self->message);
  g_free (self->corner_of);
  g_free (self->pointer_name);
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
  signals[POINT_PRESSED_OTHER] = g_signal_new ("point-pressed-other", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
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
                                           G_TYPE_NONE, 5, G_TYPE_INT, G_TYPE_STRING, G_TYPE_ARRAY, G_TYPE_INT,
                                           G_TYPE_BOOLEAN);
  signals[POINTED] = g_signal_new ("pointed", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 2,
                                   G_TYPE_DOUBLE, G_TYPE_DOUBLE);
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

  bl_viewport_init (&self->viewport);
  self->mark_scale = 1;
  self->pointer_x = self->pointer_y = NAN;
  self->aim_x = self->aim_y = self->spot_x = self->spot_y = NAN;
  self->layouts = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_object_unref);
  bl_photo_view_add_controllers (self);
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

static gboolean
is_dragging_outline (BlPhotoView *self)
{
  return self->act == ACT_CORNER || self->act == ACT_EDGE || self->act == ACT_OUTLINE;
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
      bl_photo_view_stop_glide (self);
      bl_photo_view_drop_draft (self);
      if (is_dragging_outline (self))
        bl_photo_view_end_act (self);
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
  g_clear_pointer (&self->labels, g_array_unref);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

/* The one that is dragged is a number among those that were there when it was pressed, and has corners that only the
 * drag has made so far. */
void
bl_photo_view_set_outlines (BlPhotoView *self, GPtrArray *outlines)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  g_clear_pointer (&self->later, g_ptr_array_unref);
  self->has_later = is_dragging_outline (self);
  if (self->has_later)
    {
      self->later = outlines;
      return;
    }
  g_clear_pointer (&self->outlines, g_ptr_array_unref);
  self->outlines = outlines;
  g_clear_pointer (&self->labels, g_array_unref);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
bl_photo_view_end_act (BlPhotoView *self)
{
  self->act = ACT_NONE;
  if (self->has_later)
    bl_photo_view_set_outlines (self, g_steal_pointer (&self->later));
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
bl_photo_view_fly (BlPhotoView *self, double x0, double y0, double x1, double y1)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self) && x1 >= x0 && y1 >= y0);
  BlViewport to = self->viewport, fit = self->viewport;
  double near, zoom;

  if (self->surface == NULL || to.view_w <= 0 || to.zoom <= 0)
    return;
  bl_viewport_fit (&fit);
  near = MAX (MIN (FLY_ZOOM * fit.zoom, MAX (1.0, fit.zoom)), to.zoom);
  zoom = MIN (to.view_w / MAX (x1 - x0, 1), to.view_h / MAX (y1 - y0, 1)) * 0.8;
  /* Nearer than needed already: then the zoom stays. */
  zoom = x1 > x0 || y1 > y0 ? MIN (zoom, near) : near;
  bl_viewport_zoom_at (&to, zoom / to.zoom, to.view_w / 2, to.view_h / 2);
  bl_viewport_centre_on (&to, (x0 + x1) / 2, (y0 + y1) / 2, &to.x, &to.y);
  glide_to (self, &to);
}

void
bl_photo_view_set_dimmed (BlPhotoView *self, gboolean dimmed)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  self->dimmed = dimmed;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
bl_photo_view_set_pointer_name (BlPhotoView *self, const char *name)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  if (g_strcmp0 (name, self->pointer_name) == 0)
    return;
  g_free (self->pointer_name);
  self->pointer_name = g_strdup (name);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
bl_photo_view_fit (BlPhotoView *self)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  bl_photo_view_stop_glide (self);
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
  bl_photo_view_stop_glide (self);
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
  bl_photo_view_stop_glide (self);
  bl_viewport_zoom_at (&self->viewport, factor, self->viewport.view_w / 2, self->viewport.view_h / 2);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
bl_photo_view_pan (BlPhotoView *self, double dx, double dy)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  bl_photo_view_stop_glide (self);
  bl_viewport_pan (&self->viewport, dx, dy);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
bl_photo_view_set_tool (BlPhotoView *self, BlPhotoTool tool)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  if (self->tool == tool)
    return;
  bl_photo_view_drop_draft (self);
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
bl_photo_view_set_reserved (BlPhotoView *self, double width, double height)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  if (self->reserved.w == width && self->reserved.h == height)
    return;
  self->reserved = (BlLabelBox){ 0, 0, width, height };
  g_clear_pointer (&self->labels, g_array_unref);
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
