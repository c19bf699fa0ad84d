/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a job's report is made from, as one plain struct: filled from the library, given its odds
 * here, drawn elsewhere. Some hundred lines and a dozen pictures at most. Odds are part of it and not
 * of its drawing, because they may take seconds and want a thread of their own. */
#include "config.h"

#include "bl-job-report.h"

#include <langinfo.h>

BlReportLine *
bl_report_line_new (BlReportKind kind, const char *subject, const char *text)
{
  BlReportLine *line = g_new0 (BlReportLine, 1);

  line->kind = kind;
  line->subject = g_strdup (subject);
  line->text = g_strdup (text);
  line->x = line->y = NAN;
  return line;
}

void
bl_report_line_free (BlReportLine *line)
{
  if (line == NULL)
    return;
  g_free (line->subject);
  g_free (line->text);
  g_free (line->state);
  g_free (line->meter);
  g_free (line->expected);
  g_free (line->from);
  g_free (line->told_by);
  g_free (line->old);
  g_free (line->why);
  g_clear_pointer (&line->band, bl_band_free);
  g_clear_pointer (&line->verdict, bl_verdict_free);
  g_free (line->photo);
  g_free (line->struck_reason);
  g_free (line);
}

void
bl_report_picture_free (BlReportPicture *picture)
{
  if (picture == NULL)
    return;
  g_free (picture->id);
  g_free (picture->title);
  g_clear_pointer (&picture->image, g_bytes_unref);
  g_free (picture);
}

void
bl_report_meter_free (BlReportMeter *meter)
{
  if (meter == NULL)
    return;
  g_free (meter->name);
  g_free (meter);
}

void
bl_report_step_free (BlReportStep *step)
{
  if (step == NULL)
    return;
  g_free (step->advised);
  g_free (step->odds);
  g_free (step);
}

/* --- for whom, on what --- */

void
bl_report_paper_size (BlReportPaper paper, double *width, double *height)
{
  g_return_if_fail (width != NULL && height != NULL);
  *width = paper == BL_REPORT_LETTER ? 612 : 210 / 25.4 * 72;
  *height = paper == BL_REPORT_LETTER ? 792 : 297 / 25.4 * 72;
}

gboolean
bl_report_audience_parse (const char *name, BlReportAudience *audience)
{
  g_return_val_if_fail (name != NULL && audience != NULL, FALSE);
  *audience = g_ascii_strcasecmp (name, "customer") == 0 ? BL_REPORT_FOR_CUSTOMER : BL_REPORT_FOR_SHOP;
  return *audience == BL_REPORT_FOR_CUSTOMER || g_ascii_strcasecmp (name, "shop") == 0;
}

gboolean
bl_report_paper_parse (const char *name, BlReportPaper *paper)
{
  g_return_val_if_fail (name != NULL && paper != NULL, FALSE);
  *paper = g_ascii_strcasecmp (name, "letter") == 0 ? BL_REPORT_LETTER : BL_REPORT_A4;
  return *paper == BL_REPORT_LETTER || g_ascii_strcasecmp (name, "a4") == 0;
}

BlReportPaper
bl_report_paper_usual (void)
{
#ifdef __GLIBC__
  /* The height in mm, as a number in the place of a pointer. */
  return GPOINTER_TO_INT (nl_langinfo (_NL_PAPER_HEIGHT)) == 279 ? BL_REPORT_LETTER : BL_REPORT_A4;
#else
  return BL_REPORT_A4;
#endif
}

/* --- the whole --- */

BlJobReport *
bl_job_report_new (void)
{
  BlJobReport *self = g_new0 (BlJobReport, 1);

  self->limits = BL_SAFE_LIMITS;
  self->photos =
      g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify) g_bytes_unref);
  self->pictures = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_report_picture_free);
  self->entries = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_entry_free);
  self->lines = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_report_line_free);
  self->meters = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_report_meter_free);
  self->steps = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_report_step_free);
  return self;
}

void
bl_job_report_free (BlJobReport *self)
{
  if (self == NULL)
    return;
  g_free (self->shop_name);
  g_free (self->shop_address);
  g_free (self->shop_foot);
  g_free (self->shop_warranty);
  g_free (self->state);
  g_free (self->came_with);
  g_free (self->equipment);
  g_free (self->customer);
  g_free (self->unit);
  g_free (self->serial);
  g_free (self->complaint);
  g_free (self->cause);
  g_free (self->gone_on);
  g_free (self->trouble);
  g_clear_pointer (&self->board, bl_board_free);
  g_clear_pointer (&self->weighed, bl_board_free);
  g_hash_table_unref (self->photos);
  g_ptr_array_unref (self->pictures);
  g_ptr_array_unref (self->lines);
  g_ptr_array_unref (self->entries);
  g_ptr_array_unref (self->meters);
  g_ptr_array_unref (self->steps);
  g_strfreev (self->step_names);
  g_clear_pointer (&self->diagnosis, bl_diagnosis_free);
  g_free (self);
}

void
bl_job_report_compute (BlJobReport *self, const int *cancel)
{
  g_return_if_fail (self != NULL && self->board != NULL);
  g_autoptr (BlEngine) engine = NULL;
  g_autoptr (GError) error = NULL;

  g_clear_pointer (&self->diagnosis, bl_diagnosis_free);
  g_clear_pointer (&self->trouble, g_free);
  if (self->entries->len == 0 || bl_len (self->board->stages) == 0)
    return;
  engine = bl_engine_new (self->weighed != NULL ? self->weighed : self->board, &error);
  if (engine != NULL)
    self->diagnosis = bl_engine_diagnose (engine, self->entries, BL_DIAGNOSE_FIT, cancel, &error);
  if (self->diagnosis == NULL)
    self->trouble = g_strdup (error->message);
}
