/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the documented measurements can tell apart: every documented mode's signature (the class of
 * every measurement when it alone is active and has provoked nothing), modes of equal signature in
 * one group, and how much of the failures, by weight, is narrowed down to one, two or three
 * components. The fractions are the usual testability figures: isolated to L items over detected.
 *
 * A board has some hundred modes and measurements; signatures are compared as strings of bytes. The
 * implied "STAGE/other" components are left out: they look like any other fault of their stage by
 * their nature, and nobody can document a measurement against them. */
#include "config.h"

#include "bl-simulate.h"

#include "bl-document.h"
#include "bl-response.h"

#include <jansson.h>
#include <stdlib.h>
#include <string.h>

typedef struct
{
  GArray *modes; /* guint flat numbers */
  double weight; /* failures per 10^6 h */
  guint n_components;
} Group;

static void
group_free (Group *group)
{
  g_array_unref (group->modes);
  g_free (group);
}

/* A sound board's and one mode's classes. (transfer full) */
static GBytes *
signature_of (const BlResponse *response, guint n_measurements, int mode)
{
  g_autofree guint8 *active = g_new0 (guint8, bl_response_n_modes (response) + 1);
  guint8 *classes = g_new0 (guint8, n_measurements + 1);

  if (mode >= 0)
    active[mode] = 1;
  bl_response_evaluate (response, active, classes);
  return g_bytes_new_take (classes, n_measurements);
}

static double
weight_of (const BlBoard *board, const BlResponse *response, guint mode)
{
  const BlComponent *component = bl_at (board->components, bl_response_component_index (response, mode));

  return bl_board_mode_weight (board, component, bl_response_document_mode (response, mode));
}

/* Modes are in the order of the document, so those of one component are neighbours. */
static void
add_to_group (const BlBoard *board, const BlResponse *response, Group *group, guint mode)
{
  guint last = group->modes->len;

  if (last == 0 ||
      bl_response_component_index (response, g_array_index (group->modes, guint, last - 1)) !=
        bl_response_component_index (response, mode))
    group->n_components++;
  g_array_append_val (group->modes, mode);
  group->weight += weight_of (board, response, mode);
}

/* Sorts the documented modes into groups (in order of their first mode) and the invisible ones. */
static void
find_groups (const BlBoard *board, const BlResponse *response, GPtrArray *groups, GArray *invisible)
{
  guint n_measurements = bl_len (board->measurements);
  g_autoptr (GBytes) sound = signature_of (response, n_measurements, -1);
  g_autoptr (GHashTable) by_signature =
    g_hash_table_new_full (g_bytes_hash, g_bytes_equal, (GDestroyNotify) g_bytes_unref, NULL);

  for (guint mode = 0; mode < bl_response_n_modes (response); mode++)
    {
      g_autoptr (GBytes) signature = NULL;
      Group *group;

      if (bl_response_document_mode (response, mode) == NULL)
        continue;
      signature = signature_of (response, n_measurements, (int) mode);
      if (g_bytes_equal (signature, sound))
        {
          g_array_append_val (invisible, mode);
          continue;
        }
      group = g_hash_table_lookup (by_signature, signature);
      if (group == NULL)
        {
          group = g_new0 (Group, 1);
          group->modes = g_array_new (FALSE, FALSE, sizeof (guint));
          g_ptr_array_add (groups, group);
          g_hash_table_insert (by_signature, g_steal_pointer (&signature), group);
        }
      add_to_group (board, response, group, mode);
    }
}

/* Heavier groups first; equal ones in document order. */
static int
compare_groups (gconstpointer one, gconstpointer two)
{
  const Group *a = *(Group *const *) one, *b = *(Group *const *) two;
  guint first_a = g_array_index (a->modes, guint, 0), first_b = g_array_index (b->modes, guint, 0);

  if (a->weight != b->weight)
    return a->weight > b->weight ? -1 : 1;
  return first_a < first_b ? -1 : first_a > first_b;
}

static json_t *
mode_json (const BlResponse *response, guint mode)
{
  g_autofree char *name = g_strconcat (bl_response_component (response, mode), ":",
                                       bl_response_mode (response, mode), NULL);

  return json_string (name);
}

static json_t *
group_json (const BlResponse *response, const Group *group)
{
  json_t *components = json_array (), *modes = json_array ();
  guint before = G_MAXUINT;

  for (guint i = 0; i < group->modes->len; i++)
    {
      guint mode = g_array_index (group->modes, guint, i);
      guint component = bl_response_component_index (response, mode);

      if (component != before)
        json_array_append_new (components, json_string (bl_response_component (response, mode)));
      before = component;
      json_array_append_new (modes, mode_json (response, mode));
    }
  return json_pack ("{s:o, s:o, s:f}", "components", components, "modes", modes, "weight",
                    group->weight);
}

/* Share of the visible weight in groups of at most so many components; 0 when nothing is visible. */
static double
isolated (GPtrArray *groups, guint most)
{
  double part = 0, all = 0;

  for (guint i = 0; i < groups->len; i++)
    {
      const Group *group = g_ptr_array_index (groups, i);

      all += group->weight;
      if (group->n_components <= most)
        part += group->weight;
    }
  return all > 0 ? part / all : 0;
}

static json_t *
coverage_json (const BlBoard *board, const BlResponse *response)
{
  g_autoptr (GPtrArray) groups = g_ptr_array_new_with_free_func ((GDestroyNotify) group_free);
  g_autoptr (GArray) invisible = g_array_new (FALSE, FALSE, sizeof (guint));
  g_autoptr (GPtrArray) unseen = bl_board_unseen_stages (board);
  json_t *group_list = json_array (), *invisible_list = json_array (), *stages = json_array ();

  find_groups (board, response, groups, invisible);
  g_ptr_array_sort (groups, compare_groups);
  for (guint i = 0; i < groups->len; i++)
    json_array_append_new (group_list, group_json (response, g_ptr_array_index (groups, i)));
  for (guint i = 0; i < invisible->len; i++)
    json_array_append_new (invisible_list, mode_json (response, g_array_index (invisible, guint, i)));
  for (guint i = 0; i < unseen->len; i++)
    json_array_append_new (stages, json_string (g_ptr_array_index (unseen, i)));
  return json_pack ("{s:o, s:o, s:{s:f, s:f, s:f}, s:o}", "groups", group_list, "invisible",
                    invisible_list, "isolated", "1", isolated (groups, 1), "2", isolated (groups, 2),
                    "3", isolated (groups, 3), "unmeasured_stages", stages);
}

char *
bl_coverage_json (const BlBoard *board, GError **error)
{
  g_autoptr (BlResponse) response = NULL;
  json_t *object;
  char *text, *copy;

  g_return_val_if_fail (board != NULL, NULL);
  response = bl_response_new (board, error);
  if (response == NULL)
    return NULL;
  object = coverage_json (board, response);
  text = json_dumps (object, JSON_INDENT (2) | JSON_REAL_PRECISION (17));
  json_decref (object);
  copy = g_strdup (text);
  free (text);
  return copy;
}
