/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gio/gio.h>

G_BEGIN_DECLS

/* Barcodes and QR codes in a picture. */

typedef struct
{
  char *symbology; /* "QR-Code", "CODE-128" ... as the reading library names it */
  char *text;      /* UTF-8; begins with the symbology identifier of GS1 where the code says it is GS1 */
} BlCode;
void bl_code_free (BlCode *code);

/* Codes in a grey picture, one byte a pixel, rows of stride bytes: upright or on their side, and at any other angle
 * where there are none so; each text once. Takes up to some seconds for a large picture without any: not for the thread
 * of the screen. (transfer full) of BlCode, maybe empty; NULL: cancelled */
GPtrArray *bl_codes_read (const guint8 *grey, guint width, guint height, gsize stride, GCancellable *cancellable);
/* The same once, upright and on their side only: for one frame of many. */
GPtrArray *bl_codes_read_frame (const guint8 *grey, guint width, guint height, gsize stride);
/* Codes in an image file (JPEG, PNG ...). NULL with error: no image, or cancelled. */
GPtrArray *bl_codes_read_image (GBytes *image, GCancellable *cancellable, GError **error);
/* ... in a worker thread. */
void bl_codes_read_image_async (GBytes *image, GCancellable *cancellable, GAsyncReadyCallback done, gpointer data);
GPtrArray *bl_codes_read_image_finish (GAsyncResult *result, GError **error);

G_END_DECLS
