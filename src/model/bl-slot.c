/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Reading and writing slots as text. Most slots are a plain member of their struct and need one line in
 * the table of bl-slot-table.c; the others have code of their own below. Text is what a technician types:
 * a decimal comma or point, a unit or none, per cent or a share.
 */
#include "config.h"

#include "bl-slot-private.h"

#include "bl-board-edit.h"
#include "bl-expected.h"
#include "bl-waveform.h"

#include <glib/gi18n-lib.h>
#include <stdlib.h>
#include <string.h>

/* --- numbers --- */

static char *
number_text (double value, const char *unit)
{
  char text[64];

  if (isnan (value))
    return g_strdup ("");
  g_snprintf (text, sizeof text, "%.9g", value);
  return unit != NULL && *unit != '\0' ? g_strdup_printf ("%s %s", text, unit) : g_strdup (text);
}

static char *
share_text (double value)
{
  return isnan (value) ? g_strdup ("") : g_strdup_printf ("%.9g %%", 100 * value);
}

static gboolean
fail (GError **error, const char *text, const char *reason)
{
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE, "“%s”: %s", text, reason);
  return FALSE;
}

static gboolean
number_from_text (const char *text, const char *unit, double *value, GError **error)
{
  if (*text == '\0')
    {
      *value = NAN;
      return TRUE;
    }
  return bl_quantity_parse (text, unit, value, error);
}

static gboolean
share_from_text (const char *text, double *value, GError **error)
{
  g_autofree char *number = g_strdup (text);
  double scale = 1;

  if (*text == '\0')
    {
      *value = NAN;
      return TRUE;
    }
  if (g_str_has_suffix (number, "%"))
    {
      number[strlen (number) - 1] = '\0';
      scale = 0.01;
    }
  if (!bl_quantity_parse (g_strstrip (number), "", value, error))
    return FALSE;
  *value *= scale;
  return (*value >= 0 && *value <= 1)
         || fail (error, text, _ ("a chance lies between 0 and 1, or 0 % and 100 %"));
}

static gboolean
quantity_from_text (const char *text, const char *unit, BlQuantity *quantity, GError **error)
{
  double value = NAN;

  if (*text != '\0' && !bl_quantity_parse (text, unit, &value, error))
    return FALSE;
  bl_quantity_clear (quantity);
  quantity->value = value;
  quantity->text = *text != '\0' ? bl_quantity_with_point (text) : NULL;
  return TRUE;
}

/* --- slots with code of their own --- */

static char *
need_text (const BlStage *stage)
{
  if (stage->need == BL_NEED_ANY)
    return g_strdup ("any");
  return stage->need > 0 ? g_strdup_printf ("%d", stage->need) : g_strdup ("");
}

static gboolean
set_need (BlStage *stage, const char *text, GError **error)
{
  int k = atoi (text);

  if (*text != '\0' && strcmp (text, "any") != 0 && strcmp (text, "all") != 0 && k < 1)
    return fail (error, text, _ ("expected all, any or a number of feeds"));
  stage->need = *text == '\0' ? BL_NEED_LEFT_OUT
                : strcmp (text, "any") == 0 ? BL_NEED_ANY
                : strcmp (text, "all") == 0 ? BL_NEED_ALL : k;
  stage->has_feeds = TRUE;
  return TRUE;
}

static gboolean
set_pass (BlFeed *feed, guint deviation, const char *text, GError **error)
{
  BlDeviation to;

  if (*text == '\0')
    feed->passes.to[deviation] = BL_PASSES_UNCHANGED;
  else if (bl_deviation_parse (text, &to))
    feed->passes.to[deviation] = (int) to;
  else
    return fail (error, text, _ ("expected in band, absent, unsteady, low or high"));
  feed->passes.set = FALSE;
  for (guint i = 0; i < BL_N_DEVIATIONS; i++)
    feed->passes.set |= feed->passes.to[i] != BL_PASSES_UNCHANGED;
  feed->object |= feed->passes.set;
  return TRUE;
}

static char *
special_text (const BlBoard *board, const BlRef *ref, BlSlot slot, gconstpointer found)
{
  switch (slot)
    {
    case BL_SLOT_ID:
      if (ref->element == BL_ELEMENT_LANDMARK)
        return g_strdup (((const BlLandmark *) found)->id);
      return g_strdup (ref->element == BL_ELEMENT_MARK ? ((const BlMark *) found)->id : ref->id);
    case BL_SLOT_FOLLOWS:
    case BL_SLOT_LINE:
    case BL_SLOT_LINE_WIDTH:
      return bl_follows_text (found, slot);
    case BL_SLOT_MODE:
      return g_strdup (ref->mode);
    case BL_SLOT_MAINS_V:
      return number_text (board->has_mains ? board->mains_voltage : NAN, "V");
    case BL_SLOT_MAINS_HZ:
      return number_text (board->has_mains ? board->mains_frequency : NAN, "Hz");
    case BL_SLOT_NEED:
      return need_text (found);
    case BL_SLOT_PASS_ABSENT:
    case BL_SLOT_PASS_UNSTEADY:
    case BL_SLOT_PASS_LOW:
    case BL_SLOT_PASS_HIGH:
      {
        const BlFeed *feed = found;
        int to = feed->passes.set ? feed->passes.to[slot - BL_SLOT_PASS_ABSENT] : BL_PASSES_UNCHANGED;
        return g_strdup (to == BL_PASSES_UNCHANGED ? "" : bl_deviation_name ((BlDeviation) to));
      }
    case BL_SLOT_SHOWS:
      return share_text (bl_mode_shows (found, ""));
    case BL_SLOT_CONDITION:
      return g_strdup (((const BlShows *) found)->condition);
    case BL_SLOT_CHANCE:
      return share_text (((const BlShows *) found)->chance);
    case BL_SLOT_TARGET:
      return g_strdup_printf ("%s:%s", ((const BlProvokes *) found)->component, ((const BlProvokes *) found)->mode);
    case BL_SLOT_MEASURES:
      {
        const BlMeasurement *measurement = found;
        return g_strdup (measurement->measures < BL_N_MEASURES ? bl_measures_name (measurement->measures) : "");
      }
    case BL_SLOT_EXPECTED:
      return bl_expected_to_text (found);
    default:
      g_return_val_if_reached (NULL);
    }
}

char *
bl_slot_get (const BlBoard *board, const BlRef *ref, BlSlot slot)
{
  g_return_val_if_fail (board != NULL && ref != NULL, NULL);
  const BlSlotInfo *info = bl_slot_info (ref->element, slot);
  gpointer found = bl_ref_find (board, ref);
  g_return_val_if_fail (info != NULL, NULL);

  if (found == NULL)
    return g_strdup ("");
  gpointer member = G_STRUCT_MEMBER_P (found, info->offset);
  switch (info->kept)
    {
    case BL_KEPT_TEXT:
      return g_strdup (*(char **) member != NULL ? *(char **) member : "");
    case BL_KEPT_NUMBER:
      return number_text (*(double *) member, info->unit);
    case BL_KEPT_SHARE:
      return share_text (*(double *) member);
    case BL_KEPT_QUANTITY:
      {
        const BlQuantity *quantity = member;
        if (quantity->text != NULL || !bl_quantity_is_set (quantity))
          return g_strdup (quantity->text != NULL ? quantity->text : "");
        return bl_quantity_to_text (quantity->value, bl_slot_unit (board, ref, info), 9);
      }
    case BL_KEPT_YES_NO:
      return g_strdup (*(int *) member < 0 ? "" : *(int *) member ? "yes" : "no");
    case BL_KEPT_LIST:
      return *(char ***) member != NULL ? g_strjoinv ("\t", *(char ***) member) : g_strdup ("");
    case BL_KEPT_SPECIAL:
    default:
      return special_text (board, ref, slot, found);
    }
}

/* --- writing --- */

static gboolean
set_id (BlBoard *board, const BlRef *ref, const char *text, GError **error)
{
  static const struct
  {
    BlElement element;
    BlKind kind;
  } kinds[] = {
    { BL_ELEMENT_STATE, BL_KIND_STATE },         { BL_ELEMENT_PHOTO, BL_KIND_PHOTO },
    { BL_ELEMENT_SECTION, BL_KIND_SECTION },     { BL_ELEMENT_STAGE, BL_KIND_STAGE },
    { BL_ELEMENT_COMPONENT, BL_KIND_COMPONENT }, { BL_ELEMENT_TEST_POINT, BL_KIND_TEST_POINT },
    { BL_ELEMENT_MEASUREMENT, BL_KIND_MEASUREMENT },
  };

  if (*text == '\0')
    return fail (error, text, _ ("a name is needed"));
  if (strpbrk (text, " \t/:") != NULL)
    return fail (error, text, _ ("no blank, “/” or “:” in a name"));
  if (g_strcmp0 (text, ref->id) == 0)
    return TRUE;
  for (guint i = 0; i < G_N_ELEMENTS (kinds); i++)
    if (kinds[i].element == ref->element)
      {
        if (bl_board_has (board, kinds[i].kind, text))
          return fail (error, text, _ ("this name is taken"));
        bl_board_rename (board, kinds[i].kind, ref->id, text);
        return TRUE;
      }
  g_return_val_if_fail (ref->element == BL_ELEMENT_SYMPTOM || ref->element == BL_ELEMENT_PORT, FALSE);
  BlRef other = bl_ref (ref->element, text);
  if (bl_ref_find (board, &other) != NULL)
    return fail (error, text, _ ("this name is taken"));
  if (ref->element == BL_ELEMENT_PORT)
    bl_board_rename_port (board, ref->id, text);
  else
    bl_board_rename_symptom (board, ref->id, text);
  return TRUE;
}

static gboolean
set_mark_name (BlBoard *board, const BlRef *ref, const BlMark *mark, const char *text, GError **error)
{
  if (*text == '\0')
    return fail (error, text, _ ("a mark needs a name, as “about half”"));
  if (g_strcmp0 (text, mark->id) == 0)
    return TRUE;
  const BlMeasurement *measurement = bl_board_measurement (board, ref->id);
  for (guint i = 0; i < bl_len (measurement->expected.marks); i++)
    if (g_strcmp0 (((BlMark *) bl_at (measurement->expected.marks, i))->id, text) == 0)
      return fail (error, text, _ ("this measurement has a mark of that name"));
  bl_board_rename_mark (board, ref->id, mark->id, text);
  return TRUE;
}

static gboolean
set_landmark_name (BlBoard *board, const BlRef *ref, BlLandmark *landmark, const char *text, GError **error)
{
  const BlPhoto *photo = bl_board_photo (board, ref->id);

  if (*text == '\0')
    return fail (error, text, _ ("a name is needed"));
  for (guint i = 0; i < bl_len (photo->landmarks); i++)
    if (i != ref->index && g_strcmp0 (((BlLandmark *) bl_at (photo->landmarks, i))->id, text) == 0)
      return fail (error, text, _ ("this name is taken"));
  g_free (landmark->id);
  landmark->id = g_strdup (text);
  return TRUE;
}

static gboolean
set_mode_name (BlBoard *board, const BlRef *ref, BlMode *mode, const char *text, GError **error)
{
  if (*text == '\0')
    return fail (error, text, _ ("a failure mode needs a name"));
  if (g_strcmp0 (text, mode->mode) == 0)
    return TRUE;
  if (bl_component_mode (bl_board_component (board, ref->id), text) != NULL)
    return fail (error, text, _ ("this component has a mode of that name"));
  bl_board_rename_mode (board, ref->id, ref->mode, text);
  return TRUE;
}

static gboolean
set_target (BlProvokes *provokes, const char *text, GError **error)
{
  g_auto (GStrv) halves = g_strsplit (text, ":", 2);

  if (g_strv_length (halves) != 2)
    return fail (error, text, _ ("expected a component and a mode of it"));
  g_free (provokes->component);
  g_free (provokes->mode);
  provokes->component = g_strdup (halves[0]);
  provokes->mode = g_strdup (halves[1]);
  return TRUE;
}

static gboolean
set_measures (BlMeasurement *measurement, const char *text, GError **error)
{
  BlMeasures measures;

  if (!bl_measures_parse (text, &measures))
    return fail (error, text, _ ("expected a kind of measurement"));
  if (measurement->measures == measures)
    return TRUE;
  /* What was expected stays where the unit is the same; volts mean nothing in ohms. */
  g_autofree char *expected = bl_expected_to_text (measurement);
  if (g_strcmp0 (bl_measures_unit (measurement->measures), bl_measures_unit (measures)) != 0
      || measures == BL_MEASURES_SWING || measurement->measures == BL_MEASURES_SWING)
    g_clear_pointer (&expected, g_free);
  if (measures > BL_MEASURES_A_AC)
    {
      g_clear_pointer (&measurement->waveform, g_free);
      measurement->duty = NAN;
    }
  bl_quantity_clear (&measurement->expected.absent_below);
  bl_quantity_clear (&measurement->expected.shorted_below);
  bl_quantity_clear (&measurement->expected.open_above);
  bl_quantity_clear (&measurement->expected.span_below);
  measurement->measures = measures;
  if (!bl_expected_from_text (measurement, expected != NULL ? expected : "", error))
    return FALSE;
  measurement->has_expected = expected != NULL && *expected != '\0';
  return TRUE;
}

static gboolean
set_chance (BlShows *shows, const char *text, GError **error)
{
  double chance;

  if (!share_from_text (text, &chance, error))
    return FALSE;
  shows->chance = isnan (chance) ? 1 : chance;
  return TRUE;
}

static gboolean
set_special (BlBoard *board, const BlRef *ref, BlSlot slot, gpointer found, const char *text, GError **error)
{
  double value;

  switch (slot)
    {
    case BL_SLOT_FOLLOWS:
    case BL_SLOT_LINE:
    case BL_SLOT_LINE_WIDTH:
      return bl_follows_set (board, found, slot, text, error);
    case BL_SLOT_ID:
      if (ref->element == BL_ELEMENT_LANDMARK)
        return set_landmark_name (board, ref, found, text, error);
      return ref->element == BL_ELEMENT_MARK ? set_mark_name (board, ref, found, text, error)
                                             : set_id (board, ref, text, error);
    case BL_SLOT_MODE:
      return set_mode_name (board, ref, found, text, error);
    case BL_SLOT_MAINS_V:
    case BL_SLOT_MAINS_HZ:
      if (!number_from_text (text, slot == BL_SLOT_MAINS_V ? "V" : "Hz", &value, error))
        return FALSE;
      *(slot == BL_SLOT_MAINS_V ? &board->mains_voltage : &board->mains_frequency) = value;
      board->has_mains = !isnan (board->mains_voltage) || !isnan (board->mains_frequency);
      return TRUE;
    case BL_SLOT_NEED:
      return set_need (found, text, error);
    case BL_SLOT_PASS_ABSENT:
    case BL_SLOT_PASS_UNSTEADY:
    case BL_SLOT_PASS_LOW:
    case BL_SLOT_PASS_HIGH:
      return set_pass (found, slot - BL_SLOT_PASS_ABSENT, text, error);
    case BL_SLOT_SHOWS:
      if (!share_from_text (text, &value, error))
        return FALSE;
      bl_mode_set_shows (found, "", isnan (value) ? 1 : value);
      return TRUE;
    case BL_SLOT_CONDITION:
      if (*text == '\0')
        return fail (error, text, _ ("a condition needs a name, as “wet” or “hot”"));
      g_free (((BlShows *) found)->condition);
      ((BlShows *) found)->condition = g_strdup (text);
      return TRUE;
    case BL_SLOT_CHANCE:
      return set_chance (found, text, error);
    case BL_SLOT_TARGET:
      return set_target (found, text, error);
    case BL_SLOT_MEASURES:
      return set_measures (found, text, error);
    case BL_SLOT_EXPECTED:
      return bl_expected_from_text (found, text, error);
    default:
      g_return_val_if_reached (FALSE);
    }
}

static gboolean
set_yes_no (int *flag, const char *text, GError **error)
{
  if (*text == '\0')
    *flag = -1;
  else if (g_ascii_strcasecmp (text, "yes") == 0 || strcmp (text, _ ("yes")) == 0)
    *flag = 1;
  else if (g_ascii_strcasecmp (text, "no") == 0 || strcmp (text, _ ("no")) == 0)
    *flag = 0;
  else
    return fail (error, text, _ ("expected yes or no"));
  return TRUE;
}

static void
set_list (char ***list, const char *text)
{
  g_strfreev (*list);
  *list = *text != '\0' ? g_strsplit (text, "\t", -1) : NULL;
}

/* Marks of structs that say how a list or group is written in the document. */
static void
after_set (BlBoard *board, const BlRef *ref, BlSlot slot, gpointer found)
{
  if (ref->element == BL_ELEMENT_EFFECT && slot == BL_SLOT_IS)
    ((BlEffect *) found)->is_list = ((BlEffect *) found)->is != NULL && ((BlEffect *) found)->is[0] != NULL
                                    && ((BlEffect *) found)->is[1] != NULL;
  else if (ref->element == BL_ELEMENT_WHEN && slot == BL_SLOT_IS)
    ((BlWhen *) found)->is_list = ((BlWhen *) found)->is != NULL && ((BlWhen *) found)->is[0] != NULL
                                  && ((BlWhen *) found)->is[1] != NULL;
  else if (ref->element == BL_ELEMENT_BOARD && slot >= BL_SLOT_ODDS_FAULTS && slot <= BL_SLOT_ODDS_MISREPORT)
    board->has_odds = TRUE;
  else if (ref->element == BL_ELEMENT_MEASUREMENT && slot == BL_SLOT_WAVEFORM
           && g_strcmp0 (((BlMeasurement *) found)->waveform, bl_wave_name (BL_WAVE_PULSE)) != 0)
    ((BlMeasurement *) found)->duty = NAN;
  else if (ref->element == BL_ELEMENT_MEASUREMENT && slot >= BL_SLOT_EXPECTED && slot <= BL_SLOT_SOURCE)
    ((BlMeasurement *) found)->has_expected = TRUE;
}

gboolean
bl_slot_set (BlBoard *board, const BlRef *ref, BlSlot slot, const char *text, GError **error)
{
  g_return_val_if_fail (board != NULL && ref != NULL && text != NULL, FALSE);
  const BlSlotInfo *info = bl_slot_info (ref->element, slot);
  gpointer found = bl_ref_find (board, ref);
  g_autofree char *trimmed = g_strstrip (g_strdup (text));
  gboolean done = TRUE;
  g_return_val_if_fail (info != NULL, FALSE);

  if (found == NULL)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("It is not there any more"));
      return FALSE;
    }
  gpointer member = G_STRUCT_MEMBER_P (found, info->offset);
  if (info->kept == BL_KEPT_TEXT)
    {
      g_free (*(char **) member);
      *(char **) member = *trimmed != '\0' ? g_steal_pointer (&trimmed) : NULL;
    }
  else if (info->kept == BL_KEPT_NUMBER)
    done = number_from_text (trimmed, info->unit, member, error);
  else if (info->kept == BL_KEPT_SHARE)
    done = share_from_text (trimmed, member, error);
  else if (info->kept == BL_KEPT_QUANTITY)
    done = quantity_from_text (trimmed, bl_slot_unit (board, ref, info), member, error);
  else if (info->kept == BL_KEPT_YES_NO)
    done = set_yes_no (member, trimmed, error);
  else if (info->kept == BL_KEPT_LIST)
    set_list (member, trimmed);
  else
    done = set_special (board, ref, slot, found, trimmed, error);
  if (done)
    after_set (board, ref, slot, found);
  return done;
}
