/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether a title gives the answer away: "PC2 LED in mark" leaves nothing to ask about the board state "Link held in mark".
 * Words are compared, not what they mean; a question too few costs less than one that answers itself. */
#include "config.h"

#include "bl-quiz-private.h"

#include <string.h>

enum { LEAST_LETTERS = 4 }; /* shorter words stand everywhere: "the", "of" */

/* Four letters, or what a part is called: "K2", "10k". */
static gboolean
tells (const char *word)
{
  gboolean digit = FALSE, letter = FALSE;

  for (const char *c = word; *c != '\0'; c = g_utf8_next_char (c))
    {
      digit = digit || g_unichar_isdigit (g_utf8_get_char (c));
      letter = letter || g_unichar_isalpha (g_utf8_get_char (c));
    }
  return (digit && letter) || (letter && g_utf8_strlen (word, -1) >= LEAST_LETTERS);
}

static gboolean
another_has (const BlQuizQuestion *question, guint place, const char *word)
{
  for (guint i = 0; i < bl_len (question->choices); i++)
    {
      g_auto (GStrv) words = g_str_tokenize_and_fold (((BlQuizChoice *) bl_at (question->choices, i))->words, NULL, NULL);
      if (i != place && g_strv_contains ((const char *const *) words, word))
        return TRUE;
    }
  return FALSE;
}

/* The title has a word that no other choice has. */
static gboolean
points_at (const BlQuizQuestion *question, const char *const *title, guint place)
{
  const BlQuizChoice *choice = bl_at (question->choices, place);
  g_auto (GStrv) words = g_str_tokenize_and_fold (choice->words, NULL, NULL);

  for (guint i = 0; words[i] != NULL; i++)
    if (tells (words[i]) && g_strv_contains (title, words[i]) && !another_has (question, place, words[i]))
      return TRUE;
  return FALSE;
}

gboolean
bl_quiz_title_tells (const BlQuizQuestion *question)
{
  g_return_val_if_fail (question != NULL && question->title != NULL, FALSE);
  g_auto (GStrv) title = g_str_tokenize_and_fold (question->title, NULL, NULL);

  for (guint i = 0; i < bl_len (question->choices); i++)
    if (g_strcmp0 (((BlQuizChoice *) bl_at (question->choices, i))->id, question->answer) == 0)
      return points_at (question, (const char *const *) title, i);
  return FALSE;
}
