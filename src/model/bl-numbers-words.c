/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shop's figures in words. Every share stands with its counts, and below twenty jobs there are counts alone: a
 * per cent of eleven jobs says more than is known. What a figure counts stands beside it, for nobody agrees on what a
 * first fix is. */
#include "config.h"

#include "bl-numbers-words.h"

#include <glib/gi18n-lib.h>
#include <math.h>

void
bl_numbers_line_free (BlNumbersLine *line)
{
  if (line == NULL)
    return;
  g_free (line->title);
  g_free (line->value);
  g_free (line->meaning);
  g_free (line);
}

char *
bl_numbers_of_words (guint n, guint of)
{
  if (of == 0)
    return g_strdup ("–");
  if (of < BL_NUMBERS_FEW)
    return g_strdup_printf (_ ("%u of %u"), n, of);
  /* Translators: 5 of 25, 20 %. */
  return g_strdup_printf (_ ("%u of %u, %.0f %%"), n, of, 100.0 * n / of);
}

char *
bl_numbers_part_words (const BlNumbersPart *part, gboolean edition)
{
  g_return_val_if_fail (part != NULL, NULL);
  g_autoptr (GString) words = g_string_new (part->component);

  if (part->value != NULL && *part->value != '\0')
    g_string_append_printf (words, " · %s", part->value);
  if (part->stage != NULL)
    g_string_append_printf (words, " · %s", part->stage);
  if (edition && part->board_name != NULL)
    g_string_append_printf (words, " · %s", part->board_name);
  return g_string_free (g_steal_pointer (&words), FALSE);
}

/* --- lines --- */

/* Takes value and meaning. */
static void
add (GPtrArray *lines, const char *id, const char *title, char *value, char *meaning)
{
  BlNumbersLine *line = g_new0 (BlNumbersLine, 1);

  line->id = id;
  line->title = g_strdup (title);
  line->value = value;
  line->meaning = meaning;
  g_ptr_array_add (lines, line);
}

/* "7.4 on average, 6.0 in the middle (12 jobs)" */
static char *
spread_words (const BlNumbersSpread *spread)
{
  if (spread->n == 0)
    return g_strdup ("–");
  if (spread->n == 1)
    return g_strdup_printf (_ ("%.1f (1 job)"), spread->mean);
  return g_strdup_printf (ngettext ("%.1f on average, %.1f in the middle (%u job)",
                                    "%.1f on average, %.1f in the middle (%u jobs)", spread->n),
                          spread->mean, spread->median, spread->n);
}

static char *
returns_words (const BlNumbers *numbers)
{
  guint open = numbers->returns - numbers->returns_same - numbers->returns_other - numbers->returns_no_fault;

  if (numbers->returns == 0)
    return g_strdup ("0");
  return g_strdup_printf (_ ("%u: same part %u, another %u, no fault found %u, not ended %u"), numbers->returns,
                          numbers->returns_same, numbers->returns_other, numbers->returns_no_fault, open);
}

static void
add_spans (GPtrArray *lines, const BlNumbers *numbers)
{
  static const char *const ids[BL_NUMBERS_N_SPANS] = { "returns_within_30_days", "returns_within_90_days",
                                                       "returns_within_180_days" };

  for (guint i = 0; i < BL_NUMBERS_N_SPANS; i++)
    {
      g_autofree char *title = g_strdup_printf (
          ngettext ("Came back within %d day", "Came back within %d days", (gulong) bl_numbers_spans[i]), bl_numbers_spans[i]);
      add (lines, ids[i], title, bl_numbers_of_words (numbers->back[i], numbers->out[i]),
           g_strdup_printf (ngettext ("of the jobs handed back %d day ago or longer",
                                      "of the jobs handed back %d days ago or longer", (gulong) bl_numbers_spans[i]),
                            bl_numbers_spans[i]));
    }
}

GPtrArray *
bl_numbers_lines (const BlNumbers *numbers)
{
  g_return_val_if_fail (numbers != NULL, NULL);
  GPtrArray *lines = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_numbers_line_free);

  add (lines, "received", _ ("Taken in"), g_strdup_printf ("%u", numbers->received), g_strdup (_ ("jobs of the period")));
  add (lines, "ended", _ ("Ended"), g_strdup_printf ("%u", numbers->ended),
       g_strdup (_ ("handed back or not economical; all below is of these")));
  add (lines, "not_economical", _ ("Not economical"), bl_numbers_of_words (numbers->not_economical, numbers->ended),
       g_strdup (_ ("given back unrepaired")));
  add (lines, "with_cause", _ ("Cause confirmed"), bl_numbers_of_words (numbers->with_cause, numbers->ended),
       g_strdup (_ ("at least one part said to be the cause")));
  add (lines, "no_fault_found", _ ("No fault found"), bl_numbers_of_words (numbers->no_fault_found, numbers->handed_back),
       g_strdup (_ ("of those handed back: no cause confirmed, no part replaced")));
  add (lines, "first_fix", _ ("First fix"), bl_numbers_of_words (numbers->first_fix, numbers->first_fix_of),
       g_strdup (_ ("of repairs with a confirmed cause, handed back 90 days ago or back already: no part replaced in "
                    "vain, and not back within 90 days")));
  add_spans (lines, numbers);
  add (lines, "returns", _ ("Came back so far"), returns_words (numbers),
       g_strdup (_ ("by what their second job found")));
  add (lines, "readings_to_cause", _ ("Readings to the cause"), spread_words (&numbers->readings),
       g_strdup (_ ("taken before a part that was the cause was replaced, tested bad or confirmed")));
  add (lines, "minutes_to_cause", _ ("Minutes to the cause"), spread_words (&numbers->minutes),
       g_strdup (_ ("from the first reading until then; pauses of more than 30 minutes left out")));
  add (lines, "minutes_spent", _ ("Minutes noted"), spread_words (&numbers->spent),
       g_strdup (_ ("what the log says was spent, whole jobs, where it says so")));
  return lines;
}

char *
bl_numbers_stock_words (const BlNumbers *numbers)
{
  g_return_val_if_fail (numbers != NULL, NULL);
  if (numbers->months_known < 1)
    return g_strdup (_ ("Less than a month is known: no figure for stock yet."));
  return g_strdup_printf (
    _ ("Expected in %.0f months: replaced in the %.1f months known × %.0f ÷ %.1f. To keep: the least number that is "
       "enough in %.0f of 100 such times if use follows Poisson's distribution with that mean; that the mean itself is "
       "a guess from few parts is not allowed for."),
    numbers->ask.months, numbers->months_known, numbers->ask.months, numbers->months_known, 100 * numbers->ask.enough);
}

gboolean
bl_numbers_nothing (const BlNumbers *numbers)
{
  g_return_val_if_fail (numbers != NULL, TRUE);
  return numbers->received == 0 && numbers->ended == 0 && numbers->parts->len == 0;
}

char *
bl_numbers_no_chart_words (const BlNumbers *numbers)
{
  g_return_val_if_fail (numbers != NULL, NULL);
  if (numbers->ended >= BL_NUMBERS_FEW)
    return NULL;
  if (bl_numbers_nothing (numbers))
    return g_strdup (_ ("In this period no job was taken in, none ended and no part was replaced: there is nothing to count."));
  if (numbers->ended == 0)
    return g_strdup (_ ("No job has ended in the period: causes, returns and times are of jobs that ended."));
  return g_strdup_printf (ngettext ("%u job has ended in the period: counts only. Charts and per cent begin at %u, since "
                                    "fewer say too little.",
                                    "%u jobs have ended in the period: counts only. Charts and per cent begin at %u, "
                                    "since fewer say too little.", numbers->ended),
                          numbers->ended, (guint) BL_NUMBERS_FEW);
}
