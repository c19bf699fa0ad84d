/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"

G_BEGIN_DECLS

/* A board flattened for the diagnosis: names resolved to indices, defaults filled in, the implied
 * components appended after the documented ones, priors computed. Private to the engine's files. */

/* One effect of a mode, on a stage or on a measurement. */
typedef struct
{
  int stage, measurement; /* one of them is -1 */
  guint mask;             /* stage: bits of 1 << BlDeviation */
  guint code;             /* measurement: the code of the class that shows, see BlCauseMeasure */
  guint64 classes;        /* measurement: bit set of class indices below 64 */
  guint64 states;         /* bit set of the states it is limited to; all ones: every state */
} BlCauseEffect;

typedef struct
{
  guint mode;    /* the mode made present */
  double chance; /* (0, 1] */
} BlCauseLink;

typedef struct
{
  guint part;         /* its component */
  const char *name;
  const BlMode *mode; /* NULL: of an implied component */
  double prior;       /* of its own event */
  GArray *effects;    /* BlCauseEffect */
  GArray *links;      /* BlCauseLink: what it provokes */
  gboolean provoked;
  guint ring;         /* number of its strongly connected set of the provokes graph */
  guint ring_size;
} BlCauseMode;

typedef struct
{
  char *id;
  int stage, section; /* -1: none */
  guint first, n;     /* its modes */
} BlCausePart;

typedef struct
{
  int stage;       /* -1: a port, always good */
  guint passes[4]; /* mask that each deviation becomes; 0: in band */
} BlCauseFeed;

typedef struct
{
  int section;
  guint threshold; /* n - k + 1: how many feeds must fail */
  GArray *feeds;   /* BlCauseFeed */
} BlCauseStage;

/* Classes as the document's kind gives them. The code of a class is 254 - its rank in precedence,
 * so that of several true ones the largest code shows; 0 is the good class. */
typedef struct
{
  const char **classes;
  guint n, good;
  int unsteady;         /* class index or -1 */
  guint8 *code;         /* of each class */
  guint8 class_of[256]; /* of each code */
  int reads;            /* stage or -1 */
  guint8 reads_code[4]; /* code that each deviation of the stage read shows as */
  int state, black;     /* index of state; index of test point or -1 */
  double misread;
} BlCauseMeasure;

typedef struct
{
  const BlBoard *board;
  BlOdds odds;
  GPtrArray *modes;    /* BlCauseMode */
  GPtrArray *parts;    /* BlCausePart */
  GPtrArray *stages;   /* BlCauseStage */
  GPtrArray *measures; /* BlCauseMeasure */
  GPtrArray *rings;    /* GArray of guint mode indices, feeders before fed */
  GPtrArray *provokers; /* per mode: GArray of guint pairs (cause mode, index in its links) */
  GHashTable *part_index, *stage_index, *measure_index, *state_index, *point_index, *symptom_index;
} BlCauses;

BlCauses *bl_causes_new (const BlBoard *board, GError **error);
void bl_causes_free (BlCauses *causes);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlCauses, bl_causes_free)

/* Index by id in one of the tables above; -1: none. */
int bl_causes_find (GHashTable *table, const char *id);
/* Index of a mode of a part by name; -1: none. */
int bl_causes_mode (const BlCauses *causes, guint part, const char *name);
/* Chance that a present mode is active in a round of this condition. */
double bl_causes_shows (const BlCauses *causes, guint mode, const char *condition);

#define bl_cause_mode(causes, i) ((BlCauseMode *) bl_at ((causes)->modes, (i)))
#define bl_cause_part(causes, i) ((BlCausePart *) bl_at ((causes)->parts, (i)))
#define bl_cause_stage(causes, i) ((BlCauseStage *) bl_at ((causes)->stages, (i)))
#define bl_cause_measure(causes, i) ((BlCauseMeasure *) bl_at ((causes)->measures, (i)))

#define BL_CAUSE_WRONG 255u /* code of a reading whose setup was wrong: hides every class */

G_END_DECLS
