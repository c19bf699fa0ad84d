/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reads an effect sentence. At each clause all names that could begin there are tried, the longest first, so a
 * stage may be called as it likes; a clause that no name begins is one with a verb: bl-effect-sentence-verbs.c. What
 * was understood furthest gives the reason for a refusal, and what could stand there gives the completions: both
 * come from the same reading. Sentences have some ten clauses. */
#include "config.h"

#include "bl-effect-sentence-private.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

/* --- what went wrong --- */

void
bl_reader_want (BlReader *self, BlWant what, const char *on)
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

gboolean
bl_reader_trouble (BlReader *self, char *reason)
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

void
bl_reader_skip (BlReader *self)
{
  self->at += bl_sentence_blanks (self->at);
}

gboolean
bl_reader_take_word (BlReader *self, const char *const *words)
{
  gsize length = bl_sentence_word (self->at, words);

  self->at += length;
  if (length > 0)
    bl_reader_skip (self);
  return length > 0;
}

gboolean
bl_reader_take_char (BlReader *self, char c)
{
  if (*self->at != c)
    return FALSE;
  self->at++;
  bl_reader_skip (self);
  return TRUE;
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
  const BlNamed *found = bl_named_first (names);

  if (found == NULL)
    return FALSE;
  add_class (effect, found->id);
  self->at += found->length;
  return TRUE;
}

static gboolean
read_classes (BlReader *self, const char *on, BlEffect *effect)
{
  bl_reader_skip (self);
  bl_reader_want (self, BL_WANT_CLASS, on);
  if (!take_class (self, on, effect))
    {
      bl_reader_take_word (self, bl_words_is);
      bl_reader_want (self, BL_WANT_CLASS, on);
      if (!take_class (self, on, effect))
        return bl_reader_trouble (self, class_reason (self, on));
    }
  for (;;)
    {
      const char *end = self->at;
      bl_reader_skip (self);
      if (!bl_reader_take_word (self, bl_words_or))
        return TRUE;
      bl_reader_want (self, BL_WANT_CLASS, on);
      if (take_class (self, on, effect))
        continue;
      bl_reader_trouble (self, class_reason (self, on));
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
  const BlNamed *found = bl_named_first (names);

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

  bl_reader_skip (self);
  if (bl_reader_take_word (self, bl_words_or) && take_state (self, effect))
    return TRUE;
  self->at = end;
  bl_reader_skip (self);
  bl_reader_take_char (self, ',');
  bl_reader_take_word (self, bl_words_and);
  if (self->at > end + bl_sentence_blanks (end) && !begins_effect (self) && take_state (self, effect))
    return TRUE;
  self->at = end;
  return FALSE;
}

static gboolean
read_states (BlReader *self, BlEffect *effect)
{
  const char *end = self->at;

  bl_reader_skip (self);
  bl_reader_want (self, BL_WANT_AFTER, NULL);
  if (bl_reader_take_word (self, bl_words_all_states))
    return TRUE;
  if (!bl_reader_take_word (self, bl_words_in))
    return self->at = end, TRUE;
  bl_reader_want (self, BL_WANT_STATE, NULL);
  if (!take_state (self, effect))
    return bl_reader_trouble (self, g_strdup (_ ("no state of this board is called so")));
  while (take_more_state (self, effect))
    ;
  end = self->at;
  bl_reader_skip (self);
  if (!bl_reader_take_word (self, bl_words_only))
    self->at = end;
  return TRUE;
}

gboolean
bl_reader_is_ambiguous (BlReader *self, const GArray *names, guint chosen)
{
  const BlNamed *now = &g_array_index (names, BlNamed, chosen);

  for (guint i = chosen + 1; i < names->len; i++)
    {
      const BlNamed *other = &g_array_index (names, BlNamed, i);
      if (other->length != now->length || other->rank != now->rank || g_strcmp0 (other->id, now->id) == 0)
        continue;
      self->trouble_at = NULL; /* whatever the others lack */
      return !bl_reader_trouble (self, g_strdup_printf (_ ("%s and %s are both called so: write which"), now->id, other->id));
    }
  return FALSE;
}

/* Own: left out in the document. */
static BlEffect *
read_effect (BlReader *self)
{
  const char *start = self->at;
  g_autoptr (GArray) names = bl_names_targets (self, start);

  bl_reader_want (self, BL_WANT_CLAUSE, NULL);
  if (names->len == 0)
    bl_reader_trouble (self, g_strdup (_ ("no stage or measurement of this board is called so")));
  for (guint i = 0; i < names->len; i++)
    {
      const BlNamed *named = &g_array_index (names, BlNamed, i);
      g_autoptr (BlEffect) effect = bl_effect_new ();
      self->at = start + named->length;
      if (!read_classes (self, named->id, effect))
        continue;
      const char *end = self->at;
      self->at = start;
      if (bl_reader_is_ambiguous (self, names, i))
        return NULL;
      self->at = end;
      if (!read_states (self, effect))
        break; /* "in" may only stand before a state: what follows it is no clause of its own */
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

/* --- clauses --- */

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
  verb = bl_reader_read_verb (self, mode);
  return verb == 1;
}

static gboolean
read_clauses (BlReader *self, BlMode *mode)
{
  bl_reader_skip (self);
  if (*self->at == '\0')
    {
      bl_reader_want (self, BL_WANT_CLAUSE, NULL);
      return bl_reader_trouble (self, g_strdup (_ ("say what becomes of which stage or measurement, or “nothing said”")));
    }
  for (;;)
    {
      if (!read_clause (self, mode))
        return FALSE;
      bl_reader_skip (self);
      gboolean parted = FALSE;
      while (bl_reader_take_char (self, ',') || bl_reader_take_char (self, ';') || bl_reader_take_word (self, bl_words_and))
        parted = TRUE;
      bl_reader_take_char (self, '.');
      if (*self->at == '\0' && parted)
        bl_reader_want (self, BL_WANT_CLAUSE, NULL);
      if (*self->at == '\0')
        return TRUE;
      if (!parted)
        return bl_reader_trouble (self, g_strdup (_ ("not understood: a comma goes between what happens")));
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
  bl_reader_skip (self);
  arrow = find_arrow (self->at, &length);
  bl_reader_want (self, BL_WANT_MODE_NAME, self->component->id);
  if (arrow == NULL)
    {
      self->at = self->text + strlen (self->text);
      bl_reader_trouble (self, g_strdup (_ ("after the fault comes an arrow, ->, and what it does")));
      return NULL;
    }
  mode->mode = head_name (self, arrow);
  if (*mode->mode == '\0')
    return bl_reader_trouble (self, g_strdup (_ ("a failure mode needs a name"))), NULL;
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
