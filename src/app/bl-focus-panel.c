/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The focus panel.
 *
 * Typing a number and Enter is the whole interaction, so the entry is here, nowhere else, and never
 * moves. While typing, the needle is hollow and the verdict says 'so far'; nothing is kept before
 * Enter. What is typed and how it is judged is the model's business. */
#include "config.h"

#include "bl-focus-panel.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-band-from.h"
#include "bl-bench-safe.h"
#include "bl-bench-told.h"
#include "bl-format.h"
#include "bl-measurement-row.h"
#include "bl-ruler.h"
#include "bl-shape-icon.h"
#include "bl-style.h"

#define MOST_LARGE 8 /* characters of an entry or a reading that there is room for in the large figures */
#define LIVE_NOTE 38 /* px: two lines */
#define MOST_NAME 18 /* characters of the black lead's place; a longer one goes by its id */

struct _BlFocusPanel
{
  GtkWidget parent_instance;

  BlBench *bench;
  GtkWidget *frame, *field, *entry;
  GtkLabel *point, *title, *how, *caption, *expected, *expected_unit, *limits, *entry_unit, *word, *note, *aside, *grounds;
  GtkLabel *enter_cap, *enter_word, *live_value, *live_word;
  BlRuler *ruler;
  BlShapeIcon *shape;
  BlBandFrom *from;
  char *shown; /* id of the measurement shown */
  guint tick;    /* each second while what must be done before an ohm test hangs on the time */
  gboolean said; /* the note is about what was typed, not about the state */
  char *offer;        /* what Enter does while nothing is typed; NULL: nothing */
  gboolean look_back; /* nothing can be typed: the field shows the reading kept */
  char *step_title, *step_words; /* in a look back: a step at which nothing is in hand */
  gboolean is_live; /* a meter is read: live holds what it shows */
  BlLive live;
  char *live_shown, *live_words;
  BlVerdict *live_verdict;
};

enum
{
  ENTERED,
  PREVIEW,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlFocusPanel, bl_focus_panel, GTK_TYPE_WIDGET)

static void
set_word (BlFocusPanel *self, int shape, const char *word)
{
  bl_shape_icon_set_shape (self->shape, shape);
  gtk_widget_set_visible (GTK_WIDGET (self->shape), shape >= 0);
  for (int i = 0; i < BL_N_SHAPES; i++)
    gtk_widget_remove_css_class (GTK_WIDGET (self->word), bl_shape_css ((BlShape) i));
  if (shape >= 0)
    gtk_widget_add_css_class (GTK_WIDGET (self->word), bl_shape_css ((BlShape) shape));
  gtk_label_set_label (self->word, word);
}

static BlMeasurementItem *
current (BlFocusPanel *self)
{
  return self->bench != NULL ? bl_bench_get_current (self->bench) : NULL;
}

char *
bl_state_hint (BlBench *bench, BlMeasurementItem *item)
{
  g_return_val_if_fail (BL_IS_BENCH (bench) && BL_IS_MEASUREMENT_ITEM (item), NULL);
  const BlMeasurement *measurement = bl_measurement_item_get_measurement (item);
  const BlState *state = bl_board_state (bl_bench_get_board (bench), measurement->state);
  const char *title;

  if (state == NULL || state == bl_bench_get_state (bench) || bl_bench_get_told_by (bench) != NULL)
    return NULL;
  title = state->title != NULL ? state->title : state->id;
  if (bl_bench_would_declare (bench, item) == NULL)
    return g_strdup_printf (_ ("To be read in another state: %s. F2 declares it."), title);
  if (state->live == TRUE && isfinite (state->volts))
    return g_strdup_printf (_ ("Enter also declares the state: %s, live %g V"), title, state->volts);
  return g_strdup_printf (_ ("Enter also declares the state: %s"), title);
}

static gboolean
is_typing (BlFocusPanel *self)
{
  return *gtk_editable_get_text (GTK_EDITABLE (self->entry)) != '\0';
}

static void
set_class (GtkWidget *widget, const char *name, gboolean on)
{
  if (on)
    gtk_widget_add_css_class (widget, name);
  else
    gtk_widget_remove_css_class (widget, name);
}

/* What must be done before this test, or is to be said of the time: it changes by itself. */
static char *
before_words_of (BlFocusPanel *self, BlMeasurementItem *item)
{
  char *words = bl_bench_ohms_words (self->bench, item);

  return words != NULL ? words : bl_bench_over_words (self->bench, item);
}

/* Before the probe touches: it stays as long as this measurement is in hand. */
static void
show_grounds (BlFocusPanel *self)
{
  BlMeasurementItem *item = current (self);
  g_autofree char *words = item != NULL ? bl_bench_grounds_words (self->bench, item) : NULL;
  g_autofree char *all
    = words != NULL ? g_strdup_printf (_ ("%s. Joined by a lead they kill boards and meters."), words) : NULL;

  gtk_label_set_label (self->grounds, all != NULL ? all : "");
  gtk_widget_set_visible (GTK_WIDGET (self->grounds), all != NULL);
}

/* What was said about the text stays; else the note is about the state and what the meter shows. While a
 * meter is read its place stays, or the list below would jump with every word. */
static void
show_note (BlFocusPanel *self)
{
  BlMeasurementItem *item = current (self);
  gboolean live = self->is_live && !is_typing (self) && self->live.words != NULL;
  g_autofree char *hint = NULL, *both = NULL, *ohms = NULL;

  gtk_widget_set_size_request (GTK_WIDGET (self->note), -1, self->is_live ? LIVE_NOTE : -1);
  if (self->said)
    return;
  if (self->look_back) /* nothing is to be done */
    {
      gtk_widget_set_visible (GTK_WIDGET (self->note), item == NULL && self->step_words != NULL);
      return;
    }
  hint = item != NULL ? bl_state_hint (self->bench, item) : NULL;
  ohms = item != NULL ? before_words_of (self, item) : NULL;
  if (ohms != NULL)
    {
      g_autofree char *rest = g_steal_pointer (&hint);
      hint = rest != NULL ? g_strdup_printf ("%s %s", ohms, rest) : g_steal_pointer (&ohms);
    }
  if (hint != NULL && live)
    both = g_strdup_printf ("%s %s", self->live.words, hint);
  set_class (GTK_WIDGET (self->note), "refused", live && self->live.loud);
  set_class (GTK_WIDGET (self->note), "loud", live && self->live.loud);
  set_class (GTK_WIDGET (self->note), "quiet", live && hint == NULL && !self->live.urgent);
  gtk_label_set_label (self->note, both != NULL ? both : live ? self->live.words : hint != NULL ? hint : "");
  gtk_widget_set_visible (GTK_WIDGET (self->note), hint != NULL || self->is_live);
}

/* "before: 0.28, absent", of an earlier round; else nothing. (transfer full) */
static char *
before_words (BlMeasurementItem *item)
{
  BlReading reading;

  if (!bl_measurement_item_is_old (item) || !bl_measurement_item_get_before_reading (item, &reading))
    return g_strdup ("");
  g_autofree char *value
    = bl_format_reading (bl_measurement_item_get_measurement (item)->measures, &reading);
  return g_strdup_printf (_ ("before: %s, %s"), value, bl_measurement_item_get_word (item));
}

/* Who is entered with what is typed now, in place of the meter; else who told what is shown. */
static void
add_told (BlFocusPanel *self, BlMeasurementItem *item, char **words)
{
  const char *name = bl_bench_get_told_by (self->bench);
  const BlRecord *record = is_typing (self) ? NULL : bl_measurement_item_get_record (item);
  g_autofree char *told = name != NULL     ? g_strdup_printf (_ ("what is typed is told by %s"), name)
                          : record != NULL ? bl_record_told_words (record)
                                           : NULL;

  if (told == NULL)
    return;
  g_free (*words);
  *words = g_steal_pointer (&told);
}

/* The quiet line about the meter: what it makes of this reading and this point, and its calibration. Where there
 * is nothing to say its name stands there, so that the panel keeps its height while one types. */
static void
show_meter (BlFocusPanel *self)
{
  BlMeasurementItem *item = current (self);
  g_autofree char *words = NULL, *due = NULL, *both = NULL;

  if (item != NULL)
    {
      words = bl_bench_meter_words (self->bench, item, gtk_editable_get_text (GTK_EDITABLE (self->entry)));
      due = bl_bench_calibration_words (self->bench);
      if (words == NULL && due == NULL && bl_bench_get_shop_meter (self->bench) != NULL)
        words = g_strdup (bl_bench_get_shop_meter (self->bench)->name);
    }
  both = words != NULL && due != NULL ? g_strjoin ("  ·  ", words, due, NULL) : g_strdup (words != NULL ? words : due);
  if (item != NULL)
    add_told (self, item, &both);
  gtk_label_set_label (self->aside, both != NULL ? both : "");
  gtk_widget_set_visible (GTK_WIDGET (self->aside), both != NULL);
}

static void
show_preview (BlFocusPanel *self, const BlBand *band, const BlReading *reading, const BlVerdict *verdict)
{
  g_autofree char *word = verdict != NULL
                            ? g_strdup_printf (_ ("%s so far"), bl_class_word (bl_verdict_label (verdict)))
                            : g_strdup (_ ("kept, not judged"));

  bl_ruler_show (self->ruler, band, reading, verdict, TRUE);
  set_word (self, verdict != NULL ? (int) bl_shape_for_verdict (verdict, band) : -1, word);
  g_signal_emit (self, signals[PREVIEW], 0, reading, verdict);
}

/* The reading kept, in the field itself. */
static void
show_kept (BlFocusPanel *self)
{
  BlMeasurementItem *item = current (self);
  g_autofree char *value = NULL;
  BlReading reading;

  if (item != NULL && bl_measurement_item_get_reading (item, &reading))
    value = bl_format_reading (bl_measurement_item_get_measurement (item)->measures, &reading);
  gtk_label_set_label (self->live_value, value != NULL ? value : "–");
  set_class (self->field, "long", value != NULL && g_utf8_strlen (value, -1) > MOST_LARGE);
  gtk_widget_set_visible (GTK_WIDGET (self->live_value), TRUE);
}

/* A step without a measurement is no point: nothing of one is shown. */
static void
show_no_point (BlFocusPanel *self, gboolean none)
{
  gtk_widget_set_visible (GTK_WIDGET (self->point), !none);
  gtk_widget_set_visible (GTK_WIDGET (self->caption), !none);
  gtk_widget_set_visible (GTK_WIDGET (self->expected), !none);
  gtk_widget_set_visible (GTK_WIDGET (self->ruler), !none);
  gtk_widget_set_visible (self->field, !none);
  gtk_widget_set_visible (GTK_WIDGET (self->note), none && self->step_words != NULL);
  if (!none)
    return;
  gtk_label_set_label (self->title, self->step_title != NULL ? self->step_title : "");
  set_class (GTK_WIDGET (self->note), "refused", FALSE);
  gtk_label_set_label (self->note, self->step_words != NULL ? self->step_words : "");
}

/* The meter's value stands in the field while nothing is typed, in thin figures behind its own word. */
static void
show_live (BlFocusPanel *self)
{
  if (self->look_back)
    {
      show_kept (self);
      return;
    }
  gboolean shown = self->is_live && self->live.shown != NULL && !is_typing (self);

  set_class (self->field, "live", shown);
  gtk_widget_set_visible (GTK_WIDGET (self->live_word), shown);
  gtk_widget_set_visible (GTK_WIDGET (self->live_value), shown);
  gtk_widget_set_visible (GTK_WIDGET (self->entry_unit), !shown);
  gtk_label_set_label (self->live_value, shown ? self->live.shown : "");
  gboolean offered = self->offer != NULL && !is_typing (self);
  gtk_widget_set_visible (GTK_WIDGET (self->enter_cap),
                          is_typing (self) || offered || (shown && self->live.has_reading));
  gtk_label_set_label (self->enter_word, offered ? self->offer : _ ("keeps"));
  gtk_widget_set_visible (GTK_WIDGET (self->enter_word), is_typing (self) || offered);
}

/* Shows the reading kept, or the one being typed or read. */
static void
show_reading (BlFocusPanel *self)
{
  BlMeasurementItem *item = current (self);
  const char *text = gtk_editable_get_text (GTK_EDITABLE (self->entry));
  const BlBand *band = item != NULL ? bl_measurement_shown_band (item) : NULL;
  g_autoptr (BlVerdict) preview = NULL;
  BlReading reading;

  if (item != NULL && *text != '\0' && bl_bench_preview (self->bench, text, &reading, &preview))
    {
      show_preview (self, band, &reading, preview);
      return;
    }
  if (item != NULL && *text == '\0' && self->is_live && self->live.has_reading)
    {
      show_preview (self, band, &self->live.reading, self->live_verdict);
      return;
    }
  if (item != NULL && *text == '\0' && !bl_measurement_item_is_old (item)
      && bl_measurement_item_get_reading (item, &reading))
    {
      const BlVerdict *verdict = bl_measurement_item_get_verdict (item);
      bl_ruler_show (self->ruler, band, &reading, verdict, FALSE);
      set_word (self, verdict != NULL ? (int) bl_shape_for_verdict (verdict, band) : -1,
                bl_measurement_item_get_word (item));
    }
  else
    {
      g_autofree char *before = item != NULL && *text == '\0' ? before_words (item) : g_strdup ("");
      bl_ruler_show (self->ruler, band, NULL, NULL, FALSE);
      set_word (self, -1, before);
    }
  g_signal_emit (self, signals[PREVIEW], 0, NULL, NULL);
}

static void
entry_changed (BlFocusPanel *self)
{
  const char *text = gtk_editable_get_text (GTK_EDITABLE (self->entry));

  /* What is longer, a diode both ways or a range, would lose its beginning. */
  set_class (self->field, "long", g_utf8_strlen (text, -1) > MOST_LARGE);
  show_live (self);
  bl_focus_panel_say (self, NULL, FALSE);
  show_reading (self);
  show_meter (self);
}

static void
entry_activated (BlFocusPanel *self)
{
  g_autofree char *text = g_strdup (gtk_editable_get_text (GTK_EDITABLE (self->entry)));
  g_signal_emit (self, signals[ENTERED], 0, text);
}

/* "V AC, black on TP0, running" */
static char *
how_text (BlFocusPanel *self, BlMeasurementItem *item)
{
  const BlMeasurement *measurement = bl_measurement_item_get_measurement (item);
  const BlBoard *board = bl_bench_get_board (self->bench);
  const BlTestPoint *black = measurement->black != NULL ? bl_board_test_point (board, measurement->black) : NULL;
  const char *unit = bl_measurement_item_get_unit (item);
  gboolean named;

  if (*unit == '\0')
    unit = _ ("yes or no");
  if (black == NULL)
    return g_strdup (unit);
  named = black->title != NULL && *black->title != '\0' && g_utf8_strlen (black->title, -1) <= MOST_NAME;
  /* Translators: unit or kind of answer, then where the black lead goes */
  return g_strdup_printf (_ ("%s, black on %s"), unit, named ? black->title : black->id);
}

/* The nominal value large and the limits below it; without a nominal value the limits are large. */
static void
show_expected (BlFocusPanel *self, BlMeasurementItem *item)
{
  const BlBand *band = bl_measurement_shown_band (item);
  const char *expected = bl_measurement_item_get_expected (item), *unit = bl_measurement_item_get_unit (item);
  g_autofree char *nominal = NULL;
  g_autofree char *sentence = NULL;
  gboolean has_nominal = band != NULL && isfinite (band->nominal) && band->measures != BL_MEASURES_CHECK;

  if (has_nominal)
    nominal = bl_format_value (band->measures, band->negative ? -fabs (band->nominal) : band->nominal);
  else
    nominal = g_strdup (*expected != '\0' ? expected : "–");
  gtk_label_set_label (self->expected, nominal);
  /* A long text in figures of 32 px would push the entry away. */
  gtk_widget_remove_css_class (GTK_WIDGET (self->expected), "long");
  if (g_utf8_strlen (nominal, -1) > 7)
    gtk_widget_add_css_class (GTK_WIDGET (self->expected), "long");
  /* No band is no value: what it waits for stands in the line below. */
  if (band == NULL && bl_measurement_item_get_read_first (item) != NULL)
    {
      expected = "";
      gtk_label_set_label (self->expected, "–");
    }
  gtk_label_set_label (self->expected_unit, *expected != '\0' ? unit : "");
  gtk_label_set_label (self->limits, has_nominal ? expected : *expected != '\0' ? "" : _ ("no band yet"));
  sentence = g_strdup_printf (_ ("Expected %s %s, limits %s. %s"), nominal, unit, expected,
                              bl_measurement_item_get_from_long (item));
  bl_widget_name (GTK_WIDGET (self->expected), sentence);
}

/* What the band follows is read first; the text being typed stays with its point. */
static void
first_wanted (BlFocusPanel *self, const char *measurement)
{
  BlMeasurementItem *first = self->bench != NULL ? bl_bench_find (self->bench, measurement) : NULL;

  if (first == NULL)
    return;
  bl_bench_select (self->bench, first);
  bl_focus_panel_focus (self);
}

static void
refresh (BlFocusPanel *self)
{
  BlMeasurementItem *item = current (self);
  g_autofree char *how = item != NULL ? how_text (self, item) : NULL;
  g_autofree char *name = NULL;

  gtk_label_set_label (self->point, item != NULL ? bl_measurement_item_get_point (item) : _ ("No point yet"));
  gtk_label_set_label (self->title, item != NULL ? bl_measurement_item_get_title (item)
                                                 : _ ("press the photo where you measure"));
  gtk_label_set_label (self->how, how != NULL ? how : "");
  gtk_label_set_label (self->entry_unit, item != NULL ? bl_measurement_item_get_unit (item) : "");
  if (item != NULL)
    {
      name = g_strdup_printf (_ ("Reading of %s"), bl_measurement_item_get_point (item));
      show_expected (self, item);
    }
  else
    {
      gtk_label_set_label (self->expected, "–");
      gtk_label_set_label (self->expected_unit, "");
      gtk_label_set_label (self->limits, "");
    }
  bl_band_from_show (self->from, self->bench, item);
  bl_widget_name (self->entry, name != NULL ? name : _ ("Entry"));
  show_grounds (self);
  show_note (self);
  show_reading (self);
  show_meter (self);
  if (self->look_back)
    {
      show_kept (self);
      show_no_point (self, item == NULL);
    }
}

static gboolean
each_second (gpointer data)
{
  BlFocusPanel *self = data;

  if (self->bench != NULL && gtk_widget_get_mapped (GTK_WIDGET (self)))
    show_note (self);
  return G_SOURCE_CONTINUE;
}

static void
current_changed (BlFocusPanel *self)
{
  BlMeasurementItem *item = current (self);
  const char *id = item != NULL ? bl_measurement_item_get_id (item) : NULL;

  /* A half-typed value belongs to the point it was typed for. */
  if (g_strcmp0 (id, self->shown) != 0)
    {
      g_free (self->shown);
      self->shown = g_strdup (id);
      bl_focus_panel_clear (self);
      bl_focus_panel_say (self, NULL, FALSE);
    }
  refresh (self);
}

static void
bl_focus_panel_dispose (GObject *object)
{
  BlFocusPanel *self = BL_FOCUS_PANEL (object);

  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_clear_object (&self->bench);
  g_clear_handle_id (&self->tick, g_source_remove);
  g_clear_pointer (&self->shown, g_free);
  g_clear_pointer (&self->offer, g_free);
  g_clear_pointer (&self->step_title, g_free);
  g_clear_pointer (&self->step_words, g_free);
  g_clear_pointer (&self->live_shown, g_free);
  g_clear_pointer (&self->live_words, g_free);
  g_clear_pointer (&self->live_verdict, bl_verdict_free);
  gtk_widget_dispose_template (GTK_WIDGET (object), BL_TYPE_FOCUS_PANEL);
  for (GtkWidget *child; (child = gtk_widget_get_first_child (GTK_WIDGET (object))) != NULL;)
    gtk_widget_unparent (child);
  G_OBJECT_CLASS (bl_focus_panel_parent_class)->dispose (object);
}

static void
bl_focus_panel_class_init (BlFocusPanelClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_focus_panel_dispose;
  g_type_ensure (BL_TYPE_BAND_FROM);
  g_type_ensure (BL_TYPE_RULER);
  g_type_ensure (BL_TYPE_SHAPE_ICON);
  signals[ENTERED] = g_signal_new ("entered", BL_TYPE_FOCUS_PANEL, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                   G_TYPE_NONE, 1, G_TYPE_STRING);
  signals[PREVIEW] = g_signal_new ("preview", BL_TYPE_FOCUS_PANEL, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL,
                                   G_TYPE_NONE, 2, G_TYPE_POINTER, G_TYPE_POINTER);
  gtk_widget_class_set_template_from_resource (widget_class, "/org/benchlore/Benchlore/bl-focus-panel.ui");
  gtk_widget_class_bind_template_child (widget_class, BlFocusPanel, frame);
  gtk_widget_class_bind_template_child (widget_class, BlFocusPanel, field);
  gtk_widget_class_bind_template_child (widget_class, BlFocusPanel, entry);
  gtk_widget_class_bind_template_child (widget_class, BlFocusPanel, point);
  gtk_widget_class_bind_template_child (widget_class, BlFocusPanel, title);
  gtk_widget_class_bind_template_child (widget_class, BlFocusPanel, how);
  gtk_widget_class_bind_template_child (widget_class, BlFocusPanel, caption);
  gtk_widget_class_bind_template_child (widget_class, BlFocusPanel, expected);
  gtk_widget_class_bind_template_child (widget_class, BlFocusPanel, expected_unit);
  gtk_widget_class_bind_template_child (widget_class, BlFocusPanel, limits);
  gtk_widget_class_bind_template_child (widget_class, BlFocusPanel, entry_unit);
  gtk_widget_class_bind_template_child (widget_class, BlFocusPanel, word);
  gtk_widget_class_bind_template_child (widget_class, BlFocusPanel, note);
  gtk_widget_class_bind_template_child (widget_class, BlFocusPanel, aside);
  gtk_widget_class_bind_template_child (widget_class, BlFocusPanel, grounds);
  gtk_widget_class_bind_template_child (widget_class, BlFocusPanel, enter_cap);
  gtk_widget_class_bind_template_child (widget_class, BlFocusPanel, enter_word);
  gtk_widget_class_bind_template_child (widget_class, BlFocusPanel, live_value);
  gtk_widget_class_bind_template_child (widget_class, BlFocusPanel, live_word);
  gtk_widget_class_bind_template_child (widget_class, BlFocusPanel, ruler);
  gtk_widget_class_bind_template_child (widget_class, BlFocusPanel, shape);
  gtk_widget_class_bind_template_child (widget_class, BlFocusPanel, from);
  gtk_widget_class_bind_template_callback (widget_class, first_wanted);
  gtk_widget_class_bind_template_callback (widget_class, entry_changed);
  gtk_widget_class_bind_template_callback (widget_class, entry_activated);
}

/* The cap of Enter and its word are pressed by whoever has the mouse in hand. */
static void
press_enters (BlFocusPanel *self, GtkLabel *label)
{
  GtkGesture *click = gtk_gesture_click_new ();

  g_signal_connect_object (click, "released", G_CALLBACK (entry_activated), self, G_CONNECT_SWAPPED);
  gtk_widget_add_controller (GTK_WIDGET (label), GTK_EVENT_CONTROLLER (click));
}

static void
bl_focus_panel_init (BlFocusPanel *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  press_enters (self, self->enter_cap);
  press_enters (self, self->enter_word);
  self->tick = g_timeout_add_seconds (1, each_second, self);
  gtk_editable_set_alignment (GTK_EDITABLE (self->entry), 1);
  gtk_widget_set_visible (GTK_WIDGET (self->enter_cap), FALSE);
  gtk_widget_set_visible (GTK_WIDGET (self->enter_word), FALSE);
}

GtkWidget *
bl_focus_panel_new (void)
{
  return g_object_new (BL_TYPE_FOCUS_PANEL, NULL);
}

void
bl_focus_panel_set_bench (BlFocusPanel *self, BlBench *bench)
{
  g_return_if_fail (BL_IS_FOCUS_PANEL (self));
  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_set_object (&self->bench, bench);
  if (bench == NULL)
    return;
  g_signal_connect_object (bench, "changed", G_CALLBACK (refresh), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (bench, "notify::current", G_CALLBACK (current_changed), self, G_CONNECT_SWAPPED);
  current_changed (self);
}

void
bl_focus_panel_focus (BlFocusPanel *self)
{
  g_return_if_fail (BL_IS_FOCUS_PANEL (self));
  if (gtk_widget_get_mapped (self->entry))
    gtk_text_grab_focus_without_selecting (GTK_TEXT (self->entry));
  else
    gtk_widget_grab_focus (self->entry);
}

void
bl_focus_panel_clear (BlFocusPanel *self)
{
  g_return_if_fail (BL_IS_FOCUS_PANEL (self));
  gtk_editable_set_text (GTK_EDITABLE (self->entry), "");
}

void
bl_focus_panel_say (BlFocusPanel *self, const char *text, gboolean refused)
{
  g_return_if_fail (BL_IS_FOCUS_PANEL (self));
  self->said = text != NULL;
  if (text == NULL)
    {
      show_note (self);
      return;
    }
  g_autofree char *words = refused ? g_strdup_printf (_ ("Not kept: %s"), text) : g_strdup (text);
  set_class (GTK_WIDGET (self->note), "quiet", FALSE);
  set_class (GTK_WIDGET (self->note), "loud", FALSE);
  gtk_label_set_label (self->note, words);
  gtk_widget_add_css_class (GTK_WIDGET (self->note), "refused");
  gtk_widget_set_visible (GTK_WIDGET (self->note), TRUE);
}

void
bl_focus_panel_set_live (BlFocusPanel *self, const BlLive *live)
{
  g_return_if_fail (BL_IS_FOCUS_PANEL (self));
  if (live == NULL && !self->is_live)
    return;
  g_free (self->live_shown);
  g_free (self->live_words);
  g_clear_pointer (&self->live_verdict, bl_verdict_free);
  self->is_live = live != NULL;
  self->live = live != NULL ? *live : (BlLive){ 0 };
  self->live.shown = self->live_shown = g_strdup (self->live.shown);
  self->live.words = self->live_words = g_strdup (self->live.words);
  self->live_verdict = self->live.verdict != NULL ? bl_verdict_copy (self->live.verdict) : NULL;
  show_live (self);
  show_note (self);
  show_reading (self);
}

void
bl_focus_panel_set_offer (BlFocusPanel *self, const char *words)
{
  g_return_if_fail (BL_IS_FOCUS_PANEL (self));
  g_free (self->offer);
  self->offer = g_strdup (words);
  show_live (self);
}

void
bl_focus_panel_set_step (BlFocusPanel *self, const char *title, const char *words)
{
  g_return_if_fail (BL_IS_FOCUS_PANEL (self));
  g_free (self->step_title);
  g_free (self->step_words);
  self->step_title = g_strdup (title);
  self->step_words = words != NULL && *words != '\0' ? g_strdup (words) : NULL;
  if (self->look_back)
    show_no_point (self, current (self) == NULL);
}

void
bl_focus_panel_set_look_back (BlFocusPanel *self, gboolean look_back)
{
  g_return_if_fail (BL_IS_FOCUS_PANEL (self));
  self->look_back = look_back;
  gtk_editable_set_editable (GTK_EDITABLE (self->entry), !look_back);
  gtk_widget_set_can_focus (self->entry, !look_back);
  gtk_widget_set_can_target (self->entry, !look_back);
  show_live (self);
}
