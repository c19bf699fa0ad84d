/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A twin: the same kind of board, good or believed to be, whose readings are the only expected values
 * there are as long as nobody documented the board. Points are the same when they have the same name:
 * that is printed beside them on the board. Two hundred readings at most are compared.
 *
 * Two good boards never read the same; a difference counts from the width on that a band kept from one
 * board gets (bl-bench-private.h), and the uncertainties of both meters come on top.
 */
#include "config.h"

#include "bl-twin.h"

#include "bl-bench-private.h"
#include "bl-format.h"

#include <glib/gi18n-lib.h>

struct BlTwin
{
  BlBoard *board;
  GPtrArray *logs;     /* GPtrArray of BlRecord: the logs of its jobs, owned */
  GHashTable *records; /* measurement id -> BlRecord, of the logs */
};

void
bl_twin_free (BlTwin *self)
{
  g_clear_pointer (&self->board, bl_board_free);
  g_clear_pointer (&self->records, g_hash_table_unref);
  g_clear_pointer (&self->logs, g_ptr_array_unref);
  g_free (self);
}

/* Jobs come newest first: what an older one has to say counts only where the newer ones are silent. */
static void
take_log (BlTwin *self, GPtrArray *log)
{
  g_autoptr (GHashTable) newest = g_hash_table_new (g_str_hash, g_str_equal);
  GHashTableIter iter;
  gpointer id, record;

  for (guint i = 0; i < log->len; i++)
    {
      BlRecord *read = bl_at (log, i);
      if (read->kind == BL_RECORD_READING && !read->struck && read->subject != NULL)
        g_hash_table_replace (newest, read->subject, read);
    }
  g_hash_table_iter_init (&iter, newest);
  while (g_hash_table_iter_next (&iter, &id, &record))
    if (!g_hash_table_contains (self->records, id))
      g_hash_table_insert (self->records, id, record);
  g_ptr_array_add (self->logs, log);
}

BlTwin *
bl_twin_new (BlLibrary *library, gint64 board, GError **error)
{
  g_autoptr (BlBoard) loaded = bl_library_load_board (library, board, error);
  g_autoptr (GPtrArray) jobs = loaded != NULL ? bl_library_jobs (library, error) : NULL;

  if (jobs == NULL)
    return NULL;
  g_autoptr (BlTwin) self = g_new0 (BlTwin, 1);
  self->logs = g_ptr_array_new_with_free_func ((GDestroyNotify) g_ptr_array_unref);
  self->records = g_hash_table_new (g_str_hash, g_str_equal);
  self->board = g_steal_pointer (&loaded);
  for (guint i = 0; i < jobs->len; i++)
    {
      const BlJob *job = bl_at (jobs, i);
      GPtrArray *log = job->board == board ? bl_library_records (library, job->id, error) : NULL;
      if (log != NULL)
        take_log (self, log);
      else if (job->board == board)
        return NULL;
    }
  return g_steal_pointer (&self);
}

const BlBoard *
bl_twin_get_board (BlTwin *self)
{
  g_return_val_if_fail (self != NULL, NULL);
  return self->board;
}

const BlMeasurement *
bl_twin_find (BlTwin *self, const BlMeasurement *measurement)
{
  g_return_val_if_fail (self != NULL && measurement != NULL, NULL);

  for (guint i = 0; measurement->at != NULL && i < bl_len (self->board->measurements); i++)
    {
      const BlMeasurement *other = bl_at (self->board->measurements, i);
      if (other->at != NULL && g_ascii_strcasecmp (other->at, measurement->at) == 0
          && other->measures == measurement->measures && g_strcmp0 (other->state, measurement->state) == 0)
        return other;
    }
  return NULL;
}

const BlRecord *
bl_twin_record (BlTwin *self, const BlMeasurement *of_twin)
{
  g_return_val_if_fail (self != NULL && of_twin != NULL, NULL);
  return g_hash_table_lookup (self->records, of_twin->id);
}

char *
bl_twin_words (BlTwin *self, const char *point)
{
  g_return_val_if_fail (self != NULL, NULL);
  g_autofree char *expected = NULL;

  for (guint i = 0; i < bl_len (self->board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (self->board->measurements, i);
      const BlRecord *record = bl_twin_record (self, measurement);
      g_autofree char *unit = bl_format_unit (measurement->measures), *value = NULL;
      BlReading reading;
      if (g_strcmp0 (measurement->at, point) != 0)
        continue;
      if (record != NULL && bl_reading_parse (record->text, measurement->measures, &reading, NULL))
        {
          value = bl_format_reading (measurement->measures, &reading);
          return g_strdup_printf ("%s %s", value, unit);
        }
      g_autoptr (BlBand) band
        = expected == NULL && measurement->has_expected ? bl_band_resolve (measurement, NAN, NAN, NULL) : NULL;
      value = band != NULL ? bl_format_band (band) : NULL;
      if (value != NULL && *value != '\0')
        expected = g_strdup_printf (_ ("expected %s %s"), value, unit);
    }
  return expected != NULL ? g_steal_pointer (&expected) : g_strdup ("");
}

/* --- comparing --- */

/* Where nothing was expected there is a verdict of no worth. */
static gboolean
was_judged (const BlRecord *record)
{
  return record->expected != NULL && *record->expected != '\0' && record->band != NULL && record->verdict != NULL
         && record->verdict->evidence;
}

static gboolean
values_differ (const BlMeasurement *measurement, double own, double own_u, double other, double other_u)
{
  double share = bl_measures_is_resistive (measurement->measures) ? BL_SHARE_RESISTANCE : BL_SHARE_LEVEL;

  return fabs (own - other) > share / 100 * fabs (other) + 2 * (own_u + other_u);
}

static double
uncertainty (const BlRecord *record)
{
  return record->verdict != NULL && record->verdict->u > 0 ? record->verdict->u : 0;
}

static gboolean
readings_differ (const BlMeasurement *measurement, const BlReading *own, const BlRecord *own_record,
                 const BlReading *other, const BlRecord *other_record)
{
  if (own->kind == BL_READING_NOT_REACHED || other->kind == BL_READING_NOT_REACHED)
    return FALSE;
  if (own->kind != other->kind)
    return TRUE;
  switch (own->kind)
    {
    case BL_READING_ANSWER:
      return own->answer != other->answer;
    case BL_READING_VALUE:
      return values_differ (measurement, own->value, uncertainty (own_record), other->value,
                            uncertainty (other_record));
    case BL_READING_RANGE:
      return measurement->measures == BL_MEASURES_SWING
             && (values_differ (measurement, own->value, 0, other->value, 0)
                 || values_differ (measurement, own->high, 0, other->high, 0));
    case BL_READING_OVER:
    case BL_READING_NOT_REACHED:
    default:
      return FALSE;
    }
}

/* Nobody read the twin, but its document says what it should read. */
static gboolean
differs_from_expected (const BlMeasurement *of_twin, const BlReading *own)
{
  g_autoptr (BlBand) band = of_twin->has_expected ? bl_band_resolve (of_twin, NAN, NAN, NULL) : NULL;
  g_autoptr (BlVerdict) verdict = band != NULL ? bl_judge (band, own, NULL, NAN, 0) : NULL;

  return verdict != NULL && verdict->evidence && verdict->certain && verdict->best != band->good;
}

gboolean
bl_twin_differs (BlTwin *self, BlMeasurementItem *item)
{
  g_return_val_if_fail (self != NULL && BL_IS_MEASUREMENT_ITEM (item), FALSE);
  const BlMeasurement *measurement = bl_measurement_item_get_measurement (item);
  const BlMeasurement *of_twin = bl_twin_find (self, measurement);
  const BlRecord *record = bl_measurement_item_get_record (item), *other_record;
  BlReading own, other;

  if (of_twin == NULL || record == NULL || !bl_measurement_item_get_reading (item, &own)
      || own.kind == BL_READING_NOT_REACHED)
    return FALSE;
  other_record = bl_twin_record (self, of_twin);
  if (other_record == NULL)
    return differs_from_expected (of_twin, &own);
  if (was_judged (record) && was_judged (other_record))
    return g_strcmp0 (bl_verdict_label (record->verdict), bl_verdict_label (other_record->verdict)) != 0;
  return bl_reading_parse (other_record->text, of_twin->measures, &other, NULL)
         && readings_differ (measurement, &own, record, &other, other_record);
}
