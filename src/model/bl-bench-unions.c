/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Odds of sets of own events, for whoever shows them: each is worked out once for a diagnosis and kept.
 *
 * A set is asked for by being looked at. What was looked at goes with the next question to the worker, so
 * that new odds of the same gates come with those of the suspects; what nobody looked at since is dropped. New
 * sets are gathered and asked for together as soon as the main loop is idle. Some hundred sets. */
#include "config.h"

#include "bl-bench-private.h"

#include <math.h>

struct BlBenchUnions
{
  GHashTable *known; /* text of the set -> Entry */
  GPtrArray *fresh;  /* sets to be asked for; NULL: none */
  guint idle;
};

typedef struct
{
  char **set;
  double odds;      /* NAN while waiting, or where it cannot be known */
  gboolean waiting;
  gboolean wanted;  /* looked at since the last diagnosis */
  gboolean sent;    /* went with the newest question */
} Entry;

static void
entry_free (gpointer data)
{
  Entry *entry = data;

  g_strfreev (entry->set);
  g_free (entry);
}

static GHashTable *
table_new (void)
{
  return g_hash_table_new_full (g_str_hash, g_str_equal, g_free, entry_free);
}

static GPtrArray *
sets_new (void)
{
  return g_ptr_array_new_with_free_func ((GDestroyNotify) g_strfreev);
}

BlBenchUnions *
bl_bench_unions_new (void)
{
  BlBenchUnions *self = g_new0 (BlBenchUnions, 1);

  self->known = table_new ();
  return self;
}

static void
forget_fresh (BlBenchUnions *self)
{
  g_clear_pointer (&self->fresh, g_ptr_array_unref);
  g_clear_handle_id (&self->idle, g_source_remove);
}

void
bl_bench_unions_free (BlBenchUnions *self)
{
  forget_fresh (self);
  g_hash_table_unref (self->known);
  g_free (self);
}

static Entry *
add (GHashTable *known, const char *const *set, gboolean wanted)
{
  Entry *entry = g_new0 (Entry, 1);

  entry->set = g_strdupv ((char **) set);
  entry->odds = NAN;
  entry->waiting = TRUE;
  entry->wanted = wanted;
  g_hash_table_insert (known, g_strjoinv ("\n", entry->set), entry);
  return entry;
}

static gboolean
ask_fresh (gpointer data)
{
  BlBench *bench = data;
  BlBenchUnions *self = bench->unions;

  self->idle = 0;
  bl_odds_worker_ask_unions (bench->worker, g_steal_pointer (&self->fresh));
  return G_SOURCE_REMOVE;
}

double
bl_bench_union (BlBench *bench, const char *const *set)
{
  g_return_val_if_fail (BL_IS_BENCH (bench) && set != NULL, NAN);
  BlBenchUnions *self = bench->unions;

  if (bench->diagnosis == NULL)
    return NAN;
  g_autofree char *text = g_strjoinv ("\n", (char **) set);
  Entry *entry = g_hash_table_lookup (self->known, text);
  if (entry != NULL)
    {
      entry->wanted = TRUE;
      return entry->odds;
    }
  add (self->known, set, TRUE);
  if (self->fresh == NULL)
    self->fresh = sets_new ();
  g_ptr_array_add (self->fresh, g_strdupv ((char **) set));
  if (self->idle == 0)
    self->idle = g_idle_add_full (G_PRIORITY_DEFAULT, ask_fresh, bench, NULL);
  return NAN;
}

GPtrArray *
bl_bench_unions_wanted (BlBench *bench)
{
  g_autoptr (GPtrArray) sets = sets_new ();
  GHashTableIter iter;
  gpointer entry;

  g_hash_table_iter_init (&iter, bench->unions->known);
  while (g_hash_table_iter_next (&iter, NULL, &entry))
    {
      Entry *self = entry;
      self->sent = self->wanted;
      if (self->wanted)
        g_ptr_array_add (sets, g_strdupv (self->set));
    }
  return sets->len > 0 ? g_steal_pointer (&sets) : NULL;
}

/* What went with the question is on its way. */
void
bl_bench_unions_begin (BlBench *bench)
{
  BlBenchUnions *self = bench->unions;
  g_autoptr (GHashTable) old = g_steal_pointer (&self->known);
  GHashTableIter iter;
  gpointer entry;

  self->known = table_new ();
  forget_fresh (self);
  g_hash_table_iter_init (&iter, old);
  while (bench->diagnosis != NULL && g_hash_table_iter_next (&iter, NULL, &entry))
    if (((Entry *) entry)->sent)
      add (self->known, (const char *const *) ((Entry *) entry)->set, FALSE);
}

void
bl_bench_unions_take (BlBench *bench, GPtrArray *sets, const double *odds)
{
  for (guint i = 0; i < sets->len; i++)
    {
      g_autofree char *text = g_strjoinv ("\n", bl_at (sets, i));
      Entry *entry = g_hash_table_lookup (bench->unions->known, text);
      if (entry == NULL)
        entry = add (bench->unions->known, bl_at (sets, i), FALSE);
      entry->odds = odds[i];
      entry->waiting = FALSE;
    }
}

gboolean
bl_bench_unions_is_waiting (BlBench *bench)
{
  GHashTableIter iter;
  gpointer entry;

  g_hash_table_iter_init (&iter, bench->unions->known);
  while (g_hash_table_iter_next (&iter, NULL, &entry))
    if (((Entry *) entry)->waiting)
      return TRUE;
  return FALSE;
}
