/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-board.h"

G_BEGIN_DECLS

typedef enum
{
  BL_INDICATION_WHOLE,  /* every lamp of the entry was seen and does what it says */
  BL_INDICATION_SO_FAR, /* those that were seen do; others have not been looked at */
  BL_INDICATION_NEAR    /* one lamp is off, most often by one flash */
} BlIndicationFit;

/* An entry of an indication table beside what was seen. */
typedef struct
{
  const BlBoard *board;           /* of what was asked about (transfer none) */
  const BlIndication *indication; /* in it */
  const char *edition;            /* whose table it is: the entry's own, else the board's; NULL: not said */
  const char *meaning;            /* its symptom's title, or id */
  BlIndicationFit fit;
  gboolean own;                   /* of the edition on the bench */
  gboolean other_meaning;         /* fits, and means something else than what fits on the edition on the bench */
  const char *off;                /* the lamp that is off, of NEAR */
  GPtrArray *unseen;              /* const char *: lamps of the entry that were not looked at */
} BlIndicationMatch;

void bl_indication_match_free (BlIndicationMatch *match);

/* Entries that fit what was seen, or nearly do: the best first, of them those of the edition on the bench first, else
 * in the order of boards. seen: BlLampPattern, one for each lamp looked at, in which blinks, rate_hz and steady are as in the document.
 * A lamp goes by its role, upper and lower case alike. own, edition: board and edition on the bench; own NULL, or edition
 * NULL or empty: not established, then no entry is own. Entries without a lamp never fit.
 * Returns: BlIndicationMatch (transfer full); valid as long as the boards are. */
GPtrArray *bl_indication_matches (const BlBoard *const *boards, guint n_boards, const GPtrArray *seen, const BlBoard *own,
                                  const char *edition);

G_END_DECLS
