/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What repairs found: confirmed causes out of the bench logs of a board's jobs, and how strongly the
 * document's own weights stand against them. Counted anew each time; a library has some thousands of
 * log lines of which one or two a job are causes. What follows from the counts is bl-learn.c's. */
#include "config.h"

#include "bl-library-equipment-jobs.h"
#include "bl-library-private.h"

#include <glib/gi18n-lib.h>

#include <math.h>

/* Whether a line of the log stands. */
#define STANDS(id)                                                                                                     \
  "coalesce ((SELECT struck FROM strike WHERE record = " id " ORDER BY strike.time DESC, strike.id DESC LIMIT 1), 0) = 0"
/* Of the lines about one component in one job that stand, the newest decides. A job on an equipment speaks for a board
 * where an id has the role of that board (about.role) at its head; one that was gone on with in a job on the board itself
 * does not, or the cause would count twice. */
#define CAUSES(about)                                                                                                  \
  "SELECT job, subject, text FROM ("                                                                                   \
  "  SELECT r.id, r.job, r.time, r.kind, substr (r.subject, length (about.role) + 1) AS subject, r.text,"              \
  "         row_number () OVER (PARTITION BY r.job, r.subject ORDER BY r.time DESC, r.id DESC) AS place"               \
  "  FROM record r JOIN job j ON j.id = r.job JOIN (" about ") AS about ON about.job = j.id"                           \
  "  WHERE j.id <> ?2 AND NOT j.removed AND substr (r.subject, 1, length (about.role)) = about.role"                   \
  "    AND (?3 IS NULL OR EXISTS ("                                                                                    \
  "      SELECT 1 FROM record s WHERE s.job = j.id AND s.kind = 'symptom' AND s.subject = about.role || ?3"            \
  "        AND s.text = 'yes' AND " STANDS ("s.id") "))"                                                               \
  "    AND r.kind IN ('cause', 'no cause') AND r.subject IS NOT NULL AND " STANDS ("r.id") ")"                         \
  " WHERE place = 1 AND kind = 'cause' ORDER BY time, id"

static const char board_causes[] = CAUSES (
    "SELECT id AS job, '' AS role FROM job WHERE board = ?1"
    " UNION ALL SELECT e.id, b.role || '/' FROM job e JOIN equipment_board b ON b.equipment = e.equipment"
    "  WHERE b.board = ?1"
    "   AND NOT EXISTS (SELECT 1 FROM job p WHERE p.part_of = e.id AND p.board = b.board AND NOT p.removed)");
static const char equipment_causes[] = CAUSES ("SELECT id AS job, '' AS role FROM job WHERE equipment = ?1");

GPtrArray *
bl_library_causes (BlLibrary *library, gint64 board, gint64 except, GError **error)
{
  return bl_library_causes_with (library, board, except, NULL, error);
}

static GPtrArray *
collect (BlLibrary *library, const char *sql, gint64 about, gint64 except, const char *symptom, GError **error)
{
  g_autoptr (GPtrArray) causes =
      g_ptr_array_new_with_free_func ((GDestroyNotify) bl_found_cause_free);
  g_autoptr (BlStatement) statement = NULL;
  BlStep step;

  g_return_val_if_fail (library != NULL, NULL);
  statement = bl_database_prepare (library->database, _ ("counting what repairs found"), sql, error);
  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, about);
  bl_statement_bind_int (statement, 2, except);
  bl_statement_bind_text (statement, 3, symptom);
  while ((step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    {
      g_autofree char *component = bl_statement_dup_text (statement, 1);
      g_autofree char *mode = bl_statement_dup_text (statement, 2);
      g_ptr_array_add (causes,
                       bl_found_cause_new (bl_statement_int (statement, 0), component, mode));
    }
  return step == BL_STEP_DONE ? g_steal_pointer (&causes) : NULL;
}

GPtrArray *
bl_library_causes_with (BlLibrary *library, gint64 board, gint64 except, const char *symptom, GError **error)
{
  return collect (library, board_causes, board, except, symptom, error);
}

GPtrArray *
bl_library_equipment_causes (BlLibrary *library, gint64 id, gint64 except, GError **error)
{
  return collect (library, equipment_causes, id, except, NULL, error);
}

gboolean
bl_library_get_strength (BlLibrary *library, gint64 board, double *strength, GError **error)
{
  g_autoptr (BlStatement) statement = NULL;
  BlStep step;

  g_return_val_if_fail (library != NULL && strength != NULL, FALSE);
  *strength = NAN;
  statement = bl_database_prepare (library->database, _ ("reading how much the table counts"),
                                   "SELECT strength FROM learning WHERE board = ?1", error);
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, board);
  step = bl_statement_step (statement, error);
  if (step == BL_STEP_ROW)
    *strength = bl_statement_double (statement, 0);
  return step != BL_STEP_ERROR;
}

gboolean
bl_library_set_strength (BlLibrary *library, gint64 board, double strength, GError **error)
{
  const char *doing = _ ("saving how much the table counts");
  g_autoptr (BlStatement) statement = NULL;

  g_return_val_if_fail (library != NULL, FALSE);
  if (!isnan (strength) && !(strength > 0 && isfinite (strength)))
    {
      g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID,
                   _ ("%s: %s: expected a number above 0"), bl_database_path (library->database),
                   doing);
      return FALSE;
    }
  if (!bl_library_require (library, "board", _ ("board"), board, error) ||
      !bl_step_touch_id (library, "strength", board, error))
    return FALSE;
  statement = bl_database_prepare (
      library->database, doing,
      isnan (strength) ? "DELETE FROM learning WHERE board = ?1"
                       : "INSERT INTO learning (board, strength) VALUES (?1, ?2)"
                         " ON CONFLICT (board) DO UPDATE SET strength = excluded.strength",
      error);
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, board);
  if (!isnan (strength))
    bl_statement_bind_double (statement, 2, strength);
  return bl_statement_run (statement, error);
}

gint64
bl_library_find_board (BlLibrary *library, const char *uid, GError **error)
{
  g_autoptr (BlStatement) statement = NULL;

  g_return_val_if_fail (library != NULL, 0);
  statement = bl_database_prepare (library->database, _ ("looking for the board"),
                                   "SELECT id FROM board WHERE uid = ?1", error);
  if (statement == NULL)
    return 0;
  bl_statement_bind_text (statement, 1, uid);
  return bl_statement_step (statement, error) == BL_STEP_ROW ? bl_statement_int (statement, 0) : 0;
}
