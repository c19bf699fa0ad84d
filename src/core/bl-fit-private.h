/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-engine-private.h"
#include "bl-net-play.h"

G_BEGIN_DECLS

/* Shared by the files of the fit: bl-fit-play.c plays events and reads what they do, bl-fit-ways.c finds
 * what one event can come to, bl-fit.c pairs and answers. */

/* One event, with what it provoked and showed. */
typedef struct
{
  int part;        /* component, or BL_FIT_MANY */
  guint fixes;     /* places where no event at all fails and this doesn't */
  guint n_roots;
  guint *roots;    /* those true in this case that some knot hears of, the event itself first */
  guint8 *bytes;   /* of each place */
  guint64 *meets;  /* bit set of the knots that hear of it */
} BlFitCase;

#define BL_FIT_MANY (-1) /* of more than one component */
#define BL_FIT_CHUNK 16  /* bytes compared at once */

typedef struct
{
  BlEngine *engine;
  BlJobCircuit *compiled;
  BlNetwork *network;
  guint n_places, n_hard, stride; /* places: first part tests and symptoms, then readings */
  guint *place_node;
  guint8 (*bytes)[256];           /* [place][value of its node] */
  BlNetPlay play;
  guint n_knots;                  /* gates that count */
  guint *knot_of;                 /* per node its number, or G_MAXUINT */
  guint8 **masks;                 /* per node: 0 for the places it can change, 0xff for others */
  guint64 *reach;                 /* [node * knot_words]: bit set of the knots that hear of it */
  guint8 **downstream;            /* per knot its mask, of masks */
  guint knot_words;
  GPtrArray *cases, *knotted;     /* without and with knots they meet */
  GHashTable *known;              /* cases without knots by their bytes */
  BlFitCase *none;
  guint best;
  gboolean left_out;              /* some event can come to too much to be told */
  GHashTable *quarrel;            /* GBytes of violated places */
} BlFit;

/* bl-fit-play.c */
void bl_fit_init (BlFit *fit, BlEngine *engine);
void bl_fit_clear (BlFit *fit);
void bl_fit_case_free (BlFitCase *self);
/* Sets the roots true and lets it go through; notes the knots met in meets (may be NULL). */
void bl_fit_play (BlFit *fit, const guint *roots, guint n, guint64 *meets);
void bl_fit_read (const BlFit *fit, guint8 *bytes);
void bl_fit_rewind (BlFit *fit);

/* bl-fit-ways.c */
/* What one event can come to. */
typedef struct
{
  guint8 *bytes;
  GArray *roots; /* guint: of the choices taken, those that some knot hears of */
  guint64 *meets; /* as in BlFitCase, where playing the way has told; NULL: to be played */
} BlFitWay;
/* Ways of the own event of a mode and version, less those that another beats whatever happens
 * besides. Empty: the event is not in the network. NULL without error: too many, left out; with error:
 * cancelled. (transfer full) GPtrArray of BlFitWay */
GPtrArray *bl_fit_ways (BlFit *fit, guint mode, guint version, guint *own, GError **error);

G_END_DECLS
