/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reasons and quarrels in words. The weight is said as a ratio of chances, which is what it is: how
 * many times likelier the reading is if the suspect has failed than if it has not, all else as known.
 * Figures come from the reasons; nothing is worked out here. The order of checks is common practice. */
#include "config.h"

#include "bl-why-words.h"

#include <glib/gi18n-lib.h>
#include <math.h>
#include <string.h>

#include "bl-bench.h"
#include "bl-format.h"

#define STRONG 10.0 /* decibans: ten times as likely */
#define LITTLE 1.0  /* a quarter more likely: not worth a word */

static const char *
titled (const char *title, const char *id)
{
  return title != NULL && *title != '\0' ? title : id;
}

static const char *
stage_title (const BlBoard *board, const char *id)
{
  const BlStage *stage = bl_board_stage (board, id);
  return titled (stage != NULL ? stage->title : NULL, id);
}

/* "TP5 5 V", or the title alone where there is no point. */
static char *
measurement_name (const BlBoard *board, const char *id)
{
  const BlMeasurement *measurement = bl_board_measurement (board, id);
  const char *title = titled (measurement != NULL ? measurement->title : NULL, id);

  if (measurement == NULL || measurement->at == NULL || g_str_equal (measurement->at, title))
    return g_strdup (title);
  return g_strdup_printf ("%s %s", measurement->at, title);
}

char *
bl_why_part (const BlBoard *board, const char *component)
{
  g_return_val_if_fail (board != NULL, NULL);
  if (component == NULL)
    return g_strdup (_ ("a fault elsewhere"));
  if (bl_board_component (board, component) == NULL && g_str_has_suffix (component, "/other"))
    {
      g_autofree char *stage = g_strndup (component, strlen (component) - strlen ("/other"));
      return g_strdup_printf (_ ("something else in %s"), stage_title (board, stage));
    }
  return g_strdup (component);
}

char *
bl_why_suspect (const BlBoard *board, const BlReasons *reasons)
{
  g_return_val_if_fail (board != NULL && reasons != NULL, NULL);
  if (reasons->is_stage)
    return g_strdup (stage_title (board, reasons->suspect));
  if (reasons->suspect == NULL || reasons->mode == NULL || bl_board_component (board, reasons->suspect) == NULL)
    return bl_why_part (board, reasons->suspect);
  return g_strdup_printf ("%s %s", reasons->suspect, reasons->mode);
}

/* Two digits are enough for "1 in so many". */
char *
bl_why_chance (double probability)
{
  double n;

  if (!(probability > 0))
    return g_strdup (_ ("not possible"));
  if (probability >= .5)
    return bl_format_odds (probability);
  n = 1 / probability;
  if (n >= 100)
    {
      double step = pow (10, floor (log10 (n)) - 1);
      n = round (n / step) * step;
    }
  return g_strdup_printf (n < 10 && fabs (n - round (n)) > .05 ? _ ("1 in %.1f") : _ ("1 in %.0f"), n);
}

char *
bl_why_prior (const BlReasons *reasons, gboolean shop)
{
  g_return_val_if_fail (reasons != NULL, NULL);
  g_autofree char *chance = bl_why_chance (reasons->prior);

  if (reasons->suspect == NULL)
    return g_strdup_printf (_ ("before any reading: %s, as the document assumes"), chance);
  return g_strdup_printf (shop ? _ ("before any reading: %s, by handbook and this shop's repairs")
                               : _ ("before any reading: %s, by kind of part and handbook"),
                          chance);
}

/* --- one piece of evidence --- */

char *
bl_why_found (const BlBoard *board, const BlReason *reason)
{
  g_return_val_if_fail (board != NULL && reason != NULL, NULL);
  g_autofree char *name = NULL;

  if (reason->kind == BL_REASON_SYMPTOM)
    {
      const BlSymptom *symptom = bl_board_symptom (board, reason->subject);
      const char *title = titled (symptom != NULL ? symptom->title : NULL, reason->subject);
      return g_str_equal (reason->said, "no") ? g_strdup_printf (_ ("not shown: %s"), title)
                                              : g_strdup_printf (_ ("shown: %s"), title);
    }
  if (reason->kind == BL_REASON_PART)
    return g_str_equal (reason->said, "good") ? g_strdup_printf (_ ("%s tested good"), reason->subject)
                                              : g_strdup_printf (_ ("%s found %s"), reason->subject, reason->said);
  name = measurement_name (board, reason->subject);
  return g_strdup_printf ("%s %s", name, bl_class_word (reason->said));
}

char *
bl_why_weight (double decibans, const char *part)
{
  if (isnan (decibans))
    return g_strdup_printf (_ ("decides about %s"), part);
  if (fabs (decibans) < LITTLE)
    return g_strdup_printf (_ ("says little about %s"), part);
  if (decibans > 0)
    return g_strdup_printf (decibans >= STRONG ? _ ("speaks strongly for %s") : _ ("speaks for %s"), part);
  return g_strdup_printf (decibans <= -STRONG ? _ ("speaks strongly against %s") : _ ("speaks against %s"), part);
}

gboolean
bl_why_tells (const BlReason *reason)
{
  g_return_val_if_fail (reason != NULL, FALSE);
  return isnan (reason->decibans) || fabs (reason->decibans) >= LITTLE;
}

char *
bl_why_little (const BlBoard *board, const BlReasons *reasons)
{
  g_return_val_if_fail (board != NULL && reasons != NULL, NULL);
  g_autoptr (GString) list = g_string_new (NULL);
  g_autofree char *suspect =
      reasons->is_stage ? bl_why_suspect (board, reasons) : bl_why_part (board, reasons->suspect);
  g_autofree char *head = bl_why_weight (0, suspect);

  for (guint i = 0; i < bl_len (reasons->reasons); i++)
    {
      const BlReason *reason = bl_at (reasons->reasons, i);
      g_autofree char *found = bl_why_found (board, reason);
      if (!bl_why_tells (reason))
        g_string_append_printf (list, "%s%s", list->len > 0 ? "; " : "", found);
    }
  return list->len > 0 ? g_strdup_printf ("%s: %s", head, list->str) : NULL;
}

static char *
factor_words (double decibans)
{
  double factor = pow (10, fabs (decibans) / 10);

  if (factor >= 1000)
    return g_strdup (_ ("more than 1000 times as likely"));
  return g_strdup_printf (factor < 9.95 ? _ ("%.1f times as likely") : _ ("%.0f times as likely"), factor);
}

/* What is compared with what. */
static char *
condition_words (const BlBoard *board, const BlReasons *reasons, gboolean failed)
{
  g_autofree char *part = NULL;

  if (reasons->suspect == NULL)
    return g_strdup (failed ? _ ("if the fault is elsewhere") : _ ("if the fault is here"));
  if (reasons->is_stage)
    return g_strdup_printf (failed ? _ ("if the fault is in %s") : _ ("if the fault is not in %s"),
                            stage_title (board, reasons->suspect));
  part = bl_why_part (board, reasons->suspect);
  return g_strdup_printf (failed ? _ ("if %s has failed") : _ ("if %s has not failed"), part);
}

char *
bl_why_times (const BlBoard *board, const BlReasons *reasons, double decibans)
{
  g_return_val_if_fail (board != NULL && reasons != NULL, NULL);
  g_autofree char *condition = NULL, *factor = NULL;

  if (isnan (decibans))
    return g_strdup (_ ("as good as certain with it, or without it"));
  if (fabs (decibans) < LITTLE)
    return g_strdup (_ ("about as likely either way"));
  condition = condition_words (board, reasons, decibans > 0);
  factor = factor_words (decibans);
  return g_strdup_printf ("%s %s", factor, condition);
}

/* With a minus as long as the plus is wide. */
static char *
signed_figure (double value)
{
  double size = fabs (value);

  if (isnan (value))
    return g_strdup ("–");
  return g_strdup_printf ("%s%.1f", size < .05 ? "" : value < 0 ? "−" : "+", size);
}

char *
bl_why_decibans (const BlBoard *board, const BlReasons *reasons, const BlReason *reason)
{
  g_return_val_if_fail (board != NULL && reasons != NULL && reason != NULL, NULL);
  g_autofree char *own = signed_figure (reason->decibans), *stage = signed_figure (reason->stage_decibans);

  if (reasons->is_stage || reasons->stage == NULL || isnan (reason->stage_decibans))
    return g_strdup_printf (_ ("%s decibans"), own);
  return g_strdup_printf (_ ("%s decibans; %s %s"), own, stage_title (board, reasons->stage), stage);
}

/* --- what would change it --- */

char *
bl_why_without (const BlBoard *board, const BlReason *reason)
{
  g_return_val_if_fail (board != NULL && reason != NULL, NULL);
  g_autofree char *found = bl_why_found (board, reason), *part = NULL, *odds = NULL;

  if (reason->first_without != NULL)
    {
      part = bl_why_part (board, reason->first_without);
      odds = bl_format_odds (reason->first_odds);
      return g_strdup_printf (_ ("If “%s” is a mistake, %s comes first (%s)."), found, part, odds);
    }
  if (reason->stage_without != NULL)
    return g_strdup_printf (_ ("If “%s” is a mistake, the likely failed stage is %s."), found,
                            stage_title (board, reason->stage_without));
  return NULL;
}

char *
bl_why_turn (const BlBoard *board, const BlReasons *reasons, const BlTurn *turn)
{
  g_return_val_if_fail (board != NULL && reasons != NULL && turn != NULL, NULL);
  g_autofree char *name = measurement_name (board, turn->measurement), *chance = bl_format_odds (turn->chance);
  g_autofree char *first = bl_why_part (board, turn->first), *now = bl_why_part (board, reasons->first);
  g_autofree char *odds = bl_format_odds (turn->first_odds);

  return g_strdup_printf (_ ("If %s reads %s (chance %s), %s falls behind %s (%s)."), name,
                          bl_class_word (turn->class_name), chance, now, first, odds);
}

char *
bl_why_tried (const BlReasons *reasons)
{
  g_return_val_if_fail (reasons != NULL, NULL);
  if (reasons->turns == NULL)
    return g_strdup (_ ("working out what would change it"));
  if (reasons->open == 0)
    return g_strdup (_ ("Everything was read."));
  if (reasons->tried < reasons->open)
    return g_strdup_printf (_ ("Tried: the %u most telling of %u measurements not read yet."), reasons->tried,
                            reasons->open);
  if (reasons->turns->len > 0)
    return g_strdup_printf (ngettext ("Tried: the %u measurement not read yet.",
                                      "Tried: all %u measurements not read yet.", reasons->open),
                            reasons->open);
  return g_strdup_printf (ngettext ("The %u measurement not read yet would not change it by itself.",
                                    "None of the %u measurements not read yet would change it by itself.",
                                    reasons->open),
                          reasons->open);
}

char *
bl_why_not_visible (const GPtrArray *names, guint most)
{
  guint n = bl_len (names);
  g_autoptr (GString) list = g_string_new (NULL);

  for (guint i = 0; i < MIN (n, most); i++)
    {
      g_autofree char *name = g_strdup (bl_at (names, i));
      char *colon = strchr (name, ':');
      if (colon != NULL)
        *colon = ' ';
      g_string_append_printf (list, "%s%s", i > 0 ? ", " : "", name);
    }
  if (n == 0)
    return NULL;
  if (n > most)
    g_string_append_printf (list, ngettext (", and %u more", ", and %u more", n - most), n - most);
  return g_strdup_printf (_ ("Not visible with these measurements, and not cleared by good readings: %s."), list->str);
}

/* --- quarrels --- */

static char *
point_words (const BlBoard *board, const char *id)
{
  const BlTestPoint *point = id != NULL ? bl_board_test_point (board, id) : NULL;

  if (point == NULL || point->title == NULL || *point->title == '\0')
    return g_strdup (id);
  return g_strdup_printf ("%s, %s", id, point->title);
}

static char *
state_check (const BlBoard *board, const BlMeasurement *measurement)
{
  const BlState *state = bl_board_state (board, measurement->state);
  const char *title = titled (state != NULL ? state->title : NULL, measurement->state);

  if (title == NULL)
    return NULL;
  if (state != NULL && state->lasts_s > 0)
    return g_strdup_printf (_ ("Board state: was it really “%s”? It ends by itself after %.0f s."), title,
                            state->lasts_s);
  return g_strdup_printf (_ ("Board state: was it really “%s”?"), title);
}

/* What the eyes or ears find has no probe, no lead and no meter. */
static gboolean
by_meter (const BlMeasurement *measurement)
{
  return measurement->measures != BL_MEASURES_CHECK;
}

char *
bl_quarrel_check (const BlBoard *board, const BlMeasurement *measurement, BlQuarrelCheck check)
{
  g_return_val_if_fail (board != NULL && measurement != NULL && check < BL_N_QUARREL_CHECKS, NULL);
  g_autofree char *at = point_words (board, measurement->at), *black = point_words (board, measurement->black);
  g_autofree char *unit = bl_format_unit (measurement->measures);

  if (check == BL_QUARREL_POINT && !by_meter (measurement))
    return g_strdup (_ ("Look again: is it this part, and is there light enough to tell?"));
  if (check == BL_QUARREL_POINT)
    return at != NULL ? g_strdup_printf (_ ("Probe: on %s, and through lacquer and flux down to metal?"), at)
                      : g_strdup (_ ("Probe: on the right place, and through lacquer and flux down to metal?"));
  if (check == BL_QUARREL_BLACK && by_meter (measurement))
    return black != NULL ? g_strdup_printf (_ ("Black lead: on %s, and does it hold there?"), black) : NULL;
  if (check == BL_QUARREL_MODE && by_meter (measurement))
    return g_strdup_printf (_ ("Meter: set to %s, leads in the sockets for it?"), unit);
  if (check == BL_QUARREL_STATE)
    return state_check (board, measurement);
  if (check == BL_QUARREL_METER && by_meter (measurement))
    return g_strdup (_ ("Meter itself: battery, fuse, leads; does it read a known source right?"));
  if (check == BL_QUARREL_DOCUMENT)
    return g_strdup (_ ("Only then the document: does the expected value belong to this edition?"));
  return NULL;
}

char *
bl_quarrel_set (const BlBoard *board, GPtrArray *set)
{
  g_return_val_if_fail (board != NULL && set != NULL, NULL);
  g_autoptr (GString) words = g_string_new (NULL);

  for (guint i = 0; i < set->len; i++)
    {
      const BlReadingRef *ref = bl_at (set, i);
      g_autofree char *name = measurement_name (board, ref->measurement);
      g_string_append_printf (words, "%s%s", i == 0 ? "" : i + 1 == set->len ? _ (" and ") : ", ", name);
    }
  if (set->len > 1)
    g_string_append (words, _ (", all of them"));
  return g_string_free (g_steal_pointer (&words), FALSE);
}
