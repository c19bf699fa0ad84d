/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From the library to what a report is made from: used by the program without a display and by the
 * window alike. It draws nothing, writes nothing and computes no odds. */
#include "config.h"

#include "bl-report-gather.h"

#include "bl-band-words.h"
#include "bl-bench-private.h"
#include "bl-library-equipment-jobs.h"
#include "bl-library-equipment.h"
#include "bl-places.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

static BlReportKind
report_kind (BlRecordKind kind)
{
  static const BlReportKind kinds[] = {
    [BL_RECORD_READING] = BL_REPORT_READING,   [BL_RECORD_PART_TEST] = BL_REPORT_PART_TEST,
    [BL_RECORD_REPLACED] = BL_REPORT_REPLACED, [BL_RECORD_ROUND] = BL_REPORT_ROUND,
    [BL_RECORD_SYMPTOM] = BL_REPORT_SYMPTOM,   [BL_RECORD_STATE] = BL_REPORT_STATE,
    [BL_RECORD_PROOF] = BL_REPORT_PROOF,       [BL_RECORD_METER] = BL_REPORT_METER,
    [BL_RECORD_MARK] = BL_REPORT_MARK,         [BL_RECORD_NOTE] = BL_REPORT_NOTE,
    [BL_RECORD_CAUSE] = BL_REPORT_CAUSE,       [BL_RECORD_NO_CAUSE] = BL_REPORT_NO_CAUSE,
    [BL_RECORD_TIME] = BL_REPORT_TIME,         [BL_RECORD_PHOTO] = BL_REPORT_PHOTO,
    [BL_RECORD_TEST] = BL_REPORT_TEST,         [BL_RECORD_SUPPLY] = BL_REPORT_SUPPLY,
    [BL_RECORD_JOB] = BL_REPORT_JOB,
  };

  g_assert ((guint) kind < G_N_ELEMENTS (kinds));
  return kinds[kind];
}

/* (transfer full) */
static BlReportLine *
line_from_record (const BlRecord *record)
{
  BlReportLine *line =
      bl_report_line_new (report_kind (record->kind), record->subject, record->text);

  line->time = record->time;
  line->state = g_strdup (record->state);
  line->meter = g_strdup (record->meter);
  line->expected = g_strdup (record->expected);
  line->from = record->kind == BL_RECORD_READING && record->band != NULL ? bl_band_from_kept (record->band) : NULL;
  if (record->kind == BL_RECORD_TEST && record->band != NULL && record->expected != NULL
      && strstr (record->expected, " (") == NULL)
    line->from = bl_band_from_kept (record->band);
  line->band = record->band != NULL ? bl_band_copy (record->band) : NULL;
  line->verdict = record->verdict != NULL ? bl_verdict_copy (record->verdict) : NULL;
  line->unproven = record->unproven;
  line->told_by = g_strdup (record->told_by);
  line->old = g_strdup (record->old);
  line->why = g_strdup (record->why);
  line->photo = g_strdup (record->photo);
  line->x = record->x;
  line->y = record->y;
  line->struck = record->struck;
  line->struck_reason = g_strdup (record->struck_reason);
  return line;
}

static int
number_of (BlLibrary *library, gint64 id)
{
  g_autoptr (BlJob) job = id != 0 ? bl_library_load_job (library, id, NULL) : NULL;

  return job != NULL ? job->number : 0;
}

static void
take_head (BlJobReport *report, BlLibrary *library, const BlJob *job)
{
  const char *state = bl_job_state_name (job->state);

  report->number = job->number;
  report->closed = job->closed;
  report->created = job->created;
  report->customer = g_strdup (job->customer);
  report->unit = g_strdup (job->unit);
  report->serial = g_strdup (job->serial);
  report->complaint = g_strdup (job->complaint);
  report->cause = g_strdup (job->cause);
  report->came_with = g_strdup (job->came_with);
  report->state = g_strdup (state != NULL ? _ (state) : NULL);
  report->handed_back = job->handed_back;
  report->return_of = number_of (library, job->return_of);
  report->part_of = number_of (library, job->part_of);
}

/* The jobs on single boards that this one was gone on with. */
static gboolean
take_gone_on (BlJobReport *report, BlLibrary *library, gint64 id, GError **error)
{
  g_autoptr (GArray) jobs = bl_library_part_jobs (library, id, error);
  g_autoptr (GString) numbers = g_string_new (NULL);

  if (jobs == NULL)
    return FALSE;
  for (guint i = 0; i < jobs->len; i++)
    g_string_append_printf (numbers, "%s%d", i > 0 ? ", " : "", number_of (library, g_array_index (jobs, gint64, i)));
  report->gone_on = jobs->len > 0 ? g_strdup (numbers->str) : NULL;
  return TRUE;
}

/* Each meter that the log names, once, with the calibration it has now. */
static void
take_meters (BlJobReport *report, BlLibrary *library, GPtrArray *records)
{
  for (guint i = 0; i < records->len; i++)
    {
      const BlRecord *record = bl_at (records, i);
      gint64 id = record->kind == BL_RECORD_METER && !record->struck && record->subject != NULL
                      ? g_ascii_strtoll (record->subject, NULL, 10)
                      : 0;
      g_autoptr (BlShopMeter) meter = id != 0 ? bl_library_load_meter (library, id, NULL, NULL) : NULL;
      BlReportMeter *item;
      gboolean known = FALSE;
      for (guint j = 0; meter != NULL && j < report->meters->len; j++)
        known = known || g_strcmp0 (((BlReportMeter *) bl_at (report->meters, j))->name, meter->name) == 0;
      if (meter == NULL || known)
        continue;
      item = g_new0 (BlReportMeter, 1);
      item->name = g_strdup (meter->name);
      item->calibrated = meter->calibrated;
      g_ptr_array_add (report->meters, item);
    }
}

/* A photo that was never there is left out; one that cannot be read is an error. */
static gboolean
keep_photo (BlJobReport *report, const char *id, GBytes *image, GError *reason, GError **error)
{
  if (image != NULL)
    {
      g_hash_table_insert (report->photos, g_strdup (id), image);
      return TRUE;
    }
  if (g_error_matches (reason, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND))
    {
      g_error_free (reason);
      return TRUE;
    }
  g_propagate_error (error, reason);
  return FALSE;
}

static gboolean
take_board_photos (BlJobReport *report, BlLibrary *library, gint64 board, GError **error)
{
  for (guint i = 0; i < bl_len (report->board->photos); i++)
    {
      const BlPhoto *photo = bl_at (report->board->photos, i);
      GError *reason = NULL;
      GBytes *image = bl_library_get_board_photo (library, board, photo->id, NULL, &reason);
      if (!keep_photo (report, photo->id, image, reason, error))
        return FALSE;
    }
  return TRUE;
}

/* The joined board's photos are those of its boards, by role, and the equipment's own. */
static gboolean
take_equipment_photos (BlJobReport *report, BlLibrary *library, gint64 equipment, GError **error)
{
  g_autoptr (GPtrArray) boards = bl_library_equipment_boards (library, equipment, error);

  for (guint i = 0; boards != NULL && i < bl_len (report->board->photos); i++)
    {
      const char *id = ((const BlPhoto *) bl_at (report->board->photos, i))->id;
      g_autofree char *role = bl_place_role (id);
      gint64 board = 0;
      GError *reason = NULL;
      GBytes *image;
      for (guint j = 0; role != NULL && j < boards->len; j++)
        if (g_strcmp0 (((const BlEquipmentBoard *) bl_at (boards, j))->role, role) == 0)
          board = ((const BlEquipmentBoard *) bl_at (boards, j))->board;
      image = board != 0 ? bl_library_get_board_photo (library, board, bl_place_strip (id, role), NULL, &reason)
                         : bl_library_get_equipment_photo (library, equipment, id, NULL, &reason);
      if (!keep_photo (report, id, image, reason, error))
        return FALSE;
    }
  return boards != NULL;
}

/* The board that the job is about, joined from several where it is about an equipment, with its photos. */
static gboolean
take_board (BlJobReport *report, BlLibrary *library, const BlJob *job, GError **error)
{
  g_autoptr (BlEquipment) equipment = NULL;

  if (job->equipment == 0)
    {
      report->board = bl_library_load_board (library, job->board, error);
      return report->board != NULL && take_board_photos (report, library, job->board, error);
    }
  equipment = bl_library_get_equipment (library, job->equipment, error);
  if (equipment == NULL)
    return FALSE;
  report->equipment = g_strdup (equipment->title != NULL ? equipment->title : _ ("equipment"));
  report->board = bl_library_join_equipment (library, job->equipment, NULL, error);
  return report->board != NULL && take_equipment_photos (report, library, job->equipment, error);
}

static gboolean
take_pictures (BlJobReport *report, BlLibrary *library, gint64 job, GError **error)
{
  g_autoptr (GPtrArray) photos = bl_library_job_photos (library, job, error);

  if (photos == NULL)
    return FALSE;
  for (guint i = 0; i < photos->len; i++)
    {
      const BlJobPhoto *photo = bl_at (photos, i);
      GBytes *image = bl_library_get_job_photo (library, photo->id, NULL, error);
      BlReportPicture *picture;
      if (image == NULL)
        return FALSE;
      picture = g_new0 (BlReportPicture, 1);
      picture->id = g_strdup_printf ("job:%" G_GINT64_FORMAT, photo->id);
      picture->title = g_strdup (photo->title);
      picture->image = image;
      g_ptr_array_add (report->pictures, picture);
    }
  return TRUE;
}

gboolean
bl_report_weigh (BlJobReport *report, BlLibrary *library, gint64 id, double usual, GError **error)
{
  g_return_val_if_fail (report != NULL && report->board != NULL && library != NULL, FALSE);
  g_autoptr (BlJob) job = bl_library_load_job (library, id, error);
  g_autoptr (GPtrArray) causes = NULL;
  g_autoptr (BlLearned) learned = NULL;
  double own = NAN; /* an equipment has none of its own */

  if (job == NULL)
    return FALSE;
  causes = job->equipment != 0 ? bl_library_equipment_causes (library, job->equipment, id, error)
                               : bl_library_causes (library, job->board, id, error);
  if (causes == NULL || (job->equipment == 0 && !bl_library_get_strength (library, job->board, &own, error)))
    return FALSE;
  learned = bl_learned_new (report->board, causes, isnan (own) ? usual : own);
  g_clear_pointer (&report->weighed, bl_board_free);
  report->repairs = 0;
  if (!bl_learned_differs (learned))
    return TRUE;
  report->weighed = bl_board_copy (report->board);
  bl_learned_apply (learned, report->weighed);
  report->repairs = learned->repairs;
  return TRUE;
}

/* A verdict stands as it was given, but what its band follows may have been read again since: then the odds go by the
 * new one, and the line says so. */
static void
say_followers (BlJobReport *report)
{
  g_autoptr (GPtrArray) judged = bl_evidence_judge (report->board, report->entries, NULL);
  g_autoptr (GHashTable) seen = g_hash_table_new (g_str_hash, g_str_equal);

  for (guint i = report->lines->len; judged != NULL && i > 0; i--)
    {
      BlReportLine *line = bl_at (report->lines, i - 1);
      const BlMeasurement *measurement;
      const BlJudged *now;
      if (line->kind != BL_REPORT_READING || line->struck || line->subject == NULL || line->verdict == NULL
          || !g_hash_table_add (seen, line->subject))
        continue;
      measurement = bl_board_measurement (report->board, line->subject);
      if (measurement == NULL || measurement->expected.follows == NULL)
        continue;
      now = bl_judged_last (judged, line->subject);
      if (now == NULL || g_strcmp0 (bl_verdict_label (now->verdict), bl_verdict_label (line->verdict)) == 0)
        continue;
      g_free (line->from);
      line->from
        = g_strdup_printf (_ ("by the last reading of %s it is %s"), measurement->expected.follows->measurement,
                           bl_class_word (bl_verdict_label (now->verdict)));
    }
}

BlJobReport *
bl_report_gather (BlLibrary *library, gint64 id, GError **error)
{
  g_autoptr (BlJob) job = bl_library_load_job (library, id, error);
  g_autoptr (BlJobReport) report = bl_job_report_new ();
  g_autoptr (GPtrArray) records = NULL;

  if (job == NULL)
    return NULL;
  take_head (report, library, job);
  records = take_board (report, library, job, error) ? bl_library_records (library, id, error) : NULL;
  if (records == NULL || !take_pictures (report, library, id, error) || !take_gone_on (report, library, id, error) ||
      !bl_report_weigh (report, library, id, BL_LEARN_STRENGTH, error))
    return NULL;
  for (guint i = 0; i < records->len; i++)
    g_ptr_array_add (report->lines, line_from_record (bl_at (records, i)));
  take_meters (report, library, records);
  g_ptr_array_unref (report->entries);
  report->entries = bl_records_to_entries (records);
  bl_bench_follow_entries (report->board, records, report->entries);
  bl_evidence_keep_known (report->board, report->entries);
  say_followers (report);
  return g_steal_pointer (&report);
}
