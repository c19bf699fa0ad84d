/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* A word of a sentence that can be exchanged for another: press it and choose from a list that opens
 * under it. Arrows move, Enter or a click takes, Esc leaves; typing narrows a long list.
 *
 * Signals: "fill": the list is about to open, add the choices now; "chosen" (const char *value): the
 * value taken, for several the values joined by tabs. */
#define BL_TYPE_CHOOSER (bl_chooser_get_type ())
G_DECLARE_FINAL_TYPE (BlChooser, bl_chooser, BL, CHOOSER, GtkWidget)

/* name: what it chooses, for assistive technology. several: any number of them. */
GtkWidget *bl_chooser_new (const char *name, gboolean several);
/* The word shown, and the value it stands for; faint: nothing is said. */
void bl_chooser_show (BlChooser *self, const char *value, const char *words, gboolean faint);
/* As if its word were pressed. */
void bl_chooser_open (BlChooser *self);
/* While filling. */
void bl_chooser_add (BlChooser *self, const char *value, const char *words);
const char *bl_chooser_get_value (BlChooser *self);
/* Shows an arrow alone: suggestions beside an entry. */
void bl_chooser_set_compact (BlChooser *self);

G_END_DECLS
