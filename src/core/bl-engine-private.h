/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-diagnosis.h"
#include "bl-eliminate.h"

G_BEGIN_DECLS

/* Shared by the files of the engine: bl-engine.c compiles and fills in, the others ask. Rounds count
 * from 0 here. */

/* How the event that a black lead or a state was wrong is dealt with. */
typedef enum
{
  BL_SETUP_OFF,    /* its prior is 0 */
  BL_SETUP_LANE,   /* both values are evaluated side by side */
  BL_SETUP_ROOT,   /* a root of the network */
  BL_SETUP_PRIVATE /* one reading depends on it: part of that reading's weights */
} BlSetupHow;

typedef struct
{
  guint round;
  gboolean is_state;
  int index;       /* of the state or of the test point */
  guint uses;      /* slots that depend on it */
  BlSetupHow how;
  guint node;      /* ROOT */
  int lane_bit;    /* LANE that some reading depends on: its bit in the number of a lane; else -1 */
  gboolean used;   /* some reading that counts depends on it */
  gboolean made;   /* so it was when the circuit was made */
} BlSetup;

/* A place for a reading: one that counts, or one not read yet in the last round. */
typedef struct
{
  guint measure, round;
  int state, black;
  guint n_setups, setups[2];
  guint node;
  guint leaf;            /* table; its rows are the node's values */
  const BlJudged *judged; /* NULL: not read */
  double *weights;       /* [class] likelihood of the reading, then that of a wrong setup */
  double *made;          /* the same of the reading that the circuit was made for; NULL: none */
  double log_scale;      /* natural logarithm of what the weights were divided by */
} BlSlot;

/* Own events of a component, stage or section, or the presence of its modes: the leaves whose value
 * 1 is struck out to know the rest. */
typedef struct
{
  BlCircuitPath *path; /* NULL: no leaf, it cannot happen */
  gboolean laned;      /* its top depends on readings */
  double *with;        /* not laned: of each row of the top, the value less that with the leaves struck */
} BlGroup;

/* A part test or a symptom: weights of a node's value 0 and of its value 1. */
typedef struct
{
  guint node;
  double weight[2];
  gboolean wants; /* it says that the node is true */
} BlSaid;

/* Everything that depends on the rounds, tests, symptoms and the places of readings, but not on what
 * was read. */
typedef struct
{
  char *signature;
  BlRounds rounds;
  BlNetwork *network;
  BlCircuit *circuit;
  BlCircuit *whole;    /* for any readings, where circuit is what is left of it for those at hand; else NULL */
  BlPass *pass;
  BlPass *some;        /* some of its lanes; NULL: not needed yet */
  GArray *slots;       /* BlSlot */
  GArray *setups;      /* BlSetup */
  GArray *said;        /* BlSaid */
  guint *own, *present; /* per mode, of the last round: nodes, or BL_NET_NONE */
  guint elsewhere;     /* node */
  GPtrArray *parts, *parts_present;       /* BlGroup, by part */
  GPtrArray *stages, *stages_present;     /* by stage */
  GPtrArray *sections, *sections_present; /* by section; *_present as NULL where it is the same */
  BlGroup *all;        /* every own event of the last round's versions */
  guint8 *needed_parts; /* tables above the tops of parts, and those tops: 2 */
  guint8 *needed_slots; /* tables above the leaves of slots */
  guint n_lanes;
  guint *lane_sets;    /* of each lane a bit for every setup that is wrong in it; none in the first */
  double *lane_weights;
  double *part_joints; /* of each part, scaled: joint probability of its own events and the evidence */
  double total;        /* probability of the evidence, scaled */
  BlRoom *room;        /* of the engine, for buffers; NULL: none */
  gboolean filled;     /* values and total are those of its readings already */
  gboolean sharp;      /* compiled for the readings at hand */
  double least;        /* rows below this weight were left out; 0: none */
} BlJobCircuit;

struct BlEngine
{
  const BlBoard *board;
  BlCauses *causes;
  BlJobCircuit *compiled;
  gboolean dense;        /* too many combinations for a circuit that serves any reading */
  gsize large;           /* as in bl_job_compile () */
  gboolean wide;         /* dense: the circuit has a place for every measurement */
  gboolean ranks;        /* during a diagnosis: the ranking is asked for */
  guint narrow_until;    /* dense: readings from which that is tried again */
  BlRoom *room;          /* buffers of its circuits */
  const int *cancel;
  guint again;           /* 1 + index of a measurement that a plan takes for unread though it was read; 0: none */
  GPtrArray *entries;    /* during a diagnosis */
  BlNetwork *signatures; /* for bl_engine_signature (): one round, every measurement, every show */
  BlRounds single;       /* its one round */
};

#define bl_slot(compiled, i) (&g_array_index ((compiled)->slots, BlSlot, (i)))
#define bl_setup(compiled, i) (&g_array_index ((compiled)->setups, BlSetup, (i)))

/* bl-job-circuit.c */
/* One of more terms than large is trimmed for the readings at hand, and again when others come out too differently. */
BlJobCircuit *bl_job_compile (const BlCauses *causes, GPtrArray *entries, GPtrArray *judged, gsize large,
                              BlJobCircuit *old, BlRoom *room, const int *cancel, GError **error);
/* The same for the readings at hand, with places for the unread measurements marked (one flag each;
 * NULL: none) and no others. least: as in BlEvidenceNodes, 0: found out. Both take old over: it is
 * returned when it fits, the sharp one when it serves these readings too; freed otherwise. */
BlJobCircuit *bl_job_compile_sharp (const BlCauses *causes, GPtrArray *entries, GPtrArray *judged,
                                    const guint8 *unread, double least, gsize max_terms,
                                    BlJobCircuit *old, BlRoom *room, const int *cancel, GError **error);
void bl_job_circuit_free (BlJobCircuit *compiled);
BlSlot *bl_job_circuit_find_slot (BlJobCircuit *compiled, guint measure, guint round);

/* Of the probability of the evidence: what a row may be worth at most to be left out. Up to 10^6 rows
 * are, and taking a reading away again (as the reasons do) weighs them up to some 10^3 times more. */
#define BL_JOB_NEGLIGIBLE 1e-21

/* bl-job-wear.c: trims a circuit to its readings, from the whole where that is kept. */
void bl_job_trim (BlJobCircuit *compiled, const BlCauses *causes);
/* Fills in the readings of now and tells whether a trimmed circuit serves them. */
gboolean bl_job_serves (BlJobCircuit *compiled, const BlCauses *causes);

/* bl-job-groups.c: the groups of a circuit just compiled, and the tables above them. */
void bl_job_make_groups (BlJobCircuit *compiled, const BlCauses *causes);
/* Of these nodes of the network (guint; BL_NET_NONE counts for nothing). (transfer full) */
BlGroup *bl_group_new (const BlJobCircuit *compiled, const GArray *nodes);
void bl_group_free (BlGroup *group); /* NULL is nothing */

/* bl-likelihood.c: conf(j|k), the chance that class k is read as class j; e: misread. */
double bl_confusion (const BlCauseMeasure *measure, double e, guint k, guint j);
/* Fills the weights of a slot from its reading. */
void bl_slot_weigh (BlSlot *slot, const BlCauseMeasure *measure);
/* Chance that a setup of the slot was wrong which is neither a lane in use nor a root. */
double bl_slot_hidden (const BlJobCircuit *compiled, const BlCauses *causes, const BlSlot *slot);
/* The lanes in which some setup of the slot is wrong: those that have a bit of this mask. */
guint bl_slot_lane_mask (const BlJobCircuit *compiled, const BlSlot *slot);
/* The lanes run through the setups that readings depend on. */
void bl_choose_lanes (BlJobCircuit *compiled, const BlCauses *causes);
/* Writes the leaf of a slot that was read and weighed, [row * lanes + lane]. */
void bl_slot_fill (const BlJobCircuit *compiled, const BlCauses *causes, const BlSlot *slot, double *to);
/* Chooses the lanes and fills every reading's leaf. */
void bl_fill_readings (BlJobCircuit *compiled, const BlCauses *causes);

/* bl-odds.c: fills everything but why, fit and next. */
gboolean bl_odds (BlEngine *engine, BlDiagnosis *diagnosis, GError **error);
/* Odds that some node of these (guint) is true, after bl_evaluate (). */
double bl_odds_any (BlJobCircuit *compiled, const GArray *nodes);
/* Evaluates the compiled circuit: values, derivatives, total and the parts' joints. */
gboolean bl_evaluate (BlEngine *engine, GError **error);

/* bl-places.c: fills in where in an equipment the fault lies, after bl_odds (). */
gboolean bl_places (BlEngine *engine, BlDiagnosis *diagnosis, GError **error);

/* Only the upward pass of it: the probability of the evidence. */
gboolean bl_evaluate_up (BlEngine *engine, GError **error);
/* Row by row, the value of a group's top less that with its leaves struck out. standing: the path
 * that stands in the pass, or NULL. (transfer full) */
double *bl_group_with (BlPass *pass, const BlGroup *group, const BlCircuitPath *standing);
/* Joint probability, scaled, of the evidence and some leaf of the group; after a downward pass. */
double bl_group_joint (BlPass *pass, const BlGroup *group, const double *with);
gboolean bl_engine_cancelled (const BlEngine *engine, GError **error);

/* bl-why.c, bl-fit.c, bl-next.c */
gboolean bl_why (BlEngine *engine, BlDiagnosis *diagnosis, GError **error);
gboolean bl_fit (BlEngine *engine, BlDiagnosis *diagnosis, GError **error);
gboolean bl_next (BlEngine *engine, BlDiagnosis *diagnosis, GPtrArray *judged, GError **error);

/* bl-plan.c, bl-acts.c; unread: indices of measurements */
gboolean bl_plan (BlEngine *engine, BlDiagnosis *diagnosis, GPtrArray *judged, gboolean to_stage,
                  GError **error);
void bl_acts (BlEngine *engine, BlDiagnosis *diagnosis, const GArray *unread);

/* A probability without the last bits, which are rounding errors: so that what is equal by symmetry
 * is equal in order too. Relative precision 2^-40. */
double bl_settle (double value);

G_END_DECLS
