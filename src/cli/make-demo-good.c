/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The known-good boards of the demo library: jobs without a fault whose readings are drawn about given values with
 * a fixed seed, so that the same sources give the same boards. All of it is invented. A normal variate is made of
 * two uniform ones (G. E. P. Box, M. E. Muller, Annals of Mathematical Statistics 29 (1958) 610). */
#include "config.h"

#include "make-demo.h"

#include "bl-library-known-good.h"

#include <math.h>

#define READING_SECONDS 40

typedef struct
{
  Demo *demo;
  const json_t *root;
  const BlBoard *board;
  gint64 board_id;
  GRand *rand;
} Good;

static const char *
text_of (const json_t *object, const char *key)
{
  return json_string_value (json_object_get (object, key));
}

static double
number_of (const json_t *object, const char *key)
{
  const json_t *value = json_object_get (object, key);
  return value != NULL ? json_number_value (value) : NAN;
}

static double
normal (GRand *rand)
{
  double one = 1 - g_rand_double (rand), other = g_rand_double (rand);
  return sqrt (-2 * log (one)) * cos (2 * G_PI * other);
}

/* What the meter shows of a value: no more decimals than its step has. (transfer full) */
static char *
shown (double value, double step)
{
  char text[G_ASCII_DTOSTR_BUF_SIZE];
  int decimals = MAX (0, (int) ceil (-log10 (step) - 1e-9));
  g_autofree char *format = g_strdup_printf ("%%.%df", decimals);

  return g_strdup (g_ascii_formatd (text, sizeof text, format, round (value / step) * step));
}

static void
add_entry (GPtrArray *entries, const char *measurement, const char *text, const char *meter)
{
  BlEntry *entry = bl_entry_new (BL_ENTRY_READING, measurement, text);

  entry->meter = g_strdup (meter);
  g_ptr_array_add (entries, entry);
}

/* What was read instead on this board. */
static const json_t *
said (const Good *good, json_int_t number, const char *measurement)
{
  const json_t *list = json_object_get (good->root, "said");
  gsize i;
  json_t *entry;

  json_array_foreach (list, i, entry)
    if (json_integer_value (json_object_get (entry, "number")) == number
        && g_strcmp0 (text_of (entry, "measurement"), measurement) == 0)
      return entry;
  return NULL;
}

/* Draws all readings of one board, the place-th. */
static GPtrArray *
draw_readings (const Good *good, json_int_t number, gsize place)
{
  g_autoptr (GHashTable) factors = g_hash_table_new_full (g_str_hash, g_str_equal, NULL, g_free);
  GPtrArray *entries = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_entry_free);
  const char *meter = text_of (good->root, "meter");
  gsize i;
  json_t *source;

  json_array_foreach (json_object_get (good->root, "measurements"), i, source)
    {
      const char *id = text_of (source, "id"), *with = text_of (source, "with");
      double mean = number_of (source, "mean"), value = mean + number_of (source, "s") * normal (good->rand);
      double boards = number_of (source, "boards"), *factor = g_new (double, 1);
      const double *other = with != NULL ? g_hash_table_lookup (factors, with) : NULL;
      const json_t *instead = said (good, number, id);
      if (other != NULL)
        value *= *other;
      *factor = value / mean;
      g_hash_table_insert (factors, (gpointer) id, factor);
      g_autofree char *text = shown (fmax (value, 0), number_of (source, "step"));
      if (!isnan (boards) && (double) place >= boards)
        continue;
      add_entry (entries, id, instead != NULL ? text_of (instead, "reading") : text, meter);
    }
  json_array_foreach (json_object_get (good->root, "answers"), i, source)
    add_entry (entries, json_string_value (source), "yes", NULL);
  return entries;
}

static BlEntry *
reading (const BlEntry *entry, GError **error, const BlBoard *board)
{
  const BlMeasurement *measurement = bl_board_measurement (board, entry->subject);
  BlEntry *copy = bl_entry_copy (entry);

  if (measurement == NULL)
    g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID, "known-good.json: there is no measurement %s",
                 entry->subject);
  else if (bl_reading_parse (copy->text, measurement->measures, &copy->reading, error))
    return copy;
  bl_entry_free (copy);
  return NULL;
}

static gboolean
append_readings (const Good *good, gint64 job, gint64 time, json_int_t number, GPtrArray *drawn, GError **error)
{
  g_autoptr (GPtrArray) entries = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_entry_free);
  g_autoptr (GPtrArray) records = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_record_free), judged = NULL;

  for (guint i = 0; i < drawn->len; i++)
    {
      BlEntry *entry = reading (bl_at (drawn, i), error, good->board);
      if (entry == NULL)
        return FALSE;
      g_ptr_array_add (entries, entry);
    }
  judged = bl_evidence_judge (good->board, entries, error);
  if (judged == NULL)
    return FALSE;
  for (guint i = 0; i < entries->len; i++)
    {
      BlRecord *record = demo_record (bl_at (entries, i), judged);
      record->job = job;
      record->time = time += (gint64) READING_SECONDS * G_USEC_PER_SEC;
      g_ptr_array_add (records, record);
    }
  if (!bl_library_append_all (good->demo->library, (BlRecord *const *) records->pdata, records->len, error))
    return FALSE;
  for (guint i = 0; i < records->len; i++)
    {
      const BlRecord *record = bl_at (records, i);
      const json_t *instead = said (good, number, record->subject);
      const char *struck = instead != NULL ? text_of (instead, "struck") : NULL;
      if (struck != NULL && !bl_library_strike (good->demo->library, record->id, TRUE, struck, error))
        return FALSE;
    }
  return TRUE;
}

static gboolean
add_board (const Good *good, const json_t *source, gsize place, GError **error)
{
  g_autoptr (BlJob) job = bl_job_new ();
  g_autofree char *intake = g_strdup_printf ("%sT09:00:00Z", text_of (source, "intake"));
  g_autoptr (GDateTime) time = g_date_time_new_from_iso8601 (intake, NULL);
  g_autoptr (GPtrArray) drawn = NULL;
  json_int_t number = json_integer_value (json_object_get (source, "number"));
  gint64 id;

  if (time == NULL)
    {
      g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID, "known-good.json: a board needs an intake");
      return FALSE;
    }
  job->board = good->board_id;
  job->number = (int) number;
  job->customer = g_strdup (text_of (good->root, "customer"));
  job->unit = g_strdup (text_of (good->root, "unit"));
  job->complaint = g_strdup (text_of (good->root, "complaint"));
  job->serial = g_strdup (text_of (source, "serial"));
  job->closed = TRUE;
  job->created = g_date_time_to_unix (time) * G_USEC_PER_SEC;
  job->handed_back = job->created + G_TIME_SPAN_DAY;
  id = bl_library_add_job (good->demo->library, job, error);
  drawn = draw_readings (good, number, place);
  return id != 0 && append_readings (good, id, job->created, number, drawn, error)
         && bl_library_mark_known_good (good->demo->library, id, BL_KNOWN_GOOD_YES, error);
}

gboolean
demo_add_known_good (Demo *demo, GError **error)
{
  g_autofree char *path = g_build_filename (demo->folder, "known-good.json", NULL);
  g_autoptr (BlBoard) board = NULL;
  json_error_t reason;
  json_t *root, *source;
  Good good = { demo, NULL, NULL, 0, NULL };
  gboolean ok;
  gsize i;

  if (!g_file_test (path, G_FILE_TEST_EXISTS))
    return TRUE;
  root = json_load_file (path, 0, &reason);
  if (root == NULL)
    {
      g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID, "%s:%d: %s", path, reason.line, reason.text);
      return FALSE;
    }
  good.root = root;
  good.board_id = demo_need_board (demo, text_of (root, "board"), error);
  board = good.board_id != 0 ? bl_library_load_board (demo->library, good.board_id, error) : NULL;
  good.board = board;
  good.rand = g_rand_new_with_seed ((guint32) json_integer_value (json_object_get (root, "seed")));
  ok = board != NULL;
  json_array_foreach (json_object_get (root, "boards"), i, source)
    ok = ok && add_board (&good, source, i, error);
  g_rand_free (good.rand);
  json_decref (root);
  return ok;
}
