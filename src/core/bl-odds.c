/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Odds of modes, components, stages and sections out of one upward and one downward pass.
 *
 * A mode's own event is a row of its leaf: value times derivative. "Some own event of a component" is
 * the difference that striking out those rows makes, taken at the lowest table that all of them lie
 * below, row by row: there it is a sum of positive terms, and nothing is lost where it is small. */
#include "config.h"

#include "bl-engine-private.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

double
bl_settle (double value)
{
  int exponent;
  if (!(value > 0) || isinf (value))
    return value > 0 ? value : 0;
  double mantissa = frexp (value, &exponent);
  return ldexp (nearbyint (ldexp (mantissa, 40)), exponent - 40);
}

gboolean
bl_engine_cancelled (const BlEngine *engine, GError **error)
{
  if (engine->cancel == NULL || !g_atomic_int_get (engine->cancel))
    return FALSE;
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_CANCELLED, _("Stopped"));
  return TRUE;
}

/* --- groups --- */

double *
bl_group_with (BlPass *pass, const BlGroup *group, const BlCircuitPath *standing)
{
  guint top = group->path->top;
  gsize n = (gsize) bl_circuit_table (pass->circuit, top)->rows * bl_pass_lanes (pass, top);
  double *with = g_memdup2 (bl_pass_value (pass, top), n * sizeof *with);
  bl_pass_path_begin (pass, group->path);
  for (guint i = 0; i < group->path->tables->len; i++)
    if (g_array_index (group->path->given, guint8, i))
      bl_pass_value (pass, g_array_index (group->path->tables, guint, i))[1] = 0;
  bl_pass_path_up (pass, group->path);
  const double *without = bl_pass_value (pass, top);
  for (gsize i = 0; i < n; i++)
    with[i] = MAX (with[i] - without[i], 0);
  bl_pass_path_end (pass, group->path, standing);
  return with;
}

double
bl_group_joint (BlPass *pass, const BlGroup *group, const double *with)
{
  guint top = group->path->top;
  gsize n = (gsize) bl_circuit_table (pass->circuit, top)->rows * bl_pass_lanes (pass, top);
  const double *der = bl_pass_der (pass, top);
  double sum = 0;
  for (gsize i = 0; i < n; i++)
    sum += with[i] * der[i];
  return sum;
}

/* Joint probability of the group; what doesn't depend on readings is kept. */
static double
group_joint (BlJobCircuit *compiled, BlGroup *group)
{
  if (group->path == NULL)
    return 0;
  if (group->laned)
    {
      g_autofree double *with = bl_group_with (compiled->pass, group, NULL);
      return bl_group_joint (compiled->pass, group, with);
    }
  if (group->with == NULL)
    group->with = bl_group_with (compiled->pass, group, NULL);
  return bl_group_joint (compiled->pass, group, group->with);
}

static double
group_probability (BlJobCircuit *compiled, BlGroup *group)
{
  return bl_settle (group_joint (compiled, group) / compiled->total);
}

double
bl_odds_any (BlJobCircuit *compiled, const GArray *nodes)
{
  BlGroup *group = bl_group_new (compiled, nodes);
  double odds = group_probability (compiled, group);
  bl_group_free (group);
  return odds;
}

static double
node_probability (BlJobCircuit *compiled, guint node)
{
  int leaf = node == BL_NET_NONE ? -1 : compiled->circuit->leaf[node];
  if (leaf < 0)
    return 0;
  return bl_settle (bl_pass_value (compiled->pass, leaf)[1] * bl_pass_der (compiled->pass, leaf)[1]
                    / compiled->total);
}

/* --- lists --- */

static void
odd_free (BlOdd *odd)
{
  g_free (odd->id);
  g_clear_pointer (&odd->modes, g_ptr_array_unref);
  g_free (odd);
}

static int
compare_odds (gconstpointer a, gconstpointer b)
{
  const BlOdd *x = *(BlOdd *const *) a, *y = *(BlOdd *const *) b;
  if (x->probability != y->probability)
    return x->probability > y->probability ? -1 : 1;
  return x->index < y->index ? -1 : x->index > y->index;
}

static GPtrArray *
odds_list (void)
{
  return g_ptr_array_new_with_free_func ((GDestroyNotify) odd_free);
}

static BlOdd *
add_odd (GPtrArray *list, const char *id, double probability, double present)
{
  BlOdd *odd = g_new0 (BlOdd, 1);
  odd->id = g_strdup (id);
  odd->probability = probability;
  odd->present = present;
  odd->index = list->len;
  g_ptr_array_add (list, odd);
  return odd;
}

static BlOdd *
add_group (BlJobCircuit *compiled, GPtrArray *list, const char *id, GPtrArray *groups,
           GPtrArray *present)
{
  guint i = list->len;
  double probability = group_probability (compiled, bl_at (groups, i));
  return add_odd (list, id, probability,
                  bl_at (present, i) == NULL ? probability
                                             : group_probability (compiled, bl_at (present, i)));
}

static void
list_parts (BlJobCircuit *compiled, const BlCauses *causes, BlDiagnosis *diagnosis)
{
  diagnosis->components = odds_list ();
  for (guint p = 0; p < causes->parts->len; p++)
    {
      const BlCausePart *part = bl_cause_part (causes, p);
      BlOdd *odd = add_group (compiled, diagnosis->components, part->id, compiled->parts,
                              compiled->parts_present);
      odd->modes = odds_list ();
      for (guint m = part->first; m < part->first + part->n; m++)
        {
          const BlCauseMode *mode = bl_cause_mode (causes, m);
          double own = node_probability (compiled, compiled->own[m]);
          add_odd (odd->modes, mode->name, own,
                   mode->provoked ? node_probability (compiled, compiled->present[m]) : own);
        }
      if (part->n == 1)
        {
          const BlOdd *only = bl_at (odd->modes, 0);
          odd->probability = only->probability;
          odd->present = only->present;
        }
      g_ptr_array_sort (odd->modes, compare_odds);
    }
  g_ptr_array_sort (diagnosis->components, compare_odds);
}

static void
list_places (BlJobCircuit *compiled, const BlCauses *causes, BlDiagnosis *diagnosis)
{
  diagnosis->stages = odds_list ();
  diagnosis->sections = odds_list ();
  for (guint i = 0; i < causes->stages->len; i++)
    add_group (compiled, diagnosis->stages, ((BlStage *) bl_at (causes->board->stages, i))->id,
               compiled->stages, compiled->stages_present);
  for (guint i = 0; i < bl_len (causes->board->sections); i++)
    add_group (compiled, diagnosis->sections, ((BlSection *) bl_at (causes->board->sections, i))->id,
               compiled->sections, compiled->sections_present);
  g_ptr_array_sort (diagnosis->stages, compare_odds);
  g_ptr_array_sort (diagnosis->sections, compare_odds);
}

/* --- setup --- */

static double
lane_probability (const BlJobCircuit *compiled, const BlSetup *setup)
{
  guint root = compiled->circuit->root;
  const double *values = bl_pass_value (compiled->pass, root);
  gboolean laned = bl_circuit_table (compiled->circuit, root)->laned;
  double sum = 0;
  for (guint l = 0; l < compiled->pass->lanes; l++)
    if (compiled->lane_sets[l] >> setup->lane_bit & 1)
      sum += compiled->lane_weights[l] * values[laned ? l : 0];
  return bl_settle (sum / compiled->total);
}

/* The one reading that depends on it has the weight of a wrong setup whatever its class. */
static double
private_probability (BlJobCircuit *compiled, const BlCauses *causes, guint index)
{
  for (guint i = 0; i < compiled->slots->len; i++)
    {
      const BlSlot *slot = bl_slot (compiled, i);
      gboolean mine = slot->n_setups > 0
                      && (slot->setups[0] == index || slot->setups[slot->n_setups - 1] == index);
      if (!mine || slot->judged == NULL)
        continue;
      gsize n = (gsize) bl_circuit_table (compiled->circuit, slot->leaf)->rows
                * compiled->pass->lanes;
      const double *der = bl_pass_der (compiled->pass, slot->leaf);
      double sum = 0;
      for (gsize k = 0; k < n; k++)
        sum += der[k];
      return bl_settle (causes->odds.setup * sum
                        * slot->weights[bl_cause_measure (causes, slot->measure)->n]
                        / compiled->total);
    }
  return 0;
}

static double
setup_probability (BlJobCircuit *compiled, const BlCauses *causes, guint index)
{
  const BlSetup *setup = bl_setup (compiled, index);
  switch (setup->how)
    {
    case BL_SETUP_LANE:
      return lane_probability (compiled, setup);
    case BL_SETUP_ROOT:
      return node_probability (compiled, setup->node);
    case BL_SETUP_PRIVATE:
      return private_probability (compiled, causes, index);
    case BL_SETUP_OFF:
    default:
      return 0;
    }
}

static void
setup_odd_free (BlSetupOdd *odd)
{
  g_free (odd->black);
  g_free (odd->state);
  g_free (odd);
}

static void
add_setup (BlJobCircuit *compiled, const BlCauses *causes, GPtrArray *list, gboolean is_state,
           guint index, const char *id)
{
  for (guint i = 0; i < compiled->setups->len; i++)
    {
      const BlSetup *setup = bl_setup (compiled, i);
      if (!setup->used || setup->is_state != is_state || setup->index != (int) index
          || setup->round != compiled->rounds.n - 1)
        continue;
      BlSetupOdd *odd = g_new0 (BlSetupOdd, 1);
      *(is_state ? &odd->state : &odd->black) = g_strdup (id);
      odd->probability = setup_probability (compiled, causes, i);
      g_ptr_array_add (list, odd);
    }
}

static void
list_setup (BlJobCircuit *compiled, const BlCauses *causes, BlDiagnosis *diagnosis)
{
  const BlBoard *board = causes->board;
  diagnosis->setup = g_ptr_array_new_with_free_func ((GDestroyNotify) setup_odd_free);
  for (guint i = 0; i < bl_len (board->test_points); i++)
    add_setup (compiled, causes, diagnosis->setup, FALSE, i,
               ((BlTestPoint *) bl_at (board->test_points, i))->id);
  for (guint i = 0; i < bl_len (board->states); i++)
    add_setup (compiled, causes, diagnosis->setup, TRUE, i, ((BlState *) bl_at (board->states, i))->id);
}

/* --- the whole --- */

static double
log_evidence (const BlJobCircuit *compiled)
{
  double sum = log (compiled->total) - compiled->pass->exponent * G_LN2;
  for (guint i = 0; i < compiled->slots->len; i++)
    if (bl_slot (compiled, i)->judged != NULL)
      sum += bl_slot (compiled, i)->log_scale;
  return sum;
}

static void
name_likely_stage (BlDiagnosis *diagnosis)
{
  const BlOdd *best = diagnosis->stages->len > 0 ? bl_at (diagnosis->stages, 0) : NULL;
  if (best != NULL && diagnosis->elsewhere <= best->probability)
    diagnosis->likely_stage = g_strdup (best->id);
}

gboolean
bl_evaluate_up (BlEngine *engine, GError **error)
{
  BlJobCircuit *compiled = engine->compiled;
  if (!compiled->filled)
    {
      bl_fill_readings (compiled, engine->causes);
      bl_pass_up (compiled->pass);
    }
  compiled->filled = FALSE;
  compiled->total = bl_pass_total (compiled->pass, compiled->lane_weights);
  if (!(compiled->total > 0))
    return g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_IMPOSSIBLE,
                        _("What was entered cannot have happened on this board: its probability is "
                          "zero. Check the entries and the chances in the document.")), FALSE;
  return !bl_engine_cancelled (engine, error);
}

gboolean
bl_evaluate (BlEngine *engine, GError **error)
{
  BlJobCircuit *compiled = engine->compiled;
  if (!bl_evaluate_up (engine, error))
    return FALSE;
  bl_pass_down (compiled->pass, compiled->lane_weights, NULL);
  g_free (compiled->part_joints);
  compiled->part_joints = g_new0 (double, compiled->parts->len + 1);
  for (guint p = 0; p < compiled->parts->len; p++)
    compiled->part_joints[p] = group_joint (compiled, bl_at (compiled->parts, p));
  return !bl_engine_cancelled (engine, error);
}

gboolean
bl_odds (BlEngine *engine, BlDiagnosis *diagnosis, GError **error)
{
  BlJobCircuit *compiled = engine->compiled;
  const BlCauses *causes = engine->causes;
  if (!bl_evaluate (engine, error))
    return FALSE;
  list_parts (compiled, causes, diagnosis);
  list_places (compiled, causes, diagnosis);
  list_setup (compiled, causes, diagnosis);
  diagnosis->elsewhere = node_probability (compiled, compiled->elsewhere);
  diagnosis->remaining = group_probability (compiled, compiled->all);
  diagnosis->log_evidence = log_evidence (compiled);
  name_likely_stage (diagnosis);
  return TRUE;
}
