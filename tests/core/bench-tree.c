/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Measures the fault-tree engine on a folder of published trees.
 *
 * The folder (argument, or BENCHLORE_TREES) holds NAME.txt in the text form, REFERENCE.tsv with
 * columns tree, p_top_measured and mcs_measured or mcs_published, and perhaps NAME.post with the
 * posterior of each event. Each tree runs in a process of its own, so that CPU time and peak memory
 * are its own. Without a folder it says so and ends as skipped (77). Not part of the tests.
 */
#include "config.h"

#include "bl-tree.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

typedef struct
{
  char **header, **row;
} Row;

static const char *
column (const Row *row, const char *name)
{
  for (guint i = 0; row->header[i] != NULL && i < g_strv_length (row->row); i++)
    if (strcmp (row->header[i], name) == 0)
      return row->row[i];
  return NULL;
}

/* Largest distance of a posterior from the reference, in units of the tolerance: 1e-12 absolute or
 * 1e-9 relative, whichever is larger. Negative: no reference. */
static double
worst_posterior (const BlTree *tree, const BlTreeResult *result, const char *path)
{
  g_autofree char *text = NULL;
  if (!g_file_get_contents (path, &text, NULL, NULL))
    return -1;
  g_autoptr (GHashTable) expected = g_hash_table_new (g_str_hash, g_str_equal);
  g_auto (GStrv) words = g_strsplit_set (text, " \t\r\n", -1);
  for (guint i = 0; words[i] != NULL && words[i + 1] != NULL; i += 2)
    g_hash_table_insert (expected, words[i], words[i + 1]);
  double worst = 0;
  for (guint i = 0; i < result->events->len; i++)
    {
      const BlEventResult *event = &g_array_index (result->events, BlEventResult, i);
      const BlNode *node = g_ptr_array_index (tree->nodes, event->node);
      const char *value = g_hash_table_lookup (expected, node->id);
      if (value == NULL)
        continue;
      double reference = g_ascii_strtod (value, NULL);
      double tolerance = MAX (1e-12, 1e-9 * fabs (reference));
      worst = MAX (worst, fabs (event->posterior - reference) / tolerance);
    }
  return worst;
}

static void
print_result (const BlTree *tree, const BlTreeResult *result, const Row *row, const char *folder)
{
  const char *p = column (row, "p_top_measured");
  const char *count = column (row, "mcs_measured");
  if (count == NULL || *count == '\0' || *count == '-')
    count = column (row, "mcs_published");
  double reference = p != NULL ? g_ascii_strtod (p, NULL) : NAN;
  g_autofree char *name = g_strconcat (row->row[0], ".post", NULL);
  g_autofree char *post = g_build_filename (folder, name, NULL);
  printf ("%-14s %.15g  rel %.1e  post %.2g  sets %s (%s)", row->row[0], result->probability,
          fabs (result->probability / reference - 1), worst_posterior (tree, result, post),
          result->cut_set_count != NULL ? result->cut_set_count : "none", count);
}

static int
measure (const Row *row, const char *folder, guint order)
{
  g_autofree char *name = g_strconcat (row->row[0], ".txt", NULL);
  g_autofree char *path = g_build_filename (folder, name, NULL);
  g_autofree char *text = NULL;
  g_autoptr (GError) error = NULL;
  g_autoptr (BlTree) tree = NULL;
  g_autoptr (BlTreeResult) result = NULL;
  if (g_file_get_contents (path, &text, NULL, &error))
    tree = bl_tree_parse (text, -1, &error);
  if (tree != NULL)
    result = bl_tree_evaluate (tree, NULL, order, 0, &error);
  if (result != NULL)
    print_result (tree, result, row, folder);
  else
    printf ("%-14s %s", row->row[0], error->message);
  fflush (stdout);
  return result == NULL;
}

static int
run (const Row *row, const char *folder)
{
  fflush (stdout);
  pid_t child = fork ();
  if (child == 0)
    _exit (measure (row, folder, 0));
  struct rusage usage;
  int status = 1;
  if (child < 0 || wait4 (child, &status, 0, &usage) < 0)
    return 1;
  printf ("  cpu %.3f s  %.0f MB%s\n",
          (double) (usage.ru_utime.tv_sec + usage.ru_stime.tv_sec) +
              (double) (usage.ru_utime.tv_usec + usage.ru_stime.tv_usec) * 1e-6,
          (double) usage.ru_maxrss / 1024, WIFSIGNALED (status) ? "  CRASHED" : "");
  return WIFSIGNALED (status);
}

int
main (int argc, char **argv)
{
  const char *folder = argc > 1 ? argv[1] : g_getenv ("BENCHLORE_TREES");
  if (folder == NULL)
    {
      puts ("no folder of trees given (argument or BENCHLORE_TREES): nothing measured");
      return 77;
    }
  g_autofree char *path = g_build_filename (folder, "REFERENCE.tsv", NULL);
  g_autofree char *text = NULL;
  g_autoptr (GError) error = NULL;
  if (!g_file_get_contents (path, &text, NULL, &error))
    {
      fprintf (stderr, "%s\n", error->message);
      return 1;
    }
  g_auto (GStrv) lines = g_strsplit (g_strchomp (text), "\n", -1);
  g_auto (GStrv) header = g_strsplit (lines[0], "\t", -1);
  int bad = 0;
  for (guint i = 1; lines[i] != NULL; i++)
    {
      g_auto (GStrv) fields = g_strsplit (lines[i], "\t", -1);
      Row row = { header, fields };
      if (fields[0] != NULL && (argc < 3 || strcmp (argv[2], fields[0]) == 0))
        bad |= run (&row, folder);
    }
  return bad;
}
