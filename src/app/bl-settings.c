/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where the settings of the program are found. */
#include "config.h"

#include "bl-settings.h"

/* Schemas lie in the system's folder when installed, and in data/ of the build otherwise. */
static GSettingsSchema *
find_schema (void)
{
  GSettingsSchemaSource *source = g_settings_schema_source_get_default ();
  GSettingsSchema *schema = source != NULL ? g_settings_schema_source_lookup (source, BL_APP_ID, TRUE) : NULL;
  g_autofree char *program = g_file_read_link ("/proc/self/exe", NULL);

  for (int up = 0; schema == NULL && program != NULL && up < 4; up++)
    {
      g_autofree char *folder = g_path_get_dirname (program);
      g_autofree char *data = g_build_filename (folder, "data", NULL);
      g_autoptr (GSettingsSchemaSource) beside
        = g_settings_schema_source_new_from_directory (data, source, FALSE, NULL);
      if (beside != NULL)
        schema = g_settings_schema_source_lookup (beside, BL_APP_ID, FALSE);
      g_free (program);
      program = g_steal_pointer (&folder);
    }
  return schema;
}

GSettings *
bl_settings (void)
{
  static GSettings *settings;
  static gboolean tried;

  if (!tried)
    {
      g_autoptr (GSettingsSchema) schema = find_schema ();
      tried = TRUE;
      if (schema != NULL)
        settings = g_settings_new_full (schema, NULL, NULL);
    }
  return settings;
}
