/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What differs between two versions of a document: the bytes between what both begin and what both end with. A change
 * of one field in a document of 100 kB keeps some tens of bytes; a renamed element, whose name stands in many places,
 * the text between the first and the last of them, which compresses to some kilobytes. Applying a delta checks the
 * digest of both texts, so that it never makes anything of a text it was not made for. */
#include "config.h"

#include "bl-step-private.h"

#include <gio/gio.h>
#include <string.h>

enum { WORTH_COMPRESSING = 400, DIGEST_LENGTH = 32, MOST_KNOWN = 1 << 20 };

/* Texts whose digest was worked out a moment ago: a step of undo asks thrice for two documents. Comparing two texts
 * costs a hundredth of a digest. */
typedef struct
{
  GBytes *text;
  char *digest;
} Known;

static GMutex mutex;
static Known known[4]; /* under the mutex; the newest first */

/* (transfer full), NULL: not known. */
static char *
known_digest (GBytes *text)
{
  for (guint i = 0; i < G_N_ELEMENTS (known); i++)
    if (known[i].text != NULL && g_bytes_equal (known[i].text, text))
      return g_strdup (known[i].digest);
  return NULL;
}

static void
remember (GBytes *text, const char *digest)
{
  guint last = G_N_ELEMENTS (known) - 1;

  g_clear_pointer (&known[last].text, g_bytes_unref);
  g_free (known[last].digest);
  memmove (known + 1, known, last * sizeof (Known));
  known[0] = (Known){ g_bytes_ref (text), g_strdup (digest) };
}

char *
bl_step_digest (GBytes *text)
{
  g_autoptr (GMutexLocker) locker = g_mutex_locker_new (&mutex);
  char *digest = known_digest (text);

  if (digest != NULL)
    return digest;
  digest = g_compute_checksum_for_bytes (G_CHECKSUM_SHA256, text);
  digest[DIGEST_LENGTH] = '\0';
  if (g_bytes_get_size (text) <= MOST_KNOWN)
    remember (text, digest);
  return digest;
}

/* All of data through a compressor or its reverse; NULL when it is broken. */
static GBytes *
convert (GConverter *converter, gconstpointer data, gsize size)
{
  g_autoptr (GByteArray) out = g_byte_array_new ();
  guint8 room[16384];
  GConverterResult result = G_CONVERTER_CONVERTED;

  while (result != G_CONVERTER_FINISHED)
    {
      gsize taken = 0, made = 0;
      result = g_converter_convert (converter, data, size, room, sizeof room, G_CONVERTER_INPUT_AT_END, &taken, &made,
                                    NULL);
      if (result == G_CONVERTER_ERROR)
        return NULL;
      g_byte_array_append (out, room, (guint) made);
      data = (const guint8 *) data + taken;
      size -= taken;
    }
  return g_byte_array_free_to_bytes (g_steal_pointer (&out));
}

/* "DIGEST DIGEST PREFIX SUFFIX p|z\n" and the bytes between. */
static GBytes *
pack (const char *from, const char *to, gsize prefix, gsize suffix, const char *middle, gsize length)
{
  g_autoptr (GBytes) pressed = NULL;
  GString *packed = g_string_new (NULL);

  if (length > WORTH_COMPRESSING)
    {
      g_autoptr (GZlibCompressor) compressor = g_zlib_compressor_new (G_ZLIB_COMPRESSOR_FORMAT_RAW, 6);
      pressed = convert (G_CONVERTER (compressor), middle, length);
    }
  g_string_printf (packed, "%s %s %" G_GSIZE_FORMAT " %" G_GSIZE_FORMAT " %c\n", from, to, prefix, suffix,
                   pressed != NULL ? 'z' : 'p');
  if (pressed != NULL)
    middle = g_bytes_get_data (pressed, &length);
  g_string_append_len (packed, middle, (gssize) length);
  return g_string_free_to_bytes (packed);
}

void
bl_step_delta (GBytes *before, GBytes *after, GBytes **to_before, GBytes **to_after)
{
  gsize a_size, b_size, prefix = 0, suffix = 0;
  const char *a = g_bytes_get_data (before, &a_size), *b = g_bytes_get_data (after, &b_size);
  gsize most = MIN (a_size, b_size);
  g_autofree char *a_digest = bl_step_digest (before), *b_digest = bl_step_digest (after);

  while (prefix < most && a[prefix] == b[prefix])
    prefix++;
  while (suffix < most - prefix && a[a_size - suffix - 1] == b[b_size - suffix - 1])
    suffix++;
  *to_before = pack (b_digest, a_digest, prefix, suffix, a + prefix, a_size - prefix - suffix);
  *to_after = pack (a_digest, b_digest, prefix, suffix, b + prefix, b_size - prefix - suffix);
}

/* The bytes between, unpacked. */
static GBytes *
middle_of (const char *at, gsize length, gboolean pressed)
{
  if (!pressed)
    return g_bytes_new (at, length);
  g_autoptr (GZlibDecompressor) decompressor = g_zlib_decompressor_new (G_ZLIB_COMPRESSOR_FORMAT_RAW);
  return convert (G_CONVERTER (decompressor), at, length);
}

GBytes *
bl_step_delta_apply (GBytes *from, GBytes *delta)
{
  gsize size, length;
  const char *text = g_bytes_get_data (from, &size), *packed = g_bytes_get_data (delta, &length);
  const char *end = memchr (packed, '\n', length);
  g_autofree char *head = end != NULL ? g_strndup (packed, (gsize) (end - packed)) : NULL;
  g_auto (GStrv) words = g_strsplit (head != NULL ? head : "", " ", -1);
  g_autofree char *is = bl_step_digest (from), *made = NULL;
  g_autoptr (GBytes) middle = NULL, result = NULL;
  guint64 prefix, suffix;

  if (g_strv_length (words) != 5 || strcmp (words[0], is) != 0)
    return NULL;
  prefix = g_ascii_strtoull (words[2], NULL, 10);
  suffix = g_ascii_strtoull (words[3], NULL, 10);
  middle = middle_of (end + 1, length - (gsize) (end + 1 - packed), words[4][0] == 'z');
  if (middle == NULL || prefix > size || suffix > size - prefix)
    return NULL;
  GByteArray *whole = g_byte_array_new ();
  g_byte_array_append (whole, (const guint8 *) text, (guint) prefix);
  g_byte_array_append (whole, g_bytes_get_data (middle, NULL), (guint) g_bytes_get_size (middle));
  g_byte_array_append (whole, (const guint8 *) text + size - suffix, (guint) suffix);
  result = g_byte_array_free_to_bytes (whole);
  made = bl_step_digest (result);
  return strcmp (made, words[1]) == 0 ? g_steal_pointer (&result) : NULL;
}
