/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The board document in memory: making, copying and freeing its elements (by the tables of
 * bl-schema.c), looking them up, the defaults of what was left out, and the names documents use.
 * Look-ups are linear: a board has some hundred elements and a list keeps its order. Reading,
 * writing and the rules are in bl-document-read.c, bl-document-write.c and bl-board-validate.c. */
#include "config.h"

#include "bl-board.h"

#include "bl-kinds.h"
#include "bl-schema.h"

#define ELEMENT(Type, name)                                                                        \
  Type *bl_##name##_new (void)                                                                     \
  {                                                                                                \
    return bl_schema_new (&bl_##name##_schema);                                                    \
  }                                                                                                \
  void bl_##name##_free (Type *self)                                                               \
  {                                                                                                \
    bl_schema_free (&bl_##name##_schema, self);                                                    \
  }                                                                                                \
  Type *bl_##name##_copy (const Type *self)                                                        \
  {                                                                                                \
    return bl_schema_copy (&bl_##name##_schema, self);                                             \
  }

ELEMENT (BlBoard, board)
ELEMENT (BlState, state)
ELEMENT (BlPhoto, photo)
ELEMENT (BlLandmark, landmark)
ELEMENT (BlOutline, outline)
ELEMENT (BlSection, section)
ELEMENT (BlPort, port)
ELEMENT (BlFeed, feed)
ELEMENT (BlStage, stage)
ELEMENT (BlEffect, effect)
ELEMENT (BlProvokes, provokes)
ELEMENT (BlMode, mode)
ELEMENT (BlComponent, component)
ELEMENT (BlTestPoint, test_point)
ELEMENT (BlMark, mark)
ELEMENT (BlFollows, follows)
ELEMENT (BlMeasurement, measurement)
ELEMENT (BlWhen, when)
ELEMENT (BlSymptom, symptom)
ELEMENT (BlLampPattern, lamp_pattern)
ELEMENT (BlIndication, indication)

void
bl_append (GPtrArray **array, gpointer element, GDestroyNotify free_func)
{
  g_return_if_fail (array != NULL && element != NULL);
  if (*array == NULL)
    *array = g_ptr_array_new_with_free_func (free_func);
  g_ptr_array_add (*array, element);
}

void
bl_mode_set_shows (BlMode *mode, const char *condition, double chance)
{
  g_return_if_fail (mode != NULL && condition != NULL);
  for (guint i = 0; mode->shows != NULL && i < mode->shows->len; i++)
    {
      BlShows *shows = &g_array_index (mode->shows, BlShows, i);
      if (g_str_equal (shows->condition, condition))
        {
          shows->chance = chance;
          return;
        }
    }
  bl_chances_add (&mode->shows, condition, chance);
}

double
bl_mode_shows (const BlMode *mode, const char *condition)
{
  g_return_val_if_fail (mode != NULL && condition != NULL, 1);
  double chance = 1;
  for (guint i = 0; mode->shows != NULL && i < mode->shows->len; i++)
    {
      const BlShows *shows = &g_array_index (mode->shows, BlShows, i);
      if (g_str_equal (shows->condition, condition))
        return shows->chance;
      if (shows->condition[0] == '\0')
        chance = shows->chance;
    }
  return chance;
}

/* Every element looked up has its id as first field. */
static gpointer
find (const GPtrArray *array, const char *id)
{
  if (id == NULL)
    return NULL;
  for (guint i = 0; i < bl_len (array); i++)
    {
      gpointer element = bl_at (array, i);
      if (g_strcmp0 (*(char **) element, id) == 0)
        return element;
    }
  return NULL;
}

#define LOOK_UP(Type, name, list)                                                                  \
  G_STATIC_ASSERT (G_STRUCT_OFFSET (Type, id) == 0);                                               \
  Type *bl_board_##name (const BlBoard *board, const char *id)                                     \
  {                                                                                                \
    g_return_val_if_fail (board != NULL, NULL);                                                    \
    return find (board->list, id);                                                                 \
  }

LOOK_UP (BlState, state, states)
LOOK_UP (BlPhoto, photo, photos)
LOOK_UP (BlSection, section, sections)
LOOK_UP (BlPort, port, ports)
LOOK_UP (BlStage, stage, stages)
LOOK_UP (BlComponent, component, components)
LOOK_UP (BlTestPoint, test_point, test_points)
LOOK_UP (BlMeasurement, measurement, measurements)
LOOK_UP (BlSymptom, symptom, symptoms)

G_STATIC_ASSERT (G_STRUCT_OFFSET (BlMode, mode) == 0);
BlMode *
bl_component_mode (const BlComponent *component, const char *mode)
{
  g_return_val_if_fail (component != NULL, NULL);
  return find (component->modes, mode);
}

gboolean
bl_component_acts_on (const BlComponent *component, const char *measurement)
{
  g_return_val_if_fail (component != NULL, FALSE);
  for (guint m = 0; m < bl_len (component->modes); m++)
    {
      const BlMode *mode = bl_at (component->modes, m);
      for (guint e = 0; e < bl_len (mode->effects); e++)
        if (g_strcmp0 (((const BlEffect *) bl_at (mode->effects, e))->on, measurement) == 0)
          return TRUE;
    }
  return FALSE;
}

static double
or_default (double value, double fallback)
{
  return isnan (value) ? fallback : value;
}

BlOdds
bl_board_odds (const BlBoard *board)
{
  return (BlOdds){ or_default (board->odds.faults, 0.2), or_default (board->odds.elsewhere, 0.15),
                   or_default (board->odds.other, 0.1), or_default (board->odds.setup, 0.01),
                   or_default (board->odds.misreport, 0.05) };
}

/* The part of its component's failures that a mode without a weight has. */
static double
prior_share (const BlComponent *component, const BlMode *mode)
{
  double share = bl_kind_share (component->kind, mode->mode);
  return isnan (share) ? 1.0 / MAX (bl_len (component->modes), 1) : share;
}

/* Before the technician's own factor. */
static double
plain_weight (const BlComponent *component, const BlMode *mode)
{
  if (isnan (component->weight))
    return isnan (mode->weight) ? bl_kind_rate (component->kind) * prior_share (component, mode)
                                : mode->weight;
  double sum = 0;
  for (guint i = 0; i < bl_len (component->modes); i++)
    {
      const BlMode *other = bl_at (component->modes, i);
      sum += or_default (other->weight, prior_share (component, other));
    }
  /* All shares written as 0: the component never fails, whatever its weight. */
  if (!(sum > 0))
    return 0;
  return component->weight * or_default (mode->weight, prior_share (component, mode)) / sum;
}

double
bl_board_mode_weight (const BlBoard *board, const BlComponent *component, const BlMode *mode)
{
  g_return_val_if_fail (component != NULL && mode != NULL, 0);
  double weight = plain_weight (component, mode);
  return isnan (component->factor) ? weight : component->factor * weight;
}

static const struct
{
  const char *name, *unit;
} measures_table[BL_N_MEASURES] = {
  [BL_MEASURES_V_DC] = { "V DC", "V" },
  [BL_MEASURES_V_AC] = { "V AC", "V" },
  [BL_MEASURES_V_PP] = { "V pp", "V" },
  [BL_MEASURES_A_DC] = { "A DC", "A" },
  [BL_MEASURES_A_AC] = { "A AC", "A" },
  [BL_MEASURES_HZ] = { "Hz", "Hz" },
  [BL_MEASURES_DEGC] = { "degC", "degC" },
  [BL_MEASURES_F] = { "F", "F" },
  [BL_MEASURES_S] = { "s", "s" },
  [BL_MEASURES_OHM] = { "ohm", "ohm" },
  [BL_MEASURES_ESR] = { "ESR", "ohm" },
  [BL_MEASURES_DIODE] = { "diode", "V" },
  [BL_MEASURES_CONTINUITY] = { "continuity", "ohm" },
  [BL_MEASURES_INSULATION] = { "insulation", "ohm" },
  [BL_MEASURES_SWING] = { "swing", "V" },
  [BL_MEASURES_CHECK] = { "check", NULL },
};

const char *
bl_measures_name (BlMeasures measures)
{
  return measures < BL_N_MEASURES ? measures_table[measures].name : NULL;
}

gboolean
bl_measures_parse (const char *name, BlMeasures *measures)
{
  g_return_val_if_fail (name != NULL && measures != NULL, FALSE);
  for (int i = 0; i < BL_N_MEASURES; i++)
    if (g_str_equal (measures_table[i].name, name))
      {
        *measures = i;
        return TRUE;
      }
  return FALSE;
}

const char *
bl_measures_unit (BlMeasures measures)
{
  return measures < BL_N_MEASURES ? measures_table[measures].unit : NULL;
}

gboolean
bl_measures_is_steady (BlMeasures measures)
{
  return measures <= BL_MEASURES_S;
}

gboolean
bl_measures_is_resistive (BlMeasures measures)
{
  return measures >= BL_MEASURES_OHM && measures <= BL_MEASURES_INSULATION;
}

const char *const *
bl_measures_classes (BlMeasures measures, guint *good)
{
  static const char *const steady[] = { "absent", "low", "in band", "high", "unsteady", NULL };
  static const char *const resistive[]
    = { "shorted", "low", "in band", "high", "open", "unsteady", NULL };
  static const char *const swing[] = { "still low", "still middle", "still high", "low",
                                       "high",      "beyond",       "in band",    NULL };
  static const char *const check[] = { "as expected", "deviates", NULL };
  const gboolean is_swing = measures == BL_MEASURES_SWING, is_check = measures == BL_MEASURES_CHECK;
  if (good != NULL)
    *good = is_swing ? 6 : is_check ? 0 : 2;
  if (is_swing)
    return swing;
  if (is_check)
    return check;
  return bl_measures_is_resistive (measures) ? resistive : steady;
}

static const char *const deviation_names[] = {
  [BL_ABSENT] = "absent", [BL_UNSTEADY] = "unsteady", [BL_LOW] = "low",
  [BL_HIGH] = "high",     [BL_IN_BAND] = "in band",
};

const char *
bl_deviation_name (BlDeviation deviation)
{
  return (guint) deviation < G_N_ELEMENTS (deviation_names) ? deviation_names[deviation] : NULL;
}

gboolean
bl_deviation_parse (const char *name, BlDeviation *deviation)
{
  g_return_val_if_fail (name != NULL && deviation != NULL, FALSE);
  for (guint i = 0; i < G_N_ELEMENTS (deviation_names); i++)
    if (g_str_equal (deviation_names[i], name))
      {
        *deviation = i;
        return TRUE;
      }
  return FALSE;
}

char *
bl_stage_other_id (const char *stage_id)
{
  return g_strconcat (stage_id, "/other", NULL);
}
