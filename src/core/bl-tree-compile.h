/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-diagram.h"
#include "bl-tree-graph.h"

G_BEGIN_DECLS

/* A module with its decision diagram. */
typedef struct
{
  guint32 node;       /* graph node it stands for; 0: the whole */
  guint32 *leaves;    /* by level: graph node of an event or of an inner part */
  guint n_leaves;
  BlDiagram *diagram; /* root 0: the function; of the whole with conditions: root 0 is the first
                         graph root AND the other joint ones, root 1 those others; of a whole with
                         more roots than joint ones: root 0 and 1 as said, then the others */
} BlPart;

/* A whole tree compiled: the parts, inner before outer. */
typedef struct
{
  BlGraph *graph;
  GPtrArray *parts;   /* BlPart */
  guint32 *part_of;   /* by graph node: index in parts + 1, 0: none */
} BlCompiled;

/* Compiles graph (transfer full). limit: bytes. NULL with BL_CORE_ERROR_TOO_HARD. (transfer full) */
BlCompiled *bl_compiled_new (BlGraph *graph, gsize limit, GError **error);
void bl_compiled_free (BlCompiled *compiled);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlCompiled, bl_compiled_free)

static inline BlPart *
bl_compiled_part (const BlCompiled *compiled, guint i)
{
  return g_ptr_array_index (compiled->parts, i);
}

/* Bytes the finished diagrams take. */
gsize bl_compiled_bytes (const BlCompiled *compiled);

G_END_DECLS
