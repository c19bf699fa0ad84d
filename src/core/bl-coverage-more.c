/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where one more measurement would help most. A candidate is tried by what it would show of each
 * documented mode: the output of a stage in a live state in which no meter reads it yet (absent,
 * unsteady, low or high, the class that goes before the others), or a component tested by itself, which
 * parts it from all others. Its gain is what it takes from the uncertainty about the failed component,
 * in bits, on average over the documented failures by weight. Effort and access are left to whoever
 * knows the board. Some hundred candidates of some hundred modes: milliseconds. */
#include "config.h"

#include "bl-coverage-private.h"

#include <math.h>

#define NOTHING 1e-9 /* bits: rounding; what differs by less is equal, and stays in document order */

static void
one_more_free (BlOneMore *more)
{
  g_free (more->stage);
  g_free (more->state);
  g_free (more->point);
  g_free (more->component);
  g_free (more);
}

/* --- points --- */

static gboolean
is_used (const BlBoard *board, const char *point)
{
  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (board->measurements, i);
      if (g_strcmp0 (measurement->at, point) == 0 || g_strcmp0 (measurement->black, point) == 0)
        return TRUE;
    }
  return FALSE;
}

GPtrArray *
bl_coverage_unused_points (const BlBoard *board)
{
  GPtrArray *points = g_ptr_array_new_with_free_func (g_free);

  for (guint i = 0; i < bl_len (board->test_points); i++)
    {
      const BlTestPoint *point = bl_at (board->test_points, i);
      if (!is_used (board, point->id))
        g_ptr_array_add (points, g_strdup (point->id));
    }
  return points;
}

/* Even-odd rule. */
static gboolean
is_inside (const BlOutline *outline, double x, double y)
{
  guint n = outline->points != NULL ? outline->points->len / 2 : 0;
  gboolean inside = FALSE;

  for (guint i = 0, j = n - 1; i < n; j = i++)
    {
      const double *a = &g_array_index (outline->points, double, 2 * i);
      const double *b = &g_array_index (outline->points, double, 2 * j);
      if ((a[1] > y) != (b[1] > y) && x < (b[0] - a[0]) * (y - a[1]) / (b[1] - a[1]) + a[0])
        inside = !inside;
    }
  return inside;
}

/* A point nobody measures at that lies inside the stage's outline; NULL: none. */
static const char *
point_in (const BlBoard *board, const BlStage *stage)
{
  for (guint i = 0; i < bl_len (board->test_points); i++)
    {
      const BlTestPoint *point = bl_at (board->test_points, i);
      if (is_used (board, point->id))
        continue;
      for (guint o = 0; o < bl_len (stage->outlines); o++)
        {
          const BlOutline *outline = bl_at (stage->outlines, o);
          if (g_strcmp0 (outline->photo, point->photo) == 0 && is_inside (outline, point->x, point->y))
            return point->id;
        }
    }
  return NULL;
}

/* --- candidates --- */

/* A check or a swing says less than a meter: there a meter may still help. */
static gboolean
has_meter_on (const BlBoard *board, const char *stage, const char *state)
{
  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (board->measurements, i);
      if (measurement->measures < BL_MEASURES_OHM && g_strcmp0 (measurement->reads, stage) == 0
          && g_strcmp0 (measurement->state, state) == 0)
        return TRUE;
    }
  return FALSE;
}

static gboolean
has_live_state (const BlBoard *board)
{
  for (guint i = 0; i < bl_len (board->states); i++)
    if (((BlState *) bl_at (board->states, i))->live == 1)
      return TRUE;
  return FALSE;
}

/* What a meter on each stage's output would show of each mode in one state: [stage * n + mode]. */
static guint8 *
stage_codes (const BlPartition *partition, guint state)
{
  guint n_stages = bl_len (partition->board->stages), n_all = bl_response_n_modes (partition->response);
  guint8 *codes = g_new0 (guint8, n_stages * partition->n + 1);
  g_autofree guint8 *active = g_new0 (guint8, n_all + 1), *masks = g_new0 (guint8, n_stages + 1);

  for (guint mode = 0; mode < partition->n; mode++)
    {
      active[mode] = 1;
      bl_response_stages (partition->response, active, (int) state, masks);
      active[mode] = 0;
      for (guint s = 0; s < n_stages; s++)
        for (int d = BL_N_DEVIATIONS - 1; d >= 0; d--)
          if (masks[s] & (1 << d))
            codes[s * partition->n + mode] = (guint8) (d + 1);
    }
  return codes;
}

static void
keep_better (BlOneMore **best, const BlStage *stage, const BlState *state, double bits, const BlTestability *then)
{
  if (bits <= NOTHING || (*best != NULL && (*best)->bits >= bits - NOTHING))
    return;
  g_clear_pointer (best, one_more_free);
  *best = g_new0 (BlOneMore, 1);
  (*best)->stage = g_strdup (stage->id);
  (*best)->state = g_strdup (state->id);
  (*best)->bits = bits;
  (*best)->then = *then;
}

static void
try_state (const BlPartition *partition, const BlTestability *now, guint state, BlOneMore **best)
{
  const BlBoard *board = partition->board;
  const BlState *in = bl_at (board->states, state);
  g_autofree guint8 *codes = stage_codes (partition, state);

  for (guint s = 0; s < bl_len (board->stages); s++)
    {
      const BlStage *stage = bl_at (board->stages, s);
      BlTestability then;

      if (has_meter_on (board, stage->id, in->id))
        continue;
      bl_partition_judge (partition, codes + s * partition->n, &then);
      keep_better (&best[s], stage, in, now->left_bits - then.left_bits, &then);
    }
}

static void
try_component (const BlPartition *partition, const BlTestability *now, guint component, GPtrArray *list)
{
  g_autofree guint8 *code = g_new0 (guint8, partition->n + 1);
  BlTestability then;

  for (guint mode = 0; mode < partition->n; mode++)
    code[mode] = bl_response_component_index (partition->response, mode) == component;
  bl_partition_judge (partition, code, &then);
  if (now->left_bits - then.left_bits <= NOTHING)
    return;
  BlOneMore *more = g_new0 (BlOneMore, 1);
  more->component = g_strdup (((BlComponent *) bl_at (partition->board->components, component))->id);
  more->bits = now->left_bits - then.left_bits;
  more->then = then;
  g_ptr_array_add (list, more);
}

static int
compare_more (gconstpointer a, gconstpointer b, gpointer data)
{
  const BlOneMore *x = *(BlOneMore *const *) a, *y = *(BlOneMore *const *) b;
  double p = round (x->bits / NOTHING), q = round (y->bits / NOTHING);
  return p > q ? -1 : p < q;
}

static gboolean
is_cancelled (const int *cancel)
{
  return cancel != NULL && g_atomic_int_get (cancel) != 0;
}

GPtrArray *
bl_coverage_find_more (const BlPartition *partition, const BlTestability *now, const int *cancel)
{
  const BlBoard *board = partition->board;
  g_autoptr (GPtrArray) list = g_ptr_array_new_with_free_func ((GDestroyNotify) one_more_free);
  g_autofree BlOneMore **best = g_new0 (BlOneMore *, bl_len (board->stages) + 1);
  gboolean live = has_live_state (board), stopped = FALSE;

  for (guint i = 0; i < bl_len (board->states) && !(stopped = is_cancelled (cancel)); i++)
    if (!live || ((BlState *) bl_at (board->states, i))->live == 1)
      try_state (partition, now, i, best);
  for (guint s = 0; s < bl_len (board->stages); s++)
    if (best[s] != NULL)
      {
        best[s]->point = g_strdup (point_in (board, bl_at (board->stages, s)));
        g_ptr_array_add (list, best[s]);
      }
  for (guint c = 0; c < bl_len (board->components) && !(stopped = stopped || is_cancelled (cancel)); c++)
    try_component (partition, now, c, list);
  if (stopped)
    return NULL;
  if (list->len > 1)
    g_qsort_with_data (list->pdata, (int) list->len, sizeof (gpointer), compare_more, NULL);
  return g_steal_pointer (&list);
}
