/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-tree.h"

G_BEGIN_DECLS

/* What a cut set says, for a reader: "K1 contact open, alone"; "C4 open together with C5 open";
 * "Q1 short, alone, when Q1 short leads to F1 open". set: guint node indices, as in
 * BlTreeResult. Events are named by their title, else by their id. Returns: (transfer full). */
char *bl_tree_cut_set_words (const BlTree *tree, const GArray *set);

/* One way in which the top event comes about. */
typedef struct
{
  guint set;          /* index in the result's cut_sets */
  char *words;
  double probability; /* of all its events together, by their priors */
  double share;       /* of the top's probability; the shares of all sets may add up to more than 1,
                         since two sets can be there at once; 0 when the top is impossible */
} BlTreeWay;
void bl_tree_way_free (BlTreeWay *way);

/* The listed cut sets of result, the likeliest first, equal ones in their order. Empty when none
 * were asked for. Returns: (transfer full): BlTreeWay. */
GPtrArray *bl_tree_ways (const BlTree *tree, const BlTreeResult *result);

G_END_DECLS
