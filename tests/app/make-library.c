/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Makes a library for tests and pictures: one board with its photos, one job, and what is entered into
 * it, line by line as a technician would type it.
 *   make-library LIBRARY BOARD.json PHOTO-FOLDER SYMPTOM STATE ENTRY... */
#include "config.h"

#include "bl-bench.h"
#include "bl-document.h"
#include "bl-photo-surface.h"

static gint64
add_board (BlLibrary *library, const char *path, const char *folder)
{
  g_autofree char *text = NULL;
  g_autoptr (GError) error = NULL;
  gsize length;
  gint64 id;

  if (!g_file_get_contents (path, &text, &length, &error))
    g_error ("%s", error->message);
  g_autoptr (BlBoard) board = bl_document_parse (text, (gssize) length, NULL, &error);
  if (board == NULL)
    g_error ("%s: %s", path, error->message);
  id = bl_library_add_board (library, board, FALSE, &error);
  g_assert_no_error (error);
  for (guint i = 0; i < bl_len (board->photos); i++)
    {
      const BlPhoto *photo = bl_at (board->photos, i);
      g_autofree char *name = g_path_get_basename (photo->file);
      g_autofree char *file = g_build_filename (folder, name, NULL);
      char *data;
      gsize size;
      if (!g_file_get_contents (file, &data, &size, NULL))
        continue;
      g_autoptr (GBytes) image = g_bytes_new_take (data, size);
      g_autoptr (GBytes) thumbnail = bl_photo_thumbnail (image, NULL);
      bl_library_put_board_photo (library, id, photo->id, "image/jpeg", image, thumbnail, &error);
      g_assert_no_error (error);
    }
  return id;
}

int
main (int argc, char **argv)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (BlJob) head = bl_job_new ();
  gint64 board, job;

  if (argc < 6)
    return 2;
  g_autoptr (BlLibrary) library = bl_library_open (argv[1], TRUE, &error);
  g_assert_no_error (error);
  board = add_board (library, argv[2], argv[3]);
  head->number = 412;
  head->complaint = g_strdup ("roof unit mute, operation lamp 5 blinks");
  head->customer = g_strdup ("workshop");
  job = bl_bench_start (library, board, head, *argv[4] != '\0' ? argv[4] : NULL, &error);
  g_assert_no_error (error);
  g_autoptr (BlBench) bench = bl_bench_new (library, job, &error);
  g_assert_no_error (error);
  if (*argv[5] != '\0' && !bl_bench_set_state (bench, argv[5], &error))
    g_error ("%s", error->message);
  for (int i = 6; i < argc; i++)
    if (!bl_bench_enter (bench, argv[i], &error))
      {
        g_printerr ("%s: %s\n", argv[i], error->message);
        g_clear_error (&error);
      }
  g_print ("%" G_GINT64_FORMAT "\n", job);
  return 0;
}
