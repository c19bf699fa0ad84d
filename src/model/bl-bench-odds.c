/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Odds off the thread that draws. One thread per open job keeps an engine for the board's present
 * generation; the newest question wins: asking again cancels what is under way. Odds, reasons and fit
 * are handed over first, then the same with the plan, and last with the ranking, which on dense boards
 * takes seconds. Odds of sets of events go in between: what is under way for the same question is cancelled
 * for them, which takes milliseconds then, and begun again.
 * Board and entries are copied for the thread, so nothing is shared but the mailbox under its lock.
 */
#include "config.h"

#include "bl-bench-private.h"

#include <glib/gi18n-lib.h>
#include <math.h>

typedef struct
{
  BlBoard *board; /* NULL: the same as before */
  GPtrArray *entries;
  GPtrArray *sets; /* of events whose odds are wanted too; NULL: none */
  guint serial;
} Question;

struct BlOddsWorker
{
  gint refs; /* the owner, the thread, answers on their way */
  GMutex lock;
  GCond asked;
  Question *question; /* waiting, or NULL */
  GPtrArray *sets;    /* wanted for the newest question, or NULL */
  gboolean quit;
  int cancel;         /* polled by the engine */
  guint serial;       /* of the newest question */
  guint shown;        /* serial of the newest answer, complete or not: of the thread that asks */
  guint answered;     /* serial of the newest complete answer */
  guint generation;   /* of the board last handed over */
  gboolean has_board;
  GMainContext *context;
  BlOddsReady ready;
  BlUnionsReady unions_ready;
  gpointer data;
};

typedef struct
{
  BlOddsWorker *worker;
  BlDiagnosis *diagnosis;
  char *trouble;
  gboolean first, complete;
  GPtrArray *sets; /* NULL: it is a diagnosis */
  double *odds;
  guint serial;
} Answer;

static void
question_free (Question *question)
{
  if (question == NULL)
    return;
  g_clear_pointer (&question->board, bl_board_free);
  g_clear_pointer (&question->entries, g_ptr_array_unref);
  g_clear_pointer (&question->sets, g_ptr_array_unref);
  g_free (question);
}

static void
worker_unref (BlOddsWorker *self)
{
  if (!g_atomic_int_dec_and_test (&self->refs))
    return;
  g_clear_pointer (&self->question, question_free);
  g_clear_pointer (&self->sets, g_ptr_array_unref);
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
  g_clear_pointer (&answer->sets, g_ptr_array_unref);
  g_free (answer->odds);
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
  if (answer->sets != NULL)
    {
      self->unions_ready (answer->sets, answer->odds, self->data);
      return G_SOURCE_REMOVE;
    }
  self->shown = answer->serial;
  if (answer->complete)
    self->answered = answer->serial;
  self->ready (g_steal_pointer (&answer->diagnosis), answer->trouble, answer->first, self->data);
  return G_SOURCE_REMOVE;
}

static void
post (BlOddsWorker *self, Answer *answer)
{
  g_atomic_int_inc (&self->refs);
  answer->worker = self;
  /* By a source and not by invoking: while nobody runs the context, invoking would call the
   * receiver in this thread. */
  g_autoptr (GSource) source = g_idle_source_new ();
  g_source_set_priority (source, G_PRIORITY_DEFAULT);
  g_source_set_callback (source, deliver, answer, answer_free);
  g_source_attach (source, self->context);
}

static void
send (BlOddsWorker *self, guint serial, BlDiagnosis *diagnosis, const GError *error, gboolean first,
      gboolean complete)
{
  Answer *answer = g_new0 (Answer, 1);

  answer->diagnosis = diagnosis;
  answer->trouble = error != NULL ? g_strdup (error->message) : NULL;
  answer->first = first;
  answer->complete = complete;
  answer->serial = serial;
  post (self, answer);
}

/* Adds to the sets that are wanted. */
static void
want (BlOddsWorker *self, GPtrArray *sets)
{
  if (self->sets == NULL)
    self->sets = g_ptr_array_new_with_free_func ((GDestroyNotify) g_strfreev);
  g_ptr_array_extend_and_steal (self->sets, sets);
}

/* Odds of sets of events (transfer full). Where that is cancelled they are still wanted. Whatever else keeps
 * them from being known keeps the diagnosis too, which says so. */
static void
send_unions (BlOddsWorker *self, BlEngine *engine, const Question *question, GPtrArray *sets)
{
  g_autoptr (GError) error = NULL;
  g_autofree double *odds = g_new0 (double, sets->len + 1);
  gboolean known = bl_engine_unions (engine, question->entries, sets, odds, &self->cancel, &error);

  if (g_error_matches (error, BL_CORE_ERROR, BL_CORE_ERROR_CANCELLED))
    {
      g_mutex_lock (&self->lock);
      want (self, sets);
      g_mutex_unlock (&self->lock);
      return;
    }
  for (guint i = 0; !known && i < sets->len; i++)
    odds[i] = NAN;
  Answer *answer = g_new0 (Answer, 1);
  answer->sets = sets;
  answer->odds = g_steal_pointer (&odds);
  answer->serial = question->serial;
  post (self, answer);
}

/* FALSE: there is another question, or none will be answered any more. */
static gboolean
take_sets (BlOddsWorker *self, GPtrArray **sets)
{
  g_mutex_lock (&self->lock);
  gboolean go_on = self->question == NULL && !self->quit;
  *sets = go_on ? g_steal_pointer (&self->sets) : NULL;
  if (go_on)
    g_atomic_int_set (&self->cancel, 0);
  g_mutex_unlock (&self->lock);
  return go_on;
}

/* All that are wanted by now, those asked for meanwhile too. FALSE: as take_sets (). */
static gboolean
answer_sets (BlOddsWorker *self, BlEngine *engine, const Question *question)
{
  GPtrArray *sets;

  do
    {
      if (!take_sets (self, &sets))
        return FALSE;
      if (sets != NULL && engine != NULL)
        send_unions (self, engine, question, sets);
      else if (sets != NULL)
        g_ptr_array_unref (sets);
    }
  while (sets != NULL);
  return TRUE;
}

/* A plan or a ranking that cannot be had must not take the odds away: they are the whole answer then. */
static void
fall_back (BlOddsWorker *self, BlEngine *engine, const Question *question, BlDiagnoseFlags flags)
{
  g_autoptr (GError) error = NULL;
  BlDiagnosis *diagnosis;

  while (diagnosis = bl_engine_diagnose (engine, question->entries, flags, &self->cancel, &error),
         g_error_matches (error, BL_CORE_ERROR, BL_CORE_ERROR_CANCELLED))
    {
      if (!answer_sets (self, engine, question))
        return;
      g_clear_error (&error);
    }
  send (self, question->serial, diagnosis, error, FALSE, TRUE);
}

static void
work_on (BlOddsWorker *self, BlEngine *engine, Question *question)
{
  g_autoptr (GError) error = NULL;
  const BlDiagnoseFlags odds = BL_DIAGNOSE_WHY | BL_DIAGNOSE_FIT;
  const BlDiagnoseFlags steps[] = { odds, odds | BL_DIAGNOSE_PLAN, odds | BL_DIAGNOSE_PLAN | BL_DIAGNOSE_NEXT };

  for (guint i = 0; i < G_N_ELEMENTS (steps); i++)
    {
      BlDiagnosis *diagnosis = bl_engine_diagnose (engine, question->entries, steps[i], &self->cancel, &error);

      if (g_error_matches (error, BL_CORE_ERROR, BL_CORE_ERROR_CANCELLED))
        {
          if (!answer_sets (self, engine, question))
            return;
          g_clear_error (&error);
          i--;
          continue;
        }
      if (diagnosis == NULL && i > 0)
        {
          fall_back (self, engine, question, steps[i - 1]);
          return;
        }
      send (self, question->serial, diagnosis, error, i == 0, diagnosis == NULL || i + 1 == G_N_ELEMENTS (steps));
      if (diagnosis == NULL)
        return;
      if (i == 0 && question->sets != NULL)
        send_unions (self, engine, question, g_steal_pointer (&question->sets));
    }
}

/* The next question, when there is one or sets are wanted for the last one; NULL: then it is sets, or the
 * end. */
static Question *
wait_for_question (BlOddsWorker *self, gboolean *quit)
{
  g_mutex_lock (&self->lock);
  while (self->question == NULL && self->sets == NULL && !self->quit)
    g_cond_wait (&self->asked, &self->lock);
  *quit = self->quit;
  Question *question = *quit ? NULL : g_steal_pointer (&self->question);
  g_atomic_int_set (&self->cancel, 0);
  g_mutex_unlock (&self->lock);
  return question;
}

typedef struct
{
  BlBoard *board;
  BlEngine *engine;
  GError *trouble;
  Question *question; /* the last one */
} At;

static void
take_board (At *at, BlBoard *board)
{
  g_clear_pointer (&at->engine, bl_engine_free);
  g_clear_pointer (&at->board, bl_board_free);
  g_clear_error (&at->trouble);
  at->board = board;
  at->engine = bl_engine_new (board, &at->trouble);
}

static gpointer
run (gpointer data)
{
  BlOddsWorker *self = data;
  At at = { NULL };
  gboolean quit;

  for (;;)
    {
      Question *question = wait_for_question (self, &quit);
      if (quit)
        break;
      if (question == NULL)
        {
          answer_sets (self, at.engine, at.question);
          continue;
        }
      question_free (at.question);
      at.question = question;
      if (question->board != NULL)
        take_board (&at, g_steal_pointer (&question->board));
      if (at.engine != NULL)
        work_on (self, at.engine, question);
      else
        send (self, question->serial, NULL, at.trouble, TRUE, TRUE);
    }
  question_free (at.question);
  g_clear_pointer (&at.engine, bl_engine_free);
  g_clear_pointer (&at.board, bl_board_free);
  g_clear_error (&at.trouble);
  worker_unref (self);
  return NULL;
}

BlOddsWorker *
bl_odds_worker_new (BlOddsReady ready, BlUnionsReady unions_ready, gpointer data)
{
  BlOddsWorker *self = g_new0 (BlOddsWorker, 1);

  self->refs = 2;
  g_mutex_init (&self->lock);
  g_cond_init (&self->asked);
  self->context = g_main_context_ref_thread_default ();
  self->ready = ready;
  self->unions_ready = unions_ready;
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
bl_odds_worker_ask (BlOddsWorker *self, const BlBoard *board, guint generation, GPtrArray *entries,
                    GPtrArray *sets)
{
  Question *question = g_new0 (Question, 1);

  question->entries = entries;
  question->sets = sets;
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
  g_clear_pointer (&self->sets, g_ptr_array_unref);
  g_atomic_int_set (&self->cancel, 1);
  g_cond_signal (&self->asked);
  g_mutex_unlock (&self->lock);
}

void
bl_odds_worker_ask_unions (BlOddsWorker *self, GPtrArray *sets)
{
  /* Sets for an answer that is on its way go with the question, or are asked for when it is there. */
  if (self->shown != self->serial)
    {
      g_ptr_array_unref (sets);
      return;
    }
  g_mutex_lock (&self->lock);
  want (self, sets);
  g_atomic_int_set (&self->cancel, 1);
  g_cond_signal (&self->asked);
  g_mutex_unlock (&self->lock);
}

gboolean
bl_odds_worker_is_busy (BlOddsWorker *self)
{
  return self->answered != self->serial;
}
