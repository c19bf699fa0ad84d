/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Topics of practice: which family a mode is of, and where a fault lies. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-practice-private.h"

#include "example.h"

/* Words that technicians wrote for modes, each with the family it belongs to: our own sorting, no source. */
static void
test_families (void)
{
  static const char *const expected[][2] = {
    { "open", "open" },                       { "contact does not close", "open" }, { "shorted turns", "short" },
    { "drain shorted to source", "short" },   { "leaky, 5k", "leaky" },             { "moisture to 0 V, 50k", "leaky" },
    { "N joint bad, 2 ohm", "poor contact" }, { "contact film", "poor contact" },   { "parts when warm or moved", "poor contact" },
    { "contact welded", "stuck" },            { "K1 command stuck low", "stuck" },  { "aged x10", "drift" },
    { "capacity lost", "drift" },             { "ESR high", "drift" },              { "oscillator stage dead", "no function" },
  };
  g_autoptr (BlBoard) board = example_board ();
  BlComponent *component = bl_at (board->components, 0);

  for (guint i = 0; i < G_N_ELEMENTS (expected); i++)
    {
      g_autofree char *fault = g_strdup_printf ("%s:%s", component->id, expected[i][0]);
      g_autofree char *family = bl_practice_family_of (board, fault), *words = bl_family_words (family);
      g_assert_cmpstr (family, ==, expected[i][1]);
      g_assert_cmpstr (words, !=, "");
    }
  g_assert_null (bl_practice_family_of (board, "X99:open"));
  g_assert_cmpstr (bl_practice_section_of (board, "U2:open"), ==, "supply");
  g_assert_null (bl_practice_section_of (board, "nonsense"));
  g_assert_true (bl_practice_may_burn (board, "U2:short"));
  g_assert_true (bl_practice_may_burn (board, "U2:in shorted to out"));
  g_assert_false (bl_practice_may_burn (board, "U2:open"));
  g_assert_false (bl_practice_may_burn (board, "nonsense"));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/practice-words/families", test_families);
  return g_test_run ();
}
