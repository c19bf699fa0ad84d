/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Short sounds while the eyes are on the probes, by their names in the freedesktop.org sound naming
 * specification. Reaching the sound server may take its time, so a thread does it; no sound is no error. */
#include "config.h"

#include "bl-chime.h"

#include <gsound.h>

static void
play (gpointer data, gpointer unused)
{
  static const char *const events[] = {
    [BL_CHIME_TAKEN] = "message-new-instant",
    [BL_CHIME_ASKS] = "dialog-warning",
    [BL_CHIME_LOST] = "device-removed",
  };
  static GSoundContext *context; /* of the one thread at a time */
  guint chime = GPOINTER_TO_UINT (data) - 1;

  if (context == NULL)
    context = gsound_context_new (NULL, NULL);
  if (context != NULL)
    gsound_context_play_simple (context, NULL, NULL, GSOUND_ATTR_EVENT_ID, events[chime], NULL);
}

void
bl_chime_play (BlChime chime)
{
  static GThreadPool *pool;

  if (pool == NULL)
    pool = g_thread_pool_new (play, NULL, 1, FALSE, NULL);
  g_thread_pool_push (pool, GUINT_TO_POINTER ((guint) chime + 1), NULL);
}
