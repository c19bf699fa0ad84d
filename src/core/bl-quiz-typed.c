/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names that are typed instead of chosen. Somebody with a probe in hand types "link" for "Link to the wall unit": what can
 * mean one thing only is taken. A title has a few words, a board some hundred of them. */
#include "config.h"

#include "bl-quiz-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

enum { LEAST_TYPED = 2, MOST_TOLD = 4 }; /* characters that mean something; names told where several are meant */

/* "5 V" of "TP5, 5 V". */
static const char *
title_of (const char *name, const char *id)
{
  return g_str_has_prefix (name, id) && name[strlen (id)] == ',' ? name + strlen (id) + 2 : name;
}

static gboolean
same_words (const char *folded, const char *words)
{
  g_autofree char *other = words != NULL ? g_utf8_casefold (words, -1) : NULL;
  return g_strcmp0 (folded, other) == 0;
}

/* Its id, its title, or both as they are shown. */
static gboolean
is_called (const BlBoard *board, BlQuizOf of, const char *id, const char *folded)
{
  g_autofree char *name = bl_quiz_name (board, of, id);

  return same_words (folded, id) || same_words (folded, name) || same_words (folded, title_of (name, id));
}

/* The whole name, for which there is one answer. (transfer none); NULL: none is called so. */
static const char *
called (const BlBoard *board, const BlQuizQuestion *question, BlQuizOf of, const char *folded)
{
  for (guint i = 0; i < bl_len (question->choices); i++)
    {
      const BlQuizChoice *choice = bl_at (question->choices, i);
      if (same_words (folded, choice->id) || same_words (folded, choice->words))
        return choice->id;
    }
  if (question->kind == BL_QUIZ_NAME && is_called (board, of, question->id, folded))
    return question->id;
  for (guint i = 0; (question->kind == BL_QUIZ_NAME || of == BL_QUIZ_POINT) && i < bl_len (bl_quiz_list (board, of)); i++)
    if (is_called (board, of, bl_quiz_id_at (board, of, i), folded))
      return bl_quiz_id_at (board, of, i);
  return NULL;
}

static gboolean
ends_word (const char *text)
{
  return *text == '\0' || !g_unichar_isalnum (g_utf8_get_char (text));
}

/* A title begins with it, or has it as a word or several. */
static gboolean
stands_in (const char *folded, const char *title)
{
  g_autofree char *words = g_utf8_casefold (title, -1);

  if (g_str_has_prefix (words, folded))
    return TRUE;
  for (const char *found = strstr (words, folded); found != NULL; found = strstr (found + 1, folded))
    if (ends_word (g_utf8_prev_char (found)) && ends_word (found + strlen (folded)))
      return TRUE;
  return FALSE;
}

/* An id alone is no title: TP1 does not mean TP12. */
static void
add_meant (GPtrArray *ids, const BlBoard *board, BlQuizOf of, const char *id, const char *folded)
{
  g_autofree char *name = bl_quiz_name (board, of, id);

  if (strcmp (name, id) != 0 && stands_in (folded, title_of (name, id)))
    g_ptr_array_add (ids, (gpointer) id);
}

/* What a part of a name may mean: of what is offered, else of the whole board. (transfer container) */
static GPtrArray *
meant (const BlBoard *board, const BlQuizQuestion *question, BlQuizOf of, const char *folded)
{
  GPtrArray *ids = g_ptr_array_new ();

  if (question->kind != BL_QUIZ_NAME || g_utf8_strlen (folded, -1) < LEAST_TYPED)
    return ids;
  for (guint i = 0; i < bl_len (question->choices); i++)
    add_meant (ids, board, of, ((BlQuizChoice *) bl_at (question->choices, i))->id, folded);
  for (guint i = 0, n = ids->len > 0 ? 0 : bl_len (bl_quiz_list (board, of)); i < n; i++)
    add_meant (ids, board, of, bl_quiz_id_at (board, of, i), folded);
  return ids;
}

static void
set_several (GError **error, const BlBoard *board, BlQuizOf of, const GPtrArray *ids, const char *text)
{
  g_autoptr (GString) names = g_string_new (NULL);

  for (guint i = 0; i < MIN (ids->len, (guint) MOST_TOLD); i++)
    {
      g_autofree char *name = bl_quiz_name (board, of, bl_at (ids, i));
      g_string_append_printf (names, "%s%s", i > 0 ? "; " : "", name);
    }
  g_string_append (names, ids->len > MOST_TOLD ? "; …" : "");
  /* Translators: what was typed, and the names that it may mean, with ; between */
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE, _ ("“%s” may mean several: %s."), text, names->str);
}

BlQuizJudgement *
bl_quiz_judge_typed (const BlBoard *board, const BlQuizQuestion *question, const char *text, GError **error)
{
  g_return_val_if_fail (board != NULL && question != NULL && text != NULL, NULL);
  g_autofree char *stripped = g_strstrip (g_strdup (text)), *folded = g_utf8_casefold (stripped, -1);
  BlQuizOf of = question->kind == BL_QUIZ_BLACK ? BL_QUIZ_POINT : question->of;
  const char *id = called (board, question, of, folded);

  if (id != NULL)
    return bl_quiz_judge_choice (question, id);
  g_autoptr (GPtrArray) ids = meant (board, question, of, folded);
  if (ids->len == 1)
    return bl_quiz_judge_choice (question, bl_at (ids, 0));
  if (ids->len > 1)
    set_several (error, board, of, ids, stripped);
  else
    g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE, _ ("Nothing here is called “%s”."), stripped);
  return NULL;
}

gboolean
bl_quiz_has_digit_names (const BlBoard *board, const BlQuizQuestion *question)
{
  g_return_val_if_fail (board != NULL && question != NULL, FALSE);

  for (guint i = 0; i < bl_len (question->choices); i++)
    if (g_ascii_isdigit (((BlQuizChoice *) bl_at (question->choices, i))->words[0]))
      return TRUE;
  for (guint i = 0; i < bl_len (bl_quiz_list (board, question->of)); i++)
    {
      g_autofree char *name = bl_quiz_name (board, question->of, bl_quiz_id_at (board, question->of, i));
      if (g_ascii_isdigit (name[0]))
        return TRUE;
    }
  return FALSE;
}
