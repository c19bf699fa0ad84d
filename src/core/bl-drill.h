/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"

G_BEGIN_DECLS

/* A fault drill: what is wrong with a board that is made up, and what each measurement reads there. Drawn from the
 * board's own odds; the same order on the same document is the same drill on every machine. */

typedef enum
{
  BL_DRILL_SINGLE,    /* one part failed */
  BL_DRILL_PROVOKED,  /* one part failed and took another with it */
  BL_DRILL_TWO,       /* two parts failed, neither because of the other */
  BL_DRILL_MISREAD,   /* one part failed, and the first reading of one measurement that tells much is wrong */
  BL_DRILL_CONDUCTOR, /* of an equipment: a conductor or a cable */
  BL_N_DRILL_KINDS
} BlDrillKind;

/* "single", "provoked" ...: names for files and the command line. */
const char *bl_drill_kind_name (BlDrillKind kind);
gboolean bl_drill_kind_parse (const char *name, BlDrillKind *kind);

typedef struct
{
  BlDrillKind kind;
  const char *const *sections; /* ids, NULL-terminated: the faults lie in these; NULL or none: anywhere */
  guint32 seed;
} BlDrillOrder;

typedef struct BlDrill BlDrill;
void bl_drill_free (BlDrill *drill);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlDrill, bl_drill_free)

/* Draws a fault. Never one that no measurement shows, nor one without a symptom where the board has symptoms that
 * others of the order would show. The drill keeps a copy of board. BL_CORE_ERROR_UNKNOWN: a section that the board does
 * not have. BL_CORE_ERROR_IMPOSSIBLE: nothing of this kind can be drawn (no mode provokes another, no conductors ...).
 * (transfer full) */
BlDrill *bl_drill_new (const BlBoard *board, const BlDrillOrder *order, GError **error);

/* A fault that was put into a real board, "R12:open" each; what it has provoked is not known and taken for nothing. The
 * readings are those of a made-up board all the same. BL_CORE_ERROR_UNKNOWN: no such failure mode. (transfer full) */
BlDrill *bl_drill_planted (const BlBoard *board, const char *const *faults, GError **error);

/* Makes the odds of a board those of a drill on it: nothing is in them that cannot be what is wrong. The fault is on the
 * board, so elsewhere is 0; and where it was drawn, it is a documented one, so what nobody documented is 0 as well.
 * planted: in a real board, which may have more wrong with it than was put there. */
void bl_drill_set_odds (BlBoard *board, gboolean planted);

/* The copy of the board, with the odds of the drill. (transfer none) */
const BlBoard *bl_drill_board (const BlDrill *drill);
/* The root causes, "COMPONENT:MODE" each, NULL-terminated. (transfer none) */
const char *const *bl_drill_faults (const BlDrill *drill);
/* What they have provoked, likewise. (transfer none) */
const char *const *bl_drill_victims (const BlDrill *drill);
gboolean bl_drill_is_planted (const BlDrill *drill);
/* Symptom that is shown, the first of the document that is; NULL: none. (transfer none) */
const char *bl_drill_symptom (const BlDrill *drill);
/* Measurement whose first reading is wrong; NULL: none. Not for the person who is drilled. (transfer none) */
const char *bl_drill_misread (const BlDrill *drill);

/* What the meter shows: time 0 is the first reading of this measurement, later ones differ by the meter's last digits,
 * and are right where the first was misread. "-" where the document says nothing to read by. BL_CORE_ERROR_UNKNOWN: no
 * such measurement. Returns: (transfer full), a text that bl_reading_parse () takes. */
char *bl_drill_read (const BlDrill *drill, const char *measurement, guint time, GError **error);

/* Accuracy of the meter that reads, as a reading's meter is written; NULL for a planted fault, where a real meter
 * reads. (transfer none) */
const char *bl_drill_meter (const BlDrill *drill);

/* What testing a part by itself gives: "good", or the mode that is there. BL_CORE_ERROR_UNKNOWN: no such component.
 * Returns: (transfer full). */
char *bl_drill_test_part (const BlDrill *drill, const char *component, GError **error);

/* How much there is to find out, in bits: the negative binary logarithm of the fault's share among the single faults that
 * show the same symptom, by the document's odds (C. E. Shannon, "A Mathematical Theory of Communication", 1948); of two
 * faults the sum. 0: the symptom says it all. Infinite for a planted fault that the document says never happens. */
double bl_drill_bits (const BlDrill *drill);

/* TRUE: a root cause is in this stage (of a cable, which has none: it acts on this stage), or is this component; a
 * conductor is both. */
gboolean bl_drill_is_stage (const BlDrill *drill, const char *stage);
gboolean bl_drill_is_component (const BlDrill *drill, const char *component);
/* TRUE: this component is broken, but because another was. */
gboolean bl_drill_is_victim (const BlDrill *drill, const char *component);

G_END_DECLS
