/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What can be said of a picture file without decoding it: its kind, its size, whether it breaks off.
 *
 * Decoders are lenient and show the missing part grey; a board documented on such a photo would be useless, so
 * the ends of the three formats are looked for: the IEND chunk of PNG (ISO/IEC 15948, 11.2.5), the EOI marker
 * after the scans of JPEG (ITU-T T.81, B.1.1.3; markers cannot occur inside a scan, B.1.1.5), the length in the
 * RIFF header of WebP (RFC 9649, 2.4). A file of some kilobytes may declare a picture that fills the memory when
 * it is unpacked, so the size is read too: IHDR of PNG (11.2.2), the frame header of JPEG (B.2.2), the VP8, VP8L
 * or VP8X chunk of WebP (RFC 9649, 2.5 to 2.7). The clause numbers are from memory.
 */
#include "config.h"

#include "bl-image-check.h"

#include <glib/gi18n-lib.h>
#include <string.h>

/* --- kind --- */

const char *
bl_image_mime (GBytes *image)
{
  gsize size = 0;
  const guint8 *data = g_bytes_get_data (image, &size);

  if (size >= 3 && memcmp (data, "\xff\xd8\xff", 3) == 0)
    return "image/jpeg";
  if (size >= 8 && memcmp (data, "\x89PNG\r\n\x1a\n", 8) == 0)
    return "image/png";
  if (size >= 12 && memcmp (data, "RIFF", 4) == 0 && memcmp (data + 8, "WEBP", 4) == 0)
    return "image/webp";
  if (size >= 12 && memcmp (data + 4, "ftyp", 4) == 0)
    {
      if (memcmp (data + 8, "avif", 4) == 0)
        return "image/avif";
      if (memcmp (data + 8, "heic", 4) == 0 || memcmp (data + 8, "heix", 4) == 0 ||
          memcmp (data + 8, "mif1", 4) == 0)
        return "image/heif";
    }
  return NULL;
}

/* --- size --- */

static guint
big (const guint8 *data, guint bytes)
{
  guint value = 0;

  for (guint i = 0; i < bytes; i++)
    value = value << 8 | data[i];
  return value;
}

static guint
little (const guint8 *data, guint bytes)
{
  guint value = 0;

  for (guint i = bytes; i-- > 0;)
    value = value << 8 | data[i];
  return value;
}

static gboolean
png_size (const guint8 *data, gsize size, guint *width, guint *height)
{
  if (size < 24 || memcmp (data + 12, "IHDR", 4) != 0)
    return FALSE;
  *width = big (data + 16, 4);
  *height = big (data + 20, 4);
  return TRUE;
}

/* The first frame header before the scans. */
static gboolean
jpeg_size (const guint8 *data, gsize size, guint *width, guint *height)
{
  gsize at = 2;

  while (at + 9 <= size && data[at] == 0xff && data[at + 1] != 0xda)
    {
      guint8 marker = data[at + 1];
      if (marker >= 0xc0 && marker <= 0xcf && marker != 0xc4 && marker != 0xc8 && marker != 0xcc)
        {
          *height = big (data + at + 5, 2);
          *width = big (data + at + 7, 2);
          return TRUE;
        }
      at += marker == 0xff ? 1 : 2 + (gsize) big (data + at + 2, 2);
    }
  return FALSE;
}

static gboolean
webp_size (const guint8 *data, gsize size, guint *width, guint *height)
{
  guint both;

  if (size < 30)
    return FALSE;
  if (memcmp (data + 12, "VP8X", 4) == 0)
    {
      *width = little (data + 24, 3) + 1;
      *height = little (data + 27, 3) + 1;
      return TRUE;
    }
  if (memcmp (data + 12, "VP8L", 4) == 0 && data[20] == 0x2f)
    {
      both = little (data + 21, 4);
      *width = (both & 0x3fff) + 1;
      *height = (both >> 14 & 0x3fff) + 1;
      return TRUE;
    }
  if (memcmp (data + 12, "VP8 ", 4) != 0 || memcmp (data + 23, "\x9d\x01\x2a", 3) != 0)
    return FALSE;
  *width = little (data + 26, 2) & 0x3fff;
  *height = little (data + 28, 2) & 0x3fff;
  return TRUE;
}

gboolean
bl_image_size (GBytes *image, guint *width, guint *height)
{
  g_return_val_if_fail (image != NULL && width != NULL && height != NULL, FALSE);
  const char *mime = bl_image_mime (image);
  gsize size;
  const guint8 *data = g_bytes_get_data (image, &size);

  if (g_strcmp0 (mime, "image/png") == 0)
    return png_size (data, size, width, height);
  if (g_strcmp0 (mime, "image/jpeg") == 0)
    return jpeg_size (data, size, width, height);
  return g_strcmp0 (mime, "image/webp") == 0 && webp_size (data, size, width, height);
}

/* --- whole --- */

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

static gboolean
check_size (GBytes *image, const char *name, GError **error)
{
  guint width = 0, height = 0;

  if (!bl_image_size (image, &width, &height) || width == 0 || height == 0)
    {
      g_set_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_DATA, _ ("“%s” does not say how large its picture is"), name);
      return FALSE;
    }
  if (width <= BL_IMAGE_MAX_SIDE && height <= BL_IMAGE_MAX_SIDE && width <= BL_IMAGE_MAX_PIXELS / height)
    return TRUE;
  g_set_error (error, G_IO_ERROR, G_IO_ERROR_INVALID_DATA,
               _ ("“%s” is too large: %u × %u pixels, at most %d million are read"), name, width, height,
               BL_IMAGE_MAX_PIXELS / 1000000);
  return FALSE;
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
  return whole && check_size (image, name, error);
}
