/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-safe-limits.h"
#include "bl-verdict.h"
#include "bl-wiring.h"

G_BEGIN_DECLS

/* What a sheet of field checks says to somebody who does them elsewhere, with an equipment before him and no program.
 * Words are ready to be drawn. */
typedef struct
{
  guint number; /* from 1, over the whole sheet */
  char *id, *title;
  char *probes;   /* where they go; "" when there is nothing to probe */
  char *expected; /* with its unit; "" when nothing is expected */
  char *unit;
  char *notes;   /* cautions of the document; "" when there are none */
  char *state;   /* id; "" when the document names none */
  gboolean question; /* answered by yes or no */
  char *reading;     /* what the job has for it already; NULL: nothing */
  BlBand *band;      /* that reading was judged by; may be NULL */
  BlVerdict *verdict;
} BlFieldRow;

typedef struct
{
  char *id, *title, *how;
  gboolean live;
  double volts;    /* NAN: not said */
  double volts_ac; /* highest that is expected to be read in it; 0: none */
} BlFieldState;

typedef struct
{
  BlSiteStep step;
  char *heading, *caution;
  GPtrArray *rows; /* BlFieldRow */
} BlFieldGroup;

typedef struct
{
  char *equipment; /* title */
  int job;         /* number; 0: none, from a document alone */
  char *customer, *unit, *serial, *complaint; /* of the job; NULL: to be written in */
  char *printed;    /* the day the sheet was made */
  double volts;     /* highest when live; INFINITY: live, not said how high; 0: never live */
  double volts_ac;  /* highest of its states */
  BlSafeLimits limits; /* of the shop; BL_SAFE_LIMITS until somebody says */
  BlWiring *wiring;
  GPtrArray *states; /* BlFieldState, those that are used */
  GPtrArray *groups; /* BlFieldGroup, in the order they are asked */
} BlFieldSheet;

BlFieldSheet *bl_field_sheet_new (void);
void bl_field_sheet_free (BlFieldSheet *self);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlFieldSheet, bl_field_sheet_free)
/* Empty ones, owned by what they are appended to. (transfer none) */
BlFieldGroup *bl_field_sheet_add_group (BlFieldSheet *self, BlSiteStep step);
BlFieldRow *bl_field_group_add_row (BlFieldGroup *group);
/* NULL: none of that id is used. (transfer none) */
BlFieldState *bl_field_sheet_state (const BlFieldSheet *self, const char *id);
BlFieldState *bl_field_sheet_add_state (BlFieldSheet *self, const char *id);
/* The row of a check; NULL: it is not on the sheet. (transfer none) */
BlFieldRow *bl_field_sheet_row (const BlFieldSheet *self, const char *check);

G_END_DECLS
