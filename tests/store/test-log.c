/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bench log: whole after reopening and after a kill, struck and restored without loss, the same
 * as a list kept in memory, and turned into evidence. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-library.h"

#include "sample.h"
#include "scratch.h"

#include <signal.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

typedef struct
{
  char *folder, *path;
  BlLibrary *library;
  gint64 job;
} Fixture;

static void
reopen (Fixture *f)
{
  g_autoptr (GError) error = NULL;

  g_clear_pointer (&f->library, bl_library_close);
  f->library = bl_library_open (f->path, TRUE, &error);
  g_assert_no_error (error);
}

static void
set_up (Fixture *f, gconstpointer data)
{
  g_autoptr (BlBoard) board = sample_board ();
  g_autoptr (BlJob) job = bl_job_new ();

  f->folder = scratch_new ();
  f->path = scratch_file (f->folder, "shop.benchlore-library");
  reopen (f);
  job->board = bl_library_add_board (f->library, board, FALSE, NULL);
  f->job = bl_library_add_job (f->library, job, NULL);
  g_assert_cmpint (f->job, >, 0);
}

static void
tear_down (Fixture *f, gconstpointer data)
{
  g_clear_pointer (&f->library, bl_library_close);
  g_free (f->path);
  scratch_free (f->folder);
}

static gint64
append (Fixture *f, BlRecordKind kind, const char *subject, const char *text)
{
  g_autoptr (BlRecord) record = bl_record_new (kind, subject, text);
  g_autoptr (GError) error = NULL;

  record->job = f->job;
  g_assert_true (bl_library_append (f->library, record, &error));
  g_assert_no_error (error);
  return record->id;
}

static GPtrArray *
records (Fixture *f)
{
  g_autoptr (GError) error = NULL;
  GPtrArray *all = bl_library_records (f->library, f->job, &error);

  g_assert_no_error (error);
  return all;
}

/* A reading judged as the bench judges it. */
static BlRecord *
reading_new (Fixture *f, const char *text, const char *meter_text)
{
  BlRecord *record = bl_record_new (BL_RECORD_READING, "M5", text);
  g_autoptr (BlBoard) board = sample_board ();
  BlReading reading;
  BlMeter meter;

  record->job = f->job;
  record->state = g_strdup ("run");
  record->black = g_strdup ("TP0");
  record->meter = g_strdup (meter_text);
  record->expected = g_strdup ("4.8 to 5.2 V");
  record->band = bl_band_resolve (bl_board_measurement (board, "M5"), NAN, NAN, NULL);
  g_assert_nonnull (record->band);
  g_assert_true (bl_reading_parse (text, BL_MEASURES_V_DC, &reading, NULL));
  g_assert_true (bl_meter_parse (meter_text, &meter, NULL));
  record->verdict = bl_judge (record->band, &reading, &meter, NAN, 0);
  return record;
}

static void
assert_bands_equal (const BlBand *a, const BlBand *b)
{
  g_assert_cmpint (a->measures, ==, b->measures);
  g_assert_cmpfloat (a->nominal, ==, b->nominal);
  g_assert_cmpfloat (a->low, ==, b->low);
  g_assert_cmpfloat (a->high, ==, b->high);
  g_assert_cmpfloat (a->absent_below, ==, b->absent_below);
  g_assert_cmpint (isnan (a->open_above), ==, isnan (b->open_above));
  g_assert_cmpuint (a->n_classes, ==, b->n_classes);
  g_assert_true (g_strv_equal ((const char *const *) a->classes, (const char *const *) b->classes));
  g_assert_cmpuint (a->good, ==, b->good);
  g_assert_cmpuint (a->marks->len, ==, b->marks->len);
  for (guint i = 0; i < a->marks->len; i++)
    {
      const BlBandMark *one = &g_array_index (a->marks, BlBandMark, i),
                       *two = &g_array_index (b->marks, BlBandMark, i);
      g_assert_cmpuint (one->class_index, ==, two->class_index);
      g_assert_cmpfloat (one->low, ==, two->low);
      g_assert_cmpfloat (one->high, ==, two->high);
    }
}

static void
assert_verdicts_equal (const BlVerdict *a, const BlVerdict *b)
{
  g_assert_cmpuint (a->n, ==, b->n);
  for (guint i = 0; i < a->n; i++)
    g_assert_cmpfloat (a->weights[i], ==, b->weights[i]);
  g_assert_cmpstr (bl_verdict_label (a), ==, bl_verdict_label (b));
  g_assert_cmpint (a->evidence, ==, b->evidence);
  g_assert_cmpfloat (a->u, ==, b->u);
  g_assert_true (a->value == b->value || (isnan (a->value) && isnan (b->value)));
}

static void
test_reading (Fixture *f, gconstpointer data)
{
  static const char *const texts[] = { "4.98", "0.1", "4,81 V", "OL", "3..5", "-", "2.4" };
  g_autoptr (GPtrArray) written = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_record_free),
                        found = NULL;

  for (guint i = 0; i < G_N_ELEMENTS (texts); i++)
    {
      BlRecord *record = reading_new (f, texts[i], "0.5%+3@0.01 in 10M");
      record->misread = i == 2 ? 0.15 : NAN;
      record->unproven = i == 1;
      g_assert_true (bl_library_append (f->library, record, NULL));
      g_ptr_array_add (written, record);
    }
  reopen (f);
  found = records (f);
  g_assert_cmpuint (found->len, ==, written->len);
  for (guint i = 0; i < found->len; i++)
    {
      const BlRecord *a = g_ptr_array_index (written, i), *b = g_ptr_array_index (found, i);
      g_assert_cmpint (a->id, ==, b->id);
      g_assert_cmpint (a->time, ==, b->time);
      g_assert_cmpint (b->kind, ==, BL_RECORD_READING);
      g_assert_cmpstr (a->text, ==, b->text);
      g_assert_cmpstr (a->state, ==, b->state);
      g_assert_cmpstr (a->black, ==, b->black);
      g_assert_cmpstr (a->meter, ==, b->meter);
      g_assert_cmpstr (a->expected, ==, b->expected);
      g_assert_cmpint (a->unproven, ==, b->unproven);
      g_assert_true (i == 2 ? b->misread == 0.15 : isnan (b->misread));
      assert_bands_equal (a->band, b->band);
      assert_verdicts_equal (a->verdict, b->verdict);
    }
}

/* A later change of the document leaves what was judged as it was. */
static void
test_past_stays (Fixture *f, gconstpointer data)
{
  g_autoptr (BlRecord) record = reading_new (f, "4.98", "");
  g_autoptr (BlJob) job = bl_library_load_job (f->library, f->job, NULL);
  g_autoptr (BlBoard) board = bl_library_load_board (f->library, job->board, NULL);
  g_autoptr (GPtrArray) found = NULL;
  const BlRecord *kept;

  g_assert_true (bl_library_append (f->library, record, NULL));
  bl_quantity_clear (&bl_board_measurement (board, "M5")->expected.low);
  bl_board_measurement (board, "M5")->expected.low.value = 4.99;
  g_assert_true (bl_library_save_board (f->library, job->board, board, NULL));
  found = records (f);
  kept = g_ptr_array_index (found, 0);
  g_assert_cmpfloat (kept->band->low, ==, 4.8);
  g_assert_cmpstr (bl_verdict_label (kept->verdict), ==, "in band");
}

static void
test_kinds (Fixture *f, gconstpointer data)
{
  g_autoptr (BlRecord) mark = bl_record_new (BL_RECORD_MARK, NULL, "burn");
  g_autoptr (GPtrArray) found = NULL;
  const BlRecord *last;

  for (int kind = BL_RECORD_READING; kind <= BL_RECORD_NOTE; kind++)
    if (kind != BL_RECORD_MARK)
      append (f, (BlRecordKind) kind, "M5", "4.98");
  mark->job = f->job;
  mark->photo = g_strdup ("job:3");
  mark->x = 12.5;
  mark->y = 7;
  g_assert_true (bl_library_append (f->library, mark, NULL));
  found = records (f);
  g_assert_cmpuint (found->len, ==, BL_RECORD_NOTE + 1);
  last = g_ptr_array_index (found, found->len - 1);
  g_assert_cmpint (last->kind, ==, BL_RECORD_MARK);
  g_assert_cmpstr (last->photo, ==, "job:3");
  g_assert_cmpfloat (last->x, ==, 12.5);
  g_assert_cmpfloat (last->y, ==, 7);
}

static void
test_strike (Fixture *f, gconstpointer data)
{
  gint64 first = append (f, BL_RECORD_NOTE, NULL, "one"),
         second = append (f, BL_RECORD_NOTE, NULL, "two");
  g_autoptr (GPtrArray) struck = NULL, restored = NULL;
  g_autoptr (GError) error = NULL;
  const BlRecord *record;

  g_assert_true (bl_library_strike (f->library, first, TRUE, "slip", NULL));
  g_assert_true (
      bl_library_strike (f->library, first, TRUE, "again", NULL)); /* already so: no second row */
  reopen (f);
  struck = records (f);
  record = g_ptr_array_index (struck, 0);
  g_assert_true (record->struck);
  g_assert_cmpstr (record->struck_reason, ==, "slip");
  g_assert_cmpint (record->struck_time, >=, record->time);
  g_assert_cmpstr (record->text, ==, "one");
  g_assert_false (((BlRecord *) g_ptr_array_index (struck, 1))->struck);
  g_assert_true (bl_library_strike (f->library, first, FALSE, NULL, NULL));
  restored = records (f);
  g_assert_false (((BlRecord *) g_ptr_array_index (restored, 0))->struck);
  g_assert_cmpuint (restored->len, ==, 2);
  g_assert_false (bl_library_strike (f->library, second + 50, TRUE, NULL, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
}

/* Random entries, strikes and restorations against a list in memory. */
static void
test_twin (Fixture *f, gconstpointer data)
{
  g_autoptr (GArray) ids = g_array_new (FALSE, FALSE, sizeof (gint64));
  g_autoptr (GArray) struck = g_array_new (FALSE, FALSE, sizeof (gboolean));
  g_autoptr (GPtrArray) texts = g_ptr_array_new_with_free_func (g_free), found = NULL;
  g_autoptr (GRand) rand = g_rand_new_with_seed (1);

  for (int i = 0; i < 150; i++)
    {
      if (ids->len == 0 || g_rand_int_range (rand, 0, 3) > 0)
        {
          char *text = g_strdup_printf ("line %d", (int) g_rand_int (rand));
          gint64 id = append (f, BL_RECORD_NOTE, NULL, text);
          gboolean no = FALSE;
          g_ptr_array_add (texts, text);
          g_array_append_val (ids, id);
          g_array_append_val (struck, no);
        }
      else
        {
          guint which = (guint) g_rand_int_range (rand, 0, (int) ids->len);
          gboolean strike = g_rand_int_range (rand, 0, 2);
          g_assert_true (bl_library_strike (f->library, g_array_index (ids, gint64, which), strike,
                                            "drawn by lot", NULL));
          g_array_index (struck, gboolean, which) = strike;
        }
    }
  reopen (f);
  found = records (f);
  g_assert_cmpuint (found->len, ==, ids->len);
  for (guint i = 0; i < found->len; i++)
    {
      const BlRecord *record = g_ptr_array_index (found, i);
      g_assert_cmpint (record->id, ==, g_array_index (ids, gint64, i));
      g_assert_cmpstr (record->text, ==, g_ptr_array_index (texts, i));
      g_assert_cmpint (record->struck, ==, g_array_index (struck, gboolean, i));
    }
}

/* A clock that was set back does not shuffle the log. */
static void
test_clock_back (Fixture *f, gconstpointer data)
{
  g_autoptr (BlRecord) future =
      bl_record_new (BL_RECORD_NOTE, NULL, "before the clock was set right");
  g_autoptr (GPtrArray) found = NULL;

  future->job = f->job;
  future->time = g_get_real_time () + G_TIME_SPAN_DAY;
  g_assert_true (bl_library_append (f->library, future, NULL));
  append (f, BL_RECORD_NOTE, NULL, "after");
  found = records (f);
  g_assert_cmpstr (((BlRecord *) g_ptr_array_index (found, 1))->text, ==, "after");
}

/* Appends reading after reading and says so on the pipe, until it is killed in the middle of it. */
static void
append_until_killed (const char *path, gint64 job, int pipe_end)
{
  BlLibrary *library = bl_library_open (path, FALSE, NULL);

  for (int i = 0; library != NULL; i++)
    {
      g_autofree char *text = g_strdup_printf ("%d", i);
      g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_NOTE, NULL, text);
      record->job = job;
      if (!bl_library_append (library, record, NULL) || write (pipe_end, &i, sizeof i) != sizeof i)
        break;
    }
  _exit (1);
}

static void
test_killed (Fixture *f, gconstpointer data)
{
  g_autoptr (GPtrArray) found = NULL;
  int ends[2], confirmed = -1, value, status = 0;
  pid_t child;

  g_clear_pointer (&f->library, bl_library_close);
  g_assert_cmpint (pipe (ends), ==, 0);
  child = fork ();
  if (child == 0)
    append_until_killed (f->path, f->job, ends[1]);
  close (ends[1]);
  while (confirmed < 9 && read (ends[0], &value, sizeof value) == sizeof value)
    confirmed = value;
  g_assert_cmpint (kill (child, SIGKILL), ==, 0);
  while (read (ends[0], &value, sizeof value) == sizeof value)
    confirmed = value; /* said before the kill reached it */
  close (ends[0]);
  g_assert_cmpint (waitpid (child, &status, 0), ==, child);
  g_assert_true (WIFSIGNALED (status));
  g_assert_cmpint (confirmed, >=, 9);

  reopen (f);
  found = records (f);
  g_assert_cmpuint (found->len, >=, confirmed + 1); /* one more may be in, unconfirmed */
  g_assert_cmpuint (found->len, <=, confirmed + 2);
  for (guint i = 0; i < found->len; i++)
    {
      g_autofree char *text = g_strdup_printf ("%u", i);
      g_assert_cmpstr (((BlRecord *) g_ptr_array_index (found, i))->text, ==, text);
    }
}

static void
test_refused (Fixture *f, gconstpointer data)
{
  g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_NOTE, NULL, "lost");
  g_autoptr (GError) error = NULL;

  record->job = 99;
  g_assert_false (bl_library_append (f->library, record, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
  g_assert_cmpint (record->id, ==, 0);
  g_assert_cmpint (record->time, ==, 0);
}

static void
test_entries (Fixture *f, gconstpointer data)
{
  g_autoptr (BlRecord) reading = reading_new (f, "4,98 V", "0.5%");
  g_autoptr (GPtrArray) all = NULL, entries = NULL;
  const BlEntry *entry;
  gint64 slip;

  append (f, BL_RECORD_SYMPTOM, "E1", "yes");
  append (f, BL_RECORD_STATE, "run", NULL);
  reading->misread = 0.15;
  g_assert_true (bl_library_append (f->library, reading, NULL));
  slip = append (f, BL_RECORD_PART_TEST, "U2", "open");
  append (f, BL_RECORD_REPLACED, "U2", "7805");
  append (f, BL_RECORD_ROUND, NULL, "wet");
  append (f, BL_RECORD_NOTE, NULL, "smells");
  append (f, BL_RECORD_READING, "M5", "-"); /* nothing to judge by */
  g_assert_true (bl_library_strike (f->library, slip, TRUE, NULL, NULL));
  all = records (f);
  entries = bl_records_to_entries (all);
  g_assert_cmpuint (entries->len, ==, 5);
  entry = g_ptr_array_index (entries, 0);
  g_assert_cmpint (entry->kind, ==, BL_ENTRY_SYMPTOM);
  g_assert_cmpstr (entry->subject, ==, "E1");
  g_assert_cmpstr (entry->text, ==, "yes");
  entry = g_ptr_array_index (entries, 1);
  g_assert_cmpint (entry->kind, ==, BL_ENTRY_READING);
  g_assert_cmpfloat (entry->reading.value, ==, 4.98);
  g_assert_cmpstr (entry->state, ==, "run");
  g_assert_cmpstr (entry->black, ==, "TP0");
  g_assert_cmpfloat (entry->misread, ==, 0.15);
  g_assert_nonnull (entry->judged);
  assert_verdicts_equal (entry->judged, reading->verdict);
  g_assert_cmpint (((BlEntry *) g_ptr_array_index (entries, 2))->kind, ==, BL_ENTRY_REPLACED);
  entry = g_ptr_array_index (entries, 3);
  g_assert_cmpint (entry->kind, ==, BL_ENTRY_ROUND);
  g_assert_cmpstr (entry->text, ==, "wet");
  entry = g_ptr_array_index (entries, 4);
  g_assert_cmpint (entry->reading.kind, ==, BL_READING_NOT_REACHED);
  g_assert_null (entry->judged);
}

/* A reading and the state it declares: both or neither. */
static void
test_together (Fixture *f, gconstpointer data)
{
  g_autoptr (BlRecord) state = bl_record_new (BL_RECORD_STATE, "run", NULL);
  g_autoptr (BlRecord) reading = reading_new (f, "5.01", "0.5%");
  BlRecord *both[] = { state, reading };
  g_autoptr (GError) error = NULL;

  state->job = f->job;
  reading->job = 999;
  g_assert_false (bl_library_append_all (f->library, both, 2, &error));
  g_assert_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND);
  g_autoptr (GPtrArray) none = records (f);
  g_assert_cmpuint (none->len, ==, 0);
  g_assert_cmpint (state->id, ==, 0);
  reading->job = f->job;
  g_assert_true (bl_library_append_all (f->library, both, 2, NULL));
  g_autoptr (GPtrArray) all = records (f);
  g_assert_cmpuint (all->len, ==, 2);
  g_assert_cmpint (((BlRecord *) bl_at (all, 0))->kind, ==, BL_RECORD_STATE);
  g_assert_cmpint (state->time, <, reading->time);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
#define ADD(name, function)                                                                        \
  g_test_add ("/store/log/" name, Fixture, NULL, set_up, function, tear_down)
  ADD ("reading", test_reading);
  ADD ("past-stays", test_past_stays);
  ADD ("kinds", test_kinds);
  ADD ("strike", test_strike);
  ADD ("twin", test_twin);
  ADD ("clock-back", test_clock_back);
  ADD ("killed", test_killed);
  ADD ("refused", test_refused);
  ADD ("together", test_together);
  ADD ("entries", test_entries);
  return g_test_run ();
}
