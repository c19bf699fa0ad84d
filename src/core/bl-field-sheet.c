/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plain data of a sheet of field checks; bl-field-sheet-fill.c fills it, bl-field-sheet-draw.c draws it. */
#include "config.h"

#include "bl-field-sheet.h"

static void
row_free (gpointer data)
{
  BlFieldRow *row = data;

  g_free (row->id);
  g_free (row->title);
  g_free (row->probes);
  g_free (row->expected);
  g_free (row->unit);
  g_free (row->notes);
  g_free (row->state);
  g_free (row->reading);
  g_clear_pointer (&row->band, bl_band_free);
  g_clear_pointer (&row->verdict, bl_verdict_free);
  g_free (row);
}

static void
state_free (gpointer data)
{
  BlFieldState *state = data;

  g_free (state->id);
  g_free (state->title);
  g_free (state->how);
  g_free (state);
}

static void
group_free (gpointer data)
{
  BlFieldGroup *group = data;

  g_free (group->heading);
  g_free (group->caution);
  g_ptr_array_unref (group->rows);
  g_free (group);
}

BlFieldSheet *
bl_field_sheet_new (void)
{
  BlFieldSheet *self = g_new0 (BlFieldSheet, 1);

  self->limits = BL_SAFE_LIMITS;
  self->states = g_ptr_array_new_with_free_func (state_free);
  self->groups = g_ptr_array_new_with_free_func (group_free);
  return self;
}

void
bl_field_sheet_free (BlFieldSheet *self)
{
  if (self == NULL)
    return;
  g_free (self->equipment);
  g_free (self->customer);
  g_free (self->unit);
  g_free (self->serial);
  g_free (self->complaint);
  g_free (self->printed);
  g_clear_pointer (&self->wiring, bl_wiring_free);
  g_ptr_array_unref (self->states);
  g_ptr_array_unref (self->groups);
  g_free (self);
}

BlFieldGroup *
bl_field_sheet_add_group (BlFieldSheet *self, BlSiteStep step)
{
  g_return_val_if_fail (self != NULL, NULL);
  BlFieldGroup *group = g_new0 (BlFieldGroup, 1);

  group->step = step;
  group->rows = g_ptr_array_new_with_free_func (row_free);
  g_ptr_array_add (self->groups, group);
  return group;
}

BlFieldRow *
bl_field_group_add_row (BlFieldGroup *group)
{
  g_return_val_if_fail (group != NULL, NULL);
  BlFieldRow *row = g_new0 (BlFieldRow, 1);

  g_ptr_array_add (group->rows, row);
  return row;
}

BlFieldState *
bl_field_sheet_state (const BlFieldSheet *self, const char *id)
{
  g_return_val_if_fail (self != NULL, NULL);
  for (guint i = 0; id != NULL && i < self->states->len; i++)
    {
      BlFieldState *state = bl_at (self->states, i);
      if (g_str_equal (state->id, id))
        return state;
    }
  return NULL;
}

BlFieldState *
bl_field_sheet_add_state (BlFieldSheet *self, const char *id)
{
  g_return_val_if_fail (self != NULL && id != NULL, NULL);
  BlFieldState *state = g_new0 (BlFieldState, 1);

  state->id = g_strdup (id);
  state->volts = NAN;
  g_ptr_array_add (self->states, state);
  return state;
}

BlFieldRow *
bl_field_sheet_row (const BlFieldSheet *self, const char *check)
{
  g_return_val_if_fail (self != NULL, NULL);
  for (guint i = 0; check != NULL && i < self->groups->len; i++)
    {
      const BlFieldGroup *group = bl_at (self->groups, i);
      for (guint j = 0; j < group->rows->len; j++)
        {
          BlFieldRow *row = bl_at (group->rows, j);
          if (g_str_equal (row->id, check))
            return row;
        }
    }
  return NULL;
}
