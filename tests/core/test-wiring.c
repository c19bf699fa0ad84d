/* SPDX-License-Identifier: GPL-3.0-or-later
 * What lies between boards, and where it stands in a drawing: every box, conductor, terminal and check has a place at any
 * size, and no word covers another one or a shape. */
#include "config.h"

#include "bl-wiring-layout.h"

#include "fixture-demo.h"
#include "fixture-wiring.h"

static const BlWireCheck *
check_of (const Joined *joined, const char *id)
{
  const BlWireCheck *check = wiring_check (joined->wiring, id);

  g_assert_nonnull (check);
  return check;
}

static const BlWireConductor *
conductor_of (const Joined *joined, const char *id)
{
  for (guint i = 0; i < joined->wiring->conductors->len; i++)
    if (g_str_equal (((BlWireConductor *) bl_at (joined->wiring->conductors, i))->id, id))
      return bl_at (joined->wiring->conductors, i);
  g_assert_not_reached ();
}

static const char *
terminal_name (const Joined *joined, int index)
{
  return index >= 0 ? ((BlWireTerminal *) bl_at (joined->wiring->terminals, index))->id : NULL;
}

static const char *
role_of (const Joined *joined, int box)
{
  return box >= 0 ? ((BlWireBox *) bl_at (joined->wiring->boxes, box))->role : NULL;
}

static void
test_conductors (void)
{
  g_auto (Joined) joined = wiring_join (wiring_pair);
  const BlWireConductor *l = conductor_of (&joined, "W1"), *n = conductor_of (&joined, "W2"),
                        *s = conductor_of (&joined, "W3");

  g_assert_cmpuint (joined.wiring->boxes->len, ==, 2);
  g_assert_cmpstr (role_of (&joined, l->box[0]), ==, "wall");
  g_assert_cmpstr (role_of (&joined, l->box[1]), ==, "roof");
  g_assert_true (l->supplies && n->supplies);
  g_assert_false (s->supplies);
  g_assert_cmpstr (terminal_name (&joined, l->terminal[0]), ==, "wall/X3");
  g_assert_cmpstr (terminal_name (&joined, l->terminal[1]), ==, "roof/T1");
  g_assert_cmpstr (terminal_name (&joined, n->terminal[0]), ==, "wall/X2");
  g_assert_cmpstr (terminal_name (&joined, n->terminal[1]), ==, "roof/T2");
  g_assert_cmpstr (terminal_name (&joined, s->terminal[0]), ==, "wall/X4");
  g_assert_cmpstr (terminal_name (&joined, s->terminal[1]), ==, "roof/T3");
  /* The cable holds what its document says, and its conductors stand together. */
  g_assert_cmpint (l->cable, ==, 0);
  g_assert_cmpint (s->cable, ==, 0);
  g_assert_cmpint (n->cable, ==, -1);
  g_assert_true (bl_at (joined.wiring->conductors, 2) == n);
}

static void
assert_place (const Joined *joined, const char *id, BlWirePlace place, const char *of, BlSiteStep kind)
{
  const BlWireCheck *check = check_of (joined, id);
  const char *at = check->place == BL_WIRE_BOX         ? role_of (joined, (int) check->index)
                   : check->place == BL_WIRE_TERMINAL  ? terminal_name (joined, (int) check->index)
                   : check->place == BL_WIRE_CONDUCTOR ? ((BlWireConductor *) bl_at (joined->wiring->conductors, check->index))->id
                   : check->place == BL_WIRE_CABLE     ? ((BlWireCable *) bl_at (joined->wiring->cables, check->index))->id
                                                       : NULL;

  g_assert_cmpint (check->place, ==, place);
  g_assert_cmpstr (at, ==, of);
  g_assert_cmpint (check->kind, ==, kind);
}

static void
test_checks (void)
{
  g_auto (Joined) joined = wiring_join (wiring_pair);
  static const char *const order[] = { "DIR",  "NEAR", "IN",  "FAR", "wall/TICK", "CLICK",
                                        "PASS", "S-N",  "WET", "R-S", "BEEP-L",    "SWAP" };

  assert_place (&joined, "DIR", BL_WIRE_ANYWHERE, NULL, BL_SITE_DIRECTION);
  assert_place (&joined, "IN", BL_WIRE_TERMINAL, "wall/X1", BL_SITE_SUPPLY);
  assert_place (&joined, "FAR", BL_WIRE_TERMINAL, "roof/T1", BL_SITE_SUPPLY);
  assert_place (&joined, "CLICK", BL_WIRE_BOX, "wall", BL_SITE_RELAY);
  assert_place (&joined, "PASS", BL_WIRE_BOX, "wall", BL_SITE_RELAY);
  /* The board's own question to the relay that switches the supply; none else of it. */
  assert_place (&joined, "wall/TICK", BL_WIRE_BOX, "wall", BL_SITE_RELAY);
  g_assert_null (wiring_check (joined.wiring, "wall/LAMP"));
  assert_place (&joined, "NEAR", BL_WIRE_TERMINAL, "wall/X3", BL_SITE_SUPPLY);
  assert_place (&joined, "S-N", BL_WIRE_TERMINAL, "roof/T3", BL_SITE_SIGNAL);
  assert_place (&joined, "R-S", BL_WIRE_CONDUCTOR, "W3", BL_SITE_CONDUCTOR);
  assert_place (&joined, "BEEP-L", BL_WIRE_CONDUCTOR, "W1", BL_SITE_CONDUCTOR);
  assert_place (&joined, "WET", BL_WIRE_CABLE, "CB", BL_SITE_CONDUCTOR);
  assert_place (&joined, "SWAP", BL_WIRE_CONDUCTOR, "W3", BL_SITE_EXCHANGE);
  g_assert_cmpuint (joined.wiring->checks->len, ==, G_N_ELEMENTS (order));
  for (guint i = 0; i < G_N_ELEMENTS (order); i++)
    g_assert_cmpstr (((BlWireCheck *) bl_at (joined.wiring->checks, i))->id, ==, order[i]);
}

static void
test_places (void)
{
  g_auto (Joined) joined = wiring_join (wiring_pair);
  static const struct
  {
    const char *id;
    BlWirePlace place;
  } known[] = { { "W3", BL_WIRE_CONDUCTOR }, { "W3/other", BL_WIRE_CONDUCTOR }, { "CB", BL_WIRE_CABLE },
                { "roof", BL_WIRE_BOX },     { "wall/k1", BL_WIRE_BOX },        { "wall/K1", BL_WIRE_BOX } };
  BlWirePlace place;
  guint index;

  for (guint i = 0; i < G_N_ELEMENTS (known); i++)
    {
      g_assert_true (bl_wiring_place (joined.wiring, known[i].id, &place, &index));
      g_assert_cmpint (place, ==, known[i].place);
    }
  g_assert_false (bl_wiring_place (joined.wiring, "cellar", &place, &index));
  g_assert_false (bl_wiring_place (joined.wiring, NULL, &place, &index));
}

/* Without the equipment's document a cable holds what it acts on. */
static void
test_board_alone (void)
{
  g_auto (Joined) joined = wiring_join (wiring_pair);
  g_autoptr (BlWiring) alone = bl_wiring_new (joined.board, NULL);

  g_assert_cmpuint (alone->boxes->len, ==, 2);
  for (guint i = 0; i < alone->conductors->len; i++)
    {
      const BlWireConductor *conductor = bl_at (alone->conductors, i);
      g_assert_cmpint (conductor->cable, ==, g_str_equal (conductor->id, "W3") ? 0 : -1);
      g_assert_cmpint (conductor->box[0], >=, 0);
      g_assert_cmpint (conductor->box[1], >=, 0);
    }
}

/* --- the layout --- */

/* As wide as a rather wide face. */
static double
measure (const char *text, double px, gboolean bold, gpointer data)
{
  return (double) g_utf8_strlen (text, -1) * px * (bold ? 0.66 : 0.6);
}

static void
gather (const BlWiring *wiring, const BlWiringLayout *layout, GArray *labels, GArray *shapes)
{
  for (guint i = 0; i < wiring->boxes->len; i++)
    g_array_append_val (labels, layout->boxes[i].label);
  for (guint i = 0; i < wiring->cables->len; i++)
    g_array_append_val (labels, layout->cables[i].label);
  for (guint i = 0; i < wiring->conductors->len; i++)
    g_array_append_val (labels, layout->lines[i].label);
  for (guint i = 0; i < wiring->terminals->len; i++)
    {
      const BlWireEnd *end = &layout->terminals[i];
      const BlLabelBox circle = { end->x - 4.5, end->y - 4.5, 9, 9 };
      g_array_append_val (labels, end->label);
      g_array_append_val (shapes, circle);
    }
  for (guint i = 0; i < wiring->checks->len; i++)
    {
      const BlWireMark *mark = &layout->marks[i];
      const BlLabelBox shape = { mark->x - mark->size / 2, mark->y - mark->size / 2, mark->size, mark->size };
      g_array_append_val (labels, mark->label);
      if (mark->size > 0)
        g_array_append_val (shapes, shape);
    }
  g_array_append_val (labels, layout->supply);
}

static void
assert_apart (const BlLabelBox *one, const BlLabelBox *other, double width, double height)
{
  if (bl_label_overlap (one, other) <= 0.5)
    return;
  g_test_message ("%g x %g: %g,%g %gx%g and %g,%g %gx%g", width, height, one->x, one->y, one->w, one->h, other->x,
                  other->y, other->w, other->h);
  g_test_fail ();
}

static gboolean
is_inside (double x, double y, double width, double height)
{
  return x >= 0 && y >= 0 && x <= width && y <= height;
}

static void
assert_laid_out (const BlWiring *wiring, const BlWiringLayout *layout, double width, double height)
{
  g_autoptr (GArray) labels = g_array_new (FALSE, FALSE, sizeof (BlLabelBox));
  g_autoptr (GArray) shapes = g_array_new (FALSE, FALSE, sizeof (BlLabelBox));

  gather (wiring, layout, labels, shapes);
  for (guint i = 0; i < labels->len; i++)
    {
      const BlLabelBox *label = &g_array_index (labels, BlLabelBox, i);
      if (label->w <= 0)
        continue;
      g_assert_true (is_inside (label->x, label->y, width, height));
      g_assert_true (is_inside (label->x + label->w, label->y + label->h, width, height));
      for (guint k = i + 1; k < labels->len; k++)
        if (g_array_index (labels, BlLabelBox, k).w > 0)
          assert_apart (label, &g_array_index (labels, BlLabelBox, k), width, height);
      for (guint k = 0; k < shapes->len; k++)
        assert_apart (label, &g_array_index (shapes, BlLabelBox, k), width, height);
    }
  for (guint i = 0; i < shapes->len; i++)
    for (guint k = i + 1; k < shapes->len; k++)
      assert_apart (&g_array_index (shapes, BlLabelBox, i), &g_array_index (shapes, BlLabelBox, k), width, height);
  for (guint i = 0; i < wiring->terminals->len; i++)
    g_assert_true (layout->terminals[i].x > 0 && is_inside (layout->terminals[i].x, layout->terminals[i].y, width, height));
  for (guint i = 0; i < wiring->checks->len; i++)
    g_assert_true (layout->marks[i].y > 0 && is_inside (layout->marks[i].x, layout->marks[i].y, width, height));
  for (guint i = 0; i < wiring->conductors->len; i++)
    {
      const BlWireConductor *conductor = bl_at (wiring->conductors, i);
      const BlWireLine *line = &layout->lines[i];
      g_assert_cmpuint (line->n_points, >=, 2);
      /* From terminal to terminal, right-angled. */
      for (int end = 0; end < 2; end++)
        if (conductor->terminal[end] >= 0)
          {
            guint at = end == 0 ? 0 : line->n_points - 1;
            g_assert_cmpfloat_with_epsilon (line->x[at], layout->terminals[conductor->terminal[end]].x, 0.01);
            g_assert_cmpfloat_with_epsilon (line->y[at], layout->terminals[conductor->terminal[end]].y, 0.01);
          }
      for (guint k = 1; k < line->n_points; k++)
        g_assert_true (fabs (line->x[k] - line->x[k - 1]) < 0.01 || fabs (line->y[k] - line->y[k - 1]) < 0.01);
      for (guint k = 0; k < i; k++)
        g_assert_cmpfloat (fabs (layout->lines[k].end[0].y - line->end[0].y)
                             + fabs (layout->lines[k].end[0].x - line->end[0].x),
                           >, 1);
    }
}

static void
assert_all_sizes (const BlWiring *wiring)
{
  static const double sizes[][2] = { { 300, 200 }, { 300, 400 }, { 420, 260 },  { 604, 300 },
                                     { 604, 466 }, { 800, 300 }, { 1000, 600 }, { 1200, 800 } };

  for (guint i = 0; i < G_N_ELEMENTS (sizes); i++)
    for (BlWirePlace place = BL_WIRE_ANYWHERE; place <= BL_WIRE_CABLE; place++)
      {
        guint n = place == BL_WIRE_BOX         ? wiring->boxes->len
                  : place == BL_WIRE_CONDUCTOR ? wiring->conductors->len
                  : place == BL_WIRE_CABLE     ? wiring->cables->len
                                               : 1;
        for (guint index = 0; index < n; index++)
          {
            g_autoptr (BlWiringLayout) layout
                = bl_wiring_layout_new (wiring, sizes[i][0], sizes[i][1], place, index, measure, NULL);
            assert_laid_out (wiring, layout, sizes[i][0], sizes[i][1]);
          }
      }
}

static void
test_layout (void)
{
  g_auto (Joined) pair = wiring_join (wiring_pair), triple = wiring_join (wiring_triple);

  assert_all_sizes (pair.wiring);
  assert_all_sizes (triple.wiring);
}

static void
test_demo (void)
{
  g_autoptr (BlBoard) board = demo_board ("pair.json");
  g_autoptr (BlWiring) wiring = bl_wiring_new (board, NULL);

  g_assert_cmpuint (wiring->conductors->len, >=, 3);
  g_assert_cmpuint (wiring->checks->len, >=, 8);
  g_assert_nonnull (wiring_check (wiring, "wall/K1K"));
  assert_all_sizes (wiring);
}

/* A long question of a box, and a cable's title beside its checks, take more lines where there is height for them. */
static void
test_wrapped (void)
{
  g_autoptr (BlBoard) board = demo_board ("pair.json");
  g_autoptr (BlWiring) wiring = bl_wiring_new (board, NULL);
  g_autoptr (BlWiringLayout) usual = bl_wiring_layout_new (wiring, 604, 400, BL_WIRE_ANYWHERE, 0, measure, NULL);
  g_autoptr (BlWiringLayout) low = bl_wiring_layout_new (wiring, 604, 200, BL_WIRE_ANYWHERE, 0, measure, NULL);
  double line = low->marks[0].label.h;

  for (guint i = 0; i < wiring->checks->len; i++)
    {
      const BlWireCheck *check = bl_at (wiring->checks, i);
      if (g_strcmp0 (check->id, "PASS") != 0)
        continue;
      const BlLabelBox *box = &usual->marks[i].label;
      line = BL_WIRE_CHECK_PX;
      g_assert_cmpfloat (floor (box->h / line) * box->w, >=, measure (check->title, BL_WIRE_CHECK_PX, TRUE, NULL));
      g_assert_cmpfloat (low->marks[i].label.h, <, 2 * line);
    }
  g_assert_cmpfloat (line, ==, BL_WIRE_CHECK_PX); /* it is there */
}

/* In the usual room all shapes are there and all checks have their names. */
static void
test_room (void)
{
  g_auto (Joined) joined = wiring_join (wiring_pair);
  g_autoptr (BlWiringLayout) layout
      = bl_wiring_layout_new (joined.wiring, 604, 466, BL_WIRE_ANYWHERE, 0, measure, NULL);

  for (guint i = 0; i < joined.wiring->checks->len; i++)
    {
      g_test_message ("%s", ((BlWireCheck *) bl_at (joined.wiring->checks, i))->id);
      g_assert_cmpfloat (layout->marks[i].size, >=, 11);
      g_assert_cmpfloat (layout->marks[i].label.w, >, 0);
    }
  for (guint i = 0; i < joined.wiring->terminals->len; i++)
    g_assert_cmpfloat (layout->terminals[i].label.w, >, 0);
  /* What feeds stands at the left. */
  g_assert_cmpstr (role_of (&joined, layout->feeds), ==, "wall");
  g_assert_cmpstr (role_of (&joined, layout->fed), ==, "roof");
  g_assert_cmpfloat (layout->boxes[layout->feeds].outline.x, <, layout->boxes[layout->fed].outline.x);
}

static void
test_pick (void)
{
  g_auto (Joined) joined = wiring_join (wiring_pair);
  g_autoptr (BlWiringLayout) layout
      = bl_wiring_layout_new (joined.wiring, 604, 466, BL_WIRE_ANYWHERE, 0, measure, NULL);
  BlWirePlace place;
  guint index;
  int check;

  for (guint i = 0; i < joined.wiring->checks->len; i++)
    {
      g_assert_true (bl_wiring_layout_pick (layout, joined.wiring, layout->marks[i].x, layout->marks[i].y, &check, &place,
                                            &index));
      g_assert_cmpint (check, ==, (int) i);
    }
  for (guint i = 0; i < joined.wiring->terminals->len; i++)
    {
      g_assert_true (bl_wiring_layout_pick (layout, joined.wiring, layout->terminals[i].x, layout->terminals[i].y,
                                            &check, &place, &index));
      g_assert_cmpint (place, ==, BL_WIRE_TERMINAL);
      g_assert_cmpuint (index, ==, i);
    }
  const BlWireLine *line = &layout->lines[0];
  g_assert_true (bl_wiring_layout_pick (layout, joined.wiring, line->x[0] + 30, line->y[0], &check, &place, &index));
  g_assert_cmpint (place, ==, BL_WIRE_CONDUCTOR);
  g_assert_cmpuint (index, ==, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/wiring/conductors", test_conductors);
  g_test_add_func ("/wiring/checks", test_checks);
  g_test_add_func ("/wiring/places", test_places);
  g_test_add_func ("/wiring/board-alone", test_board_alone);
  g_test_add_func ("/wiring/layout", test_layout);
  g_test_add_func ("/wiring/demo", test_demo);
  g_test_add_func ("/wiring/wrapped", test_wrapped);
  g_test_add_func ("/wiring/room", test_room);
  g_test_add_func ("/wiring/pick", test_pick);
  return g_test_run ();
}
