/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Coverage off the thread that draws: one thread serves all askers, in their order, since a page of
 * boards asks for some hundred at once and each takes some hundredths of a second. What was worked out
 * is kept under a digest of the document's text, so that a document that says the same is never worked
 * out twice, in whatever page it is looked at.
 */
#include "config.h"

#include "bl-coverage-ask.h"

#include "bl-document.h"

#define MOST_KEPT 256

struct BlCoverageAsk
{
  gint refs;             /* the owner, the work, the answer */
  int cancel;
  BlBoard *board;
  GMainContext *context;
  BlCoverageReady ready; /* NULL: nobody waits any more; only the asking thread looks at it */
  gpointer data;
  BlCoverage *coverage;
  char *trouble;
};

static GMutex lock;
static GHashTable *kept; /* digest -> BlCoverage, under the lock */

static void
ask_unref (BlCoverageAsk *self)
{
  if (!g_atomic_int_dec_and_test (&self->refs))
    return;
  bl_board_free (self->board);
  g_main_context_unref (self->context);
  bl_coverage_free (self->coverage);
  g_free (self->trouble);
  g_free (self);
}

static gboolean
deliver (gpointer data)
{
  BlCoverageAsk *self = data;
  BlCoverageReady ready = self->ready;

  self->ready = NULL;
  if (ready != NULL)
    ready (g_steal_pointer (&self->coverage), self->trouble, self->data);
  return G_SOURCE_REMOVE;
}

/* (transfer full), NULL: not known. */
static BlCoverage *
look_up (const char *digest)
{
  BlCoverage *found;

  g_mutex_lock (&lock);
  found = kept != NULL ? g_hash_table_lookup (kept, digest) : NULL;
  if (found != NULL)
    bl_coverage_ref (found);
  g_mutex_unlock (&lock);
  return found;
}

static void
keep (const char *digest, BlCoverage *coverage)
{
  g_mutex_lock (&lock);
  if (kept == NULL)
    kept = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify) bl_coverage_free);
  if (g_hash_table_size (kept) >= MOST_KEPT)
    g_hash_table_remove_all (kept);
  g_hash_table_replace (kept, g_strdup (digest), bl_coverage_ref (coverage));
  g_mutex_unlock (&lock);
}

static void
work (gpointer task, gpointer unused)
{
  BlCoverageAsk *self = task;
  g_autoptr (GError) error = NULL;

  if (g_atomic_int_get (&self->cancel) == 0)
    {
      g_autofree char *text = bl_document_write (self->board);
      g_autofree char *digest = g_compute_checksum_for_string (G_CHECKSUM_SHA256, text, -1);

      self->coverage = look_up (digest);
      if (self->coverage == NULL)
        self->coverage = bl_coverage_new (self->board, TRUE, &self->cancel, &error);
      if (self->coverage != NULL)
        keep (digest, self->coverage);
      else
        self->trouble = g_strdup (error->message);
    }
  g_autoptr (GSource) source = g_idle_source_new ();
  g_source_set_callback (source, deliver, self, (GDestroyNotify) ask_unref);
  g_source_attach (source, self->context);
}

BlCoverageAsk *
bl_coverage_ask (const BlBoard *board, BlCoverageReady ready, gpointer data)
{
  static gsize pool = 0;
  g_return_val_if_fail (board != NULL && ready != NULL, NULL);
  BlCoverageAsk *self = g_new0 (BlCoverageAsk, 1);

  if (g_once_init_enter (&pool))
    g_once_init_leave (&pool, (gsize) g_thread_pool_new (work, NULL, 1, FALSE, NULL));
  self->refs = 2;
  self->board = bl_board_copy (board);
  self->context = g_main_context_ref_thread_default ();
  self->ready = ready;
  self->data = data;
  g_thread_pool_push ((GThreadPool *) pool, self, NULL);
  return self;
}

void
bl_coverage_ask_free (BlCoverageAsk *self)
{
  if (self == NULL)
    return;
  self->ready = NULL;
  g_atomic_int_set (&self->cancel, 1);
  ask_unref (self);
}
