/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Practice: what is due on which day, weak spots in a set, copies of boards, results as CSV, and that the library of the
 * shop has nothing of it. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-practice-private.h"

#include "example.h"
#include "scratch.h"

#include "bl-csv.h"
#include "bl-database.h"
#include "bl-library-steps.h"
#include "bl-worked-case.h"

#include <string.h>

#define DAY (24 * 3600 * (gint64) G_USEC_PER_SEC)
#define MONDAY (G_GINT64_CONSTANT (1796040000) * G_USEC_PER_SEC) /* 2026-11-30 12:00 UTC */

static gint64 now = MONDAY;

static gint64
test_clock (void)
{
  return now;
}

typedef struct
{
  char *folder, *path;
  BlLibrary *shop;
  BlPractice *practice;
  gint64 board;
  char *uid;
  guint n_changed;
} Fixture;

static void
changed_cb (Fixture *fixture)
{
  fixture->n_changed++;
}

static void
set_up (Fixture *fixture, gconstpointer data)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = example_board ();
  g_autoptr (GBytes) image = g_bytes_new_static ("picture", 7);

  g_free (board->board_number);
  board->board_number = g_strdup ("RB-17");
  fixture->uid = g_strdup (board->uid);
  now = MONDAY;
  bl_library_set_clock (test_clock);
  fixture->folder = scratch_new ();
  /* In memory but where the file is looked into: a disk that others use makes every answer wait. */
  g_autofree char *shop = data != NULL ? scratch_file (fixture->folder, "shop") : g_strdup (":memory:");
  fixture->path = data != NULL ? scratch_file (fixture->folder, "practice") : g_strdup (":memory:");
  fixture->shop = bl_library_open (shop, TRUE, &error);
  g_assert_no_error (error);
  fixture->board = bl_library_add_board (fixture->shop, board, FALSE, &error);
  bl_library_put_board_photo (fixture->shop, fixture->board, ((BlPhoto *) bl_at (board->photos, 0))->id, "image/png",
                              image, NULL, &error);
  g_assert_no_error (error);
  fixture->practice = bl_practice_new (fixture->shop, fixture->path, &error);
  g_assert_no_error (error);
  g_signal_connect_swapped (fixture->practice, "changed", G_CALLBACK (changed_cb), fixture);
}

static void
tear_down (Fixture *fixture, gconstpointer data)
{
  g_assert_finalize_object (fixture->practice);
  bl_library_close (fixture->shop);
  bl_library_set_clock (NULL);
  g_free (fixture->path);
  g_free (fixture->uid);
  scratch_free (fixture->folder);
}

static gint64
add_person (Fixture *fixture, const char *name)
{
  g_autoptr (GError) error = NULL;
  gint64 id = bl_practice_add_person (fixture->practice, name, &error);

  g_assert_no_error (error);
  return id;
}

static void
answer (Fixture *fixture, BlAnswerKind kind, const char *section, gboolean right)
{
  g_autoptr (GError) error = NULL;

  bl_practice_answer (fixture->practice, kind, fixture->uid, section, "M5", right, !right, &error);
  g_assert_no_error (error);
}

/* "Find your way: supply 0; ...": titles and days. */
static char *
topics_text (GPtrArray *topics)
{
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < topics->len; i++)
    {
      const BlTopic *topic = g_ptr_array_index (topics, i);
      g_string_append_printf (text, "%s%s %d", i > 0 ? "; " : "", topic->title, topic->days);
    }
  return g_string_free (text, FALSE);
}

static void
assert_due (Fixture *fixture, gint64 person, const char *expected)
{
  g_autoptr (GPtrArray) due = bl_practice_due (fixture->practice, person, NULL);
  g_autofree char *text = topics_text (due);

  g_assert_cmpstr (text, ==, expected);
}

static void
test_persons (Fixture *fixture, gconstpointer data)
{
  g_autoptr (GError) error = NULL;

  g_assert_null (bl_practice_get_person (fixture->practice));
  g_assert_false (bl_practice_answer (fixture->practice, BL_ANSWER_WAY, "u", "supply", "x", TRUE, FALSE, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID);
  gint64 one = add_person (fixture, "ab"), two = add_person (fixture, "cd");
  g_assert_cmpint (bl_practice_get_person (fixture->practice)->id, ==, two);
  g_assert_cmpuint (fixture->n_changed, ==, 2);
  g_assert_true (bl_practice_set_person (fixture->practice, one, NULL));
  g_assert_cmpstr (bl_practice_get_person (fixture->practice)->name, ==, "ab");
  g_assert_true (bl_practice_rename_person (fixture->practice, one, "ef", NULL));
  g_assert_true (bl_practice_remove_person (fixture->practice, two, NULL));
  g_assert_cmpuint (bl_practice_get_persons (fixture->practice)->len, ==, 1);
  g_assert_cmpstr (bl_practice_get_person (fixture->practice)->name, ==, "ef");
}

/* Day by day: right doubles the days, wrong makes it due again at once and then the next day. */
static void
test_due (Fixture *fixture, gconstpointer data)
{
  gint64 person = add_person (fixture, "ab"), other = add_person (fixture, "cd");

  g_assert_true (bl_practice_set_person (fixture->practice, person, NULL));
  assert_due (fixture, person, "");
  answer (fixture, BL_ANSWER_WAY, "supply", TRUE);
  answer (fixture, BL_ANSWER_READS, "communication", FALSE);
  assert_due (fixture, person, "What should it read: communication 0");
  answer (fixture, BL_ANSWER_READS, "communication", TRUE); /* a day */
  assert_due (fixture, person, "");
  now += DAY;
  assert_due (fixture, person, "What should it read: communication 0; Find your way: supply 0");
  answer (fixture, BL_ANSWER_WAY, "supply", TRUE); /* two days */
  now += DAY;
  assert_due (fixture, person, "What should it read: communication -1");
  now += DAY;
  assert_due (fixture, person, "What should it read: communication -2; Find your way: supply 0");
  answer (fixture, BL_ANSWER_WAY, "supply", TRUE); /* four days */
  for (guint day = 1; day < 4; day++)
    {
      g_autofree char *expected = g_strdup_printf ("What should it read: communication -%u", day + 2);
      now += DAY;
      assert_due (fixture, person, expected);
    }
  g_autoptr (GPtrArray) all = bl_practice_topics (fixture->practice, person, NULL);
  g_autofree char *text = topics_text (all);
  g_assert_cmpstr (text, ==, "What should it read: communication -5; Find your way: supply 1");
  g_assert_cmpuint (((BlTopic *) bl_at (all, 0))->n_wrong, ==, 1);
  g_assert_cmpuint (((BlTopic *) bl_at (all, 1))->n_right, ==, 3);
  g_assert_cmpfloat (bl_practice_weight (fixture->practice, person, BL_TOPIC_READS, "communication"), >,
                     bl_practice_weight (fixture->practice, person, BL_TOPIC_WAY, "supply"));
  assert_due (fixture, other, ""); /* everybody has days of their own */
}

/* Ended drills of one fault family, right or wrong. */
static void
add_past (Fixture *fixture, gint64 person, const char *family, gboolean right, guint n)
{
  BlLibrary *library = bl_practice_get_library (fixture->practice);
  BlPracticeSubject subject = { fixture->board, 0 };
  BlDrillOrder order = { BL_DRILL_SINGLE, NULL, 1 };
  static const char *const faults[] = { "U2:open", NULL };
  BlTopicRow topic = { BL_TOPIC_FAMILY, (char *) family, { 1, 1, 0 } };
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_library_begin (library, "testing", &error)); /* one transaction, for speed */
  for (guint i = 0; i < n; i++)
    {
      gint64 id = bl_practice_add_drill (fixture->practice, person, &subject, &order, &error);
      g_assert_no_error (error);
      bl_library_begin_drill (library, id, faults, &error);
      bl_library_end_drill (library, id, "rail5", "U2", &error);
      g_autoptr (BlDrillRow) row = bl_library_load_drill (library, id, &error);
      row->section_kind = g_strdup ("supply");
      row->family = g_strdup (family);
      row->stage_right = row->component_right = right;
      row->regret_s = 30;
      row->effort_s = 120;
      row->n_measured = 3;
      g_assert_true (bl_library_score_drill (library, row, &error));
      g_assert_no_error (error);
    }
  g_assert_true (bl_library_end (library, bl_library_put_topic (library, person, &topic, &error), "testing", &error));
}

#define N_SET 60

static guint
count_faults_of (Fixture *fixture, gint64 person, const char *fault)
{
  BlPracticeOrder order = { { fixture->board, 0 }, N_SET, 1 << BL_DRILL_SINGLE, NULL, 7, NULL };
  g_autoptr (GError) error = NULL;
  guint n = 0, n_composed = 0;

  g_assert_cmpuint (bl_practice_compose (fixture->practice, person, &order, &error), ==, N_SET);
  g_assert_no_error (error);
  g_autoptr (GPtrArray) drills = bl_practice_drills (fixture->practice, person, NULL);
  for (guint i = 0; i < drills->len; i++)
    {
      const BlDrillRow *row = bl_at (drills, i);
      if (row->job != 0)
        continue;
      n_composed++;
      n += g_str_equal (row->faults[0], fault);
    }
  g_assert_cmpuint (n_composed, ==, N_SET);
  return n;
}

static void
test_weak_spots (Fixture *fixture, gconstpointer data)
{
  gint64 weak = add_person (fixture, "weak"), strong = add_person (fixture, "strong"), again = add_person (fixture, "x");

  add_past (fixture, weak, "short", FALSE, 10);
  add_past (fixture, weak, "open", TRUE, 10);
  add_past (fixture, strong, "short", TRUE, 10);
  add_past (fixture, strong, "open", FALSE, 10);
  guint of_weak = count_faults_of (fixture, weak, "U2:short"), of_strong = count_faults_of (fixture, strong, "U2:short");
  g_test_message ("short circuits: %u of %d where they are weak, %u where they are strong", of_weak, N_SET, of_strong);
  g_assert_cmpuint (of_weak, >, of_strong + 5);
  /* The same past and the same seed: the same set. */
  add_past (fixture, again, "short", FALSE, 10);
  add_past (fixture, again, "open", TRUE, 10);
  g_assert_cmpuint (count_faults_of (fixture, again, "U2:short"), ==, of_weak);
}

/* Where one family is due, nothing else is drawn, and seeds are such as can be told to somebody. */
static void
test_one_family (Fixture *fixture, gconstpointer data)
{
  gint64 person = add_person (fixture, "ab");
  BlPracticeOrder order = { { fixture->board, 0 }, 8, 1 << BL_DRILL_SINGLE, NULL, 7, "short" };
  g_autoptr (GError) error = NULL;

  g_assert_cmpuint (bl_practice_compose (fixture->practice, person, &order, &error), ==, 8);
  g_assert_no_error (error);
  g_autoptr (GPtrArray) drills = bl_practice_drills (fixture->practice, person, NULL);
  for (guint i = 0; i < drills->len; i++)
    {
      const BlDrillRow *row = bl_at (drills, i);
      g_assert_nonnull (strstr (row->faults[0], "short"));
      g_assert_cmpuint (row->seed, >=, 1);
      g_assert_cmpuint (row->seed, <=, BL_PRACTICE_MOST_SEED);
    }
  order.family = "stuck"; /* the example has nothing that can stick */
  g_assert_cmpuint (bl_practice_compose (fixture->practice, person, &order, &error), ==, 0);
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_IMPOSSIBLE);
}

static void
test_orders (Fixture *fixture, gconstpointer data)
{
  static const char *const supply[] = { "supply", NULL }, *const faults[] = { "X3:poor contact", NULL },
                    *const none[] = { "X9:open", NULL };
  gint64 person = add_person (fixture, "ab"), other = add_person (fixture, "cd");
  BlPracticeSubject subject = { fixture->board, 0 };
  BlPracticeOrder order = { subject, 3, 1 << BL_DRILL_CONDUCTOR, NULL, 7, NULL };
  g_autoptr (GError) error = NULL;

  g_assert_cmpuint (bl_practice_compose (fixture->practice, person, &order, &error), ==, 0);
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_IMPOSSIBLE);
  g_clear_error (&error);
  g_assert_cmpint (bl_practice_plant (fixture->practice, person, &subject, none, &error), ==, 0);
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN);
  g_clear_error (&error);
  g_autoptr (GPtrArray) before = bl_practice_drills (fixture->practice, 0, NULL);
  g_assert_cmpuint (before->len, ==, 0);

  gint64 planted = bl_practice_plant (fixture->practice, person, &subject, faults, &error);
  g_assert_no_error (error);
  order.kinds |= 1 << BL_DRILL_SINGLE;
  order.sections = supply;
  g_assert_cmpuint (bl_practice_compose (fixture->practice, person, &order, &error), ==, 3);
  g_autoptr (GPtrArray) drills = bl_practice_drills (fixture->practice, person, NULL);
  g_assert_cmpuint (drills->len, ==, 4);
  for (guint i = 0; i < 3; i++)
    g_assert_cmpstr (((BlDrillRow *) bl_at (drills, i))->sections[0], ==, "supply");
  g_assert_true (((BlDrillRow *) bl_at (drills, 3))->planted);

  gint64 given = bl_practice_give (fixture->practice, ((BlDrillRow *) bl_at (drills, 0))->id, other, &error);
  g_autoptr (BlDrillRow) row = bl_practice_load_drill (fixture->practice, given, &error);
  g_assert_cmpint (row->person, ==, other);
  g_assert_cmpuint (row->seed, ==, ((BlDrillRow *) bl_at (drills, 0))->seed);
  /* A second one alike is refused as long as the first is to be done. */
  g_assert_cmpint (bl_practice_give (fixture->practice, ((BlDrillRow *) bl_at (drills, 0))->id, other, &error), ==, 0);
  g_assert_nonnull (error);
  g_clear_error (&error);
  g_assert_true (bl_practice_delete_drill (fixture->practice, given, &error));
  g_assert_cmpint (bl_practice_give (fixture->practice, ((BlDrillRow *) bl_at (drills, 0))->id, other, &error), !=, 0);
  g_assert_true (bl_practice_delete_drill (fixture->practice, planted, &error));
  g_assert_false (bl_practice_delete_drill (fixture->practice, planted, &error));
}

/* Always the same seed to begin with: what would be drawn again and again. */
static guint32
fresh_seed (Fixture *fixture, gint64 person)
{
  BlPracticeSubject subject = { fixture->board, 0 };
  BlDrillOrder order = { BL_DRILL_SINGLE, NULL, 5 };
  g_autoptr (GError) error = NULL;
  guint32 seed = bl_practice_fresh_seed (fixture->practice, person, &subject, &order, &error);

  g_assert_no_error (error);
  g_assert_cmpuint (seed, >=, 1);
  g_assert_cmpuint (seed, <=, BL_PRACTICE_MOST_SEED);
  return seed;
}

static char *
fault_of (Fixture *fixture, guint32 seed)
{
  BlDrillOrder order = { BL_DRILL_SINGLE, NULL, seed };
  g_autoptr (BlBoard) board = example_board ();
  g_autoptr (BlDrill) drill = bl_drill_new (board, &order, NULL);

  g_assert_cmpuint (g_strv_length ((char **) bl_drill_faults (drill)), ==, 1);
  return g_strdup (bl_drill_faults (drill)[0]);
}

static guint
count_distinct (Fixture *fixture)
{
  g_autoptr (GHashTable) faults = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);

  for (guint32 seed = 1; seed < 60; seed++)
    g_hash_table_add (faults, fault_of (fixture, seed));
  return g_hash_table_size (faults);
}

/* Drills and worked cases in turn, one begun and broken off: no fault comes twice while there is another. */
static void
test_not_again (Fixture *fixture, gconstpointer data)
{
  gint64 person = add_person (fixture, "ab"), other = add_person (fixture, "cd");
  BlPracticeSubject subject = { fixture->board, 0 };
  g_autoptr (GHashTable) seen = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  g_autoptr (GError) error = NULL;
  guint n = MIN (count_distinct (fixture), 6);
  g_autofree char *first = NULL;

  g_assert_cmpuint (n, >=, 3);
  g_assert_true (bl_practice_set_person (fixture->practice, person, NULL));
  for (guint i = 0; i < n; i++, now += DAY / 24)
    {
      BlDrillOrder order = { BL_DRILL_SINGLE, NULL, fresh_seed (fixture, person) };
      char *fault = fault_of (fixture, order.seed);
      if (i == 0)
        {
          g_assert_cmpuint (order.seed, ==, 5); /* nothing was met: the seed that was asked for */
          first = g_strdup (fault);
        }
      g_assert_true (g_hash_table_add (seen, fault));
      if (i % 3 == 0)
        {
          gint64 id = bl_practice_add_drill (fixture->practice, person, &subject, &order, &error);
          g_autoptr (BlDrillRow) row = bl_practice_load_drill (fixture->practice, id, &error);
          g_assert_cmpuint (row->seed, ==, order.seed); /* what is kept makes the drill */
          g_assert_cmpstr (row->faults[0], ==, fault);
          continue;
        }
      g_autoptr (BlWorkedCase) worked = bl_worked_case_simulated (fixture->practice, &subject, &order, &error);
      g_assert_no_error (error);
      if (i % 3 == 2)
        g_assert_true (bl_worked_case_end (worked, &error));
      else
        {
          bl_worked_case_begin (worked);
          bl_worked_case_stop (worked);
          bl_worked_case_settle (worked);
        }
    }
  /* All of them were met: the one that was met longest ago, and of somebody else nothing. */
  if (n == count_distinct (fixture))
    {
      g_autofree char *again = fault_of (fixture, fresh_seed (fixture, person));
      g_assert_cmpstr (again, ==, first);
    }
  g_assert_cmpuint (fresh_seed (fixture, other), ==, 5);
}

/* What a drill was drawn on stays as it was, whatever becomes of the edition. */
static void
test_copies (Fixture *fixture, gconstpointer data)
{
  gint64 person = add_person (fixture, "ab");
  BlPracticeSubject subject = { fixture->board, 0 };
  BlDrillOrder order = { BL_DRILL_SINGLE, NULL, 5 };
  BlLibrary *library = bl_practice_get_library (fixture->practice);
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) board = bl_library_load_board (fixture->shop, fixture->board, NULL);
  const char *photo = ((BlPhoto *) bl_at (board->photos, 0))->id;

  gint64 first = bl_practice_add_drill (fixture->practice, person, &subject, &order, &error);
  gint64 second = bl_practice_add_drill (fixture->practice, person, &subject, &order, &error);
  g_autoptr (BlDrillRow) one = bl_practice_load_drill (fixture->practice, first, NULL);
  g_autoptr (BlDrillRow) two = bl_practice_load_drill (fixture->practice, second, NULL);
  g_assert_cmpint (one->board, ==, two->board);
  g_autoptr (GBytes) picture = bl_library_get_board_photo (library, one->board, photo, NULL, &error);
  g_assert_no_error (error);
  g_assert_cmpmem (g_bytes_get_data (picture, NULL), g_bytes_get_size (picture), "picture", 7);

  g_free (board->edition);
  board->edition = g_strdup ("D");
  g_assert_true (bl_library_save_board (fixture->shop, fixture->board, board, &error));
  gint64 third = bl_practice_add_drill (fixture->practice, person, &subject, &order, &error);
  g_assert_no_error (error);
  g_autoptr (BlDrillRow) three = bl_practice_load_drill (fixture->practice, third, NULL);
  g_assert_cmpint (three->board, !=, one->board);
  g_assert_cmpstr (three->subject, ==, one->subject);
  g_autoptr (BlBoard) old = bl_library_load_board (library, one->board, &error);
  g_autoptr (BlBoard) new_one = bl_library_load_board (library, three->board, &error);
  g_assert_cmpstr (old->edition, ==, "C");
  g_assert_cmpstr (new_one->edition, ==, "D");
  g_assert_cmpstr (new_one->uid, ==, board->uid);
}

/* All that the shop's file has, as one text. */
static char *
content (Fixture *fixture)
{
  static const char *const tables[] = { "board", "job", "record", "person", "drill", "answer", "spacing", "step",
                                        "board_photo", "known_good" };
  BlDatabase *database = bl_database_open (bl_library_path (fixture->shop), BL_DATABASE_READ_ONLY, NULL);
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < G_N_ELEMENTS (tables); i++)
    {
      g_autofree char *sql = g_strdup_printf ("SELECT count(*) FROM %s", tables[i]);
      gint64 n = -1;
      g_assert_true (bl_database_get_number (database, "testing", sql, &n, NULL));
      g_string_append_printf (text, "%s %d\n", tables[i], (int) n);
    }
  bl_database_close (database);
  return g_string_free (text, FALSE);
}

static void
test_shop_untouched (Fixture *fixture, gconstpointer data)
{
  g_autofree char *before = content (fixture);
  gint64 person = add_person (fixture, "ab");

  add_past (fixture, person, "open", TRUE, 2);
  count_faults_of (fixture, person, "U2:open");
  answer (fixture, BL_ANSWER_WAY, "supply", TRUE);
  g_autofree char *after = content (fixture);
  g_assert_cmpstr (before, ==, after);
  g_assert_nonnull (strstr (after, "job 0\n"));
  g_assert_nonnull (strstr (after, "person 0\n"));
  g_autoptr (GPtrArray) jobs = bl_library_jobs (fixture->shop, NULL);
  g_assert_cmpuint (jobs->len, ==, 0);
}

static const BlResultsRow *
row_of (GPtrArray *rows, const char *name)
{
  for (guint i = 0; i < rows->len; i++)
    if (g_strcmp0 (((BlResultsRow *) bl_at (rows, i))->name, name) == 0)
      return bl_at (rows, i);
  g_assert_not_reached ();
}

static void
test_results (Fixture *fixture, gconstpointer data)
{
  gint64 person = add_person (fixture, "ab, \"jr\""), other = add_person (fixture, "cd");
  g_autoptr (GError) error = NULL;

  answer (fixture, BL_ANSWER_WAY, "supply", TRUE);
  bl_practice_set_person (fixture->practice, person, NULL);
  add_past (fixture, person, "open", TRUE, 2);
  answer (fixture, BL_ANSWER_WAY, "supply", FALSE);
  now += 15 * DAY;
  answer (fixture, BL_ANSWER_READS, "communication", TRUE);
  g_autoptr (BlPracticeResults) results = bl_practice_results (fixture->practice, person, &error);
  g_assert_no_error (error);
  g_assert_cmpstr (results->person, ==, "ab, \"jr\"");
  g_assert_cmpuint (bl_results_row_tried (&results->all), ==, 4);
  g_assert_cmpuint (bl_results_row_right (&results->all), ==, 3);
  g_assert_cmpfloat_with_epsilon (results->all.regret_share, 0.25, 1e-12);
  const BlResultsRow *supply = row_of (results->sections, "supply");
  g_assert_cmpuint (supply->drills_right, ==, 2);
  g_assert_cmpuint (supply->way_tried, ==, 1);
  g_assert_cmpuint (supply->way_right, ==, 0);
  g_assert_cmpuint (row_of (results->families, "open")->drills_tried, ==, 2);
  g_assert_cmpstr (((BlResultsDrill *) bl_at (results->drills, 0))->named, ==, "U2, 5 V rail");
  g_assert_cmpuint (results->weeks->len, ==, 3); /* one without anything between */
  g_assert_cmpuint (bl_results_row_tried (bl_at (results->weeks, 0)), ==, 3);
  g_assert_cmpuint (bl_results_row_tried (bl_at (results->weeks, 1)), ==, 0);
  g_assert_cmpuint (supply->tried_in[BL_RESULTS_WEEKS - 3], ==, 3);
  g_assert_cmpuint (supply->right_in[BL_RESULTS_WEEKS - 3], ==, 2);
  g_assert_cmpuint (supply->tried_in[BL_RESULTS_WEEKS - 1], ==, 0);
  GDate monday;
  g_date_clear (&monday, 1);
  g_date_set_julian (&monday, ((BlResultsRow *) bl_at (results->weeks, 0))->week);
  g_assert_cmpint (g_date_get_weekday (&monday), ==, G_DATE_MONDAY);
  g_assert_cmpuint (results->due->len, ==, 2);

  g_autofree char *csv = bl_practice_csv (fixture->practice, person, &error);
  /* RFC 4180, 2: records end in CRLF (1, 2); quotes in a quoted field are doubled (7). */
  g_assert_true (g_str_has_prefix (csv, "person,time,practised,"));
  g_assert_true (g_str_has_suffix (csv, "\r\n"));
  g_assert_nonnull (strstr (csv, "\r\n\"ab, \"\"jr\"\"\","));
  for (const char *at = csv; (at = strchr (at, '\n')) != NULL; at++)
    g_assert_true (at > csv && at[-1] == '\r');
  g_autoptr (GPtrArray) records = bl_csv_parse (csv, -1, &error);
  g_assert_no_error (error);
  g_assert_cmpuint (records->len, ==, 1 + 4);
  for (guint i = 0; i < records->len; i++)
    g_assert_cmpuint (g_strv_length (((BlCsvRecord *) bl_at (records, i))->fields), ==, 18);
  g_assert_cmpstr (((BlCsvRecord *) bl_at (records, 1))->fields[3], ==, "RB-17, edition C");
  BlCsvRecord *drill = bl_at (records, 3);
  g_assert_cmpstr (drill->fields[2], ==, "drill");
  g_assert_cmpstr (drill->fields[7], ==, "yes");
  g_assert_cmpstr (drill->fields[14], ==, "30.0");
  g_autofree char *all = bl_practice_csv (fixture->practice, 0, &error);
  g_assert_nonnull (strstr (all, "\r\ncd,"));
  g_autoptr (BlPracticeResults) few = bl_practice_results (fixture->practice, other, &error);
  g_assert_true (isnan (few->all.regret_share));
}

/* What a spreadsheet would compute is text to it: whatever a person is called, nothing is run when the file is opened. */
static void
test_results_compute_nothing (Fixture *fixture, gconstpointer data)
{
  static const char *const names[] = { "=1+2", "+ab", "-ab", "@SUM(1)", "=a,\"b" };
  g_autoptr (GError) error = NULL;

  for (guint i = 0; i < G_N_ELEMENTS (names); i++)
    {
      gint64 person = add_person (fixture, names[i]);
      g_autofree char *wanted = g_strconcat ("'", names[i], NULL), *csv = NULL;
      bl_practice_answer (fixture->practice, BL_ANSWER_WAY, fixture->uid, "=supply", "+12V", TRUE, FALSE, &error);
      g_assert_no_error (error);
      csv = bl_practice_csv (fixture->practice, person, &error);
      g_autoptr (GPtrArray) records = bl_csv_parse (csv, -1, &error);
      g_assert_no_error (error);
      g_assert_cmpuint (records->len, ==, 2);
      char **fields = ((BlCsvRecord *) bl_at (records, 1))->fields;
      g_assert_cmpuint (g_strv_length (fields), ==, 18);
      g_assert_cmpstr (fields[0], ==, wanted);
      for (guint k = 0; fields[k] != NULL; k++)
        g_assert_true (*fields[k] == '\0' || strchr ("=+-@", *fields[k]) == NULL);
      g_assert_cmpstr (fields[6], ==, "'+12V");
    }
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add ("/model/practice/persons", Fixture, NULL, set_up, test_persons, tear_down);
  g_test_add ("/model/practice/due", Fixture, NULL, set_up, test_due, tear_down);
  g_test_add ("/model/practice/weak-spots", Fixture, NULL, set_up, test_weak_spots, tear_down);
  g_test_add ("/model/practice/one-family", Fixture, NULL, set_up, test_one_family, tear_down);
  g_test_add ("/model/practice/orders", Fixture, NULL, set_up, test_orders, tear_down);
  g_test_add ("/model/practice/not-again", Fixture, NULL, set_up, test_not_again, tear_down);
  g_test_add ("/model/practice/copies", Fixture, NULL, set_up, test_copies, tear_down);
  g_test_add ("/model/practice/shop-untouched", Fixture, "disk", set_up, test_shop_untouched, tear_down);
  g_test_add ("/model/practice/results", Fixture, NULL, set_up, test_results, tear_down);
  g_test_add ("/model/practice/results-compute-nothing", Fixture, NULL, set_up, test_results_compute_nothing, tear_down);
  return g_test_run ();
}
