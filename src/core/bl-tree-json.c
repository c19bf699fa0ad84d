/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The JSON object of an evaluated fault tree.
 *
 * Written directly: the number of cut sets may have more digits than any integer type of a JSON
 * library, and RFC 8259 allows a number of any length. Reals have 17 digits and the point as
 * decimal sign in every locale. What is undefined (NAN), infinite, not asked for or not
 * computable is null.
 */
#include "config.h"

#include "bl-tree-private.h"

#include <jansson.h>

static void
append_text (GString *out, const char *text)
{
  json_t *value = json_string (text);
  char *quoted = value != NULL ? json_dumps (value, JSON_ENCODE_ANY) : NULL;
  g_string_append (out, quoted != NULL ? quoted : "\"\"");
  free (quoted);
  json_decref (value);
}

static void
append_real (GString *out, double value)
{
  char buffer[G_ASCII_DTOSTR_BUF_SIZE];
  if (isfinite (value))
    g_string_append (out, g_ascii_formatd (buffer, sizeof buffer, "%.17g", value));
  else
    g_string_append (out, "null");
}

static void
append_event (GString *out, const BlTree *tree, const BlEventResult *event)
{
  const struct
  {
    const char *key;
    double value;
  } figures[] = {
    { "prior", event->prior },
    { "posterior", event->posterior },
    { "birnbaum", event->birnbaum },
    { "fussell_vesely", event->fussell_vesely },
    { "criticality", event->criticality },
    { "risk_achievement_worth", event->risk_achievement },
    { "risk_reduction_worth", event->risk_reduction },
  };
  g_string_append (out, "{\"id\": ");
  append_text (out, bl_tree_node (tree, event->node)->id);
  for (gsize i = 0; i < G_N_ELEMENTS (figures); i++)
    {
      g_string_append_printf (out, ", \"%s\": ", figures[i].key);
      append_real (out, figures[i].value);
    }
  g_string_append_c (out, '}');
}

static void
append_cut_sets (GString *out, const BlTree *tree, const GPtrArray *sets)
{
  g_string_append_c (out, '[');
  for (guint i = 0; i < sets->len; i++)
    {
      const GArray *set = g_ptr_array_index (sets, i);
      g_string_append (out, i > 0 ? ", [" : "[");
      for (guint j = 0; j < set->len; j++)
        {
          g_string_append (out, j > 0 ? ", " : "");
          append_text (out, bl_tree_node (tree, g_array_index (set, guint, j))->id);
        }
      g_string_append_c (out, ']');
    }
  g_string_append_c (out, ']');
}

char *
bl_tree_result_to_json (const BlTree *tree, const BlTreeResult *result)
{
  g_return_val_if_fail (tree != NULL && result != NULL, NULL);
  g_autoptr (GString) out = g_string_new ("{\"top\": ");
  append_text (out, bl_tree_node (tree, tree->top)->id);
  g_string_append (out, ", \"probability\": ");
  append_real (out, result->probability);
  g_string_append (out, ", \"events\": [");
  for (guint i = 0; i < result->events->len; i++)
    {
      g_string_append (out, i > 0 ? ",\n  " : "\n  ");
      append_event (out, tree, &g_array_index (result->events, BlEventResult, i));
    }
  g_string_append (out, "], \"cut_sets\": ");
  if (result->cut_sets != NULL)
    append_cut_sets (out, tree, result->cut_sets);
  else
    g_string_append (out, "null");
  g_string_append_printf (out, ", \"cut_set_count\": %s}\n",
                          result->cut_set_count != NULL ? result->cut_set_count : "null");
  return g_string_free (g_steal_pointer (&out), FALSE);
}
