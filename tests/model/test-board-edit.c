/* SPDX-License-Identifier: GPL-3.0-or-later
 * Renaming and removing leave no reference behind: checked with the document's own validation on the
 * example board, for every element in turn. */
#include "config.h"

#include "bl-board-edit.h"
#include "bl-document.h"

static BlBoard *
example (void)
{
  g_autofree char *path = g_test_build_filename (G_TEST_DIST, "fixtures", "example-board.json", NULL);
  g_autofree char *text = NULL;
  g_autoptr (GError) error = NULL;

  g_file_get_contents (path, &text, NULL, &error);
  g_assert_no_error (error);
  BlBoard *board = bl_document_parse (text, -1, NULL, &error);
  g_assert_no_error (error);
  return board;
}

static void
assert_valid (const BlBoard *board)
{
  g_autoptr (GPtrArray) problems = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_problem_free);
  gboolean valid = bl_board_validate (board, problems);

  for (guint i = 0; !valid && i < problems->len; i++)
    g_test_message ("%s: %s", ((BlProblem *) bl_at (problems, i))->path, ((BlProblem *) bl_at (problems, i))->message);
  g_assert_true (valid);
}

static GPtrArray *
list_of (const BlBoard *board, BlKind kind)
{
  GPtrArray *lists[] = { board->states, board->photos, board->sections, board->stages,
                         board->components, board->test_points, board->measurements };
  return lists[kind];
}

typedef void (*Change) (BlBoard *board, BlKind kind, const char *id);

static void
rename_it (BlBoard *board, BlKind kind, const char *id)
{
  bl_board_rename (board, kind, id, "renamed");
  g_assert_true (bl_board_has (board, kind, "renamed"));
}

/* Applies change to every element of every kind, each on a fresh board. */
static void
for_each_element (Change change)
{
  g_autoptr (BlBoard) board = example ();

  for (guint kind = 0; kind < BL_N_KINDS; kind++)
    {
      guint n = bl_len (list_of (board, kind));
      g_assert_cmpuint (n, >, 0);
      for (guint i = 0; i < n; i++)
        {
          g_autoptr (BlBoard) copy = bl_board_copy (board);
          g_autofree char *id = g_strdup (*(char **) bl_at (list_of (copy, kind), i));
          g_test_message ("kind %u, %s", kind, id);
          change (copy, kind, id);
          g_assert_false (bl_board_has (copy, kind, id));
          assert_valid (copy);
        }
    }
}

static void
test_rename (void)
{
  for_each_element (rename_it);
}

static void
test_remove (void)
{
  for_each_element (bl_board_remove);
}

static void
test_free_id (void)
{
  g_autoptr (BlBoard) board = bl_board_new ();
  BlStage *stage = bl_stage_new ();

  stage->id = g_strdup ("M1");
  bl_append (&board->stages, stage, (GDestroyNotify) bl_stage_free);
  g_autofree char *id = bl_board_free_id (board, BL_KIND_MEASUREMENT, "M");
  g_assert_cmpstr (id, ==, "M2"); /* no measurement shares an id with a stage */
  g_autofree char *point = bl_board_free_id (board, BL_KIND_TEST_POINT, "M");
  g_assert_cmpstr (point, ==, "M1");
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/board-edit/rename", test_rename);
  g_test_add_func ("/model/board-edit/remove", test_remove);
  g_test_add_func ("/model/board-edit/free-id", test_free_id);
  return g_test_run ();
}
