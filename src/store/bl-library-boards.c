/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The boards of a library. The document is the truth; the columns that lists show are written from
 * it in the same statement. A document that would not be readable again is refused. */
#include "config.h"

#include "bl-document.h"
#include "bl-library-private.h"

#include <glib/gi18n-lib.h>

void
bl_board_row_free (BlBoardRow *row)
{
  if (row == NULL)
    return;
  g_free (row->uid);
  g_free (row->maker);
  g_free (row->model);
  g_free (row->board_number);
  g_free (row->edition);
  g_free (row);
}

GPtrArray *
bl_library_boards (BlLibrary *library, gboolean provisional_too, GError **error)
{
  g_autoptr (GPtrArray) rows = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_board_row_free);
  g_autoptr (BlStatement) statement = NULL;
  BlStep step;

  g_return_val_if_fail (library != NULL, NULL);
  statement = bl_database_prepare (
      library->database, _ ("listing the boards"),
      "SELECT id, uid, maker, model, board_number, edition, provisional, n_measurements, "
      "n_components,"
      " (SELECT count(*) FROM job WHERE job.board = board.id AND NOT removed), changed"
      " FROM board WHERE NOT deleted AND (?1 OR NOT provisional)"
      " ORDER BY maker COLLATE NOCASE, board_number COLLATE NOCASE, edition COLLATE NOCASE, id",
      error);
  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, provisional_too ? 1 : 0);
  while ((step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    {
      BlBoardRow *row = g_new0 (BlBoardRow, 1);
      row->id = bl_statement_int (statement, 0);
      row->uid = bl_statement_dup_text (statement, 1);
      row->maker = bl_statement_dup_text (statement, 2);
      row->model = bl_statement_dup_text (statement, 3);
      row->board_number = bl_statement_dup_text (statement, 4);
      row->edition = bl_statement_dup_text (statement, 5);
      row->provisional = bl_statement_int (statement, 6) != 0;
      row->n_measurements = (guint) bl_statement_int (statement, 7);
      row->n_components = (guint) bl_statement_int (statement, 8);
      row->n_jobs = (guint) bl_statement_int (statement, 9);
      row->changed = bl_statement_int (statement, 10);
      g_ptr_array_add (rows, row);
    }
  return step == BL_STEP_DONE ? g_steal_pointer (&rows) : NULL;
}

static gboolean
check_document (BlLibrary *library, const BlBoard *board, GError **error)
{
  g_autoptr (GPtrArray) problems =
      g_ptr_array_new_with_free_func ((GDestroyNotify) bl_problem_free);

  if (bl_board_validate (board, problems))
    return TRUE;
  for (guint i = 0; i < problems->len; i++)
    {
      const BlProblem *problem = bl_at (problems, i);
      if (problem->warning)
        continue;
      g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID,
                   _ ("%s: the board is not kept: %s: %s"), bl_database_path (library->database),
                   problem->path, problem->message);
      break;
    }
  return FALSE;
}

/* Refuses a uid that another board than id has. */
gboolean
bl_library_check_uid (BlLibrary *library, const char *uid, gint64 id, GError **error)
{
  g_autoptr (BlStatement) statement =
      bl_database_prepare (library->database, _ ("looking for the board"),
                           "SELECT coalesce (board_number, ''), coalesce (edition, '') FROM board "
                           "WHERE uid = ?1 AND id <> ?2",
                           error);
  BlStep step;

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_text (statement, 1, uid);
  bl_statement_bind_int (statement, 2, id);
  step = bl_statement_step (statement, error);
  if (step == BL_STEP_ROW)
    {
      g_autofree char *number = bl_statement_dup_text (statement, 0);
      g_autofree char *edition = bl_statement_dup_text (statement, 1);
      g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID,
                   _ ("%s: this board is in the library already (board %s, edition %s, uid %s)"),
                   bl_database_path (library->database), number, edition, uid);
    }
  return step == BL_STEP_DONE;
}

/* Parameters 1 to 9 of both statements below. document: its text. */
static void
bind_board (BlStatement *statement, const BlBoard *board, const char *document)
{
  bl_statement_bind_text (statement, 1, board->uid);
  bl_statement_bind_text (statement, 2, board->maker);
  bl_statement_bind_text (statement, 3, board->model);
  bl_statement_bind_text (statement, 4, board->board_number);
  bl_statement_bind_text (statement, 5, board->edition);
  bl_statement_bind_int (statement, 6, bl_len (board->measurements));
  bl_statement_bind_int (statement, 7, bl_len (board->components));
  bl_statement_bind_text (statement, 8, document);
  bl_statement_bind_int (statement, 9, bl_library_now ());
}

static gboolean
insert_board (BlLibrary *library, const BlBoard *board, gboolean provisional, GError **error)
{
  g_autoptr (BlStatement) statement = bl_database_prepare (
      library->database, _ ("adding the board"),
      "INSERT INTO board (uid, maker, model, board_number, edition, n_measurements, n_components, "
      "document,"
      " changed, provisional) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
      error);
  g_autofree char *document = bl_document_write (board);

  if (statement == NULL)
    return FALSE;
  bind_board (statement, board, document);
  bl_statement_bind_int (statement, 10, provisional ? 1 : 0);
  return bl_statement_run (statement, error);
}

/* The uid of a board out of sight is free for another. */
#define DELETE_SQL "UPDATE board SET deleted = 1, uid = 'deleted ' || id || ' ' || uid WHERE id = ?1"

static gboolean
run_on (BlLibrary *library, const char *sql, gint64 id, GError **error)
{
  g_autoptr (BlStatement) statement = bl_database_prepare (library->database, _ ("adding the board"), sql, error);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, id);
  return bl_statement_run (statement, error);
}

/* For a step of undo a new board is one that was out of sight before. */
static gboolean
note_new (BlLibrary *library, gint64 id, GError **error)
{
  return !bl_step_is_open (library)
         || (run_on (library, DELETE_SQL, id, error) && bl_step_touch_id (library, "board", id, error)
             && run_on (library,
                        "UPDATE board SET deleted = 0, uid = substr (uid, length ('deleted ' || id || ' ') + 1)"
                        " WHERE id = ?1",
                        id, error));
}

gint64
bl_library_add_board (BlLibrary *library, BlBoard *board, gboolean provisional, GError **error)
{
  const char *doing = _ ("adding the board");
  gboolean ok;
  gint64 id;

  g_return_val_if_fail (library != NULL && board != NULL, 0);
  if (board->uid == NULL || board->uid[0] == '\0')
    {
      g_free (board->uid);
      board->uid = g_uuid_string_random ();
    }
  if (!check_document (library, board, error) ||
      !bl_database_begin (library->database, doing, error))
    return 0;
  ok = bl_library_check_uid (library, board->uid, 0, error) &&
       insert_board (library, board, provisional, error);
  id = bl_database_last_id (library->database);
  ok = ok && note_new (library, id, error);
  return bl_database_end (library->database, ok, doing, error) ? id : 0;
}

static gboolean
update_board (BlLibrary *library, gint64 id, const BlBoard *board, const char *document, GError **error)
{
  g_autoptr (BlStatement) statement =
      bl_database_prepare (library->database, _ ("saving the board"),
                           "UPDATE board SET uid = ?1, maker = ?2, model = ?3, board_number = ?4, "
                           "edition = ?5, n_measurements = ?6,"
                           " n_components = ?7, document = ?8, changed = ?9 WHERE id = ?10 AND NOT deleted",
                           error);

  if (statement == NULL)
    return FALSE;
  bind_board (statement, board, document);
  bl_statement_bind_int (statement, 10, id);
  if (!bl_statement_run (statement, error))
    return FALSE;
  return bl_database_changes (library->database) == 1 ||
         bl_library_not_found (library, _ ("board"), id, error);
}

gboolean
bl_library_save_board_text (BlLibrary *library, gint64 id, const BlBoard *board, const char *document, GError **error)
{
  const char *doing = _ ("saving the board");
  g_autofree char *written = NULL;
  gboolean ok;

  g_return_val_if_fail (library != NULL && board != NULL, FALSE);
  if (board->uid == NULL || board->uid[0] == '\0')
    {
      g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID,
                   _ ("%s: %s: the board has no uid"), bl_database_path (library->database), doing);
      return FALSE;
    }
  if (!check_document (library, board, error) ||
      !bl_database_begin (library->database, doing, error))
    return FALSE;
  if (document == NULL)
    document = written = bl_document_write (board);
  ok = bl_library_check_uid (library, board->uid, id, error) && bl_step_touch_id (library, "document", id, error)
       && update_board (library, id, board, document, error);
  ok = bl_database_end (library->database, ok, doing, error);
  if (ok)
    bl_board_cache_keep (library->boards, document, board);
  return ok;
}

gboolean
bl_library_save_board (BlLibrary *library, gint64 id, const BlBoard *board, GError **error)
{
  return bl_library_save_board_text (library, id, board, NULL, error);
}

BlBoard *
bl_library_load_board (BlLibrary *library, gint64 id, GError **error)
{
  g_autoptr (BlStatement) statement = NULL;
  g_autofree char *document = NULL;
  g_autoptr (BlBoard) board = NULL;
  BlStep step;

  g_return_val_if_fail (library != NULL, NULL);
  statement = bl_database_prepare (library->database, _ ("reading the board"),
                                   "SELECT document FROM board WHERE id = ?1 AND NOT deleted", error);
  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, id);
  step = bl_statement_step (statement, error);
  if (step != BL_STEP_ROW)
    {
      if (step == BL_STEP_DONE)
        bl_library_not_found (library, _ ("board"), id, error);
      return NULL;
    }
  document = bl_statement_dup_text (statement, 0);
  board = bl_board_cache_parse (library->boards, document, error);
  if (board == NULL)
    g_prefix_error (error, "%s: ", bl_database_path (library->database));
  return g_steal_pointer (&board);
}

gboolean
bl_library_set_provisional (BlLibrary *library, gint64 id, gboolean provisional, GError **error)
{
  g_autoptr (BlStatement) statement = NULL;

  g_return_val_if_fail (library != NULL, FALSE);
  if (!bl_step_touch_id (library, "board", id, error))
    return FALSE;
  statement =
      bl_database_prepare (library->database, _ ("saving the board"),
                           "UPDATE board SET provisional = ?1, changed = ?2 WHERE id = ?3", error);
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, provisional ? 1 : 0);
  bl_statement_bind_int (statement, 2, bl_library_now ());
  bl_statement_bind_int (statement, 3, id);
  if (!bl_statement_run (statement, error))
    return FALSE;
  return bl_database_changes (library->database) == 1 ||
         bl_library_not_found (library, _ ("board"), id, error);
}

gboolean
bl_library_check_no_jobs (BlLibrary *library, gint64 id, GError **error)
{
  g_autoptr (BlStatement) statement =
      bl_database_prepare (library->database, _ ("deleting the board"),
                           "SELECT count(*) FROM job WHERE board = ?1 AND NOT removed", error);
  gint64 n = 0;

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, id);
  if (bl_statement_step (statement, error) != BL_STEP_ROW)
    return FALSE;
  n = bl_statement_int (statement, 0);
  if (n > 0)
    g_set_error (
        error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID,
        g_dngettext (GETTEXT_PACKAGE, "%s: the board stays: %" G_GINT64_FORMAT " job belongs to it",
                     "%s: the board stays: %" G_GINT64_FORMAT " jobs belong to it", (gulong) n),
        bl_database_path (library->database), n);
  return n == 0;
}

/* As part of a step of undo it only goes out of sight, with its photos, and for good when the step is forgotten. */
static gboolean
delete_row (BlLibrary *library, gint64 id, GError **error)
{
  g_autoptr (BlStatement) statement = NULL;

  if (!bl_step_touch_id (library, "board", id, error))
    return FALSE;
  statement = bl_database_prepare (library->database, _ ("deleting the board"),
                                   bl_step_is_open (library) ? DELETE_SQL " AND NOT deleted"
                                                             : "DELETE FROM board WHERE id = ?1 AND NOT deleted",
                                   error);
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, id);
  if (!bl_statement_run (statement, error))
    return FALSE;
  return bl_database_changes (library->database) == 1 ||
         bl_library_not_found (library, _ ("board"), id, error);
}

gboolean
bl_library_delete_board (BlLibrary *library, gint64 id, GError **error)
{
  const char *doing = _ ("deleting the board");
  gboolean ok;

  g_return_val_if_fail (library != NULL, FALSE);
  if (!bl_database_begin (library->database, doing, error))
    return FALSE;
  ok = bl_library_check_no_jobs (library, id, error) && bl_library_leave_equipments (library, id, error) &&
       delete_row (library, id, error);
  return bl_database_end (library->database, ok, doing, error);
}
