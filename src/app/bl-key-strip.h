/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* The line of keys at the foot of the bench: only those that work now. */
#define BL_TYPE_KEY_STRIP (bl_key_strip_get_type ())
G_DECLARE_FINAL_TYPE (BlKeyStrip, bl_key_strip, BL, KEY_STRIP, GtkWidget)

GtkWidget *bl_key_strip_new (void);
/* Shows the keys whose action in group ("bench." actions) is enabled. */
void bl_key_strip_update (BlKeyStrip *self, GActionGroup *group);
/* Words at the right end: when the last entry was kept. */
/* How the meter that is read live is doing; NULL: none is. */
void bl_key_strip_set_meter (BlKeyStrip *self, const char *words, gboolean trouble);
/* What Enter does, in place of the table's words; what is typed in the entry is none of it. NULL: as the table says. */
void bl_key_strip_set_enter (BlKeyStrip *self, const char *words);
/* Keys of whoever has the page for a use of its own: caps and words in turn, NULL at the end; shown before the others. */
void bl_key_strip_set_own (BlKeyStrip *self, const char *const *caps_and_words);
void bl_key_strip_set_note (BlKeyStrip *self, const char *note);

G_END_DECLS
