/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* What was read for a proof of dead: a known source, one or more points, the known source again. */
typedef struct
{
  guint n;        /* figures in V there are */
  double dc, ac;  /* most at a point, V; NAN: none is of this kind. What says neither is DC */
} BlProofText;
BlProofText bl_proof_read (const char *text);

G_END_DECLS
