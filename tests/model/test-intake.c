/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files from another shop: what of them the library has, what a merge takes and leaves, and that all of it or
 * nothing is written. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-document.h"
#include "bl-edition.h"
#include "bl-intake.h"

#include "../store/pictures.h"
#include "../store/sample.h"

static BlLibrary *
library_new (void)
{
  g_autoptr (GError) error = NULL;
  BlLibrary *library = bl_library_open (":memory:", TRUE, &error);

  g_assert_no_error (error);
  return library;
}

/* A board alone, as it would come in a bundle, with one picture by each file name of its photos. */
static BlDelivery *
delivery_of (BlBoard *board, const char *picture)
{
  BlDelivery *delivery = bl_delivery_new ();
  BlBundle *bundle = g_new0 (BlBundle, 1);

  bundle->board = board;
  bundle->photos = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify) g_bytes_unref);
  for (guint i = 0; i < bl_len (board->photos); i++)
    g_hash_table_insert (bundle->photos, g_strdup (((BlPhoto *) bl_at (board->photos, i))->file),
                         picture_or_text (picture));
  g_ptr_array_add (delivery->boards, bundle);
  return delivery;
}

static BlIntake *
look (BlLibrary *library, BlDelivery *delivery)
{
  g_autoptr (GError) error = NULL;
  BlIntake *intake = bl_intake_new (library, delivery, &error);

  g_assert_no_error (error);
  return intake;
}

static BlIntakeBoard *
first (BlIntake *intake)
{
  return g_ptr_array_index (intake->boards, 0);
}

/* The sample in a library. Returns its id. */
static gint64
put_sample (BlLibrary *library)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlIntake) intake = look (library, delivery_of (sample_board (), PICTURE_JPEG));

  g_assert_cmpint (bl_intake_finding (intake), ==, BL_INTAKE_NEW);
  g_assert_true (bl_intake_run (intake, &error));
  g_assert_no_error (error);
  return first (intake)->result;
}

static void
set_text (char **at, const char *text)
{
  g_free (*at);
  *at = g_strdup (text);
}

static void
add_point (BlBoard *board, const char *id, double x)
{
  BlTestPoint *point = bl_test_point_new ();

  point->id = g_strdup (id);
  point->photo = g_strdup ("front");
  point->x = point->y = x;
  bl_append (&board->test_points, point, (GDestroyNotify) bl_test_point_free);
}

static guint
count_boards (BlLibrary *library)
{
  g_autoptr (GPtrArray) rows = bl_library_boards (library, TRUE, NULL);

  return rows->len;
}

/* The same again is told, under another uid as well, and does nothing. */
static void
test_same (void)
{
  g_autoptr (BlLibrary) library = library_new ();
  gint64 id = put_sample (library);
  g_autoptr (GError) error = NULL;

  for (int round = 0; round < 2; round++)
    {
      BlBoard *board = sample_board ();
      if (round == 1)
        set_text (&board->uid, "99999999-2222-4333-8444-555555555555");
      g_autoptr (BlIntake) intake = look (library, delivery_of (board, PICTURE_JPEG));
      g_assert_cmpint (bl_intake_finding (intake), ==, BL_INTAKE_SAME);
      g_assert_cmpint (first (intake)->board, ==, id);
      g_assert_true (first (intake)->by_uid == (round == 0));
      g_assert_true (bl_intake_run (intake, &error));
      g_assert_cmpint (first (intake)->result, ==, id);
    }
  g_assert_cmpuint (count_boards (library), ==, 1);
  /* Another edition, another number: another board. */
  BlBoard *board = sample_board ();
  set_text (&board->uid, NULL);
  set_text (&board->edition, "D");
  g_autoptr (BlIntake) intake = look (library, delivery_of (board, PICTURE_JPEG));
  g_assert_cmpint (bl_intake_finding (intake), ==, BL_INTAKE_NEW);
}

/* Mine has TP9 and another title of M5; theirs has TP8, another title of M5, and says the value of nothing new. */
static BlIntake *
diverged (BlLibrary *library, gint64 id, const char *picture)
{
  g_autoptr (BlBoard) mine = sample_board ();
  BlBoard *theirs = sample_board ();

  add_point (mine, "TP9", 9);
  set_text (&bl_board_measurement (mine, "M5")->title, "5 V at U2");
  set_text (&mine->model, NULL);
  g_assert_true (bl_library_save_board (library, id, mine, NULL));
  add_point (theirs, "TP8", 8);
  set_text (&bl_board_measurement (theirs, "M5")->title, "rail, 5 V");
  set_text (&bl_board_component (theirs, "U2")->notes, "runs warm");
  return look (library, delivery_of (theirs, picture));
}

static void
check_mine_kept (const BlBoard *board)
{
  g_assert_nonnull (bl_board_test_point (board, "TP9"));
  g_assert_nonnull (bl_board_test_point (board, "TP8"));
  g_assert_cmpstr (board->model, ==, "HR 240"); /* mine said nothing */
  g_assert_cmpstr (bl_board_component (board, "U2")->notes, ==, "runs warm");
  g_assert_cmpstr (bl_board_measurement (board, "M5")->title, ==, "5 V at U2");
}

static void
test_merge (void)
{
  g_autoptr (BlLibrary) library = library_new ();
  gint64 id = put_sample (library);
  g_autoptr (GError) error = NULL;
  g_autoptr (BlIntake) intake = diverged (library, id, PICTURE_JPEG);
  g_autoptr (BlBoard) board = NULL;
  guint all = 0, conflicts = 0;

  g_assert_cmpint (bl_intake_finding (intake), ==, BL_INTAKE_DIFFERENT);
  g_assert_cmpint (first (intake)->choice, ==, BL_INTAKE_MERGE);
  for (guint i = 0; i < first (intake)->differences->len; i++)
    conflicts += bl_intake_is_conflict (g_ptr_array_index (first (intake)->differences, i));
  g_assert_cmpuint (conflicts, ==, 1); /* the title of M5 */
  g_assert_cmpuint (bl_intake_count (first (intake), &all), ==, 3);
  g_assert_cmpuint (all, ==, 5); /* TP8, TP9, M5, U2, model */
  g_assert_true (bl_intake_run (intake, &error));
  g_assert_no_error (error);
  board = bl_library_load_board (library, id, NULL);
  check_mine_kept (board);
  g_assert_cmpstr (board->uid, ==, SAMPLE_UID);
  g_assert_cmpuint (count_boards (library), ==, 1);
}

static void
test_theirs (void)
{
  g_autoptr (BlLibrary) library = library_new ();
  gint64 id = put_sample (library);
  g_autoptr (GError) error = NULL;
  g_autoptr (BlIntake) intake = diverged (library, id, PICTURE_JPEG);
  g_autoptr (BlBoard) board = NULL;

  bl_intake_take (first (intake), FALSE);
  g_assert_true (bl_intake_run (intake, &error));
  g_assert_no_error (error);
  board = bl_library_load_board (library, id, NULL);
  g_assert_cmpstr (bl_board_measurement (board, "M5")->title, ==, "rail, 5 V");
  g_assert_nonnull (bl_board_test_point (board, "TP9")); /* nothing is removed unless it is asked for */
}

static void
test_keep_both (void)
{
  g_autoptr (BlLibrary) library = library_new ();
  gint64 id = put_sample (library);
  g_autoptr (GError) error = NULL;
  g_autoptr (BlIntake) intake = diverged (library, id, PICTURE_PNG);
  g_autoptr (BlBoard) mine = bl_library_load_board (library, id, NULL), again = NULL, other = NULL;
  g_autofree char *before = bl_document_write (mine), *after = NULL;
  g_autoptr (GBytes) picture = NULL;

  g_assert_cmpstr (first (intake)->edition, ==, "C-2");
  first (intake)->choice = BL_INTAKE_KEEP_BOTH;
  g_assert_true (bl_intake_run (intake, &error));
  g_assert_no_error (error);
  again = bl_library_load_board (library, id, NULL);
  after = bl_document_write (again);
  g_assert_cmpstr (after, ==, before);
  other = bl_library_load_board (library, first (intake)->result, NULL);
  g_assert_cmpstr (other->edition, ==, "C-2");
  g_assert_cmpstr (other->uid, !=, SAMPLE_UID);
  g_assert_null (bl_board_test_point (other, "TP9"));
  picture = bl_library_get_board_photo (library, first (intake)->result, "front", NULL, NULL);
  g_assert_cmpuint (g_bytes_get_size (picture), ==, sizeof picture_png);
}

/* Another picture of the same photo comes in beside it; points stay on theirs. */
static void
test_pictures (void)
{
  g_autoptr (BlLibrary) library = library_new ();
  gint64 id = put_sample (library);
  g_autoptr (GError) error = NULL;
  g_autoptr (BlIntake) intake = look (library, delivery_of (sample_board (), PICTURE_PNG));
  g_autoptr (BlBoard) board = NULL;
  g_autoptr (GBytes) kept = NULL, come = NULL;

  g_assert_cmpint (bl_intake_finding (intake), ==, BL_INTAKE_DIFFERENT);
  g_assert_cmpuint (first (intake)->photos->len, ==, 2);
  BlIntakePhoto *photo = g_ptr_array_index (first (intake)->photos, 0);
  g_assert_false (photo->take);
  photo->take = TRUE;
  g_assert_true (bl_intake_run (intake, &error));
  g_assert_no_error (error);
  board = bl_library_load_board (library, id, NULL);
  g_assert_cmpuint (board->photos->len, ==, 3);
  kept = bl_library_get_board_photo (library, id, "front", NULL, NULL);
  g_assert_cmpuint (g_bytes_get_size (kept), ==, sizeof picture_jpg);
  come = bl_library_get_board_photo (library, id, ((BlPhoto *) bl_at (board->photos, 2))->id, NULL, NULL);
  g_assert_cmpuint (g_bytes_get_size (come), ==, sizeof picture_png);
}

/* A point that only the file has, on a photo whose picture is another one here: it goes to the file's picture, or
 * it waits for a place; never into the pixels of the picture here. */
static void
test_places (void)
{
  for (int take = 0; take < 2; take++)
    {
      g_autoptr (BlLibrary) library = library_new ();
      gint64 id = put_sample (library);
      g_autoptr (GError) error = NULL;
      BlBoard *theirs = sample_board ();
      g_autoptr (BlBoard) board = NULL;
      const BlTestPoint *point;

      add_point (theirs, "TP8", 8);
      bl_board_photo (theirs, "front")->mm_per_px = 0.5;
      g_autoptr (BlIntake) intake = look (library, delivery_of (theirs, PICTURE_PNG));
      BlIntakePhoto *photo = g_ptr_array_index (first (intake)->photos, 0);
      g_assert_cmpstr (photo->id, ==, "front");
      g_assert_true (photo->take);
      photo->take = take == 1;
      g_assert_true (bl_intake_run (intake, &error));
      g_assert_no_error (error);
      board = bl_library_load_board (library, id, NULL);
      point = bl_board_test_point (board, "TP8");
      if (take == 1)
        {
          g_assert_cmpstr (point->photo, !=, "front");
          g_assert_nonnull (bl_board_photo (board, point->photo));
          g_assert_cmpfloat (point->x, ==, 8);
        }
      else
        g_assert_null (point->photo);
      g_assert_cmpstr (bl_board_test_point (board, "TP5")->photo, ==, "front"); /* that of the library */
      g_assert_cmpfloat (bl_board_photo (board, "front")->mm_per_px, !=, 0.5);   /* a scale of the other picture */
    }
}

/* What is put back takes along what refers to it, and one value of several can be put back alone. */
static void
test_choosing (void)
{
  g_autoptr (BlLibrary) library = library_new ();
  BlBoard *theirs = sample_board ();
  BlMeasurement *measurement = bl_measurement_new ();
  BlDifference *point = NULL, *reading = NULL;

  put_sample (library);
  add_point (theirs, "TP8", 8);
  measurement->id = g_strdup ("M8");
  measurement->at = g_strdup ("TP8");
  measurement->measures = BL_MEASURES_V_DC;
  measurement->state = g_strdup ("run");
  bl_append (&theirs->measurements, measurement, (GDestroyNotify) bl_measurement_free);
  g_autoptr (BlIntake) intake = look (library, delivery_of (theirs, PICTURE_JPEG));
  for (guint i = 0; i < first (intake)->differences->len; i++)
    {
      BlDifference *difference = g_ptr_array_index (first (intake)->differences, i);
      if (g_str_equal (difference->list, "test_points"))
        point = difference;
      else if (g_str_equal (difference->list, "measurements"))
        reading = difference;
    }
  g_assert_true (point->take && reading->take);
  bl_intake_set_take (first (intake), point, FALSE);
  g_assert_false (reading->take);
  bl_intake_set_take (first (intake), reading, TRUE);
  g_assert_true (point->take);
  bl_intake_take_nothing (first (intake));
  g_assert_cmpuint (bl_intake_count (first (intake), NULL), ==, 0);
}

/* The board was edited while the page was open: refused, nothing lost. */
static void
test_stale (void)
{
  g_autoptr (BlLibrary) library = library_new ();
  gint64 id = put_sample (library);
  g_autoptr (GError) error = NULL;
  g_autoptr (BlIntake) intake = diverged (library, id, PICTURE_JPEG);
  g_autoptr (BlBoard) board = bl_library_load_board (library, id, NULL), after = NULL;

  set_text (&board->notes, "meanwhile");
  g_assert_true (bl_library_save_board (library, id, board, NULL));
  g_assert_false (bl_intake_run (intake, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_BUSY);
  after = bl_library_load_board (library, id, NULL);
  g_assert_cmpstr (after->notes, ==, "meanwhile");
  g_assert_null (bl_board_test_point (after, "TP8"));
}

/* --- equipments --- */

static BlDelivery *
pair (const char *title, const char *far_edition)
{
  g_autofree char *text = g_strdup_printf (
      "{ \"format\": \"benchlore-equipment\", \"version\": 1, \"uid\": \"44444444-2222-4333-8444-555555555555\","
      " \"title\": \"%s\", \"boards\": [{\"role\": \"near\", \"board\": \"n.json\"}, {\"role\": \"far\", \"board\":"
      " \"f.json\"}], \"conductors\": [{\"id\": \"W1\", \"from\": \"near/rail5\"}] }",
      title);
  BlBoard *far_board = sample_board ();
  BlDelivery *delivery = delivery_of (sample_board (), PICTURE_JPEG), *other;

  set_text (&far_board->uid, "33333333-2222-4333-8444-555555555555");
  set_text (&far_board->edition, far_edition);
  other = delivery_of (far_board, PICTURE_JPEG);
  g_ptr_array_add (delivery->boards, g_ptr_array_steal_index (other->boards, 0));
  bl_delivery_free (other);
  delivery->equipment = bl_equipment_read (text, -1, NULL, NULL);
  g_assert_nonnull (delivery->equipment);
  for (guint i = 0; i < 2; i++)
    g_array_append_val (delivery->members, i);
  return delivery;
}

static guint
count_equipments (BlLibrary *library)
{
  g_autoptr (GPtrArray) rows = bl_library_equipments (library, NULL);

  return rows->len;
}

static void
test_equipment (void)
{
  g_autoptr (BlLibrary) library = library_new ();
  gint64 id = put_sample (library); /* one of its boards is there */
  g_autoptr (GError) error = NULL;
  g_autoptr (BlIntake) intake = look (library, pair ("pair", "A")), again = NULL, other = NULL;
  g_autoptr (BlBoard) joined = NULL;

  g_assert_cmpint (bl_intake_finding (intake), ==, BL_INTAKE_NEW);
  g_assert_cmpint (first (intake)->finding, ==, BL_INTAKE_SAME);
  g_assert_true (bl_intake_run (intake, &error));
  g_assert_no_error (error);
  g_assert_cmpint (first (intake)->result, ==, id);
  g_assert_cmpuint (count_boards (library), ==, 2); /* none is doubled */
  joined = bl_library_join_equipment (library, intake->result, NULL, &error);
  g_assert_no_error (error);
  g_assert_nonnull (bl_board_component (joined, "far/U2"));

  again = look (library, pair ("pair", "A"));
  g_assert_cmpint (bl_intake_finding (again), ==, BL_INTAKE_SAME);
  /* Without a uid it is found by its title; the uid that it has here stays. */
  BlDelivery *nameless = pair ("pair", "A");
  g_clear_pointer (&nameless->equipment->own.uid, g_free);
  g_autoptr (BlIntake) replaced = look (library, nameless);
  g_assert_cmpint (replaced->equipment, ==, intake->result);
  replaced->choice = BL_INTAKE_MERGE;
  g_assert_true (bl_intake_run (replaced, &error));
  g_assert_cmpint (bl_library_find_equipment (library, "44444444-2222-4333-8444-555555555555", NULL), ==, intake->result);

  BlDelivery *pointed = pair ("pair", "A");
  BlTestPoint *point = bl_test_point_new ();
  point->id = g_strdup ("TP9");
  bl_append (&pointed->equipment->own.test_points, point, (GDestroyNotify) bl_test_point_free);
  g_autoptr (BlIntake) more = look (library, pointed);
  g_assert_cmpstr (more->otherwise, ==, "test points"); /* in words, not as the document calls them */

  other = look (library, pair ("pair, winter", "A"));
  g_assert_cmpint (bl_intake_finding (other), ==, BL_INTAKE_DIFFERENT);
  g_assert_cmpstr (other->otherwise, ==, "title");
  g_assert_cmpint (other->choice, ==, BL_INTAKE_LEAVE);
  other->choice = BL_INTAKE_KEEP_BOTH;
  g_assert_true (bl_intake_run (other, &error));
  g_assert_cmpuint (count_equipments (library), ==, 2);
  g_assert_cmpuint (count_boards (library), ==, 2);
}

/* The last thing fails: nothing of what was before it stays. */
static void
test_atomic (void)
{
  g_autoptr (BlLibrary) library = library_new ();
  g_autoptr (GError) error = NULL;
  BlDelivery *delivery = pair ("pair", "A");

  set_text (&((BlPart *) bl_at (delivery->equipment->conductors, 0))->from, "near/nowhere");
  g_autoptr (BlIntake) intake = look (library, delivery);
  g_assert_false (bl_intake_run (intake, &error));
  g_assert_nonnull (error);
  g_assert_cmpuint (count_boards (library), ==, 0);
  g_assert_cmpuint (count_equipments (library), ==, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/intake/same", test_same);
  g_test_add_func ("/model/intake/merge", test_merge);
  g_test_add_func ("/model/intake/theirs", test_theirs);
  g_test_add_func ("/model/intake/keep-both", test_keep_both);
  g_test_add_func ("/model/intake/pictures", test_pictures);
  g_test_add_func ("/model/intake/places", test_places);
  g_test_add_func ("/model/intake/choosing", test_choosing);
  g_test_add_func ("/model/intake/stale", test_stale);
  g_test_add_func ("/model/intake/equipment", test_equipment);
  g_test_add_func ("/model/intake/atomic", test_atomic);
  return g_test_run ();
}
