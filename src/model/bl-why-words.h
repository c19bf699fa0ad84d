/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-reasons.h"

G_BEGIN_DECLS

/* Reasons and quarrels in words that somebody in the first month of the trade understands. All return
 * (transfer full), translated, numbers by the locale. board: the one the reasons are about. */

/* "U1 shorted", "something else in 5 V rail", "12 V rail", "a fault elsewhere". */
char *bl_why_suspect (const BlBoard *board, const BlReasons *reasons);
/* The name of a component as it is spoken of: "U1", "something else in 5 V rail"; NULL: "a fault elsewhere". */
char *bl_why_part (const BlBoard *board, const char *component);
/* "1 in 40", from one half on "62 %". */
char *bl_why_chance (double probability);
/* "before any reading: 1 in 40, by kind of part and handbook"; shop: confirmed repairs weigh in it too. */
char *bl_why_prior (const BlReasons *reasons, gboolean shop);

/* What was found: "12 V rail absent", "E1 Link fault shown: yes", "D5 tested good". */
char *bl_why_found (const BlBoard *board, const BlReason *reason);
/* "speaks strongly for U1", "says little about U1", "speaks against U1". */
char *bl_why_weight (double decibans, const char *part);
/* FALSE where a piece of evidence says so little that one line for all such is enough. */
gboolean bl_why_tells (const BlReason *reason);
/* "says little about U1: bus voltage in band, F1 tested good"; NULL: all of them tell. */
char *bl_why_little (const BlBoard *board, const BlReasons *reasons);
/* "24 times as likely if U1 has failed", "5 times as likely if U1 has not failed". */
char *bl_why_times (const BlBoard *board, const BlReasons *reasons, double decibans);
/* "+13.8 decibans; 5 V rail +12.1". */
char *bl_why_decibans (const BlBoard *board, const BlReasons *reasons, const BlReason *reason);

/* "without 12 V rail absent, RF1 would be first (61 %)"; NULL: it changes nothing. */
char *bl_why_without (const BlBoard *board, const BlReason *reason);
/* "if current sense reads absent (12 %), RF1 comes first (70 %) before U1". */
char *bl_why_turn (const BlBoard *board, const BlReasons *reasons, const BlTurn *turn);
/* What the turns were sought in: "none of the 7 unread measurements would" or "the 24 most telling of 40
 * were tried". */
char *bl_why_tried (const BlReasons *reasons);

/* "Not visible with these measurements, and not cleared by good readings: D7 open, C3 leaky, and 4 more."
 * names: "COMPONENT:MODE"; most: so many are named. NULL: there are none. */
char *bl_why_not_visible (const GPtrArray *names, guint most);

/* The ways in which a reading may be wrong, in the order in which they are checked: quickest and most
 * frequent first (common practice, no source). */
typedef enum
{
  BL_QUARREL_POINT,
  BL_QUARREL_BLACK,
  BL_QUARREL_MODE,
  BL_QUARREL_STATE,
  BL_QUARREL_METER,
  BL_QUARREL_DOCUMENT,
  BL_N_QUARREL_CHECKS
} BlQuarrelCheck;
/* "Black lead: on TP0, 0 V at U2 tab, and does it touch metal?"; NULL: does not apply. */
char *bl_quarrel_check (const BlBoard *board, const BlMeasurement *measurement, BlQuarrelCheck check);
/* "TP5 5 V" or "TP5 5 V and TP6 12 V, both". set: of a diagnosis' quarrel. */
char *bl_quarrel_set (const BlBoard *board, GPtrArray *set);

G_END_DECLS
