/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-verdict.h"

G_BEGIN_DECLS

/* Everything a job knows, in order of time. */
typedef enum
{
  BL_ENTRY_READING,   /* subject: measurement; text: as typed */
  BL_ENTRY_PART_TEST, /* subject: component; text: "good" or a mode */
  BL_ENTRY_REPLACED,  /* subject: component; begins the next round */
  BL_ENTRY_ROUND,     /* text: the condition of the round it begins */
  BL_ENTRY_SYMPTOM    /* subject: symptom; text: "yes" or "no" */
} BlEntryKind;

typedef struct
{
  BlEntryKind kind;
  char *subject;
  char *text;
  BlReading reading; /* of a READING, parsed from text */
  char *meter;       /* accuracy of the meter, or NULL */
  char *state;       /* READING: state it was taken in (NULL: the document's); SYMPTOM: state named */
  char *black;       /* READING: black lead (NULL: the document's) */
  double misread;    /* READING: chance of misreading that overrides the document's; NAN: none */
  BlVerdict *judged; /* READING: the verdict it was given at the time; NULL: judge now */
  guint line;        /* of the CSV file, 1-based; 0: none */
} BlEntry;

BlEntry *bl_entry_new (BlEntryKind kind, const char *subject, const char *text);
BlEntry *bl_entry_copy (const BlEntry *entry);
void bl_entry_free (BlEntry *entry);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlEntry, bl_entry_free)

/* Reads a readings CSV (model section 6). Names are checked against board; an unknown name or an
 * unreadable value is an error that names the line. Returns: (transfer full) GPtrArray of BlEntry. */
GPtrArray *bl_evidence_parse_csv (const BlBoard *board, const char *text, gssize length, GError **error);

/* One CSV line without its line end for an entry. Returns: (transfer full). */
char *bl_entry_to_csv (const BlEntry *entry);

/* A reading as it stands among all entries: its round and its verdict. Part of what both the screens
 * and the diagnosis need, computed once. */
typedef struct
{
  const BlEntry *entry; /* of the array judged, see owned */
  guint round;          /* 1-based */
  const BlMeasurement *measurement;
  BlBand *band;         /* NULL: nothing to judge by */
  BlVerdict *verdict;
  gboolean last;        /* the one of this measurement in this round that counts: the last with
                           evidence, or where none has any, the last at all (see verdict) */
  guint repeats;        /* how many last readings of it in this round share its likeliest class, >= 1 */
  gboolean owned;       /* entry and measurement belong to it */
} BlJudged;
void bl_judged_free (BlJudged *judged);

G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlJudged, bl_judged_free)
/* Gives it copies of its entry and its measurement, so that it outlives entries and board. */
void bl_judged_own (BlJudged *judged);

/* Judges all readings of entries in order, following measurements included; entries that carry a
 * verdict keep it. Returns: (transfer full) GPtrArray of BlJudged, one per READING entry. */
GPtrArray *bl_evidence_judge (const BlBoard *board, GPtrArray *entries, GError **error);

/* Leaves out of entries what is about an element that the board does not have (it was deleted from
 * the document since): such lines must not keep the others from being judged. A part replaced that is
 * gone still begins a round. */
void bl_evidence_keep_known (const BlBoard *board, GPtrArray *entries);

/* Number of rounds of entries (1 when nothing begins another), and the condition of each round
 * ("" in the first; a part replaced leaves the condition as it was). conditions may be NULL;
 * otherwise set to a (transfer full) string array. */
guint bl_evidence_rounds (GPtrArray *entries, char ***conditions);

G_END_DECLS
