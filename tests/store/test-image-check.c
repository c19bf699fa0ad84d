/* SPDX-License-Identifier: GPL-3.0-or-later
 * Pictures that break off are refused at every length but the whole one, giants whatever their length. */
#include "config.h"

#include "bl-image-check.h"
#include "pictures.h"

/* Whole pictures, and a JPEG with a second, embedded picture in an APP1 segment, as cameras put one there. */
static const guint8 embedded[] = {
  0xff, 0xd8, 0xff, 0xe1, 0, 14, 0xff, 0xd8, 0xff, 0xda, 0, 2, 7, 7, 7, 7, 0xff, 0xd9, 0xff, 0xc0, 0, 11, 8, 0, 6, 0, 8,
  1, 1, 0x11, 0, 0xff, 0xda, 0, 2, 1, 2, 3, 0xff, 0xd9,
};

static gboolean
is_whole (const guint8 *data, gsize size)
{
  g_autoptr (GBytes) bytes = g_bytes_new (data, size);
  g_autoptr (GError) error = NULL;
  gboolean whole = bl_image_check (bytes, "photo", &error);

  g_assert_true (whole == (error == NULL));
  return whole;
}

static void
check_all_lengths (const guint8 *data, gsize size)
{
  for (gsize n = 0; n < size; n++)
    {
      g_test_message ("%zu of %zu", n, size);
      g_assert_false (is_whole (data, n));
    }
  g_assert_true (is_whole (data, size));
}

static void
test_lengths (void)
{
  check_all_lengths (picture_png, sizeof picture_png);
  check_all_lengths (picture_jpg, sizeof picture_jpg);
  check_all_lengths (embedded, sizeof embedded);
  check_all_lengths (picture_webp, sizeof picture_webp);
}

/* A chunk that claims more than there is must not lead outside the file. */
static void
test_hostile (void)
{
  guint8 copy[sizeof picture_png];

  memcpy (copy, picture_png, sizeof picture_png);
  memset (copy + 33, 0xff, 4);
  g_assert_false (is_whole (copy, sizeof copy));
  g_assert_false (is_whole ((const guint8 *) "not a picture at all", 20));
}

static void
check_size (const guint8 *data, gsize size, guint width, guint height)
{
  g_autoptr (GBytes) bytes = g_bytes_new (data, size);
  guint w = 0, h = 0;

  g_assert_true (bl_image_size (bytes, &w, &h));
  g_assert_cmpuint (w, ==, width);
  g_assert_cmpuint (h, ==, height);
}

static void
test_size (void)
{
  /* The two other forms of a WebP picture; the bits as RFC 9649, 2.6 and 2.7 lay them (from memory). */
  static const guint8 lossless[] = { 'R', 'I', 'F', 'F', 22, 0, 0, 0, 'W', 'E', 'B', 'P', 'V', 'P', '8', 'L', 10, 0, 0, 0,
                                     0x2f, 0x57, 0x42, 0x95, 0x00, 0, 0, 0, 0, 0 },
                      extended[] = { 'R', 'I', 'F', 'F', 22, 0, 0, 0, 'W', 'E', 'B', 'P', 'V', 'P', '8', 'X', 10, 0, 0, 0,
                                     0, 0, 0, 0, 0x57, 2, 0, 0x55, 2, 0 };

  check_size (picture_png, sizeof picture_png, 8, 6);
  check_size (picture_jpg, sizeof picture_jpg, 8, 6);
  check_size (embedded, sizeof embedded, 8, 6);
  check_size (picture_webp, sizeof picture_webp, 8, 6);
  check_size (lossless, sizeof lossless, 600, 598);
  check_size (extended, sizeof extended, 600, 598);
}

/* Some kilobytes that would unpack to gigabytes. */
static void
test_giant (void)
{
  guint8 png[sizeof picture_png], jpeg[sizeof embedded];

  memcpy (png, picture_png, sizeof png);
  memcpy (png + 16, "\0\0\xea\x60\0\0\xea\x60", 8); /* 60000 by 60000 */
  g_assert_false (is_whole (png, sizeof png));
  memcpy (png + 16, "\0\0\x40\0\0\0\x2f\xaf", 8); /* 16384 by 12207: just below 200 million */
  g_assert_true (is_whole (png, sizeof png));
  memcpy (png + 16, "\0\0\0\0\0\0\0\x01", 8); /* no width at all */
  g_assert_false (is_whole (png, sizeof png));
  memcpy (jpeg, embedded, sizeof jpeg);
  memcpy (jpeg + 23, "\xff\xff\xff\xff", 4);
  g_assert_false (is_whole (jpeg, sizeof jpeg));
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/store/image-check/lengths", test_lengths);
  g_test_add_func ("/store/image-check/hostile", test_hostile);
  g_test_add_func ("/store/image-check/size", test_size);
  g_test_add_func ("/store/image-check/giant", test_giant);
  return g_test_run ();
}
