/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Progress as bars with their counts. Ink only: colour is for verdicts. Each bar is as long as what was tried and filled
 * as far as it was right, so that much practice and good practice are seen apart. Some twenty rows at most. */
#include "config.h"

#include "bl-progress-chart.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#include "bl-style.h"

enum { WEEKS = 12, COLUMNS = 4 };
enum { TITLE = 118, COLUMN = 74, AWAY = 82, ROW = 32, HEAD = 24, BARS = 56, WEEK_FOOT = 36, BAR = 6, GAP = 12 }; /* px */

typedef struct
{
  char *title;
  gboolean head; /* then the rest says nothing */
  guint tried[COLUMNS], right[COLUMNS];
  double away; /* share of the effort; NAN: no drill */
} Row;

typedef struct
{
  guint32 monday;
  guint tried, right;
} Week;

struct _BlProgressChart
{
  GtkWidget parent_instance;

  GArray *rows; /* Row */
  Week weeks[WEEKS];
  guint most;   /* tries in one cell */
};

G_DEFINE_FINAL_TYPE (BlProgressChart, bl_progress_chart, GTK_TYPE_WIDGET)

static void
row_clear (gpointer data)
{
  g_free (((Row *) data)->title);
}

static const Row *
row_at (BlProgressChart *self, guint i)
{
  return &g_array_index (self->rows, Row, i);
}

/* --- words --- */

static const char *
column_word (int column)
{
  static const char *const words[COLUMNS] = { N_ ("way"), N_ ("reads"), N_ ("cases"), N_ ("drills") };
  return _ (words[column]);
}

static char *
day_words (guint32 day)
{
  GDate date;
  char text[32];

  g_date_clear (&date, 1);
  g_date_set_julian (&date, day);
  g_date_strftime (text, sizeof text, "%e %b", &date);
  return g_strdup (g_strstrip (text));
}

static char *
away_words (const Row *row)
{
  return isnan (row->away) ? g_strdup ("·") : g_strdup_printf (_ ("%.0f %%"), 100 * row->away);
}

static void
describe (BlProgressChart *self)
{
  g_autoptr (GString) words = g_string_new (NULL);

  for (guint i = 0; i < self->rows->len; i++)
    {
      const Row *row = row_at (self, i);
      g_string_append_printf (words, "%s: ", row->title);
      for (int c = 0; !row->head && c < COLUMNS; c++)
        if (row->tried[c] > 0)
          g_string_append_printf (words, _ ("%s %u of %u right, "), column_word (c), row->right[c], row->tried[c]);
      if (!row->head && !isnan (row->away))
        g_string_append_printf (words, _ ("%.0f per cent of the time given away. "), 100 * row->away);
    }
  bl_widget_name (GTK_WIDGET (self), words->str);
}

/* --- drawing --- */

static void
bl_progress_chart_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                           int *minimum_baseline, int *natural_baseline)
{
  BlProgressChart *self = BL_PROGRESS_CHART (widget);

  *minimum = *natural = TITLE + COLUMNS * COLUMN + AWAY;
  if (orientation == GTK_ORIENTATION_HORIZONTAL)
    return;
  *minimum = BARS + WEEK_FOOT;
  for (guint i = 0; i < self->rows->len; i++)
    *minimum += row_at (self, i)->head ? HEAD + GAP : ROW;
  *natural = *minimum;
}

static guint
most_of_weeks (BlProgressChart *self)
{
  guint most = 4; /* one try is not to look like much */

  for (int i = 0; i < WEEKS; i++)
    most = MAX (most, self->weeks[i].tried);
  return most;
}

static void
draw_week (BlProgressChart *self, cairo_t *cr, int i, double x, double pitch, guint most)
{
  const BlPalette *palette = bl_style_palette ();
  const Week *week = &self->weeks[i];
  double bar = 20, left = floor (x + (pitch - bar) / 2) + 0.5, foot = BARS - 0.5;
  double tried = ceil ((BARS - 16.0) * week->tried / most), right = ceil ((BARS - 16.0) * week->right / most);
  g_autofree char *count = g_strdup_printf ("%u", week->tried);
  /* Every third week has its day, and the last one its word. */
  g_autofree char *day = i == WEEKS - 1 ? g_strdup (_ ("this week")) : i % 3 == 2 && i < WEEKS - 2 ? day_words (week->monday) : NULL;

  if (week->tried > 0)
    {
      bl_set_source (cr, &palette->ink);
      cairo_set_line_width (cr, 1);
      cairo_rectangle (cr, left, foot - tried, bar, tried);
      cairo_stroke (cr);
      cairo_rectangle (cr, left - 0.5, foot - right, bar + 1, right);
      cairo_fill (cr);
      bl_style_text (GTK_WIDGET (self), cr, count, 11, 700, &palette->ink, left + bar / 2, foot - tried - 8, 0.5, 0);
    }
  if (day != NULL)
    bl_style_text (GTK_WIDGET (self), cr, day, 11, 400, &palette->muted, i == WEEKS - 1 ? x + pitch : left + bar / 2,
                   BARS + 10, i == WEEKS - 1 ? 1 : 0.5, 0);
}

static void
draw_weeks (BlProgressChart *self, cairo_t *cr, double width)
{
  const BlPalette *palette = bl_style_palette ();
  double pitch = (width - TITLE) / WEEKS;
  guint most = most_of_weeks (self);

  bl_style_text (GTK_WIDGET (self), cr, _ ("answers and drills"), 12, 400, &palette->muted, 0, BARS - 24, 0, TITLE - 8);
  bl_style_text (GTK_WIDGET (self), cr, _ ("filled: right"), 12, 400, &palette->muted, 0, BARS - 8, 0, TITLE - 8);
  bl_set_source (cr, &palette->edge);
  cairo_set_line_width (cr, 1);
  cairo_move_to (cr, TITLE, BARS - 0.5);
  cairo_line_to (cr, width, BARS - 0.5);
  cairo_stroke (cr);
  for (int i = 0; i < WEEKS; i++)
    draw_week (self, cr, i, TITLE + pitch * i, pitch, most);
}

static void
draw_cell (BlProgressChart *self, cairo_t *cr, const Row *row, int column, double x, double y)
{
  const BlPalette *palette = bl_style_palette ();
  g_autofree char *count = g_strdup_printf (_ ("%u of %u"), row->right[column], row->tried[column]);
  double all = COLUMN - 12, tried = ceil (all * row->tried[column] / self->most), right = ceil (all * row->right[column] / self->most);
  double bar = floor (y + ROW / 2.0 + 4) + 0.5;

  if (row->tried[column] == 0)
    {
      bl_style_text (GTK_WIDGET (self), cr, "·", 12, 400, &palette->muted, x, y + ROW / 2.0 - 4, 0, 0);
      return;
    }
  bl_style_text (GTK_WIDGET (self), cr, count, 12, 700, &palette->ink, x, y + ROW / 2.0 - 5, 0, 0);
  bl_set_source (cr, &palette->ink);
  cairo_set_line_width (cr, 1);
  cairo_rectangle (cr, x + 0.5, bar, MAX (tried - 1, 3), BAR);
  cairo_stroke (cr);
  cairo_rectangle (cr, x, bar, right, BAR);
  cairo_fill (cr);
}

static void
draw_head (BlProgressChart *self, cairo_t *cr, const Row *row, double y, double width)
{
  const BlPalette *palette = bl_style_palette ();
  double middle = y + GAP + HEAD / 2.0 - 2, line = floor (y + GAP + HEAD) - 0.5;

  bl_style_text (GTK_WIDGET (self), cr, row->title, 13, 700, &palette->ink, 0, middle, 0, TITLE - 8);
  for (int c = 0; c < COLUMNS; c++)
    bl_style_text (GTK_WIDGET (self), cr, column_word (c), 12, 400, &palette->muted, TITLE + COLUMN * c, middle, 0, 0);
  bl_style_text (GTK_WIDGET (self), cr, _ ("given away"), 12, 400, &palette->muted, TITLE + COLUMN * COLUMNS, middle, 0, 0);
  bl_set_source (cr, &palette->hairline);
  cairo_set_line_width (cr, 1);
  cairo_move_to (cr, 0, line);
  cairo_line_to (cr, width, line);
  cairo_stroke (cr);
}

static void
draw_row (BlProgressChart *self, cairo_t *cr, const Row *row, double y)
{
  const BlPalette *palette = bl_style_palette ();
  g_autofree char *away = away_words (row);

  bl_style_text (GTK_WIDGET (self), cr, row->title, 13, 400, &palette->ink, 0, y + ROW / 2.0, 0, TITLE - 8);
  for (int c = 0; c < COLUMNS; c++)
    draw_cell (self, cr, row, c, TITLE + COLUMN * c, y);
  bl_style_text (GTK_WIDGET (self), cr, away, 12, isnan (row->away) ? 400 : 700,
                 isnan (row->away) ? &palette->muted : &palette->ink, TITLE + COLUMN * COLUMNS, y + ROW / 2.0, 0, 0);
}

static void
bl_progress_chart_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  BlProgressChart *self = BL_PROGRESS_CHART (widget);
  int height = gtk_widget_get_height (widget);
  double width = TITLE + COLUMNS * COLUMN + AWAY, y = BARS + WEEK_FOOT;
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (0, 0, gtk_widget_get_width (widget), height));

  draw_weeks (self, cr, width);
  for (guint i = 0; i < self->rows->len; i++)
    {
      const Row *row = row_at (self, i);
      if (row->head)
        draw_head (self, cr, row, y, width);
      else
        draw_row (self, cr, row, y);
      y += row->head ? HEAD + GAP : ROW;
    }
  cairo_destroy (cr);
}

/* --- what is shown --- */

static void
add_rows (BlProgressChart *self, const char *title, GPtrArray *list)
{
  Row head = { .title = g_strdup (title), .head = TRUE };

  g_array_append_val (self->rows, head);
  for (guint i = 0; list != NULL && i < list->len; i++)
    {
      const BlResultsRow *from = g_ptr_array_index (list, i);
      Row row = { g_strdup (from->title), FALSE,
                  { from->way_tried, from->reads_tried, from->worked_tried, from->drills_tried },
                  { from->way_right, from->reads_right, from->worked_right, from->drills_right }, from->regret_share };
      for (int c = 0; c < COLUMNS; c++)
        self->most = MAX (self->most, row.tried[c]);
      g_array_append_val (self->rows, row);
    }
}

/* The weeks up to this one; what is older is in the rows alone. */
static void
set_weeks (BlProgressChart *self, const BlPracticeResults *results)
{
  GDate today;

  g_date_clear (&today, 1);
  g_date_set_julian (&today, results->today);
  guint32 monday = results->today - (guint32) (g_date_get_weekday (&today) - G_DATE_MONDAY);
  for (int i = 0; i < WEEKS; i++)
    self->weeks[i] = (Week){ monday - 7 * (guint32) (WEEKS - 1 - i), 0, 0 };
  for (guint i = 0; results->weeks != NULL && i < results->weeks->len; i++)
    {
      const BlResultsRow *row = g_ptr_array_index (results->weeks, i);
      for (int j = 0; j < WEEKS; j++)
        if (self->weeks[j].monday == row->week)
          {
            self->weeks[j].tried = bl_results_row_tried (row);
            self->weeks[j].right = bl_results_row_right (row);
          }
    }
}

void
bl_progress_chart_show (BlProgressChart *self, const BlPracticeResults *results)
{
  g_return_if_fail (BL_IS_PROGRESS_CHART (self));

  g_array_set_size (self->rows, 0);
  memset (self->weeks, 0, sizeof self->weeks);
  self->most = 4;
  if (results != NULL)
    {
      set_weeks (self, results);
      add_rows (self, _ ("Sections"), results->sections);
      if (results->families != NULL && results->families->len > 0)
        add_rows (self, _ ("Fault families"), results->families);
    }
  describe (self);
  gtk_widget_queue_resize (GTK_WIDGET (self));
}

guint
bl_progress_chart_n_rows (BlProgressChart *self, guint *n_weeks)
{
  g_return_val_if_fail (BL_IS_PROGRESS_CHART (self), 0);
  guint n = 0;

  for (guint i = 0; i < self->rows->len; i++)
    n += !row_at (self, i)->head;
  *n_weeks = 0;
  for (int i = 0; i < WEEKS; i++)
    *n_weeks += self->weeks[i].tried > 0;
  return n;
}

/* --- object --- */

static void
bl_progress_chart_finalize (GObject *object)
{
  g_array_unref (BL_PROGRESS_CHART (object)->rows);
  G_OBJECT_CLASS (bl_progress_chart_parent_class)->finalize (object);
}

static void
bl_progress_chart_class_init (BlProgressChartClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->finalize = bl_progress_chart_finalize;
  widget_class->measure = bl_progress_chart_measure;
  widget_class->snapshot = bl_progress_chart_snapshot;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_IMG);
}

static void
bl_progress_chart_init (BlProgressChart *self)
{
  self->rows = g_array_new (FALSE, FALSE, sizeof (Row));
  g_array_set_clear_func (self->rows, row_clear);
  self->most = 4;
  bl_style_watch (GTK_WIDGET (self));
}

GtkWidget *
bl_progress_chart_new (void)
{
  return g_object_new (BL_TYPE_PROGRESS_CHART, NULL);
}
