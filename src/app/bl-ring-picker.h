/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

#include "bl-colour-code.h"

G_BEGIN_DECLS

/* The bands of colour of a component, drawn, with a word below each that can be exchanged for another
 * colour. Keys on a band: 0 to 9 its digit's colour, g gold, s silver, p pink, arrows to the next band, a
 * click on a drawn band goes to it.
 *
 * Signal "changed": other bands than before. */
#define BL_TYPE_RING_PICKER (bl_ring_picker_get_type ())
G_DECLARE_FINAL_TYPE (BlRingPicker, bl_ring_picker, BL, RING_PICKER, GtkWidget)

GtkWidget *bl_ring_picker_new (void);
/* TRUE where letters and digits typed at focus are meant for a picker. focus may be NULL. */
gboolean bl_ring_picker_has (GtkWidget *focus);
/* n: 3 to 6. No signal. */
void bl_ring_picker_set (BlRingPicker *self, const BlRing *rings, guint n);
/* Valid until the next change. (transfer none) */
const BlRing *bl_ring_picker_get (BlRingPicker *self, guint *n);

G_END_DECLS
