/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-coverage.h"

G_BEGIN_DECLS

/* Coverage of a board, worked out off the thread that draws and kept for as long as the document says
 * the same. */
typedef struct BlCoverageAsk BlCoverageAsk;

/* Called once, on the asking thread. coverage (transfer full), or NULL and a sentence why there is none. */
typedef void (*BlCoverageReady) (BlCoverage *coverage, const char *trouble, gpointer data);

/* board is copied. (transfer full) */
BlCoverageAsk *bl_coverage_ask (const BlBoard *board, BlCoverageReady ready, gpointer data);
/* Stops it; ready is not called any more. NULL is nothing. */
void bl_coverage_ask_free (BlCoverageAsk *ask);

G_END_DECLS
