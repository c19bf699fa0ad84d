/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-library-private.h"

G_BEGIN_DECLS

/* Of two texts what differs, each way: the text that one becomes the other by, with the digests of both, compressed
 * where that pays. */
void bl_step_delta (GBytes *before, GBytes *after, GBytes **to_before, GBytes **to_after);
/* from, changed by a delta; NULL where from is not the text it was made for. */
GBytes *bl_step_delta_apply (GBytes *from, GBytes *delta);
char *bl_step_digest (GBytes *text);

/* How something is now: of a document its text, of a row of a table its values, of a line of the log whether it is
 * struck. *image NULL: it is not there. */
gboolean bl_step_image (BlLibrary *library, const char *kind, const char *subject, GBytes **image, GError **error);
/* Turns two images into what is kept of them. FALSE: nothing changed. */
gboolean bl_step_pack (const char *kind, GBytes *before, GBytes *after, GBytes **kept_before, GBytes **kept_after);
/* The image before, of the present one and what was kept; NULL with *known FALSE where it does not fit. */
GBytes *bl_step_unpack (const char *kind, GBytes *present, GBytes *kept_before, gboolean *known);
/* Changes it from one to the other. BL_STORE_ERROR_OUTDATED where it is not as in from. */
gboolean bl_step_put (BlLibrary *library, gint64 step, const char *kind, const char *subject, GBytes *from, GBytes *to,
                      gboolean undo, GError **error);
/* Whether put would find it as in from; only for lines of the log, which is cheap: others are taken to be. */
gboolean bl_step_stands (BlLibrary *library, const char *kind, const char *subject, GBytes *from);

/* --- bl-library-steps.c, for bl-step-take.c --- */

/* One thing that a step changed. */
typedef struct
{
  char *kind, *subject;
  GBytes *before, *after;
} BlStepItem;

enum { BL_STEP_N_PLACES = 5 };
extern const char *const bl_step_places[BL_STEP_N_PLACES]; /* of each BlStepsPlace its name in the library */

/* A transaction about a step; they nest. */
gboolean bl_step_begin (BlLibrary *library, GError **error);
/* Ends it; ok FALSE: takes back what was done. */
gboolean bl_step_end (BlLibrary *library, gboolean ok, GError **error);
/* A statement about steps. (transfer full) */
BlStatement *bl_step_prepare (BlLibrary *library, const char *sql, GError **error);
/* One statement of up to two numbers, ?1 and ?2. */
gboolean bl_step_run (BlLibrary *library, const char *sql, gint64 first, gint64 second, GError **error);
/* What the step changed, in that order; NULL: error. (transfer full) BlStepItem */
GPtrArray *bl_step_items (BlLibrary *library, gint64 step, GError **error);

G_END_DECLS
