/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a slot may be filled with: names from the document, names of the format, or suggestions from
 * the table of kinds. The first choice of a slot that may be left out is always that.
 */
#include "config.h"

#include "bl-slot-private.h"

#include "bl-kinds.h"
#include "bl-part-code.h"
#include "bl-waveform.h"

#include <glib/gi18n-lib.h>
#include <string.h>

static void
choice_free (gpointer data)
{
  BlChoice *choice = data;

  g_free (choice->value);
  g_free (choice->words);
  g_free (choice);
}

/* Takes words. */
static void
add (GPtrArray *choices, const char *value, char *words)
{
  BlChoice *choice = g_new (BlChoice, 1);

  choice->value = g_strdup (value);
  choice->words = words;
  g_ptr_array_add (choices, choice);
}

static void
add_names (GPtrArray *choices, const char *const *names)
{
  for (guint i = 0; names != NULL && names[i] != NULL; i++)
    add (choices, names[i], g_strdup (_ (names[i])));
}

static const char *
title_or_id (const char *title, const char *id)
{
  return title != NULL && *title != '\0' ? title : id;
}

static void
add_states (GPtrArray *choices, const BlBoard *board)
{
  for (guint i = 0; i < bl_len (board->states); i++)
    {
      const BlState *state = bl_at (board->states, i);
      add (choices, state->id, g_strdup (title_or_id (state->title, state->id)));
    }
}

static void
add_stages (GPtrArray *choices, const BlBoard *board, const char *without)
{
  for (guint i = 0; i < bl_len (board->stages); i++)
    {
      const BlStage *stage = bl_at (board->stages, i);
      if (g_strcmp0 (stage->id, without) != 0)
        add (choices, stage->id, g_strdup (title_or_id (stage->title, stage->id)));
    }
}

static void
add_ports (GPtrArray *choices, const BlBoard *board)
{
  for (guint i = 0; i < bl_len (board->ports); i++)
    {
      const BlPort *port = bl_at (board->ports, i);
      g_autofree char *value = g_strconcat ("port:", port->id, NULL);
      add (choices, value, g_strdup_printf (_ ("port %s"), title_or_id (port->title, port->id)));
    }
}

static void
add_measurements (GPtrArray *choices, const BlBoard *board)
{
  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      BlRef ref = bl_ref (BL_ELEMENT_MEASUREMENT, ((BlMeasurement *) bl_at (board->measurements, i))->id);
      add (choices, ref.id, bl_ref_words (board, &ref));
    }
}

/* Those with a value that a band can follow. */
static void
add_followed (GPtrArray *choices, const BlBoard *board, const char *without)
{
  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (board->measurements, i);
      BlRef ref = bl_ref (BL_ELEMENT_MEASUREMENT, measurement->id);
      if (measurement->measures != BL_MEASURES_SWING && measurement->measures != BL_MEASURES_CHECK
          && g_strcmp0 (measurement->id, without) != 0)
        add (choices, ref.id, bl_ref_words (board, &ref));
    }
}

static void
add_points (GPtrArray *choices, const BlBoard *board)
{
  for (guint i = 0; i < bl_len (board->test_points); i++)
    {
      const BlTestPoint *point = bl_at (board->test_points, i);
      gboolean titled = point->title != NULL && *point->title != '\0';
      add (choices, point->id, titled ? g_strdup_printf ("%s %s", point->id, point->title) : g_strdup (point->id));
    }
}

static void
add_targets (GPtrArray *choices, const BlBoard *board, const BlRef *ref)
{
  for (guint c = 0; c < bl_len (board->components); c++)
    {
      const BlComponent *component = bl_at (board->components, c);
      for (guint m = 0; m < bl_len (component->modes); m++)
        {
          const BlMode *mode = bl_at (component->modes, m);
          g_autofree char *value = g_strdup_printf ("%s:%s", component->id, mode->mode);
          if (g_strcmp0 (component->id, ref->id) == 0 && g_strcmp0 (mode->mode, ref->mode) == 0)
            continue;
          add (choices, value, g_strdup_printf ("%s %s", component->id, mode->mode));
        }
    }
}

/* Deviations of a stage, or the classes of a measurement without the good one. */
static void
add_classes (GPtrArray *choices, const BlBoard *board, const char *on)
{
  static const char *const deviations[] = { "absent", "unsteady", "low", "high", NULL };
  const BlMeasurement *measurement = on != NULL ? bl_board_measurement (board, on) : NULL;
  guint good = 0;

  if (measurement == NULL || measurement->measures >= BL_N_MEASURES)
    {
      add_names (choices, deviations);
      return;
    }
  const char *const *classes = bl_measures_classes (measurement->measures, &good);
  for (guint i = 0; classes[i] != NULL; i++)
    if (i != good)
      add (choices, classes[i], g_strdup (_ (classes[i])));
  for (guint i = 0; i < bl_len (measurement->expected.marks); i++)
    {
      const BlMark *mark = bl_at (measurement->expected.marks, i);
      add (choices, mark->id, g_strdup_printf (_ ("at the mark “%s”"), mark->id));
    }
}

static void
add_needs (GPtrArray *choices, const BlStage *stage)
{
  add (choices, "any", g_strdup (_ ("any one of them")));
  for (guint k = 2; stage != NULL && k < bl_len (stage->feeds); k++)
    {
      g_autofree char *value = g_strdup_printf ("%u", k);
      add (choices, value, g_strdup_printf (_ ("%u of them"), k));
    }
  if (stage != NULL && stage->need == 1)
    add (choices, "1", g_strdup (_ ("one of them")));
}

static void
add_measures (GPtrArray *choices)
{
  for (guint i = 0; i < BL_N_MEASURES; i++)
    add (choices, bl_measures_name (i), g_strdup (_ (bl_measures_name (i))));
}

/* The sine is what stands when nothing is said. */
static void
add_waves (GPtrArray *choices)
{
  for (int i = BL_WAVE_SINE + 1; i < BL_N_WAVES; i++)
    add (choices, bl_wave_name ((BlWave) i), g_strdup (_ (bl_wave_name ((BlWave) i))));
}

static void
add_kind_modes (GPtrArray *choices, const BlBoard *board, const BlRef *ref)
{
  const BlComponent *component = bl_board_component (board, ref->id);
  g_autofree const char **modes = component != NULL ? bl_kind_modes (component->kind) : NULL;

  for (guint i = 0; modes != NULL && modes[i] != NULL; i++)
    add (choices, modes[i], g_strdup (modes[i]));
}

/* Slots of fixed names, those of the format or usual ones. */
static const char *const grounds[] = { "hot", "isolated", "mains", "earth", NULL };
static const char *const sides[] = { "front", "back", NULL };
static const char *const passes[] = { "in band", "absent", "unsteady", "low", "high", NULL };
static const char *const yes_no[] = { "yes", "no", NULL };
static const char *const lamps[] = { "operation", "timer", "economy", "fault", "filter", NULL };
static const struct
{
  BlSlot slot;
  const char *const *names;
} fixed[] = {
  { BL_SLOT_LIVE, yes_no },         { BL_SLOT_SERIES, yes_no },       { BL_SLOT_STEADY, yes_no },
  { BL_SLOT_PASS_ABSENT, passes },  { BL_SLOT_PASS_UNSTEADY, passes }, { BL_SLOT_PASS_LOW, passes },
  { BL_SLOT_PASS_HIGH, passes },    { BL_SLOT_GROUND, grounds },      { BL_SLOT_LAMP, lamps },
  { BL_SLOT_SIDE, sides },
};

/* FALSE: the slot has no fixed names. */
static gboolean
add_fixed (GPtrArray *choices, BlSlot slot)
{
  for (guint i = 0; i < G_N_ELEMENTS (fixed); i++)
    if (fixed[i].slot == slot)
      {
        add_names (choices, fixed[i].names);
        return TRUE;
      }
  return FALSE;
}

static void
add_sections (GPtrArray *choices, const BlBoard *board)
{
  for (guint i = 0; i < bl_len (board->sections); i++)
    {
      const BlSection *section = bl_at (board->sections, i);
      add (choices, section->id, g_strdup (title_or_id (section->title, section->id)));
    }
}

static void
add_symptoms (GPtrArray *choices, const BlBoard *board)
{
  for (guint i = 0; i < bl_len (board->symptoms); i++)
    {
      const BlSymptom *symptom = bl_at (board->symptoms, i);
      add (choices, symptom->id, g_strdup (title_or_id (symptom->title, symptom->id)));
    }
}

static void
add_kinds (GPtrArray *choices, const BlRef *ref)
{
  static const char *const of_sections[]
    = { "supply", "relay", "communication", "controller", "sensor", "indicator", "drive", NULL };

  add_names (choices, ref->element == BL_ELEMENT_SECTION ? of_sections : bl_kinds ());
}

/* What the stage or measurement named by the element at hand can show. */
static void
add_classes_of (GPtrArray *choices, const BlBoard *board, const BlRef *ref)
{
  gconstpointer found = bl_ref_find (board, ref);
  const char *on = NULL;

  if (found != NULL)
    on = ref->element == BL_ELEMENT_WHEN ? ((const BlWhen *) found)->on : ((const BlEffect *) found)->on;
  add_classes (choices, board, on);
}

/* Those of a family, with their values. */
static void
add_components (GPtrArray *choices, const BlBoard *board, BlPartFamily family)
{
  for (guint i = 0; i < bl_len (board->components); i++)
    {
      const BlComponent *component = bl_at (board->components, i);
      if (bl_part_family (component->kind) != family)
        continue;
      add (choices, component->id, component->value != NULL ? g_strdup_printf ("%s %s", component->id, component->value)
                                                            : g_strdup (component->id));
    }
}

/* What is read at, in or from: states, points, measurements. */
static void
fill_measured (GPtrArray *choices, const BlBoard *board, const BlRef *ref, BlSlot slot)
{
  if (slot == BL_SLOT_FOLLOWS)
    add_followed (choices, board, ref->id);
  else if (slot == BL_SLOT_DEAD_PROOF)
    add_measurements (choices, board);
  else if (slot == BL_SLOT_CAPACITOR || slot == BL_SLOT_BLEEDER)
    add_components (choices, board, slot == BL_SLOT_CAPACITOR ? BL_PART_CAPACITOR : BL_PART_RESISTOR);
  else if (slot == BL_SLOT_IN || slot == BL_SLOT_STATE)
    add_states (choices, board);
  else if (slot == BL_SLOT_AT || slot == BL_SLOT_BLACK)
    add_points (choices, board);
  else if (slot == BL_SLOT_MEASURES)
    add_measures (choices);
  else if (slot == BL_SLOT_WAVEFORM)
    add_waves (choices);
}

static void
fill (GPtrArray *choices, const BlBoard *board, const BlRef *ref, BlSlot slot)
{
  if (add_fixed (choices, slot))
    return;
  switch (slot)
    {
    case BL_SLOT_KIND:
      add_kinds (choices, ref);
      break;
    case BL_SLOT_SECTION:
      add_sections (choices, board);
      break;
    case BL_SLOT_NEED:
      add_needs (choices, bl_ref_find (board, ref));
      break;
    case BL_SLOT_FROM:
      add_stages (choices, board, ref->id);
      add_ports (choices, board);
      break;
    case BL_SLOT_MODE:
      add_kind_modes (choices, board, ref);
      break;
    case BL_SLOT_STAGE:
    case BL_SLOT_READS:
      add_stages (choices, board, NULL);
      break;
    case BL_SLOT_ON:
      add_stages (choices, board, NULL);
      add_measurements (choices, board);
      break;
    case BL_SLOT_IS:
      add_classes_of (choices, board, ref);
      break;
    case BL_SLOT_TARGET:
      add_targets (choices, board, ref);
      break;
    case BL_SLOT_SYMPTOM:
      add_symptoms (choices, board);
      break;
    default:
      fill_measured (choices, board, ref, slot);
      break;
    }
}

GPtrArray *
bl_slot_choices (const BlBoard *board, const BlRef *ref, BlSlot slot)
{
  g_return_val_if_fail (board != NULL && ref != NULL, NULL);
  const BlSlotInfo *info = bl_slot_info (ref->element, slot);
  GPtrArray *choices = g_ptr_array_new_with_free_func (choice_free);
  g_return_val_if_fail (info != NULL, choices);

  if (info->form == BL_SLOT_FORM_CHOICE && info->left_out != NULL)
    add (choices, "", g_strdup (_ (info->left_out)));
  fill (choices, board, ref, slot);
  return choices;
}
