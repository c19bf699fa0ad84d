/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The label of the job on the bench, by its key and in the menu. */
#include "config.h"

#include "bl-bench-page-private.h"
#include "bl-job-tag-action.h"

static void
print_label (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;

  if (self->bench != NULL)
    bl_job_tag_print (GTK_WIDGET (self), self->library, bl_bench_get_job (self->bench)->id);
}

void
bl_bench_label_add_actions (BlBenchPage *self)
{
  static const GActionEntry entries[] = { { "label", print_label, NULL, NULL, NULL, { 0 } } };

  g_action_map_add_action_entries (G_ACTION_MAP (self->actions), entries, G_N_ELEMENTS (entries), self);
}
