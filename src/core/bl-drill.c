/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is wrong in a fault drill, and what the meter shows there.
 *
 * All first readings are drawn at once by the simulation, so that they belong to one possible board: a rail at a
 * quarter feeds nothing at full value. The drill's meter has a gain of its own within its accuracy, the same for every
 * reading, and its last digits move from one reading to the next; neither carries a reading into another class, for a
 * drill has to be the same whenever it is given. A board has some hundred measurements; a drill is made in
 * milliseconds. What is drawn is bl-drill-draw.c's. */
#include "config.h"

#include "bl-drill-private.h"

#include "bl-places.h"
#include "bl-simulate-private.h"
#include "bl-simulate.h"

#include <string.h>

#include <glib/gi18n-lib.h>

#define METER "0.5%"    /* of a good hand-held meter (common practice, no source) */
#define GAIN 0.003      /* most of it that is the same for all readings */
#define LAST_DIGITS 5e-4 /* most that a reading moves when it is taken again */

static const char *const kind_names[BL_N_DRILL_KINDS] = { "single", "provoked", "two", "misread", "conductor" };

const char *
bl_drill_kind_name (BlDrillKind kind)
{
  g_return_val_if_fail ((guint) kind < BL_N_DRILL_KINDS, NULL);
  return kind_names[kind];
}

gboolean
bl_drill_kind_parse (const char *name, BlDrillKind *kind)
{
  g_return_val_if_fail (name != NULL && kind != NULL, FALSE);
  for (guint i = 0; i < BL_N_DRILL_KINDS; i++)
    if (strcmp (kind_names[i], name) == 0)
      return *kind = (BlDrillKind) i, TRUE;
  return FALSE;
}

void
bl_drill_free (BlDrill *drill)
{
  if (drill == NULL)
    return;
  g_clear_pointer (&drill->engine, bl_engine_free);
  g_mutex_clear (&drill->lock);
  g_clear_pointer (&drill->entries, g_ptr_array_unref);
  g_clear_pointer (&drill->response, bl_response_free);
  g_clear_pointer (&drill->causes, bl_causes_free);
  g_clear_pointer (&drill->board, bl_board_free);
  g_strfreev (drill->faults);
  g_strfreev (drill->victims);
  g_free (drill->own);
  g_free (drill->active);
  g_free (drill->classes);
  g_free (drill->wrong);
  g_free (drill);
}

/* --- making ----------------------------------------------------------------------------------- */

static BlDrill *
drill_begin (const BlBoard *board, guint32 seed, GError **error)
{
  g_autoptr (BlDrill) drill = g_new0 (BlDrill, 1);
  guint n;

  g_mutex_init (&drill->lock);
  drill->board = bl_board_copy (board);
  drill->misread = -1;
  drill->seed = seed;
  drill->response = bl_response_new (drill->board, error);
  if (drill->response == NULL || (drill->causes = bl_causes_new (drill->board, error)) == NULL)
    return NULL;
  n = bl_response_n_modes (drill->response);
  g_assert (n == drill->causes->modes->len); /* both count them in the same order */
  drill->own = g_new0 (guint8, n + 1);
  drill->active = g_new0 (guint8, n + 1);
  drill->classes = g_new0 (guint8, bl_len (drill->board->measurements) + 1);
  return g_steal_pointer (&drill);
}

/* Names of the modes flagged in which and not in without (NULL: none). */
static char **
names_of (const BlDrill *drill, const guint8 *which, const guint8 *without)
{
  g_autoptr (GStrvBuilder) builder = g_strv_builder_new ();

  for (guint i = 0; i < bl_response_n_modes (drill->response); i++)
    if (which[i] && (without == NULL || !without[i]))
      {
        g_autofree char *name = g_strdup_printf ("%s:%s", bl_response_component (drill->response, i),
                                                 bl_response_mode (drill->response, i));
        g_strv_builder_add (builder, name);
      }
  return g_strv_builder_end (builder);
}

void
bl_drill_set_odds (BlBoard *board, gboolean planted)
{
  g_return_if_fail (board != NULL);
  board->odds.elsewhere = 0;
  if (!planted)
    board->odds.other = 0;
}

/* The odds come last: what was drawn was drawn from the board's own. */
static void
drill_end (BlDrill *drill, GRand *random)
{
  bl_drill_set_odds (drill->board, drill->planted);
  bl_response_evaluate (drill->response, drill->active, drill->classes);
  drill->faults = names_of (drill, drill->own, NULL);
  drill->victims = names_of (drill, drill->active, drill->own);
  drill->symptom = bl_drill_symptom_of (drill, drill->active);
  drill->gain = g_rand_double_range (random, -GAIN, GAIN);
  drill->entries = bl_simulate_active (drill->board, drill->response, drill->active, g_rand_int (random));
}

BlDrill *
bl_drill_new (const BlBoard *board, const BlDrillOrder *order, GError **error)
{
  g_return_val_if_fail (board != NULL && order != NULL && (guint) order->kind < BL_N_DRILL_KINDS, NULL);
  g_autoptr (BlDrill) drill = drill_begin (board, order->seed, error);
  g_autoptr (GRand) random = g_rand_new_with_seed (order->seed);

  if (drill == NULL || !bl_drill_draw (drill, order, random, error))
    return NULL;
  drill_end (drill, random);
  if (order->kind == BL_DRILL_MISREAD && !bl_drill_draw_misread (drill, random, error))
    return NULL;
  return g_steal_pointer (&drill);
}

BlDrill *
bl_drill_planted (const BlBoard *board, const char *const *faults, GError **error)
{
  g_return_val_if_fail (board != NULL && faults != NULL, NULL);
  g_autoptr (BlDrill) drill = drill_begin (board, 0, error);
  g_autoptr (GRand) random = g_rand_new_with_seed (0);

  for (; drill != NULL && *faults != NULL; faults++)
    {
      const char *colon = strchr (*faults, ':');
      g_autofree char *component = colon != NULL ? g_strndup (*faults, (gsize) (colon - *faults)) : NULL;
      int mode = colon != NULL ? bl_response_find (drill->response, component, colon + 1) : -1;

      if (mode < 0)
        {
          g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN,
                       _ ("there is no failure mode “%s” (expected COMPONENT:MODE)"), *faults);
          return NULL;
        }
      drill->own[mode] = drill->active[mode] = 1;
    }
  if (drill == NULL)
    return NULL;
  drill->planted = TRUE;
  drill_end (drill, random);
  return g_steal_pointer (&drill);
}

BlEngine *
bl_drill_engine (BlDrill *drill, GError **error)
{
  if (drill->engine == NULL)
    drill->engine = bl_engine_new (drill->board, error);
  return drill->engine;
}

/* --- what is there ---------------------------------------------------------------------------- */

const BlBoard *
bl_drill_board (const BlDrill *drill)
{
  g_return_val_if_fail (drill != NULL, NULL);
  return drill->board;
}

const char *const *
bl_drill_faults (const BlDrill *drill)
{
  g_return_val_if_fail (drill != NULL, NULL);
  return (const char *const *) drill->faults;
}

const char *const *
bl_drill_victims (const BlDrill *drill)
{
  g_return_val_if_fail (drill != NULL, NULL);
  return (const char *const *) drill->victims;
}

const char *
bl_drill_symptom (const BlDrill *drill)
{
  g_return_val_if_fail (drill != NULL, NULL);
  return drill->symptom;
}

gboolean
bl_drill_is_planted (const BlDrill *drill)
{
  g_return_val_if_fail (drill != NULL, FALSE);
  return drill->planted;
}

const char *
bl_drill_meter (const BlDrill *drill)
{
  g_return_val_if_fail (drill != NULL, NULL);
  return drill->planted ? NULL : METER;
}

static const char *
measurement_id (const BlDrill *drill, guint index)
{
  return ((const BlMeasurement *) bl_at (drill->board->measurements, index))->id;
}

const char *
bl_drill_misread (const BlDrill *drill)
{
  g_return_val_if_fail (drill != NULL, NULL);
  return drill->misread < 0 ? NULL : measurement_id (drill, (guint) drill->misread);
}

/* Whether a mode flagged in which is of this component. */
static gboolean
has_mode_of (const BlDrill *drill, const guint8 *which, const char *component)
{
  for (guint i = 0; i < bl_response_n_modes (drill->response); i++)
    if (which[i] && g_strcmp0 (bl_response_component (drill->response, i), component) == 0)
      return TRUE;
  return FALSE;
}

gboolean
bl_drill_is_component (const BlDrill *drill, const char *component)
{
  g_return_val_if_fail (drill != NULL && component != NULL, FALSE);
  return has_mode_of (drill, drill->own, component);
}

gboolean
bl_drill_is_victim (const BlDrill *drill, const char *component)
{
  g_return_val_if_fail (drill != NULL && component != NULL, FALSE);
  return has_mode_of (drill, drill->active, component) && !has_mode_of (drill, drill->own, component);
}

/* Whether this mode is in the stage, or, of no stage, acts on it. */
static gboolean
mode_is_in (const BlDrill *drill, guint mode, const char *stage)
{
  const BlCauseMode *cause = bl_cause_mode (drill->causes, mode);
  int index = bl_causes_find (drill->causes->stage_index, stage);
  int own = bl_cause_part (drill->causes, cause->part)->stage;

  if (index < 0 || own >= 0)
    return index >= 0 && own == index;
  for (guint i = 0; i < cause->effects->len; i++)
    if (g_array_index (cause->effects, BlCauseEffect, i).stage == index)
      return TRUE;
  return FALSE;
}

gboolean
bl_drill_is_stage (const BlDrill *drill, const char *stage)
{
  g_return_val_if_fail (drill != NULL && stage != NULL, FALSE);
  for (guint i = 0; i < bl_response_n_modes (drill->response); i++)
    if (drill->own[i] && mode_is_in (drill, i, stage))
      return TRUE;
  return FALSE;
}

char *
bl_drill_test_part (const BlDrill *drill, const char *component, GError **error)
{
  g_return_val_if_fail (drill != NULL && component != NULL, NULL);

  if (bl_board_component (drill->board, component) == NULL)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("there is no component “%s”"), component);
      return NULL;
    }
  for (guint i = 0; i < bl_response_n_modes (drill->response); i++)
    if (drill->active[i] && g_strcmp0 (bl_response_component (drill->response, i), component) == 0)
      return g_strdup (bl_response_mode (drill->response, i));
  return g_strdup ("good");
}

/* --- reading ---------------------------------------------------------------------------------- */

static int
find_measurement (const BlDrill *drill, const char *id)
{
  return bl_causes_find (drill->causes->measure_index, id);
}

/* The band of a measurement, at the reading of the one it follows. NULL: nothing to judge by. */
static BlBand *
band_of (const BlDrill *drill, guint index)
{
  const BlMeasurement *measurement = bl_at (drill->board->measurements, index);
  const BlFollows *follows = measurement->expected.follows;
  int other = follows != NULL ? find_measurement (drill, follows->measurement) : -1;
  double value = NAN;

  if (other >= 0)
    {
      const BlReading *reading = &((const BlEntry *) bl_at (drill->entries, other))->reading;
      value = reading->kind == BL_READING_VALUE ? reading->value : NAN;
    }
  return bl_band_resolve (measurement, value, 0, NULL);
}

/* The right reading taken for the time'th time: the meter's gain and its last digits. What would carry it out of its
 * class is halved until it does not. */
static char *
read_again (const BlDrill *drill, guint index, guint time)
{
  const BlEntry *entry = bl_at (drill->entries, index);
  g_autoptr (BlBand) band = band_of (drill, index);
  g_autoptr (GRand) random = g_rand_new_with_seed (drill->seed ^ (index * 2654435761u) ^ (time * 40503u));
  double error = drill->gain + g_rand_double_range (random, -LAST_DIGITS, LAST_DIGITS);

  for (guint i = 0; band != NULL && i < 6; i++, error /= 2)
    {
      char *text = bl_simulate_again (band, drill->classes[index], &entry->reading, 1 + error);
      if (text != NULL)
        return text;
    }
  return g_strdup (entry->text);
}

char *
bl_drill_read (const BlDrill *drill, const char *measurement, guint time, GError **error)
{
  g_return_val_if_fail (drill != NULL && measurement != NULL, NULL);
  int index = find_measurement (drill, measurement);

  if (index < 0)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("there is no measurement “%s”"), measurement);
      return NULL;
    }
  if (index == drill->misread && time == 0)
    return g_strdup (drill->wrong);
  return read_again (drill, (guint) index, time);
}
