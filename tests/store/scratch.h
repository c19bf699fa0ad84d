/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>
#include <glib/gstdio.h>

/* A folder for one test, away from every other, and what to call the files in it. */
static inline char *
scratch_new (void)
{
  g_autoptr (GError) error = NULL;
  char *folder = g_dir_make_tmp ("benchlore-test-XXXXXX", &error);

  g_assert_no_error (error);
  return folder;
}

static inline char *
scratch_file (const char *folder, const char *name)
{
  return g_build_filename (folder, name, NULL);
}

/* Removes the folder with everything in it, and frees its name. */
static inline void
scratch_free (char *folder)
{
  g_autoptr (GDir) dir = g_dir_open (folder, 0, NULL);
  const char *name;

  while (dir != NULL && (name = g_dir_read_name (dir)) != NULL)
    {
      g_autofree char *path = g_build_filename (folder, name, NULL);
      if (g_file_test (path, G_FILE_TEST_IS_DIR) && !g_file_test (path, G_FILE_TEST_IS_SYMLINK))
        scratch_free (g_steal_pointer (&path));
      else
        g_unlink (path);
    }
  g_rmdir (folder);
  g_free (folder);
}
