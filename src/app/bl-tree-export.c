/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fault tree of the job as a file to print. Drawing takes some hundred milliseconds at most, so it is
 * done at once when the name is known. */
#include "config.h"

#include "bl-tree-export.h"

#include <glib/gi18n-lib.h>

#include "bl-shell.h"
#include "bl-tree-paper.h"

typedef struct
{
  GtkWidget *widget; /* weak */
  BlBench *bench;
  BlTreeScene *scene;
  gboolean priors;
  GtkFileChooserNative *dialog;
} Ask;

static void
ask_free (Ask *ask)
{
  g_clear_weak_pointer (&ask->widget);
  g_clear_object (&ask->dialog);
  g_clear_object (&ask->bench);
  bl_tree_scene_free (ask->scene);
  g_free (ask);
}

static char *
given_words (BlBench *bench, gboolean priors)
{
  const BlDiagnosis *diagnosis = bl_bench_get_diagnosis (bench);
  guint n = diagnosis != NULL ? bl_len (diagnosis->readings) : 0;
  g_autofree char *odds
    = g_strdup_printf (ngettext ("Job %d: odds that the cause lies there, given %u reading.",
                                 "Job %d: odds that the cause lies there, given %u readings.", n),
                       bl_bench_get_job (bench)->number, n);

  return priors ? g_strconcat (odds, " ", _ ("Beside them, what they were before any reading."), NULL)
                : g_steal_pointer (&odds);
}

static gboolean
write_tree (Ask *ask, const char *path, GError **error)
{
  const BlTree *tree = ask->scene->tree;
  g_autofree char *given = given_words (ask->bench, ask->priors);
  BlTreeSheet sheet = { .tree = tree, .facts = ask->scene->facts, .leading = ask->scene->leading,
                        .title = bl_chart_name (bl_at (tree->nodes, tree->top)),
                        .board = bl_bench_get_board (ask->bench), .given = given, .priors = ask->priors };

  return bl_tree_sheet_write (&sheet, path, error);
}

static void
responded (GtkNativeDialog *dialog, int response, Ask *ask)
{
  g_autoptr (GFile) file = gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog));
  g_autofree char *path = file != NULL ? g_file_get_path (file) : NULL, *full = NULL;
  GError *error = NULL;

  if (response == GTK_RESPONSE_ACCEPT && ask->widget != NULL && path != NULL)
    {
      BlShell *shell = bl_shell_of (ask->widget);
      full = g_str_has_suffix (path, ".pdf") || g_str_has_suffix (path, ".svg") ? g_strdup (path)
                                                                              : g_strconcat (path, ".pdf", NULL);
      g_autofree char *name = g_filename_display_basename (full);
      g_autofree char *words = g_strdup_printf (_ ("Fault tree written as %s"), name);
      if (!write_tree (ask, full, &error))
        bl_widget_report (ask->widget, _ ("The fault tree was not written"), error);
      else if (shell != NULL)
        bl_shell_notify_file (shell, words, full);
    }
  ask_free (ask);
}

static void
add_filter (GtkFileChooser *chooser, const char *name, const char *pattern)
{
  g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();

  gtk_file_filter_set_name (filter, name);
  gtk_file_filter_add_pattern (filter, pattern);
  gtk_file_chooser_add_filter (chooser, filter);
}

void
bl_tree_export_run (GtkWidget *widget, BlBench *bench, const BlTreeScene *scene, gboolean priors)
{
  g_return_if_fail (GTK_IS_WIDGET (widget) && BL_IS_BENCH (bench) && scene != NULL);
  GtkRoot *root = gtk_widget_get_root (widget);
  BlTreeScene *copy = bl_tree_scene_new (bench, scene->stage, NULL);
  g_autofree char *name = NULL;

  if (copy == NULL)
    return;
  Ask *ask = g_new0 (Ask, 1);
  g_set_weak_pointer (&ask->widget, widget);
  ask->bench = g_object_ref (bench);
  ask->scene = copy;
  ask->priors = priors;
  name = g_strdup_printf (_ ("job-%d-fault-tree.pdf"), bl_bench_get_job (bench)->number);
  ask->dialog =
      gtk_file_chooser_native_new (_ ("Fault tree as PDF or SVG"), GTK_IS_WINDOW (root) ? GTK_WINDOW (root) : NULL,
                                   GTK_FILE_CHOOSER_ACTION_SAVE, NULL, NULL);
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (ask->dialog), TRUE);
  add_filter (GTK_FILE_CHOOSER (ask->dialog), _ ("PDF documents"), "*.pdf");
  add_filter (GTK_FILE_CHOOSER (ask->dialog), _ ("SVG drawings"), "*.svg");
  gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (ask->dialog), name);
  g_signal_connect (ask->dialog, "response", G_CALLBACK (responded), ask);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (ask->dialog));
}
