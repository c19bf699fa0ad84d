/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Spaced repetition with doubling intervals. A person has some twenty topics and answers some tens of questions a day;
 * nothing is kept here.
 *
 * Expanding and uniform intervals do as well as each other, and both do far better than cramming (A. Latimier,
 * H. Peyre and F. Ramus, Educational Psychology Review 33 (2021) 959, from memory), so the simplest rule that
 * thins out is taken. The steepness of the weights is our own choice, no source. */
#include "config.h"

#include "bl-spacing.h"

void
bl_spacing_answer (BlSpacing *self, gboolean right, guint32 today)
{
  g_return_if_fail (self != NULL && today > 0);

  if (!right)
    {
      *self = (BlSpacing){ today, 0, 0 };
      return;
    }
  self->streak++;
  if (self->due > today)
    return;
  self->interval = self->interval == 0 ? 1 : MIN (self->interval * 2, BL_SPACING_MOST_DAYS);
  self->due = today + self->interval;
}

double
bl_weak_share (guint n_right, guint n_wrong)
{
  return 1 + 3 * (n_wrong + 1.0) / (n_right + n_wrong + 2.0);
}

guint
bl_weak_draw (const double *weights, guint n, double random)
{
  double total = 0;
  guint last = G_MAXUINT;

  g_return_val_if_fail (weights != NULL || n == 0, G_MAXUINT);
  for (guint i = 0; i < n; i++)
    total += weights[i];
  for (guint i = 0; i < n; i++)
    {
      if (!(weights[i] > 0))
        continue;
      last = i;
      random -= weights[i] / total;
      if (random < 0)
        break;
    }
  return last;
}
