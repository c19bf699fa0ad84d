/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the documented measurements can tell apart: every documented mode's signature (the class of
 * every measurement when it alone is active and has provoked nothing), modes of equal signature in
 * one group, and how much of the failures, by weight, is narrowed down to one, two or three
 * components. The fractions are the usual testability figures: isolated to L items over detected.
 *
 * A board has some hundred modes and measurements; signatures are compared as strings of bytes. The
 * implied "STAGE/other" components are left out: they look like any other fault of their stage by
 * their nature, and nobody can document a measurement against them. What one more measurement would
 * bring is in bl-coverage-more.c. */
#include "config.h"

#include "bl-coverage.h"

#include <glib/gi18n-lib.h>
#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "bl-coverage-private.h"
#include "bl-document.h"

static void
group_free (BlCoverageGroup *group)
{
  g_ptr_array_unref (group->components);
  g_ptr_array_unref (group->modes);
  g_free (group);
}

static void
clear (gpointer data)
{
  BlCoverage *coverage = data;

  g_clear_pointer (&coverage->groups, g_ptr_array_unref);
  g_clear_pointer (&coverage->invisible, g_ptr_array_unref);
  g_clear_pointer (&coverage->unmeasured_stages, g_ptr_array_unref);
  g_clear_pointer (&coverage->unused_points, g_ptr_array_unref);
  g_clear_pointer (&coverage->one_more, g_ptr_array_unref);
}

BlCoverage *
bl_coverage_ref (BlCoverage *coverage)
{
  g_return_val_if_fail (coverage != NULL, NULL);
  return g_atomic_rc_box_acquire (coverage);
}

void
bl_coverage_free (BlCoverage *coverage)
{
  if (coverage != NULL)
    g_atomic_rc_box_release_full (coverage, clear);
}

/* --- signatures --- */

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

/* Numbers groups in the order of their first mode, what a sound board shows is 0. */
static void
partition_init (BlPartition *self, const BlBoard *board, const BlResponse *response)
{
  guint n_measurements = bl_len (board->measurements);
  g_autoptr (GHashTable) by_signature
    = g_hash_table_new_full (g_bytes_hash, g_bytes_equal, (GDestroyNotify) g_bytes_unref, NULL);

  self->board = board;
  self->response = response;
  self->n_groups = 1;
  for (self->n = 0; self->n < bl_response_n_modes (response)
                    && bl_response_document_mode (response, self->n) != NULL;)
    self->n++;
  self->group = g_new0 (guint, self->n + 1);
  self->weight = g_new0 (double, self->n + 1);
  g_hash_table_insert (by_signature, signature_of (response, n_measurements, -1), GUINT_TO_POINTER (0));
  for (guint mode = 0; mode < self->n; mode++)
    {
      GBytes *signature = signature_of (response, n_measurements, (int) mode);
      gpointer number;

      self->weight[mode] = weight_of (board, response, mode);
      if (!g_hash_table_lookup_extended (by_signature, signature, NULL, &number))
        number = GUINT_TO_POINTER (self->n_groups++);
      self->group[mode] = GPOINTER_TO_UINT (number);
      g_hash_table_replace (by_signature, signature, number);
    }
}

static void
partition_clear (BlPartition *self)
{
  g_free (self->group);
  g_free (self->weight);
}

/* --- figures --- */

/* A group while the modes are gone through; those of one component are neighbours. */
typedef struct
{
  double weight, part, sum; /* of all, of the component at hand, of x log2 x over the components before */
  guint component, n_components;
} Tally;

static double
x_log_x (double x)
{
  return x > 0 ? x * log2 (x) : 0;
}

static void
tally (Tally *self, guint component, double weight)
{
  if (self->n_components == 0 || self->component != component)
    {
      self->sum += x_log_x (self->part);
      self->part = 0;
      self->component = component;
      self->n_components++;
    }
  self->weight += weight;
  self->part += weight;
}

static void
finish (const Tally *tallies, guint n, BlTestability *to)
{
  double all = 0, seen = 0, left = 0;

  memset (to, 0, sizeof *to);
  for (guint i = 0; i < n; i++)
    {
      const Tally *group = &tallies[i];

      all += group->weight;
      left += x_log_x (group->weight) - group->sum - x_log_x (group->part);
      if (i == 0)
        continue;
      seen += group->weight;
      to->mean_size += group->weight * group->n_components;
      for (guint most = 1; most <= 3; most++)
        to->isolated[most - 1] += group->n_components <= most ? group->weight : 0;
    }
  for (guint i = 0; i < 3 && seen > 0; i++)
    to->isolated[i] /= seen;
  to->mean_size = seen > 0 ? to->mean_size / seen : 0;
  to->detected = all > 0 ? seen / all : 0;
  to->left_bits = all > 0 ? MAX (0, left / all) : 0;
}

void
bl_partition_judge (const BlPartition *self, const guint8 *code, BlTestability *testability)
{
  g_autoptr (GHashTable) parted = g_hash_table_new (g_direct_hash, g_direct_equal);
  g_autofree Tally *tallies = g_new0 (Tally, self->n_groups + self->n + 1);
  guint n = self->n_groups;

  for (guint mode = 0; mode < self->n; mode++)
    {
      guint group = self->group[mode];
      guint shows = code != NULL ? code[mode] : 0;
      gpointer key = GUINT_TO_POINTER (group * 256 + shows), known;

      if (shows != 0 && g_hash_table_lookup_extended (parted, key, NULL, &known))
        group = GPOINTER_TO_UINT (known);
      else if (shows != 0)
        {
          g_hash_table_insert (parted, key, GUINT_TO_POINTER (n));
          group = n++;
        }
      tally (&tallies[group], bl_response_component_index (self->response, mode), self->weight[mode]);
    }
  finish (tallies, n, testability);
}

/* --- the list --- */

static char *
mode_name (const BlResponse *response, guint mode)
{
  return g_strconcat (bl_response_component (response, mode), ":", bl_response_mode (response, mode), NULL);
}

static void
add_to_group (const BlPartition *partition, BlCoverageGroup *group, guint mode)
{
  const char *component = bl_response_component (partition->response, mode);
  guint last = group->components->len;

  if (last == 0 || !g_str_equal (bl_at (group->components, last - 1), component))
    g_ptr_array_add (group->components, g_strdup (component));
  g_ptr_array_add (group->modes, mode_name (partition->response, mode));
  group->weight += partition->weight[mode];
}

/* Heavier groups first; a stable sort leaves equal ones in document order. */
static int
compare_groups (gconstpointer one, gconstpointer two, gpointer data)
{
  const BlCoverageGroup *a = *(BlCoverageGroup *const *) one, *b = *(BlCoverageGroup *const *) two;

  return a->weight > b->weight ? -1 : a->weight < b->weight;
}

static void
list_groups (const BlPartition *partition, BlCoverage *coverage)
{
  coverage->groups = g_ptr_array_new_with_free_func ((GDestroyNotify) group_free);
  coverage->invisible = g_ptr_array_new_with_free_func (g_free);
  for (guint i = 1; i < partition->n_groups; i++)
    {
      BlCoverageGroup *group = g_new0 (BlCoverageGroup, 1);

      group->components = g_ptr_array_new_with_free_func (g_free);
      group->modes = g_ptr_array_new_with_free_func (g_free);
      g_ptr_array_add (coverage->groups, group);
    }
  for (guint mode = 0; mode < partition->n; mode++)
    if (partition->group[mode] == 0)
      g_ptr_array_add (coverage->invisible, mode_name (partition->response, mode));
    else
      add_to_group (partition, bl_at (coverage->groups, partition->group[mode] - 1), mode);
  if (coverage->groups->len > 1)
    g_qsort_with_data (coverage->groups->pdata, (int) coverage->groups->len, sizeof (gpointer), compare_groups, NULL);
}

BlCoverage *
bl_coverage_new (const BlBoard *board, gboolean one_more, const int *cancel, GError **error)
{
  g_return_val_if_fail (board != NULL, NULL);
  g_autoptr (BlResponse) response = bl_response_new (board, error);
  g_autoptr (BlCoverage) coverage = g_atomic_rc_box_new0 (BlCoverage);
  g_autoptr (GPtrArray) unseen = NULL;
  BlPartition partition;

  if (response == NULL)
    return NULL;
  unseen = bl_board_unseen_stages (board);
  coverage->unmeasured_stages = g_ptr_array_new_with_free_func (g_free);
  for (guint i = 0; i < unseen->len; i++)
    g_ptr_array_add (coverage->unmeasured_stages, g_strdup (bl_at (unseen, i)));
  coverage->unused_points = bl_coverage_unused_points (board);
  partition_init (&partition, board, response);
  list_groups (&partition, coverage);
  bl_partition_judge (&partition, NULL, &coverage->now);
  if (one_more)
    coverage->one_more = bl_coverage_find_more (&partition, &coverage->now, cancel);
  partition_clear (&partition);
  if (one_more && coverage->one_more == NULL)
    return g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_CANCELLED, _("cancelled")), NULL;
  return g_steal_pointer (&coverage);
}

/* --- JSON --- */

static json_t *
strings_json (const GPtrArray *strings)
{
  json_t *list = json_array ();

  for (guint i = 0; i < strings->len; i++)
    json_array_append_new (list, json_string (bl_at (strings, i)));
  return list;
}

static json_t *
isolated_json (const BlTestability *testability)
{
  return json_pack ("{s:f, s:f, s:f}", "1", testability->isolated[0], "2", testability->isolated[1], "3",
                    testability->isolated[2]);
}

static json_t *
groups_json (const GPtrArray *groups)
{
  json_t *list = json_array ();

  for (guint i = 0; i < groups->len; i++)
    {
      const BlCoverageGroup *group = bl_at (groups, i);

      json_array_append_new (list, json_pack ("{s:o, s:o, s:f}", "components", strings_json (group->components),
                                              "modes", strings_json (group->modes), "weight", group->weight));
    }
  return list;
}

static json_t *
one_more_json (const GPtrArray *list)
{
  json_t *array = json_array ();

  for (guint i = 0; i < list->len; i++)
    {
      const BlOneMore *more = bl_at (list, i);
      json_t *object = json_object ();

      if (more->stage != NULL)
        json_object_set_new (object, "stage", json_string (more->stage));
      if (more->state != NULL)
        json_object_set_new (object, "state", json_string (more->state));
      if (more->point != NULL)
        json_object_set_new (object, "point", json_string (more->point));
      if (more->component != NULL)
        json_object_set_new (object, "component", json_string (more->component));
      json_object_set_new (object, "bits", json_real (more->bits));
      json_object_set_new (object, "detected", json_real (more->then.detected));
      json_object_set_new (object, "isolated", isolated_json (&more->then));
      json_array_append_new (array, object);
    }
  return array;
}

char *
bl_coverage_json (const BlBoard *board, GError **error)
{
  g_return_val_if_fail (board != NULL, NULL);
  g_autoptr (BlCoverage) coverage = bl_coverage_new (board, TRUE, NULL, error);
  json_t *object;
  char *text, *copy;

  if (coverage == NULL)
    return NULL;
  object = json_pack ("{s:o, s:o, s:o, s:o, s:f, s:f, s:f, s:o, s:o}", "groups", groups_json (coverage->groups),
                      "invisible", strings_json (coverage->invisible), "isolated", isolated_json (&coverage->now),
                      "unmeasured_stages", strings_json (coverage->unmeasured_stages), "detected",
                      coverage->now.detected, "mean_size", coverage->now.mean_size, "left_bits",
                      coverage->now.left_bits, "unused_points", strings_json (coverage->unused_points), "one_more",
                      one_more_json (coverage->one_more));
  text = json_dumps (object, JSON_INDENT (2) | JSON_REAL_PRECISION (17));
  json_decref (object);
  copy = g_strdup (text);
  free (text);
  return copy;
}
