/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What Find your way says: the question, and why an answer was right or not, and which
 * keys do something now. */
#include "config.h"

#include "bl-way-words.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-round-head.h"

const char *
bl_way_asks_words (const BlQuizQuestion *question)
{
  gboolean place = question->kind == BL_QUIZ_PLACE;

  switch (question->of)
    {
    case BL_QUIZ_SECTION:
      return place ? _ ("Where is this section?") : _ ("Which section is lit?");
    case BL_QUIZ_STAGE:
      return place ? _ ("Where is this stage?") : _ ("Which stage is lit?");
    case BL_QUIZ_COMPONENT:
      return place ? _ ("Where is this component?") : _ ("Which component is lit?");
    case BL_QUIZ_POINT:
    case BL_QUIZ_MEASUREMENT:
    default:
      return place ? _ ("Where is this test point?") : _ ("Which test point is lit?");
    }
}

static char *
photo_title (BlQuizRound *round, const BlQuizQuestion *question, const char *shown)
{
  const BlBoard *board = bl_quiz_round_get_board (round);
  BlQuizWhere where;
  const BlPhoto *photo = bl_quiz_where (board, question->of, question->id, shown, &where)
                             ? bl_board_photo (board, where.photo)
                             : NULL;

  return photo != NULL ? bl_quiz_round_photo_title (round, photo) : g_strdup ("–");
}

static char *
right_words (const BlQuizQuestion *question, double beside_mm)
{
  if (question->of == BL_QUIZ_SECTION || question->of == BL_QUIZ_STAGE)
    return g_strdup (_ ("Inside its outline."));
  if (isnan (beside_mm)) /* the photo has no scale */
    return g_strdup (_ ("On its place."));
  return g_strdup_printf (_ ("%.1f mm beside its middle."), beside_mm);
}

char *
bl_way_reason_words (BlQuizRound *round, const BlQuizQuestion *question, const BlQuizJudgement *judged,
                     const char *pressed_on, const char *shown)
{
  g_autofree char *there = judged->there != NULL
                               ? bl_quiz_name (bl_quiz_round_get_board (round), question->of, judged->there)
                               : NULL;
  g_autofree char *title = photo_title (round, question, shown);

  if (question->kind == BL_QUIZ_NAME)
    return there != NULL ? g_strdup_printf (_ ("%s is elsewhere. This is %s."), there, question->title)
                         : g_strdup_printf (_ ("This is %s."), question->title);
  if (judged->mark == BL_QUIZ_RIGHT)
    return right_words (question, judged->beside_mm);
  if (judged->other_photo && pressed_on != NULL)
    return g_strdup_printf (_ ("It is on another photo: %s."), title);
  if (pressed_on == NULL)
    return g_strdup_printf (_ ("It is marked now: %s."), title);
  if (there != NULL)
    return isnan (judged->beside_mm) ? g_strdup_printf (_ ("You pressed %s."), there)
                                     : g_strdup_printf (_ ("You pressed %s, %.0f mm away."), there, judged->beside_mm);
  return isnan (judged->beside_mm) ? g_strdup (_ ("Beside it.")) : g_strdup_printf (_ ("%.0f mm away."), judged->beside_mm);
}

void
bl_way_keys_show (GtkWidget *strip, const BlQuizQuestion *question, gboolean digits, const char *turns)
{
  const char *const place[] = { _ ("← → ↑ ↓"), _ ("cross"),       _ ("Shift"), _ ("in small steps"),
                                _ ("Enter"),   _ ("press"),       "0",         _ ("not known"),
                                "F3",          turns,             "+ −",       _ ("larger, smaller"),
                                "Z",           _ ("whole board"), _ ("Esc"),   _ ("back"),
                                NULL };
  const char *const choose[] = { _ ("1 – 6"), _ ("choose"),      _ ("Enter"), _ ("keep"), "0", _ ("not known"),
                                 "F3",        turns,             _ ("Esc"),   _ ("back"), NULL };
  const char *const type[] = { _ ("Enter"), _ ("keep"),        _ ("Tab"), _ ("to the choices"),
                               "F3",        turns,             _ ("Esc"), _ ("back"), NULL };

  bl_round_keys_show (strip, question->kind == BL_QUIZ_PLACE ? place : digits ? choose : type);
}
