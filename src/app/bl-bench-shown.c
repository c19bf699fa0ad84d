/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What leads to the panel "the fault shown" and from it into the log: the symptom, and what was seen. */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "bl-bench-page-private.h"
#include "bl-proving-panel.h"
#include "bl-shell.h"

/* Lamps are a board's: in a job on an equipment those of the box in hand, else of the first that has a table. NULL: of the
 * job's own board. */
static const char *
lamps_role (BlBenchPage *self)
{
  const BlBoard *board = bl_bench_get_board (self->bench);
  BlMeasurementItem *current = bl_bench_get_current (self->bench);
  const char *role = current != NULL ? bl_bench_role_of (self->bench, bl_measurement_item_get_id (current)) : NULL;

  for (guint i = 0; role == NULL && i < bl_len (board->indications); i++)
    role = bl_bench_role_of (self->bench, ((BlIndication *) bl_at (board->indications, i))->symptom);
  return role;
}

static BlFaultShown *
new_shown (BlBenchPage *self, GError **error)
{
  const char *role = lamps_role (self);
  gint64 id = role != NULL ? bl_bench_box_board (self->bench, role) : bl_bench_get_job (self->bench)->board;
  g_autoptr (BlBoard) board = role != NULL ? bl_library_load_board (self->library, id, error) : NULL;

  g_free (self->lamps_role);
  self->lamps_role = g_strdup (role);
  if (role != NULL && board == NULL)
    return NULL;
  return bl_fault_shown_new (self->library, id, board != NULL ? board : bl_bench_get_board (self->bench), error);
}

static void
ask_symptom (BlBenchPage *self)
{
  g_action_group_activate_action (G_ACTION_GROUP (self->actions), "symptom", NULL);
}

static void
taken (BlBenchPage *self, const char *of_board, const char *seen)
{
  g_autofree char *symptom
    = self->lamps_role != NULL ? g_strconcat (self->lamps_role, "/", of_board, NULL) : g_strdup (of_board);
  const BlJob *job = bl_bench_get_job (self->bench);
  GError *error = NULL;

  if (!bl_bench_page_check (self, bl_bench_fault_shown (self->bench, symptom, seen, &error), _ ("Symptom"), &error))
    return;
  g_autoptr (GPtrArray) causes = bl_library_causes_with (
    self->library, self->lamps_role != NULL ? bl_bench_box_board (self->bench, self->lamps_role) : job->board, job->id,
    of_board, NULL);
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
  g_autoptr (BlFaultShown) shown = new_shown (self, &error);
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
  bl_proving_panel_close (BL_PROVING_PANEL (self->proving));
  bl_told_panel_close (BL_TOLD_PANEL (self->told));
  bl_finder_close (BL_FINDER (self->finder));
  bl_layers_panel_close (BL_LAYERS_PANEL (self->layers));
  bl_fault_panel_open (BL_FAULT_PANEL (self->shown), g_steal_pointer (&shown), job->id);
  if (self->lamps_role != NULL)
    {
      g_autofree char *words = g_strdup_printf (_ ("Lamps of the %s board. For those of another one, take up a measurement "
                                                   "there first."), self->lamps_role);
      bl_widget_notify (GTK_WIDGET (self), words);
    }
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
