/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plan, the acts on parts and what cannot be seen, as members of the diagnosis object. */
#include "config.h"

#include "bl-plan-json.h"

#include "bl-board.h"
#include "bl-json-out.h"

static void
key_flag (GString *out, const char *key, gboolean value)
{
  g_string_append_printf (out, ", \"%s\": %s", key, value ? "true" : "false");
}

static void
add_names (GString *out, const char *key, char **names)
{
  g_string_append_printf (out, "\"%s\": [", key);
  for (guint i = 0; names != NULL && names[i] != NULL; i++)
    {
      g_string_append (out, i > 0 ? ", " : "");
      bl_json_string (out, names[i]);
    }
  g_string_append_c (out, ']');
}

static void
add_step (GString *out, const BlPlan *plan, const BlPlanStep *step)
{
  gboolean first = TRUE;
  g_string_append_c (out, '{');
  bl_json_key_string (out, "measurement", step->test < 0 ? NULL : plan->measurements[step->test]);
  bl_json_key_number (out, "reached", step->reached);
  bl_json_key_number (out, "effort_s", step->effort);
  g_string_append (out, ", ");
  bl_json_key_string (out, "leading", step->group < 0 ? NULL : plan->groups[step->group]);
  bl_json_key_number (out, "share", step->share);
  g_string_append (out, ", \"after\": [");
  for (guint c = 0; c < step->n_classes; c++)
    {
      if (step->after[c] == NULL)
        continue;
      g_string_append (out, first ? "{" : ", {");
      add_names (out, "classes", bl_plan_classes (plan, (guint) step->test, c));
      g_string_append (out, ", \"then\": ");
      add_step (out, plan, step->after[c]);
      g_string_append_c (out, '}');
      first = FALSE;
    }
  g_string_append (out, "]}");
}

static void
add_plan (GString *out, const BlPlan *plan)
{
  g_string_append (out, ",\n  \"plan\": {");
  bl_json_key_string (out, "to", plan->to_stage ? "stage" : "component");
  bl_json_key_number (out, "effort_s", plan->tree->first->effort);
  bl_json_key_number (out, "greedy_effort_s", plan->tree->greedy_effort);
  key_flag (out, "shorter", bl_plan_is_shorter (plan));
  key_flag (out, "least", bl_plan_is_least (plan));
  bl_json_key_number (out, "covered", plan->covered);
  g_string_append (out, ",\n    \"first\": ");
  add_step (out, plan, plan->tree->first);
  g_string_append_c (out, '}');
}

static void
add_act (GString *out, const BlAct *act)
{
  g_string_append_c (out, '{');
  bl_json_key_string (out, "component", act->component);
  g_string_append (out, ", ");
  bl_json_key_string (out, "act", act->replace ? "replace" : "test");
  g_string_append (out, ", ");
  bl_json_key_string (out, "measurement", act->measurement);
  bl_json_key_number (out, "probability", act->probability);
  bl_json_key_number (out, "cost_s", act->cost_s);
  bl_json_key_number (out, "replace_s", act->replace_s);
  g_string_append (out, ", ");
  add_names (out, "causes", act->causes);
  g_string_append_c (out, '}');
}

static void
add_acts (GString *out, const BlActs *acts)
{
  g_string_append (out, ",\n  \"acts\": {");
  bl_json_key_string (out, "stage", acts->stage);
  bl_json_key_number (out, "expected_s", acts->expected_s);
  bl_json_key_number (out, "probability", acts->probability);
  g_string_append (out, ",\n    \"parts\": [");
  for (guint i = 0; i < acts->list->len; i++)
    {
      g_string_append (out, i == 0 ? "\n      " : ",\n      ");
      add_act (out, bl_at (acts->list, i));
    }
  g_string_append (out, "]}");
}

void
bl_plan_append_json (GString *out, const BlDiagnosis *diagnosis)
{
  if (diagnosis->plan != NULL)
    add_plan (out, diagnosis->plan);
  if (diagnosis->acts != NULL)
    add_acts (out, diagnosis->acts);
  if (diagnosis->not_visible == NULL)
    return;
  g_string_append (out, ",\n  \"not_visible\": [");
  for (guint i = 0; i < diagnosis->not_visible->len; i++)
    {
      g_string_append (out, i > 0 ? ", " : "");
      bl_json_string (out, bl_at (diagnosis->not_visible, i));
    }
  g_string_append_c (out, ']');
}
