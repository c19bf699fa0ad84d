/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Jobs and their logs as JSON. What a stranger's file says is checked here: uids, kinds of lines, states, bands and
 * verdicts are read as they are read from the library, and anything else is refused with the place. Keys that are not
 * known are left alone, so that a newer program's file can be read. Some kilobytes a job. */
#include "config.h"

#include "bl-job-bundle-private.h"

#include "bl-bundle-private.h"
#include "bl-record-json.h"

#include <glib/gi18n-lib.h>
#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define FORMAT "benchlore-jobs"
#define VERSION 1

/* --- structs --- */

static void
strike_free (gpointer data)
{
  g_free (((BlBundleStrike *) data)->reason);
  g_free (data);
}

static void
line_free (gpointer data)
{
  BlBundleLine *line = data;

  g_clear_pointer (&line->record, bl_record_free);
  g_ptr_array_unref (line->strikes);
  g_free (line);
}

static void
photo_free (gpointer data)
{
  BlBundlePhoto *photo = data;

  g_free (photo->file);
  g_free (photo->title);
  g_free (photo->side);
  g_free (photo->mime);
  g_clear_pointer (&photo->image, g_bytes_unref);
  g_clear_pointer (&photo->landmarks, g_ptr_array_unref);
  g_free (photo);
}

BlBundleJob *
bl_bundle_job_new (void)
{
  BlBundleJob *job = g_new0 (BlBundleJob, 1);

  job->head = bl_job_new ();
  job->photos = g_ptr_array_new_with_free_func (photo_free);
  job->lines = g_ptr_array_new_with_free_func (line_free);
  return job;
}

void
bl_bundle_job_free (BlBundleJob *job)
{
  if (job == NULL)
    return;
  bl_job_free (job->head);
  g_free (job->about);
  g_free (job->part);
  g_free (job->return_of);
  g_free (job->part_of);
  g_ptr_array_unref (job->photos);
  g_ptr_array_unref (job->lines);
  g_free (job);
}

/* --- writing --- */

static void
put_text (json_t *object, const char *key, const char *text)
{
  if (text != NULL)
    json_object_set_new (object, key, json_string (text));
}

static void
put_number (json_t *object, const char *key, double value)
{
  if (!isnan (value))
    json_object_set_new (object, key, json_real (value));
}

static json_t *
from_line (const BlBundleLine *line)
{
  const BlRecord *record = line->record;
  g_autofree char *band = bl_band_to_json (record->band), *verdict = bl_verdict_to_json (record->verdict);
  json_t *object = json_object (), *strikes = json_array ();

  put_text (object, "uid", record->uid);
  json_object_set_new (object, "time", json_integer (record->time));
  put_text (object, "kind", bl_record_kind_name (record->kind));
  put_text (object, "subject", record->subject);
  put_text (object, "text", record->text);
  put_text (object, "state", record->state);
  put_text (object, "black", record->black);
  put_text (object, "meter", record->meter);
  put_number (object, "misread", record->misread);
  put_text (object, "told_by", record->told_by);
  put_text (object, "expected", record->expected);
  put_text (object, "band", band);
  put_text (object, "verdict", verdict);
  if (record->unproven)
    json_object_set_new (object, "unproven", json_true ());
  put_text (object, "old", record->old);
  put_text (object, "why", record->why);
  put_text (object, "photo", record->photo);
  put_number (object, "x", record->x);
  put_number (object, "y", record->y);
  for (guint i = 0; i < line->strikes->len; i++)
    {
      const BlBundleStrike *strike = bl_at (line->strikes, i);
      json_t *item = json_object ();
      json_object_set_new (item, "time", json_integer (strike->time));
      json_object_set_new (item, "struck", json_boolean (strike->struck));
      put_text (item, "reason", strike->reason);
      json_array_append_new (strikes, item);
    }
  json_object_set_new (object, "strikes", strikes);
  return object;
}

static json_t *
from_photo (const BlBundlePhoto *photo)
{
  json_t *object = json_object (), *landmarks = json_array ();

  put_text (object, "file", photo->file);
  put_text (object, "title", photo->title);
  put_text (object, "side", photo->side);
  json_object_set_new (object, "time", json_integer (photo->time));
  for (guint i = 0; i < bl_len (photo->landmarks); i++)
    {
      const BlLandmark *landmark = bl_at (photo->landmarks, i);
      json_t *item = json_object ();
      put_text (item, "id", landmark->id);
      put_number (item, "x", landmark->x);
      put_number (item, "y", landmark->y);
      json_array_append_new (landmarks, item);
    }
  json_object_set_new (object, "landmarks", landmarks);
  return object;
}

static json_t *
from_job (const BlBundleJob *job)
{
  const BlJob *head = job->head;
  json_t *object = json_object (), *photos = json_array (), *lines = json_array ();

  put_text (object, "uid", head->uid);
  json_object_set_new (object, "number", json_integer (head->number));
  put_text (object, job->equipment ? "equipment" : "board", job->about);
  if (job->provisional)
    json_object_set_new (object, "provisional", json_true ());
  put_text (object, "part", job->part);
  put_text (object, "customer", head->customer);
  put_text (object, "unit", head->unit);
  put_text (object, "serial", head->serial);
  put_text (object, "complaint", head->complaint);
  put_text (object, "came_with", head->came_with);
  put_text (object, "cause", head->cause);
  put_text (object, "state", bl_job_state_name (head->state));
  json_object_set_new (object, "created", json_integer (head->created));
  json_object_set_new (object, "changed", json_integer (head->changed));
  json_object_set_new (object, "handed_back", json_integer (head->handed_back));
  put_text (object, "return_of", job->return_of);
  put_text (object, "part_of", job->part_of);
  for (guint i = 0; i < job->photos->len; i++)
    json_array_append_new (photos, from_photo (bl_at (job->photos, i)));
  for (guint i = 0; i < job->lines->len; i++)
    json_array_append_new (lines, from_line (bl_at (job->lines, i)));
  json_object_set_new (object, "photos", photos);
  json_object_set_new (object, "lines", lines);
  return object;
}

char *
bl_jobs_to_json (GPtrArray *jobs)
{
  json_t *object = json_object (), *array = json_array ();

  json_object_set_new (object, "format", json_string (FORMAT));
  json_object_set_new (object, "version", json_integer (VERSION));
  for (guint i = 0; i < jobs->len; i++)
    json_array_append_new (array, from_job (bl_at (jobs, i)));
  json_object_set_new (object, "jobs", array);
  char *text = json_dumps (object, JSON_INDENT (1) | JSON_REAL_PRECISION (17)), *copy = g_strdup (text);
  free (text);
  json_decref (object);
  return copy;
}

/* --- reading --- */

static gboolean
refuse (GError **error, const char *where, const char *reason)
{
  g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID, "%s: %s", where, reason);
  return FALSE;
}

static char *
text_of (const json_t *object, const char *key)
{
  return g_strdup (json_string_value (json_object_get (object, key)));
}

static gint64
integer_of (const json_t *object, const char *key)
{
  return (gint64) json_integer_value (json_object_get (object, key));
}

static double
number_of (const json_t *object, const char *key)
{
  const json_t *value = json_object_get (object, key);
  return json_is_number (value) ? json_number_value (value) : NAN;
}

static gboolean
is_uid (const char *text)
{
  return text != NULL && *text != '\0' && strlen (text) <= 64;
}

static gboolean
read_strikes (BlBundleLine *line, const json_t *array, const char *where, GError **error)
{
  gsize i;
  json_t *item;

  json_array_foreach (array, i, item)
  {
    BlBundleStrike *strike = g_new0 (BlBundleStrike, 1);
    strike->time = integer_of (item, "time");
    strike->struck = json_is_true (json_object_get (item, "struck"));
    strike->reason = text_of (item, "reason");
    g_ptr_array_add (line->strikes, strike);
    if (strike->time <= 0)
      return refuse (error, where, _ ("a strike without a time"));
  }
  return TRUE;
}

static gboolean
read_judgement (BlRecord *record, const json_t *object, GError **error)
{
  const char *band = json_string_value (json_object_get (object, "band"));
  const char *verdict = json_string_value (json_object_get (object, "verdict"));

  return (band == NULL || (record->band = bl_band_from_json (band, error)) != NULL)
         && (verdict == NULL || (record->verdict = bl_verdict_from_json (verdict, error)) != NULL);
}

static gboolean
read_line (BlBundleJob *job, const json_t *object, const char *where, GError **error)
{
  BlBundleLine *line = g_new0 (BlBundleLine, 1);
  BlRecord *record = line->record = bl_record_new (BL_RECORD_NOTE, NULL, NULL);
  const char *kind = json_string_value (json_object_get (object, "kind"));

  line->strikes = g_ptr_array_new_with_free_func (strike_free);
  g_ptr_array_add (job->lines, line);
  record->uid = text_of (object, "uid");
  record->time = integer_of (object, "time");
  record->subject = text_of (object, "subject");
  record->text = text_of (object, "text");
  record->state = text_of (object, "state");
  record->black = text_of (object, "black");
  record->meter = text_of (object, "meter");
  record->misread = number_of (object, "misread");
  record->told_by = text_of (object, "told_by");
  record->expected = text_of (object, "expected");
  record->unproven = json_is_true (json_object_get (object, "unproven"));
  record->old = text_of (object, "old");
  record->why = text_of (object, "why");
  record->photo = text_of (object, "photo");
  record->x = number_of (object, "x");
  record->y = number_of (object, "y");
  if (!is_uid (record->uid))
    return refuse (error, where, _ ("a line without a uid"));
  if (record->time <= 0)
    return refuse (error, where, _ ("a line without a time"));
  if (kind == NULL || !bl_record_kind_parse (kind, &record->kind))
    return refuse (error, where, _ ("a line of an unknown kind"));
  if (!read_judgement (record, object, error))
    {
      g_prefix_error (error, "%s: ", where);
      return FALSE;
    }
  return read_strikes (line, json_object_get (object, "strikes"), where, error);
}

static gboolean
read_landmarks (BlBundlePhoto *photo, const json_t *array, const char *where, GError **error)
{
  gsize i;
  json_t *item;

  photo->landmarks = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_landmark_free);
  json_array_foreach (array, i, item)
  {
    BlLandmark *landmark = g_new0 (BlLandmark, 1);
    landmark->id = text_of (item, "id");
    landmark->x = number_of (item, "x");
    landmark->y = number_of (item, "y");
    g_ptr_array_add (photo->landmarks, landmark);
    if (landmark->id == NULL || !isfinite (landmark->x) || !isfinite (landmark->y))
      return refuse (error, where, _ ("a landmark without a name or place"));
  }
  return TRUE;
}

static gboolean
read_photo (BlBundleJob *job, const json_t *object, const char *where, GError **error)
{
  BlBundlePhoto *photo = g_new0 (BlBundlePhoto, 1);

  g_ptr_array_add (job->photos, photo);
  photo->file = text_of (object, "file");
  photo->title = text_of (object, "title");
  photo->side = text_of (object, "side");
  photo->time = integer_of (object, "time");
  if (photo->file == NULL || photo->time <= 0)
    return refuse (error, where, _ ("a photo without a file or time"));
  if (photo->side != NULL && !g_str_equal (photo->side, "front") && !g_str_equal (photo->side, "back"))
    return refuse (error, where, _ ("a photo of neither side"));
  return read_landmarks (photo, json_object_get (object, "landmarks"), where, error);
}

static gboolean
read_head (BlBundleJob *job, const json_t *object, const char *where, GError **error)
{
  BlJob *head = job->head;
  gint64 number = integer_of (object, "number");
  const char *state = json_string_value (json_object_get (object, "state"));

  head->uid = text_of (object, "uid");
  head->customer = text_of (object, "customer");
  head->unit = text_of (object, "unit");
  head->serial = text_of (object, "serial");
  head->complaint = text_of (object, "complaint");
  head->came_with = text_of (object, "came_with");
  head->cause = text_of (object, "cause");
  head->created = integer_of (object, "created");
  head->changed = MAX (integer_of (object, "changed"), head->created);
  job->equipment = json_object_get (object, "equipment") != NULL;
  job->about = text_of (object, job->equipment ? "equipment" : "board");
  job->provisional = json_is_true (json_object_get (object, "provisional"));
  job->part = text_of (object, "part");
  job->return_of = text_of (object, "return_of");
  job->part_of = text_of (object, "part_of");
  if (!is_uid (head->uid) || !is_uid (job->about) || job->part == NULL)
    return refuse (error, where, _ ("a job without a uid or a board"));
  if (number < 1 || number > G_MAXINT || head->created <= 0)
    return refuse (error, where, _ ("a job without a number or a time"));
  if (state == NULL || !bl_job_state_parse (state, &head->state))
    return refuse (error, where, _ ("a job in an unknown state"));
  head->number = (int) number;
  head->closed = bl_job_state_is_closed (head->state);
  head->handed_back = head->closed ? integer_of (object, "handed_back") : 0;
  return TRUE;
}

static BlBundleJob *
read_job (const json_t *object, gsize place, GError **error)
{
  g_autoptr (BlBundleJob) job = bl_bundle_job_new ();
  g_autofree char *where = g_strdup_printf ("jobs/%" G_GSIZE_FORMAT, place);
  gsize i;
  json_t *item;

  if (!json_is_object (object))
    {
      refuse (error, where, _ ("no job"));
      return NULL;
    }
  if (!read_head (job, object, where, error))
    return NULL;
  json_array_foreach (json_object_get (object, "photos"), i, item)
  if (!read_photo (job, item, where, error))
    return NULL;
  json_array_foreach (json_object_get (object, "lines"), i, item)
  if (!read_line (job, item, where, error))
    return NULL;
  return g_steal_pointer (&job);
}

GPtrArray *
bl_jobs_from_json (const char *text, gsize length, GError **error)
{
  json_error_t reason;
  json_t *root = json_loadb (text, length, JSON_REJECT_DUPLICATES, &reason), *item;
  g_autoptr (GPtrArray) jobs = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_bundle_job_free);
  const char *format = json_string_value (json_object_get (root, "format"));
  gsize i;
  gboolean ok = FALSE;

  if (root == NULL)
    refuse (error, "jobs.json", reason.text);
  else if (g_strcmp0 (format, FORMAT) != 0)
    refuse (error, "jobs.json", _ ("these are no jobs"));
  else if (json_integer_value (json_object_get (root, "version")) != VERSION)
    refuse (error, "jobs.json", _ ("it was written by a newer version of the program"));
  else
    ok = TRUE;
  if (ok)
    json_array_foreach (json_object_get (root, "jobs"), i, item)
    {
      BlBundleJob *job = ok ? read_job (item, i, error) : NULL;
      if (job != NULL)
        g_ptr_array_add (jobs, job);
      else
        ok = FALSE;
    }
  json_decref (root);
  return ok ? g_steal_pointer (&jobs) : NULL;
}
