/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gtk/gtk.h>

G_BEGIN_DECLS

/* The keys of the program, one table for what they do, the key strip and the list of keys. */
typedef struct
{
  guint keyval;
  GdkModifierType modifiers; /* of Control, Shift and Alt */
  const char *cap;           /* on the key cap, translatable */
  const char *label;         /* what it does, translatable */
  const char *action;        /* full name, "bench.probe" or "win.new-job"; NULL: only listed */
  const char *target;        /* string target of the action or NULL */
  gboolean when_empty;       /* a plain letter: only while the entry is empty */
  int strip;                 /* order in the key strip, 0: not there */
} BlKey;

const BlKey *bl_keys_get (guint *n_keys);
/* The key that is meant, or NULL. typing: an entry with text in it has the focus. */
const BlKey *bl_keys_find (guint keyval, GdkModifierType state, gboolean typing, gboolean in_entry);

/* A window that lists all keys; practice: those of Practice in the place of those of Boards. */
void bl_keys_show (GtkWindow *parent, gboolean practice);

G_END_DECLS
