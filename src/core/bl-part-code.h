/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-e-series.h"

G_BEGIN_DECLS

/* What a value of a component of some kind is. */
typedef enum
{
  BL_PART_OTHER,     /* no value that codes are used for: a relay, a circuit, a connector */
  BL_PART_RESISTOR,  /* ohm; thermistors too */
  BL_PART_CAPACITOR, /* F */
  BL_PART_INDUCTOR,  /* H: coils and chokes */
  BL_PART_ZENER,     /* V */
  BL_PART_VARISTOR   /* V */
} BlPartFamily;

/* Of a kind of component as in bl-kinds.h; NULL and unknown ones are BL_PART_OTHER. */
BlPartFamily bl_part_family (const char *kind);

/* One way of reading what is written on a component or in a notebook. */
typedef struct
{
  double value;         /* SI base units, 0 for a jumper */
  const char *unit;     /* "ohm", "F", "H" or "V" (static) */
  double below, above;  /* tolerance; NAN: none is said. As shares of value, or in unit when absolute */
  gboolean absolute;
  guint times;          /* of so many alike in one part, "2 x 3 mH"; 1 otherwise */
  double ppm;           /* temperature coefficient, 1e-6/K, either sign; NAN: none is said */
  BlESeries series;     /* coarsest that has the value; BL_E_NONE: none, or not a thing made in series */
  gboolean in_series;   /* it is made in the values of the E series: they are worth a word */
  int rank;             /* smaller is likelier */
  char *how;            /* in words: how it was read */
  char *left;           /* what stands behind the value and is no part of it; NULL: nothing */
} BlPartMeaning;

void bl_part_meaning_free (BlPartMeaning *meaning);

/* Reads the value of a component of this kind: in units, in the letter code of IEC 60062, in the digit
 * codes and EIA-96 of chips; a tolerance, voltage or power behind it is understood. Returns all meanings,
 * likeliest first: (transfer full) GPtrArray of BlPartMeaning, never empty; NULL with
 * BL_CORE_ERROR_PARSE when it is no value, and for kinds that are BL_PART_OTHER. */
GPtrArray *bl_part_read (const char *text, const char *kind, GError **error);

/* "4.7 kΩ ±5 % 50 ppm/K", for a reader. Returns: (transfer full). */
char *bl_part_meaning_words (const BlPartMeaning *meaning);
/* "E24 value", "not a standard value; nearest 4.7 kΩ (E24)"; NULL where the series mean nothing.
 * Returns: (transfer full). */
char *bl_part_series_words (const BlPartMeaning *meaning);

/* The trade's notation that bl_part_read () takes for this meaning first: "4K7 5%", "100n", "10R0".
 * Returns: (transfer full). */
char *bl_part_meaning_code (const BlPartMeaning *meaning);

/* The tolerance that a letter of IEC 60062 says for a value (in unit): as BlPartMeaning has it. FALSE for
 * a letter that says none. */
gboolean bl_part_tolerance (char letter, const char *unit, double value, double *below, double *above,
                            gboolean *absolute);

G_END_DECLS
