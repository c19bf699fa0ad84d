/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-diagnosis.h"

G_BEGIN_DECLS

/* Why a suspect stands where it stands: what every piece of evidence weighs, and what would put
 * another one first. All exact: the board is diagnosed again without, or with, each piece. */

typedef enum
{
  BL_REASON_READING, /* of a measurement in a round, repeats included */
  BL_REASON_SYMPTOM, /* all that was said of a symptom */
  BL_REASON_PART     /* all tests of a part */
} BlReasonKind;

typedef struct
{
  BlReasonKind kind;
  char *subject;         /* measurement, symptom or component */
  guint round;           /* of a reading, from 1; otherwise 0 */
  char *said;            /* a reading's class ("too close to call" too), "yes", "no", "good", a mode */
  double decibans;       /* 10 log10 of the suspect's odds with all over those without it; NAN: one of
                            them is 0, infinite or too near it for the digits */
  double stage_decibans; /* the same for the suspect's stage; NAN where there is none */
  char *first_without;   /* the component first without it, where that is another; NULL: the same */
  double first_odds;     /* its probability then */
  char *stage_without;   /* the likely stage without it, where that is another; NULL: the same or none */
} BlReason;

/* A class that a measurement not read yet may show, and that would put another component first. */
typedef struct
{
  char *measurement, *class_name;
  double chance;    /* that this class is read, given all */
  char *first;      /* the component first then */
  double first_odds;
  char *stage;      /* the likely stage then; NULL: none, elsewhere is more probable */
} BlTurn;

typedef struct
{
  char *suspect;      /* component, stage, or NULL: elsewhere, not on this board */
  gboolean is_stage;  /* the suspect is a stage */
  char *mode;         /* of a component: its likeliest mode, NULL: none */
  char *stage;        /* of the suspect; NULL: none */
  char *first;        /* the component that is first now */
  char *likely_stage; /* as in the diagnosis */
  double prior, stage_prior;             /* before readings, tests and symptoms, rounds as they are */
  double probability, stage_probability; /* with all */
  GPtrArray *reasons; /* BlReason, the heaviest first */
  GPtrArray *turns;   /* BlTurn, the likeliest first; NULL: not asked yet */
  guint tried, open;  /* of the unread measurements so many were tried */
} BlReasons;
void bl_reasons_free (BlReasons *reasons);
/* Without the turns. (transfer full) */
BlReasons *bl_reasons_copy (const BlReasons *reasons);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlReasons, bl_reasons_free)

/* suspect: a component ("STAGE/other" too), else a stage, NULL: elsewhere. BL_CORE_ERROR_UNKNOWN when
 * the board has neither. cancel as in bl_engine_diagnose (). Costs one diagnosis for each piece of
 * evidence and two more. (transfer full) */
BlReasons *bl_reasons_new (BlEngine *engine, GPtrArray *entries, const char *suspect, const int *cancel,
                           GError **error);

/* Fills turns from at most most measurements (0: all) not read in the last round, those that tell most a
 * second first. Costs a ranking of them and one diagnosis for each of their classes. */
gboolean bl_reasons_find_turns (BlReasons *reasons, BlEngine *engine, GPtrArray *entries, guint most,
                                const int *cancel, GError **error);

G_END_DECLS
