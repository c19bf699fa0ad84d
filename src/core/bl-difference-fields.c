/* SPDX-License-Identifier: GPL-3.0-or-later */
/* In which fields two elements of a board document differ, and how one of them is taken over. Both walk the JSON along
 * the tables of bl-schema.c. Lists are compared element by element where each has a name of its own on both sides, as
 * a whole otherwise; marks also where their order is another, because the first that fits is the one that shows. */
#include "config.h"

#include "bl-board-difference-private.h"

#include <string.h>

static BlDifferenceStep *
step_new (const BlField *field, const char *name)
{
  BlDifferenceStep *step = g_new0 (BlDifferenceStep, 1);
  step->field = field;
  step->name = g_strdup (name);
  return step;
}

static void
step_free (gpointer data)
{
  BlDifferenceStep *step = data;
  g_free (step->name);
  g_free (step);
}

/* A place in an element while it is walked, linked towards the root, on the stack. */
typedef struct Place
{
  const struct Place *up;
  const BlField *field;
  const char *name; /* NULL: a member */
} Place;

typedef struct
{
  GPtrArray *fields; /* BlDifferenceField */
  const char *mine_unit, *theirs_unit; /* of a measurement's limits */
} Walk;

static void
field_free (gpointer data)
{
  BlDifferenceField *field = data;
  g_free (field->words);
  g_free (field->path);
  g_free (field->mine);
  g_free (field->theirs);
  g_free (field->mine_json);
  g_free (field->theirs_json);
  g_clear_pointer (&field->steps, g_ptr_array_unref);
  g_clear_pointer (&field->needs, g_array_unref);
  g_free (field);
}

static void
add_steps (const Place *place, GPtrArray *steps, GString *path, GString *words)
{
  if (place->up != NULL)
    add_steps (place->up, steps, path, words);
  g_ptr_array_add (steps, step_new (place->field, place->name));
  if (place->name != NULL)
    {
      g_string_append_printf (path, "[%s]", place->name);
      g_string_append_printf (words, " %s", place->name);
      return;
    }
  g_autofree char *key = bl_difference_key_words (place->field->key);
  g_string_append_printf (path, "%s%s", path->len > 0 ? "." : "", place->field->key);
  g_string_append_printf (words, "%s%s", words->len > 0 ? ", " : "", key);
}

/* The shortest digits that read back, as documents are written: 0.1 and not 0.10000000000000001. */
static void
append_real (GString *text, double value)
{
  static const char *const formats[] = { "%.15g", "%.16g", "%.17g" };
  char digits[G_ASCII_DTOSTR_BUF_SIZE];
  for (guint i = 0; i < G_N_ELEMENTS (formats); i++)
    if (g_ascii_strtod (g_ascii_formatd (digits, sizeof digits, formats[i], value), NULL) == value)
      break;
  g_string_append (text, digits);
}

static void
append_other (GString *text, const json_t *value)
{
  char *dumped = json_dumps (value, JSON_ENCODE_ANY | JSON_COMPACT);
  g_string_append (text, dumped);
  free (dumped);
}

static void
append_json (GString *text, json_t *value)
{
  const char *key, *comma = "";
  json_t *item;
  gsize i;
  if (json_is_real (value))
    append_real (text, json_real_value (value));
  else if (json_is_array (value))
    {
      g_string_append_c (text, '[');
      json_array_foreach (value, i, item)
      {
        g_string_append (text, i > 0 ? "," : "");
        append_json (text, item);
      }
      g_string_append_c (text, ']');
    }
  else if (json_is_object (value))
    {
      g_string_append_c (text, '{');
      json_object_foreach (value, key, item)
      {
        json_t *name = json_string_nocheck (key);
        g_string_append (text, comma);
        append_other (text, name);
        g_string_append_c (text, ':');
        append_json (text, item);
        json_decref (name);
        comma = ",";
      }
      g_string_append_c (text, '}');
    }
  else
    append_other (text, value);
}

static char *
as_json (const json_t *value)
{
  if (value == NULL)
    return NULL;
  GString *text = g_string_new (NULL);
  append_json (text, (json_t *) value);
  return g_string_free (text, FALSE);
}

static void
add_field (Walk *walk, const Place *place, const json_t *mine, const json_t *theirs)
{
  BlDifferenceField *field = g_new0 (BlDifferenceField, 1);
  GString *path = g_string_new (NULL), *words = g_string_new (NULL);
  field->steps = g_ptr_array_new_with_free_func (step_free);
  add_steps (place, field->steps, path, words);
  field->path = g_string_free (path, FALSE);
  field->words = g_string_free (words, FALSE);
  field->mine = bl_difference_text (place->field, mine, walk->mine_unit);
  field->theirs = bl_difference_text (place->field, theirs, walk->theirs_unit);
  field->mine_json = as_json (mine);
  field->theirs_json = as_json (theirs);
  g_ptr_array_add (walk->fields, field);
}

/* --- Walking ---------------------------------------------------------------------------------- */

static void compare_members (Walk *walk, const Place *up, const BlSchema *schema, json_t *mine, json_t *theirs);

static gboolean
is_nothing (const BlField *field, const json_t *value)
{
  return value == NULL || (field->kind == BL_FIELD_LIST && json_array_size (value) == 0);
}

/* The names of the elements, when each has its own; NULL otherwise. */
static GPtrArray *
own_names (const BlSchema *schema, const json_t *list)
{
  g_autoptr (GPtrArray) names = g_ptr_array_new_with_free_func (g_free);
  for (gsize i = 0; i < json_array_size (list); i++)
    {
      g_autofree char *name = bl_difference_name (schema, json_array_get (list, i));
      if (bl_difference_index (names, name) >= 0)
        return NULL;
      g_ptr_array_add (names, g_steal_pointer (&name));
    }
  return g_steal_pointer (&names);
}

/* Whether those in both lists follow each other the same way. */
static gboolean
is_same_order (const GPtrArray *mine, const GPtrArray *theirs)
{
  int last = -1;
  for (guint i = 0; i < mine->len; i++)
    {
      int at = bl_difference_index (theirs, bl_at (mine, i));
      if (at >= 0 && at < last)
        return FALSE;
      last = MAX (last, at);
    }
  return TRUE;
}

static void
compare_elements (Walk *walk, const Place *up, const BlField *list, const char *name, json_t *mine, json_t *theirs)
{
  Place place = { up, list, name };
  if (json_is_object (mine) && json_is_object (theirs))
    compare_members (walk, &place, list->element, mine, theirs);
  else if (mine == NULL || theirs == NULL || !json_equal (mine, theirs))
    add_field (walk, &place, mine, theirs);
}

/* FALSE: the lists cannot be compared element by element. */
static gboolean
compare_lists (Walk *walk, const Place *place, json_t *mine, json_t *theirs)
{
  const BlSchema *element = place->field->element;
  g_autoptr (GPtrArray) my_names = own_names (element, mine), their_names = own_names (element, theirs);
  if (mine == NULL || theirs == NULL || my_names == NULL || their_names == NULL ||
      (element == &bl_mark_schema && !is_same_order (my_names, their_names)))
    return FALSE;
  for (guint i = 0; i < my_names->len; i++)
    {
      int at = bl_difference_index (their_names, bl_at (my_names, i));
      compare_elements (walk, place, place->field, bl_at (my_names, i), json_array_get (mine, i),
                        at >= 0 ? json_array_get (theirs, (gsize) at) : NULL);
    }
  for (guint i = 0; i < their_names->len; i++)
    if (bl_difference_index (my_names, bl_at (their_names, i)) < 0)
      compare_elements (walk, place, place->field, bl_at (their_names, i), NULL, json_array_get (theirs, i));
  return TRUE;
}

static void
compare_values (Walk *walk, const Place *place, json_t *mine, json_t *theirs)
{
  const BlField *field = place->field;
  if ((is_nothing (field, mine) && is_nothing (field, theirs)) ||
      (mine != NULL && theirs != NULL && json_equal (mine, theirs)))
    return;
  if (field->kind == BL_FIELD_LIST && compare_lists (walk, place, mine, theirs))
    return;
  if (json_is_object (mine) && json_is_object (theirs) && field->element != NULL)
    compare_members (walk, place, field->element, mine, theirs);
  else
    add_field (walk, place, mine, theirs);
}

static void
compare_members (Walk *walk, const Place *up, const BlSchema *schema, json_t *mine, json_t *theirs)
{
  for (const BlField *f = schema->fields; f->key != NULL; f++)
    {
      Place place = { up, f, NULL };
      compare_values (walk, &place, json_object_get (mine, f->key), json_object_get (theirs, f->key));
    }
}

/* --- The place on the photo ------------------------------------------------------------------- */

static const char *const place_keys[] = { "photo", "x", "y" };

/* "front 120, 88" */
static char *
place_text (const json_t *element)
{
  const json_t *x = json_object_get (element, "x"), *y = json_object_get (element, "y");
  const char *photo = json_string_value (json_object_get (element, "photo"));
  if (x == NULL || y == NULL)
    return g_strdup (photo);
  return g_strdup_printf ("%s%s%.6g, %.6g", photo != NULL ? photo : "", photo != NULL ? " " : "",
                          json_number_value (x), json_number_value (y));
}

static char *
place_json (const json_t *element)
{
  g_autoptr (GString) text = g_string_new ("{");
  for (guint k = 0; k < G_N_ELEMENTS (place_keys); k++)
    {
      g_autofree char *value = as_json (json_object_get (element, place_keys[k]));
      if (value != NULL)
        g_string_append_printf (text, "%s\"%s\":%s", text->len > 1 ? "," : "", place_keys[k], value);
    }
  g_string_append_c (text, '}');
  return text->len > 2 ? g_strdup (text->str) : NULL;
}

static gboolean
is_of_place (const BlDifferenceField *field)
{
  return field->steps->len == 1 && g_strv_contains ((const char *const[]){ "photo", "x", "y", NULL }, field->path);
}

/* Makes one field of photo, x and y, which nobody takes over one by one. */
static void
join_place (const BlSchema *schema, GPtrArray *fields, const json_t *mine, const json_t *theirs)
{
  BlDifferenceField *place = NULL;
  if (bl_difference_field (schema, "photo") == NULL || bl_difference_field (schema, "x") == NULL)
    return;
  for (guint i = 0; i < fields->len; i++)
    {
      BlDifferenceField *field = bl_at (fields, i);
      if (!is_of_place (field))
        continue;
      if (place != NULL)
        g_ptr_array_remove_index (fields, i--);
      else
        place = field;
    }
  if (place == NULL)
    return;
  g_ptr_array_set_size (place->steps, 0);
  for (guint k = 0; k < G_N_ELEMENTS (place_keys); k++)
    g_ptr_array_add (place->steps, step_new (bl_difference_field (schema, place_keys[k]), NULL));
  g_free (place->path);
  g_free (place->words);
  g_free (place->mine);
  g_free (place->theirs);
  g_free (place->mine_json);
  g_free (place->theirs_json);
  place->path = g_strdup ("place");
  place->words = bl_difference_key_words ("place");
  place->mine = place_text (mine);
  place->theirs = place_text (theirs);
  place->mine_json = place_json (mine);
  place->theirs_json = place_json (theirs);
}

static const char *
unit_of (const BlSchema *schema, const json_t *element)
{
  const char *name = json_string_value (json_object_get (element, "measures"));
  BlMeasures measures;
  return schema == &bl_measurement_schema && name != NULL && bl_measures_parse (name, &measures)
             ? bl_measures_unit (measures)
             : NULL;
}

GPtrArray *
bl_difference_fields (const BlSchema *schema, json_t *mine, json_t *theirs)
{
  Walk walk = { g_ptr_array_new_with_free_func (field_free), unit_of (schema, mine), unit_of (schema, theirs) };
  compare_members (&walk, NULL, schema, mine, theirs);
  join_place (schema, walk.fields, mine, theirs);
  return walk.fields;
}

/* --- Taking one over -------------------------------------------------------------------------- */

static gsize
index_of (const BlField *list, const json_t *array, const char *name)
{
  for (gsize i = 0; i < json_array_size (array); i++)
    {
      g_autofree char *own = bl_difference_name (list->element, json_array_get (array, i));
      if (g_strcmp0 (own, name) == 0)
        return i;
    }
  return json_array_size (array);
}

static json_t *
go (const BlDifferenceStep *step, const json_t *from)
{
  if (step->name != NULL)
    return json_array_get (from, index_of (step->field, from, step->name));
  return json_object_get (from, step->field->key);
}

static void
set_element (const BlDifferenceStep *step, json_t *mine, const json_t *theirs)
{
  gsize at = index_of (step->field, mine, step->name), there = index_of (step->field, theirs, step->name);
  json_t *value = json_array_get (theirs, there);
  gboolean is_there = at < json_array_size (mine);
  if (value == NULL && is_there)
    json_array_remove (mine, at);
  else if (value != NULL && is_there)
    json_array_set_new (mine, at, json_deep_copy (value));
  else if (value != NULL)
    json_array_insert_new (mine, MIN (there, json_array_size (mine)), json_deep_copy (value));
}

static void
set_member (const BlDifferenceStep *step, json_t *mine, const json_t *theirs)
{
  json_t *value = json_object_get (theirs, step->field->key);
  if (value == NULL)
    json_object_del (mine, step->field->key);
  else
    json_object_set_new (mine, step->field->key, json_deep_copy (value));
}

void
bl_difference_apply (const BlDifferenceField *field, json_t *mine, const json_t *theirs)
{
  gboolean is_place = g_str_equal (field->path, "place");
  for (guint i = 0; i < field->steps->len; i++)
    {
      const BlDifferenceStep *step = bl_at (field->steps, i);
      if (is_place)
        set_member (step, mine, theirs);
      else if (i + 1 < field->steps->len)
        {
          mine = go (step, mine);
          theirs = go (step, theirs);
        }
      else if (step->name != NULL)
        set_element (step, mine, theirs);
      else
        set_member (step, mine, theirs);
    }
}
