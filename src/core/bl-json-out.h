/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* Parts of a JSON text, with 17 digits whatever the locale; not finite is null. In
 * bl-diagnosis-json.c. */
void bl_json_string (GString *out, const char *text);
void bl_json_number (GString *out, double value);
/* "key": "text" (NULL: null) */
void bl_json_key_string (GString *out, const char *key, const char *text);
/* , "key": value */
void bl_json_key_number (GString *out, const char *key, double value);

G_END_DECLS
