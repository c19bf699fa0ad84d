/* SPDX-License-Identifier: GPL-3.0-or-later
 * Undo and redo that outlast the program: reopened, killed, on the next day, after changes by something else, and
 * whether undoing everything leads to the start and redoing everything to the end. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-edition-parts.h"
#include "bl-library-known-good.h"
#include "bl-document.h"

#include "example.h"
#include "scratch.h"

#include <signal.h>
#include <string.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

static gint64 now_of_tests;

static gint64
test_clock (void)
{
  return now_of_tests;
}

typedef struct
{
  char *folder, *path;
  BlLibrary *library;
  BlEdition *edition;
  gint64 board;
} Fixture;

static void
reopen (Fixture *f)
{
  g_autoptr (GError) error = NULL;

  g_clear_object (&f->edition);
  g_clear_pointer (&f->library, bl_library_close);
  f->library = bl_library_open (f->path, TRUE, &error);
  g_assert_no_error (error);
  if (f->board == 0)
    return;
  f->edition = bl_edition_new (f->library, f->board, &error);
  g_assert_no_error (error);
}

static void
set_up (Fixture *f, gconstpointer unused)
{
  g_autoptr (BlBoard) board = example_board ();
  g_autoptr (GBytes) image = g_bytes_new_static ("first", 5);
  g_autoptr (GDateTime) noon = g_date_time_new_local (2026, 3, 4, 12, 0, 0);

  now_of_tests = g_date_time_to_unix (noon) * G_USEC_PER_SEC;
  bl_library_set_clock (test_clock);
  f->folder = scratch_new ();
  f->path = scratch_file (f->folder, "test.benchlore-library");
  reopen (f);
  f->board = bl_library_add_board (f->library, board, FALSE, NULL);
  g_assert_cmpint (f->board, !=, 0);
  g_assert_true (bl_library_put_board_photo (f->library, f->board, "front", "image/jpeg", image, NULL, NULL));
  reopen (f);
}

static void
tear_down (Fixture *f, gconstpointer unused)
{
  g_clear_object (&f->edition);
  g_clear_pointer (&f->library, bl_library_close);
  bl_library_set_clock (NULL);
  g_free (f->path);
  scratch_free (f->folder);
}

static char *
document (Fixture *f)
{
  g_autoptr (BlBoard) board = bl_library_load_board (f->library, f->board, NULL);
  return bl_document_write (board);
}

static void
undo (Fixture *f)
{
  g_autoptr (GError) error = NULL;
  bl_edition_undo (f->edition, &error);
  g_assert_no_error (error);
}

static void
redo (Fixture *f)
{
  g_autoptr (GError) error = NULL;
  bl_edition_redo (f->edition, &error);
  g_assert_no_error (error);
}

static void
test_reopened (Fixture *f, gconstpointer unused)
{
  g_autofree char *start = document (f), *moved = NULL;

  g_assert_true (bl_edition_move_test_point (f->edition, "TP5", 11, 12, NULL));
  moved = document (f);
  g_assert_true (bl_edition_remove (f->edition, "test point", "TP5", NULL));
  reopen (f);
  g_assert_cmpstr (bl_edition_get_undo_label (f->edition), ==, "Delete TP5");
  undo (f);
  reopen (f);
  g_assert_cmpstr (bl_edition_get_undo_label (f->edition), ==, "Move TP5");
  g_assert_cmpstr (bl_edition_get_redo_label (f->edition), ==, "Delete TP5");
  g_autofree char *back = document (f);
  g_assert_cmpstr (back, ==, moved);
  undo (f);
  reopen (f);
  g_autofree char *first = document (f);
  g_assert_cmpstr (first, ==, start);
  g_assert_null (bl_edition_get_undo_label (f->edition));
  redo (f);
  redo (f);
  g_assert_null (bl_board_test_point (bl_edition_get_board (f->edition), "TP5"));
  g_assert_null (bl_edition_get_redo_label (f->edition));
  /* A drag that went on before the program was closed is no part of one after it. */
  g_assert_true (bl_edition_undo (f->edition, NULL));
  reopen (f);
  g_assert_true (bl_edition_move_test_point (f->edition, "TP5", 13, 14, NULL));
  undo (f);
  g_autofree char *again = document (f);
  g_assert_cmpstr (again, ==, moved);
}

/* --- random changes --- */

static GRand *lot; /* while they are made */

static const char *
random_test_point (BlEdition *edition)
{
  const BlBoard *board = bl_edition_get_board (edition);
  guint n = bl_len (board->test_points);

  return n > 0 ? ((BlTestPoint *) bl_at (board->test_points, (guint) g_rand_int_range (lot, 0, (int) n)))->id : NULL;
}

/* Some are refused, which must leave no step. */
static void
change_something (Fixture *f)
{
  g_autofree char *point = g_strdup (random_test_point (f->edition)), *made = NULL, *text = NULL;
  int dice = g_rand_int_range (lot, 0, 9);
  double x = g_rand_int_range (lot, 1, 500), y = g_rand_int_range (lot, 1, 500);

  if (dice < 3 && point != NULL)
    bl_edition_move_test_point (f->edition, point, x, y, NULL);
  else if (dice == 3 && point != NULL)
    {
      text = g_strdup_printf ("P%d", g_rand_int_range (lot, 0, 60));
      bl_edition_rename (f->edition, "test point", point, text, NULL);
    }
  else if (dice == 4 && point != NULL && bl_len (bl_edition_get_board (f->edition)->test_points) > 3)
    bl_edition_remove (f->edition, "test point", point, NULL);
  else if (dice == 5)
    {
      g_autofree char *number = g_strdup_printf ("picture %d", g_rand_int_range (lot, 0, 1000));
      g_autoptr (GBytes) image = g_bytes_new (number, strlen (number));
      g_assert_true (bl_edition_set_picture (f->edition, "front", "image/png", image, NULL, NULL));
    }
  else if (dice == 6)
    made = bl_edition_add_measurement (f->edition, point, BL_MEASURES_V_DC, "run", NULL, NULL);
  else if (dice == 7)
    made = bl_edition_add_component (f->edition, NULL, "resistor", NULL, NULL);
  else
    made = bl_edition_add_read_point (f->edition, "front", x, y, BL_MEASURES_V_DC, "run", NULL);
}

/* The document and its photo. */
static char *
whole (Fixture *f)
{
  g_autofree char *text = document (f);
  g_autoptr (GBytes) image = bl_library_get_board_photo (f->library, f->board, "front", NULL, NULL);
  g_autofree char *picture = g_strndup (g_bytes_get_data (image, NULL), g_bytes_get_size (image));

  return g_strdup_printf ("%s\n%s", picture, text);
}

static void
maybe_reopen (Fixture *f)
{
  if (g_rand_int_range (lot, 0, 8) == 0)
    reopen (f);
}

static void
test_random (Fixture *f, gconstpointer unused)
{
  lot = g_rand_new_with_seed (1);
  for (int run = 0; run < 4; run++)
    {
      g_autoptr (GPtrArray) states = g_ptr_array_new_with_free_func (g_free);
      gint64 step = bl_library_peek_step (f->library, BL_STEPS_EDITION, f->board, TRUE, NULL);
      g_ptr_array_add (states, whole (f));
      for (int i = 0; i < 40; i++)
        {
          maybe_reopen (f);
          change_something (f);
          bl_edition_settle (f->edition);
          gint64 newest = bl_library_peek_step (f->library, BL_STEPS_EDITION, f->board, TRUE, NULL);
          if (newest != step)
            g_ptr_array_add (states, whole (f));
          step = newest;
        }
      g_assert_cmpuint (states->len, >, 10);
      for (guint i = states->len - 1; i > 0; i--)
        {
          maybe_reopen (f);
          undo (f);
          g_autofree char *now = whole (f);
          g_assert_cmpstr (now, ==, g_ptr_array_index (states, i - 1));
        }
      for (guint i = 1; i < states->len; i++)
        {
          maybe_reopen (f);
          redo (f);
          g_autofree char *now = whole (f);
          g_assert_cmpstr (now, ==, g_ptr_array_index (states, i));
        }
      g_assert_null (bl_edition_get_redo_label (f->edition));
    }
  g_clear_pointer (&lot, g_rand_free);
}

/* --- something else in between --- */

static void
test_changed_elsewhere (Fixture *f, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) other = NULL;
  g_autofree char *after = NULL;

  g_assert_true (bl_edition_move_test_point (f->edition, "TP5", 11, 12, NULL));
  bl_edition_settle (f->edition);
  g_assert_true (bl_edition_move_test_point (f->edition, "TP5", 13, 14, NULL));
  other = bl_library_load_board (f->library, f->board, NULL);
  g_free (other->model);
  other->model = g_strdup ("changed by an import");
  g_assert_true (bl_library_save_board (f->library, f->board, other, NULL));
  after = document (f);
  /* A change of the old document would lose the import. */
  g_assert_false (bl_edition_rename (f->edition, "test point", "TP5", "TP55", &error));
  g_assert_nonnull (strstr (error->message, "changed by something else"));
  g_clear_error (&error);
  g_assert_cmpstr (bl_edition_get_board (f->edition)->model, ==, "changed by an import");
  /* Steps of the old one are refused, with the reason, and dropped. */
  g_assert_false (bl_edition_undo (f->edition, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_OUTDATED);
  g_assert_nonnull (strstr (error->message, "Move TP5"));
  g_assert_null (bl_edition_get_undo_label (f->edition));
  g_autofree char *still = document (f);
  g_assert_cmpstr (still, ==, after);
  g_assert_true (bl_edition_rename (f->edition, "test point", "TP5", "TP55", NULL));
  undo (f);
  g_autofree char *back = document (f);
  g_assert_cmpstr (back, ==, after);
}

static void
test_next_day (Fixture *f, gconstpointer unused)
{
  g_autoptr (GDateTime) evening = g_date_time_new_local (2026, 3, 4, 23, 59, 59);
  g_autoptr (GBytes) second = g_bytes_new_static ("another", 7);
  g_autoptr (GError) error = NULL;
  guint n = 0;

  g_autofree char *back = bl_edition_add_photo (f->edition, "back", "image/jpeg", second, NULL, NULL);
  g_assert_true (bl_edition_set_picture (f->edition, "front", "image/jpeg", second, NULL, NULL));
  undo (f);
  undo (f);
  now_of_tests = g_date_time_to_unix (evening) * G_USEC_PER_SEC;
  reopen (f);
  g_assert_nonnull (bl_edition_get_redo_label (f->edition));
  now_of_tests += G_USEC_PER_SEC; /* local midnight */
  g_assert_nonnull (bl_edition_get_redo_label (f->edition)); /* not under somebody's hands */
  reopen (f);
  g_assert_null (bl_edition_get_redo_label (f->edition));
  g_assert_cmpint (bl_library_steps_size (f->library, &n), ==, 0);
  g_assert_cmpuint (n, ==, 0);
  /* Nothing names this photo any more. */
  g_autoptr (GBytes) gone = bl_library_get_board_photo (f->library, f->board, back, NULL, &error);
  g_assert_null (gone);
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
  g_autoptr (GBytes) front = bl_library_get_board_photo (f->library, f->board, "front", NULL, NULL);
  g_assert_cmpuint (g_bytes_get_size (front), ==, 5);
}

/* Changes the document over and over and says each time that it is done, until it is killed. */
static void
change_until_killed (const char *path, gint64 board, int pipe_end)
{
  BlLibrary *library = bl_library_open (path, FALSE, NULL);
  BlEdition *edition = bl_edition_new (library, board, NULL);

  for (int i = 1;; i++)
    {
      bl_edition_settle (edition);
      if (!bl_edition_move_test_point (edition, "TP5", i, i, NULL)
          || write (pipe_end, &i, sizeof i) != sizeof i)
        _exit (1);
    }
}

static void
test_killed (Fixture *f, gconstpointer unused)
{
  g_autofree char *start = document (f);
  int ends[2], confirmed = 0, value, status = 0, undone = 0;
  pid_t child;

  g_clear_object (&f->edition);
  g_clear_pointer (&f->library, bl_library_close);
  g_assert_cmpint (pipe (ends), ==, 0);
  child = fork ();
  if (child == 0)
    change_until_killed (f->path, f->board, ends[1]);
  close (ends[1]);
  while (confirmed < 9 && read (ends[0], &value, sizeof value) == sizeof value)
    confirmed = value;
  g_assert_cmpint (kill (child, SIGKILL), ==, 0);
  while (read (ends[0], &value, sizeof value) == sizeof value)
    confirmed = value;
  close (ends[0]);
  g_assert_cmpint (waitpid (child, &status, 0), ==, child);
  g_assert_true (WIFSIGNALED (status));
  g_assert_cmpint (confirmed, >=, 9);
  reopen (f);
  int reached = (int) bl_board_test_point (bl_edition_get_board (f->edition), "TP5")->x;
  g_assert_cmpint (reached, >=, confirmed);
  g_assert_cmpint (reached, <=, confirmed + 1);
  for (; bl_edition_get_undo_label (f->edition) != NULL; undone++)
    undo (f);
  g_assert_cmpint (undone, ==, reached); /* as many steps as changes, no more and no fewer */
  g_autofree char *now = document (f);
  g_assert_cmpstr (now, ==, start);
}

/* --- beside the document --- */

static gboolean
taken (Fixture *f, BlStepsPlace place, gboolean back, const char *label)
{
  g_auto (BlStepTaken) step = { 0 };
  g_autoptr (GError) error = NULL;
  gboolean ok = bl_library_take_step (f->library, place, 0, back, &step, &error);

  g_assert_true (ok == (error == NULL));
  if (ok)
    g_assert_cmpstr (step.label, ==, label);
  return ok;
}

static guint
boards_listed (Fixture *f)
{
  g_autoptr (GPtrArray) boards = bl_library_boards (f->library, TRUE, NULL);
  return boards->len;
}

static void
test_deleted_board (Fixture *f, gconstpointer unused)
{
  g_autofree char *start = whole (f);

  g_assert_true (bl_library_begin_step (f->library, BL_STEPS_BOARDS, 0, "delete", NULL));
  g_assert_true (bl_library_end_step (f->library, bl_library_delete_board (f->library, f->board, NULL), NULL, NULL));
  g_assert_cmpuint (boards_listed (f), ==, 0);
  g_clear_object (&f->edition);
  gint64 board = f->board;
  f->board = 0;
  reopen (f);
  g_assert_null (bl_library_load_board (f->library, board, NULL));
  g_assert_true (taken (f, BL_STEPS_BOARDS, TRUE, "delete"));
  f->board = board;
  reopen (f);
  g_autofree char *now = whole (f);
  g_assert_cmpstr (now, ==, start);
  g_assert_true (taken (f, BL_STEPS_BOARDS, FALSE, "delete"));
  g_assert_cmpuint (boards_listed (f), ==, 0);
  /* The same board came in by another way: there cannot be two. */
  g_autoptr (BlBoard) again = example_board ();
  g_assert_cmpint (bl_library_add_board (f->library, again, FALSE, NULL), !=, 0);
  g_assert_false (taken (f, BL_STEPS_BOARDS, TRUE, NULL));
  g_assert_true (taken (f, BL_STEPS_BOARDS, TRUE, NULL)); /* nothing left */
  g_assert_cmpuint (boards_listed (f), ==, 1);
  /* Forgotten, it is gone for good. */
  g_clear_object (&f->edition);
  f->board = 0;
  now_of_tests += G_TIME_SPAN_DAY;
  g_assert_true (bl_library_begin_step (f->library, BL_STEPS_BOARDS, 0, "x", NULL));
  g_assert_true (bl_library_end_step (f->library, TRUE, NULL, NULL));
  reopen (f);
  g_assert_cmpuint (boards_listed (f), ==, 1);
}

static void
test_removed_job (Fixture *f, gconstpointer unused)
{
  g_autoptr (BlJob) job = bl_job_new ();

  job->board = f->board;
  g_assert_true (bl_library_begin_step (f->library, BL_STEPS_JOBS, 0, "new job", NULL));
  gint64 id = bl_library_add_job (f->library, job, NULL);
  g_assert_true (bl_library_end_step (f->library, TRUE, NULL, NULL));
  g_assert_true (bl_library_begin_step (f->library, BL_STEPS_JOBS, 0, "remove", NULL));
  g_assert_true (bl_library_end_step (f->library, bl_library_remove_job (f->library, id, NULL), NULL, NULL));
  for (int expected = 1; expected >= 0; expected--)
    {
      g_assert_true (taken (f, BL_STEPS_JOBS, TRUE, expected == 1 ? "remove" : "new job"));
      g_autoptr (GPtrArray) jobs = bl_library_jobs (f->library, NULL);
      g_assert_cmpuint (jobs->len, ==, expected);
      reopen (f);
    }
  g_assert_true (taken (f, BL_STEPS_JOBS, FALSE, "new job"));
  g_assert_true (taken (f, BL_STEPS_JOBS, FALSE, "remove"));
  g_autoptr (GPtrArray) jobs = bl_library_jobs (f->library, NULL);
  g_assert_cmpuint (jobs->len, ==, 0);
}

static char *
meters (Fixture *f)
{
  g_autoptr (GPtrArray) list = bl_library_meters (f->library, NULL);
  GString *text = g_string_new (NULL);
  gint64 usual = 0;

  bl_library_get_usual_meter (f->library, &usual, NULL);
  for (guint i = 0; i < list->len; i++)
    {
      const BlShopMeter *meter = bl_at (list, i);
      g_autofree char *json = bl_shop_meter_to_json (meter);
      g_string_append_printf (text, "%d %s%s\n", (int) meter->id, json, meter->id == usual ? " usual" : "");
    }
  return g_string_free (text, FALSE);
}

static void
test_meters (Fixture *f, gconstpointer unused)
{
  g_autoptr (GPtrArray) states = g_ptr_array_new_with_free_func (g_free);
  g_autoptr (BlShopMeter) one = bl_shop_meter_example (0), two = bl_shop_meter_example (1);

  one->id = two->id = 0;
  g_ptr_array_add (states, meters (f));
  for (int i = 0; i < 5; i++)
    {
      g_assert_true (bl_library_begin_step (f->library, BL_STEPS_METERS, 0, "x", NULL));
      if (i < 2)
        g_assert_true (bl_library_put_meter (f->library, i == 0 ? one : two, NULL));
      else if (i == 2 || i == 3)
        g_assert_true (bl_library_set_usual_meter (f->library, i == 2 ? one->id : two->id, NULL));
      else
        g_assert_true (bl_library_delete_meter (f->library, two->id, NULL));
      g_assert_true (bl_library_end_step (f->library, TRUE, NULL, NULL));
      g_ptr_array_add (states, meters (f));
    }
  for (guint i = 5; i > 0; i--)
    {
      reopen (f);
      g_assert_true (taken (f, BL_STEPS_METERS, TRUE, "x"));
      g_autofree char *now = meters (f);
      g_assert_cmpstr (now, ==, g_ptr_array_index (states, i - 1));
    }
  for (guint i = 1; i <= 5; i++)
    {
      g_assert_true (taken (f, BL_STEPS_METERS, FALSE, "x"));
      g_autofree char *now = meters (f);
      g_assert_cmpstr (now, ==, g_ptr_array_index (states, i));
    }
}

/* Half a step is none. */
static void
test_all_or_nothing (Fixture *f, gconstpointer unused)
{
  g_autofree char *start = whole (f);
  g_autoptr (BlBoard) board = bl_library_load_board (f->library, f->board, NULL);

  g_free (board->model);
  board->model = g_strdup ("half");
  g_assert_true (bl_library_begin_step (f->library, BL_STEPS_EDITION, f->board, "half", NULL));
  g_assert_true (bl_library_save_board (f->library, f->board, board, NULL));
  g_assert_false (bl_library_end_step (f->library, FALSE, NULL, NULL));
  g_autofree char *now = whole (f);
  g_assert_cmpstr (now, ==, start);
  g_assert_cmpint (bl_library_peek_step (f->library, BL_STEPS_EDITION, f->board, TRUE, NULL), ==, 0);
}

static void
put_picture (Fixture *f, const char *text)
{
  g_autoptr (GBytes) image = g_bytes_new (text, strlen (text));

  g_assert_true (bl_library_put_board_photo (f->library, f->board, "front", "image/jpeg", image, NULL, NULL));
}

static void
check_picture (Fixture *f, const char *text)
{
  g_autoptr (GBytes) image = bl_library_get_board_photo (f->library, f->board, "front", NULL, NULL);

  g_assert_nonnull (image);
  g_assert_cmpmem (g_bytes_get_data (image, NULL), g_bytes_get_size (image), text, strlen (text));
}

static gboolean
take_edition (Fixture *f, gboolean undo, GError **error)
{
  g_auto (BlStepTaken) taken = { 0 };

  return bl_library_take_step (f->library, BL_STEPS_EDITION, f->board, undo, &taken, error);
}

/* A nested step that fails takes the picture it laid aside with it; the outer one that goes on lays it aside again. */
static void
test_inner_fails (Fixture *f, gconstpointer unused)
{
  g_assert_true (bl_library_begin_step (f->library, BL_STEPS_EDITION, f->board, "outer", NULL));
  g_assert_true (bl_library_begin_step (f->library, BL_STEPS_EDITION, f->board, "inner", NULL));
  put_picture (f, "second, which fails");
  g_assert_false (bl_library_end_step (f->library, FALSE, NULL, NULL));
  check_picture (f, "first");
  put_picture (f, "third one");
  g_assert_true (bl_library_end_step (f->library, TRUE, NULL, NULL));
  g_assert_true (take_edition (f, TRUE, NULL));
  check_picture (f, "first");
  g_assert_true (take_edition (f, FALSE, NULL));
  check_picture (f, "third one");
}

/* Another picture of the same size is another picture, and the same one is none. */
static void
test_picture_as_large (Fixture *f, gconstpointer unused)
{
  g_autoptr (GError) error = NULL;

  g_assert_true (bl_library_begin_step (f->library, BL_STEPS_EDITION, f->board, "same", NULL));
  put_picture (f, "first");
  g_assert_true (bl_library_end_step (f->library, TRUE, NULL, NULL));
  g_assert_cmpint (bl_library_peek_step (f->library, BL_STEPS_EDITION, f->board, TRUE, NULL), ==, 0);
  g_assert_true (bl_library_begin_step (f->library, BL_STEPS_EDITION, f->board, "other", NULL));
  put_picture (f, "other");
  g_assert_true (bl_library_end_step (f->library, TRUE, NULL, NULL));
  g_assert_true (take_edition (f, TRUE, NULL));
  check_picture (f, "first");
  g_assert_true (take_edition (f, FALSE, NULL));
  put_picture (f, "third"); /* by something else */
  g_assert_false (take_edition (f, TRUE, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_OUTDATED);
  check_picture (f, "third");
}

/* 500 steps: what they take in the library and in time, with a limit that no machine of today should reach. */
static void
test_size (Fixture *f, gconstpointer unused)
{
  enum { STEPS = 500 };
  guint n = 0;
  gint64 began = g_get_monotonic_time (), size;
  clock_t cpu = clock ();

  for (int i = 0; i < STEPS; i++)
    {
      bl_edition_settle (f->edition);
      g_assert_true (bl_edition_move_test_point (f->edition, "TP5", 1000 + i, 2 + i, NULL));
    }
  double each = (double) (g_get_monotonic_time () - began) / STEPS / 1000;
  double busy = (double) (clock () - cpu) / CLOCKS_PER_SEC * 1000 / STEPS;
  size = bl_library_steps_size (f->library, &n);
  began = g_get_monotonic_time ();
  for (int i = 0; i < 50; i++)
    undo (f);
  g_test_message ("%u steps, %d bytes each, %.2f ms each (%.2f ms of them computing), %.2f ms to undo one", n, (int) (size / n), each, busy,
                  (double) (g_get_monotonic_time () - began) / 50 / 1000);
  g_assert_cmpuint (n, ==, STEPS);
  g_assert_cmpint (size / n, <, 1000);
}

int
main (int argc, char *argv[])
{
  g_test_init (&argc, &argv, NULL);
#define ADD(name, function) g_test_add ("/model/undo/" name, Fixture, NULL, set_up, function, tear_down)
  ADD ("reopened", test_reopened);
  ADD ("random", test_random);
  ADD ("changed-elsewhere", test_changed_elsewhere);
  ADD ("next-day", test_next_day);
  ADD ("killed", test_killed);
  ADD ("deleted-board", test_deleted_board);
  ADD ("removed-job", test_removed_job);
  ADD ("meters", test_meters);
  ADD ("all-or-nothing", test_all_or_nothing);
  ADD ("inner-fails", test_inner_fails);
  ADD ("picture-as-large", test_picture_as_large);
  ADD ("size", test_size);
  return g_test_run ();
}
