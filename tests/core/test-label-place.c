/* SPDX-License-Identifier: GPL-3.0-or-later
 * Names on a photo: none covers another or a mark while there is room; what matters is never left
 * out. */
#include "config.h"

#include "bl-label-place.h"

#include <math.h>

static BlLabel
mark (double x, double y, int rank)
{
  return (BlLabel){ .x = x, .y = y, .r = 9, .w = 52, .h = 15, .gap = 12, .rank = rank };
}

/* Area that placed names share with each other, with marks and with fixed boxes. */
static double
all_overlap (const BlLabel *labels, guint n, const BlLabelBox *fixed, guint n_fixed)
{
  double area = 0;

  for (guint i = 0; i < n; i++)
    {
      for (guint k = 0; k < n_fixed; k++)
        area += bl_label_overlap (&labels[i].box, &fixed[k]);
      for (guint k = 0; k < n; k++)
        {
          const BlLabelBox taken = { labels[k].x - labels[k].r, labels[k].y - labels[k].r,
                                     2 * labels[k].r, 2 * labels[k].r };
          area += bl_label_overlap (&labels[i].box, &taken);
          if (k > i)
            area += bl_label_overlap (&labels[i].box, &labels[k].box);
        }
    }
  return area;
}

static guint
count_placed (const BlLabel *labels, guint n)
{
  guint placed = 0;

  for (guint i = 0; i < n; i++)
    placed += labels[i].box.w > 0;
  return placed;
}

static void
test_alone (void)
{
  BlLabel label = mark (100, 100, 0);

  bl_labels_place (&label, 1, NULL, 0, 600, 400);
  g_assert_cmpfloat (label.box.x, ==, 112);
  g_assert_false (label.led);
  label.below = TRUE;
  bl_labels_place (&label, 1, NULL, 0, 600, 400);
  g_assert_cmpfloat (label.box.y, ==, 112);
  /* At the right edge it goes to the left. */
  label = mark (595, 100, 0);
  bl_labels_place (&label, 1, NULL, 0, 600, 400);
  g_assert_cmpfloat (label.box.x + label.box.w, ==, 583);
}

/* Five marks in a row closer than their names are wide: all have a name, none covers anything. */
static void
test_row (void)
{
  BlLabel labels[5];
  const BlLabelBox tab = { 180, 60, 160, 20 };

  for (guint i = 0; i < G_N_ELEMENTS (labels); i++)
    labels[i] = mark (200 + 24.0 * i, 100, 0);
  bl_labels_place (labels, G_N_ELEMENTS (labels), &tab, 1, 600, 400);
  g_assert_cmpuint (count_placed (labels, G_N_ELEMENTS (labels)), ==, G_N_ELEMENTS (labels));
  g_assert_cmpfloat (all_overlap (labels, G_N_ELEMENTS (labels), &tab, 1), ==, 0);
}

/* More marks than there is room for: some names are left out, those of rank are kept. */
static void
test_crowd (void)
{
  BlLabel labels[120];
  guint n = G_N_ELEMENTS (labels), placed;

  for (guint i = 0; i < n; i++)
    labels[i] = mark (20 + 25.0 * (i % 12), 20 + 25.0 * (i / 12), i % 10 == 0 ? 5 : 0);
  bl_labels_place (labels, n, NULL, 0, 330, 280);
  placed = count_placed (labels, n);
  g_assert_cmpfloat (all_overlap (labels, n, NULL, 0), ==, 0);
  g_assert_cmpuint (placed, <, n);
  /* The needed one has its name all the same, and covers less than a full box. */
  labels[54].needed = TRUE;
  labels[54].rank = -1;
  bl_labels_place (labels, n, NULL, 0, 330, 280);
  g_assert_cmpfloat (labels[54].box.w, ==, 52);
}

/* Of two that want the same place the higher rank has it; the other moves, led if far. */
static void
test_rank (void)
{
  BlLabel labels[] = { mark (100, 100, 0), mark (100, 118, 1) };

  bl_labels_place (labels, 2, NULL, 0, 600, 400);
  g_assert_cmpfloat (labels[1].box.x, ==, 112);
  g_assert_cmpfloat (labels[1].box.y, ==, round (118 - 7.5));
  g_assert_cmpfloat (all_overlap (labels, 2, NULL, 0), ==, 0);
  /* Boxed in on all sides: away from the mark, with a leader. */
  const BlLabelBox taken = { 60, 70, 120, 70 };
  BlLabel boxed = mark (120, 105, 0);
  bl_labels_place (&boxed, 1, &taken, 1, 600, 400);
  g_assert_cmpfloat (boxed.box.w, >, 0);
  g_assert_true (boxed.led);
  g_assert_cmpfloat (bl_label_overlap (&boxed.box, &taken), ==, 0);
  double x, y;
  bl_label_nearest (&boxed.box, boxed.x, boxed.y, &x, &y);
  g_assert_cmpfloat (hypot (x - boxed.x, y - boxed.y), <, 90);
}

/* What lies outside the pane has no name and takes no room. */
static void
test_outside (void)
{
  BlLabel labels[] = { mark (NAN, NAN, 9), mark (100, 100, 0) };

  bl_labels_place (labels, 2, NULL, 0, 600, 400);
  g_assert_cmpfloat (labels[0].box.w, ==, 0);
  g_assert_cmpfloat (labels[1].box.x, ==, 112);
}

/* A needed name in a pane in which no place fits, and one in a crowd on all sides: beside their marks all the
 * same, however much else they cover. */
static void
test_own_mark (void)
{
  BlLabel tight = mark (30, 25, 5), boxed = mark (60, 60, 5);
  const BlLabelBox taken[] = { { 0, 0, 120, 51 }, { 0, 69, 120, 51 }, { 0, 51, 50, 18 }, { 70, 51, 50, 18 } };

  tight.needed = boxed.needed = TRUE;
  boxed.r = 10;
  bl_labels_place (&tight, 1, NULL, 0, 60, 50);
  bl_labels_place (&boxed, 1, taken, G_N_ELEMENTS (taken), 120, 120);
  const BlLabelBox own[] = { { tight.x - tight.r, tight.y - tight.r, 2 * tight.r, 2 * tight.r },
                             { 50, 50, 20, 20 } };
  g_assert_cmpfloat (tight.box.w, >, 0);
  g_assert_cmpfloat (boxed.box.w, >, 0);
  g_assert_cmpfloat (bl_label_overlap (&tight.box, &own[0]), ==, 0);
  g_assert_cmpfloat (bl_label_overlap (&boxed.box, &own[1]), ==, 0);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/label-place/alone", test_alone);
  g_test_add_func ("/core/label-place/row", test_row);
  g_test_add_func ("/core/label-place/crowd", test_crowd);
  g_test_add_func ("/core/label-place/rank", test_rank);
  g_test_add_func ("/core/label-place/outside", test_outside);
  g_test_add_func ("/core/label-place/own-mark", test_own_mark);
  return g_test_run ();
}
