/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `report`: a job of the library on paper, for the customer or for the shop. */
#include "config.h"

#include "bl-report-gather.h"
#include "bl-report-shop.h"
#include "bl-report.h"
#include "commands.h"

#include <stdio.h>

#include <glib/gi18n.h>

typedef struct
{
  char *path, *audience, *paper;
} Options;

static void
options_clear (Options *options)
{
  g_free (options->path);
  g_free (options->audience);
  g_free (options->paper);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (Options, options_clear)

static gboolean
read_options (int argc, char **argv, Options *options, BlReportAudience *audience, BlReportPaper *paper, char ***rest)
{
  const BlCommand *command = bl_library_commands;
  GOptionEntry entries[] = {
    { "library", 0, 0, G_OPTION_ARG_FILENAME, &options->path, N_ ("the library; your own when left out"), "FILE" },
    { "for", 0, 0, G_OPTION_ARG_STRING, &options->audience, N_ ("who it is for; the shop when left out"), "shop|customer" },
    { "paper", 0, 0, G_OPTION_ARG_STRING, &options->paper, N_ ("its size; as is usual where you are when left out"),
      "a4|letter" },
    { NULL },
  };

  while (command->run != bl_cli_run_report)
    command++;
  if (!bl_cli_options (command, entries, argc, argv, 2, 2, rest))
    return FALSE;
  if (options->audience != NULL && !bl_report_audience_parse (options->audience, audience))
    {
      bl_cli_usage (command, _ ("--for is shop or customer, not “%s”"), options->audience);
      return FALSE;
    }
  if (options->paper != NULL && !bl_report_paper_parse (options->paper, paper))
    {
      bl_cli_usage (command, _ ("--paper is a4 or letter, not “%s”"), options->paper);
      return FALSE;
    }
  if (options->path == NULL)
    options->path = bl_library_default_path ();
  return TRUE;
}

int
bl_cli_run_report (int argc, char **argv)
{
  g_auto (Options) options = { 0 };
  g_auto (GStrv) rest = NULL;
  g_autoptr (BlLibrary) library = NULL;
  g_autoptr (BlJobReport) report = NULL;
  g_autoptr (GSettings) settings = bl_report_settings ();
  g_autoptr (GError) error = NULL;
  g_autofree char *missing = NULL;
  BlReportAudience audience = BL_REPORT_FOR_SHOP;
  BlReportPaper paper = bl_report_paper_wanted (settings);
  gint64 id;

  if (!read_options (argc, argv, &options, &audience, &paper, &rest))
    return BL_EXIT_USAGE;
  library = bl_library_open (options.path, FALSE, &error);
  id = library != NULL ? bl_cli_find_job (library, rest[0], &error) : 0;
  report = id != 0 ? bl_report_gather (library, id, &error) : NULL;
  if (report == NULL)
    return bl_cli_fail (options.path, error);
  report->audience = audience;
  report->paper = paper;
  bl_report_take_shop (report, settings);
  bl_job_report_compute (report, NULL);
  if (audience == BL_REPORT_FOR_SHOP)
    bl_job_report_steps (report, NULL);
  if (!bl_report_write_pdf (report, rest[1], &missing, &error))
    return bl_cli_fail (rest[1], error);
  if (missing != NULL)
    fprintf (stderr, _ ("%s: no font installed here has these letters: %s\n"), rest[1], missing);
  return BL_EXIT_DONE;
}
