/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* Longest text taken for a quantity or a code, bytes: long enough for 17 digits, an exponent and a unit. */
#define BL_PLAIN_MAX 64

/* text as a keyboard with ASCII alone would have it: blanks at the ends dropped and others single; digits of
 * any script, and full-width letters, as ASCII; micro "u", ohm "ohm", degree "deg", any minus "-", plus or
 * minus "+-", times "x", an ellipsis "..". NULL when it is longer than BL_PLAIN_MAX, is no UTF-8 or has another
 * character; then *strange, where given, is that character, or 0. Returns: (transfer full). */
char *bl_plain_text (const char *text, gunichar *strange);

G_END_DECLS
