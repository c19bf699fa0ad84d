/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-causes.h"
#include "bl-diagnosis.h"
#include "bl-drill.h"
#include "bl-response.h"

G_BEGIN_DECLS

/* Between the files of a drill: what is drawn (bl-drill-draw.c) and what is read (bl-drill.c). */

struct BlDrill
{
  BlBoard *board;
  BlCauses *causes;
  BlResponse *response;
  guint32 seed;
  gboolean planted;
  guint8 *own, *active; /* one flag a mode of response: root causes; what is present, all of it active */
  guint8 *classes;      /* class each measurement shows */
  GPtrArray *entries;   /* BlEntry: first readings, as they are right */
  char **faults, **victims;
  const char *symptom;
  int misread;          /* index of the measurement whose first reading is wrong; -1: none */
  char *wrong;          /* that reading */
  double gain;          /* of this meter, within its accuracy */
  GMutex lock;          /* of the engine, which one thread at a time may ask */
  BlEngine *engine;     /* made for the first score and kept: what it compiles is good for the next one */
};

/* The drill's engine; drill->lock is held. NULL with error. (transfer none) */
BlEngine *bl_drill_engine (BlDrill *drill, GError **error);

/* Fills own and active of the drill. */
gboolean bl_drill_draw (BlDrill *drill, const BlDrillOrder *order, GRand *random, GError **error);
/* Chooses what is misread, and as what. FALSE with BL_CORE_ERROR_IMPOSSIBLE where nothing can be. */
gboolean bl_drill_draw_misread (BlDrill *drill, GRand *random, GError **error);
/* The first symptom of the document that active modes show; NULL: none. */
const char *bl_drill_symptom_of (const BlDrill *drill, const guint8 *active);

G_END_DECLS
