/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* A seed for something to practise, 1 to BL_PRACTICE_MOST_SEED: another one each time. Where the environment has a number in
 * BENCHLORE_SEED when the first one is asked for, they follow from it, the same ones at each start: for tests. Main thread. */
guint32 bl_practice_new_seed (void);

G_END_DECLS
