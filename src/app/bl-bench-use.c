/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bench for somebody who practises: the same page, with what helps left out (a drill), or with nothing to be entered
 * (a path that is gone through again). What may be done is a list of actions; everything else is disabled as an action,
 * so that key, button and key strip agree. Odds and advice are kept away by the model, not here. */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "bl-bench-keys.h"
#include "bl-bench-page-private.h"
#include "bl-style.h"

/* Nothing can be done about suspects in a look back: their head is the title alone. */
static void
quiet_head (GtkWidget *content)
{
  GtkWidget *head = gtk_widget_get_prev_sibling (content);

  for (GtkWidget *child = gtk_widget_get_next_sibling (gtk_widget_get_first_child (head)); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    gtk_widget_set_visible (child, FALSE);
}

/* Keys that are not the bench's own: those of the panel. */
static void
show_keys (BlBenchPage *self, BlBenchUse use)
{
  const char *const drill[] = { _ ("Ctrl F"), _ ("what failed"), _ ("Alt C"), _ ("cautions"), _ ("Alt Q"), _ ("leave"), NULL };
  const char *const replay[] = { _ ("← →"), _ ("step"), _ ("Home End"), _ ("first, last"), _ ("B"), _ ("the other path"),
                                 _ ("Alt Q"), _ ("leave"), NULL };

  bl_key_strip_set_own (BL_KEY_STRIP (self->keys), use == BL_BENCH_FOR_REPLAY ? replay : drill);
}

void
bl_bench_page_set_use (BlBenchPage *self, BlBenchUse use, const char *const *actions, GtkWidget *panel,
                       GtkWidget *strip, const char *enter)
{
  g_return_if_fail (BL_IS_BENCH_PAGE (self) && self->bench == NULL && self->panel == NULL);
  BlBenchLayout *layout = BL_BENCH_LAYOUT (self->layout);

  self->use = use;
  self->allowed = g_strdupv ((char **) actions);
  self->panel = panel;
  bl_bench_layout_put (layout, use == BL_BENCH_FOR_REPLAY ? BL_PLACE_PATH : BL_PLACE_DRILL, panel);
  if (strip != NULL)
    gtk_box_insert_child_after (GTK_BOX (self->box), strip, self->banner);
  bl_key_strip_set_enter (BL_KEY_STRIP (self->keys), enter);
  show_keys (self, use);
  /* Beside the verdict there is room for one word. */
  bl_focus_panel_set_offer (BL_FOCUS_PANEL (self->focus), enter != NULL && *enter != '\0' ? _ ("reads") : NULL);
  bl_places_bar_leave_jobs (BL_PLACES_BAR (self->places));
  if (use == BL_BENCH_FOR_REPLAY)
    quiet_head (self->suspects);
  bl_focus_panel_set_look_back (BL_FOCUS_PANEL (self->focus), use == BL_BENCH_FOR_REPLAY);
}

void
bl_bench_page_show_act (BlBenchPage *self, const char *title, const char *words)
{
  g_return_if_fail (BL_IS_BENCH_PAGE (self));
  bl_focus_panel_set_step (BL_FOCUS_PANEL (self->focus), title, words);
}

void
bl_bench_use_limit (BlBenchPage *self)
{
  g_auto (GStrv) names = self->allowed != NULL ? g_action_group_list_actions (G_ACTION_GROUP (self->actions)) : NULL;

  for (guint i = 0; names != NULL && names[i] != NULL; i++)
    if (!g_strv_contains ((const char *const *) self->allowed, names[i]))
      g_simple_action_set_enabled (
        G_SIMPLE_ACTION (g_action_map_lookup_action (G_ACTION_MAP (self->actions), names[i])), FALSE);
}

static gboolean
run (BlBenchPage *self, const BlKey *key)
{
  GActionGroup *group = G_ACTION_GROUP (self->actions);
  const char *name = key->action + strlen ("bench.");

  if (!g_str_has_prefix (key->action, "bench.") || !g_action_group_get_action_enabled (group, name))
    return FALSE;
  g_action_group_activate_action (group, name, NULL);
  return TRUE;
}

gboolean
bl_bench_page_route_key (BlBenchPage *self, guint keyval, GdkModifierType state)
{
  g_return_val_if_fail (BL_IS_BENCH_PAGE (self), FALSE);
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  GtkWidget *focus = root != NULL ? gtk_root_get_focus (root) : NULL;
  GtkWidget *finder = focus != NULL ? gtk_widget_get_ancestor (focus, BL_TYPE_FINDER) : NULL;
  gboolean typing = GTK_IS_EDITABLE (focus) && *gtk_editable_get_text (GTK_EDITABLE (focus)) != '\0';

  if (finder != NULL && bl_finder_key (BL_FINDER (finder), keyval, state))
    return TRUE;
  if (finder != NULL && (state & (GDK_CONTROL_MASK | GDK_ALT_MASK)) == 0)
    return FALSE;
  if (bl_bench_page_key (self, keyval, state))
    return TRUE;
  const BlKey *key = bl_keys_find (keyval, state, typing, bl_widget_is_text (focus));
  if (key == NULL)
    return FALSE;
  /* A letter that is a key does not become text where its action cannot be done now. */
  return run (self, key) || (key->when_empty && g_str_has_prefix (key->action, "bench."));
}
