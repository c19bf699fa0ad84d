/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The words about known-good boards and the bands they support. No symbol of statistics but s, n and per cent:
 * whoever wants more finds mean, s and the number of boards in the same line. */
#include "config.h"

#include "bl-known-good-words.h"

#include "bl-format.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

char *
bl_good_value_words (const BlGoodProposal *proposal, double value)
{
  g_return_val_if_fail (proposal != NULL, NULL);
  return proposal->ratio ? g_strdup_printf ("%+.1f %%", 100 * (value - 1))
                         : bl_format_value (proposal->measures, value);
}

static char *
with_unit (const BlGoodProposal *proposal, char *words)
{
  g_autofree char *unit = bl_format_unit (proposal->measures), *owned = words;

  return g_strchomp (g_strdup_printf ("%s %s", owned, unit));
}

/* Limits as they are read, to the digits that their values have. */
static char *
limits_words (const BlGoodProposal *proposal, double low, double high)
{
  g_autofree char *one = isfinite (low) ? bl_good_value_words (proposal, low) : NULL;
  g_autofree char *other = isfinite (high) ? bl_good_value_words (proposal, high) : NULL;

  if (proposal->ratio)
    return g_strdup_printf (_ ("±%.3g %% of the line"), 100 * (high - 1));
  if (one != NULL && other != NULL)
    return with_unit (proposal, g_strdup_printf ("%s – %s", one, other));
  if (one != NULL || other != NULL)
    return with_unit (proposal, g_strdup_printf ("%s %s", one != NULL ? "≥" : "≤", one != NULL ? one : other));
  return g_strdup ("");
}

char *
bl_good_interval_words (const BlGoodProposal *proposal, const BlGoodInterval *interval)
{
  g_return_val_if_fail (proposal != NULL && interval != NULL, NULL);
  return isnan (interval->k) ? g_strdup ("") : limits_words (proposal, interval->low, interval->high);
}

char *
bl_good_documented_words (const BlGoodProposal *proposal)
{
  g_return_val_if_fail (proposal != NULL, NULL);
  char *words = limits_words (proposal, proposal->documented_low, proposal->documented_high);

  if (*words != '\0')
    return words;
  g_free (words);
  return g_strdup (_ ("nothing"));
}

static char *
month (gint64 time)
{
  g_autoptr (GDateTime) date = g_date_time_new_from_unix_utc (time / G_USEC_PER_SEC);
  return g_date_time_format (date, "%Y-%m");
}

static guint
n_shown (const BlGoodProposal *proposal)
{
  return proposal->boards->len;
}

char *
bl_good_count_words (const BlGoodProposal *proposal)
{
  g_return_val_if_fail (proposal != NULL, NULL);
  const char *unit = bl_measures_unit (proposal->measures);
  guint n = proposal->with.n;
  g_autofree char *boards = g_strdup_printf (ngettext ("%u board", "%u boards", n), n);
  g_autofree char *shown = n_shown (proposal) > n
                             ? g_strdup_printf (_ ("%s of %u shown"), boards, n_shown (proposal)) : g_strdup (boards);
  g_autofree char *from = NULL, *to = NULL, *mean = NULL, *s = NULL, *figures = NULL;

  if (n == 0)
    return g_strdup_printf (ngettext ("%u board read", "%u boards read", n_shown (proposal)), n_shown (proposal));
  from = month (proposal->from);
  to = month (proposal->to);
  if (n > 1 && proposal->ratio)
    figures = g_strdup_printf (_ (", mean %+.1f %%, s %.1f %%"), 100 * (proposal->with.mean - 1),
                               100 * proposal->with.s);
  else if (n > 1)
    {
      mean = bl_quantity_format (proposal->with.mean, unit, 4);
      s = bl_quantity_format (proposal->with.s, unit, 2);
      figures = g_strdup_printf (_ (", mean %s, s %s"), mean, s);
    }
  if (g_str_equal (from, to))
    return g_strdup_printf ("%s%s, %s", shown, figures != NULL ? figures : "", from);
  /* Translators: "14 boards", ", mean 12.1 V, s 31 mV", and two months */
  return g_strdup_printf (_ ("%s%s, %s to %s"), shown, figures != NULL ? figures : "", from, to);
}

static char *
proposed_words (BlKnownGood *self, const BlGoodProposal *proposal, gboolean brief)
{
  g_autofree char *band = bl_good_interval_words (proposal, &proposal->with);
  g_autofree char *compare = bl_good_compare_words (proposal);
  const char *sign = proposal->has_low && proposal->has_high ? "±" : proposal->has_high ? "+" : "−";

  if (brief && *compare != '\0' && proposal->n_outliers == 0)
    /* Translators: a band, a sign and a number, and "narrower than documented" */
    return g_strdup_printf (_ ("%s (mean %s %.2f s) · %s"), band, sign, proposal->with.k, compare);
  if (brief)
    return g_strdup_printf (_ ("%s (mean %s %.2f s)"), band, sign, proposal->with.k);
  /* Translators: a band, two shares, a sign and a number, as in "(mean ± 3.39 s)" */
  return g_strdup_printf (_ ("%s: holds %g %% of good boards, with %g %% confidence (mean %s %.2f s)"), band,
                          100 * bl_known_good_coverage (self), 100 * bl_known_good_confidence (self), sign,
                          proposal->with.k);
}

static char *
too_few_words (const BlGoodProposal *proposal)
{
  if (isinf (proposal->documented_low) && isinf (proposal->documented_high))
    return g_strdup_printf (_ ("No band is proposed from fewer than %d boards."), BL_GOOD_BOARDS_LEAST);
  return g_strdup_printf (_ ("No band is proposed from fewer than %d boards: the documented one stays, provisional."),
                          BL_GOOD_BOARDS_LEAST);
}

char *
bl_good_state_words (BlKnownGood *self, const BlGoodProposal *proposal, gboolean brief)
{
  g_return_val_if_fail (self != NULL && proposal != NULL, NULL);

  switch (proposal->state)
    {
    case BL_GOOD_NO_NUMBER:
      return g_strdup (_ ("No band is computed for this kind of measurement."));
    case BL_GOOD_NO_BAND:
      return g_strdup (_ ("It proves a state dead: its limit is a threshold, not what good boards read."));
    case BL_GOOD_TOO_FEW:
      return too_few_words (proposal);
    case BL_GOOD_ALIKE:
      return g_strdup (_ ("All read the same: the meter is too coarse to show how good boards differ."));
    case BL_GOOD_IMPOSSIBLE:
      {
        g_autofree char *band = bl_good_interval_words (proposal, &proposal->with);
        return g_strdup_printf (_ ("%s would follow, but the document does not allow it: %s"), band,
                                proposal->with.trouble);
      }
    case BL_GOOD_REFUSED:
      {
        g_autofree char *band = bl_good_interval_words (proposal, &proposal->with);
        return g_strdup_printf (_ ("%s was refused; it is offered again when another board is read."), band);
      }
    case BL_GOOD_AS_DOCUMENTED:
      return g_strdup (_ ("The documented band is the one these boards give."));
    case BL_GOOD_PROPOSED:
    default:
      return proposed_words (self, proposal, brief);
    }
}

char *
bl_good_compare_words (const BlGoodProposal *proposal)
{
  g_return_val_if_fail (proposal != NULL, NULL);
  const BlGoodInterval *now = &proposal->with;
  double low = proposal->documented_low, high = proposal->documented_high;

  if (isnan (now->k) || (isinf (low) && isinf (high)))
    return g_strdup ("");
  if (now->high < low || now->low > high)
    return g_strdup (_ ("apart from the documented band"));
  if (now->low >= low && now->high <= high)
    return g_strdup (_ ("narrower than documented"));
  if (now->low <= low && now->high >= high)
    return g_strdup (_ ("wider than documented"));
  return g_strdup (now->low < low ? _ ("reaches lower than documented") : _ ("reaches higher than documented"));
}

char *
bl_good_without_words (const BlGoodProposal *proposal)
{
  g_return_val_if_fail (proposal != NULL, NULL);
  g_autoptr (GString) jobs = g_string_new (NULL);
  g_autofree char *band = NULL;

  for (guint i = 0; i < proposal->boards->len; i++)
    {
      const BlGoodBoard *board = bl_at (proposal->boards, i);
      if (board->outlier)
        g_string_append_printf (jobs, "%s%d", jobs->len > 0 ? ", " : "", board->number);
    }
  if (jobs->len == 0)
    return g_strdup ("");
  band = bl_good_interval_words (proposal, &proposal->without);
  if (*band == '\0')
    return g_strdup_printf (ngettext ("outlier: job %s", "outliers: jobs %s", proposal->n_outliers), jobs->str);
  return g_strdup_printf (ngettext ("without the outlier, job %s: %s", "without the outliers, jobs %s: %s",
                                    proposal->n_outliers),
                          jobs->str, band);
}

char *
bl_good_board_words (const BlGoodProposal *proposal, const BlGoodBoard *board)
{
  g_return_val_if_fail (proposal != NULL && board != NULL, NULL);
  g_autoptr (GDateTime) date = g_date_time_new_from_unix_utc (board->time / G_USEC_PER_SEC);
  g_autofree char *day = g_date_time_format (date, "%Y-%m-%d");
  g_autofree char *value = with_unit (proposal, g_strdup (board->words));
  GString *words = g_string_new (NULL);

  g_string_append_printf (words, _ ("Job %d"), board->number);
  if (board->serial != NULL && *board->serial != '\0')
    g_string_append_printf (words, ", %s", board->serial);
  g_string_append_printf (words, ", %s: %s", day, value);
  if (proposal->ratio && isfinite (board->value))
    {
      g_autofree char *share = bl_good_value_words (proposal, board->value);
      g_string_append_printf (words, _ (", %s from the line"), share);
    }
  if (board->use == BL_GOOD_NO_VALUE)
    g_string_append_printf (words, _ ("; does not count: %s"), board->why);
  else if (board->use == BL_GOOD_LEFT_OUT)
    g_string_append (words, _ ("; left out as an outlier"));
  else if (board->outlier)
    g_string_append_printf (words, _ ("; outlier: G %.2f above %.2f"), board->g, board->critical);
  return g_string_free (words, FALSE);
}
