/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Measures the fault-tree engine on a folder of published trees.
 *
 * The folder (argument, or BENCHLORE_TREES) holds NAME.txt in the text form, REFERENCE.tsv with
 * columns tree, p_top_measured and mcs_measured or mcs_published, and perhaps NAME.post with the
 * posterior of each event. Each tree runs in a process of its own, so that CPU time and peak memory
 * are its own. A line for each tree: how far it is from the reference; CPU seconds until the
 * probability of the top and posterior and importance of every event are there, and until the exact
 * number of minimal cut sets is there, too; peak memory. Beside each figure, in brackets, what a
 * public fault-tree engine took for the tree on a machine of the same kind: its exact probability
 * (process start and XML of about 0.07 s included, no importances), the same with all minimal cut
 * sets (60 s limit), and its memory. Of a tree with soft readings the posteriors of all nodes given
 * the readings are compared and timed. Without a folder it says so and ends as skipped (77). Not part of
 * the tests.
 */
#include "config.h"

#include "bl-tree.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

/* The engine beside: CPU seconds to the probability, to the cut sets (0: not within 60 s), memory. */
static const struct
{
  const char *tree;
  double probability_s, cut_sets_s;
  int megabytes;
} baseline[] = {
  { "baobab3", 0.10, 0.14, 13 },    { "chinese", 0.10, 0.11, 12 },   { "das9202", 0.12, 0.08, 12 },
  { "das9204", 0.11, 0.08, 12 },    { "das9205", 0.10, 0.09, 12 },   { "das9206", 0.09, 0.12, 13 },
  { "das9209", 0.10, 0, 12 },       { "das9601", 0.29, 0.36, 22 },   { "edf9201", 0.09, 0.14, 13 },
  { "edf9204", 1.47, 14.46, 115 },  { "edf9206", 0.10, 0, 13 },      { "edfpa14b", 0.58, 24.81, 40 },
  { "edfpa14o", 0.40, 0, 31 },      { "edfpa14p", 0.46, 7.93, 34 },  { "edfpa14q", 0.97, 35.59, 53 },
  { "edfpa14r", 1.04, 27.13, 60 },  { "elf9601", 0.10, 0.17, 14 },   { "ftr10", 0.07, 0.10, 13 },
  { "isp9601", 0.08, 0.15, 13 },    { "isp9607", 0.06, 0.12, 12 },   { "jbd9601", 1.07, 4.85, 114 },
  { "nus9601", 0, 0, 870 },
};

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

static double
distance (GHashTable *expected, const char *id, double posterior)
{
  const char *value = g_hash_table_lookup (expected, id);
  double reference = value != NULL ? g_ascii_strtod (value, NULL) : posterior;
  return fabs (posterior - reference) / MAX (1e-12, 1e-9 * fabs (reference));
}

/* Largest distance of a posterior from the reference, in units of the tolerance: 1e-12 absolute or
 * 1e-9 relative, whichever is larger. Given the top; of a tree with readings, of every node given
 * them. Negative: no reference. */
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
      if (result->node_probability == NULL)
        worst = MAX (worst, distance (expected, node->id, event->posterior));
    }
  for (guint i = 0; result->node_probability != NULL && i < tree->nodes->len; i++)
    worst = MAX (worst, distance (expected, ((BlNode *) g_ptr_array_index (tree->nodes, i))->id,
                                  g_array_index (result->node_probability, double, i)));
  return worst;
}

static double
cpu_seconds (void)
{
  struct timespec now;

  clock_gettime (CLOCK_PROCESS_CPUTIME_ID, &now);
  return (double) now.tv_sec + (double) now.tv_nsec * 1e-9;
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
  printf ("%-9s %.9e  rel %.0e  post %.2g  sets %s (%s)", row->row[0], result->probability,
          fabs (result->probability / reference - 1), worst_posterior (tree, result, post),
          result->cut_set_count != NULL ? result->cut_set_count : "none", count);
}

/* "1.23 (0.58)"; the other figure 0: not reached. */
static void
print_beside (const char *what, int digits, double figure, double other, const char *unit)
{
  printf ("  %s %.*f ", what, digits, figure);
  if (other > 0)
    printf ("(%.*f) %s", digits, other, unit);
  else
    printf ("(-) %s", unit);
}

static void
print_times (const Row *row, double probability_s, double cut_sets_s)
{
  for (gsize i = 0; i < G_N_ELEMENTS (baseline); i++)
    if (strcmp (baseline[i].tree, row->row[0]) == 0)
      {
        print_beside ("top", 2, probability_s, baseline[i].probability_s, "s");
        print_beside ("and sets", 2, cut_sets_s, baseline[i].cut_sets_s, "s");
        return;
      }
  printf ("  top %.2f s  and sets %.2f s", probability_s, cut_sets_s);
}

static int
measure (const Row *row, const char *folder)
{
  g_autofree char *name = g_strconcat (row->row[0], ".txt", NULL);
  g_autofree char *path = g_build_filename (folder, name, NULL);
  g_autofree char *text = NULL;
  g_autoptr (GError) error = NULL;
  g_autoptr (BlTree) tree = NULL;
  g_autoptr (BlTreeResult) bare = NULL, result = NULL;
  double start = cpu_seconds (), probability_s, cut_sets_s, nodes_s;

  if (g_file_get_contents (path, &text, NULL, &error))
    tree = bl_tree_parse (text, -1, &error);
  if (tree != NULL)
    bare = bl_tree_evaluate (tree, NULL, BL_TREE_NO_CUT_SETS, 0, &error);
  probability_s = cpu_seconds () - start;
  start = cpu_seconds ();
  if (bare != NULL)
    result = bl_tree_evaluate (tree, NULL, 0, 0, &error);
  cut_sets_s = cpu_seconds () - start;
  start = cpu_seconds ();
  if (result != NULL && tree->readings != NULL)
    bl_tree_weigh_nodes (tree, NULL, 0, result, &error);
  nodes_s = cpu_seconds () - start;
  if (result != NULL)
    print_result (tree, result, row, folder);
  else
    printf ("%-9s %s", row->row[0], error->message);
  print_times (row, probability_s, cut_sets_s);
  if (tree != NULL && tree->readings != NULL)
    printf ("  every node %.2f s", nodes_s);
  fflush (stdout);
  return result == NULL;
}

static int
run (const Row *row, const char *folder)
{
  struct rusage usage;
  int status = 1, megabytes = 0;
  pid_t child;

  fflush (stdout);
  child = fork ();
  if (child == 0)
    _exit (measure (row, folder));
  if (child < 0 || wait4 (child, &status, 0, &usage) < 0)
    return 1;
  for (gsize i = 0; i < G_N_ELEMENTS (baseline); i++)
    if (strcmp (baseline[i].tree, row->row[0]) == 0)
      megabytes = baseline[i].megabytes;
  print_beside ("memory", 0, (double) usage.ru_maxrss / 1024, megabytes, "MB");
  puts (WIFSIGNALED (status) ? "  CRASHED" : "");
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
