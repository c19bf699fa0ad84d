/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Photos that are read and decoded once. A board has one to four, a bench some tens with those of other boards beside
 * it; a decoded one is some 80 MB for 12 megapixels. None is dropped before the loader is, unless that is asked for. */
#include "config.h"

#include "bl-photo-loader.h"

#include <glib/gi18n-lib.h>

struct _BlPhotoLoader
{
  GObject parent_instance;

  BlPhotoRead read;
  gpointer data;
  GHashTable *surfaces, *messages; /* id to BlPhotoSurface, or to why there is none */
  GHashTable *loading;             /* id to Load, which is not owned */
  GCancellable *cancellable;
};

enum { LOADED, N_SIGNALS };
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlPhotoLoader, bl_photo_loader, G_TYPE_OBJECT)

typedef struct
{
  BlPhotoLoader *loader; /* owned */
  char *id, *title;
} Load;

static void
load_free (Load *load)
{
  g_object_unref (load->loader);
  g_free (load->id);
  g_free (load->title);
  g_free (load);
}

static void
loaded (GObject *source, GAsyncResult *result, gpointer data)
{
  Load *load = data;
  BlPhotoLoader *self = load->loader;
  g_autoptr (GError) error = NULL;
  g_autoptr (BlPhotoSurface) surface = bl_photo_surface_load_finish (result, &error);

  /* Forgotten meanwhile, and perhaps begun anew: it tells nothing. */
  if (!g_cancellable_is_cancelled (self->cancellable) && g_hash_table_lookup (self->loading, load->id) == load)
    {
      g_hash_table_remove (self->loading, load->id);
      if (surface != NULL)
        g_hash_table_insert (self->surfaces, g_strdup (load->id), g_steal_pointer (&surface));
      else
        g_hash_table_insert (self->messages, g_strdup (load->id),
                             load->title != NULL
                               ? g_strdup_printf (_ ("The photo “%s” cannot be shown: %s"), load->title, error->message)
                               : g_strdup_printf (_ ("The photo cannot be shown: %s"), error->message));
      g_signal_emit (self, signals[LOADED], 0, load->id);
    }
  load_free (load);
}

/* Why there is no photo, or that it is on its way; reads it where that was not tried yet. (transfer none) */
static const char *
begin (BlPhotoLoader *self, const char *id, const char *title)
{
  g_autoptr (GError) error = NULL;

  if (g_hash_table_contains (self->loading, id))
    return _ ("opening the photo");
  g_autoptr (GBytes) image = self->read (id, self->data, &error);
  if (image == NULL)
    {
      g_hash_table_insert (self->messages, g_strdup (id),
                           title != NULL ? g_strdup_printf (_ ("The photo “%s” cannot be read: %s"), title, error->message)
                                         : g_strdup_printf (_ ("The photo cannot be read: %s"), error->message));
      return g_hash_table_lookup (self->messages, id);
    }
  Load *load = g_new0 (Load, 1);
  load->loader = g_object_ref (self);
  load->id = g_strdup (id);
  load->title = g_strdup (title);
  g_hash_table_insert (self->loading, g_strdup (id), load);
  bl_photo_surface_load_async (image, self->cancellable, loaded, load);
  return _ ("opening the photo");
}

BlPhotoSurface *
bl_photo_loader_get (BlPhotoLoader *self, const char *id, const char *title, const char **message)
{
  g_return_val_if_fail (BL_IS_PHOTO_LOADER (self) && id != NULL && message != NULL, NULL);
  BlPhotoSurface *surface = bl_photo_loader_peek (self, id);

  *message = surface != NULL ? NULL : g_hash_table_lookup (self->messages, id);
  if (surface == NULL && *message == NULL)
    *message = begin (self, id, title);
  return surface;
}

BlPhotoSurface *
bl_photo_loader_peek (BlPhotoLoader *self, const char *id)
{
  g_return_val_if_fail (BL_IS_PHOTO_LOADER (self) && id != NULL, NULL);
  return g_hash_table_lookup (self->surfaces, id);
}

gboolean
bl_photo_loader_is_broken (BlPhotoLoader *self, const char *id)
{
  g_return_val_if_fail (BL_IS_PHOTO_LOADER (self) && id != NULL, FALSE);
  return g_hash_table_contains (self->messages, id);
}

void
bl_photo_loader_forget (BlPhotoLoader *self, const char *id)
{
  g_return_if_fail (BL_IS_PHOTO_LOADER (self) && id != NULL);
  g_hash_table_remove (self->surfaces, id);
  g_hash_table_remove (self->messages, id);
  g_hash_table_remove (self->loading, id);
}

void
bl_photo_loader_close (BlPhotoLoader *self)
{
  if (self == NULL)
    return;
  g_cancellable_cancel (self->cancellable);
  g_object_unref (self);
}

static void
bl_photo_loader_finalize (GObject *object)
{
  BlPhotoLoader *self = BL_PHOTO_LOADER (object);

  g_hash_table_unref (self->surfaces);
  g_hash_table_unref (self->messages);
  g_hash_table_unref (self->loading);
  g_object_unref (self->cancellable);
  G_OBJECT_CLASS (bl_photo_loader_parent_class)->finalize (object);
}

static void
bl_photo_loader_class_init (BlPhotoLoaderClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = bl_photo_loader_finalize;
  signals[LOADED] = g_signal_new ("loaded", BL_TYPE_PHOTO_LOADER, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                                  G_TYPE_STRING);
}

static void
bl_photo_loader_init (BlPhotoLoader *self)
{
  self->surfaces = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify) bl_photo_surface_unref);
  self->messages = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  self->loading = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  self->cancellable = g_cancellable_new ();
}

BlPhotoLoader *
bl_photo_loader_new (BlPhotoRead read, gpointer data)
{
  g_return_val_if_fail (read != NULL, NULL);
  BlPhotoLoader *self = g_object_new (BL_TYPE_PHOTO_LOADER, NULL);

  self->read = read;
  self->data = data;
  return self;
}
