/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Learning from confirmed repairs: the modes of an edition share its failures, the shares have a
 * Dirichlet distribution whose prior is the document's own weights, and each confirmed cause adds one
 * to its mode. The mean takes the place of the weights; how often the board fails at all, and what
 * nobody documented, is not touched, since repairs say nothing about boards that never came.
 *
 * Conjugate updating and its means: A. Gelman et al., Bayesian Data Analysis, chapters 2 and 3 (from
 * memory). A few hundred modes and causes: searched from the start. No I/O: the causes are handed
 * in. */
#include "config.h"

#include "bl-learn.h"

#include <math.h>
#include <string.h>

/* --- distributions --- */

BlBeta
bl_beta_update (BlBeta prior, double x, double n)
{
  g_return_val_if_fail (x >= 0 && n >= x, prior);
  return (BlBeta){ prior.a + x, prior.b + n - x };
}

double
bl_beta_mean (BlBeta beta)
{
  return beta.a / (beta.a + beta.b);
}

double
bl_beta_sd (BlBeta beta)
{
  double mean = bl_beta_mean (beta);
  return sqrt (mean * (1 - mean) / (beta.a + beta.b + 1));
}

void
bl_dirichlet_mean (const double *alpha, const double *counts, guint n, double *mean)
{
  g_return_if_fail (n == 0 || (alpha != NULL && mean != NULL));
  double sum = 0;
  for (guint i = 0; i < n; i++)
    sum += mean[i] = alpha[i] + (counts != NULL ? counts[i] : 0);
  for (guint i = 0; i < n; i++)
    mean[i] = sum > 0 ? mean[i] / sum : 0;
}

/* --- causes --- */

BlFoundCause *
bl_found_cause_new (gint64 job, const char *component, const char *mode)
{
  BlFoundCause *cause = g_new0 (BlFoundCause, 1);
  cause->job = job;
  cause->component = g_strdup (component);
  cause->mode = mode != NULL && mode[0] != '\0' ? g_strdup (mode) : NULL;
  return cause;
}

void
bl_found_cause_free (BlFoundCause *cause)
{
  if (cause == NULL)
    return;
  g_free (cause->component);
  g_free (cause->mode);
  g_free (cause);
}

static void
count_free (gpointer data)
{
  g_free (((BlCauseCount *) data)->component);
  g_free (data);
}

static int
by_count (gconstpointer a, gconstpointer b)
{
  const BlCauseCount *first = *(BlCauseCount *const *) a, *second = *(BlCauseCount *const *) b;
  if (first->n != second->n)
    return first->n < second->n ? 1 : -1;
  return strcmp (first->component, second->component);
}

/* TRUE when an earlier cause is of the same job, and of the same component unless any will do. */
static gboolean
is_repeated (GPtrArray *causes, guint index, gboolean any)
{
  const BlFoundCause *cause = bl_at (causes, index);
  for (guint i = 0; i < index; i++)
    {
      const BlFoundCause *other = bl_at (causes, i);
      if (other->job == cause->job && (any || g_str_equal (other->component, cause->component)))
        return TRUE;
    }
  return FALSE;
}

static guint
count_repairs (GPtrArray *causes)
{
  guint n = 0;
  for (guint i = 0; i < bl_len (causes); i++)
    n += is_repeated (causes, i, TRUE) ? 0 : 1;
  return n;
}

GPtrArray *
bl_found_causes_count (GPtrArray *causes, guint *n_repairs)
{
  GPtrArray *counts = g_ptr_array_new_with_free_func (count_free);
  g_autoptr (GHashTable) places = g_hash_table_new (g_str_hash, g_str_equal);
  for (guint i = 0; i < bl_len (causes); i++)
    {
      const BlFoundCause *cause = bl_at (causes, i);
      BlCauseCount *count = g_hash_table_lookup (places, cause->component);
      if (count == NULL)
        {
          count = g_new0 (BlCauseCount, 1);
          count->component = g_strdup (cause->component);
          g_hash_table_insert (places, count->component, count);
          g_ptr_array_add (counts, count);
        }
      count->n += is_repeated (causes, i, FALSE) ? 0 : 1;
    }
  g_ptr_array_sort (counts, by_count);
  if (n_repairs != NULL)
    *n_repairs = count_repairs (causes);
  return counts;
}

/* --- shares --- */

void
bl_learned_free (BlLearned *learned)
{
  if (learned == NULL)
    return;
  g_ptr_array_unref (learned->modes);
  g_free (learned);
}

static void
mode_free (gpointer data)
{
  BlLearnedMode *mode = data;
  g_free ((char *) mode->component);
  g_free ((char *) mode->mode);
  g_free (mode);
}

static void
add_modes (BlLearned *learned, const BlBoard *board)
{
  double sum = 0;
  for (guint i = 0; i < bl_len (board->components); i++)
    {
      const BlComponent *component = bl_at (board->components, i);
      for (guint j = 0; j < bl_len (component->modes); j++)
        {
          const BlMode *source = bl_at (component->modes, j);
          BlLearnedMode *mode = g_new0 (BlLearnedMode, 1);
          mode->component = g_strdup (component->id);
          mode->mode = g_strdup (source->mode);
          sum += mode->handbook = bl_board_mode_weight (board, component, source);
          g_ptr_array_add (learned->modes, mode);
        }
    }
  for (guint i = 0; i < learned->modes->len; i++)
    {
      BlLearnedMode *mode = bl_at (learned->modes, i);
      mode->handbook = sum > 0 ? mode->handbook / sum : 0;
    }
}

/* A component fails in every documented mode alike where the document gives none of them a weight. */
static void
part_among_modes (BlLearned *learned, const char *component)
{
  double sum = 0;
  guint n = 0;
  for (guint i = 0; i < learned->modes->len; i++)
    {
      const BlLearnedMode *mode = bl_at (learned->modes, i);
      if (!g_str_equal (mode->component, component))
        continue;
      sum += mode->handbook;
      n++;
    }
  for (guint i = 0; i < learned->modes->len; i++)
    {
      BlLearnedMode *mode = bl_at (learned->modes, i);
      if (g_str_equal (mode->component, component))
        mode->count += sum > 0 ? mode->handbook / sum : 1.0 / n;
    }
  learned->unplaced += n == 0 ? 1 : 0;
}

static void
add_cause (BlLearned *learned, const BlFoundCause *cause)
{
  for (guint i = 0; cause->mode != NULL && i < learned->modes->len; i++)
    {
      BlLearnedMode *mode = bl_at (learned->modes, i);
      if (g_str_equal (mode->component, cause->component) && g_str_equal (mode->mode, cause->mode))
        {
          mode->count += 1;
          return;
        }
    }
  part_among_modes (learned, cause->component);
}

static void
set_learned (BlLearned *learned)
{
  guint n = learned->modes->len;
  g_autofree double *alpha = g_new (double, MAX (n, 1));
  g_autofree double *counts = g_new (double, MAX (n, 1));
  g_autofree double *mean = g_new (double, MAX (n, 1));
  for (guint i = 0; i < n; i++)
    {
      const BlLearnedMode *mode = bl_at (learned->modes, i);
      alpha[i] = learned->strength * mode->handbook;
      counts[i] = mode->count;
    }
  bl_dirichlet_mean (alpha, counts, n, mean);
  for (guint i = 0; i < n; i++)
    ((BlLearnedMode *) bl_at (learned->modes, i))->learned = mean[i];
}

gboolean
bl_learned_differs (const BlLearned *learned)
{
  for (guint i = 0; learned != NULL && i < learned->modes->len; i++)
    if (((BlLearnedMode *) bl_at (learned->modes, i))->count > 0)
      return TRUE;
  return FALSE;
}

BlLearned *
bl_learned_new (const BlBoard *board, GPtrArray *causes, double strength)
{
  g_return_val_if_fail (board != NULL, NULL);
  BlLearned *learned = g_new0 (BlLearned, 1);
  learned->strength = strength >= 0 ? strength : 0;
  learned->modes = g_ptr_array_new_with_free_func (mode_free);
  learned->repairs = count_repairs (causes);
  add_modes (learned, board);
  for (guint i = 0; i < bl_len (causes); i++)
    if (!is_repeated (causes, i, FALSE))
      add_cause (learned, bl_at (causes, i));
  if (bl_learned_differs (learned))
    set_learned (learned);
  else
    for (guint i = 0; i < learned->modes->len; i++)
      {
        BlLearnedMode *mode = bl_at (learned->modes, i);
        mode->learned = mode->handbook;
      }
  return learned;
}

void
bl_learned_component (const BlLearned *learned, const char *component, double *handbook,
                      double *count, double *share)
{
  g_return_if_fail (learned != NULL && component != NULL);
  *handbook = *count = *share = 0;
  for (guint i = 0; i < learned->modes->len; i++)
    {
      const BlLearnedMode *mode = bl_at (learned->modes, i);
      if (!g_str_equal (mode->component, component))
        continue;
      *handbook += mode->handbook;
      *count += mode->count;
      *share += mode->learned;
    }
}

/* The sum of all documented weights; where the document has none, the same that the diagnosis takes. */
static double
weight_of_all (const BlBoard *board)
{
  double sum = 0;
  for (guint i = 0; i < bl_len (board->components); i++)
    {
      const BlComponent *component = bl_at (board->components, i);
      for (guint j = 0; j < bl_len (component->modes); j++)
        sum += bl_board_mode_weight (board, component, bl_at (component->modes, j));
    }
  return sum > 0 ? sum : 1;
}

void
bl_learned_apply (const BlLearned *learned, BlBoard *board)
{
  g_return_if_fail (learned != NULL && board != NULL);
  guint n = 0;
  if (!bl_learned_differs (learned))
    return;
  double sum = weight_of_all (board);
  for (guint i = 0; i < bl_len (board->components); i++)
    {
      BlComponent *component = bl_at (board->components, i);
      component->weight = component->factor = NAN; /* both are in the shares */
      for (guint j = 0; j < bl_len (component->modes); j++, n++)
        {
          BlMode *mode = bl_at (component->modes, j);
          g_return_if_fail (n < learned->modes->len);
          mode->weight = sum * ((BlLearnedMode *) bl_at (learned->modes, n))->learned;
        }
    }
}
