/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings of a board that doesn't exist: own events given, links and show events drawn by their
 * chance, the class of every measurement evaluated, a value drawn in it. For drills, and for trying
 * whether a documented board can be diagnosed at all.
 *
 * Every chance is drawn whether it matters or not and in the order of the document, so the same seed
 * gives the same board. */
#include "config.h"

#include "bl-simulate.h"

#include "bl-simulate-private.h"

#include <math.h>
#include <string.h>

#include <glib/gi18n-lib.h>

/* Sets the flags of the own events named. */
static gboolean
set_faults (const BlResponse *response, const char *const *faults, guint8 *own, GError **error)
{
  for (; faults != NULL && *faults != NULL; faults++)
    {
      const char *colon = strchr (*faults, ':');
      g_autofree char *component = colon != NULL ? g_strndup (*faults, (gsize) (colon - *faults)) : NULL;
      int mode = colon != NULL ? bl_response_find (response, component, colon + 1) : -1;

      if (mode < 0)
        {
          g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN,
                       _("there is no failure mode “%s” (expected COMPONENT:MODE)"), *faults);
          return FALSE;
        }
      own[mode] = 1;
    }
  return TRUE;
}

/* Draws which modes are active: own is replaced. */
static void
draw_active (const BlResponse *response, const char *condition, guint8 *own, GRand *random)
{
  const GArray *links = bl_response_links (response);
  g_autofree guint8 *fired = g_new0 (guint8, links->len + 1);

  for (guint i = 0; i < links->len; i++)
    fired[i] = g_rand_double (random) < g_array_index (links, BlResponseLink, i).chance;
  bl_response_spread (response, own, fired, own);
  for (guint i = 0; i < bl_response_n_modes (response); i++)
    if (g_rand_double (random) >= bl_response_chance (response, i, condition))
      own[i] = 0;
}

/* A draw in progress. */
typedef struct
{
  const BlBoard *board;
  const BlResponse *response;
  const guint8 *classes;
  const double *levels; /* one a measurement */
  GRand *random;
  BlEntry **entries; /* one a measurement; NULL: not drawn yet */
  gboolean *begun;
} Draw;

static void draw_reading (Draw *draw, guint index);

/* The band of a measurement that follows another, at the reading drawn for that one. A range or OL
 * is no value to follow: then the limits given hold, as they do when the reading is judged. */
static BlBand *
followed_band (Draw *draw, const BlMeasurement *measurement)
{
  const BlFollows *follows = measurement->expected.follows;
  double value = NAN;

  for (guint i = 0; i < bl_len (draw->board->measurements); i++)
    {
      const BlMeasurement *other = bl_at (draw->board->measurements, i);

      if (g_strcmp0 (other->id, follows->measurement) != 0)
        continue;
      draw_reading (draw, i);
      if (draw->entries[i] != NULL && draw->entries[i]->reading.kind == BL_READING_VALUE)
        value = draw->entries[i]->reading.value;
    }
  return bl_band_resolve (measurement, value, 0, NULL);
}

static void
draw_reading (Draw *draw, guint index)
{
  const BlMeasurement *measurement = bl_at (draw->board->measurements, index);
  const BlBand *band = bl_response_band (draw->response, index);
  g_autoptr (BlBand) at_reading = NULL;
  g_autofree char *text = NULL;
  BlEntry *entry;

  if (draw->begun[index])
    return;
  draw->begun[index] = TRUE;
  if (measurement->expected.follows != NULL)
    at_reading = followed_band (draw, measurement);
  if (at_reading != NULL)
    band = at_reading;
  text = bl_simulate_reading (band, draw->classes[index], draw->levels[index], draw->random);
  entry = bl_entry_new (BL_ENTRY_READING, measurement->id, text);
  if (!bl_reading_parse (text, measurement->measures, &entry->reading, NULL))
    g_warning ("%s: drew “%s”, which is no reading", measurement->id, text);
  draw->entries[index] = entry;
}

static GPtrArray *
draw_readings (const BlBoard *board, const BlResponse *response, const guint8 *active, GRand *random)
{
  GPtrArray *list = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_entry_free);
  guint n = bl_len (board->measurements);
  g_autofree guint8 *classes = g_new0 (guint8, n + 1);
  g_autofree double *levels = NULL;
  g_autofree BlEntry **entries = g_new0 (BlEntry *, n + 1);
  g_autofree gboolean *begun = g_new0 (gboolean, n + 1);
  Draw draw = { board, response, classes, NULL, random, entries, begun };

  bl_response_evaluate (response, active, classes);
  draw.levels = levels = bl_simulate_levels (response, active, classes, random);
  for (guint i = 0; i < n; i++)
    draw_reading (&draw, i);
  for (guint i = 0; i < n; i++)
    g_ptr_array_add (list, entries[i]);
  return list;
}

GPtrArray *
bl_simulate_active (const BlBoard *board, const BlResponse *response, const guint8 *active, guint32 seed)
{
  g_return_val_if_fail (board != NULL && response != NULL && active != NULL, NULL);
  GRand *random = g_rand_new_with_seed (seed);
  GPtrArray *list = draw_readings (board, response, active, random);

  g_rand_free (random);
  return list;
}

GPtrArray *
bl_simulate (const BlBoard *board, const char *const *faults, guint32 seed, const char *condition, GError **error)
{
  g_autoptr (BlResponse) response = NULL;
  g_autofree guint8 *active = NULL;
  GPtrArray *list;
  GRand *random;

  g_return_val_if_fail (board != NULL, NULL);
  response = bl_response_new (board, error);
  if (response == NULL)
    return NULL;
  active = g_new0 (guint8, bl_response_n_modes (response) + 1);
  if (!set_faults (response, faults, active, error))
    return NULL;
  random = g_rand_new_with_seed (seed);
  draw_active (response, condition != NULL ? condition : "", active, random);
  list = draw_readings (board, response, active, random);
  g_rand_free (random);
  return list;
}
