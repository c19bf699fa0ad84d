/* SPDX-License-Identifier: GPL-3.0-or-later
 * Pictures that break off are refused at every length but the whole one. */
#include "config.h"

#include "bl-image-check.h"

/* The smallest of each kind that has all its parts; the JPEG has a second, embedded picture in an APP1
 * segment, as cameras put one there. */
static const guint8 png[] = {
  0x89, 'P', 'N', 'G', 13, 10, 26, 10, 0, 0, 0, 13, 'I', 'H', 'D', 'R', 0, 0, 0, 1, 0, 0, 0, 1, 8, 0, 0, 0, 0,
  0x3a, 0x7e, 0x9b, 0x55, 0, 0, 0, 10, 'I', 'D', 'A', 'T', 0x78, 0x9c, 0x63, 0x60, 0, 0, 0, 2, 0, 1, 0x48, 0xaf, 0xa4,
  0x71, 0, 0, 0, 0, 'I', 'E', 'N', 'D', 0xae, 0x42, 0x60, 0x82,
};
static const guint8 jpeg[] = {
  0xff, 0xd8, 0xff, 0xe1, 0, 14, 0xff, 0xd8, 0xff, 0xda, 0, 2, 7, 7, 7, 7, 0xff, 0xd9, 0xff, 0xda, 0, 2, 1, 2, 3,
  0xff, 0xd9,
};
static const guint8 webp[] = { 'R', 'I', 'F', 'F', 12, 0, 0, 0, 'W', 'E', 'B', 'P', 'V', 'P', '8', ' ', 0, 0, 0, 0 };

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
  check_all_lengths (png, sizeof png);
  check_all_lengths (jpeg, sizeof jpeg);
  check_all_lengths (webp, sizeof webp);
}

/* A chunk that claims more than there is must not lead outside the file. */
static void
test_hostile (void)
{
  guint8 copy[sizeof png];

  memcpy (copy, png, sizeof png);
  memset (copy + 33, 0xff, 4);
  g_assert_false (is_whole (copy, sizeof copy));
  g_assert_false (is_whole ((const guint8 *) "not a picture at all", 20));
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/image-check/lengths", test_lengths);
  g_test_add_func ("/model/image-check/hostile", test_hostile);
  return g_test_run ();
}
