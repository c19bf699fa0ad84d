/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An open job. The bench log in the library is the truth: everything shown is derived from it anew
 * after each entry (a job has some hundreds of records, deriving takes well under a millisecond), so
 * screen and disk cannot differ. Verdicts come at once, odds from the worker of bl-bench-odds.c.
 * Entries are made in bl-bench-log.c.
 */
#include "config.h"

#include "bl-bench-equipment.h"
#include "bl-bench-private.h"
#include "bl-format.h"

#include <glib/gi18n-lib.h>
#include <string.h>

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
  UNIONS,
  N_SIGNALS
};
static GParamSpec *properties[N_PROPS];
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlBench, bl_bench, G_TYPE_OBJECT)

/* --- deriving what is shown from the log --- */

static void
derive_state (BlBench *self)
{
  bl_safe_follow (&self->safe, bl_bench_get_board (self), &self->limits, self->records);
  g_free (self->state);
  self->state = g_strdup (self->safe.state);
  self->state_time = self->safe.state_time;
  self->proof_time = self->safe.proof_time;
  bl_bench_follow_meter (self);
}

void
bl_bench_follow_safe (BlBench *self)
{
  derive_state (self);
  bl_bench_announce (self);
}

void
bl_bench_announce (BlBench *self)
{
  g_signal_emit (self, signals[CHANGED], 0);
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

/* The last reading of a measurement; *before (may be NULL): the last one of an earlier round. Both
 * are the same where it was not read since. */
static const BlRecord *
last_reading (BlBench *self, const char *measurement, const BlRecord **before)
{
  guint last_round = round_of_last (self->records), round = 1;
  const BlRecord *found = NULL, *earlier = NULL;

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
      if (round < last_round)
        earlier = record;
    }
  if (before != NULL)
    *before = earlier;
  return found;
}

/* The band of a measurement as the job stands; NULL when there is nothing to judge by. */
static BlBand *
band_now (BlBench *self, const BlMeasurement *measurement)
{
  if (!measurement->has_expected)
    return NULL;
  return bl_band_resolve_on (bl_bench_get_board (self), measurement, bl_bench_followed_value (self, measurement), 0,
                             NULL);
}

static void
refresh_items (BlBench *self)
{
  const BlBoard *board = bl_bench_get_board (self);
  g_autoptr (GPtrArray) judged = bl_bench_judge_followers (self);

  for (guint i = 0; i < g_list_model_get_n_items (G_LIST_MODEL (self->items)); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (G_LIST_MODEL (self->items), i);
      const char *id = bl_measurement_item_get_id (item);
      const BlMeasurement *measurement = bl_board_measurement (board, id);
      const BlRecord *before, *record = last_reading (self, id, &before);
      bl_measurement_item_update (item, board, band_now (self, measurement), record,
                                  record != NULL && record == before, before);
      if (measurement->expected.follows != NULL)
        {
          const BlJudged *now = record != NULL && bl_bench_follow_outdated (board, self->records, record)
                                  ? bl_judged_last (judged, id) : NULL;
          bl_measurement_item_set_followed (item, board, bl_bench_followed_value (self, measurement),
                                            now != NULL && now->band != NULL ? now->verdict : NULL);
        }
    }
}

typedef struct
{
  const BlMeasurement *measurement;
  guint box, section; /* box 0: of none, as all of one board, and what is checked between boxes */
} Place;

static int
compare_places (gconstpointer a, gconstpointer b)
{
  const Place *one = a, *other = b;
  if (one->box != other->box)
    return one->box < other->box ? -1 : 1;
  return one->section < other->section ? -1 : one->section > other->section;
}

static Place
place_of (BlBench *self, const BlBoard *board, const BlMeasurement *measurement)
{
  Place place = { measurement, 0, G_MAXUINT }; /* those of no section come last */
  const char *section = bl_measurement_section (board, measurement);
  const char *role = bl_bench_role_of (self, measurement->id);

  for (guint i = 0; section != NULL && i < bl_len (board->sections); i++)
    if (g_strcmp0 (((BlSection *) bl_at (board->sections, i))->id, section) == 0)
      place.section = i;
  for (guint i = 0; role != NULL && i < bl_len (self->boxes); i++)
    if (g_str_equal (((BlEquipmentBoard *) bl_at (self->boxes, i))->role, role))
      place.box = i + 1;
  return place;
}

/* Makes the list follow the document: items of measurements that are still there are kept. */
static void
rebuild_items (BlBench *self)
{
  const BlBoard *board = bl_bench_get_board (self);
  g_autoptr (GPtrArray) items = g_ptr_array_new_with_free_func (g_object_unref);
  g_autoptr (GArray) places = g_array_new (FALSE, FALSE, sizeof (Place));

  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      Place place = place_of (self, board, bl_at (board->measurements, i));
      g_array_append_val (places, place);
    }
  g_array_sort (places, compare_places); /* stable: in document order within */
  for (guint i = 0; i < places->len; i++)
    {
      const char *id = g_array_index (places, Place, i).measurement->id;
      BlMeasurementItem *kept = bl_bench_find (self, id);
      g_ptr_array_add (items, kept != NULL ? g_object_ref (kept) : bl_measurement_item_new (id));
    }
  g_list_store_splice (self->items, 0, g_list_model_get_n_items (G_LIST_MODEL (self->items)), items->pdata, items->len);
  if (self->current != NULL && bl_bench_find (self, bl_measurement_item_get_id (self->current)) == NULL)
    bl_bench_select (self, NULL);
}

GPtrArray *
bl_bench_entries (BlBench *self)
{
  GPtrArray *entries = bl_records_to_entries (self->records);

  bl_bench_follow_entries (bl_bench_get_board (self), self->records, entries);
  bl_evidence_keep_known (bl_bench_get_board (self), entries);
  return entries;
}

void
bl_bench_ask_odds (BlBench *self)
{
  guint generation;
  const BlBoard *board = bl_bench_weighed_board (self, &generation);

  if (bl_len (board->stages) > 0 && !self->blind)
    {
      bl_odds_worker_ask (self->worker, board, generation, bl_bench_entries (self),
                          bl_bench_unions_wanted (self));
      return;
    }
  /* Odds of a board that had stages a moment ago must not stay on the screen. */
  if (self->diagnosis == NULL && self->trouble == NULL)
    return;
  g_clear_pointer (&self->diagnosis, bl_diagnosis_free);
  g_clear_pointer (&self->trouble, g_free);
  bl_bench_unions_begin (self);
  g_signal_emit (self, signals[DIAGNOSED], 0);
}

void
bl_bench_take_records (BlBench *self, GPtrArray *records)
{
  g_autofree char *before = g_strdup (self->state);
  g_autoptr (GHashTable) followers = bl_bench_follower_words (self);
  g_autoptr (GPtrArray) old = g_steal_pointer (&self->records); /* items point into it until refreshed */
  self->records = records;
  /* The head only repeats the log. What is on disk already must be shown whether or not it could follow;
   * whoever says a cause asks for it again and hears why it could not. */
  if (!self->other_log)
    bl_bench_follow_causes (self, NULL);
  derive_state (self);
  refresh_items (self);
  bl_bench_say_followers (self, followers);
  bl_bench_ask_odds (self);
  if (g_strcmp0 (before, self->state) != 0)
    g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_STATE]);
  g_signal_emit (self, signals[CHANGED], 0);
}

gboolean
bl_bench_reload (BlBench *self, GError **error)
{
  GPtrArray *records = bl_library_records (self->library, self->job->id, error);

  if (records == NULL)
    return FALSE;
  bl_bench_take_records (self, records);
  return TRUE;
}

static void
edition_changed_cb (BlBench *self)
{
  bl_bench_load_equipment (self, NULL); /* what was there stays where it cannot be read */
  /* Items hold pointers into the document: all of them are refreshed before anybody looks. */
  rebuild_items (self);
  derive_state (self); /* what is live may have changed */
  refresh_items (self);
  bl_bench_ask_odds (self);
  g_signal_emit (self, signals[CHANGED], 0);
}

static void
odds_ready_cb (BlDiagnosis *diagnosis, const char *trouble, gboolean first, gpointer data)
{
  BlBench *self = data;

  if (self->blind) /* asked before it was */
    {
      bl_diagnosis_free (diagnosis);
      return;
    }
  g_clear_pointer (&self->diagnosis, bl_diagnosis_free);
  self->diagnosis = diagnosis;
  g_free (self->trouble);
  self->trouble = g_strdup (trouble);
  if (first || diagnosis == NULL)
    bl_bench_unions_begin (self);
  g_signal_emit (self, signals[DIAGNOSED], 0);
}

static void
unions_ready_cb (GPtrArray *sets, const double *odds, gpointer data)
{
  BlBench *self = data;

  bl_bench_unions_take (self, sets, odds);
  g_signal_emit (self, signals[UNIONS], 0);
}

/* --- opening --- */

BlBench *
bl_bench_new (BlLibrary *library, gint64 job, GError **error)
{
  g_autoptr (BlJob) loaded = bl_library_load_job (library, job, error);
  if (loaded == NULL)
    return NULL;
  g_autoptr (BlEdition) edition = loaded->equipment != 0 ? bl_edition_new_joined (library, loaded->equipment, error)
                                                         : bl_edition_new (library, loaded->board, error);
  if (edition == NULL)
    return NULL;

  g_autoptr (BlBench) self = g_object_new (BL_TYPE_BENCH, NULL);
  self->library = library;
  self->job = g_steal_pointer (&loaded);
  self->edition = g_steal_pointer (&edition);
  bl_edition_set_job (self->edition, job);
  g_signal_connect_object (self->edition, "changed", G_CALLBACK (edition_changed_cb), self, G_CONNECT_SWAPPED);
  if (!bl_bench_load_equipment (self, error))
    return NULL;
  bl_bench_load_whole (self);
  rebuild_items (self);
  if (!bl_bench_learn (self, error) || !bl_bench_reload (self, error))
    return NULL;
  bl_bench_step (self, 1);
  return g_steal_pointer (&self);
}

void
bl_bench_take_head (BlJob *job, const BlJob *head)
{
  job->number = head->number;
  job->customer = g_strdup (head->customer);
  job->unit = g_strdup (head->unit);
  job->serial = g_strdup (head->serial);
  job->complaint = g_strdup (head->complaint);
}

gint64
bl_bench_start (BlLibrary *library, gint64 board, const BlJob *head, const char *symptom, GError **error)
{
  g_autoptr (BlJob) job = bl_job_new ();

  job->board = board;
  if (head != NULL)
    bl_bench_take_head (job, head);
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
bl_bench_load_head (BlBench *self, GError **error)
{
  BlJob *loaded = bl_library_load_job (self->library, self->job->id, error);

  if (loaded == NULL)
    return FALSE;
  bl_job_free (self->job);
  self->job = loaded;
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

int
bl_bench_place_of_current (BlBench *self)
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
  int place = bl_bench_place_of_current (self);

  if (n == 0)
    return;
  place = place < 0 ? (step > 0 ? 0 : n - 1) : ((place + step) % n + n) % n;
  g_autoptr (BlMeasurementItem) item = g_list_model_get_item (G_LIST_MODEL (self->items), (guint) place);
  bl_bench_select (self, item);
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
  while (bl_odds_worker_is_busy (self->worker) || bl_bench_unions_is_waiting (self))
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
  g_clear_pointer (&self->unions, bl_bench_unions_free);
  g_clear_object (&self->current);
  g_clear_object (&self->items);
  g_clear_object (&self->edition);
  g_clear_pointer (&self->job, bl_job_free);
  g_clear_pointer (&self->equipment, bl_equipment_free);
  g_clear_pointer (&self->boxes, g_ptr_array_unref);
  g_clear_pointer (&self->whole, bl_job_free);
  g_clear_pointer (&self->records, g_ptr_array_unref);
  g_clear_pointer (&self->learning, bl_bench_learning_free);
  g_clear_pointer (&self->state, g_free);
  bl_safe_clear (&self->safe);
  g_clear_pointer (&self->meter, g_free);
  g_clear_pointer (&self->shop_meter, bl_shop_meter_free);
  g_clear_pointer (&self->diagnosis, bl_diagnosis_free);
  g_clear_pointer (&self->trouble, g_free);
  g_clear_pointer (&self->follow_words, g_free);
  g_clear_pointer (&self->told_by, g_free);
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
  signals[DIAGNOSED] =
      g_signal_new ("diagnosed", BL_TYPE_BENCH, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[UNIONS] = g_signal_new ("unions", BL_TYPE_BENCH, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
bl_bench_init (BlBench *self)
{
  self->items = g_list_store_new (BL_TYPE_MEASUREMENT_ITEM);
  self->records = g_ptr_array_new ();
  self->limits = BL_SAFE_LIMITS;
  self->learning = bl_bench_learning_new ();
  self->unions = bl_bench_unions_new ();
  self->worker = bl_odds_worker_new (odds_ready_cb, unions_ready_cb, self);
}
