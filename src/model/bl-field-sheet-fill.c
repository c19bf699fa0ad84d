/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From an equipment to its sheet of field checks: in which order they are asked, where the probes go, what must be kept in
 * mind.
 *
 * The order is the trade's (common practice, no source): which box feeds which, mains at both ends, the relay's click and
 * what passes through its contact as two answers, the signal, the conductors, and an exchange last. Cautions here are
 * general and come before those of the document; both defer to local codes. */
#include "config.h"

#include "bl-field-sheet-fill.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#include "bl-format.h"
#include "bl-library-equipment.h"

const char *
bl_site_step_words (BlSiteStep step)
{
  static const char *const words[BL_N_SITE_STEPS] = {
    [BL_SITE_DIRECTION] = N_ ("Which box feeds which"),
    [BL_SITE_SUPPLY] = N_ ("Mains at both ends"),
    [BL_SITE_RELAY] = N_ ("Relay: click, and what passes through it"),
    [BL_SITE_SIGNAL] = N_ ("Signal at the terminals"),
    [BL_SITE_CONDUCTOR] = N_ ("Conductors"),
    [BL_SITE_EXCHANGE] = N_ ("Another conductor in its place: last of all"),
  };

  g_return_val_if_fail (step < BL_N_SITE_STEPS, "");
  return _ (words[step]);
}

static const char *
caution_of (BlSiteStep step)
{
  switch (step)
    {
    case BL_SITE_DIRECTION:
      return _ ("Asked first: a missing supply at the box that is fed is a fault of the box that feeds it.");
    case BL_SITE_SUPPLY:
      return _ ("Live, under load. To a meter of 10 megohm an open contact shows tens of volts: use a loaded tester too.");
    case BL_SITE_RELAY:
      return _ ("Two answers, not one: a click without output is the contact, not the coil. Write down both.");
    case BL_SITE_SIGNAL:
      return _ ("A loop that reads 24 V can stand at mains potential. Treat the signal conductor as mains.");
    case BL_SITE_CONDUCTOR:
      return _ ("A beep proves a path for a milliampere, not for amperes: it does not clear a conductor. Insulation is "
                "tested on the cable alone, lifted at both ends, never through the boards.");
    case BL_SITE_EXCHANGE:
    default:
      return _ ("Temporary lead first, spare core second, exchange last; and not at all where leakage is suspected or "
                "insulation was not read. Isolate and prove dead at both ends before every change. Never the protective "
                "earth. Every core must be rated for mains and for the current it will carry; short, at low load. Mark "
                "what was changed, put it back or mark it anew at every accessible point. Local codes may ask for a "
                "licensed electrician.");
    }
}

static const char *
role_of (const BlFieldSheet *self, const BlWireTerminal *terminal)
{
  return terminal->box >= 0 ? ((const BlWireBox *) bl_at (self->wiring->boxes, terminal->box))->role : NULL;
}

/* "TPL2, wall: L to roof unit at terminal 3". (transfer full) */
static char *
terminal_words (const BlFieldSheet *self, int index)
{
  const BlWireTerminal *terminal = bl_at (self->wiring->terminals, index);
  const char *role = role_of (self, terminal), *title = terminal->title;

  return g_strdup_printf ("%s%s%s%s%s", terminal->name, role != NULL ? ", " : "", role != NULL ? role : "",
                          title != NULL ? ": " : "", title != NULL ? title : "");
}

static char *
probes_words (const BlFieldSheet *self, const BlWireCheck *check)
{
  g_autofree char *red = check->at >= 0 ? terminal_words (self, check->at) : NULL;
  g_autofree char *black = check->black >= 0 ? terminal_words (self, check->black) : NULL;

  if (red != NULL && black != NULL)
    /* Translators: where the two probes go */
    return g_strdup_printf (_ ("red on %s; black on %s"), red, black);
  return red != NULL ? g_strdup_printf (_ ("at %s"), red) : g_strdup ("");
}

static void
use_state (BlFieldSheet *self, const BlBoard *board, const char *id)
{
  const BlState *state = id != NULL ? bl_board_state (board, id) : NULL;

  if (state == NULL || bl_field_sheet_state (self, id) != NULL)
    return;
  BlFieldState *used = bl_field_sheet_add_state (self, id);
  used->title = g_strdup (state->title != NULL ? state->title : id);
  used->how = g_strdup (state->how);
  used->live = state->live != 0; /* not said is taken for live */
  used->volts = state->volts;
  if (!used->live)
    return;
  used->volts_ac = bl_safe_state_volts_ac (board, state);
  self->volts = MAX (self->volts, isnan (state->volts) ? INFINITY : state->volts);
  self->volts_ac = MAX (self->volts_ac, used->volts_ac);
}

static void
add_row (BlFieldSheet *self, const BlBoard *board, const BlWireCheck *check, BlFieldGroup *group, guint number)
{
  const BlMeasurement *measurement = bl_board_measurement (board, check->id);
  BlFieldRow *row = bl_field_group_add_row (group);

  row->number = number;
  row->id = g_strdup (check->id);
  row->title = g_strdup (check->title);
  row->probes = probes_words (self, check);
  row->expected = bl_format_expected (board, measurement);
  row->unit = bl_format_unit (measurement->measures);
  row->notes = g_strdup (measurement->notes != NULL ? measurement->notes : "");
  row->state = g_strdup (measurement->state != NULL ? measurement->state : "");
  row->question = measurement->measures == BL_MEASURES_CHECK;
  use_state (self, board, measurement->state);
}

BlFieldSheet *
bl_field_sheet_of (const BlBoard *joined, const BlEquipment *equipment)
{
  g_return_val_if_fail (joined != NULL, NULL);
  g_autoptr (BlFieldSheet) self = bl_field_sheet_new ();
  g_autoptr (GDateTime) now = g_date_time_new_now_local ();
  BlFieldGroup *group = NULL;

  self->wiring = bl_wiring_new (joined, equipment);
  self->equipment = g_strdup (self->wiring->title != NULL ? self->wiring->title : _ ("Equipment without a title"));
  self->printed = g_date_time_format (now, "%Y-%m-%d");
  for (guint i = 0; i < self->wiring->checks->len; i++)
    {
      const BlWireCheck *check = bl_at (self->wiring->checks, i);
      if (group == NULL || group->step != check->kind)
        {
          group = bl_field_sheet_add_group (self, check->kind);
          group->heading = g_strdup (bl_site_step_words (check->kind));
          group->caution = g_strdup (caution_of (check->kind));
        }
      add_row (self, joined, check, group, i + 1);
    }
  return self->groups->len > 0 ? g_steal_pointer (&self) : NULL;
}

/* --- what a job has already --- */

static void
take_reading (BlFieldSheet *self, const BlRecord *record)
{
  BlFieldRow *row = bl_field_sheet_row (self, record->subject);

  if (row == NULL || record->struck || record->kind != BL_RECORD_READING)
    return;
  g_free (row->reading);
  row->reading = g_strdup (record->text);
  g_clear_pointer (&row->band, bl_band_free);
  g_clear_pointer (&row->verdict, bl_verdict_free);
  row->band = record->band != NULL ? bl_band_copy (record->band) : NULL;
  row->verdict = record->verdict != NULL ? bl_verdict_copy (record->verdict) : NULL;
}

/* A round is another board: what was read before a repair is not handed on. */
static void
forget_readings (BlFieldSheet *self)
{
  for (guint i = 0; i < self->groups->len; i++)
    {
      const BlFieldGroup *group = bl_at (self->groups, i);
      for (guint j = 0; j < group->rows->len; j++)
        {
          BlFieldRow *row = bl_at (group->rows, j);
          g_clear_pointer (&row->reading, g_free);
          g_clear_pointer (&row->band, bl_band_free);
          g_clear_pointer (&row->verdict, bl_verdict_free);
        }
    }
}

static gboolean
take_job (BlFieldSheet *self, BlLibrary *library, gint64 equipment, gint64 id, GError **error)
{
  g_autoptr (BlJob) job = bl_library_load_job (library, id, error);
  g_autoptr (GPtrArray) records = job != NULL ? bl_library_records (library, id, error) : NULL;

  if (records == NULL)
    return FALSE;
  if (job->equipment != equipment)
    {
      g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID, _ ("job %d is not about this equipment"), job->number);
      return FALSE;
    }
  self->job = job->number;
  self->customer = g_strdup (job->customer);
  self->unit = g_strdup (job->unit);
  self->serial = g_strdup (job->serial);
  self->complaint = g_strdup (job->complaint);
  for (guint i = 0; i < records->len; i++)
    {
      const BlRecord *record = bl_at (records, i);
      if (!record->struck && (record->kind == BL_RECORD_REPLACED || record->kind == BL_RECORD_ROUND))
        forget_readings (self);
      take_reading (self, record);
    }
  return TRUE;
}

BlFieldSheet *
bl_field_sheet_fill (BlLibrary *library, gint64 id, gint64 job, GError **error)
{
  g_return_val_if_fail (library != NULL, NULL);
  g_autoptr (BlEquipment) equipment = bl_library_get_equipment (library, id, error);
  g_autoptr (BlBoard) joined = equipment != NULL ? bl_library_join_equipment (library, id, NULL, error) : NULL;

  if (joined == NULL)
    return NULL;
  g_autoptr (BlFieldSheet) self = bl_field_sheet_of (joined, equipment);
  if (self == NULL)
    {
      g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID,
                   _ ("%s: the document has no field checks; a sheet needs some"),
                   equipment->title != NULL ? equipment->title : _ ("Equipment without a title"));
      return NULL;
    }
  if (job != 0 && !take_job (self, library, id, job, error))
    return NULL;
  return g_steal_pointer (&self);
}
