/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Editions copied from others: what goes with the copy, and what is noted about it. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-library-origin.h"
#include "bl-library-steps.h"

#include "sample.h"

static gint64
add (BlLibrary *library, const char *edition)
{
  g_autoptr (BlBoard) board = sample_board ();
  g_autoptr (GError) error = NULL;
  g_free (board->edition);
  board->edition = g_strdup (edition);
  gint64 id = bl_library_add_board (library, board, FALSE, &error);
  g_assert_no_error (error);
  return id;
}

static void
test_copy (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlLibrary) library = bl_library_open (":memory:", TRUE, &error);
  gint64 from = add (library, "C");
  g_autoptr (GBytes) image = g_bytes_new_static ("picture", 7), thumbnail = g_bytes_new_static ("small", 5);
  g_assert_true (bl_library_put_board_photo (library, from, "front", "image/png", image, thumbnail, &error));
  g_autoptr (BlBoard) copy = bl_library_load_board (library, from, &error);
  g_autofree char *old_uid = g_strdup (copy->uid);

  gint64 to = bl_library_add_copy (library, from, "X C", copy, &error);
  g_assert_no_error (error);
  g_assert_cmpint (to, !=, 0);
  g_assert_cmpstr (copy->uid, !=, old_uid);
  g_autofree char *mime = NULL;
  g_autoptr (GBytes) carried = bl_library_get_board_photo (library, to, "front", &mime, &error);
  g_assert_true (g_bytes_equal (carried, image));
  g_assert_cmpstr (mime, ==, "image/png");
  g_autoptr (GBytes) small = bl_library_get_board_thumbnail (library, to, &error);
  g_assert_true (g_bytes_equal (small, thumbnail));

  g_autoptr (BlOrigin) origin = bl_library_get_origin (library, to, &error);
  g_assert_cmpint (origin->board, ==, from);
  g_assert_cmpstr (origin->name, ==, "X C");
  g_assert_null (bl_library_get_origin (library, from, &error));
  g_assert_no_error (error);

  /* One whose deletion can still be undone cannot be opened, and nothing new begins on it. */
  g_assert_true (bl_library_begin_step (library, BL_STEPS_BOARDS, 0, "delete", &error));
  g_assert_true (bl_library_end_step (library, bl_library_delete_board (library, from, &error), NULL, &error));
  g_autoptr (BlOrigin) hidden = bl_library_get_origin (library, to, &error);
  g_assert_cmpint (hidden->board, ==, 0);
  g_assert_false (bl_library_set_looked_at (library, from, "components/U2", TRUE, NULL));
  g_auto (BlStepTaken) taken = { 0 };
  g_assert_true (bl_library_take_step (library, BL_STEPS_BOARDS, 0, TRUE, &taken, &error));
  g_autoptr (BlOrigin) back = bl_library_get_origin (library, to, &error);
  g_assert_cmpint (back->board, ==, from);

  /* The origin may go; what it was called stays. */
  g_assert_true (bl_library_delete_board (library, from, &error));
  g_autoptr (BlOrigin) left = bl_library_get_origin (library, to, &error);
  g_assert_cmpint (left->board, ==, 0);
  g_assert_cmpstr (left->name, ==, "X C");
  g_assert_true (bl_library_delete_board (library, to, &error));
}

/* Nothing is added where something fails. */
static void
test_refused (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlLibrary) library = bl_library_open (":memory:", TRUE, &error);
  gint64 from = add (library, "C");
  g_autoptr (BlBoard) broken = bl_library_load_board (library, from, &error);
  BlTestPoint *twice = bl_test_point_new ();
  twice->id = g_strdup ("a blank in it");
  bl_append (&broken->test_points, twice, (GDestroyNotify) bl_test_point_free);
  g_assert_cmpint (bl_library_add_copy (library, from, "X C", broken, &error), ==, 0);
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
  g_clear_error (&error);
  g_autoptr (GPtrArray) boards = bl_library_boards (library, TRUE, NULL);
  g_assert_cmpuint (boards->len, ==, 1);
  g_assert_cmpint (bl_library_add_copy (library, 99, "X", broken, &error), ==, 0);
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
}

static void
test_looked_at (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlLibrary) library = bl_library_open (":memory:", TRUE, &error);
  gint64 board = add (library, "C");
  g_assert_true (bl_library_set_looked_at (library, board, "components/R1", TRUE, &error));
  g_assert_true (bl_library_set_looked_at (library, board, "components/R1", TRUE, &error));
  g_assert_true (bl_library_set_looked_at (library, board, "components/R2", TRUE, &error));
  g_assert_true (bl_library_set_looked_at (library, board, "components/R2", FALSE, &error));
  g_autoptr (GHashTable) parts = bl_library_looked_at (library, board, &error);
  g_assert_cmpuint (g_hash_table_size (parts), ==, 1);
  g_assert_true (g_hash_table_contains (parts, "components/R1"));
  g_assert_false (bl_library_set_looked_at (library, 99, "components/R1", TRUE, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/store/origin/copy", test_copy);
  g_test_add_func ("/store/origin/refused", test_refused);
  g_test_add_func ("/store/origin/looked-at", test_looked_at);
  return g_test_run ();
}
