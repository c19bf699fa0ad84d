/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Compares what the lamps of a panel do with indication tables. The same pattern means different faults on different
 * editions, so every table at hand is compared and what fits elsewhere is told too. Some tens of entries of some
 * lamps each: nothing here needs to be fast. Which symptom follows is for the caller to say. */
#include "config.h"

#include "bl-indication-match.h"

#include <math.h>

/* A rate tapped or guessed: half again is another rate, twice may be a mistake in counting. Own choice. */
#define SAME_RATE 1.25
#define NEAR_RATE 2.1
/* Below it single flashes are counted as well as timed: flashes a second. */
#define SLOW_HZ .6

typedef enum
{
  AGREES,
  NEARLY,
  OFF
} Lamp;

static char *
role (const char *lamp)
{
  g_autofree char *folded = g_utf8_casefold (lamp != NULL ? lamp : "", -1);
  return g_strdup (g_strstrip (folded));
}

static gboolean
same_word (const char *a, const char *b)
{
  g_autofree char *x = role (a), *y = role (b);
  return g_str_equal (x, y);
}

static Lamp
compare_counts (double seen, double table)
{
  return seen == table ? AGREES : fabs (seen - table) == 1 ? NEARLY : OFF;
}

static Lamp
compare_rates (double seen, double table)
{
  double ratio = MAX (seen / table, table / seen);
  return ratio <= SAME_RATE ? AGREES : ratio <= NEAR_RATE ? NEARLY : OFF;
}

/* One flash now and then, said as a count or as a rate. */
static gboolean
single_flashes (const BlLampPattern *lamp)
{
  return isnan (lamp->blinks) ? lamp->rate_hz < SLOW_HZ : lamp->blinks == 1;
}

static Lamp
compare_lamps (const BlLampPattern *seen, const BlLampPattern *table)
{
  if (table->steady >= 0 || seen->steady >= 0)
    return seen->steady == table->steady ? AGREES : OFF;
  if (!isnan (seen->blinks) && !isnan (table->blinks))
    {
      Lamp count = compare_counts (seen->blinks, table->blinks);
      gboolean rates = !isnan (seen->rate_hz) && !isnan (table->rate_hz);
      return rates ? MAX (count, compare_rates (seen->rate_hz, table->rate_hz)) : count;
    }
  if (single_flashes (seen) && single_flashes (table))
    return AGREES;
  if (!isnan (seen->blinks) || !isnan (table->blinks))
    return OFF;
  return isnan (seen->rate_hz) || isnan (table->rate_hz) ? OFF : compare_rates (seen->rate_hz, table->rate_hz);
}

static const BlLampPattern *
find_lamp (const GPtrArray *seen, const char *lamp)
{
  for (guint i = 0; i < bl_len (seen); i++)
    {
      const BlLampPattern *pattern = bl_at (seen, i);
      if (same_word (pattern->lamp, lamp))
        return pattern;
    }
  return NULL;
}

static const char *
meaning_of (const BlBoard *board, const char *symptom)
{
  for (guint i = 0; i < bl_len (board->symptoms); i++)
    {
      const BlSymptom *known = bl_at (board->symptoms, i);
      if (g_strcmp0 (known->id, symptom) == 0)
        return known->title != NULL && *known->title != '\0' ? known->title : known->id;
    }
  return symptom;
}

void
bl_indication_match_free (BlIndicationMatch *match)
{
  if (match == NULL)
    return;
  g_ptr_array_unref (match->unseen);
  g_free (match);
}

/* NULL: does not fit. */
static BlIndicationMatch *
compare_entry (const BlIndication *indication, const GPtrArray *seen)
{
  BlIndicationMatch *match = g_new0 (BlIndicationMatch, 1);
  guint n[3] = { 0 };

  match->indication = indication;
  match->unseen = g_ptr_array_new ();
  for (guint i = 0; i < bl_len (indication->pattern); i++)
    {
      const BlLampPattern *lamp = bl_at (indication->pattern, i), *found = find_lamp (seen, lamp->lamp);
      Lamp how = found != NULL ? compare_lamps (found, lamp) : AGREES;
      if (found == NULL)
        g_ptr_array_add (match->unseen, lamp->lamp);
      else
        n[how]++;
      if (how != AGREES)
        match->off = lamp->lamp;
    }
  if (n[AGREES] > 0 && n[NEARLY] + n[OFF] == 0)
    match->fit = match->unseen->len == 0 ? BL_INDICATION_WHOLE : BL_INDICATION_SO_FAR;
  else if (n[NEARLY] + n[OFF] == 1 && (n[NEARLY] == 1 || n[AGREES] > 0))
    match->fit = BL_INDICATION_NEAR;
  else
    g_clear_pointer (&match, bl_indication_match_free);
  return match;
}

static gint
compare_matches (gconstpointer a, gconstpointer b)
{
  const BlIndicationMatch *x = *(BlIndicationMatch *const *) a, *y = *(BlIndicationMatch *const *) b;
  return x->fit != y->fit ? (gint) x->fit - (gint) y->fit : y->own - x->own;
}

/* What fits on the edition on the bench says what the pattern may mean there. */
static gboolean
has_other_meaning (const GPtrArray *matches, const BlIndicationMatch *match)
{
  gboolean any = FALSE;

  if (match->own || match->fit == BL_INDICATION_NEAR)
    return FALSE;
  for (guint i = 0; i < matches->len; i++)
    {
      const BlIndicationMatch *own = bl_at (matches, i);
      if (!own->own || own->fit == BL_INDICATION_NEAR)
        continue;
      if (same_word (own->meaning, match->meaning))
        return FALSE;
      any = TRUE;
    }
  return any;
}

GPtrArray *
bl_indication_matches (const BlBoard *const *boards, guint n_boards, const GPtrArray *seen, const BlBoard *own,
                       const char *edition)
{
  GPtrArray *matches = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_indication_match_free);
  gboolean known = own != NULL && edition != NULL && *edition != '\0';

  g_return_val_if_fail (boards != NULL || n_boards == 0, matches);

  for (guint i = 0; i < n_boards; i++)
    for (guint j = 0; j < bl_len (boards[i]->indications); j++)
      {
        const BlIndication *indication = bl_at (boards[i]->indications, j);
        BlIndicationMatch *match = compare_entry (indication, seen);
        if (match == NULL)
          continue;
        match->board = boards[i];
        match->edition = indication->edition != NULL ? indication->edition : boards[i]->edition;
        match->meaning = meaning_of (boards[i], indication->symptom);
        match->own = known && boards[i] == own && (match->edition == NULL || same_word (match->edition, edition));
        g_ptr_array_add (matches, match);
      }
  for (guint i = 0; i < matches->len; i++)
    {
      BlIndicationMatch *match = bl_at (matches, i);
      match->other_meaning = has_other_meaning (matches, match);
    }
  g_ptr_array_sort (matches, compare_matches); /* stable: GLib sorts by merging */
  return matches;
}
