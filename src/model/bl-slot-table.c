/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The table of slots: one line for each thing that can be said about an element, with how it is kept, what
 * it is called and what stands for it when it is left out.
 */
#include "config.h"

#include "bl-slot-private.h"

#include <glib/gi18n-lib.h>

#define ROW(element, slot, form, kept, Type, member, unit, label, left_out)                        \
  { BL_ELEMENT_##element, BL_SLOT_##slot, BL_SLOT_FORM_##form, BL_KEPT_##kept,                     \
    G_STRUCT_OFFSET (Type, member), unit, label, left_out }
#define SPECIAL(element, slot, form, label, left_out)                                              \
  { BL_ELEMENT_##element, BL_SLOT_##slot, BL_SLOT_FORM_##form, BL_KEPT_SPECIAL, 0, NULL, label, left_out }
#define LIMIT(slot, member, label, left_out)                                                       \
  ROW (MEASUREMENT, slot, TEXT, QUANTITY, BlMeasurement, expected.member, NULL, label, left_out)

static const BlSlotInfo infos[] = {
  ROW (BOARD, MAKER, TEXT, TEXT, BlBoard, maker, NULL, N_ ("maker"), NULL),
  ROW (BOARD, MODEL, TEXT, TEXT, BlBoard, model, NULL, N_ ("model of the unit"), NULL),
  ROW (BOARD, NUMBER, TEXT, TEXT, BlBoard, board_number, NULL, N_ ("board number"), NULL),
  ROW (BOARD, EDITION, TEXT, TEXT, BlBoard, edition, NULL, N_ ("edition"), NULL),
  ROW (BOARD, NOTES, TEXT, TEXT, BlBoard, notes, NULL, N_ ("notes"), NULL),
  SPECIAL (BOARD, MAINS_V, TEXT, N_ ("mains voltage"), N_ ("not said")),
  SPECIAL (BOARD, MAINS_HZ, TEXT, N_ ("mains frequency"), N_ ("not said")),
  ROW (BOARD, ODDS_FAULTS, TEXT, SHARE, BlBoard, odds.faults, NULL, N_ ("faults expected on this board"), "20 %"),
  ROW (BOARD, ODDS_ELSEWHERE, TEXT, SHARE, BlBoard, odds.elsewhere, NULL, N_ ("the fault is not on this board"),
       "15 %"),
  ROW (BOARD, ODDS_OTHER, TEXT, SHARE, BlBoard, odds.other, NULL, N_ ("faults nobody documented"), "10 %"),
  ROW (BOARD, ODDS_SETUP, TEXT, SHARE, BlBoard, odds.setup, NULL, N_ ("black lead or state was wrong"), "1 %"),
  ROW (BOARD, ODDS_MISREPORT, TEXT, SHARE, BlBoard, odds.misreport, NULL, N_ ("a symptom is told wrongly"), "5 %"),
  SPECIAL (STATE, ID, TEXT, N_ ("id"), NULL),
  ROW (STATE, TITLE, TEXT, TEXT, BlState, title, NULL, N_ ("state"), NULL),
  ROW (STATE, LIVE, CHOICE, YES_NO, BlState, live, NULL, N_ ("live"), N_ ("not said")),
  ROW (STATE, VOLTS, TEXT, NUMBER, BlState, volts, "V", N_ ("highest voltage"), N_ ("not said")),
  ROW (STATE, ENTER_S, TEXT, NUMBER, BlState, enter_s, "s", N_ ("time to get there"), "60 s"),
  ROW (STATE, LASTS_S, TEXT, NUMBER, BlState, lasts_s, "s", N_ ("lasts by itself"), N_ ("no limit")),
  ROW (STATE, HOW, TEXT, TEXT, BlState, how, NULL, N_ ("how to get there"), NULL),
  ROW (STATE, DEAD_PROOF, CHOICES, LIST, BlState, dead_proof, NULL, N_ ("proof of dead"), NULL),
  ROW (STATE, CAPACITOR, CHOICE, TEXT, BlState, capacitor, NULL, N_ ("still charged"), N_ ("not said")),
  ROW (STATE, BLEEDER, CHOICE, TEXT, BlState, bleeder, NULL, N_ ("bled by"), N_ ("nothing")),
  SPECIAL (PHOTO, ID, TEXT, N_ ("id"), NULL),
  ROW (PHOTO, TITLE, TEXT, TEXT, BlPhoto, title, NULL, N_ ("title"), NULL),
  ROW (PHOTO, SIDE, CHOICE, TEXT, BlPhoto, side, NULL, N_ ("side"), N_ ("not said")),
  ROW (PHOTO, MM_PER_PX, TEXT, NUMBER, BlPhoto, mm_per_px, "", N_ ("mm per pixel"), N_ ("not said")),
  SPECIAL (LANDMARK, ID, TEXT, N_ ("landmark"), NULL),
  ROW (LANDMARK, NOTES, TEXT, TEXT, BlLandmark, notes, NULL, N_ ("what it is"), NULL),
  SPECIAL (SECTION, ID, TEXT, N_ ("id"), NULL),
  ROW (SECTION, TITLE, TEXT, TEXT, BlSection, title, NULL, N_ ("section"), NULL),
  ROW (SECTION, KIND, SUGGEST, TEXT, BlSection, kind, NULL, N_ ("kind"), NULL),
  SPECIAL (PORT, ID, TEXT, N_ ("id"), NULL),
  ROW (PORT, TITLE, TEXT, TEXT, BlPort, title, NULL, N_ ("port"), NULL),
  SPECIAL (STAGE, ID, TEXT, N_ ("id"), NULL),
  ROW (STAGE, TITLE, TEXT, TEXT, BlStage, title, NULL, N_ ("stage"), NULL),
  ROW (STAGE, SECTION, CHOICE, TEXT, BlStage, section, NULL, N_ ("section"), NULL),
  SPECIAL (STAGE, NEED, CHOICE, N_ ("needs"), N_ ("all of them")),
  ROW (FEED, FROM, CHOICE, TEXT, BlFeed, from, NULL, N_ ("fed by"), NULL),
  SPECIAL (FEED, PASS_ABSENT, CHOICE, N_ ("absent becomes"), N_ ("absent")),
  SPECIAL (FEED, PASS_UNSTEADY, CHOICE, N_ ("unsteady becomes"), N_ ("unsteady")),
  SPECIAL (FEED, PASS_LOW, CHOICE, N_ ("low becomes"), N_ ("low")),
  SPECIAL (FEED, PASS_HIGH, CHOICE, N_ ("high becomes"), N_ ("high")),
  SPECIAL (COMPONENT, ID, TEXT, N_ ("designator"), NULL),
  ROW (COMPONENT, TITLE, TEXT, TEXT, BlComponent, title, NULL, N_ ("title"), NULL),
  ROW (COMPONENT, KIND, SUGGEST, TEXT, BlComponent, kind, NULL, N_ ("kind"), NULL),
  ROW (COMPONENT, VALUE, TEXT, TEXT, BlComponent, value, NULL, N_ ("value"), NULL),
  ROW (COMPONENT, STAGE, CHOICE, TEXT, BlComponent, stage, NULL, N_ ("stage"), NULL),
  ROW (COMPONENT, WEIGHT, TEXT, NUMBER, BlComponent, weight, "", N_ ("failures in 10⁶ h"), N_ ("from the table")),
  ROW (COMPONENT, FACTOR, TEXT, NUMBER, BlComponent, factor, "", N_ ("fails so many times as often"), "1"),
  ROW (COMPONENT, FACTOR_REASON, TEXT, TEXT, BlComponent, factor_reason, NULL, N_ ("because"),
       N_ ("hot spot, age, weak part …")),
  SPECIAL (MODE, MODE, SUGGEST, N_ ("failure mode"), NULL),
  ROW (MODE, WEIGHT, TEXT, NUMBER, BlMode, weight, "", N_ ("weight"), N_ ("from the table")),
  SPECIAL (MODE, SHOWS, TEXT, N_ ("shows itself"), N_ ("always")),
  SPECIAL (SHOW, CONDITION, TEXT, N_ ("when"), NULL),
  SPECIAL (SHOW, CHANCE, TEXT, N_ ("shows itself"), NULL),
  ROW (EFFECT, ON, CHOICE, TEXT, BlEffect, on, NULL, N_ ("on"), N_ ("its own stage")),
  ROW (EFFECT, IS, CHOICES, LIST, BlEffect, is, NULL, N_ ("is"), NULL),
  ROW (EFFECT, IN, CHOICES, LIST, BlEffect, in, NULL, N_ ("in"), N_ ("all states")),
  SPECIAL (PROVOKES, TARGET, CHOICE, N_ ("brings about"), NULL),
  ROW (PROVOKES, CHANCE, TEXT, SHARE, BlProvokes, chance, NULL, N_ ("chance"), "100 %"),
  SPECIAL (TEST_POINT, ID, TEXT, N_ ("name"), NULL),
  ROW (TEST_POINT, TITLE, TEXT, TEXT, BlTestPoint, title, NULL, N_ ("title"), NULL),
  ROW (TEST_POINT, GROUND, CHOICE, TEXT, BlTestPoint, ground, NULL, N_ ("ground"), N_ ("not said")),
  ROW (TEST_POINT, SOURCE_OHM, TEXT, QUANTITY, BlTestPoint, source_ohm, "ohm", N_ ("source resistance"),
       N_ ("not said")),
  SPECIAL (MEASUREMENT, ID, TEXT, N_ ("id"), NULL),
  ROW (MEASUREMENT, TITLE, TEXT, TEXT, BlMeasurement, title, NULL, N_ ("title"), NULL),
  ROW (MEASUREMENT, AT, CHOICE, TEXT, BlMeasurement, at, NULL, N_ ("at"), N_ ("no point")),
  ROW (MEASUREMENT, BLACK, CHOICE, TEXT, BlMeasurement, black, NULL, N_ ("black lead"), N_ ("not said")),
  SPECIAL (MEASUREMENT, MEASURES, CHOICE, N_ ("measures"), NULL),
  ROW (MEASUREMENT, STATE, CHOICE, TEXT, BlMeasurement, state, NULL, N_ ("state"), NULL),
  ROW (MEASUREMENT, READS, CHOICE, TEXT, BlMeasurement, reads, NULL, N_ ("reads the output of"), N_ ("no stage")),
  ROW (MEASUREMENT, EFFORT, TEXT, NUMBER, BlMeasurement, effort_s, "s", N_ ("effort"), "20 s"),
  ROW (MEASUREMENT, MISREAD, TEXT, SHARE, BlMeasurement, misread, NULL, N_ ("misread"), "2 %"),
  ROW (MEASUREMENT, SERIES, CHOICE, YES_NO, BlMeasurement, series, NULL, N_ ("read through a series part"), N_ ("no")),
  ROW (MEASUREMENT, WAVEFORM, CHOICE, TEXT, BlMeasurement, waveform, NULL, N_ ("waveform"), N_ ("sine")),
  ROW (MEASUREMENT, DUTY, TEXT, SHARE, BlMeasurement, duty, NULL, N_ ("on for"), N_ ("not said")),
  SPECIAL (MEASUREMENT, EXPECTED, TEXT, N_ ("expected"), NULL),
  SPECIAL (MEASUREMENT, FOLLOWS, CHOICE, N_ ("band follows"), N_ ("no other")),
  SPECIAL (MEASUREMENT, LINE, TEXT, N_ ("line, other:this"), NULL),
  SPECIAL (MEASUREMENT, LINE_WIDTH, TEXT, N_ ("and ±"), "0 %"),
  LIMIT (ABSENT_BELOW, absent_below, N_ ("absent below"), N_ ("10 % of nominal")),
  LIMIT (SHORTED_BELOW, shorted_below, N_ ("shorted below"), N_ ("10 % of nominal")),
  LIMIT (OPEN_ABOVE, open_above, N_ ("open above"), N_ ("10 × nominal")),
  LIMIT (SPAN_BELOW, span_below, N_ ("still below a span of"), "0"),
  ROW (MEASUREMENT, SOURCE, TEXT, TEXT, BlMeasurement, expected.source, NULL, N_ ("known from"), N_ ("source not said")),
  ROW (MEASUREMENT, NOTES, TEXT, TEXT, BlMeasurement, notes, NULL, N_ ("notes"), NULL),
  SPECIAL (MARK, ID, TEXT, N_ ("mark"), NULL),
  ROW (MARK, LOW, TEXT, QUANTITY, BlMark, low, NULL, N_ ("from"), NULL),
  ROW (MARK, HIGH, TEXT, QUANTITY, BlMark, high, NULL, N_ ("to"), NULL),
  SPECIAL (SYMPTOM, ID, TEXT, N_ ("id"), NULL),
  ROW (SYMPTOM, TITLE, TEXT, TEXT, BlSymptom, title, NULL, N_ ("symptom"), NULL),
  ROW (WHEN, ON, CHOICE, TEXT, BlWhen, on, NULL, N_ ("when"), NULL),
  ROW (WHEN, IS, CHOICES, LIST, BlWhen, is, NULL, N_ ("is"), NULL),
  ROW (WHEN, STATE, CHOICE, TEXT, BlWhen, state, NULL, N_ ("in"), N_ ("any state")),
  ROW (INDICATION, SYMPTOM, CHOICE, TEXT, BlIndication, symptom, NULL, N_ ("shows symptom"), NULL),
  ROW (INDICATION, EDITION, TEXT, TEXT, BlIndication, edition, NULL, N_ ("on edition"), N_ ("every")),
  ROW (LAMP, LAMP, SUGGEST, TEXT, BlLampPattern, lamp, NULL, N_ ("lamp"), NULL),
  ROW (LAMP, BLINKS, TEXT, NUMBER, BlLampPattern, blinks, "", N_ ("blinks"), "–"),
  ROW (LAMP, RATE, TEXT, NUMBER, BlLampPattern, rate_hz, "Hz", N_ ("rate"), "–"),
  ROW (LAMP, STEADY, CHOICE, YES_NO, BlLampPattern, steady, NULL, N_ ("steady"), "–"),
};

const BlSlotInfo *
bl_slot_info (BlElement element, BlSlot slot)
{
  for (guint i = 0; i < G_N_ELEMENTS (infos); i++)
    if (infos[i].element == element && infos[i].slot == slot)
      return &infos[i];
  return NULL;
}

gboolean
bl_slot_exists (BlElement element, BlSlot slot)
{
  return bl_slot_info (element, slot) != NULL;
}

const char *
bl_slot_label (BlElement element, BlSlot slot)
{
  const BlSlotInfo *info = bl_slot_info (element, slot);
  g_return_val_if_fail (info != NULL, "");
  return _ (info->label);
}

const char *
bl_slot_default (BlElement element, BlSlot slot)
{
  const BlSlotInfo *info = bl_slot_info (element, slot);
  return info != NULL && info->left_out != NULL ? _ (info->left_out) : NULL;
}

BlSlotForm
bl_slot_form (const BlRef *ref, BlSlot slot)
{
  const BlSlotInfo *info = bl_slot_info (ref->element, slot);
  g_return_val_if_fail (info != NULL, BL_SLOT_FORM_TEXT);
  return info->form;
}

const char *
bl_slot_unit (const BlBoard *board, const BlRef *ref, const BlSlotInfo *info)
{
  const BlMeasurement *measurement = bl_board_measurement (board, ref->id);

  if (info->unit != NULL || (ref->element != BL_ELEMENT_MEASUREMENT && ref->element != BL_ELEMENT_MARK))
    return info->unit;
  return measurement != NULL && measurement->measures < BL_N_MEASURES ? bl_measures_unit (measurement->measures) : NULL;
}
