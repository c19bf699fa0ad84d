/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shop's figures as comma-separated values (RFC 4180), one figure a line, so that a spreadsheet can filter them. Not
 * translated and with a point in the numbers, whatever the locale: it is for programs. Some hundred lines an edition. */
#include "config.h"

#include "bl-numbers-words.h"

#include <math.h>

#include "bl-csv.h"

enum { NONE = -1 };

/* A number as short as it reads back, "" for NAN. */
static void
append_number (GString *out, double value)
{
  char buffer[G_ASCII_DTOSTR_BUF_SIZE];

  if (!isnan (value))
    g_string_append (out, g_ascii_formatd (buffer, sizeof buffer, "%.10g", value));
}

/* count, of: NONE where there is none; value: NAN where there is none. item, unit may be NULL. */
static void
append_line (GString *out, const char *figure, const char *edition, const char *item, int count, int of, double value,
             const char *unit)
{
  bl_csv_append (out, figure);
  g_string_append_c (out, ',');
  bl_csv_append_text (out, edition != NULL ? edition : "");
  g_string_append_c (out, ',');
  bl_csv_append_text (out, item != NULL ? item : "");
  g_string_append_c (out, ',');
  if (count != NONE)
    g_string_append_printf (out, "%d", count);
  g_string_append_c (out, ',');
  if (of != NONE)
    g_string_append_printf (out, "%d", of);
  g_string_append_c (out, ',');
  append_number (out, value);
  g_string_append_printf (out, ",%s\r\n", unit != NULL ? unit : "");
}

void
bl_numbers_csv_begin (GString *out)
{
  g_return_if_fail (out != NULL);
  g_string_append (out, "figure,edition,item,count,of,value,unit\r\n");
}

static void
append_count (GString *out, const char *figure, const char *edition, guint count, int of)
{
  append_line (out, figure, edition, NULL, (int) count, of, NAN, NULL);
}

static void
append_spread (GString *out, const char *figure, const char *edition, const BlNumbersSpread *spread, const char *unit)
{
  append_line (out, figure, edition, "mean", NONE, (int) spread->n, spread->mean, unit);
  append_line (out, figure, edition, "median", NONE, (int) spread->n, spread->median, unit);
}

/* Parts of all editions are told apart by the edition of each. */
static void
append_parts (GString *out, const BlNumbers *numbers, const char *edition)
{
  for (guint i = 0; i < numbers->causes->len; i++)
    {
      const BlNumbersPart *part = bl_at (numbers->causes, i);
      append_line (out, edition == NULL ? "cause_by_edition" : "cause", part->board_name, part->component, (int) part->n,
                   (int) numbers->with_cause, NAN, NULL);
    }
  for (guint i = 0; i < numbers->parts->len; i++)
    {
      const BlNumbersPart *part = bl_at (numbers->parts, i);
      const char *figure = edition == NULL ? "part_by_edition" : "part";
      g_autofree char *expected = g_strconcat (figure, "_expected", NULL), *keep = g_strconcat (figure, "_to_keep", NULL);
      append_line (out, figure, part->board_name, part->component, (int) part->n, NONE, NAN, NULL);
      append_line (out, expected, part->board_name, part->component, NONE, NONE, part->expected, "parts");
      append_line (out, keep, part->board_name, part->component, part->stock != G_MAXUINT ? (int) part->stock : NONE, NONE,
                   NAN, NULL);
    }
}

static void
append_months (GString *out, const BlNumbers *numbers, const char *edition)
{
  for (guint i = 0; i < numbers->months->len; i++)
    {
      const BlNumbersMonth *month = &g_array_index (numbers->months, BlNumbersMonth, i);
      g_autofree char *name = g_strdup_printf ("%04d-%02d", month->year, month->month);
      append_line (out, "month_received", edition, name, (int) month->received, NONE, NAN, NULL);
      append_line (out, "month_ended", edition, name, (int) month->ended, NONE, NAN, NULL);
      append_line (out, "month_came_back", edition, name, (int) month->came_back, NONE, NAN, NULL);
    }
}

void
bl_numbers_csv_append (GString *out, const BlNumbers *numbers, const char *edition)
{
  g_return_if_fail (out != NULL && numbers != NULL);
  append_count (out, "jobs", edition, numbers->jobs, NONE);
  for (guint i = 0; i < BL_N_JOB_STATES; i++)
    append_line (out, "state", edition, bl_job_state_name ((BlJobState) i), (int) numbers->states[i], (int) numbers->jobs,
                 NAN, NULL);
  append_count (out, "received", edition, numbers->received, NONE);
  append_count (out, "ended", edition, numbers->ended, NONE);
  append_count (out, "not_economical", edition, numbers->not_economical, (int) numbers->ended);
  append_count (out, "with_cause", edition, numbers->with_cause, (int) numbers->ended);
  append_count (out, "no_fault_found", edition, numbers->no_fault_found, (int) numbers->handed_back);
  append_count (out, "first_fix", edition, numbers->first_fix, (int) numbers->first_fix_of);
  for (guint i = 0; i < BL_NUMBERS_N_SPANS; i++)
    {
      g_autofree char *figure = g_strdup_printf ("returns_within_%d_days", bl_numbers_spans[i]);
      append_count (out, figure, edition, numbers->back[i], (int) numbers->out[i]);
    }
  append_count (out, "returns", edition, numbers->returns, (int) numbers->handed_back);
  append_count (out, "returns_same_part", edition, numbers->returns_same, (int) numbers->returns);
  append_count (out, "returns_other_part", edition, numbers->returns_other, (int) numbers->returns);
  append_count (out, "returns_no_fault_found", edition, numbers->returns_no_fault, (int) numbers->returns);
  append_spread (out, "readings_to_cause", edition, &numbers->readings, "readings");
  append_spread (out, "minutes_to_cause", edition, &numbers->minutes, "min");
  append_spread (out, "minutes_spent", edition, &numbers->spent, "min");
  append_parts (out, numbers, edition);
  append_months (out, numbers, edition);
}

static gboolean
append_edition (GString *out, BlLibrary *library, const BlNumbersAsk *ask, const BlNumbersPart *edition, GError **error)
{
  BlNumbersAsk own = *ask;

  own.board = edition->board;
  g_autoptr (BlNumbers) numbers = bl_library_numbers (library, &own, error);
  if (numbers == NULL)
    return FALSE;
  bl_numbers_csv_append (out, numbers, edition->board_name);
  return TRUE;
}

char *
bl_numbers_csv (BlLibrary *library, const BlNumbersAsk *ask, GError **error)
{
  g_return_val_if_fail (library != NULL && ask != NULL, NULL);
  g_autoptr (GString) out = g_string_new (NULL);
  g_autoptr (GPtrArray) editions = bl_library_numbers_editions (library, error);

  if (editions == NULL)
    return NULL;
  bl_numbers_csv_begin (out);
  if (ask->board == 0)
    {
      g_autoptr (BlNumbers) all = bl_library_numbers (library, ask, error);
      if (all == NULL)
        return NULL;
      bl_numbers_csv_append (out, all, NULL);
    }
  for (guint i = 0; i < editions->len; i++)
    {
      const BlNumbersPart *edition = bl_at (editions, i);
      if ((ask->board == 0 || ask->board == edition->board) && !append_edition (out, library, ask, edition, error))
        return NULL;
    }
  return g_string_free (g_steal_pointer (&out), FALSE);
}
