/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One measurement's known-good boards: count and figures, the plot, a sentence, buttons. The widgets stay and what
 * they say is changed, so that the focus is not lost under whoever goes through many of them by key. What an answer
 * does is the editor's. */
#include "config.h"

#include "bl-good-card.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-known-good-words.h"
#include "bl-spread-plot.h"
#include "bl-style.h"

enum
{
  ACCEPT,
  WITHOUT,
  REFUSE,
  OFFER,
  COUNT,
  N_BUTTONS
};

static const struct
{
  const char *act, *words, *name;
} buttons[N_BUTTONS] = {
  { "good-accept", N_ ("accept"), N_ ("Accept the proposed band of %s") },
  { "good-accept-without", N_ ("accept without outlier"), N_ ("Accept the band of %s without the outliers") },
  { "good-refuse", N_ ("refuse"), N_ ("Refuse the proposed band of %s until another board is read") },
  { "good-offer", N_ ("offer again"), N_ ("Offer the band of %s again") },
  { "good-count", N_ ("count what was left out"), N_ ("Count the boards of %s that were left out") },
};

struct _BlGoodCard
{
  GtkWidget parent_instance;

  char *measurement;
  gboolean brief; /* among many */
  GtkWidget *box, *plot, *said, *band, *compare, *buttons[N_BUTTONS];
  char *count; /* what is said while no dot is in hand */
};

enum
{
  ACT,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlGoodCard, bl_good_card, GTK_TYPE_WIDGET)

static void
say (GtkWidget *label, const char *words)
{
  gtk_label_set_label (GTK_LABEL (label), words);
  gtk_widget_set_visible (label, *words != '\0');
}

static void
dot_marked (BlSpreadPlot *plot, const char *words, BlGoodCard *self)
{
  say (self->said, words != NULL ? words : self->count);
}

/* The buttons of this card will change: whoever is at one of them goes on to the next card. */
static void
move_on (BlGoodCard *self)
{
  GtkWidget *root = GTK_WIDGET (gtk_widget_get_root (GTK_WIDGET (self))), *focus;

  for (int i = 0; i < N_BUTTONS + 1 && root != NULL; i++)
    {
      focus = gtk_window_get_focus (GTK_WINDOW (root));
      if (focus == NULL || !gtk_widget_is_ancestor (focus, GTK_WIDGET (self))
          || !gtk_widget_child_focus (root, GTK_DIR_TAB_FORWARD))
        return;
    }
}

static void
pressed (GtkButton *button, BlGoodCard *self)
{
  const char *act = g_object_get_data (G_OBJECT (button), "act");

  if (gtk_widget_has_focus (GTK_WIDGET (button)))
    move_on (self);
  g_signal_emit (self, signals[ACT], 0, act);
}

static gboolean
any_left_out (const BlGoodProposal *proposal)
{
  for (guint i = 0; i < proposal->boards->len; i++)
    if (((BlGoodBoard *) bl_at (proposal->boards, i))->use == BL_GOOD_LEFT_OUT)
      return TRUE;
  return FALSE;
}

static void
show_buttons (BlGoodCard *self, const BlGoodProposal *proposal)
{
  gboolean open = proposal->state == BL_GOOD_PROPOSED;
  gboolean with = open && proposal->with.trouble == NULL;
  gboolean without = open && proposal->n_outliers > 0 && !isnan (proposal->without.k)
                     && proposal->without.trouble == NULL;

  gtk_widget_set_visible (self->buttons[ACCEPT], with);
  gtk_widget_set_visible (self->buttons[WITHOUT], without);
  gtk_widget_set_visible (self->buttons[REFUSE], open);
  gtk_widget_set_visible (self->buttons[OFFER], proposal->state == BL_GOOD_REFUSED);
  gtk_widget_set_visible (self->buttons[COUNT], any_left_out (proposal));
  gtk_button_set_label (GTK_BUTTON (self->buttons[ACCEPT]), without ? _ ("accept with all") : _ ("accept"));
}

/* Boards without a value have no dot; they are named. */
static char *
count_words (BlGoodCard *self, const BlGoodProposal *proposal)
{
  GString *words = g_string_new (NULL);
  g_autofree char *count = bl_good_count_words (proposal);
  guint n = 0;

  if (!self->brief)
    g_string_append (words, _ ("Known good: "));
  g_string_append (words, count);
  for (guint i = 0; i < proposal->boards->len && proposal->state != BL_GOOD_NO_NUMBER; i++)
    {
      const BlGoodBoard *board = bl_at (proposal->boards, i);
      if (board->use != BL_GOOD_NO_VALUE || ++n > 3)
        continue;
      g_string_append_printf (words, _ (" · job %d: %s"), board->number, board->why);
    }
  return g_string_free (words, FALSE);
}

static char *
more_words (BlGoodCard *self, const BlGoodProposal *proposal)
{
  g_autofree char *documented = bl_good_documented_words (proposal), *compare = bl_good_compare_words (proposal);
  g_autofree char *without = bl_good_without_words (proposal);
  GString *words = g_string_new (NULL);

  if (proposal->state == BL_GOOD_NO_NUMBER || proposal->state == BL_GOOD_NO_BAND)
    return g_string_free (words, FALSE);
  if (*without != '\0')
    g_string_append_printf (words, "%s%s", without, self->brief ? "" : " · ");
  if (self->brief)
    return g_string_free (words, FALSE);
  g_string_append_printf (words, _ ("documented %s"), documented);
  if (*compare != '\0' && proposal->state == BL_GOOD_PROPOSED)
    g_string_append_printf (words, " · %s", compare);
  return g_string_free (words, FALSE);
}

void
bl_good_card_show (BlGoodCard *self, BlKnownGood *good)
{
  g_return_if_fail (BL_IS_GOOD_CARD (self));
  const BlGoodProposal *proposal = good != NULL ? bl_known_good_find (good, self->measurement) : NULL;
  g_autofree char *state = NULL, *more = NULL;

  gtk_widget_set_visible (self->box, proposal != NULL);
  if (proposal == NULL)
    return;
  state = bl_good_state_words (good, proposal, self->brief);
  more = more_words (self, proposal);
  g_free (self->count);
  self->count = count_words (self, proposal);
  say (self->said, self->count);
  say (self->band, state);
  say (self->compare, more);
  bl_spread_plot_show (BL_SPREAD_PLOT (self->plot), proposal);
  gtk_widget_set_visible (self->plot, bl_spread_plot_n_dots (BL_SPREAD_PLOT (self->plot), NULL) > 0);
  show_buttons (self, proposal);
}

/* --- object --- */

static GtkWidget *
add_label (GtkWidget *box, const char *css)
{
  GtkWidget *label = bl_label ("", css, 0);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_box_append (GTK_BOX (box), label);
  return label;
}

static void
make (BlGoodCard *self, gboolean raised)
{
  GtkWidget *foot = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12), *words = gtk_box_new (GTK_ORIENTATION_VERTICAL, 1);

  self->said = add_label (self->box, "muted small");
  self->plot = bl_spread_plot_new (raised);
  g_signal_connect (self->plot, "marked", G_CALLBACK (dot_marked), self);
  gtk_box_append (GTK_BOX (self->box), self->plot);
  self->band = add_label (words, "small");
  self->compare = add_label (words, "muted small");
  gtk_widget_set_hexpand (words, TRUE);
  gtk_box_append (GTK_BOX (foot), words);
  for (guint i = 0; i < N_BUTTONS; i++)
    {
      GtkWidget *button = gtk_button_new_with_label (_ (buttons[i].words));
      g_auto (GStrv) parts = g_strsplit (_ (buttons[i].name), "%s", 2);
      g_autofree char *name = g_strdup_printf ("%s%s%s", parts[0], self->measurement, parts[1] != NULL ? parts[1] : "");
      gtk_widget_add_css_class (button, "act");
      gtk_widget_set_valign (button, GTK_ALIGN_CENTER);
      gtk_widget_set_tooltip_text (button, name);
      bl_widget_name (button, name);
      g_object_set_data (G_OBJECT (button), "act", (gpointer) buttons[i].act);
      g_signal_connect (button, "clicked", G_CALLBACK (pressed), self);
      gtk_box_append (GTK_BOX (foot), button);
      self->buttons[i] = button;
    }
  gtk_box_append (GTK_BOX (self->box), foot);
}

static void
bl_good_card_dispose (GObject *object)
{
  g_clear_pointer (&BL_GOOD_CARD (object)->box, gtk_widget_unparent);
  G_OBJECT_CLASS (bl_good_card_parent_class)->dispose (object);
}

static void
bl_good_card_finalize (GObject *object)
{
  g_free (BL_GOOD_CARD (object)->measurement);
  g_free (BL_GOOD_CARD (object)->count);
  G_OBJECT_CLASS (bl_good_card_parent_class)->finalize (object);
}

static void
bl_good_card_class_init (BlGoodCardClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_good_card_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_good_card_finalize;
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
  signals[ACT] = g_signal_new ("act", BL_TYPE_GOOD_CARD, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                               G_TYPE_STRING);
}

static void
bl_good_card_init (BlGoodCard *self)
{
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 1);
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  gtk_widget_set_hexpand (GTK_WIDGET (self), TRUE);
}

const char *
bl_good_card_get_measurement (BlGoodCard *self)
{
  g_return_val_if_fail (BL_IS_GOOD_CARD (self), NULL);
  return self->measurement;
}

void
bl_good_card_take_focus (BlGoodCard *self)
{
  g_return_if_fail (BL_IS_GOOD_CARD (self));

  if (!gtk_widget_get_visible (self->plot) || !gtk_widget_grab_focus (self->plot))
    gtk_widget_child_focus (GTK_WIDGET (self), GTK_DIR_TAB_FORWARD);
}

GtkWidget *
bl_good_card_new (const char *measurement, gboolean raised)
{
  g_return_val_if_fail (measurement != NULL, NULL);
  BlGoodCard *self = g_object_new (BL_TYPE_GOOD_CARD, NULL);

  self->measurement = g_strdup (measurement);
  self->brief = !raised;
  make (self, raised);
  return GTK_WIDGET (self);
}
