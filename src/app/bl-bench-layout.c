/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The grid of the bench.
 *
 * One widget that allocates its children by arithmetic, because the proportions are the design: photo
 * left, focus panel and list right, and below a hairline what follows from the readings. Wider windows
 * give the photo the room, the list at most 760 pixels; smaller ones fold the log, then the tree. It
 * draws only the hairlines. */
#include "config.h"

#include "bl-bench-layout.h"

#include "bl-style.h"

#define MARGIN 12
#define GAP 16

struct _BlBenchLayout
{
  GtkWidget parent_instance;

  GtkWidget *children[BL_N_PLACES];
  GtkAllocation at[BL_N_PLACES];
  BlPlace enlarged;
  int lower_y; /* of the hairline, 0: none */
};

G_DEFINE_FINAL_TYPE (BlBenchLayout, bl_bench_layout, GTK_TYPE_WIDGET)

static void
bl_bench_layout_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                         int *minimum_baseline, int *natural_baseline)
{
  *minimum = orientation == GTK_ORIENTATION_HORIZONTAL ? 640 : 360;
  *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? 1280 : 700;
}

static void
set (BlBenchLayout *self, BlPlace place, int x, int y, int width, int height)
{
  self->at[place] = (GtkAllocation){ x, y, MAX (0, width), MAX (0, height) };
}

static gboolean
shows (BlBenchLayout *self, BlPlace place)
{
  return self->children[place] != NULL && gtk_widget_get_visible (self->children[place]);
}

/* Lower row: suspects and next under the photo, tree and log under the list. */
static void
arrange_lower (BlBenchLayout *self, int width, int y, int height, int right_x)
{
  int left_w = right_x - GAP - MARGIN, right_w = width - MARGIN - right_x;
  int suspects = (left_w - 20) * 290 / 584, log = CLAMP (right_w * 234 / 636, 200, 320);
  gboolean room_for_log = width >= 1120, room_for_tree = width >= 900;

  set (self, BL_PLACE_SUSPECTS, MARGIN, y, suspects, height);
  set (self, BL_PLACE_NEXT, MARGIN + suspects + 20, y, left_w - suspects - 20, height);
  if (!room_for_log)
    log = -12;
  else
    set (self, BL_PLACE_LOG, width - MARGIN - log, y, log, height);
  if (shows (self, BL_PLACE_DRILL))
    {
      set (self, BL_PLACE_SUSPECTS, 0, 0, 0, 0);
      set (self, BL_PLACE_NEXT, 0, 0, 0, 0);
      set (self, BL_PLACE_DRILL, MARGIN, y, width - log - 12 - 2 * MARGIN, height);
    }
  if (shows (self, BL_PLACE_PATH))
    {
      /* What was best then stands in the path: advice beside it would be another word for another thing. */
      suspects = MIN (left_w, 460);
      set (self, BL_PLACE_SUSPECTS, MARGIN, y, suspects, height);
      set (self, BL_PLACE_NEXT, 0, 0, 0, 0);
      if (room_for_tree)
        set (self, BL_PLACE_TREE, MARGIN + suspects + 20, y, width - log - 12 - 2 * MARGIN - suspects - 20, height);
    }
  else if (!shows (self, BL_PLACE_DRILL) && room_for_tree)
    set (self, BL_PLACE_TREE, right_x, y, right_w - log - 12, height);
}

/* The tree in full takes the lower half, beside the suspects where there is room: photo, point in hand and
 * list stay in sight, and the entry does not move. In a look back nothing is entered: the path has the room. */
static void
arrange_chart (BlBenchLayout *self, int width, int y, int height)
{
  int suspects = width >= 1200 ? 236 : 0;

  for (BlPlace place = BL_PLACE_SUSPECTS; place <= BL_PLACE_LOG; place++)
    set (self, place, 0, 0, 0, 0);
  if (shows (self, BL_PLACE_PATH))
    {
      GtkAllocation *path = &self->at[BL_PLACE_PATH], *focus = &self->at[BL_PLACE_FOCUS];
      set (self, BL_PLACE_PATH, path->x, focus->y, path->width, path->y + path->height - focus->y);
      set (self, BL_PLACE_FOCUS, 0, 0, 0, 0);
    }
  if (suspects > 0)
    set (self, BL_PLACE_SUSPECTS, MARGIN, y, suspects, height);
  set (self, BL_PLACE_CHART, MARGIN + suspects + (suspects > 0 ? 20 : 0), y,
       width - 2 * MARGIN - suspects - (suspects > 0 ? 20 : 0), height);
}

static void
arrange (BlBenchLayout *self, int width, int height)
{
  int right_w = CLAMP (636 + (width - 1280) / 4, 400, 760), right_x, focus_h = 122, strip_h = 26;
  int lower = height < 460 ? 0 : CLAMP (height * 178 / 700, 120, 220), upper_end;

  if (width < 1280)
    right_w = MAX (width * 636 / 1280, 400);
  right_x = width - MARGIN - right_w;
  if (self->children[BL_PLACE_FOCUS] != NULL)
    {
      int minimum;
      gtk_widget_measure (self->children[BL_PLACE_FOCUS], GTK_ORIENTATION_VERTICAL, right_w, &minimum, NULL, NULL,
                          NULL);
      focus_h = MAX (focus_h, minimum);
    }
  if (self->children[BL_PLACE_STRIP] != NULL)
    gtk_widget_measure (self->children[BL_PLACE_STRIP], GTK_ORIENTATION_VERTICAL, right_x - GAP - MARGIN, &strip_h,
                        NULL, NULL, NULL);
  if (lower > 0 && shows (self, BL_PLACE_DRILL))
    {
      int needed, beside_log = width - 2 * MARGIN - 12 - CLAMP (right_w * 234 / 636, 200, 320);
      gtk_widget_measure (self->children[BL_PLACE_DRILL], GTK_ORIENTATION_VERTICAL, beside_log, &needed, NULL, NULL, NULL);
      lower = CLAMP (needed, lower, height / 2); /* its acts are not to be cut off */
    }
  if (self->enlarged == BL_PLACE_CHART && lower > 0)
    lower = MAX (lower, height * 54 / 100);
  memset (self->at, 0, sizeof self->at);
  self->lower_y = lower > 0 ? height - 6 - lower - 5 : 0;
  upper_end = lower > 0 ? self->lower_y - 6 : height - 6;
  set (self, BL_PLACE_STRIP, MARGIN, 8, right_x - GAP - MARGIN, strip_h);
  set (self, BL_PLACE_PHOTO, MARGIN, 12 + strip_h, right_x - GAP - MARGIN, upper_end - 12 - strip_h);
  for (int i = BL_PLACE_WHY; i <= BL_PLACE_TOLD; i++)
    if (shows (self, (BlPlace) i))
      set (self, (BlPlace) i, MARGIN, 8, right_x - GAP - MARGIN, upper_end - 8);
  set (self, BL_PLACE_FOCUS, right_x, 8, right_w, focus_h);
  set (self, shows (self, BL_PLACE_PATH) ? BL_PLACE_PATH : BL_PLACE_LIST, right_x, 8 + focus_h + 10, right_w,
       upper_end - focus_h - 18);
  if (lower > 0)
    arrange_lower (self, width, self->lower_y + 6, lower, right_x);
  if (self->enlarged == BL_PLACE_CHART && lower > 0)
    arrange_chart (self, width, self->lower_y + 6, lower);
  else if (self->enlarged != BL_N_PLACES)
    {
      set (self, BL_PLACE_LIST, 0, 0, 0, 0);
      set (self, BL_PLACE_PATH, 0, 0, 0, 0);
      self->at[BL_PLACE_DRILL].width = MIN (self->at[BL_PLACE_DRILL].width, right_x - GAP - MARGIN);
      set (self, BL_PLACE_TREE, 0, 0, 0, 0);
      set (self, BL_PLACE_LOG, 0, 0, 0, 0);
      set (self, self->enlarged, right_x, 8 + focus_h + 10, right_w, height - 6 - focus_h - 18);
    }
}

static void
bl_bench_layout_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  BlBenchLayout *self = BL_BENCH_LAYOUT (widget);

  arrange (self, width, height);
  for (int i = 0; i < BL_N_PLACES; i++)
    {
      GtkWidget *child = self->children[i];
      GtkAllocation *at = &self->at[i];
      int min_w, min_h;
      if (child == NULL)
        continue;
      gtk_widget_set_child_visible (child, at->width > 0 && at->height > 0);
      if (!gtk_widget_should_layout (child))
        continue;
      gtk_widget_measure (child, GTK_ORIENTATION_HORIZONTAL, -1, &min_w, NULL, NULL, NULL);
      at->width = MAX (at->width, min_w);
      gtk_widget_measure (child, GTK_ORIENTATION_VERTICAL, at->width, &min_h, NULL, NULL, NULL);
      at->height = MAX (at->height, min_h);
      gtk_widget_size_allocate (child, at, -1);
    }
}

static void
bl_bench_layout_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  BlBenchLayout *self = BL_BENCH_LAYOUT (widget);
  const BlColour *hairline = &bl_style_palette ()->hairline;
  GdkRGBA colour = { (float) hairline->red, (float) hairline->green, (float) hairline->blue, 1 };
  int width = gtk_widget_get_width (widget);

  if (self->lower_y > 0)
    {
      /* Where tree or log is enlarged the hairline ends at its side. */
      int end = self->enlarged != BL_N_PLACES && self->enlarged != BL_PLACE_CHART ? self->at[BL_PLACE_FOCUS].x - 8
                                                                                  : width - MARGIN;
      gtk_snapshot_append_color (snapshot, &colour,
                                 &GRAPHENE_RECT_INIT (MARGIN, self->lower_y, end - MARGIN, 1));
      for (BlPlace place = BL_PLACE_NEXT; place <= BL_PLACE_CHART; place++)
        if (self->at[place].width > 0 && self->at[place].x > MARGIN
            && (place != self->enlarged || place == BL_PLACE_CHART))
          gtk_snapshot_append_color (snapshot, &colour,
                                     &GRAPHENE_RECT_INIT (self->at[place].x - 10, self->lower_y + 8, 1,
                                                          self->at[place].height - 4));
    }
  GTK_WIDGET_CLASS (bl_bench_layout_parent_class)->snapshot (widget, snapshot);
}

static void
bl_bench_layout_dispose (GObject *object)
{
  BlBenchLayout *self = BL_BENCH_LAYOUT (object);

  for (int i = 0; i < BL_N_PLACES; i++)
    g_clear_pointer (&self->children[i], gtk_widget_unparent);
  G_OBJECT_CLASS (bl_bench_layout_parent_class)->dispose (object);
}

static void
bl_bench_layout_class_init (BlBenchLayoutClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_bench_layout_dispose;
  widget_class->measure = bl_bench_layout_measure;
  widget_class->size_allocate = bl_bench_layout_size_allocate;
  widget_class->snapshot = bl_bench_layout_snapshot;
}

static void
bl_bench_layout_init (BlBenchLayout *self)
{
  self->enlarged = BL_N_PLACES;
  bl_style_watch (GTK_WIDGET (self));
}

GtkWidget *
bl_bench_layout_new (void)
{
  return g_object_new (BL_TYPE_BENCH_LAYOUT, NULL);
}

void
bl_bench_layout_put (BlBenchLayout *self, BlPlace place, GtkWidget *child)
{
  g_return_if_fail (BL_IS_BENCH_LAYOUT (self) && place < BL_N_PLACES && self->children[place] == NULL);
  self->children[place] = child;
  gtk_widget_set_parent (child, GTK_WIDGET (self));
}

void
bl_bench_layout_enlarge (BlBenchLayout *self, BlPlace place)
{
  g_return_if_fail (BL_IS_BENCH_LAYOUT (self));
  self->enlarged = place;
  gtk_widget_queue_allocate (GTK_WIDGET (self));
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

BlPlace
bl_bench_layout_get_enlarged (BlBenchLayout *self)
{
  g_return_val_if_fail (BL_IS_BENCH_LAYOUT (self), BL_N_PLACES);
  return self->enlarged;
}
