/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is wrong or missing in the document, and what its measurements cannot tell apart, in words. The
 * figures are those of the coverage that the command line prints as well. */
#include "config.h"

#include "bl-editor-private.h"

#include <glib/gi18n-lib.h>

#include "bl-coverage-words.h"
#include "bl-document.h"

static void
heading (BlSheet *sheet, const char *words, const char *hint)
{
  bl_sheet_line (sheet, "list-head block", 0, NULL, NULL);
  bl_sheet_words (sheet, words, "heading");
  bl_sheet_words (sheet, hint, "muted stretch");
}

static void
remark (BlSheet *sheet, const char *words, const BlRef *ref)
{
  bl_sheet_line (sheet, "check-line", 0, NULL, words);
  bl_sheet_words (sheet, words, "wrap");
  if (ref != NULL)
    {
      g_autofree char *tip = g_strdup_printf (_ ("Go there: %s"), words);
      bl_sheet_button (sheet, _ ("go there"), NULL, tip, "go", ref);
    }
}

static void
problem_lines (BlEditor *self, BlSheet *sheet)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  g_autoptr (GPtrArray) problems = bl_edition_get_problems (self->edition);

  heading (sheet, _ ("Worth a look"), problems->len == 0 ? _ ("nothing") : "");
  for (guint i = 0; i < problems->len; i++)
    {
      const BlProblem *problem = bl_at (problems, i);
      BlRef ref = bl_ref_from_path (board, problem->path);
      g_autofree char *where = bl_ref_words (board, &ref);
      g_autofree char *words = g_strdup_printf ("%s: %s", where, problem->message);
      remark (sheet, words, &ref);
    }
}

/* --- what cannot be told apart --- */

/* "K1 open" from "K1:open", and where it is edited. (transfer full) */
static char *
mode_words (const char *text, BlRef *ref)
{
  g_auto (GStrv) halves = g_strsplit (text, ":", 2);

  if (halves[0] == NULL || halves[1] == NULL)
    return g_strdup (text);
  *ref = bl_ref_mode (BL_ELEMENT_MODE, halves[0], halves[1], 0);
  return g_strdup_printf ("%s %s", halves[0], halves[1]);
}

static void
plain (BlSheet *sheet, const char *words)
{
  bl_sheet_line (sheet, "check-line", 0, NULL, words);
  bl_sheet_words (sheet, words, "wrap");
}

static void
name_lines (BlSheet *sheet, const BlBoard *board, const GPtrArray *list, BlElement element)
{
  for (guint i = 0; i < bl_len (list); i++)
    {
      const char *text = bl_at (list, i);
      BlRef ref = bl_ref (element, text);
      g_autofree char *name = element == BL_ELEMENT_MODE ? mode_words (text, &ref) : bl_ref_words (board, &ref);
      remark (sheet, name, &ref);
    }
}

static guint
groups_of_several (const BlCoverage *coverage)
{
  guint n = 0;

  for (guint i = 0; i < coverage->groups->len; i++)
    n += ((BlCoverageGroup *) bl_at (coverage->groups, i))->components->len > 1;
  return n;
}

static void
group_lines (BlSheet *sheet, const BlCoverage *coverage)
{
  for (guint i = 0; i < coverage->groups->len; i++)
    {
      const BlCoverageGroup *group = bl_at (coverage->groups, i);
      BlRef ref = bl_ref (BL_ELEMENT_BOARD, NULL);
      g_autofree char *words = NULL, *line = NULL, *first = NULL;
      if (group->components->len < 2)
        continue;
      words = bl_coverage_group (group);
      first = mode_words (bl_at (group->modes, 0), &ref);
      line = g_strdup_printf (_ ("look the same at every measurement: %s"), words);
      remark (sheet, line, &ref);
    }
}

/* Where one more helps most: the best few, each with its gain. */
#define MOST_OFFERED 5

static void
one_more_lines (BlSheet *sheet, const BlBoard *board, const BlCoverage *coverage)
{
  guint n = bl_len (coverage->one_more);

  heading (sheet, _ ("One more measurement"),
           n == 0 ? _ ("none of those that were tried would tell more") : _ ("where it would help most"));
  for (guint i = 0; i < MIN (n, MOST_OFFERED); i++)
    {
      const BlOneMore *more = bl_at (coverage->one_more, i);
      BlRef ref = more->stage != NULL ? bl_ref (BL_ELEMENT_STAGE, more->stage)
                                      : bl_ref (BL_ELEMENT_COMPONENT, more->component);
      g_autofree char *words = bl_coverage_one_more (board, coverage, more);
      remark (sheet, words, &ref);
    }
}

static void
coverage_lines (BlSheet *sheet, const BlBoard *board, const BlCoverage *coverage)
{
  g_autofree char *isolated = bl_coverage_isolated (coverage);

  heading (sheet, _ ("What the measurements tell"), "");
  if (coverage->groups->len > 0)
    plain (sheet, isolated);
  one_more_lines (sheet, board, coverage);
  if (coverage->unused_points->len > 0)
    heading (sheet, _ ("Test points without a measurement"), "");
  name_lines (sheet, board, coverage->unused_points, BL_ELEMENT_TEST_POINT);
  heading (sheet, _ ("Stages without a measurement"), coverage->unmeasured_stages->len == 0 ? _ ("none") : "");
  name_lines (sheet, board, coverage->unmeasured_stages, BL_ELEMENT_STAGE);
  heading (sheet, _ ("Faults not visible with these measurements"),
           coverage->invisible->len == 0 ? _ ("none of those documented")
                                         : _ ("good readings never clear them; give them an effect, or measure it"));
  name_lines (sheet, board, coverage->invisible, BL_ELEMENT_MODE);
  heading (sheet, _ ("What cannot be told apart"),
           groups_of_several (coverage) == 0 ? _ ("nothing") : _ ("one more measurement between them would part them"));
  group_lines (sheet, coverage);
}

/* --- asking for it --- */

static void
covered (BlCoverage *coverage, const char *trouble, gpointer data)
{
  BlEditor *self = data;

  g_clear_pointer (&self->coverage, bl_coverage_free);
  g_free (self->coverage_trouble);
  self->coverage = coverage;
  self->coverage_trouble = g_strdup (trouble);
  g_clear_pointer (&self->coverage_ask, bl_coverage_ask_free);
  bl_editor_queue_refresh (self);
}

void
bl_editor_checks_forget (BlEditor *self)
{
  g_clear_pointer (&self->coverage_ask, bl_coverage_ask_free);
  g_clear_pointer (&self->coverage, bl_coverage_free);
  g_clear_pointer (&self->coverage_trouble, g_free);
  self->coverage_asked = FALSE;
}

/* What was worked out stands until the document has changed; then it is asked for again. */
void
bl_editor_checks_ask (BlEditor *self)
{
  guint generation = bl_edition_get_generation (self->edition);

  if (self->coverage_asked && self->coverage_generation == generation)
    return;
  bl_editor_checks_forget (self);
  self->coverage_asked = TRUE;
  self->coverage_generation = generation;
  self->coverage_ask = bl_coverage_ask (bl_edition_get_board (self->edition), covered, self);
}

void
bl_editor_checks_list (BlEditor *self, BlSheet *sheet)
{
  const BlBoard *board = bl_edition_get_board (self->edition);

  bl_editor_checklist_lines (self, sheet);
  problem_lines (self, sheet);
  if (bl_len (board->stages) == 0)
    return;
  bl_editor_checks_ask (self);
  if (self->coverage != NULL)
    coverage_lines (sheet, board, self->coverage);
  else if (self->coverage_trouble != NULL)
    plain (sheet, self->coverage_trouble);
  else
    heading (sheet, _ ("What the measurements tell"), _ ("working it out"));
}
