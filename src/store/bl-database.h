/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-store-error.h"

G_BEGIN_DECLS

/* One connection to one SQLite file. For one thread. */
typedef struct BlDatabase BlDatabase;
typedef struct BlStatement BlStatement;

typedef enum
{
  BL_DATABASE_CREATE = 1 << 0,   /* make the file when there is none */
  BL_DATABASE_READ_ONLY = 1 << 1 /* never write, not even a journal beside it */
} BlDatabaseFlags;

/* Stored in every file of ours, so that another program's database is told apart: "BnLr". */
#define BL_DATABASE_APPLICATION_ID 0x426e4c72

/* Opens path (":memory:" for a twin in memory) and sets what every connection needs, reading it
 * back: write-ahead log where the disk can do it, a sync at every commit, foreign keys on, ten
 * seconds of patience with another writer. A file without write permission opens read-only. Returns
 * NULL with BL_STORE_ERROR_OPEN or a more telling code. (transfer full) */
BlDatabase *bl_database_open (const char *path, BlDatabaseFlags flags, GError **error);
void bl_database_close (BlDatabase *database);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlDatabase, bl_database_close)

const char *bl_database_path (BlDatabase *database);
gboolean bl_database_is_read_only (BlDatabase *database);
gint64 bl_database_last_id (BlDatabase *database);
/* Rows changed by the last statement. */
gint64 bl_database_changes (BlDatabase *database);

/* doing, here and below: what is being done, for the message of an error, as in "saving the
 * reading". It must outlive the statement. Runs all statements of sql, ignoring rows. */
gboolean bl_database_run (BlDatabase *database, const char *doing, const char *sql, GError **error);
/* A PRAGMA or other statement of one number. */
gboolean bl_database_get_number (BlDatabase *database,
                                 const char *doing,
                                 const char *sql,
                                 gint64 *number,
                                 GError **error);

/* Transactions nest: an inner one is a part that can be taken back alone. The outermost takes the
 * write lock at once, so a second writer waits there and nowhere else. */
gboolean bl_database_begin (BlDatabase *database, const char *doing, GError **error);
gboolean bl_database_commit (BlDatabase *database, const char *doing, GError **error);
void bl_database_rollback (BlDatabase *database);
/* Commits when ok is TRUE, rolls back otherwise. Returns TRUE when it was committed. */
gboolean bl_database_end (BlDatabase *database, gboolean ok, const char *doing, GError **error);

/* (transfer full) */
BlStatement *
bl_database_prepare (BlDatabase *database, const char *doing, const char *sql, GError **error);
void bl_statement_free (BlStatement *statement);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlStatement, bl_statement_free)

/* Binding, index from 1. NULL text, NULL bytes and NAN are bound as NULL. Values are copied, bytes
 * are referenced until the statement is freed. A failed bind makes the next step fail. */
void bl_statement_bind_int (BlStatement *statement, int index, gint64 value);
void bl_statement_bind_double (BlStatement *statement, int index, double value);
void bl_statement_bind_text (BlStatement *statement, int index, const char *text);
void bl_statement_bind_bytes (BlStatement *statement, int index, GBytes *bytes);

/* A row and an error are never mixed up. */
typedef enum
{
  BL_STEP_ERROR = -1,
  BL_STEP_DONE = 0,
  BL_STEP_ROW = 1
} BlStep;
BlStep bl_statement_step (BlStatement *statement, GError **error);
/* Steps to the end, ignoring rows. */
gboolean bl_statement_run (BlStatement *statement, GError **error);
/* Back to the start with the bindings cleared. */
void bl_statement_reset (BlStatement *statement);

typedef enum
{
  BL_VALUE_NULL,
  BL_VALUE_INT,
  BL_VALUE_REAL,
  BL_VALUE_TEXT,
  BL_VALUE_BYTES
} BlValueType;
/* What a column of the row stepped to holds. */
BlValueType bl_statement_type (BlStatement *statement, int column);
/* Columns of the row stepped to, index from 0; NULL gives 0, NAN, NULL. */
gint64 bl_statement_int (BlStatement *statement, int column);
double bl_statement_double (BlStatement *statement, int column);
char *bl_statement_dup_text (BlStatement *statement, int column);    /* (transfer full) */
GBytes *bl_statement_dup_bytes (BlStatement *statement, int column); /* (transfer full) */

G_END_DECLS
