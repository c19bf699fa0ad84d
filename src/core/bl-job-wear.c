/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Circuits without what adds nothing for the readings at hand, and how far they serve others.
 *
 * A circuit made for the readings at hand (bl-eliminate.c), or a large one for any, is trimmed at once, so that
 * all that is asked of it costs less. Rows are missing then that add less than a given weight to the probability
 * of the evidence. A row's part in that is linear in the likelihood of every reading. Whatever the readings are
 * now, it is at most as much as before times the largest ratio of each reading's likelihood now to the one then: 1
 * for a reading that was not there, however it came out, since likelihoods are at most 1. The circuit serves as
 * long as that is still little against the whole.
 *
 * Most entries change nothing much; what surprises, or takes a reading back that said a lot, makes a new circuit,
 * or trims the one for any readings anew: that takes one pass up and down. */
#include "config.h"

#include "bl-engine-private.h"

#include <math.h>
#include <string.h>

/* Of the probability of the evidence, what may be missing of a row: a thousand times what a fresh circuit lacks. With
 * a million of them, and a reading taken away on top, which weighs them a thousand times more, that is 1e-9. */
#define WORN 1e-18

/* n: classes, and that of a wrong setup. */
static double
largest_ratio (const BlSlot *slot, guint n)
{
  double most = 0;
  for (guint k = 0; k < n; k++)
    {
      double now = slot->judged != NULL ? slot->weights[k] : 1, then = slot->made != NULL ? slot->made[k] : 1;
      if (now > 0)
        most = MAX (most, now / then);
    }
  return most;
}

/* A setup that no reading depends on any more was right in the likelier of the lanes that are one now. */
static double
wear (const BlJobCircuit *compiled, const BlCauses *causes)
{
  double wear = 1;
  for (guint i = 0; i < compiled->slots->len; i++)
    wear *= largest_ratio (bl_slot (compiled, i), bl_cause_measure (causes, bl_slot (compiled, i)->measure)->n + 1);
  for (guint i = 0; i < compiled->setups->len; i++)
    if (bl_setup (compiled, i)->made && !bl_setup (compiled, i)->used)
      wear /= 1 - causes->odds.setup;
  return wear;
}

gboolean
bl_job_serves (BlJobCircuit *compiled, const BlCauses *causes)
{
  BlPass *pass = compiled->pass;
  bl_fill_readings (compiled, causes);
  double worn = wear (compiled, causes) * compiled->least;
  bl_pass_up (pass);
  compiled->total = bl_pass_total (pass, compiled->lane_weights);
  compiled->filled = compiled->total > 0 && worn <= WORN * ldexp (compiled->total, -pass->exponent);
  return compiled->filled;
}

/* --- trimming --- */

/* What a circuit was made for. */
static void
note_made (BlJobCircuit *compiled, const BlCauses *causes)
{
  for (guint i = 0; i < compiled->setups->len; i++)
    bl_setup (compiled, i)->made = bl_setup (compiled, i)->used;
  for (guint i = 0; i < compiled->slots->len; i++)
    {
      BlSlot *slot = bl_slot (compiled, i);
      g_clear_pointer (&slot->made, g_free);
      if (slot->judged != NULL)
        slot->made = g_memdup2 (slot->weights, (bl_cause_measure (causes, slot->measure)->n + 1) * sizeof (double));
    }
}

static void
forget_values (BlJobCircuit *compiled)
{
  GPtrArray *groups[] = { compiled->parts, compiled->parts_present, compiled->stages,
                          compiled->stages_present, compiled->sections, compiled->sections_present };
  for (guint i = 0; i < G_N_ELEMENTS (groups); i++)
    for (guint j = 0; j < groups[i]->len; j++)
      if (bl_at (groups[i], j) != NULL)
        g_clear_pointer (&((BlGroup *) bl_at (groups[i], j))->with, g_free);
  g_clear_pointer (&compiled->all->with, g_free);
  g_clear_pointer (&compiled->pass, bl_pass_free);
  g_clear_pointer (&compiled->some, bl_pass_free);
  compiled->pass = bl_pass_new (compiled->circuit, compiled->room);
}

/* Back to the circuit that serves any readings. */
static void
restore (BlJobCircuit *compiled)
{
  bl_circuit_free (compiled->circuit);
  compiled->circuit = bl_circuit_copy (compiled->whole);
  compiled->least = 0;
  forget_values (compiled);
}

void
bl_job_trim (BlJobCircuit *compiled, const BlCauses *causes)
{
  if (compiled->least > 0 && compiled->whole != NULL)
    restore (compiled);
  bl_fill_readings (compiled, causes);
  bl_pass_up (compiled->pass);
  double total = bl_pass_total (compiled->pass, compiled->lane_weights);
  if (!(total > 0))
    return;
  if (!compiled->sharp)
    compiled->least = BL_JOB_NEGLIGIBLE * ldexp (total, -compiled->pass->exponent);
  note_made (compiled, causes);
  bl_pass_down (compiled->pass, compiled->lane_weights, NULL);
  bl_circuit_trim (compiled->circuit, compiled->pass, compiled->least);
  forget_values (compiled);
}
