/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

#define BL_TAPS_MOST 20 /* flashes in one group */

typedef enum
{
  BL_TAPS_UNDECIDED, /* too few taps to say */
  BL_TAPS_COUNT,     /* groups of flashes with a pause between them */
  BL_TAPS_RATE       /* flashes without a pause */
} BlTapsKind;

/* What a lamp does, from a key pressed at each of its flashes. */
typedef struct
{
  BlTapsKind kind;
  guint count;     /* flashes in a group; 0 unless kind is COUNT */
  double rate_hz;  /* flashes a second (in a group); NAN before the second tap */
  double pause_s;  /* from the last flash of a group to the first of the next; NAN where none was seen */
  double share;    /* how likely this reading is among all, 0 .. 1 */
  /* The next likely one: a count, or 0 for flashes without a pause; other_share is 0 where there is none. */
  guint other;
  double other_share;
} BlTaps;

/* Reads taps. times: seconds, rising, from any origin; quiet: seconds since the last of them without another. Where
 * the flashes come in groups, the first and the last group may be cut short: people begin and end in the midst
 * of one. Flashes that were missed, and taps without a flash, are allowed for. */
void bl_taps_read (const double *times, guint n_times, double quiet, BlTaps *taps);

G_END_DECLS
