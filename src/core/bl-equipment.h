/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-problem.h"

G_BEGIN_DECLS

/* The equipment document as it is written, before its boards are joined. Who wants to diagnose asks for the
 * joined board, bl_equipment_parse (). */

typedef struct
{
  char *role, *board; /* board: path of its document, relative to the equipment's */
  char *notes;
} BlMember;

/* A conductor or a cable: a part between the boards. */
typedef struct
{
  char *id, *title, *kind;
  double weight;
  GPtrArray *modes;  /* BlMode */
  char *from, *to;   /* conductor: "role/STAGE" or another conductor, "role/PORT" */
  char **conductors; /* cable */
  char *notes;
} BlPart;

/* An effect of a mode of one board on another. */
typedef struct
{
  char *of, *mode;
  BlEffect effect;
} BlCrossEffect;

typedef struct
{
  BlBoard own; /* uid, odds and the lists an equipment has of its own; ids of boards with role */
  char *title, *notes;
  GPtrArray *members;    /* BlMember */
  GPtrArray *conductors; /* BlPart */
  GPtrArray *cables;     /* BlPart */
  GPtrArray *effects;    /* BlCrossEffect */
  GArray *shares;        /* BlShows, by role; NULL: weights stay as they are */
  char *shares_notes;
} BlEquipment;

extern const BlSchema bl_equipment_schema;

/* The key of all conductors and cables together among the shares. */
#define BL_SHARE_OF_PARTS "conductors"

BlEquipment *bl_equipment_new (void);
void bl_equipment_free (BlEquipment *equipment);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlEquipment, bl_equipment_free)
/* A deep copy. Returns: (transfer full). */
BlEquipment *bl_equipment_copy (const BlEquipment *equipment);

/* Reads the document alone: its keys and their types, not whether what it refers to is there, which only
 * its boards can tell. problems as in bl_document_parse (). (transfer full) */
BlEquipment *bl_equipment_read (const char *text, gssize length, GPtrArray *problems, GError **error);
/* Writes it as bl_document_write () does a board. Returns: (transfer full). */
char *bl_equipment_write (const BlEquipment *equipment);

/* Puts role and a slash before every id of board, and before what refers to one. States keep
 * theirs: they are the same across the boards. */
void bl_board_add_role (BlBoard *board, const char *role);

G_END_DECLS
