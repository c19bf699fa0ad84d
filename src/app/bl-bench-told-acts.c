/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What goes out to somebody else, and what comes back: the sheet of field checks, and the panel "told by". */
#include "config.h"

#include "bl-bench-page-private.h"

#include <glib/gi18n-lib.h>

#include "bl-field-sheet-action.h"
#include "bl-proving-panel.h"

static void
ask_sheet (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;
  BlChoicePanel *panel = BL_CHOICE_PANEL (self->choice);

  bl_choice_panel_begin (panel, "field-sheet", _ ("Sheet of the field checks, for somebody on site"),
                         _ ("Ctrl Shift T takes down what comes back."));
  bl_choice_panel_add (panel, 'f', _ ("write a PDF …"), NULL, "pdf");
  bl_choice_panel_add (panel, 'p', _ ("print …"), NULL, "print");
  bl_bench_choices_open (self, BL_PLACE_FOCUS);
}

gboolean
bl_bench_told_chosen (BlBenchPage *self, const char *tag, const char *id)
{
  const BlJob *job = bl_bench_get_job (self->bench);

  if (!g_str_equal (tag, "field-sheet"))
    return FALSE;
  if (g_str_equal (id, "pdf"))
    bl_field_sheet_save (GTK_WIDGET (self), self->library, job->equipment, job->id);
  else
    bl_field_sheet_print (GTK_WIDGET (self), self->library, job->equipment, job->id);
  return TRUE;
}

static void
ask_told (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;

  if (bl_told_panel_is_open (BL_TOLD_PANEL (self->told)))
    {
      bl_told_panel_close (BL_TOLD_PANEL (self->told));
      return;
    }
  if (bl_bench_page_in_probe (self))
    g_action_group_activate_action (G_ACTION_GROUP (self->actions), "probe", NULL);
  /* One panel at a time: below another it would go on marking what is typed as told. */
  bl_proving_panel_close (BL_PROVING_PANEL (self->proving));
  bl_why_panel_close (BL_WHY_PANEL (self->why));
  bl_fault_panel_close (BL_FAULT_PANEL (self->shown));
  bl_finder_close (BL_FINDER (self->finder));
  bl_layers_panel_close (BL_LAYERS_PANEL (self->layers));
  bl_told_panel_open (BL_TOLD_PANEL (self->told), self->bench);
}

static void
told_closed (BlBenchPage *self)
{
  bl_bench_page_focus (self);
  bl_bench_boxes_ask_denied (self);
}

GtkWidget *
bl_bench_told_build (BlBenchPage *self)
{
  self->told = bl_told_panel_new ();
  g_signal_connect_swapped (self->told, "closed", G_CALLBACK (told_closed), self);
  return self->told;
}

gboolean
bl_bench_told_key (BlBenchPage *self, guint keyval, GdkModifierType state, gboolean *used)
{
  *used = bl_told_panel_key (BL_TOLD_PANEL (self->told), keyval, state);
  return bl_told_panel_has_focus (BL_TOLD_PANEL (self->told));
}

void
bl_bench_told_add_actions (BlBenchPage *self)
{
  static const GActionEntry entries[] = { { "field-sheet", ask_sheet, NULL, NULL, NULL, { 0 } },
                                          { "told", ask_told, NULL, NULL, NULL, { 0 } } };

  g_action_map_add_action_entries (G_ACTION_MAP (self->actions), entries, G_N_ELEMENTS (entries), self);
}
