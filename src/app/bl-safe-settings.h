/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench-safe.h"

G_BEGIN_DECLS

/* The shop's limits as the preferences say; those a shop begins with where nothing is kept. */
BlSafeLimits bl_safe_settings_limits (void);
/* Gives them to an open job, and again whenever they are changed, as long as the job is open. */
void bl_safe_settings_follow (BlBench *bench);

G_END_DECLS
