/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shop's meters: a handful of rows, each a document of some kilobytes. A meter that is removed is
 * only taken out of use, so that a job that names it can still tell which one it was; readings never
 * ask for it, they carry the accuracy of the range they were taken in. */
#include "config.h"

#include "bl-library-private.h"

#include <glib/gi18n-lib.h>

static BlShopMeter *
meter_from_row (BlLibrary *library, BlStatement *statement, GError **error)
{
  g_autofree char *document = bl_statement_dup_text (statement, 1);
  BlShopMeter *meter = bl_shop_meter_from_json (document, -1, error);

  if (meter == NULL)
    g_prefix_error (error, _ ("%s: meter %d: "), bl_database_path (library->database),
                    (int) bl_statement_int (statement, 0));
  else
    meter->id = bl_statement_int (statement, 0);
  return meter;
}

GPtrArray *
bl_library_meters (BlLibrary *library, GError **error)
{
  g_autoptr (GPtrArray) meters = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_shop_meter_free);
  g_autoptr (BlStatement) statement = NULL;
  BlStep step;

  g_return_val_if_fail (library != NULL, NULL);
  statement = bl_database_prepare (library->database, _ ("reading the meters"),
                                   "SELECT id, document FROM meter WHERE removed = 0 ORDER BY id", error);
  if (statement == NULL)
    return NULL;
  while ((step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    {
      BlShopMeter *meter = meter_from_row (library, statement, error);
      if (meter == NULL)
        return NULL;
      g_ptr_array_add (meters, meter);
    }
  return step == BL_STEP_DONE ? g_steal_pointer (&meters) : NULL;
}

BlShopMeter *
bl_library_load_meter (BlLibrary *library, gint64 id, gboolean *removed, GError **error)
{
  g_autoptr (BlStatement) statement = NULL;
  BlStep step;

  g_return_val_if_fail (library != NULL, NULL);
  statement = bl_database_prepare (library->database, _ ("reading the meter"),
                                   "SELECT id, document, removed FROM meter WHERE id = ?1", error);
  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, id);
  step = bl_statement_step (statement, error);
  if (step == BL_STEP_DONE)
    bl_library_not_found (library, _ ("meter"), id, error);
  if (step != BL_STEP_ROW)
    return NULL;
  if (removed != NULL)
    *removed = bl_statement_int (statement, 2) != 0;
  return meter_from_row (library, statement, error);
}

static gboolean
set_removed (BlLibrary *library, gint64 id, gboolean removed, GError **error)
{
  g_autoptr (BlStatement) statement = bl_database_prepare (library->database, _ ("saving the meter"),
                                                           "UPDATE meter SET removed = ?1 WHERE id = ?2", error);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, removed ? 1 : 0);
  bl_statement_bind_int (statement, 2, id);
  return bl_statement_run (statement, error);
}

gboolean
bl_library_put_meter (BlLibrary *library, BlShopMeter *meter, GError **error)
{
  const char *doing = _ ("saving the meter");
  g_autoptr (BlStatement) statement = NULL;
  g_autofree char *document = NULL;

  g_return_val_if_fail (library != NULL && meter != NULL, FALSE);
  if (!bl_shop_meter_validate (meter, error))
    return FALSE;
  if (meter->id != 0
      && (!bl_library_require (library, "meter", _ ("meter"), meter->id, error)
          || !bl_step_touch_id (library, "meter", meter->id, error)))
    return FALSE;
  statement = bl_database_prepare (
      library->database, doing,
      meter->id == 0 ? "INSERT INTO meter (name, document, changed) VALUES (?1, ?2, ?3)"
                     : "UPDATE meter SET name = ?1, document = ?2, changed = ?3, removed = 0 WHERE id = ?4",
      error);
  if (statement == NULL)
    return FALSE;
  document = bl_shop_meter_to_json (meter);
  bl_statement_bind_text (statement, 1, meter->name);
  bl_statement_bind_text (statement, 2, document);
  bl_statement_bind_int (statement, 3, bl_library_now ());
  if (meter->id != 0)
    bl_statement_bind_int (statement, 4, meter->id);
  if (!bl_statement_run (statement, error))
    return FALSE;
  if (meter->id != 0)
    return TRUE;
  meter->id = bl_database_last_id (library->database);
  /* For a step of undo a new meter is one that was out of use before. */
  return !bl_step_is_open (library)
         || (set_removed (library, meter->id, TRUE, error) && bl_step_touch_id (library, "meter", meter->id, error)
             && set_removed (library, meter->id, FALSE, error));
}

gboolean
bl_library_delete_meter (BlLibrary *library, gint64 id, GError **error)
{
  g_autoptr (BlStatement) statement = NULL;

  g_return_val_if_fail (library != NULL, FALSE);
  if (!bl_library_require (library, "meter", _ ("meter"), id, error)
      || !bl_step_touch_id (library, "meter", id, error))
    return FALSE;
  statement = bl_database_prepare (library->database, _ ("removing the meter"),
                                   "UPDATE meter SET removed = 1, usual = 0, changed = ?1 WHERE id = ?2", error);
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, bl_library_now ());
  bl_statement_bind_int (statement, 2, id);
  return bl_statement_run (statement, error);
}

gboolean
bl_library_get_usual_meter (BlLibrary *library, gint64 *id, GError **error)
{
  g_autoptr (BlStatement) statement = NULL;
  BlStep step;

  g_return_val_if_fail (library != NULL && id != NULL, FALSE);
  *id = 0;
  statement = bl_database_prepare (library->database, _ ("reading the meters"),
                                   "SELECT id FROM meter WHERE usual = 1 AND removed = 0 LIMIT 1", error);
  if (statement == NULL)
    return FALSE;
  step = bl_statement_step (statement, error);
  if (step == BL_STEP_ROW)
    *id = bl_statement_int (statement, 0);
  return step != BL_STEP_ERROR;
}

gboolean
bl_library_set_usual_meter (BlLibrary *library, gint64 id, GError **error)
{
  g_autoptr (BlStatement) statement = NULL;

  g_return_val_if_fail (library != NULL, FALSE);
  gint64 usual = 0;
  if (id != 0 && !bl_library_require (library, "meter", _ ("meter"), id, error))
    return FALSE;
  if (bl_step_is_open (library)
      && (!bl_library_get_usual_meter (library, &usual, error)
          || (usual != 0 && !bl_step_touch_id (library, "meter", usual, error))
          || (id != 0 && !bl_step_touch_id (library, "meter", id, error))))
    return FALSE;
  statement = bl_database_prepare (library->database, _ ("saving which meter is the usual one"),
                                   "UPDATE meter SET usual = (id = ?1) WHERE usual <> (id = ?1)", error);
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, id);
  return bl_statement_run (statement, error);
}
