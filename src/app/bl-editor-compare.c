/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From the open edition to the next one and to its comparison with another: below its mark, and by keys. */
#include "config.h"

#include "bl-editor-private.h"

#include <glib/gi18n-lib.h>

#include "bl-library-origin.h"
#include "bl-next-edition-ask.h"

void
bl_editor_compare_lines (BlEditor *self, BlSheet *sheet)
{
  g_autoptr (BlOrigin) origin = bl_library_get_origin (self->library, bl_edition_get_id (self->edition), NULL);

  bl_sheet_line (sheet, "form-line", 0, NULL, NULL);
  bl_sheet_words (sheet, "", "muted form-label");
  bl_sheet_button (sheet, _ ("copy to the next edition…"), _ ("Ctrl D"), _ ("Copy this edition to the next one"),
                   "next-edition", NULL);
  bl_sheet_button (sheet, _ ("compare"), _ ("Alt C"), _ ("Show this edition beside another one"), "compare", NULL);
  if (origin == NULL)
    return;
  g_autofree char *words = g_strdup_printf (_ ("copied from %s"), origin->name);
  bl_sheet_line (sheet, "form-line", 0, NULL, NULL);
  bl_sheet_words (sheet, "", "muted form-label");
  bl_sheet_words (sheet, words, "muted");
  bl_sheet_button (sheet, _ ("what to look at"), NULL, _ ("Show what is to be looked at on a board of this edition"),
                   "look-at", NULL);
}

static void
made (gint64 board, gpointer data)
{
  g_signal_emit_by_name (data, "compare", board, TRUE);
}

gboolean
bl_editor_compare_act (BlEditor *self, const char *act)
{
  gint64 board = bl_edition_get_id (self->edition);

  if (g_str_equal (act, "next-edition"))
    bl_next_edition_ask (self->title, self->library, board, made, self);
  else if (g_str_equal (act, "compare") || g_str_equal (act, "look-at"))
    g_signal_emit_by_name (self, "compare", board, g_str_equal (act, "look-at"));
  else
    return FALSE;
  return TRUE;
}
