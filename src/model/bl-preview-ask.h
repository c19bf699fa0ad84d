/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gio/gio.h>

#include "bl-preview.h"

G_BEGIN_DECLS

/* bl_preview_new () off the thread that draws. board is copied; ready is called in any case, with
 * G_IO_ERROR_CANCELLED once it was cancelled. */
void bl_preview_ask (const BlBoard *board, const char *const *faults, const char *const *without,
                     GCancellable *cancellable, GAsyncReadyCallback ready, gpointer data);
/* (transfer full) */
BlPreview *bl_preview_ask_finish (GAsyncResult *result, GError **error);

G_END_DECLS
