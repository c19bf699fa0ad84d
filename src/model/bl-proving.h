/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench.h"
#include "bl-safety.h"

G_BEGIN_DECLS

/* Proving a repair: what was read before and what reads there now, what the board does, the soak and the electrical
 * safety test. All of it is lines of the bench log; nothing is kept beside it. What was found before the last repair
 * proves nothing of it and is left out here. Records are those of the bench (transfer none), valid until "changed". */

/* The line that proving begins after: the last part replaced (or put right: resoldered, cleaned); where there is none,
 * the round begun last. NULL: neither. */
const BlRecord *bl_proving_repair (BlBench *bench);

/* Parts that may have killed this one, by the document, and were neither tested by themselves nor replaced in this job;
 * none of them where the readings speak against it. A new part goes the way of the old one while they are there.
 * NULL-terminated, may be empty. (transfer full) */
char **bl_proving_untested_killers (BlBench *bench, const char *component);

/* --- before and after --- */

typedef enum
{
  BL_PAIR_UNREAD,          /* not read again yet */
  BL_PAIR_OTHER_CONDITION, /* read again, but the fault was read in another condition (wet, hot) than this */
  BL_PAIR_IN_BAND,
  BL_PAIR_DEVIATES,
  BL_PAIR_NOT_SURE         /* too close to call, reversed, not reached, nothing to judge by */
} BlPairState;

typedef struct
{
  BlMeasurementItem *item;
  const BlRecord *before; /* the last reading before the repair; where it deviated in one condition and not in another,
                             that one */
  const BlRecord *after;  /* the last one since, in the same condition if there is one; NULL: none */
  char *before_condition, *after_condition; /* "" none */
  BlPairState state;
} BlPair;
void bl_pair_free (BlPair *pair);
/* The verdict of one of its two readings; NULL: none. (transfer none) */
const BlVerdict *bl_pair_verdict (const BlPair *pair, const BlRecord *record);
/* Every measurement that was read before the repair, in the order of the list; those of bl_proving_checks () are not
 * among them. (transfer full) GPtrArray of BlPair */
GPtrArray *bl_proving_pairs (BlBench *bench);

/* --- what it does --- */

typedef enum
{
  BL_CHECK_SYMPTOM,  /* a fault that was seen: is it still there? */
  BL_CHECK_DOCUMENT, /* a measurement of kind check in a live state */
  BL_CHECK_SHOP,     /* of the shop's own list */
  BL_CHECK_VISUAL    /* the first of the safety test: cord, plug, housing */
} BlCheckKind;

typedef struct
{
  BlCheckKind kind;
  char *id;    /* symptom, measurement, or the words of the list */
  char *title; /* as a question to answer yes or no */
  gboolean good;          /* the answer hoped for */
  const BlRecord *answer; /* since the repair; NULL: none */
  gboolean passed;        /* of the answer */
} BlCheck;
void bl_check_free (BlCheck *check);
/* shop: the shop's list, NULL-terminated, or NULL. (transfer full) GPtrArray of BlCheck */
GPtrArray *bl_proving_checks (BlBench *bench, const char *const *shop);
gboolean bl_proving_answer (BlBench *bench, const BlCheck *check, gboolean yes, GError **error);
/* What a shop asks where it has not said otherwise: common practice, no source. (transfer full) */
char **bl_proving_usual_checks (void);

/* --- soak --- */

typedef enum
{
  BL_SOAK_NONE,
  BL_SOAK_RUNNING,
  BL_SOAK_OVER,   /* the time has run out, nobody said what was found */
  BL_SOAK_PASSED, /* as long as meant, and the fault did not come back */
  BL_SOAK_SHORT,  /* the fault did not come back, but it was ended early */
  BL_SOAK_FAILED  /* the fault came back, or another one came */
} BlSoakState;

typedef struct
{
  BlSoakState state;
  gint64 begun, ends;    /* UTC microseconds; ends: when it is to end, or was ended */
  guint minutes;         /* meant */
  const BlRecord *ended; /* NULL: not yet */
} BlSoak;
/* now: UTC microseconds. Start and end are lines of the log, so it goes on while the program does not run. */
void bl_proving_soak (BlBench *bench, gint64 now, BlSoak *soak);
gboolean bl_proving_soak_begin (BlBench *bench, guint minutes, GError **error);
/* words: what else was seen, relay cycles ..., may be NULL or "". */
gboolean bl_proving_soak_end (BlBench *bench, gboolean good, const char *words, gint64 now, GError **error);

/* --- electrical safety --- */

/* What the log says of the equipment tested; has_class FALSE: nobody said its class yet. */
void bl_proving_unit (BlBench *bench, BlSafetyUnit *unit, gboolean *has_class);
gboolean bl_proving_set_class (BlBench *bench, BlSafetyClass safety_class, GError **error);
/* "1.5 m", "3 m, heater 2 kW": length of the cord and power of heating elements, either may be missing. */
gboolean bl_proving_set_unit (BlBench *bench, const char *text, GError **error);

/* A value typed for a test: ohm, Mohm and mA where no unit is typed, in this order of what the tests measure. source:
 * where the limits are from. The line keeps text, limit and verdict. */
gboolean bl_proving_safety (BlBench *bench, const BlSafetyLimits *limits, const char *source, BlSafetyTest test,
                            const char *text, GError **error);
/* The last line of it since the repair; NULL: none. */
const BlRecord *bl_proving_safety_record (BlBench *bench, BlSafetyTest test);
/* "Protective conductor", "Insulation, 500 V DC" ...: translated. */
const char *bl_safety_test_title (BlSafetyTest test);
/* Unit that a figure without one is taken in: "Ω", "MΩ", "mA". */
const char *bl_safety_test_unit (BlSafetyTest test);
/* "≤ 0.3 Ω", "≥ 1 MΩ", by the locale. (transfer full); NULL: not done on that class. */
char *bl_safety_limit_words (const BlSafetyLimits *limits, const BlSafetyUnit *unit, BlSafetyTest test);

/* --- the whole --- */

typedef struct
{
  guint pairs, unread, deviating, other_condition; /* measurements */
  guint checks, open_checks, failed_checks;
  guint tests, open_tests, failed_tests; /* of electrical safety; open_tests 1 where the class is not said */
} BlProvingCount;
void bl_proving_count (BlBench *bench, const BlSafetyLimits *limits, const char *const *shop, BlProvingCount *count);

/* The job is in proving from now on, if there was a repair and it was on the bench until now. */
gboolean bl_proving_begin (BlBench *bench, GError **error);

/* What a line about a test says: "soak", "begun: 30 min". rest (transfer full). (transfer full) */
char *bl_proving_record_words (const BlRecord *record, char **rest);

G_END_DECLS
