/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-safe-limits.h"

G_BEGIN_DECLS

/* The usual cautions of the trade, to be read and printed. They remind; they allow nothing and make nothing safe. */
typedef struct
{
  const char *text;   /* translated on asking: see bl_caution_text () */
  const char *source; /* NULL: common practice, no source */
} BlCaution;

typedef struct
{
  const char *title;
  const BlCaution *cautions;
  guint n;
} BlCautionGroup;

/* All of them, in order. (transfer none) */
const BlCautionGroup *bl_caution_groups (guint *n);
/* What stands above all of them. */
const char *bl_caution_first (void);
/* With the shop's limits in it. Returns: (transfer full). */
char *bl_caution_text (const BlCaution *caution, const BlSafeLimits *limits);
/* "HSE GS38 (from memory)", or that there is none. */
const char *bl_caution_source (const BlCaution *caution);

G_END_DECLS
