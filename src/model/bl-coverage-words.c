/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Coverage in words: for the row of a board and for the editor. Figures are those of the coverage. */
#include "config.h"

#include "bl-coverage-words.h"

#include <glib/gi18n-lib.h>

#include "bl-format.h"

/* A whole is said as such: the odds' words know no certainty. */
static char *
share (double part)
{
  if (part >= 1 - 1e-12)
    return g_strdup (_ ("100 %"));
  if (part <= 1e-12)
    return g_strdup (_ ("0 %"));
  return bl_format_odds (part);
}

char *
bl_coverage_summary (const BlCoverage *coverage)
{
  g_return_val_if_fail (coverage != NULL, NULL);
  guint unseen = bl_len (coverage->invisible);
  g_autofree char *one = share (coverage->now.isolated[0]), *rest = NULL;

  if (bl_len (coverage->groups) == 0 && unseen == 0)
    return g_strdup ("");
  if (bl_len (coverage->groups) == 0)
    return g_strdup (_ ("no fault visible with these measurements"));
  rest = unseen > 0 ? g_strdup_printf (ngettext ("%u fault not visible", "%u faults not visible", unseen), unseen)
                    : g_strdup (_ ("every documented fault visible"));
  return g_strdup_printf (_ ("readings lead to one component in %s of faults · %s"), one, rest);
}

char *
bl_coverage_isolated (const BlCoverage *coverage)
{
  g_return_val_if_fail (coverage != NULL, NULL);
  g_autofree char *one = share (coverage->now.isolated[0]), *two = share (coverage->now.isolated[1]);
  g_autofree char *three = share (coverage->now.isolated[2]), *seen = share (coverage->now.detected);

  return g_strdup_printf (
      _ ("By how often they happen, %s of the documented faults can be seen. Of those, %s lead to one "
         "component, %s to two at most, %s to three; on average to %.2f."),
      seen, one, two, three, coverage->now.mean_size);
}

char *
bl_coverage_group (const BlCoverageGroup *group)
{
  g_return_val_if_fail (group != NULL, NULL);
  g_autoptr (GString) words = g_string_new (NULL);

  for (guint i = 0; i < bl_len (group->modes); i++)
    {
      g_auto (GStrv) halves = g_strsplit (bl_at (group->modes, i), ":", 2);
      g_string_append_printf (words, "%s%s %s", i > 0 ? ", " : "", halves[0], halves[1] != NULL ? halves[1] : "");
    }
  return g_string_free (g_steal_pointer (&words), FALSE);
}

static const char *
titled (const char *title, const char *id)
{
  return title != NULL && *title != '\0' ? title : id;
}

static char *
candidate (const BlBoard *board, const BlOneMore *more)
{
  const BlStage *stage = more->stage != NULL ? bl_board_stage (board, more->stage) : NULL;
  const BlState *state = more->state != NULL ? bl_board_state (board, more->state) : NULL;
  const char *in = titled (state != NULL ? state->title : NULL, more->state);

  if (more->stage == NULL)
    return g_strdup_printf (_ ("%s tested by itself"), more->component);
  if (more->point == NULL)
    return g_strdup_printf (_ ("Output of %s in state “%s”"), titled (stage != NULL ? stage->title : NULL, more->stage),
                            in);
  return g_strdup_printf (_ ("Output of %s in state “%s”, at %s"),
                          titled (stage != NULL ? stage->title : NULL, more->stage), in, more->point);
}

char *
bl_coverage_one_more (const BlBoard *board, const BlCoverage *coverage, const BlOneMore *more)
{
  g_return_val_if_fail (board != NULL && coverage != NULL && more != NULL, NULL);
  g_autofree char *name = candidate (board, more);
  double seen_now = coverage->now.detected, seen_then = more->then.detected;

  /* Of all documented faults, or a fault that becomes visible would make the share smaller. */
  return g_strdup_printf (_ ("%s: leads to one component in %.1f %% of all faults, now %.1f %%"), name,
                          100 * seen_then * more->then.isolated[0], 100 * seen_now * coverage->now.isolated[0]);
}
