/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Three short questions about a part replaced. The line of the log is written once they are answered, passed or
 * left, since a line cannot be changed later: Esc, another panel, another job and the end of the program all keep
 * the replacement with what was said so far. */
#include "config.h"

#include "bl-bench-proving.h"

#include <glib/gi18n-lib.h>

#include "bl-bench-repair.h"
#include "bl-proving.h"
#include "bl-why-words.h"

void
bl_bench_repair_ask (BlBenchPage *self, const char *component)
{
  const BlComponent *found = bl_board_component (bl_bench_get_board (self->bench), component);

  bl_bench_repair_keep (self);
  self->repair_part = g_strdup (component);
  g_autofree char *title = g_strdup_printf (_ ("%s: what was taken out?"), component);
  g_auto (GStrv) killers = bl_proving_untested_killers (self->bench, component);
  g_autofree char *names = g_strjoinv (", ", killers);
  g_autofree char *hint
    = *killers != NULL ? g_strdup_printf (_ ("%s may have killed it and was not tested by itself. Enter goes on, Esc ends "
                                             "the questions; the replacement is kept in any case."), names)
                       : g_strdup (_ ("Enter goes on, Esc ends the questions; the replacement is kept in any case."));
  bl_choice_panel_begin (BL_CHOICE_PANEL (self->choice), "replaced-old", title,
                         hint);
  bl_choice_panel_add_entry (BL_CHOICE_PANEL (self->choice), _ ("value, type, marking"),
                             found != NULL ? found->value : NULL);
  bl_bench_choices_open (self, BL_PLACE_FOCUS);
}

gboolean
bl_bench_repair_keep (BlBenchPage *self)
{
  g_autofree char *part = g_steal_pointer (&self->repair_part);
  g_autofree char *old = g_steal_pointer (&self->repair_old), *new = g_steal_pointer (&self->repair_new);
  g_autofree char *why = g_steal_pointer (&self->repair_why);
  GError *error = NULL;

  if (part == NULL || self->bench == NULL)
    return FALSE;
  return bl_bench_page_check (self, bl_bench_replaced_with (self->bench, part, old, new, why, &error), part, &error);
}

/* The reading that speaks for the part most, as an offer: nobody has to write what the program knows. */
static char *
usual_reason (BlBenchPage *self)
{
  g_autofree char *reason = bl_bench_reason (self->bench, self->repair_part);

  return reason != NULL && *reason != '\0' ? g_steal_pointer (&reason) : NULL;
}

gboolean
bl_bench_repair_entered (BlBenchPage *self, const char *tag, const char *words)
{
  if (self->repair_part == NULL || !g_str_has_prefix (tag, "replaced-"))
    return FALSE;
  if (g_str_equal (tag, "replaced-old"))
    {
      self->repair_old = g_strdup (words);
      g_autofree char *title = g_strdup_printf (_ ("%s: what was put in, or what was done?"), self->repair_part);
      bl_bench_choices_ask (self, "replaced-new", title, _ ("the same type, 105 °C; resoldered; cleaned"), words,
                            BL_PLACE_FOCUS);
    }
  else if (g_str_equal (tag, "replaced-new"))
    {
      self->repair_new = g_strdup (words);
      g_autofree char *title = g_strdup_printf (_ ("%s: why?"), self->repair_part);
      g_autofree char *reason = usual_reason (self);
      bl_bench_choices_ask (self, "replaced-why", title, _ ("contacts burnt, tested short, in series with …"), reason,
                            BL_PLACE_FOCUS);
    }
  else
    {
      g_autofree char *part = g_strdup (self->repair_part);
      self->repair_why = g_strdup (words);
      if (bl_bench_repair_keep (self))
        bl_bench_choices_after_replaced (self, part);
    }
  return TRUE;
}
