/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-room.h"

G_BEGIN_DECLS

/* An arithmetic circuit in the form of a tree of tables: every table is a leaf, or a sum of rows of
 * its one or products of rows of its two children. The probability of the evidence is the one row of
 * the root table; it is linear in every leaf table, since each table has one parent. */
typedef struct
{
  guint rows;
  int left, right, parent; /* children and parent; -1: none. A leaf has no children */
  guint first, n;          /* its terms */
  gboolean laned;          /* depends on a reading */
} BlCircuitTable;

typedef struct
{
  GArray *tables;       /* BlCircuitTable, children before parents */
  GArray *to, *of, *by; /* guint32 rows: value[to] += left[of] * right[by] */
  guint root;
  guint n_nodes;
  int *leaf;            /* of each node of the network its leaf table, -1: none */
  double *constant;     /* of each node, two weights of a leaf that is no reading, [2 * node + value] */
} BlCircuit;

void bl_circuit_free (BlCircuit *circuit);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlCircuit, bl_circuit_free)

BlCircuit *bl_circuit_copy (const BlCircuit *circuit); /* (transfer full) */

#define bl_circuit_table(circuit, i) (&g_array_index ((circuit)->tables, BlCircuitTable, (i)))

/* The tables to compute again when some tables change: those given, what depends on them, up to and
 * including top. */
typedef struct
{
  GArray *tables; /* guint, children before parents */
  GArray *given;  /* guint8, of each: it is changed by hand, not computed */
  guint top;      /* G_MAXUINT: nothing was given */
} BlCircuitPath;

/* The path from these tables, none below another, to their lowest common ancestor or to the root. */
BlCircuitPath *bl_circuit_path_new (const BlCircuit *circuit, const guint *given, guint n,
                                    gboolean to_root);
void bl_circuit_path_free (BlCircuitPath *path);

/* Marks the tables of which a downward pass computes derivatives so that those of targets are
 * known: the targets and all above. Returns: (transfer full) one flag per table. */
guint8 *bl_circuit_needed (const BlCircuit *circuit, const guint *targets, guint n);

/* Values and derivatives of a circuit for a number of assignments side by side ("lanes"). A table
 * that is not laned has one value a row, whatever the number of lanes. */
typedef struct
{
  const BlCircuit *circuit;
  BlRoom *room;
  guint lanes;
  gsize *offset;              /* of each table in the buffers */
  gsize size;
  double *base, *der;         /* values and derivatives */
  double *layers[2];          /* values along a path, and along a path while that one stands */
  guint depth;
  gsize *first_row;           /* of each table in the following */
  guint8 *live, *live_der;    /* of each row: it has a value, or a derivative, that is not zero */
  guint8 *on_path;            /* of each table, while bl_pass_strike_path () is at work */
  double **value;             /* of each table: into base, or into a layer while on a path */
  double *scale;              /* of each table a power of two that keeps it from underflow */
  int exponent;               /* the root is too large by 2^exponent */
} BlPass;

/* room: where its buffers come from, must outlive it; NULL: none. */
BlPass *bl_pass_new (const BlCircuit *circuit, BlRoom *room);
void bl_pass_free (BlPass *pass);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlPass, bl_pass_free)

/* Sets the number of lanes and fills the leaves that are no readings. */
void bl_pass_begin (BlPass *pass, guint lanes);
/* Values of a table: [row * lanes + lane] when laned, [row] otherwise. */
#define bl_pass_value(pass, table) ((pass)->value[table])
#define bl_pass_base(pass, table) ((pass)->base + (pass)->offset[table])
#define bl_pass_der(pass, table) ((pass)->der + (pass)->offset[table])
guint bl_pass_lanes (const BlPass *pass, guint table);

/* Makes to a copy of the values of from in some of its lanes only. */
void bl_pass_pick_lanes (BlPass *to, const BlPass *from, const guint *lanes, guint n);

/* Computes every table from the leaves. */
void bl_pass_up (BlPass *pass);
/* Derivatives of the sum over lanes of weight * root, for the tables marked needed (NULL: all). */
void bl_pass_down (BlPass *pass, const double *weights, const guint8 *needed);

/* Puts the given tables of a path aside, as copies that may be changed through bl_pass_value ();
 * then bl_pass_path_up () computes the rest of it. Until bl_pass_path_end () the path's tables stand
 * for the usual ones, also in bl_pass_down (). A second path may be begun while the first
 * stands; when it ends, the first is given as before (otherwise NULL). */
void bl_pass_path_begin (BlPass *pass, const BlCircuitPath *path);
void bl_pass_path_up (BlPass *pass, const BlCircuitPath *path);
void bl_pass_path_end (BlPass *pass, const BlCircuitPath *path, const BlCircuitPath *before);

/* What depends on one leaf alone, for asking about each of its rows in turn: path leads from a leaf with lanes to
 * the root. First the derivatives of the tables on the path: they are the same whatever the leaf's values
 * are, and those of the leaf itself are the root's values with only that row. */
void bl_pass_down_path (BlPass *pass, const BlCircuitPath *path, const double *weights);
/* Then, with only that row of the leaf left, the derivatives of the needed tables beside the path, 2 where it
 * is one to be looked at (the rest is for going on). Rows that the leaf's row has nothing to do with are passed
 * over: often most of them. A path must stand; its values are good for bl_pass_value () afterwards. */
void bl_pass_strike_path (BlPass *pass, const BlCircuitPath *path, guint row, const guint8 *needed);

/* Leaves out terms that add less than least to the root, and the rows that then nothing needs; pass: of this circuit, with
 * values and all derivatives. It does not fit the circuit afterwards. Tables and the rows of leaves stay. */
void bl_circuit_trim (BlCircuit *circuit, const BlPass *pass, double least);

/* Sum over lanes of weight * root. */
double bl_pass_total (const BlPass *pass, const double *weights);

G_END_DECLS
