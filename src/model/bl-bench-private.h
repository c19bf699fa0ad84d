/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench.h"

G_BEGIN_DECLS

/* The odds' worker, bl-bench-odds.c. */
typedef struct BlOddsWorker BlOddsWorker;
/* Called on the thread that started it, with new odds or a sentence of trouble. (transfer full) */
typedef void (*BlOddsReady) (BlDiagnosis *diagnosis, const char *trouble, gboolean complete, gpointer data);
BlOddsWorker *bl_odds_worker_new (BlOddsReady ready, gpointer data);
/* Ends it; its thread may finish later, ready is not called again. */
void bl_odds_worker_free (BlOddsWorker *self);
/* Asks for the odds of entries (transfer full) on board (copied when its generation is new). What was
 * asked before and is not ready is dropped. */
void bl_odds_worker_ask (BlOddsWorker *self, const BlBoard *board, guint generation, GPtrArray *entries);
gboolean bl_odds_worker_is_busy (BlOddsWorker *self);

/* Items, bl-measurement-item.c. */
BlMeasurementItem *bl_measurement_item_new (const char *id);
/* Sets everything the item shows. measurement and point: of the present board; band (transfer full);
 * record: of the log or NULL. */
void bl_measurement_item_update (BlMeasurementItem *self, const BlBoard *board, BlBand *band,
                                 const BlRecord *record, gboolean old);

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

/* The section a measurement is listed under; NULL: none. (transfer none) */
const char *bl_measurement_section (const BlBoard *board, const BlMeasurement *measurement);

G_END_DECLS
