/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Leaves out of a circuit what adds next to nothing to its root, once that is known.
 *
 * While a circuit is made for the readings at hand, what a row can still add is only bounded from above. One pass up and
 * one down tell exactly what each term adds: its product times the derivative of its row. On densely connected boards
 * half to four fifths of the terms were made in vain. Only terms and rows go, the tables and the rows of leaves stay as they
 * are, so that whatever names a table still does. */
#include "config.h"

#include "bl-circuit.h"

#include <math.h>
#include <string.h>

typedef struct
{
  const BlPass *pass;
  gsize *first_row; /* of each table in the following */
  guint32 *place;   /* of each row: 1 while something needs it, its new place in the end */
  guint8 *kept;     /* of each term */
  double least;
} Trim;

typedef struct
{
  const double *values;
  guint step; /* from one row to the next */
  gboolean laned;
} Side;

static Side
side_of (const BlPass *pass, int table)
{
  static const double one = 1;
  if (table < 0)
    return (Side){ &one, 0, FALSE };
  return (Side){ bl_pass_base (pass, table), bl_pass_lanes (pass, (guint) table),
                 bl_circuit_table (pass->circuit, table)->laned };
}

static double
adds (const BlPass *pass, guint index, const Side *left, const Side *right, guint term)
{
  const BlCircuit *circuit = pass->circuit;
  guint lanes = bl_pass_lanes (pass, index);
  const double *der = bl_pass_der (pass, index) + (gsize) g_array_index (circuit->to, guint32, term) * lanes;
  const double *a = left->values + (gsize) g_array_index (circuit->of, guint32, term) * left->step;
  const double *b = right->values + (gsize) g_array_index (circuit->by, guint32, term) * right->step;
  double sum = 0;
  for (guint l = 0; l < lanes; l++)
    sum += der[l] * a[left->laned ? l : 0] * b[right->laned ? l : 0];
  return sum;
}

/* A table whose needed rows are known: which of its terms are kept, and what they need. */
static void
choose_terms (Trim *trim, guint index)
{
  const BlCircuit *circuit = trim->pass->circuit;
  const BlCircuitTable *table = bl_circuit_table (circuit, index);
  Side left = side_of (trim->pass, table->left), right = side_of (trim->pass, table->right);
  for (guint t = table->first; t < table->first + table->n; t++)
    {
      guint row = g_array_index (circuit->to, guint32, t);
      trim->kept[t] = trim->place[trim->first_row[index] + row] != 0
                      && adds (trim->pass, index, &left, &right, t) >= trim->least;
      if (!trim->kept[t])
        continue;
      trim->place[trim->first_row[table->left] + g_array_index (circuit->of, guint32, t)] = 1;
      if (table->right >= 0)
        trim->place[trim->first_row[table->right] + g_array_index (circuit->by, guint32, t)] = 1;
    }
}

static void
number_rows (Trim *trim, BlCircuitTable *table, guint index)
{
  guint32 *place = trim->place + trim->first_row[index], kept = 0;
  gboolean all = table->left < 0;
  for (guint r = 0; r < table->rows; r++)
    if (all || place[r] != 0)
      place[r] = kept++;
  table->rows = kept;
}

static guint32
new_place (const Trim *trim, int table, const GArray *rows, guint term)
{
  return table < 0 ? 0 : trim->place[trim->first_row[table] + g_array_index (rows, guint32, term)];
}

/* Closes the gaps. Children come before their table, so their rows are numbered already. */
static void
close_up (Trim *trim, BlCircuit *circuit)
{
  guint to = 0;
  for (guint i = 0; i < circuit->tables->len; i++)
    {
      BlCircuitTable *table = bl_circuit_table (circuit, i);
      guint first = table->first, n = table->n;
      number_rows (trim, table, i);
      table->first = to;
      for (guint t = first; t < first + n; t++)
        if (trim->kept[t])
          {
            g_array_index (circuit->of, guint32, to) = new_place (trim, table->left, circuit->of, t);
            g_array_index (circuit->by, guint32, to) = new_place (trim, table->right, circuit->by, t);
            g_array_index (circuit->to, guint32, to++) = new_place (trim, (int) i, circuit->to, t);
          }
      table->n = to - table->first;
    }
  g_array_set_size (circuit->to, to);
  g_array_set_size (circuit->of, to);
  g_array_set_size (circuit->by, to);
}

void
bl_circuit_trim (BlCircuit *circuit, const BlPass *pass, double least)
{
  guint n = circuit->tables->len;
  gsize rows = 0;
  g_autofree gsize *first_row = g_new (gsize, n + 1);
  for (guint t = 0; t < n; t++)
    {
      first_row[t] = rows;
      rows += bl_circuit_table (circuit, t)->rows;
    }
  g_autofree guint32 *place = g_new0 (guint32, rows + 1);
  g_autofree guint8 *kept = g_new0 (guint8, circuit->to->len + 1);
  Trim trim = { pass, first_row, place, kept, ldexp (least, pass->exponent) };
  place[first_row[circuit->root]] = 1;
  for (guint t = circuit->root + 1; t-- > 0;)
    choose_terms (&trim, t);
  close_up (&trim, circuit);
}
