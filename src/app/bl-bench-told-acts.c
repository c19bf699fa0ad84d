/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What goes out to somebody else, and what comes back: the sheet of field checks, and the panel "told by". */
#include "config.h"

#include "bl-bench-page-private.h"

#include "bl-field-sheet-action.h"
#include "bl-proving-panel.h"

static void
print_sheet (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;
  const BlJob *job = bl_bench_get_job (self->bench);

  bl_field_sheet_print (GTK_WIDGET (self), self->library, job->equipment, job->id);
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
  static const GActionEntry entries[] = { { "field-sheet", print_sheet, NULL, NULL, NULL, { 0 } },
                                          { "told", ask_told, NULL, NULL, NULL, { 0 } } };

  g_action_map_add_action_entries (G_ACTION_MAP (self->actions), entries, G_N_ELEMENTS (entries), self);
}
