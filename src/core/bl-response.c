/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The direct evaluation of a board: active modes in, class of every measurement out.
 *
 * All names are turned into numbers once, and the stages are sorted so that feeds come first; then
 * an evaluation is a walk over bits: one mask of deviations per stage, one mask of classes per
 * measurement. Nothing is allocated per stage, so that every pair of modes can be tried.
 *
 * A stage can have several deviations at once (each is a fact of its own in the fault tree); only a
 * measurement picks one, by precedence. There are no probabilities here except those that are handed
 * on (links, shows). */
#include "config.h"

#include "bl-response-private.h"

#include <string.h>

/* --- Questions -------------------------------------------------------------------------------- */

guint
bl_response_n_modes (const BlResponse *response)
{
  return response->modes->len;
}

int
bl_response_find (const BlResponse *response, const char *component, const char *mode)
{
  for (guint i = 0; i < response->modes->len; i++)
    {
      const Mode *other = &g_array_index (response->modes, Mode, i);

      if (g_strcmp0 (other->component, component) == 0 && g_strcmp0 (other->mode, mode) == 0)
        return (int) i;
    }
  return -1;
}

const char *
bl_response_component (const BlResponse *response, guint mode)
{
  return g_array_index (response->modes, Mode, mode).component;
}

const char *
bl_response_mode (const BlResponse *response, guint mode)
{
  return g_array_index (response->modes, Mode, mode).mode;
}

guint
bl_response_component_index (const BlResponse *response, guint mode)
{
  return g_array_index (response->modes, Mode, mode).component_index;
}

const BlMode *
bl_response_document_mode (const BlResponse *response, guint mode)
{
  return g_array_index (response->modes, Mode, mode).document;
}

double
bl_response_chance (const BlResponse *response, guint mode, const char *condition)
{
  const BlMode *document = g_array_index (response->modes, Mode, mode).document;
  double otherwise = 1;

  if (document == NULL || document->shows == NULL)
    return 1;
  for (guint i = 0; i < document->shows->len; i++)
    {
      const BlShows *entry = &g_array_index (document->shows, BlShows, i);

      if (strcmp (entry->condition, condition) == 0)
        return entry->chance;
      if (*entry->condition == '\0')
        otherwise = entry->chance;
    }
  return otherwise;
}

const GArray *
bl_response_links (const BlResponse *response)
{
  return response->links;
}

const BlBand *
bl_response_band (const BlResponse *response, guint measurement)
{
  return response->measurements[measurement].band;
}

guint
bl_response_state (const BlResponse *response, guint measurement)
{
  return response->measurements[measurement].state;
}

const char *
bl_response_class_name (const BlResponse *response, guint measurement, guint class_index)
{
  return response->measurements[measurement].band->classes[class_index];
}

/* --- Evaluation ------------------------------------------------------------------------------- */

void
bl_response_spread (const BlResponse *response, const guint8 *own, const guint8 *fired, guint8 *present)
{
  gboolean changed = TRUE;

  if (present != own)
    memcpy (present, own, response->modes->len);
  while (changed)
    {
      changed = FALSE;
      for (guint i = 0; i < response->links->len; i++)
        {
          const BlResponseLink *link = &g_array_index (response->links, BlResponseLink, i);

          if (fired[i] && present[link->from] && !present[link->to])
            present[link->to] = changed = TRUE;
        }
    }
}

static gboolean
holds_in (const Effect *effect, int state)
{
  return state < 0 || effect->states == NULL || effect->states[state];
}

/* What the feeds hand on to a stage: d holds when so many feeds are worse than in band up to d that
 * fewer than needed are left, and at least one of them is d itself. */
static guint8
from_feeds (const Stage *stage, const guint8 *masks)
{
  guint up_to[BL_N_DEVIATIONS] = { 0 };
  guint8 any = 0, result = 0;

  for (guint i = 0; i < stage->n_feeds; i++)
    {
      const Feed *feed = &stage->feeds[i];
      guint8 passed = feed->stage < 0 ? 0 : feed->to[masks[feed->stage]];

      any |= passed;
      for (int d = 0; d < BL_N_DEVIATIONS && passed != 0; d++)
        up_to[d] += (passed & ((2u << d) - 1)) != 0;
    }
  for (int d = 0; d < BL_N_DEVIATIONS; d++)
    if ((any & (1u << d)) && up_to[d] >= stage->n_feeds - stage->need + 1)
      result |= (guint8) (1u << d);
  return result;
}

void
bl_response_direct (const BlResponse *response, const guint8 *active, int state, guint8 *masks)
{
  memset (masks, 0, response->n_stages);
  for (guint i = 0; i < response->modes->len; i++)
    {
      const Mode *mode = &g_array_index (response->modes, Mode, i);

      for (guint j = 0; active[i] && j < mode->effects->len; j++)
        {
          const Effect *effect = &g_array_index (mode->effects, Effect, j);

          if (!effect->on_measurement && holds_in (effect, state))
            masks[effect->target] |= (guint8) effect->bits;
        }
    }
}

void
bl_response_stages (const BlResponse *response, const guint8 *active, int state, guint8 *masks)
{
  bl_response_direct (response, active, state, masks);
  for (guint i = 0; i < response->n_stages; i++)
    masks[response->sorted[i]] |= from_feeds (&response->stages[response->sorted[i]], masks);
}

/* Collects the classes that direct effects add to each measurement in its own state. */
static void
direct_classes (const BlResponse *response, const guint8 *active, guint64 *classes)
{
  for (guint i = 0; i < response->modes->len; i++)
    {
      const Mode *mode = &g_array_index (response->modes, Mode, i);

      for (guint j = 0; active[i] && j < mode->effects->len; j++)
        {
          const Effect *effect = &g_array_index (mode->effects, Effect, j);

          if (effect->on_measurement &&
              holds_in (effect, (int) response->measurements[effect->target].state))
            classes[effect->target] |= effect->bits;
        }
    }
}

static guint8
first_class (const Measurement *self, guint64 classes)
{
  for (guint i = 0; i < self->band->n_classes; i++)
    if (classes & ((guint64) 1 << self->order[i]))
      return self->order[i];
  return (guint8) self->band->good;
}

void
bl_response_evaluate (const BlResponse *response, const guint8 *active, guint8 *classes)
{
  g_autofree guint64 *sets = g_new0 (guint64, response->n_measurements);
  g_autofree guint8 *masks = g_new0 (guint8, (gsize) response->n_states * response->n_stages);
  g_autofree guint8 *computed = g_new0 (guint8, response->n_states);

  direct_classes (response, active, sets);
  for (guint i = 0; i < response->n_measurements; i++)
    {
      const Measurement *self = &response->measurements[i];
      guint8 *in_state = masks + (gsize) self->state * response->n_stages;

      if (self->stage >= 0 && !computed[self->state])
        {
          bl_response_stages (response, active, (int) self->state, in_state);
          computed[self->state] = 1;
        }
      for (int d = 0; self->stage >= 0 && d < BL_N_DEVIATIONS; d++)
        if (in_state[self->stage] & (1u << d))
          sets[i] |= (guint64) 1 << self->from_stage[d];
      classes[i] = first_class (self, sets[i]);
    }
}
