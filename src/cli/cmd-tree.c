/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `tree`: the fault-tree engine alone, on a tree that comes from elsewhere. */
#include "config.h"

#include "bl-tree.h"
#include "commands.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

static int run_tree (int argc, char **argv);

const BlCommand bl_tree_commands[] = {
  { "tree", "FILE [--given NAME=true|false]... [--cut-sets K] [--json]",
    N_ ("evaluate a fault tree"), run_tree },
  { NULL },
};

/* Reads one "NAME=true". Returns BL_EXIT_DONE or what to return instead. */
static int
read_given (const BlTree *tree, const char *path, const char *text, BlGiven *given)
{
  const char *equals = strrchr (text, '=');
  g_autofree char *name = equals != NULL ? g_strndup (text, (gsize) (equals - text)) : NULL;
  g_autoptr (GError) error = NULL;
  int node;

  if (equals == NULL || (strcmp (equals + 1, "true") != 0 && strcmp (equals + 1, "false") != 0))
    return bl_cli_usage (bl_tree_commands, _("--given %s: expected NAME=true or NAME=false"), text);
  node = bl_tree_find (tree, name);
  if (node < 0)
    {
      g_set_error (&error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _("there is no event or gate “%s”"),
                   name);
      return bl_cli_fail (path, error);
    }
  *given = (BlGiven){ (guint) node, strcmp (equals + 1, "true") == 0 };
  return BL_EXIT_DONE;
}

static int
compare_posterior (gconstpointer one, gconstpointer two)
{
  const BlEventResult *a = *(BlEventResult *const *) one, *b = *(BlEventResult *const *) two;

  if (a->posterior != b->posterior)
    return a->posterior > b->posterior ? -1 : 1;
  return a < b ? -1 : a > b;
}

static const char *
node_id (const BlTree *tree, guint node)
{
  return ((BlNode *) g_ptr_array_index (tree->nodes, node))->id;
}

static void
append_events (GString *out, const BlTree *tree, const BlTreeResult *result)
{
  static const gboolean right[] = { FALSE, TRUE, TRUE, TRUE, TRUE, TRUE, TRUE, TRUE };
  g_autoptr (BlCliTable) table = bl_cli_table_new (G_N_ELEMENTS (right), right);
  g_autoptr (GPtrArray) sorted = g_ptr_array_new ();
  const char *titles[] = { _("event"), _("prior"), _("posterior"), _("birnbaum"),
                           _("fussell-vesely"), _("criticality"), _("achievement worth"),
                           _("reduction worth") };

  for (gsize i = 0; i < G_N_ELEMENTS (titles); i++)
    bl_cli_table_add (table, g_strdup (titles[i]));
  for (guint i = 0; i < result->events->len; i++)
    g_ptr_array_add (sorted, &g_array_index (result->events, BlEventResult, i));
  g_ptr_array_sort (sorted, compare_posterior);
  for (guint i = 0; i < sorted->len; i++)
    {
      const BlEventResult *event = g_ptr_array_index (sorted, i);
      double values[] = { event->prior,          event->posterior,   event->birnbaum,
                          event->fussell_vesely, event->criticality, event->risk_achievement,
                          event->risk_reduction };

      bl_cli_table_add (table, g_strdup (node_id (tree, event->node)));
      for (gsize j = 0; j < G_N_ELEMENTS (values); j++)
        bl_cli_table_add (table, isinf (values[j]) ? g_strdup ("∞")
                                                   : g_strdup_printf ("%.6g", values[j]));
    }
  bl_cli_table_append (table, out);
}

static void
append_cut_sets (GString *out, const BlTree *tree, const BlTreeResult *result)
{
  if (result->cut_set_count != NULL)
    g_string_append_printf (out, _("minimal cut sets: %s\n"), result->cut_set_count);
  for (guint i = 0; result->cut_sets != NULL && i < result->cut_sets->len; i++)
    {
      const GArray *set = g_ptr_array_index (result->cut_sets, i);

      g_string_append (out, "  ");
      for (guint j = 0; j < set->len; j++)
        g_string_append_printf (out, "%s%s", j > 0 ? ", " : "",
                                node_id (tree, g_array_index (set, guint, j)));
      g_string_append_c (out, '\n');
    }
}

static int
print_result (const BlTree *tree, const BlTreeResult *result, gboolean json)
{
  g_autoptr (GString) out = g_string_new (NULL);

  if (json)
    {
      g_autofree char *text = bl_tree_result_to_json (tree, result);

      g_string_append_printf (out, "%s\n", text);
      return bl_cli_print (out->str);
    }
  g_string_append_printf (out, "%s: %.9g\n", node_id (tree, tree->top), result->probability);
  append_events (out, tree, result);
  append_cut_sets (out, tree, result);
  return bl_cli_print (out->str);
}

/* XML begins with '<', which no line of the text form does. */
static BlTree *
read_tree (const char *path, GError **error)
{
  g_autofree char *text = NULL;
  const char *start;
  gsize length;

  if (!g_file_get_contents (path, &text, &length, error))
    return NULL;
  start = g_str_has_prefix (text, "\xef\xbb\xbf") ? text + 3 : text;
  start += strspn (start, " \t\r\n");
  if (*start == '<')
    return bl_tree_parse_mef (start, (gssize) (length - (gsize) (start - text)), error);
  return bl_tree_parse (text, (gssize) length, error);
}

static int
run_tree (int argc, char **argv)
{
  g_auto (GStrv) given_texts = NULL, rest = NULL;
  int cut_sets = 0;
  gboolean json = FALSE;
  GOptionEntry entries[] = {
    { "given", 0, 0, G_OPTION_ARG_FILENAME_ARRAY, &given_texts,
      N_ ("an event or gate known to be so"), "NAME=true|false" },
    { "cut-sets", 0, 0, G_OPTION_ARG_INT, &cut_sets, N_ ("list minimal cut sets up to this order"),
      "K" },
    { "json", 0, 0, G_OPTION_ARG_NONE, &json, N_ ("print a JSON object"), NULL },
    { NULL },
  };
  g_autoptr (BlTree) tree = NULL;
  BlTreeResult *result;
  g_autoptr (GArray) givens = g_array_new (FALSE, FALSE, sizeof (BlGiven));
  g_autoptr (GError) error = NULL;
  int code;

  if (!bl_cli_options (bl_tree_commands, entries, argc, argv, 1, 1, &rest))
    return BL_EXIT_USAGE;
  if (cut_sets < 0)
    return bl_cli_usage (bl_tree_commands, _("--cut-sets is not below 0"));
  tree = read_tree (rest[0], &error);
  if (tree == NULL)
    return bl_cli_fail (rest[0], error);
  for (char **at = given_texts; at != NULL && *at != NULL; at++)
    {
      BlGiven given;

      code = read_given (tree, rest[0], *at, &given);
      if (code != BL_EXIT_DONE)
        return code;
      g_array_append_val (givens, given);
    }
  result = bl_tree_evaluate (tree, givens, (guint) cut_sets, 0, &error);
  if (result == NULL)
    return bl_cli_fail (rest[0], error);
  code = print_result (tree, result, json);
  bl_tree_result_free (result);
  return code;
}
