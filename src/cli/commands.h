/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <glib.h>

G_BEGIN_DECLS

/* What the program returns. Nothing is written to standard output unless it is BL_EXIT_DONE. */
enum
{
  BL_EXIT_DONE = 0,
  BL_EXIT_INPUT = 1, /* the input is wrong: path and reason on standard error */
  BL_EXIT_USAGE = 2  /* the command line is wrong */
};

/* A command. run gets the arguments from the command's name on (argv[0] is the name) and returns one
 * of the above. */
typedef struct
{
  const char *name;
  const char *arguments; /* as shown in the help: "FILE", "--board FILE [--json]" */
  const char *summary;   /* one line, N_() */
  int (*run) (int argc, char **argv);
} BlCommand;

/* One table per group, ended by a command without a name. A new group is added in main.c. */
extern const BlCommand bl_board_commands[];   /* check-board, coverage, simulate: cmd-board.c */
extern const BlCommand bl_compare_commands[]; /* compare: cmd-compare.c */
extern const BlCommand bl_judge_commands[];   /* judge: cmd-judge.c */
extern const BlCommand bl_tree_commands[];    /* tree: cmd-tree.c */
extern const BlCommand bl_diagnose_commands[]; /* diagnose: cmd-diagnose.c */
extern const BlCommand bl_drill_commands[];   /* drill: cmd-drill.c */
extern const BlCommand bl_field_commands[];   /* field-sheet: cmd-field-sheet.c */
extern const BlCommand bl_shop_commands[];    /* numbers, export-jobs: cmd-shop.c */
extern const BlCommand bl_library_commands[]; /* import, export, boards, jobs, report ...: cmd-library.c */

int bl_cli_run_label (int argc, char **argv);  /* of bl_library_commands: cmd-label.c */
int bl_cli_run_import (int argc, char **argv); /* of bl_library_commands: cmd-import.c */
int bl_cli_run_report (int argc, char **argv); /* cmd-report.c */

struct BlLibrary;
/* A board by its id in the library, its uid, "NUMBER/EDITION", or its number where only one edition of it is there.
 * 0 with error. cmd-library.c */
gint64 bl_cli_find_board (struct BlLibrary *library, const char *name, GError **error);
/* An equipment by its uid or title, or "equipment:ID"; *found 0: none. FALSE with error. cmd-library.c */
gboolean bl_cli_find_equipment (struct BlLibrary *library, const char *name, gint64 *found, GError **error);
/* A job's id by its number; 0 with error. cmd-library.c */
gint64 bl_cli_find_job (struct BlLibrary *library, const char *number, GError **error);

/* --- for the commands (arguments.c) --- */

/* Reads the options of a command and leaves its other arguments in *rest (transfer full), of which
 * there must be from least to most. Values of options may begin with '-' and keep their bytes: use
 * G_OPTION_ARG_FILENAME for texts, so that no locale changes them. FALSE with the reason on standard
 * error: return BL_EXIT_USAGE. */
gboolean bl_cli_options (const BlCommand *command, GOptionEntry *entries, int argc, char **argv, guint least,
                         guint most, char ***rest);

/* Says on standard error what is wrong with the command line. Returns BL_EXIT_USAGE. */
int bl_cli_usage (const BlCommand *command, const char *format, ...) G_GNUC_PRINTF (2, 3);

/* Says on standard error that the file (or other input) named where is wrong. Returns BL_EXIT_INPUT. */
int bl_cli_fail (const char *where, const GError *error);

/* Writes text to standard output. Returns BL_EXIT_DONE, or BL_EXIT_INPUT when it could not be
 * written. */
int bl_cli_print (const char *text);

/* Columns of a text table, in characters; cells are padded, the last one is not. */
typedef struct
{
  guint n_columns;
  const gboolean *right; /* aligned right; NULL: none */
  GPtrArray *cells;      /* char *, row by row */
} BlCliTable;
BlCliTable *bl_cli_table_new (guint n_columns, const gboolean *right);
void bl_cli_table_free (BlCliTable *table);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (BlCliTable, bl_cli_table_free)
/* Adds one cell (transfer full). */
void bl_cli_table_add (BlCliTable *table, char *cell);
/* Appends the table to out, each row indented by two blanks. */
void bl_cli_table_append (const BlCliTable *table, GString *out);

G_END_DECLS
