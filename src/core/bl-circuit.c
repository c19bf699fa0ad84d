/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Evaluation of the circuit that bl-eliminate.c compiled: one upward pass for values, one downward
 * pass for derivatives (A. Darwiche, A differential approach to inference in Bayesian networks,
 * 2003; from memory). All terms are sums of products of non-negative numbers, so nothing cancels.
 *
 * This is where the time goes: some 10^4 to 10^6 terms, each for up to 64 lanes. The lanes lie next
 * to each other in memory and the inner loops run over them, so that the compiler can use vector
 * instructions. Tables without a reading below them don't depend on the lane and are kept once.
 *
 * Tables are rescaled by powers of two when they become very small: with many contradictory
 * readings their products would leave the range of a double. The same scale is used along a path,
 * so ratios stay right.
 *
 * Over 600 lines because the passes up, down and along a path share the inner loops, which the compiler has to
 * see in one place to make them wide. */
#include "config.h"

#include "bl-circuit.h"

#include <math.h>
#include <string.h>

/* By what the processor can do: a name of a processor would mean that one alone. */
#if defined __x86_64__ && defined __linux__ && !defined __SANITIZE_ADDRESS__ && !defined __clang__
#define WIDE __attribute__ ((target_clones ("avx2", "default")))
#else
#define WIDE
#endif

/* Four lanes at once. Compilers make vector instructions of plain loops only where they know how often
 * those run. */
typedef double Four __attribute__ ((vector_size (32), aligned (8), may_alias));
#define four(lanes) (*(Four *) (lanes))
#define four_of(lanes) (*(const Four *) (lanes))
#define INLINE static inline __attribute__ ((always_inline))

INLINE void
add_same (double *restrict to, const double *restrict x, guint lanes)
{
  guint l = 0;
  for (; l + 4 <= lanes; l += 4)
    four (to + l) += four_of (x + l);
  for (; l < lanes; l++)
    to[l] += x[l];
}

INLINE void
add_scaled (double *restrict to, const double *restrict x, double by, guint lanes)
{
  guint l = 0;
  for (; l + 4 <= lanes; l += 4)
    four (to + l) += four_of (x + l) * by;
  for (; l < lanes; l++)
    to[l] += x[l] * by;
}

INLINE void
add_product (double *restrict to, const double *restrict x, const double *restrict y, guint lanes)
{
  guint l = 0;
  for (; l + 4 <= lanes; l += 4)
    four (to + l) += four_of (x + l) * four_of (y + l);
  for (; l < lanes; l++)
    to[l] += x[l] * y[l];
}

INLINE double
sum_product (const double *restrict x, const double *restrict y, guint lanes)
{
  Four sums = { 0 };
  double sum = 0;
  guint l = 0;
  for (; l + 4 <= lanes; l += 4)
    sums += four_of (x + l) * four_of (y + l);
  for (; l < lanes; l++)
    sum += x[l] * y[l];
  return sum + ((sums[0] + sums[1]) + (sums[2] + sums[3]));
}

void
bl_circuit_free (BlCircuit *circuit)
{
  if (circuit == NULL)
    return;
  g_clear_pointer (&circuit->tables, g_array_unref);
  g_clear_pointer (&circuit->to, g_array_unref);
  g_clear_pointer (&circuit->of, g_array_unref);
  g_clear_pointer (&circuit->by, g_array_unref);
  g_free (circuit->leaf);
  g_free (circuit->constant);
  g_free (circuit);
}

BlCircuit *
bl_circuit_copy (const BlCircuit *circuit)
{
  BlCircuit *copy = g_memdup2 (circuit, sizeof *circuit);
  copy->tables = g_array_copy (circuit->tables);
  copy->to = g_array_copy (circuit->to);
  copy->of = g_array_copy (circuit->of);
  copy->by = g_array_copy (circuit->by);
  copy->leaf = g_memdup2 (circuit->leaf, (circuit->n_nodes + 1) * sizeof (int));
  copy->constant = g_memdup2 (circuit->constant, (2 * circuit->n_nodes + 2) * sizeof (double));
  return copy;
}

/* --- paths --- */

/* Tables have smaller numbers than their parents, so always moving the smallest of the fronts up
 * merges them at their lowest common ancestor. */
BlCircuitPath *
bl_circuit_path_new (const BlCircuit *circuit, const guint *given, guint n, gboolean to_root)
{
  BlCircuitPath *path = g_new0 (BlCircuitPath, 1);
  g_autofree guint8 *seen = g_new0 (guint8, circuit->tables->len);
  guint fronts = 0, lowest = G_MAXUINT;
  path->tables = g_array_new (FALSE, FALSE, sizeof (guint));
  path->top = G_MAXUINT;
  path->given = g_array_new (FALSE, FALSE, sizeof (guint8));
  for (guint i = 0; i < n; i++)
    if (!seen[given[i]])
      {
        seen[given[i]] = 3;
        lowest = MIN (lowest, given[i]);
        fronts++;
      }
  for (guint t = lowest; fronts > 0 && t < circuit->tables->len; t++)
    {
      if (!seen[t])
        continue;
      int parent = bl_circuit_table (circuit, t)->parent;
      guint8 by_hand = seen[t] == 3;
      g_array_append_val (path->tables, t);
      g_array_append_val (path->given, by_hand);
      path->top = t;
      if (parent < 0 || (fronts == 1 && !to_root))
        break;
      fronts -= seen[parent] != 0;
      seen[parent] |= 1;
    }
  return path;
}

void
bl_circuit_path_free (BlCircuitPath *path)
{
  if (path == NULL)
    return;
  g_array_unref (path->tables);
  g_array_unref (path->given);
  g_free (path);
}

guint8 *
bl_circuit_needed (const BlCircuit *circuit, const guint *targets, guint n)
{
  guint8 *needed = g_new0 (guint8, circuit->tables->len);
  for (guint i = 0; i < n; i++)
    for (int t = (int) targets[i]; t >= 0 && !needed[t]; t = bl_circuit_table (circuit, t)->parent)
      needed[t] = 1;
  return needed;
}

/* --- buffers --- */

BlPass *
bl_pass_new (const BlCircuit *circuit, BlRoom *room)
{
  BlPass *pass = g_new0 (BlPass, 1);
  guint n = circuit->tables->len;
  pass->circuit = circuit;
  pass->room = room;
  pass->offset = g_new0 (gsize, n + 1);
  pass->value = g_new0 (double *, n);
  pass->scale = g_new0 (double, n);
  return pass;
}

static void
give_buffers (BlPass *pass)
{
  bl_room_give (pass->room, pass->base);
  bl_room_give (pass->room, pass->der);
  bl_room_give (pass->room, g_steal_pointer (&pass->layers[0]));
  bl_room_give (pass->room, g_steal_pointer (&pass->layers[1]));
}

void
bl_pass_free (BlPass *pass)
{
  if (pass == NULL)
    return;
  give_buffers (pass);
  g_free (pass->offset);
  g_free (pass->first_row);
  g_free (pass->live);
  g_free (pass->live_der);
  g_free (pass->on_path);
  g_free (pass->value);
  g_free (pass->scale);
  g_free (pass);
}

guint
bl_pass_lanes (const BlPass *pass, guint table)
{
  return bl_circuit_table (pass->circuit, table)->laned ? pass->lanes : 1;
}

static void
fill_constants (BlPass *pass)
{
  const BlCircuit *circuit = pass->circuit;
  for (guint t = 0; t < circuit->tables->len; t++)
    if (bl_circuit_table (circuit, t)->left < 0 && !bl_circuit_table (circuit, t)->laned)
      bl_pass_base (pass, t)[0] = 1; /* of a leaf that stands for nothing */
  for (guint node = 0; node < circuit->n_nodes; node++)
    {
      int t = circuit->leaf[node];
      if (t < 0 || bl_circuit_table (circuit, t)->laned)
        continue;
      bl_pass_base (pass, t)[0] = circuit->constant[2 * node];
      if (bl_circuit_table (circuit, t)->rows > 1)
        bl_pass_base (pass, t)[1] = circuit->constant[2 * node + 1];
    }
}

void
bl_pass_begin (BlPass *pass, guint lanes)
{
  guint n = pass->circuit->tables->len;
  pass->depth = 0;
  if (pass->lanes != lanes)
    {
      gsize size = 0;
      pass->lanes = lanes;
      for (guint t = 0; t < n; t++)
        {
          pass->offset[t] = size;
          size += (gsize) bl_circuit_table (pass->circuit, t)->rows * bl_pass_lanes (pass, t);
        }
      give_buffers (pass);
      pass->size = size;
      pass->base = bl_room_take (pass->room, size * sizeof (double));
      pass->der = bl_room_take (pass->room, size * sizeof (double));
    }
  for (guint t = 0; t < n; t++)
    {
      pass->value[t] = bl_pass_base (pass, t);
      pass->scale[t] = 1;
    }
  fill_constants (pass);
}

void
bl_pass_pick_lanes (BlPass *to, const BlPass *from, const guint *lanes, guint n)
{
  const BlCircuit *circuit = from->circuit;
  bl_pass_begin (to, n);
  to->exponent = from->exponent;
  for (guint t = 0; t < circuit->tables->len; t++)
    {
      guint rows = bl_circuit_table (circuit, t)->rows;
      const double *source = bl_pass_base (from, t);
      double *target = bl_pass_base (to, t);
      to->scale[t] = from->scale[t];
      if (!bl_circuit_table (circuit, t)->laned)
        memcpy (target, source, rows * sizeof *target);
      else
        for (gsize r = 0; r < rows; r++)
          for (guint l = 0; l < n; l++)
            target[r * n + l] = source[r * from->lanes + lanes[l]];
    }
}

/* --- up --- */

typedef struct
{
  const guint32 *to, *of, *by;
  guint n, lanes;
} Terms;

static Terms
terms_of (const BlPass *pass, const BlCircuitTable *table)
{
  const BlCircuit *circuit = pass->circuit;
  return (Terms){ (const guint32 *) (void *) circuit->to->data + table->first,
                  (const guint32 *) (void *) circuit->of->data + table->first,
                  (const guint32 *) (void *) circuit->by->data + table->first, table->n,
                  table->laned ? pass->lanes : 1 };
}

WIDE static void
up_copy (Terms terms, double *restrict out, const double *restrict a)
{
  guint lanes = terms.lanes;
  for (guint t = 0; t < terms.n; t++)
    add_same (out + (gsize) terms.to[t] * lanes, a + (gsize) terms.of[t] * lanes, lanes);
}

/* One factor is the same in all lanes; rows of it are given by one. */
WIDE static void
up_one (Terms terms, double *restrict out, const double *restrict same, const guint32 *row_same,
        const double *restrict a, const guint32 *row)
{
  guint lanes = terms.lanes;
  for (guint t = 0; t < terms.n; t++)
    add_scaled (out + (gsize) terms.to[t] * lanes, a + (gsize) row[t] * lanes, same[row_same[t]], lanes);
}

WIDE static void
up_both (Terms terms, double *restrict out, const double *restrict a, const double *restrict b)
{
  guint lanes = terms.lanes;
  for (guint t = 0; t < terms.n; t++)
    add_product (out + (gsize) terms.to[t] * lanes, a + (gsize) terms.of[t] * lanes, b + (gsize) terms.by[t] * lanes,
                 lanes);
}

static void
up_table (BlPass *pass, guint index, double *out)
{
  const BlCircuitTable *table = bl_circuit_table (pass->circuit, index);
  Terms terms = terms_of (pass, table);
  memset (out, 0, (gsize) table->rows * terms.lanes * sizeof (double));
  const double *left = pass->value[table->left];
  if (table->right < 0)
    {
      up_copy (terms, out, left);
      return;
    }
  const double *right = pass->value[table->right];
  gboolean left_laned = bl_circuit_table (pass->circuit, table->left)->laned;
  gboolean right_laned = bl_circuit_table (pass->circuit, table->right)->laned;
  if (left_laned && right_laned)
    up_both (terms, out, left, right);
  else if (left_laned)
    up_one (terms, out, right, terms.by, left, terms.of);
  else
    up_one (terms, out, left, terms.of, right, terms.by);
}

static double
largest (const double *values, gsize n)
{
  double max = 0;
  for (gsize i = 0; i < n; i++)
    max = values[i] > max ? values[i] : max;
  return max;
}

static void
multiply (double *values, gsize n, double by)
{
  for (gsize i = 0; i < n; i++)
    values[i] *= by;
}

void
bl_pass_up (BlPass *pass)
{
  pass->exponent = 0;
  for (guint t = 0; t < pass->circuit->tables->len; t++)
    {
      const BlCircuitTable *table = bl_circuit_table (pass->circuit, t);
      if (table->left < 0)
        continue;
      gsize n = (gsize) table->rows * bl_pass_lanes (pass, t);
      double *out = bl_pass_base (pass, t);
      up_table (pass, t, out);
      double max = largest (out, n);
      if (max > 0 && max < 0x1p-200)
        {
          int up = -ilogb (max);
          pass->scale[t] = ldexp (1, up);
          pass->exponent += up;
          multiply (out, n, pass->scale[t]);
        }
    }
}

void
bl_pass_path_begin (BlPass *pass, const BlCircuitPath *path)
{
  g_assert (pass->depth < G_N_ELEMENTS (pass->layers));
  double **layer = &pass->layers[pass->depth++];
  if (*layer == NULL)
    *layer = bl_room_take (pass->room, pass->size * sizeof (double));
  for (guint i = 0; i < path->tables->len; i++)
    {
      guint t = g_array_index (path->tables, guint, i);
      double *to = *layer + pass->offset[t];
      if (g_array_index (path->given, guint8, i))
        memcpy (to, pass->value[t], (gsize) bl_circuit_table (pass->circuit, t)->rows
                                      * bl_pass_lanes (pass, t) * sizeof (double));
      pass->value[t] = to;
    }
}

void
bl_pass_path_up (BlPass *pass, const BlCircuitPath *path)
{
  for (guint i = 0; i < path->tables->len; i++)
    {
      guint t = g_array_index (path->tables, guint, i);
      if (g_array_index (path->given, guint8, i))
        continue;
      up_table (pass, t, pass->value[t]);
      if (pass->scale[t] != 1)
        multiply (pass->value[t], (gsize) bl_circuit_table (pass->circuit, t)->rows
                                    * bl_pass_lanes (pass, t), pass->scale[t]);
    }
}

/* Ends the path begun last; where the one before it covers a table too, that one's values stand. */
void
bl_pass_path_end (BlPass *pass, const BlCircuitPath *path, const BlCircuitPath *before)
{
  g_assert (pass->depth > 0);
  pass->depth--;
  for (guint i = 0; i < path->tables->len; i++)
    {
      guint t = g_array_index (path->tables, guint, i);
      pass->value[t] = bl_pass_base (pass, t);
    }
  for (guint i = 0; before != NULL && i < before->tables->len; i++)
    {
      guint t = g_array_index (before->tables, guint, i);
      pass->value[t] = pass->layers[0] + pass->offset[t];
    }
}

double
bl_pass_total (const BlPass *pass, const double *weights)
{
  const double *root = pass->value[pass->circuit->root];
  double total = 0;
  if (!bl_circuit_table (pass->circuit, pass->circuit->root)->laned)
    return root[0];
  for (guint l = 0; l < pass->lanes; l++)
    total += weights[l] * root[l];
  return total;
}

/* --- down --- */

WIDE static void
down_copy (Terms terms, const double *restrict der, double *restrict to)
{
  guint lanes = terms.lanes;
  for (guint t = 0; t < terms.n; t++)
    add_same (to + (gsize) terms.of[t] * lanes, der + (gsize) terms.to[t] * lanes, lanes);
}

/* To a child with lanes, past a factor that is the same in all lanes. */
WIDE static void
down_past_one (Terms terms, const double *restrict der, const double *restrict same,
               const guint32 *row_same, double *restrict to, const guint32 *row)
{
  guint lanes = terms.lanes;
  for (guint t = 0; t < terms.n; t++)
    add_scaled (to + (gsize) row[t] * lanes, der + (gsize) terms.to[t] * lanes, same[row_same[t]], lanes);
}

/* To a child without lanes, past a factor with lanes. */
WIDE static void
down_to_one (Terms terms, const double *restrict der, const double *restrict past,
             const guint32 *row_past, double *restrict to, const guint32 *row)
{
  guint lanes = terms.lanes;
  for (guint t = 0; t < terms.n; t++)
    to[row[t]] += sum_product (der + (gsize) terms.to[t] * lanes, past + (gsize) row_past[t] * lanes, lanes);
}

WIDE static void
down_past (Terms terms, const double *restrict der, const double *restrict past,
           const guint32 *row_past, double *restrict to, const guint32 *row)
{
  guint lanes = terms.lanes;
  for (guint t = 0; t < terms.n; t++)
    add_product (to + (gsize) row[t] * lanes, der + (gsize) terms.to[t] * lanes, past + (gsize) row_past[t] * lanes,
                 lanes);
}

static void
down_child (BlPass *pass, const BlCircuitTable *table, const double *der, gboolean left)
{
  const BlCircuit *circuit = pass->circuit;
  Terms terms = terms_of (pass, table);
  int child = left ? table->left : table->right, sibling = left ? table->right : table->left;
  double *to = bl_pass_der (pass, child);
  memset (to, 0, (gsize) bl_circuit_table (circuit, child)->rows * bl_pass_lanes (pass, child)
                   * sizeof (double));
  const guint32 *row = left ? terms.of : terms.by, *row_past = left ? terms.by : terms.of;
  if (sibling < 0)
    down_copy (terms, der, to);
  else if (!bl_circuit_table (circuit, sibling)->laned)
    down_past_one (terms, der, pass->value[sibling], row_past, to, row);
  else if (!bl_circuit_table (circuit, child)->laned)
    down_to_one (terms, der, pass->value[sibling], row_past, to, row);
  else
    down_past (terms, der, pass->value[sibling], row_past, to, row);
}

void
bl_pass_down (BlPass *pass, const double *weights, const guint8 *needed)
{
  const BlCircuit *circuit = pass->circuit;
  double *root = bl_pass_der (pass, circuit->root);
  if (bl_circuit_table (circuit, circuit->root)->laned)
    memcpy (root, weights, pass->lanes * sizeof (double));
  else
    root[0] = 1;
  for (guint t = circuit->root + 1; t-- > 0;)
    {
      const BlCircuitTable *table = bl_circuit_table (circuit, t);
      if (table->left < 0 || (needed != NULL && !needed[t]))
        continue;
      double *der = bl_pass_der (pass, t);
      if (pass->scale[t] != 1)
        multiply (der, (gsize) table->rows * bl_pass_lanes (pass, t), pass->scale[t]);
      if (needed == NULL || needed[table->left])
        down_child (pass, table, der, TRUE);
      if (table->right >= 0 && (needed == NULL || needed[table->right]))
        down_child (pass, table, der, FALSE);
    }
}

/* --- one row of a leaf --- */

/* What a kernel needs to know of the rows that count; NULL: all do. Rows are written for the first time or added
 * to, so that those which nothing reaches cost nothing. */
typedef struct
{
  const guint8 *from;                /* of the rows that terms.to names, on the way down */
  const guint8 *past;                /* of the path's rows */
  const guint32 *row_past;
  guint8 *reached;                   /* of the rows written */
} Live;

INLINE gboolean
counts (const Live *live, const Terms *terms, guint t)
{
  return (live->from == NULL || live->from[terms->to[t]]) && (live->past == NULL || live->past[live->row_past[t]]);
}

INLINE void
set_same (double *restrict to, const double *restrict x, guint lanes)
{
  for (guint l = 0; l < lanes; l++)
    to[l] = x[l];
}

INLINE void
set_scaled (double *restrict to, const double *restrict x, double by, guint lanes)
{
  guint l = 0;
  for (; l + 4 <= lanes; l += 4)
    four (to + l) = four_of (x + l) * by;
  for (; l < lanes; l++)
    to[l] = x[l] * by;
}

INLINE void
set_product (double *restrict to, const double *restrict x, const double *restrict y, guint lanes)
{
  guint l = 0;
  for (; l + 4 <= lanes; l += 4)
    four (to + l) = four_of (x + l) * four_of (y + l);
  for (; l < lanes; l++)
    to[l] = x[l] * y[l];
}

/* Of a table that is the sum of one. */
WIDE static void
live_copy (Terms terms, Live live, double *restrict to, const guint32 *row, const double *restrict x,
           const guint32 *row_x)
{
  guint lanes = terms.lanes;
  for (guint t = 0; t < terms.n; t++)
    {
      guint at = row[t];
      if (!counts (&live, &terms, t))
        continue;
      if (live.reached[at])
        add_same (to + (gsize) at * lanes, x + (gsize) row_x[t] * lanes, lanes);
      else
        set_same (to + (gsize) at * lanes, x + (gsize) row_x[t] * lanes, lanes);
      live.reached[at] = 1;
    }
}

/* A factor that is the same in all lanes. */
WIDE static void
live_one (Terms terms, Live live, double *restrict to, const guint32 *row, const double *restrict x,
          const guint32 *row_x, const double *restrict same, const guint32 *row_same)
{
  guint lanes = terms.lanes;
  for (guint t = 0; t < terms.n; t++)
    {
      guint at = row[t];
      if (!counts (&live, &terms, t))
        continue;
      if (live.reached[at])
        add_scaled (to + (gsize) at * lanes, x + (gsize) row_x[t] * lanes, same[row_same[t]], lanes);
      else
        set_scaled (to + (gsize) at * lanes, x + (gsize) row_x[t] * lanes, same[row_same[t]], lanes);
      live.reached[at] = 1;
    }
}

WIDE static void
live_both (Terms terms, Live live, double *restrict to, const guint32 *row, const double *restrict x,
           const guint32 *row_x, const double *restrict y, const guint32 *row_y)
{
  guint lanes = terms.lanes;
  for (guint t = 0; t < terms.n; t++)
    {
      guint at = row[t];
      if (!counts (&live, &terms, t))
        continue;
      if (live.reached[at])
        add_product (to + (gsize) at * lanes, x + (gsize) row_x[t] * lanes, y + (gsize) row_y[t] * lanes, lanes);
      else
        set_product (to + (gsize) at * lanes, x + (gsize) row_x[t] * lanes, y + (gsize) row_y[t] * lanes, lanes);
      live.reached[at] = 1;
    }
}

/* To a table without lanes, down from one with them. */
WIDE static void
live_to_one (Terms terms, Live live, double *restrict to, const guint32 *row, const double *restrict x,
             const guint32 *row_x, const double *restrict y, const guint32 *row_y)
{
  guint lanes = terms.lanes;
  for (guint t = 0; t < terms.n; t++)
    {
      guint at = row[t];
      if (!counts (&live, &terms, t))
        continue;
      double sum = sum_product (x + (gsize) row_x[t] * lanes, y + (gsize) row_y[t] * lanes, lanes);
      to[at] = live.reached[at] ? to[at] + sum : sum;
      live.reached[at] = 1;
    }
}

/* Rows that nothing reached are zero, where they will be looked at. */
static void
clear_rest (double *values, const guint8 *reached, guint rows, guint lanes)
{
  for (guint r = 0; r < rows; r++)
    if (!reached[r])
      memset (values + (gsize) r * lanes, 0, lanes * sizeof *values);
}

static void
make_live (BlPass *pass)
{
  const BlCircuit *circuit = pass->circuit;
  gsize rows = 0;
  if (pass->live != NULL)
    return;
  pass->first_row = g_new (gsize, circuit->tables->len + 1);
  for (guint t = 0; t < circuit->tables->len; t++)
    {
      pass->first_row[t] = rows;
      rows += bl_circuit_table (circuit, t)->rows;
    }
  pass->live = g_new (guint8, rows + 1);
  pass->live_der = g_new (guint8, rows + 1);
  pass->on_path = g_new0 (guint8, circuit->tables->len + 1);
}

void
bl_pass_down_path (BlPass *pass, const BlCircuitPath *path, const double *weights)
{
  make_live (pass);
  for (guint i = 0; i < path->tables->len; i++)
    pass->on_path[g_array_index (path->tables, guint, i)] = 1;
  bl_pass_down (pass, weights, pass->on_path);
  for (guint i = 0; i < path->tables->len; i++)
    pass->on_path[g_array_index (path->tables, guint, i)] = 0;
}

/* A table of the path from the child on it. */
static void
strike_table (BlPass *pass, guint index)
{
  const BlCircuitTable *table = bl_circuit_table (pass->circuit, index);
  Terms terms = terms_of (pass, table);
  gboolean left = pass->on_path[table->left];
  int child = left ? table->left : table->right, beside = left ? table->right : table->left;
  const guint32 *row = left ? terms.of : terms.by, *row_beside = left ? terms.by : terms.of;
  guint8 *live = pass->live + pass->first_row[index];
  Live how = { NULL, pass->live + pass->first_row[child], row, live };
  double *out = pass->value[index];
  memset (live, 0, table->rows);
  if (beside < 0)
    live_copy (terms, how, out, terms.to, pass->value[child], row);
  else if (bl_circuit_table (pass->circuit, beside)->laned)
    live_both (terms, how, out, terms.to, pass->value[child], row, pass->value[beside], row_beside);
  else
    live_one (terms, how, out, terms.to, pass->value[child], row, pass->value[beside], row_beside);
  clear_rest (out, live, table->rows, pass->lanes);
  if (pass->scale[index] != 1)
    multiply (out, (gsize) table->rows * pass->lanes, pass->scale[index]);
}

/* Derivatives of a child from those of its table. */
static void
strike_child (BlPass *pass, guint index, gboolean left, gboolean looked_at)
{
  const BlCircuitTable *table = bl_circuit_table (pass->circuit, index);
  Terms terms = terms_of (pass, table);
  int child = left ? table->left : table->right, beside = left ? table->right : table->left;
  const guint32 *row = left ? terms.of : terms.by, *row_beside = left ? terms.by : terms.of;
  guint8 *live = pass->live_der + pass->first_row[child];
  gboolean path = pass->on_path[index], laned = bl_circuit_table (pass->circuit, child)->laned;
  Live how = { path ? NULL : pass->live_der + pass->first_row[index],
               path ? pass->live + pass->first_row[beside] : NULL, row_beside, live };
  const double *der = bl_pass_der (pass, index);
  double *to = bl_pass_der (pass, child);
  guint rows = bl_circuit_table (pass->circuit, child)->rows;
  memset (live, 0, rows);
  if (beside < 0)
    live_copy (terms, how, to, row, der, terms.to);
  else if (!bl_circuit_table (pass->circuit, beside)->laned)
    live_one (terms, how, to, row, der, terms.to, pass->value[beside], row_beside);
  else if (!laned)
    live_to_one (terms, how, to, row, der, terms.to, pass->value[beside], row_beside);
  else
    live_both (terms, how, to, row, der, terms.to, pass->value[beside], row_beside);
  if (looked_at)
    clear_rest (to, live, rows, laned ? pass->lanes : 1);
}

static void
strike_down (BlPass *pass, guint top, const guint8 *needed)
{
  const BlCircuit *circuit = pass->circuit;
  for (guint t = top + 1; t-- > 0;)
    {
      const BlCircuitTable *table = bl_circuit_table (circuit, t);
      if (table->left < 0 || !needed[t])
        continue;
      if (pass->scale[t] != 1 && !pass->on_path[t])
        {
          guint lanes = bl_pass_lanes (pass, t);
          double *der = bl_pass_der (pass, t);
          for (guint r = 0; r < table->rows; r++)
            if (pass->live_der[pass->first_row[t] + r])
              multiply (der + (gsize) r * lanes, lanes, pass->scale[t]);
        }
      if (needed[table->left] && !pass->on_path[table->left])
        strike_child (pass, t, TRUE, needed[table->left] > 1);
      if (table->right >= 0 && needed[table->right] && !pass->on_path[table->right])
        strike_child (pass, t, FALSE, needed[table->right] > 1);
    }
}

void
bl_pass_strike_path (BlPass *pass, const BlCircuitPath *path, guint row, const guint8 *needed)
{
  guint leaf = g_array_index (path->tables, guint, 0), rows = bl_circuit_table (pass->circuit, leaf)->rows;
  make_live (pass);
  for (guint i = 0; i < path->tables->len; i++)
    pass->on_path[g_array_index (path->tables, guint, i)] = 1;
  for (guint r = 0; r < rows; r++)
    {
      pass->live[pass->first_row[leaf] + r] = r == row;
      for (guint l = 0; l < pass->lanes; l++)
        pass->value[leaf][(gsize) r * pass->lanes + l] = r == row;
    }
  for (guint i = 1; i < path->tables->len; i++)
    strike_table (pass, g_array_index (path->tables, guint, i));
  strike_down (pass, path->top, needed);
  for (guint i = 0; i < path->tables->len; i++)
    pass->on_path[g_array_index (path->tables, guint, i)] = 0;
}
