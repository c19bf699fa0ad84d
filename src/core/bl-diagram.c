/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Passes over a finished decision diagram: probability upward, all derivatives downward.
 *
 * Probability of true and of false are carried side by side, so a complemented edge swaps two
 * numbers instead of subtracting from one: a top event of 1e-13 keeps all its digits.
 * The downward pass needs, for a variable, also the paths that skip its level. Taking them as the
 * rest (whole minus what was counted) would cancel; each edge instead adds its weight to the range
 * of levels it jumps over, held in a tree of sums, which costs a logarithm and cancels nothing.
 */
#include "config.h"

#include "bl-diagram.h"

BlDiagram *
bl_diagram_new (guint32 n_nodes, guint n_levels, guint n_roots)
{
  BlDiagram *diagram = g_new0 (BlDiagram, 1);
  diagram->nodes = g_new (BlTableNode, n_nodes);
  diagram->nodes[0] = (BlTableNode){ BL_TERMINAL_LEVEL, 0, 0 };
  diagram->n_nodes = n_nodes;
  diagram->n_levels = n_levels;
  diagram->n_roots = n_roots;
  diagram->roots = g_new0 (guint32, n_roots);
  diagram->yes = g_new (double, n_nodes);
  diagram->no = g_new (double, n_nodes);
  diagram->yes[0] = 1;
  diagram->no[0] = 0;
  return diagram;
}

void
bl_diagram_free (BlDiagram *diagram)
{
  if (diagram == NULL)
    return;
  g_free (diagram->nodes);
  g_free (diagram->roots);
  g_free (diagram->yes);
  g_free (diagram->no);
  g_free (diagram);
}

void
bl_diagram_weigh (BlDiagram *diagram, const double *p, const double *q)
{
  for (guint32 i = 1; i < diagram->n_nodes; i++)
    {
      const BlTableNode *node = &diagram->nodes[i];
      double hi = p[node->level], lo = q[node->level];
      diagram->yes[i] =
          hi * bl_diagram_yes (diagram, node->hi) + lo * bl_diagram_yes (diagram, node->lo);
      diagram->no[i] =
          hi * bl_diagram_yes (diagram, node->hi ^ 1) + lo * bl_diagram_yes (diagram, node->lo ^ 1);
    }
}

/* Probabilities known of pairs of edges: open addressing, at most half full. */
typedef struct
{
  guint64 pair; /* smaller edge in the high half; 0: free, as no pair asked for has the edge true */
  double probability;
} BothEntry;

typedef struct
{
  const BlDiagram *diagram;
  const double *p, *q;
  BothEntry *known;
  guint32 mask, n_known;
} Both;

enum
{
  FIRST_KNOWN = 256
};

static BothEntry *
find_known (const Both *work, guint64 pair)
{
  guint32 at = bl_table_hash ((guint32) (pair >> 32), (guint32) pair, 0) & work->mask;
  while (work->known[at].pair != 0 && work->known[at].pair != pair)
    at = (at + 1) & work->mask;
  return &work->known[at];
}

static void
grow_known (Both *work)
{
  g_autofree BothEntry *old = work->known;
  guint32 n = work->mask + 1;
  work->known = g_new0 (BothEntry, (gsize) n * 2);
  work->mask = n * 2 - 1;
  for (guint32 i = 0; i < n; i++)
    if (old[i].pair != 0)
      *find_known (work, old[i].pair) = old[i];
}

static double
both (Both *work, guint32 f, guint32 g)
{
  const BlTableNode *nodes = work->diagram->nodes;
  if (f == 1 || g == 1 || f == (g ^ 1))
    return 0;
  if (f == 0 || f == g)
    return bl_diagram_yes (work->diagram, g);
  if (g == 0)
    return bl_diagram_yes (work->diagram, f);
  guint64 pair = (guint64) MIN (f, g) << 32 | MAX (f, g);
  const BothEntry *before = find_known (work, pair);
  if (before->pair != 0)
    return before->probability;
  const BlTableNode *left = &nodes[f >> 1], *right = &nodes[g >> 1];
  guint32 level = MIN (left->level, right->level);
  guint32 f1 = left->level == level ? left->hi ^ (f & 1) : f;
  guint32 f0 = left->level == level ? left->lo ^ (f & 1) : f;
  guint32 g1 = right->level == level ? right->hi ^ (g & 1) : g;
  guint32 g0 = right->level == level ? right->lo ^ (g & 1) : g;
  double probability = work->p[level] * both (work, f1, g1) + work->q[level] * both (work, f0, g0);
  if (++work->n_known > work->mask / 2)
    grow_known (work);
  *find_known (work, pair) = (BothEntry){ pair, probability };
  return probability;
}

double
bl_diagram_both (const BlDiagram *diagram,
                 guint32 f,
                 guint32 g,
                 const double *p,
                 const double *q)
{
  Both work = { diagram, p, q, g_new0 (BothEntry, FIRST_KNOWN), FIRST_KNOWN - 1, 0 };
  double probability = both (&work, f, g);
  g_free (work.known);
  return probability;
}

/* A tree of sums over levels: add to a range, read at a point. */
typedef struct
{
  double *sums;
  guint n;
} Ranges;

static void
ranges_add (Ranges *ranges, guint from, guint to, double value)
{
  if (value == 0)
    return;
  for (guint left = from + ranges->n, right = to + ranges->n; left < right; left /= 2, right /= 2)
    {
      if (left & 1)
        ranges->sums[left++] += value;
      if (right & 1)
        ranges->sums[--right] += value;
    }
}

static double
ranges_at (const Ranges *ranges, guint at)
{
  double sum = 0;
  for (guint i = at + ranges->n; i >= 1; i /= 2)
    sum += ranges->sums[i];
  return sum;
}

typedef struct
{
  const BlDiagram *diagram;
  BlHeld seed;
  double *straight, *flipped; /* weight that arrives at a node through even, odd complements */
  Ranges skipped;
} Descent;

static inline double
expectation (const Descent *descent, guint32 edge)
{
  return descent->seed.if_true * bl_diagram_yes (descent->diagram, edge) +
         descent->seed.if_false * bl_diagram_yes (descent->diagram, edge ^ 1);
}

/* P(hi) - P(lo), from whichever of the two forms has the smaller numbers. */
static inline double
rise (const BlDiagram *diagram, guint32 hi, guint32 lo)
{
  double up = bl_diagram_yes (diagram, hi), down = bl_diagram_yes (diagram, lo);
  return up + down <= 1 ? up - down
                        : bl_diagram_yes (diagram, lo ^ 1) - bl_diagram_yes (diagram, hi ^ 1);
}

/* Follows one edge out of a node of level: hands its weights on and notes the levels it skips.
 * Returns the expectation along it, the choice of the edge itself not weighed. */
static double
follow (Descent *descent, guint level, guint32 edge, double straight, double flipped, double choice)
{
  guint32 child = edge >> 1;
  double value = straight * expectation (descent, edge) + flipped * expectation (descent, edge ^ 1);
  descent->straight[child] += choice * (edge & 1 ? flipped : straight);
  descent->flipped[child] += choice * (edge & 1 ? straight : flipped);
  guint below = MIN (descent->diagram->nodes[child].level, descent->diagram->n_levels);
  if (below > level + 1)
    ranges_add (&descent->skipped, level + 1, below, choice * value);
  return value;
}

static void
enter (Descent *descent, guint32 root)
{
  const BlDiagram *diagram = descent->diagram;
  guint32 top = root >> 1;
  (root & 1 ? descent->flipped : descent->straight)[top] = 1;
  ranges_add (&descent->skipped, 0, MIN (diagram->nodes[top].level, diagram->n_levels),
              expectation (descent, root));
}

void
bl_diagram_hold (const BlDiagram *diagram,
                 guint root,
                 BlHeld seed,
                 const double *p,
                 const double *q,
                 BlHeld *held)
{
  guint n_levels = diagram->n_levels;
  g_autofree double *weights = g_new0 (double, (gsize) diagram->n_nodes * 2);
  g_autofree double *sums = g_new0 (double, (gsize) n_levels * 2 + 2);
  Descent descent = { diagram, seed, weights, weights + diagram->n_nodes, { sums, n_levels } };

  for (guint i = 0; i < n_levels; i++)
    held[i] = (BlHeld){ 0, 0, 0 };
  enter (&descent, diagram->roots[root]);
  for (guint32 i = diagram->n_nodes; i-- > 1;)
    {
      const BlTableNode *node = &diagram->nodes[i];
      double straight = descent.straight[i], flipped = descent.flipped[i];
      if (straight == 0 && flipped == 0)
        continue;
      BlHeld *at = &held[node->level];
      at->if_true += follow (&descent, node->level, node->hi, straight, flipped, p[node->level]);
      at->if_false += follow (&descent, node->level, node->lo, straight, flipped, q[node->level]);
      at->slope += (straight - flipped) * rise (diagram, node->hi, node->lo);
    }
  for (guint i = 0; i < n_levels; i++)
    {
      double skipped = ranges_at (&descent.skipped, i);
      held[i].if_true += skipped;
      held[i].if_false += skipped;
      held[i].slope *= seed.slope;
    }
}
