/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is said aloud about the bench, and when.
 *
 * One entry changes much at once (a reading, a state it declares, the next point); it is gathered until the
 * loop is idle and said in the order a colleague would say it: danger, verdict, what comes next. A newer
 * event cuts off what is still being said of an older one, for the hands are already there; danger is never
 * cut off. Numbers are those of the screen. */
#include "config.h"

#include "bl-speech.h"

#include <glib/gi18n-lib.h>

#include "bl-format.h"

#define DANGER_US (6 * G_USEC_PER_SEC) /* so long nothing cuts off what was said of danger */

struct _BlSpeech
{
  GObject parent_instance;

  BlSpeaker *speaker;
  BlBench *bench;
  gboolean on;
  guint idle;
  gboolean selected, entered; /* since the last idle */
  gint64 last_record;         /* id of the newest line of the log that was looked at */
  char *state;                /* id the board was in; NULL: none */
  char *said;                 /* by bl_speech_say (), the last sentence */
  gint64 danger_until;        /* monotonic */
};

G_DEFINE_FINAL_TYPE (BlSpeech, bl_speech, G_TYPE_OBJECT)

/* --- words --- */

typedef struct
{
  const char *unit, *prefix, *words;
} SpokenUnit;

/* The prefixes are those bl_format_value () writes. */
static const SpokenUnit units[] = {
  { "V", "", N_ ("%s volts") },          { "A", "", N_ ("%s amperes") },     { "A", "m", N_ ("%s milliamperes") },
  { "A", "µ", N_ ("%s microamperes") },  { "A", "n", N_ ("%s nanoamperes") }, { "Hz", "", N_ ("%s hertz") },
  { "Hz", "k", N_ ("%s kilohertz") },    { "Hz", "M", N_ ("%s megahertz") }, { "degC", "", N_ ("%s degrees") },
  { "F", "p", N_ ("%s picofarads") },    { "F", "n", N_ ("%s nanofarads") }, { "F", "µ", N_ ("%s microfarads") },
  { "F", "m", N_ ("%s millifarads") },   { "F", "", N_ ("%s farads") },      { "s", "", N_ ("%s seconds") },
  { "s", "m", N_ ("%s milliseconds") },  { "s", "µ", N_ ("%s microseconds") }, { "ohm", "", N_ ("%s ohms") },
  { "ohm", "k", N_ ("%s kiloohms") },    { "ohm", "M", N_ ("%s megohms") },  { "ohm", "G", N_ ("%s gigaohms") },
};

/* "12 volts" of "12", "minus 4.7 kiloohms" of "-4.7 k". */
static char *
with_unit (BlMeasures measures, const char *shown)
{
  const char *unit = bl_measures_unit (measures), *blank = strrchr (shown, ' ');
  g_autofree char *number = blank != NULL ? g_strndup (shown, (gsize) (blank - shown)) : g_strdup (shown);
  const char *prefix = blank != NULL ? blank + 1 : "";
  g_autofree char *signed_number
    = *number == '-' ? g_strdup_printf (_ ("minus %s"), number + 1) : g_strdup (number);

  for (guint i = 0; unit != NULL && i < G_N_ELEMENTS (units); i++)
    if (g_str_equal (units[i].unit, unit) && g_str_equal (units[i].prefix, prefix))
      {
        g_auto (GStrv) around = g_strsplit (_ (units[i].words), "%s", 2);
        return g_strjoinv (signed_number, around);
      }
  return g_strdup (shown);
}

char *
bl_spoken_reading (BlMeasures measures, const BlReading *reading)
{
  g_return_val_if_fail (reading != NULL, NULL);
  g_autofree char *low = NULL, *high = NULL, *upper = NULL;

  switch (reading->kind)
    {
    case BL_READING_OVER:
      return g_strdup (_ ("over range"));
    case BL_READING_NOT_REACHED:
      return g_strdup (_ ("not reached"));
    case BL_READING_ANSWER:
      return g_strdup (reading->answer ? _ ("yes") : _ ("no"));
    case BL_READING_RANGE:
      low = bl_format_value (measures, reading->value);
      high = bl_format_value (measures, reading->high);
      upper = with_unit (measures, high);
      return g_strdup_printf (_ ("between %s and %s"), low, upper);
    case BL_READING_VALUE:
    default:
      low = bl_format_value (measures, reading->value);
      return with_unit (measures, low);
    }
}

char *
bl_spoken_measurement (BlMeasurementItem *item)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ITEM (item), NULL);
  const char *point = bl_measurement_item_get_point (item), *title = bl_measurement_item_get_title (item);

  if (g_strcmp0 (point, title) == 0 || title == NULL || *title == '\0')
    return g_strdup (point);
  return g_strdup_printf ("%s, %s", point, title);
}

char *
bl_spoken_verdict (BlMeasurementItem *item)
{
  g_return_val_if_fail (BL_IS_MEASUREMENT_ITEM (item), NULL);
  const BlRecord *record = bl_measurement_item_get_record (item);
  const char *word = bl_measurement_item_get_word (item);
  GString *words;
  BlReading reading;

  if (record == NULL || !bl_measurement_item_get_reading (item, &reading))
    return NULL;
  g_autofree char *value = bl_spoken_reading (bl_measurement_item_get_measurement (item)->measures, &reading);
  words = g_string_new (bl_measurement_item_get_point (item));
  g_string_append_printf (words, ", %s", value);
  if (word != NULL && *word != '\0' && g_strcmp0 (word, value) != 0)
    g_string_append_printf (words, ", %s", word);
  if (record->unproven)
    g_string_append_printf (words, ", %s", _ ("taken without proof of dead"));
  return g_string_free (words, FALSE);
}

char *
bl_spoken_hazard (BlBench *bench)
{
  g_return_val_if_fail (BL_IS_BENCH (bench), NULL);
  const BlState *state = bl_bench_get_state (bench);
  const char *title;
  g_autofree char *volts = NULL;

  if (state == NULL)
    return NULL;
  title = state->title != NULL && *state->title != '\0' ? state->title : state->id;
  if (state->live == 0)
    return bl_bench_get_hazard (bench) == BL_HAZARD_UNPROVEN
             ? g_strdup_printf (_ ("Declared unpowered, no proof of dead. %s."), title)
             : NULL;
  if (state->live != 1)
    return g_strdup_printf (_ ("Caution: live or not is not said, take it for live. %s."), title);
  if (!isfinite (state->volts))
    return g_strdup_printf (_ ("Caution: live. %s."), title);
  volts = bl_format_value (BL_MEASURES_V_DC, state->volts);
  return g_strdup_printf (_ ("Caution: live, %s volts. %s."), volts, title);
}

/* --- when --- */

static void
utter (BlSpeech *self, const char *sentence, gboolean first)
{
  gboolean interrupt = first && g_get_monotonic_time () > self->danger_until;

  bl_speaker_say (self->speaker, sentence, interrupt);
}

/* Id of the newest line of the log. */
static gint64
newest (BlSpeech *self)
{
  GPtrArray *records = bl_bench_get_records (self->bench);
  return bl_len (records) > 0 ? ((BlRecord *) bl_at (records, records->len - 1))->id : 0;
}

/* The measurement of the reading entered since last looked at; NULL: none. */
static BlMeasurementItem *
take_reading (BlSpeech *self)
{
  GPtrArray *records = bl_bench_get_records (self->bench);
  BlMeasurementItem *item = NULL;

  for (guint i = bl_len (records); i > 0 && item == NULL; i--)
    {
      const BlRecord *record = bl_at (records, i - 1);
      if (record->id <= self->last_record)
        break;
      if (record->kind == BL_RECORD_READING && !record->struck)
        item = bl_bench_find (self->bench, record->subject);
    }
  self->last_record = newest (self);
  return item;
}

static gboolean
flush (gpointer data)
{
  BlSpeech *self = data;
  BlMeasurementItem *current = bl_bench_get_current (self->bench);
  BlMeasurementItem *read = self->entered ? take_reading (self) : NULL;
  const BlState *state = bl_bench_get_state (self->bench);
  gboolean other_state = g_strcmp0 (state != NULL ? state->id : NULL, self->state) != 0, first = TRUE;
  g_autofree char *hazard = other_state ? bl_spoken_hazard (self->bench) : NULL;
  g_autofree char *verdict = read != NULL ? bl_spoken_verdict (read) : NULL;
  g_autofree char *place = self->selected && current != NULL ? bl_spoken_measurement (current) : NULL;

  self->idle = 0;
  self->selected = self->entered = FALSE;
  g_free (self->state);
  self->state = g_strdup (state != NULL ? state->id : NULL);
  if (!self->on || (hazard == NULL && verdict == NULL && place == NULL))
    return G_SOURCE_REMOVE;
  g_clear_pointer (&self->said, g_free);
  if (hazard != NULL)
    {
      utter (self, hazard, first);
      first = FALSE;
    }
  if (verdict != NULL)
    {
      utter (self, verdict, first);
      first = FALSE;
    }
  if (place != NULL)
    {
      g_autofree char *next = verdict != NULL ? g_strdup_printf (_ ("Next: %s"), place) : g_strdup (place);
      utter (self, next, first);
    }
  if (hazard != NULL)
    self->danger_until = g_get_monotonic_time () + DANGER_US;
  return G_SOURCE_REMOVE;
}

static void
flush_later (BlSpeech *self)
{
  if (self->idle == 0)
    self->idle = g_idle_add (flush, self);
}

static void
changed (BlSpeech *self)
{
  self->entered = TRUE;
  flush_later (self);
}

static void
current_changed (BlSpeech *self)
{
  self->selected = TRUE;
  flush_later (self);
}

/* --- object --- */

static void
bl_speech_dispose (GObject *object)
{
  BlSpeech *self = BL_SPEECH (object);

  bl_speech_set_bench (self, NULL);
  g_clear_object (&self->speaker);
  G_OBJECT_CLASS (bl_speech_parent_class)->dispose (object);
}

static void
bl_speech_finalize (GObject *object)
{
  g_free (BL_SPEECH (object)->state);
  g_free (BL_SPEECH (object)->said);
  G_OBJECT_CLASS (bl_speech_parent_class)->finalize (object);
}

static void
bl_speech_class_init (BlSpeechClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_speech_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_speech_finalize;
}

static void
bl_speech_init (BlSpeech *self)
{
}

BlSpeech *
bl_speech_new (BlSpeaker *speaker)
{
  g_return_val_if_fail (BL_IS_SPEAKER (speaker), NULL);
  BlSpeech *self = g_object_new (BL_TYPE_SPEECH, NULL);

  self->speaker = g_object_ref (speaker);
  return self;
}

void
bl_speech_set_bench (BlSpeech *self, BlBench *bench)
{
  g_return_if_fail (BL_IS_SPEECH (self));
  const BlState *state;

  g_clear_handle_id (&self->idle, g_source_remove);
  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_set_object (&self->bench, bench);
  g_clear_pointer (&self->state, g_free);
  if (bench == NULL)
    return;
  state = bl_bench_get_state (bench);
  self->state = g_strdup (state != NULL ? state->id : NULL);
  self->last_record = newest (self);
  self->selected = self->entered = FALSE;
  g_signal_connect_object (bench, "changed", G_CALLBACK (changed), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (bench, "notify::state", G_CALLBACK (flush_later), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (bench, "notify::current", G_CALLBACK (current_changed), self, G_CONNECT_SWAPPED);
}

void
bl_speech_set_on (BlSpeech *self, gboolean on)
{
  g_return_if_fail (BL_IS_SPEECH (self));
  self->on = on;
}

void
bl_speech_say (BlSpeech *self, const char *sentence)
{
  g_return_if_fail (BL_IS_SPEECH (self) && sentence != NULL);
  if (!self->on || g_strcmp0 (self->said, sentence) == 0)
    return;
  g_free (self->said);
  self->said = g_strdup (sentence);
  bl_speaker_say (self->speaker, sentence, FALSE);
}
