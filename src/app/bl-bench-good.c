/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The board on the bench as a known-good one: a key marks it and takes the mark back. A board in which a fault was
 * found, or that shows a symptom or a deviating reading, is asked about: it may be good since its repair, and only the
 * technician knows. */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "bl-bench-page-private.h"
#include "bl-library-known-good.h"
#include "bl-shell.h"
#include "bl-style.h"

static BlLibrary *
library_of (BlBenchPage *self)
{
  return bl_edition_get_library (bl_bench_get_edition (self->bench));
}

static void
mark (BlBenchPage *self, BlKnownGoodMark how)
{
  GError *error = NULL;

  if (!bl_bench_mark_known_good (self->bench, how, &error))
    bl_widget_report (GTK_WIDGET (self), _ ("The mark was not kept"), error);
  else if (how == BL_KNOWN_GOOD_NO)
    bl_widget_notify (GTK_WIDGET (self), _ ("No known-good board any more: its readings count no longer."));
  else
    bl_widget_notify (GTK_WIDGET (self), _ ("A known-good board: its readings count for the bands of this edition "
                                            "(Boards, Known-good). Ctrl Shift G takes that back."));
}

/* A symptom that shows, or a last reading that is out of its band: what a healthy board has not. */
static gboolean
looks_faulty (BlBench *bench)
{
  GPtrArray *records = bl_bench_get_records (bench);
  GListModel *model = bl_bench_get_measurements (bench);

  for (guint i = 0; i < bl_len (records); i++)
    {
      const BlRecord *record = bl_at (records, i);
      if (record->kind == BL_RECORD_SYMPTOM && !record->struck && g_strcmp0 (record->text, "yes") == 0)
        return TRUE;
    }
  for (guint i = 0; i < g_list_model_get_n_items (model); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (model, i);
      const BlVerdict *verdict = bl_measurement_item_get_verdict (item);
      const BlBand *band = bl_measurement_item_get_band (item);
      if (verdict != NULL && band != NULL && verdict->evidence && verdict->certain && verdict->best != band->good)
        return TRUE;
    }
  return FALSE;
}

static void
toggle (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;
  BlKnownGoodMark how = BL_KNOWN_GOOD_NO;
  gboolean fault = FALSE;
  GError *error = NULL;

  if (self->bench == NULL)
    return;
  if (!bl_library_get_known_good (library_of (self), bl_bench_get_job (self->bench)->id, &how, &fault, &error))
    {
      bl_widget_report (GTK_WIDGET (self), _ ("The mark was not read"), error);
      return;
    }
  if (bl_known_good_counts (how, fault))
    mark (self, BL_KNOWN_GOOD_NO);
  else if (!fault && !looks_faulty (self->bench))
    mark (self, BL_KNOWN_GOOD_YES);
  else
    {
      bl_choice_panel_begin (BL_CHOICE_PANEL (self->choice), "known-good",
                             fault ? _ ("A fault was found in this job. Is the board good now?")
                                   : _ ("A symptom or a reading of this job says otherwise. Is the board good?"),
                             _ ("What was read last at each point counts. After a repair, read them again."));
      bl_choice_panel_add (BL_CHOICE_PANEL (self->choice), 'n', _ ("not to be counted"), NULL, "no");
      bl_choice_panel_add (BL_CHOICE_PANEL (self->choice), 'y',
                           fault ? _ ("good since the repair: it counts") : _ ("good: it counts"), NULL, "yes");
      bl_bench_choices_open (self, BL_PLACE_FOCUS);
    }
}

gboolean
bl_bench_good_chosen (BlBenchPage *self, const char *tag, const char *id)
{
  if (!g_str_equal (tag, "known-good"))
    return FALSE;
  mark (self, g_str_equal (id, "yes") ? BL_KNOWN_GOOD_DESPITE_FAULT : BL_KNOWN_GOOD_NO);
  return TRUE;
}

void
bl_bench_good_add_actions (BlBenchPage *self)
{
  static const GActionEntry entries[] = { { "known-good", toggle, NULL, NULL, NULL, { 0 } } };

  g_action_map_add_action_entries (G_ACTION_MAP (self->actions), entries, G_N_ELEMENTS (entries), self);
}
