/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Months as bars with their counts below. Ink only: colour is for verdicts. The counts stand under the bars so that
 * nobody has to read a height off an axis; the axis is there to compare. What is counted and for how long stands above,
 * and each line of counts shows what its bar looks like. */
#include "config.h"

#include "bl-months-chart.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-format.h"
#include "bl-style.h"

enum { BARS = 112, TOP = 28, LINE = 18, HEAD = 112, SWATCH = 18, MOST_WIDTH = 64 }; /* px */

typedef struct
{
  char *name, *year; /* year: NULL where it is that of the column before */
  guint counts[3];   /* taken in, ended, came back */
} Column;

struct _BlMonthsChart
{
  GtkWidget parent_instance;

  GArray *columns; /* Column */
  char *caption;   /* "Jobs per month" */
  gboolean bars;
};

G_DEFINE_FINAL_TYPE (BlMonthsChart, bl_months_chart, GTK_TYPE_WIDGET)

static void
column_clear (gpointer data)
{
  Column *column = data;

  g_free (column->name);
  g_free (column->year);
}

static const Column *
column_at (BlMonthsChart *self, guint i)
{
  return &g_array_index (self->columns, Column, i);
}

/* Years have no line of their own where they are the columns. */
static int
first_line (BlMonthsChart *self)
{
  return self->columns->len > 0 && column_at (self, 0)->year != NULL ? 2 : 1;
}

static int
n_lines_height (BlMonthsChart *self)
{
  return (self->bars ? BARS : 0) + TOP + (first_line (self) + 3) * LINE;
}

static const char *
line_word (int line)
{
  return line == 0 ? _ ("taken in") : line == 1 ? _ ("ended") : _ ("came back");
}

/* --- drawing --- */

static void
bl_months_chart_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                         int *minimum_baseline, int *natural_baseline)
{
  BlMonthsChart *self = BL_MONTHS_CHART (widget);

  if (orientation == GTK_ORIENTATION_HORIZONTAL)
    {
      *minimum = HEAD + 20 * (int) self->columns->len;
      *natural = HEAD + 40 * (int) self->columns->len;
    }
  else
    *minimum = *natural = n_lines_height (self);
}

/* The step of the axis: 1, 2, 5, 10 ... so that there are five at most. */
static guint
axis_step (guint most)
{
  guint step = 1;

  for (guint i = 0; most > 5 * step; i++)
    step = i % 3 == 1 ? step * 5 / 2 : step * 2;
  return step;
}

static guint
most_count (BlMonthsChart *self)
{
  guint most = 1;

  for (guint i = 0; i < self->columns->len; i++)
    most = MAX (most, MAX (column_at (self, i)->counts[0], column_at (self, i)->counts[1]));
  return most;
}

static void
draw_axis (BlMonthsChart *self, cairo_t *cr, guint most, double width)
{
  const BlPalette *palette = bl_style_palette ();
  guint step = axis_step (most);

  for (guint n = 0; n <= most; n += step)
    {
      double y = floor (TOP + BARS - (double) BARS * n / most) + 0.5;
      g_autofree char *text = g_strdup_printf ("%u", n);
      bl_set_source (cr, n == 0 ? &palette->edge : &palette->hairline);
      cairo_set_line_width (cr, 1);
      cairo_move_to (cr, HEAD, y);
      cairo_line_to (cr, HEAD + width * self->columns->len, y);
      cairo_stroke (cr);
      bl_style_text (GTK_WIDGET (self), cr, text, 11, 400, &palette->muted, HEAD - 8, y, 1, 0);
    }
}

/* The outline of what was taken in, the hatched part of it, or the full bar of what ended. */
static void
draw_bar (cairo_t *cr, int line, double left, double foot, double width, double height)
{
  if (line == 0 && height > 0)
    {
      cairo_rectangle (cr, left, foot - height + 0.5, width - 1, height);
      cairo_stroke (cr);
    }
  else if (line == 1)
    {
      cairo_rectangle (cr, left + 0.5, foot - height, width, height);
      cairo_fill (cr);
    }
  else
    for (double y = foot - 2; y > foot - height; y -= 4)
      {
        cairo_move_to (cr, left, y + 0.5);
        cairo_line_to (cr, left + width - 1, y + 0.5);
        cairo_stroke (cr);
      }
}

/* What came back of the ones taken in is the hatched foot of their outline. */
static void
draw_bars (cairo_t *cr, const Column *column, guint most, double x, double width)
{
  const BlPalette *palette = bl_style_palette ();
  double bar = floor (MIN (width * 0.38, 22)), left = floor (x + width / 2 - bar) - 0.5, foot = TOP + BARS;

  bl_set_source (cr, &palette->ink);
  cairo_set_line_width (cr, 1);
  for (int line = 0; line < 3; line++)
    draw_bar (cr, line, line == 1 ? left + bar : left, foot, bar, floor ((double) BARS * column->counts[line] / most));
}

/* The words before the lines of counts, each with what its bar looks like. */
static void
draw_heads (BlMonthsChart *self, cairo_t *cr, double y)
{
  const BlPalette *palette = bl_style_palette ();

  for (int line = 0; line < 3; line++)
    {
      double middle = y + (first_line (self) + line) * LINE;
      bl_set_source (cr, &palette->ink);
      cairo_set_line_width (cr, 1);
      if (self->bars)
        draw_bar (cr, line, 0.5, floor (middle) + 5, 12, 10);
      bl_style_text (GTK_WIDGET (self), cr, line_word (line), 12, 400, &palette->muted, self->bars ? SWATCH : 0, middle, 0,
                     HEAD - 8 - SWATCH);
    }
}

static void
draw_counts (BlMonthsChart *self, cairo_t *cr, guint place, double x, double width, double y)
{
  const BlPalette *palette = bl_style_palette ();
  const Column *column = column_at (self, place);

  bl_style_text (GTK_WIDGET (self), cr, column->name, 11, 400, &palette->muted, x + width / 2, y, 0.5, 0);
  if (column->year != NULL)
    bl_style_text (GTK_WIDGET (self), cr, column->year, 11, 700, &palette->ink, x + width / 2, y + LINE, 0.5, 0);
  for (int line = 0; line < 3; line++)
    {
      g_autofree char *text = column->counts[line] > 0 ? g_strdup_printf ("%u", column->counts[line]) : g_strdup ("·");
      bl_style_text (GTK_WIDGET (self), cr, text, 12, column->counts[line] > 0 ? 700 : 400,
                     column->counts[line] > 0 ? &palette->ink : &palette->muted, x + width / 2,
                     y + (first_line (self) + line) * LINE, 0.5, 0);
    }
}

static void
bl_months_chart_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  BlMonthsChart *self = BL_MONTHS_CHART (widget);
  const BlPalette *palette = bl_style_palette ();
  int all = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  guint most = most_count (self);
  double width = self->columns->len > 0 ? MIN ((double) (all - HEAD) / self->columns->len, MOST_WIDTH) : 0;
  double y = TOP + (self->bars ? BARS : 0) + LINE / 2.0;

  if (self->columns->len == 0)
    return;
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (0, 0, all, height));
  bl_style_text (widget, cr, self->caption, 13, 700, &palette->ink, 0, LINE / 2.0, 0, all);
  if (self->bars)
    draw_axis (self, cr, most, width);
  for (guint i = 0; i < self->columns->len; i++)
    {
      if (self->bars)
        draw_bars (cr, column_at (self, i), most, HEAD + width * i, width);
      draw_counts (self, cr, i, HEAD + width * i, width, y);
    }
  draw_heads (self, cr, y);
  cairo_destroy (cr);
}

/* --- what is shown --- */

static char *
month_name (int month)
{
  g_autoptr (GDateTime) date = g_date_time_new_local (2001, month, 1, 12, 0, 0);
  return g_date_time_format (date, "%b");
}

static void
add_column (BlMonthsChart *self, const BlNumbersMonth *month, int step, int *year)
{
  Column column = { NULL, NULL, { 0, 0, 0 } };

  column.name = step == 12  ? g_strdup_printf ("%d", month->year)
                : step == 3 ? g_strdup_printf (_ ("Q%d"), (month->month + 2) / 3)
                            : month_name (month->month);
  if (step < 12 && month->year != *year)
    column.year = g_strdup_printf ("%d", month->year);
  *year = month->year;
  g_array_append_val (self->columns, column);
}

/* The counts as a table in words. */
static char *
spoken (BlMonthsChart *self)
{
  g_autoptr (GString) words = g_string_new (self->caption);
  const char *year = "";

  g_string_append (words, ". ");
  for (guint i = 0; i < self->columns->len; i++)
    {
      const Column *column = column_at (self, i);
      year = column->year != NULL ? column->year : year;
      g_string_append_printf (words, _ ("%s %s: taken in %u, ended %u, came back %u. "), column->name, year,
                              column->counts[0], column->counts[1], column->counts[2]);
    }
  return g_string_free (g_steal_pointer (&words), FALSE);
}

/* A period begins within its first column, which has less of it than the others. (transfer full) */
static char *
caption_of (int step, const BlNumbers *numbers)
{
  const char *unit = step == 12 ? _ ("Jobs per year") : step == 3 ? _ ("Jobs per quarter") : _ ("Jobs per month");
  g_autofree char *day = numbers->ask.from > 0 ? bl_format_day (numbers->ask.from, 0) : NULL;

  if (day == NULL)
    return g_strdup (unit);
  /* Translators: "Jobs per month, counted from 26 Nov 2025 on". */
  return g_strdup_printf (_ ("%s, counted from %s on"), unit, day);
}

void
bl_months_chart_show (BlMonthsChart *self, const BlNumbers *numbers)
{
  g_return_if_fail (BL_IS_MONTHS_CHART (self) && numbers != NULL);
  guint n = numbers->months->len;
  int step = n > 96 ? 12 : n > 24 ? 3 : 1, year = 0, place = -1;

  g_array_set_size (self->columns, 0);
  self->bars = numbers->ended >= BL_NUMBERS_FEW;
  for (guint i = 0; i < n; i++)
    {
      const BlNumbersMonth *month = &g_array_index (numbers->months, BlNumbersMonth, i);
      int now = (12 * month->year + month->month - 1) / step;
      if (now != place)
        add_column (self, month, step, &year);
      place = now;
      Column *column = &g_array_index (self->columns, Column, self->columns->len - 1);
      column->counts[0] += month->received;
      column->counts[1] += month->ended;
      column->counts[2] += month->came_back;
    }
  g_free (self->caption);
  self->caption = caption_of (step, numbers);
  g_autofree char *words = spoken (self);
  bl_widget_name (GTK_WIDGET (self), words);
  gtk_widget_queue_resize (GTK_WIDGET (self));
}

const char *
bl_months_chart_caption (BlMonthsChart *self)
{
  g_return_val_if_fail (BL_IS_MONTHS_CHART (self), NULL);
  return self->caption;
}

guint
bl_months_chart_n_columns (BlMonthsChart *self, gboolean *bars)
{
  g_return_val_if_fail (BL_IS_MONTHS_CHART (self), 0);
  if (bars != NULL)
    *bars = self->bars;
  return self->columns->len;
}

/* --- object --- */

static void
bl_months_chart_finalize (GObject *object)
{
  g_array_unref (BL_MONTHS_CHART (object)->columns);
  g_free (BL_MONTHS_CHART (object)->caption);
  G_OBJECT_CLASS (bl_months_chart_parent_class)->finalize (object);
}

static void
bl_months_chart_class_init (BlMonthsChartClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->finalize = bl_months_chart_finalize;
  widget_class->measure = bl_months_chart_measure;
  widget_class->snapshot = bl_months_chart_snapshot;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
}

static void
bl_months_chart_init (BlMonthsChart *self)
{
  self->columns = g_array_new (FALSE, FALSE, sizeof (Column));
  g_array_set_clear_func (self->columns, column_clear);
  bl_style_watch (GTK_WIDGET (self));
}

GtkWidget *
bl_months_chart_new (void)
{
  return g_object_new (BL_TYPE_MONTHS_CHART, NULL);
}
