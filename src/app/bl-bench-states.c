/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Board state and proof of dead: which state the board is in is asked, and once it is declared
 * unpowered the proof is offered. Asking for the proof where it cannot count says why and offers
 * the states. Nothing blocks: an offer goes with the next key that is not for it. */
#include "config.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-bench-page-private.h"
#include "bl-bench-safe.h"
#include "bl-bench-supply-ask.h"

static void
show_states (BlBenchPage *self, const char *hint)
{
  const BlBoard *board = bl_bench_get_board (self->bench);
  BlHazard hazard = bl_bench_get_hazard (self->bench);
  const BlState *now = bl_bench_get_state (self->bench);

  bl_choice_panel_begin (BL_CHOICE_PANEL (self->choice), "state",
                         _ ("Which state is the board in now?"), hint);
  /* One that ends by itself is entered again and again. */
  if (now != NULL && now->lasts_s > 0)
    {
      g_autofree char *text = g_strdup_printf (_ ("again: %s"), now->title != NULL ? now->title : now->id);
      bl_choice_panel_add (BL_CHOICE_PANEL (self->choice), 'r', text, NULL, now->id);
    }
  for (guint i = 0; i < bl_len (board->states); i++)
    {
      const BlState *state = bl_at (board->states, i);
      g_autofree char *detail = NULL;
      if (state->live == 1)
        detail = isfinite (state->volts) ? g_strdup_printf (_ ("live %g V"), state->volts)
                                         : g_strdup (_ ("live"));
      else
        detail = g_strdup (state->live == 0 ? _ ("unpowered")
                                            : _ ("live or not: not said, take it for live"));
      bl_choice_panel_add (BL_CHOICE_PANEL (self->choice), 0,
                           state->title != NULL && *state->title != '\0' ? state->title : state->id,
                           detail, state->id);
    }
  if (hazard == BL_HAZARD_UNPROVEN)
    bl_choice_panel_add (BL_CHOICE_PANEL (self->choice), 'd', _ ("proof of dead taken …"), NULL,
                         "proof:");
  bl_bench_choices_open (self, BL_PLACE_FOCUS);
}

static void
ask_state (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  show_states (data, _ ("A proof of dead is void after any live state."));
}

/* Points to prove dead at, by name; NULL: the document names none. (transfer full) */
static char *
proof_points (BlBenchPage *self)
{
  const char *const *asked = bl_bench_get_dead_proof (self->bench);
  g_autoptr (GString) points = g_string_new (NULL);

  for (guint i = 0; asked != NULL && asked[i] != NULL; i++)
    {
      BlMeasurementItem *item = bl_bench_find (self->bench, asked[i]);
      g_string_append (points, i == 0 ? "" : "; ");
      if (item != NULL)
        g_string_append_printf (points, "%s %s", bl_measurement_item_get_point (item),
                                bl_measurement_item_get_title (item));
      else
        g_string_append (points, asked[i]);
    }
  return points->len > 0 ? g_string_free (g_steal_pointer (&points), FALSE) : NULL;
}

void
bl_bench_states_ask_proof (BlBenchPage *self)
{
  BlHazard hazard = bl_bench_get_hazard (self->bench);
  const char *how = _ (
      "A known source, then the point, then the known source again. 0 V with the probes in the air "
      "is no proof.");
  g_autofree char *points = NULL, *limit = NULL, *hint = NULL;

  if (hazard != BL_HAZARD_UNPROVEN && hazard != BL_HAZARD_PROVEN)
    {
      show_states (self, hazard == BL_HAZARD_UNKNOWN
                             ? _ ("A proof of dead counts once the board is declared unpowered. No "
                                  "state is declared yet.")
                             : _ ("A proof of dead counts once the board is declared unpowered. It "
                                  "is declared live now."));
      return;
    }
  if (bl_bench_page_proof_is_taken (self))
    return;
  points = proof_points (self);
  limit = g_strdup_printf (_ ("Ohms and diode tests want it below %g V, and once more after %g s."),
                           bl_bench_get_limits (self->bench)->ohms_below, bl_bench_get_limits (self->bench)->again_s);
  hint = points != NULL ? g_strdup_printf (_ ("%s %s Points: %s"), how, limit, points)
                        : g_strdup_printf ("%s %s", how, limit);
  bl_choice_panel_begin (BL_CHOICE_PANEL (self->choice), "proof",
                         _ ("Proof of dead: what was read?"), hint);
  bl_choice_panel_add_entry (BL_CHOICE_PANEL (self->choice),
                             _ ("source 12.1, point 0.3, source 12.1"), NULL);
  bl_bench_choices_open (self, BL_PLACE_FOCUS);
}

/* What may still be charged, how long, and what that is worth; NULL: nothing is known of it. (transfer full) */
static char *
charge_words (BlBenchPage *self)
{
  BlSafeCharge charge;

  if (!bl_bench_get_charge (self->bench, &charge))
    return NULL;
  g_autofree char *words = bl_charge_words (&charge, bl_bench_get_limits (self->bench));
  return g_strdup_printf ("%s %s", words, bl_charge_caution (&charge));
}

/* Declared unpowered just now: where the document names points, the proof is asked for at once. */
static void
offer_proof (BlBenchPage *self)
{
  g_autofree char *points = proof_points (self), *prove = NULL, *charge = NULL, *hint = NULL;

  if (points == NULL || bl_bench_get_hazard (self->bench) != BL_HAZARD_UNPROVEN)
    return;
  prove = g_strdup_printf (_ ("Declared unpowered is not proved dead. Prove it at: %s"), points);
  charge = charge_words (self);
  hint = charge != NULL ? g_strdup_printf ("%s\n%s", prove, charge) : g_strdup (prove);
  bl_choice_panel_begin (BL_CHOICE_PANEL (self->choice), "proof-offer", _ ("Prove dead now?"),
                         hint);
  bl_choice_panel_add (BL_CHOICE_PANEL (self->choice), 'd',
                       _ ("the proof: known source, point, known source …"), NULL, "proof:");
  bl_choice_panel_add (BL_CHOICE_PANEL (self->choice), 'n',
                       _ ("later; readings are kept and flagged until then"), NULL, "later:");
  bl_choice_panel_set_offer (BL_CHOICE_PANEL (self->choice));
  bl_bench_choices_open (self, BL_PLACE_FOCUS);
}

/* What is in hand must not put the board back into the state it was in: Enter on a measurement of
 * another state declares that one. So the next measurement not read of the state declared comes into hand. */
static void
take_one_of (BlBenchPage *self, const char *state)
{
  GListModel *model = bl_bench_get_measurements (self->bench);
  BlMeasurementItem *current = bl_bench_get_current (self->bench);

  if (current == NULL || g_strcmp0 (bl_measurement_item_get_measurement (current)->state, state) == 0)
    return;
  for (guint i = 0; i < g_list_model_get_n_items (model); i++)
    {
      g_autoptr (BlMeasurementItem) item = g_list_model_get_item (model, i);
      if (bl_measurement_item_get_record (item) == NULL
          && g_strcmp0 (bl_measurement_item_get_measurement (item)->state, state) == 0)
        {
          bl_bench_select (self->bench, item);
          return;
        }
    }
}

void
bl_bench_states_declare (BlBenchPage *self, const char *state)
{
  GError *error = NULL;

  if (bl_bench_page_check (self, bl_bench_set_state (self->bench, state, &error), _ ("State"),
                           &error))
    {
      take_one_of (self, state);
      offer_proof (self);
      bl_bench_supply_ask (self);
    }
}

static void
ask_proof (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  bl_bench_states_ask_proof (data);
}

void
bl_bench_states_add_actions (BlBenchPage *self)
{
  static const GActionEntry entries[] = {
    { "state", ask_state, NULL, NULL, NULL, { 0 } },
    { "proof", ask_proof, NULL, NULL, NULL, { 0 } },
  };

  g_action_map_add_action_entries (G_ACTION_MAP (self->actions), entries, G_N_ELEMENTS (entries),
                                   self);
}
