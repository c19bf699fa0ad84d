/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * States and stages named by a word of a typed line: by their id, else the beginning of it, else the beginning of a
 * word of their title. Boards have some ten states and some twenty stages.
 */
#include "config.h"

#include "bl-entry-private.h"

#include <string.h>

static gboolean
begins (const char *text, const char *word)
{
  return g_ascii_strncasecmp (text, word, strlen (word)) == 0;
}

static gboolean
title_has (const char *title, const char *word)
{
  g_auto (GStrv) words = g_strsplit_set (title != NULL ? title : "", " ,.:;()/", -1);

  for (guint i = 0; words[i] != NULL; i++)
    if (begins (words[i], word))
      return TRUE;
  return FALSE;
}

/* How well a word names something: 3 its id, 2 the beginning of that, 1 of a word of its title, 0 not. */
static int
fits (const char *word, const char *id, const char *title)
{
  if (g_ascii_strcasecmp (id, word) == 0)
    return 3;
  if (strlen (word) >= 2 && begins (id, word))
    return 2;
  return strlen (word) >= 3 && title_has (title, word) ? 1 : 0;
}

/* The one element of a list that a word names best. *several: another fits as well. Elements begin with their id;
 * title_of gives the rest. */
static gconstpointer
named (const GPtrArray *list, const char *(*title_of) (gconstpointer), const char *word, gconstpointer *several)
{
  gconstpointer best = NULL;
  int most = 0;

  *several = NULL;
  for (guint i = 0; i < bl_len (list); i++)
    {
      gconstpointer element = bl_at (list, i);
      int fit = fits (word, *(char *const *) element, title_of (element));
      if (fit == 0 || fit < most)
        continue;
      *several = fit == most ? best : NULL;
      best = element;
      most = fit;
    }
  return best;
}

static const char *
state_title (gconstpointer state)
{
  return ((const BlState *) state)->title;
}

static const char *
stage_title (gconstpointer stage)
{
  return ((const BlStage *) stage)->title;
}

const BlState *
bl_entry_name_state (const BlBoard *board, const char *word, const BlState **several)
{
  gconstpointer other;
  const BlState *state = named (board->states, state_title, word, &other);

  *several = other;
  return state;
}

const BlStage *
bl_entry_name_stage (const BlBoard *board, const char *word, const BlStage **several)
{
  gconstpointer other;
  const BlStage *stage = named (board->stages, stage_title, word, &other);

  *several = other;
  return stage;
}
