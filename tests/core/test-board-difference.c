/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Comparing board documents and taking over what differs. That no field is forgotten is tested by going through the
 * keys of the document's tables; the rest on the example of the format and on documents made at random. */
#include "config.h"

#include "bl-board-difference-private.h"
#include "bl-document.h"

#include <string.h>

#include "document-maker.h"

static BlBoard *
parse (const char *text)
{
  g_autoptr (GError) error = NULL;
  BlBoard *board = bl_document_parse (text, -1, NULL, &error);
  g_assert_no_error (error);
  return board;
}

static BlBoard *
example (void)
{
  g_autofree char *path = g_test_build_filename (G_TEST_DIST, "fixtures", "example-board.json", NULL);
  g_autofree char *text = NULL;
  g_assert_true (g_file_get_contents (path, &text, NULL, NULL));
  return parse (text);
}

static void
take_everything (GPtrArray *differences)
{
  for (guint i = 0; i < differences->len; i++)
    ((BlDifference *) bl_at (differences, i))->take = TRUE;
}

static const BlDifference *
get (const GPtrArray *differences, const char *list, const char *id)
{
  for (guint i = 0; i < differences->len; i++)
    {
      const BlDifference *difference = bl_at (differences, i);
      if (g_str_equal (difference->list, list) && g_str_equal (difference->id, id))
        return difference;
    }
  return NULL;
}

static const BlDifferenceField *
field (const BlDifference *difference, const char *path)
{
  for (guint i = 0; difference != NULL && i < difference->fields->len; i++)
    if (g_str_equal (((BlDifferenceField *) bl_at (difference->fields, i))->path, path))
      return bl_at (difference->fields, i);
  return NULL;
}

static void
assert_same (const BlBoard *a, const BlBoard *b)
{
  g_autofree char *x = bl_document_write (a), *y = bl_document_write (b);
  g_assert_cmpstr (x, ==, y);
}

static void
test_same (void)
{
  g_autoptr (BlBoard) a = example (), b = example ();
  g_autoptr (GPtrArray) none = bl_board_differences (a, b);
  g_assert_cmpuint (none->len, ==, 0);
}

/* --- Every key -------------------------------------------------------------------------------- */

/* Another value that the writer writes. */
static void
change (const BlField *f, gpointer self)
{
  gpointer at = bl_field_in (self, f->offset);
  double point[6] = { 1, 2, 30, 4, 5, 60 };
  switch (f->kind)
    {
    case BL_FIELD_TEXT:
      *(char **) at = g_strdup ("otherwise");
      break;
    case BL_FIELD_NUMBER:
    case BL_FIELD_PHYSICAL:
      *(double *) at = 0.4375;
      break;
    case BL_FIELD_FLAG:
      *(int *) at = 1;
      break;
    case BL_FIELD_TEXTS:
    case BL_FIELD_NAMES:
      *(char ***) at = g_strsplit ("otherwise", "/", -1);
      break;
    case BL_FIELD_PAIR:
      ((BlQuantity *) at)[0].value = ((BlQuantity *) at)[1].value = 0.4375;
      *(gboolean *) bl_field_in (self, f->companion) = TRUE;
      break;
    case BL_FIELD_QUANTITY:
      ((BlQuantity *) at)->value = 0.4375;
      break;
    case BL_FIELD_POINTS:
      *(GArray **) at = g_array_append_vals (g_array_new (FALSE, FALSE, sizeof (double)), point, 6);
      break;
    case BL_FIELD_CHANCES:
      bl_chances_add (at, "wet", 0.4375);
      break;
    case BL_FIELD_PASSES:
      ((BlPasses *) at)->to[BL_HIGH] = BL_LOW;
      break;
    case BL_FIELD_NEED:
      *(int *) at = BL_NEED_ANY;
      break;
    case BL_FIELD_MEASURES:
      *(BlMeasures *) at = BL_MEASURES_OHM;
      break;
    case BL_FIELD_LIST:
    case BL_FIELD_GROUP:
    case BL_FIELD_OBJECT:
      break;
    }
}

/* Part of what an element is called by: with another value it is another element. */
static gboolean
is_of_name (const BlField *f)
{
  return f == &bl_provokes_schema.fields[1];
}

typedef struct
{
  BlBoard *base, *changed;
  guint keys;
} Every;

/* Gives the field its other value in changed alone, wants a difference that names it, and takes it away again. */
static void
try_field (Every *every, const BlField *f, gpointer self)
{
  gpointer at = bl_field_in (self, f->offset);
  if (f->kind == BL_FIELD_TEXT && *(char **) at != NULL)
    return; /* the names by which elements are found; tried as ids that are added and gone */
  change (f, self);
  g_autoptr (GPtrArray) found = bl_board_differences (every->base, every->changed);
  if (g_str_equal (f->key, "uid"))
    g_assert_cmpuint (found->len, ==, 0);
  else if (is_of_name (f))
    g_assert_cmpuint (found->len, >, 0);
  else if (found->len != 1)
    g_error ("%u differences when \"%s\" is otherwise", found->len, f->key);
  else
    {
      const BlDifference *difference = bl_at (found, 0);
      const BlDifferenceField *only = bl_at (difference->fields, 0);
      g_assert_cmpuint (difference->fields->len, ==, 1);
      g_assert_true (g_str_has_suffix (only->path, f->key) || g_str_equal (only->path, "place"));
      g_assert_null (only->mine);
      g_assert_cmpstr (only->theirs, !=, "");
      g_assert_cmpstr (only->theirs_json, !=, NULL);
    }
  every->keys++;
}

static void
set_back (const BlField *f, const BlSchema *schema, gpointer self)
{
  BlSchema one = *schema;
  BlField only[2] = { *f, { NULL, BL_FIELD_TEXT, 0, 0, NULL, NULL } };
  one.fields = only;
  bl_schema_clear (&one, self);
  if (f->kind == BL_FIELD_PAIR)
    *(gboolean *) bl_field_in (self, f->companion) = FALSE;
  if (f->kind == BL_FIELD_PASSES)
    ((BlPasses *) bl_field_in (self, f->offset))->to[BL_HIGH] = BL_PASSES_UNCHANGED;
  else if (f->kind == BL_FIELD_NUMBER || f->kind == BL_FIELD_PHYSICAL)
    *(double *) bl_field_in (self, f->offset) = NAN;
  else if (f->kind == BL_FIELD_QUANTITY)
    *(BlQuantity *) bl_field_in (self, f->offset) = BL_QUANTITY_NONE;
  else if (f->kind == BL_FIELD_FLAG)
    *(int *) bl_field_in (self, f->offset) = -1;
  else if (f->kind == BL_FIELD_NEED)
    *(int *) bl_field_in (self, f->offset) = BL_NEED_LEFT_OUT;
  else if (f->kind == BL_FIELD_MEASURES)
    *(BlMeasures *) bl_field_in (self, f->offset) = BL_N_MEASURES;
}

/* One element in each list of both documents, all their members left out but their name, and so on down. */
static void
fill (const BlSchema *schema, gpointer self)
{
  for (const BlField *f = schema->fields; f->key != NULL; f++)
    {
      gpointer at = bl_field_in (self, f->offset);
      if (f->kind == BL_FIELD_LIST)
        {
          gpointer element = bl_schema_new (f->element);
          *(char **) element = g_strdup (f->key);
          if (f->element->long_flag != 0)
            *(gboolean *) bl_field_in (element, f->element->long_flag) = TRUE;
          bl_append (at, element, f->element->free);
          fill (f->element, element);
        }
      else if (f->kind == BL_FIELD_OBJECT)
        {
          *(gpointer *) at = bl_schema_new (f->element);
          fill (f->element, *(gpointer *) at);
        }
      else if (f->kind == BL_FIELD_GROUP)
        {
          *(gboolean *) bl_field_in (self, f->companion) = TRUE;
          fill (f->element, at);
        }
    }
}

static void
walk (Every *every, const BlSchema *schema, gpointer self)
{
  for (const BlField *f = schema->fields; f->key != NULL; f++)
    {
      gpointer at = bl_field_in (self, f->offset);
      if (f->kind == BL_FIELD_LIST)
        walk (every, f->element, bl_at (*(GPtrArray **) at, 0));
      else if (f->kind == BL_FIELD_OBJECT)
        walk (every, f->element, *(gpointer *) at);
      else if (f->kind == BL_FIELD_GROUP)
        walk (every, f->element, at);
      else
        {
          gboolean is_name = f->kind == BL_FIELD_TEXT && *(char **) at != NULL;
          try_field (every, f, self);
          if (!is_name)
            set_back (f, schema, self);
        }
    }
}

static void
test_every_key (void)
{
  Every every = { bl_board_new (), bl_board_new (), 0 };
  fill (&bl_board_schema, every.base);
  fill (&bl_board_schema, every.changed);
  walk (&every, &bl_board_schema, every.changed);
  /* As many as the document has, names apart. */
  g_assert_cmpuint (every.keys, >, 100);
  g_autoptr (GPtrArray) none = bl_board_differences (every.base, every.changed);
  g_assert_cmpuint (none->len, ==, 0);
  bl_board_free (every.base);
  bl_board_free (every.changed);
}

/* --- What is told ----------------------------------------------------------------------------- */

static void
set_text (char **text, const char *value)
{
  g_free (*text);
  *text = g_strdup (value);
}

static void
test_words (void)
{
  g_autoptr (BlBoard) mine = example (), theirs = example ();
  BlMeasurement *m5 = bl_board_measurement (theirs, "M5");
  m5->expected.low.value = 4.75;
  BlTestPoint *tp5 = bl_board_test_point (theirs, "TP5");
  tp5->x = 100;
  tp5->y = 200;
  set_text (&theirs->edition, "D");
  bl_component_mode (bl_board_component (theirs, "U2"), "short")->weight = 0.02;
  bl_append (&theirs->test_points, bl_test_point_new (), (GDestroyNotify) bl_test_point_free);
  BlTestPoint *added = bl_at (theirs->test_points, theirs->test_points->len - 1);
  added->id = g_strdup ("TP9");
  added->title = g_strdup ("new");
  g_ptr_array_remove_index (theirs->indications, 0);

  g_autoptr (GPtrArray) found = bl_board_differences (mine, theirs);
  g_assert_cmpuint (found->len, ==, 6);
  g_assert_cmpuint (bl_differences_count (found, BL_DIFFERENCE_CHANGED, NULL), ==, 4);
  g_assert_cmpuint (bl_differences_count (found, BL_N_DIFFERENCES, "test_points"), ==, 2);
  g_assert_cmpstr (field (get (found, "measurements", "M5"), "expected.low")->mine, ==, "4.8 V");
  g_assert_cmpstr (field (get (found, "measurements", "M5"), "expected.low")->theirs, ==, "4.75 V");
  g_assert_cmpstr (field (get (found, "measurements", "M5"), "expected.low")->words, ==, "expected, low");
  g_assert_cmpfloat (get (found, "measurements", "M5")->theirs.x, ==, 100);
  g_assert_cmpstr (field (get (found, "test_points", "TP5"), "place")->theirs, ==, "front 100, 200");
  g_assert_cmpfloat (get (found, "test_points", "TP5")->mine.x, ==, 1);
  g_assert_cmpstr (field (get (found, "", "edition"), "edition")->theirs, ==, "D");
  g_assert_cmpstr (field (get (found, "components", "U2"), "modes[short].weight")->theirs, ==, "0.02");
  g_assert_cmpint (get (found, "test_points", "TP9")->kind, ==, BL_DIFFERENCE_ADDED);
  g_assert_cmpstr (get (found, "test_points", "TP9")->title, ==, "new");
  g_assert_cmpint (get (found, "indications", "E1")->kind, ==, BL_DIFFERENCE_REMOVED);
}

static void
test_order (void)
{
  g_autoptr (BlBoard) mine = example (), theirs = example ();
  g_ptr_array_add (theirs->components, g_ptr_array_steal_index (theirs->components, 0));
  g_ptr_array_add (theirs->measurements, g_ptr_array_steal_index (theirs->measurements, 1));
  g_autoptr (GPtrArray) none = bl_board_differences (mine, theirs);
  g_assert_cmpuint (none->len, ==, 0);

  /* The first mark that fits is shown: their order is said. */
  BlMark *mark = bl_mark_new ();
  mark->id = g_strdup ("other");
  mark->low.value = 1;
  mark->high.value = 1.5;
  g_ptr_array_add (bl_board_measurement (mine, "M5")->expected.marks, mark);
  g_ptr_array_insert (bl_board_measurement (theirs, "M5")->expected.marks, 0, bl_mark_copy (mark));
  g_autoptr (GPtrArray) one = bl_board_differences (mine, theirs);
  g_assert_nonnull (field (get (one, "measurements", "M5"), "expected.marks"));
}

/* --- What has another id ---------------------------------------------------------------------- */

static void
test_renamed (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) mine = example (), theirs = example ();
  set_text (&bl_board_test_point (theirs, "TP5")->id, "TP50");
  set_text (&bl_board_measurement (theirs, "M5")->at, "TP50");
  set_text (&bl_board_measurement (theirs, "M5")->title, "five volts");
  g_autoptr (GPtrArray) found = bl_board_differences (mine, theirs);
  g_assert_cmpuint (found->len, ==, 2);
  const BlDifference *point = get (found, "test_points", "TP50");
  g_assert_cmpint (point->kind, ==, BL_DIFFERENCE_RENAMED);
  g_assert_cmpstr (point->old_id, ==, "TP5");
  /* That its point is called otherwise is no other point. */
  g_assert_cmpuint (get (found, "measurements", "M5")->fields->len, ==, 1);

  ((BlDifference *) get (found, "measurements", "M5"))->take = TRUE;
  g_autoptr (BlBoard) kept = bl_board_merge (mine, theirs, found, &error);
  g_assert_no_error (error);
  g_assert_cmpstr (bl_board_measurement (kept, "M5")->at, ==, "TP5");
  g_assert_cmpstr (bl_board_measurement (kept, "M5")->title, ==, "five volts");

  take_everything (found);
  g_autoptr (BlBoard) renamed = bl_board_merge (mine, theirs, found, &error);
  g_assert_no_error (error);
  assert_same (renamed, theirs);
}

/* Two that it could be: neither is called renamed. */
static void
test_not_renamed (void)
{
  g_autoptr (BlBoard) mine = example (), theirs = example ();
  BlTestPoint *twin = bl_test_point_copy (bl_board_test_point (theirs, "TP5"));
  set_text (&bl_board_test_point (theirs, "TP5")->id, "TP50");
  set_text (&twin->id, "TP51");
  g_ptr_array_add (theirs->test_points, twin);
  set_text (&bl_board_measurement (theirs, "M5")->at, "TP50");
  g_autoptr (GPtrArray) found = bl_board_differences (mine, theirs);
  g_assert_cmpuint (bl_differences_count (found, BL_DIFFERENCE_RENAMED, NULL), ==, 0);
  g_assert_cmpint (get (found, "test_points", "TP5")->kind, ==, BL_DIFFERENCE_REMOVED);
}

/* A photo of the same title may be another picture; its landmarks tell. */
static void
test_renamed_photo (void)
{
  for (int marked = 0; marked < 2; marked++)
    {
      g_autoptr (BlBoard) mine = example (), theirs = example ();
      BlBoard *const both[] = { mine, theirs };
      g_autofree char *id = g_strdup (((BlPhoto *) bl_at (mine->photos, 0))->id);
      for (guint i = 0; i < 2; i++)
        {
          BlPhoto *photo = bl_board_photo (both[i], id);
          g_clear_pointer (&photo->landmarks, g_ptr_array_unref);
          set_text (&photo->title, "from above");
          if (marked == 0)
            continue;
          BlLandmark *landmark = bl_landmark_new ();
          landmark->id = g_strdup ("L1");
          landmark->x = landmark->y = 31;
          bl_append (&photo->landmarks, landmark, (GDestroyNotify) bl_landmark_free);
        }
      set_text (&bl_board_photo (theirs, id)->id, "elsewhere");
      g_autoptr (GPtrArray) found = bl_board_differences (mine, theirs);
      g_assert_cmpuint (bl_differences_count (found, BL_DIFFERENCE_RENAMED, "photos"), ==, marked);
    }
}

/* --- Taking over ------------------------------------------------------------------------------ */

/* A new measurement at a new point, and a point that is gone with what was read there. */
static void
test_along (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) mine = example (), theirs = example ();
  BlTestPoint *point = bl_test_point_new ();
  BlMeasurement *read = bl_measurement_new ();
  point->id = g_strdup ("TP9");
  read->id = g_strdup ("M99");
  read->at = g_strdup ("TP9");
  read->state = g_strdup ("run");
  read->measures = BL_MEASURES_V_DC;
  g_ptr_array_add (theirs->test_points, point);
  g_ptr_array_add (theirs->measurements, read);
  g_autoptr (GPtrArray) found = bl_board_differences (mine, theirs);
  ((BlDifference *) get (found, "measurements", "M99"))->take = TRUE;
  g_assert_null (bl_board_merge (mine, theirs, found, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  g_clear_error (&error);
  g_assert_cmpuint (bl_differences_take_along (found), ==, 1);
  g_assert_true (get (found, "test_points", "TP9")->take);
  g_autoptr (BlBoard) both = bl_board_merge (mine, theirs, found, &error);
  g_assert_no_error (error);
  assert_same (both, theirs);

  /* The other way round the point does not go without the measurement. */
  g_autoptr (GPtrArray) back = bl_board_differences (theirs, mine);
  ((BlDifference *) get (back, "test_points", "TP9"))->take = TRUE;
  g_assert_cmpuint (bl_differences_take_along (back), ==, 1);
  g_autoptr (BlBoard) neither = bl_board_merge (theirs, mine, back, &error);
  g_assert_no_error (error);
  assert_same (neither, mine);
}

static void
test_one_field (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) mine = example (), theirs = example ();
  BlComponent *u2 = bl_board_component (theirs, "U2");
  set_text (&u2->value, "7905");
  u2->x = 77;
  bl_component_mode (u2, "short")->weight = 0.5;
  g_autoptr (GPtrArray) found = bl_board_differences (mine, theirs);
  const BlDifference *difference = get (found, "components", "U2");
  g_assert_cmpuint (difference->fields->len, ==, 3);
  ((BlDifferenceField *) field (difference, "modes[short].weight"))->take = TRUE;
  g_autoptr (BlBoard) merged = bl_board_merge (mine, theirs, found, &error);
  g_assert_no_error (error);
  const BlComponent *now = bl_board_component (merged, "U2");
  g_assert_cmpfloat (now->x, ==, 1);
  g_assert_cmpstr (now->value, ==, "7805");
  g_assert_cmpfloat (bl_component_mode (now, "short")->weight, ==, 0.5);
}

/* What breaks a rule is refused, with the place. */
static void
test_refused (void)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) mine = example (), theirs = example ();
  bl_board_measurement (theirs, "M5")->expected.low.value = 5.5;
  bl_board_measurement (theirs, "M5")->expected.high.value = 6;
  g_autoptr (GPtrArray) found = bl_board_differences (mine, theirs);
  ((BlDifferenceField *) field (get (found, "measurements", "M5"), "expected.low"))->take = TRUE;
  g_assert_null (bl_board_merge (mine, theirs, found, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  g_assert_nonnull (strstr (error->message, "expected"));
}

/* --- Documents made at random ----------------------------------------------------------------- */

/* Lists that are empty and lists that are not there say the same. */
static void
drop_empty_lists (json_t *json)
{
  const char *key;
  json_t *value;
  void *next;
  gsize i;
  json_object_foreach_safe (json, next, key, value)
  {
    drop_empty_lists (value);
    if (json_is_array (value) && json_array_size (value) == 0)
      json_object_del (json, key);
  }
  if (json_is_array (json))
    json_array_foreach (json, i, value)
      drop_empty_lists (value);
}

static int
compare_ids (gconstpointer a, gconstpointer b)
{
  json_t *x = *(json_t *const *) a, *y = *(json_t *const *) b;
  return g_strcmp0 (json_string_value (json_object_get (x, "id")), json_string_value (json_object_get (y, "id")));
}

/* The order of the document's lists says nothing. */
static void
sort_lists (json_t *document)
{
  const char *key;
  json_t *list, *element;
  gsize i;
  json_object_foreach (document, key, list)
  {
    g_autoptr (GPtrArray) sorted = g_ptr_array_new ();
    json_array_foreach (list, i, element)
      g_ptr_array_add (sorted, json_incref (element));
    g_ptr_array_sort (sorted, compare_ids);
    for (guint s = 0; s < sorted->len; s++)
      json_array_set_new (list, s, bl_at (sorted, s));
  }
}

static void
assert_says_the_same (const BlBoard *a, const BlBoard *b)
{
  json_t *x = bl_difference_load (a), *y = bl_difference_load (b);
  json_object_del (x, "uid");
  json_object_del (y, "uid");
  drop_empty_lists (x);
  drop_empty_lists (y);
  sort_lists (x);
  sort_lists (y);
  if (!json_equal (x, y))
    {
      g_autofree char *one = bl_document_write (a), *other = bl_document_write (b);
      g_error ("%s\nis not\n%s", one, other);
    }
  json_decref (x);
  json_decref (y);
}

/* Gives some elements an id of their own, takes some out that nothing refers to, and adds some. */
static BlBoard *
made (GRand *rand)
{
  g_autofree char *text = make_document (rand);
  BlBoard *board = parse (text);
  if (coin (rand))
    g_ptr_array_remove_index (board->symptoms, 2);
  for (guint i = 0; i < 2; i++)
    {
      BlTestPoint *point = bl_test_point_new ();
      point->id = g_strdup_printf ("TP%u", g_rand_int_range (rand, 10 + 10 * (int) i, 20 + 10 * (int) i));
      point->title = g_strdup (coin (rand) ? "gate" : "drain");
      g_ptr_array_insert (board->test_points, g_rand_int_range (rand, 0, 4), point);
    }
  g_autoptr (GPtrArray) problems = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_problem_free);
  if (bl_board_validate (board, problems))
    return board;
  bl_board_free (board); /* something referred to the symptom */
  return parse (text);
}

static void
test_random (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (20);
  guint renamed = 0, refused = 0;
  for (guint round = 0; round < 60; round++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (BlBoard) mine = made (rand), theirs = made (rand);
      g_autoptr (GPtrArray) differences = bl_board_differences (mine, theirs);
      g_assert_cmpuint (differences->len, >, 0);
      renamed += bl_differences_count (differences, BL_DIFFERENCE_RENAMED, NULL);

      g_autoptr (BlBoard) none = bl_board_merge (mine, theirs, differences, &error);
      g_assert_no_error (error);
      assert_same (none, mine);

      /* Any one alone: it gives a valid document in which it is no difference any more, or it is refused. */
      BlDifference *one = bl_at (differences, (guint) g_rand_int_range (rand, 0, (int) differences->len));
      one->take = TRUE;
      bl_differences_take_along (differences);
      g_autoptr (BlBoard) some = bl_board_merge (mine, theirs, differences, &error);
      if (some != NULL)
        {
          g_autoptr (GPtrArray) left = bl_board_differences (some, theirs);
          g_assert_null (get (left, one->list, one->id));
        }
      else
        refused++;
      g_clear_error (&error);

      take_everything (differences);
      g_autoptr (BlBoard) all = bl_board_merge (mine, theirs, differences, &error);
      g_assert_no_error (error);
      assert_says_the_same (all, theirs);
      g_autoptr (GPtrArray) nothing = bl_board_differences (all, theirs);
      g_assert_cmpuint (nothing->len, ==, 0);
    }
  g_test_message ("%u renamed, %u of 60 single ones refused", renamed, refused);
  g_assert_cmpuint (renamed, >, 5);
  g_assert_cmpuint (refused, <, 20);
}

/* Numbers as they are written in documents, in lists and objects too; each reads back as it was. */
static void
test_json (void)
{
  g_autoptr (BlBoard) a = example (), b = example ();
  BlMeasurement *m5 = bl_board_measurement (b, "M5");

  m5->misread = 0.1;
  bl_board_test_point (b, "TP5")->x = 1.0 / 3;
  g_autoptr (GPtrArray) differences = bl_board_differences (a, b);
  g_assert_cmpstr (field (get (differences, "measurements", "M5"), "misread")->mine_json, ==, "0.02");
  g_assert_cmpstr (field (get (differences, "measurements", "M5"), "misread")->theirs_json, ==, "0.1");
  const char *place = field (get (differences, "test_points", "TP5"), "place")->theirs_json;
  g_assert_cmpstr (place, ==, "{\"photo\":\"front\",\"x\":0.3333333333333333,\"y\":2}");
  g_assert_cmpfloat (g_ascii_strtod (strstr (place, "0.3"), NULL), ==, 1.0 / 3);
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/difference/same", test_same);
  g_test_add_func ("/difference/every-key", test_every_key);
  g_test_add_func ("/difference/words", test_words);
  g_test_add_func ("/difference/json", test_json);
  g_test_add_func ("/difference/order", test_order);
  g_test_add_func ("/difference/renamed", test_renamed);
  g_test_add_func ("/difference/not-renamed", test_not_renamed);
  g_test_add_func ("/difference/renamed-photo", test_renamed_photo);
  g_test_add_func ("/merge/along", test_along);
  g_test_add_func ("/merge/one-field", test_one_field);
  g_test_add_func ("/merge/refused", test_refused);
  g_test_add_func ("/merge/random", test_random);
  return g_test_run ();
}
