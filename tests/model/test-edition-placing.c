/* SPDX-License-Identifier: GPL-3.0-or-later
 * Press after press: names count on, stages follow from what is pressed, each press one step of undo. */
#include "config.h"

#include "bl-edition-parts.h"
#include "bl-edition-placing.h"
#include "example.h"

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
  g_autoptr (BlBoard) board = example_board ();

  fixture->folder = scratch_new ();
  fixture->path = scratch_file (fixture->folder, "placing.benchlore-library");
  fixture->library = bl_library_open (fixture->path, TRUE, &error);
  g_assert_no_error (error);
  gint64 id = bl_library_add_board (fixture->library, board, FALSE, &error);
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

static char *
press (Fixture *fixture, BlElement element, const char *from, const char *stage, double x, double y)
{
  g_autoptr (GError) error = NULL;
  char *id = bl_placing_next (bl_edition_get_board (fixture->edition), element, from);

  g_assert_true (bl_edition_place_named (fixture->edition, element, id, stage, "front", x, y, &error));
  g_assert_no_error (error);
  return id;
}

static const BlComponent *
component (Fixture *fixture, const char *id)
{
  return bl_board_component (bl_edition_get_board (fixture->edition), id);
}

static void
test_components (Fixture *fixture, gconstpointer unused)
{
  const double corners[] = { 100, 100, 200, 100, 200, 200, 100, 200 };
  g_autoptr (GArray) points = g_array_new (FALSE, FALSE, sizeof (double));
  BlRef stage = bl_ref (BL_ELEMENT_STAGE, "rail12");
  g_autoptr (GError) error = NULL;

  g_array_append_vals (points, corners, G_N_ELEMENTS (corners));
  g_assert_true (bl_edition_add_outline (fixture->edition, &stage, "front", points, &error));
  g_autofree char *first = press (fixture, BL_ELEMENT_COMPONENT, "R12", "rx", 150, 150);
  g_autofree char *second = press (fixture, BL_ELEMENT_COMPONENT, "R12", "rx", 160, 150);
  g_autofree char *third = press (fixture, BL_ELEMENT_COMPONENT, "R12", "rx", 500, 150);
  g_assert_cmpstr (first, ==, "R12");
  g_assert_cmpstr (second, ==, "R13");
  g_assert_cmpstr (third, ==, "R14");
  g_assert_cmpstr (component (fixture, "R12")->kind, ==, "resistor");
  g_assert_cmpstr (component (fixture, "R13")->stage, ==, "rail12"); /* under the press */
  g_assert_cmpstr (component (fixture, "R14")->stage, ==, "rx");     /* the one in hand */
  g_assert_cmpstr (bl_edition_get_undo_label (fixture->edition), ==, "Place R14");
  /* Undo takes the last back, and its name is next again. */
  g_assert_true (bl_edition_undo (fixture->edition, &error));
  g_assert_null (component (fixture, "R14"));
  g_autofree char *again = bl_placing_next (bl_edition_get_board (fixture->edition), BL_ELEMENT_COMPONENT, "R12");
  g_assert_cmpstr (again, ==, "R14");
  /* Without a stage anywhere it is refused, and nothing has changed. */
  g_assert_false (
      bl_edition_place_named (fixture->edition, BL_ELEMENT_COMPONENT, "R20", NULL, "front", 500, 500, &error));
  g_assert_nonnull (error);
  g_assert_null (component (fixture, "R20"));
}

/* F1 and X3 wait for a place; they keep what they are, and U3 after U2 is new. */
static void
test_waiting (Fixture *fixture, gconstpointer unused)
{
  const BlBoard *board = bl_edition_get_board (fixture->edition);
  g_autoptr (GPtrArray) waiting = bl_placing_waiting (board, BL_ELEMENT_COMPONENT);

  g_assert_cmpuint (waiting->len, ==, 2);
  g_assert_cmpstr (bl_at (waiting, 0), ==, "F1");
  g_assert_cmpstr (bl_at (waiting, 1), ==, "X3");
  g_assert_true (bl_placing_waits (board, BL_ELEMENT_COMPONENT, "f1"));
  g_assert_false (bl_placing_waits (board, BL_ELEMENT_COMPONENT, "U2"));
  g_autofree char *fuse = press (fixture, BL_ELEMENT_COMPONENT, "F1", "rx", 3, 4);
  g_assert_cmpstr (component (fixture, fuse)->stage, ==, "bulk");
  g_assert_cmpstr (component (fixture, fuse)->value, ==, "3.15 A");
  g_assert_cmpfloat (component (fixture, fuse)->x, ==, 3);
  g_assert_false (bl_placing_waits (bl_edition_get_board (fixture->edition), BL_ELEMENT_COMPONENT, "F1"));
  g_autofree char *chip = press (fixture, BL_ELEMENT_COMPONENT, "U2", "rx", 5, 6);
  g_assert_cmpstr (chip, ==, "U3");
  g_assert_cmpstr (component (fixture, chip)->kind, ==, "ic.regulator");
}

static void
test_points (Fixture *fixture, gconstpointer unused)
{
  const BlBoard *board = bl_edition_get_board (fixture->edition);
  g_autofree char *begin = bl_placing_begin (board, BL_ELEMENT_TEST_POINT, NULL);
  g_autoptr (GError) error = NULL;

  g_assert_cmpstr (begin, ==, "TP6");
  g_autofree char *gap = press (fixture, BL_ELEMENT_TEST_POINT, "TP4", NULL, 7, 8);
  g_autofree char *over = press (fixture, BL_ELEMENT_TEST_POINT, "TP4", NULL, 7, 9);
  g_assert_cmpstr (gap, ==, "TP4");
  g_assert_cmpstr (over, ==, "TP6"); /* TP5 stands already */
  g_assert_false (bl_edition_place_named (fixture->edition, BL_ELEMENT_TEST_POINT, "TP 9", NULL, "front", 1, 1, &error));
  g_assert_nonnull (error);
}

/* Each change of an outline is a step with a name of its own. */
static void
test_outline_steps (Fixture *fixture, gconstpointer unused)
{
  static const char *const labels[] = { "Move corner of outline", "Add corner to outline", "Remove corner of outline",
                                        "Move outline" };
  BlRef section = bl_ref (BL_ELEMENT_SECTION, "supply");
  g_autoptr (GError) error = NULL;

  for (guint i = 0; i < G_N_ELEMENTS (labels); i++)
    {
      const double corners[] = { i, 1, 50, 1, 50, 50 };
      g_autoptr (GArray) points = g_array_new (FALSE, FALSE, sizeof (double));
      guint step = bl_edition_get_step (fixture->edition);
      g_array_append_vals (points, corners, G_N_ELEMENTS (corners));
      g_assert_true (bl_edition_change_outline (fixture->edition, &section, "front", 0, points, (BlOutlineChange) i,
                                                &error));
      g_assert_cmpstr (bl_edition_get_undo_label (fixture->edition), ==, labels[i]);
      g_assert_cmpuint (bl_edition_get_step (fixture->edition), >, step);
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define ADD(name, function) g_test_add ("/model/edition/" name, Fixture, NULL, set_up, function, tear_down)
  ADD ("placing/components", test_components);
  ADD ("placing/waiting", test_waiting);
  ADD ("placing/points", test_points);
  ADD ("outline-steps", test_outline_steps);
  return g_test_run ();
}
