/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Undo and redo beside a list: of boards, of jobs, of meters. What they are about is asked of the library each time,
 * for the steps live there. */
#include "config.h"

#include "bl-steps-bar.h"

#include <glib/gi18n-lib.h>

#include "bl-shell.h"
#include "bl-style.h"

enum { MOST_CHARS = 30 };

struct _BlStepsBar
{
  GtkWidget parent_instance;

  BlLibrary *library; /* of the application */
  BlStepsPlace place;
  gint64 owner;
  GtkWidget *box, *undo, *redo;
};

enum
{
  TAKEN,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlStepsBar, bl_steps_bar, GTK_TYPE_WIDGET)

static void
show (BlStepsBar *self, GtkWidget *button, gboolean undo)
{
  g_autofree char *label = NULL;
  gboolean any = bl_library_peek_step (self->library, self->place, self->owner, undo, &label) != 0;
  g_autofree char *words = !any ? g_strdup ("")
                                : g_strdup_printf (undo ? _ ("undo: %s") : _ ("redo: %s"), label);
  g_autofree char *tip = g_strdup_printf ("%s  (%s)", words, undo ? _ ("Ctrl Z") : _ ("Ctrl Shift Z"));

  gtk_label_set_label (GTK_LABEL (gtk_button_get_child (GTK_BUTTON (button))), words);
  gtk_widget_set_tooltip_text (button, tip);
  bl_widget_name (button, words);
  gtk_widget_set_visible (button, any);
}

void
bl_steps_bar_refresh (BlStepsBar *self)
{
  g_return_if_fail (BL_IS_STEPS_BAR (self));
  show (self, self->undo, TRUE);
  show (self, self->redo, FALSE);
}

void
bl_steps_bar_take (BlStepsBar *self, gboolean undo)
{
  g_return_if_fail (BL_IS_STEPS_BAR (self));
  g_auto (BlStepTaken) taken = { 0 };
  GError *error = NULL;
  gboolean ok = bl_library_take_step (self->library, self->place, self->owner, undo, &taken, &error);

  if (!ok)
    bl_widget_report (GTK_WIDGET (self), undo ? _ ("Undo") : _ ("Redo"), error);
  else if (taken.id != 0)
    {
      g_autofree char *words = g_strdup_printf (undo ? _ ("Undone: %s") : _ ("Done again: %s"), taken.label);
      bl_widget_notify (GTK_WIDGET (self), words);
    }
  bl_steps_bar_refresh (self);
  g_signal_emit (self, signals[TAKEN], 0);
}

static void
undo_pressed (BlStepsBar *self)
{
  bl_steps_bar_take (self, TRUE);
}

static void
redo_pressed (BlStepsBar *self)
{
  bl_steps_bar_take (self, FALSE);
}

static gboolean
key_pressed (GtkEventControllerKey *keys, guint keyval, guint keycode, GdkModifierType state, BlStepsBar *self)
{
  const GdkModifierType mask = GDK_CONTROL_MASK | GDK_SHIFT_MASK | GDK_ALT_MASK;

  if ((keyval != GDK_KEY_z && keyval != GDK_KEY_Z) || !(state & GDK_CONTROL_MASK) || (state & mask & GDK_ALT_MASK)
      || !gtk_widget_get_mapped (GTK_WIDGET (self)))
    return GDK_EVENT_PROPAGATE;
  bl_steps_bar_take (self, !(state & GDK_SHIFT_MASK));
  return GDK_EVENT_STOP;
}

void
bl_steps_bar_add_keys (BlStepsBar *self, GtkWidget *widget)
{
  GtkEventController *keys = gtk_event_controller_key_new ();

  /* In the bubble phase: a text that is being typed has its own undo. */
  g_signal_connect_object (keys, "key-pressed", G_CALLBACK (key_pressed), self, 0);
  gtk_widget_add_controller (widget, keys);
}

static void
bl_steps_bar_map (GtkWidget *widget)
{
  bl_steps_bar_refresh (BL_STEPS_BAR (widget));
  GTK_WIDGET_CLASS (bl_steps_bar_parent_class)->map (widget);
}

static void
bl_steps_bar_dispose (GObject *object)
{
  g_clear_pointer (&BL_STEPS_BAR (object)->box, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_steps_bar_parent_class)->dispose (object);
}

static void
bl_steps_bar_class_init (BlStepsBarClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_steps_bar_dispose;
  GTK_WIDGET_CLASS (klass)->map = bl_steps_bar_map;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  signals[TAKEN] = g_signal_new ("taken", BL_TYPE_STEPS_BAR, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static GtkWidget *
make_button (BlStepsBar *self, GCallback pressed)
{
  GtkWidget *button = gtk_button_new (), *label = bl_label ("", NULL, 0);

  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_label_set_max_width_chars (GTK_LABEL (label), MOST_CHARS);
  gtk_button_set_child (GTK_BUTTON (button), label);
  gtk_widget_add_css_class (button, "act");
  gtk_widget_set_focus_on_click (button, FALSE);
  gtk_widget_set_valign (button, GTK_ALIGN_CENTER);
  gtk_widget_set_visible (button, FALSE);
  g_signal_connect_swapped (button, "clicked", pressed, self);
  gtk_box_append (GTK_BOX (self->box), button);
  return button;
}

static void
bl_steps_bar_init (BlStepsBar *self)
{
  self->box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  self->undo = make_button (self, G_CALLBACK (undo_pressed));
  self->redo = make_button (self, G_CALLBACK (redo_pressed));
}

GtkWidget *
bl_steps_bar_new (BlLibrary *library, BlStepsPlace place, gint64 owner)
{
  BlStepsBar *self = g_object_new (BL_TYPE_STEPS_BAR, NULL);

  self->library = library;
  self->place = place;
  self->owner = owner;
  if (library != NULL)
    bl_steps_bar_refresh (self);
  return GTK_WIDGET (self);
}
