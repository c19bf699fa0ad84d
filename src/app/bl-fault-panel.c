/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The panel "the fault shown". Who stands before the equipment watches a lamp, not the screen: Space is tapped with
 * the flashes, the count stands in large figures, and what it means is there as soon as it is certain. While it is open it takes
 * the plain keys; whatever else is typed goes on to the bench. */
#include "config.h"

#include "bl-fault-panel.h"

#include <glib/gi18n-lib.h>

#include "bl-style.h"

#define TAKEN_BY_KEY 9 /* entries with a key of their own */
#define SECOND_DIGIT_MS 1200
#define LOOK_AGAIN_MS 250 /* time goes on while nobody taps: a pause is seen */

struct _BlFaultPanel
{
  GtkWidget parent_instance;

  BlFaultShown *shown;
  gint64 job;
  guint lamp; /* in hand */
  GtkWidget *box, *scrolled, *lamps, *taps, *warning, *matches;
  guint waiting, showing;
  gint64 digit_time; /* of the last one, monotonic */
};

enum
{
  TAKEN,
  OTHERS,
  CLOSED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlFaultPanel, bl_fault_panel, GTK_TYPE_WIDGET)

static void show (BlFaultPanel *self);

static double
now_s (void)
{
  return (double) g_get_monotonic_time () / G_USEC_PER_SEC;
}

/* --- what is pressed --- */

static guint
lamp_of (GtkWidget *button)
{
  return GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (button), "lamp"));
}

static gboolean
look_again (gpointer data)
{
  BlFaultPanel *self = data;

  if (bl_fault_shown_wait (self->shown, self->lamp, now_s ()))
    show (self);
  return G_SOURCE_CONTINUE;
}

static gboolean
show_now (gpointer data)
{
  BlFaultPanel *self = data;

  self->showing = 0;
  show (self);
  return G_SOURCE_REMOVE;
}

/* The button that is held down is made anew only after it was told of the press. */
static void
tap (BlFaultPanel *self)
{
  bl_fault_shown_tap (self->shown, self->lamp, now_s ());
  if (self->waiting == 0)
    self->waiting = g_timeout_add (LOOK_AGAIN_MS, look_again, self);
  if (self->showing == 0)
    self->showing = g_idle_add (show_now, self);
}

static void
take_in_hand (BlFaultPanel *self, guint lamp)
{
  self->lamp = lamp;
  show (self);
}

static void
set_steady (BlFaultPanel *self, gboolean lit)
{
  bl_fault_shown_set_steady (self->shown, self->lamp, lit);
  /* The next lamp is the one to look at. */
  self->lamp = (self->lamp + 1) % bl_fault_shown_n_lamps (self->shown);
  show (self);
}

static void
lamp_pressed (GtkWidget *button, BlFaultPanel *self)
{
  take_in_hand (self, lamp_of (button));
}

static void
tap_pressed (GtkGestureClick *gesture, int n, double x, double y, BlFaultPanel *self)
{
  self->lamp = lamp_of (gtk_event_controller_get_widget (GTK_EVENT_CONTROLLER (gesture)));
  tap (self);
}

static void
lit_pressed (GtkWidget *button, BlFaultPanel *self)
{
  self->lamp = lamp_of (button);
  set_steady (self, TRUE);
}

static void
out_pressed (GtkWidget *button, BlFaultPanel *self)
{
  self->lamp = lamp_of (button);
  set_steady (self, FALSE);
}

static void
clear_pressed (GtkWidget *button, BlFaultPanel *self)
{
  self->lamp = lamp_of (button);
  bl_fault_shown_clear (self->shown, self->lamp);
  show (self);
}

/* Symptoms are of the board on the bench: an entry of another document is for reading only. */
static gboolean
can_take (BlFaultPanel *self, const BlIndicationMatch *match)
{
  return bl_fault_shown_is_own_board (self->shown, match) && match->indication->symptom != NULL;
}

static void
take (BlFaultPanel *self, guint index)
{
  GPtrArray *matches = bl_fault_shown_matches (self->shown);

  if (index >= matches->len || !can_take (self, bl_at (matches, index)))
    return;
  const BlIndicationMatch *match = bl_at (matches, index);
  g_autofree char *symptom = g_strdup (match->indication->symptom);
  g_autofree char *summary = bl_fault_shown_summary (self->shown);
  bl_fault_panel_close (self);
  g_signal_emit (self, signals[TAKEN], 0, symptom, summary);
}

static void
match_pressed (GtkWidget *button, BlFaultPanel *self)
{
  take (self, lamp_of (button));
}

static void
others_pressed (BlFaultPanel *self)
{
  bl_fault_panel_close (self);
  g_signal_emit (self, signals[OTHERS], 0);
}

/* --- what is shown --- */

static GtkWidget *
small_button (BlFaultPanel *self, guint lamp, const char *cap, const char *words, GCallback pressed)
{
  GtkWidget *button = bl_act_button ("bare", words, cap, TRUE);
  g_autofree char *name = g_strdup_printf (_ ("%s, lamp %s"), words, bl_fault_shown_lamp (self->shown, lamp));

  if (cap != NULL)
    gtk_box_set_spacing (GTK_BOX (gtk_button_get_child (GTK_BUTTON (button))), 4);
  gtk_widget_set_valign (button, GTK_ALIGN_CENTER);
  bl_widget_name (button, name);
  g_object_set_data (G_OBJECT (button), "lamp", GUINT_TO_POINTER (lamp));
  if (pressed != NULL)
    g_signal_connect (button, "clicked", pressed, self);
  return button;
}

/* A tap counts when the button goes down, not when it is let go. */
static GtkWidget *
tap_button (BlFaultPanel *self, guint lamp, gboolean in_hand)
{
  GtkWidget *button = small_button (self, lamp, in_hand ? _ ("Space") : NULL, _ ("tap along"), NULL);
  GtkGesture *press = gtk_gesture_click_new ();

  gtk_event_controller_set_propagation_phase (GTK_EVENT_CONTROLLER (press), GTK_PHASE_CAPTURE);
  g_signal_connect (press, "pressed", G_CALLBACK (tap_pressed), self);
  gtk_widget_add_controller (button, GTK_EVENT_CONTROLLER (press));
  return button;
}

static GtkWidget *
lamp_row (BlFaultPanel *self, guint lamp)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *name = gtk_button_new ();
  gboolean in_hand = lamp == self->lamp;
  g_autofree char *words = bl_fault_shown_words (self->shown, lamp);
  GtkWidget *role = bl_label (bl_fault_shown_lamp (self->shown, lamp), "lamp-role", 0);
  GtkWidget *seen = bl_label (words, bl_fault_shown_is_seen (self->shown, lamp) ? "lamp-seen" : "muted", 0);

  gtk_widget_add_css_class (row, in_hand ? "lamp-in-hand" : "lamp-row");
  gtk_button_set_child (GTK_BUTTON (name), role);
  gtk_widget_add_css_class (name, "bare");
  gtk_widget_set_size_request (name, 110, -1);
  gtk_widget_set_focus_on_click (name, FALSE);
  g_object_set_data (G_OBJECT (name), "lamp", GUINT_TO_POINTER (lamp));
  g_signal_connect (name, "clicked", G_CALLBACK (lamp_pressed), self);
  gtk_box_append (GTK_BOX (row), name);
  gtk_label_set_ellipsize (GTK_LABEL (seen), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (seen, TRUE);
  gtk_box_append (GTK_BOX (row), seen);
  gtk_box_append (GTK_BOX (row), tap_button (self, lamp, in_hand));
  gtk_box_append (GTK_BOX (row), small_button (self, lamp, in_hand ? _ ("L") : NULL, C_ ("lamp", "lit"),
                                               G_CALLBACK (lit_pressed)));
  gtk_box_append (GTK_BOX (row), small_button (self, lamp, in_hand ? _ ("O") : NULL, C_ ("lamp", "out"),
                                               G_CALLBACK (out_pressed)));
  gtk_box_append (GTK_BOX (row), small_button (self, lamp, in_hand ? _ ("⌫") : NULL, _ ("clear"),
                                               G_CALLBACK (clear_pressed)));
  return row;
}

static GtkWidget *
match_row (BlFaultPanel *self, guint index, const BlIndicationMatch *match)
{
  GtkWidget *button = gtk_button_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  GtkWidget *words = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  g_autofree char *fit = bl_fault_shown_match_words (self->shown, match);
  g_autoptr (GError) error = NULL;
  g_autofree char *earlier = bl_fault_shown_earlier (self->shown, match, self->job, &error);
  g_autofree char *cap = index == 0 ? g_strdup (_ ("Enter")) : g_strdup_printf (_ ("Alt %u"), index + 1);
  gboolean takes = can_take (self, match);
  GtkWidget *detail = bl_label (fit, match->other_meaning ? "trouble" : "muted", 0);

  if (takes && index < TAKEN_BY_KEY)
    gtk_box_append (GTK_BOX (box), bl_key_cap (cap));
  gtk_box_append (GTK_BOX (words), bl_label (match->meaning, "match-meaning", 0));
  gtk_label_set_ellipsize (GTK_LABEL (detail), PANGO_ELLIPSIZE_END);
  gtk_box_append (GTK_BOX (words), detail);
  if (earlier != NULL || error != NULL)
    {
      g_autofree char *text = earlier != NULL
                                ? g_strdup_printf (_ ("earlier jobs with it: %s"), earlier)
                                : g_strdup_printf (_ ("earlier jobs cannot be read: %s"), error->message);
      gtk_box_append (GTK_BOX (words), bl_label (text, earlier != NULL ? NULL : "trouble", 0));
    }
  gtk_box_append (GTK_BOX (box), words);
  gtk_button_set_child (GTK_BUTTON (button), box);
  gtk_widget_add_css_class (button, "match-row");
  gtk_widget_set_focus_on_click (button, FALSE);
  gtk_widget_set_sensitive (button, takes);
  bl_widget_name (button, match->meaning);
  g_object_set_data (G_OBJECT (button), "lamp", GUINT_TO_POINTER (index));
  g_signal_connect (button, "clicked", G_CALLBACK (match_pressed), self);
  return button;
}

static gboolean
anything_seen (BlFaultPanel *self)
{
  for (guint i = 0; i < bl_fault_shown_n_lamps (self->shown); i++)
    if (bl_fault_shown_is_seen (self->shown, i))
      return TRUE;
  return FALSE;
}

static void
show_matches (BlFaultPanel *self)
{
  GPtrArray *matches = bl_fault_shown_matches (self->shown);
  g_autofree char *warning = bl_fault_shown_warning (self->shown);

  gtk_label_set_label (GTK_LABEL (self->warning), warning != NULL ? warning : "");
  gtk_widget_set_visible (self->warning, warning != NULL);
  bl_widget_clear (self->matches);
  for (guint i = 0; i < matches->len; i++)
    gtk_box_append (GTK_BOX (self->matches), match_row (self, i, bl_at (matches, i)));
  if (matches->len > 0)
    return;
  GtkWidget *none = bl_label (anything_seen (self) ? _ ("No table has this pattern. Count it again; or it is of an edition that is "
                                                        "not documented.")
                                                   : _ ("What fits appears here as you go."), "muted", 0);
  gtk_label_set_wrap (GTK_LABEL (none), TRUE);
  gtk_box_append (GTK_BOX (self->matches), none);
}

static void
show (BlFaultPanel *self)
{
  g_autofree char *taps = self->lamp < bl_fault_shown_n_lamps (self->shown)
                            ? bl_fault_shown_taps_words (self->shown, self->lamp) : NULL;

  bl_widget_clear (self->lamps);
  for (guint i = 0; i < bl_fault_shown_n_lamps (self->shown); i++)
    gtk_box_append (GTK_BOX (self->lamps), lamp_row (self, i));
  if (bl_fault_shown_n_lamps (self->shown) == 0)
    gtk_box_append (GTK_BOX (self->lamps), bl_label (_ ("No edition of this board has an indication table yet."), "muted", 0));
  gtk_label_set_label (GTK_LABEL (self->taps), taps != NULL ? taps : _ ("Type how often the lamp in hand flashes, or tap along."));
  show_matches (self);
}

/* --- keys --- */

static gboolean
step (BlFaultPanel *self, int by)
{
  guint n = bl_fault_shown_n_lamps (self->shown);

  take_in_hand (self, (self->lamp + n + (guint) by) % n);
  return TRUE;
}

/* One digit, or a second one at once after 1: up to 19 flashes. */
static gboolean
digit (BlFaultPanel *self, guint value)
{
  gint64 now = g_get_monotonic_time ();
  gboolean second = now - self->digit_time < SECOND_DIGIT_MS * 1000;

  self->digit_time = now;
  if (second && bl_fault_shown_count (self->shown, self->lamp) == 1)
    bl_fault_shown_set_count (self->shown, self->lamp, 10 + value);
  else if (value > 0)
    bl_fault_shown_set_count (self->shown, self->lamp, value);
  show (self);
  return TRUE;
}

static gboolean
lamp_key (BlFaultPanel *self, guint lower)
{
  if (lower >= GDK_KEY_0 && lower <= GDK_KEY_9)
    return digit (self, lower - GDK_KEY_0);
  if (lower >= GDK_KEY_KP_0 && lower <= GDK_KEY_KP_9)
    return digit (self, lower - GDK_KEY_KP_0);
  switch (lower)
    {
    case GDK_KEY_space:
      tap (self);
      return TRUE;
    case GDK_KEY_l:
      set_steady (self, TRUE);
      return TRUE;
    case GDK_KEY_o:
      set_steady (self, FALSE);
      return TRUE;
    case GDK_KEY_BackSpace:
    case GDK_KEY_Delete:
      bl_fault_shown_clear (self->shown, self->lamp);
      show (self);
      return TRUE;
    case GDK_KEY_Up:
      return step (self, -1);
    case GDK_KEY_Down:
      return step (self, 1);
    default:
      return FALSE;
    }
}

gboolean
bl_fault_panel_key (BlFaultPanel *self, guint keyval, GdkModifierType state)
{
  g_return_val_if_fail (BL_IS_FAULT_PANEL (self), FALSE);
  guint lower = gdk_keyval_to_lower (keyval);
  GdkModifierType modifiers = state & (GDK_CONTROL_MASK | GDK_ALT_MASK);

  /* Not while the probe view covers it: what is typed there are readings. */
  if (!gtk_widget_get_mapped (GTK_WIDGET (self)))
    return FALSE;
  if (modifiers == GDK_ALT_MASK && lower >= GDK_KEY_1 && lower <= GDK_KEY_9)
    {
      take (self, lower - GDK_KEY_1);
      return TRUE;
    }
  if (modifiers != 0)
    return FALSE;
  if (lower == GDK_KEY_Return || lower == GDK_KEY_KP_Enter)
    {
      take (self, 0);
      return TRUE;
    }
  if (lower == GDK_KEY_s)
    {
      others_pressed (self);
      return TRUE;
    }
  return bl_fault_shown_n_lamps (self->shown) > 0 && lamp_key (self, lower);
}

/* --- opening --- */

void
bl_fault_panel_open (BlFaultPanel *self, BlFaultShown *shown, gint64 job)
{
  g_return_if_fail (BL_IS_FAULT_PANEL (self) && shown != NULL);

  g_clear_pointer (&self->shown, bl_fault_shown_free);
  self->shown = shown;
  self->job = job;
  self->lamp = 0;
  gtk_widget_set_visible (GTK_WIDGET (self), TRUE);
  show (self);
}

void
bl_fault_panel_close (BlFaultPanel *self)
{
  g_return_if_fail (BL_IS_FAULT_PANEL (self));

  g_clear_handle_id (&self->waiting, g_source_remove);
  g_clear_handle_id (&self->showing, g_source_remove);
  if (!bl_fault_panel_is_open (self))
    return;
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
  g_signal_emit (self, signals[CLOSED], 0);
}

gboolean
bl_fault_panel_is_open (BlFaultPanel *self)
{
  g_return_val_if_fail (BL_IS_FAULT_PANEL (self), FALSE);
  return gtk_widget_get_visible (GTK_WIDGET (self));
}

/* --- object --- */

static void
bl_fault_panel_dispose (GObject *object)
{
  BlFaultPanel *self = BL_FAULT_PANEL (object);

  g_clear_handle_id (&self->waiting, g_source_remove);
  g_clear_handle_id (&self->showing, g_source_remove);
  g_clear_pointer (&self->shown, bl_fault_shown_free);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_fault_panel_parent_class)->dispose (object);
}

static void
bl_fault_panel_class_init (BlFaultPanelClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_fault_panel_dispose;
  signals[TAKEN] = g_signal_new ("taken", BL_TYPE_FAULT_PANEL, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 2,
                                 G_TYPE_STRING, G_TYPE_STRING);
  signals[OTHERS] = g_signal_new ("others", BL_TYPE_FAULT_PANEL, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[CLOSED] = g_signal_new ("closed", BL_TYPE_FAULT_PANEL, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static GtkWidget *
plain_button (const char *cap, const char *words, GCallback pressed, BlFaultPanel *self)
{
  GtkWidget *button = bl_act_button ("bare", words, cap, TRUE);

  g_signal_connect_swapped (button, "clicked", pressed, self);
  return button;
}

static GtkWidget *
head (BlFaultPanel *self)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *title = bl_label (_ ("The fault shown"), "choice-title", 0);

  gtk_widget_set_hexpand (title, TRUE);
  gtk_box_append (GTK_BOX (row), title);
  gtk_box_append (GTK_BOX (row), plain_button (_ ("S"), _ ("symptoms without a lamp"), G_CALLBACK (others_pressed), self));
  gtk_box_append (GTK_BOX (row), plain_button (_ ("Esc"), _ ("back to the photo"), G_CALLBACK (bl_fault_panel_close), self));
  return row;
}

static void
bl_fault_panel_init (BlFaultPanel *self)
{
  GtkWidget *hint = bl_label (_ ("Lamps go by their role, not by colour or place."), "muted", 0), *content;

  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4);
  gtk_widget_add_css_class (self->box, "choice");
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  gtk_box_append (GTK_BOX (self->box), head (self));
  gtk_box_append (GTK_BOX (self->box), hint);
  content = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  self->lamps = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  self->taps = bl_label ("", "lamp-taps", 0);
  gtk_label_set_wrap (GTK_LABEL (self->taps), TRUE);
  self->warning = bl_label ("", "trouble", 0);
  gtk_label_set_wrap (GTK_LABEL (self->warning), TRUE);
  self->matches = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  gtk_box_append (GTK_BOX (content), self->lamps);
  gtk_box_append (GTK_BOX (content), self->taps);
  gtk_box_append (GTK_BOX (content), self->warning);
  gtk_box_append (GTK_BOX (content), self->matches);
  self->scrolled = gtk_scrolled_window_new ();
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (self->scrolled), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scrolled), content);
  gtk_widget_set_vexpand (self->scrolled, TRUE);
  gtk_box_append (GTK_BOX (self->box), self->scrolled);
  bl_widget_name (GTK_WIDGET (self), _ ("The fault shown"));
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
}

GtkWidget *
bl_fault_panel_new (void)
{
  return g_object_new (BL_TYPE_FAULT_PANEL, NULL);
}
