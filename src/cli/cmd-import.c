/* SPDX-License-Identifier: GPL-3.0-or-later */
/* `import`: a board or an equipment of another shop, or the jobs of another bench, into the library.
 *
 * The file is read and checked before the library is opened, so that wrong input leaves no new library behind.
 * What the library has already is never doubled by accident: without an option the differences are told and nothing
 * is written. The boards of a new equipment that are there just so are used as they are. */
#include "config.h"

#include "bl-intake.h"
#include "bl-job-intake.h"
#include "commands.h"

#include <glib/gi18n.h>

typedef struct
{
  char *library;
  gboolean merge, theirs, keep_both;
} Options;

static void
print_warnings (GPtrArray *problems, const char *file)
{
  for (guint i = 0; i < problems->len; i++)
    {
      const BlProblem *problem = bl_at (problems, i);
      if (problem->warning)
        g_printerr (_ ("%s: %s: warning: %s\n"), file, problem->path, problem->message);
    }
}

static gboolean
read_options (Options *options, int argc, char **argv, char ***rest)
{
  GOptionEntry entries[] = {
    { "library", 0, 0, G_OPTION_ARG_FILENAME, &options->library, N_ ("the library; your own when left out"), "FILE" },
    { "merge", 0, 0, G_OPTION_ARG_NONE, &options->merge,
      N_ ("take into what is there whatever it has not; where both differ, what is there stays"), NULL },
    { "theirs", 0, 0, G_OPTION_ARG_NONE, &options->theirs, N_ ("with --merge: where both differ, take the file's"), NULL },
    { "keep-both", 0, 0, G_OPTION_ARG_NONE, &options->keep_both,
      N_ ("keep what differs beside what is there, with an edition of its own"), NULL },
    { NULL },
  };

  if (!bl_cli_options (&bl_library_commands[0], entries, argc, argv, 1, 1, rest))
    return FALSE;
  if (options->library == NULL)
    options->library = bl_library_default_path ();
  return TRUE;
}

static gboolean
options_agree (const Options *options)
{
  if (options->merge && options->keep_both)
    bl_cli_usage (&bl_library_commands[0], _ ("--merge and --keep-both exclude each other"));
  else if (options->theirs && !options->merge)
    bl_cli_usage (&bl_library_commands[0], _ ("--theirs goes with --merge"));
  else
    return TRUE;
  return FALSE;
}

/* --- what differs --- */

static void
print_difference (const char *name, const BlDifference *difference)
{
  g_printerr ("  %s: %s %s: %s\n", name, bl_difference_list_words (difference->list), difference->id,
              bl_difference_kind_words (difference->kind));
  for (guint i = 0; difference->kind == BL_DIFFERENCE_CHANGED && i < bl_len (difference->fields); i++)
    {
      const BlDifferenceField *field = bl_at (difference->fields, i);
      g_printerr (_ ("    %s: here %s, in the file %s\n"), field->words, field->mine != NULL ? field->mine : "-",
                  field->theirs != NULL ? field->theirs : "-");
    }
}

static void
print_differences (const BlIntake *intake)
{
  for (guint i = 0; i < intake->boards->len; i++)
    {
      const BlIntakeBoard *board = bl_at (intake->boards, i);
      g_autofree char *name = bl_intake_board_name (board);
      if (board->finding != BL_INTAKE_DIFFERENT)
        continue;
      for (guint j = 0; j < board->differences->len; j++)
        print_difference (name, bl_at (board->differences, j));
      for (guint j = 0; j < board->photos->len; j++)
        g_printerr (_ ("  %s: photo %s: another picture\n"), name, ((BlIntakePhoto *) bl_at (board->photos, j))->id);
    }
  if (intake->delivery->equipment != NULL && intake->finding == BL_INTAKE_DIFFERENT)
    g_printerr (_ ("  equipment: otherwise: %s\n"), intake->otherwise);
}

/* Nothing is written. Returns BL_EXIT_INPUT. */
static int
refuse (const BlIntake *intake, const char *library, const char *file)
{
  const BlBoard *board = ((BlIntakeBoard *) bl_at (intake->boards, 0))->theirs;

  if (bl_intake_finding (intake) == BL_INTAKE_SAME)
    {
      g_printerr (_ ("%s: this is in the library already (board %s, edition %s), nothing to import from %s\n"), library,
                  board->board_number != NULL ? board->board_number : "-",
                  board->edition != NULL ? board->edition : "-", file);
      return BL_EXIT_INPUT;
    }
  g_printerr (_ ("%s: what %s holds is in the library already and differs:\n"), library, file);
  print_differences (intake);
  g_printerr (_ ("Nothing was imported. --merge takes what the library has not (with --theirs also what it has "
                 "otherwise), --keep-both adds the file's beside it.\n"));
  return BL_EXIT_INPUT;
}

/* --- choosing and doing --- */

static void
choose (BlIntake *intake, const Options *options)
{
  for (guint i = 0; i < intake->boards->len; i++)
    {
      BlIntakeBoard *board = bl_at (intake->boards, i);
      if (board->finding != BL_INTAKE_DIFFERENT)
        continue;
      board->choice = options->keep_both ? BL_INTAKE_KEEP_BOTH : BL_INTAKE_MERGE;
      bl_intake_take (board, !options->theirs);
    }
  if (intake->finding == BL_INTAKE_DIFFERENT)
    intake->choice = options->keep_both ? BL_INTAKE_KEEP_BOTH
                     : options->theirs  ? BL_INTAKE_MERGE
                                        : BL_INTAKE_LEAVE;
}

static void
append_board (GString *out, const BlIntakeBoard *board, gboolean alone)
{
  g_autofree char *name = bl_intake_board_name (board);

  if (board->choice == BL_INTAKE_MERGE)
    g_string_append_printf (out, _ ("board %" G_GINT64_FORMAT " merged: %u of %u differences taken\n"), board->result,
                            board->taken, board->taken + board->left);
  else if (board->choice == BL_INTAKE_LEAVE)
    g_string_append_printf (out, _ ("board %" G_GINT64_FORMAT " is there already: %s\n"), board->result, name);
  else if (board->choice == BL_INTAKE_KEEP_BOTH)
    g_string_append_printf (out, _ ("board %" G_GINT64_FORMAT " added as edition %s\n"), board->result, board->edition);
  else if (alone)
    g_string_append_printf (out, _ ("board %" G_GINT64_FORMAT " added\n"), board->result);
  else
    g_string_append_printf (out, _ ("board %" G_GINT64_FORMAT " added: %s\n"), board->result, name);
}

static char *
result_words (const BlIntake *intake)
{
  g_autoptr (GString) out = g_string_new (NULL);

  for (guint i = 0; i < intake->boards->len; i++)
    append_board (out, bl_at (intake->boards, i), intake->delivery->equipment == NULL);
  if (intake->delivery->equipment == NULL)
    return g_string_free (g_steal_pointer (&out), FALSE);
  g_string_append_printf (out,
                          intake->choice == BL_INTAKE_LEAVE   ? _ ("equipment:%" G_GINT64_FORMAT " stays as it is\n")
                          : intake->choice == BL_INTAKE_MERGE ? _ ("equipment:%" G_GINT64_FORMAT " replaced\n")
                                                              : _ ("equipment:%" G_GINT64_FORMAT " added\n"),
                          intake->result);
  return g_string_free (g_steal_pointer (&out), FALSE);
}

/* Jobs of another bench: what is here stays, what is not comes in. */
static int
import_jobs (const char *path, const char *file)
{
  g_autoptr (GPtrArray) problems = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_problem_free);
  g_autoptr (GError) error = NULL;
  g_autoptr (BlJobBundle) bundle = bl_job_bundle_read (file, problems, &error);
  g_autoptr (BlLibrary) library = NULL;
  g_autoptr (BlJobIntake) intake = NULL;
  g_autofree char *words = NULL, *line = NULL;

  if (bundle == NULL)
    return bl_cli_fail (file, error);
  library = bl_library_open (path, TRUE, &error);
  intake = library != NULL ? bl_job_intake_run (library, bundle, &error) : NULL;
  if (intake == NULL)
    return bl_cli_fail (path, error);
  print_warnings (problems, file);
  words = bl_job_intake_words (intake);
  line = g_strconcat (words, "\n", NULL);
  return bl_cli_print (line);
}

int
bl_cli_run_import (int argc, char **argv)
{
  Options options = { NULL, FALSE, FALSE, FALSE };
  g_auto (GStrv) rest = NULL;
  g_autofree char *path = NULL, *words = NULL;
  g_autoptr (GPtrArray) problems = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_problem_free);
  g_autoptr (BlDelivery) delivery = NULL;
  g_autoptr (BlLibrary) library = NULL;
  g_autoptr (BlIntake) intake = NULL;
  g_autoptr (GError) error = NULL;
  gboolean read = read_options (&options, argc, argv, &rest);
  BlIntakeFinding finding;

  path = options.library;
  if (!read || !options_agree (&options))
    return BL_EXIT_USAGE;
  if (bl_job_bundle_is (rest[0]))
    return import_jobs (path, rest[0]);
  delivery = bl_delivery_read (rest[0], problems, &error);
  if (delivery == NULL)
    return bl_cli_fail (rest[0], error);
  library = bl_library_open (path, TRUE, &error);
  intake = library != NULL ? bl_intake_new (library, g_steal_pointer (&delivery), &error) : NULL;
  if (intake == NULL)
    return bl_cli_fail (path, error);
  finding = bl_intake_finding (intake);
  if (finding != BL_INTAKE_NEW && !options.merge && !options.keep_both)
    return refuse (intake, path, rest[0]);
  choose (intake, &options);
  if (!bl_intake_run (intake, &error))
    return bl_cli_fail (path, error);
  print_warnings (problems, rest[0]);
  words = result_words (intake);
  return bl_cli_print (words);
}
