/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What was the cause, asked by key or offered after a replacement, and what earlier repairs of the edition
 * found. Questions as in bl-bench-choices.c; what was said goes to the bench log at once. */
#include "config.h"

#include "bl-bench-page-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-choice-panel.h"
#include "bl-format.h"
#include "bl-job-states.h"
#include "bl-shell.h"
#include "bl-style.h"
#include "bl-suspects-view.h"

#define MOST_PARTS 9

static BlChoicePanel *
panel (BlBenchPage *self)
{
  return BL_CHOICE_PANEL (self->choice);
}

/* --- the cause --- */

/* "confirmed: open", "not the cause", "replaced", "tested: short", or the odds. (transfer full) */
static char *
what_is_said (BlBenchPage *self, const char *component)
{
  const char *mode = NULL;
  BlCauseSaid said = bl_bench_cause_said (self->bench, component, &mode);
  GPtrArray *records = bl_bench_get_records (self->bench);
  const BlDiagnosis *diagnosis = bl_bench_get_diagnosis (self->bench);
  const BlOdd *odd = diagnosis != NULL ? bl_diagnosis_find (diagnosis->components, component) : NULL;

  if (said == BL_CAUSE_CONFIRMED)
    return mode != NULL ? g_strdup_printf (_ ("confirmed: %s"), mode) : g_strdup (_ ("confirmed"));
  if (said == BL_CAUSE_REFUSED)
    return g_strdup (_ ("not the cause"));
  for (guint i = bl_len (records); i > 0; i--)
    {
      const BlRecord *record = bl_at (records, i - 1);
      if (record->struck || g_strcmp0 (record->subject, component) != 0)
        continue;
      if (record->kind == BL_RECORD_REPLACED)
        return g_strdup (_ ("replaced"));
      if (record->kind == BL_RECORD_PART_TEST)
        return g_strdup_printf (_ ("tested: %s"), record->text);
    }
  return odd != NULL ? bl_format_odds (odd->probability) : NULL;
}

static void
add_part (BlBenchPage *self, GHashTable *added, const char *component)
{
  const BlBoard *board = bl_bench_get_board (self->bench);

  if (g_hash_table_size (added) >= MOST_PARTS || !g_hash_table_add (added, g_strdup (component)))
    return;
  const BlComponent *found = bl_board_component (board, component);
  g_autofree char *name = bl_component_words (board, component, NULL);
  g_autofree char *said = what_is_said (self, component);
  g_autofree char *text = found != NULL && found->title != NULL ? g_strdup_printf ("%s  %s", name, found->title)
                                                                 : g_strdup (name);
  bl_choice_panel_add (panel (self), 0, text, said, component);
}

/* Parts the log speaks of come first, then the suspects. */
static void
ask_cause (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;
  g_autoptr (GHashTable) added = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
  GPtrArray *records = bl_bench_get_records (self->bench);
  const BlDiagnosis *diagnosis = bl_bench_get_diagnosis (self->bench);
  const BlBoard *board = bl_bench_get_board (self->bench);
  gboolean closed = bl_bench_get_job (self->bench)->closed;

  bl_choice_panel_begin (panel (self), "cause", _ ("What was the cause of the fault?"),
                         _ ("Only a cause you confirm counts for other jobs of this edition; a part replaced in vain "
                            "does not."));
  for (guint i = bl_len (records); i > 0; i--)
    {
      const BlRecord *record = bl_at (records, i - 1);
      gboolean part = record->kind == BL_RECORD_REPLACED || record->kind == BL_RECORD_CAUSE
                      || record->kind == BL_RECORD_NO_CAUSE
                      || (record->kind == BL_RECORD_PART_TEST && g_strcmp0 (record->text, "good") != 0);
      if (part && !record->struck && record->subject != NULL
          && (bl_board_component (board, record->subject) != NULL || g_str_has_suffix (record->subject, "/other")))
        add_part (self, added, record->subject);
    }
  for (guint i = 0; diagnosis != NULL && i < bl_len (diagnosis->components); i++)
    add_part (self, added, ((BlOdd *) bl_at (diagnosis->components, i))->id);
  bl_choice_panel_add (panel (self), 'o', _ ("another part …"), NULL, "other:");
  bl_choice_panel_add (panel (self), 'e', closed ? _ ("take the job up again") : _ ("end the job"),
                       closed ? NULL : bl_job_state_word (BL_JOB_HANDED_BACK), closed ? "reopen:" : "end:");
  bl_choice_panel_add (panel (self), 'j', _ ("where the job stands …"), bl_job_state_word (bl_bench_get_job (self->bench)->state),
                       "stands:");
  bl_bench_choices_open (self, BL_PLACE_NEXT);
}

static const BlOdd *
odd_of (GPtrArray *odds, const char *id)
{
  for (guint i = 0; i < bl_len (odds); i++)
    if (g_str_equal (((const BlOdd *) bl_at (odds, i))->id, id))
      return bl_at (odds, i);
  return NULL;
}

/* The row that Enter takes: the mode with two thirds of the part’s odds, else that how it failed is not known. The
 * document's first mode says nothing of this job, and what is confirmed here shifts the odds of the next. */
static guint
likeliest_row (BlBenchPage *self, const BlComponent *found)
{
  const BlDiagnosis *diagnosis = bl_bench_get_diagnosis (self->bench);
  const BlOdd *part = diagnosis != NULL && found != NULL ? odd_of (diagnosis->components, found->id) : NULL;

  for (guint i = 0; part != NULL && i < bl_len (found->modes); i++)
    {
      const BlOdd *mode = odd_of (part->modes, ((const BlMode *) bl_at (found->modes, i))->mode);
      if (mode != NULL && mode->probability > part->probability * 2 / 3)
        return i;
    }
  return found != NULL ? bl_len (found->modes) : 0;
}

static void
ask_cause_of (BlBenchPage *self, const char *component, gboolean offer)
{
  const BlBoard *board = bl_bench_get_board (self->bench);
  const BlComponent *found = bl_board_component (board, component);

  if (found == NULL && !g_str_has_suffix (component, "/other"))
    {
      bl_widget_notify (GTK_WIDGET (self), _ ("There is no such part on this board."));
      return;
    }
  g_autofree char *name = bl_component_words (board, component, NULL);
  g_autofree char *title = g_strdup_printf (_ ("Was %s the cause?"), name);
  g_free (self->part);
  self->part = g_strdup (component);
  bl_choice_panel_begin (panel (self), "cause-of", title,
                         offer ? _ ("It can be said later with Ctrl F, when the board works again.") : NULL);
  for (guint i = 0; found != NULL && i < bl_len (found->modes); i++)
    {
      const BlMode *mode = bl_at (found->modes, i);
      g_autofree char *text = g_strdup_printf (_ ("yes: %s"), mode->mode);
      g_autofree char *id = g_strdup_printf ("mode:%s", mode->mode);
      bl_choice_panel_add (panel (self), 0, text, NULL, id);
    }
  bl_choice_panel_add (panel (self), 'y', found != NULL ? _ ("yes, how it failed is not known") : _ ("yes"), NULL,
                       "yes");
  bl_choice_panel_add (panel (self), 'n', _ ("no, it was not"), NULL, "no");
  if (offer)
    bl_choice_panel_set_offer (panel (self));
  /* An offer keeps clear of what is said at the foot after a part on the hot side. */
  bl_bench_choices_open (self, offer ? BL_PLACE_FOCUS : BL_PLACE_NEXT);
  bl_choice_panel_select (panel (self), likeliest_row (self, found));
}

void
bl_bench_causes_offer (BlBenchPage *self, const char *component)
{
  ask_cause_of (self, component, TRUE);
}

static void
cause_said (BlBenchPage *self, const char *id)
{
  g_autofree char *part = g_steal_pointer (&self->part);
  GError *error = NULL;
  gboolean ok;

  if (part == NULL)
    return;
  if (g_str_equal (id, "no"))
    ok = bl_bench_refuse_cause (self->bench, part, &error);
  else
    ok = bl_bench_confirm_cause (self->bench, part, g_str_has_prefix (id, "mode:") ? id + strlen ("mode:") : NULL,
                                 &error);
  bl_bench_page_check (self, ok, _ ("Cause"), &error);
}

/* Where the job stands, without leaving the bench. */
static void
ask_state (BlBenchPage *self)
{
  const BlJob *job = bl_bench_get_job (self->bench);
  g_autofree char *title = g_strdup_printf (_ ("Job %d is %s. What now?"), job->number, bl_job_state_word (job->state));

  bl_choice_panel_begin (panel (self), "job-state", title, NULL);
  for (guint i = 0; i < BL_N_JOB_STATES; i++)
    if (i != BL_JOB_RETURNED)
      bl_choice_panel_add (panel (self), '1' + i, bl_job_state_word ((BlJobState) i),
                           i == job->state ? _ ("as now") : NULL, bl_job_state_name ((BlJobState) i));
  bl_bench_choices_open (self, BL_PLACE_NEXT);
}

static void
set_state (BlBenchPage *self, const char *name)
{
  BlJobState state;
  GError *error = NULL;

  if (!bl_job_state_parse (name, &state)
      || !bl_bench_page_check (self, bl_bench_set_job_state (self->bench, state, &error), _ ("State of the job"), &error))
    return;
  g_autofree char *words = g_strdup_printf (_ ("The job is %s. Ctrl Z takes that back."), bl_job_state_word (state));
  bl_widget_notify (GTK_WIDGET (self), words);
}

static void
end_job (BlBenchPage *self, gboolean ended)
{
  GError *error = NULL;

  if (!bl_bench_page_check (self, bl_bench_end_job (self->bench, ended, &error), _ ("End of the job"), &error))
    return;
  const char *cause = bl_bench_get_job (self->bench)->cause;
  bl_widget_notify (GTK_WIDGET (self), !ended ? _ ("The job is on the bench again.")
                                       : cause != NULL && *cause != '\0'
                                           ? _ ("Ended. Its cause counts for other jobs of "
                                                "this edition.")
                                           : _ ("Ended, without a confirmed cause: it "
                                                "counts for no other job."));
}

/* --- what earlier repairs found --- */

static char *
strength_words (BlBenchPage *self)
{
  const BlLearned *learned = bl_bench_get_learned (self->bench);
  guint n = bl_len (bl_bench_get_found (self->bench));

  return g_strdup_printf (
    ngettext ("The document weighs as much as %g confirmed causes, the shop's own history is %u. These are counts, no "
              "certainty. Odds take today's history, without this job.",
              "The document weighs as much as %g confirmed causes, the shop's own history is %u. These are counts, no "
              "certainty. Odds take today's history, without this job.",
              n),
    learned->strength, n);
}

static void
ask_history (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;
  const BlBoard *board = bl_bench_get_board (self->bench);
  guint n_repairs = 0;
  gboolean own = FALSE;
  g_autoptr (GPtrArray) counts = bl_found_causes_count (bl_bench_get_found (self->bench), &n_repairs);
  g_autofree char *hint = strength_words (self);
  g_autofree char *title
    = n_repairs == 0 ? g_strdup (_ ("No other job of this edition has a confirmed cause yet"))
                     : g_strdup_printf (ngettext ("Causes found in %u other repair of this edition",
                                                  "Causes found in %u other repairs of this edition", n_repairs),
                                        n_repairs);

  bl_choice_panel_begin (panel (self), "history", title, hint);
  for (guint i = 0; i < counts->len && i < MOST_PARTS; i++)
    {
      const BlCauseCount *count = bl_at (counts, i);
      g_autofree char *name = bl_component_words (board, count->component, NULL);
      g_autofree char *text = g_strdup_printf (_ ("%s  %u of %u"), name, count->n, n_repairs);
      g_autofree char *handbook = bl_bench_handbook_words (self->bench, count->component);
      bl_choice_panel_add (panel (self), 0, text, handbook, "part:");
    }
  bl_bench_get_strength (self->bench, &own);
  bl_choice_panel_add (panel (self), 's', _ ("let the document weigh more or less …"), NULL, "strength:");
  if (own)
    bl_choice_panel_add (panel (self), 'u', _ ("as the preferences say"), NULL, "usual:");
  bl_bench_choices_open (self, BL_PLACE_SUSPECTS);
}

static void
ask_strength (BlBenchPage *self)
{
  g_autofree char *now = g_strdup_printf ("%g", bl_bench_get_strength (self->bench, NULL));

  bl_bench_choices_ask (self, "strength", _ ("How many confirmed causes does the document weigh for this edition?"),
                        _ ("10"), now, BL_PLACE_SUSPECTS);
}

static void
set_strength (BlBenchPage *self, const char *words)
{
  GError *error = NULL;
  double strength = NAN;
  gboolean ok = bl_quantity_parse (words, NULL, &strength, &error);

  if (ok && !(strength >= BL_STRENGTH_LEAST && strength <= BL_STRENGTH_MOST))
    {
      g_set_error (&error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("expected a number from %g to %g"),
                   (double) BL_STRENGTH_LEAST, (double) BL_STRENGTH_MOST);
      ok = FALSE;
    }
  ok = ok && bl_bench_set_strength (self->bench, strength, &error);
  bl_bench_page_check (self, ok, _ ("Weight of the document"), &error);
}

/* --- answers --- */

gboolean
bl_bench_causes_entered (BlBenchPage *self, const char *tag, const char *words)
{
  if (g_str_equal (tag, "other-cause"))
    ask_cause_of (self, words, FALSE);
  else if (g_str_equal (tag, "strength"))
    set_strength (self, words);
  else
    return FALSE;
  return TRUE;
}

gboolean
bl_bench_causes_chosen (BlBenchPage *self, const char *tag, const char *id)
{
  GError *error = NULL;

  if (g_str_equal (tag, "cause-of"))
    cause_said (self, id);
  else if (g_str_equal (tag, "cause") && g_str_equal (id, "other:"))
    bl_bench_choices_ask (self, "other-cause", _ ("Which part?"), _ ("K1"), NULL, BL_PLACE_NEXT);
  else if (g_str_equal (tag, "cause") && g_str_equal (id, "stands:"))
    ask_state (self);
  else if (g_str_equal (tag, "job-state"))
    set_state (self, id);
  else if (g_str_equal (tag, "cause") && g_str_has_suffix (id, ":"))
    end_job (self, g_str_equal (id, "end:"));
  else if (g_str_equal (tag, "cause"))
    ask_cause_of (self, id, FALSE);
  else if (g_str_equal (tag, "history") && g_str_equal (id, "strength:"))
    ask_strength (self);
  else if (g_str_equal (tag, "history") && g_str_equal (id, "usual:"))
    bl_bench_page_check (self, bl_bench_set_strength (self->bench, NAN, &error), _ ("Weight of the document"), &error);
  else
    return g_str_equal (tag, "history");
  return TRUE;
}

void
bl_bench_causes_add_actions (BlBenchPage *self)
{
  static const GActionEntry entries[] = {
    { "cause", ask_cause, NULL, NULL, NULL, { 0 } },
    { "history", ask_history, NULL, NULL, NULL, { 0 } },
  };

  g_action_map_add_action_entries (G_ACTION_MAP (self->actions), entries, G_N_ELEMENTS (entries), self);
}
