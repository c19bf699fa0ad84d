/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bench log with its struck lines: every line there is, in order of time, some hundred of them. */
#include "config.h"

#include "bl-report-parts.h"

#include "bl-page-table.h"
#include "bl-report.h"

#include <glib/gi18n-lib.h>


/* The cause may be what no part of the document is: "something else in 5 V rail". */
static char *
cause_words (const BlBoard *board, BlReportKind kind, const char *component, const char *mode)
{
  g_autofree char *name = bl_report_component_name (board, component);

  if (kind == BL_REPORT_NO_CAUSE)
    return g_strdup_printf (_ ("%s was not the cause"), name);
  return mode[0] != '\0' ? g_strdup_printf (_ ("%s confirmed as a cause: %s"), name, mode)
                         : g_strdup_printf (_ ("%s confirmed as a cause"), name);
}

static char *
reading_words (const BlReportLine *line, const char *subject)
{
  g_autofree char *word = bl_report_verdict_word (line->band, line->verdict), *typed = bl_report_typed (line->text);
  g_autofree char *name = bl_report_isolate (line->told_by);
  g_autofree char *told = line->told_by != NULL ? g_strdup_printf (_ (", told by %s"), name) : g_strdup ("");

  return g_strdup_printf (_ ("%s  %s  %s%s%s"), subject, typed, word,
                          line->unproven ? _ (", taken without proof of dead") : "", told);
}

static char *
replaced_words (const BlReportLine *line, const char *subject, const char *text)
{
  g_autofree char *by = bl_report_isolate (text), *old = bl_report_isolate (line->old), *why = bl_report_isolate (line->why);
  g_autoptr (GString) words = g_string_new (NULL);

  if (text[0] != '\0')
    g_string_append_printf (words, _ ("%s replaced by %s"), subject, by);
  else
    g_string_append_printf (words, _ ("%s replaced"), subject);
  if (line->old != NULL)
    g_string_append_printf (words, _ (", taken out: %s"), old);
  if (line->why != NULL)
    g_string_append_printf (words, _ ("; %s"), why);
  return g_string_free (g_steal_pointer (&words), FALSE);
}

static char *
line_words (const BlJobReport *report, const BlReportLine *line)
{
  const char *subject = line->subject != NULL ? line->subject : "",
             *text = line->text != NULL ? line->text : "";
  g_autofree char *more = NULL;
  const BlState *state;
  const BlSymptom *symptom;

  switch (line->kind)
    {
    case BL_REPORT_READING:
      return reading_words (line, subject);
    case BL_REPORT_PART_TEST:
      return g_strdup_printf (_ ("%s tested %s"), subject, text);
    case BL_REPORT_REPLACED:
      return replaced_words (line, subject, text);
    case BL_REPORT_ROUND:
      return g_strdup_printf (_ ("new round: %s"), text);
    case BL_REPORT_SYMPTOM:
      symptom = report->board != NULL ? bl_board_symptom (report->board, subject) : NULL;
      return g_strdup_printf (_ ("fault shown: %s: %s"),
                              symptom != NULL && symptom->title != NULL ? symptom->title : subject,
                              text);
    case BL_REPORT_STATE:
      state = report->board != NULL ? bl_board_state (report->board, subject) : NULL;
      return g_strdup_printf (_ ("state: %s"),
                              state != NULL && state->title != NULL ? state->title : subject);
    case BL_REPORT_PROOF:
      return g_strdup_printf (_ ("proof of dead taken %s"), text);
    case BL_REPORT_METER:
      return g_strdup_printf (_ ("meter: %s"), text);
    case BL_REPORT_MARK:
      return g_strdup_printf (_ ("mark on the photo: %s"), text);
    case BL_REPORT_CAUSE:
    case BL_REPORT_NO_CAUSE:
      return cause_words (report->board, line->kind, subject, text);
    case BL_REPORT_TIME:
      return subject[0] != '\0' ? g_strdup_printf (_ ("time spent: %s min, %s"), text, subject)
                                : g_strdup_printf (_ ("time spent: %s min"), text);
    case BL_REPORT_PHOTO:
      return g_strdup_printf (_ ("photo: %s"), text);
    case BL_REPORT_TEST:
      more = line->verdict != NULL ? bl_report_verdict_word (line->band, line->verdict) : NULL;
      return g_strdup_printf (_ ("test %s: %s  %s"), subject, text, more != NULL ? more : "");
    case BL_REPORT_SUPPLY:
      more = bl_report_state_name (report->board, subject);
      return g_strdup_printf (_ ("before power for “%s”: %s"), more, text);
    case BL_REPORT_JOB:
      return g_strdup_printf (_ ("job: %s"), text);
    case BL_REPORT_NOTE:
    default:
      return g_strdup (text);
    }
}

void
bl_report_draw_log (BlPage *page)
{
  const BlJobReport *report = page->report;
  const BlTableColumn columns[] = { { _ ("time"), 0.19, PANGO_ALIGN_LEFT },
                                    { _ ("what was done"), 0.59, PANGO_ALIGN_LEFT },
                                    { _ ("struck because"), 0.22, PANGO_ALIGN_LEFT } };

  if (bl_len (report->lines) == 0)
    return;
  bl_page_heading (page, _ ("Bench log"), 34);
  bl_table_begin (page, columns, G_N_ELEMENTS (columns), 18);
  for (guint i = 0; i < bl_len (report->lines); i++)
    {
      const BlReportLine *line = bl_at (report->lines, i);
      g_autofree char *time = bl_report_time (line->time), *words = line_words (report, line);
      g_autofree char *reason =
          line->struck && line->struck_reason != NULL && line->struck_reason[0] != '\0'
              ? g_strdup_printf (_ ("struck: %s"), line->struck_reason)
              : g_strdup (line->struck ? _ ("struck") : NULL);
      const BlTableCell cells[] = { { time, 0, &page->palette->muted, FALSE },
                                    { words, 0, NULL, line->struck },
                                    { reason, 0, &page->palette->muted, FALSE } };
      bl_table_row (page, cells, NULL, NULL);
    }
  bl_table_end (page);
}
