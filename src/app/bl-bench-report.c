/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The report of the job on the bench: for whom and on what paper, then as a PDF or printed. One panel of choices beside
 * the work; for whom and the paper stay as they were chosen last. */
#include "config.h"

#include "bl-bench-page-private.h"

#include <glib/gi18n-lib.h>

#include "bl-preferences.h"
#include "bl-report-action.h"
#include "bl-report-shop.h"

static BlChoicePanel *
panel (BlBenchPage *self)
{
  return BL_CHOICE_PANEL (self->choice);
}

static void
add (BlBenchPage *self, gunichar key, const char *text, gboolean chosen, const char *id)
{
  bl_choice_panel_add (panel (self), key, text, chosen ? _ ("chosen") : NULL, id);
}

void
bl_bench_report_ask (BlBenchPage *self)
{
  g_return_if_fail (BL_IS_BENCH_PAGE (self));
  g_autofree char *title = NULL;
  BlReportAudience audience = bl_report_action_audience ();
  BlReportPaper paper = bl_report_action_paper ();

  if (self->bench == NULL)
    return;
  title = g_strdup_printf (_ ("Report of job %d"), bl_bench_get_job (self->bench)->number);
  bl_choice_panel_begin (panel (self), "report", title, NULL);
  add (self, 'c', _ ("for the customer: plain words, a page or two"), audience == BL_REPORT_FOR_CUSTOMER, "customer");
  add (self, 's', _ ("for the shop: everything"), audience == BL_REPORT_FOR_SHOP, "shop");
  add (self, 'a', _ ("on A4"), paper == BL_REPORT_A4, "a4");
  add (self, 'l', _ ("on Letter"), paper == BL_REPORT_LETTER, "letter");
  bl_choice_panel_add (panel (self), 'f', _ ("write a PDF …"), NULL, "file");
  bl_choice_panel_add (panel (self), 'p', _ ("print …"), NULL, "print");
  bl_choice_panel_add (panel (self), 'w', _ ("the shop’s own words …"), _ ("head, foot, warranty"), "words");
  bl_bench_choices_open (self, BL_PLACE_FOCUS);
  bl_choice_panel_select (panel (self), 4); /* Enter writes; what stands above it is chosen already */
}

gboolean
bl_bench_report_chosen (BlBenchPage *self, const char *tag, const char *id)
{
  BlReportAudience audience;
  BlReportPaper paper;
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));

  if (!g_str_equal (tag, "report"))
    return FALSE;
  if (g_str_equal (id, "file"))
    bl_report_action_run (GTK_WIDGET (self), self->library, bl_bench_get_job (self->bench)->id);
  else if (g_str_equal (id, "print"))
    bl_report_action_print (GTK_WIDGET (self), self->library, bl_bench_get_job (self->bench)->id);
  else if (g_str_equal (id, "words"))
    bl_preferences_present (GTK_IS_WINDOW (root) ? GTK_WINDOW (root) : NULL, self->library, "report");
  else
    {
      if (bl_report_audience_parse (id, &audience))
        bl_report_action_set_audience (audience);
      else if (bl_report_paper_parse (id, &paper))
        bl_report_action_set_paper (paper);
      bl_bench_report_ask (self);
    }
  return TRUE;
}
