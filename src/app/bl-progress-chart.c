/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Progress as rows of small bars, one for each week. Ink only: colour is for verdicts. What stands at the right is the
 * whole in words, so that nobody has to count bars; the bars show whether it goes up. Some ten to thirty rows. */
#include "config.h"

#include "bl-progress-chart.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-style.h"

enum { ROW = 32, HEAD_ROW = 26, TITLE = 132, WORDS = 142, BAR = 22, LEAST_WEEK = 8, USUAL_WEEK = 18 }; /* px */

typedef struct
{
  char *title;
  gboolean head; /* then the rest says nothing */
  BlProgressTopic topic;
} Row;

struct _BlProgressChart
{
  GtkWidget parent_instance;

  GArray *rows; /* Row */
  guint most;   /* of one week */
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

static char *
count_words (const BlProgressTopic *topic)
{
  if (topic->tried == 0)
    return g_strdup (_ ("not yet"));
  return g_strdup_printf (_ ("%u of %u right"), topic->right, topic->tried);
}

/* NULL: nothing to say. */
static char *
second_words (const BlProgressTopic *topic)
{
  if (topic->due && !isnan (topic->given_away))
    return g_strdup_printf (_ ("due · gave away %.0f %%"), 100 * topic->given_away);
  if (topic->due)
    return g_strdup (_ ("due today"));
  if (isnan (topic->given_away))
    return NULL;
  return g_strdup_printf (_ ("gave away %.0f %%"), 100 * topic->given_away);
}

static void
describe (BlProgressChart *self)
{
  g_autoptr (GString) words = g_string_new (NULL);

  for (guint i = 0; i < self->rows->len; i++)
    {
      const Row *row = row_at (self, i);
      g_autofree char *count = row->head ? NULL : count_words (&row->topic);
      g_autofree char *second = row->head ? NULL : second_words (&row->topic);
      g_string_append_printf (words, row->head ? "%s. " : "%s: ", row->title);
      if (count != NULL)
        g_string_append_printf (words, second != NULL ? "%s, %s. " : "%s. ", count, second);
    }
  bl_widget_name (GTK_WIDGET (self), words->str);
}

/* --- drawing --- */

static void
bl_progress_chart_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                           int *minimum_baseline, int *natural_baseline)
{
  BlProgressChart *self = BL_PROGRESS_CHART (widget);

  if (orientation == GTK_ORIENTATION_HORIZONTAL)
    {
      *minimum = TITLE + WORDS + BL_PROGRESS_WEEKS * LEAST_WEEK;
      *natural = TITLE + WORDS + BL_PROGRESS_WEEKS * USUAL_WEEK;
      return;
    }
  *minimum = 0;
  for (guint i = 0; i < self->rows->len; i++)
    *minimum += row_at (self, i)->head ? HEAD_ROW : ROW;
  *natural = *minimum;
}

static void
draw_weeks (BlProgressChart *self, cairo_t *cr, const BlProgressTopic *topic, double y, double width)
{
  const BlPalette *palette = bl_style_palette ();
  double foot = floor (y + ROW - 5) + 0.5, bar = floor (MIN (width - 3, 16));

  bl_set_source (cr, &palette->hairline);
  cairo_set_line_width (cr, 1);
  cairo_move_to (cr, TITLE, foot);
  cairo_line_to (cr, TITLE + width * BL_PROGRESS_WEEKS, foot);
  cairo_stroke (cr);
  bl_set_source (cr, &palette->ink);
  for (guint i = 0; i < BL_PROGRESS_WEEKS; i++)
    {
      double x = floor (TITLE + width * i) + 0.5;
      double tried = ceil ((double) BAR * topic->tried_in[i] / self->most);
      double right = ceil ((double) BAR * topic->right_in[i] / self->most);
      if (topic->tried_in[i] == 0)
        continue;
      cairo_rectangle (cr, x, foot - tried, bar, tried);
      cairo_stroke (cr);
      cairo_rectangle (cr, x, foot - right, bar, right);
      cairo_fill (cr);
    }
}

static void
draw_row (BlProgressChart *self, cairo_t *cr, const Row *row, double y, double width, double all)
{
  const BlPalette *palette = bl_style_palette ();
  GtkWidget *widget = GTK_WIDGET (self);
  g_autofree char *count = count_words (&row->topic), *second = second_words (&row->topic);
  double middle = y + ROW / 2.0, left = all - WORDS + 8;

  bl_style_text (widget, cr, row->title, 13, row->topic.due ? 700 : 400, &palette->ink, 0, middle, 0, TITLE - 8);
  draw_weeks (self, cr, &row->topic, y, width);
  bl_style_text (widget, cr, count, 12.5, row->topic.tried > 0 ? 700 : 400,
                 row->topic.tried > 0 ? &palette->ink : &palette->muted, left, second != NULL ? middle - 8 : middle, 0,
                 WORDS - 8);
  if (second != NULL)
    bl_style_text (widget, cr, second, 12, 400, &palette->muted, left, middle + 7, 0, WORDS - 8);
}

static void
draw_head (BlProgressChart *self, cairo_t *cr, const Row *row, double y, double width)
{
  const BlPalette *palette = bl_style_palette ();
  double middle = y + HEAD_ROW / 2.0 + 3;

  bl_style_text (GTK_WIDGET (self), cr, row->title, 13, 700, &palette->ink, 0, middle, 0, TITLE - 8);
  bl_style_text (GTK_WIDGET (self), cr, _ ("12 weeks ago"), 11, 400, &palette->muted, TITLE, middle, 0, 0);
  bl_style_text (GTK_WIDGET (self), cr, _ ("this week"), 11, 400, &palette->muted, TITLE + width * BL_PROGRESS_WEEKS, middle,
                 1, 0);
}

static void
bl_progress_chart_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  BlProgressChart *self = BL_PROGRESS_CHART (widget);
  int all = gtk_widget_get_width (widget), height = gtk_widget_get_height (widget);
  double width = MIN ((double) (all - TITLE - WORDS) / BL_PROGRESS_WEEKS, 28), y = 0;
  cairo_t *cr = gtk_snapshot_append_cairo (snapshot, &GRAPHENE_RECT_INIT (0, 0, all, height));

  for (guint i = 0; i < self->rows->len; i++)
    {
      const Row *row = row_at (self, i);
      if (row->head)
        draw_head (self, cr, row, y, width);
      else
        draw_row (self, cr, row, y, width, TITLE + width * BL_PROGRESS_WEEKS + WORDS);
      y += row->head ? HEAD_ROW : ROW;
    }
  cairo_destroy (cr);
}

/* --- what is shown --- */

void
bl_progress_chart_clear (BlProgressChart *self)
{
  g_return_if_fail (BL_IS_PROGRESS_CHART (self));
  g_array_set_size (self->rows, 0);
  self->most = 4; /* one try is not to look like much */
  describe (self);
  gtk_widget_queue_resize (GTK_WIDGET (self));
}

static void
append (BlProgressChart *self, const Row *row)
{
  g_array_append_vals (self->rows, row, 1);
  describe (self);
  gtk_widget_queue_resize (GTK_WIDGET (self));
}

void
bl_progress_chart_add_head (BlProgressChart *self, const char *title)
{
  g_return_if_fail (BL_IS_PROGRESS_CHART (self) && title != NULL);
  Row row = { g_strdup (title), TRUE, { 0 } };

  append (self, &row);
}

void
bl_progress_chart_add (BlProgressChart *self, const BlProgressTopic *topic)
{
  g_return_if_fail (BL_IS_PROGRESS_CHART (self) && topic != NULL);
  Row row = { g_strdup (topic->title), FALSE, *topic };

  row.topic.title = NULL;
  for (guint i = 0; i < BL_PROGRESS_WEEKS; i++)
    self->most = MAX (self->most, topic->tried_in[i]);
  append (self, &row);
}

guint
bl_progress_chart_n_topics (BlProgressChart *self)
{
  g_return_val_if_fail (BL_IS_PROGRESS_CHART (self), 0);
  guint n = 0;

  for (guint i = 0; i < self->rows->len; i++)
    n += !row_at (self, i)->head;
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
