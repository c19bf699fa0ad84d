/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Finds jobs by what was written into their bench logs. Each word is looked up by itself and the jobs that have all of
 * them are left: the words of a job need not stand in one line. Some ten thousand lines after years. */
#include "config.h"

#include "bl-library-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

/* The word as a phrase of the full-text search that any ending may follow; quotes in it are doubled. */
static char *
phrase (const char *word)
{
  GString *text = g_string_new ("\"");

  for (const char *at = word; *at != '\0'; at++)
    {
      if (*at == '"')
        g_string_append_c (text, '"');
      g_string_append_c (text, *at);
    }
  g_string_append (text, "\"*");
  return g_string_free (text, FALSE);
}

/* Words of punctuation alone are found nowhere: they are left out. */
static gboolean
has_letter (const char *word)
{
  for (const char *at = word; *at != '\0'; at = g_utf8_next_char (at))
    if (g_unichar_isalnum (g_utf8_get_char (at)))
      return TRUE;
  return FALSE;
}

/* (transfer full) */
static GHashTable *
jobs_with (BlLibrary *library, const char *word, GError **error)
{
  g_autoptr (GHashTable) jobs = g_hash_table_new_full (g_int64_hash, g_int64_equal, g_free, g_free);
  g_autoptr (BlStatement) statement = bl_database_prepare (
      library->database, _ ("looking through the bench logs"),
      "SELECT r.job, coalesce (r.subject || ' ', '') || coalesce (r.text, '') || coalesce (', ' || r.old, '')"
      " || coalesce (', ' || r.why, '') || coalesce (', ' || r.told_by, '') FROM record_words w"
      " JOIN record r ON r.id = w.rowid WHERE record_words MATCH ?1 ORDER BY w.rowid",
      error);
  g_autofree char *text = phrase (word);
  BlStep step;

  if (statement == NULL)
    return NULL;
  bl_statement_bind_text (statement, 1, text);
  while ((step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    {
      gint64 job = bl_statement_int (statement, 0);
      g_hash_table_replace (jobs, g_memdup2 (&job, sizeof job), bl_statement_dup_text (statement, 1));
    }
  return step == BL_STEP_DONE ? g_steal_pointer (&jobs) : NULL;
}

static gboolean
is_not_in (gpointer job, gpointer line, gpointer other)
{
  return !g_hash_table_contains (other, job);
}

GHashTable *
bl_library_find_in_logs (BlLibrary *library, const char *words, GError **error)
{
  g_return_val_if_fail (library != NULL && words != NULL, NULL);
  g_auto (GStrv) list = g_strsplit_set (words, " \t", -1);
  g_autoptr (GHashTable) found = NULL;

  for (guint i = 0; list[i] != NULL; i++)
    {
      if (!has_letter (list[i]))
        continue;
      GHashTable *jobs = jobs_with (library, list[i], error);
      if (jobs == NULL)
        return NULL;
      if (found != NULL)
        g_hash_table_foreach_remove (jobs, is_not_in, found);
      g_clear_pointer (&found, g_hash_table_unref);
      found = jobs;
    }
  return found != NULL ? g_steal_pointer (&found)
                       : g_hash_table_new_full (g_int64_hash, g_int64_equal, g_free, g_free);
}
