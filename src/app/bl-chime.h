/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

typedef enum
{
  BL_CHIME_TAKEN, /* a reading was kept */
  BL_CHIME_ASKS,  /* the key is needed, or something is wrong with the meter's range */
  BL_CHIME_LOST   /* the meter does not answer any more */
} BlChime;

/* Plays the sound the desktop's theme has for it, where it has one and there is something to play it on.
 * Returns at once. */
void bl_chime_play (BlChime chime);

G_END_DECLS
