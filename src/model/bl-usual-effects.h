/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* Notes of an effect that nobody has looked at yet, and of one that somebody has; documents carry them, so they
 * are not translated. */
#define BL_PROPOSED "proposed: common practice, no source"
#define BL_ACCEPTED "common practice, no source"

/* What this failure of a part of this kind makes of the stage it stands in, where common practice knows it without
 * looking at the circuit: the name of a deviation, NULL where it does not. Common practice, no source: a part that
 * carries the current of its stage interrupts it when it opens, one across the output of its stage pulls it down
 * when it shorts. Of diodes, transistors, resistors and relays the circuit decides, nothing is proposed. */
const char *bl_usual_effect (const char *kind, const char *mode);

G_END_DECLS
