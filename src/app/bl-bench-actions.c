/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The actions of the bench that act at once: views, undo and redo, stepping, offers, the photo's zoom;
 * and which of all actions make sense now. What opens a panel first is in bl-bench-choices.c. The
 * actions' names are those of the table of keys; here is nothing about keys. */
#include "config.h"

#include <glib/gi18n-lib.h>

#include "bl-bench-page-private.h"
#include "bl-proving-panel.h"
#include "bl-settings.h"
#include "bl-shell.h"

static void
enable (BlBenchPage *self, const char *name, gboolean enabled)
{
  GAction *action = g_action_map_lookup_action (G_ACTION_MAP (self->actions), name);
  g_simple_action_set_enabled (G_SIMPLE_ACTION (action), enabled);
}

void
bl_bench_actions_update (BlBenchPage *self)
{
  gboolean open = self->bench != NULL;
  g_auto (GStrv) names = g_action_group_list_actions (G_ACTION_GROUP (self->actions));
  const BlDiagnosis *diagnosis = open ? bl_bench_get_diagnosis (self->bench) : NULL;
  const BlBoard *board = open ? bl_bench_get_board (self->bench) : NULL;

  for (guint i = 0; names[i] != NULL; i++)
    enable (self, names[i], open);
  if (open)
    {
      enable (self, "undo", bl_bench_can_undo (self->bench));
      enable (self, "redo", bl_bench_can_redo (self->bench));
      enable (self, "strike", bl_len (bl_bench_get_records (self->bench)) > 0);
      enable (self, "side", bl_len (bl_bench_photos_list (self->photos)) > 1);
      enable (self, "why", diagnosis != NULL && bl_len (diagnosis->components) > 0);
      enable (self, "tree", bl_len (board->stages) > 0 || bl_len (board->components) > 0);
      enable (self, "tree-find", bl_len (board->stages) > 0 || bl_len (board->components) > 0);
      enable (self, "part", bl_len (board->components) > 0);
      enable (self, "symptom", bl_len (board->symptoms) > 0);
      enable (self, "shown", bl_len (board->symptoms) > 0);
      enable (self, "state", bl_len (board->states) > 0);
      enable (self, "suspect-board", bl_bench_boxes_can (self, "suspect-board"));
      enable (self, "direction", bl_bench_boxes_can (self, "direction"));
      enable (self, "field-sheet", bl_bench_get_equipment (self->bench) != NULL);
      enable (self, "known-good", bl_bench_get_equipment (self->bench) == NULL);
      enable (self, "keep-edition", self->provisional);
      enable (self, "kind", self->provisional);
      enable (self, "expected", self->provisional && bl_bench_get_current (self->bench) != NULL);
      for (guint i = 1; i <= 3; i++)
        {
          g_autofree char *name = g_strdup_printf ("next-%u", i);
          enable (self, name, bl_next_view_offers (BL_NEXT_VIEW (self->next), i));
        }
    }
  bl_bench_use_limit (self);
  if (bl_shell_of (GTK_WIDGET (self)) != NULL && self->use == BL_BENCH_FOR_JOBS)
    {
      g_autofree char *label = open ? bl_bench_get_undo_label (self->bench) : NULL;
      bl_shell_name_undo (bl_shell_of (GTK_WIDGET (self)), label);
    }
  bl_key_strip_update (BL_KEY_STRIP (self->keys), G_ACTION_GROUP (self->actions));
}

static void
toggle_side (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;
  GPtrArray *photos = bl_bench_photos_list (self->photos);

  for (guint i = 0; i < bl_len (photos); i++)
    if (g_strcmp0 (((BlBenchPhoto *) bl_at (photos, i))->key, self->photo_key) == 0)
      {
        bl_bench_page_show_photo (self, ((BlBenchPhoto *) bl_at (photos, (i + 1) % photos->len))->key);
        return;
      }
}

static void
show_probe (BlBenchPage *self, gboolean probe)
{
  if (probe) /* who probes is at the bench: out of sight the panel would mark the readings as told */
    bl_told_panel_close (BL_TOLD_PANEL (self->told));
  gtk_stack_set_visible_child_name (GTK_STACK (self->stack), probe ? "probe" : "bench");
  gtk_widget_set_visible (self->keys, !probe);
  bl_state_banner_set_height (BL_STATE_BANNER (self->banner), probe ? 64 : 36);
  bl_probe_view_hold (BL_PROBE_VIEW (self->probe), NULL);
  bl_bench_view_update_probe (self);
  bl_bench_view_reveal (self);
  bl_bench_page_focus (self);
}

static void
toggle_probe (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  show_probe (data, !bl_bench_page_in_probe (data));
}

static void
enlarge (BlBenchPage *self, BlPlace place)
{
  BlBenchLayout *layout = BL_BENCH_LAYOUT (self->layout);
  bl_bench_layout_enlarge (layout, bl_bench_layout_get_enlarged (layout) == place ? BL_N_PLACES : place);
}

static void
toggle_log (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  bl_bench_tree_open (data, FALSE);
  enlarge (data, BL_PLACE_LOG);
}

/* What is being typed goes before what was kept. */
static gboolean
clear_typing (BlBenchPage *self)
{
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  GtkWidget *focus = root != NULL ? gtk_root_get_focus (root) : NULL;

  if (focus == NULL || !GTK_IS_EDITABLE (focus) || *gtk_editable_get_text (GTK_EDITABLE (focus)) == '\0')
    return FALSE;
  gtk_editable_set_text (GTK_EDITABLE (focus), "");
  return TRUE;
}

/* What undo or redo was about stands at the foot of the page: a step may be out of sight. */
static void
note_step (BlBenchPage *self, const char *label, gboolean undone)
{
  g_autofree char *text
    = undone ? g_strdup_printf (_ ("undone: %s"), label) : g_strdup_printf (_ ("redone: %s"), label);

  bl_key_strip_set_note (BL_KEY_STRIP (self->keys), text);
  bl_bench_page_say_followers (self);
}

static void
undo (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;
  g_autofree char *label = bl_bench_get_undo_label (self->bench);
  GError *error = NULL;

  if (clear_typing (self) || label == NULL)
    return;
  if (bl_bench_page_check (self, bl_bench_undo (self->bench, &error), _ ("Undo"), &error))
    note_step (self, label, TRUE);
  self->provisional = bl_bench_page_is_provisional (self);
  bl_bench_page_refresh (self);
}

static void
redo (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;
  g_autofree char *label = bl_bench_get_redo_label (self->bench);
  GError *error = NULL;

  if (label == NULL)
    return;
  if (bl_bench_page_check (self, bl_bench_redo (self->bench, &error), _ ("Redo"), &error))
    note_step (self, label, FALSE);
  self->provisional = bl_bench_page_is_provisional (self);
  bl_bench_page_refresh (self);
}

static void
take_next (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;
  const char *name = g_action_get_name (G_ACTION (action));

  bl_next_view_take (BL_NEXT_VIEW (self->next), (guint) (name[strlen ("next-")] - '0'));
  bl_bench_page_focus (self);
}

static void
step (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;
  bl_probe_view_hold (BL_PROBE_VIEW (self->probe), NULL);
  bl_bench_step (self->bench, g_str_equal (g_action_get_name (G_ACTION (action)), "previous") ? -1 : 1);
}

static void
toggle_fold (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;
  GSettings *settings = bl_settings ();
  gboolean folded = !bl_measurement_list_get_folded (BL_MEASUREMENT_LIST (self->list));

  bl_measurement_list_set_folded (BL_MEASUREMENT_LIST (self->list), folded);
  if (settings != NULL)
    g_settings_set_boolean (settings, "fold-in-band", folded);
}

static void
view_photo (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;
  const char *name = g_action_get_name (G_ACTION (action));
  BlPhotoView *photo = bl_bench_page_in_probe (self) ? bl_probe_view_get_photo (BL_PROBE_VIEW (self->probe))
                                                     : BL_PHOTO_VIEW (self->photo);

  if (bl_bench_tree_view (self, name))
    return;
  if (g_str_equal (name, "fit"))
    bl_bench_view_frame (self, photo);
  else if (g_str_equal (name, "larger"))
    bl_photo_view_zoom (photo, 1.25);
  else if (g_str_equal (name, "smaller"))
    bl_photo_view_zoom (photo, 0.8);
  else if (g_str_equal (name, "pan-left"))
    bl_photo_view_pan (photo, 80, 0);
  else if (g_str_equal (name, "pan-right"))
    bl_photo_view_pan (photo, -80, 0);
  else if (g_str_equal (name, "pan-up"))
    bl_photo_view_pan (photo, 0, 80);
  else
    bl_photo_view_pan (photo, 0, -80);
}

static void
escape (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;

  if (bl_choice_panel_is_open (BL_CHOICE_PANEL (self->choice)))
    bl_choice_panel_close (BL_CHOICE_PANEL (self->choice));
  else if (!bl_bench_page_in_probe (self) && bl_told_panel_is_open (BL_TOLD_PANEL (self->told)))
    bl_told_panel_close (BL_TOLD_PANEL (self->told));
  else if (!bl_bench_page_in_probe (self) && bl_fault_panel_is_open (BL_FAULT_PANEL (self->shown)))
    bl_fault_panel_close (BL_FAULT_PANEL (self->shown));
  else if (!bl_bench_page_in_probe (self) && bl_why_panel_is_open (BL_WHY_PANEL (self->why)))
    bl_why_panel_close (BL_WHY_PANEL (self->why));
  else if (!bl_bench_page_in_probe (self) && bl_proving_panel_is_open (BL_PROVING_PANEL (self->proving)))
    bl_proving_panel_close (BL_PROVING_PANEL (self->proving));
  else if (bl_bench_page_in_probe (self))
    show_probe (self, FALSE);
  else if (bl_tree_pane_is_open (BL_TREE_PANE (self->chart)))
    bl_bench_tree_open (self, FALSE);
  else if (bl_bench_layout_get_enlarged (BL_BENCH_LAYOUT (self->layout)) != BL_N_PLACES)
    bl_bench_layout_enlarge (BL_BENCH_LAYOUT (self->layout), BL_N_PLACES);
  else if (self->pending_mark != NULL)
    g_clear_pointer (&self->pending_mark, g_free);
  else
    bl_focus_panel_clear (BL_FOCUS_PANEL (self->focus));
  bl_bench_page_focus (self);
}

static void
free_entry (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  g_signal_emit_by_name (data, "free-entry");
}

static void
keep_edition (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;
  GError *error = NULL;

  if (!bl_bench_page_check (self, bl_bench_keep_as_edition (self->bench, &error), _ ("The edition was not kept"),
                            &error))
    return;
  self->provisional = FALSE;
  bl_widget_notify (GTK_WIDGET (self), _ ("Kept as an edition. Its bands are provisional: they stand on one board. "
                                          "What is still to be filled in stands under Boards, Checks."));
  bl_bench_page_refresh (self);
  bl_bench_name_ask (self);
}

static void
toggle_live (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  bl_bench_capture_toggle (((BlBenchPage *) data)->capture);
}

void
bl_bench_actions_add (BlBenchPage *self)
{
  static const GActionEntry entries[] = {
    { "side", toggle_side, NULL, NULL, NULL, { 0 } },      { "probe", toggle_probe, NULL, NULL, NULL, { 0 } },
    { "log", toggle_log, NULL, NULL, NULL, { 0 } },        { "live", toggle_live, NULL, NULL, NULL, { 0 } },
    { "undo", undo, NULL, NULL, NULL, { 0 } },             { "redo", redo, NULL, NULL, NULL, { 0 } },
    { "next-1", take_next, NULL, NULL, NULL, { 0 } },      { "next-2", take_next, NULL, NULL, NULL, { 0 } },
    { "next-3", take_next, NULL, NULL, NULL, { 0 } },      { "previous", step, NULL, NULL, NULL, { 0 } },
    { "following", step, NULL, NULL, NULL, { 0 } },        { "fold", toggle_fold, NULL, NULL, NULL, { 0 } },
    { "fit", view_photo, NULL, NULL, NULL, { 0 } },        { "larger", view_photo, NULL, NULL, NULL, { 0 } },
    { "smaller", view_photo, NULL, NULL, NULL, { 0 } },    { "pan-left", view_photo, NULL, NULL, NULL, { 0 } },
    { "pan-right", view_photo, NULL, NULL, NULL, { 0 } },  { "pan-up", view_photo, NULL, NULL, NULL, { 0 } },
    { "pan-down", view_photo, NULL, NULL, NULL, { 0 } },   { "escape", escape, NULL, NULL, NULL, { 0 } },
    { "free", free_entry, NULL, NULL, NULL, { 0 } },       { "keep-edition", keep_edition, NULL, NULL, NULL, { 0 } },
  };

  self->actions = g_simple_action_group_new ();
  g_action_map_add_action_entries (G_ACTION_MAP (self->actions), entries, G_N_ELEMENTS (entries), self);
  bl_bench_tree_add_actions (self);
  bl_bench_find_add_actions (self);
  bl_bench_choices_add_actions (self);
  bl_bench_told_add_actions (self);
  bl_bench_label_add_actions (self);
}
