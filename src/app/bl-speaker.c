/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sentences said aloud through the desktop's speech service.
 *
 * Reaching the service may start it, which takes seconds, and a service that hangs would hold every call: so
 * all of it happens in one thread, fed by a queue, and nobody waits for the thread, not even at the end. A
 * sentence that interrupts drops the ones before it. What is said is another file's business. */
#include "config.h"

#include "bl-speaker.h"

#include <glib/gi18n-lib.h>
#include <libspeechd.h>
#include <pthread.h>
#include <signal.h>
#include <stdlib.h>

G_DEFINE_INTERFACE (BlSpeaker, bl_speaker, G_TYPE_OBJECT)

static void
bl_speaker_default_init (BlSpeakerInterface *iface)
{
  g_signal_new ("trouble", BL_TYPE_SPEAKER, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

void
bl_speaker_say (BlSpeaker *self, const char *sentence, gboolean interrupt)
{
  g_return_if_fail (BL_IS_SPEAKER (self) && sentence != NULL);
  BL_SPEAKER_GET_IFACE (self)->say (self, sentence, interrupt);
}

const char *
bl_speaker_get_trouble (BlSpeaker *self)
{
  g_return_val_if_fail (BL_IS_SPEAKER (self), NULL);
  return BL_SPEAKER_GET_IFACE (self)->get_trouble (self);
}

/* --- the thread --- */

#define AGAIN_US (20 * G_USEC_PER_SEC) /* before a service that was not there is looked for again */

typedef struct
{
  char *sentence; /* NULL: end */
  gboolean interrupt;
} Message;

typedef struct
{
  GAsyncQueue *queue; /* Message */
  GWeakRef voice;     /* who is told about trouble */
  SPDConnection *connection;
  gint64 again; /* monotonic, when to try again */
} Worker;

typedef struct
{
  BlVoice *voice;
  char *trouble;
} Report;

static void
message_free (gpointer data)
{
  Message *message = data;

  g_free (message->sentence);
  g_free (message);
}

static gboolean show_trouble (gpointer data);

/* trouble NULL: all is well. */
static void
tell (Worker *worker, const char *trouble)
{
  Report *report = g_new0 (Report, 1);

  report->voice = g_weak_ref_get (&worker->voice);
  report->trouble = g_strdup (trouble);
  g_idle_add (show_trouble, report);
}

static void
close_connection (Worker *worker)
{
  if (worker->connection != NULL)
    spd_close (worker->connection);
  worker->connection = NULL;
}

static gboolean
reach (Worker *worker)
{
  char *reason = NULL;

  if (worker->connection != NULL)
    return TRUE;
  if (g_get_monotonic_time () < worker->again)
    return FALSE;
  worker->connection = spd_open2 ("benchlore", "bench", NULL, SPD_MODE_SINGLE, NULL, 1, &reason);
  if (worker->connection == NULL)
    {
      worker->again = g_get_monotonic_time () + AGAIN_US;
      tell (worker, reason != NULL ? g_strchomp (reason) : _ ("it does not answer"));
    }
  else
    {
      /* Translators: the code of the language the sentences are translated to, for the voice */
      spd_set_language (worker->connection, C_ ("language code of spoken sentences", "en"));
      tell (worker, NULL);
    }
  free (reason);
  return worker->connection != NULL;
}

static void
speak (Worker *worker, const Message *message)
{
  /* A connection that broke since is opened once more. */
  for (int i = 0; i < 2 && reach (worker); i++)
    {
      if (message->interrupt)
        spd_cancel (worker->connection);
      if (spd_say (worker->connection, SPD_MESSAGE, message->sentence) >= 0)
        return;
      close_connection (worker);
    }
}

/* The next message to be said: all before one that interrupts are dropped. */
static Message *
next_message (GAsyncQueue *queue)
{
  Message *message = g_async_queue_pop (queue), *later;
  GPtrArray *kept = g_ptr_array_new ();

  while (message->sentence != NULL && (later = g_async_queue_try_pop (queue)) != NULL)
    {
      if (later->sentence != NULL && !later->interrupt)
        {
          g_ptr_array_add (kept, later);
          continue;
        }
      message_free (message);
      g_ptr_array_foreach (kept, (GFunc) (void (*) (void)) message_free, NULL);
      g_ptr_array_set_size (kept, 0);
      message = later;
    }
  for (guint i = kept->len; i > 0; i--)
    g_async_queue_push_front (queue, g_ptr_array_index (kept, i - 1));
  g_ptr_array_unref (kept);
  return message;
}

static gpointer
work (gpointer data)
{
  Worker *worker = data;
  Message *message;
  sigset_t broken_pipe;

  /* The service may end while it is written to; that is an error here, not the end of the program. */
  sigemptyset (&broken_pipe);
  sigaddset (&broken_pipe, SIGPIPE);
  pthread_sigmask (SIG_BLOCK, &broken_pipe, NULL);
  while ((message = next_message (worker->queue))->sentence != NULL)
    {
      speak (worker, message);
      message_free (message);
    }
  message_free (message);
  close_connection (worker);
  g_async_queue_unref (worker->queue);
  g_weak_ref_clear (&worker->voice);
  g_free (worker);
  return NULL;
}

/* --- object --- */

struct _BlVoice
{
  GObject parent_instance;

  GAsyncQueue *queue; /* NULL: no thread yet */
  char *trouble;
};

static void bl_voice_speaker_init (BlSpeakerInterface *iface);

G_DEFINE_FINAL_TYPE_WITH_CODE (BlVoice, bl_voice, G_TYPE_OBJECT,
                               G_IMPLEMENT_INTERFACE (BL_TYPE_SPEAKER, bl_voice_speaker_init))

static gboolean
show_trouble (gpointer data)
{
  Report *report = data;

  if (report->voice != NULL && g_strcmp0 (report->voice->trouble, report->trouble) != 0)
    {
      g_free (report->voice->trouble);
      report->voice->trouble = g_strdup (report->trouble);
      g_signal_emit_by_name (report->voice, "trouble");
    }
  g_clear_object (&report->voice);
  g_free (report->trouble);
  g_free (report);
  return G_SOURCE_REMOVE;
}

static void
push (BlVoice *self, const char *sentence, gboolean interrupt)
{
  Message *message = g_new0 (Message, 1);

  message->sentence = g_strdup (sentence);
  message->interrupt = interrupt;
  g_async_queue_push (self->queue, message);
}

static void
bl_voice_say (BlSpeaker *speaker, const char *sentence, gboolean interrupt)
{
  BlVoice *self = BL_VOICE (speaker);

  if (self->queue == NULL)
    {
      Worker *worker = g_new0 (Worker, 1);
      self->queue = g_async_queue_new_full (message_free);
      worker->queue = g_async_queue_ref (self->queue);
      g_weak_ref_init (&worker->voice, self);
      g_thread_unref (g_thread_new ("speech", work, worker));
    }
  push (self, sentence, interrupt);
}

static const char *
bl_voice_get_trouble (BlSpeaker *speaker)
{
  return BL_VOICE (speaker)->trouble;
}

static void
bl_voice_speaker_init (BlSpeakerInterface *iface)
{
  iface->say = bl_voice_say;
  iface->get_trouble = bl_voice_get_trouble;
}

static void
bl_voice_finalize (GObject *object)
{
  BlVoice *self = BL_VOICE (object);

  if (self->queue != NULL)
    {
      push (self, NULL, TRUE);
      g_async_queue_unref (self->queue);
    }
  g_free (self->trouble);
  G_OBJECT_CLASS (bl_voice_parent_class)->finalize (object);
}

static void
bl_voice_class_init (BlVoiceClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = bl_voice_finalize;
}

static void
bl_voice_init (BlVoice *self)
{
}

BlSpeaker *
bl_voice_new (void)
{
  return g_object_new (BL_TYPE_VOICE, NULL);
}
