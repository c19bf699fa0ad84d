/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-verdict.h"

G_BEGIN_DECLS

/* What a reading was judged by, and how, as text to keep beside it. Every number comes back to the
 * last bit, not-a-number and infinities included. NULL gives NULL. (transfer full) */
char *bl_band_to_json (const BlBand *band);
char *bl_verdict_to_json (const BlVerdict *verdict);
/* NULL, without an error, for NULL; NULL with BL_STORE_ERROR_CORRUPT for what is none. (transfer
 * full) */
BlBand *bl_band_from_json (const char *text, GError **error);
BlVerdict *bl_verdict_from_json (const char *text, GError **error);

G_END_DECLS
