/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Between the meter's values and the bench.
 *
 * Which value is a reading is decided in the core; here is what a bench adds to it. A reading goes in like a
 * typed one, so flags, doubts and undo are the same. Never by itself is taken: what the model doubts, what
 * would declare another board state (somebody has to switch the board first), what is read in another state
 * than the board is in. After a reading was taken by itself the next one goes to something a meter can
 * measure in the same state; checks stay for when the hands are free.
 *
 * Typed text wins: while there is any, or a question stands open, or the bench is out of sight, values are not
 * looked at, and afterwards the leads have to be lifted anew. The meter is never set to a range that drives a
 * current unless the board is declared unpowered. A few lines over
 * 600: one sequence of events; what is asked and what comes next is in bl-bench-capture-ask.c. */
#include "config.h"

#include "bl-bench-capture-private.h"

#include <glib/gi18n-lib.h>

#include "bl-chime.h"
#include "bl-live-meter.h"
#include "bl-settings.h"

#define TICK_MS 250

G_DEFINE_FINAL_TYPE (BlBenchCapture, bl_bench_capture, G_TYPE_OBJECT)

static gboolean
setting (const char *key)
{
  GSettings *settings = bl_settings ();
  return settings != NULL && g_settings_get_boolean (settings, key);
}

static void
chime (BlChime which)
{
  if (setting ("capture-sound"))
    bl_chime_play (which);
}

/* --- the key --- */

static char *
foot_key (void)
{
  GSettings *settings = bl_settings ();
  return settings != NULL ? g_settings_get_string (settings, "capture-key") : g_strdup ("");
}

/* --- the meter --- */

char *
bl_bench_capture_state (BlBenchCapture *self, gboolean *trouble)
{
  g_return_val_if_fail (BL_IS_BENCH_CAPTURE (self) && trouble != NULL, NULL);
  *trouble = FALSE;
  if (!self->on || self->meter == NULL)
    return NULL;
  switch (bl_meter_link_get_state (self->link))
    {
    case BL_METER_CONNECTED:
      return g_strdup_printf (_ ("%s: live"), self->meter->name);
    case BL_METER_LOST:
      *trouble = TRUE;
      return g_strdup_printf (_ ("%s: lost"), self->meter->name);
    case BL_METER_SEARCHING:
      return g_strdup_printf (_ ("%s: looked for"), self->meter->name);
    case BL_METER_CLOSED:
    default:
      return NULL;
    }
}

/* --- what is shown --- */

static gboolean
is_connected (BlBenchCapture *self)
{
  return self->on && bl_meter_link_get_state (self->link) == BL_METER_CONNECTED;
}

static void
show_live (BlBenchCapture *self, const BlLive *live)
{
  bl_focus_panel_set_live (BL_FOCUS_PANEL (self->page->focus), live);
  bl_probe_view_set_live (BL_PROBE_VIEW (self->page->probe), live);
}

static void
show (BlBenchCapture *self)
{
  g_autofree char *shown = NULL, *reading = NULL;
  g_autoptr (BlVerdict) verdict = NULL;
  BlLive live = { .words = self->words, .urgent = self->urgent, .loud = self->loud };

  if (!self->on || self->bench == NULL || self->suspended)
    {
      show_live (self, NULL);
      return;
    }
  if (is_connected (self) && self->has_last && self->kind != BL_CAPTURE_LOST)
    {
      shown = bl_sample_to_shown (&self->last);
      live.shown = shown;
      /* Leads in the air are no verdict. */
      if (self->waits || self->kind == BL_CAPTURE_ARMED)
        {
          reading = self->asked != NULL ? g_strdup (self->asked) : bl_sample_to_reading (&self->last);
          live.has_reading = bl_bench_preview (self->bench, reading, &live.reading, &verdict);
          live.verdict = verdict;
        }
    }
  show_live (self, &live);
}

static void
show_state (BlBenchCapture *self)
{
  gboolean trouble;
  g_autofree char *words = bl_bench_capture_state (self, &trouble);

  bl_key_strip_set_meter (BL_KEY_STRIP (self->page->keys), words, trouble);
  bl_probe_view_set_meter (BL_PROBE_VIEW (self->page->probe), words, trouble);
}

/* --- taking --- */

/* The job may be measured with another meter, that is not read live: from here on it is this one, whose ranges say
 * how accurate the reading is. */
static void
name_meter (BlBenchCapture *self)
{
  const BlShopMeter *own = bl_bench_get_shop_meter (self->bench);
  g_autoptr (GError) error = NULL;

  if (self->meter == NULL || self->meter->ranges->len == 0 || (own != NULL && own->id == self->meter->id))
    return;
  if (!bl_bench_set_shop_meter (self->bench, self->meter->id, &error))
    bl_key_strip_set_note (BL_KEY_STRIP (self->page->keys), error->message);
}

static void
enter (BlBenchCapture *self, const char *reading, gboolean by_itself)
{
  g_autofree char *text = g_strdup (reading);

  name_meter (self);
  bl_capture_forget (self);
  if (!bl_bench_page_enter (self->page, text))
    {
      /* Asked about or refused, and told so below the entry: the key says that it is meant. */
      self->asked = g_steal_pointer (&text);
      self->waits = TRUE;
      chime (BL_CHIME_ASKS);
      return;
    }
  chime (BL_CHIME_TAKEN);
  if (by_itself)
    bl_capture_go_on (self);
}

/* "Press Space to take 0.0 V." and why it is not taken by itself. (transfer full) */
static char *
press_words (const char *why, const BlSample *sample)
{
  g_autofree char *key = foot_key (), *name = bl_foot_key_words (key), *shown = bl_sample_to_shown (sample);
  g_autofree char *press = g_strdup_printf (_ ("Press %s to take %s."), name, shown);

  return why != NULL ? g_strdup_printf ("%s %s", press, why) : g_steal_pointer (&press);
}

static void
wait_for_key (BlBenchCapture *self, const char *why)
{
  g_autofree char *words = press_words (why, &self->last);

  self->waits = TRUE;
  bl_capture_set_words (self, words, TRUE, FALSE);
}

static void
taken (BlBenchCapture *self, const char *reading)
{
  g_autofree char *state = bl_capture_state_doubt (self), *doubt = bl_bench_doubt (self->bench, reading);

  if (doubt == NULL && state == NULL && setting ("capture-auto"))
    {
      enter (self, reading, TRUE);
      return;
    }
  g_free (self->asked);
  self->asked = g_strdup (reading);
  wait_for_key (self, doubt);
  if (doubt != NULL)
    {
      g_free (self->page->asked);
      self->page->asked = g_strdup (reading);
      bl_capture_set_words (self, doubt, TRUE, TRUE);
    }
  chime (BL_CHIME_ASKS);
  bl_speech_say (self->speech, self->words);
}

/* --- values --- */

static gboolean
must_wait (BlBenchCapture *self)
{
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self->page));
  GtkWidget *focus = root != NULL ? gtk_root_get_focus (root) : NULL;

  return !gtk_widget_get_mapped (GTK_WIDGET (self->page))
         || bl_choice_panel_is_open (BL_CHOICE_PANEL (self->page->choice))
         || (focus != NULL && GTK_IS_EDITABLE (focus) && *gtk_editable_get_text (GTK_EDITABLE (focus)) != '\0');
}

/* TRUE while values are not to be looked at. */
static gboolean
update_suspended (BlBenchCapture *self)
{
  gboolean before = self->suspended;

  self->suspended = self->bench == NULL || must_wait (self);
  if (before && !self->suspended)
    bl_capture_ask (self);
  if (before != self->suspended)
    show (self);
  return self->suspended;
}

/* Only what follows leads on a point is news; leads in the air stand still as well. */
static void
tell_key (BlBenchCapture *self, const char *why, gboolean was_armed)
{
  if (self->waits || was_armed)
    {
      gboolean news = !self->waits;
      wait_for_key (self, why);
      if (news)
        {
          chime (BL_CHIME_ASKS);
          bl_speech_say (self->speech, self->words);
        }
      return;
    }
  g_autofree char *words = press_words (why, &self->last);
  bl_capture_set_words (self, words, FALSE, FALSE);
}

static void
tell_mismatch (BlBenchCapture *self, const BlCaptureEvent *event)
{
  gboolean loud = bl_capture_board_is_live (self) && bl_capture_drives_current (self->last.mode);

  bl_capture_forget (self);
  bl_capture_set_words (self, event->words, TRUE, loud);
  if (event->changed)
    {
      chime (BL_CHIME_ASKS);
      bl_speech_say (self->speech, event->words);
    }
}

static void
handle (BlBenchCapture *self, const BlCaptureEvent *event)
{
  gboolean was_armed = self->kind == BL_CAPTURE_ARMED;

  self->kind = event->kind;
  switch (event->kind)
    {
    case BL_CAPTURE_TAKEN:
      {
        g_autofree char *reading = g_strdup (event->reading);
        taken (self, reading);
        break;
      }
    case BL_CAPTURE_ARMED:
      /* The next point is touched: what was held or asked is over. */
      if (!was_armed)
        {
          bl_capture_forget (self);
          bl_bench_page_mended (self->page);
          bl_probe_view_hold (BL_PROBE_VIEW (self->page->probe), NULL);
        }
      bl_capture_set_words (self, _ ("Hold still."), FALSE, FALSE);
      break;
    case BL_CAPTURE_NEEDS_KEY:
      if (self->asked == NULL)
        tell_key (self, event->words, was_armed);
      break;
    case BL_CAPTURE_MISMATCH:
      tell_mismatch (self, event);
      break;
    case BL_CAPTURE_LOST:
      bl_capture_forget (self);
      bl_capture_set_words (self, event->words, TRUE, FALSE);
      break;
    case BL_CAPTURE_HALF:
      bl_capture_set_words (self, event->words, TRUE, FALSE);
      if (event->changed)
        {
          chime (BL_CHIME_TAKEN);
          bl_speech_say (self->speech, event->words);
        }
      break;
    case BL_CAPTURE_SHOW:
      if (self->asked == NULL)
        {
          self->waits = FALSE;
          if (bl_capture_in_hand (self) != NULL
              && bl_meter_mode_for (bl_capture_in_hand (self)->measures) != BL_METER_OTHER)
            bl_capture_set_words (self, event->words != NULL ? event->words : _ ("Waits for the leads on the point."), FALSE, FALSE);
        }
      break;
    case BL_CAPTURE_NOTHING:
    default:
      break;
    }
}

/* A measurement that is typed asks nothing of the meter; that ohms are set on a board under power is told all
 * the same. */
static void
tell_driving (BlBenchCapture *self)
{
  const BlMeasurement *measurement = bl_capture_in_hand (self);
  gboolean driving = bl_capture_board_is_live (self) && bl_capture_drives_current (self->last.mode);

  if (measurement == NULL || bl_meter_mode_for (measurement->measures) != BL_METER_OTHER || driving == self->loud)
    return;
  if (!driving)
    {
      bl_capture_ask (self);
      return;
    }
  g_autofree char *words = g_strdup_printf (
      _ ("The meter is set to %s and the board is under power: take the leads off. Meter and board can be damaged."),
      bl_meter_mode_name (self->last.mode));
  bl_capture_set_words (self, words, TRUE, TRUE);
  chime (BL_CHIME_ASKS);
  bl_speech_say (self->speech, words);
}

static void
sample_came (BlMeterLink *link, const BlSample *sample, BlBenchCapture *self)
{
  self->last = *sample;
  self->has_last = TRUE;
  if (update_suspended (self))
    return;
  handle (self, bl_capture_feed (self->core, sample));
  tell_driving (self);
  show (self);
}

static gboolean
tick (gpointer data)
{
  BlBenchCapture *self = data;

  if (!is_connected (self) || update_suspended (self))
    return G_SOURCE_CONTINUE;
  const BlCaptureEvent *event = bl_capture_tick (self->core, g_get_monotonic_time ());
  if (event->kind == BL_CAPTURE_LOST || event->kind == BL_CAPTURE_TAKEN)
    {
      handle (self, event);
      show (self);
    }
  return G_SOURCE_CONTINUE;
}

static void
state_changed (BlMeterLink *link, int state, const char *words, BlBenchCapture *self)
{
  g_autofree char *told = NULL;

  if (state == BL_METER_LOST)
    {
      bl_capture_forget (self);
      self->has_last = FALSE;
      told = g_strdup_printf (_ ("%s Values can be typed meanwhile; F12 ends it."), words);
      bl_capture_set_words (self, told, TRUE, FALSE);
      chime (BL_CHIME_LOST);
      bl_speech_say (self->speech, words);
    }
  else if (state == BL_METER_SEARCHING && self->words == NULL)
    bl_capture_set_words (self, words, FALSE, FALSE);
  else if (state == BL_METER_CONNECTED)
    bl_capture_ask (self);
  show_state (self);
  show (self);
}

static void
trouble_told (BlMeterLink *link, const char *words, BlBenchCapture *self)
{
  bl_key_strip_set_note (BL_KEY_STRIP (self->page->keys), words);
}

/* --- keys --- */

gboolean
bl_bench_capture_take (BlBenchCapture *self)
{
  g_return_val_if_fail (BL_IS_BENCH_CAPTURE (self), FALSE);
  const BlMeasurement *measurement = bl_capture_in_hand (self);
  g_autoptr (GError) error = NULL;
  g_autofree char *text = NULL;

  if (!is_connected (self) || !self->has_last || update_suspended (self) || measurement == NULL
      || bl_meter_mode_for (measurement->measures) == BL_METER_OTHER)
    return FALSE;
  /* A reading just taken is looked at: the key goes on to the next point. */
  if (bl_bench_page_in_probe (self->page) && !self->waits && self->kind != BL_CAPTURE_ARMED
      && bl_probe_view_is_holding (BL_PROBE_VIEW (self->page->probe)))
    {
      bl_probe_view_hold (BL_PROBE_VIEW (self->page->probe), NULL);
      return TRUE;
    }
  text = self->asked != NULL ? g_strdup (self->asked)
                             : bl_capture_take (self->core, g_get_monotonic_time (), &error);
  if (text != NULL)
    enter (self, text, FALSE);
  else
    {
      bl_capture_set_words (self, error->message, TRUE, FALSE);
      chime (BL_CHIME_ASKS);
    }
  show (self);
  return TRUE;
}

gboolean
bl_bench_capture_key (BlBenchCapture *self, guint keyval, GdkModifierType state)
{
  g_return_val_if_fail (BL_IS_BENCH_CAPTURE (self), FALSE);
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self->page));
  GtkWidget *focus = root != NULL ? gtk_root_get_focus (root) : NULL;
  g_autofree char *key = foot_key ();

  if (!is_connected (self) || !bl_foot_key_matches (key, keyval, state, focus == NULL || GTK_IS_EDITABLE (focus)))
    return FALSE;
  return bl_bench_capture_take (self);
}

/* --- on and off --- */

static void
disconnect_meter (BlBenchCapture *self)
{
  self->on = FALSE;
  g_clear_handle_id (&self->tick, g_source_remove);
  bl_meter_link_close (self->link);
  g_clear_pointer (&self->meter, bl_shop_meter_free);
  bl_capture_forget (self);
  self->has_last = FALSE;
  bl_capture_set_words (self, NULL, FALSE, FALSE);
  show_state (self);
  show (self);
}

/* FALSE: no meter is set up for it. */
static gboolean
connect_meter (BlBenchCapture *self)
{
  g_autofree char *connection = NULL, *serialcomm = NULL;
  const BlShopMeter *own;

  if (self->page->library == NULL)
    return FALSE;
  g_clear_pointer (&self->meter, bl_shop_meter_free);
  /* The one this job is measured with, where it can be read live. */
  own = self->bench != NULL ? bl_bench_get_shop_meter (self->bench) : NULL;
  self->meter = own != NULL && own->driver != NULL && *own->driver != '\0' ? bl_shop_meter_copy (own)
                                                                          : bl_live_meter (self->page->library);
  if (self->meter == NULL)
    return FALSE;
  self->on = TRUE;
  self->suspended = self->bench == NULL || must_wait (self);
  bl_capture_ask (self);
  if (self->tick == 0)
    self->tick = g_timeout_add (TICK_MS, tick, self);
  bl_live_connection (self->meter->connection, &connection, &serialcomm);
  bl_meter_link_open (self->link, self->meter->driver, connection, serialcomm);
  show_state (self);
  show (self);
  return TRUE;
}

void
bl_bench_capture_toggle (BlBenchCapture *self)
{
  g_return_if_fail (BL_IS_BENCH_CAPTURE (self));
  GSettings *settings = bl_settings ();
  gboolean wanted = !self->on;

  if (!wanted)
    disconnect_meter (self);
  else if (!connect_meter (self))
    {
      bl_focus_panel_say (BL_FOCUS_PANEL (self->page->focus),
                          _ ("No meter is set up to be read live: Ctrl , then Capture and speech."), FALSE);
      return;
    }
  if (settings != NULL)
    g_settings_set_boolean (settings, "capture-on", wanted);
}

/* --- object --- */

static void
bench_changed (BlBenchCapture *self)
{
  bl_capture_ask (self);
  show (self);
}

void
bl_bench_capture_set_bench (BlBenchCapture *self, BlBench *bench)
{
  g_return_if_fail (BL_IS_BENCH_CAPTURE (self));
  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_set_object (&self->bench, bench);
  bl_speech_set_bench (self->speech, bench);
  if (bench == NULL)
    {
      disconnect_meter (self);
      return;
    }
  g_signal_connect_object (bench, "notify::current", G_CALLBACK (bench_changed), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (bench, "notify::state", G_CALLBACK (bench_changed), self, G_CONNECT_SWAPPED);
  if (!self->on && setting ("capture-on"))
    connect_meter (self);
  bench_changed (self);
}

static void
speech_set (BlBenchCapture *self)
{
  bl_speech_set_on (self->speech, setting ("speech"));
}

static void
bl_bench_capture_dispose (GObject *object)
{
  BlBenchCapture *self = BL_BENCH_CAPTURE (object);

  g_clear_handle_id (&self->tick, g_source_remove);
  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  if (self->link != NULL)
    {
      g_signal_handlers_disconnect_by_data (self->link, self);
      bl_meter_link_close (self->link);
    }
  g_clear_object (&self->link);
  g_clear_object (&self->speech);
  g_clear_object (&self->bench);
  G_OBJECT_CLASS (bl_bench_capture_parent_class)->dispose (object);
}

static void
bl_bench_capture_finalize (GObject *object)
{
  BlBenchCapture *self = BL_BENCH_CAPTURE (object);

  bl_capture_free (self->core);
  g_clear_pointer (&self->meter, bl_shop_meter_free);
  g_free (self->words);
  g_free (self->asked);
  G_OBJECT_CLASS (bl_bench_capture_parent_class)->finalize (object);
}

static void
bl_bench_capture_class_init (BlBenchCaptureClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_bench_capture_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_bench_capture_finalize;
}

static void
bl_bench_capture_init (BlBenchCapture *self)
{
  g_autoptr (BlSpeaker) voice = bl_voice_new ();

  self->core = bl_capture_new ();
  self->speech = bl_speech_new (voice);
  self->link = bl_meter_link_new ();
  g_signal_connect (self->link, "sample", G_CALLBACK (sample_came), self);
  g_signal_connect (self->link, "state", G_CALLBACK (state_changed), self);
  g_signal_connect (self->link, "trouble", G_CALLBACK (trouble_told), self);
}

BlBenchCapture *
bl_bench_capture_new (BlBenchPage *page)
{
  BlBenchCapture *self = g_object_new (BL_TYPE_BENCH_CAPTURE, NULL);
  GSettings *settings = bl_settings ();

  self->page = page;
  if (settings != NULL)
    g_signal_connect_object (settings, "changed::speech", G_CALLBACK (speech_set), self, G_CONNECT_SWAPPED);
  speech_set (self);
  return self;
}
