/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The checklist of the open edition: the line above the photo, the list under Checks, and the walk from one thing to
 * the next. Once F9 was pressed the editor follows it: when the thing in hand is put right, the next one is shown. */
#include "config.h"

#include "bl-editor-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-checklist-bar.h"
#include "bl-shell.h"

struct BlEditorChecklist
{
  GtkWidget *bar;
  BlChecklist *list; /* NULL: no board is open */
  BlChecklistBeside beside;
  char *key;         /* of the thing in hand; NULL: the best one */
  gboolean walking;
};

static void
bar_act (GtkWidget *bar, const char *act, BlEditor *self)
{
  bl_editor_act (self, act, NULL);
}

GtkWidget *
bl_editor_checklist_build (BlEditor *self)
{
  self->checklist = g_new0 (BlEditorChecklist, 1);
  self->checklist->bar = bl_checklist_bar_new ();
  g_signal_connect (self->checklist->bar, "act", G_CALLBACK (bar_act), self);
  return self->checklist->bar;
}

void
bl_editor_checklist_forget (BlEditor *self)
{
  g_clear_pointer (&self->checklist->list, bl_checklist_free);
  bl_checklist_beside_clear (&self->checklist->beside);
  g_clear_pointer (&self->checklist->key, g_free);
  self->checklist->walking = FALSE;
}

void
bl_editor_checklist_free (BlEditor *self)
{
  bl_editor_checklist_forget (self);
  g_clear_pointer (&self->checklist, g_free);
}

/* The open thing in hand: the best one where none was chosen. */
static const BlThing *
in_hand (BlEditorChecklist *check)
{
  const BlThing *thing = check->list != NULL ? bl_checklist_find (check->list, check->key) : NULL;

  for (guint i = 0; check->list != NULL && thing != NULL && i < check->list->open->len; i++)
    if (bl_at (check->list->open, i) == thing)
      return thing;
  return check->list != NULL ? bl_checklist_next (check->list, NULL) : NULL;
}

const char *
bl_editor_checklist_key (BlEditor *self)
{
  const BlThing *thing = in_hand (self->checklist);

  return thing != NULL ? thing->key : NULL;
}

static void
take (BlEditor *self, const BlThing *thing)
{
  BlEditorChecklist *check = self->checklist;
  BlRef ref;

  g_free (check->key);
  check->key = thing != NULL ? g_strdup (thing->key) : NULL;
  bl_checklist_bar_show (BL_CHECKLIST_BAR (check->bar), check->list, thing);
  if (thing == NULL)
    return;
  ref = thing->ref;
  bl_editor_go_to (self, &ref);
}

void
bl_editor_checklist_refresh (BlEditor *self)
{
  BlEditorChecklist *check = self->checklist;
  const BlThing *thing;

  g_clear_pointer (&check->list, bl_checklist_free);
  bl_checklist_beside_read (&check->beside, self->library, bl_edition_get_id (self->edition));
  check->list = bl_checklist_new (bl_edition_get_board (self->edition), self->coverage, &check->beside);
  thing = in_hand (check);
  if (check->walking && check->key != NULL && (thing == NULL || strcmp (thing->key, check->key) != 0))
    {
      take (self, thing);
      if (thing == NULL)
        bl_widget_notify (GTK_WIDGET (self), _ ("Nothing is missing any more."));
    }
  else
    bl_checklist_bar_show (BL_CHECKLIST_BAR (check->bar), check->list, thing);
}

static void
set_aside (BlEditor *self, const BlThing *thing, gboolean aside)
{
  GError *error = NULL;

  if (thing != NULL && !bl_edition_set_aside (self->edition, thing, aside, &error))
    bl_editor_report (self, error);
}

static void
next (BlEditor *self)
{
  BlEditorChecklist *check = self->checklist;

  /* The first press shows what the line already names. */
  take (self, check->walking ? bl_checklist_next (check->list, in_hand (check) != NULL ? in_hand (check)->key : NULL)
                             : in_hand (check));
  check->walking = check->key != NULL;
}

gboolean
bl_editor_checklist_act (BlEditor *self, const char *act)
{
  BlEditorChecklist *check = self->checklist;

  if (!g_str_has_prefix (act, "check-") || check->list == NULL)
    return FALSE;
  if (g_str_equal (act, "check-list"))
    bl_editor_set_part (self, BL_EDITOR_CHECKS);
  else if (g_str_equal (act, "check-next"))
    next (self);
  else if (g_str_equal (act, "check-go"))
    take (self, in_hand (check));
  else if (g_str_equal (act, "check-aside"))
    set_aside (self, in_hand (check), TRUE);
  else if (g_str_has_prefix (act, "check-go "))
    take (self, bl_checklist_find (check->list, act + strlen ("check-go ")));
  else if (g_str_has_prefix (act, "check-aside "))
    set_aside (self, bl_checklist_find (check->list, act + strlen ("check-aside ")), TRUE);
  else if (g_str_has_prefix (act, "check-back "))
    set_aside (self, bl_checklist_find (check->list, act + strlen ("check-back ")), FALSE);
  return TRUE;
}

/* --- the list under Checks --- */

static void
thing_line (BlSheet *sheet, const BlThing *thing, gboolean aside)
{
  g_autofree char *go = g_strdup_printf ("check-go %s", thing->key);
  g_autofree char *other = g_strdup_printf ("check-%s %s", aside ? "back" : "aside", thing->key);
  g_autofree char *name = g_strdup_printf ("%s. %s", thing->words, thing->why);
  g_autofree char *go_tip = g_strdup_printf (_ ("Go there: %s"), thing->words);
  g_autofree char *other_tip
    = g_strdup_printf (aside ? _ ("Put on the list again: %s") : _ ("Does not apply to this board: %s"), thing->words);

  bl_sheet_line (sheet, "check-line", 0, NULL, name);
  bl_sheet_words (sheet, thing->words, "wrap");
  bl_sheet_words (sheet, thing->why, "muted small wrap column");
  if (!aside)
    bl_sheet_button (sheet, _ ("go there"), NULL, go_tip, go, NULL);
  bl_sheet_button (sheet, aside ? _ ("back on the list") : _ ("does not apply"), NULL, other_tip, other, NULL);
}

void
bl_editor_checklist_lines (BlEditor *self, BlSheet *sheet)
{
  const BlChecklist *list = self->checklist->list;
  g_autofree char *progress = list != NULL ? bl_checklist_summary (list) : NULL;

  if (list == NULL)
    return;
  bl_sheet_line (sheet, "list-head block", 0, NULL, NULL);
  bl_sheet_words (sheet, _ ("Still missing, by what gains most"), "heading");
  bl_sheet_words (sheet, list->open->len == 0 ? _ ("nothing") : progress, "muted stretch");
  for (guint i = 0; i < list->open->len; i++)
    thing_line (sheet, bl_at (list->open, i), FALSE);
  if (list->aside->len == 0)
    return;
  bl_sheet_line (sheet, "list-head block", 0, NULL, NULL);
  bl_sheet_words (sheet, _ ("Set aside for this board"), "heading");
  bl_sheet_words (sheet, _ ("not part of the document"), "muted stretch");
  for (guint i = 0; i < list->aside->len; i++)
    thing_line (sheet, bl_at (list->aside, i), TRUE);
}

void
bl_editor_show_checks (BlEditor *self)
{
  g_return_if_fail (BL_IS_EDITOR (self));
  bl_editor_set_part (self, BL_EDITOR_CHECKS);
}
