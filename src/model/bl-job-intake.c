/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Taking in the jobs of another bench. First the boards and equipments, which the jobs need, then the jobs, then which of
 * them are returns or parts of which. One transaction: a file that is refused half way leaves nothing behind. */
#include "config.h"

#include "bl-job-intake.h"

#include <glib/gi18n-lib.h>

#include "bl-intake.h"

static void
merged_free (gpointer data)
{
  bl_job_merged_clear (data);
  g_free (data);
}

void
bl_job_intake_free (BlJobIntake *intake)
{
  if (intake == NULL)
    return;
  g_ptr_array_unref (intake->jobs);
  g_free (intake);
}

/* --- what the jobs are about --- */

static gboolean
is_here (BlLibrary *library, const BlBundleJob *job, gint64 *id, GError **error)
{
  GError *reason = NULL;

  *id = job->equipment ? bl_library_find_equipment (library, job->about, &reason)
                       : bl_library_find_board (library, job->about, &reason);
  if (reason != NULL)
    g_propagate_error (error, reason);
  return reason == NULL;
}

/* What is here otherwise stays: nothing of it is taken. */
static void
leave_what_differs (BlIntake *intake)
{
  for (guint i = 0; i < intake->boards->len; i++)
    {
      BlIntakeBoard *board = bl_at (intake->boards, i);
      if (board->finding == BL_INTAKE_DIFFERENT)
        board->choice = BL_INTAKE_LEAVE;
    }
  if (intake->delivery->equipment != NULL && intake->finding == BL_INTAKE_DIFFERENT)
    intake->choice = BL_INTAKE_LEAVE;
}

/* Takes delivery. *id: of the board or equipment in this library. */
static gboolean
take_part (BlLibrary *library, BlDelivery *delivery, const BlBundleJob *job, BlJobIntake *result, gint64 *id,
           GError **error)
{
  g_autoptr (BlIntake) intake = bl_intake_new (library, delivery, error);
  gboolean here = FALSE;

  if (intake == NULL || !is_here (library, job, id, error))
    return FALSE;
  here = *id != 0;
  result->boards_otherwise += here && bl_intake_finding (intake) == BL_INTAKE_DIFFERENT;
  leave_what_differs (intake);
  if (here && !job->equipment)
    return TRUE;
  if (!bl_intake_run (intake, error))
    return FALSE;
  result->boards += !here;
  *id = job->equipment ? intake->result : ((BlIntakeBoard *) bl_at (intake->boards, 0))->result;
  return here || !job->provisional || bl_library_set_provisional (library, *id, TRUE, error);
}

/* --- jobs --- */

static gboolean
take_job (BlLibrary *library, BlJobBundle *bundle, const BlBundleJob *job, GHashTable *ids, BlJobIntake *result,
          GError **error)
{
  BlJobMerged *merged = NULL;
  gint64 *known = g_hash_table_lookup (ids, job->part), id = 0;

  if (known == NULL)
    {
      gpointer name = NULL, delivery = NULL;
      if (!g_hash_table_steal_extended (bundle->parts, job->part, &name, &delivery))
        {
          g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID, _ ("%s: there is no such board in it"), job->part);
          return FALSE;
        }
      g_free (name);
      if (!take_part (library, delivery, job, result, &id, error))
        return FALSE;
      known = g_memdup2 (&id, sizeof id);
      g_hash_table_insert (ids, g_strdup (job->part), known);
    }
  merged = g_new0 (BlJobMerged, 1);
  g_ptr_array_add (result->jobs, merged);
  if (!bl_library_merge_job (library, job, *known, merged, error))
    return FALSE;
  result->added += merged->added;
  result->merged += !merged->added && merged->lines + merged->strikes + merged->photos > 0;
  result->lines += merged->lines;
  result->strikes += merged->strikes;
  result->photos += merged->photos;
  return TRUE;
}

static gboolean
take_all (BlLibrary *library, BlJobBundle *bundle, BlJobIntake *result, GError **error)
{
  g_autoptr (GHashTable) ids = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);

  for (guint i = 0; i < bundle->jobs->len; i++)
    if (!take_job (library, bundle, bl_at (bundle->jobs, i), ids, result, error))
      return FALSE;
  for (guint i = 0; i < bundle->jobs->len; i++)
    if (!bl_library_link_job (library, bl_at (bundle->jobs, i), error))
      return FALSE;
  return TRUE;
}

BlJobIntake *
bl_job_intake_run (BlLibrary *library, BlJobBundle *bundle, GError **error)
{
  g_return_val_if_fail (library != NULL && bundle != NULL, NULL);
  const char *doing = _ ("importing the jobs");
  g_autoptr (BlJobIntake) result = g_new0 (BlJobIntake, 1);

  result->jobs = g_ptr_array_new_with_free_func (merged_free);
  if (!bl_library_begin (library, doing, error)
      || !bl_library_end (library, take_all (library, bundle, result, error), doing, error))
    return NULL;
  return g_steal_pointer (&result);
}

/* --- in words --- */

/* line: (transfer full) */
static void
append_line (GString *words, char *line)
{
  g_string_append_printf (words, "\n%s", line);
  g_free (line);
}

char *
bl_job_intake_words (const BlJobIntake *intake)
{
  g_return_val_if_fail (intake != NULL, NULL);
  g_autoptr (GString) words = g_string_new (NULL);

  if (intake->added + intake->merged == 0)
    g_string_append (words, _ ("Everything in it was here already."));
  else
    g_string_append_printf (words, _ ("Jobs: %u new, %u with something new. Log lines %u, strikes %u, photos %u, boards %u."),
                            intake->added, intake->merged, intake->lines, intake->strikes, intake->photos,
                            intake->boards);
  for (guint i = 0; i < intake->jobs->len; i++)
    {
      const BlJobMerged *job = bl_at (intake->jobs, i);
      if (job->number != job->old_number)
        append_line (words, g_strdup_printf (_ ("Job %d of the other bench is job %d here."), job->old_number, job->number));
      if (job->otherwise != NULL)
        append_line (words, g_strdup_printf (_ ("Job %d: both benches say %s otherwise; what was changed last stays."),
                                             job->number, job->otherwise));
    }
  if (intake->boards_otherwise > 0)
    append_line (words, g_strdup_printf (ngettext ("%u board is here otherwise and stayed as it is.",
                                                   "%u boards are here otherwise and stayed as they are.",
                                                   intake->boards_otherwise), intake->boards_otherwise));
  return g_string_free (g_steal_pointer (&words), FALSE);
}
