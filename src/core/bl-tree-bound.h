/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-tree-graph.h"

G_BEGIN_DECLS

/* Certain bounds of the probability of the first root given the other joint ones, where the exact
 * diagram is too large. p, q: by graph node, probability of an event and of its opposite. cap: nodes
 * kept of each function; the larger, the tighter and the slower. limit: bytes. Trivial bounds (0, 1)
 * are the worst answer, a wrong one is never given. Returns the results computed: what it cost. */
guint64 bl_graph_bound (const BlGraph *graph, const double *p, const double *q, guint32 cap, gsize limit,
                        double *least, double *most);

G_END_DECLS
