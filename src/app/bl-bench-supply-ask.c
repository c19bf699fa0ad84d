/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Questions about the power, in the choice panel. The state is declared before they are asked, so that the banner says
 * LIVE meanwhile; neither holds anything up, and passing one by is a line of the log. */
#include "config.h"

#include "bl-bench-supply-ask.h"

#include <glib/gi18n-lib.h>

#include "bl-style.h"

static BlChoicePanel *
panel (BlBenchPage *self)
{
  return BL_CHOICE_PANEL (self->choice);
}

static void
ask_supply (BlBenchPage *self)
{
  bl_choice_panel_begin (panel (self), "supply", _ ("Live for the first time in this job: what feeds it?"),
                         _ ("An isolating transformer protects from touching one conductor and earth, not from touching "
                            "two. A residual-current device behind it sees nothing."));
  bl_choice_panel_add (panel (self), 'i', _ ("an isolating transformer"), NULL, "isolated");
  bl_choice_panel_add (panel (self), 'c', _ ("a current-limited supply, or a lamp in series"), NULL, "limited");
  bl_choice_panel_add (panel (self), 'b', _ ("both"), NULL, "both");
  bl_choice_panel_add (panel (self), 'm', _ ("the mains as they are: neither"), NULL, "mains");
  bl_choice_panel_add (panel (self), 'n', _ ("not now; that is kept in the log"), NULL, "passed");
  bl_choice_panel_set_offer (panel (self));
  bl_bench_choices_open (self, BL_PLACE_FOCUS);
  bl_choice_panel_select (panel (self), 4); /* Enter on nothing must not tick a supply that is not there */
}

static void
add_tick (BlBenchPage *self, gunichar key, BlBefore one, const char *id)
{
  gboolean ticked = (self->before_power & one) != 0;
  g_autofree char *text = g_strdup_printf ("%s  %s", ticked ? "☒" : "☐", bl_before_words (one));

  bl_choice_panel_add (panel (self), key, text, ticked ? _ ("done") : NULL, id);
}

static void
show_ticks (BlBenchPage *self, const char *part)
{
  g_autofree char *title = g_strdup_printf (_ ("%s on the hot side was replaced. Before power comes back:"), part);

  bl_choice_panel_begin (panel (self), "before-power", title,
                         _ ("A part that died seldom died alone: what killed it may kill the new one."));
  add_tick (self, 'b', BL_BEFORE_BUS, "bus");
  add_tick (self, 'c', BL_BEFORE_LIMITED, "limited");
  add_tick (self, 'd', BL_BEFORE_DISCHARGE, "discharge");
  bl_choice_panel_add (panel (self), 'g', self->before_power != 0 ? _ ("go on with what is ticked")
                                                                  : _ ("go on; that is kept in the log"), NULL, "go");
  bl_choice_panel_set_offer (panel (self));
  bl_bench_choices_open (self, BL_PLACE_FOCUS);
  bl_choice_panel_select (panel (self), 3);
}

void
bl_bench_supply_ask (BlBenchPage *self)
{
  const char *part = self->bench != NULL ? bl_bench_wants_before_power (self->bench) : NULL;

  if (self->bench == NULL || bl_choice_panel_is_open (panel (self)))
    return;
  if (bl_bench_wants_supply (self->bench))
    ask_supply (self);
  else if (part != NULL)
    {
      self->before_power = 0;
      show_ticks (self, part);
    }
}

static void
say_supply (BlBenchPage *self, BlSupply supply)
{
  GError *error = NULL;

  bl_bench_page_check (self, bl_bench_say_supply (self->bench, supply, &error), _ ("Supply"), &error);
}

static void
say_before (BlBenchPage *self)
{
  GError *error = NULL;
  guint done = self->before_power;

  if ((done & BL_BEFORE_ALL) != BL_BEFORE_ALL)
    done |= BL_BEFORE_PASSED;
  self->before_power = 0;
  bl_bench_page_check (self, bl_bench_say_before_power (self->bench, done, &error), _ ("Before power"), &error);
}

static void
supply_chosen (BlBenchPage *self, const char *id)
{
  static const struct
  {
    const char *id;
    BlSupply supply;
  } rows[] = { { "isolated", BL_SUPPLY_ISOLATED },
               { "limited", BL_SUPPLY_LIMITED },
               { "both", BL_SUPPLY_ISOLATED | BL_SUPPLY_LIMITED },
               { "mains", BL_SUPPLY_MAINS },
               { "passed", BL_SUPPLY_PASSED } };

  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    if (g_str_equal (id, rows[i].id))
      say_supply (self, rows[i].supply);
  bl_bench_supply_ask (self); /* the other question may be due */
}

static void
before_chosen (BlBenchPage *self, const char *id)
{
  const char *part = bl_bench_wants_before_power (self->bench);

  self->before_power ^= g_str_equal (id, "bus")         ? BL_BEFORE_BUS
                        : g_str_equal (id, "limited")   ? BL_BEFORE_LIMITED
                        : g_str_equal (id, "discharge") ? BL_BEFORE_DISCHARGE
                                                        : 0;
  if (part == NULL || g_str_equal (id, "go") || self->before_power == BL_BEFORE_ALL)
    say_before (self);
  else
    show_ticks (self, part);
}

gboolean
bl_bench_supply_chosen (BlBenchPage *self, const char *tag, const char *id)
{
  if (g_str_equal (tag, "supply"))
    supply_chosen (self, id);
  else if (g_str_equal (tag, "before-power"))
    before_chosen (self, id);
  else
    return FALSE;
  return TRUE;
}

void
bl_bench_supply_closed (BlBenchPage *self)
{
  const char *tag = bl_choice_panel_get_tag (panel (self));

  if (self->bench == NULL)
    return;
  if (g_strcmp0 (tag, "supply") == 0)
    say_supply (self, BL_SUPPLY_PASSED);
  else if (g_strcmp0 (tag, "before-power") == 0)
    say_before (self);
}
