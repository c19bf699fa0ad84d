/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A board document made of one, with chosen things as another has them. It works on the JSON of both, so that it
 * carries every field there is, and what comes out is read as any document is: nothing breaks the rules unsaid. */
#include "config.h"

#include "bl-board-difference.h"

#include "bl-board-difference-private.h"
#include "bl-document.h"

#include <glib/gi18n-lib.h>

static gboolean
is_renaming_taken (const GPtrArray *differences, const BlRenaming *renaming)
{
  for (guint i = 0; i < differences->len; i++)
    {
      const BlDifference *difference = bl_at (differences, i);
      if (difference->take && difference->kind == BL_DIFFERENCE_RENAMED &&
          g_str_equal (difference->list, renaming->list->key) && g_str_equal (difference->id, renaming->theirs))
        return TRUE;
    }
  return FALSE;
}

/* Everything was taken over under the ids of theirs; what was not to be renamed has those of mine again. */
static void
give_ids_back (json_t *merged, const GPtrArray *renamings, const GPtrArray *differences)
{
  for (guint i = 0; i < renamings->len; i++)
    {
      const BlRenaming *renaming = bl_at (renamings, i);
      if (!is_renaming_taken (differences, renaming))
        bl_difference_rename (merged, renaming->list, renaming->theirs, renaming->mine);
    }
}

static void
take_fields (const BlDifference *difference, json_t *mine, const json_t *theirs)
{
  for (guint i = 0; i < difference->fields->len; i++)
    {
      const BlDifferenceField *field = bl_at (difference->fields, i);
      if (field->take)
        bl_difference_apply (field, mine, theirs);
    }
}

static void
take_head (const BlDifference *difference, json_t *mine, json_t *theirs)
{
  json_t *value = json_object_get (theirs, difference->id);
  if (!difference->take)
    take_fields (difference, mine, theirs);
  else if (value == NULL)
    json_object_del (mine, difference->id);
  else
    json_object_set (mine, difference->id, value);
}

/* Behind the nearest element before it in theirs that mine has too; at the beginning when there is none. */
static gsize
place_for (const GPtrArray *my_names, const GPtrArray *their_names, int at)
{
  while (--at >= 0)
    {
      int before = bl_difference_index (my_names, bl_at (their_names, at));
      if (before >= 0)
        return (gsize) before + 1;
    }
  return 0;
}

typedef struct
{
  json_t *mine, *theirs; /* the list; mine is made when it is first needed */
  GPtrArray *my_names, *their_names;
} List;

static void
insert (List *list, const char *name)
{
  int there = bl_difference_index (list->their_names, name);
  gsize at = place_for (list->my_names, list->their_names, there);
  json_array_insert (list->mine, at, json_array_get (list->theirs, (gsize) there));
  g_ptr_array_insert (list->my_names, (int) at, g_strdup (name));
}

static void
take (List *list, const BlDifference *difference)
{
  int at = bl_difference_index (list->my_names, difference->id);
  int there = bl_difference_index (list->their_names, difference->id);
  if (difference->kind == BL_DIFFERENCE_ADDED)
    {
      if (difference->take && there >= 0)
        insert (list, difference->id);
      return;
    }
  if (at < 0)
    return;
  if (difference->kind == BL_DIFFERENCE_REMOVED && difference->take)
    {
      json_array_remove (list->mine, (gsize) at);
      g_ptr_array_remove_index (list->my_names, (guint) at);
    }
  else if (difference->kind != BL_DIFFERENCE_REMOVED && there >= 0 && difference->take)
    json_array_set (list->mine, (gsize) at, json_array_get (list->theirs, (gsize) there));
  else if (difference->kind != BL_DIFFERENCE_REMOVED && there >= 0)
    take_fields (difference, json_array_get (list->mine, (gsize) at), json_array_get (list->theirs, (gsize) there));
}

static gboolean
takes_any (const BlDifference *difference)
{
  gboolean any = difference->take;
  for (guint i = 0; i < difference->fields->len; i++)
    any = any || ((const BlDifferenceField *) bl_at (difference->fields, i))->take;
  return any;
}

static void
take_list (json_t *mine, const json_t *theirs, const BlField *field, const GPtrArray *differences)
{
  List list = { json_object_get (mine, field->key), json_object_get (theirs, field->key), NULL, NULL };
  list.my_names = bl_difference_names (field->element, list.mine, NULL);
  list.their_names = bl_difference_names (field->element, list.theirs, list.mine);
  for (guint i = 0; i < differences->len; i++)
    {
      const BlDifference *difference = bl_at (differences, i);
      if (!g_str_equal (difference->list, field->key) || !takes_any (difference))
        continue;
      if (list.mine == NULL)
        {
          list.mine = json_array ();
          json_object_set_new (mine, field->key, list.mine);
        }
      take (&list, difference);
    }
  g_ptr_array_unref (list.my_names);
  g_ptr_array_unref (list.their_names);
}

static BlBoard *
read_again (const json_t *json, GError **error)
{
  char *text = json_dumps (json, JSON_REAL_PRECISION (17));
  BlBoard *board = bl_document_parse (text, -1, NULL, error);
  free (text);
  if (board == NULL)
    g_prefix_error (error, "%s: ", _ ("What was taken over does not fit with the rest"));
  return board;
}

BlBoard *
bl_board_merge (const BlBoard *mine, const BlBoard *theirs, const GPtrArray *differences, GError **error)
{
  g_return_val_if_fail (mine != NULL && theirs != NULL && differences != NULL, NULL);
  json_t *merged = bl_difference_load (mine), *other = bl_difference_load (theirs);
  g_autoptr (GPtrArray) renamings = bl_difference_renamings (merged, other);
  for (guint i = 0; i < differences->len; i++)
    {
      const BlDifference *difference = bl_at (differences, i);
      if (difference->list[0] == '\0' && takes_any (difference))
        take_head (difference, merged, other);
    }
  for (const BlField *f = bl_board_schema.fields; f->key != NULL; f++)
    if (f->kind == BL_FIELD_LIST)
      take_list (merged, other, f, differences);
  give_ids_back (merged, renamings, differences);
  BlBoard *board = read_again (merged, error);
  json_decref (merged);
  json_decref (other);
  return board;
}
