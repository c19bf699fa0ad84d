/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The meters of a job with their last calibration, and the accuracies that its readings were taken with. */
#include "config.h"

#include "bl-report-parts.h"

#include <glib/gi18n-lib.h>

static GPtrArray *
accuracies (const BlJobReport *report)
{
  GPtrArray *found = g_ptr_array_new ();
  g_autoptr (GHashTable) seen = g_hash_table_new (g_str_hash, g_str_equal);

  for (guint i = 0; i < report->lines->len; i++)
    {
      BlReportLine *line = bl_at (report->lines, i);
      if (line->kind == BL_REPORT_READING && !line->struck && line->meter != NULL && line->meter[0] != '\0'
          && g_hash_table_add (seen, line->meter))
        g_ptr_array_add (found, line->meter);
    }
  return found;
}

void
bl_report_draw_meters (BlPage *page)
{
  const BlJobReport *report = page->report;
  const BlPageText text = { .size = 9.5 }, small = { .size = 8.5, .colour = &page->palette->muted };
  g_autoptr (GPtrArray) found = accuracies (report);

  if (found->len + report->meters->len == 0)
    return;
  bl_page_heading (page, _ ("Meters"), 28);
  for (guint i = 0; i < report->meters->len; i++)
    {
      const BlReportMeter *meter = bl_at (report->meters, i);
      g_autofree char *day = bl_report_day (meter->calibrated);
      g_autofree char *words = meter->calibrated != 0 ? g_strdup_printf (_ ("%s, calibrated %s"), meter->name, day)
                                                      : g_strdup_printf (_ ("%s, no calibration noted"), meter->name);
      bl_page_paragraph (page, 0, &text, words);
    }
  for (guint i = 0; i < found->len; i++)
    {
      g_autofree char *typed = bl_report_typed (bl_at (found, i));
      g_autofree char *words
        = g_strdup_printf (_ ("Meter accuracy: %s (percent of reading + counts @ one count)."), typed);
      bl_page_paragraph (page, 0, &small, words);
    }
}
