/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From verdicts to weights on the readings' leaves: what a class is read as, and what a wrong lead
 * or state makes of a reading. Weights of one reading are divided by the largest; the logarithm of
 * what was taken out is kept for the probability of the evidence. */
#include "config.h"

#include "bl-engine-private.h"

#include <math.h>
#include <string.h>

enum { MAX_LANE_BITS = 6 };

double
bl_confusion (const BlCauseMeasure *measure, double e, guint k, guint j)
{
  guint n = measure->n, good = measure->good;
  if (k == good)
    return j == good ? 1 - e / 4 : e / 4 / (n - 1);
  if ((int) k == measure->unsteady)
    return j == k || j == good ? (1 - e) / 2 : e / (n - 2);
  if (j == good)
    return e;
  double others = n > 2 ? .1 : 0;
  return j == k ? 1 - e - others : others / (n - 2);
}

void
bl_slot_weigh (BlSlot *slot, const BlCauseMeasure *measure)
{
  guint n = measure->n;
  g_autofree double *w = g_new0 (double, n);
  const BlVerdict *verdict = slot->judged->verdict;
  double e = isnan (slot->judged->entry->misread) ? measure->misread : slot->judged->entry->misread;
  double sum = 0, max = 0;
  e = pow (e, slot->judged->repeats);
  for (guint j = 0; j < verdict->n; j++)
    for (guint c = 0; c < n; c++)
      if (strcmp (measure->classes[c], verdict->classes[j]) == 0)
        w[c] += verdict->weights[j];
  g_free (slot->weights);
  slot->weights = g_new0 (double, n + 1);
  for (guint k = 0; k < n; k++)
    {
      for (guint j = 0; j < n; j++)
        slot->weights[k] += bl_confusion (measure, e, k, j) * w[j];
      sum += w[k];
    }
  slot->weights[n] = sum / n;
  for (guint k = 0; k <= n; k++)
    max = MAX (max, slot->weights[k]);
  slot->log_scale = max > 0 ? log (max) : 0;
  for (guint k = 0; k <= n && max > 0; k++)
    slot->weights[k] /= max;
}

double
bl_slot_hidden (const BlJobCircuit *compiled, const BlCauses *causes, const BlSlot *slot)
{
  double right = 1;
  for (guint i = 0; i < slot->n_setups; i++)
    {
      const BlSetup *setup = bl_setup (compiled, slot->setups[i]);
      if (setup->how == BL_SETUP_PRIVATE || (setup->how == BL_SETUP_LANE && setup->lane_bit < 0))
        right *= 1 - causes->odds.setup;
    }
  return 1 - right;
}

guint
bl_slot_lane_mask (const BlJobCircuit *compiled, const BlSlot *slot)
{
  guint mask = 0;
  for (guint i = 0; i < slot->n_setups; i++)
    {
      const BlSetup *setup = bl_setup (compiled, slot->setups[i]);
      if (setup->how == BL_SETUP_LANE && setup->lane_bit >= 0)
        mask |= 1u << setup->lane_bit;
    }
  return mask;
}

void
bl_slot_fill (const BlJobCircuit *compiled, const BlCauses *causes, const BlSlot *slot, double *to)
{
  const BlCauseMeasure *measure = bl_cause_measure (causes, slot->measure);
  const GArray *values = bl_net_node (compiled->network, slot->node)->values;
  guint lanes = compiled->n_lanes, mask = bl_slot_lane_mask (compiled, slot);
  double wrong = slot->weights[measure->n], hidden = bl_slot_hidden (compiled, causes, slot);
  for (guint r = 0; r < values->len; r++)
    {
      guint code = g_array_index (values, guint, r);
      double right = code == BL_CAUSE_WRONG ? wrong : slot->weights[measure->class_of[code]];
      double value = (1 - hidden) * right + hidden * wrong;
      for (guint l = 0; l < lanes; l++)
        to[(gsize) r * lanes + l] = (compiled->lane_sets[l] & mask) ? wrong : value;
    }
}

/* The most that readings can leave of a lane: in a wrong setup none speaks for any class. */
static double
lane_bound (const BlJobCircuit *compiled, const BlCauses *causes, guint set, double weight)
{
  for (guint i = 0; i < compiled->slots->len; i++)
    {
      const BlSlot *slot = bl_slot (compiled, i);
      if (slot->judged != NULL && (bl_slot_lane_mask (compiled, slot) & set))
        weight *= slot->weights[bl_cause_measure (causes, slot->measure)->n];
    }
  return weight;
}

static guint
number_lane_bits (BlJobCircuit *compiled)
{
  guint bits = 0;
  for (guint i = 0; i < compiled->setups->len; i++)
    {
      BlSetup *setup = bl_setup (compiled, i);
      setup->lane_bit = setup->how == BL_SETUP_LANE && setup->used ? (int) bits++ : -1;
    }
  g_assert (bits <= MAX_LANE_BITS);
  return bits;
}

/* The lanes run through the setups that readings depend on; the others make no difference yet. Those
 * that matter less than the rows left out are left out too. */
void
bl_choose_lanes (BlJobCircuit *compiled, const BlCauses *causes)
{
  guint bits = number_lane_bits (compiled), n = 0;
  double s = causes->odds.setup;
  for (guint i = 0; i < compiled->slots->len; i++)
    if (bl_slot (compiled, i)->judged != NULL)
      bl_slot_weigh (bl_slot (compiled, i), bl_cause_measure (causes, bl_slot (compiled, i)->measure));
  g_free (compiled->lane_sets);
  g_free (compiled->lane_weights);
  compiled->lane_sets = g_new (guint, 1u << bits);
  compiled->lane_weights = g_new (double, 1u << bits);
  for (guint set = 0; set < 1u << bits; set++)
    {
      double weight = 1;
      for (guint b = 0; b < bits; b++)
        weight *= (set >> b & 1) ? s : 1 - s;
      if (set != 0 && compiled->least > 0 && lane_bound (compiled, causes, set, weight) < compiled->least)
        continue;
      compiled->lane_sets[n] = set;
      compiled->lane_weights[n++] = weight;
    }
  compiled->n_lanes = n;
}

static void
write_unread (BlJobCircuit *compiled, const BlSlot *slot)
{
  const GArray *values = bl_net_node (compiled->network, slot->node)->values;
  double *to = bl_pass_value (compiled->pass, slot->leaf);
  for (gsize i = 0; i < (gsize) values->len * compiled->pass->lanes; i++)
    to[i] = 1;
}

void
bl_fill_readings (BlJobCircuit *compiled, const BlCauses *causes)
{
  bl_choose_lanes (compiled, causes);
  bl_pass_begin (compiled->pass, compiled->n_lanes);
  for (guint i = 0; i < compiled->slots->len; i++)
    {
      BlSlot *slot = bl_slot (compiled, i);
      if (slot->judged == NULL)
        {
          write_unread (compiled, slot);
          continue;
        }
      bl_slot_fill (compiled, causes, slot, bl_pass_value (compiled->pass, slot->leaf));
    }
}
