/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What taking in a job asks: its number, the job on a label, and whether this serial number was here before. A shop has
 * some thousand jobs; a serial number is compared as people copy it from a label, so every job is looked at, which takes
 * a few milliseconds. */
#include "config.h"

#include "bl-library-take-in.h"

#include <glib/gi18n-lib.h>

#include "bl-library-private.h"

int
bl_library_next_job_number (BlLibrary *library, GError **error)
{
  gint64 next = 0;

  g_return_val_if_fail (library != NULL, 0);
  return bl_database_get_number (library->database, _ ("numbering the job"),
                                 "SELECT coalesce (max (number), 0) + 1 FROM job", &next, error)
           ? (int) next
           : 0;
}

gint64
bl_library_find_job (BlLibrary *library, const char *uid, GError **error)
{
  g_autoptr (BlStatement) statement = NULL;

  g_return_val_if_fail (library != NULL && uid != NULL, 0);
  statement = bl_database_prepare (library->database, _ ("looking for the job"), "SELECT id FROM job WHERE uid = ?1",
                                   error);
  if (statement == NULL)
    return 0;
  bl_statement_bind_text (statement, 1, uid);
  return bl_statement_step (statement, error) == BL_STEP_ROW ? bl_statement_int (statement, 0) : 0;
}

/* Small letters of the basic set, no blanks, no hyphens: as the statement below has it. */
static char *
plain_serial (const char *serial)
{
  GString *plain = g_string_new (NULL);

  for (const char *at = serial; *at != '\0'; at++)
    if (*at != ' ' && *at != '-')
      g_string_append_c (plain, g_ascii_tolower (*at));
  return g_string_free (plain, FALSE);
}

GPtrArray *
bl_library_jobs_of_serial (BlLibrary *library, const char *serial, GError **error)
{
  g_autoptr (GPtrArray) jobs = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_job_free);
  g_autoptr (GArray) ids = g_array_new (FALSE, FALSE, sizeof (gint64));
  g_autoptr (BlStatement) statement = NULL;
  BlStep step;

  g_return_val_if_fail (library != NULL && serial != NULL, NULL);
  g_autofree char *plain = plain_serial (serial);
  if (*plain == '\0')
    return g_steal_pointer (&jobs);
  statement = bl_database_prepare (library->database, _ ("looking for the serial number"),
                                   "SELECT id FROM job WHERE serial IS NOT NULL AND NOT removed"
                                   " AND replace (replace (lower (serial), ' ', ''), '-', '') = ?1"
                                   " ORDER BY number DESC", error);
  if (statement == NULL)
    return NULL;
  bl_statement_bind_text (statement, 1, plain);
  while ((step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    {
      gint64 id = bl_statement_int (statement, 0);
      g_array_append_val (ids, id);
    }
  if (step != BL_STEP_DONE)
    return NULL;
  for (guint i = 0; i < ids->len; i++)
    {
      BlJob *job = bl_library_load_job (library, g_array_index (ids, gint64, i), error);
      if (job == NULL)
        return NULL;
      g_ptr_array_add (jobs, job);
    }
  return g_steal_pointer (&jobs);
}
