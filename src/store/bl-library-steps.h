/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-library.h"

G_BEGIN_DECLS

/* Undo and redo, kept in the library: what was done today can be undone after the program was closed or killed, and
 * redone. A step is what happens between begin and end, one transaction with a label; the calls that change boards,
 * photos, jobs, meters and what belongs to them take note of it by themselves. Of a document only what differs is
 * kept, of a photo the one that was replaced, once. Lines of the bench log are struck and restored, never deleted.
 * On the next local day the steps are forgotten when the library is opened. */

typedef enum
{
  BL_STEPS_EDITION, /* owner: the board */
  BL_STEPS_JOB,     /* owner: the job */
  BL_STEPS_BOARDS,  /* boards made and deleted, equipments deleted; owner 0, here and below */
  BL_STEPS_JOBS,
  BL_STEPS_METERS
} BlStepsPlace;

/* Begins a step of undo. label: what undo will say, translated. Steps nest: the outermost is the one that is kept.
 * What could be redone at this place is forgotten. FALSE: it did not begin, and is not to be ended. */
gboolean bl_library_begin_step (BlLibrary *library, BlStepsPlace place, gint64 owner, const char *label,
                                GError **error);
/* Goes on with the newest step of a place, id: what follows is part of it (a drag, typing in one field). */
gboolean bl_library_continue_step (BlLibrary *library, gint64 id, GError **error);
/* ok FALSE: all of it is taken back. id (may be NULL): the step's number, higher than all before; 0: nothing was
 * changed, so there is none, or it is part of an outer one. Returns ok and whether it is on disk. */
gboolean bl_library_end_step (BlLibrary *library, gboolean ok, gint64 *id, GError **error);
/* Makes a line of the log that was added in this step part of it: undo strikes it, redo restores it. */
gboolean bl_library_step_record (BlLibrary *library, gint64 record, GError **error);
/* Makes another place's newest step part of this one: undone and redone with it. */
gboolean bl_library_step_link (BlLibrary *library, gint64 step, GError **error);

/* The step that undo (or redo) would take; id 0, label NULL: none. One that went otherwise (its line was struck by
 * hand, the document's step was undone in the editor) is forgotten. label (may be NULL): (transfer full). */
gint64 bl_library_peek_step (BlLibrary *library, BlStepsPlace place, gint64 owner, gboolean undo, char **label);

typedef struct
{
  gint64 id;      /* 0: there was nothing to undo or redo */
  char *label;
  GStrv touched;  /* "document\t3", "record\t71", "photo\t3\tfront" ... */
} BlStepTaken;
void bl_step_taken_clear (BlStepTaken *taken);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (BlStepTaken, bl_step_taken_clear)
/* TRUE when something of this kind was changed; rest (may be NULL): what follows the kind, of the first. */
gboolean bl_step_taken_has (const BlStepTaken *taken, const char *kind, const char **rest);

/* Undoes the newest step of a place, or redoes the next one; all of it or nothing. What it was made for may have been
 * changed by something else since: then it is refused with BL_STORE_ERROR_OUTDATED and forgotten, with the others
 * where they are about the same document. */
gboolean bl_library_take_step (BlLibrary *library, BlStepsPlace place, gint64 owner, gboolean undo, BlStepTaken *taken,
                               GError **error);

/* Bytes that the steps of today take in the library, and how many there are; for measuring. */
gint64 bl_library_steps_size (BlLibrary *library, guint *n);

/* Digest of a board's document as it is in the library. (transfer full) */
char *bl_library_board_digest (BlLibrary *library, gint64 board, GError **error);

/* Takes a job out of the list. Its number is never used again and its log stays. */
gboolean bl_library_remove_job (BlLibrary *library, gint64 id, GError **error);

/* What time it is, UTC microseconds; for tests. NULL: the system's clock. Of the process. */
typedef gint64 (*BlLibraryClock) (void);
void bl_library_set_clock (BlLibraryClock clock);
gint64 bl_library_now (void);

G_END_DECLS
