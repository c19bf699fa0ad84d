/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A line of completions. As many as fit stand there, the marked one always; the height is that of one line
 * whether there are any or not, so that nothing below moves while one types. */
#include "config.h"

#include "bl-completion-strip.h"

#include <glib/gi18n-lib.h>

#include "bl-style.h"

struct _BlCompletionStrip
{
  GtkWidget parent_instance;

  GtkWidget *cap, *box;
  guint n, marked;
};

enum
{
  TAKEN,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlCompletionStrip, bl_completion_strip, GTK_TYPE_WIDGET)

static void
show_mark (BlCompletionStrip *self)
{
  guint i = 0;

  for (GtkWidget *child = gtk_widget_get_first_child (self->box); child != NULL;
       child = gtk_widget_get_next_sibling (child), i++)
    if (i == self->marked)
      gtk_widget_add_css_class (child, "marked");
    else
      gtk_widget_remove_css_class (child, "marked");
  gtk_widget_queue_allocate (GTK_WIDGET (self));
}

static void
pressed (GtkButton *button, BlCompletionStrip *self)
{
  g_signal_emit (self, signals[TAKEN], 0, GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (button), "index")));
}

static GtkWidget *
make_item (BlCompletionStrip *self, const BlCompletion *completion, guint index)
{
  GtkWidget *button = gtk_button_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 4);
  g_autofree char *name = g_strdup_printf (_ ("Go on with %s"), completion->words);

  GtkWidget *words = bl_label (completion->words, "small", 0);

  gtk_label_set_ellipsize (GTK_LABEL (words), PANGO_ELLIPSIZE_END);
  gtk_label_set_max_width_chars (GTK_LABEL (words), 34);
  gtk_box_append (GTK_BOX (box), words);
  if (completion->detail != NULL && *completion->detail != '\0')
    gtk_box_append (GTK_BOX (box), bl_label (completion->detail, "small muted", 0));
  gtk_button_set_child (GTK_BUTTON (button), box);
  gtk_widget_add_css_class (button, "completion");
  gtk_widget_set_focusable (button, FALSE);
  gtk_widget_set_focus_on_click (button, FALSE);
  bl_widget_name (button, name);
  g_object_set_data (G_OBJECT (button), "index", GUINT_TO_POINTER (index));
  g_signal_connect (button, "clicked", G_CALLBACK (pressed), self);
  return button;
}

void
bl_completion_strip_show (BlCompletionStrip *self, const GPtrArray *list)
{
  g_return_if_fail (BL_IS_COMPLETION_STRIP (self));
  bl_widget_clear (self->box);
  self->n = bl_len (list);
  self->marked = 0;
  for (guint i = 0; i < self->n; i++)
    gtk_box_append (GTK_BOX (self->box), make_item (self, bl_at (list, i), i));
  gtk_widget_set_visible (self->cap, self->n > 0);
  show_mark (self);
}

gboolean
bl_completion_strip_move (BlCompletionStrip *self, int by)
{
  g_return_val_if_fail (BL_IS_COMPLETION_STRIP (self), FALSE);
  if (self->n == 0)
    return FALSE;
  self->marked = (self->marked + self->n + (guint) (by + (int) self->n)) % self->n;
  show_mark (self);
  return TRUE;
}

int
bl_completion_strip_get_marked (BlCompletionStrip *self)
{
  g_return_val_if_fail (BL_IS_COMPLETION_STRIP (self), -1);
  return self->n > 0 ? (int) self->marked : -1;
}

/* --- layout --- */

#define GAP 6

static void
bl_completion_strip_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                             int *minimum_baseline, int *natural_baseline)
{
  BlCompletionStrip *self = BL_COMPLETION_STRIP (widget);
  int height, cap;

  gtk_widget_measure (self->cap, GTK_ORIENTATION_VERTICAL, -1, &cap, NULL, NULL, NULL);
  gtk_widget_measure (self->box, GTK_ORIENTATION_VERTICAL, -1, &height, NULL, NULL, NULL);
  *minimum = *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? 60 : MAX (MAX (height, cap), 22);
}

/* Those before the marked one give way until it is in view. */
static void
bl_completion_strip_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  BlCompletionStrip *self = BL_COMPLETION_STRIP (widget);
  int cap = 0, wanted, before = 0, marked = 0;
  guint i = 0;

  if (gtk_widget_get_visible (self->cap))
    {
      gtk_widget_measure (self->cap, GTK_ORIENTATION_HORIZONTAL, -1, NULL, &cap, NULL, NULL);
      gtk_widget_size_allocate (self->cap, &(GtkAllocation){ 0, 2, cap, height - 4 }, -1);
      cap += GAP;
    }
  for (GtkWidget *child = gtk_widget_get_first_child (self->box); child != NULL && i <= self->marked;
       child = gtk_widget_get_next_sibling (child), i++)
    {
      before += marked;
      gtk_widget_measure (child, GTK_ORIENTATION_HORIZONTAL, -1, NULL, &marked, NULL, NULL);
      marked += GAP;
    }
  gtk_widget_measure (self->box, GTK_ORIENTATION_HORIZONTAL, -1, NULL, &wanted, NULL, NULL);
  int shift = CLAMP (before + marked - (width - cap), 0, before);
  gtk_widget_size_allocate (self->box, &(GtkAllocation){ cap - shift, 0, MAX (wanted, 1), height }, -1);
}

static void
bl_completion_strip_dispose (GObject *object)
{
  BlCompletionStrip *self = BL_COMPLETION_STRIP (object);

  g_clear_pointer (&self->cap, gtk_widget_unparent);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_completion_strip_parent_class)->dispose (object);
}

static void
bl_completion_strip_class_init (BlCompletionStripClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_completion_strip_dispose;
  widget_class->measure = bl_completion_strip_measure;
  widget_class->size_allocate = bl_completion_strip_allocate;
  signals[TAKEN] = g_signal_new ("taken", BL_TYPE_COMPLETION_STRIP, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE,
                                 1, G_TYPE_UINT);
}

static void
bl_completion_strip_init (BlCompletionStrip *self)
{
  gtk_widget_set_overflow (GTK_WIDGET (self), GTK_OVERFLOW_HIDDEN);
  self->box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, GAP);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  self->cap = bl_key_cap (_ ("Tab"));
  gtk_widget_set_parent (self->cap, GTK_WIDGET (self));
  gtk_widget_set_visible (self->cap, FALSE);
}

GtkWidget *
bl_completion_strip_new (void)
{
  return g_object_new (BL_TYPE_COMPLETION_STRIP, NULL);
}
