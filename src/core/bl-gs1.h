/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* GS1 element strings: several fields in one code, each begun by its Application Identifier. */

typedef struct
{
  char ai[5];        /* "21" */
  const char *title; /* its data title: "SERIAL"; (static) */
  char *value;       /* without the identifier, as it stands */
} BlGs1Field;
void bl_gs1_field_free (BlGs1Field *field);

/* TRUE for text that says of itself that it is an element string: it begins with a symbology identifier of GS1
 * (]C1, ]e0, ]d2, ]Q3, ]J1), with a separator, or with an identifier in brackets, or is a web address by the GS1
 * Digital Link standard; or a bare one, as scanners type it, that begins with a GTIN whose check digit is right and
 * that can be read to its end. */
gboolean bl_gs1_is_element_string (const char *text);
/* Its fields, in order. BL_CORE_ERROR_PARSE says what is wrong: an unknown identifier, a field too short or too long, a
 * wrong check digit. (transfer full) of BlGs1Field */
GPtrArray *bl_gs1_parse (const char *text, GError **error);
/* Check digit of a GTIN, SSCC or GLN without it, '0' to '9'; 0: it holds something else than digits. */
char bl_gs1_check_digit (const char *digits, gsize length);

G_END_DECLS
