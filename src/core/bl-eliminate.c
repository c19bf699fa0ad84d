/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Variable elimination, done once on the shape of the network and recorded as a circuit. A factor
 * is a sparse table: only combinations that can occur have a row. Its fields are values of nodes not
 * yet eliminated, joined by equality, and contributions gathered for gates, joined by the gate's own
 * join; so a gate of fifty inputs never needs a table over fifty inputs. Eliminating a node brings
 * together all factors that mention it, closes it, hands its value on to the gates it feeds and sums
 * it out. Since every factor is used once, the record is a tree.
 *
 * The order decides the size. Roots go first: the two rows of a root stay two, whatever it feeds.
 * Then always the node whose factor is estimated smallest, from the numbers of values that can occur
 * and the rows of the factors that meet. On a board of stages in cascade this grows linearly with
 * the board. Where a gate goes before one of its inputs, rows carry what the input may turn out to be:
 * those that cannot come true are not made, those that are alike are one (bl-foretold.c). "At least one
 * counted root" is one more field, a bit carried through all factors.
 *
 * Densely connected boards (closed loops, with effects of each mode on a dozen measurements) have too
 * many combinations for that. For them the evidence is taken into account while compiling: every row
 * carries its weight, and rows are left out that cannot add evidence->least to the root. What a row can add
 * at most is its weight, times what the readings still to come can leave of it (bl-outlook.c), times how
 * likely the values are that it foretells (bl-forecast.c). The more is read, the fewer remain.
 *
 * Expected: 10^3 nodes, 10^5 terms. One long file: factors, products, gates and the order share the
 * structs of the work and none of them is of use elsewhere. */
#include "config.h"

#include "bl-eliminate.h"
#include "bl-forecast.h"
#include "bl-foretold.h"
#include "bl-outlook.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

typedef struct
{
  guint table;    /* in the circuit */
  guint n_fields, rows;
  guint *fields;  /* rising; see FIELD_* */
  guint64 *keys;  /* [row * n_fields + field] */
  guint width;    /* of mass: lanes, or 1 when no reading is in it; 0: not weighed */
  double *mass;   /* [row * width + lane]: weight of the row */
  double *peak;   /* [row]: the largest of them */
  guint64 *seen;  /* weighed: the readings that are part of it, as in bl-outlook.h */
  gboolean used, held;
  BlRoom *room;
} Factor;

#define FIELD_GATHERED BL_FIELD_GATHERED
#define FIELD_VALUE BL_FIELD_VALUE
#define FIELD_IS_VALUE BL_FIELD_IS_VALUE
#define FIELD_NODE BL_FIELD_NODE

enum
{
  MAX_FIELDS = 512,
  MERGE_ROWS = 64,
  MERGE_FIELDS = 8,
  LOOK_ROWS = 16, /* of fewer it is not worth while to see which matter */
  LAZY_CHILDREN = 8
};

typedef struct
{
  const BlNetwork *network;
  const BlEvidenceNodes *evidence;
  BlCircuit *circuit;
  GPtrArray *factors;    /* Factor */
  GPtrArray *mentions;   /* per node: GArray of guint factor indices, used ones among them */
  gboolean *gone;        /* nodes eliminated */
  double *cost;          /* of eliminating a node, by which it is chosen; NAN: to be estimated again */
  double *hope;          /* of a node with a cost: logarithm of the rows expected at least */
  BlForetelling *foretelling;
  BlOutlook *outlook;    /* weighed */
  BlForecast *forecast;  /* weighed; NULL: nothing to forecast */
  guint closed;          /* a gate whose value is found, not foretold, and not summed out yet */
  double total;          /* weighed: of the root, over the lanes */
  gsize max_terms;
  const int *cancel;
  gboolean too_hard;     /* or stopped */
  gboolean too_large;    /* too hard because of the memory */
  /* Buffers in which rows are collected; what is kept of them is copied, at its size. */
  guint64 *keys;
  double *mass;
  gsize keys_size, mass_size;
  guint *slots, slots_size;
} Work;

#define node_of(work, i) bl_net_node ((work)->network, (i))
#define counted_field(work) FIELD_GATHERED ((work)->network->nodes->len)

static void
factor_free (Factor *factor)
{
  g_free (factor->fields);
  bl_room_give (factor->room, factor->keys);
  bl_room_give (factor->room, factor->mass);
  g_free (factor->peak);
  g_free (factor->seen);
  g_free (factor);
}

/* --- tables of the circuit --- */

static guint
table_new (Work *work, int left, int right, guint rows)
{
  GArray *tables = work->circuit->tables;
  BlCircuitTable table = { .rows = rows, .left = left, .right = right, .parent = -1,
                           .first = work->circuit->to->len };
  int children[] = { left, right };
  for (guint i = 0; i < 2; i++)
    if (children[i] >= 0)
      {
        BlCircuitTable *child = bl_circuit_table (work->circuit, children[i]);
        child->parent = (int) tables->len;
        table.laned |= child->laned;
      }
  g_array_append_val (tables, table);
  return tables->len - 1;
}

static Factor *
factor_new (Work *work, guint table, guint n_fields, const guint *fields)
{
  Factor *factor = g_new0 (Factor, 1);
  factor->table = table;
  factor->room = work->evidence->room;
  factor->n_fields = n_fields;
  factor->fields = g_memdup2 (fields, n_fields * sizeof (guint));
  if (work->evidence->lanes > 0)
    {
      factor->width = bl_circuit_table (work->circuit, table)->laned ? work->evidence->lanes : 1;
      factor->seen = g_new0 (guint64, bl_outlook_words (work->outlook));
    }
  return factor;
}

static void
see (const Work *work, Factor *factor, const Factor *part)
{
  for (guint w = 0; factor->seen != NULL && w < bl_outlook_words (work->outlook); w++)
    factor->seen[w] |= part->seen[w];
}

static void
forget_costs (Work *work, const Factor *factor)
{
  for (guint i = 0; i < factor->n_fields; i++)
    if (factor->fields[i] != counted_field (work))
      work->cost[FIELD_NODE (factor->fields[i])] = NAN;
}

static void
keep_factor (Work *work, Factor *factor)
{
  guint index = work->factors->len;
  if (factor->held)
    {
      g_assert (work->too_hard);
      return;
    }
  g_ptr_array_add (work->factors, factor);
  for (guint i = 0; i < factor->n_fields; i++)
    {
      guint node = FIELD_NODE (factor->fields[i]);
      if (factor->fields[i] == counted_field (work)
          || (i > 0 && FIELD_NODE (factor->fields[i - 1]) == node))
        continue;
      g_array_append_val ((GArray *) bl_at (work->mentions, node), index);
    }
  forget_costs (work, factor);
}

/* Drops a factor whose rows have become part of another. */
static void
use_factor (Work *work, Factor *factor)
{
  factor->used = TRUE;
  forget_costs (work, factor);
  bl_room_give (factor->room, g_steal_pointer (&factor->keys));
  bl_room_give (factor->room, g_steal_pointer (&factor->mass));
  g_clear_pointer (&factor->peak, g_free);
}

/* --- collecting rows: a hash of keys, growing --- */

typedef struct
{
  Work *work;
  Factor *factor;
  guint n_slots; /* of work->slots in use: row + 1, 0: free */
} Collector;

static guint
hash_key (const guint64 *key, guint n)
{
  guint64 hash = 0x9e3779b97f4a7c15u;
  for (guint i = 0; i < n; i++)
    hash = (hash ^ key[i]) * 0xff51afd7ed558ccdu ^ (hash >> 29);
  return (guint) (hash ^ (hash >> 32));
}

static void
collector_clear_slots (Collector *self, guint n)
{
  Work *work = self->work;
  self->n_slots = n;
  if (n > work->slots_size)
    {
      bl_room_give (work->evidence->room, work->slots);
      work->slots = bl_room_take (work->evidence->room, n * sizeof *work->slots);
      work->slots_size = n;
    }
  memset (work->slots, 0, n * sizeof *work->slots);
}

static void
collector_init (Collector *self, Work *work, Factor *factor)
{
  *self = (Collector){ work, factor, 0 };
  collector_clear_slots (self, 64);
}

static void
collector_rehash (Collector *self)
{
  const Factor *factor = self->factor;
  guint *slots, last;
  collector_clear_slots (self, self->n_slots * 4);
  slots = self->work->slots;
  last = self->n_slots - 1;
  for (guint r = 0; r < factor->rows; r++)
    {
      guint s = hash_key (self->work->keys + (gsize) r * factor->n_fields, factor->n_fields);
      while (slots[s & last] != 0)
        s++;
      slots[s & last] = r + 1;
    }
}

/* One table may hold as much as that; the buffers for it are up to twice as large. */
#define MAX_BYTES (G_GUINT64_CONSTANT (1) << 30)

/* Room for one more row. */
static void
collector_grow (Collector *self)
{
  Work *work = self->work;
  gsize rows = self->factor->rows, n = self->factor->n_fields, width = self->factor->width;
  if ((guint64) rows * (n + width) * sizeof (double) > MAX_BYTES)
    work->too_hard = work->too_large = TRUE; /* noticed by is_stopped () */
  if ((rows + 1) * n > work->keys_size)
    {
      work->keys_size = MAX (2 * work->keys_size, 64 * n);
      work->keys = bl_room_grow (work->evidence->room, work->keys, rows * n * sizeof (guint64),
                                 work->keys_size * sizeof (guint64));
    }
  if ((rows + 1) * width > work->mass_size)
    {
      work->mass_size = MAX (2 * work->mass_size, 64 * width);
      work->mass = bl_room_grow (work->evidence->room, work->mass, rows * width * sizeof (double),
                                 work->mass_size * sizeof (double));
    }
}

static guint
collector_row (Collector *self, const guint64 *key)
{
  Factor *factor = self->factor;
  Work *work = self->work;
  guint n = factor->n_fields, last = self->n_slots - 1, s = hash_key (key, n) & last;
  for (; work->slots[s] != 0; s = (s + 1) & last)
    if (n == 0 || memcmp (work->keys + (gsize) (work->slots[s] - 1) * n, key, n * sizeof *key) == 0)
      return work->slots[s] - 1;
  collector_grow (self);
  guint row = factor->rows++;
  if (n > 0)
    memcpy (work->keys + (gsize) row * n, key, n * sizeof *key);
  for (guint l = 0; l < factor->width; l++)
    work->mass[(gsize) row * factor->width + l] = 0;
  work->slots[s] = row + 1;
  if (factor->rows * 2 > self->n_slots)
    collector_rehash (self);
  return row;
}

/* Adds the product of row `of` of a and row `by` of b (NULL: of a alone) to a row's weight. */
static void
weigh (const Collector *self, guint row, const Factor *a, guint32 of, const Factor *b, guint32 by)
{
  const double one = 1;
  const Factor *factor = self->factor;
  double *to = self->work->mass + (gsize) row * factor->width;
  const double *x = a->mass + (gsize) of * a->width, *y = b != NULL ? b->mass + (gsize) by * b->width : &one;
  guint dx = a->width > 1, dy = b != NULL && b->width > 1;
  for (guint l = 0; l < factor->width; l++)
    to[l] += x[l * dx] * y[l * dy];
}

static void
collector_add (Collector *self, const guint64 *key, const Factor *a, guint32 of, const Factor *b, guint32 by)
{
  BlCircuit *circuit = self->work->circuit;
  guint32 row = collector_row (self, key);
  if (self->factor->width > 0)
    weigh (self, row, a, of, b, by);
  g_array_append_val (circuit->to, row);
  g_array_append_val (circuit->of, of);
  g_array_append_val (circuit->by, by);
}

/* --- leaving out rows that cannot matter --- */

/* Largest weight of each row over the lanes. */
static void
find_peaks (Factor *factor)
{
  factor->peak = g_new (double, factor->rows + 1);
  for (guint r = 0; r < factor->rows; r++)
    {
      const double *mass = factor->mass + (gsize) r * factor->width;
      double peak = 0;
      for (guint l = 0; l < factor->width; l++)
        peak = MAX (peak, mass[l]);
      factor->peak[r] = peak;
    }
}

/* Closes the gaps: keys, weights and the terms that made the rows. */
static void
drop_rows (Work *work, Factor *factor, const guint *place)
{
  BlCircuit *circuit = work->circuit;
  guint first = bl_circuit_table (circuit, factor->table)->first, to = first;
  guint n = factor->n_fields, kept = 0;
  for (guint r = 0; r < factor->rows; r++)
    {
      if (place[r] == G_MAXUINT)
        continue;
      memmove (factor->keys + (gsize) kept * n, factor->keys + (gsize) r * n, n * sizeof (guint64));
      memmove (factor->mass + (gsize) kept * factor->width, factor->mass + (gsize) r * factor->width,
               factor->width * sizeof (double));
      factor->peak[kept++] = factor->peak[r];
    }
  factor->rows = kept;
  for (guint t = first; t < circuit->to->len; t++)
    {
      guint row = place[g_array_index (circuit->to, guint32, t)];
      if (row == G_MAXUINT)
        continue;
      g_array_index (circuit->to, guint32, to) = row;
      g_array_index (circuit->of, guint32, to) = g_array_index (circuit->of, guint32, t);
      g_array_index (circuit->by, guint32, to++) = g_array_index (circuit->by, guint32, t);
    }
  g_array_set_size (circuit->to, to);
  g_array_set_size (circuit->of, to);
  g_array_set_size (circuit->by, to);
}

/* Marks the rows to be kept with their places then; G_MAXUINT: not. Returns: how many. */
static guint
place_rows (const Work *work, const Factor *factor, guint *place)
{
  BlOutlookView *outlook = NULL;
  BlForecastView *forecast = NULL;
  guint kept = 0;
  if (factor->rows >= LOOK_ROWS)
    outlook = bl_outlook_view (work->outlook, work->gone, factor->fields, factor->n_fields, factor->seen);
  if (factor->rows >= LOOK_ROWS && work->forecast != NULL)
    forecast = bl_forecast_view (work->forecast, work->gone, factor->fields, factor->n_fields, work->closed);
  for (guint r = 0; r < factor->rows; r++)
    {
      const guint64 *key = factor->keys + (gsize) r * factor->n_fields;
      const double *mass = factor->mass + (gsize) r * factor->width;
      gboolean matters = factor->peak[r] >= work->evidence->least;
      double chance = matters && forecast != NULL ? bl_forecast_most (forecast, key) : 1;
      if (matters && outlook != NULL)
        matters = bl_outlook_matters (outlook, key, mass, factor->width, chance);
      place[r] = matters ? kept++ : G_MAXUINT;
    }
  bl_outlook_view_free (outlook);
  bl_forecast_view_free (forecast);
  return kept;
}

static void
keep_what_matters (Work *work, Factor *factor)
{
  g_autofree guint *place = g_new (guint, factor->rows + 1);
  find_peaks (factor);
  if (place_rows (work, factor, place) < factor->rows)
    drop_rows (work, factor, place);
}

static gpointer
copy_of (const Factor *factor, gconstpointer from, gsize size)
{
  gpointer copy = size > 0 ? bl_room_take (factor->room, size) : NULL;
  if (size > 0)
    memcpy (copy, from, size);
  return copy;
}

/* Takes over what is kept of the rows collected. */
static void
collector_take (Collector *self)
{
  Factor *factor = self->factor;
  factor->keys = self->work->keys;
  factor->mass = self->work->mass;
  if (factor->width > 0)
    keep_what_matters (self->work, factor);
  factor->keys = copy_of (factor, factor->keys, (gsize) factor->rows * factor->n_fields * sizeof (guint64));
  factor->mass = copy_of (factor, factor->mass, (gsize) factor->rows * factor->width * sizeof (double));
}

static Factor *
collector_finish (Collector *self)
{
  Work *work = self->work;
  BlCircuitTable *table = bl_circuit_table (work->circuit, self->factor->table);
  /* Before rows are left out: work that came to the limit has stopped short. */
  work->too_hard |= work->circuit->to->len > work->max_terms;
  collector_take (self);
  table->rows = self->factor->rows;
  table->n = work->circuit->to->len - table->first;
  return self->factor;
}

/* --- fields --- */

static guint
find_field (const guint *fields, guint n, guint field)
{
  for (guint i = 0; i < n; i++)
    if (fields[i] == field)
      return i;
  return G_MAXUINT;
}

/* Inserts a field in order; fields has room. */
static void
insert_field (guint *fields, guint *n, guint field)
{
  guint i = *n;
  if (find_field (fields, *n, field) != G_MAXUINT)
    return;
  for (; i > 0 && fields[i - 1] > field; i--)
    fields[i] = fields[i - 1];
  fields[i] = field;
  ++*n;
}

static void
remove_field (guint *fields, guint *n, guint field)
{
  guint at = find_field (fields, *n, field);
  if (at == G_MAXUINT)
    return;
  memmove (fields + at, fields + at + 1, (*n - at - 1) * sizeof *fields);
  --*n;
}

static guint64
join_field (const Work *work, guint field, guint64 a, guint64 b)
{
  if (field == counted_field (work))
    return a | b;
  return bl_net_join (node_of (work, FIELD_NODE (field)), a, b);
}

static const guint64 *
edge_add (const Work *work, guint from, guint to)
{
  GArray *in = node_of (work, to)->in;
  for (guint i = 0; i < in->len; i++)
    if (g_array_index (in, BlNetEdge, i).from == from)
      return g_array_index (in, BlNetEdge, i).add;
  g_assert_not_reached ();
}

/* --- what happens to a row when a node is summed out: its value is handed to the gates it feeds,
 * except those that were eliminated before it and took it themselves --- */

typedef struct
{
  guint node;      /* BL_NET_NONE: nothing is summed out */
  guint n;         /* gates fed */
  guint *at;       /* field of each in the result */
  guint *gates;
  const guint64 **add;
} Handing;

static void
handing_init (Handing *self, const Work *work, guint node, guint *fields, guint *n_fields)
{
  *self = (Handing){ .node = node };
  if (node == BL_NET_NONE)
    return;
  const GArray *out = node_of (work, node)->out;
  self->at = g_new (guint, out->len + 1);
  self->gates = g_new (guint, out->len + 1);
  self->add = g_new (const guint64 *, out->len + 1);
  for (guint i = 0; i < out->len; i++)
    {
      guint gate = g_array_index (out, guint, i);
      if (work->gone[gate])
        continue;
      self->gates[self->n] = gate;
      self->add[self->n++] = edge_add (work, node, gate);
      insert_field (fields, n_fields, FIELD_GATHERED (gate));
    }
  remove_field (fields, n_fields, FIELD_VALUE (node));
  for (guint i = 0; i < self->n; i++)
    self->at[i] = find_field (fields, *n_fields, FIELD_GATHERED (self->gates[i]));
}

static void
handing_apply (const Handing *self, const Work *work, guint value, guint64 *key)
{
  for (guint i = 0; i < self->n; i++)
    key[self->at[i]]
      = bl_net_join (node_of (work, self->gates[i]), key[self->at[i]], self->add[i][value]);
}

static void
handing_clear (Handing *self)
{
  g_free (self->at);
  g_free (self->gates);
  g_free (self->add);
}

/* --- product of two factors --- */

typedef struct
{
  guint n_equal, equal_a[MAX_FIELDS], equal_b[MAX_FIELDS]; /* values both have */
  guint from_a[MAX_FIELDS], from_b[MAX_FIELDS];            /* of each field of the result */
  guint value_a, value_b;                                  /* of the node summed out */
  BlForetold *foretold;
} Plan;

static void
plan_init (Plan *plan, const Factor *a, const Factor *b, const guint *fields, guint n, guint node)
{
  plan->n_equal = 0;
  for (guint i = 0; i < a->n_fields; i++)
    {
      guint j = find_field (b->fields, b->n_fields, a->fields[i]);
      if (j == G_MAXUINT || !FIELD_IS_VALUE (a->fields[i]))
        continue;
      plan->equal_a[plan->n_equal] = i;
      plan->equal_b[plan->n_equal++] = j;
    }
  for (guint i = 0; i < n; i++)
    {
      plan->from_a[i] = find_field (a->fields, a->n_fields, fields[i]);
      plan->from_b[i] = find_field (b->fields, b->n_fields, fields[i]);
    }
  plan->value_a = plan->value_b = G_MAXUINT;
  if (node == BL_NET_NONE)
    return;
  plan->value_a = find_field (a->fields, a->n_fields, FIELD_VALUE (node));
  plan->value_b = find_field (b->fields, b->n_fields, FIELD_VALUE (node));
}

static guint
equal_hash (const Factor *factor, guint row, const guint *at, guint n)
{
  guint64 hash = 0;
  for (guint i = 0; i < n; i++)
    hash = (hash ^ factor->keys[(gsize) row * factor->n_fields + at[i]]) * 0xff51afd7ed558ccdu;
  return (guint) (hash >> 40);
}

static gboolean
rows_agree (const Plan *plan, const guint64 *a, const guint64 *b)
{
  for (guint i = 0; i < plan->n_equal; i++)
    if (a[plan->equal_a[i]] != b[plan->equal_b[i]])
      return FALSE;
  return TRUE;
}

static void
product_row (Work *work, const Plan *plan, const Handing *handing, Collector *out, const Factor *a,
             guint i, const Factor *b, guint j)
{
  guint64 key[MAX_FIELDS];
  const guint64 *x = a->keys + (gsize) i * a->n_fields, *y = b->keys + (gsize) j * b->n_fields;
  const Factor *result = out->factor;
  if (!rows_agree (plan, x, y)
      || (result->width > 0 && a->peak[i] * b->peak[j] < work->evidence->least))
    return;
  for (guint f = 0; f < result->n_fields; f++)
    {
      guint p = plan->from_a[f], q = plan->from_b[f];
      if (p == G_MAXUINT)
        key[f] = q == G_MAXUINT ? 0 : y[q];
      else if (q == G_MAXUINT || FIELD_IS_VALUE (result->fields[f]))
        key[f] = x[p];
      else
        key[f] = join_field (work, result->fields[f], x[p], y[q]);
    }
  if (handing->node != BL_NET_NONE)
    handing_apply (handing, work,
                   (guint) (plan->value_a != G_MAXUINT ? x[plan->value_a] : y[plan->value_b]), key);
  if (bl_foretold_settle (plan->foretold, key))
    collector_add (out, key, a, i, b, j);
}

/* One product may take seconds: it has to notice as well. */
static gboolean
is_stopped (Work *work)
{
  work->too_hard |= work->cancel != NULL && g_atomic_int_get (work->cancel);
  return work->too_hard;
}

/* All pairs of rows that agree, found through chains of b's rows by what must be equal. */
static void
product_rows (Work *work, const Plan *plan, const Handing *handing, Collector *out, const Factor *a,
              const Factor *b)
{
  guint n_heads = 64;
  while (n_heads < b->rows)
    n_heads *= 2;
  g_autofree guint *heads = g_new0 (guint, n_heads), *next = g_new0 (guint, b->rows + 1);
  for (guint j = b->rows; j-- > 0;)
    {
      guint h = equal_hash (b, j, plan->equal_b, plan->n_equal) & (n_heads - 1);
      next[j] = heads[h];
      heads[h] = j + 1;
    }
  for (guint i = 0; i < a->rows && out->work->circuit->to->len <= work->max_terms && !is_stopped (work); i++)
    {
      guint h = equal_hash (a, i, plan->equal_a, plan->n_equal) & (n_heads - 1);
      for (guint j = heads[h]; j != 0; j = next[j - 1])
        product_row (work, plan, handing, out, a, i, b, j - 1);
    }
}

/* The product of two factors, node summed out of it (BL_NET_NONE: nothing). Uses both up. */
static Factor *
product (Work *work, Factor *a, Factor *b, guint node)
{
  guint fields[MAX_FIELDS], n = 0;
  Handing handing;
  Plan plan;
  Collector out;
  for (guint i = 0; i < a->n_fields; i++)
    insert_field (fields, &n, a->fields[i]);
  for (guint i = 0; i < b->n_fields; i++)
    insert_field (fields, &n, b->fields[i]);
  handing_init (&handing, work, node, fields, &n);
  plan_init (&plan, a, b, fields, n, node);
  plan.foretold = bl_foretold_new (work->foretelling, work->gone, fields, n, BL_NET_NONE);
  guint table = table_new (work, (int) a->table, (int) b->table, 0);
  collector_init (&out, work, factor_new (work, table, n, fields));
  see (work, out.factor, a);
  see (work, out.factor, b);
  product_rows (work, &plan, &handing, &out, a, b);
  bl_foretold_free (plan.foretold);
  handing_clear (&handing);
  use_factor (work, a);
  use_factor (work, b);
  return collector_finish (&out);
}

/* --- closing a gate --- */

typedef struct
{
  guint n;
  guint from[MAX_FIELDS];        /* inputs not eliminated yet */
  guint at[MAX_FIELDS];          /* their values' fields in the result */
  gboolean known[MAX_FIELDS];    /* the factor has the value already */
  const guint64 *add[MAX_FIELDS];
} Inputs;

static void
inputs_init (Inputs *inputs, const Work *work, guint node, const Factor *factor, guint *fields,
             guint *n_fields)
{
  const GArray *in = node_of (work, node)->in;
  inputs->n = 0;
  for (guint i = 0; in != NULL && i < in->len; i++)
    {
      const BlNetEdge *edge = &g_array_index (in, BlNetEdge, i);
      if (work->gone[edge->from])
        continue;
      inputs->from[inputs->n] = edge->from;
      inputs->add[inputs->n] = edge->add;
      inputs->known[inputs->n++]
        = find_field (factor->fields, factor->n_fields, FIELD_VALUE (edge->from)) != G_MAXUINT;
      insert_field (fields, n_fields, FIELD_VALUE (edge->from));
    }
}

typedef struct
{
  Work *work;
  guint node;
  const Factor *factor;
  Inputs inputs;
  Handing handing;
  Collector out;
  guint gathered, value; /* fields of the factor; G_MAXUINT: none */
  guint value_at;        /* field of the result */
  BlForetold *foretold;  /* of the result, but for the gate itself */
  guint map[MAX_FIELDS]; /* field of the factor of each field of the result */
} Closing;

static void
close_value (Closing *c, guint row, guint64 *key, guint64 state)
{
  const Factor *factor = c->factor;
  guint value = bl_net_close (node_of (c->work, c->node), state);
  if (c->value != G_MAXUINT && factor->keys[(gsize) row * factor->n_fields + c->value] != value)
    return;
  guint64 result[MAX_FIELDS];
  memcpy (result, key, c->out.factor->n_fields * sizeof *key);
  if (c->value_at != G_MAXUINT)
    result[c->value_at] = value;
  if (c->handing.node != BL_NET_NONE)
    handing_apply (&c->handing, c->work, value, result);
  if (bl_foretold_settle (c->foretold, result))
    collector_add (&c->out, result, c->factor, row, NULL, 0);
}

/* Runs through the values of the inputs not eliminated yet. */
static void
close_inputs (Closing *c, guint row, guint64 *key, guint64 state, guint input)
{
  const BlNetNode *gate = node_of (c->work, c->node);
  if (c->work->circuit->to->len > c->work->max_terms)
    return;
  if (input == c->inputs.n)
    {
      close_value (c, row, key, state);
      return;
    }
  const guint64 *add = c->inputs.add[input];
  guint64 *at = key + c->inputs.at[input];
  if (c->inputs.known[input])
    {
      close_inputs (c, row, key, bl_net_join (gate, state, add[*at]), input + 1);
      return;
    }
  const GArray *values = node_of (c->work, c->inputs.from[input])->values;
  for (guint i = 0; i < values->len; i++)
    {
      *at = g_array_index (values, guint, i);
      close_inputs (c, row, key, bl_net_join (gate, state, add[*at]), input + 1);
    }
}

static void
closing_fields (Closing *c, guint *fields, guint *n, gboolean sum_out)
{
  const Factor *factor = c->factor;
  if (factor->n_fields > 0) /* fields is NULL then */
    memcpy (fields, factor->fields, factor->n_fields * sizeof *fields);
  *n = factor->n_fields;
  c->gathered = find_field (fields, *n, FIELD_GATHERED (c->node));
  c->value = find_field (fields, *n, FIELD_VALUE (c->node));
  inputs_init (&c->inputs, c->work, c->node, factor, fields, n);
  remove_field (fields, n, FIELD_GATHERED (c->node));
  insert_field (fields, n, FIELD_VALUE (c->node));
  handing_init (&c->handing, c->work, sum_out ? c->node : BL_NET_NONE, fields, n);
  c->value_at = sum_out ? G_MAXUINT : find_field (fields, *n, FIELD_VALUE (c->node));
  for (guint i = 0; i < c->inputs.n; i++)
    c->inputs.at[i] = find_field (fields, *n, FIELD_VALUE (c->inputs.from[i]));
  for (guint i = 0; i < *n; i++)
    c->map[i] = fields[i] == FIELD_VALUE (c->node)
                  ? G_MAXUINT
                  : find_field (factor->fields, factor->n_fields, fields[i]);
}

/* Turns what was gathered for a gate into its value, or sums it out at once. Uses the factor up. */
static Factor *
close_gate (Work *work, Factor *factor, guint node, gboolean sum_out)
{
  Closing *c = g_new0 (Closing, 1);
  guint fields[MAX_FIELDS], n;
  guint64 key[MAX_FIELDS];
  c->work = work;
  c->node = node;
  c->factor = factor;
  closing_fields (c, fields, &n, sum_out);
  c->foretold = bl_foretold_new (work->foretelling, work->gone, fields, n, node);
  guint table = table_new (work, (int) factor->table, -1, 0);
  collector_init (&c->out, work, factor_new (work, table, n, fields));
  see (work, c->out.factor, factor);
  for (guint r = 0; r < factor->rows && !is_stopped (work); r++)
    {
      const guint64 *from = factor->keys + (gsize) r * factor->n_fields;
      for (guint f = 0; f < n; f++)
        key[f] = c->map[f] == G_MAXUINT ? 0 : from[c->map[f]];
      close_inputs (c, r, key, c->gathered == G_MAXUINT ? 0 : from[c->gathered], 0);
    }
  bl_foretold_free (c->foretold);
  handing_clear (&c->handing);
  use_factor (work, factor);
  Factor *result = collector_finish (&c->out);
  g_free (c);
  return result;
}

/* --- leaves --- */

static gpointer
cleared (const Factor *factor, gsize size)
{
  gpointer made = bl_room_take (factor->room, MAX (size, 1));
  memset (made, 0, MAX (size, 1));
  return made;
}

static Factor *
leaf_new (Work *work, guint node, guint rows, guint n_fields, const guint *fields)
{
  guint table = table_new (work, -1, -1, rows);
  Factor *factor = factor_new (work, table, n_fields, fields);
  work->circuit->leaf[node] = (int) table;
  factor->rows = rows;
  factor->keys = cleared (factor, (gsize) rows * n_fields * sizeof (guint64));
  factor->mass = cleared (factor, (gsize) rows * factor->width * sizeof (double));
  return factor;
}

static gboolean
is_lazy (const Work *work, guint node)
{
  const BlNetNode *self = node_of (work, node);
  return self->kind == BL_NET_ROOT && self->out->len > LAZY_CHILDREN;
}

/* The two rows of a root: 1 - p and p; its value handed on at once, unless it feeds so many gates
 * that it is better kept as a value until they are eliminated. */
static Factor *
root_factor (Work *work, guint node)
{
  const BlNetNode *self = node_of (work, node);
  guint fields[MAX_FIELDS], n = 0;
  Handing handing = { .node = BL_NET_NONE };
  gboolean lazy = is_lazy (work, node);
  if (work->evidence->counted[node])
    insert_field (fields, &n, counted_field (work));
  if (lazy)
    insert_field (fields, &n, FIELD_VALUE (node));
  else
    handing_init (&handing, work, node, fields, &n);
  Factor *factor = leaf_new (work, node, 2, n, fields);
  for (guint v = 0; v < 2; v++)
    {
      guint64 *key = factor->keys + (gsize) v * n;
      if (work->evidence->counted[node])
        key[find_field (fields, n, counted_field (work))] = v;
      if (lazy)
        key[find_field (fields, n, FIELD_VALUE (node))] = v;
      handing_apply (&handing, work, v, key);
      work->circuit->constant[2 * node + v]
        = (v ? self->p : 1 - self->p) * work->evidence->weight[node][v];
      if (factor->width > 0)
        factor->mass[v] = work->circuit->constant[2 * node + v];
    }
  if (factor->width > 0)
    find_peaks (factor);
  handing_clear (&handing);
  work->gone[node] = !lazy;
  return factor;
}

static void
weigh_gate_leaf (const Work *work, Factor *factor, guint node, gboolean reading)
{
  if (factor->width == 0)
    return;
  factor->width = reading ? work->evidence->lanes : 1;
  bl_room_give (factor->room, factor->mass);
  factor->mass = bl_room_take (factor->room, (gsize) factor->rows * factor->width * sizeof (double));
  for (guint i = 0; i < factor->rows * factor->width; i++)
    if (reading)
      factor->mass[i] = work->evidence->value[node] != NULL ? work->evidence->value[node][i] : 1;
    else
      factor->mass[i] = work->evidence->weight[node][i];
  find_peaks (factor);
}

static Factor *
gate_leaf (Work *work, guint node)
{
  const GArray *values = node_of (work, node)->values;
  guint field = FIELD_VALUE (node);
  gboolean reading = work->evidence->reading[node];
  Factor *factor = leaf_new (work, node, reading ? values->len : 2, 1, &field);
  for (guint r = 0; r < factor->rows; r++)
    factor->keys[r] = reading ? g_array_index (values, guint, r) : r;
  for (guint v = 0; v < 2; v++)
    work->circuit->constant[2 * node + v] = work->evidence->weight[node][v];
  bl_circuit_table (work->circuit, factor->table)->laned = reading;
  weigh_gate_leaf (work, factor, node, reading);
  int place = factor->seen == NULL ? -1 : bl_outlook_place (work->outlook, node);
  if (place >= 0)
    factor->seen[place / 64] |= G_GUINT64_CONSTANT (1) << (place % 64);
  return factor;
}

/* --- the order --- */

static double
field_size (const Work *work, guint field)
{
  if (field == counted_field (work))
    return 0;
  const BlNetNode *node = node_of (work, FIELD_NODE (field));
  return log2 (FIELD_IS_VALUE (field) ? node->values->len : node->states->len);
}

/* Logarithm of the number of combinations of fields, those of a node left out. */
static double
fields_size (const Work *work, const guint *fields, guint n, guint node)
{
  double size = 0;
  for (guint i = 0; i < n; i++)
    {
      guint of = FIELD_NODE (fields[i]);
      if (fields[i] != counted_field (work) && of == node)
        continue;
      gboolean both = i + 1 < n && FIELD_NODE (fields[i + 1]) == of;
      double pairs = both ? bl_foretelling_pairs (work->foretelling, of) : NAN;
      size += isnan (pairs) ? field_size (work, fields[i]) : pairs;
      i += !isnan (pairs);
    }
  return size;
}

/* Logarithm of the number of rows expected when a node is eliminated. */
static double
estimate (Work *work, guint node)
{
  guint fields[MAX_FIELDS], n = 0;
  const BlNetNode *self = node_of (work, node);
  GArray *mentions = bl_at (work->mentions, node);
  double size, rows = 0;
  for (guint i = 0; i < mentions->len; i++)
    {
      const Factor *factor = bl_at (work->factors, g_array_index (mentions, guint, i));
      if (factor->used)
        continue;
      rows += log2 (MAX (factor->rows, 1));
      if (n + factor->n_fields >= MAX_FIELDS)
        return INFINITY;
      for (guint f = 0; f < factor->n_fields; f++)
        insert_field (fields, &n, factor->fields[f]);
    }
  for (guint i = 0; self->in != NULL && i < self->in->len; i++)
    {
      guint from = g_array_index (self->in, BlNetEdge, i).from;
      if (work->gone[from])
        continue;
      if (n + 4 >= MAX_FIELDS)
        return INFINITY;
      rows += field_size (work, FIELD_VALUE (from));
      insert_field (fields, &n, FIELD_VALUE (from));
    }
  for (guint i = 0; i < self->out->len; i++)
    {
      if (n + 4 >= MAX_FIELDS)
        return INFINITY;
      if (!work->gone[g_array_index (self->out, guint, i)])
        insert_field (fields, &n, FIELD_GATHERED (g_array_index (self->out, guint, i)));
    }
  size = fields_size (work, fields, n, node);
  work->hope[node] = MIN (size, rows);
  if (work->evidence->by_fields)
    return size + 1e-3 * rows;
  /* Where rows are left out, neither estimate is near; their mean was best on the demo boards. */
  return work->evidence->lanes > 0 ? (size + rows) / 2 : MIN (size, rows) + 1e-3 * size;
}

static guint
cheapest (Work *work)
{
  guint best = BL_NET_NONE;
  for (guint i = 0; i < work->network->nodes->len; i++)
    {
      if (work->gone[i])
        continue;
      if (isnan (work->cost[i]))
        work->cost[i] = estimate (work, i);
      if (best == BL_NET_NONE || work->cost[i] < work->cost[best])
        best = i;
    }
  return best;
}

static int
compare_factors (gconstpointer a, gconstpointer b)
{
  const Factor *x = *(Factor *const *) a, *y = *(Factor *const *) b;
  if (x->n_fields != y->n_fields)
    return x->n_fields < y->n_fields ? -1 : 1;
  int fields = memcmp (x->fields, y->fields, x->n_fields * sizeof (guint));
  if (fields != 0)
    return fields;
  if (x->rows != y->rows)
    return x->rows < y->rows ? -1 : 1;
  return x->table < y->table ? -1 : x->table > y->table;
}

/* --- elimination --- */

/* The factors that mention a node: with something gathered for it, and with its value alone. */
static void
split_mentions (Work *work, guint node, GPtrArray *gathered, GPtrArray *valued)
{
  GArray *mentions = bl_at (work->mentions, node);
  for (guint i = 0; i < mentions->len; i++)
    {
      Factor *factor = bl_at (work->factors, g_array_index (mentions, guint, i));
      if (!factor->used)
        g_ptr_array_add (find_field (factor->fields, factor->n_fields, FIELD_GATHERED (node))
                             != G_MAXUINT ? gathered : valued, factor);
    }
  g_ptr_array_sort (gathered, compare_factors);
  g_ptr_array_sort (valued, compare_factors);
}

/* A product that is kept among the factors (so that it is freed) but mentioned nowhere. */
static Factor *
held (Work *work, Factor *factor)
{
  factor->held = TRUE;
  g_ptr_array_add (work->factors, factor);
  return factor;
}

static Factor *
unit_factor (Work *work)
{
  Factor *factor = factor_new (work, table_new (work, -1, -1, 1), 0, NULL);
  factor->rows = 1;
  factor->keys = cleared (factor, sizeof (guint64));
  if (factor->width > 0)
    {
      factor->mass = cleared (factor, sizeof (double));
      factor->mass[0] = 1;
      find_peaks (factor);
    }
  return held (work, factor);
}

static Factor *
eliminate_gathered (Work *work, guint node, GPtrArray *gathered, gboolean sum_out)
{
  Factor *all = gathered->len > 0 ? bl_at (gathered, 0) : unit_factor (work);
  for (guint i = 1; i < gathered->len && !work->too_hard; i++)
    all = held (work, product (work, all, bl_at (gathered, i), BL_NET_NONE));
  return close_gate (work, all, node, sum_out);
}

/* Sums a root kept as a value out of the one factor that is left of it. */
static Factor *
eliminate_value (Work *work, guint node, GPtrArray *valued)
{
  Factor *all = bl_at (valued, 0);
  if (valued->len == 1)
    return product (work, all, unit_factor (work), node);
  for (guint i = 1; i < valued->len && !work->too_hard; i++)
    {
      gboolean last = i + 1 == valued->len;
      Factor *next = product (work, all, bl_at (valued, i), last ? node : BL_NET_NONE);
      all = last ? next : held (work, next);
    }
  return all;
}

static void
eliminate (Work *work, guint node)
{
  g_autoptr (GPtrArray) gathered = g_ptr_array_new (), valued = g_ptr_array_new ();
  const BlNetNode *self = node_of (work, node);
  Factor *result;
  split_mentions (work, node, gathered, valued);
  if (isinf (work->cost[node]))
    {
      work->too_hard = TRUE;
      return;
    }
  if (self->kind == BL_NET_ROOT)
    result = eliminate_value (work, node, valued);
  else
    {
      work->closed = node;
      result = eliminate_gathered (work, node, gathered, valued->len == 0);
      if (valued->len > 0 && !work->too_hard)
        {
          g_ptr_array_insert (valued, 0, held (work, result));
          result = eliminate_value (work, node, valued);
        }
    }
  work->closed = BL_NET_NONE;
  work->gone[node] = TRUE;
  for (guint i = 0; self->in != NULL && i < self->in->len; i++)
    work->cost[g_array_index (self->in, BlNetEdge, i).from] = NAN;
  for (guint i = 0; i < self->out->len; i++)
    work->cost[g_array_index (self->out, guint, i)] = NAN;
  keep_factor (work, result);
}

/* Brings the roots of a group together while that stays small, so that "no own event of this
 * component" is a matter of one small table. */
static void
make_roots (Work *work)
{
  g_autoptr (GHashTable) last = g_hash_table_new (NULL, NULL);
  g_autoptr (GPtrArray) done = g_ptr_array_new ();
  for (guint i = 0; i < work->network->nodes->len; i++)
    {
      if (node_of (work, i)->kind != BL_NET_ROOT)
        continue;
      Factor *factor = root_factor (work, i), *before;
      gpointer group = GUINT_TO_POINTER (work->evidence->group[i]);
      if (work->evidence->group[i] != G_MAXUINT && !is_lazy (work, i))
        {
          before = g_hash_table_lookup (last, group);
          if (before != NULL && before->rows * factor->rows <= MERGE_ROWS
              && before->n_fields + factor->n_fields <= 2 * MERGE_FIELDS)
            {
              g_ptr_array_remove (done, before);
              factor = product (work, held (work, before), held (work, factor), BL_NET_NONE);
            }
          g_hash_table_insert (last, group, factor);
        }
      g_ptr_array_add (done, factor);
    }
  for (guint i = 0; i < done->len; i++)
    keep_factor (work, bl_at (done, i));
}

/* --- the root of the circuit --- */

static void
select_counted (Work *work, Factor *all)
{
  Collector out;
  guint table = table_new (work, (int) all->table, -1, 0);
  collector_init (&out, work, held (work, factor_new (work, table, 0, NULL)));
  see (work, out.factor, all);
  guint64 key = 0;
  collector_row (&out, &key); /* a row even when nothing counts: the sum is 0 */
  for (guint r = 0; r < all->rows; r++)
    if (all->n_fields > 0 && all->keys[(gsize) r * all->n_fields] != 0)
      collector_add (&out, &key, all, r, NULL, 0);
  work->total = 0;
  for (guint l = 0; l < out.factor->width; l++)
    work->total += work->mass[l] * (out.factor->width > 1 ? work->evidence->lane_weights[l] : 1);
  collector_finish (&out);
  work->circuit->root = table;
}

static void
finish (Work *work)
{
  Factor *all = NULL;
  for (guint i = 0, n = work->factors->len; i < n && !work->too_hard; i++)
    {
      Factor *factor = bl_at (work->factors, i);
      if (factor->used)
        continue;
      all = all == NULL ? factor : held (work, product (work, all, factor, BL_NET_NONE));
    }
  if (all == NULL)
    all = unit_factor (work);
  if (!work->too_hard)
    select_counted (work, all);
}

static BlOutlook *
outlook_new (const Work *work)
{
  guint n = work->network->nodes->len;
  g_autofree gboolean *lazy = g_new0 (gboolean, n + 1);
  for (guint i = 0; i < n; i++)
    lazy[i] = is_lazy (work, i);
  return bl_outlook_new (work->network, work->evidence, lazy);
}

static Work *
work_new (const BlNetwork *network, const BlEvidenceNodes *evidence, gsize max_terms)
{
  guint n = network->nodes->len;
  Work *work = g_new0 (Work, 1);
  work->network = network;
  work->evidence = evidence;
  work->closed = BL_NET_NONE;
  work->max_terms = MIN (max_terms, G_MAXUINT / 2);
  work->circuit = g_new0 (BlCircuit, 1);
  work->circuit->tables = g_array_new (FALSE, FALSE, sizeof (BlCircuitTable));
  work->circuit->to = g_array_new (FALSE, FALSE, sizeof (guint32));
  work->circuit->of = g_array_new (FALSE, FALSE, sizeof (guint32));
  work->circuit->by = g_array_new (FALSE, FALSE, sizeof (guint32));
  work->circuit->n_nodes = n;
  work->circuit->leaf = g_new (int, n + 1);
  work->circuit->constant = g_new0 (double, 2 * n + 2);
  work->factors = g_ptr_array_new_with_free_func ((GDestroyNotify) factor_free);
  work->mentions = g_ptr_array_new_with_free_func ((GDestroyNotify) g_array_unref);
  work->gone = g_new0 (gboolean, n + 1);
  work->cost = g_new (double, n + 1);
  work->hope = g_new0 (double, n + 1);
  work->foretelling = bl_foretelling_new (network);
  for (guint i = 0; i <= n; i++)
    {
      work->circuit->leaf[i] = -1;
      work->cost[i] = NAN;
      g_ptr_array_add (work->mentions, g_array_new (FALSE, FALSE, sizeof (guint)));
    }
  if (evidence->lanes > 0)
    {
      work->outlook = outlook_new (work);
      work->forecast = bl_forecast_new (network);
    }
  return work;
}

static void
work_free (Work *work)
{
  g_clear_pointer (&work->circuit, bl_circuit_free);
  g_ptr_array_unref (work->factors);
  g_ptr_array_unref (work->mentions);
  g_free (work->gone);
  g_free (work->cost);
  g_free (work->hope);
  bl_outlook_free (work->outlook);
  bl_forecast_free (work->forecast);
  bl_foretelling_free (work->foretelling);
  bl_room_give (work->evidence->room, work->keys);
  bl_room_give (work->evidence->room, work->mass);
  bl_room_give (work->evidence->room, work->slots);
  g_free (work);
}

/* With no rows left out, the smaller estimate is near: boards that came to a quarter of the limit with one node all went
 * beyond it in the end, after most of the time. */
static gboolean
is_hopeless (const Work *work, guint node)
{
  return work->evidence->lanes == 0 && work->hope[node] > log2 ((double) work->max_terms) - 2;
}

BlCircuit *
bl_eliminate (const BlNetwork *network, const BlEvidenceNodes *evidence, gsize max_terms, double *total,
              const int *cancel, GError **error)
{
  Work *work = work_new (network, evidence, max_terms);
  guint node;
  work->cancel = cancel;
  BlCircuit *circuit = NULL;
  make_roots (work);
  for (guint i = 0; i < network->nodes->len; i++)
    if (node_of (work, i)->kind != BL_NET_ROOT && (evidence->reading[i] || evidence->marked[i]))
      keep_factor (work, gate_leaf (work, i));
  while (!work->too_hard && (node = cheapest (work)) != BL_NET_NONE
         && (cancel == NULL || !g_atomic_int_get (cancel)))
    if (is_hopeless (work, node))
      work->too_hard = TRUE;
    else
      eliminate (work, node);
  if (cancel != NULL && g_atomic_int_get (cancel))
    g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_CANCELLED, _("Stopped"));
  else
    {
      finish (work);
      if (work->too_large)
        g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_TOO_HARD,
                     _("This board is connected too densely for an exact diagnosis: more than %u MB"),
                     (guint) (MAX_BYTES >> 20));
      else if (work->too_hard)
        g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_TOO_HARD,
                     _("This board is connected too densely for an exact diagnosis: more than %"
                       G_GSIZE_FORMAT " terms"), max_terms);
      else
        circuit = g_steal_pointer (&work->circuit);
    }
  if (total != NULL)
    *total = work->total;
  work_free (work);
  return circuit;
}
