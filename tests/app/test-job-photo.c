/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A photo of the job's own board is laid under the edition: K asks for the landmarks of the edition's photo, four
 * presses bring its points and outlines, the fifth is foretold, a wrong sixth is named, undo takes a press back.
 *
 * Where things lie on the job's photo is worked out here, apart from the program, by a camera of our own:
 * w = 1 + x / 4000 + y / 8000, u = (0.8 x + 0.1 y + 30) / w, v = (0.9 y - 0.05 x + 40) / w. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "fixture.h"

#include <math.h>

#include "bl-bench-job-photo.h"
#include "bl-bench-page.h"
#include "bl-photo-view-private.h"

static const struct
{
  const char *id, *notes;
  double x, y;
} landmarks[] = {
  { "L1", "screw hole", 20, 20 },   { "L2", "screw hole", 620, 25 },         { "L3", "screw hole", 25, 455 },
  { "L4", "screw hole", 615, 460 }, { "L5", "corner of the board", 320, 10 }, { "L6", "corner of the board", 310, 240 },
};

typedef struct
{
  AppFixture app;
  GtkWidget *window, *page;
  BlPhotoView *views[8];
  guint n_views;
  gint64 photo;
  char *key;
} Fixture;

static void
camera (double x, double y, double at[2])
{
  double w = 1 + x / 4000 + y / 8000;

  at[0] = (0.8 * x + 0.1 * y + 30) / w;
  at[1] = (0.9 * y - 0.05 * x + 40) / w;
}

static void
collect (Fixture *f, GtkWidget *widget)
{
  if (BL_IS_PHOTO_VIEW (widget) && f->n_views < G_N_ELEMENTS (f->views))
    f->views[f->n_views++] = BL_PHOTO_VIEW (widget);
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    collect (f, child);
}

static void
set_up (Fixture *f, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) image = app_grey_png (640, 480);

  app_fixture_set_up (&f->app, NULL);
  g_autoptr (BlBoard) board = bl_library_load_board (f->app.library, f->app.board, &error);
  BlPhoto *front = bl_board_photo (board, "front");
  front->mm_per_px = 0.25;
  g_ptr_array_set_size (front->landmarks, 0);
  for (guint i = 0; i < G_N_ELEMENTS (landmarks); i++)
    {
      BlLandmark *landmark = bl_landmark_new ();
      landmark->id = g_strdup (landmarks[i].id);
      landmark->notes = g_strdup (landmarks[i].notes);
      landmark->x = landmarks[i].x;
      landmark->y = landmarks[i].y;
      bl_append (&front->landmarks, landmark, (GDestroyNotify) bl_landmark_free);
    }
  g_assert_true (bl_library_save_board (f->app.library, f->app.board, board, &error));
  g_clear_object (&f->app.bench);
  f->app.bench = bl_bench_new (f->app.library, f->app.job, &error);
  f->photo = bl_library_add_job_photo (f->app.library, f->app.job, "own", "image/png", image, &error);
  g_assert_no_error (error);
  f->key = g_strdup_printf ("job:%" G_GINT64_FORMAT, f->photo);
  f->window = gtk_window_new ();
  f->page = bl_bench_page_new (f->app.library);
  gtk_window_set_default_size (GTK_WINDOW (f->window), 1280, 800);
  gtk_window_set_child (GTK_WINDOW (f->window), f->page);
  bl_bench_page_set_bench (BL_BENCH_PAGE (f->page), f->app.bench);
  gtk_window_present (GTK_WINDOW (f->window));
  collect (f, f->page);
  g_assert_cmpuint (f->n_views, >=, 3);
}

static void
tear_down (Fixture *f, gconstpointer unused)
{
  gtk_window_destroy (GTK_WINDOW (f->window));
  g_free (f->key);
  app_fixture_tear_down (&f->app, NULL);
}

/* The edition's photo in the panel comes first, then the one that is pressed. */
static BlPhotoView *
photo (Fixture *f)
{
  return f->views[1];
}

static gboolean
key (Fixture *f, guint keyval)
{
  return bl_bench_page_key (BL_BENCH_PAGE (f->page), keyval, keyval == GDK_KEY_k ? GDK_ALT_MASK : 0);
}

static void
show_own (Fixture *f)
{
  g_action_group_activate_action (bl_bench_page_get_actions (BL_BENCH_PAGE (f->page)), "side", NULL);
}

static gboolean
says (GtkWidget *widget, const char *words)
{
  if (!gtk_widget_get_visible (widget))
    return FALSE;
  if (GTK_IS_LABEL (widget) && strstr (gtk_label_get_label (GTK_LABEL (widget)), words) != NULL)
    return TRUE;
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    if (says (child, words))
      return TRUE;
  return FALSE;
}

static void
press (Fixture *f, guint i, double dx, double dy)
{
  double at[2];
  g_autofree char *asked = g_strdup_printf ("Press %s (%s)", landmarks[i].id, landmarks[i].notes);

  g_assert_true (says (f->page, asked));
  camera (landmarks[i].x, landmarks[i].y, at);
  g_signal_emit_by_name (photo (f), "clicked", at[0] + dx, at[1] + dy);
}

static const BlPhotoItem *
item_of (Fixture *f, BlPhotoItemKind kind, const char *id)
{
  GPtrArray *items = photo (f)->items;

  for (guint i = 0; items != NULL && i < items->len; i++)
    {
      const BlPhotoItem *item = g_ptr_array_index (items, i);
      if (item->kind == kind && g_strcmp0 (item->id, id) == 0)
        return item;
    }
  return NULL;
}

static const BlPhotoItem *
foretold (Fixture *f)
{
  const BlPhotoItem *item = item_of (f, BL_PHOTO_LANDMARK, NULL);

  return item != NULL && item->foretold ? item : NULL;
}

static void
press_four (Fixture *f)
{
  show_own (f);
  bl_bench_page_key (BL_BENCH_PAGE (f->page), GDK_KEY_k, 0); /* the first letter of K1 */
  g_assert_false (says (f->page, "Press L1"));
  g_action_group_activate_action (bl_bench_page_get_actions (BL_BENCH_PAGE (f->page)), "escape", NULL);
  g_assert_true (key (f, GDK_KEY_k));
  for (guint i = 0; i < 4; i++)
    {
      g_assert_null (item_of (f, BL_PHOTO_POINT, "TP5"));
      g_assert_null (foretold (f));
      press (f, i, 0, 0);
    }
}

static void
test_four (Fixture *f, gconstpointer unused)
{
  double at[2];

  /* Without a photo of the job K is a letter like any other. */
  g_assert_null (item_of (f, BL_PHOTO_LANDMARK, "L1"));
  bl_bench_enter (f->app.bench, "M5 4.98", NULL);
  press_four (f);
  const BlPhotoItem *point = item_of (f, BL_PHOTO_POINT, "TP5");
  g_assert_nonnull (point);
  camera (400, 300, at);
  g_assert_cmpfloat_with_epsilon (point->x, at[0], 1e-6);
  g_assert_cmpfloat_with_epsilon (point->y, at[1], 1e-6);
  g_assert_cmpint (point->shape, ==, BL_SHAPE_IN_BAND);
  g_assert_true (says (f->page, "4 landmarks, which always fit"));
  /* The fifth is foretold. */
  const BlPhotoItem *ring = foretold (f);
  g_assert_nonnull (ring);
  camera (landmarks[4].x, landmarks[4].y, at);
  g_assert_cmpfloat_with_epsilon (ring->x, at[0], 1e-6);
  g_assert_cmpfloat_with_epsilon (ring->y, at[1], 1e-6);
  /* Its side is that of the edition's photo. */
  g_autoptr (BlJobPhotoMap) map = bl_bench_map_photo (f->app.bench, f->photo, NULL);
  g_assert_cmpstr (bl_job_photo_map_photo (map)->side, ==, "front");
  /* Done: the landmarks go, what the edition has stays, and pressing a point takes it in hand. */
  g_assert_true (key (f, GDK_KEY_k));
  g_assert_null (item_of (f, BL_PHOTO_LANDMARK, "L1"));
  g_assert_nonnull (item_of (f, BL_PHOTO_POINT, "TP5"));
  g_signal_emit_by_name (photo (f), "point-activated", BL_PHOTO_POINT, "TP5");
  g_assert_cmpstr (bl_measurement_item_get_point (bl_bench_get_current (f->app.bench)), ==, "TP5");
  g_assert_true (item_of (f, BL_PHOTO_POINT, "TP5")->in_hand);
}

static gboolean
is_likely (gpointer data)
{
  Fixture *f = data;
  GPtrArray *outlines = photo (f)->outlines;

  for (guint i = 0; outlines != NULL && i < outlines->len; i++)
    if (((BlPhotoOutline *) g_ptr_array_index (outlines, i))->kind == BL_PHOTO_LIKELY)
      return TRUE;
  return FALSE;
}

static void
test_likely (Fixture *f, gconstpointer unused)
{
  double at[2];

  press_four (f);
  bl_bench_enter (f->app.bench, "M5 0.1", NULL);
  g_assert_true (app_wait (is_likely, f));
  for (guint i = 0; i < photo (f)->outlines->len; i++)
    {
      const BlPhotoOutline *outline = g_ptr_array_index (photo (f)->outlines, i);
      if (outline->kind != BL_PHOTO_LIKELY)
        continue;
      g_assert_cmpstr (outline->id, ==, "rail5");
      camera (300, 200, at);
      g_assert_cmpfloat_with_epsilon (g_array_index (outline->points, double, 0), at[0], 1e-6);
      g_assert_cmpfloat_with_epsilon (g_array_index (outline->points, double, 1), at[1], 1e-6);
    }
}

static void
test_wrong (Fixture *f, gconstpointer unused)
{
  press_four (f);
  press (f, 4, 0, 0);
  g_assert_true (says (f->page, "5 landmarks agree to"));
  press (f, 5, 40, -30);
  g_assert_true (says (f->page, "L6 does not agree with the rest: it lies"));
  g_assert_true (says (f->page, " mm off"));
  g_assert_true (says (f->page, "All landmarks are set"));
  /* One press is one step; what is left agrees again. */
  g_assert_true (bl_bench_undo (f->app.bench, NULL));
  g_assert_true (says (f->page, "Press L6 (corner of the board)"));
  g_assert_false (says (f->page, "does not agree"));
  g_assert_true (bl_bench_redo (f->app.bench, NULL));
  g_assert_true (says (f->page, "L6 does not agree with the rest"));
}

static void
test_mark (Fixture *f, gconstpointer unused)
{
  GError *error = NULL;

  press_four (f);
  g_assert_true (bl_bench_mark (f->app.bench, "burn", f->key, 120, 90, &error));
  g_assert_no_error (error);
  g_assert_nonnull (item_of (f, BL_PHOTO_MARK, NULL));
  show_own (f);
  g_assert_null (item_of (f, BL_PHOTO_MARK, NULL));
}

int
main (int argc, char **argv)
{
  app_test_init (&argc, &argv);
  g_test_add ("/app/job-photo/four", Fixture, NULL, set_up, test_four, tear_down);
  g_test_add ("/app/job-photo/likely", Fixture, NULL, set_up, test_likely, tear_down);
  g_test_add ("/app/job-photo/wrong", Fixture, NULL, set_up, test_wrong, tear_down);
  g_test_add ("/app/job-photo/mark", Fixture, NULL, set_up, test_mark, tear_down);
  return g_test_run ();
}
