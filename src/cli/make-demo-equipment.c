/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The demo's equipments: each document pair*.json of the folder, with its boards as they are in the library. */
#include "config.h"

#include "make-demo.h"

#include "bl-library-equipment.h"

#include <string.h>

static BlEquipment *
read_equipment (Demo *demo, const char *name, GError **error)
{
  g_autofree char *path = g_build_filename (demo->folder, name, NULL), *text = NULL;
  BlEquipment *equipment;
  gsize length = 0;

  if (!g_file_get_contents (path, &text, &length, error))
    return NULL;
  equipment = bl_equipment_read (text, (gssize) length, NULL, error);
  if (equipment == NULL)
    g_prefix_error (error, "%s: ", path);
  return equipment;
}

gint64
demo_need_equipment (Demo *demo, const char *file, GError **error)
{
  g_autoptr (BlEquipment) equipment = read_equipment (demo, file, error);
  gint64 id = equipment != NULL ? bl_library_find_equipment (demo->library, equipment->own.uid, error) : 0;

  if (equipment != NULL && id == 0 && error != NULL && *error == NULL)
    *error = g_error_new (BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND, "%s: there is no such equipment", file);
  return id;
}

static gboolean
add_equipment (Demo *demo, const char *name, GError **error)
{
  g_autoptr (BlEquipment) equipment = read_equipment (demo, name, error);
  g_autofree gint64 *boards = NULL;

  if (equipment == NULL)
    return FALSE;
  boards = g_new0 (gint64, bl_len (equipment->members) + 1);
  for (guint i = 0; i < bl_len (equipment->members); i++)
    {
      boards[i] = demo_need_board (demo, ((BlMember *) bl_at (equipment->members, i))->board, error);
      if (boards[i] == 0)
        return FALSE;
    }
  return bl_library_put_equipment (demo->library, 0, equipment, boards, error) != 0;
}

static int
compare_names (gconstpointer a, gconstpointer b)
{
  return strcmp (*(const char *const *) a, *(const char *const *) b);
}

gboolean
demo_add_equipments (Demo *demo, GError **error)
{
  g_autoptr (GDir) dir = g_dir_open (demo->folder, 0, error);
  g_autoptr (GPtrArray) names = g_ptr_array_new_with_free_func (g_free);
  const char *name;

  if (dir == NULL)
    return FALSE;
  while ((name = g_dir_read_name (dir)) != NULL)
    if (g_str_has_prefix (name, "pair") && g_str_has_suffix (name, ".json"))
      g_ptr_array_add (names, g_strdup (name));
  g_ptr_array_sort (names, compare_names); /* each build makes the same library, whatever the order of the folder */
  for (guint i = 0; i < names->len; i++)
    if (!add_equipment (demo, bl_at (names, i), error))
      return FALSE;
  return TRUE;
}
