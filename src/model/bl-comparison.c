/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two editions side by side. The comparison is made anew after every change of the open one: some milliseconds for a
 * board of a hundred components. The pictures are compared byte by byte, once, when it is made: they are megabytes, and
 * only the editor's photo part replaces them. */
#include "config.h"

#include "bl-comparison.h"

#include <glib/gi18n-lib.h>
#include <string.h>

struct _BlComparison
{
  GObject parent_instance;

  BlEdition *edition;
  gint64 other_id;
  BlBoard *other;
  GPtrArray *differences;
  GHashTable *pictures; /* photo id -> itself: not the same picture in both */
  char *picture_words;
};

enum
{
  CHANGED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlComparison, bl_comparison, G_TYPE_OBJECT)

/* --- Pictures --------------------------------------------------------------------------------- */

static gboolean
compare_picture (BlLibrary *library, gint64 mine, gint64 theirs, const char *photo, gboolean *same, GError **error)
{
  g_autoptr (GBytes) a = NULL, b = NULL;

  if (!bl_library_find_board_photo (library, mine, photo, &a, error)
      || !bl_library_find_board_photo (library, theirs, photo, &b, error))
    return FALSE;
  /* A document may come without its pictures; then its places are those of the photo it names. */
  *same = a == NULL || b == NULL || g_bytes_equal (a, b);
  return TRUE;
}

static gboolean
compare_pictures (BlComparison *self, GError **error)
{
  const BlBoard *mine = bl_edition_get_board (self->edition);
  g_autoptr (GString) words = g_string_new (NULL);

  g_hash_table_remove_all (self->pictures);
  for (guint i = 0; i < bl_len (mine->photos); i++)
    {
      const char *photo = ((const BlPhoto *) bl_at (mine->photos, i))->id;
      gboolean same = TRUE;
      if (bl_board_photo (self->other, photo) == NULL)
        continue;
      if (!compare_picture (bl_edition_get_library (self->edition), bl_edition_get_id (self->edition), self->other_id,
                            photo, &same, error))
        return FALSE;
      if (same)
        continue;
      g_hash_table_add (self->pictures, g_strdup (photo));
      g_string_append_printf (words, "%s%s", words->len > 0 ? ", " : "", photo);
    }
  g_free (self->picture_words);
  self->picture_words = g_strdup (words->str);
  return TRUE;
}

static gboolean
is_other_picture (BlComparison *self, const char *photo)
{
  return photo != NULL && g_hash_table_contains (self->pictures, photo);
}

/* A place or an outline on a picture that is not the same in both, or what is measured on such a picture. */
static gboolean
is_on_other_picture (BlComparison *self, const BlDifference *difference, const BlDifferenceField *field)
{
  GHashTableIter iter;
  gpointer photo;

  if (g_str_equal (field->path, "place"))
    return is_other_picture (self, difference->mine.photo)
           && g_strcmp0 (difference->mine.photo, difference->theirs.photo) == 0;
  if (g_str_equal (difference->list, "photos") && is_other_picture (self, difference->id))
    return g_str_equal (field->path, "mm_per_px") || g_str_has_prefix (field->path, "landmarks");
  g_hash_table_iter_init (&iter, self->pictures);
  while (g_hash_table_iter_next (&iter, &photo, NULL))
    {
      g_autofree char *outline = g_strdup_printf ("outlines[%s]", (const char *) photo);
      if (g_str_has_prefix (field->path, outline))
        return TRUE;
    }
  return FALSE;
}

/* --- Comparing -------------------------------------------------------------------------------- */

/* An indication that is of the open edition here and of the other one there says the same in both. */
static gboolean
is_own_mark (BlComparison *self, const BlDifference *difference, const BlDifferenceField *field)
{
  const BlBoard *mine = bl_edition_get_board (self->edition);

  return g_str_equal (difference->list, "indications") && g_str_equal (field->path, "edition")
         && g_strcmp0 (field->mine, mine->edition) == 0 && g_strcmp0 (field->theirs, self->other->edition) == 0;
}

/* Leaves out what says nothing: the differences keep their places in the list, for they refer to each other. */
static void
drop_what_says_nothing (BlComparison *self)
{
  for (guint i = 0; i < self->differences->len; i++)
    {
      BlDifference *difference = bl_at (self->differences, i);
      if (difference->kind != BL_DIFFERENCE_CHANGED && difference->kind != BL_DIFFERENCE_RENAMED)
        continue;
      for (guint f = difference->fields->len; f > 0; f--)
        if (is_on_other_picture (self, difference, bl_at (difference->fields, f - 1))
            || is_own_mark (self, difference, bl_at (difference->fields, f - 1)))
          g_ptr_array_remove_index (difference->fields, f - 1);
    }
}

static void
compare (BlComparison *self)
{
  g_clear_pointer (&self->differences, g_ptr_array_unref);
  self->differences = bl_board_differences (bl_edition_get_board (self->edition), self->other);
  drop_what_says_nothing (self);
}

static void
edition_changed (BlComparison *self)
{
  compare (self);
  g_signal_emit (self, signals[CHANGED], 0);
}

BlComparison *
bl_comparison_new (BlEdition *edition, gint64 other, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (edition), NULL);
  g_autoptr (BlBoard) board = bl_library_load_board (bl_edition_get_library (edition), other, error);

  if (board == NULL)
    return NULL;
  g_autoptr (BlComparison) self = g_object_new (BL_TYPE_COMPARISON, NULL);
  self->edition = g_object_ref (edition);
  self->other_id = other;
  self->other = g_steal_pointer (&board);
  if (!compare_pictures (self, error))
    return NULL;
  compare (self);
  g_signal_connect_object (edition, "changed", G_CALLBACK (edition_changed), self, G_CONNECT_SWAPPED);
  return g_steal_pointer (&self);
}

gint64
bl_comparison_get_other_id (BlComparison *self)
{
  g_return_val_if_fail (BL_IS_COMPARISON (self), 0);
  return self->other_id;
}

const BlBoard *
bl_comparison_get_other (BlComparison *self)
{
  g_return_val_if_fail (BL_IS_COMPARISON (self), NULL);
  return self->other;
}

const GPtrArray *
bl_comparison_get_differences (BlComparison *self)
{
  g_return_val_if_fail (BL_IS_COMPARISON (self), NULL);
  return self->differences;
}

const char *
bl_comparison_get_other_pictures (BlComparison *self)
{
  g_return_val_if_fail (BL_IS_COMPARISON (self), NULL);
  return self->picture_words;
}

/* --- Words ------------------------------------------------------------------------------------ */

gboolean
bl_comparison_shows (const BlDifference *difference)
{
  return difference->kind != BL_DIFFERENCE_CHANGED || difference->fields->len > 0;
}

BlComparesGroup
bl_comparison_group (const BlDifference *difference)
{
  static const struct
  {
    const char *list;
    BlComparesGroup group;
  } groups[] = {
    { "test_points", BL_COMPARES_POINTS },      { "measurements", BL_COMPARES_MEASUREMENTS },
    { "components", BL_COMPARES_COMPONENTS },   { "sections", BL_COMPARES_STRUCTURE },
    { "stages", BL_COMPARES_STRUCTURE },        { "ports", BL_COMPARES_STRUCTURE },
    { "symptoms", BL_COMPARES_INDICATIONS },    { "indications", BL_COMPARES_INDICATIONS },
    { "states", BL_COMPARES_STATES },
  };

  for (guint i = 0; i < G_N_ELEMENTS (groups); i++)
    if (g_str_equal (groups[i].list, difference->list))
      return groups[i].group;
  return BL_COMPARES_HEAD;
}

const char *
bl_comparison_group_words (BlComparesGroup group)
{
  static const char *const words[BL_N_COMPARES] = {
    [BL_COMPARES_POINTS] = N_ ("Test points"),
    [BL_COMPARES_MEASUREMENTS] = N_ ("Measurements and bands"),
    [BL_COMPARES_COMPONENTS] = N_ ("Components"),
    [BL_COMPARES_STRUCTURE] = N_ ("Sections and stages"),
    [BL_COMPARES_INDICATIONS] = N_ ("Symptoms, lamp patterns"),
    [BL_COMPARES_STATES] = N_ ("Board states"),
    [BL_COMPARES_HEAD] = N_ ("Board and photos"),
  };

  g_return_val_if_fail (group < BL_N_COMPARES, NULL);
  return _ (words[group]);
}

const char *
bl_comparison_kind_words (BlDifferenceKind kind)
{
  /* The other one alone has it: in the open edition it is gone. */
  if (kind == BL_DIFFERENCE_ADDED)
    return bl_difference_kind_words (BL_DIFFERENCE_REMOVED);
  if (kind == BL_DIFFERENCE_REMOVED)
    return bl_difference_kind_words (BL_DIFFERENCE_ADDED);
  return bl_difference_kind_words (kind);
}

static gboolean
contains (const char *text, const char *folded)
{
  g_autofree char *own = text != NULL ? g_utf8_casefold (text, -1) : NULL;

  return own != NULL && strstr (own, folded) != NULL;
}

gboolean
bl_comparison_matches (const BlDifference *difference, const char *text)
{
  g_autofree char *folded = g_utf8_casefold (text != NULL ? text : "", -1);

  if (contains (difference->id, folded) || contains (difference->old_id, folded) || contains (difference->title, folded))
    return TRUE;
  for (guint i = 0; i < difference->fields->len; i++)
    {
      const BlDifferenceField *field = bl_at (difference->fields, i);
      if (contains (field->words, folded) || contains (field->mine, folded) || contains (field->theirs, folded))
        return TRUE;
    }
  return FALSE;
}

char *
bl_comparison_to_text (BlComparison *self)
{
  g_return_val_if_fail (BL_IS_COMPARISON (self), NULL);
  g_autoptr (GPtrArray) since = bl_board_differences (self->other, bl_edition_get_board (self->edition));

  return bl_differences_to_text (since);
}

/* --- Taking over ------------------------------------------------------------------------------ */

/* What is marked: single fields where only some may be taken, so that a place on another picture stays. */
static void
mark (BlDifference *difference, const BlDifferenceField *only)
{
  gboolean by_field = only != NULL || difference->kind == BL_DIFFERENCE_CHANGED;

  difference->take = !by_field;
  for (guint i = 0; by_field && i < difference->fields->len; i++)
    {
      BlDifferenceField *field = bl_at (difference->fields, i);
      field->take = only == NULL || field == only;
    }
}

static void
unmark (BlComparison *self)
{
  for (guint i = 0; i < self->differences->len; i++)
    {
      BlDifference *difference = bl_at (self->differences, i);
      difference->take = FALSE;
      for (guint f = 0; f < difference->fields->len; f++)
        ((BlDifferenceField *) bl_at (difference->fields, f))->take = FALSE;
    }
}

/* A place on a picture of the other edition says nothing about this one's: what mine has stays, else none. */
static void
keep_place (BlComparison *self, const char *old_photo, double old_x, double old_y, char **photo, double *x, double *y)
{
  if (!is_other_picture (self, *photo))
    return;
  g_free (*photo);
  *photo = g_strdup (old_photo);
  *x = old_x;
  *y = old_y;
}

/* Outlines on such a picture are those of mine. */
static void
keep_outlines (BlComparison *self, const GPtrArray *old, GPtrArray **outlines)
{
  for (guint i = bl_len (*outlines); i-- > 0;)
    if (is_other_picture (self, ((BlOutline *) bl_at (*outlines, i))->photo))
      g_ptr_array_remove_index (*outlines, i);
  for (guint i = 0; i < bl_len (old); i++)
    if (is_other_picture (self, ((const BlOutline *) bl_at (old, i))->photo))
      bl_append (outlines, bl_outline_copy (bl_at (old, i)), (GDestroyNotify) bl_outline_free);
}

static void
keep_all_outlines (BlComparison *self, BlBoard *merged)
{
  const BlBoard *mine = bl_edition_get_board (self->edition);

  for (guint i = 0; i < bl_len (merged->sections); i++)
    {
      BlSection *section = bl_at (merged->sections, i);
      const BlSection *old = bl_board_section (mine, section->id);
      keep_outlines (self, old != NULL ? old->outlines : NULL, &section->outlines);
    }
  for (guint i = 0; i < bl_len (merged->stages); i++)
    {
      BlStage *stage = bl_at (merged->stages, i);
      const BlStage *old = bl_board_stage (mine, stage->id);
      keep_outlines (self, old != NULL ? old->outlines : NULL, &stage->outlines);
    }
}

static void
keep_places (BlComparison *self, BlBoard *merged)
{
  const BlBoard *mine = bl_edition_get_board (self->edition);

  for (guint i = 0; i < bl_len (merged->test_points); i++)
    {
      BlTestPoint *point = bl_at (merged->test_points, i);
      const BlTestPoint *old = bl_board_test_point (mine, point->id);
      keep_place (self, old != NULL ? old->photo : NULL, old != NULL ? old->x : NAN, old != NULL ? old->y : NAN,
                  &point->photo, &point->x, &point->y);
    }
  for (guint i = 0; i < bl_len (merged->components); i++)
    {
      BlComponent *part = bl_at (merged->components, i);
      const BlComponent *old = bl_board_component (mine, part->id);
      keep_place (self, old != NULL ? old->photo : NULL, old != NULL ? old->x : NAN, old != NULL ? old->y : NAN,
                  &part->photo, &part->x, &part->y);
    }
  keep_all_outlines (self, merged);
}

/* What mine calls a photo that the merge renamed; NULL: it did not. */
static const char *
old_name (BlComparison *self, const BlBoard *merged, const char *id)
{
  for (guint i = 0; i < self->differences->len; i++)
    {
      const BlDifference *difference = bl_at (self->differences, i);
      if (difference->kind == BL_DIFFERENCE_RENAMED && g_str_equal (difference->list, "photos")
          && g_strcmp0 (difference->id, id) == 0 && bl_board_photo (merged, difference->old_id) == NULL)
        return difference->old_id;
    }
  return NULL;
}

/* FALSE with error: there is one, and it cannot be copied. */
static gboolean
copy_picture (BlComparison *self, gint64 from, const char *photo, const char *new_id, GError **error)
{
  BlLibrary *library = bl_edition_get_library (self->edition);
  g_autofree char *mime = NULL;
  g_autoptr (GError) reason = NULL;
  g_autoptr (GBytes) image = bl_library_get_board_photo (library, from, photo, &mime, &reason);

  if (image != NULL)
    return bl_library_put_board_photo (library, bl_edition_get_id (self->edition), new_id, mime, image, NULL, error);
  if (g_error_matches (reason, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND))
    return TRUE; /* it never had a picture */
  g_propagate_error (error, g_steal_pointer (&reason));
  return FALSE;
}

/* Of a photo that mine has not, the picture comes with what the document says of it; one that is only called
 * otherwise keeps its own, for the places lie on that. */
static gboolean
copy_pictures (BlComparison *self, const BlBoard *merged, GError **error)
{
  const BlBoard *mine = bl_edition_get_board (self->edition);

  for (guint i = 0; i < bl_len (merged->photos); i++)
    {
      const char *id = ((const BlPhoto *) bl_at (merged->photos, i))->id;
      const char *old = old_name (self, merged, id);
      if (bl_board_photo (mine, id) == NULL
          && !copy_picture (self, old != NULL ? bl_edition_get_id (self->edition) : self->other_id,
                            old != NULL ? old : id, id, error))
        return FALSE;
    }
  return TRUE;
}

typedef struct
{
  BlComparison *self;
  const BlBoard *merged;
} Taking;

/* Pictures come with the document that names them, or not at all. */
static gboolean
keep_pictures (BlEdition *edition, gpointer data, GError **error)
{
  const Taking *taking = data;

  return copy_pictures (taking->self, taking->merged, error);
}

static char *
label_of (BlComparison *self, const BlDifference *difference, const BlDifferenceField *field)
{
  const char *mark = self->other->edition != NULL ? self->other->edition : _ ("the other edition");

  if (difference->list[0] == '\0' || field != NULL)
    return g_strdup_printf (_ ("Take over %s of %s from %s"),
                            field != NULL ? field->words : ((BlDifferenceField *) bl_at (difference->fields, 0))->words,
                            difference->list[0] == '\0' ? _ ("the board") : difference->id, mark);
  if (difference->kind == BL_DIFFERENCE_REMOVED)
    return g_strdup_printf (_ ("Remove %s, as in %s"), difference->id, mark);
  return g_strdup_printf (_ ("Take over %s from %s"), difference->id, mark);
}

gboolean
bl_comparison_take (BlComparison *self, const BlDifference *difference, const BlDifferenceField *field, guint *n_along,
                    GError **error)
{
  g_return_val_if_fail (BL_IS_COMPARISON (self), FALSE);
  guint index, along;

  g_return_val_if_fail (g_ptr_array_find (self->differences, difference, &index), FALSE);
  mark (bl_at (self->differences, index), field);
  along = bl_differences_take_along (self->differences);
  g_autoptr (BlBoard) merged
    = bl_board_merge (bl_edition_get_board (self->edition), self->other, self->differences, error);
  g_autofree char *label = label_of (self, difference, field);
  unmark (self);
  if (merged == NULL)
    return FALSE;
  keep_places (self, merged);
  if (n_along != NULL)
    *n_along = along;
  BlBoard *draft = bl_edition_begin (self->edition, label, NULL);
  BlBoard swapped = *draft;
  *draft = *merged;
  *merged = swapped;
  Taking taking = { self, draft };
  return bl_edition_commit_with (self->edition, keep_pictures, &taking, error);
}

/* --- Object ----------------------------------------------------------------------------------- */

static void
bl_comparison_finalize (GObject *object)
{
  BlComparison *self = BL_COMPARISON (object);

  g_clear_object (&self->edition);
  g_clear_pointer (&self->other, bl_board_free);
  g_clear_pointer (&self->differences, g_ptr_array_unref);
  g_hash_table_unref (self->pictures);
  g_free (self->picture_words);
  G_OBJECT_CLASS (bl_comparison_parent_class)->finalize (object);
}

static void
bl_comparison_class_init (BlComparisonClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = bl_comparison_finalize;
  signals[CHANGED] = g_signal_new ("changed", BL_TYPE_COMPARISON, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
bl_comparison_init (BlComparison *self)
{
  self->pictures = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
}
