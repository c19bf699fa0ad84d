/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What of the checklist does not apply to a board: the shop's own word, beside the document. */
#include "config.h"

#include "bl-library-private.h"

#include <glib/gi18n-lib.h>

gboolean
bl_library_set_aside (BlLibrary *library, gint64 board, const char *thing, gboolean aside, GError **error)
{
  g_return_val_if_fail (library != NULL && thing != NULL, FALSE);
  g_autofree char *escaped = g_uri_escape_string (thing, NULL, TRUE);
  g_autofree char *subject = g_strdup_printf ("%" G_GINT64_FORMAT "\t%s", board, escaped);
  g_autoptr (BlStatement) statement = NULL;

  if (!bl_library_require (library, "board", _ ("board"), board, error)
      || !bl_step_touch (library, "set-aside", subject, error))
    return FALSE;
  statement = bl_database_prepare (library->database, _ ("keeping what does not apply"),
                                   aside ? "INSERT INTO set_aside (board, thing, time) VALUES (?1, ?2, ?3)"
                                           " ON CONFLICT DO NOTHING"
                                         : "DELETE FROM set_aside WHERE board = ?1 AND thing = ?2",
                                   error);
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, board);
  bl_statement_bind_text (statement, 2, escaped);
  if (aside)
    bl_statement_bind_int (statement, 3, bl_library_now ());
  return bl_statement_run (statement, error);
}

GHashTable *
bl_library_things_aside (BlLibrary *library, gint64 board, GError **error)
{
  g_return_val_if_fail (library != NULL, NULL);
  g_autoptr (GHashTable) things = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  g_autoptr (BlStatement) statement
    = bl_database_prepare (library->database, _ ("reading what does not apply"),
                           "SELECT thing FROM set_aside WHERE board = ?1", error);
  BlStep step = BL_STEP_ERROR;

  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, board);
  while ((step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    {
      g_autofree char *escaped = bl_statement_dup_text (statement, 0);
      char *thing = g_uri_unescape_string (escaped, NULL);
      if (thing != NULL)
        g_hash_table_add (things, thing);
    }
  return step == BL_STEP_DONE ? g_steal_pointer (&things) : NULL;
}
