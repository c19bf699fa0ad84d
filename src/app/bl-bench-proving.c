/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What leads to the proving panel and from it into the log. Questions follow one another until all are
 * answered or Esc is pressed; nothing has to be answered, and nothing is answered by passing it. */
#include "config.h"

#include "bl-bench-proving.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-proving-panel.h"
#include "bl-proving-settings.h"

#define CHECK "proving-check:"
#define SAFETY "proving-safety:"

static BlChoicePanel *
panel (BlBenchPage *self)
{
  return BL_CHOICE_PANEL (self->choice);
}

static void
activate (BlBenchPage *self, const char *action)
{
  g_action_group_activate_action (G_ACTION_GROUP (self->actions), action, NULL);
}

/* --- what it does --- */

static GPtrArray *
checks_of (BlBenchPage *self)
{
  g_auto (GStrv) shop = bl_proving_settings_checks ();

  return bl_proving_checks (self->bench, (const char *const *) shop);
}

static void
ask_check (BlBenchPage *self, const BlCheck *check)
{
  g_autofree char *tag = g_strconcat (CHECK, check->id, NULL);

  bl_choice_panel_begin (panel (self), tag, check->title,
                         check->kind == BL_CHECK_SYMPTOM ? _ ("It counts for the odds.")
                         : check->kind == BL_CHECK_DOCUMENT ? _ ("A check of this edition's document: it counts for the odds.")
                                                            : NULL);
  /* The answer that claims nothing comes first: Enter takes it. */
  bl_choice_panel_add (panel (self), 's', _ ("not now"), NULL, "skip");
  bl_choice_panel_add (panel (self), 'y', _ ("yes"), NULL, "yes");
  bl_choice_panel_add (panel (self), 'n', _ ("no"), NULL, "no");
  bl_bench_choices_open (self, BL_PLACE_FOCUS);
}

/* The first unanswered one after this id; NULL: from the beginning. */
static void
ask_next_check (BlBenchPage *self, const char *after)
{
  g_autoptr (GPtrArray) checks = checks_of (self);
  gboolean passed = after == NULL;

  for (guint i = 0; i < checks->len; i++)
    {
      const BlCheck *check = bl_at (checks, i);
      if (passed && check->answer == NULL)
        {
          ask_check (self, check);
          return;
        }
      passed = passed || g_str_equal (check->id, after);
    }
}

static void
check_chosen (BlBenchPage *self, const char *id, const char *answer)
{
  g_autoptr (GPtrArray) checks = checks_of (self);
  GError *error = NULL;

  for (guint i = 0; i < checks->len && !g_str_equal (answer, "skip"); i++)
    {
      const BlCheck *check = bl_at (checks, i);
      if (g_str_equal (check->id, id)
          && !bl_bench_page_check (self, bl_proving_answer (self->bench, check, g_str_equal (answer, "yes"), &error),
                                   check->title, &error))
        return;
    }
  ask_next_check (self, id);
}

static void
ask_one_check (BlBenchPage *self, const char *id)
{
  g_autoptr (GPtrArray) checks = checks_of (self);

  for (guint i = 0; i < checks->len; i++)
    if (g_str_equal (((BlCheck *) bl_at (checks, i))->id, id))
      {
        ask_check (self, bl_at (checks, i));
        return;
      }
}

/* --- soak --- */

static void
ask_soak (BlBenchPage *self)
{
  BlSoak soak;

  bl_proving_soak (self->bench, g_get_real_time (), &soak);
  if (soak.state == BL_SOAK_RUNNING || soak.state == BL_SOAK_OVER)
    {
      bl_choice_panel_begin (panel (self), "proving-soak", _ ("The soak: what was found?"), NULL);
      bl_choice_panel_add (panel (self), 'c', _ ("it goes on"), NULL, "on");
      bl_choice_panel_add (panel (self), 'y', _ ("ended: the fault did not come back"), NULL, "good");
      bl_choice_panel_add (panel (self), 'f', _ ("ended: the fault came back, or another one came"), NULL, "fault");
      bl_bench_choices_open (self, BL_PLACE_FOCUS);
      return;
    }
  g_autofree char *usual = g_strdup_printf ("%u", bl_proving_settings_soak_minutes ());
  bl_choice_panel_begin (panel (self), "proving-soak-begin", _ ("Soak: for how many minutes, from now on?"),
                         _ ("With the load it works with. It runs on while the program is closed. Never leave equipment "
                            "with its cover off alone."));
  bl_choice_panel_add_entry (panel (self), _ ("minutes"), usual);
  bl_bench_choices_open (self, BL_PLACE_FOCUS);
}

static void
soak_begin (BlBenchPage *self, const char *words)
{
  GError *error = NULL;
  double minutes = 0;
  gboolean ok = bl_quantity_parse (words, NULL, &minutes, &error);

  if (ok && !(minutes >= 1 && minutes <= 7 * 24 * 60))
    {
      g_set_error (&error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("expected minutes, from 1 to a week"));
      ok = FALSE;
    }
  ok = ok && bl_proving_soak_begin (self->bench, (guint) minutes, &error);
  bl_bench_page_check (self, ok, _ ("Soak"), &error);
}

static void
soak_chosen (BlBenchPage *self, const char *id)
{
  if (g_str_equal (id, "on"))
    return;
  gboolean good = g_str_equal (id, "good");
  bl_bench_choices_ask (self, good ? "proving-soak-good" : "proving-soak-fault",
                        good ? _ ("Relay cycles, what else was seen? Enter passes") : _ ("Which fault?"),
                        good ? _ ("K1 switched 60 times, link errors 0") : _ ("link lost after 12 min, hot"), NULL,
                        BL_PLACE_FOCUS);
}

/* --- electrical safety --- */

static void
ask_class (BlBenchPage *self)
{
  bl_choice_panel_begin (panel (self), "proving-class", _ ("Electrical safety: which class of protection is it?"),
                         _ ("Of the complete equipment. What is measured, and the limits, follow from it."));
  bl_choice_panel_add (panel (self), '1', _ ("class I: protective conductor"), NULL, "I");
  bl_choice_panel_add (panel (self), '2', _ ("class II: double or reinforced insulation"), NULL, "II");
  bl_choice_panel_add (panel (self), '3', _ ("class III: extra-low voltage"), NULL, "III");
  bl_bench_choices_open (self, BL_PLACE_FOCUS);
}

static const char *
caution (BlSafetyTest test)
{
  switch (test)
    {
    case BL_SAFETY_CONDUCTOR:
      return _ ("From the plug to every part on it that can be touched, with the cord moved along its length. Power off.");
    case BL_SAFETY_INSULATION:
      return _ ("Power off, discharged, L and N joined, switches closed; electronics disconnected where the maker says so.");
    case BL_SAFETY_CONDUCTOR_CURRENT:
    case BL_SAFETY_CONTACT_CURRENT:
    case BL_N_SAFETY_TESTS:
    default:
      return _ ("Power is on: housing closed, no hand on it but the tester's probe. Both ways round of the plug.");
    }
}

static void
ask_safety_test (BlBenchPage *self, BlSafetyTest test)
{
  BlSafetyLimits limits;
  BlSafetyUnit unit;

  bl_proving_settings_limits (&limits);
  bl_proving_unit (self->bench, &unit, NULL);
  g_autofree char *limit = bl_safety_limit_words (&limits, &unit, test);
  if (limit == NULL)
    return;
  g_autofree char *tag = g_strconcat (SAFETY, bl_safety_test_name (test), NULL);
  g_autofree char *title = g_strdup_printf ("%s: %s", bl_safety_test_title (test), limit);
  g_autofree char *placeholder
    = g_strdup_printf (_ ("%s; OL above the range; – not measured; Enter passes"), bl_safety_test_unit (test));
  bl_choice_panel_begin (panel (self), tag, title, caution (test));
  bl_choice_panel_add_entry (panel (self), placeholder, NULL);
  bl_bench_choices_open (self, BL_PLACE_FOCUS);
}

/* The first that is not measured, from this one on; where all are, which one is to be measured again. */
static void
ask_next_safety (BlBenchPage *self, guint from)
{
  BlSafetyLimits limits;
  BlSafetyUnit unit;

  bl_proving_settings_limits (&limits);
  bl_proving_unit (self->bench, &unit, NULL);
  for (guint i = from; i < BL_N_SAFETY_TESTS; i++)
    if (!isnan (bl_safety_limit (&limits, &unit, (BlSafetyTest) i))
        && bl_proving_safety_record (self->bench, (BlSafetyTest) i) == NULL)
      {
        ask_safety_test (self, (BlSafetyTest) i);
        return;
      }
  if (from > 0)
    return;
  bl_choice_panel_begin (panel (self), "proving-safety", _ ("Everything was measured. Which again?"), NULL);
  for (guint i = 0; i < BL_N_SAFETY_TESTS; i++)
    {
      g_autofree char *limit = bl_safety_limit_words (&limits, &unit, (BlSafetyTest) i);
      if (limit != NULL)
        bl_choice_panel_add (panel (self), 0, bl_safety_test_title ((BlSafetyTest) i), limit,
                             bl_safety_test_name ((BlSafetyTest) i));
    }
  bl_choice_panel_add (panel (self), 'o', _ ("another class …"), NULL, "class");
  bl_bench_choices_open (self, BL_PLACE_FOCUS);
}

static void
ask_safety (BlBenchPage *self)
{
  BlSafetyUnit unit;
  gboolean has_class;

  bl_proving_unit (self->bench, &unit, &has_class);
  if (has_class)
    ask_next_safety (self, 0);
  else
    ask_class (self);
}

static void
class_chosen (BlBenchPage *self, const char *id)
{
  BlSafetyClass safety_class;
  GError *error = NULL;

  if (!bl_safety_class_parse (id, &safety_class)
      || !bl_bench_page_check (self, bl_proving_set_class (self->bench, safety_class, &error), _ ("Electrical safety"),
                               &error))
    return;
  if (safety_class == BL_SAFETY_CLASS_1)
    bl_bench_choices_ask (self, "proving-unit", _ ("Length of its cord, heating elements? Enter passes"),
                          _ ("3 m; 2 kW"), NULL, BL_PLACE_FOCUS);
  else
    ask_next_safety (self, 0);
}

static void
safety_entered (BlBenchPage *self, const char *name, const char *words)
{
  g_autofree char *source = bl_proving_settings_source ();
  BlSafetyLimits limits;
  BlSafetyTest test;
  GError *error = NULL;

  if (!bl_safety_test_parse (name, &test))
    return;
  bl_proving_settings_limits (&limits);
  if (*words != '\0'
      && !bl_bench_page_check (self, bl_proving_safety (self->bench, &limits, source, test, words, &error),
                               bl_safety_test_title (test), &error))
    {
      ask_safety_test (self, test);
      return;
    }
  ask_next_safety (self, (guint) test + 1);
}

/* --- answers --- */

gboolean
bl_bench_proving_entered (BlBenchPage *self, const char *tag, const char *words)
{
  GError *error = NULL;

  if (g_str_has_prefix (tag, SAFETY))
    safety_entered (self, tag + strlen (SAFETY), words);
  else if (g_str_equal (tag, "proving-unit"))
    {
      if (bl_bench_page_check (self, bl_proving_set_unit (self->bench, words, &error), _ ("Electrical safety"), &error))
        ask_next_safety (self, 0);
    }
  else if (g_str_equal (tag, "proving-soak-begin"))
    soak_begin (self, words);
  else if (g_str_has_prefix (tag, "proving-soak-"))
    bl_bench_page_check (self,
                         bl_proving_soak_end (self->bench, g_str_has_suffix (tag, "good"), words, g_get_real_time (),
                                              &error),
                         _ ("Soak"), &error);
  else
    return FALSE;
  return TRUE;
}

gboolean
bl_bench_proving_chosen (BlBenchPage *self, const char *tag, const char *id)
{
  BlSafetyTest test;

  if (g_str_has_prefix (tag, CHECK))
    check_chosen (self, tag + strlen (CHECK), id);
  else if (g_str_equal (tag, "proving-soak"))
    soak_chosen (self, id);
  else if (g_str_equal (tag, "proving-class"))
    class_chosen (self, id);
  else if (g_str_equal (tag, "proving-safety") && g_str_equal (id, "class"))
    ask_class (self);
  else if (g_str_equal (tag, "proving-safety") && bl_safety_test_parse (id, &test))
    ask_safety_test (self, test);
  else
    return FALSE;
  return TRUE;
}

/* --- the panel --- */

static void
acted (BlBenchPage *self, const char *what)
{
  BlMeasurementItem *item;
  BlSafetyTest test;

  if (g_str_has_prefix (what, "go:"))
    {
      item = bl_bench_find (self->bench, what + strlen ("go:"));
      if (item != NULL)
        bl_bench_select (self->bench, item);
      bl_bench_page_focus (self);
    }
  else if (g_str_equal (what, "checks"))
    ask_next_check (self, NULL);
  else if (g_str_has_prefix (what, "check:"))
    ask_one_check (self, what + strlen ("check:"));
  else if (g_str_equal (what, "soak"))
    ask_soak (self);
  else if (g_str_equal (what, "safety"))
    ask_safety (self);
  else if (g_str_has_prefix (what, "safety:") && bl_safety_test_parse (what + strlen ("safety:"), &test))
    ask_safety_test (self, test);
  else if (g_str_equal (what, "cause"))
    activate (self, "cause");
}

static void
toggle_proving (GSimpleAction *action, GVariant *parameter, gpointer data)
{
  BlBenchPage *self = data;
  GError *error = NULL;

  if (bl_proving_panel_is_open (BL_PROVING_PANEL (self->proving)))
    {
      bl_proving_panel_close (BL_PROVING_PANEL (self->proving));
      return;
    }
  if (bl_bench_page_in_probe (self))
    activate (self, "probe");
  bl_why_panel_close (BL_WHY_PANEL (self->why));
  bl_fault_panel_close (BL_FAULT_PANEL (self->shown));
  bl_finder_close (BL_FINDER (self->finder));
  bl_layers_panel_close (BL_LAYERS_PANEL (self->layers));
  bl_told_panel_close (BL_TOLD_PANEL (self->told));
  bl_proving_panel_open (BL_PROVING_PANEL (self->proving));
  bl_bench_page_check (self, bl_proving_begin (self->bench, &error), _ ("Proving"), &error);
}

void
bl_bench_proving_connect (BlBenchPage *self)
{
  g_signal_connect_swapped (self->proving, "act", G_CALLBACK (acted), self);
  g_signal_connect_swapped (self->proving, "closed", G_CALLBACK (bl_bench_page_focus), self);
}

void
bl_bench_proving_add_actions (BlBenchPage *self)
{
  static const GActionEntry entries[] = { { "proving", toggle_proving, NULL, NULL, NULL, { 0 } } };

  g_action_map_add_action_entries (G_ACTION_MAP (self->actions), entries, G_N_ELEMENTS (entries), self);
}
