/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the keys and values of a board document are called for a reader. A key without a row is read as it stands,
 * with blanks for its underscores: a new field of the document shows up without a word being added here. */
#include "config.h"

#include "bl-board-difference-private.h"

#include <glib/gi18n-lib.h>

static const struct
{
  const char *key, *words;
} key_words[] = { /* a context where the word alone means many things */
  { "place", N_ ("place") },
  { "title", N_ ("title") },
  { "board_number", N_ ("board number") },
  { "edition", N_ ("edition") },
  { "live", N_ ("live") },
  { "volts", N_ ("highest voltage") },
  { "enter_s", N_ ("effort to enter") },
  { "lasts_s", N_ ("lasts") },
  { "how", N_ ("how to enter") },
  { "dead_proof", N_ ("proof of dead") },
  { "capacitor", N_ ("what holds a charge") },
  { "bleeder", N_ ("what bleeds it") },
  { "mm_per_px", N_ ("scale (mm per pixel)") },
  { "feeds", N_ ("feeds") },
  { "from", NC_ ("field", "from") },
  { "need", N_ ("need") },
  { "passes", N_ ("passes") },
  { "outlines", N_ ("outline") },
  { "points", N_ ("corners") },
  { "test_s", N_ ("effort to test") },
  { "replace_s", N_ ("effort to replace") },
  { "factor", N_ ("fails so many times as often") },
  { "factor_reason", N_ ("because") },
  { "modes", N_ ("mode") },
  { "shows", N_ ("shows") },
  { "effects", N_ ("effect") },
  { "on", NC_ ("field", "on") },
  { "is", NC_ ("field", "is") },
  { "in", N_ ("in state") },
  { "provokes", N_ ("provokes") },
  { "chance", N_ ("chance") },
  { "ground", N_ ("ground") },
  { "source_ohm", N_ ("source resistance") },
  { "at", N_ ("test point") },
  { "black", N_ ("black lead") },
  { "measures", N_ ("measures") },
  { "reads", N_ ("reads the stage") },
  { "effort_s", N_ ("effort") },
  { "series", N_ ("read through a series part") },
  { "expected", N_ ("expected") },
  { "absent_below", N_ ("absent below") },
  { "shorted_below", N_ ("shorted below") },
  { "open_above", N_ ("open above") },
  { "span_below", N_ ("still below") },
  { "marks", N_ ("mark") },
  { "follows", N_ ("follows") },
  { "when", N_ ("when") },
  { "pattern", N_ ("lamp") },
  { "rate_hz", N_ ("rate") },
  { "landmarks", N_ ("landmark") },
};

static const char *
words_of (const char *words)
{
  const char *own = g_dpgettext2 (GETTEXT_PACKAGE, "field", words);

  return own != words ? own : _ (words);
}

char *
bl_difference_key_words (const char *key)
{
  for (guint i = 0; i < G_N_ELEMENTS (key_words); i++)
    if (g_str_equal (key_words[i].key, key))
      return g_strdup (words_of (key_words[i].words));
  return g_strdelimit (g_strdup (key), "_", ' ');
}

/* --- Values ----------------------------------------------------------------------------------- */

static const char *
unit_of (const BlField *field, const char *unit)
{
  if (field == NULL)
    return NULL;
  if (field->kind == BL_FIELD_PHYSICAL)
    return field->unit;
  if (field->kind == BL_FIELD_QUANTITY || field->kind == BL_FIELD_PAIR)
    return field->unit != NULL ? field->unit : unit;
  return NULL;
}

/* Of numbers that are always written in this unit: no prefix is put before it. */
static const char *
plain_unit (const BlField *field)
{
  if (field == NULL || field->kind != BL_FIELD_NUMBER)
    return "";
  return g_str_has_suffix (field->key, "_s") ? " s" : g_str_has_suffix (field->key, "_hz") ? " Hz" : "";
}

static void
append_value (GString *text, const BlField *field, const json_t *value, const char *unit);

static void
append_list (GString *text, const BlField *field, const json_t *list, const char *unit)
{
  for (gsize i = 0; i < json_array_size (list); i++)
    {
      const json_t *item = json_array_get (list, i);
      g_string_append (text, i == 0 ? "" : json_is_object (item) || json_is_array (item) ? "; " : ", ");
      append_value (text, field, item, unit);
    }
}

/* "nominal 5 V, low 4.8 V"; the first field, which names an element of a list, stands without its key. */
static void
append_object (GString *text, const BlField *field, const json_t *object, const char *unit)
{
  const BlSchema *schema = field != NULL ? field->element : NULL;
  const char *key;
  json_t *value;
  gboolean first = TRUE;
  json_object_foreach ((json_t *) object, key, value)
  {
    const BlField *member = schema != NULL ? bl_difference_field (schema, key) : NULL;
    g_autofree char *words = bl_difference_key_words (key);
    gboolean is_name = field != NULL && field->kind == BL_FIELD_LIST && member == schema->fields;
    g_string_append_printf (text, "%s%s%s", first ? "" : ", ", is_name ? "" : words, is_name ? "" : " ");
    append_value (text, member, value, unit);
    first = FALSE;
  }
}

static void
append_number (GString *text, const BlField *field, double value, const char *unit)
{
  if (unit != NULL)
    {
      g_autofree char *quantity = bl_quantity_format (value, unit, 6);
      g_string_append (text, quantity);
    }
  else
    g_string_append_printf (text, "%.15g%s", value, plain_unit (field));
}

/* An outline by its middle: nobody reads its corners. */
static void
append_corners (GString *text, const json_t *points)
{
  double x = 0, y = 0;
  gsize n = json_array_size (points);
  for (gsize i = 0; i < n; i++)
    {
      x += json_number_value (json_array_get (json_array_get (points, i), 0)) / (double) n;
      y += json_number_value (json_array_get (json_array_get (points, i), 1)) / (double) n;
    }
  g_string_append_printf (text, ngettext ("%u around %.0f, %.0f", "%u around %.0f, %.0f", (gulong) n), (guint) n, x, y);
}

static void
append_value (GString *text, const BlField *field, const json_t *value, const char *unit)
{
  if (field != NULL && field->kind == BL_FIELD_POINTS && field->unit == NULL)
    append_corners (text, value);
  else if (json_is_string (value))
    g_string_append (text, json_string_value (value));
  else if (json_is_number (value))
    append_number (text, field, json_number_value (value), unit_of (field, unit));
  else if (json_is_boolean (value))
    g_string_append (text, json_is_true (value) ? _ ("yes") : _ ("no"));
  else if (json_is_array (value))
    append_list (text, field, value, unit);
  else if (json_is_object (value))
    append_object (text, field, value, unit);
}

char *
bl_difference_text (const BlField *field, const json_t *value, const char *unit)
{
  if (value == NULL)
    return NULL;
  GString *text = g_string_new (NULL);
  append_value (text, field, value, unit);
  return g_string_free (text, FALSE);
}

/* --- Lists and kinds -------------------------------------------------------------------------- */

static const struct
{
  const char *list, *words;
} list_words[] = {
  { "", N_ ("head of the document") },
  { "states", N_ ("board states") },
  { "photos", N_ ("photos") },
  { "sections", N_ ("sections") },
  { "ports", N_ ("ports") },
  { "stages", N_ ("stages") },
  { "components", N_ ("components") },
  { "test_points", N_ ("test points") },
  { "measurements", N_ ("measurements") },
  { "symptoms", N_ ("symptoms") },
  { "indications", N_ ("indications") },
};

const char *
bl_difference_list_words (const char *list)
{
  for (guint i = 0; i < G_N_ELEMENTS (list_words); i++)
    if (g_strcmp0 (list_words[i].list, list) == 0)
      return _ (list_words[i].words);
  return list;
}

const char *
bl_difference_kind_words (BlDifferenceKind kind)
{
  switch (kind)
    {
    case BL_DIFFERENCE_ADDED:
      return _ ("added");
    case BL_DIFFERENCE_REMOVED:
      return _ ("gone");
    case BL_DIFFERENCE_CHANGED:
      return _ ("changed");
    case BL_DIFFERENCE_RENAMED:
      return _ ("renamed");
    case BL_N_DIFFERENCES:
    default:
      g_return_val_if_reached (NULL);
    }
}

/* --- As text ---------------------------------------------------------------------------------- */

/* One line for the element and one for each field; of what is added or gone the title says enough. */
static void
append_difference (GString *out, const BlDifference *difference)
{
  gboolean is_head = difference->list[0] == '\0';
  if (!is_head)
    g_string_append_printf (out, "  %s: %s%s%s%s%s\n", bl_difference_kind_words (difference->kind),
                            difference->old_id != NULL ? difference->old_id : "",
                            difference->old_id != NULL ? " → " : "", difference->id,
                            difference->title != NULL ? "  " : "",
                            difference->title != NULL ? difference->title : "");
  if (difference->kind == BL_DIFFERENCE_ADDED || difference->kind == BL_DIFFERENCE_REMOVED)
    return;
  for (guint i = 0; i < difference->fields->len; i++)
    {
      const BlDifferenceField *field = bl_at (difference->fields, i);
      g_string_append_printf (out, "%s%s: %s → %s\n", is_head ? "  " : "      ", field->words,
                              field->mine != NULL ? field->mine : "–", field->theirs != NULL ? field->theirs : "–");
    }
}

char *
bl_differences_to_text (const GPtrArray *differences)
{
  g_return_val_if_fail (differences != NULL, NULL);
  GString *out = g_string_new (NULL);
  const char *list = NULL;
  if (differences->len == 0)
    g_string_append (out, _ ("Both documents say the same.\n"));
  for (guint i = 0; i < differences->len; i++)
    {
      const BlDifference *difference = bl_at (differences, i);
      if (g_strcmp0 (list, difference->list) != 0)
        {
          list = difference->list;
          g_string_append_printf (out, "%s%s (%u)\n", i > 0 ? "\n" : "", bl_difference_list_words (list),
                                  bl_differences_count (differences, BL_N_DIFFERENCES, list));
        }
      append_difference (out, difference);
    }
  return g_string_free (out, FALSE);
}
