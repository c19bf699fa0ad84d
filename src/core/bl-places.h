/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"

G_BEGIN_DECLS

/* Where in an equipment the fault lies: on which of its boards, or between them. A diagnosis of a joined board
 * carries this (BlDiagnosis.places, NULL for a board alone). */

/* TRUE for a board that was joined from the boards of an equipment: what belongs to one of them has its role in its id. */
gboolean bl_board_is_joined (const BlBoard *board);

typedef enum
{
  BL_PLACE_BOARD, /* one of the boards */
  BL_PLACE_PARTS, /* all conductors and cables together */
  BL_PLACE_PART   /* one of them */
} BlPlaceKind;

typedef struct
{
  BlPlaceKind kind;
  char *id;           /* the board's role; BL_SHARE_OF_PARTS; id of the conductor or cable */
  char *title;        /* of a conductor or cable; NULL: none */
  char **events;      /* its own events, "COMPONENT:MODE", implied ones too, as bl_engine_unions () takes them */
  double probability; /* that a root cause lies there: at least one own event of it happened, in its present parts */
  guint index;        /* place in the document */
} BlFaultPlace;

typedef enum
{
  BL_PLACES_OPEN,     /* not narrowed down to two */
  BL_PLACES_BETWEEN,  /* on first or on second, with BL_PLACES_SURE together */
  BL_PLACES_ISOLATED, /* on first */
  BL_PLACES_SEVERAL,  /* on first and on second: more than one fault */
  BL_PLACES_NONE      /* on none of them */
} BlPlacesVerdict;

/* What is called isolated. */
#define BL_PLACES_SURE 0.95

typedef struct
{
  GPtrArray *places; /* BlFaultPlace: boards, and conductors and cables together where there are any; by probability */
  GPtrArray *parts;  /* BlFaultPlace: each conductor and each cable; by probability */
  double none;       /* that no own event of any of them happened: what is wrong is elsewhere */
  double pair;       /* that the fault is on first or second; as that of first alone where there is no second */
  BlPlacesVerdict verdict;
  /* The two likeliest; NULL stands for "none of them". With BL_PLACES_ISOLATED and BL_PLACES_NONE second means
   * nothing. (transfer none) */
  const BlFaultPlace *first, *second;
} BlPlaces;

void bl_places_free (BlPlaces *places);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlPlaces, bl_places_free)

/* The role at the head of an id of a joined board: "roof" of "roof/K2". NULL: it has none, as what belongs to the
 * equipment itself. Returns: (transfer full). */
char *bl_place_role (const char *id);
/* The id without that role: "K2" of "roof/K2" for "roof"; NULL: it is not of this role. (transfer none) */
const char *bl_place_strip (const char *id, const char *role);

/* The places of a joined board, nothing known of their odds yet (NAN). NULL: it is a board alone.
 * Returns: (transfer full). */
BlPlaces *bl_places_new (const BlBoard *board);
/* Look-up by id; NULL: none. (transfer none) */
const BlFaultPlace *bl_places_find (const BlPlaces *places, const char *id);
/* In one sentence without figures: "Isolated: board wall.", "On board wall or in the conductors." */
char *bl_places_words (const BlPlaces *places);
/* Name to show: "wall board", "conductors", "W3, signal conductor". place NULL: on none of them. (transfer full) */
char *bl_place_words (const BlFaultPlace *place);

G_END_DECLS
