/* SPDX-License-Identifier: GPL-3.0-or-later
 * Days as they stand in lists: never two figures that may be read in two ways. */
#include "config.h"

#include "bl-format.h"

static gint64
at (const char *iso)
{
  g_autoptr (GTimeZone) zone = g_time_zone_new_local ();
  g_autoptr (GDateTime) time = g_date_time_new_from_iso8601 (iso, zone);

  g_assert_nonnull (time);
  return g_date_time_to_unix (time) * G_USEC_PER_SEC;
}

static void
test_day (void)
{
  static const struct
  {
    const char *time, *now, *words;
  } cases[] = { { "2026-05-03T09:05:00", "2026-05-03T17:00:00", "today 09:05" },
                { "2026-05-03T00:00:00", "2026-05-03T23:59:59", "today 00:00" },
                { "2026-05-03T23:59:00", "2026-05-04T00:01:00", "yesterday 23:59" },
                { "2026-05-03T09:05:00", "2026-05-05T08:00:00", "3 May 2026" },
                { "2025-12-31T12:00:00", "2026-01-01T12:00:00", "yesterday 12:00" },
                { "2025-05-03T09:05:00", "2026-05-03T09:05:00", "3 May 2025" },
                { "2026-05-04T09:05:00", "2026-05-03T09:05:00", "4 May 2026" } };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *words = bl_format_day (at (cases[i].time), at (cases[i].now));
      g_assert_cmpstr (words, ==, cases[i].words);
    }
}

static void
test_kind (void)
{
  static const struct
  {
    const char *kind, *words;
  } cases[] = { { "fuse", "fuse" },
                { "capacitor.film", "film capacitor" },
                { "capacitor.ceramic.chip", "chip ceramic capacitor" },
                { "ic.logic", "logic IC" },
                { "led", "LED" },
                { "", "" },
                { NULL, "" } };

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *words = bl_format_kind (cases[i].kind);
      g_assert_cmpstr (words, ==, cases[i].words);
    }
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/format/day", test_day);
  g_test_add_func ("/model/format/kind", test_kind);
  return g_test_run ();
}
