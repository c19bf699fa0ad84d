/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sentences of the import page. */
#include "config.h"

#include "bl-import-words.h"

#include <glib/gi18n-lib.h>

const char *
bl_import_outcome_words (BlIntakeFinding finding, BlIntakeChoice choice)
{
  if (finding == BL_INTAKE_NEW)
    return _ ("new, is added");
  if (finding == BL_INTAKE_SAME)
    return _ ("is here just so");
  return choice == BL_INTAKE_MERGE       ? _ ("differs: merge")
         : choice == BL_INTAKE_KEEP_BOTH ? _ ("differs: keep both")
                                         : _ ("differs: leave it");
}

char *
bl_import_found_words (const BlIntake *intake, const BlIntakeBoard *board)
{
  BlIntakeFinding finding = board != NULL ? board->finding : intake->finding;

  if (finding == BL_INTAKE_NEW)
    return g_strdup (_ ("The library has nothing like it; it is added."));
  if (finding == BL_INTAKE_SAME)
    return g_strdup (_ ("The library has it just so; nothing is to be done."));
  if (board == NULL)
    return g_strdup_printf (_ ("The library has this equipment otherwise: %s."), intake->otherwise);
  g_autofree char *jobs = g_strdup_printf (ngettext ("%u job", "%u jobs", board->n_jobs), board->n_jobs);
  return g_strdup_printf (board->by_uid ? _ ("In the library, with %s; the file says some things otherwise.")
                                        : _ ("In the library from another source, with %s; the file says some things "
                                             "otherwise."),
                          jobs);
}

const char *
bl_import_choice_words (BlIntakeChoice choice, gboolean board)
{
  switch (choice)
    {
    case BL_INTAKE_MERGE:
      return board ? _ ("What is here stays, except where the file's side is chosen below. One step of undo of the edition.")
                   : _ ("The file's equipment takes the place of the one here.");
    case BL_INTAKE_KEEP_BOTH:
      return board ? _ ("The file's comes in as a board of its own, as edition")
                   : _ ("The file's comes in as an equipment of its own, called");
    case BL_INTAKE_ADD:
    case BL_INTAKE_LEAVE:
    default:
      return _ ("What is here stays as it is; nothing of this is imported.");
    }
}

char *
bl_import_done_words (const BlIntake *intake, gint64 *merged)
{
  guint n_merged = 0, n_added = 0, taken = 0;

  *merged = 0;
  for (guint i = 0; i < intake->boards->len; i++)
    {
      const BlIntakeBoard *board = bl_at (intake->boards, i);
      n_added += board->choice == BL_INTAKE_ADD || board->choice == BL_INTAKE_KEEP_BOTH;
      if (board->choice != BL_INTAKE_MERGE || board->taken == 0)
        continue;
      n_merged++;
      taken += board->taken;
      *merged = board->result;
    }
  if (n_merged != 1 || intake->boards->len > 1)
    *merged = 0;
  if (n_merged > 0)
    return g_strdup_printf (ngettext ("Merged: %u difference taken over. Undo is in the edition.",
                                      "Merged: %u differences taken over. Undo is in the edition.", taken),
                            taken);
  return g_strdup (n_added > 0 || (intake->delivery->equipment != NULL && intake->choice != BL_INTAKE_LEAVE)
                       ? _ ("Imported.")
                       : _ ("Nothing was imported."));
}
