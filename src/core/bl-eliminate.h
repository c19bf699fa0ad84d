/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-circuit.h"
#include "bl-network.h"
#include "bl-room.h"

G_BEGIN_DECLS

/* What the caller adds to the network; each array has one element per node. */
typedef struct
{
  gboolean *reading;    /* a FIRST gate whose values get weights later */
  gboolean *marked;     /* a gate whose values 0 and 1 get a leaf of their own, weight as below */
  double (*weight)[2];  /* factor of value 0 and of any other value; 1 where there is no evidence */
  gboolean *counted;    /* a root of which at least one must be true */
  guint *group;         /* roots of the same group are brought together first; G_MAXUINT: none */
  /* What was read, where the circuit is to serve this one evidence only; see bl_eliminate (). */
  guint lanes;          /* 0: not known */
  const double *lane_weights;
  double **value;       /* of each reading its leaf's rows, [row * lanes + lane], at most 1; NULL: 1 */
  double least;         /* rows that cannot add this much to the root are left out */
  BlRoom *room;         /* for buffers, NULL: none */
  gboolean by_fields; /* the order of elimination goes by the fields of a factor alone, not by its rows */
} BlEvidenceNodes;

/* Compiles the network into a circuit whose root is the joint probability of the evidence and of
 * at least one counted root being true. max_terms bounds its size: beyond it
 * BL_CORE_ERROR_TOO_HARD. cancel: as in bl_engine_diagnose ().
 *
 * With evidence->lanes set, rows whose weight times the most that the readings still to come can
 * leave of it is below evidence->least are left out. Weights are probabilities times likelihoods of
 * at most 1, so what is left out is known to be that little: it is chosen so small that no figure
 * changes in the digits a double can hold. total (may be NULL) is then set to the root's value, summed
 * over the lanes. (transfer full) */
BlCircuit *bl_eliminate (const BlNetwork *network, const BlEvidenceNodes *evidence, gsize max_terms,
                         double *total, const int *cancel, GError **error);

G_END_DECLS
