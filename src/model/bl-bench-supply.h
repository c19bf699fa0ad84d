/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench.h"

G_BEGIN_DECLS

/* What the board is fed by when it is live, and what was made sure of before power came back: asked, answered or passed
 * by, and kept in the log either way. None of it is a step of undo. */

typedef enum
{
  BL_SUPPLY_ISOLATED = 1 << 0, /* isolating transformer */
  BL_SUPPLY_LIMITED = 1 << 1,  /* current-limited, or a lamp in series */
  BL_SUPPLY_MAINS = 1 << 2,    /* the mains as they are */
  BL_SUPPLY_PASSED = 1 << 3    /* nobody answered */
} BlSupply;

typedef enum
{
  BL_BEFORE_BUS = 1 << 0,       /* resistance of the bus: no short */
  BL_BEFORE_LIMITED = 1 << 1,   /* current-limited supply */
  BL_BEFORE_DISCHARGE = 1 << 2, /* a way to discharge is at hand */
  BL_BEFORE_PASSED = 1 << 3,    /* left without answering the rest */
  BL_BEFORE_ALL = BL_BEFORE_BUS | BL_BEFORE_LIMITED | BL_BEFORE_DISCHARGE
} BlBefore;

/* TRUE from the first live state of a job until somebody was asked what feeds it. */
gboolean bl_bench_wants_supply (BlBench *self);
gboolean bl_bench_say_supply (BlBench *self, BlSupply supply, GError **error);

/* The component on the hot side that was replaced last, while the declared state is live and nobody was asked since;
 * NULL: none. Asked anew after every such repair. Valid until "changed". */
const char *bl_bench_wants_before_power (BlBench *self);
/* Whether one was replaced since the last asking, whatever state is declared. */
const char *bl_bench_repaired_hot (BlBench *self);
gboolean bl_bench_say_before_power (BlBench *self, BlBefore done, GError **error);

/* A row of a list to tick: "resistance of the bus measured: no short". (transfer none) */
const char *bl_before_words (BlBefore one);
/* "isolating transformer and current-limited". Returns: (transfer full). */
char *bl_supply_words (BlSupply supply);
/* The words of such a line of the log; any other text as it is. Returns: (transfer full). */
char *bl_supply_record_words (const BlRecord *record);

G_END_DECLS
