/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `field-sheet`: the checks that somebody does elsewhere, as PDF; of a job on an equipment, of an equipment in the
 * library, or of a document that is in none. */
#include "config.h"

#include "bl-field-sheet-draw.h"
#include "bl-field-sheet-fill.h"
#include "bl-library-equipment.h"
#include "bl-report-shop.h"
#include "commands.h"

#include <glib/gi18n.h>

/* From a document or bundle. (transfer full) */
static BlFieldSheet *
sheet_of_file (const char *path, GError **error)
{
  g_autoptr (BlDelivery) delivery = bl_delivery_read (path, NULL, error);
  g_autoptr (BlBoard) joined = NULL;
  BlFieldSheet *sheet;

  if (delivery == NULL)
    return NULL;
  joined = bl_board_load_file (path, NULL, error);
  if (joined == NULL)
    return NULL;
  sheet = delivery->equipment != NULL ? bl_field_sheet_of (joined, delivery->equipment) : NULL;
  if (sheet == NULL)
    g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID,
                 delivery->equipment != NULL ? _ ("the equipment has no field checks; a sheet needs some")
                                             : _ ("this is a board; field checks are those of an equipment"));
  return sheet;
}

static gboolean
is_number (const char *text)
{
  return g_ascii_string_to_signed (text, 10, 1, G_MAXINT, NULL, NULL);
}

static BlFieldSheet *
sheet_of_library (BlLibrary *library, const char *name, GError **error)
{
  gint64 equipment = 0, job = 0;
  g_autoptr (BlJob) head = NULL;

  if (is_number (name))
    {
      job = bl_cli_find_job (library, name, error);
      head = job != 0 ? bl_library_load_job (library, job, error) : NULL;
      if (head == NULL)
        return NULL;
      equipment = head->equipment;
    }
  else if (!bl_cli_find_equipment (library, name, &equipment, error))
    return NULL;
  if (equipment != 0)
    return bl_field_sheet_fill (library, equipment, job, error);
  g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND,
               head != NULL ? _ ("job %s is about a board; field checks are those of an equipment")
                            : _ ("there is no equipment “%s”"),
               name);
  return NULL;
}

static int
run_field_sheet (int argc, char **argv)
{
  g_autofree char *path = NULL;
  g_auto (GStrv) rest = NULL;
  gboolean letter = FALSE;
  const GOptionEntry entries[] = {
    { "letter", 0, 0, G_OPTION_ARG_NONE, &letter, N_ ("on US Letter instead of A4"), NULL },
    { "library", 0, 0, G_OPTION_ARG_FILENAME, &path, N_ ("the library; your own when left out"), "FILE" },
    { NULL },
  };
  g_autoptr (BlLibrary) library = NULL;
  g_autoptr (BlFieldSheet) sheet = NULL;
  g_autoptr (GSettings) settings = bl_report_settings ();
  g_autoptr (GError) error = NULL;

  if (!bl_cli_options (&bl_field_commands[0], (GOptionEntry *) entries, argc, argv, 2, 2, &rest))
    return BL_EXIT_USAGE;
  if (path == NULL && g_file_test (rest[0], G_FILE_TEST_IS_REGULAR))
    {
      sheet = sheet_of_file (rest[0], &error);
      if (sheet == NULL)
        return bl_cli_fail (rest[0], error);
    }
  else
    {
      if (path == NULL)
        path = bl_library_default_path ();
      library = bl_library_open (path, FALSE, &error);
      sheet = library != NULL ? sheet_of_library (library, rest[0], &error) : NULL;
      if (sheet == NULL)
        return bl_cli_fail (path, error);
    }
  sheet->limits = bl_shop_limits (settings);
  return bl_field_sheet_write_pdf (sheet, letter, rest[1], &error) ? BL_EXIT_DONE : bl_cli_fail (rest[1], error);
}

const BlCommand bl_field_commands[] = {
  { "field-sheet", "JOB|EQUIPMENT|FILE FILE.pdf [--letter] [--library FILE]",
    N_ ("write the checks done on site, with places to write in, as PDF"), run_field_sheet },
  { NULL },
};
