/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The command `judge` and the open job give the same classes for the same reading, limits and meter: each
 * reading is entered in a job that is measured with a meter of the shop, and judged by the built program with
 * the accuracy that the job kept. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-bench.h"
#include "bl-document.h"

#include <jansson.h>
#include <string.h>
#include <sys/wait.h>

#define DOCUMENT                                                                                   \
  "{ \"format\": \"benchlore-board\", \"version\": 1, \"states\": [{\"id\": \"run\", \"live\": true}],"          \
  "  \"measurements\": ["                                                                          \
  "    {\"id\": \"V\", \"measures\": \"V DC\", \"state\": \"run\","                                \
  "     \"expected\": {\"nominal\": 5, \"low\": 4.8, \"high\": 5.2, \"absent_below\": 0.5}},"      \
  "    {\"id\": \"A\", \"measures\": \"V AC\", \"state\": \"run\","                                \
  "     \"expected\": {\"nominal\": 230, \"low\": 207, \"high\": 253, \"absent_below\": 100}},"    \
  "    {\"id\": \"R\", \"measures\": \"ohm\", \"state\": \"run\","                                 \
  "     \"expected\": {\"nominal\": \"4k7\", \"low\": \"4k4\", \"high\": \"5k\", \"shorted_below\": 50,"         \
  "                    \"open_above\": \"1M\"}}] }"

typedef struct
{
  const char *measurement, *reading;
} Row;

static const Row rows[] = {
  { "V", "4.98" },  { "V", "4.80" },  { "V", "4.8" },    { "V", "4.790" },   { "V", "4.75" },  { "V", "5.2" },
  { "V", "5.199" }, { "V", "0.50" },  { "V", "0.4990" }, { "V", "-0.1" },    { "V", "OL" },    { "V", "12" },
  { "V", "-5.00" }, { "V", "4..5" },  { "V", "-" },      { "A", "207.0" },   { "A", "206.0" }, { "A", "230" },
  { "A", "99.9" },  { "A", "253.0" }, { "A", "OL" },     { "R", "4.70k" },   { "R", "4k4" },   { "R", "4.39k" },
  { "R", "5.00k" }, { "R", "49.9" },  { "R", "50.0" },   { "R", "0.999 M" }, { "R", "OL" },    { "R", "1.2M" },
};

static json_t *
judge (const BlMeasurement *m, const char *reading, const char *spec)
{
  const BlExpected *e = &m->expected;
  const struct
  {
    const char *option;
    double value;
  } limits[] = { { "--nominal", e->nominal.value },           { "--low", e->low.value },
                 { "--high", e->high.value },                 { "--absent-below", e->absent_below.value },
                 { "--shorted-below", e->shorted_below.value }, { "--open-above", e->open_above.value } };
  g_autoptr (GPtrArray) argv = g_ptr_array_new_with_free_func (g_free);
  g_autofree char *out = NULL;
  g_autoptr (GError) error = NULL;
  int status;
  json_t *json;
  const char *const fixed[]
    = { g_getenv ("BENCHLORE_CLI"), "judge", "--json", "--measures", bl_measures_name (m->measures), "--reading",
        reading, "--meter", spec };

  for (guint i = 0; i < G_N_ELEMENTS (fixed); i++)
    g_ptr_array_add (argv, g_strdup (fixed[i]));
  for (guint i = 0; i < G_N_ELEMENTS (limits); i++)
    if (!isnan (limits[i].value))
      {
        g_ptr_array_add (argv, g_strdup (limits[i].option));
        g_ptr_array_add (argv, g_strdup_printf ("%.17g", limits[i].value));
      }
  g_ptr_array_add (argv, NULL);
  g_spawn_sync (NULL, (char **) argv->pdata, NULL, G_SPAWN_DEFAULT, NULL, NULL, &out, NULL, &status, &error);
  g_assert_no_error (error);
  g_assert_true (WIFEXITED (status) && WEXITSTATUS (status) == 0);
  json = json_loads (out, 0, NULL);
  g_assert_nonnull (json);
  return json;
}

static void
compare (const BlRecord *record, const BlMeasurement *measurement)
{
  json_t *json = judge (measurement, record->text, record->meter != NULL ? record->meter : "");
  json_t *classes = json_object_get (json, "classes");
  const BlVerdict *verdict = record->verdict;

  g_assert_cmpstr (json_string_value (json_object_get (json, "verdict")), ==, bl_verdict_label (verdict));
  g_assert_cmpfloat_with_epsilon (json_number_value (json_object_get (json, "u")), verdict->u, 1e-15);
  for (guint i = 0; i < verdict->n; i++)
    {
      double other = json_number_value (json_object_get (classes, verdict->classes[i]));
      if (fabs (other - verdict->weights[i]) > 1e-12)
        g_error ("%s %s: %s: %.15g and %.15g", measurement->id, record->text, verdict->classes[i], other,
                 verdict->weights[i]);
    }
  json_decref (json);
}

static void
test_same_classes (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = bl_document_parse (DOCUMENT, -1, NULL, &error);
  g_autoptr (BlLibrary) library = bl_library_open (":memory:", TRUE, NULL);
  g_autoptr (BlShopMeter) meter = bl_shop_meter_example (0);
  g_autoptr (BlBench) bench = NULL;
  guint n_close = 0, n_uncertain = 0;
  gint64 job;

  g_assert_no_error (error);
  g_assert_true (bl_library_put_meter (library, meter, NULL));
  job = bl_bench_start (library, bl_library_add_board (library, board, FALSE, NULL), NULL, NULL, NULL);
  bench = bl_bench_new (library, job, NULL);
  g_assert_true (bl_bench_set_shop_meter (bench, meter->id, NULL));
  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autofree char *typed = g_strdup_printf ("%s %s", rows[i].measurement, rows[i].reading);
      GPtrArray *records;
      const BlRecord *record;
      bl_bench_enter (bench, typed, &error);
      g_assert_no_error (error);
      records = bl_bench_get_records (bench);
      record = bl_at (records, records->len - 1);
      compare (record, bl_board_measurement (bl_bench_get_board (bench), rows[i].measurement));
      n_uncertain += record->verdict->u > 0;
      n_close += record->verdict->evidence && !record->verdict->certain;
    }
  /* The table is worth something: most readings have an uncertainty, some are too close to call. */
  g_assert_cmpuint (n_uncertain, >=, 20);
  g_assert_cmpuint (n_close, >=, 5);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/cli/judge-bench/same-classes", test_same_classes);
  return g_test_run ();
}
