/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What stays said while measurements are typed: kind, state and black lead. Two things follow what is measured:
 * ohms and diodes are read without power, so each kind has its own state; and a lead stays on its ground, so each
 * ground keeps its own black lead. And how a line that was read comes into the document.
 */
#include "config.h"

#include "bl-entry-line.h"

#include <glib/gi18n-lib.h>

#include "bl-board-edit.h"

void
bl_entry_habit_init (BlEntryHabit *self)
{
  *self = (BlEntryHabit){ BL_MEASURES_V_DC, BL_MEASURES_V_DC, BL_N_MEASURES, NULL, NULL, NULL, NULL, NULL };
  self->of_ground = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
}

void
bl_entry_habit_clear (BlEntryHabit *self)
{
  g_clear_pointer (&self->live, g_free);
  g_clear_pointer (&self->dead, g_free);
  g_clear_pointer (&self->pinned, g_free);
  g_clear_pointer (&self->black, g_free);
  g_clear_pointer (&self->of_ground, g_hash_table_unref);
}

void
bl_entry_habit_set_kind (BlEntryHabit *self, BlMeasures measures)
{
  g_return_if_fail (measures < BL_N_MEASURES);
  self->measures = measures;
  if (measures <= BL_MEASURES_V_PP)
    self->voltage = measures;
  else if (measures == BL_MEASURES_A_DC || measures == BL_MEASURES_A_AC)
    self->current = measures;
}

static void
set (char **text, const char *to)
{
  g_autofree char *copy = g_strdup (to);

  g_free (*text);
  *text = g_steal_pointer (&copy);
}

void
bl_entry_habit_pin_state (BlEntryHabit *self, const char *state)
{
  set (&self->pinned, state != NULL && *state != '\0' ? state : NULL);
}

void
bl_entry_habit_set_black (BlEntryHabit *self, const BlBoard *board, const char *black)
{
  const BlTestPoint *lead = black != NULL && *black != '\0' ? bl_board_test_point (board, black) : NULL;

  set (&self->black, lead != NULL ? black : "");
  if (lead != NULL && lead->ground != NULL)
    g_hash_table_replace (self->of_ground, g_strdup (lead->ground), g_strdup (black));
}

/* --- what holds now --- */

static gboolean
needs_no_power (BlMeasures measures)
{
  return bl_measures_is_resistive (measures) || measures == BL_MEASURES_F;
}

/* Which state most is measured in is not in the document: the first live (or not live) one, else the first at all. */
static const BlState *
usual_state (const BlBoard *board, gboolean live)
{
  const BlState *any = NULL;

  for (guint i = 0; i < bl_len (board->states); i++)
    {
      const BlState *state = bl_at (board->states, i);
      if ((state->live != 0) == live)
        return state;
      if (any == NULL)
        any = state;
    }
  return any;
}

const BlState *
bl_entry_habit_state (const BlEntryHabit *self, const BlBoard *board, BlMeasures measures)
{
  gboolean dead = needs_no_power (measures);
  const char *said = self->pinned != NULL ? self->pinned : dead ? self->dead : self->live;
  const BlState *state = said != NULL ? bl_board_state (board, said) : NULL;

  return state != NULL ? state : usual_state (board, !dead);
}

static const BlTestPoint *
found_lead (const BlBoard *board, const BlTestPoint *point, const char *id)
{
  const BlTestPoint *lead = id != NULL && *id != '\0' ? bl_board_test_point (board, id) : NULL;

  if (lead == NULL || lead == point)
    return NULL;
  return point == NULL || point->ground == NULL || lead->ground == NULL || g_str_equal (point->ground, lead->ground)
           ? lead
           : NULL;
}

const BlTestPoint *
bl_entry_habit_black (const BlEntryHabit *self, const BlBoard *board, const BlTestPoint *point)
{
  const BlTestPoint *lead = found_lead (board, point, self->black);

  if (lead == NULL && point != NULL && point->ground != NULL && (self->black == NULL || *self->black != '\0'))
    lead = found_lead (board, point, g_hash_table_lookup (self->of_ground, point->ground));
  return lead;
}

/* --- learning --- */

void
bl_entry_habit_learn (BlEntryHabit *self, const BlBoard *board, const BlEntryLine *line)
{
  const BlMeasurement *kept = line->measurement;
  const BlState *state = kept->state != NULL ? bl_board_state (board, kept->state) : NULL;

  /* A check is one thing to be looked at; the measuring goes on as before. */
  if (kept->measures != BL_MEASURES_CHECK)
    bl_entry_habit_set_kind (self, kept->measures);
  if (line->state_said && state != NULL)
    {
      bl_entry_habit_pin_state (self, NULL);
      /* Volts without power are the proof that it is dead: said each time. */
      if (needs_no_power (kept->measures))
        set (&self->dead, state->id);
      else if (state->live != 0)
        set (&self->live, state->id);
    }
  if (line->black_said)
    bl_entry_habit_set_black (self, board, kept->black);
}

/* --- keeping --- */

void
bl_entry_line_free (BlEntryLine *self)
{
  if (self == NULL)
    return;
  bl_measurement_free (self->measurement);
  g_free (self->title);
  g_free (self->ground);
  g_free (self);
}

char *
bl_entry_line_add (const BlEntryLine *self, BlBoard *board)
{
  g_return_val_if_fail (self != NULL && board != NULL, NULL);
  BlMeasurement *measurement = bl_measurement_copy (self->measurement);
  BlTestPoint *point = measurement->at != NULL ? bl_board_test_point (board, measurement->at) : NULL;
  gboolean check = measurement->measures == BL_MEASURES_CHECK;

  g_free (measurement->id);
  measurement->id = bl_board_free_id (board, BL_KIND_MEASUREMENT, "M");
  if (self->title != NULL && point != NULL && !check && (point->title == NULL || *point->title == '\0'))
    {
      g_free (point->title);
      point->title = g_strdup (self->title);
    }
  else if (self->title != NULL)
    measurement->title = check && point != NULL && point->title != NULL && *point->title != '\0'
                             && g_str_equal (self->title, _ ("lit"))
                           ? g_strdup_printf ("%s %s", point->title, self->title)
                           : g_strdup (self->title);
  if (self->ground != NULL && point != NULL && point->ground == NULL)
    point->ground = g_strdup (self->ground);
  g_autofree char *id = g_strdup (measurement->id);
  bl_append (&board->measurements, measurement, (GDestroyNotify) bl_measurement_free);
  return g_steal_pointer (&id);
}
