/* SPDX-License-Identifier: GPL-3.0-or-later
 * Where a weight is said to come from: the handbook with its source, own figures, the factor. */
#include "config.h"

#include "bl-weight-words.h"

#include "example.h"

#include <string.h>

static void
has (char *words, const char *part)
{
  g_autofree char *owned = words;
  g_test_message ("%s", owned);
  g_assert_nonnull (strstr (owned, part));
}

/* The example's F1 is a fuse without figures of its own: MIL-HDBK-217F Notice 2 gives 0.020 (G_F) and
 * MIL-HDBK-338B gives premature opening 8 %, together 0.0016. */
static void
test_handbook (void)
{
  g_autoptr (BlBoard) board = example_board ();
  BlComponent *fuse = bl_board_component (board, "F1");
  const BlMode *open = bl_component_mode (fuse, "open");

  has (bl_component_weight_words (fuse), "handbook 0.02 (MIL-HDBK-217F");
  has (bl_component_weight_words (fuse), "together 0.0016");
  has (bl_mode_weight_words (board, fuse, open), "0.0016: handbook share 8 % (MIL-HDBK-338B");
  fuse->factor = 3;
  fuse->factor_reason = g_strdup ("hot spot");
  has (bl_component_weight_words (fuse), ", ×3 hot spot; ");
  has (bl_component_weight_words (fuse), "together 0.0048");
  has (bl_mode_weight_words (board, fuse, open), "0.0048: ");
}

static void
test_own (void)
{
  g_autoptr (BlBoard) board = example_board ();
  BlComponent *fuse = bl_board_component (board, "F1");
  BlMode *open = bl_component_mode (fuse, "open");

  open->weight = 2;
  has (bl_component_weight_words (fuse), "own figures of its failure modes; handbook 0.02");
  has (bl_mode_weight_words (board, fuse, open), "2: own figure; handbook 0.0016 (MIL-HDBK-338B");
  fuse->weight = 5;
  has (bl_component_weight_words (fuse), "own figure 5; handbook 0.02");
  has (bl_mode_weight_words (board, fuse, open), "5: own share");
  g_free (fuse->kind);
  fuse->kind = g_strdup ("gizmo");
  fuse->weight = open->weight = NAN;
  has (bl_component_weight_words (fuse), "not in the handbook");
  has (bl_mode_weight_words (board, fuse, open), "equal share");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/weight-words/handbook", test_handbook);
  g_test_add_func ("/model/weight-words/own", test_own);
  return g_test_run ();
}
