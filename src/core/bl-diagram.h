/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-node-table.h"

G_BEGIN_DECLS

/* A finished decision diagram: what bl_bdd_extract () copied out of the tables it was built in.
 * nodes[0] is true; children come before parents; edges as in bl-bdd.h. */
typedef struct
{
  BlTableNode *nodes;
  guint32 n_nodes;
  guint n_levels, n_roots;
  guint32 *roots;
  double *yes, *no; /* per node: probability that it is true and that it is false */
} BlDiagram;

BlDiagram *bl_diagram_new (guint32 n_nodes, guint n_levels, guint n_roots);
void bl_diagram_free (BlDiagram *diagram);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlDiagram, bl_diagram_free)

/* Fills yes and no; p and q: per level, probability of the variable and of its opposite. */
void bl_diagram_weigh (BlDiagram *diagram, const double *p, const double *q);

static inline double
bl_diagram_yes (const BlDiagram *diagram, guint32 edge)
{
  return edge & 1 ? diagram->no[edge >> 1] : diagram->yes[edge >> 1];
}

/* Probability that two functions of the weighed diagram are true together. */
double bl_diagram_both (const BlDiagram *diagram, guint32 f, guint32 g, const double *p,
                        const double *q);

/* What a value that depends on the diagram alone becomes when one variable is held. */
typedef struct
{
  double if_true, if_false; /* the value with the variable held true, false */
  double slope;             /* if_true - if_false, the difference taken as early as possible */
} BlHeld;

/* For each level: the expectation of a value that is `seed.if_true` where the root function is true
 * and `seed.if_false` where it is false, with the level's variable held. One pass over the diagram;
 * if_true and if_false are sums of terms without sign, so small ones keep their digits. */
void bl_diagram_hold (const BlDiagram *diagram, guint root, BlHeld seed, const double *p,
                      const double *q, BlHeld *held);

G_END_DECLS
