/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-diagnosis.h"
#include "bl-drill.h"
#include "bl-safe-limits.h"

G_BEGIN_DECLS

/* What a person did in a drill, and what it is worth: regret and safety, never speed. */

typedef enum
{
  BL_STEP_MEASURE,   /* subject: measurement; text: what was read */
  BL_STEP_STATE,     /* subject: the board state declared */
  BL_STEP_PROOF,     /* the board was proved dead; subject: where (a measurement), or NULL; text: figures as on the
                        bench (source, points, source), or NULL */
  BL_STEP_SUPPLY,    /* text: words of "isolated", "limited", "mains" */
  BL_STEP_CAUTIONS,  /* the cautions were read */
  BL_STEP_PART,      /* subject: component tested by itself; text: "good" or a mode */
  BL_STEP_STAGE,     /* subject: the stage named as failed */
  BL_STEP_COMPONENT  /* subject: the component named as failed */
} BlDrillStepKind;

typedef enum
{
  BL_UNSAFE_OHMS_LIVE = 1 << 0,    /* a current driven through a board that is live */
  BL_UNSAFE_UNPROVEN = 1 << 1,     /* the same, unpowered, but not proved dead since it was last live */
  BL_UNSAFE_NO_CAUTIONS = 1 << 2,  /* live for the first time without the cautions; told once a drill */
  BL_UNSAFE_NOT_ISOLATED = 1 << 3, /* a point of the hot or mains side read live without an isolating supply */
  BL_UNSAFE_GROUNDS = 1 << 4       /* point and black lead on different grounds of a live board */
} BlUnsafe;
#define BL_N_UNSAFE 5

/* One of them: "ohms on a live board". The name is for files, the words are translated. (transfer none) */
const char *bl_unsafe_name (BlUnsafe act);
const char *bl_unsafe_words (BlUnsafe act);
/* The words of several, "one; other"; NULL: none. (transfer full) */
char *bl_unsafe_list_words (guint unsafe);

typedef struct
{
  /* given */
  BlDrillStepKind kind;
  char *subject, *text;
  char *meter;  /* MEASURE: accuracy of the meter, where it is not the drill's */
  char *state;  /* MEASURE: board state, where it is not the document's */
  char *black;  /* MEASURE: black lead, where it is not the document's */
  double at_s;  /* MEASURE, PROOF: when, in s by whatever clock; NAN: not known, and then no proof grows old */
  gboolean struck; /* MEASURE, PART: struck out since, a slip of the pen. Done it was, evidence it is not */
  /* found out */
  gboolean scored;       /* what follows is filled in */
  guint unsafe;          /* BlUnsafe */
  double effort_s;       /* what it took, changes of state and lead with it */
  double regret_s;       /* expected effort until the part is found, beginning with this measurement, less that of the
                            best: time given away. 0 for the best and for what is no measurement */
  double best_s;         /* expected effort until the part is found, beginning with the best; NAN: no measurement */
  char *best;            /* that measurement; NULL: nothing more is worth measuring */
  gboolean told_nothing; /* it could tell nothing new */
  gboolean right;        /* the best, or one that tells something and is expected to take at most a fifth longer */
  gboolean for_safety;   /* it proves a state dead and tells nothing else: not judged by regret */
} BlDrillStep;

BlDrillStep *bl_drill_step_new (BlDrillStepKind kind, const char *subject, const char *text);
BlDrillStep *bl_drill_step_copy (const BlDrillStep *step);
void bl_drill_step_free (BlDrillStep *step);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlDrillStep, bl_drill_step_free)

/* At most so much more than the best, as a share of it, is right. */
#define BL_DRILL_RIGHT 0.2

typedef struct
{
  GPtrArray *steps;  /* BlDrillStep, copies */
  double regret_s, effort_s;
  guint n_measured;  /* measurements judged by regret; the next two are of these */
  guint n_right, n_told_nothing;
  guint n_unsafe;    /* steps with an unsafe act */
  guint unsafe;      /* BlUnsafe, of all steps */
  gboolean named_stage, named_component; /* something was named */
  gboolean stage_right, component_right; /* what was named last; the stage of a named component where no stage was */
  gboolean victim_named;                 /* the component is broken, but another broke it */
  gboolean failed;   /* an unsafe act fails a drill */
} BlDrillScore;
void bl_drill_score_free (BlDrillScore *score);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlDrillScore, bl_drill_score_free)

/* steps: BlDrillStep in order of time; not changed. Those at the beginning that are already scored are taken as they
 * are: whoever adds steps hands in those of the last score and the new ones. Each measurement takes some tenths of a
 * second. Errors: BL_CORE_ERROR_UNKNOWN and _PARSE name the step by its number; BL_CORE_ERROR_CANCELLED. From any
 * thread. (transfer full) */
BlDrillScore *bl_drill_score (const BlDrill *drill, GPtrArray *steps, const int *cancel, GError **error);

/* The same with unsafe acts by a shop's own limits; the other takes those a shop begins with. */
BlDrillScore *bl_drill_score_by (const BlDrill *drill, GPtrArray *steps, const BlSafeLimits *limits, const int *cancel,
                                 GError **error);

/* Unsafe acts alone, by a shop's limits, filled in for every step in place: quick enough for every key. */
void bl_drill_find_unsafe (const BlBoard *board, GPtrArray *steps, const BlSafeLimits *limits);

/* What a drill gives as evidence before the step number n (G_MAXUINT: all): the symptom shown, readings and part tests
 * that were not struck. NULL with error. Returns: (transfer full) GPtrArray of BlEntry. */
GPtrArray *bl_drill_evidence (const BlDrill *drill, GPtrArray *steps, guint n, GError **error);

G_END_DECLS
