/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-wiring.h"

G_BEGIN_DECLS

/* Between bl-wiring.c (boxes, conductors, cables) and bl-wiring-checks.c (terminals, checks). */
typedef struct
{
  BlWiring *wiring;
  const BlBoard *board;
  const BlEquipment *equipment; /* may be NULL */
} BlWireScan;

/* Box of an id that begins with its role; -1: of none. */
int bl_wire_box_of (const BlWiring *wiring, const char *id);
gboolean bl_wire_is_fed_by (const BlStage *stage, const char *feed);
/* Whether the stage is of a section of this kind. */
gboolean bl_wire_is_of_kind (const BlBoard *board, const BlStage *stage, const char *kind);
/* The first feed of a stage, of a conductor where it comes from; NULL: none. (transfer none) */
const char *bl_wire_source_of (const BlBoard *board, const char *stage);
/* Whether an effect of the component is on this id. */
gboolean bl_wire_acts_on (const BlComponent *component, const char *id);

/* Fills terminals and checks, when boxes and conductors are there. */
void bl_wire_scan_checks (BlWireScan *scan);

G_END_DECLS
