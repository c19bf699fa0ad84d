/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `tree`: the fault-tree engine alone, on a tree that comes from elsewhere; `board-tree`: the same on
 * the tree of a board's stage. Both can write the tree for other programs instead, or draw
 * it for paper. */
#include "config.h"

#include "bl-bundle.h"
#include "bl-document.h"
#include "bl-tree-paper.h"
#include "bl-tree-words.h"
#include "bl-tree.h"
#include "commands.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n.h>

static int run_tree (int argc, char **argv);
static int run_board_tree (int argc, char **argv);

enum
{
  TREE,
  BOARD_TREE
};

const BlCommand bl_tree_commands[] = {
  [TREE] = { "tree",
             "FILE [--top NAME] [--given NAME=true|false]... [--cut-sets K] [--export mef|text] "
             "[--draw FILE.pdf|FILE.svg [--paper a4|letter]] [--json]",
             N_ ("evaluate a fault tree"), run_tree },
  [BOARD_TREE] = { "board-tree",
                   "FILE --stage ID [--deviation D]... [--state ID] [--given NAME=true|false]... "
                   "[--cut-sets K] [--export mef|text] [--draw FILE.pdf|FILE.svg [--paper a4|letter]] "
                   "[--json]",
                   N_ ("evaluate or write the fault tree of a board's stage"), run_board_tree },
  { NULL },
};

/* What is asked of a tree, wherever it comes from. */
typedef struct
{
  const BlCommand *command;
  char **given;
  int cut_sets;
  char *export, *draw, *paper_name;
  BlPaper paper;
  gboolean json;
} Wishes;

static void
wishes_clear (Wishes *wishes)
{
  g_strfreev (wishes->given);
  g_free (wishes->export);
  g_free (wishes->draw);
  g_free (wishes->paper_name);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Wishes, wishes_clear)

/* Reads one "NAME=true". Returns BL_EXIT_DONE or what to return instead. */
static int
read_given (const Wishes *wishes, const BlTree *tree, const char *path, const char *text, BlGiven *given)
{
  const char *equals = strrchr (text, '=');
  g_autofree char *name = equals != NULL ? g_strndup (text, (gsize) (equals - text)) : NULL;
  g_autoptr (GError) error = NULL;
  int node;

  if (equals == NULL || (strcmp (equals + 1, "true") != 0 && strcmp (equals + 1, "false") != 0))
    return bl_cli_usage (wishes->command, _("--given %s: expected NAME=true or NAME=false"), text);
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

/* How many there are, or why that is not said. */
static void
append_count (GString *out, const BlTreeResult *result)
{
  if (result->cut_set_count != NULL && result->coherent)
    g_string_append_printf (out, _("minimal cut sets: %s\n"), result->cut_set_count);
  else if (result->cut_set_count != NULL)
    g_string_append_printf (out, _("minimal cut sets: %s (there are negations: smallest sets of events that are "
                                   "enough when no other event happens)\n"), result->cut_set_count);
  else if (result->conditioned)
    g_string_append (out, _("minimal cut sets: none told, since there is a given gate or a soft reading, and cut "
                            "sets alone do not say it all then\n"));
  else
    g_string_append (out, _("minimal cut sets: too hard to count in the memory allowed\n"));
}

static void
append_cut_sets (GString *out, const BlTree *tree, const BlTreeResult *result)
{
  append_count (out, result);
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

/* The sets of a board's tree are told in words, the likeliest first. */
static void
append_ways (GString *out, const BlTree *tree, const BlTreeResult *result)
{
  static const gboolean right[] = { TRUE, TRUE, FALSE };
  g_autoptr (BlCliTable) table = bl_cli_table_new (G_N_ELEMENTS (right), right);
  g_autoptr (GPtrArray) ways = bl_tree_ways (tree, result);

  append_count (out, result);
  if (ways->len == 0)
    return;
  bl_cli_table_add (table, g_strdup (_("probability")));
  bl_cli_table_add (table, g_strdup (_("share")));
  bl_cli_table_add (table, g_strdup (_("what fails")));
  for (guint i = 0; i < ways->len; i++)
    {
      const BlTreeWay *way = g_ptr_array_index (ways, i);

      bl_cli_table_add (table, g_strdup_printf ("%.6g", way->probability));
      bl_cli_table_add (table, g_strdup_printf ("%.2f %%", 100 * way->share));
      bl_cli_table_add (table, g_strdup (way->words));
    }
  bl_cli_table_append (table, out);
}

static int
print_result (const Wishes *wishes, const BlTree *tree, const BlTreeResult *result)
{
  g_autoptr (GString) out = g_string_new (NULL);

  if (wishes->json)
    {
      g_autofree char *text = bl_tree_result_to_json (tree, result);

      g_string_append_printf (out, "%s\n", text);
      return bl_cli_print (out->str);
    }
  g_string_append_printf (out, "%s: %.9g\n", node_id (tree, tree->top), result->probability);
  append_events (out, tree, result);
  if (wishes->command == &bl_tree_commands[BOARD_TREE])
    append_ways (out, tree, result);
  else
    append_cut_sets (out, tree, result);
  return bl_cli_print (out->str);
}

/* XML begins with '<', which no line of the text form does. top: NULL, or the name of another top. */
static BlTree *
read_tree (const char *path, const char *top, GError **error)
{
  g_autofree char *text = NULL;
  g_autoptr (BlTree) tree = NULL;
  const char *start;
  gsize length;
  int node;

  if (!g_file_get_contents (path, &text, &length, error))
    return NULL;
  start = g_str_has_prefix (text, "\xef\xbb\xbf") ? text + 3 : text;
  start += strspn (start, " \t\r\n");
  if (*start == '<')
    return bl_tree_parse_mef_top (start, (gssize) (length - (gsize) (start - text)), top, error);
  tree = bl_tree_parse (text, (gssize) length, error);
  if (tree == NULL || top == NULL)
    return g_steal_pointer (&tree);
  node = bl_tree_find (tree, top);
  if (node < 0)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _("there is no event or gate “%s”"),
                   top);
      return NULL;
    }
  tree->top = (guint) node;
  return g_steal_pointer (&tree);
}

static int
export_tree (const Wishes *wishes, const char *path, const BlTree *tree)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *text =
    strcmp (wishes->export, "mef") == 0 ? bl_tree_to_mef (tree, &error) : bl_tree_to_text (tree);

  return text != NULL ? bl_cli_print (text) : bl_cli_fail (path, error);
}

/* Draws the tree with odds given its top. board: NULL, or named in the head. */
static int
draw_tree (const Wishes *wishes, const char *path, const BlTree *tree, const BlBoard *board, const GArray *givens)
{
  BlTreeSheet sheet = { .tree = tree, .leading = -1, .board = board, .priors = TRUE, .paper = wishes->paper };
  const BlNode *top = g_ptr_array_index (tree->nodes, tree->top);
  g_autoptr (GError) error = NULL;
  g_autoptr (BlTreeResult) result = bl_tree_evaluate (tree, givens, BL_TREE_NO_CUT_SETS, 0, &error);
  g_autofree BlChartFact *facts = NULL;

  if (result == NULL || !bl_tree_weigh_nodes (tree, givens, 0, result, &error))
    return bl_cli_fail (path, error);
  facts = bl_chart_facts (tree, result, &sheet.leading);
  sheet.facts = facts;
  sheet.title = bl_chart_name (top);
  sheet.given = _("Odds of causes given that this has happened; left of them, before anything is known.");
  return bl_tree_sheet_write (&sheet, wishes->draw, &error) ? BL_EXIT_DONE : bl_cli_fail (wishes->draw, error);
}

static int
evaluate_tree (const Wishes *wishes, const char *path, const BlTree *tree, const BlBoard *board)
{
  g_autoptr (GArray) givens = g_array_new (FALSE, FALSE, sizeof (BlGiven));
  g_autoptr (BlTreeResult) result = NULL;
  g_autoptr (GError) error = NULL;

  for (char **at = wishes->given; at != NULL && *at != NULL; at++)
    {
      BlGiven given;
      int code = read_given (wishes, tree, path, *at, &given);

      if (code != BL_EXIT_DONE)
        return code;
      g_array_append_val (givens, given);
    }
  if (wishes->draw != NULL)
    return draw_tree (wishes, path, tree, board, givens);
  result = bl_tree_evaluate (tree, givens, (guint) wishes->cut_sets, 0, &error);
  return result != NULL ? print_result (wishes, tree, result) : bl_cli_fail (path, error);
}

static gboolean
read_paper (Wishes *wishes)
{
  const char *name = wishes->paper_name;

  wishes->paper = g_strcmp0 (name, "a4") == 0       ? BL_PAPER_A4
                  : g_strcmp0 (name, "letter") == 0 ? BL_PAPER_LETTER
                                                    : BL_PAPER_OF_LOCALE;
  return name == NULL || wishes->paper != BL_PAPER_OF_LOCALE;
}

/* Reads the options that both commands have, and own (ended by { NULL }) besides. TRUE: go on; else
 * *code is what to return. */
static gboolean
read_wishes (Wishes *wishes, const GOptionEntry *own, int argc, char **argv, char **path, int *code)
{
  const GOptionEntry common[] = {
    { "given", 0, 0, G_OPTION_ARG_FILENAME_ARRAY, &wishes->given,
      N_ ("an event or gate known to be so"), "NAME=true|false" },
    { "cut-sets", 0, 0, G_OPTION_ARG_INT, &wishes->cut_sets,
      N_ ("list minimal cut sets up to this order"), "K" },
    { "export", 0, 0, G_OPTION_ARG_FILENAME, &wishes->export,
      N_ ("write the tree instead: Open-PSA exchange format or text form"), "mef|text" },
    { "draw", 0, 0, G_OPTION_ARG_FILENAME, &wishes->draw,
      N_ ("draw the tree into a PDF or SVG file instead"), "FILE" },
    { "paper", 0, 0, G_OPTION_ARG_FILENAME, &wishes->paper_name,
      N_ ("of the PDF; left out: what the locale prints on"), "a4|letter" },
    { "json", 0, 0, G_OPTION_ARG_NONE, &wishes->json, N_ ("print a JSON object"), NULL },
  };
  g_autoptr (GArray) entries = g_array_new (TRUE, TRUE, sizeof (GOptionEntry));
  g_auto (GStrv) rest = NULL;

  for (; own->long_name != NULL; own++)
    g_array_append_val (entries, *own);
  g_array_append_vals (entries, common, G_N_ELEMENTS (common));
  *code = BL_EXIT_USAGE;
  if (!bl_cli_options (wishes->command, (GOptionEntry *) (void *) entries->data, argc, argv, 1, 1, &rest))
    return FALSE;
  if (wishes->cut_sets < 0)
    *code = bl_cli_usage (wishes->command, _("--cut-sets is not below 0"));
  else if (wishes->export != NULL && strcmp (wishes->export, "mef") != 0 &&
           strcmp (wishes->export, "text") != 0)
    *code = bl_cli_usage (wishes->command, _("--export is mef or text, not %s"), wishes->export);
  else if (!read_paper (wishes))
    *code = bl_cli_usage (wishes->command, _("--paper is a4 or letter, not %s"), wishes->paper_name);
  else if (wishes->draw != NULL && !g_str_has_suffix (wishes->draw, ".pdf") && !g_str_has_suffix (wishes->draw, ".svg"))
    *code = bl_cli_usage (wishes->command, _("--draw takes a file that ends in .pdf or .svg, not %s"), wishes->draw);
  else
    *code = BL_EXIT_DONE;
  *path = g_strdup (rest[0]);
  return *code == BL_EXIT_DONE;
}

static int
run_tree (int argc, char **argv)
{
  g_auto (Wishes) wishes = { .command = &bl_tree_commands[TREE] };
  g_autofree char *top = NULL, *path = NULL;
  const GOptionEntry own[] = {
    { "top", 0, 0, G_OPTION_ARG_FILENAME, &top, N_ ("another event or gate as the top"), "NAME" },
    { NULL },
  };
  g_autoptr (BlTree) tree = NULL;
  g_autoptr (GError) error = NULL;
  int code;

  if (!read_wishes (&wishes, own, argc, argv, &path, &code))
    return code;
  tree = read_tree (path, top, &error);
  if (tree == NULL)
    return bl_cli_fail (path, error);
  return wishes.export != NULL ? export_tree (&wishes, path, tree) : evaluate_tree (&wishes, path, tree, NULL);
}

/* --- board-tree ------------------------------------------------------------------------------- */

/* The mask of deviations; names NULL: all. 0: one of them is none, and said so. */
static guint
deviation_mask (char **names)
{
  guint mask = 0;

  for (int d = 0; d < BL_N_DEVIATIONS; d++)
    if (names == NULL || g_strv_contains ((const char *const *) names, bl_deviation_name ((BlDeviation) d)))
      mask |= 1u << d;
  for (char **at = names; at != NULL && *at != NULL; at++)
    {
      gboolean known = FALSE;

      for (int d = 0; d < BL_N_DEVIATIONS; d++)
        known = known || strcmp (*at, bl_deviation_name ((BlDeviation) d)) == 0;
      if (known)
        continue;
      bl_cli_usage (&bl_tree_commands[BOARD_TREE],
                    _("--deviation is absent, unsteady, low or high, not %s"), *at);
      return 0;
    }
  return mask;
}

static gboolean
check_state (const BlBoard *board, const char *state, GError **error)
{
  for (guint i = 0; state != NULL && i < bl_len (board->states); i++)
    if (strcmp (((BlState *) bl_at (board->states, i))->id, state) == 0)
      return TRUE;
  if (state != NULL)
    g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _("the board has no state %s"), state);
  return state == NULL;
}

static int
run_board_tree (int argc, char **argv)
{
  g_auto (Wishes) wishes = { .command = &bl_tree_commands[BOARD_TREE] };
  g_autofree char *path = NULL, *stage = NULL, *state = NULL;
  g_auto (GStrv) deviations = NULL;
  const GOptionEntry own[] = {
    { "stage", 0, 0, G_OPTION_ARG_FILENAME, &stage, N_ ("the stage that deviates (--draw without: the whole board)"),
      "ID" },
    { "deviation", 0, 0, G_OPTION_ARG_FILENAME_ARRAY, &deviations, N_ ("absent, unsteady, low or high; left out: any"),
      "D" },
    { "state", 0, 0, G_OPTION_ARG_FILENAME, &state, N_ ("only effects that hold in this state"), "ID" },
    { NULL },
  };
  g_autoptr (BlBoard) board = NULL;
  g_autoptr (BlTree) tree = NULL;
  g_autoptr (GError) error = NULL;
  guint mask;
  int code;

  if (!read_wishes (&wishes, own, argc, argv, &path, &code))
    return code;
  if (stage == NULL && wishes.draw == NULL)
    return bl_cli_usage (wishes.command, _("--stage is needed"));
  mask = deviation_mask (deviations);
  if (mask == 0)
    return BL_EXIT_USAGE;
  board = bl_board_load_file (path, NULL, &error);
  if (board != NULL && stage == NULL)
    tree = bl_tree_of_whole_board (board, &error);
  else if (board != NULL && check_state (board, state, &error))
    tree = bl_tree_from_board (board, stage, mask, state, &error);
  if (tree == NULL)
    return bl_cli_fail (path, error);
  return wishes.export != NULL ? export_tree (&wishes, path, tree) : evaluate_tree (&wishes, path, tree, board);
}
