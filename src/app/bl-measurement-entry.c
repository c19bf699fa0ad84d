/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Forty measurements times nine fields would be an hour of forms: here what was said last stays said,
 * and one line with Enter makes a measurement. What the line means is bl-entry-line.c's; this shows it. */
#include "config.h"

#include "bl-measurement-entry.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-band-lane.h"
#include "bl-chooser.h"
#include "bl-entry-line.h"
#include "bl-slot.h"
#include "bl-style.h"

#define FEW 3 /* choices that a key goes through; more are listed */

struct _BlMeasurementEntry
{
  GtkWidget parent_instance;

  BlEdition *edition;
  char *point;
  GHashTable *drafts; /* point -> what is typed there and not entered yet */
  BlEntryHabit habit;
  GtkWidget *box, *words[BL_ENTRY_BLACK + 1], *entry, *lane, *note;
};

enum
{
  ADDED,
  SKIPPED,
  SAID,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlMeasurementEntry, bl_measurement_entry, GTK_TYPE_WIDGET)

static const BlSlot slots[] = { BL_SLOT_MEASURES, BL_SLOT_STATE, BL_SLOT_BLACK };

/* --- what stays said --- */

static const BlTestPoint *
point_now (BlMeasurementEntry *self)
{
  return self->point != NULL ? bl_board_test_point (bl_edition_get_board (self->edition), self->point) : NULL;
}

static const char *
title_of (const BlState *state)
{
  return state == NULL ? "–" : state->title != NULL && *state->title != '\0' ? state->title : state->id;
}

/* The words above the line: of the line as far as it is typed and understood, else as they stay. */
static void
show_words (BlMeasurementEntry *self, const BlEntryLine *line)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  BlMeasures measures = line != NULL ? line->measurement->measures : self->habit.measures;
  const char *kind = bl_measures_name (measures);
  const BlState *state = line != NULL ? bl_board_state (board, line->measurement->state)
                                      : bl_entry_habit_state (&self->habit, board, measures);
  const BlTestPoint *lead = bl_entry_habit_black (&self->habit, board, point_now (self));
  const char *black = line != NULL ? line->measurement->black : lead != NULL ? lead->id : NULL;

  bl_chooser_show (BL_CHOOSER (self->words[BL_ENTRY_KIND]), kind, _ (kind), FALSE);
  bl_chooser_show (BL_CHOOSER (self->words[BL_ENTRY_STATE]), state != NULL ? state->id : NULL, title_of (state), FALSE);
  bl_chooser_show (BL_CHOOSER (self->words[BL_ENTRY_BLACK]), black != NULL ? black : "",
                   black != NULL ? black : _ ("not said"), black == NULL);
}

static GPtrArray *
choices_of (BlMeasurementEntry *self, BlEntryWord word)
{
  BlRef ref = bl_ref (BL_ELEMENT_MEASUREMENT, NULL);

  return bl_slot_choices (bl_edition_get_board (self->edition), &ref, slots[word]);
}

static BlEntryWord
word_of (BlMeasurementEntry *self, BlChooser *chooser)
{
  BlEntryWord word = BL_ENTRY_KIND;

  while (word < BL_ENTRY_BLACK && self->words[word] != GTK_WIDGET (chooser))
    word++;
  return word;
}

static void
fill (BlChooser *chooser, BlMeasurementEntry *self)
{
  g_autoptr (GPtrArray) choices = choices_of (self, word_of (self, chooser));

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

/* What is wrong is underlined where it stands. */
static void
underline (BlMeasurementEntry *self, const BlSpan *place)
{
  g_autoptr (PangoAttrList) attributes = pango_attr_list_new ();

  if (place != NULL && place->length > 0)
    {
      PangoAttribute *line = pango_attr_underline_new (PANGO_UNDERLINE_ERROR_LINE);
      line->start_index = place->from;
      line->end_index = place->from + place->length;
      pango_attr_list_insert (attributes, line);
    }
  gtk_entry_set_attributes (GTK_ENTRY (self->entry), attributes);
}

static const char *
example_of (BlMeasures measures)
{
  switch (measures)
    {
    case BL_MEASURES_CHECK:
      return _ ("relay clicks? yes  ·  lit  ·  not lit");
    case BL_MEASURES_SWING:
      return _ ("0..0.4 / 23..24 V: lower end / upper end");
    case BL_MEASURES_OHM:
      return _ ("980k ±10 %  ·  > 2M  ·  45..80 short 2  ·  0.5..0.7 diode  ·  12 V ±5 %");
    case BL_MEASURES_DIODE:
      return _ ("0.5..0.7  ·  > 1.5 short 0.1  ·  980k ±10 %  ·  12 V ±5 %");
    default:
      return _ ("12 V ±5 %  ·  5 V 4.8..5.2  ·  < 10 V off  ·  230 V AC run  ·  980k ±10 %  ·  0.5..0.7 diode  ·  lit");
    }
}

/* The place in words too: an underline is not read out. */
static void
refuse (BlMeasurementEntry *self, const char *text, const BlSpan *place, const GError *error)
{
  g_autofree char *wrong = g_strndup (text + place->from, place->length);
  g_autofree char *words = *wrong == '\0' || strcmp (wrong, text) == 0 || strstr (error->message, wrong) != NULL
                             ? g_strdup (error->message)
                             : g_strdup_printf (_ ("“%s”: %s"), wrong, error->message);

  underline (self, place);
  say (self, words, TRUE);
}

static void
show_line (BlMeasurementEntry *self, const BlEntryLine *line)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  g_autofree char *words = bl_entry_line_words (board, line), *doubt = bl_entry_line_doubt (board, line);
  g_autofree char *both = doubt != NULL ? g_strdup_printf ("%s\n%s", doubt, words) : NULL;

  underline (self, NULL);
  say (self, both != NULL ? both : words, doubt != NULL);
}

/* The line as it stands; NULL: empty, or not understood, which is said. (transfer full) */
static BlEntryLine *
read_now (BlMeasurementEntry *self)
{
  const char *text = gtk_editable_get_text (GTK_EDITABLE (self->entry));
  g_autoptr (GError) error = NULL;
  BlSpan place = { 0, 0 };
  BlEntryLine *line;

  if (*text == '\0' || self->edition == NULL)
    {
      underline (self, NULL);
      say (self, example_of (self->habit.measures), FALSE);
      return NULL;
    }
  line = bl_entry_line_read (bl_edition_get_board (self->edition), self->point, &self->habit, text, &place, &error);
  if (line != NULL)
    show_line (self, line);
  else
    refuse (self, text, &place, error);
  return line;
}

static void
check (BlMeasurementEntry *self)
{
  g_autoptr (BlEntryLine) line = read_now (self);

  bl_band_lane_show (BL_BAND_LANE (self->lane), line != NULL ? line->measurement : NULL);
  if (self->edition != NULL)
    show_words (self, line);
}

static void
take (BlMeasurementEntry *self, BlEntryWord word, const char *value)
{
  BlMeasures measures;

  if (word == BL_ENTRY_KIND && bl_measures_parse (value, &measures))
    bl_entry_habit_set_kind (&self->habit, measures);
  else if (word == BL_ENTRY_STATE)
    bl_entry_habit_pin_state (&self->habit, value);
  else if (word == BL_ENTRY_BLACK)
    bl_entry_habit_set_black (&self->habit, bl_edition_get_board (self->edition), value);
  check (self);
  g_signal_emit (self, signals[SAID], 0);
}

static void
chosen (BlChooser *chooser, const char *value, BlMeasurementEntry *self)
{
  take (self, word_of (self, chooser), value);
  gtk_widget_grab_focus (self->entry);
}

static void
entered (BlMeasurementEntry *self)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlEntryLine) line = read_now (self);

  if (*gtk_editable_get_text (GTK_EDITABLE (self->entry)) == '\0')
    {
      g_signal_emit (self, signals[SKIPPED], 0);
      return;
    }
  if (line == NULL || self->point == NULL)
    return;
  BlBoard *board = bl_edition_begin (self->edition, _ ("Add measurement"), NULL);
  g_autofree char *id = bl_entry_line_add (line, board);
  if (!bl_edition_commit (self->edition, &error))
    {
      say (self, error->message, TRUE);
      return;
    }
  bl_entry_habit_learn (&self->habit, bl_edition_get_board (self->edition), line);
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

/* --- from outside --- */

/* What is typed at one point waits there while another is looked at. */
static void
change_point (BlMeasurementEntry *self, const char *point)
{
  GtkEditable *entry = GTK_EDITABLE (self->entry);
  g_autofree char *name = g_strdup_printf (_ ("Expected value at %s"), point != NULL ? point : "–");
  const char *draft;

  if (self->point != NULL && *gtk_editable_get_text (entry) != '\0')
    g_hash_table_insert (self->drafts, g_strdup (self->point), g_strdup (gtk_editable_get_text (entry)));
  else if (self->point != NULL)
    g_hash_table_remove (self->drafts, self->point);
  g_free (self->point);
  self->point = g_strdup (point);
  draft = point != NULL ? g_hash_table_lookup (self->drafts, point) : NULL;
  gtk_editable_set_text (entry, draft != NULL ? draft : "");
  gtk_editable_set_position (entry, -1);
  bl_widget_name (self->entry, name);
}

void
bl_measurement_entry_set (BlMeasurementEntry *self, BlEdition *edition, const char *point)
{
  g_return_if_fail (BL_IS_MEASUREMENT_ENTRY (self));
  if (g_set_object (&self->edition, edition))
    {
      bl_entry_habit_clear (&self->habit);
      bl_entry_habit_init (&self->habit);
      gtk_editable_set_text (GTK_EDITABLE (self->entry), "");
      g_hash_table_remove_all (self->drafts);
    }
  if (g_strcmp0 (self->point, point) != 0)
    change_point (self, point);
  if (edition != NULL)
    check (self);
}

void
bl_measurement_entry_focus (BlMeasurementEntry *self)
{
  g_return_if_fail (BL_IS_MEASUREMENT_ENTRY (self));
  gtk_widget_grab_focus (self->entry);
}

void
bl_measurement_entry_begin (BlMeasurementEntry *self, gunichar c)
{
  g_return_if_fail (BL_IS_MEASUREMENT_ENTRY (self));
  char utf8[7] = "";
  int at = -1;

  utf8[g_unichar_to_utf8 (c, utf8)] = '\0';
  gtk_entry_grab_focus_without_selecting (GTK_ENTRY (self->entry));
  gtk_editable_insert_text (GTK_EDITABLE (self->entry), utf8, -1, &at);
  gtk_editable_set_position (GTK_EDITABLE (self->entry), -1);
}

void
bl_measurement_entry_change (BlMeasurementEntry *self, BlEntryWord word)
{
  g_return_if_fail (BL_IS_MEASUREMENT_ENTRY (self) && word <= BL_ENTRY_BLACK);
  if (self->edition == NULL)
    return;
  g_autoptr (GPtrArray) choices = choices_of (self, word);
  const char *now = bl_chooser_get_value (BL_CHOOSER (self->words[word]));
  guint next = 0;

  if (choices->len > FEW || choices->len == 0)
    {
      bl_chooser_open (BL_CHOOSER (self->words[word]));
      return;
    }
  for (guint i = 0; i < choices->len; i++)
    if (g_strcmp0 (((BlChoice *) bl_at (choices, i))->value, now) == 0)
      next = (i + 1) % choices->len;
  take (self, word, ((BlChoice *) bl_at (choices, next))->value);
}

void
bl_measurement_entry_set_black (BlMeasurementEntry *self, const char *point)
{
  g_return_if_fail (BL_IS_MEASUREMENT_ENTRY (self));
  if (self->edition != NULL)
    take (self, BL_ENTRY_BLACK, point);
}

const char *
bl_measurement_entry_get_black (BlMeasurementEntry *self)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ENTRY (self), NULL);
  if (self->edition == NULL)
    return NULL;
  const BlTestPoint *lead = bl_entry_habit_black (&self->habit, bl_edition_get_board (self->edition), point_now (self));
  return lead != NULL ? lead->id : NULL;
}

/* --- object --- */

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
  g_hash_table_unref (self->drafts);
  bl_entry_habit_clear (&self->habit);
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
  signals[SAID] = g_signal_new ("said", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
add_word (BlMeasurementEntry *self, GtkWidget *line, BlEntryWord word, const char *label, const char *name,
          const char *cap)
{
  GtkWidget *chooser = bl_chooser_new (name, FALSE);

  if (label != NULL)
    gtk_box_append (GTK_BOX (line), bl_label (label, "muted", 0));
  gtk_box_append (GTK_BOX (line), chooser);
  gtk_box_append (GTK_BOX (line), bl_key_cap (cap));
  g_signal_connect_object (chooser, "fill", G_CALLBACK (fill), self, 0);
  g_signal_connect_object (chooser, "chosen", G_CALLBACK (chosen), self, 0);
  self->words[word] = chooser;
}

static void
make_entry (BlMeasurementEntry *self)
{
  GtkEventController *keys = gtk_event_controller_key_new ();

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
}

static void
bl_measurement_entry_init (BlMeasurementEntry *self)
{
  GtkWidget *words = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6), *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);

  bl_entry_habit_init (&self->habit);
  self->drafts = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  self->box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  gtk_widget_add_css_class (self->box, "add-line");
  gtk_widget_set_parent (self->box, GTK_WIDGET (self));
  gtk_box_append (GTK_BOX (words), bl_label (_ ("new measurement"), "muted", 0));
  add_word (self, words, BL_ENTRY_KIND, NULL, _ ("Kind of the new measurement"), "F6");
  add_word (self, words, BL_ENTRY_STATE, _ ("in"), _ ("State of the new measurement"), "F7");
  add_word (self, words, BL_ENTRY_BLACK, _ ("black lead"), _ ("Black lead of the new measurement"), "F8");
  gtk_box_append (GTK_BOX (self->box), words);
  make_entry (self);
  self->lane = bl_band_lane_new (FALSE, TRUE);
  gtk_box_append (GTK_BOX (line), bl_label (_ ("expected"), "muted", 0));
  gtk_box_append (GTK_BOX (line), self->entry);
  gtk_box_append (GTK_BOX (line), self->lane);
  gtk_box_append (GTK_BOX (self->box), line);
  /* Two lines are kept for it, so that nothing below moves while one types. */
  self->note = bl_label ("", "muted small", 0);
  gtk_label_set_wrap (GTK_LABEL (self->note), TRUE);
  gtk_label_set_yalign (GTK_LABEL (self->note), 0);
  gtk_widget_set_size_request (self->note, -1, 36);
  gtk_box_append (GTK_BOX (self->box), self->note);
}

GtkWidget *
bl_measurement_entry_new (void)
{
  return g_object_new (BL_TYPE_MEASUREMENT_ENTRY, NULL);
}
