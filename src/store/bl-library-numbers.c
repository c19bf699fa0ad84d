/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shop's figures, counted anew each time from the heads of the jobs and from the few lines of the logs that say what
 * was found: causes, parts tested bad, parts replaced, time spent. Only for the jobs that have a cause are the lines
 * before it walked through, in an index that holds all that is asked of them. A library of 5,000 jobs with 200,000
 * readings takes some tenths of a second; see tests/store/bench-library.c. */
#include "config.h"

#include "bl-library-numbers.h"

#include "bl-library-known-good.h"
#include "bl-library-private.h"
#include "bl-numbers-private.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#define DAY ((gint64) 24 * 3600 * G_USEC_PER_SEC)

const int bl_numbers_spans[BL_NUMBERS_N_SPANS] = { 30, 90, 180 };
#define FIRST_FIX_SPAN 1 /* 90 days */

/* What the log of a job says about one part. */
typedef struct
{
  gint64 board;    /* that it is on; 0: on none, of an equipment */
  char *component; /* as it is called there */
  guint replaced;  /* times */
  gint64 found;    /* when it was first replaced or tested bad; 0: never */
  gint64 said;     /* since when it is said to be the cause, or not; 0: never */
  gboolean cause;  /* what is said */
} Part;

/* A job and what is needed of its log. */
typedef struct
{
  const BlJob *head;
  GPtrArray *parts; /* Part */
  gint64 back;      /* when it first came back; 0: it did not */
  double spent;     /* minutes */
  gboolean cause_in_part, replaced_in_part; /* in a job that is part of this one */
  GPtrArray *part_works; /* Work of those jobs; NULL: none, or not asked for */
} Work;

typedef struct
{
  BlLibrary *library;
  BlNumbers *numbers;
  GPtrArray *heads; /* BlJob, all */
  GHashTable *works; /* id of the job -> Work */
  GHashTable *struck; /* ids of lines */
  GHashTable *good;  /* jobs of known-good boards */
  GHashTable *equipments; /* id -> their boards, for bl_numbers_place_part () */
  GHashTable *names; /* id of the board -> its name, of heads */
  GHashTable *used;  /* "BOARD\tCOMPONENT" -> BlNumbersPart, of parts */
  GHashTable *found; /* the same, of causes */
  GArray *readings, *minutes, *spent; /* double */
  gint64 now, to;
} Count;

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

static gboolean
in_period (const Count *count, gint64 time)
{
  return time != 0 && time >= count->numbers->ask.from && time < count->to;
}

/* Of all editions a job that is part of another is counted with that one. A known-good board that was only read is no
 * repair; one that is good since its repair is. */
static gboolean
is_asked (const Count *count, const BlJob *job)
{
  gint64 board = count->numbers->ask.board;
  if (GPOINTER_TO_INT (g_hash_table_lookup (count->good, &job->id)) == BL_KNOWN_GOOD_YES)
    return FALSE;
  return board != 0 ? job->board == board : job->part_of == 0;
}

static gboolean
was_handed_back (const BlJob *job)
{
  return job->state == BL_JOB_HANDED_BACK || job->state == BL_JOB_RETURNED;
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

static gboolean
is_part (const Part *part, gint64 board, const char *component)
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
    if (is_part (bl_at (work->parts, i), board, component))
      return bl_at (work->parts, i);
  Part *part = g_new0 (Part, 1);
  part->board = board;
  part->component = g_strdup (component);
  g_ptr_array_add (work->parts, part);
  return part;
}

/* Adds a job to what is counted of a part. times: how often. */
static void
add_part (Count *count, GHashTable *table, GPtrArray *list, const Work *work, const Part *found)
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
      if (!copied && in_period (count, time)
          && (count->numbers->ask.board == 0 || work->head->board == count->numbers->ask.board))
        add_part (count, count->used, count->numbers->parts, work, part);
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

static gboolean
is_cause (const Part *part)
{
  return part->said != 0 && part->cause;
}

/* When a part that was a cause was first replaced, tested bad or confirmed; 0: no cause. */
static gint64
found_time (const Work *work)
{
  gint64 found = 0;

  for (guint i = 0; i < work->parts->len; i++)
    {
      const Part *part = bl_at (work->parts, i);
      gint64 time = part->found != 0 ? MIN (part->found, part->said) : part->said;
      if (is_cause (part) && (found == 0 || time < found))
        found = time;
    }
  return found;
}

static gboolean
has_cause (const Work *work)
{
  return work->cause_in_part || found_time (work) != 0;
}

static gboolean
has_replaced (const Work *work, gboolean in_vain)
{
  if (!in_vain && work->replaced_in_part)
    return TRUE;
  for (guint i = 0; i < work->parts->len; i++)
    {
      const Part *part = bl_at (work->parts, i);
      if (part->replaced > 0 && (!in_vain || (part->said != 0 && !part->cause)))
        return TRUE;
    }
  return FALSE;
}

/* Of all editions, what was found and done in a job that is part of another was found and done in that one. */
static void
follow_parts (Count *count)
{
  for (guint i = 0; count->numbers->ask.board == 0 && i < count->heads->len; i++)
    {
      const BlJob *job = bl_at (count->heads, i);
      Work *part = g_hash_table_lookup (count->works, &job->id);
      Work *whole = job->part_of != 0 ? g_hash_table_lookup (count->works, &job->part_of) : NULL;
      if (whole == NULL || whole == part)
        continue;
      if (whole->part_works == NULL)
        whole->part_works = g_ptr_array_new ();
      g_ptr_array_add (whole->part_works, part);
      whole->cause_in_part = whole->cause_in_part || has_cause (part);
      whole->replaced_in_part = whole->replaced_in_part || has_replaced (part, FALSE);
      whole->spent += part->spent;
    }
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
  bl_statement_bind_int (statement, 2, found_time (work));
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

static void
count_returns (Count *count, const Work *work)
{
  BlNumbers *numbers = count->numbers;
  gint64 out = count->now - work->head->handed_back, back = work->back - work->head->handed_back;
  const gint64 fix_span = bl_numbers_spans[FIRST_FIX_SPAN] * DAY;
  gboolean came_soon = work->back != 0 && back <= fix_span;

  for (guint i = 0; i < BL_NUMBERS_N_SPANS; i++)
    if (out >= bl_numbers_spans[i] * DAY)
      {
        numbers->out[i]++;
        numbers->back[i] += work->back != 0 && back <= bl_numbers_spans[i] * DAY;
      }
  numbers->returns += work->back != 0;
  if (!has_cause (work) || !has_replaced (work, FALSE))
    return;
  numbers->repairs++;
  if (out < fix_span && !came_soon)
    return;
  numbers->first_fix_of++;
  numbers->first_fix += !came_soon && !has_replaced (work, TRUE);
}

static void
count_ended (Count *count, const Work *work)
{
  BlNumbers *numbers = count->numbers;

  numbers->ended++;
  numbers->with_cause += has_cause (work);
  for (guint i = 0; i < work->parts->len; i++)
    if (is_cause (bl_at (work->parts, i)))
      add_part (count, count->found, numbers->causes, work, bl_at (work->parts, i));
  if (work->spent > 0)
    g_array_append_val (count->spent, work->spent);
  if (!was_handed_back (work->head))
    {
      numbers->not_economical++;
      return;
    }
  numbers->handed_back++;
  numbers->no_fault_found += !has_cause (work) && !has_replaced (work, FALSE);
  count_returns (count, work);
}

/* Parts of an equipment's job may have been found in a job that is part of it. */
static void
count_causes_of_part (Count *count, const Work *work)
{
  for (guint i = 0; i < work->parts->len; i++)
    if (is_cause (bl_at (work->parts, i)))
      add_part (count, count->found, count->numbers->causes, work, bl_at (work->parts, i));
}

/* Its own causes, and those of the jobs that are part of it. (transfer container) Part */
static GPtrArray *
causes_of (const Work *work)
{
  GPtrArray *causes = g_ptr_array_new ();

  for (guint i = 0; i <= bl_len (work->part_works); i++)
    {
      const Work *from = i == 0 ? work : bl_at (work->part_works, i - 1);
      for (guint k = 0; k < from->parts->len; k++)
        if (is_cause (bl_at (from->parts, k)))
          g_ptr_array_add (causes, bl_at (from->parts, k));
    }
  return causes;
}

static gboolean
share_a_cause (const Work *one, const Work *other)
{
  g_autoptr (GPtrArray) ones = causes_of (one), others = causes_of (other);

  for (guint i = 0; i < ones->len; i++)
    for (guint k = 0; k < others->len; k++)
      if (is_part (bl_at (ones, i), ((Part *) bl_at (others, k))->board, ((Part *) bl_at (others, k))->component))
        return TRUE;
  return FALSE;
}

/* What the return of a job that counts was about, once it has ended. */
static void
count_return (Count *count, const Work *back)
{
  const Work *first = g_hash_table_lookup (count->works, &back->head->return_of);
  BlNumbers *numbers = count->numbers;

  if (first == NULL || !is_asked (count, first->head) || !was_handed_back (first->head)
      || !in_period (count, first->head->handed_back) || first->back != back->head->created || !back->head->closed)
    return;
  if (!has_cause (back))
    numbers->returns_no_fault += !has_replaced (back, FALSE);
  else if (share_a_cause (first, back))
    numbers->returns_same++;
  else
    numbers->returns_other++;
}

static gboolean
count_job (Count *count, BlStatement *pace, const Work *work, GError **error)
{
  const BlJob *job = work->head;

  if (job->return_of != 0)
    count_return (count, work);
  if (!is_asked (count, job))
    {
      if (count->numbers->ask.board == 0 && job->part_of != 0 && job->closed && in_period (count, job->handed_back))
        count_causes_of_part (count, work);
      return TRUE;
    }
  count->numbers->jobs++;
  count->numbers->states[job->state]++;
  count->numbers->received += in_period (count, job->created);
  if (!job->closed || !in_period (count, job->handed_back))
    return TRUE;
  count_ended (count, work);
  return found_time (work) == 0 || walk_log (count, pace, work, error);
}

/* --- all of it --- */

/* (transfer container) BlJob */
static GPtrArray *
asked_heads (Count *count)
{
  GPtrArray *asked = g_ptr_array_new ();

  for (guint i = 0; i < count->heads->len; i++)
    if (is_asked (count, bl_at (count->heads, i)))
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
  follow_parts (count);
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
