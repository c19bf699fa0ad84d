/* SPDX-License-Identifier: GPL-3.0-or-later
 * A measurement typed in one line: what is taken and as what, what is refused and where, what stays said, and that
 * no text whatever does harm. */
#include "config.h"

#include "example.h"

#include "bl-entry-line.h"

#include <string.h>

#define SAME(a, b) (isnan (a) ? isnan (b) : fabs ((a) - (b)) < 1e-9 * MAX (1, fabs (a)))

/* Two grounds, three states, two stages, one of them with an outline. */
static const char board_text[]
  = "{\"format\": \"benchlore-board\", \"version\": 1,"
    " \"photos\": [{\"id\": \"front\", \"side\": \"front\", \"file\": \"photos/front.jpg\"}],"
    " \"states\": [{\"id\": \"off\", \"title\": \"Unpowered\", \"live\": false},"
    "  {\"id\": \"standby\", \"title\": \"Mains on, at rest\", \"live\": true},"
    "  {\"id\": \"run\", \"title\": \"Running, fan at full speed\", \"live\": true}],"
    " \"sections\": [{\"id\": \"supply\"}],"
    " \"stages\": [{\"id\": \"rail12\", \"section\": \"supply\", \"title\": \"12 V rail\","
    "   \"outlines\": [{\"photo\": \"front\", \"points\": [[0, 0], [100, 0], [100, 100], [0, 100]]}]},"
    "  {\"id\": \"rail5\", \"section\": \"supply\", \"title\": \"5 V rail\","
    "   \"outlines\": [{\"photo\": \"front\", \"points\": [[40, 40], [60, 40], [60, 60], [40, 60]]}]},"
    "  {\"id\": \"bus\", \"section\": \"supply\", \"title\": \"DC bus of the drive\"}],"
    " \"test_points\": [{\"id\": \"TP0\", \"title\": \"0 V\", \"ground\": \"isolated\"},"
    "  {\"id\": \"TPH\", \"title\": \"bus minus\", \"ground\": \"hot\"},"
    "  {\"id\": \"TP1\", \"photo\": \"front\", \"x\": 10, \"y\": 10},"
    "  {\"id\": \"TP2\", \"photo\": \"front\", \"x\": 50, \"y\": 50},"
    "  {\"id\": \"TP3\", \"title\": \"plus of the bus\", \"photo\": \"front\", \"x\": 500, \"y\": 50, \"ground\": \"hot\"},"
    "  {\"id\": \"TP4\", \"photo\": \"front\", \"x\": 500, \"y\": 500}]}";

static BlBoard *
small_board (void)
{
  g_autoptr (GError) error = NULL;
  BlBoard *board = bl_document_parse (board_text, -1, NULL, &error);

  g_assert_no_error (error);
  return board;
}

static BlEntryLine *
read_at (const BlBoard *board, const char *point, const BlEntryHabit *habit, const char *text)
{
  g_autoptr (GError) error = NULL;
  BlEntryLine *line = bl_entry_line_read (board, point, habit, text, NULL, &error);

  if (error != NULL)
    g_error ("%s: %s", text, error->message);
  return line;
}

/* The forms of the trade. Values with a deviation as in ISO 80000-1 ("12.0 V ± 0.5 V", "(12.0 ± 0.5) V"; from
 * memory), letters as decimal sign and k, M for ohms as in IEC 60062 (from memory), the rest common practice, no
 * source. */
static void
test_taken (void)
{
  static const struct
  {
    const char *text;
    BlMeasures measures;
    double nominal, low, high;
    const char *tolerance, *state;
  } cases[] = {
    { "12 V ±5 %", BL_MEASURES_V_DC, 12, NAN, NAN, "5 %", "standby" },
    { "12V+-5%", BL_MEASURES_V_DC, 12, NAN, NAN, "5 %", "standby" },
    { "12,0 V +/- 0,5 V", BL_MEASURES_V_DC, 12, 11.5, 12.5, NULL, "standby" },
    { "(12.0 ± 0.5) V", BL_MEASURES_V_DC, 12, 11.5, 12.5, NULL, "standby" },
    { "5V 4.8..5.2", BL_MEASURES_V_DC, 5, 4.8, 5.2, NULL, "standby" },
    { "5 V 4.8 .. 5.2 V", BL_MEASURES_V_DC, 5, 4.8, 5.2, NULL, "standby" },
    { "4.8 to 5.2 V", BL_MEASURES_V_DC, NAN, 4.8, 5.2, NULL, "standby" },
    { "4,8–5,2", BL_MEASURES_V_DC, NAN, 4.8, 5.2, NULL, "standby" },
    { "-12 V -12.6..-11.4", BL_MEASURES_V_DC, -12, -12.6, -11.4, NULL, "standby" },
    { "980k ±10%", BL_MEASURES_OHM, 980e3, NAN, NAN, "10 %", "off" },
    { "4K7 ±5 %", BL_MEASURES_OHM, 4700, NAN, NAN, "5 %", "off" },
    { "> 2M", BL_MEASURES_OHM, NAN, 2e6, NAN, NULL, "off" },
    { "470 ohm ±5 %", BL_MEASURES_OHM, 470, NAN, NAN, "5 %", "off" },
    { "470 Ω ±5 %", BL_MEASURES_OHM, 470, NAN, NAN, "5 %", "off" },
    { "0.3 ohm ESR", BL_MEASURES_ESR, 0.3, NAN, NAN, NULL, "off" },
    { "< 10 V off", BL_MEASURES_V_DC, NAN, NAN, 10, NULL, "off" },
    { "≤300 mV", BL_MEASURES_V_DC, NAN, NAN, 0.3, NULL, "standby" },
    { "325 V DC run ±10 %", BL_MEASURES_V_DC, 325, NAN, NAN, "10 %", "run" },
    { "230 V AC ±10 %", BL_MEASURES_V_AC, 230, NAN, NAN, "10 %", "standby" },
    { "230VAC ±10% in run", BL_MEASURES_V_AC, 230, NAN, NAN, "10 %", "run" },
    { "0.5 Vpp < 1", BL_N_MEASURES, 0, 0, 0, NULL, NULL }, /* refused: a value and a limit */
    { "< 1.5Vpp", BL_MEASURES_V_PP, NAN, NAN, 1.5, NULL, "standby" },
    { "0.5..0.7 diode", BL_MEASURES_DIODE, NAN, 0.5, 0.7, NULL, "off" },
    { "diode 0.55 ±0.1", BL_MEASURES_DIODE, 0.55, 0.45, 0.65, NULL, "off" },
    { "10 µF +10 -20 %", BL_MEASURES_F, 10e-6, NAN, NAN, "+10 %/-20 %", "off" },
    { "470 uF -20/+50 %", BL_MEASURES_F, 470e-6, NAN, NAN, "+50 %/-20 %", "off" },
    { "12 V +1 -0.5 V", BL_MEASURES_V_DC, 12, NAN, NAN, NULL, "standby" }, /* "1" of what? refused, below */
    { "> 12 V +1V -0.5V", BL_N_MEASURES, 0, 0, 0, NULL, NULL }, /* refused: from no value */
    { "12 V ±0.5 V +10 -20 %", BL_MEASURES_V_DC, 12, 11.5, 12.5, "+10 %/-20 %", "standby" },
    { "12 V +1V -0.5V", BL_MEASURES_V_DC, 12, 11.5, 13, NULL, "standby" },
    { "120 Hz 80..160 fan", BL_MEASURES_HZ, 120, 80, 160, NULL, "run" },
    { "20 mA DC ±20 %", BL_MEASURES_A_DC, 20e-3, NAN, NAN, "20 %", "standby" },
    { "25 °C 20..30", BL_MEASURES_DEGC, 25, 20, 30, NULL, "standby" },
  };
  g_autoptr (BlBoard) board = small_board ();

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      BlEntryHabit habit;
      g_autoptr (GError) error = NULL;
      bl_entry_habit_init (&habit);
      g_autoptr (BlEntryLine) line = bl_entry_line_read (board, "TP4", &habit, cases[i].text, NULL, &error);
      bl_entry_habit_clear (&habit);
      g_test_message ("%s: %s", cases[i].text, error != NULL ? error->message : "read");
      if (cases[i].measures == BL_N_MEASURES || strstr (cases[i].text, "+1 -") != NULL)
        {
          g_assert_null (line);
          continue;
        }
      g_assert_no_error (error);
      const BlMeasurement *m = line->measurement;
      g_assert_cmpint (m->measures, ==, cases[i].measures);
      g_assert_true (SAME (cases[i].nominal, m->expected.nominal.value));
      g_assert_true (SAME (cases[i].low, m->expected.low.value));
      g_assert_true (SAME (cases[i].high, m->expected.high.value));
      g_assert_cmpstr (m->expected.tolerance, ==, cases[i].tolerance);
      g_assert_cmpstr (m->state, ==, cases[i].state);
    }
}

static void
test_checks (void)
{
  static const struct
  {
    const char *text, *title;
    int answer;
  } cases[] = { { "lit", "lit", 1 },
                { "not lit", "lit", 0 },
                { "yes", NULL, 1 },
                { "relay clicks? yes", "relay clicks", 1 },
                { "relay clicks?", "relay clicks", 1 },
                { "fuse blackened? no off", "fuse blackened", 0 } };
  g_autoptr (BlBoard) board = small_board ();
  BlEntryHabit habit;

  bl_entry_habit_init (&habit);
  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (BlEntryLine) line = read_at (board, "TP4", &habit, cases[i].text);
      g_assert_cmpint (line->measurement->measures, ==, BL_MEASURES_CHECK);
      g_assert_cmpint (line->measurement->expected.answer, ==, cases[i].answer);
      g_assert_cmpstr (line->title, ==, cases[i].title);
      g_assert_null (line->measurement->black);
      bl_entry_habit_learn (&habit, board, line);
    }
  /* A check in between changes nothing of what is measured. */
  g_assert_cmpint (habit.measures, ==, BL_MEASURES_V_DC);
  g_autoptr (BlEntryLine) swing = read_at (board, "TP4", &habit, "0..0.4 / 23..24 V");
  g_assert_cmpint (swing->measurement->measures, ==, BL_MEASURES_SWING);
  g_assert_cmpfloat (swing->measurement->expected.max[0].value, ==, 23);
  g_autoptr (BlEntryLine) ends = read_at (board, "TP4", &habit, "0.5..23 ±1 V swing");
  g_assert_true (SAME (-0.5, ends->measurement->expected.min[0].value));
  g_assert_true (SAME (24.0, ends->measurement->expected.max[1].value));
  bl_entry_habit_clear (&habit);
}

static void
test_refused (void)
{
  static const struct
  {
    const char *text, *wrong, *reason; /* what is marked, and a word of why */
  } cases[] = {
    { "12 A ±5 %", "12 A ±5 %", "A DC or A AC" },
    { "12 V ±0.5", "±0.5", "of what" },
    { "12 V +1 -0.5 V", NULL, "of what" },
    { "12 V 5 %", NULL, "±" },
    { "4.8-5.2 V", NULL, "two points" },
    { "1..5k", "1..5k", "one end" },
    { "470u ±20 %", "470u ±20 %", "farad" },
    { "5.2..4.8 V", NULL, "lower limit" },
    { "12 V ru", NULL, NULL }, /* "ru" begins run alone: taken, below */
    { "12 V nonsense", "nonsense", "no kind" },
    { "12 V ±5 % black TP77", "TP77", "no test point" },
    { "60..80 ohm reads rail5", "rail5", "does not read" },
    { "12 V ±5 % black TP4", "TP4", "both leads" },
    { "12 V ±5 % reads rail", "rail", "could be" },
    { "12 V ±5 % reads nowhere", "nowhere", "no stage" },
    { "230 V AC DC", "DC", "already" },
    { "12 V off run", "run", "already" },
    { "OL", "OL", ">" },
    { "12 V short 5", "short 5", "no class" },
    { "12.3.4 V ±5 %", "12.3.4 V", "decimal" },
    { "6 V 4.8..5.2", NULL, "outside" },
    { "~12 V", NULL, "number" },
    { "5 V 4.8..5.2 absent 4.9", NULL, NULL },
  };
  g_autoptr (BlBoard) board = small_board ();

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      BlEntryHabit habit;
      BlSpan place = { 0, 0 };
      bl_entry_habit_init (&habit);
      g_autoptr (BlEntryLine) line = bl_entry_line_read (board, "TP4", &habit, cases[i].text, &place, &error);
      bl_entry_habit_clear (&habit);
      g_test_message ("%s: %s", cases[i].text, error != NULL ? error->message : "read");
      if (strcmp (cases[i].text, "12 V ru") == 0)
        {
          g_assert_nonnull (line);
          g_assert_cmpstr (line->measurement->state, ==, "run");
          continue;
        }
      g_assert_null (line);
      g_assert_nonnull (error);
      g_assert_cmpuint (place.from + place.length, <=, strlen (cases[i].text));
      if (cases[i].reason != NULL)
        g_assert_nonnull (strstr (error->message, cases[i].reason));
      g_autofree char *marked = g_strndup (cases[i].text + place.from, place.length);
      if (cases[i].wrong != NULL)
        g_assert_cmpstr (marked, ==, cases[i].wrong);
    }
}

/* Kind, state and black lead stay; ohms go without power and volts back; a lead stays on its ground. */
static void
test_stays (void)
{
  static const struct
  {
    const char *point, *text;
    BlMeasures measures;
    const char *state, *black;
  } steps[] = {
    { "TP1", "12 V ±5 % run black TP0", BL_MEASURES_V_DC, "run", "TP0" },
    { "TP2", "5 ±5 %", BL_MEASURES_V_DC, "run", "TP0" },
    { "TP2", "60..80 ohm", BL_MEASURES_OHM, "off", "TP0" },
    { "TP1", "40..60", BL_MEASURES_OHM, "off", "TP0" },
    { "TP1", "11.4..12.6 V", BL_MEASURES_V_DC, "run", "TP0" },
    { "TP1", "< 0.2 V off", BL_MEASURES_V_DC, "off", "TP0" },
    { "TP1", "12 V ±5 %", BL_MEASURES_V_DC, "run", "TP0" },
    { "TP3", "325 V ±10 % standby", BL_MEASURES_V_DC, "standby", NULL }, /* not TP0: another ground */
    { "TP3", "325 V ±10 % black tph", BL_MEASURES_V_DC, "standby", "TPH" },
    { "TP1", "12 V ±5 % to TP0", BL_MEASURES_V_DC, "standby", "TP0" },
    { "TP3", "1 V ±10 %", BL_MEASURES_V_DC, "standby", "TPH" },
    { "TP3", "9 V AC ±10 %", BL_MEASURES_V_AC, "standby", "TPH" },
    { "TP3", "9 V ±10 %", BL_MEASURES_V_AC, "standby", "TPH" },
    { "TP1", "0.5..0.7 diode", BL_MEASURES_DIODE, "off", "TP0" },
    { "TP2", "0.5..0.7", BL_MEASURES_DIODE, "off", "TP0" },
    { "TP2", "9 V ±10 %", BL_MEASURES_V_AC, "standby", "TP0" },
  };
  g_autoptr (BlBoard) board = small_board ();
  BlEntryHabit habit;

  bl_entry_habit_init (&habit);
  for (guint i = 0; i < G_N_ELEMENTS (steps); i++)
    {
      g_autoptr (BlEntryLine) line = read_at (board, steps[i].point, &habit, steps[i].text);
      g_test_message ("%u %s", i, steps[i].text);
      g_assert_cmpint (line->measurement->measures, ==, steps[i].measures);
      g_assert_cmpstr (line->measurement->state, ==, steps[i].state);
      g_assert_cmpstr (line->measurement->black, ==, steps[i].black);
      bl_entry_habit_learn (&habit, board, line);
    }
  bl_entry_habit_pin_state (&habit, "off");
  g_autoptr (BlEntryLine) pinned = read_at (board, "TP1", &habit, "< 1 V DC");
  g_assert_cmpstr (pinned->measurement->state, ==, "off");
  bl_entry_habit_clear (&habit);
}

static void
test_reads (void)
{
  static const struct
  {
    const char *point, *text, *reads;
    BlReadsWhy why;
  } cases[] = {
    { "TP1", "12 V ±5 %", "rail12", BL_READS_OUTLINE },
    { "TP2", "5 V ±5 %", "rail5", BL_READS_OUTLINE }, /* the smaller of two */
    { "TP3", "325 V ±10 %", "bus", BL_READS_NAME },
    { "TP4", "12 V ±5 %", NULL, BL_READS_NOTHING },
    { "TP4", "12 V ±5 % reads rail12", "rail12", BL_READS_SAID },
    { "TP4", "12 V ±5 % reads drive", "bus", BL_READS_SAID },
    { "TP2", "5 V ±5 % reads none", NULL, BL_READS_SAID },
    { "TP2", "60..80 ohm", NULL, BL_READS_NOTHING },
    { "TP2", "< 10 V", NULL, BL_READS_NOTHING },
    { "TP2", "5 V ±5 % off", NULL, BL_READS_NOTHING },
    { "TP2", "lit", "rail5", BL_READS_OUTLINE },
  };
  g_autoptr (BlBoard) board = small_board ();
  BlEntryHabit habit;

  bl_entry_habit_init (&habit);
  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (BlEntryLine) line = read_at (board, cases[i].point, &habit, cases[i].text);
      g_autofree char *words = bl_entry_line_words (board, line), *doubt = bl_entry_line_doubt (board, line);
      g_test_message ("%s: %s (%s)", cases[i].text, words, doubt);
      g_assert_cmpstr (line->measurement->reads, ==, cases[i].reads);
      g_assert_cmpint (line->reads_why, ==, cases[i].why);
      g_assert_cmpint (doubt != NULL, ==, strstr (cases[i].text, "5 % off") != NULL);
    }
  /* What is read at the point already goes before words. */
  g_autoptr (BlEntryLine) first = read_at (board, "TP4", &habit, "12 V ±5 % reads bus");
  g_autofree char *id = bl_entry_line_add (first, board);
  g_autoptr (BlEntryLine) second = read_at (board, "TP4", &habit, "12.4 V ±5 % run");
  g_assert_cmpstr (second->measurement->reads, ==, "bus");
  g_assert_cmpint (second->reads_why, ==, BL_READS_SAME_POINT);
  bl_entry_habit_clear (&habit);
}

static void
test_title (void)
{
  g_autoptr (BlBoard) board = small_board ();
  BlEntryHabit habit;

  bl_entry_habit_init (&habit);
  g_autoptr (BlEntryLine) line
    = read_at (board, "TP4", &habit, "5 V at U3 pin 3: 5 V 4.8..5.2 absent 0,1 V to TP0 reads rail5");
  g_autofree char *id = bl_entry_line_add (line, board);
  const BlMeasurement *kept = bl_board_measurement (board, id);
  g_assert_cmpstr (id, ==, "M1");
  g_assert_cmpstr (bl_board_test_point (board, "TP4")->title, ==, "5 V at U3 pin 3");
  g_assert_cmpstr (bl_board_test_point (board, "TP4")->ground, ==, "isolated"); /* as TP0 */
  g_assert_null (kept->title);
  g_assert_cmpfloat (kept->expected.absent_below.value, ==, 0.1);
  g_assert_cmpstr (kept->expected.absent_below.text, ==, "0.1 V"); /* documents have the point */
  bl_entry_habit_learn (&habit, board, line);
  g_autoptr (BlEntryLine) ohm = read_at (board, "TP4", &habit, "rail to 0 V: 45..80 ohm short 2 open 100k series");
  g_autofree char *second = bl_entry_line_add (ohm, board);
  kept = bl_board_measurement (board, second);
  g_assert_cmpstr (kept->title, ==, "rail to 0 V"); /* the point has one already */
  g_assert_cmpfloat (kept->expected.shorted_below.value, ==, 2);
  g_assert_cmpfloat (kept->expected.open_above.value, ==, 1e5);
  g_assert_cmpint (kept->series, ==, 1);
  g_autoptr (BlEntryLine) wrong = read_at (board, "TP3", &habit, "12 V ±5 % black TP0");
  g_autofree char *doubt = bl_entry_line_doubt (board, wrong);
  g_assert_nonnull (strstr (doubt, "hot"));
  bl_entry_habit_clear (&habit);
}

/* Made-up texts: pieces of lines, cut, joined and with bytes changed. An error is set exactly when nothing is
 * read, its place lies in the line, and what is read keeps the rules of the document. */
static void
test_random (void)
{
  static const char *const pieces[] = {
    "12", "V", "±", "5", "%", "..", "4.8", "5,2", "<", ">", "2M", "980k", "diode", "DC", "AC", "run", "off", "in", "black",
    "TP0", "to", "reads", "rail5", "none", "lit", "not", "yes", "?", ": ", "/", "+10", "-20", "µF", "Ω", "absent", "short",
    "open", "series", "swing", "(", ")", "pp", "1e999", "−", "…", "–", "\xc3", "OL", "R47", "+/-", "ESR", "Hz", "e", "nan",
  };
  g_autoptr (BlBoard) board = small_board ();
  g_autoptr (GRand) rand = g_rand_new_with_seed (1);
  guint read = 0;

  for (guint round = 0; round < 30000; round++)
    {
      g_autoptr (GString) text = g_string_new (NULL);
      g_autoptr (GError) error = NULL;
      BlEntryHabit habit;
      BlSpan place = { 0, 0 };

      for (int n = g_rand_int_range (rand, 0, 9); n > 0; n--)
        {
          g_string_append (text, pieces[g_rand_int_range (rand, 0, G_N_ELEMENTS (pieces))]);
          if (g_rand_boolean (rand))
            g_string_append_c (text, ' ');
        }
      if (g_rand_int_range (rand, 0, 4) == 0 && text->len > 0)
        text->str[g_rand_int_range (rand, 0, (gint32) text->len)] = (char) g_rand_int_range (rand, 1, 256);
      bl_entry_habit_init (&habit);
      bl_entry_habit_set_kind (&habit, (BlMeasures) g_rand_int_range (rand, 0, BL_N_MEASURES));
      g_autoptr (BlEntryLine) line = bl_entry_line_read (board, "TP2", &habit, text->str, &place, &error);
      bl_entry_habit_clear (&habit);
      if ((line != NULL) != (error == NULL))
        g_error ("%s", text->str);
      if (line == NULL)
        {
          g_assert_cmpuint (place.from + place.length, <=, text->len);
          g_assert_true (g_utf8_validate (error->message, -1, NULL));
          continue;
        }
      read++;
      g_autoptr (BlBoard) copy = bl_board_copy (board);
      g_autofree char *id = bl_entry_line_add (line, copy);
      g_autofree char *words = bl_entry_line_words (copy, line), *doubt = bl_entry_line_doubt (copy, line);
      g_autofree char *document = bl_document_write (copy);
      g_autoptr (BlBoard) back = bl_document_parse (document, -1, NULL, &error);
      if (error != NULL)
        g_error ("%s: %s", text->str, error->message);
      g_assert_nonnull (words);
    }
  g_test_message ("%u of 30000 texts were lines", read);
  g_assert_cmpuint (read, >, 500);
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/entry-line/taken", test_taken);
  g_test_add_func ("/model/entry-line/checks", test_checks);
  g_test_add_func ("/model/entry-line/refused", test_refused);
  g_test_add_func ("/model/entry-line/stays", test_stays);
  g_test_add_func ("/model/entry-line/reads", test_reads);
  g_test_add_func ("/model/entry-line/title", test_title);
  g_test_add_func ("/model/entry-line/random", test_random);
  return g_test_run ();
}
