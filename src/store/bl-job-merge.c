/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Merging a job that another bench worked on as well. Lines of the log, strikes and photos only ever grow in number, so
 * the union of both is what both should have. A head has no history of its own: of what both say otherwise the one that
 * was changed last stays, and where that is no answer the later by the alphabet, so that both benches come to the same.
 * The state is what the newest line about it says. */
#include "config.h"

#include "bl-job-bundle.h"

#include "bl-library-job-landmarks.h"
#include "bl-library-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

void
bl_job_merged_clear (BlJobMerged *merged)
{
  g_clear_pointer (&merged->otherwise, g_free);
}

/* The id of a row by its uid; 0: none. FALSE with error. */
static gboolean
find (BlLibrary *library, const char *sql, const char *uid, gint64 *id, GError **error)
{
  g_autoptr (BlStatement) statement = bl_database_prepare (library->database, _ ("merging the job"), sql, error);
  BlStep step;

  *id = 0;
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_text (statement, 1, uid);
  step = bl_statement_step (statement, error);
  if (step == BL_STEP_ROW)
    *id = bl_statement_int (statement, 0);
  return step != BL_STEP_ERROR;
}

/* --- heads --- */

static BlJob *
copy_head (const BlJob *head)
{
  BlJob *copy = bl_job_new ();

  copy->uid = g_strdup (head->uid);
  copy->number = head->number;
  copy->customer = g_strdup (head->customer);
  copy->unit = g_strdup (head->unit);
  copy->serial = g_strdup (head->serial);
  copy->complaint = g_strdup (head->complaint);
  copy->came_with = g_strdup (head->came_with);
  copy->cause = g_strdup (head->cause);
  copy->state = head->state;
  copy->closed = head->closed;
  copy->created = head->created;
  copy->changed = head->changed;
  copy->handed_back = head->handed_back;
  return copy;
}

static gboolean
add_job (BlLibrary *library, const BlBundleJob *job, gint64 about, BlJobMerged *merged, GError **error)
{
  g_autoptr (BlJob) head = copy_head (job->head);
  g_autofree char *number = g_strdup_printf ("%d", head->number);
  gint64 taken = 0;

  if (job->equipment)
    head->equipment = about;
  else
    head->board = about;
  if (!find (library, "SELECT id FROM job WHERE number = cast (?1 AS INTEGER)", number, &taken, error))
    return FALSE;
  if (taken != 0)
    head->number = 0; /* the next free one */
  merged->job = bl_library_add_job (library, head, error);
  merged->added = TRUE;
  merged->number = head->number;
  return merged->job != 0;
}

/* Of two texts the one both benches keep. theirs_newer: the file's head was changed later; 0: at the same time. */
static gboolean
take_text (char **mine, const char *theirs, int theirs_newer, const char *word, GString *otherwise)
{
  gboolean have = *mine != NULL && **mine != '\0', came = theirs != NULL && *theirs != '\0';

  if (!came || (have && strcmp (*mine, theirs) == 0))
    return FALSE;
  if (have)
    g_string_append_printf (otherwise, "%s%s", otherwise->len > 0 ? ", " : "", word);
  if (have && (theirs_newer < 0 || (theirs_newer == 0 && strcmp (*mine, theirs) > 0)))
    return FALSE;
  g_free (*mine);
  *mine = g_strdup (theirs);
  return TRUE;
}

/* The state that the newest line about it says, of the log as it is now. FALSE with error; said: whether there is one. */
static gboolean
newest_state (BlLibrary *library, gint64 job, BlJobState *state, gboolean *said, GError **error)
{
  g_autoptr (BlStatement) statement = bl_database_prepare (
      library->database, _ ("merging the job"),
      "SELECT text FROM record r WHERE job = ?1 AND kind = 'job'"
      "   AND coalesce ((SELECT struck FROM strike WHERE record = r.id"
      "                  ORDER BY strike.time DESC, strike.id DESC LIMIT 1), 0) = 0"
      " ORDER BY time DESC, uid DESC LIMIT 1", error);
  BlStep step;

  *said = FALSE;
  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, job);
  step = bl_statement_step (statement, error);
  if (step == BL_STEP_ROW)
    {
      g_autofree char *name = bl_statement_dup_text (statement, 0);
      *said = bl_job_state_parse (name, state);
    }
  return step != BL_STEP_ERROR;
}

/* changed is kept as the later of both: it decides the next time as well. */
static gboolean
save_head (BlLibrary *library, const BlJob *head, GError **error)
{
  g_autoptr (BlStatement) statement = bl_database_prepare (
      library->database, _ ("merging the job"),
      "UPDATE job SET customer = ?1, unit = ?2, serial = ?3, complaint = ?4, came_with = ?5, cause = ?6, state = ?7,"
      " closed = ?8, handed_back = nullif (?9, 0), changed = ?10, removed = 0 WHERE id = ?11", error);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_text (statement, 1, head->customer);
  bl_statement_bind_text (statement, 2, head->unit);
  bl_statement_bind_text (statement, 3, head->serial);
  bl_statement_bind_text (statement, 4, head->complaint);
  bl_statement_bind_text (statement, 5, head->came_with);
  bl_statement_bind_text (statement, 6, head->cause);
  bl_statement_bind_text (statement, 7, bl_job_state_name (head->state));
  bl_statement_bind_int (statement, 8, head->closed ? 1 : 0);
  bl_statement_bind_int (statement, 9, head->handed_back);
  bl_statement_bind_int (statement, 10, head->changed);
  bl_statement_bind_int (statement, 11, head->id);
  return bl_statement_run (statement, error);
}

static void
merge_state (BlJob *head, const BlJob *mine, const BlJob *theirs, gboolean said, BlJobState state, int theirs_newer)
{
  if (!said)
    state = theirs_newer > 0 || (theirs_newer == 0 && theirs->state > mine->state) ? theirs->state : mine->state;
  head->state = state;
  head->closed = bl_job_state_is_closed (state);
  head->handed_back = 0;
  if (!head->closed)
    return;
  /* Both may know when it was; one that was taken up since does not. */
  head->handed_back = MAX (mine->closed ? mine->handed_back : 0, theirs->closed ? theirs->handed_back : 0);
  if (head->handed_back == 0)
    head->handed_back = MAX (mine->changed, theirs->changed);
}

/* before: the head as it was before lines came in. */
static gboolean
merge_head (BlLibrary *library, const BlJob *before, const BlJob *theirs, BlJobMerged *merged, GError **error)
{
  g_autoptr (BlJob) head = copy_head (before);
  g_autoptr (GString) otherwise = g_string_new (NULL);
  int newer = theirs->changed > before->changed ? 1 : theirs->changed < before->changed ? -1 : 0;
  BlJobState state = before->state;
  gboolean said = FALSE;

  head->id = before->id;
  take_text (&head->customer, theirs->customer, newer, _ ("customer"), otherwise);
  take_text (&head->unit, theirs->unit, newer, _ ("unit"), otherwise);
  take_text (&head->serial, theirs->serial, newer, _ ("serial"), otherwise);
  take_text (&head->complaint, theirs->complaint, newer, _ ("complaint"), otherwise);
  take_text (&head->came_with, theirs->came_with, newer, _ ("what came with it"), otherwise);
  take_text (&head->cause, theirs->cause, newer, C_ ("noun", "cause"), otherwise);
  head->changed = MAX (before->changed, theirs->changed);
  if (!newest_state (library, before->id, &state, &said, error))
    return FALSE;
  merge_state (head, before, theirs, said, state, newer);
  if (otherwise->len > 0)
    merged->otherwise = g_strdup (otherwise->str);
  return save_head (library, head, error);
}

/* --- photos --- */

static char *
digest_of (GBytes *image)
{
  return g_compute_checksum_for_bytes (G_CHECKSUM_SHA256, image);
}

/* The same picture, taken at the same time, among those of the job; 0: none. */
static gboolean
find_photo (BlLibrary *library, gint64 job, const BlBundlePhoto *photo, gint64 *id, GError **error)
{
  g_autoptr (GPtrArray) photos = bl_library_job_photos (library, job, error);
  g_autofree char *digest = digest_of (photo->image);

  *id = 0;
  for (guint i = 0; i < bl_len (photos) && *id == 0; i++)
    {
      const BlJobPhoto *mine = bl_at (photos, i);
      g_autoptr (GBytes) image = NULL;
      if (mine->time != photo->time)
        continue;
      image = bl_library_get_job_photo (library, mine->id, NULL, error);
      if (image == NULL)
        return FALSE;
      g_autofree char *own = digest_of (image);
      if (g_str_equal (own, digest))
        *id = mine->id;
    }
  return photos != NULL;
}

static gboolean
date_photo (BlLibrary *library, gint64 id, gint64 time, GError **error)
{
  g_autoptr (BlStatement) statement = bl_database_prepare (library->database, _ ("merging the job"),
                                                           "UPDATE job_photo SET time = ?1 WHERE id = ?2", error);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, time);
  bl_statement_bind_int (statement, 2, id);
  return bl_statement_run (statement, error);
}

static gboolean
add_photo (BlLibrary *library, gint64 job, const BlBundlePhoto *photo, gint64 *id, GError **error)
{
  *id = bl_library_add_job_photo (library, job, photo->title, photo->mime, photo->image, error);
  if (*id == 0 || !date_photo (library, *id, photo->time, error)
      || (photo->side != NULL && !bl_library_set_job_photo_side (library, *id, photo->side, error)))
    return FALSE;
  for (guint i = 0; i < bl_len (photo->landmarks); i++)
    {
      const BlLandmark *landmark = bl_at (photo->landmarks, i);
      if (!bl_library_set_job_landmark (library, *id, landmark->id, landmark->x, landmark->y, error))
        return FALSE;
    }
  return TRUE;
}

/* names: "job:FILE" -> "job:ID". */
static gboolean
merge_photos (BlLibrary *library, const BlBundleJob *job, GHashTable *names, BlJobMerged *merged, GError **error)
{
  for (guint i = 0; i < job->photos->len; i++)
    {
      const BlBundlePhoto *photo = bl_at (job->photos, i);
      gint64 id = 0;
      if (!find_photo (library, merged->job, photo, &id, error))
        return FALSE;
      if (id == 0)
        {
          if (!add_photo (library, merged->job, photo, &id, error))
            return FALSE;
          merged->photos++;
        }
      g_hash_table_insert (names, g_strdup_printf ("job:%s", photo->file), g_strdup_printf ("job:%" G_GINT64_FORMAT, id));
    }
  return TRUE;
}

/* --- lines --- */

static gboolean
add_strikes (BlLibrary *library, const BlBundleLine *line, gint64 record, BlJobMerged *merged, GError **error)
{
  for (guint i = 0; i < line->strikes->len; i++)
    {
      const BlBundleStrike *strike = bl_at (line->strikes, i);
      g_autoptr (BlStatement) statement = bl_database_prepare (
          library->database, _ ("merging the job"),
          "INSERT INTO strike (record, time, struck, reason) SELECT ?1, ?2, ?3, ?4"
          " WHERE NOT EXISTS (SELECT 1 FROM strike WHERE record = ?1 AND time = ?2 AND struck = ?3)", error);
      if (statement == NULL)
        return FALSE;
      bl_statement_bind_int (statement, 1, record);
      bl_statement_bind_int (statement, 2, strike->time);
      bl_statement_bind_int (statement, 3, strike->struck ? 1 : 0);
      bl_statement_bind_text (statement, 4, strike->reason);
      if (!bl_statement_run (statement, error))
        return FALSE;
      merged->strikes += (guint) bl_database_changes (library->database);
    }
  return TRUE;
}

/* The text that the photo is called by here; NULL where it is none of the job's. */
static const char *
renamed (const char *name, GHashTable *names)
{
  const char *here = name != NULL ? g_hash_table_lookup (names, name) : NULL;
  return here != NULL ? here : name;
}

static gboolean
add_line (BlLibrary *library, BlRecord *record, GHashTable *names, gint64 job, GError **error)
{
  /* The line is the bundle's: it is put back as it came. */
  char *subject = record->subject, *photo = record->photo;

  record->job = job;
  record->subject = g_strdup (renamed (subject, names));
  record->photo = g_strdup (renamed (photo, names));
  gboolean ok = bl_library_append (library, record, error);
  g_free (record->subject);
  g_free (record->photo);
  record->subject = subject;
  record->photo = photo;
  return ok;
}

/* The line with this uid must be one of this job. */
static gboolean
check_job (BlLibrary *library, gint64 record, gint64 job, const char *uid, GError **error)
{
  g_autoptr (BlStatement) statement =
      bl_database_prepare (library->database, _ ("merging the job"), "SELECT job FROM record WHERE id = ?1", error);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_int (statement, 1, record);
  if (bl_statement_step (statement, error) == BL_STEP_ROW && bl_statement_int (statement, 0) == job)
    return TRUE;
  if (error != NULL && *error == NULL)
    g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID, _ ("%s: the line %s is one of another job"),
                 bl_database_path (library->database), uid);
  return FALSE;
}

static gboolean
merge_lines (BlLibrary *library, const BlBundleJob *job, GHashTable *names, BlJobMerged *merged, GError **error)
{
  for (guint i = 0; i < job->lines->len; i++)
    {
      const BlBundleLine *line = bl_at (job->lines, i);
      gint64 id = 0;
      if (!find (library, "SELECT id FROM record WHERE uid = ?1", line->record->uid, &id, error)
          || (id != 0 && !check_job (library, id, merged->job, line->record->uid, error)))
        return FALSE;
      if (id == 0)
        {
          if (!add_line (library, line->record, names, merged->job, error))
            return FALSE;
          id = line->record->id;
          merged->lines++;
        }
      if (!add_strikes (library, line, id, merged, error))
        return FALSE;
    }
  return TRUE;
}

/* --- all of it --- */

static gboolean
merge (BlLibrary *library, const BlBundleJob *job, gint64 about, BlJobMerged *merged, GError **error)
{
  g_autoptr (GHashTable) names = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  g_autoptr (BlJob) before = NULL;

  merged->old_number = job->head->number;
  if (!find (library, "SELECT id FROM job WHERE uid = ?1", job->head->uid, &merged->job, error)
      || (merged->job == 0 && !add_job (library, job, about, merged, error)))
    return FALSE;
  before = bl_library_load_job (library, merged->job, error);
  if (before == NULL)
    return FALSE;
  merged->number = before->number;
  return merge_photos (library, job, names, merged, error) && merge_lines (library, job, names, merged, error)
         && merge_head (library, before, job->head, merged, error);
}

gboolean
bl_library_merge_job (BlLibrary *library, const BlBundleJob *job, gint64 about, BlJobMerged *merged, GError **error)
{
  const char *doing = _ ("merging the job");

  g_return_val_if_fail (library != NULL && job != NULL && merged != NULL, FALSE);
  memset (merged, 0, sizeof *merged);
  return bl_database_begin (library->database, doing, error)
         && bl_database_end (library->database, merge (library, job, about, merged, error), doing, error);
}

gboolean
bl_library_link_job (BlLibrary *library, const BlBundleJob *job, GError **error)
{
  g_return_val_if_fail (library != NULL && job != NULL, FALSE);
  const char *uid = job->head->uid;

  if (g_strcmp0 (job->return_of, uid) == 0 || g_strcmp0 (job->part_of, uid) == 0)
    {
      g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID,
                   g_strcmp0 (job->return_of, uid) == 0 ? _ ("%s: job %d is said to be its own return")
                                                        : _ ("%s: job %d is said to be a part of itself"),
                   "jobs.json", job->head->number);
      return FALSE;
    }
  g_autoptr (BlStatement) statement = bl_database_prepare (
      library->database, _ ("merging the job"),
      "UPDATE job SET return_of = coalesce (return_of, (SELECT id FROM job WHERE uid = ?1)),"
      " part_of = coalesce (part_of, (SELECT id FROM job WHERE uid = ?2)) WHERE uid = ?3", error);

  if (statement == NULL)
    return FALSE;
  bl_statement_bind_text (statement, 1, job->return_of);
  bl_statement_bind_text (statement, 2, job->part_of);
  bl_statement_bind_text (statement, 3, uid);
  return bl_statement_run (statement, error);
}
