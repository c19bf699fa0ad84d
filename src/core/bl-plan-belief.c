/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is believed in the middle of a plan: shares of the hypotheses, the tests that still tell
 * something, the state and lead the board was left in. Some hundred hypotheses and some dozen tests;
 * a look at all tests costs one multiplication per hypothesis, test and class.
 *
 * Tests are taken to be independent given the hypothesis, and each is taken once. */
#include "config.h"

#include "bl-plan-private.h"

#include <math.h>
#include <string.h>

#define TINY 1e-12     /* a share below this is rounding */
#define TINY_BITS 1e-10
#define LOG2_E 1.4426950408889634

enum { LOG_STEPS = 1024 };
static double log_of[LOG_STEPS], inverse_of[LOG_STEPS];

static gpointer
make_logarithms (gpointer unused)
{
  for (guint i = 0; i < LOG_STEPS; i++)
    {
      double middle = 1 + (i + .5) / LOG_STEPS;
      log_of[i] = log2 (middle);
      inverse_of[i] = 1 / middle;
    }
  return NULL;
}

/* Most of the time goes into logarithms. A table and three terms of the series for what is left of
 * the mantissa, below 2^-11, are exact to 1e-14. */
static inline double
x_log_x (double x)
{
  guint64 bits;
  double mantissa;
  if (!(x > G_MINDOUBLE))
    return 0;
  memcpy (&bits, &x, sizeof bits);
  int exponent = (int) (bits >> 52) - 1023;
  guint step = (guint) (bits >> 42) & (LOG_STEPS - 1);
  bits = (bits & G_GUINT64_CONSTANT (0xFFFFFFFFFFFFF)) | G_GUINT64_CONSTANT (0x3FF0000000000000);
  memcpy (&mantissa, &bits, sizeof mantissa);
  double r = mantissa * inverse_of[step] - 1;
  return x * (exponent + log_of[step] + r * (1 - r * (.5 - r * (1. / 3))) * LOG2_E);
}

void
bl_plan_table_free (BlPlanTable *table)
{
  if (table == NULL)
    return;
  for (guint t = 0; t < table->n_tests; t++)
    g_free (table->tests[t].chance);
  g_free (table->tests);
  g_free (table->prior);
  g_free (table->group);
  g_free (table->also);
  g_free (table->enter);
  g_free (table);
}

/* --- rows --- */

/* Which of the rows seen so far is that of hypothesis h; a new one otherwise. */
static guint
row_of (const BlPlanTest *test, BlPlanRows *rows, guint h)
{
  gsize size = test->n_classes * sizeof (double);
  const double *chance = test->chance + (gsize) h * test->n_classes;
  for (guint r = rows->n; r-- > 0;)
    if (memcmp (rows->chance + (gsize) r * test->n_classes, chance, size) == 0)
      return r;
  if (rows->n % 8 == 0)
    {
      rows->chance = g_renew (double, rows->chance, (gsize) (rows->n + 8) * test->n_classes);
      rows->entropy = g_renew (double, rows->entropy, rows->n + 8);
    }
  memcpy (rows->chance + (gsize) rows->n * test->n_classes, chance, size);
  rows->entropy[rows->n] = 0;
  for (guint c = 0; c < test->n_classes; c++)
    rows->entropy[rows->n] -= x_log_x (chance[c]);
  return rows->n++;
}

static void
find_rows (const BlPlanTest *test, guint n, BlPlanRows *rows)
{
  *rows = (BlPlanRows){ g_new (guint16, n + 1), NULL, NULL, 0 };
  for (guint h = 0; h < n; h++)
    rows->of[h] = (guint16) row_of (test, rows, h);
}

/* --- what must be told apart --- */

static guint
root_of (guint *link, guint i)
{
  while (link[i] != i)
    i = link[i] = link[link[i]];
  return i;
}

static gboolean
is_certain (const BlPlanTable *table, double *cost_a_bit)
{
  *cost_a_bit = INFINITY;
  for (guint t = 0; t < table->n_tests; t++)
    {
      const BlPlanTest *test = &table->tests[t];
      for (guint i = 0; i < table->n_hypotheses * test->n_classes; i++)
        if (test->chance[i] > 0 && test->chance[i] < 1)
          return FALSE;
      if (test->n_classes > 1)
        *cost_a_bit = MIN (*cost_a_bit, test->cost / log2 (test->n_classes));
    }
  return isfinite (*cost_a_bit) && table->also == NULL;
}

static gboolean
same_rows (const BlPlanTable *table, guint a, guint b)
{
  for (guint t = 0; t < table->n_tests; t++)
    {
      guint n = table->tests[t].n_classes;
      if (memcmp (table->tests[t].chance + (gsize) a * n, table->tests[t].chance + (gsize) b * n,
                  n * sizeof (double)) != 0)
        return FALSE;
    }
  return TRUE;
}

/* Where every test is certain and certainty is wanted, a plan ends with hypotheses of one group, or
 * with such as no test tells apart: always within one block. So a plan must make out the block. */
static void
find_blocks (BlPlanContext *self)
{
  const BlPlanTable *table = self->table;
  guint n = table->n_hypotheses;
  if (table->enough < 1 - TINY || table->telling > TINY || !is_certain (table, &self->cost_a_bit))
    return;
  g_autofree guint *link = g_new (guint, n + 1);
  for (guint i = 0; i < n; i++)
    link[i] = i;
  for (guint i = 0; i < n; i++)
    for (guint j = 0; j < i; j++)
      if (table->group[i] == table->group[j] || same_rows (table, i, j))
        link[root_of (link, i)] = root_of (link, j);
  self->block = g_new (int, n + 1);
  for (guint i = 0; i < n; i++)
    self->block[i] = (int) root_of (link, i);
}

void
bl_plan_context_init (BlPlanContext *self, const BlPlanTable *table)
{
  static GOnce once = G_ONCE_INIT;
  guint n = table->n_hypotheses, at = 0;
  g_once (&once, make_logarithms, NULL);
  *self = (BlPlanContext){ .table = table, .drop = TINY };
  self->rows = g_new (BlPlanRows, table->n_tests + 1);
  for (guint t = 0; t < table->n_tests; t++)
    find_rows (&table->tests[t], n, &self->rows[t]);
  self->spans = g_new (struct BlPlanSpan, n + 1);
  self->by_row = g_new (double, n + 1);
  self->order = g_new (guint, n + 1);
  for (guint i = 0; i < n; i++)
    {
      self->n_groups = MAX (self->n_groups, (guint) table->group[i] + 1);
      if (table->also != NULL && table->also[i] >= 0)
        self->n_groups = MAX (self->n_groups, (guint) table->also[i] + 1);
    }
  for (guint g = 0; g < self->n_groups; g++)
    for (guint i = 0; i < n; i++)
      if (table->group[i] == (int) g)
        self->order[at++] = i;
  self->by_group = g_new0 (double, MAX (self->n_groups, n) + 1);
  find_blocks (self);
}

void
bl_plan_context_clear (BlPlanContext *self)
{
  g_free (self->order);
  g_free (self->block);
  g_free (self->by_group);
  for (guint t = 0; t < self->table->n_tests; t++)
    {
      g_free (self->rows[t].of);
      g_free (self->rows[t].chance);
      g_free (self->rows[t].entropy);
    }
  g_free (self->rows);
  g_free (self->spans);
  g_free (self->by_row);
}

/* --- beliefs --- */

void
bl_belief_free (BlBelief *belief)
{
  if (belief == NULL)
    return;
  g_free (belief->which);
  g_free (belief->p);
  g_free (belief->offers);
  g_free (belief);
}

/* Scales to a sum of 1 and gives up what is negligible. FALSE: nothing is left. */
static gboolean
settle (BlPlanContext *context, BlBelief *belief, double sum)
{
  guint n = 0;
  double kept = 0;
  if (!(sum > 0))
    return FALSE;
  for (guint i = 0; i < belief->n; i++)
    if (belief->p[i] >= context->drop * sum)
      {
        belief->which[n] = belief->which[i];
        kept += belief->p[n++] = belief->p[i];
      }
  belief->n = n;
  for (guint i = 0; i < n; i++)
    belief->p[i] /= kept;
  return n > 0;
}

BlBelief *
bl_belief_first (BlPlanContext *context)
{
  const BlPlanTable *table = context->table;
  BlBelief *belief = g_new0 (BlBelief, 1);
  double sum = 0;
  belief->which = g_new (guint, table->n_hypotheses + 1);
  belief->p = g_new (double, table->n_hypotheses + 1);
  belief->n = table->n_hypotheses;
  belief->reached = 1;
  belief->state = table->state;
  belief->lead = table->lead;
  belief->begun = table->begun;
  for (guint i = 0; i < table->n_hypotheses; i++)
    {
      belief->which[i] = context->order[i];
      sum += belief->p[i] = MAX (table->prior[context->order[i]], 0);
    }
  for (guint t = 0; t < MIN (table->n_tests, (guint) BL_PLAN_MAX_TESTS); t++)
    if (!table->tests[t].taken)
      belief->open[t / 64] |= G_GUINT64_CONSTANT (1) << (t % 64);
  memcpy (belief->left, belief->open, sizeof belief->left);
  if (!settle (context, belief, sum))
    belief->n = 0;
  return belief;
}

double
bl_belief_cost (const BlPlanContext *context, const BlBelief *belief, guint test)
{
  const BlPlanTable *table = context->table;
  const BlPlanTest *self = &table->tests[test];
  double cost = self->cost;
  if (!belief->begun)
    return cost;
  if (self->state >= 0 && self->state != belief->state && table->enter != NULL)
    cost += table->enter[self->state];
  if (self->lead >= 0 && self->lead != belief->lead)
    cost += table->change_lead;
  return cost;
}

BlBelief *
bl_belief_after (BlPlanContext *context, const BlBelief *belief, guint test, guint class_index)
{
  const BlPlanTest *self = &context->table->tests[test];
  BlBelief *after = g_new0 (BlBelief, 1);
  double sum = 0;
  after->which = g_new (guint, belief->n + 1);
  after->p = g_new (double, belief->n + 1);
  for (guint i = 0; i < belief->n; i++)
    {
      double p = belief->p[i] * self->chance[(gsize) belief->which[i] * self->n_classes + class_index];
      if (!(p > 0))
        continue;
      after->which[after->n] = belief->which[i];
      sum += after->p[after->n++] = p;
    }
  context->work += belief->n;
  memcpy (after->open, belief->left, sizeof after->open);
  after->open[test / 64] &= ~(G_GUINT64_CONSTANT (1) << (test % 64));
  memcpy (after->left, after->open, sizeof after->left);
  after->state = self->state >= 0 ? self->state : belief->state;
  after->lead = self->lead >= 0 ? self->lead : belief->lead;
  after->begun = TRUE;
  after->reached = belief->reached * sum;
  if (settle (context, after, sum))
    return after;
  bl_belief_free (after);
  return NULL;
}

/* --- a look at the tests --- */

/* The hypotheses of each group, and the sum of x log x over groups. */
static double
find_spans (BlPlanContext *context, const BlBelief *belief)
{
  const int *group = context->table->group;
  double sum = 0, in_group = 0;
  context->n_spans = 0;
  for (guint i = 0; i < belief->n; i++)
    {
      in_group += belief->p[i];
      if (i + 1 == belief->n || group[belief->which[i + 1]] != group[belief->which[i]])
        {
          struct BlPlanSpan *span = &context->spans[context->n_spans++];
          *span = (struct BlPlanSpan){ i + 1, in_group, x_log_x (in_group) };
          sum += span->x_log_x;
          in_group = 0;
        }
    }
  return sum;
}

enum { LOGARITHM = 3 /* multiplications */ };

/* The hypotheses of a group that do not all show the same row: sum of x log x over classes, less that of the group. */
static double
mixed_bits (BlPlanContext *context, const BlBelief *belief, const BlPlanRows *rows, guint n, guint begin,
            const struct BlPlanSpan *span)
{
  enum { MOST = 64 };
  double joint[MOST] = { 0 }, sum = -span->x_log_x;
  for (guint i = begin; i < span->end; i++)
    {
      const double *chance = rows->chance + (gsize) rows->of[belief->which[i]] * n;
      context->by_row[rows->of[belief->which[i]]] += belief->p[i];
      for (guint c = 0; c < n; c++)
        joint[c] += belief->p[i] * chance[c];
    }
  for (guint c = 0; c < n; c++)
    sum += x_log_x (joint[c]);
  context->work += (gsize) n * (span->end - begin + LOGARITHM);
  return sum;
}

/* Entropy of what is read less what of it is left when the group is known. For a group whose hypotheses all show the
 * same row that is the row's own, known before. The spans are those of this belief. */
static double
bits_of (BlPlanContext *context, const BlBelief *belief, guint test)
{
  enum { OVERHEAD = 16 /* multiplications */ };
  const BlPlanRows *rows = &context->rows[test];
  guint n = context->table->tests[test].n_classes, begin = 0;
  guint16 only = rows->of[belief->which[0]];
  gboolean differ = FALSE;
  double sum = 0;
  g_assert (n <= 64);
  memset (context->by_row, 0, rows->n * sizeof (double));
  for (guint s = 0; s < context->n_spans; s++)
    {
      const struct BlPlanSpan *span = &context->spans[s];
      guint16 first = rows->of[belief->which[begin]];
      guint i = begin + 1;
      while (i < span->end && rows->of[belief->which[i]] == first)
        i++;
      differ = differ || first != only || i < span->end;
      if (i == span->end)
        {
          context->by_row[first] += span->p;
          sum -= span->p * rows->entropy[first];
        }
      else
        sum += mixed_bits (context, belief, rows, n, begin, span);
      begin = span->end;
    }
  context->work += OVERHEAD + belief->n + context->n_spans;
  if (!differ)
    return 0;
  context->work += (gsize) n * (LOGARITHM + rows->n);
  for (guint c = 0; c < n; c++)
    {
      double read = 0;
      for (guint r = 0; r < rows->n; r++)
        read += context->by_row[r] * rows->chance[r * n + c];
      sum -= x_log_x (read);
    }
  return sum;
}

double
bl_belief_bits (BlPlanContext *context, const BlBelief *belief, guint test)
{
  find_spans (context, belief);
  double bits = belief->n > 0 ? bits_of (context, belief, test) : 0;
  return bits > TINY_BITS ? bits : 0;
}

static void
find_leader (BlPlanContext *context, BlBelief *belief)
{
  const BlPlanTable *table = context->table;
  memset (context->by_group, 0, context->n_groups * sizeof (double));
  for (guint i = 0; i < belief->n; i++)
    {
      guint h = belief->which[i];
      context->by_group[table->group[h]] += belief->p[i];
      if (table->also != NULL && table->also[h] >= 0)
        context->by_group[table->also[h]] += belief->p[i];
    }
  belief->group = -1;
  belief->share = 0;
  for (guint g = 0; g < context->n_groups; g++)
    if (context->by_group[g] > belief->share)
      {
        belief->share = context->by_group[g];
        belief->group = (int) g;
      }
}

/* Better ones first; the safer of equals, then the order of the table. */
static int
compare_offers (gconstpointer a, gconstpointer b, gpointer data)
{
  const struct BlPlanOffer *x = a, *y = b;
  const BlPlanTable *table = data;
  double p = x->bits * y->cost, q = y->bits * x->cost;
  if (fabs (p - q) > 1e-9 * MAX (p, q))
    return p > q ? -1 : 1;
  if (table->tests[x->test].danger != table->tests[y->test].danger)
    return table->tests[x->test].danger < table->tests[y->test].danger ? -1 : 1;
  return x->test < y->test ? -1 : 1;
}

void
bl_belief_glance (BlPlanContext *context, BlBelief *belief)
{
  belief->entropy = -find_spans (context, belief);
  find_leader (context, belief);
  belief->done = belief->n == 0 || belief->share >= context->table->enough - TINY;
}

void
bl_belief_look (BlPlanContext *context, BlBelief *belief)
{
  const BlPlanTable *table = context->table;
  if (belief->offers != NULL)
    return;
  bl_belief_glance (context, belief);
  belief->least_cost = INFINITY;
  if (belief->done)
    return;
  belief->offers = g_new (struct BlPlanOffer, MIN (table->n_tests, (guint) BL_PLAN_MAX_TESTS) + 1);
  for (guint t = 0; t < MIN (table->n_tests, (guint) BL_PLAN_MAX_TESTS); t++)
    {
      guint64 bit = G_GUINT64_CONSTANT (1) << (t % 64);
      if (!(belief->open[t / 64] & bit))
        continue;
      struct BlPlanOffer offer = { t, bl_belief_cost (context, belief, t), bits_of (context, belief, t) };
      if (offer.bits <= TINY_BITS)
        belief->left[t / 64] &= ~bit;
      if (offer.bits <= MAX (table->telling, TINY_BITS))
        continue;
      belief->least_cost = MIN (belief->least_cost, offer.cost);
      struct BlPlanOffer *last = &belief->offers[belief->n_offers++];
      *last = offer;
      if (compare_offers (last, belief->offers, (gpointer) table) < 0)
        {
          *last = belief->offers[0];
          belief->offers[0] = offer;
        }
    }
  belief->done = belief->n_offers == 0;
}

void
bl_belief_rank (const BlPlanContext *context, BlBelief *belief)
{
  if (belief->n_offers > 1 && !belief->ranked)
    g_qsort_with_data (belief->offers, (int) belief->n_offers, sizeof *belief->offers, compare_offers,
                       (gpointer) context->table);
  belief->ranked = TRUE;
}

/* Puts an offer among the first n of picked, the best first, most at most. Returns how many there are then. */
static guint
put_among (const BlPlanTable *table, const struct BlPlanOffer *offer, struct BlPlanOffer *picked, guint n, guint most)
{
  guint at = n;
  while (at > 0 && compare_offers (offer, &picked[at - 1], (gpointer) table) < 0)
    at--;
  if (at == most)
    return n;
  n = MIN (n + 1, most);
  memmove (picked + at + 1, picked + at, (n - at - 1) * sizeof *picked);
  picked[at] = *offer;
  return n;
}

static int
find_state (const BlPlanTable *table, const struct BlPlanOffer *picked, guint n, int state)
{
  for (guint i = 0; i < n; i++)
    if (table->tests[picked[i].test].state == state)
      return (int) i;
  return -1;
}

guint
bl_belief_pick (const BlPlanContext *context, const BlBelief *belief, guint width, struct BlPlanOffer *picked)
{
  const BlPlanTable *table = context->table;
  struct BlPlanOffer *others = picked + width;
  guint n = 0, n_others = 0;
  for (guint i = 0; i < belief->n_offers; i++)
    n = put_among (table, &belief->offers[i], picked, n, width);
  for (guint i = 0; i < belief->n_offers && n == width; i++)
    {
      const struct BlPlanOffer *offer = &belief->offers[i];
      int state = table->tests[offer->test].state, same = find_state (table, others, n_others, state);
      if (find_state (table, picked, n, state) >= 0
          || (same >= 0 && compare_offers (offer, &others[same], (gpointer) table) > 0))
        continue;
      for (guint j = (guint) MAX (same, 0); same >= 0 && j + 1 < n_others; j++)
        others[j] = others[j + 1];
      n_others = put_among (table, offer, others, n_others - (same >= 0 ? 1 : 0), width);
    }
  return n + n_others;
}

/* One more test at least. With blocks: the bits that are missing, each at the cheapest any test can
 * give them (a class among n says log2 n bits at most). */
double
bl_belief_bound (BlPlanContext *context, const BlBelief *belief)
{
  double entropy = 0;
  if (belief->done)
    return 0;
  if (context->block == NULL)
    return belief->least_cost;
  double *by_block = context->by_group;
  memset (by_block, 0, context->table->n_hypotheses * sizeof *by_block);
  for (guint i = 0; i < belief->n; i++)
    by_block[context->block[belief->which[i]]] += belief->p[i];
  for (guint i = 0; i < belief->n; i++)
    {
      entropy -= x_log_x (by_block[context->block[belief->which[i]]]);
      by_block[context->block[belief->which[i]]] = 0;
    }
  return MAX (belief->least_cost, entropy * context->cost_a_bit * (1 - TINY));
}

/* --- names --- */

static void
stir (BlBeliefKey *key, guint64 value)
{
  key->word[0] = (key->word[0] ^ value) * G_GUINT64_CONSTANT (0x9E3779B97F4A7C15);
  key->word[0] ^= key->word[0] >> 29;
  key->word[1] = (key->word[1] + value) * G_GUINT64_CONSTANT (0xD6E8FEB86659FD93);
  key->word[1] ^= key->word[1] >> 32;
}

/* Shares are rounded to 30 bits, so that rounding on the way makes no difference. */
BlBeliefKey
bl_belief_key (const BlBelief *belief, guint salt, gboolean looked)
{
  BlBeliefKey key = { { salt + 1, ~(guint64) salt } };
  for (guint i = 0; i < belief->n; i++)
    {
      int exponent;
      double mantissa = frexp (belief->p[i], &exponent);
      stir (&key, belief->which[i]);
      stir (&key, (guint64) (gint64) round (mantissa * 1073741824.0) * 4096 + (guint64) (exponent + 2048));
    }
  for (guint w = 0; w < BL_PLAN_WORDS; w++)
    stir (&key, looked ? belief->left[w] : belief->open[w]);
  stir (&key, (guint64) (belief->state + 2) << 32 | (guint64) (belief->lead + 2) << 1 | (guint64) belief->begun);
  return key;
}
