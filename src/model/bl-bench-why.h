/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench.h"
#include "bl-reasons.h"

G_BEGIN_DECLS

/* Unread measurements whose classes are tried, so that it ends soon on the largest boards. */
#define BL_WHY_MOST_TRIED 24

/* Reasons of an open job, worked out in a thread of their own so that no entry waits for them. */
typedef struct BlWhyAsk BlWhyAsk;

/* Called on the asking thread: first with the reasons, then (complete) with what would turn them too.
 * reasons (transfer full), or NULL and a sentence why there are none. */
typedef void (*BlWhyReady) (BlReasons *reasons, const char *trouble, gboolean complete, gpointer data);

/* suspect: component or stage, NULL: elsewhere. Board and entries are copied. (transfer full) */
BlWhyAsk *bl_bench_ask_why (BlBench *bench, const char *suspect, BlWhyReady ready, gpointer data);
/* Stops it; ready is not called again. */
void bl_why_ask_free (BlWhyAsk *ask);

G_END_DECLS
