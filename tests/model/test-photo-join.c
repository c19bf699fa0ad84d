/* SPDX-License-Identifier: GPL-3.0-or-later
 * Photos joined by landmarks: what is carried over, mirrored and measured lies where three cameras see it.
 *
 * The places were computed apart from this program (a script in double precision): a flat board of 160 x 100 mm, its
 * origin in the middle, seen by a pinhole camera u = cx + f X/Z. Front: straight from above, 0.1 mm a pixel, so that
 * lengths on it are those of the board. Second: turned by 2 rad in its plane, then tilted by 0.35 rad about (0.6, 0.8, 0)
 * by Rodrigues' rotation formula, f 5200 px, 520 mm away. Back: the board turned over (x to -x), turned by 0.1 rad,
 * tilted by 0.2 rad about (0.2, -0.9, 0.1), f 4800 px, 430 mm away. */
#include "config.h"

#include "bl-edition-photos.h"
#include "bl-document.h"
#include "bl-job-photo-map.h"
#include "bl-photo-far.h"

#include <math.h>

#include "scratch.h"

typedef struct
{
  const char *name;
  double x, y; /* mm */
  double front[2], second[2], back[2];
} Place;

static const Place places[] = {
  { "L1", -75, -45, { 1250.000000000, 1050.000000000 }, { 2620.423848111, 908.774493448 }, { 2899.826466747, 1091.912461668 } },
  { "L2", 76, -44, { 2760.000000000, 1060.000000000 }, { 2002.902249524, 2232.420496504 }, { 1255.380465356, 871.084336270 } },
  { "L3", 74, 46, { 2740.000000000, 1960.000000000 }, { 1253.071540452, 1825.409162533 }, { 1154.211050969, 1906.334403811 } },
  { "L4", -73, 43, { 1270.000000000, 1930.000000000 }, { 1788.442429559, 548.655701775 }, { 2758.944216441, 2031.894952661 } },
  { "L5", 12, -18, { 2120.000000000, 1320.000000000 }, { 2014.531340031, 1583.081020707 }, { 1943.709595564, 1263.616091293 } },
  { "L6", -31, 22, { 1690.000000000, 1720.000000000 }, { 1819.966625512, 1028.552577604 }, { 2351.980035737, 1759.829145439 } },
  { "L7", 40, 8, { 2400.000000000, 1580.000000000 }, { 1685.213017967, 1708.332588324 }, { 1596.173223865, 1517.072576259 } },
  { "TP1", -50, -30, { 1500.000000000, 1200.000000000 }, { 2370.688752788, 1079.057930102 }, { 2622.472734923, 1218.570704547 } },
  { "TP2", 20.5, 35.25, { 2205.000000000, 1852.500000000 }, { 1519.802553057, 1426.429729754 }, { 1776.577393716, 1846.436003677 } },
  { "R1", 61, -12.5, { 2610.000000000, 1375.000000000 }, { 1786.472101025, 1971.426378121 }, { 1385.382310083, 1255.584160670 } },
  { "c1", -60, -40, { 1400.000000000, 1100.000000000 }, { 2507.336195576, 1029.457043884 }, { 2739.612523131, 1124.329362309 } },
  { "c2", -10, -40, { 1900.000000000, 1100.000000000 }, { 2299.146169312, 1487.281662710 }, { 2213.352028310, 1051.160578320 } },
  { "c3", -10, 5, { 1900.000000000, 1550.000000000 }, { 1893.018085212, 1290.126200991 }, { 2151.298677964, 1548.094167966 } },
  { "c4", -60, 5, { 1400.000000000, 1550.000000000 }, { 2085.988197592, 833.108203238 }, { 2677.798545828, 1610.062695673 } },
};

enum
{
  LANDMARKS = 7,
  FIRST_CORNER = 10
};

static const Place *
place (const char *name)
{
  for (guint i = 0; i < G_N_ELEMENTS (places); i++)
    if (g_str_equal (places[i].name, name))
      return &places[i];
  g_assert_not_reached ();
}

static const double *
seen (const Place *at, const char *photo)
{
  return g_str_equal (photo, "front") ? at->front : g_str_equal (photo, "second") ? at->second : at->back;
}

static BlPhoto *
add_photo (BlBoard *board, const char *id, const char *side, guint landmarks)
{
  BlPhoto *photo = bl_photo_new ();

  photo->id = g_strdup (id);
  photo->side = g_strdup (side);
  for (guint i = 0; i < landmarks; i++)
    {
      BlLandmark *landmark = bl_landmark_new ();
      landmark->id = g_strdup (places[i].name);
      landmark->x = seen (&places[i], id)[0];
      landmark->y = seen (&places[i], id)[1];
      bl_append (&photo->landmarks, landmark, (GDestroyNotify) bl_landmark_free);
    }
  bl_append (&board->photos, photo, (GDestroyNotify) bl_photo_free);
  return photo;
}

static void
add_point (BlBoard *board, const char *id)
{
  BlTestPoint *point = bl_test_point_new ();

  point->id = g_strdup (id);
  point->photo = g_strdup ("front");
  point->x = place (id)->front[0];
  point->y = place (id)->front[1];
  bl_append (&board->test_points, point, (GDestroyNotify) bl_test_point_free);
}

static void
add_section (BlBoard *board)
{
  BlSection *section = bl_section_new ();
  BlOutline *outline = bl_outline_new ();

  section->id = g_strdup ("supply");
  section->kind = g_strdup ("supply");
  outline->photo = g_strdup ("front");
  g_clear_pointer (&outline->points, g_array_unref);
  outline->points = g_array_new (FALSE, FALSE, sizeof (double));
  for (guint i = 0; i < 4; i++)
    g_array_append_vals (outline->points, places[FIRST_CORNER + i].front, 2);
  bl_append (&section->outlines, outline, (GDestroyNotify) bl_outline_free);
  bl_append (&board->sections, section, (GDestroyNotify) bl_section_free);
}

/* Front with the points, the outline and the scale; a second photo of it and one of the back with landmarks alone. */
static BlBoard *
make_board (void)
{
  BlBoard *board = bl_board_new ();
  BlState *state = bl_state_new ();
  BlStage *stage = bl_stage_new ();
  BlComponent *component = bl_component_new ();

  state->id = g_strdup ("off");
  bl_append (&board->states, state, (GDestroyNotify) bl_state_free);
  add_photo (board, "front", "front", LANDMARKS)->mm_per_px = 0.1;
  add_photo (board, "second", "front", LANDMARKS);
  add_photo (board, "back", "back", LANDMARKS);
  add_section (board);
  stage->id = g_strdup ("rail");
  stage->section = g_strdup ("supply");
  bl_append (&board->stages, stage, (GDestroyNotify) bl_stage_free);
  component->id = g_strdup ("R1");
  component->kind = g_strdup ("resistor.film");
  component->stage = g_strdup ("rail");
  component->photo = g_strdup ("front");
  component->x = place ("R1")->front[0];
  component->y = place ("R1")->front[1];
  bl_append (&board->components, component, (GDestroyNotify) bl_component_free);
  add_point (board, "TP1");
  add_point (board, "TP2");
  return board;
}

static void
assert_near (double x, double y, const double *expected, double within)
{
  g_assert_cmpfloat_with_epsilon (x, expected[0], within);
  g_assert_cmpfloat_with_epsilon (y, expected[1], within);
}

/* --- joining --- */

static void
test_join (void)
{
  g_autoptr (BlBoard) board = make_board ();
  BlPhoto *front = bl_board_photo (board, "front"), *second = bl_board_photo (board, "second");
  g_autoptr (GError) error = NULL;

  g_assert_cmpuint (bl_photo_join_common (front, second), ==, LANDMARKS);
  g_autoptr (BlPhotoJoin) join = bl_photo_join_new (front, second, board, &error);
  g_assert_no_error (error);
  g_assert_cmpfloat (join->rms, <, 1e-6);
  g_assert_cmpfloat (join->rms_mm, <, 1e-7);
  g_assert_cmpint (join->suspect, ==, -1);
  g_assert_cmpint (bl_photo_join_sides (join), ==, BL_SIDES_AGREE);
  /* L4 is pressed 6 mm beside its place on the front. Beside a corner the other landmarks give way, so that much of it
   * does not show. */
  const double *l4 = place ("L4")->second;
  BlLandmark *wrong = bl_photo_landmark (front, "L4");
  wrong->x += 60;
  g_autoptr (BlPhotoJoin) bad = bl_photo_join_new (second, front, board, NULL);
  g_assert_cmpint (bad->suspect, >=, 0);
  g_assert_cmpstr (bad->names[bad->suspect], ==, "L4");
  g_assert_cmpfloat (bad->rms_without, <, 1e-6);
  g_assert_cmpfloat (bad->rms_without_mm, <, 1e-7);
  g_assert_cmpfloat (bad->rms, >, 1);
  g_assert_cmpfloat_with_epsilon (bad->rms_mm, bad->rms * 0.1, 1e-9);
  wrong->x -= 60;
  wrong = bl_photo_landmark (second, "L4");
  assert_near (wrong->x, wrong->y, l4, 1e-9);
}

static void
test_too_few (void)
{
  g_autoptr (BlBoard) board = make_board ();
  BlPhoto *front = bl_board_photo (board, "front"), *second = bl_board_photo (board, "second");
  g_autoptr (GError) error = NULL;
  const char *const skipped[] = { "L4", NULL };

  g_ptr_array_set_size (second->landmarks, 3);
  g_assert_null (bl_photo_join_new (front, second, board, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  g_assert_cmpstr (bl_photo_next_landmark (second, front, NULL)->id, ==, "L4");
  g_assert_cmpstr (bl_photo_next_landmark (second, front, skipped)->id, ==, "L5");
  g_assert_null (bl_photo_next_landmark (front, second, NULL));
  g_autofree char *name = bl_board_free_landmark (board);
  g_assert_cmpstr (name, ==, "L8");
}

/* After the fourth, the fifth is foretold. */
static void
test_prediction (void)
{
  g_autoptr (BlBoard) board = make_board ();
  BlPhoto *second = bl_board_photo (board, "second");
  const Place *next = place ("L5");
  BlHomography map;
  double u, v;

  g_ptr_array_set_size (second->landmarks, 4);
  g_assert_true (bl_board_map_photo (board, "front", "second", &map, NULL));
  bl_homography_apply (&map, next->front[0], next->front[1], &u, &v);
  assert_near (u, v, next->second, 1e-6);
}

static void
test_sides (void)
{
  g_autoptr (BlBoard) board = make_board ();
  BlPhoto *front = bl_board_photo (board, "front"), *back = bl_board_photo (board, "back"),
          *second = bl_board_photo (board, "second");
  g_autoptr (BlPhotoJoin) through = bl_photo_join_new (front, back, NULL, NULL);
  g_autoptr (BlPhotoJoin) beside = bl_photo_join_new (front, second, NULL, NULL);

  g_assert_true (through->mirrored);
  g_assert_true (isnan (through->rms_mm));
  g_assert_cmpint (bl_photo_join_sides (through), ==, BL_SIDES_AGREE);
  g_free (back->side);
  back->side = g_strdup ("front");
  g_assert_cmpint (bl_photo_join_sides (through), ==, BL_SIDES_MIRRORED);
  g_clear_pointer (&back->side, g_free);
  g_assert_cmpint (bl_photo_join_sides (through), ==, BL_SIDES_NOT_SAID);
  g_free (second->side);
  second->side = g_strdup ("back");
  g_assert_cmpint (bl_photo_join_sides (beside), ==, BL_SIDES_NOT_MIRRORED);
}

/* By way of a third photo where two have no landmark in common. */
static void
test_by_way (void)
{
  g_autoptr (BlBoard) board = make_board ();
  const Place *point = place ("TP2");
  BlHomography map;
  guint steps;
  double u, v;

  for (guint i = 0; i < LANDMARKS; i++)
    if (i != 4 && i != 5 && i != 6 && i != 0) /* L1, L5, L6, L7 remain, and are front's and back's alone */
      g_ptr_array_remove (bl_board_photo (board, "back")->landmarks,
                          bl_photo_landmark (bl_board_photo (board, "back"), places[i].name));
  BlPhoto *second = bl_board_photo (board, "second");
  g_ptr_array_set_size (second->landmarks, 4);
  g_assert_cmpuint (bl_photo_join_common (second, bl_board_photo (board, "back")), ==, 1);
  g_assert_true (bl_board_map_photo (board, "second", "back", &map, &steps));
  g_assert_cmpuint (steps, ==, 2);
  bl_homography_apply (&map, point->second[0], point->second[1], &u, &v);
  assert_near (u, v, point->back, 1e-5);
  g_ptr_array_set_size (second->landmarks, 3);
  g_assert_false (bl_board_map_photo (board, "second", "back", &map, &steps));
}

/* --- the other side --- */

static void
test_far (void)
{
  g_autoptr (BlBoard) board = make_board ();
  const guint all = 1 << BL_FAR_TEST_POINT | 1 << BL_FAR_COMPONENT | 1 << BL_FAR_SECTION | 1 << BL_FAR_STAGE;
  g_autoptr (GArray) far = bl_board_far (board, "back", all, 4000, 3000);
  guint outlines = 0;

  g_assert_cmpuint (far->len, ==, 4);
  for (guint i = 0; i < far->len; i++)
    {
      const BlFar *one = &g_array_index (far, BlFar, i);
      g_assert_true (one->opposite);
      g_assert_cmpstr (one->photo, ==, "front");
      if (one->kind != BL_FAR_SECTION)
        {
          assert_near (one->x, one->y, place (one->id)->back, 1e-5);
          continue;
        }
      outlines++;
      g_assert_cmpuint (one->corners->len, ==, 8);
      for (guint k = 0; k < 4; k++)
        assert_near (g_array_index (one->corners, double, 2 * k), g_array_index (one->corners, double, 2 * k + 1),
                     places[FIRST_CORNER + k].back, 1e-5);
    }
  g_assert_cmpuint (outlines, ==, 1);
  /* On the second photo the same, of the same side; where the photo ends nothing is shown. */
  g_autoptr (GArray) beside = bl_board_far (board, "second", all, 0, 0);
  g_assert_cmpuint (beside->len, ==, 4);
  g_assert_false (g_array_index (beside, BlFar, 0).opposite);
  g_autoptr (GArray) cut = bl_board_far (board, "back", 1 << BL_FAR_TEST_POINT, 2000, 3000);
  g_assert_cmpuint (cut->len, ==, 1);
  g_assert_cmpstr (g_array_index (cut, BlFar, 0).id, ==, "TP2");
}

/* --- a photo of a job --- */

/* The second camera's picture is a job's own: it is no photo of the board, and has four landmarks, then five, one of
 * them wrong. */
static void
test_job_photo (void)
{
  g_autoptr (BlBoard) board = make_board ();
  g_autoptr (GPtrArray) pressed = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_landmark_free);
  const guint points = 1 << BL_FAR_TEST_POINT;
  g_autoptr (GError) error = NULL;
  double u, v;

  g_ptr_array_remove (board->photos, bl_board_photo (board, "second"));
  for (guint i = 0; i < 7; i++)
    {
      BlLandmark *landmark = bl_landmark_new ();
      landmark->id = g_strdup (places[i].name);
      landmark->x = places[i].second[0];
      landmark->y = places[i].second[1];
      g_ptr_array_add (pressed, landmark);
      g_autoptr (BlJobPhotoMap) map = bl_job_photo_map_new (board, "job:1", "front", pressed);
      g_autoptr (GArray) far = bl_job_photo_map_far (map, points, 0, 0);
      g_assert_cmpuint (far->len, ==, i < 3 ? 0 : 2);
      for (guint k = 0; k < far->len; k++)
        {
          const BlFar *one = &g_array_index (far, BlFar, k);
          g_assert_false (one->opposite);
          assert_near (one->x, one->y, place (one->id)->second, 1e-5);
        }
    }
  /* L6 pressed 80 px beside: named, in pixels of the job's photo, in mm by the edition's scale. */
  ((BlLandmark *) g_ptr_array_index (pressed, 5))->x += 80;
  g_autoptr (BlJobPhotoMap) map = bl_job_photo_map_new (board, "job:1", "front", pressed);
  const BlPhoto *front = bl_job_photo_map_of_edition (map, "front");
  g_assert_cmpstr (front->id, ==, "front");
  g_autoptr (BlPhotoJoin) join = bl_job_photo_map_join (map, front, &error);
  g_assert_no_error (error);
  g_assert_cmpint (join->suspect, >=, 0);
  g_assert_cmpstr (join->names[join->suspect], ==, "L6");
  g_assert_cmpfloat (join->rms_without, <, 1e-6);
  g_assert_cmpfloat (join->residuals_mm[join->suspect], >, 1);
  g_assert_false (join->mirrored);
  g_assert_false (bl_job_photo_map_place (map, "none", 1, 2, &u, &v));
  /* The edition is as it was. */
  g_assert_cmpuint (bl_len (board->photos), ==, 2);
}

/* Said to be of the front, but the landmarks lie as on the back: told; what is on the front shows through the board. */
static void
test_job_photo_sides (void)
{
  g_autoptr (BlBoard) board = make_board ();
  g_autoptr (GPtrArray) pressed = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_landmark_free);

  g_ptr_array_remove (board->photos, bl_board_photo (board, "back"));
  for (guint i = 0; i < 5; i++)
    {
      BlLandmark *landmark = bl_landmark_new ();
      landmark->id = g_strdup (places[i].name);
      landmark->x = places[i].back[0];
      landmark->y = places[i].back[1];
      g_ptr_array_add (pressed, landmark);
    }
  g_autoptr (BlJobPhotoMap) wrong = bl_job_photo_map_new (board, "job:1", "front", pressed);
  g_autoptr (BlPhotoJoin) join = bl_job_photo_map_join (wrong, bl_board_photo (board, "front"), NULL);
  g_assert_cmpint (bl_photo_join_sides (join), ==, BL_SIDES_MIRRORED);
  g_autoptr (BlJobPhotoMap) right = bl_job_photo_map_new (board, "job:1", "back", pressed);
  g_autoptr (GArray) far = bl_job_photo_map_far (right, 1 << BL_FAR_TEST_POINT, 0, 0);
  g_assert_cmpuint (far->len, ==, 2);
  for (guint k = 0; k < far->len; k++)
    {
      const BlFar *one = &g_array_index (far, BlFar, k);
      g_assert_true (one->opposite);
      assert_near (one->x, one->y, place (one->id)->back, 1e-5);
    }
}

/* --- lengths --- */

static void
test_scale (void)
{
  g_autoptr (BlBoard) board = make_board ();
  const Place *a = place ("TP1"), *b = place ("TP2");
  double mm = hypot (a->x - b->x, a->y - b->y);
  BlPhotoScale own, mapped;

  g_assert_true (bl_photo_scale_find (board, "front", &own));
  g_assert_false (own.mapped);
  g_assert_cmpfloat_with_epsilon (bl_photo_scale_length (&own, a->front[0], a->front[1], b->front[0], b->front[1]), mm,
                                  1e-9);
  g_assert_true (bl_photo_scale_find (board, "back", &mapped));
  g_assert_cmpstr (mapped.photo, ==, "front");
  g_assert_cmpfloat_with_epsilon (bl_photo_scale_length (&mapped, a->back[0], a->back[1], b->back[0], b->back[1]), mm,
                                  1e-6);
  /* A square of 1 mm of the board, as many pixels large as its area says. */
  double at = bl_photo_scale_at (&mapped, a->back[0], a->back[1]);
  g_assert_cmpfloat_with_epsilon (at, 430.0 / 4800, 0.01);
  double step = bl_photo_scale_length (&mapped, a->back[0], a->back[1], a->back[0] + 1e-3, a->back[1]) * 1e3;
  double down = bl_photo_scale_length (&mapped, a->back[0], a->back[1], a->back[0], a->back[1] + 1e-3) * 1e3;
  g_assert_cmpfloat_with_epsilon (at * at, step * down, 1e-3 * at * at); /* nearly at right angles there */
  g_autofree char *words = bl_photo_length_words (&own, 0, 0, 30, 40);
  g_assert_cmpstr (words, ==, "5.00 mm");
  bl_board_photo (board, "front")->mm_per_px = NAN;
  g_assert_false (bl_photo_scale_find (board, "back", &mapped));
  g_autofree char *pixels = bl_photo_length_words (NULL, 0, 0, 30, 40);
  g_assert_cmpstr (pixels, ==, "50 px");
}

/* --- carrying over --- */

typedef struct
{
  char *folder, *path;
  BlLibrary *library;
  BlEdition *edition;
} Fixture;

static void
set_up (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = make_board ();

  fixture->folder = scratch_new ();
  fixture->path = scratch_file (fixture->folder, "join.benchlore-library");
  fixture->library = bl_library_open (fixture->path, TRUE, &error);
  g_assert_no_error (error);
  gint64 id = bl_library_add_board (fixture->library, board, FALSE, &error);
  g_assert_no_error (error);
  fixture->edition = bl_edition_new (fixture->library, id, &error);
  g_assert_no_error (error);
}

static void
tear_down (Fixture *fixture, gconstpointer unused)
{
  g_clear_object (&fixture->edition);
  g_clear_pointer (&fixture->library, bl_library_close);
  g_free (fixture->path);
  scratch_free (fixture->folder);
}

static char *
document (Fixture *fixture)
{
  return bl_document_write (bl_edition_get_board (fixture->edition));
}

static void
assert_undone (Fixture *fixture, const char *before)
{
  g_assert_true (bl_edition_undo (fixture->edition, NULL));
  g_autofree char *after = document (fixture);
  g_assert_cmpstr (after, ==, before);
}

static const BlOutline *
outline_on (const BlBoard *board, const char *photo)
{
  const BlSection *section = bl_board_section (board, "supply");

  for (guint i = 0; i < bl_len (section->outlines); i++)
    if (g_str_equal (((BlOutline *) bl_at (section->outlines, i))->photo, photo))
      return bl_at (section->outlines, i);
  return NULL;
}

static void
assert_carried (const BlBoard *board)
{
  const BlOutline *outline = outline_on (board, "second");
  const BlComponent *component = bl_board_component (board, "R1");

  for (guint i = 0; i < 2; i++)
    {
      const BlTestPoint *point = bl_at (board->test_points, i);
      g_assert_cmpstr (point->photo, ==, "second");
      assert_near (point->x, point->y, place (point->id)->second, 0.0051);
    }
  g_assert_cmpstr (component->photo, ==, "second");
  assert_near (component->x, component->y, place ("R1")->second, 0.0051);
  g_assert_nonnull (outline);
  for (guint i = 0; i < 4; i++)
    assert_near (g_array_index (outline->points, double, 2 * i), g_array_index (outline->points, double, 2 * i + 1),
                 places[FIRST_CORNER + i].second, 0.0051);
}

static void
test_carry (Fixture *fixture, gconstpointer unused)
{
  g_autofree char *before = document (fixture);
  g_autoptr (GError) error = NULL;
  BlCarried carried = { 0 };

  g_assert_true (bl_edition_carry_over (fixture->edition, "front", "second", 4000, 3000, &carried, &error));
  g_assert_no_error (error);
  const BlBoard *board = bl_edition_get_board (fixture->edition);
  g_assert_cmpuint (carried.points, ==, 2);
  g_assert_cmpuint (carried.components, ==, 1);
  g_assert_cmpuint (carried.outlines, ==, 1);
  g_assert_cmpuint (carried.left, ==, 0);
  assert_carried (board);
  g_assert_nonnull (outline_on (board, "front")); /* both photos have it */
  /* On the old photo the points are still shown where they were. */
  g_autoptr (GArray) back = bl_board_far (board, "front", 1 << BL_FAR_TEST_POINT, 0, 0);
  g_assert_cmpuint (back->len, ==, 2);
  const BlFar *tp1 = &g_array_index (back, BlFar, 0);
  assert_near (tp1->x, tp1->y, place ("TP1")->front, 0.02);
  assert_undone (fixture, before);
}

static void
test_carry_edge (Fixture *fixture, gconstpointer unused)
{
  BlCarried carried = { 0 };
  g_autoptr (GError) error = NULL;

  /* TP1 lies at 2371 of the second photo: one that ends at 2000 has no room for it. */
  g_assert_true (bl_edition_carry_over (fixture->edition, "front", "second", 2000, 3000, &carried, NULL));
  const BlBoard *board = bl_edition_get_board (fixture->edition);
  g_assert_cmpuint (carried.left, ==, 1);
  g_assert_cmpstr (bl_board_test_point (board, "TP1")->photo, ==, "front");
  g_assert_cmpstr (bl_board_test_point (board, "TP2")->photo, ==, "second");
  g_assert_false (bl_edition_carry_over (fixture->edition, "second", "back", 0, 0, NULL, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
}

static void
test_replace (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_edition_remove_landmark (fixture->edition, "second", "L7", &error));
  g_autofree char *before = document (fixture);
  g_assert_true (bl_edition_replace_photo (fixture->edition, "front", "second", 4000, 3000, NULL, &error));
  g_assert_no_error (error);
  const BlBoard *board = bl_edition_get_board (fixture->edition);
  assert_carried (board);
  g_assert_null (bl_board_photo (board, "front"));
  g_assert_null (outline_on (board, "front"));
  const BlPhoto *second = bl_at (board->photos, 0);
  g_assert_cmpstr (second->id, ==, "second");
  const BlLandmark *l7 = bl_photo_landmark (second, "L7");
  assert_near (l7->x, l7->y, place ("L7")->second, 0.0051);
  /* In the middle the second camera is 520 mm away, f 5200 px: a pixel is 0.1 mm high, and wider by the tilt. */
  g_assert_cmpfloat_with_epsilon (second->mm_per_px, 0.1 / sqrt (cos (0.35)), 0.004);
  assert_undone (fixture, before);
}

static void
test_landmarks (Fixture *fixture, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *before = document (fixture);

  g_assert_true (bl_edition_set_landmark (fixture->edition, "second", "L8", 10.004, 20, &error));
  g_assert_true (bl_edition_set_landmark (fixture->edition, "second", "L8", 30, 40, &error)); /* dragged on */
  const BlPhoto *second = bl_board_photo (bl_edition_get_board (fixture->edition), "second");
  g_assert_cmpuint (bl_len (second->landmarks), ==, LANDMARKS + 1);
  g_assert_cmpfloat (bl_photo_landmark (second, "L8")->x, ==, 30);
  assert_undone (fixture, before);
  g_assert_false (bl_edition_set_landmark (fixture->edition, "none", "L8", 1, 1, &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/photo-join/join", test_join);
  g_test_add_func ("/model/photo-join/too-few", test_too_few);
  g_test_add_func ("/model/photo-join/prediction", test_prediction);
  g_test_add_func ("/model/photo-join/sides", test_sides);
  g_test_add_func ("/model/photo-join/by-way", test_by_way);
  g_test_add_func ("/model/photo-join/far", test_far);
  g_test_add_func ("/model/photo-join/job-photo", test_job_photo);
  g_test_add_func ("/model/photo-join/job-photo-sides", test_job_photo_sides);
  g_test_add_func ("/model/photo-join/scale", test_scale);
  g_test_add ("/model/photo-join/carry", Fixture, NULL, set_up, test_carry, tear_down);
  g_test_add ("/model/photo-join/carry-edge", Fixture, NULL, set_up, test_carry_edge, tear_down);
  g_test_add ("/model/photo-join/replace", Fixture, NULL, set_up, test_replace, tear_down);
  g_test_add ("/model/photo-join/landmarks", Fixture, NULL, set_up, test_landmarks, tear_down);
  return g_test_run ();
}
