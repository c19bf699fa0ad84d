/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <math.h>

G_BEGIN_DECLS

/* Published priors by component kind. A kind is a dotted name from the general to the special,
 * "capacitor.electrolytic"; one the table does not have is looked up without its last part, and so
 * on, so "ic.regulator" has the values of "ic". The rates compare kinds with each other: they are
 * generic values for a fixed ground environment without any quality factor, not a prediction. */

/* Rate of a kind that the table does not have, per 10^6 h: that of a fuse. */
#define BL_KIND_RATE_UNKNOWN 0.02

/* Failures per 10^6 h of a kind (NULL: unknown); BL_KIND_RATE_UNKNOWN when there is none. */
double bl_kind_rate (const char *kind);

/* Share of a mode in the failures of a kind, 0 to 1; NAN when its row has no such mode. */
double bl_kind_share (const char *kind, const char *mode);

/* Where the rate (mode NULL) or share is from: row and publication; NULL: not in the table.
 * Returns: (transfer full). */
char *bl_kind_source (const char *kind, const char *mode);

/* All kinds in alphabetical order, NULL-terminated. Returns: (transfer none). */
const char *const *bl_kinds (void);

/* The modes the table has for a kind, likeliest first, NULL-terminated.
 * Returns: (transfer container), free with g_free (). */
const char **bl_kind_modes (const char *kind);

G_END_DECLS
