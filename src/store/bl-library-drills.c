/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Drills of the library of practice: what was ordered and drawn, the job that holds what was done, what was named at the
 * end, and the score. A drill is composed (no job), under way (a job, no end) or ended. Some hundred a person and year. */
#include "config.h"

#include "bl-library-practice.h"

#include "bl-library-private.h"

#include <glib/gi18n-lib.h>
#include <jansson.h>

BlDrillRow *
bl_drill_row_new (void)
{
  BlDrillRow *row = g_new0 (BlDrillRow, 1);

  row->regret_s = row->effort_s = NAN;
  return row;
}

void
bl_drill_row_free (BlDrillRow *row)
{
  if (row == NULL)
    return;
  g_free (row->subject);
  g_free (row->title);
  g_strfreev (row->sections);
  g_strfreev (row->faults);
  g_free (row->stage);
  g_free (row->component);
  g_free (row->section_kind);
  g_free (row->family);
  g_free (row);
}

/* --- lists of names --- */

/* NULL: NULL. (transfer full) */
static char *
names_to_json (const char *const *names)
{
  json_t *list = json_array ();
  char *text = NULL;

  if (names != NULL)
    {
      for (guint i = 0; names[i] != NULL; i++)
        json_array_append_new (list, json_string (names[i]));
      char *dumped = json_dumps (list, JSON_COMPACT);
      text = g_strdup (dumped);
      free (dumped);
    }
  json_decref (list);
  return text;
}

static char **
names_from_json (const char *text)
{
  json_t *list = text != NULL ? json_loads (text, 0, NULL) : NULL, *name;
  g_autoptr (GStrvBuilder) names = g_strv_builder_new ();
  size_t i;

  json_array_foreach (list, i, name)
    if (json_is_string (name))
      g_strv_builder_add (names, json_string_value (name));
  json_decref (list);
  return g_strv_builder_end (names);
}

/* --- reading --- */

#define SELECT_DRILL                                                                                                 \
  "SELECT drill.id, person, kind, drill.board, drill.equipment, subject, seed, sections, faults, drill.job, made,"   \
  " started, ended, stage, component, section_kind, family, stage_right, component_right, failed, regret_s,"         \
  " effort_s, n_measured, n_right, n_told_nothing, n_unsafe, coalesce (equipment.title, board_number, model),"       \
  " board.edition FROM drill LEFT JOIN board ON board.id = drill.board"                                              \
  " LEFT JOIN equipment ON equipment.id = drill.equipment "

static char *
title_of (BlStatement *statement)
{
  g_autofree char *name = bl_statement_dup_text (statement, 26), *edition = bl_statement_dup_text (statement, 27);

  if (name == NULL || *name == '\0')
    return g_strdup (_ ("undocumented board"));
  /* Translators: board number, revision mark. */
  return edition != NULL && *edition != '\0' ? g_strdup_printf (_ ("%s, edition %s"), name, edition) : g_strdup (name);
}

static void
read_order (BlStatement *statement, BlDrillRow *row)
{
  g_autofree char *kind = bl_statement_dup_text (statement, 2), *sections = bl_statement_dup_text (statement, 7);
  g_autofree char *faults = bl_statement_dup_text (statement, 8);

  row->planted = !bl_drill_kind_parse (kind, &row->kind);
  row->sections = names_from_json (sections);
  row->faults = faults != NULL ? names_from_json (faults) : NULL;
}

static void
read_score (BlStatement *statement, BlDrillRow *row)
{
  row->scored = bl_statement_type (statement, 17) != BL_VALUE_NULL;
  row->section_kind = bl_statement_dup_text (statement, 15);
  row->family = bl_statement_dup_text (statement, 16);
  row->stage_right = bl_statement_int (statement, 17) != 0;
  row->component_right = bl_statement_int (statement, 18) != 0;
  row->failed = bl_statement_int (statement, 19) != 0;
  row->regret_s = bl_statement_double (statement, 20);
  row->effort_s = bl_statement_double (statement, 21);
  row->n_measured = (guint) bl_statement_int (statement, 22);
  row->n_right = (guint) bl_statement_int (statement, 23);
  row->n_told_nothing = (guint) bl_statement_int (statement, 24);
  row->n_unsafe = (guint) bl_statement_int (statement, 25);
}

static BlDrillRow *
drill_from_row (BlStatement *statement)
{
  BlDrillRow *row = bl_drill_row_new ();

  read_order (statement, row);
  row->id = bl_statement_int (statement, 0);
  row->person = bl_statement_int (statement, 1);
  row->board = bl_statement_int (statement, 3);
  row->equipment = bl_statement_int (statement, 4);
  row->subject = bl_statement_dup_text (statement, 5);
  row->title = title_of (statement);
  row->seed = (guint32) bl_statement_int (statement, 6);
  row->job = bl_statement_int (statement, 9);
  row->made = bl_statement_int (statement, 10);
  row->started = bl_statement_int (statement, 11);
  row->ended = bl_statement_int (statement, 12);
  row->stage = bl_statement_dup_text (statement, 13);
  row->component = bl_statement_dup_text (statement, 14);
  read_score (statement, row);
  return row;
}

GPtrArray *
bl_library_drills (BlLibrary *library, gint64 person, GError **error)
{
  g_autoptr (GPtrArray) drills = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_drill_row_free);
  g_autoptr (BlStatement) statement = NULL;
  BlStep step;

  g_return_val_if_fail (library != NULL, NULL);
  statement = bl_database_prepare (library->database, _ ("listing the drills"),
                                   SELECT_DRILL "WHERE ?1 = 0 OR person = ?1 ORDER BY drill.id DESC", error);
  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, person);
  while ((step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    g_ptr_array_add (drills, drill_from_row (statement));
  return step == BL_STEP_DONE ? g_steal_pointer (&drills) : NULL;
}

BlDrillRow *
bl_library_load_drill (BlLibrary *library, gint64 id, GError **error)
{
  g_autoptr (BlStatement) statement = NULL;
  BlStep step;

  g_return_val_if_fail (library != NULL, NULL);
  statement = bl_database_prepare (library->database, _ ("reading the drill"), SELECT_DRILL "WHERE drill.id = ?1",
                                   error);
  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, id);
  step = bl_statement_step (statement, error);
  if (step == BL_STEP_DONE)
    bl_library_not_found (library, _ ("drill"), id, error);
  return step == BL_STEP_ROW ? drill_from_row (statement) : NULL;
}

/* --- writing --- */

static void
bind_id (BlStatement *statement, int n, gint64 id)
{
  if (id != 0)
    bl_statement_bind_int (statement, n, id);
}

gint64
bl_library_add_drill (BlLibrary *library, const BlDrillRow *row, GError **error)
{
  g_return_val_if_fail (library != NULL && row != NULL && row->subject != NULL, 0);
  static const char *const none[] = { NULL };
  const char *const *sections = row->sections != NULL ? (const char *const *) row->sections : none;
  g_autofree char *listed = names_to_json (sections), *faults = names_to_json ((const char *const *) row->faults);

  if (!bl_library_require (library, "person", _ ("person"), row->person, error))
    return 0;
  g_autoptr (BlStatement) statement = bl_database_prepare (
      library->database, _ ("adding a drill"),
      "INSERT INTO drill (person, kind, board, equipment, subject, seed, sections, faults, made)"
      " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
      error);
  if (statement == NULL)
    return 0;
  bl_statement_bind_int (statement, 1, row->person);
  bl_statement_bind_text (statement, 2, row->planted ? "planted" : bl_drill_kind_name (row->kind));
  bind_id (statement, 3, row->board);
  bind_id (statement, 4, row->equipment);
  bl_statement_bind_text (statement, 5, row->subject);
  bl_statement_bind_int (statement, 6, row->seed);
  bl_statement_bind_text (statement, 7, listed);
  bl_statement_bind_text (statement, 8, faults);
  bl_statement_bind_int (statement, 9, bl_library_now ());
  return bl_statement_run (statement, error) ? bl_database_last_id (library->database) : 0;
}

/* The row that a statement changed must have been as it asks. */
static gboolean
changed_one (BlLibrary *library, const char *why_not, GError **error)
{
  if (bl_database_changes (library->database) == 1)
    return TRUE;
  g_set_error_literal (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID, why_not);
  return FALSE;
}

gboolean
bl_library_delete_drill (BlLibrary *library, gint64 id, GError **error)
{
  g_return_val_if_fail (library != NULL, FALSE);
  g_autoptr (BlStatement) statement = bl_database_prepare (
      library->database, _ ("removing a drill"), "DELETE FROM drill WHERE id = ?1 AND job IS NULL", error);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, id);
  return bl_statement_run (statement, error)
         && changed_one (library, _ ("The drill has begun: it stays in the results."), error);
}

static gboolean
set_begun (BlLibrary *library, gint64 id, gint64 job, const char *faults, GError **error)
{
  g_autoptr (BlStatement) statement = bl_database_prepare (
      library->database, _ ("beginning the drill"),
      "UPDATE drill SET job = ?1, faults = ?2, started = ?3 WHERE id = ?4 AND job IS NULL", error);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, job);
  bl_statement_bind_text (statement, 2, faults);
  bl_statement_bind_int (statement, 3, bl_library_now ());
  bl_statement_bind_int (statement, 4, id);
  return bl_statement_run (statement, error) && changed_one (library, _ ("The drill has begun already."), error);
}

static gint64
begin_drill (BlLibrary *library, gint64 id, const char *const *faults, GError **error)
{
  g_autoptr (BlDrillRow) row = bl_library_load_drill (library, id, error);
  g_autofree char *drawn = names_to_json (faults);
  g_autoptr (BlJob) job = bl_job_new ();

  if (row == NULL)
    return 0;
  job->board = row->board;
  job->equipment = row->equipment;
  gint64 added = bl_library_add_job (library, job, error);
  return added != 0 && set_begun (library, id, added, drawn, error) ? added : 0;
}

gint64
bl_library_begin_drill (BlLibrary *library, gint64 id, const char *const *faults, GError **error)
{
  const char *doing = _ ("beginning the drill");

  g_return_val_if_fail (library != NULL && faults != NULL, 0);
  if (!bl_database_begin (library->database, doing, error))
    return 0;
  gint64 job = begin_drill (library, id, faults, error);
  return bl_database_end (library->database, job != 0, doing, error) ? job : 0;
}

gboolean
bl_library_end_drill (BlLibrary *library, gint64 id, const char *stage, const char *component, GError **error)
{
  g_return_val_if_fail (library != NULL, FALSE);
  g_autoptr (BlStatement) statement = bl_database_prepare (
      library->database, _ ("ending the drill"),
      "UPDATE drill SET stage = ?1, component = ?2, ended = ?3 WHERE id = ?4 AND job IS NOT NULL AND ended IS NULL",
      error);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_text (statement, 1, stage);
  bl_statement_bind_text (statement, 2, component);
  bl_statement_bind_int (statement, 3, bl_library_now ());
  bl_statement_bind_int (statement, 4, id);
  return bl_statement_run (statement, error) && changed_one (library, _ ("The drill is not under way."), error);
}

gboolean
bl_library_score_drill (BlLibrary *library, const BlDrillRow *row, GError **error)
{
  g_return_val_if_fail (library != NULL && row != NULL, FALSE);
  g_autoptr (BlStatement) statement = bl_database_prepare (
      library->database, _ ("keeping the score"),
      "UPDATE drill SET section_kind = ?1, family = ?2, stage_right = ?3, component_right = ?4, failed = ?5,"
      " regret_s = ?6, effort_s = ?7, n_measured = ?8, n_right = ?9, n_told_nothing = ?10, n_unsafe = ?11"
      " WHERE id = ?12 AND ended IS NOT NULL",
      error);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_text (statement, 1, row->section_kind);
  bl_statement_bind_text (statement, 2, row->family);
  bl_statement_bind_int (statement, 3, row->stage_right ? 1 : 0);
  bl_statement_bind_int (statement, 4, row->component_right ? 1 : 0);
  bl_statement_bind_int (statement, 5, row->failed ? 1 : 0);
  bl_statement_bind_double (statement, 6, row->regret_s);
  bl_statement_bind_double (statement, 7, row->effort_s);
  bl_statement_bind_int (statement, 8, row->n_measured);
  bl_statement_bind_int (statement, 9, row->n_right);
  bl_statement_bind_int (statement, 10, row->n_told_nothing);
  bl_statement_bind_int (statement, 11, row->n_unsafe);
  bl_statement_bind_int (statement, 12, row->id);
  return bl_statement_run (statement, error) && changed_one (library, _ ("The drill has not ended."), error);
}

gboolean
bl_library_is_drilled (BlLibrary *library, gint64 board, gint64 equipment, gboolean *drilled, GError **error)
{
  g_return_val_if_fail (library != NULL && drilled != NULL, FALSE);
  g_autoptr (BlStatement) statement = bl_database_prepare (
      library->database, _ ("looking for drills"),
      "SELECT 1 FROM drill WHERE board = ?1 OR equipment = ?2"
      " OR equipment IN (SELECT equipment FROM equipment_board WHERE board = ?1) LIMIT 1",
      error);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, board);
  bl_statement_bind_int (statement, 2, equipment);
  BlStep step = bl_statement_step (statement, error);
  *drilled = step == BL_STEP_ROW;
  return step != BL_STEP_ERROR;
}
