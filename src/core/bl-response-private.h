/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-response.h"

/* The board as numbers: filled by bl-response-build.c, walked by bl-response.c. */

/* What a mode does to one stage or one measurement. */
typedef struct
{
  gboolean on_measurement;
  guint target;   /* index of the stage or measurement */
  guint64 bits;   /* deviations or classes */
  guint8 *states; /* one flag a state; NULL: all */
} Effect;

typedef struct
{
  const char *component, *mode;
  guint component_index;
  const BlMode *document; /* NULL: implied */
  GArray *effects;        /* Effect */
} Mode;

typedef struct
{
  int stage;                      /* -1: a port, always good */
  guint8 to[1 << BL_N_DEVIATIONS]; /* mask at the feed -> mask handed on */
} Feed;

typedef struct
{
  Feed *feeds;
  guint n_feeds, need; /* how many of the feeds are needed */
} Stage;

typedef struct
{
  BlBand *band;
  int stage;   /* read; -1: none */
  guint state;
  guint8 from_stage[BL_N_DEVIATIONS]; /* class each deviation of the stage shows as */
  guint8 *order;                      /* classes by precedence */
} Measurement;

struct BlResponse
{
  const BlBoard *board;
  GArray *modes;   /* Mode */
  GArray *links;   /* BlResponseLink */
  Stage *stages;
  guint n_stages, n_states, n_measurements;
  guint *sorted;   /* stages, feeds first */
  Measurement *measurements;
  char **other_ids;          /* one a stage */
  GHashTable *stage_index;   /* id -> index + 1, for these three */
  GHashTable *measurement_index;
  GHashTable *state_index;
};
