/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The checklist of an edition in one button. What measurements tell apart is worked out in a thread; until it is there the
 * checks that need it count as not done, so that the number of checks never changes. */
#include "config.h"

#include "bl-missing-button.h"

#include <glib/gi18n-lib.h>

#include "bl-coverage-ask.h"
#include "bl-edition-checklist.h"
#include "bl-style.h"

typedef struct
{
  GtkWidget *button; /* owns this */
  char *title;
  BlBoard *board;
  BlChecklistBeside beside;
  BlCoverageAsk *ask;
} Missing;

static void
missing_free (gpointer data)
{
  Missing *self = data;

  bl_coverage_ask_free (self->ask);
  bl_checklist_beside_clear (&self->beside);
  bl_board_free (self->board);
  g_free (self->title);
  g_free (self);
}

static void
show (Missing *self, const BlCoverage *coverage)
{
  g_autoptr (BlChecklist) list = bl_checklist_new (self->board, coverage, &self->beside);
  g_autofree char *words = bl_checklist_summary (list), *full = g_strdup_printf ("%s: %s", words, self->title);

  gtk_button_set_label (GTK_BUTTON (self->button), words);
  bl_widget_name (self->button, full);
}

static void
covered (BlCoverage *coverage, const char *trouble, gpointer data)
{
  g_autoptr (BlCoverage) owned = coverage;

  show (data, owned);
}

GtkWidget *
bl_missing_button_new (BlLibrary *library, gint64 id, const BlBoard *board, const char *title)
{
  g_return_val_if_fail (library != NULL && board != NULL && title != NULL, NULL);
  Missing *self = g_new0 (Missing, 1);

  self->button = gtk_button_new ();
  gtk_widget_add_css_class (self->button, "act");
  gtk_widget_set_valign (self->button, GTK_ALIGN_CENTER);
  self->title = g_strdup (title);
  self->board = bl_board_copy (board);
  bl_checklist_beside_read (&self->beside, library, id);
  g_object_set_data_full (G_OBJECT (self->button), "missing", self, missing_free);
  show (self, NULL);
  if (bl_checklist_needs_coverage (board))
    self->ask = bl_coverage_ask (board, covered, self);
  return self->button;
}
