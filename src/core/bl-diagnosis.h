/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-evidence.h"
#include "bl-places.h"

G_BEGIN_DECLS

/* Odds of one mode, component, stage or section. */
typedef struct
{
  char *id;           /* for a mode its name */
  double probability; /* an own event of it is the root cause */
  double present;     /* it is there at all, provoked or not */
  GPtrArray *modes;   /* of a component: BlOdd; otherwise NULL */
  guint index;        /* place in the document, implied components after the documented ones */
} BlOdd;

typedef struct
{
  char *black, *state; /* one of them is NULL */
  double probability;  /* that this lead or state was wrong */
} BlSetupOdd;

typedef struct
{
  char *measurement;
  guint round;
  double decibans; /* NAN: null */
} BlWhy;

typedef struct
{
  char *measurement;
  double bits;
  double effort_s;
  double score; /* bits per second */
} BlNext;
void bl_next_free (BlNext *next);

typedef struct
{
  char *measurement;
  guint round;
} BlReadingRef;

typedef struct BlPlan BlPlan; /* bl-plan.h */
typedef struct BlActs BlActs; /* bl-acts.h */

typedef struct
{
  GPtrArray *readings;   /* BlJudged, those that count (the last of each measurement and round),
                            with an entry and a measurement of their own */
  GPtrArray *sections;   /* BlOdd, by probability, ties in document order; so are the next two */
  GPtrArray *stages;
  GPtrArray *components; /* the implied "STAGE/other" among them */
  double elsewhere, remaining;
  GPtrArray *setup;      /* BlSetupOdd of the last round: black leads, then states */
  GPtrArray *why;        /* BlWhy for the leading component, strongest first; NULL: not asked */
  gboolean fitted;       /* explained and quarrel were asked for */
  gboolean explained;
  GPtrArray *quarrel;    /* GPtrArray of BlReadingRef each: every smallest set that disturbs */
  GPtrArray *next;       /* BlNext by score; NULL: not asked */
  BlPlan *plan;          /* several measurements ahead; NULL: not asked, so are the next two */
  BlActs *acts;          /* on parts */
  GPtrArray *not_visible; /* "COMPONENT:MODE" that no measurement of the job can show; NULL as well where
                             a measurement has more than 64 classes */
  BlPlaces *places;      /* of an equipment; NULL: a board alone */
  char *likely_stage;    /* NULL while elsewhere is more probable */
  gboolean unproven;     /* nothing has been read since a part was replaced: the odds are those for the
                            case that it was not cured */
  double log_evidence;   /* natural logarithm of the probability of the evidence */
} BlDiagnosis;
void bl_diagnosis_free (BlDiagnosis *diagnosis);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlDiagnosis, bl_diagnosis_free)

typedef enum
{
  BL_DIAGNOSE_ODDS = 0,
  BL_DIAGNOSE_WHY = 1 << 0,
  BL_DIAGNOSE_FIT = 1 << 1,
  BL_DIAGNOSE_NEXT = 1 << 2,
  BL_DIAGNOSE_ALL = 7,           /* what the engine computes exactly */
  BL_DIAGNOSE_PLAN = 1 << 3,     /* plan, acts, not_visible */
  BL_DIAGNOSE_TO_STAGE = 1 << 4  /* the plan ends with the stage */
} BlDiagnoseFlags;

/* An engine keeps what was computed for one board so that the next entry costs little. Not for use
 * from two threads at once; two engines are independent. The board must not change under it. */
typedef struct BlEngine BlEngine;
BlEngine *bl_engine_new (const BlBoard *board, GError **error);
void bl_engine_free (BlEngine *engine);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlEngine, bl_engine_free)

/* Exact odds given entries (GPtrArray of BlEntry, in order of time), model sections 4 and 5.
 * cancel: set to non-zero from another thread to stop (NULL: none). BL_CORE_ERROR_IMPOSSIBLE when
 * the evidence has probability zero. (transfer full) */
BlDiagnosis *bl_engine_diagnose (BlEngine *engine, GPtrArray *entries, BlDiagnoseFlags flags,
                                 const int *cancel, GError **error);

/* Odds, given the entries, that at least one own event of a set happened: that a root cause lies among
 * them. Of one event it is the probability of its mode, of all of a component that of the component.
 * sets: GPtrArray of NULL-terminated lists of "COMPONENT:MODE", implied components among them; odds: one
 * for each, filled in: 0 where a set is empty, NAN where it names a mode that the board does not have.
 * Where the entries are those of the last diagnosis it costs less than that did. Errors and cancel as
 * above. */
gboolean bl_engine_unions (BlEngine *engine, GPtrArray *entries, GPtrArray *sets, double *odds, const int *cancel,
                           GError **error);

/* The object of `diagnose --json`. next: how many next measurements to list (-1: all).
 * Returns: (transfer full). */
char *bl_diagnosis_to_json (const BlDiagnosis *diagnosis, int next);

/* Look-up by id in one of the lists; NULL: none. (transfer none) */
const BlOdd *bl_diagnosis_find (GPtrArray *list, const char *id);

/* The class each measurement shows when exactly these own events are true (pairs of component and
 * mode index given as "COMPONENT:MODE" strings), links not fired, every show event true, states as
 * the measurements say. Implied components count. Returns: (transfer full) GPtrArray of static class
 * names owned by the engine, one per measurement of the document. */
GPtrArray *bl_engine_signature (BlEngine *engine, const char *const *faults, GError **error);

G_END_DECLS
