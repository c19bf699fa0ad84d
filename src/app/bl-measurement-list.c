/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The measurement list.
 *
 * Rows stay the same objects while the document's measurements stay, and are only refreshed; some
 * hundred of them are cheap because each is one drawn widget. Columns are computed here once for all
 * rows, from the width and the longest words, so that the lane is at one place. What is in band can be
 * folded into its section's head; the measurement in hand is never folded away. */
#include "config.h"

#include "bl-measurement-list.h"

#include <glib/gi18n-lib.h>

#include "bl-bench-equipment.h"
#include "bl-measurement-row.h"
#include "bl-style.h"

struct _BlMeasurementList
{
  GtkWidget parent_instance;

  BlBench *bench;
  BlColumns columns;
  GtkWidget *head, *scrolled, *box;
  GPtrArray *rows;     /* BlMeasurementRow of items, list order */
  GPtrArray *heads;    /* of sections, NULL-section last */
  GPtrArray *sections; /* char *, section id of each head; "" for none */
  gboolean folded, scroll_pending;
};

G_DEFINE_FINAL_TYPE (BlMeasurementList, bl_measurement_list, GTK_TYPE_WIDGET)

#define HEAD 18
#define CONTEXT 24 /* px shown above and below the row in hand */
#define ROWS_A_NOTCH 3 /* of the wheel */
#define BEFORE 58 /* width of the column of earlier readings */

static double
text_width (BlMeasurementList *self, const char *text, double px, int weight)
{
  g_autoptr (PangoLayout) layout = bl_style_layout (GTK_WIDGET (self), text, px, weight);
  int width;

  pango_layout_get_pixel_size (layout, &width, NULL);
  return width;
}

static void
update_columns (BlMeasurementList *self, int width)
{
  BlColumns *c = &self->columns;
  double id = 34, word = text_width (self, _ ("too close to call"), 13, 700), expected = 76, spare, reading = 54;
  gboolean before = FALSE;

  for (guint i = 0; i < self->rows->len; i++)
    {
      BlMeasurementItem *item = bl_measurement_row_get_item (g_ptr_array_index (self->rows, i));
      id = MAX (id, text_width (self, bl_measurement_item_get_name (item), 13, 700));
      expected = MAX (expected, text_width (self, bl_measurement_item_get_expected (item), 13, 400));
      word = MAX (word, text_width (self, bl_measurement_item_get_word (item), 13, 700));
      before = before || bl_measurement_item_get_before (item) != NULL;
    }
  id = MIN (id, 130);
  word = MIN (word, width * 0.2);
  expected = MIN (expected, width * 0.2);
  spare = MAX (0, width - 636);
  c->width = width;
  c->id = 6;
  c->title = c->id + id + 8;
  c->word = width - word - 2;
  c->shape = c->word - 14;
  c->reading_end = c->shape - 13;
  c->before_end = before ? c->reading_end - reading - 6 : 0;
  c->ruler_end = before ? c->before_end - BEFORE : c->reading_end - reading - 8;
  c->ruler = c->ruler_end - CLAMP (width * 0.214, 104, (before ? 108 : 136) + spare / 3);
  c->expected_end = c->ruler - 8;
  c->title_end = MAX (c->title + 40, c->expected_end - expected - 8);
  for (guint i = 0; i < self->rows->len; i++)
    bl_measurement_row_fit (g_ptr_array_index (self->rows, i));
}

/* Section of the rows at the top, or the list's own name. (transfer none) */
static const char *
top_title (BlMeasurementList *self)
{
  double top = gtk_adjustment_get_value (gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (self->scrolled)));
  const char *title = NULL;

  for (guint i = 0; i < self->heads->len; i++)
    {
      graphene_rect_t box;
      if (gtk_widget_compute_bounds (g_ptr_array_index (self->heads, i), self->box, &box) && box.origin.y < top)
        title = bl_measurement_row_get_title (g_ptr_array_index (self->heads, i));
    }
  return title != NULL ? title : _ ("Measurements");
}

static int
width_of (GtkWidget *widget, const char *text, double px, int weight)
{
  g_autoptr (PangoLayout) layout = bl_style_layout (widget, text, px, weight);
  int width;

  pango_layout_get_pixel_size (layout, &width, NULL);
  return width;
}

static void
draw_head (BlMeasurementList *self, GtkSnapshot *snapshot)
{
  const BlColumns *c = &self->columns;
  const BlPalette *palette = bl_style_palette ();
  GtkWidget *widget = GTK_WIDGET (self);
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (0, 0, (float) c->width, HEAD));
  double y = HEAD / 2.0 - 1, x;
  guint read = 0;
  g_autofree char *count = NULL;
  double room = c->expected_end - width_of (widget, _ ("expected"), 12, 400) - 24;

  for (guint i = 0; i < self->rows->len; i++)
    {
      BlMeasurementItem *item = bl_measurement_row_get_item (g_ptr_array_index (self->rows, i));
      read += bl_measurement_item_get_record (item) != NULL && !bl_measurement_item_is_old (item);
    }
  count = g_strdup_printf (ngettext ("%u of %u read", "%u of %u read", self->rows->len), read, self->rows->len);
  /* Where the head of the first section shown is scrolled away, its name stands here. In a narrow list the count says
   * less; then a name may be cut, a figure never: "9 of 25" is not what was read of 256. */
  if (width_of (widget, top_title (self), 13, 700) + width_of (widget, count, 12.5, 400) > room)
    {
      g_free (count);
      count = g_strdup_printf (_ ("%u of %u"), read, self->rows->len);
    }
  x = bl_style_text (widget, cr, top_title (self), 13, 700, &palette->ink, 0, y, 0,
                     MAX (40, room - width_of (widget, count, 12.5, 400))) + 12;
  bl_style_text (widget, cr, count, 12.5, 400, &palette->muted, x, y, 0, 0);
  bl_style_text (widget, cr, _ ("expected"), 12, 400, &palette->muted, c->expected_end, y, 1, 0);
  bl_style_text (widget, cr, _ ("band ruler"), 12, 400, &palette->muted, (c->ruler + c->ruler_end) / 2, y, 0.5, 0);
  bl_style_text (widget, cr, _ ("reading"), 12, 400, &palette->muted, c->reading_end, y, 1, 0);
  if (c->before_end > 0)
    bl_style_text (widget, cr, _ ("before"), 12, 400, &palette->muted, c->before_end, y, 1, 0);
  bl_style_text (widget, cr, _ ("verdict"), 12, 400, &palette->muted, c->word, y, 0, 0);
  cairo_destroy (cr);
}

/* The end of the last row that is whole in view, from the top of the rows shown. */
static double
whole_rows_end (BlMeasurementList *self)
{
  GtkAdjustment *adjustment = gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (self->scrolled));
  double top = gtk_adjustment_get_value (adjustment), page = gtk_adjustment_get_page_size (adjustment), end = 0;
  graphene_rect_t box;

  for (GtkWidget *child = gtk_widget_get_first_child (self->box); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    if (gtk_widget_get_visible (child) && gtk_widget_compute_bounds (child, self->box, &box)
        && box.origin.y + box.size.height - top <= page + 0.5)
      end = MAX (end, box.origin.y + box.size.height - top);
  return end;
}

/* No row is shown in part: half a figure is easily misread. */
static void
bl_measurement_list_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  BlMeasurementList *self = BL_MEASUREMENT_LIST (widget);
  double end = whole_rows_end (self);

  draw_head (self, snapshot);
  gtk_snapshot_push_clip (snapshot, &GRAPHENE_RECT_INIT (0, 0, (float) gtk_widget_get_width (widget),
                                                         end > 0 ? HEAD + (float) end
                                                                 : (float) gtk_widget_get_height (widget)));
  GTK_WIDGET_CLASS (bl_measurement_list_parent_class)->snapshot (widget, snapshot);
  gtk_snapshot_pop (snapshot);
}

static void
bl_measurement_list_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                             int *minimum_baseline, int *natural_baseline)
{
  *minimum = orientation == GTK_ORIENTATION_HORIZONTAL ? 400 : 64;
  *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? 636 : 364;
}

/* --- scrolling --- */

/* Where the row of an item lies in the list. FALSE: it has none. */
static gboolean
row_bounds (BlMeasurementList *self, BlMeasurementItem *item, graphene_rect_t *box)
{
  for (guint i = 0; item != NULL && i < self->rows->len; i++)
    if (bl_measurement_row_get_item (g_ptr_array_index (self->rows, i)) == item)
      return gtk_widget_compute_bounds (g_ptr_array_index (self->rows, i), self->box, box);
  return FALSE;
}

static BlMeasurementItem *
read_last (BlMeasurementList *self)
{
  GPtrArray *records = bl_bench_get_records (self->bench);
  const BlRecord *last = bl_len (records) > 0 ? bl_at (records, records->len - 1) : NULL;

  return last != NULL && last->kind == BL_RECORD_READING ? bl_bench_find (self->bench, last->subject) : NULL;
}

/* The row in hand and its neighbours come into view, with the row read just now where both have room:
 * its verdict is what one looks for. At the top a row begins, none is cut. */
static void
scroll_to_current (BlMeasurementList *self)
{
  GtkAdjustment *adjustment = gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (self->scrolled));
  double value = gtk_adjustment_get_value (adjustment), page = gtk_adjustment_get_page_size (adjustment);
  graphene_rect_t own, box;
  double first, last;

  if (self->bench == NULL || !row_bounds (self, bl_bench_get_current (self->bench), &own))
    return;
  first = own.origin.y - CONTEXT;
  last = own.origin.y + own.size.height + CONTEXT;
  if (row_bounds (self, read_last (self), &box) && last - box.origin.y <= page)
    first = MIN (first, box.origin.y);
  value = MIN (MAX (value, last - page), MAX (0, first));
  for (GtkWidget *child = gtk_widget_get_first_child (self->box); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    if (gtk_widget_get_visible (child) && gtk_widget_compute_bounds (child, self->box, &box)
        && box.origin.y >= value - 0.5)
      {
        gtk_adjustment_set_value (adjustment, box.origin.y);
        return;
      }
}

/* Where a row begins, the given number of rows from the one at the top. */
static void
scroll_rows (BlMeasurementList *self, int rows)
{
  GtkAdjustment *adjustment = gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (self->scrolled));
  double top = gtk_adjustment_get_value (adjustment);
  g_autoptr (GArray) starts = g_array_new (FALSE, FALSE, sizeof (double));
  int at = 0;

  for (GtkWidget *child = gtk_widget_get_first_child (self->box); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      graphene_rect_t box;
      double start;
      if (!gtk_widget_get_visible (child) || !gtk_widget_compute_bounds (child, self->box, &box))
        continue;
      start = box.origin.y;
      if (start <= top + 0.5)
        at = (int) starts->len;
      g_array_append_val (starts, start);
    }
  if (starts->len > 0)
    gtk_adjustment_set_value (adjustment, g_array_index (starts, double, CLAMP (at + rows, 0, (int) starts->len - 1)));
}

/* By whole rows, or the wheel would leave one cut at the top. */
static gboolean
wheeled (GtkEventControllerScroll *controller, double dx, double dy, BlMeasurementList *self)
{
  if (dy == 0)
    return GDK_EVENT_PROPAGATE;
  scroll_rows (self, dy > 0 ? ROWS_A_NOTCH : -ROWS_A_NOTCH);
  return GDK_EVENT_STOP;
}

static gboolean
scroll_later (GtkWidget *widget, GdkFrameClock *clock, gpointer data)
{
  BlMeasurementList *self = BL_MEASUREMENT_LIST (widget);

  self->scroll_pending = FALSE;
  scroll_to_current (self);
  return G_SOURCE_REMOVE;
}

static void
bl_measurement_list_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  BlMeasurementList *self = BL_MEASUREMENT_LIST (widget);

  update_columns (self, width);
  gtk_widget_size_allocate (self->scrolled, &(GtkAllocation){ 0, HEAD, width, MAX (1, height - HEAD) }, -1);
  if (!self->scroll_pending)
    gtk_widget_add_tick_callback (widget, scroll_later, NULL, NULL);
  self->scroll_pending = TRUE;
}

/* --- content --- */

static gboolean
is_good (BlMeasurementItem *item)
{
  const BlVerdict *verdict = bl_measurement_item_get_verdict (item);
  const BlBand *band = bl_measurement_item_get_band (item);

  return verdict != NULL && band != NULL && verdict->certain && verdict->best == band->good
         && !bl_measurement_item_is_old (item);
}

/* TRUE when every point read in the section stands at mains potential. */
static gboolean
all_hot (BlMeasurementList *self, const char *section)
{
  const BlBoard *board = bl_bench_get_board (self->bench);
  guint points = 0;

  for (guint i = 0; i < self->rows->len; i++)
    {
      BlMeasurementItem *item = bl_measurement_row_get_item (g_ptr_array_index (self->rows, i));
      const BlMeasurement *measurement = bl_measurement_item_get_measurement (item);
      const char *own = bl_measurement_item_get_section (item);
      const BlTestPoint *point = measurement->at != NULL ? bl_board_test_point (board, measurement->at) : NULL;
      if (g_strcmp0 (own != NULL ? own : "", section) != 0 || point == NULL)
        continue;
      points++;
      if (g_strcmp0 (point->ground, "hot") != 0 && g_strcmp0 (point->ground, "mains") != 0)
        return FALSE;
    }
  return points > 0;
}

static void
update_head (BlMeasurementList *self, guint index)
{
  BlMeasurementRow *head = g_ptr_array_index (self->heads, index);
  const char *section = g_ptr_array_index (self->sections, index);
  g_autoptr (GArray) shapes = g_array_new (FALSE, FALSE, sizeof (int));
  BlMeasurementItem *current = bl_bench_get_current (self->bench);
  g_autofree char *words = NULL;

  for (guint i = 0; i < self->rows->len; i++)
    {
      GtkWidget *row = g_ptr_array_index (self->rows, i);
      BlMeasurementItem *item = bl_measurement_row_get_item (BL_MEASUREMENT_ROW (row));
      const char *own = bl_measurement_item_get_section (item);
      gboolean fold = self->folded && is_good (item) && item != current;
      if (g_strcmp0 (own != NULL ? own : "", section) != 0)
        continue;
      gtk_widget_set_visible (row, !fold);
      if (fold)
        {
          int shape = bl_shape_for_verdict (bl_measurement_item_get_verdict (item), NULL);
          g_array_append_val (shapes, shape);
        }
    }
  if (shapes->len > 0)
    words = g_strdup_printf (ngettext ("%u in band, folded (Ctrl B)", "%u in band, folded (Ctrl B)", shapes->len),
                             shapes->len);
  if (all_hot (self, section) && shapes->len == 0)
    bl_measurement_row_set_head (head, _ ("at mains potential throughout"), TRUE, NULL);
  else
    bl_measurement_row_set_head (head, words, FALSE, shapes);
}

static void
refresh (BlMeasurementList *self)
{
  BlMeasurementItem *current = bl_bench_get_current (self->bench);

  for (guint i = 0; i < self->rows->len; i++)
    {
      BlMeasurementRow *row = g_ptr_array_index (self->rows, i);
      bl_measurement_row_update (row);
      bl_measurement_row_set_current (row, bl_measurement_row_get_item (row) == current);
      if (bl_measurement_row_get_item (row) != current)
        bl_measurement_row_set_preview (row, NULL, NULL);
    }
  for (guint i = 0; i < self->heads->len; i++)
    update_head (self, i);
  gtk_widget_queue_allocate (GTK_WIDGET (self));
}

static void
add_head (BlMeasurementList *self, const char *section)
{
  g_autofree char *title = bl_bench_section_title (self->bench, section);
  GtkWidget *head = bl_measurement_row_new_head (title, &self->columns);

  gtk_box_append (GTK_BOX (self->box), head);
  g_ptr_array_add (self->heads, head);
  g_ptr_array_add (self->sections, g_strdup (section != NULL ? section : ""));
}

static void
rebuild (BlMeasurementList *self)
{
  g_ptr_array_set_size (self->rows, 0);
  g_ptr_array_set_size (self->heads, 0);
  g_ptr_array_set_size (self->sections, 0);
  bl_widget_clear (self->box);
  if (self->bench == NULL)
    return;
  GListModel *model = bl_bench_get_measurements (self->bench);
  const char *last = NULL;
  for (guint i = 0; i < g_list_model_get_n_items (model); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (model, i);
      const char *section = bl_measurement_item_get_section (item);
      GtkWidget *row = bl_measurement_row_new (item, &self->columns);
      if (i == 0 || g_strcmp0 (section, last) != 0)
        add_head (self, section);
      last = section;
      gtk_box_append (GTK_BOX (self->box), row);
      g_ptr_array_add (self->rows, row);
    }
  refresh (self);
}

static gboolean
same_items (BlMeasurementList *self)
{
  GListModel *model = bl_bench_get_measurements (self->bench);

  if (g_list_model_get_n_items (model) != self->rows->len)
    return FALSE;
  for (guint i = 0; i < self->rows->len; i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (model, i);
      if (bl_measurement_row_get_item (g_ptr_array_index (self->rows, i)) != item)
        return FALSE;
    }
  return TRUE;
}

static void
bench_changed (BlMeasurementList *self)
{
  if (same_items (self))
    refresh (self);
  else
    rebuild (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
pressed (GtkGestureClick *gesture, int n_press, double x, double y, BlMeasurementList *self)
{
  GtkWidget *child = gtk_widget_pick (self->box, x, y, GTK_PICK_DEFAULT);

  if (BL_IS_MEASUREMENT_ROW (child) && bl_measurement_row_get_item (BL_MEASUREMENT_ROW (child)) != NULL)
    bl_bench_select (self->bench, bl_measurement_row_get_item (BL_MEASUREMENT_ROW (child)));
}

/* --- object --- */

static void
bl_measurement_list_dispose (GObject *object)
{
  BlMeasurementList *self = BL_MEASUREMENT_LIST (object);

  bl_measurement_list_set_bench (self, NULL);
  g_clear_pointer (&self->scrolled, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_measurement_list_parent_class)->dispose (object);
}

static void
bl_measurement_list_finalize (GObject *object)
{
  BlMeasurementList *self = BL_MEASUREMENT_LIST (object);

  g_ptr_array_unref (self->rows);
  g_ptr_array_unref (self->heads);
  g_ptr_array_unref (self->sections);
  G_OBJECT_CLASS (bl_measurement_list_parent_class)->finalize (object);
}

static void
bl_measurement_list_class_init (BlMeasurementListClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_measurement_list_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_measurement_list_finalize;
  widget_class->snapshot = bl_measurement_list_snapshot;
  widget_class->measure = bl_measurement_list_measure;
  widget_class->size_allocate = bl_measurement_list_size_allocate;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
bl_measurement_list_init (BlMeasurementList *self)
{
  GtkGesture *click = gtk_gesture_click_new ();
  GtkEventController *wheel = gtk_event_controller_scroll_new (GTK_EVENT_CONTROLLER_SCROLL_VERTICAL
                                                               | GTK_EVENT_CONTROLLER_SCROLL_DISCRETE);

  self->rows = g_ptr_array_new ();
  self->heads = g_ptr_array_new ();
  self->sections = g_ptr_array_new_with_free_func (g_free);
  self->box = g_object_new (GTK_TYPE_BOX, "orientation", GTK_ORIENTATION_VERTICAL, "accessible-role",
                            GTK_ACCESSIBLE_ROLE_LIST, NULL);
  bl_widget_name (self->box, _ ("Measurements"));
  g_signal_connect (click, "pressed", G_CALLBACK (pressed), self);
  gtk_widget_add_controller (self->box, GTK_EVENT_CONTROLLER (click));
  self->scrolled = gtk_scrolled_window_new ();
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (self->scrolled), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scrolled), self->box);
  g_signal_connect_object (gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (self->scrolled)), "value-changed",
                           G_CALLBACK (gtk_widget_queue_draw), self, G_CONNECT_SWAPPED);
  gtk_event_controller_set_propagation_phase (wheel, GTK_PHASE_CAPTURE);
  g_signal_connect (wheel, "scroll", G_CALLBACK (wheeled), self);
  gtk_widget_add_controller (GTK_WIDGET (self), wheel);
  /* So that the last rows, too, can be scrolled to where a row begins at the top. */
  gtk_widget_set_margin_bottom (self->box, 36);
  gtk_widget_set_parent (self->scrolled, GTK_WIDGET (self));
  bl_style_watch (GTK_WIDGET (self));
}

GtkWidget *
bl_measurement_list_new (void)
{
  return g_object_new (BL_TYPE_MEASUREMENT_LIST, NULL);
}

void
bl_measurement_list_set_bench (BlMeasurementList *self, BlBench *bench)
{
  g_return_if_fail (BL_IS_MEASUREMENT_LIST (self));
  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_set_object (&self->bench, bench);
  if (bench != NULL)
    {
      g_signal_connect_object (bench, "changed", G_CALLBACK (bench_changed), self, G_CONNECT_SWAPPED);
      g_signal_connect_object (bench, "notify::current", G_CALLBACK (bench_changed), self, G_CONNECT_SWAPPED);
    }
  if (self->scrolled != NULL)
    rebuild (self);
}

void
bl_measurement_list_set_folded (BlMeasurementList *self, gboolean folded)
{
  g_return_if_fail (BL_IS_MEASUREMENT_LIST (self));
  self->folded = folded;
  if (self->bench != NULL)
    refresh (self);
}

gboolean
bl_measurement_list_get_folded (BlMeasurementList *self)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_LIST (self), FALSE);
  return self->folded;
}

void
bl_measurement_list_set_preview (BlMeasurementList *self, const BlReading *reading, const BlVerdict *verdict)
{
  g_return_if_fail (BL_IS_MEASUREMENT_LIST (self));
  BlMeasurementItem *current = self->bench != NULL ? bl_bench_get_current (self->bench) : NULL;

  for (guint i = 0; i < self->rows->len; i++)
    {
      BlMeasurementRow *row = g_ptr_array_index (self->rows, i);
      gboolean here = current != NULL && bl_measurement_row_get_item (row) == current;
      bl_measurement_row_set_preview (row, here ? reading : NULL, here ? verdict : NULL);
    }
}
