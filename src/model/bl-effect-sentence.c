/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reads an effect sentence. At each clause all names that could begin there are tried, the longest first, so a
 * stage may be called as it likes; a clause that no name begins is one with a verb. What was understood
 * furthest gives the reason for a refusal, and what could stand there gives the completions: both come from the
 * same reading. Sentences have some ten clauses. */
#include "config.h"

#include "bl-effect-sentence-private.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

/* --- what went wrong --- */

static void
want (BlReader *self, BlWant what, const char *on)
{
  if (self->want_at == NULL || self->at > self->want_at)
    self->wants = 0;
  else if (self->at < self->want_at)
    return;
  self->want_at = self->at;
  self->wants |= what;
  if (on != NULL)
    self->want_on = on;
}

/* Takes reason. */
static gboolean
trouble (BlReader *self, char *reason)
{
  if (self->trouble_at != NULL && self->at < self->trouble_at)
    {
      g_free (reason);
      return FALSE;
    }
  g_free (self->trouble);
  self->trouble = reason;
  self->trouble_at = self->at;
  return FALSE;
}

static void
skip (BlReader *self)
{
  self->at += bl_sentence_blanks (self->at);
}

static gboolean
take_word (BlReader *self, const char *const *words)
{
  gsize length = bl_sentence_word (self->at, words);

  self->at += length;
  if (length > 0)
    skip (self);
  return length > 0;
}

static gboolean
take_char (BlReader *self, char c)
{
  if (*self->at != c)
    return FALSE;
  self->at++;
  skip (self);
  return TRUE;
}

static const BlNamed *
first (const GArray *names)
{
  return names->len > 0 ? &g_array_index (names, BlNamed, 0) : NULL;
}

/* --- classes --- */

static void
add_class (BlEffect *effect, const char *class)
{
  guint n = effect->is != NULL ? g_strv_length (effect->is) : 0;

  effect->is = g_renew (char *, effect->is, n + 2);
  effect->is[n] = g_strdup (class);
  effect->is[n + 1] = NULL;
  effect->is_list = n > 0;
}

static char *
class_reason (BlReader *self, const char *on)
{
  g_autofree const char **classes = bl_target_classes (self->board, on);
  g_autoptr (GString) words = g_string_new (NULL);

  for (guint i = 0; classes[i] != NULL; i++)
    g_string_append_printf (words, "%s%s", i > 0 ? ", " : "", _ (classes[i]));
  return g_strdup_printf (_ ("%s can be: %s"), on, words->str);
}

static gboolean
take_class (BlReader *self, const char *on, BlEffect *effect)
{
  g_autoptr (GArray) names = bl_names_classes (self, on, self->at);
  const BlNamed *found = first (names);

  if (found == NULL)
    return FALSE;
  add_class (effect, found->id);
  self->at += found->length;
  return TRUE;
}

static gboolean
read_classes (BlReader *self, const char *on, BlEffect *effect)
{
  skip (self);
  want (self, BL_WANT_CLASS, on);
  if (!take_class (self, on, effect))
    {
      take_word (self, bl_words_is);
      want (self, BL_WANT_CLASS, on);
      if (!take_class (self, on, effect))
        return trouble (self, class_reason (self, on));
    }
  for (;;)
    {
      const char *end = self->at;
      skip (self);
      if (!take_word (self, bl_words_or))
        return TRUE;
      want (self, BL_WANT_CLASS, on);
      if (take_class (self, on, effect))
        continue;
      trouble (self, class_reason (self, on));
      self->at = end;
      return FALSE;
    }
}

/* --- effects --- */

static gboolean begins_effect (BlReader *self);

static void
add_state (BlEffect *effect, const char *state)
{
  guint n = effect->in != NULL ? g_strv_length (effect->in) : 0;

  effect->in = g_renew (char *, effect->in, n + 2);
  effect->in[n] = g_strdup (state);
  effect->in[n + 1] = NULL;
}

static gboolean
take_state (BlReader *self, BlEffect *effect)
{
  g_autoptr (GArray) names = bl_names_states (self, self->at);
  const BlNamed *found = first (names);

  if (found == NULL)
    return FALSE;
  add_state (effect, found->id);
  self->at += found->length;
  return TRUE;
}

/* Another state, not the next clause, follows a comma or "and" only where no clause could. */
static gboolean
take_more_state (BlReader *self, BlEffect *effect)
{
  const char *end = self->at;

  skip (self);
  if (take_word (self, bl_words_or) && take_state (self, effect))
    return TRUE;
  self->at = end;
  skip (self);
  take_char (self, ',');
  take_word (self, bl_words_and);
  if (self->at > end + bl_sentence_blanks (end) && !begins_effect (self) && take_state (self, effect))
    return TRUE;
  self->at = end;
  return FALSE;
}

static gboolean
read_states (BlReader *self, BlEffect *effect)
{
  const char *end = self->at;

  skip (self);
  want (self, BL_WANT_AFTER, NULL);
  if (take_word (self, bl_words_all_states))
    return TRUE;
  if (!take_word (self, bl_words_in))
    return self->at = end, TRUE;
  want (self, BL_WANT_STATE, NULL);
  if (!take_state (self, effect))
    return trouble (self, g_strdup (_ ("no state of this board is called so")));
  while (take_more_state (self, effect))
    ;
  end = self->at;
  skip (self);
  if (!take_word (self, bl_words_only))
    self->at = end;
  return TRUE;
}

/* Two things of the same name: which one is meant cannot be known. */
static gboolean
is_ambiguous (BlReader *self, const GArray *names, guint chosen)
{
  const BlNamed *now = &g_array_index (names, BlNamed, chosen);

  for (guint i = chosen + 1; i < names->len; i++)
    {
      const BlNamed *other = &g_array_index (names, BlNamed, i);
      if (other->length != now->length || other->rank != now->rank || g_strcmp0 (other->id, now->id) == 0)
        continue;
      self->trouble_at = NULL; /* whatever the others lack */
      return !trouble (self, g_strdup_printf (_ ("%s and %s are both called so: write which"), now->id, other->id));
    }
  return FALSE;
}

/* Own: left out in the document. */
static BlEffect *
read_effect (BlReader *self)
{
  const char *start = self->at;
  g_autoptr (GArray) names = bl_names_targets (self, start);

  want (self, BL_WANT_CLAUSE, NULL);
  if (names->len == 0)
    trouble (self, g_strdup (_ ("no stage or measurement of this board is called so")));
  for (guint i = 0; i < names->len; i++)
    {
      const BlNamed *named = &g_array_index (names, BlNamed, i);
      g_autoptr (BlEffect) effect = bl_effect_new ();
      self->at = start + named->length;
      if (!read_classes (self, named->id, effect))
        continue;
      const char *end = self->at;
      self->at = start;
      if (is_ambiguous (self, names, i))
        return NULL;
      self->at = end;
      if (!read_states (self, effect))
        return NULL;
      if (g_strcmp0 (named->id, self->component->stage) != 0)
        effect->on = g_strdup (named->id);
      return g_steal_pointer (&effect);
    }
  self->at = start;
  return NULL;
}

/* Looks ahead; nothing of it is told. */
static gboolean
begins_effect (BlReader *self)
{
  g_autoptr (GArray) names = bl_names_targets (self, self->at);

  for (guint i = 0; i < names->len; i++)
    {
      const BlNamed *named = &g_array_index (names, BlNamed, i);
      BlReader ahead = { self->board, self->component, self->text, self->at + named->length };
      g_autoptr (BlEffect) effect = bl_effect_new ();
      gboolean does = read_classes (&ahead, named->id, effect);
      g_free (ahead.trouble);
      if (does)
        return TRUE;
    }
  return FALSE;
}

/* --- what it brings about --- */

/* "(20 %)"; may: there must be one. */
static gboolean
read_chance (BlReader *self, gboolean may, double *chance)
{
  const char *end = self->at;

  skip (self);
  want (self, BL_WANT_CHANCE, NULL);
  if (!take_char (self, '('))
    {
      self->at = end;
      return !may || trouble (self, g_strdup (_ ("say how often it may, as (20 %)")));
    }
  gsize length = bl_sentence_chance (self->at, chance);
  if (length == 0)
    return trouble (self, g_strdup (_ ("a chance lies between 0 % and 100 %")));
  self->at += length;
  skip (self);
  return take_char (self, ')') || trouble (self, g_strdup (_ ("the bracket is not closed")));
}

static gboolean
read_target_mode (BlReader *self, const BlComponent *of, gboolean blows, BlProvokes *link)
{
  const char *end = self->at;

  skip (self);
  want (self, BL_WANT_MODE, of->id);
  g_autoptr (GArray) names = bl_names_modes (self, of->id, self->at);
  if (first (names) != NULL)
    {
      self->at += first (names)->length;
      link->mode = g_strdup (first (names)->id);
      return TRUE;
    }
  if (blows && bl_component_mode (of, "open") != NULL)
    link->mode = g_strdup ("open");
  else if (bl_len (of->modes) == 1)
    link->mode = g_strdup (((BlMode *) bl_at (of->modes, 0))->mode);
  if (link->mode == NULL)
    return trouble (self, g_strdup_printf (_ ("say how %s fails then"), of->id));
  self->at = end;
  return TRUE;
}

static BlProvokes *
read_provokes (BlReader *self, gboolean may, gboolean blows)
{
  g_autoptr (BlProvokes) link = bl_provokes_new ();
  g_autoptr (GArray) names = bl_names_components (self, self->at);
  const BlNamed *named = first (names);

  want (self, BL_WANT_COMPONENT, NULL);
  if (named == NULL)
    return trouble (self, g_strdup (_ ("no component of this board is called so"))), NULL;
  if (is_ambiguous (self, names, 0))
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

  want (self, BL_WANT_CHANCE, NULL);
  if (length == 0)
    return trouble (self, g_strdup (_ ("say how often, as 50 %, half or nine in ten")));
  self->at += length;
  const char *end = self->at;
  skip (self);
  if (take_word (self, bl_words_time))
    end = self->at;
  if (take_word (self, bl_words_when))
    {
      condition = take_condition (self);
      if (*condition == '\0')
        return trouble (self, g_strdup (_ ("say when, as wet, hot or tapped")));
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

  take_char (self, ',');
  take_word (self, bl_words_and);
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
    return trouble (self, g_strdup (_ ("how often it shows is said already")));
  if (!read_show (self, mode))
    return FALSE;
  for (;;)
    {
      const char *end = self->at;
      skip (self);
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
    return trouble (self, g_strdup (_ ("a weight is a figure: failures in 10⁶ h, as 0.05")));
  self->at += length;
  return TRUE;
}

/* --- clauses --- */

/* A clause that begins with a verb. -1: it does not. */
static int
read_verb (BlReader *self, BlMode *mode)
{
  const char *start = self->at;
  gboolean may = take_word (self, bl_words_may), blows;
  BlProvokes *link;

  blows = take_word (self, bl_words_blow);
  if (blows || take_word (self, bl_words_bring))
    {
      link = read_provokes (self, may, blows);
      if (link != NULL)
        bl_append (&mode->provokes, link, (GDestroyNotify) bl_provokes_free);
      return link != NULL;
    }
  if (!may && take_word (self, bl_words_shows))
    return read_shows (self, mode);
  if (!may && take_word (self, bl_words_weight))
    return read_weight (self, mode);
  if (!may && take_word (self, bl_words_nothing))
    return 1;
  if (may)
    trouble (self, g_strdup (_ ("may blow what, or bring about what?")));
  self->at = start;
  return -1;
}

static gboolean
read_clause (BlReader *self, BlMode *mode)
{
  BlEffect *effect = read_effect (self);
  int verb;

  if (effect != NULL)
    {
      bl_append (&mode->effects, effect, (GDestroyNotify) bl_effect_free);
      return TRUE;
    }
  verb = read_verb (self, mode);
  return verb == 1;
}

static gboolean
read_clauses (BlReader *self, BlMode *mode)
{
  skip (self);
  if (*self->at == '\0')
    {
      want (self, BL_WANT_CLAUSE, NULL);
      return trouble (self, g_strdup (_ ("say what becomes of which stage or measurement, or “nothing said”")));
    }
  for (;;)
    {
      if (!read_clause (self, mode))
        return FALSE;
      skip (self);
      gboolean parted = FALSE;
      while (take_char (self, ',') || take_char (self, ';') || take_word (self, bl_words_and))
        parted = TRUE;
      take_char (self, '.');
      if (*self->at == '\0' && parted)
        want (self, BL_WANT_CLAUSE, NULL);
      if (*self->at == '\0')
        return TRUE;
      if (!parted)
        return trouble (self, g_strdup (_ ("not understood: a comma goes between what happens")));
    }
}

/* --- the mode --- */

static const char *
find_arrow (const char *text, gsize *length)
{
  static const char *const arrows[] = { "→", "->", "=>", NULL };
  g_autofree char *quoted = NULL;
  const char *from = text + bl_sentence_quoted (text, &quoted), *best = NULL;

  for (guint i = 0; arrows[i] != NULL; i++)
    {
      const char *found = strstr (from, arrows[i]);
      if (found != NULL && (best == NULL || found < best))
        {
          best = found;
          *length = strlen (arrows[i]);
        }
    }
  return best;
}

/* The mode's name; "K1 open" may have the component in front where no mode is called so. (transfer full) */
static char *
head_name (BlReader *self, const char *end)
{
  g_autofree char *head = g_strstrip (g_strndup (self->at, (gsize) (end - self->at)));
  char *quoted = NULL;
  gsize length = bl_sentence_quoted (head, &quoted);

  if (length > 0 && head[length] == '\0')
    return quoted;
  g_free (quoted);
  length = bl_component_mode (self->component, head) == NULL ? bl_sentence_match (head, self->component->id) : 0;
  if (length > 0 && head[length + bl_sentence_blanks (head + length)] != '\0')
    return g_strstrip (g_strdup (head + length));
  return g_steal_pointer (&head);
}

BlMode *
bl_reader_read (BlReader *self)
{
  g_autoptr (BlMode) mode = bl_mode_new ();
  const char *arrow;
  gsize length = 0;

  self->at = self->text;
  skip (self);
  arrow = find_arrow (self->at, &length);
  want (self, BL_WANT_MODE_NAME, self->component->id);
  if (arrow == NULL)
    {
      self->at = self->text + strlen (self->text);
      trouble (self, g_strdup (_ ("after the fault comes an arrow, ->, and what it does")));
      return NULL;
    }
  mode->mode = head_name (self, arrow);
  if (*mode->mode == '\0')
    return trouble (self, g_strdup (_ ("a failure mode needs a name"))), NULL;
  self->at = arrow + length;
  return read_clauses (self, mode) ? g_steal_pointer (&mode) : NULL;
}

/* "K1 clsed" is refused at “clsed”. */
static char *
place_words (const char *at)
{
  g_autofree char *rest = g_strstrip (g_strdup (at));

  if (*rest == '\0')
    return g_strdup (_ ("at the end"));
  if (g_utf8_strlen (rest, -1) > 24)
    {
      *g_utf8_offset_to_pointer (rest, 22) = '\0';
      return g_strdup_printf (_ ("at “%s…”"), rest);
    }
  return g_strdup_printf (_ ("at “%s”"), rest);
}

BlMode *
bl_mode_from_sentence (const BlBoard *board, const BlComponent *component, const char *text, gsize *place,
                       GError **error)
{
  g_return_val_if_fail (board != NULL && component != NULL && text != NULL, NULL);
  BlReader reader = { board, component, text, text };
  BlMode *mode;

  if (place != NULL)
    *place = 0;
  if (!g_utf8_validate (text, -1, NULL))
    {
      g_set_error_literal (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE, _ ("this is no text"));
      return NULL;
    }
  mode = bl_reader_read (&reader);
  if (mode == NULL)
    {
      g_autofree char *where = place_words (reader.trouble_at);
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE, "%s: %s", where, reader.trouble);
      if (place != NULL)
        *place = (gsize) (reader.trouble_at - text);
    }
  g_free (reader.trouble);
  return mode;
}
