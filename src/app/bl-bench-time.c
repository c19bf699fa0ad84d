/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Time spent on the job on the bench. It is counted from what is typed, pressed and moved on its page, so that
 * nobody has to think of a clock; a gap longer than the settings say is nobody's time. Whole minutes go to the log
 * when a pause came, every half hour, and when the job or the program is left. A job that is closed, waits, or may
 * only be read is looked at for nothing. */
#include "config.h"

#include "bl-bench-proving.h"

#include <glib/gi18n-lib.h>

#include "bl-bench-repair.h"
#include "bl-library-time.h"
#include "bl-settings.h"
#include "bl-work-clock.h"

#define MINUTE ((gint64) 60 * G_USEC_PER_SEC)
#define LOOK_S 10           /* between looks at the clock */
#define MOST (30 * MINUTE)  /* counted before it is written */

struct BlBenchTime
{
  BlBenchPage *page; /* not owned */
  BlBench *bench;
  BlWorkClock clock;
  guint tick;
  GtkEventController *events; /* of the page */
};

static gint64
idle_time (void)
{
  GSettings *settings = bl_settings ();

  return (settings != NULL ? g_settings_get_int (settings, "time-idle") : 5) * MINUTE;
}

static gboolean
counts (BlBenchTime *self)
{
  GSettings *settings = bl_settings ();

  if (self->bench == NULL || (settings != NULL && !g_settings_get_boolean (settings, "time-counted"))
      || bl_library_is_read_only (self->page->library))
    return FALSE;
  BlJobState state = bl_bench_get_job (self->bench)->state;
  return state == BL_JOB_ON_THE_BENCH || state == BL_JOB_PROVING;
}

/* "newest first", "newest first · 1 h 25 min, counting". */
static void
show (BlBenchTime *self)
{
  double sum = self->bench != NULL ? bl_bench_time_spent (self->bench) : 0;
  double open = (double) bl_work_clock_counted (&self->clock) / MINUTE;
  g_autofree char *spent = bl_minutes_words (sum + open);
  g_autofree char *words = NULL;

  if (self->page->log_hint == NULL)
    return;
  if (counts (self))
    words = self->clock.paused ? g_strdup_printf (_ ("%s, paused"), spent) : g_strdup_printf (_ ("%s, counting"), spent);
  else
    words = sum > 0 ? g_strdup (spent) : g_strdup (_ ("newest first"));
  gtk_label_set_label (GTK_LABEL (self->page->log_hint), words);
}

static void
keep (BlBenchTime *self)
{
  guint minutes = self->bench != NULL ? bl_work_clock_take (&self->clock) : 0;
  g_autoptr (GError) error = NULL;

  if (minutes > 0 && !bl_bench_count_time (self->bench, minutes, &error))
    g_message ("time spent: %s", error->message);
}

static gboolean
look (gpointer data)
{
  BlBenchTime *self = data;
  gint64 gap = g_get_monotonic_time () - self->clock.last;

  if (self->bench == NULL)
    return G_SOURCE_CONTINUE;
  if (bl_work_clock_counted (&self->clock) >= (gap > idle_time () ? MINUTE : MOST))
    keep (self);
  show (self);
  return G_SOURCE_CONTINUE;
}

static void
touch (BlBenchTime *self)
{
  if (counts (self) && bl_work_clock_touch (&self->clock, g_get_monotonic_time (), idle_time ()))
    keep (self);
}

static gboolean
event_seen (GtkEventControllerLegacy *controller, GdkEvent *event, BlBenchTime *self)
{
  switch (gdk_event_get_event_type (event))
    {
    case GDK_KEY_PRESS:
    case GDK_BUTTON_PRESS:
    case GDK_MOTION_NOTIFY:
    case GDK_SCROLL:
    case GDK_TOUCH_BEGIN:
      touch (self);
      break;
    default:
      break;
    }
  return GDK_EVENT_PROPAGATE;
}

BlBenchTime *
bl_bench_time_new (BlBenchPage *page)
{
  BlBenchTime *self = g_new0 (BlBenchTime, 1);

  self->page = page;
  self->events = gtk_event_controller_legacy_new ();
  gtk_event_controller_set_propagation_phase (self->events, GTK_PHASE_CAPTURE);
  g_signal_connect (self->events, "event", G_CALLBACK (event_seen), self);
  gtk_widget_add_controller (GTK_WIDGET (page), self->events);
  self->tick = g_timeout_add_seconds (LOOK_S, look, self);
  return self;
}

void
bl_bench_time_set_bench (BlBenchTime *self, BlBench *bench)
{
  g_return_if_fail (self != NULL);

  keep (self);
  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_set_object (&self->bench, bench);
  self->clock = (BlWorkClock){ 0 };
  if (bench != NULL)
    g_signal_connect_swapped (bench, "changed", G_CALLBACK (show), self);
  show (self);
}

void
bl_bench_time_end (BlBenchTime *self)
{
  guint minutes = self->bench != NULL ? bl_work_clock_take (&self->clock) : 0;
  g_autofree char *text = g_strdup_printf ("%u", minutes);
  g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_TIME, BL_TIME_COUNTED, text);
  g_autoptr (GError) error = NULL;

  if (minutes == 0)
    return;
  record->job = bl_bench_get_job (self->bench)->id;
  if (!bl_library_append (self->page->library, record, &error))
    g_message ("time spent: %s", error->message);
}

void
bl_bench_time_free (BlBenchTime *self)
{
  if (self == NULL)
    return;
  bl_bench_time_set_bench (self, NULL);
  g_clear_handle_id (&self->tick, g_source_remove);
  gtk_widget_remove_controller (GTK_WIDGET (self->page), self->events);
  g_free (self);
}

/* --- asking --- */

static void
ask_time (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *page = data;
  BlBenchTime *self = page->time;
  double open = (double) bl_work_clock_counted (&self->clock) / MINUTE;
  g_autofree char *sum = bl_minutes_words (bl_bench_time_spent (self->bench) + open);
  g_autofree char *title = g_strdup_printf (_ ("Time spent: %s"), sum);
  GSettings *settings = bl_settings ();
  int idle = settings != NULL ? g_settings_get_int (settings, "time-idle") : 5;
  g_autofree char *hint
    = !counts (self) ? g_strdup (_ ("Nothing is counted by itself now. Type minutes, and what for."))
                     : g_strdup_printf (ngettext ("Counted while something is typed or moved here; more than %d minute "
                                                  "without is not. Enter alone: %s.",
                                                  "Counted while something is typed or moved here; more than %d minutes "
                                                  "without are not. Enter alone: %s.", idle),
                                        idle, self->clock.paused ? _ ("count on") : _ ("pause"));

  bl_choice_panel_begin (BL_CHOICE_PANEL (page->choice), "time", title, hint);
  bl_choice_panel_add_entry (BL_CHOICE_PANEL (page->choice), _ ("25, or 25 soldering, or 1 h 30"), NULL);
  bl_bench_choices_open (page, BL_PLACE_LOG);
}

gboolean
bl_bench_time_entered (BlBenchPage *page, const char *tag, const char *words)
{
  BlBenchTime *self = page->time;
  GError *error = NULL;

  if (!g_str_equal (tag, "time"))
    return FALSE;
  if (*words != '\0')
    bl_bench_page_check (page, bl_bench_enter_time (page->bench, words, &error), _ ("Time spent"), &error);
  else if (counts (self))
    bl_work_clock_pause (&self->clock, !self->clock.paused);
  show (self);
  return TRUE;
}

void
bl_bench_time_add_actions (BlBenchPage *page)
{
  static const GActionEntry entries[] = { { "time", ask_time, NULL, NULL, NULL, { 0 } } };

  g_action_map_add_action_entries (G_ACTION_MAP (page->actions), entries, G_N_ELEMENTS (entries), page);
}
