/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a step of undo can be about, and how each is read, kept and put back.
 *
 * A row of a small table is kept as a JSON list of its values, and only the values that differ are put back, so that
 * what else is written into the row meanwhile (the causes on a job's head) stays. A document is kept as a delta
 * (bl-step-delta.c). A line of the log is struck or not. A photo that was replaced lies in step_photo and changes
 * places with the present one; which picture it is tells its digest. */
#include "config.h"

#include "bl-step-private.h"

#include <glib/gi18n-lib.h>
#include <jansson.h>
#include <string.h>

#include "bl-document.h"
#include "bl-library-steps.h"

/* keys: of the primary key, in the order of the subject's parts; text: which of them is text, -1: none. */
static const struct
{
  const char *kind, *table, *keys[4];
  int text;
  const char *columns[16];
} rows[] = {
  { "meter", "meter", { "id" }, -1, { "name", "document", "usual", "removed", "changed" } },
  { "strength", "learning", { "board" }, -1, { "strength" } },
  { "known-good", "known_good", { "job" }, -1, { "despite_fault", "time" } },
  { "left-out", "left_out", { "board", "measurement", "job" }, 1, { "measurement" } },
  { "band-answer", "band_answer", { "board", "measurement" }, 1, { "accepted", "low", "high", "jobs", "time" } },
  { "job-landmark", "job_landmark", { "job_photo", "landmark" }, 1, { "x", "y" } },
  { "job-photo-side", "job_photo", { "id" }, -1, { "side" } },
  { "set-aside", "set_aside", { "board", "thing" }, 1, { "time" } },
  { "job", "job", { "id" }, -1,
    { "number", "board", "equipment", "customer", "unit", "serial", "complaint", "came_with", "cause", "state", "closed",
      "return_of", "part_of", "handed_back", "removed" } },
  { "board", "board", { "id" }, -1, { "uid", "provisional", "deleted" } },
  { "equipment", "equipment", { "id" }, -1, { "removed" } },
};

static const char *const doing = N_ ("undoing");

static int
find_row (const char *kind)
{
  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    if (g_str_equal (rows[i].kind, kind))
      return (int) i;
  return -1;
}

static guint
count (const char *const *names)
{
  guint n = 0;

  while (names[n] != NULL)
    n++;
  return n;
}

/* "board = ?3 AND measurement = ?4" */
static char *
where (int which, guint first)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; rows[which].keys[i] != NULL; i++)
    g_string_append_printf (text, "%s%s = ?%u", i > 0 ? " AND " : "", rows[which].keys[i], first + i);
  return g_string_free (text, FALSE);
}

static void
bind_key (BlStatement *statement, int which, const char *subject, guint first)
{
  g_auto (GStrv) parts = g_strsplit (subject, "\t", -1);

  for (guint i = 0; parts[i] != NULL; i++)
    if ((int) i == rows[which].text)
      bl_statement_bind_text (statement, (int) (first + i), parts[i]);
    else
      bl_statement_bind_int (statement, (int) (first + i), g_ascii_strtoll (parts[i], NULL, 10));
}

static gboolean
outdated (GError **error, const char *reason)
{
  g_set_error_literal (error, BL_STORE_ERROR, BL_STORE_ERROR_OUTDATED, reason);
  return FALSE;
}

/* --- images --- */

static json_t *
value_of (BlStatement *statement, int column)
{
  g_autofree char *text = NULL;

  switch (bl_statement_type (statement, column))
    {
    case BL_VALUE_INT:
      return json_integer (bl_statement_int (statement, column));
    case BL_VALUE_REAL:
      return json_real (bl_statement_double (statement, column));
    case BL_VALUE_TEXT:
      text = bl_statement_dup_text (statement, column);
      return json_string_nocheck (text);
    case BL_VALUE_NULL:
    case BL_VALUE_BYTES:
    default:
      return json_null ();
    }
}

static void
bind_value (BlStatement *statement, guint index, const json_t *value)
{
  if (json_is_integer (value))
    bl_statement_bind_int (statement, (int) index, json_integer_value (value));
  else if (json_is_real (value))
    bl_statement_bind_double (statement, (int) index, json_real_value (value));
  else
    bl_statement_bind_text (statement, (int) index, json_string_value (value)); /* NULL: NULL */
}

static gboolean
row_image (BlLibrary *library, int which, const char *subject, GBytes **image, GError **error)
{
  g_autofree char *columns = g_strjoinv (", ", (char **) rows[which].columns), *key = where (which, 1);
  g_autofree char *sql = g_strdup_printf ("SELECT %s FROM %s WHERE %s", columns, rows[which].table, key);
  g_autoptr (BlStatement) statement = bl_database_prepare (library->database, _ (doing), sql, error);
  BlStep step;

  if (statement == NULL)
    return FALSE;
  bind_key (statement, which, subject, 1);
  step = bl_statement_step (statement, error);
  if (step == BL_STEP_ROW)
    {
      json_t *values = json_array ();
      for (guint i = 0; rows[which].columns[i] != NULL; i++)
        json_array_append_new (values, value_of (statement, (int) i));
      char *text = json_dumps (values, JSON_COMPACT | JSON_REAL_PRECISION (17));
      json_decref (values);
      *image = g_bytes_new (text, strlen (text));
      free (text);
    }
  return step != BL_STEP_ERROR;
}

/* One value of one row: text as bytes, a number as its digits. */
static gboolean
single_image (BlLibrary *library, const char *sql, const char *subject, GBytes **image, GError **error)
{
  g_autoptr (BlStatement) statement = bl_database_prepare (library->database, _ (doing), sql, error);
  g_auto (GStrv) parts = g_strsplit (subject, "\t", 2);
  BlStep step;

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, g_ascii_strtoll (parts[0], NULL, 10));
  if (parts[1] != NULL)
    bl_statement_bind_text (statement, 2, parts[1]);
  step = bl_statement_step (statement, error);
  if (step == BL_STEP_ROW)
    {
      char *text = bl_statement_dup_text (statement, 0);
      *image = text != NULL ? g_bytes_new_take (text, strlen (text)) : NULL;
    }
  return step != BL_STEP_ERROR;
}

/* The digest of a picture of some megabytes: another one may be as large. */
static gboolean
photo_image (BlLibrary *library, const char *subject, GBytes **image, GError **error)
{
  g_autoptr (BlStatement) statement = bl_database_prepare (
    library->database, _ (doing), "SELECT image FROM board_photo WHERE board = ?1 AND photo = ?2", error);
  g_auto (GStrv) parts = g_strsplit (subject, "\t", 2);
  BlStep step;

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, g_ascii_strtoll (parts[0], NULL, 10));
  bl_statement_bind_text (statement, 2, parts[1]);
  step = bl_statement_step (statement, error);
  if (step == BL_STEP_ROW)
    {
      g_autoptr (GBytes) picture = bl_statement_dup_bytes (statement, 0);
      char *digest = bl_step_digest (picture);
      *image = g_bytes_new_take (digest, strlen (digest));
    }
  return step != BL_STEP_ERROR;
}

gboolean
bl_step_image (BlLibrary *library, const char *kind, const char *subject, GBytes **image, GError **error)
{
  int which = find_row (kind);

  *image = NULL;
  if (which >= 0)
    return row_image (library, which, subject, image, error);
  if (g_str_equal (kind, "document"))
    return single_image (library, "SELECT document FROM board WHERE id = ?1", subject, image, error);
  if (g_str_equal (kind, "record"))
    return single_image (library,
                         "SELECT coalesce ((SELECT struck FROM strike WHERE record = r.id"
                         "                  ORDER BY strike.time DESC, strike.id DESC LIMIT 1), 0)"
                         " FROM record r WHERE r.id = ?1",
                         subject, image, error);
  if (g_str_equal (kind, "photo"))
    return photo_image (library, subject, image, error);
  if (!g_str_equal (kind, "step"))
    return outdated (error, _ ("it was made by a newer version of the program"));
  return single_image (library, "SELECT undone FROM step WHERE id = ?1", subject, image, error);
}

gboolean
bl_step_pack (const char *kind, GBytes *before, GBytes *after, GBytes **kept_before, GBytes **kept_after)
{
  gboolean same = before == NULL || after == NULL ? before == after : g_bytes_equal (before, after);

  *kept_before = *kept_after = NULL;
  if (same)
    return FALSE;
  if (g_str_equal (kind, "document") && before != NULL && after != NULL)
    bl_step_delta (before, after, kept_before, kept_after);
  else
    {
      *kept_before = before != NULL ? g_bytes_ref (before) : NULL;
      *kept_after = after != NULL ? g_bytes_ref (after) : NULL;
    }
  return TRUE;
}

GBytes *
bl_step_unpack (const char *kind, GBytes *present, GBytes *kept_before, gboolean *known)
{
  GBytes *before = NULL;

  *known = TRUE;
  if (kept_before == NULL)
    return NULL;
  if (!g_str_equal (kind, "document"))
    return g_bytes_ref (kept_before);
  before = present != NULL ? bl_step_delta_apply (present, kept_before) : NULL;
  *known = before != NULL;
  return before;
}

/* --- putting back --- */

static gboolean
changed_since (GError **error)
{
  return outdated (error, _ ("it was changed by something else since"));
}

/* The values of to that differ from those of from; every one that is to be changed must be as in from now. */
static gboolean
differing (json_t *from, json_t *to, json_t *now, GArray *places)
{
  for (guint i = 0; i < json_array_size (to); i++)
    {
      if (json_equal (json_array_get (from, i), json_array_get (to, i)))
        continue;
      if (!json_equal (json_array_get (from, i), json_array_get (now, i)))
        return FALSE;
      g_array_append_val (places, i);
    }
  return TRUE;
}

static json_t *
values_in (GBytes *image)
{
  return image != NULL ? json_loadb (g_bytes_get_data (image, NULL), g_bytes_get_size (image), 0, NULL) : NULL;
}

static gboolean
update_row (BlLibrary *library, int which, const char *subject, const json_t *to, GArray *places, GError **error)
{
  g_autofree char *key = where (which, places->len + 1);
  g_autoptr (GString) sql = g_string_new (NULL);
  g_autoptr (BlStatement) statement = NULL;

  if (places->len == 0)
    return TRUE;
  g_string_printf (sql, "UPDATE %s SET ", rows[which].table);
  for (guint i = 0; i < places->len; i++)
    g_string_append_printf (sql, "%s%s = ?%u", i > 0 ? ", " : "",
                            rows[which].columns[g_array_index (places, guint, i)], i + 1);
  g_string_append_printf (sql, " WHERE %s", key);
  statement = bl_database_prepare (library->database, _ (doing), sql->str, error);
  if (statement == NULL)
    return FALSE;
  for (guint i = 0; i < places->len; i++)
    bind_value (statement, i + 1, json_array_get (to, g_array_index (places, guint, i)));
  bind_key (statement, which, subject, places->len + 1);
  return bl_statement_run (statement, error);
}

static gboolean
insert_row (BlLibrary *library, int which, const char *subject, const json_t *to, GError **error)
{
  guint n_keys = count (rows[which].keys);
  g_autoptr (GString) names = g_string_new (NULL), places = g_string_new (NULL);
  g_autoptr (BlStatement) statement = NULL;
  g_autofree char *sql = NULL;

  for (guint i = 0; i < n_keys; i++)
    {
      g_string_append_printf (names, "%s%s", i > 0 ? ", " : "", rows[which].keys[i]);
      g_string_append_printf (places, "%s?%u", i > 0 ? ", " : "", i + 1);
    }
  for (guint i = 0; rows[which].columns[i] != NULL; i++)
    if (!g_strv_contains (rows[which].keys, rows[which].columns[i]))
      {
        g_string_append_printf (names, ", %s", rows[which].columns[i]);
        g_string_append_printf (places, ", ?%u", n_keys + i + 1);
      }
  sql = g_strdup_printf ("INSERT INTO %s (%s) VALUES (%s)", rows[which].table, names->str, places->str);
  statement = bl_database_prepare (library->database, _ (doing), sql, error);
  if (statement == NULL)
    return FALSE;
  bind_key (statement, which, subject, 1);
  for (guint i = 0; rows[which].columns[i] != NULL; i++)
    if (!g_strv_contains (rows[which].keys, rows[which].columns[i]))
      bind_value (statement, n_keys + i + 1, json_array_get (to, i));
  return bl_statement_run (statement, error);
}

static gboolean
delete_row (BlLibrary *library, int which, const char *subject, GError **error)
{
  g_autofree char *key = where (which, 1), *sql = g_strdup_printf ("DELETE FROM %s WHERE %s", rows[which].table, key);
  g_autoptr (BlStatement) statement = bl_database_prepare (library->database, _ (doing), sql, error);

  if (statement == NULL)
    return FALSE;
  bind_key (statement, which, subject, 1);
  return bl_statement_run (statement, error);
}

/* A board comes back under its uid, and goes out of sight, by the rules that hold otherwise. */
static gboolean
check_board (BlLibrary *library, const char *subject, const json_t *to, GError **error)
{
  g_autoptr (GError) reason = NULL;
  gint64 id = g_ascii_strtoll (subject, NULL, 10);
  gboolean ok = json_integer_value (json_array_get (to, 2)) != 0
                  ? bl_library_check_no_jobs (library, id, &reason) && bl_library_check_no_equipment (library, id, &reason)
                  : bl_library_check_uid (library, json_string_value (json_array_get (to, 0)), id, &reason);

  return ok || outdated (error, reason->message);
}

/* An equipment comes back to boards that are there, and does not leave its jobs. */
static gboolean
check_equipment (BlLibrary *library, const char *subject, const json_t *to, GError **error)
{
  g_autoptr (GError) reason = NULL;
  gint64 id = g_ascii_strtoll (subject, NULL, 10);
  gboolean ok = json_integer_value (json_array_get (to, 0)) != 0 ? bl_library_check_no_jobs_on (library, id, &reason)
                                                                 : bl_library_check_boards_of (library, id, &reason);

  return ok || outdated (error, reason->message);
}

static gboolean
check_row (BlLibrary *library, const char *kind, const char *subject, const json_t *to, GError **error)
{
  if (to != NULL && g_str_equal (kind, "board"))
    return check_board (library, subject, to, error);
  return to == NULL || !g_str_equal (kind, "equipment") || check_equipment (library, subject, to, error);
}

static gboolean
put_row (BlLibrary *library, int which, const char *subject, GBytes *from, GBytes *to, GError **error)
{
  g_autoptr (GBytes) now = NULL;
  g_autoptr (GArray) places = g_array_new (FALSE, FALSE, sizeof (guint));
  json_t *from_values = NULL, *to_values = NULL, *now_values = NULL;
  gboolean ok = FALSE;

  if (!row_image (library, which, subject, &now, error))
    return FALSE;
  from_values = values_in (from);
  to_values = values_in (to);
  now_values = values_in (now);
  if ((from_values == NULL) != (now_values == NULL)
      || (from_values != NULL && to_values != NULL && !differing (from_values, to_values, now_values, places)))
    changed_since (error);
  else if (!check_row (library, rows[which].kind, subject, to_values, error))
    ok = FALSE;
  else if (to_values == NULL)
    ok = delete_row (library, which, subject, error);
  else if (from_values == NULL)
    ok = insert_row (library, which, subject, to_values, error);
  else
    ok = update_row (library, which, subject, to_values, places, error);
  json_decref (from_values);
  json_decref (to_values);
  json_decref (now_values);
  return ok;
}

static gboolean
put_document (BlLibrary *library, const char *subject, GBytes *delta, GError **error)
{
  g_autoptr (GBytes) now = NULL, text = NULL;
  g_autoptr (BlBoard) board = NULL;
  g_autofree char *document = NULL;

  if (!bl_step_image (library, "document", subject, &now, error))
    return FALSE;
  text = now != NULL && delta != NULL ? bl_step_delta_apply (now, delta) : NULL;
  if (text == NULL)
    return outdated (error, _ ("the board was changed by something else since"));
  document = g_strndup (g_bytes_get_data (text, NULL), g_bytes_get_size (text));
  board = bl_board_cache_parse (library->boards, document, error);
  return board != NULL
         && bl_library_save_board_text (library, g_ascii_strtoll (subject, NULL, 10), board, document, error);
}

static gboolean
put_record (BlLibrary *library, const char *subject, GBytes *from, GBytes *to, gboolean undo, GError **error)
{
  gboolean strike = to == NULL || ((const char *) g_bytes_get_data (to, NULL))[0] == '1';

  if (!bl_step_stands (library, "record", subject, from))
    return changed_since (error);
  return bl_library_strike (library, g_ascii_strtoll (subject, NULL, 10), strike, undo ? _ ("undone") : _ ("redone"),
                            error);
}

static gboolean
run_for_photo (BlLibrary *library, const char *sql, gint64 step, const char *subject, GError **error)
{
  g_autoptr (BlStatement) statement = bl_database_prepare (library->database, _ (doing), sql, error);
  g_auto (GStrv) parts = g_strsplit (subject, "\t", 2);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, step);
  bl_statement_bind_int (statement, 2, g_ascii_strtoll (parts[0], NULL, 10));
  bl_statement_bind_text (statement, 3, parts[1]);
  return bl_statement_run (statement, error);
}

/* The present picture and the one laid aside change places. One that was only added stays: the document does not name
 * it any more. */
static gboolean
put_photo (BlLibrary *library, gint64 step, const char *subject, GBytes *from, GBytes *to, GError **error)
{
  g_autoptr (GBytes) now = NULL;

  if (from == NULL || to == NULL)
    return TRUE;
  if (!bl_step_image (library, "photo", subject, &now, error))
    return FALSE;
  if (now == NULL || !g_bytes_equal (now, from))
    return changed_since (error);
  /* The key of the one that goes ends in a tab meanwhile, which no id has. */
  return run_for_photo (library,
                        "INSERT INTO step_photo (step, board, photo, mime, image, thumbnail)"
                        " SELECT ?1, board, photo || char (9), mime, image, thumbnail FROM board_photo"
                        " WHERE board = ?2 AND photo = ?3",
                        step, subject, error)
         && run_for_photo (library,
                           "UPDATE board_photo SET (mime, image, thumbnail) = (SELECT mime, image, thumbnail"
                           " FROM step_photo WHERE step = ?1 AND board = ?2 AND photo = ?3)"
                           " WHERE board = ?2 AND photo = ?3",
                           step, subject, error)
         && run_for_photo (library, "DELETE FROM step_photo WHERE step = ?1 AND board = ?2 AND photo = ?3", step,
                           subject, error)
         && run_for_photo (library,
                           "UPDATE step_photo SET photo = ?3 WHERE step = ?1 AND board = ?2"
                           " AND photo = ?3 || char (9)",
                           step, subject, error);
}

gboolean
bl_step_put (BlLibrary *library, gint64 step, const char *kind, const char *subject, GBytes *from, GBytes *to,
             gboolean undo, GError **error)
{
  int which = find_row (kind);

  if (which >= 0)
    return put_row (library, which, subject, from, to, error);
  if (g_str_equal (kind, "document"))
    return put_document (library, subject, to, error);
  if (g_str_equal (kind, "record"))
    return put_record (library, subject, from, to, undo, error);
  if (g_str_equal (kind, "photo"))
    return put_photo (library, step, subject, from, to, error);
  return outdated (error, _ ("it was made by a newer version of the program"));
}

gboolean
bl_step_stands (BlLibrary *library, const char *kind, const char *subject, GBytes *from)
{
  g_autoptr (GBytes) now = NULL;

  if (!g_str_equal (kind, "record"))
    return TRUE;
  return bl_step_image (library, kind, subject, &now, NULL) && now != NULL
         && (from != NULL ? g_bytes_equal (now, from) : ((const char *) g_bytes_get_data (now, NULL))[0] == '1');
}
