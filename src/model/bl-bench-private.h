/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench.h"
#include "bl-equipment.h"
#include "bl-safe.h"

G_BEGIN_DECLS

/* Half width of a band from one board, per cent of its reading; common practice, no source. */
#define BL_SHARE_LEVEL 5
#define BL_SHARE_RESISTANCE 10

typedef struct BlOddsWorker BlOddsWorker;
typedef struct BlBenchLearning BlBenchLearning;
typedef struct BlBenchUnions BlBenchUnions;

struct _BlBench
{
  GObject parent_instance;

  BlLibrary *library; /* not owned */
  BlEdition *edition;
  BlJob *job;
  BlEquipment *equipment; /* the job's; NULL: it is on one board */
  GPtrArray *boxes;       /* BlEquipmentBoard of it */
  BlJob *whole;           /* on the equipment that this job goes on from; NULL: none */
  GPtrArray *records; /* BlRecord */
  GListStore *items;  /* BlMeasurementItem */
  BlMeasurementItem *current;
  BlBenchLearning *learning;

  BlSafeLimits limits; /* of the shop */
  BlSafe safe;         /* what the log says about the danger */
  char *state;         /* declared, as in safe; NULL: not set */
  gint64 state_time, proof_time;
  char *meter;             /* accuracy that was typed; NULL: none, or shop_meter */
  BlShopMeter *shop_meter; /* NULL: none */

  BlOddsWorker *worker;
  BlBenchUnions *unions;
  BlDiagnosis *diagnosis;
  char *trouble;
  char *told_by;      /* who took what is entered from now on; NULL: whoever is at the bench */
  char *follow_words; /* what a followed reading changed, not yet said; NULL: nothing */
  gboolean blind;     /* nothing is made of the readings, bl-bench-practice.c */
  gboolean drilled, planted; /* the odds are those of a drill */
  gboolean other_log; /* records are not those of the library */
};

/* Reads the log anew and announces it. */
gboolean bl_bench_reload (BlBench *self, GError **error);
/* Shows these lines (transfer full) in place of those shown now, and announces it. */
void bl_bench_take_records (BlBench *self, GPtrArray *records);
/* FALSE with error while another log than the job's own is shown: nothing may be written then. */
gboolean bl_bench_may_write (BlBench *self, GError **error);
/* The log as evidence, less what is about an element that the document no longer has: such lines stay
 * in the log, but must not keep the others from being judged. (transfer full) */
GPtrArray *bl_bench_entries (BlBench *self);
/* Place of the current measurement in the list; -1: none. */
int bl_bench_place_of_current (BlBench *self);
/* Reads state and danger from the log anew, for other limits, and announces it. */
void bl_bench_follow_safe (BlBench *self);

/* After a reading: the next unread one in list order, in this board state if there is one. */
void bl_bench_select_next_unread (BlBench *self);

/* What was done, for undo and redo; bl-bench-undo.c. What undo says about a line of the log. (transfer full) */
char *bl_bench_record_label (BlBench *self, const BlRecord *record);
gboolean bl_bench_begin_step (BlBench *self, const char *label, GError **error);
/* Moves the job on to the state that a line of this kind leads to; part of the step that is being made. */
gboolean bl_bench_move_on (BlBench *self, BlRecordKind kind, GError **error);
/* Reads the job's head anew. */
gboolean bl_bench_load_head (BlBench *self, GError **error);
/* Copies what the intake says of the job. */
void bl_bench_take_head (BlJob *job, const BlJob *head);
/* A note in the log of any job, bl-bench-part.c. */
gboolean bl_bench_note_in (BlBench *self, gint64 job, const char *text, GError **error);
/* Reads the job that this one goes on from, bl-bench-part.c. */
void bl_bench_load_whole (BlBench *self);
/* Reads the equipment of the job anew, bl-bench-equipment.c. */
gboolean bl_bench_load_equipment (BlBench *self, GError **error);

/* What other jobs of the edition found, bl-bench-causes.c. */
BlBenchLearning *bl_bench_learning_new (void);
void bl_bench_learning_free (BlBenchLearning *self);
/* Reads it anew. */
gboolean bl_bench_learn (BlBench *self, GError **error);
/* The board to take odds from; *generation is another one whenever it may differ. (transfer none) */
const BlBoard *bl_bench_weighed_board (BlBench *self, guint *generation);
/* Works it out anew. */
void bl_bench_weigh (BlBench *self);
/* Puts the confirmed causes of the log on the job's head. */
gboolean bl_bench_follow_causes (BlBench *self, GError **error);
void bl_bench_ask_odds (BlBench *self);
/* The meter that the log says, bl-bench-meter.c. */
void bl_bench_follow_meter (BlBench *self);
/* The line that must stand before a reading taken now, because the calibration of the meter has run out, or was
 * renewed, since it was said; NULL: none. (transfer full) */
BlRecord *bl_bench_due_meter_record (BlBench *self);
/* Keeps a reading, and the state it declares; nothing else is selected. bl-bench-log.c */
gboolean bl_bench_keep_reading (BlBench *self, BlMeasurementItem *item, const char *text, GError **error);
/* Notes on a new reading who told it, and what follows from that; nothing while nobody does. bl-bench-told.c */
void bl_bench_mark_told (BlBench *self, const BlMeasurement *measurement, BlRecord *record);
/* Emits "changed". */
void bl_bench_announce (BlBench *self);
/* Keeps a record of this job, and announces it; bl-bench-log.c. */
gboolean bl_bench_append (BlBench *self, BlRecord *record, GError **error);

/* Odds of sets of own events that are known or asked for; bl-bench-unions.c. */
BlBenchUnions *bl_bench_unions_new (void);
void bl_bench_unions_free (BlBenchUnions *self);
/* Those that are looked at, for the next question; NULL: none. (transfer full) */
GPtrArray *bl_bench_unions_wanted (BlBench *bench);
/* A diagnosis with other odds is there: what was known is not true any more. */
void bl_bench_unions_begin (BlBench *bench);
void bl_bench_unions_take (BlBench *bench, GPtrArray *sets, const double *odds);
gboolean bl_bench_unions_is_waiting (BlBench *bench);

/* The odds' worker, bl-bench-odds.c. */
/* Called on the thread that started it, with new odds or a sentence of trouble. first: it is the first answer
 * to the newest question. (transfer full) */
typedef void (*BlOddsReady) (BlDiagnosis *diagnosis, const char *trouble, gboolean first, gpointer data);
/* The same with the odds of sets of own events for the newest question, after its first answer. */
typedef void (*BlUnionsReady) (GPtrArray *sets, const double *odds, gpointer data);
BlOddsWorker *bl_odds_worker_new (BlOddsReady ready, BlUnionsReady unions_ready, gpointer data);
/* Ends it; its thread may finish later, ready is not called again. */
void bl_odds_worker_free (BlOddsWorker *self);
/* Asks for the odds of entries (transfer full) on board (copied when its generation is new), and of sets of own
 * events as in bl_engine_unions () (transfer full, NULL: none). What was asked before and is not ready is
 * dropped. */
void bl_odds_worker_ask (BlOddsWorker *self, const BlBoard *board, guint generation, GPtrArray *entries,
                         GPtrArray *sets);
/* Asks for the odds of more sets (transfer full), of the question that was answered last: nothing while
 * another is under way. */
void bl_odds_worker_ask_unions (BlOddsWorker *self, GPtrArray *sets);
gboolean bl_odds_worker_is_busy (BlOddsWorker *self);

/* Bands that follow, bl-bench-follow.c. Whether what a reading follows was read again, or struck, since it was
 * judged. */
gboolean bl_bench_follow_outdated (const BlBoard *board, GPtrArray *records, const BlRecord *record);
/* Lets the entries of such readings be judged by their rule again: all entries of records. */
void bl_bench_follow_entries (const BlBoard *board, GPtrArray *records, GPtrArray *entries);
/* The log judged as it stands now; NULL: no verdict is outdated. The entries are not kept. (transfer full) */
GPtrArray *bl_bench_judge_followers (BlBench *self);
const BlJudged *bl_judged_last (GPtrArray *judged, const char *measurement);
/* The reading a measurement follows; NAN: none, or no single value. */
double bl_bench_followed_value (BlBench *self, const BlMeasurement *measurement);
/* What followers are shown as, before a change; and takes note of what became of them. */
GHashTable *bl_bench_follower_words (BlBench *self);
void bl_bench_say_followers (BlBench *self, GHashTable *before);

/* Items, bl-measurement-item.c. */
BlMeasurementItem *bl_measurement_item_new (const char *id);
/* Sets everything the item shows. measurement and point: of the present board; band (transfer full);
 * record: of the log or NULL; before: the last one of an earlier round or NULL. */
void bl_measurement_item_update (BlMeasurementItem *self, const BlBoard *board, BlBand *band,
                                 const BlRecord *record, gboolean old, const BlRecord *before);
/* To be called after it, of a measurement that follows: the reading followed (NAN: unread), and what its own reading
 * is judged as by that (NULL: as it was kept; copied). */
void bl_measurement_item_set_followed (BlMeasurementItem *self, const BlBoard *board, double followed,
                                       const BlVerdict *verdict);

/* Parsing of what is typed, bl-bench-entry.c. */
typedef enum
{
  BL_TYPED_READING, /* measurement and rest */
  BL_TYPED_SELECT,  /* measurement */
  BL_TYPED_PART,    /* component and rest: "good", "replaced" or a mode */
  BL_TYPED_NOTE     /* rest */
} BlTypedKind;
typedef struct
{
  BlTypedKind kind;
  BlMeasurementItem *item; /* (transfer none) */
  const char *component;   /* id, of the board */
  char *rest;              /* owned */
} BlTyped;
gboolean bl_bench_read_typed (BlBench *self, const char *text, BlTyped *typed, GError **error);
void bl_typed_clear (BlTyped *typed);
/* TRUE when a reading of the measurement declares its state; see the opening comment of bl-bench-log.c. */
gboolean bl_bench_declares_state (BlBench *self, const BlMeasurement *measurement);
/* Points, measurements and parts whose names are a letter or two from name: "TP5, TP6"; NULL: none.
 * bl-bench-doubt.c. (transfer full) */
char *bl_bench_near_names (BlBench *self, const char *name);

/* The section a measurement is listed under; NULL: none. (transfer none) */
const char *bl_measurement_section (const BlBoard *board, const BlMeasurement *measurement);

G_END_DECLS
