/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The key strip: caps and words from the one table of keys. Those that do not fit the width are left
 * out from the right, so nothing is ever cut in two. */
#include "config.h"

#include "bl-key-strip.h"

#include <glib/gi18n-lib.h>

#include "bl-bench-keys.h"
#include "bl-style.h"

struct _BlKeyStrip
{
  GtkWidget parent_instance;

  GtkWidget *meter, *note;
  char *enter; /* NULL: as the table says */
  char **own;  /* caps and words in turn; NULL: none */
};

G_DEFINE_FINAL_TYPE (BlKeyStrip, bl_key_strip, GTK_TYPE_WIDGET)

#define GAP 18
#define MOST_METER 32 /* characters */

static void
bl_key_strip_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                      int *minimum_baseline, int *natural_baseline)
{
  *minimum = orientation == GTK_ORIENTATION_HORIZONTAL ? 0 : 21;
  *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? 640 : 21;
}

static void
bl_key_strip_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  BlKeyStrip *self = BL_KEY_STRIP (widget);
  int note_width, meter_width = 0, x = 0;

  gtk_widget_measure (self->note, GTK_ORIENTATION_HORIZONTAL, -1, NULL, &note_width, NULL, NULL);
  gtk_widget_size_allocate (self->note, &(GtkAllocation){ MAX (0, width - note_width), 0, note_width, height }, -1);
  if (gtk_widget_get_visible (self->meter))
    {
      gtk_widget_measure (self->meter, GTK_ORIENTATION_HORIZONTAL, -1, NULL, &meter_width, NULL, NULL);
      gtk_widget_size_allocate (
        self->meter, &(GtkAllocation){ MAX (0, width - note_width - GAP - meter_width), 0, meter_width, height }, -1);
      note_width += meter_width + GAP;
    }
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    {
      int natural;
      if (child == self->note || child == self->meter)
        continue;
      gtk_widget_measure (child, GTK_ORIENTATION_HORIZONTAL, -1, NULL, &natural, NULL, NULL);
      gtk_widget_set_child_visible (child, x + natural + GAP <= width - note_width);
      gtk_widget_size_allocate (child, &(GtkAllocation){ x, 0, natural, height }, -1);
      x += natural + GAP;
    }
}

static void
bl_key_strip_dispose (GObject *object)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (GTK_WIDGET (object))) != NULL)
    gtk_widget_unparent (child);
  g_clear_pointer (&BL_KEY_STRIP (object)->enter, g_free);
  g_clear_pointer (&BL_KEY_STRIP (object)->own, g_strfreev);
  G_OBJECT_CLASS (bl_key_strip_parent_class)->dispose (object);
}

static void
bl_key_strip_class_init (BlKeyStripClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_key_strip_dispose;
  widget_class->measure = bl_key_strip_measure;
  widget_class->size_allocate = bl_key_strip_size_allocate;
  gtk_widget_class_set_css_name (widget_class, "keystrip");
}

static void
bl_key_strip_init (BlKeyStrip *self)
{
  gtk_widget_add_css_class (GTK_WIDGET (self), "key-strip");
  gtk_widget_set_overflow (GTK_WIDGET (self), GTK_OVERFLOW_HIDDEN);
  self->meter = bl_label ("", "strong tiny", 1);
  gtk_label_set_ellipsize (GTK_LABEL (self->meter), PANGO_ELLIPSIZE_END);
  gtk_label_set_max_width_chars (GTK_LABEL (self->meter), MOST_METER);
  gtk_widget_set_visible (self->meter, FALSE);
  gtk_widget_set_parent (self->meter, GTK_WIDGET (self));
  self->note = bl_label ("", "muted tiny", 1);
  gtk_widget_set_parent (self->note, GTK_WIDGET (self));
}

GtkWidget *
bl_key_strip_new (void)
{
  return g_object_new (BL_TYPE_KEY_STRIP, NULL);
}

static int
by_strip (gconstpointer a, gconstpointer b)
{
  const BlKey *first = *(const BlKey *const *) a, *second = *(const BlKey *const *) b;
  return first->strip - second->strip;
}

static void
add_key (BlKeyStrip *self, const char *cap, const char *words)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);

  gtk_box_append (GTK_BOX (box), bl_key_cap (cap));
  gtk_box_append (GTK_BOX (box), bl_label (words, "muted", 0));
  gtk_widget_insert_before (box, GTK_WIDGET (self), self->meter);
}

void
bl_key_strip_update (BlKeyStrip *self, GActionGroup *group)
{
  g_return_if_fail (BL_IS_KEY_STRIP (self));
  g_autoptr (GPtrArray) shown = g_ptr_array_new ();
  GtkWidget *child;
  guint n;
  const BlKey *keys = bl_keys_get (&n);

  while ((child = gtk_widget_get_first_child (GTK_WIDGET (self))) != self->meter)
    gtk_widget_unparent (child);
  for (guint i = 0; i < n; i++)
    if (keys[i].strip > 0
        && (keys[i].action == NULL
            || (group != NULL && g_action_group_get_action_enabled (group, strchr (keys[i].action, '.') + 1))))
      g_ptr_array_add (shown, (gpointer) &keys[i]);
  g_ptr_array_sort (shown, by_strip);
  if (self->enter != NULL && *self->enter != '\0')
    add_key (self, _ ("Enter"), self->enter);
  for (guint i = 0; self->own != NULL && self->own[i] != NULL && self->own[i + 1] != NULL; i += 2)
    add_key (self, self->own[i], self->own[i + 1]);
  for (guint i = 0; i < shown->len; i++)
    {
      const BlKey *key = g_ptr_array_index (shown, i);
      if (key->action != NULL || self->enter == NULL)
        add_key (self, _ (key->cap), _ (key->label));
    }
}

void
bl_key_strip_set_meter (BlKeyStrip *self, const char *words, gboolean trouble)
{
  g_return_if_fail (BL_IS_KEY_STRIP (self));
  gtk_label_set_label (GTK_LABEL (self->meter), words != NULL ? words : "");
  gtk_widget_set_visible (self->meter, words != NULL);
  if (trouble)
    gtk_widget_add_css_class (self->meter, "danger");
  else
    gtk_widget_remove_css_class (self->meter, "danger");
}

void
bl_key_strip_set_note (BlKeyStrip *self, const char *note)
{
  g_return_if_fail (BL_IS_KEY_STRIP (self));
  gtk_label_set_label (GTK_LABEL (self->note), note);
}

void
bl_key_strip_set_enter (BlKeyStrip *self, const char *words)
{
  g_return_if_fail (BL_IS_KEY_STRIP (self));
  g_free (self->enter);
  self->enter = g_strdup (words);
}

void
bl_key_strip_set_own (BlKeyStrip *self, const char *const *caps_and_words)
{
  g_return_if_fail (BL_IS_KEY_STRIP (self));
  g_strfreev (self->own);
  self->own = g_strdupv ((char **) caps_and_words);
}
