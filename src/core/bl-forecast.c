/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How likely at most the values are that rows of an elimination foretell.
 *
 * Where a gate is closed before one of its inputs, its factor has a row for every value that the input may turn
 * out to have, however unlikely: the events that decide it are part of other factors. With four rails in two
 * states of the board that is 5^8 combinations, of which those that matter need no more than a few events. Here
 * the priors of the events alone bound what such a row can still come to.
 *
 * As long as gates gather by or, what a set of events does to them is the join of what each does by itself: its
 * mark. For a row's values to come true there must be events whose marks stay within the values everywhere and
 * together reach each of them. Marks that fit are few: one upstream event explains many values at once, but only
 * when all that it would bring are there. How likely it is that independent events cover all values is a sum over
 * the sets of values covered. Links and shows may go either way, with whatever chance: each way counts in full.
 *
 * A row's own events may have done part of it. What they did at most, d, is known from what the row has gathered:
 * of a value v the others' join w must satisfy d or w = v. The others are independent of the row's events, and the
 * probability of theirs alone is at most that of all events over the probability that no event at all happens.
 * Where a row has gathered nothing, w = v. (A factor keeps one state for all that lead to v alike; where it is as
 * good as nothing gathered, w = v still, and what the gate hands on adds nothing to what w hands on.)
 *
 * Nothing here is approximate but upwards. Expected: fifty gates of which a factor foretells up to ten, a hundred
 * marks. Gates that count, and what lies behind them, are left aside.
 *
 * A little over 600 lines because a row's own doing and what the others must do are words of one make. */
#include "config.h"

#include "bl-forecast.h"

#include "bl-foretold.h"

#include <string.h>

enum
{
  MAX_GATES = 16,  /* foretold by one factor, four bits of a word each; more would only strike out more */
  MAX_COVERED = 10, /* values of a row whose coming about is weighed */
  MAX_WAYS = 4,    /* links and shows of an event that are tried both ways */
  ANYTHING = 255,  /* in a mark: of an event with more of them */
  N_KNOWN = 1024
};

/* An event, or several of one mark. */
typedef struct
{
  double p;
  guint n;        /* ways */
  guint8 *marks;  /* [way * gates + gate] */
} Event;

struct BlForecast
{
  const BlNetwork *network;
  guint n;
  guint *gates;   /* stages before which nothing counts */
  guint8 *before; /* of each node: it feeds one of them, at some remove, or is one */
  guint *joined;  /* of each gate a bit for every value that is a join of others */
  GArray *events; /* Event */
  double none;    /* probability that no event happens */
  struct Known *known; /* N_KNOWN answers given before */
  guint views;    /* made so far */
  guint *local;   /* of each node: scratch */
};

/* A way of an event as far as one factor is concerned. */
typedef struct
{
  guint64 mark, wild; /* wild: all bits of a gate that it may do anything to */
  double p;
  guint event;
} Mark;

typedef struct
{
  const BlNetNode *node;
  guint gathered, value; /* fields of the row; G_MAXUINT: none */
  int gate;              /* place of a gate foretold in the view's words; -1 */
  gboolean foretold;     /* the value is not the row's own doing */
  guint first, n;        /* inputs */
} Step;

typedef struct
{
  guint step;
  const guint64 *add;
} From;

typedef struct Known
{
  guint view;               /* its number; 0: nothing is known */
  guint64 word, did, which;
  double most;
} Known;

struct BlForecastView
{
  const BlForecast *forecast;
  guint number;
  GArray *steps, *from;
  GArray *marks;                   /* Mark */
  guint n, joined[MAX_GATES];
  const BlNetNode *gate[MAX_GATES]; /* foretold */
  guint8 *did;                     /* of each step: what the row's events did at most */
};

/* --- which gates --- */

/* Of each node: whether all that it depends on gathers by or, but for links and shows. */
static gboolean *
find_plain (const BlNetwork *network)
{
  gboolean *plain = g_new0 (gboolean, network->nodes->len + 1);
  for (guint i = 0; i < network->nodes->len; i++)
    {
      const BlNetNode *node = bl_net_node (network, i);
      plain[i] = node->kind == BL_NET_ROOT || node->kind == BL_NET_OR || node->kind == BL_NET_AND;
      for (guint j = 0; node->in != NULL && j < node->in->len; j++)
        plain[i] &= plain[g_array_index (node->in, BlNetEdge, j).from];
    }
  return plain;
}

static gboolean
is_join (const BlNetNode *node, guint64 value)
{
  for (guint a = 0; a < BL_NET_VALUES; a++)
    for (guint b = 0; b < a; b++)
      {
        guint x = node->canon[a], y = node->canon[b];
        if (x != value && y != value && bl_net_join (node, x, y) == value)
          return TRUE;
      }
  return FALSE;
}

static guint
find_joined (const BlNetNode *node)
{
  guint joined = 0;
  for (guint i = 0; i < node->values->len; i++)
    {
      guint value = g_array_index (node->values, guint, i);
      joined |= is_join (node, value) ? 1u << value : 0;
    }
  return joined;
}

static void
choose_gates (BlForecast *self)
{
  const BlNetwork *network = self->network;
  g_autofree gboolean *plain = find_plain (network);
  for (guint i = 0; i < network->nodes->len; i++)
    if (plain[i] && bl_net_node (network, i)->stage)
      {
        self->joined[self->n] = find_joined (bl_net_node (network, i));
        self->gates[self->n++] = i;
      }
}

/* Marks what leads to the nodes marked. */
static void
find_before (const BlNetwork *network, guint8 *before)
{
  for (guint i = network->nodes->len; i-- > 0;)
    {
      const GArray *out = bl_net_node (network, i)->out;
      for (guint j = 0; j < out->len && !before[i]; j++)
        before[i] = before[g_array_index (out, guint, j)];
    }
}

/* --- marks --- */

/* Whether a root is what an and gate's other input waits for: of two roots the likelier. */
static gboolean
is_awaited (const BlNetwork *network, guint root, const BlNetNode *gate)
{
  double p = bl_net_node (network, root)->p;
  if (gate->kind != BL_NET_AND)
    return FALSE;
  for (guint i = 0; i < gate->in->len; i++)
    {
      guint other = g_array_index (gate->in, BlNetEdge, i).from;
      const BlNetNode *node = bl_net_node (network, other);
      if (other != root && node->kind == BL_NET_ROOT && (node->p > p || (node->p == p && other > root)))
        return FALSE;
    }
  return TRUE;
}

/* A link, a show: it does nothing by itself, and is taken to go either way. */
static gboolean
is_choice (const BlNetwork *network, guint root)
{
  const GArray *out = bl_net_node (network, root)->out;
  for (guint i = 0; i < out->len; i++)
    if (!is_awaited (network, root, bl_net_node (network, g_array_index (out, guint, i))))
      return FALSE;
  return out->len > 0;
}

static int
compare_nodes (gconstpointer a, gconstpointer b)
{
  const guint x = *(const guint *) a, y = *(const guint *) b;
  return x < y ? -1 : x > y;
}

static void
reach (const BlForecast *self, const guint8 *within, GArray *nodes, guint node)
{
  if (self->local[node] != 0 || !within[node])
    return;
  self->local[node] = 1;
  g_array_append_val (nodes, node);
}

/* Adds what lies behind the nodes; inputs first. local then has their numbers, + 1. */
static void
reach_behind (const BlForecast *self, const guint8 *within, GArray *nodes)
{
  for (guint i = 0; i < nodes->len; i++)
    {
      const GArray *out = bl_net_node (self->network, g_array_index (nodes, guint, i))->out;
      for (guint j = 0; j < out->len; j++)
        reach (self, within, nodes, g_array_index (out, guint, j));
    }
  g_array_sort (nodes, compare_nodes);
  for (guint i = 0; i < nodes->len; i++)
    self->local[g_array_index (nodes, guint, i)] = i + 1;
}

static void
forget (const BlForecast *self, const GArray *nodes)
{
  for (guint i = 0; i < nodes->len; i++)
    self->local[g_array_index (nodes, guint, i)] = 0;
}

/* What a node comes to when one event alone happens; ways: a bit for each choice on from this one, or all set for
 * however many there are. */
static guint8
played (const BlForecast *self, guint index, const guint8 *values, guint *ways)
{
  const BlNetNode *node = bl_net_node (self->network, index);
  guint64 state = 0;
  gboolean any = FALSE;
  for (guint j = 0; j < node->in->len; j++)
    {
      const BlNetEdge *edge = &g_array_index (node->in, BlNetEdge, j);
      guint local = self->local[edge->from];
      if (local == 0 || values[local - 1] == 0)
        continue;
      any = TRUE;
      state = bl_net_join (node, state, edge->add[values[local - 1]]);
    }
  if (node->kind != BL_NET_AND)
    return (guint8) bl_net_close (node, state);
  any &= *ways & 1;
  if (*ways != G_MAXUINT)
    *ways >>= 1;
  return (guint8) any;
}

static void
play (const BlForecast *self, const GArray *nodes, guint ways, guint8 *mark)
{
  g_autofree guint8 *values = g_new0 (guint8, nodes->len + 1);
  values[0] = 1;
  for (guint i = 1; i < nodes->len; i++)
    values[i] = played (self, g_array_index (nodes, guint, i), values, &ways);
  for (guint i = 0; i < self->n; i++)
    mark[i] = self->local[self->gates[i]] != 0 ? values[self->local[self->gates[i]] - 1] : 0;
}

static void
play_ways (const BlForecast *self, const GArray *nodes, guint choices, Event *event)
{
  guint all = 1u << MIN (choices, MAX_WAYS);
  event->marks = g_malloc ((gsize) all * self->n);
  for (guint way = 0; way < all; way++)
    {
      guint8 *mark = event->marks + (gsize) event->n * self->n;
      guint i = 0;
      play (self, nodes, choices > MAX_WAYS ? way * G_MAXUINT : way, mark);
      while (i < event->n && memcmp (event->marks + (gsize) i * self->n, mark, self->n) != 0)
        i++;
      event->n += i == event->n;
      if (choices > MAX_WAYS && way == 1)
        break;
    }
  if (choices <= MAX_WAYS || event->n < 2)
    return;
  for (guint i = 0; i < self->n; i++)
    if (event->marks[i] != event->marks[self->n + i])
      event->marks[i] = ANYTHING;
  event->n = 1;
}

static Event
event_of (const BlForecast *self, guint root)
{
  g_autoptr (GArray) nodes = g_array_new (FALSE, FALSE, sizeof (guint));
  Event event = { .p = bl_net_node (self->network, root)->p };
  guint choices = 0;
  reach (self, self->before, nodes, root);
  reach_behind (self, self->before, nodes);
  for (guint i = 0; i < nodes->len; i++)
    choices += bl_net_node (self->network, g_array_index (nodes, guint, i))->kind == BL_NET_AND;
  play_ways (self, nodes, choices, &event);
  forget (self, nodes);
  return event;
}

/* Events with one mark and that the same are one. */
static void
add_event (BlForecast *self, Event event)
{
  for (guint i = 0; i < self->events->len; i++)
    {
      Event *same = &g_array_index (self->events, Event, i);
      if (same->n > 1 || event.n > 1 || memcmp (same->marks, event.marks, self->n) != 0)
        continue;
      same->p = 1 - (1 - same->p) * (1 - event.p);
      g_free (event.marks);
      return;
    }
  g_array_append_val (self->events, event);
}

BlForecast *
bl_forecast_new (const BlNetwork *network)
{
  BlForecast *self = g_new0 (BlForecast, 1);
  guint n = network->nodes->len;
  self->network = network;
  self->gates = g_new (guint, n + 1);
  self->joined = g_new (guint, n + 1);
  self->known = g_new0 (Known, N_KNOWN);
  self->before = g_new0 (guint8, n + 1);
  self->local = g_new0 (guint, n + 1);
  self->events = g_array_new (FALSE, FALSE, sizeof (Event));
  self->none = 1;
  choose_gates (self);
  for (guint i = 0; i < self->n; i++)
    self->before[self->gates[i]] = 1;
  find_before (network, self->before);
  for (guint r = 0; r < n; r++)
    {
      const BlNetNode *node = bl_net_node (network, r);
      if (node->kind != BL_NET_ROOT || is_choice (network, r) || !self->before[r])
        continue;
      self->none *= 1 - node->p;
      add_event (self, event_of (self, r));
    }
  if (self->n > 0 && self->none > 0)
    return self;
  bl_forecast_free (self);
  return NULL;
}

void
bl_forecast_free (BlForecast *self)
{
  if (self == NULL)
    return;
  for (guint i = 0; i < self->events->len; i++)
    g_free (g_array_index (self->events, Event, i).marks);
  g_array_unref (self->events);
  g_free (self->gates);
  g_free (self->joined);
  g_free (self->known);
  g_free (self->before);
  g_free (self->local);
  g_free (self);
}

/* --- of a factor --- */

static guint
place_of (const guint *fields, guint n, guint field)
{
  for (guint i = 0; i < n; i++)
    if (fields[i] == field)
      return i;
  return G_MAXUINT;
}

static guint
part_of (guint64 word, guint gate)
{
  return (guint) (word >> (4 * gate)) & 15;
}

static guint64
part (guint gate, guint64 value)
{
  return value << (4 * gate);
}

static void
add_step (BlForecastView *view, guint index, const guint *fields, guint n, guint except)
{
  const BlForecast *self = view->forecast;
  Step step = { .node = bl_net_node (self->network, index), .gathered = place_of (fields, n, BL_FIELD_GATHERED (index)),
                .value = place_of (fields, n, BL_FIELD_VALUE (index)), .gate = -1, .first = view->from->len };
  step.foretold = step.value != G_MAXUINT && index != except && step.node->kind == BL_NET_OR;
  for (guint i = 0; i < view->n; i++)
    if (view->gate[i] == step.node)
      step.gate = (int) i;
  for (guint i = 0; step.node->in != NULL && i < step.node->in->len; i++)
    {
      const BlNetEdge *edge = &g_array_index (step.node->in, BlNetEdge, i);
      From from = { self->local[edge->from] - 1, edge->add };
      if (self->local[edge->from] != 0)
        g_array_append_val (view->from, from);
    }
  step.n = view->from->len - step.first;
  g_array_append_val (view->steps, step);
}

static void
add_mark (BlForecastView *view, const Event *event, guint index, const guint8 *mark, const guint *gates)
{
  Mark self = { 0, 0, event->p, index };
  for (guint i = 0; i < view->n; i++)
    {
      self.mark |= mark[gates[i]] == ANYTHING ? 0 : part (i, mark[gates[i]]);
      self.wild |= mark[gates[i]] == ANYTHING ? part (i, 15) : 0;
    }
  if (self.mark == 0 && self.wild == 0)
    return;
  for (guint i = 0; i < view->marks->len; i++)
    {
      Mark *same = &g_array_index (view->marks, Mark, i);
      if (same->mark != self.mark || same->wild != self.wild)
        continue;
      if (same->event != index)
        same->p += self.p;
      return;
    }
  g_array_append_val (view->marks, self);
}

static void
add_marks (BlForecastView *view, const guint *gates)
{
  const BlForecast *self = view->forecast;
  for (guint e = 0; e < self->events->len; e++)
    {
      const Event *event = &g_array_index (self->events, Event, e);
      for (guint way = 0; way < event->n; way++)
        add_mark (view, event, e, event->marks + (gsize) way * self->n, gates);
    }
}

BlForecastView *
bl_forecast_view (BlForecast *self, const gboolean *gone, const guint *fields, guint n, guint except)
{
  g_autoptr (GArray) nodes = g_array_new (FALSE, FALSE, sizeof (guint));
  guint gates[MAX_GATES], n_gates = 0;
  for (guint i = 0; i < self->n && n_gates < MAX_GATES; i++)
    if (!gone[self->gates[i]] && self->gates[i] != except
        && place_of (fields, n, BL_FIELD_VALUE (self->gates[i])) != G_MAXUINT)
      gates[n_gates++] = i;
  if (n_gates == 0)
    return NULL;
  BlForecastView *view = g_new0 (BlForecastView, 1);
  g_autofree guint8 *within = g_new0 (guint8, self->network->nodes->len + 1);
  view->forecast = self;
  view->number = ++self->views;
  view->steps = g_array_new (FALSE, FALSE, sizeof (Step));
  view->from = g_array_new (FALSE, FALSE, sizeof (From));
  view->marks = g_array_new (FALSE, FALSE, sizeof (Mark));
  for (; view->n < n_gates; view->n++)
    {
      view->joined[view->n] = self->joined[gates[view->n]];
      view->gate[view->n] = bl_net_node (self->network, self->gates[gates[view->n]]);
      within[self->gates[gates[view->n]]] = 1;
    }
  find_before (self->network, within);
  for (guint i = 0; i < n; i++)
    if (BL_FIELD_NODE (fields[i]) < self->network->nodes->len)
      reach (self, within, nodes, BL_FIELD_NODE (fields[i]));
  reach_behind (self, within, nodes);
  for (guint i = 0; i < nodes->len; i++)
    add_step (view, g_array_index (nodes, guint, i), fields, n, except);
  view->did = g_new0 (guint8, nodes->len + 1);
  forget (self, nodes);
  add_marks (view, gates);
  return view;
}

void
bl_forecast_view_free (BlForecastView *view)
{
  if (view == NULL)
    return;
  g_array_unref (view->steps);
  g_array_unref (view->from);
  g_array_unref (view->marks);
  g_free (view->did);
  g_free (view);
}

/* --- of a row: what its own events did --- */

/* Whether a value that was found follows from those foretold alone: then the row's events did no more than the
 * others must do in any case. */
static gboolean
follows (const BlForecastView *view, const Step *step, const guint64 *key)
{
  guint64 state = 0;
  for (guint i = 0; i < step->n; i++)
    {
      const From *from = &g_array_index (view->from, From, step->first + i);
      const Step *input = &g_array_index (view->steps, Step, from->step);
      if (input->foretold && view->did[from->step] == 0)
        state = bl_net_join (step->node, state, from->add[key[input->value]]);
    }
  return state == key[step->value];
}

/* What the row's events did to a gate at most, the gate's own value aside. */
static guint64
did_to (const BlForecastView *view, const Step *step, const guint64 *key)
{
  guint64 state = step->gathered != G_MAXUINT ? key[step->gathered] : 0;
  gboolean any = FALSE;
  if (step->value != G_MAXUINT && !step->foretold)
    return step->node->kind == BL_NET_OR && follows (view, step, key) ? 0 : key[step->value];
  for (guint i = 0; i < step->n; i++)
    {
      const From *from = &g_array_index (view->from, From, step->first + i);
      if (view->did[from->step] == 0)
        continue;
      any = TRUE;
      state = bl_net_join (step->node, state, from->add[view->did[from->step]]);
    }
  if (step->node->kind != BL_NET_AND)
    return state;
  /* It may be true, unless something false was gathered. */
  return step->gathered != G_MAXUINT ? key[step->gathered] == 0 : any;
}

/* Whether after what was done nothing but the value itself leads to it. */
static gboolean
is_nothing (const BlNetNode *node, guint64 did, guint64 value)
{
  if (did == 0)
    return TRUE;
  for (guint i = 0; i < node->states->len; i++)
    {
      guint64 other = g_array_index (node->states, guint64, i);
      if ((bl_net_join (node, did, other) == value) != (other == value))
        return FALSE;
    }
  return TRUE;
}

/* --- of a row: what the others must do --- */

/* Marks within a value, and those that reach it: a bit for each. */
typedef struct
{
  guint within[MAX_GATES], reaches[MAX_GATES];
  guint n, covered[MAX_COVERED]; /* gates that have to be reached */
} Wanted;

/* A value that is no join of others is reached by one mark at once; of others each that does something may be part
 * of what is needed. */
static void
want (Wanted *self, guint place, const BlNetNode *node, gboolean joined, guint64 did, guint64 value)
{
  if (bl_net_join (node, did, value) != value)
    did = value;
  for (guint mark = 0; mark < BL_NET_VALUES; mark++)
    {
      if (bl_net_join (node, mark, value) == value)
        self->within[place] |= 1u << mark;
      if (joined ? bl_net_join (node, did, mark) != did : bl_net_join (node, did, mark) == value)
        self->reaches[place] |= 1u << mark;
    }
  if (did != value && self->n < MAX_COVERED)
    self->covered[self->n++] = place;
}

static gboolean
fits (const BlForecastView *view, const Wanted *wanted, const Mark *mark)
{
  for (guint i = 0; i < view->n; i++)
    if (!(wanted->within[i] >> part_of (mark->mark, i) & 1) && part_of (mark->wild, i) == 0)
      return FALSE;
  return TRUE;
}

/* How likely at most the marks that fit reach all that is wanted. */
static double
cover (const BlForecastView *view, const Wanted *wanted)
{
  double likely[1 << MAX_COVERED];
  guint all = (1u << wanted->n) - 1;
  for (guint i = 0; i <= all; i++)
    likely[i] = i == 0;
  for (guint m = 0; m < view->marks->len && all > 0; m++)
    {
      const Mark *mark = &g_array_index (view->marks, Mark, m);
      guint set = 0;
      if (!fits (view, wanted, mark))
        continue;
      for (guint i = 0; i < wanted->n; i++)
        if (wanted->reaches[wanted->covered[i]] >> part_of (mark->mark, wanted->covered[i]) & 1
            || part_of (mark->wild, wanted->covered[i]) != 0)
          set |= 1u << i;
      for (guint before = all + 1; set != 0 && before-- > 0;)
        if ((before | set) != before)
          likely[before | set] += likely[before] * mark->p;
    }
  return likely[all];
}

/* The same again is looked up. */
static double
weigh (BlForecastView *view, guint64 word, guint64 did, guint64 which)
{
  guint64 hash = (word ^ did * 0x9e3779b97f4a7c15u ^ which * 0xff51afd7ed558ccdu) * 0x9e3779b97f4a7c15u;
  Known *known = &view->forecast->known[hash >> 32 & (N_KNOWN - 1)];
  if (known->view == view->number && known->word == word && known->did == did && known->which == which)
    return known->most;
  Wanted wanted = { .n = 0 };
  for (guint i = 0; i < view->n; i++)
    want (&wanted, i, view->gate[i], view->joined[i] >> part_of (word, i) & 1,
          part_of (which, i) & 1 ? part_of (did, i) : 0, part_of (word, i));
  *known = (Known){ view->number, word, did, which, MIN (cover (view, &wanted) / view->forecast->none, 1) };
  return known->most;
}

double
bl_forecast_most (BlForecastView *view, const guint64 *key)
{
  guint64 word = 0, partly = 0, which = 0;
  for (guint i = 0; i < view->steps->len; i++)
    {
      const Step *step = &g_array_index (view->steps, Step, i);
      guint64 did = did_to (view, step, key), value;
      view->did[i] = (guint8) did;
      if (!step->foretold)
        continue;
      value = key[step->value];
      gboolean nothing = is_nothing (step->node, did, value);
      view->did[i] = nothing ? 0 : (guint8) value;
      if (step->gate < 0)
        continue;
      word |= part ((guint) step->gate, value);
      partly |= nothing ? 0 : part ((guint) step->gate, did);
      which |= nothing ? 0 : part ((guint) step->gate, 1);
    }
  return weigh (view, word, partly, which);
}
