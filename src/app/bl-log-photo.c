/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Thumbnails of the log. The log is built anew with every entry, so a decoded one stays with the bench; decoding
 * is off the thread that draws. A picture that cannot be read leaves an empty frame: its line says what it was. */
#include "config.h"

#include "bl-log-photo.h"

#include <glib/gi18n-lib.h>

#include "bl-bench-repair.h"
#include "bl-style.h"

#define WIDTH 72
#define HEIGHT 48

typedef struct
{
  BlBench *bench;
  GtkWidget *picture;
  gint64 photo;
} Loading;

static void
loading_free (Loading *loading)
{
  g_object_unref (loading->bench);
  g_object_unref (loading->picture);
  g_free (loading);
}

/* Of a bench: photo id to GdkTexture. */
static GHashTable *
kept (BlBench *bench)
{
  GHashTable *table = g_object_get_data (G_OBJECT (bench), "bl-log-photos");

  if (table == NULL)
    {
      table = g_hash_table_new_full (g_int64_hash, g_int64_equal, g_free, g_object_unref);
      g_object_set_data_full (G_OBJECT (bench), "bl-log-photos", table, (GDestroyNotify) g_hash_table_unref);
    }
  return table;
}

static void
decoded (GObject *source, GAsyncResult *result, gpointer data)
{
  Loading *loading = data;
  g_autoptr (GdkPixbuf) pixbuf = gdk_pixbuf_new_from_stream_finish (result, NULL);

  if (pixbuf != NULL)
    {
      g_autoptr (GdkPixbuf) upright = gdk_pixbuf_apply_embedded_orientation (pixbuf);
      GdkTexture *texture = gdk_texture_new_for_pixbuf (upright);
      gtk_picture_set_paintable (GTK_PICTURE (loading->picture), GDK_PAINTABLE (texture));
      g_hash_table_replace (kept (loading->bench), g_memdup2 (&loading->photo, sizeof loading->photo), texture);
    }
  loading_free (loading);
}

static void
load (BlBench *bench, gint64 photo, GtkWidget *picture)
{
  g_autoptr (GBytes) image = bl_bench_job_photo (bench, photo, NULL, NULL);
  Loading *loading;

  if (image == NULL)
    return;
  g_autoptr (GInputStream) stream = g_memory_input_stream_new_from_bytes (image);
  loading = g_new0 (Loading, 1);
  loading->bench = g_object_ref (bench);
  loading->picture = g_object_ref (picture);
  loading->photo = photo;
  gdk_pixbuf_new_from_stream_at_scale_async (stream, 2 * WIDTH, 2 * HEIGHT, TRUE, NULL, decoded, loading);
}

GtkWidget *
bl_log_photo_new (BlBench *bench, gint64 photo)
{
  g_return_val_if_fail (BL_IS_BENCH (bench), NULL);
  GtkWidget *button = gtk_button_new (), *picture = gtk_picture_new ();
  GdkTexture *texture = g_hash_table_lookup (kept (bench), &photo);

  gtk_widget_set_size_request (picture, WIDTH, HEIGHT);
  gtk_widget_add_css_class (picture, "thumbnail");
  gtk_button_set_child (GTK_BUTTON (button), picture);
  gtk_widget_add_css_class (button, "bare");
  gtk_widget_set_focus_on_click (button, FALSE);
  bl_widget_tip (button, _ ("Show this photo"));
  bl_widget_name (button, _ ("Show this photo"));
  if (texture != NULL)
    gtk_picture_set_paintable (GTK_PICTURE (picture), GDK_PAINTABLE (texture));
  else
    load (bench, photo, picture);
  return button;
}
