/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The camera's picture with a frame in it to hold the code in. It is drawn from the bytes of the newest frame, at the
 * camera's own rate. Leaving the page it is on switches it off: a camera that goes on looking is nobody's wish.
 * BENCHLORE_CAMERA_SOURCE names another source of pictures, for trying it without a camera. */
#include "config.h"

#include "bl-code-camera.h"

#include <glib/gi18n-lib.h>

#include "bl-camera.h"
#include "bl-style.h"

#define WIDTH 320
#define HEIGHT 180

struct _BlCodeCamera
{
  GtkWidget parent_instance;
  GtkWidget *box, *picture, *words;
  BlCamera *camera; /* NULL: off */
};

G_DEFINE_FINAL_TYPE (BlCodeCamera, bl_code_camera, GTK_TYPE_WIDGET)

static guint code_signal;

static void
draw_frame (cairo_t *cr, BlCodeCamera *self, double width, double height)
{
  int w = 0, h = 0, stride = 0;
  g_autoptr (GBytes) bytes = self->camera != NULL ? bl_camera_get_frame (self->camera, &w, &h, &stride) : NULL;

  if (bytes == NULL)
    return;
  /* Read only: the surface is gone before the bytes are. */
  cairo_surface_t *surface = cairo_image_surface_create_for_data ((guchar *) g_bytes_get_data (bytes, NULL),
                                                                  CAIRO_FORMAT_RGB24, w, h, stride);
  double scale = MIN (width / w, height / h);
  cairo_save (cr);
  cairo_translate (cr, (width - w * scale) / 2, (height - h * scale) / 2);
  cairo_scale (cr, scale, scale);
  cairo_set_source_surface (cr, surface, 0, 0);
  cairo_paint (cr);
  cairo_restore (cr);
  cairo_surface_destroy (surface);
}

static void
draw (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  const BlPalette *palette = bl_style_palette ();
  double side = height * 0.7, arm = side * 0.2, x = (width - side) / 2, y = (height - side) / 2;

  bl_set_source (cr, &palette->chip);
  cairo_paint (cr);
  draw_frame (cr, data, width, height);
  for (int corner = 0; corner < 4; corner++)
    {
      double cx = corner % 2 ? x + side : x, cy = corner / 2 ? y + side : y;
      cairo_move_to (cr, cx + (corner % 2 ? -arm : arm), cy);
      cairo_line_to (cr, cx, cy);
      cairo_line_to (cr, cx, cy + (corner / 2 ? -arm : arm));
    }
  bl_set_source (cr, &palette->chip);
  cairo_set_line_width (cr, 5);
  cairo_stroke_preserve (cr);
  bl_set_source (cr, &palette->chip_ink);
  cairo_set_line_width (cr, 2);
  cairo_stroke (cr);
}

static void
show_words (BlCodeCamera *self, const char *words, gboolean trouble)
{
  gtk_label_set_label (GTK_LABEL (self->words), words);
  (trouble ? gtk_widget_add_css_class : gtk_widget_remove_css_class) (self->words, "trouble");
  (trouble ? gtk_widget_remove_css_class : gtk_widget_add_css_class) (self->words, "muted");
  gtk_widget_set_visible (self->picture, !trouble);
}

static void
frame_came (BlCodeCamera *self)
{
  show_words (self, _ ("Hold the code into the frame."), FALSE);
  gtk_widget_queue_draw (self->picture);
}

static void
code_came (BlCodeCamera *self, const char *text)
{
  g_autofree char *kept = g_strdup (text);

  bl_code_camera_close (self);
  g_signal_emit (self, code_signal, 0, kept);
}

static void
trouble_came (BlCodeCamera *self, const char *message)
{
  show_words (self, message, TRUE);
}

void
bl_code_camera_open (BlCodeCamera *self)
{
  g_return_if_fail (BL_IS_CODE_CAMERA (self));
  bl_code_camera_close (self);
  self->camera = bl_camera_new (g_getenv ("BENCHLORE_CAMERA_SOURCE"));
  g_signal_connect_object (self->camera, "frame", G_CALLBACK (frame_came), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->camera, "code", G_CALLBACK (code_came), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (self->camera, "trouble", G_CALLBACK (trouble_came), self, G_CONNECT_SWAPPED);
  show_words (self, _ ("Waiting for the camera …"), FALSE);
  gtk_widget_set_visible (GTK_WIDGET (self), TRUE);
  bl_camera_start (self->camera);
}

void
bl_code_camera_close (BlCodeCamera *self)
{
  g_return_if_fail (BL_IS_CODE_CAMERA (self));

  if (self->camera != NULL)
    bl_camera_stop (self->camera);
  g_clear_object (&self->camera);
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
}

gboolean
bl_code_camera_is_open (BlCodeCamera *self)
{
  g_return_val_if_fail (BL_IS_CODE_CAMERA (self), FALSE);
  return gtk_widget_get_visible (GTK_WIDGET (self));
}

static void
bl_code_camera_unmap (GtkWidget *widget)
{
  BlCodeCamera *self = BL_CODE_CAMERA (widget);

  GTK_WIDGET_CLASS (bl_code_camera_parent_class)->unmap (widget);
  if (self->camera != NULL)
    bl_camera_stop (self->camera);
  g_clear_object (&self->camera);
  gtk_widget_set_visible (widget, FALSE);
}

static void
bl_code_camera_dispose (GObject *object)
{
  BlCodeCamera *self = BL_CODE_CAMERA (object);

  if (self->camera != NULL)
    bl_camera_stop (self->camera);
  g_clear_object (&self->camera);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_code_camera_parent_class)->dispose (object);
}

static void
bl_code_camera_class_init (BlCodeCameraClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_code_camera_dispose;
  GTK_WIDGET_CLASS (klass)->unmap = bl_code_camera_unmap;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  code_signal = g_signal_new ("code", BL_TYPE_CODE_CAMERA, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                              G_TYPE_STRING);
}

static void
bl_code_camera_init (BlCodeCamera *self)
{
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4);
  self->picture = gtk_drawing_area_new ();
  gtk_drawing_area_set_content_width (GTK_DRAWING_AREA (self->picture), WIDTH);
  gtk_drawing_area_set_content_height (GTK_DRAWING_AREA (self->picture), HEIGHT);
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (self->picture), draw, self, NULL);
  bl_widget_name (self->picture, _ ("What the camera sees"));
  self->words = bl_label ("", "muted", 0);
  gtk_label_set_wrap (GTK_LABEL (self->words), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (self->words), 60);
  gtk_box_append (GTK_BOX (self->box), self->picture);
  gtk_box_append (GTK_BOX (self->box), self->words);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
}

GtkWidget *
bl_code_camera_new (void)
{
  return g_object_new (BL_TYPE_CODE_CAMERA, NULL);
}
