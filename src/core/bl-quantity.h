/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <math.h>

G_BEGIN_DECLS

/* Errors of the core layer. The message names what was wrong and where. */
#define BL_CORE_ERROR (bl_core_error_quark ())
GQuark bl_core_error_quark (void);

typedef enum
{
  BL_CORE_ERROR_PARSE,      /* text that is no quantity, reading, document, tree ... */
  BL_CORE_ERROR_INVALID,    /* well-formed but against the rules of the model */
  BL_CORE_ERROR_UNKNOWN,    /* a name that the document does not have */
  BL_CORE_ERROR_IMPOSSIBLE, /* evidence of probability zero */
  BL_CORE_ERROR_TOO_HARD,   /* beyond the stated memory limit */
  BL_CORE_ERROR_CANCELLED
} BlCoreError;

/* A quantity of a document: its value in SI base units and the text it was written as.
 * text is NULL when the document held a plain number; value is NAN when it was left out. */
typedef struct
{
  double value;
  char *text; /* owned */
} BlQuantity;

#define BL_QUANTITY_NONE ((BlQuantity){ NAN, NULL })

gboolean bl_quantity_is_set (const BlQuantity *quantity);
void bl_quantity_clear (BlQuantity *quantity);
void bl_quantity_copy (BlQuantity *to, const BlQuantity *from);

/* Reads a quantity in the trade's notation: SI prefixes (u and µ alike), the letter as decimal
 * sign of IEC 60062 ("4K7", "R47", "4n7"), comma or point as decimal sign, the unit optional where
 * unit (for instance "V", "ohm", "F"; NULL: any or none) gives it. value is in SI base units.
 * Returns FALSE with BL_CORE_ERROR_PARSE and the reason, among them a unit other than expected. */
gboolean bl_quantity_parse (const char *text, const char *unit, double *value, GError **error);

/* Formats value (SI base units) for a reader with digits significant digits (1 to 17), an SI prefix
 * and the unit ("4.7 kΩ"; unit NULL: none; "ohm" shows as Ω), decimal sign by the locale.
 * Returns: (transfer full). */
char *bl_quantity_format (double value, const char *unit, int digits);

/* The same, always with the point as decimal sign and "ohm" spelled: readable by
 * bl_quantity_parse in every locale. Returns: (transfer full). */
char *bl_quantity_to_text (double value, const char *unit, int digits);

/* A text that bl_quantity_parse () takes, as documents have it: with the point as decimal sign, otherwise as it was
 * typed. Returns: (transfer full). */
char *bl_quantity_with_point (const char *text);

G_END_DECLS
