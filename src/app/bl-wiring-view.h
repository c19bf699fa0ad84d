/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-equipment.h"

G_BEGIN_DECLS

/* The boxes of an equipment, the conductors between them and their terminals, with the verdict of each field
 * check where it is taken: what the photo is for a board. It fits itself into whatever room there is.
 *
 * Signal: "activated" (const char *: id of a measurement), when a check, a terminal or a conductor is pressed or
 * chosen by keyboard (Tab reaches it, arrows go from check to check, Enter takes one). Pressing a place with
 * several checks takes the first unread one, then the next each time. */
#define BL_TYPE_WIRING_VIEW (bl_wiring_view_get_type ())
G_DECLARE_FINAL_TYPE (BlWiringView, bl_wiring_view, BL, WIRING_VIEW, GtkWidget)

GtkWidget *bl_wiring_view_new (void);
/* joined: the equipment with its boards, as one; equipment: its own document, NULL where there is none at hand (then
 * cables are drawn round the conductors that they act on). What is needed is copied; NULL, NULL: nothing. */
void bl_wiring_view_set_board (BlWiringView *self, const BlBoard *joined, const BlEquipment *equipment);
/* The measurements of the job: BlMeasurementItem, referenced. Call it again, with the same list or another one,
 * whenever verdicts may be others. NULL: everything is unread. */
void bl_wiring_view_set_items (BlWiringView *self, GListModel *items);
/* The measurement in hand, by id; one that is no field check, or NULL: none. */
void bl_wiring_view_set_current (BlWiringView *self, const char *measurement);
/* What failed most likely: id of a conductor or cable, or role of a box (a stage or part of a board, "role/ID", is
 * taken for its box); words of the tab: "likely failed: roof 62 %". NULL: nothing. */
void bl_wiring_view_set_likely (BlWiringView *self, const char *place, const char *words);

G_END_DECLS
