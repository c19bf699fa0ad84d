/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How hard a drill is: how much there is to find out between what is shown and the part. Some hundred modes are looked at,
 * a few milliseconds. It says nothing of how long the measurements take. */
#include "config.h"

#include "bl-drill-private.h"

#include <math.h>

/* The priors of all single faults with the symptom of the drill, its own among them whatever they show by themselves. */
static double
same_symptom (const BlDrill *drill)
{
  guint n = bl_response_n_modes (drill->response);
  g_autofree guint8 *one = g_new0 (guint8, n + 1);
  double sum = 0;

  for (guint i = 0; i < n; i++)
    {
      if (bl_cause_mode (drill->causes, i)->mode == NULL)
        continue; /* something else in a stage: no drill has it */
      one[i] = 1;
      if (drill->own[i] || g_strcmp0 (bl_drill_symptom_of (drill, one), drill->symptom) == 0)
        sum += bl_cause_mode (drill->causes, i)->prior;
      one[i] = 0;
    }
  return sum;
}

double
bl_drill_bits (const BlDrill *drill)
{
  g_return_val_if_fail (drill != NULL, NAN);
  double all = same_symptom (drill), bits = 0;

  for (guint i = 0; i < bl_response_n_modes (drill->response); i++)
    if (drill->own[i])
      bits += log2 (all / bl_cause_mode (drill->causes, i)->prior);
  return bits;
}
