/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-practice.h"

G_BEGIN_DECLS

struct _BlPractice
{
  GObject parent_instance;

  BlLibrary *shop;     /* not owned */
  BlLibrary *library;  /* of practice */
  GPtrArray *persons;  /* BlPerson */
  GPtrArray *met;      /* what was begun since this was opened, bl-practice-fresh.c; NULL: nothing */
};

/* Reads the persons anew and emits "changed". */
gboolean bl_practice_reload (BlPractice *self, GError **error);
/* NULL: no such person. Valid until "changed". */
const char *bl_practice_name_of (BlPractice *self, gint64 person);
/* Right or wrong about a topic, today: when it is due again. Part of a transaction. */
gboolean bl_practice_move_topic (BlPractice *self, gint64 person, BlTopicKind kind, const char *topic, gboolean right,
                                 GError **error);
/* Copies the board or equipment to the library of practice, or brings the copy up to date; bl-practice-copy.c. Sets what
 * it is there, and its uid (transfer full). */
gboolean bl_practice_copy (BlPractice *self, const BlPracticeSubject *subject, BlPracticeSubject *copy, char **uid,
                           GError **error);
/* The flat board of a copy. (transfer full) */
BlBoard *bl_practice_load_copy (BlPractice *self, gint64 board, gint64 equipment, GError **error);
/* A drill on a copy that is not in the library yet; uid: of what was copied. (transfer full) */
BlDrillRow *bl_practice_new_row (gint64 person, const BlPracticeSubject *copy, const char *uid);
/* Local day of a time, as g_date_get_julian () counts. */
guint32 bl_practice_day_of (gint64 time);
/* Kind of the section that a fault "COMPONENT:MODE" lies in, of a stage that it acts on where it is in none; NULL: none.
 * (transfer none, of board) */
const char *bl_practice_section_of (const BlBoard *board, const char *fault);
/* Family of that fault; see bl_family_words (). NULL: the board does not know it. (transfer full) */
char *bl_practice_family_of (const BlBoard *board, const char *fault);
/* The uid of what is practised on, of the shop. NULL with error. (transfer full) */
char *bl_practice_subject_uid (BlPractice *self, const BlPracticeSubject *subject, GError **error);
/* Between the faults that a worked case had, in its answer. */
#define BL_PRACTICE_AND "; "
/* Whoever practises has begun something with these faults; subject: uid of board or equipment. Kept while this is open. */
void bl_practice_note_met (BlPractice *self, const char *subject, const char *const *faults);
/* Faults a person met last in drills and worked cases of a subject, the latest first: the few that are not to come again.
 * NULL with error. (transfer full) */
char **bl_practice_met (BlPractice *self, gint64 person, const char *subject, GError **error);
/* The place there of the latest of these faults; G_MAXUINT: none was met. */
guint bl_practice_met_ago (char **met, const char *const *faults);
/* Right: stage and part named, and no unsafe act. */
gboolean bl_drill_row_is_right (const BlDrillRow *row);

G_END_DECLS
