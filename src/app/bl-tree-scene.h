/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench.h"
#include "bl-tree-chart.h"
#include "bl-tree-words.h"

G_BEGIN_DECLS

/* A fault tree of the open job and what is known of each of its nodes. No display needed. */
typedef struct
{
  BlTree *tree;
  char *stage;        /* whose deviation it is of; NULL: the whole board */
  BlChartFact *facts; /* of each node; odds of gates may be NAN until the bench says "unions" */
  char ***below;      /* of each gate the own events below it, NULL where there are none */
  int leading;        /* event of the leading suspect, -1: none in this tree */
  BlTreeResult *result; /* before any reading, with cut sets up to order 2; NULL: too hard */
  GPtrArray *ways;    /* BlTreeWay, the likeliest first */
} BlTreeScene;

/* NULL where the board has no such stage or nothing that can fail. (transfer full) */
BlTreeScene *bl_tree_scene_new (BlBench *bench, const char *stage, GError **error);
void bl_tree_scene_free (BlTreeScene *scene);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlTreeScene, bl_tree_scene_free)

/* Its tree alone. (transfer full) */
BlTree *bl_tree_scene_derive (const BlBoard *board, const char *stage, GError **error);

/* Fills facts and leading from the bench as it is now. */
void bl_tree_scene_refresh (BlTreeScene *scene, BlBench *bench);

G_END_DECLS
