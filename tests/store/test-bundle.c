/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bundles, bare documents and equipments as files; into a library and out of it. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-bundle.h"
#include "bl-zip.h"

#include "pictures.h"
#include "sample.h"
#include "scratch.h"

#include <string.h>
#include <unistd.h>

#define JPEG PICTURE_JPEG
#define PNG PICTURE_PNG

typedef struct
{
  char *folder, *path;
} Fixture;

static void
set_up (Fixture *f, gconstpointer data)
{
  f->folder = scratch_new ();
  f->path = scratch_file (f->folder, "board.benchlore");
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  g_free (f->path);
  scratch_free (f->folder);
}

/* A zip of pairs name, text; ends with NULL. */
static void
make_zip (const char *path, ...)
{
  g_autoptr (GPtrArray) names = g_ptr_array_new ();
  g_autoptr (GHashTable) entries =
      g_hash_table_new_full (g_str_hash, g_str_equal, NULL, (GDestroyNotify) g_bytes_unref);
  const char *name, *text;
  va_list arguments;

  va_start (arguments, path);
  while ((name = va_arg (arguments, const char *)) != NULL)
    {
      text = va_arg (arguments, const char *);
      g_ptr_array_add (names, (gpointer) name);
      g_hash_table_insert (entries, (gpointer) name, picture_or_text (text));
    }
  va_end (arguments);
  g_ptr_array_add (names, NULL);
  g_assert_true (bl_zip_write (path, (const char *const *) names->pdata, entries, NULL));
}

static void
write_text (const char *path, const char *text)
{
  g_autoptr (GBytes) bytes = picture_or_text (text);

  g_assert_true (g_file_set_contents (path, g_bytes_get_data (bytes, NULL), (gssize) g_bytes_get_size (bytes), NULL));
}

static BlLibrary *
library_new (void)
{
  g_autoptr (GError) error = NULL;
  BlLibrary *library = bl_library_open (":memory:", TRUE, &error);

  g_assert_no_error (error);
  return library;
}

static guint
count_boards (BlLibrary *library)
{
  g_autoptr (GPtrArray) rows = bl_library_boards (library, TRUE, NULL);

  return rows->len;
}

static void
test_round_trip (Fixture *f, gconstpointer data)
{
  g_autofree char *again = scratch_file (f->folder, "again.benchlore"), *mime = NULL, *one = NULL,
                  *two = NULL;
  g_autoptr (BlLibrary) library = library_new ();
  g_autoptr (BlBundle) bundle = NULL, out = NULL, back = NULL;
  g_autoptr (GBytes) image = NULL;
  g_autoptr (GError) error = NULL;
  gint64 id;

  make_zip (f->path, "board.json", SAMPLE_DOCUMENT, "photos/front.jpg", JPEG,
            "photos/Rückseite.png", PNG, NULL);
  bundle = bl_bundle_read (f->path, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (g_hash_table_size (bundle->photos), ==, 2);
  id = bl_library_import (library, bundle, &error);
  g_assert_no_error (error);
  image = bl_library_get_board_photo (library, id, "back", &mime, &error);
  g_assert_no_error (error);
  g_assert_cmpstr (mime, ==, "image/png");
  g_assert_cmpmem (g_bytes_get_data (image, NULL), g_bytes_get_size (image), picture_png, sizeof picture_png);

  out = bl_library_export (library, id, &error);
  g_assert_no_error (error);
  g_assert_true (bl_bundle_write (out, again, &error));
  g_assert_no_error (error);
  back = bl_bundle_read (again, NULL, &error);
  g_assert_no_error (error);
  one = bl_document_write (bundle->board);
  two = bl_document_write (back->board);
  g_assert_cmpstr (one, ==, two);
  g_assert_cmpuint (g_hash_table_size (back->photos), ==, 2);
  g_assert_true (g_bytes_equal (g_hash_table_lookup (back->photos, "photos/Rückseite.png"), image));

  /* The same board again is no second board. */
  g_assert_cmpint (bl_library_import (library, back, &error), ==, 0);
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
  g_assert_cmpuint (count_boards (library), ==, 1);
}

static void
refused (const char *path, const char *word)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBundle) bundle = bl_bundle_read (path, NULL, &error);

  g_assert_null (bundle);
  g_assert_nonnull (error);
  g_test_message ("%s", error->message);
  g_assert_nonnull (strstr (error->message, path));
  g_assert_nonnull (strstr (error->message, word));
}

static void
test_refused (Fixture *f, gconstpointer data)
{
  g_autofree char *missing = scratch_file (f->folder, "missing.benchlore");

  make_zip (f->path, "photos/front.jpg", JPEG, NULL);
  refused (f->path, "board.json");
  make_zip (f->path, "board.json", "{", NULL);
  refused (f->path, "");
  make_zip (f->path, "board.json",
            "{\"format\": \"benchlore-board\", \"version\": 1, \"stages\": [{}]}", NULL);
  refused (f->path, "stages[0]");
  make_zip (f->path, "board.json", SAMPLE_DOCUMENT, "photos/front.jpg", "MZ this is a program",
            NULL);
  refused (f->path, "no picture");
  make_zip (f->path, "board.json",
            "{\"format\": \"benchlore-equipment\", \"version\": 1, \"boards\": []}", NULL);
  refused (f->path, "equipment");
  refused (missing, "");
  refused (f->folder, "ordinary file");
}

static void
test_warnings (Fixture *f, gconstpointer data)
{
  g_autoptr (GPtrArray) problems =
      g_ptr_array_new_with_free_func ((GDestroyNotify) bl_problem_free);
  g_autoptr (BlBundle) bundle = NULL;
  guint missing = 0, extra = 0;

  make_zip (f->path, "board.json", SAMPLE_DOCUMENT, "photos/front.jpg", JPEG, "readme.txt", "hello",
            NULL);
  bundle = bl_bundle_read (f->path, problems, NULL);
  g_assert_nonnull (bundle);
  for (guint i = 0; i < problems->len; i++)
    {
      const BlProblem *problem = g_ptr_array_index (problems, i);
      g_assert_true (problem->warning);
      missing += g_str_equal (problem->path, "$.photos[1].file");
      extra += g_str_equal (problem->path, "readme.txt");
    }
  g_assert_cmpuint (missing, ==, 1);
  g_assert_cmpuint (extra, ==, 1);
}

static void
test_bare (Fixture *f, gconstpointer data)
{
  g_autofree char *json = scratch_file (f->folder, "board.json"),
                  *photos = scratch_file (f->folder, "photos");
  g_autofree char *front = g_build_filename (photos, "front.jpg", NULL);
  g_autofree char *outside = scratch_file (f->folder, "outside.jpg"), *inner = NULL, *link = NULL;
  g_autofree char *deep = NULL;
  g_autoptr (BlBundle) bundle = NULL;
  g_autoptr (GError) error = NULL;

  g_assert_cmpint (g_mkdir (photos, 0755), ==, 0);
  write_text (json, SAMPLE_DOCUMENT);
  write_text (front, JPEG);
  bundle = bl_bundle_read (json, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (g_hash_table_size (bundle->photos), ==, 1);
  write_text (front, "no picture at all");
  refused (json, "no picture");

  /* A link that leads out of the document's folder is not followed. */
  inner = scratch_file (f->folder, "inner");
  g_assert_cmpint (g_mkdir (inner, 0755), ==, 0);
  deep = g_build_filename (inner, "board.json", NULL);
  write_text (deep,
              "{\"format\": \"benchlore-board\", \"version\": 1,"
              " \"photos\": [{\"id\": \"front\", \"side\": \"front\", \"file\": \"front.jpg\"}]}");
  write_text (outside, JPEG);
  link = g_build_filename (inner, "front.jpg", NULL);
  g_assert_cmpint (symlink (outside, link), ==, 0);
  refused (deep, "out of the folder");
}

static void
test_equipment (Fixture *f, gconstpointer data)
{
  static const char *const paths[] = { "board.json", "../board.json", "missing.json",
                                       "/etc/hostname" };
  g_autofree char *board = scratch_file (f->folder, "board.json"),
                  *pair = scratch_file (f->folder, "pair.json");

  write_text (board, SAMPLE_DOCUMENT);
  for (guint i = 0; i < G_N_ELEMENTS (paths); i++)
    {
      g_autofree char *text =
          g_strdup_printf ("{\"format\": \"benchlore-equipment\", \"version\": 1, \"boards\": ["
                           "{\"role\": \"inside\", \"board\": \"%s\"}]}",
                           paths[i]);
      g_autoptr (GError) error = NULL;
      g_autoptr (BlBoard) joined = NULL;
      write_text (pair, text);
      joined = bl_board_load_file (pair, NULL, &error);
      if (i == 0)
        {
          g_assert_no_error (error);
          g_assert_nonnull (bl_board_component (joined, "inside/U2"));
        }
      else
        {
          g_assert_null (joined);
          g_assert_nonnull (error);
          g_test_message ("%s", error->message);
        }
    }
}

static void
test_load_file (Fixture *f, gconstpointer data)
{
  g_autofree char *json = scratch_file (f->folder, "board.json");
  g_autoptr (BlBoard) from_zip = NULL, from_json = NULL;
  g_autofree char *one = NULL, *two = NULL;

  make_zip (f->path, "board.json", SAMPLE_DOCUMENT, NULL);
  write_text (json, SAMPLE_DOCUMENT);
  from_zip = bl_board_load_file (f->path, NULL, NULL);
  from_json = bl_board_load_file (json, NULL, NULL);
  one = bl_document_write (from_zip);
  two = bl_document_write (from_json);
  g_assert_cmpstr (one, ==, two);
}

/* A document without uid gets one in the library; a photo beside its document moves into the
 * bundle's folder on the way out. */
static void
test_adapted (Fixture *f, gconstpointer data)
{
  g_autofree char *json = scratch_file (f->folder, "board.json"),
                  *front = scratch_file (f->folder, "front.png");
  g_autoptr (BlLibrary) library = library_new ();
  g_autoptr (BlBundle) bundle = NULL, out = NULL;
  g_autoptr (GError) error = NULL;
  gint64 id;

  write_text (json,
              "{\"format\": \"benchlore-board\", \"version\": 1,"
              " \"photos\": [{\"id\": \"front\", \"side\": \"front\", \"file\": \"front.png\"}]}");
  write_text (front, PNG);
  bundle = bl_bundle_read (json, NULL, &error);
  g_assert_no_error (error);
  id = bl_library_import (library, bundle, &error);
  g_assert_no_error (error);
  out = bl_library_export (library, id, &error);
  g_assert_no_error (error);
  g_assert_true (g_uuid_string_is_valid (out->board->uid));
  g_assert_true (g_hash_table_contains (out->photos, "photos/front.png"));
  g_assert_cmpstr (bl_board_photo (out->board, "front")->file, ==, "photos/front.png");
  g_assert_true (bl_bundle_write (out, f->path, &error));
  g_assert_no_error (error);
}

static void
test_mime (void)
{
  static const struct
  {
    const char *data, *mime;
  } cases[] = { { "\xff\xd8\xff\xe0 front", "image/jpeg" },
                { "\x89PNG\r\n\x1a\n back", "image/png" },
                { "RIFF1234WEBPVP8 ", "image/webp" },
                { "1234ftypheic", "image/heif" },
                { "1234ftypavif", "image/avif" },
                { "1234ftypmp42", NULL },
                { "GIF", NULL },
                { "<svg xmlns='http://www.w3.org/2000/svg'/>", NULL },
                { "", NULL } };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GBytes) bytes = g_bytes_new_static (cases[i].data, strlen (cases[i].data));
      g_assert_cmpstr (bl_image_mime (bytes), ==, cases[i].mime);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define ADD(name, function)                                                                        \
  g_test_add ("/store/bundle/" name, Fixture, NULL, set_up, function, tear_down)
  ADD ("round-trip", test_round_trip);
  ADD ("refused", test_refused);
  ADD ("warnings", test_warnings);
  ADD ("bare", test_bare);
  ADD ("equipment", test_equipment);
  ADD ("load-file", test_load_file);
  ADD ("adapted", test_adapted);
  g_test_add_func ("/store/bundle/mime", test_mime);
  return g_test_run ();
}
