/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-part-code.h"

G_BEGIN_DECLS

/* Colours of the bands on a component; the first ten are the digits. */
typedef enum
{
  BL_RING_BLACK,
  BL_RING_BROWN,
  BL_RING_RED,
  BL_RING_ORANGE,
  BL_RING_YELLOW,
  BL_RING_GREEN,
  BL_RING_BLUE,
  BL_RING_VIOLET,
  BL_RING_GREY,
  BL_RING_WHITE,
  BL_RING_GOLD,
  BL_RING_SILVER,
  BL_RING_PINK,
  BL_N_RINGS
} BlRing;

#define BL_MIN_RINGS 3
#define BL_MAX_RINGS 6

/* What a band of a component with n bands stands for, by its place from the end it is read from. */
typedef enum
{
  BL_RING_DIGIT,
  BL_RING_MULTIPLIER,
  BL_RING_TOLERANCE,
  BL_RING_DRIFT /* temperature coefficient */
} BlRingPlace;
BlRingPlace bl_ring_place (guint n, guint i);

/* What a colour says at a place: the digit, the exponent of ten, the tolerance as a share, 1e-6/K. NAN
 * where the standard gives the colour no meaning there. edition: 0 where it is in every edition of
 * IEC 60062 we know of; 2016: since that one; 2004: what an earlier one says where 2016 differs, asked for
 * with earlier. May be NULL. */
double bl_ring_says (BlRing ring, BlRingPlace place, gboolean earlier, guint *edition);

/* "100k" for 5, "0.1" for -1: a multiplier as the trade says it, exponent -3 to 9. Returns: (transfer full). */
char *bl_ring_multiplier (int exponent);

/* "yellow", in the language of the screen. (transfer none) */
const char *bl_ring_name (BlRing ring);
/* Two letters of IEC 60757: "YE". (transfer none) */
const char *bl_ring_letters (BlRing ring);

/* Reads colour names, or their two letters, parted by blanks, commas or dashes: "yellow violet red gold".
 * FALSE when a word is no colour or there are not 3 to 6. */
gboolean bl_rings_parse (const char *text, BlRing rings[BL_MAX_RINGS], guint *n);
/* "yellow violet red gold", in English. Returns: (transfer full). */
char *bl_rings_to_text (const BlRing *rings, guint n);

/* Reads n bands of a component of this kind (a resistor or a coil) from both ends. A direction whose
 * value is in an E series goes before one whose is not, then the direction given. Returns all meanings,
 * likeliest first, as bl_part_read () does. */
GPtrArray *bl_rings_read (const BlRing *rings, guint n, const char *kind, GError **error);

/* The bands of a value: as few as say it all. FALSE when it has more than three figures, is out of the
 * multipliers' range, or its tolerance or temperature coefficient has no colour. */
gboolean bl_rings_write (const BlPartMeaning *meaning, BlRing rings[BL_MAX_RINGS], guint *n);

G_END_DECLS
