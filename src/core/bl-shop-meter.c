/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A meter of the shop in memory and as text. A shop has a handful, each with some ten to forty ranges.
 * The text is read and written by the tables of bl-schema.c like a board document, so that a wrong key
 * or a wrong type is told by its path; which range a reading belongs to is bl-shop-meter-choose.c's. */
#include "config.h"

#include "bl-shop-meter.h"

#include "bl-problem.h"

#include <string.h>

#include <glib/gi18n-lib.h>

#define FORMAT "benchlore-meter"
#define DAY ((gint64) 24 * 3600 * G_USEC_PER_SEC)

/* A meter as its text has it: what the text writes otherwise stands beside it. */
typedef struct
{
  BlShopMeter meter;
  char *calibrated;
  double interval_months;
} Paper;

#define AT(field) G_STRUCT_OFFSET (BlMeterRange, field)
static const BlField range_fields[] = {
  { "measures", BL_FIELD_MEASURES, AT (measures), 0, NULL, NULL },
  { "full_scale", BL_FIELD_PHYSICAL, AT (full_scale), 0, NULL, NULL },
  { "percent", BL_FIELD_NUMBER, AT (percent), 0, NULL, NULL },
  { "counts", BL_FIELD_NUMBER, AT (counts), 0, NULL, NULL },
  { "count", BL_FIELD_PHYSICAL, AT (count), 0, NULL, NULL },
  { "input_ohm", BL_FIELD_PHYSICAL, AT (input_ohm), 0, NULL, "ohm" },
  { "from_hz", BL_FIELD_PHYSICAL, AT (from_hz), 0, NULL, "Hz" },
  { "to_hz", BL_FIELD_PHYSICAL, AT (to_hz), 0, NULL, "Hz" },
  { NULL, BL_FIELD_TEXT, 0, 0, NULL, NULL },
};
#undef AT
static const BlSchema range_schema = { sizeof (BlMeterRange), range_fields, g_free, 0, 0 };

#define AT(field) G_STRUCT_OFFSET (Paper, field)
static const BlField meter_fields[] = {
  { "name", BL_FIELD_TEXT, AT (meter.name), 0, NULL, NULL },
  { "true_rms", BL_FIELD_FLAG, AT (meter.true_rms), 0, NULL, NULL },
  { "crest_factor", BL_FIELD_NUMBER, AT (meter.crest_factor), 0, NULL, NULL },
  { "input_ohm", BL_FIELD_PHYSICAL, AT (meter.input_ohm), 0, NULL, "ohm" },
  { "calibrated", BL_FIELD_TEXT, AT (calibrated), 0, NULL, NULL },
  { "interval_months", BL_FIELD_NUMBER, AT (interval_months), 0, NULL, NULL },
  { "driver", BL_FIELD_TEXT, AT (meter.driver), 0, NULL, NULL },
  { "connection", BL_FIELD_TEXT, AT (meter.connection), 0, NULL, NULL },
  { "ranges", BL_FIELD_LIST, AT (meter.ranges), 0, &range_schema, NULL },
  { NULL, BL_FIELD_TEXT, 0, 0, NULL, NULL },
};
#undef AT

static const BlSchema meter_schema = { sizeof (Paper), meter_fields, NULL, 0, 0 };

static void
paper_free (Paper *paper)
{
  bl_schema_free (&meter_schema, paper);
}
G_DEFINE_AUTOPTR_CLEANUP_FUNC (Paper, paper_free)

/* --- making --- */

BlShopMeter *
bl_shop_meter_new (const char *name)
{
  BlShopMeter *meter = g_new0 (BlShopMeter, 1);

  meter->name = g_strdup (name);
  meter->crest_factor = meter->input_ohm = NAN;
  meter->ranges = g_ptr_array_new_with_free_func (g_free);
  return meter;
}

void
bl_shop_meter_free (BlShopMeter *meter)
{
  if (meter == NULL)
    return;
  g_free (meter->name);
  g_free (meter->driver);
  g_free (meter->connection);
  g_clear_pointer (&meter->ranges, g_ptr_array_unref);
  g_free (meter);
}

BlShopMeter *
bl_shop_meter_copy (const BlShopMeter *meter)
{
  BlShopMeter *copy;

  g_return_val_if_fail (meter != NULL, NULL);
  copy = g_memdup2 (meter, sizeof *meter);
  copy->name = g_strdup (meter->name);
  copy->driver = g_strdup (meter->driver);
  copy->connection = g_strdup (meter->connection);
  copy->ranges = g_ptr_array_new_with_free_func (g_free);
  for (guint i = 0; i < bl_len (meter->ranges); i++)
    g_ptr_array_add (copy->ranges, g_memdup2 (bl_at (meter->ranges, i), sizeof (BlMeterRange)));
  return copy;
}

BlMeterRange *
bl_meter_range_new (BlMeasures measures, double full_scale)
{
  BlMeterRange *range = bl_schema_new (&range_schema);

  range->measures = measures;
  range->full_scale = full_scale;
  return range;
}

BlMeterRange *
bl_shop_meter_add_range (BlShopMeter *meter,
                         BlMeasures measures,
                         double full_scale,
                         double percent,
                         double counts,
                         double count)
{
  BlMeterRange *range = bl_meter_range_new (measures, full_scale);
  guint place = 0;

  g_return_val_if_fail (meter != NULL, NULL);
  range->percent = percent;
  range->counts = counts;
  range->count = count;
  for (; place < meter->ranges->len; place++)
    {
      const BlMeterRange *other = bl_at (meter->ranges, place);
      if (other->measures > measures || (other->measures == measures && other->full_scale > full_scale))
        break;
    }
  g_ptr_array_insert (meter->ranges, (int) place, range);
  return range;
}

/* --- validation --- */

static void
check_above (BlReport *report, const BlPath *up, const char *key, double value, double least)
{
  BlPath path = BL_PATH_KEY (up, key);

  if (!isnan (value) && !(value > least && isfinite (value)))
    bl_report_error (report, &path, _ ("expected a number above %g"), least);
}

static void
check_not_negative (BlReport *report, const BlPath *up, const char *key, double value)
{
  BlPath path = BL_PATH_KEY (up, key);

  if (!isnan (value) && !(value >= 0 && isfinite (value)))
    bl_report_error (report, &path, _ ("expected a number that is not negative"));
}

/* Both left out are the same, too. */
static gboolean
same_number (double one, double two)
{
  return one == two || (isnan (one) && isnan (two));
}

static void
check_range (BlReport *report, const BlShopMeter *meter, guint index, const BlPath *path)
{
  const BlMeterRange *range = bl_at (meter->ranges, index);
  BlPath at_measures = BL_PATH_KEY (path, "measures"), at_scale = BL_PATH_KEY (path, "full_scale"),
         at_count = BL_PATH_KEY (path, "count"), at_to = BL_PATH_KEY (path, "to_hz");

  if (range->measures >= BL_MEASURES_SWING)
    bl_report_error (report, &at_measures, _ ("expected what the range measures"));
  if (isnan (range->full_scale))
    bl_report_error (report, &at_scale, _ ("a range has a full scale"));
  check_above (report, path, "full_scale", range->full_scale, 0);
  check_not_negative (report, path, "percent", range->percent);
  check_not_negative (report, path, "counts", range->counts);
  check_above (report, path, "count", range->count, 0);
  if (range->counts > 0 && isnan (range->count))
    bl_report_error (report, &at_count, _ ("counts need the value of one count"));
  if (range->count > range->full_scale)
    bl_report_error (report, &at_count, _ ("one count is more than the full scale"));
  check_above (report, path, "input_ohm", range->input_ohm, 0);
  check_not_negative (report, path, "from_hz", range->from_hz);
  check_above (report, path, "to_hz", range->to_hz, 0);
  if (range->to_hz < range->from_hz)
    bl_report_error (report, &at_to, _ ("the frequencies end before they begin"));
  for (guint i = 0; i < index; i++)
    {
      const BlMeterRange *other = bl_at (meter->ranges, i);
      if (other->measures == range->measures && other->full_scale == range->full_scale
          && same_number (other->from_hz, range->from_hz) && same_number (other->to_hz, range->to_hz))
        bl_report_error (report, &at_scale, _ ("the same range stands at %u already"), i);
    }
}

static void
check_meter (BlReport *report, const BlShopMeter *meter)
{
  BlPath root = BL_PATH_ROOT, ranges = BL_PATH_KEY (&root, "ranges"), name = BL_PATH_KEY (&root, "name"),
         interval = BL_PATH_KEY (&root, "interval_months");

  if (meter->name == NULL || *meter->name == '\0')
    bl_report_error (report, &name, _ ("a meter has a name"));
  if (meter->interval_months < 0 || meter->interval_months > 1200)
    bl_report_error (report, &interval, _ ("expected 0 to 1200 whole months"));
  check_not_negative (report, &root, "calibrated", (double) meter->calibrated);
  check_above (report, &root, "input_ohm", meter->input_ohm, 0);
  check_above (report, &root, "crest_factor", meter->crest_factor, 1);
  for (guint i = 0; i < bl_len (meter->ranges); i++)
    check_range (report, meter, i, &BL_PATH_INDEX (&ranges, i));
}

gboolean
bl_shop_meter_validate (const BlShopMeter *meter, GError **error)
{
  g_autoptr (GPtrArray) problems = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_problem_free);
  g_auto (BlReport) report;

  bl_report_init (&report, problems);
  g_return_val_if_fail (meter != NULL, FALSE);
  check_meter (&report, meter);
  return bl_report_finish (&report, error);
}

/* --- text --- */

/* A day where it is a whole one, else the moment, both in UTC. */
static char *
calibrated_to_text (gint64 calibrated)
{
  g_autoptr (GDateTime) second = g_date_time_new_from_unix_utc (calibrated / G_USEC_PER_SEC);
  g_autoptr (GDateTime) time = NULL;

  if (calibrated == 0 || second == NULL)
    return NULL;
  if (calibrated % DAY == 0)
    return g_date_time_format (second, "%Y-%m-%d");
  time = g_date_time_add (second, calibrated % G_USEC_PER_SEC);
  return g_date_time_format_iso8601 (time);
}

static void
read_calibrated (BlReport *report, const char *text, gint64 *calibrated)
{
  BlPath root = BL_PATH_ROOT, path = BL_PATH_KEY (&root, "calibrated");
  g_autofree char *whole = strchr (text, 'T') == NULL ? g_strconcat (text, "T00:00:00Z", NULL) : g_strdup (text);
  g_autoptr (GTimeZone) utc = g_time_zone_new_utc ();
  g_autoptr (GDateTime) time = g_date_time_new_from_iso8601 (whole, utc);

  if (time == NULL)
    bl_report_unread (report, &path, _ ("expected a day such as 2026-03-01"));
  else
    *calibrated = g_date_time_to_unix (time) * G_USEC_PER_SEC + g_date_time_get_microsecond (time);
}

static void
read_interval (BlReport *report, double months, int *interval)
{
  BlPath root = BL_PATH_ROOT, path = BL_PATH_KEY (&root, "interval_months");

  if (isnan (months))
    return;
  if (months >= 0 && months <= 1200 && months == floor (months))
    *interval = (int) months;
  else
    bl_report_unread (report, &path, _ ("expected 0 to 1200 whole months"));
}

char *
bl_shop_meter_to_json (const BlShopMeter *meter)
{
  g_return_val_if_fail (meter != NULL, NULL);
  g_autofree char *calibrated = calibrated_to_text (meter->calibrated);
  Paper paper = { *meter, calibrated, meter->interval_months > 0 ? meter->interval_months : NAN };

  return bl_document_write_as (FORMAT, &meter_schema, &paper);
}

BlShopMeter *
bl_shop_meter_from_json (const char *text, gssize length, GError **error)
{
  g_autoptr (GPtrArray) problems = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_problem_free);
  g_autoptr (Paper) paper = bl_schema_new (&meter_schema);
  g_auto (BlReport) report;

  bl_report_init (&report, problems);
  g_return_val_if_fail (text != NULL, NULL);
  if (bl_document_read (text, length, FORMAT, &meter_schema, paper, &report, &BL_PATH_ROOT))
    {
      BlShopMeter *meter = &paper->meter;
      meter->true_rms = meter->true_rms == TRUE; /* left out: it averages */
      if (meter->ranges == NULL)
        meter->ranges = g_ptr_array_new_with_free_func (g_free);
      if (paper->calibrated != NULL)
        read_calibrated (&report, paper->calibrated, &meter->calibrated);
      read_interval (&report, paper->interval_months, &meter->interval_months);
      check_meter (&report, meter);
    }
  return bl_report_finish (&report, error) ? bl_shop_meter_copy (&paper->meter) : NULL;
}

/* --- calibration --- */

BlCalibration
bl_shop_meter_calibration (const BlShopMeter *meter, gint64 now, gint64 *due)
{
  g_autoptr (GDateTime) begin = NULL, end = NULL;
  gint64 time;

  g_return_val_if_fail (meter != NULL, BL_CALIBRATION_UNKNOWN);
  if (due != NULL)
    *due = 0;
  if (meter->calibrated == 0 || meter->interval_months <= 0)
    return BL_CALIBRATION_UNKNOWN;
  begin = g_date_time_new_from_unix_utc (meter->calibrated / G_USEC_PER_SEC);
  if (begin == NULL || (end = g_date_time_add_months (begin, meter->interval_months)) == NULL)
    return BL_CALIBRATION_UNKNOWN;
  time = g_date_time_to_unix (end) * G_USEC_PER_SEC;
  if (due != NULL)
    *due = time;
  return now >= time ? BL_CALIBRATION_PAST : now >= time - 30 * DAY ? BL_CALIBRATION_SOON : BL_CALIBRATION_GOOD;
}
