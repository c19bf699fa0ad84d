/* SPDX-License-Identifier: GPL-3.0-or-later
 * Snapping and the corners of outlines: what catches, in which order, how far; figures by hand. */
#include "config.h"

#include "bl-outline-edit.h"
#include "bl-snap.h"

static const double square[] = { 100, 100, 300, 100, 300, 200, 100, 200 };

static BlSnapField *
field_with_square (void)
{
  BlSnapField *field = bl_snap_field_new ();

  bl_snap_field_add_outline (field, "supply", square, 4);
  return field;
}

static void
assert_at (const BlSnap *snap, BlSnapKind kind, double x, double y)
{
  g_assert_cmpint (snap->kind, ==, kind);
  g_assert_cmpfloat_with_epsilon (snap->x, x, 1e-9);
  g_assert_cmpfloat_with_epsilon (snap->y, y, 1e-9);
}

static void
test_order (void)
{
  g_autoptr (BlSnapField) field = field_with_square ();
  BlSnap snap;

  snap = bl_snap (field, 104, 97, 5);
  assert_at (&snap, BL_SNAP_CORNER, 100, 100);
  g_assert_cmpstr (snap.name, ==, "supply");
  snap = bl_snap (field, 104, 97, 4.9); /* hypot (4, 3) = 5 is beyond; the edge is not */
  assert_at (&snap, BL_SNAP_EDGE, 104, 100);
  snap = bl_snap (field, 200, 104, 5);
  assert_at (&snap, BL_SNAP_EDGE, 200, 100);
  g_assert_cmpfloat (snap.ay, ==, 100);
  g_assert_cmpfloat (snap.by, ==, 100);
  snap = bl_snap (field, 200, 150, 5);
  assert_at (&snap, BL_SNAP_NONE, 200, 150);
  /* A corner farther off than an edge still comes first; a nearer place before the corner. */
  bl_snap_field_add_place (field, "TP5", 106, 100);
  snap = bl_snap (field, 102, 101, 5);
  assert_at (&snap, BL_SNAP_CORNER, 100, 100);
  snap = bl_snap (field, 104, 101, 5);
  assert_at (&snap, BL_SNAP_PLACE, 106, 100);
  g_assert_cmpstr (snap.name, ==, "TP5");
}

/* On the screen the reach is the same at each zoom: 10 px at 0.2 are 50 of the photo, at 4 they are 2.5. */
static void
test_zoom (void)
{
  g_autoptr (BlSnapField) field = field_with_square ();
  const double screen = 10;
  BlSnap snap;

  snap = bl_snap (field, 60, 70, screen / 0.2);
  assert_at (&snap, BL_SNAP_CORNER, 100, 100);
  snap = bl_snap (field, 97, 100, screen / 4);
  assert_at (&snap, BL_SNAP_NONE, 97, 100);
  snap = bl_snap (field, 98, 100, screen / 4);
  assert_at (&snap, BL_SNAP_CORNER, 100, 100);
}

static void
test_alignment (void)
{
  g_autoptr (BlSnapField) field = bl_snap_field_new ();
  BlSnap snap;

  bl_snap_field_add_line (field, 50, 400);
  bl_snap_field_add_line (field, 500, 60);
  snap = bl_snap (field, 53, 57, 5);
  assert_at (&snap, BL_SNAP_ALIGN, 50, 60);
  g_assert_true (snap.above && snap.beside);
  g_assert_cmpfloat (snap.above_y, ==, 400);
  g_assert_cmpfloat (snap.beside_x, ==, 500);
  snap = bl_snap (field, 53, 300, 5);
  assert_at (&snap, BL_SNAP_ALIGN, 50, 300);
  g_assert_true (snap.above && !snap.beside);
  bl_snap_field_clear_lines (field);
  snap = bl_snap (field, 53, 300, 5);
  assert_at (&snap, BL_SNAP_NONE, 53, 300);
}

/* On an edge and in line at once, where the two cross. */
static void
test_crossings (void)
{
  g_autoptr (BlSnapField) field = field_with_square ();
  const double other[] = { 150, 40, 150, 260, 400, 260 };
  const double slope[] = { 400, 0, 600, 200, 600, 0 };
  BlSnap snap;

  bl_snap_field_add_line (field, 220, 400);
  snap = bl_snap (field, 217, 103, 5);
  assert_at (&snap, BL_SNAP_EDGE, 220, 100);
  g_assert_true (snap.above);
  /* Two outlines' edges cross at (150, 100), which is no corner of either. */
  bl_snap_field_add_outline (field, "relay", other, 3);
  snap = bl_snap (field, 152, 98, 4);
  assert_at (&snap, BL_SNAP_EDGE, 150, 100);
  /* The foot on a slope: from (502, 98) on y = x - 400 it is (500, 100). */
  bl_snap_field_add_outline (field, "link", slope, 3);
  snap = bl_snap (field, 502, 98, 5);
  assert_at (&snap, BL_SNAP_EDGE, 500, 100);
}

/* A rectangle moved near the square's right edge comes to lie on it, whole. */
static void
test_whole (void)
{
  g_autoptr (BlSnapField) field = field_with_square ();
  const double moved[] = { 310, 120, 400, 120, 400, 180, 310, 180 };
  double dx = -7, dy = 2;
  BlSnap snap = bl_snap_outline (field, moved, 4, &dx, &dy, 5);

  g_assert_cmpint (snap.kind, ==, BL_SNAP_EDGE);
  g_assert_cmpfloat_with_epsilon (dx, -10, 1e-9);
  g_assert_cmpfloat_with_epsilon (dy, 2, 1e-9);
  dx = -8;
  dy = -22;
  snap = bl_snap_outline (field, moved, 4, &dx, &dy, 5);
  assert_at (&snap, BL_SNAP_CORNER, 300, 100);
  g_assert_cmpfloat_with_epsilon (dx, -10, 1e-9);
  g_assert_cmpfloat_with_epsilon (dy, -20, 1e-9);
  dx = 100;
  dy = 100;
  snap = bl_snap_outline (field, moved, 4, &dx, &dy, 5);
  g_assert_cmpint (snap.kind, ==, BL_SNAP_NONE);
  g_assert_cmpfloat (dx, ==, 100);
}

static void
test_corners (void)
{
  g_autoptr (GArray) points = g_array_new (FALSE, FALSE, sizeof (double));
  double distance;

  g_array_append_vals (points, square, G_N_ELEMENTS (square));
  g_assert_cmpint (bl_outline_nearest_edge (points, 250, 190, &distance), ==, 2);
  g_assert_cmpfloat_with_epsilon (distance, 10, 1e-9);
  g_assert_cmpint (bl_outline_nearest_edge (points, 90, 150, &distance), ==, 3); /* the closing one */
  g_assert_cmpuint (bl_outline_add_corner (points, 3, 80, 150), ==, 4);
  g_assert_cmpuint (points->len, ==, 10);
  g_assert_cmpfloat_with_epsilon (bl_outline_area (points), 200 * 100 + 100 * 20 / 2.0, 1e-9);
  g_assert_true (bl_outline_contains (points, 85, 150));
  g_assert_false (bl_outline_contains (points, 85, 110));
  g_assert_true (bl_outline_remove_corner (points, 0));
  g_assert_true (bl_outline_remove_corner (points, 0));
  g_assert_false (bl_outline_remove_corner (points, 0));
  g_assert_cmpuint (points->len, ==, 6);
}

/* Moved against the edge of the photo an outline keeps its shape. */
static void
test_move (void)
{
  g_autoptr (GArray) points = g_array_new (FALSE, FALSE, sizeof (double));

  g_array_append_vals (points, square, G_N_ELEMENTS (square));
  bl_outline_move (points, -150, 500, 1000, 400);
  g_assert_cmpfloat (g_array_index (points, double, 0), ==, 0);
  g_assert_cmpfloat (g_array_index (points, double, 1), ==, 300);
  g_assert_cmpfloat (g_array_index (points, double, 4), ==, 200);
  g_assert_cmpfloat (g_array_index (points, double, 5), ==, 400);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/snap/order", test_order);
  g_test_add_func ("/model/snap/zoom", test_zoom);
  g_test_add_func ("/model/snap/alignment", test_alignment);
  g_test_add_func ("/model/snap/crossings", test_crossings);
  g_test_add_func ("/model/snap/whole-outline", test_whole);
  g_test_add_func ("/model/outline/corners", test_corners);
  g_test_add_func ("/model/outline/move", test_move);
  return g_test_run ();
}
