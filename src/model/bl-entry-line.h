/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-reads-guess.h"

G_BEGIN_DECLS

/* A measurement typed in one line, "12 V ±5 %", "< 10 V off", "980k ±10 %", "0.5..0.7 diode", "relay clicks? yes":
 * what bl-expected.h reads, and around it, in any order and only where it differs from what was said last, words:
 *
 *   kind          DC, AC, pp, ohm, ESR, diode, continuity, insulation, swing, check, as "325 V DC", "0.5..0.7 diode"
 *   state         its id or the beginning of a word of its title, "in" before it or not: "230 V AC run"
 *   black lead    "black TP0" or "to TP0"; "black none"
 *   stage read    "reads rail5", by id or the beginning of a word of its title; "reads none"
 *   other classes "absent 100 V", "short 5", "open 10k": where these begin
 *   "series"      read through a fuse or another series part
 *   a check       "lit", "not lit", "yes", "no", "relay clicks? yes"
 *   a title       before a colon and a blank: "12 V at C3: 12 V ±5 %"
 *
 * What can be read in one way is taken; the rest is refused with its place and the reason. */

/* What was said last and stays said. Ids belong to a board; those that are gone are passed over. */
typedef struct
{
  BlMeasures measures;   /* shown, and taken where the line leaves it open */
  BlMeasures voltage;    /* V DC, V AC or V pp: what "12 V" is */
  BlMeasures current;    /* A DC or A AC; BL_N_MEASURES: neither was said yet */
  char *live, *dead;     /* states for what needs power and what needs none; NULL: the usual one */
  char *pinned;          /* a state chosen for whatever comes; NULL: by kind */
  char *black;           /* said last; "": none is wanted */
  GHashTable *of_ground; /* ground -> black lead last used there */
} BlEntryHabit;

/* Nothing said yet: V DC, the usual state, no black lead. self need not be set before. */
void bl_entry_habit_init (BlEntryHabit *self);
/* Frees what it holds; init makes it usable again. */
void bl_entry_habit_clear (BlEntryHabit *self);
/* The kind from now on; one of voltage or of current is also what a bare "V" or "A" means then. */
void bl_entry_habit_set_kind (BlEntryHabit *self, BlMeasures measures);
/* state, black: NULL or "" for none. */
void bl_entry_habit_pin_state (BlEntryHabit *self, const char *state);
void bl_entry_habit_set_black (BlEntryHabit *self, const BlBoard *board, const char *black);
/* The state a measurement of this kind would be in now. (transfer none), of the board; NULL: it has none. */
const BlState *bl_entry_habit_state (const BlEntryHabit *self, const BlBoard *board, BlMeasures measures);
/* The black lead at this point now: never the point itself, and none that is on another ground. */
const BlTestPoint *bl_entry_habit_black (const BlEntryHabit *self, const BlBoard *board, const BlTestPoint *point);

/* Bytes of the line, where what is wrong stands. */
typedef struct
{
  guint from, length;
} BlSpan;

typedef struct
{
  BlMeasurement *measurement; /* without an id; at, state, black, reads and expected as understood */
  char *title;                /* said for the point or, where that has one, for the measurement; NULL: none */
  char *ground;               /* the point has none said and takes that of its black lead; NULL: nothing to say */
  BlReadsWhy reads_why;
  gboolean state_said, black_said, kind_said;
} BlEntryLine;

void bl_entry_line_free (BlEntryLine *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlEntryLine, bl_entry_line_free)

/* Reads a line for a test point (NULL: nowhere). Returns NULL with BL_CORE_ERROR_PARSE and *place (may be NULL). */
BlEntryLine *bl_entry_line_read (const BlBoard *board, const char *point, const BlEntryHabit *habit, const char *text,
                                 BlSpan *place, GError **error);
/* What was understood, for the screen: one line of words. (transfer full) */
char *bl_entry_line_words (const BlBoard *board, const BlEntryLine *self);
/* What a technician should know before keeping it; NULL: nothing. (transfer full) */
char *bl_entry_line_doubt (const BlBoard *board, const BlEntryLine *self);
/* It was kept: what it said stays said. */
void bl_entry_habit_learn (BlEntryHabit *self, const BlBoard *board, const BlEntryLine *line);

/* Puts it into a board as measurement M1, M2 ... and gives the point what the line said of it. Returns the new
 * id. (transfer full) */
char *bl_entry_line_add (const BlEntryLine *self, BlBoard *board);

G_END_DECLS
