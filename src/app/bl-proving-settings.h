/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gio/gio.h>

#include "bl-safety.h"

G_BEGIN_DECLS

/* What the shop says of proving, as the settings have it. */

/* Questions after a repair. (transfer full) */
char **bl_proving_settings_checks (void);
void bl_proving_settings_set_checks (const char *const *checks);
guint bl_proving_settings_soak_minutes (void);
/* Limits with what the shop changed of them. */
void bl_proving_settings_limits (BlSafetyLimits *limits);
/* Where they are from: what the shop typed; else the usual source, or, where a limit was changed, that they are the
 * shop's own. (transfer full) */
char *bl_proving_settings_source (void);

/* One limit as the preferences show it: in its unit. */
typedef struct
{
  const char *name, *title, *unit; /* title to be translated */
  double scale;                    /* of the unit, in SI base units */
  gsize offset;                    /* of the double in BlSafetyLimits */
} BlLimitRow;
const BlLimitRow *bl_proving_settings_rows (guint *n);
/* value in the row's unit; the usual one is forgotten again. */
void bl_proving_settings_set_limit (const BlLimitRow *row, double value);

G_END_DECLS
