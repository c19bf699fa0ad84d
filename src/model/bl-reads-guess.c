/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which stage a new measurement reads, from what the document says already, so that it need not be said forty
 * times. The surest comes first: the outline the point lies in, the smallest where several do; then what the
 * other measurements at the point read; then words that its title shares with one stage alone. Boards have some
 * twenty stages. It is an offer on the screen, never a rule of the document.
 */
#include "config.h"

#include "bl-reads-guess.h"

#include "bl-find.h"

#include <string.h>

static const BlStage *
by_outline (const BlBoard *board, const BlTestPoint *point)
{
  return point->photo != NULL ? bl_find_stage_at (board, point->photo, point->x, point->y) : NULL;
}

/* --- measurements at the same point --- */

static const BlStage *
by_same_point (const BlBoard *board, const BlTestPoint *point)
{
  const char *found = NULL;

  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      const BlMeasurement *other = bl_at (board->measurements, i);
      if (other->reads == NULL || g_strcmp0 (other->at, point->id) != 0)
        continue;
      if (found != NULL && strcmp (found, other->reads) != 0)
        return NULL;
      found = other->reads;
    }
  return found != NULL ? bl_board_stage (board, found) : NULL;
}

/* --- words --- */

/* Whether a word names something: it has a figure ("k1", "12"), or is no mere word of place. */
static gboolean
is_telling (const char *word)
{
  static const char *const places[] = { "the", "and", "with", "from", "after", "behind", "before", "between", NULL };

  return strpbrk (word, "0123456789") != NULL
         || (g_utf8_strlen (word, -1) >= 3 && !g_strv_contains (places, word));
}

/* (transfer full) */
static char **
telling_words (const char *title)
{
  g_autofree char *lower = g_utf8_strdown (title != NULL ? title : "", -1);
  char **words = g_strsplit_set (lower, " ,.:;()/", -1);
  guint kept = 0;

  for (guint i = 0; words[i] != NULL; i++)
    if (is_telling (words[i]))
      words[kept++] = words[i];
    else
      g_free (words[i]);
  words[kept] = NULL;
  return words;
}

static guint
in_common (char **one, char **two)
{
  guint n = 0;

  for (guint i = 0; one[i] != NULL; i++)
    n += g_strv_contains ((const char *const *) two, one[i]);
  return n;
}

static const BlStage *
by_name (const BlBoard *board, const BlTestPoint *point)
{
  g_auto (GStrv) words = telling_words (point->title);
  const BlStage *found = NULL;
  guint most = 0;

  for (guint i = 0; i < bl_len (board->stages); i++)
    {
      const BlStage *stage = bl_at (board->stages, i);
      g_auto (GStrv) other = telling_words (stage->title);
      guint n = in_common (words, other);

      if (n == most)
        found = NULL; /* two are as likely */
      else if (n > most)
        {
          found = stage;
          most = n;
        }
    }
  return found;
}

/* --- altogether --- */

/* An output is there when the board has power, and a band that begins at nothing tells nothing of it. */
static gboolean
may_read (const BlBoard *board, const BlMeasurement *measurement)
{
  const BlState *state = measurement->state != NULL ? bl_board_state (board, measurement->state) : NULL;
  const BlExpected *expected = &measurement->expected;

  if (bl_measures_is_resistive (measurement->measures) || measurement->measures == BL_MEASURES_F
      || (state != NULL && state->live == 0))
    return FALSE;
  if (!bl_measures_is_steady (measurement->measures))
    return TRUE;
  return bl_quantity_is_set (&expected->nominal) ? expected->nominal.value != 0
                                                 : bl_quantity_is_set (&expected->low) && expected->low.value > 0;
}

const BlStage *
bl_reads_guess (const BlBoard *board, const BlTestPoint *point, const BlMeasurement *measurement, BlReadsWhy *why)
{
  static const BlStage *(*const ways[]) (const BlBoard *, const BlTestPoint *)
    = { by_outline, by_same_point, by_name };
  const BlStage *found = NULL;
  guint way = 0;

  g_return_val_if_fail (board != NULL && measurement != NULL, NULL);
  if (point != NULL && may_read (board, measurement))
    for (way = 0; way < G_N_ELEMENTS (ways) && found == NULL; way++)
      found = ways[way](board, point);
  if (why != NULL)
    *why = found != NULL ? (BlReadsWhy) (BL_READS_OUTLINE + way - 1) : BL_READS_NOTHING;
  return found;
}
