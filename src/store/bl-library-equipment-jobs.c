/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a job on an equipment asks of the library: whether a document behind it changed, which other equipments join the
 * same boards (the other supply direction), what was found in its jobs, and which jobs on its boards go on from one.
 * A handful of rows each; nothing is written here. */
#include "config.h"

#include "bl-library-equipment-jobs.h"

#include "bl-library-private.h"
#include "bl-library-steps.h"

#include <glib/gi18n-lib.h>

char *
bl_library_equipment_digest (BlLibrary *library, gint64 id, GError **error)
{
  g_return_val_if_fail (library != NULL, NULL);
  g_autoptr (BlEquipment) equipment = bl_library_get_equipment (library, id, error);
  g_autoptr (GPtrArray) boards = equipment != NULL ? bl_library_equipment_boards (library, id, error) : NULL;
  g_autoptr (GString) text = g_string_new (NULL);

  if (boards == NULL)
    return NULL;
  for (guint i = 0; i < boards->len; i++)
    {
      g_autofree char *digest = bl_library_board_digest (library, ((BlEquipmentBoard *) bl_at (boards, i))->board, error);
      if (digest == NULL)
        return NULL;
      g_string_append_printf (text, "%s\n", digest);
    }
  g_autofree char *document = bl_equipment_write (equipment);
  g_string_append (text, document);
  return g_compute_checksum_for_string (G_CHECKSUM_SHA256, text->str, (gssize) text->len);
}

/* First columns of a statement whose numbered parameters are bound. */
static GArray *
collect_ids (BlStatement *statement, GError **error)
{
  g_autoptr (GArray) ids = g_array_new (FALSE, FALSE, sizeof (gint64));
  BlStep step;

  while ((step = bl_statement_step (statement, error)) == BL_STEP_ROW)
    {
      gint64 id = bl_statement_int (statement, 0);
      g_array_append_val (ids, id);
    }
  return step == BL_STEP_DONE ? g_steal_pointer (&ids) : NULL;
}

GArray *
bl_library_equipments_alike (BlLibrary *library, gint64 id, GError **error)
{
  g_return_val_if_fail (library != NULL, NULL);
  /* Which role a board has may differ: its boards, each as often, are what must be the same. */
  g_autoptr (BlStatement) statement = bl_database_prepare (
      library->database, _ ("listing the equipments"),
      "SELECT id FROM equipment e WHERE removed = 0 AND id <> ?1"
      " AND (SELECT group_concat (board) FROM (SELECT board FROM equipment_board WHERE equipment = e.id ORDER BY board))"
      "   = (SELECT group_concat (board) FROM (SELECT board FROM equipment_board WHERE equipment = ?1 ORDER BY board))"
      " ORDER BY title COLLATE NOCASE, id",
      error);

  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, id);
  return collect_ids (statement, error);
}

GArray *
bl_library_part_jobs (BlLibrary *library, gint64 job, GError **error)
{
  g_return_val_if_fail (library != NULL, NULL);
  g_autoptr (BlStatement) statement =
      bl_database_prepare (library->database, _ ("listing the jobs"),
                           "SELECT id FROM job WHERE part_of = ?1 AND NOT removed ORDER BY id", error);

  if (statement == NULL)
    return NULL;
  bl_statement_bind_int (statement, 1, job);
  return collect_ids (statement, error);
}
