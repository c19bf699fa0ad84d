/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Forty measurements times nine fields would be an hour of forms: here what was said last stays said,
 * and one line with Enter makes a measurement. */
#include "config.h"

#include "bl-measurement-entry.h"

#include <glib/gi18n-lib.h>

#include "bl-band-lane.h"
#include "bl-board-edit.h"
#include "bl-chooser.h"
#include "bl-slot.h"
#include "bl-style.h"

struct _BlMeasurementEntry
{
  GtkWidget parent_instance;

  BlEdition *edition;
  char *point;
  BlMeasures measures;
  char *state, *black; /* ids, black NULL: not said */
  GtkWidget *box, *kind, *in, *lead, *entry, *lane, *note;
};

enum
{
  ADDED,
  SKIPPED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlMeasurementEntry, bl_measurement_entry, GTK_TYPE_WIDGET)

/* --- what stays said --- */

/* The last live state is where most is measured; else the first. */
static const char *
usual_state (const BlBoard *board)
{
  for (guint i = bl_len (board->states); i > 0; i--)
    if (((BlState *) bl_at (board->states, i - 1))->live == 1)
      return ((BlState *) bl_at (board->states, i - 1))->id;
  return bl_len (board->states) > 0 ? ((BlState *) bl_at (board->states, 0))->id : NULL;
}

static void
drop_what_is_gone (BlMeasurementEntry *self, const BlBoard *board)
{
  if (self->state == NULL || bl_board_state (board, self->state) == NULL)
    {
      g_free (self->state);
      self->state = g_strdup (usual_state (board));
    }
  if (self->black != NULL && bl_board_test_point (board, self->black) == NULL)
    g_clear_pointer (&self->black, g_free);
}

static void
show_words (BlMeasurementEntry *self)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  const BlState *state = bl_board_state (board, self->state);
  const char *kind = bl_measures_name (self->measures);
  const char *title = state == NULL ? "–" : state->title != NULL && *state->title != '\0' ? state->title : state->id;

  bl_chooser_show (BL_CHOOSER (self->kind), kind, _ (kind), FALSE);
  bl_chooser_show (BL_CHOOSER (self->in), self->state, title, FALSE);
  bl_chooser_show (BL_CHOOSER (self->lead), self->black != NULL ? self->black : "",
                   self->black != NULL ? self->black : _ ("not said"), self->black == NULL);
}

static void
fill (BlChooser *chooser, BlMeasurementEntry *self)
{
  BlRef ref = bl_ref (BL_ELEMENT_MEASUREMENT, NULL);
  BlSlot slot = chooser == BL_CHOOSER (self->kind) ? BL_SLOT_MEASURES
                : chooser == BL_CHOOSER (self->in) ? BL_SLOT_STATE : BL_SLOT_BLACK;
  g_autoptr (GPtrArray) choices = bl_slot_choices (bl_edition_get_board (self->edition), &ref, slot);

  for (guint i = 0; i < choices->len; i++)
    bl_chooser_add (chooser, ((BlChoice *) bl_at (choices, i))->value, ((BlChoice *) bl_at (choices, i))->words);
}

/* --- what is typed --- */

static void
say (BlMeasurementEntry *self, const char *text, gboolean trouble)
{
  gtk_label_set_label (GTK_LABEL (self->note), text);
  if (trouble)
    gtk_widget_add_css_class (self->note, "trouble");
  else
    gtk_widget_remove_css_class (self->note, "trouble");
}

/* What would be expected; NULL with error when the text says nothing. (transfer full) */
static BlMeasurement *
draft (BlMeasurementEntry *self, GError **error)
{
  g_autoptr (BlMeasurement) measurement = bl_measurement_new ();

  measurement->measures = self->measures;
  if (!bl_expected_from_text (measurement, gtk_editable_get_text (GTK_EDITABLE (self->entry)), error))
    return NULL;
  g_autoptr (BlBand) band = bl_band_resolve (measurement, NAN, NAN, error);
  return band != NULL ? g_steal_pointer (&measurement) : NULL;
}

static void
check (BlMeasurementEntry *self)
{
  g_autoptr (GError) error = NULL;
  const char *text = gtk_editable_get_text (GTK_EDITABLE (self->entry));
  g_autoptr (BlMeasurement) measurement = *text != '\0' ? draft (self, &error) : NULL;

  bl_band_lane_show (BL_BAND_LANE (self->lane), measurement);
  if (error != NULL)
    say (self, error->message, TRUE);
  else if (*text == '\0')
    say (self,
         self->measures == BL_MEASURES_CHECK   ? _ ("yes or no")
         : self->measures == BL_MEASURES_SWING ? _ ("0..0.4 / 23..24: lower end / upper end")
                                               : _ ("12 V ±5 %  ·  4.8..5.2 V  ·  < 0.3 V  ·  empty: not known yet"),
         FALSE);
  else
    say (self, _ ("Enter adds it"), FALSE);
}

static void
kind_chosen (BlMeasurementEntry *self, const char *value)
{
  bl_measures_parse (value, &self->measures);
  show_words (self);
  check (self);
  gtk_widget_grab_focus (self->entry);
}

static void
state_chosen (BlMeasurementEntry *self, const char *value)
{
  g_free (self->state);
  self->state = g_strdup (value);
  show_words (self);
  gtk_widget_grab_focus (self->entry);
}

static void
black_chosen (BlMeasurementEntry *self, const char *value)
{
  g_free (self->black);
  self->black = *value != '\0' ? g_strdup (value) : NULL;
  show_words (self);
  gtk_widget_grab_focus (self->entry);
}

static void
entered (BlMeasurementEntry *self)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *text = g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->entry)));
  g_autoptr (BlMeasurement) wanted = draft (self, &error);

  if (*text == '\0')
    {
      g_signal_emit (self, signals[SKIPPED], 0);
      return;
    }
  if (wanted == NULL || self->point == NULL)
    {
      if (error != NULL)
        say (self, error->message, TRUE);
      return;
    }
  BlBoard *board = bl_edition_begin (self->edition, _ ("Add measurement"), NULL);
  g_autofree char *id = NULL;
  wanted->id = bl_board_free_id (board, BL_KIND_MEASUREMENT, "M");
  wanted->at = g_strdup (self->point);
  wanted->state = g_strdup (self->state);
  if (g_strcmp0 (self->black, self->point) != 0)
    wanted->black = g_strdup (self->black);
  id = g_strdup (wanted->id);
  bl_append (&board->measurements, g_steal_pointer (&wanted), (GDestroyNotify) bl_measurement_free);
  if (!bl_edition_commit (self->edition, &error))
    {
      say (self, error->message, TRUE);
      return;
    }
  gtk_editable_set_text (GTK_EDITABLE (self->entry), "");
  g_signal_emit (self, signals[ADDED], 0, id);
}

static gboolean
key (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state, BlMeasurementEntry *self)
{
  if (keyval != GDK_KEY_Escape)
    return GDK_EVENT_PROPAGATE;
  gtk_editable_set_text (GTK_EDITABLE (self->entry), "");
  g_signal_emit (self, signals[SKIPPED], 0);
  return GDK_EVENT_STOP;
}

/* --- object --- */

void
bl_measurement_entry_set (BlMeasurementEntry *self, BlEdition *edition, const char *point)
{
  g_return_if_fail (BL_IS_MEASUREMENT_ENTRY (self));
  if (g_set_object (&self->edition, edition))
    {
      g_clear_pointer (&self->state, g_free);
      g_clear_pointer (&self->black, g_free);
    }
  if (g_strcmp0 (self->point, point) != 0)
    {
      g_autofree char *name = g_strdup_printf (_ ("Expected value at %s"), point != NULL ? point : "–");
      g_free (self->point);
      self->point = g_strdup (point);
      gtk_editable_set_text (GTK_EDITABLE (self->entry), "");
      bl_widget_name (self->entry, name);
    }
  if (edition == NULL)
    return;
  drop_what_is_gone (self, bl_edition_get_board (edition));
  show_words (self);
  check (self);
}

void
bl_measurement_entry_focus (BlMeasurementEntry *self)
{
  g_return_if_fail (BL_IS_MEASUREMENT_ENTRY (self));
  gtk_widget_grab_focus (self->entry);
}

static void
bl_measurement_entry_dispose (GObject *object)
{
  BlMeasurementEntry *self = BL_MEASUREMENT_ENTRY (object);

  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_object (&self->edition);
  G_OBJECT_CLASS (bl_measurement_entry_parent_class)->dispose (object);
}

static void
bl_measurement_entry_finalize (GObject *object)
{
  BlMeasurementEntry *self = BL_MEASUREMENT_ENTRY (object);

  g_free (self->point);
  g_free (self->state);
  g_free (self->black);
  G_OBJECT_CLASS (bl_measurement_entry_parent_class)->finalize (object);
}

static void
bl_measurement_entry_class_init (BlMeasurementEntryClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);
  GType type = BL_TYPE_MEASUREMENT_ENTRY;

  G_OBJECT_CLASS (klass)->dispose = bl_measurement_entry_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_measurement_entry_finalize;
  gtk_widget_class_set_layout_manager_type (widget_class, GTK_TYPE_BIN_LAYOUT);
  signals[ADDED] = g_signal_new ("added", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_STRING);
  signals[SKIPPED] = g_signal_new ("skipped", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static GtkWidget *
add_chooser (BlMeasurementEntry *self, GtkWidget *line, const char *label, const char *name, GCallback taken)
{
  GtkWidget *chooser = bl_chooser_new (name, FALSE);

  if (label != NULL)
    gtk_box_append (GTK_BOX (line), bl_label (label, "muted", 0));
  gtk_box_append (GTK_BOX (line), chooser);
  g_signal_connect_object (chooser, "fill", G_CALLBACK (fill), self, 0);
  g_signal_connect_object (chooser, "chosen", taken, self, G_CONNECT_SWAPPED);
  return chooser;
}

static void
bl_measurement_entry_init (BlMeasurementEntry *self)
{
  GtkWidget *words = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6), *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  GtkEventController *keys = gtk_event_controller_key_new ();

  self->measures = BL_MEASURES_V_DC;
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  gtk_widget_add_css_class (self->box, "add-line");
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  gtk_box_append (GTK_BOX (words), bl_label (_ ("new measurement"), "muted", 0));
  self->kind = add_chooser (self, words, NULL, _ ("Kind of the new measurement"), G_CALLBACK (kind_chosen));
  self->in = add_chooser (self, words, _ ("in"), _ ("State of the new measurement"), G_CALLBACK (state_chosen));
  self->lead = add_chooser (self, words, _ ("black lead"), _ ("Black lead of the new measurement"),
                            G_CALLBACK (black_chosen));
  gtk_box_append (GTK_BOX (self->box), words);
  self->entry = gtk_entry_new ();
  gtk_widget_add_css_class (self->entry, "slot");
  gtk_widget_add_css_class (self->entry, "firm-entry");
  gtk_widget_set_hexpand (self->entry, TRUE);
  gtk_entry_set_placeholder_text (GTK_ENTRY (self->entry), _ ("expected value"));
  bl_widget_name (self->entry, _ ("Expected value"));
  g_signal_connect_swapped (self->entry, "changed", G_CALLBACK (check), self);
  g_signal_connect_swapped (self->entry, "activate", G_CALLBACK (entered), self);
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key), self);
  gtk_widget_add_controller (self->entry, keys);
  self->lane = bl_band_lane_new (FALSE, TRUE);
  gtk_box_append (GTK_BOX (line), bl_label (_ ("expected"), "muted", 0));
  gtk_box_append (GTK_BOX (line), self->entry);
  gtk_box_append (GTK_BOX (line), self->lane);
  gtk_box_append (GTK_BOX (self->box), line);
  self->note = bl_label ("", "muted small", 0);
  gtk_label_set_wrap (GTK_LABEL (self->note), TRUE);
  gtk_box_append (GTK_BOX (self->box), self->note);
}

GtkWidget *
bl_measurement_entry_new (void)
{
  return g_object_new (BL_TYPE_MEASUREMENT_ENTRY, NULL);
}
