/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Photos, kept as the files they came as: of a board by the photo's id in its document, of a job in
 * order of arrival. A few megabytes each. Nothing is decoded here. */
#include "config.h"

#include "bl-library-private.h"

#include <glib/gi18n-lib.h>

gboolean
bl_library_put_board_photo (BlLibrary *library,
                            gint64 board,
                            const char *photo,
                            const char *mime,
                            GBytes *image,
                            GBytes *thumbnail,
                            GError **error)
{
  g_autoptr (BlStatement) statement = NULL;

  g_return_val_if_fail (library != NULL && photo != NULL && mime != NULL && image != NULL, FALSE);
  if (!bl_library_require (library, "board", _ ("board"), board, error) ||
      !bl_step_touch_photo (library, board, photo, error))
    return FALSE;
  statement = bl_database_prepare (
      library->database, _ ("keeping the photo"),
      "INSERT INTO board_photo (board, photo, mime, image, thumbnail) VALUES (?1, ?2, ?3, ?4, ?5)"
      " ON CONFLICT (board, photo) DO UPDATE SET mime = excluded.mime, image = excluded.image,"
      " thumbnail = excluded.thumbnail",
      error);
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, board);
  bl_statement_bind_text (statement, 2, photo);
  bl_statement_bind_text (statement, 3, mime);
  bl_statement_bind_bytes (statement, 4, image);
  bl_statement_bind_bytes (statement, 5, thumbnail);
  return bl_statement_run (statement, error);
}

/* The bytes in column 0 and the type in column 1 of the one row of statement. */
static GBytes *
get_image (BlLibrary *library,
           BlStatement *statement,
           const char *what,
           gint64 id,
           char **mime,
           GError **error)
{
  BlStep step = bl_statement_step (statement, error);

  if (step == BL_STEP_DONE)
    bl_library_not_found (library, what, id, error);
  if (step != BL_STEP_ROW)
    return NULL;
  if (mime != NULL)
    *mime = bl_statement_dup_text (statement, 1);
  return bl_statement_dup_bytes (statement, 0);
}

GBytes *
bl_library_get_board_photo (BlLibrary *library,
                            gint64 board,
                            const char *photo,
                            char **mime,
                            GError **error)
{
  g_autoptr (BlStatement) statement = NULL;

  g_return_val_if_fail (library != NULL && photo != NULL, NULL);
  statement = bl_database_prepare (
      library->database, _ ("reading the photo"),
      "SELECT image, mime FROM board_photo WHERE board = ?1 AND photo = ?2", error);
  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, board);
  bl_statement_bind_text (statement, 2, photo);
  return get_image (library, statement, _ ("photo of board"), board, mime, error);
}

gboolean
bl_library_find_board_photo (BlLibrary *library, gint64 board, const char *photo, GBytes **image, GError **error)
{
  g_autoptr (GError) reason = NULL;

  g_return_val_if_fail (library != NULL && photo != NULL && image != NULL, FALSE);
  *image = bl_library_get_board_photo (library, board, photo, NULL, &reason);
  if (*image != NULL || g_error_matches (reason, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND))
    return TRUE;
  g_propagate_error (error, g_steal_pointer (&reason));
  return FALSE;
}

GBytes *
bl_library_get_board_thumbnail (BlLibrary *library, gint64 board, GError **error)
{
  g_autoptr (BlStatement) statement = NULL;

  g_return_val_if_fail (library != NULL, NULL);
  statement =
      bl_database_prepare (library->database, _ ("reading the photo"),
                           "SELECT thumbnail, mime FROM board_photo"
                           " WHERE board = ?1 AND thumbnail IS NOT NULL ORDER BY rowid LIMIT 1",
                           error);
  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, board);
  return get_image (library, statement, _ ("small picture of board"), board, NULL, error);
}

void
bl_job_photo_free (BlJobPhoto *photo)
{
  if (photo == NULL)
    return;
  g_free (photo->title);
  g_free (photo->mime);
  g_free (photo->side);
  g_free (photo);
}

gint64
bl_library_add_job_photo (BlLibrary *library,
                          gint64 job,
                          const char *title,
                          const char *mime,
                          GBytes *image,
                          GError **error)
{
  g_autoptr (BlStatement) statement = NULL;

  g_return_val_if_fail (library != NULL && mime != NULL && image != NULL, 0);
  if (!bl_library_require (library, "job", _ ("job"), job, error))
    return 0;
  statement = bl_database_prepare (
      library->database, _ ("keeping the photo"),
      "INSERT INTO job_photo (job, time, title, mime, image) VALUES (?1, ?2, ?3, ?4, ?5)", error);
  if (statement == NULL)
    return 0;
  bl_statement_bind_int (statement, 1, job);
  bl_statement_bind_int (statement, 2, bl_library_now ());
  bl_statement_bind_text (statement, 3, title);
  bl_statement_bind_text (statement, 4, mime);
  bl_statement_bind_bytes (statement, 5, image);
  return bl_statement_run (statement, error) ? bl_database_last_id (library->database) : 0;
}

GPtrArray *
bl_library_job_photos (BlLibrary *library, gint64 job, GError **error)
{
  g_autoptr (GPtrArray) photos =
      g_ptr_array_new_with_free_func ((GDestroyNotify) bl_job_photo_free);
  g_autoptr (BlStatement) statement = NULL;
  BlStep step;

  g_return_val_if_fail (library != NULL, NULL);
  statement = bl_database_prepare (
      library->database, _ ("listing the photos"),
      "SELECT id, job, time, title, mime, side FROM job_photo WHERE job = ?1 ORDER BY id", error);
  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, job);
  while ((step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    {
      BlJobPhoto *photo = g_new0 (BlJobPhoto, 1);
      photo->id = bl_statement_int (statement, 0);
      photo->job = bl_statement_int (statement, 1);
      photo->time = bl_statement_int (statement, 2);
      photo->title = bl_statement_dup_text (statement, 3);
      photo->mime = bl_statement_dup_text (statement, 4);
      photo->side = bl_statement_dup_text (statement, 5);
      g_ptr_array_add (photos, photo);
    }
  return step == BL_STEP_DONE ? g_steal_pointer (&photos) : NULL;
}

GBytes *
bl_library_get_job_photo (BlLibrary *library, gint64 id, char **mime, GError **error)
{
  g_autoptr (BlStatement) statement = NULL;

  g_return_val_if_fail (library != NULL, NULL);
  statement = bl_database_prepare (library->database, _ ("reading the photo"),
                                   "SELECT image, mime FROM job_photo WHERE id = ?1", error);
  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, id);
  return get_image (library, statement, _ ("photo"), id, mime, error);
}
