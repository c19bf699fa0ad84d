/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* How long work takes, or how much longer: "45 s", "2 min 5 s", from ten minutes on "12 min", from an hour on "1 h 5 min";
 * "–" for what is no time. What runs on a clock is written as a clock: bl_clock_words (). (transfer full) */
char *bl_effort_words (double seconds);

/* The same of an estimate, what stands after "about": to 5 s below a minute, to half minutes below ten, to whole ones
 * above. (transfer full) */
char *bl_effort_words_about (double seconds);

G_END_DECLS
