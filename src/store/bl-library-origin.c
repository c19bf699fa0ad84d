/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Editions copied from others: one row each, and one for each part that was looked at on a real board. Photos are
 * copied within the file, image by image, so that either edition can be given others. */
#include "config.h"

#include "bl-library-origin.h"

#include "bl-library-private.h"

#include <glib/gi18n-lib.h>

void
bl_origin_free (BlOrigin *self)
{
  if (self == NULL)
    return;
  g_free (self->name);
  g_free (self);
}

static gboolean
copy_photos (BlLibrary *library, gint64 from, gint64 to, GError **error)
{
  g_autoptr (BlStatement) statement
    = bl_database_prepare (library->database, _ ("copying the photos"),
                           "INSERT INTO board_photo (board, photo, mime, image, thumbnail)"
                           " SELECT ?2, photo, mime, image, thumbnail FROM board_photo WHERE board = ?1 ORDER BY rowid",
                           error);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, from);
  bl_statement_bind_int (statement, 2, to);
  return bl_statement_run (statement, error);
}

static gboolean
note_origin (BlLibrary *library, gint64 board, gint64 from, const char *name, GError **error)
{
  g_autoptr (BlStatement) statement
    = bl_database_prepare (library->database, _ ("noting where the edition comes from"),
                           "INSERT INTO origin (board, copied_from, name, time) VALUES (?1, ?2, ?3, ?4)", error);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, board);
  bl_statement_bind_int (statement, 2, from);
  bl_statement_bind_text (statement, 3, name);
  bl_statement_bind_int (statement, 4, bl_library_now ());
  return bl_statement_run (statement, error);
}

gint64
bl_library_add_copy (BlLibrary *library, gint64 from, const char *name, BlBoard *copy, GError **error)
{
  const char *doing = _ ("copying the board");
  gint64 id;
  gboolean ok;

  g_return_val_if_fail (library != NULL && name != NULL && copy != NULL, 0);
  g_clear_pointer (&copy->uid, g_free);
  if (!bl_library_require (library, "board", _ ("board"), from, error)
      || !bl_database_begin (library->database, doing, error))
    return 0;
  id = bl_library_add_board (library, copy, FALSE, error);
  ok = id != 0 && copy_photos (library, from, id, error) && note_origin (library, id, from, name, error);
  return bl_database_end (library->database, ok, doing, error) ? id : 0;
}

BlOrigin *
bl_library_get_origin (BlLibrary *library, gint64 board, GError **error)
{
  g_autoptr (BlStatement) statement = NULL;
  BlOrigin *origin;

  g_return_val_if_fail (library != NULL, NULL);
  statement = bl_database_prepare (library->database, _ ("reading where the edition comes from"),
                                   "SELECT coalesce ((SELECT id FROM board WHERE id = copied_from AND NOT deleted), 0), name,"
                                   " time FROM origin WHERE board = ?1", error);
  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, board);
  if (bl_statement_step (statement, error) != BL_STEP_ROW)
    return NULL;
  origin = g_new0 (BlOrigin, 1);
  origin->board = bl_statement_int (statement, 0);
  origin->name = bl_statement_dup_text (statement, 1);
  origin->time = bl_statement_int (statement, 2);
  return origin;
}

gboolean
bl_library_set_looked_at (BlLibrary *library, gint64 board, const char *part, gboolean looked_at, GError **error)
{
  g_autoptr (BlStatement) statement = NULL;

  g_return_val_if_fail (library != NULL && part != NULL, FALSE);
  if (!bl_library_require (library, "board", _ ("board"), board, error))
    return FALSE;
  statement = bl_database_prepare (library->database, _ ("noting what was looked at"),
                                   looked_at ? "INSERT OR IGNORE INTO looked_at (board, part, time) VALUES (?1, ?2, ?3)"
                                             : "DELETE FROM looked_at WHERE board = ?1 AND part = ?2",
                                   error);
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, board);
  bl_statement_bind_text (statement, 2, part);
  if (looked_at)
    bl_statement_bind_int (statement, 3, bl_library_now ());
  return bl_statement_run (statement, error);
}

GHashTable *
bl_library_looked_at (BlLibrary *library, gint64 board, GError **error)
{
  g_autoptr (GHashTable) parts = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  g_autoptr (BlStatement) statement = NULL;
  BlStep step;

  g_return_val_if_fail (library != NULL, NULL);
  statement = bl_database_prepare (library->database, _ ("reading what was looked at"),
                                   "SELECT part FROM looked_at WHERE board = ?1", error);
  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, board);
  while ((step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    g_hash_table_add (parts, bl_statement_dup_text (statement, 0));
  return step == BL_STEP_DONE ? g_steal_pointer (&parts) : NULL;
}
