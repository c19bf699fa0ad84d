/* SPDX-License-Identifier: GPL-3.0-or-later
 * Designators: counting on, what the letters mean, order. What letters mean is common practice, no source. */
#include "config.h"

#include "bl-designator.h"
#include "bl-kinds.h"
#include "example.h"

static void
test_next (void)
{
  static const char *const cases[][2] = {
    { "R12", "R13" }, { "R9", "R10" },   { "R09", "R10" },  { "R007", "R008" }, { "R99", "R100" },
    { "K", "K1" },    { "Q1A", "Q2" },   { "TP5", "TP6" },  { "C101-2", "C101-3" },
    { "IC201", "IC202" }, { "R999999999999999999", "R1000000000000000000" },
  };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *next = bl_designator_next (cases[i][0]);
      g_assert_cmpstr (next, ==, cases[i][1]);
    }
}

static void
test_free (void)
{
  g_autoptr (GHashTable) taken = bl_designator_set_new ();

  bl_designator_set_add (taken, "R13");
  bl_designator_set_add (taken, "r14");
  bl_designator_set_add (taken, "R16");
  g_autofree char *first = bl_designator_free ("R12", taken);
  g_autofree char *skipped = bl_designator_free ("R13", taken);
  g_autofree char *again = bl_designator_free ("R16", taken);
  g_assert_cmpstr (first, ==, "R12");
  g_assert_cmpstr (skipped, ==, "R15");
  g_assert_cmpstr (again, ==, "R17");
}

/* Each letter leads to a kind of which the table of priors knows a rate, or at least its general form. */
static void
test_kinds (void)
{
  static const char *const cases[][2] = {
    { "R12", "resistor" }, { "C3", "capacitor.ceramic" }, { "D7", "diode" },       { "Q2", "transistor" },
    { "U1", "ic" },        { "IC4", "ic" },               { "K1", "relay" },       { "F1", "fuse" },
    { "L2", "coil" },      { "T1", "transformer" },       { "X3", "connector" },   { "Y1", "crystal" },
    { "ZD1", "diode.zener" }, { "PC2", "optocoupler" },   { "RV1", "varistor" },   { "LED2", "led" },
    { "sw1", "switch" },   { "WW9", NULL },               { "12", NULL },
  };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_assert_cmpstr (bl_designator_kind (cases[i][0]), ==, cases[i][1]);
      if (cases[i][1] != NULL)
        {
          g_autofree char *source = bl_kind_source (cases[i][1], NULL);
          g_assert_nonnull (source);
        }
    }
}

static void
add (BlBoard *board, const char *id, const char *kind)
{
  BlComponent *component = bl_component_new ();

  component->id = g_strdup (id);
  component->kind = g_strdup (kind);
  bl_append (&board->components, component, (GDestroyNotify) bl_component_free);
}

/* What the board says of the same letters goes before what they usually mean. */
static void
test_guess (void)
{
  g_autoptr (BlBoard) board = bl_board_new ();
  g_autofree char *usual = bl_designator_guess_kind (board, "C3", "ic");
  g_autofree char *unknown = bl_designator_guess_kind (board, "WW1", "ic");

  g_assert_cmpstr (usual, ==, "capacitor.ceramic");
  g_assert_cmpstr (unknown, ==, "ic");
  add (board, "C10", "capacitor.electrolytic");
  add (board, "C20", "capacitor.film");
  add (board, "CX1", "capacitor.paper");
  g_autofree char *before = bl_designator_guess_kind (board, "C12", "ic");
  g_autofree char *behind = bl_designator_guess_kind (board, "C21", "ic");
  g_autofree char *first = bl_designator_guess_kind (board, "C1", "ic");
  g_assert_cmpstr (before, ==, "capacitor.electrolytic");
  g_assert_cmpstr (behind, ==, "capacitor.film");
  g_assert_cmpstr (first, ==, "capacitor.electrolytic");
}

static void
test_order (void)
{
  g_assert_cmpint (bl_designator_compare ("K2", "K10"), <, 0);
  g_assert_cmpint (bl_designator_compare ("k2", "K2"), ==, 0);
  g_assert_cmpint (bl_designator_compare ("K2", "K2A"), <, 0);
  g_assert_cmpint (bl_designator_compare ("R1", "K2"), >, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/designator/next", test_next);
  g_test_add_func ("/model/designator/free", test_free);
  g_test_add_func ("/model/designator/kinds", test_kinds);
  g_test_add_func ("/model/designator/guess", test_guess);
  g_test_add_func ("/model/designator/order", test_order);
  return g_test_run ();
}
