/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board-cache.h"
#include "bl-database.h"
#include "bl-library-steps.h"
#include "bl-library.h"

G_BEGIN_DECLS

typedef struct BlStepOpen BlStepOpen;

struct BlLibrary
{
  BlDatabase *database;
  BlBoardCache *boards;
  BlStepOpen *step; /* NULL: no step is being made */
};

/* Called before something of this kind (bl-step-items.c has the table) is changed: as it is now is what undo puts
 * back. Nothing where no step is being made. subject: its key, several parts divided by a tab. */
gboolean bl_step_touch (BlLibrary *library, const char *kind, const char *subject, GError **error);
gboolean bl_step_touch_id (BlLibrary *library, const char *kind, gint64 id, GError **error);
/* The picture that put would replace is laid aside. */
gboolean bl_step_touch_photo (BlLibrary *library, gint64 board, const char *photo, GError **error);
gboolean bl_step_is_open (BlLibrary *library);
/* Drops what was noted of the step that is being made. */
void bl_step_close (BlLibrary *library);
/* Forgets what was done on another day than today, and deletes for good what was only kept for it. */
void bl_steps_forget (BlLibrary *library);
/* Saves a board with this very text as its document; NULL: written anew. */
gboolean bl_library_save_board_text (BlLibrary *library, gint64 id, const BlBoard *board, const char *document,
                                     GError **error);
/* FALSE, with an error, where the library has another board of this uid. */
gboolean bl_library_check_uid (BlLibrary *library, const char *uid, gint64 id, GError **error);
/* The same where a job belongs to the board. */
gboolean bl_library_check_no_jobs (BlLibrary *library, gint64 id, GError **error);

/* Sets BL_STORE_ERROR_NOT_FOUND: "FILE: there is no WHAT 12". Returns FALSE. */
gboolean bl_library_not_found (BlLibrary *library, const char *what, gint64 id, GError **error);

/* TRUE when table has a row of this id; FALSE with an error, not found included. */
gboolean bl_library_require (BlLibrary *library,
                             const char *table,
                             const char *what,
                             gint64 id,
                             GError **error);

/* FALSE with the reason while an equipment needs the board. */
gboolean bl_library_check_no_equipment (BlLibrary *library, gint64 board, GError **error);
/* The same before a board is deleted: an equipment of it that was removed is forgotten, unless a step of undo is open,
 * which keeps the board as well. */
gboolean bl_library_leave_equipments (BlLibrary *library, gint64 board, GError **error);
/* Refuses when a job is about the equipment: its boards could be deleted next, and the job not be opened any more. */
gboolean bl_library_check_no_jobs_on (BlLibrary *library, gint64 equipment, GError **error);
/* FALSE with the reason where a board of this equipment is deleted. */
gboolean bl_library_check_boards_of (BlLibrary *library, gint64 equipment, GError **error);

/* "Board number, edition", whatever of it there is; number and edition may be NULL, model stands for no number.
 * (transfer full) */
char *bl_library_edition_words (const char *number, const char *model, const char *edition);

/* A new one, 32 hexadecimal digits. (transfer full) */
char *bl_library_new_uid (void);

/* A job that comes back makes the one it comes back from, if that was handed back, a returned one. */
gboolean bl_library_mark_returned (BlLibrary *library, const BlJob *job, GError **error);

G_END_DECLS
