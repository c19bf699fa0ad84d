/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is wrong or missing in the document, and what its measurements cannot tell apart, in words. The
 * figures are those of the coverage that the command line prints as well. */
#include "config.h"

#include "bl-editor-private.h"

#include <glib/gi18n-lib.h>
#include <jansson.h>
#include <string.h>

#include "bl-document.h"
#include "bl-format.h"
#include "bl-missing.h"
#include "bl-coverage.h"

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

/* What nobody filled in yet comes before what is wrong with the rest. */
static void
missing_lines (BlEditor *self, BlSheet *sheet)
{
  g_autoptr (GPtrArray) list = bl_board_missing (bl_edition_get_board (self->edition));

  heading (sheet, _ ("Still to be filled in"), list->len == 0 ? _ ("nothing") : "");
  for (guint i = 0; i < list->len; i++)
    {
      const BlMissing *missing = bl_at (list, i);
      remark (sheet, missing->words, &missing->ref);
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
group_line (BlSheet *sheet, const json_t *group)
{
  const json_t *modes = json_object_get (group, "modes"), *components = json_object_get (group, "components");
  g_autoptr (GString) words = g_string_new (NULL);
  BlRef ref = bl_ref (BL_ELEMENT_BOARD, NULL);
  const json_t *mode;
  size_t i;

  if (json_array_size (components) < 2)
    return;
  json_array_foreach (modes, i, mode)
    {
      g_autofree char *name = mode_words (json_string_value (mode), &ref);
      g_string_append_printf (words, "%s%s", i == 0 ? "" : ", ", name);
    }
  g_autofree char *line = g_strdup_printf (_ ("look the same at every measurement: %s"), words->str);
  remark (sheet, line, &ref);
}

static void
isolated_line (BlSheet *sheet, const json_t *root)
{
  const json_t *isolated = json_object_get (root, "isolated");
  g_autofree char *one = NULL, *three = NULL;

  if (!json_is_number (json_object_get (isolated, "1")) || !json_is_number (json_object_get (isolated, "3")))
    return;
  one = bl_format_odds (json_number_value (json_object_get (isolated, "1")));
  three = bl_format_odds (json_number_value (json_object_get (isolated, "3")));
  g_autofree char *words
    = g_strdup_printf (_ ("Of the faults that can be seen, by how often they happen, %s lead to one component and %s to "
                          "three at most."),
                       one, three);
  bl_sheet_line (sheet, "check-line", 0, NULL, words);
  bl_sheet_words (sheet, words, "wrap");
}

static void
name_lines (BlSheet *sheet, const BlBoard *board, const json_t *list, gboolean stages)
{
  const json_t *item;
  size_t i;

  json_array_foreach (list, i, item)
    {
      const char *text = json_string_value (item);
      BlRef ref = bl_ref (BL_ELEMENT_STAGE, text);
      g_autofree char *name = stages ? bl_ref_words (board, &ref) : mode_words (text, &ref);
      remark (sheet, name, &ref);
    }
}

static guint
groups_of_several (const json_t *groups)
{
  const json_t *group;
  guint n = 0;
  size_t i;

  json_array_foreach (groups, i, group)
    n += json_array_size (json_object_get (group, "components")) > 1;
  return n;
}

static void
coverage_lines (BlSheet *sheet, const BlBoard *board, const json_t *root)
{
  const json_t *groups = json_object_get (root, "groups"), *invisible = json_object_get (root, "invisible"),
               *unmeasured = json_object_get (root, "unmeasured_stages"), *group;
  size_t i;

  heading (sheet, _ ("Stages without a measurement"), json_array_size (unmeasured) == 0 ? _ ("none") : "");
  name_lines (sheet, board, unmeasured, TRUE);
  heading (sheet, _ ("Faults no measurement sees"),
           json_array_size (invisible) == 0 ? _ ("none of those documented")
                                            : _ ("give them an effect, or measure what they change"));
  name_lines (sheet, board, invisible, FALSE);
  heading (sheet, _ ("What cannot be told apart"),
           groups_of_several (groups) == 0 ? _ ("nothing") : _ ("one more measurement between them would part them"));
  isolated_line (sheet, root);
  json_array_foreach (groups, i, group)
    group_line (sheet, group);
}

void
bl_editor_checks_list (BlEditor *self, BlSheet *sheet)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  g_autoptr (GError) error = NULL;

  missing_lines (self, sheet);
  problem_lines (self, sheet);
  if (bl_len (board->stages) == 0)
    return;
  g_autofree char *text = bl_coverage_json (board, &error);
  json_t *root = text != NULL ? json_loads (text, 0, NULL) : NULL;
  if (root == NULL)
    remark (sheet, error != NULL ? error->message : _ ("The coverage cannot be computed"), NULL);
  else
    coverage_lines (sheet, board, root);
  json_decref (root);
}
