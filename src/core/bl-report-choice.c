/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to tell the customer, chosen from what the bench log has: a few readings before and after the repair instead of
 * all, and what was left out, which a customer cannot see by himself. Everything follows from the lines alone; some
 * hundred of them. */
#include "config.h"

#include "bl-report-choice.h"

#include <math.h>
#include <string.h>

static gboolean
counts (const BlReportLine *line)
{
  return line->kind == BL_REPORT_READING && !line->struck && line->subject != NULL && line->verdict != NULL
         && line->verdict->evidence;
}

gboolean
bl_report_deviates (const BlReportLine *line)
{
  g_return_val_if_fail (line != NULL, FALSE);
  return line->verdict != NULL && line->verdict->evidence && line->verdict->certain && line->band != NULL
         && line->verdict->best != line->band->good;
}

gboolean
bl_report_in_band (const BlReportLine *line)
{
  g_return_val_if_fail (line != NULL, FALSE);
  return line->verdict != NULL && line->verdict->evidence && line->verdict->certain && line->band != NULL
         && line->verdict->best == line->band->good;
}

/* The component that an effect on this measurement is of. */
static const BlComponent *
component_seen (const BlBoard *board, const char *measurement)
{
  for (guint i = 0; i < bl_len (board->components); i++)
    {
      const BlComponent *component = bl_at (board->components, i);
      for (guint m = 0; m < bl_len (component->modes); m++)
        {
          const BlMode *mode = bl_at (component->modes, m);
          for (guint e = 0; e < bl_len (mode->effects); e++)
            if (g_strcmp0 (((const BlEffect *) bl_at (mode->effects, e))->on, measurement) == 0)
              return component;
        }
    }
  return NULL;
}

const char *
bl_report_stage_of (const BlBoard *board, const BlMeasurement *measurement)
{
  g_return_val_if_fail (board != NULL && measurement != NULL, NULL);
  const BlComponent *component;

  if (measurement->reads != NULL)
    return measurement->reads;
  component = component_seen (board, measurement->id);
  return component != NULL ? component->stage : NULL;
}

GPtrArray *
bl_report_causes (const BlJobReport *report)
{
  g_return_val_if_fail (report != NULL, NULL);
  GPtrArray *causes = g_ptr_array_new ();

  for (guint i = 0; i < report->lines->len; i++)
    {
      BlReportLine *line = bl_at (report->lines, i);
      if (line->struck || line->subject == NULL
          || (line->kind != BL_REPORT_CAUSE && line->kind != BL_REPORT_NO_CAUSE))
        continue;
      for (guint j = 0; j < causes->len; j++)
        if (g_str_equal (((BlReportLine *) bl_at (causes, j))->subject, line->subject))
          g_ptr_array_remove_index (causes, j--);
      if (line->kind == BL_REPORT_CAUSE)
        g_ptr_array_add (causes, line);
    }
  return causes;
}

/* TRUE when the measurement reads a stage in which a cause was confirmed. */
static gboolean
reads_cause (const BlJobReport *report, GPtrArray *causes, const BlMeasurement *measurement)
{
  const char *stage = bl_report_stage_of (report->board, measurement);

  for (guint i = 0; stage != NULL && i < causes->len; i++)
    {
      const char *subject = ((const BlReportLine *) bl_at (causes, i))->subject;
      const BlComponent *component = bl_board_component (report->board, subject);
      if (g_strcmp0 (component != NULL ? component->stage : subject, stage) == 0)
        return TRUE;
      if (g_str_has_suffix (subject, "/other") && g_str_has_prefix (subject, stage)
          && strlen (subject) == strlen (stage) + strlen ("/other"))
        return TRUE;
    }
  return FALSE;
}

/* The first and the last part replaced; G_MAXUINT where none was. */
static void
find_repairs (const BlJobReport *report, guint *first, guint *last)
{
  *first = *last = G_MAXUINT;
  for (guint i = 0; i < report->lines->len; i++)
    {
      const BlReportLine *line = bl_at (report->lines, i);
      if (line->kind != BL_REPORT_REPLACED || line->struck)
        continue;
      *first = MIN (*first, i);
      *last = i;
    }
}

/* Whether a reading takes the place of before: a later one does, but what reads well when dry does not hide what
 * deviated when wet. */
static gboolean
is_before (const BlReportPair *pair, const BlReportLine *line, gboolean first_side, gboolean same_condition)
{
  if (pair->before == NULL || (!bl_report_deviates (pair->before) && bl_report_deviates (line)))
    return TRUE;
  return first_side && (same_condition || !bl_report_deviates (pair->before));
}

static BlReportPair
pair_of (const BlJobReport *report, const char *measurement, guint first, guint last)
{
  BlReportPair pair = { NULL, NULL, last, FALSE };
  const char *condition = "", *before_in = "";

  for (guint i = 0; i < report->lines->len; i++)
    {
      const BlReportLine *line = bl_at (report->lines, i);
      if (line->kind == BL_REPORT_ROUND && !line->struck)
        condition = line->text != NULL ? line->text : "";
      if (!counts (line) || !g_str_equal (line->subject, measurement))
        continue;
      gboolean same = g_str_equal (condition, before_in);
      if (first != G_MAXUINT && i > last)
        {
          if (pair.after != NULL && !same && !pair.other_condition)
            continue;
          pair.after = line;
          pair.other_condition = pair.before != NULL && !same;
        }
      else if (is_before (&pair, line, first == G_MAXUINT || i < first, same))
        {
          pair.before = line;
          before_in = condition;
        }
    }
  return pair;
}

/* 0 tells most; 4 nothing. */
static guint
rank_of (const BlReportPair *pair, gboolean cause)
{
  gboolean deviates = (pair->before != NULL && bl_report_deviates (pair->before))
                      || (pair->after != NULL && bl_report_deviates (pair->after));

  if (deviates)
    return (pair->after != NULL ? 0 : 2) + (cause ? 0 : 1);
  return pair->before != NULL && pair->after != NULL ? 4 : 5;
}

GPtrArray *
bl_report_pairs (const BlJobReport *report, guint most)
{
  g_return_val_if_fail (report != NULL, NULL);
  GPtrArray *pairs = g_ptr_array_new_with_free_func (g_free);
  g_autoptr (GPtrArray) causes = bl_report_causes (report);
  guint first, last, n = report->board != NULL ? bl_len (report->board->measurements) : 0;

  find_repairs (report, &first, &last);
  for (guint rank = 0; rank <= 4 && !(rank == 4 && pairs->len > 0); rank++)
    for (guint i = 0; i < n && pairs->len < most; i++)
      {
        const BlMeasurement *measurement = bl_at (report->board->measurements, i);
        BlReportPair pair = pair_of (report, measurement->id, first, last);
        if ((pair.before != NULL || pair.after != NULL)
            && rank_of (&pair, reads_cause (report, causes, measurement)) == rank)
          g_ptr_array_add (pairs, g_memdup2 (&pair, sizeof pair));
      }
  return pairs;
}

/* The section of a measurement by the stage that it reads; NULL: none. */
static const char *
section_of (const BlBoard *board, const BlMeasurement *measurement)
{
  const char *id = bl_report_stage_of (board, measurement);
  const BlStage *stage = id != NULL ? bl_board_stage (board, id) : NULL;

  return stage != NULL ? stage->section : NULL;
}

static gboolean
was_read (const BlJobReport *report, const char *measurement)
{
  for (guint i = 0; i < report->lines->len; i++)
    {
      const BlReportLine *line = bl_at (report->lines, i);
      if (counts (line) && g_str_equal (line->subject, measurement))
        return TRUE;
    }
  return FALSE;
}

GPtrArray *
bl_report_unread_sections (const BlJobReport *report)
{
  g_return_val_if_fail (report != NULL, NULL);
  GPtrArray *unread = g_ptr_array_new ();

  for (guint i = 0; report->board != NULL && i < bl_len (report->board->sections); i++)
    {
      BlSection *section = bl_at (report->board->sections, i);
      guint n = 0, n_read = 0;
      for (guint m = 0; m < bl_len (report->board->measurements); m++)
        {
          const BlMeasurement *measurement = bl_at (report->board->measurements, m);
          if (g_strcmp0 (section_of (report->board, measurement), section->id) != 0)
            continue;
          n++;
          n_read += was_read (report, measurement->id);
        }
      if (n > 0 && n_read == 0)
        g_ptr_array_add (unread, section);
    }
  return unread;
}

GPtrArray *
bl_report_unproven (const BlJobReport *report)
{
  g_return_val_if_fail (report != NULL, NULL);
  GPtrArray *found = g_ptr_array_new ();
  guint first, last;

  find_repairs (report, &first, &last);
  for (guint i = 0; first != G_MAXUINT && report->board != NULL && i < bl_len (report->board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (report->board->measurements, i);
      BlReportPair pair = pair_of (report, measurement->id, first, last);
      if ((pair.after == NULL || pair.other_condition) && pair.before != NULL && bl_report_deviates (pair.before))
        g_ptr_array_add (found, (gpointer) pair.before);
    }
  return found;
}

GPtrArray *
bl_report_tests (const BlJobReport *report, const char *what)
{
  g_return_val_if_fail (report != NULL, NULL);
  GPtrArray *tests = g_ptr_array_new ();
  guint first, last;

  find_repairs (report, &first, &last);
  for (guint i = first == G_MAXUINT ? 0 : last + 1; i < report->lines->len; i++)
    {
      BlReportLine *line = bl_at (report->lines, i);
      if (line->kind != BL_REPORT_TEST || line->struck || line->subject == NULL
          || (what != NULL && !g_str_has_prefix (line->subject, what)))
        continue;
      for (guint j = 0; j < tests->len; j++)
        if (g_str_equal (((BlReportLine *) bl_at (tests, j))->subject, line->subject))
          g_ptr_array_remove_index (tests, j--);
      g_ptr_array_add (tests, line);
    }
  return tests;
}

/* What was said last of a symptom among lines from .. to - 1; NULL: nothing. */
static const BlReportLine *
last_said (const BlJobReport *report, const char *symptom, guint from, guint to)
{
  const BlReportLine *said = NULL;

  for (guint i = from; i < to; i++)
    {
      const BlReportLine *line = bl_at (report->lines, i);
      if (line->kind == BL_REPORT_SYMPTOM && !line->struck && g_strcmp0 (line->subject, symptom) == 0)
        said = line;
    }
  return said;
}

gboolean
bl_report_said_yes (const BlReportLine *line)
{
  g_return_val_if_fail (line != NULL, FALSE);
  return g_strcmp0 (line->text, "no") != 0;
}

GPtrArray *
bl_report_symptoms_after (const BlJobReport *report)
{
  g_return_val_if_fail (report != NULL, NULL);
  GPtrArray *found = g_ptr_array_new ();
  guint first, last;

  find_repairs (report, &first, &last);
  for (guint i = 0; first != G_MAXUINT && report->board != NULL && i < bl_len (report->board->symptoms); i++)
    {
      const BlSymptom *symptom = bl_at (report->board->symptoms, i);
      const BlReportLine *before = last_said (report, symptom->id, 0, last),
                         *after = last_said (report, symptom->id, last + 1, report->lines->len);
      if (before != NULL && bl_report_said_yes (before) && after != NULL)
        g_ptr_array_add (found, (gpointer) after);
    }
  return found;
}

double
bl_report_minutes (const BlJobReport *report)
{
  g_return_val_if_fail (report != NULL, 0);
  double minutes = 0;

  for (guint i = 0; i < report->lines->len; i++)
    {
      const BlReportLine *line = bl_at (report->lines, i);
      double one = line->kind == BL_REPORT_TIME && !line->struck && line->text != NULL
                       ? g_ascii_strtod (line->text, NULL)
                       : 0;
      if (isfinite (one) && one > 0)
        minutes += one;
    }
  return minutes;
}
