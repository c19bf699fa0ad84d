/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A preview takes some ten milliseconds: too long for each letter typed. */
#include "config.h"

#include "bl-preview-ask.h"

typedef struct
{
  BlBoard *board;
  char **faults, **without;
} Ask;

static void
ask_free (gpointer data)
{
  Ask *ask = data;

  bl_board_free (ask->board);
  g_strfreev (ask->faults);
  g_strfreev (ask->without);
  g_free (ask);
}

static void
work (GTask *task, gpointer source, gpointer data, GCancellable *cancellable)
{
  Ask *ask = data;
  GError *error = NULL;
  BlPreview *preview;

  if (g_task_return_error_if_cancelled (task))
    return;
  preview = bl_preview_new (ask->board, (const char *const *) ask->faults, (const char *const *) ask->without, &error);
  if (preview != NULL)
    g_task_return_pointer (task, preview, (GDestroyNotify) bl_preview_free);
  else
    g_task_return_error (task, error);
}

void
bl_preview_ask (const BlBoard *board, const char *const *faults, const char *const *without, GCancellable *cancellable,
                GAsyncReadyCallback ready, gpointer data)
{
  g_return_if_fail (board != NULL && faults != NULL);
  g_autoptr (GTask) task = g_task_new (NULL, cancellable, ready, data);
  Ask *ask = g_new0 (Ask, 1);

  ask->board = bl_board_copy (board);
  ask->faults = g_strdupv ((char **) faults);
  ask->without = g_strdupv ((char **) without);
  g_task_set_source_tag (task, bl_preview_ask);
  g_task_set_task_data (task, ask, ask_free);
  g_task_run_in_thread (task, work);
}

BlPreview *
bl_preview_ask_finish (GAsyncResult *result, GError **error)
{
  g_return_val_if_fail (g_async_result_is_tagged (result, bl_preview_ask), NULL);
  return g_task_propagate_pointer (G_TASK (result), error);
}
