/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A label that asks for a board's coverage and shows it when it is there. Rows of a list come and go
 * while others are still being worked out: what goes calls its question off. */
#include "config.h"

#include "bl-coverage-label.h"

#include "bl-coverage-ask.h"
#include "bl-coverage-words.h"
#include "bl-style.h"

static void
covered (BlCoverage *coverage, const char *trouble, gpointer data)
{
  g_autoptr (BlCoverage) owned = coverage;
  g_autofree char *words = owned != NULL ? bl_coverage_summary (owned) : g_strdup (trouble);

  gtk_label_set_label (data, words);
  gtk_widget_set_tooltip_text (data, words);
  gtk_widget_set_visible (data, *words != '\0');
}

GtkWidget *
bl_coverage_label_new (const BlBoard *board, const char *classes)
{
  GtkWidget *label = bl_label ("", classes, 0);

  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_widget_set_visible (label, FALSE);
  if (board != NULL && bl_len (board->stages) > 0)
    g_object_set_data_full (G_OBJECT (label), "ask", bl_coverage_ask (board, covered, label),
                            (GDestroyNotify) bl_coverage_ask_free);
  return label;
}
