/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The tables of a library and how older files become newer ones.
 *
 * A board is stored as its document plus the columns that lists need: the document is the one
 * truth, the columns are written from it in the same transaction. Log lines and strikes are
 * append-only by trigger, so that no part of the program, and no other program, can quietly change
 * what was read. STRICT tables refuse text where a number belongs. Times are UTC in microseconds
 * since 1970. */
#include "config.h"

#include "bl-tables.h"

#include <glib/gi18n-lib.h>
#include <glib/gstdio.h>

#include <fcntl.h>
#include <unistd.h>

static const char version_1[] =
    "CREATE TABLE board ("
    "  id INTEGER PRIMARY KEY,"
    "  uid TEXT NOT NULL UNIQUE CHECK (uid <> ''),"
    "  maker TEXT, model TEXT, board_number TEXT, edition TEXT,"
    "  provisional INTEGER NOT NULL CHECK (provisional IN (0, 1)),"
    "  n_measurements INTEGER NOT NULL, n_components INTEGER NOT NULL,"
    "  document TEXT NOT NULL,"
    "  changed INTEGER NOT NULL"
    ") STRICT;"
    "CREATE TABLE board_photo ("
    "  board INTEGER NOT NULL REFERENCES board (id) ON DELETE CASCADE,"
    "  photo TEXT NOT NULL,"
    "  mime TEXT NOT NULL,"
    "  image BLOB NOT NULL,"
    "  thumbnail BLOB,"
    "  PRIMARY KEY (board, photo)"
    ") STRICT;"
    "CREATE TABLE job ("
    "  id INTEGER PRIMARY KEY,"
    "  number INTEGER NOT NULL UNIQUE CHECK (number > 0),"
    "  board INTEGER NOT NULL REFERENCES board (id) ON DELETE RESTRICT,"
    "  customer TEXT, unit TEXT, serial TEXT, complaint TEXT, cause TEXT,"
    "  closed INTEGER NOT NULL CHECK (closed IN (0, 1)),"
    "  created INTEGER NOT NULL, changed INTEGER NOT NULL"
    ") STRICT;"
    "CREATE INDEX job_board ON job (board);"
    "CREATE TABLE job_photo ("
    "  id INTEGER PRIMARY KEY,"
    "  job INTEGER NOT NULL REFERENCES job (id) ON DELETE RESTRICT,"
    "  time INTEGER NOT NULL,"
    "  title TEXT, mime TEXT NOT NULL, image BLOB NOT NULL"
    ") STRICT;"
    "CREATE INDEX job_photo_job ON job_photo (job);"
    "CREATE TABLE record ("
    "  id INTEGER PRIMARY KEY AUTOINCREMENT," /* a number is never used again */
    "  job INTEGER NOT NULL REFERENCES job (id) ON DELETE RESTRICT,"
    "  time INTEGER NOT NULL,"
    "  kind TEXT NOT NULL CHECK (kind IN ('reading', 'part test', 'replaced', 'round', 'symptom',"
    "                                     'state', 'proof', 'meter', 'mark', 'note')),"
    "  subject TEXT, text TEXT,"
    "  state TEXT, black TEXT, meter TEXT, misread REAL,"
    "  expected TEXT, band TEXT, verdict TEXT,"
    "  unproven INTEGER NOT NULL CHECK (unproven IN (0, 1)),"
    "  photo TEXT, x REAL, y REAL"
    ") STRICT;"
    "CREATE INDEX record_job ON record (job);"
    "CREATE TABLE strike ("
    "  id INTEGER PRIMARY KEY AUTOINCREMENT,"
    "  record INTEGER NOT NULL REFERENCES record (id) ON DELETE RESTRICT,"
    "  time INTEGER NOT NULL,"
    "  struck INTEGER NOT NULL CHECK (struck IN (0, 1))," /* 0: restored */
    "  reason TEXT"
    ") STRICT;"
    "CREATE INDEX strike_record ON strike (record);"
    "CREATE TRIGGER record_stays BEFORE UPDATE ON record"
    " BEGIN SELECT RAISE (ABORT, 'a line of the bench log cannot be changed, only struck'); END;"
    "CREATE TRIGGER record_kept BEFORE DELETE ON record"
    " BEGIN SELECT RAISE (ABORT, 'a line of the bench log cannot be deleted, only struck'); END;"
    "CREATE TRIGGER record_new BEFORE INSERT ON record"
    " WHEN EXISTS (SELECT 1 FROM record WHERE id = NEW.id)"
    " BEGIN SELECT RAISE (ABORT, 'a line of the bench log cannot be replaced, only struck'); END;"
    "CREATE TRIGGER strike_stays BEFORE UPDATE ON strike"
    " BEGIN SELECT RAISE (ABORT, 'a strike in the bench log cannot be changed'); END;"
    "CREATE TRIGGER strike_kept BEFORE DELETE ON strike"
    " BEGIN SELECT RAISE (ABORT, 'a strike in the bench log cannot be deleted'); END;"
    "CREATE TRIGGER strike_new BEFORE INSERT ON strike"
    " WHEN EXISTS (SELECT 1 FROM strike WHERE id = NEW.id)"
    " BEGIN SELECT RAISE (ABORT, 'a strike in the bench log cannot be replaced'); END;";

/* Two more kinds of lines. A CHECK cannot be changed in place, so the table is made anew with the same
 * numbers; the strikes refer to it by name. How strongly the table of published priors counts for a
 * board is a word of the shop's own and stands beside the document, not in it. */
static const char version_2[] =
    "CREATE TABLE record_2 ("
    "  id INTEGER PRIMARY KEY AUTOINCREMENT," /* a number is never used again */
    "  job INTEGER NOT NULL REFERENCES job (id) ON DELETE RESTRICT,"
    "  time INTEGER NOT NULL,"
    "  kind TEXT NOT NULL CHECK (kind IN ('reading', 'part test', 'replaced', 'round', 'symptom',"
    "                                     'state', 'proof', 'meter', 'mark', 'note', 'cause',"
    "                                     'no cause')),"
    "  subject TEXT, text TEXT,"
    "  state TEXT, black TEXT, meter TEXT, misread REAL,"
    "  expected TEXT, band TEXT, verdict TEXT,"
    "  unproven INTEGER NOT NULL CHECK (unproven IN (0, 1)),"
    "  photo TEXT, x REAL, y REAL"
    ") STRICT;"
    "INSERT INTO record_2 (id, job, time, kind, subject, text, state, black, meter, misread,"
    "                        expected, band, verdict, unproven, photo, x, y)"
    " SELECT id, job, time, kind, subject, text, state, black, meter, misread, expected, band,"
    "        verdict, unproven, photo, x, y FROM record ORDER BY id;"
    "DROP TABLE record;"
    "ALTER TABLE record_2 RENAME TO record;"
    "CREATE INDEX record_job ON record (job);"
    "CREATE TRIGGER record_stays BEFORE UPDATE ON record"
    " BEGIN SELECT RAISE (ABORT, 'a line of the bench log cannot be changed, only struck'); END;"
    "CREATE TRIGGER record_kept BEFORE DELETE ON record"
    " BEGIN SELECT RAISE (ABORT, 'a line of the bench log cannot be deleted, only struck'); END;"
    "CREATE TRIGGER record_new BEFORE INSERT ON record"
    " WHEN EXISTS (SELECT 1 FROM record WHERE id = NEW.id)"
    " BEGIN SELECT RAISE (ABORT, 'a line of the bench log cannot be replaced, only struck'); END;"
    "CREATE TABLE learning ("
    "  board INTEGER PRIMARY KEY REFERENCES board (id) ON DELETE CASCADE,"
    "  strength REAL NOT NULL CHECK (strength > 0)"
    ") STRICT;";

/* The shop's meters. A removed one keeps its row, for jobs name it by its number; a number is never used
 * again. */
static const char version_3[] =
    "CREATE TABLE meter ("
    "  id INTEGER PRIMARY KEY AUTOINCREMENT,"
    "  name TEXT NOT NULL CHECK (name <> ''),"
    "  document TEXT NOT NULL,"
    "  usual INTEGER NOT NULL DEFAULT 0 CHECK (usual IN (0, 1)),"
    "  removed INTEGER NOT NULL DEFAULT 0 CHECK (removed IN (0, 1)),"
    "  changed INTEGER NOT NULL"
    ") STRICT;";

/* Boards that were healthy, and what was said about the bands that their readings support: the shop's own, beside
 * the documents and not in them. A measurement is named as in the document, as the bench log names it. */
static const char version_4[] =
    "CREATE TABLE known_good ("
    "  job INTEGER PRIMARY KEY REFERENCES job (id) ON DELETE CASCADE,"
    "  despite_fault INTEGER NOT NULL CHECK (despite_fault IN (0, 1))," /* good since the repair */
    "  time INTEGER NOT NULL"
    ") STRICT;"
    "CREATE TABLE left_out ("
    "  board INTEGER NOT NULL REFERENCES board (id) ON DELETE CASCADE,"
    "  measurement TEXT NOT NULL,"
    "  job INTEGER NOT NULL REFERENCES job (id) ON DELETE CASCADE,"
    "  PRIMARY KEY (board, measurement, job)"
    ") STRICT;"
    "CREATE TABLE band_answer ("
    "  board INTEGER NOT NULL REFERENCES board (id) ON DELETE CASCADE,"
    "  measurement TEXT NOT NULL,"
    "  accepted INTEGER NOT NULL CHECK (accepted IN (0, 1))," /* 0: refused */
    "  low REAL, high REAL,"
    "  jobs TEXT NOT NULL," /* ids of the jobs it stood on: "3,7,12" */
    "  time INTEGER NOT NULL,"
    "  PRIMARY KEY (board, measurement)"
    ") STRICT;";

/* Equipments. Which board has a role is the library's, for in the document it is the path of a file; a removed
 * equipment keeps its row, so that removing can be undone. */
static const char version_5[] =
    "CREATE TABLE equipment ("
    "  id INTEGER PRIMARY KEY,"
    "  uid TEXT NOT NULL UNIQUE CHECK (uid <> ''),"
    "  title TEXT,"
    "  n_conductors INTEGER NOT NULL, n_cables INTEGER NOT NULL, n_measurements INTEGER NOT NULL,"
    "  document TEXT NOT NULL,"
    "  removed INTEGER NOT NULL DEFAULT 0 CHECK (removed IN (0, 1)),"
    "  changed INTEGER NOT NULL"
    ") STRICT;"
    "CREATE TABLE equipment_board ("
    "  equipment INTEGER NOT NULL REFERENCES equipment (id) ON DELETE CASCADE,"
    "  role TEXT NOT NULL,"
    "  place INTEGER NOT NULL," /* among the document's boards */
    "  board INTEGER NOT NULL REFERENCES board (id) ON DELETE RESTRICT,"
    "  PRIMARY KEY (equipment, role)"
    ") STRICT;"
    "CREATE INDEX equipment_board_board ON equipment_board (board);"
    "CREATE TABLE equipment_photo ("
    "  equipment INTEGER NOT NULL REFERENCES equipment (id) ON DELETE CASCADE,"
    "  photo TEXT NOT NULL,"
    "  mime TEXT NOT NULL,"
    "  image BLOB NOT NULL,"
    "  PRIMARY KEY (equipment, photo)"
    ") STRICT;";

/* Which edition an edition was copied from, and what of it was looked at on a real board since. Beside the documents:
 * neither is a property of the board. name: what the other one was called then, for it may be deleted. */
static const char version_6[] =
    "CREATE TABLE origin ("
    "  board INTEGER PRIMARY KEY REFERENCES board (id) ON DELETE CASCADE,"
    "  copied_from INTEGER REFERENCES board (id) ON DELETE SET NULL,"
    "  name TEXT NOT NULL,"
    "  time INTEGER NOT NULL"
    ") STRICT;"
    "CREATE TABLE looked_at ("
    "  board INTEGER NOT NULL REFERENCES board (id) ON DELETE CASCADE,"
    "  part TEXT NOT NULL," /* list and id in the document: "components/R12" */
    "  time INTEGER NOT NULL,"
    "  PRIMARY KEY (board, part)"
    ") STRICT;";

/* What was written into the bench logs, to be found by its words. The words themselves stay in the log, which only ever
 * grows; readings are not among them. Lines are added where the log is written: a trigger may not do it while schemas
 * are not trusted. */
static const char version_7[] =
    "CREATE VIRTUAL TABLE record_words USING fts5 (subject, text, content='record', content_rowid='id',"
    "  tokenize='unicode61 remove_diacritics 2', prefix='2 3');"
    "INSERT INTO record_words (rowid, subject, text) SELECT id, subject, text FROM record"
    "  WHERE kind NOT IN ('reading', 'state', 'meter', 'round') ORDER BY id;";

/* What was done today, to be undone and redone: see bl-library-steps.h. A board or a job that is deleted stays, out of
 * sight, as long as that can be undone; a job for good, since its log may never be lost. */
static const char version_8[] =
    "CREATE TABLE step ("
    "  id INTEGER PRIMARY KEY AUTOINCREMENT,"
    "  place TEXT NOT NULL, owner INTEGER NOT NULL," /* whose history */
    "  day TEXT NOT NULL, time INTEGER NOT NULL,"    /* day: local, "2026-11-26" */
    "  label TEXT NOT NULL,"
    "  undone INTEGER NOT NULL DEFAULT 0 CHECK (undone IN (0, 1))"
    ") STRICT;"
    "CREATE INDEX step_place ON step (place, owner, undone, id);"
    "CREATE TABLE step_item ("
    "  step INTEGER NOT NULL REFERENCES step (id) ON DELETE CASCADE,"
    "  n INTEGER NOT NULL,"
    "  kind TEXT NOT NULL, subject TEXT NOT NULL," /* what was changed */
    "  before BLOB, after BLOB,"
    "  PRIMARY KEY (step, n)"
    ") STRICT;"
    "CREATE TABLE step_photo (" /* the picture that is not the board's at present */
    "  step INTEGER NOT NULL REFERENCES step (id) ON DELETE CASCADE,"
    "  board INTEGER NOT NULL REFERENCES board (id) ON DELETE CASCADE,"
    "  photo TEXT NOT NULL, mime TEXT NOT NULL, image BLOB NOT NULL, thumbnail BLOB,"
    "  PRIMARY KEY (step, board, photo)"
    ") STRICT;"
    "CREATE TABLE set_aside (" /* things of the checklist that do not apply to a board */
    "  board INTEGER NOT NULL REFERENCES board (id) ON DELETE CASCADE,"
    "  thing TEXT NOT NULL,"
    "  time INTEGER NOT NULL,"
    "  PRIMARY KEY (board, thing)"
    ") STRICT;"
    "ALTER TABLE board ADD COLUMN deleted INTEGER NOT NULL DEFAULT 0 CHECK (deleted IN (0, 1));"
    "ALTER TABLE job ADD COLUMN removed INTEGER NOT NULL DEFAULT 0 CHECK (removed IN (0, 1));";

/* Where landmarks of the edition's photos lie on a photo of a job's own board, and which side it shows. */
static const char version_9[] =
    "CREATE TABLE job_landmark ("
    "  job_photo INTEGER NOT NULL REFERENCES job_photo (id) ON DELETE CASCADE,"
    "  landmark TEXT NOT NULL CHECK (landmark <> ''),"
    "  x REAL NOT NULL, y REAL NOT NULL," /* px of that photo */
    "  PRIMARY KEY (job_photo, landmark)"
    ") STRICT;"
    "ALTER TABLE job_photo ADD COLUMN side TEXT CHECK (side IN ('front', 'back'));";

/* A job may be about an equipment instead of a board, stands somewhere between the door and the door, and may come back
 * or be part of another. A line says who told a reading, what was taken out and why. uid: the same job, or line, in
 * the library of another bench; those made before get one here. */
static const char version_10[] =
    "CREATE TABLE job_10 ("
    "  id INTEGER PRIMARY KEY,"
    "  uid TEXT NOT NULL UNIQUE CHECK (uid <> ''),"
    "  number INTEGER NOT NULL UNIQUE CHECK (number > 0),"
    "  board INTEGER REFERENCES board (id) ON DELETE RESTRICT,"
    "  equipment INTEGER REFERENCES equipment (id) ON DELETE RESTRICT,"
    "  customer TEXT, unit TEXT, serial TEXT, complaint TEXT, came_with TEXT, cause TEXT,"
    "  state TEXT NOT NULL CHECK (state IN ('waiting', 'on the bench', 'waiting for parts', 'proving',"
    "                                       'handed back', 'not economical', 'returned')),"
    "  closed INTEGER NOT NULL CHECK (closed IN (0, 1)),"
    "  return_of INTEGER REFERENCES job (id) ON DELETE SET NULL,"
    "  part_of INTEGER REFERENCES job (id) ON DELETE SET NULL,"
    "  created INTEGER NOT NULL, changed INTEGER NOT NULL, handed_back INTEGER,"
    "  removed INTEGER NOT NULL DEFAULT 0 CHECK (removed IN (0, 1)),"
    "  CHECK ((board IS NULL) <> (equipment IS NULL))"
    ") STRICT;"
    "INSERT INTO job_10 (id, uid, number, board, customer, unit, serial, complaint, cause, state, closed, created,"
    "                    changed, handed_back, removed)"
    " SELECT id, lower (hex (randomblob (16))), number, board, customer, unit, serial, complaint, cause,"
    "        iif (closed, 'handed back', 'on the bench'), closed, created, changed, iif (closed, changed, NULL),"
    "        removed FROM job ORDER BY id;"
    "DROP TABLE job;"
    "ALTER TABLE job_10 RENAME TO job;"
    "CREATE INDEX job_board ON job (board);"
    "CREATE INDEX job_equipment ON job (equipment) WHERE equipment IS NOT NULL;"
    "CREATE INDEX job_serial ON job (serial) WHERE serial IS NOT NULL;"
    "CREATE INDEX job_return_of ON job (return_of) WHERE return_of IS NOT NULL;"
    "CREATE INDEX job_part_of ON job (part_of) WHERE part_of IS NOT NULL;"
    /* What they keep of a job is in other columns. */
    "DELETE FROM step_item; DELETE FROM step_photo; DELETE FROM step;"
    "DROP TABLE record_words;"
    "CREATE TABLE record_10 ("
    "  id INTEGER PRIMARY KEY AUTOINCREMENT," /* a number is never used again */
    "  uid TEXT NOT NULL UNIQUE CHECK (uid <> ''),"
    "  job INTEGER NOT NULL REFERENCES job (id) ON DELETE RESTRICT,"
    "  time INTEGER NOT NULL,"
    "  kind TEXT NOT NULL CHECK (kind IN ('reading', 'part test', 'replaced', 'round', 'symptom',"
    "                                     'state', 'proof', 'meter', 'mark', 'note', 'cause',"
    "                                     'no cause', 'time', 'photo', 'test', 'supply', 'job')),"
    "  subject TEXT, text TEXT,"
    "  state TEXT, black TEXT, meter TEXT, misread REAL, told_by TEXT,"
    "  expected TEXT, band TEXT, verdict TEXT,"
    "  unproven INTEGER NOT NULL CHECK (unproven IN (0, 1)),"
    "  old TEXT, why TEXT,"
    "  photo TEXT, x REAL, y REAL"
    ") STRICT;"
    "INSERT INTO record_10 (id, uid, job, time, kind, subject, text, state, black, meter, misread,"
    "                       expected, band, verdict, unproven, photo, x, y)"
    " SELECT id, lower (hex (randomblob (16))), job, time, kind, subject, text, state, black, meter, misread,"
    "        expected, band, verdict, unproven, photo, x, y FROM record ORDER BY id;"
    "DROP TABLE record;"
    "ALTER TABLE record_10 RENAME TO record;"
    "CREATE INDEX record_job ON record (job);"
    "CREATE TRIGGER record_stays BEFORE UPDATE ON record"
    " BEGIN SELECT RAISE (ABORT, 'a line of the bench log cannot be changed, only struck'); END;"
    "CREATE TRIGGER record_kept BEFORE DELETE ON record"
    " BEGIN SELECT RAISE (ABORT, 'a line of the bench log cannot be deleted, only struck'); END;"
    "CREATE TRIGGER record_new BEFORE INSERT ON record"
    " WHEN EXISTS (SELECT 1 FROM record WHERE id = NEW.id OR uid = NEW.uid)"
    " BEGIN SELECT RAISE (ABORT, 'a line of the bench log cannot be replaced, only struck'); END;"
    "CREATE VIRTUAL TABLE record_words USING fts5 (subject, text, old, why, told_by, content='record',"
    "  content_rowid='id', tokenize='unicode61 remove_diacritics 2', prefix='2 3');"
    "INSERT INTO record_words (rowid, subject, text) SELECT id, subject, text FROM record"
    "  WHERE kind NOT IN ('reading', 'state', 'meter', 'round') ORDER BY id;";

/* What the numbers of the shop ask of every log, without reading through it: where the lines stand in time, with the
 * text that tells a reading from one that could not be taken; and the few lines that say what was found. */
static const char version_11[] =
    "DROP INDEX record_job;"
    "CREATE INDEX record_job ON record (job, time, kind, text);"
    "CREATE INDEX record_found ON record (job, time) WHERE"
    "  kind IN ('part test', 'replaced', 'cause', 'no cause', 'time', 'job');";

/* By kind first: what is asked of one kind reads no line of another. */
static const char version_12[] =
    "DROP INDEX record_found;"
    "CREATE INDEX record_found ON record (kind, job, time) WHERE"
    "  kind IN ('part test', 'replaced', 'cause', 'no cause', 'time', 'job');";

/* Practice: who practises, what they drilled and answered, and when it is due again. Only the library of practice has rows
 * in these tables. There a person takes along everything of theirs, so the log of a drill may be deleted; a job becomes a
 * drill only while its log is empty, so that no log of the shop ever may. sections, faults, result: JSON. */
static const char version_13[] =
    "CREATE TABLE person ("
    "  id INTEGER PRIMARY KEY AUTOINCREMENT," /* a number is never used again */
    "  name TEXT NOT NULL UNIQUE COLLATE NOCASE CHECK (name <> ''),"
    "  practising INTEGER NOT NULL DEFAULT 0 CHECK (practising IN (0, 1)),"
    "  created INTEGER NOT NULL"
    ") STRICT;"
    "CREATE TABLE drill ("
    "  id INTEGER PRIMARY KEY AUTOINCREMENT,"
    "  person INTEGER NOT NULL REFERENCES person (id) ON DELETE RESTRICT,"
    "  kind TEXT NOT NULL CHECK (kind IN ('single', 'provoked', 'two', 'misread', 'conductor', 'planted')),"
    "  board INTEGER REFERENCES board (id) ON DELETE RESTRICT," /* the copy that it is about */
    "  equipment INTEGER REFERENCES equipment (id) ON DELETE RESTRICT,"
    "  subject TEXT NOT NULL CHECK (subject <> '')," /* uid of the board or equipment it was copied from */
    "  seed INTEGER NOT NULL, sections TEXT NOT NULL,"
    "  faults TEXT," /* sealed till the end; NULL: not drawn yet */
    "  job INTEGER UNIQUE REFERENCES job (id) ON DELETE RESTRICT," /* NULL: not begun */
    "  made INTEGER NOT NULL, started INTEGER, ended INTEGER,"
    "  stage TEXT, component TEXT," /* named at the end */
    "  section_kind TEXT, family TEXT," /* what the fault was, told when it is scored */
    "  stage_right INTEGER, component_right INTEGER, failed INTEGER,"
    "  regret_s REAL, effort_s REAL," /* s; NULL: not scored yet */
    "  n_measured INTEGER, n_right INTEGER, n_told_nothing INTEGER, n_unsafe INTEGER,"
    "  CHECK ((board IS NULL) <> (equipment IS NULL))"
    ") STRICT;"
    "CREATE INDEX drill_person ON drill (person, ended);"
    "CREATE INDEX drill_board ON drill (board) WHERE board IS NOT NULL;"
    "CREATE INDEX drill_equipment ON drill (equipment) WHERE equipment IS NOT NULL;"
    "CREATE TABLE answer ("
    "  id INTEGER PRIMARY KEY AUTOINCREMENT,"
    "  person INTEGER NOT NULL REFERENCES person (id) ON DELETE RESTRICT,"
    "  time INTEGER NOT NULL,"
    "  kind TEXT NOT NULL CHECK (kind IN ('way', 'reads', 'worked')),"
    "  subject TEXT NOT NULL," /* uid of the board */
    "  topic TEXT NOT NULL, family TEXT,"
    "  what TEXT NOT NULL," /* what was asked for */
    "  correct INTEGER NOT NULL CHECK (correct IN (0, 1)),"
    "  near INTEGER NOT NULL CHECK (near IN (0, 1)),"
    "  asked INTEGER NOT NULL CHECK (asked IN (0, 1))" /* 0: it was shown, nothing was asked */
    ") STRICT;"
    "CREATE INDEX answer_person ON answer (person, time);"
    "CREATE TABLE spacing ("
    "  person INTEGER NOT NULL REFERENCES person (id) ON DELETE CASCADE,"
    "  kind TEXT NOT NULL CHECK (kind IN ('way', 'reads', 'section', 'family')),"
    "  topic TEXT NOT NULL,"
    "  due INTEGER NOT NULL, interval INTEGER NOT NULL, streak INTEGER NOT NULL," /* days as a calendar counts them */
    "  PRIMARY KEY (person, kind, topic)"
    ") STRICT;"
    "CREATE TRIGGER drill_added BEFORE INSERT ON drill"
    " WHEN NEW.job IS NOT NULL AND EXISTS (SELECT 1 FROM record WHERE job = NEW.job)"
    " BEGIN SELECT RAISE (ABORT, 'a job with a bench log cannot become a drill'); END;"
    "CREATE TRIGGER drill_begun BEFORE UPDATE OF job ON drill"
    " WHEN NEW.job IS NOT OLD.job AND NEW.job IS NOT NULL AND EXISTS (SELECT 1 FROM record WHERE job = NEW.job)"
    " BEGIN SELECT RAISE (ABORT, 'a job with a bench log cannot become a drill'); END;"
    "DROP TRIGGER record_kept;"
    "CREATE TRIGGER record_kept BEFORE DELETE ON record"
    " WHEN NOT EXISTS (SELECT 1 FROM drill WHERE job = OLD.job)"
    " BEGIN SELECT RAISE (ABORT, 'a line of the bench log cannot be deleted, only struck'); END;"
    "DROP TRIGGER strike_kept;"
    "CREATE TRIGGER strike_kept BEFORE DELETE ON strike"
    " WHEN NOT EXISTS (SELECT 1 FROM record JOIN drill ON drill.job = record.job WHERE record.id = OLD.record)"
    " BEGIN SELECT RAISE (ABORT, 'a strike in the bench log cannot be deleted'); END;";

static const BlMigration steps_of_library[] = {
  { 1, version_1, NULL },
  { 2, version_2, NULL },
  { 3, version_3, NULL },
  { 4, version_4, NULL },
  { 5, version_5, NULL },
  { 6, version_6, NULL },
  { 7, version_7, NULL },
  { 8, version_8, NULL },
  { 9, version_9, NULL },
  { 10, version_10, NULL },
  { 11, version_11, NULL },
  { 12, version_12, NULL },
  { 13, version_13, NULL },
};

const BlMigration *
bl_tables_steps (guint *n_steps)
{
  *n_steps = G_N_ELEMENTS (steps_of_library);
  return steps_of_library;
}

static gboolean
get_version (BlDatabase *database, gint64 *version, GError **error)
{
  return bl_database_get_number (database, _ ("opening"), "PRAGMA user_version", version, error);
}

/* A file of ours, or an empty one that may become ours. */
static gboolean
check_identity (BlDatabase *database, gint64 *version, gboolean *empty, GError **error)
{
  gint64 application = 0, objects = 0;

  if (!bl_database_get_number (database, _ ("opening"), "PRAGMA application_id", &application,
                               error) ||
      !bl_database_get_number (database, _ ("opening"), "SELECT count(*) FROM sqlite_schema",
                               &objects, error) ||
      !get_version (database, version, error))
    return FALSE;
  *empty = application == 0 && objects == 0 && *version == 0;
  if (*empty || application == BL_DATABASE_APPLICATION_ID)
    return TRUE;
  g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_OPEN,
               _ ("%s: this is another program's file, not a library"),
               bl_database_path (database));
  return FALSE;
}

static gboolean
sync_file (const char *path)
{
  int fd = g_open (path, O_RDONLY | O_CLOEXEC, 0);
  gboolean ok = fd >= 0 && fsync (fd) == 0;

  if (fd >= 0)
    close (fd);
  return ok;
}

/* Copies the library to the first free name beside it. */
static gboolean
copy_beside (BlDatabase *database, gint64 version, GError **error)
{
  const char *path = bl_database_path (database);
  g_autofree char *copy = NULL;
  g_autoptr (BlStatement) statement = NULL;

  for (int n = 0; copy == NULL || g_file_test (copy, G_FILE_TEST_EXISTS); n++)
    {
      g_free (copy);
      copy = n == 0 ? g_strdup_printf ("%s.version-%d", path, (int) version)
                    : g_strdup_printf ("%s.version-%d-%d", path, (int) version, n + 1);
    }
  statement = bl_database_prepare (database, _ ("copying the library before the update"),
                                   "VACUUM INTO ?1", error);
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_text (statement, 1, copy);
  if (bl_statement_run (statement, error) && sync_file (copy))
    return TRUE;
  if (error != NULL && *error == NULL)
    g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_FAILED,
                 _ ("%s: the copy before the update could not be kept"), copy);
  g_unlink (copy);
  return FALSE;
}

static gboolean
check_foreign_keys (BlDatabase *database, GError **error)
{
  g_autoptr (BlStatement) statement =
      bl_database_prepare (database, _ ("checking references"), "PRAGMA foreign_key_check", error);
  BlStep step = statement != NULL ? bl_statement_step (statement, error) : BL_STEP_ERROR;

  if (step == BL_STEP_ROW)
    {
      g_autofree char *table = bl_statement_dup_text (statement, 0);
      g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_CORRUPT,
                   _ ("%s: a row of table %s refers to nothing"), bl_database_path (database),
                   table);
    }
  return step == BL_STEP_DONE;
}

static gboolean
run_step (BlDatabase *database, const BlMigration *step, GError **error)
{
  g_autofree char *numbers =
      g_strdup_printf ("PRAGMA application_id = %d; PRAGMA user_version = %d",
                       BL_DATABASE_APPLICATION_ID, step->version);
  const char *doing = _ ("updating the library");

  return (step->sql == NULL || bl_database_run (database, doing, step->sql, error)) &&
         (step->run == NULL || step->run (database, error)) &&
         check_foreign_keys (database, error) && bl_database_run (database, doing, numbers, error);
}

/* One step in one transaction; another program may have been faster. */
static gboolean
migrate_one (BlDatabase *database, const BlMigration *step, GError **error)
{
  const char *doing = _ ("updating the library");
  gint64 version = 0;
  gboolean ok;

  if (!bl_database_begin (database, doing, error))
    return FALSE;
  ok = get_version (database, &version, error);
  if (ok && version < step->version)
    ok = run_step (database, step, error);
  return bl_database_end (database, ok, doing, error);
}

static gboolean
migrate (BlDatabase *database,
         const BlMigration *steps,
         guint n_steps,
         gint64 version,
         GError **error)
{
  gboolean ok = TRUE;

  /* Inside a transaction this switch is ignored, so it comes before; a step may then rebuild a
   * table that others refer to, and is checked as a whole before it commits. */
  if (!bl_database_run (database, _ ("updating the library"), "PRAGMA foreign_keys = 0", error))
    return FALSE;
  for (guint i = 0; ok && i < n_steps; i++)
    if (steps[i].version > version)
      ok = migrate_one (database, &steps[i], error);
  return bl_database_run (database, _ ("updating the library"), "PRAGMA foreign_keys = 1",
                          ok ? error : NULL) &&
         ok;
}

gboolean
bl_tables_prepare (BlDatabase *database, const BlMigration *steps, guint n_steps, GError **error)
{
  gint64 version = 0;
  gboolean empty = FALSE;
  int newest;

  g_return_val_if_fail (n_steps > 0, FALSE);
  for (guint i = 0; i < n_steps; i++)
    g_assert (steps[i].version == (int) i + 1);
  newest = steps[n_steps - 1].version;
  if (!check_identity (database, &version, &empty, error))
    return FALSE;
  if (version > newest)
    {
      g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NEWER,
                   _ ("%s: this library was made by a newer version of the program (%d, known here "
                      "up to %d); "
                      "it was left as it is"),
                   bl_database_path (database), (int) version, newest);
      return FALSE;
    }
  if (version == newest)
    return TRUE;
  if (bl_database_is_read_only (database))
    {
      g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_READ_ONLY,
                   _ ("%s: this library must be updated first, but the file may only be read"),
                   bl_database_path (database));
      return FALSE;
    }
  if (g_str_equal (bl_database_path (database), ":memory:"))
    empty = TRUE; /* nothing to copy */
  return (empty || copy_beside (database, version, error)) &&
         migrate (database, steps, n_steps, version, error);
}
