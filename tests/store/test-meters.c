/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shop's meters in the library: kept as they are, changed, taken out of use and put back. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-library.h"

#include "scratch.h"

#include <string.h>

static BlLibrary *
open_at (const char *path)
{
  g_autoptr (GError) error = NULL;
  BlLibrary *library = bl_library_open (path, TRUE, &error);

  g_assert_no_error (error);
  return library;
}

static gint64
put (BlLibrary *library, BlShopMeter *meter)
{
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_library_put_meter (library, meter, &error));
  g_assert_no_error (error);
  g_assert_cmpint (meter->id, >, 0);
  return meter->id;
}

static char *
names (BlLibrary *library)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GPtrArray) meters = bl_library_meters (library, &error);
  GString *text = g_string_new (NULL);

  g_assert_no_error (error);
  for (guint i = 0; i < meters->len; i++)
    g_string_append_printf (text, "%s%s", i > 0 ? ", " : "", ((BlShopMeter *) bl_at (meters, i))->name);
  return g_string_free (text, FALSE);
}

#define NAMES(library, expected)                                                                   \
  {                                                                                                \
    g_autofree char *found = names (library);                                                      \
    g_assert_cmpstr (found, ==, expected);                                                         \
  }

static void
test_kept (void)
{
  char *folder = scratch_new ();
  g_autofree char *path = scratch_file (folder, "a.benchlore-library"), *before = NULL, *after = NULL;
  BlLibrary *library = open_at (path);
  g_autoptr (BlShopMeter) meter = bl_shop_meter_example (1), read = NULL;
  gint64 id;

  meter->calibrated = G_GINT64_CONSTANT (1772323200000000);
  meter->driver = g_strdup ("a driver");
  id = put (library, meter);
  bl_library_close (library);

  library = open_at (path);
  read = bl_library_load_meter (library, id, NULL, NULL);
  before = bl_shop_meter_to_json (meter);
  after = bl_shop_meter_to_json (read);
  g_assert_cmpstr (before, ==, after);
  g_assert_cmpint (read->id, ==, id);
  bl_library_close (library);
  scratch_free (folder);
}

static void
test_changed (void)
{
  BlLibrary *library = open_at (":memory:");
  g_autoptr (BlShopMeter) one = bl_shop_meter_new ("one"), two = bl_shop_meter_new ("two");
  gint64 first = put (library, one);

  put (library, two);
  NAMES (library, "one, two");
  g_free (one->name);
  one->name = g_strdup ("the first");
  g_assert_cmpint (put (library, one), ==, first);
  NAMES (library, "the first, two");
  bl_library_close (library);
}

/* Removed, it can still be told; put again it is the same one. A new one never gets its number. */
static void
test_removed (void)
{
  BlLibrary *library = open_at (":memory:");
  g_autoptr (BlShopMeter) one = bl_shop_meter_new ("one"), two = bl_shop_meter_new ("two"), read = NULL;
  gint64 id = put (library, one), usual = -1;
  gboolean removed = FALSE;

  g_assert_true (bl_library_set_usual_meter (library, id, NULL));
  g_assert_true (bl_library_delete_meter (library, id, NULL));
  NAMES (library, "");
  read = bl_library_load_meter (library, id, &removed, NULL);
  g_assert_cmpstr (read->name, ==, "one");
  g_assert_true (removed);
  g_assert_true (bl_library_get_usual_meter (library, &usual, NULL));
  g_assert_cmpint (usual, ==, 0);
  g_assert_cmpint (put (library, two), !=, id);
  g_assert_cmpint (put (library, one), ==, id);
  NAMES (library, "one, two");
  bl_library_close (library);
}

static void
test_usual (void)
{
  BlLibrary *library = open_at (":memory:");
  g_autoptr (BlShopMeter) one = bl_shop_meter_new ("one"), two = bl_shop_meter_new ("two");
  g_autoptr (GError) error = NULL;
  gint64 usual = -1;

  put (library, one);
  put (library, two);
  g_assert_true (bl_library_get_usual_meter (library, &usual, NULL));
  g_assert_cmpint (usual, ==, 0);
  g_assert_true (bl_library_set_usual_meter (library, one->id, NULL));
  g_assert_true (bl_library_set_usual_meter (library, two->id, NULL));
  g_assert_true (bl_library_get_usual_meter (library, &usual, NULL));
  g_assert_cmpint (usual, ==, two->id);
  g_assert_true (bl_library_set_usual_meter (library, 0, NULL));
  g_assert_true (bl_library_get_usual_meter (library, &usual, NULL));
  g_assert_cmpint (usual, ==, 0);
  g_assert_false (bl_library_set_usual_meter (library, 77, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
  bl_library_close (library);
}

static void
test_refused (void)
{
  BlLibrary *library = open_at (":memory:");
  g_autoptr (BlShopMeter) meter = bl_shop_meter_new ("");
  g_autoptr (GError) error = NULL;

  g_assert_false (bl_library_put_meter (library, meter, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  g_assert_nonnull (strstr (error->message, "$.name"));
  g_clear_error (&error);
  g_assert_null (bl_library_load_meter (library, 5, NULL, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
  NAMES (library, "");
  bl_library_close (library);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/store/meters/kept", test_kept);
  g_test_add_func ("/store/meters/changed", test_changed);
  g_test_add_func ("/store/meters/removed", test_removed);
  g_test_add_func ("/store/meters/usual", test_usual);
  g_test_add_func ("/store/meters/refused", test_refused);
  return g_test_run ();
}
