/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Questions: what is asked, what is offered beside the right answer, and whether an answer is right.
 *
 * What is offered is plausible: of the same kind, of the same section before others. It stands in the order of the
 * document, which tells nothing. Values are judged by the band, as on the bench; what is close to it is told apart,
 * since a technician who says 5 V where 4.8 is the limit knows the board. Where things are is bl-quiz-place.c's. */
#include "config.h"

#include "bl-quiz-private.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#include "bl-spacing.h"

enum { MOST_CHOICES = 6, LEAST_CHOICES = 2 };

/* --- memory --- */

static void
choice_free (gpointer data)
{
  BlQuizChoice *choice = data;

  g_free (choice->id);
  g_free (choice->words);
  g_free (choice);
}

void
bl_quiz_question_free (BlQuizQuestion *question)
{
  if (question == NULL)
    return;
  g_free (question->id);
  g_free (question->title);
  g_free (question->topic);
  g_free (question->answer);
  g_clear_pointer (&question->choices, g_ptr_array_unref);
  g_free (question);
}

BlQuizJudgement *
bl_quiz_judgement_new (void)
{
  BlQuizJudgement *self = g_new0 (BlQuizJudgement, 1);

  self->beside_mm = NAN;
  self->reading.reverse = NAN;
  return self;
}

void
bl_quiz_judgement_free (BlQuizJudgement *judgement)
{
  if (judgement == NULL)
    return;
  g_free (judgement->there);
  g_clear_pointer (&judgement->band, bl_band_free);
  g_clear_pointer (&judgement->verdict, bl_verdict_free);
  g_free (judgement);
}

/* --- things of a board --- */

const GPtrArray *
bl_quiz_list (const BlBoard *board, BlQuizOf of)
{
  switch (of)
    {
    case BL_QUIZ_SECTION:
      return board->sections;
    case BL_QUIZ_STAGE:
      return board->stages;
    case BL_QUIZ_COMPONENT:
      return board->components;
    case BL_QUIZ_POINT:
      return board->test_points;
    case BL_QUIZ_MEASUREMENT:
    default:
      return board->measurements;
    }
}

const char *
bl_quiz_id_at (const BlBoard *board, BlQuizOf of, guint i)
{
  gpointer element = bl_at (bl_quiz_list (board, of), i);

  switch (of)
    {
    case BL_QUIZ_SECTION:
      return ((BlSection *) element)->id;
    case BL_QUIZ_STAGE:
      return ((BlStage *) element)->id;
    case BL_QUIZ_COMPONENT:
      return ((BlComponent *) element)->id;
    case BL_QUIZ_POINT:
      return ((BlTestPoint *) element)->id;
    case BL_QUIZ_MEASUREMENT:
    default:
      return ((BlMeasurement *) element)->id;
    }
}

static gboolean
is_ordered (const BlBoard *board, const BlQuizOrder *order, BlQuizOf of, const char *id)
{
  const BlSection *section = bl_quiz_section (board, of, id);

  if (order->sections == NULL || order->sections[0] == NULL)
    return TRUE;
  return section != NULL && g_strv_contains (order->sections, section->id);
}

/* What the meter shows there can be told from the document. */
static BlBand *
band_of (const BlBoard *board, const char *id)
{
  const BlMeasurement *measurement = bl_board_measurement (board, id);

  if (measurement == NULL || !measurement->has_expected || measurement->measures == BL_MEASURES_CHECK
      || measurement->measures == BL_N_MEASURES)
    return NULL;
  return bl_band_resolve_on (board, measurement, NAN, 0, NULL);
}

/* --- which of several measurements is meant --- */

/* The fact that a question asks for; NULL: the document does not say. (transfer none) */
static const char *
fact_of (const BlMeasurement *measurement, BlQuizKind kind)
{
  if (kind == BL_QUIZ_METER)
    return measurement->measures < BL_N_MEASURES ? bl_measures_name (measurement->measures) : NULL;
  return kind == BL_QUIZ_STATE ? measurement->state : measurement->black;
}

/* The words begin with the title, and it ends there: "Rail 1" does not begin "Rail 12". No title begins any. */
static gboolean
begins (const char *words, const char *title)
{
  if (!g_str_has_prefix (words, title))
    return FALSE;
  const char *rest = words + strlen (title);
  return *title == '\0' || *rest == '\0' || !g_unichar_isalnum (g_utf8_get_char (rest));
}

/* Others that what is asked may mean as well: at the same point, with a title that begins with the one of this.
 * (transfer container) GPtrArray of BlMeasurement */
static GPtrArray *
twins_of (const BlBoard *board, const BlMeasurement *measurement)
{
  GPtrArray *twins = g_ptr_array_new ();
  g_autofree char *title = g_utf8_casefold (measurement->title != NULL ? measurement->title : "", -1);

  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      BlMeasurement *other = bl_at (board->measurements, i);
      g_autofree char *words = g_utf8_casefold (other->title != NULL ? other->title : "", -1);
      if (other != measurement && g_strcmp0 (other->at, measurement->at) == 0 && begins (words, title))
        g_ptr_array_add (twins, other);
    }
  return twins;
}

/* Takes those out that a fact tells from this one. TRUE: there were any, so the fact has to be told. */
static gboolean
tell_apart (GPtrArray *twins, const BlMeasurement *measurement, BlQuizKind kind)
{
  guint before = twins->len;

  for (guint i = twins->len; i-- > 0;)
    if (g_strcmp0 (fact_of (bl_at (twins, i), kind), fact_of (measurement, kind)) != 0)
      g_ptr_array_remove_index (twins, i);
  return twins->len < before;
}

static gboolean
has_double (const BlBoard *board, const BlMeasurement *measurement)
{
  g_autoptr (GPtrArray) twins = twins_of (board, measurement);

  for (BlQuizKind kind = BL_QUIZ_STATE; kind <= BL_QUIZ_BLACK; kind++)
    tell_apart (twins, measurement, kind);
  return twins->len > 0;
}

char *
bl_quiz_fact (const BlBoard *board, const char *measurement, BlQuizKind kind)
{
  g_return_val_if_fail (board != NULL && measurement != NULL, NULL);
  const BlMeasurement *of = bl_board_measurement (board, measurement);
  const char *fact = of != NULL && kind >= BL_QUIZ_STATE && kind <= BL_QUIZ_BLACK ? fact_of (of, kind) : NULL;
  const BlState *state = fact != NULL && kind == BL_QUIZ_STATE ? bl_board_state (board, fact) : NULL;

  if (fact == NULL || kind == BL_QUIZ_METER)
    return g_strdup (fact);
  if (kind == BL_QUIZ_BLACK)
    return bl_quiz_name (board, BL_QUIZ_POINT, fact);
  return g_strdup (state != NULL && state->title != NULL && *state->title != '\0' ? state->title : fact);
}

static gboolean
can_be_asked (const BlBoard *board, BlQuizOf of, const char *id)
{
  BlQuizWhere where;

  if (of != BL_QUIZ_MEASUREMENT)
    return bl_quiz_where (board, of, id, NULL, &where);
  g_autoptr (BlBand) band = band_of (board, id);
  return band != NULL && !has_double (board, bl_board_measurement (board, id));
}

/* Ids of what can be asked about. (transfer container) */
static GPtrArray *
things (const BlBoard *board, const BlQuizOrder *order, BlQuizOf of)
{
  GPtrArray *ids = g_ptr_array_new ();

  for (guint i = 0; i < bl_len (bl_quiz_list (board, of)); i++)
    {
      const char *id = bl_quiz_id_at (board, of, i);
      if (is_ordered (board, order, of, id) && can_be_asked (board, of, id))
        g_ptr_array_add (ids, (gpointer) id);
    }
  return ids;
}

/* Takes one out of ids; NULL: none is left. */
static const char *
draw (const BlBoard *board, const BlQuizOrder *order, BlQuizOf of, GPtrArray *ids, GRand *random)
{
  g_autofree double *weights = g_new0 (double, ids->len + 1);

  for (guint i = 0; i < ids->len; i++)
    {
      const char *topic = bl_quiz_topic (board, of, bl_at (ids, i));
      weights[i] = order->weight != NULL ? order->weight (topic != NULL ? topic : "", order->data) : 1;
    }
  guint taken = bl_weak_draw (weights, ids->len, g_rand_double (random));
  return taken < ids->len ? g_ptr_array_steal_index (ids, taken) : NULL;
}

/* --- choices --- */

static void
add_choice (BlQuizQuestion *question, const char *id, char *words)
{
  BlQuizChoice *choice = g_new0 (BlQuizChoice, 1);

  choice->id = g_strdup (id);
  choice->words = words;
  if (question->choices == NULL)
    question->choices = g_ptr_array_new_with_free_func (choice_free);
  g_ptr_array_add (question->choices, choice);
}

/* The right one and others like it: those of its section by chance, then the rest by chance. */
static void
add_alike (BlQuizQuestion *question, const BlBoard *board, BlQuizOf of, const char *right, GPtrArray *ids, GRand *random)
{
  g_autoptr (GHashTable) taken = g_hash_table_new (g_str_hash, g_str_equal);
  const BlSection *section = bl_quiz_section (board, of, right);

  g_hash_table_add (taken, (gpointer) right);
  for (int pass = 0; pass < 2; pass++)
    {
      g_autoptr (GPtrArray) left = g_ptr_array_new ();
      for (guint i = 0; i < ids->len; i++)
        if (!g_hash_table_contains (taken, bl_at (ids, i))
            && (pass == 1 || bl_quiz_section (board, of, bl_at (ids, i)) == section))
          g_ptr_array_add (left, bl_at (ids, i));
      guint most = pass == 0 ? MOST_CHOICES - 2 : MOST_CHOICES; /* not all of one section, or its name would tell */
      while (left->len > 0 && g_hash_table_size (taken) < most)
        g_hash_table_add (taken, g_ptr_array_steal_index_fast (left, (guint) g_rand_int_range (random, 0, (int) left->len)));
    }
  for (guint i = 0; i < ids->len; i++)
    if (g_hash_table_contains (taken, bl_at (ids, i)))
      add_choice (question, bl_at (ids, i), bl_quiz_name (board, of, bl_at (ids, i)));
}

static BlQuizQuestion *
question_new (const BlBoard *board, BlQuizKind kind, BlQuizOf of, const char *id)
{
  BlQuizQuestion *question = g_new0 (BlQuizQuestion, 1);
  const char *topic = bl_quiz_topic (board, of, id);

  question->kind = kind;
  question->of = of;
  question->id = g_strdup (id);
  question->title = bl_quiz_name (board, of, id);
  question->topic = g_strdup (topic != NULL ? topic : "");
  return question;
}

/* Keeps question where there is something to choose, and something to know. */
static void
keep (GPtrArray *questions, BlQuizQuestion *question)
{
  if (bl_len (question->choices) >= LEAST_CHOICES && !bl_quiz_title_tells (question))
    g_ptr_array_add (questions, question);
  else
    bl_quiz_question_free (question);
}

/* --- finding one's way --- */

GPtrArray *
bl_quiz_way (const BlBoard *board, const BlQuizOrder *order)
{
  g_return_val_if_fail (board != NULL && order != NULL, NULL);
  g_autoptr (GRand) random = g_rand_new_with_seed (order->seed);
  GPtrArray *questions = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_quiz_question_free);
  GPtrArray *left[BL_QUIZ_MEASUREMENT], *all[BL_QUIZ_MEASUREMENT];
  guint n_left = 0;

  for (int of = 0; of < BL_QUIZ_MEASUREMENT; of++)
    {
      left[of] = things (board, order, of);
      all[of] = g_ptr_array_copy (left[of], NULL, NULL);
      n_left += left[of]->len;
    }
  while (questions->len < order->n && n_left-- > 0)
    {
      BlQuizOf of = (BlQuizOf) g_rand_int_range (random, 0, BL_QUIZ_MEASUREMENT);
      while (left[of]->len == 0)
        of = (of + 1) % BL_QUIZ_MEASUREMENT;
      const char *id = draw (board, order, of, left[of], random);
      gboolean named = g_rand_boolean (random) && all[of]->len > LEAST_CHOICES;
      if (id == NULL) /* nothing of this kind is wanted */
        {
          n_left -= MIN (n_left, left[of]->len - 1);
          g_ptr_array_set_size (left[of], 0);
          continue;
        }
      BlQuizQuestion *question = question_new (board, named ? BL_QUIZ_NAME : BL_QUIZ_PLACE, of, id);
      question->answer = named ? g_strdup (id) : NULL;
      if (named)
        add_alike (question, board, of, id, all[of], random);
      g_ptr_array_add (questions, question);
    }
  for (int of = 0; of < BL_QUIZ_MEASUREMENT; of++)
    {
      g_ptr_array_unref (left[of]);
      g_ptr_array_unref (all[of]);
    }
  return questions;
}

/* --- what it should read --- */

static void
ask_state (GPtrArray *questions, const BlBoard *board, const BlMeasurement *measurement)
{
  BlQuizQuestion *question = question_new (board, BL_QUIZ_STATE, BL_QUIZ_MEASUREMENT, measurement->id);

  question->answer = g_strdup (measurement->state);
  for (guint i = 0; measurement->state != NULL && i < bl_len (board->states); i++)
    {
      const BlState *state = bl_at (board->states, i);
      add_choice (question, state->id, g_strdup (state->title != NULL && *state->title != '\0' ? state->title : state->id));
    }
  keep (questions, question);
}

/* What is measured on this board, and what every meter has. */
static void
ask_meter (GPtrArray *questions, const BlBoard *board, const BlMeasurement *measurement)
{
  gboolean offered[BL_N_MEASURES] = { [BL_MEASURES_V_DC] = TRUE, [BL_MEASURES_V_AC] = TRUE, [BL_MEASURES_OHM] = TRUE,
                                      [BL_MEASURES_DIODE] = TRUE };
  BlQuizQuestion *question = question_new (board, BL_QUIZ_METER, BL_QUIZ_MEASUREMENT, measurement->id);

  question->answer = g_strdup (bl_measures_name (measurement->measures));
  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      const BlMeasurement *other = bl_at (board->measurements, i);
      if (other->measures < BL_MEASURES_CHECK)
        offered[other->measures] = TRUE;
    }
  for (guint i = 0; i < BL_MEASURES_CHECK; i++)
    if (offered[i])
      add_choice (question, bl_measures_name ((BlMeasures) i), g_strdup (bl_measures_name ((BlMeasures) i)));
  keep (questions, question);
}

/* The places where the black probe is on this board, but for the one where the red one is. */
static void
ask_black (GPtrArray *questions, const BlBoard *board, const BlMeasurement *measurement, GRand *random)
{
  BlQuizQuestion *question = question_new (board, BL_QUIZ_BLACK, BL_QUIZ_MEASUREMENT, measurement->id);
  g_autoptr (GPtrArray) ids = g_ptr_array_new ();

  question->answer = g_strdup (measurement->black);
  for (guint i = 0; measurement->black != NULL && i < bl_len (board->test_points); i++)
    {
      const BlTestPoint *point = bl_at (board->test_points, i);
      if (g_strcmp0 (point->id, measurement->at) == 0)
        continue;
      for (guint j = 0; j < bl_len (board->measurements); j++)
        if (g_strcmp0 (((BlMeasurement *) bl_at (board->measurements, j))->black, point->id) == 0)
          {
            g_ptr_array_add (ids, point->id);
            break;
          }
    }
  if (ids->len >= LEAST_CHOICES && bl_board_test_point (board, measurement->black) != NULL
      && g_strcmp0 (measurement->black, measurement->at) != 0)
    add_alike (question, board, BL_QUIZ_POINT, measurement->black, ids, random);
  keep (questions, question);
}

GPtrArray *
bl_quiz_reads (const BlBoard *board, const BlQuizOrder *order)
{
  g_return_val_if_fail (board != NULL && order != NULL, NULL);
  g_autoptr (GRand) random = g_rand_new_with_seed (order->seed);
  g_autoptr (GPtrArray) left = things (board, order, BL_QUIZ_MEASUREMENT);
  GPtrArray *questions = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_quiz_question_free);

  for (guint n = 0; n < order->n; n++)
    {
      const char *id = draw (board, order, BL_QUIZ_MEASUREMENT, left, random);
      const BlMeasurement *measurement = id != NULL ? bl_board_measurement (board, id) : NULL;
      if (measurement == NULL)
        break;
      g_autoptr (GPtrArray) twins = twins_of (board, measurement);
      if (!tell_apart (twins, measurement, BL_QUIZ_STATE))
        ask_state (questions, board, measurement);
      if (!tell_apart (twins, measurement, BL_QUIZ_METER))
        ask_meter (questions, board, measurement);
      if (!tell_apart (twins, measurement, BL_QUIZ_BLACK))
        ask_black (questions, board, measurement, random);
      g_ptr_array_add (questions, question_new (board, BL_QUIZ_VALUE, BL_QUIZ_MEASUREMENT, id));
    }
  return questions;
}

/* --- judging --- */

BlQuizJudgement *
bl_quiz_judge_choice (const BlQuizQuestion *question, const char *id)
{
  g_return_val_if_fail (question != NULL && id != NULL, NULL);
  BlQuizJudgement *self = bl_quiz_judgement_new ();

  self->mark = g_strcmp0 (id, question->answer) == 0 ? BL_QUIZ_RIGHT : BL_QUIZ_WRONG;
  self->there = self->mark == BL_QUIZ_RIGHT ? NULL : g_strdup (id);
  return self;
}

/* Outside the band, but not far. value: with the sign that the band has. */
static gboolean
is_near (const BlBand *band, double value)
{
  double low, high, width;

  bl_band_edges (band, &low, &high);
  width = high - low;
  if (isfinite (low) && isfinite (high))
    return value >= low - width && value <= high + width;
  if (isfinite (high))
    return value > 0 && value <= 2 * high;
  return isfinite (low) && value >= low / 2;
}

BlQuizJudgement *
bl_quiz_judge_value (const BlBoard *board, const BlQuizQuestion *question, const char *text, GError **error)
{
  g_return_val_if_fail (board != NULL && question != NULL && text != NULL, NULL);
  const BlMeasurement *measurement = bl_board_measurement (board, question->id);
  g_autoptr (BlQuizJudgement) self = bl_quiz_judgement_new ();

  g_return_val_if_fail (measurement != NULL, NULL);
  self->band = band_of (board, question->id);
  g_return_val_if_fail (self->band != NULL, NULL);
  if (!bl_reading_parse (text, measurement->measures, &self->reading, error))
    return NULL;
  if (self->reading.kind == BL_READING_NOT_REACHED)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE, _ ("What should it read? A value, or OL."));
      return NULL;
    }
  self->verdict = bl_judge (self->band, &self->reading, NULL, NAN, 0);
  if (self->verdict->evidence && self->verdict->best == self->band->good)
    self->mark = BL_QUIZ_RIGHT;
  else if (self->reading.kind == BL_READING_VALUE)
    {
      double value = self->band->negative ? -self->reading.value : self->reading.value;
      if (is_near (self->band, self->band->magnitude ? fabs (value) : value))
        self->mark = BL_QUIZ_NEAR;
    }
  return g_steal_pointer (&self);
}
