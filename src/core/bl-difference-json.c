/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two board documents as JSON, element against element: what an element is called, what it refers to, and which
 * element of one is certainly that of another id in the other. JSON and the tables of bl-schema.c rather than a list
 * of struct fields, so that no field can be forgotten. A document has some hundred elements: plain walks. What values
 * differ is in bl-difference-fields.c. */
#include "config.h"

#include "bl-board-difference-private.h"

#include "bl-document.h"

#include <string.h>

/* --- References ------------------------------------------------------------------------------- */

static const struct
{
  const char *list, *path, *target;
} references[] = {
  { "states", "dead_proof", "measurements" },
  { "states", "capacitor", "components" },
  { "states", "bleeder", "components" },
  { "sections", "outlines/photo", "photos" },
  { "stages", "section", "sections" },
  { "stages", "feeds/from", "feed" },
  { "stages", "feeds/from/stage", "feed" },
  { "stages", "outlines/photo", "photos" },
  { "components", "stage", "stages" },
  { "components", "photo", "photos" },
  { "components", "modes/effects/on", "on" },
  { "components", "modes/effects/in", "states" },
  { "components", "modes/provokes/component", "components" },
  { "test_points", "photo", "photos" },
  { "measurements", "at", "test_points" },
  { "measurements", "black", "test_points" },
  { "measurements", "state", "states" },
  { "measurements", "reads", "stages" },
  { "measurements", "expected/follows/measurement", "measurements" },
  { "symptoms", "when/on", "on" },
  { "symptoms", "when/state", "states" },
  { "indications", "symptom", "symptoms" },
};

#define PORT "port:"

/* Returns: (transfer full), NULL: nothing else. */
static json_t *
visit_text (const char *target, const json_t *value, BlDifferenceVisit visit, gpointer data)
{
  const char *text = json_string_value (value);
  gboolean is_feed = g_str_equal (target, "feed"), is_port = is_feed && g_str_has_prefix (text, PORT);
  if (is_feed)
    target = is_port ? "ports" : "stages";
  g_autofree char *other = visit (target, is_port ? text + strlen (PORT) : text, data);
  if (other == NULL)
    return NULL;
  return is_port ? json_sprintf (PORT "%s", other) : json_string (other);
}

/* holder has the member key, or is a list (key NULL) with the element index. */
static void
visit_value (json_t *holder, const char *key, gsize index, const char *path, const char *target,
             BlDifferenceVisit visit, gpointer data)
{
  json_t *value = key != NULL ? json_object_get (holder, key) : json_array_get (holder, index);
  if (json_is_array (value))
    for (gsize i = 0; i < json_array_size (value); i++)
      visit_value (value, NULL, i, path, target, visit, data);
  else if (json_is_object (value) && path != NULL)
    {
      g_auto (GStrv) steps = g_strsplit (path, "/", 2);
      visit_value (value, steps[0], 0, steps[1], target, visit, data);
    }
  else if (json_is_string (value) && path == NULL)
    {
      json_t *other = visit_text (target, value, visit, data);
      if (other != NULL && key != NULL)
        json_object_set_new (holder, key, other);
      else if (other != NULL)
        json_array_set_new (holder, index, other);
    }
}

void
bl_difference_visit (json_t *element, const char *list, BlDifferenceVisit visit, gpointer data)
{
  for (guint r = 0; r < G_N_ELEMENTS (references); r++)
    if (g_str_equal (references[r].list, list))
      {
        g_auto (GStrv) steps = g_strsplit (references[r].path, "/", 2);
        visit_value (element, steps[0], 0, steps[1], references[r].target, visit, data);
      }
}

typedef struct
{
  const char *list, *id, *new_id;
} Rename;

static gboolean
may_point_into (const char *target, const char *list)
{
  return g_str_equal (target, list) ||
         (g_str_equal (target, "on") && (g_str_equal (list, "stages") || g_str_equal (list, "measurements")));
}

static char *
rename_reference (const char *target, const char *id, gpointer data)
{
  const Rename *rename = data;
  return may_point_into (target, rename->list) && g_str_equal (id, rename->id) ? g_strdup (rename->new_id) : NULL;
}

void
bl_difference_rename (json_t *document, const BlField *list, const char *id, const char *new_id)
{
  Rename rename = { list->key, id, new_id };
  const char *key;
  json_t *value, *element;
  gsize i;
  json_array_foreach (json_object_get (document, list->key), i, element)
    if (g_strcmp0 (json_string_value (json_object_get (element, "id")), id) == 0)
      json_object_set_new (element, "id", json_string (new_id));
  json_object_foreach (document, key, value)
    json_array_foreach (value, i, element)
      bl_difference_visit (element, key, rename_reference, &rename);
}

/* --- Names ------------------------------------------------------------------------------------ */

json_t *
bl_difference_load (const BlBoard *board)
{
  g_autofree char *text = bl_document_write (board);
  json_t *json = json_loads (text, JSON_DECODE_INT_AS_REAL, NULL);
  g_assert (json != NULL);
  return json;
}

const BlField *
bl_difference_field (const BlSchema *schema, const char *key)
{
  for (const BlField *f = schema->fields; f->key != NULL; f++)
    if (g_str_equal (f->key, key))
      return f;
  return NULL;
}

char *
bl_difference_name (const BlSchema *schema, const json_t *element)
{
  const char *first = json_is_string (element) ? json_string_value (element)
                                               : json_string_value (json_object_get (element, schema->fields[0].key));
  const char *second = json_string_value (json_object_get (element, schema->fields[1].key));
  if (schema == &bl_provokes_schema)
    return g_strconcat (first != NULL ? first : "", second != NULL ? " " : "", second, NULL);
  return g_strdup (first != NULL ? first : "");
}

int
bl_difference_index (const GPtrArray *names, const char *name)
{
  for (guint i = 0; i < names->len; i++)
    if (g_strcmp0 (bl_at (names, i), name) == 0)
      return (int) i;
  return -1;
}

static char *
numbered (const char *base, guint n)
{
  return n > 1 ? g_strdup_printf ("%s (%u)", base, n) : g_strdup (base);
}

static gboolean
is_equal_first (const BlSchema *schema, const json_t *a, const json_t *b)
{
  return json_equal (a, b);
}

/* The first two members are the same: of an indication its symptom and edition. */
static gboolean
is_alike_second (const BlSchema *schema, const json_t *a, const json_t *b)
{
  const json_t *x = json_object_get (a, schema->fields[1].key), *y = json_object_get (b, schema->fields[1].key);
  return x != NULL && y != NULL && json_equal (x, y) &&
         g_strcmp0 (json_string_value (json_object_get (a, schema->fields[0].key)),
                    json_string_value (json_object_get (b, schema->fields[0].key))) == 0;
}

/* The name of an element of like that is so to this one and that none has yet. (transfer full), NULL: none */
static char *
name_of_one (gboolean (*is_so) (const BlSchema *, const json_t *, const json_t *), const BlSchema *schema,
             const json_t *element, const json_t *like, const GPtrArray *like_names, const GPtrArray *taken)
{
  for (gsize i = 0; i < json_array_size (like); i++)
    if (is_so (schema, json_array_get (like, i), element) && bl_difference_index (taken, bl_at (like_names, i)) < 0)
      return g_strdup (bl_at (like_names, i));
  return NULL;
}

/* The first number of the base that none has yet. */
static char *
free_name (const char *base, const GPtrArray *taken)
{
  for (guint n = 1;; n++)
    {
      g_autofree char *name = numbered (base, n);
      if (bl_difference_index (taken, name) < 0)
        return g_steal_pointer (&name);
    }
}

static GPtrArray *
plain_names (const BlSchema *schema, const json_t *list)
{
  GPtrArray *names = g_ptr_array_new_with_free_func (g_free);
  for (gsize i = 0; i < json_array_size (list); i++)
    {
      g_autofree char *base = bl_difference_name (schema, json_array_get (list, i));
      g_ptr_array_add (names, free_name (base, names));
    }
  return names;
}

GPtrArray *
bl_difference_names (const BlSchema *schema, const json_t *list, const json_t *like)
{
  if (like == NULL)
    return plain_names (schema, list);
  g_autoptr (GPtrArray) like_names = plain_names (schema, like);
  g_autoptr (GPtrArray) taken = g_ptr_array_new ();
  GPtrArray *names = g_ptr_array_new_with_free_func (g_free);
  g_ptr_array_set_size (names, (int) json_array_size (list));
  for (guint pass = 0; pass < 2; pass++)
    for (gsize i = 0; i < json_array_size (list); i++)
      if (bl_at (names, i) == NULL)
        {
          char *name = name_of_one (pass == 0 ? is_equal_first : is_alike_second, schema, json_array_get (list, i), like,
                                    like_names, taken);
          bl_at (names, i) = name;
          if (name != NULL)
            g_ptr_array_add (taken, name);
        }
  for (gsize i = 0; i < json_array_size (list); i++)
    if (bl_at (names, i) == NULL)
      {
        g_autofree char *base = bl_difference_name (schema, json_array_get (list, i));
        bl_at (names, i) = free_name (base, taken);
        g_ptr_array_add (taken, bl_at (names, i));
      }
  return names;
}

/* --- What has another id ---------------------------------------------------------------------- */

static const json_t *
with_id (const json_t *list, const char *id)
{
  for (gsize i = 0; i < json_array_size (list); i++)
    if (g_strcmp0 (json_string_value (json_object_get (json_array_get (list, i), "id")), id) == 0)
      return json_array_get (list, i);
  return NULL;
}

static const char *
id_of (const json_t *element)
{
  return json_string_value (json_object_get (element, "id"));
}

static gboolean
same (const json_t *a, const json_t *b, const char *key)
{
  const json_t *x = json_object_get (a, key), *y = json_object_get (b, key);
  return x == y || json_equal (x, y);
}

static gboolean
both (const json_t *a, const json_t *b, const char *key)
{
  return json_object_get (a, key) != NULL && same (a, b, key);
}

/* All but the id, and there is something to be equal in. */
static gboolean
is_equal_otherwise (const json_t *a, const json_t *b)
{
  const char *key;
  json_t *value;
  if (json_object_size (a) != json_object_size (b) || json_object_size (a) < 3)
    return FALSE;
  json_object_foreach ((json_t *) a, key, value)
    if (!g_str_equal (key, "id") && !same (a, b, key))
      return FALSE;
  return TRUE;
}

static gboolean
is_same_place (const json_t *a, const json_t *b)
{
  return both (a, b, "x") && both (a, b, "y") && same (a, b, "photo") && same (a, b, "kind");
}

static gboolean
is_same_title (const json_t *a, const json_t *b)
{
  const char *title = json_string_value (json_object_get (a, "title"));
  return title != NULL && title[0] != '\0' && both (a, b, "title") && same (a, b, "kind") && same (a, b, "stage") &&
         same (a, b, "section") && same (a, b, "measures") && same (a, b, "state") && same (a, b, "at") &&
         same (a, b, "side");
}

static gboolean (*const is_alike[]) (const json_t *, const json_t *)
    = { is_equal_otherwise, is_same_place, is_same_title };

/* Places are pixels of a photo's picture, which the document does not have: only landmarks at the same pixels say that
 * it is the same picture. Two shops call the photo of one side alike. */
static gboolean
may_be_same_picture (const BlField *list, const json_t *a, const json_t *b)
{
  return !g_str_equal (list->key, "photos")
         || (json_array_size (json_object_get (a, "landmarks")) > 0 && both (a, b, "landmarks"));
}

/* Stages and measurements are told apart by their ids alone where an effect names them. */
static gboolean
is_ambiguous (const json_t *mine, const json_t *theirs, const char *list, const char *id, const char *new_id)
{
  const char *other = g_str_equal (list, "stages")         ? "measurements"
                      : g_str_equal (list, "measurements") ? "stages"
                                                           : NULL;
  return other != NULL && (with_id (json_object_get (mine, other), new_id) != NULL ||
                           with_id (json_object_get (theirs, other), id) != NULL ||
                           with_id (json_object_get (mine, other), id) != NULL ||
                           with_id (json_object_get (theirs, other), new_id) != NULL);
}

/* Returns: (transfer full). */
static GHashTable *
ids_of (const json_t *list)
{
  GHashTable *ids = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  for (gsize i = 0; i < json_array_size (list); i++)
    g_hash_table_add (ids, g_strdup (id_of (json_array_get (list, i))));
  return ids;
}

/* The only element of list, without one among others of the same id, that is like element; NULL: none, or several. */
static const json_t *
only_one (const json_t *list, GHashTable *others, const json_t *element, guint alike)
{
  const json_t *found = NULL;
  for (gsize i = 0; i < json_array_size (list); i++)
    {
      const json_t *candidate = json_array_get (list, i);
      if (g_hash_table_contains (others, id_of (candidate)) || !is_alike[alike](candidate, element))
        continue;
      if (found != NULL)
        return NULL;
      found = candidate;
    }
  return found;
}

/* Finds what has another id in one list by one likeness, and gives it the id of theirs. */
static void
find_renamings (json_t *mine, const json_t *theirs, const BlField *list, guint alike, GPtrArray *renamings)
{
  const json_t *ours = json_object_get (mine, list->key), *others = json_object_get (theirs, list->key);
  g_autoptr (GHashTable) our_ids = ids_of (ours), their_ids = ids_of (others);
  for (gsize i = 0; i < json_array_size (ours); i++)
    {
      const json_t *element = json_array_get (ours, i);
      if (g_hash_table_contains (their_ids, id_of (element)))
        continue;
      const json_t *twin = only_one (others, our_ids, element, alike);
      if (twin == NULL || !may_be_same_picture (list, element, twin) || only_one (ours, their_ids, twin, alike) != element ||
          is_ambiguous (mine, theirs, list->key, id_of (element), id_of (twin)))
        continue;
      BlRenaming *found = g_new0 (BlRenaming, 1);
      *found = (BlRenaming){ list, g_strdup (id_of (element)), g_strdup (id_of (twin)) };
      g_ptr_array_add (renamings, found);
      g_hash_table_remove (our_ids, found->mine);
      g_hash_table_add (our_ids, g_strdup (found->theirs));
      bl_difference_rename (mine, list, found->mine, found->theirs);
    }
}

static void
renaming_free (gpointer data)
{
  BlRenaming *renaming = data;
  g_free (renaming->mine);
  g_free (renaming->theirs);
  g_free (renaming);
}

GPtrArray *
bl_difference_renamings (json_t *mine, json_t *theirs)
{
  GPtrArray *renamings = g_ptr_array_new_with_free_func (renaming_free);
  for (guint alike = 0; alike < G_N_ELEMENTS (is_alike); alike++)
    for (const BlField *list = bl_board_schema.fields; list->key != NULL; list++)
      if (list->kind == BL_FIELD_LIST && g_str_equal (list->element->fields[0].key, "id"))
        find_renamings (mine, theirs, list, alike, renamings);
  return renamings;
}
