/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Why a suspect stands where it stands, for an open job: asked for only while somebody looks at it, with
 * an engine of its own, so the odds' worker is never held up. Asking costs some hundred diagnoses, a
 * fraction of a second on most boards; what is no longer wanted is cancelled.
 */
#include "config.h"

#include "bl-bench-why.h"

#include "bl-bench-private.h"

struct BlWhyAsk
{
  gint refs;   /* the owner, the thread, answers on their way */
  int cancel;  /* polled by the engine */
  BlBoard *board;
  GPtrArray *entries;
  char *suspect;
  GMainContext *context;
  BlWhyReady ready; /* NULL: nobody waits any more; only the asking thread looks at it */
  gpointer data;
};

typedef struct
{
  BlWhyAsk *ask;
  BlReasons *reasons;
  char *trouble;
  gboolean complete;
} Answer;

static void
ask_unref (BlWhyAsk *self)
{
  if (!g_atomic_int_dec_and_test (&self->refs))
    return;
  bl_board_free (self->board);
  g_ptr_array_unref (self->entries);
  g_free (self->suspect);
  g_main_context_unref (self->context);
  g_free (self);
}

static void
answer_free (gpointer data)
{
  Answer *answer = data;

  bl_reasons_free (answer->reasons);
  g_free (answer->trouble);
  ask_unref (answer->ask);
  g_free (answer);
}

static gboolean
deliver (gpointer data)
{
  Answer *answer = data;
  BlWhyAsk *self = answer->ask;

  if (self->ready != NULL)
    self->ready (g_steal_pointer (&answer->reasons), answer->trouble, answer->complete, self->data);
  return G_SOURCE_REMOVE;
}

static void
send (BlWhyAsk *self, BlReasons *reasons, const GError *error, gboolean complete)
{
  Answer *answer = g_new0 (Answer, 1);

  g_atomic_int_inc (&self->refs);
  answer->ask = self;
  answer->reasons = reasons;
  answer->trouble = error != NULL ? g_strdup (error->message) : NULL;
  answer->complete = complete;
  g_autoptr (GSource) source = g_idle_source_new ();
  g_source_set_callback (source, deliver, answer, answer_free);
  g_source_attach (source, self->context);
}

static gpointer
work (gpointer data)
{
  BlWhyAsk *self = data;
  g_autoptr (GError) error = NULL;
  g_autoptr (BlEngine) engine = bl_engine_new (self->board, &error);
  g_autoptr (BlReasons) reasons
    = engine != NULL ? bl_reasons_new (engine, self->entries, self->suspect, &self->cancel, &error) : NULL;

  if (reasons != NULL)
    send (self, bl_reasons_copy (reasons), NULL, FALSE);
  if (reasons != NULL
      && bl_reasons_find_turns (reasons, engine, self->entries, BL_WHY_MOST_TRIED, &self->cancel, &error))
    send (self, g_steal_pointer (&reasons), NULL, TRUE);
  else if (!g_error_matches (error, BL_CORE_ERROR, BL_CORE_ERROR_CANCELLED))
    send (self, NULL, error, TRUE);
  g_clear_pointer (&engine, bl_engine_free);
  ask_unref (self);
  return NULL;
}

BlWhyAsk *
bl_bench_ask_why (BlBench *bench, const char *suspect, BlWhyReady ready, gpointer data)
{
  g_return_val_if_fail (BL_IS_BENCH (bench) && ready != NULL, NULL);
  BlWhyAsk *self = g_new0 (BlWhyAsk, 1);
  guint generation;

  self->refs = 2;
  self->board = bl_board_copy (bl_bench_weighed_board (bench, &generation));
  self->entries = bl_bench_entries (bench);
  self->suspect = g_strdup (suspect);
  self->context = g_main_context_ref_thread_default ();
  self->ready = ready;
  self->data = data;
  g_thread_unref (g_thread_new ("why", work, self));
  return self;
}

void
bl_why_ask_free (BlWhyAsk *self)
{
  if (self == NULL)
    return;
  self->ready = NULL;
  g_atomic_int_set (&self->cancel, 1);
  ask_unref (self);
}
