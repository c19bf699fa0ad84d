/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How much a row of an elimination can still add to the probability of the evidence, at most.
 *
 * A row says of some gates what they have gathered so far, of others what they come to. All joins only ever
 * add: what is gathered is the least a gate comes to, what it hands on is the least that the gates behind it
 * gather, and so on down to the readings. So a row that has a rail absent has every measurement behind it at
 * least that bad, unless it is fed otherwise, long before the factors of those stages are met. Readings that
 * found them in band leave little of such a row: the product, over the readings that are not part of its
 * weight yet, of the most their likelihood can be, given the least they can show.
 *
 * The bound holds because a reading's likelihood is a function of what it shows, what it shows can only get
 * worse, and the probabilities of all that is still to be summed out add up to 1. It is far tighter than a
 * bound of each factor by itself: on boards whose effects are limited to states, where a stage is two stages
 * whose values stay joint, one row in seventy survives it.
 *
 * Not said by the join alone is anything of a gate that counts its feeds, once part of them is summed out: what
 * was gathered of it stands, and only the others are added. A gate of one bit that is set by what is false
 * says nothing unless all its inputs are true.
 *
 * Expected: some hundred gates behind the fields of a factor, a microsecond a row. */
#include "config.h"

#include "bl-outlook.h"

#include "bl-foretold.h"

#include <string.h>

#define MAX_CODE 256 /* codes of a reading are below it */

typedef struct
{
  guint from;
  const guint64 *add;
} Input;

typedef struct
{
  guint place;     /* in a set of readings */
  double *bound;   /* [which * lanes + lane]: the most it can be when it shows a code or worse */
  guint8 which[MAX_CODE]; /* of each code */
} Reading;

struct BlOutlook
{
  const BlNetwork *network;
  const BlEvidenceNodes *evidence;
  guint n_readings;
  GArray **inputs;    /* of each node: Input, those that a row can say something of */
  GArray **fed;       /* of each node: guint */
  Reading **readings; /* of each node; NULL: not read */
  guint *local;       /* of each node: its number in the view being made, + 1 */
};

typedef struct
{
  const BlNetNode *node;
  const Reading *reading;
  guint gathered, value; /* fields of the row; G_MAXUINT: none */
  guint first, n;        /* its inputs */
} Step;

typedef struct
{
  guint step;
  const guint64 *add;
} From;

struct BlOutlookView
{
  const BlOutlook *outlook;
  GArray *steps, *from; /* Step, inputs first; From */
  guint8 *least;        /* of each step: the least it comes to */
  double *most;         /* of each lane, before a row is looked at */
  double *rest;         /* of each lane */
};

/* --- of the network --- */

static gboolean
is_worse (const BlNetNode *node, guint code, guint64 than)
{
  return bl_net_join (node, code, than) == code;
}

/* The most of each likelihood from a code on; the codes in between are as the next that can show. */
static Reading *
reading_new (const BlNetNode *node, const double *value, guint lanes, guint place)
{
  Reading *self = g_new0 (Reading, 1);
  guint n = node->values->len;
  self->place = place;
  self->bound = g_new0 (double, (gsize) n * lanes);
  for (guint i = 0; i < n; i++)
    for (guint j = 0; j < n; j++)
      if (is_worse (node, g_array_index (node->values, guint, j), g_array_index (node->values, guint, i)))
        for (guint l = 0; l < lanes; l++)
          {
            double *bound = &self->bound[(gsize) i * lanes + l];
            *bound = MAX (*bound, value[(gsize) j * lanes + l]);
          }
  for (guint code = 0; code < MAX_CODE; code++)
    {
      guint best = G_MAXUINT;
      for (guint i = 0; i < n; i++)
        {
          guint at = g_array_index (node->values, guint, i);
          if (at <= code && (best == G_MAXUINT || at > g_array_index (node->values, guint, best)))
            best = i;
        }
      self->which[code] = (guint8) best;
    }
  return self;
}

static void
reading_free (Reading *self)
{
  if (self != NULL)
    g_free (self->bound);
  g_free (self);
}

BlOutlook *
bl_outlook_new (const BlNetwork *network, const BlEvidenceNodes *evidence, const gboolean *lazy)
{
  BlOutlook *self = g_new0 (BlOutlook, 1);
  guint n = network->nodes->len;
  self->network = network;
  self->evidence = evidence;
  self->inputs = g_new0 (GArray *, n + 1);
  self->fed = g_new0 (GArray *, n + 1);
  self->readings = g_new0 (Reading *, n + 1);
  self->local = g_new0 (guint, n + 1);
  for (guint i = 0; i < n; i++)
    {
      const BlNetNode *node = bl_net_node (network, i);
      self->inputs[i] = g_array_new (FALSE, FALSE, sizeof (Input));
      self->fed[i] = g_array_new (FALSE, FALSE, sizeof (guint));
      if (evidence->reading[i] && evidence->value[i] != NULL)
        self->readings[i] = reading_new (node, evidence->value[i], evidence->lanes, self->n_readings++);
      for (guint j = 0; node->in != NULL && j < node->in->len; j++)
        {
          const BlNetEdge *edge = &g_array_index (node->in, BlNetEdge, j);
          if (bl_net_node (network, edge->from)->kind == BL_NET_ROOT && !lazy[edge->from])
            continue;
          Input input = { edge->from, edge->add };
          g_array_append_val (self->inputs[i], input);
          g_array_append_val (self->fed[edge->from], i);
        }
    }
  return self;
}

void
bl_outlook_free (BlOutlook *self)
{
  if (self == NULL)
    return;
  for (guint i = 0; i < self->network->nodes->len; i++)
    {
      g_array_unref (self->inputs[i]);
      g_array_unref (self->fed[i]);
      reading_free (self->readings[i]);
    }
  g_free (self->inputs);
  g_free (self->fed);
  g_free (self->readings);
  g_free (self->local);
  g_free (self);
}

guint
bl_outlook_words (const BlOutlook *self)
{
  return self->n_readings / 64 + 1;
}

int
bl_outlook_place (const BlOutlook *self, guint node)
{
  return self->readings[node] != NULL ? (int) self->readings[node]->place : -1;
}

/* --- of a factor --- */

static gboolean
is_seen (const Reading *reading, const guint64 *seen)
{
  return seen[reading->place / 64] >> (reading->place % 64) & 1;
}

static int
compare_nodes (gconstpointer a, gconstpointer b)
{
  const guint x = *(const guint *) a, y = *(const guint *) b;
  return x < y ? -1 : x > y;
}

static void
reach (const BlOutlook *self, GArray *nodes, guint node)
{
  if (self->local[node] != 0)
    return;
  self->local[node] = 1;
  g_array_append_val (nodes, node);
}

/* The nodes of the fields and all behind them, inputs first. */
static GArray *
nodes_behind (const BlOutlook *self, const guint *fields, guint n)
{
  GArray *nodes = g_array_new (FALSE, FALSE, sizeof (guint));
  for (guint i = 0; i < n; i++)
    if (BL_FIELD_NODE (fields[i]) < self->network->nodes->len)
      reach (self, nodes, BL_FIELD_NODE (fields[i]));
  for (guint i = 0; i < nodes->len; i++)
    {
      const GArray *fed = self->fed[g_array_index (nodes, guint, i)];
      for (guint j = 0; j < fed->len; j++)
        reach (self, nodes, g_array_index (fed, guint, j));
    }
  g_array_sort (nodes, compare_nodes);
  for (guint i = 0; i < nodes->len; i++)
    self->local[g_array_index (nodes, guint, i)] = i + 1;
  return nodes;
}

static guint
place_of (const guint *fields, guint n, guint field)
{
  for (guint i = 0; i < n; i++)
    if (fields[i] == field)
      return i;
  return G_MAXUINT;
}

/* What was gathered by a gate that counts has what is summed out in it already. */
static gboolean
adds (const Step *step, const Input *input, const gboolean *gone)
{
  return step->node->kind != BL_NET_COUNT || step->gathered == G_MAXUINT || !gone[input->from];
}

static void
add_step (BlOutlookView *view, guint index, const gboolean *gone, const guint *fields, guint n)
{
  const BlOutlook *self = view->outlook;
  Step step = { .node = bl_net_node (self->network, index), .reading = self->readings[index],
                .gathered = place_of (fields, n, BL_FIELD_GATHERED (index)),
                .value = place_of (fields, n, BL_FIELD_VALUE (index)), .first = view->from->len };
  for (guint i = 0; i < self->inputs[index]->len; i++)
    {
      const Input *input = &g_array_index (self->inputs[index], Input, i);
      From from = { self->local[input->from] - 1, input->add };
      if (self->local[input->from] != 0 && adds (&step, input, gone))
        g_array_append_val (view->from, from);
    }
  step.n = view->from->len - step.first;
  g_array_append_val (view->steps, step);
}

BlOutlookView *
bl_outlook_view (const BlOutlook *self, const gboolean *gone, const guint *fields, guint n, const guint64 *seen)
{
  BlOutlookView *view = g_new0 (BlOutlookView, 1);
  guint lanes = self->evidence->lanes;
  g_autoptr (GArray) nodes = nodes_behind (self, fields, n);
  view->outlook = self;
  view->steps = g_array_sized_new (FALSE, FALSE, sizeof (Step), nodes->len);
  view->from = g_array_new (FALSE, FALSE, sizeof (From));
  view->least = g_new0 (guint8, nodes->len + 1);
  view->most = g_memdup2 (self->evidence->lane_weights, lanes * sizeof (double));
  view->rest = g_new (double, lanes);
  for (guint i = 0; i < nodes->len; i++)
    add_step (view, g_array_index (nodes, guint, i), gone, fields, n);
  for (guint i = 0; i < self->network->nodes->len; i++)
    {
      const Reading *reading = self->readings[i];
      if (reading == NULL)
        continue;
      if (self->local[i] != 0 && is_seen (reading, seen))
        g_array_index (view->steps, Step, self->local[i] - 1).reading = NULL;
      if (self->local[i] == 0 && !is_seen (reading, seen))
        for (guint l = 0; l < lanes; l++)
          view->most[l] *= reading->bound[(gsize) reading->which[0] * lanes + l];
    }
  for (guint i = 0; i < nodes->len; i++)
    self->local[g_array_index (nodes, guint, i)] = 0;
  return view;
}

void
bl_outlook_view_free (BlOutlookView *view)
{
  if (view == NULL)
    return;
  g_array_unref (view->steps);
  g_array_unref (view->from);
  g_free (view->least);
  g_free (view->most);
  g_free (view->rest);
  g_free (view);
}

/* --- of a row --- */

static gboolean
all_true (const BlOutlookView *view, const Step *step)
{
  for (guint i = 0; i < step->n; i++)
    if (view->least[g_array_index (view->from, From, step->first + i).step] == 0)
      return FALSE;
  return step->n == step->node->in->len;
}

/* The least that a step comes to; of a reading a code. */
static guint64
come_to (const BlOutlookView *view, const Step *step, const guint64 *key)
{
  if (step->value != G_MAXUINT)
    return key[step->value];
  if (step->node->kind == BL_NET_AND)
    return all_true (view, step);
  guint64 state = step->gathered != G_MAXUINT ? key[step->gathered] : 0;
  for (guint i = 0; i < step->n; i++)
    {
      const From *from = &g_array_index (view->from, From, step->first + i);
      state = bl_net_join (step->node, state, from->add[view->least[from->step]]);
    }
  return bl_net_close (step->node, state);
}

static gboolean
is_enough (const BlOutlookView *view)
{
  const BlEvidenceNodes *evidence = view->outlook->evidence;
  for (guint l = 0; l < evidence->lanes; l++)
    if (view->rest[l] >= evidence->least)
      return TRUE;
  return FALSE;
}

gboolean
bl_outlook_matters (BlOutlookView *view, const guint64 *key, const double *mass, guint width, double chance)
{
  guint lanes = view->outlook->evidence->lanes;
  gboolean enough;
  for (guint l = 0; l < lanes; l++)
    view->rest[l] = view->most[l] * mass[width > 1 ? l : 0] * chance;
  enough = is_enough (view);
  for (guint i = 0; i < view->steps->len && enough; i++)
    {
      const Step *step = &g_array_index (view->steps, Step, i);
      guint64 least = come_to (view, step, key);
      view->least[i] = (guint8) least;
      if (step->reading == NULL)
        continue;
      const double *bound = step->reading->bound + (gsize) step->reading->which[least] * lanes;
      for (guint l = 0; l < lanes; l++)
        view->rest[l] *= bound[l];
      enough = is_enough (view);
    }
  return enough;
}
