/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The panel "why". It asks for the reasons itself, while it is open and only then, and again whenever
 * the odds are new; an entry cancels what is under way, so that nothing waits for it. It lies over the
 * photo and leaves list and entry free: typing goes on, Esc or ? puts the photo back. */
#include "config.h"

#include "bl-why-panel.h"

#include <glib/gi18n-lib.h>

#include "bl-bench-why.h"
#include "bl-format.h"
#include "bl-style.h"
#include "bl-why-rows.h"
#include "bl-why-words.h"

struct _BlWhyPanel
{
  GtkWidget parent_instance;

  BlBench *bench;
  GtkWidget *box, *title, *odds, *figures, *scrolled, *content;
  char *suspect;      /* NULL: elsewhere */
  gboolean leader;    /* whatever is first */
  gboolean with_figures;
  char *checking;     /* of the readings that quarrel; NULL: none does */
  BlWhyAsk *ask;      /* under way */
  BlReasons *reasons; /* shown; NULL: not there yet */
  char *trouble;
};

enum
{
  GO,
  AGAIN,
  STRIKE,
  EXPECTED,
  CLOSED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlWhyPanel, bl_why_panel, GTK_TYPE_WIDGET)

/* --- what is pressed --- */

static void
go (const char *measurement, gpointer data)
{
  g_signal_emit (data, signals[GO], 0, measurement);
}

static void
again (const char *measurement, gpointer data)
{
  g_signal_emit (data, signals[AGAIN], 0, measurement);
}

static void
strike (const char *measurement, gpointer data)
{
  g_signal_emit (data, signals[STRIKE], 0, measurement);
}

static void
expected (const char *measurement, gpointer data)
{
  g_signal_emit (data, signals[EXPECTED], 0, measurement);
}

static void show (BlWhyPanel *self);

static void
choose (const char *measurement, gpointer data)
{
  BlWhyPanel *self = data;

  g_free (self->checking);
  self->checking = g_strdup (measurement);
  show (self);
}

/* step 0: the one that is checked, as long as it quarrels; 1: the next. */
static void
check_quarrel (BlWhyPanel *self, guint step)
{
  g_autoptr (GPtrArray) list = bl_why_quarrelling (bl_bench_get_diagnosis (self->bench));
  guint index = 0;
  gboolean still = list != NULL && self->checking != NULL
                   && g_ptr_array_find_with_equal_func (list, self->checking, g_str_equal, &index);

  g_free (self->checking);
  self->checking = list == NULL ? NULL : g_strdup (bl_at (list, still ? (index + step) % list->len : 0));
}

/* --- what is shown --- */

static void
show_title (BlWhyPanel *self)
{
  const BlBoard *board = bl_bench_get_board (self->bench);
  g_autofree char *name = self->reasons != NULL ? bl_why_suspect (board, self->reasons)
                                                : bl_why_part (board, self->suspect);
  g_autofree char *title = g_strdup_printf (_ ("Why %s?"), name);
  g_autofree char *odds = self->reasons != NULL ? bl_format_odds (self->reasons->probability) : g_strdup ("");

  gtk_label_set_label (GTK_LABEL (self->title), title);
  gtk_label_set_label (GTK_LABEL (self->odds), odds);
  bl_widget_name (GTK_WIDGET (self), title);
}

static void
show (BlWhyPanel *self)
{
  bl_widget_clear (self->content);
  if (self->bench == NULL)
    return;
  check_quarrel (self, 0);
  const BlWhyActs acts = { self->bench, go, again, strike, expected, choose, self->checking, self };
  show_title (self);
  bl_why_add_quarrel (self->content, &acts, bl_bench_get_diagnosis (self->bench));
  if (self->trouble != NULL)
    {
      GtkWidget *label = bl_label (self->trouble, "trouble", 0);
      gtk_label_set_wrap (GTK_LABEL (label), TRUE);
      gtk_box_append (GTK_BOX (self->content), label);
    }
  else if (self->reasons == NULL)
    gtk_box_append (GTK_BOX (self->content), bl_label (_ ("working it out"), "muted", 0));
  else
    {
      bl_why_add_reasons (self->content, &acts, self->reasons, self->with_figures);
      bl_why_add_turns (self->content, &acts, self->reasons);
    }
  bl_why_add_not_visible (self->content, bl_bench_get_diagnosis (self->bench));
}

/* --- asking --- */

static void
ready (BlReasons *reasons, const char *trouble, gboolean complete, gpointer data)
{
  BlWhyPanel *self = data;

  g_clear_pointer (&self->reasons, bl_reasons_free);
  g_clear_pointer (&self->trouble, g_free);
  self->reasons = reasons;
  self->trouble = g_strdup (trouble);
  if (complete)
    g_clear_pointer (&self->ask, bl_why_ask_free);
  show (self);
}

static const BlOdd *
leader_of (const BlDiagnosis *diagnosis)
{
  return diagnosis != NULL && bl_len (diagnosis->components) > 0 ? bl_at (diagnosis->components, 0) : NULL;
}

/* What is no longer asked for is stopped; what is shown stays until there is something newer. */
static void
ask (BlWhyPanel *self)
{
  const BlDiagnosis *diagnosis = bl_bench_get_diagnosis (self->bench);
  const BlOdd *leader = leader_of (diagnosis);

  g_clear_pointer (&self->ask, bl_why_ask_free);
  if (self->leader)
    {
      g_free (self->suspect);
      self->suspect = leader != NULL && diagnosis->elsewhere <= leader->probability ? g_strdup (leader->id) : NULL;
    }
  self->ask = bl_bench_ask_why (self->bench, self->suspect, ready, self);
  show (self);
}

static void
changed (BlWhyPanel *self)
{
  if (bl_bench_is_busy (self->bench))
    g_clear_pointer (&self->ask, bl_why_ask_free);
}

static void
diagnosed (BlWhyPanel *self)
{
  if (bl_why_panel_is_open (self) && !bl_bench_is_busy (self->bench))
    ask (self);
}

static void
open_on (BlWhyPanel *self)
{
  g_clear_pointer (&self->reasons, bl_reasons_free);
  g_clear_pointer (&self->trouble, g_free);
  gtk_widget_set_visible (GTK_WIDGET (self), TRUE);
  ask (self);
  gtk_adjustment_set_value (gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (self->scrolled)), 0);
}

void
bl_why_panel_open (BlWhyPanel *self, const char *suspect)
{
  g_return_if_fail (BL_IS_WHY_PANEL (self) && self->bench != NULL);
  g_autofree char *kept = g_strdup (suspect);

  g_free (self->suspect);
  self->suspect = g_steal_pointer (&kept);
  self->leader = FALSE;
  open_on (self);
}

void
bl_why_panel_open_leader (BlWhyPanel *self)
{
  g_return_if_fail (BL_IS_WHY_PANEL (self) && self->bench != NULL);
  self->leader = TRUE;
  open_on (self);
}

void
bl_why_panel_close (BlWhyPanel *self)
{
  g_return_if_fail (BL_IS_WHY_PANEL (self));
  if (!bl_why_panel_is_open (self))
    return;
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
  g_clear_pointer (&self->ask, bl_why_ask_free);
  bl_widget_clear (self->content);
  g_signal_emit (self, signals[CLOSED], 0);
}

gboolean
bl_why_panel_is_open (BlWhyPanel *self)
{
  g_return_val_if_fail (BL_IS_WHY_PANEL (self), FALSE);
  return gtk_widget_get_visible (GTK_WIDGET (self));
}

gboolean
bl_why_panel_is_complete (BlWhyPanel *self)
{
  g_return_val_if_fail (BL_IS_WHY_PANEL (self), FALSE);
  return self->ask == NULL;
}

static void
toggle_figures (BlWhyPanel *self)
{
  self->with_figures = !self->with_figures;
  show (self);
}

static gboolean
scroll (BlWhyPanel *self, guint keyval)
{
  GtkAdjustment *place = gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (self->scrolled));
  double step = gtk_adjustment_get_page_size (place) * .8;

  if (keyval != GDK_KEY_Page_Down && keyval != GDK_KEY_Page_Up)
    return FALSE;
  gtk_adjustment_set_value (place, gtk_adjustment_get_value (place) + (keyval == GDK_KEY_Page_Down ? step : -step));
  return TRUE;
}

gboolean
bl_why_panel_key (BlWhyPanel *self, guint keyval, GdkModifierType state)
{
  g_return_val_if_fail (BL_IS_WHY_PANEL (self), FALSE);
  guint lower = gdk_keyval_to_lower (keyval);
  GdkModifierType modifiers = state & (GDK_CONTROL_MASK | GDK_ALT_MASK);

  if (!bl_why_panel_is_open (self))
    return FALSE;
  if (modifiers == 0)
    return scroll (self, keyval);
  if (modifiers != GDK_ALT_MASK)
    return FALSE;
  if (lower == GDK_KEY_d)
    {
      toggle_figures (self);
      return TRUE;
    }
  if (self->checking != NULL && lower == GDK_KEY_n)
    {
      check_quarrel (self, 1);
      show (self);
      return TRUE;
    }
  if (self->checking == NULL || (lower != GDK_KEY_m && lower != GDK_KEY_s && lower != GDK_KEY_x))
    return FALSE;
  g_autofree char *measurement = g_strdup (self->checking);
  g_signal_emit (self, signals[lower == GDK_KEY_m ? AGAIN : lower == GDK_KEY_s ? STRIKE : EXPECTED], 0, measurement);
  return TRUE;
}

/* --- object --- */

static void
bl_why_panel_dispose (GObject *object)
{
  BlWhyPanel *self = BL_WHY_PANEL (object);

  g_clear_pointer (&self->ask, bl_why_ask_free);
  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_clear_object (&self->bench);
  g_clear_pointer (&self->reasons, bl_reasons_free);
  g_clear_pointer (&self->suspect, g_free);
  g_clear_pointer (&self->checking, g_free);
  g_clear_pointer (&self->trouble, g_free);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_why_panel_parent_class)->dispose (object);
}

static void
bl_why_panel_class_init (BlWhyPanelClass *klass)
{
  static const char *const names[] = { "go", "again", "strike", "expected" };
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_why_panel_dispose;
  for (guint i = 0; i < G_N_ELEMENTS (names); i++)
    signals[GO + i] = g_signal_new (names[i], BL_TYPE_WHY_PANEL, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE,
                                    1, G_TYPE_STRING);
  signals[CLOSED] = g_signal_new ("closed", BL_TYPE_WHY_PANEL, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static GtkWidget *
head (BlWhyPanel *self)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *close = gtk_button_new ();
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);

  self->title = bl_label ("", "choice-title", 0);
  gtk_label_set_ellipsize (GTK_LABEL (self->title), PANGO_ELLIPSIZE_END);
  gtk_widget_set_hexpand (self->title, TRUE);
  gtk_box_append (GTK_BOX (row), self->title);
  self->odds = bl_label ("", "odds", 1);
  gtk_box_append (GTK_BOX (row), self->odds);
  self->figures = gtk_button_new ();
  gtk_box_append (GTK_BOX (box), bl_key_cap (_ ("Alt D")));
  gtk_box_append (GTK_BOX (box), bl_label (_ ("figures"), NULL, 0));
  gtk_button_set_child (GTK_BUTTON (self->figures), box);
  gtk_widget_add_css_class (self->figures, "bare");
  gtk_widget_set_focus_on_click (self->figures, FALSE);
  bl_widget_name (self->figures, _ ("figures in decibans"));
  g_signal_connect_swapped (self->figures, "clicked", G_CALLBACK (toggle_figures), self);
  gtk_box_append (GTK_BOX (row), self->figures);
  gtk_button_set_child (GTK_BUTTON (close), bl_key_cap (_ ("Esc")));
  gtk_widget_add_css_class (close, "bare");
  gtk_widget_set_focus_on_click (close, FALSE);
  bl_widget_name (close, _ ("back to the photo"));
  g_signal_connect_swapped (close, "clicked", G_CALLBACK (bl_why_panel_close), self);
  gtk_box_append (GTK_BOX (row), close);
  return row;
}

static void
bl_why_panel_init (BlWhyPanel *self)
{
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4);
  gtk_widget_add_css_class (self->box, "choice");
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  gtk_box_append (GTK_BOX (self->box), head (self));
  self->content = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4);
  self->scrolled = gtk_scrolled_window_new ();
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (self->scrolled), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scrolled), self->content);
  gtk_widget_set_vexpand (self->scrolled, TRUE);
  gtk_box_append (GTK_BOX (self->box), self->scrolled);
  gtk_widget_set_visible (GTK_WIDGET (self), FALSE);
}

GtkWidget *
bl_why_panel_new (void)
{
  return g_object_new (BL_TYPE_WHY_PANEL, NULL);
}

void
bl_why_panel_set_bench (BlWhyPanel *self, BlBench *bench)
{
  g_return_if_fail (BL_IS_WHY_PANEL (self));
  bl_why_panel_close (self);
  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_set_object (&self->bench, bench);
  if (bench == NULL)
    return;
  g_signal_connect_object (bench, "changed", G_CALLBACK (changed), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (bench, "diagnosed", G_CALLBACK (diagnosed), self, G_CONNECT_SWAPPED);
}
