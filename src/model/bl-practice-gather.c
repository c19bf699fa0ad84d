/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How practice went: counted for the screen and the paper, and line by line as CSV. RFC 4180: a head, CRLF after every
 * record, fields with commas, quotes or line breaks in quotes; figures with a point, times local as ISO 8601. No figure
 * is below 0, so every field may go as text that a spreadsheet must not compute. */
#include "config.h"

#include "bl-practice-private.h"

#include "bl-csv.h"
#include "bl-library-equipment.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

static char *
title_of (const char *name, gboolean family)
{
  return family ? bl_family_words (name) : bl_section_kind_words (name);
}

const char *
bl_practice_name_of (BlPractice *self, gint64 person)
{
  for (guint i = 0; i < self->persons->len; i++)
    if (((const BlPerson *) g_ptr_array_index (self->persons, i))->id == person)
      return ((const BlPerson *) g_ptr_array_index (self->persons, i))->name;
  return NULL;
}

/* "K1 contact does not close", several with commas. */
static char *
faults_words (char **faults)
{
  g_autoptr (GString) words = g_string_new (NULL);

  for (guint i = 0; faults != NULL && faults[i] != NULL; i++)
    {
      g_autofree char *fault = g_strdup (faults[i]);
      char *colon = strchr (fault, ':');
      if (colon != NULL)
        *colon = ' ';
      g_string_append_printf (words, "%s%s", i > 0 ? ", " : "", fault);
    }
  return g_string_free (g_steal_pointer (&words), FALSE);
}

/* The copy a drill is about, read once for all its drills; NULL: it cannot be read. boards: key to BlBoard. */
static const BlBoard *
board_of (BlLibrary *library, GHashTable *boards, const BlDrillRow *row)
{
  g_autofree char *key = g_strdup_printf ("%" G_GINT64_FORMAT "/%" G_GINT64_FORMAT, row->board, row->equipment);
  BlBoard *board = g_hash_table_lookup (boards, key);

  if (board != NULL)
    return board;
  board = row->equipment != 0 ? bl_library_join_equipment (library, row->equipment, NULL, NULL)
                              : bl_library_load_board (library, row->board, NULL);
  if (board != NULL)
    g_hash_table_insert (boards, g_steal_pointer (&key), board);
  return board;
}

/* The part first: where the words are long, that is not what is cut. Stages by their titles, which a reader knows them by. */
static char *
named_words (const BlBoard *board, const BlDrillRow *row)
{
  const BlStage *stage = board != NULL && row->stage != NULL ? bl_board_stage (board, row->stage) : NULL;
  const char *title = stage != NULL && stage->title != NULL && *stage->title != '\0' ? stage->title : row->stage;

  if (title != NULL && row->component != NULL)
    return g_strdup_printf ("%s, %s", row->component, title);
  return g_strdup (title != NULL ? title : row->component);
}

/* --- counted --- */

static void
count_answers (BlPracticeResults *results, GPtrArray *answers)
{
  static const BlPractisedKind kinds[BL_N_ANSWER_KINDS] = { BL_PRACTISED_WAY, BL_PRACTISED_READS, BL_PRACTISED_WORKED };

  for (guint i = 0; i < answers->len; i++)
    {
      const BlAnswer *answer = g_ptr_array_index (answers, i);
      BlPractised practised = { .kind = kinds[answer->kind], .day = bl_practice_day_of (answer->time),
                                .section = *answer->topic != '\0' ? answer->topic : NULL,
                                .family = answer->family, .right = answer->right };
      if (answer->asked)
        bl_practice_results_add (results, &practised, title_of);
    }
}

static void
count_drills (BlPractice *self, BlPracticeResults *results, GPtrArray *drills)
{
  g_autoptr (GHashTable) boards = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify) bl_board_free);

  for (guint i = 0; i < drills->len; i++)
    {
      const BlDrillRow *row = g_ptr_array_index (drills, i);
      if (!row->scored)
        continue;
      BlPractised practised = { .kind = BL_PRACTISED_DRILL, .day = bl_practice_day_of (row->ended),
                                .section = row->section_kind, .family = row->family,
                                .right = bl_drill_row_is_right (row), .failed = row->failed, .regret_s = row->regret_s,
                                .effort_s = row->effort_s };
      bl_practice_results_add (results, &practised, title_of);
      BlResultsDrill *drill = g_new0 (BlResultsDrill, 1);
      drill->ended = row->ended;
      drill->board = g_strdup (row->title);
      drill->fault = faults_words (row->faults);
      drill->named = named_words (row->stage != NULL ? board_of (self->library, boards, row) : NULL, row);
      drill->right = bl_drill_row_is_right (row);
      drill->failed = row->failed;
      drill->n_measured = row->n_measured;
      drill->n_right = row->n_right;
      drill->n_told_nothing = row->n_told_nothing;
      drill->n_unsafe = row->n_unsafe;
      drill->regret_s = row->regret_s;
      drill->effort_s = row->effort_s;
      g_ptr_array_add (results->drills, drill);
    }
}

static int
latest_first (gconstpointer a, gconstpointer b)
{
  const BlResultsDrill *one = *(BlResultsDrill *const *) a, *other = *(BlResultsDrill *const *) b;

  return one->ended > other->ended ? -1 : one->ended < other->ended;
}

BlPracticeResults *
bl_practice_results (BlPractice *self, gint64 person, GError **error)
{
  g_return_val_if_fail (BL_IS_PRACTICE (self), NULL);
  g_autoptr (GPtrArray) answers = bl_library_answers (self->library, person, error);
  g_autoptr (GPtrArray) drills = answers != NULL ? bl_library_drills (self->library, person, error) : NULL;
  g_autoptr (GPtrArray) due = drills != NULL ? bl_practice_due (self, person, error) : NULL;

  if (due == NULL)
    return NULL;
  BlPracticeResults *results = bl_practice_results_new (bl_practice_name_of (self, person), bl_practice_today (self));
  count_answers (results, answers);
  count_drills (self, results, drills);
  g_ptr_array_sort (results->drills, latest_first);
  for (guint i = 0; i < due->len; i++)
    {
      BlResultsDue *one = g_new0 (BlResultsDue, 1);
      one->what = g_strdup (((const BlTopic *) g_ptr_array_index (due, i))->title);
      one->due = ((const BlTopic *) g_ptr_array_index (due, i))->due;
      g_ptr_array_add (results->due, one);
    }
  bl_practice_results_finish (results);
  return results;
}

/* --- line by line --- */

#define HEAD                                                                                                         \
  "person,time,practised,subject,section,fault_family,asked,right,near,failed,measured,measured_right,told_nothing," \
  "unsafe,time_given_away_s,effort_s,kind,seed\r\n"
#define N_FIELDS 18

static void
add_record (GString *csv, char *const *fields)
{
  for (guint i = 0; i < N_FIELDS; i++)
    {
      if (i > 0)
        g_string_append_c (csv, ',');
      bl_csv_append_text (csv, fields[i] != NULL ? fields[i] : "");
    }
  g_string_append (csv, "\r\n");
}

static char *
time_text (gint64 time)
{
  g_autoptr (GDateTime) moment = g_date_time_new_from_unix_local (time / G_USEC_PER_SEC);

  return g_date_time_format (moment, "%Y-%m-%dT%H:%M:%S%:z");
}

static char *
yes_or_no (gboolean yes)
{
  return g_strdup (yes ? "yes" : "no");
}

static char *
seconds_text (double seconds)
{
  char buffer[G_ASCII_DTOSTR_BUF_SIZE];

  return isfinite (seconds) ? g_strdup (g_ascii_formatd (buffer, sizeof buffer, "%.1f", seconds)) : NULL;
}

/* Titles of the shop's boards and equipments by uid; what is there no longer stays with its uid. (transfer full) */
static GHashTable *
read_titles (BlPractice *self, GError **error)
{
  g_autoptr (GHashTable) titles = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  g_autoptr (GPtrArray) boards = bl_library_boards (self->shop, TRUE, error);
  g_autoptr (GPtrArray) equipments = boards != NULL ? bl_library_equipments (self->shop, error) : NULL;

  if (equipments == NULL)
    return NULL;
  for (guint i = 0; i < boards->len; i++)
    {
      const BlBoardRow *row = g_ptr_array_index (boards, i);
      const char *name = row->board_number != NULL && *row->board_number != '\0' ? row->board_number : row->model;
      if (name != NULL && *name != '\0')
        g_hash_table_insert (titles, g_strdup (row->uid),
                             row->edition != NULL && *row->edition != '\0'
                               ? g_strdup_printf (_ ("%s, edition %s"), name, row->edition) : g_strdup (name));
    }
  for (guint i = 0; i < equipments->len; i++)
    {
      const BlEquipmentRow *row = g_ptr_array_index (equipments, i);
      if (row->title != NULL)
        g_hash_table_insert (titles, g_strdup (row->uid), g_strdup (row->title));
    }
  return g_steal_pointer (&titles);
}

static void
add_answer (GString *csv, const char *person, const BlAnswer *answer, GHashTable *titles)
{
  const char *title = g_hash_table_lookup (titles, answer->subject);
  char *fields[N_FIELDS] = { g_strdup (person),
                             time_text (answer->time),
                             g_strdup (bl_answer_kind_name (answer->kind)),
                             g_strdup (title != NULL ? title : answer->subject),
                             g_strdup (answer->topic),
                             g_strdup (answer->family),
                             g_strdup (answer->what),
                             answer->asked ? yes_or_no (answer->right) : NULL,
                             answer->asked ? yes_or_no (answer->near) : NULL };

  add_record (csv, fields);
  for (guint i = 0; i < N_FIELDS; i++)
    g_free (fields[i]);
}

static void
add_drill (GString *csv, const char *person, const BlDrillRow *row)
{
  char *fields[N_FIELDS] = { g_strdup (person),
                             time_text (row->ended),
                             g_strdup ("drill"),
                             g_strdup (row->title),
                             g_strdup (row->section_kind),
                             g_strdup (row->family),
                             g_strjoinv (" ", row->faults),
                             yes_or_no (bl_drill_row_is_right (row)),
                             NULL,
                             yes_or_no (row->failed),
                             g_strdup_printf ("%u", row->n_measured),
                             g_strdup_printf ("%u", row->n_right),
                             g_strdup_printf ("%u", row->n_told_nothing),
                             g_strdup_printf ("%u", row->n_unsafe),
                             seconds_text (row->regret_s),
                             seconds_text (row->effort_s),
                             g_strdup (row->planted ? "planted" : bl_drill_kind_name (row->kind)),
                             row->planted ? NULL : g_strdup_printf ("%u", row->seed) };

  add_record (csv, fields);
  for (guint i = 0; i < N_FIELDS; i++)
    g_free (fields[i]);
}

/* Answers, then drills, each in order of time. */
static gboolean
add_person (BlPractice *self, GString *csv, const BlPerson *person, GHashTable *titles, GError **error)
{
  g_autoptr (GPtrArray) answers = bl_library_answers (self->library, person->id, error);
  g_autoptr (GPtrArray) drills = answers != NULL ? bl_library_drills (self->library, person->id, error) : NULL;

  if (drills == NULL)
    return FALSE;
  for (guint i = 0; i < answers->len; i++)
    add_answer (csv, person->name, g_ptr_array_index (answers, i), titles);
  for (guint i = drills->len; i > 0; i--)
    if (((const BlDrillRow *) g_ptr_array_index (drills, i - 1))->scored)
      add_drill (csv, person->name, g_ptr_array_index (drills, i - 1));
  return TRUE;
}

char *
bl_practice_csv (BlPractice *self, gint64 person, GError **error)
{
  g_return_val_if_fail (BL_IS_PRACTICE (self), NULL);
  g_autoptr (GString) csv = g_string_new (HEAD);
  g_autoptr (GHashTable) titles = read_titles (self, error);

  if (titles == NULL)
    return NULL;
  for (guint i = 0; i < self->persons->len; i++)
    {
      const BlPerson *one = g_ptr_array_index (self->persons, i);
      if ((person == 0 || one->id == person) && !add_person (self, csv, one, titles, error))
        return NULL;
    }
  return g_string_free (g_steal_pointer (&csv), FALSE);
}
