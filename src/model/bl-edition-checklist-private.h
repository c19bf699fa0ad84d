/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-edition-checklist.h"

G_BEGIN_DECLS

/* While a list of what an edition lacks is made. */
typedef struct
{
  const BlBoard *board;
  const BlCoverage *coverage;
  GHashTable *aside, *outside, *weights; /* stage id -> double * */
  double total;                /* of all failure modes */
  BlChecklist *list;
  gboolean concerned[BL_N_THINGS], open[BL_N_THINGS];
} Check;

/* bl-edition-checklist.c */
/* Takes words. subject: what tells it from others of its kind. share: of the faults that it is about, 0 to 1. */
void bl_checklist_add (Check *check, BlThingKind kind, const char *subject, char *words, BlRef ref, double share);
/* About one element: "M5, 5 V rail: no limits". */
void bl_checklist_add_about (Check *check, BlThingKind kind, BlRef ref, double share);
/* About the board as a whole: words of the kind alone. */
void bl_checklist_add_whole (Check *check, BlThingKind kind, BlElement element);

/* bl-edition-checks.c */
/* Weighs the board, then adds what each check finds. */
void bl_checklist_run (Check *check);

G_END_DECLS
