/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A job on an equipment, on the bench: which box feeds which is asked before anything is read, the suspect board is
 * opened as a job of its own, and that one leads back. Questions as in bl-bench-choices.c. */
#include "config.h"

#include "bl-bench-page-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-format.h"
#include "bl-shell.h"

static BlChoicePanel *
panel (BlBenchPage *self)
{
  return BL_CHOICE_PANEL (self->choice);
}

/* --- which box feeds which --- */

/* "1 feeds 2" as the title has it, and what that means in conductors. */
static void
add_direction (BlBenchPage *self, gint64 id, gboolean present)
{
  g_autoptr (BlEquipment) equipment = bl_library_get_equipment (self->library, id, NULL);
  g_autofree char *key = g_strdup_printf ("%" G_GINT64_FORMAT, id);

  if (equipment != NULL)
    bl_choice_panel_add (panel (self), 0, equipment->title != NULL ? equipment->title : _ ("Equipment without a title"),
                         present ? _ ("as the job is now") : NULL, key);
}

/* The document was answered against, or comes too late to be changed: the others are one key away. */
static void
offer_directions (BlBenchPage *self, GArray *others)
{
  gboolean change = bl_bench_can_change_equipment (self->bench);

  bl_choice_panel_begin (panel (self), "direction", _ ("Which box feeds which?"),
                         change ? _ ("Not as this job's document says it: its expected values and odds are about the other "
                                     "supply direction.")
                                : _ ("Something was read by this document already: for the other supply direction another "
                                     "job is begun, with what was taken in."));
  for (guint i = 0; i < others->len; i++)
    {
      gint64 id = g_array_index (others, gint64, i);
      g_autoptr (BlEquipment) equipment = bl_library_get_equipment (self->library, id, NULL);
      g_autofree char *key = g_strdup_printf (change ? "%" G_GINT64_FORMAT : "job:%" G_GINT64_FORMAT, id);
      if (equipment != NULL)
        bl_choice_panel_add (panel (self), i == 0 ? 'o' : 0,
                             equipment->title != NULL ? equipment->title : _ ("Equipment without a title"),
                             change ? _ ("go over to it") : _ ("another job"), key);
    }
  bl_choice_panel_add (panel (self), 'n', _ ("no, stay with this one"), NULL, "stay");
  bl_choice_panel_set_offer (panel (self));
  bl_bench_choices_open (self, BL_PLACE_FOCUS);
  bl_choice_panel_select (panel (self), others->len); /* Enter on nothing goes over to nothing */
}

void
bl_bench_boxes_ask_denied (BlBenchPage *self)
{
  const char *denied = self->bench != NULL ? bl_bench_direction_denied (self->bench) : NULL;
  g_autoptr (GArray) others = NULL;

  if (denied == NULL || bl_choice_panel_is_open (panel (self)))
    return;
  others = bl_bench_other_directions (self->bench, NULL);
  if (others != NULL && others->len > 0)
    offer_directions (self, others);
}

static void
ask_direction (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;
  GError *error = NULL;
  g_autoptr (GArray) others = bl_bench_other_directions (self->bench, &error);

  if (!bl_bench_page_check (self, others != NULL, _ ("The other supply direction"), &error))
    return;
  if (others->len == 0)
    {
      bl_widget_notify (GTK_WIDGET (self), _ ("Only this direction is documented for these boards"));
      return;
    }
  if (!bl_bench_can_change_equipment (self->bench) || bl_bench_direction_denied (self->bench) != NULL)
    {
      offer_directions (self, others);
      return;
    }
  bl_choice_panel_begin (panel (self), "direction", _ ("Which box feeds which?"),
                         _ ("Look where the mains comes in. It can be put right as long as nothing was read."));
  add_direction (self, bl_bench_get_job (self->bench)->equipment, bl_bench_has_said_direction (self->bench));
  for (guint i = 0; i < others->len; i++)
    add_direction (self, g_array_index (others, gint64, i), FALSE);
  bl_bench_choices_open (self, BL_PLACE_FOCUS);
}

static void
begin_other (BlBenchPage *self, gint64 id)
{
  GError *error = NULL;
  gint64 job = bl_bench_begin_other_direction (self->bench, id, &error);

  if (bl_bench_page_check (self, job != 0, _ ("The other job was not begun"), &error)
      && bl_shell_of (GTK_WIDGET (self)) != NULL)
    bl_shell_open_job (bl_shell_of (GTK_WIDGET (self)), job);
}

static void
direction_chosen (BlBenchPage *self, const char *key)
{
  gint64 job = bl_bench_get_job (self->bench)->id, id = g_ascii_strtoll (key, NULL, 10);
  GError *error = NULL;

  if (g_str_equal (key, "stay"))
    return;
  if (g_str_has_prefix (key, "job:"))
    begin_other (self, g_ascii_strtoll (key + strlen ("job:"), NULL, 10));
  else if (bl_bench_page_check (self, bl_bench_change_equipment (self->bench, id, &error),
                                _ ("The supply direction was not changed"), &error)
           && bl_shell_of (GTK_WIDGET (self)) != NULL)
    bl_shell_open_job (bl_shell_of (GTK_WIDGET (self)), job);
}

/* --- the suspect board --- */

static void
open_job (BlBenchPage *self, gint64 job)
{
  if (bl_shell_of (GTK_WIDGET (self)) != NULL)
    bl_shell_open_job (bl_shell_of (GTK_WIDGET (self)), job);
}

static void
open_board (BlBenchPage *self, const char *role)
{
  GError *error = NULL;
  gint64 job = bl_bench_part_job (self->bench, role, &error);
  gboolean begun = job != 0;

  if (!begun && error == NULL)
    job = bl_bench_begin_part_job (self->bench, role, &error);
  if (!bl_bench_page_check (self, job != 0, _ ("The board was not opened"), &error))
    return;
  g_autofree char *words
    = begun ? g_strdup_printf (_ ("The job on the %s board, as it was left. Alt B goes back."), role)
            : g_strdup_printf (_ ("A job on the %s board, with what was read of it. Alt B goes back."), role);
  open_job (self, job);
  bl_widget_notify (GTK_WIDGET (self), words);
}

static void
ask_board (BlBenchPage *self)
{
  GPtrArray *boxes = bl_bench_get_boxes (self->bench);
  const BlPlaces *places = bl_bench_get_places (self->bench);

  bl_choice_panel_begin (panel (self), "suspect-board", _ ("Which board as a job of its own?"),
                         _ ("No board has 95 % yet: what comes in from the others is taken for good there."));
  for (guint i = 0; i < bl_len (boxes); i++)
    {
      const char *role = ((BlEquipmentBoard *) bl_at (boxes, i))->role;
      const BlFaultPlace *place = places != NULL ? bl_places_find (places, role) : NULL;
      g_autofree char *odds = place != NULL ? bl_format_odds (place->probability) : NULL;
      g_autofree char *name = g_strdup_printf (_ ("%s board"), role);
      bl_choice_panel_add (panel (self), 0, name, odds, role);
    }
  bl_bench_choices_open (self, BL_PLACE_FOCUS);
}

/* To the suspect board, and back. */
static void
suspect_board (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;
  const BlJob *whole = bl_bench_get_whole_job (self->bench);
  const char *role = bl_bench_isolated_role (self->bench);

  if (whole != NULL)
    open_job (self, whole->id);
  else if (role != NULL)
    {
      g_autofree char *kept = g_strdup (role);
      open_board (self, kept);
    }
  else if (bl_bench_get_equipment (self->bench) != NULL)
    ask_board (self);
}

gboolean
bl_bench_boxes_chosen (BlBenchPage *self, const char *tag, const char *id)
{
  if (g_str_equal (tag, "direction"))
    direction_chosen (self, id);
  else if (g_str_equal (tag, "suspect-board"))
    open_board (self, id);
  else
    return FALSE;
  return TRUE;
}

/* --- the line of places --- */

/* The next measurement of a place that nobody has read, or its first. role NULL: between the boxes. */
static void
go_to_place (BlBenchPage *self, const char *role)
{
  GListModel *model = bl_bench_get_measurements (self->bench);
  BlMeasurementItem *found = NULL;

  for (guint i = 0; i < g_list_model_get_n_items (model); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (model, i);
      gboolean unread = bl_measurement_item_get_record (item) == NULL || bl_measurement_item_is_old (item);
      if (g_strcmp0 (bl_bench_role_of (self->bench, bl_measurement_item_get_id (item)), role) != 0)
        continue;
      if (found == NULL || unread)
        found = item; /* kept alive by the list */
      if (unread)
        break;
    }
  if (role == NULL)
    bl_bench_page_show_photo (self, BL_BENCH_DRAWING);
  if (found != NULL)
    bl_bench_select (self->bench, found);
  bl_bench_page_focus (self);
}

static void
activate (BlBenchPage *self, const char *action)
{
  g_action_group_activate_action (G_ACTION_GROUP (self->actions), action, NULL);
}

static void
board_pressed (BlBenchPage *self)
{
  activate (self, "suspect-board");
}

static void
direction_pressed (BlBenchPage *self)
{
  activate (self, "direction");
}

GtkWidget *
bl_bench_boxes_build (BlBenchPage *self)
{
  self->places = bl_places_bar_new ();
  g_signal_connect_swapped (self->places, "place", G_CALLBACK (go_to_place), self);
  g_signal_connect_swapped (self->places, "board", G_CALLBACK (board_pressed), self);
  g_signal_connect_swapped (self->places, "direction", G_CALLBACK (direction_pressed), self);
  return self->places;
}

void
bl_bench_boxes_begin (BlBenchPage *self)
{
  /* Joining the other equipment takes its time: only where it matters. */
  g_autoptr (GArray) others
    = self->use == BL_BENCH_FOR_JOBS && bl_bench_can_change_equipment (self->bench)
        ? bl_bench_other_directions (self->bench, NULL)
        : NULL;
  gboolean changeable = others != NULL && others->len > 0;

  bl_places_bar_set_bench (BL_PLACES_BAR (self->places), self->bench);
  bl_places_bar_set_direction (BL_PLACES_BAR (self->places), changeable);
  if (changeable && !bl_bench_has_said_direction (self->bench))
    ask_direction (NULL, NULL, self);
}

gboolean
bl_bench_boxes_can (BlBenchPage *self, const char *action)
{
  if (g_str_equal (action, "direction"))
    return bl_bench_get_equipment (self->bench) != NULL; /* where it cannot be changed, another job is offered */
  return bl_bench_get_equipment (self->bench) != NULL || bl_bench_get_whole_job (self->bench) != NULL;
}

void
bl_bench_boxes_add_actions (BlBenchPage *self)
{
  static const GActionEntry entries[] = {
    { "suspect-board", suspect_board, NULL, NULL, NULL, { 0 } },
    { "direction", ask_direction, NULL, NULL, NULL, { 0 } },
  };

  g_action_map_add_action_entries (G_ACTION_MAP (self->actions), entries, G_N_ELEMENTS (entries), self);
}
