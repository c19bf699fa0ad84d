/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Picture files that break off. Decoders are lenient and show the missing part grey; a board
 * documented on such a photo would be useless, so the ends of the three formats are looked for:
 * the IEND chunk of PNG (ISO/IEC 15948, 11.2.5), the EOI marker after the scans of JPEG (ITU-T T.81,
 * B.1.1.3; markers cannot occur inside a scan, B.1.1.5), the length in the RIFF header of WebP. The clause numbers are
 * from memory.
 */
#include "config.h"

#include "bl-image-check.h"

#include "bl-bundle.h"

#include <glib/gi18n-lib.h>
#include <string.h>

static gboolean
png_is_whole (const guint8 *data, gsize size)
{
  gsize at = 8;

  while (size - at >= 12)
    {
      gsize length = (gsize) data[at] << 24 | (gsize) data[at + 1] << 16 | (gsize) data[at + 2] << 8 | data[at + 3];
      if (length > size - at - 12)
        return FALSE;
      if (memcmp (data + at + 4, "IEND", 4) == 0)
        return TRUE;
      at += length + 12;
    }
  return FALSE;
}

/* Walks the segments to the first scan (a small picture embedded in one of them has its own), then looks
 * for the end behind it: markers cannot occur inside a scan. */
static gboolean
jpeg_is_whole (const guint8 *data, gsize size)
{
  gsize at = 2;

  while (at + 4 <= size && data[at] == 0xff && data[at + 1] != 0xda)
    at += data[at + 1] == 0xff ? 1 : 2 + ((gsize) data[at + 2] << 8 | data[at + 3]);
  if (at + 4 > size || data[at] != 0xff)
    return FALSE;
  for (gsize i = size - 2; i > at; i--)
    if (data[i] == 0xff && data[i + 1] == 0xd9)
      return TRUE;
  return FALSE;
}

static gboolean
webp_is_whole (const guint8 *data, gsize size)
{
  return size >= 12
         && ((gsize) data[4] | (gsize) data[5] << 8 | (gsize) data[6] << 16 | (gsize) data[7] << 24) + 8 <= size;
}

gboolean
bl_image_check (GBytes *image, const char *name, GError **error)
{
  g_return_val_if_fail (image != NULL && name != NULL, FALSE);
  const char *mime = bl_image_mime (image);
  gsize size;
  const guint8 *data = g_bytes_get_data (image, &size);
  gboolean whole = FALSE;

  if (g_strcmp0 (mime, "image/png") == 0)
    whole = png_is_whole (data, size);
  else if (g_strcmp0 (mime, "image/jpeg") == 0)
    whole = jpeg_is_whole (data, size);
  else if (g_strcmp0 (mime, "image/webp") == 0)
    whole = webp_is_whole (data, size);
  else
    {
      g_set_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_DATA,
                   _ ("“%s” is no photo: expected a JPEG, PNG or WebP picture"), name);
      return FALSE;
    }
  if (!whole)
    g_set_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_DATA, _ ("“%s” breaks off: a part of the picture is missing"),
                 name);
  return whole;
}
