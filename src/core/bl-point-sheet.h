/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-safe-limits.h"

G_BEGIN_DECLS

/* What the sheet above the bench shows of an edition: a page for each photo, its test points numbered, and
 * what they read. Words are ready to be drawn. */
typedef struct
{
  guint number;   /* of the test point on this photo, from 1; 0: it has no place there */
  char *point;    /* id of the test point, or of the measurement without one */
  char *black;    /* where the black probe goes: its number on this photo, else its name; "" when not said */
  char *title;
  char *expected; /* with its unit; "" when nothing is expected */
} BlPointRow;

/* Measurements taken in one board state. */
typedef struct
{
  char *heading;   /* "Running, partner board joined" */
  gboolean live;
  double volts;    /* highest voltage in the state; NAN: not said */
  double volts_ac; /* highest that is expected to be read in it; 0: none */
  GPtrArray *rows; /* BlPointRow */
} BlPointGroup;

typedef struct
{
  guint number;
  double x, y;   /* pixels of the photo */
  gboolean hot;  /* on the mains side, or on the mains itself */
  gboolean lead; /* only the black probe goes there */
} BlPointMark;

typedef struct
{
  char *title;
  GBytes *image;     /* the file as it came */
  GPtrArray *marks;  /* BlPointMark */
  GPtrArray *groups; /* BlPointGroup */
} BlPointPhoto;

typedef struct
{
  char *board;       /* "RB-17, edition C" */
  char *date;        /* the day the sheet was made */
  double volts;      /* highest of the board when live; INFINITY: live, not said how high; 0: never live */
  double volts_ac;   /* highest of its live states */
  BlSafeLimits limits; /* of the shop; BL_SAFE_LIMITS until somebody says */
  GPtrArray *photos; /* BlPointPhoto, those with something on them */
} BlPointSheet;

BlPointSheet *bl_point_sheet_new (void);
void bl_point_sheet_free (BlPointSheet *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlPointSheet, bl_point_sheet_free)
/* Empty ones, owned by what they are appended to. (transfer none) */
BlPointPhoto *bl_point_sheet_add_photo (BlPointSheet *self, const char *title, GBytes *image);
BlPointGroup *bl_point_photo_add_group (BlPointPhoto *photo, const char *heading, gboolean live, double volts);
void bl_point_group_add_row (BlPointGroup *group, guint number, const char *point, const char *black,
                             const char *title, const char *expected);

G_END_DECLS
