/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Turns the names of a board into numbers for its direct evaluation (bl-response.c): stages sorted
 * with their feeds first, passes tabulated by mask, classes of measurements put in the order of
 * precedence, effects and links resolved.
 *
 * A document that was validated gives no error here; the checks are for boards made in memory. It is
 * done once per board and takes far less than reading the document. */
#include "config.h"

#include "bl-response-private.h"

#include <string.h>

#include <glib/gi18n-lib.h>

#define N_OTHER 4
/* Modes of the implied component of a stage, in their order. */
static const BlDeviation other_modes[N_OTHER] = { BL_ABSENT, BL_LOW, BL_UNSTEADY, BL_HIGH };

static void
clear_effect (Effect *effect)
{
  g_free (effect->states);
}

static void
clear_mode (Mode *mode)
{
  g_array_unref (mode->effects);
}

void
bl_response_free (BlResponse *response)
{
  if (response == NULL)
    return;
  g_array_unref (response->modes);
  g_array_unref (response->links);
  for (guint i = 0; i < response->n_stages; i++)
    g_free (response->stages[i].feeds);
  for (guint i = 0; i < response->n_measurements; i++)
    {
      bl_band_free (response->measurements[i].band);
      g_free (response->measurements[i].order);
    }
  g_free (response->stages);
  g_free (response->sorted);
  g_free (response->measurements);
  g_strfreev (response->other_ids);
  g_hash_table_unref (response->stage_index);
  g_hash_table_unref (response->measurement_index);
  g_hash_table_unref (response->state_index);
  g_free (response);
}

/* Index of id; -1: it is not there. */
static int
look_up (GHashTable *table, const char *id)
{
  return id != NULL ? GPOINTER_TO_INT (g_hash_table_lookup (table, id)) - 1 : -1;
}

static gboolean
unknown (GError **error, const char *where, const char *what, const char *id)
{
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _("%s: there is no %s “%s”"), where, what,
               id != NULL ? id : "");
  return FALSE;
}

static void
fill_indices (BlResponse *response)
{
  const BlBoard *board = response->board;

  response->stage_index = g_hash_table_new (g_str_hash, g_str_equal);
  response->measurement_index = g_hash_table_new (g_str_hash, g_str_equal);
  response->state_index = g_hash_table_new (g_str_hash, g_str_equal);
  for (guint i = bl_len (board->stages); i > 0; i--)
    g_hash_table_insert (response->stage_index, ((BlStage *) bl_at (board->stages, i - 1))->id,
                         GINT_TO_POINTER (i));
  for (guint i = bl_len (board->measurements); i > 0; i--)
    g_hash_table_insert (response->measurement_index,
                         ((BlMeasurement *) bl_at (board->measurements, i - 1))->id,
                         GINT_TO_POINTER (i));
  for (guint i = bl_len (board->states); i > 0; i--)
    g_hash_table_insert (response->state_index, ((BlState *) bl_at (board->states, i - 1))->id,
                         GINT_TO_POINTER (i));
}

/* What a deviation of a feed becomes: as the feed's own "passes" says, else as the stage's. */
static int
passed_as (const BlStage *stage, const BlFeed *feed, int deviation)
{
  const BlPasses *layers[] = { &feed->passes, &stage->feeds_passes, &stage->passes };

  for (guint i = 0; i < G_N_ELEMENTS (layers); i++)
    if (layers[i]->set && layers[i]->to[deviation] != BL_PASSES_UNCHANGED)
      return layers[i]->to[deviation];
  return deviation;
}

/* Tabulates what each mask at the feed is handed on as. */
static void
fill_passes (Feed *feed, const BlStage *stage, const BlFeed *from)
{
  for (guint mask = 0; mask < G_N_ELEMENTS (feed->to); mask++)
    {
      feed->to[mask] = 0;
      for (int d = 0; d < BL_N_DEVIATIONS; d++)
        {
          int to = passed_as (stage, from, d);

          if ((mask & (1u << d)) && to != BL_IN_BAND)
            feed->to[mask] |= (guint8) (1u << to);
        }
    }
}

static gboolean
fill_stage (BlResponse *response, guint index, GError **error)
{
  const BlStage *from = bl_at (response->board->stages, index);
  Stage *stage = &response->stages[index];

  stage->n_feeds = bl_len (from->feeds);
  stage->feeds = g_new0 (Feed, stage->n_feeds);
  stage->need = from->need == BL_NEED_ANY ? 1 : from->need > 0 ? (guint) from->need : stage->n_feeds;
  for (guint i = 0; i < stage->n_feeds; i++)
    {
      const BlFeed *feed = bl_at (from->feeds, i);
      gboolean port = feed->from != NULL && g_str_has_prefix (feed->from, "port:");

      stage->feeds[i].stage = port ? -1 : look_up (response->stage_index, feed->from);
      if (!port && stage->feeds[i].stage < 0)
        return unknown (error, from->id, _("stage"), feed->from);
      fill_passes (&stage->feeds[i], from, feed);
    }
  if (stage->n_feeds > 0 && stage->need > stage->n_feeds)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID,
                   _("%s: needs %u of %u feeds"), from->id, stage->need, stage->n_feeds);
      return FALSE;
    }
  return TRUE;
}

/* Names the stages of the loop that ends at the last of path. */
static gboolean
fail_loop (BlResponse *response, const GArray *path, guint stage, GError **error)
{
  g_autoptr (GString) names = g_string_new (NULL);
  guint start = 0;

  while (g_array_index (path, guint, start) != stage)
    start++;
  for (guint i = start; i < path->len; i++)
    g_string_append_printf (
      names, "%s, ",
      ((BlStage *) bl_at (response->board->stages, g_array_index (path, guint, i)))->id);
  g_string_truncate (names, names->len - 2);
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _("the feeds form a loop: %s"),
               names->str);
  return FALSE;
}

/* Visits the feeds of a stage, then puts it into sorted. done: 0 not seen, 1 on the path, 2 done. */
static gboolean
sort_from (BlResponse *response, guint stage, guint8 *done, GArray *path, guint *count, GError **error)
{
  if (done[stage] == 2)
    return TRUE;
  if (done[stage] == 1)
    return fail_loop (response, path, stage, error);
  done[stage] = 1;
  g_array_append_val (path, stage);
  for (guint i = 0; i < response->stages[stage].n_feeds; i++)
    if (response->stages[stage].feeds[i].stage >= 0 &&
        !sort_from (response, (guint) response->stages[stage].feeds[i].stage, done, path, count, error))
      return FALSE;
  g_array_set_size (path, path->len - 1);
  done[stage] = 2;
  response->sorted[(*count)++] = stage;
  return TRUE;
}

static gboolean
fill_stages (BlResponse *response, GError **error)
{
  g_autofree guint8 *done = g_new0 (guint8, response->n_stages);
  g_autoptr (GArray) path = g_array_new (FALSE, FALSE, sizeof (guint));
  guint count = 0;

  for (guint i = 0; i < response->n_stages; i++)
    if (!fill_stage (response, i, error))
      return FALSE;
  for (guint i = 0; i < response->n_stages; i++)
    if (!sort_from (response, i, done, path, &count, error))
      return FALSE;
  return TRUE;
}

/* Classes as numbers, by precedence. */
static void
fill_order (Measurement *self, gboolean series)
{
  guint n = self->band->n_classes;

  self->order = g_new0 (guint8, n);
  for (guint i = 0; i < n; i++)
    {
      guint place = 0;

      for (guint j = 0; j < n; j++)
        if (bl_band_rank (self->band, j, series) < bl_band_rank (self->band, i, series))
          place++;
      self->order[place] = (guint8) i;
    }
}

/* The class a deviation of the stage read shows as: by its own name, on a swing absent as still low
 * and unsteady as low, on a check any as deviates. */
static gboolean
fill_from_stage (Measurement *self, const BlMeasurement *from, GError **error)
{
  for (int d = 0; d < BL_N_DEVIATIONS; d++)
    {
      const char *name = bl_deviation_name ((BlDeviation) d);
      int class_index;

      if (from->measures == BL_MEASURES_CHECK)
        name = "deviates";
      else if (from->measures == BL_MEASURES_SWING && d == BL_ABSENT)
        name = "still low";
      else if (from->measures == BL_MEASURES_SWING && d == BL_UNSTEADY)
        name = "low";
      class_index = bl_band_class (self->band, name);
      if (class_index < 0)
        {
          g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID,
                       _("%s: “reads” is not for this kind of measurement"), from->id);
          return FALSE;
        }
      self->from_stage[d] = (guint8) class_index;
    }
  return TRUE;
}

static gboolean
fill_measurement (BlResponse *response, guint index, GError **error)
{
  const BlMeasurement *from = bl_at (response->board->measurements, index);
  const BlFollows *follows = from->expected.follows;
  Measurement *self = &response->measurements[index];
  double at = NAN;
  int state = look_up (response->state_index, from->state);

  if (state < 0)
    return unknown (error, from->id, _("state"), from->state);
  self->state = (guint) state;
  if (follows != NULL && follows->points != NULL && follows->points->len >= 2)
    at = g_array_index (follows->points, double, 0);
  self->band = bl_band_resolve (from, at, 0, error);
  if (self->band == NULL)
    {
      g_prefix_error (error, "%s: ", from->id);
      return FALSE;
    }
  if (self->band->n_classes > 64)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_TOO_HARD, _("%s: more than 64 classes"),
                   from->id);
      return FALSE;
    }
  fill_order (self, from->series == 1);
  self->stage = look_up (response->stage_index, from->reads);
  if (from->reads != NULL && self->stage < 0)
    return unknown (error, from->id, _("stage"), from->reads);
  return self->stage < 0 || fill_from_stage (self, from, error);
}

/* Deviations or classes that an effect names, as bits. */
static gboolean
effect_bits (BlResponse *response, const char *where, const BlEffect *from, Effect *effect, GError **error)
{
  for (char **name = from->is; name != NULL && *name != NULL; name++)
    {
      BlDeviation deviation;
      int bit = -1;

      if (effect->on_measurement)
        bit = bl_band_class (response->measurements[effect->target].band, *name);
      else if (bl_deviation_parse (*name, &deviation) && deviation < BL_N_DEVIATIONS)
        bit = (int) deviation;
      if (bit < 0)
        return unknown (error, where, _("class"), *name);
      effect->bits |= (guint64) 1 << bit;
    }
  return TRUE;
}

static gboolean
effect_states (BlResponse *response, const char *where, const BlEffect *from, Effect *effect, GError **error)
{
  if (from->in == NULL)
    return TRUE;
  effect->states = g_new0 (guint8, response->n_states);
  for (char **id = from->in; *id != NULL; id++)
    {
      int state = look_up (response->state_index, *id);

      if (state < 0)
        {
          g_clear_pointer (&effect->states, g_free);
          return unknown (error, where, _("state"), *id);
        }
      effect->states[state] = 1;
    }
  return TRUE;
}

static gboolean
add_effect (BlResponse *response, Mode *mode, const char *own_stage, const BlEffect *from, GError **error)
{
  const char *on = from->on != NULL ? from->on : own_stage;
  int stage = look_up (response->stage_index, on), measurement = look_up (response->measurement_index, on);
  Effect effect = { stage < 0, 0, 0, NULL };

  if (stage < 0 && measurement < 0)
    return unknown (error, mode->component, _("stage or measurement"), on);
  effect.target = (guint) (stage < 0 ? measurement : stage);
  if (!effect_bits (response, mode->component, from, &effect, error) ||
      !effect_states (response, mode->component, from, &effect, error))
    return FALSE;
  g_array_append_val (mode->effects, effect);
  return TRUE;
}

static Mode *
add_mode (BlResponse *response, const char *component, const char *name, guint component_index)
{
  Mode mode = { component, name, component_index, NULL,
                g_array_new (FALSE, FALSE, sizeof (Effect)) };

  g_array_set_clear_func (mode.effects, (GDestroyNotify) clear_effect);
  g_array_append_val (response->modes, mode);
  return &g_array_index (response->modes, Mode, response->modes->len - 1);
}

static gboolean
fill_modes (BlResponse *response, GError **error)
{
  guint n_components = bl_len (response->board->components);

  for (guint i = 0; i < n_components; i++)
    {
      const BlComponent *component = bl_at (response->board->components, i);

      for (guint j = 0; j < bl_len (component->modes); j++)
        {
          const BlMode *from = bl_at (component->modes, j);
          Mode *mode = add_mode (response, component->id, from->mode, i);

          mode->document = from;
          for (guint k = 0; k < bl_len (from->effects); k++)
            if (!add_effect (response, mode, component->stage, bl_at (from->effects, k), error))
              return FALSE;
        }
    }
  response->other_ids = g_new0 (char *, response->n_stages + 1);
  for (guint i = 0; i < response->n_stages; i++)
    {
      const BlStage *stage = bl_at (response->board->stages, i);

      response->other_ids[i] = bl_stage_other_id (stage->id);
      for (guint j = 0; j < N_OTHER; j++)
        {
          Mode *mode = add_mode (response, response->other_ids[i], bl_deviation_name (other_modes[j]),
                                 n_components + i);
          Effect effect = { FALSE, i, (guint64) 1 << other_modes[j], NULL };

          g_array_append_val (mode->effects, effect);
        }
    }
  return TRUE;
}

static gboolean
fill_links (BlResponse *response, GError **error)
{
  for (guint i = 0; i < response->modes->len; i++)
    {
      const Mode *mode = &g_array_index (response->modes, Mode, i);
      const GPtrArray *list = mode->document != NULL ? mode->document->provokes : NULL;

      for (guint j = 0; j < bl_len (list); j++)
        {
          const BlProvokes *provokes = bl_at (list, j);
          int to = bl_response_find (response, provokes->component, provokes->mode);
          BlResponseLink link = { i, (guint) to, isnan (provokes->chance) ? 1 : provokes->chance };

          if (to < 0)
            return unknown (error, mode->component, _("mode"), provokes->mode);
          g_array_append_val (response->links, link);
        }
    }
  return TRUE;
}

BlResponse *
bl_response_new (const BlBoard *board, GError **error)
{
  g_autoptr (BlResponse) response = NULL;

  g_return_val_if_fail (board != NULL, NULL);
  response = g_new0 (BlResponse, 1);
  response->board = board;
  response->modes = g_array_new (FALSE, FALSE, sizeof (Mode));
  g_array_set_clear_func (response->modes, (GDestroyNotify) clear_mode);
  response->links = g_array_new (FALSE, FALSE, sizeof (BlResponseLink));
  response->n_stages = bl_len (board->stages);
  response->n_states = bl_len (board->states);
  response->n_measurements = bl_len (board->measurements);
  response->stages = g_new0 (Stage, response->n_stages);
  response->sorted = g_new0 (guint, response->n_stages);
  response->measurements = g_new0 (Measurement, response->n_measurements);
  fill_indices (response);
  if (!fill_stages (response, error))
    return NULL;
  for (guint i = 0; i < response->n_measurements; i++)
    if (!fill_measurement (response, i, error))
      return NULL;
  if (!fill_modes (response, error) || !fill_links (response, error))
    return NULL;
  return g_steal_pointer (&response);
}
