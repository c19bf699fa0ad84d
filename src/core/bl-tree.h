/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"

G_BEGIN_DECLS

typedef enum
{
  BL_NODE_EVENT, /* basic event with a probability */
  BL_NODE_CONST, /* always true or false */
  BL_NODE_AND,
  BL_NODE_OR,
  BL_NODE_NOT,
  BL_NODE_XOR,
  BL_NODE_ATLEAST,
  BL_NODE_NAND,
  BL_NODE_NOR,
  BL_NODE_PASS
} BlNodeKind;

typedef struct
{
  char *id, *title;     /* title: what is wrong there, in words; may be NULL */
  BlNodeKind kind;
  guint k;              /* minimum of ATLEAST */
  double probability;   /* of an EVENT; 0 or 1 for a CONST */
  GArray *children;     /* guint indices into nodes */
  char *stage;          /* board tree: stage of a gate, or NULL */
  int deviation;        /* board tree: BlDeviation of the gate, or -1 */
  char *component, *mode; /* board tree: of a basic event, or NULL */
} BlNode;

/* A soft reading of a node: likelihood of what was seen if the node is true, if it is false. */
typedef struct
{
  guint node;
  double if_true, if_false; /* not negative, not both 0; only their ratio counts */
} BlSoftReading;

/* A fault tree: a directed acyclic graph of gates over independent basic events. */
typedef struct
{
  GPtrArray *nodes; /* BlNode */
  guint top;        /* index of the top event */
  GArray *readings; /* BlSoftReading, evidence that every evaluation takes in; NULL: none */
} BlTree;
void bl_tree_free (BlTree *tree);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlTree, bl_tree_free)

/* Reads the text form, one fact per line ("top", "gate", "event", "const", "obs"; # comments).
 * Errors name the line. (transfer full) */
BlTree *bl_tree_parse (const char *text, gssize length, GError **error);

/* Reads a fault tree in the Open-PSA Model Exchange Format (XML). Errors name the line. (transfer
 * full) */
BlTree *bl_tree_parse_mef (const char *text, gssize length, GError **error);
/* The same of a model with several top gates: top is the gate (or event) wanted; NULL: the only one. */
BlTree *bl_tree_parse_mef_top (const char *text, gssize length, const char *top, GError **error);

/* Writes the tree in the text form, or in the Open-PSA Model Exchange Format. A name that the form
 * does not take is changed; the exchange format then keeps title and id as label and attribute. Read
 * back, the tree has the same probabilities to the last digit. The exchange format holds no soft
 * readings: BL_CORE_ERROR_INVALID. (transfer full) */
char *bl_tree_to_text (const BlTree *tree);
char *bl_tree_to_mef (const BlTree *tree, GError **error);

/* Index of the node named id; -1: none. */
int bl_tree_find (const BlTree *tree, const char *id);

/* The own events below a node, or its own: "COMPONENT:MODE" each, in the order of the tree's nodes.
 * NULL: there are none. (transfer full) */
char **bl_tree_own_events (const BlTree *tree, guint node);

/* The tree of one stage deviation (model section 2), with the effects that hold in state (NULL:
 * all). deviations is a mask of 1 << BlDeviation: the top is their OR. (transfer full) */
BlTree *bl_tree_from_board (const BlBoard *board, const char *stage, guint deviations, const char *state,
                            GError **error);

/* The tree of the whole board by where the fault sits: sections, stages, components, modes, all under OR.
 * Gates of stages name their stage, gates of components their component (and no mode), and those of
 * sections have the id "section:ID". BL_CORE_ERROR_INVALID
 * when there is nothing that can fail. (transfer full) */
BlTree *bl_tree_of_whole_board (const BlBoard *board, GError **error);

typedef struct
{
  guint node; /* index in the tree */
  /* Q: probability of the top, Q1 and Q0 the same with the event true and false. Everything under
   * the givens; 0 where Q is 0, NAN where the condition is impossible. */
  double prior, posterior; /* posterior: of the event given the top, diagnostic importance */
  double birnbaum;         /* Q1 - Q0 */
  double fussell_vesely;   /* (Q - Q0) / Q: the definition by probability, not by cut sets */
  double criticality;      /* P(event) (Q1 - Q0) / Q; of independent events the same number */
  double risk_achievement; /* Q1 / Q */
  double risk_reduction;   /* Q / Q0; INFINITY when the top needs the event */
} BlEventResult;

typedef struct
{
  double probability;   /* of the top event, the givens true */
  GArray *events;       /* BlEventResult in order of the tree's events */
  GPtrArray *cut_sets;  /* GArray of guint node indices each, by order then document; NULL: not asked */
  char *cut_set_count;  /* exact, decimal; may exceed 64 bits; NULL: a gate given or a soft reading,
                           or too hard */
  gboolean coherent;    /* no negation or exclusive or, no gate given, no soft reading: cut sets say
                           all there is to say. With negations a cut set is a smallest set of events
                           that makes the top true when no other happens (minimal p-cut: the
                           events that a prime implicant needs not to happen are left out of it) */
  gboolean conditioned; /* a gate given or a soft reading: no cut sets */
  GArray *node_probability; /* double by node: given the givens and readings, NULL: not asked */
  GArray *node_posterior;   /* double by node: given the top, too; 0 when that is impossible */
} BlTreeResult;
void bl_tree_result_free (BlTreeResult *result);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlTreeResult, bl_tree_result_free)

typedef struct
{
  guint node;
  gboolean value;
} BlGiven;

/* A cut_set_order for when cut sets are neither listed nor counted: counting takes longer than all
 * the rest on many trees. */
#define BL_TREE_NO_CUT_SETS G_MAXUINT

/* Evaluates the tree. givens: BlGiven (NULL: none), events or gates. cut_set_order: list minimal cut
 * sets up to this order (0: none listed). memory_limit in bytes (0: 1 GiB); beyond it
 * BL_CORE_ERROR_TOO_HARD with a bound in the message. (transfer full) */
BlTreeResult *bl_tree_evaluate (const BlTree *tree, const GArray *givens, guint cut_set_order,
                                gsize memory_limit, GError **error);

/* Fills node_probability and node_posterior of the result of the same tree and givens: of gates as
 * well as of events. All gates share one diagram here, so it is meant for trees of the size of a
 * board's; memory_limit as above. FALSE with BL_CORE_ERROR_TOO_HARD or _IMPOSSIBLE. */
gboolean bl_tree_weigh_nodes (const BlTree *tree, const GArray *givens, gsize memory_limit, BlTreeResult *result,
                              GError **error);

/* The object of `tree --json`. Returns: (transfer full). */
char *bl_tree_result_to_json (const BlTree *tree, const BlTreeResult *result);

G_END_DECLS
