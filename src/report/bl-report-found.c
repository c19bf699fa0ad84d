/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was found, for the customer: which part of the equipment, which component, what is wrong with it, in sentences that
 * need no training. Only a cause that was confirmed is called one; without it the report says where the readings point
 * and that they are no proof. */
#include "config.h"

#include "bl-report-parts.h"

#include "bl-places.h"
#include "bl-report-choice.h"

#include <glib/gi18n-lib.h>

static void
say (BlPage *page, const char *text)
{
  const BlPageText style = { .size = 10 };

  bl_page_paragraph (page, 0, &style, text);
  page->y += 3;
}

/* Where it is, of an equipment. */
static void
say_place (BlPage *page, const char *component)
{
  g_autofree char *role = bl_place_role (component), *words = NULL;

  if (page->report->equipment == NULL)
    return;
  words = role != NULL && bl_board_stage (page->report->board, role) == NULL
              ? g_strdup_printf (_ ("It is on the board “%s”."), role)
              : g_strdup (_ ("It is between the boxes."));
  say (page, words);
}

/* The stage of a component or of "STAGE/other", and what its section is for. */
static void
say_stage (BlPage *page, const char *stage_id)
{
  const BlBoard *board = page->report->board;
  const BlStage *stage = stage_id != NULL ? bl_board_stage (board, stage_id) : NULL;
  const BlSection *section = stage != NULL && stage->section != NULL ? bl_board_section (board, stage->section) : NULL;
  const char *plain = section != NULL ? bl_report_plain_section (section->kind) : NULL;
  g_autofree char *name = bl_report_stage_name (board, stage_id);
  g_autofree char *words = NULL;

  if (stage == NULL)
    return;
  words = plain != NULL
              ? g_strdup_printf (_ ("It belongs to “%s”, in the part of the board that %s."), name, plain)
              : g_strdup_printf (_ ("It belongs to “%s”."), name);
  say (page, words);
}

static char *
stage_of_other (const char *id)
{
  return g_strndup (id, strlen (id) - strlen ("/other"));
}

static void
say_cause (BlPage *page, const BlReportLine *cause)
{
  const BlJobReport *report = page->report;
  const BlComponent *component = bl_board_component (report->board, cause->subject);
  g_autofree char *stage = NULL, *words = NULL;
  g_autofree char *name = component != NULL && component->title != NULL
                              ? g_strdup_printf ("%s, %s", bl_report_short_id (cause->subject), component->title)
                              : g_strdup (bl_report_short_id (cause->subject));
  const char *kind = component != NULL ? bl_report_plain_kind (component->kind) : NULL;
  const char *mode = cause->text != NULL && cause->text[0] != '\0' ? cause->text : NULL;
  const char *plain = bl_report_plain_mode (mode);

  if (component == NULL && g_str_has_suffix (cause->subject, "/other"))
    {
      g_autofree char *title = NULL;
      stage = stage_of_other (cause->subject);
      title = bl_report_stage_name (report->board, stage);
      words = g_strdup_printf (_ ("The fault was in “%s”."), title);
    }
  else if (kind != NULL)
    words = g_strdup_printf (_ ("The fault was in %s (%s)."), kind, name);
  else
    words = g_strdup_printf (_ ("The fault was in %s."), name);
  if (plain != NULL || mode != NULL)
    {
      g_autofree char *first = g_steal_pointer (&words);
      words = g_strdup_printf (_ ("%s What is wrong: %s."), first, plain != NULL ? plain : mode);
    }
  say (page, words);
  say_place (page, cause->subject);
  if (stage == NULL && component != NULL && g_strcmp0 (component->stage, cause->subject) != 0)
    say_stage (page, component->stage);
}

/* After a repair what counts is how it reads since; the odds are then about what may still be wrong. TRUE when there was
 * one. */
static gboolean
say_since_repair (BlPage *page)
{
  g_autoptr (GPtrArray) pairs = bl_report_pairs (page->report, G_MAXUINT);
  guint deviated = 0, cured = 0;

  for (guint i = 0; i < pairs->len; i++)
    {
      const BlReportPair *pair = bl_at (pairs, i);
      if (pair->repair == G_MAXUINT)
        return FALSE;
      if (pair->before == NULL || !bl_report_deviates (pair->before))
        continue;
      deviated++;
      cured += pair->after != NULL && !pair->other_condition && bl_report_in_band (pair->after);
    }
  if (deviated == 0)
    return FALSE;
  say (page, cured == deviated ? _ ("No cause was confirmed, but what deviated before the repair reads as it should since.")
             : cured > 0 ? _ ("No cause was confirmed. Some of what deviated before the repair reads as it should since, some does "
                              "not or was not read again.")
                         : _ ("No cause was confirmed, and nothing of what deviated before the repair reads as it should since."));
  return TRUE;
}

static void
say_likely (BlPage *page)
{
  const BlDiagnosis *diagnosis = page->report->diagnosis;
  g_autofree char *name = NULL, *words = NULL;

  if (page->report->gone_on != NULL)
    {
      words = g_strdup_printf (_ ("What was found and done on a single board is in the report of job %s."),
                               page->report->gone_on);
      say (page, words);
      return;
    }
  if (say_since_repair (page))
    return;
  if (diagnosis == NULL)
    {
      say (page, _ ("No cause was confirmed."));
      return;
    }
  if (diagnosis->likely_stage == NULL)
    {
      say (page, page->report->equipment != NULL
                     ? _ ("No cause was confirmed. What was read points to a fault outside this equipment.")
                     : _ ("No cause was confirmed. What was read points to a fault outside this board."));
      return;
    }
  name = bl_report_stage_name (page->report->board, diagnosis->likely_stage);
  words = g_strdup_printf (_ ("No cause was confirmed yet. What was read points to “%s”; that is likely, not proven."), name);
  say (page, words);
}

/* The fault that the unit showed itself, by the document's words for it. */
static void
say_symptoms (BlPage *page)
{
  const BlJobReport *report = page->report;
  g_autoptr (GHashTable) said = g_hash_table_new (g_str_hash, g_str_equal);

  for (guint i = 0; i < report->lines->len; i++)
    {
      const BlReportLine *line = bl_at (report->lines, i);
      const BlSymptom *symptom = line->kind == BL_REPORT_SYMPTOM && !line->struck && line->subject != NULL
                                     ? bl_board_symptom (report->board, line->subject)
                                     : NULL;
      g_autofree char *words = NULL;
      if (symptom == NULL || !bl_report_said_yes (line) || !g_hash_table_add (said, line->subject))
        continue;
      words = g_strdup_printf (_ ("Seen on the unit: %s."), symptom->title != NULL ? symptom->title : symptom->id);
      say (page, words);
    }
}

void
bl_report_draw_found (BlPage *page)
{
  const BlJobReport *report = page->report;
  g_autoptr (GPtrArray) causes = bl_report_causes (report);

  bl_page_heading (page, _ ("What was found"), 28);
  if (report->board != NULL)
    say_symptoms (page);
  for (guint i = 0; report->board != NULL && i < causes->len; i++)
    say_cause (page, bl_at (causes, i));
  if (causes->len == 0 && report->cause != NULL && report->cause[0] != '\0')
    {
      g_autofree char *words = g_strdup_printf (_ ("Cause: %s."), report->cause);
      say (page, words);
    }
  else if (causes->len == 0)
    say_likely (page);
}
