/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `numbers`: what the shop's jobs add up to. `export-jobs`: jobs for another bench; `import` takes them in. */
#include "config.h"

#include "bl-job-bundle.h"
#include "bl-numbers-words.h"
#include "commands.h"

#include <glib/gi18n.h>
#include <math.h>

static int run_numbers (int argc, char **argv);
static int run_export_jobs (int argc, char **argv);

const BlCommand bl_shop_commands[] = {
  { "numbers", "[--csv] [--board BOARD] [--months N] [--stock-months N] [--library FILE]",
    N_ ("count what the jobs of the library found, and which came back"), run_numbers },
  { "export-jobs", "FILE [JOB ...] [--library FILE]",
    N_ ("write jobs with their logs, photos and boards as a bundle for another bench; all when none is named"),
    run_export_jobs },
  { NULL },
};

typedef struct
{
  char *library, *board;
  gboolean csv;
  int months;
  double stock_months;
} Options;

static void
options_clear (Options *options)
{
  g_free (options->library);
  g_free (options->board);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Options, options_clear)

static gboolean
read_options (Options *options, int argc, char **argv)
{
  GOptionEntry entries[] = {
    { "library", 0, 0, G_OPTION_ARG_FILENAME, &options->library, N_ ("the library; your own when left out"), "FILE" },
    { "csv", 0, 0, G_OPTION_ARG_NONE, &options->csv, N_ ("comma-separated values (RFC 4180)"), NULL },
    { "board", 0, 0, G_OPTION_ARG_STRING, &options->board, N_ ("this edition alone"), "BOARD" },
    { "months", 0, 0, G_OPTION_ARG_INT, &options->months, N_ ("jobs that ended in the last N months; all when left out"),
      "N" },
    { "stock-months", 0, 0, G_OPTION_ARG_DOUBLE, &options->stock_months, N_ ("parts to keep for N months; 3 when left out"),
      "N" },
    { NULL },
  };
  g_auto (GStrv) rest = NULL;

  if (!bl_cli_options (&bl_shop_commands[0], entries, argc, argv, 0, 0, &rest))
    return FALSE;
  if (options->months < 0 || options->months > 1200
      || !(options->stock_months > 0 && options->stock_months <= 120))
    {
      bl_cli_usage (&bl_shop_commands[0], _ ("a number of months is expected"));
      return FALSE;
    }
  if (options->library == NULL)
    options->library = bl_library_default_path ();
  return TRUE;
}

static gint64
months_ago (int months)
{
  g_autoptr (GDateTime) now = g_date_time_new_now_local (), then = g_date_time_add_months (now, -months);
  return g_date_time_to_unix (then) * G_USEC_PER_SEC;
}

/* Takes the text of each cell. */
static void
add_row (BlCliTable *table, char *first, char *second, char *third)
{
  bl_cli_table_add (table, first);
  bl_cli_table_add (table, second);
  bl_cli_table_add (table, third);
}

static char *
stock_cell (const BlNumbersPart *part)
{
  return part->stock == G_MAXUINT ? g_strdup ("–")
                                  : g_strdup_printf (_ ("%.1f expected, keep %u"), part->expected, part->stock);
}

static char *
as_text (const BlNumbers *numbers)
{
  static const gboolean left[] = { FALSE, FALSE, FALSE };
  g_autoptr (BlCliTable) figures = bl_cli_table_new (3, left), causes = bl_cli_table_new (3, left),
                         parts = bl_cli_table_new (3, left);
  g_autoptr (GPtrArray) lines = bl_numbers_lines (numbers);
  g_autoptr (GString) out = g_string_new (NULL);
  g_autofree char *stock = bl_numbers_stock_words (numbers);

  for (guint i = 0; i < lines->len; i++)
    {
      const BlNumbersLine *line = bl_at (lines, i);
      add_row (figures, g_strdup (line->title), g_strdup (line->value), g_strdup (line->meaning));
    }
  for (guint i = 0; i < numbers->causes->len; i++)
    {
      const BlNumbersPart *part = bl_at (numbers->causes, i);
      add_row (causes, bl_numbers_of_words (part->n, numbers->with_cause),
               bl_numbers_part_words (part, numbers->ask.board == 0), g_strdup (""));
    }
  for (guint i = 0; i < numbers->parts->len; i++)
    {
      const BlNumbersPart *part = bl_at (numbers->parts, i);
      add_row (parts, g_strdup_printf ("%u", part->n), bl_numbers_part_words (part, numbers->ask.board == 0),
               stock_cell (part));
    }
  bl_cli_table_append (figures, out);
  g_string_append_printf (out, "\n%s\n", _ ("Causes confirmed, in jobs:"));
  bl_cli_table_append (causes, out);
  g_string_append_printf (out, "\n%s\n", _ ("Parts replaced:"));
  bl_cli_table_append (parts, out);
  if (numbers->parts->len > 0)
    g_string_append_printf (out, "%s\n", stock);
  return g_string_free (g_steal_pointer (&out), FALSE);
}

static int
run_numbers (int argc, char **argv)
{
  g_auto (Options) options = { NULL, NULL, FALSE, 0, 3 };
  BlNumbersAsk ask = BL_NUMBERS_ASK_INIT;
  g_autoptr (BlLibrary) library = NULL;
  g_autoptr (BlNumbers) numbers = NULL;
  g_autoptr (GError) error = NULL;
  g_autofree char *text = NULL;

  if (!read_options (&options, argc, argv))
    return BL_EXIT_USAGE;
  ask.months = options.stock_months;
  ask.from = options.months > 0 ? months_ago (options.months) : 0;
  library = bl_library_open (options.library, FALSE, &error);
  if (library != NULL && options.board != NULL)
    ask.board = bl_cli_find_board (library, options.board, &error);
  if (library == NULL || error != NULL)
    return bl_cli_fail (options.library, error);
  if (options.csv)
    text = bl_numbers_csv (library, &ask, &error);
  else if ((numbers = bl_library_numbers (library, &ask, &error)) != NULL)
    text = as_text (numbers);
  return text != NULL ? bl_cli_print (text) : bl_cli_fail (options.library, error);
}

/* --- export-jobs --- */

/* Ids of the jobs with these numbers; of all where there are none. NULL with error. (transfer full) */
static GArray *
named_jobs (BlLibrary *library, char **numbers, GError **error)
{
  g_autoptr (GArray) ids = g_array_new (FALSE, FALSE, sizeof (gint64));
  g_autoptr (GPtrArray) all = NULL;

  for (guint i = 0; numbers[i] != NULL; i++)
    {
      gint64 id = bl_cli_find_job (library, numbers[i], error);
      if (id == 0)
        return NULL;
      g_array_append_val (ids, id);
    }
  if (ids->len > 0)
    return g_steal_pointer (&ids);
  all = bl_library_jobs (library, error);
  if (all == NULL)
    return NULL;
  for (guint i = 0; i < all->len; i++)
    g_array_append_val (ids, ((BlJob *) bl_at (all, i))->id);
  return g_steal_pointer (&ids);
}

static int
run_export_jobs (int argc, char **argv)
{
  g_autofree char *path = NULL;
  GOptionEntry entries[] = {
    { "library", 0, 0, G_OPTION_ARG_FILENAME, &path, N_ ("the library; your own when left out"), "FILE" },
    { NULL },
  };
  g_auto (GStrv) rest = NULL;
  g_autoptr (BlLibrary) library = NULL;
  g_autoptr (GArray) ids = NULL;
  g_autoptr (BlJobBundle) bundle = NULL;
  g_autoptr (GError) error = NULL;

  if (!bl_cli_options (&bl_shop_commands[1], entries, argc, argv, 1, G_MAXINT, &rest))
    return BL_EXIT_USAGE;
  if (path == NULL)
    path = bl_library_default_path ();
  library = bl_library_open (path, FALSE, &error);
  ids = library != NULL ? named_jobs (library, rest + 1, &error) : NULL;
  bundle = ids != NULL ? bl_library_export_jobs (library, (const gint64 *) (gconstpointer) ids->data, ids->len, &error)
                       : NULL;
  if (bundle == NULL)
    return bl_cli_fail (path, error);
  return bl_job_bundle_write (bundle, rest[0], &error) ? BL_EXIT_DONE : bl_cli_fail (rest[0], error);
}
