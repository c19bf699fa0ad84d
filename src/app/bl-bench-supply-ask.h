/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench-page-private.h"
#include "bl-bench-supply.h"

G_BEGIN_DECLS

/* After a state was declared: asks what feeds the board, or what was made sure of before power, where that is due. An
 * offer: it goes with the next key that is not for it, which is kept in the log. */
void bl_bench_supply_ask (BlBenchPage *self);
/* FALSE: not a question of its own. */
gboolean bl_bench_supply_chosen (BlBenchPage *self, const char *tag, const char *id);
/* The panel was left without an answer. */
void bl_bench_supply_closed (BlBenchPage *self);

G_END_DECLS
