/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Opening and closing a library; what its tables share. One file per table beside this one:
 * bl-library-boards.c, bl-library-photos.c, bl-library-jobs.c, bl-library-log.c; what can be undone: bl-library-steps.c. */
#include "config.h"

#include "bl-library.h"

#include "bl-library-private.h"
#include "bl-library-steps.h"
#include "bl-tables.h"

#include <errno.h>
#include <glib/gi18n-lib.h>

char *
bl_library_default_path (void)
{
  return g_build_filename (g_get_user_data_dir (), "benchlore", "library.benchlore-library", NULL);
}

static gboolean
make_folder (const char *path, GError **error)
{
  g_autofree char *folder = g_path_get_dirname (path);

  if (g_mkdir_with_parents (folder, 0700) == 0)
    return TRUE;
  g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_OPEN, _ ("%s: the folder cannot be made: %s"),
               folder, g_strerror (errno));
  return FALSE;
}

BlLibrary *
bl_library_open (const char *path, gboolean create, GError **error)
{
  g_autoptr (BlLibrary) library = g_new0 (BlLibrary, 1);
  guint n_steps = 0;
  const BlMigration *steps = bl_tables_steps (&n_steps);
  gboolean in_memory;

  g_return_val_if_fail (path != NULL, NULL);
  in_memory = g_str_equal (path, ":memory:");
  if (!in_memory && !create && !g_file_test (path, G_FILE_TEST_EXISTS))
    {
      g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_OPEN, _ ("%s: there is no such library"),
                   path);
      return NULL;
    }
  if (!in_memory && create && !make_folder (path, error))
    return NULL;
  library->boards = bl_board_cache_new ();
  library->database = bl_database_open (path, create ? BL_DATABASE_CREATE : 0, error);
  if (library->database == NULL || !bl_tables_prepare (library->database, steps, n_steps, error))
    return NULL;
  bl_steps_forget (library);
  return g_steal_pointer (&library);
}

void
bl_library_close (BlLibrary *library)
{
  if (library == NULL)
    return;
  bl_step_close (library);
  bl_database_close (library->database);
  bl_board_cache_free (library->boards);
  g_free (library);
}

const char *
bl_library_path (BlLibrary *library)
{
  g_return_val_if_fail (library != NULL, NULL);
  return bl_database_path (library->database);
}

gboolean
bl_library_is_read_only (BlLibrary *library)
{
  g_return_val_if_fail (library != NULL, TRUE);
  return bl_database_is_read_only (library->database);
}

gboolean
bl_library_begin (BlLibrary *library, const char *doing, GError **error)
{
  g_return_val_if_fail (library != NULL, FALSE);
  return bl_database_begin (library->database, doing, error);
}

gboolean
bl_library_end (BlLibrary *library, gboolean ok, const char *doing, GError **error)
{
  g_return_val_if_fail (library != NULL, FALSE);
  return bl_database_end (library->database, ok, doing, error);
}

gboolean
bl_library_not_found (BlLibrary *library, const char *what, gint64 id, GError **error)
{
  /* Translators: file, what was looked for ("job"), its number. */
  g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND,
               _ ("%s: there is no %s %" G_GINT64_FORMAT), bl_database_path (library->database),
               what, id);
  return FALSE;
}

gboolean
bl_library_require (BlLibrary *library,
                    const char *table,
                    const char *what,
                    gint64 id,
                    GError **error)
{
  /* One that is only out of sight until its deletion is forgotten is not there for anything new. */
  g_autofree char *sql = g_strdup_printf ("SELECT 1 FROM %s WHERE id = ?1%s", table,
                                          g_str_equal (table, "board") ? " AND NOT deleted" : "");
  g_autoptr (BlStatement) statement =
      bl_database_prepare (library->database, C_ ("the library file", "reading"), sql, error);
  BlStep step;

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, id);
  step = bl_statement_step (statement, error);
  return step == BL_STEP_ROW ||
         (step == BL_STEP_DONE && bl_library_not_found (library, what, id, error));
}

static BlLibraryClock clock_of_tests;

void
bl_library_set_clock (BlLibraryClock clock)
{
  clock_of_tests = clock;
}

char *
bl_library_new_uid (void)
{
  g_autofree char *uuid = g_uuid_string_random ();
  g_auto (GStrv) parts = g_strsplit (uuid, "-", -1);

  return g_strjoinv ("", parts);
}

gint64
bl_library_now (void)
{
  return clock_of_tests != NULL ? clock_of_tests () : g_get_real_time ();
}
