/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The meter of an open job: one of the shop's, or an accuracy that was typed.
 *
 * A line "meter" of the log says which it is from then on: its text for the reader, "Handheld (meter 3)",
 * its subject for the program, "3", or "3 past due" where its calibration had run out. A line of the second
 * kind comes before the first reading for which that is so, by itself: readings taken past the date stay
 * told from the others whatever is entered as the next calibration. An accuracy that was typed has no
 * subject. */
#include "config.h"

#include "bl-bench-private.h"
#include "bl-meter-words.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#define PAST_DUE " past due"

gboolean
bl_record_meter_past_due (const BlRecord *record)
{
  g_return_val_if_fail (record != NULL, FALSE);
  return record->kind == BL_RECORD_METER && record->subject != NULL && g_str_has_suffix (record->subject, PAST_DUE);
}

const BlRecord *
bl_bench_meter_record (BlBench *self, const BlRecord *reading)
{
  const BlRecord *found = NULL;

  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  for (guint i = 0; i < bl_len (self->records); i++)
    {
      const BlRecord *record = bl_at (self->records, i);
      if (record == reading)
        break;
      if (record->kind == BL_RECORD_METER && !record->struck)
        found = record;
    }
  return found;
}

/* Follows what the log says last. One that cannot be read any more leaves the job without a meter; its
 * name still stands in the log. */
void
bl_bench_follow_meter (BlBench *self)
{
  const BlRecord *record = bl_bench_meter_record (self, NULL);

  g_clear_pointer (&self->meter, g_free);
  g_clear_pointer (&self->shop_meter, bl_shop_meter_free);
  if (record == NULL)
    return;
  if (record->subject == NULL)
    self->meter = g_strdup (record->text);
  else
    self->shop_meter
      = bl_library_load_meter (self->library, g_ascii_strtoll (record->subject, NULL, 10), NULL, NULL);
}

void
bl_bench_meters_changed (BlBench *self)
{
  g_return_if_fail (BL_IS_BENCH (self));
  bl_bench_follow_meter (self);
  bl_bench_announce (self);
}

static BlRecord *
meter_record (const BlShopMeter *meter, gint64 now)
{
  gboolean past = bl_shop_meter_calibration (meter, now, NULL) == BL_CALIBRATION_PAST;
  g_autofree char *subject = g_strdup_printf ("%" G_GINT64_FORMAT "%s", meter->id, past ? PAST_DUE : "");
  /* Translators: name and number of a meter of the shop. */
  g_autofree char *text = g_strdup_printf (past ? _ ("%s (meter %d), past its calibration") : _ ("%s (meter %d)"),
                                           meter->name, (int) meter->id);
  return bl_record_new (BL_RECORD_METER, subject, text);
}

BlRecord *
bl_bench_due_meter_record (BlBench *self)
{
  const BlRecord *now_said = bl_bench_meter_record (self, NULL);
  g_autoptr (BlRecord) record = NULL;

  if (self->shop_meter == NULL)
    return NULL;
  record = meter_record (self->shop_meter, g_get_real_time ());
  return g_strcmp0 (now_said->subject, record->subject) != 0 ? g_steal_pointer (&record) : NULL;
}

gboolean
bl_bench_set_shop_meter (BlBench *self, gint64 id, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  g_autoptr (BlShopMeter) meter = bl_library_load_meter (self->library, id, NULL, error);
  g_autoptr (BlRecord) record = NULL;

  if (meter == NULL)
    return FALSE;
  record = meter_record (meter, g_get_real_time ());
  return bl_bench_append (self, record, error);
}

const BlShopMeter *
bl_bench_get_shop_meter (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  return self->shop_meter;
}

gboolean
bl_bench_set_meter (BlBench *self, const char *spec, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && spec != NULL, FALSE);
  g_autoptr (BlRecord) record = NULL;
  BlMeter meter;

  if (!bl_meter_parse (spec, &meter, error))
    return FALSE;
  record = bl_record_new (BL_RECORD_METER, NULL, spec);
  return bl_bench_append (self, record, error);
}

const char *
bl_bench_get_meter (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  return self->meter;
}

/* --- readings --- */

char *
bl_bench_meter_spec (BlBench *self, const BlMeasurement *measurement, const char *text, const BlMeterRange **range)
{
  g_autoptr (GError) error = NULL;
  const BlMeterRange *found;
  char *spec = NULL;

  g_return_val_if_fail (BL_IS_BENCH (self) && measurement != NULL, NULL);
  if (range != NULL)
    *range = NULL;
  if (measurement->measures == BL_MEASURES_CHECK)
    return NULL;
  if (self->shop_meter == NULL)
    return g_strdup (self->meter);
  found = bl_shop_meter_choose (self->shop_meter, measurement->measures, text, BL_METER_AUTO, &spec, &error);
  /* Beyond every range: it was read all the same, so in the widest. */
  if (found == NULL && g_error_matches (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID))
    {
      found = bl_shop_meter_largest (self->shop_meter, measurement->measures);
      spec = found != NULL ? bl_meter_range_spec (self->shop_meter, found) : NULL;
    }
  if (range != NULL)
    *range = found;
  return spec;
}

char *
bl_bench_meter_doubt (BlBench *self, const BlMeasurement *measurement, const char *text)
{
  g_autoptr (GError) error = NULL;

  g_return_val_if_fail (BL_IS_BENCH (self) && measurement != NULL, NULL);
  if (self->shop_meter == NULL || measurement->measures == BL_MEASURES_CHECK
      || bl_shop_meter_choose (self->shop_meter, measurement->measures, text, BL_METER_AUTO, NULL, &error) != NULL
      || !g_error_matches (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID))
    return NULL;
  return g_strdup (error->message);
}

/* --- words --- */

/* A list of sentences on one line; NULL when there are none. Takes words. */
static char *
joined (GPtrArray *words)
{
  if (words->len == 0)
    return NULL;
  g_ptr_array_add (words, NULL);
  return g_strjoinv ("  ·  ", (char **) words->pdata);
}

static void
add_words (GPtrArray *words, char *text)
{
  if (text != NULL)
    g_ptr_array_add (words, text);
}

/* What a reading taken with spec says of itself. */
static void
add_reading (GPtrArray *words,
             BlBench *self,
             const BlMeasurement *measurement,
             const BlBand *band,
             const BlReading *reading,
             const char *spec)
{
  double source = bl_measurement_source_ohm (bl_bench_get_board (self), measurement);

  add_words (words, bl_meter_loading_words (reading, measurement, spec, source));
  add_words (words, bl_meter_ghost_words (reading, measurement, band, spec));
}

/* The range a value was read in and how far off it may be; or that no range goes so far. spec: as the reading
 * was kept, NULL: not kept yet. */
static void
add_range (GPtrArray *words,
           BlBench *self,
           const BlMeasurement *measurement,
           const BlReading *reading,
           const char *text,
           const char *kept)
{
  double source = bl_measurement_source_ohm (bl_bench_get_board (self), measurement);
  char *beyond = bl_bench_meter_doubt (self, measurement, text);
  const BlMeterRange *range = NULL;
  g_autofree char *spec = bl_bench_meter_spec (self, measurement, text, &range);

  if (beyond != NULL)
    {
      add_words (words, beyond);
      return;
    }
  /* kept with another meter, or before its ranges changed: its tooltip in the log says which */
  if (range == NULL || reading->kind != BL_READING_VALUE || (kept != NULL && g_strcmp0 (kept, spec) != 0))
    return;
  g_autofree char *name = bl_meter_range_name (range);
  g_autofree char *limit = bl_meter_error_words (reading, measurement, spec, source);
  add_words (words, limit != NULL ? g_strdup_printf (_ ("%s range: %s"), name, limit)
                                  : g_strdup_printf (_ ("%s range"), name));
}

char *
bl_bench_meter_words (BlBench *self, BlMeasurementItem *item, const char *text)
{
  g_return_val_if_fail (BL_IS_BENCH (self) && BL_IS_MEASUREMENT_ITEM (item), NULL);
  const BlMeasurement *measurement = bl_measurement_item_get_measurement (item);
  const BlBand *band = bl_measurement_item_get_band (item);
  const BlBoard *board = bl_bench_get_board (self);
  g_autoptr (GPtrArray) words = g_ptr_array_new_with_free_func (g_free);
  const BlRecord *record = bl_measurement_item_get_record (item);
  const BlMeterRange *widest;
  g_autofree char *spec = NULL, *usual = NULL;
  BlReading reading;

  if (measurement->measures == BL_MEASURES_CHECK)
    return NULL;
  if (text != NULL && *text != '\0' && bl_reading_parse (text, measurement->measures, &reading, NULL))
    {
      spec = bl_bench_meter_spec (self, measurement, text, NULL);
      add_range (words, self, measurement, &reading, text, NULL);
      add_reading (words, self, measurement, band, &reading, spec);
    }
  else if ((text == NULL || *text == '\0') && record != NULL && !bl_measurement_item_is_old (item)
           && bl_measurement_item_get_reading (item, &reading))
    {
      add_range (words, self, measurement, &reading, record->text, record->meter != NULL ? record->meter : "");
      add_reading (words, self, measurement, band, &reading, record->meter);
    }
  widest = self->shop_meter != NULL ? bl_shop_meter_largest (self->shop_meter, measurement->measures) : NULL;
  usual = widest != NULL ? bl_meter_range_spec (self->shop_meter, widest) : g_strdup (self->meter);
  add_words (words, bl_meter_warning (self->shop_meter, spec != NULL ? spec : usual, board, measurement, band));
  return joined (words);
}

char *
bl_bench_calibration_words (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  return self->shop_meter != NULL ? bl_meter_calibration_words (self->shop_meter, g_get_real_time ()) : NULL;
}

char *
bl_bench_record_meter_words (BlBench *self, const BlRecord *reading)
{
  const BlMeasurementItem *item;
  const BlRecord *meter;
  g_autoptr (GPtrArray) words = g_ptr_array_new_with_free_func (g_free);
  BlReading value;

  g_return_val_if_fail (BL_IS_BENCH (self) && reading != NULL, NULL);
  if (reading->kind != BL_RECORD_READING || reading->meter == NULL || *reading->meter == '\0')
    return NULL;
  meter = bl_bench_meter_record (self, reading);
  /* Translators: a reading was taken with a meter; then its accuracy. */
  add_words (words, meter != NULL && meter->subject != NULL
                      ? g_strdup_printf (_ ("with %s, %s"), meter->text, reading->meter)
                      : g_strdup_printf (_ ("with a meter of %s"), reading->meter));
  item = bl_bench_find (self, reading->subject);
  if (item != NULL)
    {
      const BlMeasurement *measurement = bl_measurement_item_get_measurement ((BlMeasurementItem *) item);
      if (bl_reading_parse (reading->text, measurement->measures, &value, NULL))
        add_reading (words, self, measurement, reading->band, &value, reading->meter);
    }
  return joined (words);
}
