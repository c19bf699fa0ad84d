/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plan as text: each step with what follows what may show, then the acts on parts. */
#include "config.h"

#include "plan-text.h"

#include <glib/gi18n.h>

#include "commands.h"

enum { LEVELS = 2, NAMED = 12 };

static void
append_end (GString *out, const BlPlan *plan, const BlPlanStep *step)
{
  guint group = (guint) step->group;
  if (step->group < 0)
    g_string_append (out, _("nothing more tells"));
  else if (step->share < BL_STAGE_ISOLATED)
    g_string_append_printf (out, _("no measurement tells more; most likely %s, %.0f %%"),
                            plan->groups[group], 100 * step->share);
  else if (group == plan->elsewhere)
    g_string_append_printf (out, _("not on this board, %.0f %%"), 100 * step->share);
  else if (group == plan->nothing)
    g_string_append_printf (out, _("nothing is left, %.0f %%"), 100 * step->share);
  else
    g_string_append_printf (out, _("%s, %.0f %%"), plan->groups[group], 100 * step->share);
}

/* "if low (20 %): measure M9", and what follows that. */
static void
append_after (GString *out, const BlPlan *plan, const BlPlanStep *step, guint level)
{
  for (guint c = 0; c < step->n_classes; c++)
    {
      const BlPlanStep *then = step->after[c];
      if (then == NULL)
        continue;
      g_autofree char *shown = g_strjoinv (_(" or "), bl_plan_classes (plan, (guint) step->test, c));
      g_string_append_printf (out, "%*s", (int) (2 + 2 * level), "");
      g_string_append_printf (out, _("if %s (%.0f %%): "), shown, 100 * then->reached / step->reached);
      if (then->test < 0)
        append_end (out, plan, then);
      else
        g_string_append_printf (out, _("measure %s"), plan->measurements[then->test]);
      g_string_append_c (out, '\n');
      if (then->test >= 0 && level + 1 < LEVELS)
        append_after (out, plan, then, level + 1);
    }
}

static void
append_plan (GString *out, const BlPlan *plan)
{
  const BlPlanStep *first = plan->tree->first;
  if (first->test < 0)
    {
      g_string_append (out, _("Plan: "));
      append_end (out, plan, first);
      g_string_append_c (out, '\n');
      return;
    }
  g_string_append_printf (out, plan->to_stage ? _("Plan: measure %s first, about %.0f s to one stage")
                                              : _("Plan: measure %s first, about %.0f s to one component"),
                          plan->measurements[first->test], first->effort);
  if (bl_plan_is_least (plan))
    g_string_append (out, _(", shortest there is"));
  if (bl_plan_is_shorter (plan))
    g_string_append_printf (out, _("; %.0f s by most bits a second"), plan->tree->greedy_effort);
  g_string_append_c (out, '\n');
  append_after (out, plan, first, 0);
  if (plan->covered < 0.95)
    g_string_append_printf (out, _("  Rarer combinations of faults, %.0f %%, are left out of the plan.\n"),
                            100 * (1 - plan->covered));
}

static void
append_acts (GString *out, const BlActs *acts)
{
  static const gboolean right[] = { TRUE, FALSE, FALSE, FALSE };
  g_autoptr (BlCliTable) table = bl_cli_table_new (4, right);
  if (acts->list->len == 0)
    return;
  g_string_append_printf (out, _("Parts, in this order: about %.0f s to the one replaced, %.0f %% that it is one "
                                 "of these. Unpowered, proved dead.\n"),
                          acts->expected_s, 100 * acts->probability);
  for (guint i = 0; i < acts->list->len; i++)
    {
      const BlAct *act = bl_at (acts->list, i);
      g_autofree char *causes = act->causes != NULL ? g_strjoinv (", ", act->causes) : NULL;
      bl_cli_table_add (table, g_strdup_printf (_("%.1f %%"), 100 * act->probability));
      bl_cli_table_add (table, g_strdup (act->component));
      bl_cli_table_add (table, act->measurement != NULL
                                 ? g_strdup_printf (_("test by %s, %.0f s"), act->measurement, act->cost_s)
                                 : g_strdup_printf (act->replace ? _("replace, %.0f s") : _("test by itself, %.0f s"),
                                                    act->cost_s));
      bl_cli_table_add (table, causes != NULL ? g_strdup_printf (_("before replacing it, test %s"), causes)
                                              : g_strdup (""));
    }
  bl_cli_table_append (table, out);
}

static void
append_not_visible (GString *out, const GPtrArray *names)
{
  if (bl_len (names) == 0)
    return;
  g_string_append (out, _("Not visible with these measurements, and not cleared by good readings:\n  "));
  for (guint i = 0; i < names->len && i < NAMED; i++)
    g_string_append_printf (out, "%s%s", i > 0 ? ", " : "", (char *) bl_at (names, i));
  if (names->len > NAMED)
    g_string_append_printf (out, ngettext (" and %u more", " and %u more", names->len - NAMED), names->len - NAMED);
  g_string_append_c (out, '\n');
}

void
bl_cli_append_plan (GString *out, const BlDiagnosis *diagnosis)
{
  if (diagnosis->plan != NULL)
    append_plan (out, diagnosis->plan);
  if (diagnosis->acts != NULL)
    append_acts (out, diagnosis->acts);
  append_not_visible (out, diagnosis->not_visible);
}
