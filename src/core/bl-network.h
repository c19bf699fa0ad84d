/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-causes.h"

G_BEGIN_DECLS

/* The rounds of a job: what was replaced before each and under which condition it is measured. */
typedef struct
{
  guint n;
  char **conditions; /* of each round, NULL-terminated */
  guint *versions;   /* [round * parts + part]: how often the part was replaced before the round */
  guint n_parts;
} BlRounds;

#define bl_rounds_version(rounds, round, part) ((rounds)->versions[(round) * (rounds)->n_parts + (part)])

/* Nodes of the network. Every gate gathers a contribution from each input by a join that is
 * associative and commutative with identity 0; its value follows from what was gathered. */
typedef enum
{
  BL_NET_ROOT,  /* independent event: 0 or 1 */
  BL_NET_OR,    /* bits joined by or; value: the bits */
  BL_NET_AND,   /* bit 0 set by an input that is false; value: 1 when it isn't set */
  BL_NET_COUNT, /* stage that needs some of its feeds: see bl-network.c */
  BL_NET_FIRST  /* largest code wins: the class that shows */
} BlNetKind;

#define BL_NET_VALUES 16 /* values of a node that feeds another: below this */
#define BL_NET_NONE G_MAXUINT

typedef struct
{
  guint from;
  guint64 add[BL_NET_VALUES]; /* contribution of each value of from */
} BlNetEdge;

typedef struct
{
  BlNetKind kind;
  gboolean stage;    /* carries deviations: values are masks of 1 << BlDeviation */
  double p;          /* ROOT: probability of 1 */
  guint threshold;   /* COUNT */
  gboolean first_only; /* COUNT: nothing sees more than the first deviation */
  GArray *in;        /* BlNetEdge; NULL for a ROOT */
  GArray *out;       /* guint: nodes it feeds; filled by bl_network_finish () */
  guint8 canon[BL_NET_VALUES]; /* of a stage: representative of each mask */
  GArray *states;    /* guint64: what can be gathered; filled by bl_network_finish () */
  GArray *values;    /* guint: values that can occur; filled by bl_network_finish () */
} BlNetNode;

/* The kinds of roots, for looking them up again. */
typedef enum
{
  BL_ROOT_OWN,   /* a mode, b version */
  BL_ROOT_LINK,  /* a cause mode, b index in its links, c version of cause, d version of effect */
  BL_ROOT_SHOW,  /* a mode, b round */
  BL_ROOT_ELSEWHERE,
  BL_ROOT_SETUP  /* a number given by the caller */
} BlRootKind;

typedef struct
{
  const BlCauses *causes;
  const BlRounds *rounds;
  gboolean every_show; /* show events are taken as true */
  GPtrArray *nodes;    /* BlNetNode; an input has a smaller index than what it feeds */
  GPtrArray *on_stage, *on_measure; /* per target: GArray of guint pairs (mode, effect) */
  GHashTable *memo, *gates;
} BlNetwork;

BlNetwork *bl_network_new (const BlCauses *causes, const BlRounds *rounds, gboolean every_show);
void bl_network_free (BlNetwork *network);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlNetwork, bl_network_free)

#define bl_net_node(network, i) ((BlNetNode *) bl_at ((network)->nodes, (i)))

/* Each of these returns the node, made when it isn't there yet; BL_NET_NONE: it can only be 0. */
guint bl_network_root (BlNetwork *network, BlRootKind kind, guint a, guint b, guint c, guint d,
                       double p);
guint bl_network_own (BlNetwork *network, guint mode, guint version);
guint bl_network_present (BlNetwork *network, guint mode, guint round);
/* Deviations of a stage with the effects that hold in state (-1: every effect). */
guint bl_network_stage (BlNetwork *network, guint stage, int state, guint round);
/* The class a measurement shows in a round. wrong: roots that hide it when true. Always a node of
 * its own, whose values are codes. */
guint bl_network_measure (BlNetwork *network, guint measure, int state, guint round,
                          const guint *wrong, guint n_wrong);
/* The event of a symptom, "elsewhere" not among it. state -1: every effect. */
guint bl_network_symptom (BlNetwork *network, guint symptom, int state, guint round);
/* An or-gate of one bit over nodes, a node of its own; each is true where its value is not 0. */
guint bl_network_any (BlNetwork *network, const guint *nodes, guint n);

/* The root of these numbers when it was made; BL_NET_NONE otherwise. */
guint bl_network_find_root (BlNetwork *network, BlRootKind kind, guint a, guint b, guint c, guint d);

/* To be called once when every node is made: merges states that nothing can tell apart, and fills
 * out, states and values. */
void bl_network_finish (BlNetwork *network);

guint64 bl_net_join (const BlNetNode *node, guint64 a, guint64 b);
guint bl_net_close (const BlNetNode *node, guint64 state);

G_END_DECLS
