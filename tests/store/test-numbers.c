/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The figures of a shop: a small library counted by hand, and many random ones counted a second time by a program in
 * another language that reads the file and shares nothing with ours. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-library-equipment.h"
#include "bl-library-known-good.h"
#include "bl-library-numbers.h"
#include "bl-library-steps.h"

#include "sample.h"
#include "scratch.h"

#include <math.h>

#define MINUTE ((gint64) 60 * G_USEC_PER_SEC)
#define DAY (24 * 60 * MINUTE)
#define START ((gint64) 1700000000 * G_USEC_PER_SEC) /* 2023-11-14 22:13:20 UTC */

static gint64 now_of_test;

static gint64
test_clock (void)
{
  return now_of_test;
}

typedef struct
{
  BlLibrary *library;
  gint64 board;
} Shop;

static void
set_up (Shop *shop, gconstpointer data)
{
  g_autoptr (BlBoard) board = sample_board ();
  g_autoptr (GError) error = NULL;

  now_of_test = START;
  bl_library_set_clock (test_clock);
  shop->library = bl_library_open (":memory:", TRUE, &error);
  g_assert_no_error (error);
  shop->board = bl_library_add_board (shop->library, board, FALSE, NULL);
}

static void
tear_down (Shop *shop, gconstpointer data)
{
  bl_library_set_clock (NULL);
  g_clear_pointer (&shop->library, bl_library_close);
}

/* A job received and ended so many days after the start; ended below 0: it is not. */
static gint64
add_job (BlLibrary *library, gint64 board, int received, int ended, BlJobState state, gint64 return_of)
{
  g_autoptr (BlJob) job = bl_job_new ();
  g_autoptr (GError) error = NULL;

  job->board = board;
  job->created = START + received * DAY;
  job->state = state;
  job->closed = bl_job_state_is_closed (state);
  job->handed_back = job->closed ? START + ended * DAY : 0;
  job->return_of = return_of;
  gint64 id = bl_library_add_job (library, job, &error);
  g_assert_no_error (error);
  return id;
}

/* A line so many minutes after the start. */
static gint64
add_line (BlLibrary *library, gint64 job, BlRecordKind kind, const char *subject, const char *text, gint64 minute)
{
  g_autoptr (BlRecord) record = bl_record_new (kind, subject, text);
  g_autoptr (GError) error = NULL;

  record->job = job;
  record->time = START + minute * MINUTE;
  bl_library_append (library, record, &error);
  g_assert_no_error (error);
  return record->id;
}

static BlNumbers *
numbers_of (BlLibrary *library, gint64 board)
{
  BlNumbersAsk ask = BL_NUMBERS_ASK_INIT;
  g_autoptr (GError) error = NULL;

  ask.board = board;
  BlNumbers *numbers = bl_library_numbers (library, &ask, &error);
  g_assert_no_error (error);
  return numbers;
}

/* "K1 4, C12 2" */
static char *
words_of (GPtrArray *parts)
{
  GString *words = g_string_new (NULL);

  for (guint i = 0; i < parts->len; i++)
    {
      const BlNumbersPart *part = bl_at (parts, i);
      g_string_append_printf (words, "%s%s %u", i > 0 ? ", " : "", part->component, part->n);
    }
  return g_string_free (words, FALSE);
}

#define PARTS(parts, expected)                                                                                         \
  {                                                                                                                    \
    g_autofree char *words = words_of (parts);                                                                         \
    g_assert_cmpstr (words, ==, expected);                                                                             \
  }

static void
test_empty (Shop *shop, gconstpointer data)
{
  g_autoptr (BlNumbers) numbers = numbers_of (shop->library, 0);

  g_assert_cmpuint (numbers->jobs, ==, 0);
  g_assert_cmpuint (numbers->months->len, ==, 0);
  g_assert_true (isnan (numbers->readings.mean));
}

/* Six jobs, all of it counted by hand. */
static void
test_by_hand (Shop *shop, gconstpointer data)
{
  BlLibrary *l = shop->library;
  /* 1: two readings, K1 replaced at minute 12, confirmed at 40; came back after 20 days with the same part. */
  gint64 one = add_job (l, shop->board, 0, 1, BL_JOB_HANDED_BACK, 0);
  add_line (l, one, BL_RECORD_READING, "M5", "4.98", 0);
  add_line (l, one, BL_RECORD_READING, "M5", "- coated", 5);
  add_line (l, one, BL_RECORD_READING, "M5", "-0.2", 10);
  add_line (l, one, BL_RECORD_REPLACED, "K1", "new", 12);
  add_line (l, one, BL_RECORD_READING, "M5", "5.00", 20);
  add_line (l, one, BL_RECORD_CAUSE, "K1", "open", 40);
  add_line (l, one, BL_RECORD_TIME, NULL, "25", 41);
  add_line (l, one, BL_RECORD_TIME, NULL, "5.5", 42);
  /* 2: its return; U2 tested good, K1 again; the night between reading and finding counts for nothing. */
  gint64 two = add_job (l, shop->board, 21, 23, BL_JOB_HANDED_BACK, one);
  add_line (l, two, BL_RECORD_NOTE, NULL, "came back", 21 * 1440);
  add_line (l, two, BL_RECORD_READING, "M5", "0.1", 21 * 1440 + 10);
  add_line (l, two, BL_RECORD_PART_TEST, "U2", "good", 22 * 1440);
  add_line (l, two, BL_RECORD_PART_TEST, "K1", "open", 22 * 1440 + 7);
  add_line (l, two, BL_RECORD_CAUSE, "K1", NULL, 22 * 1440 + 8);
  add_line (l, two, BL_RECORD_REPLACED, "K1", "new", 22 * 1440 + 9);
  /* 3: C12 in vain, then U2; two causes said, one taken back; one replacement struck. */
  gint64 three = add_job (l, shop->board, 30, 31, BL_JOB_HANDED_BACK, 0);
  add_line (l, three, BL_RECORD_READING, "M5", "2", 30 * 1440);
  add_line (l, three, BL_RECORD_REPLACED, "C12", "new", 30 * 1440 + 1);
  bl_library_strike (l, add_line (l, three, BL_RECORD_REPLACED, "C12", "typed twice", 30 * 1440 + 2), TRUE, NULL, NULL);
  add_line (l, three, BL_RECORD_CAUSE, "C12", NULL, 30 * 1440 + 3);
  add_line (l, three, BL_RECORD_NO_CAUSE, "C12", NULL, 30 * 1440 + 4);
  add_line (l, three, BL_RECORD_READING, "M5", "2", 30 * 1440 + 5);
  bl_library_strike (l, add_line (l, three, BL_RECORD_READING, "M5", "9", 30 * 1440 + 6), TRUE, NULL, NULL);
  add_line (l, three, BL_RECORD_CAUSE, "U2", NULL, 30 * 1440 + 9);
  add_line (l, three, BL_RECORD_REPLACED, "U2", "new", 30 * 1440 + 10);
  /* 4: no fault found, came back after 100 days, still on the bench. 5: not economical. */
  gint64 four = add_job (l, shop->board, 40, 50, BL_JOB_HANDED_BACK, 0);
  add_job (l, shop->board, 60, 61, BL_JOB_NOT_ECONOMICAL, 0);
  add_job (l, shop->board, 150, -1, BL_JOB_ON_THE_BENCH, four);
  add_job (l, shop->board, 151, -1, BL_JOB_WAITING, 0);

  now_of_test = START + 170 * DAY;
  g_autoptr (BlNumbers) n = numbers_of (l, shop->board);
  g_assert_cmpuint (n->jobs, ==, 7);
  g_assert_cmpuint (n->received, ==, 7);
  g_assert_cmpuint (n->ended, ==, 5);
  g_assert_cmpuint (n->not_economical, ==, 1);
  g_assert_cmpuint (n->handed_back, ==, 4);
  g_assert_cmpuint (n->with_cause, ==, 3);
  g_assert_cmpuint (n->no_fault_found, ==, 1);
  g_assert_cmpuint (n->states[BL_JOB_WAITING], ==, 1);
  g_assert_cmpuint (n->states[BL_JOB_ON_THE_BENCH], ==, 1);
  /* Out 169, 147, 139 and 120 days: all four for 30 and 90, none for 180. Back after 20 and 100 days. */
  g_assert_cmpuint (n->out[0], ==, 4);
  g_assert_cmpuint (n->back[0], ==, 1);
  g_assert_cmpuint (n->out[1], ==, 4);
  g_assert_cmpuint (n->back[1], ==, 1);
  g_assert_cmpuint (n->out[2], ==, 0);
  g_assert_cmpuint (n->returns, ==, 2);
  g_assert_cmpuint (n->returns_same, ==, 1);
  g_assert_cmpuint (n->returns_other + n->returns_no_fault, ==, 0);
  /* Repairs: 1 came back, 2 was good at the first go, 3 replaced C12 in vain. */
  g_assert_cmpuint (n->repairs, ==, 3);
  g_assert_cmpuint (n->first_fix_of, ==, 3);
  g_assert_cmpuint (n->first_fix, ==, 1);
  PARTS (n->causes, "K1 2, U2 1");
  PARTS (n->parts, "K1 2, C12 1, U2 1");
  g_assert_cmpstr (((BlNumbersPart *) bl_at (n->parts, 2))->stage, ==, "5 V rail");
  g_assert_cmpstr (((BlNumbersPart *) bl_at (n->parts, 2))->value, ==, "7805");
  /* Readings: 1 and -0.2 until minute 12, so 2; 1; 2. Minutes: 12; 7 (the night left out); 9. */
  g_assert_cmpuint (n->readings.n, ==, 3);
  g_assert_cmpfloat_with_epsilon (n->readings.mean, 5 / 3.0, 1e-12);
  g_assert_cmpfloat (n->readings.median, ==, 2);
  g_assert_cmpfloat_with_epsilon (n->minutes.mean, (12 + 7 + 9) / 3.0, 1e-9);
  g_assert_cmpfloat (n->minutes.median, ==, 9);
  g_assert_cmpuint (n->spent.n, ==, 1);
  g_assert_cmpfloat (n->spent.mean, ==, 30.5);
  /* Two K1 in 170 days: 2 * 3 * 30.44 / 170 = 1.0744 in three months; two are enough with 90 % up to 1.102. */
  const BlNumbersPart *k1 = bl_at (n->parts, 0);
  g_assert_cmpfloat_with_epsilon (k1->expected, 2 * 3 * 30.44 / 170, 1e-9);
  g_assert_cmpuint (k1->stock, ==, 2);
  g_assert_cmpuint (n->months->len, ==, 7); /* November to the second of May */
}

/* A struck cause is none; a job out of the list counts for nothing; a period leaves out what is not in it. */
static void
test_left_out (Shop *shop, gconstpointer data)
{
  BlLibrary *l = shop->library;
  gint64 one = add_job (l, shop->board, 0, 1, BL_JOB_HANDED_BACK, 0);
  gint64 two = add_job (l, shop->board, 40, 41, BL_JOB_HANDED_BACK, 0);
  gint64 gone = add_job (l, shop->board, 42, 43, BL_JOB_HANDED_BACK, 0);
  BlNumbersAsk ask = BL_NUMBERS_ASK_INIT;

  bl_library_strike (l, add_line (l, one, BL_RECORD_CAUSE, "K1", NULL, 1), TRUE, NULL, NULL);
  add_line (l, two, BL_RECORD_CAUSE, "K1", NULL, 40 * 1440);
  add_line (l, gone, BL_RECORD_CAUSE, "K1", NULL, 42 * 1440);
  g_assert_true (bl_library_remove_job (l, gone, NULL));
  now_of_test = START + 60 * DAY;
  ask.from = START + 30 * DAY;
  ask.to = START + 50 * DAY;
  g_autoptr (BlNumbers) all = numbers_of (l, 0), some = bl_library_numbers (l, &ask, NULL);
  g_assert_cmpuint (all->ended, ==, 2);
  g_assert_cmpuint (all->with_cause, ==, 1);
  g_assert_cmpuint (all->no_fault_found, ==, 1);
  g_assert_cmpuint (some->jobs, ==, 2);
  g_assert_cmpuint (some->received, ==, 1);
  g_assert_cmpuint (some->ended, ==, 1);
  g_assert_cmpuint (some->with_cause, ==, 1);
}

/* A board read because it was good is no job; one that is good since its repair is. */
static void
test_known_good (Shop *shop, gconstpointer data)
{
  BlLibrary *l = shop->library;
  gint64 shelf = add_job (l, shop->board, 0, 1, BL_JOB_HANDED_BACK, 0);
  gint64 mended = add_job (l, shop->board, 0, 1, BL_JOB_HANDED_BACK, 0);

  add_line (l, mended, BL_RECORD_CAUSE, "K1", NULL, 1);
  g_assert_true (bl_library_mark_known_good (l, shelf, BL_KNOWN_GOOD_YES, NULL));
  g_assert_true (bl_library_mark_known_good (l, mended, BL_KNOWN_GOOD_DESPITE_FAULT, NULL));
  now_of_test = START + 5 * DAY;
  g_autoptr (BlNumbers) numbers = numbers_of (l, shop->board);
  g_assert_cmpuint (numbers->ended, ==, 1);
  g_assert_cmpuint (numbers->with_cause, ==, 1);
}

/* A cause found on a board that came as part of an equipment counts once, and so does the job. */
static void
test_part_of (Shop *shop, gconstpointer data)
{
  BlLibrary *l = shop->library;
  gint64 whole = add_job (l, shop->board, 0, 2, BL_JOB_HANDED_BACK, 0);
  g_autoptr (BlJob) part = bl_job_new ();

  part->board = shop->board;
  part->created = START;
  part->part_of = whole;
  bl_job_set_state (part, BL_JOB_HANDED_BACK);
  gint64 id = bl_library_add_job (l, part, NULL);
  /* Replaced before the board was gone on with: the line came along. */
  add_line (l, whole, BL_RECORD_REPLACED, "F1", NULL, -9);
  add_line (l, id, BL_RECORD_REPLACED, "F1", NULL, -9);
  add_line (l, id, BL_RECORD_CAUSE, "K1", NULL, 5);
  add_line (l, id, BL_RECORD_REPLACED, "K1", NULL, 6);
  add_line (l, id, BL_RECORD_TIME, NULL, "25", 7);
  now_of_test = START + 5 * DAY;
  g_autoptr (BlNumbers) all = numbers_of (l, 0), edition = numbers_of (l, shop->board);
  g_assert_cmpuint (all->ended, ==, 1);
  PARTS (all->causes, "K1 1");
  PARTS (all->parts, "F1 1, K1 1");
  g_assert_cmpuint (all->with_cause, ==, 1);
  g_assert_cmpuint (all->no_fault_found, ==, 0);
  g_assert_cmpuint (all->repairs, ==, 1);
  g_assert_cmpfloat (all->spent.mean, ==, 25);
  g_assert_cmpuint (edition->ended, ==, 2);
}

static gint64
add_equipment_job (BlLibrary *l, gint64 equipment, gint64 part_of, gint64 board, int received, gint64 return_of)
{
  g_autoptr (BlJob) job = bl_job_new ();
  g_autoptr (GError) error = NULL;

  job->equipment = part_of == 0 && board == 0 ? equipment : 0;
  job->board = board;
  job->part_of = part_of;
  job->return_of = return_of;
  job->created = START + received * DAY;
  job->state = BL_JOB_HANDED_BACK;
  job->closed = TRUE;
  job->handed_back = START + (received + 1) * DAY;
  gint64 id = bl_library_add_job (l, job, &error);
  g_assert_no_error (error);
  return id;
}

/* A part is the same one in a job on its board and in one on the equipment that the board is in. */
static void
test_equipment (Shop *shop, gconstpointer data)
{
  BlLibrary *l = shop->library;
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) far = sample_board ();
  g_free (far->uid);
  far->uid = g_uuid_string_random ();
  g_free (far->edition);
  far->edition = g_strdup ("Z");
  gint64 boards[] = { shop->board, bl_library_add_board (l, far, FALSE, &error) };
  g_assert_no_error (error);
  g_autoptr (BlEquipment) pair
    = bl_equipment_read ("{\"format\": \"benchlore-equipment\", \"version\": 1, \"title\": \"pair\", \"boards\": ["
                         "{\"role\": \"near\", \"board\": \"n.json\"}, {\"role\": \"far\", \"board\": \"f.json\"}],"
                         "\"conductors\": []}", -1, NULL, &error);
  g_assert_no_error (error);
  gint64 equipment = bl_library_put_equipment (l, 0, pair, boards, &error);
  g_assert_no_error (error);
  gint64 whole = add_equipment_job (l, equipment, 0, 0, 0, 0);
  gint64 back = add_equipment_job (l, equipment, 0, shop->board, 10, whole);
  gint64 other = add_equipment_job (l, equipment, 0, 0, 20, 0);
  gint64 part = add_equipment_job (l, equipment, other, shop->board, 20, 0);
  gint64 again = add_equipment_job (l, equipment, 0, 0, 30, other);
  add_line (l, whole, BL_RECORD_CAUSE, "near/K1", NULL, 5);
  add_line (l, back, BL_RECORD_CAUSE, "K1", NULL, 10 * 1440 + 5);
  add_line (l, part, BL_RECORD_CAUSE, "K1", NULL, 20 * 1440 + 5); /* of the whole that is job other */
  add_line (l, again, BL_RECORD_CAUSE, "near/K1", NULL, 30 * 1440 + 5);
  add_line (l, again, BL_RECORD_CAUSE, "far/K1", NULL, 30 * 1440 + 6);
  add_line (l, again, BL_RECORD_CAUSE, "W3", NULL, 30 * 1440 + 7);
  now_of_test = START + 60 * DAY;
  g_autoptr (BlNumbers) all = numbers_of (l, 0);
  g_assert_cmpuint (all->returns, ==, 2);
  g_assert_cmpuint (all->returns_same, ==, 2);
  g_assert_cmpuint (all->causes->len, ==, 3);
  const BlNumbersPart *most = bl_at (all->causes, 0);
  g_assert_cmpstr (most->component, ==, "K1");
  g_assert_cmpint (most->board, ==, shop->board);
  g_assert_cmpuint (most->n, ==, 4);
  for (guint i = 1; i < all->causes->len; i++)
    {
      const BlNumbersPart *one = bl_at (all->causes, i);
      g_assert_cmpuint (one->n, ==, 1);
      g_assert_nonnull (one->board_name); /* no job is on the other board: its document says it */
      g_assert_cmpint (one->board, ==, g_str_equal (one->component, "W3") ? 0 : boards[1]);
    }
}

/* --- counted twice --- */

static void
fill_at_random (BlLibrary *l, gint64 board, GRand *rand)
{
  static const char *const parts[] = { "K1", "C12", "U2", "D5" };
  int n = g_rand_int_range (rand, 5, 40);
  gint64 ids[40];

  for (int i = 0; i < n; i++)
    {
      int received = g_rand_int_range (rand, 0, 300);
      BlJobState state = (BlJobState) g_rand_int_range (rand, 0, BL_N_JOB_STATES);
      gint64 back = i > 0 && g_rand_int_range (rand, 0, 3) == 0 ? ids[g_rand_int_range (rand, 0, i)] : 0;
      ids[i] = add_job (l, board, received, received + g_rand_int_range (rand, 0, 20), state, back);
      gint64 minute = received * 1440;
      for (int j = g_rand_int_range (rand, 0, 12); j > 0; j--)
        {
          static const BlRecordKind kinds[] = { BL_RECORD_READING, BL_RECORD_READING, BL_RECORD_REPLACED, BL_RECORD_CAUSE,
                                                BL_RECORD_NO_CAUSE, BL_RECORD_PART_TEST, BL_RECORD_TIME };
          BlRecordKind kind = kinds[g_rand_int_range (rand, 0, G_N_ELEMENTS (kinds))];
          const char *part = parts[g_rand_int_range (rand, 0, G_N_ELEMENTS (parts))];
          const char *text = kind == BL_RECORD_READING     ? (g_rand_boolean (rand) ? "-" : "-4.9")
                             : kind == BL_RECORD_PART_TEST ? (g_rand_boolean (rand) ? "good" : "open")
                                                           : "12";
          minute += g_rand_int_range (rand, 0, 45);
          gint64 line = add_line (l, ids[i], kind, part, text, minute);
          for (int strikes = g_rand_int_range (rand, 0, 8) == 0 ? g_rand_int_range (rand, 1, 3) : 0; strikes > 0; strikes--)
            bl_library_strike (l, line, strikes % 2 == 1, NULL, NULL);
        }
    }
}

static void
append_parts (GString *out, const char *name, GPtrArray *parts, gboolean stock)
{
  for (guint i = 0; i < parts->len; i++)
    {
      const BlNumbersPart *part = bl_at (parts, i);
      g_string_append_printf (out, "%s %s %u", name, part->component, part->n);
      if (stock)
        g_string_append_printf (out, " %d", (int) part->stock);
      g_string_append_c (out, '\n');
    }
}

static char *
as_text (const BlNumbers *n)
{
  GString *out = g_string_new (NULL);
  char buffer[G_ASCII_DTOSTR_BUF_SIZE];
  const double figures[] = { n->readings.mean, n->readings.median, n->minutes.mean, n->minutes.median, n->spent.mean };

  g_string_append_printf (out, "jobs %u\nreceived %u\nended %u\nnot_economical %u\nwith_cause %u\nno_fault %u\nrepairs %u\n"
                               "first_fix %u %u\n", n->jobs, n->received, n->ended, n->not_economical, n->with_cause,
                          n->no_fault_found, n->repairs, n->first_fix, n->first_fix_of);
  for (guint i = 0; i < BL_NUMBERS_N_SPANS; i++)
    g_string_append_printf (out, "back %u %u\n", n->back[i], n->out[i]);
  g_string_append_printf (out, "returns %u %u %u %u\n", n->returns, n->returns_same, n->returns_other, n->returns_no_fault);
  g_string_append_printf (out, "spread %u %u", n->readings.n, n->spent.n);
  for (guint i = 0; i < G_N_ELEMENTS (figures); i++)
    g_string_append_printf (out, " %s", isnan (figures[i]) ? "-" : g_ascii_formatd (buffer, sizeof buffer, "%.6f", figures[i]));
  g_string_append_c (out, '\n');
  append_parts (out, "cause", n->causes, FALSE);
  append_parts (out, "part", n->parts, TRUE);
  for (guint i = 0; i < n->months->len; i++)
    {
      const BlNumbersMonth *month = &g_array_index (n->months, BlNumbersMonth, i);
      g_string_append_printf (out, "month %04d-%02d %u %u %u\n", month->year, month->month, month->received, month->ended,
                              month->came_back);
    }
  return g_string_free (out, FALSE);
}

static void
test_counted_twice (void)
{
  char *folder = scratch_new ();
  g_autofree char *script = g_test_build_filename (G_TEST_DIST, "store", "count-numbers.py", NULL);
  g_autofree char *python = g_find_program_in_path ("python3");

  if (python == NULL)
    {
      scratch_free (folder);
      g_test_skip ("no python3");
      return;
    }
  bl_library_set_clock (test_clock);
  for (guint32 seed = 1; seed <= 8; seed++)
    {
      g_autoptr (GRand) rand = g_rand_new_with_seed (seed);
      g_autofree char *name = g_strdup_printf ("%u.benchlore-library", seed), *path = scratch_file (folder, name);
      g_autoptr (BlBoard) board = sample_board ();
      g_autoptr (GError) error = NULL;
      now_of_test = START;
      BlLibrary *library = bl_library_open (path, TRUE, &error);
      g_assert_no_error (error);
      gint64 id = bl_library_add_board (library, board, FALSE, NULL);
      fill_at_random (library, id, rand);
      now_of_test = START + 320 * DAY;
      BlNumbersAsk ask = BL_NUMBERS_ASK_INIT;
      ask.board = id;
      if (seed % 2 == 0)
        {
          ask.from = START + 60 * DAY;
          ask.to = START + 200 * DAY;
        }
      g_autoptr (BlNumbers) numbers = bl_library_numbers (library, &ask, &error);
      g_assert_no_error (error);
      g_autofree char *ours = as_text (numbers), *theirs = NULL;
      bl_library_close (library);
      g_autofree char *from = g_strdup_printf ("%" G_GINT64_FORMAT, ask.from),
                      *to = g_strdup_printf ("%" G_GINT64_FORMAT, ask.to),
                      *now = g_strdup_printf ("%" G_GINT64_FORMAT, now_of_test);
      const char *argv[] = { python, script, path, from, to, now, NULL };
      int status = 1;
      g_spawn_sync (NULL, (char **) argv, NULL, G_SPAWN_DEFAULT, NULL, NULL, &theirs, NULL, &status, &error);
      g_assert_no_error (error);
      g_assert_cmpint (status, ==, 0);
      g_assert_cmpstr (ours, ==, theirs);
    }
  bl_library_set_clock (NULL);
  scratch_free (folder);
}

int
main (int argc, char **argv)
{
  g_setenv ("TZ", "UTC", TRUE);
  g_test_init (&argc, &argv, NULL);
#define ADD(path, func) g_test_add (path, Shop, NULL, set_up, func, tear_down)
  ADD ("/store/numbers/empty", test_empty);
  ADD ("/store/numbers/by-hand", test_by_hand);
  ADD ("/store/numbers/left-out", test_left_out);
  ADD ("/store/numbers/known-good", test_known_good);
  ADD ("/store/numbers/part-of", test_part_of);
  ADD ("/store/numbers/equipment", test_equipment);
  g_test_add_func ("/store/numbers/counted-twice", test_counted_twice);
  return g_test_run ();
}
