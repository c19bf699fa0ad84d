/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What events played through the network do to what was read, for the fit.
 *
 * What a set of events does to a reading is one byte: the class that shows in order of precedence,
 * times two, plus one when the reading speaks against it. The network is monotone: a further event
 * never makes a byte smaller. */
#include "config.h"

#include "bl-fit-private.h"

#include <string.h>

void
bl_fit_case_free (BlFitCase *self)
{
  if (self == NULL)
    return;
  g_free (self->roots);
  g_free (self->bytes);
  g_free (self->meets);
  g_free (self);
}

void
bl_fit_play (BlFit *fit, const guint *roots, guint n, guint64 *meets)
{
  for (guint i = 0; i < n; i++)
    bl_net_play_fire (&fit->play, roots[i]);
  bl_net_play_run (&fit->play, fit->knot_of, meets);
}

void
bl_fit_read (const BlFit *fit, guint8 *bytes)
{
  memset (bytes, 0, fit->stride);
  for (guint p = 0; p < fit->n_places; p++)
    bytes[p] = fit->bytes[p][fit->play.value[fit->place_node[p]]];
}

void
bl_fit_rewind (BlFit *fit)
{
  bl_net_play_rewind (&fit->play);
}

/* --- places --- */

static void
said_place (BlFit *fit, guint place, const BlSaid *said)
{
  fit->place_node[place] = said->node;
  for (guint v = 0; v < 256; v++)
    fit->bytes[place][v] = (guint8) (2 * (v != 0) + ((v != 0) != said->wants));
}

/* A reading speaks against a class of which less than one in twenty is likely. */
static void
reading_place (BlFit *fit, guint place, const BlSlot *slot)
{
  const BlCauseMeasure *measure = bl_cause_measure (fit->engine->causes, slot->measure);
  const BlVerdict *verdict = slot->judged->verdict;
  guint order = 0;
  fit->place_node[place] = slot->node;
  for (guint code = 0; code < BL_CAUSE_WRONG; code++)
    {
      guint class_index = measure->class_of[code];
      double w = 0;
      if (code > 0 && class_index == measure->good)
        continue;
      for (guint j = 0; j < verdict->n; j++)
        if (strcmp (verdict->classes[j], measure->classes[class_index]) == 0)
          w += verdict->weights[j];
      fit->bytes[place][code] = (guint8) (2 * MIN (order, 127) + !(w >= .05));
      order++;
    }
}

static void
make_places (BlFit *fit)
{
  BlJobCircuit *compiled = fit->compiled;
  guint max = compiled->said->len + compiled->slots->len;
  fit->n_hard = compiled->said->len;
  fit->place_node = g_new0 (guint, max + 1);
  fit->bytes = g_malloc0_n (max + 1, sizeof *fit->bytes);
  for (guint i = 0; i < fit->n_hard; i++)
    said_place (fit, fit->n_places++, &g_array_index (compiled->said, BlSaid, i));
  for (guint i = 0; i < compiled->slots->len; i++)
    if (bl_slot (compiled, i)->judged != NULL)
      reading_place (fit, fit->n_places++, bl_slot (compiled, i));
  fit->stride = (fit->n_places / BL_FIT_CHUNK + 1) * BL_FIT_CHUNK;
}

/* Which places and which knots each node can change, found from the places back. Only a gate that
 * counts is a knot: a link or a show joins what one event provokes, not one event with another. */
static void
make_reach (BlFit *fit)
{
  guint n = fit->network->nodes->len, words;
  fit->knot_of = g_new (guint, n + 1);
  for (guint i = 0; i < n; i++)
    fit->knot_of[i] = bl_net_node (fit->network, i)->kind == BL_NET_COUNT ? fit->n_knots++ : G_MAXUINT;
  words = fit->knot_words = (fit->n_knots + 63) / 64;
  fit->reach = g_new0 (guint64, (gsize) n * words + 1);
  fit->masks = g_new0 (guint8 *, n + 1);
  fit->downstream = g_new0 (guint8 *, fit->n_knots + 1);
  for (guint i = 0; i < n; i++)
    memset (fit->masks[i] = g_malloc (fit->stride), 0xff, fit->stride);
  for (guint p = 0; p < fit->n_places; p++)
    fit->masks[fit->place_node[p]][p] = 0;
  for (guint i = n; i-- > 0;)
    {
      const GArray *out = bl_net_node (fit->network, i)->out;
      guint knot = fit->knot_of[i];
      for (guint o = 0; o < out->len; o++)
        {
          guint to = g_array_index (out, guint, o);
          for (guint b = 0; b < fit->stride; b++)
            fit->masks[i][b] &= fit->masks[to][b];
          for (guint w = 0; w < words; w++)
            fit->reach[(gsize) i * words + w] |= fit->reach[(gsize) to * words + w];
        }
      if (knot == G_MAXUINT)
        continue;
      fit->reach[(gsize) i * words + knot / 64] |= G_GUINT64_CONSTANT (1) << (knot % 64);
      fit->downstream[knot] = fit->masks[i];
    }
}

static void
make_plain (BlFit *fit)
{
  fit->none = g_new0 (BlFitCase, 1);
  fit->none->bytes = g_new (guint8, fit->stride);
  bl_fit_read (fit, fit->none->bytes);
}

void
bl_fit_init (BlFit *fit, BlEngine *engine)
{
  *fit = (BlFit){ .engine = engine, .compiled = engine->compiled,
                .network = engine->compiled->network, .best = G_MAXINT };
  fit->cases = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_fit_case_free);
  fit->knotted = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_fit_case_free);
  fit->known = g_hash_table_new_full (g_bytes_hash, g_bytes_equal, (GDestroyNotify) g_bytes_unref,
                                      NULL);
  fit->quarrel = g_hash_table_new_full (g_bytes_hash, g_bytes_equal,
                                        (GDestroyNotify) g_bytes_unref, NULL);
  bl_net_play_init (&fit->play, fit->network);
  make_places (fit);
  make_reach (fit);
  make_plain (fit);
}

void
bl_fit_clear (BlFit *fit)
{
  g_ptr_array_unref (fit->cases);
  g_ptr_array_unref (fit->knotted);
  g_hash_table_unref (fit->known);
  g_hash_table_unref (fit->quarrel);
  bl_fit_case_free (fit->none);
  for (guint i = 0; i < fit->network->nodes->len; i++)
    g_free (fit->masks[i]);
  g_free (fit->masks);
  g_free (fit->reach);
  g_free (fit->downstream);
  g_free (fit->knot_of);
  g_free (fit->place_node);
  g_free (fit->bytes);
  bl_net_play_clear (&fit->play);
}
