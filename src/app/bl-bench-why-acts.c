/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What leads from the suspects and from the panel "why" to the rest of the bench: opening it for a
 * suspect, taking a measurement in hand, measuring again, striking, the expected value. */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "bl-bench-page-private.h"
#include "bl-proving-panel.h"

/* The panel lies where the photo is; in the probe view there is no such place. */
static void
leave_probe (BlBenchPage *self)
{
  if (bl_bench_page_in_probe (self))
    g_action_group_activate_action (G_ACTION_GROUP (self->actions), "probe", NULL);
}

static void
asked (BlBenchPage *self, const char *suspect)
{
  if (bl_bench_tree_show (self, suspect))
    return;
  bl_proving_panel_close (BL_PROVING_PANEL (self->proving));
  bl_told_panel_close (BL_TOLD_PANEL (self->told));
  bl_why_panel_open (BL_WHY_PANEL (self->why), suspect);
  bl_bench_page_focus (self);
}

static void
toggle_why (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;
  gboolean shown = bl_why_panel_is_open (BL_WHY_PANEL (self->why)) && !bl_bench_page_in_probe (self);

  leave_probe (self);
  bl_proving_panel_close (BL_PROVING_PANEL (self->proving));
  bl_told_panel_close (BL_TOLD_PANEL (self->told));
  if (shown)
    bl_why_panel_close (BL_WHY_PANEL (self->why));
  else
    bl_why_panel_open_leader (BL_WHY_PANEL (self->why));
  bl_bench_page_focus (self);
}

static void
quarrel_asked (BlBenchPage *self)
{
  bl_proving_panel_close (BL_PROVING_PANEL (self->proving));
  bl_told_panel_close (BL_TOLD_PANEL (self->told));
  bl_why_panel_open_leader (BL_WHY_PANEL (self->why));
  bl_bench_page_focus (self);
}

static gboolean
take (BlBenchPage *self, const char *measurement)
{
  BlMeasurementItem *item = bl_bench_find (self->bench, measurement);

  if (item != NULL)
    bl_bench_select (self->bench, item);
  return item != NULL;
}

static void
go (BlBenchPage *self, const char *measurement)
{
  take (self, measurement);
  bl_bench_page_focus (self);
}

/* To measure again the photo is needed. */
static void
again (BlBenchPage *self, const char *measurement)
{
  take (self, measurement);
  bl_why_panel_close (BL_WHY_PANEL (self->why));
}

static void
strike (BlBenchPage *self, const char *measurement)
{
  GPtrArray *records = bl_bench_get_records (self->bench);

  for (guint i = bl_len (records); i > 0; i--)
    {
      const BlRecord *record = bl_at (records, i - 1);
      if (record->kind != BL_RECORD_READING || record->struck || g_strcmp0 (record->subject, measurement) != 0)
        continue;
      bl_bench_choices_strike (self, record->id);
      return;
    }
}

static void
expected (BlBenchPage *self, const char *measurement)
{
  if (take (self, measurement))
    bl_bench_choices_expected (self);
}

void
bl_bench_why_connect (BlBenchPage *self)
{
  g_signal_connect_swapped (self->suspects, "asked", G_CALLBACK (asked), self);
  g_signal_connect_swapped (self->suspects, "quarrel-asked", G_CALLBACK (quarrel_asked), self);
  g_signal_connect_swapped (self->why, "go", G_CALLBACK (go), self);
  g_signal_connect_swapped (self->why, "again", G_CALLBACK (again), self);
  g_signal_connect_swapped (self->why, "strike", G_CALLBACK (strike), self);
  g_signal_connect_swapped (self->why, "expected", G_CALLBACK (expected), self);
  g_signal_connect_swapped (self->why, "closed", G_CALLBACK (bl_bench_page_focus), self);
}

void
bl_bench_why_add_actions (BlBenchPage *self)
{
  static const GActionEntry entries[] = { { "why", toggle_why, NULL, NULL, NULL, { 0 } } };

  g_action_map_add_action_entries (G_ACTION_MAP (self->actions), entries, G_N_ELEMENTS (entries), self);
}
