/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-diagnosis.h"

G_BEGIN_DECLS

/* From the job of an equipment to the job of one of its boards, which is suspected: what is known of that board
 * goes along, under the names that the board's own document has. */

typedef enum
{
  BL_LEFT_EQUIPMENT,   /* field checks, conductors and cables, symptoms of the equipment that the board has not */
  BL_LEFT_OTHER_BOARD,
  BL_LEFT_UNKNOWN,     /* the board's document does not have it */
  BL_LEFT_LEADS        /* read against a black lead elsewhere, or in a state that the board does not have */
} BlLeftReason;

typedef struct
{
  guint index; /* among the entries of the equipment */
  BlLeftReason reason;
} BlLeft;

typedef struct
{
  GPtrArray *entries; /* BlEntry of the board's job, in order of time */
  GArray *from;       /* guint: index of each among the entries of the equipment */
  GArray *left;       /* BlLeft: what stays behind, in order of time */
} BlCarried;

/* entries: GPtrArray of BlEntry of the equipment's job. joined: the equipment; board: the document of the board with
 * this role alone. Verdicts that readings were given go along. A part replaced elsewhere stays behind and still
 * begins a round, in the same condition. A symptom of the equipment goes along where the board has one of the same
 * id: for a board alone, everything outside it is elsewhere. Returns: (transfer full). */
BlCarried *bl_carry (GPtrArray *entries, const BlBoard *joined, const BlBoard *board, const char *role);
void bl_carried_free (BlCarried *carried);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlCarried, bl_carried_free)

/* What of the equipment's evidence comes along and what stays, in sentences: "5 entries of the equipment's job come
 * along. 3 field checks and other entries between the boards stay there." Returns: (transfer full). */
char *bl_carried_words (const BlCarried *carried);

G_END_DECLS
