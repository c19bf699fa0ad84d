/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-equipment.h"

G_BEGIN_DECLS

/* What lies between the boards of an equipment: boxes, the conductors that join them, their terminals, and the field
 * checks with the place each is taken at. Found from the documents, before anything is drawn. */

typedef struct
{
  char *role;
} BlWireBox;

/* A test point that a field check uses. */
typedef struct
{
  char *id;      /* of the test point */
  char *name;    /* the same without role */
  char *title;   /* may be NULL */
  int box;       /* -1: at none of them */
  int conductor; /* at its end there; -1: at none */
} BlWireTerminal;

typedef struct
{
  char *id, *title;
  int box[2];        /* it comes from, it goes to; -1: not said */
  int terminal[2];   /* at these ends; -1: none is used by a check */
  int cable;         /* -1: in none */
  gboolean supplies; /* it feeds a section of kind "supply" there */
} BlWireConductor;

typedef struct
{
  char *id, *title;
} BlWireCable;

typedef enum
{
  BL_WIRE_ANYWHERE, /* of the equipment as a whole */
  BL_WIRE_BOX,
  BL_WIRE_TERMINAL,
  BL_WIRE_CONDUCTOR,
  BL_WIRE_CABLE
} BlWirePlace;

/* The order in which the field is asked: what says most about the least first, what is touched most last. */
typedef enum
{
  BL_SITE_DIRECTION, /* which box feeds which */
  BL_SITE_SUPPLY,    /* mains at both ends */
  BL_SITE_RELAY,     /* click, and what passes through the contact: two answers */
  BL_SITE_SIGNAL,    /* what else is read at the terminals */
  BL_SITE_CONDUCTOR, /* continuity, resistance, insulation, drop under load */
  BL_SITE_EXCHANGE,  /* another conductor in its place */
  BL_N_SITE_STEPS
} BlSiteStep;

/* A measurement of the equipment itself. */
typedef struct
{
  char *id, *title;
  BlWirePlace place;
  guint index;   /* of the box, terminal, conductor or cable */
  int at, black; /* terminals; -1: not said */
  BlSiteStep kind;
} BlWireCheck;

typedef struct
{
  char *title;           /* of the equipment; may be NULL */
  GPtrArray *boxes;      /* BlWireBox, in the document's order */
  GPtrArray *terminals;  /* BlWireTerminal */
  GPtrArray *conductors; /* BlWireConductor, those of a cable together */
  GPtrArray *cables;     /* BlWireCable */
  GPtrArray *checks;     /* BlWireCheck, in the order they are asked */
} BlWiring;

/* joined: the equipment's boards as one (bl_equipment_parse ()); equipment: its own document, which alone knows what
 * lies in which cable; NULL: a cable holds the conductors that its modes act on. (transfer full) */
BlWiring *bl_wiring_new (const BlBoard *joined, const BlEquipment *equipment);
void bl_wiring_free (BlWiring *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlWiring, bl_wiring_free)

/* Whether this measurement of a joined equipment asks how its boxes are joined, which no fault changes: a question of the
 * equipment itself that reads no stage and that no mode acts on. */
gboolean bl_wiring_asks_direction (const BlBoard *joined, const char *measurement);
/* Where an id belongs that something else speaks of: a conductor, a cable, a role, or what begins with a role and a
 * slash. FALSE: nowhere. */
gboolean bl_wiring_place (const BlWiring *self, const char *id, BlWirePlace *place, guint *index);

G_END_DECLS
