/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Questions on the demo's boards and on a small one: repeatable, never the same twice, each with a right answer that is
 * judged right, and others judged by where they are and by the band. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-quiz.h"

#include "fixture-demo.h"

#include <math.h>

/* Two stages side by side, each 100 x 100 px (5 x 5 mm), a point in each; own numbers. */
static const char small_text[]
  = "{ \"format\": \"benchlore-board\", \"version\": 1,"
    "  \"states\": [{\"id\": \"off\", \"live\": false}, {\"id\": \"run\", \"live\": true, \"volts\": 20}],"
    "  \"photos\": [{\"id\": \"front\", \"side\": \"front\", \"file\": \"f.png\", \"mm_per_px\": 0.05},"
    "             {\"id\": \"back\", \"side\": \"back\", \"file\": \"b.png\", \"mm_per_px\": 0.05}],"
    "  \"sections\": [{\"id\": \"supply\", \"kind\": \"supply\", \"title\": \"Supply\"},"
    "               {\"id\": \"link\", \"kind\": \"communication\", \"title\": \"Link\"}],"
    "  \"stages\": [{\"id\": \"rail5\", \"section\": \"supply\", \"title\": \"5 V rail\","
    "    \"outlines\": [{\"photo\": \"front\", \"points\": [[100, 100], [200, 100], [200, 200], [100, 200]]}]},"
    "   {\"id\": \"rx\", \"section\": \"link\", \"title\": \"receiver\","
    "    \"outlines\": [{\"photo\": \"front\", \"points\": [[300, 100], [400, 100], [400, 200], [300, 200]]}]}],"
    "  \"components\": [{\"id\": \"U2\", \"kind\": \"ic\", \"stage\": \"rail5\", \"photo\": \"back\", \"x\": 150, \"y\": 150,"
    "    \"modes\": [{\"mode\": \"no output\", \"weight\": 1, \"effects\": [{\"is\": \"absent\"}]}]}],"
    "  \"test_points\": [{\"id\": \"TP0\", \"title\": \"0 V\", \"photo\": \"front\", \"x\": 110, \"y\": 190},"
    "    {\"id\": \"TP5\", \"title\": \"5 V\", \"photo\": \"front\", \"x\": 150, \"y\": 150},"
    "    {\"id\": \"TP6\", \"title\": \"bus\", \"photo\": \"front\", \"x\": 350, \"y\": 150}],"
    "  \"measurements\": [{\"id\": \"M5\", \"title\": \"5 V\", \"at\": \"TP5\", \"black\": \"TP0\", \"measures\": \"V DC\","
    "     \"state\": \"run\", \"reads\": \"rail5\", \"expected\": {\"nominal\": 5, \"low\": 4.8, \"high\": 5.2,"
    "     \"absent_below\": 0.5}},"
    "    {\"id\": \"M6\", \"at\": \"TP6\", \"black\": \"TP5\", \"measures\": \"V DC\", \"state\": \"run\", \"reads\": \"rx\","
    "     \"expected\": {\"high\": 0.4}},"
    "    {\"id\": \"N5\", \"title\": \"minus 5 V\", \"at\": \"TP5\", \"black\": \"TP0\", \"measures\": \"V DC\", \"state\": \"run\", \"reads\": \"rail5\","
    "     \"expected\": {\"nominal\": -5, \"low\": -5.2, \"high\": -4.8}}] }";

static BlBoard *
small (void)
{
  g_autoptr (GError) error = NULL;
  BlBoard *board = bl_document_parse (small_text, -1, NULL, &error);

  g_assert_no_error (error);
  return board;
}

static const BlQuizQuestion *
asked (GPtrArray *questions, BlQuizKind kind, const char *id)
{
  for (guint i = 0; i < questions->len; i++)
    {
      const BlQuizQuestion *question = bl_at (questions, i);
      if (question->kind == kind && g_str_equal (question->id, id))
        return question;
    }
  g_error ("%s is not asked about", id);
}

/* --- where things are --- */

static BlQuizMark
pressed (const BlBoard *board, BlQuizOf of, const char *id, const char *photo, double x, double y, const char *there,
         double beside_mm)
{
  BlQuizQuestion question = { .kind = BL_QUIZ_PLACE, .of = of, .id = (char *) id };
  g_autoptr (BlQuizJudgement) judged = bl_quiz_judge_place (board, &question, photo, x, y);

  g_assert_cmpstr (judged->there, ==, there);
  if (isnan (beside_mm))
    g_assert_true (judged->other_photo);
  else
    g_assert_cmpfloat_with_epsilon (judged->beside_mm, beside_mm, 1e-9);
  return judged->mark;
}

static void
test_press (void)
{
  g_autoptr (BlBoard) board = small ();

  g_assert_cmpint (pressed (board, BL_QUIZ_STAGE, "rail5", "front", 101, 199, NULL, 0), ==, BL_QUIZ_RIGHT);
  /* 60 px are 3 mm, 4 mm are near; 90 are 4.5. */
  g_assert_cmpint (pressed (board, BL_QUIZ_STAGE, "rail5", "front", 260, 150, NULL, 3), ==, BL_QUIZ_NEAR);
  g_assert_cmpint (pressed (board, BL_QUIZ_STAGE, "rail5", "front", 290, 150, NULL, 4.5), ==, BL_QUIZ_WRONG);
  g_assert_cmpint (pressed (board, BL_QUIZ_STAGE, "rail5", "front", 350, 150, "rx", 7.5), ==, BL_QUIZ_WRONG);
  /* A section lies where its stages do. */
  g_assert_cmpint (pressed (board, BL_QUIZ_SECTION, "link", "front", 350, 150, NULL, 0), ==, BL_QUIZ_RIGHT);
  g_assert_cmpint (pressed (board, BL_QUIZ_SECTION, "supply", "back", 150, 150, NULL, NAN), ==, BL_QUIZ_WRONG);
  /* TP0 and TP5 are 56.6 px apart: what is nearer counts, though both are within 80 px. */
  g_assert_cmpint (pressed (board, BL_QUIZ_POINT, "TP5", "front", 150, 150 - 79, NULL, 79 * 0.05), ==, BL_QUIZ_RIGHT);
  g_assert_cmpint (pressed (board, BL_QUIZ_POINT, "TP5", "front", 112, 188, "TP0", hypot (38, 38) * 0.05), ==,
                   BL_QUIZ_NEAR);
  g_assert_cmpint (pressed (board, BL_QUIZ_POINT, "TP6", "front", 112, 188, "TP0", hypot (238, 38) * 0.05), ==,
                   BL_QUIZ_WRONG);
  g_assert_cmpint (pressed (board, BL_QUIZ_COMPONENT, "U2", "front", 150, 150, NULL, NAN), ==, BL_QUIZ_WRONG);
  g_assert_cmpint (pressed (board, BL_QUIZ_COMPONENT, "U2", "back", 290, 150, NULL, 7), ==, BL_QUIZ_RIGHT);
  g_assert_cmpfloat_with_epsilon (bl_quiz_reach (board, BL_QUIZ_POINT, "front"), 80, 1e-9);
  /* Without a scale: 2 % of the diagonal of what is placed there. */
  bl_board_photo (board, "front")->mm_per_px = NAN;
  g_assert_cmpfloat_with_epsilon (bl_quiz_reach (board, BL_QUIZ_POINT, "front"), 0.02 * hypot (240, 40), 1e-9);
}

static const char *
a_place (const BlBoard *board, const BlQuizQuestion *question, double *x, double *y)
{
  BlQuizWhere where;
  g_assert_true (bl_quiz_where (board, question->of, question->id, NULL, &where));
  *x = where.x;
  *y = where.y;
  if (where.outline == NULL)
    return where.photo;
  /* Somewhere just inside: beside the middle of its first edge. */
  double x0 = g_array_index (where.outline, double, 0), y0 = g_array_index (where.outline, double, 1);
  double x1 = g_array_index (where.outline, double, 2), y1 = g_array_index (where.outline, double, 3);
  for (int side = -1; side <= 1; side += 2)
    {
      *x = (x0 + x1) / 2 + side * (y1 - y0) / hypot (x1 - x0, y1 - y0);
      *y = (y0 + y1) / 2 - side * (x1 - x0) / hypot (x1 - x0, y1 - y0);
      g_autoptr (BlQuizJudgement) judged = bl_quiz_judge_place (board, question, where.photo, *x, *y);
      if (judged->mark == BL_QUIZ_RIGHT)
        break;
    }
  return where.photo;
}

/* --- drawing --- */

static void
check_choices (const BlQuizQuestion *question)
{
  guint n = 0;

  g_assert_nonnull (question->choices);
  g_assert_cmpuint (question->choices->len, >=, 2);
  for (guint i = 0; i < question->choices->len; i++)
    {
      const BlQuizChoice *choice = bl_at (question->choices, i);
      n += g_str_equal (choice->id, question->answer);
      g_assert_cmpstr (choice->words, !=, "");
      for (guint j = 0; j < i; j++)
        g_assert_cmpstr (choice->id, !=, ((BlQuizChoice *) bl_at (question->choices, j))->id);
    }
  g_assert_cmpuint (n, ==, 1);
}

/* All of a board: each thing once, and each can be answered. */
static void
test_way (gconstpointer file)
{
  g_autoptr (BlBoard) board = demo_board (file);
  BlQuizOrder order = { NULL, 7, 1000, NULL, NULL };
  g_autoptr (GPtrArray) questions = bl_quiz_way (board, &order), again = bl_quiz_way (board, &order);
  g_autoptr (GHashTable) seen = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  guint n_of[4] = { 0 }, n_kind[2] = { 0 };

  for (guint i = 0; i < questions->len; i++)
    {
      const BlQuizQuestion *question = bl_at (questions, i);
      double x, y;
      g_assert_cmpstr (question->id, ==, ((BlQuizQuestion *) bl_at (again, i))->id);
      g_assert_true (g_hash_table_add (seen, g_strdup_printf ("%d %s", question->of, question->id)));
      n_of[question->of]++;
      n_kind[question->kind]++;
      g_assert_cmpstr (question->title, !=, "");
      if (question->kind == BL_QUIZ_NAME)
        check_choices (question);
      else
        {
          const char *photo = a_place (board, question, &x, &y);
          g_autoptr (BlQuizJudgement) judged = bl_quiz_judge_place (board, question, photo, x, y);
          g_assert_cmpint (judged->mark, ==, BL_QUIZ_RIGHT);
        }
    }
  g_assert_cmpuint (n_of[BL_QUIZ_SECTION], ==, board->sections->len);
  g_assert_cmpuint (n_of[BL_QUIZ_POINT], ==, board->test_points->len);
  g_assert_cmpuint (n_of[BL_QUIZ_STAGE], >, 15);
  g_assert_cmpuint (n_of[BL_QUIZ_COMPONENT], >, 50);
  /* A fair coin. */
  g_assert_cmpuint (MIN (n_kind[0], n_kind[1]), >, questions->len / 3);
  order.seed = 8;
  g_autoptr (GPtrArray) other = bl_quiz_way (board, &order);
  guint same = 0;
  for (guint i = 0; i < MIN (other->len, questions->len); i++)
    same += g_str_equal (((BlQuizQuestion *) bl_at (other, i))->id, ((BlQuizQuestion *) bl_at (questions, i))->id);
  g_assert_cmpuint (same, <, questions->len / 4);
}

static double
only_relay (const char *topic, gpointer data)
{
  return g_str_equal (topic, "relay") ? 1 : 0;
}

static void
test_order (void)
{
  g_autoptr (BlBoard) board = demo_board ("roof-board.json");
  const char *const sections[] = { "supply", NULL };
  BlQuizOrder order = { sections, 3, 12, NULL, NULL }, weighed = { NULL, 3, 12, only_relay, NULL };
  g_autoptr (GPtrArray) of_supply = bl_quiz_way (board, &order), of_relay = bl_quiz_way (board, &weighed);
  g_autoptr (GPtrArray) reads = bl_quiz_reads (board, &order);

  g_assert_cmpuint (of_supply->len, ==, 12);
  g_assert_cmpuint (of_relay->len, ==, 12);
  g_assert_cmpuint (reads->len, >, 12);
  for (guint i = 0; i < 12; i++)
    {
      g_assert_cmpstr (((BlQuizQuestion *) bl_at (of_supply, i))->topic, ==, "supply");
      g_assert_cmpstr (((BlQuizQuestion *) bl_at (of_relay, i))->topic, ==, "relay");
      g_assert_cmpstr (((BlQuizQuestion *) bl_at (reads, i))->topic, ==, "supply");
    }
}

/* Of all that the title means at the point, what was told or asked before leaves only measurements with this answer: the
 * one that is in the document. */
static void
check_answerable (const BlBoard *board, GPtrArray *questions, guint place)
{
  const BlQuizQuestion *question = bl_at (questions, place);
  const BlMeasurement *measurement = bl_board_measurement (board, question->id);
  gboolean known[BL_N_QUIZ_KINDS] = { FALSE };

  for (BlQuizKind kind = BL_QUIZ_STATE; kind <= BL_QUIZ_BLACK; kind++)
    known[kind] = kind < question->kind;
  for (guint i = 0; i < questions->len; i++)
    {
      const BlQuizQuestion *other = bl_at (questions, i);
      if (g_str_equal (other->id, question->id) && i >= place)
        known[other->kind] = FALSE;
    }
  for (guint i = 0; i < board->measurements->len; i++)
    {
      const BlMeasurement *other = bl_at (board->measurements, i);
      g_autofree char *title = bl_quiz_name (board, BL_QUIZ_MEASUREMENT, other->id);
      if (other == measurement || g_strcmp0 (other->at, measurement->at) != 0 || !g_str_has_prefix (title, question->title)
          || (known[BL_QUIZ_STATE] && g_strcmp0 (other->state, measurement->state) != 0)
          || (known[BL_QUIZ_METER] && other->measures != measurement->measures)
          || (known[BL_QUIZ_BLACK] && g_strcmp0 (other->black, measurement->black) != 0))
        continue;
      if (question->kind == BL_QUIZ_VALUE
          || (question->kind == BL_QUIZ_STATE && g_strcmp0 (other->state, measurement->state) != 0)
          || (question->kind == BL_QUIZ_METER && other->measures != measurement->measures)
          || (question->kind == BL_QUIZ_BLACK && g_strcmp0 (other->black, measurement->black) != 0))
        g_error ("%s may mean %s too", measurement->id, other->id);
    }
}

/* Its title means one in another state too, or in the same with another meter. */
static gboolean
is_told (const BlBoard *board, const BlMeasurement *of, BlQuizKind kind)
{
  gboolean told = FALSE;

  for (guint i = 0; i < board->measurements->len; i++)
    {
      const BlMeasurement *other = bl_at (board->measurements, i);
      gboolean same_state = g_strcmp0 (of->state, other->state) == 0;
      if (g_strcmp0 (of->at, other->at) == 0 && g_str_has_prefix (other->title, of->title))
        told = told || (kind == BL_QUIZ_STATE ? !same_state : same_state && of->measures != other->measures);
    }
  return told;
}

static gboolean
asks_for (GPtrArray *questions, BlQuizKind kind, const char *id)
{
  for (guint i = 0; i < questions->len; i++)
    {
      const BlQuizQuestion *question = bl_at (questions, i);
      if (question->kind == kind && g_str_equal (question->id, id))
        return TRUE;
    }
  return FALSE;
}

/* One word of the answer at least stands in the title. */
static gboolean
is_given_away (const BlBoard *board, const BlQuizQuestion *question, BlQuizKind kind)
{
  g_autofree char *fact = bl_quiz_fact (board, question->id, kind);
  g_auto (GStrv) words = g_str_tokenize_and_fold (fact, NULL, NULL);
  g_auto (GStrv) title = g_str_tokenize_and_fold (question->title, NULL, NULL);
  gboolean same = FALSE;

  for (guint i = 0; words[i] != NULL; i++)
    same = same || g_strv_contains ((const char *const *) title, words[i]);
  return same;
}

/* State and meter are asked, unless they have to be told or the title tells them. */
static void
check_left_out (const BlBoard *board, GPtrArray *questions)
{
  for (guint i = 0; i < questions->len; i++)
    for (BlQuizKind kind = BL_QUIZ_STATE; kind <= BL_QUIZ_METER; kind++)
      {
        const BlQuizQuestion *question = bl_at (questions, i);
        gboolean told = is_told (board, bl_board_measurement (board, question->id), kind);
        if (asks_for (questions, kind, question->id))
          g_assert_false (told);
        else
          g_assert_true (told || is_given_away (board, question, kind));
      }
}

/* A title that says the answer leaves nothing to ask. */
static void
test_given_away (void)
{
  g_autoptr (BlBoard) board = demo_board ("roof-board.json");
  BlQuizOrder order = { NULL, 1, 1000, NULL, NULL };
  g_autoptr (GPtrArray) questions = bl_quiz_reads (board, &order);

  g_assert_false (asks_for (questions, BL_QUIZ_STATE, "LR"));     /* "PC2 LED in mark": "Link held in mark ..." */
  g_assert_false (asks_for (questions, BL_QUIZ_METER, "D-D6"));   /* "D6, diode test" */
  g_assert_false (asks_for (questions, BL_QUIZ_BLACK, "R-F1"));   /* "fuse F1 with its clips": "fuse out at F1" */
  g_assert_false (asks_for (questions, BL_QUIZ_STATE, "R-K2X"));  /* "unpowered", though K2 is in the words of another */
  g_assert_true (asks_for (questions, BL_QUIZ_STATE, "RF"));      /* "shunt reference input": "reference resistor" is wrong */
  g_assert_true (asks_for (questions, BL_QUIZ_METER, "LR"));
  g_assert_true (asks_for (questions, BL_QUIZ_BLACK, "LR"));
  asked (questions, BL_QUIZ_VALUE, "LR");
}

/* What the document says is right in every question, nothing else is. */
static void
test_reads (gconstpointer file)
{
  g_autoptr (BlBoard) board = demo_board (file);
  BlQuizOrder order = { NULL, 1, 1000, NULL, NULL };
  g_autoptr (GPtrArray) questions = bl_quiz_reads (board, &order);
  guint n[BL_N_QUIZ_KINDS] = { 0 };

  for (guint i = 0; i < questions->len; i++)
    {
      const BlQuizQuestion *question = bl_at (questions, i);
      const BlMeasurement *measurement = bl_board_measurement (board, question->id);
      n[question->kind]++;
      check_answerable (board, questions, i);
      if (question->kind == BL_QUIZ_VALUE)
        {
          g_assert_null (question->choices);
          continue;
        }
      check_choices (question);
      g_assert_cmpstr (question->answer, ==, question->kind == BL_QUIZ_STATE   ? measurement->state
                                             : question->kind == BL_QUIZ_METER ? bl_measures_name (measurement->measures)
                                                                               : measurement->black);
      for (guint j = 0; j < question->choices->len; j++)
        {
          const BlQuizChoice *choice = bl_at (question->choices, j);
          if (question->kind == BL_QUIZ_BLACK) /* where the red probe is the black one cannot be */
            g_assert_cmpstr (choice->id, !=, measurement->at);
          g_autoptr (BlQuizJudgement) judged = bl_quiz_judge_choice (question, choice->id);
          g_assert_cmpint (judged->mark == BL_QUIZ_RIGHT, ==, g_str_equal (choice->id, question->answer));
        }
    }
  g_assert_cmpuint (n[BL_QUIZ_VALUE], >, 70);
  check_left_out (board, questions);
  g_assert_cmpuint (n[BL_QUIZ_STATE], >, 60);
  g_assert_cmpuint (n[BL_QUIZ_METER], >, 70);
  g_assert_cmpuint (n[BL_QUIZ_BLACK], >, 60);
}

/* Three at TP5 that have no title of their own: the state tells one, the black probe the others. What nothing tells apart
 * is not asked about. */
static void
test_same_point (void)
{
  g_autoptr (BlBoard) board = small ();
  static const char *const states[] = { "run", "off", "run" }, *const blacks[] = { "TP0", "TP0", "TP6" };
  BlQuizOrder order = { NULL, 1, 10, NULL, NULL };

  for (guint i = 0; i < 3; i++)
    {
      BlMeasurement *measurement = bl_at (board->measurements, i);
      g_free (measurement->title);
      g_free (measurement->at);
      g_free (measurement->state);
      g_free (measurement->black);
      measurement->title = NULL;
      measurement->at = g_strdup ("TP5");
      measurement->state = g_strdup (states[i]);
      measurement->black = g_strdup (blacks[i]);
    }
  g_autoptr (GPtrArray) questions = bl_quiz_reads (board, &order);
  g_assert_cmpuint (questions->len, ==, 3 + 3 + 1); /* value and meter of each, the black probe of M6 */
  for (guint i = 0; i < questions->len; i++)
    {
      check_answerable (board, questions, i);
      g_assert_cmpint (((BlQuizQuestion *) bl_at (questions, i))->kind, !=, BL_QUIZ_STATE);
    }
  asked (questions, BL_QUIZ_BLACK, "M6");
  g_autofree char *state = bl_quiz_fact (board, "M6", BL_QUIZ_STATE), *meter = bl_quiz_fact (board, "M5", BL_QUIZ_METER);
  g_autofree char *black = bl_quiz_fact (board, "N5", BL_QUIZ_BLACK);
  g_assert_cmpstr (state, ==, "off");
  g_assert_cmpstr (meter, ==, "V DC");
  g_assert_cmpstr (black, ==, "TP6, bus");

  BlMeasurement *other = bl_board_measurement (board, "N5");
  g_free (other->black);
  other->black = g_strdup ("TP0");
  g_autoptr (GPtrArray) left = bl_quiz_reads (board, &order);
  for (guint i = 0; i < left->len; i++)
    g_assert_cmpstr (((BlQuizQuestion *) bl_at (left, i))->id, ==, "M6");
  g_assert_cmpuint (left->len, ==, 2);
}

/* Whether M5 is asked about when it and N5, which nothing else tells from it, have these titles. */
static gboolean
is_asked (const char *title, const char *of_other)
{
  g_autoptr (BlBoard) board = small ();
  BlQuizOrder order = { NULL, 1, 10, NULL, NULL };
  BlMeasurement *measurements[] = { bl_board_measurement (board, "M5"), bl_board_measurement (board, "N5") };
  gboolean found = FALSE;

  g_free (measurements[0]->title);
  g_free (measurements[1]->title);
  measurements[0]->title = g_strdup (title);
  measurements[1]->title = g_strdup (of_other);
  g_autoptr (GPtrArray) questions = bl_quiz_reads (board, &order);
  for (guint i = 0; i < questions->len; i++)
    found |= g_str_equal (((BlQuizQuestion *) bl_at (questions, i))->id, "M5");
  return found;
}

/* A title goes on only where a word ends. */
static void
test_longer_title (void)
{
  g_assert_true (is_asked ("Rail 1", "Rail 12"));
  g_assert_true (is_asked ("Rail", "Railé"));
  g_assert_true (is_asked ("rail", "RAILÉ"));
  g_assert_false (is_asked ("Rail 1", "Rail 1"));
  g_assert_false (is_asked ("Rail 1", "RAIL 1, loaded"));
  g_assert_false (is_asked ("Rail 1", "Rail 1·b"));
  g_assert_false (is_asked (NULL, "Rail 12"));
}

/* --- values --- */

static BlQuizMark
said (const BlBoard *board, const char *id, const char *text)
{
  BlQuizOrder order = { NULL, 1, 10, NULL, NULL };
  g_autoptr (GPtrArray) questions = bl_quiz_reads (board, &order);
  g_autoptr (GError) error = NULL;
  g_autoptr (BlQuizJudgement) judged = bl_quiz_judge_value (board, asked (questions, BL_QUIZ_VALUE, id), text, &error);

  g_assert_no_error (error);
  g_assert_nonnull (judged->band);
  return judged->mark;
}

static void
test_value (void)
{
  g_autoptr (BlBoard) board = small ();
  static const struct
  {
    const char *id, *text;
    BlQuizMark mark;
  } rows[] = {
    { "M5", "5", BL_QUIZ_RIGHT },    { "M5", "4,8", BL_QUIZ_RIGHT },   { "M5", "5V2", BL_QUIZ_RIGHT },
    { "M5", "5.5", BL_QUIZ_NEAR },   { "M5", "4.45", BL_QUIZ_NEAR },   { "M5", "5.7", BL_QUIZ_WRONG },
    { "M5", "4.3", BL_QUIZ_WRONG },  { "M5", "-5", BL_QUIZ_WRONG },    { "M5", "12", BL_QUIZ_WRONG },
    { "M5", "3..5", BL_QUIZ_WRONG }, { "M6", "0.1", BL_QUIZ_RIGHT },   { "M6", "0.7", BL_QUIZ_NEAR },
    { "M6", "0.9", BL_QUIZ_WRONG },  { "N5", "-5", BL_QUIZ_RIGHT },    { "N5", "-5.5", BL_QUIZ_NEAR },
    { "N5", "5", BL_QUIZ_WRONG },    { "M5", "5000 mV", BL_QUIZ_RIGHT },
  };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    if (said (board, rows[i].id, rows[i].text) != rows[i].mark)
      g_error ("%s at %s", rows[i].text, rows[i].id);
}

static void
test_typed (void)
{
  g_autoptr (BlBoard) board = small ();
  BlQuizQuestion question = { BL_QUIZ_NAME, BL_QUIZ_POINT, (char *) "TP5", NULL, NULL, (char *) "TP5", NULL };
  static const struct
  {
    const char *text;
    BlQuizMark mark;
  } rows[] = { { "tp5", BL_QUIZ_RIGHT },     { " TP5, 5 v ", BL_QUIZ_RIGHT }, { "5 V", BL_QUIZ_RIGHT },
               { "TP6", BL_QUIZ_WRONG },     { "bus", BL_QUIZ_WRONG } };
  g_autoptr (GError) error = NULL;

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (BlQuizJudgement) judged = bl_quiz_judge_typed (board, &question, rows[i].text, &error);
      g_assert_no_error (error);
      g_assert_cmpint (judged->mark, ==, rows[i].mark);
    }
  g_assert_null (bl_quiz_judge_typed (board, &question, "TP7", &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE);
  g_clear_error (&error);
  BlQuizOrder order = { NULL, 1, 10, NULL, NULL };
  g_autoptr (GPtrArray) questions = bl_quiz_reads (board, &order);
  g_assert_null (bl_quiz_judge_value (board, asked (questions, BL_QUIZ_VALUE, "M5"), "five", &error));
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_PARSE);
}

/* What was taken, or why nothing was. */
static char *
taken (const BlBoard *board, BlQuizOf of, const char *text)
{
  BlQuizOrder order = { NULL, 1, 1000, NULL, NULL };
  g_autoptr (GPtrArray) questions = bl_quiz_way (board, &order);
  g_autoptr (GError) error = NULL;
  guint i = 0;

  while (((BlQuizQuestion *) bl_at (questions, i))->of != of || ((BlQuizQuestion *) bl_at (questions, i))->kind != BL_QUIZ_NAME)
    i++;
  BlQuizQuestion *question = bl_at (questions, i);
  g_clear_pointer (&question->choices, g_ptr_array_unref); /* all of the board */
  g_autoptr (BlQuizJudgement) judged = bl_quiz_judge_typed (board, question, text, &error);
  if (judged == NULL)
    return g_strdup (error->message);
  return g_strdup (judged->mark == BL_QUIZ_RIGHT ? question->id : judged->there);
}

/* Part of a title is enough where it means one thing only. */
static void
test_typed_part (void)
{
  g_autoptr (BlBoard) board = demo_board ("roof-board.json");
  static const struct
  {
    BlQuizOf of;
    const char *text, *id;
  } rows[] = { { BL_QUIZ_SECTION, "link", "communication" }, { BL_QUIZ_SECTION, "Wall unit", "communication" },
               { BL_QUIZ_SECTION, "lam", "indicator" },      { BL_QUIZ_POINT, "drain", "TPDR" },
               { BL_QUIZ_POINT, "k1 command", "TPP1" },      { BL_QUIZ_STAGE, "5 v", "rail5" },
               { BL_QUIZ_POINT, "TPO", NULL },               { BL_QUIZ_SECTION, "nit", NULL },
               { BL_QUIZ_SECTION, "f", NULL },               { BL_QUIZ_POINT, "eset", NULL } };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autofree char *found = taken (board, rows[i].of, rows[i].text);
      g_autofree char *refused = g_strdup_printf ("Nothing here is called “%s”.", rows[i].text);
      g_assert_cmpstr (found, ==, rows[i].id != NULL ? rows[i].id : refused);
    }
  g_autofree char *several = taken (board, BL_QUIZ_POINT, "bus");
  g_assert_cmpstr (several, ==, "“bus” may mean several: TPBP, bus + at C1; TPBN, bus 0 at C1 (hot ground).");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/quiz/press", test_press);
  g_test_add_func ("/core/quiz/order", test_order);
  g_test_add_func ("/core/quiz/value", test_value);
  g_test_add_func ("/core/quiz/given-away", test_given_away);
  g_test_add_func ("/core/quiz/same-point", test_same_point);
  g_test_add_func ("/core/quiz/longer-title", test_longer_title);
  g_test_add_func ("/core/quiz/typed", test_typed);
  g_test_add_func ("/core/quiz/typed-part", test_typed_part);
  g_test_add_data_func ("/core/quiz/way-roof", "roof-board.json", test_way);
  g_test_add_data_func ("/core/quiz/way-wall", "wall-board.json", test_way);
  g_test_add_data_func ("/core/quiz/reads-roof", "roof-board.json", test_reads);
  g_test_add_data_func ("/core/quiz/reads-wall", "wall-board.json", test_reads);
  return g_test_run ();
}
