/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The head of a round of questions. Squares, not the verdict shapes: those are about boards. */
#include "config.h"

#include "bl-round-head.h"

#include <adwaita.h>
#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-style.h"

enum { SQUARE = 12, PITCH = 16, MOST_SQUARES = 24 }; /* px; more than so many are counted only */

struct _BlRoundHead
{
  GtkWidget parent_instance;

  GtkWidget *box, *count, *area, *words;
  GArray *marks; /* BlQuizMark */
};

enum { LEFT, N_SIGNALS };
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlRoundHead, bl_round_head, GTK_TYPE_WIDGET)

const char *
bl_round_mark_word (BlQuizMark mark)
{
  return mark == BL_QUIZ_RIGHT ? _ ("right") : mark == BL_QUIZ_NEAR ? _ ("near") : _ ("not right");
}

static void
draw_mark (cairo_t *cr, BlQuizMark mark, double x, double y)
{
  bl_set_source (cr, &bl_style_palette ()->ink);
  cairo_set_line_width (cr, 1.5);
  cairo_rectangle (cr, x + 0.75, y + 0.75, SQUARE - 1.5, SQUARE - 1.5);
  cairo_stroke (cr);
  if (mark == BL_QUIZ_WRONG)
    return;
  cairo_rectangle (cr, x, y, mark == BL_QUIZ_NEAR ? SQUARE / 2.0 : SQUARE, SQUARE);
  cairo_fill (cr);
}

static void
draw_marks (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  BlRoundHead *self = data;
  guint from = self->marks->len > MOST_SQUARES ? self->marks->len - MOST_SQUARES : 0;

  for (guint i = from; i < self->marks->len; i++)
    draw_mark (cr, g_array_index (self->marks, BlQuizMark, i), PITCH * (double) (i - from), (height - SQUARE) / 2.0);
}

static void
draw_one (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer data)
{
  draw_mark (cr, (BlQuizMark) GPOINTER_TO_INT (data), (width - SQUARE) / 2.0, (height - SQUARE) / 2.0);
}

GtkWidget *
bl_round_mark_new (BlQuizMark mark)
{
  GtkWidget *area = gtk_drawing_area_new ();

  gtk_drawing_area_set_content_width (GTK_DRAWING_AREA (area), SQUARE + 4);
  gtk_drawing_area_set_content_height (GTK_DRAWING_AREA (area), SQUARE + 4);
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (area), draw_one, GINT_TO_POINTER (mark), NULL);
  gtk_widget_set_valign (area, GTK_ALIGN_CENTER);
  bl_style_watch (area);
  return area;
}

void
bl_round_keys_show (GtkWidget *strip, const char *const *keys)
{
  bl_widget_clear (strip);
  for (guint i = 0; keys[i] != NULL; i += 2)
    {
      if (keys[i + 1] == NULL)
        continue;
      GtkWidget *words = bl_label (keys[i + 1], NULL, 0);
      gtk_box_append (GTK_BOX (strip), bl_key_cap (keys[i]));
      gtk_widget_set_margin_end (words, 8);
      gtk_box_append (GTK_BOX (strip), words);
    }
}

GtkWidget *
bl_round_keys_new (const char *const *keys)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);

  bl_round_keys_show (box, keys);
  gtk_widget_add_css_class (box, "key-strip");
  return box;
}

void
bl_round_head_count (BlRoundHead *self, guint now, guint n)
{
  g_return_if_fail (BL_IS_ROUND_HEAD (self));
  g_autofree char *words = now > n ? g_strdup (_ ("done")) : g_strdup_printf (_ ("%u of %u"), now, n);

  gtk_label_set_label (GTK_LABEL (self->count), words);
}

void
bl_round_head_marks (BlRoundHead *self, const BlQuizMark *marks, guint n)
{
  g_return_if_fail (BL_IS_ROUND_HEAD (self));
  guint counts[3] = { 0 };

  g_array_set_size (self->marks, 0);
  g_array_append_vals (self->marks, marks, n);
  for (guint i = 0; i < n; i++)
    counts[marks[i]]++;
  g_autofree char *words = g_strdup_printf (_ ("%u right, %u near, %u not right"), counts[BL_QUIZ_RIGHT],
                                            counts[BL_QUIZ_NEAR], counts[BL_QUIZ_WRONG]);
  gtk_label_set_label (GTK_LABEL (self->words), n > 0 ? words : "");
  gtk_drawing_area_set_content_width (GTK_DRAWING_AREA (self->area), PITCH * (int) MIN (n, MOST_SQUARES));
  gtk_widget_queue_draw (self->area);
}

void
bl_round_head_show (BlRoundHead *self, BlQuizRound *round)
{
  g_return_if_fail (BL_IS_ROUND_HEAD (self) && BL_IS_QUIZ_ROUND (round));
  g_autoptr (GArray) marks = g_array_new (FALSE, FALSE, sizeof (BlQuizMark));
  guint now, n;

  for (guint i = 0; bl_quiz_round_at (round, i) != NULL; i++)
    {
      const BlQuizJudgement *judged = bl_quiz_round_judged (round, i);
      if (judged != NULL)
        g_array_append_val (marks, judged->mark);
    }
  bl_quiz_round_count (round, &now, &n);
  bl_round_head_count (self, bl_quiz_round_question (round) != NULL ? now : n + 1, n);
  bl_round_head_marks (self, (const BlQuizMark *) (gpointer) marks->data, marks->len);
}

/* --- object --- */

static void
leave (BlRoundHead *self)
{
  g_signal_emit (self, signals[LEFT], 0);
}

static void
bl_round_head_dispose (GObject *object)
{
  BlRoundHead *self = BL_ROUND_HEAD (object);

  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_pointer (&self->marks, g_array_unref);
  G_OBJECT_CLASS (bl_round_head_parent_class)->dispose (object);
}

static void
bl_round_head_class_init (BlRoundHeadClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_round_head_dispose;
  signals[LEFT] = g_signal_new ("left", BL_TYPE_ROUND_HEAD, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
}

static void
bl_round_head_init (BlRoundHead *self)
{
  self->marks = g_array_new (FALSE, FALSE, sizeof (BlQuizMark));
  self->box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  self->count = bl_label ("", "strong figures", 0);
  self->words = bl_label ("", "muted", 0);
  self->area = gtk_drawing_area_new ();
  gtk_drawing_area_set_content_height (GTK_DRAWING_AREA (self->area), SQUARE + 4);
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (self->area), draw_marks, self, NULL);
  bl_style_watch (self->area);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
}

GtkWidget *
bl_round_head_new (const char *title, const char *about)
{
  BlRoundHead *self = g_object_new (BL_TYPE_ROUND_HEAD, NULL);
  GtkWidget *back = bl_act_button ("plain", _ ("back"), _ ("Esc"), FALSE), *board = bl_label (about, "muted", 0);

  gtk_label_set_ellipsize (GTK_LABEL (board), PANGO_ELLIPSIZE_MIDDLE);
  gtk_widget_set_hexpand (board, TRUE);
  g_signal_connect_object (back, "clicked", G_CALLBACK (leave), self, G_CONNECT_SWAPPED);
  gtk_box_append (GTK_BOX (self->box), bl_label (title, "page-title", 0));
  gtk_box_append (GTK_BOX (self->box), board);
  gtk_box_append (GTK_BOX (self->box), self->words);
  gtk_box_append (GTK_BOX (self->box), self->area);
  gtk_box_append (GTK_BOX (self->box), self->count);
  gtk_box_append (GTK_BOX (self->box), back);
  return GTK_WIDGET (self);
}

void
bl_round_log_add (GtkWidget *log, const char *words, BlQuizMark mark)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *title = bl_label (words, NULL, 0);

  gtk_label_set_ellipsize (GTK_LABEL (title), PANGO_ELLIPSIZE_MIDDLE);
  gtk_widget_set_hexpand (title, TRUE);
  gtk_box_append (GTK_BOX (row), bl_round_mark_new (mark));
  gtk_box_append (GTK_BOX (row), title);
  gtk_box_append (GTK_BOX (row), bl_label (bl_round_mark_word (mark), "muted small", 1));
  gtk_box_prepend (GTK_BOX (log), row);
  gtk_widget_set_visible (log, TRUE);
}

GtkWidget *
bl_round_column_new (GtkWidget *panel, int width, GtkWidget **log)
{
  GtkWidget *column = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8), *scrolled = gtk_scrolled_window_new ();
  GtkWidget *heading = bl_label (_ ("This round so far"), "heading", 0);
  GtkWidget *clamp = adw_clamp_new (); /* or the photo beside it would change with the words */

  *log = gtk_box_new (GTK_ORIENTATION_VERTICAL, 3);
  gtk_widget_set_visible (*log, FALSE);
  g_object_bind_property (*log, "visible", heading, "visible", G_BINDING_SYNC_CREATE);
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scrolled), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scrolled), *log);
  gtk_widget_set_vexpand (scrolled, TRUE);
  adw_clamp_set_maximum_size (ADW_CLAMP (clamp), width);
  adw_clamp_set_tightening_threshold (ADW_CLAMP (clamp), width);
  adw_clamp_set_child (ADW_CLAMP (clamp), column);
  gtk_widget_set_size_request (clamp, width, -1);
  gtk_widget_set_hexpand (clamp, FALSE); /* what is in it may want to */
  gtk_box_append (GTK_BOX (column), panel);
  gtk_box_append (GTK_BOX (column), heading);
  gtk_box_append (GTK_BOX (column), scrolled);
  return clamp;
}
