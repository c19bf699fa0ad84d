/* SPDX-License-Identifier: GPL-3.0-or-later
 * Search on a board: what is meant comes first, and where it is. */
#include "config.h"

#include "bl-find.h"
#include "example.h"

static void
assert_first (const BlBoard *board, const char *text, BlElement element, const char *id)
{
  g_autoptr (GPtrArray) found = bl_find (board, text, 20);

  g_assert_cmpuint (found->len, >, 0);
  const BlFound *first = bl_at (found, 0);
  g_assert_cmpint (first->ref.element, ==, element);
  g_assert_cmpstr (first->ref.id, ==, id);
  g_assert_true (*first->words != '\0');
}

static void
test_first (void)
{
  g_autoptr (BlBoard) board = example_board ();

  assert_first (board, "U2", BL_ELEMENT_COMPONENT, "U2");
  assert_first (board, " u2 ", BL_ELEMENT_COMPONENT, "U2");
  assert_first (board, "TP5", BL_ELEMENT_TEST_POINT, "TP5");
  assert_first (board, "M5", BL_ELEMENT_MEASUREMENT, "M5");
  assert_first (board, "receiver", BL_ELEMENT_STAGE, "rx");
  assert_first (board, "recei", BL_ELEMENT_STAGE, "rx");
  assert_first (board, "supply", BL_ELEMENT_SECTION, "supply");
  assert_first (board, "7805", BL_ELEMENT_COMPONENT, "U2");
  assert_first (board, "rail 12", BL_ELEMENT_STAGE, "rail12");
  g_autoptr (GPtrArray) none = bl_find (board, "flux capacitor", 20);
  g_autoptr (GPtrArray) empty = bl_find (board, "  ", 20);
  g_assert_cmpuint (none->len, ==, 0);
  g_assert_cmpuint (empty->len, ==, 0);
}

/* K1 before K10 and K11, those in order of number; a limit is kept. */
static void
test_order (void)
{
  g_autoptr (BlBoard) board = example_board ();
  static const char *const ids[] = { "K11", "K2", "K10", "K1" };

  for (guint i = 0; i < G_N_ELEMENTS (ids); i++)
    {
      BlComponent *component = bl_component_new ();
      component->id = g_strdup (ids[i]);
      component->kind = g_strdup ("relay");
      component->title = g_strdup ("Relé");
      component->stage = g_strdup ("rx");
      bl_append (&board->components, component, (GDestroyNotify) bl_component_free);
    }
  g_autoptr (GPtrArray) found = bl_find (board, "k1", 20);
  g_assert_cmpuint (found->len, ==, 3);
  g_assert_cmpstr (((BlFound *) bl_at (found, 0))->name, ==, "K1");
  g_assert_cmpstr (((BlFound *) bl_at (found, 1))->name, ==, "K10");
  g_assert_cmpstr (((BlFound *) bl_at (found, 2))->name, ==, "K11");
  g_autoptr (GPtrArray) accents = bl_find (board, "rele", 2);
  g_assert_cmpuint (accents->len, ==, 2);
  g_assert_cmpstr (((BlFound *) bl_at (accents, 1))->name, ==, "K2");
}

static void
outline (GPtrArray **outlines, const char *photo, double x0, double y0, double x1, double y1)
{
  const double corners[] = { x0, y0, x1, y0, x1, y1, x0, y1 };
  BlOutline *added = bl_outline_new ();

  added->photo = g_strdup (photo);
  g_clear_pointer (&added->points, g_array_unref);
  added->points = g_array_new (FALSE, FALSE, sizeof (double));
  g_array_append_vals (added->points, corners, G_N_ELEMENTS (corners));
  bl_append (outlines, added, (GDestroyNotify) bl_outline_free);
}

static void
test_where (void)
{
  g_autoptr (BlBoard) board = example_board ();
  BlRef u2 = bl_ref (BL_ELEMENT_COMPONENT, "U2"), f1 = bl_ref (BL_ELEMENT_COMPONENT, "F1");
  BlRef m5 = bl_ref (BL_ELEMENT_MEASUREMENT, "M5"), m0 = bl_ref (BL_ELEMENT_MEASUREMENT, "M0");
  BlRef bulk = bl_ref (BL_ELEMENT_STAGE, "bulk"), rx = bl_ref (BL_ELEMENT_STAGE, "rx");
  BlWhere where;

  g_assert_true (bl_find_where (board, &u2, NULL, &where));
  g_assert_cmpstr (where.photo, ==, "front");
  g_assert_cmpfloat (where.x0, ==, 1);
  g_assert_cmpfloat (where.y1, ==, 2);
  g_assert_true (bl_find_where (board, &m5, NULL, &where));
  g_assert_cmpfloat (where.x0, ==, 1);
  /* F1 has no place: its stage has none either, its section has. */
  g_assert_true (bl_find_where (board, &f1, NULL, &where));
  g_assert_cmpint (where.of.element, ==, BL_ELEMENT_SECTION);
  g_assert_cmpfloat (where.x1, ==, 9);
  outline (&bl_board_stage (board, "bulk")->outlines, "front", 10, 20, 30, 40);
  outline (&bl_board_stage (board, "bulk")->outlines, "back", 50, 60, 70, 80);
  g_assert_true (bl_find_where (board, &f1, NULL, &where));
  g_assert_true (bl_ref_equal (&where.of, &bulk));
  g_assert_cmpfloat (where.x0, ==, 10);
  g_assert_true (bl_find_where (board, &bulk, "back", &where));
  g_assert_cmpstr (where.photo, ==, "back");
  g_assert_cmpfloat (where.y1, ==, 80);
  g_assert_false (bl_find_where (board, &rx, NULL, &where));
  g_assert_false (bl_find_where (board, &m0, NULL, &where));
}

/* The smaller of two stages one inside the other; the other photo has none. */
static void
test_stage_at (void)
{
  g_autoptr (BlBoard) board = example_board ();

  outline (&bl_board_stage (board, "bulk")->outlines, "front", 0, 0, 100, 100);
  outline (&bl_board_stage (board, "rail12")->outlines, "front", 20, 20, 40, 40);
  g_assert_cmpstr (bl_find_stage_at (board, "front", 30, 30)->id, ==, "rail12");
  g_assert_cmpstr (bl_find_stage_at (board, "front", 10, 10)->id, ==, "bulk");
  g_assert_null (bl_find_stage_at (board, "front", 101, 10));
  g_assert_null (bl_find_stage_at (board, "back", 30, 30));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/find/first", test_first);
  g_test_add_func ("/model/find/order", test_order);
  g_test_add_func ("/model/find/where", test_where);
  g_test_add_func ("/model/find/stage-at", test_stage_at);
  return g_test_run ();
}
