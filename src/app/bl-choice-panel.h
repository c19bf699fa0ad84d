/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* A few choices with a key each, opened beside the work and never over it as a dialog: states, what
 * became of a part, twins. May have an entry for words of one's own.
 *
 * Signal "chosen" (const char *tag, const char *id): tag as opened, id of the row, or of the entry its
 * text with "=" before it. The panel is closed before the signal. "closed": without a choice. */
#define BL_TYPE_CHOICE_PANEL (bl_choice_panel_get_type ())
G_DECLARE_FINAL_TYPE (BlChoicePanel, bl_choice_panel, BL, CHOICE_PANEL, GtkWidget)

GtkWidget *bl_choice_panel_new (void);
/* Begins anew: tag comes back in "chosen"; hint is a line below the title or NULL. */
void bl_choice_panel_begin (BlChoicePanel *self, const char *tag, const char *title, const char *hint);
/* Shows something below the title until the next begin. */
void bl_choice_panel_set_picture (BlChoicePanel *self, GtkWidget *picture);
/* key: one character, or 0 for the next digit, then letter. detail may be NULL. */
void bl_choice_panel_add (BlChoicePanel *self, gunichar key, const char *text, const char *detail, const char *id);
void bl_choice_panel_add_entry (BlChoicePanel *self, const char *placeholder, const char *initial);
void bl_choice_panel_open (BlChoicePanel *self);
/* What was begun is an offer: a key that takes none of its rows closes it and goes on to where it would
 * have gone, so that it is in nobody's way. */
void bl_choice_panel_set_offer (BlChoicePanel *self);
/* Selects a row, which Enter then takes; the first is selected on opening. */
void bl_choice_panel_select (BlChoicePanel *self, guint row);
void bl_choice_panel_close (BlChoicePanel *self);
gboolean bl_choice_panel_is_open (BlChoicePanel *self);
const char *bl_choice_panel_get_tag (BlChoicePanel *self);
/* Handles a key while open. FALSE: not for it. */
gboolean bl_choice_panel_key (BlChoicePanel *self, guint keyval, GdkModifierType state);

G_END_DECLS
