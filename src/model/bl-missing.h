/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-slot.h"

G_BEGIN_DECLS

/* What a documented edition still lacks before the next technician can find it and use it. */
typedef struct
{
  const char *name; /* "board number", "stages": translated, static */
  char *words;      /* a sentence: what is lacking and what for */
  BlRef ref;        /* where it is filled in */
} BlMissing;
void bl_missing_free (BlMissing *missing);

/* The name on the board first, then what finds a fault: BlMissing. Empty when nothing is. (transfer full) */
GPtrArray *bl_board_missing (const BlBoard *board);

/* "BM-R350-PWR, edition B"; says in words what of it is not known yet. (transfer full) */
char *bl_board_title (const char *number, const char *edition);

G_END_DECLS
