/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-diagnosis.h"
#include "bl-edition.h"
#include "bl-library-known-good.h"

G_BEGIN_DECLS

/* One measurement of the open job as the list and the photo show it. Signal: "changed". */
#define BL_TYPE_MEASUREMENT_ITEM (bl_measurement_item_get_type ())
G_DECLARE_FINAL_TYPE (BlMeasurementItem, bl_measurement_item, BL, MEASUREMENT_ITEM, GObject)

const char *bl_measurement_item_get_id (BlMeasurementItem *self);
/* The document's measurement; valid until the edition changes. (transfer none) */
const BlMeasurement *bl_measurement_item_get_measurement (BlMeasurementItem *self);
/* "5 V rail"; falls back to the point's title, then the id. */
const char *bl_measurement_item_get_title (BlMeasurementItem *self);
/* The name to show first: the test point's id, or the measurement's own. */
const char *bl_measurement_item_get_point (BlMeasurementItem *self);
/* The same as a list has it that says which box it is in; of a check between the boxes its own name. */
const char *bl_measurement_item_get_name (BlMeasurementItem *self);
/* Section of the stage it reads, of the first stage its effects name, or NULL; what is of none in a box of an equipment
 * has the role and a slash. */
const char *bl_measurement_item_get_section (BlMeasurementItem *self);
/* "4.80 – 5.20", "yes", ... by the locale. */
const char *bl_measurement_item_get_expected (BlMeasurementItem *self);
/* Where the band comes from, in few words and in all: see bl-band-words.h. */
const char *bl_measurement_item_get_from (BlMeasurementItem *self);
const char *bl_measurement_item_get_from_long (BlMeasurementItem *self);
/* Id of the measurement that should be read before this one, since the band follows it and it has no reading; NULL:
 * none. */
const char *bl_measurement_item_get_read_first (BlMeasurementItem *self);
/* Unit to show: "V AC", "Ω", "". */
const char *bl_measurement_item_get_unit (BlMeasurementItem *self);
/* The band it would be judged by now; NULL: none. (transfer none) */
const BlBand *bl_measurement_item_get_band (BlMeasurementItem *self);
/* The reading that counts in the present round (or the last one), NULL: unread. (transfer none) */
const BlRecord *bl_measurement_item_get_record (BlMeasurementItem *self);
/* The record's reading; FALSE: unread. */
gboolean bl_measurement_item_get_reading (BlMeasurementItem *self, BlReading *reading);
/* Verdict of that record; NULL: unread. */
const BlVerdict *bl_measurement_item_get_verdict (BlMeasurementItem *self);
/* Word to show: "in band", "too close to call", "" when unread. Translated. */
const char *bl_measurement_item_get_word (BlMeasurementItem *self);
/* Read in an earlier round only. */
gboolean bl_measurement_item_is_old (BlMeasurementItem *self);
/* The last reading of an earlier round, whether or not it was read again since; NULL: none. */
const BlRecord *bl_measurement_item_get_before (BlMeasurementItem *self);
gboolean bl_measurement_item_get_before_reading (BlMeasurementItem *self, BlReading *reading);

/* An open job: entries go to the library first, then to the screen; verdicts at once, odds as soon as
 * a worker has them.
 *
 * Signals: "changed" (readings, log, state, selection's data; read anew), "diagnosed" (odds, why, fit
 * or next are newer), "unions" (so are some of bl_bench_union ()). Properties that notify: "current"
 * (BlMeasurementItem), "state" (id or NULL). */
#define BL_TYPE_BENCH (bl_bench_get_type ())
G_DECLARE_FINAL_TYPE (BlBench, bl_bench, BL, BENCH, GObject)

BlBench *bl_bench_new (BlLibrary *library, gint64 job, GError **error);
BlEdition *bl_bench_get_edition (BlBench *self);
const BlBoard *bl_bench_get_board (BlBench *self);
const BlJob *bl_bench_get_job (BlBench *self);

/* BlMeasurementItem, grouped by section in document order; the same objects as long as the document's
 * measurements stay. (transfer none) */
GListModel *bl_bench_get_measurements (BlBench *self);
BlMeasurementItem *bl_bench_find (BlBench *self, const char *measurement);
/* BlRecord of the whole log in order of time, struck ones too. (transfer none) */
GPtrArray *bl_bench_get_records (BlBench *self);

BlMeasurementItem *bl_bench_get_current (BlBench *self);
void bl_bench_select (BlBench *self, BlMeasurementItem *item);
/* The next (step 1) or previous (-1) measurement in list order; after the last comes the first. */
void bl_bench_step (BlBench *self, int step);

/* Types something in: "11.8" is the reading of the current measurement; "TP5 4.98" or "M5 4.98" goes
 * there; "TP5" alone selects it; "-" or "- coated": not reached, with the reason; "K1 good",
 * "D5 short", "K1 replaced": a part; anything else that starts with "#" is a note. On success the
 * entry is on disk and, after a reading, the next unread measurement is selected. */
gboolean bl_bench_enter (BlBench *self, const char *text, GError **error);
/* A question to ask before the text is entered, because its reading lies far beyond what can be there;
 * NULL: nothing to ask. Entering it all the same is never refused. (transfer full) */
char *bl_bench_doubt (BlBench *self, const char *text);
/* What the newest entry, or undo, changed of verdicts whose bands follow a reading: "LN is 218 V AC now, so BUS is low,
 * was in band"; NULL: nothing, or it was taken already. (transfer full) */
char *bl_bench_take_follow_words (BlBench *self);
/* The board state that entering a reading there declares, because it is read in it; NULL: none, or one
 * that only the technician may declare. (transfer none) */
const BlState *bl_bench_would_declare (BlBench *self, BlMeasurementItem *item);
/* What a text would be judged as for the current measurement, without keeping it: reading, verdict
 * (transfer full) or FALSE while it is no reading yet. */
gboolean bl_bench_preview (BlBench *self, const char *text, BlReading *reading, BlVerdict **verdict);

gboolean bl_bench_part (BlBench *self, const char *component, const char *result, GError **error);
/* Confirms that a component, or "STAGE/other", was a cause of the fault, in this mode (NULL: not known); or
 * that it was not. What was said last counts. Confirmed causes stand on the job's head, and shift the odds of
 * the other jobs of this edition. */
gboolean bl_bench_confirm_cause (BlBench *self, const char *component, const char *mode, GError **error);
gboolean bl_bench_refuse_cause (BlBench *self, const char *component, GError **error);
typedef enum
{
  BL_CAUSE_NOT_SAID,
  BL_CAUSE_CONFIRMED,
  BL_CAUSE_REFUSED
} BlCauseSaid;
/* mode (may be NULL): set to the one confirmed, NULL when not known; valid until "changed". */
BlCauseSaid bl_bench_cause_said (BlBench *self, const char *component, const char **mode);
/* Ends the job, or takes it up again. */
gboolean bl_bench_end_job (BlBench *self, gboolean ended, GError **error);
gboolean bl_bench_begin_round (BlBench *self, const char *condition, GError **error);
gboolean bl_bench_symptom (BlBench *self, const char *symptom, gboolean shown, GError **error);
/* The symptom was matched by what lamps show; seen: what that was, in words, kept as a note before it. */
gboolean bl_bench_fault_shown (BlBench *self, const char *symptom, const char *seen, GError **error);
gboolean bl_bench_note (BlBench *self, const char *text, GError **error);
gboolean bl_bench_mark (BlBench *self, const char *text, const char *photo, double x, double y, GError **error);
/* The meter from now on: an accuracy as bl_meter_parse () reads it, or one of the shop's, whose ranges then say
 * how accurate each reading is. */
gboolean bl_bench_set_meter (BlBench *self, const char *spec, GError **error);
gboolean bl_bench_set_shop_meter (BlBench *self, gint64 id, GError **error);
/* The accuracy that was typed; NULL: none, or a meter of the shop. */
const char *bl_bench_get_meter (BlBench *self);
/* NULL: none of the shop's. Valid until "changed". (transfer none) */
const BlShopMeter *bl_bench_get_shop_meter (BlBench *self);
/* The shop's meters were changed elsewhere. */
void bl_bench_meters_changed (BlBench *self);
/* Accuracy that a reading typed there would be kept with; NULL: exact. range (may be NULL): the range it follows
 * from, NULL where there is none. Returns: (transfer full). */
char *bl_bench_meter_spec (BlBench *self, const BlMeasurement *measurement, const char *text,
                           const BlMeterRange **range);
/* Why the meter cannot have shown this; NULL: it can. Returns: (transfer full). */
char *bl_bench_meter_doubt (BlBench *self, const BlMeasurement *measurement, const char *text);
/* What has to be said about the meter at a measurement: of the reading that is being typed, else of the one
 * kept, and of the point. NULL: nothing. Returns: (transfer full). */
char *bl_bench_meter_words (BlBench *self, BlMeasurementItem *item, const char *text);
/* That the meter's calibration is due soon, or was; NULL: neither. Returns: (transfer full). */
char *bl_bench_calibration_words (BlBench *self);
/* The line of the log that says which meter a reading was taken with; reading NULL: the next one. NULL: nobody
 * said. (transfer none) */
const BlRecord *bl_bench_meter_record (BlBench *self, const BlRecord *reading);
gboolean bl_record_meter_past_due (const BlRecord *record);
/* What a reading of the log was taken with and how it was corrected; NULL: exact. Returns: (transfer full). */
char *bl_bench_record_meter_words (BlBench *self, const BlRecord *reading);
/* Strikes a record of the log. */
gboolean bl_bench_strike (BlBench *self, gint64 record, const char *reason, GError **error);
/* One history of entries and changes of the document, in the order they were made, of today, also before the job was
 * opened anew: undo strikes the newest entry or takes back the newest change, redo restores what undo took. Doing
 * something else ends what can be redone. Proofs of dead are no steps. */
gboolean bl_bench_undo (BlBench *self, GError **error);
gboolean bl_bench_redo (BlBench *self, GError **error);
gboolean bl_bench_can_undo (BlBench *self);
gboolean bl_bench_can_redo (BlBench *self);
/* What the next undo or redo is about: "reading TP5: 4.98"; NULL: nothing. (transfer full) */
char *bl_bench_get_undo_label (BlBench *self);
char *bl_bench_get_redo_label (BlBench *self);

/* Marks the board on the bench as a known-good one, or takes the mark back. */
gboolean bl_bench_mark_known_good (BlBench *self, BlKnownGoodMark how, GError **error);

/* The board state the board is in now. */
gboolean bl_bench_set_state (BlBench *self, const char *state, GError **error);
const BlState *bl_bench_get_state (BlBench *self);

typedef enum
{
  BL_HAZARD_UNKNOWN,  /* no state set, or not said whether it is live */
  BL_HAZARD_UNPROVEN, /* declared unpowered, no proof of dead since it was last live */
  BL_HAZARD_PROVEN,   /* declared unpowered, proof of dead taken */
  BL_HAZARD_LOW,      /* live, up to 60 V */
  BL_HAZARD_HIGH      /* live, above 60 V or of unknown voltage */
} BlHazard;
BlHazard bl_bench_get_hazard (BlBench *self);
/* Time proof of dead was taken, UTC microseconds; 0: none that still holds. */
gint64 bl_bench_get_proof_time (BlBench *self);
/* The technician confirms: known source, the point, known source again. text: what was read, at least
 * three numbers in V among whatever words; refused with the reason when there are fewer or when the
 * point still reads more than low voltage. */
gboolean bl_bench_take_proof (BlBench *self, const char *text, GError **error);
/* Measurements asked for as proof of dead in the present state: ids, NULL-terminated, may be empty. */
const char *const *bl_bench_get_dead_proof (BlBench *self);

/* NULL until the first one is ready. (transfer none), valid until the next "diagnosed". */
const BlDiagnosis *bl_bench_get_diagnosis (BlBench *self);
/* Why there is none: a sentence, NULL when all is well (evidence of probability zero ...). */
const char *bl_bench_get_trouble (BlBench *self);
/* TRUE while odds for the newest entries are being computed. */
gboolean bl_bench_is_busy (BlBench *self);
/* Blocks until the odds of the newest entries are there; for tests and reports. */
void bl_bench_settle (BlBench *self);

/* Shares of the failure modes by the document and by the causes found in other jobs of the edition; the odds
 * are those of its learned shares. (transfer none), valid until the document or the history changes. */
const BlLearned *bl_bench_get_learned (BlBench *self);
/* Those causes: BlFoundCause. (transfer none) */
GPtrArray *bl_bench_get_found (BlBench *self);
/* How many confirmed causes the document counts as: said for this edition, else the usual. own may be NULL. */
double bl_bench_get_strength (BlBench *self, gboolean *own);
/* Says it for this edition; NAN: the usual again. */
gboolean bl_bench_set_strength (BlBench *self, double strength, GError **error);
void bl_bench_set_usual_strength (BlBench *self, double strength);
/* "handbook 1 in 40; this shop 4 of 7 repairs", those of this edition; "documented" where the document has figures of
 * its own; NULL while no repair has a confirmed cause.
 * Returns: (transfer full). */
char *bl_bench_history_words (BlBench *self, const char *component);
/* "handbook 1 in 40, with this history 1 in 6"; NULL for what is not documented. (transfer full) */
char *bl_bench_handbook_words (BlBench *self, const char *component);
/* Repairs in which the component was a cause; n_repairs (may be NULL): all with a confirmed cause. */
guint bl_bench_history_count (BlBench *self, const char *component, guint *n_repairs);
/* "K1 4, C12 2, of 7 repairs", at most so many components; NULL: none. Returns: (transfer full). */
char *bl_found_words (GPtrArray *causes, guint most);
/* "K1: open", "something else in 5 V rail". Returns: (transfer full). */
char *bl_cause_words (const BlBoard *board, const char *component, const char *mode);

/* Odds of the diagnosis that at least one of several own events happened ("COMPONENT:MODE" each,
 * NULL-terminated, always in the same order), exactly. NAN while they are not known yet: they are then asked for,
 * and "unions" is emitted when they are there. */
double bl_bench_union (BlBench *self, const char *const *events);

/* Sentence for the leading suspect from the 'why' of the diagnosis. Returns: (transfer full). */
char *bl_bench_reason (BlBench *self, const char *component);

/* Starts a job. board: id in the library. symptom may be NULL. Returns its id, 0 on error. */
gint64 bl_bench_start (BlLibrary *library, gint64 board, const BlJob *head, const char *symptom, GError **error);

/* Makes a board that began as a photo of this job a documented edition: readings become provisional
 * expected values where there are none. */
gboolean bl_bench_keep_as_edition (BlBench *self, GError **error);

/* Words for classes and the like, translated: "in band", "absent" ... (transfer none) */
const char *bl_class_word (const char *class_name);

G_END_DECLS
