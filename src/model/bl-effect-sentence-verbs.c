/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The clauses of an effect sentence that begin with a verb: what a fault brings about, how often it shows itself,
 * its weight. */
#include "config.h"

#include "bl-effect-sentence-private.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

/* --- what it brings about --- */

/* "(20 %)"; may: there must be one. */
static gboolean
read_chance (BlReader *self, gboolean may, double *chance)
{
  const char *end = self->at;

  bl_reader_skip (self);
  bl_reader_want (self, BL_WANT_CHANCE, NULL);
  if (!bl_reader_take_char (self, '('))
    {
      self->at = end;
      return !may || bl_reader_trouble (self, g_strdup (_ ("say how often it may, as (20 %)")));
    }
  gsize length = bl_sentence_chance (self->at, chance);
  if (length == 0)
    return bl_reader_trouble (self, g_strdup (_ ("a chance lies between 0 % and 100 %")));
  self->at += length;
  bl_reader_skip (self);
  return bl_reader_take_char (self, ')') || bl_reader_trouble (self, g_strdup (_ ("the bracket is not closed")));
}

static gboolean
read_target_mode (BlReader *self, const BlComponent *of, gboolean blows, BlProvokes *link)
{
  const char *end = self->at;

  bl_reader_skip (self);
  bl_reader_want (self, BL_WANT_MODE, of->id);
  g_autoptr (GArray) names = bl_names_modes (self, of->id, self->at);
  if (bl_named_first (names) != NULL)
    {
      self->at += bl_named_first (names)->length;
      link->mode = g_strdup (bl_named_first (names)->id);
      return TRUE;
    }
  if (blows && bl_component_mode (of, "open") != NULL)
    link->mode = g_strdup ("open");
  else if (bl_len (of->modes) == 1)
    link->mode = g_strdup (((BlMode *) bl_at (of->modes, 0))->mode);
  if (link->mode == NULL)
    return bl_reader_trouble (self, g_strdup_printf (_ ("say how %s fails then"), of->id));
  self->at = end;
  return TRUE;
}

static BlProvokes *
read_provokes (BlReader *self, gboolean may, gboolean blows)
{
  g_autoptr (BlProvokes) link = bl_provokes_new ();
  g_autoptr (GArray) names = bl_names_components (self, self->at);
  const BlNamed *named = bl_named_first (names);

  bl_reader_want (self, BL_WANT_COMPONENT, NULL);
  if (named == NULL)
    return bl_reader_trouble (self, g_strdup (_ ("no component of this board is called so"))), NULL;
  if (bl_reader_is_ambiguous (self, names, 0))
    return NULL;
  self->at += named->length;
  link->component = g_strdup (named->id);
  if (!read_target_mode (self, bl_board_component (self->board, named->id), blows, link)
      || !read_chance (self, may, &link->chance))
    return NULL;
  return g_steal_pointer (&link);
}

/* --- how often it shows --- */

static char *
take_condition (BlReader *self)
{
  char *name = NULL;
  gsize length = bl_sentence_quoted (self->at, &name);

  if (length == 0)
    {
      length = strcspn (self->at, ",;");
      name = g_strstrip (g_strndup (self->at, length));
    }
  self->at += length;
  return name;
}

/* One "90 % when wet"; the first may stand without a condition. */
static gboolean
read_show (BlReader *self, BlMode *mode)
{
  double chance = 0;
  gsize length = bl_sentence_chance (self->at, &chance);
  g_autofree char *condition = NULL;

  bl_reader_want (self, BL_WANT_CHANCE, NULL);
  if (length == 0)
    return bl_reader_trouble (self, g_strdup (_ ("say how often, as 50 %, half or nine in ten")));
  self->at += length;
  const char *end = self->at;
  bl_reader_skip (self);
  if (bl_reader_take_word (self, bl_words_time))
    end = self->at;
  if (bl_reader_take_word (self, bl_words_when))
    {
      condition = take_condition (self);
      if (*condition == '\0')
        return bl_reader_trouble (self, g_strdup (_ ("say when, as wet, hot or tapped")));
    }
  else
    self->at = end;
  bl_mode_set_shows (mode, condition != NULL ? condition : "", chance);
  return TRUE;
}

static gboolean
follows_show (BlReader *self)
{
  double chance;
  gsize length;

  bl_reader_take_char (self, ',');
  bl_reader_take_word (self, bl_words_and);
  length = bl_sentence_chance (self->at, &chance);
  if (length == 0)
    return FALSE;
  const char *after = self->at + length;
  after += bl_sentence_blanks (after);
  gsize time = bl_sentence_word (after, bl_words_time);
  if (time > 0)
    after += time + bl_sentence_blanks (after + time);
  return bl_sentence_word (after, bl_words_when) > 0;
}

static gboolean
read_shows (BlReader *self, BlMode *mode)
{
  if (mode->shows != NULL)
    return bl_reader_trouble (self, g_strdup (_ ("how often it shows is said already")));
  if (!read_show (self, mode))
    return FALSE;
  for (;;)
    {
      const char *end = self->at;
      bl_reader_skip (self);
      if (!follows_show (self))
        {
          self->at = end;
          return TRUE;
        }
      if (!read_show (self, mode))
        return FALSE;
    }
}

static gboolean
read_weight (BlReader *self, BlMode *mode)
{
  gsize length = bl_sentence_figure (self->at, &mode->weight);

  if (length == 0)
    return bl_reader_trouble (self, g_strdup (_ ("a weight is a figure: failures in 10⁶ h, as 0.05")));
  self->at += length;
  return TRUE;
}

/* --- all of them --- */

int
bl_reader_read_verb (BlReader *self, BlMode *mode)
{
  const char *start = self->at;
  gboolean may = bl_reader_take_word (self, bl_words_may), blows;
  BlProvokes *link;

  blows = bl_reader_take_word (self, bl_words_blow);
  if (blows || bl_reader_take_word (self, bl_words_bring))
    {
      link = read_provokes (self, may, blows);
      if (link != NULL)
        bl_append (&mode->provokes, link, (GDestroyNotify) bl_provokes_free);
      return link != NULL;
    }
  if (!may && bl_reader_take_word (self, bl_words_shows))
    return read_shows (self, mode);
  if (!may && bl_reader_take_word (self, bl_words_weight))
    return read_weight (self, mode);
  if (!may && bl_reader_take_word (self, bl_words_nothing))
    return 1;
  if (may)
    bl_reader_trouble (self, g_strdup (_ ("may blow what, or bring about what?")));
  self->at = start;
  return -1;
}
