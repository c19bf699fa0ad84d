/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The diagnosis as one JSON object. Written by hand rather than through the JSON library, for two
 * reasons: numbers with 17 digits whatever the locale, and the order of keys as documented. */
#include "config.h"

#include "bl-diagnosis.h"

#include "bl-json-out.h"
#include "bl-plan-json.h"

#include <math.h>
#include <string.h>

void
bl_json_string (GString *out, const char *text)
{
  g_string_append_c (out, '"');
  for (const char *c = text; *c != '\0'; c++)
    {
      if (*c == '"' || *c == '\\')
        g_string_append_c (out, '\\');
      if ((guchar) *c < 0x20)
        g_string_append_printf (out, "\\u%04x", (guint) *c);
      else
        g_string_append_c (out, *c);
    }
  g_string_append_c (out, '"');
}

void
bl_json_number (GString *out, double value)
{
  char buffer[G_ASCII_DTOSTR_BUF_SIZE];
  if (!isfinite (value))
    g_string_append (out, "null");
  else
    g_string_append (out, g_ascii_formatd (buffer, sizeof buffer, "%.17g", value));
}

void
bl_json_key_string (GString *out, const char *key, const char *text)
{
  g_string_append_printf (out, "\"%s\": ", key);
  if (text == NULL)
    g_string_append (out, "null");
  else
    bl_json_string (out, text);
}

void
bl_json_key_number (GString *out, const char *key, double value)
{
  g_string_append_printf (out, ", \"%s\": ", key);
  bl_json_number (out, value);
}

typedef void (*AddItem) (GString *out, gconstpointer item);

static void
add_list (GString *out, const char *key, const GPtrArray *list, guint n, AddItem add)
{
  g_string_append_printf (out, "  \"%s\": [", key);
  for (guint i = 0; i < n; i++)
    {
      g_string_append (out, i == 0 ? "\n    " : ",\n    ");
      add (out, bl_at (list, i));
    }
  g_string_append (out, n > 0 ? "\n  ]" : "]");
}

static void
add_reading (GString *out, gconstpointer item)
{
  const BlJudged *judged = item;
  const BlVerdict *verdict = judged->verdict;
  gboolean first = TRUE;
  g_string_append_c (out, '{');
  bl_json_key_string (out, "measurement", judged->measurement->id);
  g_string_append_printf (out, ", \"round\": %u, ", judged->round);
  bl_json_key_string (out, "verdict", bl_verdict_label (verdict));
  g_string_append (out, ", \"classes\": {");
  for (guint i = 0; i < verdict->n; i++)
    if (verdict->weights[i] > 0)
      {
        g_string_append (out, first ? "" : ", ");
        bl_json_string (out, verdict->classes[i]);
        g_string_append (out, ": ");
        bl_json_number (out, verdict->weights[i]);
        first = FALSE;
      }
  g_string_append (out, "}}");
}

static void
add_odd_of (GString *out, const BlOdd *odd, const char *key)
{
  g_string_append_c (out, '{');
  bl_json_key_string (out, key, odd->id);
  bl_json_key_number (out, "probability", odd->probability);
  bl_json_key_number (out, "present", odd->present);
}

static void
add_place (GString *out, gconstpointer item)
{
  add_odd_of (out, item, "id");
  g_string_append_c (out, '}');
}

static void
add_component (GString *out, gconstpointer item)
{
  const BlOdd *odd = item;
  add_odd_of (out, odd, "id");
  g_string_append (out, ", \"modes\": [");
  for (guint i = 0; i < bl_len (odd->modes); i++)
    {
      g_string_append (out, i == 0 ? "" : ", ");
      add_odd_of (out, bl_at (odd->modes, i), "mode");
      g_string_append_c (out, '}');
    }
  g_string_append (out, "]}");
}

static void
add_setup (GString *out, gconstpointer item)
{
  const BlSetupOdd *odd = item;
  g_string_append_c (out, '{');
  bl_json_key_string (out, odd->black != NULL ? "black" : "state", odd->black != NULL ? odd->black : odd->state);
  bl_json_key_number (out, "probability", odd->probability);
  g_string_append_c (out, '}');
}

static void
add_next (GString *out, gconstpointer item)
{
  const BlNext *next = item;
  g_string_append_c (out, '{');
  bl_json_key_string (out, "measurement", next->measurement);
  bl_json_key_number (out, "bits", next->bits);
  bl_json_key_number (out, "effort_s", next->effort_s);
  g_string_append_c (out, '}');
}

static void
add_why (GString *out, gconstpointer item)
{
  const BlWhy *why = item;
  g_string_append_c (out, '{');
  bl_json_key_string (out, "measurement", why->measurement);
  g_string_append_printf (out, ", \"round\": %u", why->round);
  bl_json_key_number (out, "decibans", why->decibans);
  g_string_append_c (out, '}');
}

static void
add_fit (GString *out, const BlDiagnosis *diagnosis)
{
  g_string_append_printf (out, "  \"fit\": {\"explained\": %s, \"quarrel\": [",
                          diagnosis->explained ? "true" : "false");
  for (guint i = 0; i < bl_len (diagnosis->quarrel); i++)
    {
      const GPtrArray *set = bl_at (diagnosis->quarrel, i);
      g_string_append (out, i == 0 ? "[" : ", [");
      for (guint j = 0; j < set->len; j++)
        {
          const BlReadingRef *ref = bl_at (set, j);
          g_string_append (out, j == 0 ? "{" : ", {");
          bl_json_key_string (out, "measurement", ref->measurement);
          g_string_append_printf (out, ", \"round\": %u}", ref->round);
        }
      g_string_append_c (out, ']');
    }
  g_string_append (out, "]},\n");
}

/* Keys of an equipment's places: "board", "conductors", "part". */
static void
add_of_equipment (GString *out, gconstpointer item)
{
  static const char *const kinds[] = { "board", "conductors", "part" };
  const BlFaultPlace *place = item;
  g_string_append_c (out, '{');
  bl_json_key_string (out, "id", place->id);
  g_string_append (out, ", ");
  bl_json_key_string (out, "kind", kinds[place->kind]);
  bl_json_key_number (out, "probability", place->probability);
  g_string_append_c (out, '}');
}

static void
add_places (GString *out, const BlPlaces *places)
{
  static const char *const verdicts[] = { "open", "between", "isolated", "several", "none" };
  g_string_append (out, "  \"places\": {");
  bl_json_key_string (out, "verdict", verdicts[places->verdict]);
  g_string_append (out, ", ");
  bl_json_key_string (out, "first", places->first != NULL ? places->first->id : NULL);
  g_string_append (out, ", ");
  bl_json_key_string (out, "second", places->second != NULL ? places->second->id : NULL);
  bl_json_key_number (out, "pair", places->pair);
  bl_json_key_number (out, "none", places->none);
  g_string_append (out, ",\n");
  add_list (out, "list", places->places, places->places->len, add_of_equipment);
  g_string_append (out, ",\n");
  add_list (out, "parts", places->parts, places->parts->len, add_of_equipment);
  g_string_append (out, "},\n");
}

char *
bl_diagnosis_to_json (const BlDiagnosis *diagnosis, int next)
{
  g_return_val_if_fail (diagnosis != NULL, NULL);
  GString *out = g_string_new ("{\n");
  guint n_next = bl_len (diagnosis->next);
  const struct { const char *key; const GPtrArray *list; AddItem add; } lists[]
    = { { "readings", diagnosis->readings, add_reading },
        { "sections", diagnosis->sections, add_place },
        { "stages", diagnosis->stages, add_place },
        { "components", diagnosis->components, add_component } };
  for (guint i = 0; i < G_N_ELEMENTS (lists); i++)
    {
      add_list (out, lists[i].key, lists[i].list, bl_len (lists[i].list), lists[i].add);
      g_string_append (out, ",\n");
    }
  g_string_append (out, "  \"elsewhere\": ");
  bl_json_number (out, diagnosis->elsewhere);
  g_string_append (out, ",\n  \"remaining\": ");
  bl_json_number (out, diagnosis->remaining);
  g_string_append (out, ",\n");
  add_list (out, "setup", diagnosis->setup, bl_len (diagnosis->setup), add_setup);
  g_string_append (out, ",\n");
  add_list (out, "next", diagnosis->next, next < 0 ? n_next : MIN ((guint) next, n_next), add_next);
  g_string_append (out, ",\n");
  add_list (out, "why", diagnosis->why, bl_len (diagnosis->why), add_why);
  g_string_append (out, ",\n");
  if (diagnosis->fitted)
    add_fit (out, diagnosis);
  if (diagnosis->places != NULL)
    add_places (out, diagnosis->places);
  g_string_append (out, "  ");
  bl_json_key_string (out, "likely_stage", diagnosis->likely_stage);
  bl_plan_append_json (out, diagnosis);
  g_string_append (out, "\n}\n");
  return g_string_free (out, FALSE);
}
