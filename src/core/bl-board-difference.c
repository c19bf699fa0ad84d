/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What one board document has otherwise than another: element by element, and which of these differences cannot be
 * taken over without which others. Some hundred elements a side; comparing two boards takes a few milliseconds.
 * What ids and references are is in bl-difference-json.c, the single values in bl-difference-fields.c, taking over in
 * bl-board-merge.c. Photos are compared by what the document says of them: the images are not in it. */
#include "config.h"

#include "bl-board-difference.h"

#include "bl-board-difference-private.h"

typedef struct
{
  json_t *mine, *theirs; /* mine with the ids of theirs */
  GPtrArray *renamings;  /* BlRenaming */
  GPtrArray *found;      /* BlDifference */
} Comparison;

static void
clear_place (BlDifferencePlace *place)
{
  g_clear_pointer (&place->photo, g_free);
}

void
bl_difference_free (BlDifference *self)
{
  if (self == NULL)
    return;
  g_free (self->id);
  g_free (self->old_id);
  g_free (self->title);
  clear_place (&self->mine);
  clear_place (&self->theirs);
  g_clear_pointer (&self->fields, g_ptr_array_unref);
  g_clear_pointer (&self->needs, g_array_unref);
  g_free (self);
}

/* --- Places ----------------------------------------------------------------------------------- */

static json_t *
find (const json_t *document, const char *list, const char *id)
{
  json_t *element;
  gsize i;
  json_array_foreach (json_object_get (document, list), i, element)
    if (id != NULL && g_strcmp0 (json_string_value (json_object_get (element, "id")), id) == 0)
      return element;
  return NULL;
}

static const char *
text_of (const json_t *object, const char *key)
{
  return json_string_value (json_object_get (object, key));
}

/* The middle of the corners: good enough to look there. */
static BlDifferencePlace
outline_place (const json_t *outline)
{
  const json_t *points = json_object_get (outline, "points");
  gsize n = json_array_size (points);
  BlDifferencePlace place = { g_strdup (text_of (outline, "photo")), 0, 0 };
  for (gsize i = 0; i < n; i++)
    {
      const json_t *point = json_array_get (points, i);
      place.x += json_number_value (json_array_get (point, 0)) / (double) n;
      place.y += json_number_value (json_array_get (point, 1)) / (double) n;
    }
  return place;
}

static BlDifferencePlace
place_of (const json_t *document, const char *list, const json_t *element)
{
  const json_t *outlines = json_object_get (element, "outlines");
  if (g_str_equal (list, "measurements"))
    element = find (document, "test_points", text_of (element, "at"));
  const json_t *x = json_object_get (element, "x"), *y = json_object_get (element, "y");
  if (json_array_size (outlines) > 0)
    return outline_place (json_array_get (outlines, 0));
  if (x == NULL || y == NULL || text_of (element, "photo") == NULL)
    return (BlDifferencePlace){ NULL, NAN, NAN };
  return (BlDifferencePlace){ g_strdup (text_of (element, "photo")), json_number_value (x), json_number_value (y) };
}

/* --- Elements --------------------------------------------------------------------------------- */

static const BlRenaming *
renaming_of (const Comparison *self, const char *list, const char *id)
{
  for (guint i = 0; i < self->renamings->len; i++)
    {
      const BlRenaming *renaming = bl_at (self->renamings, i);
      if (g_str_equal (renaming->list->key, list) && g_str_equal (renaming->theirs, id))
        return renaming;
    }
  return NULL;
}

static const char *
title_of (const json_t *document, const char *list, const json_t *element)
{
  if (g_str_equal (list, "indications"))
    element = find (document, "symptoms", text_of (element, "symptom"));
  return text_of (element, "title");
}

/* Of what is added or removed its id is said already. */
static void
drop_id (GPtrArray *fields)
{
  for (guint i = 0; i < fields->len; i++)
    if (g_str_equal (((BlDifferenceField *) bl_at (fields, i))->path, "id"))
      g_ptr_array_remove_index (fields, i--);
}

static void
compare_element (Comparison *self, const BlField *list, const char *name, json_t *mine, json_t *theirs)
{
  const BlRenaming *renaming = mine != NULL && theirs != NULL ? renaming_of (self, list->key, name) : NULL;
  g_autoptr (GPtrArray) fields = bl_difference_fields (list->element, mine, theirs);
  if (mine != NULL && theirs != NULL && fields->len == 0 && renaming == NULL)
    return;
  drop_id (fields);
  const char *title = theirs != NULL ? title_of (self->theirs, list->key, theirs)
                                     : title_of (self->mine, list->key, mine);
  BlDifference *difference = g_new0 (BlDifference, 1);
  difference->kind = mine == NULL       ? BL_DIFFERENCE_ADDED
                     : theirs == NULL   ? BL_DIFFERENCE_REMOVED
                     : renaming != NULL ? BL_DIFFERENCE_RENAMED
                                        : BL_DIFFERENCE_CHANGED;
  difference->list = list->key;
  difference->id = g_strdup (name);
  difference->old_id = renaming != NULL ? g_strdup (renaming->mine) : NULL;
  difference->title = g_strdup (title);
  difference->mine = place_of (self->mine, list->key, mine);
  difference->theirs = place_of (self->theirs, list->key, theirs);
  difference->fields = g_steal_pointer (&fields);
  g_ptr_array_add (self->found, difference);
}

static void
compare_list (Comparison *self, const BlField *list)
{
  json_t *mine = json_object_get (self->mine, list->key), *theirs = json_object_get (self->theirs, list->key);
  g_autoptr (GPtrArray) my_names = bl_difference_names (list->element, mine, NULL);
  g_autoptr (GPtrArray) their_names = bl_difference_names (list->element, theirs, mine);
  for (guint i = 0; i < my_names->len; i++)
    {
      int at = bl_difference_index (their_names, bl_at (my_names, i));
      compare_element (self, list, bl_at (my_names, i), json_array_get (mine, i),
                       at >= 0 ? json_array_get (theirs, (gsize) at) : NULL);
    }
  for (guint i = 0; i < their_names->len; i++)
    if (bl_difference_index (my_names, bl_at (their_names, i)) < 0)
      compare_element (self, list, bl_at (their_names, i), NULL, json_array_get (theirs, i));
}

static json_t *
only_member (const json_t *document, const char *key)
{
  json_t *object = json_object (), *value = json_object_get (document, key);
  if (value != NULL)
    json_object_set (object, key, value);
  return object;
}

static void
compare_head (Comparison *self, const BlField *field)
{
  json_t *mine = only_member (self->mine, field->key), *theirs = only_member (self->theirs, field->key);
  g_autoptr (GPtrArray) fields = bl_difference_fields (&bl_board_schema, mine, theirs);
  json_decref (mine);
  json_decref (theirs);
  if (fields->len == 0)
    return;
  BlDifference *difference = g_new0 (BlDifference, 1);
  difference->kind = BL_DIFFERENCE_CHANGED;
  difference->list = "";
  difference->id = g_strdup (field->key);
  difference->mine = difference->theirs = (BlDifferencePlace){ NULL, NAN, NAN };
  difference->fields = g_steal_pointer (&fields);
  g_ptr_array_add (self->found, difference);
}

/* --- What needs what -------------------------------------------------------------------------- */

typedef struct
{
  const GPtrArray *found;
  BlDifferenceKind kind; /* ADDED: looked for are those; REMOVED: those whose old element points at list, id */
  const char *list, *id;
  GArray *needs;
  gboolean hit;
} Needs;

static gboolean
points_into (const char *target, const char *list)
{
  return g_str_equal (target, list) ||
         (g_str_equal (target, "on") && (g_str_equal (list, "stages") || g_str_equal (list, "measurements")));
}

static char *
see_added (const char *target, const char *id, gpointer data)
{
  Needs *needs = data;
  for (guint i = 0; i < needs->found->len; i++)
    {
      const BlDifference *other = bl_at (needs->found, i);
      if (other->kind == BL_DIFFERENCE_ADDED && points_into (target, other->list) && g_str_equal (other->id, id))
        g_array_append_val (needs->needs, i);
    }
  return NULL;
}

static char *
see_removed (const char *target, const char *id, gpointer data)
{
  Needs *needs = data;
  needs->hit = needs->hit || (points_into (target, needs->list) && g_str_equal (needs->id, id));
  return NULL;
}

static json_t *
named (const json_t *document, const json_t *like, const BlDifference *difference)
{
  const BlField *list = bl_difference_field (&bl_board_schema, difference->list);
  const json_t *array = json_object_get (document, difference->list);
  g_autoptr (GPtrArray) names = bl_difference_names (list->element, array,
                                                     json_object_get (like, difference->list));
  int at = bl_difference_index (names, difference->id);
  return at >= 0 ? json_array_get (array, (gsize) at) : NULL;
}

static GArray *
needs_of_element (const Comparison *self, const char *list, json_t *element)
{
  Needs needs = { self->found, BL_DIFFERENCE_ADDED, NULL, NULL, g_array_new (FALSE, FALSE, sizeof (guint)), FALSE };
  bl_difference_visit (element, list, see_added, &needs);
  return needs.needs;
}

static GArray *
needs_of_removed (const Comparison *self, const BlDifference *removed)
{
  GArray *list = g_array_new (FALSE, FALSE, sizeof (guint));
  for (guint i = 0; i < self->found->len; i++)
    {
      const BlDifference *other = bl_at (self->found, i);
      if (other == removed || other->list[0] == '\0' || other->kind == BL_DIFFERENCE_ADDED)
        continue;
      Needs needs = { self->found, BL_DIFFERENCE_REMOVED, removed->list, removed->id, list, FALSE };
      bl_difference_visit (named (self->mine, NULL, other), other->list, see_removed, &needs);
      if (needs.hit)
        g_array_append_val (list, i);
    }
  return list;
}

static void
find_needs (const Comparison *self, BlDifference *difference)
{
  if (difference->list[0] == '\0')
    return;
  if (difference->kind == BL_DIFFERENCE_REMOVED)
    {
      difference->needs = needs_of_removed (self, difference);
      return;
    }
  json_t *theirs = named (self->theirs, self->mine, difference);
  difference->needs = needs_of_element (self, difference->list, theirs);
  if (difference->kind == BL_DIFFERENCE_ADDED)
    return;
  for (guint i = 0; i < difference->fields->len; i++)
    {
      BlDifferenceField *field = bl_at (difference->fields, i);
      json_t *with = json_deep_copy (named (self->mine, NULL, difference));
      bl_difference_apply (field, with, theirs);
      field->needs = needs_of_element (self, difference->list, with);
      json_decref (with);
    }
}

GPtrArray *
bl_board_differences (const BlBoard *mine, const BlBoard *theirs)
{
  g_return_val_if_fail (mine != NULL && theirs != NULL, NULL);
  Comparison self = { bl_difference_load (mine), bl_difference_load (theirs), NULL,
                      g_ptr_array_new_with_free_func ((GDestroyNotify) bl_difference_free) };
  self.renamings = bl_difference_renamings (self.mine, self.theirs);
  for (const BlField *f = bl_board_schema.fields; f->key != NULL; f++)
    if (f->kind == BL_FIELD_LIST)
      compare_list (&self, f);
    else if (!g_str_equal (f->key, "uid"))
      compare_head (&self, f);
  for (guint i = 0; i < self.found->len; i++)
    find_needs (&self, bl_at (self.found, i));
  g_ptr_array_unref (self.renamings);
  json_decref (self.mine);
  json_decref (self.theirs);
  return self.found;
}

guint
bl_differences_count (const GPtrArray *differences, BlDifferenceKind kind, const char *list)
{
  guint n = 0;
  for (guint i = 0; i < bl_len (differences); i++)
    {
      const BlDifference *difference = bl_at (differences, i);
      n += (kind == BL_N_DIFFERENCES || difference->kind == kind) &&
           (list == NULL || g_str_equal (difference->list, list));
    }
  return n;
}

/* Returns: how many were set. */
static guint
take_all (GPtrArray *differences, const GArray *needs)
{
  guint n = 0;
  for (guint i = 0; needs != NULL && i < needs->len; i++)
    {
      BlDifference *other = bl_at (differences, g_array_index (needs, guint, i));
      n += !other->take;
      other->take = TRUE;
    }
  return n;
}

guint
bl_differences_take_along (GPtrArray *differences)
{
  guint all = 0, now;
  do
    {
      now = 0;
      for (guint i = 0; i < bl_len (differences); i++)
        {
          const BlDifference *difference = bl_at (differences, i);
          if (difference->take)
            now += take_all (differences, difference->needs);
          for (guint f = 0; !difference->take && f < difference->fields->len; f++)
            {
              const BlDifferenceField *field = bl_at (difference->fields, f);
              if (field->take)
                now += take_all (differences, field->needs);
            }
        }
      all += now;
    }
  while (now > 0);
  return all;
}

static gboolean
lacks (const GPtrArray *differences, const GArray *needs)
{
  for (guint i = 0; needs != NULL && i < needs->len; i++)
    if (!((BlDifference *) bl_at (differences, g_array_index (needs, guint, i)))->take)
      return TRUE;
  return FALSE;
}

/* Returns: how many were cleared. */
static guint
leave_one (GPtrArray *differences, BlDifference *difference)
{
  guint n = 0;
  if (difference->take && lacks (differences, difference->needs))
    {
      difference->take = FALSE;
      n++;
    }
  for (guint f = 0; f < difference->fields->len; f++)
    {
      BlDifferenceField *field = bl_at (difference->fields, f);
      if (!field->take || !lacks (differences, field->needs))
        continue;
      field->take = FALSE;
      n++;
    }
  return n;
}

guint
bl_differences_leave_along (GPtrArray *differences)
{
  guint all = 0, now;
  do
    {
      now = 0;
      for (guint i = 0; i < bl_len (differences); i++)
        now += leave_one (differences, bl_at (differences, i));
      all += now;
    }
  while (now > 0);
  return all;
}
