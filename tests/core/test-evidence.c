/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tables of readings (RFC 4180 and what spreadsheets make of it), rounds, and readings judged among
 * each other. */
#undef G_DISABLE_ASSERT
#include "bl-csv.h"
#include "bl-evidence.h"
#include "fixture-board.h"

#include <string.h>

#define HEADER "measurement,reading,meter\n"

static void
add_measurement (BlBoard *board, BlMeasurement *m)
{
  bl_append (&board->measurements, m, (GDestroyNotify) bl_measurement_free);
}

/* A board with a rail M5, a resistance M9, a check V1, a temperature T1 and a voltage MT that
 * follows it; a part D5, a symptom E1, a test point of 1 Mohm. */
static BlBoard *
make_board (void)
{
  static const double line[] = { 0, 1, 100, 2 };
  BlBoard *board = bl_board_new ();
  BlComponent *component = bl_component_new ();
  BlMode *mode = bl_mode_new ();
  BlSymptom *symptom = bl_symptom_new ();
  BlTestPoint *point = bl_test_point_new ();
  BlMeasurement *m5 = measurement ("M5", BL_MEASURES_V_DC, 5, 4.8, 5.2);
  BlMeasurement *mt = measurement ("MT", BL_MEASURES_V_DC, NAN, NAN, NAN);

  mode->mode = g_strdup ("open");
  component->id = g_strdup ("D5");
  component->stage = g_strdup ("rail5");
  bl_append (&component->modes, mode, (GDestroyNotify) bl_mode_free);
  bl_append (&board->components, component, (GDestroyNotify) bl_component_free);
  symptom->id = g_strdup ("E1");
  bl_append (&board->symptoms, symptom, (GDestroyNotify) bl_symptom_free);
  point->id = g_strdup ("TP5");
  point->source_ohm = quantity (1e6);
  bl_append (&board->test_points, point, (GDestroyNotify) bl_test_point_free);
  m5->at = g_strdup ("TP5");
  add_measurement (board, m5);
  add_measurement (board, measurement ("M9", BL_MEASURES_OHM, 1e6, 0.9e6, 1.1e6));
  add_measurement (board, measurement ("V1", BL_MEASURES_CHECK, NAN, NAN, NAN));
  add_measurement (board, measurement ("T1", BL_MEASURES_DEGC, NAN, NAN, NAN));
  follow (mt, "T1", line, G_N_ELEMENTS (line), 0.02);
  add_measurement (board, mt);
  return board;
}

static GPtrArray *
parse (const BlBoard *board, const char *text)
{
  g_autoptr (GError) error = NULL;
  GPtrArray *entries = bl_evidence_parse_csv (board, text, -1, &error);

  g_assert_no_error (error);
  return entries;
}

static void
assert_entry (GPtrArray *entries, guint index, BlEntryKind kind, const char *subject, const char *text, guint line)
{
  const BlEntry *entry = g_ptr_array_index (entries, index);

  g_assert_cmpint (entry->kind, ==, kind);
  g_assert_cmpstr (entry->subject, ==, subject);
  g_assert_cmpstr (entry->text, ==, text);
  g_assert_cmpuint (entry->line, ==, line);
}

static void
test_table (void)
{
  g_autoptr (BlBoard) board = make_board ();
  g_autoptr (GPtrArray) entries =
    parse (board, "\xef\xbb\xbfmeasurement,reading,meter\r\n"
                  "M5,\"11,8 V\",0.5%+3@0.01 in 10M\r\n"
                  "\r\n"
                  " M9 , 1M1 ,\r\n"
                  ",,\n"
                  "V1,yes\n"
                  "part:D5,replaced,\n"
                  "part:D5,open\n"
                  "part:D5,good\n"
                  "round,wet\n"
                  "symptom:E1,no\n"
                  "M5,-");

  g_assert_cmpuint (entries->len, ==, 9);
  assert_entry (entries, 0, BL_ENTRY_READING, "M5", "11,8 V", 2);
  g_assert_cmpfloat (((BlEntry *) entries->pdata[0])->reading.value, ==, 11.8);
  g_assert_cmpstr (((BlEntry *) entries->pdata[0])->meter, ==, "0.5%+3@0.01 in 10M");
  assert_entry (entries, 1, BL_ENTRY_READING, "M9", "1M1", 4);
  g_assert_null (((BlEntry *) entries->pdata[1])->meter);
  assert_entry (entries, 2, BL_ENTRY_READING, "V1", "yes", 6);
  assert_entry (entries, 3, BL_ENTRY_REPLACED, "D5", "replaced", 7);
  assert_entry (entries, 4, BL_ENTRY_PART_TEST, "D5", "open", 8);
  assert_entry (entries, 5, BL_ENTRY_PART_TEST, "D5", "good", 9);
  assert_entry (entries, 6, BL_ENTRY_ROUND, NULL, "wet", 10);
  assert_entry (entries, 7, BL_ENTRY_SYMPTOM, "E1", "no", 11);
  assert_entry (entries, 8, BL_ENTRY_READING, "M5", "-", 12);
}

/* A diode read both ways: the table and the log keep what was typed, the verdict takes both. */
static void
test_both_ways (void)
{
  g_autoptr (BlBoard) board = make_board ();
  g_autoptr (GPtrArray) entries = NULL, judged = NULL;
  g_autofree char *line = NULL;

  add_measurement (board, measurement ("D1", BL_MEASURES_DIODE, 0.55, 0.5, 0.6));
  entries = parse (board, "measurement,reading\nD1,0.52/OL\nD1,\"0,52 / 0,002\"\n");
  judged = bl_evidence_judge (board, entries, NULL);
  assert_entry (entries, 0, BL_ENTRY_READING, "D1", "0.52/OL", 2);
  assert_entry (entries, 1, BL_ENTRY_READING, "D1", "0,52 / 0,002", 3);
  line = bl_entry_to_csv (entries->pdata[0]);
  g_assert_true (g_str_has_prefix (line, "D1,0.52/OL"));
  g_assert_cmpstr (bl_verdict_label (((BlJudged *) judged->pdata[0])->verdict), ==, "in band");
  g_assert_cmpstr (bl_verdict_label (((BlJudged *) judged->pdata[1])->verdict), ==, "shorted");
}

static void
test_semicolons (void)
{
  g_autoptr (BlBoard) board = make_board ();
  g_autoptr (GPtrArray) entries = parse (board, "measurement;reading;meter\nM5;11,8 V;0,5%\n");

  g_assert_cmpuint (entries->len, ==, 1);
  g_assert_cmpfloat (((BlEntry *) entries->pdata[0])->reading.value, ==, 11.8);
}

static void
test_refused (void)
{
  static const struct
  {
    const char *text, *line, *reason;
  } rows[] = {
    { "", "line 1:", "header" },
    { "M5,5\n", "line 1:", "not a column" },
    { "measurement,meter\n", "line 1:", "lacks a column" },
    { "measurement,reading,reading\n", "line 1:", "not a column" },
    { HEADER "M5,5\n\nMX,5\n", "line 4:", "no measurement “MX”" },
    { HEADER "M5,5 A\n", "line 2:", "in A where V is expected" },
    { HEADER "M5,abc\n", "line 2:", "M5" },
    { HEADER "M5\n", "line 2:", "fields" },
    { HEADER "M5,11,8,0.5%\n", "line 2:", "4 fields where 3" },
    { HEADER "M5,11,8\n", "line 2:", "accuracy" },
    { HEADER "part:R1,good\n", "line 2:", "no component “R1”" },
    { HEADER "part:D5,short\n", "line 2:", "failure mode of D5" },
    { HEADER "symptom:E9,yes\n", "line 2:", "no symptom “E9”" },
    { HEADER "symptom:E1,maybe\n", "line 2:", "“yes” or “no”" },
    { HEADER "round,wet,0.5%\n", "line 2:", "meter belongs to a reading" },
    { HEADER "V1,ja\n", "line 2:", "yes, no or -" },
    { HEADER "M5,\"5\n", "line 2:", "quote is not closed" },
    { HEADER "M5,\"5\"x\n", "line 2:", "closing quote" },
    { HEADER "M5,5\"x\n", "line 2:", "inside a field" },
    { HEADER "M5,5\n\xff\n", "line 3:", "not UTF-8" },
    { HEADER "\"M5\n\",5\nMX,5\n", "line 4:", "no measurement “MX”" },
  };
  g_autoptr (BlBoard) board = make_board ();

  for (gsize i = 0; i < G_N_ELEMENTS (rows); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (GPtrArray) entries = bl_evidence_parse_csv (board, rows[i].text, -1, &error);

      if (entries != NULL)
        g_error ("row %d was taken", (int) i);
      if (!g_str_has_prefix (error->message, rows[i].line) ||
          strstr (error->message, rows[i].reason) == NULL)
        g_error ("row %d: %s", (int) i, error->message);
    }
}

/* What is written is read back. */
static void
test_written (void)
{
  g_autoptr (BlBoard) board = make_board ();
  g_autoptr (GPtrArray) entries =
    parse (board, HEADER "M5,\"11,8 V\",0.5%\nM9,OL\npart:D5,replaced\npart:D5,open\nround,\"a,\"\"b\"\"\"\n"
                         "symptom:E1,yes\n");
  g_autoptr (GString) out = g_string_new (HEADER);
  g_autoptr (GPtrArray) back = NULL;

  for (guint i = 0; i < entries->len; i++)
    {
      g_autofree char *line = bl_entry_to_csv (entries->pdata[i]);

      g_string_append_printf (out, "%s\n", line);
    }
  back = parse (board, out->str);
  g_assert_cmpuint (back->len, ==, entries->len);
  for (guint i = 0; i < back->len; i++)
    {
      const BlEntry *one = entries->pdata[i], *two = back->pdata[i];

      g_assert_cmpint (one->kind, ==, two->kind);
      g_assert_cmpstr (one->subject, ==, two->subject);
      g_assert_cmpstr (one->text, ==, two->text);
      g_assert_cmpstr (one->meter, ==, two->meter);
    }
}

/* The examples of RFC 4180 section 2: quoted fields, doubled quotes, a line break inside quotes. */
static void
test_rfc_4180 (void)
{
  g_autoptr (GPtrArray) records =
    bl_csv_parse ("\"aaa\",\"b CRLF\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx\r\n\"aaa\",\"b\"\"bb\",\"ccc\"", -1, NULL);

  g_assert_cmpuint (records->len, ==, 3);
  g_assert_cmpstr (((BlCsvRecord *) records->pdata[0])->fields[1], ==, "b CRLF\r\nbb");
  g_assert_cmpstr (((BlCsvRecord *) records->pdata[1])->fields[2], ==, "xxx");
  g_assert_cmpuint (((BlCsvRecord *) records->pdata[1])->line, ==, 3);
  g_assert_cmpstr (((BlCsvRecord *) records->pdata[2])->fields[1], ==, "b\"bb");
}

static void
test_rounds (void)
{
  g_autoptr (BlBoard) board = make_board ();
  g_autoptr (GPtrArray) entries =
    parse (board, HEADER "M5,5\nround,wet\nM5,5\npart:D5,replaced\nM5,5\nround,\nM5,5\n");
  g_auto (GStrv) conditions = NULL;
  g_autoptr (GPtrArray) list = NULL;

  g_assert_cmpuint (bl_evidence_rounds (entries, &conditions), ==, 4);
  g_assert_cmpuint (g_strv_length (conditions), ==, 4);
  g_assert_cmpstr (conditions[0], ==, "");
  g_assert_cmpstr (conditions[1], ==, "wet");
  g_assert_cmpstr (conditions[2], ==, "wet");
  g_assert_cmpstr (conditions[3], ==, "");
  g_assert_cmpuint (bl_evidence_rounds (NULL, NULL), ==, 1);
  list = bl_evidence_judge (board, entries, NULL);
  g_assert_cmpuint (list->len, ==, 4);
  for (guint i = 0; i < 4; i++)
    {
      const BlJudged *judged = list->pdata[i];

      g_assert_cmpuint (judged->round, ==, i + 1);
      g_assert_true (judged->last);
    }
}

static void
test_repeats (void)
{
  static const struct
  {
    gboolean last;
    guint repeats;
  } expected[] = {
    { FALSE, 1 }, /* 5 */
    { FALSE, 1 }, /* 3 */
    { FALSE, 2 }, /* 3.1 */
    { FALSE, 1 }, /* - says nothing and breaks nothing */
    { TRUE, 3 },  /* 3.2 */
    { FALSE, 1 }, /* -5: reversed, no evidence */
    { TRUE, 1 },  /* next round */
    { TRUE, 1 },  /* of another measurement, which was never reached */
  };
  g_autoptr (BlBoard) board = make_board ();
  g_autoptr (GPtrArray) entries =
    parse (board, HEADER "M5,5\nM5,3\nM5,3.1\nM5,-\nM5,3.2\nM5,-5\nround,\nM5,3.2\nM9,-\n");
  g_autoptr (GPtrArray) list = bl_evidence_judge (board, entries, NULL);

  g_assert_cmpuint (list->len, ==, G_N_ELEMENTS (expected));
  for (guint i = 0; i < list->len; i++)
    {
      const BlJudged *judged = list->pdata[i];

      g_assert_cmpint (judged->last, ==, expected[i].last);
      g_assert_cmpuint (judged->repeats, ==, expected[i].repeats);
    }
  g_assert_true (((BlJudged *) list->pdata[5])->verdict->reversed);
  g_assert_false (((BlJudged *) list->pdata[7])->verdict->evidence);
}

/* MT follows T1 (1 V at 0 degC, 2 V at 100): the last temperature of the job counts, and its
 * uncertainty times the slope joins the meter's own. */
static void
test_follows (void)
{
  g_autoptr (BlBoard) board = make_board ();
  g_autoptr (GPtrArray) entries = parse (board, HEADER "T1,20\nMT,1.5,1@0.003\nT1,50,1@4\n");
  g_autoptr (GPtrArray) list = bl_evidence_judge (board, entries, NULL);
  g_autoptr (GPtrArray) unread = parse (board, HEADER "MT,1.5\n");
  g_autoptr (GPtrArray) unjudged = bl_evidence_judge (board, unread, NULL);
  const BlJudged *judged = list->pdata[1];

  g_assert_cmpfloat_with_epsilon (judged->band->nominal, 1.5, 1e-12);
  g_assert_cmpfloat_with_epsilon (judged->verdict->u * sqrt (3), hypot (0.003, 0.04), 1e-12);
  judged = unjudged->pdata[0];
  g_assert_null (judged->band);
  g_assert_false (judged->verdict->evidence);
}

/* M5 read with swapped leads last: the follower keeps to the reading before it. Alone, the limits
 * given hold, and a loop of followers ends. */
static void
test_follows_reversed (void)
{
  static const double line[] = { 0, 2, 5, 6 };
  g_autoptr (BlBoard) board = make_board ();
  BlMeasurement *mf = measurement ("MF", BL_MEASURES_V_DC, 10, 9, 11);
  g_autoptr (GPtrArray) entries = parse (board, HEADER "M5,5\nM5,-5\n");
  g_autoptr (GPtrArray) alone = parse (board, HEADER "M5,-5\n");

  follow (mf, "M5", line, G_N_ELEMENTS (line), 0.02);
  add_measurement (board, mf);
  for (guint i = 0; i < 3; i++)
    {
      g_autoptr (GPtrArray) more = parse (board, HEADER "MF,6\n");
      GPtrArray *rows = i == 1 ? alone : entries;
      g_autoptr (GPtrArray) list = NULL;
      const BlJudged *judged;

      if (i == 2)
        follow (bl_at (board->measurements, 0), "MF", line, G_N_ELEMENTS (line), 0.02);
      g_ptr_array_extend_and_steal (rows, g_steal_pointer (&more));
      list = bl_evidence_judge (board, rows, NULL);
      g_assert_nonnull (list);
      judged = list->pdata[list->len - 1];
      if (i < 2)
        g_assert_cmpfloat_with_epsilon (judged->band->nominal, i == 1 ? 10 : 6, 1e-12);
    }
}

static void
test_loading_and_kept (void)
{
  g_autoptr (BlBoard) board = make_board ();
  g_autoptr (GPtrArray) entries = parse (board, HEADER "M5,4.5454545454545,in 10M\nM5,5\n");
  g_autoptr (GPtrArray) list = bl_evidence_judge (board, entries, NULL);
  g_autoptr (GPtrArray) again = NULL;
  BlEntry *second = entries->pdata[1];

  g_assert_cmpfloat_with_epsilon (((BlJudged *) list->pdata[0])->verdict->value, 5, 1e-9);
  g_assert_cmpstr (bl_verdict_label (((BlJudged *) list->pdata[0])->verdict), ==, "in band");
  second->judged = bl_verdict_copy (((BlJudged *) list->pdata[1])->verdict);
  second->reading.value = 3;
  again = bl_evidence_judge (board, entries, NULL);
  g_assert_cmpstr (bl_verdict_label (((BlJudged *) again->pdata[1])->verdict), ==, "in band");
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/evidence/table", test_table);
  g_test_add_func ("/core/evidence/both-ways", test_both_ways);
  g_test_add_func ("/core/evidence/semicolons", test_semicolons);
  g_test_add_func ("/core/evidence/refused", test_refused);
  g_test_add_func ("/core/evidence/written", test_written);
  g_test_add_func ("/core/evidence/rfc-4180", test_rfc_4180);
  g_test_add_func ("/core/evidence/rounds", test_rounds);
  g_test_add_func ("/core/evidence/repeats", test_repeats);
  g_test_add_func ("/core/evidence/follows", test_follows);
  g_test_add_func ("/core/evidence/follows-reversed", test_follows_reversed);
  g_test_add_func ("/core/evidence/loading-and-kept", test_loading_and_kept);
  return g_test_run ();
}
