/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bench log as a list of lines: time, what, shape, words. It is append-only, so a wrong line is
 * struck through and kept. Some hundred lines, of which those in view are made: of a thousand an entry takes
 * no longer (bench-log). */
#include "config.h"

#include "bl-log-view.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-bench-supply.h"
#include "bl-bench-told.h"
#include "bl-drill-run.h"
#include "bl-format.h"
#include "bl-job-states.h"
#include "bl-library-time.h"
#include "bl-log-model.h"
#include "bl-log-photo.h"
#include "bl-proving.h"
#include "bl-shape-icon.h"
#include "bl-style.h"
#include "bl-view-rows.h"

#define EMPTY_HEIGHT 15 /* px, of a line not made yet */
#define WIDE 420 /* px from which on words are wrapped; in a narrower column each line stays one */

struct _BlLogView
{
  GtkWidget parent_instance;

  BlBench *bench;
  GtkWidget *scrolled, *list, *empty;
  BlLogModel *lines;
  GtkListItemFactory *rows;
  gboolean wide, pending;
};

enum
{
  PHOTO,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlLogView, bl_log_view, GTK_TYPE_WIDGET)

/* As it was typed. What is in no log, of the path of a plan, was typed by nobody: it has as many digits as are wanted. */
static char *
value_words (BlMeasurementItem *item, const BlRecord *record)
{
  BlMeasures measures = item != NULL ? bl_measurement_item_get_measurement (item)->measures : BL_N_MEASURES;
  BlReading reading;

  if (record->id == 0 && item != NULL && record->text != NULL
      && bl_reading_parse (record->text, measures, &reading, NULL))
    return bl_format_reading (measures, &reading);
  return g_strdup (record->text != NULL ? record->text : "");
}

static char *
reading_words (BlBench *bench, const BlRecord *record, char **rest)
{
  BlMeasurementItem *item = bl_bench_find (bench, record->subject);
  const char *point = item != NULL ? bl_measurement_item_get_point (item) : record->subject;
  const char *title = item != NULL ? bl_measurement_item_get_title (item) : "";

  const BlRecord *meter = record->meter != NULL ? bl_bench_meter_record (bench, record) : NULL;

  g_autofree char *told = bl_record_told_words (record);

  *rest = g_strdup_printf ("%s%s%s%s%s%s", told != NULL ? told : "", told != NULL && *title != '\0' ? " · " : "", title,
                           record->unproven ? _ (", without proof") : "",
                           g_strcmp0 (record->why, BL_STATE_OVER) == 0 ? _ (", after the state ran out") : "",
                           meter != NULL && bl_record_meter_past_due (meter) ? _ (", meter past its calibration") : "");
  g_autofree char *value = value_words (item, record);
  return g_strdup_printf ("%s  %s", point, value);
}

static const char *
titled (const char *title, const char *id)
{
  return title != NULL && *title != '\0' ? title : id != NULL ? id : "";
}

/* "replaced: 5 A out, 3.15 A in, because blown black". */
static char *
replaced_words (const BlRecord *record)
{
  GString *words = g_string_new (_ ("replaced"));
  const char *separator = ": ";

  if (record->old != NULL)
    {
      g_string_append_printf (words, _ ("%s%s out"), separator, record->old);
      separator = ", ";
    }
  if (record->text != NULL && *record->text != '\0')
    {
      g_string_append_printf (words, _ ("%s%s in"), separator, record->text);
      separator = ", ";
    }
  if (record->why != NULL)
    g_string_append_printf (words, _ ("%sbecause: %s"), separator, record->why);
  return g_string_free (words, FALSE);
}

static char *
time_words (const BlRecord *record)
{
  const char *text = record->text != NULL ? record->text : "";

  if (record->subject == NULL || *record->subject == '\0')
    return g_strdup_printf (_ ("%s min"), text);
  return g_strdup_printf (_ ("%s min, %s"), text,
                          g_str_equal (record->subject, BL_TIME_COUNTED) ? _ ("counted") : record->subject);
}

char *
bl_record_words (BlBench *bench, const BlRecord *record, char **rest)
{
  const BlBoard *board = bl_bench_get_board (bench);
  const char *text = record->text != NULL ? record->text : "", *subject = record->subject;
  const BlState *state;
  const BlSymptom *symptom;
  const char *symptom_title;
  BlJobState job_state;

  switch (record->kind)
    {
    case BL_RECORD_READING:
      return reading_words (bench, record, rest);
    case BL_RECORD_PART_TEST:
      *rest = g_strdup_printf (_ ("tested: %s"), text);
      return g_strdup (subject);
    case BL_RECORD_REPLACED:
      *rest = replaced_words (record);
      return g_strdup (subject);
    case BL_RECORD_ROUND:
      *rest = g_strdup (*text != '\0' ? text : _ ("new round"));
      return g_strdup (_ ("round"));
    case BL_RECORD_SYMPTOM:
      symptom = subject != NULL ? bl_board_symptom (board, subject) : NULL;
      symptom_title = titled (symptom != NULL ? symptom->title : NULL, subject);
      *rest = g_strcmp0 (text, "no") == 0 ? g_strdup_printf (_ ("%s: not shown"), symptom_title)
                                          : g_strdup (symptom_title);
      return g_strdup (_ ("symptom"));
    case BL_RECORD_STATE:
      state = subject != NULL ? bl_board_state (board, subject) : NULL;
      *rest = g_strdup (titled (state != NULL ? state->title : NULL, subject));
      return g_strdup (_ ("state"));
    case BL_RECORD_PROOF:
      *rest = g_strdup (text);
      return g_strdup (_ ("proof of dead"));
    case BL_RECORD_METER:
      *rest = g_strdup (*text != '\0' ? text : _ ("exact"));
      return g_strdup (_ ("meter"));
    case BL_RECORD_MARK:
      *rest = g_strdup (text);
      return g_strdup (C_ ("on a photo", "mark"));
    case BL_RECORD_CAUSE:
      *rest = *text != '\0' ? g_strdup_printf (_ ("the cause: %s"), text) : g_strdup (_ ("the cause"));
      return bl_cause_words (board, subject, NULL);
    case BL_RECORD_NO_CAUSE:
      *rest = g_strdup (_ ("not the cause"));
      return bl_cause_words (board, subject, NULL);
    case BL_RECORD_TIME:
      *rest = time_words (record);
      return g_strdup (_ ("time spent"));
    case BL_RECORD_PHOTO:
      *rest = g_strdup (text);
      return g_strdup (_ ("photo"));
    case BL_RECORD_TEST:
      return bl_proving_record_words (record, rest);
    case BL_RECORD_SUPPLY:
      *rest = bl_supply_record_words (record);
      return g_strdup (_ ("supply"));
    case BL_RECORD_JOB:
      *rest = g_strdup (bl_job_state_parse (text, &job_state) ? bl_job_state_word (job_state) : text);
      return g_strdup (_ ("job"));
    case BL_RECORD_NOTE:
    default:
      *rest = bl_drill_limits_words (record);
      if (*rest == NULL)
        *rest = g_strdup (text);
      return g_strdup (_ ("note"));
    }
}

/* Its first n bytes. */
static void
strike_through (GtkWidget *label, gsize n)
{
  g_autoptr (PangoAttrList) attributes = pango_attr_list_new ();
  PangoAttribute *line = pango_attr_strikethrough_new (TRUE);

  line->end_index = (guint) n;
  pango_attr_list_insert (attributes, line);
  gtk_label_set_attributes (GTK_LABEL (label), attributes);
}

/* What a line says, and why it was struck in the same label: two of them would share a narrow column badly. */
static char *
with_reason (const BlRecord *record, const char *rest)
{
  const char *gap = *rest != '\0' ? "  " : "";

  if (!record->struck)
    return g_strdup (rest);
  if (record->struck_reason == NULL || *record->struck_reason == '\0')
    return g_strdup_printf ("%s%s%s", rest, gap, _ ("struck"));
  g_autofree char *reason = g_strdup_printf (_ ("struck: %s"), record->struck_reason);
  return g_strdup_printf ("%s%s%s", rest, gap, reason);
}

static void
photo_pressed (GtkButton *button, BlLogView *self)
{
  g_signal_emit (self, signals[PHOTO], 0, g_object_get_data (G_OBJECT (button), "key"));
}

static GtkWidget *
photo_of (BlLogView *self, const BlRecord *record)
{
  GtkWidget *button = bl_log_photo_new (self->bench, g_ascii_strtoll (record->subject + strlen ("job:"), NULL, 10));

  g_object_set_data_full (G_OBJECT (button), "key", g_strdup (record->subject), g_free);
  g_signal_connect (button, "clicked", G_CALLBACK (photo_pressed), self);
  return button;
}

static void
fill_line (BlLogView *self, GtkWidget *line, const BlRecord *record)
{
  GtkWidget *what, *words;
  g_autoptr (GDateTime) utc = g_date_time_new_from_unix_utc (record->time / G_USEC_PER_SEC);
  g_autoptr (GDateTime) local = g_date_time_to_local (utc);
  g_autofree char *time = g_date_time_format (local, "%H:%M");
  g_autofree char *rest = NULL, *shown = NULL;
  g_autofree char *text = bl_record_words (self->bench, record, &rest);
  g_autofree char *name = NULL;
  BlMeasurementItem *item = record->kind == BL_RECORD_READING ? bl_bench_find (self->bench, record->subject) : NULL;
  gboolean judged = (record->kind == BL_RECORD_READING || record->kind == BL_RECORD_TEST) && record->verdict != NULL
                    && ((record->expected != NULL && *record->expected != '\0') || record->verdict->not_reached
                        || (item != NULL
                            && bl_measurement_item_get_measurement (item)->measures == BL_MEASURES_CHECK));

  /* What would have been done, as in the path of a plan, was done at no time. */
  if (record->time > G_USEC_PER_SEC)
    gtk_box_append (GTK_BOX (line), bl_label (time, "muted", 0));
  what = bl_label (text, "strong", 0);
  gtk_box_append (GTK_BOX (line), what);
  if (judged)
    gtk_box_append (GTK_BOX (line), bl_shape_icon_new (bl_shape_for_verdict (record->verdict, record->band), 12));
  if (record->kind == BL_RECORD_PHOTO && record->subject != NULL && g_str_has_prefix (record->subject, "job:"))
    gtk_box_append (GTK_BOX (line), photo_of (self, record));
  shown = with_reason (record, rest);
  words = bl_label (shown, "muted", 0);
  if (self->wide)
    {
      gtk_label_set_wrap (GTK_LABEL (words), TRUE);
      gtk_label_set_wrap_mode (GTK_LABEL (words), PANGO_WRAP_WORD_CHAR);
    }
  else
    gtk_label_set_ellipsize (GTK_LABEL (words), PANGO_ELLIPSIZE_END);
  bl_widget_tip (words, self->wide || *shown == '\0' ? NULL : shown);
  if (record->kind == BL_RECORD_READING)
    {
      g_autofree char *meter = bl_bench_record_meter_words (self->bench, record);
      g_autofree char *both = meter != NULL ? g_strdup_printf ("%s\n%s", shown, meter) : NULL;
      if (both != NULL)
        bl_widget_tip (words, g_strstrip (both));
    }
  gtk_widget_set_hexpand (words, TRUE);
  gtk_box_append (GTK_BOX (line), words);
  for (GtkWidget *child = gtk_widget_get_first_child (line); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    gtk_widget_set_valign (child, GTK_ALIGN_START);
  if (record->struck)
    {
      strike_through (what, strlen (text));
      strike_through (words, strlen (rest));
    }
  name = g_strdup_printf ("%s %s %s %s%s", time, text,
                          judged ? bl_class_word (bl_verdict_label (record->verdict)) : "", rest,
                          record->struck ? _ (", struck") : "");
  bl_widget_name (what, name);
}

static void
fill_row (GtkWidget *box, gpointer item, gpointer data)
{
  BlLogView *self = data;
  GPtrArray *records = self->bench != NULL ? bl_bench_get_records (self->bench) : NULL;
  guint place = bl_log_line_get_place (item);

  bl_widget_clear (box);
  gtk_box_set_spacing (GTK_BOX (box), 8);
  gtk_widget_add_css_class (box, "log-line");
  if (place < bl_len (records))
    fill_line (self, box, bl_at (records, place));
}

static void
refresh (BlLogView *self)
{
  GPtrArray *records = self->bench != NULL ? bl_bench_get_records (self->bench) : NULL;
  gboolean at_top = gtk_adjustment_get_value (gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (self->scrolled))) < 1;

  /* A list stays with the lines it shows: who is at the newest wants to see the next. */
  if (bl_log_model_set (self->lines, records) && at_top && bl_len (records) > 0)
    gtk_widget_activate_action (self->list, "list.scroll-to-item", "u", 0u);
  bl_view_rows_refill (self->rows);
  gtk_widget_set_visible (self->empty, bl_len (records) == 0);
}

static gboolean
refresh_later (GtkWidget *widget, GdkFrameClock *clock, gpointer data)
{
  BL_LOG_VIEW (widget)->pending = FALSE;
  refresh (BL_LOG_VIEW (widget));
  return G_SOURCE_REMOVE;
}

static void
bl_log_view_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum, int *natural,
                     int *minimum_baseline, int *natural_baseline)
{
  gtk_widget_measure (BL_LOG_VIEW (widget)->scrolled, orientation, for_size, minimum, natural, NULL, NULL);
}

/* How much of the height whole lines take: in a narrow column, where every line is one, none is cut at the foot. */
static int
whole_lines (BlLogView *self, int height)
{
  GtkWidget *line = gtk_widget_get_first_child (self->list);
  int natural = 0;

  if (line != NULL)
    gtk_widget_measure (line, GTK_ORIENTATION_VERTICAL, -1, NULL, &natural, NULL, NULL);
  return natural > 0 && natural < height ? height / natural * natural : height;
}

static void
bl_log_view_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  BlLogView *self = BL_LOG_VIEW (widget);
  gboolean wide = width >= WIDE;

  if (wide != self->wide && !self->pending)
    gtk_widget_add_tick_callback (widget, refresh_later, NULL, NULL);
  self->pending = self->pending || wide != self->wide;
  self->wide = wide;
  gtk_widget_size_allocate (self->empty, &(GtkAllocation){ 0, 0, width, height }, -1);
  gtk_widget_size_allocate (self->scrolled, &(GtkAllocation){ 0, 0, width, wide ? height : whole_lines (self, height) }, -1);
}

static void
bl_log_view_dispose (GObject *object)
{
  BlLogView *self = BL_LOG_VIEW (object);

  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_clear_object (&self->bench);
  g_clear_pointer (&self->empty, gtk_widget_unparent);
  g_clear_pointer (&self->scrolled, gtk_widget_unparent);
  g_clear_object (&self->rows);
  g_clear_object (&self->lines);
  G_OBJECT_CLASS (bl_log_view_parent_class)->dispose (object);
}

static void
bl_log_view_class_init (BlLogViewClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_log_view_dispose;
  signals[PHOTO] = g_signal_new ("photo", BL_TYPE_LOG_VIEW, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                                 G_TYPE_STRING);
  widget_class->measure = bl_log_view_measure;
  widget_class->size_allocate = bl_log_view_size_allocate;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
}

static void
bl_log_view_init (BlLogView *self)
{
  GtkNoSelection *none;

  self->lines = g_object_new (BL_TYPE_LOG_MODEL, NULL);
  none = gtk_no_selection_new (g_object_ref (G_LIST_MODEL (self->lines)));
  self->list = gtk_list_view_new (GTK_SELECTION_MODEL (none), NULL);
  self->rows = bl_view_rows_new (self->list, EMPTY_HEIGHT, NULL, fill_row, self);
  gtk_list_view_set_factory (GTK_LIST_VIEW (self->list), self->rows);
  gtk_widget_add_css_class (self->list, "log-list");
  self->empty = bl_label (_ ("nothing yet"), "muted small", 0);
  gtk_widget_set_valign (self->empty, GTK_ALIGN_START);
  gtk_widget_set_can_target (self->empty, FALSE);
  self->scrolled = gtk_scrolled_window_new ();
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (self->scrolled), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scrolled), self->list);
  gtk_widget_set_parent (self->scrolled, GTK_WIDGET (self));
  gtk_widget_set_parent (self->empty, GTK_WIDGET (self));
  bl_widget_name (GTK_WIDGET (self), _ ("Bench log"));
}

GtkWidget *
bl_log_view_new (void)
{
  return g_object_new (BL_TYPE_LOG_VIEW, NULL);
}

void
bl_log_view_set_bench (BlLogView *self, BlBench *bench)
{
  g_return_if_fail (BL_IS_LOG_VIEW (self));
  if (self->bench != NULL)
    g_signal_handlers_disconnect_by_data (self->bench, self);
  g_set_object (&self->bench, bench);
  bl_log_model_set (self->lines, NULL);
  if (bench != NULL)
    g_signal_connect_object (bench, "changed", G_CALLBACK (refresh), self, G_CONNECT_SWAPPED);
  refresh (self);
}
