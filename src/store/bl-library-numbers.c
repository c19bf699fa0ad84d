/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shop's figures, counted anew each time from the heads of the jobs and from the few lines of the logs that say what
 * was found: causes, parts tested bad, parts replaced, time spent. Only for the jobs that have a cause are the lines
 * before it walked through, in an index that holds all that is asked of them. A library of 5,000 jobs with 200,000
 * readings takes some tenths of a second; see tests/store/bench-library.c. */
#include "config.h"

#include "bl-library-numbers.h"

#include "bl-library-known-good.h"
#include "bl-numbers-count-private.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

static void
part_free (gpointer data)
{
  g_free (((Part *) data)->component);
  g_free (data);
}

static void
work_free (gpointer data)
{
  Work *work = data;

  g_ptr_array_unref (work->parts);
  g_clear_pointer (&work->part_works, g_ptr_array_unref);
  g_free (work);
}

void
bl_numbers_part_free (BlNumbersPart *part)
{
  if (part == NULL)
    return;
  g_free (part->board_name);
  g_free (part->component);
  g_free (part->stage);
  g_free (part->value);
  g_free (part);
}

void
bl_numbers_free (BlNumbers *numbers)
{
  if (numbers == NULL)
    return;
  g_ptr_array_unref (numbers->causes);
  g_ptr_array_unref (numbers->parts);
  g_array_unref (numbers->months);
  g_free (numbers);
}

static void
count_clear (Count *count)
{
  g_clear_pointer (&count->works, g_hash_table_unref);
  g_clear_pointer (&count->struck, g_hash_table_unref);
  g_clear_pointer (&count->good, g_hash_table_unref);
  g_clear_pointer (&count->equipments, g_hash_table_unref);
  g_clear_pointer (&count->names, g_hash_table_unref);
  g_clear_pointer (&count->used, g_hash_table_unref);
  g_clear_pointer (&count->found, g_hash_table_unref);
  g_clear_pointer (&count->heads, g_ptr_array_unref);
  g_clear_pointer (&count->readings, g_array_unref);
  g_clear_pointer (&count->minutes, g_array_unref);
  g_clear_pointer (&count->spent, g_array_unref);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Count, count_clear)

/* --- which jobs --- */

gboolean
bl_numbers_in_period (const Count *count, gint64 time)
{
  return time != 0 && time >= count->numbers->ask.from && time < count->to;
}

gboolean
bl_numbers_is_asked (const Count *count, const BlJob *job)
{
  gint64 board = count->numbers->ask.board;
  if (GPOINTER_TO_INT (g_hash_table_lookup (count->good, &job->id)) == BL_KNOWN_GOOD_YES)
    return FALSE;
  return board != 0 ? job->board == board : job->part_of == 0;
}

static gboolean
read_heads (Count *count, GError **error)
{
  count->heads = bl_library_jobs (count->library, error);
  count->good = count->heads != NULL ? bl_library_known_good_jobs (count->library, error) : NULL;
  if (count->good == NULL)
    return FALSE;
  for (guint i = 0; i < count->heads->len; i++)
    {
      const BlJob *job = bl_at (count->heads, i);
      Work *work = g_new0 (Work, 1);
      work->head = job;
      work->parts = g_ptr_array_new_with_free_func (part_free);
      g_hash_table_insert (count->works, (gpointer) &job->id, work);
      if (job->board != 0)
        g_hash_table_insert (count->names, (gpointer) &job->board, job->board_name);
    }
  return TRUE;
}

/* The earliest return of each job. */
static void
follow_returns (Count *count)
{
  for (guint i = 0; i < count->heads->len; i++)
    {
      const BlJob *job = bl_at (count->heads, i);
      Work *first = job->return_of != 0 ? g_hash_table_lookup (count->works, &job->return_of) : NULL;
      if (first != NULL && (first->back == 0 || job->created < first->back))
        first->back = job->created;
    }
}

/* --- what the logs say --- */

gboolean
bl_numbers_is_part (const Part *part, gint64 board, const char *component)
{
  return part->board == board && g_str_equal (part->component, component);
}

/* A part is the same one whether it was worked on in a job on its board or on the equipment that the board is in. */
static Part *
part_of (Count *count, Work *work, const char *subject)
{
  gint64 board = work->head->board;
  const char *component = subject;

  if (work->head->equipment != 0)
    component = bl_numbers_place_part (count->library, count->equipments, work->head->equipment, subject, &board);
  for (guint i = 0; i < work->parts->len; i++)
    if (bl_numbers_is_part (bl_at (work->parts, i), board, component))
      return bl_at (work->parts, i);
  Part *part = g_new0 (Part, 1);
  part->board = board;
  part->component = g_strdup (component);
  g_ptr_array_add (work->parts, part);
  return part;
}

void
bl_numbers_add_part (Count *count, GHashTable *table, GPtrArray *list, const Work *work, const Part *found)
{
  g_autofree char *key = g_strdup_printf ("%" G_GINT64_FORMAT "\t%s", found->board, found->component);
  BlNumbersPart *part = g_hash_table_lookup (table, key);

  if (part == NULL)
    {
      const char *name = g_hash_table_lookup (count->names, &found->board);
      part = g_new0 (BlNumbersPart, 1);
      part->board = found->board;
      /* Of a board that no job is on, the document says it. */
      part->board_name = g_strdup (name != NULL ? name : found->board == work->head->board ? work->head->board_name : NULL);
      part->component = g_strdup (found->component);
      part->expected = NAN;
      part->stock = G_MAXUINT;
      g_ptr_array_add (list, part);
      g_hash_table_insert (table, g_steal_pointer (&key), part);
    }
  part->n++;
}

/* One line that says something about a part, or about time. */
static void
take_line (Count *count, Work *work, const char *kind, const char *component, const char *text, gint64 time)
{
  if (g_str_equal (kind, "time"))
    {
      double minutes = text != NULL ? g_ascii_strtod (text, NULL) : 0;
      work->spent += isfinite (minutes) && minutes > 0 ? minutes : 0;
      return;
    }
  if (component == NULL || *component == '\0')
    return;
  Part *part = part_of (count, work, component);
  gboolean replaced = g_str_equal (kind, "replaced");
  /* A line from before the job came along from the whole one's log, where it counts already. */
  gboolean copied = count->numbers->ask.board == 0 && work->head->part_of != 0 && time < work->head->created;
  gboolean bad = g_str_equal (kind, "part test") && text != NULL && !g_str_equal (text, "good");

  if (replaced)
    {
      part->replaced++;
      if (!copied && bl_numbers_in_period (count, time)
          && (count->numbers->ask.board == 0 || work->head->board == count->numbers->ask.board))
        bl_numbers_add_part (count, count->used, count->numbers->parts, work, part);
    }
  if ((replaced || bad) && part->found == 0)
    part->found = time;
  if (g_str_equal (kind, "cause") || g_str_equal (kind, "no cause"))
    {
      gboolean cause = g_str_equal (kind, "cause");
      /* Said once more, it was known before. */
      if (part->said == 0 || cause != part->cause)
        part->said = time;
      part->cause = cause;
    }
}

/* The lines that are struck now: few, so they are looked up here rather than for each line. */
static gboolean
read_struck (Count *count, GError **error)
{
  g_autoptr (BlStatement) statement = bl_database_prepare (
      count->library->database, _ ("counting what was done"),
      "SELECT record FROM (SELECT record, struck, row_number () OVER (PARTITION BY record ORDER BY time DESC, id DESC)"
      " AS place FROM strike) WHERE place = 1 AND struck", error);
  BlStep step = BL_STEP_ERROR;

  while (statement != NULL && (step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    {
      gint64 id = bl_statement_int (statement, 0);
      g_hash_table_add (count->struck, g_memdup2 (&id, sizeof id));
    }
  return step == BL_STEP_DONE;
}

/* The list of kinds is that of the index record_found, word for word. */
static const char lines_sql[] =
    "SELECT job, kind, subject, text, time, id FROM record"
    " WHERE kind IN ('part test', 'replaced', 'cause', 'no cause', 'time', 'job')"
    "   AND kind IN ('part test', 'replaced', 'cause', 'no cause', 'time') ORDER BY job, time, id";

static gboolean
read_lines (Count *count, GError **error)
{
  g_autoptr (BlStatement) statement =
      bl_database_prepare (count->library->database, _ ("counting what was done"), lines_sql, error);
  BlStep step = BL_STEP_ERROR;

  while (statement != NULL && (step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    {
      gint64 job = bl_statement_int (statement, 0);
      g_autofree char *kind = bl_statement_dup_text (statement, 1), *component = bl_statement_dup_text (statement, 2);
      g_autofree char *text = bl_statement_dup_text (statement, 3);
      gint64 id = bl_statement_int (statement, 5);
      Work *work = g_hash_table_contains (count->struck, &id) ? NULL : g_hash_table_lookup (count->works, &job);
      if (work != NULL) /* one of a job that was removed counts no more */
        take_line (count, work, kind, component, text, bl_statement_int (statement, 4));
    }
  return step == BL_STEP_DONE;
}

/* --- how soon it was found --- */

/* Of the index record_job alone. */
static const char pace_sql[] = "SELECT time, kind = 'reading' AND text <> '-' AND substr (text, 1, 2) <> '- ', id"
                               " FROM record WHERE job = ?1 AND time <= ?2 ORDER BY time, id";

/* Readings until the cause was found, and the minutes from the first of them on. */
static gboolean
walk_log (Count *count, BlStatement *statement, const Work *work, GError **error)
{
  guint readings = 0;
  gint64 before = 0;
  double span = 0;
  BlStep step;

  bl_statement_reset (statement);
  bl_statement_bind_int (statement, 1, work->head->id);
  bl_statement_bind_int (statement, 2, bl_numbers_found_time (work));
  while ((step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    {
      gint64 time = bl_statement_int (statement, 0);
      gint64 id = bl_statement_int (statement, 2);
      readings += bl_statement_int (statement, 1) != 0 && !g_hash_table_contains (count->struck, &id);
      if (before != 0 && time - before <= BL_NUMBERS_PAUSE)
        span += (double) (time - before);
      if (readings > 0)
        before = time;
    }
  if (step == BL_STEP_DONE && readings > 0)
    {
      double n = readings, minutes = span / (60.0 * G_USEC_PER_SEC);
      g_array_append_val (count->readings, n);
      g_array_append_val (count->minutes, minutes);
    }
  return step == BL_STEP_DONE;
}

static int
compare_numbers (gconstpointer a, gconstpointer b)
{
  double one = *(const double *) a, other = *(const double *) b;
  return one < other ? -1 : one > other;
}

static BlNumbersSpread
spread_of (GArray *values)
{
  BlNumbersSpread spread = { values->len, NAN, NAN };
  double sum = 0;

  if (values->len == 0)
    return spread;
  g_array_sort (values, compare_numbers);
  for (guint i = 0; i < values->len; i++)
    sum += g_array_index (values, double, i);
  spread.mean = sum / values->len;
  spread.median = (g_array_index (values, double, (values->len - 1) / 2)
                   + g_array_index (values, double, values->len / 2)) / 2;
  return spread;
}

/* --- counting the jobs --- */

static gboolean
count_job (Count *count, BlStatement *pace, const Work *work, GError **error)
{
  const BlJob *job = work->head;

  if (job->return_of != 0)
    bl_numbers_count_return (count, work);
  if (!bl_numbers_is_asked (count, job))
    {
      if (count->numbers->ask.board == 0 && job->part_of != 0 && job->closed
          && bl_numbers_in_period (count, job->handed_back))
        bl_numbers_count_causes (count, work);
      return TRUE;
    }
  count->numbers->jobs++;
  count->numbers->states[job->state]++;
  count->numbers->received += bl_numbers_in_period (count, job->created);
  if (!job->closed || !bl_numbers_in_period (count, job->handed_back))
    return TRUE;
  bl_numbers_count_ended (count, work);
  return bl_numbers_found_time (work) == 0 || walk_log (count, pace, work, error);
}

/* --- all of it --- */

/* (transfer container) BlJob */
static GPtrArray *
asked_heads (Count *count)
{
  GPtrArray *asked = g_ptr_array_new ();

  for (guint i = 0; i < count->heads->len; i++)
    if (bl_numbers_is_asked (count, bl_at (count->heads, i)))
      g_ptr_array_add (asked, bl_at (count->heads, i));
  return asked;
}

static void
unref_boards (gpointer boards)
{
  if (boards != NULL)
    g_ptr_array_unref (boards);
}

static void
begin (Count *count, BlLibrary *library, const BlNumbersAsk *ask)
{
  BlNumbers *numbers = count->numbers = g_new0 (BlNumbers, 1);

  numbers->ask = *ask;
  numbers->causes = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_numbers_part_free);
  numbers->parts = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_numbers_part_free);
  numbers->months = g_array_new (FALSE, TRUE, sizeof (BlNumbersMonth));
  count->library = library;
  count->now = bl_library_now ();
  count->to = ask->to != 0 ? ask->to : count->now + 1;
  count->works = g_hash_table_new_full (g_int64_hash, g_int64_equal, NULL, work_free);
  count->struck = g_hash_table_new_full (g_int64_hash, g_int64_equal, g_free, NULL);
  count->equipments = g_hash_table_new_full (g_int64_hash, g_int64_equal, g_free, unref_boards);
  count->names = g_hash_table_new (g_int64_hash, g_int64_equal);
  count->used = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  count->found = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  count->readings = g_array_new (FALSE, FALSE, sizeof (double));
  count->minutes = g_array_new (FALSE, FALSE, sizeof (double));
  count->spent = g_array_new (FALSE, FALSE, sizeof (double));
}

static gboolean
count_jobs (Count *count, GError **error)
{
  g_autoptr (BlStatement) pace =
      bl_database_prepare (count->library->database, _ ("counting readings"), pace_sql, error);

  if (pace == NULL)
    return FALSE;
  bl_numbers_follow_parts (count);
  for (guint i = 0; i < count->heads->len; i++)
    {
      const BlJob *job = bl_at (count->heads, i);
      if (!count_job (count, pace, g_hash_table_lookup (count->works, &job->id), error))
        return FALSE;
    }
  return TRUE;
}

BlNumbers *
bl_library_numbers (BlLibrary *library, const BlNumbersAsk *ask, GError **error)
{
  g_return_val_if_fail (library != NULL && ask != NULL && ask->months > 0, NULL);
  g_auto (Count) count = { 0 };

  begin (&count, library, ask);
  g_autoptr (BlNumbers) numbers = count.numbers;
  if (!read_heads (&count, error))
    return NULL;
  follow_returns (&count);
  if (!read_struck (&count, error) || !read_lines (&count, error) || !count_jobs (&count, error))
    return NULL;
  g_autoptr (GPtrArray) asked = asked_heads (&count);
  bl_numbers_count_months (numbers, asked, MIN (count.to, count.now));
  numbers->readings = spread_of (count.readings);
  numbers->minutes = spread_of (count.minutes);
  numbers->spent = spread_of (count.spent);
  bl_numbers_stock_parts (numbers);
  bl_numbers_name_parts (library, numbers->causes);
  bl_numbers_name_parts (library, numbers->parts);
  return g_steal_pointer (&numbers);
}

GPtrArray *
bl_library_numbers_editions (BlLibrary *library, GError **error)
{
  g_return_val_if_fail (library != NULL, NULL);
  g_autoptr (GPtrArray) jobs = bl_library_jobs (library, error);
  g_autoptr (GHashTable) seen = g_hash_table_new (g_int64_hash, g_int64_equal);

  g_autoptr (GHashTable) good = jobs != NULL ? bl_library_known_good_jobs (library, error) : NULL;
  if (good == NULL)
    return NULL;
  GPtrArray *editions = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_numbers_part_free);
  for (guint i = 0; i < jobs->len; i++)
    {
      const BlJob *job = bl_at (jobs, i);
      BlNumbersPart *edition = g_hash_table_lookup (seen, &job->board);
      if (job->board == 0 || GPOINTER_TO_INT (g_hash_table_lookup (good, &job->id)) == BL_KNOWN_GOOD_YES)
        continue;
      if (edition == NULL)
        {
          edition = g_new0 (BlNumbersPart, 1);
          edition->board = job->board;
          edition->board_name = g_strdup (job->board_name);
          g_ptr_array_add (editions, edition);
          g_hash_table_insert (seen, &edition->board, edition);
        }
      edition->n++;
    }
  bl_numbers_sort_parts (editions);
  return editions;
}
