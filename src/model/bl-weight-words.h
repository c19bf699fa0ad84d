/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"

G_BEGIN_DECLS

/* Where the weight of a component comes from: "handbook 0.061 (aluminium electrolytic, MIL-HDBK-217F ...), ×3
 * hot spot; together 0.183". Numbers follow the locale. Returns: (transfer full). */
char *bl_component_weight_words (const BlComponent *component);
/* The same of one of its modes: "0.0323: handbook share 53 % (short, MIL-HDBK-338B ...)".
 * Returns: (transfer full). */
char *bl_mode_weight_words (const BlBoard *board, const BlComponent *component, const BlMode *mode);

G_END_DECLS
