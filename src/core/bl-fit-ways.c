/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What one own event can come to: every way its links and shows ("choices") may go, without trying
 * every subset of them.
 *
 * A choice matters only once what it starts from is present, so ways are grown from the event
 * outwards; and what is present already cuts the rest into groups that have nothing to do with each
 * other. Each group is tried by itself and the larger byte of both stands at each place, unless a gate
 * that counts hears of two groups: those stay one. Of ways with the same choices that such gates hear
 * of, one beats another when at each place its byte is as good whatever larger byte comes on top: even
 * (nothing against it) is better than odd, the larger the better when even, the smaller the better
 * when odd. That keeps twenty independent links of one event at a handful of ways. A violated set of
 * the way that is beaten contains one of the way that beats it, so no smallest set is lost. */
#include "config.h"

#include "bl-fit-private.h"

#include <string.h>

enum
{
  MAX_LEAVES = 100 * 1000, /* ways played for one event */
  MAX_WAYS = 4096,         /* of one group */
  COMPARED = 512           /* above this many, ways are not compared with each other */
};

typedef struct
{
  guint from, to; /* points: a mode in a round */
} Step;

typedef struct
{
  guint root;
  GArray *steps; /* Step; of a show: from and to are the same */
} Choice;

typedef struct
{
  BlFit *fit;
  guint own;
  GArray *points;    /* guint: mode * rounds + round */
  GArray *certain;   /* Step: links that always fire */
  GPtrArray *choices;
  guint leaves;
  gboolean too_many;
  GError *error;
} Event;

/* Choices made so far; open ones are in a list of their own. */
typedef struct
{
  guint8 *present; /* of each point */
  guint8 *fired;   /* of each choice */
} Stand;

static void
choice_free (gpointer data)
{
  Choice *choice = data;
  g_array_unref (choice->steps);
  g_free (choice);
}

static void
way_free (gpointer data)
{
  BlFitWay *way = data;
  g_free (way->bytes);
  g_free (way->meets);
  g_array_unref (way->roots);
  g_free (way);
}

static GPtrArray *
ways_new (void)
{
  return g_ptr_array_new_with_free_func (way_free);
}

/* --- the choices of an event --- */

static guint
point_of (Event *event, guint mode, guint round)
{
  guint key = mode * event->fit->compiled->rounds.n + round, i = 0;
  while (i < event->points->len && g_array_index (event->points, guint, i) != key)
    i++;
  if (i == event->points->len)
    g_array_append_val (event->points, key);
  return i;
}

static gboolean
changes_any_place (const BlFit *fit, guint root)
{
  for (guint p = 0; p < fit->n_places; p++)
    if (fit->masks[root][p] == 0)
      return TRUE;
  return FALSE;
}

static void
add_step (Event *event, guint root, Step step)
{
  guint i = 0;
  if (root == BL_NET_NONE || !changes_any_place (event->fit, root))
    return;
  while (i < event->choices->len && ((const Choice *) bl_at (event->choices, i))->root != root)
    i++;
  if (i == event->choices->len)
    {
      Choice *choice = g_new0 (Choice, 1);
      choice->root = root;
      choice->steps = g_array_new (FALSE, FALSE, sizeof (Step));
      g_ptr_array_add (event->choices, choice);
    }
  g_array_append_val (((Choice *) bl_at (event->choices, i))->steps, step);
}

/* What a mode present in a round may show and provoke in it. */
static void
expand_point (Event *event, guint point)
{
  const BlCauses *causes = event->fit->engine->causes;
  const BlRounds *rounds = &event->fit->compiled->rounds;
  guint key = g_array_index (event->points, guint, point), m = key / rounds->n, r = key % rounds->n;
  const BlCauseMode *self = bl_cause_mode (causes, m);
  add_step (event, bl_network_find_root (event->fit->network, BL_ROOT_SHOW, m, r, 0, 0),
            (Step){ point, point });
  for (guint l = 0; l < self->links->len; l++)
    {
      const BlCauseLink *link = &g_array_index (self->links, BlCauseLink, l);
      guint to_part = bl_cause_mode (causes, link->mode)->part;
      Step step = { point, point_of (event, link->mode, r) };
      if (link->chance >= 1)
        g_array_append_val (event->certain, step);
      else
        add_step (event, bl_network_find_root (event->fit->network, BL_ROOT_LINK, m, l,
                                               bl_rounds_version (rounds, r, self->part),
                                               bl_rounds_version (rounds, r, to_part)), step);
    }
}

/* --- playing a way --- */

static gboolean
heard_by_knot (const BlFit *fit, guint root)
{
  for (guint w = 0; w < fit->knot_words; w++)
    if (fit->reach[(gsize) root * fit->knot_words + w] != 0)
      return TRUE;
  return FALSE;
}

static int
compare_roots (gconstpointer a, gconstpointer b)
{
  const guint x = *(const guint *) a, y = *(const guint *) b;
  return x < y ? -1 : x > y;
}

static void
play_leaf (Event *event, const Stand *stand, GPtrArray *ways)
{
  BlFit *fit = event->fit;
  BlFitWay *way = g_new0 (BlFitWay, 1);
  way->bytes = g_malloc0 (fit->stride);
  way->roots = g_array_new (FALSE, FALSE, sizeof (guint));
  g_ptr_array_add (ways, way);
  g_autoptr (GArray) all = g_array_new (FALSE, FALSE, sizeof (guint));
  g_array_append_val (all, event->own);
  for (guint c = 0; c < event->choices->len; c++)
    {
      const Choice *choice = bl_at (event->choices, c);
      if (!stand->fired[c])
        continue;
      g_array_append_val (all, choice->root);
      if (heard_by_knot (fit, choice->root))
        g_array_append_val (way->roots, choice->root);
    }
  g_array_sort (way->roots, compare_roots);
  /* The knots are those of what they hear of, alone. */
  if (all->len == way->roots->len + 1)
    way->meets = g_new0 (guint64, fit->knot_words + 1);
  bl_fit_play (fit, (const guint *) (gpointer) all->data, all->len, way->meets);
  bl_fit_read (fit, way->bytes);
  bl_fit_rewind (fit);
  event->too_many |= ++event->leaves > MAX_LEAVES;
  if (event->error == NULL)
    bl_engine_cancelled (fit->engine, &event->error);
}

/* --- ways that are beaten --- */

static guint
rank (guint8 byte)
{
  return byte & 1 ? 127 - byte / 2 : 128 + byte / 2;
}

static gboolean
same_roots (const BlFitWay *a, const BlFitWay *b)
{
  return a->roots->len == b->roots->len
         && (a->roots->len == 0
             || memcmp (a->roots->data, b->roots->data, a->roots->len * sizeof (guint)) == 0);
}

static gboolean
beats (const BlFit *fit, const BlFitWay *a, const BlFitWay *b)
{
  for (guint p = 0; p < fit->n_places; p++)
    if (rank (a->bytes[p]) < rank (b->bytes[p]))
      return FALSE;
  return same_roots (a, b);
}

/* Takes way; keeps it only if none of ways beats it, and drops those it beats. */
static void
keep_way (Event *event, GPtrArray *ways, BlFitWay *way)
{
  for (guint i = 0; i < ways->len && ways->len <= COMPARED; i++)
    if (beats (event->fit, bl_at (ways, i), way))
      {
        way_free (way);
        return;
      }
  for (guint i = ways->len; i-- > 0 && ways->len <= COMPARED;)
    if (beats (event->fit, way, bl_at (ways, i)))
      g_ptr_array_remove_index_fast (ways, i);
  g_ptr_array_add (ways, way);
  event->too_many |= ways->len > MAX_WAYS;
}

/* Both groups' choices together. */
static BlFitWay *
join_ways (const BlFit *fit, const BlFitWay *a, const BlFitWay *b)
{
  BlFitWay *way = g_new0 (BlFitWay, 1);
  way->bytes = g_malloc (fit->stride);
  for (guint p = 0; p < fit->stride; p++)
    way->bytes[p] = MAX (a->bytes[p], b->bytes[p]);
  way->roots = g_array_copy (a->roots);
  for (guint i = 0; i < b->roots->len; i++)
    {
      guint root = g_array_index (b->roots, guint, i), j = 0;
      while (j < a->roots->len && g_array_index (a->roots, guint, j) != root)
        j++;
      if (j == a->roots->len) /* both have what was fired before the groups parted */
        g_array_append_val (way->roots, root);
    }
  g_array_sort (way->roots, compare_roots);
  return way;
}

/* Takes both. */
static GPtrArray *
multiply (Event *event, GPtrArray *first, GPtrArray *second)
{
  GPtrArray *product = ways_new ();
  for (guint i = 0; i < first->len && !event->too_many; i++)
    for (guint j = 0; j < second->len && !event->too_many; j++)
      keep_way (event, product, join_ways (event->fit, bl_at (first, i), bl_at (second, j)));
  g_ptr_array_unref (first);
  g_ptr_array_unref (second);
  return product;
}

/* --- growing --- */

/* Follows every step that is taken from a present point; steps: flags of the choices taken. */
static void
spread (const Event *event, guint8 *present, const guint8 *taken)
{
  for (gboolean more = TRUE; more;)
    {
      more = FALSE;
      for (guint c = 0; c <= event->choices->len; c++)
        {
          const GArray *steps = c < event->choices->len ? ((const Choice *) bl_at (event->choices, c))->steps
                                                        : event->certain;
          for (guint i = 0; (c == event->choices->len || taken[c]) && i < steps->len; i++)
            {
              Step step = g_array_index (steps, Step, i);
              if (!present[step.from] || present[step.to])
                continue;
              present[step.to] = 1;
              more = TRUE;
            }
        }
    }
}

/* A choice from a point of these that would make another present, or a show of one. */
static gboolean
matters (const Choice *choice, const guint8 *reached, const guint8 *present)
{
  for (guint i = 0; i < choice->steps->len; i++)
    {
      Step step = g_array_index (choice->steps, Step, i);
      if (reached[step.from] && (step.from == step.to || !present[step.to]))
        return TRUE;
    }
  return FALSE;
}

/* Closes what can no longer matter. */
static void
narrow (const Event *event, const Stand *stand, guint8 *open)
{
  g_autofree guint8 *reached = g_memdup2 (stand->present, event->points->len);
  g_autofree guint8 *all = g_malloc (event->choices->len + 1);
  for (guint c = 0; c < event->choices->len; c++)
    all[c] = open[c] || stand->fired[c];
  spread (event, reached, all);
  for (guint c = 0; c < event->choices->len; c++)
    open[c] = open[c] && matters (bl_at (event->choices, c), reached, stand->present);
}

static guint
find (guint *group, guint i)
{
  while (group[i] != i)
    i = group[i] = group[group[i]];
  return i;
}

static gboolean
share_knot (const BlFit *fit, guint a, guint b)
{
  for (guint w = 0; w < fit->knot_words; w++)
    if (fit->reach[(gsize) a * fit->knot_words + w] & fit->reach[(gsize) b * fit->knot_words + w])
      return TRUE;
  return FALSE;
}

/* Numbers of groups: first of each point, then of each choice. Present points part them. */
static guint *
make_groups (const Event *event, const Stand *stand, const guint8 *open)
{
  guint n_points = event->points->len, n = event->choices->len;
  guint *group = g_new (guint, n_points + n + 1);
  for (guint i = 0; i < n_points + n; i++)
    group[i] = i;
  for (guint c = 0; c <= n; c++)
    {
      const GArray *steps = c < n ? ((const Choice *) bl_at (event->choices, c))->steps : event->certain;
      for (guint i = 0; (c == n || open[c] || stand->fired[c]) && i < steps->len; i++)
        {
          Step step = g_array_index (steps, Step, i);
          if (!stand->present[step.from] && !stand->present[step.to])
            group[find (group, step.from)] = find (group, step.to);
          if (c < n && !stand->present[step.from])
            group[find (group, n_points + c)] = find (group, step.from);
          if (c < n && !stand->present[step.to])
            group[find (group, n_points + c)] = find (group, step.to);
        }
    }
  for (guint c = 0; c < n; c++)
    for (guint d = c + 1; open[c] && d < n; d++)
      if (open[d] && share_knot (event->fit, ((const Choice *) bl_at (event->choices, c))->root,
                                 ((const Choice *) bl_at (event->choices, d))->root))
        group[find (group, n_points + c)] = find (group, n_points + d);
  return group;
}

static GPtrArray *grow (Event *event, const Stand *stand, const guint8 *open);

/* Ways of one group: a choice that starts from what is present is not taken, or taken. */
static GPtrArray *
branch (Event *event, const Stand *stand, const guint8 *open)
{
  guint n = event->choices->len, c = 0;
  g_autofree guint8 *rest = g_memdup2 (open, n);
  g_autofree guint8 *present = g_memdup2 (stand->present, event->points->len);
  g_autofree guint8 *fired = g_memdup2 (stand->fired, n);
  Stand taken = { present, fired };
  while (c < n && !(open[c] && matters (bl_at (event->choices, c), stand->present, stand->present)))
    c++;
  g_assert (c < n); /* whatever matters is reached by choices that matter */
  rest[c] = 0;
  GPtrArray *ways = grow (event, stand, rest);
  fired[c] = 1;
  spread (event, present, fired);
  g_autoptr (GPtrArray) more = grow (event, &taken, rest);
  g_ptr_array_set_free_func (more, NULL);
  for (guint i = 0; i < more->len; i++)
    keep_way (event, ways, bl_at (more, i));
  return ways;
}

static GPtrArray *
grow (Event *event, const Stand *stand, const guint8 *open)
{
  guint n = event->choices->len, n_points = event->points->len;
  g_autofree guint8 *left = g_memdup2 (open, n);
  g_autofree guint8 *one = g_malloc0 (n + 1);
  GPtrArray *ways = NULL;
  narrow (event, stand, left);
  g_autofree guint *group = make_groups (event, stand, left);
  for (guint c = 0; c < n && !event->too_many && event->error == NULL; c++)
    {
      if (!left[c])
        continue;
      guint number = find (group, n_points + c);
      memset (one, 0, n);
      for (guint d = c; d < n; d++)
        if (left[d] && find (group, n_points + d) == number)
          {
            one[d] = 1;
            left[d] = 0;
          }
      GPtrArray *mine = branch (event, stand, one);
      ways = ways == NULL ? mine : multiply (event, ways, mine);
    }
  if (ways != NULL)
    return ways;
  ways = ways_new ();
  play_leaf (event, stand, ways);
  return ways;
}

/* --- the event --- */

static GPtrArray *
grow_all (Event *event, guint n_first)
{
  g_autofree guint8 *present = g_malloc0 (event->points->len + 1);
  g_autofree guint8 *fired = g_malloc0 (event->choices->len + 1);
  g_autofree guint8 *open = g_malloc (event->choices->len + 1);
  Stand stand = { present, fired };
  memset (present, 1, n_first);
  memset (open, 1, event->choices->len);
  spread (event, present, fired);
  return grow (event, &stand, open);
}

GPtrArray *
bl_fit_ways (BlFit *fit, guint mode, guint version, guint *own, GError **error)
{
  const BlRounds *rounds = &fit->compiled->rounds;
  guint part = bl_cause_mode (fit->engine->causes, mode)->part;
  g_autoptr (GPtrArray) choices = g_ptr_array_new_with_free_func (choice_free);
  g_autoptr (GArray) points = g_array_new (FALSE, FALSE, sizeof (guint));
  g_autoptr (GArray) certain = g_array_new (FALSE, FALSE, sizeof (Step));
  Event event = { .fit = fit, .points = points, .certain = certain, .choices = choices };
  *own = event.own = bl_network_find_root (fit->network, BL_ROOT_OWN, mode, version, 0, 0);
  if (event.own == BL_NET_NONE)
    return ways_new ();
  for (guint r = 0; r < rounds->n; r++)
    if (bl_rounds_version (rounds, r, part) == version)
      point_of (&event, mode, r);
  guint n_first = points->len;
  for (guint i = 0; i < points->len; i++)
    expand_point (&event, i);
  g_autoptr (GPtrArray) ways = grow_all (&event, n_first);
  if (event.error != NULL)
    return g_propagate_error (error, event.error), NULL;
  return event.too_many ? NULL : g_steal_pointer (&ways);
}
