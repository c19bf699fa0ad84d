/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fault tree as a widget: zoom, pan, folding, selection, and the small plan of the whole tree. The drawing is that
 * of the report (bl-tree-draw.c).
 *
 * What is painted is invisible to assistive technology, so each item shown has a child that paints nothing,
 * lies where the item is and carries its words; the keyboard focus is on the child of the selected one.
 * Some thousand items. */
#include "config.h"

#include "bl-tree-canvas-private.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-style.h"
#include "bl-tree-draw.h"

#define MARGIN 18.0  /* px left free round the tree */
#define LEAST_TEXT 0.4 /* below this zoom words are left out */
#define READABLE 1.0 /* no text below 11 px */
#define MOST_ZOOM 2.5
#define GLIDE_US 150000.0

G_DEFINE_FINAL_TYPE (BlTreeCanvas, bl_tree_canvas, GTK_TYPE_WIDGET)

/* --- the children that are read aloud --- */

#define BL_TYPE_TREE_NAME (bl_tree_name_get_type ())
G_DECLARE_FINAL_TYPE (BlTreeName, bl_tree_name, BL, TREE_NAME, GtkWidget)
struct _BlTreeName
{
  GtkWidget parent_instance;
};
G_DEFINE_FINAL_TYPE (BlTreeName, bl_tree_name, GTK_TYPE_WIDGET)

static void
bl_tree_name_class_init (BlTreeNameClass *klass)
{
  gtk_widget_class_set_accessible_role (GTK_WIDGET_CLASS (klass), GTK_ACCESSIBLE_ROLE_TREE_ITEM);
}

static void
bl_tree_name_init (BlTreeName *self)
{
  gtk_widget_set_can_target (GTK_WIDGET (self), FALSE);
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
}

static void
drop_name (gpointer widget)
{
  if (widget != NULL)
    gtk_widget_unparent (widget);
}

static void
tell (BlTreeCanvas *self, guint item, GtkWidget *name)
{
  const BlChartItem *shown = bl_chart_item (self->chart, item);
  g_autofree char *words = bl_tree_chart_words (self->chart, item);

  bl_widget_name (name, words);
  gtk_accessible_update_state (GTK_ACCESSIBLE (name), GTK_ACCESSIBLE_STATE_SELECTED, (int) item == self->selected, -1);
  if (shown->children->len > 0)
    gtk_accessible_update_state (GTK_ACCESSIBLE (name), GTK_ACCESSIBLE_STATE_EXPANDED, shown->open, -1);
}

static void
sync_names (BlTreeCanvas *self)
{
  for (guint i = 0; self->chart != NULL && i < self->chart->items->len; i++)
    {
      GtkWidget *name = g_ptr_array_index (self->names, i);
      if (bl_chart_item (self->chart, i)->shown && name == NULL)
        {
          name = g_object_new (BL_TYPE_TREE_NAME, NULL);
          gtk_widget_set_parent (name, GTK_WIDGET (self));
          g_ptr_array_index (self->names, i) = name;
        }
      else if (!bl_chart_item (self->chart, i)->shown && name != NULL)
        {
          g_ptr_array_index (self->names, i) = NULL;
          gtk_widget_unparent (name);
          name = NULL;
        }
      if (name != NULL)
        tell (self, i, name);
    }
}

/* --- where it is --- */

static double
view_w (BlTreeCanvas *self)
{
  return gtk_widget_get_width (GTK_WIDGET (self));
}

static double
view_h (BlTreeCanvas *self)
{
  return gtk_widget_get_height (GTK_WIDGET (self));
}

static double
fit_zoom (BlTreeCanvas *self)
{
  double w = (view_w (self) - 2 * MARGIN) / self->chart->width, h = (view_h (self) - 2 * MARGIN) / self->chart->height;
  return CLAMP (MIN (w, h), 0.02, 1);
}

/* The tree cannot leave the pane; one that is smaller stands in the middle. */
static double
keep_in (double at, double size, double view)
{
  double margin = MIN (MARGIN, view / 4);

  if (size + 2 * margin <= view)
    return (size - view) / 2;
  return CLAMP (at, -margin, size + margin - view);
}

void
bl_tree_canvas_place (BlTreeCanvas *self, double x, double y)
{
  self->x = keep_in (x, self->chart->width, view_w (self) / self->zoom);
  self->y = keep_in (y, self->chart->height, view_h (self) / self->zoom);
  gtk_widget_queue_allocate (GTK_WIDGET (self));
  gtk_widget_queue_draw (GTK_WIDGET (self));
  g_signal_emit_by_name (self, "moved");
}

void
bl_tree_canvas_stop_glide (BlTreeCanvas *self)
{
  if (self->glide != 0)
    gtk_widget_remove_tick_callback (GTK_WIDGET (self), self->glide);
  self->glide = 0;
}

static gboolean
glide_tick (GtkWidget *widget, GdkFrameClock *clock, gpointer data)
{
  BlTreeCanvas *self = BL_TREE_CANVAS (widget);
  double t = CLAMP ((double) (gdk_frame_clock_get_frame_time (clock) - self->glide_start) / GLIDE_US, 0, 1);
  double ease = t * t * (3 - 2 * t);

  bl_tree_canvas_place (self, self->from_x + ease * (self->to_x - self->from_x),
                        self->from_y + ease * (self->to_y - self->from_y));
  if (t < 1)
    return G_SOURCE_CONTINUE;
  self->glide = 0;
  return G_SOURCE_REMOVE;
}

static void
glide_to (BlTreeCanvas *self, double x, double y)
{
  gboolean animate = FALSE;

  bl_tree_canvas_stop_glide (self);
  g_object_get (gtk_widget_get_settings (GTK_WIDGET (self)), "gtk-enable-animations", &animate, NULL);
  if (!animate || !gtk_widget_get_mapped (GTK_WIDGET (self)))
    {
      bl_tree_canvas_place (self, x, y);
      return;
    }
  self->from_x = self->x;
  self->from_y = self->y;
  self->to_x = x;
  self->to_y = y;
  self->glide_start = gdk_frame_clock_get_frame_time (gtk_widget_get_frame_clock (GTK_WIDGET (self)));
  self->glide = gtk_widget_add_tick_callback (GTK_WIDGET (self), glide_tick, NULL, NULL);
}

void
bl_tree_canvas_zoom_at (BlTreeCanvas *self, double factor, double vx, double vy)
{
  if (self->chart == NULL || view_w (self) <= 0)
    return;
  bl_tree_canvas_stop_glide (self);
  double zoom = CLAMP (self->zoom * factor, fit_zoom (self), MOST_ZOOM);
  double x = self->x + vx / self->zoom - vx / zoom, y = self->y + vy / self->zoom - vy / zoom;
  self->fitted = FALSE;
  self->zoom = zoom;
  bl_tree_canvas_place (self, x, y);
}

void
bl_tree_canvas_zoom (BlTreeCanvas *self, double factor)
{
  g_return_if_fail (BL_IS_TREE_CANVAS (self));
  bl_tree_canvas_zoom_at (self, factor, view_w (self) / 2, view_h (self) / 2);
}

void
bl_tree_canvas_pan (BlTreeCanvas *self, double dx, double dy)
{
  g_return_if_fail (BL_IS_TREE_CANVAS (self));
  if (self->chart == NULL || view_w (self) <= 0)
    return;
  bl_tree_canvas_stop_glide (self);
  bl_tree_canvas_place (self, self->x - dx / self->zoom, self->y - dy / self->zoom);
}

void
bl_tree_canvas_fit (BlTreeCanvas *self)
{
  g_return_if_fail (BL_IS_TREE_CANVAS (self));
  self->fitted = TRUE;
  if (self->chart == NULL || view_w (self) <= 0)
    return;
  bl_tree_canvas_stop_glide (self);
  self->zoom = fit_zoom (self);
  bl_tree_canvas_place (self, self->x, self->y);
}

/* Moves so that the item and what it leads to are in view. */
static void
reveal (BlTreeCanvas *self, guint index, gboolean always)
{
  const BlChartItem *item = bl_chart_item (self->chart, index);
  double w = view_w (self) / self->zoom, h = view_h (self) / self->zoom;
  gboolean seen = item->x >= self->x && item->x + item->w <= self->x + w && item->y >= self->y
                  && item->y + item->h <= self->y + h;

  if (seen && !always)
    return;
  /* Left of the middle, so that the effects on its right are in sight. */
  glide_to (self, item->x + item->w / 2 - w * 0.4, item->y + item->h / 2 - h / 2);
}

void
bl_tree_canvas_begin (BlTreeCanvas *self)
{
  g_return_if_fail (BL_IS_TREE_CANVAS (self));
  int at = self->selected;

  self->begun = FALSE;
  if (self->chart == NULL || view_w (self) <= 0)
    return;
  self->begun = TRUE;
  self->fitted = FALSE;
  self->zoom = READABLE;
  bl_tree_canvas_place (self, self->x, self->y);
  const BlChartItem *item = bl_chart_item (self->chart, MAX (at, 0));
  if (item->shown)
    bl_tree_canvas_place (self, item->x + item->w / 2 - view_w (self) / self->zoom * 0.4,
           item->y + item->h / 2 - view_h (self) / self->zoom / 2);
}

gboolean
bl_tree_canvas_place_of (BlTreeCanvas *self, guint index, GdkRectangle *rectangle)
{
  g_return_val_if_fail (BL_IS_TREE_CANVAS (self) && self->chart != NULL && index < self->chart->items->len, FALSE);
  const BlChartItem *item = bl_chart_item (self->chart, index);

  *rectangle =
      (GdkRectangle){ (int) round ((item->x - self->x) * self->zoom), (int) round ((item->y - self->y) * self->zoom),
                      MAX (1, (int) round (item->w * self->zoom)), MAX (1, (int) round (item->h * self->zoom)) };
  return item->shown;
}

/* --- what is shown --- */

/* The leading suspect, or the top. */
static int
first_item (BlTreeCanvas *self)
{
  for (guint i = 0; self->chart != NULL && i < self->chart->items->len; i++)
    if (bl_chart_item (self->chart, i)->likely && bl_chart_item (self->chart, i)->children->len == 0)
      return (int) i;
  return self->chart != NULL ? 0 : -1;
}

static void
arrange (BlTreeCanvas *self)
{
  if (self->chart == NULL)
    return;
  bl_tree_chart_arrange (self->chart);
  while (self->selected >= 0 && !bl_chart_item (self->chart, self->selected)->shown)
    self->selected = bl_chart_item (self->chart, self->selected)->parent;
  sync_names (self);
  if (self->fitted)
    bl_tree_canvas_fit (self);
  else if (self->begun)
    bl_tree_canvas_place (self, self->x, self->y);
}

void
bl_tree_canvas_set_chart (BlTreeCanvas *self, BlTreeChart *chart, const char *words)
{
  g_return_if_fail (BL_IS_TREE_CANVAS (self));
  bl_tree_canvas_stop_glide (self);
  g_clear_pointer (&self->names, g_ptr_array_unref);
  g_clear_pointer (&self->chart, bl_tree_chart_free);
  g_clear_pointer (&self->marked, g_hash_table_unref);
  g_free (self->words);
  self->words = g_strdup (words);
  self->chart = chart;
  self->selected = first_item (self);
  self->fitted = self->begun = FALSE;
  self->names = g_ptr_array_new_with_free_func (drop_name);
  if (chart != NULL)
    g_ptr_array_set_size (self->names, (int) chart->items->len);
  arrange (self);
  bl_tree_canvas_begin (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

BlTreeChart *
bl_tree_canvas_get_chart (BlTreeCanvas *self)
{
  g_return_val_if_fail (BL_IS_TREE_CANVAS (self), NULL);
  return self->chart;
}

void
bl_tree_canvas_update (BlTreeCanvas *self)
{
  g_return_if_fail (BL_IS_TREE_CANVAS (self));
  arrange (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
bl_tree_canvas_select (BlTreeCanvas *self, int item, gboolean focus)
{
  int before = self->selected;

  self->selected = item;
  for (int i = 0; i < 2; i++)
    {
      int index = i == 0 ? before : item;
      GtkWidget *name = index >= 0 ? g_ptr_array_index (self->names, index) : NULL;
      if (name != NULL)
        tell (self, (guint) index, name);
      if (name != NULL && i == 1 && focus)
        gtk_widget_grab_focus (name);
    }
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
bl_tree_canvas_show (BlTreeCanvas *self, int item)
{
  g_return_if_fail (BL_IS_TREE_CANVAS (self));
  gboolean focus = gtk_widget_get_focus_child (GTK_WIDGET (self)) != NULL;

  if (self->chart == NULL || item >= (int) self->chart->items->len)
    return;
  if (item >= 0)
    {
      bl_tree_chart_uncover (self->chart, (guint) item);
      arrange (self);
    }
  bl_tree_canvas_select (self, item, focus);
  if (item < 0 || !self->begun)
    return;
  if (self->zoom < READABLE)
    {
      self->fitted = FALSE;
      self->zoom = READABLE;
      reveal (self, (guint) item, TRUE);
    }
  else
    reveal (self, (guint) item, FALSE);
}

int
bl_tree_canvas_get_selected (BlTreeCanvas *self)
{
  g_return_val_if_fail (BL_IS_TREE_CANVAS (self), -1);
  return self->selected;
}

void
bl_tree_canvas_toggle (BlTreeCanvas *self, guint index)
{
  g_return_if_fail (BL_IS_TREE_CANVAS (self) && self->chart != NULL && index < self->chart->items->len);
  BlChartItem *item = bl_chart_item (self->chart, index);
  double x = item->x + item->w, y = item->y;

  if (item->children->len == 0)
    return;
  bl_tree_canvas_stop_glide (self);
  item->open = !item->open;
  arrange (self);
  if (!self->fitted)
    bl_tree_canvas_place (self, self->x + item->x + item->w - x, self->y + item->y - y);
}

static void
mark_to_top (BlTreeCanvas *self, int item)
{
  for (; item >= 0; item = bl_chart_item (self->chart, item)->parent)
    g_hash_table_add (self->marked, GUINT_TO_POINTER (bl_chart_item (self->chart, item)->node + 1));
}

void
bl_tree_canvas_mark (BlTreeCanvas *self, const GArray *nodes)
{
  g_return_if_fail (BL_IS_TREE_CANVAS (self));
  g_clear_pointer (&self->marked, g_hash_table_unref);
  if (nodes != NULL && self->chart != NULL)
    {
      self->marked = g_hash_table_new (NULL, NULL);
      for (guint i = 0; i < nodes->len; i++)
        {
          int item = self->chart->item_of[g_array_index (nodes, guint, i)];
          mark_to_top (self, item);
          if (item >= 0)
            bl_tree_chart_uncover (self->chart, (guint) item);
        }
      arrange (self);
    }
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

void
bl_tree_canvas_set_priors (BlTreeCanvas *self, gboolean priors)
{
  g_return_if_fail (BL_IS_TREE_CANVAS (self));
  self->priors = priors;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

guint
bl_tree_canvas_get_drawn (BlTreeCanvas *self)
{
  g_return_val_if_fail (BL_IS_TREE_CANVAS (self), 0);
  return self->drawn;
}

/* --- drawing --- */

static void
bl_tree_canvas_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  BlTreeCanvas *self = BL_TREE_CANVAS (widget);
  double w = view_w (self), h = view_h (self);
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (0, 0, (float) w, (float) h));

  cairo_rectangle (cr, 0, 0, w, h);
  cairo_clip (cr);
  if (self->chart == NULL)
    bl_style_text (widget, cr, self->words != NULL ? self->words : "", 13, 400, &bl_style_palette ()->muted, 4, 16, 0,
                   w - 8);
  else
    {
      BlTreeLook look = { .palette = bl_style_palette (), .context = gtk_widget_get_pango_context (widget),
                          .x0 = self->x, .y0 = self->y, .x1 = self->x + w / self->zoom, .y1 = self->y + h / self->zoom,
                          .selected = self->selected, .marked = self->marked, .priors = self->priors,
                          .plain = self->zoom < LEAST_TEXT };
      cairo_save (cr);
      cairo_scale (cr, self->zoom, self->zoom);
      cairo_translate (cr, -self->x, -self->y);
      self->drawn = bl_tree_chart_draw (cr, self->chart, &look);
      cairo_restore (cr);
    }
  cairo_destroy (cr);
}

static void
bl_tree_canvas_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  BlTreeCanvas *self = BL_TREE_CANVAS (widget);

  if (self->chart == NULL || width <= 0)
    return;
  if (!self->begun)
    bl_tree_canvas_begin (self);
  if (self->fitted)
    self->zoom = fit_zoom (self);
  self->zoom = MAX (self->zoom, fit_zoom (self));
  self->x = keep_in (self->x, self->chart->width, width / self->zoom);
  self->y = keep_in (self->y, self->chart->height, height / self->zoom);
  for (guint i = 0; i < self->names->len; i++)
    {
      GtkWidget *name = g_ptr_array_index (self->names, i);
      GdkRectangle at;
      int least;
      if (name == NULL)
        continue;
      gtk_widget_measure (name, GTK_ORIENTATION_HORIZONTAL, -1, &least, NULL, NULL, NULL);
      bl_tree_canvas_place_of (self, i, &at);
      gtk_widget_size_allocate (name, &at, -1);
    }
}

static void
bl_tree_canvas_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                        int *minimum_baseline, int *natural_baseline)
{
  BlTreeCanvas *self = BL_TREE_CANVAS (widget);

  for (guint i = 0; self->names != NULL && i < self->names->len; i++)
    if (g_ptr_array_index (self->names, i) != NULL)
      gtk_widget_measure (g_ptr_array_index (self->names, i), orientation, -1, NULL, NULL, NULL, NULL);
  *minimum = 80;
  *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? 700 : 300;
}

static gboolean
bl_tree_canvas_grab_focus (GtkWidget *widget)
{
  BlTreeCanvas *self = BL_TREE_CANVAS (widget);
  int at = MAX (self->selected, 0);

  if (self->chart == NULL || at >= (int) self->names->len || g_ptr_array_index (self->names, at) == NULL)
    return FALSE;
  if (self->selected < 0)
    bl_tree_canvas_select (self, 0, FALSE);
  return gtk_widget_grab_focus (g_ptr_array_index (self->names, at));
}

static void
bl_tree_canvas_dispose (GObject *object)
{
  BlTreeCanvas *self = BL_TREE_CANVAS (object);

  bl_tree_canvas_stop_glide (self);
  g_clear_pointer (&self->names, g_ptr_array_unref);
  g_clear_pointer (&self->chart, bl_tree_chart_free);
  g_clear_pointer (&self->marked, g_hash_table_unref);
  g_clear_pointer (&self->words, g_free);
  G_OBJECT_CLASS (bl_tree_canvas_parent_class)->dispose (object);
}

static void
bl_tree_canvas_class_init (BlTreeCanvasClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_tree_canvas_dispose;
  widget_class->snapshot = bl_tree_canvas_snapshot;
  widget_class->size_allocate = bl_tree_canvas_size_allocate;
  widget_class->measure = bl_tree_canvas_measure;
  widget_class->grab_focus = bl_tree_canvas_grab_focus;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_TREE);
  g_signal_new ("chosen", BL_TYPE_TREE_CANVAS, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_UINT);
  g_signal_new ("moved", BL_TYPE_TREE_CANVAS, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
bl_tree_canvas_init (BlTreeCanvas *self)
{
  self->selected = -1;
  self->zoom = 1;
  self->pointer_x = self->pointer_y = NAN;
  self->names = g_ptr_array_new_with_free_func (drop_name);
  gtk_widget_set_overflow (GTK_WIDGET (self), GTK_OVERFLOW_HIDDEN);
  bl_widget_name (GTK_WIDGET (self), _ ("Fault tree"));
  bl_tree_canvas_add_controllers (self);
  bl_style_watch (GTK_WIDGET (self));
}

GtkWidget *
bl_tree_canvas_new (void)
{
  return g_object_new (BL_TYPE_TREE_CANVAS, NULL);
}
