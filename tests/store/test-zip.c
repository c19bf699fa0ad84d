/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Zips from strangers: each kind of hostility refused for its own reason, an honest one read whole,
 * and writing that leaves the old file where it fails. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-zip.h"

#include "scratch.h"

#include <archive.h>
#include <archive_entry.h>
#include <string.h>

typedef struct
{
  const char *name;
  const char *data; /* or size zeros */
  gsize size;
  mode_t type; /* 0: regular */
} Item;

static void
make_zip (const char *path, const Item *items, guint n, const char *options)
{
  struct archive *archive = archive_write_new ();
  struct archive_entry *entry;

  g_assert_cmpint (archive_write_set_format_zip (archive), ==, ARCHIVE_OK);
  if (options != NULL)
    {
      g_assert_cmpint (archive_write_set_options (archive, options), ==, ARCHIVE_OK);
      g_assert_cmpint (archive_write_set_passphrase (archive, "secret"), ==, ARCHIVE_OK);
    }
  g_assert_cmpint (archive_write_open_filename (archive, path), ==, ARCHIVE_OK);
  for (guint i = 0; i < n; i++)
    {
      g_autofree char *zeros = items[i].data == NULL ? g_malloc0 (items[i].size) : NULL;
      gsize size = items[i].data != NULL ? strlen (items[i].data) : items[i].size;
      entry = archive_entry_new ();
      archive_entry_set_pathname (entry, items[i].name);
      archive_entry_set_filetype (entry, items[i].type != 0 ? items[i].type : AE_IFREG);
      archive_entry_set_perm (entry, 0644);
      if (items[i].type == AE_IFLNK)
        archive_entry_set_symlink (entry, items[i].data);
      else
        archive_entry_set_size (entry, (la_int64_t) size);
      g_assert_cmpint (archive_write_header (archive, entry), ==, ARCHIVE_OK);
      if (items[i].type == 0 && size > 0)
        g_assert_cmpint (archive_write_data (archive, zeros != NULL ? zeros : items[i].data, size),
                         ==, size);
      archive_entry_free (entry);
    }
  g_assert_cmpint (archive_write_close (archive), ==, ARCHIVE_OK);
  archive_write_free (archive);
}

static void
refused (const char *path, const BlZipLimits *limits, const char *word)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GHashTable) entries = bl_zip_read (path, limits, &error);

  g_assert_null (entries);
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
  g_test_message ("%s", error->message);
  g_assert_nonnull (strstr (error->message, path));
  if (word != NULL)
    g_assert_nonnull (strstr (error->message, word));
}

static void
test_honest (void)
{
  const Item items[] = { { "photos", NULL, 0, AE_IFDIR },
                         { "board.json", "{}", 0, 0 },
                         { "photos/front.jpg", "\xff\xd8\xff picture", 0, 0 },
                         { "photos/Rückseite µ.jpg", "\xff\xd8\xff", 0, 0 },
                         { "empty", NULL, 0, 0 } };
  char *folder = scratch_new ();
  g_autofree char *path = scratch_file (folder, "honest.zip");
  g_autoptr (GError) error = NULL;
  g_autoptr (GHashTable) entries = NULL;
  GBytes *bytes;

  make_zip (path, items, G_N_ELEMENTS (items), NULL);
  entries = bl_zip_read (path, &bl_zip_limits, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (g_hash_table_size (entries), ==, 4);
  bytes = g_hash_table_lookup (entries, "photos/front.jpg");
  g_assert_cmpmem (g_bytes_get_data (bytes, NULL), g_bytes_get_size (bytes), "\xff\xd8\xff picture",
                   11);
  g_assert_nonnull (g_hash_table_lookup (entries, "photos/Rückseite µ.jpg"));
  g_assert_cmpuint (g_bytes_get_size (g_hash_table_lookup (entries, "empty")), ==, 0);
  scratch_free (folder);
}

static void
test_names (void)
{
  static const char *const bad[] = { "/etc/passwd",   "../board.json", "photos/../../x.jpg",
                                     "photos/..",     "./board.json",  "photos//x.jpg",
                                     "..\\..\\x.jpg", "C:x.jpg",       "photos/new\nline.jpg" };
  char *folder = scratch_new ();
  g_autofree char *path = scratch_file (folder, "hostile.zip");

  for (guint i = 0; i < G_N_ELEMENTS (bad); i++)
    {
      const Item items[] = { { "board.json", "{}", 0, 0 }, { bad[i], "x", 0, 0 } };
      make_zip (path, items, 2, NULL);
      refused (path, &bl_zip_limits, "may lead out of the folder");
    }
  g_assert_true (bl_path_is_plain ("photos/front.jpg"));
  g_assert_false (bl_path_is_plain ("photos\\x.jpg"));
  g_assert_false (bl_path_is_plain (""));
  g_assert_false (bl_path_is_plain ("photos/\xff.jpg"));
  scratch_free (folder);
}

static void
test_kinds (void)
{
  const Item link[] = { { "photos/front.jpg", "/etc/passwd", 0, AE_IFLNK } };
  const Item twice[] = { { "board.json", "{}", 0, 0 }, { "board.json", "{\"a\": 1}", 0, 0 } };
  const Item secret[] = { { "board.json", "{\"format\": \"benchlore-board\"}", 0, 0 } };
  char *folder = scratch_new ();
  g_autofree char *path = scratch_file (folder, "hostile.zip");

  make_zip (path, link, 1, NULL);
  refused (path, &bl_zip_limits, "link");
  make_zip (path, twice, 2, NULL);
  refused (path, &bl_zip_limits, "twice");
  make_zip (path, secret, 1, "zip:encryption=zipcrypt");
  refused (path, &bl_zip_limits, "encrypted");
  scratch_free (folder);
}

static void
test_limits (void)
{
  const BlZipLimits small = { 3, 1000, 2500, 100, 1 << 20 },
                    tight = { 3, 1 << 20, 1 << 20, 10, 5000 };
  const Item four[] = { { "a", "1", 0, 0 },
                        { "b", "1", 0, 0 },
                        { "c", "1", 0, 0 },
                        { "d", "1", 0, 0 } };
  const Item just[] = { { "a", NULL, 1000, 0 }, { "b", NULL, 1000, 0 }, { "c", NULL, 500, 0 } };
  const Item large[] = { { "a", NULL, 1001, 0 } };
  const Item heavy[] = { { "a", NULL, 1000, 0 }, { "b", NULL, 1000, 0 }, { "c", NULL, 501, 0 } };
  const Item bomb[] = { { "a", NULL, 600000, 0 } };
  char *folder = scratch_new ();
  g_autofree char *path = scratch_file (folder, "hostile.zip");
  g_autoptr (GHashTable) entries = NULL;

  make_zip (path, four, 4, NULL);
  refused (path, &small, "too many");
  make_zip (path, large, 1, NULL);
  refused (path, &small, "too large");
  make_zip (path, heavy, 3, NULL);
  refused (path, &small, "too large together");
  make_zip (path, bomb, 1, NULL);
  refused (path, &tight, "far more");
  make_zip (path, just, 3, NULL);
  entries = bl_zip_read (path, &small, NULL);
  g_assert_nonnull (entries);
  scratch_free (folder);
}

/* The limits that hold for bundles, with a zip of some 100 kB that unpacks to 90 MB. */
static void
test_real_bomb (void)
{
  const Item bomb[] = { { "photos/a.png", NULL, 90 << 20, 0 } };
  char *folder = scratch_new ();
  g_autofree char *path = scratch_file (folder, "bomb.zip");
  GStatBuf info;

  make_zip (path, bomb, 1, NULL);
  g_assert_cmpint (g_stat (path, &info), ==, 0);
  g_assert_cmpint (info.st_size, <, 500000);
  refused (path, &bl_zip_limits, "far more");
  g_assert_cmpuint (bl_zip_limits.files, ==, 64);
  g_assert_cmpuint (bl_zip_limits.entry, ==, 134217728);
  g_assert_cmpuint (bl_zip_limits.total, ==, 536870912);
  scratch_free (folder);
}

/* Without the sync of g_file_set_contents (), which makes hundreds of files slow. */
static void
overwrite (const char *path, const char *data, gsize length)
{
  FILE *file = g_fopen (path, "wb");

  g_assert_cmpuint (fwrite (data, 1, length, file), ==, length);
  g_assert_cmpint (fclose (file), ==, 0);
}

/* Every single damaged byte and every cut is either noticed or harmless, never a crash. */
static void
test_damage (void)
{
  const Item items[] = { { "board.json", "{\"format\": \"benchlore-board\", \"version\": 1}", 0,
                           0 },
                         { "photos/a.jpg", "\xff\xd8\xff 0123456789", 0, 0 } };
  char *folder = scratch_new ();
  g_autofree char *path = scratch_file (folder, "damaged.zip"), *data = NULL;
  gsize length = 0;
  guint noticed = 0;

  make_zip (path, items, 2, NULL);
  g_assert_true (g_file_get_contents (path, &data, &length, NULL));
  for (gsize i = 0; i < length; i++)
    {
      g_autoptr (GHashTable) entries = NULL;
      data[i] ^= 0x55;
      overwrite (path, data, length);
      entries = bl_zip_read (path, &bl_zip_limits, NULL);
      noticed += entries == NULL;
      data[i] ^= 0x55;
    }
  g_assert_cmpuint (noticed, >, length / 4);
  for (gsize cut = 0; cut < length; cut += 3)
    {
      overwrite (path, data, cut);
      g_assert_null (bl_zip_read (path, &bl_zip_limits, NULL));
    }
  scratch_free (folder);
}

static void
test_write (void)
{
  const char *names[] = { "board.json", "photos/ü.jpg", NULL };
  char *folder = scratch_new ();
  g_autofree char *path = scratch_file (folder, "a.benchlore"),
                  *again = scratch_file (folder, "b.benchlore");
  g_autofree char *nowhere = scratch_file (folder, "missing/a.benchlore");
  g_autofree char *one = NULL, *two = NULL;
  g_autoptr (GHashTable) entries =
      g_hash_table_new_full (g_str_hash, g_str_equal, NULL, (GDestroyNotify) g_bytes_unref);
  g_autoptr (GHashTable) read = NULL;
  g_autoptr (GError) error = NULL;
  gsize length_one = 0, length_two = 0;

  g_hash_table_insert (entries, (gpointer) names[0], g_bytes_new_static ("{}", 2));
  g_hash_table_insert (entries, (gpointer) names[1], g_bytes_new_static ("\xff\xd8\xff", 3));
  g_assert_true (bl_zip_write (path, names, entries, &error));
  g_assert_no_error (error);
  g_assert_true (bl_zip_write (again, names, entries, NULL));
  g_assert_true (g_file_get_contents (path, &one, &length_one, NULL));
  g_assert_true (g_file_get_contents (again, &two, &length_two, NULL));
  g_assert_cmpmem (one, length_one, two, length_two);
  read = bl_zip_read (path, &bl_zip_limits, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (g_hash_table_size (read), ==, 2);
  g_assert_true (g_bytes_equal (g_hash_table_lookup (read, names[1]),
                                g_hash_table_lookup (entries, names[1])));
  g_assert_false (bl_zip_write (nowhere, names, entries, &error));
  g_assert_nonnull (error);
  g_clear_error (&error);
  /* A place that always refuses: the target is a folder, and nothing may be left beside it. */
  g_assert_false (bl_zip_write (folder, names, entries, &error));
  g_assert_nonnull (error);
  scratch_free (folder);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/store/zip/honest", test_honest);
  g_test_add_func ("/store/zip/names", test_names);
  g_test_add_func ("/store/zip/kinds", test_kinds);
  g_test_add_func ("/store/zip/limits", test_limits);
  g_test_add_func ("/store/zip/real-bomb", test_real_bomb);
  g_test_add_func ("/store/zip/damage", test_damage);
  g_test_add_func ("/store/zip/write", test_write);
  return g_test_run ();
}
