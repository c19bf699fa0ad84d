/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An open job. The bench log in the library is the truth: everything shown is derived from it anew
 * after each entry (a job has some hundreds of records, deriving takes well under a millisecond), so
 * screen and disk cannot differ. Verdicts come at once, odds from the worker of bl-bench-odds.c.
 *
 * The declared board state follows a reading that is meant for another live state, for whoever reads
 * there says so; but it never follows from live to unpowered by itself: that would hide a hazard.
 */
#include "config.h"

#include "bl-bench-private.h"
#include "bl-format.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#define LOW_VOLTAGE 60.0 /* V; DC limit of low energy circuits, IEC 62368-1 table 4 (from memory) */

struct _BlBench
{
  GObject parent_instance;

  BlLibrary *library; /* not owned */
  BlEdition *edition;
  BlJob *job;
  GPtrArray *records; /* BlRecord */
  GListStore *items;  /* BlMeasurementItem */
  BlMeasurementItem *current;
  GArray *undone;     /* gint64 ids of records struck by undo, newest last */

  char *state;        /* declared; NULL: not set */
  gint64 state_time, proof_time;
  char *meter;

  BlOddsWorker *worker;
  BlDiagnosis *diagnosis;
  char *trouble;
};

enum
{
  PROP_CURRENT = 1,
  PROP_STATE,
  N_PROPS
};
enum
{
  CHANGED,
  DIAGNOSED,
  N_SIGNALS
};
static GParamSpec *properties[N_PROPS];
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlBench, bl_bench, G_TYPE_OBJECT)

/* --- deriving what is shown from the log --- */

static gboolean
is_live (const BlBoard *board, const char *state)
{
  const BlState *found = state != NULL ? bl_board_state (board, state) : NULL;
  return found != NULL && found->live == TRUE;
}

/* One record's bearing on state, proof and meter. Proof of dead is void after any live state or
 * reading in one. */
static void
follow_record (BlBench *self, const BlBoard *board, const BlRecord *record)
{
  if (record->struck)
    return;
  if (record->kind == BL_RECORD_STATE)
    {
      g_free (self->state);
      self->state = g_strdup (record->subject);
      self->state_time = record->time;
    }
  if ((record->kind == BL_RECORD_STATE && is_live (board, record->subject))
      || (record->kind == BL_RECORD_READING && is_live (board, record->state)))
    self->proof_time = 0;
  else if (record->kind == BL_RECORD_PROOF)
    self->proof_time = record->time;
  else if (record->kind == BL_RECORD_METER)
    {
      g_free (self->meter);
      self->meter = g_strdup (record->text);
    }
}

static void
derive_state (BlBench *self)
{
  const BlBoard *board = bl_bench_get_board (self);

  g_clear_pointer (&self->state, g_free);
  g_clear_pointer (&self->meter, g_free);
  self->state_time = self->proof_time = 0;
  for (guint i = 0; i < self->records->len; i++)
    follow_record (self, board, bl_at (self->records, i));
}

/* Entries of the log with their records' places, so that what was judged can be found again. */
static GPtrArray *
entries_of_log (BlBench *self)
{
  return bl_records_to_entries (self->records);
}

static guint
round_of_last (GPtrArray *records)
{
  guint round = 1;
  for (guint i = 0; i < records->len; i++)
    {
      const BlRecord *record = bl_at (records, i);
      if (!record->struck && (record->kind == BL_RECORD_REPLACED || record->kind == BL_RECORD_ROUND))
        round++;
    }
  return round;
}

/* The last reading of a measurement; *old: it belongs to an earlier round. */
static const BlRecord *
last_reading (BlBench *self, const char *measurement, gboolean *old)
{
  guint last_round = round_of_last (self->records), round = 1;
  const BlRecord *found = NULL;

  *old = FALSE;
  for (guint i = 0; i < self->records->len; i++)
    {
      const BlRecord *record = bl_at (self->records, i);
      if (record->struck)
        continue;
      if (record->kind == BL_RECORD_REPLACED || record->kind == BL_RECORD_ROUND)
        round++;
      if (record->kind != BL_RECORD_READING || g_strcmp0 (record->subject, measurement) != 0)
        continue;
      found = record;
      *old = round < last_round;
    }
  return found;
}

/* The band of a measurement as the job stands; NULL when there is nothing to judge by. */
static BlBand *
band_now (BlBench *self, const BlMeasurement *measurement)
{
  double value = NAN, u = NAN;
  gboolean old;

  if (!measurement->has_expected)
    return NULL;
  if (measurement->expected.follows != NULL)
    {
      const BlRecord *followed = last_reading (self, measurement->expected.follows->measurement, &old);
      if (followed != NULL && followed->verdict != NULL)
        {
          value = followed->verdict->value;
          u = followed->verdict->u;
        }
    }
  return bl_band_resolve (measurement, value, u, NULL);
}

static void
refresh_items (BlBench *self)
{
  const BlBoard *board = bl_bench_get_board (self);

  for (guint i = 0; i < g_list_model_get_n_items (G_LIST_MODEL (self->items)); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (G_LIST_MODEL (self->items), i);
      const char *id = bl_measurement_item_get_id (item);
      const BlMeasurement *measurement = bl_board_measurement (board, id);
      gboolean old;
      const BlRecord *record = last_reading (self, id, &old);
      bl_measurement_item_update (item, board, band_now (self, measurement), record, old);
    }
}

static int
section_place (const BlBoard *board, const BlMeasurement *measurement)
{
  const char *section = bl_measurement_section (board, measurement);
  for (guint i = 0; i < bl_len (board->sections); i++)
    if (g_strcmp0 (((BlSection *) bl_at (board->sections, i))->id, section) == 0)
      return (int) i;
  return G_MAXINT; /* those of no section come last */
}

/* Makes the list follow the document: items of measurements that are still there are kept. */
static void
rebuild_items (BlBench *self)
{
  const BlBoard *board = bl_bench_get_board (self);
  g_autoptr (GPtrArray) items = g_ptr_array_new_with_free_func (g_object_unref);
  int n_sections = (int) bl_len (board->sections);

  for (int section = 0; section <= n_sections; section++)
    for (guint i = 0; i < bl_len (board->measurements); i++)
      {
        const BlMeasurement *measurement = bl_at (board->measurements, i);
        if (MIN (section_place (board, measurement), n_sections) != section)
          continue;
        BlMeasurementItem *kept = bl_bench_find (self, measurement->id);
        g_ptr_array_add (items, kept != NULL ? g_object_ref (kept) : bl_measurement_item_new (measurement->id));
      }
  g_list_store_splice (self->items, 0, g_list_model_get_n_items (G_LIST_MODEL (self->items)), items->pdata, items->len);
  if (self->current != NULL && bl_bench_find (self, bl_measurement_item_get_id (self->current)) == NULL)
    bl_bench_select (self, NULL);
}

static void
ask_odds (BlBench *self)
{
  const BlBoard *board = bl_bench_get_board (self);

  if (bl_len (board->stages) > 0)
    bl_odds_worker_ask (self->worker, board, bl_edition_get_generation (self->edition), entries_of_log (self));
}

static gboolean
reload (BlBench *self, GError **error)
{
  GPtrArray *records = bl_library_records (self->library, self->job->id, error);

  if (records == NULL)
    return FALSE;
  g_autofree char *before = g_strdup (self->state);
  g_autoptr (GPtrArray) old = g_steal_pointer (&self->records); /* items point into it until refreshed */
  self->records = records;
  derive_state (self);
  refresh_items (self);
  ask_odds (self);
  if (g_strcmp0 (before, self->state) != 0)
    g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_STATE]);
  g_signal_emit (self, signals[CHANGED], 0);
  return TRUE;
}

static void
edition_changed_cb (BlBench *self)
{
  /* Items hold pointers into the document: all of them are refreshed before anybody looks. */
  rebuild_items (self);
  refresh_items (self);
  ask_odds (self);
  g_signal_emit (self, signals[CHANGED], 0);
}

static void
odds_ready_cb (BlDiagnosis *diagnosis, const char *trouble, gboolean complete, gpointer data)
{
  BlBench *self = data;

  g_clear_pointer (&self->diagnosis, bl_diagnosis_free);
  self->diagnosis = diagnosis;
  g_free (self->trouble);
  self->trouble = g_strdup (trouble);
  g_signal_emit (self, signals[DIAGNOSED], 0);
}

/* --- opening --- */

BlBench *
bl_bench_new (BlLibrary *library, gint64 job, GError **error)
{
  g_autoptr (BlJob) loaded = bl_library_load_job (library, job, error);
  if (loaded == NULL)
    return NULL;
  g_autoptr (BlEdition) edition = bl_edition_new (library, loaded->board, error);
  if (edition == NULL)
    return NULL;

  g_autoptr (BlBench) self = g_object_new (BL_TYPE_BENCH, NULL);
  self->library = library;
  self->job = g_steal_pointer (&loaded);
  self->edition = g_steal_pointer (&edition);
  g_signal_connect_object (self->edition, "changed", G_CALLBACK (edition_changed_cb), self, G_CONNECT_SWAPPED);
  rebuild_items (self);
  if (!reload (self, error))
    return NULL;
  bl_bench_step (self, 1);
  return g_steal_pointer (&self);
}

gint64
bl_bench_start (BlLibrary *library, gint64 board, const BlJob *head, const char *symptom, GError **error)
{
  g_autoptr (BlJob) job = bl_job_new ();

  job->board = board;
  if (head != NULL)
    {
      job->number = head->number;
      job->customer = g_strdup (head->customer);
      job->unit = g_strdup (head->unit);
      job->serial = g_strdup (head->serial);
      job->complaint = g_strdup (head->complaint);
    }
  gint64 id = bl_library_add_job (library, job, error);
  if (id == 0 || symptom == NULL)
    return id;
  g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_SYMPTOM, symptom, "yes");
  record->job = id;
  return bl_library_append (library, record, error) ? id : 0;
}

/* --- what it holds --- */

BlEdition *
bl_bench_get_edition (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  return self->edition;
}

const BlBoard *
bl_bench_get_board (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  return bl_edition_get_board (self->edition);
}

const BlJob *
bl_bench_get_job (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  return self->job;
}

gboolean
bl_bench_save_job (BlBench *self, const BlJob *job, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);

  if (!bl_library_save_job (self->library, job, error))
    return FALSE;
  BlJob *loaded = bl_library_load_job (self->library, self->job->id, error);
  if (loaded == NULL)
    return FALSE;
  bl_job_free (self->job);
  self->job = loaded;
  g_signal_emit (self, signals[CHANGED], 0);
  return TRUE;
}

GListModel *
bl_bench_get_measurements (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  return G_LIST_MODEL (self->items);
}

GPtrArray *
bl_bench_get_records (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  return self->records;
}

BlMeasurementItem *
bl_bench_find (BlBench *self, const char *measurement)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  for (guint i = 0; i < g_list_model_get_n_items (G_LIST_MODEL (self->items)); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (G_LIST_MODEL (self->items), i);
      if (g_strcmp0 (bl_measurement_item_get_id (item), measurement) == 0)
        return item; /* kept alive by the list */
    }
  return NULL;
}

BlMeasurementItem *
bl_bench_get_current (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  return self->current;
}

void
bl_bench_select (BlBench *self, BlMeasurementItem *item)
{
  g_return_if_fail (BL_IS_BENCH (self));
  if (g_set_object (&self->current, item))
    g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_CURRENT]);
}

static int
place_of_current (BlBench *self)
{
  guint place;
  if (self->current != NULL && g_list_store_find (self->items, self->current, &place))
    return (int) place;
  return -1;
}

void
bl_bench_step (BlBench *self, int step)
{
  g_return_if_fail (BL_IS_BENCH (self));
  int n = (int) g_list_model_get_n_items (G_LIST_MODEL (self->items));
  int place = place_of_current (self);

  if (n == 0)
    return;
  place = place < 0 ? (step > 0 ? 0 : n - 1) : ((place + step) % n + n) % n;
  g_autoptr (BlMeasurementItem) item = g_list_model_get_item (G_LIST_MODEL (self->items), (guint) place);
  bl_bench_select (self, item);
}

/* After a reading: the next unread one in list order, in this board state if there is one. */
static void
select_next_unread (BlBench *self)
{
  int n = (int) g_list_model_get_n_items (G_LIST_MODEL (self->items)), from = place_of_current (self);
  BlMeasurementItem *elsewhere = NULL;

  for (int i = 1; i < n; i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (G_LIST_MODEL (self->items), (guint) ((from + i) % n));
      const char *state = bl_measurement_item_get_measurement (item)->state;
      if (bl_measurement_item_get_record (item) != NULL && !bl_measurement_item_is_old (item))
        continue;
      if (self->state == NULL || g_strcmp0 (state, self->state) == 0)
        {
          bl_bench_select (self, item);
          return;
        }
      if (elsewhere == NULL)
        elsewhere = item;
    }
  if (elsewhere != NULL)
    bl_bench_select (self, elsewhere);
}

/* --- entries --- */

static gboolean
append (BlBench *self, BlRecord *record, GError **error)
{
  record->job = self->job->id;
  if (!bl_library_append (self->library, record, error))
    return FALSE;
  g_array_set_size (self->undone, 0);
  return reload (self, error);
}

static gboolean
append_simple (BlBench *self, BlRecordKind kind, const char *subject, const char *text, GError **error)
{
  g_autoptr (BlRecord) record = bl_record_new (kind, subject, text);
  return append (self, record, error);
}

/* Judges text as the newest reading of a measurement: the last element of what comes back. */
static GPtrArray *
judge_with (BlBench *self, const BlMeasurement *measurement, const char *text, const BlReading *reading, GError **error)
{
  g_autoptr (GPtrArray) entries = entries_of_log (self);
  BlEntry *entry = bl_entry_new (BL_ENTRY_READING, measurement->id, text);

  entry->reading = *reading;
  entry->meter = g_strdup (self->meter);
  g_ptr_array_add (entries, entry);
  GPtrArray *judged = bl_evidence_judge (bl_bench_get_board (self), entries, error);
  if (judged != NULL)
    ((BlJudged *) bl_at (judged, judged->len - 1))->entry = NULL; /* entries go */
  return judged;
}

static gboolean
parse_reading (const BlMeasurement *measurement, const char *text, BlReading *reading, GError **error)
{
  if (g_str_has_prefix (text, "- "))
    {
      *reading = (BlReading){ .kind = BL_READING_NOT_REACHED };
      return TRUE;
    }
  return bl_reading_parse (text, measurement->measures, reading, error);
}

gboolean
bl_bench_preview (BlBench *self, const char *text, BlReading *reading, BlVerdict **verdict)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  g_autofree char *trimmed = g_strstrip (g_strdup (text));

  *verdict = NULL;
  if (self->current == NULL || *trimmed == '\0')
    return FALSE;
  const BlMeasurement *measurement = bl_measurement_item_get_measurement (self->current);
  if (!parse_reading (measurement, trimmed, reading, NULL))
    return FALSE;
  g_autoptr (GPtrArray) judged = judge_with (self, measurement, trimmed, reading, NULL);
  if (judged == NULL)
    return FALSE;
  const BlJudged *last = bl_at (judged, judged->len - 1);
  *verdict = last->verdict != NULL ? bl_verdict_copy (last->verdict) : NULL;
  return TRUE;
}

/* The declared state follows a reading meant for another live state; see the opening comment. */
static gboolean
follow_state (BlBench *self, const BlMeasurement *measurement, GError **error)
{
  const BlBoard *board = bl_bench_get_board (self);

  if (g_strcmp0 (self->state, measurement->state) == 0)
    return TRUE;
  if (!is_live (board, measurement->state) && (self->state == NULL || is_live (board, self->state)))
    return TRUE;
  return append_simple (self, BL_RECORD_STATE, measurement->state, NULL, error);
}

static gboolean
is_dead_proof (BlBench *self, const char *measurement)
{
  const char *const *proof = bl_bench_get_dead_proof (self);
  return proof != NULL && g_strv_contains (proof, measurement);
}

static gboolean
board_has_live_state (const BlBoard *board)
{
  for (guint i = 0; i < bl_len (board->states); i++)
    if (((BlState *) bl_at (board->states, i))->live == TRUE)
      return TRUE;
  return FALSE;
}

static BlRecord *
make_reading (BlBench *self, BlMeasurementItem *item, const char *text, GError **error)
{
  const BlMeasurement *measurement = bl_measurement_item_get_measurement (item);
  const BlBoard *board = bl_bench_get_board (self);
  BlReading reading;

  if (!parse_reading (measurement, text, &reading, error))
    return NULL;
  g_autoptr (GPtrArray) judged = judge_with (self, measurement, text, &reading, error);
  if (judged == NULL)
    return NULL;
  BlJudged *last = bl_at (judged, judged->len - 1);
  g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_READING, measurement->id, text);
  record->state = g_strdup (self->state != NULL ? self->state : measurement->state);
  record->black = g_strdup (measurement->black);
  record->meter = g_strdup (self->meter);
  record->expected = g_strdup (bl_measurement_item_get_expected (item));
  record->band = g_steal_pointer (&last->band);
  record->verdict = g_steal_pointer (&last->verdict);
  record->unproven = !is_live (board, measurement->state) && board_has_live_state (board)
                     && bl_bench_get_hazard (self) != BL_HAZARD_PROVEN && !is_dead_proof (self, measurement->id)
                     && measurement->measures != BL_MEASURES_CHECK;
  return g_steal_pointer (&record);
}

static gboolean
enter_reading (BlBench *self, BlMeasurementItem *item, const char *text, GError **error)
{
  g_autoptr (BlMeasurementItem) kept = g_object_ref (item);
  BlReading reading;

  /* Nothing is written, not even the state, before the text is known to be a reading. */
  if (!parse_reading (bl_measurement_item_get_measurement (kept), text, &reading, error)
      || !follow_state (self, bl_measurement_item_get_measurement (kept), error))
    return FALSE;
  g_autoptr (BlRecord) record = make_reading (self, kept, text, error);
  if (record == NULL || !append (self, record, error))
    return FALSE;
  bl_bench_select (self, kept);
  select_next_unread (self);
  return TRUE;
}

gboolean
bl_bench_enter (BlBench *self, const char *text, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  BlTyped typed;
  gboolean done = bl_bench_read_typed (self, text, &typed, error);

  if (done)
    switch (typed.kind)
      {
      case BL_TYPED_READING:
        done = enter_reading (self, typed.item, typed.rest, error);
        break;
      case BL_TYPED_SELECT:
        bl_bench_select (self, typed.item);
        break;
      case BL_TYPED_PART:
        if (g_ascii_strcasecmp (typed.rest, "replaced") == 0)
          done = bl_bench_replaced (self, typed.component, error);
        else
          done = bl_bench_part (self, typed.component, typed.rest, error);
        break;
      case BL_TYPED_NOTE:
      default:
        done = bl_bench_note (self, typed.rest, error);
        break;
      }
  bl_typed_clear (&typed);
  return done;
}

/* A mode by its name or the beginning of it; NULL with the modes there are. */
static const char *
find_mode (const BlComponent *component, const char *text, GError **error)
{
  g_autoptr (GString) names = g_string_new (NULL);
  const char *found = NULL;
  gsize length = strlen (text);

  for (guint i = 0; i < bl_len (component->modes); i++)
    {
      const char *mode = ((BlMode *) bl_at (component->modes, i))->mode;
      if (g_ascii_strcasecmp (mode, text) == 0)
        return mode;
      if (found == NULL && length > 0 && g_ascii_strncasecmp (mode, text, length) == 0)
        found = mode;
      g_string_append_printf (names, ", %s", mode);
    }
  if (found == NULL)
    g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("%s can be: good, replaced%s; not “%s”"),
                 component->id, names->str, text);
  return found;
}

gboolean
bl_bench_part (BlBench *self, const char *component, const char *result, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  const BlComponent *found = bl_board_component (bl_bench_get_board (self), component);
  const char *mode = "good";

  if (found == NULL)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("There is no component “%s”"), component);
      return FALSE;
    }
  if (g_ascii_strcasecmp (result, "good") != 0)
    mode = find_mode (found, result, error);
  return mode != NULL && append_simple (self, BL_RECORD_PART_TEST, component, mode, error);
}

gboolean
bl_bench_replaced (BlBench *self, const char *component, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  return append_simple (self, BL_RECORD_REPLACED, component, NULL, error);
}

gboolean
bl_bench_begin_round (BlBench *self, const char *condition, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  return append_simple (self, BL_RECORD_ROUND, NULL, condition, error);
}

gboolean
bl_bench_symptom (BlBench *self, const char *symptom, gboolean shown, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  return append_simple (self, BL_RECORD_SYMPTOM, symptom, shown ? "yes" : "no", error);
}

gboolean
bl_bench_note (BlBench *self, const char *text, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  return append_simple (self, BL_RECORD_NOTE, NULL, text, error);
}

gboolean
bl_bench_mark (BlBench *self, const char *text, const char *photo, double x, double y, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_MARK, NULL, text);

  record->photo = g_strdup (photo);
  record->x = x;
  record->y = y;
  return append (self, record, error);
}

gboolean
bl_bench_set_meter (BlBench *self, const char *spec, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  BlMeter meter;

  return bl_meter_parse (spec, &meter, error) && append_simple (self, BL_RECORD_METER, NULL, spec, error);
}

const char *
bl_bench_get_meter (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  return self->meter;
}

/* --- striking, undo --- */

gboolean
bl_bench_strike (BlBench *self, gint64 record, const char *reason, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  return bl_library_strike (self->library, record, TRUE, reason, error) && reload (self, error);
}

/* States and proofs of dead are facts about the hazard: undo does not take them back. */
static gboolean
undo_may_strike (const BlRecord *record)
{
  return !record->struck && record->kind != BL_RECORD_STATE && record->kind != BL_RECORD_PROOF;
}

static const BlRecord *
newest_to_undo (BlBench *self)
{
  for (guint i = self->records->len; i > 0; i--)
    if (undo_may_strike (bl_at (self->records, i - 1)))
      return bl_at (self->records, i - 1);
  return NULL;
}

gboolean
bl_bench_can_undo (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  return newest_to_undo (self) != NULL;
}

gboolean
bl_bench_can_redo (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  return self->undone->len > 0;
}

gboolean
bl_bench_undo (BlBench *self, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  const BlRecord *record = newest_to_undo (self);

  if (record == NULL)
    return TRUE;
  gint64 id = record->id;
  g_autofree char *measurement = g_strdup (record->kind == BL_RECORD_READING ? record->subject : NULL);
  if (!bl_bench_strike (self, id, _ ("undone"), error))
    return FALSE;
  g_array_append_val (self->undone, id);
  if (measurement != NULL && bl_bench_find (self, measurement) != NULL)
    bl_bench_select (self, bl_bench_find (self, measurement));
  return TRUE;
}

gboolean
bl_bench_redo (BlBench *self, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);

  if (self->undone->len == 0)
    return TRUE;
  gint64 id = g_array_index (self->undone, gint64, self->undone->len - 1);
  if (!bl_library_strike (self->library, id, FALSE, _ ("redone"), error))
    return FALSE;
  g_array_set_size (self->undone, self->undone->len - 1);
  return reload (self, error);
}

/* --- board state and hazard --- */

gboolean
bl_bench_set_state (BlBench *self, const char *state, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);

  if (bl_board_state (bl_bench_get_board (self), state) == NULL)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("There is no board state “%s”"), state);
      return FALSE;
    }
  return append_simple (self, BL_RECORD_STATE, state, NULL, error);
}

const BlState *
bl_bench_get_state (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  return self->state != NULL ? bl_board_state (bl_bench_get_board (self), self->state) : NULL;
}

gint64
bl_bench_get_state_time (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), 0);
  return self->state_time;
}

BlHazard
bl_bench_get_hazard (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), BL_HAZARD_UNKNOWN);
  const BlState *state = bl_bench_get_state (self);

  if (state == NULL)
    return BL_HAZARD_UNKNOWN;
  if (state->live == TRUE)
    return state->volts <= LOW_VOLTAGE ? BL_HAZARD_LOW : BL_HAZARD_HIGH;
  return self->proof_time != 0 ? BL_HAZARD_PROVEN : BL_HAZARD_UNPROVEN;
}

gint64
bl_bench_get_proof_time (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), 0);
  return self->proof_time;
}

gboolean
bl_bench_take_proof (BlBench *self, const char *text, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  return append_simple (self, BL_RECORD_PROOF, NULL, text, error);
}

const char *const *
bl_bench_get_dead_proof (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  static const char *const none[] = { NULL };
  const BlState *state = bl_bench_get_state (self);

  if (state == NULL || state->dead_proof == NULL)
    return none;
  return (const char *const *) state->dead_proof;
}

/* --- odds --- */

const BlDiagnosis *
bl_bench_get_diagnosis (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  return self->diagnosis;
}

const char *
bl_bench_get_trouble (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  return self->trouble;
}

gboolean
bl_bench_is_busy (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  return bl_odds_worker_is_busy (self->worker);
}

void
bl_bench_settle (BlBench *self)
{
  g_return_if_fail (BL_IS_BENCH (self));
  while (bl_odds_worker_is_busy (self->worker))
    g_main_context_iteration (NULL, TRUE);
}

/* "contact drop 230, contact in 230": the readings that speak for the leading component most. */
char *
bl_bench_reason (BlBench *self, const char *component)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  const BlDiagnosis *diagnosis = self->diagnosis;
  g_autoptr (GString) reason = g_string_new (NULL);

  if (diagnosis == NULL || bl_len (diagnosis->components) == 0
      || g_strcmp0 (((BlOdd *) bl_at (diagnosis->components, 0))->id, component) != 0)
    return g_strdup ("");
  for (guint i = 0, n = 0; i < bl_len (diagnosis->why) && n < 2; i++)
    {
      const BlWhy *why = bl_at (diagnosis->why, i);
      BlMeasurementItem *item = bl_bench_find (self, why->measurement);
      if (item == NULL || !(why->decibans >= 1 || isnan (why->decibans)))
        continue;
      g_string_append_printf (reason, "%s%s: %s", n++ > 0 ? "; " : "", bl_measurement_item_get_title (item),
                              bl_measurement_item_get_word (item));
    }
  return g_string_free (g_steal_pointer (&reason), FALSE);
}

/* --- class --- */

static void
bl_bench_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  BlBench *self = BL_BENCH (object);

  if (id == PROP_CURRENT)
    g_value_set_object (value, self->current);
  else if (id == PROP_STATE)
    g_value_set_string (value, self->state);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
bl_bench_finalize (GObject *object)
{
  BlBench *self = BL_BENCH (object);

  g_clear_pointer (&self->worker, bl_odds_worker_free);
  g_clear_object (&self->current);
  g_clear_object (&self->items);
  g_clear_object (&self->edition);
  g_clear_pointer (&self->job, bl_job_free);
  g_clear_pointer (&self->records, g_ptr_array_unref);
  g_clear_pointer (&self->undone, g_array_unref);
  g_clear_pointer (&self->state, g_free);
  g_clear_pointer (&self->meter, g_free);
  g_clear_pointer (&self->diagnosis, bl_diagnosis_free);
  g_clear_pointer (&self->trouble, g_free);
  G_OBJECT_CLASS (bl_bench_parent_class)->finalize (object);
}

static void
bl_bench_class_init (BlBenchClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  const GParamFlags flags = G_PARAM_READABLE | G_PARAM_EXPLICIT_NOTIFY | G_PARAM_STATIC_STRINGS;

  object_class->get_property = bl_bench_get_property;
  object_class->finalize = bl_bench_finalize;
  properties[PROP_CURRENT] = g_param_spec_object ("current", NULL, NULL, BL_TYPE_MEASUREMENT_ITEM, flags);
  properties[PROP_STATE] = g_param_spec_string ("state", NULL, NULL, NULL, flags);
  g_object_class_install_properties (object_class, N_PROPS, properties);
  signals[CHANGED] = g_signal_new ("changed", BL_TYPE_BENCH, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[DIAGNOSED] = g_signal_new ("diagnosed", BL_TYPE_BENCH, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
bl_bench_init (BlBench *self)
{
  self->items = g_list_store_new (BL_TYPE_MEASUREMENT_ITEM);
  self->records = g_ptr_array_new ();
  self->undone = g_array_new (FALSE, FALSE, sizeof (gint64));
  self->worker = bl_odds_worker_new (odds_ready_cb, self);
}
