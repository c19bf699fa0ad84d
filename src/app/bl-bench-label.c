/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The label of the job on the bench, by its key and in the menu: seen first, with its size and what stands on it, in the
 * panel of choices. */
#include "config.h"

#include "bl-bench-page-private.h"

#include <glib/gi18n-lib.h>

#include "bl-job-tag-action.h"
#include "bl-tag-choice.h"

#define PREVIEW_WIDTH 404 /* px, of the panel of choices */

static BlChoicePanel *
panel (BlBenchPage *self)
{
  return BL_CHOICE_PANEL (self->choice);
}

static void
ask (BlBenchPage *self)
{
  BlTagChoice choice = bl_tag_choice ();
  GtkWidget *preview = bl_tag_preview_new (PREVIEW_WIDTH);
  g_autofree char *title = g_strdup_printf (_ ("Label of job %d"), bl_bench_get_job (self->bench)->number);

  bl_choice_panel_begin (panel (self), "label", title, NULL);
  bl_tag_preview_show (BL_TAG_PREVIEW (preview), self->library, bl_bench_get_job (self->bench)->id);
  bl_choice_panel_set_picture (panel (self), preview);
  for (guint i = 0; i < BL_N_TAG_SIZES; i++)
    bl_choice_panel_add (panel (self), 0, bl_tag_size_words ((BlTagSize) i), choice.size == i ? _ ("chosen") : NULL,
                         bl_tag_size_name ((BlTagSize) i));
  bl_choice_panel_add (panel (self), 'c', _ ("the customer"), choice.customer ? _ ("stands on it") : _ ("left out"), "customer");
  bl_choice_panel_add (panel (self), 'w', _ ("what is wrong"), choice.complaint ? _ ("stands on it") : _ ("left out"),
                       "complaint");
  bl_choice_panel_add (panel (self), 'p', _ ("print …"), NULL, "print");
  bl_bench_choices_open (self, BL_PLACE_FOCUS);
  bl_choice_panel_select (panel (self), BL_N_TAG_SIZES + 2);
}

gboolean
bl_bench_label_chosen (BlBenchPage *self, const char *tag, const char *id)
{
  BlTagChoice choice = bl_tag_choice ();

  if (!g_str_equal (tag, "label"))
    return FALSE;
  if (g_str_equal (id, "print"))
    {
      bl_job_tag_print (GTK_WIDGET (self), self->library, bl_bench_get_job (self->bench)->id);
      return TRUE;
    }
  if (g_str_equal (id, "customer"))
    choice.customer = !choice.customer;
  else if (g_str_equal (id, "complaint"))
    choice.complaint = !choice.complaint;
  else
    bl_tag_size_parse (id, &choice.size);
  bl_tag_choose (&choice);
  ask (self);
  return TRUE;
}

static void
label (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;

  if (self->bench != NULL)
    ask (self);
}

void
bl_bench_label_add_actions (BlBenchPage *self)
{
  static const GActionEntry entries[] = { { "label", label, NULL, NULL, NULL, { 0 } } };

  g_action_map_add_action_entries (G_ACTION_MAP (self->actions), entries, G_N_ELEMENTS (entries), self);
}
