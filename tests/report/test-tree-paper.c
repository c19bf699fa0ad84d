/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A fault tree on paper: the sheets have the size asked for (A4: ISO 216, 210 x 297 mm; Letter: 8.5 x 11
 * inches, ANSI/ASME Y14.1; both from memory), every basic event and the head can be read out of the PDF,
 * scripts other than Latin are drawn, and a file that cannot be written is an error. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

#include "bl-tree-paper.h"
#include "tree-fixture.h"

/* What poppler's program prints of the PDF; NULL where it is not installed. */
static char *
read_out (const char *program, GBytes *bytes)
{
  g_autofree char *found = g_find_program_in_path (program), *path = NULL;
  g_autoptr (GError) error = NULL;
  char *text = NULL;
  int fd = g_file_open_tmp ("benchlore-tree-XXXXXX.pdf", &path, &error);

  g_assert_no_error (error);
  g_close (fd, NULL);
  g_file_set_contents (path, g_bytes_get_data (bytes, NULL), (gssize) g_bytes_get_size (bytes), &error);
  g_assert_no_error (error);
  if (found != NULL)
    {
      const char *arguments[] = { found, path, strcmp (program, "pdftotext") == 0 ? "-" : NULL, NULL };
      g_assert_true (g_spawn_sync (NULL, (char **) arguments, NULL, G_SPAWN_DEFAULT, NULL, NULL, &text, NULL, NULL,
                                   &error));
      g_assert_no_error (error);
    }
  g_unlink (path);
  return text;
}

static void
test_pdf (void)
{
  static const struct
  {
    BlPaper paper;
    const char *size;
  } papers[] = { { BL_PAPER_A4, "841.89 x 595.276" }, { BL_PAPER_LETTER, "792 x 612" } };
  g_autoptr (BlBoard) board = board_of_stages (25);
  g_autoptr (GError) error = NULL;
  g_autoptr (BlTree) tree = bl_tree_of_whole_board (board, &error);
  BlTreeSheet sheet = { .tree = tree,
                        .leading = bl_tree_find (tree, "R7:open"),
                        .title = "Hollin whole",
                        .board = board,
                        .given = "Given nothing.",
                        .time = G_GINT64_CONSTANT (1772442000000000) };

  for (guint i = 0; i < G_N_ELEMENTS (papers); i++)
    {
      guint pages = 0;
      sheet.paper = papers[i].paper;
      g_autoptr (GBytes) bytes = bl_tree_sheet_to_pdf (&sheet, &pages, &error);
      g_assert_no_error (error);
      g_assert_cmpuint (pages, >, 3);
      g_autofree char *info = read_out ("pdfinfo", bytes), *text = read_out ("pdftotext", bytes);
      if (info == NULL || text == NULL)
        {
          g_test_skip ("poppler's programs are not installed");
          return;
        }
      g_autofree char *last = g_strdup_printf ("page %u of %u", pages, pages);
      g_assert_nonnull (strstr (info, papers[i].size));
      g_assert_nonnull (strstr (text, "Fault tree: Hollin whole"));
      g_assert_nonnull (strstr (text, "RB-17, edition C"));
      g_assert_nonnull (strstr (text, "2026-03-02"));
      g_assert_nonnull (strstr (text, "Given nothing."));
      g_assert_nonnull (strstr (text, "any of the causes on its left"));
      g_assert_nonnull (strstr (text, last));
      for (guint r = 0; r < 100; r++)
        {
          g_autofree char *open = g_strdup_printf ("R%u open", r), *drifted = g_strdup_printf ("R%u drifted", r);
          g_assert_nonnull (strstr (text, open));
          g_assert_nonnull (strstr (text, drifted));
        }
    }
}

static void
test_svg (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlTree) tree = bl_tree_parse ("top t\ngate t and 0 a b\nevent a 0.5\nevent b 0.1\n", -1, &error);
  BlNode *event = g_ptr_array_index (tree->nodes, (guint) bl_tree_find (tree, "a"));
  BlTreeSheet sheet = { .tree = tree, .leading = -1, .title = "Test" };

  event->title = g_strdup ("реле разомкнуто");
  g_autoptr (GBytes) bytes = bl_tree_sheet_to_svg (&sheet, &error);
  g_assert_no_error (error);
  g_autofree char *text = g_strndup (g_bytes_get_data (bytes, NULL), g_bytes_get_size (bytes));
  g_assert_nonnull (strstr (text, "<svg"));
  g_assert_nonnull (strstr (text, "</svg>"));
  g_assert_null (strstr (text, "<text")); /* outlines */
  g_clear_pointer (&event->title, g_free);
  g_autoptr (GBytes) without = bl_tree_sheet_to_svg (&sheet, &error);
  /* Fifteen Cyrillic letters have more outlines than one "a". */
  g_assert_cmpuint (g_bytes_get_size (bytes), >, g_bytes_get_size (without) + 2000);
}

static void
test_files (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlTree) tree = bl_tree_parse ("top t\ngate t or 0 a b\nevent a 0.5\nevent b 0.1\n", -1, &error);
  BlTreeSheet sheet = { .tree = tree, .leading = -1 };
  g_autofree char *folder = g_dir_make_tmp ("benchlore-tree-XXXXXX", NULL);
  static const char *const starts[][2] = { { "t.svg", "<?xml" }, { "t.pdf", "%PDF-" } };

  for (guint i = 0; i < G_N_ELEMENTS (starts); i++)
    {
      g_autofree char *path = g_build_filename (folder, starts[i][0], NULL), *text = NULL;
      g_assert_true (bl_tree_sheet_write (&sheet, path, &error));
      g_assert_no_error (error);
      g_assert_true (g_file_get_contents (path, &text, NULL, &error));
      g_assert_true (g_str_has_prefix (text, starts[i][1]));
      g_unlink (path);
    }
  g_rmdir (folder);
  g_assert_false (bl_tree_sheet_write (&sheet, "/nonexistent/folder/t.pdf", &error));
  g_assert_nonnull (error);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/report/tree-paper/pdf", test_pdf);
  g_test_add_func ("/report/tree-paper/svg", test_svg);
  g_test_add_func ("/report/tree-paper/files", test_files);
  return g_test_run ();
}
