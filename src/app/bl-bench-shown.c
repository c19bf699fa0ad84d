/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What leads to the panel "the fault shown" and from it into the log: the symptom, and what was seen. */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "bl-bench-page-private.h"
#include "bl-window.h"

static void
ask_symptom (BlBenchPage *self)
{
  g_action_group_activate_action (G_ACTION_GROUP (self->actions), "symptom", NULL);
}

static void
taken (BlBenchPage *self, const char *symptom, const char *seen)
{
  const BlJob *job = bl_bench_get_job (self->bench);
  GError *error = NULL;

  if (!bl_bench_page_check (self, bl_bench_fault_shown (self->bench, symptom, seen, &error), _ ("Symptom"), &error))
    return;
  g_autoptr (GPtrArray) causes = bl_library_causes_with (self->library, job->board, job->id, symptom, NULL);
  g_autofree char *earlier = causes != NULL ? bl_found_words (causes, 3) : NULL;
  g_autofree char *words = earlier != NULL ? g_strdup_printf (_ ("Earlier jobs with this symptom: %s."), earlier) : NULL;
  if (words != NULL)
    bl_widget_notify (GTK_WIDGET (self), words);
}

/* Boards without any table of indications have symptoms alone. */
static void
ask_shown (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;
  const BlJob *job = bl_bench_get_job (self->bench);
  GError *error = NULL;

  if (bl_fault_panel_is_open (BL_FAULT_PANEL (self->shown)))
    {
      bl_fault_panel_close (BL_FAULT_PANEL (self->shown));
      return;
    }
  g_autoptr (BlFaultShown) shown
    = bl_fault_shown_new (self->library, job->board, bl_bench_get_board (self->bench), &error);
  if (!bl_bench_page_check (self, shown != NULL, _ ("The indication tables"), &error))
    return;
  if (bl_fault_shown_n_lamps (shown) == 0)
    {
      ask_symptom (self);
      return;
    }
  if (bl_bench_page_in_probe (self))
    g_action_group_activate_action (G_ACTION_GROUP (self->actions), "probe", NULL);
  bl_why_panel_close (BL_WHY_PANEL (self->why));
  bl_finder_close (BL_FINDER (self->finder));
  bl_layers_panel_close (BL_LAYERS_PANEL (self->layers));
  bl_fault_panel_open (BL_FAULT_PANEL (self->shown), g_steal_pointer (&shown), job->id);
}

void
bl_bench_shown_connect (BlBenchPage *self)
{
  g_signal_connect_swapped (self->shown, "taken", G_CALLBACK (taken), self);
  g_signal_connect_swapped (self->shown, "others", G_CALLBACK (ask_symptom), self);
  g_signal_connect_swapped (self->shown, "closed", G_CALLBACK (bl_bench_page_focus), self);
}

void
bl_bench_shown_add_actions (BlBenchPage *self)
{
  static const GActionEntry entries[] = { { "shown", ask_shown, NULL, NULL, NULL, { 0 } } };

  g_action_map_add_action_entries (G_ACTION_MAP (self->actions), entries, G_N_ELEMENTS (entries), self);
}
