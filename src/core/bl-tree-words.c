/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Cut sets in plain words, and in order of how likely they are.
 *
 * In a board's tree a set has causes (a mode that happened by itself) and perhaps conditions between
 * them (one mode leads to another, a mode shows): the causes are what a technician looks for, so
 * they are said first. In a tree from elsewhere every event is a cause. A sentence is put together
 * from whole translated pieces only. Some thousand sets at most are worth ranking.
 */
#include "config.h"

#include "bl-tree-words.h"

#include "bl-tree-private.h"

#include <glib/gi18n-lib.h>

static const char *
event_words (const BlNode *node)
{
  return node->title != NULL && *node->title != '\0' ? node->title : node->id;
}

/* "a", "a and b", "a, b and c". (transfer full) */
static char *
list_words (const GPtrArray *words, guint from)
{
  GString *text = g_string_new (NULL);
  for (guint i = from; i < words->len; i++)
    {
      if (i > from)
        g_string_append (text, i + 1 < words->len ? _ (", ") : _ (" and "));
      g_string_append (text, g_ptr_array_index (words, i));
    }
  return g_string_free (text, FALSE);
}

static char *
cause_words (const GPtrArray *causes)
{
  const char *first = g_ptr_array_index (causes, 0);
  if (causes->len == 1)
    return g_strdup_printf (_ ("%s, alone"), first);
  g_autofree char *others = list_words (causes, 1);
  return g_strdup_printf (_ ("%s together with %s"), first, others);
}

char *
bl_tree_cut_set_words (const BlTree *tree, const GArray *set)
{
  g_return_val_if_fail (tree != NULL && set != NULL, NULL);
  g_autoptr (GPtrArray) causes = g_ptr_array_new (), conditions = g_ptr_array_new ();
  gboolean of_board = FALSE;
  for (guint i = 0; i < set->len; i++)
    of_board = of_board || bl_tree_node (tree, g_array_index (set, guint, i))->component != NULL;
  for (guint i = 0; i < set->len; i++)
    {
      const BlNode *node = bl_tree_node (tree, g_array_index (set, guint, i));
      gboolean cause = !of_board || node->component != NULL;
      g_ptr_array_add (cause ? causes : conditions, (gpointer) event_words (node));
    }
  if (causes->len == 0)
    return g_strdup (_ ("nothing has to fail for it"));
  g_autofree char *what = cause_words (causes);
  if (conditions->len == 0)
    return g_steal_pointer (&what);
  g_autofree char *when = list_words (conditions, 0);
  return g_strdup_printf (_ ("%s, when %s"), what, when);
}

void
bl_tree_way_free (BlTreeWay *way)
{
  g_free (way->words);
  g_free (way);
}

static int
compare_ways (gconstpointer a, gconstpointer b)
{
  const BlTreeWay *left = *(BlTreeWay *const *) a, *right = *(BlTreeWay *const *) b;
  if (left->probability != right->probability)
    return left->probability > right->probability ? -1 : 1;
  return left->set < right->set ? -1 : left->set > right->set;
}

GPtrArray *
bl_tree_ways (const BlTree *tree, const BlTreeResult *result)
{
  g_return_val_if_fail (tree != NULL && result != NULL, NULL);
  GPtrArray *ways = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_tree_way_free);
  for (guint i = 0; result->cut_sets != NULL && i < result->cut_sets->len; i++)
    {
      const GArray *set = g_ptr_array_index (result->cut_sets, i);
      BlTreeWay *way = g_new0 (BlTreeWay, 1);
      way->set = i;
      way->words = bl_tree_cut_set_words (tree, set);
      way->probability = 1;
      for (guint j = 0; j < set->len; j++)
        way->probability *= bl_tree_node (tree, g_array_index (set, guint, j))->probability;
      way->share = result->probability > 0 ? way->probability / result->probability : 0;
      g_ptr_array_add (ways, way);
    }
  g_ptr_array_sort (ways, compare_ways);
  return ways;
}
