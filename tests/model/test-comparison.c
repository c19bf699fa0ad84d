/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The open edition beside another one, and taking things over from it. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-comparison.h"
#include "bl-library-private.h"

#include "sample.h"

typedef struct
{
  BlLibrary *library;
  gint64 mine, theirs;
  BlEdition *edition;
  BlComparison *comparison;
} Fixture;

static gint64
add (Fixture *f, BlBoard *board)
{
  g_autoptr (GError) error = NULL;
  gint64 id = bl_library_add_board (f->library, board, FALSE, &error);
  g_assert_no_error (error);
  return id;
}

/* C, open, and D: another low limit, TP5 elsewhere, a point TP6 with its measurement more. */
static void
set_up (Fixture *f, gconstpointer data)
{
  g_autoptr (BlBoard) mine = sample_board (), theirs = sample_board ();
  g_autoptr (GError) error = NULL;
  BlTestPoint *point = bl_test_point_new ();
  BlMeasurement *read = bl_measurement_new ();

  f->library = bl_library_open (":memory:", TRUE, &error);
  g_clear_pointer (&theirs->uid, g_free);
  g_free (theirs->edition);
  theirs->edition = g_strdup ("D");
  bl_board_measurement (theirs, "M5")->expected.low.value = 4.75;
  bl_board_test_point (theirs, "TP5")->x = 50;
  point->id = g_strdup ("TP6");
  point->photo = g_strdup ("front");
  point->x = point->y = 6;
  g_ptr_array_add (theirs->test_points, point);
  read->id = g_strdup ("M6");
  read->at = g_strdup ("TP6");
  read->state = g_strdup ("run");
  read->measures = BL_MEASURES_V_DC;
  g_ptr_array_add (theirs->measurements, read);
  f->mine = add (f, mine);
  f->theirs = add (f, theirs);
  f->edition = bl_edition_new (f->library, f->mine, &error);
  g_assert_no_error (error);
}

static void
begin (Fixture *f)
{
  g_autoptr (GError) error = NULL;
  f->comparison = bl_comparison_new (f->edition, f->theirs, &error);
  g_assert_no_error (error);
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  g_clear_object (&f->comparison);
  g_clear_object (&f->edition);
  g_clear_pointer (&f->library, bl_library_close);
}

static const BlDifference *
get (Fixture *f, const char *id)
{
  const GPtrArray *differences = bl_comparison_get_differences (f->comparison);
  for (guint i = 0; i < differences->len; i++)
    if (g_str_equal (((BlDifference *) bl_at (differences, i))->id, id))
      return bl_at (differences, i);
  return NULL;
}

static void
test_words (Fixture *f, gconstpointer data)
{
  begin (f);
  g_assert_cmpuint (bl_comparison_get_differences (f->comparison)->len, ==, 5);
  const BlDifference *added = get (f, "TP6");
  /* D alone has it: in the open one it is gone. */
  g_assert_cmpstr (bl_comparison_kind_words (added->kind), ==, "gone");
  g_assert_cmpint (bl_comparison_group (added), ==, BL_COMPARES_POINTS);
  g_assert_cmpint (bl_comparison_group (get (f, "edition")), ==, BL_COMPARES_HEAD);
  g_assert_cmpint (bl_comparison_group (get (f, "M5")), ==, BL_COMPARES_MEASUREMENTS);
  g_assert_true (bl_comparison_matches (get (f, "M5"), "4.75"));
  g_assert_true (bl_comparison_matches (get (f, "M5"), "m5"));
  g_assert_false (bl_comparison_matches (get (f, "M5"), "TP6"));
  g_assert_cmpstr (bl_comparison_get_other_pictures (f->comparison), ==, "");
  g_autofree char *text = bl_comparison_to_text (f->comparison);
  g_assert_nonnull (g_strrstr (text, "expected, low: 4.75 V → 4.8 V"));
}

static void
test_take (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  guint along = 0;

  begin (f);
  /* The measurement brings its point; one step of undo takes back both. */
  g_assert_true (bl_comparison_take (f->comparison, get (f, "M6"), NULL, &along, &error));
  g_assert_no_error (error);
  g_assert_cmpuint (along, ==, 1);
  g_assert_nonnull (bl_board_test_point (bl_edition_get_board (f->edition), "TP6"));
  g_assert_null (get (f, "M6"));
  g_assert_cmpstr (bl_edition_get_undo_label (f->edition), ==, "Take over M6 from D");
  g_autoptr (BlBoard) saved = bl_library_load_board (f->library, f->mine, NULL);
  g_assert_nonnull (bl_board_measurement (saved, "M6"));
  g_assert_true (bl_edition_undo (f->edition, &error));
  g_assert_null (bl_board_test_point (bl_edition_get_board (f->edition), "TP6"));
  g_assert_nonnull (get (f, "M6"));

  const BlDifference *m5 = get (f, "M5");
  g_assert_true (bl_comparison_take (f->comparison, m5, bl_at (m5->fields, 0), &along, &error));
  g_assert_cmpuint (along, ==, 0);
  g_assert_cmpfloat (bl_board_measurement (bl_edition_get_board (f->edition), "M5")->expected.low.value, ==, 4.75);
  g_assert_cmpstr (bl_edition_get_undo_label (f->edition), ==, "Take over expected, low of M5 from D");
}

/* Pixels of another picture are no places on this one. */
static void
test_other_picture (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) one = g_bytes_new_static ("one", 3), other = g_bytes_new_static ("other", 5);

  g_assert_true (bl_library_put_board_photo (f->library, f->mine, "front", "image/png", one, NULL, &error));
  g_assert_true (bl_library_put_board_photo (f->library, f->theirs, "front", "image/png", other, NULL, &error));
  begin (f);
  g_assert_cmpstr (bl_comparison_get_other_pictures (f->comparison), ==, "front");
  g_assert_false (bl_comparison_shows (get (f, "TP5")));
  g_assert_true (bl_comparison_take (f->comparison, get (f, "TP6"), NULL, NULL, &error));
  g_assert_no_error (error);
  g_assert_true (isnan (bl_board_test_point (bl_edition_get_board (f->edition), "TP6")->x));
  g_assert_null (bl_board_test_point (bl_edition_get_board (f->edition), "TP6")->photo);
  g_assert_cmpfloat (bl_board_test_point (bl_edition_get_board (f->edition), "TP5")->x, ==, 1);
}

/* A photo that is only called otherwise keeps its picture, for the places lie on that. */
static void
test_renamed_photo (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) one = g_bytes_new_static ("one", 3), other = g_bytes_new_static ("other", 5);
  g_autoptr (BlBoard) theirs = sample_board ();
  g_autoptr (BlBoard) mine = bl_library_load_board (f->library, f->mine, &error);
  BlPhoto *photo = bl_board_photo (theirs, "front");
  BlLandmark *landmark = bl_landmark_new ();

  landmark->id = g_strdup ("L1");
  landmark->x = landmark->y = 31;
  bl_append (&photo->landmarks, landmark, (GDestroyNotify) bl_landmark_free);
  bl_append (&bl_board_photo (mine, "front")->landmarks, bl_landmark_copy (landmark), (GDestroyNotify) bl_landmark_free);
  g_assert_true (bl_library_save_board (f->library, f->mine, mine, &error));
  g_clear_object (&f->edition);
  f->edition = bl_edition_new (f->library, f->mine, &error);
  g_assert_no_error (error);
  g_clear_pointer (&theirs->uid, g_free);
  for (guint i = 0; i < bl_len (theirs->test_points); i++)
    {
      BlTestPoint *point = bl_at (theirs->test_points, i);
      if (g_strcmp0 (point->photo, "front") == 0)
        {
          g_free (point->photo);
          point->photo = g_strdup ("top");
        }
    }
  g_free (photo->id);
  photo->id = g_strdup ("top");
  f->theirs = add (f, theirs);
  g_assert_true (bl_library_put_board_photo (f->library, f->mine, "front", "image/png", one, NULL, &error));
  g_assert_true (bl_library_put_board_photo (f->library, f->theirs, "top", "image/png", other, NULL, &error));
  begin (f);
  const BlDifference *renamed = get (f, "top");
  g_assert_nonnull (renamed);
  g_assert_cmpint (renamed->kind, ==, BL_DIFFERENCE_RENAMED);
  g_assert_true (bl_comparison_take (f->comparison, renamed, NULL, NULL, &error));
  g_assert_no_error (error);
  g_autoptr (GBytes) kept = bl_library_get_board_photo (f->library, f->mine, "top", NULL, &error);
  g_assert_no_error (error);
  g_assert_true (g_bytes_equal (kept, one));
}

/* An outline is pixels of its picture, too. */
static void
test_other_outline (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) one = g_bytes_new_static ("one", 3), other = g_bytes_new_static ("other", 5);
  g_autoptr (BlBoard) theirs = bl_library_load_board (f->library, f->theirs, &error);
  BlSection *section = bl_section_new ();
  BlOutline *outline = bl_outline_new ();
  const double corners[] = { 1, 1, 9, 1, 9, 9 };

  outline->photo = g_strdup ("front");
  if (outline->points == NULL)
    outline->points = g_array_new (FALSE, FALSE, sizeof (double));
  g_array_append_vals (outline->points, corners, G_N_ELEMENTS (corners));
  section->id = g_strdup ("drive");
  bl_append (&section->outlines, outline, (GDestroyNotify) bl_outline_free);
  bl_append (&theirs->sections, section, (GDestroyNotify) bl_section_free);
  g_assert_true (bl_library_save_board (f->library, f->theirs, theirs, &error));
  g_assert_no_error (error);
  g_assert_true (bl_library_put_board_photo (f->library, f->mine, "front", "image/png", one, NULL, &error));
  g_assert_true (bl_library_put_board_photo (f->library, f->theirs, "front", "image/png", other, NULL, &error));
  begin (f);
  g_assert_true (bl_comparison_take (f->comparison, get (f, "drive"), NULL, NULL, &error));
  g_assert_no_error (error);
  g_assert_cmpuint (bl_len (bl_board_section (bl_edition_get_board (f->edition), "drive")->outlines), ==, 0);
}

/* What would break the document is refused with the reason, and nothing is changed. */
static void
test_refused (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) theirs = bl_library_load_board (f->library, f->theirs, NULL);
  BlExpected *expected = &bl_board_measurement (theirs, "M5")->expected;

  expected->low.value = 5.5;
  expected->high.value = 6;
  g_assert_true (bl_library_save_board (f->library, f->theirs, theirs, NULL));
  begin (f);
  const BlDifference *m5 = get (f, "M5");
  g_assert_cmpuint (m5->fields->len, ==, 2);
  g_assert_false (bl_comparison_take (f->comparison, m5, bl_at (m5->fields, 0), NULL, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  g_assert_null (bl_edition_get_undo_label (f->edition));
  g_clear_error (&error);
  g_assert_true (bl_comparison_take (f->comparison, m5, NULL, NULL, &error));
}

/* A picture that cannot be read is not one that is not there: nothing is said to be the same. */
static void
test_unreadable (Fixture *f, gconstpointer data)
{
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_database_run (f->library->database, "test", "ALTER TABLE board_photo RENAME TO lost", &error));
  g_assert_null (bl_comparison_new (f->edition, f->theirs, &error));
  g_assert_nonnull (error);
  g_assert_false (g_error_matches (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND));
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add ("/model/comparison/words", Fixture, NULL, set_up, test_words, tear_down);
  g_test_add ("/model/comparison/take", Fixture, NULL, set_up, test_take, tear_down);
  g_test_add ("/model/comparison/other-picture", Fixture, NULL, set_up, test_other_picture, tear_down);
  g_test_add ("/model/comparison/renamed-photo", Fixture, NULL, set_up, test_renamed_photo, tear_down);
  g_test_add ("/model/comparison/other-outline", Fixture, NULL, set_up, test_other_outline, tear_down);
  g_test_add ("/model/comparison/refused", Fixture, NULL, set_up, test_refused, tear_down);
  g_test_add ("/model/comparison/unreadable", Fixture, NULL, set_up, test_unreadable, tear_down);
  return g_test_run ();
}
