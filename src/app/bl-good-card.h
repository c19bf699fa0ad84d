/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-known-good.h"

G_BEGIN_DECLS

/* What known-good boards say about one measurement: the dots, the proposed band in words, and the answers to it.
 *
 * Signal "act" (const char *act): "good-accept", "good-accept-without" (the outliers), "good-refuse", "good-offer"
 * (what was refused, again), "good-count" (boards left out, again). */
#define BL_TYPE_GOOD_CARD (bl_good_card_get_type ())
G_DECLARE_FINAL_TYPE (BlGoodCard, bl_good_card, BL, GOOD_CARD, GtkWidget)

/* measurement: id; raised: it stands on the raised ground and says everything; else in brief, as among many. */
GtkWidget *bl_good_card_new (const char *measurement, gboolean raised);
const char *bl_good_card_get_measurement (BlGoodCard *self);
/* Puts the focus on its dots, or on its first button. */
void bl_good_card_take_focus (BlGoodCard *self);
/* Shows what is known now; good NULL, or nothing known: nothing. */
void bl_good_card_show (BlGoodCard *self, BlKnownGood *good);

G_END_DECLS
