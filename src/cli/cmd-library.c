/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `export`, `boards`, `jobs`, `point-sheet`, `equipments`: the library without the screens. `import` is cmd-import.c's, `report`
 * cmd-report.c's. */
#include "config.h"

#include "bl-library-equipment.h"
#include "bl-point-sheet-draw.h"
#include "bl-point-sheet-fill.h"
#include "bl-report-shop.h"
#include "commands.h"

#include <string.h>

#include <glib/gi18n.h>

static int run_export (int argc, char **argv);
static int run_boards (int argc, char **argv);
static int run_jobs (int argc, char **argv);
static int run_point_sheet (int argc, char **argv);
static int run_equipments (int argc, char **argv);

const BlCommand bl_library_commands[] = {
  { "import", "FILE [--merge [--theirs] | --keep-both] [--library FILE]",
    N_ ("add a board or an equipment, a document or bundle, to the library, or merge the jobs of another bench"), bl_cli_run_import },
  { "export", "BOARD FILE [--library FILE]", N_ ("write a board or an equipment of the library as a bundle"),
    run_export },
  { "boards", "[--library FILE]", N_ ("list the boards of the library"), run_boards },
  { "jobs", "[--library FILE]", N_ ("list the jobs of the library, newest first"), run_jobs },
  { "report", "JOB FILE.pdf [--for shop|customer] [--paper a4|letter] [--library FILE]",
    N_ ("write the report of a job as PDF"), bl_cli_run_report },
  { "point-sheet", "BOARD FILE.pdf [--library FILE]", N_ ("write the test points of a board, photo by photo, as PDF"),
    run_point_sheet },
  { "equipments", "[--library FILE]", N_ ("list the equipments of the library, their boards by role"), run_equipments },
  { "label", "JOB FILE.pdf [--size 62x29|89x36|A4|Letter] [--library FILE]", N_ ("write the label of a job as PDF"),
    bl_cli_run_label },
  { NULL },
};

/* Reads the arguments, n of them wanted. Sets path to the library's (transfer full). */
static gboolean
read_arguments (const BlCommand *command, int argc, char **argv, guint n, char **path, char ***rest)
{
  GOptionEntry entries[] = {
    { "library", 0, 0, G_OPTION_ARG_FILENAME, path, N_ ("the library; your own when left out"),
      "FILE" },
    { NULL },
  };

  if (!bl_cli_options (command, entries, argc, argv, n, n, rest))
    return FALSE;
  if (*path == NULL)
    *path = bl_library_default_path ();
  return TRUE;
}

static const char *
or_dash (const char *text)
{
  return text != NULL && text[0] != '\0' ? text : "-";
}

/* --- export --- */

static gboolean
row_is (const BlBoardRow *row, const char *name)
{
  g_autofree char *id = g_strdup_printf ("%" G_GINT64_FORMAT, row->id);
  g_autofree char *full =
      g_strdup_printf ("%s/%s", row->board_number != NULL ? row->board_number : "",
                       row->edition != NULL ? row->edition : "");

  return g_strcmp0 (row->uid, name) == 0 || g_str_equal (id, name) || g_str_equal (full, name) ||
         g_strcmp0 (row->board_number, name) == 0;
}

gint64
bl_cli_find_board (BlLibrary *library, const char *name, GError **error)
{
  g_autoptr (GPtrArray) rows = bl_library_boards (library, TRUE, error);
  gint64 found = 0;
  guint n = 0;

  if (rows == NULL)
    return 0;
  for (guint i = 0; i < rows->len; i++)
    {
      const BlBoardRow *row = bl_at (rows, i);
      if (!row_is (row, name))
        continue;
      found = row->id;
      n++;
    }
  if (n == 1)
    return found;
  g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND,
               n == 0 ? _ ("%s: there is no board “%s”")
                      : _ ("%s: “%s” names more than one board; give its uid"),
               bl_library_path (library), name);
  return 0;
}

gboolean
bl_cli_find_equipment (BlLibrary *library, const char *name, gint64 *found, GError **error)
{
  g_autoptr (GPtrArray) rows = bl_library_equipments (library, error);

  *found = 0;
  for (guint i = 0; i < bl_len (rows); i++)
    {
      const BlEquipmentRow *row = bl_at (rows, i);
      g_autofree char *id = g_strdup_printf ("equipment:%" G_GINT64_FORMAT, row->id);
      if (*found == 0
          && (g_str_equal (name, id) || g_strcmp0 (row->uid, name) == 0 || g_strcmp0 (row->title, name) == 0))
        *found = row->id;
    }
  return rows != NULL;
}

static gboolean
export_equipment (BlLibrary *library, gint64 id, const char *path, GError **error)
{
  g_autoptr (BlDelivery) delivery = bl_library_export_equipment (library, id, error);

  return delivery != NULL && bl_delivery_write (delivery, path, error);
}

static int
run_export (int argc, char **argv)
{
  g_autofree char *path = NULL;
  g_auto (GStrv) rest = NULL;
  g_autoptr (BlLibrary) library = NULL;
  g_autoptr (BlBundle) bundle = NULL;
  g_autoptr (GError) error = NULL, reason = NULL;
  gint64 id, equipment = 0;

  if (!read_arguments (&bl_library_commands[1], argc, argv, 2, &path, &rest))
    return BL_EXIT_USAGE;
  library = bl_library_open (path, FALSE, &error);
  id = library != NULL ? bl_cli_find_board (library, rest[0], &error) : 0;
  /* A board goes before an equipment of the same title. */
  if (g_error_matches (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND) && library != NULL
      && !bl_cli_find_equipment (library, rest[0], &equipment, &reason))
    return bl_cli_fail (path, reason);
  if (equipment != 0)
    {
      g_clear_error (&error);
      return export_equipment (library, equipment, rest[1], &error) ? BL_EXIT_DONE : bl_cli_fail (rest[1], error);
    }
  bundle = id != 0 ? bl_library_export (library, id, &error) : NULL;
  if (bundle == NULL)
    return bl_cli_fail (path, error);
  if (bl_bundle_write (bundle, rest[1], &error))
    return BL_EXIT_DONE;
  return bl_cli_fail (rest[1], error);
}

/* --- lists --- */

static void
add_head (BlCliTable *table, const char *const *words)
{
  for (guint i = 0; words[i] != NULL; i++)
    bl_cli_table_add (table, g_strdup (_ (words[i])));
}

static int
print_table (const BlCliTable *table)
{
  g_autoptr (GString) out = g_string_new (NULL);

  bl_cli_table_append (table, out);
  return bl_cli_print (out->str);
}

static int
run_boards (int argc, char **argv)
{
  static const char *const head[] = {
    N_ ("id"),           N_ ("maker"),      N_ ("model"), N_ ("board"), N_ ("edition"),
    N_ ("measurements"), N_ ("components"), N_ ("jobs"),  N_ ("uid"),   NULL
  };
  static const gboolean right[] = { TRUE, FALSE, FALSE, FALSE, FALSE, TRUE, TRUE, TRUE, FALSE };
  g_autofree char *path = NULL;
  g_auto (GStrv) rest = NULL;
  g_autoptr (BlCliTable) table = bl_cli_table_new (G_N_ELEMENTS (right), right);
  g_autoptr (BlLibrary) library = NULL;
  g_autoptr (GPtrArray) rows = NULL;
  g_autoptr (GError) error = NULL;

  if (!read_arguments (&bl_library_commands[2], argc, argv, 0, &path, &rest))
    return BL_EXIT_USAGE;
  library = bl_library_open (path, FALSE, &error);
  rows = library != NULL ? bl_library_boards (library, TRUE, &error) : NULL;
  if (rows == NULL)
    return bl_cli_fail (path, error);
  add_head (table, head);
  for (guint i = 0; i < rows->len; i++)
    {
      const BlBoardRow *row = bl_at (rows, i);
      bl_cli_table_add (table, g_strdup_printf ("%" G_GINT64_FORMAT, row->id));
      bl_cli_table_add (table, g_strdup (or_dash (row->maker)));
      bl_cli_table_add (table, g_strdup (or_dash (row->model)));
      bl_cli_table_add (table, g_strdup (or_dash (row->board_number)));
      bl_cli_table_add (table, g_strdup (or_dash (row->edition)));
      bl_cli_table_add (table, g_strdup_printf ("%u", row->n_measurements));
      bl_cli_table_add (table, g_strdup_printf ("%u", row->n_components));
      bl_cli_table_add (table, g_strdup_printf ("%u", row->n_jobs));
      bl_cli_table_add (table, g_strdup (row->uid));
    }
  return print_table (table);
}

static int
run_jobs (int argc, char **argv)
{
  static const char *const head[] = { N_ ("job"),      N_ ("received"),  N_ ("state"), N_ ("board"),
                                      N_ ("customer"), N_ ("complaint"), NULL };
  static const gboolean right[] = { TRUE, FALSE, FALSE, FALSE, FALSE, FALSE };
  g_autofree char *path = NULL;
  g_auto (GStrv) rest = NULL;
  g_autoptr (BlCliTable) table = bl_cli_table_new (G_N_ELEMENTS (right), right);
  g_autoptr (BlLibrary) library = NULL;
  g_autoptr (GPtrArray) jobs = NULL;
  g_autoptr (GError) error = NULL;

  if (!read_arguments (&bl_library_commands[3], argc, argv, 0, &path, &rest))
    return BL_EXIT_USAGE;
  library = bl_library_open (path, FALSE, &error);
  jobs = library != NULL ? bl_library_jobs (library, &error) : NULL;
  if (jobs == NULL)
    return bl_cli_fail (path, error);
  add_head (table, head);
  for (guint i = 0; i < jobs->len; i++)
    {
      const BlJob *job = bl_at (jobs, i);
      g_autoptr (GDateTime) created =
          g_date_time_new_from_unix_local (job->created / G_USEC_PER_SEC);
      bl_cli_table_add (table, g_strdup_printf ("%d", job->number));
      bl_cli_table_add (table, created != NULL ? g_date_time_format (created, "%Y-%m-%d")
                                               : g_strdup ("-"));
      bl_cli_table_add (table, g_strdup (job->closed ? C_ ("job", "closed") : C_ ("job", "open")));
      bl_cli_table_add (table, g_strdup (or_dash (job->board_name)));
      bl_cli_table_add (table, g_strdup (or_dash (job->customer)));
      bl_cli_table_add (table, g_strdup (or_dash (job->complaint)));
    }
  return print_table (table);
}

/* --- a job --- */

gint64
bl_cli_find_job (BlLibrary *library, const char *number, GError **error)
{
  g_autoptr (GPtrArray) jobs = bl_library_jobs (library, error);
  gint64 wanted = 0;

  if (jobs == NULL)
    return 0;
  if (g_ascii_string_to_signed (number, 10, 1, G_MAXINT, &wanted, NULL))
    for (guint i = 0; i < jobs->len; i++)
      if (((const BlJob *) bl_at (jobs, i))->number == wanted)
        return ((const BlJob *) bl_at (jobs, i))->id;
  g_set_error (error, BL_STORE_ERROR, BL_STORE_ERROR_NOT_FOUND, _ ("%s: there is no job “%s”"),
               bl_library_path (library), number);
  return 0;
}

/* --- test points --- */

static int
run_point_sheet (int argc, char **argv)
{
  g_autofree char *path = NULL;
  g_auto (GStrv) rest = NULL;
  g_autoptr (BlLibrary) library = NULL;
  g_autoptr (BlPointSheet) sheet = NULL;
  g_autoptr (GSettings) settings = bl_report_settings ();
  g_autoptr (GError) error = NULL;
  gint64 id;

  if (!read_arguments (&bl_library_commands[5], argc, argv, 2, &path, &rest))
    return BL_EXIT_USAGE;
  library = bl_library_open (path, FALSE, &error);
  id = library != NULL ? bl_cli_find_board (library, rest[0], &error) : 0;
  sheet = id != 0 ? bl_point_sheet_fill (library, id, &error) : NULL;
  if (sheet == NULL)
    return bl_cli_fail (path, error);
  sheet->limits = bl_shop_limits (settings);
  return bl_point_sheet_write_pdf (sheet, rest[1], &error) ? BL_EXIT_DONE : bl_cli_fail (rest[1], error);
}

/* --- equipments --- */

/* "inside: RB-17/C, outside: RB-18/A" */
static char *
roles_words (BlLibrary *library, const BlEquipmentRow *row)
{
  g_autoptr (GString) words = g_string_new (NULL);

  for (guint i = 0; i < row->boards->len; i++)
    {
      const BlEquipmentBoard *item = bl_at (row->boards, i);
      g_autoptr (BlBoard) board = bl_library_load_board (library, item->board, NULL);
      g_string_append_printf (words, "%s%s: %s/%s", i > 0 ? ", " : "", item->role,
                              board != NULL ? or_dash (board->board_number) : "-",
                              board != NULL ? or_dash (board->edition) : "-");
    }
  return g_string_free (g_steal_pointer (&words), FALSE);
}

static int
run_equipments (int argc, char **argv)
{
  static const char *const head[] = { N_ ("id"), N_ ("title"), N_ ("boards"), N_ ("conductors"), N_ ("uid"), NULL };
  static const gboolean right[] = { TRUE, FALSE, FALSE, TRUE, FALSE };
  g_autofree char *path = NULL;
  g_auto (GStrv) rest = NULL;
  g_autoptr (BlCliTable) table = bl_cli_table_new (G_N_ELEMENTS (right), right);
  g_autoptr (BlLibrary) library = NULL;
  g_autoptr (GPtrArray) rows = NULL;
  g_autoptr (GError) error = NULL;

  if (!read_arguments (&bl_library_commands[6], argc, argv, 0, &path, &rest))
    return BL_EXIT_USAGE;
  library = bl_library_open (path, FALSE, &error);
  rows = library != NULL ? bl_library_equipments (library, &error) : NULL;
  if (rows == NULL)
    return bl_cli_fail (path, error);
  add_head (table, head);
  for (guint i = 0; i < rows->len; i++)
    {
      const BlEquipmentRow *row = bl_at (rows, i);
      bl_cli_table_add (table, g_strdup_printf ("equipment:%" G_GINT64_FORMAT, row->id));
      bl_cli_table_add (table, g_strdup (or_dash (row->title)));
      bl_cli_table_add (table, roles_words (library, row));
      bl_cli_table_add (table, g_strdup_printf ("%u", row->n_conductors));
      bl_cli_table_add (table, g_strdup (row->uid));
    }
  return print_table (table);
}
