/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Steps of undo in the library: made and forgotten. They are taken back and redone in bl-step-take.c; what a step is
 * about is bl-step-items.c's.
 *
 * While a step is open the functions that change the library say beforehand what they touch. When it ends, what is
 * there now is compared with what was, and only what differs is kept; all of it is the transaction of the change
 * itself, so that a program that is killed has both or neither. A day has some hundred steps of some hundred bytes. */
#include "config.h"

#include "bl-library-steps.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-step-private.h"

typedef struct
{
  char *kind, *subject;
  GBytes *before; /* NULL: it was not there */
} Touched;

struct BlStepOpen
{
  GArray *inner; /* guint: of each nested step how many were touched when it began */
  gint64 id;
  GPtrArray *touched; /* Touched, in the order of the changes */
};

const char *const bl_step_places[BL_STEP_N_PLACES] = { "edition", "job", "boards", "jobs", "meters" };

static void
touched_free (gpointer data)
{
  Touched *touched = data;

  g_free (touched->kind);
  g_free (touched->subject);
  g_clear_pointer (&touched->before, g_bytes_unref);
  g_free (touched);
}

gboolean
bl_step_begin (BlLibrary *library, GError **error)
{
  return bl_database_begin (library->database, _ ("keeping a step of undo"), error);
}

gboolean
bl_step_end (BlLibrary *library, gboolean ok, GError **error)
{
  return bl_database_end (library->database, ok, _ ("keeping a step of undo"), error);
}

/* --- small statements --- */

BlStatement *
bl_step_prepare (BlLibrary *library, const char *sql, GError **error)
{
  return bl_database_prepare (library->database, _ ("keeping a step of undo"), sql, error);
}

gboolean
bl_step_run (BlLibrary *library, const char *sql, gint64 first, gint64 second, GError **error)
{
  g_autoptr (BlStatement) statement = bl_step_prepare (library, sql, error);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, first);
  if (strstr (sql, "?2") != NULL)
    bl_statement_bind_int (statement, 2, second);
  return bl_statement_run (statement, error);
}

static char *
today (void)
{
  g_autoptr (GDateTime) now = g_date_time_new_from_unix_local (bl_library_now () / G_USEC_PER_SEC);

  return g_date_time_format (now, "%Y-%m-%d");
}

/* --- making one --- */

gboolean
bl_step_is_open (BlLibrary *library)
{
  return library->step != NULL;
}

static gboolean
open_step (BlLibrary *library, gint64 id)
{
  library->step = g_new0 (BlStepOpen, 1);
  library->step->inner = g_array_new (FALSE, FALSE, sizeof (guint));
  library->step->id = id;
  library->step->touched = g_ptr_array_new_with_free_func (touched_free);
  return TRUE;
}

void
bl_step_close (BlLibrary *library)
{
  if (library->step == NULL)
    return;
  g_array_unref (library->step->inner);
  g_ptr_array_unref (library->step->touched);
  g_clear_pointer (&library->step, g_free);
}

static gboolean
insert_step (BlLibrary *library, const char *place, gint64 owner, const char *label, GError **error)
{
  g_autoptr (BlStatement) statement
    = bl_step_prepare (library, "INSERT INTO step (place, owner, day, time, label) VALUES (?1, ?2, ?3, ?4, ?5)", error);
  g_autofree char *day = today ();

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_text (statement, 1, place);
  bl_statement_bind_int (statement, 2, owner);
  bl_statement_bind_text (statement, 3, day);
  bl_statement_bind_int (statement, 4, bl_library_now ());
  bl_statement_bind_text (statement, 5, label);
  return bl_statement_run (statement, error);
}

gboolean
bl_library_begin_step (BlLibrary *library, BlStepsPlace place, gint64 owner, const char *label, GError **error)
{
  g_return_val_if_fail (library != NULL && label != NULL && place < G_N_ELEMENTS (bl_step_places), FALSE);

  if (!bl_step_begin (library, error))
    return FALSE;
  if (library->step != NULL)
    {
      g_array_append_val (library->step->inner, library->step->touched->len);
      return TRUE;
    }
  if (!insert_step (library, bl_step_places[place], owner, label, error))
    return bl_step_end (library, FALSE, NULL);
  return open_step (library, bl_database_last_id (library->database));
}

static Touched *
find_touched (BlLibrary *library, const char *kind, const char *subject)
{
  for (guint i = 0; i < library->step->touched->len; i++)
    {
      Touched *touched = bl_at (library->step->touched, i);
      if (g_str_equal (touched->kind, kind) && g_str_equal (touched->subject, subject))
        return touched;
    }
  return NULL;
}

/* before: (transfer full) */
static Touched *
add_touched (BlLibrary *library, const char *kind, const char *subject, GBytes *before)
{
  Touched *touched = g_new0 (Touched, 1);

  touched->kind = g_strdup (kind);
  touched->subject = g_strdup (subject);
  touched->before = before;
  g_ptr_array_add (library->step->touched, touched);
  return touched;
}

gboolean
bl_step_touch (BlLibrary *library, const char *kind, const char *subject, GError **error)
{
  GBytes *before = NULL;

  if (library->step == NULL || find_touched (library, kind, subject) != NULL)
    return TRUE;
  if (!bl_step_image (library, kind, subject, &before, error))
    return FALSE;
  add_touched (library, kind, subject, before);
  return TRUE;
}

gboolean
bl_step_touch_id (BlLibrary *library, const char *kind, gint64 id, GError **error)
{
  g_autofree char *subject = g_strdup_printf ("%" G_GINT64_FORMAT, id);

  return bl_step_touch (library, kind, subject, error);
}

gboolean
bl_step_touch_photo (BlLibrary *library, gint64 board, const char *photo, GError **error)
{
  g_autofree char *subject = g_strdup_printf ("%" G_GINT64_FORMAT "\t%s", board, photo);
  g_autoptr (BlStatement) statement = NULL;

  if (library->step == NULL || find_touched (library, "photo", subject) != NULL)
    return TRUE;
  if (!bl_step_touch (library, "photo", subject, error))
    return FALSE;
  statement = bl_step_prepare (library,
                       "INSERT INTO step_photo (step, board, photo, mime, image, thumbnail)"
                       " SELECT ?1, board, photo, mime, image, thumbnail FROM board_photo"
                       " WHERE board = ?2 AND photo = ?3",
                       error);
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, library->step->id);
  bl_statement_bind_int (statement, 2, board);
  bl_statement_bind_text (statement, 3, photo);
  return bl_statement_run (statement, error);
}

gboolean
bl_library_step_record (BlLibrary *library, gint64 record, GError **error)
{
  g_autofree char *subject = g_strdup_printf ("%" G_GINT64_FORMAT, record);

  g_return_val_if_fail (library != NULL && library->step != NULL, FALSE);
  if (find_touched (library, "record", subject) == NULL)
    add_touched (library, "record", subject, g_bytes_new_static ("1", 1));
  return TRUE;
}

gboolean
bl_library_step_link (BlLibrary *library, gint64 step, GError **error)
{
  g_autofree char *subject = g_strdup_printf ("%" G_GINT64_FORMAT, step);

  g_return_val_if_fail (library != NULL && library->step != NULL, FALSE);
  add_touched (library, "step", subject, g_bytes_new_static ("1", 1));
  return TRUE;
}

/* --- ending one --- */

static gboolean
insert_item (BlLibrary *library, guint n, const Touched *touched, GBytes *before, GBytes *after, GError **error)
{
  g_autoptr (BlStatement) statement = bl_step_prepare (
    library, "INSERT INTO step_item (step, n, kind, subject, before, after) VALUES (?1, ?2, ?3, ?4, ?5, ?6)", error);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, library->step->id);
  bl_statement_bind_int (statement, 2, n);
  bl_statement_bind_text (statement, 3, touched->kind);
  bl_statement_bind_text (statement, 4, touched->subject);
  bl_statement_bind_bytes (statement, 5, before);
  bl_statement_bind_bytes (statement, 6, after);
  return bl_statement_run (statement, error);
}

/* Keeps what differs; *n: how many things that is. */
static gboolean
keep_items (BlLibrary *library, guint *n, GError **error)
{
  *n = 0;
  for (guint i = 0; i < library->step->touched->len; i++)
    {
      const Touched *touched = bl_at (library->step->touched, i);
      g_autoptr (GBytes) now = NULL, before = NULL, after = NULL;
      if (!bl_step_image (library, touched->kind, touched->subject, &now, error))
        return FALSE;
      if (!bl_step_pack (touched->kind, touched->before, now, &before, &after))
        continue;
      if (!insert_item (library, (*n)++, touched, before, after, error))
        return FALSE;
    }
  return TRUE;
}

/* What could be redone at the place of the step. */
static gboolean
forget_undone (BlLibrary *library, gint64 id, GError **error)
{
  return bl_step_run (library,
              "DELETE FROM step WHERE undone = 1 AND (place, owner) = (SELECT place, owner FROM step WHERE id = ?1)", id,
              0, error);
}

static gboolean
finish (BlLibrary *library, guint *n, GError **error)
{
  gint64 id = library->step->id;

  if (!bl_step_run (library, "DELETE FROM step_item WHERE step = ?1", id, 0, error) || !keep_items (library, n, error))
    return FALSE;
  return *n > 0 ? forget_undone (library, id, error)
                : bl_step_run (library, "DELETE FROM step WHERE id = ?1", id, 0, error);
}

/* What a nested step that is taken back had touched is as it was before, and what it laid aside is gone. */
static gboolean
end_inner (BlLibrary *library, gboolean ok, GError **error)
{
  BlStepOpen *step = library->step;
  guint before = g_array_index (step->inner, guint, step->inner->len - 1);

  g_array_set_size (step->inner, step->inner->len - 1);
  ok = bl_step_end (library, ok, error);
  if (!ok)
    g_ptr_array_set_size (step->touched, (int) before);
  return ok;
}

gboolean
bl_library_end_step (BlLibrary *library, gboolean ok, gint64 *id, GError **error)
{
  guint n = 0;

  g_return_val_if_fail (library != NULL && library->step != NULL, FALSE);
  if (id != NULL)
    *id = 0;
  if (library->step->inner->len > 0)
    return end_inner (library, ok, error);
  ok = ok && finish (library, &n, error);
  if (id != NULL && ok && n > 0)
    *id = library->step->id;
  bl_step_close (library);
  ok = bl_step_end (library, ok, error);
  if (!ok && id != NULL)
    *id = 0;
  return ok;
}

/* --- reading them --- */

static void
item_free (gpointer data)
{
  BlStepItem *item = data;

  g_free (item->kind);
  g_free (item->subject);
  g_clear_pointer (&item->before, g_bytes_unref);
  g_clear_pointer (&item->after, g_bytes_unref);
  g_free (item);
}

GPtrArray *
bl_step_items (BlLibrary *library, gint64 step, GError **error)
{
  g_autoptr (GPtrArray) items = g_ptr_array_new_with_free_func (item_free);
  g_autoptr (BlStatement) statement
    = bl_step_prepare (library, "SELECT kind, subject, before, after FROM step_item WHERE step = ?1 ORDER BY n", error);
  BlStep at;

  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, step);
  while ((at = bl_statement_step (statement, error)) == BL_STEP_ROW)
    {
      BlStepItem *item = g_new0 (BlStepItem, 1);
      item->kind = bl_statement_dup_text (statement, 0);
      item->subject = bl_statement_dup_text (statement, 1);
      item->before = bl_statement_dup_bytes (statement, 2);
      item->after = bl_statement_dup_bytes (statement, 3);
      g_ptr_array_add (items, item);
    }
  return at == BL_STEP_DONE ? g_steal_pointer (&items) : NULL;
}

gboolean
bl_library_continue_step (BlLibrary *library, gint64 id, GError **error)
{
  g_return_val_if_fail (library != NULL, FALSE);
  g_autoptr (GPtrArray) items = NULL;

  if (library->step != NULL || !bl_step_begin (library, error))
    return FALSE;
  items = bl_step_items (library, id, error);
  for (guint i = 0; items != NULL && i < items->len; i++)
    {
      const BlStepItem *item = bl_at (items, i);
      g_autoptr (GBytes) now = NULL;
      gboolean known = FALSE;
      if (!bl_step_image (library, item->kind, item->subject, &now, error))
        break;
      GBytes *before = bl_step_unpack (item->kind, now, item->before, &known);
      if (!known)
        {
          g_set_error_literal (error, BL_STORE_ERROR, BL_STORE_ERROR_OUTDATED, _ ("it was changed by something else"));
          break;
        }
      if (library->step == NULL)
        open_step (library, id);
      add_touched (library, item->kind, item->subject, before);
    }
  if (library->step != NULL && items->len == library->step->touched->len)
    return TRUE;
  if (library->step != NULL)
    bl_step_close (library);
  if (error != NULL && *error == NULL)
    g_set_error_literal (error, BL_STORE_ERROR, BL_STORE_ERROR_OUTDATED, _ ("there is no such step"));
  return bl_step_end (library, FALSE, NULL);
}

/* --- forgetting --- */

/* Photos that the boards of forgotten steps do not name any more. */
static const char photos_sql[] =
  "DELETE FROM board_photo WHERE board IN (SELECT owner FROM step WHERE place = 'edition' AND day <> ?1)"
  " AND NOT EXISTS (SELECT 1 FROM step s WHERE s.place = 'edition' AND s.owner = board_photo.board AND s.day = ?1)"
  " AND photo NOT IN (SELECT json_extract (j.value, '$.id') FROM board b, json_each (b.document, '$.photos') j"
  "                   WHERE b.id = board_photo.board)";

/* Removed equipments of boards that are deleted: both were kept for the steps. One that a job names, if only a job out of
 * sight, stays, and its boards with it. */
static const char equipments_sql[] =
  "DELETE FROM equipment WHERE removed = 1 AND id IN (SELECT e.equipment FROM equipment_board e JOIN board b"
  " ON b.id = e.board WHERE b.deleted = 1) AND NOT EXISTS (SELECT 1 FROM step_item WHERE kind = 'equipment'"
  " AND subject = CAST (equipment.id AS TEXT)) AND NOT EXISTS (SELECT 1 FROM job WHERE job.equipment = equipment.id)";

static gboolean
run_today (BlLibrary *library, const char *sql)
{
  g_autoptr (BlStatement) statement = bl_step_prepare (library, sql, NULL);
  g_autofree char *day = today ();

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_text (statement, 1, day);
  return bl_statement_run (statement, NULL);
}

/* Whether there is anything to forget; a library that is only looked at is not written. */
static gboolean
any_old (BlLibrary *library)
{
  g_autoptr (BlStatement) statement = bl_step_prepare (library, "SELECT 1 FROM step WHERE day <> ?1 LIMIT 1", NULL);
  g_autofree char *day = today ();

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_text (statement, 1, day);
  return bl_statement_step (statement, NULL) == BL_STEP_ROW;
}

/* A library whose steps cannot be forgotten, because another program writes, is opened all the same. */
void
bl_steps_forget (BlLibrary *library)
{
  gboolean ok;

  if (bl_library_is_read_only (library) || !any_old (library) || !bl_step_begin (library, NULL))
    return;
  ok = run_today (library, photos_sql) && run_today (library, "DELETE FROM step WHERE day <> ?1")
       && bl_database_run (library->database, _ ("forgetting steps of undo"), equipments_sql, NULL)
       && bl_database_run (library->database, _ ("forgetting steps of undo"),
                           "DELETE FROM board WHERE deleted = 1 AND NOT EXISTS (SELECT 1 FROM job j WHERE j.board = "
                           "board.id) AND NOT EXISTS (SELECT 1 FROM equipment_board e WHERE e.board = board.id) AND "
                           "NOT EXISTS (SELECT 1 FROM step_item WHERE kind = 'board' AND subject = "
                           "CAST (board.id AS TEXT))",
                           NULL);
  bl_step_end (library, ok, NULL);
}

gint64
bl_library_steps_size (BlLibrary *library, guint *n)
{
  g_return_val_if_fail (library != NULL, 0);
  gint64 size = 0, number = 0;

  bl_database_get_number (library->database, C_ ("the library file", "reading"),
                          "SELECT coalesce ((SELECT sum (length (label) + 40) FROM step), 0) + coalesce ((SELECT sum "
                          "(length (kind) + length (subject) + coalesce (length (before), 0) + coalesce (length "
                          "(after), 0)) FROM step_item), 0) + coalesce ((SELECT sum (length (image) + coalesce (length "
                          "(thumbnail), 0)) FROM step_photo), 0)",
                          &size, NULL);
  bl_database_get_number (library->database, C_ ("the library file", "reading"), "SELECT count(*) FROM step", &number,
                          NULL);
  if (n != NULL)
    *n = (guint) number;
  return size;
}

char *
bl_library_board_digest (BlLibrary *library, gint64 board, GError **error)
{
  g_autofree char *subject = g_strdup_printf ("%" G_GINT64_FORMAT, board);
  g_autoptr (GBytes) text = NULL;

  g_return_val_if_fail (library != NULL, NULL);
  if (!bl_step_image (library, "document", subject, &text, error))
    return NULL;
  if (text == NULL)
    bl_library_not_found (library, _ ("board"), board, error);
  return text != NULL ? bl_step_digest (text) : NULL;
}
