/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A thin skin over SQLite: GError with plain words instead of result codes, a step that tells row,
 * end and error apart, transactions that nest.
 *
 * Every connection runs with synchronous=FULL: a technician's entry must survive the plug being
 * pulled the moment after. A library holds some hundred boards and some ten thousand log lines, so
 * statements are prepared anew for each call; nothing is cached. No table is known here. */
#include "config.h"

#include "bl-database.h"
#include "bl-file-locks.h"

#include <glib/gi18n-lib.h>
#include <glib/gstdio.h>
#include <sqlite3.h>

#include <math.h>
#include <string.h>

#define BUSY_MS 10000

struct BlDatabase
{
  sqlite3 *handle;
  char *path;
  gboolean read_only;
  int depth; /* open transactions, the outermost included */
};

struct BlStatement
{
  BlDatabase *database; /* outlives the statement */
  sqlite3_stmt *handle;
  const char *doing;
  GPtrArray *kept; /* GBytes bound, until freed */
  int bind_result; /* first failed bind, or SQLITE_OK */
};

G_DEFINE_QUARK (bl - store - error - quark, bl_store_error)

static int
code_for (int result)
{
  switch (result & 0xff)
    {
    case SQLITE_CANTOPEN:
    case SQLITE_NOTADB:
    case SQLITE_PERM:
      return BL_STORE_ERROR_OPEN;
    case SQLITE_READONLY:
      return BL_STORE_ERROR_READ_ONLY;
    case SQLITE_FULL:
      return BL_STORE_ERROR_FULL;
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return BL_STORE_ERROR_BUSY;
    case SQLITE_CORRUPT:
      return BL_STORE_ERROR_CORRUPT;
    case SQLITE_CONSTRAINT:
    case SQLITE_MISMATCH:
    case SQLITE_TOOBIG:
      return BL_STORE_ERROR_INVALID;
    default:
      return BL_STORE_ERROR_FAILED;
    }
}

/* NULL where SQLite's own message says more. */
static const char *
reason_for (int result)
{
  switch (result & 0xff)
    {
    case SQLITE_CANTOPEN:
      return _ ("the file cannot be opened");
    case SQLITE_PERM:
      return _ ("no permission");
    case SQLITE_NOTADB:
      return _ ("the file is not a library");
    case SQLITE_READONLY:
      return _ ("the file may only be read");
    case SQLITE_FULL:
      return _ ("no room left on the disk");
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return _ ("another program is writing to it");
    case SQLITE_CORRUPT:
      return _ ("the file is damaged");
    case SQLITE_IOERR:
      return _ ("the disk could not be read or written");
    case SQLITE_NOMEM:
      return _ ("no memory left");
    default:
      return NULL;
    }
}

static void
set_error (BlDatabase *database, int result, const char *doing, GError **error)
{
  const char *reason = reason_for (result);

  if (reason == NULL)
    reason = database->handle != NULL ? sqlite3_errmsg (database->handle) : sqlite3_errstr (result);
  /* Translators: file, what was being done to it, the reason. */
  g_set_error (error, BL_STORE_ERROR, code_for (result), _ ("%s: %s: %s"), database->path, doing,
               reason);
}

/* --- opening --- */

/* An address with the open mode; path may hold any character. immutable: the folder may not be
 * written, so there can be neither a log beside the file nor a writer. */
static char *
address (const char *path, BlDatabaseFlags flags, gboolean immutable, GError **error)
{
  g_autofree char *absolute = g_canonicalize_filename (path, NULL);
  g_autofree char *uri = g_filename_to_uri (absolute, NULL, error);
  const char *mode = flags & BL_DATABASE_READ_ONLY ? "ro"
                     : flags & BL_DATABASE_CREATE  ? "rwc"
                                                   : "rw";

  if (uri == NULL)
    return NULL;
  return g_strdup_printf ("%s?mode=%s%s", uri, mode, immutable ? "&immutable=1" : "");
}

static int
open_handle (BlDatabase *database, BlDatabaseFlags flags, gboolean immutable, GError **error)
{
  gboolean in_memory = g_str_equal (database->path, ":memory:");
  g_autofree char *where =
      in_memory ? g_strdup (":memory:") : address (database->path, flags, immutable, error);
  int result;

  if (where == NULL)
    return SQLITE_CANTOPEN;
  result = sqlite3_open_v2 (where, &database->handle,
                            SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE | SQLITE_OPEN_URI |
                                SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_EXRESCODE,
                            NULL);
  if (result == SQLITE_OK)
    {
      sqlite3_busy_timeout (database->handle, BUSY_MS);
      /* Opening reads nothing; this does, and fails for what is no database. */
      result = sqlite3_exec (database->handle, "PRAGMA schema_version", NULL, NULL, NULL);
    }
  if (result != SQLITE_OK)
    {
      set_error (database, result, _ ("opening"), error);
      sqlite3_close_v2 (g_steal_pointer (&database->handle));
    }
  return result;
}

static gboolean
get_text (BlDatabase *database, const char *sql, char **text, GError **error)
{
  g_autoptr (BlStatement) statement = bl_database_prepare (database, _ ("opening"), sql, error);
  BlStep step = statement != NULL ? bl_statement_step (statement, error) : BL_STEP_ERROR;

  *text = step == BL_STEP_ROW ? bl_statement_dup_text (statement, 0) : NULL;
  return step == BL_STEP_ROW;
}

/* Sets a PRAGMA and reads it back. */
static gboolean
require_number (BlDatabase *database, const char *name, gint64 wanted, GError **error)
{
  g_autofree char *set = g_strdup_printf ("PRAGMA %s = %" G_GINT64_FORMAT, name, wanted);
  g_autofree char *get = g_strdup_printf ("PRAGMA %s", name);
  gint64 found = -1;

  if (!bl_database_run (database, _ ("opening"), set, error) ||
      !bl_database_get_number (database, _ ("opening"), get, &found, error))
    return FALSE;
  if (found == wanted)
    return TRUE;
  g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_FAILED, "%s: %s stayed at %" G_GINT64_FORMAT,
               database->path, name, found);
  return FALSE;
}

/* A write-ahead log survives a kill without a rewrite of pages; a disk that cannot share memory
 * between programs (some network folders) gets the rollback journal, which is as safe. */
static gboolean
set_journal (BlDatabase *database, GError **error)
{
  g_autofree char *mode = NULL;

  if (database->read_only)
    return TRUE;
  if (!get_text (database, "PRAGMA journal_mode = wal", &mode, error))
    return FALSE;
  if (g_strcmp0 (mode, "wal") == 0 || g_strcmp0 (mode, "memory") == 0 ||
      g_strcmp0 (mode, "delete") == 0)
    return TRUE;
  g_clear_pointer (&mode, g_free);
  if (!get_text (database, "PRAGMA journal_mode = delete", &mode, error))
    return FALSE;
  if (g_strcmp0 (mode, "delete") == 0)
    return TRUE;
  g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_FAILED, "%s: journal_mode stayed at %s",
               database->path, mode);
  return FALSE;
}

static gboolean
configure (BlDatabase *database, GError **error)
{
  return set_journal (database, error) && require_number (database, "synchronous", 2, error) &&
         require_number (database, "foreign_keys", 1, error) &&
         require_number (database, "trusted_schema", 0, error) &&
         require_number (database, "recursive_triggers", 1, error);
}

BlDatabase *
bl_database_open (const char *path, BlDatabaseFlags flags, GError **error)
{
  g_autoptr (BlDatabase) database = g_new0 (BlDatabase, 1);
  gboolean in_memory;
  int result;

  g_return_val_if_fail (path != NULL, NULL);
  bl_file_locks_install ();
  in_memory = g_str_equal (path, ":memory:");
  database->path = g_strdup (path);
  if (!in_memory && g_file_test (path, G_FILE_TEST_EXISTS) && g_access (path, W_OK) != 0)
    flags |= BL_DATABASE_READ_ONLY;
  database->read_only = (flags & BL_DATABASE_READ_ONLY) != 0;
  if (database->read_only)
    {
      result = open_handle (database, flags, FALSE, NULL);
      if (result != SQLITE_OK && open_handle (database, flags, TRUE, error) != SQLITE_OK)
        return NULL;
    }
  else if (open_handle (database, flags, FALSE, error) != SQLITE_OK)
    return NULL;
  if (sqlite3_db_readonly (database->handle, "main") == 1)
    database->read_only = TRUE;
  return configure (database, error) ? g_steal_pointer (&database) : NULL;
}

void
bl_database_close (BlDatabase *database)
{
  if (database == NULL)
    return;
  if (database->handle != NULL && sqlite3_close (database->handle) != SQLITE_OK)
    {
      g_critical ("%s closed with statements alive", database->path);
      sqlite3_close_v2 (database->handle);
    }
  g_free (database->path);
  g_free (database);
}

const char *
bl_database_path (BlDatabase *database)
{
  return database->path;
}

gboolean
bl_database_is_read_only (BlDatabase *database)
{
  return database->read_only;
}

gint64
bl_database_last_id (BlDatabase *database)
{
  return sqlite3_last_insert_rowid (database->handle);
}

gint64
bl_database_changes (BlDatabase *database)
{
  return sqlite3_changes64 (database->handle);
}

/* --- running --- */

gboolean
bl_database_run (BlDatabase *database, const char *doing, const char *sql, GError **error)
{
  int result = sqlite3_exec (database->handle, sql, NULL, NULL, NULL);

  if (result != SQLITE_OK)
    set_error (database, result, doing, error);
  return result == SQLITE_OK;
}

gboolean
bl_database_get_number (BlDatabase *database,
                        const char *doing,
                        const char *sql,
                        gint64 *number,
                        GError **error)
{
  g_autoptr (BlStatement) statement = bl_database_prepare (database, doing, sql, error);
  BlStep step = statement != NULL ? bl_statement_step (statement, error) : BL_STEP_ERROR;

  if (step == BL_STEP_ROW)
    *number = bl_statement_int (statement, 0);
  else if (step == BL_STEP_DONE)
    g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND, _ ("%s: %s: %s"), database->path,
                 doing, _ ("nothing found"));
  return step == BL_STEP_ROW;
}

static char *
savepoint (const char *verb, int depth)
{
  return g_strdup_printf ("%s bl_%d", verb, depth);
}

gboolean
bl_database_begin (BlDatabase *database, const char *doing, GError **error)
{
  g_autofree char *sql = database->depth == 0 ? g_strdup ("BEGIN IMMEDIATE")
                                              : savepoint ("SAVEPOINT", database->depth);

  if (!bl_database_run (database, doing, sql, error))
    return FALSE;
  database->depth++;
  return TRUE;
}

gboolean
bl_database_commit (BlDatabase *database, const char *doing, GError **error)
{
  g_autofree char *sql = NULL;

  g_return_val_if_fail (database->depth > 0, FALSE);
  sql = database->depth == 1 ? g_strdup ("COMMIT") : savepoint ("RELEASE", database->depth - 1);
  if (!bl_database_run (database, doing, sql, error))
    {
      bl_database_rollback (database);
      return FALSE;
    }
  database->depth--;
  return TRUE;
}

/* SQLite may have rolled back by itself already (disk full, damage); then there is nothing to do.
 */
void
bl_database_rollback (BlDatabase *database)
{
  g_return_if_fail (database->depth > 0);
  database->depth--;
  if (sqlite3_get_autocommit (database->handle))
    return;
  if (database->depth == 0)
    sqlite3_exec (database->handle, "ROLLBACK", NULL, NULL, NULL);
  else
    {
      g_autofree char *back = savepoint ("ROLLBACK TO", database->depth);
      g_autofree char *release = savepoint ("RELEASE", database->depth);
      sqlite3_exec (database->handle, back, NULL, NULL, NULL);
      sqlite3_exec (database->handle, release, NULL, NULL, NULL);
    }
}

gboolean
bl_database_end (BlDatabase *database, gboolean ok, const char *doing, GError **error)
{
  if (ok)
    return bl_database_commit (database, doing, error);
  bl_database_rollback (database);
  return FALSE;
}

/* --- statements --- */

BlStatement *
bl_database_prepare (BlDatabase *database, const char *doing, const char *sql, GError **error)
{
  sqlite3_stmt *handle = NULL;
  int result = sqlite3_prepare_v2 (database->handle, sql, -1, &handle, NULL);
  BlStatement *statement;

  if (result != SQLITE_OK)
    {
      set_error (database, result, doing, error);
      return NULL;
    }
  statement = g_new0 (BlStatement, 1);
  statement->database = database;
  statement->handle = handle;
  statement->doing = doing;
  statement->kept = g_ptr_array_new_with_free_func ((GDestroyNotify) g_bytes_unref);
  return statement;
}

void
bl_statement_free (BlStatement *statement)
{
  if (statement == NULL)
    return;
  sqlite3_finalize (statement->handle);
  g_ptr_array_unref (statement->kept);
  g_free (statement);
}

static void
bound (BlStatement *statement, int result)
{
  if (statement->bind_result == SQLITE_OK)
    statement->bind_result = result;
}

void
bl_statement_bind_int (BlStatement *statement, int index, gint64 value)
{
  bound (statement, sqlite3_bind_int64 (statement->handle, index, value));
}

void
bl_statement_bind_double (BlStatement *statement, int index, double value)
{
  bound (statement, isnan (value) ? sqlite3_bind_null (statement->handle, index)
                                  : sqlite3_bind_double (statement->handle, index, value));
}

void
bl_statement_bind_text (BlStatement *statement, int index, const char *text)
{
  bound (statement, sqlite3_bind_text (statement->handle, index, text, -1, SQLITE_TRANSIENT));
}

void
bl_statement_bind_bytes (BlStatement *statement, int index, GBytes *bytes)
{
  gsize size = 0;
  gconstpointer data;

  if (bytes == NULL)
    {
      bound (statement, sqlite3_bind_null (statement->handle, index));
      return;
    }
  data = g_bytes_get_data (bytes, &size);
  g_ptr_array_add (statement->kept, g_bytes_ref (bytes));
  bound (statement,
         size == 0 ? sqlite3_bind_zeroblob (statement->handle, index, 0)
                   : sqlite3_bind_blob64 (statement->handle, index, data, size, SQLITE_STATIC));
}

BlStep
bl_statement_step (BlStatement *statement, GError **error)
{
  int result = statement->bind_result;

  if (result == SQLITE_OK)
    result = sqlite3_step (statement->handle);
  if (result == SQLITE_ROW)
    return BL_STEP_ROW;
  if (result == SQLITE_DONE)
    return BL_STEP_DONE;
  set_error (statement->database, result, statement->doing, error);
  return BL_STEP_ERROR;
}

gboolean
bl_statement_run (BlStatement *statement, GError **error)
{
  BlStep step;

  do
    step = bl_statement_step (statement, error);
  while (step == BL_STEP_ROW);
  return step == BL_STEP_DONE;
}

void
bl_statement_reset (BlStatement *statement)
{
  sqlite3_reset (statement->handle);
  sqlite3_clear_bindings (statement->handle);
  g_ptr_array_set_size (statement->kept, 0);
  statement->bind_result = SQLITE_OK;
}

BlValueType
bl_statement_type (BlStatement *statement, int column)
{
  switch (sqlite3_column_type (statement->handle, column))
    {
    case SQLITE_INTEGER:
      return BL_VALUE_INT;
    case SQLITE_FLOAT:
      return BL_VALUE_REAL;
    case SQLITE_TEXT:
      return BL_VALUE_TEXT;
    case SQLITE_BLOB:
      return BL_VALUE_BYTES;
    default:
      return BL_VALUE_NULL;
    }
}

gint64
bl_statement_int (BlStatement *statement, int column)
{
  return sqlite3_column_int64 (statement->handle, column);
}

double
bl_statement_double (BlStatement *statement, int column)
{
  if (sqlite3_column_type (statement->handle, column) == SQLITE_NULL)
    return NAN;
  return sqlite3_column_double (statement->handle, column);
}

char *
bl_statement_dup_text (BlStatement *statement, int column)
{
  return g_strdup ((const char *) sqlite3_column_text (statement->handle, column));
}

GBytes *
bl_statement_dup_bytes (BlStatement *statement, int column)
{
  gconstpointer data;

  if (sqlite3_column_type (statement->handle, column) == SQLITE_NULL)
    return NULL;
  data = sqlite3_column_blob (statement->handle, column);
  return g_bytes_new (data, (gsize) sqlite3_column_bytes (statement->handle, column));
}
