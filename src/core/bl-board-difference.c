/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What one board document has otherwise than another: element by element, and which of these differences cannot be
 * taken over without which others. Some hundred elements a side: below 0.1 s where nothing is alike, some ten
 * milliseconds for two editions.
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
  GPtrArray *elements[2]; /* of each difference what mine and theirs have, NULL: nothing */
  GHashTable *added, *removed; /* "list/id" -> index + 1 of the difference */
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

static char *
key_of (const char *list, const char *id)
{
  return g_strconcat (list, "/", id, NULL);
}

static void
keep (Comparison *self, BlDifference *difference, json_t *mine, json_t *theirs)
{
  g_ptr_array_add (self->found, difference);
  g_ptr_array_add (self->elements[0], mine);
  g_ptr_array_add (self->elements[1], theirs);
  if (difference->kind == BL_DIFFERENCE_ADDED || difference->kind == BL_DIFFERENCE_REMOVED)
    g_hash_table_insert (difference->kind == BL_DIFFERENCE_ADDED ? self->added : self->removed,
                         key_of (difference->list, difference->id), GUINT_TO_POINTER (self->found->len));
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
  keep (self, difference, mine, theirs);
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
  keep (self, difference, NULL, NULL);
}

/* --- What needs what -------------------------------------------------------------------------- */

typedef struct
{
  const Comparison *self;
  GHashTable *table;  /* those looked for */
  GArray *needs;      /* ADDED: which are referred to */
  guint from;         /* REMOVED: which of all refers to them */
} Needs;

/* An effect and a symptom name a stage or a measurement. */
static const char *const on_lists[] = { "stages", "measurements", NULL };

/* Index + 1 of the difference that a reference leads to, 0: none. */
static guint
look_up (GHashTable *table, const char *list, const char *id)
{
  g_autofree char *key = key_of (list, id);
  return GPOINTER_TO_UINT (g_hash_table_lookup (table, key));
}

static void
add_need (BlDifference *difference, guint need)
{
  if (difference->needs == NULL)
    difference->needs = g_array_new (FALSE, FALSE, sizeof (guint));
  g_array_append_val (difference->needs, need);
}

static void
see (Needs *needs, const char *list, const char *id)
{
  guint index = look_up (needs->table, list, id);
  if (index == 0 || index - 1 == needs->from)
    return;
  index--;
  if (needs->needs != NULL)
    g_array_append_val (needs->needs, index);
  else
    add_need (bl_at (needs->self->found, index), needs->from);
}

static char *
see_reference (const char *target, const char *id, gpointer data)
{
  const char *const one[] = { target, NULL };
  for (const char *const *list = g_str_equal (target, "on") ? on_lists : one; *list != NULL; list++)
    see (data, *list, id);
  return NULL;
}

/* What an element refers to that only theirs has. (transfer full), of guint */
static GArray *
needs_of_element (const Comparison *self, const char *list, json_t *element)
{
  Needs needs = { self, self->added, g_array_new (FALSE, FALSE, sizeof (guint)), G_MAXUINT };
  bl_difference_visit (element, list, see_reference, &needs);
  return needs.needs;
}

static void
find_needs (const Comparison *self, guint index)
{
  BlDifference *difference = bl_at (self->found, index);
  json_t *mine = bl_at (self->elements[0], index), *theirs = bl_at (self->elements[1], index);
  /* Of what is removed everything that refers to it must go, or refer to something else. */
  Needs referring = { self, self->removed, NULL, index };
  if (mine != NULL)
    bl_difference_visit (mine, difference->list, see_reference, &referring);
  if (theirs != NULL)
    {
      g_autoptr (GArray) needs = needs_of_element (self, difference->list, theirs);
      for (guint i = 0; i < needs->len; i++)
        add_need (difference, g_array_index (needs, guint, i));
    }
  for (guint i = 0; mine != NULL && theirs != NULL && i < difference->fields->len; i++)
    {
      BlDifferenceField *field = bl_at (difference->fields, i);
      json_t *with = json_deep_copy (mine);
      bl_difference_apply (field, with, theirs);
      field->needs = needs_of_element (self, difference->list, with);
      json_decref (with);
    }
}

static void
comparison_init (Comparison *self, const BlBoard *mine, const BlBoard *theirs)
{
  self->mine = bl_difference_load (mine);
  self->theirs = bl_difference_load (theirs);
  self->renamings = bl_difference_renamings (self->mine, self->theirs);
  self->found = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_difference_free);
  for (guint i = 0; i < 2; i++)
    self->elements[i] = g_ptr_array_new ();
  self->added = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  self->removed = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
}

/* All but what was found. */
static void
comparison_clear (Comparison *self)
{
  g_ptr_array_unref (self->renamings);
  for (guint i = 0; i < 2; i++)
    g_ptr_array_unref (self->elements[i]);
  g_hash_table_unref (self->added);
  g_hash_table_unref (self->removed);
  json_decref (self->mine);
  json_decref (self->theirs);
}

GPtrArray *
bl_board_differences (const BlBoard *mine, const BlBoard *theirs)
{
  g_return_val_if_fail (mine != NULL && theirs != NULL, NULL);
  Comparison self;
  comparison_init (&self, mine, theirs);
  for (const BlField *f = bl_board_schema.fields; f->key != NULL; f++)
    if (f->kind == BL_FIELD_LIST)
      compare_list (&self, f);
    else if (!g_str_equal (f->key, "uid"))
      compare_head (&self, f);
  for (guint i = 0; i < self.found->len; i++)
    find_needs (&self, i);
  comparison_clear (&self);
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
