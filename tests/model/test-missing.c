/* SPDX-License-Identifier: GPL-3.0-or-later
 * What an edition still lacks: listed by name until it is filled in. */
#include "config.h"

#include "bl-missing.h"

#include "example.h"

static char *
names_of (const BlBoard *board)
{
  g_autoptr (GPtrArray) list = bl_board_missing (board);
  g_autoptr (GString) names = g_string_new (NULL);

  for (guint i = 0; i < list->len; i++)
    {
      const BlMissing *missing = g_ptr_array_index (list, i);
      g_assert_cmpuint (strlen (missing->words), >, 10);
      g_string_append_printf (names, "%s%s", i > 0 ? ", " : "", missing->name);
    }
  return g_string_free (g_steal_pointer (&names), FALSE);
}

static void
test_fresh (void)
{
  g_autoptr (BlBoard) board = bl_board_new ();
  BlMeasurement *measurement = bl_measurement_new ();
  g_autofree char *all = names_of (board);

  g_assert_cmpstr (all, ==, "board number, edition, maker, measurements, stages, components");
  measurement->id = g_strdup ("M1");
  bl_append (&board->measurements, measurement, (GDestroyNotify) bl_measurement_free);
  board->board_number = g_strdup ("2104-B");
  board->edition = g_strdup ("");
  g_autofree char *some = names_of (board);
  g_assert_cmpstr (some, ==, "edition, maker, expected values, stages, components");
}

static void
test_documented (void)
{
  g_autoptr (BlBoard) board = example_board ();

  g_free (board->maker);
  g_free (board->board_number);
  g_free (board->edition);
  board->maker = g_strdup ("a");
  board->board_number = g_strdup ("b");
  board->edition = g_strdup ("c");
  g_autofree char *names = names_of (board);
  g_assert_cmpstr (names, ==, "");
}

static void
test_title (void)
{
  static const struct
  {
    const char *number, *edition, *title;
  } cases[] = { { "2104-B", "C", "2104-B, edition C" },
                { "2104-B", "", "2104-B, edition not said yet" },
                { NULL, "C", "Board number not said yet, edition C" },
                { "", NULL, "Board number and edition not said yet" } };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *title = bl_board_title (cases[i].number, cases[i].edition);
      g_assert_cmpstr (title, ==, cases[i].title);
    }
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/missing/fresh", test_fresh);
  g_test_add_func ("/model/missing/documented", test_documented);
  g_test_add_func ("/model/missing/title", test_title);
  return g_test_run ();
}
