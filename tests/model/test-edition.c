/* SPDX-License-Identifier: GPL-3.0-or-later
 * Editing a board: every change is in the library at once, can be undone, and cannot break the
 * document's rules. */
#include "config.h"

#include "bl-edition.h"

#include "scratch.h"

typedef struct
{
  char *folder, *path;
  BlLibrary *library;
  BlEdition *edition;
} Fixture;

static void
set_up (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) image = g_bytes_new_static ("not looked at", 13);

  fixture->folder = scratch_new ();
  fixture->path = scratch_file (fixture->folder, "test.benchlore-library");
  fixture->library = bl_library_open (fixture->path, TRUE, &error);
  g_assert_no_error (error);
  gint64 id = bl_edition_create (fixture->library, FALSE, "image/jpeg", image, NULL, &error);
  g_assert_no_error (error);
  fixture->edition = bl_edition_new (fixture->library, id, &error);
  g_assert_no_error (error);
}

static void
tear_down (Fixture *fixture, gconstpointer unused)
{
  g_clear_object (&fixture->edition);
  g_clear_pointer (&fixture->library, bl_library_close);
  g_free (fixture->path);
  scratch_free (fixture->folder);
}

/* What another program would find in the file now. */
static BlBoard *
on_disk (Fixture *fixture)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlLibrary) second = bl_library_open (fixture->path, FALSE, &error);
  g_assert_no_error (error);
  BlBoard *board = bl_library_load_board (second, bl_edition_get_id (fixture->edition), &error);
  g_assert_no_error (error);
  return board;
}

static void
test_saved_at_once (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *point = bl_edition_add_test_point (fixture->edition, "front", 10, 20, &error);
  g_assert_cmpstr (point, ==, "TP1");
  g_autofree char *m = bl_edition_add_measurement (fixture->edition, "TP1", BL_MEASURES_V_DC, "run", NULL, &error);
  g_assert_no_error (error);
  g_assert_true (bl_edition_set_expected (fixture->edition, m, "12 V ±5 %", &error));

  g_autoptr (BlBoard) found = on_disk (fixture);
  g_assert_cmpfloat (bl_board_test_point (found, "TP1")->y, ==, 20);
  g_assert_cmpfloat (bl_board_measurement (found, m)->expected.nominal.value, ==, 12);
}

static void
test_undo_redo (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *point = bl_edition_add_test_point (fixture->edition, "front", 10, 20, &error);

  g_assert_true (bl_edition_move_test_point (fixture->edition, point, 11, 20, &error));
  g_assert_true (bl_edition_move_test_point (fixture->edition, point, 12, 20, &error));
  g_assert_true (bl_edition_rename (fixture->edition, "test point", point, "TP5", &error));
  g_assert_true (bl_edition_undo (fixture->edition, &error));
  g_assert_cmpfloat (bl_board_test_point (bl_edition_get_board (fixture->edition), "TP1")->x, ==, 12);
  /* The two moves were one drag. */
  g_assert_cmpstr (bl_edition_get_undo_label (fixture->edition), ==, "Move TP1");
  g_assert_true (bl_edition_undo (fixture->edition, &error));
  g_autoptr (BlBoard) found = on_disk (fixture);
  g_assert_cmpfloat (bl_board_test_point (found, "TP1")->x, ==, 10);
  g_assert_true (bl_edition_redo (fixture->edition, &error));
  g_assert_true (bl_edition_redo (fixture->edition, &error));
  g_assert_nonnull (bl_board_test_point (bl_edition_get_board (fixture->edition), "TP5"));
  g_assert_null (bl_edition_get_redo_label (fixture->edition));
}

static void
test_refused (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *m = bl_edition_add_measurement (fixture->edition, NULL, BL_MEASURES_V_DC, "run", NULL, &error);
  g_autofree char *before = g_strdup (bl_edition_get_undo_label (fixture->edition));

  g_assert_false (bl_edition_set_expected (fixture->edition, m, "12 A", &error));
  g_assert_nonnull (error);
  g_clear_error (&error);
  g_autofree char *stage = bl_edition_add_stage (fixture->edition, "no such section", "x", &error);
  g_assert_null (stage);
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  g_assert_cmpstr (bl_edition_get_undo_label (fixture->edition), ==, before);
}

static void
test_rename_to_taken (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *a = bl_edition_add_test_point (fixture->edition, "front", 1, 1, &error);
  g_autofree char *b = bl_edition_add_test_point (fixture->edition, "front", 2, 2, &error);

  g_assert_false (bl_edition_rename (fixture->edition, "test point", a, b, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
#define ADD(name, function) g_test_add ("/model/edition/" name, Fixture, NULL, set_up, function, tear_down)
  ADD ("saved-at-once", test_saved_at_once);
  ADD ("undo-redo", test_undo_redo);
  ADD ("refused", test_refused);
  ADD ("rename-to-taken", test_rename_to_taken);
  return g_test_run ();
}
