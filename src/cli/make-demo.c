/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Builds the demo library from its sources: board documents, photos, jobs with their readings.
 *
 *   make-demo FOLDER PHOTOS OUT
 *
 * FOLDER holds jobs.json, the documents it names and their readings; PHOTOS holds the pictures by
 * their last name. Runs at build time; a mistake in the sources stops the build. Times follow from
 * the intake date, so that the same sources give the same log. */
#include "config.h"

#include "make-demo.h"

#include "bl-bundle.h"
#include "bl-document.h"
#include "bl-format.h"
#include "bl-library-equipment.h"

#include <gdk-pixbuf/gdk-pixbuf.h>
#include <locale.h>
#include <string.h>

#include <glib/gstdio.h>

#define DAYS_IN_THE_SHOP 2 /* until an ended job was handed back */
#define ENTRY_SECONDS 40  /* from one line of the log to the next */
#define STATE_SECONDS 120 /* to bring the board into a state */
#define THUMBNAIL_PX 320

typedef struct
{
  Demo *demo;
  gint64 job, time;
  const char *meter;
} Log;

static gboolean G_GNUC_PRINTF (2, 3) fail (GError **error, const char *format, ...)
{
  va_list arguments;

  va_start (arguments, format);
  if (error != NULL)
    *error = g_error_new_valist (BL_STORE_ERROR, BL_STORE_ERROR_INVALID, format, arguments);
  va_end (arguments);
  return FALSE;
}

static const char *
text_of (const json_t *object, const char *key)
{
  return json_string_value (json_object_get (object, key));
}

/* --- boards --- */

/* The picture made small, as JPEG. (transfer full) */
static GBytes *
make_thumbnail (const char *path, GError **error)
{
  g_autoptr (GdkPixbuf) pixbuf =
      gdk_pixbuf_new_from_file_at_scale (path, THUMBNAIL_PX, THUMBNAIL_PX, TRUE, error);
  g_autoptr (GdkPixbuf) upright =
      pixbuf != NULL ? gdk_pixbuf_apply_embedded_orientation (pixbuf) : NULL;
  char *data = NULL;
  gsize length = 0;

  if (upright == NULL ||
      !gdk_pixbuf_save_to_buffer (upright, &data, &length, "jpeg", error, "quality", "85", NULL))
    return NULL;
  return g_bytes_new_take (data, length);
}

static gboolean
add_photos (Demo *demo, gint64 id, const BlBoard *board, GError **error)
{
  for (guint i = 0; i < bl_len (board->photos); i++)
    {
      const BlPhoto *photo = bl_at (board->photos, i);
      g_autofree char *name = photo->file != NULL ? g_path_get_basename (photo->file) : NULL;
      g_autofree char *path = name != NULL ? g_build_filename (demo->photos, name, NULL) : NULL;
      g_autoptr (GBytes) image = NULL, thumbnail = NULL;
      char *data = NULL;
      gsize length = 0;
      if (path == NULL)
        continue;
      if (!g_file_get_contents (path, &data, &length, error))
        return FALSE;
      image = g_bytes_new_take (data, length);
      if (bl_image_mime (image) == NULL)
        return fail (error, "%s: no picture of a known kind", path);
      thumbnail = make_thumbnail (path, error);
      if (thumbnail == NULL ||
          !bl_library_put_board_photo (demo->library, id, photo->id, bl_image_mime (image), image,
                                       thumbnail, error))
        return FALSE;
    }
  return TRUE;
}

gint64
demo_need_board (Demo *demo, const char *file, GError **error)
{
  g_autofree char *path = g_build_filename (demo->folder, file, NULL);
  g_autoptr (BlBoard) board = NULL;
  gint64 *known = g_hash_table_lookup (demo->boards, file), id;

  if (known != NULL)
    return *known;
  board = bl_board_load_file (path, NULL, error);
  id = board != NULL ? bl_library_add_board (demo->library, board, FALSE, error) : 0;
  if (id == 0 || !add_photos (demo, id, board, error))
    return 0;
  known = g_new (gint64, 1);
  *known = id;
  g_hash_table_insert (demo->boards, g_strdup (file), known);
  return id;
}

/* --- jobs --- */

static gboolean
append (Log *log, BlRecord *record, int seconds, GError **error)
{
  log->time += (gint64) seconds * G_USEC_PER_SEC;
  record->job = log->job;
  record->time = log->time;
  return bl_library_append (log->demo->library, record, error);
}

static gboolean
append_note (Log *log, const json_t *entry, GError **error)
{
  static const struct
  {
    const char *name;
    BlRecordKind kind;
  } kinds[] = { { "note", BL_RECORD_NOTE },
                { "state", BL_RECORD_STATE },
                { "proof", BL_RECORD_PROOF },
                { "meter", BL_RECORD_METER },
                { "replaced", BL_RECORD_REPLACED },
                { "cause", BL_RECORD_CAUSE },
                { "no cause", BL_RECORD_NO_CAUSE },
                { "supply", BL_RECORD_SUPPLY },
                { "mark", BL_RECORD_MARK } };
  const char *name = text_of (entry, "kind");

  for (guint i = 0; i < G_N_ELEMENTS (kinds); i++)
    if (g_strcmp0 (name, kinds[i].name) == 0)
      {
        g_autoptr (BlRecord) record =
            bl_record_new (kinds[i].kind, text_of (entry, "subject"), text_of (entry, "text"));
        if (kinds[i].kind == BL_RECORD_MARK)
          {
            record->photo = g_strdup (text_of (entry, "photo"));
            record->x = json_number_value (json_object_get (entry, "x"));
            record->y = json_number_value (json_object_get (entry, "y"));
          }
        return append (log, record,
                       kinds[i].kind == BL_RECORD_STATE ? STATE_SECONDS : ENTRY_SECONDS, error);
      }
  return fail (error, "jobs.json: unknown kind of log entry: %s", name);
}

static BlRecordKind
record_kind (BlEntryKind kind)
{
  static const BlRecordKind kinds[] = { [BL_ENTRY_READING] = BL_RECORD_READING,
                                        [BL_ENTRY_PART_TEST] = BL_RECORD_PART_TEST,
                                        [BL_ENTRY_REPLACED] = BL_RECORD_REPLACED,
                                        [BL_ENTRY_ROUND] = BL_RECORD_ROUND,
                                        [BL_ENTRY_SYMPTOM] = BL_RECORD_SYMPTOM };

  return kinds[kind];
}

static const BlJudged *
judged_of (GPtrArray *judged, const BlEntry *entry)
{
  for (guint i = 0; i < judged->len; i++)
    if (((const BlJudged *) bl_at (judged, i))->entry == entry)
      return bl_at (judged, i);
  return NULL;
}

BlRecord *
demo_record (const BlEntry *entry, GPtrArray *judged)
{
  const BlJudged *found = judged_of (judged, entry);
  const char *text = entry->kind == BL_ENTRY_REPLACED ? NULL : entry->text;
  BlRecord *record = bl_record_new (record_kind (entry->kind), entry->subject, text);

  if (found != NULL)
    {
      record->state = g_strdup (entry->state != NULL ? entry->state : found->measurement->state);
      record->black = g_strdup (entry->black != NULL ? entry->black : found->measurement->black);
      record->meter = g_strdup (entry->meter);
      record->band = found->band != NULL ? bl_band_copy (found->band) : NULL;
      record->verdict = bl_verdict_copy (found->verdict);
      if (found->band != NULL)
        record->expected = bl_format_band (found->band);
    }
  return record;
}

static gboolean
append_entry (Log *log, const BlEntry *entry, GPtrArray *judged, GError **error)
{
  g_autoptr (BlRecord) record = demo_record (entry, judged);

  return append (log, record, ENTRY_SECONDS, error);
}

/* Log entries that come after so many lines of the readings. */
static gboolean
append_notes_after (Log *log, const json_t *notes, guint lines, gboolean rest, GError **error)
{
  gsize i;
  json_t *entry;

  json_array_foreach (notes, i, entry)
  {
    json_int_t after = json_integer_value (json_object_get (entry, "after"));
    if ((after == (json_int_t) lines || (rest && after > (json_int_t) lines)) &&
        !append_note (log, entry, error))
      return FALSE;
  }
  return TRUE;
}

static gboolean
append_all (Log *log, const json_t *source, const BlBoard *board, GError **error)
{
  const char *file = text_of (source, "readings");
  g_autofree char *path = file != NULL ? g_build_filename (log->demo->folder, file, NULL) : NULL,
                  *csv = NULL;
  g_autoptr (GPtrArray) entries = NULL, judged = NULL;
  const json_t *notes = json_object_get (source, "log");

  if (path == NULL)
    return append_notes_after (log, notes, 0, TRUE, error);
  if (!g_file_get_contents (path, &csv, NULL, error))
    return FALSE;
  entries = bl_evidence_parse_csv (board, csv, -1, error);
  for (guint i = 0; i < bl_len (entries); i++)
    {
      BlEntry *entry = bl_at (entries, i);
      if (entry->kind == BL_ENTRY_READING && (entry->meter == NULL || entry->meter[0] == '\0'))
        {
          g_free (entry->meter);
          entry->meter = g_strdup (log->meter);
        }
    }
  judged = entries != NULL ? bl_evidence_judge (board, entries, error) : NULL;
  if (judged == NULL)
    {
      g_prefix_error (error, "%s: ", path);
      return FALSE;
    }
  for (guint i = 0; i < entries->len; i++)
    if (!append_notes_after (log, notes, i, FALSE, error) ||
        !append_entry (log, bl_at (entries, i), judged, error))
      return FALSE;
  return append_notes_after (log, notes, entries->len, TRUE, error);
}

/* Pictures taken for the job: {"file", "title"} each, among the other pictures. */
static gboolean
add_pictures (Demo *demo, gint64 job, const json_t *pictures, GError **error)
{
  gsize i;
  json_t *picture;

  json_array_foreach (pictures, i, picture)
  {
    const char *file = text_of (picture, "file");
    g_autofree char *path = file != NULL ? g_build_filename (demo->photos, file, NULL) : NULL;
    char *data = NULL;
    g_autoptr (GBytes) image = NULL;
    gsize length = 0;
    if (path == NULL)
      return fail (error, "jobs.json: a photo needs a file");
    if (!g_file_get_contents (path, &data, &length, error))
      return FALSE;
    image = g_bytes_new_take (data, length);
    if (bl_image_mime (image) == NULL)
      return fail (error, "%s: no picture of a known kind", path);
    if (bl_library_add_job_photo (demo->library, job, text_of (picture, "title"),
                                  bl_image_mime (image), image, error) == 0)
      return FALSE;
  }
  return TRUE;
}

/* The board that the job is about, or the boards of its equipment as one. */
static BlBoard *
subject_of (Demo *demo, const json_t *source, BlJob *job, GError **error)
{
  if (text_of (source, "equipment") != NULL)
    {
      job->equipment = demo_need_equipment (demo, text_of (source, "equipment"), error);
      return job->equipment != 0 ? bl_library_join_equipment (demo->library, job->equipment, NULL, error) : NULL;
    }
  job->board = demo_need_board (demo, text_of (source, "board"), error);
  return job->board != 0 ? bl_library_load_board (demo->library, job->board, error) : NULL;
}

static gboolean
add_job (Demo *demo, const json_t *source, GError **error)
{
  g_autoptr (BlJob) job = bl_job_new ();
  g_autofree char *intake = g_strdup_printf ("%sT09:00:00Z", text_of (source, "intake"));
  g_autoptr (GDateTime) time = g_date_time_new_from_iso8601 (intake, NULL);
  g_autoptr (BlBoard) board = NULL;
  g_autoptr (BlRecord) meter = bl_record_new (BL_RECORD_METER, NULL, text_of (source, "meter"));
  Log log = { demo, 0, 0, text_of (source, "meter") };

  if ((text_of (source, "board") == NULL && text_of (source, "equipment") == NULL) || time == NULL)
    return fail (error, "jobs.json: a job needs a board, or an equipment, and the date of its intake");
  board = subject_of (demo, source, job, error);
  if (board == NULL)
    return FALSE;
  job->number = (int) json_integer_value (json_object_get (source, "number"));
  job->customer = g_strdup (text_of (source, "customer"));
  job->unit = g_strdup (text_of (source, "unit"));
  job->serial = g_strdup (text_of (source, "serial"));
  job->complaint = g_strdup (text_of (source, "complaint"));
  job->cause = g_strdup (text_of (source, "cause"));
  job->closed = json_is_true (json_object_get (source, "closed"));
  job->created = log.time = g_date_time_to_unix (time) * G_USEC_PER_SEC;
  if (job->closed)
    job->handed_back = job->created + DAYS_IN_THE_SHOP * G_TIME_SPAN_DAY;
  log.job = bl_library_add_job (demo->library, job, error);
  return log.job != 0 && add_pictures (demo, log.job, json_object_get (source, "photos"), error) &&
         (log.meter == NULL || append (&log, meter, ENTRY_SECONDS, error)) &&
         append_all (&log, source, board, error);
}

/* --- all of it --- */

static int
compare_names (gconstpointer a, gconstpointer b)
{
  return strcmp (*(const char *const *) a, *(const char *const *) b);
}

/* Boards that no job is about are part of the library too. */
static gboolean
add_other_boards (Demo *demo, GError **error)
{
  g_autoptr (GDir) dir = g_dir_open (demo->folder, 0, error);
  g_autoptr (GPtrArray) names = g_ptr_array_new_with_free_func (g_free);
  const char *name;

  if (dir == NULL)
    return FALSE;
  while ((name = g_dir_read_name (dir)) != NULL)
    if (g_str_has_suffix (name, "-board.json"))
      g_ptr_array_add (names, g_strdup (name));
  g_ptr_array_sort (names, compare_names);
  for (guint i = 0; i < names->len; i++)
    if (demo_need_board (demo, bl_at (names, i), error) == 0)
      return FALSE;
  return TRUE;
}

static gboolean
build (Demo *demo, GError **error)
{
  g_autofree char *path = g_build_filename (demo->folder, "jobs.json", NULL);
  json_error_t reason;
  json_t *root = json_load_file (path, 0, &reason), *job;
  gboolean ok = root != NULL || fail (error, "%s:%d: %s", path, reason.line, reason.text);
  gsize i;

  ok = ok && add_other_boards (demo, error) && demo_add_equipments (demo, error);
  json_array_foreach (json_object_get (root, "jobs"), i, job) ok = ok && add_job (demo, job, error);
  json_decref (root);
  return ok && demo_add_known_good (demo, error);
}

int
main (int argc, char **argv)
{
  g_autoptr (GError) error = NULL;
  Demo demo = { NULL };
  gboolean ok;

  setlocale (LC_ALL, "");
  if (argc != 4)
    {
      g_printerr ("usage: make-demo FOLDER PHOTOS OUT\n");
      return 2;
    }
  demo.folder = argv[1];
  demo.photos = argv[2];
  demo.boards = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  g_unlink (argv[3]);
  demo.library = bl_library_open (argv[3], TRUE, &error);
  ok = demo.library != NULL && build (&demo, &error);
  g_clear_pointer (&demo.library, bl_library_close);
  g_hash_table_unref (demo.boards);
  if (ok)
    return 0;
  g_printerr ("make-demo: %s\n", error->message);
  g_unlink (argv[3]);
  return 1;
}
