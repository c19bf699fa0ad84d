/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Odds off the thread that draws. One thread per open job keeps an engine for the board's present
 * generation; the newest question wins: asking again cancels what is under way. Odds, reasons and fit
 * are handed over first, then the same with the plan, and last with the ranking, which on dense boards
 * takes seconds.
 * Board and entries are copied for the thread, so nothing is shared but the mailbox under its lock.
 */
#include "config.h"

#include "bl-bench-private.h"

#include <glib/gi18n-lib.h>

typedef struct
{
  BlBoard *board; /* NULL: the same as before */
  GPtrArray *entries;
  guint serial;
} Question;

struct BlOddsWorker
{
  gint refs; /* the owner, the thread, answers on their way */
  GMutex lock;
  GCond asked;
  Question *question; /* waiting, or NULL */
  gboolean quit;
  int cancel;         /* polled by the engine */
  guint serial;       /* of the newest question */
  guint answered;     /* serial of the newest complete answer */
  guint generation;   /* of the board last handed over */
  gboolean has_board;
  GMainContext *context;
  BlOddsReady ready;
  gpointer data;
};

typedef struct
{
  BlOddsWorker *worker;
  BlDiagnosis *diagnosis;
  char *trouble;
  gboolean complete;
  guint serial;
} Answer;

static void
question_free (Question *question)
{
  if (question == NULL)
    return;
  g_clear_pointer (&question->board, bl_board_free);
  g_clear_pointer (&question->entries, g_ptr_array_unref);
  g_free (question);
}

static void
worker_unref (BlOddsWorker *self)
{
  if (!g_atomic_int_dec_and_test (&self->refs))
    return;
  g_clear_pointer (&self->question, question_free);
  g_main_context_unref (self->context);
  g_mutex_clear (&self->lock);
  g_cond_clear (&self->asked);
  g_free (self);
}

static void
answer_free (gpointer data)
{
  Answer *answer = data;
  g_clear_pointer (&answer->diagnosis, bl_diagnosis_free);
  g_free (answer->trouble);
  worker_unref (answer->worker);
  g_free (answer);
}

/* On the asking thread: an answer to an older question is dropped. */
static gboolean
deliver (gpointer data)
{
  Answer *answer = data;
  BlOddsWorker *self = answer->worker;

  if (self->quit || answer->serial != self->serial)
    return G_SOURCE_REMOVE;
  if (answer->complete)
    self->answered = answer->serial;
  self->ready (g_steal_pointer (&answer->diagnosis), answer->trouble, answer->complete, self->data);
  return G_SOURCE_REMOVE;
}

static void
send (BlOddsWorker *self, guint serial, BlDiagnosis *diagnosis, const GError *error, gboolean complete)
{
  Answer *answer = g_new0 (Answer, 1);

  g_atomic_int_inc (&self->refs);
  answer->worker = self;
  answer->diagnosis = diagnosis;
  answer->trouble = error != NULL ? g_strdup (error->message) : NULL;
  answer->complete = complete;
  answer->serial = serial;
  /* By a source and not by invoking: while nobody runs the context, invoking would call the
   * receiver in this thread. */
  g_autoptr (GSource) source = g_idle_source_new ();
  g_source_set_priority (source, G_PRIORITY_DEFAULT);
  g_source_set_callback (source, deliver, answer, answer_free);
  g_source_attach (source, self->context);
}

/* A plan or a ranking that cannot be had must not take the odds away: they are the whole answer then. */
static void
fall_back (BlOddsWorker *self, BlEngine *engine, const Question *question, BlDiagnoseFlags flags)
{
  g_autoptr (GError) error = NULL;
  BlDiagnosis *diagnosis = bl_engine_diagnose (engine, question->entries, flags, &self->cancel, &error);

  if (!g_error_matches (error, BL_CORE_ERROR, BL_CORE_ERROR_CANCELLED))
    send (self, question->serial, diagnosis, error, TRUE);
}

static void
work_on (BlOddsWorker *self, BlEngine *engine, const Question *question)
{
  g_autoptr (GError) error = NULL;
  const BlDiagnoseFlags odds = BL_DIAGNOSE_WHY | BL_DIAGNOSE_FIT;
  const BlDiagnoseFlags steps[] = { odds, odds | BL_DIAGNOSE_PLAN, odds | BL_DIAGNOSE_PLAN | BL_DIAGNOSE_NEXT };

  for (guint i = 0; i < G_N_ELEMENTS (steps); i++)
    {
      BlDiagnosis *diagnosis = bl_engine_diagnose (engine, question->entries, steps[i], &self->cancel, &error);

      if (g_error_matches (error, BL_CORE_ERROR, BL_CORE_ERROR_CANCELLED))
        return;
      if (diagnosis == NULL && i > 0)
        {
          fall_back (self, engine, question, steps[i - 1]);
          return;
        }
      send (self, question->serial, diagnosis, error, diagnosis == NULL || i + 1 == G_N_ELEMENTS (steps));
      if (diagnosis == NULL)
        return;
    }
}

static Question *
wait_for_question (BlOddsWorker *self)
{
  g_mutex_lock (&self->lock);
  while (self->question == NULL && !self->quit)
    g_cond_wait (&self->asked, &self->lock);
  Question *question = self->quit ? NULL : g_steal_pointer (&self->question);
  g_atomic_int_set (&self->cancel, 0);
  g_mutex_unlock (&self->lock);
  return question;
}

static gpointer
run (gpointer data)
{
  BlOddsWorker *self = data;
  BlBoard *board = NULL;
  BlEngine *engine = NULL;
  g_autoptr (GError) trouble = NULL;

  for (Question *question; (question = wait_for_question (self)) != NULL; question_free (question))
    {
      if (question->board != NULL)
        {
          g_clear_pointer (&engine, bl_engine_free);
          g_clear_pointer (&board, bl_board_free);
          g_clear_error (&trouble);
          board = g_steal_pointer (&question->board);
          engine = bl_engine_new (board, &trouble);
        }
      if (engine != NULL)
        work_on (self, engine, question);
      else
        send (self, question->serial, NULL, trouble, TRUE);
    }
  g_clear_pointer (&engine, bl_engine_free);
  g_clear_pointer (&board, bl_board_free);
  worker_unref (self);
  return NULL;
}

BlOddsWorker *
bl_odds_worker_new (BlOddsReady ready, gpointer data)
{
  BlOddsWorker *self = g_new0 (BlOddsWorker, 1);

  self->refs = 2;
  g_mutex_init (&self->lock);
  g_cond_init (&self->asked);
  self->context = g_main_context_ref_thread_default ();
  self->ready = ready;
  self->data = data;
  g_thread_unref (g_thread_new ("odds", run, self));
  return self;
}

void
bl_odds_worker_free (BlOddsWorker *self)
{
  g_mutex_lock (&self->lock);
  self->quit = TRUE;
  g_atomic_int_set (&self->cancel, 1);
  g_cond_signal (&self->asked);
  g_mutex_unlock (&self->lock);
  worker_unref (self);
}

void
bl_odds_worker_ask (BlOddsWorker *self, const BlBoard *board, guint generation, GPtrArray *entries)
{
  Question *question = g_new0 (Question, 1);

  question->entries = entries;
  g_mutex_lock (&self->lock);
  question->serial = ++self->serial;
  if (!self->has_board || self->generation != generation)
    question->board = bl_board_copy (board);
  else if (self->question != NULL)
    question->board = g_steal_pointer (&self->question->board);
  self->has_board = TRUE;
  self->generation = generation;
  question_free (self->question);
  self->question = question;
  g_atomic_int_set (&self->cancel, 1);
  g_cond_signal (&self->asked);
  g_mutex_unlock (&self->lock);
}

gboolean
bl_odds_worker_is_busy (BlOddsWorker *self)
{
  return self->answered != self->serial;
}
